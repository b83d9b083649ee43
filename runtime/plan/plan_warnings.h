/* Warnings of a plan: those of planning, and what later stages find out by looking at the set. */
#ifndef GROUNDROW_PLAN_WARNINGS_H
#define GROUNDROW_PLAN_WARNINGS_H

#include "plan/plan.h"

/* Adds a warning (`word` as in warnings.def) about a thing of that name, or a section's word, to the plan,
 * and says it, unless the spec accepts it; then it is in the plan alone. Texts are kept as they are; `help`
 * may be NULL. */
void plan_add_warning(Plan *plan, Diagnostics *diagnostics, const char *word, const char *thing, Span span,
                      const char *help, const char *message);
/* Where a warning of the whole set points: the base, the ground or the title, whichever of them the scene
 * itself states first. */
Span plan_span_of_set(const Plan *plan);
/* How one writes that a stock is sold in sheets, or in lengths: an example in the book's own system. */
const char *plan_stock_example(const Plan *plan, bool bars);

#endif
