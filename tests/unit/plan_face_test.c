#include "plan/plan_face.h"
#include "report_sample.h"

#include <criterion/criterion.h>

/* The fox of report_sample.h: eyes at (150, 120) on the drawing of 360 x 240 mm, its face 17.64 mm tall and
 * wide; pages of 180 mm, 10 mm safe, 15 mm gutter. */
static const double HALF = 29.4 * 0.3;

static PlanFace face_at(Sample *sample, double across_mm, double up_mm) {
    PlanFace face;
    sample->planned[FOX].at = (Point3){across_mm, 0, up_mm};
    cr_assert(plan_face(&sample->planned[FOX], &sample->planned_shot, &face));
    return face;
}

static void is_near(PageArea area, double x, double y) {
    cr_assert_float_eq(area.left_mm, x - HALF, 1e-9);
    cr_assert_float_eq(area.right_mm, x + HALF, 1e-9);
    cr_assert_float_eq(area.low_mm, y - HALF, 1e-9);
    cr_assert_float_eq(area.high_mm, y + HALF, 1e-9);
}

Test(plan_face, by_similar_triangles) {
    Arena *arena = arena_new();
    Sample *sample = sample_new(arena, STYLE_MILLIMETRES);
    const PlanFace face = face_at(sample, 0, 0);
    is_near(face.area, 150, 120);
    cr_assert(face.in_picture && !face.in_gutter && !face.off_safe && face.text < 0);
    arena_free(arena);
}

/* 0.3 drawn mm a real one: the gutter begins at 165 mm, so that a face of half 8.82 mm is clear up to 156.18.
 */
Test(plan_face, is_in_the_gutter_from_its_edge_on) {
    Arena *arena = arena_new();
    Sample *sample = sample_new(arena, STYLE_MILLIMETRES);
    cr_assert_not(face_at(sample, 20.5, 0).in_gutter); /* middle at 156.15 */
    cr_assert(face_at(sample, 20.7, 0).in_gutter);     /* at 156.21 */
    cr_assert_not(face_at(sample, 20.7, 0).off_safe, "one fault is said once");
    cr_assert(face_at(sample, 179, 0).in_gutter);     /* at 203.7, 195 - 203.82 */
    cr_assert_not(face_at(sample, 180, 0).in_gutter); /* at 204 */
    arena_free(arena);
}

Test(plan_face, is_off_the_safe_area_before_it_is_off_the_page) {
    Arena *arena = arena_new();
    Sample *sample = sample_new(arena, STYLE_MILLIMETRES);
    cr_assert_not(face_at(sample, 0, 337).off_safe); /* 120 + 101.1 + 8.82 < 230 */
    cr_assert(face_at(sample, 0, 338).off_safe);
    cr_assert(face_at(sample, 0, 338).in_picture);
    cr_assert(face_at(sample, 0, 420).in_picture); /* its chin, 237.18 */
    cr_assert_not(face_at(sample, 0, 440).in_picture);
    cr_assert_not(face_at(sample, 0, 440).off_safe, "not in the picture, it matters to nobody");
    arena_free(arena);
}

Test(plan_face, is_under_the_text_that_it_meets) {
    Arena *arena = arena_new();
    Sample *sample = sample_new(arena, STYLE_MILLIMETRES);
    PageText texts[] = {{"title", {20, 100, 200, 230}}, {"verse", {100, 145, 100, 112}}};
    sample->planned_shot.areas.texts = texts;
    sample->planned_shot.areas.text_count = 2;
    cr_assert_eq(face_at(sample, 0, 0).text, 1);
    texts[1].area.high_mm = 111;
    cr_assert_eq(face_at(sample, 0, 0).text, -1);
    arena_free(arena);
}

Test(plan_face, is_none_behind_the_lens) {
    Arena *arena = arena_new();
    Sample *sample = sample_new(arena, STYLE_MILLIMETRES);
    PlanFace face;
    sample->planned[FOX].at = (Point3){0, -3001, 0};
    cr_assert_not(plan_face(&sample->planned[FOX], &sample->planned_shot, &face));
    arena_free(arena);
}

Test(plan_face, moves_the_least_way) {
    const PageArea inner = {10, 20, 10, 20}, beside = {18, 40, 0, 30}, under = {0, 40, 0, 13},
                   room = {12, 40, 0, 18};
    PageMove moves[4];
    page_moves_clear(inner, beside, moves);
    cr_assert(!moves[0].up && moves[0].by_mm == -2);
    for (int i = 0; i < 3; i++)
        cr_assert_leq(fabs(moves[i].by_mm), fabs(moves[i + 1].by_mm));
    cr_assert_eq(page_area_moved(inner, moves[0]).right_mm, 18);
    page_moves_clear(inner, under, moves);
    cr_assert(moves[0].up && moves[0].by_mm == 3);
    cr_assert_eq(page_area_moved(inner, moves[0]).low_mm, 13);
    const PageMove move = page_move_within(inner, room); /* out by 2 on two sides: the first */
    cr_assert_eq(fabs(move.by_mm), 2);
    const PageArea wide = {0, 40, 0, 40};
    cr_assert_eq(page_move_within(inner, wide).by_mm, 0);
}
