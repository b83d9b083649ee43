/* What a word is when the spec does not state it: defaults of the language, and what follows from a place, a
 * shape or a solved camera. docs/language.md, "What is unstated"; docs/geometry.md, rules 7, 16, 27, 30
 * and 31. */
#include "base/text.h"
#include "plan/resolve.h"
#include "plan/shape.h"

#include <math.h>
#include <string.h>

static const Span NOWHERE = {0};

static bool not_stated(Resolver *r, int slot) {
    /* pointed at where it is asked for: the quantity under way is the last on the stack but one */
    Span where = NOWHERE;
    if (r->depth >= 2) where = r->stack[r->depth - 2].reference;
    if (span_is_none(where)) return false;
    Diagnostic *d = diagnostics_error(r->diagnostics, where, "%s is not stated", slot_phrase(r, slot));
    const char *path = r->scene->slots[slot].path, *dot = strrchr(path, '.');
    if (dot)
        diagnostic_help(r->diagnostics, d, "state `%s` of `%.*s`, or write it out here", dot + 1,
                        (int)(dot - path), path);
    return false;
}

static bool missing(Resolver *r, int thing, const char *word, const char *help) {
    const Thing *it = &r->scene->things[thing];
    if (it->faulty) return false; /* rule 3: an unknown word may hide it */
    static const char *const roles[ROLE_COUNT] = {"puppet", "piece", "flat",   "backdrop", "ground",
                                                  "base",   "mound", "hollow", "opening"};
    Diagnostic *d = it->role == ROLE_BACKDROP
                        ? diagnostics_error(r->diagnostics, it->span, "`%s` of the backdrop is missing", word)
                        : diagnostics_error(r->diagnostics, it->span, "`%s` of %s `%s` is missing", word,
                                            roles[it->role], it->name);
    if (help) diagnostic_help(r->diagnostics, d, "%s", help);
    return false;
}

/* A size that only the drawing gives: rounded as what is worked out (rule 36). */
static bool by_drawing(Resolver *r, int thing, Field field, Field drawn, double *value) {
    double drawn_mm;
    const int slot = r->scene->things[thing].slot[drawn], shot = shot_of(r, thing);
    if (!resolve_slot(r, slot, NOWHERE, &drawn_mm) || !resolve(r, NODE_PICTURE, shot, NOWHERE)) return false;
    const double px = r->plan->shots[shot].drawn_px_per_mm;
    if (!make_drawn(r, thing, field, px > 0 ? drawn_mm / px : drawn_mm, slot_span(r, slot), value))
        return false;
    double cut;
    if (!resolve_slot(r, r->scene->cut, NOWHERE, &cut)) return false;
    resolve_because(r, "rule 31", "as drawn, at the depth where it stands");
    *value = fmax(number_round(*value, cut), cut);
    return true;
}

static bool same_as(Resolver *r, int thing, Field field, const char *text, double factor, double *value) {
    if (!resolve_field(r, thing, field, value)) return false;
    resolve_because(r, NULL, text);
    *value *= factor;
    return true;
}

static bool covered(Resolver *r, int thing, Field field, double *value) {
    double cut;
    resolve_because(r, "rule 27", "unstated: as much as any allowed camera can see there");
    if (!make_cover(r, thing, field, NOWHERE, value) || !resolve_slot(r, r->scene->cut, NOWHERE, &cut))
        return false;
    *value = number_round_up(*value, cut);
    return true;
}

static bool fixed(Resolver *r, const char *text, double fixed_value, double *value) {
    resolve_because(r, NULL, text);
    *value = fixed_value;
    return true;
}

static bool default_wide(Resolver *r, int thing, double *value) {
    const Thing *it = &r->scene->things[thing];
    if (it->role == ROLE_PUPPET)
        return same_as(r, thing, FIELD_TALL, "unstated: 0.4 of its height", 0.4, value);
    if (it->shape == SHAPE_POST)
        return same_as(r, thing, FIELD_THICK, "a post is as wide as thick", 1, value);
    if (field_stated(r, thing, FIELD_DRAWN_WIDE))
        return by_drawing(r, thing, FIELD_WIDE, FIELD_DRAWN_WIDE, value);
    if (it->role == ROLE_BACKDROP) return covered(r, thing, FIELD_WIDE, value);
    return missing(r, thing, "wide",
                   it->role == ROLE_FLAT ? "write `wide: cover`, a length, or `drawn: {wide: ...}`" : NULL);
}

