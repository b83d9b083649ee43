/* The planned camera of each shot, as one sets it with a tape and a level. */
#include "base/text.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_OF_MARK = {" right", " left", "straight in front of it"};
static const FactWay WAY_LEAN = {" outwards towards the top", " inwards towards the top", "plumb"};
static const FactWay WAY_CROP_ACROSS = {" right of the sensor's middle", " left of the sensor's middle",
                                        "centred across"};
static const FactWay WAY_CROP_UP = {" above the sensor's middle", " below the sensor's middle",
                                    "centred up and down"};
static const FactWay WAY_HORIZON = {" up the drawing", " below the drawing's lower edge",
                                    "at the drawing's lower edge"};

static void write_body(Writer *writer, FactBlock *block, const PlanShot *shot) {
    if (shot->body >= 0)
        write_text(writer, block, "body", NULL, writer->plan->scene->bodies[shot->body].name);
    write_text(writer, block, "held", NULL, shot->shot->upright ? "upright" : "long side level");
    write_lens(writer, block, &shot->cameras[0]);
    if (shot->stop > 0) {
        Fact *fact = fact_new(writer->facts, block, "stop", NULL);
        fact_part(writer->facts, fact, (FactPart){.kind = FACT_NUMBER, .number = shot->stop, .before = "f/"});
    }
}

/* What lies between the flat ground and the floor, as far as it is stated. */
static void write_above_floor(Writer *writer, FactBlock *block, const Camera *camera) {
    const Plan *plan = writer->plan;
    const double under[] = {plan->table_tall_mm, plan->base_thick_mm, plan->ground_thick_mm};
    static const char *const names[] = {"table", "base", "ground"};
    const double all = under[0] + under[1] + under[2];
    if (!(all > 0)) return;
    const bool table = plan->table_tall_mm > 0;
    Fact *fact = fact_new(writer->facts, block, "above_floor",
                          table ? "lens above the floor" : "lens above what the set stands on");
    fact_part(writer->facts, fact, (FactPart){.kind = FACT_PLACE, .number = camera->height_mm + all});
    const char *before = "; under the ground's surface: ";
    for (int i = 0; i < 3; i++) {
        if (!(under[i] > 0)) continue;
        fact_part(writer->facts, fact,
                  (FactPart){.name = names[i],
                             .kind = FACT_SIZE,
                             .number = under[i],
                             .before = arena_format(writer->arena, "%s%s ", before, names[i])});
        before = ", ";
    }
}

static void write_place_of_camera(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const Camera *own = &shot->solution.camera; /* from the shot's own mark */
    const Camera *camera = &shot->cameras[0].camera;
    const Point3 sensor = camera_sensor_mark(own);
    write_number(writer, block, "sensor_to_mark", "sensor mark to the mark, level", FACT_PLACE,
                 -sensor.back_mm);
    Fact *distance =
        write_number(writer, block, "distance", "lens to the mark, level", FACT_PLACE, own->distance_mm);
    write_sensitivity(writer, distance, shot, UNKNOWN_DISTANCE);
    write_way(writer, block, "front", front_edge_label(writer), FACT_PLACE,
              writer->datum.front_mm + camera->distance_mm, &WAY_BEFORE_EDGE);
    write_way(writer, block, "side", "lens, from the centre line", FACT_PLACE,
              camera->across_mm - writer->datum.centre_mm, &WAY_SIDE);
    write_way(writer, block, "across", "lens, from the mark", FACT_PLACE, own->across_mm, &WAY_OF_MARK);
    write_number(writer, block, "on_plan", "lens to the mark, straight on plan", FACT_PLACE,
                 hypot(own->across_mm, own->distance_mm));
    Fact *height =
        write_number(writer, block, "height", "lens above the flat ground", FACT_PLACE, camera->height_mm);
    write_sensitivity(writer, height, shot, UNKNOWN_HEIGHT);
    write_above_floor(writer, block, camera);
    write_number(writer, block, "sensor_height", "sensor mark above the flat ground", FACT_PLACE,
                 sensor.up_mm);
}

static const char *focus_label(const Writer *writer, const PlanShot *shot) {
    const int focus = shot->shot->focus;
    const double back_mm = slot_number(writer->plan, shot->shot->focus_back);
    if (!isnan(back_mm) && back_mm != 0)
        return arena_format(
            writer->arena, "straight tape from the lens to the focus, %s %s the %s's eyes",
            writer->facts->lengths == STYLE_FEET_INCHES
                ? length_feet_inches(writer->arena, fabs(back_mm), 16)
                : arena_format(writer->arena, "%s mm", number_short(writer->arena, fabs(back_mm), 1)),
            back_mm > 0 ? "behind" : "in front of", lead_name(writer->plan, shot));
    if (focus >= 0)
        return arena_format(writer->arena, "straight tape from the lens to the focus, on %s",
                            writer->plan->things[focus].thing->name);
    return arena_format(writer->arena, "straight tape from the lens to the focus, the %s's eyes",
                        lead_name(writer->plan, shot));
}

