#include "optics/resect_starts.h"

#include <complex.h>
#include <math.h>
#include <string.h>

/* --- Three points --------------------------------------------------------------------------------------- */

/* Real parts of the roots of a quartic, by Ferrari's method; polished where they are real. */
static size_t quartic_roots(const double a[5], double roots[4]) {
    double b = a[3] / a[4], c = a[2] / a[4], d = a[1] / a[4], e = a[0] / a[4];
    double alpha = c - 3 * b * b / 8, beta = b * b * b / 8 - b * c / 2 + d;
    double gamma = -3 * b * b * b * b / 256 + b * b * c / 16 - b * d / 4 + e;
    double p = -alpha * alpha / 12 - gamma;
    double q = -alpha * alpha * alpha / 108 + alpha * gamma / 3 - beta * beta / 8;
    double complex r = -q / 2 + csqrt(q * q / 4 + p * p * p / 27), u = cpow(r, 1.0 / 3), y;
    y = cabs(u) < 1e-300 ? -5 * alpha / 6 - cbrt(q) : -5 * alpha / 6 - p / (3 * u) + u;
    double complex w = csqrt(alpha + 2 * y);
    size_t count = 0;
    for (int sign = -1; sign <= 1; sign += 2) {
        double complex under = csqrt(-(3 * alpha + 2 * y + sign * 2 * beta / w));
        double complex first = -b / 4 + (sign * w + under) / 2, second = -b / 4 + (sign * w - under) / 2;
        roots[count++] = creal(first);
        /* a pair of complex ones has one real part */
        if (fabs(creal(first) - creal(second)) > 1e-9 * (1 + fabs(creal(first))))
            roots[count++] = creal(second);
    }
    return count;
}

static double newton(const double a[5], double x) {
    for (int i = 0; i < 3; i++) {
        double value = (((a[4] * x + a[3]) * x + a[2]) * x + a[1]) * x + a[0];
        double slope = ((4 * a[4] * x + 3 * a[3]) * x + 2 * a[2]) * x + a[1];
        double step = value / slope;
        if (!(fabs(step) < 0.1 * (1 + fabs(x)))) break;
        x -= step;
    }
    return x;
}

/* Axes of the triangle in either frame: the turn between the two is the camera's. */
static bool triangle_axes(const Turn *p, Turn *axes) {
    double side[3];
    less3(p->row[1], p->row[0], axes->row[0]);
    less3(p->row[2], p->row[0], side);
    cross3(axes->row[0], side, axes->row[2]);
    double length = length3(axes->row[0]), square = length3(axes->row[2]);
    if (!(length > 0) || !(square > 0)) return false;
    for (int i = 0; i < 3; i++) {
        axes->row[0][i] /= length;
        axes->row[2][i] /= square;
    }
    cross3(axes->row[2], axes->row[0], axes->row[1]);
    return true;
}

static bool camera_of_triangle(const Turn *points, const Turn *seen, double lens[3], Turn *axes) {
    Turn in_set, in_camera;
    if (!triangle_axes(points, &in_set) || !triangle_axes(seen, &in_camera)) return false;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            axes->row[i][j] = in_camera.row[0][i] * in_set.row[0][j] +
                              in_camera.row[1][i] * in_set.row[1][j] + in_camera.row[2][i] * in_set.row[2][j];
    turn_back3(axes, seen->row[0], lens);
    less3(points->row[0], lens, lens);
    return true;
}

/* Grunert's quartic in the ratio of the third distance to the first (Haralick, Lee, Ottenberg, Noelle 1994,
 * eq. 9). */
