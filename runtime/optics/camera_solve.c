#include "optics/camera_solve.h"

#include "base/number.h"
#include "optics/lens.h"

#include <cminpack.h>
#include <math.h>
#include <string.h>

/* --- counting what is determined (rule 15)
 * ------------------------------------------------------------------- Two triangles. SIZE: lens, distance,
 * scale (`tall` and `frame` are one fact). LOOK: height, horizon line (`tilt` and `horizon` are one fact as
 * long as the lens is known), foot y. Two of each settle a camera. */

typedef struct Known {
    bool fact[STATEMENT_COUNT];
    size_t others; /* puppets that have joined */
    bool assumed[UNKNOWN_COUNT];
    double value[STATEMENT_COUNT];
} Known;

static int look_count(const Known *k) {
    return k->fact[STATE_HEIGHT] + (k->fact[STATE_TILT] || k->fact[STATE_HORIZON]) + k->fact[STATE_FOOT];
}

static int size_count(const Known *k) {
    return k->fact[STATE_LENS] + k->fact[STATE_DISTANCE] + (k->fact[STATE_FRAME] || k->fact[STATE_TALL]);
}

/* A tilt that is really one tells the lens together with the horizon: horizon = T/2 + k v tan t. */
static bool tilt_tells_lens(const CameraProblem *p, const Known *k) {
    return k->fact[STATE_TILT] && k->fact[STATE_HORIZON] && !p->crop_up_free &&
           fabs(k->value[STATE_TILT]) > RADIANS(1);
}

static bool look_is_settled(const CameraProblem *p, const Known *k) {
    (void)p;
    return look_count(k) + (int)k->others >= 2;
}

static bool is_settled(const CameraProblem *p, const Known *k) {
    int look = look_count(k), size = size_count(k) + (!k->fact[STATE_LENS] && tilt_tells_lens(p, k));
    for (size_t i = 0; i < k->others; i++) { /* a second puppet tells the height, or else the scale */
        if (look < 2)
            look++;
        else
            size++;
    }
    if (look >= 2 && size >= 2) return true;
    const bool line_by_horizon = k->fact[STATE_HORIZON];
    return look == 3 && size == 1 &&
           ((k->fact[STATE_LENS] && !k->others) ||
            (k->fact[STATE_DISTANCE] && line_by_horizon && !k->others));
}

/* --- the equations
 * ------------------------------------------------------------------------------------------ */

typedef struct Equations {
    const CameraProblem *problem;
    Known known;
    bool free[UNKNOWN_COUNT];
    double fixed[UNKNOWN_COUNT];
    int unknowns, residuals;
} Equations;

static Camera camera_of(const double full[UNKNOWN_COUNT], const CameraProblem *p, bool *seen) {
    Camera camera = {.focal_mm = full[UNKNOWN_LENS],
                     .distance_mm = full[UNKNOWN_DISTANCE],
                     .height_mm = full[UNKNOWN_HEIGHT],
                     .tilt_rad = full[UNKNOWN_TILT],
                     .across_mm = full[UNKNOWN_ACROSS],
                     .crop_up_mm = full[UNKNOWN_CROP_UP]};
    *seen = camera_focus(&camera, p->focus);
    if (!*seen) { /* inside the focal length: go on as at infinity, so that the search can come back out */
        camera.object_mm = INFINITY;
        camera.image_mm = camera.focal_mm;
    }
    return camera;
}

/* Lens and distance are searched as logarithms, so that they stay above nothing; lengths in decimetres. */
static void unpack(const Equations *e, const double *x, double full[UNKNOWN_COUNT]) {
    memcpy(full, e->fixed, sizeof e->fixed);
    for (int u = 0, i = 0; u < UNKNOWN_COUNT; u++) {
        if (!e->free[u]) continue;
        const double value = x[i++];
        full[u] = u == UNKNOWN_LENS || u == UNKNOWN_DISTANCE ? exp(fmax(-10, fmin(20, value)))
                  : u == UNKNOWN_TILT                        ? value
                  : u == UNKNOWN_CROP_UP                     ? value
                                                             : 100 * value;
    }
}

