#include "base/files.h"
#include "base/pixels.h"
#include "images.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>
/* needs stdio.h before it */
#include <jpeglib.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}

static void tear_down(void) {
    arena_free(arena);
}

TestSuite(images, .init = set_up, .fini = tear_down);

/* A whole grey picture of 3 x 2 px, its chunks by the W3C PNG specification, 5. */
static const unsigned char png[] = {0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0x00, 0x00, 0x00, 0x0d,
                                    0x49, 0x48, 0x44, 0x52, 0x00, 0x00, 0x00, 0x03, 0x00, 0x00, 0x00, 0x02,
                                    0x08, 0x00, 0x00, 0x00, 0x00, 0xb8, 0x1f, 0x39, 0xc6, 0x00, 0x00, 0x00,
                                    0x0e, 0x49, 0x44, 0x41, 0x54, 0x78, 0xda, 0x63, 0x68, 0x68, 0x68, 0x60,
                                    0x00, 0x62, 0x00, 0x0c, 0x08, 0x03, 0x01, 0xd8, 0xc9, 0xf7, 0xf0, 0x00,
                                    0x00, 0x00, 0x00, 0x49, 0x45, 0x4e, 0x44, 0xae, 0x42, 0x60, 0x82};

/* ---- The gate */

static char folder[64];

static const char *in(const char *name) {
    return path_join(arena, folder, name);
}

static void make_book(void) {
    strcpy(folder, "/tmp/images-test-XXXXXX");
    cr_assert_not_null(mkdtemp(folder));
    cr_assert_eq(mkdir(in("drawings"), 0777), 0);
    file_write_if_changed(in("drawings/08-fog.png"), png, sizeof png, NULL);
    file_write_if_changed(in("drawings/text.png"), "no picture", 10, NULL);
}

static void remove_book(void) {
    unlink(in("drawings/08-fog.png"));
    unlink(in("drawings/text.png"));
    unlink(in("drawings/link.png"));
    rmdir(in("drawings"));
    rmdir(folder);
}

static Diagnostics diagnostics;
static int most_px = PIXELS_MOST_PX;

static FoundFile ask(const char *path, bool optional) {
    WantedFile wanted = {.path = path, .span = {.line = optional ? 0 : 2, .column = 9}, .optional = optional};
    const Scene scene = {.wanted = &wanted, .wanted_count = 1};
    const char *trouble = NULL;
    diagnostics = diagnostics_new(arena);
    const FoundFile *found = images_find(arena, folder, &scene, most_px, &diagnostics, &trouble);
    cr_assert_null(trouble);
    return found[0];
}

static void faulty(const char *path, const char *message, const char *help) {
    cr_assert(!ask(path, false).found);
    cr_assert_eq(diagnostics.errors, 1, "%s", path);
    cr_assert_str_eq(diagnostics.items.items[0]->message, message);
    if (help)
        cr_assert_str_eq(diagnostics.items.items[0]->help, help);
    else
        cr_assert_null(diagnostics.items.items[0]->help);
}

Test(images, through_the_gate) {
    make_book();
    const FoundFile found = ask("drawings/08-fog.png", false);
    cr_assert(found.found && found.width_px == 3 && found.count == sizeof png);
    cr_assert_eq(memcmp(found.bytes, png, sizeof png), 0);
    cr_assert(!ask("drawings/99.png", true).found);
    cr_assert_eq(diagnostics.errors, 0, "looked for by name only");
    faulty("drawings/8-fog.png", "there is no file `drawings/8-fog.png` in the book's folder",
           "did you mean `drawings/08-fog.png`?");
    faulty("elsewhere/8-fog.png", "there is no file `elsewhere/8-fog.png` in the book's folder", NULL);
    faulty("../old/08-fog.png", "`../old/08-fog.png` lies outside the book's folder",
           "copy it into the book's folder");
    cr_assert_eq(symlink("/etc/passwd", in("drawings/link.png")), 0);
    faulty("drawings/link.png", "`drawings/link.png` lies outside the book's folder",
           "copy it into the book's folder");
    faulty("drawings/text.png", "`drawings/text.png` is text, not a PNG or a JPEG",
           "save it as a PNG or as a usual JPEG");
    faulty("drawings", "`drawings` is a folder, not a picture", NULL);
    remove_book();
}

