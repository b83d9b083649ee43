/* What the squared-up drawing is made of: the flat ground's grid as the planned camera sees it. The camera
 * neither turns aside nor rolls, so that lines across the set are level in the picture (rows), and so are
 * heights at one distance; lines along the set (columns) meet on the horizon. Both are numbered from the
 * mark, a step each. */
#ifndef GROUNDROW_SQUARED_H
#define GROUNDROW_SQUARED_H

#include "picture/labels.h"
#include "picture/pictures.h"

enum {
    SQUARED_MARGIN_PX = 104, /* at the left and right: room for numbers */
    SQUARED_FOOT_PX = 60,    /* below */
    SQUARED_LEVELS = 20
};
/* Nearer together than this on the picture, every second line is left out, then every fourth. */
#define SQUARED_DOWN_PX 8.0
#define SQUARED_ACROSS_PX 15.0

enum { GRID_COLOR = 0x0A4FA0, ZERO_COLOR = 0x111418, HEIGHT_COLOR = 0x6B2C91 };
extern const LineStyle SQUARED_EDGE_LINE, SQUARED_HORIZON_LINE;

typedef struct SquaredRow {
    double y_px;
    bool drawn;
    double before_mm; /* the last one that is drawn up to this one, back from the mark */
} SquaredRow;

typedef struct Squared {
    const PictureTask *task;
    const PlanShot *shot;
    const Camera *camera;
    const FoundFile *image; /* NULL: the set is shown instead */
    Canvas *canvas;
    Window window;
    Labels labels; /* of numbers: what is taken */
    double step_mm;
    double front_mm, rear_mm; /* of the ground as far as it lies before the lens; not in this order: none
                                 does */
    double low_mm, high_mm;   /* between which rows can be told apart in the picture */
    double nearest_scale;     /* px for a mm of the ground where the picture sees it nearest */
    SquaredRow *rows;         /* from `first_row` to `last_row` */
    long first_row, last_row;
    bool edge_seen; /* the ground ends within the picture */
} Squared;

/* high < low: nothing. */
typedef struct Range {
    double low, high;
} Range;
/* Cuts a range where a line from (low, at_low) to (high, at_high) is under 0. */
Range range_cut(Range range, double at_low, double at_high);

/* ---- Where the ground is on the picture */

bool squared_has_ground(const Squared *s);
/* Sets front, rear, low, high and nearest_scale. */
void squared_find_ground(Squared *s);
/* Px for a mm of the ground there. */
double squared_scale(const Squared *s, double back_mm);
/* Of something in front of the lens; far outside the picture otherwise. */
CanvasPoint squared_place(const Squared *s, double across_mm, double back_mm, double up_mm);
double squared_row_px(const Squared *s, double back_mm);
/* Across of the ground's left or right edge. */
double squared_edge(const Squared *s, bool right, double back_mm);
const Trapezoid *squared_outline(const Squared *s);
double squared_horizon_px(const Squared *s);
/* Whether a level line at this height crosses the picture. */
bool squared_is_across(const Squared *s, double y_px);

/* ---- Which lines are drawn */

/* How often 2 goes into a line's number, SQUARED_LEVELS of 0: those that stay longest have the most. */
int squared_level(long number);
void squared_choose_rows(Squared *s, Arena *own);
bool squared_row_is_drawn(const Squared *s, long number);
/* How far from front to back a column is drawn. */
Range squared_column(const Squared *s, long number);
/* Numbers of the first and last column that could come into the picture. */
Range squared_columns(const Squared *s);

/* ---- Drawing */

void squared_draw(Squared *s);
/* Numbers at the left and below, heights at the right. */
void squared_number(Squared *s);

#endif
