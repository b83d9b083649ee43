/* A single-stroke alphabet of our own, as geometry: labels that every viewer shows alike, without a font or a
 * texture. Letters are flat ribbons that face one way; what they stand on gives them a back. */
#ifndef GROUNDROW_LETTERING_H
#define GROUNDROW_LETTERING_H

#include "model/mesh.h"

/* Where a line of lettering stands: the left end of its base line, the direction of writing and the direction
 * up, both of length 1 and square to each other. It faces along their cross product. */
typedef struct Baseline {
    Point3 at, along, up;
} Baseline;

/* Width of a line, in heights of a capital. */
double lettering_width(const char *text);

/* Adds a line of UTF-8, its capitals `height_mm` tall. Latin letters with marks are lettered; a sign that the
 * alphabet has not is an empty box. */
void lettering_add(Mesh *mesh, const char *text, const Baseline *line, double height_mm);

/* What the marks above capitals and the tails under letters take beyond base line and capitals, in heights of
 * a capital. */
#define LETTERING_OVER 0.30
#define LETTERING_UNDER 0.43

#endif
