#include "base/files.h"
#include "images.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

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

/* The segments of a JPEG by ITU-T T.81, annex B: SOI, a comment, SOF0 of 5 x 4, SOS, coded bytes, EOI. */
static const unsigned char jpeg[] = {0xFF, 0xD8, 0xFF, 0xFE, 0x00, 0x04, 'h',  'i',  0xFF, 0xC0, 0x00, 0x0B,
                                     0x08, 0x00, 0x04, 0x00, 0x05, 0x01, 0x01, 0x11, 0x00, 0xFF, 0xDA, 0x00,
                                     0x08, 0x01, 0x01, 0x00, 0x00, 0x3F, 0x00, 0x12, 0xFF, 0xD9};

static bool recognises(const unsigned char *bytes, size_t count) {
    FoundFile found = {0};
    unsigned char *copy = malloc(count ? count : 1); /* its bounds seen by a sanitizer */
    memcpy(copy, bytes, count);
    const bool known = image_recognise(copy, count, &found);
    free(copy);
    return known;
}

Test(images, kinds_and_sizes) {
    FoundFile found = {0};
    cr_assert(image_recognise(png, sizeof png, &found));
    cr_assert_str_eq(found.mime, "image/png");
    cr_assert(found.width_px == 3 && found.height_px == 2);
    cr_assert(image_recognise(jpeg, sizeof jpeg, &found));
    cr_assert_str_eq(found.mime, "image/jpeg");
    cr_assert(found.width_px == 5 && found.height_px == 4);
}

Test(images, a_cut_off_file_is_none_wherever_it_ends) {
    for (size_t count = 0; count < sizeof png; count++)
        cr_assert(!recognises(png, count), "PNG of %zu bytes", count);
    for (size_t count = 0; count < sizeof jpeg; count++)
        cr_assert(!recognises(jpeg, count), "JPEG of %zu bytes", count);
}

Test(images, absurd_sides_are_none) {
    unsigned char copy[sizeof png];
    memcpy(copy, png, sizeof png);
    copy[17] = 1; /* 65539 px wide */
    cr_assert(!recognises(copy, sizeof copy));
    memcpy(copy, png, sizeof png);
    copy[23] = 0; /* no height */
    cr_assert(!recognises(copy, sizeof copy));
}

Test(images, no_byte_reads_outside) {
    for (size_t i = 0; i < sizeof png; i++) {
        unsigned char copy[sizeof png];
        memcpy(copy, png, sizeof png);
        copy[i] ^= 0xFF;
        recognises(copy, sizeof copy);
    }
    for (size_t i = 0; i < sizeof jpeg; i++) {
        unsigned char copy[sizeof jpeg];
        memcpy(copy, jpeg, sizeof jpeg);
        copy[i] ^= 0xFF;
        recognises(copy, sizeof copy);
    }
    cr_assert(!recognises((const unsigned char *)"GIF89a", 6));
}

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

static FoundFile ask(const char *path, bool optional) {
    WantedFile wanted = {.path = path, .span = {.line = optional ? 0 : 2, .column = 9}, .optional = optional};
    const Scene scene = {.wanted = &wanted, .wanted_count = 1};
    const char *trouble = NULL;
    diagnostics = diagnostics_new(arena);
    const FoundFile *found = images_find(arena, folder, &scene, &diagnostics, &trouble);
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
    faulty("drawings/text.png", "`drawings/text.png` is no picture that can be read",
           "a PNG or a JPEG is wanted, whole, of at most 32768 pixels a side");
    faulty("drawings", "`drawings` is no picture that can be read",
           "a PNG or a JPEG is wanted, whole, of at most 32768 pixels a side");
    remove_book();
}

Test(images, a_damaged_one_that_was_looked_for_by_name_is_named) {
    make_book();
    cr_assert(!ask("drawings/text.png", true).found);
    cr_assert_eq(diagnostics.errors, 1);
    cr_assert_str_eq(diagnostics.items.items[0]->path, in("drawings/text.png"));
    remove_book();
}
