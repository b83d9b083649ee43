/* Contours of mounds together: docs/geometry.md, rule 89, against rules 34 and 82. */
#include "base/number.h"
#include "outline_points.h"
#include "plan/relief.h"
#include "shop/contours.h"

#include <criterion/criterion.h>
#include <math.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}
static void tear_down(void) {
    arena_free(arena);
}
TestSuite(contours, .init = set_up, .fini = tear_down);

static unsigned random_below(unsigned *state, unsigned most) {
    *state = *state * 1664525u + 1013904223u;
    return (*state >> 8) % most;
}

enum { MOUNDS_MOST = 8 };
static PlanThing mounds[MOUNDS_MOST];
static const PlanThing *named[MOUNDS_MOST];

static MoundGroup group(int count) {
    for (int i = 0; i < count; i++)
        named[i] = &mounds[i];
    return (MoundGroup){named, count};
}

static PlanThing mound(double across, double back, double wide, double deep, double tall) {
    return (PlanThing){.at = {across, back, 0}, .wide_mm = wide, .deep_mm = deep, .tall_mm = tall};
}

static Cells contours_of(const MoundGroup *of, double up_mm) {
    Cells cells = {0};
    group_contours(arena, of, up_mm, &cells);
    return cells;
}

/* Rule 82: an ellipse, r times as wide and deep. */
Test(contours, one_mound_is_an_ellipse) {
    mounds[0] = mound(100, 900, 800, 300, 110);
    const MoundGroup one = group(1);
    cr_expect_float_eq(group_top_mm(&one), 110, 1e-6);
    for (int i = 0; i < 10; i++) {
        const double up = 11.0 * i, r = mound_contour(110, up), area = PI / 4 * 800 * 300 * r * r;
        const Cells cells = contours_of(&one, up);
        cr_assert_eq(cells.count, 1);
        const double is = corners_area(cells.items[0].corners, cells.items[0].count);
        cr_expect(is < area && is > area - CONTOUR_WITHIN_MM * PI / 2 * 1100 * r, "%g mm: %g, not %g", up, is,
                  area);
        cr_expect_float_eq(group_area_mm2(&one, up), area, 0.03 * area + 300);
    }
}

/* Two circles by hand; others against the heights of both, looked at everywhere. */
Test(contours, meet_where_both_rise) {
    const double flat = MM_PER_INCH / 16, reach = 200 * mound_contour(100, flat);
    unsigned state = 7;
    int met = 0;
    mounds[0] = mound(50, -20, 400, 400, 100);
    for (int i = -1; i <= 1; i += 2) {
        mounds[1] =
            mound(50 + 0.6 * (2 * reach + 0.01 * i), -20 + 0.8 * (2 * reach + 0.01 * i), 400, 400, 100);
        cr_expect_eq(plan_reliefs_meet(&mounds[0], &mounds[1]), i < 0);
    }
    for (int run = 0; run < 300; run++) {
        double most = 0;
        for (int i = 0; i < 2; i++)
            mounds[i] =
                mound(random_below(&state, 800), random_below(&state, 400), 100 + random_below(&state, 600),
                      50 + random_below(&state, 300), 1 + random_below(&state, 60));
        for (int i = 0; i <= 200; i++)
            for (int k = 0; k <= 200; k++) {
                const double x = mounds[0].at.across_mm + mounds[0].wide_mm * (i - 100) / 200,
                             y = mounds[0].at.back_mm + mounds[0].deep_mm * (k - 100) / 200;
                most = fmax(most, fmin(plan_relief_mm(&mounds[0], x, y), plan_relief_mm(&mounds[1], x, y)));
            }
        if (fabs(most - flat) < 0.3) continue; /* between the places that are looked at */
        cr_expect_eq(plan_reliefs_meet(&mounds[0], &mounds[1]), most > flat, "run %d: both rise %g mm", run,
                     most);
        met += most > flat;
    }
    cr_expect(met > 50 && met < 250, "%d met", met);
}

