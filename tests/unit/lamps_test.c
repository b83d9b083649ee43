/* Lamps: current, light and distances, against published figures and closed forms. */
#include "model/plan_to_set.h"
#include "plan/lamps.h"
#include "see/set_to_seen.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

/* Published, worked: 60 W at 230 V draw 0.26 A, 2700 W 11.7 A (13 A fuse), 800 W 3.5 A (5 A fuse): a school's
 * electronics pages (reviseomatic). 13 A at 230 V are 2990 W: a safety site (realworldprotection). */
Test(lamps, current_as_published) {
    cr_expect_float_eq(lamp_amps(60, 230), 0.26, 0.005);
    cr_expect_float_eq(lamp_amps(2700, 230), 11.7, 0.05);
    cr_expect_float_eq(lamp_amps(800, 230), 3.5, 0.05);
    cr_expect_float_eq(lamp_amps(2990, 230), 13, 1e-12);
}

/* Published, worked: 15 A at 120 V are 1800 W, 80 % of that is 12 A and 1440 W; of 20 A, 16 A and 1920 W
 * (manhattanreefs); 16 A times 1.25 is 20 A, NEC 210.20(A) (joshthesparky). */
Test(lamps, eighty_percent_as_published) {
    cr_expect_float_eq(CIRCUIT_SHARE * 15, 12, 1e-12);
    cr_expect_float_eq(lamp_amps(1440, 120), CIRCUIT_SHARE * 15, 1e-12);
    cr_expect_float_eq(lamp_amps(1920, 120), CIRCUIT_SHARE * 20, 1e-12);
    cr_expect_float_eq(1.25 * CIRCUIT_SHARE * 20, 20, 1e-12);
}

/* Common practice, no source: twice the distance is two stops, 1.41 times is one. */
Test(lamps, twice_the_distance_is_two_stops) {
    cr_expect_float_eq(light_stops(1000, 2000), 2, 1e-12);
    cr_expect_float_eq(light_stops(1000, 1410), 1, 0.01);
    cr_expect_float_eq(light_stops(2000, 1000), -2, 1e-12);
    cr_expect_float_eq(lamp_over_stops(250, 1000, 500, 1000), -1, 1e-12);
    cr_expect_float_eq(lamp_over_stops(500, 2000, 500, 1000), -2, 1e-12);
    cr_expect_float_eq(lamp_over_stops(1000, 2000, 250, 1000), 0, 1e-12);
}

static const char *with_lamps(Arena *arena, const char *lamps) {
    return arena_format(arena, "%slamps:\n%s", FOG_SCENE, lamps);
}

static const char *lit_book(Arena *arena) {
    return arena_format(arena, "%scircuits: {wall: {amps: 15 A, volts: 120 V}}\n", FERRY_BOOK);
}

static const PlanWarning *warning_of(const Plan *plan, const char *word, const char *thing) {
    for (size_t i = 0; i < plan->warning_count; i++) {
        if (strcmp(plan->warnings[i].word, word) == 0 && strcmp(plan->warnings[i].thing, thing) == 0)
            return &plan->warnings[i];
    }
    return NULL;
}

static Spec lit(Arena *arena, const char *lamps) {
    Spec spec = spec_of(arena, lit_book(arena), with_lamps(arena, lamps));
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    return spec;
}

/* Common practice, no source: three lamps of 500 W at 120 V draw 12.5 A, past 80 % of a 15 A circuit. */
Test(lamps, three_of_500_W) {
    Arena *arena = arena_new();
    const char *three = "  a: {watts: 500 W, at: {across: -6 ft}, up: 5 ft, circuit: wall}\n"
                        "  b: {watts: 500 W, at: {across: -6 ft}, up: 5 ft, circuit: wall}\n"
                        "  c: {watts: 500 W, at: {across: -6 ft}, up: 5 ft, circuit: wall}\n";
    const Spec spec = lit(arena, three);
    cr_expect_float_eq(spec.plan->circuits[0].load_amps, 12.5, 1e-12);
    cr_expect(warning_of(spec.plan, "circuit-full", "wall"));
    cr_expect_not(warning_of(spec.plan, "circuit-over", "wall"));
    const Spec most = lit(arena, "  a: {watts: 1440 W, at: {across: -6 ft}, up: 5 ft, circuit: wall}\n");
    cr_expect_not(warning_of(most.plan, "circuit-full", "wall"));
    const Spec rated = lit(arena, "  a: {watts: 1800 W, at: {across: -6 ft}, up: 5 ft, circuit: wall}\n");
    cr_expect(warning_of(rated.plan, "circuit-full", "wall"));
    const Spec over = lit(arena, "  a: {watts: 1801 W, at: {across: -6 ft}, up: 5 ft, circuit: wall}\n");
    cr_expect(warning_of(over.plan, "circuit-over", "wall"));
    cr_expect_not(warning_of(over.plan, "circuit-full", "wall"));
    arena_free(arena);
}

