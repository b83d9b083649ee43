#include "yaml_trouble.h"

#include "phrase.h"

#include <string.h>

/* A place: a line and a byte of it. */
typedef struct Place {
    SpecLine line;
    size_t at;
} Place;

typedef struct Trouble {
    const Reading *reading;
    Arena *arena;
    const char *problem;
    bool at_end; /* at the end of the file */
    Place here, context;
} Trouble;

static Place place_of(const Source *source, size_t line, size_t column) {
    const size_t last = source->line_count;
    Place place = {.line = spec_line(source, (uint32_t)(line < last ? line + 1 : last))};
    place.at = line < last ? utf8_offset(place.line.bytes, place.line.count, column) : place.line.count;
    return place;
}

static char sign_at(const Place *place) {
    return place->at < place->line.count ? place->line.bytes[place->at] : '\0';
}

static Diagnostic *say(const Trouble *trouble, const SpecLine *line, size_t first, size_t end,
                       const char *message) {
    return diagnostics_error(trouble->reading->diagnostics,
                             spec_line_span(trouble->reading, line, first, end), "%s", message);
}

static void help(const Trouble *trouble, Diagnostic *fault, const char *text) {
    diagnostic_help(trouble->reading->diagnostics, fault, "%s", text);
}

static const char *text_of(const Trouble *trouble, const SpecLine *line, size_t first, size_t end) {
    return spec_line_text(trouble->reading, line, first, end);
}

/* ---- Finding one's way in a line */

/* Start of the word whose colon is at `colon`. */
static size_t word_start(const SpecLine *line, size_t colon) {
    size_t start = line->indent;
    while (start + 1 < colon && line->bytes[start] == '-' && line->bytes[start + 1] == ' ')
        start = skip_blanks(line->bytes, start + 1, colon);
    for (size_t at = start; at < colon; at++) {
        if (strchr("{[,", line->bytes[at])) start = at + 1;
    }
    return skip_blanks(line->bytes, start, colon);
}

/* End of the word, value or sign that begins at `at`. */
static size_t token_end(const SpecLine *line, size_t at) {
    const size_t colon = spec_line_colon(line, at, line->end > at ? line->end : at);
    size_t end = at < colon ? at + 1 : at;
    while (end < colon && !strchr(",{}[]", line->bytes[end]))
        end++;
    return skip_blanks_back(line->bytes, at, end);
}

/* Start of what stands in front of `end`: behind the last comma, bracket or colon. `*colon` is that colon, or
 * `end`. */
static size_t part_start(const SpecLine *line, size_t first, size_t end, size_t *colon) {
    size_t start = first;
    *colon = end;
    for (size_t at = first; at < end; at++) {
        const bool is_colon =
            line->bytes[at] == ':' && (line->bytes[at + 1] == ' ' || line->bytes[at + 1] == '\t');
        if (!is_colon && !strchr(",{[", line->bytes[at])) continue;
        start = at + 1;
        *colon = is_colon ? at : end;
    }
    return skip_blanks(line->bytes, start, end);
}

/* End of the item inside { } or [ ] in which `at` stands. */
static size_t item_end(const SpecLine *line, size_t at) {
    while (at < line->end && !strchr(",{}[]", line->bytes[at]))
        at++;
    return at;
}

/* `word: "value"`, for a value that should stand in quotes, or the value alone where no word is to be seen.
 */
static const char *in_quotes_with_word(const Trouble *trouble, const SpecLine *line, size_t first,
                                       size_t end) {
    const char *value = in_quotes(trouble->arena, text_of(trouble, line, first, end));
    const size_t colon = skip_blanks_back(line->bytes, line->indent, first);
    if (colon <= line->indent || line->bytes[colon - 1] != ':') return value;
    return arena_format(trouble->arena, "%s: %s",
                        text_of(trouble, line, word_start(line, colon - 1), colon - 1), value);
}

/* ---- A colon too many */

