/* What everything weighs, as cut and as stated (docs/geometry.md, rules 84 and 106). */
#include "base/text.h"
#include "plan/weights.h"
#include "report/facts_of_plan.h"

#include <math.h>

double weight_of_puppets(const Writer *writer, int shot) {
    const Plan *plan = writer->plan;
    double sum = NAN;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const double kg = plan->scene->things[i].shot == shot ? plan_stated_weight_kg(plan, (int)i) : NAN;
        if (!isnan(kg)) sum = isnan(sum) ? kg : sum + kg;
    }
    return sum;
}

/* A puppet may stand in several shots. */
static bool told_before(const Plan *plan, size_t thing) {
    const Thing *it = &plan->scene->things[thing];
    for (size_t i = 0; it->role == ROLE_PUPPET && i < thing; i++) {
        const Thing *other = &plan->scene->things[i];
        if (other->role == ROLE_PUPPET && text_equal(other->name, it->name)) return true;
    }
    return false;
}

static bool any_puppet_weighed(const Plan *plan) {
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        if (plan->scene->things[i].role == ROLE_PUPPET && !isnan(plan_weight_kg(plan, (int)i))) return true;
    }
    return false;
}

/* The puppets by their names only where some of them are weighed. */
const char *not_weighed(const Writer *writer) {
    const Plan *plan = writer->plan;
    const bool by_name = any_puppet_weighed(plan);
    Buffer out = buffer_new(writer->arena);
    bool puppets = false;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const Thing *it = &plan->scene->things[i];
        const bool of_all = it->role == ROLE_PUPPET && !by_name;
        if (!plan_has_weight(plan, (int)i) || !isnan(plan_weight_kg(plan, (int)i)) || told_before(plan, i) ||
            (of_all && puppets))
            continue;
        puppets |= of_all;
        buffer_format(&out, "%s%s", out.count > 0 ? ", " : "", of_all ? "the puppets" : it->name);
    }
    return out.count > 0 ? buffer_text(&out) : NULL;
}

static bool is_unweighed(const Parts *parts, int stock) {
    for (size_t i = 0; i < parts->items.count; i++)
        if (parts->items.items[i].stock == stock && isnan(parts->items.items[i].weight_kg)) return true;
    return false;
}

/* As cut, in the order of cutting. */
static void write_cut(Writer *writer, FactBlock *block, const Parts *parts) {
    const Scene *scene = writer->plan->scene;
    for (size_t i = 0; i < parts->things.count; i++) {
        const PartsOfThing *of = &parts->things.items[i];
        if (!isnan(of->weight_kg))
            write_number(writer, block, scene->things[of->thing].name, NULL, FACT_WEIGHT, of->weight_kg);
    }
    if (parts->weight_kg > 0)
        write_number(writer, block, "all", parts->weight_whole ? "all that is cut" : "all that is known",
                     FACT_WEIGHT, parts->weight_kg);
    for (size_t s = 0; s < scene->stock_count; s++)
        if (is_unweighed(parts, (int)s))
            write_text(writer, block, arena_format(writer->arena, "unknown %s", scene->stocks[s].name),
                       arena_format(writer->arena, "not known of %s", scene->stocks[s].name),
                       "neither `weighs` nor `density` is stated");
}

static void write_stated(Writer *writer, FactBlock *block) {
    const Plan *plan = writer->plan;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const double kg = plan_stated_weight_kg(plan, (int)i);
        if (isnan(kg) || told_before(plan, i)) continue;
        const char *name = plan->scene->things[i].name;
        write_number(writer, block, arena_format(writer->arena, "stated %s", name),
                     arena_format(writer->arena, "%s, as stated", name), FACT_WEIGHT, kg);
    }
}

void facts_of_weight(Writer *writer) {
    const Parts *parts = writer->plan->parts;
    bool any = parts && parts->items.count > 0;
    for (size_t i = 0; i < writer->plan->scene->thing_count; i++)
        any |= !isnan(plan_stated_weight_kg(writer->plan, (int)i));
    if (!any) return;
    FactBlock *block = facts_block(writer->facts, "weight", "", "");
    if (parts && parts->items.count > 0) write_cut(writer, block, parts);
    write_stated(writer, block);
    const char *others = not_weighed(writer);
    if (others) write_text(writer, block, "not_weighed", "not weighed", others);
}
