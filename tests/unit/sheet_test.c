/* Sheets: a PDF with lines as lines and text as text, whose fonts come along, and which is the same every
 * time. */
#include "picture/canvas.h"

#include <criterion/criterion.h>
#include <pthread.h>
#include <string.h>
#include <zlib.h>

static Buffer two_sheets(Arena *arena) {
    Canvas *canvas = canvas_new_sheets(arena, 279.4, 215.9, "Fog on the river");
    const TextStyle plain = {.size_px = 11, .color = 0x1C2024},
                    bold = {.size_px = 14, .face = FACE_BOLD, .halo_px = 1, .halo = 0xFFFFFF};
    canvas_text(canvas, 72, 72, &bold, "Lantern");
    canvas_text(canvas, 72, 100, &plain, "far bank 3'-6 1/2\" \xC3\x85");
    canvas_line(canvas, 72, 120, 72 + 100 * POINTS_PER_MM, 120,
                &(LineStyle){.color = 0xB34700, .wide_px = 1});
    canvas_next_sheet(canvas);
    const uint32_t image[4] = {0xFFFF0000, 0xFF00FF00, 0xFF0000FF, 0xFFFFFFFF};
    canvas_image(canvas, image, 2, 2, (CanvasBox){10, 10, 110, 110}, BLEND_OVER, 0.5);
    Buffer pdf = buffer_new(arena);
    canvas_to_pdf(canvas, &pdf);
    canvas_free(canvas);
    return pdf;
}

static const char *find(const char *bytes, size_t count, const char *word) {
    const size_t length = strlen(word);
    for (size_t i = 0; i + length <= count; i++) {
        if (memcmp(bytes + i, word, length) == 0) return bytes + i;
    }
    return NULL;
}

static size_t times(const char *bytes, size_t count, const char *word) {
    size_t found = 0;
    const char *end = bytes + count;
    for (const char *at = find(bytes, count, word); at; at = find(at + 1, (size_t)(end - at - 1), word))
        found++;
    return found;
}

/* All streams of the file, unpacked, one behind the other. */
static Buffer unpacked(Arena *arena, const Buffer *pdf) {
    Buffer out = buffer_new(arena);
    const char *at = pdf->bytes, *end = pdf->bytes + pdf->count;
    while ((at = find(at, (size_t)(end - at), "stream\n"))) {
        at += strlen("stream\n");
        if (at - strlen("endstream\n") >= pdf->bytes && memcmp(at - strlen("endstream\n"), "end", 3) == 0)
            continue;
        static unsigned char plain[1 << 20];
        uLongf count = sizeof plain;
        /* how long a stream is need not be known: it says itself where it ends */
        z_stream z = {.next_in = (unsigned char *)at,
                      .avail_in = (uInt)(end - at),
                      .next_out = plain,
                      .avail_out = (uInt)count};
        if (inflateInit(&z) == Z_OK && inflate(&z, Z_FINISH) == Z_STREAM_END)
            buffer_add_bytes(&out, plain, z.total_out);
        inflateEnd(&z);
    }
    return out;
}

/* ISO 32000-1: text is shown by Tj or TJ (9.4.3), a TrueType font program is embedded as FontFile2 (9.9), and
 * ToUnicode (9.10.3) says what its codes mean. */
Test(sheets, text_is_text_in_fonts_that_come_along) {
    Arena *arena = arena_new();
    const Buffer pdf = two_sheets(arena), inside = unpacked(arena, &pdf);
    cr_expect_eq(memcmp(pdf.bytes, "%PDF-1.5", 8), 0);
    cr_expect_eq(times(pdf.bytes, pdf.count, "/FontFile2"), 2);
    cr_expect(find(pdf.bytes, pdf.count, "DejaVuSans-Bold"));
    cr_expect_eq(times(pdf.bytes, pdf.count, "/ToUnicode"), 2);
    cr_expect_geq(times(inside.bytes, inside.count, "Tj") + times(inside.bytes, inside.count, "TJ"), 2);
    cr_expect(find(inside.bytes, inside.count, "<00c5>"), "A with a ring is copied as itself");
    cr_expect_eq(times(pdf.bytes, pdf.count, "/Count 2"), 1, "sheets");
    arena_free(arena);
}

/* 11 x 8 1/2 in of 72 points each. */
Test(sheets, are_as_large_as_they_say) {
    Arena *arena = arena_new();
    const Buffer pdf = two_sheets(arena);
    cr_expect_eq(times(pdf.bytes, pdf.count, "/MediaBox [ 0 0 792 612 ]"), 2);
    arena_free(arena);
}

Test(sheets, say_nothing_of_when_they_were_made) {
    Arena *arena = arena_new();
    const Buffer one = two_sheets(arena), two = two_sheets(arena);
    cr_assert_eq(one.count, two.count);
    cr_expect_eq(memcmp(one.bytes, two.bytes, one.count), 0);
    cr_expect_not(find(one.bytes, one.count, "Date"));
    cr_expect(find(one.bytes, one.count, "groundrow"));
    arena_free(arena);
}

Test(sheets, what_is_no_text_spoils_nothing) {
    Arena *arena = arena_new();
    Canvas *canvas = canvas_new_sheets(arena, 100, 100, "");
    canvas_text(canvas, 10, 20, &(TextStyle){.size_px = 8}, "not \xFF text");
    canvas_text(canvas, 10, 40, &(TextStyle){.size_px = 8}, "");
    canvas_text(canvas, 10, 60, &(TextStyle){.size_px = 8}, "text");
    Buffer pdf = buffer_new(arena);
    canvas_to_pdf(canvas, &pdf);
    canvas_free(canvas);
    const Buffer inside = unpacked(arena, &pdf);
    cr_expect_geq(times(inside.bytes, inside.count, "Tj") + times(inside.bytes, inside.count, "TJ"), 2);
    arena_free(arena);
}

typedef struct Writer {
    pthread_t thread;
    Arena *arena;
    Buffer pdf;
} Writer;

static void *write_many(void *context) {
    Writer *writer = context;
    for (int i = 0; i < 10; i++)
        writer->pdf = two_sheets(writer->arena);
    return NULL;
}

/* cairo keeps fonts for all threads together. */
Test(sheets, threads_side_by_side_write_the_same_bytes) {
    enum { THREADS = 4 };
    Writer all[THREADS];
    Arena *arena = arena_new();
    const Buffer one = two_sheets(arena);
    for (int i = 0; i < THREADS; i++) {
        all[i] = (Writer){.arena = arena_new()};
        cr_assert_eq(pthread_create(&all[i].thread, NULL, write_many, &all[i]), 0);
    }
    for (int i = 0; i < THREADS; i++) {
        pthread_join(all[i].thread, NULL);
        cr_expect_eq(all[i].pdf.count, one.count);
        cr_expect_eq(memcmp(all[i].pdf.bytes, one.bytes, one.count), 0);
        arena_free(all[i].arena);
    }
    arena_free(arena);
}
