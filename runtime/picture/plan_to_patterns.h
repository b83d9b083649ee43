/* Stage: full-size patterns of a scene, as a PDF on tiled pages: what the drawing shows of every flat and
 * every puppet, and the outline of every cutout, each as large as it is built, and the backdrop squared up on
 * one page or, when it is asked for, as large as it is built in a file of its own (docs/patterns.md). */
#ifndef GROUNDROW_PLAN_TO_PATTERNS_H
#define GROUNDROW_PLAN_TO_PATTERNS_H

#include "base/text.h"
#include "plan/plan.h"

/* Files in `arena`, the same bytes for the same scene anywhere. Empty where there is nothing to make a
 * pattern of: no drawing with pixels that shows a flat, a puppet or the backdrop, no cutout. */
typedef struct PatternFiles {
    Buffer things;
    Buffer backdrop; /* at full size; empty unless asked for */
} PatternFiles;
PatternFiles plan_to_patterns(Arena *arena, const Plan *plan, bool full_backdrop);

#endif
