/* The names that the lists beside this file speak of, and the slots that their first column names. */
#ifndef GROUNDROW_SAMPLE_NAMES_H
#define GROUNDROW_SAMPLE_NAMES_H

#include "base/number.h"
#include "quantity.h"

#include <string.h>

typedef struct SampleWord {
    const char *name, *field;
    double value;
    NameKind kind;
    bool on_drawing;
} SampleWord;

/* The slot of a word is its row. */
static const SampleWord sample_words[] = {
    {"otter", "tall", 279.4, NAME_PUPPET, false},
    {"otter", "eyes", 247.65, NAME_PUPPET, false},
    {"old otter", "tall", 300, NAME_PUPPET, false},
    {"old otter", "eyes", 260, NAME_PUPPET, false},
    {"otter's cub", "tall", 100, NAME_PUPPET, false},
    {"heron", "tall", 330.2, NAME_PUPPET, false},
    {"heron", "at.back", 700, NAME_PUPPET, false},
    {"heron", "drawn.tall", 118, NAME_PUPPET, true},
    {"pier", "tall", 400, NAME_THING, false},
    {"pier 2", "tall", 450, NAME_THING, false},
    {"far bank", "tall", 300, NAME_THING, false},
    {"far-bank", "tall", 310, NAME_THING, false},
    {"post-3", "tall", 500, NAME_THING, false},
    {"post 3b", "tall", 333, NAME_THING, false},
    {"in the reeds", "tall", 120, NAME_THING, false},
    {"cover board", "tall", 77, NAME_THING, false},
    {"door frame", "wide", 800, NAME_THING, false},
    {"x-brace", "tall", 60, NAME_THING, false},
    {"fähre", "tall", 222, NAME_THING, false},
    {"Quay", "tall", 90, NAME_THING, false},
    {"ply", "thick", 18.25625, NAME_THING, false},
    {"ferry", "tall", 127, NAME_THING, false},
    {"ferry", "wide", 508, NAME_THING, false},
    {"ferry", "deep", 228.6, NAME_THING, false},
    {"ferry", "left", -101.6, NAME_THING, false},
    {"a", "tall", 100, NAME_THING, false},
    {"b", "tall", 50, NAME_THING, false},
    {"camera", "height", 254, NAME_SECTION, false},
    {"ground", "far", 1524, NAME_SECTION, false},
    {"book", "cut", 3.175, NAME_SECTION, false},
};
enum { SAMPLE_WORDS = sizeof sample_words / sizeof *sample_words };

static inline NameKind sample_find(void *context, const char *name) {
    (void)context;
    for (size_t i = 0; i < SAMPLE_WORDS; i++) {
        if (strcmp(sample_words[i].name, name) == 0) return sample_words[i].kind;
    }
    return NAME_UNKNOWN;
}

/* How many of `fields` lead along `word`, which is `tall` or `drawn.tall`; `whole`: to its end. */
static inline size_t sample_follow(const char *word, const char *const *fields, size_t count, bool *whole) {
    size_t followed = 0;
    *whole = false;
    while (followed < count && !*whole) {
        const size_t length = strlen(fields[followed]);
        if (strncmp(word, fields[followed], length) != 0 || (word[length] && word[length] != '.')) break;
        *whole = word[length] == '\0';
        word += length + !*whole;
        followed++;
    }
    return followed;
}

static inline bool sample_field(void *context, const char *name, const char *const *fields, size_t count,
                                int *slot, QuantityKind *kind, bool *on_drawing, size_t *field_at) {
    (void)context;
    *field_at = 0;
    for (size_t i = 0; i < SAMPLE_WORDS; i++) {
        if (strcmp(sample_words[i].name, name) != 0) continue;
        bool whole;
        const size_t followed = sample_follow(sample_words[i].field, fields, count, &whole);
        if (followed == count && whole) {
            *slot = (int)i;
            *kind = KIND_LENGTH;
            *on_drawing = sample_words[i].on_drawing;
            return true;
        }
        if (followed > *field_at) *field_at = followed < count ? followed : count - 1;
    }
    return false;
}

