/* Between the steps of plan_to_lined_up.h; nobody else includes this. */
#ifndef GROUNDROW_PHOTO_STAGES_H
#define GROUNDROW_PHOTO_STAGES_H

#include "base/diagnostic.h"
#include "plan/lined_up.h"

typedef struct PhotoWork {
    Arena *arena;
    Plan *plan; /* gets warnings */
    Diagnostics *diagnostics;
    const PlanShot *shot;
    LinedPhoto *photo;
} PhotoWork;

/* photo_marks.c: the photograph's size, its lens and its marks; false with faults. */
bool photo_read(const PhotoWork *work);

/* photo_solve.c: the camera by the marks as they are, and in the marks which of them were left out with their
 * thing. How badly all that fits: squares in sigmas, and what leaving out costs; INFINITY without a camera.
 */
double photo_seek(const PhotoWork *work, ResectResult *found);
/* The same without leaving anything out: quick, and enough to rank readings of the marks. */
double photo_try(const PhotoWork *work, ResectResult *found);
/* The camera, with things that do not stand where the plan has them left out; false with a
 * fault. */
bool photo_solve(const PhotoWork *work);
/* The camera once more, without the marks of one thing; `*result` is RESECTED where that suffices. */
bool photo_solve_without(const PhotoWork *work, int thing, ResectResult *result);
/* Marks of these stand for the set itself: they are never taken for moved. */
bool photo_is_fixed(const Plan *plan, int thing);

/* photo_trust.c: says what does not belong; false with a fault where what was found is no camera, or where
 * the marks, read otherwise, fit far better. */
bool photo_trust(const PhotoWork *work, const ResectResult *found, double cost);

/* photo_things.c: what each marked thing's own marks tell. */
void photo_place_things(const PhotoWork *work);

/* photo_scale.c: from the drawing into the photograph. */
void photo_scale(const PhotoWork *work);
void photo_from_drawing(const LinedScale *scale, double x_mm, double y_mm, double *x_px, double *y_px);

#endif
