/* Another body in the camera's place: docs/geometry.md, rule 50. Against the closed forms of the thin lens, a
 * published equivalent, and the camera itself, which knows nothing of bodies. Its pixels against OpenCV:
 * tests/external/also_opencv.py. */
#include "near.h"
#include "optics/lens.h"
#include "optics/other_body.h"
#include "spread.h"

#include <criterion/criterion.h>
#include <math.h>

/* A spread of two 11 x 8 1/2 in pages on 36 x 24 mm, by an 85 mm lens some 3 m away that looks 2 degrees
 * down. */
static Picture spread(double crop_across_mm) {
    PictureWishes wishes = spread_wishes();
    wishes.crop_uses = crop_across_mm != 0 ? 0.8 : 1;
    wishes.crop_across_mm = crop_across_mm;
    return picture_new(&wishes);
}

static Camera planned(double crop_up_mm) {
    Camera camera = {.across_mm = 91,
                     .distance_mm = 3000,
                     .height_mm = 254,
                     .tilt_rad = 2 * acos(-1) / 180,
                     .focal_mm = 85,
                     .crop_up_mm = crop_up_mm};
    camera_focus(&camera, (Point3){0, 0, 250});
    return camera;
}

/* The same body with the same lens shows the same. */
Test(other_body, itself_is_the_planned_frame) {
    const Picture picture = spread(0);
    const Camera camera = planned(0);
    OtherBody other;
    cr_assert(other_body_new(&camera, &picture, 36, 24, 85, &other));
    NEAR(other.picture.taken_wide_mm, 36, 1e-12);
    NEAR(other.longest_mm, 85, 1e-9);
    NEAR(other.missed, 0, 0);
    cr_assert(other.holds);
    const PixelFrame px = other_body_pixels(&other, 8000, 5333);
    NEAR(px.left_px, 0, 1e-9);
    NEAR(px.wide_px, 8000, 1e-9);
    NEAR(px.top_px, (5333 - px.tall_px) / 2, 1e-9);
    const PixelFrame whole = pixel_frame_outwards(px, 8000, 5333);
    NEAR(whole.left_px, 0, 0);
    NEAR(whole.wide_px, 8000, 0);
    NEAR(whole.top_px, floor(px.top_px), 0);
    NEAR(whole.top_px + whole.tall_px, ceil(px.top_px + px.tall_px), 0);
}

/* Every point is drawn where the planned camera draws it, crop and all: one image, in another size. */
Test(other_body, draws_as_the_planned_camera) {
    for (int turn = 0; turn < 2; turn++) {
        const Picture picture = spread(turn ? 2.5 : 0);
        const Camera camera = planned(turn ? -3 : 0);
        OtherBody other;
        cr_assert(other_body_new(&camera, &picture, 23.5, 15.6, 40, &other));
        for (int i = 0; i < 27; i++) {
            const Point3 point = {-600 + 600 * (i % 3), -500 + 700 * (i / 3 % 3), 300 * (i / 9)};
            double x, y, again_x, again_y;
            cr_assert(camera_project(&camera, &picture, point, &x, &y, NULL));
            cr_assert(camera_project(&other.camera, &other.picture, point, &again_x, &again_y, NULL));
            NEAR(again_x, x, 1e-9);
            NEAR(again_y, y, 1e-9);
        }
    }
}

/* A field at u is sensor u / v wide (Jacobson, lenses FAQ: m = v/u): the frame across the plane in focus, and
 * the drawing between the whole frame's edges there. */
Test(other_body, whole_frame_is_the_field_of_its_own_lens) {
    const Picture picture = spread(0);
    const Camera camera = planned(0);
    OtherBody other;
    cr_assert(other_body_new(&camera, &picture, 23.5, 15.6, 40, &other));
    const double field = lens_field_mm(23.5, 40, camera.object_mm);
    const double drawn = camera_scale(&camera, &picture, (Point3){0, 0, 250}); /* in the plane in focus */
    NEAR((other.right_mm - other.left_mm) * drawn, field, 1e-9 * field);
    NEAR((other.high_mm - other.low_mm) * drawn, field * 15.6 / 23.5, 1e-9 * field);
    NEAR((other.left_mm + other.right_mm) / 2, 210, 1e-9);
    /* its edges on the ground are where the drawing's rays to the same edges come down */
    Point3 point;
    double back;
    cr_assert(other_body_near_ground_mm(&other, 0, &back));
    cr_assert(camera_on_level(&camera, &picture, other.left_mm, other.low_mm, 0, &point));
    NEAR(back, point.back_mm, 1e-9 * 3000);
    NEAR(other_body_edge_mm(&other, -1, back, 0), point.across_mm, 1e-9 * 3000);
    cr_assert(camera_on_level(&camera, &picture, other.right_mm, other.low_mm, 0, &point));
    NEAR(other_body_edge_mm(&other, 1, back, 0), point.across_mm, 1e-9 * 3000);
}

