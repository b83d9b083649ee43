#include "shop/book_cutting.h"

#include "base/number.h"
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
    const Cutting **kept = ARENA_ARRAY(arena, const Cutting *, count);
    for (size_t s = 0; s < count; s++)
        kept[s] = scenes[s];
    book->scenes = kept;
    book->scene_count = count;
    return book;
}

/* ---- Another order */

/* What a scene takes of the stock, with what the book builds once: in whose turn that is cut hangs on the
 * order. */
typedef struct Taker {
    Cutting cutting;
    double area_mm2;
    size_t scene; /* as they stand */
} Taker;

static int compare_takers(const void *a, const void *b) {
    const Taker *one = a, *other = b;
    if (one->area_mm2 != other->area_mm2) return one->area_mm2 > other->area_mm2 ? -1 : 1;
    return (one->scene > other->scene) - (one->scene < other->scene);
}

static double area_of(const StockCut *cut) {
    double area = 0;
    for (int i = 0; i < cut->item_count; i++)
        area += cut->items[i].item.copies * cut_item_area(&cut->items[i]);
    return number_round(area, 1); /* alike ones stay as they stand */
}

static size_t takers_of(const BookCutting *book, const CutStock *stock, Taker *takers) {
    size_t count = 0;
    for (size_t s = 0; s < book->scene_count; s++) {
        for (int i = 0; i < book->scenes[s]->stock_count; i++) {
            StockCut *cut = &book->scenes[s]->stocks[i];
            if (cut_stocks_same(&cut->stock, stock))
                takers[count++] = (Taker){{book->scenes[s]->scene, cut, 1}, area_of(cut), s};
        }
    }
    return count;
}

LargestFirst book_largest_first(Arena *arena, const BookCutting *book, const BookStock *stock) {
    const LargestFirst as_it_is = {.new_count = stock->new_count};
    if (stock->stock.again == AGAIN_NEVER) return as_it_is;
    Taker *takers = ARENA_ARRAY(arena, Taker, book->scene_count);
    const size_t count = takers_of(book, &stock->stock, takers);
    const Cutting **cuttings = ARENA_ARRAY(arena, const Cutting *, count);
    const char **scenes = ARENA_ARRAY(arena, const char *, count);
    qsort(takers, count, sizeof *takers, compare_takers);
    for (size_t i = 0; i < count; i++) {
        cuttings[i] = &takers[i].cutting;
        scenes[i] = takers[i].cutting.scene;
    }
    const BookStock other = cut_in_turn(arena, &cuttings_to_one(arena, cuttings, count)->stocks[0]);
    if (other.lacking > stock->lacking) return as_it_is;
    return (LargestFirst){.new_count = other.new_count, .scenes = scenes, .scene_count = (int)count};
}
