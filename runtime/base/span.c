#include "base/span.h"

#include "base/text.h"

#include <string.h>

Source source_new(Arena *arena, const char *path, const char *bytes, size_t count) {
    uint32_t lines = 1;
    for (size_t i = 0; i < count; i++)
        lines += bytes[i] == '\n' && i + 1 < count;
    uint32_t *starts = ARENA_ARRAY(arena, uint32_t, lines);
    uint32_t line = 1;
    for (size_t i = 0; i < count; i++) {
        if (bytes[i] == '\n' && i + 1 < count)
            starts[line++] = (uint32_t)(i + 1);
    }
    return (Source){.path = path, .bytes = bytes, .count = count, .line_starts = starts, .line_count = lines};
}

const char *source_line(const Source *source, uint32_t line, size_t *count) {
    *count = 0;
    if (line == 0 || line > source->line_count)
        return "";
    const size_t start = source->line_starts[line - 1];
    size_t end = line < source->line_count ? source->line_starts[line] : source->count;
    while (end > start && (source->bytes[end - 1] == '\n' || source->bytes[end - 1] == '\r'))
        end--;
    *count = end - start;
    return source->bytes + start;
}

Span source_span(const Source *source, uint32_t file, size_t offset, size_t bytes) {
    uint32_t low = 0, high = source->line_count;
    while (high - low > 1) {
        const uint32_t middle = low + (high - low) / 2;
        if (source->line_starts[middle] <= offset)
            low = middle;
        else
            high = middle;
    }
    const size_t start = source->line_starts[low];
    return (Span){.file = file,
                  .line = low + 1,
                  .column = (uint32_t)utf8_length(source->bytes + start, offset - start) + 1,
                  .length = (uint32_t)utf8_length(source->bytes + offset, bytes)};
}

bool span_is_none(Span span) {
    return span.line == 0;
}

int span_compare(Span a, Span b) {
    if (a.file != b.file)
        return a.file < b.file ? -1 : 1;
    if (a.line != b.line)
        return a.line < b.line ? -1 : 1;
    if (a.column != b.column)
        return a.column < b.column ? -1 : 1;
    return 0;
}

bool span_equal(Span a, Span b) {
    return span_compare(a, b) == 0;
}

Span span_part(Span span, size_t first, size_t length) {
    span.column += (uint32_t)first;
    span.length = (uint32_t)length;
    return span;
}

Span span_join(Span first, Span last) {
    if (first.file == last.file && first.line == last.line && last.column + last.length > first.column)
        first.length = last.column + last.length - first.column;
    return first;
}
