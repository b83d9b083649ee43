/* Surfaces that are larger than their sheets: seams, straight across or square to that, so that every part
 * fits (docs/geometry.md, rule 81). */
#include "base/number.h"
#include "shop/cutter.h"
#include "shop/cutting.h"

#include <math.h>

enum {
    SEAMS_MOST = 200,
    KEEPS_MOST = 64,
    CELLS_MOST = 400,
    NESTED_MOST = 40,
    MARK_WORTH = 1000,
    HEAVY_WORTH = 100
};
static const double HAIR_MM = 1e-6;
/* A first look tells layouts apart. */
static const double LAYOUT_EFFORT = 0.002;
/* Of things that do not lie on the set: beside a window's edge (common practice, no source). */
static const double SEAM_FROM_OPENING_MM = 25.4;

/* Where no seam may be, along one direction. */
typedef struct Keeps {
    struct {
        double from_mm, to_mm;
    } items[KEEPS_MOST];
    int count;
} Keeps;

typedef struct Row {
    bool near_mark; /* no seams were found that keep from the marks */
    double cuts[SEAMS_MOST + 2];
    int count; /* of cuts, both ends included */
} Row;

/* A way to split: rows from near to far, each with its own cuts. */
typedef struct Layout {
    Row rows;
    Row *columns; /* as many as rows has spaces */
    int cells;
    int near_marks; /* rows and columns whose seams do not keep from the marks */
} Layout;

typedef struct Span2 {
    double from_mm, to_mm;
} Span2;

static void keep(Keeps *keeps, double from_mm, double to_mm) {
    if (keeps->count == KEEPS_MOST) return;
    keeps->items[keeps->count].from_mm = from_mm;
    keeps->items[keeps->count++].to_mm = to_mm;
}

static bool is_kept(const Keeps *keeps, double at_mm) {
    for (int i = 0; i < keeps->count; i++)
        if (at_mm > keeps->items[i].from_mm + HAIR_MM && at_mm < keeps->items[i].to_mm - HAIR_MM) return true;
    return false;
}

/* The place in [low, high] that is nearest to the wanted one and free. */
static bool free_place(const Keeps *keeps, double low_mm, double high_mm, double wanted_mm, double step_mm,
                       double *at_mm) {
    double nearest = INFINITY;
    double tried[3 + 2 * KEEPS_MOST];
    int count = 0;
    tried[count++] = number_round(wanted_mm, step_mm);
    tried[count++] = number_round_up(low_mm, step_mm);
    tried[count++] = number_round_down(high_mm, step_mm);
    for (int i = 0; i < keeps->count; i++) {
        tried[count++] = number_round_down(keeps->items[i].from_mm, step_mm);
        tried[count++] = number_round_up(keeps->items[i].to_mm, step_mm);
    }
    for (int i = 0; i < count; i++) {
        const double away = fabs(tried[i] - wanted_mm);
        if (tried[i] < low_mm - HAIR_MM || tried[i] > high_mm + HAIR_MM || is_kept(keeps, tried[i]) ||
            away >= nearest - HAIR_MM)
            continue;
        nearest = away;
        *at_mm = tried[i];
    }
    return isfinite(nearest);
}

/* Spaces that are alike, or all as long as they can be but the last, or but the first. */
typedef enum Spacing { SPACES_EVEN, SPACES_LONG_FIRST, SPACES_LONG_LAST, SPACINGS } Spacing;
enum { LAYOUTS = 2 * SPACINGS * SPACINGS }; /* by both ways of laying sheets */

static double wanted_place(Span2 span, double most_mm, int spaces, int i, Spacing spacing) {
    if (spacing == SPACES_LONG_FIRST) return span.from_mm + i * most_mm;
    if (spacing == SPACES_LONG_LAST) return span.to_mm - (spaces - i) * most_mm;
    return span.from_mm + (span.to_mm - span.from_mm) * i / spaces;
}

/* Cuts so that no space is over `most_mm`, with so many spaces. */
static bool cuts_of(Row *row, Span2 span, double most_mm, int spaces, Spacing spacing, const Keeps *keeps,
                    double step_mm) {
    const double least_mm = fmin(OFFCUT_KEPT_MM, (span.to_mm - span.from_mm) / spaces / 2); /* no slivers */
    row->count = 0;
    row->cuts[row->count++] = span.from_mm;
    for (int i = 1; i < spaces; i++) {
        const double before = row->cuts[row->count - 1];
        const double low = fmax(before + least_mm, span.to_mm - (spaces - i) * most_mm);
        const double high = fmin(before + most_mm, span.to_mm - (spaces - i) * least_mm);
        const double wanted = wanted_place(span, most_mm, spaces, i, spacing);
        double at;
        if (!free_place(keeps, low, high, fmin(fmax(wanted, low), high), step_mm, &at)) return false;
        row->cuts[row->count++] = at;
    }
    row->cuts[row->count++] = span.to_mm;
    return true;
}

