#include "see/rasteriser.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

/* Nearer than this along the axis nothing is drawn. */
static const double NEAR_MM = 1;
/* Subpixels: 1/256 pixel; coordinates stay under 2^23 pixels after clipping, so edge functions fit 64 bits.
 */
enum { SUBPIXEL_BITS = 8, SUBPIXELS = 1 << SUBPIXEL_BITS };
static const double REACH_PX = 2097152; /* 2^21: products of edge functions stay under 2^62 */

typedef struct Corner {
    double r, q, w; /* across, up and away in the camera's own frame, mm */
} Corner;

typedef struct Spot {
    int64_t x, y; /* subpixels, y down */
    double nearness;
} Spot;

Raster *raster_new(Arena *arena, const Camera *camera, const Picture *picture, RasterWindow window,
                   int wide_px, int tall_px) {
    assert(wide_px >= 1 && tall_px >= 1 && wide_px <= RASTER_SIDE_MOST_PX && tall_px <= RASTER_SIDE_MOST_PX);
    Raster *raster = ARENA_NEW(arena, Raster);
    const size_t count = (size_t)wide_px * (size_t)tall_px;
    *raster = (Raster){
        .camera = *camera, .picture = *picture, .window = window, .wide_px = wide_px, .tall_px = tall_px};
    raster->nearness = ARENA_ARRAY(arena, float, count);
    raster->identity = ARENA_ARRAY(arena, int32_t, count);
    const double k = picture->drawn_per_sensor * camera->image_mm;
    raster->sine = sin(camera->tilt_rad);
    raster->cosine = cos(camera->tilt_rad);
    raster->reach_r = REACH_PX * (window.right_mm - window.left_mm) / wide_px / k;
    raster->reach_q = REACH_PX * (window.high_mm - window.low_mm) / tall_px / k;
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
        return raster->reach_r * p->w - p->r;
    case 2:
        return raster->reach_r * p->w + p->r;
    case 3:
        return raster->reach_q * p->w - p->q;
    default:
        return raster->reach_q * p->w + p->q;
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
    return (Spot){(int64_t)floor(x + 0.5), (int64_t)floor(y + 0.5), nearness};
}

/* Twice the area of a, b, p: positive when p is on the inner side of a -> b in a triangle that runs clockwise
 * on the screen. */
static int64_t edge(const Spot *a, const Spot *b, int64_t x, int64_t y) {
    return (b->x - a->x) * (y - a->y) - (b->y - a->y) * (x - a->x);
}

/* With y down and triangles clockwise, a top edge runs to the right and level, a left edge runs up. */
static bool owns_its_line(const Spot *a, const Spot *b) {
    return b->y < a->y || (b->y == a->y && b->x > a->x);
}

static int64_t floor_pixel(int64_t subpixels) {
    return subpixels >= 0 ? subpixels / SUBPIXELS : -((-subpixels + SUBPIXELS - 1) / SUBPIXELS);
}

typedef struct Filler {
    Raster *raster; /* NULL: only visited */
    const Raster *read;
    int identity;
    RasterVisit *visit;
    void *context;
} Filler;

static void fill_pixel(const Filler *filler, size_t pixel, double nearness) {
    if (filler->visit) {
        filler->visit(filler->context, pixel);
        return;
    }
    Raster *raster = filler->raster;
    if ((float)nearness <= raster->nearness[pixel]) return;
    raster->nearness[pixel] = (float)nearness;
    raster->identity[pixel] = filler->identity;
}

static int64_t least(int64_t a, int64_t b, int64_t c) {
    return a < b ? (a < c ? a : c) : (b < c ? b : c);
}

static int64_t most(int64_t a, int64_t b, int64_t c) {
    return -least(-a, -b, -c);
}

