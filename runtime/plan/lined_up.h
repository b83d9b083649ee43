/* What photographs of the set say: where the camera stood, where things stand, and what to move so that
 * photograph and drawing agree. docs/geometry.md, rules 61 to 74. Made by photo/plan_to_lined_up.h; all of it
 * in the scene's arena. */
#ifndef GROUNDROW_LINED_UP_H
#define GROUNDROW_LINED_UP_H

#include "optics/resected.h"
#include "plan/plan.h"

/* Where a photograph's focal length is from. */
typedef enum LinedFocal {
    FOCAL_STATED,      /* by the scene */
    FOCAL_OF_METADATA, /* by the photograph itself */
    FOCAL_SOUGHT       /* by nobody: it is worked out */
} LinedFocal;

/* What can be told of a thing from its own marks, with the camera found without them where the others
 * suffice. `now` is where its `at` (rule 30) stands, `wanted` where the drawing wants it: as planned, or with
 * `keep: camera` where the camera that stays sees it as drawn. */
typedef struct LinedThing {
    int thing;
    bool by_others; /* the camera was found without its marks */
    bool placed;    /* now, across and back hold */
    bool by_top;    /* placed by its upper points: as far as it is as tall as planned */
    Point3 now, wanted;
    ResectSpread across, back;
    bool turn_known;
    double turn_now_rad, turn_wanted_rad;
    ResectSpread turn;
    bool tall_known;
    double tall_now_mm, tall_wanted_mm;
    ResectSpread tall;
    bool moves, turns, resizes;  /* it is off by more than is sure, and by more than a cut */
    double off_mm, off_after_mm; /* how far its foot is from where it is drawn, in mm on the drawing: in this
                                    photograph, and with the camera as planned */
} LinedThing;

typedef struct LinedMark {
    const PhotoMark *mark;
    Point3 at; /* as planned, or as built */
    double x_px, y_px;
    bool moved; /* of a thing that was found not to stand there: it took no part */
} LinedMark;

/* From the drawing into the photograph, the leading thing held: x_px = left + scale x_mm, y_px = low - scale
 * y_mm. */
typedef struct LinedScale {
    double left_px, low_px, px_per_mm;
} LinedScale;

typedef struct LinedPhoto {
    const Photo *photo;
    const char *id; /* its name for files, unlike any other photograph's, shot's or picture's */
    int body;
    Photograph image;
    LinedFocal focal_from;
    double focal_mm;  /* stated, or of the metadata; 0 where it was sought */
    LinedMark *marks; /* in the order of the spec; residuals of `found` have the same indices */
    size_t mark_count;
    const ResectResult *found; /* RESECTED */
    PhotoCamera planned;       /* the planned camera with this photograph's lens */
    CameraMoves moves;
    bool camera_moves;  /* it is to be moved: where things are wanted is for the camera as planned */
    bool camera_first;  /* moving the camera alone cures most of what is off */
    LinedThing *things; /* those with marks, the order of the spec */
    size_t thing_count;
    LinedScale scale;
    double crop_left_px, crop_top_px, crop_right_px, crop_bottom_px; /* what equals the planned frame */
} LinedPhoto;

typedef struct LinedUp {
    LinedPhoto *photos; /* in the order of the spec */
    size_t count;
} LinedUp;

#endif
