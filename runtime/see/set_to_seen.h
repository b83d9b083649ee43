/* Stage: the set's model, looked at through every allowed camera by a z-buffer, into what each sees. */
#ifndef GROUNDROW_SET_TO_SEEN_H
#define GROUNDROW_SET_TO_SEEN_H

#include "model/model.h"
#include "plan/plan.h"
#include "plan/seen.h"

/* Pixels across the frame. As their rows lean, shares of things of some size are right to about 0.05 % of the
 * frame at 320. */
enum { SEEN_WIDE_PX = 320 };

/* Through allowed cameras and other bodies it looks half as closely, and not at what hides what, nor at the
 * slack. Looks at nodes of the roles set and stand-in; the base is no scenery. In `arena`. */
Seen *set_to_seen(Arena *arena, const Plan *plan, const Model *set, int wide_px);

#endif
