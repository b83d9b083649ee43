#include "see/rasteriser.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

/* Nearer than this along the axis nothing is drawn. */
static const double NEAR_MM = 1;
/* Subpixels: 1/256 pixel. */
enum { SUBPIXEL_BITS = 8, SUBPIXELS = 1 << SUBPIXEL_BITS };
static const double REACH_PX =
    1048576; /* 2^20 from the window's middle: subpixels stay under 2^29, edges under 2^61 */

typedef struct Corner {
    double r, q, w; /* across, up and away in the camera's own frame, mm */
} Corner;

typedef struct Spot {
    int32_t x, y; /* subpixels, y down; under 2^29 */
    double nearness;
} Spot;

/* A vertex of a mesh, seen. */
struct RasterVertex {
    Corner corner;
    Spot spot;   /* holds where `simple` */
    bool simple; /* in front of the lens and within reach: needs no clipping */
};

Raster *raster_new(Arena *arena, const Camera *camera, const Picture *picture, RasterWindow window,
                   int wide_px, int tall_px) {
    assert(wide_px >= 1 && tall_px >= 1 && wide_px <= RASTER_SIDE_MOST_PX && tall_px <= RASTER_SIDE_MOST_PX);
    Raster *raster = ARENA_NEW(arena, Raster);
    const size_t count = (size_t)wide_px * (size_t)tall_px;
    *raster = (Raster){.arena = arena,
                       .camera = *camera,
                       .picture = *picture,
                       .window = window,
                       .wide_px = wide_px,
                       .tall_px = tall_px};
    raster->nearness = ARENA_ARRAY(arena, float, count);
    raster->identity = ARENA_ARRAY(arena, int32_t, count);
    const double k = picture->drawn_per_sensor * camera->image_mm;
    raster->sine = sin(camera->tilt_rad);
    raster->cosine = cos(camera->tilt_rad);
    const double px_x = SUBPIXELS * wide_px / (window.right_mm - window.left_mm),
                 px_y = SUBPIXELS * tall_px / (window.high_mm - window.low_mm);
    raster->scale_x = k * px_x;
    raster->scale_y = k * px_y;
    raster->axis_x = (picture->drawing_wide_mm / 2 - picture->drawn_per_sensor * picture->crop_across_mm -
                      window.left_mm) *
                     px_x;
    raster->axis_y =
        (window.high_mm - picture->drawing_tall_mm / 2 + picture->drawn_per_sensor * camera->crop_up_mm) *
        px_y;
    const double reach = REACH_PX * SUBPIXELS, middle_x = SUBPIXELS * wide_px / 2.0,
                 middle_y = SUBPIXELS * tall_px / 2.0;
    raster->left = (reach - middle_x + raster->axis_x) / raster->scale_x;
    raster->right = (reach + middle_x - raster->axis_x) / raster->scale_x;
    raster->low = (reach + middle_y - raster->axis_y) / raster->scale_y;
    raster->high = (reach - middle_y + raster->axis_y) / raster->scale_y;
    memset(raster->identity, 0xFF, count * sizeof *raster->identity);
    return raster;
}

RasterWindow raster_frame(const Picture *picture, double spare) {
    const double drawn_per_paper = picture->drawing_wide_mm / picture->trim_wide_mm;
    const double half_wide = picture->frame_wide_mm * drawn_per_paper * (0.5 + spare);
    const double half_tall = picture->frame_tall_mm * drawn_per_paper * (0.5 + spare);
    const double x = picture->drawing_wide_mm / 2, y = picture->drawing_tall_mm / 2;
    return (RasterWindow){x - half_wide, x + half_wide, y - half_tall, y + half_tall};
}

void raster_turn(Raster *raster, double slope) {
    raster->slope = slope;
}

static Corner corner_of(const Raster *raster, Point3 p) {
    const Camera *c = &raster->camera;
    const double s = raster->sine, k = raster->cosine;
    const double away = p.back_mm + c->distance_mm, down = c->height_mm - p.up_mm;
    return (Corner){p.across_mm - c->across_mm, away * s - down * k, away * k + down * s};
}

/* Clips at the near plane and at the reach of the integer grid: four half-planes through the lens beside it.
 */
static double inside(const Raster *raster, const Corner *p, int plane) {
    switch (plane) {
    case 0:
        return p->w - NEAR_MM;
    case 1:
        return raster->right * p->w - p->r;
    case 2:
        return raster->left * p->w + p->r;
    case 3:
        return raster->high * p->w - p->q;
    default:
        return raster->low * p->w + p->q;
    }
}

