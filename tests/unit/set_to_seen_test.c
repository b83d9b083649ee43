/* What the cameras see of whole scenes: the ground and the covers that were worked out in closed form leave
 * nothing bare, by an independent count of pixels; what is taken away turns up at its side. */
#include "model/plan_to_set.h"
#include "see/rasteriser.h"
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

/* Two panels square to a level camera, whose front faces are then similar to what is drawn of them. The
 * nearer one reaches from beside the farther one to exactly a third of it, and is taller: lengths on its
 * plane are those on the other's times the ratio of their depths. */
Test(seen, a_panel_hides_exactly_a_third_of_another) {
    Arena *arena = arena_new();
    static const char scene[] =
        "scene: Third\npages: 8-9\ndrawing: {wide: 420 mm}\n"
        "mark: {puppet: otter, drawn: {foot: [40 mm, 40 mm], tall: 60 mm}}\n"
        "camera: {lens: 85 mm, tilt: 0 deg down}\nallow: {lens: 85 mm}\n"
        "ground: {rear: 1600 mm}\nbackdrop: {at: {back: 1500 mm}}\n"
        "pieces:\n  far: {shape: cutout, wide: 600 mm, tall: 300 mm, thick: 3 mm, up: 0, at: "
        "{across: 900 mm, back: 800 mm}}\n";
    const Looked alone = look(scene);
    const PlanThing *far = &alone.spec.plan->things[plan_find(alone.spec.plan, "far")];
    const Camera *camera = &alone.spec.plan->shots[0].cameras[0].camera;
    const double front = 700; /* of the nearer one's face */
    const double nearer = (front + camera->distance_mm) / (far->front_mm + camera->distance_mm);
    const double right = camera->across_mm + (far->left_mm + 600.0 / 3 - camera->across_mm) * nearer;
    const Looked both =
        look(arena_format(arena,
                          "%s  near: {shape: cutout, wide: 400 mm, tall: 600 mm, thick: 3 mm, up: -100 mm, "
                          "at: {across: %s mm, back: %s mm}}\n",
                          scene, number_fixed(arena, right - 200, 6), number_fixed(arena, front + 1.5, 6)));
    const Plan *plan = both.spec.plan;
    const SeenThing *seen = &both.seen->cameras[0].things[plan_find(plan, "far")];
    const Picture *picture = &plan->shots[0].picture;
    const double per_mm =
        picture->drawn_per_sensor * camera->image_mm / (far->front_mm + camera->distance_mm);
    const double whole = 600 * per_mm * 300 * per_mm /
                         (picture->frame_wide_mm * picture->frame_tall_mm *
                          pow(picture->drawing_wide_mm / picture->trim_wide_mm, 2));
    cr_assert_float_eq(seen->alone, whole, 0.002);
    cr_assert_float_eq(seen->share, whole * 2 / 3, 0.002);
    cr_assert_float_eq(seen->hidden, 1.0 / 3, 0.002);
    cr_assert_float_eq(seen->hidden_by_share, 1.0 / 3, 0.002);
    cr_assert_eq(seen->hidden_by, plan_find(plan, "near"));
    arena_free(both.arena);
    arena_free(alone.arena);
    arena_free(arena);
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

/* A level camera, a narrow low backdrop and ground behind which nothing is: borders of what is bare are level
 * and upright lines of the drawing, where rule 6 sends the backdrop's edges. */
static const char SLACK_SCENE[] = "scene: Slack\npages: 8-9\ndrawing: {wide: 420 mm}\n"
                                  "mark: {puppet: otter, drawn: {foot: [200 mm, 40 mm], tall: 60 mm}}\n"
                                  "camera: {lens: 85 mm, tilt: 0 deg down}\n"
                                  "allow: {lens: 85 mm, spare: 0 %}\n"
                                  "ground: {rear: 40 in, margin: 40 in}\n"
                                  "backdrop: {at: {across: 4 in, back: 39 in}, wide: 110 in, tall: 37 in}\n";

Test(seen, slack_by_the_backdrops_edges) {
    const Looked looked = look(SLACK_SCENE);
    const PlanShot *shot = &looked.spec.plan->shots[0];
    const PlanThing *backdrop = &looked.spec.plan->things[plan_find(looked.spec.plan, "backdrop")];
    const RasterWindow frame = raster_frame(&shot->picture, 0);
    const double wide = frame.right_mm - frame.left_mm, tall = frame.high_mm - frame.low_mm;
    double left, right, high, unused;
    const double front = backdrop->at.back_mm;
    camera_project(&shot->cameras[0].camera, &shot->picture, (Point3){backdrop->left_mm, front, 0}, &left,
                   &unused, NULL);
    camera_project(&shot->cameras[0].camera, &shot->picture, (Point3){backdrop->right_mm, front, 0}, &right,
                   &unused, NULL);
    camera_project(&shot->cameras[0].camera, &shot->picture, (Point3){0, front, backdrop->top_mm}, &unused,
                   &high, NULL);
    const SeenSlack *slack = &looked.seen->cameras[0].slack;
    cr_assert(slack->known);
    cr_assert_eq(slack->tighter, 0);
    cr_assert_float_eq(slack->move[SIDE_LEFT], (frame.left_mm - left) / wide, 0.0005);
    cr_assert_float_eq(slack->move[SIDE_RIGHT], (right - frame.right_mm) / wide, 0.0005);
    cr_assert_float_eq(slack->move[SIDE_TOP], (high - frame.high_mm) / tall, 0.0005);
    cr_assert_float_eq(slack->wider,
                       fmin(slack->move[SIDE_TOP], fmin(slack->move[SIDE_LEFT], slack->move[SIDE_RIGHT])),
                       0.0005);
    /* at the mark the frame is as wide as its picture there (rule 11) */
    cr_assert_float_eq(
        slack->frame_wide_mm,
        camera_frame_mm(&shot->cameras[0].camera, &shot->picture, shot->mark.back_mm, shot->mark.up_mm),
        1e-9);
    arena_free(looked.arena);
}

/* The same with a backdrop that ends in the frame: each edge must come in until its own is out, to a pixel.
 */
Test(seen, how_far_a_frame_that_shoots_off_comes_in) {
    Arena *arena = arena_new();
    const char *low = without(arena, SLACK_SCENE, "backdrop");
    const Looked looked = look(arena_format(
        arena, "%sbackdrop: {at: {across: 4 in, back: 39 in}, wide: 110 in, tall: 20 in}\n", low));
    const PlanShot *shot = &looked.spec.plan->shots[0];
    const PlanThing *backdrop = &looked.spec.plan->things[plan_find(looked.spec.plan, "backdrop")];
    const RasterWindow frame = raster_frame(&shot->picture, 0);
    double x, high;
    camera_project(&shot->cameras[0].camera, &shot->picture,
                   (Point3){0, backdrop->at.back_mm, backdrop->top_mm}, &x, &high, NULL);
    const SeenCamera *seen = &looked.seen->cameras[0];
    const double open = (frame.high_mm - high) / (frame.high_mm - frame.low_mm);
    cr_assert(open > 0.05 && open < 0.5);
    cr_assert_float_eq(seen->bare, open, 0.001);
    cr_assert_geq(seen->slack.tighter, open - 1e-9);
    cr_assert_leq(seen->slack.tighter, open + 0.016); /* a pixel, of 94 down the frame, and a half */
    cr_assert_eq(seen->slack.wider, 0);
    arena_free(looked.arena);
    arena_free(arena);
}

/* A frame that really is moved out or along, a little less and a little more than its slack. */
static double bare_after(const Looked *looked, double wider, double across, double up) {
    const Plan *plan = looked->spec.plan;
    PlanShot *shot = &plan->shots[0];
    const PlanShot before = *shot;
    const Camera planned = shot->cameras[0].camera;
    shot->spare = wider;
    shot->picture.crop_across_mm += across * shot->picture.taken_wide_mm;
    shot->cameras[0].camera.crop_up_mm += up * shot->picture.taken_tall_mm;
    const double bare =
        set_to_seen(looked->arena, plan, plan_to_set(looked->arena, plan), 480)->cameras[0].bare_spare;
    *shot = before;
    shot->cameras[0].camera = planned;
    return bare;
}

Test(seen, slack_is_what_there_is) {
    static const char *const scenes[] = {FOG_SCENE, SLACK_SCENE};
    for (size_t i = 0; i < 2; i++) {
        const Looked looked = look(scenes[i]);
        const SeenSlack *slack = &looked.seen->cameras[0].slack;
        const double less = -0.001, more = 0.004;
        static const int across[SIDE_COUNT] = {-1, 1, 0, 0}, up[SIDE_COUNT] = {0, 0, 1, -1};
        cr_assert(!slack->wider_at_least);
        cr_assert_eq(bare_after(&looked, slack->wider + less, 0, 0), 0);
        cr_assert_gt(bare_after(&looked, slack->wider + more, 0, 0), 0);
        for (int side = 0; side < SIDE_COUNT; side++) {
            const double by = slack->move[side];
            cr_assert_eq(bare_after(&looked, 0, across[side] * (by + less), up[side] * (by + less)), 0);
            if (!slack->move_at_least[side])
                cr_assert_gt(bare_after(&looked, 0, across[side] * (by + more), up[side] * (by + more)), 0);
        }
        arena_free(looked.arena);
    }
}

/* What is counted at a run's fineness is what a far finer look counts. */
Test(seen, shares_are_right_to_a_tenth_of_a_percent) {
    const Looked looked = look(FOG_SCENE);
    const Plan *plan = looked.spec.plan;
    const Model *set = plan_to_set(looked.arena, plan);
    const Seen *run = set_to_seen(looked.arena, plan, set, SEEN_WIDE_PX),
               *fine = set_to_seen(looked.arena, plan, set, 2400);
    for (size_t t = 0; t < plan->scene->thing_count; t++) {
        cr_assert_float_eq(run->cameras[0].things[t].share, fine->cameras[0].things[t].share, 0.001);
        cr_assert_float_eq(run->cameras[0].things[t].alone, fine->cameras[0].things[t].alone, 0.001);
    }
    arena_free(looked.arena);
}

/* Whether the planned camera's ray through a place on the drawing meets the backdrop or the ground's surface
 * (its cut edges are no scenery): planes and outlines, without a pixel. */
static bool ray_meets_set(const Plan *plan, double x_mm, double y_mm) {
    const PlanShot *shot = &plan->shots[0];
    const Camera *camera = &shot->cameras[0].camera;
    const PlanThing *backdrop = &plan->things[plan_find(plan, "backdrop")];
    const Trapezoid *ground = &plan->ground_outline;
    Point3 at;
    if (camera_on_upright(camera, &shot->picture, x_mm, y_mm, backdrop->at.back_mm, &at) &&
        at.across_mm >= backdrop->left_mm && at.across_mm <= backdrop->right_mm &&
        at.up_mm >= backdrop->foot_mm && at.up_mm <= backdrop->top_mm)
        return true;
    if (!camera_on_level(camera, &shot->picture, x_mm, y_mm, 0, &at)) return false;
    const double along = (at.back_mm - ground->front_mm) / (ground->rear_mm - ground->front_mm);
    const double left = ground->front_left_mm + along * (ground->rear_left_mm - ground->front_left_mm);
    const double right = ground->front_right_mm + along * (ground->rear_right_mm - ground->front_right_mm);
    return along >= 0 && along <= 1 && at.across_mm >= left && at.across_mm <= right;
}

/* Another body with a wide lens sees past an empty set on all sides; one with the lens that frames alike sees
 * what is planned, above and below of which its sensor has more. */
Test(seen, what_another_body_shoots_off) {
    const Looked looked = look("scene: Wide\npages: 8-9\ndrawing: {wide: 420 mm}\n"
                               "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"
                               "camera: {lens: portrait, height: 10 in}\nground: {rear: 54 in}\n"
                               "backdrop: {at: {back: 52 in}}\n"
                               "also: {test: [28 mm, 56 mm], hired: 85 mm}\n");
    const Plan *plan = looked.spec.plan;
    cr_assert_eq(looked.seen->also_count, 3);
    for (size_t i = 0; i < looked.seen->also_count; i++) {
        const OtherBody *other = &plan->shots[0].also[i].other;
        enum { ACROSS = 600, UP = 400 };
        size_t bare = 0;
        for (int n = 0; n < ACROSS * UP; n++) {
            const double x =
                other->left_mm + (other->right_mm - other->left_mm) * (n % ACROSS + 0.5) / ACROSS;
            const double y = other->low_mm + (other->high_mm - other->low_mm) * (n / ACROSS + 0.5) / UP;
            bare += !ray_meets_set(plan, x, y);
        }
        const SeenAlso *seen = &looked.seen->also[i];
        cr_assert_float_eq(seen->bare, (double)bare / (ACROSS * UP), 0.003, "%zu: %f, not %f", i, seen->bare,
                           (double)bare / (ACROSS * UP));
        double sides = 0;
        for (int side = 0; side < SIDE_COUNT; side++)
            sides += seen->bare_at[side];
        cr_assert_float_eq(sides, seen->bare, 1e-9);
    }
    cr_assert_gt(looked.seen->also[0].bare_at[SIDE_LEFT], 0.05);
    cr_assert_lt(looked.seen->also[1].bare_at[SIDE_LEFT], looked.seen->also[1].bare_at[SIDE_TOP]);
    cr_assert_gt(looked.seen->also[1].bare_at[SIDE_TOP], 0.01);
    arena_free(looked.arena);
}

/* A page as tall as it is absurd, with all the spare there may be, is looked at too. */
Test(seen, a_page_a_hundred_times_as_tall_as_wide) {
    const Looked looked =
        look("scene: Ribbon\npages: 8\npage: {wide: 10 mm, tall: 1000 mm}\ndrawing: {wide: 10 mm}\n"
             "mark: {puppet: otter, drawn: {foot: [5 mm, 400 mm], tall: 92 mm}}\n"
             "camera: {lens: portrait, height: 10 in}\nallow: {lens: 85 mm, spare: 100 %}\n"
             "ground: {rear: 54 in}\nbackdrop: {at: {back: 52 in}}\n");
    const SeenCamera *seen = &looked.seen->cameras[0];
    cr_assert_gt(seen->ground, 0);
    cr_assert_float_eq(seen->bare, 0, 1e-9);
    cr_assert_geq(seen->slack.wider, 0.49);
    arena_free(looked.arena);
}
