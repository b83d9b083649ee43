/* How stiff the board under a set is, by what its stock says of itself (docs/geometry.md, rules 96 and 105).
 * All in N and mm, for a strip a millimetre wide. */
#ifndef GROUNDROW_STIFFNESS_H
#define GROUNDROW_STIFFNESS_H

#include "base/arena.h"
#include "plan/plan.h"

typedef struct BoardStiffness {
    double ei_n_mm;   /* E times I, of a mm of width; NAN: nothing is known of such a board */
    int layers;       /* that lie on one another without glue: their I add up */
    bool guessed;     /* its stock says nothing of its kind: taken for plywood */
    const char *name; /* `plywood, across its face grain`, `MDF`, `its stated modulus` */
} BoardStiffness;

/* Of the plan's base; it has one. */
BoardStiffness base_stiffness(Arena *arena, const Plan *plan);

/* How far a strip sags over a span under an even load: q L^4 / (k E I). k is 384 / 5 for a single span on two
 * supports, 8 for what hangs over its last one (beam formulas). */
#define SPAN_SINGLE (384.0 / 5)
#define SPAN_OVERHANG 8.0
double sag_mm(double load_n_mm2, double span_mm, double stiffness_n_mm2, double inertia_mm3, double k);

/* Plywood: E, and I of a mm of width across its face grain, the weaker way, by thickness (Plyform Class I:
 * Peurifoy and Oberlender, Formwork for Concrete Structures, p. 218 and 223). */
#define PLYWOOD_N_MM2 (1650000 * N_MM2_PER_PSI)
double plywood_inertia_mm3(double thick_mm);
/* Of a plain rectangle: thick^3 / 12. */
double plain_inertia_mm3(double thick_mm);

/* Bead foam by its density: the compressive resistance at 1 % of the densest type of ASTM D6817 that it is,
 * over that 1 %. */
double bead_foam_n_mm2(double density_kg_m3);

#endif
