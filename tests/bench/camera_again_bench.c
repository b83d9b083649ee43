/* How long one camera_again takes, and how much longer camera_solve for the same. Prints, and judges nothing.
 */
#define _POSIX_C_SOURCE 200809L
#include "optics/camera_again.h"
#include "optics/camera_solve.h"

#include <stdio.h>
#include <time.h>

static double now_ns(void) {
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return 1e9 * (double)time.tv_sec + (double)time.tv_nsec;
}

static const double FOOT_X_MM = 190, FOOT_Y_MM = 62, TALL_MM = 279.4, DRAWN_MM = 96, EYES_MM = 250;

static double lens_of(int i) {
    return 35 + i % 100;
}

static double height_of(int i) {
    return 50 + i % 317;
}

static double again_ns(const Picture *picture, int times, double *sum) {
    HeldPuppet held = {.tall_mm = TALL_MM,
                       .foot_x_mm = FOOT_X_MM,
                       .foot_y_mm = FOOT_Y_MM,
                       .drawn_tall_mm = DRAWN_MM,
                       .focus = {0, 0, EYES_MM}};
    double start = now_ns();
    for (int i = 0; i < times; i++) {
        Camera camera;
        if (camera_again(&held, picture, lens_of(i), height_of(i), 0, &camera)) *sum += camera.tilt_rad;
    }
    return (now_ns() - start) / times;
}

static double solve_ns(const Picture *picture, int times, double *sum) {
    CameraProblem problem = {
        .picture = *picture,
        .stated = {[STATE_LENS] = true, [STATE_HEIGHT] = true, [STATE_FOOT] = true, [STATE_TALL] = true},
        .foot_x_mm = FOOT_X_MM,
        .foot_y_mm = FOOT_Y_MM,
        .mark_tall_mm = TALL_MM,
        .mark_eyes_mm = EYES_MM,
        .focus = {0, 0, EYES_MM},
        .agree_mm = 1};
    problem.value[STATE_TALL] = DRAWN_MM;
    double start = now_ns();
    for (int i = 0; i < times; i++) {
        CameraSolution solution;
        problem.value[STATE_LENS] = lens_of(i);
        problem.value[STATE_HEIGHT] = height_of(i);
        camera_solve(&problem, &solution);
        if (solution.status == CAMERA_SOLVED) *sum += solution.camera.tilt_rad;
    }
    return (now_ns() - start) / times;
}

int main(void) {
    PictureWishes wishes = {.page_wide_mm = 279.4,
                            .page_tall_mm = 215.9,
                            .bleed_mm = 3.175,
                            .pages = 2,
                            .drawing_wide_mm = 420,
                            .sensor_wide_mm = 36,
                            .sensor_tall_mm = 24,
                            .crop_uses = 1};
    Picture picture = picture_new(&wishes);
    double sum = 0, again = again_ns(&picture, 1000000, &sum), solve = solve_ns(&picture, 4000, &sum);
    printf("camera_again  %6.0f ns\ncamera_solve  %6.0f ns, %.0f times as long\n", again, solve,
           solve / again);
    return sum > 0 ? 0 : 1; /* the sum keeps the work from being left out */
}
