/* The camera of a photograph, which stands as it stood: with turn and roll, and with one radial term.
 * docs/geometry.md, rules 61 and 62.
 *
 * Frame of the set as in camera.h: millimetres; across to the right, back away from the camera, up. Pixels as
 * in rule 43: (0, 0) is the upper left corner of the upper left pixel, x to the right, y down; the principal
 * point is the image's centre; the full image is the full sensor, with square pixels. The photograph is taken
 * as it is looked at: an orientation tag has been obeyed, and a sensor held upright has its sides swapped. */
#ifndef GROUNDROW_PHOTO_CAMERA_H
#define GROUNDROW_PHOTO_CAMERA_H

#include "optics/camera.h"

/* All > 0. The sensor's height follows from square pixels. */
typedef struct Photograph {
    double wide_px, tall_px;
    double sensor_wide_mm; /* as held */
} Photograph;

/* Forward along the axis is (sin turn cos tilt, cos turn cos tilt, -sin tilt): turn, then tilt, then roll. At
 * tilt = +-90 degrees turn and roll are one. */
typedef struct PhotoCamera {
    Point3 lens;
    double turn_rad;  /* positive looks to the right, towards +across; 0 is square to the set */
    double tilt_rad;  /* positive looks down */
    double roll_rad;  /* positive: its right side hangs down, the picture climbs to the right */
    double focal_mm;  /* f, as engraved */
    double object_mm; /* u, to the plane in focus, along the axis; INFINITY: v = f */
    double image_mm;  /* v = f u / (u - f): what the picture is made with */
    double radial;    /* k1: off the axis by r (in tangents), a point is imaged at r (1 + k1 r^2) */
} PhotoCamera;

/* A planned camera as the camera of a photograph: square, level, no radial term. The crop does not matter:
 * the photograph has the whole sensor. */
PhotoCamera photo_camera_of(const Camera *camera);
/* Focuses at the plane through `point`: sets object_mm and image_mm; false (nothing set) when it is at or
 * inside the focal length. */
bool photo_focus(PhotoCamera *camera, Point3 point);

/* Unit vectors of the camera in the set. */
typedef struct PhotoAxes {
    Point3 right, down, forward;
} PhotoAxes;
PhotoAxes photo_axes(const PhotoCamera *camera);
/* Turn, tilt and roll of such axes. */
void photo_angles(const PhotoAxes *axes, double *turn_rad, double *tilt_rad, double *roll_rad);

double photo_depth_mm(const PhotoCamera *camera, Point3 point);
/* Where a point is in the photograph; false (nothing set) at or behind the lens. It may lie outside the
 * image. `depth_mm` may be NULL. */
bool photo_project(const PhotoCamera *camera, const Photograph *photo, Point3 point, double *x_px,
                   double *y_px, double *depth_mm);
/* Direction of the ray through a pixel, from camera->lens, not normalised: forward component 1 along the
 * axis. The radial term is taken out by Newton's method. */
Point3 photo_ray(const PhotoCamera *camera, const Photograph *photo, double x_px, double y_px);
/* The sensor mark: the film plane, v behind the lens along the axis (rule 8). */
Point3 photo_sensor_mark(const PhotoCamera *camera);

#endif
