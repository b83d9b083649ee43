/* Photographs against the plan (docs/geometry.md, rules 70 to 74). The photographs are made here: points of a
 * set that is known, through a camera that is known, by rule 62; what is told must be that set and that
 * camera. */
#include "model/plan_to_set.h"
#include "photo/plan_to_lined_up.h"
#include "plan/points.h"
#include "report/plan_to_facts.h"
#include "see/set_to_seen.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

static const double IN = 25.4;
static const Photograph IMAGE = {6000, 4000, 23.5};

static Arena *arena;

static void setup(void) {
    arena = arena_new();
}

static void teardown(void) {
    arena_free(arena);
}

TestSuite(lined_up, .init = setup, .fini = teardown);

/* --- sets that stand otherwise ------------------------------------------------------------------------- */

static Spec fog_with(const char *words);

/* The post so much nearer to the camera than planned. */
static const char *post_nearer(double by_in) {
    const Plan *plan = fog_with("").plan;
    const double from_front = plan->things[plan_find(plan, "post")].at.back_mm - plan_datum(plan).front_mm;
    return arena_format(arena, "built: {post: {from front: %s in}}\n",
                        number_fixed(arena, from_front / IN - by_in, 6));
}

/* --- photographs of known sets ------------------------------------------------------------------------- */

/* How the camera stood, from where it was planned. */
typedef struct Stood {
    double nearer_mm, right_mm, up_mm, turn_deg, tilt_deg, roll_deg, focal_mm;
} Stood;

static PhotoCamera camera_of(const Plan *plan, const Stood *stood) {
    const PlanShot *shot = &plan->shots[0];
    PhotoCamera camera = photo_camera_of(&shot->cameras[0].camera);
    camera.lens.back_mm += stood->nearer_mm;
    camera.lens.across_mm += stood->right_mm;
    camera.lens.up_mm += stood->up_mm;
    camera.turn_rad = RADIANS(stood->turn_deg);
    camera.tilt_rad += RADIANS(stood->tilt_deg);
    camera.roll_rad = RADIANS(stood->roll_deg);
    camera.focal_mm = stood->focal_mm;
    cr_assert(photo_focus(&camera, shot->focus));
    return camera;
}

static unsigned long long random_state;

/* Evenly over 0 to 1: a linear congruential generator (Knuth's MMIX constants, from memory). */
static double random_share(void) {
    random_state = random_state * 6364136223846793005ULL + 1442695040888963407ULL;
    return (double)(random_state >> 11) / 9007199254740992.0;
}

static double random_normal(void) {
    const double a = random_share(), b = random_share();
    return sqrt(-2 * log(1 - a)) * cos(2 * PI * b);
}

static void mark(Buffer *out, const Plan *plan, const PhotoCamera *camera, const char *path,
                 double sigma_px) {
    size_t count;
    const PlanPoint *points = plan_points(arena, plan, 0, &count);
    for (size_t i = 0; i < count; i++) {
        double x, y;
        if (!points[i].on_set || strcmp(plan_point_path(arena, &points[i]), path) != 0) continue;
        cr_assert(photo_project(camera, &IMAGE, points[i].at, &x, &y, NULL));
        x += sigma_px > 0 ? sigma_px * random_normal() : 0;
        y += sigma_px > 0 ? sigma_px * random_normal() : 0;
        buffer_format(out, "%s%s: [%s px, %s px]", out->count > 0 ? ", " : "", path,
                      number_fixed(arena, x, 4), number_fixed(arena, y, 4));
        return;
    }
    cr_assert(false, "no point %s", path);
}

static const char *const usual[] = {"otter.foot",
                                    "otter.head",
                                    "heron.foot",
                                    "heron.head",
                                    "ferry.front left foot",
                                    "ferry.front left top",
                                    "ferry.rear left foot",
                                    "post.foot",
                                    "post.top",
                                    "far bank.top left",
                                    "far bank.top right",
                                    "far bank.foot left",
                                    "far bank.foot right",
                                    NULL};

