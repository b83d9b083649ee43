/* Where a plan would not be what is drawn, or could not be built: warnings, each with a stable word.
 * docs/geometry.md, rules 7, 25, 28, 29, 33 and 35; docs/language.md, "Warnings". */
#include "base/text.h"
#include "plan/plan_warnings.h"
#include "plan/resolve.h"
#include "plan/shape.h"
#include "plan/sharp_together.h"

#include <math.h>

static const Span NOWHERE = {0};

void plan_warn(Resolver *r, const char *word, const char *thing, Span span, const char *help,
               const char *message) {
    plan_add_warning(r->plan, r->diagnostics, word, thing, span, help, message);
}

/* --- drawn against real (rule 35)
 * --------------------------------------------------------------------------- */

static double drawn_value(const Resolver *r, int thing, Field field) {
    const PlanShot *shot = &r->plan->shots[shot_of(r, thing)];
    const double value = r->plan->values[r->scene->things[thing].slot[field]];
    return shot->drawn_px_per_mm > 0 ? value / shot->drawn_px_per_mm : value;
}

/* How tall a real height would be drawn with its foot on the ground at `back_mm`, on the ray through x of the
 * drawing. */
static double drawn_tall_at(const Camera *camera, const Picture *picture, double x_mm, double back_mm,
                            double tall_mm, Point3 *foot, double *foot_y_mm) {
    double x, head_y;
    /* across of the ground point that shows at x: linear in its depth */
    const Point3 middle = {camera->across_mm, back_mm, 0};
    const double scale = camera_scale(camera, picture, middle);
    double middle_x, y;
    if (!camera_project(camera, picture, middle, &middle_x, &y, NULL)) return NAN;
    *foot = (Point3){camera->across_mm + (x_mm - middle_x) * scale, back_mm, 0};
    const Point3 head = {foot->across_mm, back_mm, tall_mm};
    if (!camera_project(camera, picture, *foot, &x, foot_y_mm, NULL) ||
        !camera_project(camera, picture, head, &x, &head_y, NULL))
        return NAN;
    return head_y - *foot_y_mm;
}

/* The place on the flat ground, at the same x of the drawing, where the real height is drawn right. */
static bool place_that_cures(const Camera *camera, const Picture *picture, double x_mm, double tall_mm,
                             double drawn_mm, Point3 *foot, double *foot_y_mm) {
    double near = -0.9 * camera->distance_mm, far = 20 * fabs(camera->distance_mm) + 1000;
    for (int i = 0; i < 100; i++) {
        const double middle = (near + far) / 2;
        const double drawn = drawn_tall_at(camera, picture, x_mm, middle, tall_mm, foot, foot_y_mm);
        if (!(drawn < drawn_mm)) /* nearer is taller; behind the lens is nearer still */
            near = middle;
        else
            far = middle;
    }
    const double drawn = drawn_tall_at(camera, picture, x_mm, far, tall_mm, foot, foot_y_mm);
    return fabs(drawn - drawn_mm) < 1e-3;
}

static const char *drawn_tall_cure(Resolver *r, int index, double drawn_mm) {
    const PlanThing *thing = &r->plan->things[index];
    const PlanShot *shot = &r->plan->shots[shot_of(r, index)];
    const Camera *camera = &shot->cameras[0].camera;
    const Point3 foot = plan_drawn_foot(thing);
    double x, y, y_cure;
    Point3 top, cure;
    if (!camera_project(camera, &shot->picture, foot, &x, &y, NULL) ||
        !camera_on_upright(camera, &shot->picture, x, y + drawn_mm, foot.back_mm, &top))
        return NULL;
    const char *size = arena_format(r->arena, "%s tall",
                                    length_one(r->arena, r->scene->lengths, top.up_mm - foot.up_mm, 8, 0));
    if (thing->hung || thing->thing->atop >= 0 || thing->thing->lead ||
        !place_that_cures(camera, &shot->picture, x, thing->tall_mm, drawn_mm, &cure, &y_cure) ||
        plan_ground_mm(r->plan, cure.across_mm, cure.back_mm) != 0) /* flat ground is reckoned with */
        return arena_format(r->arena, "it would agree %s", size);
    const bool in_front = cure.back_mm < 0;
    const char *away = length_one(r->arena, r->scene->lengths, fabs(cure.back_mm), 8, 0);
    return arena_format(r->arena, "it would agree at %s %s (foot at %s), or %s", away,
                        in_front ? "in front of the mark" : "back",
                        said_drawn(r, shot_of(r, index), y_cure, 0), size);
}

