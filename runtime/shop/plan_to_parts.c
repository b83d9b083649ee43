#include "shop/plan_to_parts.h"

#include "base/number.h"
#include "plan/plan_warnings.h"
#include "shop/cutter.h"
#include "shop/cutting.h"

#include <math.h>

enum { PARTS_MOST = 4000 };

static double slot_value(const Plan *plan, int slot) {
    return plan->known[slot] && plan->scene->slots[slot].stated ? plan->values[slot] : NAN;
}

/* --- the stock of a thing ------------------------------------------------------------------------------ */

static bool cutter_knows_sheet(const Plan *plan, const Stock *stock) {
    return !isnan(slot_value(plan, stock->sheet_wide)) || !isnan(slot_value(plan, stock->bar_long));
}

/* Whole sheets or lengths first, then what is on hand. */
static void take_sizes(Cutter *cutter, const Stock *stock) {
    const Plan *plan = cutter->plan;
    Size2 *sizes = ARENA_ARRAY(cutter->arena, Size2, stock->have_count + 1);
    cutter->sizes = sizes;
    cutter->size_count = 0;
    cutter->bars = plan->scene->slots[stock->bar_long].stated;
    if (cutter_knows_sheet(plan, stock)) {
        const double bar = slot_value(plan, stock->bar_long);
        sizes[cutter->size_count++] =
            cutter->bars ? (Size2){0, bar}
                         : (Size2){slot_value(plan, stock->sheet_wide), slot_value(plan, stock->sheet_tall)};
    }
    for (size_t i = 0; i < stock->have_count; i++) {
        const double wide = slot_value(plan, stock->have[i].wide),
                     tall = slot_value(plan, stock->have[i].tall);
        sizes[cutter->size_count++] = (Size2){cutter->bars ? 0 : wide, tall};
    }
}

static void has_no_size(Cutter *cutter, const Stock *stock) {
    Diagnostic *d = diagnostics_error_once(
        cutter->diagnostics, arena_format(cutter->arena, "size of %s", stock->name), cutter->it->stock_span,
        "stock `%s` has no size: what is cut from it cannot be laid out", stock->name);
    diagnostic_note(cutter->diagnostics, d, stock->span, "the stock");
    diagnostic_help(cutter->diagnostics, d, "write `%s` into it, or `%s` where it is sold in lengths",
                    plan_stock_example(cutter->plan, false), plan_stock_example(cutter->plan, true));
}

static bool take_stock(Cutter *cutter, int index) {
    const Stock *stock = &cutter->plan->scene->stocks[index];
    const double thick = slot_value(cutter->plan, stock->thick);
    cutter->stock = index;
    cutter->sheet_thick_mm = isnan(thick) ? 0 : thick;
    take_sizes(cutter, stock);
    if (cutter->size_count > 0) return true;
    has_no_size(cutter, stock);
    return false;
}

/* Whether the thing has a stock that it can be cut from. */
static bool take_thing(Cutter *cutter, int thing, const Thing *it) {
    if (it->stock < 0) return false;
    cutter->thing = thing;
    cutter->planned = &cutter->things[thing];
    cutter->it = it;
    cutter->faulty = false;
    cutter->with_count = 0;
    return it->layer_count > 0 ? cutter_take_layers(cutter) : take_stock(cutter, it->stock);
}

bool cutter_take_layer(Cutter *cutter, const Layer *layer) {
    return take_stock(cutter, layer->stock);
}

bool cutter_has_grain(const Cutter *cutter) {
    return cutter->plan->scene->stocks[cutter->stock].grain;
}

const char *cutter_said(const Cutter *cutter, double mm) {
    return length_one(cutter->arena, cutter->plan->scene->lengths, mm, 16, 1);
}

bool cutter_fits(const Cutter *cutter, double wide_mm, double tall_mm) {
    const double hair = 1e-6;
    const double longer = fmax(wide_mm, tall_mm), shorter = fmin(wide_mm, tall_mm);
    for (size_t i = 0; i < cutter->size_count; i++) {
        const Size2 size = cutter->sizes[i];
        const bool grain =
            cutter_has_grain(cutter); /* along the part's longer side, and the sheet's length */
        const double long_side = grain ? size.tall_mm : fmax(size.wide_mm, size.tall_mm);
        const double other = grain ? size.wide_mm : fmin(size.wide_mm, size.tall_mm);
        if (longer <= long_side + hair && shorter <= other + hair) return true;
    }
    return false;
}

double cutter_sheet_mm(const Cutter *cutter, double thick_mm) {
    return cutter->sheet_thick_mm > 0 ? cutter->sheet_thick_mm : thick_mm;
}

/* --- parts --------------------------------------------------------------------------------------------- */

double cutter_area_weight(const Cutter *cutter, double thick_mm) {
    const Stock *stock = &cutter->plan->scene->stocks[cutter->stock];
    const double area_weight = slot_value(cutter->plan, stock->area_weight);
    if (!isnan(area_weight)) return area_weight;
    return slot_value(cutter->plan, stock->density) * cutter_sheet_mm(cutter, thick_mm) * 1e-3;
}

static double weight_of(const Cutter *cutter, const Part *part) {
    const Stock *stock = &cutter->plan->scene->stocks[cutter->stock];
    const double density = slot_value(cutter->plan, stock->density); /* kg/m3 */
    if (part->shape == PART_LENGTH)
        return density * PI / 4 * part->wide_mm * part->wide_mm * part->tall_mm * 1e-9;
    return cutter_area_weight(cutter, part->finished_thick_mm) * part->area_mm2 * 1e-6;
}

