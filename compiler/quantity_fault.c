#include "quantity_fault.h"

#include <string.h>

enum { SHOWN_MOST = 60 };

bool fault_set(Reading *reading, size_t at, size_t end, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    const char *message = arena_vformat(reading->arena, format, arguments);
    va_end(arguments);
    reading->fault = (QuantityFault){.at = at, .end = end, .message = message};
    return false;
}

void fault_help(Reading *reading, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    reading->fault.help = arena_vformat(reading->arena, format, arguments);
    va_end(arguments);
}

const char *fault_shown(const Reading *reading, size_t at, size_t end) {
    if (end - at <= SHOWN_MOST) return signs_text(reading->arena, reading->signs, at, end);
    return arena_format(reading->arena, "%s...",
                        signs_text(reading->arena, reading->signs, at, at + SHOWN_MOST));
}

static const struct {
    const char *name, *shown;
} kinds[KIND_COUNT] = {
    [KIND_LENGTH] = {"a length", "a length"},
    [KIND_ANGLE] = {"an angle", "an angle"},
    [KIND_TILT] = {"a tilt", "a tilt (`4 deg down`)"},
    [KIND_TURN] = {"a turn", "a turn (`20 deg left`)"},
    [KIND_SHARE] = {"a share", "a share (`8 %`)"},
    [KIND_STOP] = {"a stop", "a stop (`f/11`)"},
    [KIND_PRINT] = {"pixels an inch", "pixels an inch (`300 ppi`)"},
    [KIND_PIXELS] = {"pixels", "pixels (`214 px`)"},
    [KIND_MASS] = {"a weight", "a weight"},
    [KIND_DENSITY] = {"a density", "a density (`0.9 lb/ft3`)"},
    [KIND_AREA_WEIGHT] = {"a weight of an area", "a weight of an area (`2.1 lb/ft2`)"},
    [KIND_STIFFNESS] = {"a stiffness", "a stiffness (`520000 psi`)"},
    [KIND_POWER] = {"a power", "a power (`500 W`)"},
    [KIND_CURRENT] = {"a current", "a current (`15 A`)"},
    [KIND_VOLTAGE] = {"a voltage", "a voltage (`120 V`)"},
    [KIND_COLOUR] = {"a colour of light", "a colour of light (`5600 K`)"},
    [KIND_NUMBER] = {"a number", "a number"},
};

const char *kind_name(QuantityKind kind) {
    return kinds[kind].name;
}

const char *kind_name_shown(QuantityKind kind) {
    return kinds[kind].shown;
}

/* ---- names */

static const char *words(const Reading *reading, size_t at, size_t end) {
    return signs_words(reading->arena, reading->signs, at, end);
}

NameKind name_find(const Reading *reading, size_t at, size_t end) {
    return reading->names->find(reading->names->context, words(reading, at, end));
}

/* The end of the word that begins at `at`, as a maker sees words: up to a blank or a sign. */
static size_t word_end(const Signs *signs, size_t at) {
    for (;; at++) {
        const uint32_t sign = sign_at(signs, at);
        const bool within = sign_is_word(sign) || ((sign == '-' || sign == '\'' || sign == 0x2019) &&
                                                   sign_is_word(sign_at(signs, at + 1)));
        if (!within) return at;
    }
}

/* The first word of a name that ends at `end`; `*next` is where the second begins, or `end`. */
static size_t first_word(const Signs *signs, size_t at, size_t end, size_t *next) {
    while (at < end && !sign_is_blank(sign_at(signs, at)))
        at++;
    *next = match_blanks(signs, at);
    return at;
}

static bool word_is(const Signs *signs, size_t at, size_t end, const char *const *list) {
    for (; *list; list++) {
        if (signs_equal(signs, at, end, *list)) return true;
    }
    return false;
}

/* The longest run of words from `at`, shorter than the name, that is itself a name; `*next` is the word after
 * it. */
static NameKind find_prefix(const Reading *reading, size_t at, size_t end, size_t *prefix_end, size_t *next) {
    NameKind found = NAME_UNKNOWN;
    size_t word = at;
    for (;;) {
        size_t further;
        const size_t stop = first_word(reading->signs, word, end, &further);
        if (stop >= end) return found;
        const NameKind kind = name_find(reading, at, stop);
        if (kind != NAME_UNKNOWN) {
            found = kind;
            *prefix_end = stop;
            *next = further;
        }
        word = further;
    }
}

static void help_near(Reading *reading, const char *near) {
    if (near) fault_help(reading, "did you mean `%s`?", near);
}

static bool fault_unknown_name(Reading *reading, size_t at, size_t end) {
    const char *name = words(reading, at, end);
    fault_set(reading, at, end, "unknown name `%s`", fault_shown(reading, at, end));
    reading->fault.key = arena_format(reading->arena, "name %s", name);
    help_near(reading, reading->names->near_name(reading->names->context, name));
    return false;
}

/* ---- units */

