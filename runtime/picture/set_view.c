#include "picture/set_view.h"

#include "optics/space.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* Samples a pixel, along each side: edges are smooth, and a line of two samples is a pixel wide. */
enum { SAMPLES = 2, SAMPLES_A_PIXEL = SAMPLES * SAMPLES };

static const uint32_t LINE_COLOR = 0x23282D;

double window_x_px(const Window *window, double x_mm) {
    const RasterWindow *mm = &window->mm;
    return window->px.left_px +
           (x_mm - mm->left_mm) / (mm->right_mm - mm->left_mm) * (window->px.right_px - window->px.left_px);
}

double window_y_px(const Window *window, double y_mm) {
    const RasterWindow *mm = &window->mm;
    return window->px.bottom_px -
           (y_mm - mm->low_mm) / (mm->high_mm - mm->low_mm) * (window->px.bottom_px - window->px.top_px);
}

double window_scale(const Window *window) {
    return (window->px.right_px - window->px.left_px) / (window->mm.right_mm - window->mm.left_mm);
}

/* ---- Facets: what each triangle of the scenery is painted in */

typedef struct Facet {
    uint32_t color; /* of a flat one */
    int32_t part;   /* of the scenery */
    float normal[3];
    bool smooth;                                /* of a round thing: light goes over from corner to corner */
    float light, by_x, by_y, darkest, lightest; /* at the first sample, and for each sample on */
} Facet;

typedef struct Levels {
    float rgb[3]; /* of a part's material: as on a screen, 0 to 255 */
} Levels;

/* Linear light into sRGB (IEC 61966-2-1), 0 to 255. */
static double on_screen(double linear) {
    const double level = linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1 / 2.4) - 0.055;
    return 255 * level;
}

static uint32_t color_of(const Levels *levels, float light) {
    uint32_t color = 0xFF;
    for (int c = 0; c < 3; c++) {
        const float level = levels->rgb[c] * light + 0.5F;
        color = color << 8 | (level >= 255 ? 255 : (uint32_t)level);
    }
    return color;
}

/* Light comes over the left shoulder of whoever stands at the camera; what looks away from it keeps over
 * half. */
static double light_on(Point3 normal) {
    const Point3 to_light = {-0.48, -0.62, 0.62};
    const double facing = point_dot(normal, to_light);
    return 0.70 + 0.34 * (facing > 0 ? facing : 0.4 * facing);
}

typedef struct Painter {
    const Scenery *scenery;
    int shot;
    const Camera *camera;
    SetView *view;
    Canvas *canvas;
    Facet *facets;
    Levels *levels; /* of each part */
    /* of a band of the window */
    const Raster *raster;
    uint8_t *lines; /* strength of a line at each sample */
} Painter;

/* Where a point of the set is, in samples. */
static bool sample_of(const Painter *painter, Point3 at, double *x, double *y) {
    const Window *window = &painter->view->window;
    double x_mm, y_mm;
    if (!camera_project(painter->camera, &painter->scenery->plan->shots[painter->shot].picture, at, &x_mm,
                        &y_mm, NULL))
        return false;
    *x = SAMPLES * (window_x_px(window, x_mm) - window->px.left_px);
    *y = SAMPLES * (window_y_px(window, y_mm) - window->px.top_px);
    return true;
}

/* Light as a plane over the samples, through that at the three corners: facets of round things are small, so
 * that it need not be bent by their depth. */
static void bend_light(const Painter *painter, Facet *facet, const Point3 corners[3],
                       const Point3 normals[3]) {
    double x[3], y[3], light[3];
    for (int k = 0; k < 3; k++) {
        if (!sample_of(painter, corners[k], &x[k], &y[k])) return;
        light[k] = light_on(normals[k]);
    }
    const double ux = x[1] - x[0], uy = y[1] - y[0], vx = x[2] - x[0], vy = y[2] - y[0];
    const double area = ux * vy - uy * vx, u = light[1] - light[0], v = light[2] - light[0];
    if (fabs(area) < 1e-3) return;
    const double by_x = (u * vy - v * uy) / area, by_y = (v * ux - u * vx) / area;
    facet->smooth = true;
    facet->by_x = (float)by_x;
    facet->by_y = (float)by_y;
    facet->light = (float)(light[0] + by_x * (0.5 - x[0]) + by_y * (0.5 - y[0]));
    facet->darkest = (float)fmin(light[0], fmin(light[1], light[2]));
    facet->lightest = (float)fmax(light[0], fmax(light[1], light[2]));
}

