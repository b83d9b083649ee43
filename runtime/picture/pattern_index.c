/* The first pages of the patterns: how to print them, what to measure, and which tiles there are. */
#include "base/number.h"
#include "picture/pattern.h"

#include <math.h>

static const uint32_t INK = 0x14181C, FAINT = 0x50575F;
static const LineStyle LINE = {.color = INK, .wide_px = 0.8}, THIN = {.color = FAINT, .wide_px = 0.4};
static const TextStyle TITLE = {.size_px = 15, .color = INK, .face = FACE_BOLD},
                       BOLD = {.size_px = 10, .color = INK, .face = FACE_BOLD},
                       TEXT = {.size_px = 9, .color = INK},
                       SMALL = {.size_px = 6.5, .color = FAINT, .align = TEXT_CENTRED, .middle = true};

/* Of a pattern's row: its map stands in the left part. */
static const double ROW_MM = 32, MAP_WIDE_MM = 62, MAP_TALL_MM = 28, RIM_MM = 15, LEAD_MM = 4.4;

typedef struct Index {
    Canvas *canvas;
    Arena *arena;
    const Plan *plan;
    const PatternPaper *paper;
    double y_mm; /* from the top, down to there the page is taken */
} Index;

static double px(double mm) {
    return mm * POINTS_PER_MM;
}

static void write_line(Index *index, double left_mm, double y_mm, const TextStyle *style, const char *text) {
    const double room = px(index->paper->wide_mm - RIM_MM - left_mm);
    canvas_text(index->canvas, px(left_mm), px(y_mm), style,
                canvas_text_fitted(index->canvas, style, text, room));
}

static bool in_mm(const Index *index) {
    return index->plan->scene->lengths == STYLE_MILLIMETRES;
}

static double square_mm(const Index *index) {
    return in_mm(index) ? 100 : 4 * MM_PER_INCH;
}

static void draw_square(Index *index) {
    const double side = square_mm(index), left = RIM_MM, top = index->y_mm;
    canvas_rectangle(index->canvas, (CanvasBox){px(left), px(top), px(left + side), px(top + side)}, &LINE);
    TextStyle style = TEXT;
    style.align = TEXT_CENTRED;
    canvas_text(index->canvas, px(left + side / 2), px(top + side / 2), &style,
                in_mm(index) ? "test square: 100 mm a side" : "test square: 4 in a side");
    canvas_text(index->canvas, px(left + side / 2), px(top + side / 2 + LEAD_MM), &style,
                "measure it before anything is cut");
    index->y_mm += side + 8;
}

static void draw_head(Index *index, const char *ending, int pages) {
    const Scene *scene = index->plan->scene;
    const char *title = scene->title ? scene->title : scene->name;
    const char *const lines[] = {
        "Every pattern is as large as it is built: print at 100 %, never \"fit to page\". The square has to "
        "measure true;",
        "where it does not, the printer has scaled the pages.",
        "Neighbours share 10 mm (3/8 in). Cut one of them along the dots, lay it on the other cross on "
        "cross, and glue.",
        "A puppet is its part of the drawing, enlarged at its own depth, in the box of its planned width and "
        "height. What hides",
        "it in the drawing is drawn on it. Cut along thick lines, bend along dashes. Boards meet along "
        "dashes and dots.",
        "Blades and saws away from hands. Local codes and licensed trades come first; more in "
        "docs/safety.md."};
    index->y_mm = RIM_MM + 5;
    write_line(index, RIM_MM, index->y_mm, &TITLE,
               arena_format(index->arena, "%s: full-size patterns", title));
    index->y_mm += 7;
    write_line(index, RIM_MM, index->y_mm, &TEXT,
               arena_format(index->arena, "%s%s, %d pages of %s%s%s", scene->name, ending, pages,
                            in_mm(index) ? "A4" : "Letter",
                            scene->book_title && scene->book_title[0] ? ", from " : "",
                            scene->book_title ? scene->book_title : ""));
    index->y_mm += 6;
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++, index->y_mm += LEAD_MM)
        write_line(index, RIM_MM, index->y_mm, &TEXT, lines[i]);
    index->y_mm += 1;
    draw_square(index);
}

static void draw_tiles(const Index *index, const Pattern *it, double scale) {
    const double step_x = index->paper->tile_wide_mm - PATTERN_OVERLAP_MM;
    const double step_y = index->paper->tile_tall_mm - PATTERN_OVERLAP_MM;
    const double left = RIM_MM, top = index->y_mm;
    for (int i = 0; i < it->rows * it->columns; i++) {
        const int row = i / it->columns, column = i % it->columns;
        const CanvasBox box = {px(left + column * step_x * scale), px(top + row * step_y * scale),
                               px(left + (column * step_x + index->paper->tile_wide_mm) * scale),
                               px(top + (row * step_y + index->paper->tile_tall_mm) * scale)};
        const char *name = pattern_tile_name(index->arena, row, column);
        canvas_rectangle(index->canvas, box, &THIN);
        if (canvas_text_wide_px(index->canvas, &SMALL, name) < box.right_px - box.left_px - 1 &&
            box.bottom_px - box.top_px > SMALL.size_px)
            canvas_text(index->canvas, (box.left_px + box.right_px) / 2, box.bottom_px - 5, &SMALL, name);
    }
}

