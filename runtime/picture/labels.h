/* Words in a picture, each beside what it names: placed so that none lies on another, on what must be seen,
 * or out of the picture. What is wanted first is placed first. */
#ifndef GROUNDROW_LABELS_H
#define GROUNDROW_LABELS_H

#include "picture/canvas.h"

/* Whether what is seen at a place should stay so; 0: no matter, 1: as it can be. No word lies on much of
 * that. */
typedef double SeenWorth(const void *context, double x_px, double y_px);

typedef struct Labels {
    Arena *arena;
    Canvas *canvas;
    CanvasBox within;        /* all of a word stays in it */
    SeenWorth *worth;        /* or NULL */
    const void *context;     /* of `worth` */
    double lead_px;          /* how wide lines lead to words; 0: as over pictures */
    LIST(CanvasBox) taken;   /* nothing goes there */
    LIST(CanvasBox) avoided; /* only where there is no other place */
    LIST(CanvasPoint) lines; /* two each: rather not across them */
} Labels;

Labels labels_new(Arena *arena, Canvas *canvas, CanvasBox within);
void labels_take(Labels *labels, CanvasBox box);
void labels_avoid(Labels *labels, CanvasBox box);
void labels_avoid_line(Labels *labels, CanvasPoint from, CanvasPoint to);

typedef struct Label {
    const char *text;
    TextStyle style;
    CanvasBox around;  /* what it names: it goes beside it */
    double x_px, y_px; /* where a line leads to it from further away */
    double off_px;     /* so far from it at least */
    double far_px;     /* and at most */
} Label;

/* A label for a point. */
Label label_at(const char *text, const TextStyle *style, double x_px, double y_px, double off_px,
               double far_px);

/* Draws it beside what it names; false where there is no free place near enough: then nothing is drawn. */
bool labels_place(Labels *labels, const Label *label);

/* Draws it in a free place in `search` for which `fits` says yes, as near to (x_px, y_px) as there is one;
 * false where there is none: then nothing is drawn. */
typedef bool LabelFits(const void *context, CanvasBox box);
bool labels_place_on(Labels *labels, const Label *label, CanvasBox search, LabelFits *fits,
                     const void *context);

#endif
