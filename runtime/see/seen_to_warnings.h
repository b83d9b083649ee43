/* Stage: what was seen, into warnings of the plan: where a frame shoots off the set, and puppets that
 * something hides. */
#ifndef GROUNDROW_SEEN_TO_WARNINGS_H
#define GROUNDROW_SEEN_TO_WARNINGS_H

#include "plan/plan.h"
#include "plan/seen.h"

/* `plan->seen` is there. Adds to the plan's warnings, and says them. */
void seen_to_warnings(Plan *plan, Diagnostics *diagnostics);

#endif
