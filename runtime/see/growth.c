#include "see/growth.h"

#include "optics/space.h"
#include "plan/shape.h"

#include <math.h>

/* How far an upright panel is to reach: along its foot from its middle (right positive), and up. */
typedef struct Reach {
    double left, right, low, high;
} Reach;

struct Needs {
    const Plan *plan;
    int backdrop;       /* index, or -1 */
    Reach *panels;      /* by thing; as built, then as needed */
    double front, rear; /* of the ground */
    double beside;      /* more of the ground on either side */
    bool open;          /* past everything: only a backdrop closes it */
};

static Reach as_built(const PlanThing *thing) {
    return (Reach){-thing->wide_mm / 2, thing->wide_mm / 2, thing->at.up_mm,
                   thing->at.up_mm + thing->tall_mm};
}

Needs *needs_new(Arena *arena, const Plan *plan) {
    Needs *needs = ARENA_NEW(arena, Needs);
    *needs = (Needs){.plan = plan,
                     .backdrop = -1,
                     .panels = ARENA_ARRAY(arena, Reach, plan->scene->thing_count),
                     .front = plan->ground_outline.front_mm,
                     .rear = plan->ground_outline.rear_mm};
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *thing = &plan->things[i];
        needs->panels[i] = as_built(thing);
        if (thing->thing->role == ROLE_BACKDROP) needs->backdrop = (int)i;
    }
    return needs;
}

/* --- one ray */

typedef struct Ray {
    Point3 lens, way;
} Ray;

/* Farther than this nothing is built: a ray that hardly meets a plane does not ask for miles of it. */
static const double FARTHEST_MM = 1e5;

/* Where a ray meets a panel's upright plane; false: never in front of the lens, or too far off. */
static bool meets_panel(const Ray *ray, const PlanThing *panel, double *along, double *up, double *when) {
    const Point3 end = shape_point(panel, 0, 1, 0, 0);
    const Point3 side = point_less(end, shape_point(panel, 0, 0, 0, 0));
    const Point3 square = point(-side.back_mm, side.across_mm, 0);
    const double towards = point_dot(square, ray->way);
    if (towards == 0) return false;
    *when = point_dot(square, point_less(panel->at, ray->lens)) / towards;
    if (*when <= 0 || *when * point_length(ray->way) > FARTHEST_MM) return false;
    const Point3 at = point_toward(ray->lens, ray->way, *when);
    *along = point_dot(point_less(at, panel->at), point(side.across_mm, side.back_mm, 0));
    *up = at.up_mm;
    return true;
}

/* Where it comes down to the flat ground's level. */
static bool meets_level(const Ray *ray, Point3 *at) {
    if (ray->way.up_mm >= 0) return false;
    *at = point_toward(ray->lens, ray->way, -ray->lens.up_mm / ray->way.up_mm);
    return true;
}

/* How far a place lies beside the ground: rule 24's edges are straight from front to rear. */
static double beside_ground(const Trapezoid *g, const Point3 *at) {
    const double share = (at->back_mm - g->front_mm) / (g->rear_mm - g->front_mm);
    const double left = g->front_left_mm + share * (g->rear_left_mm - g->front_left_mm),
                 right = g->front_right_mm + share * (g->rear_right_mm - g->front_right_mm);
    return fmax(left - at->across_mm, at->across_mm - right);
}

/* --- what closes a bare place, by the ray through its middle */

typedef enum CloserKind { CLOSER_GROUND, CLOSER_REAR, CLOSER_PANEL, CLOSER_BACKDROP } CloserKind;

typedef struct Closer {
    CloserKind kind; /* the ground where it is; farther back; an upright panel; a backdrop that is missing */
    int thing;       /* of a panel */
} Closer;

/* What passes over the flat ground at the backdrop is the backdrop's; what comes down before is the ground's;
 * what comes down between the two is closed by bringing the ground back to it. */
static Closer closer_with_backdrop(const Needs *needs, const Ray *ray) {
    const PlanThing *backdrop = &needs->plan->things[needs->backdrop];
    const Closer behind = {CLOSER_PANEL, needs->backdrop};
    double along, up, when;
    Point3 at;
    const bool met = meets_panel(ray, backdrop, &along, &up, &when);
    if (!meets_level(ray, &at) || (met && up >= 0)) return behind;
    if (at.back_mm <= needs->plan->ground_outline.rear_mm) return (Closer){.kind = CLOSER_GROUND};
    return met && up >= backdrop->at.up_mm ? behind : (Closer){.kind = CLOSER_REAR};
}

