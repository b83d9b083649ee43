/* Lamps: what they draw, how much light they give where, and how near foam comes to them (docs/geometry.md,
 * rules 90 to 93). */
#ifndef GROUNDROW_LAMPS_H
#define GROUNDROW_LAMPS_H

#include "plan/plan.h"

/* What burns for hours may take so much of a circuit's rating (common practice, no source; NEC 210.20(A) asks
 * for a rating of 125 % of what burns for three hours and more, which is the same). */
#define CIRCUIT_SHARE 0.8

/* How large a lamp's head is taken to be, where nothing says: 8 in across (common practice, no source). */
#define LAMP_HEAD_MM 203.2
#define LAMP_STAND_MM 31.75

/* Amperes, watts over volts: of what has no coil or ballast. */
double lamp_amps(double watts, double volts);

/* How much more light falls at `near_mm` from a lamp than at `far_mm`, in stops: by the inverse square, of a
 * lamp that is small against both. Twice the distance is two stops. */
double light_stops(double near_mm, double far_mm);

/* How much more light one lamp gives than another where each is so far away, in stops, were both of one kind
 * (so many lumens a watt). */
double lamp_over_stops(double watts, double mm, double other_watts, double other_mm);

/* Where the light is measured: the leading thing's eyes or its middle, and the middle of the backdrop's
 * front; false where there is no backdrop. */
Point3 light_at_mark(const Plan *plan);
bool light_at_backdrop(const Plan *plan, Point3 *at);

/* The straight way from a lamp's middle to the nearest foam: things whose stock's kind or name says `foam`,
 * as the upright blocks round them. `thing` is -1 where there is none. */
typedef struct NearFoam {
    int thing;
    double mm;
} NearFoam;
NearFoam lamp_near_foam(const Plan *plan, Point3 at);

/* Where its stand meets the floor, or the lamp itself where it hangs or the table's height is not stated. */
Point3 lamp_foot(const Plan *plan, const PlanLamp *lamp);

/* How far it is from a place, straight. */
double lamp_distance_mm(const PlanLamp *lamp, Point3 to);

/* Whether its stock is foam: its kind or its name says so (rule 93). */
bool thing_is_foam(const Plan *plan, const Thing *thing);

#endif
