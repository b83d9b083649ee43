/* Sharpness against published worked examples; the source stands beside each. */
#include "optics/lens.h"
#include "optics/sharpness.h"

#include <criterion/criterion.h>
#include <math.h>

static const double IN = 25.4, FT = 304.8;

static void close_to(double value, double published, double share, const char *what) {
    cr_assert_float_eq(value, published, fabs(published) * share, "%s: %f, published %f", what, value,
                       published);
}

/* H = f^2/(N c) + f (openphotographicsociety.co.uk, "hyperfocal distance"): focused there, far is nowhere and
 * near is H/2. */
static double hyperfocal(double f, double n, double c) {
    return f * f / (n * c) + f;
}

Test(depth_of_field, focused_at_the_hyperfocal_distance) {
    double near, far;
    const double h = hyperfocal(
        12, 16, 0.030); /* photography.grayheron.net 2017/06 "close enough": H about 312 mm, near 156 mm */
    close_to(h, 312, 0.002, "H");
    sharp_limits(12, 16, 0.030, h * (1 + 1e-12), &near, &far);
    close_to(near, 156, 0.002, "near limit");
    cr_assert(isinf(far));
}

/* US Army SS0507 p. 58: 2 in lens, f/8, 0.002 in: H 20.8 ft, refocused there 10.4 ft to infinity (it leaves
 * the + f out). */
Test(depth_of_field, army_two_inch_lens) {
    double near, far;
    sharp_limits(2 * IN, 8, 0.002 * IN, 20.8 * FT, &near, &far);
    close_to(near / FT, 10.4, 0.01, "near limit");
}

/* NAVEDTRA 14209 p. 1-26: 155 mm, f/2.8, 0.002 in implied, 10 ft: near 9.8, far 10.2 ft. */
Test(depth_of_field, navedtra_portrait) {
    double near, far;
    sharp_limits(155, 2.8, 0.002 * IN, 10 * FT, &near, &far);
    cr_assert_float_eq(near / FT, 9.8, 0.05);
    cr_assert_float_eq(far / FT, 10.2, 0.05);
    double u, n;
    sharp_focus_for(155, 0.002 * IN, 9.823 * FT, 10.184 * FT, &u, &n); /* P = 2Dd/(D + d), same page: 10 ft */
    close_to(u / FT, 10, 0.001, "focus for both limits");
    close_to(n, 2.8, 0.06,
             "the stop that holds them"); /* the page leaves the focal length out of u: 5 % here */
}

/* Hawkins & Avon, Photography (UK, 1979), as quoted on PDML 2004-04-09: 70 mm, 0.021 mm: H 29.2 m at f/8
 * (they leave the + f out); at f/22 focused at 10.606 m sharp from 5.338 m, by a formula that keeps the depth
 * of focus constant: 0.33 % off the thin lens. */
Test(depth_of_field, hawkins_and_avon) {
    double near, far;
    close_to(hyperfocal(70, 8, 0.021) - 70, 29167, 0.0001, "H");
    sharp_limits(70, 22, 0.021, 10606, &near, &far);
    close_to(near, 5338, 0.004, "near limit");
}

/* An article on depth of field as copied at schmidtmitdete.de: 90 mm on 6 x 7 cm, f/2.8, H 49 m (which
 * implies 0.059 mm): at 2 m sharp from 1.921 to 2.085 m. Both ways: limits from focus, and focus and stop
 * from limits. */
Test(depth_of_field, portrait_on_six_by_seven) {
    double near, far, u, n;
    const double circle = 90.0 * 90 / (2.8 * 49000);
    sharp_limits(90, 2.8, circle, 2000, &near, &far);
    close_to(near, 1921, 0.003, "near limit"); /* its formulas leave the focal length out */
    close_to(far, 2085, 0.003, "far limit");
    sharp_focus_for(90, circle, 1921, 2085, &u, &n);
    close_to(u, 2000, 0.001, "focus");
    close_to(n, 2.8, 0.06, "stop"); /* u - f for u: 4.7 % */
}

/* Jacobson, lenses FAQ, item 11: focused at 1/8 of the hyperfocal distance the range is 8/9 to 8/7 of it. */
Test(depth_of_field, jacobson_eighth) {
    const double f = 50, n = 8, c = 0.03, h = f * f / (n * c);
    double near, far;
    const double u = h / 8 + f; /* his distances leave the focal length out */
    sharp_limits(f, n, c, u, &near, &far);
    close_to(near / u, 8.0 / 9, 0.001, "front");
    close_to(far / u, 8.0 / 7, 0.001, "rear");
}

/* E. Savazzi, Digital Photography for Science, additional material: total depth by magnification, two
 * figures; the circle is not printed, 0.019 mm reproduces the table. */
Test(depth_of_field, savazzi_close_up) {
    static const struct {
        double m, n, depth;
    } rows[] = {{0.1, 1, 4.2}, {0.1, 4, 17},  {0.2, 1, 1.1},  {0.2, 2.8, 3.2},
                {0.3, 2, 1.1}, {0.3, 4, 2.2}, {0.5, 1, 0.23}, {0.5, 4, 0.91}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const double f = 100, u = f * (1 + 1 / rows[i].m);
        double near, far;
        sharp_limits(f, rows[i].n, 0.019, u, &near, &far);
        close_to(far - near, rows[i].depth, 0.055, "total depth");
    }
}

