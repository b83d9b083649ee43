#include "shop/cut_in_turn.h"

#include "base/text.h"
#include "shop/cut_store.h"

#include <math.h>

/* More are not kept in store; and so many parts ahead are looked at for what wants a struck one again. */
enum { STORE_MOST = 4000, AHEAD_MOST = 2000 };

/* --- as it is ------------------------------------------------------------------------------------------- */

static Stored *nearest_alike(Turns *turns, const CutItem *wanted) {
    Stored *nearest = NULL;
    double least = INFINITY;
    for (size_t i = 0; i < turns->store.count; i++) {
        Stored *stored = &turns->store.items[i];
        double off;
        if (!stored->struck || stored->copies == 0 ||
            !struck_serves(stored->struck, wanted, turns->all->stock.alike_mm, &off) || off >= least - 1e-3)
            continue;
        least = off;
        nearest = stored;
    }
    return nearest;
}

static int last_wanting(const Turns *turns, const CutItem *struck, int from) {
    const int end = (int)fmin(turns->all->item_count, from + AHEAD_MOST);
    double off;
    for (int i = end - 1; i >= from; i--)
        if (struck_serves(struck, &turns->all->items[i], turns->all->stock.alike_mm, &off)) return i;
    return -1;
}

static void use_again(Turns *turns, Turn *turn, int item) {
    const CutItem *wanted = &turns->all->items[item];
    int *left = &turn->copies[item - turn->first];
    while (*left > 0) {
        Stored *stored = nearest_alike(turns, wanted);
        if (!stored) return;
        const int copies = *left < stored->copies ? *left : stored->copies;
        LIST_PUSH(turns->arena, turn->again,
                  (UsedAgain){.part = wanted->name,
                              .from_scene = stored->found.scene,
                              .from_part = stored->found.part,
                              .copies = copies,
                              .struck = stored->struck,
                              .wanted = wanted});
        Stored moved = *stored;
        moved.copies = copies;
        moved.found.scene = turn->scene;
        moved.found.part = wanted->name;
        if (!wanted->of_book && wanted->keeps_shape) LIST_PUSH(turns->arena, turn->moved, moved);
        stored->copies -= copies;
        *left -= copies;
        turns->book.again_whole += copies;
    }
}

/* --- what is there afterwards --------------------------------------------------------------------------- */

static Stored struck_of(const Turns *turns, const Turn *turn, const CutItem *item, int copies) {
    Found found = {.kind = FOUND_STRUCK,
                   .have = -1,
                   .scene = turn->scene,
                   .sheet = -1,
                   .part = item->name,
                   .struck = item};
    NestSheet sheet = {0};
    if (turns->all->stock.again == AGAIN_CUT) sheet = struck_to_sheet(item, &found.at);
    return (Stored){.found = found,
                    .sheet = sheet,
                    .struck = item,
                    .area_mm2 = stored_area(item),
                    .copies = copies,
                    .wanted = last_wanting(turns, item, turn->end)};
}

static double area_of(NestSheet sheet) {
    return sheet.wide_mm * sheet.tall_mm;
}

static void cut_down(Turns *turns, Turn *turn, const Attempt *attempt) {
    for (int i = 0; i < attempt->down_count; i++) {
        const CutItem *wanted = &turns->all->items[attempt->downs[i].item];
        Stored *stored = &turns->store.items[attempt->downs[i].stored];
        const double area = stored_area(wanted);
        stored->copies--;
        turns->book.again_cut++;
        turns->book.waste_mm2 += fmax(0, stored->area_mm2 - area);
        UsedAgain again = {.part = wanted->name,
                           .from_scene = stored->found.scene,
                           .from_part = stored->found.part,
                           .copies = 1,
                           .cut_down = true,
                           .struck = stored->struck,
                           .wanted = wanted};
        struck_contains(stored->struck, wanted, &again.quarter_turns, &again.at);
        LIST_PUSH(turns->arena, turn->again, again);
        if (!wanted->of_book && wanted->keeps_shape)
            LIST_PUSH(turns->arena, turn->moved, struck_of(turns, turn, wanted, 1));
    }
}

static void take_from_store(Turns *turns, const Attempt *attempt) {
    const Nest *nest = attempt->cut.nest;
    for (int i = 0; i < nest->sheet_count; i++) {
        if (nest->sheets[i].have < 0) {
            turns->book.sheets_mm2 += area_of(turns->all->stock.sheet);
            continue;
        }
        Stored *stored = &turns->store.items[attempt->from[nest->sheets[i].have]];
        stored->copies--;
        if (stored->found.kind == FOUND_ON_HAND) {
            turns->book.on_hand_used++;
            turns->book.sheets_mm2 += area_of(stored->sheet);
        } else if (stored->found.kind == FOUND_STRUCK) {
            turns->book.again_cut++;
            turns->book.waste_mm2 += fmax(0, stored->area_mm2 - area_of(stored->sheet));
        }
    }
    turns->book.waste_mm2 += nest->waste_mm2;
}

static void store_offcuts(Turns *turns, const Turn *turn, const Nest *nest) {
    for (int i = 0; i < nest->offcut_count; i++) {
        const NestOffcut *offcut = &nest->offcuts[i];
        const Found found = {.kind = FOUND_OFFCUT, .have = -1, .scene = turn->scene, .sheet = offcut->sheet};
        LIST_PUSH(turns->arena, turns->store,
                  (Stored){.found = found,
                           .sheet = {.wide_mm = offcut->wide_mm, .tall_mm = offcut->tall_mm},
                           .copies = 1,
                           .wanted = -1});
    }
}

