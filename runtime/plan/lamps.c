#include "plan/lamps.h"

#include "plan/relief.h"
#include "plan/shape.h"

#include <math.h>
#include <string.h>

double lamp_amps(double watts, double volts) {
    return watts / volts;
}

double light_stops(double near_mm, double far_mm) {
    return 2 * log2(far_mm / near_mm);
}

double lamp_over_stops(double watts, double mm, double other_watts, double other_mm) {
    return log2(watts / other_watts) + light_stops(mm, other_mm);
}

double lamp_distance_mm(const PlanLamp *lamp, Point3 to) {
    return hypot(hypot(to.across_mm - lamp->at.across_mm, to.back_mm - lamp->at.back_mm),
                 to.up_mm - lamp->at.up_mm);
}

Point3 light_at_mark(const Plan *plan) {
    const PlanShot *shot = &plan->shots[0];
    const PlanThing *lead = &plan->things[shot->lead];
    Point3 at = lead->at;
    at.up_mm += lead->eyes_mm > 0 ? lead->eyes_mm : lead->tall_mm / 2;
    return at;
}

bool light_at_backdrop(const Plan *plan, Point3 *at) {
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *it = &plan->things[i];
        if (it->thing->role != ROLE_BACKDROP) continue;
        *at = it->at;
        at->up_mm += it->tall_mm / 2;
        return true;
    }
    return false;
}

Point3 lamp_foot(const Plan *plan, const PlanLamp *lamp) {
    Point3 foot = lamp->at;
    if (lamp->on_stand && plan->table_tall_mm > 0)
        foot.up_mm =
            -(plan->ground_thick_mm + (plan->base >= 0 ? plan->base_thick_mm : 0) + plan->table_tall_mm);
    return foot;
}

/* --- foam */

static bool is_called_foam(const Stock *stock) {
    return (stock->kind && strstr(stock->kind, "foam")) || strstr(stock->name, "foam");
}

bool thing_is_foam(const Plan *plan, const Thing *thing) {
    const Stock *stocks = plan->scene->stocks;
    for (size_t i = 0; i < thing->layer_count; i++)
        if (is_called_foam(&stocks[thing->layers[i].stock])) return true;
    return thing->stock >= 0 && is_called_foam(&stocks[thing->stock]);
}

static double to_segment_mm(Point2 p, Point2 a, Point2 b) {
    const double x = b.across_mm - a.across_mm, y = b.back_mm - a.back_mm;
    const double length2 = x * x + y * y;
    double t = length2 > 0 ? ((p.across_mm - a.across_mm) * x + (p.back_mm - a.back_mm) * y) / length2 : 0;
    t = fmin(fmax(t, 0), 1);
    return hypot(p.across_mm - a.across_mm - t * x, p.back_mm - a.back_mm - t * y);
}

/* On plan, to a convex outline, counter-clockwise; 0 inside. */
static double to_outline_mm(Point2 p, const Point2 *corners, size_t count) {
    double nearest = INFINITY;
    bool inside = true;
    for (size_t i = 0; i < count; i++) {
        const Point2 a = corners[i], b = corners[(i + 1) % count];
        inside &= (b.across_mm - a.across_mm) * (p.back_mm - a.back_mm) -
                      (b.back_mm - a.back_mm) * (p.across_mm - a.across_mm) >=
                  0;
        nearest = fmin(nearest, to_segment_mm(p, a, b));
    }
    return inside ? 0 : nearest;
}

static double to_block_mm(Point3 at, const Point2 *corners, size_t count, double foot_mm, double top_mm) {
    const double level = to_outline_mm((Point2){at.across_mm, at.back_mm}, corners, count);
    const double above = fmax(fmax(foot_mm - at.up_mm, at.up_mm - top_mm), 0);
    return hypot(level, above);
}

static double to_ground_mm(const Plan *plan, Point3 at) {
    const Trapezoid *t = &plan->ground_outline;
    const Point2 corners[] = {{t->front_left_mm, t->front_mm},
                              {t->front_right_mm, t->front_mm},
                              {t->rear_right_mm, t->rear_mm},
                              {t->rear_left_mm, t->rear_mm}};
    return to_block_mm(at, corners, 4, -plan->ground_thick_mm, 0);
}

/* What of its box lies within the ground's. */
static double to_mound_mm(const Plan *plan, const PlanThing *it, Point3 at) {
    const PlanThing *ground = &plan->things[plan->ground];
    const double left = fmax(it->left_mm, ground->left_mm), right = fmin(it->right_mm, ground->right_mm);
    const double front = fmax(it->front_mm, ground->front_mm), rear = fmin(it->rear_mm, ground->rear_mm);
    const Point2 corners[] = {{left, front}, {right, front}, {right, rear}, {left, rear}};
    if (plan_relief_place(plan, it) == RELIEF_OFF_GROUND) return INFINITY;
    return to_block_mm(at, corners, 4, it->foot_mm, it->top_mm);
}

static double to_thing_mm(const Plan *plan, const PlanThing *it, Point3 at) {
    Point2 corners[FOOTPRINT_MOST];
    double nearest = INFINITY;
    if (it->thing->role == ROLE_GROUND) return to_ground_mm(plan, at);
    for (int item = 0; item < it->row_count; item++) {
        const size_t count = shape_footprint(it, item, corners);
        if (count > 0) nearest = fmin(nearest, to_block_mm(at, corners, count, it->foot_mm, it->top_mm));
    }
    return nearest;
}

NearFoam lamp_near_foam(const Plan *plan, Point3 at) {
    const bool foam_ground = plan->ground >= 0 && thing_is_foam(plan, plan->things[plan->ground].thing);
    NearFoam near = {-1, INFINITY};
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *it = &plan->things[i];
        double mm = INFINITY;
        if (it->thing->role == ROLE_MOUND)
            mm = foam_ground ? to_mound_mm(plan, it, at) : INFINITY;
        else if (thing_is_foam(plan, it->thing))
            mm = to_thing_mm(plan, it, at);
        if (mm < near.mm) near = (NearFoam){(int)i, mm};
    }
    return near;
}
