#include "shop/plan_to_costs.h"

#include "shop/cut_in_turn.h"
#include "shop/plan_to_parts.h"

#include <math.h>
#include <string.h>

/* The scene without something. */
typedef struct Variant {
    const Allowances *given_up; /* of each shot */
    const Plan *plan;           /* NULL: it cannot be planned or cut so */
    const Parts *parts;         /* those of the plan itself, where nothing changes */
} Variant;

typedef struct Trials {
    Arena *scratch; /* for all that is only compared */
    const Plan *plan;
    LIST(Variant) tried;
    StockTallies with;
    LIST(StockTallies) without; /* each allowance so far */
} Trials;

/* --- planning and cutting, each once ------------------------------------------------------------------- */

static bool same_outline(const Trapezoid *a, const Trapezoid *b) {
    return a->front_mm == b->front_mm && a->rear_mm == b->rear_mm && a->front_left_mm == b->front_left_mm &&
           a->front_right_mm == b->front_right_mm && a->rear_left_mm == b->rear_left_mm &&
           a->rear_right_mm == b->rear_right_mm;
}

static bool same_place(Point3 a, Point3 b) {
    return a.across_mm == b.across_mm && a.back_mm == b.back_mm && a.up_mm == b.up_mm;
}

/* Whether two plans of a scene are cut alike: everything is as large, and stands where it stood. */
static bool cut_alike(const Plan *a, const Plan *b) {
    const PlanThing *some = plan_planned(a), *others = plan_planned(b);
    if (!same_outline(&a->ground_outline, &b->ground_outline) || a->ground_thick_mm != b->ground_thick_mm ||
        a->base_thick_mm != b->base_thick_mm)
        return false;
    if (a->base >= 0 && !same_outline(&a->base_outline, &b->base_outline)) return false;
    for (size_t i = 0; i < a->scene->thing_count; i++) {
        const PlanThing *one = &some[i], *other = &others[i];
        if (!same_place(one->at, other->at) || one->turn_rad != other->turn_rad ||
            one->wide_mm != other->wide_mm || one->tall_mm != other->tall_mm ||
            one->deep_mm != other->deep_mm || one->row_count != other->row_count ||
            one->row_every_mm != other->row_every_mm || one->steps != other->steps)
            return false;
    }
    return true;
}

static const Parts *parts_of(Trials *trials, const Plan *plan, Diagnostics *unheard) {
    if (cut_alike(plan, trials->plan)) return trials->plan->parts;
    for (size_t i = 0; i < trials->tried.count; i++) {
        const Variant *before = &trials->tried.items[i];
        if (before->plan && cut_alike(plan, before->plan)) return before->parts;
    }
    return plan_to_parts(trials->scratch, plan, unheard);
}

static Variant variant_of(Trials *trials, const Allowances *given_up) {
    const size_t bytes = trials->plan->shot_count * sizeof *given_up;
    for (size_t i = 0; i < trials->tried.count; i++)
        if (memcmp(trials->tried.items[i].given_up, given_up, bytes) == 0) return trials->tried.items[i];
    Diagnostics unheard = diagnostics_new(trials->scratch);
    Variant variant = {.given_up = given_up,
                       .plan = plan_without(trials->scratch, trials->plan, given_up, &unheard)};
    if (variant.plan) variant.parts = parts_of(trials, variant.plan, &unheard);
    if (unheard.errors > 0) variant.plan = NULL;
    LIST_PUSH(trials->scratch, trials->tried, variant);
    return variant;
}

/* --- what is more with it ------------------------------------------------------------------------------ */

static StockTallies tallies_of(Arena *arena, const Cutting *cutting) {
    StockTallies tallies = {0};
    for (int i = 0; i < cutting->stock_count; i++) {
        const StockCut *cut = &cutting->stocks[i];
        LIST_PUSH(arena, tallies,
                  (StockTally){.stock = cut->stock,
                               .new_count = cut->new_count,
                               .lacking = stock_cut_lacking(cut),
                               .parts_mm2 = stock_cut_mm2(cut)});
    }
    return tallies;
}

static void add_size(Arena *arena, SizeCosts *sizes, int thing, CostedSize size, double mm) {
    const double hair_mm = 1e-3;
    if (mm > COSTED_SIZE_MM - hair_mm) LIST_PUSH(arena, *sizes, (SizeCost){thing, size, mm});
}

static double wide_at(const Trapezoid *outline, double back_mm) {
    const double front = outline->front_right_mm - outline->front_left_mm,
                 rear = outline->rear_right_mm - outline->rear_left_mm;
    return front + (rear - front) * (back_mm - outline->front_mm) / (outline->rear_mm - outline->front_mm);
}

