/* What is sharp in each shot whose stop is stated (docs/geometry.md, rules 37 to 40). */
#include "optics/lens.h"
#include "optics/sharpness.h"
#include "plan/sharp_together.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_OF_LIMIT = {" behind the mark", " in front of the mark", "at the mark"};

typedef struct Sharpness {
    const PlanShot *shot;
    const Camera *camera;
    SharpLimit limit;
    double magnification;
} Sharpness;

static Sharpness sharpness_of(const Plan *plan, int index) {
    const PlanShot *shot = &plan->shots[index];
    const Camera *camera = &shot->cameras[0].camera;
    return (Sharpness){.shot = shot,
                       .camera = camera,
                       .limit = plan_sharp_limit(plan, index),
                       .magnification = lens_magnification(camera->focal_mm, camera->object_mm)};
}

static double from_mark_mm(const Sharpness *s, double depth_mm) {
    return plan_depth_from_mark(s->shot, depth_mm, s->shot->focus.up_mm);
}

static void write_limits(Writer *writer, FactBlock *block, const Sharpness *s) {
    const Camera *c = s->camera;
    double near_mm, far_mm;
    sharp_limits(c->focal_mm, s->shot->stop, s->limit.circle_mm, c->object_mm, &near_mm, &far_mm);
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
                   .after =
                       airy_mm > s->limit.circle_mm
                           ? ": everything is softened by it; a wider stop would be crisper, but less deep"
                           : ""});
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
    const double middle =
        depth_of(s, thing->at.across_mm, thing->at.back_mm, (thing->foot_mm + thing->top_mm) / 2);
    double near_mm, far_mm;
    plan_sharp_depths(thing, SHARP_WHOLE, s->camera, &near_mm, &far_mm);
    if (!(near_mm > s->camera->focal_mm)) return;
    const double worst = fmax(blur_at(s, near_mm), blur_at(s, far_mm)); /* blur grows away from the focus */
    if (!(middle > s->camera->focal_mm)) return;
    const double at_middle = blur_at(s, middle);
    const char *verdict = worst <= s->limit.paper_mm       ? ": sharp"
                          : at_middle <= s->limit.paper_mm ? ": sharp in the middle"
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

static void write_limit(Writer *writer, FactBlock *block, const Sharpness *s) {
    Fact *limit = fact_new(writer->facts, block, "limit", "reads as sharp");
    fact_part(writer->facts, limit,
              (FactPart){.name = "paper",
                         .kind = FACT_SENSOR,
                         .number = s->limit.paper_mm,
                         .before = "blur up to ",
                         .after = " on paper, read from "});
    fact_part(writer->facts, limit,
              (FactPart){.name = "reading", .kind = FACT_PLACE, .number = s->limit.reading_mm});
}

void facts_of_sharpness(Writer *writer) {
    const Plan *plan = writer->plan;
    for (size_t i = 0; i < plan->shot_count; i++) {
        const PlanShot *shot = &plan->shots[i];
        const bool stop = shot->stop > 0;
        if (!stop && shot->shot->sharp_count == 0) continue;
        const Sharpness s = sharpness_of(plan, (int)i);
        FactBlock *block = facts_block(writer->facts, "sharpness", shot->name, shot->name);
        write_limit(writer, block, &s);
        if (stop) write_limits(writer, block, &s);
        if (stop) write_aperture(writer, block, &s);
        for (size_t t = 0; stop && t < plan->scene->thing_count; t++) {
            const PlanThing *thing = &plan->things[t];
            if (stands_on_set(thing) && in_shot(thing, i)) write_thing(writer, block, &s, thing);
        }
        write_sharp_together(writer, block, (int)i);
    }
}
