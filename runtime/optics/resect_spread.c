#include "optics/resect_spread.h"

#include "optics/student.h"

#include <math.h>
#include <string.h>

/* --- Normal equations ----------------------------------------------------------------------------------- */

typedef struct Square {
    double at[FIT_UNKNOWNS_MOST][FIT_UNKNOWNS_MOST];
} Square;

static double row_product(const FitNormal *normal, size_t i, size_t j, size_t from, size_t to) {
    const double *a = &normal->by[i * normal->rows], *b = &normal->by[j * normal->rows];
    double sum = 0;
    for (size_t r = from; r < to; r++)
        sum += a[r] * b[r];
    return sum;
}

/* Lower triangle L of A = L L^T with a unit diagonal in A; a pivot that rounding has eaten is held up, so
 * that its direction comes out as open as numbers allow. */
static void cholesky(const Square *a, size_t n, Square *l) {
    static const double PIVOT_LEAST = 1e-14;
    for (size_t j = 0; j < n; j++) {
        double pivot = a->at[j][j];
        for (size_t k = 0; k < j; k++)
            pivot -= l->at[j][k] * l->at[j][k];
        l->at[j][j] = sqrt(fmax(pivot, PIVOT_LEAST));
        for (size_t i = j + 1; i < n; i++) {
            double sum = a->at[i][j];
            for (size_t k = 0; k < j; k++)
                sum -= l->at[i][k] * l->at[j][k];
            l->at[i][j] = sum / l->at[j][j];
        }
    }
}

static void invert_lower(const Square *l, size_t n, Square *inverse) {
    for (size_t j = 0; j < n; j++) {
        inverse->at[j][j] = 1 / l->at[j][j];
        for (size_t i = j + 1; i < n; i++) {
            double sum = 0;
            for (size_t k = j; k < i; k++)
                sum -= l->at[i][k] * inverse->at[k][j];
            inverse->at[i][j] = sum / l->at[i][i];
        }
    }
}

static void invert(FitNormal *normal) {
    size_t n = normal->unknowns;
    Square a, l, down;
    double scale[FIT_UNKNOWNS_MOST];
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j <= i; j++)
            a.at[i][j] = row_product(normal, i, j, 0, normal->rows);
    for (size_t i = 0; i < n; i++)
        scale[i] = a.at[i][i] > 0 ? 1 / sqrt(a.at[i][i]) : 1;
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j <= i; j++)
            a.at[i][j] *= scale[i] * scale[j];
    cholesky(&a, n, &l);
    invert_lower(&l, n, &down);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j <= i; j++) {
            double sum = 0;
            for (size_t k = i; k < n; k++)
                sum += down.at[k][i] * down.at[k][j];
            normal->inverse[i][j] = normal->inverse[j][i] = sum * scale[i] * scale[j];
        }
}

/* trace(C N of the priors): how much of the unknowns was known beforehand. */
static double known_before(const FitNormal *normal) {
    double sum = 0;
    for (size_t i = 0; normal->rows > normal->mark_rows && i < normal->unknowns; i++)
        for (size_t j = 0; j < normal->unknowns; j++)
            sum += normal->inverse[i][j] * row_product(normal, j, i, normal->mark_rows, normal->rows);
    return sum;
}

bool fit_normal(const FitModel *model, const MarkSet *marks, const FitCamera *camera, FitNormal *normal) {
    size_t rows = fit_rows(model, marks, camera, normal->miss, normal->by);
    if (rows == 0) return false;
    normal->rows = rows;
    normal->mark_rows = 2 * marks->count;
    normal->unknowns = fit_unknowns(model);
    invert(normal);
    normal->residuals_left = (double)normal->mark_rows - (double)normal->unknowns + known_before(normal);
    return true;
}

/* a C b for two rows. */
static double through_inverse(const FitNormal *normal, size_t row, size_t other) {
    double sum = 0;
    for (size_t i = 0; i < normal->unknowns; i++) {
        double part = 0;
        for (size_t j = 0; j < normal->unknowns; j++)
            part += normal->inverse[i][j] * normal->by[j * normal->rows + other];
        sum += part * normal->by[i * normal->rows + row];
    }
    return sum;
}

double fit_pull(const FitNormal *normal, size_t at) {
    /* e^T (1 - H)^-1 e, H the mark's own part of the hat matrix (Cook and Weisberg 1982, 2.2) */
    static const double LEFT_LEAST = 1e-9;
    size_t x = 2 * at, y = x + 1;
    double a = 1 - through_inverse(normal, x, x), b = -through_inverse(normal, x, y);
    double c = 1 - through_inverse(normal, y, y), det = a * c - b * b;
    double ex = normal->miss[x], ey = normal->miss[y];
    if (det < LEFT_LEAST) return 0; /* nothing but this mark holds some unknown: its pull cannot be told */
    return (c * ex * ex - 2 * b * ex * ey + a * ey * ey) / det;
}

