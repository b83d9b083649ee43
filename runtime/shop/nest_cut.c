#include "shop/nest_cut.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

typedef LIST(NestPiece) PieceList;
typedef LIST(NestCut) CutList;
typedef LIST(NestPlacement) PlacementList;
typedef LIST(NestOffcut) OffcutList;
typedef LIST(NestUsed) UsedList;

/* A tree of joints with all that stand beside or above one another in one list, the largest across first. */
typedef struct Row {
    NestJoin join;
    int block;                /* of a leaf */
    double wide_mm, tall_mm;  /* without a kerf beyond */
    const struct Row **below; /* in the order in which they lie */
    int count;
} Row;

typedef struct Region {
    double x_mm, y_mm, wide_mm, tall_mm;
} Region;

typedef struct Saw {
    Arena *arena;
    const NestTask *task;
    const NestBlocks *blocks;
    const NestForest *forest;
    double kerf_mm;
    int sheet;
    double sheet_parts_mm2;
    PieceList pieces;
    CutList cuts;
    PlacementList placements;
    OffcutList offcuts;
} Saw;

/* A straight cut: `first` is where normal . point <= at, `second` where it is >= at + kerf. */
typedef NestLine Line;

static const NestPoint RIGHT = {1, 0}, UP = {0, 1};

static double along(NestPoint normal, NestPoint point) {
    return normal.x_mm * point.x_mm + normal.y_mm * point.y_mm;
}

static int piece_new(Saw *saw, NestPieceKind kind, const NestPoint *corners, int count) {
    LIST_PUSH(
        saw->arena, saw->pieces,
        (NestPiece){
            .sheet = saw->sheet, .kind = kind, .placement = -1, .corners = corners, .corner_count = count});
    return (int)saw->pieces.count - 1;
}

/* What of a piece lies on the side of the line where sign * (normal . point) <= sign * at; NULL: nothing. */
static const NestPoint *side(Arena *arena, const NestPiece *piece, NestPoint normal, double at_mm,
                             double sign, int *count) {
    NestPoint *kept = ARENA_ARRAY(arena, NestPoint, piece->corner_count + 2);
    *count = 0;
    double deepest_mm = 0;
    for (int i = 0; i < piece->corner_count; i++) {
        const NestPoint a = piece->corners[i], b = piece->corners[(i + 1) % piece->corner_count];
        const double over_a_mm = sign * (along(normal, a) - at_mm),
                     over_b_mm = sign * (along(normal, b) - at_mm);
        deepest_mm = fmin(deepest_mm, over_a_mm);
        if (over_a_mm <= NEST_SAME_MM) kept[(*count)++] = a;
        const bool crosses = (over_a_mm > NEST_SAME_MM && over_b_mm < -NEST_SAME_MM) ||
                             (over_a_mm < -NEST_SAME_MM && over_b_mm > NEST_SAME_MM);
        if (!crosses) continue;
        const double t = over_a_mm / (over_a_mm - over_b_mm);
        kept[(*count)++] = (NestPoint){a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)};
    }
    if (deepest_mm > -2 * NEST_SAME_MM || *count < 3) return NULL;
    return kept;
}

/* Where a line runs through a piece, upwards or to the right. */
static void through(const NestPiece *piece, NestPoint normal, double at_mm, NestPoint *from, NestPoint *to) {
    const NestPoint way = normal.y_mm == 1 ? RIGHT : (NestPoint){-normal.y_mm, normal.x_mm};
    double least_mm = INFINITY, most_mm = -INFINITY;
    for (int i = 0; i < piece->corner_count; i++) {
        const NestPoint a = piece->corners[i], b = piece->corners[(i + 1) % piece->corner_count];
        const double over_a_mm = along(normal, a) - at_mm, over_b_mm = along(normal, b) - at_mm;
        NestPoint p = a;
        if (fabs(over_a_mm) > 2 * NEST_SAME_MM) {
            if (fabs(over_b_mm) <= 2 * NEST_SAME_MM || (over_a_mm < 0) == (over_b_mm < 0)) continue;
            const double t = over_a_mm / (over_a_mm - over_b_mm);
            p = (NestPoint){a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)};
        }
        const double s_mm = along(way, p);
        if (s_mm < least_mm) *from = p;
        if (s_mm > most_mm) *to = p;
        least_mm = fmin(least_mm, s_mm);
        most_mm = fmax(most_mm, s_mm);
    }
    assert(most_mm > least_mm);
}

/* Cuts a piece; -1 in `*first` or `*second` where nothing is left there. Both are scrap until something else
 * is made of them. */
