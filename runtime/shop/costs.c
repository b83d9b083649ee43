#include "shop/costs.h"

/* So much of area is rounding. */
static const double SAME_MM2 = 1;

static double item_mm2(const NestItem *item) {
    double twice = 0;
    if (!item->has_outline) return item->wide_mm * item->tall_mm;
    for (int i = 0; i < 4; i++) {
        const NestPoint a = item->outline[i], b = item->outline[(i + 1) % 4];
        twice += a.x_mm * b.y_mm - b.x_mm * a.y_mm;
    }
    return twice / 2;
}

double stock_cut_mm2(const StockCut *cut) {
    double mm2 = 0;
    for (int i = 0; i < cut->item_count; i++)
        mm2 += cut->items[i].item.copies * item_mm2(&cut->items[i].item);
    return mm2;
}

static void add_cost(Arena *arena, StockCosts *costs, const StockTally *with, const StockTally *without) {
    StockCost cost = {.stock = with ? with->stock : without->stock,
                      .more = (with ? with->new_count : 0) - (without ? without->new_count : 0),
                      .more_lacking = (with ? with->lacking : 0) - (without ? without->lacking : 0)};
    cost.stock.have = NULL;
    cost.stock.have_count = 0;
    if (cost.more != 0 || cost.more_lacking != 0) LIST_PUSH(arena, *costs, cost);
}

void tallies_no_worse(StockTallies *tallies, const StockTallies *of_more) {
    for (size_t i = 0; i < tallies->count; i++) {
        StockTally *tally = &tallies->items[i];
        for (size_t k = 0; k < of_more->count; k++) {
            const StockTally *other = &of_more->items[k];
            if (!cut_stocks_same(&tally->stock, &other->stock) ||
                tally->parts_mm2 > other->parts_mm2 + SAME_MM2)
                continue;
            if (other->new_count < tally->new_count) tally->new_count = other->new_count;
            if (other->lacking < tally->lacking) tally->lacking = other->lacking;
        }
    }
}

StockCosts tallies_to_costs(Arena *arena, const StockTallies *with, const StockTallies *without) {
    StockCosts costs = {0};
    size_t i = 0, k = 0;
    while (i < with->count || k < without->count) {
        const StockTally *one = i < with->count ? &with->items[i] : NULL;
        const StockTally *other = k < without->count ? &without->items[k] : NULL;
        const int order = !one ? 1 : !other ? -1 : cut_stocks_compare(&one->stock, &other->stock);
        add_cost(arena, &costs, order <= 0 ? one : NULL, order >= 0 ? other : NULL);
        i += order <= 0;
        k += order >= 0;
    }
    return costs;
}

double stock_costs_price(const StockCosts *costs) {
    double price = 0;
    for (size_t i = 0; i < costs->count; i++)
        price += costs->items[i].stock.price * costs->items[i].more;
    return price;
}
