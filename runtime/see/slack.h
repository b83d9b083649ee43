/* How far the frame may be widened or moved before something shoots off (docs/geometry.md, rule 42). */
#ifndef GROUNDROW_SLACK_H
#define GROUNDROW_SLACK_H

#include "plan/seen.h"
#include "see/scenery.h"

/* Of a shot's planned camera, where its frame `shoots_off` as it is or where it does not: what is bare inside
 * it then is no more than pixels can tell. Looks SLACK_MOST beyond the frame with `wide_px` pixels to its
 * width; where something is bare that the frame could come to, closely. */
SeenSlack slack_of(const Scenery *scenery, int shot, int wide_px, bool shoots_off);

#endif
