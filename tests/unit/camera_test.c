/* The picture and the projection, against rays made by hand from rule 6's geometry and against worked
 * numbers. */
#include "base/number.h"
#include "near.h"
#include "optics/camera.h"
#include "optics/lens.h"
#include "spread.h"

#include <criterion/criterion.h>
#include <math.h>

static Camera camera_at(double across, double distance, double height, double tilt_deg, double focal,
                        double image) {
    return (Camera){.across_mm = across,
                    .distance_mm = distance,
                    .height_mm = height,
                    .tilt_rad = RADIANS(tilt_deg),
                    .focal_mm = focal,
                    .object_mm = lens_object_distance(focal, image),
                    .image_mm = image};
}

Test(picture, spread_takes_the_sensor_s_width) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    NEAR(picture.trim_wide_mm, 558.8, 1e-9);
    NEAR(picture.frame_wide_mm, 565.15, 1e-9);
    NEAR(picture.frame_tall_mm, 222.25, 1e-9);
    NEAR(picture.drawing_tall_mm, 420 * 8.5 / 22, 1e-9);
    NEAR(picture.taken_wide_mm, 36, 1e-12);
    NEAR(picture.taken_tall_mm, 36 * 222.25 / 565.15, 1e-12);
    NEAR(picture.paper_per_sensor, 565.15 / 36, 1e-12);
    NEAR(picture.drawn_per_sensor, 420 * 565.15 / 558.8 / 36, 1e-12);
    /* rule 5: 9.84 of 24 mm are unused */
    NEAR(2 * picture_crop_up_most_mm(&picture), 9.84, 0.005);
    NEAR(picture_crop_across_most_mm(&picture), 0, 1e-12);
}

Test(picture, square_page_takes_the_sensor_s_height) {
    PictureWishes wishes = spread_wishes();
    wishes.pages = 1;
    wishes.page_wide_mm = wishes.page_tall_mm = 250;
    wishes.bleed_mm = 3;
    wishes.drawing_wide_mm = 0;
    Picture picture = picture_new(&wishes);
    NEAR(picture.taken_wide_mm, 24, 1e-12);
    NEAR(picture.taken_tall_mm, 24, 1e-12);
    NEAR(picture.drawing_wide_mm, 250, 1e-12);
    NEAR(picture.drawn_per_sensor, 256.0 / 24, 1e-12);
    NEAR(picture_crop_across_most_mm(&picture), 6, 1e-12);
}

Test(picture, upright_body_swaps_the_sensor) {
    /* rule 4: an A4 page with 1/8 in bleed on 8192 x 5464 pixels gains from 457 to 641 ppi */
    PictureWishes wishes = {.page_wide_mm = 210,
                            .page_tall_mm = 297,
                            .bleed_mm = MM_PER_INCH / 8,
                            .pages = 1,
                            .sensor_wide_mm = 36,
                            .sensor_tall_mm = 24,
                            .crop_uses = 1};
    Picture lying = picture_new(&wishes);
    wishes.upright = true;
    Picture upright = picture_new(&wishes);
    NEAR(upright.sensor_wide_mm, 24, 0);
    NEAR(upright.sensor_tall_mm, 36, 0);
    /* rule 41 */
    NEAR(picture_pixels_an_inch(&lying, 8192, 5464), 457, 0.5);
    NEAR(picture_pixels_an_inch(&upright, 5464, 8192), 641, 0.5);
}

/* Rule 41. 300 pixels an inch at final size, 3 mm bleed on A4 (210 x 297 + 6 mm = 216 x 303 mm): a printer's
 * published instructions (adismedia.com.au, print know-how); the pixels by arithmetic, 216 / 25.4 x 300. A
 * page of 8 1/2 x 11 in at 300 has 2550 x 3300 pixels (from memory; arithmetic as well). */
