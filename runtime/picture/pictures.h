/* What the pictures of a scene share. Only set_to_pictures.c puts them in order. */
#ifndef GROUNDROW_PICTURES_H
#define GROUNDROW_PICTURES_H

#include "picture/canvas.h"
#include "picture/set_to_pictures.h"
#include "picture/set_view.h"

/* One picture being made, of one shot. */
typedef struct PictureTask {
    Arena *arena; /* of what is kept */
    const Plan *plan;
    const Model *set;
    const Scenery *scenery;
    const Facts *facts;
    size_t shot;
} PictureTask;

/* Each returns false where the shot has nothing to show of that kind (no drawing, one camera alone); `file`
 * is set otherwise, but for its ending, which is `.png` here and gets the shot's id from the caller. */
bool frame_picture(const PictureTask *task, PictureFile *file);
bool cameras_picture(const PictureTask *task, PictureFile *file);
bool squared_picture(const PictureTask *task, PictureFile *file);
/* Of the photograph `index` of the scene; false where it is of another shot. Its ending is `.png`, and gets
 * the photograph's id from the caller. */
bool photo_picture(const PictureTask *task, size_t index, PictureFile *file);

/* Ink that all pictures share. */
enum { PAPER_COLOR = 0xFFFFFF, TEXT_COLOR = 0x1C2024, FAINT_COLOR = 0x4E555E };
/* As wide on paper as a page of Letter or A4 leaves between margins. */
#define PICTURE_PAPER_MM 190.0
enum {
    PICTURE_SIDE_PX = 30,     /* left and right of what is shown: room for crop marks */
    PICTURE_HEAD_PX = 96,     /* above it: title and a line under it */
    PICTURE_LINE_PX = 30,     /* of the legend */
    PICTURE_TALLEST_PX = 1000 /* of what is shown */
};

/* Words on the paper, and words over what is shown. */
extern const TextStyle PLAIN_TEXT, FAINT_TEXT, TITLE_TEXT, LABEL_TEXT;

/* The frame of a shot (the trim's window where `without_bleed`) as large as a picture shows it: whole px,
 * from (PICTURE_SIDE_PX, top_px), not taller than PICTURE_TALLEST_PX. */
Window picture_window(const PlanShot *shot, double top_px);

/* Title, pages and shot over a picture, and under them a line, cut where it is too long. */
void picture_head(const PictureTask *task, Canvas *canvas, const char *line);
/* As facts_label, with directions. */
const char *picture_value(const PictureTask *task, const char *heading, const char *key, const char *part);
/* What the report says first of a shot stands under this: `scene 08-fog`, or `shot near`. */
const char *picture_heading(const PictureTask *task);

/* Lays the legend out under a picture, entry by entry, each a sample of what is drawn and a word for it.
 * Returns its height. */
typedef void DrawSample(Canvas *canvas, CanvasBox box);
typedef struct LegendEntry {
    DrawSample *sample; /* into a box of LEGEND_SAMPLE_PX, or of `sample_px` where that is more than nothing;
                           NULL: none */
    const char *text;
    double sample_px;
} LegendEntry;
enum { LEGEND_SAMPLE_PX = 44 };
double picture_legend(Canvas *canvas, const LegendEntry *entries, size_t count, double top_px);
/* An entry for how large things are at the mark: a length of the book's own kind, as long as it is there. */
LegendEntry picture_scale(const PictureTask *task, const Window *window);

/* Ends a picture: its bytes and its size, and the canvas goes. */
PictureFile picture_file(const PictureTask *task, Canvas *canvas, const char *ending, const char *title,
                         const char *alt);

#endif
