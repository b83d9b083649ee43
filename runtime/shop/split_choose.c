/* Which of the ways to split a surface is taken. */
#include "plan/holes.h"
#include "plan/room.h"
#include "plan/table_seams.h"
#include "shop/cutting.h"
#include "shop/split.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { NESTED_MOST = 40, SHARES_COUNT = 11 };
static const Size2 ANY_SIZE = {INFINITY, INFINITY};
/* A first look tells layouts apart. */
static const double LAYOUT_EFFORT = 0.002;
/* What is narrower than this is a sliver (12 in; common practice, no source); on small sheets, than half of
 * one. */
static const double SLIVER_MM = 304.8;
static const double SHARES[SHARES_COUNT] = {0, 1, -1, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75, 0.875, -0.875};

/* What is compared, the first first; less is better. */
typedef enum Criterion {
    NEAR_MARKS,
    NOT_IN,      /* tenths of the surface in parts that do not go through the door */
    TOO_HEAVY,   /* tenths of it in parts that weigh more than one person carries */
    MORE_SHEETS, /* than it takes where nothing is asked of seams that lie under it */
    OVER_SEAMS,  /* seams along one of the layer under it, where that is asked */
    COST,        /* parts, and twice the sheets */
    SHEETS,      /* the fewest parts come to the same cost with more of these */
    OFF_TABLES,  /* seams that no table bears */
    AT_HOLES,    /* holes that a seam is too near to */
    SLIMNESS,    /* how much narrower the narrowest part is than what is no sliver, mm */
    CRITERIA
} Criterion;

typedef struct Candidate {
    Layout layout;
    int order; /* in which they are thought of */
    long rank[CRITERIA];
} Candidate;

typedef struct Chooser {
    Arena *arena; /* until the choice is made */
    const Cutter *cutter;
    const Surface *surface;
    int bound;       /* sheets, by area */
    int sheets_most; /* once it is asked that seams do not lie in line; else 0 */
    LIST(Candidate) tried;
} Chooser;

static int compare_ranks(const long *a, const long *b) {
    for (int i = 0; i < CRITERIA; i++)
        if (a[i] != b[i]) return a[i] < b[i] ? -1 : 1;
    return 0;
}

static int compare_candidates(const void *a, const void *b) {
    const Candidate *first = a, *second = b;
    const int by_rank = compare_ranks(first->rank, second->rank);
    return by_rank != 0 ? by_rank : (first->order > second->order) - (first->order < second->order);
}

/* --- what a layout is worth ---------------------------------------------------------------------------- */

static double stated(const Cutter *cutter, int slot) {
    return cutter->plan->scene->slots[slot].stated && cutter->plan->known[slot] ? cutter->plan->values[slot]
                                                                                : NAN;
}

static bool is_too_heavy(const Cutter *cutter, const Surface *surface, double area_mm2) {
    const double carry = stated(cutter, cutter->plan->scene->carry);
    const double area_kg = cutter_area_weight(cutter, surface->finished_thick_mm); /* of a square metre */
    return area_mm2 * 1e-6 * area_kg > carry; /* false where either is not stated */
}

/* Never where no door is stated. */
static bool stays_out(const Cutter *cutter, const Surface *surface, Size2 box) {
    const Scene *scene = cutter->plan->scene;
    const double wide = stated(cutter, scene->door_wide), tall = stated(cutter, scene->door_tall);
    if (isnan(wide) || isnan(tall)) return false;
    const double thick = cutter_sheet_mm(cutter, surface->finished_thick_mm);
    return !passes_door(box.wide_mm, box.tall_mm, thick, wide, tall);
}

static Size2 box_of(const Cell *cell) {
    const Span2 x = corners_extent(cell->corners, cell->count, true);
    const Span2 y = corners_extent(cell->corners, cell->count, false);
    return (Size2){x.to_mm - x.from_mm, y.to_mm - y.from_mm};
}

/* A part's mean width is its area over its longer side. */
static long slimness(const Cutter *cutter, const Cell *cell) {
    const Size2 box = box_of(cell), sheet = cutter->sizes[0];
    const double wanted = fmin(SLIVER_MM, fmin(sheet.wide_mm, sheet.tall_mm) / 2);
    const double width = corners_area(cell->corners, cell->count) / fmax(box.wide_mm, box.tall_mm);
    return (long)ceil(fmax(wanted - width, 0) - 0.01);
}

