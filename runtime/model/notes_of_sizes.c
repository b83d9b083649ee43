/* How large things are built: on cards beside the set, and by the leading ones. */
#include "model/notes.h"
#include "optics/space.h"

#include <math.h>

/* Cards lean back so that they are read from in front and from above. */
static const double LEAN_RAD = RADIANS(35), ASIDE_RAD = RADIANS(-40);

static const char *labelled(const Notes *notes, const char *what, const char *value) {
    return arena_format(notes->arena, "%s %s", what, value);
}

static const Trapezoid *outline_of(const Plan *plan) {
    return plan->base >= 0 ? &plan->base_outline : &plan->ground_outline;
}

/* ---- all that is built */

static const char *build_value(const Notes *notes, const char *part) {
    return notes_value(notes, arena_format(notes->arena, "scene %s", notes->facts->scene), "build", part);
}

/* So high that it is over everything and over every planned frame at the rear. */
static double over_the_rear(const Notes *notes) {
    const double back = outline_of(notes->plan)->rear_mm, most = notes->build.top_mm + 30 * notes->gap_mm;
    double up = notes->build.top_mm;
    for (size_t s = 0; s < notes->plan->shot_count; s++) {
        const PlanShot *shot = &notes->plan->shots[s];
        UprightView view;
        if (camera_upright_view(&shot->cameras[0].camera, &shot->picture, 0, back, notes->build.foot_mm,
                                INFINITY, &view) &&
            view.high_mm < most)
            up = fmax(up, view.high_mm);
    }
    return up + notes->gap_mm;
}

/* A width over the rear, out of the picture and seen from in front; its card over its middle. */
static void note_over_rear(Notes *notes, const char *name, const char *label, double up_mm, Point3 left,
                           Point3 right) {
    const double back = outline_of(notes->plan)->rear_mm;
    const Dimension line = {.name = name,
                            .ink = INK_SIZE,
                            .line_mm = notes->line_mm,
                            .from = {left.across_mm, back, up_mm},
                            .to = {right.across_mm, back, up_mm},
                            .from_foot = left,
                            .to_foot = right};
    const Card card = {.ink = INK_SIZE,
                       .at = {(left.across_mm + right.across_mm) / 2, back, up_mm + 0.3 * notes->gap_mm},
                       .share_up = -1,
                       .letter_mm = notes->letter_mm,
                       .lines = {label}};
    notes_card(notes, notes_dimension(notes, notes->group, &line),
               arena_format(notes->arena, "%s card", name), &card);
}

/* The ground's rear edge, and over it all that is built. */
static void note_rear(Notes *notes) {
    const Extent *e = &notes->build;
    const Trapezoid *g = &notes->plan->ground_outline;
    const char *rear = notes_value(notes, "tape-out ground", "rear", NULL),
               *wide = build_value(notes, "wide");
    double up = over_the_rear(notes);
    if (rear) {
        note_over_rear(notes, "ground rear", labelled(notes, "ground, rear", rear), up,
                       point(g->rear_left_mm, g->rear_mm, 0), point(g->rear_right_mm, g->rear_mm, 0));
        up += 3.4 * notes->letter_mm;
    }
    const double back = outline_of(notes->plan)->rear_mm;
    if (wide)
        note_over_rear(notes, "build width",
                       labelled(notes, "build", arena_format(notes->arena, "%s wide", wide)), up,
                       point(e->left_mm, back, e->foot_mm), point(e->right_mm, back, e->foot_mm));
}

static void note_build_depth(Notes *notes) {
    const char *value = build_value(notes, "deep");
    if (!value) return;
    const Extent *e = &notes->build;
    const double across = e->right_mm + 2 * notes->gap_mm, up = e->foot_mm;
    const Dimension line = {.name = "build depth",
                            .ink = INK_SIZE,
                            .line_mm = notes->line_mm,
                            .from = {across, e->front_mm, up},
                            .to = {across, e->rear_mm, up},
                            .from_foot = {outline_of(notes->plan)->front_right_mm, e->front_mm, up},
                            .to_foot = {e->right_mm, e->rear_mm, up}};
    const Card card = {
        .ink = INK_SIZE,
        .at = {across + 0.5 * notes->gap_mm, e->front_mm + 0.3 * (e->rear_mm - e->front_mm), up},
        .share_across = -1,
        .share_up = -1,
        .left_rad = ASIDE_RAD,
        .lean_rad = LEAN_RAD,
        .letter_mm = notes->letter_mm,
        .lines = {labelled(notes, "build", arena_format(notes->arena, "%s deep", value))}};
    notes_card(notes, notes_dimension(notes, notes->group, &line), "build depth card", &card);
}

