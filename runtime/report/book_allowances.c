#include "report/book_allowances.h"

#include "base/text.h"
#include "report/cost_words.h"
#include "shop/book_costs.h"

static const char *kind_words(Allowance kind) {
    static const char *const words[ALLOW_COUNT + 1] = {[ALLOW_SHORTER] = "shorter lenses",
                                                       [ALLOW_LONGER] = "longer lenses",
                                                       [ALLOW_LOWER] = "lower lenses",
                                                       [ALLOW_HIGHER] = "higher lenses",
                                                       [ALLOW_SPARE] = "spare",
                                                       [ALLOW_MARGIN] = "margins of the ground",
                                                       [ALLOW_COUNT] = "all of these"};
    return words[kind];
}

static void write_cost(Facts *facts, FactBlock *block, const BookCost *cost, const char *label) {
    Fact *fact = fact_new(facts, block, allowance_key(cost->kind), label);
    if (cost->stocks.count == 0)
        write_cost_text(facts, fact, "nothing more to buy");
    else
        write_stock_costs(facts, fact, &cost->stocks);
    fact_part(facts, fact,
              (FactPart){.name = "scenes",
                         .kind = FACT_NUMBER,
                         .number = cost->scenes,
                         .before = "; in ",
                         .after = cost->scenes == 1 ? " scene" : " scenes"});
}

void book_allowances(Facts *facts, const BookCutting *book, const Summary *summaries, size_t count) {
    const Summary **turns = summaries_in_turn(facts->arena, summaries, count);
    SceneCuttings *scenes = ARENA_ARRAY(facts->arena, SceneCuttings, count);
    size_t cut = 0;
    for (size_t s = 0; s < count; s++)
        if (turns[s]->cutting) scenes[cut++] = (SceneCuttings){turns[s]->cutting, turns[s]->without};
    if (book->stock_count == 0) return;
    const BookCosts costs = cuttings_to_costs(facts->arena, book, scenes, cut);
    if (costs.count == 0) return;
    FactBlock *block = facts_block(facts, "cost of allowances", "", "");
    bool any = false;
    for (size_t i = 0; i < costs.count; i++)
        any |= costs.items[i].stocks.count > 0;
    if (!any) write_cost(facts, block, &costs.items[costs.count - 1], "everything that is allowed");
    for (size_t i = 0; i < costs.count && any; i++)
        write_cost(facts, block, &costs.items[i], kind_words(costs.items[i].kind));
}