static void say_own_line(const Trouble *trouble, const SpecLine *line, size_t word, size_t colon,
                         const char *advice) {
    Diagnostic *fault = say(trouble, line, word, colon + 1,
                            arena_format(trouble->arena, "`%s:` belongs on a line of its own, or in { }",
                                         text_of(trouble, line, word, colon)));
    help(trouble, fault, advice);
}

static bool are_digits(const char *bytes, size_t first, size_t end) {
    for (size_t at = first; at < end; at++) {
        if (bytes[at] < '0' || bytes[at] > '9') return false;
    }
    return first < end;
}

static size_t last_blank(const SpecLine *line, size_t first, size_t end) {
    for (size_t at = end; at-- > first;) {
        if (line->bytes[at] == ' ') return at;
    }
    return end;
}

static bool is_title(const char *word) {
    return text_equal(word, "scene") || text_equal(word, "book");
}

/* A second colon at `at` in the value, up to `end`, of the word whose colon is at `first`. */
static void say_colon_inside(const Trouble *trouble, const SpecLine *line, size_t first, size_t at,
                             size_t end) {
    Arena *arena = trouble->arena;
    const char *word = text_of(trouble, line, word_start(line, first), first);
    const size_t value = skip_blanks(line->bytes, first + 1, at);
    const size_t value_end = skip_blanks_back(line->bytes, value, at);
    const size_t behind = skip_blanks(line->bytes, at + 1, end);
    const char *inner = text_of(trouble, line, value, value_end);
    if (phrase_is_table(word) && looks_like_name(inner, strlen(inner))) {
        say_own_line(trouble, line, value, at,
                     behind < end
                         ? arena_format(arena, "write `%s: {%s}`", word, text_of(trouble, line, value, end))
                         : "a table stands below its word, indented");
        return;
    }
    const size_t blank = last_blank(line, value, value_end);
    if (!is_title(word) && blank < value_end && starts_as_number(inner)) {
        say_own_line(trouble, line, blank + 1, at, "a line holds one word and its value");
        return;
    }
    Diagnostic *fault = say(trouble, line, at, at + 1,
                            arena_format(arena, "a `:` followed by a blank inside the value of `%s`", word));
    const bool digits =
        !is_title(word) && are_digits(line->bytes, value, value_end) && are_digits(line->bytes, behind, end);
    help(trouble, fault,
         digits ? arena_format(arena, "leave the blank out: `%s: %s:%s`", word, inner,
                               text_of(trouble, line, behind, end))
                : arena_format(arena, "put the value in quotes: `%s`",
                               in_quotes_with_word(trouble, line, value, end)));
}

static void say_unknown(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    const size_t at = trouble->here.at, end = token_end(line, at);
    Diagnostic *fault =
        at < end
            ? say(trouble, line, at, end,
                  arena_format(trouble->arena, "`%s` cannot stand here", text_of(trouble, line, at, end)))
            : say(trouble, line, at, at, "the file ends in the middle of something");
    diagnostic_note(trouble->reading->diagnostics, fault, (Span){0}, "YAML: %s", trouble->problem);
}

/* The first colon of its line, where a value goes on from the line above. */
static void say_folded(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    SpecLine above;
    if (!spec_line_before(trouble->reading->source, line->number, &above)) {
        say_unknown(trouble);
        return;
    }
    const size_t colon = spec_line_colon(&above, above.indent, above.end);
    if (colon == above.end) {
        report_no_colon(trouble->reading, &above, true);
        return;
    }
    if (line->indent <= above.indent) {
        say_unknown(trouble);
        return;
    }
    const size_t word = word_start(&above, colon);
    Diagnostic *fault = say(trouble, line, line->indent, trouble->here.at,
                            arena_format(trouble->arena, "`%s` is indented deeper than `%s`",
                                         text_of(trouble, line, line->indent, trouble->here.at),
                                         text_of(trouble, &above, word, colon)));
    help(trouble, fault, "words of one table start in the same column");
}

