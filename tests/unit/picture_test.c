/* The pictures of whole scenes, read back from their PNG: marks are where the facts say, whatever is drawn is
 * the same every time, and what is not built is told. */
#include "model/plan_to_set.h"
#include "picture/labels.h"
#include "picture/set_to_pictures.h"
#include "read_back.h"
#include "report/plan_to_facts.h"
#include "see/set_to_seen.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>
#include <pthread.h>

typedef struct Shown {
    Arena *arena;
    Spec spec;
    const Facts *facts;
    Pictures pictures;
} Shown;

static Shown show(const char *scene) {
    Shown shown = {.arena = arena_new()};
    shown.spec = spec_of(shown.arena, FERRY_BOOK, scene);
    cr_assert(shown.spec.plan, "%s", spec_words(shown.arena, &shown.spec));
    Model *set = plan_to_set(shown.arena, shown.spec.plan);
    shown.spec.plan->seen = set_to_seen(shown.arena, shown.spec.plan, set, 160);
    shown.facts = plan_to_facts(shown.arena, shown.spec.plan);
    shown.pictures = set_to_pictures(shown.arena, shown.spec.plan, set, shown.facts);
    return shown;
}

static const PictureFile *file_ending(const Shown *shown, const char *ending) {
    for (size_t i = 0; i < shown->pictures.count; i++) {
        if (text_equal(shown->pictures.files[i].ending, ending)) return &shown->pictures.files[i];
    }
    return NULL;
}

/* ---- Read back */

static ReadBack read_file(Arena *arena, const PictureFile *file) {
    const ReadBack read = read_back(arena, file->bytes, file->count);
    cr_assert_eq(read.wide_px, file->wide_px);
    cr_assert_eq(read.tall_px, file->tall_px);
    return read;
}

static double luma(const ReadBack *read, int x, int y) {
    if (x < 0 || y < 0 || x >= read->wide_px || y >= read->tall_px) return 0;
    const png_bytep p = read_back_at(read, x, y);
    return 0.3 * p[0] + 0.6 * p[1] + 0.1 * p[2];
}

/* ---- Marks */

enum { ARM = 8, SEARCH = 6 };

/* How much darker than their rims the arms of a cross are whose middle is in a pixel. */
static double cross_at(const ReadBack *read, int x, int y, bool slanted) {
    double sum = 0;
    for (int t = -ARM; t <= ARM; t++) {
        if (t >= -2 && t <= 2) continue;
        if (slanted) {
            if (t < -6 || t > 6) continue;
            sum += luma(read, x + t + 2, y + t - 1) / 2 + luma(read, x + t - 2, y + t + 1) / 2 -
                   luma(read, x + t, y + t);
            sum += luma(read, x + t + 2, y - t + 1) / 2 + luma(read, x + t - 2, y - t - 1) / 2 -
                   luma(read, x + t, y - t);
        } else {
            sum += luma(read, x + t, y - 2) / 2 + luma(read, x + t, y + 2) / 2 - luma(read, x + t, y);
            sum += luma(read, x - 2, y + t) / 2 + luma(read, x + 2, y + t) / 2 - luma(read, x, y + t);
        }
    }
    return sum;
}

/* The middle of the cross nearest by, weighed over the best pixels; the middle of a pixel is at a half. */
static double find_cross(const ReadBack *read, double *x, double *y, bool slanted) {
    double best = 0, sum = 0, sum_x = 0, sum_y = 0;
    const int x0 = (int)floor(*x), y0 = (int)floor(*y);
    for (int pass = 0; pass < 2; pass++) {
        for (int j = -SEARCH; j <= SEARCH; j++) {
            for (int i = -SEARCH; i <= SEARCH; i++) {
                const double score = cross_at(read, x0 + i, y0 + j, slanted);
                if (pass == 0) best = fmax(best, score);
                if (pass == 0 || score < 0.75 * best) continue;
                sum += score;
                sum_x += score * (x0 + i + 0.5);
                sum_y += score * (y0 + j + 0.5);
            }
        }
    }
    *x = sum_x / sum;
    *y = sum_y / sum;
    return best;
}

