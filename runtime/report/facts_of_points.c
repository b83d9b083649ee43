/* Named points and cameras as data, so that anyone can project the one through the other. */
#include "plan/shape.h"
#include "report/facts_of_plan.h"

static void write_point(Writer *writer, const PlanShot *shot, const char *thing, const char *name,
                        Point3 at) {
    FactPoint point = {.shot = shot->name, .thing = thing, .point = name, .set = at};
    point.seen = camera_project(&shot->cameras[0].camera, &shot->picture, at, &point.x_mm, &point.y_mm, NULL);
    LIST_PUSH(writer->arena, writer->facts->points, point);
}

/* The frame's corners (trim and bleed) in the upright plane across the set at the mark. */
static void write_frame_corners(Writer *writer, const PlanShot *shot) {
    static const struct {
        const char *name;
        int right, up;
    } corners[] = {{"lower left", 0, 0}, {"lower right", 1, 0}, {"upper left", 0, 1}, {"upper right", 1, 1}};
    const Picture *picture = &shot->picture;
    const PageArea *frame = &shot->areas.frame;
    for (size_t i = 0; i < sizeof corners / sizeof *corners; i++) {
        const double x = corners[i].right ? frame->right_mm : frame->left_mm;
        const double y = corners[i].up ? frame->high_mm : frame->low_mm;
        Point3 at;
        if (camera_on_upright(&shot->cameras[0].camera, picture, x, y, shot->mark.back_mm, &at))
            write_point(writer, shot, "frame", corners[i].name, at);
    }
}

static void write_outline(Writer *writer, const PlanShot *shot, const char *thing, const Trapezoid *outline,
                          double up_mm) {
    write_point(writer, shot, thing, "front left",
                (Point3){outline->front_left_mm, outline->front_mm, up_mm});
    write_point(writer, shot, thing, "front right",
                (Point3){outline->front_right_mm, outline->front_mm, up_mm});
    write_point(writer, shot, thing, "rear left", (Point3){outline->rear_left_mm, outline->rear_mm, up_mm});
    write_point(writer, shot, thing, "rear right", (Point3){outline->rear_right_mm, outline->rear_mm, up_mm});
}

static void write_points_of_shot(Writer *writer, size_t shot_index) {
    const Plan *plan = writer->plan;
    const PlanShot *shot = &plan->shots[shot_index];
    write_point(writer, shot, "mark", "mark", shot->mark);
    write_frame_corners(writer, shot);
    write_outline(writer, shot, "ground", &plan->ground_outline, 0);
    if (plan->base >= 0) write_outline(writer, shot, "base", &plan->base_outline, -plan->ground_thick_mm);
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        NamedPoint points[SHAPE_POINTS_MOST];
        const PlanThing *thing = &plan->things[i];
        if (!stands_on_set(thing) || !in_shot(thing, shot_index)) continue;
        const size_t count = shape_points(thing, points);
        for (size_t p = 0; p < count; p++)
            write_point(writer, shot, thing->thing->name, points[p].name, points[p].at);
    }
}

static void write_cameras(Writer *writer, const PlanShot *shot) {
    for (size_t c = 0; c < shot->camera_count; c++) {
        const PlanCamera *camera = &shot->cameras[c];
        LIST_PUSH(writer->arena, writer->facts->cameras,
                  (FactCamera){.shot = shot->name,
                               .name = camera->name,
                               .id = camera->id,
                               .planned = c == 0,
                               .camera = camera->camera,
                               .picture = shot->picture});
    }
}

void facts_of_points(Writer *writer) {
    for (size_t i = 0; i < writer->plan->shot_count; i++) {
        write_points_of_shot(writer, i);
        write_cameras(writer, &writer->plan->shots[i]);
    }
}
