/* What must be sharp together in a shot, and how: a stop and a focus, or exposures to stack
 * (docs/geometry.md, rule 51). */
#include "optics/lens.h"
#include "optics/sharpness.h"
#include "plan/sharp_together.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_OF_DEPTH = {" behind the mark", " in front of the mark", "at the mark"};
static const FactWay WAY_LARGER = {" larger", " smaller", "as large as planned"};
static const FactWay HELD = {"held", "", "not held"};

typedef struct Together {
    Writer *writer;
    FactBlock *block;
    const PlanShot *shot;
    const Camera *camera;
    double circle_mm;
    const SharpTogether *found;
} Together;

static FactPart depth_part(const Together *t, const char *name, double depth_mm, const char *before,
                           const char *after) {
    return (FactPart){.name = name,
                      .kind = FACT_PLACE,
                      .number = plan_depth_from_mark(t->shot, depth_mm, t->shot->focus.up_mm),
                      .before = before,
                      .after = after,
                      .way = &WAY_OF_DEPTH};
}

static FactPart stop_part(const char *name, double stop, const char *before, const char *after) {
    return (FactPart){.name = name, .kind = FACT_NUMBER, .number = stop, .before = before, .after = after};
}

/* The plane in focus from the sensor mark, along the axis, as focus rings count. */
static double from_sensor_mm(const Together *t, double object_mm) {
    return object_mm + lens_image_distance(t->camera->focal_mm, object_mm);
}

static void write_named(const Together *t) {
    Buffer names = buffer_new(t->writer->arena);
    for (size_t i = 0; i < t->shot->shot->sharp_count; i++)
        buffer_format(&names, "%s%s", i > 0 ? ", " : "", t->shot->shot->sharp[i].text);
    write_text(t->writer, t->block, "named", "to be sharp together", buffer_text(&names));
    Facts *facts = t->writer->facts;
    Fact *reach = fact_new(facts, t->block, "reach", "they reach, along the camera's axis");
    fact_part(facts, reach, depth_part(t, "from", t->found->near_mm, "from ", " to "));
    fact_part(facts, reach, depth_part(t, "to", t->found->far_mm, NULL, NULL));
}

static void write_stop(const Together *t) {
    const SharpTogether *found = t->found;
    Facts *facts = t->writer->facts;
    Fact *stop = fact_new(facts, t->block, "stop_for", "stop that holds them");
    fact_part(facts, stop, stop_part("exact", number_round(found->stop, 0.1), "f/", NULL));
    if (!found->within_lens) {
        fact_part(facts, stop,
                  stop_part("smallest", found->smallest_stop, "; the lens goes to f/", ": none that it has"));
        return;
    }
    fact_part(facts, stop, stop_part("marked", found->marked_stop, ", so set f/", NULL));
    const double airy_mm = found->airy_mm * t->shot->picture.paper_per_sensor;
    Fact *airy = fact_new(facts, t->block, "diffraction_for",
                          arena_format(t->writer->arena, "diffraction at f/%s spreads a point on paper to",
                                       number_short(t->writer->arena, found->marked_stop, 2)));
    fact_part(facts, airy,
              (FactPart){.kind = FACT_SENSOR,
                         .number = airy_mm,
                         .after = found->softened ? ": everything is softened by it" : ""});
}

static double nearest_focus_mm(const Together *t) {
    const int kind = t->shot->cameras[0].lens_kind;
    return kind < 0 ? NAN : slot_number(t->writer->plan, t->writer->plan->scene->lenses[kind].nearest);
}

static void write_focus(const Together *t) {
    Facts *facts = t->writer->facts;
    const double object_mm = t->found->object_mm, sensor_mm = from_sensor_mm(t, object_mm);
    Fact *focus = fact_new(facts, t->block, "focus_for", "focus that holds them");
    fact_part(facts, focus, depth_part(t, "from_mark", object_mm, NULL, "; along the axis "));
    fact_part(facts, focus,
              (FactPart){
                  .name = "from_lens", .kind = FACT_PLACE, .number = object_mm, .after = " from the lens, "});
    fact_part(facts, focus,
              (FactPart){.name = "from_sensor_mark",
                         .kind = FACT_PLACE,
                         .number = sensor_mm,
                         .after = sensor_mm < nearest_focus_mm(t)
                                      ? " from the sensor mark: nearer than the lens focuses"
                                      : " from the sensor mark"});
    /* a lens that is focused farther off draws smaller: the image distance shrinks (rule 7) */
    const double larger = lens_image_distance(t->camera->focal_mm, object_mm) / t->camera->image_mm - 1;
    write_way(t->writer, t->block, "drawn_larger", "focused so, everything is drawn", FACT_SHARE, larger,
              &WAY_LARGER);
}

