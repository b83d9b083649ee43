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

typedef struct RasterVertex RasterVertex;

typedef struct Raster {
    Arena *arena;
    Camera camera;
    Picture picture;
    RasterWindow window;
    int wide_px, tall_px;
    double sine, cosine;           /* of the tilt */
    double left, right, low, high; /* how far from the axis, for each mm of depth, is still drawn */
    double axis_x, axis_y, scale_x,
        scale_y;       /* from r/w and q/w to 1/256 pixels: x = axis + scale r/w, y = axis - scale q/w */
    double slope;      /* of the grid of pixels, raster_turn; 0: its rows are level */
    bool solids_only;  /* set by the caller: all is closed and wound outwards, so that backs need not be drawn
                        */
    float *nearness;   /* 1 / depth, 1/mm; 0: nothing there */
    int32_t *identity; /* RASTER_NOTHING, or whose */
    int32_t *facet;    /* RASTER_NOTHING, or which triangle of a mesh; NULL unless kept */
    RasterVertex *vertices; /* of one mesh, for a while */
    size_t vertex_capacity;
} Raster;

/* An empty raster. Both sides at least 1 and at most RASTER_SIDE_MOST_PX. */
Raster *raster_new(Arena *arena, const Camera *camera, const Picture *picture, RasterWindow window,
                   int wide_px, int tall_px);
/* The frame itself (trim and bleed), moved out by `spare` of its own sides. */
RasterWindow raster_frame(const Picture *picture, double spare);

/* Turns the grid of pixels about the window's middle, before anything is drawn: a row falls by `slope` pixels
 * a pixel. For counting. A level edge meets a row of an upright grid along all its length at once, and the
 * share of what is under it is wrong by up to half a row; a grid askew meets it at every part of a pixel in
 * turn. The corners of the window are outside then: raster_pixel_mm says where pixels are. */
void raster_turn(Raster *raster, double slope);

/* Draws one triangle; both sides are seen. */
void raster_triangle(Raster *raster, Point3 a, Point3 b, Point3 c, int identity);

/* Calls `visit` with the runs of pixels whose centres the triangle covers in front of the lens, whatever is
 * nearer: for what is hidden. Each pixel once; `pixel` counts rows from the top, a run stays in its row. */
typedef void RasterVisit(void *context, size_t pixel, size_t count);
void raster_visit(const Raster *raster, Point3 a, Point3 b, Point3 c, RasterVisit *visit, void *context);

/* A mesh by its vertices: each goes through the camera once, however many triangles meet in it. */
typedef struct RasterMesh {
    const Point3 *points;
    size_t point_count;
    const uint32_t *indices; /* three a triangle */
    size_t index_count;
    size_t first_facet; /* number of its first triangle, where facets are kept */
} RasterMesh;
void raster_mesh(Raster *raster, const RasterMesh *mesh, int identity);
/* As raster_visit; pixels where triangles lie one before the other are visited more than once. */
void raster_visit_mesh(Raster *raster, const RasterMesh *mesh, RasterVisit *visit, void *context);
/* From now on the raster keeps which triangle is seen at each pixel. */
void raster_keep_facets(Raster *raster);

/* The place on the drawing of a pixel's centre. */
void raster_pixel_mm(const Raster *raster, size_t pixel, double *x_mm, double *y_mm);

#endif
