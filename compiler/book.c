#include "book.h"

#include "base/files.h"
#include "phrase.h"
#include "text_to_tree.h"
#include "tree_to_scene.h"

#include <stdlib.h>
#include <string.h>

static const char *const book_file = "book.yaml";
static const char *const scene_ending = ".yaml";

/* A path of the folder as messages show it: `08-fog.yaml` in the working folder itself. */
static const char *shown_path(Arena *arena, const char *folder, const char *name) {
    return path_join(arena, text_equal(folder, ".") ? "" : folder, name);
}

static Span whole_file(uint32_t file) {
    return (Span){.file = file};
}

/* Reads a file of the language into its place among the sources. */
static bool read_source(const Book *book, uint32_t file, Arena *arena, Diagnostics *diagnostics,
                        const char **trouble) {
    Source *source = &book->sources.items[file];
    const char *bytes;
    size_t count;
    const FileResult result = file_read(arena, source->path, FILE_BYTES_MOST, &bytes, &count);
    if (result.status == FILE_TOO_LARGE) {
        diagnostics_error(diagnostics, whole_file(file), "larger than 1 MiB, the most that a %s may be",
                          file == 0 ? "book" : "scene");
        return false;
    }
    if (result.status != FILE_OK) {
        *trouble = arena_format(arena, "cannot read %s: %s", source->path, result.reason);
        return false;
    }
    bytes = text_without_mark(bytes, &count);
    *source = source_new(arena, source->path, bytes, count);
    return true;
}

bool book_read_scene(const Book *book, const BookScene *scene, Arena *arena, Diagnostics *diagnostics,
                     const char **trouble) {
    return read_source(book, scene->file, arena, diagnostics, trouble);
}

/* ---- The folder */

static bool is_utf8(const char *text) {
    const size_t count = strlen(text);
    for (size_t at = 0; at < count;) {
        uint32_t sign;
        const size_t used = utf8_decode(text + at, count - at, &sign);
        if (used == 0 || sign < 0x20 || sign == 0x7F) return false;
        at += used;
    }
    return true;
}

static Diagnostic *file_fault(Book *book, const char *name, const char *message) {
    Diagnostic *fault = diagnostics_error(&book->diagnostics, whole_file(0), "%s", message);
    fault->path = shown_path(book->arena, book->folder, name);
    return fault;
}

/* `08.fog` as a name that a scene can have: `08-fog`. */
static const char *without_dots(Arena *arena, const char *name) {
    char *better = arena_string(arena, name);
    for (char *dot = strchr(better, '.'); dot; dot = strchr(dot, '.'))
        *dot = '-';
    return better;
}

/* What a file of the folder is: a scene's name, or NULL for anything else; says what cannot be one. */
static const char *scene_name(Book *book, const char *file) {
    Arena *arena = book->arena;
    if (file[0] == '.' || text_equal(file, book_file)) return NULL;
    if (text_ends(file, ".yml")) {
        Diagnostic *warning = diagnostics_warning(&book->diagnostics, "not-read", whole_file(0),
                                                  "not read: a scene's file ends in .yaml");
        warning->path = shown_path(arena, book->folder, file);
        return NULL;
    }
    if (!text_ends(file, scene_ending)) return NULL;
    const char *name = arena_copy(arena, file, strlen(file) - strlen(scene_ending));
    if (!is_utf8(name)) {
        file_fault(book, file, "a scene's file name is UTF-8, without control signs");
        return NULL;
    }
    if (strchr(name, '.')) {
        Diagnostic *fault = file_fault(book, file, "a scene's file name has no dot but that of .yaml");
        diagnostic_help(&book->diagnostics, fault, "call it `%s%s`", without_dots(arena, name), scene_ending);
        return NULL;
    }
    return name;
}

static int compare_scenes(const void *a, const void *b) {
    return text_natural_compare(((const BookScene *)a)->name, ((const BookScene *)b)->name);
}

static void list_scenes(Book *book, const char *const *files, size_t count) {
    Arena *arena = book->arena;
    LIST(BookScene) scenes = {0};
    for (size_t i = 0; i < count; i++) {
        const char *name = scene_name(book, files[i]);
        if (!name) continue;
        if (scenes.count == SCENES_MOST) {
            file_fault(book, files[i], "a book has at most 10,000 scenes; this and what follows is not read");
            break;
        }
        LIST_PUSH(arena, scenes, (BookScene){.name = name});
    }
    /* By their names, not their files': `08-fog` comes before `08-fog-2`, though `.` comes after `-`. */
    if (scenes.count > 1) qsort(scenes.items, scenes.count, sizeof *scenes.items, compare_scenes);
    book->scenes = scenes.items;
    book->scene_count = scenes.count;
    book->sources = (Sources){ARENA_ARRAY(arena, Source, scenes.count + 1), (uint32_t)scenes.count + 1};
    book->sources.items[0] = source_new(arena, shown_path(arena, book->folder, book_file), "", 0);
    for (size_t i = 0; i < scenes.count; i++) {
        scenes.items[i].file = (uint32_t)i + 1;
        const char *file = arena_format(arena, "%s%s", scenes.items[i].name, scene_ending);
        book->sources.items[i + 1] = source_new(arena, shown_path(arena, book->folder, file), "", 0);
    }
}