static inline bool sample_height(void *context, const char *name, int *slot) {
    QuantityKind kind;
    bool on_drawing;
    size_t field_at;
    return sample_field(context, name, &(const char *){"tall"}, 1, slot, &kind, &on_drawing, &field_at);
}

static inline const char *sample_near_name(void *context, const char *name) {
    (void)context;
    const char *list[SAMPLE_WORDS];
    for (size_t i = 0; i < SAMPLE_WORDS; i++)
        list[i] = sample_words[i].name;
    return text_nearest(name, list, SAMPLE_WORDS);
}

static inline const char *sample_near_field(void *context, const char *name, const char *field) {
    (void)context;
    const char *list[SAMPLE_WORDS];
    size_t count = 0;
    for (size_t i = 0; i < SAMPLE_WORDS; i++) {
        if (strcmp(sample_words[i].name, name) == 0) list[count++] = sample_words[i].field;
    }
    return text_nearest(field, list, count);
}

static inline size_t sample_examples(void *context, const char *name, const char *fields[3]) {
    (void)context;
    static const char *const shown[] = {"tall", "wide", "deep"};
    size_t count = 0;
    for (size_t i = 0; i < 3; i++) {
        int slot;
        QuantityKind kind;
        bool on_drawing;
        size_t field_at;
        if (sample_field(context, name, &shown[i], 1, &slot, &kind, &on_drawing, &field_at))
            fields[count++] = shown[i];
    }
    return count;
}

static const QuantityNames sample_names = {.find = sample_find,
                                           .field = sample_field,
                                           .height = sample_height,
                                           .near_name = sample_near_name,
                                           .near_field = sample_near_field,
                                           .example_fields = sample_examples};

typedef struct SampleSlot {
    const char *name;
    QuantitySlot slot;
} SampleSlot;

static const SampleSlot sample_slots[] = {
    {"length", {.form = FORM_ONE, .kind = KIND_LENGTH, .place = PLACE_DEPTH_KNOWN}},
    {"angle", {.form = FORM_ONE, .kind = KIND_ANGLE, .place = PLACE_DEPTH_KNOWN}},
    {"tilt", {.form = FORM_ONE, .kind = KIND_TILT, .place = PLACE_DEPTH_KNOWN}},
    {"turn", {.form = FORM_ONE, .kind = KIND_TURN, .place = PLACE_DEPTH_KNOWN}},
    {"share", {.form = FORM_ONE, .kind = KIND_SHARE, .place = PLACE_DEPTH_KNOWN}},
    {"stop", {.form = FORM_ONE, .kind = KIND_STOP, .place = PLACE_DEPTH_KNOWN}},
    {"print", {.form = FORM_ONE, .kind = KIND_PRINT, .place = PLACE_DEPTH_KNOWN}},
    {"weight", {.form = FORM_ONE, .kind = KIND_MASS, .place = PLACE_DEPTH_KNOWN}},
    {"density", {.form = FORM_ONE, .kind = KIND_DENSITY, .place = PLACE_DEPTH_KNOWN}},
    {"weight of an area", {.form = FORM_ONE, .kind = KIND_AREA_WEIGHT, .place = PLACE_DEPTH_KNOWN}},
    {"stiffness", {.form = FORM_ONE, .kind = KIND_STIFFNESS, .place = PLACE_DEPTH_KNOWN}},
    {"power", {.form = FORM_ONE, .kind = KIND_POWER, .place = PLACE_DEPTH_KNOWN}},
    {"current", {.form = FORM_ONE, .kind = KIND_CURRENT, .place = PLACE_DEPTH_KNOWN}},
    {"colour of light", {.form = FORM_ONE, .kind = KIND_COLOUR, .place = PLACE_DEPTH_KNOWN}},
    {"voltage", {.form = FORM_ONE, .kind = KIND_VOLTAGE, .place = PLACE_DEPTH_KNOWN}},
    {"number", {.form = FORM_ONE, .kind = KIND_NUMBER, .place = PLACE_DEPTH_KNOWN}},
    {"range of length", {.form = FORM_RANGE, .kind = KIND_LENGTH, .place = PLACE_DEPTH_KNOWN}},
    {"range of angle", {.form = FORM_RANGE, .kind = KIND_ANGLE, .place = PLACE_DEPTH_KNOWN}},
    {"range of tilt", {.form = FORM_RANGE, .kind = KIND_TILT, .place = PLACE_DEPTH_KNOWN}},
    {"range of stop", {.form = FORM_RANGE, .kind = KIND_STOP, .place = PLACE_DEPTH_KNOWN}},
    {"range of share", {.form = FORM_RANGE, .kind = KIND_SHARE, .place = PLACE_DEPTH_KNOWN}},
    {"size", {.form = FORM_SIZE, .kind = KIND_LENGTH, .place = PLACE_DEPTH_KNOWN}},
    {"size3", {.form = FORM_SIZE3, .kind = KIND_LENGTH, .place = PLACE_DEPTH_KNOWN}},
    {"pixels", {.form = FORM_PIXELS, .kind = KIND_PIXELS, .place = PLACE_DEPTH_KNOWN}},
    {"on the drawing", {.form = FORM_ONE, .kind = KIND_LENGTH, .place = PLACE_ON_DRAWING}},
    {"on the drawing in px",
     {.form = FORM_ONE, .kind = KIND_LENGTH, .place = PLACE_ON_DRAWING, .drawing_in_pixels = true}},
    {"depth", {.form = FORM_ONE, .kind = KIND_LENGTH, .place = PLACE_NO_DEPTH}},
    {"camera", {.form = FORM_ONE, .kind = KIND_LENGTH, .place = PLACE_NO_DEPTH, .of_camera = true}},
};

