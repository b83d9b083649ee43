/* The other allowed cameras: where each stands, and how far each thing shifts on the drawing. And what each
 * covering size asks for, and which camera asks (docs/geometry.md, rules 21 to 28). */
#include "base/text.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_ALONE_BEHIND = {" behind", " in front", "on the mark"};
static const FactWay WAY_BEHIND_MARK = {" behind the mark", " in front of the mark", "on the mark"};

static void write_shift_of(Writer *writer, FactBlock *block, const PlanShot *shot, const Camera *camera,
                           const PlanThing *thing) {
    const PlanView planned = plan_view(thing, &shot->cameras[0].camera, &shot->picture);
    const PlanView view = plan_view(thing, camera, &shot->picture);
    const char *name = thing->thing->name;
    if (planned.seen && view.seen)
        write_shift(writer, block, arena_format(writer->arena, "shift %s", name),
                    arena_format(writer->arena, "shift of %s", name), shot, &planned, &view);
}

static void write_shifts(Writer *writer, FactBlock *block, size_t shot_index, const Camera *camera) {
    const Plan *plan = writer->plan;
    const PlanShot *shot = &plan->shots[shot_index];
    write_text(writer, block, "kept", "kept on the drawing", lead_name(plan, shot));
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *thing = &plan->things[i];
        if ((int)i != shot->lead && stands_on_set(thing) && in_shot(thing, shot_index))
            write_shift_of(writer, block, shot, camera, thing);
    }
}

static void write_allowed(Writer *writer, size_t shot_index, const PlanCamera *allowed) {
    const PlanShot *shot = &writer->plan->shots[shot_index];
    const Camera *camera = &allowed->camera;
    const PlanDatum *datum = &writer->datum;
    FactBlock *block =
        facts_block(writer->facts, "allowed", name_in_shot(writer, allowed->name, shot), shot->name);
    write_lens(writer, block, allowed);
    write_number(writer, block, "height", "lens above the flat ground", FACT_PLACE, camera->height_mm);
    write_number(writer, block, "distance", "lens to the mark, level", FACT_PLACE,
                 camera->distance_mm + shot->mark.back_mm);
    write_number(writer, block, "sensor_to_mark", "sensor mark to the mark, level", FACT_PLACE,
                 shot->mark.back_mm - camera_sensor_mark(camera).back_mm);
    write_way(writer, block, "front", front_edge_label(writer), FACT_PLACE,
              datum->front_mm + camera->distance_mm, &WAY_BEFORE_EDGE);
    write_way(writer, block, "side", "lens, from the centre line", FACT_PLACE,
              camera->across_mm - datum->centre_mm, &WAY_SIDE);
    write_way(writer, block, "tilt", NULL, FACT_ANGLE, camera->tilt_rad, &WAY_TILT);
    fact_part(writer->facts, fact_new(writer->facts, block, "horizon", "horizon on the drawing"),
              drawn_part(shot, NULL, camera_horizon_mm(camera, &shot->picture)));
    write_number(writer, block, "frame", "frame at the mark", FACT_PLACE,
                 camera_frame_mm(camera, &shot->picture, shot->mark.back_mm, shot->mark.up_mm));
    write_frame_seen(writer, block, (int)shot_index, (int)(allowed - shot->cameras));
    write_shifts(writer, block, shot_index, camera);
}

void facts_of_allowed(Writer *writer) {
    for (size_t i = 0; i < writer->plan->shot_count; i++)
        for (size_t c = 1; c < writer->plan->shots[i].camera_count; c++)
            write_allowed(writer, i, &writer->plan->shots[i].cameras[c]);
}

/* ---- covering */

