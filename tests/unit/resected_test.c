/* What follows from a camera that was found: places, sizes, moves. Against the planned camera's closed forms,
 * and against the truth of random photographs, one sigma and two. */
#include "resect_sample.h"

#include <criterion/criterion.h>

static const Photograph PHOTO = {6000, 4000, 36};
static const Point3 EYES = {0, 0, 250};

static PhotoCamera known_camera(void) {
    PhotoCamera camera = {.lens = {60, -1800, 420},
                          .turn_rad = RADIANS(2),
                          .tilt_rad = RADIANS(7),
                          .roll_rad = RADIANS(-1.5),
                          .focal_mm = 50,
                          .radial = -0.06};
    cr_assert(photo_focus(&camera, EYES));
    return camera;
}

static ResectResult exact_result(const PhotoCamera *camera) {
    return (ResectResult){.status = RESECTED, .camera = *camera, .sigma_px = 2, .freedoms = INFINITY};
}

static PixelMark pixel_of(const PhotoCamera *camera, Point3 point, double sigma_px) {
    PixelMark mark = {.sigma_px = sigma_px};
    cr_assert(photo_project(camera, &PHOTO, point, &mark.x_px, &mark.y_px, NULL));
    return mark;
}

Test(resected, pixels_of_known_places_come_back) {
    PhotoCamera camera = known_camera();
    ResectResult result = exact_result(&camera);
    SetPlace place;
    PixelMark mark = pixel_of(&camera, (Point3){150, 320, 12}, 0);
    cr_assert(resected_on_level(&result, &PHOTO, &mark, 12, &place));
    NEAR(place.at.across_mm, 150, 1e-7);
    NEAR(place.at.back_mm, 320, 1e-7);
    NEAR(place.first_mm, 150, 1e-7);
    NEAR(place.second_mm, 320, 1e-7);
    mark = pixel_of(&camera, (Point3){-210, 400, 333}, 0);
    cr_assert(resected_on_upright(&result, &PHOTO, &mark, 400, &place));
    NEAR(place.first_mm, -210, 1e-7);
    NEAR(place.second_mm, 333, 1e-7);
    /* a panel turned 30 degrees to the left: its right end comes nearer */
    SetPlane panel = plane_upright((Point3){100, 200, 0}, RADIANS(30));
    Point3 on_panel = {100 + 80 * cos(RADIANS(30)), 200 - 80 * sin(RADIANS(30)), 140};
    mark = pixel_of(&camera, on_panel, 0);
    cr_assert(resected_on_plane(&result, &PHOTO, &mark, &panel, &place));
    NEAR(place.first_mm, 80, 1e-7);
    NEAR(place.second_mm, 140, 1e-7);
    double tall;
    ResectSpread spread;
    PixelMark foot = pixel_of(&camera, (Point3){300, 100, 5}, 0);
    PixelMark head = pixel_of(&camera, (Point3){300, 100, 284}, 0);
    cr_assert(resected_tall(&result, &PHOTO, &foot, &head, 5, &tall, &spread));
    NEAR(tall, 279, 1e-6);
}

Test(resected, no_place_above_the_horizon_or_behind) {
    PhotoCamera camera = known_camera();
    ResectResult result = exact_result(&camera);
    SetPlace place;
    PixelMark sky = {3000, 100, 2};
    cr_assert_not(resected_on_level(&result, &PHOTO, &sky, 0, &place));
    cr_assert_not(resected_on_upright(&result, &PHOTO, &sky, -1900, &place));
    double tall;
    ResectSpread spread;
    cr_assert_not(resected_tall(&result, &PHOTO, &sky, &sky, 0, &tall, &spread));
}

/* Rule 33: a drawn foot moves its place by (distance from the lens) / (mm under the horizon) for each mm; on
 * the sensor of a level camera, back = H v / y, so that a pixel is worth back^2 / (H v s). */
