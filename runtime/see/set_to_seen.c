#include "see/set_to_seen.h"

#include "see/rasteriser.h"

#include <math.h>
#include <string.h>

/* One triangle of the set, placed, and whose it is. */
typedef struct Facet {
    Point3 corners[3];
    int thing;
} Facet;

typedef struct Facets {
    Arena *arena;
    LIST(Facet) items;
} Facets;

static void keep_facet(void *context, const ModelNode *node, const Point3 corners[3]) {
    Facets *facets = context;
    if ((node->role != MODEL_SET && node->role != MODEL_STAND_IN) || node->thing < 0) return;
    const Facet facet = {{corners[0], corners[1], corners[2]}, node->thing};
    LIST_PUSH(facets->arena, facets->items, facet);
}

/* One look through one camera. */
typedef struct Look {
    const Plan *plan;
    const Facets *facets;
    int shot;
    Raster *raster;
    bool *in_frame; /* of each pixel: within the frame itself, without the spare */
    size_t frame_px;
    int32_t *stamp;    /* whose pixels are being counted */
    size_t *hidden_px; /* by thing, of the one that is being counted */
    size_t alone_px;
    int counted;
} Look;

/* The puppet that stands in this shot where one of another shot stands too: they share a node of the model.
 */
static int same_in_shot(const Look *look, int thing) {
    const PlanThing *shown = &look->plan->things[thing];
    for (size_t i = 0; i < look->plan->scene->thing_count; i++) {
        const PlanThing *other = &look->plan->things[i];
        if (other->thing->shot == look->shot && other->thing->cast == shown->thing->cast &&
            other->at.across_mm == shown->at.across_mm && other->at.back_mm == shown->at.back_mm &&
            other->at.up_mm == shown->at.up_mm && other->turn_rad == shown->turn_rad &&
            other->tall_mm == shown->tall_mm)
            return (int)i;
    }
    return -1;
}

/* As which thing something is seen in this shot; -1: it is not there. */
static int seen_as(const Look *look, int thing) {
    const Thing *it = &look->plan->scene->things[thing];
    if (it->shot < 0 || it->shot == look->shot) return thing;
    return it->role == ROLE_PUPPET ? same_in_shot(look, thing) : -1;
}

/* Rows and columns of pixels whose centres lie within the frame itself. */
static void mark_frame(Look *look, const RasterWindow *frame) {
    const size_t wide = (size_t)look->raster->wide_px, tall = (size_t)look->raster->tall_px;
    for (size_t row = 0; row < tall; row++) {
        double x, y;
        raster_pixel_mm(look->raster, row * wide, &x, &y);
        for (size_t column = 0; y >= frame->low_mm && y <= frame->high_mm && column < wide; column++) {
            const double at = x + (double)column *
                                      (look->raster->window.right_mm - look->raster->window.left_mm) /
                                      (double)wide;
            look->in_frame[row * wide + column] = at >= frame->left_mm && at <= frame->right_mm;
            look->frame_px += look->in_frame[row * wide + column];
        }
    }
}

