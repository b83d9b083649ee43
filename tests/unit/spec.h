/* Text to plan in one call, for tests: the book and one scene as they would stand in files. */
#ifndef GROUNDROW_TESTS_SPEC_H
#define GROUNDROW_TESTS_SPEC_H

#include "plan/scene_to_plan.h"
#include "text_to_tree.h"
#include "tree_to_scene.h"

#include <string.h>

typedef struct Spec {
    Source files[2];
    Sources sources;
    const Tree *trees[2];
    Diagnostics diagnostics;
    Scene *scene;
    Plan *plan; /* NULL with faults */
} Spec;

static inline Tree *spec_tree(Arena *arena, Spec *spec, uint32_t file, const char *text, size_t count) {
    const char *bytes = text_without_mark(text, &count);
    spec->files[file] = source_new(arena, file == 0 ? "specs/book.yaml" : "specs/08-fog.yaml",
                                   arena_copy(arena, bytes, count), count);
    return text_to_tree(arena, &spec->files[file], file, file == 0 ? "book" : "scene", &spec->diagnostics);
}

static inline Spec spec_of_bytes(Arena *arena, const char *book, const char *scene, size_t scene_count) {
    Spec spec = {.diagnostics = diagnostics_new(arena)};
    const Tree *book_tree = spec_tree(arena, &spec, 0, book, strlen(book));
    const Tree *scene_tree = spec_tree(arena, &spec, 1, scene, scene_count);
    if (!book_tree || !scene_tree) return spec;
    spec.scene = tree_to_scene(arena, "08-fog", book_tree, scene_tree, &spec.diagnostics);
    if (!spec.scene || spec.diagnostics.errors > 0) return spec;
    const FoundFile *found = ARENA_ARRAY(arena, FoundFile, spec.scene->wanted_count);
    spec.plan = scene_to_plan(spec.scene, found, &spec.diagnostics);
    return spec;
}

/* As far as the bound scene, with what is said of the book alone. */
static inline Spec spec_bound(Arena *arena, const char *book, const char *scene) {
    Spec spec = {.diagnostics = diagnostics_new(arena)};
    spec.trees[0] = spec_tree(arena, &spec, 0, book, strlen(book));
    spec.trees[1] = spec_tree(arena, &spec, 1, scene, strlen(scene));
    if (!spec.trees[0] || !spec.trees[1]) return spec;
    tree_to_book(arena, spec.trees[0], &spec.diagnostics);
    spec.scene = tree_to_scene(arena, "08-fog", spec.trees[0], spec.trees[1], &spec.diagnostics);
    return spec;
}

static inline Spec spec_of(Arena *arena, const char *book, const char *scene) {
    return spec_of_bytes(arena, book, scene, strlen(scene));
}

/* What went wrong, in words, for a failing test. */
static inline const char *spec_words(Arena *arena, Spec *spec) {
    Buffer out = buffer_new(arena);
    spec->sources = (Sources){spec->files, 2};
    diagnostics_sort(&spec->diagnostics);
    diagnostics_to_text(&out, &spec->diagnostics, &spec->sources, (DiagnosticStyle){0});
    return buffer_text(&out);
}

#define FERRY_BOOK                                                                                           \
    "groundrow: 1\n"                                                                                         \
    "book: The Lantern Ferry\n"                                                                              \
    "lengths: feet-inches\n"                                                                                 \
    "page: {wide: 11 in, tall: 8 1/2 in, bleed: 1/8 in, safe: 3/8 in, gutter: 3/8 in, print: 300 ppi}\n"     \
    "cast:\n"                                                                                                \
    "  otter: {tall: 11 in, eyes: 9 3/4 in, wide: 5 in, deep: 4 in}\n"                                       \
    "  heron: {tall: 13 in, wide: 5 in, deep: 7 in}\n"                                                       \
    "cameras:\n"                                                                                             \
    "  hired: {sensor: 36 x 24 mm, pixels: 8000 x 5333}\n"                                                   \
    "  test:  {sensor: 23.5 x 15.6 mm, pixels: 6000 x 4000}\n"                                               \
    "lenses:\n"                                                                                              \
    "  portrait: {focal: 85 mm, nearest: 32 in}\n"                                                           \
    "stock:\n"                                                                                               \
    "  ply:  {kind: board, sheet: 48 x 96 in, thick: 23/32 in, weighs: 2.1 lb/ft2}\n"                        \
    "  foam: {kind: foam, sheet: 48 x 96 in, thick: 2 in, density: 0.9 lb/ft3}\n"                            \
    "table: {wide: 72 in, deep: 30 in, tall: 29 in, holds: 250 lb}\n"                                        \
    "cut: 1/8 in\n"                                                                                          \
    "agree: 1 mm\n"                                                                                          \
    "every scene:\n"                                                                                         \
    "  camera: {body: hired, stop: f/8}\n"                                                                   \
    "  allow: {lens: 60 to 105 mm, spare: 6 %}\n"                                                            \
    "  ground: {stock: foam, margin: 4 in}\n"                                                                \
    "  base: {stock: ply, lip: 2 in}\n"

#define FOG_SCENE                                                                                            \
    "scene: Fog on the river\n"                                                                              \
    "pages: 8-9\n"                                                                                           \
    "drawing: {wide: 420 mm}\n"                                                                              \
    "mark:\n"                                                                                                \
    "  puppet: otter\n"                                                                                      \
    "  drawn: {foot: [180 mm, 34 mm], tall: 92 mm}\n"                                                        \
    "camera: {lens: portrait, height: otter.eyes + 1/4 in}\n"                                                \
    "allow:  {height: 9 to 11 in}\n"                                                                         \
    "ground: {rear: 54 in}\n"                                                                                \
    "puppets:\n"                                                                                             \
    "  heron: {drawn: {foot: [296 mm, 44 mm], tall: 96 mm}, turn: 20 deg left}\n"                            \
    "pieces:\n"                                                                                              \
    "  ferry: {shape: box, wide: 20 in, tall: 5 in, deep: 9 in, at: {across: 14 in, back: -8 in}}\n"         \
    "  post:  {shape: post, tall: 1.5 otter, thick: 3/4 in, at: {across: ferry.left - 2 in, back: 10 in}}\n" \
    "flats:\n"                                                                                               \
    "  far bank: {at: {back: 46 in}, wide: cover, drawn: {tall: 40 mm}, stock: foam}\n"                      \
    "backdrop: {at: {back: 52 in}}\n"

#endif