/* The fewest spaces; what should be kept clear is given up before one more is made, the marks only after
 * that. */
static bool split_span(Row *row, Span2 span, double most_mm, Spacing spacing, int more, const Keeps *marks,
                       const Keeps *all, double step_mm) {
    static const Keeps nothing = {.count = 0};
    const double long_mm = span.to_mm - span.from_mm;
    const int least = more + (int)fmin(ceil(long_mm / most_mm - HAIR_MM), SEAMS_MOST + 1);
    const double step = fmin(step_mm, most_mm / 16); /* whole cuts, where sheets are not tiny */
    row->near_mark = false;
    if (least > SEAMS_MOST) return false;
    for (int spaces = least < 1 ? 1 : least; spaces <= least + 1 && spaces <= SEAMS_MOST; spaces++) {
        if (cuts_of(row, span, most_mm, spaces, spacing, all, step)) return true;
        if (cuts_of(row, span, most_mm, spaces, spacing, marks, step)) return true;
    }
    row->near_mark = true;
    return cuts_of(row, span, most_mm, least, spacing, &nothing, step) ||
           cuts_of(row, span, most_mm, least, spacing, &nothing, 1e-3);
}

static Span2 extent(const PartPoint *corners, size_t count, bool of_x) {
    Span2 span = {INFINITY, -INFINITY};
    for (size_t i = 0; i < count; i++) {
        const double at = of_x ? corners[i].x_mm : corners[i].y_mm;
        span.from_mm = fmin(span.from_mm, at);
        span.to_mm = fmax(span.to_mm, at);
    }
    return span;
}

/* Seams keep from the marks where the surface lies on the set; those of the ground from those under it, too.
 * From openings, on a thing. */
static void keeps_along(const Cutter *cutter, const Surface *surface, bool rows, Span2 row, Keeps *marks,
                        Keeps *all) {
    const Plan *plan = cutter->plan;
    marks->count = 0;
    for (size_t s = 0; surface->level && s < plan->shot_count; s++) {
        const Point3 mark = plan->shots[s].mark;
        const double at = rows ? mark.back_mm : mark.across_mm;
        if (!rows &&
            (mark.back_mm < row.from_mm - SEAM_FROM_MARK_MM || mark.back_mm > row.to_mm + SEAM_FROM_MARK_MM))
            continue;
        keep(marks, at - SEAM_FROM_MARK_MM, at + SEAM_FROM_MARK_MM);
    }
    *all = *marks;
    for (size_t i = 0; surface->level && i < cutter->parts->seams.count; i++) {
        const PartSeam *seam = &cutter->parts->seams.items[i];
        const bool meets = rows || (seam->from_mm < row.to_mm && seam->to_mm > row.from_mm);
        if (seam->across == rows && meets)
            keep(all, seam->at_mm - SEAM_FROM_MARK_MM, seam->at_mm + SEAM_FROM_MARK_MM);
    }
    for (size_t i = 0; !surface->level && i < surface->opening_count; i++) {
        const PartOpening *opening = &surface->openings[i];
        const double from = rows ? opening->y_mm : opening->x_mm;
        const double to = from + (rows ? opening->tall_mm : opening->wide_mm);
        keep(all, from - SEAM_FROM_OPENING_MM, to + SEAM_FROM_OPENING_MM);
    }
}

/* Rows as deep as `most.tall`, each cut into spaces as wide as `most.wide`. */
static bool lay_out(const Cutter *cutter, const Surface *surface, Size2 most, Spacing rows, Spacing columns,
                    int more_rows, Layout *layout) {
    const double step = cutter->plan->cut_mm;
    Keeps marks, all;
    keeps_along(cutter, surface, true, (Span2){0}, &marks, &all);
    const Span2 deep = extent(surface->corners, surface->corner_count, false);
    if (!split_span(&layout->rows, deep, most.tall_mm, rows, more_rows, &marks, &all, step)) return false;
    layout->columns = ARENA_ARRAY(cutter->arena, Row, layout->rows.count - 1);
    layout->cells = 0;
    layout->near_marks = layout->rows.near_mark;
    for (int r = 0; r + 1 < layout->rows.count; r++) {
        const Span2 row = {layout->rows.cuts[r], layout->rows.cuts[r + 1]};
        PartPoint *strip = ARENA_ARRAY(cutter->arena, PartPoint, surface->corner_count + 4);
        const size_t count = corners_in_box(surface->corners, surface->corner_count, -INFINITY, row.from_mm,
                                            INFINITY, row.to_mm, strip);
        keeps_along(cutter, surface, false, row, &marks, &all);
        if (!split_span(&layout->columns[r], extent(strip, count, true), most.wide_mm, columns, 0, &marks,
                        &all, step))
            return false;
        layout->cells += layout->columns[r].count - 1;
        layout->near_marks += layout->columns[r].near_mark;
    }
    return layout->cells <= CELLS_MOST;
}

