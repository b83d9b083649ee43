#include "quantity_signs.h"

#include "base/number.h"
#include "base/text.h"
#include "plan/formula.h"

#include <string.h>

Signs signs_new(Arena *arena, const char *text) {
    const size_t bytes = strlen(text);
    uint32_t *items = ARENA_ARRAY(arena, uint32_t, bytes + 1);
    uint32_t *offsets = ARENA_ARRAY(arena, uint32_t, bytes + 1);
    size_t count = 0, offset = 0;
    while (offset < bytes) {
        size_t taken = utf8_decode(text + offset, bytes - offset, &items[count]);
        if (taken == 0) {
            items[count] = 0xFFFD;
            taken = 1;
        }
        offsets[count++] = (uint32_t)offset;
        offset += taken;
    }
    offsets[count] = (uint32_t)bytes;
    size_t end = count;
    while (end > 0 && sign_is_blank(items[end - 1]))
        end--;
    return (Signs){.text = text, .items = items, .offsets = offsets, .count = count, .end = end};
}

const char *signs_text(Arena *arena, const Signs *signs, size_t at, size_t end) {
    return arena_copy(arena, signs->text + signs->offsets[at], signs->offsets[end] - signs->offsets[at]);
}

const char *signs_words(Arena *arena, const Signs *signs, size_t at, size_t end) {
    char *text =
        arena_copy(arena, signs->text + signs->offsets[at], signs->offsets[end] - signs->offsets[at]);
    char *to = text;
    for (const char *from = text; *from; from++) {
        const bool blank = *from == ' ' || *from == '\t';
        if (!blank || to == text || to[-1] != ' ') *to++ = blank ? ' ' : *from;
    }
    *to = '\0';
    return text;
}

bool signs_equal(const Signs *signs, size_t at, size_t end, const char *ascii) {
    for (; at < end; at++, ascii++) {
        if (*ascii == '\0' || sign_at(signs, at) != (unsigned char)*ascii) return false;
    }
    return *ascii == '\0';
}

uint32_t sign_at(const Signs *signs, size_t at) {
    return at < signs->count ? signs->items[at] : 0;
}

bool sign_is_blank(uint32_t sign) {
    return sign == ' ' || sign == '\t';
}

bool sign_is_digit(uint32_t sign) {
    return sign >= '0' && sign <= '9';
}

bool sign_is_letter(uint32_t sign) {
    return (sign >= 'A' && sign <= 'Z') || (sign >= 'a' && sign <= 'z') || sign == '_' ||
           (sign >= 0xC0 && sign <= 0x2FF && sign != 0xD7 && sign != 0xF7) ||
           (sign >= 0x370 && sign <= 0x1FFF);
}

bool sign_is_word(uint32_t sign) {
    return sign_is_letter(sign) || sign_is_digit(sign);
}

typedef struct Vulgar {
    uint32_t sign;
    int above, below;
} Vulgar;

static const Vulgar vulgars[] = {{0xBD, 1, 2},   {0xBC, 1, 4},   {0xBE, 3, 4},
                                 {0x215B, 1, 8}, {0x215C, 3, 8}, {0x215D, 5, 8},
                                 {0x215E, 7, 8}, {0x2153, 1, 3}, {0x2154, 2, 3}};

static const Vulgar *vulgar_find(uint32_t sign) {
    for (size_t i = 0; i < sizeof vulgars / sizeof *vulgars; i++) {
        if (vulgars[i].sign == sign) return &vulgars[i];
    }
    return NULL;
}

bool sign_is_vulgar(uint32_t sign) {
    return vulgar_find(sign) != NULL;
}

bool sign_is_foot_mark(uint32_t sign) {
    return sign == '\'' || sign == 0x2032 || sign == 0x2019;
}

static bool is_inch_mark(uint32_t sign) {
    return sign == '"' || sign == 0x2033 || sign == 0x201D;
}

bool sign_is_mark(uint32_t sign) {
    return sign_is_foot_mark(sign) || is_inch_mark(sign);
}

bool sign_is_times(uint32_t sign) {
    return sign == 'x' || sign == 'X' || sign == SIGN_TIMES;
}

