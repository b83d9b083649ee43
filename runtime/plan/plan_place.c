/* Where things stand, and what drawn lengths are worth there. docs/geometry.md, rules 30 to 34. */
#include "base/text.h"
#include "plan/resolve.h"
#include "plan/shape.h"

#include <math.h>

static const Span NOWHERE = {0};

static bool has_front(const Thing *thing) {
    return !thing->lead && (thing->shape == SHAPE_BOX || thing->shape == SHAPE_WEDGE ||
                            thing->shape == SHAPE_STEPS || thing->shape == SHAPE_CUTOUT);
}

/* From where the drawn foot is measured back to the middle of the footprint, or the other way (sign -1). */
static bool across_the_depth(Resolver *r, int index, int sign, Point3 *point) {
    const Thing *thing = &r->scene->things[index];
    double deep, turn;
    if (!resolve_field(r, index, FIELD_TURN, &turn)) return false;
    r->plan->things[index].turn_rad = turn;
    if (!has_front(thing)) return true;
    if (!resolve_field(r, index, FIELD_DEEP, &deep)) return false;
    point->across_mm += sign * deep / 2 * sin(turn);
    point->back_mm += sign * deep / 2 * cos(turn);
    return true;
}

bool make_mounds(Resolver *r) {
    bool known = true;
    resolve_because(r, "rule 34", "mounds and hollows of the ground");
    for (size_t i = 0; i < r->scene->thing_count; i++) {
        const ThingRole role = r->scene->things[i].role;
        if (role != ROLE_MOUND && role != ROLE_HOLLOW) continue;
        PlanThing *mound = &r->plan->things[i];
        const Thing *thing = &r->scene->things[i];
        const SlotInto wanted[] = {{thing->slot[FIELD_WIDE], &mound->wide_mm},
                                   {thing->slot[FIELD_DEEP], &mound->deep_mm},
                                   {thing->slot[FIELD_TALL], &mound->tall_mm},
                                   {thing->slot[FIELD_ACROSS], &mound->at.across_mm},
                                   {thing->slot[FIELD_BACK], &mound->at.back_mm}};
        known = resolve_all(r, wanted, sizeof wanted / sizeof *wanted) && known;
    }
    return known;
}

static bool ground_under(Resolver *r, double across_mm, double back_mm, double *up_mm) {
    if (!resolve(r, NODE_MOUNDS, 0, NOWHERE)) return false;
    *up_mm = plan_ground_mm(r->plan, across_mm, back_mm);
    return true;
}

/* The height on which a thing stands, where that does not hang on its place: atop another, or hung. */
static bool level_of(Resolver *r, int index, bool *level, double *up_mm) {
    const Thing *thing = &r->scene->things[index];
    *level = true;
    if (thing->atop >= 0)
        return resolve_slot(r, r->scene->things[thing->atop].slot[FIELD_TOP], thing->atop_span, up_mm);
    if (field_stated(r, index, FIELD_UP)) {
        r->plan->things[index].hung = true;
        return resolve_field(r, index, FIELD_UP, up_mm);
    }
    *level = false;
    return true;
}

/* --- drawn feet
 * --------------------------------------------------------------------------------------------- */

typedef struct DrawnFoot {
    double x_mm, y_mm;
    const Camera *camera;
    const PlanShot *shot;
} DrawnFoot;

static bool drawn_foot(Resolver *r, int index, DrawnFoot *foot) {
    const int shot = shot_of(r, index);
    const Thing *thing = &r->scene->things[index];
    if (!resolve(r, NODE_CAMERA, shot, NOWHERE) ||
        !resolve_slot(r, thing->slot[FIELD_DRAWN_X], NOWHERE, &foot->x_mm) ||
        !resolve_slot(r, thing->slot[FIELD_DRAWN_Y], NOWHERE, &foot->y_mm))
        return false;
    foot->shot = &r->plan->shots[shot];
    foot->camera = &foot->shot->cameras[0].camera;
    const double px = foot->shot->drawn_px_per_mm;
    if (px > 0) {
        foot->x_mm /= px;
        foot->y_mm /= px;
    }
    return true;
}