static void pack(const Equations *e, const double full[UNKNOWN_COUNT], double *x) {
    for (int u = 0, i = 0; u < UNKNOWN_COUNT; u++) {
        if (!e->free[u]) continue;
        x[i++] = u == UNKNOWN_LENS || u == UNKNOWN_DISTANCE  ? log(full[u])
                 : u == UNKNOWN_TILT || u == UNKNOWN_CROP_UP ? full[u]
                                                             : full[u] / 100;
    }
}

static const double FAR_OFF = 1e6; /* a residual for what the camera does not see at all */

static double other_residual(const CameraProblem *p, const Camera *camera, const OtherPuppet *other) {
    Point3 foot;
    double x, y;
    if (!camera_on_level(camera, &p->picture, other->foot_x_mm, other->foot_y_mm, other->up_mm, &foot))
        return FAR_OFF;
    const Point3 head = {foot.across_mm, foot.back_mm, foot.up_mm + other->tall_mm};
    if (!camera_project(camera, &p->picture, head, &x, &y, NULL)) return FAR_OFF;
    return y - other->foot_y_mm - other->drawn_tall_mm;
}

/* What a camera makes of a statement, in the statement's own unit; `x` is the foot's other coordinate. */
static double statement_value(const CameraProblem *p, const Camera *camera, Statement statement, double *x) {
    const Point3 foot = {0, 0, p->mark_up_mm}, head = {0, 0, p->mark_up_mm + p->mark_tall_mm};
    double foot_x = 0, foot_y = 0, head_x, head_y = 0;
    switch (statement) {
    case STATE_LENS:
        return camera->focal_mm;
    case STATE_DISTANCE:
        return camera->distance_mm;
    case STATE_HEIGHT:
        return camera->height_mm;
    case STATE_TILT:
        return camera->tilt_rad;
    case STATE_ACROSS:
        return camera->across_mm;
    case STATE_HORIZON:
        return camera_horizon_mm(camera, &p->picture);
    case STATE_FRAME:
        return camera_frame_mm(camera, &p->picture, 0, p->mark_up_mm);
    case STATE_FOOT:
        if (!camera_project(camera, &p->picture, foot, &foot_x, &foot_y, NULL)) foot_x = foot_y = FAR_OFF;
        if (x) *x = foot_x;
        return foot_y;
    case STATE_TALL:
        if (!camera_project(camera, &p->picture, foot, &foot_x, &foot_y, NULL) ||
            !camera_project(camera, &p->picture, head, &head_x, &head_y, NULL))
            return FAR_OFF;
        return head_y - foot_y;
    case STATEMENT_COUNT:
        break;
    }
    return 0;
}

/* Residuals of what yields, in units of 1 mm on the drawing; the frame's unit is 1 % (rule 14). */
static double yielding_residual(const CameraProblem *p, const Known *k, const Camera *camera, Statement s,
                                double *residual_x) {
    double x = 0;
    const double value = statement_value(p, camera, s, &x);
    if (s == STATE_FOOT) {
        *residual_x = x - p->foot_x_mm;
        return value - p->foot_y_mm;
    }
    const double apart = value - k->value[s];
    return s == STATE_FRAME ? apart / (0.01 * k->value[s]) : apart;
}

