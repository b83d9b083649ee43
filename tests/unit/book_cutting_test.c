/* Books cut scene after scene: what struck sets save, worked by hand. */
#include "base/text.h"
#include "shop/book_cutting.h"

#include <criterion/criterion.h>
#include <math.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}
static void tear_down(void) {
    arena_free(arena);
}
TestSuite(book_cutting, .init = set_up, .fini = tear_down);

#define MM_PER_FOOT 304.8

static CutItem part_of(const char *scene, const char *name, const NestPoint *outline, int count) {
    NestPoint *copy = ARENA_ARRAY(arena, NestPoint, count);
    CutItem item = {.name = name,
                    .scene = scene,
                    .thing = "base",
                    .shape = PART_OUTLINE,
                    .keeps_shape = true,
                    .item = {.copies = 1, .may_turn = true},
                    .outline = copy,
                    .outline_count = count};
    for (int i = 0; i < count; i++) {
        copy[i] = outline[i];
        item.item.wide_mm = fmax(item.item.wide_mm, outline[i].x_mm);
        item.item.tall_mm = fmax(item.item.tall_mm, outline[i].y_mm);
        if (count == 4) item.item.outline[i] = outline[i];
    }
    item.item.has_outline = count == 4;
    return item;
}

static CutItem rectangle(const char *scene, const char *name, double wide_mm, double tall_mm) {
    const NestPoint corners[] = {{0, 0}, {wide_mm, 0}, {wide_mm, tall_mm}, {0, tall_mm}};
    CutItem item = part_of(scene, name, corners, 4);
    item.shape = PART_RECTANGLE;
    item.item.has_outline = false;
    return item;
}

/* Of one stock, in sheets of 4 x 8 ft. */
static Cutting *scene_of(UseAgain again, double kerf_mm, const CutItem *items, int count) {
    Cutting *cutting = ARENA_NEW(arena, Cutting);
    CutItem *copy = ARENA_ARRAY(arena, CutItem, count);
    for (int i = 0; i < count; i++)
        copy[i] = items[i];
    cutting->scene = items[0].scene;
    cutting->stocks = ARENA_NEW(arena, StockCut);
    cutting->stock_count = 1;
    cutting->stocks[0] =
        (StockCut){.stock = {.name = "ply",
                             .again = again,
                             .alike_mm = 3.175,
                             .thick_mm = 18,
                             .kerf_mm = kerf_mm,
                             .sheet = {.wide_mm = 4 * MM_PER_FOOT, .tall_mm = 8 * MM_PER_FOOT}},
                   .items = copy,
                   .item_count = count};
    return cutting;
}

static const BookStock *book_of(Cutting *first, Cutting *second, Cutting *third) {
    const Cutting *scenes[] = {first, second, third};
    return &cuttings_to_book(arena, scenes, third ? 3 : 2)->stocks[0];
}

static LargestFirst largest_first_of(Cutting *first, Cutting *second) {
    const Cutting *scenes[] = {first, second};
    const BookCutting *book = cuttings_to_book(arena, scenes, 2);
    return book_largest_first(arena, book, &book->stocks[0]);
}

#define SCENE(again, kerf_mm, ...)                                                                           \
    scene_of(again, kerf_mm, (const CutItem[]){__VA_ARGS__},                                                 \
             sizeof((const CutItem[]){__VA_ARGS__}) / sizeof(CutItem))