Test(resected, a_marks_own_spread_is_the_closed_form) {
    PhotoCamera camera = {.lens = {0, -2000, 400}, .focal_mm = 50, .image_mm = 50};
    ResectResult result = exact_result(&camera);
    PixelMark mark = pixel_of(&camera, (Point3){250, 500, 0}, 3);
    SetPlace place;
    cr_assert(resected_on_level(&result, &PHOTO, &mark, 0, &place));
    double s = 6000 / 36.0, back = 2500, per_px = back * back / (400 * 50 * s);
    NEAR(place.second.sigma, 3 * per_px, 1e-9);
    /* across = x back / v: by its own pixel, and by the back */
    NEAR(place.first.sigma, 3 * hypot(back / (50 * s), 250 / back * per_px), 1e-9);
    NEAR(place.second.likely, place.second.sigma, 1e-9);
    NEAR(place.second.sure, 2 * place.second.sigma, 1e-9);
    NEAR(place.covariance[0][1], 9 * 250 / back * per_px * per_px, 1e-9);
    /* an upright at that place: height is depth / (v s) for each pixel of its head, and as much of its foot
     * with what that moves its depth; the head as high as the lens does not feel the depth */
    PixelMark foot = pixel_of(&camera, (Point3){0, 500, 0}, 3),
              head = pixel_of(&camera, (Point3){0, 500, 400}, 3);
    double tall;
    ResectSpread spread;
    cr_assert(resected_tall(&result, &PHOTO, &foot, &head, 0, &tall, &spread));
    NEAR(tall, 400, 1e-9);
    NEAR(spread.sigma, 3 * back / (50 * s), 1e-9);
}

Test(resected, moves_in_the_workshop) {
    PhotoCamera stood = {.lens = {30, -2100, 380},
                         .turn_rad = RADIANS(3),
                         .tilt_rad = RADIANS(4),
                         .roll_rad = RADIANS(1),
                         .focal_mm = 51};
    PhotoCamera planned = {.lens = {-20, -2000, 400}, .tilt_rad = RADIANS(5), .focal_mm = 50};
    ResectResult result = exact_result(&stood);
    for (int i = 0; i < RESECT_UNKNOWN_COUNT; i++)
        result.spread[i] = (ResectSpread){.sigma = 1, .freedoms = INFINITY, .likely = 1, .sure = 2};
    for (int i = 0; i < 3; i++)
        result.covariance[i][i] = 1;
    CameraMoves moves;
    resected_moves(&result, &planned, &moves);
    NEAR(moves.nearer.by, 100, 1e-12);
    NEAR(moves.right.by, -50, 1e-12);
    NEAR(moves.up.by, 20, 1e-12);
    NEAR(DEGREES(moves.turn_right.by), -3, 1e-12);
    NEAR(DEGREES(moves.tilt_down.by), 1, 1e-12);
    NEAR(DEGREES(moves.roll_clockwise.by), -1, 1e-12);
    NEAR(moves.lens.by, -1, 1e-12);
    NEAR(moves.nearer.spread.sure, 2, 1e-9);
    cr_assert(moves.nearer.needed && moves.right.needed && moves.up.needed);
    cr_assert_not(moves.lens.needed);
    /* a planned camera that looks along +across: nearer is to the right of the set */
    planned.turn_rad = RADIANS(90);
    planned.lens = (Point3){130, -2100, 380};
    resected_moves(&result, &planned, &moves);
    NEAR(moves.nearer.by, 100, 1e-9);
    NEAR(moves.right.by, 0, 1e-9);
}

/* --- The truth within one sigma and two ----------------------------------------------------------------- */

enum { KINDS = 7 };
typedef struct Tally {
    size_t count, likely[KINDS], sure[KINDS];
} Tally;

static void tally_one(Tally *tally, int kind, double off, ResectSpread spread) {
    tally->likely[kind] += fabs(off) <= spread.likely;
    tally->sure[kind] += fabs(off) <= spread.sure;
}

static void photograph_of(uint64_t *state, const PhotoCamera *camera, double noise_px, ResectMark *marks,
                          size_t count) {
    for (size_t i = 0; i < count; i++) {
        Point3 at = {uniform(state, -500, 500), uniform(state, -200, 900), uniform(state, 0, 450)};
        marks[i] = mark_of(camera, &PHOTO, at, noise_px, state);
    }
}