void cutter_add(Cutter *cutter, Part part) {
    part.thing = cutter->thing;
    part.stock = cutter->stock;
    part.thick_mm =
        part.shape == PART_LENGTH ? part.wide_mm : cutter_sheet_mm(cutter, part.finished_thick_mm);
    part.weight_kg = weight_of(cutter, &part);
    LIST_PUSH(cutter->arena, cutter->parts->items, part);
}

static double box_of(const PlanThing *mound) {
    return mound->wide_mm * mound->deep_mm * mound->tall_mm;
}

/* Mounds that are cut as one share their weight by how much each is (rule 82: in shares of its box). */
static void close_mounds(Cutter *cutter, PartsOfThing all) {
    double boxes = 0;
    for (int i = 0; i < cutter->with_count; i++)
        boxes += box_of(cutter->with[i]);
    for (int i = 0; i < cutter->with_count; i++)
        LIST_PUSH(cutter->arena, cutter->parts->things,
                  (PartsOfThing){.thing = (int)(cutter->with[i] - cutter->things),
                                 .first = all.first,
                                 .count = i == 0 ? all.count : 0,
                                 .weight_kg = all.weight_kg * box_of(cutter->with[i]) / boxes});
}

static void close_thing(Cutter *cutter, size_t first) {
    Parts *parts = cutter->parts;
    if (parts->items.count == first) return;
    PartsOfThing of = {.thing = cutter->thing, .first = first, .count = parts->items.count - first};
    for (size_t i = first; i < parts->items.count; i++)
        of.weight_kg += parts->items.items[i].copies * parts->items.items[i].weight_kg;
    if (cutter->with_count > 1)
        close_mounds(cutter, of);
    else
        LIST_PUSH(cutter->arena, parts->things, of);
    if (isnan(of.weight_kg))
        parts->weight_whole = false;
    else
        parts->weight_kg += of.weight_kg;
}

static void cut_thing(Cutter *cutter, int thing) {
    const Plan *plan = cutter->plan;
    const Thing *it = &plan->scene->things[thing];
    const bool relief = it->role == ROLE_MOUND;
    const size_t first = cutter->parts->items.count;
    if (!take_thing(cutter, thing, relief ? &plan->scene->things[it->parent] : it)) return;
    if (cutter->bars && it->role != ROLE_PIECE) {
        only_posts(cutter);
        return;
    }
    switch (it->role) {
    case ROLE_BASE:
        cut_level(cutter, &plan->base_outline, plan->base_thick_mm, -plan->ground_thick_mm, false);
        break;
    case ROLE_GROUND:
        cut_level(cutter, &plan->ground_outline, plan->ground_thick_mm, 0, true);
        break;
    case ROLE_MOUND:
        cut_mound(cutter);
        break;
    case ROLE_FLAT:
    case ROLE_BACKDROP:
        cut_panel(cutter);
        break;
    case ROLE_PIECE:
        cut_piece(cutter);
        break;
    case ROLE_PUPPET:
    case ROLE_HOLLOW:
    case ROLE_OPENING:
    case ROLE_COUNT:
        return;
    }
    close_thing(cutter, first);
}

/* More than a workshop cuts for one set is a slip in a row's count or a sheet's size. */
static void not_too_many(const Cutter *cutter) {
    const Parts *parts = cutter->parts;
    long count = 0;
    for (size_t i = 0; i < parts->items.count; i++)
        count += parts->items.items[i].copies;
    if (count > PARTS_MOST)
        diagnostics_error(cutter->diagnostics, cutter->plan->scene->span,
                          "more than %d parts to cut for one scene", PARTS_MOST);
}

static void add_lacking(Arena *arena, Parts *parts, PartsLacking lacking) {
    for (size_t i = 0; i < parts->lacking.count; i++) {
        PartsLacking *it = &parts->lacking.items[i];
        if (it->thing != lacking.thing || it->stock != lacking.stock) continue;
        it->count += lacking.count;
        return;
    }
    LIST_PUSH(arena, parts->lacking, lacking);
}

static void find_lacking(Arena *arena, Parts *parts) {
    for (int s = 0; s < parts->cutting->stock_count; s++) {
        const StockCut *cut = &parts->cutting->stocks[s];
        for (int i = 0; i < cut->item_count; i++) {
            const int count = stock_cut_lacking_of(cut, i);
            const Part *part = &parts->items.items[cut->items[i].part];
            if (count > 0) add_lacking(arena, parts, (PartsLacking){part->thing, part->stock, count});
        }
    }
}

/* The base before the ground, whose seams then keep from those under it; then what stands on them. */
Parts *plan_to_parts(Arena *arena, const Plan *plan, Diagnostics *diagnostics) {
    Parts *parts = ARENA_NEW(arena, Parts);
    Tables tables;
    Cutter cutter = {.arena = arena,
                     .plan = plan,
                     .things = plan_planned(plan),
                     .diagnostics = diagnostics,
                     .parts = parts,
                     .tables = plan_tables(arena, plan, &tables) ? &tables : NULL,
                     .fixings = plan_fixings(arena, plan),
                     .mounds_cut = ARENA_ARRAY(arena, bool, plan->scene->thing_count)};
    static const ThingRole order[] = {ROLE_BASE,  ROLE_GROUND, ROLE_MOUND,
                                      ROLE_PIECE, ROLE_FLAT,   ROLE_BACKDROP};
    parts->weight_whole = true;
    for (size_t o = 0; o < sizeof order / sizeof *order; o++) {
        for (size_t i = 0; i < plan->scene->thing_count; i++)
            if (plan->scene->things[i].role == order[o]) cut_thing(&cutter, (int)i);
    }
    not_too_many(&cutter);
    if (diagnostics->errors == 0) {
        parts->cutting = parts_to_cutting(arena, plan, parts);
        find_lacking(arena, parts);
    }
    return parts;
}
