#include "shop/nest_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Sites that are looked at, all together: some hundredths of a second. Few blocks are at their best sooner.
 */
#define SITES_MOST 2000000.0
#define SITES_A_BLOCK 3000.0
#define SITES_A_PAIR 400.0
/* Of these at most so many while the first nests are made, and before offcuts are looked at. */
#define SHARE_CONSTRUCT 0.25
#define SHARE_SHEETS 0.8
/* Where nothing can be bought and not everything fits, what is left over is worth more steps. */
#define LEFT_OVER 4.0

enum { SMALL_RUIN_MOST = 6 };

typedef enum NestOrder {
    ORDER_AREA,
    ORDER_LONG_SIDE,
    ORDER_SHORT_SIDE,
    ORDER_PERIMETER,
    ORDER_WIDE,
    ORDER_TALL,
    ORDERS,
    ORDER_RANDOM = ORDERS
} NestOrder;

typedef struct Ranked {
    double key;
    int block;
} Ranked;

typedef struct Search {
    const NestTask *task;
    const NestBlocks *blocks;
    NestLook look;
    uint64_t random;
    long long looked, most;
    Ranked *ranked;
    int *leaves, *pool, *beds;
} Search;

static double box(const Search *search, int block) {
    const NestBlock *b = &search->blocks->items[block];
    return (b->wide_mm + search->look.kerf_mm) * (b->tall_mm + search->look.kerf_mm);
}

static double mean_box(const Search *search) {
    double sum_mm2 = 0;
    for (int i = 0; i < search->blocks->count; i++)
        sum_mm2 += box(search, i);
    return sum_mm2 / search->blocks->count;
}

static double kept(const Search *search, double wide_mm, double tall_mm) {
    const double keep_mm = fmax(search->task->keep_mm, NEST_SAME_MM);
    return wide_mm >= keep_mm && tall_mm >= keep_mm ? wide_mm * tall_mm : 0;
}

/* The largest rectangle beside all that lies on a bed, and after one cut. */
static double bed_left(const Search *search, const NestForest *forest, int bed_index) {
    const NestBed *bed = &forest->beds[bed_index];
    const double kerf_mm = search->look.kerf_mm;
    const double wide_mm = bed->wide_mm - kerf_mm, tall_mm = bed->tall_mm - kerf_mm;
    if (bed->root < 0) return bed_index < search->task->have_count ? kept(search, wide_mm, tall_mm) : 0;
    const NestNode *root = &forest->nodes[bed->root];
    return fmax(kept(search, wide_mm - root->wide_mm, tall_mm),
                kept(search, wide_mm, tall_mm - root->tall_mm));
}

static void weigh(const Search *search, NestFound *found) {
    found->lost_mm2 = found->largest_mm2 = 0;
    found->new_beds = 0;
    for (int i = 0; i < found->forest.block_count; i++)
        if (found->forest.bed_of[i] < 0) found->lost_mm2 += box(search, i);
    for (int b = 0; b < found->forest.bed_count; b++) {
        if (b >= search->task->have_count && found->forest.beds[b].root >= 0) found->new_beds++;
        found->largest_mm2 = fmax(found->largest_mm2, bed_left(search, &found->forest, b));
    }
}

bool nest_found_better(const NestFound *a, const NestFound *b) {
    if (fabs(a->lost_mm2 - b->lost_mm2) > NEST_SAME_MM) return a->lost_mm2 < b->lost_mm2;
    if (a->new_beds != b->new_beds) return a->new_beds < b->new_beds;
    return a->largest_mm2 > b->largest_mm2 + NEST_SAME_MM;
}

static Search search_new(Arena *arena, const NestTask *task, const NestBlocks *blocks, double share) {
    const int n = blocks->count;
    Search search = {.task = task, .blocks = blocks, .random = 0x9e3779b97f4a7c15U};
    search.look = (NestLook){.blocks = blocks->items,
                             .kerf_mm = task->kerf_mm,
                             .last_bed = -1,
                             .stack = ARENA_ARRAY(arena, int, 2 * n + 2)};
    search.ranked = ARENA_ARRAY(arena, Ranked, n);
    search.leaves = ARENA_ARRAY(arena, int, n);
    search.pool = ARENA_ARRAY(arena, int, n);
    search.beds = ARENA_ARRAY(arena, int, n + task->have_count);
    const double effort = task->effort > 0 ? task->effort : 1;
    search.most = (long long)(share * effort * fmin(SITES_MOST, SITES_A_BLOCK * n + SITES_A_PAIR * n * n));
    return search;
}