static void paint_facet(const Painter *painter, size_t part_index, size_t index) {
    const SceneryPart *part = &painter->scenery->parts[part_index];
    const uint32_t *corner = part->mesh.indices + 3 * index;
    Point3 corners[3], normals[3];
    bool flat = true;
    for (int k = 0; k < 3; k++) {
        corners[k] = part->mesh.points[corner[k]];
        normals[k] = part->normals[corner[k]];
    }
    const Point3 normal =
        point_unit(point_cross(point_less(corners[1], corners[0]), point_less(corners[2], corners[0])));
    for (int k = 0; k < 3; k++)
        flat &= point_dot(normals[k], normal) > 0.9999;
    Facet *facet = &painter->facets[part->mesh.first_facet + index];
    *facet = (Facet){.color = color_of(&painter->levels[part_index], (float)light_on(normal)),
                     .part = (int32_t)part_index,
                     .normal = {(float)normal.across_mm, (float)normal.back_mm, (float)normal.up_mm}};
    if (!flat) bend_light(painter, facet, corners, normals);
}

static void paint_facets(const Painter *painter) {
    const Model *set = painter->scenery->set;
    for (size_t p = 0; p < painter->scenery->part_count; p++) {
        const SceneryPart *part = &painter->scenery->parts[p];
        for (int c = 0; c < 3; c++)
            painter->levels[p].rgb[c] =
                (float)on_screen(set->materials.items[set->nodes.items[part->node].material].color[c]);
        for (size_t i = 0; i < part->mesh.index_count / 3; i++)
            paint_facet(painter, p, i);
    }
}

/* In samples from the upper left one. */
static uint32_t facet_color(const Painter *painter, int32_t index, int x, int y) {
    const Facet *facet = &painter->facets[index];
    if (!facet->smooth) return facet->color;
    float light = facet->light + facet->by_x * (float)x + facet->by_y * (float)y;
    light = light < facet->darkest ? facet->darkest : light > facet->lightest ? facet->lightest : light;
    return color_of(&painter->levels[facet->part], light);
}

/* ---- Lines */

enum { NO_LINE = 0, CREASE = 90, OUTLINE = 200 };

/* What lies between two samples that are neighbours. Nearness is linear on the screen over a plane: what
 * leaves it by more than a little has something else behind it. */
static uint8_t line_between(const Painter *painter, size_t a, size_t b) {
    const int32_t *facet = painter->raster->facet;
    if (facet[a] == facet[b]) return NO_LINE;
    if (painter->raster->identity[a] != painter->raster->identity[b]) return OUTLINE;
    const Facet *one = &painter->facets[facet[a]], *two = &painter->facets[facet[b]];
    if (one->part != two->part) return CREASE;
    const float same =
        one->normal[0] * two->normal[0] + one->normal[1] * two->normal[1] + one->normal[2] * two->normal[2];
    const float near_a = painter->raster->nearness[a], near_b = painter->raster->nearness[b];
    if (fabsf(near_a - near_b) > 0.04F * near_a) return OUTLINE;
    return same < 0.8F ? CREASE : NO_LINE;
}

static void mark_line(uint8_t *lines, size_t a, size_t b, uint8_t strength) {
    if (lines[a] < strength) lines[a] = strength;
    if (lines[b] < strength) lines[b] = strength;
}

static void find_lines(const Painter *painter) {
    const size_t wide = (size_t)painter->raster->wide_px, tall = (size_t)painter->raster->tall_px;
    for (size_t y = 0; y < tall; y++) {
        const int32_t *row = painter->raster->facet + y * wide, *below = y + 1 < tall ? row + wide : row;
        for (size_t x = 0; x < wide; x++) {
            const size_t at = y * wide + x, next = x + 1 < wide ? x + 1 : x;
            if (row[x] == row[next] && row[x] == below[x]) continue;
            if (row[x] != row[next]) mark_line(painter->lines, at, at + 1, line_between(painter, at, at + 1));
            if (row[x] != below[x])
                mark_line(painter->lines, at, at + wide, line_between(painter, at, at + wide));
        }
    }
}

/* ---- Samples into pixels */

enum { STRIPE_EVERY_PX = 16, STRIPE_WIDE_PX = 5 }; /* along a row */

static uint32_t bare_color(int x, int y) {
    return (x + y) % STRIPE_EVERY_PX < STRIPE_WIDE_PX ? STRIPE_COLOR : BARE_COLOR;
}

void set_view_stripes(Canvas *canvas, CanvasBox box) {
    canvas_fill_box(canvas, box, BARE_COLOR, 1);
    canvas_hatch(canvas, box, STRIPE_EVERY_PX / sqrt(2),
                 &(LineStyle){.color = STRIPE_COLOR, .wide_px = STRIPE_WIDE_PX / sqrt(2)});
}

static bool is_bare(const Painter *painter, size_t sample) {
    return scenery_bare(painter->scenery, painter->raster, sample);
}

