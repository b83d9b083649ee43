#include "quantity.h"

#include "base/number.h"
#include "quantity_fault.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* Beside the kinds of quantity.h: a length on the drawing, which is no real length. */
enum { KIND_PAPER = KIND_COUNT };

static const double LENGTH_MOST_MM = 1e6;

/* What the items so far come to: one entry of the stack. */
typedef struct Value {
    int kind; /* a QuantityKind or KIND_PAPER */
    bool nil; /* a nought as written: `0` needs no unit, `0 deg` no way */
    size_t start, end;
    size_t first_step;
    const Item *first, *last; /* the leaves at its ends; NULL behind brackets and signs */
} Value;

typedef struct Work {
    Reading *reading;
    Items *items; /* those of `reading` */
    Span base;    /* where the text begins */
    LIST(FormulaStep) steps;
    bool at_depth;
    Value stack[FORMULA_STACK_MOST];
    size_t depth;
} Work;

static Span span_at(const Work *work, size_t at, size_t end) {
    Span span = work->base;
    span.column += (uint32_t)at;
    span.length = (uint32_t)(end - at);
    return span;
}

static void emit(Work *work, FormulaStep step, size_t at, size_t end) {
    step.span = span_at(work, at, end);
    LIST_PUSH(work->reading->arena, work->steps, step);
}

static void emit_number(Work *work, double value, size_t at, size_t end) {
    emit(work, (FormulaStep){.op = FORMULA_NUMBER, .value = value}, at, end);
}

static bool push_value(Work *work, const Item *item, int kind, bool nil, size_t first_step) {
    assert(work->depth < FORMULA_STACK_MOST);
    work->stack[work->depth++] = (Value){.kind = kind,
                                         .nil = nil,
                                         .start = item->start,
                                         .end = item->end,
                                         .first_step = first_step,
                                         .first = item,
                                         .last = item};
    return true;
}

static bool on_drawing(const Work *work) {
    return work->reading->slot->place == PLACE_ON_DRAWING;
}

/* ---- leaves */

static bool leaf_number(Work *work, const Item *item) {
    if (!fault_number(work->reading, &item->number)) return false;
    const double value = number_value(work->reading->signs, &item->number);
    emit_number(work, value, item->start, item->end);
    return push_value(work, item, KIND_NUMBER, value == 0, work->steps.count - 1);
}

/* Feet before inches, pounds before ounces, and each less than one of the unit before it. */
static bool measures_fit(Reading *reading, const Measure *before, const Measure *measure) {
    const char *shown = fault_shown(reading, measure->number.start, measure->unit_end);
    const bool smaller = measure->unit->family != 0 && measure->unit->family == before->unit->family &&
                         measure->unit->factor < before->unit->factor;
    const double value = number_value(reading->signs, &measure->number) * measure->unit->factor;
    if (!smaller) {
        fault_set(reading, measure->number.start, measure->unit_end, "`%s` follows a finished quantity",
                  shown);
        reading->fault.help = "put `+`, `-`, `*` or `/` between them";
        return false;
    }
    if (value < before->unit->factor) return true;
    return fault_set(reading, measure->number.start, measure->unit_end,
                     "`%s` is not less than one of the unit before it", shown);
}

static bool measure_value(Work *work, const Item *item, double *value) {
    Reading *reading = work->reading;
    *value = 0;
    for (size_t i = 0; i < item->measures; i++) {
        const Measure *measure = &work->items->measures.items[item->first_measure + i];
        if (!fault_number(reading, &measure->number)) return false;
        if (i > 0 && !measures_fit(reading, measure - 1, measure)) return false;
        *value += number_value(reading->signs, &measure->number) * measure->unit->factor;
    }
    return true;
}

static bool fault_place(Work *work, const Item *item, const char *no_depth, const char *drawing) {
    Reading *reading = work->reading;
    if (on_drawing(work)) {
        fault_set(reading, item->start, item->end, "%s on the drawing", drawing);
        reading->fault.help = "what is measured on the drawing is in `mm` or `in`";
        return false;
    }
    if (reading->slot->place != PLACE_NO_DEPTH) return true;
    fault_set(reading, item->start, item->end, "%s where no depth is known yet", no_depth);
    reading->fault.help =
        reading->slot->of_camera ? "give a real length" : "give a real length, or `drawn: {foot: [x, y]}`";
    return false;
}

static bool fault_no_pixels(Reading *reading, size_t at, size_t end, const char *help) {
    fault_set(reading, at, end, "a length where pixels are wanted: the drawing is in px");
    reading->fault.key = "a length on a drawing in px"; /* said once: its `wide` may be what is wrong */
    fault_help(reading,
               "%s; if the drawing was measured with a ruler, so is its `wide`: `drawing: {wide: 420 mm}`",
               help);
    return false;
}

