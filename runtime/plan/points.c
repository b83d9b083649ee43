#include "plan/points.h"

#include "base/text.h"
#include "plan/shape.h"

typedef struct Collector {
    Arena *arena;
    const Plan *plan;
    const PlanShot *shot;
    LIST(PlanPoint) points;
} Collector;

static void add(Collector *to, int thing, const char *thing_name, const char *name, Point3 at) {
    LIST_PUSH(to->arena, to->points, (PlanPoint){thing, thing_name, name, at, true});
}

static void add_frame_corners(Collector *to) {
    static const struct {
        const char *name;
        int right, up;
    } corners[] = {{"lower left", 0, 0}, {"lower right", 1, 0}, {"upper left", 0, 1}, {"upper right", 1, 1}};
    const PageArea *frame = &to->shot->areas.frame;
    for (size_t i = 0; i < sizeof corners / sizeof *corners; i++) {
        const double x = corners[i].right ? frame->right_mm : frame->left_mm;
        const double y = corners[i].up ? frame->high_mm : frame->low_mm;
        PlanPoint corner = {.thing = -1, .thing_name = "frame", .name = corners[i].name};
        if (camera_on_upright(&to->shot->cameras[0].camera, &to->shot->picture, x, y, to->shot->mark.back_mm,
                              &corner.at))
            LIST_PUSH(to->arena, to->points, corner);
    }
}

static void add_outline(Collector *to, int thing, const char *name, const Trapezoid *outline, double up_mm) {
    add(to, thing, name, "front left", (Point3){outline->front_left_mm, outline->front_mm, up_mm});
    add(to, thing, name, "front right", (Point3){outline->front_right_mm, outline->front_mm, up_mm});
    add(to, thing, name, "rear left", (Point3){outline->rear_left_mm, outline->rear_mm, up_mm});
    add(to, thing, name, "rear right", (Point3){outline->rear_right_mm, outline->rear_mm, up_mm});
}

static bool is_put_on_set(const PlanThing *thing, size_t shot) {
    const ThingRole role = thing->thing->role;
    const bool upright =
        role == ROLE_PUPPET || role == ROLE_PIECE || role == ROLE_FLAT || role == ROLE_BACKDROP;
    return upright && (thing->thing->shot < 0 || (size_t)thing->thing->shot == shot);
}

PlanPoint *plan_points(Arena *arena, const Plan *plan, size_t shot, size_t *count) {
    Collector to = {.arena = arena, .plan = plan, .shot = &plan->shots[shot]};
    add(&to, -1, "mark", "mark", to.shot->mark);
    add_frame_corners(&to);
    add_outline(&to, plan->ground, "ground", &plan->ground_outline, 0);
    if (plan->base >= 0) add_outline(&to, plan->base, "base", &plan->base_outline, -plan->ground_thick_mm);
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        NamedPoint points[SHAPE_POINTS_MOST];
        const PlanThing *thing = &plan->things[i];
        if (!is_put_on_set(thing, shot)) continue;
        const size_t points_count = shape_points(thing, points);
        for (size_t p = 0; p < points_count; p++)
            add(&to, (int)i, thing->thing->name, points[p].name, points[p].at);
    }
    *count = to.points.count;
    return to.points.items;
}

const char *plan_point_path(Arena *arena, const PlanPoint *point) {
    if (point->thing < 0 && text_equal(point->thing_name, point->name)) return point->name;
    return arena_format(arena, "%s.%s", point->thing_name, point->name);
}
