/* One least-squares fit of a photograph's camera to marks, and what it leaves. docs/geometry.md, rules 63 and
 * 64. Internal to optics/: others use resect.h. */
#ifndef GROUNDROW_RESECT_FIT_H
#define GROUNDROW_RESECT_FIT_H

#include "optics/resect.h"
#include "optics/vector3.h"

enum { FIT_POSE = 6, FIT_UNKNOWNS_MOST = 8, FIT_ROWS_MOST = 2 * RESECT_MARKS_MOST + 2 };

/* The camera as it is sought: axes instead of angles, so that no direction is special. */
typedef struct FitCamera {
    double lens[3]; /* across, back, up */
    Turn axes;      /* right, down, forward; each in across, back, up */
    double focal_mm;
    double bend; /* radial term as the share by which it moves the image's corner */
} FitCamera;

/* What all fits to a photograph share. */
typedef struct FitModel {
    const ResectProblem *problem;
    double px_per_mm, middle_x_px, middle_y_px;
    double corner_mm; /* from the image's centre */
    double sigma_px;  /* of marks without their own */
    bool seeks_focal, seeks_bend;
    bool has_focal_prior, has_bend_prior;
    double noise; /* by how much marks scatter more than stated: what priors are weighed against */
} FitModel;

/* Some of the marks, by index, ascending. */
typedef struct MarkSet {
    size_t count;
    size_t index[RESECT_MARKS_MOST];
} MarkSet;

typedef struct Fit {
    FitCamera camera;
    double cost;    /* sum over the marks of (off / sigma)^2, as stated */
    double penalty; /* of the priors: sum of (miss / sigma)^2 */
    bool good;      /* all marks are before the lens (and the lens is above ground, where asked) */
} Fit;

FitModel fit_model(const ResectProblem *problem);
double fit_sigma_px(const FitModel *model, size_t mark);
size_t fit_unknowns(const FitModel *model);

/* Image distance of such a camera; false (nothing set) when the plane in focus is at or inside the focal
 * length. */
bool fit_image_mm(const FitModel *model, const FitCamera *camera, double *image_mm);
/* The same with its derivatives by lens, rotation and ln focal. */
typedef struct FitImage {
    double mm, by[FIT_POSE + 1];
} FitImage;
bool fit_image(const FitModel *model, const FitCamera *camera, FitImage *image);
/* Marked less computed, px; false (nothing set) when the point is behind. `depth_mm` may be NULL. */
bool fit_residual(const FitModel *model, const FitCamera *camera, double image_mm, size_t mark, double *x_px,
                  double *y_px, double *depth_mm);

/* Least squares from a start in which all marks are before the lens; otherwise not good. */
Fit fit_from(const FitModel *model, const MarkSet *marks, const FitCamera *start);

/* Rows at a camera: derivatives of (computed - marked) / (noise sigma) by lens (mm), rotation (rad about
 * right, down, forward), ln focal, bend; for each mark x and y, then the priors'. `by` holds unknown after
 * unknown, `count` each. Returns that count; 0 where it has no rows. */
size_t fit_rows(const FitModel *model, const MarkSet *marks, const FitCamera *camera,
                double miss[FIT_ROWS_MOST], double by[FIT_ROWS_MOST * FIT_UNKNOWNS_MOST]);

PhotoCamera fit_photo_camera(const FitModel *model, const FitCamera *camera);
FitCamera fit_camera_of(const FitModel *model, const PhotoCamera *camera);
double fit_lens_apart_mm(const FitCamera *a, const FitCamera *b);

#endif
