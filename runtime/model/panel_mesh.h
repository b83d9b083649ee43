/* Flats, backdrops and cutouts: an upright board with openings cut through it. */
#ifndef GROUNDROW_PANEL_MESH_H
#define GROUNDROW_PANEL_MESH_H

#include "model/mesh.h"

/* From the middle of the panel's foot: across to the right as one faces its front, up from its foot. */
typedef struct Opening {
    double left_mm, right_mm, foot_mm, top_mm;
} Opening;

/* A closed board in its own frame: `wide_mm` about 0, `tall_mm` up from 0, from `front_mm` back to `rear_mm`.
 * Openings are cut where they lie on the board, and may overlap; their reveals are faces of the solid.
 * Without a triangle when nothing of the board is left. */
Mesh *panel_mesh(Arena *arena, double wide_mm, double tall_mm, double front_mm, double rear_mm,
                 const Opening *openings, size_t opening_count);

#endif