static bool leaf_drawn(Work *work, const Item *item, int kind, double value) {
    Reading *reading = work->reading;
    const bool in_px = reading->slot->drawing_in_pixels;
    const bool px = kind == KIND_PIXELS && (on_drawing(work) || in_px);
    if (in_px && kind == KIND_LENGTH && reading->slot->place == PLACE_DEPTH_KNOWN)
        return fault_no_pixels(reading, item->start, item->end, "measure it in the image: `214 px drawn`");
    if (kind != KIND_LENGTH && !px)
        return fault_set(reading, item->suffix_at, item->suffix_end, "`drawn` after %s",
                         kind_name((QuantityKind)kind));
    if (on_drawing(work)) {
        emit_number(work, value, item->start, item->end);
        return push_value(work, item, px ? KIND_PIXELS : KIND_PAPER, false, work->steps.count - 1);
    }
    if (!fault_place(work, item, "a drawn length", "")) return false;
    work->at_depth = true;
    emit(work, (FormulaStep){.op = FORMULA_DRAWN, .value = value}, item->start, item->end);
    return push_value(work, item, KIND_LENGTH, false, work->steps.count - 1);
}

static bool leaf_way(Work *work, const Item *item, int kind, double value) {
    const Signs *signs = work->reading->signs;
    const uint32_t first = sign_at(signs, item->suffix_at);
    if (kind != KIND_ANGLE)
        return fault_set(work->reading, item->suffix_at, item->suffix_end, "`%s` after %s",
                         signs_text(work->reading->arena, signs, item->suffix_at, item->suffix_end),
                         kind_name((QuantityKind)kind));
    const bool negative = first == 'u' || first == 'r';
    emit_number(work, negative ? 0 - value : value, item->start, item->end);
    return push_value(work, item, first == 'u' || first == 'd' ? KIND_TILT : KIND_TURN, false,
                      work->steps.count - 1);
}

static bool leaf_measure(Work *work, const Item *item) {
    double value;
    if (!measure_value(work, item, &value)) return false;
    const int kind = work->items->measures.items[item->first_measure].unit->kind;
    if (kind == KIND_LENGTH && value > LENGTH_MOST_MM)
        return fault_set(work->reading, item->start, item->end, "a length of more than 1 km");
    if (item->suffix_at != NO_MATCH)
        return item->drawn ? leaf_drawn(work, item, kind, value) : leaf_way(work, item, kind, value);
    emit_number(work, value, item->start, item->end);
    const bool paper = kind == KIND_LENGTH && on_drawing(work);
    return push_value(work, item, paper ? (int)KIND_PAPER : kind, kind == KIND_ANGLE && value == 0,
                      work->steps.count - 1);
}

static bool leaf_share(Work *work, const Item *item) {
    if (!fault_number(work->reading, &item->number)) return false;
    const double value = number_value(work->reading->signs, &item->number) / 100;
    const bool frame = item->suffix_at != NO_MATCH;
    if (frame && !fault_place(work, item, "a share of the frame", "a share of the frame")) return false;
    work->at_depth = work->at_depth || frame;
    emit(work, (FormulaStep){.op = frame ? FORMULA_FRAME : FORMULA_NUMBER, .value = value}, item->start,
         item->end);
    return push_value(work, item, frame ? KIND_LENGTH : KIND_SHARE, false, work->steps.count - 1);
}

static bool push_counted(Work *work, const Item *item, int slot, int kind) {
    const Number *number = &item->number;
    emit_number(work, number_value(work->reading->signs, number), number->start, number->end);
    emit(work, (FormulaStep){.op = FORMULA_SLOT, .slot = slot}, item->name_at,
         item->fields > 0 ? work->items->fields.items[item->first_field + item->fields - 1].end
                          : item->name_end);
    emit(work, (FormulaStep){.op = FORMULA_MULTIPLY}, item->start, item->end);
    return push_value(work, item, kind, false, work->steps.count - 3);
}

static bool leaf_puppets(Work *work, const Item *item) {
    Reading *reading = work->reading;
    if (!fault_number(reading, &item->number) || !fault_puppets(reading, item)) return false;
    if (on_drawing(work) && !fault_place(work, item, "", "puppet heights")) return false;
    const char *name = signs_words(reading->arena, reading->signs, item->name_at, item->name_end);
    int slot;
    if (!reading->names->height(reading->names->context, name, &slot))
        return fault_set(reading, item->name_at, item->name_end, "`%s` has no height", name);
    return push_counted(work, item, slot, KIND_LENGTH);
}

static int kind_at(QuantityKind kind, bool drawn) {
    return drawn && kind == KIND_LENGTH ? (int)KIND_PAPER : (int)kind;
}

