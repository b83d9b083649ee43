/* What of the tables lies under a place of the base (docs/geometry.md, rule 104). */
#include "plan/tables.h"

#include <math.h>

/* From a place to a rectangle that begins at 0: negative inside it, to its nearest edge. */
static double to_rectangle_mm(double x, double y, double wide, double deep) {
    const double dx = fmax(-x, x - wide), dy = fmax(-y, y - deep);
    return dx > 0 || dy > 0 ? hypot(fmax(dx, 0), fmax(dy, 0)) : fmax(dx, dy);
}

/* By the nearest leg, as from the table's left front corner. */
static double to_leg_mm(const Tables *tables, double x, double y) {
    const double thick = tables->leg_thick_mm, inset = tables->leg_inset_mm;
    const double from_side = fmin(x, tables->across_mm - x), from_end = fmin(y, tables->back_mm - y);
    return to_rectangle_mm(from_side - inset, from_end - inset, thick, thick);
}

/* Equal but for rounding is clear. */
static bool nearer(double mm, double clear_mm) {
    return mm < clear_mm - 1e-6;
}

TablePlace tables_under(const Tables *tables, double across_mm, double back_mm) {
    TablePlace place = {UNDER_NO_TABLE, -1};
    for (int i = 0; i < tables->count; i++) {
        const double x = across_mm - tables->items[i].left_mm, y = back_mm - tables->items[i].front_mm;
        const double edge = to_rectangle_mm(x, y, tables->across_mm, tables->back_mm);
        const TableUnder under = nearer(to_leg_mm(tables, x, y), HOLE_FROM_LEG_MM) ? UNDER_LEG
                                 : nearer(fabs(edge), HOLE_FROM_EDGE_MM)           ? UNDER_EDGE
                                 : edge < 0                                        ? UNDER_TOP
                                                                                   : UNDER_NO_TABLE;
        if (under == UNDER_NO_TABLE) continue;
        if (place.under != UNDER_LEG && (under == UNDER_LEG || place.under != UNDER_EDGE))
            place = (TablePlace){under, i};
    }
    return place;
}

bool tables_block(const Tables *tables, TablePlace place) {
    if (tables->whole) return place.under != UNDER_NO_TABLE;
    return place.under == UNDER_LEG || place.under == UNDER_EDGE;
}
