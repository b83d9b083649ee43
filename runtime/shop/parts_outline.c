/* Outlines of parts: convex polygons, and what of one lies in a box. */
#include "base/number.h"
#include "shop/cutter.h"

#include <assert.h>
#include <math.h>

PartPoint *rectangle_corners(Arena *arena, double x_mm, double y_mm, double wide_mm, double tall_mm) {
    PartPoint *corners = ARENA_ARRAY(arena, PartPoint, 4);
    corners[0] = (PartPoint){x_mm, y_mm};
    corners[1] = (PartPoint){x_mm + wide_mm, y_mm};
    corners[2] = (PartPoint){x_mm + wide_mm, y_mm + tall_mm};
    corners[3] = (PartPoint){x_mm, y_mm + tall_mm};
    return corners;
}

PartPoint *ellipse_corners(Arena *arena, double x_mm, double y_mm, double wide_mm, double tall_mm) {
    PartPoint *corners = ARENA_ARRAY(arena, PartPoint, ELLIPSE_CORNERS);
    for (int i = 0; i < ELLIPSE_CORNERS; i++) {
        const double angle = 2 * PI * i / ELLIPSE_CORNERS;
        corners[i] =
            (PartPoint){x_mm + wide_mm * (1 + cos(angle)) / 2, y_mm + tall_mm * (1 + sin(angle)) / 2};
    }
    return corners;
}

double corners_area(const PartPoint *corners, size_t count) {
    double twice = 0;
    for (size_t i = 0; i < count; i++) {
        const PartPoint a = corners[i], b = corners[(i + 1) % count];
        twice += a.x_mm * b.y_mm - b.x_mm * a.y_mm;
    }
    return twice / 2;
}

/* What of an outline lies on the inner side of a line: x or y (`upright`) of at least (`sign` 1) or at most
 * (-1) `limit`. */
static size_t clip_side(const PartPoint *in, size_t count, bool upright, double sign, double limit,
                        PartPoint *out) {
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        const PartPoint a = in[i], b = in[(i + 1) % count];
        const double from = sign * ((upright ? a.x_mm : a.y_mm) - limit);
        const double to = sign * ((upright ? b.x_mm : b.y_mm) - limit);
        if (from >= 0) out[kept++] = a;
        if ((from > 0 && to < 0) || (from < 0 && to > 0)) {
            const double t = from / (from - to);
            PartPoint cut = {a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)};
            if (upright)
                cut.x_mm = limit;
            else
                cut.y_mm = limit;
            out[kept++] = cut;
        }
    }
    return kept;
}

enum { CORNERS_MOST = 256 }; /* 100 steps have 202 */

size_t corners_in_box(const PartPoint *corners, size_t count, double x0, double y0, double x1, double y1,
                      PartPoint *out) {
    PartPoint a[CORNERS_MOST], b[CORNERS_MOST];
    assert(count + 8 <= CORNERS_MOST);
    size_t kept = clip_side(corners, count, true, 1, x0, a);
    kept = clip_side(a, kept, true, -1, x1, b);
    kept = clip_side(b, kept, false, 1, y0, a);
    kept = clip_side(a, kept, false, -1, y1, b);
    size_t apart = 0;
    for (size_t i = 0; i < kept; i++) { /* corners on the line come twice */
        const PartPoint last = apart > 0 ? out[apart - 1] : b[kept - 1];
        if (hypot(b[i].x_mm - last.x_mm, b[i].y_mm - last.y_mm) > 1e-6) out[apart++] = b[i];
    }
    return apart;
}