static void write_as_planned(const Together *t) {
    const SharpTogether *found = t->found;
    Facts *facts = t->writer->facts;
    if (!(t->shot->stop > 0)) {
        write_text(t->writer, t->block, "as_planned", "as planned", "no stop is stated");
        return;
    }
    Fact *planned = fact_new(facts, t->block, "as_planned", "as planned");
    fact_part(facts, planned,
              (FactPart){.name = "held", .kind = FACT_YES, .number = found->held, .way = &HELD});
    fact_part(facts, planned, stop_part("stop", t->shot->stop, " by f/", ": blur on paper up to "));
    fact_part(
        facts, planned,
        (FactPart){.name = "worst", .kind = FACT_SENSOR, .number = found->worst_blur_mm, .after = ", of "});
    fact_part(facts, planned,
              (FactPart){.name = "of", .kind = FACT_TEXT, .text = t->shot->shot->sharp[found->worst].text});
    if (found->held) return;
    Fact *refocused = fact_new(facts, t->block, "refocused",
                               arena_format(t->writer->arena, "at f/%s, focused as above",
                                            number_short(t->writer->arena, t->shot->stop, 2)));
    fact_part(facts, refocused, (FactPart){.kind = FACT_YES, .number = found->held_refocused, .way = &HELD});
}

static void write_exposure(const Together *t, int index) {
    Facts *facts = t->writer->facts;
    Arena *arena = t->writer->arena;
    const double object_mm = t->found->step_mm[index];
    double near_mm, far_mm;
    sharp_limits(t->camera->focal_mm, t->found->step_stop, t->circle_mm, object_mm, &near_mm, &far_mm);
    Fact *fact = fact_new(facts, t->block, arena_format(arena, "exposure %d", index + 1), NULL);
    fact_part(facts, fact, depth_part(t, "focus", object_mm, "focus ", ", "));
    fact_part(facts, fact,
              (FactPart){.name = "from_sensor_mark",
                         .kind = FACT_PLACE,
                         .number = from_sensor_mm(t, object_mm),
                         .after = " from the sensor mark; sharp from "});
    fact_part(facts, fact, depth_part(t, "from", near_mm, NULL, " to "));
    if (isfinite(far_mm))
        fact_part(facts, fact, depth_part(t, "to", far_mm, NULL, NULL));
    else
        fact_part(facts, fact, (FactPart){.name = "to", .kind = FACT_TEXT, .text = "as far as one can see"});
}

/* Where no one exposure does it, or only one that diffraction softens. */
static void write_exposures(const Together *t) {
    const SharpTogether *found = t->found;
    Facts *facts = t->writer->facts;
    if (found->held || found->held_refocused || (found->within_lens && !found->softened)) return;
    Fact *count = fact_new(facts, t->block, "exposures",
                           found->within_lens ? "or exposures to stack" : "exposures to stack");
    fact_part(facts, count, (FactPart){.name = "count", .kind = FACT_NUMBER, .number = found->step_count});
    fact_part(facts, count, stop_part("stop", found->step_stop, ", each at f/", NULL));
    for (int i = 0; i < found->step_count && i < SHARP_STEPS_TOLD; i++)
        write_exposure(t, i);
}

void write_sharp_together(Writer *writer, FactBlock *block, int shot_index) {
    const Plan *plan = writer->plan;
    const PlanShot *shot = &plan->shots[shot_index];
    SharpTogether found;
    if (shot->shot->sharp_count == 0) return;
    const Together t = {.writer = writer,
                        .block = block,
                        .shot = shot,
                        .camera = &shot->cameras[0].camera,
                        .circle_mm = plan_sharp_limit(plan, shot_index).circle_mm,
                        .found = &found};
    if (!plan_sharp_together(plan, shot_index, &found)) {
        write_text(writer, block, "named", "to be sharp together", "not possible: it reaches into the lens");
        return;
    }
    write_named(&t);
    write_stop(&t);
    write_focus(&t);
    write_as_planned(&t);
    write_exposures(&t);
}