static void note_build_height(Notes *notes) {
    const char *value = build_value(notes, "tall");
    if (!value) return;
    const Extent *e = &notes->build;
    const double across = e->right_mm + 2 * notes->gap_mm;
    const Dimension line = {.name = "build height",
                            .ink = INK_SIZE,
                            .line_mm = notes->line_mm,
                            .from = {across, e->rear_mm, e->foot_mm},
                            .to = {across, e->rear_mm, e->top_mm},
                            .from_foot = {across, e->rear_mm, e->foot_mm},
                            .to_foot = {e->right_mm, e->rear_mm, e->top_mm}};
    const Card card = {.ink = INK_SIZE,
                       .at = {across + 0.5 * notes->gap_mm, e->rear_mm,
                              fmax((e->foot_mm + e->top_mm) / 2, e->foot_mm + 3 * notes->letter_mm)},
                       .share_across = -1,
                       .letter_mm = notes->letter_mm,
                       .lines = {labelled(notes, "build", arena_format(notes->arena, "%s tall", value))}};
    notes_card(notes, notes_dimension(notes, notes->group, &line), "build height card", &card);
}

/* ---- the ground's front edge */

/* In front of and under the front edge, where no frame reaches. */
static void note_ground_front(Notes *notes) {
    const char *value = notes_value(notes, "tape-out ground", "front", NULL);
    if (!value) return;
    const Trapezoid *g = &notes->plan->ground_outline;
    const double back = outline_of(notes->plan)->front_mm - notes->gap_mm, up = notes->build.foot_mm;
    const Dimension line = {.name = "ground front",
                            .ink = INK_SIZE,
                            .line_mm = notes->line_mm,
                            .from = {g->front_left_mm, back, up},
                            .to = {g->front_right_mm, back, up},
                            .from_foot = {g->front_left_mm, g->front_mm, 0},
                            .to_foot = {g->front_right_mm, g->front_mm, 0}};
    const Card card = {.ink = INK_SIZE,
                       .at = {(g->front_left_mm + g->front_right_mm) / 2, back, up - 0.4 * notes->gap_mm},
                       .share_up = 1,
                       .lean_rad = LEAN_RAD,
                       .letter_mm = notes->letter_mm,
                       .lines = {labelled(notes, "ground, front", value)}};
    notes_card(notes, notes_dimension(notes, notes->group, &line), "ground front card", &card);
}

/* ---- flats */

typedef struct Corners {
    Point3 foot_left, foot_right, top_left, top_right, right; /* `right`: along its front */
} Corners;

static Corners corners_of(const PlanThing *flat) {
    const double c = cos(flat->turn_rad), s = sin(flat->turn_rad), half = flat->wide_mm / 2;
    Corners k = {.right = point(c, -s, 0)};
    k.foot_left = point_toward(flat->at, k.right, -half);
    k.foot_right = point_toward(flat->at, k.right, half);
    k.top_left = point_toward(k.foot_left, point(0, 0, 1), flat->tall_mm);
    k.top_right = point_toward(k.foot_right, point(0, 0, 1), flat->tall_mm);
    return k;
}

/* Its width along its top, its height along its left end, and a small card over its right end. */
static void note_flat(Notes *notes, const PlanThing *flat) {
    Arena *arena = notes->arena;
    const char *name = flat->thing->name, *heading = arena_format(arena, "flat %s", name);
    const char *wide = notes_value(notes, heading, "wide", NULL),
               *tall = notes_value(notes, heading, "tall", NULL);
    if (!wide || !tall) return;
    const Corners k = corners_of(flat);
    const double radius = notes_fine_line_mm(notes, flat->at), gap = 12 * radius;
    const Point3 over = point(0, 0, gap), aside = point_times(k.right, -gap);
    const Dimension width = {.name = arena_format(arena, "%s width", name),
                             .ink = INK_SIZE,
                             .line_mm = radius,
                             .from = point_add(k.top_left, over),
                             .to = point_add(k.top_right, over),
                             .from_foot = k.top_left,
                             .to_foot = k.top_right};
    const Dimension height = {.name = arena_format(arena, "%s height", name),
                              .ink = INK_SIZE,
                              .line_mm = radius,
                              .from = point_add(k.foot_left, aside),
                              .to = point_add(k.top_left, aside),
                              .from_foot = k.foot_left,
                              .to_foot = k.top_left};
    const Card card = {.ink = INK_SIZE,
                       .at = point_add(k.top_right, point_times(over, 1.6)),
                       .share_across = 1,
                       .share_up = -1,
                       .left_rad = flat->turn_rad,
                       .letter_mm = notes_fine_letter_mm(notes, flat->at),
                       .lines = {arena_format(arena, "%s %s x %s", name, wide, tall)}};
    const int group = notes_dimension(notes, notes->group, &width);
    notes_dimension(notes, group, &height);
    notes_card(notes, group, arena_format(arena, "%s card", name), &card);
}

static void note_flats(Notes *notes) {
    for (size_t i = 0; i < notes->plan->scene->thing_count; i++) {
        const PlanThing *flat = &notes->plan->things[i];
        if (flat->thing->role == ROLE_FLAT) note_flat(notes, flat);
    }
}

