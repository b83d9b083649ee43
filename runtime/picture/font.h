/* The letters of pictures: DejaVu Sans, plain and bold, which are embedded in the program, so that pictures
 * do not depend on a machine's fonts. Widths and outlines come from the font's own units, unhinted: the same
 * everywhere and at every size. A Font belongs to one thread. */
#ifndef GROUNDROW_FONT_H
#define GROUNDROW_FONT_H

#include <stddef.h>

typedef enum FontFace { FACE_PLAIN, FACE_BOLD, FACE_COUNT } FontFace;

typedef struct Font Font;

Font *font_new(void); /* never NULL; font_free */
void font_free(Font *font);

/* The file of a face, as embedded. */
const unsigned char *font_file(FontFace face, size_t *count);

/* How far a line of UTF-8 reaches, in ems, kerning included. What is no UTF-8 counts as one unknown letter a
 * byte. */
double font_wide(Font *font, FontFace face, const char *text);
/* Of capitals, in ems. */
double font_cap_tall(Font *font, FontFace face);

/* What the ink of a line of text spans, in ems: from its start, and from the line it stands on. All 0 without
 * ink. */
typedef struct FontInk {
    double left, right, above, below;
} FontInk;
FontInk font_ink(Font *font, FontFace face, const char *text);

/* Each letter in turn: its number in the font, where it begins (ems, kerning included) and the bytes of its
 * UTF-8. */
typedef void FontVisit(void *context, unsigned glyph, double x, size_t bytes);
void font_letters(Font *font, FontFace face, const char *text, FontVisit *visit, void *context);
/* A face as FreeType has it (an FT_Face), for writers that embed it; the font's. */
void *font_freetype(Font *font, FontFace face);

/* Outlines in ems, x to the right from the text's start, y up from the line it stands on. Fill is by winding.
 */
typedef struct FontPen {
    void *context;
    void (*move)(void *context, double x, double y);
    void (*line)(void *context, double x, double y);
    void (*curve)(void *context, double x1, double y1, double x2, double y2, double x, double y); /* cubic */
    void (*close)(void *context);
} FontPen;
void font_outline(Font *font, FontFace face, const char *text, const FontPen *pen);

#endif