static void cut(Saw *saw, int piece_index, Line line, bool trims, int *first, int *second) {
    const NestPoint normal = line.normal;
    const NestPiece piece = saw->pieces.items[piece_index];
    int first_count, second_count;
    const NestPoint *first_corners = side(saw->arena, &piece, normal, line.at_mm, 1, &first_count);
    const NestPoint *second_corners =
        side(saw->arena, &piece, normal, line.at_mm + saw->kerf_mm, -1, &second_count);
    assert(first_corners || second_corners);
    const NestCutKind kind = normal.y_mm == 1   ? NEST_CUT_LEVEL
                             : normal.x_mm == 1 ? NEST_CUT_UPRIGHT
                                                : NEST_CUT_SLANTED;
    NestCut made = {
        .sheet = saw->sheet, .kind = kind, .trims = trims, .piece = piece_index, .first = -1, .second = -1};
    through(&piece, normal, first_corners ? line.at_mm : line.at_mm + saw->kerf_mm, &made.from, &made.to);
    saw->pieces.items[piece_index].kind = NEST_PIECE_CUT;
    if (first_corners) made.first = piece_new(saw, NEST_PIECE_SCRAP, first_corners, first_count);
    if (second_corners) made.second = piece_new(saw, NEST_PIECE_SCRAP, second_corners, second_count);
    LIST_PUSH(saw->arena, saw->cuts, made);
    *first = made.first;
    *second = made.second;
}

/* A line with its normal to the right or straight up, whatever way it pointed; `*keeps_first` then tells
 * whether what was first still is. */
static Line upwards(Line line, double kerf_mm, bool *keeps_first) {
    const bool turn = line.normal.x_mm < -1e-12 || (line.normal.x_mm < 1e-12 && line.normal.y_mm < 0);
    *keeps_first = !turn;
    if (turn) line = (Line){{-line.normal.x_mm, -line.normal.y_mm}, -(line.at_mm + kerf_mm)};
    if (fabs(line.normal.x_mm) < 1e-12) line.normal = UP;
    if (fabs(line.normal.y_mm) < 1e-12) line.normal = RIGHT;
    return line;
}

static void offcut(Saw *saw, int piece, Region region) {
    if (piece < 0) return;
    const double keep_mm = saw->task->keep_mm;
    if (region.wide_mm < keep_mm || region.tall_mm < keep_mm) return;
    saw->pieces.items[piece].kind = NEST_PIECE_OFFCUT;
    LIST_PUSH(saw->arena, saw->offcuts,
              (NestOffcut){saw->sheet, region.x_mm, region.y_mm, region.wide_mm, region.tall_mm});
}

/* Cuts off what of a rectangle is beyond `wide_mm`, and keeps it. */
static void narrow(Saw *saw, int *piece, Region *region, double wide_mm) {
    if (region->wide_mm - wide_mm <= NEST_SAME_MM) return;
    int rest;
    cut(saw, *piece, (Line){RIGHT, region->x_mm + wide_mm}, false, piece, &rest);
    const double from_mm = wide_mm + saw->kerf_mm;
    offcut(saw, rest,
           (Region){region->x_mm + from_mm, region->y_mm, region->wide_mm - from_mm, region->tall_mm});
    region->wide_mm = wide_mm;
}

static void lower(Saw *saw, int *piece, Region *region, double tall_mm) {
    if (region->tall_mm - tall_mm <= NEST_SAME_MM) return;
    int rest;
    cut(saw, *piece, (Line){UP, region->y_mm + tall_mm}, false, piece, &rest);
    const double from_mm = tall_mm + saw->kerf_mm;
    offcut(saw, rest,
           (Region){region->x_mm, region->y_mm + from_mm, region->wide_mm, region->tall_mm - from_mm});
    region->tall_mm = tall_mm;
}

/* Down to what is needed, the larger of both offcuts first and whole. */
static void shrink(Saw *saw, int *piece, Region *region, double wide_mm, double tall_mm) {
    const double beside_mm = region->wide_mm - wide_mm - saw->kerf_mm;
    const double above_mm = region->tall_mm - tall_mm - saw->kerf_mm;
    const bool beside_first = beside_mm * region->tall_mm >= above_mm * region->wide_mm;
    if (beside_first) narrow(saw, piece, region, wide_mm);
    lower(saw, piece, region, tall_mm);
    if (!beside_first) narrow(saw, piece, region, wide_mm);
}

