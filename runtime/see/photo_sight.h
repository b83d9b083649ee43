/* The set as the camera of a photograph sees it: the same scenery, in that camera's own axes, before a camera
 * that stands at the origin and looks level along them. So one rasteriser does for both. The radial term is
 * left out: it moves a point by less than a pixel of what this is for. */
#ifndef GROUNDROW_PHOTO_SIGHT_H
#define GROUNDROW_PHOTO_SIGHT_H

#include "plan/lined_up.h"
#include "plan/seen.h"
#include "see/scenery.h"

typedef struct PhotoSight {
    Scenery scenery;
    Camera camera;
    Picture picture; /* its drawing is the sensor: mm from its lower left corner, as held */
} PhotoSight;

/* In `arena`; the model and the plan of `scenery` must last. */
PhotoSight photo_sight(Arena *arena, const Scenery *scenery, const PhotoCamera *camera,
                       const Photograph *photo);

/* How much of the set there is beyond the crop of a photograph that equals the planned frame. Looks with
 * `wide_px` pixels to the photograph's width. */
SeenPhoto photo_seen(Arena *arena, const Scenery *scenery, const LinedPhoto *photo, int wide_px);

#endif
