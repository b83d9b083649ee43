#include "shop/book_cutting.h"

#include "base/number.h"
#include "base/text.h"
#include "shop/cut_in_turn.h"
#include "shop/struck.h"

#include <stdlib.h>

static const Found *on_hand(Arena *arena, const CutStock *stock) {
    Found *found = ARENA_ARRAY(arena, Found, stock->have_count);
    for (int i = 0; i < stock->have_count; i++)
        found[i] = (Found){.kind = FOUND_ON_HAND, .have = i, .sheet = -1};
    return found;
}

static BookStock at_once(Arena *arena, const StockCut *cut) {
    SceneCut *all = ARENA_NEW(arena, SceneCut);
    *all = (SceneCut){.cut = *cut, .found = on_hand(arena, &cut->stock)};
    return (BookStock){.stock = cut->stock,
                       .all = *cut,
                       .cuts = all,
                       .cut_count = 1,
                       .new_count = cut->nest->new_count,
                       .at_once_count = cut->nest->new_count,
                       .bound = cut->nest->area_bound,
                       .on_hand_used = cut->nest->sheet_count - cut->nest->new_count,
                       .lacking = stock_cut_lacking(cut),
                       .sheets_mm2 = cut->nest->sheets_mm2,
                       .waste_mm2 = cut->nest->waste_mm2};
}

/* Never more sheets, and never less served, than if every set stood at once (rule 109). */
static BookStock book_stock(Arena *arena, const StockCut *cut) {
    const BookStock all = at_once(arena, cut);
    if (cut->stock.again == AGAIN_NEVER) return all;
    BookStock turns = cut_in_turn(arena, cut);
    turns.at_once_count = all.new_count;
    turns.all = all.all;
    return book_stock_better(&all, &turns) ? all : turns;
}

const BookCutting *cuttings_to_book(Arena *arena, const Cutting *const *scenes, size_t count) {
    BookCutting *book = ARENA_NEW(arena, BookCutting);
    const Cutting *all = cuttings_to_one(arena, scenes, count);
    BookStock *stocks = ARENA_ARRAY(arena, BookStock, all->stock_count);
    for (int i = 0; i < all->stock_count; i++)
        stocks[i] = book_stock(arena, &all->stocks[i]);
    book->stocks = stocks;
    book->stock_count = all->stock_count;
    return book;
}

/* ---- Another order */

/* One scene's items among all. */
typedef struct Run {
    int first, end;
    double area_mm2;
} Run;

static int compare_runs(const void *a, const void *b) {
    const Run *one = a, *other = b;
    if (one->area_mm2 != other->area_mm2) return one->area_mm2 > other->area_mm2 ? -1 : 1;
    return (one->first > other->first) - (one->first < other->first);
}

static int runs_of(const StockCut *all, Run *runs) {
    int count = 0;
    for (int i = 0; i < all->item_count; i++) {
        const CutItem *item = &all->items[i];
        if (i == 0 || !text_equal(item->scene, all->items[i - 1].scene)) runs[count++] = (Run){.first = i};
        runs[count - 1].end = i + 1;
        runs[count - 1].area_mm2 += item->item.copies * cut_item_area(item);
    }
    for (int r = 0; r < count; r++)
        runs[r].area_mm2 = number_round(runs[r].area_mm2, 1); /* alike ones stay as they stand */
    return count;
}

/* The same items, run after run; the scenes of the runs. */
static StockCut in_order(Arena *arena, const StockCut *all, const Run *runs, int count, const char **scenes) {
    CutItem *items = ARENA_ARRAY(arena, CutItem, all->item_count);
    StockCut ordered = *all;
    ordered.item_count = 0;
    for (int r = 0; r < count; r++) {
        scenes[r] = all->items[runs[r].first].scene;
        for (int i = runs[r].first; i < runs[r].end; i++)
            items[ordered.item_count++] = all->items[i];
    }
    ordered.items = items;
    return ordered;
}

LargestFirst book_largest_first(Arena *arena, const BookStock *stock) {
    const LargestFirst as_it_is = {.new_count = stock->new_count};
    if (stock->stock.again == AGAIN_NEVER) return as_it_is;
    Run *runs = ARENA_ARRAY(arena, Run, stock->all.item_count);
    const int count = runs_of(&stock->all, runs);
    const char **scenes = ARENA_ARRAY(arena, const char *, count);
    qsort(runs, (size_t)count, sizeof *runs, compare_runs);
    const StockCut ordered = in_order(arena, &stock->all, runs, count, scenes);
    const BookStock other = cut_in_turn(arena, &ordered);
    if (other.lacking > stock->lacking) return as_it_is;
    return (LargestFirst){.new_count = other.new_count, .scenes = scenes, .scene_count = count};
}
