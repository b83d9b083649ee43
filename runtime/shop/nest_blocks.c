#include "shop/nest_blocks.h"

#include <math.h>
#include <stdlib.h>

/* A trapezoid with its level sides at y = 0 and y = tall, whatever way it lies on the sheet in the end. */
typedef struct Trapezoid {
    int item, copy;
    int quarter_turns; /* of the item, to lie so */
    double wide_mm, tall_mm;
    double foot_left_mm, foot_right_mm, head_left_mm, head_right_mm;
    double area_mm2;
    bool used;
} Trapezoid;

/* How a trapezoid lies in a block. TRAPEZOID_UPRIGHT: its upright sides are the parallel ones, and grain
 * keeps them upright, so the block is made with x and y exchanged. */
typedef enum TrapezoidClass {
    TRAPEZOID_FREE,
    TRAPEZOID_LEVEL,
    TRAPEZOID_UPRIGHT,
    TRAPEZOID_CLASSES
} TrapezoidClass;

enum { CHAIN_MOST = 64 };
/* Lower ones than this share of the first are not joined to it: what is saved at the slant is lost above. */
#define LOWEST_IN_CHAIN 0.8
/* A joint is worth while that saves this share of the part's own box. */
#define JOINT_SAVES 0.02

typedef struct Chain {
    double kerf_mm;
    double wide_mm, tall_mm;
    NestMember members[CHAIN_MOST];
    NestLine lines[CHAIN_MOST];
    Trapezoid last; /* as it lies */
    double last_x_mm;
    int count;
    double area_mm2;
} Chain;

static bool same(double a_mm, double b_mm) {
    return fabs(a_mm - b_mm) < NEST_SAME_MM;
}

double nest_item_area(const NestItem *item) {
    if (!item->has_outline) return item->wide_mm * item->tall_mm;
    double twice_mm2 = 0;
    for (int i = 0; i < 4; i++) {
        const NestPoint a = item->outline[i], b = item->outline[(i + 1) % 4];
        twice_mm2 += a.x_mm * b.y_mm - b.x_mm * a.y_mm;
    }
    return twice_mm2 / 2;
}

bool nest_fits(const NestSheet *sheet, double wide_mm, double tall_mm, bool may_turn) {
    const double w_mm = sheet->wide_mm - 2 * sheet->trim_mm + NEST_SAME_MM;
    const double h_mm = sheet->tall_mm - 2 * sheet->trim_mm + NEST_SAME_MM;
    return (wide_mm <= w_mm && tall_mm <= h_mm) || (may_turn && tall_mm <= w_mm && wide_mm <= h_mm);
}

bool nest_fits_any(const NestTask *task, double wide_mm, double tall_mm, bool may_turn) {
    if (task->whole.wide_mm > 0 && nest_fits(&task->whole, wide_mm, tall_mm, may_turn)) return true;
    for (int i = 0; i < task->have_count; i++)
        if (nest_fits(&task->have[i], wide_mm, tall_mm, may_turn)) return true;
    return false;
}

static bool is_rectangle(const NestItem *item) {
    return !item->has_outline || item->wide_mm * item->tall_mm - nest_item_area(item) < NEST_SAME_MM;
}

/* The corners that lie level at the foot and at the head; false where they do not. */
static bool level_sides(const NestPoint corners[4], Trapezoid *trapezoid) {
    const double tall_mm = trapezoid->tall_mm;
    int feet = 0, heads = 0;
    double foot_mm[2], head_mm[2];
    for (int i = 0; i < 4; i++) {
        if (same(corners[i].y_mm, 0) && feet < 2)
            foot_mm[feet++] = corners[i].x_mm;
        else if (same(corners[i].y_mm, tall_mm) && heads < 2)
            head_mm[heads++] = corners[i].x_mm;
    }
    if (feet != 2 || heads != 2) return false;
    trapezoid->foot_left_mm = fmin(foot_mm[0], foot_mm[1]);
    trapezoid->foot_right_mm = fmax(foot_mm[0], foot_mm[1]);
    trapezoid->head_left_mm = fmin(head_mm[0], head_mm[1]);
    trapezoid->head_right_mm = fmax(head_mm[0], head_mm[1]);
    return true;
}