static bool leaf_multiple(Work *work, const Item *item) {
    int slot;
    QuantityKind kind;
    bool drawn = false;
    if (!fault_number(work->reading, &item->number) ||
        !fault_reference(work->reading, item, &slot, &kind, &drawn))
        return false;
    if (kind == KIND_STOP)
        return fault_set(work->reading, item->start, item->end, "stops cannot be multiplied");
    return push_counted(work, item, slot, kind_at(kind, drawn));
}

static bool leaf_reference(Work *work, const Item *item) {
    int slot;
    QuantityKind kind;
    bool drawn = false;
    if (!fault_reference(work->reading, item, &slot, &kind, &drawn)) return false;
    emit(work, (FormulaStep){.op = FORMULA_SLOT, .slot = slot}, item->start, item->end);
    return push_value(work, item, kind_at(kind, drawn), false, work->steps.count - 1);
}

static bool leaf_stop(Work *work, const Item *item) {
    const Signs *signs = work->reading->signs;
    Number number;
    match_number_raw(signs, item->start + (sign_at(signs, item->start + 1) == '/' ? 2 : 1), &number);
    if (!fault_number(work->reading, &number)) return false;
    emit_number(work, number_value(signs, &number), item->start, item->end);
    return push_value(work, item, KIND_STOP, false, work->steps.count - 1);
}

static bool leaf_cover(Work *work, const Item *item) {
    if (!fault_place(work, item, "`cover`", "`cover`")) return false;
    if (work->reading->slot->no_cover) {
        fault_set(work->reading, item->start, item->end, "`cover` has no meaning here");
        work->reading->fault.help = "only `wide` and `tall` of flats and of the backdrop can `cover`";
        return false;
    }
    work->at_depth = true;
    emit(work, (FormulaStep){.op = FORMULA_COVER}, item->start, item->end);
    return push_value(work, item, KIND_LENGTH, false, work->steps.count - 1);
}

static bool work_leaf(Work *work, const Item *item) {
    switch (item->kind) {
    case ITEM_NUMBER:
        return leaf_number(work, item);
    case ITEM_MEASURE:
        return leaf_measure(work, item);
    case ITEM_SHARE:
        return leaf_share(work, item);
    case ITEM_PUPPETS:
        return leaf_puppets(work, item);
    case ITEM_MULTIPLE:
        return leaf_multiple(work, item);
    case ITEM_REFERENCE:
        return leaf_reference(work, item);
    case ITEM_STOP:
        return leaf_stop(work, item);
    default:
        return leaf_cover(work, item);
    }
}

/* ---- operators */

static const char *value_name(const Value *value, const Value *other) {
    if (value->kind == KIND_PAPER) return "a length on the drawing";
    if (value->kind == KIND_LENGTH && other->kind == KIND_PAPER) return "a real length";
    return kind_name((QuantityKind)value->kind);
}

/* The kind of two that stand side by side in a sum or in `min( )`. */
static bool same_kind(const Value *a, const Value *b, int *kind) {
    const Value *order[2][2] = {{a, b}, {b, a}};
    *kind = a->kind;
    if (a->kind == b->kind) return true;
    for (int i = 0; i < 2; i++) {
        const Value *nought = order[i][0], *other = order[i][1];
        const bool turns = other->kind == KIND_TILT || other->kind == KIND_TURN;
        *kind = other->kind;
        if (nought->nil && (nought->kind == KIND_NUMBER || (nought->kind == KIND_ANGLE && turns)))
            return true;
    }
    return false;
}

static bool fault_operator(Work *work, const Item *item, const Value *a, const char *verb, const Value *b) {
    return fault_set(work->reading, item->start, item->end, "%s %s %s", value_name(a, b), verb,
                     value_name(b, a));
}

static bool fault_stops(Work *work, const Item *item, const char *verb) {
    fault_set(work->reading, item->start, item->end, "stops cannot be %s", verb);
    work->reading->fault.help = "write the stop itself: `f/11`";
    return false;
}

static bool feet_mark_at_end(const Work *work, const Item *item) {
    if (!item || item->kind != ITEM_MEASURE || item->suffix_at != NO_MATCH) return false;
    const Measure *last = &work->items->measures.items[item->first_measure + item->measures - 1];
    return strcmp(last->unit->word, "ft") == 0 &&
           sign_is_foot_mark(sign_at(work->reading->signs, last->unit_at));
}

static bool inches_at_start(const Work *work, const Item *item) {
    if (!item || item->kind != ITEM_MEASURE) return false;
    return strncmp(work->items->measures.items[item->first_measure].unit->word, "in", 2) == 0;
}

