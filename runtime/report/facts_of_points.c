/* Named points and cameras as data, so that anyone can project the one through the other. */
#include "plan/points.h"
#include "report/facts_of_plan.h"

static void write_points_of_shot(Writer *writer, size_t shot_index) {
    const PlanShot *shot = &writer->plan->shots[shot_index];
    size_t count;
    const PlanPoint *points = plan_points(writer->arena, writer->plan, shot_index, &count);
    for (size_t i = 0; i < count; i++) {
        FactPoint point = {
            .shot = shot->name, .thing = points[i].thing_name, .point = points[i].name, .set = points[i].at};
        point.seen = camera_project(&shot->cameras[0].camera, &shot->picture, point.set, &point.x_mm,
                                    &point.y_mm, NULL);
        LIST_PUSH(writer->arena, writer->facts->points, point);
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