static bool trapezoid_of(const NestItem *item, Trapezoid *trapezoid, TrapezoidClass *class) {
    if (is_rectangle(item)) return false;
    NestPoint corners[4];
    *trapezoid =
        (Trapezoid){.wide_mm = item->wide_mm, .tall_mm = item->tall_mm, .area_mm2 = nest_item_area(item)};
    *class = item->may_turn ? TRAPEZOID_FREE : TRAPEZOID_LEVEL;
    if (level_sides(item->outline, trapezoid)) return true;
    trapezoid->wide_mm = item->tall_mm;
    trapezoid->tall_mm = item->wide_mm;
    if (item->may_turn) {
        trapezoid->quarter_turns = 1;
        nest_outline(item, &(NestPlacement){.quarter_turns = 1}, corners);
    } else {
        *class = TRAPEZOID_UPRIGHT;
        for (int i = 0; i < 4; i++)
            corners[i] = (NestPoint){item->outline[i].y_mm, item->outline[i].x_mm};
    }
    return level_sides(corners, trapezoid);
}

static Trapezoid half_turned(const Trapezoid *from) {
    Trapezoid turned = *from;
    turned.quarter_turns = (from->quarter_turns + 2) % 4;
    turned.foot_left_mm = from->wide_mm - from->head_right_mm;
    turned.foot_right_mm = from->wide_mm - from->head_left_mm;
    turned.head_left_mm = from->wide_mm - from->foot_right_mm;
    turned.head_right_mm = from->wide_mm - from->foot_left_mm;
    return turned;
}

static double left_lean(const Trapezoid *t) {
    return (t->head_left_mm - t->foot_left_mm) / t->tall_mm;
}

static double right_lean(const Trapezoid *t) {
    return (t->head_right_mm - t->foot_right_mm) / t->tall_mm;
}

/* The line through (foot, 0) that leans by so much x a y; its first side ends `before_mm` before that. */
static NestLine leaning_line(double foot_mm, double lean, double before_mm) {
    const double length = hypot(1, lean);
    const NestPoint normal = {1 / length, -lean / length};
    return (NestLine){normal, normal.x_mm * foot_mm - before_mm};
}

/* The least x at which the left edge of `next` is beyond the saw. */
static double clear_of(const NestLine *line, const Trapezoid *next, double kerf_mm) {
    const double beyond_mm = line->at_mm + kerf_mm;
    const double at_foot_mm = beyond_mm / line->normal.x_mm - next->foot_left_mm;
    const double at_head_mm =
        (beyond_mm - line->normal.y_mm * next->tall_mm) / line->normal.x_mm - next->head_left_mm;
    return fmax(at_foot_mm, at_head_mm);
}

/* Where `next` comes to lie behind the last one, with one cut between along an edge of either: the x of its
 * box. */
static double joined_at(const Chain *chain, const Trapezoid *next, NestLine *line) {
    const Trapezoid *last = &chain->last;
    const NestLine along_last = leaning_line(chain->last_x_mm + last->foot_right_mm, right_lean(last), 0);
    const double by_last_mm = clear_of(&along_last, next, chain->kerf_mm);
    const double lean = left_lean(next), across_mm = chain->kerf_mm * hypot(1, lean);
    const double at_foot_mm = last->foot_right_mm + across_mm - next->foot_left_mm;
    const double at_head_mm = last->head_right_mm + across_mm - next->foot_left_mm - lean * last->tall_mm;
    const double by_next_mm = chain->last_x_mm + fmax(at_foot_mm, at_head_mm);
    double x_mm = fmin(by_last_mm, by_next_mm);
    bool along_next = by_next_mm < by_last_mm;
    double least_mm = 0;
    for (int i = 0; i + 1 < chain->count; i++)
        least_mm = fmax(least_mm, clear_of(&chain->lines[i], next, chain->kerf_mm));
    if (x_mm < least_mm) {
        x_mm = least_mm;
        along_next = by_last_mm > x_mm;
    }
    *line = along_next ? leaning_line(x_mm + next->foot_left_mm, lean, chain->kerf_mm) : along_last;
    return x_mm;
}

