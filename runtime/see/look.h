/* One look through one camera: the set in a raster, and which of its pixels are in the frame. */
#ifndef GROUNDROW_LOOK_H
#define GROUNDROW_LOOK_H

#include "see/scenery.h"

/* Pixels whose centres lie in a frame: of each row, from the first to before the last. */
typedef struct FramePixels {
    double out;           /* the frame, moved out by this share of its own sides */
    const int *from, *to; /* of each row of the raster */
    size_t count;
} FramePixels;

typedef struct Look {
    const Scenery *scenery;
    const Plan *plan;
    const PlanShot *shot;
    int shot_index;
    const Camera *camera;
    Raster *raster;
    FramePixels frame, spared; /* the frame itself, and moved out by the spare */
} Look;

/* Draws the set, `wide_px` to the width of the frame, with all of the spare. Its rows lean: pixels are for
 * counting. In `arena`. */
Look look_new(Arena *arena, const Scenery *scenery, int shot, int camera, int wide_px);

#endif
