#include "text_check.h"

#include "phrase.h"

#include <string.h>

static bool is_blank_text(const char *text) {
    return text[strspn(text, " \t")] == '\0';
}

/* How a message names a value: `lens`, or where its list stands. */
static const char *value_name(Composer *c, const Word *word) {
    return word ? arena_format(c->arena, "`%s`", phrase_short(c->arena, word->text)) : composer_phrase(c);
}

/* `word: value`, or the value alone. */
static const char *written(Composer *c, const Word *word, const char *value) {
    return word ? arena_format(c->arena, "%s: %s", phrase_short(c->arena, word->text), value) : value;
}

static bool is_title(const Composer *c) {
    return c->path_count == 1 && (text_equal(c->path[0], "scene") || text_equal(c->path[0], "book"));
}

/* `scene: #2`, whose value is a comment; NULL when it is something else. */
static Tree *say_empty_by_comment(Composer *c, const Word *word) {
    const SpecLine line = spec_line(c->reading.source, word->span.line);
    const size_t colon = spec_line_colon(&line, line.indent, line.count);
    if (line.comment == line.count || !comment_is_suspect(&line) || colon >= line.comment ||
        skip_blanks(line.bytes, colon + 1, line.count) < line.comment)
        return NULL;
    const size_t end = comment_word_end(&line);
    const Span span = spec_line_span(&c->reading, &line, line.comment, end);
    Diagnostic *fault = composer_say(c, span,
                                     arena_format(c->arena, "`%s` begins a comment, so `%s` is empty",
                                                  spec_line_text(&c->reading, &line, line.comment, end),
                                                  phrase_short(c->arena, word->text)));
    const char *value = spec_line_text(&c->reading, &line, line.comment, line.count);
    composer_help(
        c, fault,
        arena_format(c->arena, "put it in quotes: `%s`", written(c, word, in_quotes(c->arena, value))));
    return composer_faulty(c, span);
}

static Tree *say_empty(Composer *c, const Word *word, const Scalar *scalar, bool flow) {
    if (!word) {
        composer_say(c, scalar->span, arena_format(c->arena, "an empty item in %s", composer_phrase(c)));
        return composer_faulty(c, scalar->span);
    }
    Tree *by_comment = scalar->plain && !flow ? say_empty_by_comment(c, word) : NULL;
    if (by_comment) return by_comment;
    Diagnostic *fault = composer_say(
        c, word->span, arena_format(c->arena, "`%s` is empty", phrase_short(c->arena, word->text)));
    const bool table =
        phrase_is_table(word->text) || (c->path_count == 2 && phrase_is_named_section(c->path[0]));
    composer_help(c, fault,
                  table ? "indent its lines below it, or leave it out"
                        : "write its value behind the colon, or leave it out");
    return composer_faulty(c, word->span);
}

static Tree *say_two_lines(Composer *c, const Word *word, const Scalar *scalar, bool flow) {
    const SpecLine below = spec_line(c->reading.source, scalar->span.line + 1);
    if (scalar->plain && !flow && !spec_line_is_empty(&below) && report_no_colon(&c->reading, &below, false))
        return composer_faulty(c, scalar->span);
    const SpecLine line = spec_line(c->reading.source, scalar->span.line);
    const size_t first = utf8_offset(line.bytes, line.count, scalar->span.column - 1);
    const size_t end = scalar->plain ? line.end : line.count;
    const Span span = spec_line_span(&c->reading, &line, first, end);
    Diagnostic *fault = composer_say(
        c, span,
        arena_format(c->arena,
                     word ? "the value of %s runs over two lines" : "an item in %s runs over two lines",
                     value_name(c, word)));
    if (flow && scalar->plain)
        composer_help(c, fault,
                      arena_format(c->arena, "write it on one line, or a comma after `%s`",
                                   spec_line_text(&c->reading, &line, first, end)));
    else
        composer_help(c, fault, "write it on one line");
    return composer_faulty(c, span);
}

/* Signs of an escape in double quotes, the backslash included: `\0`, `\x07`, `\u2028`. */
static size_t escape_length(char behind) {
    return behind == 'x' ? 4 : behind == 'u' ? 6 : behind == 'U' ? 10 : 2;
}

static uint32_t hex_number(const char *digits, size_t count) {
    uint32_t number = 0;
    for (size_t i = 0; i < count; i++) {
        const int value = digits[i] <= '9' ? digits[i] - '0' : (digits[i] | 0x20) - 'a' + 10;
        number = number * 16 + (uint32_t)value;
    }
    return number;
}

/* What an escape stands for; a blank for those that are always fine. libyaml has checked the digits. */
static uint32_t escaped_sign(const char *escape) {
    static const char letters[] = "0abt\tnvfreNLP";
    static const uint32_t signs[] = {0, 7, 8, 9, 9, 10, 11, 12, 13, 27, 0x85, 0x2028, 0x2029};
    const size_t length = escape_length(escape[1]);
    if (length > 2) return hex_number(escape + 2, length - 2);
    const char *letter = escape[1] ? strchr(letters, escape[1]) : NULL;
    return letter ? signs[letter - letters] : ' ';
}

static bool is_unwanted(uint32_t sign) {
    return sign < 0x20 || (sign >= 0x7F && sign <= 0x9F) || sign == 0x2028 || sign == 0x2029 ||
           sign == 0xFEFF;
}

