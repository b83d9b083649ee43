#include "optics/resect.h"

#include "optics/resect_mismarks.h"
#include "optics/resect_spread.h"
#include "optics/resect_starts.h"
#include "optics/svd.h"

#include <assert.h>
#include <math.h>
#include <string.h>

size_t resect_needs(bool focal_unknown) {
    return focal_unknown ? 5 : 4;
}

size_t resect_needs_for_radial(bool focal_unknown) {
    return focal_unknown ? 8 : 7;
}

/* --- The points ----------------------------------------------------------------------------------------- */

/* Points as a cloud: its middle, its extents (root mean squares) along three directions, longest first. */
typedef struct Cloud {
    double middle[3], extent[3], direction[3][3];
} Cloud;

static void point_of(const ResectProblem *problem, size_t mark, double at[3]) {
    Point3 point = problem->marks[mark].at;
    at[0] = point.across_mm, at[1] = point.back_mm, at[2] = point.up_mm;
}

static Cloud cloud_of(const ResectProblem *problem, const MarkSet *marks) {
    Cloud cloud = {.middle = {0}};
    double n = (double)marks->count, scatter[3][SVD_COLUMNS_MOST] = {{0}};
    for (size_t i = 0; i < marks->count; i++) {
        double at[3];
        point_of(problem, marks->index[i], at);
        for (int j = 0; j < 3; j++)
            cloud.middle[j] += at[j] / n;
    }
    for (size_t i = 0; i < marks->count; i++) {
        double at[3], way[3];
        point_of(problem, marks->index[i], at);
        less3(at, cloud.middle, way);
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < 3; k++)
                scatter[j][k] += way[j] * way[k] / n;
    }
    Svd svd;
    svd_new(&svd, 3, 3, (const double(*)[SVD_COLUMNS_MOST])scatter);
    size_t order[3] = {0, 1, 2};
    for (int i = 0; i < 3; i++)
        for (int j = i + 1; j < 3; j++)
            if (svd_value(&svd, order[j]) > svd_value(&svd, order[i])) {
                size_t kept = order[i];
                order[i] = order[j], order[j] = kept;
            }
    for (int i = 0; i < 3; i++) {
        cloud.extent[i] = sqrt(svd_value(&svd, order[i]));
        memcpy(cloud.direction[i], svd.v[order[i]], sizeof cloud.direction[i]);
    }
    return cloud;
}

static MarkSet marks_in_use(const ResectProblem *problem) {
    MarkSet marks = {0};
    for (size_t i = 0; i < problem->count; i++)
        if (!problem->marks[i].held_out) marks.index[marks.count++] = i;
    return marks;
}

static size_t different_points(const ResectProblem *problem, const MarkSet *marks) {
    static const double SAME_MM = 0.01;
    size_t count = 0;
    for (size_t i = 0; i < marks->count; i++) {
        bool is_new = true;
        for (size_t j = 0; j < i && is_new; j++) {
            double a[3], b[3], way[3];
            point_of(problem, marks->index[i], a);
            point_of(problem, marks->index[j], b);
            less3(a, b, way);
            is_new = length3(way) > SAME_MM;
        }
        count += is_new;
    }
    return count;
}

static double distance_mm(const Cloud *cloud, const FitCamera *camera) {
    double way[3];
    less3(cloud->middle, camera->lens, way);
    return length3(way);
}

/* --- Cameras that may be it ----------------------------------------------------------------------------- */

enum { FOUND_MOST = 6 };

/* Ends of searches that differ, best first. */
typedef struct Found {
    Fit fit[FOUND_MOST];
    size_t count;
    Starts starts;
} Found;

static double score_of(const FitModel *model, const Fit *fit) {
    return fit->cost / (model->noise * model->noise) + fit->penalty;
}

