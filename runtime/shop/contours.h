/* Contours of several mounds together: where the sum of their heights (rule 34) is more than a height
 * (docs/geometry.md, rule 89). */
#ifndef GROUNDROW_CONTOURS_H
#define GROUNDROW_CONTOURS_H

#include "shop/split.h"

typedef struct MoundGroup {
    const PlanThing *const *mounds;
    int count;
} MoundGroup;

/* How high all are together; and where they are highest. */
double group_height_mm(const MoundGroup *group, double across_mm, double back_mm);
double group_top_mm(const MoundGroup *group);
/* Area, by a count of places: to compare layers by. */
double group_area_mm2(const MoundGroup *group, double up_mm);

/* What is higher than `up_mm` over the flat ground (at 0: all that they cover), as outlines on the set,
 * anticlockwise, from the nearest on, thinned to within CONTOUR_WITHIN_MM. Pits inside are filled. */
#define CONTOUR_WITHIN_MM 1.0
void group_contours(Arena *arena, const MoundGroup *group, double up_mm, Cells *outlines);

#endif