/* Things with two marks each, and of the ferry and the far bank one side. */
static const char *const few_of_each[] = {"otter.foot",
                                          "otter.head",
                                          "heron.foot",
                                          "heron.head",
                                          "post.foot",
                                          "post.top",
                                          "ferry.front left foot",
                                          "ferry.front left top",
                                          "ferry.rear left foot",
                                          "far bank.foot right",
                                          "far bank.top right",
                                          NULL};

static const char *marks_of(const Plan *plan, const Stood *stood, const char *const *paths, double sigma_px) {
    const PhotoCamera camera = camera_of(plan, stood);
    Buffer out = buffer_new(arena);
    for (size_t i = 0; paths[i]; i++)
        mark(&out, plan, &camera, paths[i], sigma_px);
    return buffer_text(&out);
}

static Spec fog_with(const char *words) {
    Spec spec = spec_of(arena, FERRY_BOOK, arena_format(arena, "%s%s", FOG_SCENE, words));
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    return spec;
}

/* With the photograph as found in the book's folder. */
static void line_up(Spec *spec, unsigned wide_px, unsigned tall_px) {
    FoundFile *found = ARENA_ARRAY(arena, FoundFile, spec->scene->wanted_count);
    found[spec->scene->photos[0].image] =
        (FoundFile){.found = true, .width_px = wide_px, .height_px = tall_px};
    spec->plan->found = found;
    spec->plan->lined_up = plan_to_lined_up(arena, spec->plan, &spec->diagnostics);
}

/* The scene with a photograph, as found in the book's folder, lined up. */
static Spec with_photo(const char *words, const char *of_photo, const char *marks, unsigned wide_px,
                       unsigned tall_px) {
    Spec spec = fog_with(arena_format(arena, "%sphotos: {first: {image: p.jpg, body: test, %smarks: {%s}}}\n",
                                      words, of_photo, marks));
    line_up(&spec, wide_px, tall_px);
    return spec;
}

static const LinedPhoto *lined(Spec *spec) {
    cr_assert(spec->plan->lined_up, "%s", spec_words(arena, spec));
    return &spec->plan->lined_up->photos[0];
}

static const LinedThing *thing_of(const Spec *spec, const LinedPhoto *photo, const char *name) {
    for (size_t i = 0; i < photo->thing_count; i++) {
        if (strcmp(spec->scene->things[photo->things[i].thing].name, name) == 0) return &photo->things[i];
    }
    cr_assert(false, "%s is not there", name);
    return NULL;
}

static const Stood elsewhere = {.nearer_mm = 60,
                                .right_mm = 25,
                                .up_mm = -12,
                                .turn_deg = 0.8,
                                .tilt_deg = 0.4,
                                .roll_deg = 0.6,
                                .focal_mm = 40};

/* --- the camera ---------------------------------------------------------------------------------------- */

Test(lined_up, the_camera_goes_back_to_where_it_was_planned) {
    const Spec plain = fog_with("");
    Spec spec = with_photo("", "lens: 40 mm, ", marks_of(plain.plan, &elsewhere, usual, 0), 6000, 4000);
    const LinedPhoto *photo = lined(&spec);
    cr_assert_eq(spec.diagnostics.warnings, 0, "%s", spec_words(arena, &spec));
    cr_assert_float_eq(photo->moves.nearer.by, -60, 0.05);
    cr_assert_float_eq(photo->moves.right.by, -25, 0.05);
    cr_assert_float_eq(photo->moves.up.by, 12, 0.05);
    cr_assert_float_eq(DEGREES(photo->moves.turn_right.by), -0.8, 0.001);
    cr_assert_float_eq(DEGREES(photo->moves.tilt_down.by), -0.4, 0.001);
    cr_assert_float_eq(fabs(DEGREES(photo->moves.roll_clockwise.by)), 0.6, 0.001);
    cr_assert(photo->camera_first);
    for (size_t i = 0; i < photo->thing_count; i++)
        cr_assert(!photo->things[i].moves && !photo->things[i].turns && !photo->things[i].resizes);
}

Test(lined_up, an_unknown_lens_is_worked_out) {
    const Spec plain = fog_with("");
    Spec spec = with_photo("", "", marks_of(plain.plan, &elsewhere, usual, 0), 6000, 4000);
    cr_assert_eq(lined(&spec)->focal_from, FOCAL_SOUGHT);
    cr_assert_float_eq(lined(&spec)->found->camera.focal_mm, 40, 0.01);
}

