/* The scene of docs/language.md, worked out by an independent calculation before the first line of this
 * program was written; exact values in inches, before anything is rounded to the cut. */
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

static const double IN = 25.4;

static Arena *arena;
static Spec spec;

static void setup(void) {
    arena = arena_new();
    spec = spec_of(arena, FERRY_BOOK, FOG_SCENE);
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
}

static void teardown(void) {
    arena_free(arena);
}

TestSuite(fog, .init = setup, .fini = teardown);

static const PlanThing *thing(const char *name) {
    const int index = plan_find(spec.plan, name);
    cr_assert_geq(index, 0, "no %s", name);
    return &spec.plan->things[index];
}

Test(fog, camera) {
    const PlanShot *shot = &spec.plan->shots[0];
    const Camera *camera = &shot->cameras[0].camera;
    cr_assert_float_eq(camera->across_mm, 91.2, 0.05);
    cr_assert_float_eq(camera->distance_mm, 3126.9, 0.05);
    cr_assert_float_eq(camera->height_mm, 254, 1e-9);
    cr_assert_float_eq(DEGREES(camera->tilt_rad), 2.026, 0.0005);
    cr_assert_float_eq(camera_horizon_mm(camera, &shot->picture), 117.6, 0.05);
    cr_assert_eq(shot->camera_count, 5); /* planned; 60 and 105 mm, each 9 and 11 in up */
}

Test(fog, heron) {
    const PlanThing *heron = thing("heron");
    const PlanShot *shot = &spec.plan->shots[0];
    cr_assert_float_eq(heron->at.across_mm / IN, 15.28, 0.005);
    cr_assert_float_eq(heron->at.back_mm / IN, 16.77, 0.005);
    cr_assert_float_eq(plan_view(heron, &shot->cameras[0].camera, &shot->picture).tall_mm, 95.8, 0.05);
}

/* Rule 36: outwards to a whole 1/8 in. */
static void check_outwards(double value_mm, double exact_in, int side) {
    const double cut = IN / 8, exact = exact_in * IN;
    cr_assert_float_eq(value_mm, side < 0 ? floor(exact / cut) * cut : ceil(exact / cut) * cut, 1e-3,
                       "%f for %f in", value_mm / IN, exact_in);
}

Test(fog, ground) {
    const Trapezoid *g = &spec.plan->ground_outline;
    check_outwards(g->front_mm, -62.131, -1);
    cr_assert_float_eq(g->rear_mm, 54 * IN, 1e-5);
    /* the front was moved out to the cut, and with it the corners along the sides */
    const double moved = g->front_mm / IN + 62.131, deep = 54 + 62.131;
    check_outwards(g->front_left_mm, -17.272 + moved * (-46.532 + 17.272) / deep, -1);
    check_outwards(g->front_right_mm, 24.451 + moved * (53.718 - 24.451) / deep, 1);
    check_outwards(g->rear_left_mm, -46.532, -1);
    check_outwards(g->rear_right_mm, 53.718, 1);
}

Test(fog, panels) {
    const PlanThing *bank = thing("far bank"), *backdrop = thing("backdrop");
    check_outwards(bank->wide_mm, 39.919 + 47.105, 1);
    cr_assert_float_eq(bank->at.across_mm / IN, (47.105 - 39.919) / 2, 0.002);
    cr_assert_float_eq(bank->tall_mm / IN, 6.625, 1e-6); /* 6.571 to the nearest 1/8 */
    check_outwards(backdrop->wide_mm, 41.879 + 49.064, 1);
    check_outwards(backdrop->tall_mm, 21.433, 1);
}

Test(fog, references_and_puppet_heights) {
    cr_assert_float_eq(thing("post")->tall_mm, 16.5 * IN, 1e-5);
    cr_assert_float_eq(thing("post")->at.across_mm, (14 - 10 - 2) * IN, 1e-5);
}

Test(fog, base_is_the_ground_moved_out_by_the_lip) {
    const Trapezoid *g = &spec.plan->ground_outline, *b = &spec.plan->base_outline;
    const double deep = g->rear_mm - g->front_mm;
    cr_assert_float_eq(b->front_mm, g->front_mm - 2 * IN, 1e-6);
    cr_assert_float_eq(b->rear_mm, g->rear_mm + 2 * IN, 1e-6);
    /* the distance of the base's left rear corner from the ground's left side, square to it */
    const double slope = (g->rear_left_mm - g->front_left_mm) / deep;
    const double at_rear = g->front_left_mm + slope * (b->rear_mm - g->front_mm);
    const double out = (at_rear - b->rear_left_mm) / sqrt(1 + slope * slope);
    cr_assert(out >= 2 * IN - 1e-6 && out <= 2 * IN + IN / 8);
}
