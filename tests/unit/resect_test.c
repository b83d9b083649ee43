/* Where the camera stood: what is refused and with what help, what is doubtful, what is mis-marked, and what
 * must not matter. */
#include "resect_sample.h"

#include <criterion/criterion.h>
#include <string.h>

static const Photograph PHOTO = {6000, 4000, 36};
static const Point3 EYES = {0, 0, 250};

/* A set's worth of points, in depth. */
static const Point3 SET[] = {{0, 0, 0},      {0, 0, 280},      {-420, 150, 0},  {-420, 150, 310},
                             {380, 60, 0},   {380, 60, 130},   {520, 420, 0},   {520, 420, 410},
                             {-300, 500, 0}, {-300, 500, 260}, {140, -180, 20}, {-160, -220, 60},
                             {60, 620, 350}, {240, 300, 180}};
enum { SET_COUNT = sizeof SET / sizeof *SET };

typedef struct Trial {
    PhotoCamera camera;
    ResectMark marks[RESECT_MARKS_MOST];
    ResectProblem problem;
    ResectResult result;
} Trial;

static void trial_camera(Trial *trial) {
    trial->camera = (PhotoCamera){.lens = {90, -2100, 380},
                                  .turn_rad = RADIANS(-2),
                                  .tilt_rad = RADIANS(6),
                                  .roll_rad = RADIANS(1),
                                  .focal_mm = 50};
    cr_assert(photo_focus(&trial->camera, EYES));
}

/* Marks of these points as the trial's camera sees them. */
static void trial_marks(Trial *trial, const Point3 *points, size_t count, double noise_px, uint64_t seed) {
    uint64_t state = seed;
    for (size_t i = 0; i < count; i++)
        trial->marks[i] = mark_of(&trial->camera, &PHOTO, points[i], noise_px, &state);
    trial->problem = (ResectProblem){.photo = PHOTO,
                                     .marks = trial->marks,
                                     .count = count,
                                     .focal_mm = trial->camera.focal_mm,
                                     .has_focus = true,
                                     .focus = EYES};
}

static void solve(Trial *trial) {
    trial->problem.marks = trial->marks; /* a trial may have been copied */
    resect(&trial->problem, &trial->result);
}

static void check_camera(const Trial *trial, double mm, double rad) {
    const PhotoCamera *found = &trial->result.camera, *known = &trial->camera;
    cr_assert_eq(trial->result.status, RESECTED, "status %d", (int)trial->result.status);
    NEAR(found->lens.across_mm, known->lens.across_mm, mm);
    NEAR(found->lens.back_mm, known->lens.back_mm, mm);
    NEAR(found->lens.up_mm, known->lens.up_mm, mm);
    NEAR(remainder(found->turn_rad - known->turn_rad, 2 * PI), 0, rad);
    NEAR(found->tilt_rad, known->tilt_rad, rad);
    NEAR(remainder(found->roll_rad - known->roll_rad, 2 * PI), 0, rad);
    NEAR(found->focal_mm, known->focal_mm, mm / 20);
    NEAR(found->image_mm, known->image_mm, mm / 20);
}

static Trial usual(double noise_px, uint64_t seed) {
    Trial trial;
    trial_camera(&trial);
    trial_marks(&trial, SET, SET_COUNT, noise_px, seed);
    return trial;
}

/* --- What is found -------------------------------------------------------------------------------------- */

Test(resect, exact_marks_give_the_camera) {
    Trial trial = usual(0, 1);
    solve(&trial);
    check_camera(&trial, 1e-5, 1e-8);
    cr_assert_not(trial.result.focal_sought);
    cr_assert_eq(trial.result.spread[RESECT_FOCAL].sigma, 0);
    cr_assert_eq(trial.result.mismarked_count, 0);
    cr_assert_eq(trial.result.count_used, SET_COUNT);
    NEAR(trial.result.freedoms, 2 * SET_COUNT - 6, 1e-9);
    trial.problem.focal_mm = 0;
    solve(&trial);
    check_camera(&trial, 1e-4, 1e-8);
    cr_assert(trial.result.focal_sought);
    NEAR(trial.result.freedoms, 2 * SET_COUNT - 7, 1e-9);
    /* whatever the plan says, however far off */
    trial.problem.has_start = true;
    trial.problem.start =
        (PhotoCamera){.lens = {-900, -700, 900}, .turn_rad = 2, .focal_mm = 20, .image_mm = 20};
    solve(&trial);
    check_camera(&trial, 1e-4, 1e-8);
    trial.problem.focal_mm = 50;
    solve(&trial);
    check_camera(&trial, 1e-5, 1e-8);
}

