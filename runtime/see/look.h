/* One look through one camera: the set in a raster, and which of its pixels are in the frame. */
#ifndef GROUNDROW_LOOK_H
#define GROUNDROW_LOOK_H

#include "see/scenery.h"

/* Pixels whose centres lie in a frame: of each row, from the first to before the last. */
typedef struct FramePixels {
    RasterWindow window;  /* the frame */
    const int *from, *to; /* of each row of the raster */
    size_t count;
} FramePixels;

typedef struct Look {
    const Scenery *scenery;
    const Plan *plan;
    const PlanShot *shot;
    int shot_index;
    const Camera *camera;
    const Picture *picture;
    Raster *raster;
    FramePixels frame, spared; /* the frame itself, and moved out by the spare */
} Look;

/* Draws the set of a shot through a camera, `wide_px` to the width of `frame`, as far as `spared`, which
 * holds it (the frame, or moved out). The rows lean: pixels are for counting. In `arena`; `camera` and
 * `picture` must last. */
Look look_new(Arena *arena, const Scenery *scenery, int shot, const Camera *camera, const Picture *picture,
              RasterWindow frame, RasterWindow spared, int wide_px);

#endif