/* A pixel, in px of the window. */
typedef struct Spot {
    int x, y, left, top; /* of the window on the canvas */
    size_t first;        /* the upper left of its samples, in the band */
} Spot;

static void add_sample(const Painter *painter, const Spot *spot, int i, int j, unsigned sum[3]) {
    const size_t sample = spot->first + (size_t)j * (size_t)painter->raster->wide_px + (size_t)i;
    const uint32_t color = is_bare(painter, sample)
                               ? bare_color(spot->left + spot->x, spot->top + spot->y)
                               : facet_color(painter, painter->raster->facet[sample], SAMPLES * spot->x + i,
                                             SAMPLES * spot->y + j);
    const unsigned line = painter->lines[sample];
    for (int c = 0; c < 3; c++) {
        const unsigned level = color >> (16 - 8 * c) & 255, dark = LINE_COLOR >> (16 - 8 * c) & 255;
        sum[c] += (level * (255 - line) + dark * line) / 255;
    }
}

/* Most pixels lie in one facet, far from any line. */
static bool is_plain(const Painter *painter, size_t first) {
    const size_t below = first + (size_t)painter->raster->wide_px;
    const int32_t *facet = painter->raster->facet;
    const uint8_t *lines = painter->lines;
    return facet[first] == facet[first + 1] && facet[first] == facet[below] &&
           facet[first] == facet[below + 1] &&
           (lines[first] | lines[first + 1] | lines[below] | lines[below + 1]) == NO_LINE &&
           !is_bare(painter, first);
}

static uint32_t pixel_color(const Painter *painter, const Spot *spot) {
    if (is_plain(painter, spot->first))
        return facet_color(painter, painter->raster->facet[spot->first], SAMPLES * spot->x,
                           SAMPLES * spot->y);
    unsigned sum[3] = {0, 0, 0};
    for (int j = 0; j < SAMPLES; j++) {
        for (int i = 0; i < SAMPLES; i++)
            add_sample(painter, spot, i, j, sum);
    }
    uint32_t color = 0xFF;
    for (int c = 0; c < 3; c++)
        color = color << 8 | (sum[c] + SAMPLES_A_PIXEL / 2) / SAMPLES_A_PIXEL;
    return color;
}

/* Pixels [from, to) of a row, all of one thing. */
static void count_run(SetView *view, int from, int to, int y, int32_t thing) {
    if (thing == RASTER_NOTHING) {
        view->bare_px += (size_t)(to - from);
        return;
    }
    ThingSeen *seen = &view->things[thing];
    const double left = view->window.px.left_px + from, right = view->window.px.left_px + to,
                 top = view->window.px.top_px + y;
    CanvasBox *box = &seen->box;
    if (seen->px == 0) *box = (CanvasBox){left, top, right, top + 1};
    box->left_px = fmin(box->left_px, left);
    box->right_px = fmax(box->right_px, right);
    box->bottom_px = top + 1;
    seen->px += (size_t)(to - from);
    seen->x_px += (left + right) / 2 * (to - from);
    seen->y_px += (top + 0.5) * (to - from);
}

static void count_row(SetView *view, int y) {
    const int32_t *row = view->nearest + (size_t)y * (size_t)view->wide_px;
    for (int from = 0, to; from < view->wide_px; from = to) {
        for (to = from + 1; to < view->wide_px && row[to] == row[from]; to++) {
        }
        count_run(view, from, to, y, row[from]);
    }
}

/* Rows [from, to) of the window; the band's raster begins at row `above`. */
static void paint_rows(const Painter *painter, int from, int to, int above) {
    SetView *view = painter->view;
    const Raster *raster = painter->raster;
    const size_t canvas_row = (size_t)canvas_wide_px(painter->canvas);
    uint32_t *pixels = canvas_pixels(painter->canvas);
    Spot spot = {.y = from, .left = (int)view->window.px.left_px, .top = (int)view->window.px.top_px};
    for (; spot.y < to; spot.y++) {
        uint32_t *row = pixels + (size_t)(spot.top + spot.y) * canvas_row + spot.left;
        const size_t start = (size_t)spot.y * (size_t)view->wide_px;
        for (spot.x = 0; spot.x < view->wide_px; spot.x++) {
            const size_t at = start + (size_t)spot.x;
            spot.first = SAMPLES * ((size_t)(spot.y - above) * (size_t)raster->wide_px + (size_t)spot.x);
            row[spot.x] = pixel_color(painter, &spot);
            view->nearest[at] = is_bare(painter, spot.first) ? RASTER_NOTHING : raster->identity[spot.first];
            view->nearness[at] = raster->nearness[spot.first];
        }
        count_row(view, spot.y);
    }
    canvas_pixels_done(painter->canvas);
}

/* Samples of a band stay in the processor's cache. Each looks a row further than it paints, for the lines
 * there. */
