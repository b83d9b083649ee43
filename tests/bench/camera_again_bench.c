/* How long one camera_again takes. Prints, and judges nothing. */
#define _POSIX_C_SOURCE 200809L
#include "optics/camera_again.h"

#include <stdio.h>
#include <time.h>

static double now_ns(void) {
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return 1e9 * (double)time.tv_sec + (double)time.tv_nsec;
}

int main(void) {
    enum { TIMES = 2000000 };
    PictureWishes wishes = {.page_wide_mm = 279.4,
                            .page_tall_mm = 215.9,
                            .bleed_mm = 3.175,
                            .pages = 2,
                            .drawing_wide_mm = 420,
                            .sensor_wide_mm = 36,
                            .sensor_tall_mm = 24,
                            .crop_uses = 1};
    Picture picture = picture_new(&wishes);
    HeldPuppet held = {
        .tall_mm = 279.4, .foot_x_mm = 190, .foot_y_mm = 62, .drawn_tall_mm = 96, .focus = {0, 0, 250}};
    double sum = 0, start = now_ns();
    for (int i = 0; i < TIMES; i++) {
        Camera camera;
        if (camera_again(&held, &picture, 35 + i % 100, 50 + i % 317, 0, &camera)) sum += camera.tilt_rad;
    }
    double each = (now_ns() - start) / TIMES;
    printf("camera_again: %.0f ns (checksum %.6f)\n", each, sum);
    return 0;
}