static int residuals_of(void *context, int m, int n, const double *x, double *out, int flag) {
    const Equations *e = context;
    const CameraProblem *p = e->problem;
    double full[UNKNOWN_COUNT];
    bool seen;
    (void)n;
    (void)flag;
    unpack(e, x, full);
    const Camera camera = camera_of(full, p, &seen);
    int i = 0;
    for (int s = STATE_HORIZON; s < STATEMENT_COUNT; s++) {
        if (!e->known.fact[s]) continue;
        double residual_x = 0;
        out[i++] = yielding_residual(p, &e->known, &camera, (Statement)s, &residual_x);
        if (s == STATE_FOOT) out[i++] = residual_x;
    }
    for (size_t o = 0; o < e->known.others; o++)
        out[i++] = other_residual(p, &camera, &p->others[o]);
    while (i < m) /* fewer equations than unknowns is not asked for; the library wants a full vector */
        out[i++] = 0;
    for (int j = 0; j < m; j++) {
        if (!isfinite(out[j])) out[j] = FAR_OFF;
    }
    return 0;
}

/* What is stated (or assumed) of an unknown holds exactly; the others are free. */
static Equations equations_of(const CameraProblem *p, const Known *k, bool crop_free, double crop_up_mm) {
    static const Statement exact[UNKNOWN_COUNT] = {STATE_LENS, STATE_DISTANCE, STATE_HEIGHT,
                                                   STATE_TILT, STATE_ACROSS,   STATEMENT_COUNT};
    Equations e = {.problem = p, .known = *k};
    for (int u = 0; u < UNKNOWN_CROP_UP; u++) {
        e.free[u] = !k->fact[exact[u]];
        e.fixed[u] = k->value[exact[u]];
        e.unknowns += e.free[u];
    }
    e.free[UNKNOWN_CROP_UP] = crop_free;
    e.fixed[UNKNOWN_CROP_UP] = crop_up_mm;
    e.unknowns += crop_free;
    for (int s = STATE_HORIZON; s < STATEMENT_COUNT; s++)
        e.residuals += k->fact[s] ? (s == STATE_FOOT ? 2 : 1) : 0;
    e.residuals += (int)k->others;
    return e;
}

/* A start from simple proportions: distance from the drawn height, tilt from the foot, else from the horizon
 * (rule 19). */
static void start_values(const Equations *e, double focal_mm, double height_mm, double full[UNKNOWN_COUNT]) {
    const CameraProblem *p = e->problem;
    const Known *k = &e->known;
    const double scale = p->picture.drawn_per_sensor;
    memcpy(full, e->fixed, sizeof e->fixed);
    if (e->free[UNKNOWN_LENS]) full[UNKNOWN_LENS] = focal_mm;
    focal_mm = full[UNKNOWN_LENS];
    if (e->free[UNKNOWN_HEIGHT]) full[UNKNOWN_HEIGHT] = height_mm;
    height_mm = full[UNKNOWN_HEIGHT];
    if (e->free[UNKNOWN_DISTANCE]) {
        double distance = 20 * focal_mm;
        if (k->fact[STATE_TALL])
            distance = focal_mm * scale * p->mark_tall_mm / k->value[STATE_TALL] + focal_mm;
        else if (k->fact[STATE_FRAME])
            distance = focal_mm * k->value[STATE_FRAME] / p->picture.taken_wide_mm + focal_mm;
        full[UNKNOWN_DISTANCE] = distance;
    }
    const double down = height_mm - p->mark_up_mm;
    const double crop = full[UNKNOWN_CROP_UP];
    if (e->free[UNKNOWN_TILT]) {
        double tilt = 0;
        if (k->fact[STATE_HORIZON])
            tilt =
                atan(((k->value[STATE_HORIZON] - p->picture.drawing_tall_mm / 2) / scale + crop) / focal_mm);
        else if (k->fact[STATE_FOOT])
            tilt = atan(((p->foot_y_mm - p->picture.drawing_tall_mm / 2) / scale + crop) / focal_mm) +
                   atan(down / full[UNKNOWN_DISTANCE]);
        full[UNKNOWN_TILT] = tilt;
    }
    if (e->free[UNKNOWN_ACROSS])
        full[UNKNOWN_ACROSS] =
            -((p->foot_x_mm - p->picture.drawing_wide_mm / 2) / scale + p->picture.crop_across_mm) *
            full[UNKNOWN_DISTANCE] / focal_mm;
}

