/* One tile of a pattern: the drawing as it lies on the thing's own plane, the lines to cut along, and what
 * joins it to its neighbours. */
#include "picture/pattern.h"
#include "plan/parts.h"

#include <math.h>

static const uint32_t INK = 0x14181C, FAINT = 0x7A828A;
static const LineStyle CUT = {.color = INK, .wide_px = 1.2},
                       FOLD = {.color = INK, .wide_px = 0.7, .dash = DASH_SHORT},
                       MEET = {.color = INK, .wide_px = 0.7, .dash = DASH_LONG_DOT},
                       BOX = {.color = FAINT, .wide_px = 0.6, .dash = DASH_LONG},
                       THIN = {.color = FAINT, .wide_px = 0.4},
                       SEAM = {.color = FAINT, .wide_px = 0.5, .dash = DASH_DOT},
                       CROSS = {.color = INK, .wide_px = 0.5};
static const TextStyle TEXT = {.size_px = 8, .color = INK},
                       BOLD = {.size_px = 11, .color = INK, .face = FACE_BOLD};

typedef struct Tile {
    Canvas *canvas;
    Arena *arena;
    const Plan *plan;
    const PatternPaper *paper;
    const Pattern *it;
    int row, column;
    double left_mm, top_mm; /* the pattern's place at the tile's upper left corner, y up */
} Tile;

const char *pattern_tile_name(Arena *arena, int row, int column) {
    return row < 26 ? arena_format(arena, "%c%d", 'A' + row, column + 1)
                    : arena_format(arena, "%c%c%d", 'A' + row / 26 - 1, 'A' + row % 26, column + 1);
}

static CanvasPoint on_paper(const Tile *t, double x_mm, double y_mm) {
    return (CanvasPoint){(PATTERN_RIM_MM + x_mm - t->left_mm) * POINTS_PER_MM,
                         (PATTERN_RIM_MM + t->top_mm - y_mm) * POINTS_PER_MM};
}

static CanvasBox box_on_paper(const Tile *t, double left, double low, double right, double high) {
    const CanvasPoint a = on_paper(t, left, high), b = on_paper(t, right, low);
    return (CanvasBox){a.x_px, a.y_px, b.x_px, b.y_px};
}

static void line(const Tile *t, double x0, double y0, double x1, double y1, const LineStyle *style) {
    const CanvasPoint a = on_paper(t, x0, y0), b = on_paper(t, x1, y1);
    canvas_line(t->canvas, a.x_px, a.y_px, b.x_px, b.y_px, style);
}

/* ---- The drawing */

/* Of boards no more than the board. */
static void lay_drawing(const Tile *t) {
    const Pattern *it = t->it;
    const bool puppet = it->thing->thing->role == ROLE_PUPPET;
    const double half = it->thing->wide_mm / 2;
    const double least_x = puppet ? it->left_mm : -half, most_x = puppet ? it->right_mm : half;
    const double left = fmax(t->left_mm, least_x), right = fmin(t->left_mm + t->paper->tile_wide_mm, most_x);
    const double high = fmin(t->top_mm, puppet ? it->high_mm : it->thing->tall_mm);
    const double low = fmax(t->top_mm - t->paper->tile_tall_mm, 0);
    if (!it->image || right - left < 1 || high - low < 1) return;
    pattern_lay_drawing(t->canvas, it, (PatternArea){left, low, right, high},
                        box_on_paper(t, left, low, right, high));
}

/* ---- Lines of the thing */

static void draw_outline(const Tile *t) {
    const CutoutOutline *outline = &t->it->outline;
    CanvasPoint *points = ARENA_ARRAY(t->arena, CanvasPoint, outline->count);
    for (size_t i = 0; i < outline->count; i++)
        points[i] = on_paper(t, outline->points[i].x_mm - t->it->thing->wide_mm / 2, outline->points[i].y_mm);
    canvas_path(t->canvas, points, outline->count, true, &CUT);
}

static void draw_openings(const Tile *t) {
    PatternArea opening;
    for (size_t i = 0; i < t->plan->scene->thing_count; i++)
        if (pattern_opening(t->plan, t->it, i, &opening))
            canvas_rectangle(
                t->canvas,
                box_on_paper(t, opening.left_mm, opening.low_mm, opening.right_mm, opening.high_mm), &CUT);
}

/* Where its parts meet, when it is cut in several: seams of a board count from its left edge and its foot. */
static void draw_seams(const Tile *t) {
    const Parts *parts = t->plan->parts;
    const Thing *board = t->it->thing->thing;
    const double half = t->it->thing->wide_mm / 2;
    if (board->role == ROLE_MOUND) return; /* theirs lie on the set */
    for (size_t i = 0; parts && i < parts->seams.count; i++) {
        const PartSeam *seam = &parts->seams.items[i];
        if (&t->plan->scene->things[seam->thing] != board) continue;
        if (seam->across)
            line(t, seam->from_mm - half, seam->at_mm, seam->to_mm - half, seam->at_mm, &MEET);
        else
            line(t, seam->at_mm - half, seam->from_mm, seam->at_mm - half, seam->to_mm, &MEET);
    }
}