static long off_tables(const Chooser *c, const Layout *layout) {
    long off = 0;
    if (!c->surface->on_tables) return 0;
    Arena *scratch = arena_new(); /* ways are many */
    for (int r = 0; r + 1 < layout->rows.count; r++) {
        for (int i = r > 0 ? 0 : 1; i + 1 < layout->columns[r].count; i++) {
            const PartSeam seam = layout_seam(layout, r, i);
            off += seam_no_bed(scratch, c->cutter->tables, &seam) != NULL;
        }
    }
    arena_free(scratch);
    return off;
}

static bool lies_along(const PartSeam *a, const PartSeam *b) {
    return a->across == b->across && fabs(a->at_mm - b->at_mm) < SEAM_FROM_MARK_MM - 1e-6 &&
           fmax(a->from_mm, b->from_mm) < fmin(a->to_mm, b->to_mm);
}

/* Seams along one of the layer under it. */
static long over_seams(const Chooser *c, const Layout *layout) {
    const Parts *parts = c->cutter->parts;
    long over = 0;
    for (int r = 0; r + 1 < layout->rows.count; r++) {
        for (int i = r > 0 ? 0 : 1; i + 1 < layout->columns[r].count; i++) {
            const PartSeam seam = layout_seam(layout, r, i);
            bool along = false;
            for (size_t k = 0; k < parts->seams.count && !along; k++)
                along = seam_lies_under(&parts->seams.items[k], c->surface) &&
                        lies_along(&seam, &parts->seams.items[k]);
            over += along;
        }
    }
    return over;
}

/* The board that lies on the tables, and is drilled for what is held to it. */
static bool is_drilled(const Cutter *cutter) {
    return cutter->thing == (cutter->plan->base >= 0 ? cutter->plan->base : cutter->plan->ground);
}

static long at_holes(const Chooser *c, const Layout *layout) {
    const Cutter *cutter = c->cutter;
    long at = 0;
    if (!is_drilled(cutter)) return 0;
    for (size_t h = 0; h < cutter->fixings.points.count; h++) {
        const Point3 hole = cutter->fixings.points.items[h].at;
        bool near = false;
        for (int r = 0; r + 1 < layout->rows.count && !near; r++) {
            for (int i = r > 0 ? 0 : 1; i + 1 < layout->columns[r].count && !near; i++) {
                const PartSeam seam = layout_seam(layout, r, i);
                near = seam_from_hole_mm(&seam, hole) < HOLE_FROM_SEAM_MM - 1e-6;
            }
        }
        at += near;
    }
    return at;
}

/* None only where there is none; the same parts come to the same number in whatever order they were added. */
static long in_tenths(const Surface *surface, double area_mm2) {
    return (long)ceil(10 * area_mm2 / surface->area_mm2 - 1e-6);
}

/* All but the sheets, which are taken for as few as their area allows. */
static void rank_first(const Chooser *c, Candidate *it) {
    const Cells *cells = &it->layout.cells;
    double too_heavy = 0, not_in = 0;
    memset(it->rank, 0, sizeof it->rank);
    it->rank[NEAR_MARKS] = it->layout.near_marks;
    for (size_t i = 0; i < cells->count; i++) {
        const Cell *cell = &cells->items[i];
        const double area = corners_area(cell->corners, cell->count);
        const long slim = slimness(c->cutter, cell);
        if (is_too_heavy(c->cutter, c->surface, area)) too_heavy += area;
        if (stays_out(c->cutter, c->surface, box_of(cell))) not_in += area;
        if (slim > it->rank[SLIMNESS]) it->rank[SLIMNESS] = slim;
    }
    it->rank[NOT_IN] = in_tenths(c->surface, not_in);
    it->rank[TOO_HEAVY] = in_tenths(c->surface, too_heavy);
    it->rank[SHEETS] = c->bound;
    it->rank[COST] = (long)cells->count + 2 * it->rank[SHEETS];
    it->rank[OVER_SEAMS] = c->sheets_most > 0 ? over_seams(c, &it->layout) : 0;
    it->rank[OFF_TABLES] = off_tables(c, &it->layout);
    it->rank[AT_HOLES] = at_holes(c, &it->layout);
}

