/* Where things stand when a place is stated in part and drawn in part, and what covering panels must reach.
 * Nothing is compared with a number of this program: places are projected through the planned camera, and
 * the edges of the frame are asked of every allowed one. docs/geometry.md, rules 23, 27, 30 and 31. */
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

#define MEADOW                                                                                               \
    "scene: The meadow\n"                                                                                    \
    "pages: 8-9\n"                                                                                           \
    "drawing: {wide: 420 mm}\n"                                                                              \
    "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"                                   \
    "camera: {lens: portrait, height: 10 in}\n"                                                              \
    "allow: {height: 9 to 11 in}\n"

static Arena *arena;
static Spec spec;

static void setup(void) {
    arena = arena_new();
}

static void teardown(void) {
    arena_free(arena);
}

TestSuite(place, .init = setup, .fini = teardown);

static void plan_of(const char *scene) {
    spec = spec_of(arena, FERRY_BOOK, scene);
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
}

static const PlanThing *thing(const char *name) {
    const int index = plan_find(spec.plan, name);
    cr_assert_geq(index, 0, "no %s", name);
    return &spec.plan->things[index];
}

/* Rule 31: a box is drawn with the middle of its front face's lower edge, and `at` names its middle. */
Test(place, back_of_a_box_holds_beside_a_drawn_foot) {
    plan_of(MEADOW "ground: {rear: 54 in}\n"
                   "pieces:\n"
                   "  ferry: {wide: 8 in, tall: 4 in, deep: 10 in, turn: 30 deg left, at: {back: 16 in},\n"
                   "          drawn: {foot: [300 mm, 70 mm]}}\n");
    const PlanThing *ferry = thing("ferry");
    const PlanShot *shot = &spec.plan->shots[0];
    const double half = 5 * 25.4, turn = 30 * acos(-1) / 180;
    const Point3 foot = {ferry->at.across_mm - half * sin(turn), ferry->at.back_mm - half * cos(turn),
                         ferry->at.up_mm};
    double x, y;
    cr_assert_float_eq(ferry->at.back_mm, 16 * 25.4, 1e-5);
    cr_assert(camera_project(&shot->cameras[0].camera, &shot->picture, foot, &x, &y, NULL));
    cr_assert_float_eq(x, 300, 1e-5);
    cr_assert_float_eq(y, 70, 1e-5);
}

Test(place, back_is_one_too_many_beside_a_drawn_foot_and_a_support) {
    spec = spec_of(arena, FERRY_BOOK,
                   MEADOW
                   "ground: {rear: 54 in}\n"
                   "pieces: {ferry: {wide: 8 in, tall: 4 in, deep: 8 in,\n"
                   "                 at: {across: 8 in, back: 16 in}}}\n"
                   "puppets: {heron: {atop: ferry, at: {back: 16 in}, drawn: {foot: [240 mm, 70 mm]}}}\n");
    cr_assert_null(spec.plan);
    const char *words = spec_words(arena, &spec);
    cr_assert(strstr(words, "`back` of `heron` follows from its drawn foot and `atop: ferry`"), "%s", words);
}

/* Both ends of a panel's foot and both of its upper corners lie outside the frame of every allowed camera,
 * each edge moved out by the spare. */
static void check_covers(const PlanThing *panel) {
    const PlanShot *shot = &spec.plan->shots[0];
    const Picture *p = &shot->picture;
    const double drawn_per_paper = p->drawing_wide_mm / p->trim_wide_mm;
    const double wide = p->frame_wide_mm * drawn_per_paper, tall = p->frame_tall_mm * drawn_per_paper;
    for (size_t c = 0; c < shot->camera_count; c++) {
        for (int corner = 0; corner < 4; corner++) {
            const int side = corner % 2 ? 1 : -1;
            const Point3 at = {panel->at.across_mm + side * panel->wide_mm / 2, panel->at.back_mm,
                               panel->at.up_mm + (corner / 2 ? panel->tall_mm : 0)};
            double x, y;
            cr_assert(camera_project(&shot->cameras[c].camera, p, at, &x, &y, NULL));
            cr_assert_geq(side * (x - p->drawing_wide_mm / 2), wide * (0.5 + shot->spare) - 1e-3);
            if (corner / 2) cr_assert_geq(y - p->drawing_tall_mm / 2, tall * (0.5 + shot->spare) - 1e-3);
        }
    }
}

