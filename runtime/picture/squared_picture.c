/* The drawing squared up: the flat ground's grid laid on it through the planned camera, so that places are
 * read off it. The camera neither turns aside nor rolls, so that lines across the set are level in the
 * picture, and so are heights at one distance. */
#include "base/pixels.h"
#include "picture/labels.h"
#include "picture/pictures.h"

#include <math.h>
#include <stdlib.h>

static const LineStyle HORIZON_LINE = {
    .color = 0xB34700, .wide_px = 2, .dash = DASH_LONG_DOT, .halo = 0xFFFFFF, .halo_px = 1};
static const LineStyle EDGE_LINE = {
    .color = 0x1F6B2E, .wide_px = 2.5, .dash = DASH_LONG, .halo = 0xFFFFFF, .halo_px = 1};
static const uint32_t GRID_COLOR = 0x0A4FA0, ZERO_COLOR = 0x111418, HEIGHT_COLOR = 0x6B2C91;
enum { MARGIN_PX = 98, FOOT_PX = 60, TICK_PX = 9 };
/* Nearer together than this on the picture, every second line is left out, then every fourth. */
static const double LEAST_DOWN_PX = 8, LEAST_ACROSS_PX = 15;
static const double NEAREST_MM = 20; /* along the axis: nothing nearer is drawn */

enum { LEVELS_MOST = 20 };

/* A line across the set. */
typedef struct Row {
    double y_px;
    bool drawn;
    double before_mm; /* the last one that is drawn up to this one, back from the mark */
} Row;

typedef struct Squared {
    const PictureTask *task;
    const PlanShot *shot;
    const Camera *camera;
    const FoundFile *image; /* NULL: the set is shown instead */
    Canvas *canvas;
    Window window;
    Labels labels;
    double step_mm;
    double front_mm, rear_mm; /* of the ground as far as it lies before the lens; not in this order: none
                                 does */
    double low_mm, high_mm;   /* between which lines across can be told apart in the picture */
    Row *rows;                /* lines across from `first_row` to `last_row` */
    long first_row, last_row;
    bool left_numbered, right_numbered; /* some line along the set, below the picture */
    double nearest_scale;               /* px for a mm of the ground where the picture sees it nearest */
    bool edge_seen;                     /* the ground ends within the picture */
    double behind_px, before_px; /* of numbers at the left: the uppermost behind the mark, the lowest in front
                                    of it; 0: none */
} Squared;

/* ---- Where the ground is on the picture */

static double px_per_mm(const Squared *s, double back_mm) {
    const Point3 on_ground = {s->camera->across_mm, back_mm, 0};
    return window_scale(&s->window) / camera_scale(s->camera, &s->shot->picture, on_ground);
}

/* Of something in front of the lens. */
static CanvasPoint place_px(const Squared *s, double across_mm, double back_mm, double up_mm) {
    double x = 0, y = 0;
    const Point3 place = {across_mm, back_mm, up_mm};
    if (!camera_project(s->camera, &s->shot->picture, place, &x, &y, NULL)) return (CanvasPoint){-1e6, 1e6};
    return (CanvasPoint){window_x_px(&s->window, x), window_y_px(&s->window, y)};
}

static double row_px(const Squared *s, double back_mm) {
    return place_px(s, s->camera->across_mm, back_mm, 0).y_px;
}

/* How far back the ground has this depth along the axis. */
static double back_at_depth(const Squared *s, double depth_mm) {
    return (depth_mm - s->camera->height_mm * sin(s->camera->tilt_rad)) / cos(s->camera->tilt_rad) -
           s->camera->distance_mm;
}

static const Trapezoid *outline(const Squared *s) {
    return &s->task->plan->ground_outline;
}

static double edge_at(const Squared *s, bool right, double back_mm) {
    const Trapezoid *o = outline(s);
    const double share = (back_mm - o->front_mm) / (o->rear_mm - o->front_mm);
    const double front = right ? o->front_right_mm : o->front_left_mm,
                 rear = right ? o->rear_right_mm : o->rear_left_mm;
    return front + share * (rear - front);
}

