/* Last, what a photographer asks: the frame on the sensor, and the lens that does the same on another body
 * (docs/geometry.md, rules 4 and 36). */
#include "optics/lens.h"
#include "report/facts_of_plan.h"

#include <math.h>

/* The frame's width on another sensor, held alike and as large as fits (rule 4). */
static double frame_on_mm(const Picture *picture, double sensor_wide_mm, double sensor_tall_mm) {
    return fmin(sensor_wide_mm, sensor_tall_mm * picture->frame_wide_mm / picture->frame_tall_mm);
}

static void write_body(Writer *writer, FactBlock *block, const PlanShot *shot, const Body *body) {
    const Plan *plan = writer->plan;
    const Camera *camera = &shot->cameras[0].camera;
    const Picture *picture = &shot->picture;
    double wide = slot_number(plan, body->sensor_wide), tall = slot_number(plan, body->sensor_tall);
    if (isnan(wide) || isnan(tall)) return;
    const double diagonal = hypot(wide, tall);
    if (shot->shot->upright) {
        const double kept = wide;
        wide = tall;
        tall = kept;
    }
    const double ratio = frame_on_mm(picture, wide, tall) / picture->taken_wide_mm;
    Fact *fact = fact_new(writer->facts, block, arena_format(writer->arena, "on %s", body->name), NULL);
    fact_part(writer->facts, fact,
              (FactPart){.name = "by_frame",
                         .kind = FACT_SENSOR,
                         .number = lens_same_frame_mm(camera->focal_mm, camera->object_mm, ratio),
                         .after = " by the frame at this distance, "});
    fact_part(
        writer->facts, fact,
        (FactPart){.name = "by_diagonal",
                   .kind = FACT_SENSOR,
                   .number = lens_by_diagonal_mm(
                       camera->focal_mm, hypot(picture->sensor_wide_mm, picture->sensor_tall_mm), diagonal),
                   .after = " by the diagonal"});
}

static void write_sensor(Writer *writer, const PlanShot *shot) {
    const Scene *scene = writer->plan->scene;
    const Picture *picture = &shot->picture;
    FactBlock *block = facts_block(writer->facts, "sensor", shot->name, shot->name);
    Fact *sensor = fact_new(writer->facts, block, "frame_on_sensor", "frame on the sensor");
    fact_part(
        writer->facts, sensor,
        (FactPart){.name = "wide", .kind = FACT_SENSOR, .number = picture->taken_wide_mm, .after = " x "});
    fact_part(
        writer->facts, sensor,
        (FactPart){.name = "tall", .kind = FACT_SENSOR, .number = picture->taken_tall_mm, .after = " of "});
    fact_part(
        writer->facts, sensor,
        (FactPart){
            .name = "sensor_wide", .kind = FACT_SENSOR, .number = picture->sensor_wide_mm, .after = " x "});
    fact_part(writer->facts, sensor,
              (FactPart){.name = "sensor_tall", .kind = FACT_SENSOR, .number = picture->sensor_tall_mm});
    fact_part(writer->facts,
              fact_new(writer->facts, block, "paper_per_sensor", "enlargement of the sensor on paper"),
              (FactPart){.kind = FACT_NUMBER,
                         .number = number_round(picture->paper_per_sensor, 0.01),
                         .after = " times"});
    for (size_t i = 0; i < scene->body_count; i++)
        if ((int)i != shot->body) write_body(writer, block, shot, &scene->bodies[i]);
    const Camera *camera = &shot->cameras[0].camera;
    write_number(writer, block, "as_36_x_24", "frames like, on 36 x 24 mm by the diagonal", FACT_SENSOR,
                 lens_by_diagonal_mm(camera->focal_mm,
                                     hypot(picture->sensor_wide_mm, picture->sensor_tall_mm), hypot(36, 24)));
}

void facts_of_sensors(Writer *writer) {
    for (size_t i = 0; i < writer->plan->shot_count; i++)
        write_sensor(writer, &writer->plan->shots[i]);
}