/* A puppet that settled the camera is not checked against it: its residuals stand with the camera's. */
static bool settled_the_camera(const Resolver *r, int index) {
    const PlanShot *shot = &r->plan->shots[shot_of(r, index)];
    const double x = drawn_value(r, index, FIELD_DRAWN_X), y = drawn_value(r, index, FIELD_DRAWN_Y);
    for (size_t i = 0; i < shot->solution.others_used; i++) {
        if (shot->problem.others[i].foot_x_mm == x && shot->problem.others[i].foot_y_mm == y)
            return r->scene->things[index].role == ROLE_PUPPET;
    }
    return false;
}

static void check_drawn_tall(Resolver *r, int index, const PlanView *view) {
    const Thing *thing = &r->scene->things[index];
    const int slot = thing->slot[FIELD_DRAWN_TALL];
    const bool both = field_stated(r, index, FIELD_TALL) || thing->role == ROLE_PUPPET;
    if (!slot_stated(r, slot) || !both || thing->lead || settled_the_camera(r, index)) return;
    const int shot = shot_of(r, index);
    const double drawn = drawn_value(r, index, FIELD_DRAWN_TALL);
    const double apart = fabs(view->tall_mm - drawn);
    if (apart <= r->plan->agree_mm) return;
    const char *message =
        arena_format(r->arena, "`%s` is drawn %s tall, but %s standing there shows as %s: %s apart",
                     thing->name, said_drawn(r, shot, drawn, fabs(drawn - round(drawn)) < 0.05 ? 0 : 1),
                     said_length(r, r->plan->things[index].tall_mm), said_drawn(r, shot, view->tall_mm, 1),
                     said_drawn(r, shot, apart, 1));
    plan_warn(r, "drawn-apart", thing->name, slot_span(r, slot), drawn_tall_cure(r, index, drawn), message);
}

/* How wide a thing shows as it is turned: between the outermost corners of its footprint. */
static bool shown_wide(const PlanThing *thing, const Camera *camera, const Picture *picture,
                       double *wide_mm) {
    Point2 corners[FOOTPRINT_MOST];
    const size_t count = shape_footprint(thing, 0, corners);
    double left = INFINITY, right = -INFINITY, x, y;
    for (size_t i = 0; i < count; i++) {
        if (!camera_project(camera, picture,
                            (Point3){corners[i].across_mm, corners[i].back_mm, thing->foot_mm}, &x, &y, NULL))
            return false;
        left = fmin(left, x);
        right = fmax(right, x);
    }
    *wide_mm = right - left;
    return count > 0;
}

/* Rule 31 takes a drawn width as if unturned; what it shows as turned is compared here. */
static void check_drawn_wide(Resolver *r, int index, const PlanView *view) {
    const Thing *thing = &r->scene->things[index];
    const PlanThing *planned = &r->plan->things[index];
    const int slot = thing->slot[FIELD_DRAWN_WIDE], shot = shot_of(r, index);
    const bool turned =
        fabs(planned->turn_rad) > RADIANS(0.5) && thing->shape != SHAPE_POST && thing->shape != SHAPE_CONE;
    const bool both = field_stated(r, index, FIELD_WIDE) || thing->role == ROLE_PUPPET || turned;
    if (!slot_stated(r, slot) || !both) return;
    const double drawn = drawn_value(r, index, FIELD_DRAWN_WIDE);
    double shown = view->wide_mm;
    if (turned &&
        !shown_wide(planned, &r->plan->shots[shot].cameras[0].camera, &r->plan->shots[shot].picture, &shown))
        return;
    const double apart = fabs(shown - drawn);
    if (apart <= r->plan->agree_mm) return;
    const char *message = arena_format(
        r->arena, "`%s` is drawn %s wide, but %s wide%s it shows as %s: %s apart", thing->name,
        said_drawn(r, shot, drawn, 1), said_length(r, planned->wide_mm), turned ? " and turned" : "",
        said_drawn(r, shot, shown, 1), said_drawn(r, shot, apart, 1));
    const double facing = cos(planned->turn_rad);
    const char *help =
        !turned ? arena_format(r->arena, "it would agree %s wide",
                               length_one(r->arena, r->scene->lengths, drawn * view->scale, 8, 0))
        : facing > 0.25
            ? arena_format(r->arena,
                           "turned so it would take about `wide: %s`, stated instead of the drawn width",
                           written_length(r, planned->wide_mm * drawn / shown))
            : "so nearly edge on no width is drawn right: state `wide` instead";
    plan_warn(r, "drawn-apart", thing->name, slot_span(r, slot), help, message);
}

