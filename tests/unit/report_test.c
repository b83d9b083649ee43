/* A plan by hand through plan_to_facts; what is expected is worked out here by Pythagoras and similar
 * triangles, from the numbers in report_sample.h and not by the code under test. */
#include "base/text.h"
#include "plan/seen.h"
#include "report/facts_to_json.h"
#include "report/facts_to_text.h"
#include "report/plan_to_facts.h"
#include "report_sample.h"

#include <criterion/criterion.h>
#include <jansson.h>

typedef struct Made {
    Arena *arena;
    Sample *sample;
    const Facts *facts;
} Made;

static Made make(LengthStyle lengths) {
    Arena *arena = arena_new();
    Sample *sample = sample_new(arena, lengths);
    return (Made){arena, sample, plan_to_facts(arena, &sample->plan)};
}

static double number(const Made *made, const char *heading, const char *key, const char *part) {
    const Fact *fact = facts_find(made->facts, heading, key);
    cr_assert(fact, "no %s in %s", key, heading);
    return fact_number(fact, part);
}

#define NEAR(heading, key, part, wanted) cr_expect_float_eq(number(&made, heading, key, part), wanted, 1e-6)

static const char *line_of(const Made *made, const char *heading, const char *key) {
    const Fact *fact = facts_find(made->facts, heading, key);
    cr_assert(fact, "no %s in %s", key, heading);
    return fact_text(made->arena, made->facts, fact);
}

Test(report, base_by_pythagoras) {
    const Made made = make(STYLE_MILLIMETRES);
    NEAR("tape-out base", "front", NULL, 1000);
    NEAR("tape-out base", "rear", NULL, 3850);
    NEAR("tape-out base", "left_side", NULL, 3250);  /* 3000 deep, 1250 out: 5-12-13 */
    NEAR("tape-out base", "right_side", NULL, 3400); /* 3000 deep, 1600 out: 8-15-17 */
    NEAR("tape-out base", "left_diagonal", NULL, sqrt(3000.0 * 3000 + 2600 * 2600));
    NEAR("tape-out base", "right_diagonal", NULL, 3750); /* 3000 and 2250: 3-4-5 */
    arena_free(made.arena);
}

/* Two circles about the base's front corners, with the two tapes as radii, cross at the place that the other
 * line states. */
Test(report, two_tapes_cross_at_the_place) {
    const Made made = make(STYLE_FEET_INCHES);
    static const char *const blocks[] = {"tape-out mark", "tape-out crate", "tape-out wall"};
    for (int i = 0; i < 3; i++) {
        const double left = number(&made, blocks[i], "two_tapes", "left"),
                     right = number(&made, blocks[i], "two_tapes", "right");
        const double apart = number(&made, "tape-out base", "front", NULL);
        const double from_left =
            (left * left - right * right + apart * apart) / (2 * apart); /* along the front edge */
        const double behind = sqrt(left * left - from_left * from_left);
        const double corner = number(&made, "tape-out base", "front_left", "right");
        cr_expect_float_eq(behind, number(&made, blocks[i], "place", "behind"), 1e-6);
        cr_expect_float_eq(corner + from_left, number(&made, blocks[i], "place", "right"), 1e-6);
    }
    arena_free(made.arena);
}

/* The lens is 100 mm right of the mark; depth 3000 at the mark and 4000 at the wall; frame 36 of 90 mm wide
 * at any depth. */
Test(report, frame_by_similar_triangles) {
    const Made made = make(STYLE_MILLIMETRES);
    NEAR("tape-out frame", "mark_left", NULL, -600); /* from the centre line: 36 / 90 x 3000 / 2 */
    NEAR("tape-out frame", "mark_right", NULL, 600);
    NEAR("tape-out frame", "front_right", NULL, (3000 - 1450) * 0.2);
    NEAR("tape-out frame", "rear_left", NULL, -(3000 + 1450) * 0.2);
    NEAR("camera", "stick", NULL, 1200);
    arena_free(made.arena);
}

