/* The camera for a given lens and height: worked scenes, and what must hold for any. */
#include "base/number.h"
#include "near.h"
#include "optics/camera_again.h"
#include "optics/lens.h"
#include "spread.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>

/* 11 in tall with eyes at 250 mm, drawn 96 mm tall with its feet at (190, 62). */
static HeldPuppet first_puppet(void) {
    return (HeldPuppet){
        .tall_mm = 279.4, .foot_x_mm = 190, .foot_y_mm = 62, .drawn_tall_mm = 96, .focus = {0, 0, 250}};
}

/* Numbers of a solver of its own, written for the design. */
Test(camera_again, check_scenes) {
    Picture picture = spread_picture();
    HeldPuppet held = first_puppet();
    Camera camera;
    cr_assert(camera_again(&held, &picture, 85, 250, 0, &camera));
    NEAR(camera.across_mm, 58.37, 0.005);
    NEAR(camera.distance_mm, 3002.49, 0.005);
    NEAR(DEGREES(camera.tilt_rad), 3.6976, 0.00005);
    cr_assert(camera_again(&held, &picture, 50, 250, 0, &camera));
    NEAR(camera.across_mm, 58.66, 0.005);
    NEAR(camera.distance_mm, 1764.53, 0.005);
    NEAR(DEGREES(camera.tilt_rad), 6.2591, 0.00005);
    cr_assert(camera_again(&held, &picture, 85, 55.69, 0, &camera));
    NEAR(camera.distance_mm, 3003.96, 0.005);
    NEAR(DEGREES(camera.tilt_rad), 0, 0.0002);
    held.foot_x_mm = 180, held.foot_y_mm = 34, held.drawn_tall_mm = 92;
    held.focus.up_mm = 9.75 * MM_PER_INCH;
    cr_assert(camera_again(&held, &picture, 85, 254, 0, &camera));
    NEAR(camera.across_mm, 91.2, 0.05);
    NEAR(camera.distance_mm, 3126.9, 0.05);
    NEAR(DEGREES(camera.tilt_rad), 2.026, 0.0005);
    NEAR(camera_horizon_mm(&camera, &picture), 117.6, 0.05);
}

static double uniform(uint64_t *state, double low, double high) {
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(*state >> 11) / 9007199254740992.0;
}

/* A camera somewhere in front of a puppet, the picture it belongs to, and what it holds. */
typedef struct Scene {
    Picture picture;
    Camera camera;
    HeldPuppet held;
    double up_mm, tall_mm;
} Scene;

static bool random_scene(uint64_t *state, Scene *scene) {
    PictureWishes wishes = {.page_wide_mm = uniform(state, 150, 300),
                            .page_tall_mm = uniform(state, 150, 300),
                            .bleed_mm = uniform(state, 0, 5),
                            .pages = uniform(state, 0, 1) < 0.5 ? 1 : 2,
                            .sensor_wide_mm = uniform(state, 17, 44),
                            .sensor_tall_mm = uniform(state, 13, 33),
                            .crop_uses = uniform(state, 0.7, 1),
                            .crop_across_mm = uniform(state, -1, 1)};
    scene->picture = picture_new(&wishes);
    scene->up_mm = uniform(state, 0, 1) < 0.5 ? 0 : uniform(state, 0, 200);
    scene->tall_mm = uniform(state, 100, 450);
    scene->camera = (Camera){.across_mm = uniform(state, -300, 300),
                             .distance_mm = uniform(state, 500, 4000),
                             .height_mm = scene->up_mm + uniform(state, 5, 1.6 * scene->tall_mm),
                             .tilt_rad = RADIANS(uniform(state, -12, 20)),
                             .focal_mm = uniform(state, 24, 135),
                             .crop_up_mm = uniform(state, -2, 2)};
    Point3 eyes = {0, uniform(state, -20, 20), scene->up_mm + 0.9 * scene->tall_mm};
    return camera_focus(&scene->camera, eyes) &&
           held_puppet(&scene->camera, &scene->picture, scene->up_mm, scene->tall_mm, eyes, &scene->held);
}

Test(camera_again, finds_any_camera_again) {
    uint64_t state = 7;
    int found = 0;
    for (int i = 0; i < 5000; i++) {
        Scene scene;
        if (!random_scene(&state, &scene)) continue;
        const Camera *known = &scene.camera;
        Camera camera;
        cr_assert(camera_again(&scene.held, &scene.picture, known->focal_mm, known->height_mm,
                               known->crop_up_mm, &camera));
        NEAR(camera.distance_mm, known->distance_mm, 1e-9 * known->distance_mm);
        NEAR(camera.across_mm, known->across_mm, 1e-9 * known->distance_mm);
        NEAR(camera.tilt_rad, known->tilt_rad, 1e-9);
        NEAR(camera.object_mm, known->object_mm, 1e-9 * known->object_mm);
        NEAR(camera.image_mm, known->image_mm, 1e-9 * known->image_mm);
        found++;
    }
    cr_assert_gt(found, 4900);
}

