#include "say.h"

#include "base/files.h"

#include <stdlib.h>
#include <unistd.h>

bool say_in_color(ColorWish wish) {
    if (wish != COLOR_AUTO) return wish == COLOR_ALWAYS;
    const char *no_color = getenv("NO_COLOR");
    const char *terminal = getenv("TERM");
    if (no_color && no_color[0] != '\0') return false;
    return isatty(STDERR_FILENO) && terminal && !text_equal(terminal, "dumb");
}

static bool write_buffer(int descriptor, const Buffer *text) {
    return descriptor_write(descriptor, buffer_text(text), text->count).status == FILE_OK;
}

void say_line(Arena *arena, const char *text) {
    Buffer line = buffer_new(arena);
    buffer_format(&line, "groundrow: %s\n", text);
    write_buffer(STDERR_FILENO, &line);
}

bool say_output(Arena *arena, const Buffer *text) {
    const FileResult result = descriptor_write(STDOUT_FILENO, buffer_text(text), text->count);
    if (result.status == FILE_OK) return true;
    say_line(arena, arena_format(arena, "cannot write to standard output: %s", result.reason));
    return false;
}

/* ---- The last line */

static const char *count_of(Arena *arena, size_t count, const char *word) {
    return arena_format(arena, "%zu %s%s", count, word, count == 1 ? "" : "s");
}

static const char *file_of(const Diagnostic *diagnostic, const Sources *sources) {
    if (diagnostic->path) return diagnostic->path;
    return diagnostic->span.file < sources->count ? sources->items[diagnostic->span.file].path : "";
}

/* How many files have faults; those of one file stand together. */
static size_t count_faulty_files(const Said *said) {
    size_t files = 0;
    const char *last = NULL;
    for (size_t i = 0; i < said->diagnostics.items.count; i++) {
        const Diagnostic *diagnostic = said->diagnostics.items.items[i];
        if (diagnostic->severity != SEVERITY_ERROR) continue;
        const char *file = file_of(diagnostic, said->sources);
        files += !last || !text_equal(file, last);
        last = file;
    }
    return files;
}

static void add_unwritten(Buffer *out, const Said *said) {
    enum { NAMES_MOST = 12 };
    const size_t count = said->unwritten.count;
    if (!said->writes || (!said->book_faulty && count == 0)) return;
    buffer_add(out, "; nothing was written");
    if (said->book_faulty) return;
    for (size_t i = 0; i < count && i < NAMES_MOST; i++)
        buffer_format(out, "%s%s", i == 0 ? " for " : ", ", said->unwritten.items[i]);
    if (count > NAMES_MOST) buffer_format(out, " and %zu more", count - NAMES_MOST);
}

static void add_last_line(Buffer *out, const Said *said) {
    Arena *arena = out->arena;
    const size_t faults = said->diagnostics.errors, warnings = said->diagnostics.warnings;
    if (faults + warnings == 0) return;
    buffer_add(out, "groundrow: ");
    if (faults > 0)
        buffer_format(out, "%s in %s", count_of(arena, faults, "fault"),
                      count_of(arena, count_faulty_files(said), "file"));
    if (warnings > 0)
        buffer_format(out, "%s%s", faults > 0 ? ", " : "", count_of(arena, warnings, "warning"));
    add_unwritten(out, said);
    buffer_add_char(out, '\n');
}

/* A full disk refuses every scene: the same words are said once, and others not without end. */
static void add_trouble(Buffer *out, const Said *said) {
    enum { TROUBLE_MOST = 20 };
    size_t lines = 0;
    for (size_t i = 0; i < said->trouble.count; i++) {
        if (i > 0 && text_equal(said->trouble.items[i], said->trouble.items[i - 1])) continue;
        if (lines++ < TROUBLE_MOST) buffer_format(out, "groundrow: %s\n", said->trouble.items[i]);
    }
    if (lines > TROUBLE_MOST)
        buffer_format(out, "groundrow: and %zu more like these\n", lines - TROUBLE_MOST);
}

bool said_print(Arena *arena, const Said *said, const Options *options) {
    Buffer results = buffer_new(arena), messages = buffer_new(arena);
    if (options->errors_json)
        diagnostics_to_json(&results, &said->diagnostics, said->sources);
    else
        buffer_add_bytes(&results, buffer_text(&said->results), said->results.count);
    if (!options->errors_json)
        diagnostics_to_text(&messages, &said->diagnostics, said->sources,
                            (DiagnosticStyle){.color = say_in_color(options->color), 20, 60});
    add_trouble(&messages, said);
    add_last_line(&messages, said);
    const bool printed = say_output(arena, &results);
    return write_buffer(STDERR_FILENO, &messages) && printed;
}
