/* The search for the fewest sheets and the largest offcut: blocks in many orders, then some taken out and put
 * back, a bounded number of times (docs/cutting.md, 4). */
#ifndef GROUNDROW_NEST_SEARCH_H
#define GROUNDROW_NEST_SEARCH_H

#include "shop/nest_forest.h"

/* Sheets in stock are the beds 0 to have_count - 1; those after are new ones. */
typedef struct NestFound {
    NestForest forest;
    int new_beds;       /* in use */
    double lost_mm2;    /* of blocks that lie nowhere, with their kerfs */
    double largest_mm2; /* the largest rectangle that is left beside all that lies on a bed */
} NestFound;

/* Less is better: what lies nowhere, then new sheets, then the largest offcut. */
bool nest_found_better(const NestFound *a, const NestFound *b);

/* Quickly, by some orders alone; with this share of all steps. */
NestFound nest_construct(Arena *arena, const NestTask *task, const NestBlocks *blocks, double share);
/* From there on; `bound` is a number of new sheets that no nest goes below. */
void nest_improve(Arena *arena, const NestTask *task, const NestBlocks *blocks, int bound, double share,
                  NestFound *found);

#endif
