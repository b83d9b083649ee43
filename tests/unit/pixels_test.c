/* What the decoder does to pixels that are known. Whole pictures of every kind are held to OpenCV by
 * tests/external/pixels_check.py. */
#include "base/pixels.h"

#include <criterion/criterion.h>
#include <math.h>
#include <png.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
/* needs stdio.h before it */
#include <jpeglib.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}

static void tear_down(void) {
    arena_free(arena);
}

TestSuite(pixels, .init = set_up, .fini = tear_down);

typedef struct Sample {
    int wide_px, tall_px, color_type, interlace;
    const unsigned char *bytes; /* 8 bits a sample */
} Sample;

typedef struct File {
    unsigned char bytes[1 << 16];
    size_t count;
} File;

static void file_add(png_structp png, png_bytep bytes, size_t count) {
    File *file = png_get_io_ptr(png);
    cr_assert(file->count + count <= sizeof file->bytes);
    memcpy(file->bytes + file->count, bytes, count);
    file->count += count;
}

static const File *encode(const Sample *sample) {
    File *file = ARENA_NEW(arena, File);
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    png_set_write_fn(png, file, file_add, NULL);
    png_set_IHDR(png, info, (png_uint_32)sample->wide_px, (png_uint_32)sample->tall_px, 8, sample->color_type,
                 sample->interlace, PNG_COMPRESSION_TYPE_BASE, PNG_FILTER_TYPE_BASE);
    png_write_info(png, info);
    const size_t row = png_get_rowbytes(png, info);
    for (int pass = png_set_interlace_handling(png); pass > 0; pass--) {
        for (int y = 0; y < sample->tall_px; y++)
            png_write_row(png, sample->bytes + (size_t)y * row);
    }
    png_write_end(png, info);
    png_destroy_write_struct(&png, &info);
    return file;
}

static const Pixels *decode(const File *file, int most_px) {
    const ImageHead head = image_head(file->bytes, file->count);
    cr_assert_eq(head.fault, IMAGE_SOUND);
    const Pixels *pixels;
    cr_assert_eq(image_to_pixels(arena, file->bytes, file->count, &head, most_px, &pixels), IMAGE_SOUND);
    cr_assert(pixels->wide_px <= most_px && pixels->tall_px <= most_px);
    return pixels;
}

Test(pixels, row_order_and_byte_order) {
    const unsigned char bytes[] = {255, 0, 0, 0, 255, 0, 0, 0, 255, 1, 2, 3};
    const Pixels *p = decode(encode(&(Sample){2, 2, PNG_COLOR_TYPE_RGB, 0, bytes}), 100);
    cr_assert(p->wide_px == 2 && p->tall_px == 2);
    cr_assert_eq(p->argb[0], 0xFFFF0000);
    cr_assert_eq(p->argb[1], 0xFF00FF00);
    cr_assert_eq(p->argb[2], 0xFF0000FF);
    cr_assert_eq(p->argb[3], 0xFF010203);
}

/* over (Porter and Duff, 1984) an opaque white: a c + (1 - a) */
Test(pixels, alpha_over_white) {
    const unsigned char bytes[] = {0, 0, 0, 0, 0, 0, 0, 51, 200, 100, 0, 128, 7, 8, 9, 255};
    const Pixels *p = decode(encode(&(Sample){4, 1, PNG_COLOR_TYPE_RGBA, 0, bytes}), 100);
    cr_assert_eq(p->argb[0], 0xFFFFFFFF);
    cr_assert_eq(p->argb[1], 0xFFCCCCCC);
    cr_assert_eq(p->argb[2], 0xFF000000u | 227u << 16 | 177u << 8 | 127u);
    cr_assert_eq(p->argb[3], 0xFF070809);
}

/* The mean of what each covers, worked out here in floating point: interlaced or not, whatever the factor. */
static void shrinks(int wide, int tall, int most_px, int interlace) {
    static unsigned char bytes[128 * 128];
    for (int i = 0; i < wide * tall; i++)
        bytes[i] = (unsigned char)((i * 7919 + i / 13 * 31) % 256);
    const Pixels *p = decode(encode(&(Sample){wide, tall, PNG_COLOR_TYPE_GRAY, interlace, bytes}), most_px);
    const double across = (double)wide / p->wide_px, down = (double)tall / p->tall_px;
    for (int y = 0; y < p->tall_px; y++) {
        for (int x = 0; x < p->wide_px; x++) {
            double sum = 0;
            for (int v = 0; v < tall; v++) {
                for (int u = 0; u < wide; u++) {
                    const double w = fmin(u + 1, (x + 1) * across) - fmax(u, x * across),
                                 h = fmin(v + 1, (y + 1) * down) - fmax(v, y * down);
                    if (w > 0 && h > 0) sum += w * h * bytes[v * wide + u];
                }
            }
            const double got = p->argb[y * p->wide_px + x] & 0xFF;
            cr_assert_float_eq(got, sum / (across * down), 0.5 + 1e-6, "(%d, %d) of %d x %d", x, y, wide,
                               tall);
        }
    }
}