/* How many sheets a layout takes by itself. */
static void count_sheets(const Chooser *c, Candidate *it) {
    const Cells *cells = &it->layout.cells;
    const Cutter *cutter = c->cutter;
    const int kerf = cutter->plan->scene->stocks[cutter->stock].kerf;
    if (cells->count > NESTED_MOST) return;
    NestItem *items = ARENA_ARRAY(c->arena, NestItem, cells->count);
    NestTask task = {.items = items,
                     .item_count = (int)cells->count,
                     .whole = {.wide_mm = cutter->sizes[0].wide_mm, .tall_mm = cutter->sizes[0].tall_mm},
                     .kerf_mm = cutter->plan->known[kerf] ? cutter->plan->values[kerf] : 0,
                     .keep_mm = OFFCUT_KEPT_MM,
                     .effort = LAYOUT_EFFORT};
    for (size_t i = 0; i < cells->count; i++) {
        const Part part = surface_part(c->arena, cutter, c->surface, &cells->items[i]);
        items[i] = part_to_nest(&part);
        items[i].copies = 1;
    }
    it->rank[SHEETS] = nest_parts(c->arena, &task)->new_count;
    if (c->sheets_most > 0) it->rank[MORE_SHEETS] = (long)fmax(0, (double)it->rank[SHEETS] - c->sheets_most);
    it->rank[COST] = (long)cells->count + 2 * it->rank[SHEETS];
}

/* --- ways ---------------------------------------------------------------------------------------------- */

static bool same_layout(const Layout *a, const Layout *b) {
    if (!row_is_same(&a->rows, &b->rows)) return false;
    for (int r = 0; r + 1 < a->rows.count; r++)
        if (!row_is_same(&a->columns[r], &b->columns[r])) return false;
    return true;
}

static void try_layout(Chooser *c, const Layout *layout) {
    Candidate it = {.order = (int)c->tried.count, .layout = *layout};
    for (size_t i = 0; i < c->tried.count; i++)
        if (same_layout(&c->tried.items[i].layout, layout)) return;
    layout_cells(c->arena, c->surface, &it.layout);
    rank_first(c, &it);
    LIST_PUSH(c->arena, c->tried, it);
}

/* Until no row has more than one column: then one way is like any other. */
static void try_columns(Chooser *c, const Sharing *sharing, const Rows *rows) {
    for (int i = 0; i < SHARES_COUNT; i++) {
        Layout layout;
        bool any = false;
        if (!surface_columns(c->arena, c->cutter, sharing, rows, SHARES[i], &layout)) continue;
        try_layout(c, &layout);
        for (int r = 0; r + 1 < layout.rows.count; r++)
            any |= layout.columns[r].count > 2;
        if (!any) return;
    }
}

static void try_rows(Chooser *c, const Sharing *sharing) {
    Rows tried[SHARES_COUNT];
    int count = 0;
    for (int i = 0; i < SHARES_COUNT; i++) {
        Rows *rows = &tried[count];
        bool again = false;
        if (!surface_rows(c->arena, c->cutter, c->surface, sharing, SHARES[i], rows)) continue;
        for (int k = 0; k < count; k++)
            again |= row_is_same(&tried[k].row, &rows->row);
        if (again) continue;
        surface_each_row(c->arena, c->cutter, c->surface, rows);
        try_columns(c, sharing, rows);
        count++;
    }
}

/* Every way of sharing out. What is kept from may cost a sheet, so ways are tried too that keep from less, as
 * far as keeping from it is compared. */
static void try_sharings(Chooser *c, Size2 most, int more_rows, int more_columns) {
    for (int k = KEEPS_TABLES; k >= (is_drilled(c->cutter) ? KEEPS_SEAMS : KEEPS_TABLES); k--)
        try_rows(c, &(Sharing){.most = most,
                               .more_rows = more_rows,
                               .more_columns = more_columns,
                               .strictly = (KeepsOf)k});
}