Test(report, camera_as_one_sets_it) {
    const Made made = make(STYLE_MILLIMETRES);
    NEAR("camera", "sensor_to_mark", NULL, 3090); /* level: the image distance behind the lens */
    NEAR("camera", "front", NULL, 1500);
    NEAR("camera", "above_floor", NULL, 250 + 50 + 18 + 732);
    /* corners 1500 away, 500 to either side, and 250 + 50 under the lens */
    NEAR("camera", "tapes", "left", sqrt(1500.0 * 1500 + 500 * 500 + 300 * 300));
    NEAR("camera", "tapes", "right", sqrt(1500.0 * 1500 + 500 * 500 + 300 * 300));
    cr_expect_str_eq(line_of(&made, "camera", "tilt"), "level");
    cr_expect_str_eq(line_of(&made, "camera", "above_floor"),
                     "1050 mm (3'-5 3/8\"); under the ground's surface: table 732 mm (2'-4 13/16\"), base 18 "
                     "mm (11/16 in), "
                     "ground 50 mm (1 15/16 in)");
    arena_free(made.arena);
}

Test(report, head_says_how_far_a_millimetre_goes) {
    const Made made = make(STYLE_MILLIMETRES);
    NEAR("scene 08-fog", "enlargement", NULL, 3000.0 / 900);
    cr_expect_str_eq(line_of(&made, "scene 08-fog", "distance"),
                     "3000 mm (9'-10 1/8\"); 33 mm (1 5/16 in) for each mm in the fox's drawn height");
    cr_expect_str_eq(line_of(&made, "scene 08-fog", "build"),
                     "3850 mm wide x 3000 mm deep x 568 mm tall (12'-7 5/8\" x 9'-10 1/8\" x 1'-10 3/8\")");
    arena_free(made.arena);
}

Test(report, things_on_the_drawing) {
    const Made made = make(STYLE_MILLIMETRES);
    /* fox: 100 left of the axis and 250 under it at depth 3000; k v = 900; the drawing's middle is (180, 120)
     */
    NEAR("puppet fox", "drawn_foot", "x", 180 - 100 * 900 / 3000.0);
    NEAR("puppet fox", "drawn_foot", "y", 120 - 250 * 900 / 3000.0);
    NEAR("puppet fox", "drawn_size", "tall", 279.4 * 900 / 3000);
    NEAR("flat wall", "enlargement", NULL, 4000.0 / 900);
    NEAR("flat wall", "drawn_size", "wide", 1778 * 900 / 4000.0);
    /* a box is seen by the middle of its front face's lower edge: 50 nearer than its middle */
    NEAR("piece crate", "depth", NULL, 3000 - 1100 - 50);
    NEAR("piece crate", "from_lens", NULL, sqrt(1850.0 * 1850 + 300 * 300 + 250 * 250));
    arena_free(made.arena);
}

Test(report, openings_are_cut_from_the_flat_s_edge) {
    const Made made = make(STYLE_MILLIMETRES);
    NEAR("opening window of wall", "from_left", NULL, 1778 / 2.0 - 100 - 203.2 / 2);
    NEAR("opening window of wall", "sill", NULL, 76.2);
    arena_free(made.arena);
}

/* The second camera stands 90 mm further right: things shift left by 90 x 900 / depth, the kept puppet is not
 * asked. */
Test(report, shifts_by_similar_triangles) {
    const Made made = make(STYLE_MILLIMETRES);
    NEAR("allowed 60 mm lens, 9 in up", "shift wall", "across", -90 * 900 / 4000.0);
    NEAR("allowed 60 mm lens, 9 in up", "shift crate", "across", -90 * 900 / 1850.0);
    NEAR("allowed 60 mm lens, 9 in up", "shift wall", "up", 0);
    cr_expect_null(facts_find(made.facts, "allowed 60 mm lens, 9 in up", "shift fox"));
    arena_free(made.arena);
}

Test(report, covering_names_who_asks) {
    const Made made = make(STYLE_FEET_INCHES);
    /* the planned camera asks itself: what it needs alone is no news */
    cr_expect_str_eq(line_of(&made, "covering", "wall wide"),
                     "5'-10\" (1778 mm), asked for by the planned camera");
    cr_expect_str_eq(line_of(&made, "covering", "ground front"),
                     "4'-9 1/8\" (1450 mm) in front of the mark, asked for by 60 mm lens, 9 in up; the plan "
                     "alone 4'-3 1/8\" (1300 mm) in front");
    arena_free(made.arena);
}