bool sign_is_minus(uint32_t sign) {
    return sign == '-' || sign == SIGN_MINUS;
}

bool number_can_begin(const Signs *signs, size_t at) {
    const uint32_t sign = sign_at(signs, at);
    return sign_is_digit(sign) || sign == '.' || sign_is_vulgar(sign);
}

static bool is_apostrophe(uint32_t sign) {
    return sign == '\'' || sign == 0x2019;
}

static size_t skip_digits(const Signs *signs, size_t at) {
    while (sign_is_digit(sign_at(signs, at)))
        at++;
    return at;
}

/* ---- signs between quantities */

size_t match_blanks(const Signs *signs, size_t at) {
    while (sign_is_blank(sign_at(signs, at)))
        at++;
    return at;
}

/* Blanks, one sign, blanks; both runs at least `least` long. */
static size_t match_between(const Signs *signs, size_t at, bool (*is)(uint32_t), size_t least) {
    const size_t sign = match_blanks(signs, at);
    if (sign - at < least || !is(sign_at(signs, sign))) return NO_MATCH;
    const size_t end = match_blanks(signs, sign + 1);
    return end - sign - 1 < least ? NO_MATCH : end;
}

static bool is_plus(uint32_t sign) {
    return sign == '+';
}

static bool is_star(uint32_t sign) {
    return sign == '*';
}

static bool is_slash(uint32_t sign) {
    return sign == '/';
}

size_t match_to(const Signs *signs, size_t at) {
    const size_t word = match_blanks(signs, at);
    if (word == at || !signs_equal(signs, word, word + 2, "to")) return NO_MATCH;
    const size_t end = match_blanks(signs, word + 2);
    return end == word + 2 ? NO_MATCH : end;
}

size_t match_times(const Signs *signs, size_t at) {
    const size_t apart = match_between(signs, at, sign_is_times, 1);
    if (apart != NO_MATCH || at == 0) return apart;
    const uint32_t before = sign_at(signs, at - 1);
    const bool joins = sign_is_digit(before) || sign_is_mark(before) || sign_is_vulgar(before);
    return joins && sign_is_times(sign_at(signs, at)) && number_can_begin(signs, at + 1) ? at + 1 : NO_MATCH;
}

size_t match_plus(const Signs *signs, size_t at) {
    return match_between(signs, at, is_plus, 0);
}

size_t match_minus(const Signs *signs, size_t at) {
    return match_between(signs, at, sign_is_minus, 1);
}

size_t match_star(const Signs *signs, size_t at) {
    return match_between(signs, at, is_star, 0);
}

size_t match_slash(const Signs *signs, size_t at) {
    const size_t apart = match_between(signs, at, is_slash, 1);
    if (apart != NO_MATCH) return apart;
    if (sign_at(signs, at) != '/' || sign_is_blank(sign_at(signs, at + 1))) return NO_MATCH;
    const size_t digits = skip_digits(signs, at + 1);
    const bool fraction =
        digits > at + 1 && sign_at(signs, digits) == '/' && sign_is_digit(sign_at(signs, digits + 1));
    return fraction ? NO_MATCH : at + 1;
}

size_t match_sign(const Signs *signs, size_t at) {
    const uint32_t sign = sign_at(signs, at);
    return sign == '+' || sign_is_minus(sign) ? match_blanks(signs, at + 1) : NO_MATCH;
}

size_t match_dot(const Signs *signs, size_t at) {
    return sign_at(signs, at) == '.' && !sign_is_digit(sign_at(signs, at + 1)) ? at + 1 : NO_MATCH;
}

size_t match_joint(const Signs *signs, size_t at) {
    const uint32_t before = at > 0 ? sign_at(signs, at - 1) : 0;
    const bool two_marks = at > 1 && before == '\'' && sign_at(signs, at - 2) == '\'';
    if (sign_is_foot_mark(before) && !two_marks && sign_at(signs, at) == '-' &&
        number_can_begin(signs, at + 1))
        return at + 1;
    const size_t end = match_blanks(signs, at);
    return number_can_begin(signs, end) && (end > at || sign_is_mark(before)) ? end : NO_MATCH;
}

