/* Where the camera stood: a photograph's camera from points of the set that were marked in it, by least
 * squares; with what is mis-marked, how sure each result is, and why not where not. docs/geometry.md, rules
 * 63 to 69.
 *
 * Pure: numbers in, numbers out, no memory of its own; whoever calls puts the outcome into words. What to do
 * with a camera that was found (places of other pixels, moves) is in resected.h. */
#ifndef GROUNDROW_RESECT_H
#define GROUNDROW_RESECT_H

#include "optics/photo_camera.h"

#include <stddef.h>

enum { RESECT_MARKS_MOST = 64, RESECT_MISMARKED_MOST = 3 };

/* A named point of the set and where it was marked in the photograph. Its index is its name. */
typedef struct ResectMark {
    Point3 at;
    double x_px, y_px;
    double sigma_px; /* standard deviation of x and of y; 0: the problem's. Larger where a point is ill to see
                        or its place in the set is uncertain */
    bool held_out;   /* takes no part, but its residual is told: for what may have been moved */
} ResectMark;

typedef struct ResectProblem {
    Photograph photo;
    const ResectMark *marks;
    size_t count; /* at most RESECT_MARKS_MOST */
    /* How well marks are placed: 0 is 2 px. Its scale is taken from the residuals; the number itself counts
     * only as far as `sigma_freedoms` says: like so many residuals that were seen before. 0: it only weighs
     * the priors until the residuals do, and stands in where no residual is left over. INFINITY: it is exact.
     */
    double sigma_px, sigma_freedoms;
    /* The focal length engraved or told. Real lenses are off by some per cent: `focal_sigma` is the standard
     * deviation as a share (0.03), 0 holds it exactly. focal_mm 0: unknown. */
    double focal_mm, focal_sigma;
    /* The plane in focus goes through this point (usually the leading puppet's eyes); without it v = f: the
     * "focal length" found is then the image distance. */
    bool has_focus;
    Point3 focus;
    /* The radial term: standard deviation of how far it moves the image's corner, as a share of the corner's
     * distance from the centre (0.01 is usual: real lenses bend so much). 0: none is sought. INFINITY:
     * nothing is known of it. It is sought only where at least as many marks take part as resect_needs()
     * says. */
    double radial_sigma;
    /* The planned camera: one start of many, and the judge between two cameras that fit alike. */
    bool has_start;
    PhotoCamera start;
    bool above_ground; /* cameras under up = 0 are none */
} ResectProblem;

typedef enum ResectStatus {
    RESECTED,
    RESECT_TOO_FEW,     /* `count_used` marks, `count_needed` are needed */
    RESECT_ON_ONE_LINE, /* all (different) points are on one line of the set: a point beside it helps */
    RESECT_FLAT_ON,     /* all points in one plane that is seen square-on, the lens unknown: near with a short
                           lens looks like far with a long one. The lens, or a point off that plane, helps */
    RESECT_UNDETERMINED, /* `undetermined` says what; more points, farther apart and in depth, help */
    RESECT_MIRRORED,     /* the marks fit only a mirrored photograph (or left and right are mistaken) */
    RESECT_NO_CAMERA     /* no camera in front of the points (and above ground) comes near the marks */
} ResectStatus;

/* The unknowns, as indices. Lengths mm, angles rad, RESECT_RADIAL pure. */
typedef enum ResectUnknown {
    RESECT_ACROSS,
    RESECT_BACK,
    RESECT_UP,
    RESECT_TURN,
    RESECT_TILT,
    RESECT_ROLL,
    RESECT_FOCAL,
    RESECT_RADIAL,
    RESECT_UNKNOWN_COUNT
} ResectUnknown;

/* How sure a result is. The truth is within `likely` with the confidence of one sigma of a normal deviate
 * (68.27 %) and within `sure` with that of two (95.45 %): Student's factors times `sigma`, for so many
 * `freedoms`. All 0 for what was held. */
typedef struct ResectSpread {
    double sigma, freedoms, likely, sure;
} ResectSpread;

typedef struct ResectResidual {
    double x_px, y_px; /* marked less where the camera sees it; y down */
    double off_px;     /* their length; INFINITY where the camera does not see it (behind) */
    double depth_mm;   /* 0 where behind */
    bool used;         /* took part in the end */
    bool mismarked;    /* found out: taken out */
    bool suspect;      /* with `mismark_unclear`: one of these may be it */
} ResectResidual;

typedef struct ResectResult {
    ResectStatus status;
    size_t count_used;   /* marks in the solution; of RESECT_TOO_FEW: different points there are */
    size_t count_needed; /* of RESECT_TOO_FEW */

    /* All below holds for RESECTED. Of the other statuses RESECT_FLAT_ON and RESECT_UNDETERMINED have it too
     * (to look at, not to trust); the rest has zeros. */
    PhotoCamera camera;
    bool focal_sought, radial_sought; /* sought here, prior or not */
    double sigma_px;                  /* of the marks, as found (with what was stated, by sigma_freedoms) */
    double freedoms;                  /* of sigma_px: residuals less unknowns; INFINITY: as stated */
    double rms_px;                    /* root mean square of off_px of the marks used */
    ResectSpread spread[RESECT_UNKNOWN_COUNT];
    double covariance[RESECT_UNKNOWN_COUNT][RESECT_UNKNOWN_COUNT]; /* its diagonal is sigma^2 */
    ResectResidual residuals[RESECT_MARKS_MOST];                   /* by mark */

    /* Marks that do not belong, worst first: mis-marked, misnamed, or the thing was moved. */
    size_t mismarked[RESECT_MISMARKED_MOST], mismarked_count;
    /* The marks are at odds beyond what their scatter allows, but there are too few to say which: `suspect`
     * residuals are those that may be. The camera is of all marks (less those found), and not to be trusted.
     */
    bool mismark_unclear;

    /* Another camera fits nearly as well (odds better than 1 to 100): mostly of points in one plane seen from
     * afar. The one nearer to `start` is `camera`. */
    bool ambiguous;
    PhotoCamera other;
    double other_rms_px;

    bool undetermined[RESECT_UNKNOWN_COUNT]; /* RESECT_FLAT_ON and RESECT_UNDETERMINED */
    /* The points lie in one plane as far as the marks can tell. */
    bool flat;
} ResectResult;

void resect(const ResectProblem *problem, ResectResult *result);

/* How many different points must be marked: for a pose alone, with the focal length, and for the radial term
 * to be sought. */
size_t resect_needs(bool focal_unknown);
size_t resect_needs_for_radial(bool focal_unknown);

#endif