Test(pixels, shrinks_by_the_mean_of_what_is_covered) {
    for (int interlace = 0; interlace < 2; interlace++) {
        shrinks(64, 32, 32, interlace);
        shrinks(127, 50, 32, interlace);
        shrinks(50, 127, 33, interlace);
        shrinks(100, 3, 10, interlace);
        shrinks(33, 33, 32, interlace);
        shrinks(1, 100, 8, interlace);
        shrinks(3, 2, 8, interlace);
    }
}

Test(pixels, every_cut_and_every_changed_byte_ends) {
    unsigned char bytes[16 * 16 * 3];
    for (size_t i = 0; i < sizeof bytes; i++)
        bytes[i] = (unsigned char)(i * 37);
    const File *file = encode(&(Sample){16, 16, PNG_COLOR_TYPE_RGB, 1, bytes});
    size_t refused = 0;
    for (size_t i = 0; i < file->count; i++) {
        File *copy = ARENA_NEW(arena, File);
        *copy = *file;
        copy->bytes[i] ^= 0x10;
        const ImageHead head = image_head(copy->bytes, copy->count);
        const Pixels *pixels = NULL;
        ImageFault fault = head.fault;
        if (!fault) fault = image_to_pixels(arena, copy->bytes, copy->count, &head, 8, &pixels);
        cr_assert_eq(fault == IMAGE_SOUND, pixels != NULL);
        refused += fault != IMAGE_SOUND;
    }
    cr_assert_eq(refused, file->count, "every chunk has a check sum (PNG, 5.3)");
}

/* ---- JPEG */

/* One colour of four inks all over; `adobe` writes the marker that says they are inverted. */
static const File *encode_inks(const unsigned char inks[4], bool adobe) {
    struct jpeg_error_mgr errors;
    struct jpeg_compress_struct jpeg = {.err = jpeg_std_error(&errors)};
    jpeg_create_compress(&jpeg);
    unsigned char *bytes = NULL;
    unsigned long count = 0;
    jpeg_mem_dest(&jpeg, &bytes, &count);
    jpeg.image_width = jpeg.image_height = 16;
    jpeg.input_components = 4;
    jpeg.in_color_space = JCS_CMYK;
    jpeg_set_defaults(&jpeg);
    jpeg_set_colorspace(&jpeg, JCS_CMYK);
    jpeg_set_quality(&jpeg, 100, TRUE);
    jpeg.write_Adobe_marker = adobe;
    jpeg_start_compress(&jpeg, TRUE);
    unsigned char row[16 * 4];
    for (size_t i = 0; i < sizeof row; i++)
        row[i] = (unsigned char)(adobe ? 255 - inks[i % 4] : inks[i % 4]);
    for (JSAMPROW rows = row; jpeg.next_scanline < 16;)
        jpeg_write_scanlines(&jpeg, &rows, 1);
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    File *file = ARENA_NEW(arena, File);
    memcpy(file->bytes, bytes, count);
    file->count = count;
    free(bytes);
    return file;
}

/* (1 - ink) (1 - black), the usual conversion without a profile (PostScript Language Reference, 7.2.4, has it
 * with sums; common practice, no source, for the product). */
Test(pixels, inks_become_light) {
    const unsigned char inks[4] = {255, 51, 0, 51};
    for (int adobe = 0; adobe < 2; adobe++) {
        const Pixels *p = decode(encode_inks(inks, adobe), 100);
        const uint32_t color = p->argb[100];
        cr_assert_float_eq(color >> 16 & 0xFF, 0, 2);
        cr_assert_float_eq(color >> 8 & 0xFF, 163, 2);
        cr_assert_float_eq(color & 0xFF, 204, 2);
    }
}

static ImageFault fault_of(const File *file) {
    const ImageHead head = image_head(file->bytes, file->count);
    const Pixels *pixels = NULL;
    const ImageFault fault =
        head.fault ? head.fault : image_to_pixels(arena, file->bytes, file->count, &head, 100, &pixels);
    cr_assert_eq(fault == IMAGE_SOUND, pixels != NULL);
    return fault;
}

/* Without a check sum most changes are pixels like others; none may crash, print or read outside. */
Test(pixels, a_jpeg_with_any_byte_changed_ends) {
    const unsigned char inks[4] = {1, 2, 3, 4};
    const File *file = encode_inks(inks, true);
    for (size_t i = 0; i < file->count; i++) {
        File *copy = ARENA_NEW(arena, File);
        *copy = *file;
        copy->bytes[i] ^= 0x55;
        fault_of(copy);
    }
}

Test(pixels, a_scan_that_ends_early_is_damage_though_the_end_mark_is_there) {
    const unsigned char inks[4] = {1, 200, 3, 4};
    File *file = ARENA_NEW(arena, File);
    *file = *encode_inks(inks, true);
    cr_assert_eq(fault_of(file), IMAGE_SOUND);
    file->count -= 8;
    cr_assert_eq(fault_of(file), IMAGE_CUT_SHORT);
    file->bytes[file->count - 2] = 0xFF;
    file->bytes[file->count - 1] = 0xD9;
    cr_assert_eq(fault_of(file), IMAGE_CUT_SHORT);
}
