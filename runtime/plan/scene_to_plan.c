#include "plan/scene_to_plan.h"

#include "base/text.h"
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
    Diagnostic *d = diagnostics_error(
        r->diagnostics, slot_stated(r, slot) ? slot_span(r, slot) : planned->thing->span,
        "the eyes of %s are above its head: %s, where it is %s tall", thing_phrase(r, index),
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
        if (t->thing->role == ROLE_PUPPET || t->thing->role == ROLE_OPENING) continue;
        left = fmin(left, t->left_mm);
        right = fmax(right, t->right_mm);
        front = fmin(front, t->front_mm);
        rear = fmax(rear, t->rear_mm);
        low = fmin(low, t->foot_mm);
        high = fmax(high, t->top_mm);
    }
    plan->build_wide_mm = snap(right - left);
    plan->build_deep_mm = snap(rear - front);
    plan->build_tall_mm = snap(high - low);
}

/* Lenses, sensors and crops are spoken of in millimetres everywhere. */
static bool is_optical(const Scene *scene, int slot) {
    for (size_t i = 0; i < scene->lens_count; i++) {
        if (slot == scene->lenses[i].focal) return true;
    }
    for (size_t i = 0; i < scene->body_count; i++) {
        if (slot == scene->bodies[i].sensor_wide || slot == scene->bodies[i].sensor_tall) return true;
    }
    for (size_t i = 0; i < scene->shot_count; i++) {
        const Shot *shot = &scene->shots[i];
        bool optical = slot == shot->lens || slot == shot->crop_across || slot == shot->crop_up;
        for (size_t l = 0; l < shot->allow_lens_count; l++)
            optical |= slot == shot->allow_lens[l];
        for (size_t a = 0; a < shot->also_count; a++)
            optical |= slot == shot->also[a].lens;
        if (optical) return true;
    }
    return false;
}

static const char *value_text(const Resolver *r, int slot) {
    const double value = r->plan->values[slot];
    switch (r->scene->slots[slot].kind) {
    case KIND_LENGTH:
        if (is_optical(r->scene, slot))
            return arena_format(r->arena, "%s mm", number_short(r->arena, value, 2));
        return r->scene->slots[slot].on_drawing
                   ? arena_format(r->arena, "%s mm drawn", number_short(r->arena, value, 2))
                   : length_both(r->arena, r->scene->lengths, value, 64, 2);
    case KIND_ANGLE:
    case KIND_TILT:
    case KIND_TURN:
        return arena_format(r->arena, "%s deg", number_short(r->arena, DEGREES(value), 3));
    case KIND_SHARE:
        return arena_format(r->arena, "%s %%", number_short(r->arena, 100 * value, 3));
    case KIND_STOP:
        return arena_format(r->arena, "f/%s", number_short(r->arena, value, 2));
    case KIND_PIXELS:
        return arena_format(r->arena, "%s px", number_short(r->arena, value, 2));
    default:
        return number_short(r->arena, value, 6);
    }
}

static const char *node_value(const Resolver *r, NodeKind kind, int index) {
    const Plan *plan = r->plan;
    Arena *a = r->arena;
    const LengthStyle style = r->scene->lengths;
    switch (kind) {
    case NODE_SLOT:
        return value_text(r, index);
    case NODE_PICTURE:
        return arena_format(a, "%s x %s mm of the sensor",
                            number_fixed(a, plan->shots[index].picture.taken_wide_mm, 2),
                            number_fixed(a, plan->shots[index].picture.taken_tall_mm, 2));
    case NODE_CAMERA: {
        const Camera *c = &plan->shots[index].cameras[0].camera;
        return arena_format(a, "%s mm lens, %s up, %s away, %s deg down", number_short(a, c->focal_mm, 2),
                            length_one(a, style, c->height_mm, 16, 1),
                            length_one(a, style, c->distance_mm + plan->shots[index].mark.back_mm, 16, 1),
                            number_fixed(a, DEGREES(c->tilt_rad), 3));
    }
    case NODE_CAMERAS:
        return arena_format(a, "%d", (int)plan->shots[index].camera_count);
    case NODE_FOOT:
    case NODE_PLACE: {
        const Point3 p = kind == NODE_FOOT ? r->feet[index] : plan->things[index].at;
        return arena_format(a, "%s across, %s back, %s up", length_one(a, style, p.across_mm, 16, 1),
                            length_one(a, style, p.back_mm, 16, 1), length_one(a, style, p.up_mm, 16, 1));
    }
    case NODE_GROUND:
    case NODE_BASE: {
        const Trapezoid *t = kind == NODE_GROUND ? &plan->ground_outline : &plan->base_outline;
        return arena_format(a, "%s wide in front, %s at the rear, %s deep",
                            length_one(a, style, t->front_right_mm - t->front_left_mm, 16, 1),
                            length_one(a, style, t->rear_right_mm - t->rear_left_mm, 16, 1),
                            length_one(a, style, t->rear_mm - t->front_mm, 16, 1));
    }
    case NODE_MOUNDS:
    case NODE_KINDS:
        break;
    }
    int count = 0;
    for (size_t i = 0; i < r->scene->thing_count; i++)
        count += r->scene->things[i].role == ROLE_MOUND || r->scene->things[i].role == ROLE_HOLLOW;
    return count > 0 ? arena_format(a, "%d", count) : "none";
}

