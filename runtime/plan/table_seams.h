/* How tables bear the seams of what lies on them: over a top, or over a gap, a joint or an edge
 * (docs/geometry.md, rule 86). */
#ifndef GROUNDROW_TABLE_SEAMS_H
#define GROUNDROW_TABLE_SEAMS_H

#include "plan/tables.h"

/* Both parts should lie on a top so far beside their seam (2 in; common practice, no source). */
#define SEAM_ON_TABLE_MM 50.8

typedef enum SeamBed {
    SEAM_ON_TOP,
    SEAM_AT_EDGE,  /* near the tables' outer edge, or beyond it */
    SEAM_AT_JOINT, /* near a joint of tables that are pushed together */
    SEAM_AT_GAP    /* over a gap between tables, or near it */
} SeamBed;

/* Where a seam that runs one way finds no bed, the other way. */
typedef struct NoBed {
    double from_mm, to_mm;         /* infinite beyond the outer edges */
    SeamBed bed;                   /* never SEAM_ON_TOP */
    double gap_from_mm, gap_to_mm; /* of it, what no table is under; both the same at a joint */
} NoBed;

typedef struct NoBeds {
    NoBed *items;
    size_t count;
} NoBeds;

/* For seams that run `across` the set, or square to that between two backs. What a seam crosses within
 * SEAM_ON_TABLE_MM of its end counts for nothing. */
NoBeds tables_no_beds(Arena *arena, const Tables *tables, bool across, double from_mm, double to_mm);

/* The first that a seam lies in, or NULL: tables bear it. */
const NoBed *seam_no_bed(Arena *arena, const Tables *tables, const PartSeam *seam);

/* Warns of every seam of what lies on the tables that has no bed. The plan's parts are known. */
void seams_to_warnings(Plan *plan, Diagnostics *diagnostics);

#endif
