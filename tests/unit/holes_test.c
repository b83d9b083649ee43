/* Holes: where things are held, and what is clear, in closed form and against other ways to the same answer.
 */
#include "plan/holes.h"
#include "plan/room.h"
#include "shop/plan_to_parts.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

#define IN MM_PER_INCH

static Spec planned(Arena *arena, const char *table, const char *more) {
    const char *at = strstr(FERRY_BOOK, "table: {wide: 72 in, deep: 30 in, tall: 29 in, holds: 250 lb}");
    cr_assert(at);
    const char *book =
        arena_format(arena, "%.*stable: %s%s", (int)(at - FERRY_BOOK), FERRY_BOOK, table, strchr(at, '\n'));
    Spec spec = spec_of(arena, book, arena_format(arena, "%s%s", FOG_SCENE, more));
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    spec.plan->parts = plan_to_parts(arena, spec.plan, &spec.diagnostics);
    cr_assert_eq(spec.diagnostics.errors, 0);
    return spec;
}

static const FixedPoint *point_of(const Fixings *fixings, const Plan *plan, const char *name, size_t nth) {
    for (size_t i = 0; i < fixings->points.count; i++) {
        const FixedPoint *it = &fixings->points.items[i];
        if (strcmp(plan->things[it->thing].thing->name, name) == 0 && nth-- == 0) return it;
    }
    return NULL;
}

/* By hand: a puppet at its axis; the ferry, 20 in wide, 2 in in from both ends; a post in its middle. */
Test(holes, where_things_are_held) {
    Arena *arena = arena_new();
    const Spec spec = planned(arena, "{wide: 72 in, deep: 30 in, tall: 29 in}", "");
    const Fixings fixings = plan_fixings(arena, spec.plan);
    const FixedPoint *otter = point_of(&fixings, spec.plan, "otter", 0),
                     *left = point_of(&fixings, spec.plan, "ferry", 0),
                     *right = point_of(&fixings, spec.plan, "ferry", 1);
    cr_assert(otter && left && right);
    cr_expect_float_eq(otter->at.across_mm, 0, 1e-9);
    cr_expect_float_eq(otter->at.back_mm, 0, 1e-9);
    cr_expect_float_eq(right->at.across_mm - left->at.across_mm, 16 * IN, 1e-6);
    cr_expect_float_eq((right->at.across_mm + left->at.across_mm) / 2, 14 * IN, 1e-3);
    cr_expect_float_eq(left->at.back_mm, -8 * IN, 1e-3);
    cr_expect_null(point_of(&fixings, spec.plan, "ferry", 2));
    cr_expect_null(point_of(&fixings, spec.plan, "backdrop", 0));
    cr_expect_null(point_of(&fixings, spec.plan, "post", 1));
    arena_free(arena);
}

/* A backdrop is held where it says so: like a flat, 2 in in from both ends, in the middle of its thickness.
 */
Test(holes, backdrop_that_is_held) {
    static const char scene[] =
        "scene: x\npages: 8-9\ndrawing: {wide: 420 mm}\nmark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], "
        "tall: 92 mm}}\ncamera: {lens: 85 mm, height: 10 in}\nground: {rear: 54 in}\n"
        "backdrop: {at: {across: 4 in, back: 50 in}, wide: 60 in, tall: 30 in, thick: 1/2 in%s}\n";
    static const char *const says[] = {"", ", fixed: off", ", fixed: above", ", fixed: below"};
    Arena *arena = arena_new();
    for (size_t i = 0; i < 4; i++) {
        Spec spec = spec_of(arena, FERRY_BOOK, arena_format(arena, scene, says[i]));
        cr_assert(spec.plan, "%s", spec_words(arena, &spec));
        const Fixings fixings = plan_fixings(arena, spec.plan);
        const FixedPoint *left = point_of(&fixings, spec.plan, "backdrop", 0),
                         *right = point_of(&fixings, spec.plan, "backdrop", 1);
        cr_assert_eq(left != NULL && right != NULL, i >= 2, "%s", says[i]);
        if (i < 2) continue;
        cr_expect_eq(left->below, i == 3);
        cr_expect_float_eq(left->at.across_mm, (4 - 28) * IN, 1e-3);
        cr_expect_float_eq(right->at.across_mm, (4 + 28) * IN, 1e-3);
        cr_expect_float_eq(left->at.back_mm, 50.25 * IN, 1e-3);
    }
    arena_free(arena);
}

