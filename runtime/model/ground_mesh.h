/* The ground: a slab whose top has the plan's mounds and hollows (docs/geometry.md, rule 34). */
#ifndef GROUNDROW_GROUND_MESH_H
#define GROUNDROW_GROUND_MESH_H

#include "model/mesh.h"
#include "plan/plan.h"

/* A slab over a trapezoid, flat on both sides. */
Mesh *slab_mesh(Arena *arena, const Trapezoid *outline, double top_mm, double thick_mm);

/* The plan's ground as one closed solid, its top at the flat ground (up = 0). Where there are mounds it is
 * divided until a cell is about a 24th of the mound, elsewhere it is left as large as that allows; the top
 * shades smooth. */
Mesh *ground_mesh(Arena *arena, const Plan *plan);

#endif
