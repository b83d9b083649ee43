#include "outputs.h"

#include "base/files.h"

#include <jansson.h>
#include <string.h>

const char *outputs_default_folder(Arena *arena, const char *book_folder) {
    const char *slash = strrchr(book_folder, '/');
    const char *last = slash ? slash + 1 : book_folder;
    if (text_equal(last, ".") || text_equal(last, "..") || text_equal(book_folder, "/"))
        return path_join(arena, book_folder, "../output");
    return path_join(arena, arena_copy(arena, book_folder, (size_t)(last - book_folder)), "output");
}

bool outputs_write(Arena *arena, const char *folder, const char *name, const OutputFile *files, size_t count,
                   const char **said, const char **trouble) {
    *said = NULL;
    const FileResult made = folder_make(arena, folder);
    if (made.status != FILE_OK) {
        *trouble = arena_format(arena, "cannot make the folder %s: %s", folder, made.reason);
        return false;
    }
    FileToWrite writes[FILES_AT_ONCE_MOST];
    for (size_t i = 0; i < count; i++) {
        const char *path = path_join(arena, folder, arena_format(arena, "%s%s", name, files[i].ending));
        writes[i] = (FileToWrite){.path = path, .bytes = files[i].bytes, .count = files[i].count};
    }
    size_t failed;
    const FileResult result = files_write_if_changed(writes, count, &failed);
    if (result.status != FILE_OK) {
        *trouble = arena_format(arena, "cannot write %s: %s", writes[failed].path, result.reason);
        return false;
    }
    Buffer list = buffer_new(arena);
    for (size_t i = 0; i < count; i++) {
        if (writes[i].changed)
            buffer_format(&list, "%s%s", list.count ? ", " : "",
                          list.count ? files[i].ending : writes[i].path);
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

/* The longer ending first, so that `.notes` is never part of a name. */
static const char *const endings[] = {".notes.glb", ".glb", ".txt", ".json"};
enum { ENDINGS = sizeof endings / sizeof *endings };

static bool is_own(Arena *arena, const char *path, const char *ending, const char *name) {
    const char *bytes;
    size_t count;
    if (file_read(arena, path, STALE_BYTES_MOST, &bytes, &count).status != FILE_OK) return false;
    if (text_equal(ending, ".txt")) return is_own_report(bytes, count);
    if (text_equal(ending, ".json")) return is_own_data(bytes, count, name);
    return is_own_model(bytes, count);
}

/* ---- What is stale */

typedef LIST(StaleScene) StaleList;

static void add_stale(Arena *arena, StaleList *list, const char *name, const char *ending) {
    StaleScene *of_name = NULL;
    for (size_t i = list->count; i > 0 && !of_name; i--) {
        if (text_equal(list->items[i - 1].name, name)) of_name = &list->items[i - 1];
    }
    if (!of_name) {
        LIST_PUSH(arena, *list, (StaleScene){.name = name});
        of_name = &list->items[list->count - 1];
    }
    of_name->endings[of_name->count++] = ending;
}

static void judge_file(Arena *arena, const char *folder, const Book *book, const char *file,
                       StaleList *list) {
    for (size_t i = 0; i < ENDINGS; i++) {
        if (!text_ends(file, endings[i])) continue;
        const char *name = arena_copy(arena, file, strlen(file) - strlen(endings[i]));
        if (name[0] == '\0' || text_equal(name, "book") || book_find(book, name)) return;
        Arena *work = arena_new(); /* models are large */
        if (is_own(work, path_join(work, folder, file), endings[i], name))
            add_stale(arena, list, name, endings[i]);
        arena_free(work);
        return;
    }
}

const StaleScene *outputs_find_stale(Arena *arena, const char *folder, const Book *book, size_t *count) {
    StaleList list = {0};
    const char *const *files;
    size_t file_count;
    if (folder_list(arena, folder, &files, &file_count).status == FILE_OK) {
        for (size_t i = 0; i < file_count; i++)
            judge_file(arena, folder, book, files[i], &list);
    }
    *count = list.count;
    return list.items;
}

const char *stale_shown(Arena *arena, const char *folder, const StaleScene *stale) {
    const char *stem = path_join(arena, folder, stale->name);
    return stale->count == 1 ? arena_format(arena, "%s%s", stem, stale->endings[0])
                             : arena_format(arena, "%s.* (%zu files)", stem, stale->count);
}

bool outputs_prune(Arena *arena, const char *folder, const StaleScene *stale, const char **trouble) {
    for (size_t i = 0; i < stale->count; i++) {
        const char *file = arena_format(arena, "%s%s", stale->name, stale->endings[i]);
        const char *path = path_join(arena, folder, file);
        const FileResult result = file_remove(path);
        if (result.status == FILE_OK || result.status == FILE_MISSING) continue;
        *trouble = arena_format(arena, "cannot delete %s: %s", path, result.reason);
        return false;
    }
    return true;
}
