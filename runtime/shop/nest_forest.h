/* Sheets as trees of joints: a leaf is a block, an inner node two of what is below it side by side or one
 * above the other. Every such tree can be cut with straight cuts through whole pieces, and what is not filled
 * stays one rectangle a node instead of being fixed too early. */
#ifndef GROUNDROW_NEST_FOREST_H
#define GROUNDROW_NEST_FOREST_H

#include "shop/nest_blocks.h"

#include <stdint.h>

typedef enum NestJoin { NEST_LEAF, NEST_BESIDE, NEST_ABOVE } NestJoin;

/* Sizes include one kerf in both directions, so that they add up; so do those of sheets. */
typedef struct NestNode {
    double wide_mm, tall_mm;
    int parent, first, second; /* -1: none */
    NestJoin join;
} NestNode;

/* A sheet without what is trimmed off, and its tree. */
typedef struct NestBed {
    double wide_mm, tall_mm; /* with a kerf */
    int root;                /* -1: nothing lies there */
    double filled_mm2;       /* of blocks, with their kerfs */
} NestBed;

/* Node i is the leaf of block i while i < block_count. */
typedef struct NestForest {
    int block_count, bed_count;
    NestNode *nodes;
    NestBed *beds;
    int *bed_of;  /* block: its bed, -1: lies nowhere */
    bool *turned; /* block: by a quarter */
    int *spare;   /* inner nodes that are not in use */
    int spare_count;
} NestForest;

/* Where a block could go: beside or above what is at `node` (-1: alone on an empty bed). */
typedef struct NestSite {
    int bed, node;
    NestJoin join;
    bool turned;
    double score; /* less is better */
} NestSite;

/* What is common to all looks for a site. */
typedef struct NestLook {
    const NestBlock *blocks;
    double kerf_mm;
    double snug;       /* weight of what a joint wastes at once against what its bed loses */
    int last_bed;      /* used only where no other takes the block; -1: none */
    uint64_t *random;  /* with it, one node in 16 is passed over; or NULL */
    long long *looked; /* counts sites */
    int *stack;        /* room for every node */
} NestLook;

NestForest nest_forest_new(Arena *arena, int block_count, int most_beds);
void nest_forest_copy(NestForest *into, const NestForest *from);
void nest_bed_add(NestForest *forest, const NestSheet *sheet, double kerf_mm);

uint64_t nest_random(uint64_t *state);

/* The best site; false where there is none. */
bool nest_site_find(const NestForest *forest, const NestLook *look, int block, NestSite *site);
void nest_site_take(NestForest *forest, const NestLook *look, int block, const NestSite *site);
void nest_block_remove(NestForest *forest, const NestLook *look, int block);

/* Blocks below a node, in order; how many. */
int nest_leaves(const NestForest *forest, int node, int *stack, int *leaves);

#endif
