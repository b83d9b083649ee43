#include "base/image_head.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

/* A whole grey picture of 3 x 2 px, its chunks by the W3C PNG specification, 5. */
static const unsigned char png[] = {0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0x00, 0x00, 0x00, 0x0d,
                                    0x49, 0x48, 0x44, 0x52, 0x00, 0x00, 0x00, 0x03, 0x00, 0x00, 0x00, 0x02,
                                    0x08, 0x00, 0x00, 0x00, 0x00, 0xb8, 0x1f, 0x39, 0xc6, 0x00, 0x00, 0x00,
                                    0x0e, 0x49, 0x44, 0x41, 0x54, 0x78, 0xda, 0x63, 0x68, 0x68, 0x68, 0x60,
                                    0x00, 0x62, 0x00, 0x0c, 0x08, 0x03, 0x01, 0xd8, 0xc9, 0xf7, 0xf0, 0x00,
                                    0x00, 0x00, 0x00, 0x49, 0x45, 0x4e, 0x44, 0xae, 0x42, 0x60, 0x82};

/* The segments of a JPEG by ITU-T T.81, annex B: SOI, a comment, SOF0 of 5 x 4, SOS, coded bytes, EOI. */
static const unsigned char jpeg[] = {0xFF, 0xD8, 0xFF, 0xFE, 0x00, 0x04, 'h',  'i',  0xFF, 0xC0, 0x00, 0x0B,
                                     0x08, 0x00, 0x04, 0x00, 0x05, 0x01, 0x01, 0x11, 0x00, 0xFF, 0xDA, 0x00,
                                     0x08, 0x01, 0x01, 0x00, 0x00, 0x3F, 0x00, 0x12, 0xFF, 0xD9};

/* Of a copy whose bounds a sanitizer sees. */
static ImageHead look(const unsigned char *bytes, size_t count) {
    unsigned char *copy = malloc(count ? count : 1);
    memcpy(copy, bytes, count);
    const ImageHead head = image_head(copy, count);
    free(copy);
    return head;
}

static ImageHead look_at_text(const char *text) {
    return look((const unsigned char *)text, strlen(text));
}

Test(image_head, kinds_and_sizes) {
    ImageHead head = look(png, sizeof png);
    cr_assert(!head.fault && head.kind == IMAGE_PNG && head.orientation == 1);
    cr_assert(image_wide_px(&head) == 3 && image_tall_px(&head) == 2);
    head = look(jpeg, sizeof jpeg);
    cr_assert(!head.fault && head.kind == IMAGE_JPEG && head.orientation == 1);
    cr_assert(image_wide_px(&head) == 5 && image_tall_px(&head) == 4);
}

Test(image_head, a_cut_off_file_ends_too_early_wherever_it_ends) {
    for (size_t count = 1; count < sizeof png; count++)
        cr_assert_eq(look(png, count).fault, IMAGE_CUT_SHORT, "PNG of %zu bytes", count);
    for (size_t count = 1; count < sizeof jpeg; count++)
        cr_assert_eq(look(jpeg, count).fault, IMAGE_CUT_SHORT, "JPEG of %zu bytes", count);
    cr_assert_eq(look(png, 0).fault, IMAGE_EMPTY);
}

static ImageHead png_of(unsigned wide_px, unsigned tall_px) {
    unsigned char copy[sizeof png];
    memcpy(copy, png, sizeof png);
    for (size_t i = 0; i < 4; i++) {
        copy[16 + i] = (unsigned char)(wide_px >> (24 - 8 * i));
        copy[20 + i] = (unsigned char)(tall_px >> (24 - 8 * i));
    }
    return look(copy, sizeof copy);
}

