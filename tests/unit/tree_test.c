#include "phrase.h"
#include "tree.h"

#include <criterion/criterion.h>
#include <string.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}

static void tear_down(void) {
    arena_free(arena);
}

TestSuite(tree, .init = set_up, .fini = tear_down);
TestSuite(phrase, .init = set_up, .fini = tear_down);

static Tree *text(const char *value, uint32_t line) {
    Tree *tree = ARENA_NEW(arena, Tree);
    *tree = (Tree){.kind = TREE_TEXT, .text = value, .span = {0, line, 9, (uint32_t)strlen(value)}};
    return tree;
}

static Tree *table(size_t count, const char *const *words, Tree *const *values) {
    Tree *tree = ARENA_NEW(arena, Tree);
    *tree = (Tree){.kind = TREE_TABLE, .count = count, .entries = ARENA_ARRAY(arena, TreeEntry, count)};
    for (size_t i = 0; i < count; i++)
        tree->entries[i] = (TreeEntry){.word = words[i], .word_span = {0, 1, 1, 1}, .value = values[i]};
    return tree;
}
#define TABLE(count, words, ...) table(count, (const char *const[])words, (Tree *const[]){__VA_ARGS__})
#define WORDS(...)                                                                                           \
    { __VA_ARGS__ }

static const char *printed(const Tree *tree) {
    Buffer out = buffer_new(arena);
    tree_print(&out, tree);
    return buffer_text(&out);
}

Test(tree, find) {
    const Tree *tree = TABLE(2, WORDS("lens", "stop"), text("85 mm", 1), text("f/8", 2));
    cr_assert_str_eq(tree_find(tree, "stop")->text, "f/8");
    cr_assert_null(tree_find(tree, "body"));
    cr_assert_null(tree_find(NULL, "body"));
    cr_assert_null(tree_find(text("a", 1), "body"));
    cr_assert_str_eq(tree_entry(tree, "lens")->word, "lens");
}

Test(tree, merge_word_by_word) {
    const Tree *defaults = TABLE(3, WORDS("camera", "ground", "cut"),
                                 TABLE(2, WORDS("body", "stop"), text("hired", 1), text("f/8", 2)),
                                 TABLE(1, WORDS("stock"), text("foam", 3)), text("1 mm", 4));
    const Tree *own = TABLE(3, WORDS("ground", "scene", "camera"), text("none", 11), text("Fog", 12),
                            TABLE(2, WORDS("stop", "lens"), text("f/11", 13), text("85 mm", 14)));
    const char *wanted = "ground 1:1: none 11:9\n"
                         "scene 1:1: Fog 12:9\n"
                         "camera 1:1: table 0:0\n"
                         "  stop 1:1: f/11 13:9\n"
                         "  lens 1:1: 85 mm 14:9\n"
                         "  body 1:1: hired 1:9\n"
                         "cut 1:1: 1 mm 4:9\n";
    cr_assert_str_eq(printed(tree_merge(arena, defaults, own)), wanted);
    cr_assert_eq(tree_find(own, "camera")->count, 2, "the parts stay as they were");
    cr_assert_str_eq(printed(tree_merge(arena, NULL, own)), printed(own));
    cr_assert_str_eq(printed(tree_merge(arena, defaults, NULL)), printed(defaults));
    cr_assert_null(tree_merge(arena, NULL, NULL));
}

static void check_phrase(const char *wanted, size_t count, const char *const *words) {
    cr_expect_str_eq(phrase_of_path(arena, words, count), wanted);
}
#define PHRASE(wanted, ...)                                                                                  \
    check_phrase(wanted, sizeof((const char *[]){__VA_ARGS__}) / sizeof(char *),                             \
                 (const char *[]){__VA_ARGS__})

Test(phrase, paths) {
    PHRASE("`wide` of piece `pier`", "pieces", "pier", "wide");
    PHRASE("`across` of piece `post`", "pieces", "post", "at", "across");
    PHRASE("`back` of flat `far bank`", "flats", "far bank", "back");
    PHRASE("`stock` of piece `a`", "pieces", "a", "stock");
    PHRASE("piece `pier`", "pieces", "pier");
    PHRASE("`pieces`", "pieces");
    PHRASE("`tall` of puppet `otter`", "cast", "otter", "tall");
    PHRASE("`tall` of pose `seated` of puppet `otter`", "cast", "otter", "poses", "seated", "tall");
    PHRASE("`wide` of opening `window` of flat `wall`", "flats", "wall", "openings", "window", "wide");
    PHRASE("`tall` of mound `hill` of the ground", "ground", "mounds", "hill", "tall");
    PHRASE("`height` of the camera", "camera", "height");
    PHRASE("the camera", "camera");
    PHRASE("`lens` of what is allowed", "allow", "lens");
    PHRASE("`drawn` of the mark", "mark", "drawn");
    PHRASE("`tall` in `drawn` of the mark", "mark", "drawn", "tall");
    PHRASE("`every` in `row` of piece `fence`", "pieces", "fence", "row", "every");
    PHRASE("`lens` of the camera of shot `close`", "shots", "close", "camera", "lens");
    PHRASE("`tall` in `drawn` of puppet `heron` of shot `close`", "shots", "close", "puppets", "heron",
           "drawn", "tall");
    PHRASE("`rear` of the ground of every scene", "every scene", "ground", "rear");
    PHRASE("`scene`", "scene");
    PHRASE("`focal` of lens `portrait`", "lenses", "portrait", "focal");
    PHRASE("`pixels` of camera `hired`", "cameras", "hired", "pixels");
    PHRASE("`thick` of stock `ply`", "stock", "ply", "thick");
    PHRASE("`camera` of piece `a`", "pieces", "a", "camera");
    cr_expect_str_eq(phrase_of_path(arena, NULL, 0), "the file");
}

Test(phrase, long_words_are_cut) {
    const char *sixty = "123456789 123456789 123456789 123456789 123456789 1234567\xC3\xA4\xC3\xA4\xC3\xA4";
    cr_assert_str_eq(phrase_short(arena, sixty), sixty);
    cr_assert_str_eq(phrase_short(arena, arena_format(arena, "%s!", sixty)),
                     "123456789 123456789 123456789 123456789 123456789 1234567...");
}

Test(phrase, tables) {
    cr_assert(phrase_is_table("camera") && phrase_is_table("at") && phrase_is_table("pieces"));
    cr_assert(!phrase_is_table("scene") && !phrase_is_table("frame"));
    cr_assert(phrase_is_named_section("pieces") && !phrase_is_named_section("camera"));
}