static FactPart asking(const Writer *writer, const PlanAsk *ask) {
    const Plan *plan = writer->plan;
    FactPart part = {.name = "asked_by", .kind = FACT_TEXT, .text = "the spec", .before = ", asked for by "};
    if (ask->thing < 0 && ask->shot < 0) part.before = ", as stated in ";
    if (ask->thing >= 0) {
        part.text = plan->scene->things[ask->thing].name;
    } else if (ask->shot >= 0) {
        const PlanShot *shot = &plan->shots[ask->shot];
        const char *camera = ask->camera == 0 ? "the planned camera" : shot->cameras[ask->camera].name;
        part.text = name_in_shot(writer, camera, shot);
    }
    return part;
}

/* What is built, who asks for it, and what the plan alone would need; the last in fewer words. */
static void write_ask(Writer *writer, FactBlock *block, const char *key, const char *label,
                      const PlanAsk *ask, FactPart built, double planned_mm, const FactWay *alone) {
    Fact *fact = fact_new(writer->facts, block, key, label);
    built.name = "built";
    fact_part(writer->facts, fact, built);
    fact_part(writer->facts, fact, asking(writer, ask));
    if (ask->shot < 0 || ask->camera == 0 || !isfinite(planned_mm)) return;
    fact_part(writer->facts, fact,
              (FactPart){.name = "plan_alone",
                         .kind = FACT_PLACE,
                         .number = planned_mm,
                         .before = "; the plan alone ",
                         .way = alone});
}

static double edge_mm(const Trapezoid *outline, Edge edge) {
    const double edges[EDGE_COUNT] = {[EDGE_FRONT] = outline->front_mm,
                                      [EDGE_FRONT_LEFT] = outline->front_left_mm,
                                      [EDGE_FRONT_RIGHT] = outline->front_right_mm,
                                      [EDGE_REAR_LEFT] = outline->rear_left_mm,
                                      [EDGE_REAR_RIGHT] = outline->rear_right_mm};
    return edges[edge];
}

static void write_edge(Writer *writer, FactBlock *block, Edge edge) {
    static const struct {
        const char *key, *label;
    } words[EDGE_COUNT] = {[EDGE_FRONT] = {"ground front", "ground, front edge"},
                           [EDGE_FRONT_LEFT] = {"ground front left", "ground, left front corner"},
                           [EDGE_FRONT_RIGHT] = {"ground front right", "ground, right front corner"},
                           [EDGE_REAR_LEFT] = {"ground rear left", "ground, left rear corner"},
                           [EDGE_REAR_RIGHT] = {"ground rear right", "ground, right rear corner"}};
    const PlanAsk *ask = &writer->plan->ground_asks[edge];
    const double from = edge == EDGE_FRONT ? 0 : writer->datum.centre_mm;
    const FactPart built = {.kind = FACT_PLACE,
                            .number = edge_mm(&writer->plan->ground_outline, edge) - from,
                            .way = edge == EDGE_FRONT ? &WAY_BEHIND_MARK : &WAY_CENTRE};
    write_ask(writer, block, words[edge].key, words[edge].label, ask, built, ask->planned_mm - from,
              edge == EDGE_FRONT ? &WAY_ALONE_BEHIND : &WAY_SIDE);
}

void facts_of_covering(Writer *writer) {
    const Plan *plan = writer->plan;
    FactBlock *block = facts_block(writer->facts, "covering", "", "");
    for (int edge = 0; edge < EDGE_COUNT; edge++)
        write_edge(writer, block, (Edge)edge);
    for (size_t i = 0; i < plan->cover_count; i++) {
        const PlanCover *cover = &plan->covers[i];
        const PlanThing *thing = &plan->things[cover->thing];
        const bool wide = cover->field == FIELD_WIDE;
        const char *key = arena_format(writer->arena, "%s %s", thing->thing->name, wide ? "wide" : "tall");
        const FactPart built = {.kind = FACT_SIZE, .number = wide ? thing->wide_mm : thing->tall_mm};
        write_ask(writer, block, key, NULL, &cover->ask, built, cover->ask.planned_mm, NULL);
    }
}
