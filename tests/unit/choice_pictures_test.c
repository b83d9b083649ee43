/* The allowed cameras side by side, and the squared-up drawing: what each shows, and what it does without.
 * Where the squared-up lines cross is held to OpenCV by tests/external/squared_check.py. */
#include "base/pixels.h"
#include "model/plan_to_set.h"
#include "picture/set_to_pictures.h"
#include "read_back.h"
#include "report/plan_to_facts.h"
#include "see/set_to_seen.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}

static void tear_down(void) {
    arena_free(arena);
}

TestSuite(choice, .init = set_up, .fini = tear_down);

typedef struct Shown {
    Plan *plan;
    const Facts *facts;
    Pictures pictures;
} Shown;

static Shown show_with(const char *book, const char *scene, const Pixels *drawing) {
    Spec spec = spec_of(arena, book, scene);
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    FoundFile *found = ARENA_ARRAY(arena, FoundFile, spec.scene->wanted_count);
    for (size_t i = 0; drawing && i < spec.scene->wanted_count; i++) {
        found[i].found = true;
        found[i].pixels = drawing;
    }
    spec.plan->found = found;
    Model *set = plan_to_set(arena, spec.plan);
    spec.plan->seen = set_to_seen(arena, spec.plan, set, 160);
    Shown shown = {.plan = spec.plan, .facts = plan_to_facts(arena, spec.plan)};
    shown.pictures = set_to_pictures(arena, spec.plan, set, shown.facts);
    return shown;
}

static Shown show(const char *scene) {
    return show_with(FERRY_BOOK, scene, NULL);
}

static const PictureFile *ending(const Shown *shown, const char *wanted) {
    for (size_t i = 0; i < shown->pictures.count; i++) {
        if (text_equal(shown->pictures.files[i].ending, wanted)) return &shown->pictures.files[i];
    }
    return NULL;
}

static unsigned color_at(const ReadBack *read, int x, int y) {
    const png_bytep p = read_back_at(read, x, y);
    return (unsigned)p[0] << 16 | (unsigned)p[1] << 8 | p[2];
}

static const char *replaced(const char *text, const char *part, const char *by) {
    const char *at = strstr(text, part);
    cr_assert(at);
    return arena_format(arena, "%.*s%s%s", (int)(at - text), text, by, at + strlen(part));
}

/* ---- The allowed cameras */

/* Frames of a spread: two beside each other, 560 px wide and 20 px apart, the first at (30, 96). */
static int cell_x(double x_mm, const Picture *picture, int cell) {
    const double drawn = picture->drawing_wide_mm / picture->trim_wide_mm,
                 wide = picture->frame_wide_mm * drawn;
    return (int)floor(30 + 580 * (cell % 2) + 560 * ((x_mm - picture->drawing_wide_mm / 2) / wide + 0.5));
}

static int cell_y(double y_mm, const Picture *picture) {
    const double drawn = picture->drawing_wide_mm / picture->trim_wide_mm,
                 tall = picture->frame_tall_mm * drawn;
    const double tall_px = floor(560 * picture->frame_tall_mm / picture->frame_wide_mm + 0.5);
    return (int)floor(96 + tall_px * (0.5 - (y_mm - picture->drawing_tall_mm / 2) / tall));
}

static size_t dots_near(const ReadBack *read, int x, int y) {
    size_t dots = 0;
    for (int j = -3; j <= 3; j++) {
        for (int i = -4; i <= 4; i++)
            dots += color_at(read, x + i, y + j) == 0xA01080;
    }
    return dots;
}

static size_t dots_at_head(const Shown *shown, const ReadBack *read, const char *thing, int cell) {
    const Picture *picture = &shown->plan->shots[0].picture;
    for (size_t i = 0; i < shown->facts->points.count; i++) {
        const FactPoint *point = &shown->facts->points.items[i];
        if (text_equal(point->thing, thing) && text_equal(point->point, "head"))
            return dots_near(read, cell_x(point->x_mm, picture, cell), cell_y(point->y_mm, picture));
    }
    cr_assert(false, "no head of %s", thing);
    return 0;
}

Test(choice, the_planned_outlines_lie_over_every_other_camera) {
    const Shown shown = show(FOG_SCENE);
    const PictureFile *file = ending(&shown, ".cameras.png");
    cr_assert_gt(shown.plan->shots[0].camera_count, 2);
    cr_assert(file);
    const ReadBack read = read_back(arena, file->bytes, file->count);
    cr_expect_eq(dots_at_head(&shown, &read, "otter", 0), 0, "the planned one is itself");
    cr_expect_eq(dots_at_head(&shown, &read, "heron", 0), 0);
    cr_expect_geq(dots_at_head(&shown, &read, "otter", 1), 3);
    cr_expect_geq(dots_at_head(&shown, &read, "heron", 1), 3);
    cr_expect(strstr(file->alt, "planned 85 mm"), "%s", file->alt);
    for (size_t i = 1; i < shown.plan->shots[0].camera_count; i++) {
        const char *height = length_feet_inches(arena, shown.plan->shots[0].cameras[i].camera.height_mm, 8);
        cr_expect(strstr(file->alt, height), "%s in %s", height, file->alt);
    }
}

