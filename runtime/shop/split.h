/* Surfaces that are larger than their sheets: where their seams may lie, ways to lay them, and which of these
 * is taken (docs/geometry.md, rules 81 and 86). Inside shop/ only. */
#ifndef GROUNDROW_SPLIT_H
#define GROUNDROW_SPLIT_H

#include "shop/cutter.h"

enum { SEAMS_MOST = 200, CELLS_MOST = 400 };

typedef struct Span2 {
    double from_mm, to_mm;
} Span2;

/* Where no seam may be, along one direction. */
typedef struct Keep {
    double from_mm, to_mm;
} Keep;
typedef LIST(Keep) Keeps;

/* What seams keep from, the most important first: each holds what the ones before it hold. */
typedef enum KeepsOf {
    KEEPS_NOTHING,
    KEEPS_MARKS,
    KEEPS_SEAMS,
    KEEPS_HOLES,
    KEEPS_TABLES,
    KEEPS_COUNT
} KeepsOf;
typedef struct KeepsAlong {
    Keeps of[KEEPS_COUNT];
} KeepsAlong;

/* Seams keep from the marks where the surface lies on the set; those of the ground from those under it; those
 * of the base from its holes; those of what lies on tables from their gaps and joints. From openings, on a
 * thing. For `rows`, or for seams square to them in one row. */
KeepsAlong keeps_along(Arena *arena, const Cutter *cutter, const Surface *surface, bool rows, Span2 row);

/* The place in [low, high] that is nearest to the wanted one and free; a multiple of `step_mm`. */
bool keeps_free_place(const Keeps *keeps, double low_mm, double high_mm, double wanted_mm, double step_mm,
                      double *at_mm);

/* A span with its cuts. */
typedef struct Row {
    bool near_mark; /* no seams were found that keep from the marks */
    double *cuts;
    int count; /* of cuts, both ends included */
} Row;

typedef struct Cell {
    const PartPoint *corners; /* in the surface's frame, anticlockwise */
    size_t count;
} Cell;
typedef LIST(Cell) Cells;

/* What of an outline, which need not be convex and does not cross itself, lies in a box (whose sides may be
 * infinite): one piece or several, none of which is smaller than a chip. */
void outline_in_box(Arena *arena, Cell outline, Span2 x, Span2 y, Cells *pieces);

/* Whether all of an outline lies on the ground; and what of it does: one piece or several, no chips. */
bool outline_is_on_ground(const Trapezoid *ground, const Cell *outline);
Cells outline_on_ground(Arena *arena, const Trapezoid *ground, Cell outline);

/* Whether a seam is one of the layer right under what lies there. */
bool seam_lies_under(const PartSeam *seam, const Surface *surface);

/* A way to split: rows from near to far, each with its own cuts. */
typedef struct Layout {
    Row rows;
    Row *columns;   /* as many as rows has spaces */
    Cells cells;    /* row by row, from the left */
    int near_marks; /* rows and columns whose seams do not keep from the marks */
} Layout;

/* How a surface is shared out. */
typedef struct Sharing {
    Size2 most;       /* of a cell */
    int more_rows;    /* than it takes */
    int more_columns; /* likewise, in each row */
    KeepsOf strictly; /* what is kept from at most */
} Sharing;

/* The rows of a way, and what its columns go by. */
typedef struct Rows {
    Row row;
    Span2 *extents; /* of each, to both sides */
    KeepsAlong *keeps;
} Rows;

/* `share` tells how the spaces are shared out: 0 evenly, 1 all as long as they can be but the last, -1 all
 * but the first; or between these. False where that cannot be done. */
bool surface_rows(Arena *arena, const Cutter *cutter, const Surface *surface, const Sharing *sharing,
                  double share, Rows *rows);
/* What its columns go by. */
void surface_each_row(Arena *arena, const Cutter *cutter, const Surface *surface, Rows *rows);
/* A layout of these rows, without its cells. */
bool surface_columns(Arena *arena, const Cutter *cutter, const Sharing *sharing, const Rows *rows,
                     double share, Layout *layout);
void layout_cells(Arena *arena, const Surface *surface, Layout *layout);
bool row_is_same(const Row *a, const Row *b);

/* The best of all that are tried; false where none can be done. In the cutter's arena. */
bool surface_best_layout(const Cutter *cutter, const Surface *surface, Layout *best);

/* In a row, the seam to the row before it (0, of any but the first), or the i-th square to that. */
PartSeam layout_seam(const Layout *layout, int row, int i);

Span2 corners_extent(const PartPoint *corners, size_t count, bool of_x);
/* Along the longer side of the whole, so that it runs the same way in all of its parts. */
PartGrain surface_grain(const Cutter *cutter, const Surface *surface);
/* A cell as a part, its frame's origin at the lower left of its box. */
Part surface_part(Arena *arena, const Cutter *cutter, const Surface *surface, const Cell *cell);

#endif
