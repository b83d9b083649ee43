/* The parts of scenes on their sheets, stock by stock. */
#include "shop/cutting.h"
#include "shop/plan_to_parts.h"
#include "spec.h"

#include <criterion/criterion.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}
static void tear_down(void) {
    arena_free(arena);
}
TestSuite(cutting, .init = set_up, .fini = tear_down);

#define BOOK                                                                                                 \
    "groundrow: 1\n"                                                                                         \
    "page: {wide: 11 in, tall: 8 1/2 in, bleed: 1/8 in}\n"                                                   \
    "cast: {otter: {tall: 11 in, eyes: 9 3/4 in, wide: 5 in, deep: 4 in}}\n"                                 \
    "cameras: {hired: {sensor: 36 x 24 mm}}\n"                                                               \
    "stock:\n"                                                                                               \
    "  card: {sheet: 40 x 60 in, thick: 1/2 in, have: [16 x 14 in]}\n"                                       \
    "  paper: {sheet: 40 x 60 in}\n"                                                                         \
    "  rod: {long: 36 in, thick: 1/2 in, kerf: 1/8 in, have: [13 in]}\n"                                     \
    "  scraps: {thick: 1/2 in, have: [16 x 14 in]}\n"                                                        \
    "flats: {house: {wide: 16 in, tall: 13 in, stock: card}}\n"

#define SCENE                                                                                                \
    "scene: x\n"                                                                                             \
    "pages: 8-9\n"                                                                                           \
    "drawing: {wide: 420 mm}\n"                                                                              \
    "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"                                   \
    "camera: {lens: 85 mm, height: 10 in}\n"                                                                 \
    "accept: [camera shoots-off]\n"                                                                          \
    "ground: {rear: 54 in}\n"

static const Cutting *cutting_of(const char *more) {
    Spec spec = spec_of(arena, BOOK, arena_format(arena, "%s%s", SCENE, more));
    cr_assert(spec.plan != NULL, "%s", spec_words(arena, &spec));
    const Parts *parts = plan_to_parts(arena, spec.plan, &spec.diagnostics);
    cr_assert(parts->cutting != NULL, "%s", spec_words(arena, &spec));
    return parts->cutting;
}

static const StockCut *stock(const Cutting *cutting, const char *name) {
    for (int i = 0; i < cutting->stock_count; i++)
        if (text_equal(cutting->stocks[i].stock.name, name)) return &cutting->stocks[i];
    cr_assert(false, "nothing is cut from %s", name);
    return NULL;
}

Test(cutting, what_is_on_hand_goes_first) {
    const StockCut *card = stock(cutting_of("flats: {house: {at: {back: 40 in}}}\n"), "card");
    cr_expect_eq(card->new_count, 0);
    cr_expect_eq(card->nest->sheet_count, 1);
}

/* Built once, on both sets: one sheet on hand serves the book. Of two that differ, it does not. */
Test(cutting, a_piece_of_the_book_is_cut_once) {
    const Cutting *both[] = {cutting_copy(arena, cutting_of("flats: {house: {at: {back: 40 in}}}\n")),
                             cutting_copy(arena, cutting_of("flats: {house: {at: {back: 30 in}}}\n"))};
    const StockCut *card = stock(cuttings_to_one(arena, both, 2), "card");
    cr_expect_eq(stock_cut_parts(card), 1);
    cr_expect_eq(card->new_count, 0);
    const Cutting *own[] = {
        cutting_copy(arena, cutting_of("flats: {house: {at: {back: 40 in}}}\n")),
        cutting_copy(
            arena,
            cutting_of("flats: {shed: {wide: 16 in, tall: 13 in, stock: card, at: {back: 30 in}}}\n"))};
    const StockCut *two = stock(cuttings_to_one(arena, own, 2), "card");
    cr_expect_eq(stock_cut_parts(two), 2);
    cr_expect_eq(two->new_count, 1);
}

/* 36 in hold two of 12 in with their kerfs, and not three: 3 x 12 + 2 x 1/8. The one on hand holds one. */
Test(cutting, lengths_are_cut_with_their_kerfs) {
    const StockCut *rod = stock(
        cutting_of("pieces: {mast: {shape: post, thick: 1/2 in, tall: 12 in, stock: rod, row: {count: 5, "
                   "every: 2 in}, at: {across: 10 in, back: 9 in}}}\n"),
        "rod");
    cr_expect_eq(rod->new_count, 2);
    cr_expect_eq(rod->nest->sheet_count, 3);
    cr_expect_eq(rod->nest->left_over_count, 0);
}

Test(cutting, what_cannot_be_bought_runs_out) {
    const StockCut *scraps =
        stock(cutting_of("flats:\n"
                         "  a: {wide: 16 in, tall: 13 in, stock: scraps, at: {back: 30 in}}\n"
                         "  b: {wide: 16 in, tall: 13 in, stock: scraps, at: {back: 40 in}}\n"),
              "scraps");
    cr_expect_eq(scraps->new_count, 0);
    cr_expect_eq(scraps->nest->left_over_count, 1);
}

/* A stock without a thickness is as thick as what is cut from it: two thicknesses never share a sheet. */
Test(cutting, thicknesses_do_not_share_sheets) {
    const Cutting *cutting =
        cutting_of("flats:\n"
                   "  a: {wide: 16 in, tall: 13 in, thick: 2 mm, stock: paper, at: {back: 30 in}}\n"
                   "  b: {wide: 16 in, tall: 13 in, thick: 1 mm, stock: paper, at: {back: 40 in}}\n");
    cr_assert_eq(cutting->stock_count, 2);
    cr_expect_eq(cutting->stocks[0].new_count, 1);
    cr_expect_eq(cutting->stocks[1].new_count, 1);
    cr_expect_lt(cutting->stocks[0].stock.thick_mm, cutting->stocks[1].stock.thick_mm);
}
