#include "spec_line.h"

#include "phrase.h"

#include <string.h>

static bool is_blank(char c) {
    return c == ' ' || c == '\t';
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

static bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

size_t skip_blanks(const char *bytes, size_t first, size_t end) {
    while (first < end && is_blank(bytes[first]))
        first++;
    return first;
}

size_t skip_blanks_back(const char *bytes, size_t first, size_t end) {
    while (end > first && is_blank(bytes[end - 1]))
        end--;
    return end;
}

/* A quote opens a quoted text only where a word or value begins: `3'-6"` has none. */
static bool opens_quote(const char *bytes, size_t at) {
    const size_t before = skip_blanks_back(bytes, 0, at);
    return before == 0 || strchr(":,[{", bytes[before - 1]) || (bytes[before - 1] == '-' && before < at);
}

/* Behind the quoted text that opens at `at`; `end` when it does not close in the line. */
static size_t skip_quoted(const char *bytes, size_t at, size_t end) {
    const char quote = bytes[at++];
    while (at < end && bytes[at] != quote)
        at += quote == '"' && bytes[at] == '\\' ? 2 : 1;
    return at < end ? at + 1 : end;
}

static size_t find_comment(const char *bytes, size_t count) {
    for (size_t at = 0; at < count;) {
        if ((bytes[at] == '"' || bytes[at] == '\'') && opens_quote(bytes, at)) {
            at = skip_quoted(bytes, at, count);
            continue;
        }
        if (bytes[at] == '#' && (at == 0 || is_blank(bytes[at - 1]))) return at;
        at++;
    }
    return count;
}

SpecLine spec_line(const Source *source, uint32_t number) {
    SpecLine line = {.number = number};
    line.bytes = source_line(source, number, &line.count);
    line.comment = find_comment(line.bytes, line.count);
    line.end = skip_blanks_back(line.bytes, 0, line.comment);
    line.indent = skip_blanks(line.bytes, 0, line.end);
    return line;
}

bool spec_line_is_empty(const SpecLine *line) {
    return line->indent == line->end;
}

bool spec_line_before(const Source *source, uint32_t number, SpecLine *line) {
    for (uint32_t above = number; above-- > 1;) {
        *line = spec_line(source, above);
        if (!spec_line_is_empty(line)) return true;
    }
    return false;
}

size_t spec_line_colon(const SpecLine *line, size_t first, size_t end) {
    const char *bytes = line->bytes;
    for (size_t at = first; at < end;) {
        if ((bytes[at] == '"' || bytes[at] == '\'') && opens_quote(bytes, at)) {
            at = skip_quoted(bytes, at, end);
            continue;
        }
        if (bytes[at] == ':' && (at + 1 >= line->count || is_blank(bytes[at + 1]))) return at;
        at++;
    }
    return end;
}

size_t spec_line_tight_colon(const char *bytes, size_t first, size_t end) {
    size_t at = first;
    if (at >= end || !is_letter(bytes[at])) return end;
    while (at < end && (is_letter(bytes[at]) || is_digit(bytes[at]) || bytes[at] == '-' || bytes[at] == ' '))
        at++;
    return at + 1 < end && bytes[at] == ':' && !is_blank(bytes[at + 1]) ? at : end;
}

const char *spec_line_whole(const Reading *reading, const SpecLine *line, size_t first, size_t end) {
    return arena_copy(reading->arena, line->bytes + first, end > first ? end - first : 0);
}

const char *spec_line_text(const Reading *reading, const SpecLine *line, size_t first, size_t end) {
    return phrase_short(reading->arena, spec_line_whole(reading, line, first, end));
}

Span spec_line_span(const Reading *reading, const SpecLine *line, size_t first, size_t end) {
    return (Span){.file = reading->file,
                  .line = line->number,
                  .column = (uint32_t)utf8_length(line->bytes, first) + 1,
                  .length = end > first ? (uint32_t)utf8_length(line->bytes + first, end - first) : 0};
}

const char *in_quotes(Arena *arena, const char *text) {
    if (!strpbrk(text, "\"\\")) return arena_format(arena, "\"%s\"", text);
    Buffer out = buffer_new(arena);
    buffer_add_char(&out, '\'');
    for (const char *next = text; *next; next++) {
        buffer_add_char(&out, *next);
        if (*next == '\'') buffer_add_char(&out, '\'');
    }
    buffer_add_char(&out, '\'');
    return buffer_text(&out);
}

const char *with_slashes(Arena *arena, const char *text) {
    char *copy = arena_string(arena, text);
    for (char *next = copy; *next; next++)
        *next = *next == '\\' ? '/' : *next;
    return phrase_short(arena, copy);
}

const char *escape_advice(Arena *arena, const char *raw) {
    const char *last = strrchr(raw, '\\');
    const bool path = last && strchr(last, '.') && !strchr(raw, ' ');
    return path ? arena_format(arena, "write paths with `/`: `%s`", with_slashes(arena, raw))
                : "a backslash in a text is written `\\\\`";
}

bool starts_as_number(const char *text) {
    static const char *const vulgar[] = {"½", "¼", "¾", "⅛", "⅜", "⅝", "⅞", "⅓", "⅔"};
    text += *text == '-' || *text == '+';
    text += strspn(text, " ");
    if (is_digit(text[0]) || (text[0] == '.' && is_digit(text[1])) ||
        (text_starts(text, "f/") && is_digit(text[2])))
        return true;
    for (size_t i = 0; i < sizeof vulgar / sizeof *vulgar; i++) {
        if (text_starts(text, vulgar[i])) return true;
    }
    return false;
}

bool looks_like_name(const char *text, size_t count) {
    if (count == 0 || !is_letter(text[0])) return false;
    for (size_t i = 0; i < count; i++) {
        if (!is_letter(text[i]) && !is_digit(text[i]) && text[i] != '-' && text[i] != ' ') return false;
    }
    return true;
}

size_t find_missing_colon(const char *text, size_t count) {
    if (count == 0 || !is_letter(text[0])) return count;
    for (size_t at = 1; at < count; at++) {
        if (text[at - 1] == ' ' && starts_as_number(text + at)) {
            const size_t digits = at + strspn(text + at, "0123456789");
            /* a number that ends the text may belong to a name: `pier 2` */
            return skip_blanks_back(text, at, count) > digits ? at : count;
        }
        if (!is_letter(text[at]) && !is_digit(text[at]) && text[at] != '-' && text[at] != ' ') return count;
    }
    return count;
}

size_t comment_word_end(const SpecLine *line) {
    size_t at = line->comment;
    while (at < line->count && !is_blank(line->bytes[at]))
        at++;
    return at;
}

bool comment_is_suspect(const SpecLine *line) {
    if (line->comment + 1 >= line->count) return false;
    const char next = line->bytes[line->comment + 1];
    return is_letter(next) || is_digit(next);
}

/* A value in brackets without what follows them. */
static const char *balanced(Arena *arena, const char *value) {
    size_t depth = 0;
    for (const char *at = value; *at; at++) {
        depth += *at == '{' || *at == '[';
        depth -= (*at == '}' || *at == ']') && depth > 0;
        if (depth == 0) return arena_copy(arena, value, (size_t)(at - value) + 1);
    }
    return value;
}

void report_tight_colon(const Reading *reading, Span word_span, const char *text, size_t colon) {
    Arena *arena = reading->arena;
    const char *word = arena_copy(arena, text, colon), *value = text + colon + 1;
    Diagnostic *fault;
    if (*value == '{' || *value == '[') {
        value = balanced(arena, value);
        fault = diagnostics_error(reading->diagnostics, span_part(word_span, 0, utf8_length(text, colon) + 1),
                                  "no blank after `%s:`", phrase_short(arena, word));
    } else {
        fault =
            diagnostics_error(reading->diagnostics, word_span, "`%s` is one word", phrase_short(arena, text));
    }
    diagnostic_help(reading->diagnostics, fault, "put a blank after the colon: `%s: %s`",
                    phrase_short(arena, word), phrase_short(arena, value));
}

static bool report_comment(const Reading *reading, const SpecLine *line) {
    if (line->comment == line->count || !comment_is_suspect(line) ||
        spec_line_colon(line, line->comment, line->count) == line->count)
        return false;
    size_t end = line->comment;
    while (end < line->count && !is_blank(line->bytes[end]) && line->bytes[end] != ':')
        end++;
    const char *sign = spec_line_text(reading, line, line->comment, end);
    const char *word = spec_line_text(reading, line, line->indent, line->end);
    Diagnostic *fault =
        diagnostics_error(reading->diagnostics, spec_line_span(reading, line, line->comment, end),
                          "`%s: ...` is a comment, so `%s` has no colon", sign, word);
    diagnostic_help(reading->diagnostics, fault, "put the name in quotes, or write `%s %s`", word, sign + 1);
    return true;
}

/* A sign that stands where the colon should, `bytes` long. */
static void report_wrong_colon(const Reading *reading, const SpecLine *line, size_t at, size_t bytes) {
    const size_t word_end = skip_blanks_back(line->bytes, line->indent, at);
    const size_t value = skip_blanks(line->bytes, at + bytes, line->end);
    const char *word = spec_line_text(reading, line, line->indent, word_end);
    Diagnostic *fault = diagnostics_error(reading->diagnostics, spec_line_span(reading, line, at, at + bytes),
                                          "`%s` stands after `%s`, where a colon is wanted",
                                          spec_line_text(reading, line, at, at + bytes), word);
    diagnostic_help(reading->diagnostics, fault, "write `%s: %s`", word,
                    spec_line_text(reading, line, value, line->end));
}

static bool report_other_colon(const Reading *reading, const SpecLine *line) {
    static const char *const signs[] = {"=", "\xEF\xBC\x9A", "\xEF\xB9\x95", "\xEA\x9E\x89", "\xE2\x88\xB6"};
    for (size_t at = line->indent + 1; at < line->end; at++) {
        for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
            const size_t bytes = strlen(signs[i]);
            if (at + bytes > line->end || memcmp(line->bytes + at, signs[i], bytes) != 0) continue;
            report_wrong_colon(reading, line, at, bytes);
            return true;
        }
    }
    return false;
}