/* Common practice, no source: 45 mm on 22.3 x 14.9 mm frames like 72.65 mm on 36 x 24 by width and 72.60 by
 * diagonal, far away; here the same ratio from the other side, at a finite distance by rule 36's f' = u v' /
 * (u + v'). */
Test(report, equivalents) {
    Arena *arena = arena_new();
    Sample *sample = sample_new(arena, STYLE_MILLIMETRES);
    const double far = 1e9, v = 72.65;
    Camera *camera = &sample->cameras[0].camera;
    camera->object_mm = far;
    camera->focal_mm = far * v / (far + v);
    camera->image_mm = v;
    /* a page as wide as the small sensor in proportion, so that widths decide */
    sample->planned_shot.picture.frame_tall_mm = sample->planned_shot.picture.frame_wide_mm / 2;
    sample->planned_shot.picture.taken_tall_mm = 18;
    const Facts *facts = plan_to_facts(arena, &sample->plan);
    const Fact *fact = facts_find(facts, "sensor", "on small");
    cr_assert(fact);
    cr_expect_float_eq(fact_number(fact, "by_frame"), 45, 0.005);
    cr_expect_float_eq(fact_number(fact, "by_diagonal"), 45 * 72.65 / 72.60, 0.005);
    arena_free(arena);
}

Test(report, pixels_an_inch) {
    const Made made = make(STYLE_MILLIMETRES);
    NEAR("print", "pixels_an_inch", "has", 508); /* 7200 px over 360 mm, 4800 over 240: 20 a mm */
    arena_free(made.arena);
}

/* 20 pixels a mm are 508 an inch: at 254 an inch the picture may be twice as large. */
Test(report, the_largest_print_is_as_large_as_the_pixels_go) {
    Arena *arena = arena_new();
    Sample *sample = sample_new(arena, STYLE_MILLIMETRES);
    sample->shot.print = sample_slot(&sample->slots, 254, true);
    const Made made = {arena, sample, plan_to_facts(arena, &sample->plan)};
    NEAR("print", "largest", "wide", 720);
    NEAR("print", "largest", "tall", 480);
    cr_expect_str_eq(line_of(&made, "print", "pixels_an_inch"), "508; the book asks for 254");
    arena_free(arena);
}

/* Shot so wide that the picture is the middle half of the frame, a quarter away from each edge: half the
 * pixels are left across it. */
Test(report, pixels_that_the_slack_leaves) {
    Arena *arena = arena_new();
    Sample *sample = sample_new(arena, STYLE_MILLIMETRES);
    SeenCamera seen = {.things = ARENA_ARRAY(arena, SeenThing, SAMPLE_THINGS),
                       .slack = {.known = true, .wider = 0.5}};
    for (int i = 0; i < SAMPLE_THINGS; i++)
        seen.things[i].hidden_by = seen.things[i].face_hidden_by = -1;
    const Seen all = {.cameras = &seen, .count = 1};
    sample->plan.seen = &all;
    const Facts *facts = plan_to_facts(arena, &sample->plan);
    const Fact *fact = facts_find(facts, "print", "pixels_an_inch_at_widest");
    cr_assert(fact);
    cr_expect_float_eq(fact_number(fact, "has"), 254, 1e-9);
    arena_free(arena);
}

/* The fox stands 100 mm left of the axis, its eyes as high as the lens: they are drawn at (180 - 30, 120).
 * Above them are 29.4 mm of it, at 0.3 drawn mm each. */
Test(report, a_face_lies_where_the_eyes_are) {
    const Made made = make(STYLE_MILLIMETRES);
    NEAR("print", "face fox", "middle_from_left", 150);
    NEAR("print", "face fox", "middle_up", 120);
    NEAR("print", "face fox", "tall", 2 * 29.4 * 0.3);
    cr_expect_str_eq(
        line_of(&made, "print", "face fox"),
        "its middle 150 mm (5 7/8 in) from the left trim edge, 120 mm (4 3/4 in) up, on page 8; 18 mm "
        "(3/4 in) tall; in the safe area");
    cr_expect_str_eq(line_of(&made, "print", "safe_right"),
                     "195.0 mm to 350.0 mm across, 10.0 mm to 230.0 mm up");
    cr_expect_str_eq(line_of(&made, "print", "gutter"), "165.0 mm to 195.0 mm across");
    arena_free(made.arena);
}

