#include "picture/font.h"

#include "base/text.h"

#include <assert.h>
#include <ft2build.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include FT_FREETYPE_H
#include FT_OUTLINE_H

/* FreeType reads the tables and hands out outlines in font units; it scales, hints and paints nothing. A
 * library object each, because FreeType's are not made for several threads. */
enum { LETTERS_KEPT = 0x250 }; /* Latin: what most words are made of */
typedef struct Letter {
    bool known;
    FT_UInt glyph;
    FT_Glyph_Metrics metrics; /* font units */
} Letter;
enum { PAIRS_KEPT = 0x80 }; /* ASCII */
typedef struct Pair {
    bool known;
    short kerning; /* font units */
} Pair;
struct Font {
    FT_Library library;
    FT_Face faces[FACE_COUNT];
    Letter letters[FACE_COUNT][LETTERS_KEPT]; /* those that were needed: text is measured over and over */
    Pair pairs[FACE_COUNT][PAIRS_KEPT][PAIRS_KEPT];
};

/* The fonts are part of the program, so that nothing but a lack of memory can go wrong: the machine's fault.
 */
static void insist(bool fine) {
    if (fine) return;
    fputs("groundrow: out of memory\n", stderr);
    exit(3);
}

Font *font_new(void) {
    Font *font = calloc(1, sizeof *font);
    insist(font && FT_Init_FreeType(&font->library) == 0);
    return font;
}

void font_free(Font *font) {
    if (!font) return;
    FT_Done_FreeType(font->library); /* and its faces */
    free(font);
}

/* A face is opened when it is first needed. */
static FT_Face face_of(Font *font, FontFace face) {
    assert(face >= 0 && face < FACE_COUNT);
    if (!font->faces[face]) {
        size_t count;
        const unsigned char *file = font_file(face, &count);
        insist(FT_New_Memory_Face(font->library, file, (FT_Long)count, 0, &font->faces[face]) == 0);
    }
    return font->faces[face];
}

/* Walks the letters of a text: each one's glyph and where it stands, in font units. */
typedef struct Walk {
    FT_Face face;
    Letter *kept;
    Pair (*pairs)[PAIRS_KEPT];
    bool loads; /* the glyph too, for its outline; else its measures alone */
    const char *at;
    size_t left;
    uint32_t code_point;
    FT_UInt glyph;
    FT_Glyph_Metrics metrics;
    size_t bytes;
    long x;
} Walk;

static Walk walk_new(Font *font, FontFace face, const char *text, bool loads) {
    return (Walk){.face = face_of(font, face),
                  .kept = font->letters[face],
                  .pairs = font->pairs[face],
                  .loads = loads,
                  .at = text,
                  .left = strlen(text)};
}

static Letter letter_of(const Walk *walk, uint32_t code_point) {
    const bool keeps = code_point < LETTERS_KEPT, known = keeps && walk->kept[code_point].known;
    Letter letter = known ? walk->kept[code_point]
                          : (Letter){.known = true, .glyph = FT_Get_Char_Index(walk->face, code_point)};
    if (walk->loads || !known) {
        insist(FT_Load_Glyph(walk->face, letter.glyph, FT_LOAD_NO_SCALE) == 0);
        letter.metrics = walk->face->glyph->metrics;
    }
    if (keeps) walk->kept[code_point] = letter;
    return letter;
}

static long kerning_of(const Walk *walk, uint32_t code_point, FT_UInt glyph) {
    if (!walk->glyph || !glyph) return 0;
    const bool keeps = walk->code_point < PAIRS_KEPT && code_point < PAIRS_KEPT;
    Pair *kept = keeps ? &walk->pairs[walk->code_point][code_point] : NULL;
    if (kept && kept->known) return kept->kerning;
    FT_Vector kerning = {0, 0};
    FT_Get_Kerning(walk->face, walk->glyph, glyph, FT_KERNING_UNSCALED, &kerning);
    if (kept) *kept = (Pair){.known = true, .kerning = (short)kerning.x};
    return kerning.x;
}

static bool walk_on(Walk *walk) {
    if (walk->left == 0) return false;
    uint32_t code_point = 0;
    size_t bytes = utf8_decode(walk->at, walk->left, &code_point);
    if (bytes == 0) bytes = 1, code_point = 0xFFFD;
    walk->at += bytes;
    walk->left -= bytes;
    walk->bytes = bytes;
    walk->x += walk->metrics.horiAdvance;
    const Letter letter = letter_of(walk, code_point);
    walk->x += kerning_of(walk, code_point, letter.glyph);
    walk->glyph = letter.glyph;
    walk->code_point = code_point;
    walk->metrics = letter.metrics;
    return true;
}

static double em(Walk *walk) {
    return (double)walk->face->units_per_EM;
}

