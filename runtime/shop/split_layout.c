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
    double share;
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
static bool split_span(Arena *arena, Row *row, Division it, int more, KeepsOf strictly,
                       const KeepsAlong *keeps) {
    const double long_mm = it.span.to_mm - it.span.from_mm;
    const int least = more + (int)fmin(ceil(long_mm / it.most_mm - HAIR_MM), SEAMS_MOST + 1);
    it.step_mm = fmin(it.step_mm, it.most_mm / 16); /* whole cuts, where sheets are not tiny */
    row->near_mark = false;
    if (least > SEAMS_MOST) return false;
    row->cuts = ARENA_ARRAY(arena, double, (least < 1 ? 1 : least) + 2);
    for (int spaces = least < 1 ? 1 : least; spaces <= least + 1 && spaces <= SEAMS_MOST; spaces++) {
        for (int k = (int)strictly; k >= KEEPS_MARKS; k--)
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

bool surface_rows(Arena *arena, const Cutter *cutter, const Surface *surface, const Sharing *sharing,
                  double share, Rows *rows) {
    const KeepsAlong keeps = keeps_along(arena, cutter, surface, true, (Span2){0});
    const Division deep = {.span = corners_extent(surface->corners, surface->corner_count, false),
                           .most_mm = sharing->most.tall_mm,
                           .share = share,
                           .step_mm = cutter->plan->cut_mm};
    return split_span(arena, &rows->row, deep, sharing->more_rows, sharing->strictly, &keeps);
}

void surface_each_row(Arena *arena, const Cutter *cutter, const Surface *surface, Rows *rows) {
    const int count = rows->row.count - 1;
    rows->extents = ARENA_ARRAY(arena, Span2, count);
    rows->keeps = ARENA_ARRAY(arena, KeepsAlong, count);
    for (int r = 0; r < count; r++) {
        const Span2 row = {rows->row.cuts[r], rows->row.cuts[r + 1]};
        rows->extents[r] = extent_of_row(surface, row);
        rows->keeps[r] = keeps_along(arena, cutter, surface, false, row);
    }
}

bool surface_columns(Arena *arena, const Cutter *cutter, const Sharing *sharing, const Rows *rows,
                     double share, Layout *layout) {
    const int count = rows->row.count - 1;
    int cells = 0;
    *layout = (Layout){.rows = rows->row, .near_marks = rows->row.near_mark};
    layout->columns = ARENA_ARRAY(arena, Row, count);
    for (int r = 0; r < count; r++) {
        Row *columns = &layout->columns[r];
        const Division division = {.span = rows->extents[r],
                                   .most_mm = sharing->most.wide_mm,
                                   .share = share,
                                   .step_mm = cutter->plan->cut_mm};
        if (!split_span(arena, columns, division, sharing->more_columns, sharing->strictly, &rows->keeps[r])) return false;
        layout->near_marks += columns->near_mark;
        cells += columns->count - 1;
        if (cells > CELLS_MOST) return false;
    }
    return true;
}

void layout_cells(Arena *arena, const Surface *surface, Layout *layout) {
    for (int r = 0; r + 1 < layout->rows.count; r++) {
        const Row *columns = &layout->columns[r];
        const Span2 row = {layout->rows.cuts[r], layout->rows.cuts[r + 1]};
        for (int c = 0; c + 1 < columns->count; c++)
            add_cell(arena, surface, (Span2){columns->cuts[c], columns->cuts[c + 1]}, row, &layout->cells);
    }
}

bool row_is_same(const Row *a, const Row *b) {
    if (a->count != b->count) return false;
    for (int i = 0; i < a->count; i++)
        if (a->cuts[i] != b->cuts[i]) return false;
    return true;
}

/* A row reaches as far as it is widest, which need not be at its seam: what of the seam both rows have is
 * where they meet, of a convex surface exactly. */
static PartSeam seam_to_row_before(const Layout *layout, int row) {
    const Row *before = &layout->columns[row - 1], *after = &layout->columns[row];
    return (PartSeam){.across = true,
                      .at_mm = layout->rows.cuts[row],
                      .from_mm = fmax(before->cuts[0], after->cuts[0]),
                      .to_mm = fmin(before->cuts[before->count - 1], after->cuts[after->count - 1])};
}

PartSeam layout_seam(const Layout *layout, int row, int i) {
    if (i == 0) return seam_to_row_before(layout, row);
    return (PartSeam){.at_mm = layout->columns[row].cuts[i],
                      .from_mm = layout->rows.cuts[row],
                      .to_mm = layout->rows.cuts[row + 1]};
}