/* Three panels of 4 x 7 ft fill three sheets; a second set alike takes the same three. */
static Cutting *three_panels(UseAgain again, const char *scene) {
    CutItem item = rectangle(scene, "panels", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    item.item.copies = 3;
    return SCENE(again, 3.175, item);
}

Test(book_cutting, two_sets_alike_need_the_sheets_of_one) {
    const BookStock *never =
        book_of(three_panels(AGAIN_NEVER, "01-a"), three_panels(AGAIN_NEVER, "02-b"), NULL);
    cr_expect_eq(never->new_count, 6);
    cr_expect_not(never->in_turn);
    cr_expect_eq(never->cut_count, 1);
    const BookStock *whole =
        book_of(three_panels(AGAIN_WHOLE, "01-a"), three_panels(AGAIN_WHOLE, "02-b"), NULL);
    cr_expect(whole->in_turn);
    cr_expect_eq(whole->new_count, 3);
    cr_expect_eq(whole->at_once_count, 6);
    cr_expect_eq(whole->bound, 3);
    cr_assert_eq(whole->cut_count, 2);
    cr_assert_eq(whole->cuts[1].again_count, 1);
    const UsedAgain *again = &whole->cuts[1].again[0];
    cr_expect_str_eq(again->from_scene, "01-a");
    cr_expect_eq(again->copies, 3);
    cr_expect_not(again->cut_down);
    cr_expect_eq(whole->cuts[1].cut.item_count, 0);
}

/* A third set finds what the second had from the first, under the second's name. */
Test(book_cutting, what_served_again_is_struck_again) {
    const BookStock *stock = book_of(three_panels(AGAIN_WHOLE, "01-a"), three_panels(AGAIN_WHOLE, "02-b"),
                                     three_panels(AGAIN_WHOLE, "03-c"));
    cr_expect_eq(stock->new_count, 3);
    cr_expect_eq(stock->again_whole, 6);
    cr_assert_eq(stock->cuts[2].again_count, 1);
    cr_expect_str_eq(stock->cuts[2].again[0].from_scene, "02-b");
}

static int after_a_panel(UseAgain again, double kerf_mm, CutItem first, const CutItem *second, int count) {
    const BookStock *stock =
        book_of(SCENE(again, kerf_mm, first), scene_of(again, kerf_mm, second, count), NULL);
    return stock->new_count;
}

/* 4 x 8 ft of ply, and then 3 x 7 ft: from the first one, where that may be cut. Offcuts are of no use: the
 * first takes its whole sheet. */
Test(book_cutting, a_smaller_set_after_a_larger_one_needs_nothing_new) {
    const CutItem large = rectangle("01-a", "base", 4 * MM_PER_FOOT, 8 * MM_PER_FOOT);
    const CutItem small = rectangle("02-b", "base", 3 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    cr_expect_eq(after_a_panel(AGAIN_NEVER, 0, large, &small, 1), 2);
    cr_expect_eq(after_a_panel(AGAIN_WHOLE, 0, large, &small, 1), 2);
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, large, &small, 1), 1);
}

/* The other way round nothing is saved. */
Test(book_cutting, a_larger_set_after_a_smaller_one_needs_its_own) {
    const CutItem large = rectangle("02-b", "base", 4 * MM_PER_FOOT, 8 * MM_PER_FOOT);
    const CutItem small = rectangle("01-a", "base", 3 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, small, &large, 1), 2);
}

/* Two of 24 in out of one of 48 in: with a saw of 1/8 in there is 1/8 in too little. */
Test(book_cutting, the_saw_takes_its_kerf_of_struck_parts_too) {
    const CutItem large = rectangle("01-a", "base", 1219.2, 2438.4);
    CutItem halves = rectangle("02-b", "base", 609.6, 2438.4);
    halves.item.copies = 2;
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, large, &halves, 1), 1);
    cr_expect_eq(after_a_panel(AGAIN_CUT, 3.175, large, &halves, 1), 2);
}

/* 4 x 3 ft wanted, its grain along the 3 ft; struck is 3 x 8 ft with its grain along the 8: 3 ft the wrong
 * way. */
Test(book_cutting, grain_forbids_what_would_lie_across_it) {
    CutItem struck = rectangle("01-a", "base", 3 * MM_PER_FOOT, 8 * MM_PER_FOOT);
    CutItem wanted = rectangle("02-b", "base", 4 * MM_PER_FOOT, 3 * MM_PER_FOOT);
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, struck, &wanted, 1), 1);
    struck.item.may_turn = wanted.item.may_turn = false;
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, struck, &wanted, 1), 2);
}

/* As it is, too: 3 x 7 ft does not serve for 7 x 3 ft where both have their grain upright. */
Test(book_cutting, grain_forbids_a_quarter_turn_as_it_is) {
    CutItem struck = rectangle("01-a", "base", 4 * MM_PER_FOOT, 3.9 * MM_PER_FOOT);
    CutItem wanted = rectangle("02-b", "base", 3.9 * MM_PER_FOOT, 4 * MM_PER_FOOT);
    struck.item.copies = wanted.item.copies = 2;
    cr_expect_eq(after_a_panel(AGAIN_WHOLE, 0, struck, &wanted, 1), 1);
    struck.item.may_turn = wanted.item.may_turn = false;
    cr_expect_eq(after_a_panel(AGAIN_WHOLE, 0, struck, &wanted, 1), 2);
}

