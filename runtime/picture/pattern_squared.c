/* A board's page, squared up: what the drawing shows of it, smaller, under a grid that is chalked on the
 * board and filled square by square (common practice of scene painters, no source). */
#include "base/number.h"
#include "picture/pattern.h"

#include <math.h>
#include <stdlib.h>

static const uint32_t INK = 0x14181C, FAINT = 0x50575F, GRID = 0x0B4F8A, WHITE = 0xFFFFFF;
static const LineStyle
    BOARD = {.color = INK, .wide_px = 1.2},
    SQUARE = {.color = GRID, .wide_px = 0.5, .halo = WHITE, .halo_px = 0.4},
    MIDDLE = {.color = GRID, .wide_px = 1.3, .halo = WHITE, .halo_px = 0.5},
    DRAWN = {.color = INK, .wide_px = 0.9, .dash = DASH_SHORT, .halo = WHITE, .halo_px = 0.6},
    HORIZON = {.color = 0xB34700, .wide_px = 1, .dash = DASH_LONG_DOT, .halo = WHITE, .halo_px = 0.6};
static const TextStyle TITLE = {.size_px = 13, .color = INK, .face = FACE_BOLD},
                       TEXT = {.size_px = 9, .color = INK},
                       NUMBER = {.size_px = 7, .color = FAINT, .middle = true};

static const double RIM_MM = 12, HEAD_MM = 31, FOOT_MM = 42, NUMBERS_MM = 13, LEAD_MM = 4.6,
                    SQUARE_LEAST_MM = 9;

typedef struct Board {
    Canvas *canvas;
    Arena *arena;
    const Plan *plan;
    const PatternPaper *paper;
    const Pattern *it;
    LengthStyle lengths;
    double scale;            /* mm on paper for one as built */
    double left_mm, foot_mm; /* its middle and its foot, on paper */
    double step_mm;          /* a square's side, as built */
} Board;

static double on_paper_x(const Board *b, double x_mm) {
    return (b->left_mm + x_mm * b->scale) * POINTS_PER_MM;
}

static double on_paper_y(const Board *b, double y_mm) {
    return (b->foot_mm - y_mm * b->scale) * POINTS_PER_MM;
}

static const char *shown(const Board *b, double mm) {
    return length_one(b->arena, b->lengths, mm, 4, 0);
}

/* The least of the usual sides that is not too small on paper; beyond them, doubled. */
static double side_of_square(LengthStyle lengths, double scale) {
    static const double inches[] = {3, 6, 12, 24}, mm[] = {50, 100, 200, 500};
    const bool feet = lengths == STYLE_FEET_INCHES;
    double side = 0;
    for (int i = 0; i < 4; i++) {
        side = feet ? inches[i] * MM_PER_INCH : mm[i];
        if (side * scale >= SQUARE_LEAST_MM) return side;
    }
    while (side * scale < SQUARE_LEAST_MM)
        side *= 2;
    return side;
}

static void place(Board *b) {
    const double wide = b->it->thing->wide_mm, tall = b->it->thing->tall_mm;
    const double room_x = b->paper->wide_mm - 2 * RIM_MM - NUMBERS_MM,
                 room_y = b->paper->tall_mm - HEAD_MM - FOOT_MM;
    b->scale = fmin(1, fmin(room_x / wide, room_y / tall));
    b->left_mm = RIM_MM + NUMBERS_MM + room_x / 2;
    b->foot_mm = HEAD_MM + tall * b->scale;
    b->step_mm = side_of_square(b->lengths, b->scale);
}

/* ---- Lines */

static void draw_column(const Board *b, int number) {
    const double x = on_paper_x(b, number * b->step_mm), top = on_paper_y(b, b->it->thing->tall_mm);
    TextStyle style = NUMBER;
    style.align = TEXT_CENTRED;
    canvas_line(b->canvas, x, top, x, on_paper_y(b, 0), number == 0 ? &MIDDLE : &SQUARE);
    canvas_text(b->canvas, x, top - 6, &style, number == 0 ? "0" : shown(b, abs(number) * b->step_mm));
}

static void draw_row(const Board *b, int number) {
    const double half = b->it->thing->wide_mm / 2, y = on_paper_y(b, number * b->step_mm);
    TextStyle style = NUMBER;
    style.align = TEXT_TO_RIGHT;
    canvas_line(b->canvas, on_paper_x(b, -half), y, on_paper_x(b, half), y, &SQUARE);
    canvas_text(b->canvas, on_paper_x(b, -half) - 4, y, &style,
                number == 0 ? "0" : shown(b, number * b->step_mm));
}

static void draw_grid(const Board *b) {
    const int columns = (int)floor(b->it->thing->wide_mm / 2 / b->step_mm + 1e-9),
              rows = (int)floor(b->it->thing->tall_mm / b->step_mm + 1e-9);
    for (int i = 0; i <= rows; i++)
        draw_row(b, i);
    for (int i = 1; i <= columns; i++) {
        draw_column(b, -i);
        draw_column(b, i);
    }
    draw_column(b, 0);
}