/* A place stated both as `at` and as a drawn foot. */
static void check_drawn_foot(Resolver *r, int index, const PlanView *view) {
    const Thing *thing = &r->scene->things[index];
    if (thing->lead || !field_stated(r, index, FIELD_DRAWN_Y) || !field_stated(r, index, FIELD_ACROSS) ||
        !field_stated(r, index, FIELD_BACK))
        return;
    const int shot = shot_of(r, index);
    const double x = drawn_value(r, index, FIELD_DRAWN_X), y = drawn_value(r, index, FIELD_DRAWN_Y);
    const double apart = hypot(view->foot_x_mm - x, view->foot_y_mm - y);
    if (apart <= r->plan->agree_mm) return;
    plan_warn(r, "drawn-apart", thing->name, slot_span(r, thing->slot[FIELD_DRAWN_X]),
              "leave `at` or the drawn foot out",
              arena_format(
                  r->arena,
                  "the foot of `%s` is drawn at [%s, %s], but standing there it shows at [%s, %s]: %s apart",
                  thing->name, said_drawn(r, shot, x, 1), said_drawn(r, shot, y, 1),
                  said_drawn(r, shot, view->foot_x_mm, 1), said_drawn(r, shot, view->foot_y_mm, 1),
                  said_drawn(r, shot, apart, 1)));
}

/* Rule 33: a drawn foot near the horizon says little about where a thing stands. */
static void check_near_horizon(Resolver *r, int index) {
    const Thing *thing = &r->scene->things[index];
    const PlanShot *shot = &r->plan->shots[shot_of(r, index)];
    if (thing->lead || thing->atop >= 0 || !field_stated(r, index, FIELD_DRAWN_Y) ||
        field_stated(r, index, FIELD_BACK) || field_stated(r, index, FIELD_UP))
        return;
    const Camera *camera = &shot->cameras[0].camera;
    const double under = camera_horizon_mm(camera, &shot->picture) - drawn_value(r, index, FIELD_DRAWN_Y);
    if (under >= 20) return;
    const double away = r->plan->things[index].at.back_mm + camera->distance_mm;
    plan_warn(
        r, "near-horizon", thing->name, slot_span(r, thing->slot[FIELD_DRAWN_Y]),
        "say how far back it stands: `at: {back: ...}`",
        arena_format(r->arena, "the foot of `%s` is drawn %s under the horizon: each %s there moves it by %s",
                     thing->name, said_drawn(r, shot_of(r, index), under, 1),
                     shot->drawn_px_per_mm > 0 ? "px" : "mm",
                     said_length(r, away / under / (shot->drawn_px_per_mm > 0 ? shot->drawn_px_per_mm : 1))));
}

static bool is_drawn_of(ThingRole role) {
    return role == ROLE_PUPPET || role == ROLE_PIECE || role == ROLE_FLAT || role == ROLE_BACKDROP;
}

static void check_drawing(Resolver *r, int index) {
    const Thing *thing = &r->scene->things[index];
    const PlanShot *shot = &r->plan->shots[shot_of(r, index)];
    if (!is_drawn_of(thing->role) || thing->faulty) return;
    const PlanView view = plan_view(&r->plan->things[index], &shot->cameras[0].camera, &shot->picture);
    if (!view.seen) {
        if (field_stated(r, index, FIELD_DRAWN_TALL) || field_stated(r, index, FIELD_DRAWN_Y))
            plan_warn(r, "behind-camera", thing->name, thing->span, NULL,
                      arena_format(r->arena, "`%s` is drawn, but stands behind the camera", thing->name));
        return;
    }
    check_drawn_tall(r, index, &view);
    check_drawn_wide(r, index, &view);
    check_drawn_foot(r, index, &view);
    check_near_horizon(r, index);
}

/* --- as built
 * ----------------------------------------------------------------------------------------------- */

/* Of what was built, only what differs from the plan is looked at: the plan itself has been. */
static bool looked_at(const Resolver *r, int index) {
    if (!r->plan->as_planned) return false;
    const PlanThing *now = &r->plan->things[index], *planned = &r->plan->as_planned[index];
    return now->at.across_mm == planned->at.across_mm && now->at.back_mm == planned->at.back_mm &&
           now->foot_mm == planned->foot_mm && now->top_mm == planned->top_mm &&
           now->turn_rad == planned->turn_rad && now->wide_mm == planned->wide_mm &&
           now->deep_mm == planned->deep_mm;
}

static const char *as_built(const Resolver *r) {
    return r->plan->as_planned ? "as built, " : "";
}

/* Where a thing is told of: as built, else in the plan. */
static Span told_span(const Resolver *r, int index) {
    for (size_t i = 0; r->plan->as_planned && i < r->scene->built_count; i++) {
        if (r->scene->built[i].thing == index) return r->scene->built[i].span;
    }
    return r->scene->things[index].span;
}

