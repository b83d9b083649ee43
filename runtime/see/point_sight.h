/* Which named points of a set the planned camera does not see, since something stands before them: nobody can
 * mark those in a photograph. */
#ifndef GROUNDROW_POINT_SIGHT_H
#define GROUNDROW_POINT_SIGHT_H

#include "plan/points.h"
#include "see/scenery.h"

/* For each of a shot's points (plan_points) the index of the thing that hides it, or -1. It is hidden where
 * something is nearer to the lens on the straight line to it and on those to places 3 mm beside it, left,
 * right, over and under: what a pen mark takes. Points on a thing's axis (the foot of a puppet or a post) are
 * taken for marked on its front: it does not hide them itself, as a box does its rear corners. What lies
 * within 4 mm of a point is what it is on. */
int *points_hidden_by(Arena *arena, const Scenery *scenery, size_t shot, const PlanPoint *points,
                      size_t count);

/* The same for every shot of a plan, in its order: of its set, which is made for it. */
const int *const *points_hidden(Arena *arena, const Plan *plan);

#endif
