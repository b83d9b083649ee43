/* Stage: the shop sheets of a scene, as a PDF to print and to hang on the workshop's wall: plan and side
 * elevation to a stated scale, the frame through the lens, and every number that is taped, cut and set.
 * Numbers are the report's: they are printed from facts and never worked out anew; what is drawn is the plan
 * that the facts were written from. */
#ifndef GROUNDROW_SET_TO_SHEETS_H
#define GROUNDROW_SET_TO_SHEETS_H

#include "model/model.h"
#include "plan/plan.h"
#include "report/facts.h"

/* The file, in `arena`; the same bytes for the same scene anywhere. Looks at nodes of the roles set and
 * stand-in only. */
Buffer set_to_sheets(Arena *arena, const Plan *plan, const Model *set, const Facts *facts);

#endif