static void grunert(double a2, double b2, double c2, double alpha, double beta, double gamma,
                    double quartic[5]) {
    double less = (a2 - c2) / b2, plus = (a2 + c2) / b2;
    quartic[4] = (less - 1) * (less - 1) - 4 * c2 / b2 * alpha * alpha;
    quartic[3] =
        4 * (less * (1 - less) * beta - (1 - plus) * alpha * gamma + 2 * c2 / b2 * alpha * alpha * beta);
    quartic[2] = 2 * (less * less - 1 + 2 * less * less * beta * beta + 2 * (b2 - c2) / b2 * alpha * alpha -
                      4 * plus * alpha * beta * gamma + 2 * (b2 - a2) / b2 * gamma * gamma);
    quartic[1] =
        4 * (-less * (1 + less) * beta + 2 * a2 / b2 * gamma * gamma * beta - (1 - plus) * alpha * gamma);
    quartic[0] = (1 + less) * (1 + less) - 4 * a2 / b2 * gamma * gamma;
}

size_t three_point_cameras(const Turn *points, const Turn *rays, double lens[4][3], Turn axes[4]) {
    double side[3], quartic[5], roots[4];
    less3(points->row[1], points->row[2], side);
    double a2 = dot3(side, side);
    less3(points->row[0], points->row[2], side);
    double b2 = dot3(side, side);
    less3(points->row[0], points->row[1], side);
    double c2 = dot3(side, side);
    double alpha = dot3(rays->row[1], rays->row[2]), beta = dot3(rays->row[0], rays->row[2]),
           gamma = dot3(rays->row[0], rays->row[1]);
    if (!(a2 > 0 && b2 > 0 && c2 > 0)) return 0;
    grunert(a2, b2, c2, alpha, beta, gamma, quartic);
    if (!(fabs(quartic[4]) > 1e-12)) return 0;
    size_t count = 0, root_count = quartic_roots(quartic, roots);
    for (size_t i = 0; i < root_count; i++) {
        double v = newton(quartic, roots[i]), less = (a2 - c2) / b2, under = 2 * (gamma - v * alpha);
        double u = ((-1 + less) * v * v - 2 * less * beta * v + 1 + less) / under;
        double first = sqrt(b2 / (1 + v * v - 2 * v * beta));
        if (!(v > 0 && u > 0 && isfinite(u) && isfinite(first))) continue;
        const double far[3] = {first, u * first, v * first};
        Turn seen;
        for (int k = 0; k < 3; k++)
            for (int j = 0; j < 3; j++)
                seen.row[k][j] = far[k] * rays->row[k][j];
        if (camera_of_triangle(points, &seen, lens[count], &axes[count])) count++;
    }
    return count;
}

/* --- Threes of marks ------------------------------------------------------------------------------------ */

enum { CORNERS_MOST = 14, THREES_MOST = 16 };

/* Of many marks those that are far apart, one after the other: enough to make threes of. */
static size_t corner_marks(const FitModel *model, const MarkSet *marks, size_t corners[CORNERS_MOST]) {
    const ResectMark *all = model->problem->marks;
    if (marks->count <= CORNERS_MOST) {
        memcpy(corners, marks->index, marks->count * sizeof *corners);
        return marks->count;
    }
    double nearest[RESECT_MARKS_MOST];
    for (size_t i = 0; i < marks->count; i++) {
        const ResectMark *it = &all[marks->index[i]];
        nearest[i] = hypot(it->x_px - model->middle_x_px, it->y_px - model->middle_y_px);
    }
    for (size_t count = 0; count < CORNERS_MOST; count++) {
        size_t best = 0;
        for (size_t i = 1; i < marks->count; i++)
            if (nearest[i] > nearest[best]) best = i;
        corners[count] = marks->index[best];
        for (size_t i = 0; i < marks->count; i++) {
            const ResectMark *it = &all[marks->index[i]], *by = &all[marks->index[best]];
            double far = hypot(it->x_px - by->x_px, it->y_px - by->y_px);
            nearest[i] = count == 0 ? far : fmin(nearest[i], far);
        }
    }
    return CORNERS_MOST;
}

static double area_px2(const ResectMark *a, const ResectMark *b, const ResectMark *c) {
    return fabs((b->x_px - a->x_px) * (c->y_px - a->y_px) - (b->y_px - a->y_px) * (c->x_px - a->x_px));
}

typedef struct Threes {
    size_t count, mark[THREES_MOST][3];
} Threes;

