/* What each allowance costs. */
#include "report/cost_words.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_HEAVY = {" heavier", " lighter", "as heavy"};
/* Half a pound: no one carries the difference. */
static const double LEAST_KG = 0.2;

static const char *in_mm(const Writer *writer, double mm) {
    return arena_format(writer->arena, "%s mm", number_short(writer->arena, mm, 2));
}

/* As it is stated. */
static const char *in_lengths(const Writer *writer, double mm) {
    if (writer->facts->lengths == STYLE_MILLIMETRES) return in_mm(writer, mm);
    return length_feet_inches(writer->arena, mm, 64);
}

/* As it is taped. */
static const char *taped(const Writer *writer, double mm) {
    return length_one(writer->arena, writer->facts->lengths, mm, 8, 0);
}

static const char *allowance_words(const Writer *writer, const PlanAllowance *allowance) {
    Arena *arena = writer->arena;
    switch (allowance->kind) {
    case ALLOW_SHORTER:
        return arena_format(arena, "lens from %s instead of %s", in_mm(writer, allowance->allowed),
                            in_mm(writer, allowance->planned));
    case ALLOW_LONGER:
        return arena_format(arena, "lens up to %s instead of %s", in_mm(writer, allowance->allowed),
                            in_mm(writer, allowance->planned));
    case ALLOW_LOWER:
        return arena_format(arena, "height from %s instead of %s", in_lengths(writer, allowance->allowed),
                            taped(writer, allowance->planned));
    case ALLOW_HIGHER:
        return arena_format(arena, "height up to %s instead of %s", in_lengths(writer, allowance->allowed),
                            taped(writer, allowance->planned));
    case ALLOW_SPARE:
        return arena_format(arena, "spare of %s %%", number_short(arena, 100 * allowance->allowed, 1));
    case ALLOW_MARGIN:
        return arena_format(arena, "margin of %s", in_lengths(writer, allowance->allowed));
    case ALLOW_COUNT:
        break;
    }
    return "all of these";
}

/* Under its kind; in a scene of several shots, with the shot's name. */
static Fact *fact_of(Writer *writer, FactBlock *block, const PlanAllowance *allowance) {
    const char *key = allowance_key(allowance->kind), *label = allowance_words(writer, allowance);
    if (allowance->shot >= 0 && has_shots(writer->plan)) {
        const char *shot = writer->plan->shots[allowance->shot].name;
        key = arena_format(writer->arena, "%s %s", key, shot);
        label = arena_format(writer->arena, "%s, in %s", label, shot);
    }
    return fact_new(writer->facts, block, key, label);
}

/* `; ground 1'-2" wider at the rear, 5 in deeper`. */
static void write_sizes(Writer *writer, Fact *fact, const SizeCosts *sizes) {
    static const struct {
        const char *name, *after;
    } words[] = {[SIZE_WIDE] = {"wide", " wider"},
                 [SIZE_TALL] = {"tall", " taller"},
                 [SIZE_DEEP] = {"deep", " deeper"},
                 [SIZE_WIDE_AT_FRONT] = {"wide_at_front", " wider in front"},
                 [SIZE_WIDE_AT_REAR] = {"wide_at_rear", " wider at the rear"}};
    for (size_t i = 0; i < sizes->count; i++) {
        const SizeCost *size = &sizes->items[i];
        const char *thing = writer->plan->scene->things[size->thing].name;
        const bool same = i > 0 && sizes->items[i - 1].thing == size->thing;
        const char *between = fact->parts.count > 0 ? "; " : "";
        fact_part(writer->facts, fact,
                  (FactPart){.name = arena_format(writer->arena, "%s %s", thing, words[size->size].name),
                             .kind = FACT_PLACE,
                             .number = size->mm,
                             .before = same ? ", " : arena_format(writer->arena, "%s%s ", between, thing),
                             .after = words[size->size].after});
    }
}

static bool is_nothing(const Cost *cost) {
    return cost->stocks.count == 0 && cost->sizes.count == 0 && fabs(cost->weight_kg) < LEAST_KG;
}

/* A margin says itself how much wider the ground is; where nothing is cut there is nothing else to tell. */
static bool tells_sizes(const Cost *cost, bool cut) {
    return cost->allowance.kind != ALLOW_MARGIN || !cut;
}

static void write_cost(Writer *writer, FactBlock *block, const Cost *cost) {
    Fact *fact = fact_of(writer, block, &cost->allowance);
    if (is_nothing(cost)) {
        write_cost_text(writer->facts, fact, "nothing");
        return;
    }
    const bool cut = writer->plan->parts->cutting->stock_count > 0;
    write_stock_costs(writer->facts, fact, &cost->stocks);
    if (cost->stocks.count == 0 && cut) write_cost_text(writer->facts, fact, "nothing more to buy");
    if (fabs(cost->weight_kg) >= LEAST_KG)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "weight",
                             .kind = FACT_WEIGHT,
                             .number = cost->weight_kg,
                             .before = "; ",
                             .way = &WAY_HEAVY});
    if (tells_sizes(cost, cut)) write_sizes(writer, fact, &cost->sizes);
}

void facts_of_costs(Writer *writer) {
    const Costs *costs = writer->plan->costs;
    if (!costs || costs->items.count == 0) return;
    FactBlock *block = facts_block(writer->facts, "cost of allowances", "", "");
    bool any = false;
    for (size_t i = 0; i < costs->items.count; i++)
        any |= !is_nothing(&costs->items.items[i]);
    if (!any) write_text(writer, block, allowance_key(ALLOW_COUNT), "everything that is allowed", "nothing");
    for (size_t i = 0; i < costs->items.count && any; i++)
        write_cost(writer, block, &costs->items.items[i]);
}
