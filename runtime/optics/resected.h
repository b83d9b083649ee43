/* What to do with a photograph's camera that was found by resect.h: where other pixels are in the set, how
 * large things are, and how to move the camera to where it was planned; each with how sure that is.
 * docs/geometry.md, rules 70 to 72.
 *
 * A mark that took part in the resection pulls the camera towards itself: ask about things that may have been
 * moved with their marks held out, or the answer is too good. */
#ifndef GROUNDROW_RESECTED_H
#define GROUNDROW_RESECTED_H

#include "optics/resect.h"

typedef struct PixelMark {
    double x_px, y_px;
    double sigma_px; /* 0: as the resection found it for its own marks */
} PixelMark;

/* A plane of the set: a point of it and two directions in it, unit vectors square to each other. */
typedef struct SetPlane {
    Point3 at, first, second;
} SetPlane;

/* Flat at that height: first is across, second is back. */
SetPlane plane_level(double up_mm);
/* Upright through a point; `turn_rad` 0 is across the set, positive faces the left of the picture (rule 30).
 * First is along it to the right (as seen from its front), second is up. */
SetPlane plane_upright(Point3 at, double turn_rad);

/* Where something is in a plane: millimetres from plane->at along first and second. */
typedef struct SetPlace {
    Point3 at;
    double first_mm, second_mm;
    double covariance[2][2]; /* of these two, mm^2 */
    ResectSpread first, second;
} SetPlace;

/* Where the ray of a pixel meets the plane, with the camera's and the mark's uncertainty. False (nothing set)
 * when it does not, in front of the lens. */
bool resected_on_plane(const ResectResult *result, const Photograph *photo, const PixelMark *mark,
                       const SetPlane *plane, SetPlace *place);
/* On a level plane: first is across, second is back. */
bool resected_on_level(const ResectResult *result, const Photograph *photo, const PixelMark *mark,
                       double up_mm, SetPlace *place);
/* On the upright plane across the set: first is across, second is up. */
bool resected_on_upright(const ResectResult *result, const Photograph *photo, const PixelMark *mark,
                         double back_mm, SetPlace *place);

/* How tall something upright is whose foot is on the level `up_mm`: the head's mark is dropped square to the
 * imaged upright onto it, so that leaning is ignored (rule 12). False (nothing set) when it has no place. */
bool resected_tall(const ResectResult *result, const Photograph *photo, const PixelMark *foot,
                   const PixelMark *head, double up_mm, double *tall_mm, ResectSpread *spread);

/* A move: how far, how sure, and whether it is to be made at all. */
typedef struct CameraMove {
    double by; /* mm or rad */
    ResectSpread spread;
    bool needed; /* |by| > spread.sure */
} CameraMove;

/* What takes the camera from where it stood to where it was planned, in the planned camera's directions on
 * the table. Each holds if all are made. */
typedef struct CameraMoves {
    CameraMove nearer, right, up; /* level along the planned axis; negative: farther, left, down */
    CameraMove turn_right, tilt_down, roll_clockwise; /* clockwise as seen from behind the camera */
    CameraMove lens;                                  /* focal length, mm longer */
} CameraMoves;

void resected_moves(const ResectResult *result, const PhotoCamera *planned, CameraMoves *moves);

#endif
