/* What was built takes the place of what was planned (docs/geometry.md, rule 60). Places are worked out here
 * by hand from the base's front edge and the centre line. */
#include "report/plan_to_facts.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

static const double IN = 25.4;
static const double HAIR = 1e-5; /* numbers of a plan are snapped to 2^-20 mm */

static Arena *arena;

static void setup(void) {
    arena = arena_new();
}

static void teardown(void) {
    arena_free(arena);
}

TestSuite(built, .init = setup, .fini = teardown);

static Spec fog_with(const char *words) {
    return spec_of(arena, FERRY_BOOK, arena_format(arena, "%s%s", FOG_SCENE, words));
}

static const PlanThing *thing_of(const Spec *spec, const char *name) {
    cr_assert(spec->plan);
    return &spec->plan->things[plan_find(spec->plan, name)];
}

Test(built, places_count_from_the_base_and_the_centre_line) {
    const Spec spec = fog_with("built: {post: {from front: 77 in, right: 4 1/4 in}, ferry: {left: 3 in}}\n");
    const PlanThing *post = thing_of(&spec, "post"), *ferry = thing_of(&spec, "ferry");
    const double front = spec.plan->base_outline.front_mm;
    const double centre = spec.plan->shots[0].cameras[0].camera.across_mm;
    cr_assert_float_eq(post->at.back_mm - front, 77 * IN, HAIR);
    cr_assert_float_eq(post->at.across_mm - centre, 4.25 * IN, HAIR);
    cr_assert_float_eq(post->left_mm - centre, (4.25 - 0.375) * IN, HAIR);
    cr_assert_float_eq(ferry->at.across_mm - centre, -3 * IN, HAIR);
    cr_assert_float_eq(ferry->at.back_mm, -8 * IN, HAIR); /* as planned */
}

Test(built, the_plan_is_kept) {
    const Spec spec = fog_with("built: {post: {tall: 16 1/4 in}}\n");
    const int post = plan_find(spec.plan, "post");
    cr_assert_float_eq(spec.plan->things[post].tall_mm, 16.25 * IN, HAIR);
    cr_assert_float_eq(spec.plan->things[post].top_mm, 16.25 * IN, HAIR);
    cr_assert_float_eq(spec.plan->as_planned[post].tall_mm, 16.5 * IN, HAIR);
    const Spec without = fog_with("");
    cr_assert_null(without.plan->as_planned);
    cr_assert_float_eq(without.plan->ground_outline.rear_right_mm, spec.plan->ground_outline.rear_right_mm,
                       1e-9);
}

Test(built, a_post_is_as_wide_as_it_is_thick) {
    const Spec spec = fog_with("built: {post: {thick: 1 in}}\n");
    const PlanThing *post = thing_of(&spec, "post");
    cr_assert_float_eq(post->wide_mm, IN, HAIR);
    cr_assert_float_eq(post->right_mm - post->left_mm, IN, HAIR);
}

Test(built, what_stands_atop_goes_with_it) {
    const char *scene =
        "scene: A lamp\npages: 8-9\ndrawing: {wide: 420 mm}\n"
        "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"
        "camera: {lens: 85 mm, height: 10 in}\n"
        "pieces:\n"
        "  crate: {wide: 6 in, tall: 5 in, deep: 6 in, at: {across: 12 in, back: 6 in}}\n"
        "  lamp: {shape: post, thick: 1 in, tall: 4 in, atop: crate, at: {across: 13 in, back: "
        "6 in}}\n"
        "built: {crate: {tall: 5 1/2 in, right: 9 in}}\n";
    Spec lamp = spec_of(arena, FERRY_BOOK, scene);
    cr_assert(lamp.plan, "%s", spec_words(arena, &lamp));
    const PlanThing *on_it = thing_of(&lamp, "lamp"), *crate = thing_of(&lamp, "crate");
    cr_assert_float_eq(on_it->foot_mm, 5.5 * IN, HAIR);
    cr_assert_float_eq(on_it->top_mm, 9.5 * IN, HAIR);
    cr_assert_float_eq(on_it->at.across_mm - crate->at.across_mm, 1 * IN, HAIR);
    cr_assert_float_eq(on_it->at.back_mm, 6 * IN, HAIR);
}

Test(built, the_report_has_both) {
    const Spec spec = fog_with("built: {post: {from front: 77 in, tall: 16 1/4 in}}\n");
    const Facts *facts = plan_to_facts(arena, spec.plan);
    const Fact *tall = facts_find(facts, "built post", "tall");
    cr_assert(tall);
    cr_assert_float_eq(fact_number(tall, NULL), 16.25 * IN, HAIR);
    cr_assert_float_eq(fact_number(tall, "apart"), -0.25 * IN, HAIR);
    cr_assert_float_eq(fact_number(facts_find(facts, "piece post", "tall"), NULL), 16.5 * IN, HAIR);
    const double planned = fact_number(facts_find(facts, "tape-out post", "place"), "behind");
    cr_assert_float_eq(fact_number(facts_find(facts, "built post", "behind"), "apart"), 77 * IN - planned,
                       2 * HAIR);
}

