#include "plan/relief.h"

#include "plan/parts.h"
#include "plan/plan_warnings.h"

#include <math.h>

/* Where both are lower than this, nothing is carved (1/16 in). */
static const double FLAT_MM = 1.5875;
enum { SAMPLES = 64 };

static bool is_relief(const PlanThing *it) {
    return it->thing->role == ROLE_MOUND || it->thing->role == ROLE_HOLLOW;
}

/* These are cut as one. */
static bool both_are_mounds(const PlanThing *a, const PlanThing *b) {
    return a->thing->role == ROLE_MOUND && b->thing->role == ROLE_MOUND;
}

/* By the heights of both in the box that they share. */
bool plan_reliefs_meet(const PlanThing *a, const PlanThing *b) {
    const double left = fmax(a->at.across_mm - a->wide_mm / 2, b->at.across_mm - b->wide_mm / 2);
    const double right = fmin(a->at.across_mm + a->wide_mm / 2, b->at.across_mm + b->wide_mm / 2);
    const double front = fmax(a->at.back_mm - a->deep_mm / 2, b->at.back_mm - b->deep_mm / 2);
    const double rear = fmin(a->at.back_mm + a->deep_mm / 2, b->at.back_mm + b->deep_mm / 2);
    if (left >= right || front >= rear) return false;
    for (int i = 0; i <= SAMPLES; i++) {
        for (int k = 0; k <= SAMPLES; k++) {
            const double x = left + (right - left) * i / SAMPLES, y = front + (rear - front) * k / SAMPLES;
            if (plan_relief_mm(a, x, y) > FLAT_MM && plan_relief_mm(b, x, y) > FLAT_MM) return true;
        }
    }
    return false;
}

static bool ground_is_cut(const Plan *plan) {
    for (size_t i = 0; plan->parts && i < plan->parts->things.count; i++)
        if (plan->parts->things.items[i].thing == plan->ground) return true;
    return false;
}

void relief_to_warnings(Plan *plan, Diagnostics *diagnostics) {
    const PlanThing *things = plan_planned(plan);
    if (!ground_is_cut(plan)) return;
    for (size_t b = 0; b < plan->scene->thing_count; b++) {
        for (size_t a = 0; is_relief(&things[b]) && a < b; a++) {
            if (!is_relief(&things[a]) || both_are_mounds(&things[a], &things[b]) ||
                !plan_reliefs_meet(&things[a], &things[b]))
                continue;
            plan_add_warning(plan, diagnostics, "mounds-overlap", things[b].thing->name,
                             things[b].thing->span,
                             "fill, or carve, by the model what the other adds there; or move them apart",
                             arena_format(plan->scene->arena,
                                          "`%s` and `%s` share a place, but are cut as if each were alone",
                                          things[a].thing->name, things[b].thing->name));
            break; /* once for each */
        }
    }
}