static const struct {
    const char *word, *unit;
} long_words[] = {
    {"millimetre", "mm"}, {"millimetres", "mm"}, {"millimeter", "mm"}, {"millimeters", "mm"},
    {"centimetre", "cm"}, {"centimetres", "cm"}, {"centimeter", "cm"}, {"centimeters", "cm"},
    {"metre", "m"},       {"metres", "m"},       {"meter", "m"},       {"meters", "m"},
    {"pound", "lb"},      {"pounds", "lb"},      {"lbs", "lb"},        {"ounce", "oz"},
    {"ounces", "oz"},     {"kilogram", "kg"},    {"kilograms", "kg"},  {"kilo", "kg"},
    {"kilos", "kg"},      {"gram", "g"},         {"grams", "g"},       {"watt", "W"},
    {"watts", "W"},       {"kilowatt", "kW"},    {"kilowatts", "kW"},  {"volt", "V"},
    {"volts", "V"},       {"amp", "A"},          {"amps", "A"},        {"ampere", "A"},
    {"amperes", "A"},     {"pixel", "px"},       {"pixels", "px"},     {"percent", "%"},
    {"kelvin", "K"},      {"kelvins", "K"},
};

enum { UNIT_WORDS_MOST = 80 };

static char lower(char letter) {
    return letter >= 'A' && letter <= 'Z' ? (char)(letter - 'A' + 'a') : letter;
}

static bool equal_but_for_case(const char *a, const char *b) {
    for (; *a && *b; a++, b++) {
        if (lower(*a) != lower(*b)) return false;
    }
    return *a == *b;
}

/* Among equally near ones (`im`: in, m, mm, cm) the first letter decides. */
static const char *near_with_first_letter(const char *word, const char *const *list, size_t count) {
    const char *some[UNIT_WORDS_MOST];
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (list[i][0] == word[0]) some[kept++] = list[i];
    }
    return text_nearest(word, some, kept);
}

static const char *near_unit(const char *word) {
    const char *list[UNIT_WORDS_MOST];
    size_t count = 0;
    for (const Unit *unit = units_all(); unit->word; unit++) {
        if (equal_but_for_case(word, unit->word)) return unit->word;
        list[count++] = unit->word;
    }
    const char *near = text_nearest(word, list, count);
    if (!near) near = near_with_first_letter(word, list, count);
    if (near) return near;
    count = 0;
    for (size_t i = 0; i < sizeof long_words / sizeof *long_words; i++) {
        if (equal_but_for_case(word, long_words[i].word)) return long_words[i].unit;
        list[count++] = long_words[i].word;
    }
    near = text_nearest(word, list, count);
    if (!near) near = near_with_first_letter(word, list, count);
    for (size_t i = 0; near && i < count; i++) {
        if (strcmp(near, long_words[i].word) == 0) return long_words[i].unit;
    }
    return NULL;
}

static const char *units_of(QuantityKind kind) {
    switch (kind) {
    case KIND_LENGTH:
        return "lengths are in `in`, `ft`, `yd`, `mm`, `cm` or `m`, or in a puppet's heights";
    case KIND_ANGLE:
    case KIND_TILT:
    case KIND_TURN:
        return "angles are in `deg`";
    case KIND_MASS:
        return "weights are in `lb`, `oz`, `kg` or `g`";
    case KIND_DENSITY:
        return "densities are in `lb/ft3` or `kg/m3`";
    case KIND_AREA_WEIGHT:
        return "weights of an area are in `lb/ft2` or `kg/m2`";
    case KIND_STIFFNESS:
        return "stiffness is in `psi`, `N/mm2`, `MPa` or `GPa`";
    default:
        return NULL;
    }
}

static bool fault_unknown_unit(Reading *reading, size_t at, size_t end) {
    const char *word = words(reading, at, end);
    fault_set(reading, at, end, "unknown unit `%s`", fault_shown(reading, at, end));
    reading->fault.key = arena_format(reading->arena, "unit %s", word);
    reading->fault.help = units_of(reading->slot->kind);
    const char *near = near_unit(word);
    help_near(reading, near ? near : reading->names->near_name(reading->names->context, word));
    return false;
}

/* ---- what stands after a finished quantity */

static const char *const spoken_operators[] = {"plus", "minus", "times",   "and", "over",
                                               "by",   "less",  "divided", "or",  NULL};

static const char *operator_for(const Signs *signs, size_t at, size_t end) {
    static const char *const signs_for[][2] = {{"plus", "+"}, {"and", "+"},   {"minus", "-"},
                                               {"less", "-"}, {"times", "*"}, {"divided", "/"},
                                               {"over", "/"}, {"by", "x"}};
    for (size_t i = 0; i < sizeof signs_for / sizeof *signs_for; i++) {
        if (signs_equal(signs, at, end, signs_for[i][0])) return signs_for[i][1];
    }
    return NULL;
}

static bool fault_unknown_word(Reading *reading, size_t at, size_t end) {
    fault_set(reading, at, end, "unknown word `%s`", fault_shown(reading, at, end));
    const char *sign = operator_for(reading->signs, at, end);
    if (sign) fault_help(reading, "write `%s`, with a blank on both sides", sign);
    return false;
}

static bool fault_of(Reading *reading, size_t at, size_t end) {
    fault_set(reading, at, end, "`of` in a quantity");
    reading->fault.help = "write `pier.tall` for the `tall` of the pier, `40 % frame`, `2 * pier.tall`";
    return false;
}

