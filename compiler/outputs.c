#include "outputs.h"

#include "base/files.h"
#include "picture/png_text.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

const char *outputs_default_folder(Arena *arena, const char *book_folder) {
    const char *slash = strrchr(book_folder, '/');
    const char *last = slash ? slash + 1 : book_folder;
    if (text_equal(last, ".") || text_equal(last, "..") || text_equal(book_folder, "/"))
        return path_join(arena, book_folder, "../output");
    return path_join(arena, arena_copy(arena, book_folder, (size_t)(last - book_folder)), "output");
}

Buffer *output_add(Arena *arena, OutputFiles *files, OutputKind kind, const char *ending) {
    LIST_PUSH(arena, *files, (OutputFile){.kind = kind, .ending = ending, .bytes = buffer_new(arena)});
    return &files->items[files->count - 1].bytes;
}

void outputs_add(Arena *arena, OutputFiles *files, Pictures pictures) {
    for (size_t i = 0; i < pictures.count; i++) {
        const PictureFile *file = &pictures.files[i];
        png_describe(output_add(arena, files, OUTPUT_PICTURES, file->ending), file->bytes, file->count,
                     file->title, file->alt);
    }
}

void outputs_add_sheets(Arena *arena, OutputFiles *files, Buffer pdf) {
    *output_add(arena, files, OUTPUT_SHEETS, ".pdf") = pdf;
}

static const char PATTERNS_ENDING[] = ".patterns.pdf", BACKDROP_ENDING[] = ".backdrop.pdf";

void outputs_add_patterns(Arena *arena, OutputFiles *files, PatternFiles patterns) {
    if (patterns.things.count > 0)
        *output_add(arena, files, OUTPUT_PATTERNS, PATTERNS_ENDING) = patterns.things;
    if (patterns.backdrop.count > 0)
        *output_add(arena, files, OUTPUT_BACKDROP, BACKDROP_ENDING) = patterns.backdrop;
}

bool outputs_write(Arena *arena, const char *folder, const char *name, const OutputFiles *files,
                   const char **said, const char **trouble) {
    *said = NULL;
    const FileResult made = folder_make(arena, folder);
    if (made.status != FILE_OK) {
        *trouble = arena_format(arena, "cannot make the folder %s: %s", folder, made.reason);
        return false;
    }
    FileToWrite *writes = ARENA_ARRAY(arena, FileToWrite, files->count);
    for (size_t i = 0; i < files->count; i++) {
        const OutputFile *file = &files->items[i];
        const char *path = path_join(arena, folder, arena_format(arena, "%s%s", name, file->ending));
        writes[i] = (FileToWrite){.path = path, .bytes = file->bytes.bytes, .count = file->bytes.count};
    }
    size_t failed;
    const FileResult result = files_write_if_changed(writes, files->count, &failed);
    if (result.status != FILE_OK) {
        *trouble = arena_format(arena, "cannot write %s: %s", writes[failed].path, result.reason);
        return false;
    }
    Buffer list = buffer_new(arena);
    for (size_t i = 0; i < files->count; i++) {
        if (writes[i].changed)
            buffer_format(&list, "%s%s", list.count ? ", " : "",
                          list.count ? files->items[i].ending : writes[i].path);
    }
    if (list.count > 0) *said = buffer_text(&list);
    return true;
}

/* ---- What is the program's own */

enum { STALE_BYTES_MOST = 256 * 1024 * 1024 };

static bool is_own_report(const char *bytes, size_t count) {
    static const char start[] = "groundrow report ";
    const size_t length = sizeof start - 1;
    return count > length && memcmp(bytes, start, length) == 0 && bytes[length] >= '0' &&
           bytes[length] <= '9';
}

static bool is_own_data(const char *bytes, size_t count, const char *name) {
    json_t *data = json_loadb(bytes, count, 0, NULL);
    const char *scene = json_string_value(json_object_get(data, "scene"));
    const bool own = json_is_integer(json_object_get(data, "groundrow")) && scene && text_equal(scene, name);
    json_decref(data);
    return own;
}

static size_t little_endian(const char *bytes) {
    const unsigned char *at = (const unsigned char *)bytes;
    return (size_t)at[0] | (size_t)at[1] << 8 | (size_t)at[2] << 16 | (size_t)at[3] << 24;
}