/* Turned by 30 degrees to the left, its right end lies cos 30 to the right and sin 30 to the front. */
Test(holes, turned_and_alone) {
    Arena *arena = arena_new();
    const Spec spec = spec_of(
        arena, FERRY_BOOK,
        "scene: x\npages: 8-9\ndrawing: {wide: 420 mm}\nmark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], "
        "tall: 92 mm}}\ncamera: {lens: 85 mm, height: 10 in}\nground: {rear: 54 in}\npieces:\n"
        "  log: {wide: 24 in, tall: 3 in, deep: 4 in, at: {across: 4 in, back: 20 in}, turn: 30 deg left}\n"
        "  beam: {wide: 4 in, tall: 3 in, deep: 24 in, at: {across: -12 in, back: 20 in}, fixed: above}\n"
        "  stone: {wide: 3 in, tall: 3 in, deep: 3 in, at: {across: 16 in, back: 30 in}}\n"
        "  reeds: {shape: post, tall: 9 in, thick: 1/4 in, fixed: off, at: {across: 16 in, back: 36 in}}\n"
        "  bell: {shape: cone, tall: 2 in, wide: 2 in, atop: log, at: {across: 4 in, back: 20 in}}\n"
        "  moon: {wide: 5 in, tall: 3 in, deep: 3 in, up: 9 in, at: {across: 16 in, back: 40 in}}\n");
    cr_assert(spec.plan);
    const Fixings fixings = plan_fixings(arena, spec.plan);
    cr_assert_eq(fixings.points.count, 1 + 2 + 2 + 1);
    const FixedPoint *log = point_of(&fixings, spec.plan, "log", 1),
                     *beam = point_of(&fixings, spec.plan, "beam", 1);
    cr_expect_float_eq(log->at.across_mm, (4 + 10 * sqrt(3) / 2) * IN, 1e-3);
    cr_expect_float_eq(log->at.back_mm, (20 - 10 * 0.5) * IN, 1e-3);
    cr_expect(log->below);
    cr_expect_float_eq(beam->at.across_mm, -12 * IN, 1e-3);
    cr_expect_float_eq(beam->at.back_mm, 30 * IN, 1e-3);
    cr_expect(beam->along);
    cr_expect_not(beam->below);
    arena_free(arena);
}

/* What is under a place, said otherwise: within 2 in of any of the four legs' squares, each put where it is;
 * within 1 in of the top's outline; on it. */
Test(holes, under_one_table) {
    PlanTable table = {.left_mm = 100, .front_mm = -200};
    TableRow row = {.count = 1};
    const Tables tables = {.across_mm = 40 * IN,
                           .back_mm = 24 * IN,
                           .items = &table,
                           .count = 1,
                           .rows = &row,
                           .row_count = 1,
                           .leg_inset_mm = 3 * IN,
                           .leg_thick_mm = 2 * IN};
    const double lefts[] = {3 * IN, 35 * IN}, fronts[] = {3 * IN, 19 * IN};
    int counts[4] = {0};
    for (double x = -30; x < 41 * IN; x += 7.3) {
        for (double y = -30; y < 25 * IN; y += 6.7) {
            double leg = INFINITY;
            for (int i = 0; i < 4; i++) {
                const double dx = x - fmin(fmax(x, lefts[i % 2]), lefts[i % 2] + 2 * IN);
                const double dy = y - fmin(fmax(y, fronts[i / 2]), fronts[i / 2] + 2 * IN);
                leg = fmin(leg, sqrt(dx * dx + dy * dy));
            }
            const double nx = fmin(fmax(x, 0), 40 * IN), ny = fmin(fmax(y, 0), 24 * IN);
            const bool on = nx == x && ny == y;
            const double edge = on ? fmin(fmin(x, 40 * IN - x), fmin(y, 24 * IN - y))
                                   : sqrt((x - nx) * (x - nx) + (y - ny) * (y - ny));
            const TableUnder wanted = leg < 2 * IN ? UNDER_LEG
                                      : edge < IN  ? UNDER_EDGE
                                      : on         ? UNDER_TOP
                                                   : UNDER_NO_TABLE;
            const TablePlace place = tables_under(&tables, 100 + x, -200 + y);
            cr_expect_eq(place.under, wanted, "at %g, %g", x, y);
            counts[wanted]++;
        }
    }
    for (int i = 0; i < 4; i++)
        cr_expect_gt(counts[i], 20);
}

static size_t blocked_of(const Holes *holes) {
    size_t count = 0;
    for (size_t i = 0; i < holes->items.count; i++)
        count += holes->items.items[i].blocked;
    return count;
}

/* No place within the overhang has fewer holes in the way, by trying them all by hand; none nearer as few. */
Test(holes, tables_stand_clear) {
    Arena *arena = arena_new();
    const Spec spec = planned(arena, "{wide: 72 in, deep: 30 in, tall: 29 in}", "");
    const Holes holes = plan_holes(arena, spec.plan);
    const Tables *tables = &holes.tables;
    cr_assert(holes.has_tables);
    cr_expect_eq(blocked_of(&holes), 0);
    cr_expect_gt(hypot(tables->moved_right_mm, tables->moved_back_mm), 0);
    const double moved = fabs(tables->moved_right_mm) + fabs(tables->moved_back_mm);
    for (int right = -12; right <= 12; right++) {
        for (int back = -12; back <= 12; back++) {
            if ((abs(right) + abs(back)) * IN > moved - 1) continue;
            Tables other = *tables;
            other.items = ARENA_ARRAY(arena, PlanTable, tables->count);
            const double x = right * IN - tables->moved_right_mm, y = back * IN - tables->moved_back_mm;
            bool hangs = tables->over_front_mm + y > TABLE_OVERHANG_MM + 1e-6 ||
                         tables->over_rear_mm - y > TABLE_OVERHANG_MM + 1e-6;
            size_t blocked = 0;
            for (int i = 0; i < tables->count; i++) {
                other.items[i] = tables->items[i];
                other.items[i].left_mm += x;
                other.items[i].front_mm += y;
            }
            for (int i = 0; i < tables->row_count && y == 0; i++)
                hangs |= tables->rows[i].over_left_mm + x > TABLE_OVERHANG_MM + 1e-6 ||
                         tables->rows[i].over_right_mm - x > TABLE_OVERHANG_MM + 1e-6;
            for (size_t i = 0; i < holes.items.count; i++) {
                const Point3 at = holes.items.items[i].point.at;
                blocked += tables_block(&other, tables_under(&other, at.across_mm, at.back_mm));
            }
            cr_expect(hangs || blocked > 0 || y != 0, "%d to the right, %d back", right, back);
        }
    }
    arena_free(arena);
}

