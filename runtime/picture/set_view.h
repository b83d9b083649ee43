/* The set through a camera, plainly shaded, on a part of a canvas: every thing in its material's colour, by
 * where its faces look, thin lines where one thing ends before another. Where nothing is built it is hatched.
 */
#ifndef GROUNDROW_SET_VIEW_H
#define GROUNDROW_SET_VIEW_H

#include "picture/canvas.h"
#include "see/scenery.h"

/* Of stripes where nothing is built. */
enum { BARE_COLOR = 0xFBE3E8, STRIPE_COLOR = 0xC2185B };
/* The same stripes in a box, for legends. */
void set_view_stripes(Canvas *canvas, CanvasBox box);

/* A part of the drawing's plane on a part of the canvas. */
typedef struct Window {
    RasterWindow mm; /* of the drawing */
    CanvasBox px;
} Window;
double window_x_px(const Window *window, double x_mm);
double window_y_px(const Window *window, double y_mm);
/* Px for one mm of the drawing. */
double window_scale(const Window *window);

/* What of a thing is seen there. */
typedef struct ThingSeen {
    size_t px; /* 0: nothing */
    CanvasBox box;
    double x_px, y_px; /* the middle of what is seen of it */
} ThingSeen;

typedef struct SetView {
    Window window;
    ThingSeen *things; /* as many as the plan has */
    size_t bare_px;    /* where nothing is built */
    CanvasBox bare;    /* the largest upright box found there, for a word; empty without any */
    /* For each pixel of the window, row by row: the thing that is nearest to the lens there, or
     * RASTER_NOTHING, and 1/mm from the lens along its axis. */
    int32_t *nearest;
    float *nearness;
    int wide_px, tall_px;
} SetView;

/* The index of a pixel in those; false outside the window. */
bool set_view_pixel(const SetView *view, double x_px, double y_px, size_t *pixel);
/* The thing seen there, or RASTER_NOTHING. */
int32_t set_view_thing(const SetView *view, double x_px, double y_px);

/* Paints the window, whose px are whole numbers. `camera` is one of the shot's. In `arena`. */
SetView *set_view_paint(Arena *arena, Canvas *canvas, const Scenery *scenery, int shot, const Camera *camera,
                        Window window);

#endif
