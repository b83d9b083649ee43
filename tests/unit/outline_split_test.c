/* Outlines cut by straight seams: docs/geometry.md, rule 88. */
#include "base/number.h"
#include "outline_points.h"
#include "shop/split.h"

#include <criterion/criterion.h>
#include <math.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}
static void tear_down(void) {
    arena_free(arena);
}
TestSuite(outline_split, .init = set_up, .fini = tear_down);

static double random_share(unsigned *state) {
    *state = *state * 1664525u + 1013904223u;
    return (*state >> 8) / 16777216.0;
}

static double area_of(const Cells *cells) {
    double area = 0;
    for (size_t i = 0; i < cells->count; i++)
        area += corners_area(cells->items[i].corners, cells->items[i].count);
    return area;
}

/* --- by hand -------------------------------------------------------------------------------------------- */

/* A comb: a back 100 mm tall, and five teeth of 40 mm, 200 mm tall, 40 mm apart. */
static Cell comb(void) {
    PartPoint *corners = ARENA_ARRAY(arena, PartPoint, 22);
    size_t count = 0;
    corners[count++] = (PartPoint){0, 0};
    corners[count++] = (PartPoint){360, 0};
    for (int tooth = 4; tooth >= 0; tooth--) {
        corners[count++] = (PartPoint){80 * tooth + 40, tooth == 4 ? 300 : 100};
        if (tooth < 4) corners[count++] = (PartPoint){80 * tooth + 40, 300};
        corners[count++] = (PartPoint){80 * tooth, 300};
        if (tooth > 0) corners[count++] = (PartPoint){80 * tooth, 100};
    }
    return (Cell){corners, count};
}

static Cells in_box(Cell outline, double x0, double x1, double y0, double y1) {
    Cells cells = {0};
    outline_in_box(arena, outline, (Span2){x0, x1}, (Span2){y0, y1}, &cells);
    return cells;
}

Test(outline_split, a_comb_falls_apart) {
    const Cell it = comb();
    cr_assert_float_eq(corners_area(it.corners, it.count), 360 * 100 + 5 * 40 * 200, 1e-9);
    cr_expect_eq(in_box(it, -INFINITY, INFINITY, 150, INFINITY).count, 5);
    cr_expect_eq(in_box(it, -INFINITY, INFINITY, -INFINITY, 150).count, 1);
    cr_expect_eq(in_box(it, 60, 300, 150, 250).count, 3);
    /* along the foot of the teeth, which are edges */
    const Cells above = in_box(it, -INFINITY, INFINITY, 100, INFINITY);
    cr_expect_float_eq(area_of(&above), 5 * 40 * 200, 1e-6);
    const Cells below = in_box(it, -INFINITY, INFINITY, -INFINITY, 100);
    cr_assert_eq(below.count, 1);
    cr_expect_float_eq(area_of(&below), 360 * 100, 1e-6);
    /* along a tooth's side */
    const Cells left = in_box(it, -INFINITY, 80, -INFINITY, INFINITY);
    cr_expect_float_eq(area_of(&left), 80 * 100 + 40 * 200, 1e-6);
    cr_expect_eq(in_box(it, 500, 600, 0, 300).count, 0);
}

/* What is smaller than a square centimetre is no part. */
Test(outline_split, chips_are_left_out) {
    const Cell it = comb();
    cr_expect_eq(in_box(it, -INFINITY, INFINITY, 299, INFINITY).count, 0);
    cr_expect_eq(in_box(it, -INFINITY, INFINITY, 297, INFINITY).count, 5);
}

/* --- any ------------------------------------------------------------------------------------------------ */

/* A star of many points, that does not cross itself. On `grid`, corners fall on seams. */
static Cell star(unsigned *state, size_t count, bool grid) {
    PartPoint *corners = ARENA_ARRAY(arena, PartPoint, count);
    for (size_t i = 0; i < count; i++) {
        const double angle = 2 * PI * (double)i / (double)count, radius = 100 + 900 * random_share(state);
        corners[i] = (PartPoint){radius * cos(angle), radius * sin(angle)};
        if (grid)
            corners[i] = (PartPoint){100 * round(corners[i].x_mm / 100), 100 * round(corners[i].y_mm / 100)};
    }
    return (Cell){corners, count};
}

static void check_cells(const Cell *outline, const Cells *cells, unsigned *state) {
    for (int i = 0; i < 100; i++) {
        const PartPoint p = {2000 * random_share(state) - 1000, 2000 * random_share(state) - 1000};
        int in = 0;
        bool near = from_edge_mm(outline, p) < 15; /* chips are out */
        for (size_t k = 0; k < cells->count; k++) {
            in += holds(&cells->items[k], p);
            near |= from_edge_mm(&cells->items[k], p) < 1e-6;
        }
        if (!near) cr_assert_eq(in, holds(outline, p), "%g, %g in %d pieces", p.x_mm, p.y_mm, in);
    }
}

Test(outline_split, pieces_leave_nothing_out_and_nothing_twice) {
    unsigned state = 3;
    size_t most = 0;
    for (int round = 0; round < 200; round++) {
        const bool grid = round % 4 == 3; /* corners on seams, neighbours that touch */
        const Cell it = star(&state, grid ? 12 : 20 + (size_t)(180 * random_share(&state)), grid);
        const double step = grid ? 400 : 200 + 700 * random_share(&state);
        Cells cells = {0};
        for (double x = -1000; x < 1000; x += step)
            for (double y = -1000; y < 1000; y += step)
                outline_in_box(arena, it, (Span2){x, x + step}, (Span2){y, y + step}, &cells);
        const double all = corners_area(it.corners, it.count), pieces = area_of(&cells);
        for (size_t i = 0; i < cells.count; i++) {
            const Span2 x = corners_extent(cells.items[i].corners, cells.items[i].count, true);
            const Span2 y = corners_extent(cells.items[i].corners, cells.items[i].count, false);
            cr_expect(x.to_mm - x.from_mm <= step + 1e-9 && y.to_mm - y.from_mm <= step + 1e-9);
        }
        cr_expect_leq(pieces, all * (1 + 1e-9));
        cr_expect_geq(pieces, all - 100 * 100, "%g of %g mm2", pieces, all); /* up to 100 chips */
        check_cells(&it, &cells, &state);
        if (cells.count > most) most = cells.count;
    }
    cr_expect_geq(most, 40);
}
