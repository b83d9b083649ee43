#include "plan/page_areas.h"

#include <criterion/criterion.h>
#include <math.h>

/* The book of docs/language.md: two pages of 11 x 8 1/2 in, 1/8 in bleed, 3/8 in safe and gutter; the drawing
 * 420 mm wide, so that a paper inch is 25.4 x 420 / 558.8 = 19.0909... mm on it. */
enum { INCH_OF_DRAWING_COUNT = 22 };
static const double INCH = 25.4, DRAWN = 420.0 / INCH_OF_DRAWING_COUNT;

static Picture picture_of(double wide_in, double tall_in, bool across, bool up) {
    const PictureWishes wishes = {.page_wide_mm = 11 * INCH,
                                  .page_tall_mm = 8.5 * INCH,
                                  .bleed_mm = INCH / 8,
                                  .pages = 2,
                                  .part_wide_mm = wide_in * INCH,
                                  .part_tall_mm = tall_in * INCH,
                                  .no_bleed_across = !across,
                                  .no_bleed_up = !up,
                                  .drawing_wide_mm = wide_in > 0 ? wide_in * DRAWN : 420,
                                  .sensor_wide_mm = 36,
                                  .sensor_tall_mm = 24,
                                  .crop_uses = 1};
    return picture_new(&wishes);
}

static PageWishes spread(void) {
    return (PageWishes){.page_wide_mm = 11 * INCH,
                        .page_tall_mm = 8.5 * INCH,
                        .page_count = 2,
                        .fold = FOLD_IN_MIDDLE,
                        .safe_mm = INCH * 3 / 8,
                        .gutter_mm = INCH * 3 / 8};
}

static PageWishes single(PageFold fold) {
    PageWishes wishes = spread();
    wishes.page_count = 1;
    wishes.fold = fold;
    return wishes;
}

/* In paper inches from the drawing's lower left corner. */
static void is_at(PageArea area, double left, double right, double low, double high) {
    cr_assert_float_eq(area.left_mm / DRAWN, left, 1e-9, "left %g, not %g", area.left_mm / DRAWN, left);
    cr_assert_float_eq(area.right_mm / DRAWN, right, 1e-9, "right %g, not %g", area.right_mm / DRAWN, right);
    cr_assert_float_eq(area.low_mm / DRAWN, low, 1e-9, "low %g, not %g", area.low_mm / DRAWN, low);
    cr_assert_float_eq(area.high_mm / DRAWN, high, 1e-9, "high %g, not %g", area.high_mm / DRAWN, high);
}

Test(page_areas, a_spread_has_a_safe_area_a_page_and_a_gutter_between) {
    Arena *arena = arena_new();
    const Picture picture = picture_of(0, 0, true, true);
    const PageWishes wishes = spread();
    const PageAreas areas = page_areas_new(arena, &wishes, &picture);
    is_at(areas.picture, 0, 22, 0, 8.5);
    is_at(areas.pages, 0, 22, 0, 8.5);
    is_at(areas.frame, -0.125, 22.125, -0.125, 8.625);
    cr_assert(areas.bleeds);
    cr_assert_eq(areas.safe_count, 2);
    is_at(areas.safe[0], 0.375, 10.625, 0.375, 8.125);
    is_at(areas.safe[1], 11.375, 21.625, 0.375, 8.125);
    cr_assert(areas.has_gutter);
    is_at(areas.gutter, 10.625, 11.375, 0, 8.5);
    arena_free(arena);
}

/* A4 with 3 mm of bleed is 216 x 303 mm (adismedia.com.au, print know-how); with 3 mm kept free its safe zone
 * is 204 x 291 mm (uicorn.com, guide 09). */
Test(page_areas, a_printer_s_a4) {
    Arena *arena = arena_new();
    const PictureWishes picture_wishes = {.page_wide_mm = 210,
                                          .page_tall_mm = 297,
                                          .bleed_mm = 3,
                                          .pages = 1,
                                          .sensor_wide_mm = 24,
                                          .sensor_tall_mm = 36,
                                          .crop_uses = 1};
    const PageWishes wishes = {.page_wide_mm = 210, .page_tall_mm = 297, .page_count = 1, .safe_mm = 3};
    const Picture picture = picture_new(&picture_wishes);
    const PageAreas areas = page_areas_new(arena, &wishes, &picture);
    cr_assert_float_eq(areas.frame.right_mm - areas.frame.left_mm, 216, 1e-9);
    cr_assert_float_eq(areas.frame.high_mm - areas.frame.low_mm, 303, 1e-9);
    cr_assert_float_eq(areas.safe[0].right_mm - areas.safe[0].left_mm, 204, 1e-9);
    cr_assert_float_eq(areas.safe[0].high_mm - areas.safe[0].low_mm, 291, 1e-9);
    arena_free(arena);
}

