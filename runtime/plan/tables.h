/* The tables that carry a set: how many of the book's, where they stand under the base, what each carries,
 * what of them is in the way of a screw from below, and how far the base sags between them (docs/geometry.md,
 * rules 94 to 96 and 104). */
#ifndef GROUNDROW_TABLES_H
#define GROUNDROW_TABLES_H

#include "plan/parts.h"
#include "plan/plan.h"
#include "plan/stiffness.h"

/* A base may hang over the tables' edge so far, or somebody leans on it and it tips (common practice, no
 * source); and sag so far between them before what stands on it leans. */
#define TABLE_OVERHANG_MM 152.4
#define BASE_SAG_MM 1.5875

/* Common practice, no source: a hole keeps so far from a leg and from a table's edge, where its rail is, for
 * a drill and for the hand that turns a nut; legs that are not stated are so thick and stand so far in. */
#define HOLE_FROM_LEG_MM 50.8
#define HOLE_FROM_EDGE_MM 25.4
#define LEG_INSET_MM 76.2
#define LEG_THICK_MM 50.8

enum { TABLES_MOST = 1000 };

typedef struct PlanTable {
    int row, column;          /* from the front, from the left; from 0 */
    double left_mm, front_mm; /* its left front corner, in the set's frame */
    double load_kg;           /* of what is weighed */
    double area_mm2;          /* of the base that it carries */
} PlanTable;

typedef struct TableRow {
    int first, count;                   /* into items */
    double over_left_mm, over_right_mm; /* the base beyond its ends; negative: they stand out beyond it */
} TableRow;

typedef struct Tables {
    bool long_across;          /* their long side runs across the set */
    double across_mm, back_mm; /* one table, as it stands */
    double apart_mm;           /* between two; 0: pushed together */
    double leg_inset_mm, leg_thick_mm;
    bool whole;                           /* nothing is drilled through their tops */
    double moved_right_mm, moved_back_mm; /* from the middle, so that what is held from below misses them */
    PlanTable *items;
    int count;
    TableRow *rows; /* from the front */
    int row_count;
    double over_front_mm, over_rear_mm; /* as TableRow's */
    double holds_kg;                    /* 0: not stated */
    double load_kg;                     /* of all that is weighed */
    int heaviest;                       /* index */
    int shot;                           /* whose puppets are on them; 0 where there is only one */
    double over_most_mm;                /* how far the base hangs over, where it does farthest */
    BoardStiffness board;               /* the base's, where there is one */
    double sag_mm;                      /* of the base between two; NAN: pushed together, or not known */
    double sag_over_mm;                 /* of its edge where it hangs over farthest; NAN: likewise */
} Tables;

/* What lies under a place of the base (rule 104). */
typedef enum TableUnder {
    UNDER_NO_TABLE, /* beyond the tables, or between two */
    UNDER_TOP,      /* a table, clear of its legs and edges */
    UNDER_LEG,
    UNDER_EDGE /* of a top, from either side */
} TableUnder;

typedef struct TablePlace {
    TableUnder under;
    int table; /* index; -1: none */
} TablePlace;

TablePlace tables_under(const Tables *tables, double across_mm, double back_mm);
/* Whether what is there keeps a screw from being driven from below: legs and edges; whole tops. */
bool tables_block(const Tables *tables, TablePlace place);

/* False where the book does not state a table's `wide` and `deep`, or over TABLES_MOST would be needed.
 * Weights are those of weights.h; what has none counts nothing. */
bool plan_tables(Arena *arena, const Plan *plan, Tables *tables);

/* What of a convex outline lies between two lines across and two lines back. Returns its area. */
double area_within_mm2(const PartPoint *outline, size_t count, double left_mm, double right_mm,
                       double front_mm, double rear_mm);

#endif