/* A flat that stands for a backdrop: alone, and at least as wide in the picture as half of the frame. */
static bool closes_behind(const Look *look, const PlanThing *flat) {
    if (flat->thing->role != ROLE_FLAT || flat->row_count > 1) return false;
    const Picture *picture = look->picture;
    double left, right, y;
    const double half = flat->wide_mm / 2, up = flat->tall_mm / 2;
    if (!camera_project(look->camera, picture, shape_point(flat, 0, -half, 0, up), &left, &y, NULL) ||
        !camera_project(look->camera, picture, shape_point(flat, 0, half, 0, up), &right, &y, NULL))
        return false;
    const RasterWindow frame = raster_frame(picture, 0);
    return fmin(right, frame.right_mm) - fmax(left, frame.left_mm) >= (frame.right_mm - frame.left_mm) / 2;
}

/* The nearest of them that a ray would meet, were it larger (not those through whose openings it goes); -1:
 * none. */
static int flat_behind(const Needs *needs, const Look *look, const Ray *ray) {
    int nearest = -1;
    double least = INFINITY, along, up, when;
    for (size_t i = 0; i < needs->plan->scene->thing_count; i++) {
        const PlanThing *flat = &needs->plan->things[i];
        const Reach built = as_built(flat);
        if (!closes_behind(look, flat) || !meets_panel(ray, flat, &along, &up, &when) || when >= least ||
            up < built.low || (along >= built.left && along <= built.right && up <= built.high))
            continue;
        nearest = (int)i;
        least = when;
    }
    return nearest;
}

/* The ground, then a flat behind it, then more ground, as much again at most. */
static Closer closer_without_backdrop(const Needs *needs, const Look *look, const Ray *ray) {
    const Trapezoid *ground = &needs->plan->ground_outline;
    Point3 at;
    const bool falls = meets_level(ray, &at);
    if (falls && at.back_mm <= ground->rear_mm) return (Closer){.kind = CLOSER_GROUND};
    const int flat = flat_behind(needs, look, ray);
    if (flat >= 0) return (Closer){CLOSER_PANEL, flat};
    const bool near = falls && at.back_mm - ground->rear_mm <= ground->rear_mm - ground->front_mm;
    return (Closer){.kind = near ? CLOSER_REAR : CLOSER_BACKDROP};
}

/* --- by how much */

static void widen_panel(Needs *needs, int thing, const Ray *ray) {
    Reach *reach = &needs->panels[thing];
    double along, up, when;
    if (!meets_panel(ray, &needs->plan->things[thing], &along, &up, &when)) return;
    reach->left = fmin(reach->left, along);
    reach->right = fmax(reach->right, along);
    reach->high = fmax(reach->high, up);
    if (up >= 0) reach->low = fmin(reach->low, up); /* what is under the flat ground is the ground's */
}

static void widen_ground(Needs *needs, const Ray *ray) {
    const Trapezoid *ground = &needs->plan->ground_outline;
    Point3 at;
    if (!meets_level(ray, &at)) return;
    if (at.back_mm < ground->front_mm)
        needs->front = fmin(needs->front, at.back_mm);
    else
        needs->beside = fmax(needs->beside, beside_ground(ground, &at));
}

static void widen(Needs *needs, const Closer *closer, const Ray *ray) {
    Point3 at;
    switch (closer->kind) {
    case CLOSER_GROUND:
        widen_ground(needs, ray);
        return;
    case CLOSER_PANEL:
        widen_panel(needs, closer->thing, ray);
        return;
    case CLOSER_REAR:
        if (meets_level(ray, &at) && at.back_mm < FARTHEST_MM) needs->rear = fmax(needs->rear, at.back_mm);
        return;
    case CLOSER_BACKDROP:
        needs->open = true;
        return;
    }
}

/* --- the bare pixels of a frame */

static Ray ray_through(const Look *look, double x_mm, double y_mm) {
    const Camera *camera = look->camera;
    return (Ray){point(camera->across_mm, -camera->distance_mm, camera->height_mm),
                 camera_ray(camera, look->picture, x_mm, y_mm)};
}

/* The corners of a pixel and its neighbours, none of them outside the frame: bare places between centres are
 * in it, and where all is bare the frame's own edge is met exactly. */