/* The frame, bleed and all, is 1140 px wide and begins at (30, 96); the places are the facts'. */
static int check_marks(const Shown *shown, const char *ending, const char *shot, const char *things) {
    const PlanShot *planned = &shown->spec.plan->shots[0];
    for (size_t s = 0; s < shown->spec.plan->shot_count; s++) {
        if (text_equal(shown->spec.plan->shots[s].name, shot)) planned = &shown->spec.plan->shots[s];
    }
    const Picture *picture = &planned->picture;
    const double drawn = picture->drawing_wide_mm / picture->trim_wide_mm;
    const double frame_wide = picture->frame_wide_mm * drawn, frame_tall = picture->frame_tall_mm * drawn;
    const double bleed_x = (frame_wide - picture->drawing_wide_mm) / 2,
                 bleed_y = (frame_tall - picture->drawing_tall_mm) / 2;
    const double wide_px = 1140, tall_px = floor(wide_px * frame_tall / frame_wide + 0.5);
    const ReadBack read = read_file(shown->arena, file_ending(shown, ending));
    int marks = 0;
    for (size_t i = 0; i < shown->facts->points.count; i++) {
        const FactPoint *point = &shown->facts->points.items[i];
        if (!text_equal(point->shot, shot) || !strstr(things, point->thing) || !point->seen) continue;
        if (text_starts(point->point, "rear")) continue; /* of a box, the face that one measures is marked */
        const double x = 30 + (point->x_mm + bleed_x) / frame_wide * wide_px,
                     y = 96 + tall_px - (point->y_mm + bleed_y) / frame_tall * tall_px;
        if (x < 40 || x > 1160 || y < 106 || y > 96 + tall_px - 10) continue;
        double found_x = x, found_y = y;
        const double score = find_cross(&read, &found_x, &found_y, text_equal(point->point, "eyes"));
        cr_expect_gt(score, 400, "%s, %s: no cross at (%.1f, %.1f), score %.0f", point->thing, point->point,
                     x, y, score);
        cr_expect_lt(hypot(found_x - x, found_y - y), 1, "%s, %s: at (%.2f, %.2f), not (%.2f, %.2f)",
                     point->thing, point->point, found_x, found_y, x, y);
        marks++;
    }
    return marks;
}

Test(pictures, every_mark_is_within_a_pixel_of_the_facts) {
    const Shown shown = show(FOG_SCENE);
    cr_assert_eq(shown.pictures.files[0].wide_px, 1200);
    cr_expect_eq(check_marks(&shown, ".png", "", "otter, heron"), 6);
    arena_free(shown.arena);
}

#define QUAY_SCENE                                                                                           \
    "scene: The quay\nground: {rear: 34 in}\nbackdrop: {at: {back: 32 in}}\n"                                \
    "pieces:\n  crate: {shape: box, wide: 5 in, tall: 4 in, deep: 4 in, turn: 30 deg left, drawn: {foot: "   \
    "[300 mm, 30 mm]}}\n"                                                                                    \
    "shots:\n"                                                                                               \
    "  whole: {pages: 8-9, drawing: {wide: 420 mm}, camera: {lens: 85 mm, height: 13 in},\n"                 \
    "    mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 72 mm}}}\n"                              \
    "  near: {pages: 10, drawing: {wide: 280 mm}, camera: {lens: 85 mm, height: 14 in}, allow: {lens: 85 "   \
    "mm},\n"                                                                                                 \
    "    mark: {puppet: heron, at: {across: 9 in, back: 3 in}, drawn: {foot: [150 mm, 40 mm], tall: 122 "    \
    "mm}}}\n"

Test(pictures, shots_have_pictures_of_their_own) {
    const Shown shown = show(QUAY_SCENE);
    cr_assert(file_ending(&shown, ".whole.png"));
    cr_assert(file_ending(&shown, ".near.png"));
    cr_expect_eq(check_marks(&shown, ".whole.png", "whole", "otter, crate"), 3 + 4);
    cr_expect_eq(check_marks(&shown, ".near.png", "near", "heron"), 3);
    cr_expect(strstr(file_ending(&shown, ".near.png")->alt, "heron"));
    cr_expect_not(strstr(file_ending(&shown, ".near.png")->alt, "otter"), "it stands in the other shot");
    arena_free(shown.arena);
}