static bool is_across_window(const Squared *s, double y_px) {
    return y_px >= s->window.px.top_px && y_px <= s->window.px.bottom_px;
}

/* Where the ground comes into the picture. */
static double nearest_row_mm(const Squared *s) {
    Point3 at;
    const double x_mm = s->shot->picture.drawing_wide_mm / 2;
    const bool seen = camera_on_level(s->camera, &s->shot->picture, x_mm, 0, 0, &at);
    return seen ? fmin(fmax(at.back_mm, s->front_mm), s->rear_mm) : s->front_mm;
}

static bool has_ground(const Squared *s) {
    return s->rear_mm > s->front_mm;
}

/* Where a thing is so many times as far as the nearest one, what is drawn of it is next to nothing. */
static void find_ground(Squared *s) {
    enum { TIMES_AS_FAR = 1500 };
    s->front_mm = fmax(outline(s)->front_mm, back_at_depth(s, NEAREST_MM));
    s->rear_mm = outline(s)->rear_mm;
    if (!has_ground(s)) return;
    const double nearest = nearest_row_mm(s);
    s->nearest_scale = px_per_mm(s, nearest);
    s->low_mm = fmax(s->front_mm, nearest - s->step_mm);
    const double depth = camera_depth_mm(s->camera, (Point3){0, nearest, 0});
    s->high_mm = fmin(s->rear_mm, back_at_depth(s, TIMES_AS_FAR * depth));
    if (!(s->high_mm > s->low_mm)) s->high_mm = s->rear_mm; /* looking straight down all is as far */
}

/* ---- Which lines are drawn */

/* How often 2 goes into the line's number: those that stay longest have the most. */
static int level_of(long number) {
    int level = 0;
    while (level < LEVELS_MOST && number % 2 == 0) {
        number /= 2;
        level++;
    }
    return level;
}

/* Numbers of the lines between two places. */
static long first_line(const Squared *s, double from_mm) {
    return (long)ceil(from_mm / s->step_mm - 1e-6);
}

static long last_line(const Squared *s, double to_mm) {
    return (long)floor(to_mm / s->step_mm + 1e-6);
}

static bool row_is_drawn(const Squared *s, long number) {
    return number >= s->first_row && number <= s->last_row && s->rows[number - s->first_row].drawn;
}

/* Rows of one level, between those of higher ones that are drawn. */
static void choose_rows_of(Squared *s, int level) {
    const long step = 1L << level;
    long first = s->first_row;
    while (first % step != 0)
        first++;
    double before_px = INFINITY; /* y of the last one drawn; larger y is nearer */
    long next = first;           /* the next one drawn */
    for (long i = first; i <= s->last_row; i += step) {
        Row *row = &s->rows[i - s->first_row];
        if (level_of(i) > level) {
            if (row->drawn) before_px = row->y_px;
            continue;
        }
        while (next <= i || (next <= s->last_row && !s->rows[next - s->first_row].drawn))
            next += step;
        const double next_px = next <= s->last_row ? s->rows[next - s->first_row].y_px : -INFINITY;
        row->drawn =
            i == 0 || (before_px - row->y_px >= LEAST_DOWN_PX && row->y_px - next_px >= LEAST_DOWN_PX);
        if (row->drawn) before_px = row->y_px;
    }
}

/* Which lines across are drawn: the mark's own, and from rare ones to all what keeps its distance. */
static void choose_rows(Squared *s, Arena *own) {
    s->first_row = first_line(s, s->low_mm);
    s->last_row = last_line(s, s->high_mm);
    if (s->last_row < s->first_row) return;
    s->rows = ARENA_ARRAY(own, Row, s->last_row - s->first_row + 1);
    for (long i = s->first_row; i <= s->last_row; i++)
        s->rows[i - s->first_row].y_px = row_px(s, (double)i * s->step_mm);
    for (int level = LEVELS_MOST; level >= 0; level--)
        choose_rows_of(s, level);
    double before = -INFINITY;
    for (long i = s->first_row; i <= s->last_row; i++) {
        Row *row = &s->rows[i - s->first_row];
        if (row->drawn) before = (double)i * s->step_mm;
        row->before_mm = before;
    }
}

