#include "optics/resect_fit.h"

#include "optics/lens.h"
#include "optics/vector3.h"

#include <assert.h>
#include <cminpack.h>
#include <math.h>
#include <string.h>

/* What a mark misses, in sigmas, where the camera does not see it: so much that no step goes there. */
static const double UNSEEN = 1e6;
static const double SIGMA_USUAL_PX = 2;
static const double DEPTH_LEAST_MM = 1e-6;

static void point_of(Point3 point, double at[3]) {
    at[0] = point.across_mm, at[1] = point.back_mm, at[2] = point.up_mm;
}

FitModel fit_model(const ResectProblem *problem) {
    const Photograph *photo = &problem->photo;
    double px_per_mm = photo->wide_px / photo->sensor_wide_mm;
    bool held = problem->focal_mm > 0 && problem->focal_sigma <= 0;
    return (FitModel){
        .problem = problem,
        .px_per_mm = px_per_mm,
        .middle_x_px = photo->wide_px / 2,
        .middle_y_px = photo->tall_px / 2,
        .corner_mm = hypot(photo->wide_px, photo->tall_px) / 2 / px_per_mm,
        .sigma_px = problem->sigma_px > 0 ? problem->sigma_px : SIGMA_USUAL_PX,
        .seeks_focal = !held,
        .has_focal_prior = !held && problem->focal_mm > 0 && isfinite(problem->focal_sigma),
        .seeks_bend = problem->radial_sigma > 0,
        .has_bend_prior = problem->radial_sigma > 0 && isfinite(problem->radial_sigma),
        .noise = 1,
    };
}

double fit_sigma_px(const FitModel *model, size_t mark) {
    double own = model->problem->marks[mark].sigma_px;
    return own > 0 ? own : model->sigma_px;
}

size_t fit_unknowns(const FitModel *model) {
    return FIT_POSE + (size_t)model->seeks_focal + (size_t)model->seeks_bend;
}

/* --- Projection ----------------------------------------------------------------------------------------- */

bool fit_image_mm(const FitModel *model, const FitCamera *camera, double *image_mm) {
    if (!model->problem->has_focus) {
        *image_mm = camera->focal_mm;
        return true;
    }
    double focus[3], way[3];
    point_of(model->problem->focus, focus);
    less3(focus, camera->lens, way);
    double object = dot3(camera->axes.row[2], way);
    if (!(object > 1.001 * camera->focal_mm)) return false;
    *image_mm = lens_image_distance(camera->focal_mm, object);
    return true;
}

bool fit_residual(const FitModel *model, const FitCamera *camera, double image_mm, size_t mark, double *x_px,
                  double *y_px, double *depth_mm) {
    const ResectMark *it = &model->problem->marks[mark];
    double at[3], way[3], seen[3];
    point_of(it->at, at);
    less3(at, camera->lens, way);
    turn3(&camera->axes, way, seen);
    if (!(seen[2] > DEPTH_LEAST_MM)) return false;
    double x = image_mm * seen[0] / seen[2], y = image_mm * seen[1] / seen[2];
    double grown = 1 + camera->bend * (x * x + y * y) / (model->corner_mm * model->corner_mm);
    *x_px = it->x_px - model->middle_x_px - model->px_per_mm * grown * x;
    *y_px = it->y_px - model->middle_y_px - model->px_per_mm * grown * y;
    if (depth_mm) *depth_mm = seen[2];
    return true;
}

/* --- Rows ----------------------------------------------------------------------------------------------- */

bool fit_image(const FitModel *model, const FitCamera *camera, FitImage *image) {
    *image = (FitImage){.mm = camera->focal_mm};
    image->by[FIT_POSE] = camera->focal_mm;
    if (!model->problem->has_focus) return true;
    if (!fit_image_mm(model, camera, &image->mm)) return false;
    double focus[3], way[3], seen[3];
    point_of(model->problem->focus, focus);
    less3(focus, camera->lens, way);
    turn3(&camera->axes, way, seen);
    double f = camera->focal_mm, magnified = f / (seen[2] - f), by_depth = -magnified * magnified;
    for (int i = 0; i < 3; i++)
        image->by[i] = -by_depth * camera->axes.row[2][i];
    image->by[3] = by_depth * seen[1];
    image->by[4] = -by_depth * seen[0];
    image->by[FIT_POSE] = image->mm * image->mm / f;
    return true;
}