static void write_checks(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const PlanDatum *datum = &writer->datum;
    const Camera *camera = &shot->cameras[0].camera;
    const double frame = camera_frame_mm(camera, &shot->picture, shot->mark.back_mm, shot->mark.up_mm);
    Fact *stick = write_number(writer, block, "stick",
                               "a stick across the set at the mark that fills the frame", FACT_FINE, frame);
    stick->parts.items[0].after = " long";
    write_held_at(writer, stick, ", held ", shot->mark.up_mm);
    const double level = datum->front_mm + camera->distance_mm, down = camera->height_mm - datum->top_mm;
    const double left = datum->outline.front_left_mm - camera->across_mm;
    const double right = datum->outline.front_right_mm - camera->across_mm;
    Fact *tapes = fact_new(
        writer->facts, block, "tapes",
        arena_format(writer->arena, "straight tape from the lens to the %s's front corners", datum->owner));
    fact_part(writer->facts, tapes,
              (FactPart){.name = "left",
                         .kind = FACT_PLACE,
                         .number = hypot(hypot(level, left), down),
                         .before = "left ",
                         .after = ", "});
    fact_part(writer->facts, tapes,
              (FactPart){.name = "right",
                         .kind = FACT_PLACE,
                         .number = hypot(hypot(level, right), down),
                         .before = "right "});
    const Point3 focus = shot->focus;
    write_number(writer, block, "to_focus", focus_label(writer, shot), FACT_PLACE,
                 hypot(hypot(focus.across_mm - camera->across_mm, focus.back_mm + camera->distance_mm),
                       camera->height_mm - focus.up_mm));
}

static void write_horizon(Writer *writer, FactBlock *block, const Camera *camera, const PlanShot *shot) {
    const double horizon = camera_horizon_mm(camera, &shot->picture);
    Fact *fact = fact_new(writer->facts, block, "horizon", NULL);
    FactPart part = drawn_part(shot, NULL, horizon);
    part.way = &WAY_HORIZON;
    if (horizon > shot->picture.drawing_tall_mm) part.after = ", above its upper edge";
    fact_part(writer->facts, fact, part);
}

/* Rule 5: a vertical at the frame's edge leans by half the frame's width x tan t / (k v). */
static void write_lean(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const Camera *camera = &shot->cameras[0].camera;
    const double half = shot->picture.taken_wide_mm / 2;
    const double lean = atan(half * tan(camera->tilt_rad) / camera->image_mm);
    if (number_round(fabs(DEGREES(lean)), 0.1) == 0) return;
    write_way(writer, block, "lean", "uprights at the left and right edge of the picture lean", FACT_ANGLE,
              lean, &WAY_LEAN);
}

static void write_crop(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const Picture *picture = &shot->picture;
    const Camera *camera = &shot->cameras[0].camera;
    const double most = fmin(picture->sensor_wide_mm,
                             picture->sensor_tall_mm * picture->taken_wide_mm / picture->taken_tall_mm);
    Fact *fact = fact_new(writer->facts, block, "crop", "the picture on the sensor");
    fact_part(writer->facts, fact,
              (FactPart){.name = "uses",
                         .kind = FACT_SHARE,
                         .number = picture->taken_wide_mm / most,
                         .after = " of the largest that fits, "});
    fact_part(writer->facts, fact,
              (FactPart){.name = "across",
                         .kind = FACT_SENSOR,
                         .number = picture->crop_across_mm,
                         .after = ", ",
                         .way = &WAY_CROP_ACROSS});
    fact_part(
        writer->facts, fact,
        (FactPart){.name = "up", .kind = FACT_SENSOR, .number = camera->crop_up_mm, .way = &WAY_CROP_UP});
}

static void write_angles(Writer *writer, FactBlock *block, const PlanShot *shot) {
    double wide, tall;
    camera_angles(&shot->cameras[0].camera, &shot->picture, &wide, &tall);
    Fact *fact = fact_new(writer->facts, block, "angles", "angle of view");
    fact_part(writer->facts, fact,
              (FactPart){.name = "wide", .kind = FACT_ANGLE, .number = wide, .after = " wide, "});
    fact_part(writer->facts, fact,
              (FactPart){.name = "tall", .kind = FACT_ANGLE, .number = tall, .after = " tall"});
}

static void write_camera(Writer *writer, const PlanShot *shot) {
    FactBlock *block = facts_block(writer->facts, "camera", shot->name, shot->name);
    write_body(writer, block, shot);
    write_place_of_camera(writer, block, shot);
    Fact *tilt =
        write_way(writer, block, "tilt", NULL, FACT_ANGLE, shot->cameras[0].camera.tilt_rad, &WAY_TILT);
    write_sensitivity(writer, tilt, shot, UNKNOWN_TILT);
    write_horizon(writer, block, &shot->cameras[0].camera, shot);
    write_lean(writer, block, shot);
    write_crop(writer, block, shot);
    write_angles(writer, block, shot);
    write_checks(writer, block, shot);
}

void facts_of_cameras(Writer *writer) {
    for (size_t i = 0; i < writer->plan->shot_count; i++)
        write_camera(writer, &writer->plan->shots[i]);
}
