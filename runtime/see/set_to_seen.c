#include "see/set_to_seen.h"

#include "see/scenery.h"

#include <math.h>
#include <string.h>

/* One look through one camera. */
typedef struct Look {
    const Plan *plan;
    const Scenery *scenery;
    int shot;
    Raster *raster;
    bool *in_frame, *in_spare; /* of each pixel: within the frame itself, and within that and its spare */
    size_t frame_px, spare_px;
    int32_t *stamp;    /* whose pixels are being counted */
    size_t *hidden_px; /* by thing, of the one that is being counted */
    size_t alone_px;
    int counted;
} Look;

static bool within(const RasterWindow *window, double x, double y) {
    return x >= window->left_mm && x <= window->right_mm && y >= window->low_mm && y <= window->high_mm;
}

/* Marks the pixels whose centres lie in the frame, and in the frame with its spare, and counts them. */
static void mark_frame(Look *look, const RasterWindow *frame, const RasterWindow *with_spare) {
    const size_t wide = (size_t)look->raster->wide_px, tall = (size_t)look->raster->tall_px;
    for (size_t row = 0; row < tall; row++) {
        double x, y, last_x, last_y;
        raster_pixel_mm(look->raster, row * wide, &x, &y);
        raster_pixel_mm(look->raster, row * wide + wide - 1, &last_x, &last_y);
        const double steps = wide > 1 ? (double)(wide - 1) : 1;
        const double step_x = (last_x - x) / steps, step_y = (last_y - y) / steps;
        for (size_t i = row * wide, column = 0; column < wide; i++, column++) {
            const double at_x = x + (double)column * step_x, at_y = y + (double)column * step_y;
            look->in_frame[i] = within(frame, at_x, at_y);
            look->in_spare[i] = within(with_spare, at_x, at_y);
            look->frame_px += look->in_frame[i];
            look->spare_px += look->in_spare[i];
        }
    }
}

/* Pixels a pixel. Rows cross one another's levels about every 33 pixels, and never at the same part of one.
 */
static const double GRID_SLOPE = 1 / 32.618;

/* A raster with so many pixels across the frame, large enough for the spare; its grid is askew. */
static Raster *raster_for(Arena *arena, const Camera *camera, const Picture *picture, double spare,
                          int wide_px) {
    const RasterWindow frame = raster_frame(picture, spare);
    const double wide = wide_px * (1 + 2 * spare),
                 tall = wide * picture->frame_tall_mm / picture->frame_wide_mm;
    const double mm_per_px = (frame.right_mm - frame.left_mm) / wide;
    const double grid_wide = ceil(wide + GRID_SLOPE * tall), grid_tall = ceil(tall + GRID_SLOPE * wide);
    const double beside = (grid_wide - wide) / 2 * mm_per_px, above = (grid_tall - tall) / 2 * mm_per_px;
    const RasterWindow window = {frame.left_mm - beside, frame.right_mm + beside, frame.low_mm - above,
                                 frame.high_mm + above};
    Raster *raster = raster_new(arena, camera, picture, window, (int)grid_wide, (int)grid_tall);
    raster_turn(raster, GRID_SLOPE);
    return raster;
}

static Look look_through(Arena *arena, const Scenery *scenery, int shot, const Camera *camera, int wide_px) {
    const Plan *plan = scenery->plan;
    const PlanShot *planned = &plan->shots[shot];
    const Picture *picture = &planned->picture;
    Look look = {.plan = plan, .scenery = scenery, .shot = shot};
    look.raster = raster_for(arena, camera, picture, planned->spare, wide_px);
    scenery_draw(scenery, look.raster, shot);
    const size_t count = (size_t)look.raster->wide_px * (size_t)look.raster->tall_px;
    const RasterWindow frame = raster_frame(picture, 0), with_spare = raster_frame(picture, planned->spare);
    look.in_frame = ARENA_ARRAY(arena, bool, count);
    look.in_spare = ARENA_ARRAY(arena, bool, count);
    look.stamp = ARENA_ARRAY(arena, int32_t, count);
    memset(look.stamp, 0xFF, count * sizeof *look.stamp);
    look.hidden_px = ARENA_ARRAY(arena, size_t, plan->scene->thing_count + 1);
    mark_frame(&look, &frame, &with_spare);
    return look;
}

/* Which of the four triangles that the diagonals cut a place lies in; u and v run from -1 to 1. */
static FrameSide side_of(double u, double v) {
    if (fabs(u) > fabs(v)) return u < 0 ? SIDE_LEFT : SIDE_RIGHT;
    return v < 0 ? SIDE_BOTTOM : SIDE_TOP;
}

static bool is_scenery(const Look *look, int32_t identity) {
    return identity != RASTER_NOTHING && look->plan->scene->things[identity].role != ROLE_BASE;
}