Test(image_head, absurd_sizes) {
    cr_assert_eq(png_of(65535, 65535).fault, IMAGE_TOO_LARGE);
    cr_assert_eq(png_of(32769, 1).fault, IMAGE_TOO_LARGE);
    cr_assert_eq(png_of(32768, 1).fault, IMAGE_SOUND);
    cr_assert_eq(png_of(30000, 30000).fault, IMAGE_TOO_LARGE, "a side at a time it would do");
    cr_assert_eq(png_of(20000, 10000).fault, IMAGE_SOUND);
    cr_assert_eq(png_of(20000, 10001).fault, IMAGE_TOO_LARGE);
    cr_assert_eq(png_of(0xFFFFFFFF, 0xFFFFFFFF).fault, IMAGE_TOO_LARGE);
    cr_assert_eq(png_of(0, 2).fault, IMAGE_NO_PIXELS);
    cr_assert_eq(png_of(3, 0).fault, IMAGE_NO_PIXELS);
    cr_assert_eq(png_of(65535, 4).wide_px, 65535, "for the message");
}

Test(image_head, no_byte_reads_outside) {
    for (size_t i = 0; i < sizeof png; i++) {
        unsigned char copy[sizeof png];
        memcpy(copy, png, sizeof png);
        copy[i] ^= 0xFF;
        look(copy, sizeof copy);
    }
    for (size_t i = 0; i < sizeof jpeg; i++) {
        unsigned char copy[sizeof jpeg];
        memcpy(copy, jpeg, sizeof jpeg);
        copy[i] ^= 0xFF;
        look(copy, sizeof copy);
    }
}

/* The first bytes of the other kinds are those of their specifications (Unix `file` knows the same). */
Test(image_head, other_kinds_by_name) {
    cr_assert_str_eq(look_at_text("GIF89a\1\1").other, "a GIF");
    cr_assert_str_eq(look_at_text("%PDF-1.7\n").other, "a PDF");
    cr_assert_str_eq(look_at_text("RIFF\4\4\4\4WEBPVP8 ").other, "a WebP");
    cr_assert_str_eq(look((const unsigned char *)"II*\0\10\0\0\0", 8).other, "a TIFF");
    cr_assert_str_eq(look((const unsigned char *)"MM\0*\0\0\0\10", 8).other, "a TIFF");
    cr_assert_str_eq(look((const unsigned char *)"\0\0\0\30ftypheic", 12).other, "a HEIC");
    cr_assert_str_eq(look((const unsigned char *)"BM\66\0\0\0\0\0\0\0", 10).other, "a BMP");
    cr_assert_str_eq(look_at_text("<?xml version='1.0'?>\n<svg>").other, "an SVG");
    cr_assert_str_eq(look_at_text("BMs of the week, in words\n").other, "text");
    cr_assert_null(look((const unsigned char *)"\1\2\3\4\5", 5).other);
    cr_assert_eq(look_at_text("GIF").fault, IMAGE_OTHER);
}

/* ---- Exif's orientation (CIPA DC-008, 4.6.5.1: tag 0x0112, a SHORT) */

/* SOI, APP1 with a directory of two entries, then the sample's own segments. */
static size_t with_exif(unsigned char out[128], bool little, unsigned tag, unsigned type, unsigned value) {
    static const unsigned char big_tiff[] = {'M', 'M', 0, 42, 0, 0, 0, 8, 0, 2},
                               little_tiff[] = {'I', 'I', 42, 0, 8, 0, 0, 0, 2, 0};
    unsigned char *at = out;
    memcpy(at, "\xFF\xD8\xFF\xE1\0\52Exif\0\0", 12); /* 42 bytes: 2 + 6 + 10 + 2 * 12 */
    at += 12;
    memcpy(at, little ? little_tiff : big_tiff, 10);
    at += 10;
    for (int entry = 0; entry < 2; entry++, at += 12) {
        const unsigned fields[2] = {entry == 0 ? 0x0100 : tag, entry == 0 ? 3 : type};
        memset(at, 0, 12);
        for (int f = 0; f < 2; f++) {
            at[2 * f + (little ? 0 : 1)] = (unsigned char)fields[f];
            at[2 * f + (little ? 1 : 0)] = (unsigned char)(fields[f] >> 8);
        }
        at[little ? 4 : 7] = 1;
        at[little ? 8 : 9] = (unsigned char)value;
    }
    memcpy(at, jpeg + 2, sizeof jpeg - 2);
    return (size_t)(at - out) + sizeof jpeg - 2;
}