Test(images, a_damaged_one_that_was_looked_for_by_name_is_named) {
    make_book();
    cr_assert(!ask("drawings/text.png", true).found);
    cr_assert_eq(diagnostics.errors, 1);
    cr_assert_str_eq(diagnostics.items.items[0]->path, in("drawings/text.png"));
    remove_book();
}

Test(images, decoded_or_not) {
    make_book();
    const FoundFile found = ask("drawings/08-fog.png", false);
    cr_assert(found.pixels && found.pixels->wide_px == 3 && found.pixels->tall_px == 2);
    unsigned char broken[sizeof png];
    memcpy(broken, png, sizeof png);
    broken[44] ^= 1; /* within the compressed data */
    file_write_if_changed(in("drawings/08-fog.png"), broken, sizeof broken, NULL);
    faulty("drawings/08-fog.png", "`drawings/08-fog.png` is damaged: a PNG whose check sum does not agree",
           "save it again, or copy it once more from where it came");
    most_px = 0;
    cr_assert(ask("drawings/08-fog.png", false).found);
    cr_assert_null(ask("drawings/08-fog.png", false).pixels);
    most_px = PIXELS_MOST_PX;
    remove_book();
}

/* A JPEG of 24 x 16 px, red at its left, that says it lies on its side: Exif's orientation 6, row 0 at the
 * right (CIPA DC-008, 4.6.5.1). */
static void write_lying(const char *path) {
    static const unsigned char exif[] = {'E',  'x', 'i', 'f', 0, 0, 'I', 'I', 42, 0, 8, 0, 0, 0, 1, 0,
                                         0x12, 1,   3,   0,   1, 0, 0,   0,   6,  0, 0, 0, 0, 0, 0, 0};
    struct jpeg_error_mgr errors;
    struct jpeg_compress_struct jpeg = {.err = jpeg_std_error(&errors)};
    jpeg_create_compress(&jpeg);
    unsigned char *bytes = NULL, row[24 * 3];
    unsigned long count = 0;
    jpeg_mem_dest(&jpeg, &bytes, &count);
    jpeg.image_width = 24;
    jpeg.image_height = 16;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_start_compress(&jpeg, TRUE);
    jpeg_write_marker(&jpeg, JPEG_APP0 + 1, exif, sizeof exif);
    for (size_t i = 0; i < sizeof row; i++)
        row[i] = i < 8 * 3 && i % 3 > 0 ? 0 : 255;
    for (JSAMPROW rows = row; jpeg.next_scanline < 16;)
        jpeg_write_scanlines(&jpeg, &rows, 1);
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    file_write_if_changed(path, bytes, count, NULL);
    free(bytes);
}

Test(images, one_that_lies_is_set_upright) {
    make_book();
    write_lying(in("drawings/08-fog.png"));
    const FoundFile found = ask("drawings/08-fog.png", false);
    cr_assert(found.found && found.pixels);
    cr_expect(found.width_px == 16 && found.height_px == 24);
    cr_expect(found.pixels->wide_px == 16 && found.pixels->tall_px == 24);
    const uint32_t top = found.pixels->argb[5], foot = found.pixels->argb[23 * 16 + 5];
    cr_expect((top & 0xFF) < 40 && (top >> 16 & 0xFF) > 220, "red, the stored left, is at the top");
    cr_expect((foot & 0xFF) > 220);
    cr_expect_str_eq(found.mime, "image/png", "a model is given it upright");
    const ImageHead head = image_head(found.bytes, found.count);
    cr_expect(head.fault == IMAGE_SOUND && head.wide_px == 16 && head.tall_px == 24 && head.orientation == 1);
    remove_book();
}
