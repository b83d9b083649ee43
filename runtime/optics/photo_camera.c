#include "optics/photo_camera.h"

#include "optics/lens.h"

#include <math.h>

/* Nearer to the lens than this, along the axis, a point has no image. */
static const double DEPTH_LEAST_MM = 1e-6;

static double along(Point3 axis, Point3 way) {
    return axis.across_mm * way.across_mm + axis.back_mm * way.back_mm + axis.up_mm * way.up_mm;
}

static Point3 from_lens(const PhotoCamera *camera, Point3 point) {
    return (Point3){point.across_mm - camera->lens.across_mm, point.back_mm - camera->lens.back_mm,
                    point.up_mm - camera->lens.up_mm};
}

PhotoCamera photo_camera_of(const Camera *camera) {
    return (PhotoCamera){
        .lens = {camera->across_mm, -camera->distance_mm, camera->height_mm},
        .tilt_rad = camera->tilt_rad,
        .focal_mm = camera->focal_mm,
        .object_mm = camera->object_mm,
        .image_mm = camera->image_mm,
    };
}

bool photo_focus(PhotoCamera *camera, Point3 point) {
    double depth = photo_depth_mm(camera, point);
    if (!(depth > camera->focal_mm)) return false;
    camera->object_mm = depth;
    camera->image_mm = lens_image_distance(camera->focal_mm, depth);
    return true;
}

PhotoAxes photo_axes(const PhotoCamera *camera) {
    double st = sin(camera->turn_rad), ct = cos(camera->turn_rad);
    double si = sin(camera->tilt_rad), ci = cos(camera->tilt_rad);
    double sr = sin(camera->roll_rad), cr = cos(camera->roll_rad);
    /* level ones first; roll then turns right towards down */
    Point3 right = {ct, -st, 0}, down = {-st * si, -ct * si, -ci};
    return (PhotoAxes){
        .right = {cr * right.across_mm + sr * down.across_mm, cr * right.back_mm + sr * down.back_mm,
                  cr * right.up_mm + sr * down.up_mm},
        .down = {cr * down.across_mm - sr * right.across_mm, cr * down.back_mm - sr * right.back_mm,
                 cr * down.up_mm - sr * right.up_mm},
        .forward = {st * ci, ct * ci, -si},
    };
}

void photo_angles(const PhotoAxes *axes, double *turn_rad, double *tilt_rad, double *roll_rad) {
    const Point3 *forward = &axes->forward;
    *turn_rad = atan2(forward->across_mm, forward->back_mm);
    *tilt_rad = atan2(-forward->up_mm, hypot(forward->across_mm, forward->back_mm));
    *roll_rad = atan2(-axes->right.up_mm, -axes->down.up_mm);
}

double photo_depth_mm(const PhotoCamera *camera, Point3 point) {
    PhotoAxes axes = photo_axes(camera);
    return along(axes.forward, from_lens(camera, point));
}

bool photo_project(const PhotoCamera *camera, const Photograph *photo, Point3 point, double *x_px,
                   double *y_px, double *depth_mm) {
    PhotoAxes axes = photo_axes(camera);
    Point3 way = from_lens(camera, point);
    double depth = along(axes.forward, way);
    if (!(depth > DEPTH_LEAST_MM)) return false;
    double x = along(axes.right, way) / depth, y = along(axes.down, way) / depth;
    double scale =
        camera->image_mm * photo->wide_px / photo->sensor_wide_mm * (1 + camera->radial * (x * x + y * y));
    *x_px = photo->wide_px / 2 + scale * x;
    *y_px = photo->tall_px / 2 + scale * y;
    if (depth_mm) *depth_mm = depth;
    return true;
}

/* r of r (1 + k1 r^2) = seen: the root next to `seen`; where a strong k1 < 0 folds the picture over, its
 * edge. */
static double straightened(double seen, double radial) {
    double r = seen;
    for (int i = 0; i < 30; i++) {
        double slope = 1 + 3 * radial * r * r;
        if (!(slope > 1e-3)) return sqrt(-1 / (3 * radial));
        double step = (r * (1 + radial * r * r) - seen) / slope;
        r -= step;
        if (fabs(step) <= 1e-15 * (1 + r)) break;
    }
    return r;
}

Point3 photo_ray(const PhotoCamera *camera, const Photograph *photo, double x_px, double y_px) {
    double scale = camera->image_mm * photo->wide_px / photo->sensor_wide_mm;
    double x = (x_px - photo->wide_px / 2) / scale, y = (y_px - photo->tall_px / 2) / scale;
    double seen = hypot(x, y);
    if (camera->radial != 0 && seen > 0) {
        double shrink = straightened(seen, camera->radial) / seen;
        x *= shrink;
        y *= shrink;
    }
    PhotoAxes axes = photo_axes(camera);
    return (Point3){
        x * axes.right.across_mm + y * axes.down.across_mm + axes.forward.across_mm,
        x * axes.right.back_mm + y * axes.down.back_mm + axes.forward.back_mm,
        x * axes.right.up_mm + y * axes.down.up_mm + axes.forward.up_mm,
    };
}

Point3 photo_sensor_mark(const PhotoCamera *camera) {
    PhotoAxes axes = photo_axes(camera);
    return (Point3){camera->lens.across_mm - camera->image_mm * axes.forward.across_mm,
                    camera->lens.back_mm - camera->image_mm * axes.forward.back_mm,
                    camera->lens.up_mm - camera->image_mm * axes.forward.up_mm};
}