/* A glTF binary's first chunk is its JSON (Khronos glTF 2.0, 4.4). */
static bool is_own_model(const char *bytes, size_t count) {
    enum { HEADER = 12, CHUNK = 8 };
    if (count < HEADER + CHUNK || memcmp(bytes, "glTF", 4) != 0 || memcmp(bytes + 16, "JSON", 4) != 0)
        return false;
    const size_t length = little_endian(bytes + HEADER);
    if (length > count - HEADER - CHUNK) return false;
    json_t *data = json_loadb(bytes + HEADER + CHUNK, length, 0, NULL);
    const char *generator = json_string_value(json_object_get(json_object_get(data, "asset"), "generator"));
    const bool own = generator && text_equal(generator, "groundrow");
    json_decref(data);
    return own;
}

static bool is_own_picture(const char *bytes, size_t count) {
    Arena *work = arena_new();
    PngAbout about;
    const bool own = png_about(work, bytes, count, &about) && about.own;
    arena_free(work);
    return own;
}

/* By the name of its maker (ISO 32000-1, 14.3.3), which stands near the end and is not packed. */
static bool is_own_sheet(const char *bytes, size_t count) {
    static const char creator[] = "/Creator (groundrow)";
    const size_t length = sizeof creator - 1;
    if (count < length || memcmp(bytes, "%PDF-", 5) != 0) return false;
    for (size_t i = count - length; i > 0; i--)
        if (memcmp(bytes + i, creator, length) == 0) return true;
    return false;
}

static bool is_own(const char *ending, const char *name, const char *bytes, size_t count) {
    if (text_ends(ending, ".png")) return is_own_picture(bytes, count);
    if (text_ends(ending, ".pdf")) return is_own_sheet(bytes, count);
    if (text_equal(ending, ".txt")) return is_own_report(bytes, count);
    if (text_equal(ending, ".json")) return is_own_data(bytes, count, name);
    if (text_equal(ending, ".glb") || text_equal(ending, ".notes.glb")) return is_own_model(bytes, count);
    return false;
}

static bool has_own_sheet(const char *folder, const char *name, const char *ending) {
    Arena *work = arena_new();
    const char *bytes, *path = path_join(work, folder, arena_format(work, "%s%s", name, ending));
    size_t count;
    const bool has = file_read(work, path, STALE_BYTES_MOST, &bytes, &count).status == FILE_OK &&
                     is_own_sheet(bytes, count);
    arena_free(work);
    return has;
}

OutputKinds outputs_patterns_there(const char *folder, const char *name) {
    if (has_own_sheet(folder, name, BACKDROP_ENDING)) return OUTPUT_PATTERNS | OUTPUT_BACKDROP;
    return has_own_sheet(folder, name, PATTERNS_ENDING) ? OUTPUT_PATTERNS : 0;
}

/* ---- What is stale */

typedef struct Search {
    Arena *arena;
    const char *folder;
    const Book *book;
    const MadeFiles *made;
    size_t made_count;
    LIST(StaleFiles) found;
} Search;

static void add_stale(Search *search, const char *name, const char *ending, bool scene_gone) {
    StaleFiles *of_name = NULL;
    for (size_t i = search->found.count; i > 0 && !of_name; i--) {
        if (text_equal(search->found.items[i - 1].name, name)) of_name = &search->found.items[i - 1];
    }
    if (!of_name) {
        LIST_PUSH(search->arena, search->found, (StaleFiles){.name = name, .scene_gone = scene_gone});
        of_name = &search->found.items[search->found.count - 1];
    }
    LIST_PUSH(search->arena, of_name->endings, ending);
}

/* Of those kinds of which a scene may have no files, or others in each run. */
static OutputKind kind_of_ending(const char *ending) {
    return text_ends(ending, ".png")             ? OUTPUT_PICTURES
           : text_equal(ending, PATTERNS_ENDING) ? OUTPUT_PATTERNS
           : text_equal(ending, BACKDROP_ENDING) ? OUTPUT_BACKDROP
                                                 : 0;
}

/* Whether the scene has this file, or may have: of another kind than those that were made, nobody has looked.
 */
static bool is_current(const MadeFiles *made, const char *ending) {
    if (!(made->kinds & kind_of_ending(ending))) return true;
    for (size_t i = 0; i < made->endings.count; i++) {
        if (text_equal(made->endings.items[i], ending)) return true;
    }
    return false;
}

static bool is_wanted(const Search *search, const char *name, const char *ending) {
    for (size_t i = 0; i < search->made_count; i++) {
        if (text_equal(search->made[i].scene, name)) return is_current(&search->made[i], ending);
    }
    return true;
}