/* The set is struck: what was cut for it alone, and what served it again. */
static void store_struck(Turns *turns, const Turn *turn, const StockCut *cut) {
    int *placed = ARENA_ARRAY(turns->arena, int, cut->item_count);
    for (int i = 0; i < cut->nest->placement_count; i++)
        placed[cut->nest->placements[i].item]++;
    for (int i = 0; i < cut->item_count; i++) {
        const CutItem *item = &cut->items[i];
        if (item->of_book || !item->keeps_shape || placed[i] == 0) continue;
        LIST_PUSH(turns->arena, turns->store, struck_of(turns, turn, item, placed[i]));
    }
    for (size_t i = 0; i < turn->moved.count; i++)
        LIST_PUSH(turns->arena, turns->store, turn->moved.items[i]);
}

/* What is used up goes, and the oldest where there is more than anyone stores. */
static void tidy_store(Turns *turns) {
    size_t there = 0, kept = 0;
    for (size_t i = 0; i < turns->store.count; i++)
        there += turns->store.items[i].copies > 0;
    for (size_t i = 0; i < turns->store.count; i++) {
        const Stored stored = turns->store.items[i];
        if (stored.copies == 0) continue;
        if (there > STORE_MOST && stored.found.kind != FOUND_ON_HAND) {
            there--;
            continue;
        }
        turns->store.items[kept++] = stored;
    }
    turns->store.count = kept;
}

/* --- scene after scene ---------------------------------------------------------------------------------- */

static const Found *found_of(const Turns *turns, const Attempt *attempt) {
    Found *found = ARENA_ARRAY(turns->arena, Found, attempt->cut.stock.have_count);
    for (int i = 0; i < attempt->cut.stock.have_count; i++)
        found[i] = turns->store.items[attempt->from[i]].found;
    return found;
}

static void take_turn(Turns *turns, int first, int end) {
    const CutItem *items = turns->all->items;
    Turn turn = {.scene = items[first].scene,
                 .first = first,
                 .end = end,
                 .copies = ARENA_ARRAY(turns->arena, int, end - first)};
    for (int i = first; i < end; i++) {
        turn.copies[i - first] = items[i].item.copies;
        use_again(turns, &turn, i);
    }
    const Attempt attempt = best_attempt(turns, &turn);
    cut_down(turns, &turn, &attempt);
    const SceneCut cut = {.scene = turn.scene,
                          .cut = attempt.cut,
                          .found = found_of(turns, &attempt),
                          .again = turn.again.items,
                          .again_count = (int)turn.again.count};
    LIST_PUSH(turns->arena, turns->cuts, cut);
    turns->book.new_count += cut.cut.new_count;
    turns->book.lacking += stock_cut_lacking(&cut.cut);
    take_from_store(turns, &attempt);
    store_offcuts(turns, &turn, attempt.cut.nest);
    store_struck(turns, &turn, &attempt.cut);
    tidy_store(turns);
}

static void store_on_hand(Turns *turns) {
    const CutStock *stock = &turns->all->stock;
    for (int i = 0; i < stock->have_count; i++)
        LIST_PUSH(turns->arena, turns->store,
                  (Stored){.found = {.kind = FOUND_ON_HAND, .have = i, .sheet = -1},
                           .sheet = stock->have[i],
                           .copies = 1,
                           .wanted = -1});
}

/* By area alone: what stands at once is one scene's parts, and what the book has built by then. */
static int bound_of(Turns *turns, int first, int end) {
    NestItem *items = ARENA_ARRAY(turns->arena, NestItem, turns->of_book.count + (size_t)(end - first));
    int count = 0;
    for (size_t i = 0; i < turns->of_book.count; i++)
        items[count++] = turns->of_book.items[i];
    for (int i = first; i < end; i++) {
        const CutItem *item = &turns->all->items[i];
        items[count++] = item->item;
        if (item->of_book) LIST_PUSH(turns->arena, turns->of_book, item->item);
    }
    const CutStock *stock = &turns->all->stock;
    const NestTask task = {.items = items,
                           .item_count = count,
                           .have = stock->have,
                           .have_count = stock->have_count,
                           .whole = stock->sheet,
                           .kerf_mm = stock->kerf_mm};
    return nest_area_bound(&task);
}

static BookStock go_through(Arena *arena, const StockCut *all, bool down_first, bool *tied) {
    Turns turns = {
        .arena = arena, .all = all, .down_first = down_first, .book = {.stock = all->stock, .in_turn = true}};
    store_on_hand(&turns);
    for (int first = 0, end; first < all->item_count; first = end) {
        for (end = first + 1; end < all->item_count; end++)
            if (!text_equal(all->items[end].scene, all->items[first].scene)) break;
        take_turn(&turns, first, end);
        turns.book.bound = (int)fmax(turns.book.bound, bound_of(&turns, first, end));
    }
    /* a part that serves may be smaller than what is wanted, by as much as the book says */
    turns.book.bound = (int)fmin(turns.book.bound, turns.book.new_count);
    turns.book.cuts = turns.cuts.items;
    turns.book.cut_count = (int)turns.cuts.count;
    *tied = turns.tied;
    return turns.book;
}

bool book_stock_better(const BookStock *a, const BookStock *b) {
    if (a->lacking != b->lacking) return a->lacking < b->lacking;
    return a->new_count < b->new_count;
}

/* Of ways for a scene that are as good, which one is better for those after it only trying tells. */
BookStock cut_in_turn(Arena *arena, const StockCut *all) {
    bool tied;
    const BookStock nested = go_through(arena, all, false, &tied);
    if (!tied) return nested;
    const BookStock down = go_through(arena, all, true, &tied);
    return book_stock_better(&down, &nested) ? down : nested;
}
