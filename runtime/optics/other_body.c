#include "optics/other_body.h"

#include "optics/lens.h"

#include <assert.h>
#include <math.h>

/* How far a frame from `low` to `high` reaches past half a side, on each hand, as a share of itself. What is
 * no more than rounding is nothing. */
static void reach_past(double middle_mm, double taken_mm, double side_mm, double *low, double *high) {
    const double band = 1e-9;
    *low = fmin(1, fmax(0, (taken_mm / 2 - middle_mm - side_mm / 2) / taken_mm));
    *high = fmin(1, fmax(0, (taken_mm / 2 + middle_mm - side_mm / 2) / taken_mm));
    if (*low < band) *low = 0;
    if (*high < band) *high = 0;
}

static void find_missed(OtherBody *other) {
    const Picture *p = &other->picture;
    reach_past(p->crop_across_mm, p->taken_wide_mm, p->sensor_wide_mm, &other->missed_left,
               &other->missed_right);
    reach_past(p->crop_up_mm, p->taken_tall_mm, p->sensor_tall_mm, &other->missed_bottom, &other->missed_top);
    const double across = fmax(0, 1 - other->missed_left - other->missed_right);
    const double up = fmax(0, 1 - other->missed_bottom - other->missed_top);
    other->missed = 1 - across * up;
    other->holds = !(other->missed > 0);
}

/* The image distance at which the frame's farther edges come to the sensor's. */
static double longest_image_mm(const Camera *planned, const Picture *picture, double wide_mm,
                               double tall_mm) {
    const double across = fabs(picture->crop_across_mm) + picture->taken_wide_mm / 2;
    const double up = fabs(planned->crop_up_mm) + picture->taken_tall_mm / 2;
    return planned->image_mm * fmin(wide_mm / 2 / across, tall_mm / 2 / up);
}

static void find_whole(const Camera *planned, const Picture *picture, double times, OtherBody *other) {
    const double half_wide = other->picture.sensor_wide_mm / 2 / times,
                 half_tall = other->picture.sensor_tall_mm / 2 / times, k = picture->drawn_per_sensor;
    const double x = picture->drawing_wide_mm / 2 - k * picture->crop_across_mm;
    const double y = picture->drawing_tall_mm / 2 - k * planned->crop_up_mm;
    other->left_mm = x - k * half_wide;
    other->right_mm = x + k * half_wide;
    other->low_mm = y - k * half_tall;
    other->high_mm = y + k * half_tall;
}

bool other_body_new(const Camera *planned, const Picture *picture, double sensor_wide_mm,
                    double sensor_tall_mm, double focal_mm, OtherBody *other) {
    assert(sensor_wide_mm > 0 && sensor_tall_mm > 0 && focal_mm > 0);
    if (!(planned->object_mm > focal_mm)) return false;
    OtherBody made = {.camera = *planned, .picture = *picture};
    made.camera.focal_mm = focal_mm;
    made.camera.image_mm = lens_image_distance(focal_mm, planned->object_mm);
    /* an image at distance v is v'/v times as large at v', all over */
    const double times = made.camera.image_mm / planned->image_mm;
    made.camera.crop_up_mm = planned->crop_up_mm * times;
    made.picture.crop_up_mm = made.camera.crop_up_mm;
    made.picture.crop_across_mm = picture->crop_across_mm * times;
    made.picture.taken_wide_mm = picture->taken_wide_mm * times;
    made.picture.taken_tall_mm = picture->taken_tall_mm * times;
    made.picture.drawn_per_sensor = picture->drawn_per_sensor / times;
    made.picture.paper_per_sensor = picture->paper_per_sensor / times;
    made.picture.sensor_wide_mm = sensor_wide_mm;
    made.picture.sensor_tall_mm = sensor_tall_mm;
    find_missed(&made);
    find_whole(planned, picture, times, &made);
    const double image_mm = longest_image_mm(planned, picture, sensor_wide_mm, sensor_tall_mm);
    made.longest_mm = planned->object_mm * image_mm / (planned->object_mm + image_mm);
    *other = made;
    return true;
}

PixelFrame other_body_pixels(const OtherBody *other, double pixels_wide, double pixels_tall) {
    const Picture *p = &other->picture;
    const double across = pixels_wide / p->sensor_wide_mm, down = pixels_tall / p->sensor_tall_mm;
    return (PixelFrame){
        .left_px = pixels_wide / 2 + (p->crop_across_mm - p->taken_wide_mm / 2) * across,
        .top_px = pixels_tall / 2 - (p->crop_up_mm + p->taken_tall_mm / 2) * down,
        .wide_px = p->taken_wide_mm * across,
        .tall_px = p->taken_tall_mm * down,
    };
}

PixelFrame pixel_frame_outwards(PixelFrame frame, double pixels_wide, double pixels_tall) {
    const double band = 1e-6; /* what is whole but for rounding stays so */
    const double left = fmin(pixels_wide, fmax(0, floor(frame.left_px + band)));
    const double top = fmin(pixels_tall, fmax(0, floor(frame.top_px + band)));
    const double right = fmax(left, fmin(pixels_wide, ceil(frame.left_px + frame.wide_px - band)));
    const double bottom = fmax(top, fmin(pixels_tall, ceil(frame.top_px + frame.tall_px - band)));
    return (PixelFrame){left, top, right - left, bottom - top};
}

double other_body_edge_mm(const OtherBody *other, int side, double back_mm, double up_mm) {
    assert(side == -1 || side == 1);
    const Camera *c = &other->camera;
    const double depth = camera_depth_mm(c, (Point3){0, back_mm, up_mm});
    return c->across_mm + side * other->picture.sensor_wide_mm / 2 * depth / c->image_mm;
}

bool other_body_near_ground_mm(const OtherBody *other, double up_mm, double *back_mm) {
    Point3 point;
    if (!camera_on_level(&other->camera, &other->picture, other->left_mm, other->low_mm, up_mm, &point))
        return false;
    *back_mm = point.back_mm;
    return true;
}