static void say_value_colon(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    const size_t at = trouble->here.at;
    const size_t first = spec_line_colon(line, line->indent, line->end);
    const size_t tight = spec_line_tight_colon(line->bytes, line->indent, at);
    if (tight < at && tight < first)
        report_tight_colon(trouble->reading, spec_line_span(trouble->reading, line, line->indent, line->end),
                           spec_line_whole(trouble->reading, line, line->indent, line->end),
                           tight - line->indent);
    else if (first < at)
        say_colon_inside(trouble, line, first, at, line->end);
    else
        say_folded(trouble);
}

static void say_no_dash(const Trouble *trouble, const SpecLine *line) {
    const size_t end = token_end(line, line->indent);
    Diagnostic *fault = say(trouble, line, line->indent, end,
                            arena_format(trouble->arena, "`%s` stands in a list without a dash",
                                         text_of(trouble, line, line->indent, end)));
    help(trouble, fault, "leave the dashes out, or give every line one");
}

static void say_no_colon(const Trouble *trouble) {
    const SpecLine *line = &trouble->context.line;
    const size_t at = trouble->context.at;
    SpecLine above;
    if (spec_line_colon(line, at, line->end) < line->end) /* the only other reason libyaml has */
        say(trouble, line, at, line->end, "a word of more than 1024 signs");
    else if (spec_line_before(trouble->reading->source, line->number, &above) &&
             text_starts(above.bytes + above.indent, "- ") && above.indent == line->indent)
        say_no_dash(trouble, line);
    else
        report_no_colon(trouble->reading, line, true);
}

/* ---- Text where a word of a table is wanted */

static void say_too_many(const Trouble *trouble) {
    const Place *here = &trouble->here;
    Diagnostic *fault = say(trouble, &here->line, here->at, here->at + 1,
                            arena_format(trouble->arena, "a `%c` too many", sign_at(here)));
    help(trouble, fault, "leave it out");
}

/* `'far bank'.tall`, `[far bank].tall`: what opens at `open` closes just before the mark. */
static void say_needless(const Trouble *trouble, size_t open, const char *signs) {
    const SpecLine *line = &trouble->here.line;
    const size_t at = trouble->here.at, end = token_end(line, at);
    Diagnostic *fault = say(trouble, line, open, end,
                            arena_format(trouble->arena, "a name needs no %s in a quantity", signs));
    help(trouble, fault,
         arena_format(trouble->arena, "write `%s%s`", text_of(trouble, line, open + 1, at - 1),
                      text_of(trouble, line, at, end)));
}

/* Where the value with the mark in it begins: behind the colon in front of it. */
static size_t value_start(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    const size_t colon = spec_line_colon(line, line->indent, trouble->here.at);
    return colon < trouble->here.at ? skip_blanks(line->bytes, colon + 1, trouble->here.at) : line->indent;
}

/* The mark stands behind a quoted text, `before` being its end. */
static void say_after_quote(const Trouble *trouble, size_t before) {
    const SpecLine *line = &trouble->here.line;
    const size_t at = trouble->here.at, colon = spec_line_colon(line, at, line->end);
    if (before == at && line->bytes[at] == '.') {
        say_needless(trouble, value_start(trouble), "quotes");
    } else if (colon < line->end) {
        say_own_line(trouble, line, at, colon, "a line holds one word and its value");
    } else {
        Diagnostic *fault = say(trouble, line, at, line->end, "text after a closing quote");
        help(trouble, fault, "put quotes round all of it, or none");
    }
}

static void say_after_bracket(const Trouble *trouble, size_t before) {
    const SpecLine *line = &trouble->here.line;
    const size_t at = trouble->here.at, colon = spec_line_colon(line, at, line->end);
    const size_t value = value_start(trouble);
    if (strchr("]}", line->bytes[at]))
        say_too_many(trouble);
    else if (before == at && line->bytes[at] == '.' && strchr("[{", line->bytes[value]))
        say_needless(trouble, value, "brackets");
    else if (colon < line->end)
        say_own_line(trouble, line, at, colon, "a line holds one word and its value");
    else if (strchr("[{", line->bytes[value])) {
        Diagnostic *fault =
            say(trouble, line, value, value + 1,
                arena_format(trouble->arena, "a value cannot start with `%c`", line->bytes[value]));
        help(trouble, fault,
             arena_format(trouble->arena, "put the value in quotes: `%s`",
                          in_quotes_with_word(trouble, line, value, line->end)));
    } else
        say_unknown(trouble);
}

