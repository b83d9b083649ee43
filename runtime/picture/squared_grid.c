/* The ground's grid over the drawing: lines thinner towards the back, the ground's edges, horizon and mark.
 */
#include "picture/squared.h"

#include <math.h>

const LineStyle SQUARED_HORIZON_LINE = {
    .color = 0xB34700, .wide_px = 2, .dash = DASH_LONG_DOT, .halo = 0xFFFFFF, .halo_px = 1};
const LineStyle SQUARED_EDGE_LINE = {
    .color = 0x1F6B2E, .wide_px = 2.5, .dash = DASH_LONG, .halo = 0xFFFFFF, .halo_px = 1};

/* First all light rims, then all lines, so that no rim cuts a line. */
typedef enum Pass { PASS_RIMS, PASS_LINES, PASSES } Pass;

static LineStyle grid_style(const Squared *s, long number, double scale, Pass pass) {
    const double near = fmin(fmax(scale / s->nearest_scale, 0.35), 1);
    const double wide = number == 0       ? 1.6 + 1.9 * near
                        : number % 2 == 0 ? 0.7 + 1.6 * near
                                          : 0.6 + 0.9 * near;
    if (pass == PASS_RIMS) return (LineStyle){.color = 0xFFFFFF, .wide_px = wide + 2, .strength = 0.7};
    return (LineStyle){.color = number == 0 ? ZERO_COLOR : GRID_COLOR, .wide_px = wide};
}

static void draw_row(const Squared *s, long number, Pass pass) {
    const double back = (double)number * s->step_mm;
    const CanvasPoint left = squared_place(s, squared_edge(s, false, back), back, 0),
                      right = squared_place(s, squared_edge(s, true, back), back, 0);
    const LineStyle style = grid_style(s, number, squared_scale(s, back), pass);
    canvas_line(s->canvas, left.x_px, left.y_px, right.x_px, right.y_px, &style);
}

/* Thinner towards the back: scale is linear along the line as it is seen. */
static void draw_column(const Squared *s, long number, Pass pass) {
    enum { PARTS = 8 };
    const Range range = squared_column(s, number);
    if (range.high <= range.low) return;
    const double across = (double)number * s->step_mm;
    const CanvasPoint from = squared_place(s, across, range.low, 0),
                      to = squared_place(s, across, range.high, 0);
    const double near = squared_scale(s, range.low), far = squared_scale(s, range.high);
    for (int i = 0; i < PARTS; i++) {
        const double a = (double)i / PARTS, b = (double)(i + 1) / PARTS;
        const LineStyle style = grid_style(s, number, near + (a + b) / 2 * (far - near), pass);
        canvas_line(s->canvas, from.x_px + a * (to.x_px - from.x_px), from.y_px + a * (to.y_px - from.y_px),
                    from.x_px + b * (to.x_px - from.x_px), from.y_px + b * (to.y_px - from.y_px), &style);
    }
}

static void draw_grid(const Squared *s) {
    const Range across = squared_columns(s);
    const long first = s->first_row, last = s->last_row;
    for (Pass pass = PASS_RIMS; pass < PASSES; pass++) {
        for (long row = first; row <= last; row++) {
            if (row != 0 && squared_row_is_drawn(s, row)) draw_row(s, row, pass);
        }
        for (long column = (long)across.low; column <= (long)across.high; column++) {
            if (column != 0) draw_column(s, column, pass);
        }
        if (squared_row_is_drawn(s, 0)) draw_row(s, 0, pass);
        draw_column(s, 0, pass);
    }
}

/* Whether some of the line is in the box. */
static bool meets_box(CanvasPoint a, CanvasPoint b, const CanvasBox *box) {
    Range range = {0, 1};
    const double from[4] = {a.x_px - box->left_px, box->right_px - a.x_px, a.y_px - box->top_px,
                            box->bottom_px - a.y_px};
    const double to[4] = {b.x_px - box->left_px, box->right_px - b.x_px, b.y_px - box->top_px,
                          box->bottom_px - b.y_px};
    for (int i = 0; i < 4 && range.high > range.low; i++)
        range = range_cut(range, from[i] + range.low * (to[i] - from[i]),
                          from[i] + range.high * (to[i] - from[i]));
    return range.high > range.low;
}

static void draw_edge(Squared *s, double across_a, double back_a, double across_b, double back_b) {
    const CanvasPoint a = squared_place(s, across_a, back_a, 0), b = squared_place(s, across_b, back_b, 0);
    if (!meets_box(a, b, &s->window.px)) return;
    s->edge_seen = true;
    canvas_line(s->canvas, a.x_px, a.y_px, b.x_px, b.y_px, &SQUARED_EDGE_LINE);
}

static void draw_outline(Squared *s) {
    const double front = s->front_mm, rear = s->rear_mm;
    draw_edge(s, squared_edge(s, false, front), front, squared_edge(s, false, rear), rear);
    draw_edge(s, squared_edge(s, true, front), front, squared_edge(s, true, rear), rear);
    draw_edge(s, squared_edge(s, false, rear), rear, squared_edge(s, true, rear), rear);
    if (front <= squared_outline(s)->front_mm) /* else it lies behind the lens */
        draw_edge(s, squared_edge(s, false, front), front, squared_edge(s, true, front), front);
}

static void draw_horizon(const Squared *s) {
    const double y = squared_horizon_px(s);
    if (squared_is_across(s, y))
        canvas_line(s->canvas, s->window.px.left_px, y, s->window.px.right_px, y, &SQUARED_HORIZON_LINE);
}

static void draw_mark(const Squared *s) {
    const CanvasPoint mark = squared_place(s, 0, 0, 0);
    canvas_circle(s->canvas, mark.x_px, mark.y_px, 8,
                  &(LineStyle){.color = ZERO_COLOR, .wide_px = 2.5, .halo = 0xFFFFFF, .halo_px = 1.5});
}

void squared_draw(Squared *s) {
    canvas_clip(s->canvas, s->window.px);
    if (squared_has_ground(s)) {
        draw_grid(s);
        draw_outline(s);
        draw_mark(s);
    }
    draw_horizon(s);
    canvas_unclip(s->canvas);
    canvas_rectangle(s->canvas, canvas_box_grown(s->window.px, 0.5),
                     &(LineStyle){.color = 0x8A9098, .wide_px = 1});
}