static double sum_of_squares(const double *values, int count) {
    double sum = 0;
    for (int i = 0; i < count; i++)
        sum += values[i] * values[i];
    return sum;
}

enum { RESIDUALS_MOST = 64 };

/* One search from one start. Returns the sum of squares; `full` is where it ended. */
static double search(Equations *e, double full[UNKNOWN_COUNT]) {
    double x[UNKNOWN_COUNT] = {0}, out[RESIDUALS_MOST] = {0},
           work[RESIDUALS_MOST * UNKNOWN_COUNT + 5 * UNKNOWN_COUNT + RESIDUALS_MOST];
    int pivots[UNKNOWN_COUNT];
    const int n = e->unknowns;
    const int m = e->residuals > n ? e->residuals : n;
    pack(e, full, x);
    if (n > 0) {
        for (int round = 0; round < 2;
             round++) /* the second starts where the first ended, and takes off its last rounding */
            lmdif1(residuals_of, e, m, n, x, out, 1e-15, pivots, work, (int)(sizeof work / sizeof *work));
    }
    residuals_of(e, m, n, x, out, 0);
    unpack(e, x, full);
    return sum_of_squares(out, m);
}

/* Rule 20, on numbers. */
static CameraImpossible what_is_impossible(const CameraProblem *p, const double full[UNKNOWN_COUNT],
                                           double *value) {
    bool seen;
    const Camera camera = camera_of(full, p, &seen);
    if (!(camera.distance_mm > 0)) return *value = camera.distance_mm, IMPOSSIBLE_BEHIND_MARK;
    if (!(camera.height_mm > 1)) return *value = camera.height_mm, IMPOSSIBLE_UNDER_GROUND;
    if (fabs(camera.tilt_rad) > RADIANS(75)) return *value = camera.tilt_rad, IMPOSSIBLE_STEEP;
    if (!seen) return *value = camera_depth_mm(&camera, p->focus), IMPOSSIBLE_TOO_NEAR;
    return IMPOSSIBLE_NONE;
}

typedef struct Root {
    double full[UNKNOWN_COUNT];
    double squares;
    CameraImpossible impossible;
    double impossible_value;
    bool steep_twin;
} Root;

static bool is_better(const Root *a, const Root *b) {
    const double slack = 1e-12;
    const bool a_good = a->impossible == IMPOSSIBLE_NONE, b_good = b->impossible == IMPOSSIBLE_NONE;
    if (a_good != b_good) return a_good;
    if (fabs(a->squares - b->squares) > slack * (1 + b->squares) + 1e-9) return a->squares < b->squares;
    return fabs(a->full[UNKNOWN_TILT]) <
           fabs(b->full[UNKNOWN_TILT]) - 1e-9; /* the flattest, which is the farthest (rule 19) */
}

/* Several starts, since steep cameras come in pairs; the flattest that agrees. */
static Root find_root(const CameraProblem *p, const Known *k, bool crop_free, double crop_up_mm) {
    static const double focals[] = {50, 24, 100, 200};
    Equations e = equations_of(p, k, crop_free, crop_up_mm);
    Root best = {.squares = INFINITY, .impossible = IMPOSSIBLE_NO_ROOT};
    Root all[24];
    int count = 0;
    const int focal_starts = e.free[UNKNOWN_LENS] ? 4 : 1, height_starts = e.free[UNKNOWN_HEIGHT] ? 3 : 1;
    const double eyes = p->mark_up_mm + p->mark_eyes_mm;
    const double heights[] = {eyes, 4 * eyes, eyes / 4};
    for (int f = 0; f < focal_starts; f++) {
        for (int h = 0; h < height_starts; h++) {
            for (int steep = 0; steep < (e.free[UNKNOWN_TILT] && !e.known.fact[STATE_HEIGHT] ? 2 : 1);
                 steep++) {
                Root root = {0};
                start_values(&e, focals[f], heights[h], root.full);
                if (steep) root.full[UNKNOWN_TILT] += 0.4;
                root.squares = search(&e, root.full);
                root.impossible = what_is_impossible(p, root.full, &root.impossible_value);
                if (count == 0 || is_better(&root, &best)) best = root;
                all[count++] = root;
            }
        }
    }
    for (int i = 0; i < count; i++) {
        const Root *other = &all[i];
        if (other->impossible == IMPOSSIBLE_NONE && other->squares < 1e-6 && best.squares < 1e-6 &&
            fabs(other->full[UNKNOWN_TILT]) > fabs(best.full[UNKNOWN_TILT]) + 1e-3 &&
            other->full[UNKNOWN_TILT] < RADIANS(60))
            best.steep_twin = true;
    }
    return best;
}

