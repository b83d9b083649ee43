/* The tokens of docs/quantities.ebnf, each matched as its regular expression there says: the longest text,
 * none of it given back. A hand-made scanner, because the tokens look behind and ahead.
 *
 * Positions are code points, so that columns need no second count. */
#ifndef GROUNDROW_QUANTITY_SIGNS_H
#define GROUNDROW_QUANTITY_SIGNS_H

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A text as code points. A byte that is no UTF-8 becomes U+FFFD, which no token takes. */
typedef struct Signs {
    const char *text;
    const uint32_t *items;   /* `count` of them, then a 0 */
    const uint32_t *offsets; /* the byte where each begins; one more for the end */
    size_t count;
    size_t end; /* `count` without the blanks at the end */
} Signs;

enum {
    SIGN_MINUS = 0x2212,
    SIGN_EN_DASH = 0x2013,
    SIGN_EM_DASH = 0x2014,
    SIGN_TIMES = 0xD7,
    SIGN_DEGREE = 0xB0
};

Signs signs_new(Arena *arena, const char *text);
/* The bytes of [at, end). */
const char *signs_text(Arena *arena, const Signs *signs, size_t at, size_t end);
/* The same with every run of blanks as one blank: how names and words are looked up. */
const char *signs_words(Arena *arena, const Signs *signs, size_t at, size_t end);
bool signs_equal(const Signs *signs, size_t at, size_t end, const char *ascii);

/* `at` may be anything; past the end stands 0. */
uint32_t sign_at(const Signs *signs, size_t at);
bool sign_is_blank(uint32_t sign);
bool sign_is_digit(uint32_t sign);
bool sign_is_letter(uint32_t sign);
bool sign_is_word(uint32_t sign); /* a letter or a digit */
bool sign_is_vulgar(uint32_t sign);
bool sign_is_foot_mark(uint32_t sign);
bool sign_is_mark(uint32_t sign); /* of feet or inches */
bool sign_is_times(uint32_t sign);
bool sign_is_minus(uint32_t sign);
bool number_can_begin(const Signs *signs, size_t at); /* digit, point or vulgar fraction */

/* Every token below returns where it ends, or NO_MATCH; `at` is at most the count. */
#define NO_MATCH ((size_t)-1)

size_t match_blanks(const Signs *signs, size_t at); /* `_`: always matches */
size_t match_to(const Signs *signs, size_t at);
size_t match_times(const Signs *signs, size_t at);
size_t match_plus(const Signs *signs, size_t at);
size_t match_minus(const Signs *signs, size_t at);
size_t match_star(const Signs *signs, size_t at);
size_t match_slash(const Signs *signs, size_t at);
size_t match_sign(const Signs *signs, size_t at);
size_t match_dot(const Signs *signs, size_t at);
size_t match_joint(const Signs *signs, size_t at);
size_t match_stop(const Signs *signs, size_t at);
/* `drawn` and the ways, with the blanks before them. */
size_t match_drawn(const Signs *signs, size_t at);
size_t match_way(const Signs *signs, size_t at);
/* `frame`, `cover`, `min`, `max`. */
size_t match_keyword(const Signs *signs, size_t at, const char *keyword);
size_t match_name(const Signs *signs, size_t at);
size_t match_name_not_unit(const Signs *signs, size_t at);
size_t match_field(const Signs *signs, size_t at);
size_t match_word(const Signs *signs, size_t at);        /* %WORD: one word of a name */
size_t match_name_digits(const Signs *signs, size_t at); /* %DIGITS: a number as a word of a name */
size_t match_unit_word(const Signs *signs, size_t at);   /* %UNITWORD */

/* A number as written. Its parts are positions; values are read once its digits are known to be few enough.
 */
typedef struct Number {
    size_t start, end;
    size_t whole_at, whole_end; /* digits before a fraction or the point; the same when there are none */
    size_t part_at, part_end;   /* the decimals, or the fraction */
    size_t slash_at;            /* of a fraction with a slash, or NO_MATCH */
    bool decimal;
} Number;

/* Sets `number` and returns its end, or NO_MATCH. */
size_t match_number(const Signs *signs, size_t at, Number *number);
/* The same without what may not follow: how far a faulty number reaches. NO_MATCH when there is not even a
 * digit. */
size_t match_number_raw(const Signs *signs, size_t at, Number *number);

size_t number_digits(const Signs *signs, const Number *number);
bool number_over_zero(const Signs *signs, const Number *number);
bool number_mixed_too_large(const Signs *signs, const Number *number); /* `1 3/2` */
/* Needs at most 15 digits and no zero below the line; exact to the last bit for decimals. */
double number_value(const Signs *signs, const Number *number);

/* What a unit measures and how much: one row of the table. */
typedef struct Unit {
    const char *word; /* as written, ASCII; marks and raised figures are told apart in match_unit */
    int kind;         /* a QuantityKind */
    double factor;    /* to the canonical unit */
    int family;       /* units of one family can follow each other, larger first (`3 ft 6 in`); 0: none */
} Unit;

size_t match_unit(const Signs *signs, size_t at, const Unit **unit);
/* All units with a word, for help; ends with a word that is NULL. */
const Unit *units_all(void);
/* Those that join two with a stroke (`lb/ft2`); ends likewise. */
const Unit *units_joined(void);

#endif