/* Cuts off everything of a piece beyond the edges of an outline: each is straight through what is left. */
static void cut_out(Saw *saw, int piece, int placement) {
    const NestPlacement *lies = &saw->placements.items[placement];
    NestPoint corners[4];
    nest_outline(&saw->task->items[lies->item], lies, corners);
    for (int i = 0; i < 4; i++) {
        const NestPoint a = corners[i], b = corners[(i + 1) % 4];
        const double length_mm = hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
        if (length_mm < NEST_SAME_MM) continue;
        const NestPoint outwards = {(b.y_mm - a.y_mm) / length_mm, (a.x_mm - b.x_mm) / length_mm};
        const double at_mm = along(outwards, a);
        double beyond_mm = 0;
        for (int c = 0; c < saw->pieces.items[piece].corner_count; c++)
            beyond_mm = fmax(beyond_mm, along(outwards, saw->pieces.items[piece].corners[c]) - at_mm);
        if (beyond_mm <= 3 * NEST_SAME_MM) continue;
        bool keeps_first;
        int first, second;
        cut(saw, piece, upwards((Line){outwards, at_mm}, saw->kerf_mm, &keeps_first), false, &first, &second);
        piece = keeps_first ? first : second;
        assert(piece >= 0);
    }
    saw->pieces.items[piece].kind = NEST_PIECE_PART;
    saw->pieces.items[piece].placement = placement;
}

/* Members and lines of a block that lies at a region's corner, turned or not. */
static NestPlacement placed(const Saw *saw, const NestBlock *block, const NestMember *member, Region region,
                            bool turned) {
    NestPlacement p = {.item = member->item,
                       .copy = member->copy,
                       .sheet = saw->sheet,
                       .x_mm = region.x_mm + member->x_mm,
                       .y_mm = region.y_mm + member->y_mm,
                       .quarter_turns = member->quarter_turns};
    if (!turned) return p;
    const NestItem *item = &saw->task->items[member->item];
    const double tall_mm = member->quarter_turns % 2 ? item->wide_mm : item->tall_mm;
    p.x_mm = region.x_mm + block->tall_mm - member->y_mm - tall_mm;
    p.y_mm = region.y_mm + member->x_mm;
    p.quarter_turns = (p.quarter_turns + 1) % 4;
    return p;
}

static Line line_placed(const NestBlock *block, Line line, Region region, bool turned) {
    if (turned) {
        const double shift_mm = -line.normal.y_mm * block->tall_mm;
        line = (Line){{-line.normal.y_mm, line.normal.x_mm}, line.at_mm + shift_mm};
    }
    line.at_mm += along(line.normal, (NestPoint){region.x_mm, region.y_mm});
    return line;
}

static void cut_block(Saw *saw, int piece, Region region, int index) {
    const NestBlock *block = &saw->blocks->items[index];
    const bool turned = saw->forest->turned[index];
    saw->sheet_parts_mm2 += block->parts_mm2;
    for (int m = 0; m < block->member_count; m++) {
        LIST_PUSH(saw->arena, saw->placements, placed(saw, block, &block->members[m], region, turned));
        const int placement = (int)saw->placements.count - 1;
        if (m + 1 == block->member_count) {
            cut_out(saw, piece, placement);
            break;
        }
        bool keeps_first;
        int first, second;
        const Line line = line_placed(block, block->between[m], region, turned);
        cut(saw, piece, upwards(line, saw->kerf_mm, &keeps_first), false, &first, &second);
        cut_out(saw, keeps_first ? first : second, placement);
        piece = keeps_first ? second : first;
    }
}

static const Row *row_of(Saw *saw, int node);

static int count_row(const Saw *saw, int node, NestJoin join) {
    const NestNode *at = &saw->forest->nodes[node];
    if (at->join != join) return 1;
    return count_row(saw, at->first, join) + count_row(saw, at->second, join);
}

static void gather_row(Saw *saw, int node, NestJoin join, Row *row) {
    const NestNode *at = &saw->forest->nodes[node];
    if (at->join != join) {
        row->below[row->count++] = row_of(saw, node);
        return;
    }
    gather_row(saw, at->first, join, row);
    gather_row(saw, at->second, join, row);
}

static double across(const Row *row, NestJoin join) {
    return join == NEST_BESIDE ? row->tall_mm : row->wide_mm;
}

/* Stable, so that equal ones keep their order. */
static void sort_row(Row *row) {
    for (int i = 1; i < row->count; i++) {
        const Row *moved = row->below[i];
        int j = i;
        for (; j > 0 && across(row->below[j - 1], row->join) < across(moved, row->join) - NEST_SAME_MM; j--)
            row->below[j] = row->below[j - 1];
        row->below[j] = moved;
    }
}