/* The floor is under ground (2 in), base (23/32 in) and table (29 in): by hand. */
Test(lamps, floor_top) {
    Arena *arena = arena_new();
    const Spec spec = lit(arena, "  a: {watts: 500 W, at: {across: -6 ft}, up: floor.top + 6 ft}\n");
    cr_expect_float_eq(spec.plan->lamps[0].at.up_mm, (72 - 2 - 23.0 / 32 - 29) * MM_PER_INCH, 1e-9);
    cr_expect(spec.plan->lamps[0].on_stand);
    cr_expect_float_eq(lamp_foot(spec.plan, &spec.plan->lamps[0]).up_mm, -(2 + 23.0 / 32 + 29) * MM_PER_INCH,
                       1e-6);
    arena_free(arena);
}

/* The nearest foam is the far bank (foam, its front at 46 in) or the ground (top at 0, rear at 54 in): plain
 * geometry. A 3-4-5 triangle beside the ground's rear edge. */
Test(lamps, near_foam_in_closed_form) {
    Arena *arena = arena_new();
    const Spec spec = lit(arena, "  over: {watts: 500 W, at: {back: 20 in}, up: 17 in, clear: 18 in}\n"
                                 "  behind: {watts: 500 W, at: {back: 58 in}, up: 3 in, clear: 4.9 in}\n");
    const NearFoam over = lamp_near_foam(spec.plan, spec.plan->lamps[0].at);
    cr_expect_eq(over.thing, spec.plan->ground);
    cr_expect_float_eq(over.mm, 17 * MM_PER_INCH, 1e-6);
    cr_expect(warning_of(spec.plan, "lamp-near", "over"));
    const NearFoam behind = lamp_near_foam(spec.plan, spec.plan->lamps[1].at);
    cr_expect_float_eq(behind.mm, 5 * MM_PER_INCH, 1e-4);
    cr_expect_not(warning_of(spec.plan, "lamp-near", "behind"));
    arena_free(arena);
}

/* At the otter's side it is seen by every camera, behind the backdrop by none, and over the frame by none; a
 * lamp out of the frame beside it stands on a stand that is out too. */
Test(lamps, in_the_frame) {
    Arena *arena = arena_new();
    const Spec spec = lit(arena, "  seen: {watts: 500 W, at: {across: 4 in, back: 4 in}, up: 8 in}\n"
                                 "  behind: {watts: 500 W, at: {back: 60 in}, up: 10 in}\n"
                                 "  above: {watts: 500 W, at: {back: 20 in}, up: 6 ft}\n"
                                 "  beside: {watts: 500 W, at: {across: -8 ft, back: 4 in}, up: 4 ft}\n");
    const Seen *seen = set_to_seen(arena, spec.plan, plan_to_set(arena, spec.plan), 480);
    for (size_t i = 0; i < seen->count; i++) {
        cr_expect(seen->cameras[i].lamps[0]);
        for (size_t lamp = 1; lamp < 4; lamp++)
            cr_expect_not(seen->cameras[i].lamps[lamp], "camera %zu, lamp %zu", i, lamp);
    }
    arena_free(arena);
}

/* The edge of what counts as in the frame, against the projection alone: a lamp before everything, so that
 * nothing hides it, moved sideways until its head just leaves the frame. */
Test(lamps, the_frame_ends_where_the_head_does) {
    Arena *arena = arena_new();
    for (int out = 0; out < 2; out++) {
        Spec spec = lit(arena, "  a: {watts: 500 W, at: {across: 0 in, back: -2 ft}, up: 11 in}\n");
        const PlanShot *shot = &spec.plan->shots[0];
        const Camera *camera = &shot->cameras[0].camera;
        Point3 at = spec.plan->lamps[0].at;
        const double half_mm = camera_frame_mm(camera, &shot->picture, at.back_mm, at.up_mm) / 2;
        at.across_mm = camera->across_mm + half_mm + LAMP_HEAD_MM / 2 + (out ? 3 : -3);
        spec.plan->lamps[0].at = at;
        spec.plan->lamps[0].on_stand = false;
        const Seen *seen = set_to_seen(arena, spec.plan, plan_to_set(arena, spec.plan), 960);
        cr_expect_eq(seen->cameras[0].lamps[0], !out);
    }
    arena_free(arena);
}