Test(lined_up, the_photograph_says_its_lens) {
    const Spec plain = fog_with("");
    Spec spec = with_photo("", "", marks_of(plain.plan, &elsewhere, usual, 0), 6000, 4000);
    FoundFile *found = (FoundFile *)spec.plan->found;
    found[spec.scene->photos[0].image].focal_mm = 40;
    spec.plan->lined_up = plan_to_lined_up(arena, spec.plan, &spec.diagnostics);
    cr_assert_eq(lined(&spec)->focal_from, FOCAL_OF_METADATA);
    cr_assert_float_eq(lined(&spec)->focal_mm, 40, 1e-12);
}

/* --- things -------------------------------------------------------------------------------------------- */

/* The issue's own example: a piece 2 1/4 in off in a second spec is told to move back by 2 1/4 in. */
Test(lined_up, a_piece_put_too_near_is_told_to_move_back) {
    const Spec moved = fog_with(post_nearer(2.25));
    Spec spec = with_photo("", "lens: 40 mm, ", marks_of(moved.plan, &elsewhere, usual, 0), 6000, 4000);
    const LinedPhoto *photo = lined(&spec);
    const LinedThing *thing = thing_of(&spec, photo, "post");
    cr_assert(thing->moves);
    cr_assert_float_eq(thing->wanted.back_mm - thing->now.back_mm, 2.25 * IN, 0.2);
    cr_assert_float_eq(thing->wanted.across_mm, thing->now.across_mm, 0.2);
    for (size_t i = 0; i < photo->thing_count; i++)
        cr_assert(&photo->things[i] == thing || !photo->things[i].moves, "%s",
                  spec.scene->things[photo->things[i].thing].name);
}

Test(lined_up, a_piece_too_tall_and_turned_is_told_so) {
    const Spec moved = fog_with("built: {post: {tall: 17 1/2 in}, far bank: {turn: 6 deg left}}\n");
    Spec spec = with_photo("", "lens: 40 mm, ", marks_of(moved.plan, &elsewhere, usual, 0), 6000, 4000);
    const LinedThing *post = thing_of(&spec, lined(&spec), "post");
    const LinedThing *bank = thing_of(&spec, lined(&spec), "far bank");
    cr_assert(post->resizes && !post->moves);
    cr_assert_float_eq(post->tall_wanted_mm - post->tall_now_mm, -1 * IN, 0.1);
    cr_assert(bank->turns);
    cr_assert_float_eq(DEGREES(bank->turn_now_rad), 6, 0.05);
    cr_assert_float_eq(bank->turn_wanted_rad, 0, 1e-12);
}

/* What is told as built is where it is: nothing is to be moved but to the plan. */
Test(lined_up, what_was_built_helps_to_find_the_camera) {
    const char *told = "built: {post: {from front: 71.875 in}, ferry: {right: 14 in}}\n";
    const Spec moved = fog_with(told);
    Spec spec = with_photo(told, "lens: 40 mm, ", marks_of(moved.plan, &elsewhere, usual, 0), 6000, 4000);
    const LinedPhoto *photo = lined(&spec);
    for (size_t i = 0; i < photo->mark_count; i++)
        cr_assert(!photo->marks[i].moved, "%s", photo->marks[i].mark->name);
    cr_assert_float_eq(photo->found->rms_px, 0, 0.01);
    cr_assert(thing_of(&spec, photo, "post")->moves);
}