/* What it takes: all its tiles, or itself where it is made smaller. */
static double map_scale(const Index *index, const Pattern *it) {
    const double step_x = index->paper->tile_wide_mm - PATTERN_OVERLAP_MM;
    const double step_y = index->paper->tile_tall_mm - PATTERN_OVERLAP_MM;
    const double wide = it->squared ? it->right_mm - it->left_mm : step_x * it->columns + PATTERN_OVERLAP_MM;
    const double tall = it->squared ? it->high_mm - it->low_mm : step_y * it->rows + PATTERN_OVERLAP_MM;
    return fmin(MAP_WIDE_MM / wide, MAP_TALL_MM / tall);
}

/* All its tiles to scale, each overlap drawn from both sides, and the shape on them. */
static void draw_map(const Index *index, const Pattern *it) {
    const double scale = map_scale(index, it), left = RIM_MM, top = index->y_mm;
    if (!it->squared) draw_tiles(index, it, scale);
    const double half = it->thing->wide_mm / 2;
    const size_t count = it->outline.count > 0 ? it->outline.count : 4;
    CanvasPoint *points = ARENA_ARRAY(index->arena, CanvasPoint, count);
    for (size_t i = 0; i < count; i++) {
        const bool traced = it->outline.count > 0;
        const double x = traced ? it->outline.points[i].x_mm - half : i == 1 || i == 2 ? half : -half;
        const double y = traced ? it->outline.points[i].y_mm : i >= 2 ? it->thing->tall_mm : 0;
        points[i] = (CanvasPoint){px(left + (x - it->left_mm) * scale), px(top + (it->high_mm - y) * scale)};
    }
    canvas_path(index->canvas, points, count, true, &LINE);
}

/* `page 19, squared up; 39 pages at full size, with --patterns=backdrop`. */
static const char *pages_text(Arena *arena, const Pattern *it) {
    const int tiles = it->rows * it->columns;
    if (it->squared)
        return arena_format(arena, "page %d, squared up; %d page%s at full size, with --patterns=backdrop",
                            it->first_page, it->full_tiles, it->full_tiles == 1 ? "" : "s");
    if (tiles == 1) return arena_format(arena, "page %d", it->first_page);
    return arena_format(arena, "pages %d to %d, tiles A1 to %s", it->first_page, it->first_page + tiles - 1,
                        pattern_tile_name(arena, it->rows - 1, it->columns - 1));
}

static void write_sizes(Index *index, const Pattern *it) {
    const double left = RIM_MM + MAP_WIDE_MM + 6;
    const LengthStyle style = index->plan->scene->lengths;
    Arena *arena = index->arena;
    double y = index->y_mm + 4;
    write_line(index, left, y, &BOLD, it->name);
    write_line(index, left, y += LEAD_MM, &TEXT,
               arena_format(arena, "%s wide, %s tall", length_both(arena, style, it->thing->wide_mm, 64, 1),
                            length_both(arena, style, it->thing->tall_mm, 64, 1)));
    if (it->image)
        write_line(
            index, left, y += LEAD_MM, &TEXT,
            arena_format(arena, "the drawing enlarged %s %%", number_short(arena, 100 * it->enlarged, 1)));
    if (it->thing->row_count > 1)
        write_line(index, left, y += LEAD_MM, &TEXT, arena_format(arena, "make %d", it->thing->row_count));
    write_line(index, left, y + LEAD_MM, &TEXT, pages_text(arena, it));
}

/* As much as the head takes, without drawing. */
static double head_mm(const Index *index) {
    return RIM_MM + 5 + 7 + 6 + 6 * LEAD_MM + 1 + square_mm(index) + 8;
}

int pattern_draw_index(Canvas *canvas, Arena *arena, const Plan *plan, const PatternPaper *paper,
                       const Pattern *patterns, size_t count, int pages) {
    Index index = {canvas, arena, plan, paper, 0};
    int drawn = 1;
    const bool of_backdrop = patterns[0].thing->thing->role == ROLE_BACKDROP && !patterns[0].squared;
    if (canvas) draw_head(&index, of_backdrop ? ".backdrop.pdf" : ".patterns.pdf", pages);
    index.y_mm = head_mm(&index);
    for (size_t i = 0; i < count; i++, index.y_mm += ROW_MM) {
        if (index.y_mm + ROW_MM > paper->tall_mm - PATTERN_RIM_MM) {
            index.y_mm = RIM_MM;
            drawn++;
            if (canvas) canvas_next_sheet(canvas);
        }
        if (!canvas) continue;
        draw_map(&index, &patterns[i]);
        write_sizes(&index, &patterns[i]);
    }
    return drawn;
}
