#define _XOPEN_SOURCE 700
#include "base/files.h"
#include "book.h"

#include <criterion/criterion.h>
#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static Arena *arena;
static char folder[64];

static void set_up(void) {
    arena = arena_new();
    strcpy(folder, "/tmp/book-test-XXXXXX");
    cr_assert_not_null(mkdtemp(folder));
}

static int remove_one(const char *path, const struct stat *about, int kind, struct FTW *walk) {
    (void)about, (void)kind, (void)walk;
    return remove(path);
}

static void tear_down(void) {
    nftw(folder, remove_one, 16, FTW_DEPTH | FTW_PHYS);
    arena_free(arena);
}

TestSuite(book, .init = set_up, .fini = tear_down, .timeout = 60);

static void put(const char *name, const char *text) {
    cr_assert_eq(file_write_if_changed(path_join(arena, folder, name), text, strlen(text), NULL).status,
                 FILE_OK);
}

static void put_book(void) {
    put("book.yaml", "book: A\npage: {wide: 11 in, tall: 8 1/2 in}\ncast: {otter: {tall: 11 in}}\n"
                     "cameras: {hired: {sensor: 36 x 24 mm}}\n");
}

Test(book, scenes_stand_in_the_natural_order_of_their_names) {
    put_book();
    const char *const names[] = {"10-inn", "2-quay", "08-fog-2", "08-fog", "Über"};
    for (size_t i = 0; i < 5; i++)
        put(arena_format(arena, "%s.yaml", names[i]), "");
    const Book *book = book_new(arena, folder);
    cr_assert(!book->faulty);
    const char *const wanted[] = {"2-quay", "08-fog", "08-fog-2", "10-inn", "Über"};
    cr_assert_eq(book->scene_count, 5);
    for (size_t i = 0; i < 5; i++) {
        cr_assert_str_eq(book->scenes[i].name, wanted[i]);
        cr_assert_eq(book->scenes[i].file, i + 1);
        cr_assert_eq(book_find(book, wanted[i]), &book->scenes[i]);
    }
    cr_assert_null(book_find(book, "08-fo"));
    cr_assert_str_eq(book_near_name(book, "8-fog"), "08-fog");
}

Test(book, a_scene_is_read_into_its_place) {
    put_book();
    put("1-ferry.yaml", "\xEF\xBB\xBFscene: The ferry\n");
    const Book *book = book_new(arena, folder);
    Diagnostics diagnostics = diagnostics_new(arena);
    const char *trouble = NULL;
    cr_assert(book_read_scene(book, &book->scenes[0], arena, &diagnostics, &trouble));
    cr_assert_str_eq(book->sources.items[1].bytes, "scene: The ferry\n", "without its byte order mark");
    cr_assert_str_eq(book->sources.items[1].path, path_join(arena, folder, "1-ferry.yaml"));
    remove(path_join(arena, folder, "1-ferry.yaml"));
    cr_assert(!book_read_scene(book, &book->scenes[0], arena, &diagnostics, &trouble));
    cr_assert_str_eq(trouble,
                     arena_format(arena, "cannot read %s/1-ferry.yaml: No such file or directory", folder));
    cr_assert_eq(diagnostics.errors, 0);
}

Test(book, paths_in_the_working_folder_are_bare) {
    put_book();
    put("1-ferry.yaml", "");
    char old[4096];
    cr_assert_not_null(getcwd(old, sizeof old));
    cr_assert_eq(chdir(folder), 0);
    const Book *book = book_new(arena, ".");
    cr_assert_eq(chdir(old), 0);
    cr_assert_str_eq(book->sources.items[0].path, "book.yaml");
    cr_assert_str_eq(book->sources.items[1].path, "1-ferry.yaml");
}

Test(book, names_that_no_output_could_have) {
    put_book();
    put("08.fog.yaml", "");
    put("bad\x01sign.yaml", "");
    put("bad\xFF"
        "byte.yaml",
        "");
    const Book *book = book_new(arena, folder);
    cr_assert(book->faulty);
    cr_assert_eq(book->diagnostics.errors, 3);
    cr_assert_eq(book->scene_count, 0);
}

Test(book, ten_thousand_scenes_and_no_more) {
    put_book();
    for (int i = 0; i <= SCENES_MOST; i++) {
        FILE *file = fopen(path_join(arena, folder, arena_format(arena, "s%d.yaml", i)), "w");
        cr_assert_not_null(file);
        fclose(file);
    }
    const Book *book = book_new(arena, folder);
    cr_assert_eq(book->diagnostics.errors, 1);
    cr_assert_str_eq(book->diagnostics.items.items[0]->path, path_join(arena, folder, "s10000.yaml"));
    cr_assert_eq(book->scene_count, SCENES_MOST);
}

Test(book, a_folder_that_is_not_there_is_the_machines_trouble) {
    const Book *book = book_new(arena, path_join(arena, folder, "none"));
    cr_assert_str_eq(book->trouble,
                     arena_format(arena, "cannot read %s/none: No such file or directory", folder));
    cr_assert_eq(book->diagnostics.errors, 0);
}