static void above_the_horizon(Resolver *r, int index, const DrawnFoot *foot) {
    const Thing *thing = &r->scene->things[index];
    Diagnostic *d = diagnostics_error(
        r->diagnostics, slot_span(r, thing->slot[FIELD_DRAWN_Y]),
        "the foot of `%s` is drawn above the horizon (%s), so it meets the ground nowhere", thing->name,
        said_drawn(r, shot_of(r, index), camera_horizon_mm(foot->camera, &foot->shot->picture), 1));
    diagnostic_help(
        r->diagnostics, d,
        "lower the foot, raise the camera, or say where it stands: `at: {across: ..., back: ...}`");
}

static void at_the_horizon(Resolver *r, int index, const DrawnFoot *foot) {
    const Thing *thing = &r->scene->things[index];
    Diagnostic *d = diagnostics_error(
        r->diagnostics, slot_span(r, thing->slot[FIELD_DRAWN_Y]),
        "the foot of `%s` is drawn less than 2 mm under the horizon (%s): where it stands cannot "
        "be told from it",
        thing->name,
        said_drawn(r, shot_of(r, index), camera_horizon_mm(foot->camera, &foot->shot->picture), 1));
    diagnostic_help(r->diagnostics, d, "say where it stands: `at: {back: ...}`");
}

/* The first meeting of the foot's ray with ground that has mounds: march, then halve. Steps are a 400th of
 * the way to where the ray leaves the depth of hollows, short against any mound that can be cut. */
static Point3 meet_mounds(const Resolver *r, Point3 lens, Point3 flat, double lowest_mm) {
    const double down = lens.up_mm - flat.up_mm;
    const double last = (lens.up_mm - lowest_mm) / down;
    double low = 0, high = last;
    enum { STEPS = 400 };
    for (int i = 1; i <= STEPS; i++) {
        const double t = last * i / STEPS;
        const double across = lens.across_mm + t * (flat.across_mm - lens.across_mm);
        const double back = lens.back_mm + t * (flat.back_mm - lens.back_mm);
        if (lens.up_mm - t * down <= plan_ground_mm(r->plan, across, back)) {
            high = t;
            low = last * (i - 1) / STEPS;
            break;
        }
    }
    for (int i = 0; i < 60; i++) {
        const double t = (low + high) / 2;
        const double across = lens.across_mm + t * (flat.across_mm - lens.across_mm);
        const double back = lens.back_mm + t * (flat.back_mm - lens.back_mm);
        if (lens.up_mm - t * down <= plan_ground_mm(r->plan, across, back))
            high = t;
        else
            low = t;
    }
    return (Point3){lens.across_mm + high * (flat.across_mm - lens.across_mm),
                    lens.back_mm + high * (flat.back_mm - lens.back_mm), lens.up_mm - high * down};
}

static bool foot_on_ground(Resolver *r, int index, const DrawnFoot *foot, Point3 *point) {
    const Picture *picture = &foot->shot->picture;
    const double horizon = camera_horizon_mm(foot->camera, picture);
    if (foot->y_mm >= horizon) {
        above_the_horizon(r, index, foot);
        return false;
    }
    if (horizon - foot->y_mm < 2 ||
        !camera_on_level(foot->camera, picture, foot->x_mm, foot->y_mm, 0, point)) {
        at_the_horizon(r, index, foot);
        return false;
    }
    if (!resolve(r, NODE_MOUNDS, 0, NOWHERE)) return false;
    double lowest = 0;
    bool mounds = false;
    for (size_t i = 0; i < r->scene->thing_count; i++) {
        const ThingRole role = r->scene->things[i].role;
        mounds |= role == ROLE_MOUND || role == ROLE_HOLLOW;
        if (role == ROLE_HOLLOW) lowest -= r->plan->things[i].tall_mm;
    }
    if (mounds) {
        const Point3 lens = {foot->camera->across_mm, -foot->camera->distance_mm, foot->camera->height_mm};
        *point = meet_mounds(r, lens, *point, lowest);
    }
    return true;
}

