/* What the parts of the picture of a frame share: areas, marks, names, legend. Only frame_picture.c puts them
 * in order. */
#ifndef GROUNDROW_FRAME_H
#define GROUNDROW_FRAME_H

#include "picture/labels.h"
#include "picture/pictures.h"

typedef struct Frame {
    const PictureTask *task;
    const PlanShot *shot;
    Canvas *canvas;
    Window window;
    SetView *view;
    Labels labels;
    bool over_drawing; /* the drawing lies over the set */
    bool hides_points; /* of what is marked, something stands before some */
} Frame;

/* Told apart by their lines too, not by colours alone. */
extern const LineStyle TRIM_LINE, SAFE_LINE, GUTTER_LINE, TEXT_LINE, HORIZON_LINE, MARK_LINE, HIDDEN_LINE;
enum { MARK_ARM_PX = 9, GUTTER_COLOR = 0xCDB4DB };

CanvasBox frame_box(const Frame *frame, PageArea area);
double frame_horizon_px(const Frame *frame);
bool frame_shows_horizon(const Frame *frame);
/* A place of the drawing, bleed included. */
bool frame_shows(const Frame *frame, double x_mm, double y_mm);
/* Whether a thing stands in the picture's shot. */
bool frame_has(const Frame *frame, const Thing *thing);

/* Crosses at the points of whatever can be found on the drawing: puppets, and what the spec places by it.
 * Names keep off them. */
void frame_marks(Frame *frame);
/* Every word over the frame, each where there is room for it. */
void frame_names(Frame *frame);
/* What the lines and marks mean, from `top_px` on; its height. */
double frame_legend(const Frame *frame, double top_px);

#endif
