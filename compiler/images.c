#include "images.h"

#include "base/files.h"

#include <string.h>

/* ---- Kinds and sizes */

static unsigned big_endian(const unsigned char *bytes, size_t count) {
    unsigned value = 0;
    for (size_t i = 0; i < count; i++)
        value = value << 8 | bytes[i];
    return value;
}

static bool is_side(unsigned px) {
    return px >= 1 && px <= IMAGE_SIDE_MOST_PX;
}

static bool set_found(FoundFile *found, const char *mime, unsigned width_px, unsigned height_px) {
    if (!is_side(width_px) || !is_side(height_px)) return false;
    found->mime = mime;
    found->width_px = width_px;
    found->height_px = height_px;
    return true;
}

/* Chunks from IHDR to IEND: 4 bytes of length, 4 of type, the data, 4 of check sum. */
static bool recognise_png(const unsigned char *bytes, size_t count, FoundFile *found) {
    enum { SIGNATURE = 8, AROUND = 12, HEADER = 13 };
    if (count < SIGNATURE + AROUND + HEADER) return false;
    if (big_endian(bytes + SIGNATURE, 4) != HEADER || memcmp(bytes + SIGNATURE + 4, "IHDR", 4) != 0)
        return false;
    bool data = false;
    for (size_t at = SIGNATURE; count - at >= AROUND;) {
        const size_t length = big_endian(bytes + at, 4);
        const unsigned char *type = bytes + at + 4;
        if (length > count - at - AROUND) return false;
        if (memcmp(type, "IEND", 4) == 0)
            return data &&
                   set_found(found, "image/png", big_endian(bytes + 16, 4), big_endian(bytes + 20, 4));
        data = data || memcmp(type, "IDAT", 4) == 0;
        at += AROUND + length;
    }
    return false;
}

/* Frame headers hold the size: C0 to CF but for C4 (tables), C8 (kept free) and CC (conditioning). */
static bool is_frame_header(unsigned char marker) {
    return marker >= 0xC0 && marker <= 0xCF && marker != 0xC4 && marker != 0xC8 && marker != 0xCC;
}

static bool has_end_of_jpeg(const unsigned char *bytes, size_t count) {
    for (size_t at = count; at >= 2; at--) { /* cameras put things behind it */
        if (bytes[at - 2] == 0xFF && bytes[at - 1] == 0xD9) return true;
    }
    return false;
}

/* Segments before the first scan: FF, a marker, two bytes of length (themselves counted), the data. */
static bool recognise_jpeg(const unsigned char *bytes, size_t count, FoundFile *found) {
    enum { SOS = 0xDA, FILL = 0xFF };
    bool sized = false;
    for (size_t at = 2; count - at >= 4;) {
        if (bytes[at] != 0xFF) return false;
        const unsigned char marker = bytes[at + 1];
        if (marker == FILL) {
            at++;
            continue;
        }
        const size_t length = big_endian(bytes + at + 2, 2);
        if (length < 2 || length > count - at - 2) return false;
        if (marker == SOS) return sized && has_end_of_jpeg(bytes + at, count - at);
        if (is_frame_header(marker)) {
            if (sized || length < 8) return false;
            sized =
                set_found(found, "image/jpeg", big_endian(bytes + at + 7, 2), big_endian(bytes + at + 5, 2));
            if (!sized) return false;
        }
        at += 2 + length;
    }
    return false;
}

bool image_recognise(const unsigned char *bytes, size_t count, FoundFile *found) {
    static const unsigned char png[8] = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
    static const unsigned char jpeg[3] = {0xFF, 0xD8, 0xFF};
    FoundFile seen = *found;
    const bool known =
        (count >= sizeof png && memcmp(bytes, png, sizeof png) == 0 && recognise_png(bytes, count, &seen)) ||
        (count >= sizeof jpeg && memcmp(bytes, jpeg, sizeof jpeg) == 0 &&
         recognise_jpeg(bytes, count, &seen));
    if (known) *found = seen;
    return known;
}

