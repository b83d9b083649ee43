/* What nesting moves about: rectangles, each of one part or of trapezoids head to tail (docs/cutting.md, 3).
 */
#ifndef GROUNDROW_NEST_BLOCKS_H
#define GROUNDROW_NEST_BLOCKS_H

#include "shop/nest.h"

/* Two lengths that differ by less are the same: sums of the same lengths in another order. */
#define NEST_SAME_MM 1e-6

/* A part in its block, as it lies there. */
typedef struct NestMember {
    int item, copy;
    double x_mm, y_mm; /* lower left corner of its turned box, in the block */
    int quarter_turns;
} NestMember;

/* A straight cut: what is kept first is where normal . point <= at, what comes second where it is >= at +
 * kerf. The normal has length 1. */
typedef struct NestLine {
    NestPoint normal;
    double at_mm;
} NestLine;

typedef struct NestBlock {
    double wide_mm, tall_mm;
    bool may_turn;
    const NestMember *members; /* from first to second of the lines between them */
    const NestLine *between;   /* one fewer than members */
    int member_count;
    double parts_mm2;
} NestBlock;

typedef struct NestBlocks {
    const NestBlock *items;
    int count;
} NestBlocks;

double nest_item_area(const NestItem *item);
/* A box that may be turned or not, on a sheet without what is trimmed off. */
bool nest_fits(const NestSheet *sheet, double wide_mm, double tall_mm, bool may_turn);
/* On a sheet in stock or on a whole one. */
bool nest_fits_any(const NestTask *task, double wide_mm, double tall_mm, bool may_turn);

/* All copies of all items that fit on some sheet, at most `chain` trapezoids a block (1: none joined). */
NestBlocks nest_blocks(Arena *arena, const NestTask *task, int chain);
/* Whether there are trapezoids that can be joined at all. */
bool nest_has_trapezoids(const NestTask *task);

#endif