Test(choice, one_camera_is_no_choice) {
    const Shown shown = show(replaced(FOG_SCENE, "allow:  {height: 9 to 11 in}", "allow: {lens: 85 mm}"));
    cr_assert_eq(shown.plan->shots[0].camera_count, 1);
    cr_expect_null(ending(&shown, ".cameras.png"));
    cr_expect(ending(&shown, ".squared.png"));
}

Test(choice, where_one_shoots_off_it_is_said) {
    const Shown shown = show(replaced(FOG_SCENE, "backdrop: {at: {back: 52 in}}\n", ""));
    const PictureFile *file = ending(&shown, ".cameras.png");
    cr_expect(strstr(file->alt, "shoots off"));
    cr_expect_not(strstr(file->alt, "shoots off nowhere"), "%s", file->alt);
}

/* ---- The squared-up drawing */

Test(choice, the_drawing_is_under_its_squares) {
    static uint32_t yellow[300 * 116];
    for (size_t i = 0; i < sizeof yellow / sizeof *yellow; i++)
        yellow[i] = 0xFFF0D020;
    const Pixels drawing = {300, 116, yellow};
    const Shown with = show_with(FERRY_BOOK, FOG_SCENE, &drawing), without = show(FOG_SCENE);
    const PictureFile *drawn = ending(&with, ".squared.png"), *planned = ending(&without, ".squared.png");
    const ReadBack read = read_back(arena, drawn->bytes, drawn->count),
                   pale = read_back(arena, planned->bytes, planned->count);
    cr_expect_eq(color_at(&read, 120, 110), 0xF0D020, "at full strength, from edge to edge");
    cr_expect_eq(color_at(&read, 1090, 110), 0xF0D020);
    cr_expect_neq(color_at(&pale, 120, 110), 0xF0D020);
    cr_expect_str_eq(drawn->title, "The drawing, squared up");
    cr_expect_str_eq(planned->title, "The frame, squared up");
}

Test(choice, the_step_goes_by_the_books_lengths_and_by_what_is_in_the_frame) {
    const char *book = replaced(FERRY_BOOK, "feet-inches", "millimetres");
    const Shown shown = show(FOG_SCENE), mm = show_with(book, FOG_SCENE, NULL);
    cr_expect(strstr(ending(&shown, ".squared.png")->alt, "every 6 in"));
    cr_expect(strstr(ending(&mm, ".squared.png")->alt, "every 150 mm"), "%s",
              ending(&mm, ".squared.png")->alt);
    const Shown close =
        show("scene: Near\npages: 8\ndrawing: {wide: 200 mm}\ncamera: {lens: 85 mm, height: 10 in}\n"
             "mark: {puppet: otter, drawn: {foot: [100 mm, -100 mm], tall: 300 mm}}\n"
             "ground: {rear: 20 in}\nbackdrop: {at: {back: 19 in}}\n");
    cr_expect(strstr(ending(&close, ".squared.png")->alt, "every 2 in"));
}

/* Cameras and grounds that nobody builds: still a picture, and soon. */
Test(choice, absurd_grounds_and_cameras_end) {
    const char *scenes[] = {
        "scene: Far\npages: 8\ndrawing: {wide: 280 mm}\nmark: {puppet: otter, drawn: {foot: [140 mm, 30 mm], "
        "tall: 20 mm}}\n"
        "camera: {lens: 85 mm, height: 10 in}\nallow: {lens: 85 mm}\nground: {rear: 3000 ft}\n",
        "scene: Up\npages: 8\nmark: {puppet: otter}\n"
        "camera: {lens: 85 mm, height: 4 in, tilt: 75 deg up, distance: 4 ft}\nallow: {lens: 85 mm}\nground: "
        "{rear: 34 in}\n",
        "scene: Down\npages: 8\nmark: {puppet: otter}\n"
        "camera: {lens: 85 mm, height: 90 in, tilt: 75 deg down, distance: 2 ft}\nallow: {lens: 85 "
        "mm}\nground: {rear: 34 in}\n",
        "scene: Low\npages: 8\ndrawing: {wide: 280 mm}\nmark: {puppet: otter, drawn: {foot: [140 mm, 80 mm], "
        "tall: 40 mm}}\n"
        "camera: {lens: 85 mm, height: 1 in}\nallow: {lens: 85 mm}\nground: {rear: 800 m}\n"};
    for (size_t i = 0; i < sizeof scenes / sizeof *scenes; i++) {
        const Shown shown = show(scenes[i]);
        cr_assert(ending(&shown, ".squared.png"), "scene %zu", i);
    }
}