/* With the lens that frames alike (rule 36, lens_published_test.c), the frame fills the other sensor. */
Test(other_body, longest_lens_is_the_one_that_frames_alike) {
    const Picture picture = spread(0);
    const Camera camera = planned(0);
    OtherBody other;
    cr_assert(other_body_new(&camera, &picture, 23.5, 15.6, 40, &other));
    const double alike = lens_same_frame_mm(85, camera.object_mm, 23.5 / 36);
    NEAR(other.longest_mm, alike, 1e-9 * alike);
    cr_assert(other_body_new(&camera, &picture, 23.5, 15.6, alike, &other));
    cr_assert(other.holds);
    NEAR(other.picture.taken_wide_mm, 23.5, 1e-9);
    cr_assert(other_body_new(&camera, &picture, 23.5, 15.6, alike * 1.001, &other));
    cr_assert_not(other.holds);
}

/* Nikon 24-85 mm data sheet (as at techbuy.com.au): 84 degrees by the diagonal of 36 x 24 mm at 24 mm, 61
 * on 23.7 x 15.6 mm. Far away, as such tables are. */
Test(other_body, angle_of_a_data_sheet) {
    const PictureWishes wishes = {.page_wide_mm = 360,
                                  .page_tall_mm = 240,
                                  .pages = 1,
                                  .sensor_wide_mm = 36,
                                  .sensor_tall_mm = 24,
                                  .crop_uses = 1};
    const Picture picture = picture_new(&wishes);
    Camera far = {.distance_mm = 1e9, .height_mm = 250, .focal_mm = 24};
    cr_assert(camera_focus(&far, (Point3){0, 0, 250}));
    OtherBody other;
    cr_assert(other_body_new(&far, &picture, 23.7, 15.6, 24, &other));
    const double drawn = hypot(other.right_mm - other.left_mm, other.high_mm - other.low_mm);
    const double planned_drawn = hypot(picture.drawing_wide_mm, picture.drawing_tall_mm);
    const double image_drawn = picture.drawn_per_sensor * far.image_mm;
    NEAR(2 * atan(planned_drawn / 2 / image_drawn) * 180 / acos(-1), 84, 0.25);
    NEAR(2 * atan(drawn / 2 / image_drawn) * 180 / acos(-1), 61, 0.25);
}

/* Twice the focal length at a great distance: the frame is twice as wide as the sensor that it just filled,
 * and a quarter of it is lost on each hand. */
Test(other_body, what_a_long_lens_misses) {
    const Picture picture = spread(0);
    Camera far = planned(0);
    far.distance_mm = 1e9;
    cr_assert(camera_focus(&far, (Point3){0, 0, 250}));
    OtherBody other;
    cr_assert(other_body_new(&far, &picture, 36, 24, 170, &other));
    NEAR(other.missed_left, 0.25, 1e-6);
    NEAR(other.missed_right, 0.25, 1e-6);
    NEAR(other.missed_top, (picture.taken_tall_mm - 12) / 2 / picture.taken_tall_mm, 1e-6);
    NEAR(1 - other.missed, 0.5 * (1 - 2 * other.missed_top), 1e-6);
    cr_assert_not(other.holds);
    const PixelFrame kept = pixel_frame_outwards(other_body_pixels(&other, 8000, 5333), 8000, 5333);
    NEAR(kept.left_px, 0, 0);
    NEAR(kept.wide_px, 8000, 0);
    NEAR(kept.tall_px, 5333, 0);
}

/* A frame off the axis leaves by one edge first. */
Test(other_body, crop_off_the_axis) {
    const Picture picture = spread(3); /* 0.8 of 36 mm, 3 mm to the right */
    const Camera camera = planned(4);
    OtherBody other;
    cr_assert(other_body_new(&camera, &picture, 36, 24, 85, &other));
    const PixelFrame px = other_body_pixels(&other, 3600, 2400); /* 100 px a mm */
    NEAR(px.left_px, 1800 + 300 - 1440, 1e-9);
    NEAR(px.wide_px, 2880, 1e-9);
    NEAR(px.top_px, 1200 - 400 - px.tall_px / 2, 1e-9); /* above the axis is nearer to the image's top */
    const double v = lens_image_distance(other.longest_mm, camera.object_mm);
    NEAR((3 + 14.4) * v / camera.image_mm, 18, 1e-9);
    cr_assert(other_body_new(&camera, &picture, 36, 24, other.longest_mm + 5, &other));
    cr_assert_gt(other.missed_right, 0);
    cr_assert_eq(other.missed_left, 0);
}

Test(other_body, a_lens_that_cannot_be_focused) {
    const Picture picture = spread(0);
    const Camera camera = planned(0);
    OtherBody other = {.missed = 7};
    cr_assert_not(other_body_new(&camera, &picture, 23.5, 15.6, camera.object_mm, &other));
    cr_assert_eq(other.missed, 7);
}
