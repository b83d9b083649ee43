/* What the pictures of a scene share. Only set_to_pictures.c puts them in order. */
#ifndef GROUNDROW_PICTURES_H
#define GROUNDROW_PICTURES_H

#include "picture/canvas.h"
#include "picture/set_to_pictures.h"

/* One picture being made, of one shot. */
typedef struct PictureTask {
    Arena *arena; /* of what is kept */
    const Plan *plan;
    const Model *set;
    const Facts *facts;
    size_t shot;
} PictureTask;

/* Each returns false where the shot has nothing to show of that kind (no drawing, one camera alone); `file`
 * is set otherwise, but for its ending, which is `.png` here and gets the shot's id from the caller. */
bool frame_picture(const PictureTask *task, PictureFile *file);

/* Paper, ink and rims that all pictures share. */
enum { PAPER_COLOR = 0xFFFFFF, TEXT_COLOR = 0x1C2024, FAINT_COLOR = 0x5A6068 };
/* As wide on paper as a page of Letter or A4 leaves between margins. */
#define PICTURE_PAPER_MM 190.0

/* Ends a picture: its bytes and its size. `ending` begins with `.`. */
PictureFile picture_file(const PictureTask *task, Canvas *canvas, const char *ending, const char *title,
                         const char *alt);

#endif
