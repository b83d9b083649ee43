#include "plan/shape.h"

#include <math.h>

Point3 shape_point(const PlanThing *thing, int item, double x_mm, double y_mm, double z_mm) {
    /* turned to the left, the front goes clockwise seen from above: right is (cos, -sin), back is (sin, cos)
     */
    const double c = cos(thing->turn_rad), s = sin(thing->turn_rad);
    return (Point3){.across_mm = thing->at.across_mm + item * thing->row_every_mm + x_mm * c + y_mm * s,
                    .back_mm = thing->at.back_mm - x_mm * s + y_mm * c,
                    .up_mm = thing->at.up_mm + z_mm};
}

static Point2 on_plan(Point3 point) {
    return (Point2){point.across_mm, point.back_mm};
}

/* Where the footprint begins and ends in the thing's own depth: panels hang back from their front face. */
static void depth_of(const PlanThing *thing, double *front_mm, double *rear_mm) {
    const bool panel = thing->thing->shape == SHAPE_PANEL;
    *front_mm = panel ? 0 : -thing->deep_mm / 2;
    *rear_mm = panel ? thing->deep_mm : thing->deep_mm / 2;
}

size_t shape_footprint(const PlanThing *thing, int item, Point2 corners[FOOTPRINT_MOST]) {
    const ThingShape shape = thing->thing->shape;
    if (shape == SHAPE_NONE || !(thing->wide_mm > 0)) return 0;
    if (shape == SHAPE_POST || shape == SHAPE_CONE) {
        for (int i = 0; i < FOOTPRINT_MOST; i++) {
            const double angle = 2 * PI * i / FOOTPRINT_MOST;
            corners[i] = on_plan(shape_point(thing, item, thing->wide_mm / 2 * cos(angle),
                                             thing->deep_mm / 2 * sin(angle), 0));
        }
        return FOOTPRINT_MOST;
    }
    double front, rear;
    depth_of(thing, &front, &rear);
    const double half = thing->wide_mm / 2;
    corners[0] = on_plan(shape_point(thing, item, -half, front, 0));
    corners[1] = on_plan(shape_point(thing, item, half, front, 0));
    corners[2] = on_plan(shape_point(thing, item, half, rear, 0));
    corners[3] = on_plan(shape_point(thing, item, -half, rear, 0));
    return 4;
}

void shape_measure(PlanThing *thing) {
    Point2 corners[FOOTPRINT_MOST];
    double left = INFINITY, right = -INFINITY, front = INFINITY, rear = -INFINITY;
    const int last = thing->row_count > 1 ? thing->row_count - 1 : 0;
    for (int end = 0; end < (last > 0 ? 2 : 1); end++) {
        const size_t n = shape_footprint(thing, end * last, corners);
        for (size_t i = 0; i < n; i++) {
            left = fmin(left, corners[i].across_mm);
            right = fmax(right, corners[i].across_mm);
            front = fmin(front, corners[i].back_mm);
            rear = fmax(rear, corners[i].back_mm);
        }
    }
    if (!(left <= right)) return;
    thing->left_mm = left;
    thing->right_mm = right;
    thing->front_mm = front;
    thing->rear_mm = rear;
    thing->foot_mm = thing->at.up_mm;
    thing->top_mm = thing->at.up_mm + thing->tall_mm;
}

typedef struct Extent2 {
    double left_mm, right_mm, front_mm, rear_mm;
} Extent2;

/* Least shift along the normals of `a` that parts the outlines; negative when they are apart already. */
static double parting(const Point2 *a, size_t a_count, const Point2 *b, size_t b_count) {
    double least = INFINITY;
    for (size_t i = 0; i < a_count; i++) {
        const Point2 p = a[i], q = a[(i + 1) % a_count];
        const double length = hypot(q.across_mm - p.across_mm, q.back_mm - p.back_mm);
        if (length < 1e-9) continue;
        const double nx = (q.back_mm - p.back_mm) / length, ny = -(q.across_mm - p.across_mm) / length;
        double nearest = INFINITY; /* of b, along the outward normal from this edge */
        for (size_t j = 0; j < b_count; j++) {
            const double d = (b[j].across_mm - p.across_mm) * nx + (b[j].back_mm - p.back_mm) * ny;
            nearest = fmin(nearest, d);
        }
        least = fmin(least, -nearest);
    }
    return least;
}

