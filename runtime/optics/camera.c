#include "optics/camera.h"

#include "base/number.h"
#include "optics/lens.h"

#include <assert.h>
#include <math.h>

/* Nearer to the lens than this, along the axis, a point has no image. */
static const double DEPTH_LEAST_MM = 1e-6;

void picture_fit(Picture *picture, double sensor_wide_mm, double sensor_tall_mm, double uses) {
    double aspect = picture->frame_wide_mm / picture->frame_tall_mm;
    picture->sensor_wide_mm = sensor_wide_mm;
    picture->sensor_tall_mm = sensor_tall_mm;
    if (sensor_wide_mm / sensor_tall_mm < aspect) {
        picture->taken_wide_mm = picture->sensor_wide_mm * uses;
        picture->taken_tall_mm = picture->taken_wide_mm / aspect;
    } else {
        picture->taken_tall_mm = picture->sensor_tall_mm * uses;
        picture->taken_wide_mm = picture->taken_tall_mm * aspect;
    }
    picture->paper_per_sensor = picture->frame_wide_mm / picture->taken_wide_mm;
    picture->drawn_per_sensor = picture->paper_per_sensor * picture->drawing_wide_mm / picture->trim_wide_mm;
}

double picture_pixels_an_inch(const Picture *picture, double pixels_wide, double pixels_tall) {
    const double across =
        pixels_wide * picture->taken_wide_mm / picture->sensor_wide_mm / picture->frame_wide_mm;
    const double up = pixels_tall * picture->taken_tall_mm / picture->sensor_tall_mm / picture->frame_tall_mm;
    return fmin(across, up) * MM_PER_INCH;
}

Picture picture_new(const PictureWishes *wishes) {
    assert(wishes->pages == 1 || wishes->pages == 2);
    Picture picture = {
        .trim_wide_mm =
            wishes->part_wide_mm > 0 ? wishes->part_wide_mm : wishes->pages * wishes->page_wide_mm,
        .trim_tall_mm = wishes->part_tall_mm > 0 ? wishes->part_tall_mm : wishes->page_tall_mm,
        .crop_across_mm = wishes->crop_across_mm,
        .crop_up_mm = wishes->crop_up_mm,
    };
    picture.frame_wide_mm = picture.trim_wide_mm + (wishes->no_bleed_across ? 0 : 2 * wishes->bleed_mm);
    picture.frame_tall_mm = picture.trim_tall_mm + (wishes->no_bleed_up ? 0 : 2 * wishes->bleed_mm);
    picture.drawing_wide_mm = wishes->drawing_wide_mm > 0 ? wishes->drawing_wide_mm : picture.trim_wide_mm;
    picture.drawing_tall_mm = picture.drawing_wide_mm * picture.trim_tall_mm / picture.trim_wide_mm;
    picture_fit(&picture, wishes->upright ? wishes->sensor_tall_mm : wishes->sensor_wide_mm,
                wishes->upright ? wishes->sensor_wide_mm : wishes->sensor_tall_mm, wishes->crop_uses);
    return picture;
}

double picture_crop_up_most_mm(const Picture *picture) {
    return fmax(0, (picture->sensor_tall_mm - picture->taken_tall_mm) / 2);
}

double picture_crop_across_most_mm(const Picture *picture) {
    return fmax(0, (picture->sensor_wide_mm - picture->taken_wide_mm) / 2);
}

double camera_depth_mm(const Camera *camera, Point3 point) {
    return (point.back_mm + camera->distance_mm) * cos(camera->tilt_rad) +
           (camera->height_mm - point.up_mm) * sin(camera->tilt_rad);
}

bool camera_project(const Camera *camera, const Picture *picture, Point3 point, double *x_mm, double *y_mm,
                    double *depth_mm) {
    double back = point.back_mm + camera->distance_mm;
    double down = camera->height_mm - point.up_mm;
    double sine = sin(camera->tilt_rad), cosine = cos(camera->tilt_rad);
    double depth = back * cosine + down * sine;
    if (!(depth > DEPTH_LEAST_MM)) return false;
    double right = point.across_mm - camera->across_mm;
    double over = back * sine - down * cosine;
    double v = camera->image_mm, k = picture->drawn_per_sensor;
    *x_mm = picture->drawing_wide_mm / 2 + k * (v * right / depth - picture->crop_across_mm);
    *y_mm = picture->drawing_tall_mm / 2 + k * (v * over / depth - camera->crop_up_mm);
    if (depth_mm) *depth_mm = depth;
    return true;
}

/* The ray through a point of the sensor, given in the picture's sense and counted from the axis. */
static Point3 sensor_ray(const Camera *camera, double right_mm, double up_mm) {
    double right = right_mm / camera->image_mm, over = up_mm / camera->image_mm;
    double sine = sin(camera->tilt_rad), cosine = cos(camera->tilt_rad);
    return (Point3){
        .across_mm = right,
        .back_mm = cosine + over * sine,
        .up_mm = over * cosine - sine,
    };
}

Point3 camera_ray(const Camera *camera, const Picture *picture, double x_mm, double y_mm) {
    double k = picture->drawn_per_sensor;
    return sensor_ray(camera, (x_mm - picture->drawing_wide_mm / 2) / k + picture->crop_across_mm,
                      (y_mm - picture->drawing_tall_mm / 2) / k + camera->crop_up_mm);
}

static Point3 along_ray(const Camera *camera, Point3 ray, double times) {
    return (Point3){
        .across_mm = camera->across_mm + times * ray.across_mm,
        .back_mm = times * ray.back_mm - camera->distance_mm,
        .up_mm = camera->height_mm + times * ray.up_mm,
    };
}

