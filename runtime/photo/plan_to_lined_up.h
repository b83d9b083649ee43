/* Stage: the marks in photographs against the plan, into where each camera stood and what to move
 * (docs/geometry.md, rules 61 to 74). */
#ifndef GROUNDROW_PLAN_TO_LINED_UP_H
#define GROUNDROW_PLAN_TO_LINED_UP_H

#include "base/diagnostic.h"
#include "plan/lined_up.h"

/* Marks that name no point or lie outside their photograph, photographs that are cut, and marks from which no
 * camera can be told are faults at their places; then it is NULL. Likely mis-marked points are warnings,
 * which the plan gets. NULL too where the scene has no photographs. In `arena`. */
LinedUp *plan_to_lined_up(Arena *arena, Plan *plan, Diagnostics *diagnostics);

#endif