/* --- parts of a layout --------------------------------------------------------------------------------- */

static const char *name_of(const Cutter *cutter, const Surface *surface, int number, int of) {
    if (of == 1) return surface->label;
    return arena_format(cutter->arena, "%s%s %d of %d", surface->label, surface->panel, number, of);
}

static double opening_area(const PartOpening *opening, const PartPoint *corners, size_t count, Arena *arena) {
    if (!opening->round) return opening->wide_mm * opening->tall_mm;
    const double whole = PI / 4 * opening->wide_mm * opening->tall_mm;
    const PartPoint *ellipse =
        ellipse_corners(arena, opening->x_mm, opening->y_mm, opening->wide_mm, opening->tall_mm);
    const Span2 x = extent(corners, count, true), y = extent(corners, count, false);
    PartPoint *inside = ARENA_ARRAY(arena, PartPoint, ELLIPSE_CORNERS + 4);
    const size_t left =
        corners_in_box(ellipse, ELLIPSE_CORNERS, x.from_mm, y.from_mm, x.to_mm, y.to_mm, inside);
    return whole * corners_area(inside, left) / corners_area(ellipse, ELLIPSE_CORNERS);
}

/* The openings of a surface as far as they are in a box, in that box's frame. */
static void openings_of(const Cutter *cutter, const Surface *surface, Part *part, const PartPoint *corners) {
    PartOpening *openings = ARENA_ARRAY(cutter->arena, PartOpening, surface->opening_count);
    for (size_t i = 0; i < surface->opening_count; i++) {
        PartOpening opening = surface->openings[i];
        opening.x_mm -= part->at_x_mm;
        opening.y_mm -= part->at_y_mm;
        double left = fmax(opening.x_mm, 0), low = fmax(opening.y_mm, 0);
        const double right = fmin(opening.x_mm + opening.wide_mm, part->wide_mm);
        const double high = fmin(opening.y_mm + opening.tall_mm, part->tall_mm);
        if (right <= left + HAIR_MM || high <= low + HAIR_MM) continue;
        if (!opening.round) {
            opening.x_mm = left;
            opening.y_mm = low;
            opening.wide_mm = right - left;
            opening.tall_mm = high - low;
        }
        part->area_mm2 -= opening_area(&opening, corners, part->outline_count, cutter->arena);
        openings[part->opening_count++] = opening;
    }
    part->openings = openings;
}

static bool is_rectangle(const PartPoint *corners, size_t count) {
    const Span2 x = extent(corners, count, true), y = extent(corners, count, false);
    const double box = (x.to_mm - x.from_mm) * (y.to_mm - y.from_mm);
    return count == 4 && fabs(corners_area(corners, count) - box) <= 1e-9 * box;
}

/* In a frame whose origin is the lower left corner of its box. */
static const PartPoint *moved_to_corner(Arena *arena, const PartPoint *corners, size_t count) {
    const double left = extent(corners, count, true).from_mm, low = extent(corners, count, false).from_mm;
    PartPoint *moved = ARENA_ARRAY(arena, PartPoint, count);
    for (size_t i = 0; i < count; i++)
        moved[i] = (PartPoint){corners[i].x_mm - left, corners[i].y_mm - low};
    return moved;
}

/* Along the longer side of the whole, so that it runs the same way in all of its parts. */
static PartGrain grain_of(const Cutter *cutter, const Surface *surface) {
    const Span2 x = extent(surface->corners, surface->corner_count, true);
    const Span2 y = extent(surface->corners, surface->corner_count, false);
    if (!cutter_has_grain(cutter)) return GRAIN_NONE;
    return x.to_mm - x.from_mm >= y.to_mm - y.from_mm ? GRAIN_ALONG_X : GRAIN_ALONG_Y;
}