Test(page_areas, without_a_gutter_a_spread_is_safe_across_the_fold) {
    Arena *arena = arena_new();
    const Picture picture = picture_of(0, 0, true, true);
    PageWishes wishes = spread();
    wishes.gutter_mm = 0;
    PageAreas areas = page_areas_new(arena, &wishes, &picture);
    cr_assert_eq(areas.safe_count, 1);
    is_at(areas.safe[0], 0.375, 21.625, 0.375, 8.125);
    cr_assert_not(areas.has_gutter);
    wishes.safe_mm = 0;
    areas = page_areas_new(arena, &wishes, &picture);
    cr_assert_eq(areas.safe_count, 0);
    arena_free(arena);
}

Test(page_areas, a_single_page_is_bound_at_its_inner_edge) {
    Arena *arena = arena_new();
    Picture picture = picture_of(11, 8.5, true, true);
    PageWishes wishes = single(FOLD_AT_RIGHT); /* an even page lies left */
    wishes.gutter_mm = INCH / 2;
    PageAreas areas = page_areas_new(arena, &wishes, &picture);
    cr_assert_eq(areas.safe_count, 1);
    is_at(areas.safe[0], 0.375, 10.5, 0.375, 8.125);
    is_at(areas.gutter, 10.5, 11, 0, 8.5);
    wishes.fold = FOLD_AT_LEFT;
    areas = page_areas_new(arena, &wishes, &picture);
    is_at(areas.safe[0], 0.5, 10.625, 0.375, 8.125);
    is_at(areas.gutter, 0, 0.5, 0, 8.5);
    wishes.fold = FOLD_UNKNOWN;
    areas = page_areas_new(arena, &wishes, &picture);
    is_at(areas.safe[0], 0.375, 10.625, 0.375, 8.125);
    cr_assert_not(areas.has_gutter);
    arena_free(arena);
}

/* 9 x 6 in on the right page, its lower left corner 12 in across the spread and 2 in up. */
Test(page_areas, a_part_has_its_own_corner_and_what_of_the_margins_lies_on_it) {
    Arena *arena = arena_new();
    const Picture picture = picture_of(9, 6, false, false);
    const PageText texts[] = {{"verse", {12 * INCH, 16 * INCH, 1 * INCH, 3 * INCH}},
                              {"folio", {12 * INCH, 16 * INCH, 0, 1 * INCH}}};
    PageWishes wishes = spread();
    wishes.picture_left_mm = 12 * INCH;
    wishes.picture_low_mm = 2 * INCH;
    wishes.texts = texts;
    wishes.text_count = 2;
    const PageAreas areas = page_areas_new(arena, &wishes, &picture);
    is_at(areas.picture, 0, 9, 0, 6);
    is_at(areas.frame, 0, 9, 0, 6);
    cr_assert_not(areas.bleeds);
    is_at(areas.pages, -12, 10, -2, 6.5);
    cr_assert_eq(areas.safe_count, 1, "the left page has nothing of it");
    is_at(areas.safe[0], 0, 9, 0, 6);
    cr_assert_not(areas.has_gutter);
    cr_assert_eq(areas.text_count, 1);
    is_at(areas.texts[0].area, 0, 4, 0, 1); /* the lower half lies beside the picture */
    cr_assert_eq(areas.beside_count, 1);
    cr_assert_str_eq(areas.beside[0], "folio");
    const PageArea back = page_area_on_paper(&areas, areas.texts[0].area);
    cr_assert_float_eq(back.left_mm, 12 * INCH, 1e-9);
    cr_assert_float_eq(back.high_mm, 3 * INCH, 1e-9);
    arena_free(arena);
}

Test(page_areas, a_part_bleeds_only_where_it_reaches_the_trim) {
    const double wide = 22 * INCH, tall = 8.5 * INCH;
    const PageArea band = {0, wide, 2.5 * INCH, tall}, middle = {1, wide - 1, 1, tall - 1},
                   foot = {1, wide - 1, 0, tall - 1};
    PictureBleeds bleeds = picture_bleeds(&band, wide, tall);
    cr_assert(bleeds.across && bleeds.up);
    bleeds = picture_bleeds(&middle, wide, tall);
    cr_assert(!bleeds.across && !bleeds.up);
    bleeds = picture_bleeds(&foot, wide, tall);
    cr_assert(!bleeds.across && bleeds.up);
    const Picture picture = picture_of(20, 6, false, true);
    cr_assert_float_eq(picture.frame_wide_mm, 20 * INCH, 1e-9);
    cr_assert_float_eq(picture.frame_tall_mm, 6.25 * INCH, 1e-9);
}

Test(page_areas, areas_that_only_touch_share_nothing) {
    const PageArea a = {0, 10, 0, 10}, beside = {10, 20, 0, 10}, over = {9, 12, 8, 30};
    PageArea shared;
    cr_assert_not(page_area_shared(a, beside, NULL));
    cr_assert(page_area_shared(a, over, &shared));
    cr_assert_float_eq(shared.left_mm, 9, 1e-12);
    cr_assert_float_eq(shared.high_mm, 10, 1e-12);
    cr_assert(page_area_within(shared, a) && page_area_within(a, a) && !page_area_within(over, a));
}