/* Mounds and hollows are the ground's own surface; nothing else is drawn under another's name. */
static Look look_through(Arena *arena, const Plan *plan, const Facets *facets, int shot, const Camera *camera,
                         int wide_px) {
    const PlanShot *planned = &plan->shots[shot];
    const Picture *picture = &planned->picture;
    const double out = 1 + 2 * planned->spare;
    const int wide = (int)ceil(wide_px * out),
              tall = (int)ceil(wide_px * out * picture->frame_tall_mm / picture->frame_wide_mm);
    Look look = {.plan = plan, .facets = facets, .shot = shot};
    look.raster = raster_new(arena, camera, picture, raster_frame(picture, planned->spare), wide, tall);
    look.raster->solids_only = true; /* as mesh.h promises */
    for (size_t i = 0; i < facets->items.count; i++) {
        const Facet *facet = &facets->items.items[i];
        const int thing = seen_as(&look, facet->thing);
        if (thing >= 0)
            raster_triangle(look.raster, facet->corners[0], facet->corners[1], facet->corners[2], thing);
    }
    const size_t count = (size_t)wide * (size_t)tall;
    const RasterWindow frame = raster_frame(picture, 0);
    look.in_frame = ARENA_ARRAY(arena, bool, count);
    look.stamp = ARENA_ARRAY(arena, int32_t, count);
    memset(look.stamp, 0xFF, count * sizeof *look.stamp);
    look.hidden_px = ARENA_ARRAY(arena, size_t, plan->scene->thing_count + 1);
    mark_frame(&look, &frame);
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
    const RasterWindow *w = &raster->window;
    const double out = 1 + 2 * look->plan->shots[look->shot].spare;
    const size_t count = (size_t)raster->wide_px * (size_t)raster->tall_px;
    for (size_t i = 0; i < count; i++) {
        if (is_scenery(look, raster->identity[i])) continue;
        double x, y;
        raster_pixel_mm(raster, i, &x, &y);
        const double u = (2 * x - w->left_mm - w->right_mm) / (w->right_mm - w->left_mm);
        const double v = (2 * y - w->low_mm - w->high_mm) / (w->high_mm - w->low_mm);
        const FrameSide side = side_of(u * out, v * out);
        seen->bare_spare += 1.0 / (double)count;
        seen->bare_spare_at[side] += 1.0 / (double)count;
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

static void visit_pixel(void *context, size_t pixel) {
    Look *look = context;
    if (!look->in_frame[pixel] || look->stamp[pixel] == look->counted) return;
    look->stamp[pixel] = look->counted;
    look->alone_px++;
    const int32_t in_front = look->raster->identity[pixel];
    if (in_front != look->counted && in_front != RASTER_NOTHING) look->hidden_px[in_front]++;
}

/* A thing alone, and what stands before it. Facets of one thing follow one another. */
static void count_hidden(Look *look, SeenCamera *seen, int thing, const Facet *facets, size_t count) {
    const size_t things = look->plan->scene->thing_count;
    look->counted = thing;
    look->alone_px = 0;
    memset(look->hidden_px, 0, things * sizeof *look->hidden_px);
    for (size_t i = 0; i < count; i++)
        raster_visit(look->raster, facets[i].corners[0], facets[i].corners[1], facets[i].corners[2],
                     visit_pixel, look);
    SeenThing *it = &seen->things[thing];
    it->hidden_by = -1;
    if (look->alone_px == 0) return;
    it->alone = (double)look->alone_px / (double)look->frame_px;
    for (size_t t = 0; t < things; t++) {
        const double share = (double)look->hidden_px[t] / (double)look->alone_px;
        if (share <= it->hidden_by_share) continue;
        it->hidden_by = (int)t;
        it->hidden_by_share = share;
    }
}

static void count_all_hidden(Look *look, SeenCamera *seen) {
    const Facet *facets = look->facets->items.items;
    for (size_t i = 0; i < look->facets->items.count;) {
        size_t end = i;
        while (end < look->facets->items.count && facets[end].thing == facets[i].thing)
            end++;
        const int thing = seen_as(look, facets[i].thing);
        const ThingRole role = look->plan->scene->things[facets[i].thing].role;
        if (thing >= 0 && role != ROLE_GROUND && role != ROLE_BASE && role != ROLE_BACKDROP)
            count_hidden(look, seen, thing, facets + i, end - i);
        i = end;
    }
}

static SeenCamera see(Arena *arena, const Plan *plan, const Facets *facets, int shot, int camera,
                      int wide_px) {
    const bool planned = camera == 0; /* only of the planned camera: what hides what */
    SeenCamera seen = {.shot = shot, .camera = camera};
    seen.things = ARENA_ARRAY(arena, SeenThing, plan->scene->thing_count);
    for (size_t i = 0; i < plan->scene->thing_count; i++)
        seen.things[i].hidden_by = -1;
    Arena *own = arena_new(); /* pixels go when they have been counted */
    Look look = look_through(own, plan, facets, shot, &plan->shots[shot].cameras[camera].camera,
                             planned ? wide_px : wide_px / 2);
    count_bare(&look, &seen);
    count_seen(&look, &seen);
    if (planned) count_all_hidden(&look, &seen);
    arena_free(own);
    return seen;
}

Seen *set_to_seen(Arena *arena, const Plan *plan, const Model *set, int wide_px) {
    Facets facets = {.arena = arena};
    model_each_triangle(set, keep_facet, &facets);
    Seen *seen = ARENA_NEW(arena, Seen);
    for (size_t s = 0; s < plan->shot_count; s++)
        seen->count += plan->shots[s].camera_count;
    seen->cameras = ARENA_ARRAY(arena, SeenCamera, seen->count);
    size_t at = 0;
    for (size_t s = 0; s < plan->shot_count; s++) {
        for (size_t c = 0; c < plan->shots[s].camera_count; c++)
            seen->cameras[at++] = see(arena, plan, &facets, (int)s, (int)c, wide_px);
    }
    return seen;
}