static void add_cell(Cutter *cutter, const Surface *surface, const PartPoint *corners, size_t count,
                     int number, int of) {
    const Span2 x = extent(corners, count, true), y = extent(corners, count, false);
    const PartPoint *outline = moved_to_corner(cutter->arena, corners, count);
    Part part = {.name = name_of(cutter, surface, number, of),
                 .shape = of == 1                        ? surface->shape
                          : is_rectangle(corners, count) ? PART_RECTANGLE
                                                         : PART_OUTLINE,
                 .wide_mm = x.to_mm - x.from_mm,
                 .tall_mm = y.to_mm - y.from_mm,
                 .finished_thick_mm = surface->finished_thick_mm,
                 .outline = outline,
                 .outline_count = count,
                 .area_mm2 = of == 1 ? surface->area_mm2 : corners_area(corners, count),
                 .copies = surface->copies,
                 .grain = grain_of(cutter, surface),
                 .level = surface->level,
                 .placed = surface->level || of > 1 || surface->placed,
                 .at_x_mm = x.from_mm,
                 .at_y_mm = y.from_mm,
                 .at_up_mm = surface->up_mm};
    openings_of(cutter, surface, &part, outline);
    cutter_add(cutter, part);
}

static void add_seams(Cutter *cutter, const Layout *layout) {
    Parts *parts = cutter->parts;
    for (int r = 0; r + 1 < layout->rows.count; r++) {
        const Row *columns = &layout->columns[r];
        const double near = layout->rows.cuts[r], far = layout->rows.cuts[r + 1];
        if (r > 0)
            LIST_PUSH(
                cutter->arena, parts->seams,
                (PartSeam){cutter->thing, true, near, columns->cuts[0], columns->cuts[columns->count - 1]});
        for (int c = 1; c + 1 < columns->count; c++)
            LIST_PUSH(cutter->arena, parts->seams,
                      (PartSeam){cutter->thing, false, columns->cuts[c], near, far});
    }
}

/* Corners of one cell of a layout; under three: it is empty. */
static size_t cell_of(const Surface *surface, const Layout *layout, int row, int column, PartPoint *cell) {
    const Row *columns = &layout->columns[row];
    return corners_in_box(surface->corners, surface->corner_count, columns->cuts[column],
                          layout->rows.cuts[row], columns->cuts[column + 1], layout->rows.cuts[row + 1],
                          cell);
}

static void add_layout(Cutter *cutter, const Surface *surface, const Layout *layout) {
    PartPoint *cell = ARENA_ARRAY(cutter->arena, PartPoint, surface->corner_count + 4);
    int number = 0;
    add_seams(cutter, layout);
    for (int r = 0; r + 1 < layout->rows.count; r++) {
        const Row *columns = &layout->columns[r];
        for (int c = 0; c + 1 < columns->count; c++) {
            const size_t count =
                corners_in_box(surface->corners, surface->corner_count, columns->cuts[c],
                               layout->rows.cuts[r], columns->cuts[c + 1], layout->rows.cuts[r + 1], cell);
            if (count >= 3) add_cell(cutter, surface, cell, count, ++number, layout->cells);
        }
    }
}

/* --- a surface ----------------------------------------------------------------------------------------- */

static void too_large(Cutter *cutter, const Surface *surface, Size2 box) {
    if (cutter->faulty) return;
    const Stock *stock = &cutter->plan->scene->stocks[cutter->stock];
    const Thing *it = cutter->it;
    Diagnostic *d = diagnostics_error(
        cutter->diagnostics, it->whole ? it->whole_span : it->stock_span,
        it->whole ? "`%s` is %s by %s, which is more than any sheet of `%s`, and is not to be split"
                  : "`%s` is %s by %s: that would take too many sheets of `%s`",
        surface->label, cutter_said(cutter, box.wide_mm), cutter_said(cutter, box.tall_mm), stock->name);
    diagnostic_note(cutter->diagnostics, d, stock->span, "its sheets");
    diagnostic_help(cutter->diagnostics, d,
                    it->whole
                        ? "leave `split: off` out, and it is cut in several parts; or name a stock with "
                          "larger sheets"
                        : "name a stock with larger sheets");
    cutter->faulty = true;
}

