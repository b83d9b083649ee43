/* Surfaces that are larger than their sheets: one part, or several with seams between them (docs/geometry.md,
 * rule 81). */
#include "base/number.h"
#include "shop/split.h"

#include <math.h>

static const double HAIR_MM = 1e-6;

/* --- parts of a layout --------------------------------------------------------------------------------- */

/* What of a convex outline lies on the left of the line from a to b; `out` has room for one corner more. */
static size_t left_of(const PartPoint *corners, size_t count, PartPoint a, PartPoint b, PartPoint *out) {
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        const PartPoint p = corners[i], q = corners[(i + 1) % count];
        const double from = (b.x_mm - a.x_mm) * (p.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (p.x_mm - a.x_mm);
        const double to = (b.x_mm - a.x_mm) * (q.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (q.x_mm - a.x_mm);
        if (from >= 0) out[kept++] = p;
        if ((from >= 0) == (to >= 0)) continue;
        const double t = from / (from - to);
        out[kept++] = (PartPoint){p.x_mm + t * (q.x_mm - p.x_mm), p.y_mm + t * (q.y_mm - p.y_mm)};
    }
    return kept;
}

/* Round ones are hollows', in the ground, whose parts are convex; their slanted sides cut them off too. */
static double opening_area(const PartOpening *opening, const PartPoint *corners, size_t count, Arena *arena) {
    if (!opening->round) return opening->wide_mm * opening->tall_mm;
    const double whole = PI / 4 * opening->wide_mm * opening->tall_mm;
    const PartPoint *ellipse =
        ellipse_corners(arena, opening->x_mm, opening->y_mm, opening->wide_mm, opening->tall_mm);
    const PartPoint *inside = ellipse;
    size_t left = ELLIPSE_CORNERS;
    for (size_t i = 0; i < count && left > 0; i++) {
        PartPoint *kept = ARENA_ARRAY(arena, PartPoint, left + 2);
        left = left_of(inside, left, corners[i], corners[(i + 1) % count], kept);
        inside = kept;
    }
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
    const Span2 x = corners_extent(corners, count, true), y = corners_extent(corners, count, false);
    const double box = (x.to_mm - x.from_mm) * (y.to_mm - y.from_mm);
    return count == 4 && fabs(corners_area(corners, count) - box) <= 1e-9 * box;
}

/* In a frame whose origin is the lower left corner of its box. */
static const PartPoint *moved_to_corner(Arena *arena, const PartPoint *corners, size_t count) {
    const double left = corners_extent(corners, count, true).from_mm,
                 low = corners_extent(corners, count, false).from_mm;
    PartPoint *moved = ARENA_ARRAY(arena, PartPoint, count);
    for (size_t i = 0; i < count; i++)
        moved[i] = (PartPoint){corners[i].x_mm - left, corners[i].y_mm - low};
    return moved;
}

PartGrain surface_grain(const Cutter *cutter, const Surface *surface) {
    const Span2 x = corners_extent(surface->corners, surface->corner_count, true);
    const Span2 y = corners_extent(surface->corners, surface->corner_count, false);
    if (!cutter_has_grain(cutter)) return GRAIN_NONE;
    return x.to_mm - x.from_mm >= y.to_mm - y.from_mm ? GRAIN_ALONG_X : GRAIN_ALONG_Y;
}

/* Where a hollow does not go through, too. */
static bool is_carved(const Surface *surface, Span2 x, Span2 y) {
    for (size_t i = 0; i < surface->carving_count; i++) {
        const PartOpening *box = &surface->carvings[i];
        if (box->x_mm < x.to_mm && box->x_mm + box->wide_mm > x.from_mm && box->y_mm < y.to_mm &&
            box->y_mm + box->tall_mm > y.from_mm)
            return true;
    }
    return surface->carved;
}

Part surface_part(Arena *arena, const Cutter *cutter, const Surface *surface, const Cell *cell) {
    const Span2 x = corners_extent(cell->corners, cell->count, true);
    const Span2 y = corners_extent(cell->corners, cell->count, false);
    return (Part){.shape = is_rectangle(cell->corners, cell->count) ? PART_RECTANGLE
                           : surface->shape == PART_PROFILE         ? PART_PROFILE
                                                                    : PART_OUTLINE,
                  .wide_mm = x.to_mm - x.from_mm,
                  .tall_mm = y.to_mm - y.from_mm,
                  .finished_thick_mm = surface->finished_thick_mm,
                  .carved = is_carved(surface, x, y),
                  .outline = moved_to_corner(arena, cell->corners, cell->count),
                  .outline_count = cell->count,
                  .area_mm2 = corners_area(cell->corners, cell->count),
                  .copies = surface->copies,
                  .grain = surface_grain(cutter, surface),
                  .level = surface->level,
                  .placed = true,
                  .at_x_mm = x.from_mm,
                  .at_y_mm = y.from_mm,
                  .at_up_mm = surface->up_mm};
}

static void add_whole(Cutter *cutter, const Surface *surface) {
    const Cell cell = {surface->corners, surface->corner_count};
    Part part = surface_part(cutter->arena, cutter, surface, &cell);
    part.name = surface->label;
    part.shape = surface->shape;
    part.area_mm2 = surface->area_mm2;
    part.placed = surface->level || surface->placed;
    openings_of(cutter, surface, &part, part.outline);
    cutter_add(cutter, part);
}

static void add_seams(Cutter *cutter, const Surface *surface, const Layout *layout) {
    for (int r = 0; r + 1 < layout->rows.count; r++) {
        for (int i = r > 0 ? 0 : 1; i + 1 < layout->columns[r].count; i++) {
            PartSeam seam = layout_seam(layout, r, i);
            seam.thing = cutter->thing;
            seam.on_tables = surface->on_tables;
            seam.level = surface->level;
            seam.low_mm = surface->up_mm;
            seam.top_mm = surface->up_mm + surface->finished_thick_mm;
            LIST_PUSH(cutter->arena, cutter->parts->seams, seam);
        }
    }
}

static void add_layout(Cutter *cutter, const Surface *surface, const Layout *layout) {
    add_seams(cutter, surface, layout);
    for (size_t i = 0; i < layout->cells.count; i++) {
        Part part = surface_part(cutter->arena, cutter, surface, &layout->cells.items[i]);
        part.name = arena_format(cutter->arena, "%s%s %zu of %zu", surface->label, surface->panel, i + 1,
                                 layout->cells.count);
        openings_of(cutter, surface, &part, part.outline);
        cutter_add(cutter, part);
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

/* --- layers that are alike -------------------------------------------------------------------------------
 */

typedef LIST(PartSeam) Seams;

/* A layer as it was laid out: what that hung on, and what came of it. */
struct LaidOut {
    int thing, stock;
    Surface surface;
    Seams under;
    bool done;
    Layout layout;
};

static Seams seams_under(const Cutter *cutter, const Surface *surface) {
    Seams under = {0};
    for (size_t i = 0; i < cutter->parts->seams.count; i++)
        if (seam_lies_under(&cutter->parts->seams.items[i], surface))
            LIST_PUSH(cutter->arena, under, cutter->parts->seams.items[i]);
    return under;
}

static bool same_seams(const Seams *a, const Seams *b) {
    if (a->count != b->count) return false;
    for (size_t i = 0; i < a->count; i++) {
        const PartSeam *s = &a->items[i], *t = &b->items[i];
        if (s->across != t->across || s->at_mm != t->at_mm || s->from_mm != t->from_mm ||
            s->to_mm != t->to_mm)
            return false;
    }
    return true;
}

static bool same_surface(const Surface *a, const Surface *b) {
    if (a->shape != b->shape || a->corner_count != b->corner_count || a->area_mm2 != b->area_mm2 ||
        a->on_tables != b->on_tables || fabs(a->finished_thick_mm - b->finished_thick_mm) > HAIR_MM)
        return false;
    for (size_t i = 0; i < a->corner_count; i++)
        if (a->corners[i].x_mm != b->corners[i].x_mm || a->corners[i].y_mm != b->corners[i].y_mm)
            return false;
    return true;
}

/* Of what lies level neither its height nor what is cut out of it makes a difference. */
static bool lay_out(Cutter *cutter, const Surface *surface, Layout *layout) {
    if (!surface->level) return surface_best_layout(cutter, surface, layout);
    LaidOut now = {.thing = cutter->thing,
                   .stock = cutter->stock,
                   .surface = *surface,
                   .under = seams_under(cutter, surface)};
    for (size_t i = cutter->laid_out.count; i > 0; i--) {
        const LaidOut *before = &cutter->laid_out.items[i - 1];
        if (before->thing != now.thing) break;
        if (before->stock != now.stock || !same_surface(&before->surface, surface) ||
            !same_seams(&before->under, &now.under))
            continue;
        *layout = before->layout;
        return before->done;
    }
    now.done = surface_best_layout(cutter, surface, &now.layout);
    *layout = now.layout;
    LIST_PUSH(cutter->arena, cutter->laid_out, now);
    return now.done;
}

void cut_surface(Cutter *cutter, const Surface *surface) {
    const Span2 x = corners_extent(surface->corners, surface->corner_count, true);
    const Span2 y = corners_extent(surface->corners, surface->corner_count, false);
    const Size2 box = {x.to_mm - x.from_mm, y.to_mm - y.from_mm};
    Layout layout = {0};
    if (box.wide_mm <= HAIR_MM || box.tall_mm <= HAIR_MM) return;
    if (cutter_fits(cutter, box.wide_mm, box.tall_mm))
        add_whole(cutter, surface);
    else if (cutter->it->whole || !lay_out(cutter, surface, &layout))
        too_large(cutter, surface, box);
    else
        add_layout(cutter, surface, &layout);
}