/* `3' - 6"` may be meant either way. */
static bool fault_feet_minus(Work *work, const Item *item, const Value *a, const Value *b) {
    Reading *reading = work->reading;
    const Measure *feet = &work->items->measures.items[a->last->first_measure + a->last->measures - 1];
    const Measure *inches = &work->items->measures.items[b->first->first_measure];
    const char *feet_number =
        signs_text(reading->arena, reading->signs, feet->number.start, feet->number.end);
    const char *inch_number =
        signs_text(reading->arena, reading->signs, inches->number.start, inches->number.end);
    const char *feet_text = signs_text(reading->arena, reading->signs, feet->number.start, feet->unit_end);
    const char *inch_text =
        signs_text(reading->arena, reading->signs, inches->number.start, inches->unit_end);
    fault_set(reading, item->start, item->end, "feet and inches, or feet minus inches?");
    fault_help(reading, "write `%s-%s` without blanks, or `%s ft - %s in`", feet_text, inch_text, feet_number,
               inch_number);
    return false;
}

static bool work_sum(Work *work, const Item *item, const Value *a, const Value *b, int *kind) {
    const bool plus = item->kind == ITEM_ADD;
    if (!plus && feet_mark_at_end(work, a->last) && inches_at_start(work, b->first))
        return fault_feet_minus(work, item, a, b);
    if (a->kind == KIND_STOP || b->kind == KIND_STOP)
        return fault_stops(work, item, plus ? "added" : "subtracted");
    return same_kind(a, b, kind) || fault_operator(work, item, a, plus ? "plus" : "minus", b);
}

static bool work_product(Work *work, const Item *item, const Value *a, const Value *b, int *kind) {
    if (a->kind == KIND_STOP || b->kind == KIND_STOP) return fault_stops(work, item, "multiplied");
    if (a->kind != KIND_NUMBER && b->kind != KIND_NUMBER) return fault_operator(work, item, a, "times", b);
    *kind = a->kind == KIND_NUMBER ? b->kind : a->kind;
    return true;
}

static bool steps_constant(const Work *work, size_t first, double *value) {
    const Formula formula = {.steps = work->steps.items + first, .count = work->steps.count - first};
    return formula_constant(&formula, value);
}

static bool work_quotient(Work *work, const Item *item, const Value *a, const Value *b, int *kind) {
    if (a->kind == KIND_STOP || b->kind == KIND_STOP) return fault_stops(work, item, "divided");
    if (b->kind != KIND_NUMBER && a->kind != b->kind) return fault_operator(work, item, a, "divided by", b);
    double divisor;
    if (steps_constant(work, b->first_step, &divisor) && divisor == 0)
        return fault_set(work->reading, item->start, item->end, "division by zero");
    *kind = b->kind == KIND_NUMBER ? a->kind : KIND_NUMBER;
    return true;
}

static bool work_extreme(Work *work, const Item *item, const Value *a, const Value *b, int *kind) {
    if (same_kind(a, b, kind)) return true;
    return fault_set(work->reading, b->start, b->end, "`%s` of %s and %s",
                     item->kind == ITEM_MIN ? "min" : "max", value_name(a, b), value_name(b, a));
}

static bool work_two(Work *work, const Item *item) {
    const Value b = work->stack[--work->depth];
    Value *a = &work->stack[work->depth - 1];
    int kind = a->kind;
    FormulaStep step = {.op = FORMULA_ADD};
    bool fits;
    if (item->kind == ITEM_ADD || item->kind == ITEM_SUBTRACT) {
        step.op = item->kind == ITEM_ADD ? FORMULA_ADD : FORMULA_SUBTRACT;
        fits = work_sum(work, item, a, &b, &kind);
    } else if (item->kind == ITEM_MULTIPLY) {
        step.op = FORMULA_MULTIPLY;
        fits = work_product(work, item, a, &b, &kind);
    } else if (item->kind == ITEM_DIVIDE) {
        step.op = FORMULA_DIVIDE;
        fits = work_quotient(work, item, a, &b, &kind);
    } else {
        step = (FormulaStep){.op = item->kind == ITEM_MIN ? FORMULA_MIN : FORMULA_MAX, .count = 2};
        fits = work_extreme(work, item, a, &b, &kind);
    }
    if (!fits) return false;
    emit(work, step, item->start, item->end);
    a->kind = kind;
    a->nil = false;
    a->end = b.end;
    a->last = b.last;
    return true;
}

static bool work_sign(Work *work, const Item *item) {
    Value *value = &work->stack[work->depth - 1];
    const bool negative = sign_at(work->reading->signs, item->start) != '+';
    if (value->kind == KIND_STOP)
        return fault_set(work->reading, item->start, item->end, "a stop has no sign");
    value->start = item->start;
    value->first = NULL;
    if (negative) emit(work, (FormulaStep){.op = FORMULA_NEGATE}, item->start, item->end);
    return true;
}