Test(place, cover_reaches_both_edges_from_where_the_foot_is_drawn) {
    plan_of(MEADOW "ground: {rear: 100 in}\n"
                   "flats: {far: {wide: cover, tall: cover, drawn: {foot: [100 mm, 70 mm]}}}\n");
    check_covers(thing("far"));
}

Test(place, cover_reaches_the_top_from_the_bottom_of_a_hollow) {
    plan_of(MEADOW "ground: {rear: 54 in, hollows: {river: {wide: 400 in, deep: 16 in, tall: 1 1/2 in,\n"
                   "                                        at: {across: 0, back: 24 in}}}}\n"
                   "flats: {far: {wide: cover, tall: cover, at: {back: 24 in}}}\n");
    cr_assert_float_eq(thing("far")->at.up_mm, -1.5 * 25.4, 0.1);
    check_covers(thing("far"));
}

/* Rule 28: behind the ground's rear edge the backdrop begins below it. */
Test(place, cover_reaches_the_top_from_under_the_ground) {
    plan_of(MEADOW "ground: {rear: 54 in}\nbackdrop: {at: {back: 70 in}}\n");
    cr_assert_lt(thing("backdrop")->at.up_mm, -10);
    check_covers(thing("backdrop"));
}

static void check_says(const char *scene, const char *wanted) {
    spec = spec_of(arena, FERRY_BOOK, scene);
    const char *words = spec_words(arena, &spec);
    cr_assert(strstr(words, wanted), "%s", words);
}

/* A circle in which nothing is a quantity is still pointed at. */
Test(place, circle_of_supports_has_a_place_in_the_spec) {
    check_says(MEADOW
               "ground: {rear: 54 in}\n"
               "pieces:\n"
               "  crate: {wide: 4 in, tall: 1 in, deep: 4 in, atop: chest, at: {across: 8 in, back: 9 in}}\n"
               "  chest: {wide: 4 in, tall: 1 in, deep: 4 in, atop: crate, at: {across: 8 in, back: 9 in}}\n",
               "specs/08-fog.yaml:9:53: error: where crate stands depends on itself");
}

Test(place, flat_behind_the_ground_is_said) {
    check_says(MEADOW "ground: {rear: 54 in}\n"
                      "flats: {far: {wide: 4 in, tall: 4 in, at: {across: 0, back: 60 in}}}\n",
               "warning: `far` stands off the ground");
    check_says(MEADOW "ground: {rear: 54 in}\n"
                      "flats: {far: {wide: 4 in, tall: 4 in, at: {across: 0, back: 54 in}}}\n",
               "");
    cr_assert_eq(spec.diagnostics.warnings, 0);
}

Test(place, margin_lip_and_bleed_are_not_negative) {
    check_says(MEADOW "ground: {rear: 54 in, margin: -1 in}\n",
               "`margin` of the ground comes to -1 in; it is nothing or more");
    check_says(MEADOW "ground: {rear: 54 in}\nbase: {lip: -1 in}\n",
               "`lip` of the base comes to -1 in; it is nothing or more");
    check_says(MEADOW "ground: {rear: 54 in}\npage: {bleed: -1 in}\n",
               "`bleed` of the page comes to -1 in; it is nothing or more");
}

/* A row runs to the right. */
Test(place, step_of_a_row_is_more_than_nothing) {
    check_says(MEADOW
               "ground: {rear: 54 in}\n"
               "pieces: {posts: {shape: post, tall: 4 in, thick: 1 in, at: {across: 4 in, back: 9 in},\n"
               "                 row: {count: 3, every: -2 in}}}\n",
               "comes to -2 in; a size is more than nothing");
}

