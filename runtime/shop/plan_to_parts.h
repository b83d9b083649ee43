/* Stage: a plan into the parts that its things are cut from (docs/geometry.md, rules 80 to 89). What was
 * planned is cut, not what was built. Puppets, and things without a stock, have no parts.
 *
 * Faults, each at its place: a stock without a size, something that fits on no sheet and must not be split, a
 * thing that lengths of timber cannot make. The parts are then those of the other things. */
#ifndef GROUNDROW_PLAN_TO_PARTS_H
#define GROUNDROW_PLAN_TO_PARTS_H

#include "base/diagnostic.h"
#include "plan/parts.h"
#include "plan/plan.h"

/* Seams keep so far from a mark, where the leading puppet is held (6 in; common practice, no source). */
#define SEAM_FROM_MARK_MM 152.4

Parts *plan_to_parts(Arena *arena, const Plan *plan, Diagnostics *diagnostics);

#endif
