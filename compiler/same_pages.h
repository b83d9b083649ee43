/* Pages of the book that two scenes make. */
#ifndef GROUNDROW_SAME_PAGES_H
#define GROUNDROW_SAME_PAGES_H

#include "base/diagnostic.h"
#include "plan/scene.h"

/* The pages that one shot fills. */
typedef struct ShotPages {
    int first, last;
    Span span;
} ShotPages;

typedef struct ScenePages {
    const char *scene; /* its name */
    const ShotPages *shots;
    size_t shot_count;
    bool accepted; /* `accept: [pages same-pages]` */
} ScenePages;

/* What is said of pages in a scene, in `keeps`. A picture that is only a part of its pages leaves room for
 * others: it counts as none. */
ScenePages pages_of_scene(Arena *keeps, const char *name, const Scene *scene);

/* A warning, or NULL: a scene makes pages that an earlier one of `scenes` makes too. At the first of them. */
Diagnostic *warn_of_same_pages(Diagnostics *said, const ScenePages *scenes, size_t scene);

#endif