enum { CLIPPED_MOST = 8 };

static size_t clip(const Raster *raster, Corner corners[CLIPPED_MOST]) {
    size_t count = 3;
    for (int plane = 0; plane < 5; plane++) {
        Corner kept[CLIPPED_MOST];
        size_t kept_count = 0;
        for (size_t i = 0; i < count; i++) {
            const Corner *a = &corners[i], *b = &corners[(i + 1) % count];
            const double da = inside(raster, a, plane), db = inside(raster, b, plane);
            if (da >= 0) kept[kept_count++] = *a;
            if ((da >= 0) == (db >= 0)) continue;
            /* from the inner end to the outer one, so that a shared edge is cut at the same place from both
             * sides */
            const Corner *in = da >= 0 ? a : b, *out = da >= 0 ? b : a;
            const double t = fabs(da >= 0 ? da : db) / fabs(da - db);
            kept[kept_count++] = (Corner){in->r + t * (out->r - in->r), in->q + t * (out->q - in->q),
                                          in->w + t * (out->w - in->w)};
        }
        memcpy(corners, kept, kept_count * sizeof *kept);
        count = kept_count;
        if (count < 3) return 0;
    }
    return count;
}

static Spot spot_of(const Raster *raster, const Corner *p) {
    const double nearness = 1 / p->w;
    const double x = raster->axis_x + raster->scale_x * p->r * nearness,
                 y = raster->axis_y - raster->scale_y * p->q * nearness;
    const double turned_x = x + raster->slope * (y - SUBPIXELS / 2 * raster->tall_px),
                 turned_y = y - raster->slope * (x - SUBPIXELS / 2 * raster->wide_px);
    return (Spot){(int32_t)floor(turned_x + 0.5), (int32_t)floor(turned_y + 0.5), nearness};
}

/* Twice the area of a, b, p: positive when p is on the inner side of a -> b in a triangle that runs clockwise
 * on the screen. */
static int64_t edge(const Spot *a, const Spot *b, int64_t x, int64_t y) {
    return (int64_t)(b->x - a->x) * (y - a->y) - (int64_t)(b->y - a->y) * (x - a->x);
}

/* With y down and triangles clockwise, a top edge runs to the right and level, a left edge runs up. */
static bool owns_its_line(const Spot *a, const Spot *b) {
    return b->y < a->y || (b->y == a->y && b->x > a->x);
}

/* Subpixels to pixels by a shift of what is not negative. */
enum { LIFT = 1 << 30, HALF_PIXEL = SUBPIXELS / 2 };

/* The first pixel whose centre is not before, and the last whose centre is not behind. */
static int first_pixel(int32_t subpixels) {
    return (int)((uint32_t)(subpixels - HALF_PIXEL + SUBPIXELS - 1 + LIFT) >> SUBPIXEL_BITS) -
           (LIFT >> SUBPIXEL_BITS);
}

static int last_pixel(int32_t subpixels) {
    return (int)((uint32_t)(subpixels - HALF_PIXEL + LIFT) >> SUBPIXEL_BITS) - (LIFT >> SUBPIXEL_BITS);
}

typedef struct Filler {
    Raster *raster; /* NULL: only visited */
    const Raster *read;
    int32_t identity, facet;
    RasterVisit *visit;
    void *context;
} Filler;

/* A run of pixels of one row; 1 / depth is linear on the screen. */
static void fill_run(const Filler *filler, size_t pixel, int count, double nearness, double by_x) {
    if (filler->visit) {
        filler->visit(filler->context, pixel, (size_t)count);
        return;
    }
    float *const nearest = filler->raster->nearness + pixel;
    int32_t *const identity = filler->raster->identity + pixel;
    int32_t *const facet = filler->raster->facet ? filler->raster->facet + pixel : NULL;
    for (int i = 0; i < count; i++) {
        const float here = (float)(nearness + by_x * i);
        if (here <= nearest[i]) continue;
        nearest[i] = here;
        identity[i] = filler->identity;
        if (facet) facet[i] = filler->facet;
    }
}

static int32_t least(int32_t a, int32_t b, int32_t c) {
    return a < b ? (a < c ? a : c) : (b < c ? b : c);
}

static int32_t most(int32_t a, int32_t b, int32_t c) {
    return -least(-a, -b, -c);
}

typedef struct Box {
    int left, right, top, bottom; /* pixels, all of them inside */
} Box;

