#include "see/lamp_sight.h"

#include "plan/lamps.h"

#include <math.h>

/* The pixel that shows a place of the drawing; the grid leans. */
static bool pixel_at(const Raster *raster, double x_mm, double y_mm, size_t *pixel) {
    const double wide = raster->wide_px, tall = raster->tall_px, slope = raster->slope;
    const double x =
        (x_mm - raster->window.left_mm) / (raster->window.right_mm - raster->window.left_mm) * wide -
        wide / 2;
    const double y =
        (raster->window.high_mm - y_mm) / (raster->window.high_mm - raster->window.low_mm) * tall - tall / 2;
    const double column = floor(x + slope * y + wide / 2), row = floor(y - slope * x + tall / 2);
    if (!(column >= 0 && column < wide && row >= 0 && row < tall)) return false;
    *pixel = (size_t)row * (size_t)raster->wide_px + (size_t)column;
    return true;
}

static bool shows(const Look *look, Point3 at) {
    const RasterWindow *frame = &look->frame.window;
    double x, y, depth;
    size_t pixel;
    if (!camera_project(look->camera, look->picture, at, &x, &y, &depth)) return false;
    if (x < frame->left_mm || x > frame->right_mm || y < frame->low_mm || y > frame->high_mm) return false;
    return pixel_at(look->raster, x, y, &pixel) && look->raster->nearness[pixel] * depth < 1;
}

/* The rim of its head as the camera sees it, and its middle. */
static bool head_shows(const Look *look, Point3 at) {
    enum { RIM = 24 };
    if (shows(look, at)) return true;
    for (int i = 0; i < RIM; i++) {
        const double angle = 2 * PI * i / RIM;
        const Point3 rim = {at.across_mm + LAMP_HEAD_MM / 2 * cos(angle), at.back_mm,
                            at.up_mm + LAMP_HEAD_MM / 2 * sin(angle)};
        if (shows(look, rim)) return true;
    }
    return false;
}

static bool stand_shows(const Look *look, const PlanLamp *lamp) {
    const Point3 foot = lamp_foot(look->plan, lamp);
    const double tall = lamp->at.up_mm - foot.up_mm;
    const int steps = (int)ceil(tall / 15);
    for (int i = 0; i < steps; i++) {
        for (int side = -1; side <= 1; side += 2) {
            const Point3 at = {foot.across_mm + side * LAMP_STAND_MM / 2, foot.back_mm,
                               foot.up_mm + tall * i / steps};
            if (shows(look, at)) return true;
        }
    }
    return false;
}

const bool *lamps_in_sight(Arena *arena, const Look *look) {
    const size_t count = look->plan->scene->lamp_count;
    bool *seen = ARENA_ARRAY(arena, bool, count);
    for (size_t i = 0; i < count; i++) {
        const PlanLamp *lamp = &look->plan->lamps[i];
        seen[i] = head_shows(look, lamp->at) || stand_shows(look, lamp);
    }
    return seen;
}