/* Like its distance, a camera's place across counts from the mark of its own shot. */
Test(place, across_of_a_later_shot_counts_from_its_own_mark) {
    plan_of("scene: Two marks\n"
            "ground: {rear: 54 in}\n"
            "shots:\n"
            "  first:\n"
            "    pages: 8-9\n"
            "    drawing: {wide: 420 mm}\n"
            "    mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"
            "    camera: {lens: 85 mm, height: 10 in}\n"
            "  second:\n"
            "    pages: 10-11\n"
            "    drawing: {wide: 420 mm}\n"
            "    mark: {puppet: heron, at: {across: 16 in, back: 12 in}, drawn: {tall: 92 mm}}\n"
            "    camera: {lens: 85 mm, height: 10 in, across: 1 in}\n");
    cr_assert_float_eq(spec.plan->shots[1].cameras[0].camera.across_mm, 17 * 25.4, 1e-6);
}

Test(place, shots_have_names_for_files) {
#define SHOT(name, pages)                                                                                    \
    "  " name ": {pages: " pages ", drawing: {wide: 420 mm}, camera: {lens: 85 mm, height: 10 in},\n"        \
    "    mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}}\n"
    plan_of("scene: Two marks\nground: {rear: 54 in}\nshots:\n" SHOT("Am Kai", "8-9") SHOT("Nähe", "10-11")
                SHOT("Nöhe", "12-13") SHOT("n-he-2", "14-15"));
    cr_assert_str_eq(spec.plan->shots[0].id, "am-kai");
    cr_assert_str_eq(spec.plan->shots[1].id, "n-he");
    cr_assert_str_eq(spec.plan->shots[2].id, "n-he-2");
    cr_assert_str_eq(spec.plan->shots[3].id, "n-he-2-2");
}

/* A place that only the drawing gives comes after the camera, which comes after its focus. */
Test(place, focus_on_what_is_only_drawn_is_said) {
    const char *scene = "scene: The meadow\n"
                        "pages: 8-9\n"
                        "drawing: {wide: 420 mm}\n"
                        "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"
                        "camera: {lens: portrait, height: 10 in, focus: heron}\n"
                        "ground: {rear: 54 in}\n";
    check_says(arena_format(arena, "%s%s", scene, "puppets: {heron: {drawn: {foot: [296 mm, 44 mm]}}}\n"),
               "specs/08-fog.yaml:5:48: error: the camera cannot focus on `heron` before it is known where");
    check_says(arena_format(arena, "%s%s", scene,
                            "puppets: {heron: {at: {across: 388 mm, back: 426 mm},\n"
                            "                  drawn: {foot: [296 mm, 44 mm]}}}\n"),
               "");
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
}

/* Whatever the solved camera makes of its words can be asked why. */
Test(place, every_word_of_the_camera_has_a_reason) {
    plan_of(MEADOW "ground: {rear: 54 in}\n");
    static const char *const words[] = {"camera.distance", "camera.height",  "camera.tilt",
                                        "camera.across",   "camera.horizon", "camera.frame"};
    for (size_t w = 0; w < sizeof words / sizeof *words; w++) {
        bool found = false;
        for (size_t i = 0; i < spec.plan->reason_count; i++)
            found |= strcmp(spec.plan->reasons[i].path, words[w]) == 0;
        cr_assert(found, "no %s", words[w]);
    }
}

/* Boxes 4 in wide, a box from one to the next of 3 in: an inch of each is in the next. */
Test(place, row_that_is_too_close_is_said) {
    const char *row =
        MEADOW "ground: {rear: 54 in}\n"
               "pieces: {blocks: {wide: 4 in, tall: 1 in, deep: 4 in, at: {across: 4 in, back: 9 in},\n"
               "                  row: {count: 4, every: %s in}}}\n";
    check_says(arena_format(arena, row, "3"), "warning: each in the row `blocks` stands 1 in into the next");
    check_says(arena_format(arena, row, "4"), "");
    cr_assert_eq(spec.diagnostics.warnings, 0);
}

/* Rule 25: ground whose rear edge is not stated carries the whole backdrop, not its front face alone. */
Test(place, ground_reaches_under_the_whole_backdrop) {
    plan_of(MEADOW "backdrop: {at: {back: 40 in}, thick: 1 in}\n");
    cr_assert_float_eq(spec.plan->ground_outline.rear_mm, 41 * 25.4, 0.01);
}