static void chain_add(Chain *chain, const Trapezoid *next, double x_mm) {
    chain->members[chain->count++] = (NestMember){next->item, next->copy, x_mm, 0, next->quarter_turns};
    chain->wide_mm = fmax(chain->wide_mm, x_mm + next->wide_mm);
    chain->tall_mm = fmax(chain->tall_mm, next->tall_mm);
    chain->area_mm2 += next->area_mm2;
    chain->last = *next;
    chain->last_x_mm = x_mm;
}

typedef struct Joint {
    int index; /* of the trapezoid; -1: none is worth while */
    bool half;
    double x_mm, saved_mm2;
    NestLine line;
} Joint;

static void consider(Joint *best, const Chain *chain, const NestTask *task, const Trapezoid *next, int index,
                     bool half, TrapezoidClass class) {
    Joint joint = {.index = index, .half = half};
    joint.x_mm = joined_at(chain, next, &joint.line);
    const double wide_mm = fmax(chain->wide_mm, joint.x_mm + next->wide_mm);
    const double tall_mm = fmax(chain->tall_mm, next->tall_mm), kerf_mm = chain->kerf_mm;
    const double box_mm2 = (next->wide_mm + kerf_mm) * (next->tall_mm + kerf_mm);
    joint.saved_mm2 = box_mm2 - (wide_mm + kerf_mm) * (tall_mm + kerf_mm) +
                      (chain->wide_mm + kerf_mm) * (chain->tall_mm + kerf_mm);
    const bool fits = class == TRAPEZOID_UPRIGHT
                          ? nest_fits_any(task, tall_mm, wide_mm, false)
                          : nest_fits_any(task, wide_mm, tall_mm, class == TRAPEZOID_FREE);
    if (fits && joint.saved_mm2 > JOINT_SAVES * box_mm2 &&
        (best->index < 0 || joint.saved_mm2 > best->saved_mm2 + NEST_SAME_MM))
        *best = joint;
}

/* The best to come next of those that are left; copies of one item are alike. */
static Joint best_joint(const Chain *chain, const NestTask *task, const Trapezoid *all, int count,
                        TrapezoidClass class) {
    Joint best = {.index = -1};
    int seen_item = -1;
    for (int i = 0; i < count; i++) {
        if (all[i].used || all[i].item == seen_item) continue;
        if (all[i].tall_mm < LOWEST_IN_CHAIN * chain->tall_mm) break; /* they stand by height */
        seen_item = all[i].item;
        const Trapezoid half = half_turned(&all[i]);
        consider(&best, chain, task, &all[i], i, false, class);
        consider(&best, chain, task, &half, i, true, class);
    }
    return best;
}

static NestBlock block_of_chain(Arena *arena, Chain *chain, TrapezoidClass class) {
    NestMember *members = ARENA_ARRAY(arena, NestMember, chain->count);
    NestLine *lines = ARENA_ARRAY(arena, NestLine, chain->count);
    for (int i = 0; i < chain->count; i++) {
        members[i] = chain->members[i];
        if (i + 1 < chain->count) lines[i] = chain->lines[i];
        if (class != TRAPEZOID_UPRIGHT) continue;
        members[i].y_mm = members[i].x_mm;
        members[i].x_mm = 0;
        lines[i].normal = (NestPoint){lines[i].normal.y_mm, lines[i].normal.x_mm};
    }
    const bool across = class == TRAPEZOID_UPRIGHT;
    return (NestBlock){.wide_mm = across ? chain->tall_mm : chain->wide_mm,
                       .tall_mm = across ? chain->wide_mm : chain->tall_mm,
                       .may_turn = class == TRAPEZOID_FREE,
                       .members = members,
                       .between = lines,
                       .member_count = chain->count,
                       .parts_mm2 = chain->area_mm2};
}

