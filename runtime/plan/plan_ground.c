/* What the allowed cameras ask of ground, base and upright planes. docs/geometry.md, rules 23 to 28 and 36.
 */
#include "base/text.h"
#include "plan/resolve.h"

#include <math.h>

static const Span NOWHERE = {0};

/* Every allowed camera of every shot, one after the other. */
typedef struct CameraWalk {
    const Plan *plan;
    int shot, camera; /* of the current one */
    bool planned_only;
} CameraWalk;

static bool next_camera(CameraWalk *walk, const Camera **camera, const PlanShot **shot) {
    walk->camera++;
    while (walk->shot < (int)walk->plan->shot_count) {
        const PlanShot *current = &walk->plan->shots[walk->shot];
        if (walk->camera < (walk->planned_only ? 1 : (int)current->camera_count)) {
            *camera = &current->cameras[walk->camera].camera;
            *shot = current;
            return true;
        }
        walk->shot++;
        walk->camera = 0;
    }
    return false;
}

static CameraWalk walk_cameras(const Resolver *r, bool planned_only) {
    return (CameraWalk){.plan = r->plan, .camera = -1, .planned_only = planned_only};
}

static bool all_cameras(Resolver *r, Span reference) {
    bool known = true;
    for (size_t s = 0; s < r->scene->shot_count; s++)
        known = resolve(r, NODE_CAMERAS, (int)s, reference) && known;
    return known;
}

/* --- upright planes
 * ----------------------------------------------------------------------------------------- */

typedef struct Cover {
    UprightView view;
    bool seen;
    int asks[4][2]; /* shot and camera that ask for left, right, low, high */
} Cover;

static void widen(Cover *cover, const UprightView *view, const CameraWalk *walk) {
    const double values[4] = {-view->left_mm, view->right_mm, -view->low_mm, view->high_mm};
    double *kept[4] = {&cover->view.left_mm, &cover->view.right_mm, &cover->view.low_mm,
                       &cover->view.high_mm};
    for (int i = 0; i < 4; i++) {
        const double sign = i % 2 == 0 ? -1 : 1;
        if (cover->seen && values[i] <= sign * *kept[i]) continue;
        *kept[i] = sign * values[i];
        cover->asks[i][0] = walk->shot;
        cover->asks[i][1] = walk->camera;
    }
    cover->seen = true;
}

static Cover upright_cover(const Resolver *r, bool planned_only, double back_mm, double foot_mm,
                           double top_mm) {
    Cover cover = {0};
    CameraWalk walk = walk_cameras(r, planned_only);
    const Camera *camera;
    const PlanShot *shot;
    UprightView view;
    while (next_camera(&walk, &camera, &shot)) {
        if (camera_upright_view(camera, &shot->picture, shot->spare, back_mm, foot_mm, top_mm, &view))
            widen(&cover, &view, &walk);
    }
    return cover;
}

static bool wants_cover(const Resolver *r, int thing, Field field) {
    const Slot *slot = &r->scene->slots[r->scene->things[thing].slot[field]];
    if (!slot->stated) {
        const Field drawn = field == FIELD_TALL ? FIELD_DRAWN_TALL : FIELD_DRAWN_WIDE;
        return r->scene->things[thing].role == ROLE_BACKDROP && !field_stated(r, thing, drawn);
    }
    for (size_t i = 0; i < slot->formula.count; i++) {
        if (slot->formula.steps[i].op == FORMULA_COVER) return true;
    }
    return false;
}

static PlanAsk *ask_of(Resolver *r, int thing, Field field) {
    Plan *plan = r->plan;
    for (size_t i = 0; i < plan->cover_count; i++) {
        if (plan->covers[i].thing == thing && plan->covers[i].field == field) return &plan->covers[i].ask;
    }
    if (!plan->covers) plan->covers = ARENA_ARRAY(r->arena, PlanCover, 2 * r->scene->thing_count + 2);
    plan->covers[plan->cover_count] = (PlanCover){.thing = thing, .field = field, .ask = {.thing = -1}};
    return &plan->covers[plan->cover_count++].ask;
}

/* The foot of an upright panel's front face; `centred`: its across is not stated, and hangs on what it
 * covers.
 */