void fit_scatter(const FitModel *model, const FitNormal *normal, double cost, double *noise,
                 double *freedoms) {
    static const double LEFT_LEAST = 0.5, NOISE_LEAST = 1e-4;
    double before = model->problem->sigma_freedoms;
    double all = normal->residuals_left + before;
    if (isinf(before) || all < LEFT_LEAST) {
        *noise = 1;
        *freedoms = INFINITY;
        return;
    }
    *noise = fmax(sqrt((cost + before) / all), NOISE_LEAST);
    *freedoms = all;
}

/* --- Spreads -------------------------------------------------------------------------------------------- */

ResectSpread spread_of(double sigma, double freedoms) {
    return (ResectSpread){.sigma = sigma,
                          .freedoms = freedoms,
                          .likely = sigma * student_times(SHARE_ONE_SIGMA, freedoms),
                          .sure = sigma * student_times(SHARE_TWO_SIGMA, freedoms)};
}

/* d result / d fit unknown. */
typedef struct Change {
    double by[RESECT_UNKNOWN_COUNT][FIT_UNKNOWNS_MOST];
} Change;

/* How an axis' part in one direction of the set moves with a turn about right, down, forward. */
static void axis_change(const Turn *axes, int axis, int way, double by[3]) {
    int next = (axis + 1) % 3, last = (axis + 2) % 3;
    by[axis] = 0;
    by[last] = -axes->row[next][way];
    by[next] = axes->row[last][way];
}

static void angle_changes(const FitCamera *camera, Change *change) {
    const Turn *axes = &camera->axes;
    const double *forward = axes->row[2];
    double fa[3], fb[3], fz[3], rz[3], dz[3];
    axis_change(axes, 2, 0, fa);
    axis_change(axes, 2, 1, fb);
    axis_change(axes, 2, 2, fz);
    axis_change(axes, 0, 2, rz);
    axis_change(axes, 1, 2, dz);
    double level = fmax(forward[0] * forward[0] + forward[1] * forward[1], 1e-12);
    double a = -axes->row[0][2], b = -axes->row[1][2];
    for (int i = 0; i < 3; i++) {
        change->by[RESECT_TURN][3 + i] = (forward[1] * fa[i] - forward[0] * fb[i]) / level;
        change->by[RESECT_TILT][3 + i] = -fz[i] / sqrt(level);
        change->by[RESECT_ROLL][3 + i] = (-b * rz[i] + a * dz[i]) / level;
    }
}

static void change_of(const FitModel *model, const FitCamera *camera, Change *change) {
    *change = (Change){0};
    for (int i = 0; i < 3; i++)
        change->by[RESECT_ACROSS + i][i] = 1;
    angle_changes(camera, change);
    size_t column = FIT_POSE;
    if (model->seeks_focal) change->by[RESECT_FOCAL][column++] = camera->focal_mm;
    FitImage image;
    if (!model->seeks_bend || !fit_image(model, camera, &image)) return;
    double ratio = image.mm / model->corner_mm, per_image = 2 * camera->bend * ratio / model->corner_mm;
    for (size_t i = 0; i < column; i++)
        change->by[RESECT_RADIAL][i] = per_image * image.by[i];
    change->by[RESECT_RADIAL][column] = ratio * ratio;
}

/* a C b of two results, with C from `inverse`. */
static double changed(const double *a, const double (*c)[FIT_UNKNOWNS_MOST], const double *b, size_t n) {
    double sum = 0;
    for (size_t i = 0; i < n; i++) {
        double part = 0;
        for (size_t j = 0; j < n; j++)
            part += c[i][j] * b[j];
        sum += a[i] * part;
    }
    return sum;
}

/* How much of a result's variance is that of the priors: a^T C P C a. */
static double prior_variance(const FitNormal *normal, const double *a) {
    double sum = 0;
    for (size_t row = normal->mark_rows; row < normal->rows; row++) {
        double part = 0;
        for (size_t i = 0; i < normal->unknowns; i++)
            for (size_t j = 0; j < normal->unknowns; j++)
                part += a[i] * normal->inverse[i][j] * normal->by[j * normal->rows + row];
        sum += part * part;
    }
    return sum;
}

void fit_spread(const FitModel *model, const FitCamera *camera, const FitNormal *normal, double noise,
                double freedoms, ResectResult *result) {
    Change change;
    change_of(model, camera, &change);
    double scale = noise / model->noise;
    ResectSpread one = spread_of(1, freedoms);
    bool has_priors = normal->rows > normal->mark_rows;
    for (size_t i = 0; i < RESECT_UNKNOWN_COUNT; i++) {
        for (size_t j = 0; j <= i; j++)
            result->covariance[i][j] = result->covariance[j][i] =
                scale * scale * changed(change.by[i], normal->inverse, change.by[j], normal->unknowns);
        double variance = result->covariance[i][i];
        if (!(variance > 0)) continue;
        result->spread[i] =
            (ResectSpread){sqrt(variance), freedoms, sqrt(variance) * one.likely, sqrt(variance) * one.sure};
        if (!has_priors || isinf(freedoms)) continue;
        /* Only the marks' part of the variance is estimated (Welch 1938, Satterthwaite 1946). */
        double estimated = variance - prior_variance(normal, change.by[i]);
        double share = fmax(estimated / variance, 1e-3);
        result->spread[i] = spread_of(sqrt(variance), freedoms / (share * share));
    }
}
