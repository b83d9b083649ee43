/* How sure a fit is, and how much each mark pulls at it. docs/geometry.md, rules 66 and 67. Internal to
 * optics/: others use resect.h. */
#ifndef GROUNDROW_RESECT_SPREAD_H
#define GROUNDROW_RESECT_SPREAD_H

#include "optics/resect_fit.h"

/* Rows at a fit and the inverse of their normal equations. */
typedef struct FitNormal {
    size_t rows, mark_rows, unknowns;
    double miss[FIT_ROWS_MOST], by[FIT_ROWS_MOST * FIT_UNKNOWNS_MOST];
    double inverse[FIT_UNKNOWNS_MOST][FIT_UNKNOWNS_MOST]; /* by model->noise */
    double residuals_left; /* of the marks: their rows less what the unknowns take of them */
} FitNormal;

/* False (nothing set) where the camera has no rows. Where the equations are singular the inverse is very
 * large in the direction that they leave open. */
bool fit_normal(const FitModel *model, const MarkSet *marks, const FitCamera *camera, FitNormal *normal);

/* By how much cost / noise^2 would fall without mark number `at` of the set, to first order. */
double fit_pull(const FitNormal *normal, size_t at);

/* Freedoms and scatter of the marks by what is left over and what was known; `noise` in stated sigmas. */
void fit_scatter(const FitModel *model, const FitNormal *normal, double cost, double *noise,
                 double *freedoms);

/* Covariances and spreads of the result's unknowns. `noise` and `freedoms` of the marks; the normal equations
 * must be of that noise, or have no priors. */
void fit_spread(const FitModel *model, const FitCamera *camera, const FitNormal *normal, double noise,
                double freedoms, ResectResult *result);

/* A spread of its sigma; INFINITY: normal. */
ResectSpread spread_of(double sigma, double freedoms);

#endif