size_t match_stop(const Signs *signs, size_t at) {
    const uint32_t sign = sign_at(signs, at);
    if (sign != 'f' && sign != 'F' && sign != 0x192) return NO_MATCH;
    const size_t digits = at + 1 + (sign_at(signs, at + 1) == '/');
    size_t end = skip_digits(signs, digits);
    if (end == digits) return NO_MATCH;
    if (sign_at(signs, end) == '.' && sign_is_digit(sign_at(signs, end + 1)))
        end = skip_digits(signs, end + 1);
    return sign_is_word(sign_at(signs, end)) || sign_at(signs, end) == '.' ? NO_MATCH : end;
}

/* ---- words */

size_t match_keyword(const Signs *signs, size_t at, const char *keyword) {
    const size_t end = at + strlen(keyword);
    if (!signs_equal(signs, at, end, keyword)) return NO_MATCH;
    const uint32_t next = sign_at(signs, end);
    return sign_is_word(next) || next == '.' || next == '-' || is_apostrophe(next) ? NO_MATCH : end;
}

size_t match_drawn(const Signs *signs, size_t at) {
    const size_t word = match_blanks(signs, at);
    return word == at ? NO_MATCH : match_keyword(signs, word, "drawn");
}

size_t match_way(const Signs *signs, size_t at) {
    static const char *const ways[] = {"up", "down", "left", "right"};
    const size_t word = match_blanks(signs, at);
    if (word == at) return NO_MATCH;
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        const size_t end = match_keyword(signs, word, ways[i]);
        if (end != NO_MATCH) return end;
    }
    return NO_MATCH;
}

/* `to`, `x` and `X` are never a word of a name. */
static bool is_reserved_word(const Signs *signs, size_t at) {
    const uint32_t first = sign_at(signs, at);
    size_t end;
    if (first == 'x' || first == 'X')
        end = at + 1;
    else if (first == 't' && sign_at(signs, at + 1) == 'o')
        end = at + 2;
    else
        return false;
    const uint32_t next = sign_at(signs, end);
    return !sign_is_word(next) && next != '\'' && next != '-';
}

size_t match_word(const Signs *signs, size_t at) {
    if (!sign_is_letter(sign_at(signs, at)) || is_reserved_word(signs, at)) return NO_MATCH;
    for (at++;; at++) {
        const uint32_t sign = sign_at(signs, at), next = sign_at(signs, at + 1);
        const bool takes = sign_is_word(sign) || (sign == '-' && sign_is_word(next)) ||
                           (is_apostrophe(sign) && sign_is_letter(next));
        if (!takes) return at;
    }
}

size_t match_name_digits(const Signs *signs, size_t at) {
    size_t end = skip_digits(signs, at);
    if (end == at) return NO_MATCH;
    while (sign_is_letter(sign_at(signs, end)))
        end++;
    const uint32_t next = sign_at(signs, end);
    const bool more = sign_is_digit(next) || next == '/' || next == '-' ||
                      (next == '.' && sign_is_digit(sign_at(signs, end + 1)));
    return more ? NO_MATCH : end;
}

size_t match_name(const Signs *signs, size_t at) {
    size_t end = match_word(signs, at);
    while (end != NO_MATCH) {
        const size_t next = match_blanks(signs, end);
        if (next == end) break;
        size_t word = match_word(signs, next);
        if (word == NO_MATCH) word = match_name_digits(signs, next);
        if (word == NO_MATCH) break;
        end = word;
    }
    return end;
}

size_t match_name_not_unit(const Signs *signs, size_t at) {
    const uint32_t first = sign_at(signs, at);
    const bool size = (first == 'x' || first == 'X') && sign_is_digit(sign_at(signs, at + 1));
    return size || match_unit_word(signs, at) != NO_MATCH ? NO_MATCH : match_name(signs, at);
}

static bool is_lower(uint32_t sign) {
    return sign >= 'a' && sign <= 'z';
}

size_t match_field(const Signs *signs, size_t at) {
    size_t good = NO_MATCH;
    for (;;) {
        size_t end = at;
        while (is_lower(sign_at(signs, end)))
            end++;
        if (end == at || signs_equal(signs, at, end, "to") || signs_equal(signs, at, end, "x")) return good;
        const uint32_t next = sign_at(signs, end);
        if (sign_is_word(next) || next == '\'' || next == '-') return good;
        good = end;
        at = match_blanks(signs, end);
        if (at == end) return good;
    }
}

