/* What `sharp` names, held to a stop and a focus: docs/geometry.md, rule 51. Against the thin lens drawn as
 * rays: a point whose image lies at v(w) throws on the sensor at v a disc A |v(w) - v| / v(w) wide, A = f/N
 * the opening. */
#include "near.h"
#include "optics/lens.h"
#include "plan/sharp_together.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

static const char *scene(Arena *arena, const char *camera, const char *sharp) {
    return arena_format(
        arena,
        "scene: Fog\n"
        "pages: 8-9\n"
        "drawing: {wide: 420 mm}\n"
        "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"
        "camera: {lens: 85 mm, height: 10 in%s}\n"
        "ground: {rear: 54 in}\n"
        "puppets: {heron: {at: {across: 12 in, back: 16 in}}}\n"
        "pieces: {crate: {shape: box, wide: 5 in, tall: 4 in, deep: 4 in, at: {across: 9 in, back: 4 in}}}\n"
        "backdrop: {at: {back: 52 in}}\n"
        "sharp: [%s]\n",
        camera, sharp);
}

typedef struct Case {
    Spec spec;
    const PlanShot *shot;
    const Camera *camera;
    double circle_mm;
    SharpTogether found;
} Case;

static Case case_of(Arena *arena, const char *camera, const char *sharp) {
    Case made = {.spec = spec_of(arena, FERRY_BOOK, scene(arena, camera, sharp))};
    cr_assert_not_null(made.spec.plan, "%s", spec_words(arena, &made.spec));
    made.shot = &made.spec.plan->shots[0];
    made.camera = &made.shot->cameras[0].camera;
    made.circle_mm = plan_sharp_limit(made.spec.plan, 0).circle_mm;
    cr_assert(plan_sharp_together(made.spec.plan, 0, &made.found));
    return made;
}

static double disc_mm(double focal, double stop, double object, double depth) {
    const double v = lens_image_distance(focal, object), image = lens_image_distance(focal, depth);
    return focal / stop * fabs(image - v) / image;
}

Test(sharp_together, both_ends_are_blurred_alike_and_no_more_than_reads_as_sharp) {
    Arena *arena = arena_new();
    const Case c = case_of(arena, "", "otter, heron");
    const double f = c.camera->focal_mm;
    NEAR(disc_mm(f, c.found.stop, c.found.object_mm, c.found.near_mm), c.circle_mm, 1e-9);
    NEAR(disc_mm(f, c.found.stop, c.found.object_mm, c.found.far_mm), c.circle_mm, 1e-9);
    /* NAVEDTRA 14209: P = 2Dd / (D + d) */
    NEAR(c.found.object_mm, 2 * c.found.near_mm * c.found.far_mm / (c.found.near_mm + c.found.far_mm), 1e-9);
    /* any other focus asks for a smaller opening */
    for (int i = -20; i <= 20; i++) {
        const double u = c.found.object_mm + 5 * i;
        const double worst =
            fmax(disc_mm(f, c.found.stop, u, c.found.near_mm), disc_mm(f, c.found.stop, u, c.found.far_mm));
        cr_assert_geq(worst, c.circle_mm * (1 - 1e-9));
    }
    arena_free(arena);
}

Test(sharp_together, depths_are_those_of_the_things_corners) {
    Arena *arena = arena_new();
    const Case c = case_of(arena, "", "otter.eyes, heron.rear, crate.front");
    const Camera *camera = c.camera;
    const double eyes = camera_depth_mm(camera, (Point3){0, 0, 9.75 * MM_PER_INCH});
    NEAR(c.found.near_mm, eyes, 1e-3);
    /* looking down, what is lower is farther: the heron's rear, 7 in deep and 16 in back, at its foot */
    const double rear = camera_depth_mm(camera, (Point3){0, (16 + 3.5) * MM_PER_INCH, 0});
    NEAR(c.found.far_mm, rear, 1e-3);
    cr_assert_eq(c.found.nearest, 0);
    cr_assert_eq(c.found.farthest, 1);
    NEAR(plan_depth_from_mark(c.shot, eyes, 9.75 * MM_PER_INCH), 0, 1e-3);
    NEAR(plan_depth_from_mark(c.shot, rear, 0), 19.5 * MM_PER_INCH, 1e-3);
    arena_free(arena);
}

