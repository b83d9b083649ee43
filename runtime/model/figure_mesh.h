/* Stand-ins for puppets: a plain body with arms, feet, a head, a muzzle and eyes, so that one sees a figure
 * and which way it looks. As wide, tall and deep as the puppet: the top of the head is `tall` up on the axis,
 * the eyes are `eyes` up on the face, everything is inside `wide` x `deep` and touches all four sides. Own
 * frame: the axis upright through the origin, feet at up = 0, front towards -back. */
#ifndef GROUNDROW_FIGURE_MESH_H
#define GROUNDROW_FIGURE_MESH_H

#include "model/mesh.h"

typedef enum FigurePose {
    FIGURE_STANDING,
    FIGURE_SEATED, /* legs stretched out to the front */
    FIGURE_LYING   /* or flying: the trunk along the depth, the arms stretched out to the sides */
} FigurePose;

typedef struct FigureSize {
    double wide_mm, tall_mm, deep_mm, eyes_mm;
    FigurePose pose;
} FigureSize;

/* Three meshes, for three materials. Each is one or more closed solids. */
typedef struct Figure {
    Mesh *body; /* trunk, head and limbs; has vertices at the foot and at the top of the head, on the axis */
    Mesh *face; /* muzzle and belly */
    Mesh *eyes; /* and nose */
} Figure;

Figure figure_mesh(Arena *arena, const FigureSize *size);

#endif
