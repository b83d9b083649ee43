/* What a shot names under `sharp`, held to its stop and focus: the depths it spans, the stop and the focus
 * that hold all of it, and where none does the focus steps for exposures that are stacked. docs/geometry.md,
 * rules 37 to 40 and 51. */
#ifndef GROUNDROW_SHARP_TOGETHER_H
#define GROUNDROW_SHARP_TOGETHER_H

#include "plan/plan.h"

/* What reads as sharp in a shot (rule 39). */
typedef struct SharpLimit {
    double paper_mm;   /* the largest blur on paper */
    double reading_mm; /* from the eyes */
    double circle_mm;  /* on the sensor */
} SharpLimit;
SharpLimit plan_sharp_limit(const Plan *plan, int shot);

/* Depths along the planned camera's axis, of a thing's box or of a part of it. */
void plan_sharp_depths(const PlanThing *thing, SharpPart part, const Camera *camera, double *near_mm,
                       double *far_mm);

enum { SHARP_STEPS_TOLD = 24 };

typedef struct SharpTogether {
    double near_mm, far_mm; /* depths of the nearest and the farthest point that is named */
    int nearest, farthest;  /* whose they are: indices into the shot's `sharp` */
    double object_mm;       /* the focus that asks for the least stop */
    double stop,
        marked_stop; /* that stop, and the one to set: the next mark, or the lens's last; INFINITY: none */
    double smallest_stop; /* of the lens: stated by the book, else 22 */
    bool within_lens;     /* the lens has that stop */
    bool softened;        /* but diffraction alone is more than reads as sharp there */
    double airy_mm;       /* diffraction at the marked stop, on the sensor; NAN without one */
    bool held;            /* by the stop and the focus as they are planned */
    bool held_refocused;  /* by the planned stop, focused at `object_mm` */
    double worst_blur_mm; /* on paper, as planned; 0 where no stop is planned */
    int worst;            /* whose, index into the shot's `sharp` */
    double step_stop;     /* for stacking: the planned one, else the smallest that diffraction leaves sharp */
    int step_count;       /* the fewest focus steps at it; their distances in step_mm, nearest first */
    double step_mm[SHARP_STEPS_TOLD];
} SharpTogether;

/* False where the shot names nothing, or where something named is not in front of the lens's focal length. */
bool plan_sharp_together(const Plan *plan, int shot, SharpTogether *together);

/* Where a plane square to the axis of the planned camera cuts the height `up_mm`: so far behind the shot's
 * mark, negative in front of it (rule 37). */
double plan_depth_from_mark(const PlanShot *shot, double depth_mm, double up_mm);

#endif
