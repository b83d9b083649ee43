#include "shop/book_cutting.h"

static int lacking(const StockCut *cut) {
    int parts = cut->nest->left_over_count;
    for (int i = 0; i < cut->nest->too_large_count; i++)
        parts += cut->items[cut->nest->too_large[i]].item.copies;
    return parts;
}

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
                       .lacking = lacking(cut),
                       .sheets_mm2 = cut->nest->sheets_mm2,
                       .waste_mm2 = cut->nest->waste_mm2};
}

const BookCutting *cuttings_to_book(Arena *arena, const Cutting *const *scenes, size_t count) {
    BookCutting *book = ARENA_NEW(arena, BookCutting);
    const Cutting *all = cuttings_to_one(arena, scenes, count);
    BookStock *stocks = ARENA_ARRAY(arena, BookStock, all->stock_count);
    for (int i = 0; i < all->stock_count; i++)
        stocks[i] = at_once(arena, &all->stocks[i]);
    book->stocks = stocks;
    book->stock_count = all->stock_count;
    return book;
}