static bool box_of(const Raster *raster, const Spot *a, const Spot *b, const Spot *c, Box *box) {
    box->left = first_pixel(least(a->x, b->x, c->x));
    box->right = last_pixel(most(a->x, b->x, c->x));
    box->top = first_pixel(least(a->y, b->y, c->y));
    box->bottom = last_pixel(most(a->y, b->y, c->y));
    if (box->left < 0) box->left = 0;
    if (box->top < 0) box->top = 0;
    if (box->right >= raster->wide_px) box->right = raster->wide_px - 1;
    if (box->bottom >= raster->tall_px) box->bottom = raster->tall_px - 1;
    return box->left <= box->right && box->top <= box->bottom;
}

/* Narrow boxes are searched pixel by pixel. */
enum { NARROW_PX = 12 };

/* The pixels of a row that all three edges let in: from the left end's edge functions `at`, which step by
 * `by`. Returns how many, the first of them in `from`, counted from the left end. */
static int narrow_run(const int64_t at[3], const int64_t by[3], int wide, int *from) {
    int64_t a = at[0], b = at[1], c = at[2];
    int x = 0;
    while (x < wide && (a | b | c) < 0) {
        a += by[0];
        b += by[1];
        c += by[2];
        x++;
    }
    *from = x;
    while (x < wide && (a | b | c) >= 0) {
        a += by[0];
        b += by[1];
        c += by[2];
        x++;
    }
    return x - *from;
}

/* By division, so that a wide box costs no more than its triangle. */
static int wide_run(const int64_t at[3], const int64_t by[3], int wide, int *from) {
    int64_t first = 0, last = wide - 1;
    for (int i = 0; i < 3; i++) {
        if (by[i] > 0 && at[i] < 0) {
            const int64_t enters = (-at[i] + by[i] - 1) / by[i];
            first = enters > first ? enters : first;
        } else if (by[i] < 0) {
            const int64_t leaves = at[i] < 0 ? -1 : at[i] / -by[i];
            last = leaves < last ? leaves : last;
        } else if (by[i] == 0 && at[i] < 0) {
            return 0;
        }
    }
    *from = (int)first;
    return last < first ? 0 : (int)(last - first) + 1;
}

/* One triangle on the screen, either way round. */
static void fill(const Filler *filler, const Spot *a, const Spot *b, const Spot *c) {
    const Raster *raster = filler->read;
    Box box;
    if (!box_of(raster, a, b, c, &box)) return;
    int64_t area = edge(a, b, c->x, c->y);
    /* counter-clockwise seen from the lens, its area is negative on a screen whose y runs down */
    if (area == 0 || (raster->solids_only && area > 0)) return;
    if (area < 0) {
        const Spot *const swapped = b;
        b = c;
        c = swapped;
        area = -area;
    }
    const int64_t x0 = (int64_t)box.left * SUBPIXELS + HALF_PIXEL,
                  y0 = (int64_t)box.top * SUBPIXELS + HALF_PIXEL;
    const Spot *const from[3] = {b, c, a}, *const to[3] = {c, a, b}, *const across[3] = {a, b, c};
    int64_t row[3], by_x[3], by_y[3];
    double nearness = 0, nearness_by_x = 0, nearness_by_y = 0;
    for (int i = 0; i < 3; i++) {
        const int64_t at = edge(from[i], to[i], x0, y0);
        by_x[i] = (int64_t)(from[i]->y - to[i]->y) * SUBPIXELS;
        by_y[i] = (int64_t)(to[i]->x - from[i]->x) * SUBPIXELS;
        nearness += (double)at * across[i]->nearness;
        nearness_by_x += (double)by_x[i] * across[i]->nearness;
        nearness_by_y += (double)by_y[i] * across[i]->nearness;
        /* pixels on a line belong to the triangle that owns it: others need one more than nothing */
        row[i] = at - (owns_its_line(from[i], to[i]) ? 0 : 1);
    }
    const double scale = 1 / (double)area;
    nearness *= scale;
    nearness_by_x *= scale;
    nearness_by_y *= scale;
    const int wide = box.right - box.left + 1;
    for (int y = box.top; y <= box.bottom; y++) {
        int first;
        const int count =
            wide <= NARROW_PX ? narrow_run(row, by_x, wide, &first) : wide_run(row, by_x, wide, &first);
        if (count > 0)
            fill_run(filler, (size_t)y * (size_t)raster->wide_px + (size_t)(box.left + first), count,
                     nearness + nearness_by_y * (y - box.top) + nearness_by_x * first, nearness_by_x);
        for (int i = 0; i < 3; i++)
            row[i] += by_y[i];
    }
}