static bool work_item(Work *work, const Item *item) {
    if (item->kind < ITEM_SIGN) return work_leaf(work, item);
    if (item->kind == ITEM_SIGN) return work_sign(work, item);
    if (item->kind != ITEM_GROUP) return work_two(work, item);
    Value *value = &work->stack[work->depth - 1];
    value->start = item->start;
    value->end = item->end;
    value->first = value->last = NULL;
    return true;
}

/* ---- what the slot wants */

static const char *wanted_name(const Work *work) {
    const QuantitySlot *slot = work->reading->slot;
    return on_drawing(work) && slot->kind == KIND_LENGTH ? "a length on the drawing"
                                                         : kind_name_shown(slot->kind);
}

static bool fault_not_wanted(Work *work, size_t at, size_t end, const char *got, const char *wanted,
                             const char *comma) {
    Reading *reading = work->reading;
    fault_set(reading, at, end, "%s%s where %s is wanted", got, comma, wanted);
    reading->fault.said = arena_format(reading->arena, "%s, not %s", wanted, got);
    return false;
}

static const char *unitless_name(QuantityKind kind) {
    if (kind == KIND_TILT || kind == KIND_TURN) return "an angle";
    if (kind == KIND_PRINT || kind == KIND_PIXELS) return "a value";
    return kind_name(kind);
}

/* `1250 x 1400`: not one of several parts says a unit. */
static bool plain_parts(const Items *items) {
    for (size_t i = 0; i < items->part_count; i++) {
        if (items->list.items[items->parts[i].first].kind != ITEM_NUMBER || items->parts[i].count != 1)
            return false;
    }
    return items->part_count > 1;
}

/* The unit of an example: `85 mm` gives ` mm`. */
static const char *example_unit(const char *example) {
    return example + strspn(example, "0123456789./");
}

static void help_unit(Work *work, const Value *value) {
    static const char *const units[KIND_COUNT][2] = {
        [KIND_LENGTH] = {" in", " mm"},
        [KIND_ANGLE] = {" deg", NULL},
        [KIND_TILT] = {" deg down", " deg up"},
        [KIND_TURN] = {" deg left", " deg right"},
        [KIND_SHARE] = {" %", NULL},
        [KIND_PRINT] = {" ppi", NULL},
        [KIND_PIXELS] = {" px", NULL},
        [KIND_MASS] = {" lb", " kg"},
        [KIND_DENSITY] = {" lb/ft3", " kg/m3"},
        [KIND_AREA_WEIGHT] = {" lb/ft2", " kg/m2"},
        [KIND_STIFFNESS] = {" psi", " N/mm2"},
        [KIND_POWER] = {" W", NULL},
        [KIND_CURRENT] = {" A", NULL},
        [KIND_VOLTAGE] = {" V", NULL},
        [KIND_COLOUR] = {" K", NULL},
    };
    Reading *reading = work->reading;
    const QuantitySlot *slot = reading->slot;
    const bool plain = value->first_step + 1 == work->steps.count && value->first;
    const ValuePart *parts = work->items->parts;
    const char *number = !plain                     ? "9"
                         : plain_parts(work->items) ? fault_shown(reading, parts[0].text.at,
                                                                  parts[work->items->part_count - 1].text.end)
                                                    : fault_shown(reading, value->start, value->end);
    const char *lead = plain ? "write" : "give it a unit, as in";
    const bool px = on_drawing(work) && slot->drawing_in_pixels;
    const char *first = px ? " px" : slot->example ? example_unit(slot->example) : units[slot->kind][0];
    const char *second = px || slot->example ? NULL : units[slot->kind][1];
    if (slot->kind == KIND_STOP)
        fault_help(reading, "%s `f/%s`", lead, number);
    else if (second)
        fault_help(reading, "%s `%s%s` or `%s%s`", lead, number, first, number, second);
    else
        fault_help(reading, "%s `%s%s`", lead, number, first);
}

static bool fault_no_unit(Work *work, const Value *value) {
    Reading *reading = work->reading;
    const QuantityKind kind = reading->slot->kind;
    fault_set(reading, value->start, value->end, "%s without a unit", unitless_name(kind));
    reading->fault.said = kind == KIND_STOP ? "a stop without `f/`" : reading->fault.message;
    help_unit(work, value);
    return false;
}

static bool fault_way(Work *work, const Value *value) {
    Reading *reading = work->reading;
    const bool tilt = reading->slot->kind == KIND_TILT;
    fault_set(reading, value->start, value->end, "which way?");
    const char *shown = fault_shown(reading, value->start, value->end);
    if (value->first && value->first == value->last)
        fault_help(reading, "write `%s %s` or `%s %s`", shown, tilt ? "down" : "left", shown,
                   tilt ? "up" : "right");
    else
        fault_help(reading, "write `4 deg %s` or `4 deg %s`", tilt ? "down" : "left", tilt ? "up" : "right");
    return false;
}

