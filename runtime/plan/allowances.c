#include "plan/allowances.h"

#include "plan/resolve.h"

bool gives_up(const Resolver *r, int shot, Allowance allowance) {
    return r->given_up && (r->given_up[shot] & 1u << allowance) != 0;
}

static void add(Arena *arena, PlanAllowances *list, PlanAllowance allowance) {
    LIST_PUSH(arena, *list, allowance);
}

static void add_lenses(Arena *arena, PlanAllowances *list, const Plan *plan, int index) {
    const PlanShot *shot = &plan->shots[index];
    const double planned = shot->solution.camera.focal_mm;
    const CameraProblem *problem = &shot->problem;
    if (!problem->lens_allowed) return;
    if (problem->lens_low_mm < planned - ALLOWANCE_HAIR_MM)
        add(arena, list, (PlanAllowance){ALLOW_SHORTER, index, problem->lens_low_mm, planned});
    if (problem->lens_high_mm > planned + ALLOWANCE_HAIR_MM)
        add(arena, list, (PlanAllowance){ALLOW_LONGER, index, problem->lens_high_mm, planned});
}

static void add_heights(Arena *arena, PlanAllowances *list, const Plan *plan, int index) {
    const PlanShot *shot = &plan->shots[index];
    const double planned = shot->solution.camera.height_mm;
    const CameraProblem *problem = &shot->problem;
    if (!problem->height_allowed) return;
    if (problem->height_low_mm < planned - ALLOWANCE_HAIR_MM)
        add(arena, list, (PlanAllowance){ALLOW_LOWER, index, problem->height_low_mm, planned});
    if (problem->height_high_mm > planned + ALLOWANCE_HAIR_MM)
        add(arena, list, (PlanAllowance){ALLOW_HIGHER, index, problem->height_high_mm, planned});
}

PlanAllowances plan_allowances(Arena *arena, const Plan *plan) {
    PlanAllowances list = {0};
    for (size_t s = 0; s < plan->shot_count; s++) {
        add_lenses(arena, &list, plan, (int)s);
        add_heights(arena, &list, plan, (int)s);
        if (plan->shots[s].spare > 0)
            add(arena, &list, (PlanAllowance){ALLOW_SPARE, (int)s, plan->shots[s].spare, 0});
    }
    const double margin_mm = plan->values[plan->scene->things[plan->ground].slot[FIELD_MARGIN]];
    if (margin_mm > 0) add(arena, &list, (PlanAllowance){ALLOW_MARGIN, -1, margin_mm, 0});
    return list;
}
