#include "images.h"

#include "base/files.h"
#include "base/silhouette.h"
#include "picture/png_write.h"

#include <string.h>

/* As wide as a page between its margins: nobody asks what size a turned image in a model has on paper. */
static const double PAPER_MM = 190;

/* ---- The gate */

typedef struct Gate {
    Arena *arena;
    const char *folder;
    const WantedFile *wanted;
    int decoded_most_px;
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

static void say_no_file(const Gate *gate) {
    const char *path = path_join(gate->arena, gate->folder, gate->wanted->path);
    gate_fault(gate, folder_exists(path) ? "`%s` is a folder, not a picture" : "`%s` is no file");
}

static void say_too_many_bytes(const Gate *gate) {
    Diagnostic *fault = gate_fault(gate, "`%s` is larger than 64 MiB, the most that a picture may be");
    diagnostic_help(gate->diagnostics, fault, "save it smaller");
}

/* ---- What is wrong with an image */

/* Behind "`drawings/08-fog.png` ". */
static const char *fault_words(Arena *arena, const ImageHead *head, ImageFault fault) {
    const char *kind = head->kind == IMAGE_JPEG ? "JPEG" : "PNG";
    switch (fault) {
    case IMAGE_EMPTY:
        return "is empty";
    case IMAGE_OTHER:
        if (!head->other) return "is no picture that can be read";
        return arena_format(arena, "is %s, not a PNG or a JPEG", head->other);
    case IMAGE_CUT_SHORT:
        return arena_format(arena, "is damaged: a %s that ends too early", kind);
    case IMAGE_CHECK_SUM:
        return arena_format(arena, "is damaged: a %s whose check sum does not agree", kind);
    case IMAGE_NO_PIXELS:
        return arena_format(arena, "is %u x %u px: there is nothing in it", head->wide_px, head->tall_px);
    case IMAGE_TOO_LARGE:
        return arena_format(arena, "is too large to be read, with %u x %u px", head->wide_px, head->tall_px);
    case IMAGE_RARE:
        return "is a JPEG of a rare kind (lossless, or more than 8 bits a colour)";
    case IMAGE_SOUND:
    case IMAGE_BROKEN:
        break;
    }
    return arena_format(arena, "is damaged: a %s that cannot be decoded", kind);
}

static void help_with(Diagnostics *list, Diagnostic *said, ImageFault fault) {
    switch (fault) {
    case IMAGE_EMPTY:
    case IMAGE_CUT_SHORT:
    case IMAGE_CHECK_SUM:
    case IMAGE_BROKEN:
    case IMAGE_NO_PIXELS:
        diagnostic_help(list, said, "save it again, or copy it once more from where it came");
        break;
    case IMAGE_TOO_LARGE:
        diagnostic_help(list, said,
                        "save it smaller: at most %d px a side and %d million px in all can be read",
                        IMAGE_SIDE_MOST_PX, IMAGE_ALL_MOST_PX / 1000000);
        break;
    case IMAGE_OTHER:
    case IMAGE_RARE:
    case IMAGE_SOUND:
        diagnostic_help(list, said, "save it as a PNG or as a usual JPEG");
        break;
    }
}

static void say_fault(const Gate *gate, const ImageHead *head, ImageFault fault) {
    const char *words = arena_format(gate->arena, "`%%s` %s", fault_words(gate->arena, head, fault));
    help_with(gate->diagnostics, gate_fault(gate, words), fault);
}

/* What is made of a model knows nothing of Exif's orientation, so that a turned image goes into it upright,
 * as it was decoded. */
static void keep_upright(const Gate *gate, FoundFile *found) {
    const Pixels *pixels = found->pixels;
    Buffer png = buffer_new(gate->arena);
    png_write(&png, pixels->argb, (size_t)pixels->wide_px, (unsigned)pixels->wide_px,
              (unsigned)pixels->tall_px, PAPER_MM);
    found->bytes = (const unsigned char *)png.bytes;
    found->count = png.count;
    found->mime = "image/png";
}

static void say_no_silhouette(const Gate *gate, SilhouetteFault fault) {
    static const char *const words[] = {
        [SILHOUETTE_EMPTY] = "there is no shape in `%s`: it is of one colour, or wholly clear",
        [SILHOUETTE_NO_GROUND] = "no shape can be told in `%s`: nothing in it is clear, and its border is of "
                                 "many colours",
        [SILHOUETTE_SMALL] = "the largest shape in `%s` is under 8 px wide or tall",
        [SILHOUETTE_RAGGED] = "the edge of the shape in `%s` is too ragged to be cut"};
    Diagnostic *said = gate_fault(gate, words[fault]);
    diagnostic_help(gate->diagnostics, said,
                    "a cutout's outline is the largest shape of its image: save it as a PNG with a clear "
                    "background, or in front of one plain colour");
}

static ImageFault find_silhouette(const Gate *gate, const unsigned char *bytes, size_t count,
                                  const ImageHead *head, FoundFile *found) {
    Arena *scratch = arena_new();
    const Pixels *pixels = NULL, *opacity = NULL;
    ImageFault fault = image_to_pixels(scratch, bytes, count, head, SILHOUETTE_MOST_PX, &pixels);
    if (!fault) fault = image_to_opacity(scratch, bytes, count, head, SILHOUETTE_MOST_PX, &opacity);
    if (!fault) {
        const SilhouetteFault none = pixels_to_silhouette(gate->arena, pixels, opacity, &found->silhouette);
        if (none) say_no_silhouette(gate, none);
    }
    arena_free(scratch);
    return fault;
}

static void read_image(const Gate *gate, const unsigned char *bytes, size_t count, FoundFile *found) {
    const ImageHead head = image_head(bytes, count);
    ImageFault fault = head.fault;
    if (!fault && gate->decoded_most_px > 0)
        fault = image_to_pixels(gate->arena, bytes, count, &head, gate->decoded_most_px, &found->pixels);
    if (!fault && gate->wanted->outlined) fault = find_silhouette(gate, bytes, count, &head, found);
    if (fault) {
        say_fault(gate, &head, fault);
        return;
    }
    found->found = true;
    found->bytes = bytes;
    found->count = count;
    found->mime = head.kind == IMAGE_JPEG ? "image/jpeg" : "image/png";
    found->width_px = image_wide_px(&head);
    found->height_px = image_tall_px(&head);
    found->focal_mm = head.focal_mm;
    if (head.orientation != 1 && found->pixels) keep_upright(gate, found);
}

static void find_one(const Gate *gate, FoundFile *found, const char **trouble) {
    const char *path, *bytes = NULL;
    size_t count = 0;
    FileResult result = path_inside(gate->arena, gate->folder, gate->wanted->path, &path);
    if (result.status == FILE_OK) result = file_read(gate->arena, path, IMAGE_BYTES_MOST, &bytes, &count);
    switch (result.status) {
    case FILE_OK:
        read_image(gate, (const unsigned char *)bytes, count, found);
        break;
    case FILE_MISSING:
        say_missing(gate);
        break;
    case FILE_OUTSIDE:
        say_outside(gate);
        break;
    case FILE_WRONG_KIND:
        say_no_file(gate);
        break;
    case FILE_TOO_LARGE:
        say_too_many_bytes(gate);
        break;
    case FILE_TROUBLE:
        *trouble = arena_format(gate->arena, "cannot read %s: %s",
                                path_join(gate->arena, gate->folder, gate->wanted->path), result.reason);
        break;
    }
}

/* The same file wanted before, so that it is read once; the place where it is wanted differs. */
static const FoundFile *found_before(const Scene *scene, const FoundFile *found, size_t count) {
    for (size_t i = 0; i < count; i++) {
        const bool outlined = found[i].silhouette || !scene->wanted[count].outlined;
        if (found[i].found && outlined && text_equal(scene->wanted[i].path, scene->wanted[count].path))
            return &found[i];
    }
    return NULL;
}

int images_px(OutputKinds kinds) {
    return kinds & OUTPUTS_WITH_IMAGES ? PIXELS_MOST_PX : 0;
}

FoundFile *images_find(Arena *arena, const char *folder, const Scene *scene, int decoded_most_px,
                       Diagnostics *diagnostics, const char **trouble) {
    FoundFile *found = ARENA_ARRAY(arena, FoundFile, scene->wanted_count);
    for (size_t i = 0; i < scene->wanted_count; i++) {
        const Gate gate = {arena, folder, &scene->wanted[i], decoded_most_px, diagnostics};
        const FoundFile *before = found_before(scene, found, i);
        if (before)
            found[i] = *before;
        else
            find_one(&gate, &found[i], trouble);
    }
    return found;
}
