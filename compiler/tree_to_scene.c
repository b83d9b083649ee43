#include "tree_to_scene.h"

#include "base/text.h"
#include "bind.h"
#include "check_words.h"

#include <string.h>

/* --- words over words ---------------------------------------------------------------------------------- */

static bool names_another(const Tree *own, const Tree *below, const char *word) {
    const Tree *mine = bind_text(own, word), *theirs = bind_text(below, word);
    return mine && (!theirs || !text_equal(mine->text, theirs->text));
}

/* One table laid over another. What is said of one leading thing does not hold for another. */
static Tree *lay_over(Arena *arena, const Tree *below, const Tree *own) {
    Tree *merged = tree_merge(arena, below, own);
    const Tree *mark = bind_table(own, "mark"), *mark_below = bind_table(below, "mark");
    if (!mark || !mark_below ||
        (!names_another(mark, mark_below, "puppet") && !names_another(mark, mark_below, "piece")))
        return merged;
    for (size_t i = 0; i < merged->count; i++) {
        if (text_equal(merged->entries[i].word, "mark")) merged->entries[i].value = (Tree *)mark;
    }
    return merged;
}

/* The words of one shot: its own, over the scene's. */
static const Tree *words_of_shot(Binder *b, const Tree *scene, const Tree *own) {
    Tree *shared = ARENA_NEW(b->arena, Tree);
    *shared = *scene;
    shared->entries = ARENA_ARRAY(b->arena, TreeEntry, scene->count);
    shared->count = 0;
    for (size_t i = 0; i < scene->count; i++) {
        const char *word = scene->entries[i].word;
        if (vocabulary_find(SECTION_SHOT, word) && !text_equal(word, "puppets"))
            shared->entries[shared->count++] = scene->entries[i];
    }
    return lay_over(b->arena, shared, own);
}

/* --- shots --------------------------------------------------------------------------------------------- */

typedef struct Shots {
    const TreeEntry **entries;
    const Tree **own;   /* as written; NULL: nothing readable */
    const Tree **words; /* with the scene's under them */
    size_t count;       /* 0: the scene is its own only shot */
} Shots;

static void check_shot_name(Binder *b, const TreeEntry *entry) {
    size_t column, length;
    const char *message, *help;
    if (name_allowed(b->arena, entry->word, &column, &length, &message, &help)) return;
    const Span span = span_part(entry->word_span, column - 1, length);
    Diagnostics *list = bind_list(b, span);
    const bool whole = text_starts(message, "it is");
    Diagnostic *d =
        whole ? diagnostics_error(list, span, "a shot cannot be called `%s`: %s", entry->word, message)
              : diagnostics_error(list, span, "%s", message);
    if (help && !whole) diagnostic_help(list, d, "%s", help);
}

static Shots shots_of(Binder *b, const Tree *scene) {
    const Tree *table = bind_table(scene, "shots");
    Shots shots = {0};
    const size_t most = table ? table->count : 0;
    shots.entries = ARENA_ARRAY(b->arena, const TreeEntry *, most);
    shots.own = ARENA_ARRAY(b->arena, const Tree *, most);
    shots.words = ARENA_ARRAY(b->arena, const Tree *, most);
    for (size_t i = 0; i < most; i++) {
        const TreeEntry *entry = &table->entries[i];
        const Tree *own = entry->value->kind == TREE_TABLE ? entry->value : NULL;
        check_shot_name(b, entry);
        shots.entries[shots.count] = entry;
        shots.own[shots.count] = own;
        shots.words[shots.count++] = words_of_shot(b, scene, own);
    }
    return shots;
}

static void enter_shot(Binder *b, const Shots *shots, size_t index) {
    if (shots->count == 0) return;
    static const Tree nothing = {.kind = TREE_TABLE};
    b->current_shot = (int)index;
    b->own_shot = (OwnTable){shots->own[index] ? shots->own[index] : &nothing, 2};
    bind_enter(b, "shots");
    bind_enter(b, shots->entries[index]->word);
}

static void leave_shot(Binder *b, const Shots *shots) {
    b->current_shot = SCOPE_SET;
    b->own_shot = (OwnTable){0};
    if (shots->count == 0) return;
    bind_leave(b);
    bind_leave(b);
}

static void bind_shots(Binder *b, const Tree *scene, const Shots *shots) {
    for (size_t i = 0; i < shots->count; i++) {
        enter_shot(b, shots, i);
        bind_shot(b, shots->words[i], shots->entries[i], (int)i, false);
        leave_shot(b, shots);
    }
    if (shots->count == 0) bind_shot(b, scene, NULL, 0, true);
    b->current_shot = SCOPE_SET;
    b->drawing_in_pixels = b->shots.items[0].drawing_in_px; /* the set is drawn in the first */
    b->no_drawing = !b->shots.items[0].drawing_stated && !b->book_alone;
}

/* What names things is looked up last, when all are there. */
static void bind_names_of_shots(Binder *b, const Tree *scene, const Shots *shots) {
    for (size_t i = 0; i < b->shots.count; i++) {
        b->drawing_in_pixels = b->shots.items[i].drawing_in_px;
        b->no_drawing = !b->shots.items[i].drawing_stated && !b->book_alone;
        enter_shot(b, shots, i);
        bind_shot_names(b, shots->count > 0 ? shots->words[i] : scene, (int)i);
        leave_shot(b, shots);
    }
}

