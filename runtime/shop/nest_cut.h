/* From trees of joints to what the saw does: pieces, cuts, placements, offcuts (docs/cutting.md, 5). */
#ifndef GROUNDROW_NEST_CUT_H
#define GROUNDROW_NEST_CUT_H

#include "shop/nest_forest.h"

/* Fills everything of `nest` but what does not lie anywhere and the bound. */
void nest_cut(Arena *arena, const NestTask *task, const NestBlocks *blocks, const NestForest *forest,
              Nest *nest);

#endif
