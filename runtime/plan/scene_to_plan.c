#include "plan/scene_to_plan.h"

#include "base/text.h"
#include "plan/relief.h"
#include "plan/resolve.h"
#include "plan/shape.h"

#include <math.h>

static const Span NOWHERE = {0};

/* --- everything is asked for, in the order of the spec
 * ------------------------------------------------------- */

static void resolve_stated(Resolver *r) {
    double value;
    for (size_t s = 0; s < r->scene->slot_count; s++) {
        if (r->scene->slots[s].stated) resolve_slot(r, (int)s, NOWHERE, &value);
    }
}

static void resolve_cameras(Resolver *r) {
    for (size_t s = 0; s < r->scene->shot_count; s++)
        resolve(r, NODE_CAMERAS, (int)s, NOWHERE);
}

static bool is_upright_thing(ThingRole role) {
    return role == ROLE_PUPPET || role == ROLE_PIECE || role == ROLE_FLAT || role == ROLE_BACKDROP;
}

static void resolve_eyes(Resolver *r, int index, PlanThing *planned) {
    const int slot = planned->thing->slot[FIELD_EYES];
    if (!resolve_slot(r, slot, NOWHERE, &planned->eyes_mm) || planned->eyes_mm <= planned->tall_mm) return;
    Diagnostic *d =
        diagnostics_error(r->diagnostics, slot_stated(r, slot) ? slot_span(r, slot) : planned->thing->span,
                          "the eyes of %s are above its head: %s, where it is %s tall",
                          planned->thing->cast >= 0
                              ? arena_format(r->arena, "the %s", r->scene->cast[planned->thing->cast].name)
                              : thing_phrase(r, index),
                          said_length(r, planned->eyes_mm), said_length(r, planned->tall_mm));
    diagnostic_help(r->diagnostics, d, "`eyes` counts from its foot");
}

static void resolve_sizes(Resolver *r, int index, PlanThing *planned) {
    double count = 1, steps = 0;
    resolve_field(r, index, FIELD_WIDE, &planned->wide_mm);
    resolve_field(r, index, FIELD_TALL, &planned->tall_mm);
    resolve_field(r, index, FIELD_DEEP, &planned->deep_mm);
    if (planned->thing->role == ROLE_PUPPET || planned->thing->lead) resolve_eyes(r, index, planned);
    resolve_field(r, index, FIELD_COUNT_OF, &count);
    resolve_field(r, index, FIELD_EVERY, &planned->row_every_mm);
    if (planned->thing->shape == SHAPE_STEPS && resolve_field(r, index, FIELD_STEPS, &steps))
        planned->steps = (int)steps;
    planned->row_count = (int)count;
}

static void whole_number(Resolver *r, int index, Field field, double most) {
    const int slot = r->scene->things[index].slot[field];
    if (!slot_stated(r, slot) || !r->plan->known[slot]) return;
    const double value = r->plan->values[slot];
    if (value != floor(value))
        diagnostics_error(r->diagnostics, slot_span(r, slot), "%s is a whole number", slot_phrase(r, slot));
    else if (value > most)
        diagnostics_error(r->diagnostics, slot_span(r, slot), "%s is at most %d", slot_phrase(r, slot),
                          (int)most);
}

static void resolve_upright(Resolver *r, int index) {
    PlanThing *planned = &r->plan->things[index];
    resolve(r, NODE_PLACE, index, NOWHERE);
    whole_number(r, index, FIELD_COUNT_OF, 1000);
    whole_number(r, index, FIELD_STEPS, 100);
    if (r->diagnostics->errors > 0) return;
    resolve_sizes(r, index, planned);
    resolve_field(r, index, FIELD_LEFT, &planned->left_mm);
    resolve_field(r, index, FIELD_RIGHT, &planned->right_mm);
    resolve_field(r, index, FIELD_FRONT, &planned->front_mm);
    resolve_field(r, index, FIELD_REAR, &planned->rear_mm);
    resolve_field(r, index, FIELD_TOP, &planned->top_mm);
    resolve_field(r, index, FIELD_FOOT, &planned->foot_mm);
}