static void ask_round(Needs *needs, const Look *look, const RasterWindow *frame, size_t pixel) {
    const RasterWindow *window = &look->raster->window;
    const double reach_mm = 1.5 * (window->right_mm - window->left_mm) / look->raster->wide_px;
    double x, y;
    raster_pixel_mm(look->raster, pixel, &x, &y);
    const Ray middle = ray_through(look, x, y);
    const Closer closer = needs->backdrop >= 0 ? closer_with_backdrop(needs, &middle)
                                               : closer_without_backdrop(needs, look, &middle);
    for (int corner = 0; corner < 4; corner++) {
        const double at_x = x + (corner & 1 ? reach_mm : -reach_mm),
                     at_y = y + (corner & 2 ? reach_mm : -reach_mm);
        const Ray ray = ray_through(look, fmin(fmax(at_x, frame->left_mm), frame->right_mm),
                                    fmin(fmax(at_y, frame->low_mm), frame->high_mm));
        widen(needs, &closer, &ray);
    }
}

/* Along a row what is needed grows towards the ends of a bare run; a few in between, where another piece may
 * be meant. */
void needs_add(Needs *needs, const Look *look, const FramePixels *pixels) {
    enum { EVERY_PX = 16 };
    const Raster *raster = look->raster;
    const RasterWindow frame = pixels->window;
    for (int row = 0; row < raster->tall_px; row++) {
        const size_t first = (size_t)row * (size_t)raster->wide_px;
        bool before = false;
        for (int x = pixels->from[row]; x < pixels->to[row]; x++) {
            const bool bare = scenery_bare(look->scenery, raster, first + (size_t)x);
            const bool last = bare && (x + 1 == pixels->to[row] ||
                                       !scenery_bare(look->scenery, raster, first + (size_t)x + 1));
            if (bare && (!before || last || x % EVERY_PX == 0))
                ask_round(needs, look, &frame, first + (size_t)x);
            before = bare;
        }
    }
}

/* --- what it comes to */

typedef struct Growths {
    Arena *arena;
    const Plan *plan;
    LIST(SeenGrowth) items;
} Growths;

/* Up to a whole cut, and to what is written in a spec: sixteenths of an inch. */
static double whole(const Plan *plan, double mm) {
    const double cut = number_round_up(mm, plan->cut_mm);
    return plan->scene->lengths == STYLE_FEET_INCHES ? number_round_up(cut, MM_PER_INCH / 16) : cut;
}

static void add_growth(Growths *growths, int thing, FrameSide side, double by_mm, Field field,
                       double value_mm) {
    if (by_mm <= 1e-6) return;
    const SeenGrowth growth = {.thing = thing,
                               .side = side,
                               .by_mm = whole(growths->plan, by_mm),
                               .field = field,
                               .value_mm = value_mm};
    LIST_PUSH(growths->arena, growths->items, growth);
}

/* ---- grown at one side alone */

static bool has_openings(const Plan *plan, int thing) {
    for (size_t i = 0; i < plan->scene->thing_count; i++)
        if (plan->scene->things[i].role == ROLE_OPENING && plan->scene->things[i].parent == thing)
            return true;
    return false;
}

/* Whether its place is the spec's to say, and what is on it does not move with it. */
static bool may_shift(const Plan *plan, int thing) {
    const Thing *it = &plan->scene->things[thing];
    return it->shape == SHAPE_PANEL && !it->lead && plan->scene->slots[it->slot[FIELD_BACK]].stated &&
           plan->things[thing].row_count <= 1 && !has_openings(plan, thing);
}

/* To the nearest that a spec says: sixteenths of an inch, millimetres. */
static double writable(const Plan *plan, double mm) {
    return number_round(mm, plan->scene->lengths == STYLE_FEET_INCHES ? MM_PER_INCH / 16 : 1);
}

/* Half of what it grows by, along its foot, is what its middle moves. Rounding of its place is made up for by
 * its width; a turned one leaves its plane by it, too. */
static SeenShift shift_to(const Plan *plan, int thing, const Reach *reach) {
    const PlanThing *panel = &plan->things[thing];
    const Point3 side = point_less(shape_point(panel, 0, 1, 0, 0), shape_point(panel, 0, 0, 0, 0));
    const double by = (reach->left + reach->right) / 2;
    const bool turned = fabs(side.back_mm) > 1e-9;
    SeenShift shift = {.across_mm = writable(plan, panel->at.across_mm + by * side.across_mm),
                       .back_mm = panel->at.back_mm,
                       .back_too = turned};
    if (turned) shift.back_mm = writable(plan, panel->at.back_mm + by * side.back_mm);
    const double off_across = shift.across_mm - panel->at.across_mm,
                 off_back = shift.back_mm - panel->at.back_mm;
    const double along = off_across * side.across_mm + off_back * side.back_mm,
                 aside = fabs(off_across * side.back_mm - off_back * side.across_mm);
    shift.wide_mm = whole(plan, 2 * (fmax(along - reach->left, reach->right - along) + 2 * aside));
    return shift;
}