Test(report, text_is_to_diff_well) {
    const Made made = make(STYLE_FEET_INCHES);
    Buffer out = buffer_new(made.arena);
    facts_to_text(&out, made.facts);
    const char *text = buffer_text(&out);
    cr_assert(text_starts(text, "groundrow report 1\n\nscene 08-fog\n  title: Fog on the river\n"));
    cr_assert(text_ends(text, "\n"));
    cr_assert_null(strchr(text, '\r'));
    cr_assert_null(strchr(text, '\t'));
    cr_assert_null(strstr(text, " \n"));
    cr_assert_null(strstr(text, "nan"));
    cr_assert_null(strstr(text, ": \n"));
    /* nothing is signed: no minus before a digit, but in `9'-10"` and ranges of names */
    for (const char *at = strstr(text, " -"); at; at = strstr(at + 1, " -"))
        cr_expect_fail("signed: %.40s", at);
    arena_free(made.arena);
}

Test(report, json_says_the_same) {
    const Made made = make(STYLE_FEET_INCHES);
    Buffer out = buffer_new(made.arena);
    facts_to_json(&out, made.facts);
    json_error_t error;
    json_t *read = json_loads(buffer_text(&out), JSON_REJECT_DUPLICATES, &error);
    cr_assert(read, "%s at %d", error.text, error.line);
    cr_expect_eq(json_integer_value(json_object_get(read, "groundrow")), 1);
    const json_t *blocks = json_object_get(read, "blocks");
    cr_assert_eq(json_array_size(blocks), made.facts->blocks.count);
    for (size_t i = 0; i < json_array_size(blocks); i++)
        cr_expect_eq(json_object_size(json_object_get(json_array_get(blocks, i), "facts")),
                     made.facts->blocks.items[i]->facts.count);
    /* a point and a camera are enough to project with: the fox's head by rule 6, level */
    const json_t *camera = json_array_get(json_object_get(read, "cameras"), 0);
    const double v = json_number_value(json_object_get(camera, "image_mm")),
                 k = json_number_value(json_object_get(camera, "drawn_per_sensor"));
    const double d = json_number_value(json_object_get(camera, "distance_mm")),
                 h = json_number_value(json_object_get(camera, "height_mm"));
    bool found = false;
    for (size_t i = 0; i < json_array_size(json_object_get(read, "points")); i++) {
        const json_t *point = json_array_get(json_object_get(read, "points"), i);
        if (strcmp(json_string_value(json_object_get(point, "point")), "head") != 0) continue;
        const json_t *set = json_object_get(point, "set"), *drawing = json_object_get(point, "drawing");
        const double up = json_number_value(json_array_get(set, 2)),
                     back = json_number_value(json_array_get(set, 1));
        cr_expect_float_eq(json_number_value(json_array_get(drawing, 1)), 120 + k * v * (up - h) / (back + d),
                           0.001);
        found = true;
    }
    cr_expect(found);
    json_decref(read);
    arena_free(made.arena);
}

/* The same set in two shots, the second from 200 mm further back and 50 to the left, about a mark of its own.
 */
static const Facts *two_shots(Arena *arena, Sample **made) {
    Sample *s = sample_new(arena, STYLE_MILLIMETRES);
    PlanShot *shots = ARENA_ARRAY(arena, PlanShot, 2);
    shots[0] = shots[1] = s->planned_shot;
    shots[0].name = "wide";
    shots[1].name = "close";
    shots[1].mark = (Point3){-150, 200, 0};
    shots[1].cameras = ARENA_ARRAY(arena, PlanCamera, 1);
    shots[1].cameras[0] = s->cameras[0];
    shots[1].cameras[0].camera.across_mm = 50;
    shots[1].cameras[0].camera.distance_mm = 3200;
    shots[1].camera_count = 1;
    shots[1].solution.camera.across_mm = 200;
    shots[1].solution.camera.distance_mm = 3400;
    s->things[CRATE].shot = 1;
    s->plan.shots = shots;
    s->plan.shot_count = 2;
    *made = s;
    return plan_to_facts(arena, &s->plan);
}