Test(resect, without_the_plane_in_focus_it_gives_the_image_distance) {
    Trial trial = usual(0, 1);
    trial.problem.has_focus = false;
    trial.problem.focal_mm = 0;
    solve(&trial);
    NEAR(trial.result.camera.image_mm, trial.camera.image_mm, 1e-5);
    NEAR(trial.result.camera.focal_mm, trial.camera.image_mm, 1e-5);
    cr_assert(isinf(trial.result.camera.object_mm));
}

Test(resect, any_camera_around_the_set) {
    uint64_t state = 4;
    for (int i = 0; i < 200; i++) {
        Trial trial;
        double around = uniform(&state, -PI, PI), far = uniform(&state, 1500, 4000);
        trial.camera =
            (PhotoCamera){.lens = {far * sin(around), 200 - far * cos(around), uniform(&state, 100, 2500)},
                          .turn_rad = -around + uniform(&state, -0.1, 0.1),
                          .roll_rad = uniform(&state, -PI, PI),
                          .focal_mm = uniform(&state, 24, 105)};
        trial.camera.tilt_rad = atan2(trial.camera.lens.up_mm, far);
        cr_assert(photo_focus(&trial.camera, EYES));
        trial_marks(&trial, SET, SET_COUNT, 0, 1);
        if (i % 2) trial.problem.focal_mm = 0;
        solve(&trial);
        check_camera(&trial, 1e-2, 1e-6);
    }
}

Test(resect, order_of_marks_does_not_matter) {
    Trial trial = usual(3, 5), other = trial;
    for (size_t i = 0; i < SET_COUNT; i++)
        other.marks[i] = trial.marks[(i * 5 + 3) % SET_COUNT];
    solve(&trial);
    solve(&other);
    other.camera = trial.result.camera;
    check_camera(&other, 1e-4, 1e-8);
    NEAR(other.result.spread[RESECT_BACK].sigma, trial.result.spread[RESECT_BACK].sigma, 1e-5);
    for (size_t i = 0; i < SET_COUNT; i++)
        NEAR(other.result.residuals[i].off_px, trial.result.residuals[(i * 5 + 3) % SET_COUNT].off_px, 1e-4);
}

/* Where the set's mark is, and how many pixels there are, is arbitrary. */
Test(resect, moved_set_moves_the_camera_and_pixels_do_not) {
    Trial trial = usual(2, 6), other = trial;
    for (size_t i = 0; i < SET_COUNT; i++) {
        other.marks[i].at.across_mm += 1000;
        other.marks[i].at.back_mm -= 400;
        other.marks[i].x_px /= 2;
        other.marks[i].y_px /= 2;
    }
    other.problem.focus.across_mm += 1000;
    other.problem.focus.back_mm -= 400;
    other.problem.photo = (Photograph){3000, 2000, 36};
    solve(&trial);
    solve(&other);
    other.camera = trial.result.camera;
    other.camera.lens.across_mm += 1000;
    other.camera.lens.back_mm -= 400;
    check_camera(&other, 1e-4, 1e-8);
    NEAR(other.result.sigma_px * 2, trial.result.sigma_px, 1e-6);
    NEAR(other.result.spread[RESECT_TILT].sigma, trial.result.spread[RESECT_TILT].sigma, 1e-8);
}

Test(resect, held_out_marks_have_residuals_and_no_say) {
    Trial trial = usual(0, 7);
    trial.marks[3].held_out = true;
    trial.marks[3].x_px += 90;
    trial.marks[3].y_px -= 120;
    solve(&trial);
    check_camera(&trial, 1e-5, 1e-8);
    cr_assert_eq(trial.result.count_used, SET_COUNT - 1);
    NEAR(trial.result.residuals[3].x_px, 90, 1e-4);
    NEAR(trial.result.residuals[3].y_px, -120, 1e-4);
    NEAR(trial.result.residuals[3].off_px, 150, 1e-4);
    cr_assert_not(trial.result.residuals[3].used || trial.result.residuals[3].mismarked);
}