static bool fault_number_tail(Reading *reading, size_t at);

/* A number, sound or not, where none can stand. */
static bool fault_number_follows(Reading *reading, size_t at) {
    Number number;
    if (match_number(reading->signs, at, &number) == NO_MATCH) return fault_number_tail(reading, at);
    fault_set(reading, at, number.end, "a number follows a finished quantity");
    reading->fault.help =
        "put `+`, `-`, `*` or `/` between them; a fraction follows whole numbers only: `1 1/2 in`";
    return false;
}

/* A word of any sort after a finished quantity. */
static bool fault_word_follows(Reading *reading, size_t at, size_t end) {
    const Signs *signs = reading->signs;
    if (signs_equal(signs, at, end, "of")) return fault_of(reading, at, end);
    if (word_is(signs, at, end, spoken_operators)) return fault_unknown_word(reading, at, end);
    if (signs_equal(signs, at, end, "drawn")) {
        fault_set(reading, at, end, "`drawn` stands after a length of the drawing");
        reading->fault.help = "write `60 mm drawn`";
        return false;
    }
    if (signs_equal(signs, at, end, "frame")) {
        fault_set(reading, at, end, "`frame` stands after a share");
        reading->fault.help = "write `40 % frame`";
        return false;
    }
    fault_set(reading, at, end, "`%s` follows a finished quantity", fault_shown(reading, at, end));
    if (sign_is_times(sign_at(signs, at)) && sign_is_digit(sign_at(signs, at + 1)))
        reading->fault.help = "a size has a blank on both sides of its `x`, or on neither: `36 x 24 mm`";
    return false;
}

static const char *before_text(const Reading *reading, size_t at) {
    const Signs *signs = reading->signs;
    const size_t start = match_blanks(signs, 0);
    while (at > start && sign_is_blank(sign_at(signs, at - 1)))
        at--;
    return fault_shown(reading, start < at ? start : at, at);
}

static const char *after_text(const Reading *reading, size_t at) {
    const size_t start = match_blanks(reading->signs, at), end = reading->signs->end;
    return start < end ? fault_shown(reading, start, end) : "...";
}

static bool fault_between_numbers(Reading *reading, size_t at) {
    fault_set(reading, at, at + 1, "`%s` between two numbers", fault_shown(reading, at, at + 1));
    const char *before = before_text(reading, at), *after = after_text(reading, at + 1);
    if (reading->slot->form == FORM_RANGE)
        fault_help(reading, "a range is written `%s to %s`", before, after);
    else
        fault_help(reading, "a minus has a blank on both sides: `%s - %s`", before, after);
    return false;
}

/* A minus that stands too close. */
static bool fault_minus(Reading *reading, size_t at) {
    const Signs *signs = reading->signs;
    const uint32_t before = at > 0 ? sign_at(signs, at - 1) : 0;
    const char *left = before_text(reading, at), *right = after_text(reading, at + 1);
    if (sign_is_foot_mark(before) && at + 1 < signs->end) {
        fault_set(reading, at, at + 1, "`-` after a foot mark wants inches");
        fault_help(reading, "write `%s-%s` without blanks", left, right);
        return false;
    }
    fault_set(reading, at, at + 1, "`%s` needs a blank on both sides", fault_shown(reading, at, at + 1));
    if (reading->slot->form == FORM_RANGE && sign_is_digit(sign_at(signs, at + 1)))
        fault_help(reading, "a range is written `%s to %s`", left, right);
    else
        fault_help(reading, "write `%s - %s`; without blanks a `-` belongs to a name", left, right);
    return false;
}

/* `in-2 in`: a unit with a hyphen glued to it. */
static bool glued_unit(const Signs *signs, size_t at, size_t *hyphen) {
    *hyphen = match_unit_word(signs, at);
    return *hyphen != NO_MATCH && sign_at(signs, *hyphen) == '-';
}

static bool fault_ends(Reading *reading) {
    const size_t end = reading->signs->end;
    fault_set(reading, end, end + 1, "the quantity ends where a value is wanted");
    return false;
}

static bool fault_separator(Reading *reading, size_t at, bool inside) {
    const char sign = (char)sign_at(reading->signs, at);
    if (inside)
        fault_set(reading, at, at + 1, "`%c` inside ( )", sign);
    else if (sign == ',')
        fault_set(reading, at, at + 1, "`,` in a quantity");
    else
        fault_set(reading, at, at + 1, "`;` means nothing in a quantity");
    reading->fault.help =
        at + 1 < reading->signs->end
            ? "two lengths stand in [ ]; inside `min( )` and `max( )` a `;` stands between them"
            : "leave it out";
    return false;
}

static bool fault_no_number(Reading *reading, size_t at, size_t end) {
    return fault_set(reading, at, end, "`%s` without a number before it", fault_shown(reading, at, end));
}

