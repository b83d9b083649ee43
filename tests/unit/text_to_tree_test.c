/* Files of the language into trees, and what is said about files that are none. The cases are in
 * tests/grammar/yaml-traps.txt: a title after `----`, the file's lines behind `| `, what is said, and behind
 * a line `tree` what the tree is. With BLESS set in the environment the file is written anew from what comes
 * out. */
#include "base/files.h"
#include "text_to_tree.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static Arena *arena;
static Source source;
static const Sources sources = {&source, 1};
static Diagnostics said;

static void set_up(void) {
    arena = arena_new();
}

static void tear_down(void) {
    arena_free(arena);
}

TestSuite(text_to_tree, .init = set_up, .fini = tear_down, .timeout = 60);

static Tree *read_bytes(const char *path, const char *bytes, size_t count) {
    bytes = text_without_mark(bytes, &count);
    source = source_new(arena, path, arena_copy(arena, bytes, count), count);
    said = diagnostics_new(arena);
    Tree *tree = text_to_tree(arena, &source, 0, text_ends(path, "book.yaml") ? "book" : "scene", &said);
    diagnostics_sort(&said);
    return tree;
}

static Tree *read_text(const char *text) {
    return read_bytes("specs/08-fog.yaml", text, strlen(text));
}

static const char *said_text(void) {
    Buffer out = buffer_new(arena);
    diagnostics_to_text(&out, &said, &sources, (DiagnosticStyle){0});
    return buffer_text(&out);
}

static const char *tree_text(const Tree *tree) {
    Buffer out = buffer_new(arena);
    tree_print(&out, tree);
    return buffer_text(&out);
}

/* ---- The cases */

/* Signs that an editor would not keep: `<TAB>`, `<NBSP>`, `<CR>`, any byte as `<0xE4>`; `<END>` is the end of
 * the file, without a new line. */
static void add_source_line(Buffer *out, const char *line, size_t count) {
    static const struct {
        const char *name, *bytes;
    } signs[] = {{"<TAB>", "\t"}, {"<NBSP>", "\xC2\xA0"}, {"<CR>", "\r"}};
    bool ends = false;
    for (size_t at = 0; at < count;) {
        size_t used = 0;
        for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
            if (text_starts(line + at, signs[i].name)) {
                buffer_add(out, signs[i].bytes);
                used = strlen(signs[i].name);
            }
        }
        if (used == 0 && text_starts(line + at, "<0x")) {
            buffer_add_char(out, (char)strtol(line + at + 1, NULL, 16));
            used = 6;
        }
        if (used == 0 && text_starts(line + at, "<END>")) {
            ends = true;
            used = 5;
        }
        if (used == 0) buffer_add_char(out, line[at]);
        at += used > 0 ? used : 1;
    }
    if (!ends) buffer_add_char(out, '\n');
}

typedef struct Case {
    const char *title, *path, *lines; /* `lines`: as in the file */
    Buffer text, wanted;
} Case;

typedef struct Cases {
    const char *head;
    LIST(Case) items;
} Cases;

static const char *cases_path(void) {
    return TESTS_DIR "/grammar/yaml-traps.txt";
}

static Cases read_cases(void) {
    const char *bytes;
    size_t count;
    cr_assert_eq(file_read(arena, cases_path(), 1 << 20, &bytes, &count).status, FILE_OK);
    Cases cases = {0};
    Buffer head = buffer_new(arena), lines = {0};
    for (const char *line = bytes, *end; *line; line = *end ? end + 1 : end) {
        end = line + strcspn(line, "\n");
        const size_t length = (size_t)(end - line);
        Case *last = cases.items.count > 0 ? &cases.items.items[cases.items.count - 1] : NULL;
        if (text_starts(line, "---- ")) {
            lines = buffer_new(arena);
            LIST_PUSH(arena, cases.items,
                      (Case){.title = arena_copy(arena, line + 5, length - 5),
                             .path = "specs/08-fog.yaml",
                             .lines = "",
                             .text = buffer_new(arena),
                             .wanted = buffer_new(arena)});
        } else if (!last) {
            buffer_add_bytes(&head, line, length + 1);
        } else if (text_starts(line, "     | ")) {
            add_source_line(&last->text, line + 7, length - 7);
            buffer_add_bytes(&lines, line, length + 1);
            last->lines = buffer_text(&lines);
        } else if (text_starts(line, "     specs/")) {
            last->path = arena_copy(arena, line + 5, length - 5);
            buffer_add_bytes(&lines, line, length + 1);
        } else if (length > 0) {
            buffer_add_bytes(&last->wanted, line, length + 1);
        }
    }
    cases.head = buffer_text(&head);
    return cases;
}