static Extent2 extent_of(const Point2 *corners, size_t count) {
    Extent2 all = {INFINITY, -INFINITY, INFINITY, -INFINITY};
    for (size_t i = 0; i < count; i++) {
        all.left_mm = corners[i].across_mm < all.left_mm ? corners[i].across_mm : all.left_mm;
        all.right_mm = corners[i].across_mm > all.right_mm ? corners[i].across_mm : all.right_mm;
        all.front_mm = corners[i].back_mm < all.front_mm ? corners[i].back_mm : all.front_mm;
        all.rear_mm = corners[i].back_mm > all.rear_mm ? corners[i].back_mm : all.rear_mm;
    }
    return all;
}

/* Most of many are far apart, which is told at once. */
static bool are_apart(const Point2 *a, size_t a_count, const Point2 *b, size_t b_count) {
    const Extent2 one = extent_of(a, a_count), other = extent_of(b, b_count);
    return one.left_mm > other.right_mm || other.left_mm > one.right_mm || one.front_mm > other.rear_mm ||
           other.front_mm > one.rear_mm;
}

bool footprints_overlap(const Point2 *a, size_t a_count, const Point2 *b, size_t b_count, double slack_mm,
                        double *overlap_mm) {
    if (a_count < 3 || b_count < 3 || are_apart(a, a_count, b, b_count)) return false;
    *overlap_mm = fmin(parting(a, a_count, b, b_count), parting(b, b_count, a, a_count));
    return *overlap_mm > slack_mm;
}

bool footprint_inside(const Point2 *corners, size_t count, const Trapezoid *outline) {
    const double deep = outline->rear_mm - outline->front_mm;
    const double band = 1e-3;
    for (size_t i = 0; i < count; i++) {
        const Point2 p = corners[i];
        if (p.back_mm < outline->front_mm - band || p.back_mm > outline->rear_mm + band) return false;
        const double t = deep > 0 ? (p.back_mm - outline->front_mm) / deep : 0;
        const double left = outline->front_left_mm + t * (outline->rear_left_mm - outline->front_left_mm);
        const double right = outline->front_right_mm + t * (outline->rear_right_mm - outline->front_right_mm);
        if (p.across_mm < left - band || p.across_mm > right + band) return false;
    }
    return true;
}

typedef struct PointWriter {
    const PlanThing *thing;
    NamedPoint *points;
    size_t count;
} PointWriter;

static void add_point(PointWriter *to, const char *name, double x_mm, double y_mm, double z_mm) {
    to->points[to->count++] = (NamedPoint){name, shape_point(to->thing, 0, x_mm, y_mm, z_mm)};
}

static void add_face(PointWriter *to, const char *const names[4], double y_mm) {
    const double half = to->thing->wide_mm / 2, tall = to->thing->tall_mm;
    add_point(to, names[0], -half, y_mm, 0);
    add_point(to, names[1], half, y_mm, 0);
    if (names[2]) {
        add_point(to, names[2], -half, y_mm, tall);
        add_point(to, names[3], half, y_mm, tall);
    }
}

size_t shape_points(const PlanThing *thing, NamedPoint points[SHAPE_POINTS_MOST]) {
    static const char *const panel[] = {"foot left", "foot right", "top left", "top right"};
    static const char *const front[] = {"front left foot", "front right foot", "front left top",
                                        "front right top"};
    static const char *const rear[] = {"rear left foot", "rear right foot", "rear left top",
                                       "rear right top"};
    static const char *const low_front[] = {"front left foot", "front right foot", NULL, NULL};
    PointWriter to = {.thing = thing, .points = points};
    const double deep = thing->deep_mm;
    switch (thing->thing->shape) {
    case SHAPE_FIGURE:
        add_point(&to, "foot", 0, 0, 0);
        add_point(&to, "head", 0, 0, thing->tall_mm);
        add_point(&to, "eyes", 0, 0, thing->eyes_mm);
        break;
    case SHAPE_PANEL:
        add_face(&to, panel, 0);
        break;
    case SHAPE_CUTOUT:
        add_face(&to, panel, -deep / 2);
        break;
    case SHAPE_BOX:
        add_face(&to, front, -deep / 2);
        add_face(&to, rear, deep / 2);
        break;
    case SHAPE_WEDGE:
    case SHAPE_STEPS:
        add_face(&to, low_front, -deep / 2);
        add_face(&to, rear, deep / 2);
        break;
    case SHAPE_POST:
        add_point(&to, "foot", 0, 0, 0);
        add_point(&to, "top", 0, 0, thing->tall_mm);
        break;
    case SHAPE_CONE:
        add_point(&to, "foot", 0, 0, 0);
        add_point(&to, "tip", 0, 0, thing->tall_mm);
        break;
    case SHAPE_NONE:
    case SHAPE_COUNT:
        break;
    }
    return to.count;
}
