/* What is sharp in each shot whose stop is stated (docs/geometry.md, rules 37 to 40). */
#include "optics/lens.h"
#include "optics/sharpness.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_OF_LIMIT = {" behind the mark", " in front of the mark", "at the mark"};
static const double LIMIT_MM = 0.2, READING_MM = 250; /* where the book says nothing else */

typedef struct Sharpness {
    const PlanShot *shot;
    const Camera *camera;
    double limit_mm, reading_mm; /* on paper, from the eyes */
    double circle_mm;            /* on the sensor */
    double magnification;
} Sharpness;

static double stated_or(const Plan *plan, int slot, double otherwise) {
    const double stated = slot_number(plan, slot);
    return isnan(stated) ? otherwise : stated;
}

static Sharpness sharpness_of(const Plan *plan, const PlanShot *shot) {
    const Camera *camera = &shot->cameras[0].camera;
    Sharpness s = {.shot = shot,
                   .camera = camera,
                   .limit_mm = stated_or(plan, plan->scene->sharpness, LIMIT_MM),
                   .reading_mm = stated_or(plan, plan->scene->reading, READING_MM),
                   .magnification = lens_magnification(camera->focal_mm, camera->object_mm)};
    s.circle_mm = sharp_circle_mm(s.limit_mm, s.reading_mm, shot->picture.paper_per_sensor);
    return s;
}

/* Where a plane square to the axis cuts the height of the focus, from the mark (rule 37). */
static double from_mark_mm(const Sharpness *s, double depth_mm) {
    const Camera *c = s->camera;
    const double back =
        (depth_mm - (c->height_mm - s->shot->focus.up_mm) * sin(c->tilt_rad)) / cos(c->tilt_rad) -
        c->distance_mm;
    return back - s->shot->mark.back_mm;
}

static void write_limits(Writer *writer, FactBlock *block, const Sharpness *s) {
    const Camera *c = s->camera;
    double near_mm, far_mm;
    sharp_limits(c->focal_mm, s->shot->stop, s->circle_mm, c->object_mm, &near_mm, &far_mm);
    write_way(writer, block, "from", "sharp from", FACT_PLACE, from_mark_mm(s, near_mm), &WAY_OF_LIMIT);
    if (isinf(far_mm))
        write_text(writer, block, "to", "sharp to", "as far as one can see");
    else
        write_way(writer, block, "to", "sharp to", FACT_PLACE, from_mark_mm(s, far_mm), &WAY_OF_LIMIT);
}

static void write_aperture(Writer *writer, FactBlock *block, const Sharpness *s) {
    const double effective = sharp_effective_stop(s->shot->stop, s->magnification);
    const double factor = sharp_exposure_factor(s->magnification);
    Fact *stop = fact_new(writer->facts, block, "stop", NULL);
    fact_part(writer->facts, stop,
              (FactPart){.name = "set", .kind = FACT_NUMBER, .number = s->shot->stop, .before = "f/"});
    fact_part(writer->facts, stop,
              (FactPart){.name = "effective",
                         .kind = FACT_NUMBER,
                         .number = number_round(effective, 0.1),
                         .before = ", at this distance as f/"});
    Fact *exposure = fact_new(writer->facts, block, "exposure", "exposure at this distance");
    fact_part(
        writer->facts, exposure,
        (FactPart){
            .name = "times", .kind = FACT_NUMBER, .number = number_round(factor, 0.01), .after = " times"});
    fact_part(writer->facts, exposure,
              (FactPart){.name = "stops",
                         .kind = FACT_NUMBER,
                         .number = number_round(log2(factor), 0.01),
                         .before = ", ",
                         .after = " stops more"});
    const double airy_mm = sharp_airy_mm(effective);
    Fact *airy = fact_new(writer->facts, block, "diffraction", "diffraction spreads a point on paper to");
    fact_part(
        writer->facts, airy,
        (FactPart){.kind = FACT_SENSOR,
                   .number = airy_mm * s->shot->picture.paper_per_sensor,
                   .after = airy_mm > s->circle_mm ? ": everything is softened by it; open the lens" : ""});
}

static double depth_of(const Sharpness *s, double across_mm, double back_mm, double up_mm) {
    return camera_depth_mm(s->camera, (Point3){across_mm, back_mm, up_mm});
}

static double blur_at(const Sharpness *s, double depth_mm) {
    return sharp_blur_mm(s->shot->picture.paper_per_sensor, s->camera->focal_mm, s->shot->stop,
                         s->camera->object_mm, depth_mm);
}

/* At the middle of a thing, and at the worst corner of the box round it (rule 38). */
static void write_thing(Writer *writer, FactBlock *block, const Sharpness *s, const PlanThing *thing) {
    const double backs[] = {thing->front_mm, thing->rear_mm}, ups[] = {thing->foot_mm, thing->top_mm};
    const double middle =
        depth_of(s, thing->at.across_mm, thing->at.back_mm, (thing->foot_mm + thing->top_mm) / 2);
    double worst = 0;
    for (int i = 0; i < 4; i++) { /* across changes no depth */
        const double depth = depth_of(s, thing->at.across_mm, backs[i / 2], ups[i % 2]);
        if (!(depth > s->camera->focal_mm)) return;
        worst = fmax(worst, blur_at(s, depth));
    }
    if (!(middle > s->camera->focal_mm)) return;
    const double at_middle = blur_at(s, middle);
    const char *verdict = worst <= s->limit_mm       ? ": sharp"
                          : at_middle <= s->limit_mm ? ": sharp in the middle"
                                                     : ": soft";
    Fact *fact = fact_new(writer->facts, block, arena_format(writer->arena, "blur %s", thing->thing->name),
                          arena_format(writer->arena, "blur of %s on paper", thing->thing->name));
    fact_part(
        writer->facts, fact,
        (FactPart){.name = "middle", .kind = FACT_SENSOR, .number = at_middle, .after = " in the middle, "});
    fact_part(writer->facts, fact,
              (FactPart){.name = "worst",
                         .kind = FACT_SENSOR,
                         .number = worst,
                         .after = arena_format(writer->arena, " at the worst%s", verdict)});
}

void facts_of_sharpness(Writer *writer) {
    const Plan *plan = writer->plan;
    for (size_t i = 0; i < plan->shot_count; i++) {
        const PlanShot *shot = &plan->shots[i];
        if (!(shot->stop > 0)) continue;
        const Sharpness s = sharpness_of(plan, shot);
        FactBlock *block = facts_block(writer->facts, "sharpness", shot->name, shot->name);
        Fact *limit = fact_new(writer->facts, block, "limit", "reads as sharp");
        fact_part(writer->facts, limit,
                  (FactPart){.name = "paper",
                             .kind = FACT_SENSOR,
                             .number = s.limit_mm,
                             .before = "blur up to ",
                             .after = " on paper, read from "});
        fact_part(writer->facts, limit,
                  (FactPart){.name = "reading", .kind = FACT_PLACE, .number = s.reading_mm});
        write_limits(writer, block, &s);
        write_aperture(writer, block, &s);
        for (size_t t = 0; t < plan->scene->thing_count; t++) {
            const PlanThing *thing = &plan->things[t];
            if (stands_on_set(thing) && in_shot(thing, i)) write_thing(writer, block, &s, thing);
        }
    }
}