static bool report_tight(const Reading *reading, const SpecLine *line) {
    const size_t colon = spec_line_tight_colon(line->bytes, line->indent, line->end);
    if (colon == line->end) return false;
    report_tight_colon(reading, spec_line_span(reading, line, line->indent, line->end),
                       spec_line_whole(reading, line, line->indent, line->end), colon - line->indent);
    return true;
}

bool report_no_colon(const Reading *reading, const SpecLine *line, bool sure) {
    if (report_comment(reading, line) || report_tight(reading, line) || report_other_colon(reading, line))
        return true;
    if (!sure) return false;
    const char *text = spec_line_whole(reading, line, line->indent, line->end);
    const size_t count = line->end - line->indent, number = find_missing_colon(text, count);
    const Span span = spec_line_span(reading, line, line->indent, line->end);
    if (number < count) {
        const char *word = arena_copy(reading->arena, text, skip_blanks_back(text, 0, number));
        Diagnostic *fault =
            diagnostics_error(reading->diagnostics, span_part(span, 0, utf8_length(word, strlen(word))),
                              "a colon is missing after `%s`", phrase_short(reading->arena, word));
        diagnostic_help(reading->diagnostics, fault, "write `%s: %s`", phrase_short(reading->arena, word),
                        phrase_short(reading->arena, text + number));
        return true;
    }
    Diagnostic *fault = diagnostics_error(reading->diagnostics, span, "`%s` has no colon",
                                          phrase_short(reading->arena, text));
    diagnostic_help(reading->diagnostics, fault,
                    "a line is a word, a colon, a blank and a value: `lens: 85 mm`");
    return true;
}
