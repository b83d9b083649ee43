/* Where the base is drilled for what stands on it, whether each hole is clear of the base's seams and of what
 * of the tables is under it, and where a thing would be clear (docs/geometry.md, rules 103 and 104). */
#ifndef GROUNDROW_HOLES_H
#define GROUNDROW_HOLES_H

#include "plan/fixing.h"
#include "plan/tables.h"

/* Common practice, no source: so near to a seam a screw splits the board's edge, or holds two boards that
 * should be taken apart. */
#define HOLE_FROM_SEAM_MM 50.8
/* No farther does it help to move a thing. */
#define HOLE_MOVE_MOST_MM 304.8

typedef struct Hole {
    FixedPoint point;
    double through_mm; /* ground, and what rises from it, and base */
    double seam_mm;    /* to the base's nearest seam; NAN where it has none, or has no stock to be cut from */
    int seam;          /* index into the plan's parts; -1 */
    TablePlace place;  /* under it; no table where the book states none */
    bool at_seam, blocked;
} Hole;

typedef struct Holes {
    LIST(Hole) items; /* in the plan's order */
    bool too_many;    /* more than anyone drills: the others are left out (FIXINGS_MOST) */
    bool has_tables;
    Tables tables;
} Holes;

/* From a hole to the nearest point of a seam. */
double seam_from_hole_mm(const PartSeam *seam, Point3 hole);

/* As planned; the plan's parts are known. */
Holes plan_holes(Arena *arena, const Plan *plan);

/* The shortest way, to a side or straight back or forward by steps of 1/4 in or 5 mm, to a place where a
 * thing's holes are all clear of seams, legs and edges. False where none is within HOLE_MOVE_MOST_MM, or
 * there is too much to look at. */
bool holes_clear_move(const Plan *plan, const Holes *holes, int thing, double *right_mm, double *back_mm);

/* `left end`, `3 of 5`, `3 of 5, right end`; "" of a thing's only hole. */
const char *hole_name(Arena *arena, const Plan *plan, const Hole *hole);

#endif