static void put_found(const FitModel *model, const Cloud *cloud, const Fit *fit, Found *found) {
    static const double SAME_SHARE = 0.004; /* of the distance */
    if (!fit->good) return;
    double apart = SAME_SHARE * distance_mm(cloud, &fit->camera);
    size_t at = 0;
    for (; at < found->count; at++)
        if (fit_lens_apart_mm(&found->fit[at].camera, &fit->camera) < apart) break;
    if (at < found->count) {
        if (score_of(model, fit) >= score_of(model, &found->fit[at])) return;
    } else if (found->count < FOUND_MOST) {
        at = found->count++;
    } else if (score_of(model, fit) < score_of(model, &found->fit[FOUND_MOST - 1])) {
        at = FOUND_MOST - 1;
    } else {
        return;
    }
    for (; at > 0 && score_of(model, &found->fit[at - 1]) > score_of(model, fit); at--)
        found->fit[at] = found->fit[at - 1];
    found->fit[at] = *fit;
}

static void search_from(const FitModel *model, const MarkSet *marks, const Cloud *cloud,
                        const FitCamera *start, Found *found) {
    Fit fit = fit_from(model, marks, start);
    put_found(model, cloud, &fit, found);
}

static void search_from_plan(const FitModel *model, const MarkSet *marks, const Cloud *cloud, Found *found) {
    const ResectProblem *problem = model->problem;
    if (!problem->has_start) return;
    FitCamera start = fit_camera_of(model, &problem->start);
    if (!model->seeks_focal) start.focal_mm = problem->focal_mm;
    start.bend = 0;
    search_from(model, marks, cloud, &start, found);
}

static bool fits_well(const FitModel *model, const MarkSet *marks, const Found *found) {
    static const double NOISE_LARGE = 2.5;
    if (found->count == 0) return false;
    return score_of(model, &found->fit[0]) <=
           NOISE_LARGE * NOISE_LARGE * fmax(fit_left_over(model, marks), 1);
}

/* How far the points stand out of their plane, as px in the photograph. */
static double relief_px(const FitModel *model, const Cloud *cloud, const FitCamera *camera) {
    double image = camera->focal_mm;
    (void)fit_image_mm(model, camera, &image);
    return cloud->extent[2] * model->px_per_mm * image / distance_mm(cloud, camera);
}

/* Points that stand out of their plane by more than marks can be off are not seen mirrored in it. */
static bool may_be_mirrored(const FitModel *model, const Cloud *cloud, const Found *found) {
    static const double SIGMAS = 20;
    return found->count > 0 && relief_px(model, cloud, &found->fit[0].camera) < SIGMAS * model->sigma_px;
}

static void search_mirrored(const FitModel *model, const MarkSet *marks, const Cloud *cloud, Found *found) {
    FitCamera start = start_mirrored(&found->fit[0].camera, cloud->direction[2], cloud->middle);
    search_from(model, marks, cloud, &start, found);
}

/* Few starts where the marks agree and have depth; else all there are. */
static void find_cameras(const FitModel *model, const MarkSet *marks, const Cloud *cloud, bool thorough,
                         Found *found) {
    enum { THREES_FEW = 4, THREES_ALL = 16, STARTS_FEW = 3, MARKS_FEW = 6 };
    found->count = 0;
    found->starts.count = 0;
    bool doubtful = thorough || marks->count < MARKS_FEW;
    search_from_plan(model, marks, cloud, found);
    if (!doubtful && fits_well(model, marks, found) && !may_be_mirrored(model, cloud, found)) return;
    starts_find(model, marks, thorough ? THREES_ALL : THREES_FEW, thorough ? STARTS_MOST : STARTS_FEW,
                &found->starts);
    for (size_t i = 0; i < found->starts.count; i++) {
        search_from(model, marks, cloud, &found->starts.camera[i], found);
        if (!doubtful && fits_well(model, marks, found) && !may_be_mirrored(model, cloud, found)) return;
    }
    if (may_be_mirrored(model, cloud, found)) search_mirrored(model, marks, cloud, found);
}

/* --- The end of it -------------------------------------------------------------------------------------- */