static int by_height(const void *left, const void *right) {
    const Trapezoid *a = left, *b = right;
    if (a->tall_mm != b->tall_mm) return a->tall_mm > b->tall_mm ? -1 : 1;
    if (a->item != b->item) return a->item < b->item ? -1 : 1;
    return a->copy < b->copy ? -1 : a->copy > b->copy;
}

typedef LIST(NestBlock) BlockList;
typedef LIST(Trapezoid) TrapezoidList;

static void join_class(Arena *arena, BlockList *blocks, const NestTask *task, TrapezoidList *all,
                       TrapezoidClass class, int most) {
    if (all->count == 0) return;
    const int count = (int)all->count;
    qsort(all->items, all->count, sizeof *all->items, by_height);
    for (int i = 0; i < count; i++) {
        if (all->items[i].used) continue;
        all->items[i].used = true;
        Trapezoid first = all->items[i];
        if (fabs(right_lean(&first)) < fabs(left_lean(&first))) first = half_turned(&first);
        Chain chain = {.kerf_mm = task->kerf_mm};
        chain_add(&chain, &first, 0);
        while (chain.count < most && chain.count < CHAIN_MOST) {
            const Joint joint = best_joint(&chain, task, all->items, count, class);
            if (joint.index < 0) break;
            Trapezoid *next = &all->items[joint.index];
            const Trapezoid lies = joint.half ? half_turned(next) : *next;
            next->used = true;
            chain.lines[chain.count - 1] = joint.line;
            chain_add(&chain, &lies, joint.x_mm);
        }
        LIST_PUSH(arena, *blocks, block_of_chain(arena, &chain, class));
    }
}

static NestBlock block_alone(Arena *arena, const NestItem *item, int index, int copy) {
    NestMember *member = ARENA_NEW(arena, NestMember);
    *member = (NestMember){.item = index, .copy = copy};
    return (NestBlock){.wide_mm = item->wide_mm,
                       .tall_mm = item->tall_mm,
                       .may_turn = item->may_turn,
                       .members = member,
                       .member_count = 1,
                       .parts_mm2 = nest_item_area(item)};
}

NestBlocks nest_blocks(Arena *arena, const NestTask *task, int chain) {
    BlockList blocks = {0};
    TrapezoidList classes[TRAPEZOID_CLASSES] = {0};
    for (int i = 0; i < task->item_count; i++) {
        const NestItem *item = &task->items[i];
        if (!nest_fits_any(task, item->wide_mm, item->tall_mm, item->may_turn)) continue;
        Trapezoid trapezoid;
        TrapezoidClass class;
        const bool joins = chain > 1 && trapezoid_of(item, &trapezoid, &class);
        for (int copy = 0; copy < item->copies; copy++) {
            if (!joins) {
                LIST_PUSH(arena, blocks, block_alone(arena, item, i, copy));
                continue;
            }
            trapezoid.item = i;
            trapezoid.copy = copy;
            LIST_PUSH(arena, classes[class], trapezoid);
        }
    }
    for (int c = 0; c < TRAPEZOID_CLASSES; c++)
        join_class(arena, &blocks, task, &classes[c], (TrapezoidClass)c, chain);
    return (NestBlocks){blocks.items, (int)blocks.count};
}

bool nest_has_trapezoids(const NestTask *task) {
    Trapezoid trapezoid;
    TrapezoidClass class;
    for (int i = 0; i < task->item_count; i++)
        if (trapezoid_of(&task->items[i], &trapezoid, &class)) return true;
    return false;
}