Test(camera_again, keeps_foot_and_size_for_other_lenses_and_heights) {
    uint64_t state = 11;
    for (int i = 0; i < 2000; i++) {
        Scene scene;
        if (!random_scene(&state, &scene)) continue;
        double focal = scene.camera.focal_mm * uniform(&state, 0.8, 1.3);
        double height = scene.up_mm + uniform(&state, 0.1, 1) * scene.tall_mm;
        Camera camera;
        cr_assert(camera_again(&scene.held, &scene.picture, focal, height, scene.camera.crop_up_mm, &camera));
        HeldPuppet held;
        cr_assert(held_puppet(&camera, &scene.picture, scene.up_mm, scene.tall_mm, scene.held.focus, &held));
        NEAR(held.foot_x_mm, scene.held.foot_x_mm, 1e-9);
        NEAR(held.foot_y_mm, scene.held.foot_y_mm, 1e-9);
        NEAR(held.drawn_tall_mm, scene.held.drawn_tall_mm, 1e-9);
        cr_assert(camera.focal_mm == focal && camera.height_mm == height);
        NEAR(camera.object_mm, camera_depth_mm(&camera, scene.held.focus), 1e-9 * camera.object_mm);
        NEAR(camera.image_mm, lens_image_distance(focal, camera.object_mm), 1e-10 * camera.image_mm);
    }
}

Test(camera_again, mirrored_drawing_mirrors_the_camera) {
    Picture picture = spread_picture();
    HeldPuppet held = first_puppet(), mirrored = held;
    mirrored.foot_x_mm = 420 - held.foot_x_mm;
    Camera camera, other;
    cr_assert(camera_again(&held, &picture, 85, 200, 0, &camera));
    cr_assert(camera_again(&mirrored, &picture, 85, 200, 0, &other));
    NEAR(other.across_mm, -camera.across_mm, 1e-10);
    cr_assert(other.distance_mm == camera.distance_mm && other.tilt_rad == camera.tilt_rad);
}

Test(camera_again, takes_the_flatter_of_two) {
    /* from 600 mm up there are two cameras; the farther comes back from either's view only if it is the
     * flatter */
    Picture picture = spread_picture();
    Camera steep = {.distance_mm = 350, .height_mm = 700, .tilt_rad = RADIANS(55), .focal_mm = 50}, camera;
    Point3 eyes = {0, 0, 250};
    HeldPuppet held;
    cr_assert(camera_focus(&steep, eyes));
    cr_assert(held_puppet(&steep, &picture, 0, 279.4, eyes, &held));
    cr_assert(camera_again(&held, &picture, 50, 700, 0, &camera));
    cr_assert_gt(camera.distance_mm, 700);
    cr_assert_lt(camera.tilt_rad, steep.tilt_rad);
    HeldPuppet same;
    cr_assert(held_puppet(&camera, &picture, 0, 279.4, eyes, &same));
    NEAR(same.drawn_tall_mm, held.drawn_tall_mm, 1e-9);
}

Test(camera_again, says_where_there_is_none) {
    Picture picture = spread_picture();
    HeldPuppet held = first_puppet();
    Camera camera;
    cr_assert_not(camera_again(&held, &picture, 85, 1, 0, &camera), "on the ground");
    cr_assert_not(camera_again(&held, &picture, 85, -60, 0, &camera), "under the ground");
    cr_assert_not(camera_again(&held, &picture, 85, 9000, 0, &camera), "too high: foreshortened under 96 mm");
    held.focus.back_mm = -3000;
    cr_assert_not(camera_again(&held, &picture, 85, 250, 0, &camera), "focus within the focal length");
    held = first_puppet();
    held.drawn_tall_mm = 0;
    cr_assert_not(camera_again(&held, &picture, 85, 250, 0, &camera), "drawn no size at all");
    /* the foot so far under the drawing that the axis must point over 75 degrees up */
    held = first_puppet();
    held.foot_y_mm = -9000;
    cr_assert_not(camera_again(&held, &picture, 24, 250, 0, &camera), "too steep");
}

Test(held_puppet, needs_the_puppet_in_front_of_the_lens) {
    Picture picture = spread_picture();
    HeldPuppet held;
    Camera turned = {.distance_mm = -500, .height_mm = 100, .focal_mm = 50, .object_mm = 900, .image_mm = 53};
    cr_assert_not(held_puppet(&turned, &picture, 0, 279.4, (Point3){0, 900, 0}, &held));
}

/* Common practice, no source: with the leading puppet held, a lower lens shows less ground, to any lens and
 * depth. */
Test(camera_again, lower_lens_shows_less_ground) {
    Picture picture = spread_picture();
    HeldPuppet held = first_puppet();
    for (double focal = 35; focal < 140; focal *= 1.4) {
        double horizon = INFINITY, strip = INFINITY;
        for (double height = 450; height > 10; height -= 20) {
            Camera camera;
            double x, front, rear;
            cr_assert(camera_again(&held, &picture, focal, height, 0, &camera));
            cr_assert(camera_project(&camera, &picture, (Point3){0, 0, 0}, &x, &front, NULL));
            cr_assert(camera_project(&camera, &picture, (Point3){0, 1200, 0}, &x, &rear, NULL));
            cr_assert_lt(camera_horizon_mm(&camera, &picture), horizon);
            cr_assert_lt(rear - front, strip);
            horizon = camera_horizon_mm(&camera, &picture);
            strip = rear - front;
        }
    }
}