/* Within `cut`, 1/8 in, and not beyond. */
Test(book_cutting, alike_is_within_the_book_s_cut) {
    const CutItem struck = rectangle("01-a", "base", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    const CutItem near = rectangle("02-b", "base", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT + 3);
    const CutItem far = rectangle("02-b", "base", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT + 4);
    cr_expect_eq(after_a_panel(AGAIN_WHOLE, 0, struck, &near, 1), 1);
    cr_expect_eq(after_a_panel(AGAIN_WHOLE, 0, struck, &far, 1), 2);
}

static const NestPoint TRAPEZOID[] = {{300, 0}, {900, 0}, {1200, 2400}, {0, 2400}};

/* A trapezoid serves turned by a half, but its mirror image lies face down. */
Test(book_cutting, nothing_serves_face_down) {
    static const NestPoint right[] = {{0, 0}, {600, 0}, {1200, 2400}, {0, 2400}};
    static const NestPoint half[] = {{0, 0}, {1200, 0}, {1200, 2400}, {600, 2400}};
    static const NestPoint mirrored[] = {{600, 0}, {1200, 0}, {1200, 2400}, {0, 2400}};
    const CutItem struck = part_of("01-a", "base", right, 4);
    const CutItem turned = part_of("02-b", "base", half, 4), other = part_of("02-b", "base", mirrored, 4);
    cr_expect_eq(after_a_panel(AGAIN_WHOLE, 0, struck, &turned, 1), 1);
    cr_expect_eq(after_a_panel(AGAIN_WHOLE, 0, struck, &other, 1), 2);
}

/* From the trapezoid, a smaller one that no rectangle in it holds: its head is 1100 wide, and the largest
 * rectangle is 900 or less there. */
Test(book_cutting, a_trapezoid_is_cut_down_to_a_trapezoid) {
    static const NestPoint inner[] = {{250, 0}, {850, 0}, {1100, 2000}, {0, 2000}};
    const CutItem struck = part_of("01-a", "base", TRAPEZOID, 4), wanted = part_of("02-b", "base", inner, 4);
    const BookStock *stock = book_of(SCENE(AGAIN_CUT, 3, struck), SCENE(AGAIN_CUT, 3, wanted), NULL);
    cr_expect_eq(stock->new_count, 1);
    cr_assert_eq(stock->cuts[1].again_count, 1);
    cr_expect(stock->cuts[1].again[0].cut_down);
    static const NestPoint wide[] = {{0, 0}, {1100, 0}, {1100, 1700}, {0, 1700}};
    const CutItem too_wide = part_of("02-b", "base", wide, 4);
    cr_expect_eq(after_a_panel(AGAIN_CUT, 3, struck, &too_wide, 1), 2);
}

/* Between y = 0 and 2400 the trapezoid is 600 + y/4 wide: of a rectangle up to its head, (2400 - y) (600 +
 * y/4) is greatest at its foot, 1 440 000 mm2, 600 x 2400. Two of 300 x 2400 then come from it, and three do
 * not. */
Test(book_cutting, the_largest_rectangle_of_a_trapezoid_is_a_sheet) {
    const CutItem struck = part_of("01-a", "base", TRAPEZOID, 4);
    CutItem wanted = rectangle("02-b", "base", 299.99, 2399.99);
    wanted.item.may_turn = false;
    wanted.item.copies = 2;
    const BookStock *stock = book_of(SCENE(AGAIN_CUT, 0, struck), SCENE(AGAIN_CUT, 0, wanted), NULL);
    cr_expect_eq(stock->new_count, 1);
    wanted.item.copies = 7; /* a new sheet has four, and what is beside a trapezoid none */
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, struck, &wanted, 1), 3);
    wanted.item.copies = 6;
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, struck, &wanted, 1), 2);
}

Test(book_cutting, what_was_carved_does_not_serve) {
    CutItem struck = rectangle("01-a", "base", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    const CutItem wanted = rectangle("02-b", "base", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    struck.keeps_shape = false;
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, struck, &wanted, 1), 2);
}

/* A door in the same place, or it is another panel; and a panel with a door is cut beside the door alone. */
Test(book_cutting, openings_are_alike_or_in_the_way) {
    static const CutOpening door = {false, {150, 0}, {450, 700}}, window = {false, {600, 1000}, {900, 1300}};
    CutItem struck = rectangle("01-a", "flat", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    CutItem wanted = rectangle("02-b", "flat", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    struck.openings = wanted.openings = &door;
    struck.opening_count = wanted.opening_count = 1;
    cr_expect_eq(after_a_panel(AGAIN_WHOLE, 0, struck, &wanted, 1), 1);
    wanted.openings = &window;
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, struck, &wanted, 1), 2);
    CutItem beside = rectangle("02-b", "flat", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT - 700);
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, struck, &beside, 1), 1);
    beside = rectangle("02-b", "flat", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT - 690);
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, struck, &beside, 1), 2);
}