/* Rule 5: with a free crop the camera stays level while the sensor allows it; at the sensor's edge the crop
 * stops and the tilt does the rest. */
static Root find_camera(const CameraProblem *p, const Known *k) {
    if (!p->crop_up_free || look_count(k) + (int)k->others < 2)
        return find_root(p, k, false, p->picture.crop_up_mm);
    Known level = *k;
    if (!k->fact[STATE_TILT]) {
        level.fact[STATE_TILT] = true;
        level.value[STATE_TILT] = 0;
    }
    const double most = picture_crop_up_most_mm(&p->picture);
    const Root root = find_root(p, &level, true, 0);
    const double crop = root.full[UNKNOWN_CROP_UP];
    if (fabs(crop) <= most && root.impossible == IMPOSSIBLE_NONE) return root;
    return find_root(p, k, false, crop < 0 ? -most : most);
}

/* --- defaults (rule 16)
 * ------------------------------------------------------------------------------------- */

static double default_lens(const CameraProblem *p) {
    const double middle = sqrt(p->lens_low_mm * p->lens_high_mm);
    if (p->prime_count == 0) return middle;
    double nearest = p->primes_mm[0];
    for (size_t i = 1; i < p->prime_count; i++) { /* nearest as a ratio: the middle is a geometric one */
        if (fabs(log(p->primes_mm[i] / middle)) < fabs(log(nearest / middle))) nearest = p->primes_mm[i];
    }
    return nearest;
}

static void assume(Known *k, Statement statement, Unknown unknown, double value) {
    k->fact[statement] = true;
    k->value[statement] = value;
    k->assumed[unknown] = true;
}

static Known with_defaults(const CameraProblem *p, Known k) {
    while (!is_settled(p, &k) && k.others < p->other_count)
        k.others++;
    if (!k.fact[STATE_FOOT] && !k.fact[STATE_ACROSS]) assume(&k, STATE_ACROSS, UNKNOWN_ACROSS, 0);
    if (!look_is_settled(p, &k) && !k.fact[STATE_HEIGHT]) {
        double height = p->mark_up_mm + p->mark_eyes_mm;
        if (p->height_allowed) height = fmax(p->height_low_mm, fmin(p->height_high_mm, height));
        assume(&k, STATE_HEIGHT, UNKNOWN_HEIGHT, height);
    }
    if (!look_is_settled(p, &k) && !k.fact[STATE_TILT] && (!k.fact[STATE_HORIZON] || p->crop_up_free))
        assume(&k, STATE_TILT, UNKNOWN_TILT, 0);
    if (!is_settled(p, &k) && size_count(&k) < 2 && !k.fact[STATE_LENS] && p->lens_allowed)
        assume(&k, STATE_LENS, UNKNOWN_LENS, default_lens(p));
    return k;
}

static Known stated_of(const CameraProblem *p) {
    Known k = {0};
    for (int s = 0; s < STATEMENT_COUNT; s++) {
        k.fact[s] = p->stated[s];
        k.value[s] = p->value[s];
    }
    return k;
}

