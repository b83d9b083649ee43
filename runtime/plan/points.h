/* Named points of a planned set that one can find and touch, as built: what facts, marks in photographs and
 * whoever lines things up speak of. */
#ifndef GROUNDROW_POINTS_H
#define GROUNDROW_POINTS_H

#include "plan/plan.h"

typedef struct PlanPoint {
    int thing;              /* index into things; -1: the mark, or the frame */
    const char *thing_name; /* `far bank`, `mark`, `frame` */
    const char *name;       /* `top left`; of the mark itself `mark` */
    Point3 at;
    bool on_set; /* false: a corner of the frame, which is nowhere to be touched */
} PlanPoint;

/* The points that a shot has: its mark, its frame's corners (trim and bleed) in the upright plane across the
 * set at the mark, ground and base, then its things in the order of the spec. In `arena`. */
PlanPoint *plan_points(Arena *arena, const Plan *plan, size_t shot, size_t *count);

/* How a spec writes a point: `far bank.top left`, `mark`. */
const char *plan_point_path(Arena *arena, const PlanPoint *point);

#endif