static bool covering_foot(Resolver *r, int thing, Span reference, Point3 *foot, bool *centred) {
    double turn;
    if (!resolve_field(r, thing, FIELD_TURN, &turn)) return false;
    if (fabs(turn) > 1e-9) {
        Diagnostic *d = diagnostics_error(r->diagnostics, reference, "`cover` for `%s`, which is turned",
                                          r->scene->things[thing].name);
        diagnostic_help(r->diagnostics, d, "give a real length, or leave the turn out");
        return false;
    }
    return panel_foot(r, thing, foot, centred);
}

static double width_of(const Cover *cover, bool across_stated, double across_mm) {
    if (!across_stated) return cover->view.right_mm - cover->view.left_mm;
    return 2 * fmax(across_mm - cover->view.left_mm, cover->view.right_mm - across_mm);
}

double foot_under_backdrop_mm(const Resolver *r, double back_mm, double rear_mm) {
    double foot_mm = 0;
    CameraWalk walk = walk_cameras(r, false);
    const Camera *camera;
    const PlanShot *shot;
    while (next_camera(&walk, &camera, &shot)) {
        const double h = camera->height_mm, d = camera->distance_mm;
        foot_mm = fmin(foot_mm, h - h * (back_mm + d) / (rear_mm + d));
    }
    return foot_mm;
}

static void warn_sees_nothing(Resolver *r, int thing, Span reference) {
    const Thing *it = &r->scene->things[thing];
    plan_warn(r, "sees-nothing", it->name, span_is_none(reference) ? it->span : reference, NULL,
              arena_format(r->arena,
                           "no allowed camera sees anything of %s where it stands, so `cover` is nothing",
                           thing_phrase(r, thing)));
}

bool make_cover(Resolver *r, int thing, Field field, Span reference, double *value) {
    Point3 foot;
    bool centred;
    double top_mm = INFINITY;
    if (!all_cameras(r, reference) || !covering_foot(r, thing, reference, &foot, &centred)) return false;
    if (field != FIELD_TALL && !wants_cover(r, thing, FIELD_TALL)) {
        if (!resolve_field(r, thing, FIELD_TALL, &top_mm)) return false;
        top_mm += foot.up_mm;
    }
    const Cover cover = upright_cover(r, false, foot.back_mm, foot.up_mm, top_mm);
    if (!cover.seen) {
        warn_sees_nothing(r, thing, reference);
        *value = field == FIELD_ACROSS ? 0 : 1;
        return true;
    }
    if (field == FIELD_ACROSS) {
        *value = (cover.view.left_mm + cover.view.right_mm) / 2;
        return true;
    }
    const Cover plan = upright_cover(r, true, foot.back_mm, foot.up_mm, top_mm);
    PlanAsk *ask = ask_of(r, thing, field);
    int side = 3;
    if (field == FIELD_WIDE) {
        const double across_mm = foot.across_mm;
        *value = width_of(&cover, !centred, across_mm);
        ask->planned_mm = plan.seen ? width_of(&plan, !centred, across_mm) : 0;
        side = centred || across_mm - cover.view.left_mm > cover.view.right_mm - across_mm ? 0 : 1;
    } else {
        *value = cover.view.high_mm - foot.up_mm;
        ask->planned_mm = plan.seen ? plan.view.high_mm - foot.up_mm : 0;
    }
    ask->shot = cover.asks[side][0];
    ask->camera = cover.asks[side][1];
    ask->value_mm = *value;
    return true;
}

/* --- ground
 * ------------------------------------------------------------------------------------------------- */

static bool farthest_side(Resolver *r, double *rear_mm, PlanAsk *ask) {
    *rear_mm = -INFINITY;
    int backdrop = -1;
    for (size_t i = 0; i < r->scene->thing_count; i++)
        backdrop = r->scene->things[i].role == ROLE_BACKDROP ? (int)i : backdrop;
    if (backdrop >= 0) {
        ask->thing = backdrop;
        return resolve_field(r, backdrop, FIELD_REAR, rear_mm);
    }
    for (size_t i = 0; i < r->scene->thing_count; i++) {
        const ThingRole role = r->scene->things[i].role;
        double rear;
        if (role == ROLE_GROUND || role == ROLE_BASE || role == ROLE_OPENING) continue;
        if (!resolve_field(r, (int)i, FIELD_REAR, &rear)) return false;
        if (rear > *rear_mm) {
            *rear_mm = rear;
            ask->thing = (int)i;
        }
    }
    return isfinite(*rear_mm);
}

