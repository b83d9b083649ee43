/* Random photographs of points whose camera is known, for tests. Deterministic. */
#ifndef GROUNDROW_TESTS_RESECT_SAMPLE_H
#define GROUNDROW_TESTS_RESECT_SAMPLE_H

#include "base/number.h"
#include "near.h"
#include "optics/resected.h"

#include <math.h>
#include <stdint.h>

/* A linear congruential generator (Knuth, MMIX), its upper bits. */
static inline double uniform(uint64_t *state, double low, double high) {
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(*state >> 11) / 9007199254740992.0;
}

static inline double normal(uint64_t *state, double sigma) {
    /* Box and Muller */
    double u = uniform(state, 0, 1), w = uniform(state, 0, 1);
    return sigma * sqrt(-2 * log(1 - u)) * cos(2 * PI * w);
}

static inline size_t below(uint64_t *state, size_t count) {
    size_t it = (size_t)uniform(state, 0, (double)count);
    return it < count ? it : count - 1;
}

/* Where the camera sees a point, with noise, as a mark. */
static inline ResectMark mark_of(const PhotoCamera *camera, const Photograph *photo, Point3 at,
                                 double noise_px, uint64_t *state) {
    ResectMark mark = {.at = at, .x_px = NAN, .y_px = NAN};
    (void)photo_project(camera, photo, at, &mark.x_px, &mark.y_px, NULL);
    if (noise_px > 0) {
        mark.x_px += normal(state, noise_px);
        mark.y_px += normal(state, noise_px);
    }
    return mark;
}

/* An unknown of a camera, by RESECT_... */
static inline double unknown_of(const PhotoCamera *camera, int unknown) {
    const double values[RESECT_UNKNOWN_COUNT] = {
        camera->lens.across_mm, camera->lens.back_mm, camera->lens.up_mm, camera->turn_rad,
        camera->tilt_rad,       camera->roll_rad,     camera->focal_mm,   camera->radial};
    return values[unknown];
}

/* Standard deviations by which `hits` of `count` are off the share that is expected. */
static inline double binomial_off(size_t hits, size_t count, double share) {
    return ((double)hits - share * (double)count) / sqrt((double)count * share * (1 - share));
}

#endif