static void resolve_opening(Resolver *r, int index) {
    PlanThing *planned = &r->plan->things[index];
    const Thing *thing = planned->thing;
    const int flat = thing->parent;
    double wide, tall;
    const SlotInto wanted[] = {{thing->slot[FIELD_WIDE], &planned->wide_mm},
                               {thing->slot[FIELD_TALL], &planned->tall_mm},
                               {thing->slot[FIELD_ACROSS], &planned->at.across_mm},
                               {thing->slot[FIELD_UP], &planned->at.up_mm}};
    if (!resolve_all(r, wanted, sizeof wanted / sizeof *wanted) ||
        !resolve_field(r, flat, FIELD_WIDE, &wide) || !resolve_field(r, flat, FIELD_TALL, &tall))
        return;
    const double half = wide / 2, reach = fabs(planned->at.across_mm) + planned->wide_mm / 2;
    const double band = 1e-6;
    if (reach > half + band || planned->at.up_mm < -band ||
        planned->at.up_mm + planned->tall_mm > tall + band) {
        Diagnostic *d = diagnostics_error(
            r->diagnostics, thing->span,
            "opening `%s` reaches past its flat `%s`, which is %s wide and %s tall", thing->name,
            r->scene->things[flat].name, said_length(r, wide), said_length(r, tall));
        diagnostic_help(r->diagnostics, d, "`at` of an opening counts from the middle of the flat's foot");
    }
}

static bool openings_meet(const PlanThing *a, const PlanThing *b) {
    const double hair = 1e-3;
    return fabs(a->at.across_mm - b->at.across_mm) < (a->wide_mm + b->wide_mm) / 2 - hair &&
           a->at.up_mm < b->at.up_mm + b->tall_mm - hair && b->at.up_mm < a->at.up_mm + a->tall_mm - hair;
}

/* What two share would be cut out twice. */
static void openings_apart(Resolver *r) {
    if (r->diagnostics->errors > 0) return; /* not all are known */
    for (size_t i = 0; i < r->scene->thing_count; i++) {
        const Thing *one = &r->scene->things[i];
        for (size_t k = i + 1; one->role == ROLE_OPENING && k < r->scene->thing_count; k++) {
            const Thing *other = &r->scene->things[k];
            if (other->role != ROLE_OPENING || other->parent != one->parent ||
                !openings_meet(&r->plan->things[i], &r->plan->things[k]))
                continue;
            Diagnostic *d =
                diagnostics_error(r->diagnostics, other->span, "openings `%s` and `%s` of `%s` share a place",
                                  one->name, other->name, r->scene->things[one->parent].name);
            diagnostic_note(r->diagnostics, d, one->span, "the other");
            diagnostic_help(r->diagnostics, d, "move one of them; or state one opening as large as both");
        }
    }
}

/* A mound's place and sizes are its own; a hollow reaches no deeper than the ground is thick. */
static void finish_mound(Resolver *r, int index) {
    PlanThing *planned = &r->plan->things[index];
    const Thing *thing = planned->thing;
    double thick;
    planned->left_mm = planned->at.across_mm - planned->wide_mm / 2;
    planned->right_mm = planned->at.across_mm + planned->wide_mm / 2;
    planned->front_mm = planned->at.back_mm - planned->deep_mm / 2;
    planned->rear_mm = planned->at.back_mm + planned->deep_mm / 2;
    planned->top_mm = thing->role == ROLE_MOUND ? planned->tall_mm : 0;
    planned->foot_mm = thing->role == ROLE_MOUND ? 0 : -planned->tall_mm;
    if (thing->role == ROLE_HOLLOW && resolve_field(r, r->plan->ground, FIELD_THICK, &thick) &&
        planned->tall_mm > thick + 1e-6) {
        Diagnostic *d = diagnostics_error(r->diagnostics, slot_span(r, thing->slot[FIELD_TALL]),
                                          "hollow `%s` is %s deep, but the ground is %s thick", thing->name,
                                          said_length(r, planned->tall_mm), said_length(r, thick));
        diagnostic_help(r->diagnostics, d, "`ground: {thick: ...}`, or a shallower hollow");
    }
}

static void resolve_level(Resolver *r, int index, const Trapezoid *outline, double top_mm, double thick_mm) {
    PlanThing *planned = &r->plan->things[index];
    planned->front_mm = outline->front_mm;
    planned->rear_mm = outline->rear_mm;
    planned->left_mm = fmin(outline->front_left_mm, outline->rear_left_mm);
    planned->right_mm = fmax(outline->front_right_mm, outline->rear_right_mm);
    planned->wide_mm = planned->right_mm - planned->left_mm;
    planned->deep_mm = planned->rear_mm - planned->front_mm;
    planned->tall_mm = thick_mm;
    planned->top_mm = top_mm;
    planned->foot_mm = top_mm - thick_mm;
    planned->at = (Point3){(planned->left_mm + planned->right_mm) / 2,
                           (planned->front_mm + planned->rear_mm) / 2, planned->foot_mm};
    (void)r;
}