/* One triangle on the screen, either way round. */
static void fill(const Filler *filler, Spot a, Spot b, Spot c) {
    const Raster *raster = filler->read;
    int64_t area = edge(&a, &b, c.x, c.y);
    if (area == 0) return;
    if (area < 0) {
        const Spot swapped = b;
        b = c;
        c = swapped;
        area = -area;
    }
    int64_t left = floor_pixel(least(a.x, b.x, c.x)), right = floor_pixel(most(a.x, b.x, c.x));
    int64_t top = floor_pixel(least(a.y, b.y, c.y)), bottom = floor_pixel(most(a.y, b.y, c.y));
    left = left < 0 ? 0 : left;
    top = top < 0 ? 0 : top;
    right = right >= raster->wide_px ? raster->wide_px - 1 : right;
    bottom = bottom >= raster->tall_px ? raster->tall_px - 1 : bottom;
    if (left > right || top > bottom) return;
    const int64_t half = SUBPIXELS / 2, x0 = left * SUBPIXELS + half, y0 = top * SUBPIXELS + half;
    const Spot *const from[3] = {&b, &c, &a}, *const to[3] = {&c, &a, &b};
    int64_t row[3], by_x[3], by_y[3];
    for (int i = 0; i < 3; i++) {
        /* pixels on a line belong to the triangle that owns it: others need one more than nothing */
        row[i] = edge(from[i], to[i], x0, y0) - (owns_its_line(from[i], to[i]) ? 0 : 1);
        by_x[i] = -(to[i]->y - from[i]->y) * SUBPIXELS;
        by_y[i] = (to[i]->x - from[i]->x) * SUBPIXELS;
    }
    /* 1/depth is linear on the screen */
    const double scale = 1 / (double)area;
    for (int64_t y = top; y <= bottom; y++) {
        int64_t e[3] = {row[0], row[1], row[2]};
        /* where each edge lets a row begin and end: whole pixels by division, so that a wide box costs no
         * more than its triangle */
        int64_t from_x = left, to_x = right;
        for (int i = 0; i < 3; i++) {
            if (by_x[i] > 0 && e[i] < 0) {
                const int64_t first = left + (-e[i] + by_x[i] - 1) / by_x[i];
                from_x = first > from_x ? first : from_x;
            } else if (by_x[i] < 0) {
                const int64_t last = e[i] < 0 ? left - 1 : left + e[i] / -by_x[i];
                to_x = last < to_x ? last : to_x;
            } else if (by_x[i] == 0 && e[i] < 0) {
                to_x = left - 1;
            }
        }
        for (int i = 0; i < 3; i++)
            e[i] += (from_x - left) * by_x[i];
        for (int64_t x = from_x; x <= to_x; x++) {
            const double nearness =
                ((double)e[0] * a.nearness + (double)e[1] * b.nearness + (double)e[2] * c.nearness) * scale;
            fill_pixel(filler, (size_t)y * (size_t)raster->wide_px + (size_t)x, nearness);
            for (int i = 0; i < 3; i++)
                e[i] += by_x[i];
        }
        for (int i = 0; i < 3; i++)
            row[i] += by_y[i];
    }
}

static bool needs_no_clip(const Raster *raster, const Corner *p) {
    return p->w >= NEAR_MM && fabs(p->r) <= raster->reach_r * p->w && fabs(p->q) <= raster->reach_q * p->w;
}

/* The lens is on the inner side of the triangle's plane: r to the right, q up and w away make a left-handed
 * frame, in which a triangle that runs counter-clockwise seen from the lens has a negative triple product. */
static bool faces_away(const Corner *a, const Corner *b, const Corner *c) {
    return a->r * (b->q * c->w - b->w * c->q) - a->q * (b->r * c->w - b->w * c->r) +
               a->w * (b->r * c->q - b->q * c->r) <=
           0;
}

static void each_part(const Filler *filler, Point3 a, Point3 b, Point3 c) {
    const Raster *raster = filler->read;
    Corner corners[CLIPPED_MOST] = {corner_of(raster, a), corner_of(raster, b), corner_of(raster, c)};
    if (raster->solids_only && faces_away(&corners[0], &corners[1], &corners[2])) return;
    if (needs_no_clip(raster, &corners[0]) && needs_no_clip(raster, &corners[1]) &&
        needs_no_clip(raster, &corners[2])) {
        fill(filler, spot_of(raster, &corners[0]), spot_of(raster, &corners[1]),
             spot_of(raster, &corners[2]));
        return;
    }
    const size_t count = clip(raster, corners);
    for (size_t i = 1; i + 1 < count; i++)
        fill(filler, spot_of(raster, &corners[0]), spot_of(raster, &corners[i]),
             spot_of(raster, &corners[i + 1]));
}

void raster_triangle(Raster *raster, Point3 a, Point3 b, Point3 c, int identity) {
    const Filler filler = {.raster = raster, .read = raster, .identity = identity};
    each_part(&filler, a, b, c);
}

void raster_visit(const Raster *raster, Point3 a, Point3 b, Point3 c, RasterVisit *visit, void *context) {
    const Filler filler = {.read = raster, .visit = visit, .context = context};
    each_part(&filler, a, b, c);
}

void raster_pixel_mm(const Raster *raster, size_t pixel, double *x_mm, double *y_mm) {
    const double x = (double)(pixel % (size_t)raster->wide_px) + 0.5,
                 y = (double)(pixel / (size_t)raster->wide_px) + 0.5;
    *x_mm = raster->window.left_mm + x / raster->wide_px * (raster->window.right_mm - raster->window.left_mm);
    *y_mm = raster->window.high_mm - y / raster->tall_px * (raster->window.high_mm - raster->window.low_mm);
}