Test(picture, pixels_an_inch_as_printers_reckon_them) {
    PictureWishes wishes = {.page_wide_mm = 210,
                            .page_tall_mm = 297,
                            .bleed_mm = 3,
                            .pages = 1,
                            .sensor_wide_mm = 21.6,
                            .sensor_tall_mm = 30.3,
                            .crop_uses = 1};
    Picture picture = picture_new(&wishes);
    NEAR(picture.frame_wide_mm, 216, 1e-12);
    NEAR(picture.frame_tall_mm, 303, 1e-12);
    NEAR(picture_pixels_an_inch(&picture, 2551, 3579), 300, 0.05);
    wishes = (PictureWishes){.page_wide_mm = 8.5 * MM_PER_INCH,
                             .page_tall_mm = 11 * MM_PER_INCH,
                             .pages = 1,
                             .sensor_wide_mm = 17,
                             .sensor_tall_mm = 22,
                             .crop_uses = 1};
    picture = picture_new(&wishes);
    NEAR(picture_pixels_an_inch(&picture, 2550, 3300), 300, 1e-9);
    /* half of the sensor: half as many; the poorer of the two directions counts */
    wishes.crop_uses = 0.5;
    picture = picture_new(&wishes);
    NEAR(picture_pixels_an_inch(&picture, 2550, 3300), 150, 1e-9);
    NEAR(picture_pixels_an_inch(&picture, 2040, 3300), 120, 1e-9);
}

/* Rule 45: the same sensor on a quarter of the page has twice the pixels an inch. */
Test(picture, a_part_of_the_page_takes_the_sensor_for_itself) {
    PictureWishes wishes = {.page_wide_mm = 300,
                            .page_tall_mm = 200,
                            .bleed_mm = 3,
                            .pages = 1,
                            .part_wide_mm = 150,
                            .part_tall_mm = 100,
                            .no_bleed_across = true,
                            .no_bleed_up = true,
                            .sensor_wide_mm = 36,
                            .sensor_tall_mm = 24,
                            .crop_uses = 1};
    const Picture part = picture_new(&wishes);
    NEAR(part.frame_wide_mm, 150, 1e-12);
    NEAR(part.drawing_wide_mm, 150, 1e-12);
    NEAR(part.drawing_tall_mm, 100, 1e-12);
    NEAR(part.taken_wide_mm, 36, 1e-12);
    NEAR(part.paper_per_sensor, 150.0 / 36, 1e-12);
    NEAR(picture_pixels_an_inch(&part, 6000, 4000), 6000 / (150 / MM_PER_INCH), 1e-9);
}

Test(picture, crop_uses_shrinks_the_frame) {
    PictureWishes wishes = spread_wishes();
    Picture whole = picture_new(&wishes);
    wishes.crop_uses = 0.9;
    Picture part = picture_new(&wishes);
    NEAR(part.taken_wide_mm, 0.9 * whole.taken_wide_mm, 1e-12);
    NEAR(part.taken_tall_mm, 0.9 * whole.taken_tall_mm, 1e-12);
    NEAR(part.paper_per_sensor, whole.paper_per_sensor / 0.9, 1e-12);
    NEAR(part.drawn_per_sensor, whole.drawn_per_sensor / 0.9, 1e-12);
    NEAR(picture_crop_across_most_mm(&part), 1.8, 1e-12);
}

Test(camera, projects_the_first_check_scene) {
    /* the mark's foot at (190, 62) and 96 mm tall with the solved camera */
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    Camera camera = {.across_mm = 58.37, .distance_mm = 3002.49, .height_mm = 250, .focal_mm = 85};
    camera.tilt_rad = RADIANS(3.6976);
    cr_assert(camera_focus(&camera, (Point3){0, 0, 250}));
    double x, y, head_x, head_y, depth;
    cr_assert(camera_project(&camera, &picture, (Point3){0, 0, 0}, &x, &y, &depth));
    cr_assert(camera_project(&camera, &picture, (Point3){0, 0, 279.4}, &head_x, &head_y, NULL));
    NEAR(x, 190, 0.005);
    NEAR(y, 62, 0.005);
    NEAR(head_y - y, 96, 0.005);
    NEAR(depth, 3002.49 * cos(RADIANS(3.6976)) + 250 * sin(RADIANS(3.6976)), 1e-9);
}