static void count_bare(const Look *look, SeenCamera *seen) {
    const Raster *raster = look->raster;
    const RasterWindow frame = raster_frame(&raster->picture, 0);
    const size_t count = (size_t)raster->wide_px * (size_t)raster->tall_px;
    for (size_t i = 0; i < count; i++) {
        if (!look->in_spare[i] || is_scenery(look, raster->identity[i])) continue;
        double x, y;
        raster_pixel_mm(raster, i, &x, &y);
        const double u = (2 * x - frame.left_mm - frame.right_mm) / (frame.right_mm - frame.left_mm);
        const double v = (2 * y - frame.low_mm - frame.high_mm) / (frame.high_mm - frame.low_mm);
        const FrameSide side = side_of(u, v);
        seen->bare_spare += 1.0 / (double)look->spare_px;
        seen->bare_spare_at[side] += 1.0 / (double)look->spare_px;
        if (!look->in_frame[i]) continue;
        seen->bare += 1.0 / (double)look->frame_px;
        seen->bare_at[side] += 1.0 / (double)look->frame_px;
    }
}

static void count_seen(const Look *look, SeenCamera *seen) {
    const size_t count = (size_t)look->raster->wide_px * (size_t)look->raster->tall_px;
    for (size_t i = 0; i < count; i++) {
        const int32_t identity = look->raster->identity[i];
        if (!look->in_frame[i] || identity == RASTER_NOTHING) continue;
        seen->things[identity].share += 1.0 / (double)look->frame_px;
        if (look->plan->scene->things[identity].role == ROLE_GROUND)
            seen->ground += 1.0 / (double)look->frame_px;
    }
}

static void visit_run(void *context, size_t pixel, size_t count) {
    Look *look = context;
    for (size_t i = pixel; i < pixel + count; i++) {
        if (!look->in_frame[i] || look->stamp[i] == look->counted) continue;
        look->stamp[i] = look->counted;
        look->alone_px++;
        const int32_t in_front = look->raster->identity[i];
        if (in_front != look->counted && in_front != RASTER_NOTHING) look->hidden_px[in_front]++;
    }
}

/* A thing alone, and what stands before it. */
static void count_hidden(Look *look, SeenCamera *seen, int thing, const SceneryPart *parts, size_t count) {
    const size_t things = look->plan->scene->thing_count;
    look->counted = thing;
    look->alone_px = 0;
    memset(look->hidden_px, 0, things * sizeof *look->hidden_px);
    for (size_t i = 0; i < count; i++)
        raster_visit_mesh(look->raster, &parts[i].mesh, visit_run, look);
    SeenThing *it = &seen->things[thing];
    it->hidden_by = -1;
    if (look->alone_px == 0) return;
    it->alone = (double)look->alone_px / (double)look->frame_px;
    for (size_t t = 0; t < things; t++) {
        const double share = (double)look->hidden_px[t] / (double)look->alone_px;
        it->hidden += share;
        if (share <= it->hidden_by_share) continue;
        it->hidden_by = (int)t;
        it->hidden_by_share = share;
    }
}

static void count_all_hidden(Look *look, SeenCamera *seen) {
    const Scenery *scenery = look->scenery;
    for (size_t i = 0; i < scenery->part_count;) {
        size_t end = i;
        while (end < scenery->part_count && scenery->parts[end].thing == scenery->parts[i].thing)
            end++;
        const int thing = scenery_seen_as(scenery, scenery->parts[i].thing, look->shot);
        const ThingRole role = look->plan->scene->things[scenery->parts[i].thing].role;
        if (thing >= 0 && role != ROLE_GROUND && role != ROLE_BASE && role != ROLE_BACKDROP)
            count_hidden(look, seen, thing, scenery->parts + i, end - i);
        i = end;
    }
}

static SeenCamera see(Arena *arena, const Scenery *scenery, int shot, int camera, int wide_px) {
    const bool planned = camera == 0; /* only of the planned camera: what hides what */
    const Plan *plan = scenery->plan;
    SeenCamera seen = {.shot = shot, .camera = camera};
    seen.things = ARENA_ARRAY(arena, SeenThing, plan->scene->thing_count);
    for (size_t i = 0; i < plan->scene->thing_count; i++)
        seen.things[i].hidden_by = seen.things[i].face_hidden_by = -1;
    Arena *own = arena_new(); /* pixels go when they have been counted */
    Look look = look_through(own, scenery, shot, &plan->shots[shot].cameras[camera].camera,
                             planned ? wide_px : wide_px / 2);
    count_bare(&look, &seen);
    count_seen(&look, &seen);
    if (planned) count_all_hidden(&look, &seen);
    arena_free(own);
    return seen;
}

Seen *set_to_seen(Arena *arena, const Plan *plan, const Model *set, int wide_px) {
    const Scenery *scenery = scenery_new(arena, plan, set);
    Seen *seen = ARENA_NEW(arena, Seen);
    for (size_t s = 0; s < plan->shot_count; s++)
        seen->count += plan->shots[s].camera_count;
    seen->cameras = ARENA_ARRAY(arena, SeenCamera, seen->count);
    size_t at = 0;
    for (size_t s = 0; s < plan->shot_count; s++) {
        for (size_t c = 0; c < plan->shots[s].camera_count; c++)
            seen->cameras[at++] = see(arena, scenery, (int)s, (int)c, wide_px);
    }
    return seen;
}
