#include "text_prescan.h"

#include "phrase.h"

#include <string.h>

typedef struct Prescan {
    const Reading *reading;
    const char *bytes;
    size_t count;
    char *copy; /* NULL while nothing had to be changed */
} Prescan;

static Diagnostic *fault_at(const Prescan *scan, size_t at, size_t bytes, const char *message) {
    const Span span = source_span(scan->reading->source, scan->reading->file, at, bytes);
    return diagnostics_error(scan->reading->diagnostics, span, "%s", message);
}

static void help(const Prescan *scan, Diagnostic *fault, const char *text) {
    diagnostic_help(scan->reading->diagnostics, fault, "%s", text);
}

static size_t line_end(const Prescan *scan, size_t at) {
    const char *end = memchr(scan->bytes + at, '\n', scan->count - at);
    size_t stop = end ? (size_t)(end - scan->bytes) : scan->count;
    return stop > at && scan->bytes[stop - 1] == '\r' ? stop - 1 : stop;
}

/* ---- Whole lines */

static bool is_conflict(const Prescan *scan, size_t at, size_t end, char sign) {
    if (end - at < 7) return false;
    for (size_t i = 0; i < 7; i++) {
        if (scan->bytes[at + i] != sign) return false;
    }
    return end - at == 7 || scan->bytes[at + 7] == ' ';
}

static void say_conflict(const Prescan *scan, size_t at, size_t end) {
    Diagnostic *fault = fault_at(scan, at, end - at, "a merge conflict is left in this file");
    for (size_t line = at; line < scan->count;) {
        const size_t stop = line_end(scan, line);
        if (line > at && is_conflict(scan, line, stop, '>')) {
            const Span last = source_span(scan->reading->source, scan->reading->file, line, 0);
            diagnostic_note(scan->reading->diagnostics, fault, (Span){0}, "it ends at line %zu",
                            (size_t)last.line);
            return;
        }
        const char *next = memchr(scan->bytes + line, '\n', scan->count - line);
        line = next ? (size_t)(next - scan->bytes) + 1 : scan->count;
    }
}

/* The word that begins at `at`, for a message: up to its colon, or the end of the line. */
static const char *word_at(const Prescan *scan, size_t at, size_t end) {
    size_t stop = at;
    while (stop < end && scan->bytes[stop] != ',' &&
           !(scan->bytes[stop] == ':' &&
             (stop + 1 == end || scan->bytes[stop + 1] == ' ' || scan->bytes[stop + 1] == '\t')))
        stop++;
    stop = skip_blanks_back(scan->bytes, at, stop);
    /* up to here nobody has looked whether it is UTF-8 */
    for (size_t i = at; i < stop;) {
        uint32_t sign;
        const size_t used = utf8_decode(scan->bytes + i, stop - i, &sign);
        if (used == 0) stop = i;
        i += used;
    }
    return phrase_short(scan->reading->arena, arena_copy(scan->reading->arena, scan->bytes + at, stop - at));
}

static void blank_out_tabs(Prescan *scan, size_t at, size_t end) {
    if (!scan->copy) scan->copy = arena_copy(scan->reading->arena, scan->bytes, scan->count);
    for (; at < end; at++) {
        if (scan->copy[at] == '\t') scan->copy[at] = ' ';
    }
}

/* Looks at a line as a whole; false after a fault. */
static bool scan_line(Prescan *scan, size_t at) {
    const size_t end = line_end(scan, at);
    const char first = at < end ? scan->bytes[at] : '\0';
    if (first && strchr("<=>|", first) && is_conflict(scan, at, end, first)) {
        say_conflict(scan, at, end);
        return false;
    }
    if (first == '%') {
        const char *text = arena_format(scan->reading->arena, "`%s`: directives are not part of the language",
                                        word_at(scan, at, end));
        help(scan, fault_at(scan, at, skip_blanks_back(scan->bytes, at, end) - at, text),
             "leave the line out");
        return false;
    }
    const size_t word = skip_blanks(scan->bytes, at, end);
    const char *tab = word > at ? memchr(scan->bytes + at, '\t', word - at) : NULL;
    if (tab && (word == end || scan->bytes[word] == '#')) {
        blank_out_tabs(scan, at, word);
    } else if (tab) {
        const char *text = arena_format(scan->reading->arena, "a tab before `%s`", word_at(scan, word, end));
        help(scan, fault_at(scan, (size_t)(tab - scan->bytes), 0, text),
             "indent with blanks; most editors can put them in place of tabs");
        return false;
    }
    return true;
}

/* ---- Single signs */

static const char *sign_name(const Prescan *scan, uint32_t sign) {
    return arena_format(scan->reading->arena, "U+%c%c%c%c", "0123456789ABCDEF"[sign >> 12 & 15],
                        "0123456789ABCDEF"[sign >> 8 & 15], "0123456789ABCDEF"[sign >> 4 & 15],
                        "0123456789ABCDEF"[sign & 15]);
}

static bool is_odd_blank(uint32_t sign) {
    return sign == 0xA0 || sign == 0x1680 || (sign >= 0x2000 && sign <= 0x200B) || sign == 0x202F ||
           sign == 0x205F || sign == 0x3000;
}

