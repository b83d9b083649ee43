#include "one_scene.h"

#include "compile.h"
#include "say.h"

const char *one_scene_near(Arena *arena, const char *near) {
    return near ? arena_format(arena, "; did you mean `%s`?", near) : "";
}

static ExitCode say_faults(Arena *arena, const Options *options, const Book *book,
                           const Diagnostics *of_scene) {
    Said said = {
        .diagnostics = diagnostics_new(arena), .sources = &book->sources, .results = buffer_new(arena)};
    diagnostics_append(&said.diagnostics, &book->diagnostics);
    diagnostics_append(&said.diagnostics, of_scene);
    diagnostics_sort(&said.diagnostics);
    return said_print(arena, &said, options) ? EXIT_FAULTS : EXIT_MACHINE;
}

bool one_scene_plan(Arena *arena, const Options *options, OneScene *found, ExitCode *code) {
    const Book *book = found->book = book_new(arena, options->book);
    const char *name = options->scenes[0];
    Diagnostics diagnostics = diagnostics_new(arena);
    *code = EXIT_MACHINE;
    if (book->trouble) {
        say_line(arena, book->trouble);
        return false;
    }
    const BookScene *scene = book_find(book, name);
    if (!scene && !book->faulty) {
        say_line(arena, arena_format(arena, "no scene `%s` in %s%s", name, options->book,
                                     one_scene_near(arena, book_near_name(book, name))));
        *code = EXIT_USAGE;
        return false;
    }
    Compiled made = {0};
    if (scene) made = scene_compile(book, scene, GOAL_PLAN, 0, arena, arena, &diagnostics);
    if (made.trouble) {
        say_line(arena, made.trouble);
        return false;
    }
    found->plan = made.plan;
    if (!made.plan) *code = say_faults(arena, options, book, &diagnostics);
    return made.plan != NULL;
}