static int below(Search *search, int count) {
    return (int)(nest_random(&search->random) % (uint64_t)count);
}

static double fraction(Search *search) {
    return (double)(nest_random(&search->random) & 0xffffff) / 16777216.0;
}

static double order_key(const NestBlock *b, NestOrder order, uint64_t *random) {
    switch (order) {
    case ORDER_AREA:
        return b->wide_mm * b->tall_mm;
    case ORDER_LONG_SIDE:
        return fmax(b->wide_mm, b->tall_mm);
    case ORDER_SHORT_SIDE:
        return fmin(b->wide_mm, b->tall_mm);
    case ORDER_PERIMETER:
        return b->wide_mm + b->tall_mm;
    case ORDER_WIDE:
        return b->wide_mm;
    case ORDER_TALL:
        return b->tall_mm;
    case ORDER_RANDOM:
        break;
    }
    return (double)nest_random(random);
}

static int by_key(const void *left, const void *right) {
    const Ranked *a = left, *b = right;
    if (a->key != b->key) return a->key > b->key ? -1 : 1;
    return a->block < b->block ? -1 : a->block > b->block;
}

/* `chance` 0: in this order; more: only about so. */
static void rank(Search *search, const int *blocks, int count, NestOrder order, double chance) {
    for (int i = 0; i < count; i++) {
        const int block = blocks ? blocks[i] : i;
        const double key = order_key(&search->blocks->items[block], order, &search->random);
        search->ranked[i] = (Ranked){chance > 0 ? key * (1 + chance * fraction(search)) : key, block};
    }
    qsort(search->ranked, (size_t)count, sizeof *search->ranked, by_key);
}

static bool fits_whole(const NestTask *task, const NestBlock *b) {
    return task->whole.wide_mm > 0 && nest_fits(&task->whole, b->wide_mm, b->tall_mm, b->may_turn);
}

/* All blocks in the order in which they are ranked, on new sheets where no other takes them. */
static void construct_one(Search *search, NestForest *forest) {
    const NestTask *task = search->task;
    for (int b = 0; b < task->have_count; b++)
        nest_bed_add(forest, &task->have[b], task->kerf_mm);
    for (int i = 0; i < search->blocks->count; i++) {
        const int block = search->ranked[i].block;
        NestSite site;
        bool found = nest_site_find(forest, &search->look, block, &site);
        if (!found && fits_whole(task, &search->blocks->items[block])) {
            nest_bed_add(forest, &task->whole, task->kerf_mm);
            found = nest_site_find(forest, &search->look, block, &site);
        }
        if (found) nest_site_take(forest, &search->look, block, &site);
    }
}

NestFound nest_construct(Arena *arena, const NestTask *task, const NestBlocks *blocks, double share) {
    Search search = search_new(arena, task, blocks, share);
    search.look.looked = &search.looked;
    static const double snugs[] = {0.5, 2, 0.1};
    NestFound best = {0};
    bool any = false;
    for (size_t s = 0; s < sizeof snugs / sizeof *snugs; s++)
        for (int order = 0; order < ORDERS; order++) {
            if (any && (double)search.looked > SHARE_CONSTRUCT * (double)search.most) return best;
            NestFound found = {.forest =
                                   nest_forest_new(arena, blocks->count, blocks->count + task->have_count)};
            search.look.snug = snugs[s];
            rank(&search, NULL, blocks->count, (NestOrder)order, 0);
            construct_one(&search, &found.forest);
            weigh(&search, &found);
            if (!any || nest_found_better(&found, &best)) best = found;
            any = true;
        }
    return best;
}

