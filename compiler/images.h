/* The pictures that a scene names, found in the book's folder: the rim's answer to scene->wanted. */
#ifndef GROUNDROW_IMAGES_H
#define GROUNDROW_IMAGES_H

#include "base/diagnostic.h"
#include "output_kinds.h"
#include "plan/scene.h"

enum { IMAGE_BYTES_MOST = 64 * 1024 * 1024, PIXELS_MOST_PX = 2400, SILHOUETTE_MOST_PX = 1200 };

/* As many as scene->wanted, in its order, bytes and pixels in `arena`. What is missing though asked for, lies
 * outside the folder (links followed), is too large, damaged or of another kind is a fault at its span; what
 * the machine refuses is in `*trouble`. Those are not `found`.
 *
 * What a cutout's outline is wanted of is decoded for that in any case, the longer side to SILHOUETTE_MOST_PX
 * at the most, so that it does not go by what else is made; where no silhouette can be told is a fault.
 *
 * `decoded_most_px`: they are decoded, the longer side to so many px at the most (PIXELS_MOST_PX); 0: they
 * are not, and what only decoding tells is not found out. */
FoundFile *images_find(Arena *arena, const char *folder, const Scene *scene, int decoded_most_px,
                       Diagnostics *diagnostics, const char **trouble);

/* How large they are decoded for what is made of them: PIXELS_MOST_PX, or 0 where nothing shows them. */
int images_px(OutputKinds kinds);

#endif