/* Twice the noise, twice the spread; a mark with its own large sigma counts accordingly less. */
Test(resect, spread_follows_the_residuals) {
    Trial one = usual(1, 8), two = usual(2, 8);
    solve(&one);
    solve(&two);
    for (int i = 0; i < RESECT_FOCAL; i++)
        NEAR(two.result.spread[i].sigma / one.result.spread[i].sigma, 2, 0.02);
    for (int i = 0; i < RESECT_FOCAL; i++)
        NEAR(one.result.spread[i].sigma, sqrt(one.result.covariance[i][i]), 1e-12);
    /* a sigma that is stated as exact is not estimated */
    two.problem.sigma_px = 3;
    two.problem.sigma_freedoms = INFINITY;
    solve(&two);
    cr_assert_eq(two.result.sigma_px, 3);
    cr_assert(isinf(two.result.freedoms));
    NEAR(two.result.spread[RESECT_UP].sure, 2 * two.result.spread[RESECT_UP].sigma, 1e-9);
}

Test(resect, nominal_lens_is_weighed_with_the_marks) {
    /* square on a wall: the marks tell nothing of the lens, so that it stays as known as it was */
    Trial trial;
    trial_camera(&trial);
    trial.camera.turn_rad = trial.camera.tilt_rad = trial.camera.roll_rad = 0;
    cr_assert(photo_focus(&trial.camera, EYES));
    Point3 wall[12];
    for (int i = 0; i < 12; i++)
        wall[i] = (Point3){-450 + 300 * (i % 4), 300, 100 + 250 * (i / 4)};
    trial_marks(&trial, wall, 12, 1, 3);
    trial.problem.focal_mm = 52;
    trial.problem.focal_sigma = 0.03;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECTED);
    NEAR(trial.result.camera.focal_mm, 52, 0.5);
    NEAR(trial.result.spread[RESECT_FOCAL].sigma / 52, 0.03, 0.002);
    cr_assert(trial.result.flat);
    /* and the distance is as uncertain as that */
    NEAR(trial.result.spread[RESECT_BACK].sigma / 2400, 0.03, 0.003);
    /* a set in depth tells it better */
    trial_camera(&trial);
    trial_marks(&trial, SET, SET_COUNT, 1, 3);
    trial.problem.focal_mm = 52;
    trial.problem.focal_sigma = 0.03;
    solve(&trial);
    NEAR(trial.result.camera.focal_mm, 50, 3 * trial.result.spread[RESECT_FOCAL].sigma);
    cr_assert_lt(trial.result.spread[RESECT_FOCAL].sigma, 0.6);
}

Test(resect, radial_term_where_marks_suffice) {
    Trial trial;
    trial_camera(&trial);
    trial.camera.radial = 0.15;
    trial_marks(&trial, SET, SET_COUNT, 0, 1);
    trial.problem.radial_sigma = INFINITY;
    solve(&trial);
    check_camera(&trial, 1e-4, 1e-7);
    NEAR(trial.result.camera.radial, 0.15, 1e-6);
    cr_assert(trial.result.radial_sought);
    trial.problem.count = resect_needs_for_radial(false) - 1;
    solve(&trial);
    cr_assert_not(trial.result.radial_sought);
    cr_assert_eq(trial.result.camera.radial, 0);
    trial.problem.count = resect_needs_for_radial(false);
    solve(&trial);
    cr_assert(trial.result.radial_sought);
}

/* --- What is refused ------------------------------------------------------------------------------------ */

Test(resect, too_few) {
    Trial trial = usual(0, 1);
    trial.problem.count = 3;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECT_TOO_FEW);
    cr_assert(trial.result.count_used == 3 && trial.result.count_needed == 4);
    trial.problem.count = 4;
    trial.problem.focal_mm = 0;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECT_TOO_FEW);
    cr_assert(trial.result.count_used == 4 && trial.result.count_needed == 5);
    /* the same point twice is one */
    trial.problem.focal_mm = 50;
    trial.marks[3] = trial.marks[2];
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECT_TOO_FEW);
    cr_assert_eq(trial.result.count_used, 3);
    trial.problem.count = 0;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECT_TOO_FEW);
    cr_assert_eq(trial.result.count_used, 0);
}