/* ---- numbers */

static bool may_follow_number(const Signs *signs, size_t at) {
    const uint32_t sign = sign_at(signs, at);
    const bool glues = sign == '.' || sign == '/' || sign == ',' || sign == '-';
    return !sign_is_digit(sign) && !sign_is_vulgar(sign) && !(glues && sign_is_digit(sign_at(signs, at + 1)));
}

/* A fraction, `3/4` or a vulgar one, right here. */
static bool take_fraction(const Signs *signs, size_t at, Number *number) {
    size_t end = at + 1, slash = NO_MATCH;
    if (!sign_is_vulgar(sign_at(signs, at))) {
        slash = skip_digits(signs, at);
        if (slash == at || sign_at(signs, slash) != '/') return false;
        end = skip_digits(signs, slash + 1);
        if (end == slash + 1) return false;
    }
    number->part_at = at;
    number->part_end = number->end = end;
    number->slash_at = slash;
    return true;
}

static bool take_decimals(const Signs *signs, size_t point, Number *number) {
    if (sign_at(signs, point) != '.' || !sign_is_digit(sign_at(signs, point + 1))) return false;
    number->part_at = point + 1;
    number->part_end = number->end = skip_digits(signs, point + 1);
    number->decimal = true;
    return true;
}

/* What follows the whole digits of a mixed number: blanks or one hyphen. */
static bool take_mixed(const Signs *signs, size_t at, Number *number) {
    const size_t next = sign_at(signs, at) == '-' ? at + 1 : match_blanks(signs, at);
    return (next > at || sign_is_vulgar(sign_at(signs, next))) && take_fraction(signs, next, number);
}

size_t match_number_raw(const Signs *signs, size_t at, Number *number) {
    const size_t digits = skip_digits(signs, at);
    *number = (Number){.start = at,
                       .end = digits,
                       .whole_at = at,
                       .whole_end = digits,
                       .part_at = digits,
                       .part_end = digits,
                       .slash_at = NO_MATCH};
    if (take_decimals(signs, digits, number)) return number->end;
    if (take_fraction(signs, at, number)) {
        number->whole_end = at;
        return number->end;
    }
    if (digits == at) return NO_MATCH;
    take_mixed(signs, digits, number);
    return number->end;
}

size_t match_number(const Signs *signs, size_t at, Number *number) {
    if (match_number_raw(signs, at, number) == NO_MATCH) return NO_MATCH;
    if (may_follow_number(signs, number->end)) return number->end;
    if (number->whole_end == at || !may_follow_number(signs, number->whole_end)) return NO_MATCH;
    number->end = number->part_at = number->part_end = number->whole_end;
    number->slash_at = NO_MATCH;
    number->decimal = false;
    return number->end;
}

size_t number_digits(const Signs *signs, const Number *number) {
    size_t digits = 0;
    for (size_t i = number->start; i < number->end; i++)
        digits += sign_is_digit(sign_at(signs, i));
    return digits;
}

static double whole_value(const Signs *signs, size_t at, size_t end) {
    double value = 0;
    for (; at < end; at++)
        value = value * 10 + (double)(sign_at(signs, at) - '0');
    return value;
}

static void fraction_value(const Signs *signs, const Number *number, double *above, double *below) {
    const Vulgar *vulgar = vulgar_find(sign_at(signs, number->part_at));
    if (vulgar) {
        *above = vulgar->above;
        *below = vulgar->below;
    } else {
        *above = whole_value(signs, number->part_at, number->slash_at);
        *below = whole_value(signs, number->slash_at + 1, number->part_end);
    }
}

static bool has_fraction(const Number *number) {
    return !number->decimal && number->part_end > number->part_at;
}

bool number_over_zero(const Signs *signs, const Number *number) {
    double above = 0, below = 1;
    if (has_fraction(number)) fraction_value(signs, number, &above, &below);
    return below == 0;
}