static bool fault_wrong_way(Work *work, const Value *value) {
    Reading *reading = work->reading;
    const Item *item = value->first ? value->first : value->last;
    const bool tilt = reading->slot->kind == KIND_TILT;
    if (!item || value->first != value->last || item->kind != ITEM_MEASURE)
        return fault_not_wanted(work, value->start, value->end, kind_name_shown((QuantityKind)value->kind),
                                wanted_name(work), "");
    fault_set(reading, value->start, value->end, "`%s` is no way to %s",
              signs_text(reading->arena, reading->signs, item->suffix_at, item->suffix_end),
              tilt ? "tilt" : "turn");
    reading->fault.help = tilt ? "a tilt is `up` or `down`" : "a turn is `left` or `right`";
    return false;
}

static bool fault_misfit(Work *work, const Value *value) {
    const QuantityKind wanted = work->reading->slot->kind;
    double constant;
    if (value->kind == KIND_NUMBER && wanted != KIND_NUMBER &&
        steps_constant(work, value->first_step, &constant))
        return fault_no_unit(work, value);
    const bool turns = wanted == KIND_TILT || wanted == KIND_TURN;
    if (turns && value->kind == KIND_ANGLE) return fault_way(work, value);
    if (turns && (value->kind == KIND_TILT || value->kind == KIND_TURN)) return fault_wrong_way(work, value);
    const bool paper = on_drawing(work) && wanted == KIND_LENGTH;
    if (paper && value->kind == KIND_LENGTH)
        return fault_not_wanted(work, value->start, value->end, "a real length", "a length on the drawing",
                                ",");
    if (value->kind == KIND_PAPER && wanted == KIND_PIXELS)
        return fault_no_pixels(work->reading, value->start, value->end, "measure it in the image: `214 px`");
    if (value->kind == KIND_PAPER) {
        const char *name = wanted == KIND_LENGTH ? "a real length" : wanted_name(work);
        return fault_not_wanted(work, value->start, value->end, "a length on the drawing", name,
                                wanted == KIND_LENGTH ? "," : "");
    }
    return fault_not_wanted(work, value->start, value->end, kind_name_shown((QuantityKind)value->kind),
                            wanted_name(work), "");
}

static bool value_fits(const Work *work, const Value *value) {
    const QuantitySlot *slot = work->reading->slot;
    const bool paper = on_drawing(work) && slot->kind == KIND_LENGTH;
    if (paper && slot->drawing_in_pixels && value->kind == KIND_PIXELS) return true;
    if (value->kind == (paper ? (int)KIND_PAPER : (int)slot->kind)) return true;
    if (!value->nil) return false;
    if (value->kind == KIND_NUMBER) return slot->kind != KIND_STOP;
    return slot->kind == KIND_TILT || slot->kind == KIND_TURN;
}

static bool part_bounds(Work *work, const ValuePart *part, const Formula *formula) {
    Reading *reading = work->reading;
    double value;
    size_t step;
    if (formula->at_depth) return true;
    for (size_t i = 0; i < formula->count; i++) {
        if (formula->steps[i].op == FORMULA_SLOT) return true;
    }
    if (formula_value(formula, &(FormulaInputs){.context = NULL}, &value, &step) == FORMULA_NOT_FINITE)
        return fault_set(reading, part->text.at, part->text.end, "a number too large");
    if (formula->kind == KIND_LENGTH && fabs(value) > LENGTH_MOST_MM)
        return fault_set(reading, part->text.at, part->text.end, "a length of more than 1 km");
    const QuantityForm form = reading->slot->form;
    if (form != FORM_ONE && form != FORM_RANGE && value <= 0)
        return fault_set(reading, part->text.at, part->text.end, "a size of nothing or less");
    if (form == FORM_PIXELS && value != floor(value))
        return fault_set(reading, part->text.at, part->text.end, "part of a pixel");
    return true;
}

