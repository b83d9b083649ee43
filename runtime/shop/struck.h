/* Parts of a struck set as material for a later one (docs/geometry.md, rule 107). Inside shop/ only. */
#ifndef GROUNDROW_STRUCK_H
#define GROUNDROW_STRUCK_H

#include "shop/cutting.h"

/* Whether a struck part serves as the wanted one as it is: turned in its plane, never face down, and with its
 * grain only by a half, no corner and no edge of an opening is off by more than `alike_mm`. `off_mm`: by how
 * much at the most. Both of one stock and thickness. */
bool struck_serves(const CutItem *struck, const CutItem *wanted, double alike_mm, double *off_mm);

/* Whether a struck part, convex and without openings, can be cut down to the wanted one, turned likewise:
 * then how, along as many of its edges as can be, low and to the left. */
bool struck_contains(const CutItem *struck, const CutItem *wanted, int *quarter_turns, NestPoint *at);

/* The largest upright rectangle of a struck part, as a sheet with its grain up, and where in the part's box
 * it is; 0 wide where there is none that is worth keeping. */
NestSheet struck_to_sheet(const CutItem *struck, NestPoint *at);

/* Of the part's face, openings taken out. */
double cut_item_area(const CutItem *item);

#endif
