#include "picture/canvas.h"
#include "read_back.h"

#include <criterion/criterion.h>
#include <math.h>
#include <pthread.h>
#include <string.h>

static const TextStyle plain = {.size_px = 20, .color = 0x000000};

/* ---- Letters */

/* Advance widths of DejaVu Sans 2.37 in units of 2048 to the em, as its hmtx table has them (read with
 * fontTools). */
Test(font, widths_are_the_fonts_own) {
    Font *font = font_new();
    const double em = 2048;
    cr_expect_float_eq(font_wide(font, FACE_PLAIN, "m"), 1995 / em, 1e-12);
    cr_expect_float_eq(font_wide(font, FACE_PLAIN, "i"), 569 / em, 1e-12);
    cr_expect_float_eq(font_wide(font, FACE_BOLD, "m"), 2134 / em, 1e-12);
    cr_expect_float_eq(font_wide(font, FACE_PLAIN, "mimi"), 2 * (1995 + 569) / em, 1e-12);
    cr_expect_float_eq(font_wide(font, FACE_PLAIN, "\xC3\xB8"), 1253 / em, 1e-12);
    cr_expect_float_eq(font_cap_tall(font, FACE_PLAIN), 1493 / em, 1e-12);
    cr_expect_eq(font_wide(font, FACE_PLAIN, ""), 0);
    font_free(font);
}

Test(font, what_is_no_text_is_unknown_letters) {
    Font *font = font_new();
    cr_expect_float_eq(font_wide(font, FACE_PLAIN, "\xFF\xFE"),
                       2 * font_wide(font, FACE_PLAIN, "\xEF\xBF\xBD"), 1e-12);
    font_free(font);
}

/* ---- Pixels */

static uint32_t pixel(Canvas *canvas, int x, int y) {
    return canvas_pixels(canvas)[y * canvas_wide_px(canvas) + x] & 0xFFFFFF;
}

Test(canvas, places_are_pixels_from_the_upper_left_corner) {
    Arena *arena = arena_new();
    Canvas *canvas = canvas_new(arena, 40, 30, 0xFFFFFF);
    canvas_fill_box(canvas, (CanvasBox){10, 5, 20, 8}, 0x102030, 1);
    cr_expect_eq(pixel(canvas, 10, 5), 0x102030);
    cr_expect_eq(pixel(canvas, 19, 7), 0x102030);
    cr_expect_eq(pixel(canvas, 9, 5), 0xFFFFFF);
    cr_expect_eq(pixel(canvas, 20, 7), 0xFFFFFF);
    cr_expect_eq(pixel(canvas, 10, 8), 0xFFFFFF);
    canvas_cross(canvas, 30.5, 20.5, 4, false, &(LineStyle){.color = 0xAA0000, .wide_px = 1});
    cr_expect_eq(pixel(canvas, 30, 20), 0xAA0000);
    cr_expect_eq(pixel(canvas, 33, 20), 0xAA0000);
    cr_expect_eq(pixel(canvas, 30, 17), 0xAA0000);
    cr_expect_eq(pixel(canvas, 31, 19), 0xFFFFFF);
    canvas_free(canvas);
    arena_free(arena);
}

Test(canvas, a_clip_keeps_what_is_drawn_inside) {
    Arena *arena = arena_new();
    Canvas *canvas = canvas_new(arena, 20, 20, 0xFFFFFF);
    canvas_clip(canvas, (CanvasBox){5, 5, 10, 10});
    canvas_fill_box(canvas, (CanvasBox){0, 0, 20, 20}, 0x000000, 1);
    canvas_unclip(canvas);
    int dark = 0;
    for (int i = 0; i < 400; i++)
        dark += (canvas_pixels(canvas)[i] & 0xFFFFFF) == 0;
    cr_expect_eq(dark, 25);
    canvas_free(canvas);
    arena_free(arena);
}

/* Black and white squares made smaller by two are grey throughout: the mean of an area. */
Test(canvas, an_image_is_scaled_by_the_mean_of_areas) {
    enum { SIDE = 16 };
    Arena *arena = arena_new();
    uint32_t image[SIDE * SIDE];
    for (int i = 0; i < SIDE * SIDE; i++)
        image[i] = (i % SIDE + i / SIDE) % 2 ? 0xFFFFFFFF : 0xFF000000;
    Canvas *canvas = canvas_new(arena, 12, 12, 0xFFFFFF);
    canvas_image(canvas, image, SIDE, SIDE, (CanvasBox){2, 2, 10, 10}, BLEND_OVER, 1);
    for (int y = 2; y < 10; y++) {
        for (int x = 2; x < 10; x++)
            cr_expect_eq(pixel(canvas, x, y), 0x808080);
    }
    cr_expect_eq(pixel(canvas, 1, 1), 0xFFFFFF);
    cr_expect_eq(pixel(canvas, 10, 10), 0xFFFFFF);
    canvas_free(canvas);
    arena_free(arena);
}

Test(canvas, multiplied_at_half_strength) {
    Arena *arena = arena_new();
    const uint32_t image[3] = {0xFFFFFFFF, 0xFF000000, 0xFF0000FF};
    Canvas *canvas = canvas_new(arena, 3, 1, 0x808080);
    canvas_image(canvas, image, 3, 1, (CanvasBox){0, 0, 3, 1}, BLEND_MULTIPLY, 0.5);
    cr_expect_eq(pixel(canvas, 0, 0), 0x808080);
    cr_expect_eq(pixel(canvas, 1, 0), 0x404040);
    cr_expect_eq(pixel(canvas, 2, 0), 0x404080);
    canvas_free(canvas);
    arena_free(arena);
}

/* ---- Text */

