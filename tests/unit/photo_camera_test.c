/* The camera of a photograph: against the planned camera's projection, and there and back. */
#include "base/number.h"
#include "near.h"
#include "optics/photo_camera.h"

#include <criterion/criterion.h>
#include <math.h>

static const Photograph PHOTO = {6000, 4000, 36};

static PhotoCamera turned_camera(void) {
    PhotoCamera camera = {.lens = {120, -1900, 640},
                          .turn_rad = RADIANS(11),
                          .tilt_rad = RADIANS(17),
                          .roll_rad = RADIANS(-3),
                          .focal_mm = 50,
                          .radial = -0.08};
    cr_assert(photo_focus(&camera, (Point3){0, 0, 250}));
    return camera;
}

Test(photo_camera, square_and_level_it_is_the_planned_camera) {
    PictureWishes wishes = {.page_wide_mm = 360,
                            .page_tall_mm = 240,
                            .pages = 1,
                            .drawing_wide_mm = 6000, /* the whole sensor drawn as large as its pixels */
                            .sensor_wide_mm = 36,
                            .sensor_tall_mm = 24,
                            .crop_uses = 1};
    Picture picture = picture_new(&wishes);
    Camera planned = {
        .across_mm = 58, .distance_mm = 3000, .height_mm = 320, .tilt_rad = RADIANS(6), .focal_mm = 85};
    cr_assert(camera_focus(&planned, (Point3){0, 0, 250}));
    PhotoCamera camera = photo_camera_of(&planned);
    const Point3 points[] = {{0, 0, 0}, {300, 200, 40}, {-250, -150, 400}};
    for (int i = 0; i < 3; i++) {
        double x, y, depth, x_px, y_px, depth_mm;
        cr_assert(camera_project(&planned, &picture, points[i], &x, &y, &depth));
        cr_assert(photo_project(&camera, &PHOTO, points[i], &x_px, &y_px, &depth_mm));
        NEAR(x_px, x, 1e-9);
        NEAR(y_px, 4000 - y, 1e-9); /* pixels count downwards */
        NEAR(depth_mm, depth, 1e-9);
    }
    Point3 mark = camera_sensor_mark(&planned), found = photo_sensor_mark(&camera);
    NEAR(found.across_mm, mark.across_mm, 1e-9);
    NEAR(found.back_mm, mark.back_mm, 1e-9);
    NEAR(found.up_mm, mark.up_mm, 1e-9);
    cr_assert_not(photo_project(&camera, &PHOTO, (Point3){0, -3100, 320}, &(double){0}, &(double){0}, NULL));
}

Test(photo_camera, turn_tilt_and_roll_look_where_they_say) {
    PhotoCamera camera = {.lens = {0, -1000, 300}, .focal_mm = 50, .image_mm = 50};
    double x, y, x_px, y_px;
    camera.turn_rad = RADIANS(5); /* to the right: what is in the middle goes left */
    cr_assert(photo_project(&camera, &PHOTO, (Point3){0, 0, 300}, &x_px, &y_px, NULL));
    NEAR(x_px, 3000 - 50 * tan(RADIANS(5)) * 6000 / 36, 1e-9);
    NEAR(y_px, 2000, 1e-9);
    camera.turn_rad = 0;
    camera.tilt_rad = RADIANS(5); /* down: it goes up */
    cr_assert(photo_project(&camera, &PHOTO, (Point3){0, 0, 300}, &x_px, &y_px, NULL));
    NEAR(y_px, 2000 - 50 * tan(RADIANS(5)) * 6000 / 36, 1e-9);
    camera.tilt_rad = 0;
    camera.roll_rad = RADIANS(2); /* right side down: a level line climbs to the right */
    cr_assert(photo_project(&camera, &PHOTO, (Point3){-200, 0, 300}, &x, &y, NULL));
    cr_assert(photo_project(&camera, &PHOTO, (Point3){200, 0, 300}, &x_px, &y_px, NULL));
    NEAR(atan2(y - y_px, x_px - x), RADIANS(2), 1e-12);
}

Test(photo_camera, angles_of_its_axes_are_its_angles) {
    for (int turn = -170; turn <= 170; turn += 34)
        for (int tilt = -80; tilt <= 80; tilt += 20)
            for (int roll = -170; roll <= 170; roll += 68) {
                PhotoCamera camera = {
                    .turn_rad = RADIANS(turn), .tilt_rad = RADIANS(tilt), .roll_rad = RADIANS(roll)};
                PhotoAxes axes = photo_axes(&camera);
                double a, b, c;
                photo_angles(&axes, &a, &b, &c);
                NEAR(DEGREES(a), turn, 1e-9);
                NEAR(DEGREES(b), tilt, 1e-9);
                NEAR(DEGREES(c), roll, 1e-9);
            }
}

Test(photo_camera, ray_of_a_pixel_meets_its_point) {
    PhotoCamera camera = turned_camera();
    const Point3 points[] = {{0, 0, 0}, {500, 300, 40}, {-450, -150, 500}, {20, 2000, 900}};
    for (int i = 0; i < 4; i++) {
        double x, y, depth;
        cr_assert(photo_project(&camera, &PHOTO, points[i], &x, &y, &depth));
        Point3 ray = photo_ray(&camera, &PHOTO, x, y);
        NEAR(camera.lens.across_mm + depth * ray.across_mm, points[i].across_mm, 1e-8);
        NEAR(camera.lens.back_mm + depth * ray.back_mm, points[i].back_mm, 1e-8);
        NEAR(camera.lens.up_mm + depth * ray.up_mm, points[i].up_mm, 1e-8);
    }
}