static bool default_tall(Resolver *r, int thing, double *value) {
    const Thing *it = &r->scene->things[thing];
    if (it->role != ROLE_PUPPET && field_stated(r, thing, FIELD_DRAWN_TALL))
        return by_drawing(r, thing, FIELD_TALL, FIELD_DRAWN_TALL, value);
    if (it->role == ROLE_BACKDROP) return covered(r, thing, FIELD_TALL, value);
    if (it->role == ROLE_GROUND || it->role == ROLE_BASE)
        return same_as(r, thing, FIELD_THICK, "as thick", 1, value);
    return missing(r, thing, "tall",
                   it->role == ROLE_FLAT ? "write a length, or `drawn: {tall: ...}`" : NULL);
}

static bool default_deep(Resolver *r, int thing, double *value) {
    const Thing *it = &r->scene->things[thing];
    if (it->role == ROLE_PUPPET)
        return same_as(r, thing, FIELD_TALL, "unstated: 0.4 of its height", 0.4, value);
    switch (it->shape) {
    case SHAPE_PANEL:
    case SHAPE_CUTOUT:
    case SHAPE_POST:
        return same_as(r, thing, FIELD_THICK, "as deep as thick", 1, value);
    case SHAPE_CONE:
        return same_as(r, thing, FIELD_WIDE, "as deep as wide", 1, value);
    default:
        return missing(r, thing, "deep", NULL);
    }
}

static bool default_thick(Resolver *r, int thing, double *value) {
    const Thing *it = &r->scene->things[thing];
    if (it->shape == SHAPE_POST) {
        if (field_stated(r, thing, FIELD_DRAWN_WIDE))
            return by_drawing(r, thing, FIELD_THICK, FIELD_DRAWN_WIDE, value);
        if (field_stated(r, thing, FIELD_WIDE))
            return same_as(r, thing, FIELD_WIDE, "as thick as wide", 1, value);
        if (it->stock < 0 || !slot_stated(r, r->scene->stocks[it->stock].bar_long) ||
            !slot_stated(r, r->scene->stocks[it->stock].thick))
            return missing(r, thing, "thick", NULL);
    }
    if (it->stock >= 0 && slot_stated(r, r->scene->stocks[it->stock].thick)) {
        if (!resolve_slot(r, r->scene->stocks[it->stock].thick, NOWHERE, value)) return false;
        resolve_because(
            r, NULL, it->layer_count > 0 ? "as thick as the first of its stocks" : "as thick as its stock");
        return true;
    }
    if (it->role == ROLE_GROUND) return fixed(r, "unstated: 2 in, a sheet of foam", 2 * MM_PER_INCH, value);
    if (it->role == ROLE_BASE) return fixed(r, "unstated: 3/4 in, a board", 0.75 * MM_PER_INCH, value);
    return fixed(r, "unstated: 1/2 in, foam board", 0.5 * MM_PER_INCH, value);
}

static bool placed(Resolver *r, int thing, Field field, double *value) {
    if (!resolve(r, NODE_PLACE, thing, NOWHERE)) return false;
    const Point3 at = r->plan->things[thing].at;
    *value = field == FIELD_ACROSS ? at.across_mm : field == FIELD_BACK ? at.back_mm : at.up_mm;
    return true;
}

static bool edge_of_level(Resolver *r, int thing, Field field, double *value) {
    const bool ground = r->scene->things[thing].role == ROLE_GROUND;
    if (!resolve(r, ground ? NODE_GROUND : NODE_BASE, 0, NOWHERE)) return false;
    const Trapezoid *t = ground ? &r->plan->ground_outline : &r->plan->base_outline;
    switch (field) {
    case FIELD_LEFT:
        *value = fmin(t->front_left_mm, t->rear_left_mm);
        return true;
    case FIELD_RIGHT:
        *value = fmax(t->front_right_mm, t->rear_right_mm);
        return true;
    case FIELD_FRONT:
        *value = t->front_mm;
        return true;
    case FIELD_REAR:
        *value = t->rear_mm;
        return true;
    case FIELD_TOP:
        *value = ground ? 0 : -r->plan->ground_thick_mm;
        return true;
    default:
        *value = -r->plan->ground_thick_mm - (ground ? 0 : r->plan->base_thick_mm);
        return true;
    }
}

static bool upright_edge(Resolver *r, int thing, Field field, double *value) {
    double tall;
    if (!placed(r, thing, FIELD_UP, value)) return false;
    if (field == FIELD_FOOT) return true;
    if (!resolve_field(r, thing, FIELD_TALL, &tall)) return false;
    resolve_because(r, NULL, "its foot and its height");
    *value += tall;
    return true;
}

