#include "plan/relief.h"

#include "base/number.h"
#include "plan/parts.h"
#include "plan/plan_warnings.h"
#include "plan/shape.h"

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

/* --- on the ground ------------------------------------------------------------------------------------- */

static double to_segment(Point2 a, Point2 b) {
    const double x = b.across_mm - a.across_mm, y = b.back_mm - a.back_mm, length2 = x * x + y * y;
    const double t = length2 > 0 ? -(a.across_mm * x + a.back_mm * y) / length2 : 0;
    const double along = fmin(fmax(t, 0), 1);
    return hypot(a.across_mm + along * x, a.back_mm + along * y);
}

/* Seen so that the relief is a circle of radius 1 about the origin. */
static Point2 seen_from(const PlanThing *it, double share, double across_mm, double back_mm) {
    return (Point2){(across_mm - it->at.across_mm) / (share * it->wide_mm / 2),
                    (back_mm - it->at.back_mm) / (share * it->deep_mm / 2)};
}

ReliefPlace plan_relief_place(const Plan *plan, const PlanThing *relief) {
    const Trapezoid *t = &plan->ground_outline;
    const double share = mound_contour(relief->tall_mm, FLAT_MM);
    if (!(share > 0)) return RELIEF_ON_GROUND;
    const Point2 corners[4] = {seen_from(relief, share, t->front_left_mm, t->front_mm),
                               seen_from(relief, share, t->front_right_mm, t->front_mm),
                               seen_from(relief, share, t->rear_right_mm, t->rear_mm),
                               seen_from(relief, share, t->rear_left_mm, t->rear_mm)};
    double nearest = INFINITY;
    bool middle_on = true;
    for (int i = 0; i < 4; i++) {
        const Point2 a = corners[i], b = corners[(i + 1) % 4];
        middle_on &= a.across_mm * b.back_mm - a.back_mm * b.across_mm >= 0;
        nearest = fmin(nearest, to_segment(a, b));
    }
    if (nearest >= 1 - 1e-9) return middle_on ? RELIEF_ON_GROUND : RELIEF_OFF_GROUND;
    return RELIEF_PARTLY_OFF;
}

static void warn_off_ground(Plan *plan, const PlanThing *it, Diagnostics *diagnostics) {
    const ReliefPlace place = plan_relief_place(plan, it);
    Arena *arena = plan->scene->arena;
    const char *name = it->thing->name;
    if (place == RELIEF_ON_GROUND || it->thing->faulty) return;
    plan_add_warning(
        plan, diagnostics, "off-ground", name, it->thing->span,
        place == RELIEF_PARTLY_OFF
            ? arena_format(
                  arena, "where that is meant, `accept: [%s off-ground]`; else move it, or widen the ground",
                  name)
            : "`at` counts from the mark; move it, or widen the ground",
        place == RELIEF_PARTLY_OFF
            ? arena_format(arena, "`%s` lies partly off the ground, and is cut off at its edge", name)
            : arena_format(arena, "`%s` lies off the ground, so it is not there", name));
}

/* --- what is cut --------------------------------------------------------------------------------------- */

static bool ground_is_cut(const Plan *plan) {
    for (size_t i = 0; plan->parts && i < plan->parts->things.count; i++)
        if (plan->parts->things.items[i].thing == plan->ground) return true;
    return false;
}

void relief_to_warnings(Plan *plan, Diagnostics *diagnostics) {
    const PlanThing *things = plan_planned(plan);
    for (size_t i = 0; i < plan->scene->thing_count; i++)
        if (is_relief(&things[i])) warn_off_ground(plan, &things[i], diagnostics);
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
