/* What a scene is cut from when its turn comes: struck parts cut down, and a nest of the rest. */
#include "base/number.h"
#include "shop/cut_store.h"

#include <math.h>
#include <stdlib.h>

/* Sheets of those that are there, for each part to be cut and besides: more would only slow the search. */
enum { FOUND_BESIDES = 24 };
/* Parts of a scene that struck ones are cut down to; and so often it is tried to do without one of them. */
enum { DOWNS_MOST = 64, SPARE_TRIES = 12 };
static const double HAIR_MM = 1e-6;

/* How far one goes for something to cut. */
typedef enum Reach { REACH_LEFT, REACH_UNWANTED, REACH_ALL } Reach;

double stored_area(const CutItem *item) {
    return number_round(cut_item_area(item), AREA_STEP_MM2);
}

typedef struct Choice {
    int stored;
    double area_mm2;
} Choice;

static int compare_choices(const void *a, const void *b) {
    const Choice *one = a, *other = b;
    if (one->area_mm2 != other->area_mm2) return one->area_mm2 > other->area_mm2 ? -1 : 1;
    return (one->stored > other->stored) - (one->stored < other->stored);
}

static bool is_in_reach(const Turns *turns, const Turn *turn, const Stored *stored, Reach reach) {
    if (stored->copies == 0) return false;
    if (!stored->struck) return true;
    if (turns->all->stock.again != AGAIN_CUT || reach == REACH_LEFT) return false;
    return reach == REACH_ALL || stored->wanted < turn->end;
}

static bool takes_any(const StockCut *cut, NestSheet sheet) {
    for (int i = 0; i < cut->item_count; i++) {
        const NestItem *item = &cut->items[i].item;
        const double wide = item->wide_mm - HAIR_MM, tall = item->tall_mm - HAIR_MM;
        if (wide <= sheet.wide_mm && tall <= sheet.tall_mm) return true;
        if (item->may_turn && tall <= sheet.wide_mm && wide <= sheet.tall_mm) return true;
    }
    return false;
}

static int copies_cut_down(const Attempt *attempt, int stored) {
    int copies = 0;
    for (int i = 0; i < attempt->down_count; i++)
        copies += attempt->downs[i].stored == stored;
    return copies;
}

/* The largest of what is in reach and takes any part. */
static void find_sheets(Turns *turns, const Turn *turn, Reach reach, Attempt *attempt) {
    const int most = stock_cut_parts(&attempt->cut) + FOUND_BESIDES;
    LIST(Choice) choices = {0};
    for (size_t i = 0; i < turns->store.count; i++) {
        const Stored *stored = &turns->store.items[i];
        if (!is_in_reach(turns, turn, stored, reach) || stored->sheet.wide_mm <= 0 ||
            !takes_any(&attempt->cut, stored->sheet))
            continue;
        const int copies = stored->copies - copies_cut_down(attempt, (int)i);
        for (int copy = 0; copy < copies && copy < most; copy++)
            LIST_PUSH(
                turns->arena, choices,
                (Choice){(int)i, number_round(stored->sheet.wide_mm * stored->sheet.tall_mm, AREA_STEP_MM2)});
    }
    if (choices.count > 0) qsort(choices.items, choices.count, sizeof *choices.items, compare_choices);
    const int count = (int)fmin((double)choices.count, most);
    NestSheet *have = ARENA_ARRAY(turns->arena, NestSheet, count);
    attempt->from = ARENA_ARRAY(turns->arena, int, count);
    for (int i = 0; i < count; i++) {
        attempt->from[i] = choices.items[i].stored;
        have[i] = turns->store.items[attempt->from[i]].sheet;
    }
    attempt->cut.stock.have = have;
    attempt->cut.stock.have_count = count;
}

/* What is neither served as it is nor cut down. */
static StockCut still_to_nest(const Turns *turns, const Turn *turn, const Attempt *attempt) {
    StockCut cut = {.stock = turns->all->stock};
    CutItem *items = ARENA_ARRAY(turns->arena, CutItem, turn->end - turn->first);
    for (int i = turn->first; i < turn->end; i++) {
        int copies = turn->copies[i - turn->first];
        for (int d = 0; d < attempt->down_count; d++)
            copies -= attempt->downs[d].item == i;
        if (copies == 0) continue;
        items[cut.item_count] = turns->all->items[i];
        items[cut.item_count++].item.copies = copies;
    }
    cut.items = items;
    return cut;
}

static void nest_rest(Turns *turns, const Turn *turn, Reach reach, Attempt *attempt) {
    attempt->cut = still_to_nest(turns, turn, attempt);
    find_sheets(turns, turn, reach, attempt);
    nest_stock_cut(turns->arena, &attempt->cut);
}