/* Both ways of laying sheets. No cell is to be larger than `within`. */
static void try_layouts(Chooser *c, Size2 within, int more_rows, int more_columns) {
    const PartGrain grain = surface_grain(c->cutter, c->surface); /* along the sheet's length */
    for (int turned = 0; turned < 2; turned++) {
        Size2 most = c->cutter->sizes[0];
        if (grain != GRAIN_NONE && (grain == GRAIN_ALONG_X) != (turned == 1)) continue;
        if (turned) most = (Size2){most.tall_mm, most.wide_mm};
        most = (Size2){fmin(most.wide_mm, within.wide_mm), fmin(most.tall_mm, within.tall_mm)};
        try_sharings(c, most, more_rows, more_columns);
    }
}

/* Where parts are too heavy, or stay before the door: one more row, or none larger than the door is tall. */
static void try_smaller(Chooser *c) {
    const Scene *scene = c->cutter->plan->scene;
    const double door = fmax(stated(c->cutter, scene->door_wide), stated(c->cutter, scene->door_tall));
    try_layouts(c, ANY_SIZE, 1, 0);
    if (isnan(door)) return;
    try_layouts(c, (Size2){door, INFINITY}, 0, 0);
    try_layouts(c, (Size2){INFINITY, door}, 0, 0);
}

/* Those are nested that may turn out better than the best so far. */
static const Candidate *best_of(Chooser *c) {
    const Candidate *best = NULL;
    if (c->tried.count > 0) qsort(c->tried.items, c->tried.count, sizeof *c->tried.items, compare_candidates);
    for (size_t i = 0; i < c->tried.count; i++) {
        Candidate *it = &c->tried.items[i];
        if (best && compare_ranks(it->rank, best->rank) >= 0) break;
        count_sheets(c, it);
        if (!best || compare_ranks(it->rank, best->rank) < 0) best = it;
    }
    return best;
}

/* Where seams would lie along those under them: one more row or column, as long as that takes no more sheets.
 */
static const Candidate *best_over_seams(Chooser *c, const Candidate *found) {
    if (over_seams(c, &found->layout) == 0) return found;
    c->sheets_most = (int)fmax(1, (double)found->rank[SHEETS]);
    try_layouts(c, ANY_SIZE, 1, 0);
    try_layouts(c, ANY_SIZE, 0, 1);
    for (size_t i = 0; i < c->tried.count; i++)
        rank_first(c, &c->tried.items[i]);
    return best_of(c);
}

static Row copy_of(Arena *arena, const Row *row) {
    Row copy = *row;
    copy.cuts = ARENA_ARRAY(arena, double, row->count);
    for (int i = 0; i < row->count; i++)
        copy.cuts[i] = row->cuts[i];
    return copy;
}

static void keep_layout(Arena *arena, const Layout *from, Layout *to) {
    const int rows = from->rows.count - 1;
    *to = (Layout){.rows = copy_of(arena, &from->rows),
                   .columns = ARENA_ARRAY(arena, Row, rows),
                   .near_marks = from->near_marks};
    for (int r = 0; r < rows; r++)
        to->columns[r] = copy_of(arena, &from->columns[r]);
    for (size_t i = 0; i < from->cells.count; i++) {
        const Cell *cell = &from->cells.items[i];
        PartPoint *corners = ARENA_ARRAY(arena, PartPoint, cell->count);
        for (size_t k = 0; k < cell->count; k++)
            corners[k] = cell->corners[k];
        LIST_PUSH(arena, to->cells, (Cell){corners, cell->count});
    }
}

bool surface_best_layout(const Cutter *cutter, const Surface *surface, Layout *best) {
    const Size2 sheet = cutter->sizes[0];
    Arena *scratch = arena_new();
    Chooser chooser = {.arena = scratch,
                       .cutter = cutter,
                       .surface = surface,
                       .bound =
                           (int)fmin(ceil(surface->area_mm2 / (sheet.wide_mm * sheet.tall_mm) - 1e-6), 1e6)};
    try_layouts(&chooser, ANY_SIZE, 0, 0);
    const Candidate *found = best_of(&chooser);
    if (found && (found->rank[TOO_HEAVY] > 0 || found->rank[NOT_IN] > 0)) {
        try_smaller(&chooser);
        found = best_of(&chooser);
    }
    if (found && surface->level) found = best_over_seams(&chooser, found);
    if (found) keep_layout(cutter->arena, &found->layout, best);
    arena_free(scratch);
    return found != NULL;
}
