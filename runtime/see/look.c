#include "see/look.h"

#include <math.h>

/* So that an edge as long as 20 pixels is crossed at all heights. */
static const double LEAN = 0.05;

/* Of a very tall frame fewer pixels to its width. A spare makes it three times as large at most. */
enum { TALL_MOST_PX = RASTER_SIDE_MOST_PX / 4 };

/* Narrows from <= x < to to where `slope` x + `at` >= 0. */
static void narrow(double slope, double at, double *from, double *to) {
    if (slope > 0)
        *from = fmax(*from, -at / slope);
    else if (slope < 0)
        *to = fmin(*to, -at / slope);
    else if (at < 0)
        *to = *from;
}

/* On a leaning row x and y of the drawing are linear in the column. */
static FramePixels pixels_of(Arena *arena, const Raster *raster, const RasterWindow *frame) {
    FramePixels pixels = {.window = *frame};
    int *from = ARENA_ARRAY(arena, int, raster->tall_px), *to = ARENA_ARRAY(arena, int, raster->tall_px);
    for (int row = 0; row < raster->tall_px; row++) {
        const size_t first = (size_t)row * (size_t)raster->wide_px;
        double x, y, next_x, next_y, left = 0, right = raster->wide_px;
        raster_pixel_mm(raster, first, &x, &y);
        raster_pixel_mm(raster, first + 1, &next_x, &next_y);
        narrow(next_x - x, x - frame->left_mm, &left, &right);
        narrow(x - next_x, frame->right_mm - x, &left, &right);
        narrow(next_y - y, y - frame->low_mm, &left, &right);
        narrow(y - next_y, frame->high_mm - y, &left, &right);
        from[row] = (int)ceil(left);
        to[row] = right > left ? (int)ceil(right) : from[row];
        if (to[row] < from[row]) to[row] = from[row];
        pixels.count += (size_t)(to[row] - from[row]);
    }
    pixels.from = from;
    pixels.to = to;
    return pixels;
}

Look look_new(Arena *arena, const Scenery *scenery, int shot, const Camera *camera, const Picture *picture,
              RasterWindow frame, RasterWindow spared, int wide_px) {
    const double pixel_mm =
        fmax((frame.right_mm - frame.left_mm) / wide_px, (frame.high_mm - frame.low_mm) / TALL_MOST_PX);
    const double wide = (spared.right_mm - spared.left_mm) / pixel_mm,
                 tall = (spared.high_mm - spared.low_mm) / pixel_mm;
    /* leaning, it takes so much more to hold the frame */
    const int wide_all = (int)ceil(wide + LEAN * tall) + 2, tall_all = (int)ceil(tall + LEAN * wide) + 2;
    const double x = (spared.left_mm + spared.right_mm) / 2, y = (spared.low_mm + spared.high_mm) / 2;
    const RasterWindow window = {x - wide_all * pixel_mm / 2, x + wide_all * pixel_mm / 2,
                                 y - tall_all * pixel_mm / 2, y + tall_all * pixel_mm / 2};
    Look look = {.scenery = scenery,
                 .plan = scenery->plan,
                 .shot = &scenery->plan->shots[shot],
                 .shot_index = shot,
                 .camera = camera,
                 .picture = picture};
    look.raster = raster_new(arena, camera, picture, window, wide_all, tall_all);
    raster_turn(look.raster, LEAN);
    raster_keep_facets(look.raster);
    scenery_draw(scenery, look.raster, shot);
    look.frame = pixels_of(arena, look.raster, &frame);
    look.spared = pixels_of(arena, look.raster, &spared);
    return look;
}