static bool is_listed(const char *const *files, size_t count, const char *name) {
    for (size_t i = 0; i < count; i++) {
        if (text_equal(files[i], name)) return true;
    }
    return false;
}

static void say_no_book(Book *book, bool other_ending) {
    Diagnostic *fault = diagnostics_error(&book->diagnostics, whole_file(0), "no book.yaml in this folder");
    fault->path = book->folder;
    if (other_ending)
        diagnostic_help(&book->diagnostics, fault, "call book.yml book.yaml");
    else
        diagnostic_help(&book->diagnostics, fault, "`groundrow new %s` writes a small one", book->folder);
    book->faulty = true;
}

/* ---- The order in which sets are built */

static void built_twice(Book *book, const Tree *value, const Tree *before) {
    Diagnostic *fault =
        diagnostics_error(&book->diagnostics, value->span, "`%s` stands in `build order` twice",
                          phrase_short(book->arena, value->text));
    diagnostic_note(&book->diagnostics, fault, before->span, "the first time");
}

/* It may be still to come: what is there can be built all the same. */
static void no_such_scene(Book *book, const Tree *value) {
    Diagnostic *warning =
        diagnostics_warning(&book->diagnostics, "no-such-scene", value->span, "no scene `%s` in this folder",
                            phrase_short(book->arena, value->text));
    const char *near = book_near_name(book, value->text);
    if (near) diagnostic_help(&book->diagnostics, warning, "did you mean `%s`?", near);
}

static BookScene *scene_named(Book *book, const Tree *value) {
    if (value->kind == TREE_TEXT) {
        const BookScene *scene = book_find(book, value->text);
        if (scene) return &book->scenes[scene - book->scenes];
        no_such_scene(book, value);
        return NULL;
    }
    if (value->kind != TREE_FAULTY)
        diagnostics_error(&book->diagnostics, span_part(value->span, 0, 1),
                          "`build order` is a list of scenes");
    return NULL;
}

/* Those that are named, then the others as they stand. */
static void order_scenes(Book *book) {
    const Tree *order = book->tree->kind == TREE_TABLE ? tree_find(book->tree, "build order") : NULL;
    const size_t listed = order && order->kind == TREE_LIST ? order->count : 0;
    const Tree **named = ARENA_ARRAY(book->arena, const Tree *, book->scene_count);
    size_t turn = 0;
    for (size_t i = 0; i < listed; i++) {
        BookScene *scene = scene_named(book, order->items[i]);
        if (!scene) continue;
        const size_t at = (size_t)(scene - book->scenes);
        if (named[at]) {
            built_twice(book, order->items[i], named[at]);
            continue;
        }
        named[at] = order->items[i];
        scene->turn = turn++;
    }
    for (size_t i = 0; i < book->scene_count; i++)
        if (!named[i]) book->scenes[i].turn = turn++;
}

Book *book_new(Arena *arena, const char *folder) {
    Book *book = ARENA_NEW(arena, Book);
    *book = (Book){.arena = arena, .folder = folder, .diagnostics = diagnostics_new(arena)};
    const char *const *files;
    size_t count;
    const FileResult listed = folder_list(arena, folder, &files, &count);
    if (listed.status != FILE_OK) {
        book->trouble = arena_format(arena, "cannot read %s: %s", folder, listed.reason);
        return book;
    }
    if (!is_listed(files, count, book_file)) {
        say_no_book(book, is_listed(files, count, "book.yml"));
        return book;
    }
    list_scenes(book, files, count);
    if (book->scene_count == 0 && book->diagnostics.errors == 0) {
        Diagnostic *warning =
            diagnostics_warning(&book->diagnostics, "no-scene", whole_file(0), "no scene in this folder");
        warning->path = folder;
        diagnostic_help(&book->diagnostics, warning,
                        "a scene is a file such as 01-ferry.yaml beside book.yaml");
    }
    if (read_source(book, 0, arena, &book->diagnostics, &book->trouble))
        book->tree = text_to_tree(arena, &book->sources.items[0], 0, "book", &book->diagnostics);
    if (book->tree) {
        tree_to_book(arena, book->tree, &book->diagnostics);
        order_scenes(book);
    }
    diagnostics_sort(&book->diagnostics);
    book->faulty = book->diagnostics.errors > 0;
    return book;
}

const BookScene *book_find(const Book *book, const char *name) {
    const BookScene wanted = {.name = name};
    if (book->scene_count == 0) return NULL;
    return bsearch(&wanted, book->scenes, book->scene_count, sizeof *book->scenes, compare_scenes);
}

const char *book_near_name(const Book *book, const char *name) {
    if (text_ends(name, scene_ending)) {
        const char *without = arena_copy(book->arena, name, strlen(name) - strlen(scene_ending));
        const BookScene *scene = book_find(book, without);
        if (scene) return scene->name;
    }
    const char **names = ARENA_ARRAY(book->arena, const char *, book->scene_count);
    for (size_t i = 0; i < book->scene_count; i++)
        names[i] = book->scenes[i].name;
    return text_nearest(name, names, book->scene_count);
}