/* `"drawings\08-fog.png"`: the fault, or NULL. */
Tree *text_check_escapes(Composer *c, const Scalar *scalar) {
    const char *raw = c->reading.source->bytes + scalar->first;
    const size_t count = scalar->end - scalar->first;
    for (size_t at = 1; at + 1 < count; at++) {
        if (raw[at] != '\\') continue;
        if (is_unwanted(escaped_sign(raw + at))) {
            const size_t length = escape_length(raw[at + 1]);
            const Span span = span_part(scalar->span, utf8_length(raw, at), length);
            const char *sign = arena_copy(c->arena, raw + at, length);
            Diagnostic *fault = composer_say(
                c, span,
                arena_format(c->arena, "`%s` inside double quotes is a sign that no text may hold", sign));
            composer_help(c, fault, escape_advice(c->arena, arena_copy(c->arena, raw + 1, count - 2)));
            return composer_faulty(c, span);
        }
        at++;
    }
    return NULL;
}

static Tree *check_backslash(Composer *c, const Word *word, const Scalar *scalar) {
    const char *raw = c->reading.source->bytes + scalar->first;
    const size_t count = scalar->end - scalar->first;
    const char *found = memchr(raw, '\\', count);
    if (!found || is_title(c)) return NULL;
    const Span span = span_part(scalar->span, utf8_length(raw, (size_t)(found - raw)), 1);
    Diagnostic *fault =
        composer_say(c, span, arena_format(c->arena, "a backslash in %s", composer_phrase(c)));
    composer_help(c, fault,
                  arena_format(c->arena, "write paths with `/`: `%s`",
                               written(c, word, with_slashes(c->arena, scalar->text))));
    return composer_faulty(c, span);
}

static Tree *check_line_end(Composer *c, const Scalar *scalar) {
    const size_t count = strlen(scalar->text);
    const char last = scalar->text[count - 1];
    if ((last != ';' && last != ',') || is_title(c)) return NULL;
    const Span span = span_part(scalar->span, scalar->span.length - 1, 1);
    Diagnostic *fault =
        composer_say(c, span, arena_format(c->arena, "a `%c` at the end of %s", last, composer_phrase(c)));
    composer_help(c, fault,
                  arena_format(c->arena, "nothing stands at the end of a line: leave the `%c` out", last));
    return composer_faulty(c, span);
}

/* `scene: Ferry #2` */
static void warn_of_comment(Composer *c, const Word *word, const Scalar *scalar) {
    const Source *source = c->reading.source;
    const size_t sign = skip_blanks(source->bytes, scalar->end, source->count);
    if (sign == scalar->end || sign >= source->count || source->bytes[sign] != '#') return;
    const SpecLine line = spec_line(source, scalar->span.line);
    if (!comment_is_suspect(&line)) return;
    const size_t end = comment_word_end(&line);
    Diagnostic *warning = diagnostics_warning(
        c->reading.diagnostics, "comment", spec_line_span(&c->reading, &line, line.comment, end),
        "`%s` begins a comment: the value is `%s`", spec_line_text(&c->reading, &line, line.comment, end),
        phrase_short(c->arena, scalar->text));
    const size_t comment_end = skip_blanks_back(line.bytes, line.comment, line.count);
    const char *whole = arena_format(c->arena, "%s %s", scalar->text,
                                     spec_line_whole(&c->reading, &line, line.comment, comment_end));
    composer_help(c, warning,
                  arena_format(c->arena, "put it in quotes: `%s`",
                               written(c, word, in_quotes(c->arena, phrase_short(c->arena, whole)))));
}

/* What is wrong with a text that libyaml read without a word, or NULL. */
static Tree *find_fault(Composer *c, const Word *word, const Scalar *scalar, bool flow) {
    if (scalar->style == YAML_LITERAL_SCALAR_STYLE || scalar->style == YAML_FOLDED_SCALAR_STYLE) {
        const char sign = scalar->style == YAML_LITERAL_SCALAR_STYLE ? '|' : '>';
        const Span span = span_part(scalar->span, 0, 1);
        Diagnostic *fault =
            composer_say(c, span, arena_format(c->arena, "a value cannot start with `%c`", sign));
        composer_help(c, fault, "leave it out; a value stands on one line");
        return composer_faulty(c, span);
    }
    if (scalar->end_line > scalar->span.line) return say_two_lines(c, word, scalar, flow);
    if (is_blank_text(scalar->text) && (scalar->plain || !memchr(c->reading.source->bytes + scalar->first,
                                                                 '\\', scalar->end - scalar->first)))
        return scalar->refused ? composer_faulty(c, scalar->span) : say_empty(c, word, scalar, flow);
    if (scalar->style == YAML_DOUBLE_QUOTED_SCALAR_STYLE) return text_check_escapes(c, scalar);
    Tree *fault = NULL;
    if (scalar->plain && !flow && word && scalar->span.line > word->span.line) {
        const SpecLine line = spec_line(c->reading.source, scalar->span.line);
        fault = report_no_colon(&c->reading, &line, false) ? composer_faulty(c, scalar->span) : NULL;
    }
    if (!fault) fault = check_backslash(c, word, scalar);
    return !fault && scalar->plain && !flow ? check_line_end(c, scalar) : fault;
}

Tree *text_check(Composer *c, const Word *word, const Scalar *scalar, bool flow) {
    Tree *fault = find_fault(c, word, scalar, flow);
    if (fault) return fault;
    if (scalar->plain) warn_of_comment(c, word, scalar);
    Tree *tree = ARENA_NEW(c->arena, Tree);
    *tree = (Tree){.kind = TREE_TEXT, .span = scalar->span, .quoted = !scalar->plain, .text = scalar->text};
    return tree;
}