/* A sign that begins no value and continues none. */
static bool fault_odd_sign(Reading *reading, size_t at) {
    const Signs *signs = reading->signs;
    const uint32_t sign = sign_at(signs, at);
    if (sign_is_mark(sign))
        return fault_no_number(reading, at, at + (sign == '\'' && sign_at(signs, at + 1) == '\'' ? 2 : 1));
    if (sign == '%' || sign == SIGN_DEGREE) return fault_no_number(reading, at, at + 1);
    if (sign < ' ' || sign == 0x7F) return fault_set(reading, at, at + 1, "a sign that no quantity holds");
    const char *shown = fault_shown(reading, at, at + 1);
    if (sign == '=' || sign == '<' || sign == '>' || sign == 0x2264 || sign == 0x2265) {
        fault_set(reading, at, at + 1, "`%s` in a quantity", shown);
        reading->fault.help = "write the value alone";
        return false;
    }
    fault_set(reading, at, at + 1, "`%s` means nothing in a quantity", shown);
    if (sign == SIGN_EN_DASH || sign == SIGN_EM_DASH)
        reading->fault.help = "write `to` for a range, `-` for a minus";
    return false;
}

static const Item *last_item(const Reading *reading) {
    const Items *items = reading->items;
    return items->list.count > 0 ? &items->list.items[items->list.count - 1] : NULL;
}

static bool fault_to_or_x(Reading *reading, size_t at, size_t end, bool inside) {
    const bool range = sign_at(reading->signs, at) == 't';
    const char *shown = fault_shown(reading, at, end);
    if (end >= reading->signs->end)
        return fault_set(reading, at, end, "`%s` without a second quantity", shown);
    if (inside) return fault_set(reading, at, end, range ? "a range inside ( )" : "a size inside ( )");
    const ValueForm form = reading->items->form;
    if (range && form == VALUE_RANGE) return fault_set(reading, at, end, "a second `to`");
    if (range && form == VALUE_SIZE) return fault_set(reading, at, end, "`to` in a size");
    if (form == VALUE_RANGE) return fault_set(reading, at, end, "`%s` in a range", shown);
    if (form == VALUE_SIZE && reading->items->part_count == 3)
        return fault_set(reading, at, end, "a size of more than 3");
    return fault_set(reading, at, end, "`%s` needs a blank on both sides", shown);
}

static bool fault_letter_follows(Reading *reading, size_t at, bool inside) {
    const Signs *signs = reading->signs;
    const size_t end = word_end(signs, at);
    const Item *last = last_item(reading);
    size_t hyphen;
    if (signs_equal(signs, at, end, "to") || (end == at + 1 && sign_is_times(sign_at(signs, at))))
        return fault_to_or_x(reading, at, end, inside);
    if (last && last->kind == ITEM_NUMBER && glued_unit(signs, at, &hyphen))
        return fault_minus(reading, hyphen);
    if (last && last->kind == ITEM_COVER) {
        fault_set(reading, at, end, "`%s` follows `cover`", fault_shown(reading, at, end));
        reading->fault.help = "for the larger of two write `max(cover; 48 in)`";
        return false;
    }
    if (last && last->kind == ITEM_SHARE && last->suffix_at == NO_MATCH &&
        !signs_equal(signs, at, end, "of")) {
        const size_t name_end = match_name(signs, at);
        const size_t shown_end = name_end != NO_MATCH && name_find(reading, at, name_end) ? name_end : end;
        fault_set(reading, at, shown_end, "`%s` after `%%`", fault_shown(reading, at, shown_end));
        reading->fault.help = "a share of a length is a product: `0.4 * pier.tall`";
        return false;
    }
    return fault_word_follows(reading, at, end);
}

static bool fault_dash_follows(Reading *reading, size_t at) {
    const Signs *signs = reading->signs;
    const uint32_t sign = sign_at(signs, at);
    if (!sign_is_minus(sign)) {
        if (number_can_begin(signs, match_blanks(signs, at + 1))) return fault_between_numbers(reading, at);
        return fault_odd_sign(reading, at);
    }
    if (at + 1 >= signs->end) return fault_ends(reading);
    fault_minus(reading, at);
    const uint32_t before = at > 1 ? sign_at(signs, at - 2) : 0;
    if (at > 0 && sign_is_blank(sign_at(signs, at - 1)) && sign_is_foot_mark(before))
        reading->fault.help = "write `3'-6\"` for feet and inches, `3 ft - 6 in` for feet minus inches";
    return false;
}

static bool fault_follows(Reading *reading) {
    const Signs *signs = reading->signs;
    const size_t at = match_blanks(signs, reading->items->stop.at);
    const bool inside = reading->items->stop.bracket != NO_MATCH;
    const uint32_t sign = sign_at(signs, at);
    if (sign_is_letter(sign) || sign == SIGN_TIMES) {
        if (sign != SIGN_TIMES) return fault_letter_follows(reading, at, inside);
        return fault_to_or_x(reading, at, at + 1, inside);
    }
    if (sign_is_minus(sign) || sign == SIGN_EN_DASH || sign == SIGN_EM_DASH)
        return fault_dash_follows(reading, at);
    if (sign_is_digit(sign) || sign_is_vulgar(sign) || (sign == '.' && sign_is_digit(sign_at(signs, at + 1))))
        return fault_number_follows(reading, at);
    switch (sign) {
    case '(':
        fault_set(reading, at, at + 1, "`(` follows a finished quantity");
        reading->fault.help = "write `*` between them";
        return false;
    case ')':
        return fault_set(reading, at, at + 1, "`)` without `(`");
    case ',':
    case ';':
        return fault_separator(reading, at, inside);
    case '#':
        fault_set(reading, at, at + 1, "`#` glued to a value");
        reading->fault.help = "a comment stands after a blank and a `#`, outside quotes";
        return false;
    case '/':
        if (at + 1 >= signs->end) return fault_ends(reading);
        fault_set(reading, at, at + 1, "`/` with a blank on one side only, or a fraction glued to it");
        reading->fault.help =
            "a fraction has no blanks (`1/2 in`); a quotient has one on both sides (`12 in / 4`)";
        return false;
    case '.':
        if (sign_is_word(sign_at(signs, at + 1)))
            return fault_set(reading, at, at + 1, "`.` follows a finished quantity");
        return fault_set(reading, at, at + 1, "`.` without a word after it");
    default:
        return fault_odd_sign(reading, at);
    }
}

