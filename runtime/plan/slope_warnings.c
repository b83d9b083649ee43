/* What stands level where the ground slopes (docs/geometry.md, rule 30). */
#include "base/text.h"
#include "plan/plan_warnings.h"
#include "plan/relief.h"
#include "plan/shape.h"

#include <math.h>

/* Less is levelled with a knife as a thing is set down (1/4 in; common practice, no source). */
static const double LEVELLED_MM = 6.35;
/* Places that are looked at under a thing, each way. */
enum { PLACES = 16 };

static bool stands_level(const PlanThing *it) {
    const ThingRole role = it->thing->role;
    return (role == ROLE_PIECE || role == ROLE_FLAT) && !it->thing->faulty && it->thing->atop < 0 &&
           !it->hung;
}

static bool is_round(const PlanThing *it) {
    return it->thing->shape == SHAPE_POST || it->thing->shape == SHAPE_CONE;
}

static bool meets_some(const Plan *plan, const PlanThing *things, const PlanThing *it) {
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const ThingRole role = things[i].thing->role;
        if ((role == ROLE_MOUND || role == ROLE_HOLLOW) && things[i].left_mm < it->right_mm &&
            things[i].right_mm > it->left_mm && things[i].front_mm < it->rear_mm &&
            things[i].rear_mm > it->front_mm)
            return true;
    }
    return false;
}

/* How far the ground under one item is higher than its foot, at most. Of what is round only the disc; a
 * panel's `at` is its front. */
static double into_ground_mm(const Plan *plan, const PlanThing *it, int item) {
    const double middle = it->thing->shape == SHAPE_PANEL ? it->deep_mm / 2 : 0;
    double most = 0;
    for (int i = 0; i <= PLACES; i++) {
        for (int k = 0; k <= PLACES; k++) {
            const double x = 2.0 * i / PLACES - 1, y = 2.0 * k / PLACES - 1;
            if (is_round(it) && hypot(x, y) > 1) continue;
            const Point3 at = shape_point(it, item, x * it->wide_mm / 2, middle + y * it->deep_mm / 2, 0);
            most = fmax(most, plan_ground_mm(plan, at.across_mm, at.back_mm) - it->foot_mm);
        }
    }
    return most;
}

static void check(Plan *plan, const PlanThing *it, Diagnostics *diagnostics) {
    Arena *arena = plan->scene->arena;
    const Thing *thing = it->thing;
    const bool row = it->row_count > 1;
    double most = 0;
    for (int item = 0; item < it->row_count; item++)
        most = fmax(most, into_ground_mm(plan, it, item));
    if (most <= LEVELLED_MM) return;
    plan_add_warning(
        plan, diagnostics, "in-slope", thing->name,
        span_is_none(thing->span) ? plan->scene->span : thing->span,
        row ? "let some of them into the ground, or make each a piece of its own, which stands as high as "
              "the ground there"
            : "carve a level seat for it, move it to where the ground is level, or say how high its foot is: "
              "`up`",
        arena_format(
            arena, "`%s` stands level where the ground slopes: some of %s would be up to %s in the ground",
            thing->name, row ? "the row" : "it", length_one(arena, plan->scene->lengths, most, 8, 0)));
}

void slopes_to_warnings(Plan *plan, Diagnostics *diagnostics) {
    const PlanThing *things = plan_planned(plan);
    for (size_t i = 0; i < plan->scene->thing_count; i++)
        if (stands_level(&things[i]) && meets_some(plan, things, &things[i]))
            check(plan, &things[i], diagnostics);
}
