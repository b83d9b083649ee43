#include "shop/cutting.h"

#include "base/text.h"

#include <math.h>
#include <stdlib.h>

/* A share of the usual search: sets have few parts, and books many sets. */
static const double EFFORT = 0.05;
static const double SAME_MM = 1e-3;
/* As wide as lengths of timber are taken to be, so that what is left of one is long enough to keep by its
 * length alone. */
static const double BAR_WIDE_MM = OFFCUT_KEPT_MM;

static double stated(const Plan *plan, int slot) {
    return plan->scene->slots[slot].stated && plan->known[slot] ? plan->values[slot] : 0;
}

static CutStock stock_of(Arena *arena, const Plan *plan, int index, double thick_mm) {
    const Stock *stock = &plan->scene->stocks[index];
    const double bar = stated(plan, stock->bar_long);
    CutStock cut = {.name = stock->name,
                    .index = index,
                    .bars = bar > 0,
                    .thick_mm = thick_mm,
                    .kerf_mm = stated(plan, stock->kerf),
                    .price = stated(plan, stock->price),
                    .grain = stock->grain,
                    .again = stock->again,
                    .alike_mm = plan->cut_mm,
                    .have_count = (int)stock->have_count};
    NestSheet *have = ARENA_ARRAY(arena, NestSheet, stock->have_count);
    for (size_t i = 0; i < stock->have_count; i++)
        have[i] = (NestSheet){.wide_mm = cut.bars ? BAR_WIDE_MM : stated(plan, stock->have[i].wide),
                              .tall_mm = stated(plan, stock->have[i].tall)};
    cut.have = have;
    cut.sheet = cut.bars ? (NestSheet){.wide_mm = BAR_WIDE_MM, .tall_mm = bar}
                         : (NestSheet){.wide_mm = stated(plan, stock->sheet_wide),
                                       .tall_mm = stated(plan, stock->sheet_tall)};
    return cut;
}

/* --- a part as it is nested ----------------------------------------------------------------------------- */

/* By a quarter, anticlockwise: what was its left side lies below. */
static NestPoint turned(double tall_mm, double x_mm, double y_mm) {
    return (NestPoint){tall_mm - y_mm, x_mm};
}

static void turn(NestItem *item) {
    const double tall = item->tall_mm;
    for (int i = 0; i < 4; i++)
        item->outline[i] = turned(tall, item->outline[i].x_mm, item->outline[i].y_mm);
    item->tall_mm = item->wide_mm;
    item->wide_mm = tall;
}

NestItem part_to_nest(const Part *part) {
    const bool bar = part->shape == PART_LENGTH;
    NestItem item = {.wide_mm = bar ? BAR_WIDE_MM : part->wide_mm,
                     .tall_mm = part->tall_mm,
                     .has_outline = part->shape == PART_OUTLINE && part->outline_count == 4,
                     .may_turn = part->grain == GRAIN_NONE && !bar,
                     .copies = part->copies};
    for (size_t i = 0; i < 4 && item.has_outline; i++)
        item.outline[i] = (NestPoint){part->outline[i].x_mm, part->outline[i].y_mm};
    if (part->grain == GRAIN_ALONG_X) turn(&item);
    return item;
}

static NestPoint as_nested(const Part *part, double x_mm, double y_mm) {
    return part->grain == GRAIN_ALONG_X ? turned(part->tall_mm, x_mm, y_mm) : (NestPoint){x_mm, y_mm};
}

static CutOpening between(bool round, NestPoint a, NestPoint b) {
    return (CutOpening){
        round, {fmin(a.x_mm, b.x_mm), fmin(a.y_mm, b.y_mm)}, {fmax(a.x_mm, b.x_mm), fmax(a.y_mm, b.y_mm)}};
}

/* Outline and openings, turned as the item is. */
static void take_shape(Arena *arena, CutItem *item, const Part *part) {
    if (part->shape == PART_LENGTH) return;
    NestPoint *outline = ARENA_ARRAY(arena, NestPoint, part->outline_count);
    for (size_t i = 0; i < part->outline_count; i++)
        outline[i] = as_nested(part, part->outline[i].x_mm, part->outline[i].y_mm);
    CutOpening *openings = ARENA_ARRAY(arena, CutOpening, part->opening_count);
    for (size_t i = 0; i < part->opening_count; i++) {
        const PartOpening *it = &part->openings[i];
        openings[i] = between(it->round, as_nested(part, it->x_mm, it->y_mm),
                              as_nested(part, it->x_mm + it->wide_mm, it->y_mm + it->tall_mm));
    }
    item->outline = outline;
    item->outline_count = (int)part->outline_count;
    item->openings = openings;
    item->opening_count = (int)part->opening_count;
}

