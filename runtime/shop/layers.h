/* Which sheets of several thicknesses make up a height, and in which order (docs/geometry.md, rule 87). */
#ifndef GROUNDROW_LAYERS_H
#define GROUNDROW_LAYERS_H

#include "base/arena.h"

enum { LAYERS_MOST = 200, THICKNESSES_MOST = 4 };

/* What a layer costs that has its lower side so high above the foot, and is so thick: the more, the more is
 * carved away of it. */
typedef struct LayerCost {
    double (*of)(const void *what, double low_mm, double thick_mm);
    const void *what;
} LayerCost;

/* Layers from the foot, each the index of its thickness, into `layers` (room for LAYERS_MOST): those that
 * reach `tall_mm` and least beyond it; of these the fewest; in the order that costs least, the thickest
 * lowest where that makes no difference. Thicknesses are over 0 and differ. Returns how many; 0: more than
 * LAYERS_MOST would be needed. */
int layers_choose(Arena *arena, const double *thick_mm, int thickness_count, double tall_mm, LayerCost cost,
                  int *layers);

#endif