/* With a camera that stays, what is told must bring each thing to where the drawing, laid on, has it. */
Test(lined_up, a_camera_that_stays_moves_the_set) {
    const Spec plain = fog_with("");
    Spec spec =
        with_photo("", "lens: 40 mm, keep: camera, ", marks_of(plain.plan, &elsewhere, usual, 0), 6000, 4000);
    const LinedPhoto *photo = lined(&spec);
    const PlanShot *shot = &spec.plan->shots[0];
    cr_assert(!photo->camera_first);
    static const char *const names[] = {"heron", "post", "otter"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        const LinedThing *thing = thing_of(&spec, photo, names[i]);
        const PlanView drawn =
            plan_view(&spec.plan->things[thing->thing], &shot->cameras[0].camera, &shot->picture);
        Point3 at = thing->wanted;
        double x, y, drawn_x, drawn_y, head_x, head_y;
        cr_assert(photo_project(&photo->found->camera, &photo->image, at, &x, &y, NULL));
        drawn_x = photo->scale.left_px + photo->scale.px_per_mm * drawn.foot_x_mm;
        drawn_y = photo->scale.low_px - photo->scale.px_per_mm * drawn.foot_y_mm;
        cr_assert_float_eq(x, drawn_x, 0.5, "%s", names[i]);
        cr_assert_float_eq(y, drawn_y, 0.5, "%s", names[i]);
        at.up_mm += thing->tall_wanted_mm;
        cr_assert(photo_project(&photo->found->camera, &photo->image, at, &head_x, &head_y, NULL));
        cr_assert_float_eq(y - head_y, photo->scale.px_per_mm * drawn.tall_mm, 0.01 * (y - head_y), "%s",
                           names[i]);
    }
}

/* From a camera as planned but for its lens, the crop is the planned frame. */
Test(lined_up, the_crop_is_the_planned_frame) {
    const Spec plain = fog_with("");
    const Stood as_planned = {.focal_mm = 40};
    Spec spec = with_photo("", "lens: 40 mm, ", marks_of(plain.plan, &as_planned, usual, 0), 6000, 4000);
    const LinedPhoto *photo = lined(&spec);
    const PlanShot *shot = &spec.plan->shots[0];
    const PageArea *frame = &shot->areas.frame;
    const Point3 corners[2] = {
        camera_ray(&shot->cameras[0].camera, &shot->picture, frame->left_mm, frame->low_mm),
        camera_ray(&shot->cameras[0].camera, &shot->picture, frame->right_mm, frame->high_mm)};
    const PhotoCamera camera = camera_of(plain.plan, &as_planned);
    double x[2], y[2];
    for (size_t i = 0; i < 2; i++) {
        const Point3 far = {camera.lens.across_mm + 3000 * corners[i].across_mm,
                            camera.lens.back_mm + 3000 * corners[i].back_mm,
                            camera.lens.up_mm + 3000 * corners[i].up_mm};
        cr_assert(photo_project(&camera, &photo->image, far, &x[i], &y[i], NULL));
    }
    cr_assert_float_eq(photo->crop_left_px, x[0], 2);
    cr_assert_float_eq(photo->crop_bottom_px, y[0], 2);
    cr_assert_float_eq(photo->crop_right_px, x[1], 2);
    cr_assert_float_eq(photo->crop_top_px, y[1], 2);
}

/* --- what to believe ----------------------------------------------------------------------------------- */

/* Marks scattered by 2 px: a thing that stands right is said to be, a thing that is 2 1/4 in off is found. */
Test(lined_up, scattered_marks_move_nothing_that_stands_right) {
    enum { TRIALS = 60 };
    const Spec right = fog_with(""), moved = fog_with(post_nearer(2.25));
    size_t things = 0, false_alarms = 0, found = 0;
    random_state = 7;
    for (int trial = 0; trial < TRIALS; trial++) {
        Spec spec = with_photo("", "lens: 40 mm, ", marks_of(right.plan, &elsewhere, usual, 2), 6000, 4000);
        const LinedPhoto *photo = lined(&spec);
        for (size_t i = 0; i < photo->thing_count; i++, things++)
            false_alarms += photo->things[i].moves;
        Spec off = with_photo("", "lens: 40 mm, ", marks_of(moved.plan, &elsewhere, usual, 2), 6000, 4000);
        const LinedThing *post = thing_of(&off, lined(&off), "post");
        const double by = post->wanted.back_mm - post->now.back_mm;
        found += post->moves && fabs(by - 2.25 * IN) < 4 * post->back.sigma + 2.5;
    }
    cr_assert_leq((double)false_alarms, 0.1 * (double)things, "%d of %d", (int)false_alarms, (int)things);
    cr_assert_geq(found, TRIALS * 9 / 10, "%d of %d", (int)found, TRIALS);
}

