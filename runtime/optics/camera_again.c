#include "optics/camera_again.h"

#include "base/number.h"
#include "optics/lens.h"

#include <math.h>

bool held_puppet(const Camera *planned, const Picture *picture, double up_mm, double tall_mm, Point3 focus,
                 HeldPuppet *held) {
    const Point3 foot = {0, 0, up_mm}, head = {0, 0, up_mm + tall_mm};
    double head_x, head_y;
    *held = (HeldPuppet){.up_mm = up_mm, .tall_mm = tall_mm, .focus = focus};
    if (!camera_project(planned, picture, foot, &held->foot_x_mm, &held->foot_y_mm, NULL) ||
        !camera_project(planned, picture, head, &head_x, &head_y, NULL))
        return false;
    held->drawn_tall_mm = head_y - held->foot_y_mm;
    return held->drawn_tall_mm > 0;
}

/* Where a point of the middle plane shows on the sensor above the axis, per image distance (q / w), and how
 * that moves. */
typedef struct Slope {
    double value, by_distance, by_tilt, depth;
} Slope;

static Slope slope_of(double back_mm, double down_mm, double distance_mm, double s, double c) {
    const double level = back_mm + distance_mm;
    const double w = level * c + down_mm * s, q = level * s - down_mm * c;
    return (Slope){
        .value = q / w, .by_distance = (s * w - q * c) / (w * w), .by_tilt = 1 + q * q / (w * w), .depth = w};
}

/* Newton in distance and tilt on the heights of foot and head; across follows from the foot's x. The image
 * distance moves with both through the depth of what is in focus: v = f u / (u - f), dv/du = -(f / (u -
 * f))^2. */
bool camera_again(const HeldPuppet *held, const Picture *picture, double focal_mm, double height_mm,
                  double crop_up_mm, Camera *camera) {
    const double k = picture->drawn_per_sensor;
    const double foot_s = (held->foot_y_mm - picture->drawing_tall_mm / 2) / k + crop_up_mm;
    const double head_s = foot_s + held->drawn_tall_mm / k;
    const double foot_down = height_mm - held->up_mm, head_down = foot_down - held->tall_mm;
    double distance = focal_mm * k * held->tall_mm / held->drawn_tall_mm + focal_mm;
    double tilt = atan(foot_s / focal_mm) + atan(foot_down / distance);
    double image = focal_mm;
    bool settled = false;
    for (int i = 0; i < 40 && !settled; i++) {
        const double s = sin(tilt), c = cos(tilt);
        const double focus_level = held->focus.back_mm + distance, focus_down = height_mm - held->focus.up_mm;
        const double u = focus_level * c + focus_down * s;
        if (!(u > focal_mm)) return false;
        image = lens_image_distance(focal_mm, u);
        const double dv = -(focal_mm / (u - focal_mm)) * (focal_mm / (u - focal_mm));
        const double v_distance = dv * c, v_tilt = dv * (-focus_level * s + focus_down * c);
        const Slope foot = slope_of(0, foot_down, distance, s, c),
                    head = slope_of(0, head_down, distance, s, c);
        if (!(foot.depth > 0 && head.depth > 0)) return false;
        const double a = image * foot.value - foot_s, b = image * head.value - head_s;
        const double a_d = image * foot.by_distance + v_distance * foot.value,
                     a_t = image * foot.by_tilt + v_tilt * foot.value;
        const double b_d = image * head.by_distance + v_distance * head.value,
                     b_t = image * head.by_tilt + v_tilt * head.value;
        const double determinant = a_d * b_t - a_t * b_d;
        if (!(fabs(determinant) > 0)) return false;
        const double step_distance = (a * b_t - b * a_t) / determinant,
                     step_tilt = (b * a_d - a * b_d) / determinant;
        distance -= fmax(-0.5 * distance, fmin(0.5 * distance, step_distance));
        tilt -= fmax(-0.3, fmin(0.3, step_tilt));
        settled = fabs(step_distance) < 1e-11 * fabs(distance) && fabs(step_tilt) < 1e-13;
        if (!settled && i >= 8)
            settled = fabs(step_distance) < 1e-10 * fabs(distance) && fabs(step_tilt) < 1e-12;
    }
    if (!settled || !(distance > 0) || !(height_mm > 1) || fabs(tilt) > RADIANS(75)) return false;
    *camera = (Camera){.distance_mm = distance,
                       .height_mm = height_mm,
                       .tilt_rad = tilt,
                       .focal_mm = focal_mm,
                       .crop_up_mm = crop_up_mm};
    if (!camera_focus(camera, held->focus)) return false;
    const double depth = camera_depth_mm(camera, (Point3){0, 0, held->up_mm});
    const double foot_r = (held->foot_x_mm - picture->drawing_wide_mm / 2) / k + picture->crop_across_mm;
    camera->across_mm = -foot_r * depth / camera->image_mm;
    return true;
}
