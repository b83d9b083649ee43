/* Where the frames shoot off the set: outlines of what is missing, in the plane of the piece that would have
 * to reach so far, and a card for each such piece (docs/geometry.md, rule 42). Nothing where nothing is bare.
 */
#include "base/text.h"
#include "model/notes.h"
#include "optics/space.h"
#include "plan/seen.h"
#include "plan/shape.h"

#include <math.h>

/* What is missing of one piece. */
typedef struct Missing {
    Notes *notes;
    int group;
    const char *name; /* of its nodes: `missing backdrop` */
    Card card;
    int lines; /* of the card, so far */
} Missing;

static Missing missing_new(Notes *notes, const char *thing) {
    Missing missing = {.notes = notes, .name = arena_format(notes->arena, "missing %s", thing)};
    missing.group = model_node(notes->model, notes->group, MODEL_NOTE, missing.name);
    missing.card = (Card){.ink = INK_BARE, .letter_mm = 0.6 * notes->letter_mm, .from_left = true};
    missing.card.lines[missing.lines++] = thing;
    return missing;
}

/* An outline, crossed out. It lies in the picture where it is most wanted, so it is drawn fine. */
static void outline(const Missing *missing, const Point3 corners[4]) {
    Notes *notes = missing->notes;
    const Point3 middle =
        point_times(point_add(point_add(corners[0], corners[1]), point_add(corners[2], corners[3])), 0.25);
    const double fine = notes_fine_line_mm(notes, middle);
    notes_line(notes, missing->group, arena_format(notes->arena, "%s outline", missing->name), INK_BARE,
               corners, 4, true, 2.6 * fine);
    for (int i = 0; i < 2; i++) {
        const Point3 across[] = {corners[i], corners[i + 2]};
        notes_line(notes, missing->group, arena_format(notes->arena, "%s cross", missing->name), INK_BARE,
                   across, 2, false, fine);
    }
}

/* `left 9 1/2 in more`, the length as the report says it. */
static void add_line(Missing *missing, const char *edge, const SeenGrowth *growth) {
    const Notes *notes = missing->notes;
    Fact alone = {.key = "by", .label = "by"};
    const FactPart part = {.kind = FACT_SIZE, .number = growth->by_mm};
    LIST_PUSH(notes->arena, alone.parts, part);
    if (missing->lines < CARD_LINES)
        missing->card.lines[missing->lines++] = arena_format(
            notes->arena, "%s %s more", edge, fact_short_text(notes->arena, notes->facts, &alone));
}

static void finish(Missing *missing, Point3 at, double share_across, double share_up) {
    missing->card.at = at;
    missing->card.share_across = share_across;
    missing->card.share_up = share_up;
    notes_card(missing->notes, missing->group, arena_format(missing->notes->arena, "%s card", missing->name),
               &missing->card);
}

/* ---- upright panels */

/* In the panel's own frame: along its foot from the middle, and up from its foot. */
typedef struct Reach {
    double left, right, low, high;
} Reach;

static Reach reach_of(const SeenGrowth *growths, size_t count, Reach built) {
    Reach reach = built;
    for (size_t i = 0; i < count; i++) {
        const double by = growths[i].by_mm;
        reach.left -= growths[i].side == SIDE_LEFT ? by : 0;
        reach.right += growths[i].side == SIDE_RIGHT ? by : 0;
        reach.low -= growths[i].side == SIDE_BOTTOM ? by : 0;
        reach.high += growths[i].side == SIDE_TOP ? by : 0;
    }
    return reach;
}

/* The sides go from the lowest to the highest, top and foot are between them. */
static Reach strip(Reach built, Reach all, FrameSide side) {
    switch (side) {
    case SIDE_LEFT:
        return (Reach){all.left, built.left, all.low, all.high};
    case SIDE_RIGHT:
        return (Reach){built.right, all.right, all.low, all.high};
    case SIDE_TOP:
        return (Reach){built.left, built.right, built.high, all.high};
    case SIDE_BOTTOM:
    case SIDE_COUNT:
        break;
    }
    return (Reach){built.left, built.right, all.low, built.low};
}

/* All growths of one panel; its card stands over its upper left corner. */
static void note_panel(Notes *notes, const SeenGrowth *growths, size_t count) {
    static const char *const edges[SIDE_COUNT] = {"left", "right", "top", "foot"};
    const PlanThing *panel = &notes->plan->things[growths[0].thing];
    const Reach built = {-panel->wide_mm / 2, panel->wide_mm / 2, 0, panel->tall_mm};
    const Reach all = reach_of(growths, count, built);
    const double off = 2 * notes->line_mm;
    Missing missing = missing_new(notes, panel->thing->name);
    for (size_t i = 0; i < count; i++) {
        const Reach s = strip(built, all, growths[i].side);
        const Point3 corners[] = {
            shape_point(panel, 0, s.left, -off, s.low), shape_point(panel, 0, s.right, -off, s.low),
            shape_point(panel, 0, s.right, -off, s.high), shape_point(panel, 0, s.left, -off, s.high)};
        outline(&missing, corners);
        add_line(&missing, edges[growths[i].side], &growths[i]);
    }
    missing.card.left_rad = panel->turn_rad;
    finish(&missing, shape_point(panel, 0, all.left, -off, all.high + 4 * off), 0, -1);
}