/* ---- What is not built */

static const char *without(Arena *arena, const char *scene, const char *line_start) {
    const char *from = strstr(scene, line_start), *to = strchr(from, '\n') + 1;
    return arena_format(arena, "%.*s%s", (int)(from - scene), scene, to);
}

/* Stripes of one colour: a pixel of it, by how far it is from grey. */
static size_t striped(const ReadBack *read, int from_y, int to_y) {
    size_t count = 0;
    for (int y = from_y; y < to_y; y++) {
        for (int x = 40; x < 1160; x++) {
            const png_bytep p = read_back_at(read, x, y);
            count += p[0] > 170 && p[1] < 60 && p[2] > 60 && p[2] < 120;
        }
    }
    return count;
}

Test(pictures, what_is_not_built_is_striped_and_told) {
    const Shown whole = show(FOG_SCENE);
    const Shown open = show(without(whole.arena, FOG_SCENE, "backdrop"));
    const ReadBack before = read_file(whole.arena, &whole.pictures.files[0]),
                   after = read_file(open.arena, &open.pictures.files[0]);
    cr_expect_eq(striped(&before, 96, 540), 0);
    cr_expect_gt(striped(&after, 110, 200), 20000);
    cr_expect_eq(striped(&after, 440, 540), 0, "the ground is built");
    cr_expect(strstr(whole.pictures.files[0].alt, "shoots off the set nowhere"));
    cr_expect(strstr(open.pictures.files[0].alt, "In places it shoots off the set"));
    arena_free(open.arena);
    arena_free(whole.arena);
}

/* ---- The same bytes */

static void *show_again(void *context) {
    Shown *shown = context;
    *shown = show(FOG_SCENE);
    return NULL;
}

Test(pictures, threads_make_the_same_bytes) {
    enum { THREADS = 3 };
    pthread_t threads[THREADS];
    Shown all[THREADS];
    const Shown one = show(FOG_SCENE);
    for (int i = 0; i < THREADS; i++)
        cr_assert_eq(pthread_create(&threads[i], NULL, show_again, &all[i]), 0);
    for (int i = 0; i < THREADS; i++) {
        pthread_join(threads[i], NULL);
        cr_assert_eq(all[i].pictures.count, one.pictures.count);
        for (size_t p = 0; p < one.pictures.count; p++) {
            const PictureFile *a = &one.pictures.files[p], *b = &all[i].pictures.files[p];
            cr_assert_eq(a->count, b->count);
            cr_assert_eq(memcmp(a->bytes, b->bytes, a->count), 0);
        }
        arena_free(all[i].arena);
    }
    arena_free(one.arena);
}

/* ---- Words */

Test(labels, no_word_lies_on_another_or_leaves_the_picture) {
    Arena *arena = arena_new();
    Canvas *canvas = canvas_new(arena, 600, 400, 0xFFFFFF);
    const CanvasBox within = {10, 10, 590, 390};
    Labels labels = labels_new(arena, canvas, within);
    const TextStyle style = {.size_px = 18, .plate = 1, .plate_color = 0xFFFFFF};
    size_t placed = 0;
    for (int i = 0; i < 60; i++) {
        const Label label =
            label_at("mooring post", &style, 12 + i * 7 % 60 * 9.7, 12 + i * 11 % 60 * 6.3, 6, 200);
        placed += labels_place(&labels, &label);
    }
    cr_expect_gt(placed, 20);
    size_t words = 0;
    for (size_t i = 0; i < labels.taken.count; i++) {
        const CanvasBox box = labels.taken.items[i];
        if (box.right_px - box.left_px < 40) continue; /* of a line that leads to a word */
        words++;
        cr_expect(box.left_px >= 10 && box.top_px >= 10 && box.right_px <= 590 && box.bottom_px <= 390);
        for (size_t j = 0; j < labels.taken.count; j++) {
            const bool word = labels.taken.items[j].right_px - labels.taken.items[j].left_px >= 40;
            if (j != i && word) cr_expect_not(canvas_boxes_meet(box, labels.taken.items[j]));
        }
    }
    cr_expect_eq(words, placed);
    canvas_free(canvas);
    arena_free(arena);
}
