/* Any bytes as a scene of a sound book: text to plan. No crash, no finding of a sanitizer; either faults or a
 * plan whose every number is finite. */
#include "../unit/spec.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void finite_or_abort(double value) {
    if (!isfinite(value)) abort();
}

static void check_plan_is_finite(const Plan *plan) {
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *t = &plan->things[i];
        const double all[] = {t->at.across_mm, t->at.back_mm, t->at.up_mm, t->wide_mm, t->tall_mm,
                              t->deep_mm,      t->left_mm,    t->right_mm, t->top_mm,  t->foot_mm};
        for (size_t k = 0; k < sizeof all / sizeof *all; k++)
            finite_or_abort(all[k]);
    }
    for (size_t s = 0; s < plan->shot_count; s++) {
        for (size_t c = 0; c < plan->shots[s].camera_count; c++) {
            finite_or_abort(plan->shots[s].cameras[c].camera.distance_mm);
            finite_or_abort(plan->shots[s].cameras[c].camera.tilt_rad);
        }
    }
    finite_or_abort(plan->base_outline.rear_right_mm);
    finite_or_abort(plan->build_wide_mm);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    Arena *arena = arena_new();
    Spec spec = spec_of_bytes(arena, FERRY_BOOK, (const char *)data, size);
    if (!spec.plan && spec.diagnostics.errors == 0) abort();
    if (spec.plan) check_plan_is_finite(spec.plan);
    spec_words(arena, &spec);
    arena_free(arena);
    return 0;
}