Test(resect, four_marks_suffice_with_a_lens) {
    Trial trial;
    trial_camera(&trial);
    const Point3 four[] = {{-300, 0, 0}, {300, 0, 0}, {-250, 500, 300}, {320, 400, 20}};
    trial_marks(&trial, four, 4, 0, 1);
    solve(&trial);
    check_camera(&trial, 1e-3, 1e-6);
    NEAR(trial.result.freedoms, 2, 1e-9);
}

Test(resect, on_one_line) {
    Trial trial;
    trial_camera(&trial);
    Point3 line[7];
    for (int i = 0; i < 7; i++)
        line[i] = (Point3){-400 + 130 * i, -100 + 70 * i, 20 * i};
    trial_marks(&trial, line, 7, 1, 1);
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECT_ON_ONE_LINE);
    trial.problem.focal_mm = 0;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECT_ON_ONE_LINE);
    /* a point beside it helps, little as it is */
    trial.marks[7] = mark_of(&trial.camera, &PHOTO, (Point3){200, 300, 350}, 0, &(uint64_t){1});
    trial.problem.focal_mm = 50;
    trial.problem.count = 8;
    solve(&trial);
    cr_assert_neq(trial.result.status, RESECT_ON_ONE_LINE);
}

/* Marks on the ground alone, from straight above: near with a short lens is far with a long one. */
Test(resect, flat_on_needs_the_lens_or_depth) {
    Trial trial;
    trial.camera = (PhotoCamera){
        .lens = {0, 100, 2400}, .tilt_rad = RADIANS(88), .roll_rad = RADIANS(2), .focal_mm = 50};
    cr_assert(photo_focus(&trial.camera, (Point3){0, 0, 0}));
    Point3 ground[13];
    for (int i = 0; i < 12; i++)
        ground[i] = (Point3){-600 + 400 * (i % 4), -300 + 400 * (i / 4), 0};
    ground[12] = (Point3){100, 200, 400};
    trial_marks(&trial, ground, 12, 2, 1);
    trial.problem.focus = (Point3){0, 0, 0};
    trial.problem.focal_mm = 0;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECT_FLAT_ON);
    cr_assert(trial.result.undetermined[RESECT_FOCAL] && trial.result.undetermined[RESECT_UP]);
    cr_assert_not(trial.result.undetermined[RESECT_ACROSS] || trial.result.undetermined[RESECT_ROLL]);
    /* the lens helps */
    trial.problem.focal_mm = 50;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECTED);
    NEAR(trial.result.camera.lens.up_mm, 2400, 3 * trial.result.spread[RESECT_UP].sigma);
    /* and so does the top of something */
    trial_marks(&trial, ground, 13, 2, 1);
    trial.problem.focus = (Point3){0, 0, 0};
    trial.problem.focal_mm = 0;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECTED);
    NEAR(trial.result.camera.focal_mm, 50, 3 * trial.result.spread[RESECT_FOCAL].sigma);
}

Test(resect, ground_at_a_slant_tells_the_lens) {
    Trial trial;
    trial.camera = (PhotoCamera){.lens = {0, -1500, 1200}, .tilt_rad = RADIANS(36), .focal_mm = 50};
    cr_assert(photo_focus(&trial.camera, EYES));
    Point3 ground[12];
    for (int i = 0; i < 12; i++)
        ground[i] = (Point3){-450 + 300 * (i % 4), -300 + 400 * (i / 4), 0};
    trial_marks(&trial, ground, 12, 1, 1);
    trial.problem.focal_mm = 0;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECTED);
    cr_assert(trial.result.flat);
    NEAR(trial.result.camera.focal_mm, 50, 3 * trial.result.spread[RESECT_FOCAL].sigma);
}

