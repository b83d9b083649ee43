/* The numbers of the ground's grid: rows at the left, columns below and at the sides, heights at the right.
 */
#include "picture/squared.h"

#include <math.h>

enum { TICK_PX = 9, LEADER_PX = 20 };

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

static TextStyle number_style(long number, TextAlign align) {
    TextStyle style = PLAIN_TEXT;
    style.color = number == 0 ? ZERO_COLOR : GRID_COLOR;
    style.face = number == 0 ? FACE_BOLD : FACE_PLAIN;
    style.align = align;
    style.middle = true;
    return style;
}

/* ---- Rows, at the left: every one has its number, beside it or as near as there is room */

typedef struct RowNumber {
    long number;
    double row_px, y_px; /* the line, and its number */
} RowNumber;

typedef LIST(RowNumber) RowNumbers;

static const double ROW_TALL_PX = 21;

/* Those that are in the picture, from the uppermost, of at least this level. */
static RowNumbers rows_of(const Squared *s, Arena *own, int level) {
    RowNumbers rows = {0};
    for (long i = s->last_row; i >= s->first_row; i--) {
        const double y = squared_row_px(s, (double)i * s->step_mm);
        if (!squared_row_is_drawn(s, i) || squared_level(i) < level || !squared_is_across(s, y)) continue;
        LIST_PUSH(own, rows, (RowNumber){i, y, y});
    }
    return rows;
}

/* Apart by a line of text, each moved as little as can be: rows that push each other move together, by the
 * mean of what they want (the pooling of isotonic regression). */
static void spread(RowNumbers *rows, Arena *own) {
    typedef struct Pool {
        size_t count;
        double sum; /* of what its rows want, less a line for each before them */
    } Pool;
    Pool *pools = ARENA_ARRAY(own, Pool, rows->count);
    size_t pool_count = 0;
    for (size_t i = 0; i < rows->count; i++) {
        pools[pool_count++] = (Pool){1, rows->items[i].row_px - (double)i * ROW_TALL_PX};
        while (pool_count > 1) {
            Pool *above = &pools[pool_count - 2], *last = &pools[pool_count - 1];
            if (above->sum / (double)above->count <= last->sum / (double)last->count) break;
            *above = (Pool){above->count + last->count, above->sum + last->sum};
            pool_count--;
        }
    }
    size_t at = 0;
    for (size_t p = 0; p < pool_count; p++) {
        for (size_t i = 0; i < pools[p].count; i++, at++)
            rows->items[at].y_px = pools[p].sum / (double)pools[p].count + (double)at * ROW_TALL_PX;
    }
}

/* All of them between the picture's top and a little below its foot. */
static void keep_beside(const Squared *s, RowNumbers *rows) {
    const double top = s->window.px.top_px + 34, foot = s->window.px.bottom_px + 6;
    for (size_t i = rows->count; i > 0; i--) {
        const double most = foot - (double)(rows->count - i) * ROW_TALL_PX;
        rows->items[i - 1].y_px = fmin(rows->items[i - 1].y_px, most);
    }
    for (size_t i = 0; i < rows->count; i++)
        rows->items[i].y_px = fmax(rows->items[i].y_px, top + (double)i * ROW_TALL_PX);
}

static void draw_row_number(Squared *s, const RowNumber *row) {
    const double edge = s->window.px.left_px, elbow = edge - TICK_PX - LEADER_PX;
    const TextStyle style = number_style(row->number, TEXT_TO_RIGHT);
    const LineStyle line = {.color = style.color, .wide_px = 1.2};
    canvas_line(s->canvas, edge - 1, row->row_px, edge - 5, row->row_px, &line);
    canvas_line(s->canvas, edge - 5, row->row_px, elbow + 3, row->y_px, &line);
    put(s, elbow, row->y_px, &style,
        row->number == 0 ? "mark" : length_shown(s, fabs((double)row->number * s->step_mm)));
}

static void caption_at_left(Squared *s, double y, const char *text) {
    TextStyle style = FAINT_TEXT;
    style.align = TEXT_TO_RIGHT;
    style.middle = true;
    put(s, s->window.px.left_px - TICK_PX - LEADER_PX, y, &style, text);
}