/* --- space
 * -------------------------------------------------------------------------------------------------- */

static bool takes_space(const Thing *thing) {
    return is_drawn_of(thing->role) && !thing->faulty;
}

/* Things that are made to touch: one stands atop the other, or both atop the same. */
static bool may_touch(const Thing *things, int a, int b) {
    return things[a].atop == b || things[b].atop == a;
}

/* What touches by less than a saw takes is left alone. */
static const double SLACK_MM = MM_PER_INCH / 16;

static bool items_overlap(const PlanThing *a, const PlanThing *b, double *overlap_mm) {
    Point2 first[FOOTPRINT_MOST], second[FOOTPRINT_MOST];
    if (fmin(a->top_mm, b->top_mm) - fmax(a->foot_mm, b->foot_mm) <= SLACK_MM || a->left_mm > b->right_mm ||
        b->left_mm > a->right_mm || a->front_mm > b->rear_mm || b->front_mm > a->rear_mm)
        return false;
    double most = 0, overlap;
    for (int i = 0; i < a->row_count; i++) {
        const size_t n = shape_footprint(a, i, first);
        for (int j = 0; j < b->row_count; j++) {
            const size_t m = shape_footprint(b, j, second);
            if (footprints_overlap(first, n, second, m, SLACK_MM, &overlap)) most = fmax(most, overlap);
        }
    }
    *overlap_mm = most;
    return most > 0;
}

static bool leads_with(const Resolver *r, int thing, int *shot) {
    for (size_t s = 0; s < r->scene->shot_count; s++) {
        *shot = (int)s;
        if (r->scene->shots[s].lead == thing) return true;
    }
    return false;
}

static void warn_shared_space(Resolver *r, int a, int b, double overlap_mm) {
    const Thing *things = r->scene->things;
    if (span_compare(told_span(r, a), told_span(r, b)) >
        0) { /* the later one in the file is said to stand into the other */
        const int swapped = a;
        a = b;
        b = swapped;
    }
    int shot;
    if (leads_with(r, b, &shot) && !leads_with(r, a, &shot)) {
        const int swapped = a;
        a = b;
        b = swapped;
    }
    const char *help = NULL;
    const bool hung = r->plan->as_planned || r->plan->things[a].hung || r->plan->things[b].hung;
    if (!hung && things[a].role == ROLE_PUPPET && things[b].role == ROLE_PIECE)
        help = leads_with(r, a, &shot)
                   ? arena_format(r->arena, "to put the puppet on it, write `atop: %s` under `mark`",
                                  things[b].name)
                   : arena_format(r->arena, "to put the puppet on it, write `atop: %s`", things[b].name);
    else if (!hung && things[b].role == ROLE_PUPPET && things[a].role == ROLE_PIECE)
        help = arena_format(r->arena, "to put the puppet on it, write `atop: %s`", things[a].name);
    plan_warn(r, "shared-space", things[b].name, told_span(r, b), help,
              arena_format(r->arena, "%s`%s` stands %s into %s", as_built(r), things[b].name,
                           length_one(r->arena, r->scene->lengths, overlap_mm, 8, 0), thing_phrase(r, a)));
}

/* Neighbours in a row: all are as far apart as the first two. */
static void check_row(Resolver *r, int index) {
    const PlanThing *row = &r->plan->things[index];
    Point2 first[FOOTPRINT_MOST], second[FOOTPRINT_MOST];
    double overlap_mm;
    if (row->row_count < 2) return;
    const size_t n = shape_footprint(row, 0, first), m = shape_footprint(row, 1, second);
    if (!footprints_overlap(first, n, second, m, SLACK_MM, &overlap_mm)) return;
    plan_warn(r, "shared-space", row->thing->name, slot_span(r, row->thing->slot[FIELD_EVERY]),
              "state a longer `every`",
              arena_format(r->arena, "each in the row `%s` stands %s into the next", row->thing->name,
                           length_one(r->arena, r->scene->lengths, overlap_mm, 8, 0)));
}

/* Then it has been said. */
static bool overlapped_as_planned(const Resolver *r, size_t i, size_t j) {
    const PlanThing *planned = r->plan->as_planned;
    double overlap_mm;
    return planned && items_overlap(&planned[i], &planned[j], &overlap_mm);
}

/* Of each thing the first few it shares space with: a heap of a thousand is one mistake, not half a million.
 */