Test(resect, a_handful_of_pixels_determines_nothing) {
    Trial trial;
    trial_camera(&trial);
    Point3 near[8];
    for (int i = 0; i < 8; i++)
        near[i] = (Point3){2 * (i & 1), 2 * (i / 2 & 1), 2 * (i / 4)};
    trial_marks(&trial, near, 8, 2, 1);
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECT_UNDETERMINED);
    cr_assert(trial.result.undetermined[RESECT_ACROSS] || trial.result.undetermined[RESECT_BACK] ||
              trial.result.undetermined[RESECT_UP]);
}

Test(resect, marks_at_random_have_no_camera) {
    Trial trial = usual(0, 1);
    uint64_t state = 12;
    for (size_t i = 0; i < SET_COUNT; i++) {
        trial.marks[i].x_px = uniform(&state, 0, 6000);
        trial.marks[i].y_px = uniform(&state, 0, 4000);
    }
    trial.problem.above_ground = true;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECT_NO_CAMERA);
    trial.problem.focal_mm = 0;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECT_NO_CAMERA);
}

Test(resect, mirrored_photographs_are_recognised) {
    Trial trial = usual(2, 1);
    for (size_t i = 0; i < SET_COUNT; i++)
        trial.marks[i].x_px = 6000 - trial.marks[i].x_px;
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECT_MIRRORED);
    /* of the ground alone it could as well be seen from underneath */
    for (int above = 0; above < 2; above++) {
        Trial ground;
        trial_camera(&ground);
        ground.camera.lens.up_mm = 900;
        ground.camera.tilt_rad = RADIANS(20);
        cr_assert(photo_focus(&ground.camera, EYES));
        Point3 points[10];
        for (int i = 0; i < 10; i++)
            points[i] = (Point3){-400 + 200 * (i % 5), 500 * (i / 5) + 37 * i, 0};
        trial_marks(&ground, points, 10, 1, 1);
        for (size_t i = 0; i < 10; i++)
            ground.marks[i].x_px = 6000 - ground.marks[i].x_px;
        ground.problem.above_ground = above;
        ground.problem.has_start = !above;
        ground.problem.start = ground.camera;
        solve(&ground);
        cr_assert_eq(ground.result.status, RESECT_MIRRORED, "above %d: %d", above, (int)ground.result.status);
    }
}

/* --- Two cameras ---------------------------------------------------------------------------------------- */

/* A small board seen from afar, at a slant: tilted towards the lens or away from it, it looks alike. */
static void small_board(Trial *trial) {
    trial->camera = (PhotoCamera){.lens = {1500, -1500, 700},
                                  .turn_rad = RADIANS(-45),
                                  .tilt_rad = atan2(650, hypot(1500, 1500)),
                                  .focal_mm = 50};
    cr_assert(photo_focus(&trial->camera, (Point3){0, 0, 50}));
    const Point3 board[] = {{-15, 0, 35}, {15, 0, 35}, {15, 0, 65}, {-15, 0, 65}, {0, 0, 50}};
    trial_marks(trial, board, 5, 0.6, 2);
    trial->problem.focus = (Point3){0, 0, 50};
}

Test(resect, two_cameras_that_fit_are_both_told_and_the_plan_decides) {
    Trial trial;
    small_board(&trial);
    solve(&trial);
    cr_assert_eq(trial.result.status, RESECTED);
    cr_assert(trial.result.ambiguous && trial.result.flat);
    PhotoCamera first = trial.result.camera, second = trial.result.other;
    double apart =
        hypot(first.lens.across_mm - second.lens.across_mm, first.lens.back_mm - second.lens.back_mm);
    cr_assert_gt(apart, 500);
    trial.problem.has_start = true;
    for (int i = 0; i < 2; i++) {
        trial.problem.start = i ? second : first;
        trial.problem.start.lens.across_mm += 60;
        solve(&trial);
        cr_assert(trial.result.ambiguous);
        NEAR(trial.result.camera.lens.across_mm, (i ? second : first).lens.across_mm, 1);
        NEAR(trial.result.other.lens.across_mm, (i ? first : second).lens.across_mm, 1);
    }
}

Test(resect, depth_leaves_one_camera) {
    Trial trial = usual(3, 2);
    solve(&trial);
    cr_assert_not(trial.result.ambiguous || trial.result.flat);
}

/* --- Mis-marked ----------------------------------------------------------------------------------------- */