static CutItem item_of(Arena *arena, const Plan *plan, const Parts *parts, int index) {
    const Part *part = &parts->items.items[index];
    const Thing *thing = &plan->scene->things[part->thing];
    CutItem item = {.name = part->name,
                    .scene = plan->scene->name,
                    .thing = thing->name,
                    .of_book = thing->of_book,
                    .part = index,
                    .turned = part->grain == GRAIN_ALONG_X,
                    .shape = part->shape,
                    .keeps_shape = !part->carved && part->finished_thick_mm > part->thick_mm - SAME_MM,
                    .item = part_to_nest(part)};
    take_shape(arena, &item, part);
    return item;
}

void cut_outline(const CutItem *item, const NestPlacement *placement, NestPoint *corners) {
    for (int i = 0; i < item->outline_count; i++)
        corners[i] = nest_point(&item->item, placement, item->outline[i]);
}

CutOpening cut_opening(const CutItem *item, const NestPlacement *placement, int opening) {
    const CutOpening *it = &item->openings[opening];
    return between(it->round, nest_point(&item->item, placement, it->low),
                   nest_point(&item->item, placement, it->high));
}

void nest_stock_cut(Arena *arena, StockCut *cut) {
    NestItem *items = ARENA_ARRAY(arena, NestItem, cut->item_count);
    for (int i = 0; i < cut->item_count; i++)
        items[i] = cut->items[i].item;
    const NestTask task = {.items = items,
                           .item_count = cut->item_count,
                           .have = cut->stock.have,
                           .have_count = cut->stock.have_count,
                           .whole = cut->stock.sheet,
                           .kerf_mm = cut->stock.kerf_mm,
                           .keep_mm = OFFCUT_KEPT_MM,
                           .effort = EFFORT};
    cut->nest = nest_parts(arena, &task);
    cut->new_count = cut->nest->new_count;
}

/* --- stock by stock ------------------------------------------------------------------------------------- */

int cut_stocks_compare(const CutStock *a, const CutStock *b) {
    if (a->index != b->index) return a->index < b->index ? -1 : 1;
    if (fabs(a->thick_mm - b->thick_mm) < SAME_MM) return 0;
    return a->thick_mm < b->thick_mm ? -1 : 1;
}

bool cut_stocks_same(const CutStock *a, const CutStock *b) {
    return cut_stocks_compare(a, b) == 0;
}

static int compare_cuts(const void *a, const void *b) {
    return cut_stocks_compare(&((const StockCut *)a)->stock, &((const StockCut *)b)->stock);
}

static StockCut *cut_of(Cutting *cutting, const CutStock *stock) {
    for (int i = 0; i < cutting->stock_count; i++)
        if (cut_stocks_same(&cutting->stocks[i].stock, stock)) return &cutting->stocks[i];
    cutting->stocks[cutting->stock_count] = (StockCut){.stock = *stock};
    return &cutting->stocks[cutting->stock_count++];
}

static void close_cutting(Arena *arena, Cutting *cutting) {
    if (cutting->stock_count > 0)
        qsort(cutting->stocks, (size_t)cutting->stock_count, sizeof *cutting->stocks, compare_cuts);
    for (int i = 0; i < cutting->stock_count; i++)
        nest_stock_cut(arena, &cutting->stocks[i]);
}

Cutting *parts_to_cutting(Arena *arena, const Plan *plan, const Parts *parts) {
    Cutting *cutting = ARENA_NEW(arena, Cutting);
    const size_t count = parts->items.count;
    cutting->scene = plan->scene->name;
    cutting->stocks = ARENA_ARRAY(arena, StockCut, count);
    for (size_t i = 0; i < count; i++) {
        const Part *part = &parts->items.items[i];
        const CutStock stock = stock_of(arena, plan, part->stock, part->thick_mm);
        StockCut *cut = cut_of(cutting, &stock);
        if (!cut->items) cut->items = ARENA_ARRAY(arena, CutItem, count);
        ((CutItem *)cut->items)[cut->item_count++] = item_of(arena, plan, parts, (int)i);
    }
    close_cutting(arena, cutting);
    return cutting;
}