/* How many sheets a layout takes by itself. */
static int sheets_of(const Cutter *cutter, const Surface *surface, const Layout *layout) {
    const Stock *stock = &cutter->plan->scene->stocks[cutter->stock];
    NestItem *items = ARENA_ARRAY(cutter->arena, NestItem, layout->cells);
    PartPoint *cell = ARENA_ARRAY(cutter->arena, PartPoint, surface->corner_count + 4);
    NestTask task = {.items = items,
                     .whole = {.wide_mm = cutter->sizes[0].wide_mm, .tall_mm = cutter->sizes[0].tall_mm},
                     .kerf_mm = cutter->plan->known[stock->kerf] ? cutter->plan->values[stock->kerf] : 0,
                     .keep_mm = OFFCUT_KEPT_MM,
                     .effort = LAYOUT_EFFORT};
    for (int r = 0; r + 1 < layout->rows.count; r++) {
        for (int c = 0; c + 1 < layout->columns[r].count; c++) {
            const size_t count = cell_of(surface, layout, r, c, cell);
            if (count < 3) continue;
            const Part part = {.shape = PART_OUTLINE,
                               .wide_mm = extent(cell, count, true).to_mm - extent(cell, count, true).from_mm,
                               .tall_mm =
                                   extent(cell, count, false).to_mm - extent(cell, count, false).from_mm,
                               .outline = moved_to_corner(cutter->arena, cell, count),
                               .outline_count = count,
                               .grain = grain_of(cutter, surface),
                               .copies = 1};
            items[task.item_count++] = part_to_nest(&part);
        }
    }
    return nest_parts(cutter->arena, &task)->new_count;
}

/* Parts that weigh more than one person carries, where the book says how much that is. */
static int heavy_parts(const Cutter *cutter, const Surface *surface, const Layout *layout) {
    const Plan *plan = cutter->plan;
    const int carry = plan->scene->carry;
    const double area_kg = cutter_area_weight(cutter, surface->finished_thick_mm); /* of a square metre */
    if (!plan->scene->slots[carry].stated || !plan->known[carry] || isnan(area_kg)) return 0;
    PartPoint *cell = ARENA_ARRAY(cutter->arena, PartPoint, surface->corner_count + 4);
    int heavy = 0;
    for (int r = 0; r + 1 < layout->rows.count; r++) {
        for (int c = 0; c + 1 < layout->columns[r].count; c++) {
            const size_t count = cell_of(surface, layout, r, c, cell);
            heavy += count >= 3 && corners_area(cell, count) * 1e-6 * area_kg > plan->values[carry];
        }
    }
    return heavy;
}

/* Both ways of laying sheets, and rows and columns that are even or as long as sheets: the fewest sheets, of
 * which one is worth two parts. */
static bool best_layout(const Cutter *cutter, const Surface *surface, Layout *best) {
    const PartGrain grain = grain_of(cutter, surface); /* along the sheet's length */
    const Size2 sheet = cutter->sizes[0];
    const int bound = (int)fmin(ceil(surface->area_mm2 / (sheet.wide_mm * sheet.tall_mm) - HAIR_MM), 1e6);
    int least = 0;
    for (int i = 0; i < 2 * LAYOUTS; i++) {
        const int more_rows = i / LAYOUTS;
        if (more_rows > 0 && least > 0 && least < HEAVY_WORTH) break; /* only where parts are too heavy */
        const bool turned = i % 2 == 1;
        const Spacing rows = (Spacing)(i / 2 / SPACINGS % SPACINGS), columns = (Spacing)(i / 2 % SPACINGS);
        Size2 most = cutter->sizes[0];
        Layout layout = {0};
        if (grain != GRAIN_NONE && (grain == GRAIN_ALONG_X) != turned) continue;
        if (turned) most = (Size2){most.tall_mm, most.wide_mm};
        if (!lay_out(cutter, surface, most, rows, columns, more_rows, &layout)) continue;
        int worth = layout.cells + MARK_WORTH * layout.near_marks;
        worth += HEAVY_WORTH * heavy_parts(cutter, surface, &layout);
        if (least > 0 && worth + 2 * bound >= least) continue;
        if (layout.cells <= NESTED_MOST) worth += 2 * sheets_of(cutter, surface, &layout);
        if (least > 0 && worth >= least) continue;
        least = worth;
        *best = layout;
    }
    return least > 0;
}

void cut_surface(Cutter *cutter, const Surface *surface) {
    const Span2 x = extent(surface->corners, surface->corner_count, true);
    const Span2 y = extent(surface->corners, surface->corner_count, false);
    const Size2 box = {x.to_mm - x.from_mm, y.to_mm - y.from_mm};
    Layout layout = {0};
    if (box.wide_mm <= HAIR_MM || box.tall_mm <= HAIR_MM) return;
    if (cutter_fits(cutter, box.wide_mm, box.tall_mm))
        add_cell(cutter, surface, surface->corners, surface->corner_count, 1, 1);
    else if (cutter->it->whole || !best_layout(cutter, surface, &layout))
        too_large(cutter, surface, box);
    else
        add_layout(cutter, surface, &layout);
}