static const char *node_path(const Resolver *r, NodeKind kind, int index) {
    const char *shot =
        r->scene->shot_count > 1 && (kind == NODE_PICTURE || kind == NODE_CAMERA || kind == NODE_CAMERAS)
            ? arena_format(r->arena, " of shot %s", r->plan->shots[index].name)
            : "";
    switch (kind) {
    case NODE_SLOT:
        return r->scene->slots[index].path;
    case NODE_PICTURE:
        return arena_format(r->arena, "the picture%s", shot);
    case NODE_CAMERA:
        return arena_format(r->arena, "the camera%s", shot);
    case NODE_CAMERAS:
        return arena_format(r->arena, "the allowed cameras%s", shot);
    case NODE_FOOT:
        return arena_format(r->arena, "the drawn foot of %s", r->scene->things[index].name);
    case NODE_PLACE:
        return arena_format(r->arena, "the place of %s", r->scene->things[index].name);
    case NODE_GROUND:
        return "the ground";
    case NODE_BASE:
        return "the base";
    case NODE_MOUNDS:
    case NODE_KINDS:
        break;
    }
    return "the mounds";
}

static void keep_reasons(Resolver *r) {
    Plan *plan = r->plan;
    int *reason_of = ARENA_ARRAY(r->arena, int, r->node_count);
    plan->reasons = ARENA_ARRAY(r->arena, Reason, r->node_count);
    for (int kind = 0, n = 0; n < r->node_count; n++) {
        while (kind + 1 < NODE_KINDS && n >= r->base_of[kind + 1])
            kind++;
        reason_of[n] = -1;
        if (r->nodes[n].state != NODE_KNOWN) continue;
        const int index = n - r->base_of[kind];
        Reason *reason = &plan->reasons[plan->reason_count];
        reason_of[n] = (int)plan->reason_count++;
        reason->path = node_path(r, (NodeKind)kind, index);
        reason->value = node_value(r, (NodeKind)kind, index);
        reason->text = r->nodes[n].text ? r->nodes[n].text : "";
        reason->rule = r->nodes[n].rule;
        reason->span = kind == NODE_SLOT && slot_stated(r, index) ? slot_span(r, index) : NOWHERE;
    }
    for (int n = 0; n < r->node_count; n++) {
        if (reason_of[n] < 0) continue;
        Reason *reason = &plan->reasons[reason_of[n]];
        reason->inputs = ARENA_ARRAY(r->arena, int, r->nodes[n].inputs.count);
        for (size_t i = 0; i < r->nodes[n].inputs.count; i++) {
            const int input = reason_of[r->nodes[n].inputs.items[i]];
            if (input >= 0) reason->inputs[reason->input_count++] = input;
        }
    }
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
    if (resolve_slot(r, scene->cut, NOWHERE, &value)) plan->cut_mm = value;
    if (resolve_slot(r, scene->agree, NOWHERE, &value)) plan->agree_mm = value;
    resolve_stated(r);
    resolve_cameras(r);
    resolve_things(r);
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
