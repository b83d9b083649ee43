/* Words in a picture, each beside what it names: placed so that none lies on another, on what must be seen,
 * or out of the picture. What is wanted first is placed first. */
#ifndef GROUNDROW_LABELS_H
#define GROUNDROW_LABELS_H

#include "picture/canvas.h"

typedef struct Labels {
    Arena *arena;
    Canvas *canvas;
    CanvasBox within;        /* all of a word stays in it */
    LIST(CanvasBox) taken;   /* nothing goes there */
    LIST(CanvasBox) avoided; /* only where there is no other place */
} Labels;

Labels labels_new(Arena *arena, Canvas *canvas, CanvasBox within);
void labels_take(Labels *labels, CanvasBox box);
void labels_avoid(Labels *labels, CanvasBox box);

typedef struct Label {
    const char *text;
    TextStyle style;
    double x_px, y_px; /* what it names */
    double off_px;     /* so far from it at least */
    double far_px;     /* and at most; a thin line leads to it where it is not beside it */
    bool inside;       /* may lie on the place itself */
} Label;

/* Draws it in the middle of a free place in `search` for which `fits` says yes, as near to what it names as
 * there is one; false where there is none: then nothing is drawn. */
typedef bool LabelFits(const void *context, CanvasBox box);
bool labels_place_on(Labels *labels, const Label *label, CanvasBox search, LabelFits *fits,
                     const void *context);

/* Draws it beside what it names; false where there is no free place near enough: then nothing is drawn. */
bool labels_place(Labels *labels, const Label *label);

#endif