static bool ground_rear(Resolver *r, PlanAsk *ask, double *rear_mm) {
    const int slot = r->scene->things[r->plan->ground].slot[FIELD_REAR];
    if (slot_stated(r, slot)) return resolve_slot(r, slot, NOWHERE, rear_mm);
    if (!farthest_side(r, rear_mm, ask)) return false;
    *rear_mm = number_round_up(*rear_mm, r->plan->cut_mm);
    return true;
}

/* Rule 25: the least over the cameras of where the frame's lower edge meets the ground, and of half the
 * leading thing's depth. */
static bool nearest_seen(Resolver *r, bool planned_only, double rear_mm, PlanAsk *ask, double *front_mm) {
    *front_mm = INFINITY;
    CameraWalk walk = walk_cameras(r, planned_only);
    const Camera *camera;
    const PlanShot *shot;
    double near_mm;
    while (next_camera(&walk, &camera, &shot)) {
        if (!camera_near_ground_mm(camera, &shot->picture, shot->spare, 0, &near_mm) || near_mm >= rear_mm ||
            near_mm >= *front_mm)
            continue;
        *front_mm = near_mm;
        ask->shot = walk.shot;
        ask->camera = walk.camera;
        ask->thing = -1;
    }
    for (size_t s = 0; s < r->scene->shot_count; s++) {
        const int lead = r->scene->shots[s].lead;
        double deep_mm;
        if (!resolve_field(r, lead, FIELD_DEEP, &deep_mm)) return false;
        const double edge = r->plan->shots[s].mark.back_mm - deep_mm / 2;
        if (edge < *front_mm) {
            *front_mm = edge;
            ask->thing = lead;
            ask->shot = ask->camera = -1;
        }
    }
    return true;
}

static bool ground_front(Resolver *r, double rear_mm, double margin_mm, PlanAsk *ask, double *front_mm) {
    const int slot = r->scene->things[r->plan->ground].slot[FIELD_FRONT];
    if (slot_stated(r, slot)) {
        if (!resolve_slot(r, slot, NOWHERE, front_mm)) return false;
        ask->planned_mm = *front_mm;
        return true;
    }
    PlanAsk unused;
    double planned_mm;
    if (!nearest_seen(r, false, rear_mm, ask, front_mm) ||
        !nearest_seen(r, true, rear_mm, &unused, &planned_mm))
        return false;
    *front_mm = number_round_down(*front_mm - margin_mm, r->plan->cut_mm);
    ask->planned_mm = planned_mm - margin_mm;
    return true;
}

/* Rule 24: the outermost of the frames' edges on the ground line at a depth, then the margin. */
static double corner(const Resolver *r, bool planned_only, int side, double back_mm, double margin_mm,
                     PlanAsk *ask) {
    double most = -INFINITY;
    CameraWalk walk = walk_cameras(r, planned_only);
    const Camera *camera;
    const PlanShot *shot;
    while (next_camera(&walk, &camera, &shot)) {
        const Point3 middle = {camera->across_mm, back_mm, 0};
        const double edge = camera_depth_mm(camera, middle) > 0
                                ? camera_edge_mm(camera, &shot->picture, side, shot->spare, back_mm, 0)
                                : camera->across_mm; /* beside or behind that lens: it sees nothing so near */
        if (side * edge > most) {
            most = side * edge;
            ask->shot = walk.shot;
            ask->camera = walk.camera;
        }
    }
    return side * (most + margin_mm);
}

static double outwards(int side, double value_mm, double cut_mm) {
    return side < 0 ? number_round_down(value_mm, cut_mm) : number_round_up(value_mm, cut_mm);
}

static bool ground_margin(Resolver *r, double *margin_mm) {
    if (!resolve_field(r, r->plan->ground, FIELD_MARGIN, margin_mm)) return false;
    if (gives_up(r, 0, ALLOW_MARGIN)) *margin_mm = 0;
    return true;
}

