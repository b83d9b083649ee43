/* Parts onto sheets: what can be seen at a glance. Thousands of lists and published instances:
 * tests/external/nest_check.py, nest_published.py. */
#include "shop/nest.h"

#include <criterion/criterion.h>

static NestItem rectangle(double wide_mm, double tall_mm, bool may_turn, int copies) {
    return (NestItem){.wide_mm = wide_mm, .tall_mm = tall_mm, .may_turn = may_turn, .copies = copies};
}

/* Upright on the left, sloping on the right: `head` wide above, `foot` below. */
static NestItem right_trapezoid(double foot_mm, double head_mm, double tall_mm, int copies) {
    return (NestItem){.wide_mm = foot_mm,
                      .tall_mm = tall_mm,
                      .has_outline = true,
                      .outline = {{0, 0}, {foot_mm, 0}, {head_mm, tall_mm}, {0, tall_mm}},
                      .copies = copies};
}

static const Nest *nest_of(Arena *arena, const NestItem *items, int count, NestSheet whole, double kerf_mm) {
    const NestTask task = {.items = items, .item_count = count, .whole = whole, .kerf_mm = kerf_mm};
    return nest_parts(arena, &task);
}

Test(nest, nothing_to_cut) {
    Arena *arena = arena_new();
    const Nest *nest = nest_of(arena, NULL, 0, (NestSheet){2440, 1220, 0}, 3);
    cr_expect_eq(nest->sheet_count, 0);
    cr_expect_eq(nest->placement_count, 0);
    cr_expect_eq(nest->area_bound, 0);
    const NestItem none = rectangle(100, 100, true, 0);
    cr_expect_eq(nest_of(arena, &none, 1, (NestSheet){2440, 1220, 0}, 3)->sheet_count, 0);
    arena_free(arena);
}

/* Four quarters of a sheet fill it with a knife; with a saw, that takes a second sheet. */
Test(nest, the_saw_takes_its_share) {
    Arena *arena = arena_new();
    const NestItem quarter = rectangle(500, 300, false, 4);
    const Nest *knife = nest_of(arena, &quarter, 1, (NestSheet){1000, 600, 0}, 0);
    cr_expect_eq(knife->new_count, 1);
    cr_expect_eq(knife->area_bound, 1);
    cr_expect_eq(knife->cut_count, 3);
    cr_expect_eq(knife->offcut_count, 0);
    cr_expect_float_eq(knife->waste_mm2, 0, 1e-6);
    const Nest *saw = nest_of(arena, &quarter, 1, (NestSheet){1000, 600, 0}, 0.1);
    cr_expect_eq(saw->new_count, 4);
    cr_expect_eq(saw->area_bound, 2);
    const Nest *wider = nest_of(arena, &quarter, 1, (NestSheet){1003, 603, 0}, 3);
    cr_expect_eq(wider->new_count, 1);
    cr_expect_float_eq(wider->waste_mm2, 1003 * 603 - 4 * 500 * 300, 1e-6);
    arena_free(arena);
}

Test(nest, one_part_and_what_is_left) {
    Arena *arena = arena_new();
    const NestItem item = rectangle(400, 600, false, 1);
    const Nest *nest = nest_of(arena, &item, 1, (NestSheet){1000, 600, 0}, 4);
    cr_assert_eq(nest->cut_count, 1);
    const NestCut *cut = &nest->cuts[0];
    cr_expect_eq(cut->kind, NEST_CUT_UPRIGHT);
    cr_expect_float_eq(cut->from.x_mm, 400, 1e-9);
    cr_expect_float_eq(cut->from.y_mm, 0, 1e-9);
    cr_expect_float_eq(cut->to.y_mm, 600, 1e-9);
    cr_expect_eq(nest->pieces[cut->first].kind, NEST_PIECE_PART);
    cr_expect_eq(nest->pieces[cut->second].kind, NEST_PIECE_OFFCUT);
    cr_assert_eq(nest->offcut_count, 1);
    cr_expect_float_eq(nest->offcuts[0].x_mm, 404, 1e-9);
    cr_expect_float_eq(nest->offcuts[0].wide_mm, 596, 1e-9);
    cr_expect_float_eq(nest->waste_mm2, 4 * 600, 1e-6);
    arena_free(arena);
}

/* What is left is less than the saw is wide: one cut, and nothing beside it. */
Test(nest, a_sliver_is_sawn_away) {
    Arena *arena = arena_new();
    const NestItem item = rectangle(998, 600, false, 1);
    const Nest *nest = nest_of(arena, &item, 1, (NestSheet){1000, 600, 0}, 4);
    cr_assert_eq(nest->cut_count, 1);
    cr_expect_eq(nest->cuts[0].second, -1);
    cr_expect_eq(nest->offcut_count, 0);
    arena_free(arena);
}

Test(nest, grain_is_kept) {
    Arena *arena = arena_new();
    NestItem item = rectangle(500, 1000, false, 2);
    cr_expect_eq(nest_of(arena, &item, 1, (NestSheet){1000, 600, 0}, 0)->too_large_count, 1);
    item.may_turn = true;
    const Nest *turned = nest_of(arena, &item, 1, (NestSheet){1000, 600, 0}, 0);
    cr_expect_eq(turned->new_count, 2);
    cr_expect_eq(turned->placements[0].quarter_turns % 2, 1);
    arena_free(arena);
}

