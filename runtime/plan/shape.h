/* What a thing's shape is on plan and in space: footprint and named points. One description for covering,
 * overlaps, models, reports and lining up. Meshes are made from the same numbers in model/. */
#ifndef GROUNDROW_SHAPE_H
#define GROUNDROW_SHAPE_H

#include "plan/plan.h"

typedef struct Point2 {
    double across_mm, back_mm;
} Point2;

enum { FOOTPRINT_MOST = 24, SHAPE_POINTS_MOST = 16 };

/* The convex outline of one item of a thing (item 0 .. row_count-1) on plan, counter-clockwise seen from
 * above with back upwards; round shapes as a 24-gon that lies on the circle or ellipse. Returns the count of
 * corners; 0: it has none. */
size_t shape_footprint(const PlanThing *thing, int item, Point2 corners[FOOTPRINT_MOST]);
/* Sets a thing's extremes (left ... foot) from its place, turn, sizes and row (rule 30). Things without a
 * footprint are left as they are. */
void shape_measure(PlanThing *thing);
/* Whether two convex outlines share more than `slack_mm`, which is nothing or more; `overlap_mm` is the least
 * distance that parts them then. */
bool footprints_overlap(const Point2 *a, size_t a_count, const Point2 *b, size_t b_count, double slack_mm,
                        double *overlap_mm);
/* Whether a footprint lies inside a trapezoid. */
bool footprint_inside(const Point2 *corners, size_t count, const Trapezoid *outline);

typedef struct NamedPoint {
    const char *name; /* `foot`, `head`, `eyes`; `top left`, `front left foot` ... */
    Point3 at;
} NamedPoint;

/* Named points of a thing that a maker can find and touch; the first item of a row. Figures: foot, head,
 * eyes. Panels: foot left, foot right, top left, top right (front face). Boxes, wedges, steps: front and
 * rear, left and right, foot and top (wedge and steps: no `front ... top` but what is there). Posts: foot,
 * top. Cones: foot, tip. */
size_t shape_points(const PlanThing *thing, NamedPoint points[SHAPE_POINTS_MOST]);
/* From the thing's own frame (x right along its front, y back, z up from its foot, origin at `at`) into the
 * set's. */
Point3 shape_point(const PlanThing *thing, int item, double x_mm, double y_mm, double z_mm);

#endif
