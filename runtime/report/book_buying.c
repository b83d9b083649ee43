#include "report/book_buying.h"

#include "base/text.h"

static void part_of(Facts *facts, Fact *fact, FactPart part) {
    fact_part(facts, fact, part);
}

static void number_of(Facts *facts, Fact *fact, const char *name, double number, const char *before,
                      const char *after) {
    part_of(
        facts, fact,
        (FactPart){.name = name, .kind = FACT_NUMBER, .number = number, .before = before, .after = after});
}

static void sheet_of(Facts *facts, Fact *fact, const CutStock *stock) {
    if (stock->bars) {
        part_of(facts, fact, (FactPart){.name = "long", .kind = FACT_SIZE, .number = stock->sheet.tall_mm});
        return;
    }
    part_of(facts, fact,
            (FactPart){.name = "wide",
                       .kind = FACT_SIZE,
                       .number = stock->sheet.wide_mm,
                       .after = " x ",
                       .joined = true});
    part_of(facts, fact, (FactPart){.name = "tall", .kind = FACT_SIZE, .number = stock->sheet.tall_mm});
}

/* Parts that are cut from nothing: what is on hand is used up, and nothing can be bought. */
static int lacking(const StockCut *cut) {
    int parts = cut->nest->left_over_count;
    for (int i = 0; i < cut->nest->too_large_count; i++)
        parts += cut->items[cut->nest->too_large[i]].item.copies;
    return parts;
}

static void write_stock(Facts *facts, FactBlock *block, const StockCut *cut) {
    const Nest *nest = cut->nest;
    const CutStock *stock = &cut->stock;
    Fact *fact = fact_new(facts, block, stock->name, NULL);
    number_of(facts, fact, "count", nest->new_count, NULL,
              stock->bars            ? nest->new_count == 1 ? " length" : " lengths"
              : nest->new_count == 1 ? " sheet"
                                     : " sheets");
    if (stock->sheet.wide_mm > 0) {
        part_of(facts, fact, (FactPart){.name = "of", .kind = FACT_TEXT, .text = " of "});
        sheet_of(facts, fact, stock);
    }
    part_of(facts, fact,
            (FactPart){.name = "thick",
                       .kind = FACT_SIZE,
                       .number = stock->thick_mm,
                       .before = ", ",
                       .after = " thick"});
    if (stock->price > 0) {
        number_of(facts, fact, "price", stock->price, ", ", " each");
        number_of(facts, fact, "cost", stock->price * nest->new_count, ", ", " in all");
    }
    number_of(facts, fact, "bound", nest->area_bound,
              stock->bars ? "; by their lengths alone " : "; by area alone ", " at least");
    if (stock->have_count > 0) {
        number_of(facts, fact, "on_hand_used", nest->sheet_count - nest->new_count,
                  "; used of what is on hand ", NULL);
        number_of(facts, fact, "on_hand", stock->have_count, " of ", NULL);
    }
    if (nest->sheet_count > 0)
        part_of(facts, fact,
                (FactPart){.name = "waste",
                           .kind = FACT_SHARE,
                           .number = nest->waste_mm2 / nest->sheets_mm2,
                           .before = "; waste "});
    if (lacking(cut) > 0) number_of(facts, fact, "lacking", lacking(cut), "; nothing is left for ", " parts");
}

static const char TOTAL[] = "all";

bool buying_is_total(const Fact *fact) {
    return fact->key == TOTAL; /* a stock may be called so, in another place */
}

static void write_cost(Facts *facts, FactBlock *block, const Cutting *all) {
    double cost = 0;
    Buffer unpriced = buffer_new(facts->arena);
    bool any = false;
    for (int i = 0; i < all->stock_count; i++) {
        const StockCut *cut = &all->stocks[i];
        cost += cut->stock.price * cut->nest->new_count;
        if (cut->stock.price > 0 || cut->nest->new_count == 0) continue;
        buffer_format(&unpriced, "%s%s", any ? ", " : "", cut->stock.name);
        any = true;
    }
    if (cost == 0) return;
    Fact *fact = fact_new(facts, block, TOTAL, "all that has a price");
    number_of(facts, fact, "cost", cost, NULL, NULL);
    if (any)
        part_of(facts, fact,
                (FactPart){.name = "unpriced",
                           .kind = FACT_TEXT,
                           .text = buffer_text(&unpriced),
                           .before = "; without a price: "});
}

/* What each scene takes when it is cut alone, with all that is on hand. */
static void write_scenes(Facts *facts, const Summary *summaries, size_t count) {
    FactBlock *block = facts_block(facts, "stock by scene", "", "");
    for (size_t s = 0; s < count; s++) {
        const Cutting *cutting = summaries[s].cutting;
        if (!cutting || cutting->stock_count == 0) continue;
        Fact *fact = fact_new(facts, block, summaries[s].scene, NULL);
        for (int i = 0; i < cutting->stock_count; i++) {
            const StockCut *cut = &cutting->stocks[i];
            number_of(facts, fact, cut->stock.name, cut->new_count,
                      arena_format(facts->arena, "%s%s ", i > 0 ? "; " : "", cut->stock.name), NULL);
        }
    }
}

void book_buying(Facts *facts, const Summary *summaries, size_t count) {
    const Cutting **scenes = ARENA_ARRAY(facts->arena, const Cutting *, count);
    size_t cut = 0;
    for (size_t s = 0; s < count; s++)
        if (summaries[s].cutting) scenes[cut++] = summaries[s].cutting;
    const Cutting *all = cuttings_to_one(facts->arena, scenes, cut);
    if (all->stock_count == 0) return;
    FactBlock *block = facts_block(facts, "to buy", "", "");
    for (int i = 0; i < all->stock_count; i++)
        write_stock(facts, block, &all->stocks[i]);
    write_cost(facts, block, all);
    write_scenes(facts, summaries, count);
}
