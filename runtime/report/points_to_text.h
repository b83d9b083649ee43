/* Stage: the points of a planned set that can be marked in a photograph, for `groundrow words --points`:
 * where the drawing has each, where to expect it in a photograph from the planned camera, and how thick a pen
 * line must be there to show as 5 pixels. */
#ifndef GROUNDROW_POINTS_TO_TEXT_H
#define GROUNDROW_POINTS_TO_TEXT_H

#include "base/text.h"
#include "plan/plan.h"

/* Each shot with the body of its plan, then each photograph that the scene has, with its own body and lens.
 * `hidden_by` says of each shot's points (plan_points) which thing stands before it, or -1
 * (see/point_sight.h); NULL where nobody has looked. */
void points_to_text(Buffer *out, const Plan *plan, const int *const *hidden_by);

#endif
