/* Stage: a plan into everything that the report says about it, in the order in which a maker needs it: what
 * it is, what to mind, where to tape, how to set the camera, each thing, each allowed camera, what each
 * covering size asks for, and last the sensor and other bodies. docs/report.md explains each line. */
#ifndef GROUNDROW_PLAN_TO_FACTS_H
#define GROUNDROW_PLAN_TO_FACTS_H

#include "plan/plan.h"
#include "report/facts.h"

/* Belongs to `arena` and points into the plan and its scene. */
Facts *plan_to_facts(Arena *arena, const Plan *plan);

#endif
