/* The camera again, for another lens and height, with the leading puppet held where and as tall as it is
 * drawn. By Newton's method on the image distance, with the rest in closed form, in well under a microsecond:
 * for allowed cameras, for photographs and for trying a kit of lenses. docs/geometry.md, rule 22. */
#ifndef GROUNDROW_CAMERA_AGAIN_H
#define GROUNDROW_CAMERA_AGAIN_H

#include "optics/camera.h"

typedef struct HeldPuppet {
    double up_mm, tall_mm;                      /* real: its foot above the flat ground, its height */
    double foot_x_mm, foot_y_mm, drawn_tall_mm; /* on the drawing */
    Point3 focus;
} HeldPuppet;

/* What the planned camera draws of the leading puppet: what allowed cameras keep (not what was stated). False
 * when it does not see it. */
bool held_puppet(const Camera *planned, const Picture *picture, double up_mm, double tall_mm, Point3 focus,
                 HeldPuppet *held);

/* Across, distance and tilt for the given lens and height; `camera->crop_up_mm` is kept as `crop_up_mm`.
 * False when there is no such camera (rule 20), and `camera` is then undefined. */
bool camera_again(const HeldPuppet *held, const Picture *picture, double focal_mm, double height_mm,
                  double crop_up_mm, Camera *camera);

#endif