static void number_rows(Squared *s, Arena *own) {
    const size_t room = (size_t)((s->window.px.bottom_px - s->window.px.top_px) / 2 / ROW_TALL_PX);
    RowNumbers rows = rows_of(s, own, 0);
    for (int level = 1; level < SQUARED_LEVELS && rows.count > (room > 5 ? room : 5); level++)
        rows = rows_of(s, own, level);
    if (rows.count == 0) return;
    spread(&rows, own);
    keep_beside(s, &rows);
    for (size_t i = 0; i < rows.count; i++)
        draw_row_number(s, &rows.items[i]);
    const RowNumber *top = &rows.items[0], *foot = &rows.items[rows.count - 1];
    if (top->number > 0) caption_at_left(s, top->y_px - 25, "behind");
    if (foot->number < 0) caption_at_left(s, foot->y_px + 25, "in front");
}

/* ---- Columns, below and at the sides */

/* Where a line along the set leaves the picture towards the camera. */
typedef enum Leaves { LEAVES_NOWHERE, LEAVES_BELOW, LEAVES_AT_SIDE } Leaves;

static Leaves leaves_at(const Squared *s, long number, CanvasPoint *at) {
    const Range range = squared_column(s, number);
    if (range.high <= range.low) return LEAVES_NOWHERE;
    const double across = (double)number * s->step_mm;
    const CanvasPoint near = squared_place(s, across, range.low, 0),
                      far = squared_place(s, across, range.high, 0);
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

static bool number_below(Squared *s, long number, CanvasPoint at) {
    const TextStyle style = number_style(number, TEXT_CENTRED);
    const double foot = s->window.px.bottom_px;
    const char *text = number == 0 ? "0" : length_shown(s, fabs((double)number * s->step_mm));
    if (!put(s, at.x_px, foot + 20, &style, text)) return false;
    canvas_line(s->canvas, at.x_px, foot + 1, at.x_px, foot + TICK_PX,
                &(LineStyle){.color = style.color, .wide_px = 1.5});
    return true;
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

/* On which sides of the mark columns are numbered below the picture. */
typedef struct Numbered {
    bool left, right;
} Numbered;

static void number_column(Squared *s, long number, Numbered *numbered) {
    CanvasPoint at;
    const Leaves leaves = leaves_at(s, number, &at);
    if (leaves == LEAVES_AT_SIDE) number_at_side(s, number, at);
    if (leaves != LEAVES_BELOW || !number_below(s, number, at)) return;
    numbered->left = numbered->left || number < 0;
    numbered->right = numbered->right || number > 0;
}

static void caption_below(Squared *s, Numbered numbered) {
    const CanvasBox *box = &s->window.px;
    CanvasPoint zero;
    const bool beside = squared_place(s, 0, s->low_mm, 0).x_px < box->left_px;
    const double middle = leaves_at(s, 0, &zero) == LEAVES_BELOW ? zero.x_px
                          : beside                               ? box->left_px
                                                                 : box->right_px;
    TextStyle style = FAINT_TEXT;
    style.align = TEXT_CENTRED;
    const double y = box->bottom_px + 52, least = 180;
    if (numbered.left && middle - box->left_px > least)
        put(s, (box->left_px + middle) / 2, y, &style, "left of the mark");
    if (numbered.right && box->right_px - middle > least)
        put(s, (box->right_px + middle) / 2, y, &style, "right of the mark");
}

/* The first ones get their numbers first: 0, then those that stay longest. */
static void number_columns(Squared *s) {
    const Range range = squared_columns(s);
    const long first = (long)range.low, last = (long)range.high;
    Numbered numbered = {0};
    for (int level = SQUARED_LEVELS; level >= 0; level--) {
        for (long i = first; i <= last; i++) {
            if (squared_level(i) == level) number_column(s, i, &numbered);
        }
    }
    caption_below(s, numbered);
}

/* ---- Heights */

static double height_px(const Squared *s, double up_mm) {
    return squared_place(s, s->camera->across_mm, s->shot->mark.back_mm, up_mm).y_px;
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

void squared_number(Squared *s) {
    if (squared_has_ground(s)) {
        Arena *own = arena_new();
        number_rows(s, own);
        number_columns(s);
        arena_free(own);
    }
    draw_heights(s);
}