Test(lined_up, a_mismarked_point_is_named) {
    const Spec plain = fog_with("");
    const char *marks = marks_of(plain.plan, &elsewhere, usual, 0);
    const char *at = strstr(marks, "far bank.top right: [");
    Buffer wrong = buffer_new(arena);
    buffer_format(&wrong, "%s", arena_copy(arena, marks, (size_t)(at - marks)));
    buffer_format(&wrong, "far bank.top right: [4000 px, 1100 px]%s", strchr(at, ']') + 1);
    Spec spec = with_photo("", "lens: 40 mm, ", buffer_text(&wrong), 6000, 4000);
    lined(&spec);
    const char *said = spec_words(arena, &spec);
    cr_assert_eq(spec.diagnostics.warnings, 1, "%s", said);
    cr_assert(strstr(said, "`far bank.top right` is marked"), "%s", said);
    cr_assert(strstr(said, "warning: "), "%s", said);
}

/* A set of which little is marked, with a hare that was moved 2 in, a mark 60 px off, and a trunk that is
 * told 8 in from where it stands: while the trunk pulls, the letterbox seems not to fit either; without it,
 * it does. */
static const char ORCHARD_BOOK[] = "book: The Chestnut Post\n"
                                   "page: {wide: 10 in, tall: 6 in, bleed: 1/8 in}\n"
                                   "cast: {mole: {tall: 9 in, eyes: 7 3/4 in}, hare: {tall: 12 in}}\n"
                                   "cameras: {hired: {sensor: 36 x 24 mm}, test: {sensor: 23.5 x 15.6 mm}}\n";
static const char ORCHARD_SCENE[] =
    "scene: Letters in the orchard\n"
    "pages: 4-5\n"
    "drawing: {wide: 400 mm}\n"
    "mark: {puppet: mole, drawn: {foot: [150 mm, 30 mm], tall: 70 mm}}\n"
    "camera: {body: hired, lens: 60 mm, height: 11 in}\n"
    "ground: {front: -977.9 mm, rear: 40 1/2 in}\n"
    "base: {lip: 2 in}\n"
    "puppets: {hare: {drawn: {foot: [250 mm, 40 mm]}, turn: 25 deg left}}\n"
    "pieces:\n"
    "  letterbox: {tall: 8 in, wide: 4 in, deep: 4 in, at: {across: 6 1/2 in, back: -3 in}}\n"
    "  trunk: {shape: post, tall: 20 in, thick: 3 in, at: {across: -10 in, back: 12 in}}\n"
    "  jar: {shape: cone, wide: 2 in, tall: 3 in, atop: letterbox, at: {across: 6 1/2 in, back: -3 in}}\n"
    "  fence: {shape: post, tall: 5 in, thick: 1/2 in, at: {across: -4 in, back: 22 in}}\n"
    "backdrop: {at: {back: 40 in}}\n"
    "built: {letterbox: {wide: 4 1/2 in}, trunk: {from front: 40 1/2 in, left: 6 1/2 in, tall: 19 1/2 in}}\n"
    "photos: {first: {image: p.jpg, body: test, lens: 35 mm, marks: {"
    "mole.foot: [2407.1 px, 2643.1 px], "
    "mole.head: [2394.8 px, 1684.5 px], "
    "hare.foot: [3724.3 px, 2454.1 px], "
    "hare.head: [3722.8 px, 1352.5 px], "
    "letterbox.front left foot: [2857.1 px, 2716.1 px], "
    "letterbox.front right foot: [3364.4 px, 2710.5 px], "
    "letterbox.front left top: [2909.6 px, 1815.1 px], "
    "letterbox.front right top: [3358.5 px, 1811.8 px], "
    "trunk.foot: [2005.4 px, 2533.2 px], "
    "trunk.top: [1977.4 px, 627.4 px], "
    "jar.tip: [3098.3 px, 1469.8 px], "
    "fence.top: [2154.5 px, 1962.4 px]"
    "}}}\n";