bool number_mixed_too_large(const Signs *signs, const Number *number) {
    double above = 0, below = 1;
    if (has_fraction(number)) fraction_value(signs, number, &above, &below);
    return number->whole_end > number->whole_at && above >= below;
}

double number_value(const Signs *signs, const Number *number) {
    const double whole = whole_value(signs, number->whole_at, number->whole_end);
    if (has_fraction(number)) {
        double above, below;
        fraction_value(signs, number, &above, &below);
        return (whole * below + above) / below;
    }
    /* Up to 15 digits and 10^15 are exact, so one division rounds once. */
    double digits = whole, scale = 1;
    for (size_t i = number->part_at; i < number->part_end; i++) {
        digits = digits * 10 + (double)(sign_at(signs, i) - '0');
        scale *= 10;
    }
    return digits / scale;
}

/* ---- units */

#define MM_PER_FOOT 304.8 /* exact: international foot of 1959 */
#define M_PER_FOOT 0.3048

enum { FAMILY_FEET = 1, FAMILY_METRES, FAMILY_POUNDS, FAMILY_GRAMS };

static const Unit units[] = {
    {"in", KIND_LENGTH, MM_PER_INCH, FAMILY_FEET},
    {"inch", KIND_LENGTH, MM_PER_INCH, FAMILY_FEET},
    {"inches", KIND_LENGTH, MM_PER_INCH, FAMILY_FEET},
    {"ft", KIND_LENGTH, MM_PER_FOOT, FAMILY_FEET},
    {"foot", KIND_LENGTH, MM_PER_FOOT, FAMILY_FEET},
    {"feet", KIND_LENGTH, MM_PER_FOOT, FAMILY_FEET},
    {"yd", KIND_LENGTH, 3 * MM_PER_FOOT, FAMILY_FEET},
    {"yard", KIND_LENGTH, 3 * MM_PER_FOOT, FAMILY_FEET},
    {"yards", KIND_LENGTH, 3 * MM_PER_FOOT, FAMILY_FEET},
    {"mm", KIND_LENGTH, 1, FAMILY_METRES},
    {"cm", KIND_LENGTH, 10, FAMILY_METRES},
    {"m", KIND_LENGTH, 1000, FAMILY_METRES},
    {"deg", KIND_ANGLE, PI / 180, 0},
    {"degree", KIND_ANGLE, PI / 180, 0},
    {"degrees", KIND_ANGLE, PI / 180, 0},
    {"px", KIND_PIXELS, 1, 0},
    {"ppi", KIND_PRINT, 1, 0},
    {"dpi", KIND_PRINT, 1, 0},
    {"lb", KIND_MASS, KG_PER_LB, FAMILY_POUNDS},
    {"oz", KIND_MASS, KG_PER_LB / 16, FAMILY_POUNDS},
    {"kg", KIND_MASS, 1, FAMILY_GRAMS},
    {"g", KIND_MASS, 0.001, FAMILY_GRAMS},
    {"psi", KIND_STIFFNESS, N_MM2_PER_PSI, 0},
    {"MPa", KIND_STIFFNESS, 1, 0},
    {"GPa", KIND_STIFFNESS, 1000, 0},
    {"kW", KIND_POWER, 1000, 0},
    {"W", KIND_POWER, 1, 0},
    {"V", KIND_VOLTAGE, 1, 0},
    {"A", KIND_CURRENT, 1, 0},
    {"K", KIND_COLOUR, 1, 0},
    {NULL, 0, 0, 0},
};