/* The scatter of the marks, and where priors are weighed against it, the fit again until both agree. */
static bool settle(FitModel *model, const MarkSet *marks, Fit *fit, FitNormal *normal, double *noise,
                   double *freedoms) {
    enum { ROUNDS_MOST = 8 };
    bool has_priors = model->has_focal_prior || model->has_bend_prior;
    for (int i = 0; i < ROUNDS_MOST; i++) {
        if (!fit_normal(model, marks, &fit->camera, normal)) return false;
        fit_scatter(model, normal, fit->cost, noise, freedoms);
        if (!has_priors || fabs(*noise / model->noise - 1) < 1e-3) break;
        model->noise = *noise;
        Fit again = fit_from(model, marks, &fit->camera);
        if (!again.good) break;
        *fit = again;
    }
    return true;
}

static void tell_residuals(const FitModel *model, const MarkSet *marks, const FitCamera *camera,
                           const Mismarks *mismarks, ResectResult *result) {
    double image, sum = 0;
    bool sees = fit_image_mm(model, camera, &image);
    for (size_t i = 0; i < model->problem->count; i++) {
        ResectResidual *it = &result->residuals[i];
        if (!sees || !fit_residual(model, camera, image, i, &it->x_px, &it->y_px, &it->depth_mm)) {
            it->off_px = INFINITY;
            continue;
        }
        it->off_px = hypot(it->x_px, it->y_px);
    }
    for (size_t i = 0; i < marks->count; i++) {
        ResectResidual *it = &result->residuals[marks->index[i]];
        it->used = true;
        sum += it->off_px * it->off_px;
    }
    result->rms_px = sqrt(sum / (double)marks->count);
    for (size_t i = 0; i < mismarks->suspect_count; i++)
        result->residuals[mismarks->suspect[i]].suspect = true;
}

/* Worst first. */
static void tell_mismarks(const Mismarks *mismarks, ResectResult *result) {
    result->mismark_unclear = mismarks->unclear;
    for (size_t i = 0; i < mismarks->count; i++) {
        size_t mark = mismarks->mark[i], at = result->mismarked_count++;
        result->residuals[mark].mismarked = true;
        for (; at > 0 && result->residuals[result->mismarked[at - 1]].off_px < result->residuals[mark].off_px;
             at--)
            result->mismarked[at] = result->mismarked[at - 1];
        result->mismarked[at] = mark;
    }
}

/* What is known to less than a fifth of the distance, of the focal length, of a radian, is not known. Marks
 * are taken to be a quarter as good as stated at best: a perfect fit of few marks proves nothing. */
static void tell_undetermined(const FitModel *model, const Cloud *cloud, const FitCamera *camera,
                              double noise, ResectResult *result) {
    static const double KNOWN_SHARE = 0.2, NOISE_LEAST = 0.25;
    double least = noise < NOISE_LEAST ? NOISE_LEAST / noise : 1;
    double distance = distance_mm(cloud, camera);
    bool any = false;
    for (int i = 0; i < RESECT_RADIAL; i++) {
        double limit = i <= RESECT_UP ? distance : i == RESECT_FOCAL ? camera->focal_mm : 1;
        /* looking straight down, turn and roll are one: what counts is how far they swing the picture */
        double swings = i == RESECT_TURN || i == RESECT_ROLL ? cos(result->camera.tilt_rad) : 1;
        result->undetermined[i] = result->spread[i].sigma * least * swings > KNOWN_SHARE * limit;
        any |= result->undetermined[i];
    }
    result->flat = relief_px(model, cloud, camera) < 3 * model->sigma_px;
    if (!any) return;
    result->status =
        result->flat && result->undetermined[RESECT_FOCAL] ? RESECT_FLAT_ON : RESECT_UNDETERMINED;
}

/* --- One camera of several ------------------------------------------------------------------------------ */

/* How the second camera's odds stand to the best one's, the scatter being known a little (as three residuals
 * would tell it). */
static double odds_of(const FitModel *model, const MarkSet *marks, const Fit *best, const Fit *other) {
    static const double BEFORE_LEAST = 3;
    double before = fmin(fmax(model->problem->sigma_freedoms, BEFORE_LEAST), 1e6);
    double unit = model->noise * model->noise; /* both in stated sigmas */
    double a = best->cost + best->penalty * unit + before, b = other->cost + other->penalty * unit + before;
    return pow(a / b, (fit_left_over(model, marks) + before) / 2);
}

