#include "shop/book_cutting.h"

#include "shop/cut_in_turn.h"

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
    return book;
}