bool make_ground(Resolver *r) {
    Plan *plan = r->plan;
    Trapezoid *outline = &plan->ground_outline;
    double margin_mm;
    PlanAsk rear_ask = {.shot = -1, .camera = -1, .thing = -1};
    for (int e = 0; e < EDGE_COUNT; e++)
        plan->ground_asks[e] = rear_ask;
    resolve_because(r, "rules 24 and 25",
                    "wide enough at every depth for every allowed camera, and the margin");
    if (!resolve_slot(r, r->scene->cut, NOWHERE, &plan->cut_mm) || !all_cameras(r, NOWHERE) ||
        !ground_margin(r, &margin_mm) ||
        !resolve_field(r, plan->ground, FIELD_THICK, &plan->ground_thick_mm) ||
        !ground_rear(r, &rear_ask, &outline->rear_mm) ||
        !ground_front(r, outline->rear_mm, margin_mm, &plan->ground_asks[EDGE_FRONT], &outline->front_mm))
        return false;
    if (outline->front_mm >= outline->rear_mm) {
        const int slot = r->scene->things[plan->ground].slot[FIELD_REAR];
        const Span span = slot_stated(r, slot) ? slot_span(r, slot) : r->scene->things[plan->ground].span;
        Diagnostic *d = diagnostics_error(
            r->diagnostics, span, "the ground ends %s back, in front of where it begins (%s back)",
            said_length(r, outline->rear_mm), said_length(r, outline->front_mm));
        diagnostic_help(r->diagnostics, d, "state `rear` of the ground farther back");
        return false;
    }
    plan->ground_asks[EDGE_FRONT].value_mm = outline->front_mm;
    double *corners[EDGE_COUNT] = {NULL, &outline->front_left_mm, &outline->front_right_mm,
                                   &outline->rear_left_mm, &outline->rear_right_mm};
    for (int e = EDGE_FRONT_LEFT; e < EDGE_COUNT; e++) {
        const int side = e == EDGE_FRONT_LEFT || e == EDGE_REAR_LEFT ? -1 : 1;
        const double back_mm = e <= EDGE_FRONT_RIGHT ? outline->front_mm : outline->rear_mm;
        PlanAsk unused;
        *corners[e] =
            outwards(side, corner(r, false, side, back_mm, margin_mm, &plan->ground_asks[e]), plan->cut_mm);
        plan->ground_asks[e].value_mm = *corners[e];
        plan->ground_asks[e].planned_mm = corner(r, true, side, back_mm, margin_mm, &unused);
    }
    return true;
}

/* Rule 26: each edge of the ground moved out by the lip square to itself, mitred. */
bool make_base(Resolver *r) {
    Plan *plan = r->plan;
    double lip;
    resolve_because(r, "rule 26", "the ground moved out by the lip, mitred");
    if (!resolve(r, NODE_GROUND, 0, NOWHERE) || !resolve_field(r, plan->base, FIELD_LIP, &lip) ||
        !resolve_field(r, plan->base, FIELD_THICK, &plan->base_thick_mm))
        return false;
    const Trapezoid *g = &plan->ground_outline;
    const double deep = g->rear_mm - g->front_mm, cut = plan->cut_mm;
    const double left = (g->rear_left_mm - g->front_left_mm) / deep,
                 right = (g->rear_right_mm - g->front_right_mm) / deep;
    const double out_left = lip * sqrt(1 + left * left), out_right = lip * sqrt(1 + right * right);
    Trapezoid *b = &plan->base_outline;
    b->front_mm = number_round_down(g->front_mm - lip, cut);
    b->rear_mm = number_round_up(g->rear_mm + lip, cut);
    const double before = b->front_mm - g->front_mm, behind = b->rear_mm - g->front_mm;
    b->front_left_mm = number_round_down(g->front_left_mm + left * before - out_left, cut);
    b->rear_left_mm = number_round_down(g->front_left_mm + left * behind - out_left, cut);
    b->front_right_mm = number_round_up(g->front_right_mm + right * before + out_right, cut);
    b->rear_right_mm = number_round_up(g->front_right_mm + right * behind + out_right, cut);
    return true;
}
