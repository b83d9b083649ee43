#include "picture/canvas.h"
#include "picture/png_text.h"
#include "read_back.h"

#include <criterion/criterion.h>
#include <string.h>

static Arena *arena;
static Buffer picture;

static void set_up(void) {
    arena = arena_new();
    Canvas *canvas = canvas_new(arena, 24, 10, 0xFFFFFF);
    picture = buffer_new(arena);
    canvas_to_png(canvas, 190, &picture);
    canvas_free(canvas);
}

static void tear_down(void) {
    arena_free(arena);
}

TestSuite(png_text, .init = set_up, .fini = tear_down);

static const char title[] = "Nähe", description[] = "The otter \xE2\x80\x9C"
                                                    "at the mark\xE2\x80\x9D, \xF0\x9F\xA6\xA6";

static Buffer described(void) {
    Buffer out = buffer_new(arena);
    png_describe(&out, picture.bytes, picture.count, title, description);
    return out;
}

Test(png_text, what_is_said_is_read) {
    PngAbout about;
    const Buffer out = described();
    cr_assert(png_about(arena, picture.bytes, picture.count, &about));
    cr_assert(about.own && about.wide_px == 24 && about.tall_px == 10);
    cr_assert_str_eq(about.title, "");
    cr_assert(png_about(arena, out.bytes, out.count, &about));
    cr_assert(about.own && about.wide_px == 24 && about.tall_px == 10);
    cr_assert_str_eq(about.title, title);
    cr_assert_str_eq(about.description, description);
    for (size_t cut = 0; cut < out.count; cut++)
        cr_assert(!png_about(arena, out.bytes, cut, &about), "cut after %zu bytes", cut);
}

/* Held to libpng, which checks every chunk's sum and where it stands. */
Test(png_text, libpng_reads_the_same) {
    const Buffer out = described();
    PngSource source = {out.bytes, out.count};
    png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    if (setjmp(png_jmpbuf(png))) cr_assert_fail("libpng refuses it");
    png_set_benign_errors(png, 0);
    png_set_crc_action(png, PNG_CRC_ERROR_QUIT, PNG_CRC_ERROR_QUIT);
    png_set_read_fn(png, &source, png_source_read);
    png_read_png(png, info, PNG_TRANSFORM_IDENTITY, NULL);
    png_textp texts;
    int count;
    png_get_text(png, info, &texts, &count);
    int found = 0;
    for (int i = 0; i < count; i++) {
        if (strcmp(texts[i].key, "Title") == 0) found += strcmp(texts[i].text, title) == 0;
        if (strcmp(texts[i].key, "Description") == 0) found += strcmp(texts[i].text, description) == 0;
    }
    cr_assert_eq(found, 2);
    cr_assert_eq(source.left, 0);
    png_destroy_read_struct(&png, &info, NULL);
}