static RasterVertex vertex_of(const Raster *raster, Point3 p) {
    RasterVertex vertex = {.corner = corner_of(raster, p)};
    const Corner *c = &vertex.corner;
    vertex.simple = c->w >= NEAR_MM && c->r <= raster->right * c->w && -c->r <= raster->left * c->w &&
                    c->q <= raster->high * c->w && -c->q <= raster->low * c->w;
    if (vertex.simple) vertex.spot = spot_of(raster, c);
    return vertex;
}

static void each_part(const Filler *filler, const RasterVertex *a, const RasterVertex *b,
                      const RasterVertex *c) {
    if (a->simple && b->simple && c->simple) {
        fill(filler, &a->spot, &b->spot, &c->spot);
        return;
    }
    Corner corners[CLIPPED_MOST] = {a->corner, b->corner, c->corner};
    Spot spots[CLIPPED_MOST];
    const size_t count = clip(filler->read, corners);
    for (size_t i = 0; i < count; i++)
        spots[i] = spot_of(filler->read, &corners[i]);
    for (size_t i = 1; i + 1 < count; i++)
        fill(filler, &spots[0], &spots[i], &spots[i + 1]);
}

static void one_triangle(const Filler *filler, Point3 a, Point3 b, Point3 c) {
    const RasterVertex seen[3] = {vertex_of(filler->read, a), vertex_of(filler->read, b),
                                  vertex_of(filler->read, c)};
    each_part(filler, &seen[0], &seen[1], &seen[2]);
}

void raster_triangle(Raster *raster, Point3 a, Point3 b, Point3 c, int identity) {
    const Filler filler = {.raster = raster, .read = raster, .identity = identity};
    one_triangle(&filler, a, b, c);
}

void raster_visit(const Raster *raster, Point3 a, Point3 b, Point3 c, RasterVisit *visit, void *context) {
    const Filler filler = {.read = raster, .visit = visit, .context = context};
    one_triangle(&filler, a, b, c);
}

/* Every vertex goes through the camera once. */
static void each_triangle(Raster *raster, Filler *filler, const RasterMesh *mesh) {
    if (raster->vertex_capacity < mesh->point_count) {
        raster->vertex_capacity = 2 * mesh->point_count;
        raster->vertices = ARENA_ARRAY(raster->arena, RasterVertex, raster->vertex_capacity);
    }
    for (size_t i = 0; i < mesh->point_count; i++)
        raster->vertices[i] = vertex_of(raster, mesh->points[i]);
    for (size_t i = 0; i + 2 < mesh->index_count; i += 3) {
        filler->facet = (int32_t)(mesh->first_facet + i / 3);
        each_part(filler, &raster->vertices[mesh->indices[i]], &raster->vertices[mesh->indices[i + 1]],
                  &raster->vertices[mesh->indices[i + 2]]);
    }
}

void raster_mesh(Raster *raster, const RasterMesh *mesh, int identity) {
    Filler filler = {.raster = raster, .read = raster, .identity = identity};
    each_triangle(raster, &filler, mesh);
}

void raster_visit_mesh(Raster *raster, const RasterMesh *mesh, RasterVisit *visit, void *context) {
    Filler filler = {.read = raster, .visit = visit, .context = context};
    each_triangle(raster, &filler, mesh);
}

void raster_keep_facets(Raster *raster) {
    const size_t count = (size_t)raster->wide_px * (size_t)raster->tall_px;
    raster->facet = ARENA_ARRAY(raster->arena, int32_t, count);
    memset(raster->facet, 0xFF, count * sizeof *raster->facet);
}

void raster_pixel_mm(const Raster *raster, size_t pixel, double *x_mm, double *y_mm) {
    const double wide = raster->wide_px, tall = raster->tall_px, slope = raster->slope;
    const double turned_x = (double)(pixel % (size_t)raster->wide_px) + 0.5 - wide / 2,
                 turned_y = (double)(pixel / (size_t)raster->wide_px) + 0.5 - tall / 2;
    const double x = (turned_x - slope * turned_y) / (1 + slope * slope) + wide / 2,
                 y = (turned_y + slope * turned_x) / (1 + slope * slope) + tall / 2;
    *x_mm = raster->window.left_mm + x / wide * (raster->window.right_mm - raster->window.left_mm);
    *y_mm = raster->window.high_mm - y / tall * (raster->window.high_mm - raster->window.low_mm);
}
