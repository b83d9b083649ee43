/* The room that a set takes with its tables, its camera at the farthest allowed place, its lamps and somebody
 * behind the camera; and what is out of an arm's reach (docs/geometry.md, rules 97 and 98). */
#ifndef GROUNDROW_ROOM_H
#define GROUNDROW_ROOM_H

#include "plan/plan.h"

/* Common practice, no source: a person stands behind the camera, a stand's legs reach so far to all sides. */
#define ROOM_PERSON_MM 914.4
#define ROOM_LEGS_MM 457.2

typedef struct RoomNeeds {
    double left_mm, right_mm, front_mm, rear_mm; /* in the set's frame */
    double across_mm, back_mm;
    double top_mm; /* over the flat ground */
    int top_thing; /* that reaches it, or -1: a lamp, `top_lamp` */
    int top_lamp;
    int shot, camera; /* whose camera stands the farthest back */
    double tall_mm;   /* above the floor; NAN where the table's height is not stated */
} RoomNeeds;

RoomNeeds plan_room_needs(Arena *arena, const Plan *plan);

/* How far a thing is from the nearest free edge of the base: the front, the sides, and the rear where no
 * backdrop closes it. To its middle; of a flat, which is held at both ends, to the farther one. */
double plan_reach_mm(const Plan *plan, const PlanThing *thing);

/* Things that are put on the set and are farther from a free edge than `reach_mm` by more than an arm is
 * known to (rule 98): indices from the rear to the front, what stands atop another behind that one. */
typedef struct OutOfReach {
    int *things;
    size_t count;
    double farthest_mm;
} OutOfReach;
OutOfReach plan_out_of_reach(Arena *arena, const Plan *plan, double reach_mm);

/* Whether a block goes through a door on whichever of its sides: two of its sizes fit, the third goes through
 * (rule 99). */
bool passes_door(double wide_mm, double tall_mm, double deep_mm, double door_wide_mm, double door_tall_mm);

/* Warnings of tables, room, tripod and reach; the plan's parts are known. */
/* Of holes alone; load_to_warnings says them too. */
void holes_to_warnings(Plan *plan, Diagnostics *diagnostics);
void load_to_warnings(Plan *plan, Diagnostics *diagnostics);

#endif
