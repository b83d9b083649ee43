/* Points that something stands before, told by rays, against what the z-buffer has at their pixels; and a
 * crate that is put before a post. */
#include "base/files.h"
#include "model/plan_to_set.h"
#include "see/point_sight.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

static const char *text_of(Arena *arena, const char *name) {
    const char *bytes;
    size_t count;
    const char *path = path_join(arena, TESTS_DIR "/../specs", name);
    cr_assert_eq(file_read(arena, path, FILE_BYTES_MOST, &bytes, &count).status, FILE_OK, "%s", name);
    return arena_copy(arena, bytes, count);
}

static bool is_on_axis(const Plan *plan, const PlanPoint *point) {
    if (point->thing < 0) return true;
    const ThingShape shape = plan->scene->things[point->thing].shape;
    return shape == SHAPE_FIGURE || shape == SHAPE_POST || shape == SHAPE_CONE;
}

typedef enum Told { SEEN, HIDDEN, UNSURE } Told;

/* By the pixel and all round it; where they do not agree, by none. */
static Told by_pixels(const Raster *raster, double x_mm, double y_mm, double depth_mm, int *by) {
    const RasterWindow *w = &raster->window;
    const int x = (int)floor((x_mm - w->left_mm) / (w->right_mm - w->left_mm) * raster->wide_px),
              y = (int)floor((w->high_mm - y_mm) / (w->high_mm - w->low_mm) * raster->tall_px);
    int hidden = 0, seen = 0;
    if (x < 3 || y < 3 || x + 3 >= raster->wide_px || y + 3 >= raster->tall_px) return UNSURE;
    for (int down = -3; down <= 3; down++) {
        for (int right = -3; right <= 3; right++) {
            const size_t pixel = (size_t)(y + down) * (size_t)raster->wide_px + (size_t)(x + right);
            const double there = raster->nearness[pixel] > 0 ? 1 / (double)raster->nearness[pixel] : INFINITY;
            hidden += there < depth_mm - 8;
            seen += there > depth_mm - 2;
        }
    }
    *by = raster->identity[(size_t)y * (size_t)raster->wide_px + (size_t)x];
    return hidden == 49 ? HIDDEN : seen > 10 ? SEEN : UNSURE;
}

static void compare(Arena *arena, const char *scene, int told[2]) {
    Spec spec = spec_of(arena, text_of(arena, "book.yaml"), text_of(arena, scene));
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    const Scenery *scenery = scenery_new(arena, spec.plan, plan_to_set(arena, spec.plan));
    for (size_t s = 0; s < spec.plan->shot_count; s++) {
        const PlanShot *shot = &spec.plan->shots[s];
        const Camera *camera = &shot->cameras[0].camera;
        const RasterWindow all = raster_frame(&shot->picture, 0.5);
        const int wide = 2400;
        Raster *raster =
            raster_new(arena, camera, &shot->picture, all, wide,
                       (int)(wide * (all.high_mm - all.low_mm) / (all.right_mm - all.left_mm) + 0.5));
        scenery_draw(scenery, raster, (int)s);
        size_t count;
        const PlanPoint *points = plan_points(arena, spec.plan, s, &count);
        const int *hidden = points_hidden_by(arena, scenery, s, points, count);
        for (size_t i = 0; i < count; i++) {
            double x, y, depth;
            int by;
            if (!points[i].on_set || is_on_axis(spec.plan, &points[i]) ||
                !camera_project(camera, &shot->picture, points[i].at, &x, &y, &depth))
                continue;
            const Told wanted = by_pixels(raster, x, y, depth, &by);
            if (wanted == UNSURE) continue;
            told[wanted]++;
            const char *path = plan_point_path(arena, &points[i]);
            cr_expect_eq(hidden[i] >= 0, wanted == HIDDEN, "%s, %s: %d", scene, path, hidden[i]);
            if (wanted == HIDDEN)
                cr_expect_eq(hidden[i], by, "%s, %s: %d, not %d", scene, path, hidden[i], by);
        }
    }
}

Test(point_sight, rays_and_pixels_agree) {
    static const char *const scenes[] = {"01-the-landing.yaml",    "02-the-lamp-is-lit.yaml",
                                         "03-down-the-river.yaml", "04-the-stair.yaml",
                                         "05-the-kitchen.yaml",    "08-fog.yaml",
                                         "10-the-quay.yaml",       "12-home.yaml"};
    int told[2] = {0};
    for (size_t i = 0; i < sizeof scenes / sizeof *scenes; i++) {
        Arena *arena = arena_new();
        compare(arena, scenes[i], told);
        arena_free(arena);
    }
    cr_assert_gt(told[SEEN], 40, "%d", told[SEEN]);
    cr_assert_gt(told[HIDDEN], 12, "%d", told[HIDDEN]);
}

/* The crate stands right before the post, and is lower. */
Test(point_sight, a_crate_before_a_post) {
    static const char scene[] =
        "scene: x\ndrawing: {wide: 420 mm}\npages: 8-9\nground: {rear: 54 in}\n"
        "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"
        "camera: {lens: portrait, height: 10 in}\n"
        "pieces:\n"
        "  post: {shape: post, tall: 16 in, thick: 3/4 in, at: {across: 20 in, back: 10 in}}\n"
        "  crate: {shape: box, wide: 6 in, tall: 4 in, deep: 4 in, at: {across: 20 in, back: 4 in}}\n";
    Arena *arena = arena_new();
    Spec spec = spec_of(arena, FERRY_BOOK, scene);
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    const int *hidden = points_hidden(arena, spec.plan)[0];
    size_t count, found = 0;
    const PlanPoint *points = plan_points(arena, spec.plan, 0, &count);
    const int crate = plan_find(spec.plan, "crate");
    for (size_t i = 0; i < count; i++) {
        const char *path = plan_point_path(arena, &points[i]);
        const bool foot = text_equal(path, "post.foot"), own = text_equal(path, "crate.rear right foot");
        if (!foot && !own && !text_equal(path, "post.top") && !text_equal(path, "crate.front left foot"))
            continue;
        cr_expect_eq(hidden[i], foot || own ? crate : -1, "%s: %d", path, hidden[i]);
        found++;
    }
    cr_assert_eq(found, 4);
    arena_free(arena);
}