static const Row *row_of(Saw *saw, int node) {
    const NestNode *at = &saw->forest->nodes[node];
    Row *row = ARENA_NEW(saw->arena, Row);
    row->join = at->join;
    row->block = node;
    row->wide_mm = at->wide_mm - saw->kerf_mm;
    row->tall_mm = at->tall_mm - saw->kerf_mm;
    if (at->join == NEST_LEAF) return row;
    row->below = ARENA_ARRAY(saw->arena, const Row *, count_row(saw, node, at->join));
    gather_row(saw, node, at->join, row);
    sort_row(row);
    return row;
}

static void cut_row(Saw *saw, int piece, Region region, const Row *row);

static double extent(const Row *row, NestJoin join) {
    return join == NEST_BESIDE ? row->wide_mm : row->tall_mm;
}

static double extent_of(const Saw *saw, const Row *row, int from, int to) {
    double sum_mm = -saw->kerf_mm;
    for (int i = from; i < to; i++)
        sum_mm += extent(row->below[i], row->join) + saw->kerf_mm;
    return sum_mm;
}

/* From which on the members of a row are narrowed together: so that their offcut is the largest. */
static int narrowed_from(const Saw *saw, const Row *row, int from, int to, double across_mm) {
    int best = from;
    double best_mm2 = -1;
    for (int i = from; i < to; i++) {
        const double left_mm = across_mm - across(row->below[i], row->join) - saw->kerf_mm;
        const double mm2 = left_mm * extent_of(saw, row, i, to);
        if (left_mm > 0 && mm2 > best_mm2 * (1 + 1e-9)) {
            best = i;
            best_mm2 = mm2;
        }
    }
    return best;
}

/* Members `from` to `to` of a row, in a piece that is exactly as long as they are. */
static void cut_group(Saw *saw, int piece, Region region, const Row *row, int from, int to) {
    const bool beside = row->join == NEST_BESIDE;
    if (to - from == 1) {
        cut_row(saw, piece, region, row->below[from]);
        return;
    }
    int at = narrowed_from(saw, row, from, to, beside ? region.tall_mm : region.wide_mm);
    if (at == from) {
        if (beside)
            lower(saw, &piece, &region, across(row->below[from], row->join));
        else
            narrow(saw, &piece, &region, across(row->below[from], row->join));
        at = from + 1;
        while (at + 1 < to &&
               across(row->below[at], row->join) >= across(row->below[from], row->join) - NEST_SAME_MM)
            at++;
    }
    const double first_mm = extent_of(saw, row, from, at);
    int first, second;
    cut(saw, piece, (Line){beside ? RIGHT : UP, (beside ? region.x_mm : region.y_mm) + first_mm}, false,
        &first, &second);
    Region low = region, high = region;
    if (beside) {
        low.wide_mm = first_mm;
        high.x_mm += first_mm + saw->kerf_mm;
        high.wide_mm -= first_mm + saw->kerf_mm;
    } else {
        low.tall_mm = first_mm;
        high.y_mm += first_mm + saw->kerf_mm;
        high.tall_mm -= first_mm + saw->kerf_mm;
    }
    cut_group(saw, first, low, row, from, at);
    cut_group(saw, second, high, row, at, to);
}

static void cut_row(Saw *saw, int piece, Region region, const Row *row) {
    if (row->join == NEST_LEAF) {
        shrink(saw, &piece, &region, row->wide_mm, row->tall_mm);
        cut_block(saw, piece, region, row->block);
        return;
    }
    if (row->join == NEST_BESIDE)
        narrow(saw, &piece, &region, row->wide_mm);
    else
        lower(saw, &piece, &region, row->tall_mm);
    cut_group(saw, piece, region, row, 0, row->count);
}

/* All four edges off. */
static int trim(Saw *saw, int piece, const NestSheet *sheet) {
    const double trim_mm = sheet->trim_mm, kerf_mm = saw->kerf_mm;
    if (trim_mm <= NEST_SAME_MM) return piece;
    int scrap;
    cut(saw, piece, (Line){RIGHT, trim_mm - kerf_mm}, true, &scrap, &piece);
    cut(saw, piece, (Line){RIGHT, sheet->wide_mm - trim_mm}, true, &piece, &scrap);
    cut(saw, piece, (Line){UP, trim_mm - kerf_mm}, true, &scrap, &piece);
    cut(saw, piece, (Line){UP, sheet->tall_mm - trim_mm}, true, &piece, &scrap);
    return piece;
}

