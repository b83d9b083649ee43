/* The outline of a cutout, from its image's silhouette (docs/geometry.md, rule 85). */
#ifndef GROUNDROW_CUTOUT_H
#define GROUNDROW_CUTOUT_H

#include "base/silhouette.h"
#include "plan/parts.h"
#include "plan/plan.h"

typedef struct CutoutOutline {
    const PartPoint *points; /* anticlockwise as one faces its front; the polygon does not cross itself */
    size_t count;            /* 0: there is none, and it is its rectangle */
} CutoutOutline;

/* The silhouette stretched to `wide_mm` x `tall_mm` and thinned by Douglas and Peucker's way to within
 * 0.25 mm, or 0.8 of a pixel where that is more (else a hard edge's stairs stay); its box is exactly those
 * sizes: x from 0 to `wide_mm`, y up from 0. Of at most 1500 corners: none where that cannot be had. */
CutoutOutline silhouette_to_outline(Arena *arena, const Silhouette *silhouette, double wide_mm,
                                    double tall_mm);

/* A closed polygon's corners that hold it to within `tolerance_mm` (Douglas and Peucker), into `out`, which
 * has room for all; returns how many. */
size_t outline_thin(Arena *scratch, const PartPoint *points, size_t count, double tolerance_mm,
                    PartPoint *out);

/* Of a thing of the plan, at its size; none unless it is a cutout with an image. */
CutoutOutline plan_cutout(Arena *arena, const Plan *plan, const PlanThing *thing);

#endif
