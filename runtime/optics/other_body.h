/* Another body put where the planned camera stands: the same lens place, axis and plane in focus, another
 * sensor and another lens. What it shows, on the drawing and on the set, and which part of it is the planned
 * frame. docs/geometry.md, rule 50. */
#ifndef GROUNDROW_OTHER_BODY_H
#define GROUNDROW_OTHER_BODY_H

#include "optics/camera.h"

typedef struct OtherBody {
    /* Its camera, and the picture that draws with it as the planned camera draws with its own: `taken` is the
     * planned frame on this sensor, which may be larger than the sensor. */
    Camera camera;
    Picture picture;
    double left_mm, right_mm, low_mm, high_mm; /* its whole sensor, on the drawing */
    bool holds;                                /* the planned frame lies wholly on its sensor */
    double missed;                             /* share of the planned frame that does not */
    double missed_left, missed_right, missed_top, missed_bottom; /* of the frame's own width or height */
    double longest_mm; /* the longest focal length that holds all of the planned frame */
} OtherBody;

/* The sensor as it is held. False, and nothing set, where the lens cannot be focused on the planned plane (u
 * <= f). */
bool other_body_new(const Camera *planned, const Picture *picture, double sensor_wide_mm,
                    double sensor_tall_mm, double focal_mm, OtherBody *other);

/* The planned frame in this body's pixels, from the upper left corner of its image, unrounded; it may reach
 * past the image. Pixels as it is held. */
typedef struct PixelFrame {
    double left_px, top_px, wide_px, tall_px;
} PixelFrame;
PixelFrame other_body_pixels(const OtherBody *other, double pixels_wide, double pixels_tall);
/* The whole pixels that hold all of that frame: outwards, and no farther than the image. */
PixelFrame pixel_frame_outwards(PixelFrame frame, double pixels_wide, double pixels_tall);

/* Across of its whole frame's left (-1) or right (1) edge on the ground line at `back_mm` and height `up_mm`.
 */
double other_body_edge_mm(const OtherBody *other, int side, double back_mm, double up_mm);
/* Where its whole frame's lower edge meets the level `up_mm`; false where it never does. */
bool other_body_near_ground_mm(const OtherBody *other, double up_mm, double *back_mm);

#endif
