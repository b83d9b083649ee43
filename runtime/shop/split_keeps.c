/* Where seams may not lie. */
#include "base/number.h"
#include "plan/holes.h"
#include "plan/table_seams.h"
#include "shop/split.h"

#include <math.h>

static const double HAIR_MM = 1e-6;
/* Layers are as high as sums of their thicknesses come to. */
static const double SAME_LEVEL_MM = 1e-2;
/* Of things that do not lie on the set: beside a window's edge (common practice, no source). */
static const double SEAM_FROM_OPENING_MM = 25.4;

static bool is_kept(const Keeps *keeps, double at_mm) {
    for (size_t i = 0; i < keeps->count; i++)
        if (at_mm > keeps->items[i].from_mm + HAIR_MM && at_mm < keeps->items[i].to_mm - HAIR_MM) return true;
    return false;
}

static void try_place(const Keeps *keeps, double low_mm, double high_mm, double wanted_mm, double at_mm,
                      double *best_mm) {
    if (at_mm < low_mm - HAIR_MM || at_mm > high_mm + HAIR_MM || is_kept(keeps, at_mm)) return;
    if (isnan(*best_mm) || fabs(at_mm - wanted_mm) < fabs(*best_mm - wanted_mm) - HAIR_MM) *best_mm = at_mm;
}

bool keeps_free_place(const Keeps *keeps, double low_mm, double high_mm, double wanted_mm, double step_mm,
                      double *at_mm) {
    double best = NAN;
    try_place(keeps, low_mm, high_mm, wanted_mm, number_round(wanted_mm, step_mm), &best);
    try_place(keeps, low_mm, high_mm, wanted_mm, number_round_up(low_mm, step_mm), &best);
    try_place(keeps, low_mm, high_mm, wanted_mm, number_round_down(high_mm, step_mm), &best);
    for (size_t i = 0; i < keeps->count; i++) {
        const Keep *it = &keeps->items[i];
        try_place(keeps, low_mm, high_mm, wanted_mm, number_round_down(it->from_mm, step_mm), &best);
        try_place(keeps, low_mm, high_mm, wanted_mm, number_round_up(it->to_mm, step_mm), &best);
    }
    if (isnan(best)) return false;
    *at_mm = best;
    return true;
}

/* --- from what ----------------------------------------------------------------------------------------- */

static void keep(Arena *arena, Keeps *keeps, double from_mm, double to_mm) {
    LIST_PUSH(arena, *keeps, (Keep){from_mm, to_mm});
}

static void keep_from_marks(Arena *arena, const Plan *plan, bool rows, Span2 row, Keeps *keeps) {
    for (size_t s = 0; s < plan->shot_count; s++) {
        const Point3 mark = plan->shots[s].mark;
        const double at = rows ? mark.back_mm : mark.across_mm;
        const bool beside =
            mark.back_mm < row.from_mm - SEAM_FROM_MARK_MM || mark.back_mm > row.to_mm + SEAM_FROM_MARK_MM;
        if (rows || !beside) keep(arena, keeps, at - SEAM_FROM_MARK_MM, at + SEAM_FROM_MARK_MM);
    }
}

bool seam_lies_under(const PartSeam *seam, const Surface *surface) {
    return surface->level && seam->level && fabs(seam->top_mm - surface->up_mm) < SAME_LEVEL_MM;
}

/* As bricks do: those of the layer after the next may lie in one line again. */
static void keep_from_seams(Arena *arena, const Parts *parts, const Surface *surface, bool rows, Span2 row,
                            Keeps *keeps) {
    for (size_t i = 0; i < parts->seams.count; i++) {
        const PartSeam *seam = &parts->seams.items[i];
        const bool meets = rows || (seam->from_mm < row.to_mm && seam->to_mm > row.from_mm);
        if (seam->across == rows && meets && seam_lies_under(seam, surface))
            keep(arena, keeps, seam->at_mm - SEAM_FROM_MARK_MM, seam->at_mm + SEAM_FROM_MARK_MM);
    }
}

static void keep_from_openings(Arena *arena, const Surface *surface, bool rows, Keeps *keeps) {
    for (size_t i = 0; i < surface->opening_count; i++) {
        const PartOpening *opening = &surface->openings[i];
        const double from = rows ? opening->y_mm : opening->x_mm;
        const double to = from + (rows ? opening->tall_mm : opening->wide_mm);
        keep(arena, keeps, from - SEAM_FROM_OPENING_MM, to + SEAM_FROM_OPENING_MM);
    }
}

/* Of the board that is drilled. */
static void keep_from_holes(Arena *arena, const Cutter *cutter, bool rows, Span2 row, Keeps *keeps) {
    const Plan *plan = cutter->plan;
    if (cutter->thing != (plan->base >= 0 ? plan->base : plan->ground)) return;
    for (size_t i = 0; i < cutter->fixings.points.count; i++) {
        const Point3 hole = cutter->fixings.points.items[i].at;
        const double at = rows ? hole.back_mm : hole.across_mm;
        const bool beside =
            hole.back_mm < row.from_mm - HOLE_FROM_SEAM_MM || hole.back_mm > row.to_mm + HOLE_FROM_SEAM_MM;
        if (rows || !beside) keep(arena, keeps, at - HOLE_FROM_SEAM_MM, at + HOLE_FROM_SEAM_MM);
    }
}

/* What is beyond the tables' outer edges ends where the surface does. */
static void keep_from_gaps(Arena *arena, const Cutter *cutter, const Surface *surface, bool rows, Span2 row,
                           Keeps *keeps) {
    const Span2 all = corners_extent(surface->corners, surface->corner_count, !rows);
    const NoBeds beds = tables_no_beds(arena, cutter->tables, rows, row.from_mm, row.to_mm);
    for (size_t i = 0; i < beds.count; i++)
        keep(arena, keeps, fmax(beds.items[i].from_mm, all.from_mm - 1),
             fmin(beds.items[i].to_mm, all.to_mm + 1));
}

static Keeps copy_of(Arena *arena, const Keeps *keeps) {
    Keeps copy = {0};
    for (size_t i = 0; i < keeps->count; i++)
        LIST_PUSH(arena, copy, keeps->items[i]);
    return copy;
}

KeepsAlong keeps_along(Arena *arena, const Cutter *cutter, const Surface *surface, bool rows, Span2 row) {
    KeepsAlong along = {0};
    if (surface->level) keep_from_marks(arena, cutter->plan, rows, row, &along.of[KEEPS_MARKS]);
    along.of[KEEPS_SEAMS] = copy_of(arena, &along.of[KEEPS_MARKS]);
    if (surface->level)
        keep_from_seams(arena, cutter->parts, surface, rows, row, &along.of[KEEPS_SEAMS]);
    else
        keep_from_openings(arena, surface, rows, &along.of[KEEPS_SEAMS]);
    along.of[KEEPS_HOLES] = copy_of(arena, &along.of[KEEPS_SEAMS]);
    if (surface->level) keep_from_holes(arena, cutter, rows, row, &along.of[KEEPS_HOLES]);
    along.of[KEEPS_TABLES] = copy_of(arena, &along.of[KEEPS_HOLES]);
    if (surface->on_tables) keep_from_gaps(arena, cutter, surface, rows, row, &along.of[KEEPS_TABLES]);
    return along;
}