Test(lined_up, only_what_does_not_fit_is_left_out) {
    Spec spec = spec_of(arena, ORCHARD_BOOK, ORCHARD_SCENE);
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    line_up(&spec, 6000, 4000);
    const LinedPhoto *photo = lined(&spec);
    for (size_t i = 0; i < photo->mark_count; i++) {
        const char *name = photo->marks[i].mark->name;
        cr_expect_eq(photo->marks[i].moved, text_starts(name, "trunk") || text_starts(name, "hare"), "%s",
                     name);
    }
    cr_expect_eq(photo->found->mismarked_count, 1);
}

/* Where most of what is marked was moved, what stands right may as well be what is wrong. */
Test(lined_up, few_marks_that_agree_are_warned_of) {
    static const char *const on_base[] = {"base.rear left", "base.rear right", "ground.rear left",
                                          "ground.rear right", NULL};
    const Stood far = {.nearer_mm = -1500, .focal_mm = 40};
    const Spec moved =
        fog_with("built: {post: {from front: 60 in}, heron: {from front: 65 in}, ferry: {right: 14 in}}\n");
    const char *marks = marks_of(moved.plan, &far, few_of_each, 0);
    Spec few = with_photo("", "lens: 40 mm, ", marks, 6000, 4000);
    lined(&few);
    const char *said = spec_words(arena, &few);
    cr_expect(strstr(said, " of the 11 marks in photograph `first` agree on a camera"), "%s", said);
    Spec told =
        with_photo("", "lens: 40 mm, ",
                   arena_format(arena, "%s, %s", marks, marks_of(moved.plan, &far, on_base, 0)), 6000, 4000);
    lined(&told);
    said = spec_words(arena, &told);
    cr_expect_null(strstr(said, "agree on a camera"), "%s", said);
}

/* --- what is refused ----------------------------------------------------------------------------------- */

static const char *refusal(const char *of_photo, const char *marks, unsigned wide_px, unsigned tall_px) {
    Spec spec = with_photo("", of_photo, marks, wide_px, tall_px);
    cr_assert_null(spec.plan->lined_up);
    cr_assert_gt(spec.diagnostics.errors, 0);
    return spec_words(arena, &spec);
}

static void expect_refusal(const char *said, const char *wanted) {
    cr_expect(strstr(said, wanted), "%s\nin\n%s", wanted, said);
}

Test(lined_up, marks_that_cannot_be_are_faults) {
    const char *said = refusal("",
                               "otter.tail: [1 px, 2 px], ferry: [1 px, 2 px], post.top: [6001 px, 20 px], "
                               "post.foot: [20 px, -1 px]",
                               6000, 4000);
    expect_refusal(said, "`otter` has no point `tail`");
    expect_refusal(said, "it has `foot`, `head`, `eyes`");
    expect_refusal(said, "which point of `ferry`?");
    expect_refusal(said, "`post.top` is marked outside the photograph, which is 6000 px wide");
    expect_refusal(said, "`post.foot` is marked outside the photograph, which is 4000 px tall");
}

Test(lined_up, a_cut_photograph_is_a_fault) {
    expect_refusal(refusal("", "mark: [1 px, 2 px]", 3000, 3000),
                   "the photograph is 3000 x 3000 px, but the sensor of `test` is 23.5 x 15.6 mm");
}

Test(lined_up, what_cannot_be_told_is_refused_with_what_would_help) {
    const Spec plain = fog_with("");
    static const char *const few[] = {"otter.foot", "otter.head", "post.top", NULL};
    static const char *const line[] = {"otter.foot", "otter.head", "otter.eyes", "mark", NULL};
    expect_refusal(refusal("lens: 40 mm, ", marks_of(plain.plan, &elsewhere, few, 0), 6000, 4000),
                   "mark at least 4 points");
    expect_refusal(refusal("", marks_of(plain.plan, &elsewhere, few, 0), 6000, 4000), "or give the `lens`");
    const char *on_line = refusal("lens: 40 mm, ", marks_of(plain.plan, &elsewhere, line, 0), 6000, 4000);
    cr_expect(strstr(on_line, "one line") || strstr(on_line, "too few"), "%s", on_line);
}