Test(report, blocks_of_shots_carry_their_names) {
    Arena *arena = arena_new();
    Sample *sample;
    const Made made = {arena, NULL, two_shots(arena, &sample)};
    NEAR("shot wide", "distance", NULL, 3000);
    NEAR("shot close", "distance", NULL, 3400);
    NEAR("camera close", "sensor_to_mark", NULL, 3490);
    NEAR("camera close", "front", NULL, 1700);
    NEAR("camera close", "side", NULL, -50); /* the centre line is the first shot's */
    NEAR("camera close", "on_plan", NULL, sqrt(3400.0 * 3400 + 200 * 200));
    NEAR("tape-out mark in close", "place", "behind", 1700);
    NEAR("tape-out mark in close", "place", "right", -250);
    /* things of both shots have their sizes once and a view each; things of one shot have one block */
    NEAR("flat wall", "wide", NULL, 1778);
    NEAR("flat wall in wide", "enlargement", NULL, 4000.0 / 900);
    NEAR("flat wall in close", "enlargement", NULL, 4200.0 / 900);
    NEAR("piece crate in close", "wide", NULL, 100);
    NEAR("piece crate in close", "depth", NULL, 2050);
    cr_expect_null(facts_find(made.facts, "piece crate in wide", "depth"));
    cr_expect(facts_find(made.facts, "allowed 60 mm lens, 9 in up in wide", "tilt"));
    arena_free(arena);
}

Test(report, no_base_is_taped_from_the_ground) {
    Arena *arena = arena_new();
    Sample *s = sample_new(arena, STYLE_MILLIMETRES);
    s->plan.base = -1;
    s->things[BASE].role = ROLE_OPENING; /* no base among the things */
    s->things[BASE].parent = GROUND;
    const Made made = {arena, s, plan_to_facts(arena, &s->plan)};
    cr_expect_str_eq(line_of(&made, "tape-out crate", "place"),
                     "350 mm (1'-1 3/4\") behind, 300 mm (11 3/4 in) right");
    cr_expect_str_eq(line_of(&made, "camera", "front"), "1550 mm (5'-1\") in front");
    cr_expect_str_eq(line_of(&made, "tape-out", "from"),
                     "the ground's front edge and its front corners, level; right and left from the centre "
                     "line, plumb under the "
                     "lens's axis");
    cr_expect_null(facts_find(made.facts, "tape-out base", "front"));
    /* the corners are at the flat ground's height now: 250 under the lens */
    NEAR("camera", "tapes", "left", sqrt(1550.0 * 1550 + 450 * 450 + 250 * 250));
    arena_free(arena);
}

Test(report, a_drawing_in_px_is_reported_in_px) {
    Arena *arena = arena_new();
    Sample *s = sample_new(arena, STYLE_MILLIMETRES);
    s->planned_shot.drawn_px_per_mm = 5;
    const Made made = {arena, s, plan_to_facts(arena, &s->plan)};
    cr_expect_str_eq(line_of(&made, "puppet fox", "drawn_foot"),
                     "750 px from the drawing's left edge, 225 px up");
    cr_expect_str_eq(line_of(&made, "puppet fox", "enlargement"),
                     "333 %; 10 px on the drawing are 6.7 mm (17/64 in)");
    cr_expect_str_eq(line_of(&made, "scene 08-fog", "distance"),
                     "3000 mm (9'-10 1/8\"); 66 mm (2 5/8 in) for each 10 px in the fox's drawn height");
    arena_free(arena);
}

/* Rule 5: uprights at the edge lean by half the picture's width x tan t / (k v). Against two points of one
 * upright, projected. */