/* ---- The gate */

typedef struct Gate {
    Arena *arena;
    const char *folder;
    const WantedFile *wanted;
    Diagnostics *diagnostics;
} Gate;

static Diagnostic *gate_fault(const Gate *gate, const char *what) {
    const WantedFile *wanted = gate->wanted;
    Diagnostic *fault = diagnostics_error(gate->diagnostics, wanted->span, what, wanted->path);
    if (span_is_none(wanted->span)) fault->path = path_join(gate->arena, gate->folder, wanted->path);
    return fault;
}

/* The file in the wanted one's folder whose name is nearest, as a spec would name it; or NULL. */
static const char *near_file(const Gate *gate) {
    Arena *arena = gate->arena;
    const char *path = gate->wanted->path;
    const char *slash = strrchr(path, '/');
    const char *name = slash ? slash + 1 : path;
    const char *part = slash ? arena_copy(arena, path, (size_t)(slash - path)) : "";
    const char *inside;
    if (slash && path_inside(arena, gate->folder, part, &inside).status != FILE_OK) return NULL;
    const char *const *names;
    size_t count;
    if (folder_list(arena, slash ? inside : gate->folder, &names, &count).status != FILE_OK) return NULL;
    const char *near = text_nearest(name, names, count);
    return near ? path_join(arena, part, near) : NULL;
}

static void say_missing(const Gate *gate) {
    if (gate->wanted->optional) return;
    Diagnostic *fault = gate_fault(gate, "there is no file `%s` in the book's folder");
    const char *near = near_file(gate);
    if (near) diagnostic_help(gate->diagnostics, fault, "did you mean `%s`?", near);
}

static void say_outside(const Gate *gate) {
    Diagnostic *fault = gate_fault(gate, "`%s` lies outside the book's folder");
    diagnostic_help(gate->diagnostics, fault, "copy it into the book's folder");
}

static void say_no_picture(const Gate *gate) {
    Diagnostic *fault = gate_fault(gate, "`%s` is no picture that can be read");
    diagnostic_help(gate->diagnostics, fault, "a PNG or a JPEG is wanted, whole, of at most %d pixels a side",
                    IMAGE_SIDE_MOST_PX);
}

static void find_one(const Gate *gate, FoundFile *found, const char **trouble) {
    const char *path, *bytes = NULL;
    size_t count = 0;
    FileResult result = path_inside(gate->arena, gate->folder, gate->wanted->path, &path);
    if (result.status == FILE_OK) result = file_read(gate->arena, path, IMAGE_BYTES_MOST, &bytes, &count);
    switch (result.status) {
    case FILE_OK:
        found->found = image_recognise((const unsigned char *)bytes, count, found);
        if (!found->found) say_no_picture(gate);
        break;
    case FILE_MISSING:
        say_missing(gate);
        break;
    case FILE_OUTSIDE:
        say_outside(gate);
        break;
    case FILE_WRONG_KIND:
        say_no_picture(gate);
        break;
    case FILE_TOO_LARGE:
        gate_fault(gate, "`%s` is larger than 64 MiB");
        break;
    case FILE_TROUBLE:
        *trouble = arena_format(gate->arena, "cannot read %s: %s",
                                path_join(gate->arena, gate->folder, gate->wanted->path), result.reason);
        break;
    }
    if (!found->found) return;
    found->bytes = (const unsigned char *)bytes;
    found->count = count;
}

FoundFile *images_find(Arena *arena, const char *folder, const Scene *scene, Diagnostics *diagnostics,
                       const char **trouble) {
    FoundFile *found = ARENA_ARRAY(arena, FoundFile, scene->wanted_count);
    for (size_t i = 0; i < scene->wanted_count; i++) {
        const Gate gate = {arena, folder, &scene->wanted[i], diagnostics};
        find_one(&gate, &found[i], trouble);
    }
    return found;
}
