/* The parts of a scene, or of many, on sheets: which are cut from what, stock by stock. */
#ifndef GROUNDROW_CUTTING_H
#define GROUNDROW_CUTTING_H

#include "plan/parts.h"
#include "plan/plan.h"
#include "shop/nest.h"

/* An offcut is kept where both its sides are at least this (6 in; common practice, no source). */
#define OFFCUT_KEPT_MM 152.4

/* What is known of a stock, without its scene. Millimetres; 0: not stated. */
typedef struct CutStock {
    const char *name;
    int index;       /* in the book's stock */
    bool bars;       /* sold in lengths: those are the heights of sheets whose width means nothing */
    NestSheet sheet; /* 0 wide: none can be bought */
    double thick_mm, kerf_mm, price;
    const NestSheet *have;
    int have_count;
    bool grain;
    UseAgain again;
    double alike_mm; /* parts that differ by no more serve for one another: the book's `cut` */
} CutStock;

/* Cut out of a part, in the box of its item; a round one fills its own box, and may reach past the part. */
typedef struct CutOpening {
    bool round;
    NestPoint low, high;
} CutOpening;

/* One part of one stock, as it is nested. */
typedef struct CutItem {
    const char *name;  /* of the part */
    const char *thing; /* of the thing that it is of */
    const char *scene; /* for which it is cut; of what is built once for the book, the first that names it */
    bool of_book;      /* the thing is built once for the whole book */
    int part;          /* index into the scene's parts */
    bool turned;       /* by a quarter, so that its grain runs as the sheet's */
    PartShape shape;
    bool keeps_shape; /* neither carved nor thinned once it is cut */
    NestItem item;
    /* What is cut, in the item's box, anticlockwise; of lengths nothing. Contours and discs have corners on
     * them. */
    const NestPoint *outline;
    int outline_count;
    const CutOpening *openings;
    int opening_count;
} CutItem;

typedef struct StockCut {
    CutStock stock;
    const CutItem *items; /* in the order of the nest's */
    int item_count;
    int new_count;    /* sheets to be bought */
    const Nest *nest; /* NULL in a copy */
} StockCut;

/* Stocks that something is cut from, in the book's order; one without a thickness once for each that is cut
 * from it. */
typedef struct Cutting {
    const char *scene; /* NULL: of several */
    StockCut *stocks;
    int stock_count;
} Cutting;

/* In the order of the book's stock, then by thickness: under 0, 0 (one stock, of one thickness) or over 0. */
int cut_stocks_compare(const CutStock *a, const CutStock *b);
bool cut_stocks_same(const CutStock *a, const CutStock *b);

/* A part as it is nested: turned so that its grain runs up the sheet. */
NestItem part_to_nest(const Part *part);

/* Nests what is cut onto what there is to cut; sets `nest` and `new_count`. */
void nest_stock_cut(Arena *arena, StockCut *cut);

Cutting *parts_to_cutting(Arena *arena, const Plan *plan, const Parts *parts);

/* All scenes' parts of a stock on sheets together, as if everything were cut before the first set is struck;
 * what the book has built once is cut once. */
Cutting *cuttings_to_one(Arena *arena, const Cutting *const *scenes, size_t count);
/* A copy without its nests, that hangs on nothing but the arena. */
Cutting *cutting_copy(Arena *arena, const Cutting *cutting);
/* A copy's `outline_count` corners on its sheet, and an opening of it there. */
void cut_outline(const CutItem *item, const NestPlacement *placement, NestPoint *corners);
CutOpening cut_opening(const CutItem *item, const NestPlacement *placement, int opening);
/* How many parts it is, copies counted. */
int stock_cut_parts(const StockCut *cut);
/* Of these, how many copies of one item, and of all, nothing is left for. */
int stock_cut_lacking_of(const StockCut *cut, int item);
int stock_cut_lacking(const StockCut *cut);

#endif