/* A scene's name has no dot, so that everything from the first one on is the ending. */
static void judge_file(Search *search, const char *file) {
    const char *ending = file + strcspn(file, ".");
    const char *name = arena_copy(search->arena, file, (size_t)(ending - file));
    if (name[0] == '\0' || text_equal(name, "book")) return;
    const bool there = book_find(search->book, name) != NULL;
    if (there && is_wanted(search, name, ending)) return;
    Arena *work = arena_new(); /* models are large */
    const char *bytes;
    size_t count;
    if (file_read(work, path_join(work, search->folder, file), STALE_BYTES_MOST, &bytes, &count).status ==
            FILE_OK &&
        is_own(ending, name, bytes, count))
        add_stale(search, name, ending, !there);
    arena_free(work);
}

const StaleFiles *outputs_find_stale(Arena *arena, const char *folder, const Book *book,
                                     const MadeFiles *made, size_t made_count, size_t *count) {
    Search search = {.arena = arena, .folder = folder, .book = book, .made = made, .made_count = made_count};
    const char *const *files;
    size_t file_count;
    if (folder_list(arena, folder, &files, &file_count).status == FILE_OK) {
        for (size_t i = 0; i < file_count; i++)
            judge_file(&search, files[i]);
    }
    *count = search.found.count;
    return search.found.items;
}

const char *stale_shown(Arena *arena, const char *folder, const StaleFiles *stale) {
    const char *stem = path_join(arena, folder, stale->name);
    return stale->endings.count == 1 ? arena_format(arena, "%s%s", stem, stale->endings.items[0])
                                     : arena_format(arena, "%s.* (%zu files)", stem, stale->endings.count);
}

bool outputs_prune(Arena *arena, const char *folder, const StaleFiles *stale, const char **trouble) {
    for (size_t i = 0; i < stale->endings.count; i++) {
        const char *file = arena_format(arena, "%s%s", stale->name, stale->endings.items[i]);
        const char *path = path_join(arena, folder, file);
        const FileResult result = file_remove(path);
        if (result.status == FILE_OK || result.status == FILE_MISSING) continue;
        *trouble = arena_format(arena, "cannot delete %s: %s", path, result.reason);
        return false;
    }
    return true;
}

/* ---- What is there */

/* A picture of the program's own, as it says itself. */
static bool read_picture(Arena *arena, const char *path, const char *ending, PagePicture *picture) {
    Arena *work = arena_new();
    const char *bytes;
    size_t count;
    PngAbout about;
    const bool own = file_read(work, path, STALE_BYTES_MOST, &bytes, &count).status == FILE_OK &&
                     png_about(arena, bytes, count, &about) && about.own;
    arena_free(work);
    if (own) *picture = (PagePicture){ending, about.title, about.description, about.wide_px, about.tall_px};
    return own;
}

static int compare_files(const void *a, const void *b) {
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

OutputFolder outputs_list(Arena *arena, const char *folder) {
    OutputFolder list = {.path = folder};
    const char *const *files = NULL;
    folder_list(arena, folder, &files, &list.count);
    list.files = ARENA_ARRAY(arena, const char *, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.files[i] = files[i];
    if (list.count > 0) qsort(list.files, list.count, sizeof *list.files, compare_files);
    return list;
}

/* Where files begin whose names begin so. */
static size_t first_file(const OutputFolder *folder, const char *start) {
    size_t low = 0, high = folder->count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (strcmp(folder->files[middle], start) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

PageScene outputs_of_scene(Arena *arena, const OutputFolder *folder, const char *name, const MadeFiles *made,
                           bool data) {
    PageScene scene = {0};
    LIST(PagePicture) pictures = {0};
    const char *start = arena_format(arena, "%s.", name);
    for (size_t i = first_file(folder, start); i < folder->count && text_starts(folder->files[i], start);
         i++) {
        const char *ending = folder->files[i] + strlen(name);
        PagePicture picture;
        scene.report |= text_equal(ending, ".txt");
        scene.data |= data && text_equal(ending, ".json");
        scene.model |= text_equal(ending, ".glb");
        scene.sheets |= text_equal(ending, ".pdf");
        scene.notes_model |= text_equal(ending, ".notes.glb");
        if (made && !is_current(made, ending)) continue;
        scene.patterns |= text_equal(ending, PATTERNS_ENDING);
        scene.backdrop |= text_equal(ending, BACKDROP_ENDING);
        if (text_ends(ending, ".png") &&
            read_picture(arena, path_join(arena, folder->path, folder->files[i]), ending, &picture))
            LIST_PUSH(arena, pictures, picture);
    }
    scene.pictures = pictures.items;
    scene.picture_count = pictures.count;
    return scene;
}
