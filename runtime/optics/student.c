#include "optics/student.h"

#include "base/number.h"

#include <assert.h>
#include <math.h>

/* From here on the expansion in 1/freedoms is better than 1e-9. */
static const double FREEDOMS_MANY = 300;

/* The continued fraction of the incomplete beta function, by Lentz's method (Abramowitz & Stegun 26.5.8). */
static double beta_fraction(double a, double b, double x) {
    double c = 1, d = 1 / (1 - (a + b) * x / (a + 1)), value = d;
    for (int m = 1; m < 300; m++) {
        double up = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
        d = 1 / (1 + up * d);
        c = 1 + up / c;
        value *= c * d;
        up = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
        d = 1 / (1 + up * d);
        c = 1 + up / c;
        value *= c * d;
        if (fabs(c * d - 1) < 1e-15) break;
    }
    return value;
}

/* 1 / B(freedoms / 2, 1/2). */
static double beta_scale(double freedoms) {
    return tgamma((freedoms + 1) / 2) / (tgamma(freedoms / 2) * sqrt(PI));
}

/* Shares and densities of |t| for a number of freedoms whose scale is known. */
static double share_within(double times, double freedoms, double scale) {
    double a = freedoms / 2, x = freedoms / (freedoms + times * times), y = 1 - x;
    double front = pow(x, a) * sqrt(y) * scale;
    if (x < (a + 1) / (a + 2.5)) return 1 - front * beta_fraction(a, 0.5, x) / a;
    return front * beta_fraction(0.5, a, y) / 0.5;
}

static double normal_times(double share) {
    /* Newton on erf from a crude start, concave from below */
    double z = 0;
    for (int i = 0; i < 60; i++) {
        double step = (share - erf(z / sqrt(2))) / (sqrt(2 / PI) * exp(-z * z / 2));
        z += fmin(step, 1);
        if (fabs(step) < 1e-14) break;
    }
    return z;
}

/* Cornish and Fisher's expansion (Abramowitz & Stegun 26.7.5). */
static double many_times(double share, double freedoms) {
    double z = normal_times(share), z2 = z * z;
    return z + z * (z2 + 1) / (4 * freedoms) + z * (5 * z2 * z2 + 16 * z2 + 3) / (96 * freedoms * freedoms) +
           z * (3 * z2 * z2 * z2 + 19 * z2 * z2 + 17 * z2 - 15) / (384 * freedoms * freedoms * freedoms);
}

double student_share(double times, double freedoms) {
    assert(freedoms > 0 && times >= 0);
    if (isinf(times)) return 1;
    if (freedoms <= FREEDOMS_MANY) return times > 0 ? share_within(times, freedoms, beta_scale(freedoms)) : 0;
    if (isinf(freedoms)) return erf(times / sqrt(2));
    /* the normal deviate that is as likely (Abramowitz & Stegun 26.7.8), to 1e-7 */
    double z = times * (1 - 1 / (4 * freedoms)) / sqrt(1 + times * times / (2 * freedoms));
    return erf(z / sqrt(2));
}

double student_times(double share, double freedoms) {
    assert(freedoms > 0 && share > 0 && share < 1);
    if (isinf(freedoms)) return normal_times(share);
    if (freedoms > FREEDOMS_MANY) return many_times(share, freedoms);
    /* In the angle of t = sqrt(freedoms) tan(angle) the share is concave: Newton's method comes from below.
     */
    double scale = beta_scale(freedoms), angle = 0;
    for (int i = 0; i < 100; i++) {
        double within = angle > 0 ? share_within(sqrt(freedoms) * tan(angle), freedoms, scale) : 0;
        double step = (share - within) / (2 * scale * pow(cos(angle), freedoms - 1));
        angle = fmin(angle + step, (angle + PI / 2) / 2);
        if (fabs(step) < 1e-14) break;
    }
    return sqrt(freedoms) * tan(angle);
}
