/* Three numbers as a direction or place, and a turn of them. */
#ifndef GROUNDROW_VECTOR3_H
#define GROUNDROW_VECTOR3_H

#include <math.h>

/* A matrix by rows, in a struct because a pointer to a const array of arrays is not to be had in C17. */
typedef struct Turn {
    double row[3][3];
} Turn;

static inline double dot3(const double a[3], const double b[3]) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

static inline void cross3(const double a[3], const double b[3], double c[3]) {
    double x = a[1] * b[2] - a[2] * b[1], y = a[2] * b[0] - a[0] * b[2], z = a[0] * b[1] - a[1] * b[0];
    c[0] = x, c[1] = y, c[2] = z;
}

static inline void less3(const double a[3], const double b[3], double c[3]) {
    for (int i = 0; i < 3; i++)
        c[i] = a[i] - b[i];
}

static inline double length3(const double a[3]) {
    return sqrt(dot3(a, a));
}

/* c = M a. */
static inline void turn3(const Turn *m, const double a[3], double c[3]) {
    double x = dot3(m->row[0], a), y = dot3(m->row[1], a), z = dot3(m->row[2], a);
    c[0] = x, c[1] = y, c[2] = z;
}

/* c = M^T a. */
static inline void turn_back3(const Turn *m, const double a[3], double c[3]) {
    double kept[3] = {a[0], a[1], a[2]};
    for (int i = 0; i < 3; i++)
        c[i] = m->row[0][i] * kept[0] + m->row[1][i] * kept[1] + m->row[2][i] * kept[2];
}

/* A B. */
static inline Turn join3(const Turn *a, const Turn *b) {
    Turn c;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            c.row[i][j] =
                a->row[i][0] * b->row[0][j] + a->row[i][1] * b->row[1][j] + a->row[i][2] * b->row[2][j];
    return c;
}

#endif