Test(resect, one_mis_marked_point_is_named) {
    uint64_t state = 31;
    for (size_t i = 0; i < 300; i++) {
        Trial trial = usual(2, 100 + i);
        size_t wrong = i % SET_COUNT;
        double way = uniform(&state, 0, 2 * PI), far = uniform(&state, 40, 600);
        trial.marks[wrong].x_px += far * cos(way);
        trial.marks[wrong].y_px += far * sin(way);
        if (i % 3 == 0) trial.problem.focal_mm = 0;
        solve(&trial);
        cr_assert_eq(trial.result.status, RESECTED);
        cr_assert_geq(trial.result.mismarked_count, 1, "%zu: by %g px", i, far);
        cr_assert_eq(trial.result.mismarked[0], wrong);
        const ResectResidual *it = &trial.result.residuals[wrong];
        cr_assert(it->mismarked && !it->used && !trial.result.mismark_unclear);
        /* how far off it is, by the others */
        NEAR(it->x_px, far * cos(way), 25);
        NEAR(it->y_px, far * sin(way), 25);
    }
}

Test(resect, exchanged_names_are_both_named) {
    for (size_t i = 0; i < SET_COUNT; i++) {
        Trial trial = usual(2, 200 + i);
        size_t a = i, b = (i + 5) % SET_COUNT;
        ResectMark kept = trial.marks[a];
        trial.marks[a].x_px = trial.marks[b].x_px, trial.marks[a].y_px = trial.marks[b].y_px;
        trial.marks[b].x_px = kept.x_px, trial.marks[b].y_px = kept.y_px;
        solve(&trial);
        cr_assert_eq(trial.result.status, RESECTED);
        cr_assert_eq(trial.result.mismarked_count, 2, "%zu: %zu", i, trial.result.mismarked_count);
        cr_assert(trial.result.residuals[a].mismarked && trial.result.residuals[b].mismarked);
        /* worst first */
        cr_assert_geq(trial.result.residuals[trial.result.mismarked[0]].off_px,
                      trial.result.residuals[trial.result.mismarked[1]].off_px);
    }
}

/* A thing that was moved: its two marks are off alike, and no plan tells where it went. */
Test(resect, marks_of_a_moved_thing_are_named) {
    Trial trial = usual(2, 9);
    for (size_t i = 8; i < 10; i++) {
        Point3 at = SET[i];
        at.back_mm += 2.25 * MM_PER_INCH;
        trial.marks[i] = mark_of(&trial.camera, &PHOTO, at, 2, &(uint64_t){i});
        trial.marks[i].at = SET[i];
    }
    solve(&trial);
    cr_assert_eq(trial.result.mismarked_count, 2);
    cr_assert(trial.result.residuals[8].mismarked && trial.result.residuals[9].mismarked);
    /* where it stands now: 2 1/4 in farther back, within what is said */
    SetPlace place;
    PixelMark foot = {trial.marks[8].x_px, trial.marks[8].y_px, 0};
    cr_assert(resected_on_level(&trial.result, &PHOTO, &foot, 0, &place));
    NEAR(place.second_mm - SET[8].back_mm, 2.25 * MM_PER_INCH, place.second.sure);
    cr_assert_lt(place.second.sure, 20);
}

/* Five marks, one of them wrong: often more than one may be it, and then that is said. */
Test(resect, too_few_to_say_which) {
    size_t right = 0, other = 0, unclear = 0;
    for (size_t i = 0; i < 500; i++) {
        Trial trial;
        trial_camera(&trial);
        trial_marks(&trial, SET + 2, 5, 2, 300 + i);
        trial.marks[i % 5].x_px += 30 + (double)i / 2;
        solve(&trial);
        unclear += trial.result.mismark_unclear;
        if (trial.result.mismarked_count == 0) continue;
        right += trial.result.residuals[i % 5].mismarked;
        other += !trial.result.residuals[i % 5].mismarked;
    }
    cr_assert_gt(right, 100, "%zu", right);
    cr_assert_gt(unclear, 50, "%zu", unclear);
    cr_assert_leq(other, 5, "%zu", other);
}