/* A drawn foot and a height say how far back a thing stands: a stated `back` is one too many. */
static bool both_level_and_back(Resolver *r, int index) {
    const Thing *thing = &r->scene->things[index];
    Diagnostic *d = diagnostics_error(
        r->diagnostics, slot_span(r, thing->slot[FIELD_BACK]),
        "`back` of `%s` follows from its drawn foot and %s", thing->name,
        thing->atop >= 0 ? arena_format(r->arena, "`atop: %s`", r->scene->things[thing->atop].name) : "`up`");
    diagnostic_help(r->diagnostics, d, "leave one of the three out, or give `across` too");
    return false;
}

/* The point that a thing's drawn foot shows. */
static bool foot_by_drawing(Resolver *r, int index, Point3 *point) {
    DrawnFoot foot;
    bool level;
    double up_mm = 0;
    if (!drawn_foot(r, index, &foot) || !level_of(r, index, &level, &up_mm)) return false;
    const Picture *picture = &foot.shot->picture;
    if (field_stated(r, index, FIELD_BACK)) {
        Point3 middle = {0};
        if (level) return both_level_and_back(r, index);
        resolve_because(r, "rule 33", "the ray through its drawn foot, met where `back` says");
        if (!resolve_field(r, index, FIELD_BACK, &middle.back_mm) || !across_the_depth(r, index, -1, &middle))
            return false;
        if (!camera_on_upright(foot.camera, picture, foot.x_mm, foot.y_mm, middle.back_mm, point)) {
            diagnostics_error(r->diagnostics, slot_span(r, r->scene->things[index].slot[FIELD_BACK]),
                              "`%s` would stand behind the camera", r->scene->things[index].name);
            return false;
        }
        double ground;
        if (!ground_under(r, point->across_mm, point->back_mm, &ground)) return false;
        r->plan->things[index].hung = fabs(point->up_mm - ground) > 1;
        return true;
    }
    if (!level) {
        resolve_because(r, "rule 33", "the ray through its drawn foot, met with the ground");
        return foot_on_ground(r, index, &foot, point);
    }
    resolve_because(r, "rule 33", "the ray through its drawn foot, met at the height on which it stands");
    if (camera_on_level(foot.camera, picture, foot.x_mm, foot.y_mm, up_mm, point)) return true;
    Diagnostic *d =
        diagnostics_error(r->diagnostics, slot_span(r, r->scene->things[index].slot[FIELD_DRAWN_Y]),
                          "the foot of `%s` is drawn where nothing %s up can show",
                          r->scene->things[index].name, said_length(r, up_mm));
    diagnostic_help(r->diagnostics, d, "say how far back it is instead: `at: {back: ...}`");
    return false;
}

/* --- places
 * ------------------------------------------------------------------------------------------------- */

static bool stands_at_mark(Resolver *r, int index, Point3 *at) {
    for (size_t s = 0; s < r->scene->shot_count; s++) {
        const Shot *shot = &r->scene->shots[s];
        if (shot->lead != index) continue;
        at->across_mm = at->back_mm = 0;
        if (slot_stated(r, shot->mark_across) && !resolve_slot(r, shot->mark_across, NOWHERE, &at->across_mm))
            return false;
        if (slot_stated(r, shot->mark_back) && !resolve_slot(r, shot->mark_back, NOWHERE, &at->back_mm))
            return false;
        break;
    }
    resolve_because(r, "rule 9", "the leading one stands at the mark");
    return true;
}

static void say_where(Resolver *r, int index) {
    const Thing *thing = &r->scene->things[index];
    Diagnostic *d =
        diagnostics_error(r->diagnostics, thing->span, "it is not said where `%s` stands", thing->name);
    diagnostic_help(r->diagnostics, d,
                    thing->role == ROLE_FLAT || thing->role == ROLE_BACKDROP
                        ? "write `at: {back: ...}`, or `drawn: {foot: [x, y]}`"
                        : "write `at: {across: ..., back: ...}`, or `drawn: {foot: [x, y]}`");
}

/* A panel that leaves `across` out stands in the middle of what it covers, else plumb under the lens's axis.
 */
