#include "why.h"

#include "book.h"
#include "compile.h"
#include "report/reasons_to_text.h"
#include "say.h"

static const char *near_words(Arena *arena, const char *near) {
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

ExitCode run_why(Arena *arena, const Options *options) {
    const Book *book = book_new(arena, options->book);
    const char *name = options->scenes[0];
    Diagnostics diagnostics = diagnostics_new(arena);
    if (book->trouble) {
        say_line(arena, book->trouble);
        return EXIT_MACHINE;
    }
    const BookScene *scene = book_find(book, name);
    if (!scene && !book->faulty) {
        say_line(arena, arena_format(arena, "no scene `%s` in %s%s", name, options->book,
                                     near_words(arena, book_near_name(book, name))));
        return EXIT_USAGE;
    }
    Compiled made = {0};
    if (scene) made = scene_compile(book, scene, GOAL_PLAN, 0, arena, arena, &diagnostics);
    if (made.trouble) {
        say_line(arena, made.trouble);
        return EXIT_MACHINE;
    }
    if (!made.plan) return say_faults(arena, options, book, &diagnostics);
    Buffer chain = buffer_new(arena);
    if (reasons_to_text(&chain, made.plan, &book->sources, options->quantity))
        return say_output(arena, &chain) ? EXIT_DONE : EXIT_MACHINE;
    const char *near = reasons_nearest(arena, made.plan, options->quantity);
    say_line(arena, arena_format(arena, "nothing called `%s` in %s%s", options->quantity, name,
                                 near_words(arena, near)));
    return EXIT_USAGE;
}