/* The usual marks with a moved post, read otherwise: right to `wide_px` less x, and so on. */
typedef struct Reading {
    bool swaps, from_right, from_below;
    const char *said;
} Reading;

static const char *read_otherwise(const char *marks, const Reading *reading) {
    Buffer out = buffer_new(arena);
    for (const char *at = marks; *at;) {
        const char *open = strchr(at, '['), *close = strchr(at, ']');
        if (!open) break;
        char *end;
        double x = strtod(open + 1, &end), y = strtod(strchr(end, ',') + 1, NULL);
        const double by_x = reading->swaps ? y : x, by_y = reading->swaps ? x : y;
        x = reading->from_right ? IMAGE.wide_px - by_x : by_x;
        y = reading->from_below ? IMAGE.tall_px - by_y : by_y;
        buffer_format(&out, "%s[%s px, %s px]", arena_copy(arena, at, (size_t)(open - at)),
                      number_fixed(arena, x, 4), number_fixed(arena, y, 4));
        at = close + 1;
    }
    return buffer_text(&out);
}

/* What marks in a viewer invite to mistake is told by its name, also where a thing was moved besides. */
Test(lined_up, slips_are_named) {
    static const Reading readings[] = {
        {.from_right = true, .said = "the marks fit a mirrored photograph only"},
        {.from_below = true, .said = "if their second numbers count from the photograph's lower edge"},
        {.from_right = true, .from_below = true, .said = "only if it stands on its head"},
        {.swaps = true, .said = "only if their two numbers change places"}};
    const Spec moved = fog_with(post_nearer(2.25));
    /* in the square of the photograph, so that numbers may change places */
    static const char *const inner[] = {"otter.foot",
                                        "otter.head",
                                        "otter.eyes",
                                        "heron.foot",
                                        "heron.head",
                                        "post.foot",
                                        "ferry.front left foot",
                                        "ferry.front left top",
                                        "post.top",
                                        "ferry.rear left foot",
                                        NULL};
    const char *marks = marks_of(moved.plan, &elsewhere, inner, 0.5);
    for (size_t i = 0; i < sizeof readings / sizeof *readings; i++)
        expect_refusal(refusal("lens: 40 mm, ", read_otherwise(marks, &readings[i]), 6000, 4000),
                       readings[i].said);
}

Test(lined_up, another_lens_than_stated_is_named) {
    const Spec moved = fog_with(post_nearer(2.25));
    const char *marks = marks_of(moved.plan, &elsewhere, usual, 0.5);
    const char *said = refusal("lens: 85 mm, ", marks, 6000, 4000);
    expect_refusal(said, "the marks do not fit a lens of 85 mm; they would fit one of ");
    double fits = strtod(strstr(said, "one of ") + 7, NULL);
    cr_expect_float_eq(fits, 40, 2, "%s", said);
}

/* Left and right of one thing exchanged: it would stand with its back to the camera. */
Test(lined_up, left_and_right_of_a_thing_may_be_exchanged) {
    static const char *const true_names[] = {"far bank.foot left", "far bank.foot right", "far bank.top left",
                                             "far bank.top right", NULL};
    static const char *const others[] = {
        "otter.foot",           "otter.head", "heron.foot", "heron.head", "ferry.front left foot",
        "ferry.front left top", "post.foot",  "post.top",   NULL};
    const Spec plain = fog_with("");
    Buffer marks = buffer_new(arena);
    buffer_format(&marks, "%s", marks_of(plain.plan, &elsewhere, others, 0));
    for (size_t i = 0; i < 4; i++) {
        const char *const name[] = {true_names[i], NULL};
        const char *one = marks_of(plain.plan, &elsewhere, name, 0);
        buffer_format(&marks, ", %s%s", true_names[i ^ 1], strchr(one, ':'));
    }
    Spec spec = with_photo("", "lens: 40 mm, ", buffer_text(&marks), 6000, 4000);
    lined(&spec);
    const char *said = spec_words(arena, &spec);
    cr_assert(strstr(said, "left and right of `far bank` seem to be exchanged"), "%s", said);
}

