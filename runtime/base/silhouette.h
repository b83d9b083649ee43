/* The outline of what an image shows: of what is opaque in it, or of what stands before a plain background.
 */
#ifndef GROUNDROW_SILHOUETTE_H
#define GROUNDROW_SILHOUETTE_H

#include "base/arena.h"
#include "base/pixels.h"

typedef struct SilhouettePoint {
    double x_px, y_px;
} SilhouettePoint;

/* The largest connected shape's outer edge: a polygon that does not cross itself, anticlockwise, as fine as
 * the pixels. x to the right and y up from the lower left corner of its own box, which is `wide_px` by
 * `tall_px`. Holes in it and shapes beside it are not in it. */
typedef struct Silhouette {
    double wide_px, tall_px;
    const SilhouettePoint *points;
    size_t count;
} Silhouette;

typedef enum SilhouetteFault {
    SILHOUETTE_FOUND,
    SILHOUETTE_EMPTY,     /* wholly transparent, or all of it as its border */
    SILHOUETTE_NO_GROUND, /* nothing is transparent, and the border has no one colour */
    SILHOUETTE_SMALL,     /* under 8 px wide or tall */
    SILHOUETTE_RAGGED     /* over 20 000 corners: noise */
} SilhouetteFault;

/* Where `opacity` (image_to_opacity; may be NULL) has anything less than half opaque, the shape is what is at
 * least half opaque. Else it is what differs in red, green or blue by 32 of 255 or more from the background:
 * the median colour of the image's border, which half of the border at least must be near to.
 *
 * Marching squares over the pixels' centres, placed between them by their values; where two corners of a
 * square that face each other are inside, they are one shape if the mean of the four is. All round the image
 * is background. `*silhouette` in `arena`, NULL unless SILHOUETTE_FOUND. */
SilhouetteFault pixels_to_silhouette(Arena *arena, const Pixels *pixels, const Pixels *opacity,
                                     const Silhouette **silhouette);

#endif
