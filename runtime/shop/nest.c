#include "shop/nest.h"

#include "shop/nest_cut.h"
#include "shop/nest_search.h"

#include <assert.h>
#include <math.h>

/* Trapezoids in one block: alone, in pairs, in fours, as many as a sheet takes. */
static const int CHAINS[] = {1, 2, 4, 1000};
enum { CHAIN_COUNT = 4 };
/* Of all steps, for each of these before the best one gets the rest. */
#define FIRST_SHARE 0.05

NestPoint nest_point(const NestItem *item, const NestPlacement *placement, NestPoint point) {
    double wide_mm = item->wide_mm, tall_mm = item->tall_mm;
    for (int turn = 0; turn < placement->quarter_turns; turn++) {
        point = (NestPoint){tall_mm - point.y_mm, point.x_mm};
        const double was_wide_mm = wide_mm;
        wide_mm = tall_mm;
        tall_mm = was_wide_mm;
    }
    return (NestPoint){point.x_mm + placement->x_mm, point.y_mm + placement->y_mm};
}

void nest_outline(const NestItem *item, const NestPlacement *placement, NestPoint corners[4]) {
    const NestPoint box[4] = {{0, 0}, {item->wide_mm, 0}, {item->wide_mm, item->tall_mm}, {0, item->tall_mm}};
    for (int i = 0; i < 4; i++)
        corners[i] = nest_point(item, placement, item->has_outline ? item->outline[i] : box[i]);
}

static void check_task(const NestTask *task) {
    assert(task->kerf_mm >= 0 && task->keep_mm >= 0 && task->effort >= 0);
    assert(task->whole.trim_mm >= 0);
    for (int i = 0; i < task->have_count; i++)
        assert(task->have[i].trim_mm >= 0);
    for (int i = 0; i < task->item_count; i++)
        assert(task->items[i].wide_mm > 0 && task->items[i].tall_mm > 0 && task->items[i].copies >= 0);
}

/* One rectangle and its cuts beside, or a trapezoid, which may share its cuts. */
static double least_area(const NestTask *task, const NestItem *item) {
    if (item->has_outline) return nest_item_area(item);
    return (item->wide_mm + task->kerf_mm) * (item->tall_mm + task->kerf_mm);
}

static double most_area(const NestTask *task, const NestSheet *sheet) {
    return (sheet->wide_mm - 2 * sheet->trim_mm + task->kerf_mm) *
           (sheet->tall_mm - 2 * sheet->trim_mm + task->kerf_mm);
}

static bool takes_any(const NestTask *task, const NestSheet *sheet) {
    for (int i = 0; i < task->item_count; i++) {
        const NestItem *item = &task->items[i];
        if (item->copies > 0 && nest_fits(sheet, item->wide_mm, item->tall_mm, item->may_turn)) return true;
    }
    return false;
}

int nest_area_bound(const NestTask *task) {
    if (task->whole.wide_mm <= 0) return 0;
    double need_mm2 = 0, copies = 0;
    for (int i = 0; i < task->item_count; i++) {
        const NestItem *item = &task->items[i];
        if (!nest_fits_any(task, item->wide_mm, item->tall_mm, item->may_turn)) continue;
        need_mm2 += item->copies * least_area(task, item);
        copies += item->copies;
    }
    for (int i = 0; i < task->have_count; i++)
        if (takes_any(task, &task->have[i])) need_mm2 -= most_area(task, &task->have[i]);
    /* never more than a sheet each, however little of one its trimmed edges leave */
    return need_mm2 <= 0 ? 0 : (int)fmin(ceil(need_mm2 / most_area(task, &task->whole) - 1e-9), copies);
}

/* What fits only on whole sheets and is over half of one both ways: no two share one. */
static int large_bound(const NestTask *task) {
    const double wide_mm = task->whole.wide_mm - 2 * task->whole.trim_mm + task->kerf_mm;
    const double tall_mm = task->whole.tall_mm - 2 * task->whole.trim_mm + task->kerf_mm;
    int count = 0;
    for (int i = 0; i < task->item_count; i++) {
        const NestItem *item = &task->items[i];
        const double w_mm = 2 * (item->wide_mm + task->kerf_mm), h_mm = 2 * (item->tall_mm + task->kerf_mm);
        bool large = !item->has_outline &&
                     nest_fits(&task->whole, item->wide_mm, item->tall_mm, item->may_turn) &&
                     w_mm > wide_mm + 1e-3 && h_mm > tall_mm + 1e-3;
        if (item->may_turn && (h_mm <= wide_mm + 1e-3 || w_mm <= tall_mm + 1e-3)) large = false;
        for (int h = 0; large && h < task->have_count; h++)
            large = !nest_fits(&task->have[h], item->wide_mm, item->tall_mm, item->may_turn);
        count += large ? item->copies : 0;
    }
    return count;
}

static void find_too_large(Arena *arena, const NestTask *task, Nest *nest) {
    int *too_large = ARENA_ARRAY(arena, int, task->item_count);
    for (int i = 0; i < task->item_count; i++) {
        const NestItem *item = &task->items[i];
        if (item->copies > 0 && !nest_fits_any(task, item->wide_mm, item->tall_mm, item->may_turn))
            too_large[nest->too_large_count++] = i;
    }
    nest->too_large = too_large;
}

/* Whatever fits but was not placed, by item and copy. */
static void find_left_over(Arena *arena, const NestTask *task, Nest *nest) {
    LIST(NestCopy) left = {0};
    int placed = 0;
    for (int i = 0; i < task->item_count; i++) {
        const NestItem *item = &task->items[i];
        if (!nest_fits_any(task, item->wide_mm, item->tall_mm, item->may_turn)) continue;
        for (int copy = 0; copy < item->copies; copy++) {
            const NestPlacement *next = placed < nest->placement_count ? &nest->placements[placed] : NULL;
            if (next && next->item == i && next->copy == copy)
                placed++;
            else
                LIST_PUSH(arena, left, (NestCopy){i, copy});
        }
    }
    nest->left_over = left.items;
    nest->left_over_count = (int)left.count;
}

const Nest *nest_parts(Arena *arena, const NestTask *task) {
    check_task(task);
    Nest *nest = ARENA_NEW(arena, Nest);
    find_too_large(arena, task, nest);
    nest->area_bound = nest_area_bound(task);
    const int ways = nest_has_trapezoids(task) ? CHAIN_COUNT : 1;
    const int bound = (int)fmax(nest->area_bound, large_bound(task));
    NestBlocks blocks = {0};
    NestFound best = {0};
    for (int w = 0; w < ways; w++) {
        const NestBlocks some = nest_blocks(arena, task, CHAINS[w]);
        if (some.count == 0) return nest;
        NestFound found = nest_construct(arena, task, &some, 1);
        if (ways > 1) nest_improve(arena, task, &some, bound, FIRST_SHARE, &found);
        if (w > 0 && !nest_found_better(&found, &best)) continue;
        best = found;
        blocks = some;
    }
    nest_improve(arena, task, &blocks, bound, ways > 1 ? 1 - CHAIN_COUNT * FIRST_SHARE : 1, &best);
    nest_cut(arena, task, &blocks, &best.forest, nest);
    find_left_over(arena, task, nest);
    return nest;
}