static void add_side(Growths *growths, int thing, FrameSide side, double by_mm, double wide_mm,
                     const SeenShift *shift) {
    const size_t before = growths->items.count;
    add_growth(growths, thing, side, by_mm, FIELD_WIDE, wide_mm);
    if (growths->items.count > before) growths->items.items[before].shift = *shift;
}

static void add_panel(Growths *growths, int thing, const Reach *reach) {
    const Plan *plan = growths->plan;
    const Reach built = as_built(&plan->things[thing]);
    const bool left = built.left - reach->left > 1e-6, right = reach->right - built.right > 1e-6;
    const SeenShift shift =
        left != right && may_shift(plan, thing) ? shift_to(plan, thing, reach) : (SeenShift){0};
    const double wide = whole(plan, 2 * fmax(-reach->left, reach->right));
    const double foot = -whole(plan, -reach->low);
    const double tall = whole(plan, reach->high - (reach->low < built.low ? foot : built.low));
    add_side(growths, thing, SIDE_LEFT, built.left - reach->left, wide, &shift);
    add_side(growths, thing, SIDE_RIGHT, reach->right - built.right, wide, &shift);
    add_growth(growths, thing, SIDE_TOP, reach->high - built.high, FIELD_TALL, tall);
    add_growth(growths, thing, SIDE_BOTTOM, built.low - reach->low, FIELD_UP, foot);
}

static void add_ground(Growths *growths, const Needs *needs) {
    const Plan *plan = needs->plan;
    const Trapezoid *ground = &plan->ground_outline;
    const int margin = plan->scene->things[plan->ground].slot[FIELD_MARGIN];
    const double margin_mm = plan->known[margin] ? plan->values[margin] : 0;
    add_growth(growths, plan->ground, SIDE_LEFT, needs->beside, FIELD_MARGIN,
               whole(plan, margin_mm + needs->beside));
    if (!needs->open)
        add_growth(growths, plan->ground, SIDE_TOP, needs->rear - ground->rear_mm, FIELD_REAR,
                   whole(plan, needs->rear));
    add_growth(growths, plan->ground, SIDE_BOTTOM, ground->front_mm - needs->front, FIELD_FRONT,
               -whole(plan, -needs->front));
}

/* A flat grows to twice its size at most: beyond that, a backdrop is what is missing. */
static bool outgrows(const PlanThing *flat, const Reach *reach) {
    return 2 * fmax(-reach->left, reach->right) > 2 * flat->wide_mm ||
           reach->high - flat->at.up_mm > 2 * flat->tall_mm;
}

static bool is_open(const Needs *needs) {
    bool open = needs->open;
    for (size_t i = 0; i < needs->plan->scene->thing_count; i++)
        open |= needs->plan->things[i].thing->role == ROLE_FLAT &&
                outgrows(&needs->plan->things[i], &needs->panels[i]);
    return open && needs->backdrop < 0;
}

/* Behind everything that stands on the set, at the ground's rear edge or farther. */
static double place_of_backdrop(const Plan *plan) {
    double back = plan->ground_outline.rear_mm;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const ThingRole role = plan->things[i].thing->role;
        if (role == ROLE_PUPPET || role == ROLE_PIECE || role == ROLE_FLAT)
            back = fmax(back, plan->things[i].rear_mm);
    }
    return whole(plan, back);
}

SeenGrowths needs_to_growths(Arena *arena, const Needs *needs) {
    Growths growths = {.arena = arena, .plan = needs->plan};
    Needs all = *needs;
    all.open = is_open(needs);
    if (all.open) {
        const SeenGrowth missing = {
            .thing = -1, .side = SIDE_TOP, .field = FIELD_BACK, .value_mm = place_of_backdrop(needs->plan)};
        LIST_PUSH(arena, growths.items, missing);
    }
    for (size_t i = 0; i < needs->plan->scene->thing_count; i++) {
        if ((int)i == needs->plan->ground)
            add_ground(&growths, &all);
        else if (!all.open)
            add_panel(&growths, (int)i, &needs->panels[i]);
    }
    return (SeenGrowths){growths.items.items, growths.items.count};
}