/* What comes out of a case: what is said, and for a file that can be read the tree. */
static const char *outcome(const Case *one) {
    const Tree *tree = read_bytes(one->path, buffer_text(&one->text), one->text.count);
    cr_assert(tree || said.errors > 0, "%s: neither tree nor fault", one->title);
    Buffer out = buffer_new(arena);
    buffer_add(&out, said_text());
    if (tree) {
        buffer_add(&out, "tree\n");
        buffer_add(&out, tree_text(tree));
    }
    return buffer_text(&out);
}

Test(text_to_tree, cases) {
    const Cases cases = read_cases();
    cr_assert_gt(cases.items.count, 100);
    Buffer blessed = buffer_new(arena);
    buffer_add(&blessed, cases.head);
    for (size_t i = 0; i < cases.items.count; i++) {
        const Case *one = &cases.items.items[i];
        const char *result = outcome(one);
        buffer_format(&blessed, "---- %s\n%s\n%s\n", one->title, one->lines, result);
        if (!getenv("BLESS"))
            cr_expect_str_eq(result, buffer_text(&one->wanted), "---- %s\nwanted:\n%s\ngot:\n%s", one->title,
                             buffer_text(&one->wanted), result);
    }
    if (getenv("BLESS")) file_write_if_changed(cases_path(), blessed.bytes, blessed.count, NULL);
}

/* A file that cannot be read at all gets one message (docs/language.md). */
Test(text_to_tree, no_tree_one_message) {
    const Cases cases = read_cases();
    size_t faulty = 0;
    for (size_t i = 0; i < cases.items.count; i++) {
        const Case *one = &cases.items.items[i];
        if (!read_bytes(one->path, buffer_text(&one->text), one->text.count)) {
            cr_expect_eq(said.errors, 1, "---- %s", one->title);
            faulty++;
        }
    }
    cr_assert_gt(faulty, 30);
}

/* ---- Limits and speed */

static double seconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* A sanitizer and a malloc for every piece make all of it ten times as slow. */
#ifdef __SANITIZE_ADDRESS__
enum { HOSTILE_BYTES = FILE_BYTES_MOST / 8 };
#else
enum { HOSTILE_BYTES = FILE_BYTES_MOST };
#endif

/* `part` over and over, up to so many bytes with head and tail. */
static const char *repeated(const char *head, const char *part, const char *tail, size_t bytes) {
    Buffer text = buffer_new(arena);
    buffer_add(&text, head);
    const size_t most = bytes - strlen(tail);
    for (size_t number = 0;; number++) {
        char piece[64];
        const int length = snprintf(piece, sizeof piece, part, (int)number);
        if (text.count + (size_t)length > most) break;
        buffer_add_bytes(&text, piece, (size_t)length);
    }
    buffer_add(&text, tail);
    return buffer_text(&text);
}

static void check_quick(const char *name, const char *head, const char *part, const char *tail) {
    const char *text = repeated(head, part, tail, HOSTILE_BYTES);
    const double start = seconds();
    const Tree *tree = read_text(text);
    const double took = seconds() - start;
    cr_expect(tree || said.errors > 0, "%s: neither tree nor fault", name);
    const double most = 2; /* a tenth of it is usual; what is quadratic takes minutes */
    cr_expect_lt(took, most, "%s took %d ms", name, (int)(1000 * took));
    if (getenv("TIMES")) printf("%-40s %5d ms, %zu faults\n", name, (int)(1000 * took), said.errors);
    arena_free(arena);
    arena = arena_new();
}

