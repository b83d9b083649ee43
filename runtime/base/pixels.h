/* An image as pixels, and the decoder of PNG and JPEG files. */
#ifndef GROUNDROW_PIXELS_H
#define GROUNDROW_PIXELS_H

#include "base/arena.h"
#include "base/image_head.h"

#include <stdint.h>

/* Rows from the top of the upright picture to its foot, each from left to right, without gaps. A pixel is
 * 0xFFRRGGBB as a number: sRGB, and opaque, so that it is premultiplied and not so at once. */
typedef struct Pixels {
    int wide_px, tall_px; /* as decoded, at least 1: fewer than the file's where it was shrunk */
    uint32_t *argb;
} Pixels;

/* Decodes an image that image_head.h has found sound: turned upright, alpha over white, 16 bits to 8, grey,
 * palettes and printing inks (without their profile) to red, green, blue. No side becomes longer than
 * `most_px` (8 to IMAGE_SIDE_MOST_PX): what is larger is shrunk, in its proportions, while it is read, each
 * pixel the mean of what it covers, so that memory goes by what comes out. (But a progressive JPEG is held as
 * coefficients while it is read: those of over 1 GiB are IMAGE_TOO_LARGE.)
 *
 * IMAGE_SOUND and `*pixels` in `arena`; else why not, and `*pixels` NULL. What libpng and libjpeg hold
 * meanwhile is theirs and is gone on return. Damage that leaves a JPEG readable cannot be told: it has no
 * check sum. */
ImageFault image_to_pixels(Arena *arena, const unsigned char *bytes, size_t count, const ImageHead *head,
                           int most_px, const Pixels **pixels);

/* How opaque each pixel of it is, as a grey of 0xFF000000 (clear) to 0xFFFFFFFF, under the same rules;
 * `*opacity` NULL for an image that has no alpha. */
ImageFault image_to_opacity(Arena *arena, const unsigned char *bytes, size_t count, const ImageHead *head,
                            int most_px, const Pixels **opacity);

#endif
