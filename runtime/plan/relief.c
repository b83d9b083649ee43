#include "plan/relief.h"

#include "base/number.h"
#include "plan/parts.h"
#include "plan/plan_warnings.h"

#include <math.h>

/* Where both are lower than this, nothing is carved (1/16 in). */
static const double FLAT_MM = 1.5875;
enum { HALVINGS = 60 };

static bool is_relief(const PlanThing *it) {
    return it->thing->role == ROLE_MOUND || it->thing->role == ROLE_HOLLOW;
}

/* These are cut as one. */
static bool both_are_mounds(const PlanThing *a, const PlanThing *b) {
    return a->thing->role == ROLE_MOUND && b->thing->role == ROLE_MOUND;
}

double mound_contour(double tall_mm, double up_mm) {
    if (up_mm >= tall_mm) return 0;
    if (up_mm <= 0) return 1;
    return acos(2 * up_mm / tall_mm - 1) / PI;
}

/* How far an ellipse about a place, with these half axes, is from the origin; 0: it is inside. The nearest
 * place of it is (wide^2 x, deep^2 y) / (wide^2 + t, deep^2 + t) off its middle, for the t that has that on
 * the ellipse. */
static double ellipse_away(double x, double y, double wide, double deep) {
    double low = 0, high = hypot(wide * x, deep * y);
    if (hypot(x / wide, y / deep) <= 1) return 0;
    for (int i = 0; i < HALVINGS; i++) {
        const double t = (low + high) / 2;
        if (hypot(wide * x / (wide * wide + t), deep * y / (deep * deep + t)) > 1)
            low = t;
        else
            high = t;
    }
    return low * hypot(x / (wide * wide + low), y / (deep * deep + low));
}

/* Two ellipses (rule 82); seen so that the one is a circle of radius 1. */
bool plan_reliefs_meet(const PlanThing *a, const PlanThing *b) {
    const double of_a = mound_contour(a->tall_mm, FLAT_MM), of_b = mound_contour(b->tall_mm, FLAT_MM);
    const double x_unit = of_a * a->wide_mm / 2, y_unit = of_a * a->deep_mm / 2;
    if (!(of_a > 0) || !(of_b > 0)) return false;
    const double x = fabs(b->at.across_mm - a->at.across_mm) / x_unit;
    const double y = fabs(b->at.back_mm - a->at.back_mm) / y_unit;
    const double wide = of_b * b->wide_mm / 2 / x_unit, deep = of_b * b->deep_mm / 2 / y_unit;
    if (x >= 1 + wide || y >= 1 + deep) return false;
    return ellipse_away(x, y, wide, deep) < 1 - 1e-9;
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