Test(built, faults_are_the_makers) {
    Spec spec = fog_with(
        "built: {post: {wide: 1 in}, ferry: {thick: 1 in, left: 1 in, right: 1 in}, ground: {tall: 1 "
        "in}, heron: {tall: 0 in}}\n");
    cr_assert_null(spec.plan);
    const char *said = spec_words(arena, &spec);
    cr_assert(strstr(said, "both `right` and `left` of the centre line"), "%s", said);
    cr_assert(strstr(said, "`ground` is no thing that is put on the set"), "%s", said);
}

static bool warns(const Spec *spec, const char *word, const char *thing) {
    for (size_t i = 0; i < spec->plan->warning_count; i++) {
        const PlanWarning *warning = &spec->plan->warnings[i];
        if (strcmp(warning->word, word) == 0 && strcmp(warning->thing, thing) == 0) return true;
    }
    return false;
}

/* Where something was put and where it was not planned is looked at again; what stands as planned is not. */
Test(built, what_was_put_wrong_is_warned_of) {
    const Spec plain = fog_with("");
    const size_t before = plain.plan->warning_count;
    const PlanThing *otter = thing_of(&plain, "otter");
    const double front = plain.plan->base_outline.front_mm;
    const double centre = plain.plan->shots[0].cameras[0].camera.across_mm;
    Spec into = fog_with(arena_format(arena, "built: {post: {from front: %s mm, right: %s mm}}\n",
                                      number_fixed(arena, otter->at.back_mm - front, 1),
                                      number_fixed(arena, otter->at.across_mm - centre, 1)));
    cr_expect(warns(&into, "shared-space", "post"), "%s", spec_words(arena, &into));
    cr_expect_eq(into.plan->warning_count, before + 1);
    const Spec off = fog_with("built: {post: {from front: 40 ft}}\n");
    cr_expect(warns(&off, "off-ground", "post"));
    cr_expect(warns(&off, "behind-backdrop", "post"));
    const Spec taller = fog_with("built: {post: {tall: 17 in}}\n");
    cr_expect_eq(taller.plan->warning_count, before);
}

/* A thing atop what was moved, of which only a size is told, went with it all the same. */
Test(built, what_stands_atop_goes_along_but_where_it_is_told) {
    const char *words =
        "  crate: {tall: 4 in, wide: 4 in, deep: 4 in, atop: ferry, at: {across: 14 in, back: -8 in}}\n";
    const char *pieces = strstr(FOG_SCENE, "pieces:\n");
    cr_assert(pieces);
    const size_t head = (size_t)(pieces - FOG_SCENE) + strlen("pieces:\n");
    const char *scene =
        arena_format(arena, "%s%s%s", arena_copy(arena, FOG_SCENE, head), words, FOG_SCENE + head);
    const Spec spec = spec_of(
        arena, FERRY_BOOK,
        arena_format(arena, "%sbuilt: {ferry: {right: 20 in, from front: 60 in}, crate: {tall: 5 in}}\n",
                     scene));
    const PlanThing *crate = thing_of(&spec, "crate"), *ferry = thing_of(&spec, "ferry");
    cr_expect_float_eq(crate->at.across_mm, ferry->at.across_mm, HAIR);
    cr_expect_float_eq(crate->at.back_mm, ferry->at.back_mm, HAIR);
    cr_expect_float_eq(crate->tall_mm, 5 * IN, HAIR);
    const Spec told = spec_of(
        arena, FERRY_BOOK,
        arena_format(arena, "%sbuilt: {ferry: {right: 20 in, from front: 60 in}, crate: {left: 2 in}}\n",
                     scene));
    const double centre = told.plan->shots[0].cameras[0].camera.across_mm;
    cr_expect_float_eq(thing_of(&told, "crate")->at.across_mm - centre, -2 * IN, HAIR);
    cr_expect_float_eq(thing_of(&told, "crate")->at.back_mm, ferry->at.back_mm, HAIR);
}

/* The same heron, in two shots: told of once. One that is put elsewhere for a shot is another matter. */
Test(built, a_puppet_of_two_shots_is_told_of_once) {
    static const char scene[] =
        "scene: Quay\n"
        "ground: {rear: 54 in}\n"
        "puppets: {heron: {at: {across: 9 in, back: 3 in}}}\n"
        "backdrop: {at: {back: 52 in}}\n"
        "shots:\n"
        "  whole: {pages: 8-9, drawing: {wide: 420 mm}, camera: {lens: portrait, height: 10 in},\n"
        "          mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}}\n"
        "  again: {pages: 10-11, drawing: {wide: 420 mm}, camera: {lens: portrait, height: 10 in},\n"
        "          mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}}\n"
        "  moved: {pages: 12-13, drawing: {wide: 420 mm}, camera: {lens: portrait, height: 10 in},\n"
        "          mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}},\n"
        "          puppets: {heron: {at: {across: 12 in, back: 3 in}}}}\n"
        "built: {heron: {turn: 30 deg left}}\n";
    Spec spec = spec_of(arena, FERRY_BOOK, scene);
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    size_t turned = 0, herons = 0;
    for (size_t i = 0; i < spec.scene->thing_count; i++) {
        if (strcmp(spec.scene->things[i].name, "heron") != 0) continue;
        herons++;
        turned += fabs(spec.plan->things[i].turn_rad - RADIANS(30)) < 1e-6;
        cr_expect_eq(fabs(spec.plan->things[i].turn_rad) > 0.1, spec.scene->things[i].shot != 2);
    }
    cr_expect_eq(herons, 3);
    cr_expect_eq(turned, 2);
}
