#include "quantity.h"
#include "quantity_signs.h"

/* Words that quantities or the language itself use alone. */
static const char *const reserved_names[] = {"drawn", "frame", "cover", "min", "max", "yes", "no"};

typedef struct Refusal {
    Arena *arena;
    const Signs *signs;
    size_t *column, *length;
    const char **message, **help;
} Refusal;

static bool refuse(const Refusal *refusal, size_t at, size_t end, const char *message, const char *help) {
    *refusal->column = at + 1;
    *refusal->length = end > at ? end - at : 1;
    *refusal->message = message;
    *refusal->help = help;
    return false;
}

/* The whole with a hyphen for every run of blanks. */
static const char *joined(Arena *arena, const Signs *signs) {
    char *text = arena_string(arena, signs_words(arena, signs, match_blanks(signs, 0), signs->end));
    for (char *c = text; *c; c++) {
        if (*c == ' ') *c = '-';
    }
    return text;
}

static bool refuse_reserved_word(const Refusal *refusal, size_t at, size_t end) {
    const char *word = signs_text(refusal->arena, refusal->signs, at, end);
    const char *makes = word[0] == 't' ? "ranges" : "sizes";
    const bool alone = at == 0 && end == refusal->signs->count;
    return refuse(
        refusal, at, end,
        arena_format(refusal->arena, "`%s` cannot be a word of a name: it makes %s", word, makes),
        alone ? NULL : arena_format(refusal->arena, "join it: `%s`", joined(refusal->arena, refusal->signs)));
}

static bool refuse_sign(const Refusal *refusal, size_t at) {
    const char *sign = signs_text(refusal->arena, refusal->signs, at, at + 1);
    const char *help = sign[0] == '.'   ? "a dot leads to a word of a thing: `ferry.tall`"
                       : sign[0] == '-' ? "a hyphen joins two words: `far-bank`"
                                        : "a name is made of letters, figures, blanks and hyphens";
    return refuse(refusal, at, at + 1, arena_format(refusal->arena, "`%s` cannot stand here in a name", sign),
                  help);
}

static size_t blank_end(const Signs *signs, size_t at) {
    while (at < signs->count && !sign_is_blank(sign_at(signs, at)))
        at++;
    return at;
}

/* The word at `at` is none that a name can have. */
static bool refuse_word(const Refusal *refusal, size_t at) {
    const Signs *signs = refusal->signs;
    const size_t end = blank_end(signs, at);
    if (signs_equal(signs, at, end, "to") || signs_equal(signs, at, end, "x") ||
        signs_equal(signs, at, end, "X"))
        return refuse_reserved_word(refusal, at, end);
    if (at == 0 && sign_is_digit(sign_at(signs, at)))
        return refuse(refusal, at, end, "a name begins with a letter", NULL);
    size_t sign = at;
    while (sign < end && sign_is_word(sign_at(signs, sign)))
        sign++;
    if (sign == end) /* `3b4` */
        return refuse(refusal, at, end, "figures and letters mixed in a word that begins with a figure",
                      NULL);
    return refuse_sign(refusal, sign);
}

static bool refuse_blanks(const Refusal *refusal, size_t at, size_t end) {
    const Signs *signs = refusal->signs;
    if (at == 0 || end == signs->count)
        return refuse(refusal, at, end, "a blank at the edge of a name", NULL);
    return refuse(refusal, at, end, "more than one blank between two words of a name",
                  arena_format(refusal->arena, "write `%s`",
                               signs_words(refusal->arena, signs, match_blanks(signs, 0), signs->end)));
}

static bool words_allowed(const Refusal *refusal) {
    const Signs *signs = refusal->signs;
    for (size_t at = 0;;) {
        size_t end = match_word(signs, at);
        if (end == NO_MATCH && at > 0) end = match_name_digits(signs, at);
        if (end == NO_MATCH && !sign_is_blank(sign_at(signs, at))) return refuse_word(refusal, at);
        if (end == NO_MATCH) return refuse_blanks(refusal, at, match_blanks(signs, at));
        if (end == signs->count) return true;
        if (!sign_is_blank(sign_at(signs, end))) return refuse_sign(refusal, end);
        at = match_blanks(signs, end);
        if (at != end + 1 || sign_at(signs, end) != ' ' || at == signs->count)
            return refuse_blanks(refusal, end, at);
    }
}

bool name_allowed(Arena *arena, const char *name, size_t *column, size_t *length, const char **message,
                  const char **help) {
    const Signs signs = signs_new(arena, name);
    const Refusal refusal = {arena, &signs, column, length, message, help};
    if (signs.count == 0) return refuse(&refusal, 0, 1, "an empty name", NULL);
    if (match_unit_word(&signs, 0) == signs.count)
        return refuse(&refusal, 0, signs.count, "it is a unit", "puppets are units themselves: `1.5 otter`");
    for (size_t i = 0; i < sizeof reserved_names / sizeof *reserved_names; i++) {
        if (signs_equal(&signs, 0, signs.count, reserved_names[i]))
            return refuse(&refusal, 0, signs.count, "it is a word of the language", NULL);
    }
    return words_allowed(&refusal);
}