static bool nearer_to_plan(const FitModel *model, const Fit *a, const Fit *b) {
    if (!model->problem->has_start) return false;
    FitCamera start = fit_camera_of(model, &model->problem->start);
    return fit_lens_apart_mm(&a->camera, &start) < fit_lens_apart_mm(&b->camera, &start);
}

static double rms_px(const FitModel *model, const MarkSet *marks, const FitCamera *camera) {
    double image, sum = 0;
    if (!fit_image_mm(model, camera, &image)) return INFINITY;
    for (size_t i = 0; i < marks->count; i++) {
        double x, y;
        if (!fit_residual(model, camera, image, marks->index[i], &x, &y, NULL)) return INFINITY;
        sum += x * x + y * y;
    }
    return sqrt(sum / (double)marks->count);
}

/* The two best, in order; the plan decides between those that fit alike. Returns which is taken. */
static size_t choose(const FitModel *model, const MarkSet *marks, const Found *found, ResectResult *result) {
    static const double ODDS_ALIKE = 0.01;
    if (found->count < 2) return 0;
    const Fit *best = &found->fit[0], *second = &found->fit[1];
    result->ambiguous = odds_of(model, marks, best, second) > ODDS_ALIKE;
    if (!result->ambiguous) return 0;
    size_t taken = nearer_to_plan(model, second, best) ? 1 : 0;
    const FitCamera *other = &found->fit[1 - taken].camera;
    result->other = fit_photo_camera(model, other);
    result->other_rms_px = rms_px(model, marks, other);
    return taken;
}

/* --- Mirrored photographs ------------------------------------------------------------------------------- */

/* The points are in one plane, and the camera is on the other side of it than planned: the same picture,
 * mirrored, is seen from the right side. */
static bool from_behind(const FitModel *model, const Cloud *cloud, const FitCamera *camera, bool flat) {
    if (!flat || !model->problem->has_start) return false;
    FitCamera start = fit_camera_of(model, &model->problem->start);
    double here[3], there[3];
    less3(camera->lens, cloud->middle, here);
    less3(start.lens, cloud->middle, there);
    return dot3(here, cloud->direction[2]) * dot3(there, cloud->direction[2]) < 0;
}

static bool fits_mirrored(const FitModel *model, const MarkSet *marks, const Cloud *cloud,
                          double rms_here_px) {
    static const double BETTER = 0.2;
    ResectMark mirrored[RESECT_MARKS_MOST];
    ResectProblem problem = *model->problem;
    for (size_t i = 0; i < problem.count; i++) {
        mirrored[i] = problem.marks[i];
        mirrored[i].x_px = problem.photo.wide_px - problem.marks[i].x_px;
    }
    problem.marks = mirrored;
    FitModel other = *model;
    other.problem = &problem;
    Found found;
    find_cameras(&other, marks, cloud, true, &found);
    return fits_well(&other, marks, &found) &&
           rms_px(&other, marks, &found.fit[0].camera) < BETTER * rms_here_px;
}

/* --- All of it ------------------------------------------------------------------------------------------ */

static bool too_little(const ResectProblem *problem, const MarkSet *marks, const Cloud *cloud,
                       ResectResult *result) {
    static const double LINE_SHARE = 0.004;
    result->count_used = different_points(problem, marks);
    result->count_needed = resect_needs(problem->focal_mm <= 0);
    if (result->count_used < result->count_needed)
        result->status = RESECT_TOO_FEW;
    else if (cloud->extent[1] < LINE_SHARE * cloud->extent[0])
        result->status = RESECT_ON_ONE_LINE;
    else
        return false;
    return true;
}

static MarkSet marks_kept(const MarkSet *marks, const Mismarks *mismarks) {
    MarkSet kept = {0};
    for (size_t i = 0; i < marks->count; i++) {
        bool out = false;
        for (size_t j = 0; j < mismarks->count; j++)
            out |= mismarks->mark[j] == marks->index[i];
        if (!out) kept.index[kept.count++] = marks->index[i];
    }
    return kept;
}

