/* What each kind of allowance costs a whole book: its scenes on sheets together, with and without it
 * (docs/geometry.md, rules 100 and 101). */
#ifndef GROUNDROW_BOOK_COSTS_H
#define GROUNDROW_BOOK_COSTS_H

#include "shop/book_cutting.h"
#include "shop/costs.h"

/* How a scene is cut, and how without each kind. */
typedef struct SceneCuttings {
    const Cutting *with;
    const CutWithout *without; /* ALLOW_COUNT + 1 */
} SceneCuttings;

typedef struct BookCost {
    Allowance kind; /* ALLOW_COUNT: all of them together */
    int scenes;     /* that make use of it */
    StockCosts stocks;
} BookCost;

typedef LIST(BookCost) BookCosts;

/* A kind that no scene has is left out; all together only where there are several kinds. `book` is the scenes
 * as they are cut with all they allow, in the same order. */
BookCosts cuttings_to_costs(Arena *arena, const BookCutting *book, const SceneCuttings *scenes, size_t count);

#endif