static void paint_band(Painter *painter, int from, int to) {
    const SetView *view = painter->view;
    const int above = from > 0 ? from - 1 : 0, below = to < view->tall_px ? to + 1 : to;
    const double mm_per_row = (view->window.mm.high_mm - view->window.mm.low_mm) / view->tall_px;
    RasterWindow mm = view->window.mm;
    mm.high_mm = view->window.mm.high_mm - above * mm_per_row;
    mm.low_mm = view->window.mm.high_mm - below * mm_per_row;
    Arena *own = arena_new();
    Raster *raster = raster_new(own, painter->camera, &painter->scenery->plan->shots[painter->shot].picture,
                                mm, SAMPLES * view->wide_px, SAMPLES * (below - above));
    raster_keep_facets(raster);
    scenery_draw(painter->scenery, raster, painter->shot);
    painter->raster = raster;
    painter->lines = ARENA_ARRAY(own, uint8_t, (size_t)raster->wide_px * (size_t)raster->tall_px);
    find_lines(painter);
    paint_rows(painter, from, to, above);
    arena_free(own);
}

bool set_view_pixel(const SetView *view, double x_px, double y_px, size_t *pixel) {
    const double x = floor(x_px - view->window.px.left_px), y = floor(y_px - view->window.px.top_px);
    if (x < 0 || y < 0 || x >= view->wide_px || y >= view->tall_px) return false;
    *pixel = (size_t)y * (size_t)view->wide_px + (size_t)x;
    return true;
}

int32_t set_view_thing(const SetView *view, double x_px, double y_px) {
    size_t pixel;
    return set_view_pixel(view, x_px, y_px, &pixel) ? view->nearest[pixel] : RASTER_NOTHING;
}

/* ---- A place for a word where nothing is built */

/* The largest box of bare pixels, looked for on a coarse grid: heights of bare columns above each row. */
static void find_bare_box(Arena *arena, SetView *view) {
    enum { GRID = 8 };
    const int wide = view->wide_px / GRID, tall = view->tall_px / GRID;
    int *above = ARENA_ARRAY(arena, int, wide + 1);
    long most = 0;
    for (int y = 0; y < tall; y++) {
        for (int x = 0; x < wide; x++) {
            const size_t at =
                (size_t)(y * GRID + GRID / 2) * (size_t)view->wide_px + (size_t)(x * GRID + GRID / 2);
            above[x] = view->nearest[at] == RASTER_NOTHING ? above[x] + 1 : 0;
        }
        for (int x = 0; x < wide; x++) {
            int low = above[x];
            for (int to = x; to < wide && low > 0; to++) {
                low = above[to] < low ? above[to] : low;
                const long area = (long)low * (to - x + 1);
                if (area <= most) continue;
                most = area;
                view->bare = (CanvasBox){
                    view->window.px.left_px + x * GRID, view->window.px.top_px + (y + 1 - low) * GRID,
                    view->window.px.left_px + (to + 1) * GRID, view->window.px.top_px + (y + 1) * GRID};
            }
        }
    }
}

SetView *set_view_paint(Arena *arena, Canvas *canvas, const Scenery *scenery, int shot, const Camera *camera,
                        Window window) {
    enum { BAND_PX = 64 };
    SetView *view = ARENA_NEW(arena, SetView);
    const size_t things = scenery->plan->scene->thing_count;
    *view = (SetView){.window = window, .things = ARENA_ARRAY(arena, ThingSeen, things)};
    view->wide_px = (int)(window.px.right_px - window.px.left_px);
    view->tall_px = (int)(window.px.bottom_px - window.px.top_px);
    view->nearest = ARENA_ARRAY(arena, int32_t, (size_t)view->wide_px * (size_t)view->tall_px);
    view->nearness = ARENA_ARRAY(arena, float, (size_t)view->wide_px *(size_t)view->tall_px);
    Arena *own = arena_new();
    Painter painter = {.scenery = scenery,
                       .shot = shot,
                       .camera = camera,
                       .view = view,
                       .canvas = canvas,
                       .facets = ARENA_ARRAY(own, Facet, scenery->facet_count),
                       .levels = ARENA_ARRAY(own, Levels, scenery->part_count)};
    paint_facets(&painter);
    for (int from = 0; from < view->tall_px; from += BAND_PX)
        paint_band(&painter, from, from + BAND_PX < view->tall_px ? from + BAND_PX : view->tall_px);
    for (size_t i = 0; i < things; i++) {
        view->things[i].x_px /= view->things[i].px > 0 ? (double)view->things[i].px : 1;
        view->things[i].y_px /= view->things[i].px > 0 ? (double)view->things[i].px : 1;
    }
    if (view->bare_px > 0) find_bare_box(own, view);
    arena_free(own);
    return view;
}