Test(nest, too_large_is_said_and_the_rest_is_cut) {
    Arena *arena = arena_new();
    const NestItem items[] = {rectangle(100, 100, true, 2), rectangle(1001, 100, true, 3),
                              rectangle(200, 100, true, 1), rectangle(700, 700, true, 1)};
    const Nest *nest = nest_of(arena, items, 4, (NestSheet){1000, 600, 0}, 3);
    cr_assert_eq(nest->too_large_count, 2);
    cr_expect_eq(nest->too_large[0], 1);
    cr_expect_eq(nest->too_large[1], 3);
    cr_expect_eq(nest->placement_count, 3);
    cr_expect_eq(nest->left_over_count, 0);
    arena_free(arena);
}

/* The small offcut takes it, though the large one and a new sheet would as well: what stays whole is worth
 * more. */
Test(nest, the_smallest_offcut_that_does) {
    Arena *arena = arena_new();
    const NestItem item = rectangle(300, 200, true, 1);
    const NestSheet have[] = {{1200, 600, 0}, {100, 100, 0}, {310, 210, 0}};
    const NestTask task = {
        .items = &item, .item_count = 1, .have = have, .have_count = 3, .whole = {2440, 1220, 0}};
    const Nest *nest = nest_parts(arena, &task);
    cr_assert_eq(nest->sheet_count, 1);
    cr_expect_eq(nest->sheets[0].have, 2);
    cr_expect_eq(nest->new_count, 0);
    cr_expect_eq(nest->area_bound, 0);
    arena_free(arena);
}

/* Offcuts come before a new sheet, which then has the larger offcut. */
Test(nest, offcuts_before_new_sheets) {
    Arena *arena = arena_new();
    const NestItem items[] = {rectangle(900, 500, true, 1), rectangle(2000, 1000, true, 1)};
    const NestSheet have = {1000, 600, 0};
    const NestTask task = {.items = items,
                           .item_count = 2,
                           .have = &have,
                           .have_count = 1,
                           .whole = {2440, 1220, 0},
                           .kerf_mm = 3};
    const Nest *nest = nest_parts(arena, &task);
    cr_assert_eq(nest->sheet_count, 2);
    cr_expect_eq(nest->sheets[0].have, 0);
    cr_expect_eq(nest->sheets[1].have, -1);
    cr_expect_eq(nest->placements[0].sheet, 0);
    arena_free(arena);
}

Test(nest, nothing_more_to_be_had) {
    Arena *arena = arena_new();
    const NestItem item = rectangle(500, 600, true, 3);
    const NestSheet have = {1000, 600, 0};
    const NestTask task = {.items = &item, .item_count = 1, .have = &have, .have_count = 1};
    const Nest *nest = nest_parts(arena, &task);
    cr_expect_eq(nest->placement_count, 2);
    cr_assert_eq(nest->left_over_count, 1);
    cr_expect_eq(nest->left_over[0].item, 0);
    cr_expect_eq(nest->too_large_count, 0);
    cr_expect_eq(nest->area_bound, 0);
    arena_free(arena);
}

Test(nest, trimmed_edges) {
    Arena *arena = arena_new();
    const NestItem item = rectangle(980, 580, false, 1);
    const Nest *nest = nest_of(arena, &item, 1, (NestSheet){1000, 600, 10}, 4);
    cr_assert_eq(nest->placement_count, 1);
    cr_expect_float_eq(nest->placements[0].x_mm, 10, 1e-9);
    cr_assert_eq(nest->cut_count, 4);
    for (int i = 0; i < 4; i++)
        cr_expect(nest->cuts[i].trims);
    const NestItem larger = rectangle(980.1, 580, false, 1);
    cr_expect_eq(nest_of(arena, &larger, 1, (NestSheet){1000, 600, 10}, 4)->too_large_count, 1);
    arena_free(arena);
}

/* Two right trapezoids of 600 and 400 make 1000 of the sheet's width, and the slanted cut its kerf: square to
 * the cut, so that along the width it is kerf / cos = 4 x hypot(200, 500) / 500 = 4.308 mm. */
Test(nest, trapezoids_head_to_tail) {
    Arena *arena = arena_new();
    const NestItem item = right_trapezoid(600, 400, 500, 2);
    cr_expect_eq(nest_of(arena, &item, 1, (NestSheet){1000, 500, 0}, 0)->new_count, 1);
    cr_expect_eq(nest_of(arena, &item, 1, (NestSheet){1004.31, 500, 0}, 4)->new_count, 1);
    cr_expect_eq(nest_of(arena, &item, 1, (NestSheet){1004.30, 500, 0}, 4)->new_count, 2);
    const Nest *nest = nest_of(arena, &item, 1, (NestSheet){1004.31, 500, 0}, 4);
    const NestPlacement *a = &nest->placements[0], *b = &nest->placements[1];
    cr_expect_eq((a->quarter_turns + b->quarter_turns) % 4, 2, "one of them is turned by a half");
    int slanted = 0;
    for (int i = 0; i < nest->cut_count; i++)
        slanted += nest->cuts[i].kind == NEST_CUT_SLANTED;
    cr_expect_eq(slanted, 1, "one cut makes both slanted edges");
    arena_free(arena);
}

