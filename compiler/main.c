#include "base/files.h"
#include "new_book.h"
#include "options.h"
#include "run.h"
#include "say.h"
#include "why.h"
#include "words.h"

static ExitCode print(Arena *arena, const Buffer *text) {
    return say_output(arena, text) ? EXIT_DONE : EXIT_MACHINE;
}

static ExitCode run_command(Arena *arena, const Options *options) {
    Buffer out = buffer_new(arena);
    switch (options->command) {
    case COMMAND_COMPILE:
    case COMMAND_CHECK:
        return run_book(arena, options);
    case COMMAND_WHY:
        return run_why(arena, options);
    case COMMAND_NEW:
        return new_book(arena, options);
    case COMMAND_WORDS:
        if (options->points) return run_points(arena, options);
        (options->schema ? words_to_schema : words_to_reference)(&out);
        return print(arena, &out);
    case COMMAND_HELP:
        options_help(&out);
        return print(arena, &out);
    case COMMAND_VERSION:
        buffer_add(&out, "groundrow " GROUNDROW_VERSION "\n");
        return print(arena, &out);
    }
    return EXIT_USAGE;
}

int main(int count, char **arguments) {
    files_guard_signals();
    Arena *arena = arena_new();
    Options options;
    const char *trouble = "nothing to do";
    ExitCode code = EXIT_USAGE;
    if (count > 0 && options_parse(arena, count - 1, arguments + 1, &options, &trouble))
        code = run_command(arena, &options);
    else
        say_line(arena, arena_format(arena, "%s (see `groundrow --help`)", trouble));
    arena_free(arena);
    return (int)code;
}
