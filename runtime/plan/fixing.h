/* Where what stands on the set is held to its base: a hole for a screw or a tie-down under each puppet, post
 * and cone, and at both ends of whatever is long (docs/geometry.md, rule 103). */
#ifndef GROUNDROW_FIXING_H
#define GROUNDROW_FIXING_H

#include "base/arena.h"
#include "plan/plan.h"

/* Common practice, no source: what is shorter has one screw in its middle; else two, so far in from its ends,
 * or a quarter of its length, where that is less. */
#define FIXED_TWICE_MM 101.6
#define FIXED_INSET_MM 50.8

enum { FIXINGS_MOST = 4000 };

typedef struct FixedPoint {
    int thing;
    int item;   /* of a row, from 0 */
    int end;    /* -1: its left end, 1: its right end; 0: it has one hole, in its middle */
    bool along; /* it is longer from front to rear than across: its ends are front and rear */
    Point3 at;  /* on what it stands on, in the set's frame */
    bool below; /* held from under the base; else screwed from above */
} FixedPoint;

typedef struct Fixings {
    LIST(FixedPoint) points;
    bool too_many; /* over FIXINGS_MOST: the others are left out */
} Fixings;

/* Whether a thing is held to the base at all: a puppet, piece, flat or backdrop that stands on the ground,
 * and not by itself (`fixed: off`, which of a backdrop need not be said). What stands atop another thing is
 * held to that one, what hangs from above. */
bool plan_is_fixed(const PlanThing *thing);
/* In the plan's order, as planned. A puppet that stands alike in several shots is there once. What is not
 * plumb over the base (the ground, where there is no base) is left out. */
Fixings plan_fixings(Arena *arena, const Plan *plan);

#endif