static void check_space(Resolver *r) {
    enum { TOLD_MOST = 3 };
    const Scene *scene = r->scene;
    unsigned char *told = ARENA_ARRAY(r->arena, unsigned char, scene->thing_count + 1);
    for (size_t i = 0; i < scene->thing_count; i++) {
        if (takes_space(&scene->things[i]) && !looked_at(r, (int)i)) check_row(r, (int)i);
        for (size_t j = i + 1; takes_space(&scene->things[i]) && j < scene->thing_count; j++) {
            const Thing *a = &scene->things[i], *b = &scene->things[j];
            double overlap_mm;
            if (told[j] == TOLD_MOST || !takes_space(b) || may_touch(scene->things, (int)i, (int)j) ||
                (a->shot >= 0 && b->shot >= 0 && a->shot != b->shot))
                continue;
            if (looked_at(r, (int)i) && looked_at(r, (int)j)) continue;
            if (!items_overlap(&r->plan->things[i], &r->plan->things[j], &overlap_mm) ||
                overlapped_as_planned(r, i, j))
                continue;
            told[j]++;
            warn_shared_space(r, (int)i, (int)j, overlap_mm);
        }
    }
}

/* Rule 29. Panels may stick out sideways, since their ends may be out of every frame: only their middle is
 * looked at. */
static bool is_on_ground(const PlanThing *planned, const Trapezoid *ground, bool *wholly_off) {
    bool inside = true, outside = true;
    const Thing *thing = planned->thing;
    for (int item = 0; item < planned->row_count; item++) {
        Point2 corners[FOOTPRINT_MOST];
        size_t count = shape_footprint(planned, item, corners);
        if (thing->role == ROLE_FLAT) {
            corners[0] = (Point2){planned->at.across_mm, planned->at.back_mm};
            count = 1;
        }
        inside &= footprint_inside(corners, count, ground);
        for (size_t i = 0; i < count; i++)
            outside &= !footprint_inside(&corners[i], 1, ground);
    }
    *wholly_off = outside;
    return inside;
}

static void check_on_ground(Resolver *r) {
    for (size_t i = 0; i < r->scene->thing_count; i++) {
        const Thing *thing = &r->scene->things[i];
        const PlanThing *planned = &r->plan->things[i];
        bool wholly_off;
        if ((thing->role != ROLE_PUPPET && thing->role != ROLE_PIECE && thing->role != ROLE_FLAT) ||
            thing->faulty || thing->atop >= 0 || planned->hung || looked_at(r, (int)i) ||
            is_on_ground(planned, &r->plan->ground_outline, &wholly_off))
            continue;
        plan_warn(r, "off-ground", thing->name, told_span(r, (int)i),
                  "widen the ground with `margin`, state its `front` or `rear`, or stand it elsewhere",
                  arena_format(r->arena, "%s%s stands %s the ground", as_built(r), thing_phrase(r, (int)i),
                               wholly_off ? "off" : "partly off"));
    }
}

/* What stands behind the backdrop is in no picture. */
static void check_behind_backdrop(Resolver *r) {
    const PlanThing *backdrop = NULL;
    for (size_t i = 0; i < r->scene->thing_count; i++) {
        if (r->scene->things[i].role == ROLE_BACKDROP) backdrop = &r->plan->things[i];
    }
    for (size_t i = 0; backdrop && i < r->scene->thing_count; i++) {
        const Thing *thing = &r->scene->things[i];
        const PlanThing *planned = &r->plan->things[i];
        if (!is_drawn_of(thing->role) || thing->role == ROLE_BACKDROP || thing->faulty ||
            looked_at(r, (int)i) || planned->front_mm <= backdrop->at.back_mm)
            continue;
        plan_warn(r, "behind-backdrop", thing->name, told_span(r, (int)i),
                  "bring it forward, or set the backdrop farther back",
                  arena_format(r->arena, "%s%s stands %s behind the backdrop, where no camera sees it",
                               as_built(r), thing_phrase(r, (int)i),
                               said_length(r, planned->front_mm - backdrop->at.back_mm)));
    }
}

/* Whether a thing's bounding box lies beyond one side of the frame, moved out by the spare, for this camera.
 */
