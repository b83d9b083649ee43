/* Where the ground's grid is on the picture, and which of its lines are drawn. */
#include "picture/squared.h"

#include <math.h>

static const double NEAREST_MM = 20; /* along the axis: nothing nearer is drawn */

/* ---- Where the ground is on the picture */

double squared_scale(const Squared *s, double back_mm) {
    const Point3 on_ground = {s->camera->across_mm, back_mm, 0};
    return window_scale(&s->window) / camera_scale(s->camera, &s->shot->picture, on_ground);
}

/* Of something in front of the lens. */
CanvasPoint squared_place(const Squared *s, double across_mm, double back_mm, double up_mm) {
    double x = 0, y = 0;
    const Point3 place = {across_mm, back_mm, up_mm};
    if (!camera_project(s->camera, &s->shot->picture, place, &x, &y, NULL)) return (CanvasPoint){-1e6, 1e6};
    return (CanvasPoint){window_x_px(&s->window, x), window_y_px(&s->window, y)};
}

double squared_row_px(const Squared *s, double back_mm) {
    return squared_place(s, s->camera->across_mm, back_mm, 0).y_px;
}

/* How far back the ground has this depth along the axis. */
static double back_at_depth(const Squared *s, double depth_mm) {
    return (depth_mm - s->camera->height_mm * sin(s->camera->tilt_rad)) / cos(s->camera->tilt_rad) -
           s->camera->distance_mm;
}

const Trapezoid *squared_outline(const Squared *s) {
    return &s->task->plan->ground_outline;
}

double squared_edge(const Squared *s, bool right, double back_mm) {
    const Trapezoid *o = squared_outline(s);
    const double share = (back_mm - o->front_mm) / (o->rear_mm - o->front_mm);
    const double front = right ? o->front_right_mm : o->front_left_mm,
                 rear = right ? o->rear_right_mm : o->rear_left_mm;
    return front + share * (rear - front);
}

bool squared_is_across(const Squared *s, double y_px) {
    return y_px >= s->window.px.top_px && y_px <= s->window.px.bottom_px;
}

/* Where the ground comes into the picture. */
static double nearest_row_mm(const Squared *s) {
    Point3 at;
    const double x_mm = s->shot->picture.drawing_wide_mm / 2;
    const bool seen = camera_on_level(s->camera, &s->shot->picture, x_mm, 0, 0, &at);
    return seen ? fmin(fmax(at.back_mm, s->front_mm), s->rear_mm) : s->front_mm;
}

bool squared_has_ground(const Squared *s) {
    return s->rear_mm > s->front_mm;
}

/* Where a thing is so many times as far as the nearest one, what is drawn of it is next to nothing. */
void squared_find_ground(Squared *s) {
    enum { TIMES_AS_FAR = 1500 };
    s->front_mm = fmax(squared_outline(s)->front_mm, back_at_depth(s, NEAREST_MM));
    s->rear_mm = squared_outline(s)->rear_mm;
    if (!squared_has_ground(s)) return;
    const double nearest = nearest_row_mm(s);
    s->nearest_scale = squared_scale(s, nearest);
    s->low_mm = fmax(s->front_mm, nearest - s->step_mm);
    const double depth = camera_depth_mm(s->camera, (Point3){0, nearest, 0});
    s->high_mm = fmin(s->rear_mm, back_at_depth(s, TIMES_AS_FAR * depth));
    if (!(s->high_mm > s->low_mm)) s->high_mm = s->rear_mm; /* looking straight down all is as far */
}

double squared_horizon_px(const Squared *s) {
    return window_y_px(&s->window, camera_horizon_mm(s->camera, &s->shot->picture));
}

/* ---- Which lines are drawn */

/* How often 2 goes into the line's number: those that stay longest have the most. */
int squared_level(long number) {
    int level = 0;
    while (level < SQUARED_LEVELS && number % 2 == 0) {
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

bool squared_row_is_drawn(const Squared *s, long number) {
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
        SquaredRow *row = &s->rows[i - s->first_row];
        if (squared_level(i) > level) {
            if (row->drawn) before_px = row->y_px;
            continue;
        }
        while (next <= i || (next <= s->last_row && !s->rows[next - s->first_row].drawn))
            next += step;
        const double next_px = next <= s->last_row ? s->rows[next - s->first_row].y_px : -INFINITY;
        row->drawn =
            i == 0 || (before_px - row->y_px >= SQUARED_DOWN_PX && row->y_px - next_px >= SQUARED_DOWN_PX);
        if (row->drawn) before_px = row->y_px;
    }
}

/* Which lines across are drawn: the mark's own, and from rare ones to all what keeps its distance. */
void squared_choose_rows(Squared *s, Arena *own) {
    s->first_row = first_line(s, s->low_mm);
    s->last_row = last_line(s, s->high_mm);
    if (s->last_row < s->first_row) return;
    s->rows = ARENA_ARRAY(own, SquaredRow, s->last_row - s->first_row + 1);
    for (long i = s->first_row; i <= s->last_row; i++)
        s->rows[i - s->first_row].y_px = squared_row_px(s, (double)i * s->step_mm);
    for (int level = SQUARED_LEVELS; level >= 0; level--)
        choose_rows_of(s, level);
    double before = -INFINITY;
    for (long i = s->first_row; i <= s->last_row; i++) {
        SquaredRow *row = &s->rows[i - s->first_row];
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

/* Cuts the range where a line from (low, at_low) to (high, at_high) is under 0. */
Range range_cut(Range range, double at_low, double at_high) {
    if (at_low < 0 && at_high < 0) return (Range){1, 0};
    if (at_low >= 0 && at_high >= 0) return range;
    const double zero = range.low + (range.high - range.low) * at_low / (at_low - at_high);
    return at_low < 0 ? (Range){zero, range.high} : (Range){range.low, zero};
}

/* How far from front to back a line along the set is drawn; high < low: not at all. */
Range squared_column(const Squared *s, long number) {
    const double across = (double)number * s->step_mm;
    Range range = {s->front_mm, s->rear_mm};
    range = range_cut(range, across - squared_edge(s, false, range.low),
                      across - squared_edge(s, false, range.high));
    if (range.high < range.low) return range;
    range = range_cut(range, squared_edge(s, true, range.low) - across,
                      squared_edge(s, true, range.high) - across);
    if (range.high < range.low) return range;
    const double apart = s->step_mm * ldexp(1, squared_level(number));
    const double depth = camera_depth_mm(s->camera, (Point3){0, range.low, 0}) * apart *
                         squared_scale(s, range.low) / SQUARED_ACROSS_PX;
    const double end = back_at_depth(s, depth);
    if (end >= range.high) return range;
    range.high = fmax(last_row_before(s, end), range.low);
    return range;
}

/* Numbers of the lines along the set that could come into the picture. */
Range squared_columns(const Squared *s) {
    Range seen = {INFINITY, -INFINITY};
    const double backs[2] = {s->low_mm, s->high_mm};
    for (int i = 0; i < 2; i++) {
        const double middle = squared_place(s, s->camera->across_mm, backs[i], 0).x_px,
                     scale = squared_scale(s, backs[i]);
        const double left = s->camera->across_mm + (s->window.px.left_px - middle) / scale,
                     right = s->camera->across_mm + (s->window.px.right_px - middle) / scale;
        seen.low = fmin(seen.low, fmax(left, squared_edge(s, false, backs[i])));
        seen.high = fmax(seen.high, fmin(right, squared_edge(s, true, backs[i])));
    }
    return (Range){(double)first_line(s, seen.low), (double)last_line(s, seen.high)};
}