/* What the warning advises cures it, though the camera is solved anew with another focus. */
Test(sharp_together, the_advice_holds) {
    static const struct {
        const char *camera, *sharp;
    } rows[] = {{", stop: f/8", "otter.eyes, crate"}, /* only focused otherwise */
                {", stop: f/8", "otter, crate"},
                {", stop: f/5.6", "otter.eyes, crate"},
                {", stop: f/8", "crate, otter.rear"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        Arena *arena = arena_new();
        const Case c = case_of(arena, rows[i].camera, rows[i].sharp);
        cr_assert_eq(c.spec.plan->warning_count, 1, "row %zu: %s", i, spec_words(arena, (Spec *)&c.spec));
        const PlanWarning *warning = &c.spec.plan->warnings[0];
        cr_assert_str_eq(warning->word, "not-sharp");
        const char *start = strstr(warning->help, "{"), *end = strstr(start, "}}");
        char *advice = arena_copy(arena, start + 1, (size_t)(end - start));
        if (!strstr(advice, "stop:")) advice = arena_format(arena, "stop: f/8, %s", advice);
        const Case cured = case_of(arena, arena_format(arena, ", %s", advice), rows[i].sharp);
        cr_assert_eq(cured.spec.plan->warning_count, 0, "row %zu: %s", i, advice);
        cr_assert(cured.found.held);
        arena_free(arena);
    }
}

Test(sharp_together, no_stop_of_the_lens_and_the_fewest_exposures) {
    Arena *arena = arena_new();
    const Case c = case_of(arena, ", stop: f/8", "otter, heron, backdrop.front");
    cr_assert_not(c.found.within_lens);
    cr_assert_gt(c.found.stop, 22);
    cr_assert_eq(c.found.step_stop, 8);
    /* every depth is sharp in one of them, and with one fewer it is not: the least circle that so many reach
     * with, joined end to end, is the one that is given */
    const double f = c.camera->focal_mm;
    cr_assert_gt(c.found.step_count, 2);
    cr_assert_leq(c.found.step_count, SHARP_STEPS_TOLD);
    for (double w = c.found.near_mm; w <= c.found.far_mm; w += 1) {
        double best = INFINITY;
        for (int i = 0; i < c.found.step_count; i++)
            best = fmin(best, disc_mm(f, 8, c.found.step_mm[i], w));
        cr_assert_leq(best, c.circle_mm * (1 + 1e-9), "%f", w);
    }
    double reached = c.found.near_mm;
    for (int i = 0; i + 1 < c.found.step_count;
         i++) { /* as far as each can reach, from where the last one ended */
        double u = reached, far = reached;
        while (disc_mm(f, 8, u, reached) <= c.circle_mm)
            u += 0.1;
        while (disc_mm(f, 8, u, far) <= c.circle_mm || far < u)
            far += 0.1;
        reached = far;
    }
    cr_assert_lt(reached, c.found.far_mm);
    arena_free(arena);
}

Test(sharp_together, stop_of_the_lens_and_of_diffraction) {
    Arena *arena = arena_new();
    const Case c = case_of(arena, "", "otter, crate");
    cr_assert(c.found.within_lens);
    cr_assert_eq(c.found.smallest_stop, 22);
    /* Airy: 2.44 x 0.55 um x N (1 + m), against 0.2 mm on paper */
    const double m = 85 / (c.found.object_mm - 85);
    NEAR(c.found.airy_mm, 2.44 * 0.55e-3 * c.found.marked_stop * (1 + m), 1e-9);
    cr_assert_eq(c.found.softened, c.found.airy_mm * c.shot->picture.paper_per_sensor > 0.2);
    arena_free(arena);
}

Test(sharp_together, the_book_s_smallest_stop) {
    Arena *arena = arena_new();
    const char *book = arena_string(arena, FERRY_BOOK);
    const char *at = strstr(book, "nearest: 32 in");
    const char *slow = arena_format(arena, "%.*s%s, smallest: f/9%s", (int)(at - book), book,
                                    "nearest: 32 in", at + strlen("nearest: 32 in"));
    Spec spec = spec_of(
        arena, slow,
        "scene: Fog\npages: 8-9\ndrawing: {wide: 420 mm}\n"
        "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"
        "camera: {lens: portrait, height: 10 in}\nground: {rear: 54 in}\n"
        "pieces: {crate: {shape: box, wide: 5 in, tall: 4 in, deep: 4 in, at: {across: 9 in, back: 5 in}}}\n"
        "sharp: [otter, crate]\n");
    cr_assert_not_null(spec.plan, "%s", spec_words(arena, &spec));
    SharpTogether found;
    cr_assert(plan_sharp_together(spec.plan, 0, &found));
    cr_assert_eq(found.smallest_stop, 9);
    cr_assert_eq(found.within_lens, found.stop <= 9);
    if (found.within_lens) cr_assert_leq(found.marked_stop, 9);
    arena_free(arena);
}