/* The last line across that is drawn and is not behind `end_mm`. */
static double last_row_before(const Squared *s, double end_mm) {
    long row = last_line(s, fmin(end_mm, s->high_mm));
    if (row > s->last_row) row = s->last_row;
    return row < s->first_row ? -INFINITY : s->rows[row - s->first_row].before_mm;
}

typedef struct Range {
    double low, high;
} Range;

/* Cuts the range where a line from (low, at_low) to (high, at_high) is under 0. */
static Range keep_positive(Range range, double at_low, double at_high) {
    if (at_low < 0 && at_high < 0) return (Range){1, 0};
    if (at_low >= 0 && at_high >= 0) return range;
    const double zero = range.low + (range.high - range.low) * at_low / (at_low - at_high);
    return at_low < 0 ? (Range){zero, range.high} : (Range){range.low, zero};
}

/* How far from front to back a line along the set is drawn; high < low: not at all. */
static Range column_of(const Squared *s, long number) {
    const double across = (double)number * s->step_mm;
    Range range = {s->front_mm, s->rear_mm};
    range =
        keep_positive(range, across - edge_at(s, false, range.low), across - edge_at(s, false, range.high));
    if (range.high < range.low) return range;
    range = keep_positive(range, edge_at(s, true, range.low) - across, edge_at(s, true, range.high) - across);
    if (range.high < range.low) return range;
    const double apart = s->step_mm * ldexp(1, level_of(number));
    const double depth = camera_depth_mm(s->camera, (Point3){0, range.low, 0}) * apart *
                         px_per_mm(s, range.low) / LEAST_ACROSS_PX;
    const double end = back_at_depth(s, depth);
    if (end >= range.high) return range;
    range.high = fmax(last_row_before(s, end), range.low);
    return range;
}

/* Numbers of the lines along the set that could come into the picture. */
static Range columns(const Squared *s) {
    Range seen = {INFINITY, -INFINITY};
    const double backs[2] = {s->low_mm, s->high_mm};
    for (int i = 0; i < 2; i++) {
        const double middle = place_px(s, s->camera->across_mm, backs[i], 0).x_px,
                     scale = px_per_mm(s, backs[i]);
        const double left = s->camera->across_mm + (s->window.px.left_px - middle) / scale,
                     right = s->camera->across_mm + (s->window.px.right_px - middle) / scale;
        seen.low = fmin(seen.low, fmax(left, edge_at(s, false, backs[i])));
        seen.high = fmax(seen.high, fmin(right, edge_at(s, true, backs[i])));
    }
    return (Range){(double)first_line(s, seen.low), (double)last_line(s, seen.high)};
}

/* ---- Drawing the grid */

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
    const CanvasPoint left = place_px(s, edge_at(s, false, back), back, 0),
                      right = place_px(s, edge_at(s, true, back), back, 0);
    const LineStyle style = grid_style(s, number, px_per_mm(s, back), pass);
    canvas_line(s->canvas, left.x_px, left.y_px, right.x_px, right.y_px, &style);
}

/* Thinner towards the back: scale is linear along the line as it is seen. */
static void draw_column(const Squared *s, long number, Pass pass) {
    enum { PARTS = 8 };
    const Range range = column_of(s, number);
    if (range.high <= range.low) return;
    const double across = (double)number * s->step_mm;
    const CanvasPoint from = place_px(s, across, range.low, 0), to = place_px(s, across, range.high, 0);
    const double near = px_per_mm(s, range.low), far = px_per_mm(s, range.high);
    for (int i = 0; i < PARTS; i++) {
        const double a = (double)i / PARTS, b = (double)(i + 1) / PARTS;
        const LineStyle style = grid_style(s, number, near + (a + b) / 2 * (far - near), pass);
        canvas_line(s->canvas, from.x_px + a * (to.x_px - from.x_px), from.y_px + a * (to.y_px - from.y_px),
                    from.x_px + b * (to.x_px - from.x_px), from.y_px + b * (to.y_px - from.y_px), &style);
    }
}

