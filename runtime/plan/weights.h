/* What is known of weights: what the spec states, else what a thing is cut from (docs/geometry.md, rules 84
 * and 106). */
#ifndef GROUNDROW_WEIGHTS_H
#define GROUNDROW_WEIGHTS_H

#include "plan/parts.h"
#include "plan/plan.h"

/* Of a thing as it stands, with all of its row; NAN: not known. Needs the plan's parts for what is cut. */
double plan_weight_kg(const Plan *plan, int thing);
/* As stated, with all of its row; NAN: it is not. */
double plan_stated_weight_kg(const Plan *plan, int thing);
/* As cut, with all of its row; NAN: it is not, or of a stock that does not say. */
double plan_cut_weight_kg(const Plan *plan, int thing);

/* Of its parts the heaviest whose weight is known, or NULL. */
const Part *plan_heaviest_part(const Plan *plan, int thing);
/* Of one that is carried as it stands: a puppet, a piece put together, one of its row; of flats and the
 * backdrop, which are put together where they stand, only what is stated. NAN: none, or not known. */
double plan_carried_kg(const Plan *plan, int thing);

/* The shot whose own puppets weigh most together, the first of equals. */
int plan_heaviest_shot(const Plan *plan);

/* Whether its weight could be asked for: openings have none, and mounds and hollows are their ground's. */
bool plan_has_weight(const Plan *plan, int thing);

#endif