/* The mark is the first sign of its line. */
static void say_bad_line(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    const size_t at = trouble->here.at, end = token_end(line, at);
    SpecLine above;
    Diagnostic *fault;
    if (line->bytes[at] == ':') {
        say(trouble, line, at, at + 1, "a colon without a word before it");
    } else if (text_starts(line->bytes + at, "- ")) {
        fault = say(trouble, line, at, at + 1, "`-` begins a list, but the lines above are words");
        help(trouble, fault, "leave the dash out");
    } else if (spec_line_before(trouble->reading->source, line->number, &above) &&
               spec_line_colon(&above, above.indent, above.end) == above.end &&
               report_no_colon(trouble->reading, &above, false)) {
        return;
    } else if (strchr("]}", sign_at(&trouble->here))) {
        say_too_many(trouble);
    } else {
        fault = say(trouble, line, at, end,
                    arena_format(trouble->arena, "`%s` lines up with no word above it",
                                 text_of(trouble, line, at, end)));
        help(trouble, fault, "words of one table start in the same column");
    }
}

static void say_expected_key(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    const size_t at = trouble->here.at, before = skip_blanks_back(line->bytes, 0, at);
    if (trouble->at_end || at >= line->count)
        say_unknown(trouble);
    else if (before == 0)
        say_bad_line(trouble);
    else if (strchr("\"'", line->bytes[before - 1]))
        say_after_quote(trouble, before);
    else if (strchr("]}", line->bytes[before - 1]))
        say_after_bracket(trouble, before);
    else if (strchr("]}", line->bytes[at]))
        say_too_many(trouble);
    else
        say_unknown(trouble);
}

static void say_expected_dash(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    if (trouble->here.at == line->indent && line->indent < line->end)
        say_no_dash(trouble, line);
    else
        say_expected_key(trouble);
}

/* ---- Inside { } and [ ] */

static char closing_sign(char open) {
    return open == '{' ? '}' : ']';
}

static void say_never_closed(const Trouble *trouble, const Place *open) {
    const SpecLine *line = &open->line;
    const char sign = sign_at(open), close = closing_sign(sign);
    if (line->comment < line->count && comment_is_suspect(line) &&
        memchr(line->bytes + line->comment, close, line->count - line->comment)) {
        const size_t end = comment_word_end(line);
        Diagnostic *fault = say(trouble, line, line->comment, end,
                                arena_format(trouble->arena, "`%s` begins a comment, so `%c` is never closed",
                                             text_of(trouble, line, line->comment, end), sign));
        help(trouble, fault, "put a value with `#` in quotes");
        return;
    }
    Diagnostic *fault = say(trouble, line, open->at, open->at + 1,
                            arena_format(trouble->arena, "`%c` is never closed", sign));
    help(trouble, fault,
         arena_format(trouble->arena, "write `%c` at its end, or a comma where it goes on", close));
}

static void say_comma_missing(const Trouble *trouble, const SpecLine *line, size_t first, size_t end) {
    Diagnostic *fault = say(
        trouble, line, first, end,
        arena_format(trouble->arena, "a comma is missing after `%s`", text_of(trouble, line, first, end)));
    help(trouble, fault,
         sign_at(&trouble->context) == '{' ? "inside { } every `word: value` ends with a comma"
                                           : "inside [ ] a comma stands between two items");
}