/* Same table: effective aperture at f/4. */
Test(effective_stop, savazzi) {
    static const double rows[][2] = {{0.1, 4.4}, {0.2, 4.8}, {0.5, 6}, {1, 8}, {2, 12}, {5, 24}};
    for (size_t i = 0; i < 6; i++)
        close_to(sharp_effective_stop(4, rows[i][0]), rows[i][1], 1e-9, "effective stop");
}

Test(exposure, bellows) {
    close_to(sharp_exposure_factor(18.0 / 12 - 1), 2.25, 1e-9,
             "US Army SS0512 p. 44: 18 in bellows, 12 in lens");
    close_to(sharp_exposure_factor(8.0 / 12), 2.8, 0.01,
             "the same, second method: (8/12 + 1)^2, printed as 2.8");
    close_to(sharp_exposure_factor(0.5), 2.25, 1e-9, "Langford: at half life size 2 1/4 times");
    close_to(sharp_exposure_factor(1), 4, 1e-9, "Focal Press 9780240812120: at life size two stops");
}

Test(diffraction, airy) {
    /* ian-hutchinson.me.uk: f/1.4 1.9 um, f/22 29.3 um (mid-visible); strollswithmydog.com: f/2.8 3.65 um (at
     * 0.535 um) */
    close_to(1000 * sharp_airy_mm(1.4), 1.9, 0.02, "f/1.4");
    close_to(1000 * sharp_airy_mm(22), 29.3, 0.02, "f/22");
    close_to(1000 * sharp_airy_mm(2.8), 3.65 * 0.55 / 0.535, 0.01, "f/2.8");
}

Test(circle, of_a_spread) {
    /* 0.2 mm at 25 cm: Ray 2000 p. 52, "5 line pairs per millimeter, equivalent to a CoC of 0.2 mm in the
     * final image"; the spread's figures are docs/geometry.md, rule 39 */
    close_to(sharp_circle_mm(0.2, 250, 15.7), 0.0127, 0.005, "22 x 8 1/2 in spread on 36 x 24");
    /* 35 mm film enlarged to 8 x 12 in and read at 25 cm: about 1/30 mm (i-learn-photography: "general
     * consensus") */
    close_to(sharp_circle_mm(0.2, 250, 203.2 / 24 * 0.8), 0.03, 0.05, "general use");
}

/* At a limit of the depth of field the blur on paper is the limit itself: the two formulas are one. */
Test(blur, at_the_limits_of_sharpness) {
    const double f = 85, n = 8, e = 15.7, c = sharp_circle_mm(0.2, 250, e), u = 3000;
    double near, far;
    sharp_limits(f, n, c, u, &near, &far);
    close_to(sharp_blur_mm(e, f, n, u, near), 0.2, 1e-9, "near");
    close_to(sharp_blur_mm(e, f, n, u, far), 0.2, 1e-9, "far");
    cr_assert_float_eq(sharp_blur_mm(e, f, n, u, u), 0, 1e-12);
}

Test(steps, consecutive_depths_of_field) {
    /* focus at H, H/3, H/5 ... : the depths of field join (teknopedia copy of Wikipedia, "consecutive depths
     * of field": at H/n from H/(n + 1) to H/(n - 1)) */
    const double f = 50, n = 8, c = 0.03, h = f * f / (n * c);
    double at[8];
    const int count = sharp_steps(f, n, c, h / 6 + f, h / 2 + f, at, 8);
    cr_assert_eq(count, 2);
    close_to(at[0] - f, h / 5, 0.01, "first");
    close_to(at[1] - f, h / 3, 0.03, "second"); /* the rule leaves f out */
    cr_assert_eq(sharp_steps(f, n, c, 1000, 1001, at, 8), 1);
}

/* The same page: at H/2 sharp from H/3 to H, at H/3 from H/4 to H/2, at H/4 from H/5 to H/3. To have H/5 to H
 * sharp takes two: at H/4, and from H/3 on at H/2. */
Test(steps, every_second_of_the_consecutive_depths) {
    const double f = 50, n = 8, c = 0.03, h = f * f / (n * c);
    double at[8];
    cr_assert_eq(sharp_steps(f, n, c, h / 5 + f, h - 2 * f, at, 8), 2);
    close_to(at[0] - f, h / 4, 0.01, "first"); /* the rule leaves f out: half a percent of H */
    close_to(at[1] - f, h / 2, 0.03, "second");
    cr_assert_eq(sharp_steps(f, n, c, h / 5 - 2 * f, h + 2 * f, at, 8), 3);
}

Test(steps, cover_everything_between) {
    const double f = 85, n = 8, c = 0.0127, first = 2500, last = 3600;
    double at[32];
    const int count = sharp_steps(f, n, c, first, last, at, 32);
    double reached = first;
    for (int i = 0; i < count; i++) {
        double near, far;
        sharp_limits(f, n, c, at[i], &near, &far);
        cr_assert_leq(near, reached * (1 + 1e-9));
        reached = far;
    }
    cr_assert_geq(reached, last * (1 - 1e-9));
    cr_assert_lt(2, count);
}

Test(marked, stops) {
    cr_assert_eq(sharp_marked_stop(8), 8);
    cr_assert_eq(sharp_marked_stop(8.01), 11);
    cr_assert_eq(sharp_marked_stop(11.3), 16); /* f/11 as a number, though the mark is 8 sqrt 2 */
    cr_assert(isinf(sharp_marked_stop(100)));
}