/* One row: `slope` is d/d(seen) of one pixel coordinate, `by_image` its derivative by the image distance. */
typedef struct RowMaker {
    const FitModel *model;
    const FitCamera *camera;
    const FitImage *image;
    size_t count, bend_column;
    double *by;
} RowMaker;

static void put_row(const RowMaker *maker, size_t row, const double slope[3], const double seen[3],
                    double by_image, double by_bend, double weight) {
    double turned[3], moved[3];
    cross3(seen, slope, turned);
    turn_back3(&maker->camera->axes, slope, moved);
    for (size_t i = 0; i < 3; i++) {
        maker->by[i * maker->count + row] = weight * (by_image * maker->image->by[i] - moved[i]);
        maker->by[(i + 3) * maker->count + row] = weight * (by_image * maker->image->by[i + 3] + turned[i]);
    }
    if (maker->model->seeks_focal)
        maker->by[FIT_POSE * maker->count + row] = weight * by_image * maker->image->by[FIT_POSE];
    if (maker->model->seeks_bend) maker->by[maker->bend_column * maker->count + row] = weight * by_bend;
}

/* Both rows of a mark; false when it is behind. `by` of the maker may be NULL: misses alone. */
static bool mark_rows(const RowMaker *maker, size_t mark, size_t row, double *miss) {
    const FitModel *model = maker->model;
    const ResectMark *it = &model->problem->marks[mark];
    double at[3], way[3], seen[3];
    point_of(it->at, at);
    less3(at, maker->camera->lens, way);
    turn3(&maker->camera->axes, way, seen);
    if (!(seen[2] > DEPTH_LEAST_MM)) return false;
    double v = maker->image->mm, s = model->px_per_mm, bend = maker->camera->bend;
    double x = seen[0] / seen[2], y = seen[1] / seen[2];
    double share = v * v * (x * x + y * y) / (model->corner_mm * model->corner_mm);
    double grown = 1 + bend * share, weight = 1 / (model->noise * fit_sigma_px(model, mark));
    miss[row] = weight * (model->middle_x_px + s * v * grown * x - it->x_px);
    miss[row + 1] = weight * (model->middle_y_px + s * v * grown * y - it->y_px);
    if (!maker->by) return true;
    /* d(grown x)/dx = grown + 2 k x^2, d(grown x)/dy = 2 k x y, with k = bend (v / corner)^2 */
    double k = bend * v * v / (model->corner_mm * model->corner_mm), sv = s * v;
    double xx = sv * (grown + 2 * k * x * x), xy = sv * 2 * k * x * y, yy = sv * (grown + 2 * k * y * y);
    double slope_x[3] = {xx / seen[2], xy / seen[2], -(xx * x + xy * y) / seen[2]};
    double slope_y[3] = {xy / seen[2], yy / seen[2], -(xy * x + yy * y) / seen[2]};
    double by_image = s * (3 * grown - 2);
    put_row(maker, row, slope_x, seen, by_image * x, sv * share * x, weight);
    put_row(maker, row + 1, slope_y, seen, by_image * y, sv * share * y, weight);
    return true;
}

/* What is known beforehand, as rows of their own. */
static void prior_rows(const RowMaker *maker, size_t row, double *miss) {
    const FitModel *model = maker->model;
    size_t unknowns = fit_unknowns(model);
    for (size_t i = 0; maker->by && i < unknowns; i++)
        for (size_t r = row; r < maker->count; r++)
            maker->by[i * maker->count + r] = 0;
    if (model->has_focal_prior) {
        double sigma = model->problem->focal_sigma;
        miss[row] = log(maker->camera->focal_mm / model->problem->focal_mm) / sigma;
        if (maker->by) maker->by[FIT_POSE * maker->count + row] = 1 / sigma;
        row++;
    }
    if (model->has_bend_prior) {
        double sigma = model->problem->radial_sigma;
        miss[row] = maker->camera->bend / sigma;
        if (maker->by) maker->by[maker->bend_column * maker->count + row] = 1 / sigma;
    }
}

