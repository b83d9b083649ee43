#include "plan/plan.h"

#include "base/text.h"
#include "plan/shape.h"

#include <math.h>

double plan_relief_mm(const PlanThing *relief, double across_mm, double back_mm) {
    const double r = hypot(2 * (across_mm - relief->at.across_mm) / relief->wide_mm,
                           2 * (back_mm - relief->at.back_mm) / relief->deep_mm);
    return r < 1 ? 0.5 * relief->tall_mm * (1 + cos(PI * r)) : 0;
}

double plan_ground_mm(const Plan *plan, double across_mm, double back_mm) {
    double up = 0;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *thing = &plan->things[i];
        const ThingRole role = thing->thing->role;
        if (role == ROLE_MOUND) up += plan_relief_mm(thing, across_mm, back_mm);
        if (role == ROLE_HOLLOW) up -= plan_relief_mm(thing, across_mm, back_mm);
    }
    return up;
}

PlanDatum plan_datum(const Plan *plan) {
    const bool base = plan->base >= 0;
    const Trapezoid outline = base ? plan->base_outline : plan->ground_outline;
    return (PlanDatum){.front_mm = outline.front_mm,
                       .centre_mm = plan->shots[0].cameras[0].camera.across_mm,
                       .outline = outline,
                       .top_mm = base ? -plan->ground_thick_mm : 0,
                       .owner = base ? "base" : "ground"};
}

PlanThing *plan_planned(const Plan *plan) {
    return plan->as_planned ? plan->as_planned : plan->things;
}

Point3 plan_drawn_foot(const PlanThing *thing) {
    switch (thing->thing->shape) {
    case SHAPE_BOX:
    case SHAPE_WEDGE:
    case SHAPE_STEPS:
    case SHAPE_CUTOUT:
        return thing->thing->lead ? thing->at : shape_point(thing, 0, 0, -thing->deep_mm / 2, 0);
    default:
        return thing->at;
    }
}

int plan_find(const Plan *plan, const char *name) {
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const Thing *thing = &plan->scene->things[i];
        if (thing->role != ROLE_OPENING && text_equal(thing->name, name)) return (int)i;
    }
    return -1;
}

double plan_pixels_an_inch(const Plan *plan, const PlanShot *shot, int body) {
    const Body *it = body >= 0 ? &plan->scene->bodies[body] : NULL;
    const bool upright = shot->shot->upright;
    if (!it || !plan->known[it->pixels_wide] || !plan->known[it->pixels_tall]) return NAN;
    const double wide = plan->values[upright ? it->pixels_tall : it->pixels_wide];
    const double tall = plan->values[upright ? it->pixels_wide : it->pixels_tall];
    Picture picture = shot->picture;
    if (body != shot->body) {
        const int across = upright ? it->sensor_tall : it->sensor_wide;
        const int up = upright ? it->sensor_wide : it->sensor_tall;
        if (!plan->known[across] || !plan->known[up]) return NAN;
        picture_fit(&picture, plan->values[across], plan->values[up], 1);
    }
    return picture_pixels_an_inch(&picture, wide, tall);
}

PlanView plan_view(const PlanThing *thing, const Camera *camera, const Picture *picture) {
    PlanView view = {0};
    const Point3 foot = plan_drawn_foot(thing);
    const Point3 head = {foot.across_mm, foot.back_mm, foot.up_mm + thing->tall_mm};
    double head_x, head_y;
    view.from_lens_mm = hypot(hypot(foot.across_mm - camera->across_mm, foot.back_mm + camera->distance_mm),
                              foot.up_mm - camera->height_mm);
    if (!camera_project(camera, picture, foot, &view.foot_x_mm, &view.foot_y_mm, &view.depth_mm) ||
        !camera_project(camera, picture, head, &head_x, &head_y, NULL))
        return view;
    view.seen = true;
    view.tall_mm = head_y - view.foot_y_mm;
    view.scale = camera_scale(camera, picture, foot);
    view.wide_mm = thing->wide_mm / view.scale;
    return view;
}
