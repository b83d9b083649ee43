#include "report/summary.h"

#include "base/text.h"

static const char *kept(Arena *arena, const char *text) {
    return text ? arena_string(arena, text) : NULL;
}

static void summarise_puppet(Arena *arena, const Plan *plan, const PlanShot *shot, const PlanThing *thing,
                             SummaryShot *summary) {
    const PlanView view = plan_view(thing, &shot->cameras[0].camera, &shot->picture);
    const Thing *it = thing->thing;
    if (!view.seen || it->cast < 0) return;
    const char *cast = plan->scene->cast[it->cast].name;
    summary->puppets[summary->puppet_count++] = (SummaryPuppet){
        .cast = it->cast,
        .name = kept(arena, cast),
        .stand_in = text_equal(it->name, cast) ? NULL : kept(arena, it->name),
        .pose = kept(arena, it->pose),
        .tall_mm = thing->tall_mm,
        .enlargement = view.scale,
        .printed_mm = view.tall_mm * shot->picture.trim_wide_mm / shot->picture.drawing_wide_mm};
}

static void summarise_puppets(Arena *arena, const Plan *plan, size_t shot, SummaryShot *summary) {
    const size_t count = plan->scene->thing_count;
    size_t puppets = 0;
    for (size_t i = 0; i < count; i++)
        puppets += plan->scene->things[i].role == ROLE_PUPPET;
    summary->puppets = ARENA_ARRAY(arena, SummaryPuppet, puppets);
    for (size_t i = 0; i < count; i++) {
        const Thing *thing = &plan->scene->things[i];
        if (thing->role == ROLE_PUPPET && (thing->shot < 0 || (size_t)thing->shot == shot))
            summarise_puppet(arena, plan, &plan->shots[shot], &plan->things[i], summary);
    }
}

static SummaryShot summarise_shot(Arena *arena, const Plan *plan, size_t index) {
    const PlanShot *shot = &plan->shots[index];
    const Camera *camera = &shot->solution.camera;
    const int body = shot->body, lens = shot->cameras[0].lens_kind;
    const char *scene = plan->scene->name;
    SummaryShot summary = {
        .name = plan->shot_count > 1 ? arena_format(arena, "%s, %s", scene, shot->name) : kept(arena, scene),
        .body = body,
        .body_name = body >= 0 ? kept(arena, plan->scene->bodies[body].name) : NULL,
        .lens_name = lens >= 0 ? kept(arena, plan->scene->lenses[lens].name) : NULL,
        .focal_mm = camera->focal_mm,
        .height_mm = camera->height_mm,
        .distance_mm = camera->distance_mm,
        .tilt_rad = camera->tilt_rad,
        .upright = shot->shot->upright,
        .enlargement = camera_scale(camera, &shot->picture, (Point3){.up_mm = shot->mark.up_mm})};
    summarise_puppets(arena, plan, index, &summary);
    return summary;
}

Summary plan_to_summary(Arena *arena, const Plan *plan) {
    Summary summary = {.scene = kept(arena, plan->scene->name),
                       .title = kept(arena, plan->scene->title),
                       .build_wide_mm = plan->build_wide_mm,
                       .build_deep_mm = plan->build_deep_mm,
                       .build_tall_mm = plan->build_tall_mm,
                       .shots = ARENA_ARRAY(arena, SummaryShot, plan->shot_count),
                       .shot_count = plan->shot_count};
    for (size_t i = 0; i < plan->shot_count; i++)
        summary.shots[i] = summarise_shot(arena, plan, i);
    return summary;
}