static bool is_beyond_frame(const PlanThing *thing, const Camera *camera, const PlanShot *shot) {
    const Picture *p = &shot->picture;
    const double drawn_per_paper = p->drawing_wide_mm / p->trim_wide_mm;
    const double half_wide = p->frame_wide_mm * drawn_per_paper * (0.5 + shot->spare);
    const double half_tall = p->frame_tall_mm * drawn_per_paper * (0.5 + shot->spare);
    bool left = true, right = true, low = true, high = true;
    for (int corner = 0; corner < 8; corner++) {
        double x, y;
        const Point3 at = {corner & 1 ? thing->right_mm : thing->left_mm,
                           corner & 2 ? thing->rear_mm : thing->front_mm,
                           corner & 4 ? thing->top_mm : thing->foot_mm};
        if (!camera_project(camera, p, at, &x, &y, NULL)) return false;
        left &= x < p->drawing_wide_mm / 2 - half_wide;
        right &= x > p->drawing_wide_mm / 2 + half_wide;
        low &= y < p->drawing_tall_mm / 2 - half_tall;
        high &= y > p->drawing_tall_mm / 2 + half_tall;
    }
    return left || right || low || high;
}

static void check_in_some_frame(Resolver *r) {
    for (size_t i = 0; i < r->scene->thing_count; i++) {
        const Thing *thing = &r->scene->things[i];
        bool beyond = is_drawn_of(thing->role) && !thing->faulty;
        for (size_t s = 0; beyond && s < r->plan->shot_count; s++) {
            const PlanShot *shot = &r->plan->shots[s];
            if (thing->shot >= 0 && thing->shot != (int)s) continue;
            for (size_t c = 0; beyond && c < shot->camera_count; c++)
                beyond = is_beyond_frame(&r->plan->things[i], &shot->cameras[c].camera, shot);
        }
        if (beyond)
            plan_warn(
                r, "out-of-frame", thing->name, thing->span, NULL,
                arena_format(r->arena, "%s is in the frame of no allowed camera", thing_phrase(r, (int)i)));
    }
}

/* A slip in the leading thing's numbers moves everything else; feet below the page are meant (close-ups). */
static void check_lead_on_page(Resolver *r) {
    for (size_t s = 0; s < r->plan->shot_count; s++) {
        const PlanShot *shot = &r->plan->shots[s];
        const Thing *lead = &r->scene->things[shot->lead];
        if (!field_stated(r, shot->lead, FIELD_DRAWN_X)) continue;
        const double x = drawn_value(r, shot->lead, FIELD_DRAWN_X),
                     y = drawn_value(r, shot->lead, FIELD_DRAWN_Y);
        const bool right = x > shot->picture.drawing_wide_mm, above = y > shot->picture.drawing_tall_mm;
        if (x >= 0 && !right && !above) continue;
        const char *apart = said_drawn(r, (int)s,
                                       above   ? y - shot->picture.drawing_tall_mm
                                       : right ? x - shot->picture.drawing_wide_mm
                                               : -x,
                                       1);
        plan_warn(r, "off-page", lead->name, slot_span(r, lead->slot[above ? FIELD_DRAWN_Y : FIELD_DRAWN_X]),
                  "places count from the drawing's lower left corner, in the drawing's own unit",
                  arena_format(r->arena, "the foot of `%s` is drawn %s %s the drawing", lead->name, apart,
                               above   ? "above"
                               : right ? "right of"
                                       : "left of"));
    }
}

/* `40 mm left`, `1'-2" behind`: no number has a sign. */
static const char *said_place(const Resolver *r, double mm, const char *positive, const char *negative) {
    return arena_format(r->arena, "%s %s", said_length(r, fabs(mm)), mm < 0 ? negative : positive);
}

static bool is_over(const PlanThing *support, Point3 at) {
    const double band = 1e-3;
    const Point2 spot[3] = {{at.across_mm - band, at.back_mm - band},
                            {at.across_mm + band, at.back_mm - band},
                            {at.across_mm, at.back_mm + band}};
    Point2 corners[FOOTPRINT_MOST];
    double overlap_mm;
    for (int item = 0; item < support->row_count; item++) {
        const size_t n = shape_footprint(support, item, corners);
        if (footprints_overlap(corners, n, spot, 3, 0, &overlap_mm)) return true;
    }
    return false;
}

/* What stands atop a thing has its middle over it. */
static void check_atop(Resolver *r) {
    for (size_t i = 0; i < r->scene->thing_count; i++) {
        const PlanThing *planned = &r->plan->things[i];
        const Thing *thing = planned->thing;
        if (thing->atop < 0 || thing->faulty || is_over(&r->plan->things[thing->atop], planned->at)) continue;
        const PlanThing *support = &r->plan->things[thing->atop];
        plan_warn(r, "not-over", thing->name, thing->atop_span,
                  arena_format(r->arena, "`%s` reaches from %s to %s of the mark, and from %s to %s it",
                               support->thing->name, said_place(r, support->left_mm, "right", "left"),
                               said_place(r, support->right_mm, "right", "left"),
                               said_place(r, support->front_mm, "behind", "in front"),
                               said_place(r, support->rear_mm, "behind", "in front of")),
                  arena_format(r->arena, "%s stands atop `%s`, but its middle is not over it",
                               thing_phrase(r, (int)i), support->thing->name));
    }
}