Test(canvas, ink_stays_in_the_box_that_text_says) {
    Arena *arena = arena_new();
    const TextStyle styles[] = {
        {.size_px = 20, .halo_px = 2, .halo = 0xFF0000},
        {.size_px = 20, .plate = 1, .plate_color = 0xFFFF00, .align = TEXT_CENTRED, .middle = true},
        {.size_px = 30, .align = TEXT_TO_RIGHT, .face = FACE_BOLD, .upright = true},
    };
    for (size_t s = 0; s < sizeof styles / sizeof *styles; s++) {
        Canvas *canvas = canvas_new(arena, 300, 300, 0xFFFFFF);
        const CanvasBox box = canvas_text(canvas, 150, 150, &styles[s], "Quay \xC3\x85p\xC3\xA9");
        int inside = 0, outside = 0;
        for (int y = 0; y < 300; y++) {
            for (int x = 0; x < 300; x++) {
                if (pixel(canvas, x, y) == 0xFFFFFF) continue;
                const bool in =
                    x + 1 > box.left_px && x < box.right_px && y + 1 > box.top_px && y < box.bottom_px;
                in ? inside++ : outside++;
            }
        }
        cr_expect_eq(outside, 0, "style %zu: %d pixels outside", s, outside);
        cr_expect_gt(inside, 200);
        canvas_free(canvas);
    }
    arena_free(arena);
}

Test(canvas, text_that_does_not_fit_is_cut_between_letters) {
    Arena *arena = arena_new();
    Canvas *canvas = canvas_new(arena, 10, 10, 0xFFFFFF);
    cr_expect_str_eq(canvas_text_fitted(canvas, &plain, "short", 200), "short");
    const char *cut =
        canvas_text_fitted(canvas, &plain, "\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9", 50);
    cr_expect(text_ends(cut, "..."));
    cr_expect_eq((strlen(cut) - 3) % 2, 0, "cut within a letter");
    cr_expect_leq(canvas_text_wide_px(canvas, &plain, cut), 50);
    canvas_free(canvas);
    arena_free(arena);
}

/* ---- PNG */

static void draw_some(Canvas *canvas) {
    canvas_fill_box(canvas, (CanvasBox){10, 10, 90, 50}, 0x5B918C, 0.7);
    canvas_text(canvas, 60, 40,
                &(TextStyle){.size_px = 24, .align = TEXT_CENTRED, .halo_px = 3, .halo = 0xFFFFFF},
                "Lantern");
    canvas_arrow(
        canvas, 5, 55, 110, 60, 10, true,
        &(LineStyle){.color = 0xB03060, .wide_px = 2, .dash = DASH_LONG_DOT, .halo = 0xFFFFFF, .halo_px = 1});
    canvas_hatch(canvas, (CanvasBox){60, 5, 118, 30}, 6, &(LineStyle){.color = 0x000000, .wide_px = 1});
}

static Buffer some_png(Arena *arena) {
    Canvas *canvas = canvas_new(arena, 120, 64, 0xFFFFFF);
    draw_some(canvas);
    Buffer png = buffer_new(arena);
    canvas_to_png(canvas, 60, &png);
    canvas_free(canvas);
    return png;
}

Test(canvas, libpng_reads_back_every_pixel_and_what_the_file_says_of_itself) {
    Arena *arena = arena_new();
    const Buffer file = some_png(arena);
    Canvas *canvas = canvas_new(arena, 120, 64, 0xFFFFFF);
    draw_some(canvas);
    png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    PngSource source = {file.bytes, file.count};
    png_set_read_fn(png, &source, png_source_read);
    png_read_png(png, info, PNG_TRANSFORM_IDENTITY, NULL);
    cr_expect_eq(source.left, 0);
    cr_assert_eq(png_get_image_width(png, info), 120);
    cr_assert_eq(png_get_image_height(png, info), 64);
    cr_expect_eq(png_get_x_pixels_per_meter(png, info), 2000);
    cr_expect_eq(png_get_y_pixels_per_meter(png, info), 2000);
    png_textp texts;
    cr_assert_eq(png_get_text(png, info, &texts, NULL), 1);
    cr_expect_str_eq(texts[0].key, "Software");
    cr_expect_str_eq(texts[0].text, "groundrow");
    png_bytepp rows = png_get_rows(png, info);
    int wrong = 0;
    for (int y = 0; y < 64; y++) {
        for (int x = 0; x < 120; x++)
            wrong += pixel(canvas, x, y) != ((uint32_t)rows[y][3 * x] << 16 |
                                             (uint32_t)rows[y][3 * x + 1] << 8 | rows[y][3 * x + 2]);
    }
    cr_expect_eq(wrong, 0);
    png_destroy_read_struct(&png, &info, NULL);
    canvas_free(canvas);
    arena_free(arena);
}

typedef struct Draughtsman {
    pthread_t thread;
    Arena *arena;
    Buffer png;
} Draughtsman;

static void *draw_many(void *context) {
    Draughtsman *it = context;
    for (int i = 0; i < 20; i++)
        it->png = some_png(it->arena);
    return NULL;
}

Test(canvas, threads_side_by_side_draw_the_same_bytes) {
    enum { THREADS = 4 };
    Draughtsman all[THREADS];
    Arena *arena = arena_new();
    const Buffer one = some_png(arena);
    for (int i = 0; i < THREADS; i++) {
        all[i] = (Draughtsman){.arena = arena_new()};
        cr_assert_eq(pthread_create(&all[i].thread, NULL, draw_many, &all[i]), 0);
    }
    for (int i = 0; i < THREADS; i++) {
        pthread_join(all[i].thread, NULL);
        cr_expect_eq(all[i].png.count, one.count);
        cr_expect_eq(memcmp(all[i].png.bytes, one.bytes, one.count), 0);
        arena_free(all[i].arena);
    }
    arena_free(arena);
}