/* Marks of a thing that took no part, seen with the found camera. The lens is known to 3 %, the radial term
 * to 1 % of the corner. */
static void try_one(uint64_t *state, Tally *tally) {
    PhotoCamera camera = known_camera();
    const double corner = hypot(36, 24) / 2;
    camera.focal_mm = 50 * exp(normal(state, 0.03));
    cr_assert(photo_focus(&camera, EYES));
    camera.radial = normal(state, 0.01) * pow(camera.image_mm / corner, 2);
    double noise = uniform(state, 1, 5);
    ResectMark marks[10];
    photograph_of(state, &camera, noise, marks, 10);
    ResectProblem problem = {.photo = PHOTO,
                             .marks = marks,
                             .count = 10,
                             .focal_mm = 50,
                             .focal_sigma = 0.03,
                             .radial_sigma = 0.01,
                             .has_focus = true,
                             .focus = EYES};
    ResectResult result;
    resect(&problem, &result);
    cr_assert(result.status == RESECTED && result.radial_sought);
    if (result.mismarked_count > 0 || result.mismark_unclear) return; /* one in two hundred, rule 68 */
    Point3 foot_at = {uniform(state, -300, 300), uniform(state, 0, 500), 0}, head_at = foot_at;
    head_at.up_mm = 280;
    ResectMark foot = mark_of(&camera, &PHOTO, foot_at, noise, state);
    ResectMark head = mark_of(&camera, &PHOTO, head_at, noise, state);
    PixelMark foot_mark = {foot.x_px, foot.y_px, 0}, head_mark = {head.x_px, head.y_px, noise};
    SetPlace place;
    cr_assert(resected_on_level(&result, &PHOTO, &foot_mark, 0, &place));
    tally_one(tally, 0, place.first_mm - foot_at.across_mm, place.first);
    tally_one(tally, 1, place.second_mm - foot_at.back_mm, place.second);
    cr_assert(resected_on_upright(&result, &PHOTO, &head_mark, head_at.back_mm, &place));
    tally_one(tally, 2, place.first_mm - head_at.across_mm, place.first);
    tally_one(tally, 3, place.second_mm - head_at.up_mm, place.second);
    double tall;
    ResectSpread spread;
    cr_assert(resected_tall(&result, &PHOTO, &foot_mark, &head_mark, 0, &tall, &spread));
    tally_one(tally, 4, tall - 280, spread);
    PhotoCamera planned = known_camera();
    planned.turn_rad = RADIANS(30); /* any direction of the moves */
    CameraMoves moves, truly;
    resected_moves(&result, &planned, &moves);
    ResectResult truth = exact_result(&camera);
    resected_moves(&truth, &planned, &truly);
    tally_one(tally, 5, moves.nearer.by - truly.nearer.by, moves.nearer.spread);
    tally_one(tally, 6, moves.right.by - truly.right.by, moves.right.spread);
    tally->count++;
}

Test(resected, spreads_are_honest) {
    static const char *const NAMES[KINDS] = {"across", "back",   "across upright", "up",
                                             "tall",   "nearer", "right"};
    uint64_t state = 3;
    Tally tally = {0};
    for (int i = 0; i < 2000; i++)
        try_one(&state, &tally);
    cr_assert_gt(tally.count, 1950);
    for (int kind = 0; kind < KINDS; kind++) {
        double likely = binomial_off(tally.likely[kind], tally.count, 0.6827);
        double sure = binomial_off(tally.sure[kind], tally.count, 0.9545);
        /* 14 shares, each within 3.5 standard deviations: one in a hundred and fifty by chance */
        cr_assert(fabs(likely) < 3.5 && fabs(sure) < 3.5, "%s: %zu and %zu of %zu (%+.1f, %+.1f)",
                  NAMES[kind], tally.likely[kind], tally.sure[kind], tally.count, likely, sure);
    }
}
