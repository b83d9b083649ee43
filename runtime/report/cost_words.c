#include "report/cost_words.h"

#include "base/text.h"

#include <stdlib.h>

static const FactWay WAY_PAY = {" more to pay", " less to pay", "nothing more to pay"};

const char *allowance_key(Allowance kind) {
    static const char *const keys[ALLOW_COUNT + 1] = {
        [ALLOW_SHORTER] = "shorter", [ALLOW_LONGER] = "longer", [ALLOW_LOWER] = "lower",
        [ALLOW_HIGHER] = "higher",   [ALLOW_SPARE] = "spare",   [ALLOW_MARGIN] = "margin",
        [ALLOW_COUNT] = "all"};
    return keys[kind];
}

void write_cost_text(Facts *facts, Fact *fact, const char *text) {
    fact_part(facts, fact, (FactPart){.kind = FACT_TEXT, .text = text});
}

static bool is_cut_in_several(const StockCosts *costs, size_t index) {
    for (size_t i = 0; i < costs->count; i++)
        if (i != index && costs->items[i].stock.index == costs->items[index].stock.index) return true;
    return false;
}

const char *stock_label(const Facts *facts, const CutStock *stock, bool in_several) {
    if (!in_several) return stock->name;
    return arena_format(facts->arena, "%s %s thick", stock->name,
                        length_one(facts->arena, facts->lengths, stock->thick_mm, 64, 1));
}

const char *stock_key(const Facts *facts, const CutStock *stock, bool in_several) {
    if (!in_several) return stock->name;
    return arena_format(facts->arena, "%s %s mm", stock->name,
                        number_short(facts->arena, stock->thick_mm, 4));
}

static const char *counted(const CutStock *stock, int count) {
    if (stock->bars) return abs(count) == 1 ? "length" : "lengths";
    return abs(count) == 1 ? "sheet" : "sheets";
}

/* ` more sheets of ply`; in short ` of ply`, behind one of its like. */
static void write_more(Facts *facts, Fact *fact, const StockCost *cost, const char *name, const char *word,
                       bool in_short) {
    FactWay *way = ARENA_NEW(facts->arena, FactWay);
    const char *words = counted(&cost->stock, cost->more);
    way->positive = in_short ? arena_format(facts->arena, " of %s", name)
                             : arena_format(facts->arena, " more %s of %s", words, name);
    way->negative = arena_format(facts->arena, " fewer %s of %s", words, name);
    fact_part(facts, fact,
              (FactPart){.name = arena_format(facts->arena, "new %s", word),
                         .kind = FACT_NUMBER,
                         .number = cost->more,
                         .before = fact->parts.count > 0 ? ", " : NULL,
                         .way = way});
}

static void write_lacking(Facts *facts, Fact *fact, const StockCost *cost, const char *name,
                          const char *word) {
    FactWay *way = ARENA_NEW(facts->arena, FactWay);
    const bool one = abs(cost->more_lacking) == 1;
    const char *part = one ? "part" : "parts", *it = one ? "it" : "them";
    way->positive =
        arena_format(facts->arena, " more %s of %s with nothing left to cut %s from", part, name, it);
    way->negative =
        arena_format(facts->arena, " fewer %s of %s with nothing left to cut %s from", part, name, it);
    fact_part(facts, fact,
              (FactPart){.name = arena_format(facts->arena, "lacking %s", word),
                         .kind = FACT_NUMBER,
                         .number = cost->more_lacking,
                         .before = fact->parts.count > 0 ? ", " : NULL,
                         .way = way});
}

void write_stock_costs(Facts *facts, Fact *fact, const StockCosts *costs) {
    const double price = stock_costs_price(costs);
    const StockCost *before = NULL;
    for (size_t i = 0; i < costs->count; i++) {
        const StockCost *cost = &costs->items[i];
        const bool in_several = is_cut_in_several(costs, i);
        const char *name = stock_label(facts, &cost->stock, in_several);
        const char *word = stock_key(facts, &cost->stock, in_several);
        if (cost->more != 0) {
            const bool in_short = before && before->more > 0 && before->stock.bars == cost->stock.bars;
            write_more(facts, fact, cost, name, word, in_short);
            before = cost;
        }
        if (cost->more_lacking != 0) {
            write_lacking(facts, fact, cost, name, word);
            before = NULL;
        }
    }
    if (price != 0)
        fact_part(
            facts, fact,
            (FactPart){.name = "cost", .kind = FACT_MONEY, .number = price, .before = ", ", .way = &WAY_PAY});
}