/* ---- numbers */

/* `number` as far as it goes without what may not follow it; says what follows. */
static bool fault_number_tail(Reading *reading, size_t at) {
    const Signs *signs = reading->signs;
    Number raw;
    const size_t end = match_number_raw(signs, at, &raw);
    if (end == NO_MATCH) return true;
    const bool fraction = !raw.decimal && raw.part_end > raw.part_at;
    switch (sign_at(signs, end)) {
    case '.':
        return fault_set(reading, end, end + 1,
                         raw.decimal ? "a second decimal point" : "a decimal point in a fraction");
    case '/':
        if (raw.decimal)
            return fault_set(reading, at, end, "a fraction of `%s`", fault_shown(reading, at, end));
        return fault_set(reading, end, end + 1, fraction ? "two `/` in a row" : "a fraction over nothing");
    case ',':
        fault_set(reading, end, end + 1, "a comma in a number");
        reading->fault.help =
            "thousands are written without a sign (`1200 mm`), decimals with a point (`1.5 m`)";
        return false;
    case '-':
        return fault_between_numbers(reading, end);
    default:
        return fault_set(reading, end, end + 1, "two fractions in one number");
    }
}

bool fault_number(Reading *reading, const Number *number) {
    const Signs *signs = reading->signs;
    if (number_digits(signs, number) > 15)
        return fault_set(reading, number->start, number->end, "a number of more than 15 digits");
    if (number_over_zero(signs, number))
        return fault_set(reading, number->start, number->end, "a fraction over zero");
    if (number_mixed_too_large(signs, number))
        return fault_set(reading, number->part_at, number->part_end,
                         "the fraction of `%s` is not less than one",
                         signs_text(reading->arena, signs, number->start, number->end));
    return true;
}

/* ---- a value is wanted */

static const char *const reserved_first[] = {"drawn", "frame", "min", "max", NULL};
static const char *const thing_words[] = {"wide", "tall", "deep", "thick",  "left", "right", "front", "rear",
                                          "top",  "foot", "eyes", "across", "back", "up",    NULL};

static bool fault_reserved(Reading *reading, size_t at, size_t end) {
    const Signs *signs = reading->signs;
    if (signs_equal(signs, at, end, "drawn")) {
        fault_set(reading, at, end, "`drawn` stands after the length");
        reading->fault.help = "write `60 mm drawn`";
    } else if (signs_equal(signs, at, end, "frame")) {
        fault_set(reading, at, end, "`frame` stands after a share");
        reading->fault.help = "write `40 % frame`";
    } else {
        const char *word = signs_text(reading->arena, signs, at, end);
        fault_set(reading, at, end, "`%s` without `(`", word);
        fault_help(reading, "write `%s(a.tall; b.tall)`", word);
    }
    return false;
}

/* `f 11`, `f / 11`: where the digits end, or NO_MATCH. */
static size_t stop_with_blanks(const Signs *signs, size_t at, size_t *digits) {
    const uint32_t sign = sign_at(signs, at);
    if (sign != 'f' && sign != 'F' && sign != 0x192) return NO_MATCH;
    *digits = match_blanks(signs, at + 1);
    if (sign_at(signs, *digits) == '/') *digits = match_blanks(signs, *digits + 1);
    Number number;
    return match_number_raw(signs, *digits, &number);
}

/* A known name without the dot and the word that make a quantity of it. */
static bool fault_no_quantity(Reading *reading, size_t at, size_t end, NameKind kind) {
    const char *name = words(reading, at, end);
    const char *what = kind == NAME_PUPPET ? "puppet" : kind == NAME_THING ? "thing" : "section";
    fault_set(reading, at, end, "`%s` is a %s, not a quantity", fault_shown(reading, at, end), what);
    reading->fault.plain = arena_format(reading->arena, "`%s` is a %s, not %s", fault_shown(reading, at, end),
                                        what, kind_name(reading->slot->kind));
    const char *fields[3];
    const size_t count = reading->names->example_fields(reading->names->context, name, fields);
    Buffer help = buffer_new(reading->arena);
    for (size_t i = 0; i < count && i < 3; i++)
        buffer_format(&help, "%s`%s.%s`", i ? ", " : "say which: ", name, fields[i]);
    if (help.count > 0) reading->fault.help = buffer_text(&help);
    return false;
}

