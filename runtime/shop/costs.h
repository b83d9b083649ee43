/* What a scene's allowances cost: sheets, weight and covering sizes with each beside without it
 * (docs/geometry.md, rules 100 to 102). Made by shop/plan_to_costs.h; belongs to the scene's arena. */
#ifndef GROUNDROW_COSTS_H
#define GROUNDROW_COSTS_H

#include "plan/allowances.h"
#include "shop/cutting.h"

/* What is taken of a stock, of one way of planning. */
typedef struct StockTally {
    CutStock stock;
    int new_count;    /* sheets or lengths to be bought */
    int lacking;      /* parts that nothing is left for */
    double parts_mm2; /* of what is cut */
} StockTally;

/* In the order of the book's stock, as a cutting's. */
typedef LIST(StockTally) StockTallies;

/* The area of its parts, as they are nested. */
double stock_cut_mm2(const StockCut *cut);

/* How much more of a stock. */
typedef struct StockCost {
    CutStock stock;   /* what is on hand left out */
    int more;         /* to be bought; under 0: fewer */
    int more_lacking; /* parts that nothing is left for */
} StockCost;

/* Only stocks of which there is something to say. */
typedef LIST(StockCost) StockCosts;

/* Rule 101: beside one that allows more, where no more of a stock is cut than there, it takes no more of it,
 * whatever was found. */
void tallies_no_worse(StockTallies *tallies, const StockTallies *of_more);

/* `with` beside `without`. */
StockCosts tallies_to_costs(Arena *arena, const StockTallies *with, const StockTallies *without);
/* Of the stocks that have a price. */
double stock_costs_price(const StockCosts *costs);

/* A size that an allowance makes larger. */
typedef enum CostedSize {
    SIZE_WIDE,
    SIZE_TALL,
    SIZE_DEEP,
    SIZE_WIDE_AT_FRONT, /* of the ground, where it begins without the allowance (rule 102) */
    SIZE_WIDE_AT_REAR
} CostedSize;

/* Less of a size costs nothing (1/2 in; common practice, no source). */
#define COSTED_SIZE_MM 12.7

typedef struct SizeCost {
    int thing;
    CostedSize size;
    double mm; /* COSTED_SIZE_MM and more */
} SizeCost;

typedef LIST(SizeCost) SizeCosts;

typedef struct Cost {
    PlanAllowance allowance; /* its kind is ALLOW_COUNT: all of them together */
    StockCosts stocks;
    double weight_kg; /* of all that is known, as cut; under 0: less */
    SizeCosts sizes;
} Cost;

/* What a scene is cut from without a kind of allowance, in all of its shots; [ALLOW_COUNT]: without any. */
typedef struct CutWithout {
    bool used;              /* the scene has it, and can be planned without */
    const Cutting *cutting; /* NULL: the same as with it */
} CutWithout;

typedef struct Costs {
    LIST(Cost) items; /* in the order of plan_allowances; all together where there are several */
    CutWithout without[ALLOW_COUNT + 1];
} Costs;

#endif
