#include "comma_traps.h"

#include "phrase.h"

#include <string.h>

static size_t count_digits(const char *text) {
    return strspn(text, "0123456789");
}

/* Three digits and then none: what follows the comma of a number in thousands. */
static bool is_group(const char *piece) {
    return count_digits(piece) == 3;
}

/* How many round brackets are open at the end of the text, and where the last of them is. */
static size_t open_brackets(const char *text, const char **last) {
    const char *stack[16];
    size_t depth = 0;
    for (; *text; text++) {
        if (*text == '(') {
            if (depth < 16) stack[depth] = text;
            depth++;
        } else if (*text == ')' && depth > 0) {
            depth--;
        }
    }
    *last = depth > 0 ? stack[depth < 16 ? depth - 1 : 15] : NULL;
    return depth;
}

static const char *pieces_text(Arena *arena, const CommaSplit *split, const char *between) {
    Buffer out = buffer_new(arena);
    for (size_t i = 0; i < split->pieces.count; i++) {
        buffer_add(&out, i > 0 ? between : "");
        buffer_add(&out, split->pieces.items[i]);
    }
    return buffer_text(&out);
}

bool comma_split_begin(Arena *arena, CommaSplit *split, const CommaPlace *place, const char *value,
                       const char *piece) {
    const char *last;
    const bool open = open_brackets(value, &last) > 0;
    const bool digits = place->tight && value[0] != '\0' && value[count_digits(value)] == '\0' &&
                        (place->list ? is_group(piece) : count_digits(piece) > 0);
    if (!open && !digits) return false;
    *split = (CommaSplit){.active = true, .digits = !open, .place = *place};
    LIST_PUSH(arena, split->pieces, value);
    LIST_PUSH(arena, split->pieces, piece);
    return true;
}

bool comma_split_go_on(Arena *arena, CommaSplit *split, const char *piece) {
    const char *last_piece = split->pieces.items[split->pieces.count - 1], *last;
    const bool goes_on = split->digits
                             ? count_digits(last_piece) == 3 && last_piece[3] == '\0' && is_group(piece)
                             : open_brackets(pieces_text(arena, split, ";"), &last) > 0;
    enum {
        PIECES_MOST = 16
    }; /* a bracket that is never closed must not swallow a long list again and again */
    if (!goes_on || split->pieces.count >= PIECES_MOST) return false;
    LIST_PUSH(arena, split->pieces, piece);
    return true;
}

/* `min(`, or `(` alone: the bracket of the first piece that is not closed, with its word. */
static const char *open_call(Arena *arena, const char *value) {
    const char *bracket;
    open_brackets(value, &bracket);
    const char *start = bracket;
    while (start > value &&
           ((start[-1] >= 'a' && start[-1] <= 'z') || (start[-1] >= 'A' && start[-1] <= 'Z')))
        start--;
    return arena_copy(arena, start, (size_t)(bracket - start) + 1);
}

/* `190 mm, 62 mm` between the brackets of `(190 mm, 62 mm)`, or NULL when it is more than that. */
static const char *bracketed_pair(Arena *arena, const CommaSplit *split) {
    const char *text = pieces_text(arena, split, ", ");
    const size_t count = strlen(text);
    if (split->pieces.count != 2 || text[0] != '(' || strcspn(text, ")") != count - 1) return NULL;
    return arena_copy(arena, text + 1, count - 2);
}

static void report_open(const Reading *reading, const CommaSplit *split) {
    Arena *arena = reading->arena;
    const CommaPlace *place = &split->place;
    Diagnostic *fault = diagnostics_error(
        reading->diagnostics, place->comma, "a comma ends the value inside %s, so `%s` of %s is never closed",
        place->list ? "[ ]" : "{ }", phrase_short(arena, open_call(arena, split->pieces.items[0])),
        place->value);
    const char *pair = place->word ? bracketed_pair(arena, split) : NULL;
    if (pair) {
        diagnostic_help(reading->diagnostics, fault, "two lengths stand in brackets: `%s: [%s]`",
                        phrase_short(arena, place->word), phrase_short(arena, pair));
        return;
    }
    Buffer whole = buffer_new(arena);
    buffer_add(&whole, pieces_text(arena, split, "; "));
    const char *last;
    for (size_t open = open_brackets(buffer_text(&whole), &last); open > 0 && open < 16; open--)
        buffer_add_char(&whole, ')');
    diagnostic_help(reading->diagnostics, fault, "write `%s`", phrase_short(arena, buffer_text(&whole)));
}

/* `1200 mm` as metres, `1.2 m`; NULL for other units. */
static const char *in_metres(Arena *arena, const char *number) {
    const size_t digits = count_digits(number);
    const char *unit = number + digits + strspn(number + digits, " ");
    if (!text_equal(unit, "mm") || digits < 4) return NULL;
    size_t end = digits;
    while (end > digits - 3 && number[end - 1] == '0')
        end--;
    const int whole = (int)(digits - 3), part = (int)end - whole;
    return arena_format(arena, part > 0 ? "%.*s.%.*s m" : "%.*s m", whole, number, part, number + whole);
}

