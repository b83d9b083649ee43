/* Warnings of holes that a drill, a screw or the hand under the base does not get through to. */
#include "base/text.h"
#include "plan/holes.h"
#include "plan/plan_warnings.h"
#include "plan/room.h"

#include <math.h>

/* More than that, and it is the tables or the boards that are to be changed. */
enum { MOVES_TOLD_MOST = 20 };

typedef struct Driller {
    Plan *plan;
    Arena *arena;
    Diagnostics *diagnostics;
    Holes holes;
    int moves_told;
} Driller;

static const char *length(const Driller *d, double mm) {
    return length_one(d->arena, d->plan->scene->lengths, mm, 8, 0);
}

/* Never as much as is wanted: rounded down. */
static const char *length_too_short(const Driller *d, double mm) {
    const bool inches = d->plan->scene->lengths == STYLE_FEET_INCHES;
    return length(d, number_round_down(mm, inches ? MM_PER_INCH / 8 : 1));
}

static Span span_of(const Driller *d, int thing) {
    const Span span = d->plan->scene->things[thing].span;
    return span_is_none(span) ? d->plan->scene->span : span;
}

static const char *hole_words(const Driller *d, const Hole *hole) {
    const char *name = hole_name(d->arena, d->plan, hole);
    return arena_format(d->arena, "the hole for `%s`%s%s%s", d->plan->scene->things[hole->point.thing].name,
                        name[0] ? ", " : "", name, name[0] ? "," : "");
}

/* `it is clear 1 1/4 in to the right`, or NULL. */
static const char *move_words(Driller *d, int thing) {
    double right, back;
    if (d->moves_told++ >= MOVES_TOLD_MOST || !holes_clear_move(d->plan, &d->holes, thing, &right, &back))
        return NULL;
    return arena_format(d->arena, "it is clear %s %s", length(d, fmax(fabs(right), fabs(back))),
                        right > 0   ? "to the right"
                        : right < 0 ? "to the left"
                        : back > 0  ? "farther back"
                                    : "farther forward");
}

static const char *help_of(Driller *d, int thing, const char *otherwise) {
    const char *move = move_words(d, thing);
    return move ? arena_format(d->arena, "%s; or %s", move, otherwise) : otherwise;
}

static void warn_of_seam(Driller *d, const Hole *hole) {
    const int thing = hole->point.thing;
    const char *near =
        hole->seam_mm < MM_PER_INCH / 8
            ? "is on a seam of the base"
            : arena_format(d->arena, "is %s from a seam of the base", length_too_short(d, hole->seam_mm));
    plan_add_warning(d->plan, d->diagnostics, "hole-at-seam", d->plan->scene->things[thing].name,
                     span_of(d, thing),
                     help_of(d, thing, "join the boards by a plate under the seam and drill through both"),
                     arena_format(d->arena, "%s %s; a screw wants %s", hole_words(d, hole), near,
                                  length(d, HOLE_FROM_SEAM_MM)));
}

static void warn_of_leg(Driller *d, const Hole *hole) {
    const int thing = hole->point.thing;
    const PlanTable *table = &d->holes.tables.items[hole->place.table];
    plan_add_warning(
        d->plan, d->diagnostics, "hole-over-leg", d->plan->scene->things[thing].name, span_of(d, thing),
        help_of(d, thing,
                "set a T-nut into the base from below before it is laid on the tables, which stand where the "
                "fewest holes are in their way"),
        arena_format(d->arena, "%s comes out over %s of row %d, table %d", hole_words(d, hole),
                     hole->place.under == UNDER_LEG ? "a leg" : "the edge", table->row + 1,
                     table->column + 1));
}

/* Once a thing: the hole nearest to a seam, the first over a leg. */
static void check_things(Driller *d) {
    const Hole *near = NULL, *over = NULL;
    for (size_t i = 0; i < d->holes.items.count; i++) {
        const Hole *hole = &d->holes.items.items[i];
        if (hole->at_seam && (!near || hole->seam_mm < near->seam_mm - 1e-6)) near = hole;
        if (hole->blocked && !d->holes.tables.whole && !over) over = hole;
        if (i + 1 < d->holes.items.count && hole[1].point.thing == hole->point.thing) continue;
        if (near) warn_of_seam(d, near);
        if (over) warn_of_leg(d, over);
        near = over = NULL;
    }
}

static void check_tops(Driller *d) {
    size_t below = 0, over = 0;
    for (size_t i = 0; i < d->holes.items.count; i++) {
        below += d->holes.items.items[i].point.below;
        over += d->holes.items.items[i].blocked;
    }
    if (!d->holes.has_tables || !d->holes.tables.whole || over == 0) return;
    plan_add_warning(d->plan, d->diagnostics, "hole-over-top", "table", plan_span_of_set(d->plan),
                     "lift the base on battens, so that a hand reaches under it; or set T-nuts into it from "
                     "below before it is laid on the tables; or screw from above (`fixed: above`)",
                     arena_format(d->arena,
                                  "%zu of %zu holes for screws from below are over tops that nothing is "
                                  "drilled through (`top: whole`)",
                                  over, below));
}

void holes_to_warnings(Plan *plan, Diagnostics *diagnostics) {
    Arena *arena = plan->scene->arena;
    Driller driller = {plan, arena, diagnostics, plan_holes(arena, plan), 0};
    check_things(&driller);
    check_tops(&driller);
}