static inline const QuantitySlot *sample_slot(const char *name) {
    for (size_t i = 0; i < sizeof sample_slots / sizeof *sample_slots; i++) {
        if (strcmp(sample_slots[i].name, name) == 0) return &sample_slots[i].slot;
    }
    return NULL;
}

static inline bool sample_input(void *context, int slot, Span span, double *value) {
    (void)context, (void)span;
    *value = sample_words[slot].value;
    return true;
}

/* What a text of a slot comes to: values (mm, degrees, kg ...; depth: unknown), or a fault. */
typedef struct SampleResult {
    bool sound;
    Quantity quantity;
    double values[3];
    size_t column, length;
    const char *message, *help;
} SampleResult;

static inline bool sample_value(const Formula *formula, SampleResult *result, double *value) {
    const FormulaInputs inputs = {.slot = sample_input};
    size_t step = 0;
    const FormulaStatus status = formula_value(formula, &inputs, value, &step);
    if (status == FORMULA_OK) {
        const QuantityKind kind = formula->kind;
        if (kind == KIND_ANGLE || kind == KIND_TILT || kind == KIND_TURN) *value = DEGREES(*value);
        return true;
    }
    *result =
        (SampleResult){.column = formula->steps[step].span.column,
                       .length = formula->steps[step].span.length,
                       .message = status == FORMULA_DIVISION_BY_ZERO ? "division by zero" : "too large"};
    return false;
}

static inline SampleResult sample_read(Arena *arena, const QuantitySlot *slot, const char *text) {
    SampleResult result = {0};
    result.sound = quantity_read(arena, text, slot, &sample_names, &result.quantity, &result.column,
                                 &result.length, &result.message, &result.help);
    if (!result.sound) return result;
    for (size_t i = 0; i < result.quantity.count; i++) {
        const Formula *formula = &result.quantity.parts[i];
        if (!formula->at_depth && !sample_value(formula, &result, &result.values[i])) return result;
    }
    return result;
}

#endif