/* Extremes of the turned footprint, the whole row (rule 30). */
static bool plan_edge(Resolver *r, int thing, Field field, double *value) {
    PlanThing outline = {.thing = &r->scene->things[thing]};
    double count = 1;
    if (!resolve(r, NODE_PLACE, thing, NOWHERE) || !resolve_field(r, thing, FIELD_WIDE, &outline.wide_mm) ||
        !resolve_field(r, thing, FIELD_DEEP, &outline.deep_mm) ||
        !resolve_field(r, thing, FIELD_EVERY, &outline.row_every_mm) ||
        !resolve_field(r, thing, FIELD_COUNT_OF, &count))
        return false;
    outline.at = r->plan->things[thing].at;
    outline.turn_rad = r->plan->things[thing].turn_rad;
    outline.row_count = (int)count;
    outline.left_mm = INFINITY;
    shape_measure(&outline);
    resolve_because(r, "rule 30", "an extreme of its footprint as turned");
    *value = field == FIELD_LEFT    ? outline.left_mm
             : field == FIELD_RIGHT ? outline.right_mm
             : field == FIELD_FRONT ? outline.front_mm
                                    : outline.rear_mm;
    return isfinite(outline.left_mm);
}

/* A mound rises from the flat ground, a hollow sinks into it. */
static bool edge_of_mound(Resolver *r, int thing, Field field, double *value) {
    double at, size;
    if (field == FIELD_TOP || field == FIELD_FOOT) {
        const bool hollow = r->scene->things[thing].role == ROLE_HOLLOW;
        if (!resolve_field(r, thing, FIELD_TALL, &size)) return false;
        *value = field == FIELD_TOP ? (hollow ? 0 : size) : (hollow ? -size : 0);
        return true;
    }
    const bool across = field == FIELD_LEFT || field == FIELD_RIGHT;
    if (!resolve_field(r, thing, across ? FIELD_ACROSS : FIELD_BACK, &at) ||
        !resolve_field(r, thing, across ? FIELD_WIDE : FIELD_DEEP, &size))
        return false;
    *value = at + (field == FIELD_LEFT || field == FIELD_FRONT ? -size / 2 : size / 2);
    return true;
}

static bool default_edge(Resolver *r, int thing, Field field, double *value) {
    const ThingRole role = r->scene->things[thing].role;
    if (role == ROLE_GROUND || role == ROLE_BASE) return edge_of_level(r, thing, field, value);
    if (role == ROLE_OPENING) return not_stated(r, r->scene->things[thing].slot[field]);
    if (role == ROLE_MOUND || role == ROLE_HOLLOW) return edge_of_mound(r, thing, field, value);
    if (field == FIELD_TOP || field == FIELD_FOOT) return upright_edge(r, thing, field, value);
    return plan_edge(r, thing, field, value);
}

static bool thing_default(Resolver *r, int thing, Field field, double *value) {
    const ThingRole role = r->scene->things[thing].role;
    const bool on_set = role != ROLE_MOUND && role != ROLE_HOLLOW && role != ROLE_OPENING &&
                        role != ROLE_GROUND && role != ROLE_BASE;
    switch (field) {
    case FIELD_WIDE:
        return default_wide(r, thing, value);
    case FIELD_TALL:
        return default_tall(r, thing, value);
    case FIELD_DEEP:
        return default_deep(r, thing, value);
    case FIELD_THICK:
        return default_thick(r, thing, value);
    case FIELD_EYES:
        return same_as(r, thing, FIELD_TALL, "unstated: 0.9 of its height", 0.9, value);
    case FIELD_ACROSS:
    case FIELD_BACK:
        if (!on_set) {
            if (role == ROLE_OPENING) return fixed(r, "unstated: in the middle", 0, value);
            return missing(r, thing, "at", "write `at: {across: ..., back: ...}`");
        }
        return placed(r, thing, field, value);
    case FIELD_UP:
        return on_set ? placed(r, thing, field, value) : fixed(r, "unstated: none", 0, value);
    case FIELD_TURN:
    case FIELD_EVERY:
    case FIELD_MARGIN:
    case FIELD_LIP:
        return fixed(r, "unstated: none", 0, value);
    case FIELD_COUNT_OF:
        return fixed(r, "unstated: one", 1, value);
    case FIELD_STEPS:
        return fixed(r, "unstated: three steps", 3, value);
    case FIELD_LEFT:
    case FIELD_RIGHT:
    case FIELD_FRONT:
    case FIELD_REAR:
    case FIELD_TOP:
    case FIELD_FOOT:
        return default_edge(r, thing, field, value);
    default:
        return not_stated(r, r->scene->things[thing].slot[field]);
    }
}