/* Where what is written on `line` before `end`, and in the bracket, ends with a value. */
static void say_comma_after(const Trouble *trouble, const SpecLine *line, size_t end) {
    const size_t first =
        line->number == trouble->context.line.number ? trouble->context.at + 1 : line->indent;
    end = skip_blanks_back(line->bytes, first, end);
    if (end <= first) {
        say_never_closed(trouble, &trouble->context);
        return;
    }
    size_t colon;
    const size_t start = part_start(line, first, end, &colon);
    const bool bracket = strchr("]}", line->bytes[end - 1]) != NULL;
    say_comma_missing(trouble, line, bracket || start >= end ? end - 1 : start, end);
}

/* A colon where a comma or the end is wanted: two words in one place, on one line or with the end of a line
 * between. */
static void say_colon_in_flow(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    const size_t at = trouble->here.at;
    const bool same_line = line->number == trouble->context.line.number;
    size_t colon;
    const size_t first = same_line ? trouble->context.at + 1 : line->indent;
    const size_t start = part_start(line, first, at, &colon);
    SpecLine above;
    if (colon < at) {
        const size_t blank = last_blank(line, start, at);
        if (blank < at)
            say_comma_missing(trouble, line, start, skip_blanks_back(line->bytes, start, blank));
        else
            say_colon_inside(trouble, line, colon, at, item_end(line, at));
    } else if (start == line->indent && !same_line &&
               spec_line_before(trouble->reading->source, line->number, &above)) {
        say_comma_after(trouble, &above, above.end);
    } else {
        say_unknown(trouble);
    }
}

static void say_flow(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    const Place *open = &trouble->context;
    const size_t at = trouble->here.at;
    const bool later = line->number > open->line.number;
    const char sign = sign_at(&trouble->here);
    const size_t before = skip_blanks_back(line->bytes, 0, at);
    SpecLine above;
    if (trouble->at_end || !sign || (later && line->indent <= open->line.indent && !strchr("]}", sign))) {
        say_never_closed(trouble, open);
    } else if (strchr("]}", sign) && before > 0 && line->bytes[before - 1] == sign) {
        say_too_many(trouble);
    } else if (strchr("]}", sign)) {
        Diagnostic *fault =
            say(trouble, line, at, at + 1,
                arena_format(trouble->arena, "`%c` where `%c` is wanted", sign, closing_sign(sign_at(open))));
        diagnostic_note(trouble->reading->diagnostics, fault,
                        spec_line_span(trouble->reading, &open->line, open->at, open->at + 1), "opened here");
    } else if (sign == ':') {
        say_colon_in_flow(trouble);
    } else if (before == 0) {
        if (spec_line_before(trouble->reading->source, line->number, &above))
            say_comma_after(trouble, &above, above.end);
        else
            say_unknown(trouble);
    } else if (strchr("\"'", line->bytes[before - 1]) &&
               spec_line_colon(line, at, line->end) >= token_end(line, at) + 1) {
        Diagnostic *fault = say(trouble, line, at, token_end(line, at), "text after a closing quote");
        help(trouble, fault, "put quotes round all of it, or none");
    } else {
        say_comma_after(trouble, line, at);
    }
}

/* The last bracket that no other closes. */
static bool last_open(const Source *source, Place *open) {
    enum { DEPTH_MOST = 64 };
    Place stack[DEPTH_MOST];
    size_t depth = 0;
    for (uint32_t number = 1; number <= source->line_count; number++) {
        const SpecLine line = spec_line(source, number);
        for (size_t at = line.indent; at < line.end; at++) {
            if (strchr("{[", line.bytes[at]) && depth < DEPTH_MOST)
                stack[depth++] = (Place){line, at};
            else if (strchr("}]", line.bytes[at]) && depth > 0)
                depth--;
        }
    }
    if (depth > 0) *open = stack[depth - 1];
    return depth > 0;
}

