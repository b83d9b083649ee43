#include "see/set_to_seen.h"

#include "plan/plan_face.h"
#include "see/growth.h"
#include "see/lamp_sight.h"
#include "see/look.h"
#include "see/photo_sight.h"
#include "see/slack.h"

#include <math.h>
#include <string.h>

/* Which of the four triangles that the diagonals cut a place lies in; u and v run from -1 to 1. */
static FrameSide side_of(double u, double v) {
    if (fabs(u) > fabs(v)) return u < 0 ? SIDE_LEFT : SIDE_RIGHT;
    return v < 0 ? SIDE_BOTTOM : SIDE_TOP;
}

/* The share of a frame that is bare, and at which of its sides. */
static double count_bare(const Look *look, const FramePixels *pixels, double at[SIDE_COUNT]) {
    const RasterWindow frame = pixels->window;
    size_t bare[SIDE_COUNT] = {0};
    double all = 0;
    for (int row = 0; row < look->raster->tall_px; row++) {
        const size_t first = (size_t)row * (size_t)look->raster->wide_px;
        for (int x = pixels->from[row]; x < pixels->to[row]; x++) {
            if (!scenery_bare(look->scenery, look->raster, first + (size_t)x)) continue;
            double x_mm, y_mm;
            raster_pixel_mm(look->raster, first + (size_t)x, &x_mm, &y_mm);
            bare[side_of((2 * x_mm - frame.left_mm - frame.right_mm) / (frame.right_mm - frame.left_mm),
                         (2 * y_mm - frame.low_mm - frame.high_mm) / (frame.high_mm - frame.low_mm))]++;
        }
    }
    for (int side = 0; side < SIDE_COUNT; side++) {
        at[side] = (double)bare[side] / (double)pixels->count;
        all += at[side];
    }
    return all;
}

static void count_seen(Arena *arena, const Look *look, SeenCamera *seen) {
    const size_t things = look->plan->scene->thing_count;
    size_t *counts = ARENA_ARRAY(arena, size_t, things);
    for (int row = 0; row < look->raster->tall_px; row++) {
        const int32_t *identity = look->raster->identity + (size_t)row * (size_t)look->raster->wide_px;
        for (int x = look->frame.from[row]; x < look->frame.to[row]; x++)
            if (identity[x] != RASTER_NOTHING) counts[identity[x]]++;
    }
    for (size_t i = 0; i < things; i++) {
        seen->things[i].share = (double)counts[i] / (double)look->frame.count;
        if (look->plan->scene->things[i].role == ROLE_GROUND) seen->ground += seen->things[i].share;
    }
}

/* --- what hides what */

/* The pixels of one thing, each counted once. */
typedef struct Alone {
    const Look *look;
    int32_t *stamp;    /* of each pixel: the thing that it was counted for */
    size_t *hidden_px; /* by thing: how many it hides */
    size_t pixels;
    size_t *face_hidden_px; /* likewise of its face */
    size_t face_px;
    bool has_face;
    PageArea face; /* on the drawing */
    int thing;
} Alone;

static bool is_of_face(const Alone *alone, size_t pixel) {
    const PageArea *face = &alone->face;
    if (!alone->has_face) return false;
    double x, y;
    raster_pixel_mm(alone->look->raster, pixel, &x, &y);
    return x >= face->left_mm && x <= face->right_mm && y >= face->low_mm && y <= face->high_mm;
}

static void visit_run(void *context, size_t pixel, size_t count) {
    Alone *alone = context;
    const Look *look = alone->look;
    const int wide = look->raster->wide_px, y = (int)(pixel / (size_t)wide), x = (int)(pixel % (size_t)wide);
    const int from = x > look->frame.from[y] ? x : look->frame.from[y];
    const int to = x + (int)count < look->frame.to[y] ? x + (int)count : look->frame.to[y];
    for (int i = from; i < to; i++) {
        const size_t at = (size_t)y * (size_t)wide + (size_t)i;
        if (alone->stamp[at] == alone->thing) continue;
        alone->stamp[at] = alone->thing;
        alone->pixels++;
        const int32_t in_front = look->raster->identity[at];
        const bool hidden = in_front != alone->thing && in_front != RASTER_NOTHING,
                   face = is_of_face(alone, at);
        alone->face_px += face;
        if (!hidden) continue;
        alone->hidden_px[in_front]++;
        alone->face_hidden_px[in_front] += face;
    }
}