static void draw_grid(const Squared *s) {
    const Range across = columns(s);
    const long first = s->first_row, last = s->last_row;
    for (Pass pass = PASS_RIMS; pass < PASSES; pass++) {
        for (long row = first; row <= last; row++) {
            if (row != 0 && row_is_drawn(s, row)) draw_row(s, row, pass);
        }
        for (long column = (long)across.low; column <= (long)across.high; column++) {
            if (column != 0) draw_column(s, column, pass);
        }
        if (row_is_drawn(s, 0)) draw_row(s, 0, pass);
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
        range = keep_positive(range, from[i] + range.low * (to[i] - from[i]),
                              from[i] + range.high * (to[i] - from[i]));
    return range.high > range.low;
}

static void draw_edge(Squared *s, double across_a, double back_a, double across_b, double back_b) {
    const CanvasPoint a = place_px(s, across_a, back_a, 0), b = place_px(s, across_b, back_b, 0);
    if (!meets_box(a, b, &s->window.px)) return;
    s->edge_seen = true;
    canvas_line(s->canvas, a.x_px, a.y_px, b.x_px, b.y_px, &EDGE_LINE);
}

static void draw_outline(Squared *s) {
    const double front = s->front_mm, rear = s->rear_mm;
    draw_edge(s, edge_at(s, false, front), front, edge_at(s, false, rear), rear);
    draw_edge(s, edge_at(s, true, front), front, edge_at(s, true, rear), rear);
    draw_edge(s, edge_at(s, false, rear), rear, edge_at(s, true, rear), rear);
    if (front <= outline(s)->front_mm) /* else it lies behind the lens */
        draw_edge(s, edge_at(s, false, front), front, edge_at(s, true, front), front);
}

static double horizon_px(const Squared *s) {
    return window_y_px(&s->window, camera_horizon_mm(s->camera, &s->shot->picture));
}

static void draw_horizon(const Squared *s) {
    const double y = horizon_px(s);
    if (is_across_window(s, y))
        canvas_line(s->canvas, s->window.px.left_px, y, s->window.px.right_px, y, &HORIZON_LINE);
}

static void draw_mark(const Squared *s) {
    const CanvasPoint mark = place_px(s, 0, 0, 0);
    canvas_circle(s->canvas, mark.x_px, mark.y_px, 8,
                  &(LineStyle){.color = ZERO_COLOR, .wide_px = 2.5, .halo = 0xFFFFFF, .halo_px = 1.5});
}

/* ---- Numbers */

static const char *length_shown(const Squared *s, double mm) {
    Arena *arena = s->task->arena;
    return s->task->facts->lengths == STYLE_FEET_INCHES ? length_feet_inches(arena, mm, 4)
                                                        : number_short(arena, mm, 0);
}

/* Draws a word where no other is yet; false where one is. */
static bool put(Squared *s, double x, double y, const TextStyle *style, const char *text) {
    const CanvasBox box = canvas_box_grown(canvas_text_box(s->canvas, x, y, style, text), 1);
    for (size_t i = 0; i < s->labels.taken.count; i++) {
        if (canvas_boxes_meet(box, s->labels.taken.items[i])) return false;
    }
    canvas_text(s->canvas, x, y, style, text);
    labels_take(&s->labels, box);
    return true;
}

/* The first lines get their numbers first: 0, then those that stay longest. */
typedef void NumberLine(Squared *s, long number);

static void number_lines(Squared *s, long first, long last, NumberLine *number_line) {
    if (first <= 0 && last >= 0) number_line(s, 0);
    for (int level = LEVELS_MOST; level >= 0; level--) {
        for (long i = first; i <= last; i++) {
            if (i != 0 && level_of(i) == level) number_line(s, i);
        }
    }
}

static void tick_at_left(const Squared *s, double y) {
    const double x = s->window.px.left_px;
    canvas_line(s->canvas, x - TICK_PX, y, x - 1, y, &(LineStyle){.color = GRID_COLOR, .wide_px = 1.5});
}

static void number_row(Squared *s, long number) {
    const double y = row_px(s, (double)number * s->step_mm);
    if (!is_across_window(s, y) || !row_is_drawn(s, number)) return;
    TextStyle style = PLAIN_TEXT;
    style.color = number == 0 ? ZERO_COLOR : GRID_COLOR;
    style.face = number == 0 ? FACE_BOLD : FACE_PLAIN;
    style.align = TEXT_TO_RIGHT;
    style.middle = true;
    const char *text = number == 0 ? "mark" : length_shown(s, fabs((double)number * s->step_mm));
    if (!put(s, s->window.px.left_px - TICK_PX - 5, y, &style, text)) return;
    tick_at_left(s, y);
    if (number > 0 && (s->behind_px == 0 || y < s->behind_px)) s->behind_px = y;
    if (number < 0 && y > s->before_px) s->before_px = y;
}

/* Where a line along the set leaves the picture towards the camera. */
typedef enum Leaves { LEAVES_NOWHERE, LEAVES_BELOW, LEAVES_AT_SIDE } Leaves;

static Leaves leaves_at(const Squared *s, long number, CanvasPoint *at) {
    const Range range = column_of(s, number);
    if (range.high <= range.low) return LEAVES_NOWHERE;
    const double across = (double)number * s->step_mm;
    const CanvasPoint near = place_px(s, across, range.low, 0), far = place_px(s, across, range.high, 0);
    const CanvasBox *box = &s->window.px;
    if (far.y_px > box->bottom_px || near.y_px <= far.y_px) return LEAVES_NOWHERE;
    const double y = fmin(near.y_px, box->bottom_px);
    const double x = far.x_px + (near.x_px - far.x_px) * (y - far.y_px) / (near.y_px - far.y_px);
    *at = (CanvasPoint){x, y};
    if (x >= box->left_px && x <= box->right_px) return LEAVES_BELOW;
    const double side = x < box->left_px ? box->left_px : box->right_px;
    if ((side - far.x_px) * (x - side) < 0) return LEAVES_NOWHERE; /* beside the picture all the way */
    *at = (CanvasPoint){side, far.y_px + (y - far.y_px) * (side - far.x_px) / (x - far.x_px)};
    return LEAVES_AT_SIDE;
}

static void number_below(Squared *s, long number, CanvasPoint at) {
    TextStyle style = PLAIN_TEXT;
    style.color = number == 0 ? ZERO_COLOR : GRID_COLOR;
    style.face = number == 0 ? FACE_BOLD : FACE_PLAIN;
    style.align = TEXT_CENTRED;
    const char *text = number == 0 ? "0" : length_shown(s, fabs((double)number * s->step_mm));
    const double foot = s->window.px.bottom_px;
    if (!put(s, at.x_px, foot + 27, &style, text)) return;
    s->left_numbered = s->left_numbered || number < 0;
    s->right_numbered = s->right_numbered || number > 0;
    canvas_line(s->canvas, at.x_px, foot + 1, at.x_px, foot + TICK_PX,
                &(LineStyle){.color = style.color, .wide_px = 1.5});
}

/* In the picture, beside the numbers that count back: with its word. */
static void number_at_side(Squared *s, long number, CanvasPoint at) {
    TextStyle style = LABEL_TEXT;
    style.color = GRID_COLOR;
    style.middle = true;
    const bool right = at.x_px >= s->window.px.right_px - 1;
    style.align = right ? TEXT_TO_RIGHT : TEXT_FROM_LEFT;
    put(s, at.x_px + (right ? -6 : 6), at.y_px, &style,
        arena_format(s->task->arena, "%s %s", length_shown(s, fabs((double)number * s->step_mm)),
                     number < 0 ? "left" : "right"));
}

static void number_column(Squared *s, long number) {
    CanvasPoint at;
    const Leaves leaves = leaves_at(s, number, &at);
    if (leaves == LEAVES_BELOW) number_below(s, number, at);
    if (leaves == LEAVES_AT_SIDE) number_at_side(s, number, at);
}

/* ---- Which way the numbers count */

static void caption_below(Squared *s) {
    const CanvasBox *box = &s->window.px;
    CanvasPoint zero;
    const double middle = leaves_at(s, 0, &zero) == LEAVES_BELOW             ? zero.x_px
                          : place_px(s, 0, s->low_mm, 0).x_px < box->left_px ? box->left_px - 200
                                                                             : box->right_px + 200;
    TextStyle style = FAINT_TEXT;
    style.align = TEXT_CENTRED;
    const double y = box->bottom_px + 52;
    if (s->left_numbered && middle - box->left_px > 180)
        put(s, (box->left_px + fmin(middle, box->right_px)) / 2, y, &style, "left of the mark");
    if (s->right_numbered && box->right_px - middle > 180)
        put(s, (box->right_px + fmax(middle, box->left_px)) / 2, y, &style, "right of the mark");
}

static void caption_at_left(Squared *s) {
    TextStyle style = FAINT_TEXT;
    style.align = TEXT_TO_RIGHT;
    style.middle = true;
    const double x = s->window.px.left_px - TICK_PX - 5, line = 25;
    if (s->behind_px > 0) put(s, x, s->behind_px - line, &style, "behind");
    if (s->before_px > 0) put(s, x, s->before_px + line, &style, "in front");
}

/* ---- Heights */

static double height_px(const Squared *s, double up_mm) {
    return place_px(s, s->camera->across_mm, s->shot->mark.back_mm, up_mm).y_px;
}

static void draw_height(Squared *s, long number, double every_mm, long numbered) {
    const double y = height_px(s, (double)number * every_mm), x = s->window.px.right_px;
    const bool large = number % numbered == 0;
    const LineStyle line = {.color = HEIGHT_COLOR, .wide_px = large ? 2 : 1.2};
    canvas_line(s->canvas, x + 1, y, x + (large ? TICK_PX + 3 : 6), y, &line);
    if (!large) return;
    TextStyle style = PLAIN_TEXT;
    style.color = HEIGHT_COLOR;
    style.middle = true;
    put(s, x + TICK_PX + 8, y, &style, number == 0 ? "0" : length_shown(s, (double)number * every_mm));
}

/* A scale beside the picture: of what stands as far back as the leading puppet. */
static void draw_heights(Squared *s) {
    enum { PARTS = 6 };
    const double every = s->step_mm / PARTS;
    const double apart = fabs(height_px(s, 0) - height_px(s, every));
    if (!(apart > 0.01)) return;
    const long skip = apart >= 5 ? 1 : apart * 3 >= 5 ? 3 : PARTS;
    long numbered = PARTS;
    while (apart * (double)numbered < 26)
        numbered *= 2;
    const CanvasBox *box = &s->window.px;
    canvas_line(s->canvas, box->right_px + 1, fmax(box->top_px, fmin(height_px(s, 0), box->bottom_px)),
                box->right_px + 1, box->top_px, &(LineStyle){.color = HEIGHT_COLOR, .wide_px = 1.5});
    for (long i = 0; (double)i * every < 1e5; i += skip) {
        const double y = height_px(s, (double)i * every);
        if (y < box->top_px) break;
        if (y <= box->bottom_px) draw_height(s, i, every, numbered);
    }
}

/* ---- Legend */

static double middle_of(CanvasBox box) {
    return (box.top_px + box.bottom_px) / 2;
}

static void sample_grid(Canvas *canvas, CanvasBox box) {
    const LineStyle line = {.color = GRID_COLOR, .wide_px = 2};
    const double x = (box.left_px + box.right_px) / 2, y = middle_of(box);
    canvas_line(canvas, box.left_px, y, box.right_px, y, &line);
    canvas_line(canvas, x - 6, box.bottom_px, x + 6, box.top_px, &line);
}

static void sample_zero(Canvas *canvas, CanvasBox box) {
    canvas_line(canvas, box.left_px, middle_of(box), box.right_px, middle_of(box),
                &(LineStyle){.color = ZERO_COLOR, .wide_px = 3.5});
}

static void sample_edge(Canvas *canvas, CanvasBox box) {
    canvas_line(canvas, box.left_px, middle_of(box), box.right_px, middle_of(box), &EDGE_LINE);
}

static void sample_horizon(Canvas *canvas, CanvasBox box) {
    canvas_line(canvas, box.left_px, middle_of(box), box.right_px, middle_of(box), &HORIZON_LINE);
}

static void sample_height(Canvas *canvas, CanvasBox box) {
    const LineStyle line = {.color = HEIGHT_COLOR, .wide_px = 2};
    const double x = box.right_px - 16;
    canvas_line(canvas, x, box.top_px, x, box.bottom_px, &line);
    for (int i = 0; i < 3; i++) {
        const double y = box.top_px + 1 + i * (box.bottom_px - box.top_px - 2) / 2;
        canvas_line(canvas, x, y, x + 10, y, &line);
    }
}

static const char *step_shown(const Squared *s) {
    return length_one(s->task->arena, s->task->facts->lengths, s->step_mm, 4, 0);
}

static bool leaves_lines_out(const Squared *s) {
    if (!has_ground(s)) return false;
    for (long row = s->first_row; row <= s->last_row; row++) {
        const double y = row_px(s, (double)row * s->step_mm);
        if (is_across_window(s, y) && !row_is_drawn(s, row)) return true;
    }
    return s->high_mm < s->rear_mm || s->step_mm * px_per_mm(s, s->rear_mm) < LEAST_ACROSS_PX;
}

static double draw_legend(const Squared *s, double top_px) {
    Arena *arena = s->task->arena;
    LegendEntry entries[6];
    size_t count = 0;
    const bool mm = s->task->facts->lengths == STYLE_MILLIMETRES;
    const char *lead = s->shot->lead >= 0 ? s->task->plan->scene->things[s->shot->lead].name : "the mark";
    const char *fewer = leaves_lines_out(s) ? ", fewer farther back" : "";
    entries[count++] = (LegendEntry){.sample = sample_grid,
                                     .text = arena_format(arena, "every %s on the flat ground%s%s",
                                                          step_shown(s), fewer, mm ? "; numbers in mm" : "")};
    entries[count++] = (LegendEntry){.sample = sample_zero, .text = "through the mark"};
    if (s->edge_seen) entries[count++] = (LegendEntry){.sample = sample_edge, .text = "edge of the ground"};
    if (is_across_window(s, horizon_px(s)))
        entries[count++] = (LegendEntry){.sample = sample_horizon, .text = "horizon"};
    entries[count++] = (LegendEntry){
        .sample = sample_height,
        .text = arena_format(arena, "above the flat ground, of what stands abreast of %s", lead)};
    return picture_legend(s->canvas, entries, count, top_px);
}

/* ---- The whole */

static const FoundFile *image_of(const PictureTask *task, const PlanShot *shot) {
    const int wanted = shot->shot->image;
    const FoundFile *found = wanted >= 0 && task->plan->found ? &task->plan->found[wanted] : NULL;
    return found && found->pixels ? found : NULL;
}

/* Six inches or 150 mm; thirds of that where the picture is of little. */
static double step_of(const PictureTask *task, const PlanShot *shot) {
    const bool feet = task->facts->lengths == STYLE_FEET_INCHES;
    const double wide = camera_frame_mm(&shot->cameras[0].camera, &shot->picture, shot->mark.back_mm, 0);
    const double step = feet ? 6 * MM_PER_INCH : 150;
    return wide < 3 * step ? step / 3 : step;
}

static Window drawing_window(const PlanShot *shot) {
    const RasterWindow mm = {0, shot->picture.drawing_wide_mm, 0, shot->picture.drawing_tall_mm};
    const double aspect = mm.high_mm / mm.right_mm;
    double wide = PICTURE_WIDE_PX - 2 * MARGIN_PX;
    if (wide * aspect > PICTURE_TALLEST_PX) wide = fmax(floor(PICTURE_TALLEST_PX / aspect), 1);
    const double left = floor((PICTURE_WIDE_PX - wide) / 2), tall = fmax(floor(wide * aspect + 0.5), 1);
    return (Window){mm, {left, PICTURE_HEAD_PX, left + wide, PICTURE_HEAD_PX + tall}};
}

static void draw_under(Squared *s, Arena *own) {
    if (s->image) {
        const Pixels *pixels = s->image->pixels;
        canvas_image(s->canvas, pixels->argb, pixels->wide_px, pixels->tall_px, s->window.px, BLEND_OVER, 1);
        return;
    }
    set_view_paint(own, s->canvas, s->task->scenery, (int)s->task->shot, s->camera, s->window);
    canvas_fill_box(s->canvas, s->window.px, 0xFFFFFF, 0.6);
}

static void draw_squares(Squared *s) {
    canvas_clip(s->canvas, s->window.px);
    if (has_ground(s)) {
        draw_grid(s);
        draw_outline(s);
        draw_mark(s);
    }
    draw_horizon(s);
    canvas_unclip(s->canvas);
    canvas_rectangle(s->canvas, canvas_box_grown(s->window.px, 0.5),
                     &(LineStyle){.color = 0x8A9098, .wide_px = 1});
}

static void number_squares(Squared *s) {
    if (has_ground(s)) {
        const Range across = columns(s);
        number_lines(s, s->first_row, s->last_row, number_row);
        number_lines(s, (long)across.low, (long)across.high, number_column);
        caption_below(s);
        caption_at_left(s);
    }
    draw_heights(s);
}

static const char *alt_of(const Squared *s) {
    return arena_format(
        s->task->arena,
        "%s, over it the flat ground's grid in perspective, a line every %s across and back from the mark, "
        "numbered, with the horizon, the edge of the ground, and at the right a scale of heights",
        s->image ? "The drawing" : "The planned frame, pale", step_shown(s));
}

bool squared_picture(const PictureTask *task, PictureFile *file) {
    Squared s = {.task = task, .shot = &task->plan->shots[task->shot]};
    s.camera = &s.shot->cameras[0].camera;
    s.image = image_of(task, s.shot);
    s.window = drawing_window(s.shot);
    s.step_mm = step_of(task, s.shot);
    s.last_row = -1;
    find_ground(&s);
    Arena *own = arena_new();
    enum { LEGEND_ROOM_PX = 3 * PICTURE_LINE_PX + FOOT_PX + 40 };
    s.canvas = canvas_new(own, PICTURE_WIDE_PX, (int)s.window.px.bottom_px + LEGEND_ROOM_PX, PAPER_COLOR);
    s.labels = labels_new(own, s.canvas, s.window.px);
    if (has_ground(&s)) choose_rows(&s, own);
    draw_under(&s, own);
    picture_head(task, s.canvas,
                 arena_format(task->arena,
                              "%s, squared up every %s on the flat ground as the planned camera sees it",
                              s.image ? "the drawing" : "the planned frame", step_shown(&s)));
    draw_squares(&s);
    number_squares(&s);
    const double foot = s.window.px.bottom_px + FOOT_PX + 8;
    canvas_cut(s.canvas, (int)(foot + draw_legend(&s, foot)) + 14);
    *file = picture_file(task, s.canvas, ".squared.png",
                         s.image ? "The drawing, squared up" : "The frame, squared up", alt_of(&s));
    arena_free(own);
    return true;
}
