/* What a book is cut from, stock by stock: all scenes' parts on sheets together, or, where a stock is used
 * again, scene after scene, each from what is on hand, from what earlier scenes left and from their struck
 * sets (docs/geometry.md, rules 107 to 109). */
#ifndef GROUNDROW_BOOK_CUTTING_H
#define GROUNDROW_BOOK_CUTTING_H

#include "shop/cutting.h"

/* Where a sheet comes from that is not bought for the scene that cuts it. */
typedef enum FoundKind {
    FOUND_ON_HAND, /* the stock's `have` */
    FOUND_OFFCUT,  /* kept of a sheet that an earlier scene cut */
    FOUND_STRUCK   /* a part of an earlier scene, or the largest rectangle in it */
} FoundKind;

typedef struct Found {
    FoundKind kind;
    int have;          /* of what is on hand: into the stock's `have`; else -1 */
    const char *scene; /* of offcuts and struck parts: the earlier scene; else NULL */
    int sheet;         /* of offcuts: into the sheets of that scene's nest; else -1 */
    const char *part;  /* of struck ones: the part's name in that scene; else NULL */
    /* Of struck ones: as it was cut, and where in its box the sheet's lower left corner is. */
    const CutItem *struck;
    NestPoint at;
} Found;

/* A part of a struck set that serves as another: as it is, or its outline cut down to the other's. What
 * serves so is not among the items that are nested. */
typedef struct UsedAgain {
    const char *part;       /* of this scene: as it is called in its report */
    const char *from_scene; /* an earlier one */
    const char *from_part;  /* as it is called there */
    int copies;             /* over 0 */
    bool cut_down;
    const CutItem *struck, *wanted; /* as the one was cut, and as the other is */
    /* Of what is cut down: how it is turned, and where in the struck one's box its own lower left corner is.
     */
    int quarter_turns;
    NestPoint at;
} UsedAgain;

/* One nest of a stock. `cut.nest` is never NULL; its sheets' `have` counts in `cut.stock.have`, which holds
 * what there is to cut when it is this scene's turn, `cut.stock.have_count` of them. */
typedef struct SceneCut {
    const char *scene;      /* NULL: all scenes' parts together */
    StockCut cut;           /* what is cut: no items where everything serves again */
    const Found *found;     /* where each of `cut.stock.have` comes from */
    const UsedAgain *again; /* those as they are first */
    int again_count;
} SceneCut;

/* One stock (of one thickness) of the whole book. Areas are mm2. */
typedef struct BookStock {
    CutStock stock;       /* `have` is what is on hand before the first scene */
    const SceneCut *cuts; /* one for all scenes; or one for each that wants the stock, in order */
    int cut_count;
    bool in_turn;      /* scene after scene, with use again */
    int new_count;     /* sheets to be bought for the book */
    int at_once_count; /* to be bought if every set were to stand at once; never less */
    int bound;         /* no way needs fewer new ones, by area alone */
    int on_hand_used;  /* of the stock's `have` */
    int lacking;       /* parts, copies counted, for which nothing is left and nothing can be bought */
    double sheets_mm2; /* of the new sheets and of those on hand that are used */
    double waste_mm2;  /* of these: neither ever part nor kept */
    int again_whole;   /* parts that serve again as they are, copies counted */
    int again_cut;     /* struck parts that are cut smaller */
} BookStock;

/* In the book's order of stocks. Everything in the arena; names are those of the scenes' cuttings. */
typedef struct BookCutting {
    const BookStock *stocks;
    int stock_count;
    const Cutting *const *scenes; /* that it was made of, in the order in which sets are built */
    size_t scene_count;
} BookCutting;

/* The scenes' cuttings in the order in which sets are built, each with its name (parts_to_cutting, or copies
 * of that). What the book has built once is cut for the first scene that names it, and never struck. */
const BookCutting *cuttings_to_book(Arena *arena, const Cutting *const *scenes, size_t count);

/* A stock that is used again, if the sets that take most of it were built first, for those after them to be
 * cut from. Of one that is not, or where more parts would lack: as many sheets as it takes, and no scenes. */
typedef struct LargestFirst {
    int new_count;
    const char *const *scenes; /* in that order; those that want the stock */
    int scene_count;
} LargestFirst;
LargestFirst book_largest_first(Arena *arena, const BookCutting *book, const BookStock *stock);

#endif