/* --- cameras
 * ------------------------------------------------------------------------------------------------ */

/* Rule 25: room for a tripod. Looking steeply down the lens may hang over the set; then the straight line
 * counts. */
static void check_base_distance(Resolver *r) {
    const Plan *plan = r->plan;
    const double front = plan->base >= 0 ? plan->base_outline.front_mm : plan->ground_outline.front_mm;
    const double least_mm = 6 * MM_PER_INCH;
    for (size_t s = 0; s < plan->shot_count; s++) {
        const PlanShot *shot = &plan->shots[s];
        const PlanCamera *nearest = NULL;
        double gap_mm = INFINITY;
        for (size_t c = 0; c < shot->camera_count; c++) {
            const Camera *camera = &shot->cameras[c].camera;
            const double level = fmax(0, front + camera->distance_mm);
            const double gap = fabs(camera->tilt_rad) > RADIANS(45) ? hypot(level, camera->height_mm) : level;
            if (gap < gap_mm) {
                gap_mm = gap;
                nearest = &shot->cameras[c];
            }
        }
        if (gap_mm < least_mm)
            plan_warn(
                r, "base-near", "camera", shot->shot->camera_span,
                "state `front` of the ground, or allow longer lenses only",
                arena_format(r->arena, "the %s comes within %s of the %slens%s",
                             plan->base >= 0 ? "base" : "ground", said_length(r, gap_mm),
                             nearest == &shot->cameras[0] ? "planned " : "",
                             nearest == &shot->cameras[0]
                                 ? ""
                                 : arena_format(r->arena, " of an allowed camera (%s)", nearest->name)));
    }
}

/* A lens's nearest focus counts from the sensor mark. */
static void check_nearest_focus(Resolver *r) {
    const Scene *scene = r->scene;
    for (size_t s = 0; s < scene->shot_count; s++) {
        const PlanShot *shot = &r->plan->shots[s];
        for (size_t c = 0; c < shot->camera_count; c++) {
            const PlanCamera *it = &shot->cameras[c];
            double nearest_mm;
            if (it->lens_kind < 0 || !slot_stated(r, scene->lenses[it->lens_kind].nearest) ||
                !resolve_slot(r, scene->lenses[it->lens_kind].nearest, NOWHERE, &nearest_mm))
                continue;
            const double away_mm = it->camera.object_mm + it->camera.image_mm;
            if (away_mm >= nearest_mm) continue;
            const char *name = scene->lenses[it->lens_kind].name;
            plan_warn(r, "focus-near", name, shot->shot->camera_span,
                      "a longer lens, a close-up ring, or another `focus`",
                      arena_format(r->arena,
                                   "the lens `%s` focuses no nearer than %s; what it is focused on is %s "
                                   "from the sensor mark",
                                   name, said_length(r, nearest_mm), said_length(r, away_mm)));
            break;
        }
    }
}

/* What would hold what `sharp` names, as it can be written into the spec. */
static const char *sharp_cure(Resolver *r, const PlanShot *shot, const SharpTogether *t) {
    const PlanThing *lead = &r->plan->things[shot->lead];
    const double eyes_mm = lead->at.up_mm + lead->eyes_mm;
    const char *back = written_length(r, plan_depth_from_mark(shot, t->object_mm, eyes_mm));
    const char *planned = number_short(r->arena, shot->stop, 2);
    if (t->held_refocused)
        return arena_format(r->arena,
                            "focused between them, f/%s holds them all: `camera: {focus: {back: %s}}`",
                            planned, back);
    const char *stack = arena_format(r->arena, "stack %d exposures at f/%s, as the report says",
                                     t->step_count, number_short(r->arena, t->step_stop, 2));
    if (!t->within_lens)
        return arena_format(r->arena, "no stop up to f/%s holds them, f/%s would; %s",
                            number_short(r->arena, t->smallest_stop, 2), number_short(r->arena, t->stop, 0),
                            stack);
    const char *marked = number_short(r->arena, t->marked_stop, 2);
    if (!t->softened)
        return arena_format(r->arena, "`camera: {stop: f/%s, focus: {back: %s}}` holds them", marked, back);
    return arena_format(r->arena,
                        "`camera: {stop: f/%s, focus: {back: %s}}` holds them, though diffraction spreads "
                        "everything to %s mm; or %s",
                        marked, back, number_fixed(r->arena, t->airy_mm * shot->picture.paper_per_sensor, 2),
                        stack);
}

