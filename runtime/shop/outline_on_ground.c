/* What lies on the ground of what reaches past its edge (docs/geometry.md, rule 82). */
#include "shop/split.h"

#include <math.h>

/* A side of the ground, from one place across at its front to one at its rear. Sheared by that, it runs
 * straight back, and areas are what they were. */
typedef struct Shear {
    double front_mm, slope;
} Shear;

static Cell sheared(Arena *arena, const Cell *cell, const Shear *shear, int way) {
    PartPoint *corners = ARENA_ARRAY(arena, PartPoint, cell->count);
    for (size_t i = 0; i < cell->count; i++) {
        const PartPoint at = cell->corners[i];
        corners[i] = (PartPoint){at.x_mm + way * shear->slope * (at.y_mm - shear->front_mm), at.y_mm};
    }
    return (Cell){corners, cell->count};
}

/* `x` is what is kept of the front edge's line. */
static Cells beside_side(Arena *arena, const Cells *cells, const Shear *shear, Span2 x) {
    Cells kept = {0}, back = {0};
    for (size_t i = 0; i < cells->count; i++)
        outline_in_box(arena, sheared(arena, &cells->items[i], shear, -1), x, (Span2){-INFINITY, INFINITY},
                       &kept);
    for (size_t i = 0; i < kept.count; i++)
        LIST_PUSH(arena, back, sheared(arena, &kept.items[i], shear, 1));
    return back;
}

bool outline_is_on_ground(const Trapezoid *t, const Cell *outline) {
    const double deep = t->rear_mm - t->front_mm;
    for (size_t i = 0; i < outline->count; i++) {
        const PartPoint p = outline->corners[i];
        const double share = (p.y_mm - t->front_mm) / deep;
        if (!(share >= 0 && share <= 1) ||
            p.x_mm < t->front_left_mm + share * (t->rear_left_mm - t->front_left_mm) ||
            p.x_mm > t->front_right_mm + share * (t->rear_right_mm - t->front_right_mm))
            return false;
    }
    return true;
}

Cells outline_on_ground(Arena *arena, const Trapezoid *t, Cell outline) {
    const double deep = t->rear_mm - t->front_mm;
    const Shear left = {t->front_mm, (t->rear_left_mm - t->front_left_mm) / deep},
                right = {t->front_mm, (t->rear_right_mm - t->front_right_mm) / deep};
    Cells cells = {0};
    outline_in_box(arena, outline, (Span2){-INFINITY, INFINITY}, (Span2){t->front_mm, t->rear_mm}, &cells);
    cells = beside_side(arena, &cells, &left, (Span2){t->front_left_mm, INFINITY});
    return beside_side(arena, &cells, &right, (Span2){-INFINITY, t->front_right_mm});
}