/* A dam through a hill: 885 x 7.4 mm of it are over 80 mm (rule 82: r = acos(0.6) / pi). */
Test(contours, what_is_narrow_is_not_lost) {
    for (int across = 0; across < 2; across++) {
        mounds[0] = across ? mound(0, 0, 3000, 25, 100) : mound(0, 0, 25, 3000, 100);
        mounds[1] = mound(1300, 1300, 300, 300, 20);
        const MoundGroup two = group(2);
        const Cells cells = contours_of(&two, 80);
        cr_assert_eq(cells.count, 1);
        const Span2 along = corners_extent(cells.items[0].corners, cells.items[0].count, across);
        const double is = along.to_mm - along.from_mm, all = 3000 * acos(0.6) / PI;
        cr_expect(is > 0.85 * all && is < all + 1, "%g mm of %g", is, all); /* its ends run out to nothing */
    }
}

/* Hills run into each other at the foot and stand apart at the top. */
Test(contours, two_hills_part_towards_their_tops) {
    mounds[0] = mound(0, 0, 400, 400, 100);
    mounds[1] = mound(300, 0, 400, 400, 100);
    const MoundGroup two = group(2);
    cr_expect_eq(contours_of(&two, 0).count, 1);
    /* half way between them each is 150 mm off, 0.75 of its radius */
    const double saddle = 100 * (1 + cos(PI * 0.75));
    cr_expect_eq(contours_of(&two, saddle - 1).count, 1);
    cr_expect_eq(contours_of(&two, saddle + 1).count, 2);
    cr_expect_float_eq(group_top_mm(&two), 100, 1e-6);
    cr_expect_eq(contours_of(&two, 100.5).count, 0);
}

/* Six in a ring leave a pit in their middle: filled. */
Test(contours, pits_are_filled) {
    for (int i = 0; i < 6; i++)
        mounds[i] = mound(300 * cos(i * PI / 3), 300 * sin(i * PI / 3), 400, 400, 80);
    const MoundGroup ring = group(6);
    cr_assert_lt(group_height_mm(&ring, 0, 0), 20);
    const Cells cells = contours_of(&ring, 20);
    cr_assert_eq(cells.count, 1);
    cr_expect(holds(&cells.items[0], (PartPoint){0, 0}));
}

/* Every corner is as high as it says; what is higher is inside, what is lower outside. */
Test(contours, any_mounds) {
    unsigned state = 21;
    for (int round = 0; round < 40; round++) {
        const int count = 2 + (int)random_below(&state, 3);
        for (int i = 0; i < count; i++) {
            const double across = random_below(&state, 600), back = random_below(&state, 400);
            const double wide = 200 + random_below(&state, 600), deep = 150 + random_below(&state, 400);
            mounds[i] = mound(across, back, wide, deep, 20 + random_below(&state, 120));
        }
        const MoundGroup any = group(count);
        const double top = group_top_mm(&any), up = top * (0.1 + 0.08 * random_below(&state, 10));
        const Cells cells = contours_of(&any, up);
        cr_assert_geq(cells.count, 1);
        for (size_t c = 0; c < cells.count; c++)
            for (size_t k = 0; k < cells.items[c].count; k++) {
                const PartPoint at = cells.items[c].corners[k];
                cr_expect_float_eq(group_height_mm(&any, at.x_mm, at.y_mm), up, 1e-6);
            }
        for (int i = 0; i < 200; i++) {
            const double x = random_below(&state, 1600), y = random_below(&state, 1000);
            const PartPoint p = {x - 500, y - 300};
            bool in = false, near = false;
            for (size_t c = 0; c < cells.count; c++) {
                in |= holds(&cells.items[c], p);
                near |= from_edge_mm(&cells.items[c], p) < 2 * CONTOUR_WITHIN_MM;
            }
            const double height = group_height_mm(&any, p.x_mm, p.y_mm);
            cr_expect_leq(height, top + 1e-6);
            if (!near && height > up) cr_expect(in, "%g mm up, not in its contour at %g", height, up);
            if (!near && height <= 0) cr_expect_not(in); /* lower ones may be in a pit */
        }
    }
}