/* ---- the ground */

/* Across of the ground's edge, which goes on as it runs. */
static double edge_at(const Trapezoid *g, int side, double back_mm) {
    const double share = (back_mm - g->front_mm) / (g->rear_mm - g->front_mm);
    return side < 0 ? g->front_left_mm + share * (g->rear_left_mm - g->front_left_mm)
                    : g->front_right_mm + share * (g->rear_right_mm - g->front_right_mm);
}

/* Beside it, on both hands: its margin is one word. */
static void outline_sides(const Missing *missing, double by_mm, double up_mm) {
    const Trapezoid *g = &missing->notes->plan->ground_outline;
    for (int side = -1; side <= 1; side += 2) {
        const double front = edge_at(g, side, g->front_mm), rear = edge_at(g, side, g->rear_mm);
        const Point3 corners[] = {{front, g->front_mm, up_mm},
                                  {front + side * by_mm, g->front_mm, up_mm},
                                  {rear + side * by_mm, g->rear_mm, up_mm},
                                  {rear, g->rear_mm, up_mm}};
        outline(missing, corners);
    }
}

static void outline_end(const Missing *missing, double from_mm, double to_mm, double up_mm) {
    const Trapezoid *g = &missing->notes->plan->ground_outline;
    const Point3 corners[] = {{edge_at(g, -1, from_mm), from_mm, up_mm},
                              {edge_at(g, 1, from_mm), from_mm, up_mm},
                              {edge_at(g, 1, to_mm), to_mm, up_mm},
                              {edge_at(g, -1, to_mm), to_mm, up_mm}};
    outline(missing, corners);
}

/* All growths of the ground; its card stands to the left of its front, and under it. */
static void note_ground(Notes *notes, const SeenGrowth *growths, size_t count) {
    const Trapezoid *g = &notes->plan->ground_outline;
    const double up = 2 * notes->line_mm;
    double beside = 0;
    Missing missing = missing_new(notes, notes->plan->things[growths[0].thing].thing->name);
    for (size_t i = 0; i < count; i++) {
        const double by = growths[i].by_mm;
        if (growths[i].side == SIDE_TOP) {
            outline_end(&missing, g->rear_mm, g->rear_mm + by, up);
            add_line(&missing, "rear", &growths[i]);
        } else if (growths[i].side == SIDE_BOTTOM) {
            outline_end(&missing, g->front_mm, g->front_mm - by, up);
            add_line(&missing, "front", &growths[i]);
        } else {
            outline_sides(&missing, by, up);
            add_line(&missing, "sides", &growths[i]);
            beside = fmax(beside, by);
        }
    }
    missing.card.lean_rad = RADIANS(35);
    finish(&missing, point(edge_at(g, -1, g->front_mm) - beside - notes->gap_mm, g->front_mm, up), 1, 1);
}

/* ---- a backdrop that there is not */

/* As much of its plane as the frames see, the spare included. */
static void note_backdrop(Notes *notes, double back_mm) {
    const Plan *plan = notes->plan;
    const double most = 2 * (notes->build.top_mm - notes->build.foot_mm) + 20 * notes->gap_mm;
    double left = INFINITY, right = -INFINITY, high = 0;
    for (size_t s = 0; s < plan->shot_count; s++) {
        const PlanShot *shot = &plan->shots[s];
        for (size_t c = 0; c < shot->camera_count; c++) {
            UprightView view;
            if (!camera_upright_view(&shot->cameras[c].camera, &shot->picture, shot->spare, back_mm, 0, most,
                                     &view))
                continue;
            left = fmin(left, view.left_mm);
            right = fmax(right, view.right_mm);
            high = fmax(high, view.high_mm);
        }
    }
    if (!(left < right && high > 0)) return;
    const Point3 corners[] = {
        {left, back_mm, 0}, {right, back_mm, 0}, {right, back_mm, high}, {left, back_mm, high}};
    Missing missing = missing_new(notes, "no backdrop");
    outline(&missing, corners);
    finish(&missing, point(left, back_mm, high + 8 * notes->line_mm), 0, -1);
}

/* Growths of one thing follow one another. */
void notes_of_growth(Notes *notes) {
    const Seen *seen = notes->plan->seen;
    for (size_t i = 0, count; seen && i < seen->closes.count; i += count) {
        const SeenGrowth *first = &seen->closes.items[i];
        for (count = 1; i + count < seen->closes.count && first[count].thing == first->thing;)
            count++;
        if (first->thing < 0)
            note_backdrop(notes, first->value_mm);
        else if (first->thing == notes->plan->ground)
            note_ground(notes, first, count);
        else
            note_panel(notes, first, count);
    }
}