/* --- a whole book --------------------------------------------------------------------------------------- */

static bool is_cut_already(const StockCut *cut, const CutItem *item) {
    for (int i = 0; item->of_book && i < cut->item_count; i++) {
        const CutItem *other = &cut->items[i];
        if (other->of_book && text_equal(other->thing, item->thing) && text_equal(other->name, item->name))
            return true;
    }
    return false;
}

Cutting *cuttings_to_one(Arena *arena, const Cutting *const *scenes, size_t count) {
    Cutting *book = ARENA_NEW(arena, Cutting);
    size_t stocks = 0, items = 0;
    for (size_t s = 0; s < count; s++) {
        stocks += (size_t)scenes[s]->stock_count;
        for (int i = 0; i < scenes[s]->stock_count; i++)
            items += (size_t)scenes[s]->stocks[i].item_count;
    }
    book->stocks = ARENA_ARRAY(arena, StockCut, stocks);
    for (size_t s = 0; s < count; s++) {
        for (int i = 0; i < scenes[s]->stock_count; i++) {
            const StockCut *of_scene = &scenes[s]->stocks[i];
            StockCut *cut = cut_of(book, &of_scene->stock);
            if (!cut->items) cut->items = ARENA_ARRAY(arena, CutItem, items);
            for (int k = 0; k < of_scene->item_count; k++)
                if (!is_cut_already(cut, &of_scene->items[k]))
                    ((CutItem *)cut->items)[cut->item_count++] = of_scene->items[k];
        }
    }
    close_cutting(arena, book);
    return book;
}

/* Nothing in it points out of the arena. */
static CutItem item_copy(Arena *arena, const CutItem *item) {
    CutItem copy = *item;
    copy.name = arena_string(arena, item->name);
    copy.scene = arena_string(arena, item->scene);
    copy.thing = arena_string(arena, item->thing);
    NestPoint *outline = ARENA_ARRAY(arena, NestPoint, item->outline_count);
    for (int i = 0; i < item->outline_count; i++)
        outline[i] = item->outline[i];
    CutOpening *openings = ARENA_ARRAY(arena, CutOpening, item->opening_count);
    for (int i = 0; i < item->opening_count; i++)
        openings[i] = item->openings[i];
    copy.outline = outline;
    copy.openings = openings;
    return copy;
}

Cutting *cutting_copy(Arena *arena, const Cutting *cutting) {
    Cutting *copy = ARENA_NEW(arena, Cutting);
    copy->scene = cutting->scene ? arena_string(arena, cutting->scene) : NULL;
    copy->stock_count = cutting->stock_count;
    copy->stocks = ARENA_ARRAY(arena, StockCut, cutting->stock_count);
    for (int i = 0; i < cutting->stock_count; i++) {
        StockCut *to = &copy->stocks[i];
        *to = cutting->stocks[i];
        to->nest = NULL;
        to->stock.name = arena_string(arena, to->stock.name);
        NestSheet *have = ARENA_ARRAY(arena, NestSheet, to->stock.have_count);
        for (int h = 0; h < to->stock.have_count; h++)
            have[h] = to->stock.have[h];
        to->stock.have = have;
        CutItem *items = ARENA_ARRAY(arena, CutItem, to->item_count);
        for (int k = 0; k < to->item_count; k++)
            items[k] = item_copy(arena, &to->items[k]);
        to->items = items;
    }
    return copy;
}

int stock_cut_parts(const StockCut *cut) {
    int parts = 0;
    for (int i = 0; i < cut->item_count; i++)
        parts += cut->items[i].item.copies;
    return parts;
}

int stock_cut_lacking_of(const StockCut *cut, int item) {
    const Nest *nest = cut->nest;
    int copies = 0;
    for (int i = 0; i < nest->left_over_count; i++)
        copies += nest->left_over[i].item == item;
    for (int i = 0; i < nest->too_large_count; i++)
        copies += nest->too_large[i] == item ? cut->items[item].item.copies : 0;
    return copies;
}

int stock_cut_lacking(const StockCut *cut) {
    int parts = 0;
    for (int i = 0; i < cut->item_count; i++)
        parts += stock_cut_lacking_of(cut, i);
    return parts;
}
