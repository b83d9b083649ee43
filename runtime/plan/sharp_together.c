#include "plan/sharp_together.h"

#include "optics/lens.h"
#include "optics/sharpness.h"

#include <math.h>

static const double LIMIT_MM = 0.2, READING_MM = 250; /* where the book says nothing else */
static const double SMALLEST = 22; /* common practice, no source: the last mark of most lenses */
static const double BAND = 1e-9;

static double stated_or(const Plan *plan, int slot, double otherwise) {
    return slot >= 0 && plan->known[slot] && isfinite(plan->values[slot]) ? plan->values[slot] : otherwise;
}

SharpLimit plan_sharp_limit(const Plan *plan, int shot) {
    SharpLimit limit = {.paper_mm = stated_or(plan, plan->scene->sharpness, LIMIT_MM),
                        .reading_mm = stated_or(plan, plan->scene->reading, READING_MM)};
    limit.circle_mm =
        sharp_circle_mm(limit.paper_mm, limit.reading_mm, plan->shots[shot].picture.paper_per_sensor);
    return limit;
}

double plan_depth_from_mark(const PlanShot *shot, double depth_mm, double up_mm) {
    const Camera *c = &shot->cameras[0].camera;
    const double back =
        (depth_mm - (c->height_mm - up_mm) * sin(c->tilt_rad)) / cos(c->tilt_rad) - c->distance_mm;
    return back - shot->mark.back_mm;
}

void plan_sharp_depths(const PlanThing *thing, SharpPart part, const Camera *camera, double *near_mm,
                       double *far_mm) {
    double backs[] = {thing->front_mm, thing->rear_mm}, ups[] = {thing->foot_mm, thing->top_mm};
    if (part == SHARP_FRONT) backs[1] = backs[0];
    if (part == SHARP_REAR) backs[0] = backs[1];
    if (part == SHARP_EYES) {
        backs[0] = backs[1] = thing->at.back_mm;
        ups[0] = ups[1] = thing->at.up_mm + thing->eyes_mm;
    }
    *near_mm = INFINITY;
    *far_mm = -INFINITY;
    for (int i = 0; i < 4; i++) { /* across changes no depth */
        const double depth = camera_depth_mm(camera, (Point3){thing->at.across_mm, backs[i / 2], ups[i % 2]});
        *near_mm = fmin(*near_mm, depth);
        *far_mm = fmax(*far_mm, depth);
    }
}

static double blur_mm(const PlanShot *shot, double depth_mm) {
    const Camera *c = &shot->cameras[0].camera;
    return sharp_blur_mm(shot->picture.paper_per_sensor, c->focal_mm, shot->stop, c->object_mm, depth_mm);
}

static bool span_depths(const Plan *plan, int index, SharpTogether *t) {
    const PlanShot *shot = &plan->shots[index];
    t->near_mm = INFINITY;
    t->far_mm = -INFINITY;
    for (size_t i = 0; i < shot->shot->sharp_count; i++) {
        const SharpWish *wish = &shot->shot->sharp[i];
        double near, far;
        plan_sharp_depths(&plan->things[wish->thing], wish->part, &shot->cameras[0].camera, &near, &far);
        if (!(near > shot->cameras[0].camera.focal_mm)) return false;
        if (near < t->near_mm) t->nearest = (int)i;
        if (far > t->far_mm) t->farthest = (int)i;
        t->near_mm = fmin(t->near_mm, near);
        t->far_mm = fmax(t->far_mm, far);
        if (!(shot->stop > 0)) continue;
        const double worst = fmax(blur_mm(shot, near), blur_mm(shot, far));
        if (worst > t->worst_blur_mm) t->worst = (int)i;
        t->worst_blur_mm = fmax(t->worst_blur_mm, worst);
    }
    return shot->shot->sharp_count > 0;
}

static double smallest_stop(const Plan *plan, const PlanShot *shot) {
    const int kind = shot->cameras[0].lens_kind;
    return kind < 0 ? SMALLEST : stated_or(plan, plan->scene->lenses[kind].smallest, SMALLEST);
}

/* Rule 40: the smallest marked opening whose Airy disc still reads as sharp. */
static double smallest_undiffracted(double circle_mm, double magnification, double smallest) {
    double best = 1;
    for (double n = 1; n <= smallest; n = sharp_marked_stop(n * 1.1)) {
        if (sharp_airy_mm(sharp_effective_stop(n, magnification)) <= circle_mm) best = n;
    }
    return best;
}

/* The fewest focus steps, and for so many the ones that share what is left over: each reaches past its range
 * alike, since a smaller circle would do. */
static void find_steps(SharpTogether *t, double focal_mm, double circle_mm) {
    double tight = 0, loose = circle_mm;
    t->step_count =
        sharp_steps(focal_mm, t->step_stop, circle_mm, t->near_mm, t->far_mm, t->step_mm, SHARP_STEPS_TOLD);
    for (int i = 0; i < 40; i++) {
        const double middle = (tight + loose) / 2;
        if (sharp_steps(focal_mm, t->step_stop, middle, t->near_mm, t->far_mm, NULL, 0) > t->step_count)
            tight = middle;
        else
            loose = middle;
    }
    sharp_steps(focal_mm, t->step_stop, loose, t->near_mm, t->far_mm, t->step_mm, SHARP_STEPS_TOLD);
}

bool plan_sharp_together(const Plan *plan, int index, SharpTogether *together) {
    const PlanShot *shot = &plan->shots[index];
    const Camera *c = &shot->cameras[0].camera;
    const SharpLimit limit = plan_sharp_limit(plan, index);
    SharpTogether t = {0};
    if (!span_depths(plan, index, &t)) return false;
    sharp_focus_for(c->focal_mm, limit.circle_mm, t.near_mm, t.far_mm, &t.object_mm, &t.stop);
    t.marked_stop = sharp_marked_stop(t.stop);
    t.smallest_stop = smallest_stop(plan, shot);
    t.within_lens = t.stop <= t.smallest_stop * (1 + BAND);
    if (t.within_lens) t.marked_stop = fmin(t.marked_stop, t.smallest_stop);
    const double m = lens_magnification(c->focal_mm, t.object_mm);
    t.airy_mm = isfinite(t.marked_stop) ? sharp_airy_mm(sharp_effective_stop(t.marked_stop, m)) : NAN;
    t.softened = t.airy_mm > limit.circle_mm;
    t.held = shot->stop > 0 && t.worst_blur_mm <= limit.paper_mm * (1 + BAND);
    t.held_refocused = shot->stop > 0 && t.stop <= shot->stop * (1 + BAND);
    t.step_stop = shot->stop > 0 ? shot->stop : smallest_undiffracted(limit.circle_mm, m, t.smallest_stop);
    find_steps(&t, c->focal_mm, limit.circle_mm);
    *together = t;
    return true;
}
