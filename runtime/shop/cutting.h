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
    bool bars; /* sold in lengths: `sheet` is as wide as the thickest part, and as tall as a length */
    NestSheet sheet;
    double thick_mm, kerf_mm, price;
    const NestSheet *have;
    int have_count;
    bool grain;
    bool unweighed; /* neither `weighs` nor `density` is stated */
} CutStock;

/* One part of one stock, as it is nested. */
typedef struct CutItem {
    const char *name;  /* of the part */
    const char *thing; /* of the thing that it is of */
    bool of_book;      /* the thing is built once for the whole book */
    int part;          /* index into the scene's parts */
    bool turned;       /* by a quarter, so that its grain runs as the sheet's */
    NestItem item;
} CutItem;

typedef struct StockCut {
    CutStock stock;
    const CutItem *items; /* in the order of the nest's */
    int item_count;
    const Nest *nest;
} StockCut;

/* Stocks that something is cut from, in the book's order. */
typedef struct Cutting {
    StockCut *stocks;
    int stock_count;
} Cutting;

Cutting *parts_to_cutting(Arena *arena, const Plan *plan, const Parts *parts);

/* All scenes' parts of a stock together, as if everything were cut before the first set is struck; what the
 * book has built once is cut once. `effort` as of NestTask. */
Cutting *cuttings_to_one(Arena *arena, const Cutting *const *scenes, size_t count);
/* A copy that hangs on nothing but the arena. */
Cutting *cutting_copy(Arena *arena, const Cutting *cutting);

#endif