/* The largest triangles in the photograph; each time a mark is used, its others count less, so that a
 * mis-marked one is not in all. */
static Threes pick_threes(const FitModel *model, const MarkSet *marks, size_t wanted) {
    const ResectMark *all = model->problem->marks;
    size_t corners[CORNERS_MOST], count = corner_marks(model, marks, corners);
    Threes threes = {0};
    double worth[CORNERS_MOST];
    bool taken[CORNERS_MOST][CORNERS_MOST][CORNERS_MOST] = {{{false}}};
    for (size_t i = 0; i < count; i++)
        worth[i] = 1;
    while (threes.count < wanted && threes.count < THREES_MOST) {
        double best = 0;
        size_t at[3] = {0};
        for (size_t i = 0; i < count; i++)
            for (size_t j = i + 1; j < count; j++)
                for (size_t k = j + 1; k < count; k++) {
                    double area = area_px2(&all[corners[i]], &all[corners[j]], &all[corners[k]]) * worth[i] *
                                  worth[j] * worth[k];
                    if (area <= best || taken[i][j][k]) continue;
                    best = area;
                    at[0] = i, at[1] = j, at[2] = k;
                }
        if (best <= 0) break;
        taken[at[0]][at[1]][at[2]] = true;
        for (int i = 0; i < 3; i++) {
            threes.mark[threes.count][i] = corners[at[i]];
            worth[at[i]] *= 0.4;
        }
        threes.count++;
    }
    return threes;
}

/* --- Ranking -------------------------------------------------------------------------------------------- */

/* The sum over marks of r^2 / (r^2 + c^2) (Geman and McClure): no mark counts more than 1. INFINITY where the
 * camera is none. */
static double bounded_miss(const FitModel *model, const MarkSet *marks, const FitCamera *camera,
                           double scale_px) {
    double image, sum = 0;
    if (model->problem->above_ground && camera->lens[2] <= 0) return INFINITY;
    if (!fit_image_mm(model, camera, &image)) return INFINITY;
    for (size_t i = 0; i < marks->count; i++) {
        double x, y;
        if (!fit_residual(model, camera, image, marks->index[i], &x, &y, NULL)) {
            sum += 1;
            continue;
        }
        double square = x * x + y * y;
        sum += square / (square + scale_px * scale_px);
    }
    return sum;
}

static double distance_mm(const FitModel *model, const FitCamera *camera, const MarkSet *marks) {
    Point3 at = model->problem->marks[marks->index[0]].at;
    double point[3] = {at.across_mm, at.back_mm, at.up_mm}, way[3];
    less3(point, camera->lens, way);
    return length3(way);
}

/* Into the list, best first; of two that stand (nearly) alike the better stays. */
static void put_start(const FitModel *model, const MarkSet *marks, const FitCamera *camera, double miss,
                      size_t most, Starts *starts) {
    double apart = 0.03 * distance_mm(model, camera, marks);
    size_t at = 0;
    while (at < starts->count && starts->miss[at] <= miss) {
        if (fit_lens_apart_mm(&starts->camera[at], camera) < apart) return;
        at++;
    }
    if (at >= most) return;
    size_t end = at;
    while (end < starts->count && fit_lens_apart_mm(&starts->camera[end], camera) >= apart)
        end++;
    if (end == starts->count && starts->count < most) starts->count++;
    if (end >= most) end = most - 1;
    for (size_t i = end; i > at; i--) {
        starts->camera[i] = starts->camera[i - 1];
        starts->miss[i] = starts->miss[i - 1];
    }
    starts->camera[at] = *camera;
    starts->miss[at] = miss;
}

static void rays_of(const FitModel *model, const size_t three[3], double image_mm, Turn *points, Turn *rays) {
    for (int i = 0; i < 3; i++) {
        const ResectMark *it = &model->problem->marks[three[i]];
        points->row[i][0] = it->at.across_mm, points->row[i][1] = it->at.back_mm,
        points->row[i][2] = it->at.up_mm;
        rays->row[i][0] = (it->x_px - model->middle_x_px) / model->px_per_mm;
        rays->row[i][1] = (it->y_px - model->middle_y_px) / model->px_per_mm;
        rays->row[i][2] = image_mm;
        double length = length3(rays->row[i]);
        for (int j = 0; j < 3; j++)
            rays->row[i][j] /= length;
    }
}

