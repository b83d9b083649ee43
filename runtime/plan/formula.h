/* A quantity as the maker wrote it, bound: postfix steps over numbers, slots (other quantities of the scene)
 * and the three forms whose value hangs on where a thing stands. No names and no text to read; spans are kept
 * so that evaluation can point into the spec.
 *
 * Canonical units: mm, radians, shares as fractions (6 % is 0.06), stops as N, kg, kg/m3, kg/m2, N/mm2, W, A,
 * V, K, pixels, pixels an inch, plain numbers. */
#ifndef GROUNDROW_FORMULA_H
#define GROUNDROW_FORMULA_H

#include "base/span.h"

#include <stdbool.h>
#include <stddef.h>

typedef enum QuantityKind {
    KIND_LENGTH,
    KIND_ANGLE,       /* radians, unsigned way: `8 deg` */
    KIND_TILT,        /* radians, down positive: `4 deg down` */
    KIND_TURN,        /* radians, left positive: `20 deg left` */
    KIND_SHARE,       /* `8 %` */
    KIND_STOP,        /* `f/11` */
    KIND_PRINT,       /* pixels an inch */
    KIND_PIXELS,      /* `2210 px` */
    KIND_MASS,        /* kg */
    KIND_DENSITY,     /* kg/m3 */
    KIND_AREA_WEIGHT, /* kg/m2 */
    KIND_STIFFNESS,   /* N/mm2, a modulus of elasticity */
    KIND_POWER,       /* W */
    KIND_CURRENT,     /* A */
    KIND_VOLTAGE,     /* V */
    KIND_COLOUR,      /* K, the colour temperature of a light */
    KIND_NUMBER,
    KIND_COUNT
} QuantityKind;

typedef enum FormulaOp {
    FORMULA_NUMBER, /* push value */
    FORMULA_SLOT,   /* push the value of slot `slot` */
    FORMULA_DRAWN,  /* push the real length of `value` mm measured on the drawing, where the thing stands */
    FORMULA_FRAME,  /* push the real length of the share `value` of the frame, where the thing stands */
    FORMULA_COVER,  /* push as much as any allowed camera can see there */
    FORMULA_ADD,    /* two from the stack */
    FORMULA_SUBTRACT,
    FORMULA_MULTIPLY,
    FORMULA_DIVIDE,
    FORMULA_NEGATE, /* one */
    FORMULA_MIN,    /* `count` from the stack, at least 2 */
    FORMULA_MAX
} FormulaOp;

typedef struct FormulaStep {
    FormulaOp op;
    double value;
    int slot;
    int count;
    Span span; /* of the smallest piece of text that it comes from; an operator's is its sign */
} FormulaStep;

typedef struct Formula {
    const FormulaStep *steps;
    size_t count;
    QuantityKind kind;
    bool at_depth;    /* it has a step that hangs on where a thing stands (drawn, frame, cover) */
    const char *text; /* as written, blanks trimmed */
    Span span;        /* of the text */
} Formula;

/* What a formula hangs on outside itself. The functions get `context`; each returns false when the value
 * cannot be known (and has then been reported by whoever owns it): the result is poison. NULL: that form does
 * not occur. */
typedef struct FormulaInputs {
    void *context;
    bool (*slot)(void *context, int slot, Span span, double *value);
    bool (*drawn)(void *context, double drawn_mm, Span span, double *real_mm);
    bool (*frame)(void *context, double share, Span span, double *real_mm);
    bool (*cover)(void *context, Span span, double *real_mm);
} FormulaInputs;

typedef enum FormulaStatus {
    FORMULA_OK,
    FORMULA_POISON,           /* an input could not be known */
    FORMULA_DIVISION_BY_ZERO, /* `step` is the division */
    FORMULA_NOT_FINITE        /* overflow; `step` is where */
} FormulaStatus;

/* Evaluates from left to right; calls inputs in the order in which they are written. `value` and `step` are
 * set on FORMULA_OK, `step` on the last two. Steps are trusted to be well formed (they come from quantity.h);
 * the stack is at most FORMULA_STACK_MOST deep, which quantity.h enforces. */
enum { FORMULA_STACK_MOST = 64 };
FormulaStatus formula_value(const Formula *formula, const FormulaInputs *inputs, double *value, size_t *step);

/* True, with the value, when the formula has no slot and no step that hangs on depth. */
bool formula_constant(const Formula *formula, double *value);

#endif