/* --- the scene ----------------------------------------------------------------------------------------- */

static void bind_scene(Binder *b, const Tree *scene) {
    const TreeEntry *title = tree_entry(scene, "scene");
    const Shots shots = shots_of(b, scene);
    b->scene->title = title && title->value->kind == TREE_TEXT ? title->value->text : b->scene->name;
    b->scene->span = title ? title->word_span : scene->count > 0 ? scene->entries[0].word_span : scene->span;
    b->words = scene;
    b->puppets = bind_table(scene, "puppets");
    bind_version(b, scene);
    bind_level_things(b, scene);
    bind_shots(b, scene, &shots);
    bind_puppets(b, shots.own, shots.count);
    b->drawing_in_pixels = b->shots.items[0].drawing_in_px;
    b->no_drawing = !b->shots.items[0].drawing_stated && !b->book_alone;
    bind_pieces(b, scene);
    bind_backdrop(b, scene);
    bind_names_of_shots(b, scene, &shots);
    bind_atops(b);
    bind_lamps(b, scene);
    bind_as_built(b, scene);
    bind_photos(b, scene);
    bind_accepts(b, tree_find(scene, "accept"));
}

static void hand_over(Binder *b) {
    Scene *s = b->scene;
    s->slots = b->slots.items;
    s->slot_count = b->slots.count;
    s->things = b->things.items;
    s->thing_count = b->things.count;
    s->shots = b->shots.items;
    s->shot_count = b->shots.count;
    s->cast = b->cast.items;
    s->cast_count = b->cast.count;
    s->bodies = b->bodies.items;
    s->body_count = b->bodies.count;
    s->lenses = b->lenses.items;
    s->lens_count = b->lenses.count;
    s->stocks = b->stocks.items;
    s->stock_count = b->stocks.count;
    s->built = b->built.items;
    s->built_count = b->built.count;
    s->circuits = b->circuits.items;
    s->circuit_count = b->circuits.count;
    s->lamps = b->lamps.items;
    s->lamp_count = b->lamps.count;
    s->photos = b->photos.items;
    s->photo_count = b->photos.count;
    s->accepts = b->accepts.items;
    s->accept_count = b->accepts.count;
    s->wanted = b->wanted.items;
    s->wanted_count = b->wanted.count;
}

/* `scene` is NULL for the book alone: then `every scene` is bound as if it were one. */
static Scene *bind_all(Arena *arena, const char *name, const Tree *book, const Tree *scene,
                       Diagnostics *diagnostics, Diagnostics *of_book) {
    static const Tree nothing = {.kind = TREE_TABLE};
    Binder *b = ARENA_NEW(arena, Binder);
    b->arena = arena;
    b->diagnostics = diagnostics;
    b->of_book = of_book;
    b->nowhere = diagnostics_new(arena);
    b->book_alone = !scene;
    b->current_shot = SCOPE_SET;
    b->book = book && book->kind == TREE_TABLE ? book : NULL;
    b->unsure = !b->book || (scene && scene->kind != TREE_TABLE);
    b->scene = ARENA_NEW(arena, Scene);
    b->scene->arena = arena;
    b->scene->name = name;
    bind_look_for_unsure(b, SECTION_BOOK, b->book);
    bind_look_for_unsure(b, SECTION_SCENE, scene);
    bind_book(b, b->book);
    bind_book_pieces(b);
    bind_scene(b, lay_over(arena, bind_table(b->book, "every scene"),
                           scene && scene->kind == TREE_TABLE ? scene : &nothing));
    bind_pending(b);
    hand_over(b);
    return b->scene;
}

static bool is_said(const Diagnostics *list, Span span) {
    for (size_t i = 0; i < list->items.count; i++) {
        if (span_equal(list->items.items[i]->span, span)) return true;
    }
    return false;
}

/* Faults at a place in the book that the book alone does not have: they come of this scene. */
static void say_what_the_book_does_not(Arena *arena, const Tree *book, const Diagnostics *of_book,
                                       Diagnostics *diagnostics) {
    if (of_book->errors == 0) return;
    Diagnostics alone = diagnostics_new(arena), mine = diagnostics_new(arena);
    tree_to_book(arena, book, &alone);
    for (size_t i = 0; i < of_book->items.count; i++) {
        if (!is_said(&alone, of_book->items.items[i]->span))
            LIST_PUSH(arena, mine.items, of_book->items.items[i]);
    }
    diagnostics_append(diagnostics, &mine);
}

Scene *tree_to_scene(Arena *arena, const char *name, const Tree *book, const Tree *scene,
                     Diagnostics *diagnostics) {
    Diagnostics of_book = diagnostics_new(arena);
    const Tree *every = book && book->kind == TREE_TABLE ? bind_table(book, "every scene") : NULL;
    check_words(arena, SECTION_SCENE, scene, every, diagnostics);
    Scene *bound = bind_all(arena, name, book, scene, diagnostics, &of_book);
    say_what_the_book_does_not(arena, book, &of_book, diagnostics);
    return bound;
}

void tree_to_book(Arena *arena, const Tree *book, Diagnostics *diagnostics) {
    Diagnostics nowhere = diagnostics_new(arena);
    check_words(arena, SECTION_BOOK, book, NULL, diagnostics);
    if (book->kind == TREE_TABLE) bind_all(arena, "", book, NULL, &nowhere, diagnostics);
}
