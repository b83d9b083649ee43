#include "shop/nest_forest.h"

#include <math.h>
#include <string.h>

/* What is put on an empty bed comes after everything else, on the smallest that takes it. */
#define EMPTY_BED 1e15
/* The bed that is to stay empty comes after those that are in use. */
#define LAST_BED 1e12

NestForest nest_forest_new(Arena *arena, int block_count, int most_beds) {
    NestForest forest = {.block_count = block_count};
    const int nodes = 2 * block_count;
    forest.nodes = ARENA_ARRAY(arena, NestNode, nodes);
    forest.beds = ARENA_ARRAY(arena, NestBed, most_beds);
    forest.bed_of = ARENA_ARRAY(arena, int, block_count);
    forest.turned = ARENA_ARRAY(arena, bool, block_count);
    forest.spare = ARENA_ARRAY(arena, int, block_count);
    for (int i = 0; i < block_count; i++) {
        forest.bed_of[i] = -1;
        forest.spare[i] = nodes - 1 - i;
    }
    forest.spare_count = block_count;
    return forest;
}

void nest_forest_copy(NestForest *into, const NestForest *from) {
    const size_t blocks = (size_t)from->block_count;
    memcpy(into->nodes, from->nodes, 2 * blocks * sizeof *into->nodes);
    memcpy(into->beds, from->beds, (size_t)from->bed_count * sizeof *into->beds);
    memcpy(into->bed_of, from->bed_of, blocks * sizeof *into->bed_of);
    memcpy(into->turned, from->turned, blocks * sizeof *into->turned);
    memcpy(into->spare, from->spare, blocks * sizeof *into->spare);
    into->block_count = from->block_count;
    into->bed_count = from->bed_count;
    into->spare_count = from->spare_count;
}

void nest_bed_add(NestForest *forest, const NestSheet *sheet, double kerf_mm) {
    forest->beds[forest->bed_count++] = (NestBed){.wide_mm = sheet->wide_mm - 2 * sheet->trim_mm + kerf_mm,
                                                  .tall_mm = sheet->tall_mm - 2 * sheet->trim_mm + kerf_mm,
                                                  .root = -1};
}

/* xorshift64* (Vigna 2016, "An experimental exploration of Marsaglia's xorshift generators, scrambled"). */
uint64_t nest_random(uint64_t *state) {
    *state ^= *state >> 12;
    *state ^= *state << 25;
    *state ^= *state >> 27;
    return (*state * 2685821657736338717U) >> 16;
}

static void join_sizes(NestJoin join, double *wide_mm, double *tall_mm, const NestNode *other) {
    if (join == NEST_BESIDE) {
        *wide_mm += other->wide_mm;
        *tall_mm = fmax(*tall_mm, other->tall_mm);
    } else {
        *tall_mm += other->tall_mm;
        *wide_mm = fmax(*wide_mm, other->wide_mm);
    }
}

static const NestNode *sibling(const NestForest *forest, int node) {
    const NestNode *parent = &forest->nodes[forest->nodes[node].parent];
    return &forest->nodes[parent->first == node ? parent->second : parent->first];
}

/* What the whole tree grows to when `node` grows to this; false where the bed is too small. */
static bool grown(const NestForest *forest, const NestBed *bed, int node, double *wide_mm, double *tall_mm) {
    const double most_wide_mm = bed->wide_mm + NEST_SAME_MM, most_tall_mm = bed->tall_mm + NEST_SAME_MM;
    for (;;) {
        if (*wide_mm > most_wide_mm || *tall_mm > most_tall_mm) return false;
        const int parent = forest->nodes[node].parent;
        if (parent < 0) return true;
        join_sizes(forest->nodes[parent].join, wide_mm, tall_mm, sibling(forest, node));
        node = parent;
    }
}

typedef struct Size {
    double wide_mm, tall_mm;
    bool turned;
} Size;

static double wasted(const NestNode *node, NestJoin join, const Size *size) {
    if (join == NEST_BESIDE)
        return node->tall_mm < size->tall_mm ? (size->tall_mm - node->tall_mm) * node->wide_mm
                                             : (node->tall_mm - size->tall_mm) * size->wide_mm;
    return node->wide_mm < size->wide_mm ? (size->wide_mm - node->wide_mm) * node->tall_mm
                                         : (node->wide_mm - size->wide_mm) * size->tall_mm;
}

static void try_join(const NestForest *forest, const NestLook *look, int bed_index, int node, NestJoin join,
                     const Size *size, NestSite *best) {
    const NestNode *at = &forest->nodes[node];
    /* Beside what stands beside another already is beside both. */
    if (at->parent >= 0 && forest->nodes[at->parent].join == join) return;
    ++*look->looked;
    const NestBed *bed = &forest->beds[bed_index];
    double wide_mm = size->wide_mm, tall_mm = size->tall_mm;
    join_sizes(join, &wide_mm, &tall_mm, at);
    if (!grown(forest, bed, node, &wide_mm, &tall_mm)) return;
    const NestNode *root = &forest->nodes[bed->root];
    const double score = wide_mm * tall_mm - root->wide_mm * root->tall_mm - size->wide_mm * size->tall_mm +
                         look->snug * wasted(at, join, size) + (bed_index == look->last_bed ? LAST_BED : 0);
    if (score < best->score)
        *best =
            (NestSite){.bed = bed_index, .node = node, .join = join, .turned = size->turned, .score = score};
}

