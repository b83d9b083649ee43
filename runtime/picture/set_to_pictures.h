/* Stage: the set through the lens, and what is worth seeing of it, as pictures in PNG. */
#ifndef GROUNDROW_SET_TO_PICTURES_H
#define GROUNDROW_SET_TO_PICTURES_H

#include "model/model.h"
#include "plan/plan.h"
#include "report/facts.h"

/* Pixels across a picture. */
enum { PICTURE_WIDE_PX = 1200 };

typedef struct PictureFile {
    /* `.png`, `.cameras.png`, `.squared.png`; of a scene with shots by the shot's id, as in the camera's
     * name:
     * `.whole.png`, `.whole.cameras.png` */
    const char *ending;
    const void *bytes;
    size_t count;
    unsigned wide_px, tall_px;
    const char *alt;   /* what it shows, for those who do not see it */
    const char *title; /* `Through the lens`, `The allowed cameras`: a heading */
} PictureFile;

typedef struct Pictures {
    PictureFile *files;
    size_t count;
} Pictures;

/* Looks at nodes of the roles set and stand-in only. All in `arena`; the same bytes for the same scene
 * anywhere. */
Pictures set_to_pictures(Arena *arena, const Plan *plan, const Model *set, const Facts *facts);

#endif