/* A mark's camera that came out as planned but for a hair is not to be moved. */
Test(lined_up, a_camera_off_by_a_hair_stays) {
    const Spec plain = fog_with("");
    const Stood nearly = {.nearer_mm = 1, .right_mm = -1, .turn_deg = 0.04, .focal_mm = 40};
    Spec spec = with_photo("", "lens: 40 mm, ", marks_of(plain.plan, &nearly, usual, 0), 6000, 4000);
    const LinedPhoto *photo = lined(&spec);
    cr_assert(!photo->camera_moves && !photo->camera_first);
    const Facts *facts = plan_to_facts(arena, spec.plan);
    cr_assert_str_eq(fact_text(arena, facts, facts_find(facts, "moves first", "order")),
                     "nothing: all that is marked stands right");
}

/* --- the report ---------------------------------------------------------------------------------------- */

Test(lined_up, the_report_tells_it) {
    const Spec moved = fog_with(post_nearer(2.25));
    Spec spec = with_photo("", "lens: 40 mm, ", marks_of(moved.plan, &elsewhere, usual, 0), 6000, 4000);
    lined(&spec);
    const Facts *facts = plan_to_facts(arena, spec.plan);
    cr_assert_float_eq(fact_number(facts_find(facts, "moves first", "nearer"), "by"), -60, 0.1);
    cr_assert_float_eq(fact_number(facts_find(facts, "moves first", "move post"), "back") / IN, 2.25, 0.1);
    cr_assert_str_eq(fact_text(arena, facts, facts_find(facts, "moves first", "order")),
                     "the camera, then post");
    cr_assert_float_eq(fact_number(facts_find(facts, "photo first", "lens"), NULL), 40, 0.1);
}

/* What moves of things are worth hangs on the camera standing as planned: it is never left out of the order.
 */
Test(lined_up, the_camera_is_in_the_order_when_it_moves) {
    const Spec moved = fog_with("built: {post: {from front: 60 in}, heron: {from front: 62 in}}\n");
    Spec spec = with_photo("", "lens: 40 mm, ", marks_of(moved.plan, &elsewhere, few_of_each, 0), 6000, 4000);
    const LinedPhoto *photo = lined(&spec);
    cr_assert(photo->camera_moves && !photo->camera_first);
    const Facts *facts = plan_to_facts(arena, spec.plan);
    const char *order = fact_text(arena, facts, facts_find(facts, "moves first", "order"));
    cr_assert(strstr(order, ", then the camera"), "%s", order);
}

/* The crop has no pixels that the photograph has not. */
Test(lined_up, a_crop_past_the_photograph_says_so) {
    const Spec plain = fog_with("");
    const Stood near = {.focal_mm = 70};
    static const char *const seen[] = {"otter.foot",
                                       "otter.head",
                                       "heron.foot",
                                       "heron.head",
                                       "post.foot",
                                       "post.top",
                                       "ferry.front left foot",
                                       "ferry.front left top",
                                       NULL};
    Spec spec = with_photo("", "lens: 70 mm, ", marks_of(plain.plan, &near, seen, 0), 6000, 4000);
    const LinedPhoto *photo = lined(&spec);
    cr_assert_lt(photo->crop_left_px, 0);
    spec.plan->seen = set_to_seen(arena, spec.plan, plan_to_set(arena, spec.plan), 300);
    const Facts *facts = plan_to_facts(arena, spec.plan);
    const Fact *missing = facts_find(facts, "photo first", "missing");
    cr_assert_float_eq(fact_number(missing, "left_px"), -photo->crop_left_px, 0.5);
    cr_assert_float_eq(fact_number(missing, "right_px"), photo->crop_right_px - 6000, 0.5);
    cr_assert_float_eq(fact_number(facts_find(facts, "photo first", "crop"), "left_px"), 0, 0);
    cr_assert_float_eq(fact_number(facts_find(facts, "photo first", "crop"), "right_px"), 6000, 0);
    const char *beyond = fact_text(arena, facts, facts_find(facts, "photo first", "beyond"));
    cr_assert(text_starts(beyond, "left not in the photograph, right not in the photograph, top "), "%s",
              beyond);
}