/* Rule 102: the ground's width where it ends without the allowance, in front and at the rear. */
static SizeCosts sizes_of(Arena *arena, const Plan *with, const Plan *without) {
    const Trapezoid *more = &with->ground_outline, *less = &without->ground_outline;
    const PlanThing *some = plan_planned(with), *others = plan_planned(without);
    SizeCosts sizes = {0};
    add_size(arena, &sizes, with->ground, SIZE_WIDE_AT_REAR,
             wide_at(more, less->rear_mm) - wide_at(less, less->rear_mm));
    add_size(arena, &sizes, with->ground, SIZE_WIDE_AT_FRONT,
             wide_at(more, less->front_mm) - wide_at(less, less->front_mm));
    add_size(arena, &sizes, with->ground, SIZE_DEEP,
             more->rear_mm - more->front_mm - less->rear_mm + less->front_mm);
    for (size_t i = 0; i < with->cover_count; i++) {
        const PlanCover *cover = &with->covers[i];
        const PlanThing *one = &some[cover->thing], *other = &others[cover->thing];
        if (cover->field == FIELD_WIDE)
            add_size(arena, &sizes, cover->thing, SIZE_WIDE, one->wide_mm - other->wide_mm);
        else
            add_size(arena, &sizes, cover->thing, SIZE_TALL, one->tall_mm - other->tall_mm);
    }
    return sizes;
}

static Cost cost_of(Arena *arena, Trials *trials, const Variant *variant, PlanAllowance allowance) {
    const Plan *plan = trials->plan;
    Cost cost = {.allowance = allowance};
    StockTallies without = tallies_of(trials->scratch, variant->parts->cutting);
    tallies_no_worse(&without, &trials->with);
    for (size_t i = 0; i < trials->without.count && allowance.kind == ALLOW_COUNT; i++)
        tallies_no_worse(&without, &trials->without.items[i]);
    LIST_PUSH(trials->scratch, trials->without, without);
    cost.stocks = tallies_to_costs(arena, &trials->with, &without);
    cost.weight_kg = plan->parts->weight_kg - variant->parts->weight_kg;
    cost.sizes = sizes_of(arena, plan, variant->plan);
    return cost;
}

/* --- each allowance, and all of them ------------------------------------------------------------------- */

static void give_up(Allowances *given_up, const PlanAllowance *allowance) {
    given_up[allowance->shot < 0 ? 0 : allowance->shot] |= 1u << allowance->kind;
}

static void add_cost(Arena *arena, Trials *trials, Costs *costs, const Allowances *given_up,
                     PlanAllowance allowance) {
    const Variant variant = variant_of(trials, given_up);
    if (variant.plan) LIST_PUSH(arena, costs->items, cost_of(arena, trials, &variant, allowance));
}

/* For the book: without one kind in all shots, or (ALLOW_COUNT) without any. */
static void keep_cutting(Arena *arena, Trials *trials, Costs *costs, const PlanAllowances *list, int kind) {
    Allowances *given_up = ARENA_ARRAY(trials->scratch, Allowances, trials->plan->shot_count);
    bool any = false;
    for (size_t i = 0; i < list->count; i++) {
        if (kind != ALLOW_COUNT && list->items[i].kind != (Allowance)kind) continue;
        give_up(given_up, &list->items[i]);
        any = true;
    }
    if (!any) return;
    const Variant variant = variant_of(trials, given_up);
    if (!variant.plan) return;
    costs->without[kind].used = true;
    if (variant.parts != trials->plan->parts)
        costs->without[kind].cutting = cutting_copy(arena, variant.parts->cutting);
}

const Costs *plan_to_costs(Arena *arena, const Plan *plan) {
    Costs *costs = ARENA_NEW(arena, Costs);
    Trials trials = {.scratch = arena_new(), .plan = plan};
    trials.with = tallies_of(trials.scratch, plan->parts->cutting);
    const PlanAllowances list = plan_allowances(trials.scratch, plan);
    Allowances *all = ARENA_ARRAY(trials.scratch, Allowances, plan->shot_count);
    for (size_t i = 0; i < list.count; i++) {
        Allowances *one = ARENA_ARRAY(trials.scratch, Allowances, plan->shot_count);
        give_up(one, &list.items[i]);
        give_up(all, &list.items[i]);
        add_cost(arena, &trials, costs, one, list.items[i]);
    }
    if (list.count > 1)
        add_cost(arena, &trials, costs, all, (PlanAllowance){.kind = ALLOW_COUNT, .shot = -1});
    for (int kind = 0; kind <= ALLOW_COUNT; kind++)
        keep_cutting(arena, &trials, costs, &list, kind);
    arena_free(trials.scratch);
    return costs;
}
