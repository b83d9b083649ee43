/* An image into pixels, each the mean of what it covers: never sharpened, and the same everywhere. */
#ifndef GROUNDROW_IMAGE_BLEND_H
#define GROUNDROW_IMAGE_BLEND_H

#include "picture/canvas.h"

/* Both are rows of 0x??RRGGBB from the top; `box` is of the target. `arena` is for the work. */
typedef struct ImagePixels {
    const uint32_t *pixels;
    int wide_px, tall_px;
} ImagePixels;
void image_blend(Arena *arena, uint32_t *target, int wide_px, int tall_px, const ImagePixels *image,
                 CanvasBox box, ImageBlend blend, double strength);

#endif
