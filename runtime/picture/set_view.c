#include "picture/set_view.h"

#include "model/space.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* Samples a pixel, along each side: edges are smooth, and a line of two samples is a pixel wide. */
enum { SAMPLES = 2, SAMPLES_A_PIXEL = SAMPLES * SAMPLES };

static const uint32_t LINE_COLOR = 0x23282D, BARE_COLOR = 0xFBE3E8, HATCH_COLOR = 0xC2185B;

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
    uint32_t color;
    int32_t part; /* of the scenery */
    float normal[3];
} Facet;

/* Linear light into sRGB (IEC 61966-2-1), 0 to 255. */
static double on_screen(double linear) {
    const double level = linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1 / 2.4) - 0.055;
    return 255 * level;
}

static uint32_t color_of(const double levels[3], double light) {
    uint32_t color = 0;
    for (int c = 0; c < 3; c++) {
        const double level = levels[c] * light;
        color = color << 8 | (uint32_t)(level > 255 ? 255 : level + 0.5);
    }
    return color;
}

/* Light comes over the left shoulder of whoever stands at the camera; what looks away from it keeps two
 * thirds. */
static double light_on(Point3 normal) {
    const Point3 to_light = {-0.48, -0.62, 0.62};
    const double facing = point_dot(normal, to_light);
    return 0.70 + 0.34 * (facing > 0 ? facing : 0.4 * facing);
}

static void paint_part(const Scenery *scenery, size_t index, Facet *facets) {
    const SceneryPart *part = &scenery->parts[index];
    const ModelMaterial *material =
        &scenery->set->materials.items[scenery->set->nodes.items[part->node].material];
    double levels[3];
    for (int c = 0; c < 3; c++)
        levels[c] = on_screen(material->color[c]);
    for (size_t i = 0; i < part->mesh.index_count / 3; i++) {
        const uint32_t *corner = part->mesh.indices + 3 * i;
        const Point3 a = part->mesh.points[corner[0]], b = part->mesh.points[corner[1]],
                     c = part->mesh.points[corner[2]];
        const Point3 normal = point_unit(point_cross(point_less(b, a), point_less(c, a)));
        facets[part->mesh.first_facet + i] =
            (Facet){.color = color_of(levels, light_on(normal)),
                    .part = (int32_t)index,
                    .normal = {(float)normal.across_mm, (float)normal.back_mm, (float)normal.up_mm}};
    }
}

static const Facet *paint_facets(Arena *arena, const Scenery *scenery) {
    Facet *facets = ARENA_ARRAY(arena, Facet, scenery->facet_count);
    for (size_t i = 0; i < scenery->part_count; i++)
        paint_part(scenery, i, facets);
    return facets;
}

/* ---- Lines */

enum { NO_LINE = 0, CREASE = 90, OUTLINE = 200 };

typedef struct Painter {
    const Scenery *scenery;
    const Raster *raster;
    const Facet *facets;
    uint8_t *lines; /* strength of a line at each sample */
} Painter;

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

/* Slanted stripes over what is not built, in px of the canvas. */
static uint32_t bare_color(int x, int y) {
    return (x + y) % 16 < 5 ? HATCH_COLOR : BARE_COLOR;
}

static bool is_bare(const Painter *painter, size_t sample) {
    const int32_t thing = painter->raster->identity[sample];
    return thing == RASTER_NOTHING || painter->scenery->plan->scene->things[thing].role == ROLE_BASE;
}

static void add_sample(const Painter *painter, size_t sample, int x, int y, unsigned sum[3]) {
    const uint32_t color =
        is_bare(painter, sample) ? bare_color(x, y) : painter->facets[painter->raster->facet[sample]].color;
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

static uint32_t pixel_color(const Painter *painter, size_t first, int x, int y) {
    if (is_plain(painter, first)) return 0xFF000000U | painter->facets[painter->raster->facet[first]].color;
    const size_t wide = (size_t)painter->raster->wide_px;
    unsigned sum[3] = {0, 0, 0};
    for (size_t j = 0; j < SAMPLES; j++) {
        for (size_t i = 0; i < SAMPLES; i++)
            add_sample(painter, first + j * wide + i, x, y, sum);
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

static void paint_pixels(const Painter *painter, SetView *view, Canvas *canvas) {
    const size_t row = (size_t)painter->raster->wide_px;
    uint32_t *pixels = canvas_pixels(canvas);
    const int left = (int)view->window.px.left_px, top = (int)view->window.px.top_px;
    for (int y = 0; y < view->tall_px; y++) {
        uint32_t *to = pixels + (size_t)(top + y) * (size_t)canvas_wide_px(canvas) + left;
        int32_t *nearest = view->nearest + (size_t)y * (size_t)view->wide_px;
        for (int x = 0; x < view->wide_px; x++) {
            const size_t first = (size_t)y * SAMPLES * row + (size_t)x * SAMPLES;
            to[x] = pixel_color(painter, first, left + x, top + y);
            nearest[x] = is_bare(painter, first) ? RASTER_NOTHING : painter->raster->identity[first];
        }
        count_row(view, y);
    }
    canvas_pixels_done(canvas);
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
    SetView *view = ARENA_NEW(arena, SetView);
    const size_t things = scenery->plan->scene->thing_count;
    *view = (SetView){.window = window, .things = ARENA_ARRAY(arena, ThingSeen, things)};
    view->wide_px = (int)(window.px.right_px - window.px.left_px);
    view->tall_px = (int)(window.px.bottom_px - window.px.top_px);
    view->nearest = ARENA_ARRAY(arena, int32_t, (size_t)view->wide_px * (size_t)view->tall_px);
    Arena *own = arena_new(); /* samples go when they are pixels */
    Raster *raster = raster_new(own, camera, &scenery->plan->shots[shot].picture, window.mm,
                                SAMPLES * view->wide_px, SAMPLES * view->tall_px);
    raster_keep_facets(raster);
    scenery_draw(scenery, raster, shot);
    const Painter painter = {
        .scenery = scenery,
        .raster = raster,
        .facets = paint_facets(own, scenery),
        .lines = ARENA_ARRAY(own, uint8_t, (size_t)raster->wide_px * (size_t)raster->tall_px)};
    find_lines(&painter);
    paint_pixels(&painter, view, canvas);
    for (size_t i = 0; i < things; i++) {
        view->things[i].x_px /= view->things[i].px > 0 ? (double)view->things[i].px : 1;
        view->things[i].y_px /= view->things[i].px > 0 ? (double)view->things[i].px : 1;
    }
    if (view->bare_px > 0) find_bare_box(own, view);
    arena_free(own);
    return view;
}
