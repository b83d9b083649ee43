/* Numbers from standard input into tasks of nesting, and nests to standard output, line by line. */
#ifndef GROUNDROW_TESTS_NEST_LINES_H
#define GROUNDROW_TESTS_NEST_LINES_H

#include "shop/nest.h"

#include <stdio.h>
#include <stdlib.h>

static inline double number(void) {
    double value;
    if (scanf("%lf", &value) != 1) exit(1);
    return value;
}

static inline int whole_number(void) {
    return (int)number();
}

static inline NestSheet sheet(void) {
    NestSheet s;
    s.wide_mm = number();
    s.tall_mm = number();
    s.trim_mm = number();
    return s;
}

static inline NestItem item(void) {
    NestItem i = {0};
    i.wide_mm = number();
    i.tall_mm = number();
    i.may_turn = number() != 0;
    i.copies = whole_number();
    i.has_outline = number() != 0;
    for (int c = 0; i.has_outline && c < 4; c++) {
        i.outline[c].x_mm = number();
        i.outline[c].y_mm = number();
    }
    return i;
}

static inline void print_nest(const Nest *nest) {
    printf("nest %d %d %d %d %d %d %d %d %d %.9g %.9g %.9g %.9g\n", nest->sheet_count, nest->new_count,
           nest->area_bound, nest->placement_count, nest->too_large_count, nest->left_over_count,
           nest->piece_count, nest->cut_count, nest->offcut_count, nest->sheets_mm2, nest->parts_mm2,
           nest->offcuts_mm2, nest->waste_mm2);
    for (int i = 0; i < nest->sheet_count; i++)
        printf("%d %.9f %.9f %.9f %.9f\n", nest->sheets[i].have, nest->sheets[i].size.wide_mm,
               nest->sheets[i].size.tall_mm, nest->sheets[i].size.trim_mm, nest->sheets[i].parts_mm2);
    for (int i = 0; i < nest->placement_count; i++) {
        const NestPlacement *p = &nest->placements[i];
        printf("%d %d %d %.9f %.9f %d\n", p->item, p->copy, p->sheet, p->x_mm, p->y_mm, p->quarter_turns);
    }
    for (int i = 0; i < nest->too_large_count; i++)
        printf("%d\n", nest->too_large[i]);
    for (int i = 0; i < nest->left_over_count; i++)
        printf("%d %d\n", nest->left_over[i].item, nest->left_over[i].copy);
    for (int i = 0; i < nest->piece_count; i++) {
        const NestPiece *p = &nest->pieces[i];
        printf("%d %d %d %d", p->sheet, (int)p->kind, p->placement, p->corner_count);
        for (int c = 0; c < p->corner_count; c++)
            printf(" %.9f %.9f", p->corners[c].x_mm, p->corners[c].y_mm);
        printf("\n");
    }
    for (int i = 0; i < nest->cut_count; i++) {
        const NestCut *c = &nest->cuts[i];
        printf("%d %d %d %d %.9f %.9f %.9f %.9f %d %d\n", c->sheet, (int)c->kind, (int)c->trims, c->piece,
               c->from.x_mm, c->from.y_mm, c->to.x_mm, c->to.y_mm, c->first, c->second);
    }
    for (int i = 0; i < nest->offcut_count; i++) {
        const NestOffcut *o = &nest->offcuts[i];
        printf("%d %.9f %.9f %.9f %.9f\n", o->sheet, o->x_mm, o->y_mm, o->wide_mm, o->tall_mm);
    }
    fflush(stdout);
}

#endif
