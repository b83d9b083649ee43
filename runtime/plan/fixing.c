#include "plan/fixing.h"

#include "base/text.h"
#include "plan/shape.h"

#include <math.h>

bool plan_is_fixed(const PlanThing *thing) {
    const Thing *it = thing->thing;
    const bool put_on = it->role == ROLE_PUPPET || it->role == ROLE_PIECE || it->role == ROLE_FLAT ||
                        it->role == ROLE_BACKDROP;
    return put_on && it->atop < 0 && !thing->hung && it->fixed != FIXED_OFF;
}

static bool is_round(const PlanThing *it) {
    const ThingShape shape = it->thing->shape;
    return shape == SHAPE_FIGURE || shape == SHAPE_POST || shape == SHAPE_CONE;
}

static bool stands_over(const Plan *plan, Point3 at) {
    const Trapezoid *t = plan->base >= 0 ? &plan->base_outline : &plan->ground_outline;
    const double deep = t->rear_mm - t->front_mm;
    if (at.back_mm < t->front_mm || at.back_mm > t->rear_mm || !(deep > 0)) return false;
    const double share = (at.back_mm - t->front_mm) / deep;
    return at.across_mm >= t->front_left_mm + share * (t->rear_left_mm - t->front_left_mm) &&
           at.across_mm <= t->front_right_mm + share * (t->rear_right_mm - t->front_right_mm);
}

static void add_point(Arena *arena, const Plan *plan, Fixings *fixings, FixedPoint point) {
    if (!stands_over(plan, point.at)) return;
    if (fixings->points.count == FIXINGS_MOST)
        fixings->too_many = true;
    else
        LIST_PUSH(arena, fixings->points, point);
}

/* The points of one item lie in a line through its middle, along its longer side. */
static void add_item(Arena *arena, const Plan *plan, Fixings *fixings, const PlanThing *it,
                     FixedPoint point) {
    const double middle = it->thing->shape == SHAPE_PANEL ? it->deep_mm / 2 : 0; /* `at` is its front */
    const bool along = it->deep_mm > it->wide_mm && !is_round(it);
    const double length = along ? it->deep_mm : it->wide_mm;
    const bool twice = !is_round(it) && length >= FIXED_TWICE_MM;
    point.along = along;
    for (int end = twice ? -1 : 0; end <= (twice ? 1 : 0); end += 2) {
        const double off = end * (length / 2 - fmin(FIXED_INSET_MM, length / 4));
        point.end = end;
        point.at = shape_point(it, point.item, along ? 0 : off, middle + (along ? off : 0), 0);
        add_point(arena, plan, fixings, point);
    }
}

/* Puppets stand in their shots, each shot's a thing of its own. */
static bool stood_there_before(const PlanThing *things, size_t index) {
    const PlanThing *it = &things[index];
    if (it->thing->role != ROLE_PUPPET) return false;
    for (size_t i = 0; i < index; i++) {
        const PlanThing *other = &things[i];
        if (other->thing->role == ROLE_PUPPET && plan_is_fixed(other) &&
            text_equal(other->thing->name, it->thing->name) &&
            hypot(other->at.across_mm - it->at.across_mm, other->at.back_mm - it->at.back_mm) < 1e-3)
            return true;
    }
    return false;
}

Fixings plan_fixings(Arena *arena, const Plan *plan) {
    const PlanThing *things = plan_planned(plan);
    Fixings fixings = {0};
    for (size_t i = 0; i < plan->scene->thing_count && !fixings.too_many; i++) {
        const PlanThing *it = &things[i];
        if (!plan_is_fixed(it) || stood_there_before(things, i)) continue;
        const int items = it->row_count > 1 ? it->row_count : 1;
        for (int item = 0; item < items && !fixings.too_many; item++)
            add_item(arena, plan, &fixings, it,
                     (FixedPoint){.thing = (int)i, .item = item, .below = it->thing->fixed == FIXED_BELOW});
    }
    return fixings;
}
