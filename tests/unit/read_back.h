/* Pictures as libpng reads them back, for tests. */
#ifndef GROUNDROW_TESTS_READ_BACK_H
#define GROUNDROW_TESTS_READ_BACK_H

#include "base/arena.h"

#include <criterion/criterion.h>
#include <png.h>
#include <string.h>

typedef struct ReadBack {
    int wide_px, tall_px;
    png_bytep rgb; /* rows from the top, three bytes a pixel */
} ReadBack;

static inline ReadBack read_back(Arena *arena, const void *bytes, size_t count) {
    png_image image = {.version = PNG_IMAGE_VERSION};
    cr_assert(png_image_begin_read_from_memory(&image, bytes, count), "%s", image.message);
    image.format = PNG_FORMAT_RGB;
    ReadBack read = {(int)image.width, (int)image.height, arena_alloc(arena, PNG_IMAGE_SIZE(image))};
    cr_assert(png_image_finish_read(&image, NULL, read.rgb, 0, NULL), "%s", image.message);
    return read;
}

static inline png_bytep read_back_at(const ReadBack *read, int x, int y) {
    cr_assert(x >= 0 && y >= 0 && x < read->wide_px && y < read->tall_px);
    return read->rgb + 3 * ((size_t)y * (size_t)read->wide_px + (size_t)x);
}

/* What libpng's reader takes its bytes from. */
typedef struct PngSource {
    const char *bytes;
    size_t left;
} PngSource;

static inline void png_source_read(png_structp png, png_bytep out, size_t count) {
    PngSource *source = png_get_io_ptr(png);
    if (count > source->left) png_error(png, "ends early");
    memcpy(out, source->bytes, count);
    source->bytes += count;
    source->left -= count;
}

#endif