/* A thing is clear where it is said to be, and not a quarter of an inch before: by moving the seam the other
 * way. To a seam 20 mm to the left of it that is 50.8 - 20 mm, by quarters of an inch 1 1/4 in to the right.
 */
Test(holes, clear_where_it_is_said) {
    Arena *arena = arena_new();
    const Spec spec = planned(arena, "{wide: 12 ft, deep: 12 ft, tall: 29 in}", "");
    const Plan *plan = spec.plan;
    const int post = plan_find(plan, "post");
    const Point3 at = plan->things[post].at;
    Parts parts = *plan->parts;
    PartSeam seam = {.thing = plan->base, .at_mm = at.across_mm - 20, .from_mm = -900, .to_mm = 900};
    parts.seams.items = &seam;
    parts.seams.count = 1;
    spec.plan->parts = &parts;
    const double moves[] = {0, 1.25 * IN, IN};
    for (int i = 0; i < 3; i++) {
        seam.at_mm = at.across_mm - 20 - moves[i];
        const Holes holes = plan_holes(arena, plan);
        const Hole *hole = NULL;
        for (size_t h = 0; h < holes.items.count; h++)
            if (holes.items.items[h].point.thing == post) hole = &holes.items.items[h];
        cr_assert(hole);
        cr_expect_float_eq(hole->seam_mm, 20 + moves[i], 1e-6);
        cr_expect_eq(hole->at_seam, i != 1);
        double right, back;
        if (i > 0) continue;
        cr_assert(holes_clear_move(plan, &holes, post, &right, &back));
        cr_expect_float_eq(right, 1.25 * IN, 1e-6);
        cr_expect_float_eq(back, 0, 1e-6);
    }
    /* past its end it is measured to that: 3-4-5 */
    seam = (PartSeam){.thing = plan->base, .across = true, .at_mm = at.back_mm + 30, .from_mm = -900};
    seam.to_mm = at.across_mm - 40;
    const Holes holes = plan_holes(arena, plan);
    for (size_t h = 0; h < holes.items.count; h++)
        if (holes.items.items[h].point.thing == post)
            cr_expect_float_eq(holes.items.items[h].seam_mm, 50, 1e-6);
    arena_free(arena);
}

/* The base's seams keep from the holes where they can: in the fog no hole is nearer than 2 in to one. */
Test(holes, seams_keep_away) {
    Arena *arena = arena_new();
    const Spec spec = planned(arena, "{wide: 72 in, deep: 30 in, tall: 29 in}", "");
    const Holes holes = plan_holes(arena, spec.plan);
    cr_assert_gt(holes.items.count, 4);
    for (size_t i = 0; i < holes.items.count; i++)
        cr_expect_geq(holes.items.items[i].seam_mm, HOLE_FROM_SEAM_MM - 1e-6);
    arena_free(arena);
}

static const PlanWarning *warning_of(const Plan *plan, const char *word) {
    for (size_t i = 0; i < plan->warning_count; i++)
        if (strcmp(plan->warnings[i].word, word) == 0) return &plan->warnings[i];
    return NULL;
}

/* 50.7 mm are no 2 in, and are not said to be. */
Test(holes, too_near_by_a_hair) {
    Arena *arena = arena_new();
    Spec spec = planned(arena, "{wide: 72 in, deep: 30 in, tall: 29 in}", "");
    const Point3 hole = plan_fixings(arena, spec.plan).points.items[0].at;
    PartSeam seam = {.thing = spec.plan->base, .from_mm = -1e4, .to_mm = 1e4, .at_mm = hole.across_mm + 50.7};
    Parts parts = {.seams = {.items = &seam, .count = 1}};
    spec.plan->parts = &parts;
    holes_to_warnings(spec.plan, &spec.diagnostics);
    const PlanWarning *warning = warning_of(spec.plan, "hole-at-seam");
    cr_assert(warning);
    cr_expect(strstr(warning->message, " is 1 7/8 in from a seam of the base; a screw wants 2 in"), "%s",
              warning->message);
    arena_free(arena);
}