/* Its planned box, its axis, and how tall it is; under the foot the tab that is bent back and fixed. */
static void draw_puppet(const Tile *t) {
    const PlanThing *puppet = t->it->thing;
    const double half = puppet->wide_mm / 2, tall = puppet->tall_mm, tab = t->it->tab_mm;
    canvas_rectangle(t->canvas, box_on_paper(t, -half, 0, half, tall), &BOX);
    line(t, 0, -tab, 0, tall, &(LineStyle){.color = FAINT, .wide_px = 0.4, .dash = DASH_LONG_DOT});
    const double at = -half - fmin(4, half * 0.2);
    const CanvasPoint foot = on_paper(t, at, 0), top = on_paper(t, at, tall),
                      middle = on_paper(t, at, tall / 2);
    canvas_arrow(t->canvas, foot.x_px, foot.y_px, top.x_px, top.y_px, 6, true, &CROSS);
    TextStyle beside = TEXT;
    beside.upright = true;
    beside.align = TEXT_CENTRED;
    beside.plate = 0.85;
    beside.plate_color = 0xFFFFFF;
    canvas_text(t->canvas, middle.x_px - 3, middle.y_px, &beside,
                length_both(t->arena, t->plan->scene->lengths, tall, 64, 1));
    if (tab == 0) return;
    line(t, -half, 0, half, 0, &FOLD);
    line(t, -half, 0, -half, -tab, &CUT);
    line(t, half, 0, half, -tab, &CUT);
    line(t, -half, -tab, half, -tab, &CUT);
    const CanvasPoint note = on_paper(t, 2 - half, -tab / 2);
    const double room = (half - 3) * POINTS_PER_MM;
    canvas_text(t->canvas, note.x_px, note.y_px, &TEXT,
                canvas_text_fitted(t->canvas, &TEXT, "foot tab: bend back", room));
}

/* ---- What joins it to its neighbours */

static void draw_joins(const Tile *t) {
    const double half = PATTERN_OVERLAP_MM / 2, wide = t->paper->tile_wide_mm, tall = t->paper->tile_tall_mm;
    const double x[2] = {t->left_mm + half, t->left_mm + wide - half},
                 y[2] = {t->top_mm - half, t->top_mm - tall + half};
    const bool joined_x[2] = {t->column > 0, t->column + 1 < t->it->columns};
    const bool joined_y[2] = {t->row > 0, t->row + 1 < t->it->rows};
    canvas_rectangle(t->canvas, box_on_paper(t, t->left_mm, t->top_mm - tall, t->left_mm + wide, t->top_mm),
                     &THIN);
    for (int i = 0; i < 2; i++) {
        if (joined_x[i]) line(t, x[i], t->top_mm, x[i], t->top_mm - tall, &SEAM);
        if (joined_y[i]) line(t, t->left_mm, y[i], t->left_mm + wide, y[i], &SEAM);
        for (int k = 0; k < 2; k++) {
            const CanvasPoint at = on_paper(t, x[i], y[k]);
            canvas_cross(t->canvas, at.x_px, at.y_px, 4 * POINTS_PER_MM, false, &CROSS);
            canvas_circle(t->canvas, at.x_px, at.y_px, 1.5 * POINTS_PER_MM, &CROSS);
        }
    }
}

static void draw_caption(const Tile *t) {
    const Pattern *it = t->it;
    const double left = PATTERN_RIM_MM * POINTS_PER_MM, wide = t->paper->tile_wide_mm * POINTS_PER_MM;
    const double foot = (t->paper->tall_mm - PATTERN_FOOT_MM) * POINTS_PER_MM;
    const char *tile = pattern_tile_name(t->arena, t->row, t->column);
    const char *last = pattern_tile_name(t->arena, it->rows - 1, it->columns - 1);
    const char *name = arena_format(t->arena, "%s  %s", it->name, tile);
    canvas_text(t->canvas, left, foot + 14, &BOLD, canvas_text_fitted(t->canvas, &BOLD, name, wide * 0.55));
    TextStyle right = TEXT;
    right.align = TEXT_TO_RIGHT;
    const char *title = t->plan->scene->title ? t->plan->scene->title : t->plan->scene->name;
    const int page = it->first_page + t->row * it->columns + t->column;
    canvas_text(t->canvas, left + wide, foot + 13, &right,
                canvas_text_fitted(t->canvas, &right, arena_format(t->arena, "%s, page %d", title, page),
                                   wide * 0.42));
    const char *what = it->columns * it->rows > 1
                           ? arena_format(t->arena,
                                          "tile %s of A1 to %s; full size: print at 100 %%; join along the "
                                          "dots, cross on cross",
                                          tile, last)
                           : "the only tile; full size: print at 100 %";
    canvas_text(t->canvas, left, foot + 26, &TEXT, canvas_text_fitted(t->canvas, &TEXT, what, wide));
}

void pattern_draw_tile(Canvas *canvas, Arena *arena, const Plan *plan, const PatternPaper *paper,
                       const Pattern *pattern, int row, int column) {
    const Tile tile = {canvas,
                       arena,
                       plan,
                       paper,
                       pattern,
                       row,
                       column,
                       pattern->left_mm + column * (paper->tile_wide_mm - PATTERN_OVERLAP_MM),
                       pattern->high_mm - row * (paper->tile_tall_mm - PATTERN_OVERLAP_MM)};
    const PlanThing *thing = pattern->thing;
    canvas_clip(canvas, box_on_paper(&tile, tile.left_mm, tile.top_mm - paper->tile_tall_mm,
                                     tile.left_mm + paper->tile_wide_mm, tile.top_mm));
    lay_drawing(&tile);
    if (thing->thing->role == ROLE_PUPPET)
        draw_puppet(&tile);
    else if (pattern->outline.count > 0)
        draw_outline(&tile);
    else
        canvas_rectangle(
            canvas, box_on_paper(&tile, -thing->wide_mm / 2, 0, thing->wide_mm / 2, thing->tall_mm), &CUT);
    if (thing->thing->role != ROLE_PUPPET) {
        draw_openings(&tile);
        draw_seams(&tile);
    }
    canvas_unclip(canvas);
    draw_joins(&tile);
    draw_caption(&tile);
}
