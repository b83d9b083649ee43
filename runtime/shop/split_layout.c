/* Ways to lay seams: rows, and each row in itself square to them. */
#include "shop/cutting.h"
#include "shop/split.h"

#include <math.h>

static const double HAIR_MM = 1e-6;

Span2 corners_extent(const PartPoint *corners, size_t count, bool of_x) {
    Span2 span = {INFINITY, -INFINITY};
    for (size_t i = 0; i < count; i++) {
        const double at = of_x ? corners[i].x_mm : corners[i].y_mm;
        span.from_mm = fmin(span.from_mm, at);
        span.to_mm = fmax(span.to_mm, at);
    }
    return span;
}

/* --- along one direction ------------------------------------------------------------------------------- */

typedef struct Division {
    Span2 span;
    double most_mm; /* of a space */
    double share;   /* Sharing's */
    double step_mm;
} Division;

/* Where the i-th cut is wanted. */
static double wanted_place(const Division *it, int spaces, int i) {
    const Span2 span = it->span;
    const double even = span.from_mm + (span.to_mm - span.from_mm) * i / spaces;
    const double far =
        it->share > 0 ? span.from_mm + i * it->most_mm : span.to_mm - (spaces - i) * it->most_mm;
    return even + fabs(it->share) * (far - even);
}

/* Cuts so that no space is over the most, with so many spaces. */
static bool cuts_of(Row *row, const Division *it, int spaces, const Keeps *keeps) {
    const Span2 span = it->span;
    const double least_mm = fmin(OFFCUT_KEPT_MM, (span.to_mm - span.from_mm) / spaces / 2); /* no slivers */
    row->count = 0;
    row->cuts[row->count++] = span.from_mm;
    for (int i = 1; i < spaces; i++) {
        const double before = row->cuts[row->count - 1];
        const double low = fmax(before + least_mm, span.to_mm - (spaces - i) * it->most_mm);
        const double high = fmin(before + it->most_mm, span.to_mm - (spaces - i) * least_mm);
        const double wanted = fmin(fmax(wanted_place(it, spaces, i), low), high);
        double at;
        if (!keeps_free_place(keeps, low, high, wanted, it->step_mm, &at)) return false;
        row->cuts[row->count++] = at;
    }
    row->cuts[row->count++] = span.to_mm;
    return true;
}

/* The fewest spaces; what should be kept clear is given up before one more is made, the least important
 * first, the marks only after that. */
static bool split_span(Row *row, Division it, int more, const KeepsAlong *keeps) {
    const double long_mm = it.span.to_mm - it.span.from_mm;
    const int least = more + (int)fmin(ceil(long_mm / it.most_mm - HAIR_MM), SEAMS_MOST + 1);
    it.step_mm = fmin(it.step_mm, it.most_mm / 16); /* whole cuts, where sheets are not tiny */
    row->near_mark = false;
    if (least > SEAMS_MOST) return false;
    for (int spaces = least < 1 ? 1 : least; spaces <= least + 1 && spaces <= SEAMS_MOST; spaces++) {
        for (int k = KEEPS_TABLES; k >= KEEPS_MARKS; k--)
            if (cuts_of(row, &it, spaces, &keeps->of[k])) return true;
    }
    row->near_mark = true;
    if (cuts_of(row, &it, least, &keeps->of[KEEPS_NOTHING])) return true;
    it.step_mm = 1e-3;
    return cuts_of(row, &it, least, &keeps->of[KEEPS_NOTHING]);
}

/* --- cells --------------------------------------------------------------------------------------------- */

static void add_cell(Arena *arena, const Surface *surface, Span2 x, Span2 y, Cells *cells) {
    if (surface->shape == PART_PROFILE) {
        outline_in_box(arena, (Cell){surface->corners, surface->corner_count}, x, y, cells);
        return;
    }
    PartPoint *corners = ARENA_ARRAY(arena, PartPoint, surface->corner_count + 4);
    const size_t count = corners_in_box(surface->corners, surface->corner_count, x.from_mm, y.from_mm,
                                        x.to_mm, y.to_mm, corners);
    if (count >= 3) LIST_PUSH(arena, *cells, (Cell){corners, count});
}

/* How far a row of the surface reaches to both sides. */
static Span2 extent_of_row(const Surface *surface, Span2 row) {
    Arena *scratch = arena_new();
    Cells cells = {0};
    Span2 extent = {INFINITY, -INFINITY};
    add_cell(scratch, surface, (Span2){-INFINITY, INFINITY}, row, &cells);
    for (size_t i = 0; i < cells.count; i++) {
        const Span2 x = corners_extent(cells.items[i].corners, cells.items[i].count, true);
        extent = (Span2){fmin(extent.from_mm, x.from_mm), fmax(extent.to_mm, x.to_mm)};
    }
    arena_free(scratch);
    return extent;
}

static bool lay_row(Arena *arena, const Cutter *cutter, const Surface *surface, const Sharing *sharing,
                    Span2 row, Row *columns) {
    const KeepsAlong keeps = keeps_along(arena, cutter, surface, false, row);
    const Division division = {.span = extent_of_row(surface, row),
                               .most_mm = sharing->most.wide_mm,
                               .share = sharing->columns,
                               .step_mm = cutter->plan->cut_mm};
    return split_span(columns, division, 0, &keeps);
}

bool surface_lay_out(Arena *arena, const Cutter *cutter, const Surface *surface, Sharing sharing,
                     Layout *layout) {
    const KeepsAlong keeps = keeps_along(arena, cutter, surface, true, (Span2){0});
    const Division deep = {.span = corners_extent(surface->corners, surface->corner_count, false),
                           .most_mm = sharing.most.tall_mm,
                           .share = sharing.rows,
                           .step_mm = cutter->plan->cut_mm};
    if (!split_span(&layout->rows, deep, sharing.more_rows, &keeps)) return false;
    const int rows = layout->rows.count - 1;
    layout->columns = ARENA_ARRAY(arena, Row, rows);
    layout->near_marks = layout->rows.near_mark;
    for (int r = 0; r < rows; r++) {
        Row *columns = &layout->columns[r];
        const Span2 row = {layout->rows.cuts[r], layout->rows.cuts[r + 1]};
        if (!lay_row(arena, cutter, surface, &sharing, row, columns)) return false;
        layout->near_marks += columns->near_mark;
        if (layout->cells.count + (size_t)columns->count > CELLS_MOST) return false;
        for (int c = 0; c + 1 < columns->count; c++)
            add_cell(arena, surface, (Span2){columns->cuts[c], columns->cuts[c + 1]}, row, &layout->cells);
    }
    return true;
}

PartSeam layout_seam(const Layout *layout, int row, int i) {
    const Row *columns = &layout->columns[row];
    const double near = layout->rows.cuts[row], far = layout->rows.cuts[row + 1];
    if (i == 0)
        return (PartSeam){.across = true,
                          .at_mm = near,
                          .from_mm = columns->cuts[0],
                          .to_mm = columns->cuts[columns->count - 1]};
    return (PartSeam){.at_mm = columns->cuts[i], .from_mm = near, .to_mm = far};
}
