#include "photo/plan_to_lined_up.h"

#include "base/text.h"
#include "photo/photo_stages.h"

#include <math.h>

/* The planned camera with the lens that is on the photograph's, so that moves are not of lenses. */
static void set_planned(const PhotoWork *work) {
    LinedPhoto *photo = work->photo;
    photo->planned = photo_camera_of(&work->shot->cameras[0].camera);
    if (!(photo->focal_mm > 0)) return;
    PhotoCamera other = photo->planned;
    other.focal_mm = photo->focal_mm;
    if (photo_focus(&other, work->shot->focus)) photo->planned = other;
}

/* What rounds to nothing on a tape or a level is no move. */
static const double LEAST_MOVE_MM = 1.5875, LEAST_MOVE_RAD = RADIANS(0.05);

static void judge_moves(CameraMoves *moves) {
    CameraMove *const lengths[] = {&moves->nearer, &moves->right, &moves->up};
    CameraMove *const angles[] = {&moves->turn_right, &moves->tilt_down, &moves->roll_clockwise};
    for (size_t i = 0; i < 3; i++) {
        lengths[i]->needed &= fabs(lengths[i]->by) > LEAST_MOVE_MM;
        angles[i]->needed &= fabs(angles[i]->by) > LEAST_MOVE_RAD;
    }
}

static bool any_move(const CameraMoves *moves) {
    return moves->nearer.needed || moves->right.needed || moves->up.needed || moves->turn_right.needed ||
           moves->tilt_down.needed || moves->roll_clockwise.needed;
}

/* Moving the camera comes first where that alone cures most of what is off: more than half of the squares. */
static void judge_camera(const PhotoWork *work) {
    LinedPhoto *photo = work->photo;
    double before = 0, after = 0;
    for (size_t i = 0; i < photo->thing_count; i++) {
        before += photo->things[i].off_mm * photo->things[i].off_mm;
        after += photo->things[i].off_after_mm * photo->things[i].off_after_mm;
    }
    photo->camera_moves = !photo->photo->keeps_camera && any_move(&photo->moves);
    photo->camera_first = photo->camera_moves && 2 * after < before;
}

static bool line_up(const PhotoWork *work) {
    LinedPhoto *photo = work->photo;
    if (!photo_read(work)) return false;
    set_planned(work);
    if (!photo_solve(work)) return false;
    photo->planned.focal_mm = photo->found->camera.focal_mm;
    photo_focus(&photo->planned, work->shot->focus);
    photo_scale(work);
    resected_moves(photo->found, &photo->planned, &photo->moves);
    judge_moves(&photo->moves);
    photo_place_things(work);
    judge_camera(work);
    return true;
}

static bool is_taken(const Plan *plan, const LinedUp *lined, const char *id) {
    static const char *const pictures[] = {"cameras", "squared", "notes"};
    bool taken = !*id;
    for (size_t i = 0; i < sizeof pictures / sizeof *pictures; i++)
        taken |= text_equal(pictures[i], id);
    for (size_t i = 0; i < plan->shot_count; i++)
        taken |= text_equal(plan->shots[i].id, id);
    for (size_t i = 0; i + 1 < lined->count; i++)
        taken |= text_equal(lined->photos[i].id, id);
    return taken;
}

/* Of the last photograph, once those before it have theirs. */
static const char *photo_id(Arena *arena, const Plan *plan, const LinedUp *lined, const char *name) {
    const char *plain = text_for_files(arena, name), *id = plain;
    for (int number = 2; is_taken(plan, lined, id); number++)
        id = arena_format(arena, "%s-%d", plain, number);
    return id;
}

LinedUp *plan_to_lined_up(Arena *arena, Plan *plan, Diagnostics *diagnostics) {
    const Scene *scene = plan->scene;
    if (scene->photo_count == 0) return NULL;
    LinedUp *lined = ARENA_NEW(arena, LinedUp);
    lined->photos = ARENA_ARRAY(arena, LinedPhoto, scene->photo_count);
    bool sound = true;
    for (size_t i = 0; i < scene->photo_count; i++) {
        LinedPhoto *photo = &lined->photos[lined->count++];
        photo->photo = &scene->photos[i];
        photo->id = photo_id(arena, plan, lined, photo->photo->name);
        const PhotoWork work = {arena, plan, diagnostics, &plan->shots[photo->photo->shot], photo};
        sound = line_up(&work) && sound;
    }
    return sound ? lined : NULL;
}
