/* The set as cameras look at it: its meshes placed, once for all cameras, and drawn into rasters. Nodes of
 * the roles set and stand-in; who is seen where is a thing of the plan. */
#ifndef GROUNDROW_SCENERY_H
#define GROUNDROW_SCENERY_H

#include "model/model.h"
#include "plan/plan.h"
#include "see/rasteriser.h"

/* One mesh of one thing. */
typedef struct SceneryPart {
    int node;  /* of the model */
    int thing; /* whose it is in the model: seen as another in other shots */
    RasterMesh mesh;
    Point3 *normals;  /* of its points */
    Point3 low, high; /* what it spans, mm of the set */
} SceneryPart;

typedef struct Scenery {
    const Plan *plan;
    const Model *set;
    SceneryPart *parts; /* in the model's order; those of one thing follow one another */
    size_t part_count;
    const bool *is_edge; /* of each triangle up to the ground's last: upright or underneath */
    size_t facet_count;  /* triangles, numbered through all parts in their order */
} Scenery;

/* In `arena`; looks into `plan` and `set`, which it does not copy. */
Scenery *scenery_new(Arena *arena, const Plan *plan, const Model *set);

/* Sets what a part spans, from its points. */
void scenery_measure(SceneryPart *part);

/* As which thing of the plan a thing's node is seen in a shot (a puppet that stands there in several shots
 * has one node); -1: it is not there. */
int scenery_seen_as(const Scenery *scenery, int thing, int shot);

/* Draws all that stands in `shot` (index into the plan's) into a raster of that shot's picture; identity is
 * the thing's index in the plan. It sets `solids_only`: the set's meshes are closed. The base is drawn too.
 */
void scenery_draw(const Scenery *scenery, Raster *raster, int shot);

/* Whether the frame shoots off the set at a pixel of a raster that keeps its facets: nothing is there, or the
 * base alone, or the ground's cut edge, which the frame looks over. */
static inline bool scenery_bare(const Scenery *scenery, const Raster *raster, size_t pixel) {
    const int32_t identity = raster->identity[pixel];
    if (identity == RASTER_NOTHING || identity == scenery->plan->base) return true;
    return identity == scenery->plan->ground && scenery->is_edge[raster->facet[pixel]];
}

/* What is seen at a pixel of a raster that keeps its facets (raster_keep_facets, before drawing): the point
 * of the set on the ray through the pixel's centre, the surface's smoothed normal there (length 1, in the
 * set's frame, outwards), and the node, which knows its material. False where nothing is. */
typedef struct SceneryHit {
    Point3 at, normal;
    int node;
} SceneryHit;
bool scenery_hit(const Scenery *scenery, const Raster *raster, size_t pixel, SceneryHit *hit);

#endif