static void try_empty(const NestLook *look, const NestBed *bed, int bed_index, const Size *size,
                      NestSite *best) {
    if (size->wide_mm > bed->wide_mm + NEST_SAME_MM || size->tall_mm > bed->tall_mm + NEST_SAME_MM) return;
    /* Lying along the sheet rather than across it. */
    const double lying = size->wide_mm / bed->wide_mm < size->tall_mm / bed->tall_mm ? 1 : 0;
    const double score =
        (bed_index == look->last_bed ? 2 : 1) * EMPTY_BED + bed->wide_mm * bed->tall_mm + lying;
    if (score < best->score)
        *best = (NestSite){.bed = bed_index, .node = -1, .turned = size->turned, .score = score};
}

static void look_at_bed(const NestForest *forest, const NestLook *look, int bed_index, const Size *sizes,
                        int count, NestSite *best) {
    const NestBed *bed = &forest->beds[bed_index];
    if (bed->root < 0) {
        for (int s = 0; s < count; s++)
            try_empty(look, bed, bed_index, &sizes[s], best);
        return;
    }
    const double free_mm2 = bed->wide_mm * bed->tall_mm - bed->filled_mm2;
    if (sizes[0].wide_mm * sizes[0].tall_mm > free_mm2 + 1) return;
    int depth = 0;
    look->stack[depth++] = bed->root;
    while (depth > 0) {
        const int node = look->stack[--depth];
        const NestNode *at = &forest->nodes[node];
        if (at->join != NEST_LEAF) {
            look->stack[depth++] = at->second;
            look->stack[depth++] = at->first;
        }
        if (look->random && (nest_random(look->random) & 15) == 0) continue;
        for (int s = 0; s < count; s++) {
            try_join(forest, look, bed_index, node, NEST_BESIDE, &sizes[s], best);
            try_join(forest, look, bed_index, node, NEST_ABOVE, &sizes[s], best);
        }
    }
}

bool nest_site_find(const NestForest *forest, const NestLook *look, int block, NestSite *site) {
    const NestBlock *what = &look->blocks[block];
    const double wide_mm = what->wide_mm + look->kerf_mm, tall_mm = what->tall_mm + look->kerf_mm;
    const Size sizes[2] = {{wide_mm, tall_mm, false}, {tall_mm, wide_mm, true}};
    const int count = what->may_turn && wide_mm != tall_mm ? 2 : 1;
    *site = (NestSite){.bed = -1, .score = INFINITY};
    for (int b = 0; b < forest->bed_count; b++)
        look_at_bed(forest, look, b, sizes, count, site);
    return site->bed >= 0;
}

/* Sizes of a node and of all above it, anew. */
static void measure_up(NestForest *forest, int node) {
    for (; node >= 0; node = forest->nodes[node].parent) {
        NestNode *at = &forest->nodes[node];
        at->wide_mm = forest->nodes[at->first].wide_mm;
        at->tall_mm = forest->nodes[at->first].tall_mm;
        join_sizes(at->join, &at->wide_mm, &at->tall_mm, &forest->nodes[at->second]);
    }
}

/* Puts `now` where `before` was below `parent` (-1: the root of the bed). */
static void hang(NestForest *forest, NestBed *bed, int parent, int before, int now) {
    if (parent < 0)
        bed->root = now;
    else if (forest->nodes[parent].first == before)
        forest->nodes[parent].first = now;
    else
        forest->nodes[parent].second = now;
    forest->nodes[now].parent = parent;
}

void nest_site_take(NestForest *forest, const NestLook *look, int block, const NestSite *site) {
    const NestBlock *what = &look->blocks[block];
    const double wide_mm = what->wide_mm + look->kerf_mm, tall_mm = what->tall_mm + look->kerf_mm;
    NestBed *bed = &forest->beds[site->bed];
    forest->nodes[block] = (NestNode){.wide_mm = site->turned ? tall_mm : wide_mm,
                                      .tall_mm = site->turned ? wide_mm : tall_mm,
                                      .parent = -1,
                                      .first = -1,
                                      .second = -1,
                                      .join = NEST_LEAF};
    forest->bed_of[block] = site->bed;
    forest->turned[block] = site->turned;
    bed->filled_mm2 += wide_mm * tall_mm;
    if (site->node < 0) {
        bed->root = block;
        return;
    }
    const int joint = forest->spare[--forest->spare_count];
    hang(forest, bed, forest->nodes[site->node].parent, site->node, joint);
    forest->nodes[joint].join = site->join;
    forest->nodes[joint].first = site->node;
    forest->nodes[joint].second = block;
    forest->nodes[site->node].parent = forest->nodes[block].parent = joint;
    measure_up(forest, joint);
}

void nest_block_remove(NestForest *forest, const NestLook *look, int block) {
    const NestBlock *what = &look->blocks[block];
    NestBed *bed = &forest->beds[forest->bed_of[block]];
    forest->bed_of[block] = -1;
    bed->filled_mm2 -= (what->wide_mm + look->kerf_mm) * (what->tall_mm + look->kerf_mm);
    const int joint = forest->nodes[block].parent;
    if (joint < 0) {
        bed->root = -1;
        bed->filled_mm2 = 0;
        return;
    }
    const NestNode *at = &forest->nodes[joint];
    hang(forest, bed, at->parent, joint, at->first == block ? at->second : at->first);
    measure_up(forest, at->parent);
    forest->spare[forest->spare_count++] = joint;
}

int nest_leaves(const NestForest *forest, int node, int *stack, int *leaves) {
    int depth = 0, count = 0;
    if (node >= 0) stack[depth++] = node;
    while (depth > 0) {
        const NestNode *at = &forest->nodes[stack[--depth]];
        if (at->join == NEST_LEAF) {
            leaves[count++] = (int)(at - forest->nodes);
            continue;
        }
        stack[depth++] = at->second;
        stack[depth++] = at->first;
    }
    return count;
}