static void report_digits(const Reading *reading, const CommaSplit *split) {
    Arena *arena = reading->arena;
    const CommaPlace *place = &split->place;
    const char *first = phrase_short(arena, split->pieces.items[0]);
    const char *rest = phrase_short(arena, split->pieces.items[1]);
    Diagnostic *fault =
        place->list
            ? diagnostics_error(reading->diagnostics, place->comma,
                                "a comma ends the value inside [ ]: `%s` and `%s` in %s are two", first, rest,
                                place->value)
            : diagnostics_error(reading->diagnostics, place->comma,
                                "a comma ends the value inside { }: %s is `%s`, and `%s` is taken for a word",
                                place->value, first, rest);
    const bool thousands = is_group(split->pieces.items[1]);
    const char *number = pieces_text(arena, split, thousands ? "" : ".");
    const char *metres = thousands ? in_metres(arena, number) : NULL;
    if (metres)
        diagnostic_help(reading->diagnostics, fault, "write `%s` or `%s`", phrase_short(arena, number),
                        phrase_short(arena, metres));
    else
        diagnostic_help(reading->diagnostics, fault, "write `%s`", phrase_short(arena, number));
}

void comma_split_report(const Reading *reading, CommaSplit *split) {
    if (!split->active) return;
    if (split->digits)
        report_digits(reading, split);
    else
        report_open(reading, split);
    split->active = false;
}

/* ---- A word without a colon */

static void report_place(const Reading *reading, const CommaPlace *place, const char *value, const char *word,
                         Span word_span) {
    Arena *arena = reading->arena;
    Diagnostic *fault =
        diagnostics_error(reading->diagnostics, word_span, "`%s` stands where a word is wanted, in %s",
                          phrase_short(arena, word), place->table);
    if (value && place->word)
        diagnostic_help(reading->diagnostics, fault, "two lengths stand in brackets: `%s: [%s, %s]`",
                        phrase_short(arena, place->word), phrase_short(arena, value),
                        phrase_short(arena, word));
    else
        diagnostic_help(reading->diagnostics, fault, "inside { } stand words with a colon and a value");
}

static const char *report_missing_colon(const Reading *reading, const char *word, size_t number,
                                        Span word_span) {
    Arena *arena = reading->arena;
    const char *alone = arena_copy(arena, word, skip_blanks_back(word, 0, number));
    Diagnostic *fault =
        diagnostics_error(reading->diagnostics, span_part(word_span, 0, utf8_length(alone, strlen(alone))),
                          "a colon is missing after `%s`", phrase_short(arena, alone));
    diagnostic_help(reading->diagnostics, fault, "write `%s: %s`", phrase_short(arena, alone),
                    phrase_short(arena, word + number));
    return alone;
}

static const char *report_equals(const Reading *reading, const char *word, const char *equals,
                                 Span word_span) {
    Arena *arena = reading->arena;
    const char *alone = arena_copy(arena, word, skip_blanks_back(word, 0, (size_t)(equals - word)));
    Diagnostic *fault = diagnostics_error(
        reading->diagnostics, span_part(word_span, utf8_length(word, (size_t)(equals - word)), 1),
        "`=` stands after `%s`, where a colon is wanted", phrase_short(arena, alone));
    diagnostic_help(reading->diagnostics, fault, "write `%s: %s`", phrase_short(arena, alone),
                    phrase_short(arena, equals + 1 + strspn(equals + 1, " ")));
    return alone;
}

/* `river.png` in `{image: drawings/fog, river.png}`. */
static void report_text_with_comma(const Reading *reading, const CommaPlace *place, const char *value,
                                   const char *word) {
    Arena *arena = reading->arena;
    Diagnostic *fault =
        diagnostics_error(reading->diagnostics, place->comma,
                          "a comma ends the value inside { }: %s is `%s`, and `%s` is taken for a word",
                          place->value, phrase_short(arena, value), phrase_short(arena, word));
    const char *whole = arena_format(arena, place->tight ? "%s,%s" : "%s, %s", value, word);
    diagnostic_help(reading->diagnostics, fault, "put the value in quotes: `%s: %s`",
                    phrase_short(arena, place->word), in_quotes(arena, phrase_short(arena, whole)));
}

const char *report_bare_word(const Reading *reading, const CommaPlace *place, const char *value,
                             const char *word, Span word_span) {
    Arena *arena = reading->arena;
    const size_t count = strlen(word), colon = spec_line_tight_colon(word, 0, count);
    const size_t number = find_missing_colon(word, count);
    const char *equals = strchr(word, '=');
    if (colon < count) {
        report_tight_colon(reading, word_span, word, colon);
        return arena_copy(arena, word, colon);
    }
    if (equals && equals > word) return report_equals(reading, word, equals, word_span);
    if (starts_as_number(word) || word[0] == '(') {
        report_place(reading, place, value, word, word_span);
        return NULL;
    }
    if (number < count) return report_missing_colon(reading, word, number, word_span);
    if (!looks_like_name(word, count) && value && place->word) {
        report_text_with_comma(reading, place, value, word);
        return NULL;
    }
    Diagnostic *fault =
        diagnostics_error(reading->diagnostics, word_span, "`%s` is empty", phrase_short(arena, word));
    diagnostic_help(reading->diagnostics, fault,
                    "write a colon and its value, or leave it out; a text with a comma stands in quotes");
    return word;
}
