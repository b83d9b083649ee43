#include "plan/holes.h"

#include "base/text.h"

#include <math.h>

double seam_from_hole_mm(const PartSeam *seam, Point3 hole) {
    const double along = seam->across ? hole.across_mm : hole.back_mm;
    const double off = seam->across ? hole.back_mm : hole.across_mm;
    const double beyond = fmax(fmax(seam->from_mm - along, along - seam->to_mm), 0);
    return hypot(off - seam->at_mm, beyond);
}

/* Where a side that runs from one place across at the front to one at the rear is at `at_mm`. */
static double side_at_mm(const Trapezoid *t, double front_mm, double rear_mm, double at_mm) {
    return t->front_mm + (t->rear_mm - t->front_mm) * (at_mm - front_mm) / (rear_mm - front_mm);
}

/* Seams are as long as their rows are wide; a board's slanted side may cut them off before that. */
static PartSeam on_board(const Trapezoid *t, PartSeam seam) {
    const double deep = t->rear_mm - t->front_mm, at = seam.at_mm;
    if (seam.across && deep > 0) {
        const double share = (at - t->front_mm) / deep;
        seam.from_mm = fmax(seam.from_mm, t->front_left_mm + share * (t->rear_left_mm - t->front_left_mm));
        seam.to_mm = fmin(seam.to_mm, t->front_right_mm + share * (t->rear_right_mm - t->front_right_mm));
    } else if (!seam.across) {
        if (at < t->front_left_mm && at > t->rear_left_mm)
            seam.from_mm = fmax(seam.from_mm, side_at_mm(t, t->front_left_mm, t->rear_left_mm, at));
        if (at > t->front_right_mm && at < t->rear_right_mm)
            seam.from_mm = fmax(seam.from_mm, side_at_mm(t, t->front_right_mm, t->rear_right_mm, at));
        if (at < t->rear_left_mm && at > t->front_left_mm)
            seam.to_mm = fmin(seam.to_mm, side_at_mm(t, t->front_left_mm, t->rear_left_mm, at));
        if (at > t->rear_right_mm && at < t->front_right_mm)
            seam.to_mm = fmin(seam.to_mm, side_at_mm(t, t->front_right_mm, t->rear_right_mm, at));
    }
    return seam;
}

/* Of the board that carries the set. */
static void find_seam(const Plan *plan, Hole *hole, Point3 at) {
    const int board = plan->base >= 0 ? plan->base : plan->ground;
    const Trapezoid *outline = plan->base >= 0 ? &plan->base_outline : &plan->ground_outline;
    hole->seam_mm = NAN;
    hole->seam = -1;
    for (size_t i = 0; plan->parts && i < plan->parts->seams.count; i++) {
        if (plan->parts->seams.items[i].thing != board) continue;
        const PartSeam seam = on_board(outline, plan->parts->seams.items[i]);
        const double mm = seam_from_hole_mm(&seam, at);
        if (mm >= hole->seam_mm) continue;
        hole->seam_mm = mm;
        hole->seam = (int)i;
    }
}

/* Equal but for rounding is clear. */
static void look_under(const Plan *plan, const Holes *holes, Hole *hole, Point3 at) {
    find_seam(plan, hole, at);
    hole->at_seam = hole->seam_mm < HOLE_FROM_SEAM_MM - 1e-6;
    hole->place = (TablePlace){UNDER_NO_TABLE, -1};
    if (holes->has_tables) hole->place = tables_under(&holes->tables, at.across_mm, at.back_mm);
    hole->blocked = hole->point.below && holes->has_tables && tables_block(&holes->tables, hole->place);
}

Holes plan_holes(Arena *arena, const Plan *plan) {
    const Fixings fixings = plan_fixings(arena, plan);
    Holes holes = {.too_many = fixings.too_many};
    holes.has_tables = plan_tables(arena, plan, &holes.tables);
    for (size_t i = 0; i < fixings.points.count; i++) {
        Hole hole = {.point = fixings.points.items[i]};
        look_under(plan, &holes, &hole, hole.point.at);
        hole.through_mm =
            hole.point.at.up_mm + plan->ground_thick_mm + (plan->base >= 0 ? plan->base_thick_mm : 0);
        LIST_PUSH(arena, holes.items, hole);
    }
    return holes;
}

/* --- where it would be clear --------------------------------------------------------------------------- */

static bool clear_at(const Plan *plan, const Holes *holes, int thing, double right_mm, double back_mm) {
    for (size_t i = 0; i < holes->items.count; i++) {
        Hole hole = holes->items.items[i];
        if (hole.point.thing != thing) continue;
        const Point3 at = {hole.point.at.across_mm + right_mm, hole.point.at.back_mm + back_mm,
                           hole.point.at.up_mm};
        look_under(plan, holes, &hole, at);
        if (hole.at_seam || hole.blocked) return false;
    }
    return true;
}

/* So many places and holes are looked at, times tables and seams: nobody waits for more. */
enum { LOOKED_AT_MOST = 40000 };

static bool too_much_to_look_at(const Plan *plan, const Holes *holes, int thing) {
    size_t count = 0;
    for (size_t i = 0; i < holes->items.count; i++)
        count += holes->items.items[i].point.thing == thing;
    const size_t seams = plan->parts ? plan->parts->seams.count : 0;
    return count * ((size_t)holes->tables.count + seams) > LOOKED_AT_MOST;
}

bool holes_clear_move(const Plan *plan, const Holes *holes, int thing, double *right_mm, double *back_mm) {
    static const int ways[][2] = {{-1, 0}, {1, 0}, {0, 1}, {0, -1}};
    const double step = plan->scene->lengths == STYLE_FEET_INCHES ? MM_PER_INCH / 4 : 5;
    if (too_much_to_look_at(plan, holes, thing)) return false;
    for (int far = 1; far * step <= HOLE_MOVE_MOST_MM; far++) {
        for (size_t way = 0; way < sizeof ways / sizeof *ways; way++) {
            *right_mm = ways[way][0] * far * step;
            *back_mm = ways[way][1] * far * step;
            if (clear_at(plan, holes, thing, *right_mm, *back_mm)) return true;
        }
    }
    return false;
}

/* --- names --------------------------------------------------------------------------------------------- */

static const char *end_name(const FixedPoint *point) {
    if (point->end == 0) return "";
    if (point->along) return point->end < 0 ? "front end" : "rear end";
    return point->end < 0 ? "left end" : "right end";
}

const char *hole_name(Arena *arena, const Plan *plan, const Hole *hole) {
    const FixedPoint *point = &hole->point;
    const int items = plan_planned(plan)[point->thing].row_count;
    const char *end = end_name(point);
    if (items < 2) return end;
    return arena_format(arena, "%d of %d%s%s", point->item + 1, items, end[0] ? ", " : "", end);
}