/* `- 6 in`, which YAML takes for a list. */
static void say_dash(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    const size_t at = trouble->here.at, end = token_end(line, at);
    const size_t behind = skip_blanks(line->bytes, at + 1, end);
    const char *text = text_of(trouble, line, behind, end);
    if (starts_as_number(text)) {
        Diagnostic *fault =
            say(trouble, line, at, end,
                arena_format(trouble->arena, "`%s` begins a list", text_of(trouble, line, at, end)));
        help(trouble, fault, arena_format(trouble->arena, "write `-%s`, without a blank", text));
    } else {
        Diagnostic *fault =
            say(trouble, line, at, at + 1, "`-` and a blank begin a list, which cannot stand here");
        help(trouble, fault, "leave the dash out");
    }
}

static void say_node_content(const Trouble *trouble) {
    const Place *here = &trouble->here;
    const char sign = sign_at(here);
    Place open;
    if ((trouble->at_end || !sign) && last_open(trouble->reading->source, &open)) {
        say_never_closed(trouble, &open);
    } else if (sign == '-') {
        say_dash(trouble);
    } else if (sign == ',') {
        Diagnostic *fault =
            say(trouble, &here->line, here->at, here->at + 1, "nothing stands before this comma");
        help(trouble, fault, "leave the comma out");
    } else if (sign == ']' || sign == '}') {
        say_too_many(trouble);
    } else {
        say_unknown(trouble);
    }
}

/* ---- Signs that nothing can start with */

static void say_cannot_start(const Trouble *trouble, const Place *place) {
    const SpecLine *line = &place->line;
    const size_t before = skip_blanks_back(line->bytes, 0, place->at);
    const char sign = sign_at(place);
    if (sign == '\t') {
        Diagnostic *fault =
            say(trouble, line, place->at, place->at, "a tab where a word or a value is wanted");
        help(trouble, fault, "put a blank in its place");
        return;
    }
    const bool value = before > 0 && strchr(":[-", line->bytes[before - 1]);
    Diagnostic *fault =
        say(trouble, line, place->at, place->at + 1,
            arena_format(trouble->arena,
                         sign == '`' ? "a %s cannot start with a backtick" : "a %s cannot start with `%c`",
                         value ? "value" : "word", sign));
    if (sign == '%')
        help(trouble, fault, "the number comes first: `40 % frame`");
    else if (sign == '>' || sign == '|')
        help(trouble, fault, "leave it out; a value stands on one line");
    else
        help(trouble, fault, "leave it out; a text that needs it stands in quotes");
}

static void say_cannot_start_here(const Trouble *trouble) {
    say_cannot_start(trouble, &trouble->here);
}

static void say_cannot_start_there(const Trouble *trouble) {
    say_cannot_start(trouble, &trouble->context);
}

/* ---- Quotes */

static void say_never_ends(const Trouble *trouble) {
    const Place *open = &trouble->context;
    const SpecLine *line = &open->line;
    const char *behind = spec_line_whole(trouble->reading, line, open->at + 1, line->count);
    const size_t end = skip_blanks_back(line->bytes, open->at, line->count);
    Diagnostic *fault = say(trouble, line, open->at, open->at + 1, "a quote is opened here and never closed");
    if (starts_as_number(behind))
        help(trouble, fault, "inches are marked behind the number: `6\"` or `6 in`");
    else if (sign_at(open) == '\'')
        help(trouble, fault,
             arena_format(trouble->arena, "put the value in quotes: `%s`",
                          in_quotes_with_word(trouble, line, open->at, end)));
    else
        help(trouble, fault, "close it at the end of the value, or leave it out");
}

static void say_escape(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    size_t at = trouble->here.at < line->count ? trouble->here.at : line->count;
    while (at > 0 && (at == line->count || line->bytes[at] != '\\'))
        at--;
    size_t first = at;
    while (first > 0 && line->bytes[first] != '"')
        first--;
    const char *rest = memchr(line->bytes + at, '"', line->count - at);
    const size_t end = rest ? (size_t)(rest - line->bytes) : line->end;
    const size_t sign = utf8_offset(line->bytes + at, line->count - at, 2);
    Diagnostic *fault = say(trouble, line, at, at + sign,
                            arena_format(trouble->arena, "`%s` inside double quotes is no sign",
                                         text_of(trouble, line, at, at + sign)));
    help(trouble, fault,
         escape_advice(trouble->arena, spec_line_whole(trouble->reading, line, first + 1, end)));
}