/* The focal length of an image distance, for a camera that stands there. */
static bool focal_for(const FitModel *model, FitCamera *camera, double image_mm) {
    camera->focal_mm = image_mm;
    if (!model->problem->has_focus) return true;
    Point3 focus = model->problem->focus;
    double point[3] = {focus.across_mm, focus.back_mm, focus.up_mm}, way[3];
    less3(point, camera->lens, way);
    double object = dot3(camera->axes.row[2], way);
    camera->focal_mm = image_mm * object / (image_mm + object);
    return object > 0;
}

static void starts_of_three(const FitModel *model, const MarkSet *marks, const size_t three[3],
                            double image_mm, size_t most, double scale_px, Starts *starts) {
    double lens[4][3];
    Turn points, rays, axes[4];
    rays_of(model, three, image_mm, &points, &rays);
    size_t count = three_point_cameras(&points, &rays, lens, axes);
    for (size_t i = 0; i < count; i++) {
        FitCamera camera = {.axes = axes[i]};
        memcpy(camera.lens, lens[i], sizeof lens[i]);
        if (!focal_for(model, &camera, image_mm)) continue;
        if (!model->seeks_focal) camera.focal_mm = model->problem->focal_mm;
        double miss = bounded_miss(model, marks, &camera, scale_px);
        if (isfinite(miss)) put_start(model, marks, &camera, miss, most, starts);
    }
}

void starts_find(const FitModel *model, const MarkSet *marks, size_t threes, size_t most, Starts *starts) {
    /* image distances in corners of the image: from 110 degrees over the diagonal to 6 */
    static const double TRIED[] = {0.7, 1, 1.4, 2, 2.8, 4, 5.6, 8, 12, 18};
    /* a lens that is known better than this needs no trying */
    static const double SIGMA_LARGE = 0.12;
    static const double WORSE_SHARE = 0.25;
    const ResectProblem *problem = model->problem;
    double scale_px = fmax(10 * model->sigma_px, 0.004 * problem->photo.wide_px);
    bool known = problem->focal_mm > 0 && problem->focal_sigma <= SIGMA_LARGE;
    Threes picked = pick_threes(model, marks, threes);
    starts->count = 0;
    for (size_t i = 0; i < picked.count; i++) {
        if (known) {
            starts_of_three(model, marks, picked.mark[i], problem->focal_mm, most, scale_px, starts);
            continue;
        }
        for (size_t k = 0; k < sizeof TRIED / sizeof *TRIED; k++)
            starts_of_three(model, marks, picked.mark[i], TRIED[k] * model->corner_mm, most, scale_px,
                            starts);
    }
    /* one that is far off for a quarter of the marks more than the best leads nowhere */
    while (starts->count > 1 &&
           starts->miss[starts->count - 1] > starts->miss[0] + WORSE_SHARE * (double)marks->count)
        starts->count--;
}

FitCamera start_mirrored(const FitCamera *camera, const double normal[3], const double middle[3]) {
    double way[3], sight[3];
    less3(middle, camera->lens, way);
    turn3(&camera->axes, way, sight);
    double length = length3(sight);
    FitCamera mirrored = *camera;
    /* M R N: N mirrors in the plane itself and leaves its points; M mirrors depth along the line of sight */
    Turn m, nn;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            m.row[i][j] = (i == j) - 2 * sight[i] * sight[j] / (length * length);
            nn.row[i][j] = (i == j) - 2 * normal[i] * normal[j];
        }
    Turn right = join3(&camera->axes, &nn);
    mirrored.axes = join3(&m, &right);
    turn_back3(&mirrored.axes, sight, way);
    less3(middle, way, mirrored.lens);
    return mirrored;
}
