/* The pictures that a scene names, found in the book's folder: the rim's answer to scene->wanted. */
#ifndef GROUNDROW_IMAGES_H
#define GROUNDROW_IMAGES_H

#include "base/diagnostic.h"
#include "plan/scene.h"

enum { IMAGE_BYTES_MOST = 64 * 1024 * 1024, IMAGE_SIDE_MOST_PX = 32768 };

/* As many as scene->wanted, in its order, bytes in `arena`. What is missing though asked for, lies outside
 * the folder (links followed), is too large, damaged or of another kind is a fault at its span; what the
 * machine refuses is in `*trouble`. Those are not `found`. */
FoundFile *images_find(Arena *arena, const char *folder, const Scene *scene, Diagnostics *diagnostics,
                       const char **trouble);

/* What kind of picture these bytes are and how large (PNG: W3C PNG specification, 5; JPEG: ITU-T T.81, annex
 * B). The pixels are not decoded, but the file must be whole, from its header to its end mark. False, and
 * `*found` untouched, for anything else and for sides of nothing or over IMAGE_SIDE_MOST_PX. */
bool image_recognise(const unsigned char *bytes, size_t count, FoundFile *found);

#endif