/* --- outcomes
 * ----------------------------------------------------------------------------------------------- */

/* Rule 17: each word that alone completes the count, else the pairs. */
static void too_little(const CameraProblem *p, const Known *k, CameraSolution *solution) {
    solution->status = CAMERA_TOO_LITTLE;
    solution->open[UNKNOWN_LENS] = !k->fact[STATE_LENS];
    solution->open[UNKNOWN_DISTANCE] = !k->fact[STATE_DISTANCE];
    solution->open[UNKNOWN_HEIGHT] = look_count(k) + (int)k->others < 2 && !k->fact[STATE_HEIGHT];
    solution->open[UNKNOWN_TILT] = look_count(k) + (int)k->others < 2 && !k->fact[STATE_TILT];
    const Known stated = stated_of(p);
    bool any = false;
    for (int s = 0; s < STATEMENT_COUNT; s++) {
        if (stated.fact[s]) continue;
        Known more = stated;
        more.fact[s] = true;
        more.value[s] = s == STATE_TILT ? RADIANS(5) : 1;
        const Known whole = with_defaults(p, more);
        any |= solution->completes[s] = is_settled(p, &whole);
    }
    for (int a = 0; !any && a < STATEMENT_COUNT; a++) {
        for (int b = a + 1; b < STATEMENT_COUNT; b++) {
            if (stated.fact[a] || stated.fact[b]) continue;
            Known more = stated;
            more.fact[a] = more.fact[b] = true;
            more.value[STATE_TILT] = stated.fact[STATE_TILT] ? stated.value[STATE_TILT] : RADIANS(5);
            const Known whole = with_defaults(p, more);
            if (!is_settled(p, &whole)) continue;
            solution->pairs[solution->pair_count].first = (Statement)a;
            solution->pairs[solution->pair_count++].second = (Statement)b;
        }
    }
}

static double worst_residual(const CameraProblem *p, const Known *k, const Camera *camera,
                             CameraSolution *solution, Statement *worst) {
    double most = 0;
    *worst = STATE_TALL;
    for (int s = STATE_HORIZON; s < STATEMENT_COUNT; s++) {
        if (!k->fact[s]) continue;
        double x = 0;
        const double y = yielding_residual(p, k, camera, (Statement)s, &x);
        if (solution) {
            solution->residual_mm[s] = y;
            if (s == STATE_FOOT) solution->residual_x_mm = x;
        }
        const double size = fmax(fabs(y), fabs(x));
        if (size > most) {
            most = size;
            *worst = (Statement)s;
        }
    }
    for (size_t o = 0; o < k->others; o++)
        most = fmax(most, fabs(other_residual(p, camera, &p->others[o])));
    return most;
}

static bool is_a_size(Statement s) {
    return s == STATE_LENS || s == STATE_DISTANCE || s == STATE_FRAME || s == STATE_TALL;
}

static double apart_on_drawing(const CameraProblem *p, const CameraCure *cure) {
    switch (cure->statement) {
    case STATE_FOOT:
        return hypot(cure->agrees_x - p->foot_x_mm, cure->agrees - p->foot_y_mm);
    case STATE_FRAME:
        return fabs(cure->agrees / p->value[STATE_FRAME] - 1) * p->picture.drawing_wide_mm;
    default:
        return fabs(cure->agrees - p->value[cure->statement]);
    }
}

/* Rule 18: leave each statement out in turn. Where the rest agrees and still settles the camera, its value by
 * the others is what would agree. */
