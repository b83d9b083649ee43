/* Outlines that are not convex, cut by straight seams: what falls apart are several (docs/geometry.md, rule
 * 88). */
#include "shop/split.h"

#include <math.h>
#include <stdlib.h>

/* What is left of an outline that is smaller is a chip, no part. */
static const double CHIP_MM2 = 100;
static const double SAME_PLACE_MM = 1e-6;

/* What is kept of an outline: x or y (`upright`) of at least (`sign` 1) or at most (-1) `limit_mm`. */
typedef struct Side {
    bool upright;
    double sign, limit_mm;
} Side;

static double inside(const Side *side, PartPoint p) {
    return side->sign * ((side->upright ? p.x_mm : p.y_mm) - side->limit_mm);
}

/* Where an edge, from a corner to the one after it, goes over the line. */
typedef struct Crossing {
    size_t edge;
    PartPoint at;
    double along_mm;
} Crossing;

static Crossing crossing_of(const Side *side, const Cell *outline, size_t edge) {
    const PartPoint a = outline->corners[edge], b = outline->corners[(edge + 1) % outline->count];
    const double from = inside(side, a), to = inside(side, b), t = from / (from - to);
    PartPoint at = {a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)};
    if (side->upright)
        at.x_mm = side->limit_mm;
    else
        at.y_mm = side->limit_mm;
    return (Crossing){.edge = edge, .at = at, .along_mm = side->upright ? at.y_mm : at.x_mm};
}

static int compare_crossings(const void *a, const void *b) {
    const Crossing *first = a, *second = b;
    if (first->along_mm != second->along_mm) return first->along_mm < second->along_mm ? -1 : 1;
    return (first->edge > second->edge) - (first->edge < second->edge);
}

typedef struct Crossings {
    Crossing *items;
    size_t count;
} Crossings;

static void sort(Crossings *list) {
    if (list->count > 0) qsort(list->items, list->count, sizeof *list->items, compare_crossings);
}

typedef struct Cut {
    Arena *arena;
    const Cell *outline;
    const Side *side;
    bool *is_kept, *is_done;       /* of each corner */
    const Crossing **leaves_after; /* of each corner */
    const Crossing **enters_with;  /* of each crossing that leaves, by the corner before it */
} Cut;

/* Along the line an outline that does not cross itself leaves and enters by turns. So the i-th place where it
 * leaves and the i-th where it enters are the two ends of one piece of the line, however closely they lie. */
static void find_crossings(Cut *cut) {
    const size_t count = cut->outline->count;
    Crossings leave = {ARENA_ARRAY(cut->arena, Crossing, count), 0};
    Crossings enter = {ARENA_ARRAY(cut->arena, Crossing, count), 0};
    for (size_t i = 0; i < count; i++) {
        const bool from = cut->is_kept[i], to = cut->is_kept[(i + 1) % count];
        if (from && !to) leave.items[leave.count++] = crossing_of(cut->side, cut->outline, i);
        if (!from && to) enter.items[enter.count++] = crossing_of(cut->side, cut->outline, i);
    }
    sort(&leave);
    sort(&enter);
    for (size_t i = 0; i < leave.count; i++) {
        cut->leaves_after[leave.items[i].edge] = &leave.items[i];
        cut->enters_with[leave.items[i].edge] = &enter.items[i];
    }
}

static void add_corner(PartPoint *corners, size_t *count, PartPoint at) {
    const bool same = *count > 0 && hypot(corners[*count - 1].x_mm - at.x_mm,
                                          corners[*count - 1].y_mm - at.y_mm) <= SAME_PLACE_MM;
    if (!same) corners[(*count)++] = at;
}

/* Once round the piece that has this corner. */
static Cell trace(Cut *cut, size_t first) {
    const Cell *outline = cut->outline;
    PartPoint *corners = ARENA_ARRAY(cut->arena, PartPoint, 2 * outline->count);
    size_t count = 0, at = first;
    do {
        cut->is_done[at] = true;
        add_corner(corners, &count, outline->corners[at]);
        const Crossing *leaves = cut->leaves_after[at];
        if (!leaves) {
            at = (at + 1) % outline->count;
            continue;
        }
        const Crossing *enters = cut->enters_with[at];
        add_corner(corners, &count, leaves->at);
        add_corner(corners, &count, enters->at);
        at = (enters->edge + 1) % outline->count;
    } while (at != first);
    while (count > 1 && hypot(corners[count - 1].x_mm - corners[0].x_mm,
                              corners[count - 1].y_mm - corners[0].y_mm) <= SAME_PLACE_MM)
        count--;
    return (Cell){corners, count};
}

static void keep_side(Arena *arena, const Cell *outline, const Side *side, Cells *pieces) {
    Cut cut = {.arena = arena,
               .outline = outline,
               .side = side,
               .is_kept = ARENA_ARRAY(arena, bool, outline->count),
               .is_done = ARENA_ARRAY(arena, bool, outline->count),
               .leaves_after = ARENA_ARRAY(arena, const Crossing *, outline->count),
               .enters_with = ARENA_ARRAY(arena, const Crossing *, outline->count)};
    for (size_t i = 0; i < outline->count; i++)
        cut.is_kept[i] = inside(side, outline->corners[i]) >= 0;
    find_crossings(&cut);
    for (size_t i = 0; i < outline->count; i++) {
        if (!cut.is_kept[i] || cut.is_done[i]) continue;
        const Cell piece = trace(&cut, i);
        if (piece.count >= 3) LIST_PUSH(arena, *pieces, piece);
    }
}

static Cell copy_of(Arena *arena, const Cell *cell) {
    PartPoint *corners = ARENA_ARRAY(arena, PartPoint, cell->count);
    for (size_t i = 0; i < cell->count; i++)
        corners[i] = cell->corners[i];
    return (Cell){corners, cell->count};
}

void outline_in_box(Arena *arena, Cell outline, Span2 x, Span2 y, Cells *pieces) {
    const Side sides[4] = {
        {true, 1, x.from_mm}, {true, -1, x.to_mm}, {false, 1, y.from_mm}, {false, -1, y.to_mm}};
    Arena *scratch = arena_new();
    Cells before = {0};
    LIST_PUSH(scratch, before, outline);
    for (int s = 0; s < 4; s++) {
        Cells after = {0};
        if (!isfinite(sides[s].limit_mm)) continue;
        for (size_t i = 0; i < before.count; i++)
            keep_side(scratch, &before.items[i], &sides[s], &after);
        before = after;
    }
    for (size_t i = 0; i < before.count; i++)
        if (corners_area(before.items[i].corners, before.items[i].count) >= CHIP_MM2)
            LIST_PUSH(arena, *pieces, copy_of(arena, &before.items[i]));
    arena_free(scratch);
}