/* `tall:`, when the colon that ends at `end` follows a name; else NULL. */
static const char *word_with_colon(const Prescan *scan, size_t end) {
    enum { NAME_BYTES_MOST = 200 };
    size_t word = end - 1;
    while (word > 0 && end - word < NAME_BYTES_MOST && !strchr("\n{,\"'#", scan->bytes[word - 1]))
        word--;
    if (word > 0 && strchr("\"'#", scan->bytes[word - 1])) return NULL;
    word = skip_blanks(scan->bytes, word, end - 1);
    if (!looks_like_name(scan->bytes + word, end - 1 - word)) return NULL;
    return phrase_short(scan->reading->arena,
                        arena_copy(scan->reading->arena, scan->bytes + word, end - word));
}

/* An odd blank matters where YAML looks for a blank: before a word and behind its colon. */
static const char *odd_blank_place(const Prescan *scan, size_t at, size_t bytes) {
    Arena *arena = scan->reading->arena;
    const size_t before = skip_blanks_back(scan->bytes, 0, at);
    if (before == 0 || scan->bytes[before - 1] == '\n') {
        const size_t end = line_end(scan, at), word = skip_blanks(scan->bytes, at + bytes, end);
        return word == end ? NULL : arena_format(arena, "before `%s`", word_at(scan, word, end));
    }
    const char *word = scan->bytes[before - 1] == ':' ? word_with_colon(scan, before) : NULL;
    return word ? arena_format(arena, "after `%s`", word) : NULL;
}

static bool scan_odd_blank(const Prescan *scan, size_t at, size_t bytes, uint32_t sign) {
    const char *place = odd_blank_place(scan, at, bytes);
    if (!place) return true;
    const char *text =
        arena_format(scan->reading->arena, "a blank that is no blank (%s) %s", sign_name(scan, sign), place);
    help(scan, fault_at(scan, at, bytes, text), "put an ordinary blank in its place");
    return false;
}

static bool say_forbidden(const Prescan *scan, size_t at, size_t bytes, uint32_t sign) {
    const char *text =
        arena_format(scan->reading->arena, "a sign that no text may hold (%s)", sign_name(scan, sign));
    help(scan, fault_at(scan, at, bytes, text),
         sign == 0 ? "save the file as UTF-8" : "delete it; an editor may show it as a box or not at all");
    return false;
}

static bool say_line_break(const Prescan *scan, size_t at, size_t bytes, uint32_t sign) {
    const char *text = arena_format(scan->reading->arena, "%s breaks a line in YAML and nowhere else",
                                    sign_name(scan, sign));
    help(scan, fault_at(scan, at, bytes, text), "put a blank or a new line in its place");
    return false;
}

static bool say_no_utf8(const Prescan *scan, size_t at) {
    const unsigned char byte = (unsigned char)scan->bytes[at];
    const char *text = arena_format(scan->reading->arena, "byte 0x%c%c is not UTF-8",
                                    "0123456789ABCDEF"[byte >> 4], "0123456789ABCDEF"[byte & 15]);
    Diagnostic *fault = fault_at(scan, at, 1, text);
    fault->span.length = 1; /* a stray byte in the middle of a sign counts as none */
    diagnostic_note(scan->reading->diagnostics, fault, (Span){0}, "nothing else of this file is read");
    help(scan, fault, "save the file as UTF-8");
    return false;
}

static bool is_forbidden(uint32_t sign) {
    return sign < 0x20 || (sign >= 0x7F && sign <= 0x9F) || sign == 0xFEFF || sign == 0xFFFE ||
           sign == 0xFFFF;
}

/* Looks at a sign that is no plain ASCII one; false after a fault. */
static bool scan_sign(const Prescan *scan, size_t at, size_t *bytes) {
    uint32_t sign;
    *bytes = utf8_decode(scan->bytes + at, scan->count - at, &sign);
    if (*bytes == 0) return say_no_utf8(scan, at);
    if (sign == '\t') return true;
    if (sign == '\r') {
        if (at + 1 < scan->count && scan->bytes[at + 1] == '\n') return true;
        help(scan, fault_at(scan, at, 0, "a lone carriage return (old Mac line end)"),
             "save the file with LF or CR LF at the ends of its lines");
        return false;
    }
    if (sign == 0x85 || sign == 0x2028 || sign == 0x2029) return say_line_break(scan, at, *bytes, sign);
    if (is_forbidden(sign)) return say_forbidden(scan, at, *bytes, sign);
    return !is_odd_blank(sign) || scan_odd_blank(scan, at, *bytes, sign);
}

bool text_prescan(const Reading *reading, const char **readable) {
    Prescan scan = {.reading = reading, .bytes = reading->source->bytes, .count = reading->source->count};
    bool line_starts = true;
    for (size_t at = 0, bytes = 1; at < scan.count; at += bytes) {
        if (line_starts && !scan_line(&scan, at)) return false;
        bytes = 1;
        line_starts = scan.bytes[at] == '\n';
        const bool plain = scan.bytes[at] >= 0x20 && scan.bytes[at] < 0x7F;
        if (!plain && !line_starts && !scan_sign(&scan, at, &bytes)) return false;
    }
    *readable = scan.copy ? scan.copy : scan.bytes;
    return true;
}
