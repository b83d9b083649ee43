#include "plan/formula.h"

#include <assert.h>
#include <math.h>

typedef struct Stack {
    double values[FORMULA_STACK_MOST];
    size_t count;
} Stack;

static void push(Stack *stack, double value) {
    assert(stack->count < FORMULA_STACK_MOST);
    stack->values[stack->count++] = value;
}

static double pop(Stack *stack) {
    assert(stack->count > 0);
    return stack->values[--stack->count];
}

static FormulaStatus push_input(Stack *stack, const FormulaStep *step, const FormulaInputs *inputs) {
    double value = 0;
    bool known = false;
    switch (step->op) {
    case FORMULA_SLOT:
        known = inputs->slot && inputs->slot(inputs->context, step->slot, step->span, &value);
        break;
    case FORMULA_DRAWN:
        known = inputs->drawn && inputs->drawn(inputs->context, step->value, step->span, &value);
        break;
    case FORMULA_FRAME:
        known = inputs->frame && inputs->frame(inputs->context, step->value, step->span, &value);
        break;
    default:
        known = inputs->cover && inputs->cover(inputs->context, step->span, &value);
        break;
    }
    if (!known) return FORMULA_POISON;
    push(stack, value);
    return FORMULA_OK;
}

static FormulaStatus apply_two(Stack *stack, FormulaOp op) {
    const double b = pop(stack), a = pop(stack);
    if (op == FORMULA_DIVIDE && b == 0) return FORMULA_DIVISION_BY_ZERO;
    push(stack, op == FORMULA_ADD        ? a + b
                : op == FORMULA_SUBTRACT ? a - b
                : op == FORMULA_MULTIPLY ? a * b
                                         : a / b);
    return FORMULA_OK;
}

static void apply_extreme(Stack *stack, const FormulaStep *step) {
    assert(step->count >= 2);
    double best = pop(stack);
    for (int i = 1; i < step->count; i++) {
        const double other = pop(stack);
        if (step->op == FORMULA_MIN ? other < best : other > best) best = other;
    }
    push(stack, best);
}

static FormulaStatus apply(Stack *stack, const FormulaStep *step, const FormulaInputs *inputs) {
    switch (step->op) {
    case FORMULA_NUMBER:
        push(stack, step->value);
        return FORMULA_OK;
    case FORMULA_SLOT:
    case FORMULA_DRAWN:
    case FORMULA_FRAME:
    case FORMULA_COVER:
        return push_input(stack, step, inputs);
    case FORMULA_NEGATE:
        push(stack, 0 - pop(stack)); /* never -0 */
        return FORMULA_OK;
    case FORMULA_MIN:
    case FORMULA_MAX:
        apply_extreme(stack, step);
        return FORMULA_OK;
    default:
        return apply_two(stack, step->op);
    }
}

FormulaStatus formula_value(const Formula *formula, const FormulaInputs *inputs, double *value,
                            size_t *step) {
    Stack stack = {.count = 0};
    for (size_t i = 0; i < formula->count; i++) {
        *step = i;
        const FormulaStatus status = apply(&stack, &formula->steps[i], inputs);
        if (status != FORMULA_OK) return status;
        if (!isfinite(stack.values[stack.count - 1])) return FORMULA_NOT_FINITE;
    }
    assert(stack.count == 1);
    *value = stack.values[0];
    return FORMULA_OK;
}

bool formula_constant(const Formula *formula, double *value) {
    for (size_t i = 0; i < formula->count; i++) {
        const FormulaOp op = formula->steps[i].op;
        if (op == FORMULA_SLOT || op == FORMULA_DRAWN || op == FORMULA_FRAME || op == FORMULA_COVER)
            return false;
    }
    size_t step;
    return formula_value(formula, &(FormulaInputs){.context = NULL}, value, &step) == FORMULA_OK;
}