/* `a-b`: where a hyphen joins what begins with a name. */
static size_t hyphen_after_name(const Reading *reading, size_t at, size_t end) {
    for (size_t i = at; i < end; i++) {
        if (sign_at(reading->signs, i) == '-' && name_find(reading, at, i) != NAME_UNKNOWN) return i;
    }
    return NO_MATCH;
}

/* `tall of pier`, `half otter`, `pier tall`: what was meant. */
static bool help_sentence(Reading *reading, size_t at, size_t end) {
    const Signs *signs = reading->signs;
    size_t second, third = end;
    const size_t first_end = first_word(signs, at, end, &second);
    const size_t second_end = second < end ? first_word(signs, second, end, &third) : end;
    if (second >= end) return false;
    const char *first = words(reading, at, first_end), *rest = words(reading, second, end);
    if (signs_equal(signs, second, second_end, "of") && third < end &&
        name_find(reading, third, end) != NAME_UNKNOWN)
        fault_help(reading, "write `%s.%s`", words(reading, third, end), first);
    else if (text_equal(first, "half") && name_find(reading, second, end) == NAME_PUPPET)
        fault_help(reading, "write `1/2 %s`", rest);
    else if (name_find(reading, at, first_end) != NAME_UNKNOWN && word_is(signs, second, end, thing_words))
        fault_help(reading, "write `%s.%s`", first, rest);
    else
        return false;
    return true;
}

static bool fault_unknown_in_words(Reading *reading, size_t at, size_t end) {
    const Signs *signs = reading->signs;
    fault_unknown_name(reading, at, end);
    if (help_sentence(reading, at, end) || reading->fault.help) return false;
    size_t second, third = end;
    first_word(signs, at, end, &second);
    if (second < end) first_word(signs, second, end, &third);
    if (third < end && sign_is_digit(sign_at(signs, second))) /* `about 14 in` */
        fault_help(reading, "write the value alone: `%s`", words(reading, second, signs->end));
    const size_t next = match_blanks(signs, end), next_end = word_end(signs, next);
    if (next > end && (signs_equal(signs, next, next_end, "to") || signs_equal(signs, next, next_end, "x")))
        fault_help(reading, "`%s` cannot be a word of a name",
                   signs_text(reading->arena, signs, next, next_end));
    return false;
}

/* A name where a value is wanted, and no dot that would make it a reference. */
static bool fault_bare_name(Reading *reading, size_t at, size_t end) {
    const Signs *signs = reading->signs;
    size_t next, digits;
    const size_t first = first_word(signs, at, end, &next);
    if (sign_at(signs, end) == '.') return fault_set(reading, end, end + 1, "`.` without a word after it");
    const NameKind kind = name_find(reading, at, end);
    if (kind != NAME_UNKNOWN) return fault_no_quantity(reading, at, end, kind);
    if (word_is(signs, at, first, reserved_first)) return fault_reserved(reading, at, first);
    const size_t stop_end = first == at + 1 ? stop_with_blanks(signs, at, &digits) : NO_MATCH;
    if (stop_end != NO_MATCH) {
        const char *number = signs_text(reading->arena, signs, digits, stop_end);
        fault_set(reading, at, stop_end, "a stop is written `f/%s`", number);
        return false;
    }
    if (match_unit_word(signs, at) == first) {
        const char *unit = signs_text(reading->arena, signs, at, first);
        fault_set(reading, at, first, "the unit `%s` without a number before it", unit);
        if (next < end)
            fault_help(reading, "write the number first: `%s %s`", words(reading, next, end), unit);
        return false;
    }
    if (word_is(signs, at, end, thing_words)) {
        const char *word = signs_text(reading->arena, signs, at, end);
        fault_set(reading, at, end, "`%s` of what?", word);
        fault_help(reading, "write the name of the thing and a dot before it: `ferry.%s`", word);
        return false;
    }
    const size_t hyphen = hyphen_after_name(reading, at, end);
    if (hyphen != NO_MATCH) return fault_minus(reading, hyphen);
    return fault_unknown_in_words(reading, at, end);
}

static bool fault_wanted_letter(Reading *reading, size_t at) {
    const Signs *signs = reading->signs;
    const size_t name_end = match_name(signs, at);
    if (name_end != NO_MATCH) return fault_bare_name(reading, at, name_end);
    const size_t end = word_end(signs, at);
    return fault_set(reading, at, end, "`%s` without a quantity before it", fault_shown(reading, at, end));
}

static bool fault_empty_brackets(Reading *reading, size_t at) {
    const Stop *stop = &reading->items->stop;
    if (stop->bracket == NO_MATCH || match_blanks(reading->signs, stop->bracket + 1) == at) {
        fault_set(reading, at, at + 1, "`)` without `(`");
        if (stop->bracket != NO_MATCH)
            reading->fault.help = "brackets hold a quantity: `(a.tall + b.tall)`, `min(a.tall; b.tall)`";
        return false;
    }
    return fault_set(reading, at, at + 1, "a value is wanted before `)`");
}