static void contradiction(const CameraProblem *p, const Known *k, Statement worst, double apart_mm,
                          CameraSolution *solution) {
    solution->status = CAMERA_CONTRADICTION;
    solution->shown = worst;
    solution->apart_mm = apart_mm;
    for (int s = 0; s < STATEMENT_COUNT; s++) {
        if (!p->stated[s]) continue; /* defaults are never the culprit */
        Known rest = *k;
        rest.fact[s] = false;
        if (s == STATE_FOOT && !rest.fact[STATE_ACROSS]) {
            rest.fact[STATE_ACROSS] = true;
            rest.value[STATE_ACROSS] = 0;
        }
        if (!is_settled(p, &rest)) continue;
        const Root root = find_camera(p, &rest);
        if (root.impossible != IMPOSSIBLE_NONE) continue;
        bool seen;
        Statement unused;
        const Camera camera = camera_of(root.full, p, &seen);
        if (worst_residual(p, &rest, &camera, NULL, &unused) > p->agree_mm) continue;
        CameraCure cure = {.statement = (Statement)s};
        cure.agrees = statement_value(p, &camera, (Statement)s, &cure.agrees_x);
        if (is_a_size((Statement)s) && !(cure.agrees > 0.01 * p->value[s])) continue;
        solution->cures[solution->cure_count++] = cure;
    }
    static const Statement order[] = {STATE_TALL, STATE_FOOT, STATE_HORIZON, STATE_FRAME};
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        for (size_t c = 0; c < solution->cure_count; c++) {
            if (solution->cures[c].statement != order[i]) continue;
            solution->shown = order[i];
            solution->apart_mm = apart_on_drawing(p, &solution->cures[c]);
            return;
        }
    }
}

/* How far a millimetre goes: solved again with each drawn statement moved by a little either way. */
static void sensitivities(const CameraProblem *p, const Known *k, CameraSolution *solution) {
    static const double STEP_MM = 0.05;
    for (int s = STATE_HORIZON; s < STATEMENT_COUNT; s++) {
        if (!p->stated[s] || !k->fact[s]) continue;
        const double step = s == STATE_FRAME ? STEP_MM * 0.01 * p->value[s] : STEP_MM;
        double full[2][UNKNOWN_COUNT];
        for (int way = 0; way < 2; way++) {
            CameraProblem moved = *p;
            Known known = *k;
            const double by = way == 0 ? -step : step;
            if (s == STATE_FOOT)
                moved.foot_y_mm += by;
            else
                known.value[s] += by;
            moved.value[s] = known.value[s];
            memcpy(full[way], find_camera(&moved, &known).full, sizeof full[way]);
        }
        for (int u = 0; u < UNKNOWN_COUNT; u++)
            solution->per_mm[u][s] = (full[1][u] - full[0][u]) / (2 * STEP_MM);
    }
}

void camera_solve(const CameraProblem *p, CameraSolution *solution) {
    *solution = (CameraSolution){0};
    const Known k = with_defaults(p, stated_of(p));
    if (!is_settled(p, &k)) {
        too_little(p, &k, solution);
        return;
    }
    const Root root = find_camera(p, &k);
    bool seen;
    Statement worst;
    const Camera camera = camera_of(root.full, p, &seen);
    const double apart = worst_residual(p, &k, &camera, solution, &worst);
    if (apart > p->agree_mm && (root.impossible == IMPOSSIBLE_NONE || root.squares > 1)) {
        contradiction(p, &k, worst, apart, solution);
        if (solution->cure_count > 0 || root.impossible == IMPOSSIBLE_NONE) return;
    }
    if (root.impossible != IMPOSSIBLE_NONE) {
        solution->status = CAMERA_IMPOSSIBLE;
        solution->impossible = root.impossible;
        solution->impossible_value = root.impossible_value;
        return;
    }
    solution->status = CAMERA_SOLVED;
    solution->camera = camera;
    solution->others_used = k.others;
    solution->steep_twin = root.steep_twin;
    memcpy(solution->assumed, k.assumed, sizeof k.assumed);
    if (p->crop_up_free && !p->stated[STATE_TILT] && camera.tilt_rad == 0)
        solution->assumed[UNKNOWN_TILT] = true;
    sensitivities(p, &k, solution);
}
