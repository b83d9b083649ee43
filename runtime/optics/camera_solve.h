/* Solving a camera from what is stated: any sufficient set, with defaults one at a time, contradictions with
 * each value that would agree, and how far a millimetre on the drawing goes. docs/geometry.md, rules 14 to 20
 * and 44.
 *
 * The caller has seen to it that sizes (lens, frame, tall) are > 0. Pure: numbers in, numbers out; whoever
 * calls puts the outcome into words. General and careful (cminpack); the same camera for given lens and
 * height comes faster from camera_again.h, and a test holds the two together. */
#ifndef GROUNDROW_CAMERA_SOLVE_H
#define GROUNDROW_CAMERA_SOLVE_H

#include "optics/camera.h"

#include <stddef.h>

/* What a spec can state of a camera. The first five are unknowns themselves and hold exactly; the others are
 * seen on the drawing and yield within `agree_mm`. */
typedef enum Statement {
    STATE_LENS,     /* focal length, mm */
    STATE_DISTANCE, /* D, mm */
    STATE_HEIGHT,   /* H, mm above the flat ground */
    STATE_TILT,     /* rad, down positive */
    STATE_ACROSS,   /* X, mm */
    STATE_HORIZON,  /* mm on the drawing from its lower edge */
    STATE_FRAME,    /* width of trim and bleed on the ground line at the mark, mm */
    STATE_FOOT,     /* of the leading thing on the drawing: `foot_x_mm`, `foot_y_mm` */
    STATE_TALL,     /* of the leading thing on the drawing, mm */
    STATEMENT_COUNT
} Statement;

/* The unknowns, as indices of sensitivities and defaults. */
typedef enum Unknown {
    UNKNOWN_LENS,
    UNKNOWN_DISTANCE,
    UNKNOWN_HEIGHT,
    UNKNOWN_TILT,
    UNKNOWN_ACROSS,
    UNKNOWN_CROP_UP, /* only where the crop is free */
    UNKNOWN_COUNT
} Unknown;

/* Another puppet of known height whose foot and head are on the drawing (rule 16). */
typedef struct OtherPuppet {
    double tall_mm, up_mm; /* real height; height of its foot above the flat ground */
    double foot_x_mm, foot_y_mm, drawn_tall_mm;
} OtherPuppet;

enum { ALLOWED_PRIMES_MOST = 32 };

typedef struct CameraProblem {
    Picture picture;   /* crop_up_mm is the stated one; 0 where it is free */
    bool crop_up_free; /* rule 5: level while the sensor allows it */
    bool stated[STATEMENT_COUNT];
    double value[STATEMENT_COUNT]; /* mm, rad; unused for STATE_FOOT */
    double foot_x_mm, foot_y_mm;
    double mark_up_mm;                 /* height of the ground under the leading thing */
    double mark_tall_mm, mark_eyes_mm; /* above its foot */
    Point3 focus;                      /* usually the leading puppet's eyes on its axis */
    const OtherPuppet *others;
    size_t other_count;
    double agree_mm; /* usually 1 */
    /* what defaults may use (rule 16): 0 counts mean nothing is allowed beside the plan */
    bool lens_allowed, height_allowed;
    double lens_low_mm, lens_high_mm; /* of a range */
    double primes_mm[ALLOWED_PRIMES_MOST];
    size_t prime_count; /* of a list; then the range is its least and greatest */
    double height_low_mm, height_high_mm;
} CameraProblem;

typedef enum CameraStatus {
    CAMERA_SOLVED,
    CAMERA_TOO_LITTLE,
    CAMERA_CONTRADICTION,
    CAMERA_IMPOSSIBLE
} CameraStatus;

typedef enum CameraImpossible {
    IMPOSSIBLE_NONE,
    IMPOSSIBLE_BEHIND_MARK,  /* D <= 0; `impossible_value` D */
    IMPOSSIBLE_UNDER_GROUND, /* H <= 1 mm; value H */
    IMPOSSIBLE_TOO_NEAR,     /* u <= f; value u */
    IMPOSSIBLE_STEEP,        /* |tilt| > 75 degrees; value tilt */
    IMPOSSIBLE_NO_ROOT       /* nothing meets what is stated */
} CameraImpossible;

/* One way out of a contradiction: leave `statement` out and the rest gives it this value. */
typedef struct CameraCure {
    Statement statement;
    double agrees; /* STATE_FOOT: agrees is y, agrees_x is x */
    double agrees_x;
} CameraCure;

typedef struct CameraSolution {
    CameraStatus status;
    Camera camera; /* CAMERA_SOLVED only */
    /* Which unknowns took a default, whatever the status. With a free crop a level camera is a default too.
     */
    bool assumed[UNKNOWN_COUNT];
    /* How many of `others`, from the first, settled it; the rest are for the caller to check, and so are all
     * of them where no camera fits them. */
    size_t others_used;
    double
        residual_mm[STATEMENT_COUNT]; /* on the drawing (frame: share of 1 % times 1 mm); 0 for exact ones */
    double residual_x_mm;             /* of STATE_FOOT's x; residual_mm holds its y */
    /* d unknown / d drawn mm of a statement, at the solution: mm or rad per mm (STATE_FRAME: per 1 % of it).
     * Of STATE_FOOT: across by the foot's x, all else by its y. Columns of statements that are not stated, or
     * hold exactly, are 0. */
    double per_mm[UNKNOWN_COUNT][STATEMENT_COUNT];
    bool steep_twin; /* a second camera, steeper and under 60 degrees, draws the same (rule 19) */
    /* CAMERA_TOO_LITTLE: which unknowns are open, and each statement that alone would complete the count;
     * when none would, the pairs that would. A tilt that could tell the lens is not asked for: it is too
     * weak. */
    bool open[UNKNOWN_COUNT];
    bool completes[STATEMENT_COUNT];
    struct {
        Statement first, second;
    } pairs[STATEMENT_COUNT * STATEMENT_COUNT];
    size_t pair_count;
    /* CAMERA_CONTRADICTION: the statements that are at odds, in the order lens .. tall. None: no single one
     * is to blame. */
    CameraCure cures[STATEMENT_COUNT];
    size_t cure_count;
    /* What shows it: tall, foot, horizon or frame, the first of these that is a cure; if none is, the one
     * that the nearest camera misses by most. What the camera would make of it, and how far that is from what
     * is stated, in mm on the drawing (of a frame: of its drawn width). */
    Statement shown;
    double shown_agrees, shown_agrees_x;
    double apart_mm;
    CameraImpossible impossible;
    double impossible_value;
} CameraSolution;

void camera_solve(const CameraProblem *problem, CameraSolution *solution);

#endif