static bool fault_wanted(Reading *reading) {
    const Signs *signs = reading->signs;
    const Stop *stop = &reading->items->stop;
    const size_t at = stop->at;
    const uint32_t sign = sign_at(signs, at);
    if (at >= signs->end) {
        if (stop->before != NO_MATCH)
            return fault_set(reading, stop->before, stop->before + 1,
                             "the quantity ends where a value is wanted");
        if (stop->after_to != NO_MATCH)
            return fault_set(reading, stop->after_to,
                             word_end(signs, stop->after_to) + (sign_at(signs, stop->after_to) == SIGN_TIMES),
                             "`%s` without a second quantity",
                             sign_at(signs, stop->after_to) == 't' ? "to" : "x");
        return fault_ends(reading);
    }
    if (number_can_begin(signs, at) && !fault_number_tail(reading, at)) return false;
    if (sign_is_letter(sign)) return fault_wanted_letter(reading, at);
    if (sign == '+' || sign_is_minus(sign))
        return fault_set(reading, stop->before == NO_MATCH ? at : stop->before, at + 1, "two signs");
    if (sign == '*' || sign == '/' || sign == SIGN_TIMES)
        return fault_set(reading, at, at + 1, "`%s` without a quantity before it",
                         fault_shown(reading, at, at + 1));
    if (sign == ')') return fault_empty_brackets(reading, at);
    if (sign == '.') return fault_set(reading, at, at + 1, "`.` without a word after it");
    if (sign == ',' || sign == ';') {
        if (stop->bracket == NO_MATCH) return fault_separator(reading, at, false);
        return fault_set(reading, at, at + 1, "a value is wanted before `%c`", (char)sign);
    }
    if (sign == '#') return fault_set(reading, at, at + 1, "`#` glued to a value");
    return fault_odd_sign(reading, at);
}

/* ---- the other stops */

static bool fault_has_no(Reading *reading, const char *owner, const char *name, size_t at, size_t end) {
    const char *field = words(reading, at, end);
    fault_set(reading, at, end, "`%s` has no `%s`", owner, fault_shown(reading, at, end));
    reading->fault.key = arena_format(reading->arena, "field %s.%s", owner, field);
    help_near(reading, reading->names->near_field(reading->names->context, name, field));
    return false;
}

static bool field_known(const Reading *reading, const char *name, const char *field) {
    int slot;
    QuantityKind kind;
    bool on_drawing;
    size_t field_at;
    return reading->names->field(reading->names->context, name, &field, 1, &slot, &kind, &on_drawing,
                                 &field_at);
}

/* After a dot stands no word that could be a thing's. */
static bool fault_field(Reading *reading) {
    const Signs *signs = reading->signs;
    const Stop *stop = &reading->items->stop;
    const size_t at = stop->at + 1, name_end = match_name(signs, stop->before);
    size_t end = at;
    while (sign_is_word(sign_at(signs, end)))
        end++;
    if (end == at) {
        fault_set(reading, stop->at, stop->at + 1, "`.` without a word after it");
        if (sign_is_blank(sign_at(signs, at)) && sign_is_letter(sign_at(signs, match_blanks(signs, at))))
            reading->fault.help = "a dot has no blanks round it: `pier.tall`";
        return false;
    }
    if (name_find(reading, stop->before, name_end) == NAME_UNKNOWN)
        return fault_unknown_name(reading, stop->before, name_end);
    const char *name = words(reading, stop->before, name_end);
    const bool first_field = name_end == stop->at;
    if (first_field && !field_known(reading, name, words(reading, at, end)))
        return fault_has_no(reading, name, name, at, end);
    if (sign_at(signs, end) == '-') return fault_minus(reading, end);
    if (sign_at(signs, end) == '\'') return fault_no_number(reading, end, end + 1);
    return fault_has_no(reading, words(reading, stop->before, stop->at), name, at, end);
}

static bool fault_joint(Reading *reading) {
    const Signs *signs = reading->signs;
    const size_t at = reading->items->stop.at;
    Number number;
    const size_t end = match_number(signs, at, &number), next = match_blanks(signs, end);
    size_t hyphen;
    if (glued_unit(signs, next, &hyphen)) return fault_minus(reading, hyphen);
    Item item = {.kind = ITEM_PUPPETS, .start = at, .number = number, .name_at = next};
    item.name_end = match_name_not_unit(signs, next);
    if (item.name_end != NO_MATCH && !fault_puppets(reading, &item)) return false;
    const Measure *last = &reading->items->measures.items[reading->items->measures.count - 1];
    if (last->unit->kind == KIND_LENGTH && text_equal(last->unit->word, "ft")) {
        const char *shown = signs_text(reading->arena, signs, at, end);
        fault_set(reading, at, end, "`%s` after feet has no unit", shown);
        fault_help(reading, "write `%s in` or `%s\"`", shown, shown);
        return false;
    }
    return fault_number_follows(reading, at);
}

bool fault_stop(Reading *reading) {
    const Stop *stop = &reading->items->stop;
    switch (stop->kind) {
    case STOP_FOLLOWS:
        return fault_follows(reading);
    case STOP_FIELD:
        return fault_field(reading);
    case STOP_JOINT:
        return fault_joint(reading);
    case STOP_UNCLOSED:
        return fault_set(reading, stop->at, stop->at + 1, "`(` is never closed");
    case STOP_CALL_OF_ONE: {
        const char *word = signs_text(reading->arena, reading->signs, stop->at, stop->at + 3);
        fault_set(reading, stop->at, stop->at + 3, "`%s` of one quantity", word);
        fault_help(reading, "write `%s(a.tall; b.tall)`", word);
        return false;
    }
    case STOP_TOO_DEEP:
        return fault_set(reading, stop->at, stop->at + 1, "brackets inside brackets, deeper than %d",
                         QUANTITY_BRACKETS_MOST);
    default:
        return fault_wanted(reading);
    }
}

