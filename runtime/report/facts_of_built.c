/* What was built beside what was planned (docs/geometry.md, rule 60): each number as it is, and how far that
 * is from the plan. */
#include "base/text.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_FARTHER = {" farther back than planned", " nearer than planned", "as planned"};
static const FactWay WAY_TO_THE_RIGHT = {" farther right than planned", " farther left than planned",
                                         "as planned"};
static const FactWay WAY_HIGHER = {" higher than planned", " lower than planned", "as planned"};
static const FactWay WAY_MORE = {" more than planned", " less than planned", "as planned"};
static const FactWay WAY_TURNED = {" more to the left than planned", " more to the right than planned",
                                   "as planned"};
static const FactWay WAY_LEFT = {" to the left", " to the right", "square to the picture"};
static const FactWay WAY_SHOWN_WIDE = {" wider", " narrower", "as wide"};

typedef struct Beside {
    const char *key, *label;
    FactKind kind;
    double now, planned;
    const FactWay *way, *apart;
} Beside;

static void write_beside(Writer *writer, FactBlock *block, const Beside *it) {
    Fact *fact = write_way(writer, block, it->key, it->label, it->kind, it->now, it->way);
    fact_part(writer->facts, fact,
              (FactPart){.name = "apart",
                         .kind = it->kind,
                         .number = it->now - it->planned,
                         .before = ", ",
                         .way = it->apart});
}

static void write_sizes_beside(Writer *writer, FactBlock *block, const PlanThing *now,
                               const PlanThing *planned) {
    const bool thin = now->thing->shape == SHAPE_PANEL || now->thing->shape == SHAPE_CUTOUT;
    const bool post = now->thing->shape == SHAPE_POST;
    const Beside sizes[] = {
        {post ? "thick" : "wide", post ? "across" : NULL, FACT_SIZE, now->wide_mm, planned->wide_mm, NULL,
         &WAY_MORE},
        {"tall", NULL, FACT_SIZE, now->tall_mm, planned->tall_mm, NULL, &WAY_MORE},
        {thin ? "thick" : "deep", NULL, FACT_SIZE, now->deep_mm, planned->deep_mm, NULL, &WAY_MORE}};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        if (sizes[i].now != sizes[i].planned && !(post && i == 2)) write_beside(writer, block, &sizes[i]);
    }
}

static void write_place_beside(Writer *writer, FactBlock *block, const PlanThing *now,
                               const PlanThing *planned) {
    const PlanDatum *datum = &writer->datum;
    const Beside places[] = {{"behind", arena_format(writer->arena, "from the %s's front edge", datum->owner),
                              FACT_PLACE, now->at.back_mm - datum->front_mm,
                              planned->at.back_mm - datum->front_mm, &WAY_BEHIND_EDGE, &WAY_FARTHER},
                             {"right", "from the centre line", FACT_PLACE,
                              now->at.across_mm - datum->centre_mm, planned->at.across_mm - datum->centre_mm,
                              &WAY_SIDE, &WAY_TO_THE_RIGHT}};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++)
        write_beside(writer, block, &places[i]);
    if (now->foot_mm != planned->foot_mm)
        write_beside(
            writer, block,
            &(Beside){"foot", "its foot", FACT_PLACE, now->foot_mm, planned->foot_mm, &WAY_UP, &WAY_HIGHER});
    if (now->turn_rad != planned->turn_rad)
        write_beside(writer, block,
                     &(Beside){"turn", "its front", FACT_ANGLE, now->turn_rad, planned->turn_rad, &WAY_LEFT,
                               &WAY_TURNED});
}

/* How far that is on the drawing. */
static void write_shown(Writer *writer, FactBlock *block, const PlanThing *now, const PlanThing *planned) {
    const Plan *plan = writer->plan;
    for (size_t s = 0; s < plan->shot_count; s++) {
        const PlanShot *shot = &plan->shots[s];
        const Camera *camera = &shot->cameras[0].camera;
        const PlanView is = plan_view(now, camera, &shot->picture);
        const PlanView was = plan_view(planned, camera, &shot->picture);
        if (!in_shot(now, s) || !is.seen || !was.seen) continue;
        const char *in = has_shots(plan) ? arena_format(writer->arena, " in %s", shot->name) : "";
        Fact *fact = write_shift(writer, block, arena_format(writer->arena, "drawn%s", in),
                                 arena_format(writer->arena, "on the drawing%s", in), shot, &was, &is);
        FactPart wide = drawn_part(shot, "wider", is.wide_mm - was.wide_mm);
        wide.way = &WAY_SHOWN_WIDE;
        wide.before = ", ";
        fact_part(writer->facts, fact, wide);
    }
}

static bool differs(const PlanThing *now, const PlanThing *planned) {
    return now->at.across_mm != planned->at.across_mm || now->at.back_mm != planned->at.back_mm ||
           now->at.up_mm != planned->at.up_mm || now->turn_rad != planned->turn_rad ||
           now->wide_mm != planned->wide_mm || now->tall_mm != planned->tall_mm ||
           now->deep_mm != planned->deep_mm;
}

static bool is_told_of(const Scene *scene, size_t thing) {
    for (size_t i = 0; i < scene->built_count; i++) {
        if (scene->built[i].thing == (int)thing) return true;
    }
    return false;
}

void facts_of_built(Writer *writer) {
    const Plan *plan = writer->plan;
    for (size_t i = 0; plan->as_planned && i < plan->scene->thing_count; i++) {
        const PlanThing *now = &plan->things[i], *planned = &plan->as_planned[i];
        if (!is_told_of(plan->scene, i) && !differs(now, planned)) continue;
        const int in = now->thing->shot;
        const PlanShot *shot = in >= 0 ? &plan->shots[in] : NULL;
        const char *name = shot ? name_in_shot(writer, now->thing->name, shot) : now->thing->name;
        FactBlock *block = facts_block(writer->facts, "built", name, shot ? shot->name : "");
        write_place_beside(writer, block, now, planned);
        write_sizes_beside(writer, block, now, planned);
        write_shown(writer, block, now, planned);
    }
}