Test(report, uprights_lean_as_projected) {
    Arena *arena = arena_new();
    Sample *s = sample_new(arena, STYLE_MILLIMETRES);
    Camera *camera = &s->cameras[0].camera;
    camera->tilt_rad = RADIANS(10);
    const Made made = {arena, s, plan_to_facts(arena, &s->plan)};
    /* on the level of the axis, 3000 mm out, at the picture's right edge: half of 360 at k v = 900 is 0.2 of
     * the depth */
    const double ahead = 3000, drop = ahead * tan(RADIANS(10)), depth = ahead / cos(RADIANS(10));
    double low_x, low_y, high_x, high_y;
    Point3 low = {camera->across_mm + 0.2 * depth, ahead - camera->distance_mm,
                  camera->height_mm - drop - 0.5};
    Point3 high = low;
    high.up_mm += 1;
    camera_project(camera, &s->planned_shot.picture, low, &low_x, &low_y, NULL);
    camera_project(camera, &s->planned_shot.picture, high, &high_x, &high_y, NULL);
    cr_expect_float_eq(DEGREES(atan2(high_x - low_x, high_y - low_y)),
                       DEGREES(number(&made, "camera", "lean", NULL)), 1e-4);
    cr_expect(strstr(line_of(&made, "camera", "lean"), "2.0 deg outwards"), "%s",
              line_of(&made, "camera", "lean"));
    cr_expect_str_eq(line_of(&made, "camera", "tilt"), "10.0 deg down");
    arena_free(arena);
}

Test(report, what_was_assumed_and_missed_stands_under_attention) {
    Arena *arena = arena_new();
    Sample *s = sample_new(arena, STYLE_MILLIMETRES);
    CameraSolution *solution = &s->planned_shot.solution;
    solution->assumed[UNKNOWN_TILT] = solution->assumed[UNKNOWN_ACROSS] = true;
    solution->residual_mm[STATE_TALL] = -0.7;
    s->planned_shot.problem.stated[STATE_HORIZON] = true;
    solution->residual_mm[STATE_HORIZON] = 0.4; /* under half of 1 mm: not worth a line */
    const Made made = {arena, s, plan_to_facts(arena, &s->plan)};
    cr_expect_str_eq(line_of(&made, "attention", "crate drawn-apart"),
                     "`crate` is drawn 1 mm apart (accepted)");
    cr_expect(facts_find(made.facts, "attention", "assumed tilt"));
    cr_expect(facts_find(made.facts, "attention", "assumed across"));
    cr_expect_null(facts_find(made.facts, "attention", "assumed height"));
    cr_expect_str_eq(line_of(&made, "attention", "missed fox's height"),
                     "0.7 mm on the drawing from what is stated");
    cr_expect_null(facts_find(made.facts, "attention", "missed horizon"));
    arena_free(arena);
}

/* A level camera's frame is as wide at any height, but a stick has to be held at one. */
Test(report, what_is_taped_at_a_raised_mark_says_how_high) {
    Arena *arena = arena_new();
    Sample *s = sample_new(arena, STYLE_MILLIMETRES);
    s->planned_shot.mark.up_mm = 50.8;
    const Made made = {arena, s, plan_to_facts(arena, &s->plan)};
    NEAR("camera", "stick", NULL, 1200);
    NEAR("camera", "stick", "up", 50.8);
    NEAR("tape-out frame", "mark_left", "up", 50.8);
    cr_expect_str_eq(line_of(&made, "camera", "stick"),
                     "1200 mm (3'-11 1/4\") long, held 51 mm (2 in) above the flat ground");
    cr_expect(isnan(number(&made, "tape-out frame", "front_left", "up")));
    arena_free(arena);
}

/* A wall turned by 90 degrees is seen edge on: its near end at depth 4000 - 889, its far end at 4000 + 889,
 * both 50 right of the axis here; it shows as wide as these two lie apart, not as 1778 mm would square to the
 * picture. */
Test(report, a_turned_wall_shows_its_edge) {
    Arena *arena = arena_new();
    Sample *s = sample_new(arena, STYLE_MILLIMETRES);
    s->planned[WALL].turn_rad = RADIANS(90);
    s->planned[WALL].at.across_mm = 150;
    const Made made = {arena, s, plan_to_facts(arena, &s->plan)};
    NEAR("flat wall", "drawn_size", "wide", 50 * 900 / (4000.0 - 889) - 50 * 900 / (4000.0 + 889));
    NEAR("flat wall", "drawn_size", "tall", 500 * 900 / 4000.0);
    arena_free(arena);
}
