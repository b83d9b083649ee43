/* Stage: full-size patterns of a scene, as a PDF on tiled pages: what the drawing shows of every flat and
 * every puppet, and the outline of every cutout, each as large as it is built (docs/patterns.md). */
#ifndef GROUNDROW_PLAN_TO_PATTERNS_H
#define GROUNDROW_PLAN_TO_PATTERNS_H

#include "base/text.h"
#include "plan/plan.h"

/* The file, in `arena`, the same bytes for the same scene anywhere. Empty where there is nothing to make a
 * pattern of: no drawing with pixels that shows a flat or a puppet, no cutout. */
Buffer plan_to_patterns(Arena *arena, const Plan *plan);

#endif