static bool work_part(Work *work, const ValuePart *part, Formula *formula) {
    work->steps.items = NULL;
    work->steps.count = work->steps.capacity = 0;
    work->at_depth = false;
    work->depth = 0;
    for (size_t i = 0; i < part->count; i++) {
        if (!work_item(work, &work->items->list.items[part->first + i])) return false;
    }
    assert(work->depth == 1);
    const Value *value = &work->stack[0];
    const Reading *reading = work->reading;
    const bool pixels = reading->slot->form == FORM_PIXELS;
    if (pixels && (part->count != 1 || value->kind != KIND_NUMBER)) {
        const char *got = part->count == 1 ? kind_name((QuantityKind)value->kind) : "arithmetic";
        fault_not_wanted(work, value->start, value->end, got, "a plain number", "");
        work->reading->fault.help = "write the pixels across and down: `8000 x 5333`";
        return false;
    }
    if (!pixels && !value_fits(work, value)) return fault_misfit(work, value);
    const QuantityKind kind = !pixels && value->kind == KIND_PIXELS ? KIND_PIXELS : reading->slot->kind;
    *formula = (Formula){.steps = work->steps.items,
                         .count = work->steps.count,
                         .kind = kind,
                         .at_depth = work->at_depth,
                         .text = signs_text(reading->arena, reading->signs, part->text.at, part->text.end),
                         .span = span_at(work, part->text.at, part->text.end)};
    return part_bounds(work, part, formula);
}

/* ---- ranges and sizes */

/* The one leaf of a part that may have a sign before it, or NULL. */
static Item *lone_leaf(Items *items, const ValuePart *part) {
    Item *first = &items->list.items[part->first];
    const bool lone = part->count == 1 || (part->count == 2 && first[1].kind == ITEM_SIGN);
    return lone ? first : NULL;
}

/* `60 to 105 mm`, `36 x 24 mm`: the unit of the last is that of the plain numbers before it. */
static void share_unit(Items *items) {
    const Item *last = lone_leaf(items, &items->parts[items->part_count - 1]);
    if (!last || !((last->kind == ITEM_MEASURE && last->measures == 1) || last->kind == ITEM_SHARE ||
                   last->kind == ITEM_PUPPETS || last->kind == ITEM_MULTIPLE))
        return;
    for (size_t i = 0; i + 1 < items->part_count; i++) {
        Item *item = lone_leaf(items, &items->parts[i]);
        if (!item || item->kind != ITEM_NUMBER) continue;
        Item with_unit = *last;
        with_unit.start = item->start;
        with_unit.end = item->end;
        with_unit.number = item->number;
        if (last->kind == ITEM_MEASURE) {
            Measure measure = items->measures.items[last->first_measure];
            measure.number = item->number;
            with_unit.first_measure = items->measures.count;
            LIST_PUSH(items->arena, items->measures, measure);
        }
        *item = with_unit;
    }
}

static bool fault_form(Work *work, const char *got, const char *wanted) {
    const Items *items = work->items;
    fault_not_wanted(work, items->parts[0].text.at, items->parts[items->part_count - 1].text.end, got, wanted,
                     "");
    if (strcmp(wanted, "a range") == 0) work->reading->fault.help = "a range is written `50 to 100 mm`";
    if (strcmp(wanted, "a size") == 0) work->reading->fault.help = "a size is written `36 x 24 mm`";
    if (work->reading->slot->instead) work->reading->fault.help = work->reading->slot->instead;
    return false;
}

static bool form_fits(Work *work) {
    Reading *reading = work->reading;
    const Items *items = work->items;
    const QuantityForm form = reading->slot->form;
    const char *got = items->form == VALUE_RANGE  ? "a range"
                      : items->form == VALUE_SIZE ? "a size"
                                                  : "one quantity";
    if (form == FORM_ONE && items->form != VALUE_ONE) {
        fault_form(work, got, wanted_name(work));
        if (items->form == VALUE_SIZE && items->part_count == 2 && !reading->slot->instead)
            fault_help(reading, "a product is written `%s * %s`",
                       fault_shown(reading, items->parts[0].text.at, items->parts[0].text.end),
                       fault_shown(reading, items->parts[1].text.at, items->parts[1].text.end));
        return false;
    }
    if (form == FORM_RANGE) return items->form != VALUE_SIZE || fault_form(work, got, "a range");
    if (form == FORM_ONE) return true;
    if (items->form != VALUE_SIZE) return fault_form(work, got, "a size");
    const size_t count = form == FORM_SIZE3 ? 3 : 2;
    if (items->part_count == count) return true;
    return fault_set(reading, items->parts[0].text.at, items->parts[items->part_count - 1].text.end,
                     "a size of %zu where %zu are wanted", items->part_count, count);
}

/* The number of a part, sign and all, up to its unit. */
static size_t number_end(const Items *items, const ValuePart *part) {
    const Item *item = &items->list.items[part->first];
    return item->kind == ITEM_MEASURE ? items->measures.items[item->first_measure].number.end
                                      : item->number.end;
}

