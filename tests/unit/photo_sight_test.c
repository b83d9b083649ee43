/* The set through the camera of a photograph: what the rasteriser sees there must lie where rule 62 projects
 * it, for a camera that is turned, tilted and rolled. */
#include "model/plan_to_set.h"
#include "plan/points.h"
#include "see/photo_sight.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

static const Photograph IMAGE = {3000, 2000, 23.5};
enum { WIDE = 1500, TALL = 1000 };

static Arena *arena;
static Spec spec;
static Scenery *scenery;

static void setup(void) {
    arena = arena_new();
    spec = spec_of(arena, FERRY_BOOK, FOG_SCENE);
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    scenery = scenery_new(arena, spec.plan, plan_to_set(arena, spec.plan));
}

static void teardown(void) {
    arena_free(arena);
}

TestSuite(photo_sight, .init = setup, .fini = teardown);

static PhotoCamera turned_camera(void) {
    PhotoCamera camera = photo_camera_of(&spec.plan->shots[0].cameras[0].camera);
    camera.lens.across_mm += 40;
    camera.turn_rad = RADIANS(2);
    camera.tilt_rad += RADIANS(1);
    camera.roll_rad = RADIANS(4);
    camera.focal_mm = 40;
    cr_assert(photo_focus(&camera, spec.plan->shots[0].focus));
    return camera;
}

Test(photo_sight, the_ferry_lies_where_its_corners_are_projected) {
    const PhotoCamera camera = turned_camera();
    const PhotoSight sight = photo_sight(arena, scenery, &camera, &IMAGE);
    const RasterWindow all = {0, sight.picture.drawing_wide_mm, 0, sight.picture.drawing_tall_mm};
    Raster *raster = raster_new(arena, &sight.camera, &sight.picture, all, WIDE, TALL);
    scenery_draw(&sight.scenery, raster, 0);
    const int ferry = plan_find(spec.plan, "ferry");
    double seen[4] = {INFINITY, -INFINITY, INFINITY, -INFINITY};
    for (int y = 0; y < TALL; y++) {
        for (int x = 0; x < WIDE; x++) {
            if (raster->identity[y * WIDE + x] != ferry) continue;
            seen[0] = fmin(seen[0], x);
            seen[1] = fmax(seen[1], x + 1);
            seen[2] = fmin(seen[2], y);
            seen[3] = fmax(seen[3], y + 1);
        }
    }
    double projected[4] = {INFINITY, -INFINITY, INFINITY, -INFINITY};
    size_t count;
    const PlanPoint *points = plan_points(arena, spec.plan, 0, &count);
    for (size_t i = 0; i < count; i++) {
        double x, y;
        if (points[i].thing != ferry) continue;
        cr_assert(photo_project(&camera, &IMAGE, points[i].at, &x, &y, NULL));
        projected[0] = fmin(projected[0], x / 2);
        projected[1] = fmax(projected[1], x / 2);
        projected[2] = fmin(projected[2], y / 2);
        projected[3] = fmax(projected[3], y / 2);
    }
    for (int i = 0; i < 4; i++)
        cr_expect_float_eq(seen[i], projected[i], 1.01, "%d: %f, not %f", i, seen[i], projected[i]);
}

/* The ground's front edge is far below this crop and the backdrop ends above it: what is left over the crop
 * is what the backdrop's top edge leaves, along the crop's whole width. */
Test(photo_sight, what_is_left_over_the_crop_ends_at_the_backdrop) {
    PhotoCamera camera = photo_camera_of(&spec.plan->shots[0].cameras[0].camera);
    camera.focal_mm = 40;
    cr_assert(photo_focus(&camera, spec.plan->shots[0].focus));
    const ResectResult found = {.status = RESECTED, .camera = camera};
    static const Photo photo = {.shot = 0};
    const PlanThing *backdrop = &spec.plan->things[plan_find(spec.plan, "backdrop")];
    double x, y;
    const Point3 top = {backdrop->at.across_mm, backdrop->front_mm, backdrop->top_mm};
    cr_assert(photo_project(&camera, &IMAGE, top, &x, &y, NULL));
    const LinedPhoto lined = {.photo = &photo,
                              .image = IMAGE,
                              .found = &found,
                              .crop_left_px = 1400,
                              .crop_right_px = 1600,
                              .crop_top_px = y + 100,
                              .crop_bottom_px = y + 300};
    const SeenPhoto seen = photo_seen(arena, scenery, &lined, WIDE);
    cr_assert(!seen.bare);
    cr_assert_float_eq(seen.beyond_px[SIDE_TOP], 100, 4.1); /* a pixel here is two of the photograph */
    cr_assert(!seen.to_edge[SIDE_TOP]);
}

/* Through the planned camera ground and backdrop go on past both sides of the photograph. */
Test(photo_sight, what_is_left_beside_the_crop_ends_with_the_photograph) {
    const PhotoCamera camera = photo_camera_of(&spec.plan->shots[0].cameras[0].camera);
    const ResectResult found = {.status = RESECTED, .camera = camera};
    static const Photo photo = {.shot = 0};
    const double middle = IMAGE.tall_px / 2;
    const LinedPhoto lined = {.photo = &photo,
                              .image = IMAGE,
                              .found = &found,
                              .crop_left_px = 1400,
                              .crop_right_px = 1600,
                              .crop_top_px = middle - 50,
                              .crop_bottom_px = middle + 50};
    const SeenPhoto seen = photo_seen(arena, scenery, &lined, WIDE);
    cr_assert(!seen.bare && seen.to_edge[SIDE_LEFT] && seen.to_edge[SIDE_RIGHT]);
    cr_assert_float_eq(seen.beyond_px[SIDE_LEFT], 1400, 4.1);
    cr_assert_float_eq(seen.beyond_px[SIDE_RIGHT], IMAGE.wide_px - 1600, 4.1);
}