/* Of so many pixels, the share that is hidden, and by which thing most. */
static double hidden_share(const size_t *hidden_px, size_t things, size_t pixels, int *by, double *by_share) {
    size_t all = 0, most = 0;
    for (size_t t = 0; t < things; t++) {
        all += hidden_px[t];
        if (hidden_px[t] <= most) continue;
        most = hidden_px[t];
        *by = (int)t;
    }
    *by_share = pixels > 0 ? (double)most / (double)pixels : 0;
    return pixels > 0 ? (double)all / (double)pixels : 0;
}

/* Of fewer pixels nothing is said: most of such a face is out of the frame. */
enum { FACE_LEAST_PX = 8 };

/* A thing alone, and what stands before it. */
static void count_hidden(Alone *alone, SeenCamera *seen, const SceneryPart *parts, size_t count) {
    const Look *look = alone->look;
    const size_t things = look->plan->scene->thing_count;
    const PlanThing *planned = &look->plan->things[alone->thing];
    alone->pixels = alone->face_px = 0;
    alone->has_face = planned->thing->role == ROLE_PUPPET &&
                      plan_face_area(planned, look->camera, look->picture, &alone->face);
    memset(alone->hidden_px, 0, things * sizeof *alone->hidden_px);
    memset(alone->face_hidden_px, 0, things * sizeof *alone->face_hidden_px);
    for (size_t i = 0; i < count; i++)
        raster_visit_mesh(look->raster, &parts[i].mesh, visit_run, alone);
    SeenThing *it = &seen->things[alone->thing];
    it->alone = (double)alone->pixels / (double)look->frame.count;
    it->hidden = hidden_share(alone->hidden_px, things, alone->pixels, &it->hidden_by, &it->hidden_by_share);
    it->face_hidden = hidden_share(alone->face_hidden_px, things, alone->face_px, &it->face_hidden_by,
                                   &it->face_hidden_by_share);
}

static void count_all_hidden(Arena *arena, const Look *look, SeenCamera *seen) {
    const Scenery *scenery = look->scenery;
    const size_t pixels = (size_t)look->raster->wide_px * (size_t)look->raster->tall_px;
    Alone alone = {.look = look,
                   .stamp = ARENA_ARRAY(arena, int32_t, pixels),
                   .hidden_px = ARENA_ARRAY(arena, size_t, look->plan->scene->thing_count + 1),
                   .face_hidden_px = ARENA_ARRAY(arena, size_t, look->plan->scene->thing_count + 1)};
    memset(alone.stamp, 0xFF, pixels * sizeof *alone.stamp);
    for (size_t i = 0; i < scenery->part_count;) {
        size_t end = i;
        while (end < scenery->part_count && scenery->parts[end].thing == scenery->parts[i].thing)
            end++;
        const ThingRole role = look->plan->scene->things[scenery->parts[i].thing].role;
        alone.thing = scenery_seen_as(scenery, scenery->parts[i].thing, look->shot_index);
        if (alone.thing >= 0 && role != ROLE_GROUND && role != ROLE_BASE && role != ROLE_BACKDROP)
            count_hidden(&alone, seen, scenery->parts + i, end - i);
        i = end;
    }
}

static int half_of(int wide_px) {
    return wide_px > 2 ? wide_px / 2 : 1;
}

/* What closes the frame, and that with its spare, which is a part of what closes all. */
static void close_frame(Arena *arena, const Look *look, SeenCamera *seen, Needs *all) {
    if (seen->bare_spare <= 0) return;
    Needs *needs = needs_new(arena, look->plan);
    needs_add(needs, look, &look->frame);
    seen->closes = needs_to_growths(arena, needs);
    needs_add(needs, look, &look->spared);
    seen->closes_spare = needs_to_growths(arena, needs);
    needs_add(all, look, &look->spared);
}