/* ---- The rest */

/* `{ferry:{tall: 5 in}}` and `{lens:, stop: f/11}` */
static void say_tight(const Trouble *trouble) {
    const SpecLine *line = &trouble->context.line;
    const size_t at = trouble->context.at, colon = spec_line_tight_colon(line->bytes, at, line->end);
    if (colon == line->end) {
        say_unknown(trouble);
    } else if (strchr(",]}", line->bytes[colon + 1])) {
        Diagnostic *fault =
            say(trouble, line, at, colon,
                arena_format(trouble->arena, "`%s` is empty", text_of(trouble, line, at, colon)));
        help(trouble, fault, "write its value behind the colon, or leave it out");
    } else {
        report_tight_colon(trouble->reading, spec_line_span(trouble->reading, line, at, line->end),
                           spec_line_whole(trouble->reading, line, at, line->end), colon - at);
    }
}

static void say_question(const Trouble *trouble) {
    Diagnostic *fault = say(trouble, &trouble->here.line, trouble->here.at, trouble->here.at + 1,
                            "`?` before a word is not part of the language");
    help(trouble, fault, "leave it out");
}

static void say_second_text(const Trouble *trouble) {
    const SpecLine *line = &trouble->here.line;
    SpecLine above;
    if (spec_line_before(trouble->reading->source, line->number, &above) &&
        text_starts(above.bytes + above.indent, "...")) {
        Diagnostic *fault = say(trouble, line, line->indent, line->end, "text after `...`");
        help(trouble, fault, "leave the line `...` out");
        return;
    }
    say_expected_key(trouble);
}

typedef struct Cure {
    const char *problem, *context; /* starts of libyaml's texts; context NULL: any */
    void (*say)(const Trouble *trouble);
} Cure;

static const Cure cures[] = {
    {"mapping values are not allowed", NULL, say_value_colon},
    {"could not find expected ':'", NULL, say_no_colon},
    {"did not find expected key", NULL, say_expected_key},
    {"did not find expected '-' indicator", NULL, say_expected_dash},
    {"did not find expected ','", NULL, say_flow},
    {"did not find expected node content", NULL, say_node_content},
    {"block sequence entries are not allowed", NULL, say_dash},
    {"mapping keys are not allowed", NULL, say_question},
    {"found character that cannot start any token", NULL, say_cannot_start_here},
    {"found unexpected ':'", NULL, say_tight},
    {"found unexpected", "while scanning a quoted scalar", say_never_ends},
    {"found unknown escape character", NULL, say_escape},
    {"did not find expected hexdecimal number", NULL, say_escape},
    {"found invalid Unicode character escape code", NULL, say_escape},
    {"did not find expected <document start>", NULL, say_second_text},
    {"", "while scanning a block scalar", say_cannot_start_there},
    {"", "while scanning an anchor", say_cannot_start_there},
    {"", "while scanning an alias", say_cannot_start_there},
    {"", "while scanning a tag", say_cannot_start_there},
    {"", "while parsing a tag", say_cannot_start_there},
    {"found undefined tag handle", NULL, say_cannot_start_there},
    {"", NULL, say_unknown},
};

void yaml_trouble_report(const Reading *reading, const YamlTrouble *trouble) {
    const char *problem = trouble->problem ? trouble->problem : "it cannot be read";
    const char *context = trouble->context ? trouble->context : "";
    const size_t last = reading->source->line_count;
    const Trouble all = {
        .reading = reading,
        .arena = reading->arena,
        .problem = problem,
        .at_end = trouble->line >= last,
        .here = place_of(reading->source, trouble->line, trouble->column),
        .context = place_of(reading->source, trouble->context_line, trouble->context_column),
    };
    const Cure *cure = cures;
    while (!text_starts(problem, cure->problem) || (cure->context && !text_starts(context, cure->context)))
        cure++;
    cure->say(&all);
}
