/* A z-buffer of our own: triangles of the set through a camera into nearest depth and whose it is. Frame as
 * in optics/camera.h: millimetres, (across, back, up). Correct near-plane clipping; an edge that two
 * triangles share is drawn once: pixel centres belong to a triangle by exact integer edge functions (1/256
 * pixel) and the top-left rule. Deterministic.
 *
 * A raster looks at the drawing's plane: pixel (0, 0) is its upper left one, the window is given in mm of the
 * drawing, and may reach past the frame (for the spare). */
#ifndef GROUNDROW_RASTERISER_H
#define GROUNDROW_RASTERISER_H

#include "base/arena.h"
#include "optics/camera.h"

#include <stdbool.h>
#include <stdint.h>

enum { RASTER_NOTHING = -1, RASTER_SIDE_MOST_PX = 16384 };

typedef struct RasterWindow {
    double left_mm, right_mm, low_mm, high_mm; /* on the drawing */
} RasterWindow;

typedef struct Raster {
    Camera camera;
    Picture picture;
    RasterWindow window;
    int wide_px, tall_px;
    double sine, cosine;     /* of the tilt */
    double reach_r, reach_q; /* how far from the axis, for each mm of depth, is still drawn */
    double axis_x, axis_y, scale_x,
        scale_y;       /* from r/w and q/w to 1/256 pixels: x = axis + scale r/w, y = axis - scale q/w */
    bool solids_only;  /* set by the caller: all is closed and wound outwards, so that backs need not be drawn
                        */
    float *nearness;   /* 1 / depth, 1/mm; 0: nothing there */
    int32_t *identity; /* RASTER_NOTHING, or whose */
} Raster;

/* An empty raster. Both sides at least 1 and at most RASTER_SIDE_MOST_PX. */
Raster *raster_new(Arena *arena, const Camera *camera, const Picture *picture, RasterWindow window,
                   int wide_px, int tall_px);
/* The frame itself (trim and bleed), moved out by `spare` of its own sides. */
RasterWindow raster_frame(const Picture *picture, double spare);

/* Draws one triangle; both sides are seen. */
void raster_triangle(Raster *raster, Point3 a, Point3 b, Point3 c, int identity);

/* Calls `visit` once for each pixel whose centre the triangle covers in front of the lens, whatever is
 * nearer: for what is hidden. `pixel` counts rows from the top. */
typedef void RasterVisit(void *context, size_t pixel);
void raster_visit(const Raster *raster, Point3 a, Point3 b, Point3 c, RasterVisit *visit, void *context);

/* The place on the drawing of a pixel's centre. */
void raster_pixel_mm(const Raster *raster, size_t pixel, double *x_mm, double *y_mm);

#endif
