#include "base/files.h"
#include "base/pixels.h"
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