Test(image_head, orientation_in_both_byte_orders) {
    for (unsigned value = 1; value <= 8; value++) {
        for (int little = 0; little < 2; little++) {
            unsigned char file[128];
            const size_t count = with_exif(file, little, 0x0112, 3, value);
            const ImageHead head = look(file, count);
            cr_assert(!head.fault);
            cr_assert_eq(head.orientation, (int)value);
            cr_assert_eq(image_wide_px(&head), value >= 5 ? 4 : 5);
            cr_assert_eq(image_tall_px(&head), value >= 5 ? 5 : 4);
            for (size_t i = 0; i < count; i++) { /* whatever is odd about it: no reading outside */
                unsigned char copy[128];
                memcpy(copy, file, count);
                copy[i] ^= 0xFF;
                const int orientation = look(copy, count).orientation;
                cr_assert(orientation >= 1 && orientation <= 8);
                look(file, i);
            }
        }
    }
}

Test(image_head, odd_orientations_are_none) {
    unsigned char file[128];
    cr_assert_eq(look(file, with_exif(file, true, 0x0112, 3, 0)).orientation, 1);
    cr_assert_eq(look(file, with_exif(file, true, 0x0112, 3, 9)).orientation, 1);
    cr_assert_eq(look(file, with_exif(file, true, 0x0112, 4, 6)).orientation, 1);
    cr_assert_eq(look(file, with_exif(file, true, 0x0113, 3, 6)).orientation, 1);
}

/* ---- Exif's focal length (tag 0x920A, a RATIONAL, in the directory that tag 0x8769 points to) */

static void put(unsigned char *at, bool little, unsigned value, int bytes) {
    for (int i = 0; i < bytes; i++)
        at[little ? i : bytes - 1 - i] = (unsigned char)(value >> 8 * i);
}

static void put_entry(unsigned char *at, bool little, unsigned tag, unsigned type, unsigned value) {
    put(at, little, tag, 2);
    put(at + 2, little, type, 2);
    put(at + 4, little, 1, 4);
    put(at + 8, little, value, 4);
}

/* Header, a directory of one entry at 8, the inner one of one entry at 26, the fraction at 44: 52 bytes. */
static size_t with_focal(unsigned char out[128], bool little, unsigned above, unsigned below) {
    unsigned char *tiff = out + 12;
    memset(out, 0, 128);
    memcpy(out, "\xFF\xD8\xFF\xE1\0\74Exif\0\0", 12); /* 60 bytes: 2 + 6 + 52 */
    memcpy(tiff, little ? "II" : "MM", 2);
    put(tiff + 2, little, 42, 2);
    put(tiff + 4, little, 8, 4);
    put(tiff + 8, little, 1, 2);
    put_entry(tiff + 10, little, 0x8769, 4, 26);
    put(tiff + 26, little, 1, 2);
    put_entry(tiff + 28, little, 0x920A, 5, 44);
    put(tiff + 44, little, above, 4);
    put(tiff + 48, little, below, 4);
    memcpy(tiff + 52, jpeg + 2, sizeof jpeg - 2);
    return 12 + 52 + sizeof jpeg - 2;
}

Test(image_head, focal_length_in_both_byte_orders) {
    for (int little = 0; little < 2; little++) {
        unsigned char file[128];
        const size_t count = with_focal(file, little, 405, 10);
        const ImageHead head = look(file, count);
        cr_assert(!head.fault);
        cr_assert_float_eq(head.focal_mm, 40.5, 1e-12);
        cr_assert_eq(head.orientation, 1);
        for (size_t i = 0; i < count; i++) {
            unsigned char copy[128];
            memcpy(copy, file, count);
            copy[i] ^= 0xFF;
            const double focal = look(copy, count).focal_mm;
            cr_assert(focal == 0 || (focal >= 1 && focal <= 10000));
            look(file, i);
        }
    }
}

Test(image_head, odd_focal_lengths_are_none) {
    unsigned char file[128];
    cr_assert_eq(look(file, with_focal(file, true, 40, 0)).focal_mm, 0);
    cr_assert_eq(look(file, with_focal(file, true, 0, 1)).focal_mm, 0);
    cr_assert_eq(look(file, with_focal(file, true, 0xFFFFFFFF, 1)).focal_mm, 0);
    cr_assert_eq(look(jpeg, sizeof jpeg).focal_mm, 0);
}