static size_t row_count(const FitModel *model, const MarkSet *marks) {
    return 2 * marks->count + (size_t)model->has_focal_prior + (size_t)model->has_bend_prior;
}

static bool all_rows(const FitModel *model, const MarkSet *marks, const FitCamera *camera, double *miss,
                     double *by) {
    FitImage image;
    if (!fit_image(model, camera, &image)) return false;
    RowMaker maker = {.model = model,
                      .camera = camera,
                      .image = &image,
                      .count = row_count(model, marks),
                      .bend_column = FIT_POSE + (size_t)model->seeks_focal,
                      .by = by};
    for (size_t i = 0; i < marks->count; i++)
        if (!mark_rows(&maker, marks->index[i], 2 * i, miss)) return false;
    prior_rows(&maker, 2 * marks->count, miss);
    return true;
}

size_t fit_rows(const FitModel *model, const MarkSet *marks, const FitCamera *camera,
                double miss[FIT_ROWS_MOST], double by[FIT_ROWS_MOST * FIT_UNKNOWNS_MOST]) {
    return all_rows(model, marks, camera, miss, by) ? row_count(model, marks) : 0;
}

/* --- Least squares -------------------------------------------------------------------------------------- */

typedef struct Search {
    const FitModel *model;
    const MarkSet *marks;
    FitCamera start;
} Search;

/* exp [w], and the matrix J with d(exp [w] a) = -[exp [w] a] J dw. */
static void rotation_of(const double w[3], Turn *turn, Turn *left) {
    double square = dot3(w, w), angle = sqrt(square), a, b, c;
    if (square < 1e-8) {
        a = 1 - square / 6, b = 0.5 - square / 24, c = 1.0 / 6 - square / 120;
    } else {
        a = sin(angle) / angle, b = (1 - cos(angle)) / square, c = (1 - a) / square;
    }
    const Turn hat = {{{0, -w[2], w[1]}, {w[2], 0, -w[0]}, {-w[1], w[0], 0}}};
    Turn hat2 = join3(&hat, &hat);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            turn->row[i][j] = (i == j) + a * hat.row[i][j] + b * hat2.row[i][j];
            left->row[i][j] = (i == j) + b * hat.row[i][j] + c * hat2.row[i][j];
        }
}

/* The camera a step away from the start: lens moved, axes turned, focal length by its logarithm. */
static FitCamera stepped(const Search *search, const double *step, Turn *left) {
    FitCamera camera = search->start;
    Turn turn;
    rotation_of(step + 3, &turn, left);
    camera.axes = join3(&turn, &search->start.axes);
    for (int i = 0; i < 3; i++)
        camera.lens[i] += step[i];
    size_t column = FIT_POSE;
    if (search->model->seeks_focal) camera.focal_mm *= exp(fmin(fmax(step[column++], -20), 20));
    if (search->model->seeks_bend) camera.bend += step[column];
    return camera;
}

/* Derivatives by a further turn become derivatives by the step's own rotation vector. */
static void through_left(double *by, size_t count, const Turn *left) {
    for (size_t row = 0; row < count; row++) {
        double kept[3] = {by[3 * count + row], by[4 * count + row], by[5 * count + row]};
        for (size_t j = 0; j < 3; j++)
            by[(3 + j) * count + row] =
                kept[0] * left->row[0][j] + kept[1] * left->row[1][j] + kept[2] * left->row[2][j];
    }
}

static int rows_for_lmder(void *context, int m, int n, const double *step, double *miss, double *by,
                          int leading, int want) {
    (void)n, (void)leading;
    const Search *search = context;
    Turn left;
    double unused[FIT_ROWS_MOST];
    FitCamera camera = stepped(search, step, &left);
    if (want == 2) {
        /* lmder asks for derivatives only where it had misses */
        if (all_rows(search->model, search->marks, &camera, unused, by)) through_left(by, (size_t)m, &left);
    } else if (!all_rows(search->model, search->marks, &camera, miss, NULL)) {
        for (int i = 0; i < m; i++)
            miss[i] = UNSEEN;
    }
    return 0;
}

