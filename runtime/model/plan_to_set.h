/* Stage: a plan into the model of its set: base, ground, backdrop, flats, pieces, stand-ins for the puppets,
 * and every allowed camera of every shot, the planned one first. Nothing that is not built or seen: notes are
 * added by notes_to_model.h, when the set alone has been written.
 *
 *     set
 *       cameras     planned, ...
 *       base, ground, backdrop
 *       flats       far_bank, ...
 *       pieces      ferry, ...; a row has its items under it
 *       puppets     otter (otter_body, otter_face, otter_eyes), ...; with shots, one group for each
 *
 * A glTF camera cannot be shifted. Where the frame lies off the sensor's middle, the camera keeps its true
 * place and tilt and sees as far to both sides as the frame reaches on the farther one; where the frame lies
 * in that view stands in its extras (`frame_left` .. `frame_top`, from -1 to 1), see docs/models.md. */
#ifndef GROUNDROW_PLAN_TO_SET_H
#define GROUNDROW_PLAN_TO_SET_H

#include "model/model.h"
#include "plan/plan.h"

/* The model belongs to `arena` and points into the plan. */
Model *plan_to_set(Arena *arena, const Plan *plan);

/* Whether two puppets of different shots are one and the same stand-in: one node of the model, which bears
 * the earlier one's index. */
bool set_same_stand(const PlanThing *a, const PlanThing *b);

#endif
