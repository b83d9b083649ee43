/* Sheets: the same canvas over a PDF. */
#include "picture/canvas_own.h"

#include <assert.h>
#include <cairo-ft.h>
#include <cairo-pdf.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static cairo_status_t take_bytes(void *context, const unsigned char *bytes, unsigned count) {
    Canvas *canvas = context;
    buffer_add_bytes(&canvas->file, bytes, count);
    return CAIRO_STATUS_SUCCESS;
}

/* Stands for the time of writing, which is taken out again. */
static const char SOME_DATE[] = "2000-01-01T00:00:00Z";

Canvas *canvas_new_sheets(Arena *arena, double wide_mm, double tall_mm, const char *title) {
    Canvas *canvas = ARENA_NEW(arena, Canvas);
    const double wide = wide_mm * POINTS_PER_MM, tall = tall_mm * POINTS_PER_MM;
    *canvas = (Canvas){.arena = arena,
                       .wide_px = (int)(wide + 0.5),
                       .tall_px = (int)(tall + 0.5),
                       .font = font_new(),
                       .file = buffer_new(arena),
                       .sheet = 1};
    canvas->surface = cairo_pdf_surface_create_for_stream(take_bytes, canvas, wide, tall);
    cairo_pdf_surface_restrict_to_version(canvas->surface, CAIRO_PDF_VERSION_1_5);
    cairo_pdf_surface_set_metadata(canvas->surface, CAIRO_PDF_METADATA_TITLE, title);
    cairo_pdf_surface_set_metadata(canvas->surface, CAIRO_PDF_METADATA_CREATOR, "groundrow");
    cairo_pdf_surface_set_metadata(canvas->surface, CAIRO_PDF_METADATA_CREATE_DATE, SOME_DATE);
    canvas->cairo = cairo_create(canvas->surface);
    canvas_insist(canvas);
    return canvas;
}

void canvas_next_sheet(Canvas *canvas) {
    assert(!canvas->pixels);
    if (canvas->muted) return;
    cairo_show_page(canvas->cairo);
    canvas->sheet++;
}

static bool is_text(const char *text) {
    uint32_t code_point;
    for (size_t left = strlen(text), bytes; left > 0; text += bytes, left -= bytes) {
        bytes = utf8_decode(text, left, &code_point);
        if (bytes == 0) return false;
    }
    return true;
}

void canvas_bookmark(Canvas *canvas, const char *title, double y_px) {
    assert(!canvas->pixels);
    if (canvas->muted || !is_text(title)) return;
    const char *to = arena_format(canvas->arena, "page=%d pos=[0 %d]", canvas->sheet, (int)y_px);
    cairo_pdf_surface_add_outline(canvas->surface, CAIRO_PDF_OUTLINE_ROOT, title, to, 0);
    canvas_insist(canvas);
}

/* The entry with the date becomes blanks, so that the file says nothing about when it was made and every
 * place in it stays where its table of places says. */
static void blank_date(char *bytes, size_t count) {
    static const char entry[] = "/CreationDate (";
    for (size_t i = count; i-- > 0;) {
        if (count - i < sizeof entry || memcmp(bytes + i, entry, sizeof entry - 1) != 0) continue;
        for (; i < count && bytes[i] != ')'; i++)
            bytes[i] = ' ';
        if (i < count) bytes[i] = ' ';
        return;
    }
}

void canvas_to_pdf(Canvas *canvas, Buffer *pdf) {
    assert(!canvas->pixels);
    cairo_surface_finish(canvas->surface);
    canvas_insist(canvas);
    blank_date(canvas->file.bytes, canvas->file.count);
    buffer_add_bytes(pdf, canvas->file.bytes, canvas->file.count);
}

/* ---- Letters */

static void free_font(void *font) {
    font_free(font);
}

/* A font of its own for each face: cairo keeps faces for a while after their last use, and this goes with it.
 */
static cairo_font_face_t *face_of(Canvas *canvas, FontFace face) {
    static const cairo_user_data_key_t key;
    if (canvas->faces[face]) return canvas->faces[face];
    Font *font = font_new();
    canvas->faces[face] = cairo_ft_font_face_create_for_ft_face(font_freetype(font, face),
                                                                FT_LOAD_NO_HINTING | FT_LOAD_NO_BITMAP);
    if (cairo_font_face_set_user_data(canvas->faces[face], &key, font, free_font) != CAIRO_STATUS_SUCCESS) {
        fputs("groundrow: out of memory\n", stderr);
        exit(3);
    }
    return canvas->faces[face];
}

typedef struct Line {
    Arena *arena;
    double size;
    LIST(cairo_glyph_t) glyphs;
    LIST(cairo_text_cluster_t) clusters;
} Line;

static void take_letter(void *context, unsigned glyph, double x, size_t bytes) {
    Line *line = context;
    LIST_PUSH(line->arena, line->glyphs, (cairo_glyph_t){glyph, x * line->size, 0});
    LIST_PUSH(line->arena, line->clusters, (cairo_text_cluster_t){(int)bytes, 1});
}

void sheet_letters(Canvas *canvas, const TextStyle *style, const char *text) {
    Line line = {.arena = canvas->arena, .size = style->size_px};
    font_letters(canvas->font, style->face, text, take_letter, &line);
    cairo_set_font_face(canvas->cairo, face_of(canvas, style->face));
    cairo_set_font_size(canvas->cairo, style->size_px);
    if (line.glyphs.count == 0) return;
    if (!is_text(text)) { /* shown all the same, though nobody can copy it */
        cairo_show_glyphs(canvas->cairo, line.glyphs.items, (int)line.glyphs.count);
        return;
    }
    cairo_show_text_glyphs(canvas->cairo, text, (int)strlen(text), line.glyphs.items, (int)line.glyphs.count,
                           line.clusters.items, (int)line.clusters.count, 0);
}