Test(camera, level_camera_projects_by_similar_triangles) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    Camera camera = camera_at(100, 2000, 300, 0, 50, 51.5);
    double x, y;
    cr_assert(camera_project(&camera, &picture, (Point3){400, 500, 50}, &x, &y, NULL));
    NEAR(x, 210 + picture.drawn_per_sensor * 51.5 * 300 / 2500, 1e-9);
    NEAR(y, picture.drawing_tall_mm / 2 - picture.drawn_per_sensor * 51.5 * 250 / 2500, 1e-9);
}

Test(camera, crop_moves_the_picture_and_not_the_set) {
    PictureWishes wishes = spread_wishes();
    Picture centred = picture_new(&wishes);
    wishes.crop_uses = 0.9;
    wishes.crop_across_mm = 1;
    wishes.crop_up_mm = 2;
    Picture moved = picture_new(&wishes);
    Camera camera = camera_at(10, 2000, 300, 4, 50, 51.5);
    Camera cropped = camera;
    cropped.crop_up_mm = 2;
    Point3 point = {80, 20, 150};
    double x, y, moved_x, moved_y;
    camera_project(&camera, &centred, point, &x, &y, NULL);
    camera_project(&cropped, &moved, point, &moved_x, &moved_y, NULL);
    double tall = centred.drawing_tall_mm;
    /* on the sensor, from the axis, the image is the same */
    NEAR((moved_x - 210) / moved.drawn_per_sensor + 1, (x - 210) / centred.drawn_per_sensor, 1e-12);
    NEAR((moved_y - tall / 2) / moved.drawn_per_sensor + 2, (y - tall / 2) / centred.drawn_per_sensor, 1e-12);
}

Test(camera, nothing_is_seen_at_or_behind_the_lens) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    Camera camera = camera_at(0, 1000, 300, 0, 50, 52);
    double x = -7, y = -7, depth = -7;
    cr_assert_not(camera_project(&camera, &picture, (Point3){0, -1000, 300}, &x, &y, &depth));
    cr_assert_not(camera_project(&camera, &picture, (Point3){0, -1500, 300}, &x, &y, &depth));
    cr_assert(x == -7 && y == -7 && depth == -7);
}

Test(camera, rays_go_back_where_points_came_from) {
    PictureWishes wishes = spread_wishes();
    wishes.crop_uses = 0.8;
    wishes.crop_across_mm = -2;
    Picture picture = picture_new(&wishes);
    Camera camera = camera_at(-70, 1800, 400, 9, 60, 62.1);
    camera.crop_up_mm = 1.5;
    Point3 points[] = {{0, 0, 0}, {300, 250, 0}, {-420, 900, 120}, {55, -300, 20}};
    for (size_t i = 0; i < sizeof points / sizeof *points; i++) {
        Point3 point = points[i], level, upright;
        double x, y, depth;
        cr_assert(camera_project(&camera, &picture, point, &x, &y, &depth));
        Point3 ray = camera_ray(&camera, &picture, x, y);
        /* forward is (0, cos t, -sin t): the ray's component along it is 1 */
        NEAR(ray.back_mm * cos(camera.tilt_rad) - ray.up_mm * sin(camera.tilt_rad), 1, 1e-12);
        NEAR(camera.across_mm + depth * ray.across_mm, point.across_mm, 1e-9);
        NEAR(-camera.distance_mm + depth * ray.back_mm, point.back_mm, 1e-9);
        NEAR(camera.height_mm + depth * ray.up_mm, point.up_mm, 1e-9);
        cr_assert(camera_on_level(&camera, &picture, x, y, point.up_mm, &level));
        NEAR(level.across_mm, point.across_mm, 1e-8);
        NEAR(level.back_mm, point.back_mm, 1e-8);
        cr_assert(camera_on_upright(&camera, &picture, x, y, point.back_mm, &upright));
        NEAR(upright.across_mm, point.across_mm, 1e-8);
        NEAR(upright.up_mm, point.up_mm, 1e-8);
    }
}