/* What nobody asked for but a maker may ask `why` of: the camera's numbers and the edges of ground and base.
 */
static void resolve_for_why(Resolver *r) {
    static const Field edges[] = {FIELD_FRONT, FIELD_REAR, FIELD_LEFT, FIELD_RIGHT, FIELD_TOP, FIELD_FOOT};
    double value;
    for (size_t s = 0; s < r->scene->shot_count; s++) {
        const Shot *shot = &r->scene->shots[s];
        const int slots[] = {shot->lens,   shot->distance, shot->height, shot->tilt,
                             shot->across, shot->horizon,  shot->frame};
        for (size_t i = 0; i < sizeof slots / sizeof *slots; i++)
            resolve_slot(r, slots[i], NOWHERE, &value);
    }
    for (size_t i = 0; i < sizeof edges / sizeof *edges; i++) {
        resolve_field(r, r->plan->ground, edges[i], &value);
        if (r->plan->base >= 0) resolve_field(r, r->plan->base, edges[i], &value);
    }
}

static void resolve_things(Resolver *r) {
    Plan *plan = r->plan;
    resolve(r, NODE_MOUNDS, 0, NOWHERE);
    for (size_t i = 0; i < r->scene->thing_count; i++) {
        if (is_upright_thing(r->scene->things[i].role)) resolve_upright(r, (int)i);
    }
    for (size_t i = 0; i < r->scene->thing_count; i++) {
        const ThingRole role = r->scene->things[i].role;
        if (role == ROLE_OPENING)
            resolve_opening(r, (int)i);
        else if (role == ROLE_MOUND || role == ROLE_HOLLOW)
            finish_mound(r, (int)i);
    }
    openings_apart(r);
    if (resolve(r, NODE_GROUND, 0, NOWHERE))
        resolve_level(r, plan->ground, &plan->ground_outline, 0, plan->ground_thick_mm);
    if (plan->base >= 0 && resolve(r, NODE_BASE, 0, NOWHERE))
        resolve_level(r, plan->base, &plan->base_outline, -plan->ground_thick_mm, plan->base_thick_mm);
}

/* Rule 20: a lens that stands inside something. */
static void check_lens_is_free(Resolver *r) {
    for (size_t s = 0; s < r->plan->shot_count; s++) {
        const Camera *camera = &r->plan->shots[s].cameras[0].camera;
        const Point2 eye[3] = {{camera->across_mm - 1, -camera->distance_mm - 1},
                               {camera->across_mm + 1, -camera->distance_mm - 1},
                               {camera->across_mm, -camera->distance_mm + 1}};
        for (size_t i = 0; i < r->scene->thing_count; i++) {
            const PlanThing *thing = &r->plan->things[i];
            Point2 corners[FOOTPRINT_MOST];
            double overlap;
            if (!is_upright_thing(thing->thing->role) || camera->height_mm < thing->foot_mm ||
                camera->height_mm > thing->top_mm)
                continue;
            for (int item = 0; item < thing->row_count; item++) {
                const size_t n = shape_footprint(thing, item, corners);
                if (footprints_overlap(corners, n, eye, 3, 0, &overlap))
                    diagnostics_error(r->diagnostics, r->plan->shots[s].shot->camera_span,
                                      "the lens would be inside %s", thing_phrase(r, (int)i));
            }
        }
    }
}

/* --- the plan as a whole
 * -------------------------------------------------------------------------------------- */

static double snap(double value) {
    const double steps = 1048576.0; /* 2^20 */
    const double snapped = floor(value * steps + 0.5) / steps;
    return snapped == 0 ? 0 : snapped;
}

static void snap_all(double *const *values, size_t count) {
    for (size_t i = 0; i < count; i++)
        *values[i] = snap(*values[i]);
}

static void snap_trapezoid(Trapezoid *t) {
    double *const all[] = {&t->front_mm,       &t->rear_mm,      &t->front_left_mm,
                           &t->front_right_mm, &t->rear_left_mm, &t->rear_right_mm};
    snap_all(all, sizeof all / sizeof *all);
}

/* Angles stay as they are: a tilt snapped to millimetre steps would move points by more than a hair. */
static void snap_plan(Plan *plan) {
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        PlanThing *t = &plan->things[i];
        double *const all[] = {&t->at.across_mm, &t->at.back_mm, &t->at.up_mm,     &t->wide_mm, &t->tall_mm,
                               &t->deep_mm,      &t->eyes_mm,    &t->row_every_mm, &t->left_mm, &t->right_mm,
                               &t->front_mm,     &t->rear_mm,    &t->top_mm,       &t->foot_mm};
        snap_all(all, sizeof all / sizeof *all);
    }
    snap_trapezoid(&plan->ground_outline);
    snap_trapezoid(&plan->base_outline);
}