static void draw_drawn_part(const Board *b) {
    PatternPoint corners[PATTERN_DRAWN_CORNERS];
    CanvasPoint points[PATTERN_DRAWN_CORNERS];
    const size_t count = pattern_drawn_part(b->it, corners);
    for (size_t i = 0; i < count; i++)
        points[i] = (CanvasPoint){on_paper_x(b, corners[i].x_mm), on_paper_y(b, corners[i].y_mm)};
    canvas_path(b->canvas, points, count, true, &DRAWN);
}

static void draw_openings(const Board *b) {
    PatternArea opening;
    for (size_t i = 0; i < b->plan->scene->thing_count; i++) {
        if (!pattern_opening(b->plan, b->it, i, &opening)) continue;
        const CanvasBox box = {on_paper_x(b, opening.left_mm), on_paper_y(b, opening.high_mm),
                               on_paper_x(b, opening.right_mm), on_paper_y(b, opening.low_mm)};
        canvas_rectangle(b->canvas, box, &BOARD);
    }
}

/* As high over its foot as the lens is (rule 10). */
static double horizon_mm(const Board *b) {
    return b->it->shot->cameras[0].camera.height_mm - b->it->thing->at.up_mm;
}

static bool has_horizon(const Board *b) {
    return horizon_mm(b) > 0 && horizon_mm(b) < b->it->thing->tall_mm;
}

static void draw_board(const Board *b) {
    const double half = b->it->thing->wide_mm / 2, tall = b->it->thing->tall_mm;
    const CanvasBox box = {on_paper_x(b, -half), on_paper_y(b, tall), on_paper_x(b, half), on_paper_y(b, 0)};
    pattern_lay_drawing(b->canvas, b->it, (PatternArea){-half, 0, half, tall}, box);
    draw_grid(b);
    draw_drawn_part(b);
    if (has_horizon(b))
        canvas_line(b->canvas, box.left_px, on_paper_y(b, horizon_mm(b)), box.right_px,
                    on_paper_y(b, horizon_mm(b)), &HORIZON);
    draw_openings(b);
    canvas_rectangle(b->canvas, box, &BOARD);
}

/* ---- Words */

static void write_line(const Board *b, double y_mm, const TextStyle *style, const char *text) {
    const double room = (b->paper->wide_mm - 2 * RIM_MM) * POINTS_PER_MM;
    canvas_text(b->canvas, RIM_MM * POINTS_PER_MM, y_mm * POINTS_PER_MM, style,
                canvas_text_fitted(b->canvas, style, text, room));
}

static void write_head(const Board *b) {
    const PlanThing *thing = b->it->thing;
    const char *name = b->plan->scene->title ? b->plan->scene->title : b->plan->scene->name;
    write_line(b, RIM_MM + 3, &TITLE,
               arena_format(b->arena, "%s, squared up every %s", b->it->name, shown(b, b->step_mm)));
    write_line(b, RIM_MM + 9, &TEXT,
               arena_format(b->arena, "%s wide, %s tall; here 1 : %s; %s, page %d",
                            length_both(b->arena, b->lengths, thing->wide_mm, 64, 1),
                            length_both(b->arena, b->lengths, thing->tall_mm, 64, 1),
                            number_short(b->arena, 1 / b->scale, 1), name, b->it->first_page));
}

static void write_foot(const Board *b) {
    double y = b->foot_mm + 4 + LEAD_MM;
    write_line(b, y, &TEXT,
               "Chalk the same squares on it, to both sides from its middle, 0, and up from its foot, and "
               "draw square by square.");
    write_line(b, y += LEAD_MM, &TEXT,
               "Dashes: the edge of the drawing. Beyond it are the bleed and what other allowed cameras see: "
               "carry on.");
    if (has_horizon(b))
        write_line(b, y += LEAD_MM, &TEXT,
                   arena_format(b->arena,
                                "Dashes and dots: the horizon, as high as the lens, %s up from its foot.",
                                length_both(b->arena, b->lengths, horizon_mm(b), 8, 0)));
    write_line(b, y + LEAD_MM, &TEXT,
               arena_format(b->arena,
                            "At full size it takes %d page%s: --scene %s --patterns=backdrop makes them.",
                            b->it->full_tiles, b->it->full_tiles == 1 ? "" : "s", b->plan->scene->name));
}

void pattern_draw_squared(Canvas *canvas, Arena *arena, const Plan *plan, const PatternPaper *paper,
                          const Pattern *pattern) {
    Board board = {.canvas = canvas,
                   .arena = arena,
                   .plan = plan,
                   .paper = paper,
                   .it = pattern,
                   .lengths = plan->scene->lengths};
    place(&board);
    write_head(&board);
    draw_board(&board);
    write_foot(&board);
}
