#include "shop/book_costs.h"

typedef struct Stocks {
    const CutStock **items;
    size_t count;
} Stocks;

static bool has_stock(const Stocks *stocks, const CutStock *stock) {
    for (size_t i = 0; i < stocks->count; i++)
        if (cut_stocks_same(stocks->items[i], stock)) return true;
    return false;
}

static const StockCut *find_stock(const Cutting *cutting, const CutStock *stock) {
    for (int i = 0; i < cutting->stock_count; i++)
        if (cut_stocks_same(&cutting->stocks[i].stock, stock)) return &cutting->stocks[i];
    return NULL;
}

static bool same_points(const NestPoint *a, const NestPoint *b, int count) {
    for (int i = 0; i < count; i++)
        if (a[i].x_mm != b[i].x_mm || a[i].y_mm != b[i].y_mm) return false;
    return true;
}

static bool same_openings(const CutItem *a, const CutItem *b) {
    if (a->opening_count != b->opening_count) return false;
    for (int i = 0; i < a->opening_count; i++) {
        const CutOpening *one = &a->openings[i], *other = &b->openings[i];
        if (one->round != other->round || !same_points(&one->low, &other->low, 1) ||
            !same_points(&one->high, &other->high, 1))
            return false;
    }
    return true;
}

static bool same_item(const CutItem *a, const CutItem *b) {
    return a->item.wide_mm == b->item.wide_mm && a->item.tall_mm == b->item.tall_mm &&
           a->item.has_outline == b->item.has_outline && a->item.may_turn == b->item.may_turn &&
           a->item.copies == b->item.copies && a->outline_count == b->outline_count &&
           same_points(a->outline, b->outline, a->outline_count) && same_openings(a, b);
}

static bool same_parts(const StockCut *a, const StockCut *b) {
    if (!b || a->item_count != b->item_count) return false;
    for (int i = 0; i < a->item_count; i++)
        if (!same_item(&a->items[i], &b->items[i])) return false;
    return true;
}

/* Stocks of one cutting that another cuts otherwise. */
static void add_changed(Stocks *changed, const Cutting *cutting, const Cutting *other) {
    for (int i = 0; i < cutting->stock_count; i++) {
        const StockCut *cut = &cutting->stocks[i];
        if (!has_stock(changed, &cut->stock) && !same_parts(cut, find_stock(other, &cut->stock)))
            changed->items[changed->count++] = &cut->stock;
    }
}

static Stocks changed_stocks(Arena *arena, const SceneCuttings *scenes, size_t count, int kind) {
    size_t most = 0;
    for (size_t s = 0; s < count; s++) {
        const Cutting *without = scenes[s].without[kind].cutting;
        if (without) most += (size_t)(scenes[s].with->stock_count + without->stock_count);
    }
    Stocks changed = {.items = ARENA_ARRAY(arena, const CutStock *, most)};
    for (size_t s = 0; s < count; s++) {
        const Cutting *without = scenes[s].without[kind].cutting;
        if (!without) continue;
        add_changed(&changed, scenes[s].with, without);
        add_changed(&changed, without, scenes[s].with);
    }
    return changed;
}

/* Of a cutting, those stocks alone. */
static const Cutting *only(Arena *arena, const Cutting *cutting, const Stocks *stocks) {
    Cutting *some = ARENA_NEW(arena, Cutting);
    *some = *cutting;
    some->stocks = ARENA_ARRAY(arena, StockCut, cutting->stock_count);
    some->stock_count = 0;
    for (int i = 0; i < cutting->stock_count; i++)
        if (has_stock(stocks, &cutting->stocks[i].stock))
            some->stocks[some->stock_count++] = cutting->stocks[i];
    return some;
}

static double parts_mm2(const Cutting *const *cuttings, size_t count, const CutStock *stock) {
    double mm2 = 0;
    for (size_t s = 0; s < count; s++) {
        const StockCut *cut = find_stock(cuttings[s], stock);
        if (cut) mm2 += stock_cut_mm2(cut);
    }
    return mm2;
}

/* Of the stocks that change. */
static StockTallies tallies_of(Arena *arena, const BookCutting *book, const Cutting *const *cuttings,
                               size_t count, const Stocks *changed) {
    StockTallies tallies = {0};
    for (int i = 0; i < book->stock_count; i++) {
        const BookStock *stock = &book->stocks[i];
        if (!has_stock(changed, &stock->stock)) continue;
        LIST_PUSH(arena, tallies,
                  (StockTally){.stock = stock->stock,
                               .new_count = stock->new_count,
                               .lacking = stock->lacking,
                               .parts_mm2 = parts_mm2(cuttings, count, &stock->stock)});
    }
    return tallies;
}

/* `so_far`: what the book takes without each kind; this one's is added. */
static StockCosts costs_of(Arena *arena, const BookCutting *book, const SceneCuttings *scenes, size_t count,
                           int kind, StockTallies so_far[ALLOW_COUNT + 1]) {
    const Stocks changed = changed_stocks(arena, scenes, count, kind);
    const Cutting **with = ARENA_ARRAY(arena, const Cutting *, count),
                  **without = ARENA_ARRAY(arena, const Cutting *, count);
    for (size_t s = 0; s < count; s++) {
        const Cutting *other = scenes[s].without[kind].cutting;
        with[s] = scenes[s].with;
        without[s] = only(arena, other ? other : scenes[s].with, &changed);
    }
    if (changed.count == 0) return (StockCosts){0};
    const BookCutting *less = cuttings_to_book(arena, without, count);
    const StockTallies some = tallies_of(arena, book, with, count, &changed);
    StockTallies others = tallies_of(arena, less, without, count, &changed);
    tallies_no_worse(&others, &some);
    for (int k = 0; k < kind && kind == ALLOW_COUNT; k++)
        tallies_no_worse(&others, &so_far[k]);
    so_far[kind] = others;
    return tallies_to_costs(arena, &some, &others);
}

BookCosts cuttings_to_costs(Arena *arena, const BookCutting *book, const SceneCuttings *scenes,
                            size_t count) {
    BookCosts costs = {0};
    StockTallies so_far[ALLOW_COUNT + 1] = {0};
    for (int kind = 0; kind <= ALLOW_COUNT; kind++) {
        BookCost cost = {.kind = (Allowance)kind};
        for (size_t s = 0; s < count; s++)
            cost.scenes += scenes[s].without[kind].used;
        if (cost.scenes == 0 || (kind == ALLOW_COUNT && costs.count < 2)) continue;
        cost.stocks = costs_of(arena, book, scenes, count, kind, so_far);
        LIST_PUSH(arena, costs, cost);
    }
    return costs;
}