/* What is named and reaches up to the lens: no plane there has an image. */
static void warn_at_lens(Resolver *r, const PlanShot *shot) {
    const Camera *camera = &shot->cameras[0].camera;
    for (size_t i = 0; i < shot->shot->sharp_count; i++) {
        const SharpWish *wish = &shot->shot->sharp[i];
        double near_mm, far_mm;
        plan_sharp_depths(&r->plan->things[wish->thing], wish->part, camera, &near_mm, &far_mm);
        if (near_mm > camera->focal_mm) continue;
        plan_warn(r, "not-sharp", "camera", wish->span, "name what is in the picture",
                  arena_format(r->arena,
                               "`%s` reaches up to the lens, or behind it: no lens can be focused there",
                               wish->text));
        return;
    }
}

static void check_sharp(Resolver *r) {
    for (size_t s = 0; s < r->scene->shot_count; s++) {
        const PlanShot *shot = &r->plan->shots[s];
        SharpTogether t;
        if (!(shot->stop > 0) || shot->shot->sharp_count == 0) continue;
        if (!plan_sharp_together(r->plan, (int)s, &t)) {
            warn_at_lens(r, shot);
            continue;
        }
        if (t.held) continue;
        const SharpWish *worst = &shot->shot->sharp[t.worst];
        plan_warn(
            r, "not-sharp", "camera", worst->span, sharp_cure(r, shot, &t),
            arena_format(r->arena,
                         "`%s` is blurred up to %s mm on paper at f/%s, focused as planned; up to %s mm "
                         "reads as sharp",
                         worst->text, number_fixed(r->arena, t.worst_blur_mm, 2),
                         number_short(r->arena, shot->stop, 2),
                         number_short(r->arena, plan_sharp_limit(r->plan, (int)s).paper_mm, 2)));
    }
}

/* How far a millimetre goes: above 5 % of the distance a ruler cannot settle it. */
static void check_sensitivity(Resolver *r) {
    for (size_t s = 0; s < r->plan->shot_count; s++) {
        const PlanShot *shot = &r->plan->shots[s];
        const double distance = shot->solution.camera.distance_mm;
        for (int t = STATE_HORIZON; t < STATEMENT_COUNT; t++) {
            const double per_mm = fabs(shot->solution.per_mm[UNKNOWN_DISTANCE][t]);
            if (!(per_mm > 0.05 * distance)) continue;
            static const char *const words[STATEMENT_COUNT] = {[STATE_HORIZON] = "the horizon",
                                                               [STATE_FRAME] = "the frame",
                                                               [STATE_FOOT] = "the drawn foot",
                                                               [STATE_TALL] = "the drawn height"};
            plan_warn(r, "ruler-coarse", "camera", shot->shot->camera_span,
                      "state the distance or the lens, or draw it larger",
                      arena_format(r->arena, "one mm in %s moves the camera by %s, %s %% of its distance",
                                   words[t], said_length(r, per_mm),
                                   number_fixed(r->arena, 100 * per_mm / distance, 0)));
            break;
        }
    }
}

/* Rule 28: a backdrop with a stated foot behind the ground's back edge. */
static void check_under_backdrop(Resolver *r) {
    for (size_t i = 0; i < r->scene->thing_count; i++) {
        const PlanThing *thing = &r->plan->things[i];
        const double rear = r->plan->ground_outline.rear_mm;
        if (thing->thing->role != ROLE_BACKDROP || thing->at.back_mm <= rear) continue;
        const double lowest = foot_under_backdrop_mm(r, thing->at.back_mm, rear);
        if (thing->foot_mm > lowest + r->plan->cut_mm)
            plan_warn(r, "under-backdrop", "backdrop", thing->thing->span,
                      "bring the ground back to it, or let the backdrop hang lower",
                      arena_format(r->arena,
                                   "the frame sees under the backdrop: its foot is %s up, and %s is needed",
                                   said_length(r, thing->foot_mm), said_length(r, lowest)));
    }
}

void check_plan(Resolver *r) {
    for (size_t i = 0; i < r->scene->thing_count; i++)
        check_drawing(r, (int)i);
    check_space(r);
    check_lead_on_page(r);
    check_on_ground(r);
    check_behind_backdrop(r);
    check_in_some_frame(r);
    check_atop(r);
    check_base_distance(r);
    check_nearest_focus(r);
    check_sharp(r);
    check_sensitivity(r);
    check_under_backdrop(r);
    check_pages(r);
    check_lamps(r);
}

void check_built(Resolver *r) {
    if (!r->plan->as_planned) return;
    check_space(r);
    check_on_ground(r);
    check_behind_backdrop(r);
}
