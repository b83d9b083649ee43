#include "new_book.h"

#include "base/files.h"
#include "say.h"

#include <string.h>

static const char book_text[] =
    "# What all scenes of the book share. Every other .yaml in this folder is a scene.\n"
    "groundrow: 1\n"
    "book: A first book\n"
    "lengths: feet-inches              # or millimetres: which the reports print first\n"
    "\n"
    "# The trimmed page; the bleed is what the printer cuts off on the outer edges.\n"
    "page: {wide: 11 in, tall: 8 1/2 in, bleed: 1/8 in}\n"
    "\n"
    "# The puppets, measured: how tall, how high their eyes, how wide and deep.\n"
    "cast:\n"
    "  otter: {tall: 11 in, eyes: 9 3/4 in, wide: 5 in, deep: 4 in}\n"
    "  heron: {tall: 13 in, wide: 5 in, deep: 7 in}\n"
    "\n"
    "# The camera: what its sensor measures, and its pixels.\n"
    "cameras:\n"
    "  hired: {sensor: 36 x 24 mm, pixels: 8000 x 5333}\n"
    "\n"
    "# What sets are built from, as the shop sells it.\n"
    "stock:\n"
    "  ply:  {kind: board, sheet: 48 x 96 in, thick: 23/32 in}\n"
    "  foam: {kind: foam, sheet: 48 x 96 in, thick: 2 in}\n"
    "\n"
    "# What a scene has unless it says otherwise.\n"
    "every scene:\n"
    "  camera: {body: hired, lens: 85 mm}\n"
    "  allow: {spare: 6 %}             # the frame may move by so much either way\n"
    "  ground: {stock: foam, margin: 4 in}\n"
    "  base: {stock: ply, lip: 2 in}\n";

static const char scene_text[] =
    "scene: By the river\n"
    "pages: 2-3                        # two pages are a spread; one is a page\n"
    "drawing: {wide: 420 mm}           # the drawing from trim edge to trim edge, by a ruler\n"
    "\n"
    "# The leading puppet, as the drawing has it: its foot from the lower left corner, and how tall it is "
    "drawn.\n"
    "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"
    "\n"
    "# Another puppet: where its foot is drawn says where it stands.\n"
    "puppets:\n"
    "  heron: {drawn: {foot: [300 mm, 44 mm]}, turn: 20 deg left}\n"
    "\n"
    "# Things on the set. A length may be so many puppets tall, and a place may be said by another thing's.\n"
    "pieces:\n"
    "  post: {shape: post, tall: 1.5 otter, thick: 3/4 in, at: {across: otter.left - 4 in, back: 10 in}}\n"
    "\n"
    "# `cover` is as wide as any allowed camera can see there; `drawn` lengths are measured on the drawing.\n"
    "flats:\n"
    "  far bank: {at: {back: 46 in}, wide: cover, tall: 40 mm drawn, stock: foam}\n"
    "backdrop: {at: {back: 52 in}}\n"
    "ground: {rear: 54 in}\n";

static ExitCode write_one(Arena *arena, const char *folder, const char *name, const char *text) {
    const char *path = path_join(arena, folder, name);
    const FileResult result = file_write_if_changed(path, text, strlen(text), NULL);
    if (result.status == FILE_OK) return EXIT_DONE;
    say_line(arena, arena_format(arena, "cannot write %s: %s", path, result.reason));
    return EXIT_MACHINE;
}

static ExitCode make_empty_folder(Arena *arena, const char *folder) {
    const char *const *names;
    size_t count;
    const FileResult made = folder_make(arena, folder);
    const FileResult listed = made.status == FILE_OK ? folder_list(arena, folder, &names, &count) : made;
    if (listed.status != FILE_OK) {
        say_line(arena, arena_format(arena, "cannot make the folder %s: %s", folder, listed.reason));
        return EXIT_MACHINE;
    }
    if (count == 0) return EXIT_DONE;
    say_line(arena, arena_format(arena, "%s is not empty; a new book wants a folder of its own", folder));
    return EXIT_USAGE;
}

ExitCode new_book(Arena *arena, const Options *options) {
    static const char *const book_name = "book.yaml", *const scene_name = "01-river.yaml";
    const char *folder = options->book;
    ExitCode code = make_empty_folder(arena, folder);
    if (code == EXIT_DONE) code = write_one(arena, folder, book_name, book_text);
    if (code == EXIT_DONE) code = write_one(arena, folder, scene_name, scene_text);
    if (code != EXIT_DONE || options->quiet) return code;
    Buffer said = buffer_new(arena);
    buffer_format(&said, "wrote %s, %s\n", path_join(arena, folder, book_name), scene_name);
    return say_output(arena, &said) ? EXIT_DONE : EXIT_MACHINE;
}
