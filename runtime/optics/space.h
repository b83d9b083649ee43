/* Arithmetic on points and directions of the set (across, back, up: a right-handed frame). */
#ifndef GROUNDROW_SPACE_H
#define GROUNDROW_SPACE_H

#include "optics/camera.h"

#include <math.h>

static inline Point3 point(double across, double back, double up) {
    return (Point3){across, back, up};
}

static inline Point3 point_add(Point3 a, Point3 b) {
    return (Point3){a.across_mm + b.across_mm, a.back_mm + b.back_mm, a.up_mm + b.up_mm};
}

static inline Point3 point_less(Point3 a, Point3 b) {
    return (Point3){a.across_mm - b.across_mm, a.back_mm - b.back_mm, a.up_mm - b.up_mm};
}

static inline Point3 point_times(Point3 a, double times) {
    return (Point3){a.across_mm * times, a.back_mm * times, a.up_mm * times};
}

static inline Point3 point_toward(Point3 from, Point3 direction, double times) {
    return point_add(from, point_times(direction, times));
}

static inline double point_dot(Point3 a, Point3 b) {
    return a.across_mm * b.across_mm + a.back_mm * b.back_mm + a.up_mm * b.up_mm;
}

static inline Point3 point_cross(Point3 a, Point3 b) {
    return (Point3){a.back_mm * b.up_mm - a.up_mm * b.back_mm, a.up_mm * b.across_mm - a.across_mm * b.up_mm,
                    a.across_mm * b.back_mm - a.back_mm * b.across_mm};
}

static inline double point_length(Point3 a) {
    return sqrt(point_dot(a, a));
}

/* Of length 1; a null vector stays one. */
static inline Point3 point_unit(Point3 a) {
    const double length = point_length(a);
    return length > 0 ? point_times(a, 1 / length) : a;
}

/* Two unit directions square to `axis` and to each other, so that the first, the second and the axis are
 * right-handed. */
static inline void point_sides(Point3 axis, Point3 *first, Point3 *second) {
    const Point3 along = point_unit(axis);
    const Point3 aside = fabs(along.up_mm) > 0.9 ? point(0, 1, 0) : point(0, 0, 1);
    *first = point_unit(point_cross(aside, along));
    *second = point_cross(along, *first);
}

#endif