/* Words of the camera that the solved camera gives. */
static bool camera_default(Resolver *r, int shot, int slot, double *value) {
    const Shot *it = &r->scene->shots[shot];
    if (slot != it->lens && slot != it->distance && slot != it->height && slot != it->tilt &&
        slot != it->across && slot != it->horizon && slot != it->frame)
        return false;
    if (!resolve(r, NODE_CAMERA, shot, NOWHERE)) return false;
    const PlanShot *planned = &r->plan->shots[shot];
    const Camera *camera = &planned->cameras[0].camera;
    resolve_because(r, "rules 14 to 16", "as the camera is solved");
    *value = slot == it->lens       ? camera->focal_mm
             : slot == it->distance ? camera->distance_mm + planned->mark.back_mm
             : slot == it->height   ? camera->height_mm
             : slot == it->tilt     ? camera->tilt_rad
             : slot == it->across   ? camera->across_mm - planned->mark.across_mm
             : slot == it->horizon
                 ? camera_horizon_mm(camera, &planned->picture)
                 : camera_frame_mm(camera, &planned->picture, planned->mark.back_mm, planned->mark.up_mm);
    return true;
}

static bool shot_default(Resolver *r, int shot, int slot, bool *handled, double *value) {
    const Shot *it = &r->scene->shots[shot];
    *handled = true;
    if (slot == it->bleed || slot == it->safe || slot == it->gutter || slot == it->crop_across ||
        slot == it->crop_up || slot == it->mark_across || slot == it->mark_back || slot == it->spare)
        return fixed(r, "unstated: none", 0, value);
    if (slot == it->crop_uses) return fixed(r, "unstated: as large as fits", 1, value);
    const bool of_page = page_default(r, shot, slot, handled, value);
    if (*handled) return of_page;
    *handled = true;
    if (slot == it->print) return fixed(r, "unstated: 300 pixels an inch", 300, value);
    if (slot == it->drawing_wide) {
        if (!resolve(r, NODE_PICTURE, shot, NOWHERE)) return false;
        resolve_because(r, "rule 3", "unstated: print size");
        *value = r->plan->shots[shot].picture.drawing_wide_mm;
        return true;
    }
    if (slot == it->lens || slot == it->distance || slot == it->height || slot == it->tilt ||
        slot == it->across || slot == it->horizon || slot == it->frame)
        return camera_default(r, shot, slot, value);
    *handled = false;
    return false;
}

/* Under the flat ground by ground, base and table. */
static bool floor_top(Resolver *r, double *value) {
    double ground_mm, base_mm = 0, table_mm;
    if (!slot_stated(r, r->scene->table_tall)) return not_stated(r, r->scene->table_tall);
    if (!resolve_field(r, r->plan->ground, FIELD_THICK, &ground_mm) ||
        !resolve_slot(r, r->scene->table_tall, NOWHERE, &table_mm) ||
        (r->plan->base >= 0 && !resolve_field(r, r->plan->base, FIELD_THICK, &base_mm)))
        return false;
    resolve_because(r, "rule 90", "under the flat ground by ground, base and table");
    *value = -(ground_mm + base_mm + table_mm);
    return true;
}

bool make_default(Resolver *r, int slot, double *value) {
    const Scene *scene = r->scene;
    if (slot == scene->agree) return fixed(r, "unstated: 1 mm on the drawing", 1, value);
    if (slot == scene->cut)
        return fixed(r, scene->lengths == STYLE_FEET_INCHES ? "unstated: 1/8 in" : "unstated: 1 mm",
                     scene->lengths == STYLE_FEET_INCHES ? MM_PER_INCH / 8 : 1, value);
    if (slot == scene->floor_top) return floor_top(r, value);
    for (size_t c = 0; c < scene->cast_count; c++) {
        if (scene->cast[c].eyes != slot) continue;
        if (!resolve_slot(r, scene->cast[c].tall, NOWHERE, value)) return false;
        resolve_because(r, "rule 7", "unstated: 0.9 of its height");
        *value *= 0.9;
        return true;
    }
    if (r->owner[slot] >= 0) return thing_default(r, r->owner[slot], r->owner_field[slot], value);
    for (size_t s = 0; s < scene->shot_count; s++) {
        bool handled;
        const bool known = shot_default(r, (int)s, slot, &handled, value);
        if (handled) return known;
    }
    return not_stated(r, slot);
}
