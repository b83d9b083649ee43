/* Which piece must grow by how much, on the set, to close what a frame shoots off (docs/geometry.md, rule
 * 42). */
#ifndef GROUNDROW_GROWTH_H
#define GROUNDROW_GROWTH_H

#include "plan/seen.h"
#include "see/look.h"

typedef struct Needs Needs;

/* Nothing is needed yet. */
Needs *needs_new(Arena *arena, const Plan *plan);
/* Adds what the bare pixels of a frame need. */
void needs_add(Needs *needs, const Look *look, const FramePixels *frame);
/* What was added, in whole cuts, in `arena`. */
SeenGrowths needs_to_growths(Arena *arena, const Needs *needs);

#endif
