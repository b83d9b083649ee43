/* What a scene allows beyond its plan, and the scene without some of it (docs/geometry.md, rule 100). */
#ifndef GROUNDROW_ALLOWANCES_H
#define GROUNDROW_ALLOWANCES_H

#include "base/diagnostic.h"
#include "plan/plan.h"

typedef enum Allowance {
    ALLOW_SHORTER, /* lenses than the planned one */
    ALLOW_LONGER,
    ALLOW_LOWER, /* heights than the planned one */
    ALLOW_HIGHER,
    ALLOW_SPARE,
    ALLOW_MARGIN, /* of the ground, so not of one shot */
    ALLOW_COUNT
} Allowance;

/* What the solver leaves of a lens or a height that is stated. */
#define ALLOWANCE_HAIR_MM 1e-3

/* Some of them: 1 << Allowance. */
typedef unsigned Allowances;

/* One that a scene makes use of. */
typedef struct PlanAllowance {
    Allowance kind;
    int shot;       /* index; -1: of the whole scene */
    double allowed; /* the shortest or longest lens, the lowest or highest place of it, the margin: mm; the
                       spare: a share */
    double planned; /* of lenses and heights; else 0 */
} PlanAllowance;

typedef LIST(PlanAllowance) PlanAllowances;

/* Shot by shot, in the order of the kinds; then what is the whole scene's. What says no more than the plan
 * (`lens: portrait`, which is planned) is not among them. */
PlanAllowances plan_allowances(Arena *arena, const Plan *plan);

/* The same scene without some of what its shots allow, one set of allowances a shot, the first's with the
 * margin. The planned cameras stay, and so does all that is stated. Only what its parts are cut from: no
 * warnings, no reasons, nothing as it was built. In `arena`, and it points into the scene; NULL where it
 * cannot be planned so, with the faults in `diagnostics`. */
Plan *plan_without(Arena *arena, const Plan *plan, const Allowances *given_up, Diagnostics *diagnostics);

#endif
