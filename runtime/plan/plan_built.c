/* The plan as it was built: what was made and taped takes the place of what was planned. docs/geometry.md,
 * rule 60. */
#include "base/text.h"
#include "plan/resolve.h"
#include "plan/shape.h"

#include <math.h>

/* --- which sizes a shape has --------------------------------------------------------------------------- */

typedef struct BuiltWord {
    int slot;
    const char *word;
    bool has; /* the shape has such a size */
} BuiltWord;

static const char *one_of_shape(const Thing *thing) {
    switch (thing->shape) {
    case SHAPE_POST:
        return "a post is `thick` and `tall`";
    case SHAPE_PANEL:
    case SHAPE_CUTOUT:
        return "it is `wide`, `tall` and `thick`";
    default:
        return "it is `wide`, `tall` and `deep`";
    }
}

static void check_words_of_shape(Resolver *r, const Built *built) {
    const Thing *thing = &r->scene->things[built->thing];
    const bool post = thing->shape == SHAPE_POST;
    const bool thin = thing->shape == SHAPE_PANEL || thing->shape == SHAPE_CUTOUT;
    const BuiltWord words[] = {{built->wide, "wide", !post},
                               {built->deep, "deep", !post && !thin},
                               {built->thick, "thick", post || thin}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        const Slot *slot = &r->scene->slots[words[i].slot];
        if (words[i].has || !slot->stated) continue;
        Diagnostic *d = diagnostics_error(r->diagnostics, slot->word_span, "%s has no `%s`",
                                          thing_phrase(r, built->thing), words[i].word);
        diagnostic_help(r->diagnostics, d, "%s", one_of_shape(thing));
    }
}

/* --- whom it is told of -------------------------------------------------------------------------------- */

/* One puppet that stands alike in two shots is two things of the plan. */
static bool is_same_puppet(const Plan *plan, int a, int b) {
    const Thing *things = plan->scene->things;
    const PlanThing *one = &plan->as_planned[a], *other = &plan->as_planned[b];
    return things[a].role == ROLE_PUPPET && things[b].role == ROLE_PUPPET && things[a].shot >= 0 &&
           text_equal(things[a].name, things[b].name) && one->at.across_mm == other->at.across_mm &&
           one->at.back_mm == other->at.back_mm && one->at.up_mm == other->at.up_mm &&
           one->turn_rad == other->turn_rad && one->tall_mm == other->tall_mm;
}

static const Built *built_of(const Plan *plan, int thing) {
    const Scene *scene = plan->scene;
    for (size_t i = 0; i < scene->built_count; i++) {
        if (scene->built[i].thing == thing || is_same_puppet(plan, scene->built[i].thing, thing))
            return &scene->built[i];
    }
    return NULL;
}

/* --- what is stated takes its place -------------------------------------------------------------------- */

/* The slot's value where it is stated. */
static bool stated(const Resolver *r, int slot, double *value) {
    if (!slot_stated(r, slot) || !r->plan->known[slot]) return false;
    *value = r->plan->values[slot];
    return true;
}

static void take_sizes(const Resolver *r, const Built *built, PlanThing *thing) {
    const double planned_tall = thing->tall_mm;
    double thick;
    stated(r, built->wide, &thing->wide_mm);
    stated(r, built->deep, &thing->deep_mm);
    if (stated(r, built->tall, &thing->tall_mm) && planned_tall > 0)
        thing->eyes_mm *= thing->tall_mm / planned_tall;
    if (!stated(r, built->thick, &thick)) return;
    thing->deep_mm = thick;
    if (thing->thing->shape == SHAPE_POST) thing->wide_mm = thick;
}

static void take_place(const Resolver *r, const Built *built, PlanThing *thing) {
    const PlanDatum datum = plan_datum(r->plan);
    double value;
    if (stated(r, built->from_front, &value)) thing->at.back_mm = datum.front_mm + value;
    if (stated(r, built->right, &value)) thing->at.across_mm = datum.centre_mm + value;
    if (stated(r, built->left, &value)) thing->at.across_mm = datum.centre_mm - value;
    stated(r, built->turn, &thing->turn_rad);
}

/* --- heights follow what is under a thing --------------------------------------------------------------- */

typedef struct Standing {
    Resolver *r;
    bool *done; /* of each thing */
} Standing;

/* What stands on what was told of went with it, as far as nobody told where it is. */
static void go_with(const Resolver *r, const Built *built, PlanThing *thing, int under) {
    const Point3 now = r->plan->things[under].at, planned = r->plan->as_planned[under].at;
    if (!built || !(slot_stated(r, built->right) || slot_stated(r, built->left)))
        thing->at.across_mm += now.across_mm - planned.across_mm;
    if (!built || !slot_stated(r, built->from_front)) thing->at.back_mm += now.back_mm - planned.back_mm;
}

static bool is_moved(const Plan *plan, int thing) {
    const PlanThing *now = &plan->things[thing], *planned = &plan->as_planned[thing];
    return now->top_mm != planned->top_mm || now->at.across_mm != planned->at.across_mm ||
           now->at.back_mm != planned->at.back_mm;
}

static void stand(const Standing *standing, int index) {
    const Resolver *r = standing->r;
    PlanThing *thing = &r->plan->things[index];
    const PlanThing *planned = &r->plan->as_planned[index];
    const Built *built = built_of(r->plan, index);
    const int under = thing->thing->atop;
    if (standing->done[index]) return;
    standing->done[index] = true;
    if (under >= 0) stand(standing, under);
    const bool moved_under = under >= 0 && is_moved(r->plan, under);
    if (!built && !moved_under) return;
    if (moved_under) go_with(r, built, thing, under);
    if (!(built && stated(r, built->up, &thing->at.up_mm))) {
        if (under >= 0)
            thing->at.up_mm =
                planned->at.up_mm + r->plan->things[under].top_mm - r->plan->as_planned[under].top_mm;
        else if (!thing->hung && thing->thing->role != ROLE_BACKDROP)
            thing->at.up_mm = plan_ground_mm(r->plan, thing->at.across_mm, thing->at.back_mm);
    }
    shape_measure(thing);
}

void plan_as_built(Resolver *r) {
    Plan *plan = r->plan;
    const Scene *scene = r->scene;
    if (scene->built_count == 0) return;
    PlanThing *planned = ARENA_ARRAY(r->arena, PlanThing, scene->thing_count);
    for (size_t i = 0; i < scene->thing_count; i++)
        planned[i] = plan->things[i];
    plan->as_planned = planned;
    for (size_t i = 0; i < scene->built_count; i++)
        check_words_of_shape(r, &scene->built[i]);
    for (size_t i = 0; i < scene->thing_count; i++) {
        const Built *built = built_of(plan, (int)i);
        if (!built) continue;
        take_sizes(r, built, &plan->things[i]);
        take_place(r, built, &plan->things[i]);
    }
    const Standing standing = {r, ARENA_ARRAY(r->arena, bool, scene->thing_count)};
    for (size_t i = 0; i < scene->thing_count; i++)
        stand(&standing, (int)i);
}
