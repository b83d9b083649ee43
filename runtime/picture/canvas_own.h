/* What a canvas is, for the files that draw on it: canvas.c and canvas_sheets.c. */
#ifndef GROUNDROW_CANVAS_OWN_H
#define GROUNDROW_CANVAS_OWN_H

#include "picture/canvas.h"

struct Canvas {
    Arena *arena;
    int wide_px, tall_px;
    struct _cairo_surface *surface;
    struct _cairo *cairo;
    Font *font;
    bool muted;
    uint32_t *pixels; /* of pictures: under the surface, rows one behind the other; else NULL */
    struct _cairo_font_face *faces[FACE_COUNT]; /* of sheets, as they are needed */
    Buffer file;                                /* of sheets */
    int sheet;                                  /* the number of that which is being drawn, from 1 */
};

/* Ends the program where drawing failed: what can go wrong is a lack of memory alone. */
void canvas_insist(const Canvas *canvas);
void canvas_ink(Canvas *canvas, uint32_t color, double strength);
/* Text as text, from the origin, in the colour that is set. */
void sheet_letters(Canvas *canvas, const TextStyle *style, const char *text);

#endif
