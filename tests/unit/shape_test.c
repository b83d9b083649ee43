#include "plan/shape.h"

#include <criterion/criterion.h>
#include <math.h>

static const Thing BOX = {.shape = SHAPE_BOX, .role = ROLE_PIECE},
                   POST = {.shape = SHAPE_POST, .role = ROLE_PIECE},
                   PANEL = {.shape = SHAPE_PANEL, .role = ROLE_FLAT}, MOUND = {.role = ROLE_MOUND},
                   HOLLOW = {.role = ROLE_HOLLOW};

static PlanThing box(double across, double back, double wide, double deep, double turn_deg) {
    return (PlanThing){.thing = &BOX,
                       .at = {across, back, 0},
                       .wide_mm = wide,
                       .deep_mm = deep,
                       .tall_mm = 100,
                       .turn_rad = RADIANS(turn_deg),
                       .row_count = 1};
}

/* Turned to the left, the front (facing the camera at 0) looks towards the left of the picture: clockwise
 * seen from above. */
Test(shape, a_turn_to_the_left_brings_the_front_to_the_left) {
    const PlanThing thing = box(0, 0, 200, 100, 90);
    const Point3 front = shape_point(&thing, 0, 0, -50, 0);
    cr_assert_float_eq(front.across_mm, -50, 1e-9);
    cr_assert_float_eq(front.back_mm, 0, 1e-9);
    const Point3 right =
        shape_point(&thing, 0, 100, 0, 0); /* its right hand, seen from the front, comes nearer */
    cr_assert_float_eq(right.across_mm, 0, 1e-9);
    cr_assert_float_eq(right.back_mm, -100, 1e-9);
}

Test(shape, a_turned_box_reaches_as_far_as_trigonometry_says) {
    const PlanThing thing = box(10, 20, 200, 100, 30);
    Point2 corners[FOOTPRINT_MOST];
    const size_t count = shape_footprint(&thing, 0, corners);
    cr_assert_eq(count, 4);
    double most = -INFINITY, far = -INFINITY;
    for (size_t i = 0; i < count; i++) {
        most = fmax(most, corners[i].across_mm);
        far = fmax(far, corners[i].back_mm);
    }
    cr_assert_float_eq(most, 10 + 100 * cos(PI / 6) + 50 * sin(PI / 6), 1e-9);
    cr_assert_float_eq(far, 20 + 100 * sin(PI / 6) + 50 * cos(PI / 6), 1e-9);
}

Test(shape, footprints_run_counter_clockwise) {
    const PlanThing things[] = {
        box(0, 0, 200, 100, 0), box(5, 5, 20, 100, 77), {.thing = &POST, .wide_mm = 40, .deep_mm = 40}};
    for (size_t t = 0; t < 3; t++) {
        Point2 c[FOOTPRINT_MOST];
        const size_t n = shape_footprint(&things[t], 0, c);
        double area = 0;
        for (size_t i = 0; i < n; i++) {
            const Point2 p = c[i], q = c[(i + 1) % n];
            area += (p.across_mm * q.back_mm - q.across_mm * p.back_mm) / 2;
        }
        cr_assert_gt(area, 0);
    }
}

Test(shape, a_panel_hangs_back_from_its_front_face) {
    const PlanThing thing = {
        .thing = &PANEL, .at = {0, 500, 0}, .wide_mm = 300, .deep_mm = 12, .tall_mm = 100};
    Point2 c[FOOTPRINT_MOST];
    const size_t n = shape_footprint(&thing, 0, c);
    for (size_t i = 0; i < n; i++)
        cr_assert(c[i].back_mm >= 500 && c[i].back_mm <= 512);
}

Test(shape, overlap_is_the_least_shift_that_parts) {
    double overlap;
    Point2 a[FOOTPRINT_MOST], b[FOOTPRINT_MOST];
    const PlanThing first = box(0, 0, 127, 101.6, 0), second = box(152.4, 101.6, 508, 228.6, 0);
    const size_t n = shape_footprint(&first, 0, a), m = shape_footprint(&second, 0, b);
    cr_assert(footprints_overlap(a, n, b, m, 1, &overlap));
    cr_assert_float_eq(overlap, 2.5 * 25.4, 1e-9); /* 2 in - (-0.5 in), across the depth */
    const PlanThing apart = box(152.4, 300, 508, 228.6, 0);
    cr_assert_not(footprints_overlap(a, n, b, shape_footprint(&apart, 0, b), 0, &overlap));
}

Test(shape, a_row_runs_to_the_right) {
    PlanThing row = box(0, 0, 10, 10, 0);
    row.row_count = 7;
    row.row_every_mm = 76.2;
    Point2 c[FOOTPRINT_MOST];
    shape_footprint(&row, 6, c);
    cr_assert_float_eq(c[0].across_mm, 6 * 76.2 - 5, 1e-9);
}

Test(plan, a_mound_is_a_cosine_and_a_hollow_its_sign_turned) {
    Thing things[] = {MOUND, HOLLOW};
    PlanThing planned[] = {
        {.thing = &things[0], .at = {0, 0, 0}, .wide_mm = 400, .deep_mm = 200, .tall_mm = 50},
        {.thing = &things[1], .at = {1000, 0, 0}, .wide_mm = 400, .deep_mm = 200, .tall_mm = 30}};
    const Scene scene = {.things = things, .thing_count = 2};
    const Plan plan = {.scene = &scene, .things = planned};
    cr_assert_float_eq(plan_ground_mm(&plan, 0, 0), 50, 1e-9);
    cr_assert_float_eq(plan_ground_mm(&plan, 100, 0), 25, 1e-9); /* half way out: 1/2 (1 + cos 90 deg) */
    cr_assert_float_eq(plan_ground_mm(&plan, 0, 100), 0, 1e-9);
    cr_assert_float_eq(plan_ground_mm(&plan, 1000, 0), -30, 1e-9);
    cr_assert_float_eq(plan_ground_mm(&plan, 500, 0), 0, 0);
}
