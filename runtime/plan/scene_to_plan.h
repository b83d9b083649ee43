/* Stage: a bound scene into numbers. Resolves every quantity in dependency order (a drawn size needs the
 * camera and a depth, `cover` all allowed cameras, a place on the ground the mounds), solves the cameras,
 * spreads the ground and the base, and checks the plan: what is drawn against what is real, things in each
 * other's space or off the ground, lenses too near.
 *
 * Refuses circles (each named whole, once), sizes of nothing or less, cameras with too little, too much or
 * nothing possible, feet above the horizon; each at its span in `diagnostics`. Warnings are diagnostics too,
 * and stand in the plan as facts; those that the spec accepts stand only there. */
#ifndef GROUNDROW_SCENE_TO_PLAN_H
#define GROUNDROW_SCENE_TO_PLAN_H

#include "base/diagnostic.h"
#include "plan/plan.h"

/* `found` has as many entries as scene->wanted (files not found are said by the rim, not here). NULL when the
 * scene has faults; they are in `diagnostics` then. */
Plan *scene_to_plan(const Scene *scene, const FoundFile *found, Diagnostics *diagnostics);

#endif
