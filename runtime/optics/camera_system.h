/* The equations behind camera_solve: what a camera makes of each statement, how that moves with each unknown,
 * how much is determined (rule 15), a first guess, and least squares from there. docs/geometry.md, rules 14,
 * 15 and 19.
 *
 * Internal to optics/: others use camera_solve.h. */
#ifndef GROUNDROW_CAMERA_SYSTEM_H
#define GROUNDROW_CAMERA_SYSTEM_H

#include "optics/camera_solve.h"

enum {
    OTHERS_MOST = 4, /* puppets that may join; more add nothing but rounding */
    COLUMNS_MOST = UNKNOWN_COUNT + 2 * OTHERS_MOST,
    ROWS_MOST = 5 + 3 * OTHERS_MOST,
    CAMERA_UNKNOWNS = 5 /* lens, distance, height, across, and tilt or else crop */
};

/* A set of statements, stated and assumed alike. With `crop_free` the tilt is given (0 unless stated) and the
 * crop is sought in its place (rule 5). */
typedef struct System {
    const CameraProblem *problem;
    bool use[STATEMENT_COUNT];
    double value[STATEMENT_COUNT];
    size_t others; /* how many, from the first, have joined; their places are sought too */
    bool crop_free, crop_held;
    double crop_up_mm; /* where it is not sought */
} System;

/* Values of all unknowns, by Unknown; behind them across and back of each puppet that joined. Millimetres,
 * radians. */
typedef struct Guess {
    double at[COLUMNS_MOST];
} Guess;

/* One equation: what the camera makes of it less what is stated, in units of 1 mm on the drawing (frame: 1
 * %), and its derivatives. */
typedef struct Row {
    Statement statement; /* STATEMENT_COUNT: of another puppet */
    bool is_x;           /* of STATE_FOOT */
    double miss, by[COLUMNS_MOST];
} Row;

typedef struct Root {
    Guess guess;
    double cost, worst_mm; /* sum of squares; greatest single miss */
} Root;

enum { ROOTS_MOST = 12 };
typedef struct Roots {
    Root items[ROOTS_MOST]; /* distinct, in no order; also ends of a search that agree with nothing */
    size_t count;
} Roots;

bool system_seeks(const System *system, Unknown unknown);
/* The camera of a guess; false (and `object_mm` alone set beside the stated) when it cannot focus. */
bool system_camera(const System *system, const Guess *guess, Camera *camera);
/* The equations at a guess; false when the camera cannot focus or does not see something. */
bool system_rows(const System *system, const Guess *guess, Row rows[ROWS_MOST], size_t *count);
/* What a camera makes of a statement: mm, rad. `x_mm` is set for STATE_FOOT and may be NULL. False: not seen.
 */
bool statement_of_camera(const CameraProblem *problem, const Camera *camera, Statement statement,
                         double *value, double *x_mm);
/* A first guess by proportions, also where little is stated. */
Guess system_guess(const System *system);
/* How many of the five unknowns are determined, at a guess (rule 15). */
size_t system_count(const System *system, const Guess *guess);
/* Least squares from the guess and from steeper cameras. No roots: the guess itself is no camera. */
void system_solve(const System *system, Roots *roots);
/* d unknown / d drawn mm for each statement, at a root: see CameraSolution. */
void system_sensitivities(const System *system, const Guess *guess,
                          double per_mm[UNKNOWN_COUNT][STATEMENT_COUNT]);

#endif