Test(camera, rays_that_meet_nothing_say_so) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    Camera camera = camera_at(0, 1800, 400, 5, 60, 62.1);
    double horizon = camera_horizon_mm(&camera, &picture);
    Point3 point = {1, 2, 3};
    cr_assert_not(camera_on_level(&camera, &picture, 210, horizon + 0.01, 0, &point));
    cr_assert_not(camera_on_upright(&camera, &picture, 210, 80, -1800, &point));
    cr_assert_not(camera_on_upright(&camera, &picture, 210, 80, -2500, &point));
    cr_assert(point.across_mm == 1 && point.back_mm == 2 && point.up_mm == 3);
    cr_assert(camera_on_level(&camera, &picture, 210, horizon - 0.01, 0, &point));
    cr_assert_gt(point.back_mm, 1e6);
    /* a level over the lens is met above the horizon alone */
    cr_assert(camera_on_level(&camera, &picture, 210, horizon + 5, 900, &point));
    cr_assert_not(camera_on_level(&camera, &picture, 210, horizon - 5, 900, &point));
}

Test(camera, horizon_is_where_far_points_at_the_lens_s_height_go) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    Camera camera = camera_at(0, 1800, 400, 5, 60, 62.1);
    camera.crop_up_mm = -1.25;
    double x, y;
    cr_assert(camera_project(&camera, &picture, (Point3){0, 1e9, 400}, &x, &y, NULL));
    NEAR(camera_horizon_mm(&camera, &picture), y, 1e-9);
    cr_assert(camera_project(&camera, &picture, (Point3){123, 700, 400}, &x, &y, NULL));
    NEAR(camera_horizon_mm(&camera, &picture), y, 1e-9);
}

Test(camera, scale_is_real_for_drawn) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    Camera camera = camera_at(40, 1800, 400, 5, 60, 62.1);
    Point3 left = {0, 300, 100}, right = {50, 300, 100};
    double x, y, right_x;
    camera_project(&camera, &picture, left, &x, &y, NULL);
    camera_project(&camera, &picture, right, &right_x, &y, NULL);
    NEAR(camera_scale(&camera, &picture, left), 50 / (right_x - x), 1e-9);
}

/* The corners of the frame on the drawing, from which rays are made: bleed lies outside the drawing. */
static void frame_corner(const Picture *picture, int side, int row, double spare, double *x, double *y) {
    double wide = picture->frame_wide_mm * picture->drawing_wide_mm / picture->trim_wide_mm;
    double tall = picture->frame_tall_mm * picture->drawing_wide_mm / picture->trim_wide_mm;
    *x = picture->drawing_wide_mm / 2 + side * wide * (0.5 + spare);
    *y = picture->drawing_tall_mm / 2 + row * tall * (0.5 + spare);
}

Test(camera, edges_stand_where_corner_rays_meet_the_ground) {
    PictureWishes wishes = spread_wishes();
    wishes.crop_uses = 0.9;
    wishes.crop_across_mm = 1.5;
    wishes.crop_up_mm = -2;
    Picture picture = picture_new(&wishes);
    Camera camera = camera_at(-120, 1500, 500, 12, 50, 52);
    camera.crop_up_mm = -2;
    for (int spared = 0; spared < 2; spared++) {
        double spare = spared ? 0.06 : 0, x, y, back;
        Point3 left, right;
        frame_corner(&picture, -1, -1, spare, &x, &y);
        cr_assert(camera_on_level(&camera, &picture, x, y, 20, &left));
        frame_corner(&picture, 1, -1, spare, &x, &y);
        cr_assert(camera_on_level(&camera, &picture, x, y, 20, &right));
        cr_assert(camera_near_ground_mm(&camera, &picture, spare, 20, &back));
        NEAR(back, left.back_mm, 1e-9);
        NEAR(back, right.back_mm, 1e-9);
        NEAR(camera_edge_mm(&camera, &picture, -1, spare, back, 20), left.across_mm, 1e-9);
        NEAR(camera_edge_mm(&camera, &picture, 1, spare, back, 20), right.across_mm, 1e-9);
        if (!spared)
            NEAR(camera_frame_mm(&camera, &picture, back, 20), right.across_mm - left.across_mm, 1e-9);
        /* rule 25's closed form */
        double below = picture.taken_tall_mm * (0.5 + spare) - camera.crop_up_mm;
        NEAR(back, -1500 + 480 / tan(RADIANS(12) + atan(below / 52)), 1e-9);
    }
}