bool camera_on_level(const Camera *camera, const Picture *picture, double x_mm, double y_mm, double up_mm,
                     Point3 *point) {
    Point3 ray = camera_ray(camera, picture, x_mm, y_mm);
    double depth = (up_mm - camera->height_mm) / ray.up_mm;
    if (!(depth > DEPTH_LEAST_MM) || !isfinite(depth)) return false;
    *point = along_ray(camera, ray, depth);
    point->up_mm = up_mm;
    return true;
}

bool camera_on_upright(const Camera *camera, const Picture *picture, double x_mm, double y_mm, double back_mm,
                       Point3 *point) {
    Point3 ray = camera_ray(camera, picture, x_mm, y_mm);
    double depth = (back_mm + camera->distance_mm) / ray.back_mm;
    if (!(depth > DEPTH_LEAST_MM) || !isfinite(depth)) return false;
    *point = along_ray(camera, ray, depth);
    point->back_mm = back_mm;
    return true;
}

double camera_horizon_mm(const Camera *camera, const Picture *picture) {
    return picture->drawing_tall_mm / 2 +
           picture->drawn_per_sensor * (camera->image_mm * tan(camera->tilt_rad) - camera->crop_up_mm);
}

double camera_scale(const Camera *camera, const Picture *picture, Point3 point) {
    return camera_depth_mm(camera, point) / (picture->drawn_per_sensor * camera->image_mm);
}

double camera_frame_mm(const Camera *camera, const Picture *picture, double back_mm, double up_mm) {
    Point3 line = {.back_mm = back_mm, .up_mm = up_mm};
    return picture->taken_wide_mm * camera_depth_mm(camera, line) / camera->image_mm;
}

double camera_edge_mm(const Camera *camera, const Picture *picture, int side, double spare, double back_mm,
                      double up_mm) {
    assert(side == -1 || side == 1);
    Point3 line = {.back_mm = back_mm, .up_mm = up_mm};
    double edge = picture->crop_across_mm + side * picture->taken_wide_mm * (0.5 + spare);
    return camera->across_mm + edge * camera_depth_mm(camera, line) / camera->image_mm;
}

/* The middle of the frame's lower (-1) or upper (1) edge, moved out: a row of the frame keeps its direction
 * in the plane of back and up over its whole width, since the camera has no roll. */
static Point3 row_ray(const Camera *camera, const Picture *picture, int side, double spare) {
    return sensor_ray(camera, 0, camera->crop_up_mm + side * picture->taken_tall_mm * (0.5 + spare));
}

bool camera_near_ground_mm(const Camera *camera, const Picture *picture, double spare, double up_mm,
                           double *back_mm) {
    Point3 ray = row_ray(camera, picture, -1, spare);
    double depth = (up_mm - camera->height_mm) / ray.up_mm;
    if (!(depth > DEPTH_LEAST_MM) || !isfinite(depth)) return false;
    *back_mm = depth * ray.back_mm - camera->distance_mm;
    return true;
}

/* Least and greatest height of the upright plane `reach` before the lens between the frame's rows; infinite
 * where a row looks past the plumb. */
static bool rows_on_upright(const Camera *camera, const Picture *picture, double spare, double reach_mm,
                            double *low_mm, double *high_mm) {
    Point3 lower = row_ray(camera, picture, -1, spare), upper = row_ray(camera, picture, 1, spare);
    if (lower.back_mm <= 0 && upper.back_mm <= 0) return false;
    *low_mm = lower.back_mm > 0 ? camera->height_mm + reach_mm * lower.up_mm / lower.back_mm : -INFINITY;
    *high_mm = upper.back_mm > 0 ? camera->height_mm + reach_mm * upper.up_mm / upper.back_mm : INFINITY;
    return true;
}

bool camera_upright_view(const Camera *camera, const Picture *picture, double spare, double back_mm,
                         double foot_mm, double top_mm, UprightView *view) {
    double reach = back_mm + camera->distance_mm, low, high;
    if (!(reach > DEPTH_LEAST_MM) || !rows_on_upright(camera, picture, spare, reach, &low, &high))
        return false;
    low = fmax(low, foot_mm);
    high = fmin(high, top_mm);
    if (low > high) return false;
    /* widths are linear in up, so that the extremes stand at the ends */
    view->left_mm = fmin(camera_edge_mm(camera, picture, -1, spare, back_mm, low),
                         camera_edge_mm(camera, picture, -1, spare, back_mm, high));
    view->right_mm = fmax(camera_edge_mm(camera, picture, 1, spare, back_mm, low),
                          camera_edge_mm(camera, picture, 1, spare, back_mm, high));
    view->low_mm = low;
    view->high_mm = high;
    return true;
}

void camera_angles(const Camera *camera, const Picture *picture, double *wide_rad, double *tall_rad) {
    *wide_rad = lens_angle_rad(picture->taken_wide_mm, camera->image_mm);
    *tall_rad = lens_angle_rad(picture->taken_tall_mm, camera->image_mm);
}

Point3 camera_sensor_mark(const Camera *camera) {
    return (Point3){
        .across_mm = camera->across_mm,
        .back_mm = -(camera->distance_mm + camera->image_mm * cos(camera->tilt_rad)),
        .up_mm = camera->height_mm + camera->image_mm * sin(camera->tilt_rad),
    };
}

bool camera_focus(Camera *camera, Point3 point) {
    double depth = camera_depth_mm(camera, point);
    if (!(depth > camera->focal_mm)) return false;
    camera->object_mm = depth;
    camera->image_mm = lens_image_distance(camera->focal_mm, depth);
    return true;
}
