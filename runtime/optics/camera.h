/* A camera on its stand, and where it sends points. docs/geometry.md, rules 1 to 11 and 24 to 28.
 *
 * Frame of the set: millimetres, origin at the mark on the flat ground; across positive to the right of the
 * picture, back away from the camera, up from the flat ground. The lens stands at (across, -distance,
 * height); no yaw, no roll; tilt positive looks down. Frame of the drawing: millimetres from its lower left
 * corner (trim), y up. */
#ifndef GROUNDROW_CAMERA_H
#define GROUNDROW_CAMERA_H

#include <stdbool.h>

typedef struct Point3 {
    double across_mm, back_mm, up_mm;
} Point3;

/* The picture: page, drawing and what of the sensor it takes (rules 1 to 5). One for each shot and body. */
typedef struct Picture {
    double trim_wide_mm, trim_tall_mm;       /* on paper: the pages side by side, or the part of them that it
                                                takes */
    double frame_wide_mm, frame_tall_mm;     /* on paper, with the bleed; both have one middle */
    double drawing_wide_mm, drawing_tall_mm; /* W x T: the trim as drawn */
    double sensor_wide_mm, sensor_tall_mm;   /* as held */
    double taken_wide_mm, taken_tall_mm;     /* cw x ch: the frame on the sensor */
    double crop_across_mm, crop_up_mm;       /* frame's centre off the axis, as seen in the picture */
    double drawn_per_sensor;                 /* k */
    double paper_per_sensor;                 /* E */
} Picture;

typedef struct PictureWishes {
    double page_wide_mm, page_tall_mm, bleed_mm;
    int pages;                             /* 1 or 2 */
    double part_wide_mm, part_tall_mm;     /* of a picture that is a part of its pages; 0: it fills them */
    bool no_bleed_across, no_bleed_up;     /* rule 45: at neither of the two edges */
    double drawing_wide_mm;                /* 0: as wide as the trim */
    double sensor_wide_mm, sensor_tall_mm; /* as written */
    bool upright;                          /* held upright: the two are swapped */
    double crop_uses;                      /* 1: as large as fits */
    double crop_across_mm, crop_up_mm;
} PictureWishes;

/* All values > 0 where a size is meant (the caller has checked). */
Picture picture_new(const PictureWishes *wishes);
/* The frame on a sensor of this size, as held: `uses` of the largest that fits (rule 4). */
void picture_fit(Picture *picture, double sensor_wide_mm, double sensor_tall_mm, double uses);
/* Pixels an inch on paper, of a sensor with so many pixels as it is held (rule 41). */
double picture_pixels_an_inch(const Picture *picture, double pixels_wide, double pixels_tall);
/* How far the crop may move up or down (either way), and across, before the frame leaves the sensor. */
double picture_crop_up_most_mm(const Picture *picture);
double picture_crop_across_most_mm(const Picture *picture);

typedef struct Camera {
    double across_mm, distance_mm, height_mm; /* X, D, H: lens at (X, -D, H) */
    double tilt_rad;                          /* t, down positive */
    double focal_mm;                          /* f */
    double object_mm;                         /* u: to the plane in focus, along the axis */
    double image_mm;                          /* v = f u / (u - f) */
    double crop_up_mm;                        /* of this camera: the picture's, or solved with `up: free` */
} Camera;

/* Depth of a point along the axis: w(P) = (b + D) cos t + (H - z) sin t. */
double camera_depth_mm(const Camera *camera, Point3 point);
/* Place on the drawing (rule 6); false (nothing set) at or behind the lens (depth <= 1e-6 mm). `depth_mm` may
 * be NULL. */
bool camera_project(const Camera *camera, const Picture *picture, Point3 point, double *x_mm, double *y_mm,
                    double *depth_mm);
/* Direction of the ray through a point of the drawing, not normalised: forward component 1 along the axis. */
Point3 camera_ray(const Camera *camera, const Picture *picture, double x_mm, double y_mm);
/* Where that ray meets the level plane `up_mm`; false when it never does in front of the lens. */
bool camera_on_level(const Camera *camera, const Picture *picture, double x_mm, double y_mm, double up_mm,
                     Point3 *point);
/* Where it meets the upright plane across the set at `back_mm`; false when that is at or behind the lens. */
bool camera_on_upright(const Camera *camera, const Picture *picture, double x_mm, double y_mm, double back_mm,
                       Point3 *point);
/* Horizon on the drawing (rule 10). */
double camera_horizon_mm(const Camera *camera, const Picture *picture);
/* Real mm for one drawn mm in the plane square to the axis through a point: w(P) / (k v) (rules 13 and 31).
 */
double camera_scale(const Camera *camera, const Picture *picture, Point3 point);
/* Width of the frame (trim and bleed) on the ground line at `back_mm` and height `up_mm` (rule 11). */
double camera_frame_mm(const Camera *camera, const Picture *picture, double back_mm, double up_mm);
/* Across of the frame's edge on that ground line: side -1 left, +1 right, moved out by `spare` (rule 24). */
double camera_edge_mm(const Camera *camera, const Picture *picture, int side, double spare, double back_mm,
                      double up_mm);
/* Least back at which the frame's lower edge, moved out by `spare`, meets the level `up_mm` (rule 25); false
 * when it never does. */
bool camera_near_ground_mm(const Camera *camera, const Picture *picture, double spare, double up_mm,
                           double *back_mm);
/* What the frame, moved out by `spare`, sees of the upright plane at `back_mm` between `foot_mm` and `top_mm`
 * (rule 27): extremes of across and up. `top_mm` may be INFINITY. False when it sees nothing there. */
typedef struct UprightView {
    double left_mm, right_mm, low_mm, high_mm;
} UprightView;
bool camera_upright_view(const Camera *camera, const Picture *picture, double spare, double back_mm,
                         double foot_mm, double top_mm, UprightView *view);
/* Full angles of the frame: `wide_rad`, `tall_rad` (glTF's yfov is the second). */
void camera_angles(const Camera *camera, const Picture *picture, double *wide_rad, double *tall_rad);
/* The sensor mark: the film plane behind the lens (rule 8): distance D + v cos t, height H + v sin t. */
Point3 camera_sensor_mark(const Camera *camera);
/* Focuses at the plane through `point`: sets object_mm and image_mm; false when it is at or inside the focal
 * length. */
bool camera_focus(Camera *camera, Point3 point);

#endif
