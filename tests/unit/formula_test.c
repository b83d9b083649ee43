/* Postfix formulas: what they come to, and how they fail. */
#include "base/arena.h"
#include "plan/formula.h"

#include <criterion/criterion.h>
#include <float.h>
#include <math.h>

#define STEPS(...)                                                                                           \
    (Formula) {                                                                                              \
        .steps = (const FormulaStep[]){__VA_ARGS__},                                                         \
        .count = sizeof((const FormulaStep[]){__VA_ARGS__}) / sizeof(FormulaStep)                            \
    }
#define NUMBER(number)                                                                                       \
    { .op = FORMULA_NUMBER, .value = (number) }

/* Notes what was asked for, in its order. */
typedef struct Asked {
    char order[16];
    size_t count;
    bool poison;
} Asked;

static void note(void *context, char what) {
    Asked *asked = context;
    asked->order[asked->count++] = what;
}

static bool give_slot(void *context, int slot, Span span, double *value) {
    (void)span;
    note(context, (char)('0' + slot));
    *value = 100 * slot;
    return !((Asked *)context)->poison;
}

static bool give_drawn(void *context, double drawn_mm, Span span, double *real_mm) {
    (void)span;
    note(context, 'd');
    *real_mm = 5 * drawn_mm;
    return true;
}

static bool give_frame(void *context, double share, Span span, double *real_mm) {
    (void)span;
    note(context, 'f');
    *real_mm = 1000 * share;
    return true;
}

static bool give_cover(void *context, Span span, double *real_mm) {
    (void)span;
    note(context, 'c');
    *real_mm = 1234;
    return true;
}

static FormulaInputs inputs_of(Asked *asked) {
    return (FormulaInputs){asked, give_slot, give_drawn, give_frame, give_cover};
}

Test(formula, asks_in_the_order_of_writing) {
    Asked asked = {.count = 0};
    const FormulaInputs inputs = inputs_of(&asked);
    const Formula formula =
        STEPS({.op = FORMULA_SLOT, .slot = 3}, {.op = FORMULA_DRAWN, .value = 60}, {.op = FORMULA_SUBTRACT},
              {.op = FORMULA_FRAME, .value = 0.4}, {.op = FORMULA_COVER}, {.op = FORMULA_MIN, .count = 3});
    double value;
    size_t step;
    cr_assert_eq(formula_value(&formula, &inputs, &value, &step), FORMULA_OK);
    cr_expect_float_eq(value, 0, 1e-12); /* 300 - 5 x 60 */
    cr_expect_str_eq(asked.order, "3dfc");
    cr_expect(!formula_constant(&formula, &value));
}

Test(formula, operators) {
    double value;
    const Formula quotient =
        STEPS(NUMBER(7), NUMBER(2), {.op = FORMULA_DIVIDE}, NUMBER(4), {.op = FORMULA_MULTIPLY},
              {.op = FORMULA_NEGATE}, NUMBER(1), {.op = FORMULA_ADD});
    cr_assert(formula_constant(&quotient, &value));
    cr_expect_float_eq(value, -13, 1e-12);
    const Formula largest = STEPS(NUMBER(7), NUMBER(9), NUMBER(-2), {.op = FORMULA_MAX, .count = 3});
    cr_assert(formula_constant(&largest, &value));
    cr_expect_float_eq(value, 9, 0);
    const Formula nought = STEPS(NUMBER(0), {.op = FORMULA_NEGATE});
    cr_assert(formula_constant(&nought, &value));
    cr_expect(!signbit(value));
}

Test(formula, poison_stops_at_once) {
    Asked asked = {.poison = true};
    const FormulaInputs inputs = inputs_of(&asked);
    const Formula formula =
        STEPS({.op = FORMULA_SLOT, .slot = 1}, {.op = FORMULA_COVER}, {.op = FORMULA_ADD});
    double value;
    size_t step;
    cr_expect_eq(formula_value(&formula, &inputs, &value, &step), FORMULA_POISON);
    cr_expect_str_eq(asked.order, "1");
}

Test(formula, faults_point_at_their_step) {
    double value;
    size_t step = 0;
    const FormulaInputs none = {.context = NULL};
    const Formula by_zero =
        STEPS(NUMBER(1), NUMBER(2), NUMBER(2), {.op = FORMULA_SUBTRACT}, {.op = FORMULA_DIVIDE});
    cr_expect_eq(formula_value(&by_zero, &none, &value, &step), FORMULA_DIVISION_BY_ZERO);
    cr_expect_eq(step, 4);
    const Formula large =
        STEPS(NUMBER(1), NUMBER(DBL_MAX), NUMBER(10), {.op = FORMULA_MULTIPLY}, {.op = FORMULA_ADD});
    cr_expect_eq(formula_value(&large, &none, &value, &step), FORMULA_NOT_FINITE);
    cr_expect_eq(step, 3);
    cr_expect(!formula_constant(&by_zero, &value));
}