/* ---- the leading ones */

static const char *heading_of_lead(const Notes *notes, const PlanShot *shot) {
    const Thing *lead = notes->plan->things[shot->lead].thing;
    const char *kind = lead->role == ROLE_PUPPET ? "puppet" : "piece";
    if (lead->shot >= 0 && notes->plan->shot_count > 1)
        return arena_format(notes->arena, "%s %s in %s", kind, lead->name, shot->name);
    return arena_format(notes->arena, "%s %s", kind, lead->name);
}

static bool same_as_before(const Plan *plan, size_t shot) {
    for (size_t s = 0; s < shot; s++) {
        const PlanThing *a = &plan->things[plan->shots[s].lead], *b = &plan->things[plan->shots[shot].lead];
        if (a == b || point_length(point_less(a->at, b->at)) < 1) return true;
    }
    return false;
}

static void note_lead(Notes *notes, const PlanShot *shot) {
    const PlanThing *lead = &notes->plan->things[shot->lead];
    const char *value = notes_value(notes, heading_of_lead(notes, shot), "tall", NULL);
    if (!value) return;
    const double radius = notes_fine_line_mm(notes, lead->at), gap = 12 * radius;
    const double reach = hypot(lead->wide_mm, lead->deep_mm) / 2;
    const Point3 foot = point(lead->at.across_mm + reach + gap, lead->at.back_mm, lead->at.up_mm);
    const Dimension line = {.name = arena_format(notes->arena, "%s height", lead->thing->name),
                            .ink = INK_SIZE,
                            .line_mm = radius,
                            .from = foot,
                            .to = point_add(foot, point(0, 0, lead->tall_mm)),
                            .from_foot = lead->at,
                            .to_foot = point_add(lead->at, point(0, 0, lead->tall_mm))};
    const Card card = {.ink = INK_SIZE,
                       .at = point_add(line.to, point(0, 0, 0.6 * gap)),
                       .share_across = -0.8,
                       .share_up = -1,
                       .letter_mm = notes_fine_letter_mm(notes, lead->at),
                       .lines = {labelled(notes, lead->thing->name, value)}};
    notes_card(notes, notes_dimension(notes, notes->group, &line),
               arena_format(notes->arena, "%s height card", lead->thing->name), &card);
}

/* ---- on the ground */

/* What chalk lies on: the ground with its mounds, the base beside it. */
static double lies_at(const Plan *plan, double across_mm, double back_mm) {
    const Trapezoid *g = &plan->ground_outline;
    if (back_mm < g->front_mm || back_mm > g->rear_mm) return -plan->ground_thick_mm;
    return plan_ground_mm(plan, across_mm, back_mm);
}

/* Plumb under the lens's axis, from the front edge to the rear one: what everything is taped from. */
static void note_centre_line(Notes *notes) {
    const Plan *plan = notes->plan;
    const Trapezoid *o = outline_of(plan), *g = &plan->ground_outline;
    const double across = plan->shots[0].cameras[0].camera.across_mm;
    const double radius = 1.2 * notes_fine_line_mm(notes, plan->shots[0].mark), off = 1.5 * radius;
    enum { STEPS = 60 };
    LIST(Point3) points = {0};
    const double ends[2][2] = {{o->front_mm, g->front_mm}, {g->rear_mm, o->rear_mm}};
    for (int i = 0; i < 2 && plan->base >= 0; i++) {
        const Point3 lip[] = {{across, ends[i][0], off - plan->ground_thick_mm},
                              {across, ends[i][1], off - plan->ground_thick_mm}};
        if (ends[i][1] - ends[i][0] > 1)
            notes_line(notes, notes->group, "centre line on the base", INK_CHALK, lip, 2, false, radius);
    }
    double before = NAN;
    for (int i = 0; i <= STEPS; i++) { /* a point where the ground bends, and both ends */
        const double back = g->front_mm + (g->rear_mm - g->front_mm) * i / STEPS;
        const double up = lies_at(plan, across, back),
                     next = g->front_mm + (g->rear_mm - g->front_mm) * (i + 1) / STEPS;
        const bool level = up == before && up == lies_at(plan, across, fmin(next, g->rear_mm));
        before = up;
        if (i > 0 && i < STEPS && level) continue;
        LIST_PUSH(notes->arena, points, point(across, back, up + off));
    }
    notes_line(notes, notes->group, "centre line", INK_CHALK, points.items, points.count, false, radius);
}

void notes_of_sizes(Notes *notes) {
    note_rear(notes);
    note_build_depth(notes);
    note_build_height(notes);
    note_ground_front(notes);
    note_flats(notes);
    for (size_t s = 0; s < notes->plan->shot_count; s++) {
        if (!same_as_before(notes->plan, s)) note_lead(notes, &notes->plan->shots[s]);
    }
    note_centre_line(notes);
}