static SeenCamera see(Arena *arena, const Scenery *scenery, int shot, int camera, int wide_px, Needs *all) {
    const bool planned = camera == 0; /* only of the planned camera: what hides what, and the slack */
    const size_t things = scenery->plan->scene->thing_count;
    SeenCamera seen = {.shot = shot, .camera = camera, .things = ARENA_ARRAY(arena, SeenThing, things)};
    for (size_t i = 0; i < things; i++)
        seen.things[i].hidden_by = seen.things[i].face_hidden_by = -1;
    Arena *own = arena_new(); /* pixels go when they have been counted */
    const PlanShot *planned_shot = &scenery->plan->shots[shot];
    const Picture *picture = &planned_shot->picture;
    const Look look =
        look_new(own, scenery, shot, &planned_shot->cameras[camera].camera, picture, raster_frame(picture, 0),
                 raster_frame(picture, planned_shot->spare), planned ? wide_px : half_of(wide_px));
    seen.bare = count_bare(&look, &look.frame, seen.bare_at);
    seen.bare_spare = count_bare(&look, &look.spared, seen.bare_spare_at);
    count_seen(own, &look, &seen);
    seen.lamps = lamps_in_sight(arena, &look);
    if (planned) count_all_hidden(own, &look, &seen);
    close_frame(arena, &look, &seen, all);
    arena_free(own);
    if (planned) seen.slack = slack_of(scenery, shot, half_of(wide_px), seen.bare >= SEEN_NOTHING);
    return seen;
}

/* Another body's whole sensor, which knows of no spare. */
static SeenAlso see_also(const Scenery *scenery, int shot, int index, int wide_px) {
    SeenAlso seen = {.shot = shot, .also = index};
    const OtherBody *other = &scenery->plan->shots[shot].also[index].other;
    const RasterWindow window = {other->left_mm, other->right_mm, other->low_mm, other->high_mm};
    Arena *own = arena_new();
    const Look look = look_new(own, scenery, shot, &other->camera, &other->picture, window, window, wide_px);
    seen.bare = count_bare(&look, &look.frame, seen.bare_at);
    arena_free(own);
    return seen;
}

static void see_all_also(Arena *arena, const Scenery *scenery, int wide_px, Seen *seen) {
    const Plan *plan = scenery->plan;
    size_t count = 0;
    for (size_t s = 0; s < plan->shot_count; s++)
        count += plan->shots[s].also_count;
    seen->also = ARENA_ARRAY(arena, SeenAlso, count);
    for (size_t s = 0; s < plan->shot_count; s++) {
        for (size_t i = 0; i < plan->shots[s].also_count; i++)
            seen->also[seen->also_count++] = see_also(scenery, (int)s, (int)i, half_of(wide_px));
    }
}

static void see_photos(Arena *arena, const Scenery *scenery, int wide_px, Seen *seen) {
    const LinedUp *lined = scenery->plan->lined_up;
    if (!lined) return;
    seen->photos = ARENA_ARRAY(arena, SeenPhoto, lined->count);
    for (size_t i = 0; i < lined->count; i++)
        seen->photos[i] = photo_seen(arena, scenery, &lined->photos[i], wide_px);
}

Seen *set_to_seen(Arena *arena, const Plan *plan, const Model *set, int wide_px) {
    const Scenery *scenery = scenery_new(arena, plan, set);
    Seen *seen = ARENA_NEW(arena, Seen);
    for (size_t s = 0; s < plan->shot_count; s++)
        seen->count += plan->shots[s].camera_count;
    seen->cameras = ARENA_ARRAY(arena, SeenCamera, seen->count);
    Needs *all = needs_new(arena, plan);
    size_t at = 0;
    for (size_t s = 0; s < plan->shot_count; s++) {
        for (size_t c = 0; c < plan->shots[s].camera_count; c++)
            seen->cameras[at++] = see(arena, scenery, (int)s, (int)c, wide_px, all);
    }
    seen->closes = needs_to_growths(arena, all);
    see_all_also(arena, scenery, wide_px, seen);
    see_photos(arena, scenery, wide_px, seen);
    return seen;
}
