/* What the cameras see of whole scenes: the ground and the covers that were worked out in closed form leave
 * nothing bare, by an independent count of pixels; what is taken away turns up at its side. */
#include "model/plan_to_set.h"
#include "see/set_to_seen.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

typedef struct Looked {
    Arena *arena;
    Spec spec;
    Seen *seen;
} Looked;

static Looked look(const char *scene) {
    Looked looked = {.arena = arena_new()};
    looked.spec = spec_of(looked.arena, FERRY_BOOK, scene);
    cr_assert(looked.spec.plan, "%s", spec_words(looked.arena, &looked.spec));
    looked.seen =
        set_to_seen(looked.arena, looked.spec.plan, plan_to_set(looked.arena, looked.spec.plan), 480);
    return looked;
}

static const char *without(Arena *arena, const char *scene, const char *line_start) {
    const char *from = strstr(scene, line_start);
    const char *to = strchr(from, '\n') + 1;
    Buffer out = buffer_new(arena);
    buffer_add_bytes(&out, scene, (size_t)(from - scene));
    buffer_add(&out, to);
    return buffer_text(&out);
}

Test(seen, ground_and_covers_leave_nothing_bare) {
    const Looked looked = look(FOG_SCENE);
    cr_assert_eq(looked.seen->count, 5);
    for (size_t i = 0; i < looked.seen->count; i++) {
        cr_assert_lt(looked.seen->cameras[i].bare, 1e-9);
        cr_assert_lt(looked.seen->cameras[i].bare_spare, 1e-9);
    }
    arena_free(looked.arena);
}

/* Without a backdrop all above the far bank is bare, and it is bare at the top; stated again, it is closed.
 */
Test(seen, a_backdrop_taken_out_shoots_off_at_the_top) {
    Arena *arena = arena_new();
    const Looked whole = look(FOG_SCENE), open = look(without(arena, FOG_SCENE, "backdrop"));
    const int backdrop = plan_find(whole.spec.plan, "backdrop");
    const SeenCamera *before = &whole.seen->cameras[0], *after = &open.seen->cameras[0];
    cr_assert_float_eq(after->bare, before->things[backdrop].share, 1e-9); /* just what it showed */
    cr_assert_gt(after->bare_at[SIDE_TOP], 0.2);
    cr_assert_float_eq(after->bare_at[SIDE_LEFT] + after->bare_at[SIDE_RIGHT] + after->bare_at[SIDE_TOP] +
                           after->bare_at[SIDE_BOTTOM],
                       after->bare, 1e-9);
    arena_free(open.arena);
    arena_free(whole.arena);
    arena_free(arena);
}

/* The lower the lens, the less ground in the frame (common practice, no source). */
Test(seen, the_lower_the_lens_the_less_ground) {
    const Looked looked = look(FOG_SCENE);
    const PlanShot *shot = &looked.spec.plan->shots[0];
    for (size_t a = 1; a < looked.seen->count; a++) {
        for (size_t b = 1; b < looked.seen->count; b++) {
            const Camera *low = &shot->cameras[a].camera, *high = &shot->cameras[b].camera;
            if (low->focal_mm == high->focal_mm && low->height_mm < high->height_mm)
                cr_assert_lt(looked.seen->cameras[a].ground, looked.seen->cameras[b].ground);
        }
    }
    arena_free(looked.arena);
}

/* Two cutouts square to a level camera, the nearer before half of the other: shares by similar triangles. */
Test(seen, one_hides_half_of_another) {
    const Looked looked = look(
        "scene: Half\npages: 8-9\ndrawing: {wide: 420 mm}\n"
        "mark: {puppet: otter, drawn: {foot: [40 mm, 40 mm], tall: 60 mm}}\n"
        "camera: {lens: 85 mm, tilt: 0 deg down}\nallow: {lens: 85 mm}\nground: {rear: 40 in}\n"
        "pieces:\n"
        "  far: {shape: cutout, wide: 12 in, tall: 8 in, thick: 1/8 in, at: {across: 24 in, back: 20 in}}\n"
        "  near: {shape: cutout, wide: 6 in, tall: 30 in, thick: 1/8 in, up: -2 in, at: {across: 20 in, "
        "back: 19 in}}\n"
        "backdrop: {at: {back: 38 in}}\n");
    const Plan *plan = looked.spec.plan;
    const int far = plan_find(plan, "far"), near = plan_find(plan, "near");
    const Camera *camera = &plan->shots[0].cameras[0].camera;
    const Picture *picture = &plan->shots[0].picture;
    /* edges of both on the drawing, in the planes of their faces */
    double far_left, far_right, near_left, near_right, y;
    const PlanThing *f = &plan->things[far], *n = &plan->things[near];
    camera_project(camera, picture, (Point3){f->left_mm, f->front_mm, 0}, &far_left, &y, NULL);
    camera_project(camera, picture, (Point3){f->right_mm, f->front_mm, 0}, &far_right, &y, NULL);
    camera_project(camera, picture, (Point3){n->left_mm, n->front_mm, 0}, &near_left, &y, NULL);
    camera_project(camera, picture, (Point3){n->right_mm, n->front_mm, 0}, &near_right, &y, NULL);
    const double hidden = (fmin(far_right, near_right) - fmax(far_left, near_left)) / (far_right - far_left);
    const SeenThing *seen = &looked.seen->cameras[0].things[far];
    cr_assert(hidden > 0.1 && hidden < 0.9);
    cr_assert_eq(seen->hidden_by, near);
    cr_assert_float_eq(seen->hidden_by_share, hidden, 0.01);
    const double frame_mm2 = picture->frame_wide_mm * picture->frame_tall_mm *
                             pow(picture->drawing_wide_mm / picture->trim_wide_mm, 2);
    const double tall = f->tall_mm / camera_scale(camera, picture, (Point3){f->at.across_mm, f->front_mm, 0});
    cr_assert_float_eq(seen->alone, (far_right - far_left) * tall / frame_mm2, 0.002);
    arena_free(looked.arena);
}