/* Six isosceles ones in a row share all slanted cuts but the two at the ends: 6 x (600 + 400) / 2 + 100 mm.
 */
Test(nest, a_row_of_isosceles_trapezoids) {
    Arena *arena = arena_new();
    const NestItem item = {.wide_mm = 600,
                           .tall_mm = 500,
                           .has_outline = true,
                           .outline = {{0, 0}, {600, 0}, {500, 500}, {100, 500}},
                           .copies = 6};
    cr_expect_eq(nest_of(arena, &item, 1, (NestSheet){3100, 500, 0}, 0)->new_count, 1);
    cr_expect_eq(nest_of(arena, &item, 1, (NestSheet){3099.9, 500, 0}, 0)->new_count, 2);
    arena_free(arena);
}

/* The same with the parallel sides upright, and grain that keeps them so. */
Test(nest, upright_trapezoids_keep_their_grain) {
    Arena *arena = arena_new();
    const NestItem item = {.wide_mm = 500,
                           .tall_mm = 600,
                           .has_outline = true,
                           .outline = {{0, 0}, {500, 0}, {500, 400}, {0, 600}},
                           .copies = 2};
    const Nest *nest = nest_of(arena, &item, 1, (NestSheet){500, 1000, 0}, 0);
    cr_expect_eq(nest->new_count, 1);
    for (int i = 0; i < nest->placement_count; i++)
        cr_expect_eq(nest->placements[i].quarter_turns % 2, 0);
    arena_free(arena);
}

Test(nest, corners_of_a_turned_part) {
    const NestItem item = right_trapezoid(600, 400, 500, 1);
    const NestPlacement placement = {.x_mm = 10, .y_mm = 20, .quarter_turns = 1};
    NestPoint corners[4];
    nest_outline(&item, &placement, corners);
    /* The foot is upright on the right now, the slope above. */
    static const NestPoint expected[] = {{510, 20}, {510, 620}, {10, 420}, {10, 20}};
    for (int i = 0; i < 4; i++) {
        cr_expect_float_eq(corners[i].x_mm, expected[i].x_mm, 1e-9);
        cr_expect_float_eq(corners[i].y_mm, expected[i].y_mm, 1e-9);
    }
}

/* keep: what is smaller than a maker wants to store is scrap, and the cut that makes it is the same. */
Test(nest, small_offcuts_are_scrap) {
    Arena *arena = arena_new();
    const NestItem item = rectangle(900, 500, false, 1);
    const NestTask task = {.items = &item, .item_count = 1, .whole = {1000, 600, 0}, .keep_mm = 100.1};
    const Nest *nest = nest_parts(arena, &task);
    cr_expect_eq(nest->offcut_count, 0);
    cr_expect_eq(nest->cut_count, 2);
    cr_expect_float_eq(nest->waste_mm2, 1000 * 600 - 900 * 500, 1e-6);
    arena_free(arena);
}

/* What remains of one sheet is in one piece: 800 mm of its length, and as much is left whole. */
Test(nest, the_largest_offcut) {
    Arena *arena = arena_new();
    const NestItem items[] = {rectangle(200, 600, true, 1), rectangle(300, 400, true, 2),
                              rectangle(300, 200, true, 2)};
    const Nest *nest = nest_of(arena, items, 3, (NestSheet){1600, 600, 0}, 0);
    cr_assert_eq(nest->offcut_count, 1);
    cr_expect_float_eq(nest->offcuts[0].wide_mm, 800, 1e-6);
    cr_expect_float_eq(nest->offcuts[0].tall_mm, 600, 1e-6);
    arena_free(arena);
}

Test(nest, the_same_again) {
    Arena *arena = arena_new();
    NestItem items[24];
    for (int i = 0; i < 24; i++)
        items[i] = i % 5 == 0
                       ? right_trapezoid(300 + 11 * i, 200 + 7 * i, 250, 2)
                       : rectangle(120 + 37 * (i * 7 % 24), 90 + 29 * (i * 11 % 24), i % 3 > 0, 1 + i % 2);
    const Nest *a = nest_of(arena, items, 24, (NestSheet){2440, 1220, 0}, 3.2);
    const Nest *b = nest_of(arena, items, 24, (NestSheet){2440, 1220, 0}, 3.2);
    cr_assert_eq(a->placement_count, b->placement_count);
    for (int i = 0; i < a->placement_count; i++) {
        cr_expect_eq(a->placements[i].sheet, b->placements[i].sheet);
        cr_expect_eq(a->placements[i].x_mm, b->placements[i].x_mm);
        cr_expect_eq(a->placements[i].y_mm, b->placements[i].y_mm);
        cr_expect_eq(a->placements[i].quarter_turns, b->placements[i].quarter_turns);
    }
    cr_expect_eq(a->cut_count, b->cut_count);
    arena_free(arena);
}