Test(camera, no_near_ground_when_the_lower_edge_looks_up) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    Camera camera = camera_at(0, 1500, 100, -15, 50, 52);
    double back = 5;
    cr_assert_not(camera_near_ground_mm(&camera, &picture, 0, 0, &back));
    cr_assert(back == 5);
}

Test(camera, upright_view_is_the_box_round_the_corner_rays) {
    PictureWishes wishes = spread_wishes();
    wishes.crop_uses = 0.9;
    wishes.crop_across_mm = 1.5;
    Picture picture = picture_new(&wishes);
    double tilts[] = {-8, 0, 14};
    for (size_t i = 0; i < 3; i++) {
        Camera camera = camera_at(60, 1500, 500, tilts[i], 50, 52);
        camera.crop_up_mm = -1;
        double left = INFINITY, right = -INFINITY, low = INFINITY, high = -INFINITY;
        for (int corner = 0; corner < 4; corner++) {
            /* the drawing's own crop is the picture's: move the row by what this camera's differs */
            double x, y;
            Point3 met;
            frame_corner(&picture, corner & 1 ? 1 : -1, corner & 2 ? 1 : -1, 0.05, &x, &y);
            cr_assert(camera_on_upright(&camera, &picture, x, y, 700, &met));
            left = fmin(left, met.across_mm), right = fmax(right, met.across_mm);
            low = fmin(low, met.up_mm), high = fmax(high, met.up_mm);
        }
        UprightView view;
        cr_assert(camera_upright_view(&camera, &picture, 0.05, 700, -INFINITY, INFINITY, &view));
        NEAR(view.left_mm, left, 1e-9);
        NEAR(view.right_mm, right, 1e-9);
        NEAR(view.low_mm, low, 1e-9);
        NEAR(view.high_mm, high, 1e-9);
    }
}

Test(camera, upright_view_is_clipped_to_foot_and_top) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    UprightView view;
    /* looking down: the frame is wider at the foot than at the top, so the foot decides */
    Camera down = camera_at(0, 1500, 500, 14, 50, 52);
    cr_assert(camera_upright_view(&down, &picture, 0, 0, 0, 150, &view));
    NEAR(view.low_mm, 0, 1e-12);
    NEAR(view.high_mm, 150, 1e-12);
    double at_foot = 18 * (1500 * cos(RADIANS(14)) + 500 * sin(RADIANS(14))) / 52;
    NEAR(view.right_mm, at_foot, 1e-9);
    NEAR(view.left_mm, -at_foot, 1e-9);
    /* looking up: the top decides */
    Camera up = camera_at(0, 1500, 100, -10, 50, 52);
    cr_assert(camera_upright_view(&up, &picture, 0, 0, 200, 400, &view));
    double at_top = 18 * (1500 * cos(RADIANS(-10)) + (100 - 400) * sin(RADIANS(-10))) / 52;
    NEAR(view.right_mm, at_top, 1e-9);
    /* out of sight: over the frame, under it, and behind the lens */
    view.left_mm = 7;
    cr_assert_not(camera_upright_view(&down, &picture, 0, 0, 2000, 3000, &view));
    cr_assert_not(camera_upright_view(&down, &picture, 0, 0, -3000, -2000, &view));
    cr_assert_not(camera_upright_view(&down, &picture, 0, -1500, 0, 100, &view));
    cr_assert(view.left_mm == 7);
}

