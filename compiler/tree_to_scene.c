#include "tree_to_scene.h"

#include "base/text.h"
#include "bind.h"
#include "check_words.h"

#include <string.h>

static const Tree *table_of(const Tree *tree, const char *word) {
    const Tree *table = tree ? tree_find(tree, word) : NULL;
    return table && table->kind == TREE_TABLE ? table : NULL;
}

/* The words of one shot: its own, over the scene's, over those of every scene. Puppets of the scene are on
 * the set in all of its shots, so they are not laid under a shot's own. */
static const Tree *words_of_shot(Binder *b, const Tree *scene, const Tree *shot) {
    Tree *shared = ARENA_NEW(b->arena, Tree);
    *shared = *scene;
    shared->entries = ARENA_ARRAY(b->arena, TreeEntry, scene->count + 1);
    shared->count = 0;
    for (size_t i = 0; i < scene->count; i++) {
        const char *word = scene->entries[i].word;
        if (vocabulary_find(SECTION_SHOT, word) && !text_equal(word, "puppets"))
            shared->entries[shared->count++] = scene->entries[i];
    }
    return tree_merge(b->arena, shared, shot);
}

static void bind_puppets_of(Binder *b, const Tree *words) {
    const TreeEntry *puppets = tree_entry(words, "puppets");
    if (puppets) bind_set_entry(b, puppets);
}

static void bind_only_shot(Binder *b, const Tree *scene) {
    bind_shot(b, scene, NULL, 0, true);
}

static void bind_shots(Binder *b, const Tree *scene, const Tree *shots) {
    for (size_t i = 0; i < shots->count; i++) {
        const TreeEntry *shot = &shots->entries[i];
        const Tree *own = shot->value->kind == TREE_TABLE ? shot->value : NULL;
        if (!bind_name(b, shot, "shot", NAME_THING, -1, -1, -1)) continue;
        const int index = (int)b->shots.count;
        const Tree *words = words_of_shot(b, scene, own);
        bind_enter(b, "shots");
        bind_enter(b, shot->word);
        bind_shot(b, words, shot, index, false);
        if (own) bind_puppets_of(b, own);
        bind_leave(b);
        bind_leave(b);
        b->current_shot = -1;
        b->drawing_in_pixels = false;
    }
}

/* What names things is looked up last, when all are there. */
static void bind_names_of_shots(Binder *b, const Tree *scene, const Tree *shots) {
    if (!shots) {
        b->current_shot = -1;
        bind_shot_names(b, scene, 0);
        return;
    }
    for (size_t i = 0, index = 0; i < shots->count && index < b->shots.count; i++) {
        const TreeEntry *shot = &shots->entries[i];
        if (!b->shots.items[index].name || !text_equal(b->shots.items[index].name, shot->word)) continue;
        b->current_shot = (int)index;
        bind_shot_names(b, words_of_shot(b, scene, shot->value->kind == TREE_TABLE ? shot->value : NULL),
                        (int)index);
        index++;
    }
    b->current_shot = -1;
}

static void bind_scene(Binder *b, const Tree *scene) {
    const TreeEntry *title = tree_entry(scene, "scene");
    const Tree *shots = table_of(scene, "shots");
    b->scene->title = title && title->value->kind == TREE_TEXT ? title->value->text : b->scene->name;
    b->scene->span = title ? title->word_span : scene->count > 0 ? scene->entries[0].word_span : scene->span;
    b->current_shot = -1;
    bind_level_things(b, scene);
    if (shots && shots->count > 0)
        bind_shots(b, scene, shots);
    else
        bind_only_shot(b, scene);
    b->drawing_in_pixels = !shots && b->shots.items[0].drawing_in_px;
    if (shots && b->shots.count > 0)
        b->drawing_in_pixels = b->shots.items[0].drawing_in_px; /* the set is drawn in the first */
    b->current_shot = -1;
    for (size_t i = 0; i < scene->count; i++)
        bind_set_entry(b, &scene->entries[i]);
    bind_names_of_shots(b, scene, shots && shots->count > 0 ? shots : NULL);
    bind_atops(b);
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
    s->accepts = b->accepts.items;
    s->accept_count = b->accepts.count;
    s->wanted = b->wanted.items;
    s->wanted_count = b->wanted.count;
}

static Scene *bind_all(Arena *arena, const char *name, const Tree *book, const Tree *scene,
                       Diagnostics *diagnostics) {
    Binder *b = ARENA_NEW(arena, Binder);
    b->arena = arena;
    b->diagnostics = diagnostics;
    b->current_shot = -1;
    b->book = book && book->kind == TREE_TABLE ? book : NULL;
    b->scene = ARENA_NEW(arena, Scene);
    b->scene->arena = arena;
    b->scene->name = name;
    bind_book(b, b->book);
    bind_scene(b,
               tree_merge(arena, table_of(b->book, "every scene"), scene->kind == TREE_TABLE ? scene : NULL));
    bind_pending(b);
    hand_over(b);
    return b->scene;
}

/* Lets through what stands in the book, or what does not. */
static void pass_on(const Diagnostics *from, Diagnostics *to, bool of_book) {
    for (size_t i = 0; i < from->items.count; i++) {
        Diagnostic *d = from->items.items[i];
        if ((d->span.file == 0) != of_book || span_is_none(d->span)) continue;
        LIST_PUSH(to->arena, to->items, d);
        if (d->severity == SEVERITY_ERROR)
            to->errors++;
        else
            to->warnings++;
    }
}

Scene *tree_to_scene(Arena *arena, const char *name, const Tree *book, const Tree *scene,
                     Diagnostics *diagnostics) {
    Diagnostics all = diagnostics_new(arena);
    check_words(arena, SECTION_SCENE, scene, &all);
    Scene *bound = bind_all(arena, name, book, scene, &all);
    pass_on(&all, diagnostics, false);
    return bound;
}

void tree_to_book(Arena *arena, const Tree *book, Diagnostics *diagnostics) {
    Diagnostics all = diagnostics_new(arena);
    const Tree empty = {.kind = TREE_TABLE};
    check_words(arena, SECTION_BOOK, book, &all);
    if (book->kind == TREE_TABLE) bind_all(arena, "", book, &empty, &all);
    pass_on(&all, diagnostics, true);
}