/* The struck part that loses least when it is cut down. */
static int tightest(const Turns *turns, const Turn *turn, Reach reach, const Attempt *attempt,
                    const CutItem *wanted) {
    int best = -1, quarters;
    NestPoint at;
    double least = INFINITY;
    const double area = stored_area(wanted);
    for (size_t i = 0; i < turns->store.count; i++) {
        const Stored *stored = &turns->store.items[i];
        if (!stored->struck || !is_in_reach(turns, turn, stored, reach) ||
            stored->area_mm2 < area - AREA_STEP_MM2 || stored->area_mm2 >= least ||
            stored->copies - copies_cut_down(attempt, (int)i) <= 0 ||
            !struck_contains(stored->struck, wanted, &quarters, &at))
            continue;
        least = stored->area_mm2;
        best = (int)i;
    }
    return best;
}

/* Each wanted part, the largest first, from the struck one that is least too large. */
static void find_cut_down(Turns *turns, const Turn *turn, Reach reach, Attempt *attempt) {
    const int count = turn->end - turn->first;
    Choice *wanted = ARENA_ARRAY(turns->arena, Choice, count);
    LIST(CutDown) downs = {0};
    for (int i = 0; i < count; i++)
        wanted[i] = (Choice){turn->first + i, stored_area(&turns->all->items[turn->first + i])};
    qsort(wanted, (size_t)count, sizeof *wanted, compare_choices);
    for (int i = 0; i < count; i++) {
        const int item = wanted[i].stored;
        for (int copy = 0; copy < turn->copies[item - turn->first]; copy++) {
            const int stored = tightest(turns, turn, reach, attempt, &turns->all->items[item]);
            if (stored < 0 || downs.count == DOWNS_MOST) break;
            LIST_PUSH(turns->arena, downs, (CutDown){stored, item});
            attempt->downs = downs.items;
            attempt->down_count = (int)downs.count;
        }
    }
}

static int struck_used(const Turns *turns, const Attempt *attempt) {
    int used = attempt->down_count;
    for (int i = 0; i < attempt->cut.nest->sheet_count; i++) {
        const int have = attempt->cut.nest->sheets[i].have;
        used += have >= 0 && turns->store.items[attempt->from[have]].struck != NULL;
    }
    return used;
}

/* Fewer parts without a sheet, then fewer new sheets; with `struck`, then fewer struck parts cut. */
static bool is_better(const Turns *turns, const Attempt *a, const Attempt *b, bool struck) {
    const int lacking = stock_cut_lacking(&a->cut), than = stock_cut_lacking(&b->cut);
    if (lacking != than) return lacking < than;
    if (a->cut.new_count != b->cut.new_count) return a->cut.new_count < b->cut.new_count;
    return struck && struck_used(turns, a) < struck_used(turns, b);
}

/* What finds room on the sheets that are cut anyway needs no struck part: the smallest are tried first. */
static void spare_struck(Turns *turns, const Turn *turn, Reach reach, Attempt *best) {
    for (int i = best->down_count - 1, tries = 0; i >= 0 && tries < SPARE_TRIES; i--, tries++) {
        Attempt attempt = *best;
        attempt.downs = ARENA_ARRAY(turns->arena, CutDown, best->down_count);
        attempt.down_count = 0;
        for (int d = 0; d < best->down_count; d++)
            if (d != i) attempt.downs[attempt.down_count++] = best->downs[d];
        nest_rest(turns, turn, reach, &attempt);
        if (is_better(turns, &attempt, best, true)) *best = attempt;
    }
}

static Attempt attempt_struck(Turns *turns, const Turn *turn, Reach reach, bool down) {
    Attempt attempt = {0};
    if (down) find_cut_down(turns, turn, reach, &attempt);
    nest_rest(turns, turn, reach, &attempt);
    spare_struck(turns, turn, reach, &attempt);
    return attempt;
}

static bool needs_more(const Attempt *attempt) {
    return attempt->cut.new_count > 0 || stock_cut_lacking(&attempt->cut) > 0;
}

static void try_struck(Turns *turns, const Turn *turn, Reach reach, Attempt *best) {
    const Attempt nested = attempt_struck(turns, turn, reach, false);
    const Attempt down = attempt_struck(turns, turn, reach, true);
    const Attempt *better = is_better(turns, &down, &nested, false) ? &down : &nested;
    const bool tied = better == &nested && !is_better(turns, &nested, &down, false) && down.down_count > 0;
    if (!is_better(turns, better, best, false)) return;
    turns->tied |= tied;
    *best = tied && turns->down_first ? down : *better;
}

static bool is_any_wanted(const Turns *turns, const Turn *turn) {
    for (size_t i = 0; i < turns->store.count; i++)
        if (turns->store.items[i].copies > 0 && turns->store.items[i].wanted >= turn->end) return true;
    return false;
}

/* Struck parts are cut only where that saves a sheet; those that a later scene wants as they are only where
 * that saves one more. */
Attempt best_attempt(Turns *turns, const Turn *turn) {
    Attempt best = {0};
    nest_rest(turns, turn, REACH_LEFT, &best);
    if (turns->all->stock.again != AGAIN_CUT) return best;
    if (needs_more(&best)) try_struck(turns, turn, REACH_UNWANTED, &best);
    if (needs_more(&best) && is_any_wanted(turns, turn)) try_struck(turns, turn, REACH_ALL, &best);
    return best;
}