static void measure_build(Plan *plan) {
    double left = INFINITY, right = -INFINITY, front = INFINITY, rear = -INFINITY, low = INFINITY,
           high = -INFINITY;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *t = &plan->things[i];
        const ThingRole role = t->thing->role;
        const bool earth = role == ROLE_MOUND || role == ROLE_HOLLOW; /* cut off at the ground's edge */
        if (role == ROLE_PUPPET || role == ROLE_OPENING) continue;
        if (earth && plan_relief_place(plan, t) == RELIEF_OFF_GROUND) continue;
        if (!earth) {
            left = fmin(left, t->left_mm);
            right = fmax(right, t->right_mm);
            front = fmin(front, t->front_mm);
            rear = fmax(rear, t->rear_mm);
        }
        low = fmin(low, t->foot_mm);
        high = fmax(high, t->top_mm);
    }
    plan->build_wide_mm = snap(right - left);
    plan->build_deep_mm = snap(rear - front);
    plan->build_tall_mm = snap(high - low);
}

/* What the solved camera makes of its words is asked for although nothing hangs on it: so that it can be
 * asked why. */
static void read_camera_words(Resolver *r, const Shot *shot) {
    const int words[] = {shot->lens,   shot->distance, shot->height, shot->tilt,
                         shot->across, shot->horizon,  shot->frame};
    double value;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        resolve_slot(r, words[i], NOWHERE, &value);
}

static void read_shots(Resolver *r) {
    for (size_t s = 0; s < r->scene->shot_count; s++) {
        const Shot *shot = &r->scene->shots[s];
        double stop, print;
        resolve_slot(r, shot->print, NOWHERE, &print);
        if (slot_stated(r, shot->stop) && resolve_slot(r, shot->stop, NOWHERE, &stop))
            r->plan->shots[s].stop = stop;
        read_camera_words(r, shot);
    }
}

/* What is stated, the cameras, and all that stands on the set. */
static void work_out(Resolver *r) {
    double value;
    if (resolve_slot(r, r->scene->cut, NOWHERE, &value)) r->plan->cut_mm = value;
    if (resolve_slot(r, r->scene->agree, NOWHERE, &value)) r->plan->agree_mm = value;
    resolve_stated(r);
    check_tools(r);
    resolve_cameras(r);
    resolve_things(r);
}

static bool has_poison(const Resolver *r) {
    for (int n = 0; n < r->node_count; n++) {
        if (r->nodes[n].state == NODE_POISON) return true;
    }
    return false;
}

Plan *scene_to_plan(const Scene *scene, const FoundFile *found, Diagnostics *diagnostics) {
    Resolver *r = resolver_new(scene, found, diagnostics);
    Plan *plan = r->plan;
    double value;
    work_out(r);
    for (size_t s = 0; s < scene->shot_count; s++)
        make_page_areas(r, (int)s);
    if (diagnostics->errors == 0 &&
        has_poison(r)) /* nothing is known wrong, yet something could not be known */
        diagnostics_error(diagnostics, scene->span, "the scene cannot be worked out from what is stated");
    if (diagnostics->errors > 0) return NULL;
    read_shots(r);
    if (slot_stated(r, scene->table_tall) && resolve_slot(r, scene->table_tall, NOWHERE, &value))
        plan->table_tall_mm = value;
    check_lens_is_free(r);
    make_lamps(r);
    if (diagnostics->errors > 0) return NULL;
    snap_plan(plan);
    for (size_t s = 0; s < scene->shot_count; s++)
        make_also(r, (int)s);
    if (diagnostics->errors > 0) return NULL;
    check_plan(r);
    plan_as_built(r);
    if (diagnostics->errors > 0) return NULL;
    snap_plan(plan);
    check_built(r);
    measure_build(plan);
    resolve_for_why(r);
    keep_reasons(r);
    return plan;
}

Plan *plan_without(Arena *arena, const Plan *plan, const Allowances *given_up, Diagnostics *diagnostics) {
    Scene *scene = ARENA_NEW(arena, Scene);
    *scene = *plan->scene;
    scene->arena = arena;
    Resolver *r = resolver_new(scene, plan->found, diagnostics);
    r->given_up = given_up;
    work_out(r);
    if (diagnostics->errors > 0 || has_poison(r)) return NULL;
    snap_plan(r->plan);
    return r->plan;
}