static bool range_rises(Work *work, const Quantity *quantity, bool shared) {
    Reading *reading = work->reading;
    const ValuePart *parts = work->items->parts;
    double low, high;
    if (!formula_constant(&quantity->parts[0], &low) || !formula_constant(&quantity->parts[1], &high) ||
        low <= high)
        return true;
    const Extent a = parts[0].text, b = parts[1].text;
    fault_set(reading, a.at, b.end, "the range runs downwards");
    if (shared) {
        const size_t number = number_end(work->items, &parts[1]);
        fault_help(reading, "write `%s to %s%s`", fault_shown(reading, b.at, number), quantity->parts[0].text,
                   fault_shown(reading, number, b.end));
    } else {
        fault_help(reading, "write `%s to %s`", quantity->parts[1].text, quantity->parts[0].text);
    }
    return false;
}

/* The names and numbers left of `end`, each by itself: their faults come before those of the whole. */
static bool leaves_sound(Work *work, size_t end) {
    const Items *items = work->items;
    for (size_t i = 0; i < items->list.count; i++) {
        const Item *item = &items->list.items[i];
        if (item->kind >= ITEM_SIGN || item->start >= end) continue;
        work->depth = 0;
        if (!work_leaf(work, item)) return false;
    }
    return true;
}

static bool work_value(Work *work, Quantity *quantity) {
    Items *items = work->items;
    if (!leaves_sound(work, work->reading->signs->count) || !form_fits(work)) return false;
    const Item *first = lone_leaf(items, &items->parts[0]);
    const bool shared = items->part_count > 1 && first && first->kind == ITEM_NUMBER;
    if (items->part_count > 1) share_unit(items);
    quantity->count = items->part_count;
    for (size_t i = 0; i < items->part_count; i++) {
        if (!work_part(work, &items->parts[i], &quantity->parts[i])) return false;
    }
    if (work->reading->slot->form != FORM_RANGE) return true;
    if (quantity->count == 2) return range_rises(work, quantity, shared);
    quantity->parts[quantity->count++] = quantity->parts[0];
    return true;
}

/* ---- the whole */

static bool work_stop(Work *work) {
    return leaves_sound(work, work->items->stop.at) && fault_stop(work->reading);
}

static bool quantity_work(Arena *arena, const char *text, Span base, const QuantitySlot *slot,
                          const QuantityNames *names, Quantity *quantity, QuantityFault *fault) {
    const Signs signs = signs_new(arena, text);
    Items items = {.arena = arena};
    Reading reading = {.arena = arena, .signs = &signs, .items = &items, .slot = slot, .names = names};
    Work work = {.reading = &reading, .items = &items, .base = base};
    bool sound;
    if (signs.end == 0) {
        sound = fault_set(&reading, 0, 1, "an empty value");
    } else if (signs.count > QUANTITY_SIGNS_MOST) {
        sound = fault_set(&reading, 0, 1, "a quantity of more than %d signs", QUANTITY_SIGNS_MOST);
    } else {
        items = items_read(arena, &signs);
        sound = items.stop.kind == STOP_NONE ? work_value(&work, quantity) : work_stop(&work);
    }
    *fault = reading.fault;
    return sound;
}

bool quantity_read(Arena *arena, const char *text, const QuantitySlot *slot, const QuantityNames *names,
                   Quantity *quantity, size_t *column, size_t *length, const char **message,
                   const char **help) {
    QuantityFault fault;
    if (quantity_work(arena, text, (Span){.line = 1, .column = 1}, slot, names, quantity, &fault))
        return true;
    *column = fault.at + 1;
    *length = fault.end - fault.at;
    *message = fault.message;
    *help = fault.help;
    return false;
}

static const char *message_in_place(Arena *arena, const QuantityFault *fault, const char *where) {
    if (fault->said) return arena_format(arena, "%s is %s", where, fault->said);
    const char *message = fault->plain ? fault->plain : fault->message;
    const bool joins = text_starts(message, "unknown ") || text_ends(message, "?");
    return arena_format(arena, joins ? "%s in %s" : "%s, in %s", message, where);
}

bool quantity_parse(Arena *arena, const char *text, Span span, bool quoted, const QuantitySlot *slot,
                    const char *where, const QuantityNames *names, Diagnostics *diagnostics,
                    Quantity *quantity) {
    QuantityFault fault;
    Span base = span;
    base.column += quoted;
    if (quantity_work(arena, text, base, slot, names, quantity, &fault)) return true;
    Span at = base;
    at.column += (uint32_t)fault.at;
    at.length = (uint32_t)(fault.end - fault.at);
    const char *message = message_in_place(arena, &fault, where);
    Diagnostic *diagnostic = fault.key ? diagnostics_error_once(diagnostics, fault.key, at, "%s", message)
                                       : diagnostics_error(diagnostics, at, "%s", message);
    if (fault.help) diagnostic_help(diagnostics, diagnostic, "%s", fault.help);
    return false;
}
