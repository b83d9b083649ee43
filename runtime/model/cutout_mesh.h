/* A cutout with an outline: a board sawn along a polygon. */
#ifndef GROUNDROW_CUTOUT_MESH_H
#define GROUNDROW_CUTOUT_MESH_H

#include "model/mesh.h"
#include "plan/cutout.h"

/* A closed solid between `front_mm` and `rear_mm`: the outline's x from the middle of its `wide_mm`, its y as
 * up. Front and back by clipping ears off the polygon, sides square to them. */
Mesh *cutout_mesh(Arena *arena, CutoutOutline outline, double wide_mm, double front_mm, double rear_mm);

#endif
