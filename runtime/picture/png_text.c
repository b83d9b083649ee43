#include "picture/png_text.h"

#include <assert.h>
#include <string.h>

static const char signature[8] = "\x89PNG\r\n\x1a\n";
enum { SIGNATURE = sizeof signature, TYPE = 4, AROUND = 12, HEADER = 13 };

/* ---- Writing */

/* The check sum of ISO/IEC 15948, annex D: ISO 3309's polynomial. */
static uint32_t check_sum(const char *bytes, size_t count) {
    uint32_t sum = 0xFFFFFFFF;
    for (size_t i = 0; i < count; i++) {
        sum ^= (unsigned char)bytes[i];
        for (int bit = 0; bit < 8; bit++)
            sum = sum & 1 ? sum >> 1 ^ 0xEDB88320 : sum >> 1;
    }
    return ~sum;
}

static void add_number(Buffer *out, uint32_t number) {
    for (int shift = 24; shift >= 0; shift -= 8)
        buffer_add_char(out, (char)(unsigned char)(number >> shift & 0xFF));
}

/* International text, not compressed, its language not said. */
static void add_text(Buffer *out, const char *keyword, const char *text) {
    static const char plain[] = {
        0, 0, 0, 0, 0}; /* ends the keyword; not compressed; no method, language, keyword there */
    Buffer chunk = buffer_new(out->arena);
    buffer_add(&chunk, "iTXt");
    buffer_add(&chunk, keyword);
    buffer_add_bytes(&chunk, plain, sizeof plain);
    buffer_add(&chunk, text);
    add_number(out, (uint32_t)(chunk.count - TYPE));
    buffer_add_bytes(out, chunk.bytes, chunk.count);
    add_number(out, check_sum(chunk.bytes, chunk.count));
}

void png_describe(Buffer *out, const void *bytes, size_t count, const char *title, const char *description) {
    enum { HEAD = SIGNATURE + AROUND + HEADER };
    assert(count >= HEAD && memcmp(bytes, signature, SIGNATURE) == 0);
    buffer_add_bytes(out, bytes, HEAD);
    add_text(out, "Title", title);
    add_text(out, "Description", description);
    buffer_add_bytes(out, (const char *)bytes + HEAD, count - HEAD);
}

/* ---- Reading */

static uint32_t number_at(const char *bytes) {
    const unsigned char *at = (const unsigned char *)bytes;
    return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | (uint32_t)at[3];
}

/* The text of a chunk `iTXt` as add_text writes it, or NULL. */
static const char *international_text(Arena *arena, const char *data, size_t length, const char *keyword) {
    const size_t before = strlen(keyword) + 5;
    if (length < before || memcmp(data, keyword, strlen(keyword) + 1) != 0) return NULL;
    for (size_t i = strlen(keyword); i < before; i++)
        if (data[i] != '\0') return NULL;
    return memchr(data + before, '\0', length - before) ? NULL
                                                        : arena_copy(arena, data + before, length - before);
}

static void read_chunk(Arena *arena, const char *type, size_t length, PngAbout *about) {
    static const char maker[] = "tEXtSoftware\0groundrow";
    const char *data = type + TYPE;
    if (length + TYPE == sizeof maker - 1 && memcmp(type, maker, sizeof maker - 1) == 0) about->own = true;
    if (memcmp(type, "iTXt", TYPE) != 0) return;
    const char *title = international_text(arena, data, length, "Title");
    const char *description = international_text(arena, data, length, "Description");
    if (title) about->title = title;
    if (description) about->description = description;
}

bool png_about(Arena *arena, const void *bytes, size_t count, PngAbout *about) {
    const char *png = bytes;
    *about = (PngAbout){.title = "", .description = ""};
    if (count < SIGNATURE + AROUND + HEADER || memcmp(png, signature, SIGNATURE) != 0) return false;
    for (size_t at = SIGNATURE; count - at >= AROUND;) {
        const size_t length = number_at(png + at);
        const char *type = png + at + 4;
        if (length > count - at - AROUND) return false;
        if (at == SIGNATURE) {
            if (length != HEADER || memcmp(type, "IHDR", TYPE) != 0) return false;
            about->wide_px = number_at(type + TYPE);
            about->tall_px = number_at(type + TYPE + 4);
        }
        if (memcmp(type, "IEND", TYPE) == 0) return true;
        read_chunk(arena, type, length, about);
        at += AROUND + length;
    }
    return false;
}
