#include "photo/plan_to_lined_up.h"

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
    photo->camera_first = !photo->photo->keeps_camera && any_move(&photo->moves) && 2 * after < before;
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
    photo_place_things(work);
    judge_camera(work);
    return true;
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
        const PhotoWork work = {arena, plan, diagnostics, &plan->shots[photo->photo->shot], photo};
        sound = line_up(&work) && sound;
    }
    return sound ? lined : NULL;
}
