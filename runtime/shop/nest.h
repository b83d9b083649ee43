/* Parts onto sheets with straight cuts alone, each through a whole piece from edge to edge, as a saw and a
 * knife make them. One call is one stock: one material, one thickness. docs/cutting.md tells how it works and
 * what it promises.
 *
 * Lengths are millimetres. A sheet lies with its lower left corner at 0, 0: x to the right (`wide`), y up
 * (`tall`). Where there is grain, the caller lays sheets and parts so that it runs the same way in both. */
#ifndef GROUNDROW_NEST_H
#define GROUNDROW_NEST_H

#include "base/arena.h"

#include <stdbool.h>

typedef struct NestPoint {
    double x_mm, y_mm;
} NestPoint;

/* A part, `copies` times. A rectangle, or with `has_outline` a convex quadrilateral that touches all four
 * sides of its box (0, 0 to wide, tall), its corners anticlockwise; two that are the same make it a triangle.
 * Those with two level or two upright sides (trapezoids) are laid head to tail where that saves; others are
 * cut out of their boxes. No part is ever laid face down. */
typedef struct NestItem {
    double wide_mm, tall_mm; /* over 0 */
    bool has_outline;
    NestPoint outline[4];
    bool may_turn; /* by a quarter; by a half always */
    int copies;    /* 0: none */
} NestItem;

/* `trim_mm` is taken off all four edges before anything else, the saw's cut included: 0 where edges are good.
 * A sheet of which nothing is left then takes nothing. */
typedef struct NestSheet {
    double wide_mm, tall_mm;
    double trim_mm; /* 0 and up */
} NestSheet;

typedef struct NestTask {
    const NestItem *items;
    int item_count;
    const NestSheet *have; /* offcuts and sheets in stock, each once */
    int have_count;
    NestSheet whole; /* what can be bought, as many as it takes; 0 wide: nothing can */
    double kerf_mm;  /* what the saw takes; 0 for a knife */
    double keep_mm;  /* an offcut is kept where both its sides are at least this; 0: all are */
    double effort;   /* share of the usual number of steps of the search: 0 is 1; less is quicker */
} NestTask;

/* Where one copy lies: the lower left corner of the box of the part as turned. */
typedef struct NestPlacement {
    int item, copy;    /* copies of an item count from 0 */
    int sheet;         /* into `sheets` */
    double x_mm, y_mm; /* on the sheet */
    int quarter_turns; /* 0 to 3, anticlockwise; 1 and 3 only with may_turn */
} NestPlacement;

/* A sheet that is cut. Those in stock come first, in the order of `have`; then the new ones. */
typedef struct NestUsed {
    int have; /* into `have`; -1: a new whole sheet */
    NestSheet size;
    double parts_mm2; /* of the parts' outlines */
} NestUsed;

typedef enum NestPieceKind {
    NEST_PIECE_CUT,    /* is cut further */
    NEST_PIECE_PART,   /* a part: exactly its outline */
    NEST_PIECE_OFFCUT, /* a rectangle to keep */
    NEST_PIECE_SCRAP   /* what is left over otherwise */
} NestPieceKind;

/* What lies on the saw between two cuts: a convex polygon, anticlockwise, on its sheet. */
typedef struct NestPiece {
    int sheet;
    NestPieceKind kind;
    int placement; /* of a part, into `placements`; else -1 */
    const NestPoint *corners;
    int corner_count;
} NestPiece;

typedef enum NestCutKind {
    NEST_CUT_UPRIGHT, /* along y: x is the same at both ends */
    NEST_CUT_LEVEL,   /* along x */
    NEST_CUT_SLANTED  /* along a part's slanted edge */
} NestCutKind;

/* One cut through the whole of one piece. The line runs from edge to edge of `piece`, where `first` ends
 * (what is left of an upright or slanted one, below a level one); the saw takes `kerf_mm` beyond it, and
 * there `second` begins. Either is -1 where nothing is left. Upright and slanted ones run upwards, level
 * ones to the right. */
typedef struct NestCut {
    int sheet;
    NestCutKind kind;
    bool trims; /* takes off a sheet's `trim_mm` */
    int piece;  /* into `pieces`, as are both others */
    NestPoint from, to;
    int first, second;
} NestCut;

typedef struct NestOffcut {
    int sheet;
    double x_mm, y_mm, wide_mm, tall_mm;
} NestOffcut;

typedef struct NestCopy {
    int item, copy;
} NestCopy;

/* Everything in the arena that was given. */
typedef struct Nest {
    const NestUsed *sheets;
    int sheet_count, new_count; /* all; of these new whole ones, the last */
    const NestPlacement *placements;
    int placement_count; /* by item, then by copy */
    /* Items that fit on no sheet in any way they may lie (each once, rising): none of their copies is placed.
     */
    const int *too_large;
    int too_large_count;
    /* Copies that would fit, but there is nothing (more) in stock and `whole` is nothing. */
    const NestCopy *left_over;
    int left_over_count;
    const NestPiece *pieces;
    int piece_count; /* sheet by sheet, the whole sheet as the first of each */
    const NestCut *cuts;
    int cut_count; /* sheet by sheet, in the order in which they can be made */
    const NestOffcut *offcuts;
    int offcut_count; /* kept, the largest first */
    /* Of the sheets that are cut: everything, the parts', the offcuts that are kept; waste is the rest, saw
     * dust included. */
    double sheets_mm2, parts_mm2, offcuts_mm2, waste_mm2;
    /* No way of cutting needs fewer new sheets, by area alone (with the saw's cuts beside rectangles). */
    int area_bound;
} Nest;

/* Every part onto sheets: those in stock first and as few new ones as are found; among such, with the largest
 * offcut that is kept (a sheet in stock that stays whole is one too). The same task gives the same nest:
 * the search is bounded in steps, and knows no clock. */
const Nest *nest_parts(Arena *arena, const NestTask *task);

/* No way of cutting needs fewer new sheets, by area alone. */
int nest_area_bound(const NestTask *task);
/* A point of a part's own box, on the sheet that it is placed on. */
NestPoint nest_point(const NestItem *item, const NestPlacement *placement, NestPoint point);
/* Corners of a placed part on its sheet, anticlockwise. */
void nest_outline(const NestItem *item, const NestPlacement *placement, NestPoint corners[4]);

#endif