double font_wide(Font *font, FontFace face, const char *text) {
    Walk walk = walk_new(font, face, text, false);
    while (walk_on(&walk)) {
    }
    return (double)(walk.x + walk.metrics.horiAdvance) / em(&walk);
}

double font_cap_tall(Font *font, FontFace face) {
    Walk walk = walk_new(font, face, "H", false);
    walk_on(&walk);
    return (double)walk.metrics.horiBearingY / em(&walk);
}

FontInk font_ink(Font *font, FontFace face, const char *text) {
    Walk walk = walk_new(font, face, text, false);
    FontInk ink = {0};
    bool any = false;
    const double units = em(&walk);
    while (walk_on(&walk)) {
        const FT_Glyph_Metrics *is = &walk.metrics;
        if (is->width == 0 || is->height == 0) continue;
        const double left = (double)(walk.x + is->horiBearingX) / units,
                     right = left + (double)is->width / units, above = (double)is->horiBearingY / units,
                     below = (double)(is->height - is->horiBearingY) / units;
        ink.left = !any || left < ink.left ? left : ink.left;
        ink.right = !any || right > ink.right ? right : ink.right;
        ink.above = !any || above > ink.above ? above : ink.above;
        ink.below = !any || below > ink.below ? below : ink.below;
        any = true;
    }
    return ink;
}

void font_letters(Font *font, FontFace face, const char *text, FontVisit *visit, void *context) {
    Walk walk = walk_new(font, face, text, false);
    while (walk_on(&walk))
        visit(context, walk.glyph, (double)walk.x / em(&walk), walk.bytes);
}

void *font_freetype(Font *font, FontFace face) {
    return face_of(font, face);
}

/* ---- Outlines */

typedef struct Tracer {
    const FontPen *pen;
    double em, x;          /* font units */
    double last_x, last_y; /* ems */
    bool open;
} Tracer;

static void place(const Tracer *tracer, const FT_Vector *point, double *x, double *y) {
    *x = (tracer->x + (double)point->x) / tracer->em;
    *y = (double)point->y / tracer->em;
}

static void close_open(Tracer *tracer) {
    if (tracer->open) tracer->pen->close(tracer->pen->context);
    tracer->open = false;
}

static int move_to(const FT_Vector *to, void *context) {
    Tracer *tracer = context;
    close_open(tracer);
    place(tracer, to, &tracer->last_x, &tracer->last_y);
    tracer->pen->move(tracer->pen->context, tracer->last_x, tracer->last_y);
    tracer->open = true;
    return 0;
}

static int line_to(const FT_Vector *to, void *context) {
    Tracer *tracer = context;
    place(tracer, to, &tracer->last_x, &tracer->last_y);
    tracer->pen->line(tracer->pen->context, tracer->last_x, tracer->last_y);
    return 0;
}

/* A parabola as a cubic: its two handles lie two thirds of the way to the one that it had. */
static int conic_to(const FT_Vector *handle, const FT_Vector *to, void *context) {
    Tracer *tracer = context;
    double hx, hy, x, y;
    place(tracer, handle, &hx, &hy);
    place(tracer, to, &x, &y);
    tracer->pen->curve(tracer->pen->context, tracer->last_x + (hx - tracer->last_x) * 2 / 3,
                       tracer->last_y + (hy - tracer->last_y) * 2 / 3, x + (hx - x) * 2 / 3,
                       y + (hy - y) * 2 / 3, x, y);
    tracer->last_x = x;
    tracer->last_y = y;
    return 0;
}

static int cubic_to(const FT_Vector *one, const FT_Vector *two, const FT_Vector *to, void *context) {
    Tracer *tracer = context;
    double x1, y1, x2, y2;
    place(tracer, one, &x1, &y1);
    place(tracer, two, &x2, &y2);
    place(tracer, to, &tracer->last_x, &tracer->last_y);
    tracer->pen->curve(tracer->pen->context, x1, y1, x2, y2, tracer->last_x, tracer->last_y);
    return 0;
}

void font_outline(Font *font, FontFace face, const char *text, const FontPen *pen) {
    static const FT_Outline_Funcs funcs = {
        .move_to = move_to, .line_to = line_to, .conic_to = conic_to, .cubic_to = cubic_to};
    Walk walk = walk_new(font, face, text, true);
    Tracer tracer = {.pen = pen, .em = em(&walk)};
    while (walk_on(&walk)) {
        if (walk.face->glyph->format != FT_GLYPH_FORMAT_OUTLINE) continue;
        tracer.x = (double)walk.x;
        insist(FT_Outline_Decompose(&walk.face->glyph->outline, &funcs, &tracer) == 0);
        close_open(&tracer);
    }
}