/* Where nobody can be blamed, the wrong one is among the suspects. */
Test(resect, suspects_have_the_wrong_one_among_them) {
    size_t unclear = 0, among = 0;
    for (size_t i = 0; i < 500; i++) {
        Trial trial;
        trial_camera(&trial);
        trial_marks(&trial, SET + 2, 5, 2, 300 + i);
        trial.marks[i % 5].x_px += 60 + (double)i / 2;
        solve(&trial);
        if (!trial.result.mismark_unclear) continue;
        unclear++;
        among += trial.result.residuals[i % 5].suspect;
    }
    cr_assert_gt(unclear, 30, "%zu", unclear);
    cr_assert_geq(10 * among, 9 * unclear, "%zu of %zu", among, unclear);
}

Test(resect, good_marks_are_seldom_blamed) {
    size_t blamed = 0;
    for (size_t i = 0; i < 2000; i++) {
        Trial trial = usual(1 + (double)(i % 5), 1000 + i);
        trial.problem.count = 7 + i % 8;
        solve(&trial);
        cr_assert_eq(trial.result.status, RESECTED);
        blamed += trial.result.mismarked_count > 0 || trial.result.mismark_unclear;
    }
    /* one in two hundred (rule 68): 10 of 2000, and three standard deviations more */
    cr_assert_leq(blamed, 20, "%zu", blamed);
}

/* --- Few marks, and what was known before ----------------------------------------------------------------
 */

typedef struct Share {
    size_t count, likely, sure;
} Share;

static void share_truth(const Trial *trial, Share shares[RESECT_FOCAL]) {
    for (int i = 0; i < RESECT_FOCAL; i++) {
        double off = fabs(unknown_of(&trial->result.camera, i) - unknown_of(&trial->camera, i));
        shares[i].count++;
        shares[i].likely += off <= trial->result.spread[i].likely;
        shares[i].sure += off <= trial->result.spread[i].sure;
    }
}

/* Twelve shares, each within 3.5 standard deviations. */
static void check_shares(const Share shares[RESECT_FOCAL]) {
    for (int i = 0; i < RESECT_FOCAL; i++) {
        double likely = binomial_off(shares[i].likely, shares[i].count, 0.6827);
        double sure = binomial_off(shares[i].sure, shares[i].count, 0.9545);
        cr_assert(fabs(likely) < 3.5 && fabs(sure) < 3.5, "%d: %+.1f, %+.1f of %zu", i, likely, sure,
                  shares[i].count);
    }
}

/* The fewest marks: two residuals are left over, and Student's factors are 1.32 and 4.53. */
Test(resect, four_marks_are_honest) {
    Share shares[RESECT_FOCAL] = {{0}};
    for (size_t i = 0; i < 2000; i++) {
        Trial trial;
        trial_camera(&trial);
        const Point3 four[] = {{-400, -100, 0}, {420, -50, 0}, {-350, 600, 350}, {380, 500, 20}};
        trial_marks(&trial, four, 4, 1 + (double)(i % 3), 4000 + i);
        solve(&trial);
        cr_assert_eq(trial.result.status, RESECTED);
        if (trial.result.ambiguous) continue;
        share_truth(&trial, shares);
    }
    cr_assert_gt(shares[0].count, 1500);
    check_shares(shares);
}

/* How far the marks scatter is known beforehand as well as from four residuals: then it scatters about 2 px
 * from photograph to photograph as such an estimate does. */
Test(resect, scatter_known_before_is_honest) {
    Share shares[RESECT_FOCAL] = {{0}};
    uint64_t state = 77;
    for (size_t i = 0; i < 2000; i++) {
        double chi = 0;
        for (int k = 0; k < 4; k++)
            chi += pow(normal(&state, 1), 2);
        Trial trial = usual(2 * sqrt(4 / chi), 6000 + i);
        trial.problem.count = 6;
        trial.problem.sigma_px = 2;
        trial.problem.sigma_freedoms = 4;
        solve(&trial);
        cr_assert_eq(trial.result.status, RESECTED);
        if (trial.result.mismarked_count > 0 || trial.result.mismark_unclear) continue;
        NEAR(trial.result.freedoms, 12 - 6 + 4, 1e-9);
        share_truth(&trial, shares);
    }
    cr_assert_gt(shares[0].count, 1900);
    check_shares(shares);
}