/* Takes blocks out: of a few beds some here and there, or all below one joint, or all. */
static void ruin(Search *search, NestForest *forest) {
    int used = 0;
    for (int b = 0; b < forest->bed_count; b++)
        if (forest->beds[b].root >= 0) search->beds[used++] = b;
    if (used == 0) return;
    const int rounds = 1 + below(search, used < 3 ? used + 1 : 3);
    for (int r = 0; r < rounds; r++) {
        const int bed = search->beds[below(search, used)];
        if (forest->beds[bed].root < 0) continue;
        int node = forest->beds[bed].root;
        const int way = below(search, 12);
        if (way >= 4) { /* a joint somewhere below */
            while (forest->nodes[node].join != NEST_LEAF && below(search, 4) > 0)
                node = below(search, 2) ? forest->nodes[node].first : forest->nodes[node].second;
        }
        int count = nest_leaves(forest, node, search->look.stack, search->leaves);
        int out = way == 0 || way >= 4 ? count
                                       : 1 + below(search, count < SMALL_RUIN_MOST ? count : SMALL_RUIN_MOST);
        if (out > 3 * SMALL_RUIN_MOST) out = 3 * SMALL_RUIN_MOST;
        for (; out > 0; out--) {
            const int at = below(search, count);
            nest_block_remove(forest, &search->look, search->leaves[at]);
            search->leaves[at] = search->leaves[--count];
        }
    }
}

/* Puts back whatever lies nowhere, as far as it goes. */
static void recreate(Search *search, NestForest *forest) {
    static const double snugs[] = {0.05, 0.2, 0.5, 1, 2, 4};
    int count = 0;
    for (int i = 0; i < forest->block_count; i++)
        if (forest->bed_of[i] < 0) search->pool[count++] = i;
    search->look.snug = snugs[below(search, 6)];
    const double chance =
        below(search, 4) ? 0 : 0.2; /* one draw a statement: compilers order arguments as they like */
    const NestOrder order = (NestOrder)below(search, ORDERS + 1);
    rank(search, search->pool, count, order, chance);
    search->look.random = &search->random;
    for (int i = 0; i < count; i++) {
        NestSite site;
        if (nest_site_find(forest, &search->look, search->ranked[i].block, &site))
            nest_site_take(forest, &search->look, search->ranked[i].block, &site);
    }
    search->look.random = NULL;
}

/* With the beds as they are: until everything lies somewhere, or the steps run out. False then. */
static bool place_all(Search *search, NestFound *at, NestFound *trial, NestFound *best) {
    const double mean_mm2 = mean_box(search);
    const bool can_buy = search->task->whole.wide_mm > 0;
    const double warmth = can_buy ? 0.1 : 0.3;
    const double from = (double)search->looked,
                 to = (can_buy ? SHARE_SHEETS : LEFT_OVER) * (double)search->most;
    weigh(search, at);
    nest_forest_copy(&best->forest, &at->forest);
    best->lost_mm2 = at->lost_mm2;
    while (at->lost_mm2 > 0 && (double)search->looked < to) {
        const double left = 1 - ((double)search->looked - from) / (to - from);
        nest_forest_copy(&trial->forest, &at->forest);
        ruin(search, &trial->forest);
        recreate(search, &trial->forest);
        ++search->looked;
        weigh(search, trial);
        const double worse_mm2 = trial->lost_mm2 - at->lost_mm2;
        if (worse_mm2 > -warmth * mean_mm2 * left * log(1 - fraction(search)) && trial->lost_mm2 > 0)
            continue;
        nest_forest_copy(&at->forest, &trial->forest);
        at->lost_mm2 = trial->lost_mm2;
        if (at->lost_mm2 < best->lost_mm2) {
            nest_forest_copy(&best->forest, &at->forest);
            best->lost_mm2 = at->lost_mm2;
        }
    }
    return at->lost_mm2 <= 0;
}

/* Takes the emptiest new bed away; what lay there lies nowhere then. False where there is none. */
static bool drop_bed(Search *search, NestForest *forest) {
    const int have = search->task->have_count;
    int least = -1;
    for (int b = have; b < forest->bed_count; b++)
        if (least < 0 || forest->beds[b].filled_mm2 < forest->beds[least].filled_mm2) least = b;
    if (least < 0) return false;
    const int count = nest_leaves(forest, forest->beds[least].root, search->look.stack, search->leaves);
    for (int i = 0; i < count; i++)
        nest_block_remove(forest, &search->look, search->leaves[i]);
    const int last = --forest->bed_count;
    forest->beds[least] = forest->beds[last];
    for (int i = 0; i < forest->block_count; i++)
        if (forest->bed_of[i] == last) forest->bed_of[i] = least;
    return true;
}

