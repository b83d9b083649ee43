/* Stage: the chain behind one number of a plan, for `groundrow why`: what it is, what was stated and where,
 * by which rule, and then whatever that hangs on, indented; what has been shown once is not shown again. */
#ifndef GROUNDROW_REASONS_TO_TEXT_H
#define GROUNDROW_REASONS_TO_TEXT_H

#include "base/span.h"
#include "base/text.h"
#include "plan/plan.h"

/* `path` is a quantity (`far bank.tall`, `camera.height`) or a thing that is worked out as a whole (`camera`,
 * `ground`, `the camera`). False, and nothing is added, when the plan has no such number. */
bool reasons_to_text(Buffer *out, const Plan *plan, const Sources *sources, const char *path);
/* The nearest path for help, or NULL. */
const char *reasons_nearest(Arena *arena, const Plan *plan, const char *path);
/* What there is instead: `of base: base.lip, base.thick`, or the names of which there is something; never
 * NULL. */
const char *reasons_offered(Arena *arena, const Plan *plan, const char *path);

#endif