/* ---- names that the grammar reads and nobody knows */

/* `otter.eyes plus 2 in` reads `eyes plus` as one word of the thing; the shorter one may be known. */
static bool fault_long_field(Reading *reading, const Item *item, size_t index, const char **fields) {
    const Extent *extent = &reading->items->fields.items[item->first_field + index];
    const char *name = words(reading, item->name_at, item->name_end);
    size_t word = extent->at, next;
    for (;; word = next) {
        const size_t end = first_word(reading->signs, word, extent->end, &next);
        if (end >= extent->end) return true;
        int slot;
        QuantityKind kind;
        bool on_drawing;
        size_t field_at;
        fields[index] = words(reading, extent->at, end);
        if (!reading->names->field(reading->names->context, name, fields, index + 1, &slot, &kind,
                                   &on_drawing, &field_at))
            continue;
        const size_t next_end = word_end(reading->signs, next);
        if (signs_equal(reading->signs, next, next_end, "drawn") ||
            signs_equal(reading->signs, next, next_end, "of"))
            return fault_word_follows(reading, next, next_end);
        return fault_unknown_word(reading, next, next_end);
    }
}

bool fault_reference(Reading *reading, const Item *item, int *slot, QuantityKind *kind, bool *on_drawing) {
    const QuantityNames *names = reading->names;
    const char *name = words(reading, item->name_at, item->name_end);
    if (names->find(names->context, name) == NAME_UNKNOWN)
        return fault_unknown_name(reading, item->name_at, item->name_end);
    const Extent *extents = reading->items->fields.items + item->first_field;
    const char **fields = ARENA_ARRAY(reading->arena, const char *, item->fields);
    for (size_t i = 0; i < item->fields; i++)
        fields[i] = words(reading, extents[i].at, extents[i].end);
    size_t at = 0;
    if (names->field(names->context, name, fields, item->fields, slot, kind, on_drawing, &at)) return true;
    if (at >= item->fields) at = item->fields - 1;
    if (!fault_long_field(reading, item, at, fields)) return false;
    const size_t owner_end = at == 0 ? item->name_end : extents[at - 1].end;
    return fault_has_no(reading, words(reading, item->name_at, owner_end), name, extents[at].at,
                        extents[at].end);
}

/* The words of an unknown unit that are likely meant as it: up to a number or a unit. */
static size_t unit_words_end(const Signs *signs, size_t at, size_t end) {
    size_t next;
    size_t stop = first_word(signs, at, end, &next);
    while (next < end && !sign_is_digit(sign_at(signs, next)) && match_unit_word(signs, next) == NO_MATCH)
        stop = first_word(signs, next, end, &next);
    return stop < end ? stop : end;
}

bool fault_puppets(Reading *reading, const Item *item) {
    const Signs *signs = reading->signs;
    const size_t at = item->name_at, end = item->name_end;
    const NameKind kind = name_find(reading, at, end);
    if (kind == NAME_PUPPET) return true;
    if (kind != NAME_UNKNOWN) {
        const char *shown = fault_shown(reading, at, end);
        fault_set(reading, at, end, "`%s` is not a puppet, so it is no unit", shown);
        fault_help(reading, "a thing is counted by a word of it: `%s %s.tall`",
                   signs_text(reading->arena, signs, item->number.start, item->number.end),
                   words(reading, at, end));
        return false;
    }
    size_t next, prefix_end;
    const size_t first = first_word(signs, at, end, &next);
    if (signs_equal(signs, at, first, "drawn")) {
        const char *number = signs_text(reading->arena, signs, item->number.start, item->number.end);
        fault_set(reading, at, first, "`drawn` after a number without a unit");
        fault_help(reading, "write `%s mm drawn`", number);
        return false;
    }
    if (signs_equal(signs, at, first, "frame")) {
        fault_set(reading, at, first, "`frame` after a number without `%%`");
        reading->fault.help = "write `40 % frame`";
        return false;
    }
    if (signs_equal(signs, at, first, "of")) return fault_of(reading, at, first);
    if (!reading->names->near_name(reading->names->context, words(reading, at, end)) &&
        find_prefix(reading, at, end, &prefix_end, &next) == NAME_PUPPET) {
        const size_t next_end = word_end(signs, next);
        if (sign_is_digit(sign_at(signs, next))) return fault_number_follows(reading, next);
        if (!signs_equal(signs, next, next_end, "drawn")) return fault_word_follows(reading, next, next_end);
        fault_set(reading, next, next_end, "`drawn` after puppet heights");
        reading->fault.help =
            "puppet heights are real lengths; what is drawn is in `mm` or `in`: `60 mm drawn`";
        return false;
    }
    return fault_unknown_unit(reading, at, unit_words_end(signs, at, end));
}