Test(text_to_tree, hostile_files_are_quick) {
    check_quick("many words", "", "w%d: 1\n", "");
    check_quick("many words in braces", "{", "w%d: 1,", "}");
    check_quick("many empty values on one line", "{", "w%d: ,", "}");
    check_quick("many empty values", "", "w%d:\n", "");
    check_quick("the same word", "", "word: 1 \n", "");
    check_quick("the same word on one line", "{", "word: 1,", "}");
    check_quick("bare words", "a: {", "w%d,", "}");
    check_quick("bare numbers", "a: {b: 1 mm,", "%d mm,", "}");
    check_quick("tight words", "a: {", "w:%d,", "}");
    check_quick("tight words with values", "a: {", "w:%d: 1,", "}");
    check_quick("tight tables", "a:\n", " w%d:{b: 1}\n", "");
    check_quick("groups of digits", "a: {b: 1", ",000", "}");
    check_quick("open brackets in a list", "a: [", "(,", "]");
    check_quick("open brackets in a table", "a: {", "w%d: (, x,", "}");
    check_quick("thousands in a list", "a: [", "1,000,", "]");
    check_quick("braces", "a: ", "{", "");
    check_quick("square brackets", "a: ", "[", "");
    check_quick("brackets closed", "a: ", "[]", "");
    check_quick("brackets in turn", "a: ", "[{", "");
    check_quick("tables as words", "", "{a: b}: c\n", "");
    check_quick("deep tables as words", "", "? ", "a");
    check_quick("dashes", "a:\n", "- ", "b");
    check_quick("lines of dashes", "a:\n", "- \n", "b");
    check_quick("deeper and deeper", "a: b\n", "   \n", "");
    check_quick("anchors", "", "w%d: &a b\n", "");
    check_quick("aliases", "", "w%d: *a\n", "");
    check_quick("tags", "", "w%d: !a b\n", "");
    check_quick("directives", "", "%%TAG !a%d! b\n", "--- a");
    check_quick("documents", "", "---\n", "");
    check_quick("comments of values", "", "w%d: a #%d\n", "");
    check_quick("a long comment", "a: b #", "c", "");
    check_quick("a long text", "a: ", "b", "");
    check_quick("a long text of signs", "a: ", "\xC3\xA4 ", "");
    check_quick("a long word", "", "b", ": c");
    check_quick("a text over many lines", "a: b\n", " c\n", "");
    check_quick("many texts over two lines", "", "w%d: a\n b\n", "");
    check_quick("a long quoted text", "a: \"", "b", "\"");
    check_quick("escapes", "a: \"", "\\\"", "\"");
    check_quick("bad escapes", "", "w%d: \"\\0\"\n", "");
    check_quick("bad escapes on one line", "{", "w%d: \"\\0\",", "}");
    check_quick("backslashes on one line", "{", "w%d: \\,", "}");
    check_quick("quotes", "a: ", "\" ' ", "");
    check_quick("open quotes", "", "w%d: '\n", "");
    check_quick("odd blanks", "a: b", "\xC2\xA0", "");
    check_quick("odd blanks behind colons", "a: \"b", ":\xC2\xA0", "\"");
    check_quick("colons", "a: b", ":", "");
    check_quick("colons with blanks", "a: b", ": ", "");
    check_quick("commas", "a: {", ",", "");
    check_quick("blanks", "a: b", " ", "c");
    check_quick("blanks and hashes", "a: b", "  #", "");
    check_quick("empty lines", "a: b", "\n", "c: d");
    check_quick("tabs", "a: b\n", "\t\n", "c: d");
    check_quick("conflicts", "a: b\n", "=======\n", "c: d");
    check_quick("semicolons", "", "w%d: a;\n", "");
    check_quick("tables over lines", "", "w%d: {a:\n b}\n", "");
    check_quick("wide tables over lines", "a: [", "{b:\n c},", "]");
}

Test(text_to_tree, larger_than_a_file_may_be) {
    const char *text = repeated("a: ", "b", "", FILE_BYTES_MOST);
    cr_assert_eq(strlen(text), FILE_BYTES_MOST);
    cr_assert_not_null(read_text(text));
    cr_assert_null(read_text(arena_format(arena, "%s!", text)));
    cr_assert_str_eq(said_text(),
                     "specs/08-fog.yaml: error: larger than 1 MiB, the most that a scene may be\n");
}

Test(text_to_tree, more_nodes_than_a_file_may_have) {
    Buffer text = buffer_new(arena);
    buffer_add(&text, "a: [");
    for (int i = 0; i < 199997; i++)
        buffer_add(&text, "b,");
    buffer_add(&text, "]");
    cr_assert_not_null(read_text(buffer_text(&text)));
    text.bytes[text.count - 1] = 'b';
    buffer_add(&text, "]");
    cr_assert_null(read_text(buffer_text(&text)));
    cr_assert_eq(said.errors, 1);
    cr_assert_str_eq(said.items.items[0]->message, "more than 200,000 words and values in one file");
}

/* ---- Quantities go through YAML */

