/* What is there when a scene's turn comes, and what the scene is cut from: inside cut_in_turn.c and
 * cut_attempt.c. */
#ifndef GROUNDROW_CUT_STORE_H
#define GROUNDROW_CUT_STORE_H

#include "shop/cut_in_turn.h"
#include "shop/struck.h"

/* Areas are compared in whole steps: what differs by rounding alone is alike. */
#define AREA_STEP_MM2 1.0

/* Something in the store: a sheet, an offcut, or struck parts that are alike. */
typedef struct Stored {
    Found found;
    NestSheet sheet;       /* as it can be cut; 0 wide: it cannot */
    const CutItem *struck; /* as it was cut once, whatever it has served as since; NULL: no struck part */
    double area_mm2;       /* of its face, as struck */
    int copies;
    int wanted; /* the last item that wants it as it is; -1: none */
} Stored;

typedef struct Turns {
    Arena *arena;
    const StockCut *all;
    bool down_first; /* of ways that are as good, struck parts cut down; else nested on */
    bool tied;       /* there was such a choice */
    BookStock book;
    LIST(Stored) store;
    LIST(SceneCut) cuts;
    LIST(NestItem) of_book; /* cut by now, and never struck */
} Turns;

/* The scene whose turn it is: its items are those from `first` to `end`. */
typedef struct Turn {
    const char *scene;
    int first, end;
    int *copies; /* of each of them, that are still to be cut */
    LIST(UsedAgain) again;
    LIST(Stored) moved; /* what serves again, as struck parts of this scene */
} Turn;

/* One copy of a wanted part that a struck one is cut down to. */
typedef struct CutDown {
    int stored, item;
} CutDown;

/* What is still to be cut, from what: some of it struck parts cut down, the rest nested. */
typedef struct Attempt {
    CutDown *downs;
    int down_count;
    StockCut cut;
    int *from; /* where in the store each of what there is to cut is */
} Attempt;

/* Of a part's face, in those steps. */
double stored_area(const CutItem *item);
/* The attempt that takes fewest new sheets; what of the scene serves again as it is, is no longer among
 * `turn->copies`. */
Attempt best_attempt(Turns *turns, const Turn *turn);

#endif