/* What is left of the largest bed, and a little for what is left of others. A new bed on which nothing lies
 * is a sheet less. */
static double offcuts_worth(const Search *search, const NestForest *forest) {
    double largest_mm2 = 0, squares = 0, all_mm2 = 0, unused_mm2 = 0;
    for (int b = 0; b < forest->bed_count; b++) {
        const NestBed *bed = &forest->beds[b];
        const double empty_mm2 = bed->wide_mm * bed->tall_mm - bed->filled_mm2;
        largest_mm2 = fmax(largest_mm2, bed_left(search, forest, b));
        squares += empty_mm2 * empty_mm2;
        all_mm2 += bed->wide_mm * bed->tall_mm;
        if (b >= search->task->have_count && bed->root < 0) unused_mm2 += 2 * bed->wide_mm * bed->tall_mm;
    }
    return unused_mm2 + largest_mm2 + 0.05 * squares / all_mm2;
}

/* The bed of which most is left. */
static int most_left(const Search *search, const NestForest *forest) {
    int most = -1;
    for (int b = 0; b < forest->bed_count; b++)
        if (most < 0 || bed_left(search, forest, b) > bed_left(search, forest, most)) most = b;
    return most;
}

static void spare_offcut(Search *search, NestFound *at, NestFound *trial, NestFound *best) {
    const double mean_mm2 = mean_box(search);
    const double from = (double)search->looked, to = (double)search->most;
    nest_forest_copy(&at->forest, &best->forest);
    double worth_mm2 = offcuts_worth(search, &at->forest), best_mm2 = worth_mm2;
    while ((double)search->looked < to) {
        const double left = 1 - ((double)search->looked - from) / (to - from);
        nest_forest_copy(&trial->forest, &at->forest);
        search->look.last_bed = below(search, 3) > 0 ? most_left(search, &at->forest) : -1;
        ruin(search, &trial->forest);
        recreate(search, &trial->forest);
        ++search->looked;
        weigh(search, trial);
        if (trial->lost_mm2 > best->lost_mm2) continue;
        const double trial_mm2 = offcuts_worth(search, &trial->forest);
        if (worth_mm2 - trial_mm2 > -0.1 * mean_mm2 * left * log(1 - fraction(search))) continue;
        nest_forest_copy(&at->forest, &trial->forest);
        worth_mm2 = trial_mm2;
        if (worth_mm2 <= best_mm2 + NEST_SAME_MM || trial->new_beds > best->new_beds) continue;
        nest_forest_copy(&best->forest, &at->forest);
        best_mm2 = worth_mm2;
    }
    search->look.last_bed = -1;
    weigh(search, best);
}

void nest_improve(Arena *arena, const NestTask *task, const NestBlocks *blocks, int bound, double share,
                  NestFound *found) {
    Search search = search_new(arena, task, blocks, share);
    search.look.looked = &search.looked;
    const int most_beds = blocks->count + task->have_count;
    NestFound at = {.forest = nest_forest_new(arena, blocks->count, most_beds)};
    NestFound trial = {.forest = nest_forest_new(arena, blocks->count, most_beds)};
    NestFound best = {.forest = nest_forest_new(arena, blocks->count, most_beds)};
    const bool can_buy = task->whole.wide_mm > 0;
    if (found->lost_mm2 > 0 || can_buy) {
        nest_forest_copy(&at.forest, &found->forest);
        for (;;) {
            if (found->lost_mm2 <= 0 && (found->new_beds <= bound || !drop_bed(&search, &at.forest))) break;
            const bool done = place_all(&search, &at, &trial, &best);
            if (done || best.lost_mm2 < found->lost_mm2) {
                nest_forest_copy(&found->forest, &best.forest);
                if (done) nest_forest_copy(&found->forest, &at.forest);
                weigh(&search, found);
            }
            if (!done) break;
        }
    }
    spare_offcut(&search, &at, &trial, found);
}
