/* Contours of mounds and hollows, and which of them share a place (docs/geometry.md, rules 82 and 89). */
#ifndef GROUNDROW_RELIEF_H
#define GROUNDROW_RELIEF_H

#include "plan/plan.h"

/* How much of a mound (rule 34) is higher than `up_mm`: the radius of that contour in shares of its half
 * extents, 0 (nothing) to 1. */
double mound_contour(double tall_mm, double up_mm);

/* Whether there is a place where both, mounds or hollows, are higher or deeper than 1/16 in: where they are
 * less, nothing is carved. */
bool plan_reliefs_meet(const PlanThing *a, const PlanThing *b);

/* Whether it lies on the ground (rule 29), as far as it is higher or deeper than 1/16 in. Over the ground's
 * edge it is cut off; what lies wholly beside it is not there. */
typedef enum ReliefPlace { RELIEF_ON_GROUND, RELIEF_PARTLY_OFF, RELIEF_OFF_GROUND } ReliefPlace;
ReliefPlace plan_relief_place(const Plan *plan, const PlanThing *relief);

/* Warns of what lies off the ground; and of hollows that share a place with a mound or another hollow, where
 * the plan's parts are cut for them. */
void relief_to_warnings(Plan *plan, Diagnostics *diagnostics);

/* Warns of what stands level, at the height of the ground under its middle, where the ground under some of it
 * is higher (rule 30). */
void slopes_to_warnings(Plan *plan, Diagnostics *diagnostics);

#endif