static bool middle_of_panel(Resolver *r, int index, double *across_mm) {
    const Slot *wide = &r->scene->slots[r->scene->things[index].slot[FIELD_WIDE]];
    bool covers = !wide->stated && r->scene->things[index].role == ROLE_BACKDROP &&
                  !field_stated(r, index, FIELD_DRAWN_WIDE);
    for (size_t i = 0; wide->stated && i < wide->formula.count; i++)
        covers |= wide->formula.steps[i].op == FORMULA_COVER;
    if (covers) {
        resolve_because(r, "rule 27", "`across` left out: the middle of what it covers");
        return make_cover(r, index, FIELD_ACROSS, NOWHERE, across_mm);
    }
    resolve_because(r, "rule 27", "`across` left out: plumb under the lens's axis");
    if (!resolve(r, NODE_CAMERA, shot_of(r, index), NOWHERE)) return false;
    *across_mm = r->plan->shots[shot_of(r, index)].cameras[0].camera.across_mm;
    return true;
}

static bool place_by_words(Resolver *r, int index, Point3 *at) {
    const Thing *thing = &r->scene->things[index];
    if (!field_stated(r, index, FIELD_BACK)) {
        say_where(r, index);
        return false;
    }
    resolve_because(r, "rule 30", "where `at` says");
    if (!resolve_field(r, index, FIELD_BACK, &at->back_mm)) return false;
    if (field_stated(r, index, FIELD_ACROSS)) return resolve_field(r, index, FIELD_ACROSS, &at->across_mm);
    if (thing->shape == SHAPE_PANEL) return middle_of_panel(r, index, &at->across_mm);
    say_where(r, index);
    return false;
}

/* Rule 28: behind the ground's back edge the frame sees under a backdrop that stops at the flat ground. */
static bool foot_of_backdrop(Resolver *r, double back_mm, double *up_mm) {
    double rear_mm;
    const Thing *ground = &r->scene->things[r->plan->ground];
    *up_mm = 0;
    if (!slot_stated(r, ground->slot[FIELD_REAR])) return true;
    if (!resolve_field(r, r->plan->ground, FIELD_REAR, &rear_mm)) return false;
    if (back_mm <= rear_mm) return true;
    for (size_t s = 0; s < r->scene->shot_count; s++) {
        if (!resolve(r, NODE_CAMERAS, (int)s, NOWHERE)) return false;
    }
    *up_mm = number_round_down(foot_under_backdrop_mm(r, back_mm, rear_mm),
                               r->plan->cut_mm > 0 ? r->plan->cut_mm : 1);
    return true;
}

static bool height_of_place(Resolver *r, int index, Point3 *at) {
    bool level;
    if (!level_of(r, index, &level, &at->up_mm)) return false;
    if (level) return true;
    if (r->scene->things[index].role == ROLE_BACKDROP) return foot_of_backdrop(r, at->back_mm, &at->up_mm);
    return ground_under(r, at->across_mm, at->back_mm, &at->up_mm);
}

static bool placed_by_drawing(const Resolver *r, int index) {
    const Thing *thing = &r->scene->things[index];
    if (thing->lead || !slot_stated(r, thing->slot[FIELD_DRAWN_X])) return false;
    return !(field_stated(r, index, FIELD_ACROSS) && field_stated(r, index, FIELD_BACK));
}

static bool is_centred_panel(const Resolver *r, int index) {
    const Thing *thing = &r->scene->things[index];
    return thing->shape == SHAPE_PANEL && !thing->lead && !placed_by_drawing(r, index) &&
           field_stated(r, index, FIELD_BACK) && !field_stated(r, index, FIELD_ACROSS);
}

static bool foot_of_centred_panel(Resolver *r, int index, Point3 *point);

bool make_foot(Resolver *r, int index) {
    Point3 *foot = &r->feet[index];
    if (placed_by_drawing(r, index)) return foot_by_drawing(r, index, foot);
    if (!resolve(r, NODE_PLACE, index, NOWHERE)) return false;
    *foot = r->plan->things[index].at;
    return across_the_depth(r, index, -1, foot);
}