/* What the book builds once is on a shelf, not struck. */
Test(book_cutting, what_the_book_builds_once_is_not_struck) {
    CutItem once = rectangle("01-a", "shed", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    const CutItem wanted = rectangle("02-b", "base", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    once.of_book = true;
    cr_expect_eq(after_a_panel(AGAIN_CUT, 0, once, &wanted, 1), 2);
}

/* Every set takes half a sheet that no other half fits beside: in turn a sheet each but for what serves, at
 * once two to a sheet. The better is told. */
Test(book_cutting, never_more_than_at_once) {
    CutItem a = rectangle("01-a", "strip", 600, 2400), b = rectangle("02-b", "strip", 610, 2410);
    CutItem c = rectangle("03-c", "strip", 605, 2420);
    const BookStock *stock =
        book_of(SCENE(AGAIN_WHOLE, 0, a), SCENE(AGAIN_WHOLE, 0, b), SCENE(AGAIN_WHOLE, 0, c));
    cr_expect_leq(stock->new_count, stock->at_once_count);
    cr_expect_eq(stock->at_once_count, 2);
}

/* A part that a later scene wants as it is stays whole, where another can be cut. */
Test(book_cutting, what_is_wanted_later_is_not_cut) {
    const CutItem kept = rectangle("01-a", "kept", 1200, 2400),
                  other = rectangle("01-a", "other", 1210, 2410);
    const CutItem small = rectangle("02-b", "small", 1000, 2000),
                  again = rectangle("03-c", "again", 1200, 2400);
    const BookStock *stock =
        book_of(SCENE(AGAIN_CUT, 0, kept, other), SCENE(AGAIN_CUT, 0, small), SCENE(AGAIN_CUT, 0, again));
    cr_expect_eq(stock->new_count, 2);
    cr_assert_eq(stock->cuts[1].cut.nest->sheet_count, 1);
    cr_expect_str_eq(stock->cuts[1].found[stock->cuts[1].cut.nest->sheets[0].have].part, "other");
    cr_assert_eq(stock->cuts[2].again_count, 1);
    cr_expect_str_eq(stock->cuts[2].again[0].from_part, "kept");
}

/* What nothing can be bought of: two sheets on hand and three panels, the third from a struck set. */
Test(book_cutting, what_runs_out_is_served_by_struck_sets) {
    static const NestSheet on_hand[] = {{1300, 2500, 0}, {1300, 2500, 0}};
    Cutting *scenes[] = {three_panels(AGAIN_WHOLE, "01-a"), three_panels(AGAIN_WHOLE, "02-b")};
    for (int s = 0; s < 2; s++) {
        CutStock *stock = &scenes[s]->stocks[0].stock;
        stock->sheet = (NestSheet){0};
        stock->have = on_hand;
        stock->have_count = 2;
    }
    const BookStock *book = book_of(scenes[0], scenes[1], NULL);
    cr_expect_eq(book->lacking, 2); /* one of each scene's three; at once four */
    cr_expect_eq(book->on_hand_used, 2);
    cr_expect_eq(book->again_whole, 2);
}

/* A small set before a large one saves nothing; the other way round, one sheet serves both. */
Test(book_cutting, largest_sets_first) {
    const CutItem small = rectangle("01-a", "base", 3 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    const CutItem large = rectangle("02-b", "base", 4 * MM_PER_FOOT, 8 * MM_PER_FOOT);
    const BookStock *stock = book_of(SCENE(AGAIN_CUT, 0, small), SCENE(AGAIN_CUT, 0, large), NULL);
    cr_expect_eq(stock->new_count, 2);
    const LargestFirst other = largest_first_of(SCENE(AGAIN_CUT, 0, small), SCENE(AGAIN_CUT, 0, large));
    cr_expect_eq(other.new_count, 1);
    cr_assert_eq(other.scene_count, 2);
    cr_expect_str_eq(other.scenes[0], "02-b");
    cr_expect_eq(largest_first_of(SCENE(AGAIN_NEVER, 0, small), SCENE(AGAIN_NEVER, 0, large)).new_count, 2);
}

/* A wall of the book is cut for whichever set is built first: no set before it lends it a board. */
Test(book_cutting, what_the_book_builds_once_comes_with_the_first_set) {
    CutItem wall = rectangle("01-a", "wall", 4 * MM_PER_FOOT, 7 * MM_PER_FOOT);
    wall.of_book = true;
    CutItem again = wall;
    again.scene = "02-b";
    const CutItem large = rectangle("02-b", "base", 4 * MM_PER_FOOT, 8 * MM_PER_FOOT);
    cr_expect_eq(largest_first_of(SCENE(AGAIN_CUT, 0, wall), SCENE(AGAIN_CUT, 0, large, again)).new_count, 2);
}
