/* Where a frame shoots off, the notes outline what is missing: every bare ray of every allowed camera, the
 * spare included, passes through one of the outlines. Rays by the camera's own formulas (docs/geometry.md,
 * rule 6), no pixel. */
#include "model/notes_to_model.h"
#include "model/plan_to_set.h"
#include "report/plan_to_facts.h"
#include "see/set_to_seen.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

typedef struct Noted {
    Arena *arena;
    Plan *plan;
    Model *model;
} Noted;

static Noted noted(const char *scene) {
    Noted made = {.arena = arena_new()};
    Spec spec = spec_of(made.arena, FERRY_BOOK, scene);
    cr_assert(spec.plan, "%s", spec_words(made.arena, &spec));
    made.plan = spec.plan;
    made.model = plan_to_set(made.arena, spec.plan);
    made.plan->seen = set_to_seen(made.arena, spec.plan, made.model, 480);
    notes_to_model(made.arena, made.model, made.plan, plan_to_facts(made.arena, made.plan));
    return made;
}

static size_t count_named(const Model *model, const char *start) {
    size_t count = 0;
    for (size_t i = 0; i < model->nodes.count; i++)
        count += strncmp(model->nodes.items[i].name, start, strlen(start)) == 0;
    return count;
}

typedef struct Box {
    Point3 low, high;
} Box;

static Box box_of(const Noted *made, size_t index) {
    const ModelNode *node = &made->model->nodes.items[index];
    Point3 *points = ARENA_ARRAY(made->arena, Point3, node->mesh->vertices.count);
    model_placed(made->model, (int)index, points, NULL);
    Box box = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
    for (size_t i = 0; i < node->mesh->vertices.count; i++) {
        box.low.across_mm = fmin(box.low.across_mm, points[i].across_mm);
        box.high.across_mm = fmax(box.high.across_mm, points[i].across_mm);
        box.low.back_mm = fmin(box.low.back_mm, points[i].back_mm);
        box.high.back_mm = fmax(box.high.back_mm, points[i].back_mm);
        box.low.up_mm = fmin(box.low.up_mm, points[i].up_mm);
        box.high.up_mm = fmax(box.high.up_mm, points[i].up_mm);
    }
    return box;
}

/* Outlines lie a little before their plane, and lines have their thickness. */
static const double BAND_MM = 15;

static bool within(double value, double low, double high) {
    return value >= low - BAND_MM && value <= high + BAND_MM;
}

static bool passes(const Noted *made, const Picture *picture, const Camera *camera, double x, double y) {
    for (size_t i = 0; i < made->model->nodes.count; i++) {
        const char *name = made->model->nodes.items[i].name;
        if (strncmp(name, "missing", 7) != 0 || !strstr(name, "outline")) continue;
        const Box box = box_of(made, i);
        const bool upright = box.high.up_mm - box.low.up_mm > box.high.back_mm - box.low.back_mm;
        Point3 at;
        if (upright ? camera_on_upright(camera, picture, x, y, box.high.back_mm, &at)
                    : camera_on_level(camera, picture, x, y, 0, &at)) {
            if (within(at.across_mm, box.low.across_mm, box.high.across_mm) &&
                within(at.back_mm, box.low.back_mm, box.high.back_mm) &&
                within(at.up_mm, box.low.up_mm, box.high.up_mm))
                return true;
        }
    }
    return false;
}

/* Of a set that is only ground and backdrop. */
static bool is_bare(const Plan *plan, const Picture *picture, const Camera *camera, double x, double y) {
    const int backdrop = plan_find(plan, "backdrop");
    const Trapezoid *g = &plan->ground_outline;
    Point3 at;
    if (backdrop >= 0 && camera_on_upright(camera, picture, x, y, plan->things[backdrop].at.back_mm, &at) &&
        at.across_mm > plan->things[backdrop].left_mm && at.across_mm < plan->things[backdrop].right_mm &&
        at.up_mm > plan->things[backdrop].foot_mm && at.up_mm < plan->things[backdrop].top_mm)
        return false;
    if (!camera_on_level(camera, picture, x, y, 0, &at)) return true;
    const double share = (at.back_mm - g->front_mm) / (g->rear_mm - g->front_mm);
    return !(share > 0 && share < 1 &&
             at.across_mm > g->front_left_mm + share * (g->rear_left_mm - g->front_left_mm) &&
             at.across_mm < g->front_right_mm + share * (g->rear_right_mm - g->front_right_mm));
}

static size_t check_rays(const Noted *made) {
    size_t bare = 0;
    const PlanShot *shot = &made->plan->shots[0];
    for (size_t c = 0; c < shot->camera_count; c++) {
        const Camera *camera = &shot->cameras[c].camera;
        const double wide = shot->picture.taken_wide_mm * shot->picture.drawn_per_sensor,
                     tall = shot->picture.taken_tall_mm * shot->picture.drawn_per_sensor;
        for (int n = 0; n < 41 * 21; n++) {
            const double u = (n % 41) / 20.0 - 1, v = (n / 41) / 10.0 - 1;
            const double x = shot->picture.drawing_wide_mm / 2 + u * wide * (0.5 + shot->spare);
            const double y = shot->picture.drawing_tall_mm / 2 + v * tall * (0.5 + shot->spare);
            if (!is_bare(made->plan, &shot->picture, camera, x, y)) continue;
            bare++;
            cr_assert(passes(made, &shot->picture, camera, x, y), "camera %zu, [%f, %f]", c, x, y);
        }
    }
    return bare;
}

#define RIVER                                                                                                \
    "scene: River\npages: 8-9\ndrawing: {wide: 420 mm}\n"                                                    \
    "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"                                   \
    "camera: {lens: portrait, height: 10 in}\n"

Test(growth, nothing_is_outlined_where_nothing_is_bare) {
    const Noted made = noted(RIVER "ground: {rear: 54 in}\nbackdrop: {at: {back: 52 in}}\n");
    cr_assert_eq(count_named(made.model, "missing"), 0);
    arena_free(made.arena);
}

Test(growth, a_small_backdrop_and_a_short_ground) {
    const Noted made = noted(RIVER "ground: {front: -20 in, rear: 54 in}\n"
                                   "backdrop: {at: {back: 52 in}, wide: 4 ft, tall: 12 in}\n");
    cr_assert_geq(count_named(made.model, "missing_backdrop_outline"), 3);
    cr_assert_geq(count_named(made.model, "missing_ground_outline"), 1);
    cr_assert_gt(check_rays(&made), 100);
    arena_free(made.arena);
}

Test(growth, no_backdrop) {
    const Noted made = noted(RIVER "ground: {rear: 54 in}\n");
    cr_assert_eq(count_named(made.model, "missing_no_backdrop_outline"), 1);
    cr_assert_gt(check_rays(&made), 100);
    arena_free(made.arena);
}