static void look_for_mismarks(const FitModel *model, const MarkSet *marks, const Cloud *cloud, Found *found,
                              Mismarks *mismarks) {
    Fit none = {.good = false};
    *mismarks = (Mismarks){0};
    if (found->count > 0 && !mismarks_likely(model, marks, &found->fit[0])) return;
    find_cameras(model, marks, cloud, true, found);
    const Fit *best = found->count > 0 ? &found->fit[0] : &none;
    mismarks_find(model, marks, best, found->starts.camera, found->starts.count,
                  resect_needs(model->problem->focal_mm <= 0), mismarks);
}

static void tell(FitModel *model, const MarkSet *marks, const Cloud *cloud, const Found *found,
                 const Mismarks *mismarks, ResectResult *result) {
    Fit fit = found->fit[choose(model, marks, found, result)];
    FitNormal normal;
    double noise;
    if (!settle(model, marks, &fit, &normal, &noise, &result->freedoms)) {
        result->status = RESECT_NO_CAMERA;
        return;
    }
    result->camera = fit_photo_camera(model, &fit.camera);
    result->focal_sought = model->seeks_focal;
    result->radial_sought = model->seeks_bend;
    result->sigma_px = noise * model->sigma_px;
    fit_spread(model, &fit.camera, &normal, noise, result->freedoms, result);
    tell_residuals(model, marks, &fit.camera, mismarks, result);
    tell_mismarks(mismarks, result);
    tell_undetermined(model, cloud, &fit.camera, noise, result);
    if (result->status == RESECTED && from_behind(model, cloud, &fit.camera, result->flat))
        *result = (ResectResult){.status = RESECT_MIRRORED, .count_used = marks->count};
}

/* Whether the marks are so far apart from any camera that it is not the pen's fault. */
static bool far_off(const FitModel *model, double rms, double share) {
    return rms > fmax(5 * model->sigma_px, share * model->problem->photo.wide_px);
}

/* The marks are at odds, and none can be blamed. */
static void doubt_all(Mismarks *mismarks) {
    if (mismarks->unclear) return;
    mismarks->unclear = true;
    if (mismarks->count > 0) return;
    memcpy(mismarks->suspect, mismarks->maybe, sizeof mismarks->suspect);
    mismarks->suspect_count = mismarks->maybe_count;
}

void resect(const ResectProblem *problem, ResectResult *result) {
    static const double UNCLEAR_SHARE = 0.005, NONE_SHARE = 0.03;
    assert(problem->count <= RESECT_MARKS_MOST);
    *result = (ResectResult){.status = RESECTED};
    MarkSet marks = marks_in_use(problem);
    Cloud cloud = cloud_of(problem, &marks);
    if (too_little(problem, &marks, &cloud, result)) return;
    FitModel model = fit_model(problem);
    if (result->count_used < resect_needs_for_radial(problem->focal_mm <= 0))
        model.seeks_bend = model.has_bend_prior = false;
    Found found;
    Mismarks mismarks;
    find_cameras(&model, &marks, &cloud, false, &found);
    look_for_mismarks(&model, &marks, &cloud, &found, &mismarks);
    MarkSet kept = marks_kept(&marks, &mismarks);
    if (kept.count < marks.count) {
        cloud = cloud_of(problem, &kept);
        find_cameras(&model, &kept, &cloud, true, &found);
    }
    result->count_used = kept.count;
    double rms = found.count > 0 ? rms_px(&model, &kept, &found.fit[0].camera) : INFINITY;
    if (far_off(&model, rms, UNCLEAR_SHARE) && fits_mirrored(&model, &kept, &cloud, rms)) {
        result->status = RESECT_MIRRORED;
        return;
    }
    if (far_off(&model, rms, NONE_SHARE) && !mismarks.unclear) {
        result->status = RESECT_NO_CAMERA;
        return;
    }
    if (found.count == 0) {
        result->status = RESECT_NO_CAMERA;
        return;
    }
    if (far_off(&model, rms, UNCLEAR_SHARE)) doubt_all(&mismarks);
    tell(&model, &kept, &cloud, &found, &mismarks, result);
}
