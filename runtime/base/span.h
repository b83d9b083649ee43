/* A place in a text that a maker wrote, kept on everything that came from it, so that any later stage can
 * point at the spec. */
#ifndef GROUNDROW_SPAN_H
#define GROUNDROW_SPAN_H

#include "base/arena.h"

#include <stdbool.h>
#include <stdint.h>

/* Line and column count from 1, column and length in code points. line 0: no place in the text (with a file:
 * the file as a whole); length 0 is shown as one caret. */
typedef struct Span {
    uint32_t file; /* index into Sources */
    uint32_t line, column, length;
} Span;

/* One text. `bytes` has no byte order mark, ends in NUL, and belongs to whoever read it. */
typedef struct Source {
    const char *path; /* as messages show it: `specs/08-fog.yaml` */
    const char *bytes;
    size_t count;
    const uint32_t *line_starts; /* byte offset of each line's first byte */
    uint32_t line_count;         /* at least 1 */
} Source;

/* File 0 is the book, the others are its scenes in the book's order. */
typedef struct Sources {
    Source *items;
    uint32_t count;
} Sources;

/* Builds the line table (LF ends a line; a CR before it belongs to the ending). */
Source source_new(Arena *arena, const char *path, const char *bytes, size_t count);
/* The bytes of line `line` (from 1) without its ending; "" and 0 past the end. */
const char *source_line(const Source *source, uint32_t line, size_t *count);
/* Line and column of a byte offset. */
Span source_span(const Source *source, uint32_t file, size_t offset, size_t bytes);

bool span_is_none(Span span);       /* line 0 */
int span_compare(Span a, Span b);   /* by file, line, column */
bool span_equal(Span a, Span b);    /* same start */
Span span_part(Span span, size_t first, size_t length); /* code points `first`.. inside a one-line span */
Span span_join(Span first, Span last); /* from the start of one to the end of the other, on one line */

#endif
