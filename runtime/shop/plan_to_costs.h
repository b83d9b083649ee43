/* Stage: what each of a plan's allowances costs: the scene is planned and cut once more without it
 * (docs/geometry.md, rules 100 to 102). An allowance without which the scene cannot be planned or cut is left
 * out, and nothing is said of that. The plan's parts are known. */
#ifndef GROUNDROW_PLAN_TO_COSTS_H
#define GROUNDROW_PLAN_TO_COSTS_H

#include "shop/costs.h"

const Costs *plan_to_costs(Arena *arena, const Plan *plan);

#endif
