/* Points against a closed outline, for tests of what is cut along one. */
#ifndef GROUNDROW_OUTLINE_POINTS_H
#define GROUNDROW_OUTLINE_POINTS_H

#include "shop/split.h"

#include <math.h>

/* By the even-odd rule: how often a ray to the right meets the outline. */
static inline bool holds(const Cell *cell, PartPoint p) {
    bool inside = false;
    for (size_t i = 0; i < cell->count; i++) {
        const PartPoint a = cell->corners[i], b = cell->corners[(i + 1) % cell->count];
        if ((a.y_mm > p.y_mm) == (b.y_mm > p.y_mm)) continue;
        inside ^= p.x_mm < a.x_mm + (p.y_mm - a.y_mm) / (b.y_mm - a.y_mm) * (b.x_mm - a.x_mm);
    }
    return inside;
}

/* How far a point is from the outline. */
static inline double from_edge_mm(const Cell *cell, PartPoint p) {
    double nearest = INFINITY;
    for (size_t i = 0; i < cell->count; i++) {
        const PartPoint a = cell->corners[i], b = cell->corners[(i + 1) % cell->count];
        const double x = b.x_mm - a.x_mm, y = b.y_mm - a.y_mm, long2 = x * x + y * y;
        double t = long2 > 0 ? ((p.x_mm - a.x_mm) * x + (p.y_mm - a.y_mm) * y) / long2 : 0;
        t = fmin(fmax(t, 0), 1);
        nearest = fmin(nearest, hypot(p.x_mm - a.x_mm - t * x, p.y_mm - a.y_mm - t * y));
    }
    return nearest;
}

#endif