bool make_place(Resolver *r, int index) {
    const Thing *thing = &r->scene->things[index];
    PlanThing *planned = &r->plan->things[index];
    Point3 at = {0};
    if (placed_by_drawing(r, index)) {
        if (field_stated(r, index, FIELD_ACROSS)) {
            Diagnostic *d = diagnostics_error(r->diagnostics, slot_span(r, thing->slot[FIELD_ACROSS]),
                                              "`across` of `%s` follows from its drawn foot", thing->name);
            diagnostic_help(r->diagnostics, d, "leave one of the two out, or give `back` too");
            return false;
        }
        if (!resolve(r, NODE_FOOT, index, NOWHERE)) return false;
        at = r->feet[index];
        if (!across_the_depth(r, index, 1, &at)) return false;
        resolve_because(r, "rule 30", "half its depth behind its drawn foot");
    } else if (thing->lead) {
        if (!stands_at_mark(r, index, &at) || !height_of_place(r, index, &at)) return false;
    } else {
        if (!place_by_words(r, index, &at)) return false;
        const double across = at.across_mm;
        if (is_centred_panel(r, index) ? !foot_of_centred_panel(r, index, &at)
                                       : !height_of_place(r, index, &at))
            return false;
        at.across_mm = across;
    }
    planned->at = at;
    return resolve_field(r, index, FIELD_TURN, &planned->turn_rad);
}

/* --- drawn lengths
 * ------------------------------------------------------------------------------------------ */

/* The foot of a panel that leaves `across` out, plumb under the lens's axis: what it covers hangs on its
 * height, and its height as drawn must not hang on what it covers. Heights and widths are the same all along
 * it. */
static bool foot_of_centred_panel(Resolver *r, int index, Point3 *point) {
    if (!resolve(r, NODE_CAMERA, shot_of(r, index), NOWHERE) ||
        !resolve_field(r, index, FIELD_BACK, &point->back_mm))
        return false;
    point->across_mm = r->plan->shots[shot_of(r, index)].cameras[0].camera.across_mm;
    return height_of_place(r, index, point);
}

bool panel_foot(Resolver *r, int index, Point3 *foot, bool *centred) {
    *centred = is_centred_panel(r, index);
    if (*centred) return foot_of_centred_panel(r, index, foot);
    if (!resolve(r, NODE_FOOT, index, NOWHERE)) return false;
    *foot = r->feet[index];
    return true;
}

/* The point in whose upright plane a size of a thing is measured on the drawing. A depth is measured from the
 * middle where the middle is what is stated: its front is not known without it. */
static bool measured_at(Resolver *r, int thing, Field field, Point3 *point) {
    if (is_centred_panel(r, thing)) return foot_of_centred_panel(r, thing, point);
    const bool by_middle = (field == FIELD_DEEP || field == FIELD_THICK) && !placed_by_drawing(r, thing);
    if (!resolve(r, by_middle ? NODE_PLACE : NODE_FOOT, thing, NOWHERE)) return false;
    *point = by_middle ? r->plan->things[thing].at : r->feet[thing];
    return true;
}

bool make_drawn(Resolver *r, int thing, Field field, double drawn_mm, Span reference, double *real) {
    const int shot = shot_of(r, thing);
    Point3 foot, top;
    double x, y;
    if (!resolve(r, NODE_CAMERA, shot, reference)) return false;
    if (r->scene->things[thing].role == ROLE_OPENING) /* in the plane of its flat */
        thing = r->scene->things[thing].parent;
    if (!measured_at(r, thing, field, &foot)) return false;
    const PlanShot *s = &r->plan->shots[shot];
    const Camera *camera = &s->cameras[0].camera;
    if (!camera_project(camera, &s->picture, foot, &x, &y, NULL)) {
        diagnostics_error(r->diagnostics, reference,
                          "`%s` stands behind the camera: it cannot be measured on the drawing",
                          r->scene->things[thing].name);
        return false;
    }
    if (field != FIELD_TALL && field != FIELD_EYES && field != FIELD_UP) {
        *real = drawn_mm * camera_scale(camera, &s->picture, foot);
        return true;
    }
    if (!camera_on_upright(camera, &s->picture, x, y + drawn_mm, foot.back_mm, &top)) {
        diagnostics_error(r->diagnostics, reference, "so tall a thing leaves the picture behind the camera");
        return false;
    }
    *real = top.up_mm - foot.up_mm;
    return true;
}