Test(camera, upright_view_past_the_plumb_is_open_downwards) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    /* 80 degrees down with 11 degrees to the lower edge: it looks back under the lens */
    Camera camera = camera_at(0, 100, 2000, 82, 35, 36);
    UprightView view;
    cr_assert(camera_upright_view(&camera, &picture, 0, 0, 0, INFINITY, &view));
    NEAR(view.low_mm, 0, 1e-12);
    Point3 corner;
    double x, y;
    frame_corner(&picture, 1, 1, 0, &x, &y);
    cr_assert(camera_on_upright(&camera, &picture, x, y, 0, &corner));
    NEAR(view.high_mm, corner.up_mm, 1e-9);
}

Test(camera, angles_are_of_the_frame_at_the_image_distance) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    Camera camera = camera_at(0, 1500, 100, 0, 50, 52);
    double wide, tall;
    camera_angles(&camera, &picture, &wide, &tall);
    NEAR(tan(wide / 2), 18.0 / 52, 1e-12);
    NEAR(tan(tall / 2), picture.taken_tall_mm / 2 / 52, 1e-12);
}

Test(camera, sensor_mark_lies_behind_the_lens_on_the_axis) {
    Camera camera = camera_at(30, 1500, 100, 30, 50, 60);
    Point3 mark = camera_sensor_mark(&camera);
    NEAR(mark.across_mm, 30, 0);
    NEAR(mark.back_mm, -(1500 + 60 * sqrt(3) / 2), 1e-9);
    NEAR(mark.up_mm, 130, 1e-9);
}

Test(camera, focus_goes_to_the_plane_through_the_point) {
    Camera camera = {.distance_mm = 400, .height_mm = 300, .tilt_rad = RADIANS(0), .focal_mm = 100};
    cr_assert(camera_focus(&camera, (Point3){25, 0, 120}));
    NEAR(camera.object_mm, 400, 1e-12);
    NEAR(camera.image_mm, 100 * 400 / 300.0, 1e-12);
    Camera kept = camera;
    cr_assert_not(camera_focus(&camera, (Point3){0, -300, 300}));
    cr_assert_not(camera_focus(&camera, (Point3){0, -310, 300}));
    cr_assert(camera.object_mm == kept.object_mm && camera.image_mm == kept.image_mm);
}

/* Common practice, no source. */
Test(camera, floor_is_wider_at_the_rear_than_in_front) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    for (double focal = 24; focal < 140; focal *= 1.3)
        for (double tilt = -20; tilt <= 60; tilt += 5)
            for (double height = 50; height < 900; height += 100) {
                Camera camera = camera_at(0, 2000, height, tilt, focal, focal * 1.03);
                cr_assert_gt(camera_frame_mm(&camera, &picture, 800, 0),
                             camera_frame_mm(&camera, &picture, 0, 0));
            }
}

/* Common practice, no source: from a lower lens a strip of the floor fills less of the picture. */
Test(camera, lower_lens_shows_less_ground) {
    PictureWishes wishes = spread_wishes();
    Picture picture = picture_new(&wishes);
    for (double tilt = -10; tilt <= 20; tilt += 2) {
        double most = INFINITY;
        for (double height = 900; height > 50; height -= 50) {
            Camera camera = camera_at(0, 2000, height, tilt, 85, 88), *lens = &camera;
            double x, front, rear;
            cr_assert(camera_project(lens, &picture, (Point3){0, 0, 0}, &x, &front, NULL));
            cr_assert(camera_project(lens, &picture, (Point3){0, 800, 0}, &x, &rear, NULL));
            cr_assert_lt(rear - front, most);
            most = rear - front;
        }
    }
}