/* Those whose writing is no plain word. */
static const Unit foot_mark = {"ft", KIND_LENGTH, MM_PER_FOOT, FAMILY_FEET};
static const Unit inch_mark = {"in", KIND_LENGTH, MM_PER_INCH, FAMILY_FEET};
static const Unit degree_sign = {"deg", KIND_ANGLE, PI / 180, 0};
enum { POUNDS_AN_AREA, POUNDS_A_VOLUME, KILOGRAMS_AN_AREA, KILOGRAMS_A_VOLUME, NEWTONS_AN_AREA };
static const Unit joined_units[] = {
    [POUNDS_AN_AREA] = {"lb/ft2", KIND_AREA_WEIGHT, KG_PER_LB / (M_PER_FOOT * M_PER_FOOT), 0},
    [POUNDS_A_VOLUME] = {"lb/ft3", KIND_DENSITY, KG_PER_LB / (M_PER_FOOT * M_PER_FOOT * M_PER_FOOT), 0},
    [KILOGRAMS_AN_AREA] = {"kg/m2", KIND_AREA_WEIGHT, 1, 0},
    [KILOGRAMS_A_VOLUME] = {"kg/m3", KIND_DENSITY, 1, 0},
    [NEWTONS_AN_AREA] = {"N/mm2", KIND_STIFFNESS, 1, 0},
    {NULL, 0, 0, 0},
};

const Unit *units_all(void) {
    return units;
}

const Unit *units_joined(void) {
    return joined_units;
}

static size_t skip_word(const Signs *signs, size_t at) {
    while (sign_is_word(sign_at(signs, at)))
        at++;
    return at;
}

static const Unit *unit_find(const Signs *signs, size_t at, size_t end) {
    for (const Unit *unit = units; unit->word; unit++) {
        if (signs_equal(signs, at, end, unit->word)) return unit;
    }
    return NULL;
}

size_t match_unit_word(const Signs *signs, size_t at) {
    const size_t end = skip_word(signs, at);
    return end > at && unit_find(signs, at, end) ? end : NO_MATCH;
}

static size_t match_mark(const Signs *signs, size_t at, const Unit **unit) {
    const uint32_t sign = sign_at(signs, at);
    if (sign == '\'' && sign_at(signs, at + 1) == '\'') {
        *unit = &inch_mark;
        return at + 2;
    }
    *unit = sign_is_foot_mark(sign) ? &foot_mark
            : is_inch_mark(sign)    ? &inch_mark
            : sign == SIGN_DEGREE   ? &degree_sign
                                    : NULL;
    return *unit ? at + 1 : NO_MATCH;
}

/* `lb/ft3`, `kg/m2`, `N/mm2` and with raised figures. */
static size_t match_ratio(const Signs *signs, size_t at, const Unit **unit) {
    static const struct {
        const char *text;
        int by_area, by_volume; /* -1: none */
    } ratios[] = {{"lb/ft", POUNDS_AN_AREA, POUNDS_A_VOLUME},
                  {"kg/m", KILOGRAMS_AN_AREA, KILOGRAMS_A_VOLUME},
                  {"N/mm", NEWTONS_AN_AREA, -1}};
    size_t figure = NO_MATCH;
    int found = -1;
    for (size_t i = 0; i < sizeof ratios / sizeof *ratios; i++) {
        const size_t end = at + strlen(ratios[i].text);
        if (!signs_equal(signs, at, end, ratios[i].text)) continue;
        const uint32_t sign = sign_at(signs, end);
        figure = end;
        found = sign == '2' || sign == 0xB2   ? ratios[i].by_area
                : sign == '3' || sign == 0xB3 ? ratios[i].by_volume
                                              : -1;
    }
    if (found < 0) return NO_MATCH;
    *unit = &joined_units[found];
    const uint32_t next = sign_at(signs, figure + 1);
    return sign_is_word(next) || next == '-' ? NO_MATCH : figure + 1;
}

static bool takes_point(const Unit *unit) {
    static const char *const short_words[] = {"in", "ft", "yd", "lb", "oz"};
    for (size_t i = 0; i < sizeof short_words / sizeof *short_words; i++) {
        if (strcmp(unit->word, short_words[i]) == 0) return true;
    }
    return false;
}

size_t match_unit(const Signs *signs, size_t at, const Unit **unit) {
    size_t end = match_mark(signs, at, unit);
    if (end != NO_MATCH) return end;
    end = match_ratio(signs, at, unit);
    if (end != NO_MATCH) return end;
    end = match_unit_word(signs, at);
    if (end == NO_MATCH || sign_at(signs, end) == '-') return NO_MATCH;
    *unit = unit_find(signs, at, end);
    const bool point =
        takes_point(*unit) && sign_at(signs, end) == '.' && !sign_is_word(sign_at(signs, end + 1));
    return end + point;
}
