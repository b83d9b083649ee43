/* Which lamps a camera has in its frame, they or their stands, with nothing of the set before them. */
#ifndef GROUNDROW_LAMP_SIGHT_H
#define GROUNDROW_LAMP_SIGHT_H

#include "see/look.h"

/* As many as the plan has lamps; in `arena`. A lamp is looked at in points, a finger's width apart and less.
 */
const bool *lamps_in_sight(Arena *arena, const Look *look);

#endif