/* Rounding has crept in by many turns: the axes are squared up again. */
static void square_up(Turn *axes) {
    double length = length3(axes->row[2]);
    for (int i = 0; i < 3; i++)
        axes->row[2][i] /= length;
    double along = dot3(axes->row[0], axes->row[2]);
    for (int i = 0; i < 3; i++)
        axes->row[0][i] -= along * axes->row[2][i];
    length = length3(axes->row[0]);
    for (int i = 0; i < 3; i++)
        axes->row[0][i] /= length;
    cross3(axes->row[2], axes->row[0], axes->row[1]);
}

static void judge(const FitModel *model, const MarkSet *marks, Fit *fit) {
    double miss[FIT_ROWS_MOST];
    fit->good = all_rows(model, marks, &fit->camera, miss, NULL);
    if (!fit->good) return;
    fit->cost = fit->penalty = 0;
    for (size_t i = 0; i < 2 * marks->count; i++)
        fit->cost += miss[i] * miss[i] * model->noise * model->noise;
    for (size_t i = 2 * marks->count; i < row_count(model, marks); i++)
        fit->penalty += miss[i] * miss[i];
    fit->good = isfinite(fit->cost) && (!model->problem->above_ground || fit->camera.lens[2] > 0);
}

Fit fit_from(const FitModel *model, const MarkSet *marks, const FitCamera *start) {
    Fit fit = {.camera = *start};
    int m = (int)row_count(model, marks), n = (int)fit_unknowns(model);
    double miss[FIT_ROWS_MOST], by[FIT_ROWS_MOST * FIT_UNKNOWNS_MOST];
    if (m < n || !all_rows(model, marks, start, miss, NULL)) return fit;
    Search search = {.model = model, .marks = marks, .start = *start};
    double step[FIT_UNKNOWNS_MOST] = {0}, scale[FIT_UNKNOWNS_MOST], qtf[FIT_UNKNOWNS_MOST];
    double wa1[FIT_UNKNOWNS_MOST], wa2[FIT_UNKNOWNS_MOST], wa3[FIT_UNKNOWNS_MOST], wa4[FIT_ROWS_MOST];
    int pivots[FIT_UNKNOWNS_MOST], calls, slopes;
    lmder(rows_for_lmder, &search, m, n, step, miss, by, m, 1e-12, 1e-11, 0, 60, scale, 1, 1e4, 0, &calls,
          &slopes, pivots, qtf, wa1, wa2, wa3, wa4);
    Turn left;
    fit.camera = stepped(&search, step, &left);
    square_up(&fit.camera.axes);
    judge(model, marks, &fit);
    return fit;
}

/* --- To and fro ----------------------------------------------------------------------------------------- */

static Point3 as_point(const double a[3]) {
    return (Point3){a[0], a[1], a[2]};
}

PhotoCamera fit_photo_camera(const FitModel *model, const FitCamera *camera) {
    PhotoCamera photo = {
        .lens = as_point(camera->lens), .focal_mm = camera->focal_mm, .image_mm = camera->focal_mm};
    PhotoAxes axes = {as_point(camera->axes.row[0]), as_point(camera->axes.row[1]),
                      as_point(camera->axes.row[2])};
    photo_angles(&axes, &photo.turn_rad, &photo.tilt_rad, &photo.roll_rad);
    photo.object_mm = INFINITY;
    if (model->problem->has_focus) photo_focus(&photo, model->problem->focus);
    double ratio = photo.image_mm / model->corner_mm;
    photo.radial = camera->bend * ratio * ratio;
    return photo;
}

FitCamera fit_camera_of(const FitModel *model, const PhotoCamera *camera) {
    FitCamera fit = {.focal_mm = camera->focal_mm};
    PhotoAxes axes = photo_axes(camera);
    point_of(camera->lens, fit.lens);
    point_of(axes.right, fit.axes.row[0]);
    point_of(axes.down, fit.axes.row[1]);
    point_of(axes.forward, fit.axes.row[2]);
    double ratio = model->corner_mm / camera->image_mm;
    fit.bend = camera->radial * ratio * ratio;
    return fit;
}

double fit_lens_apart_mm(const FitCamera *a, const FitCamera *b) {
    double way[3];
    less3(a->lens, b->lens, way);
    return length3(way);
}
