/* The set drawn into a raster: whose each pixel is, and where on its surface. */
#include "model/plan_to_set.h"
#include "optics/space.h"
#include "see/scenery.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

typedef struct Drawn {
    Arena *arena;
    const Plan *plan;
    const Model *set;
    const Scenery *scenery;
    Raster *raster;
} Drawn;

static Drawn draw(const char *scene, int wide_px) {
    Drawn drawn = {.arena = arena_new()};
    Spec spec = spec_of(drawn.arena, FERRY_BOOK, scene);
    cr_assert(spec.plan, "%s", spec_words(drawn.arena, &spec));
    drawn.plan = spec.plan;
    drawn.set = plan_to_set(drawn.arena, spec.plan);
    drawn.scenery = scenery_new(drawn.arena, drawn.plan, drawn.set);
    const PlanShot *shot = &spec.plan->shots[0];
    const int tall_px = (int)lround(wide_px * shot->picture.frame_tall_mm / shot->picture.frame_wide_mm);
    drawn.raster = raster_new(drawn.arena, &shot->cameras[0].camera, &shot->picture,
                              raster_frame(&shot->picture, 0), wide_px, tall_px);
    raster_keep_facets(drawn.raster);
    scenery_draw(drawn.scenery, drawn.raster, 0);
    return drawn;
}

/* What is told of a pixel is on its thing: its point is drawn at the pixel's centre (rule 6), at the depth
 * that the buffer has, and its normal looks towards the lens or nearly so (smoothed ones may look past it).
 */
Test(scenery, a_pixel_knows_its_place_on_the_set) {
    const Drawn d = draw(FOG_SCENE, 300);
    const Camera *camera = &d.plan->shots[0].cameras[0].camera;
    const Picture *picture = &d.plan->shots[0].picture;
    const Point3 lens = {camera->across_mm, -camera->distance_mm, camera->height_mm};
    const size_t count = (size_t)d.raster->wide_px * (size_t)d.raster->tall_px;
    const double pixel_mm = (d.raster->window.right_mm - d.raster->window.left_mm) / d.raster->wide_px;
    size_t seen = 0, away = 0;
    for (size_t i = 0; i < count; i++) {
        SceneryHit hit;
        if (!scenery_hit(d.scenery, d.raster, i, &hit)) continue;
        seen++;
        double x, y, at_x, at_y, depth;
        raster_pixel_mm(d.raster, i, &at_x, &at_y);
        cr_assert(camera_project(camera, picture, hit.at, &x, &y, &depth));
        cr_assert_float_eq(x, at_x, 0.1 * pixel_mm);
        cr_assert_float_eq(y, at_y, 0.1 * pixel_mm);
        cr_assert_float_eq(depth * (double)d.raster->nearness[i], 1, 2e-2);
        cr_assert_eq(d.set->nodes.items[hit.node].thing, d.raster->identity[i]);
        cr_assert_float_eq(point_length(hit.normal), 1, 1e-6);
        away += point_dot(hit.normal, point_less(hit.at, lens)) > 0;
    }
    cr_assert_eq(seen, count); /* nothing is bare */
    cr_assert_lt(away, count / 500);
    arena_free(d.arena);
}
