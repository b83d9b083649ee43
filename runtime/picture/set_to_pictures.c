#include "picture/set_to_pictures.h"

#include "picture/pictures.h"
#include "plan/lined_up.h"

static const char *ending_of(Arena *arena, const PlanShot *shot, const char *ending) {
    return shot->id[0] ? arena_format(arena, ".%s%s", shot->id, ending) : ending;
}

/* Those of the shot, by their own names. */
static void add_photos(const PictureTask *task, size_t count, Pictures *pictures) {
    for (size_t i = 0; i < count; i++) {
        PictureFile *file = &pictures->files[pictures->count];
        if (!photo_picture(task, i, file)) continue;
        file->ending = arena_format(task->arena, ".%s.png", task->plan->lined_up->photos[i].id);
        pictures->count++;
    }
}

Pictures set_to_pictures(Arena *arena, const Plan *plan, const Model *set, const Facts *facts) {
    static bool (*const makers[])(const PictureTask *, PictureFile *) = {frame_picture, cameras_picture,
                                                                         squared_picture};
    enum { MAKERS = sizeof makers / sizeof *makers };
    const size_t photo_count = plan->lined_up ? plan->lined_up->count : 0;
    Pictures pictures = {.files = ARENA_ARRAY(arena, PictureFile, plan->shot_count * MAKERS + photo_count)};
    PictureTask task = {.arena = arena, .plan = plan, .set = set, .facts = facts};
    task.scenery = scenery_new(arena, plan, set);
    for (task.shot = 0; task.shot < plan->shot_count; task.shot++) {
        for (size_t m = 0; m < MAKERS; m++) {
            PictureFile *file = &pictures.files[pictures.count];
            if (!makers[m](&task, file)) continue;
            file->ending = ending_of(arena, &plan->shots[task.shot], file->ending);
            pictures.count++;
        }
        add_photos(&task, photo_count, &pictures);
    }
    return pictures;
}