/* The value must come out as `text`, and its span must show it in the file, sign by sign. */
static void check_value(const Tree *tree, const char *text, const char *file) {
    cr_expect_eq(said.items.count, 0, "%s\n%s", file, said_text());
    cr_assert(tree && tree->kind == TREE_TEXT, "%s", file);
    cr_expect_str_eq(tree->text, text, "%s", file);
    size_t count;
    const char *line = source_line(&source, tree->span.line, &count);
    const size_t first = utf8_offset(line, count, tree->span.column - 1);
    cr_expect_eq(tree->span.length, utf8_length(text, strlen(text)), "%s", file);
    cr_expect_eq(strncmp(line + first, text, strlen(text)), 0, "%s", file);
}

static const char *without_outer_blanks(const char *text, size_t count) {
    while (count > 0 && text[0] == ' ') {
        text++;
        count--;
    }
    while (count > 0 && text[count - 1] == ' ')
        count--;
    return arena_copy(arena, text, count);
}

/* Every quantity that the grammar accepts can be written unquoted as a value of a block, inside { } and
 * inside [ ]; but a comma stands in a block alone (its other form, `;`, stands anywhere), and no value begins
 * with `- `. */
Test(text_to_tree, accepted_quantities_go_through) {
    const char *bytes;
    size_t count, checked = 0;
    cr_assert_eq(file_read(arena, TESTS_DIR "/grammar/accepted.txt", 1 << 20, &bytes, &count).status,
                 FILE_OK);
    for (const char *line = bytes, *end; *line; line = *end ? end + 1 : end) {
        end = line + strcspn(line, "\n");
        const char *tab = line + strcspn(line, "\t\n");
        if (*line == '#' || *tab != '\t') continue;
        const char *raw = arena_copy(arena, tab + 1, strcspn(tab + 1, "\t\n"));
        const char *text = without_outer_blanks(raw, strlen(raw));
        const char *block = arena_format(arena, "a:\n  v: %s\n", raw);
        const Tree *tree = read_text(block);
        if (text_starts(text, "- ")) {
            cr_expect_null(tree, "%s", block);
            continue;
        }
        check_value(tree_find(tree_find(tree, "a"), "v"), text, block);
        checked++;
        if (strchr(text, ',')) continue;
        const char *braces = arena_format(arena, "a: {v: %s, w: %s}\n", raw, raw);
        tree = tree_find(read_text(braces), "a");
        check_value(tree_find(tree, "v"), text, braces);
        check_value(tree_find(tree, "w"), text, braces);
        const char *brackets = arena_format(arena, "a: [%s, %s]\n", raw, raw);
        tree = tree_find(read_text(brackets), "a");
        cr_assert(tree && tree->kind == TREE_LIST && tree->count == 2, "%s", brackets);
        check_value(tree->items[0], text, brackets);
        check_value(tree->items[1], text, brackets);
    }
    cr_assert_gt(checked, 200);
}

/* A byte order mark moves nothing, and neither do the line ends of another system. */
Test(text_to_tree, marks_and_line_ends_move_nothing) {
    const char *plain = "scene: Fog\npieces:\n  fähre: {tall: 9 in, wide: [a, b]}\n";
    const char *wanted = tree_text(read_text(plain));
    const char *marked = arena_format(arena, "\xEF\xBB\xBF%s", plain);
    cr_assert_str_eq(tree_text(read_text(marked)), wanted);
    Buffer other = buffer_new(arena);
    for (const char *at = plain; *at; at++)
        buffer_add(&other, *at == '\n' ? "\r\n" : (char[]){*at, '\0'});
    cr_assert_str_eq(tree_text(read_text(buffer_text(&other))), wanted);
}

/* Whatever a file is cut to, there is a tree or a message, and every message shows a place that the file has.
 */
Test(text_to_tree, cut_files) {
    const Cases cases = read_cases();
    for (size_t i = 0; i < cases.items.count; i++) {
        const Case *one = &cases.items.items[i];
        for (size_t count = 0; count < one->text.count; count++) {
            const Tree *tree = read_bytes(one->path, buffer_text(&one->text), count);
            cr_assert(tree || said.errors > 0, "%s, cut to %zu", one->title, count);
            for (size_t j = 0; j < said.items.count; j++) {
                const Span span = said.items.items[j]->span;
                size_t line_count;
                const char *line = source_line(&source, span.line, &line_count);
                cr_expect(span.line >= 1 && span.line <= source.line_count && span.column >= 1 &&
                              span.column <= utf8_length(line, line_count) + 1,
                          "%s, cut to %zu: %s", one->title, count, said_text());
            }
        }
    }
}