static void cut_sheet(Saw *saw, const NestSheet *sheet, int root) {
    NestPoint *corners = ARENA_ARRAY(saw->arena, NestPoint, 4);
    corners[1].x_mm = corners[2].x_mm = sheet->wide_mm;
    corners[2].y_mm = corners[3].y_mm = sheet->tall_mm;
    const int piece = trim(saw, piece_new(saw, NEST_PIECE_SCRAP, corners, 4), sheet);
    const double trim_mm = sheet->trim_mm;
    const Region all = {trim_mm, trim_mm, sheet->wide_mm - 2 * trim_mm, sheet->tall_mm - 2 * trim_mm};
    const Row *row = row_of(saw, root);
    Region region = all;
    int left = piece;
    shrink(saw, &left, &region, row->wide_mm, row->tall_mm);
    cut_row(saw, left, region, row);
}

static int by_item(const void *left, const void *right) {
    const NestPlacement *a = left, *b = right;
    if (a->item != b->item) return a->item < b->item ? -1 : 1;
    return a->copy < b->copy ? -1 : a->copy > b->copy;
}

/* By item and copy, and pieces follow. */
static void sort_placements(Saw *saw) {
    const size_t count = saw->placements.count;
    NestPlacement *sorted = ARENA_ARRAY(saw->arena, NestPlacement, count);
    for (size_t i = 0; i < count; i++)
        sorted[i] = saw->placements.items[i];
    qsort(sorted, count, sizeof *sorted, by_item);
    for (size_t i = 0; i < saw->pieces.count; i++) {
        NestPiece *piece = &saw->pieces.items[i];
        if (piece->placement < 0) continue;
        const NestPlacement *at =
            bsearch(&saw->placements.items[piece->placement], sorted, count, sizeof *sorted, by_item);
        piece->placement = (int)(at - sorted);
    }
    saw->placements.items = sorted;
}

static int by_size(const void *left, const void *right) {
    const NestOffcut *a = left, *b = right;
    const double a_mm2 = a->wide_mm * a->tall_mm, b_mm2 = b->wide_mm * b->tall_mm;
    if (a_mm2 != b_mm2) return a_mm2 > b_mm2 ? -1 : 1;
    if (a->sheet != b->sheet) return a->sheet < b->sheet ? -1 : 1;
    if (a->x_mm != b->x_mm) return a->x_mm < b->x_mm ? -1 : 1;
    return a->y_mm < b->y_mm ? -1 : a->y_mm > b->y_mm;
}

void nest_cut(Arena *arena, const NestTask *task, const NestBlocks *blocks, const NestForest *forest,
              Nest *nest) {
    Saw saw = {.arena = arena, .task = task, .blocks = blocks, .forest = forest, .kerf_mm = task->kerf_mm};
    UsedList used = {0};
    for (int b = 0; b < forest->bed_count; b++) {
        if (forest->beds[b].root < 0) continue;
        const bool have = b < task->have_count;
        const NestSheet *sheet = have ? &task->have[b] : &task->whole;
        saw.sheet = (int)used.count;
        saw.sheet_parts_mm2 = 0;
        cut_sheet(&saw, sheet, forest->beds[b].root);
        LIST_PUSH(arena, used, (NestUsed){have ? b : -1, *sheet, saw.sheet_parts_mm2});
        nest->new_count += !have;
        nest->sheets_mm2 += sheet->wide_mm * sheet->tall_mm;
        nest->parts_mm2 += saw.sheet_parts_mm2;
    }
    sort_placements(&saw);
    if (saw.offcuts.count) qsort(saw.offcuts.items, saw.offcuts.count, sizeof *saw.offcuts.items, by_size);
    for (size_t i = 0; i < saw.offcuts.count; i++)
        nest->offcuts_mm2 += saw.offcuts.items[i].wide_mm * saw.offcuts.items[i].tall_mm;
    nest->waste_mm2 = nest->sheets_mm2 - nest->parts_mm2 - nest->offcuts_mm2;
    nest->sheets = used.items;
    nest->sheet_count = (int)used.count;
    nest->placements = saw.placements.items;
    nest->placement_count = (int)saw.placements.count;
    nest->pieces = saw.pieces.items;
    nest->piece_count = (int)saw.pieces.count;
    nest->cuts = saw.cuts.items;
    nest->cut_count = (int)saw.cuts.count;
    nest->offcuts = saw.offcuts.items;
    nest->offcut_count = (int)saw.offcuts.count;
}
