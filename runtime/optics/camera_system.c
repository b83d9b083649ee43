#include "optics/camera_system.h"

#include "base/number.h"
#include "optics/svd.h"

#include <assert.h>
#include <cminpack.h>
#include <math.h>
#include <string.h>

/* --- Unknowns ------------------------------------------------------------------------------------------- */

static const Statement STATEMENT_OF[UNKNOWN_COUNT] = {STATE_LENS, STATE_DISTANCE, STATE_HEIGHT,
                                                      STATE_TILT, STATE_ACROSS,   STATEMENT_COUNT};

bool system_seeks(const System *system, Unknown unknown) {
    if (unknown == UNKNOWN_CROP_UP) return system->crop_free && !system->crop_held;
    if (unknown == UNKNOWN_TILT && system->crop_free) return false;
    return !system->use[STATEMENT_OF[unknown]];
}

static size_t column_count(const System *system) {
    return UNKNOWN_COUNT + 2 * system->others;
}

static size_t other_column(size_t other) {
    return UNKNOWN_COUNT + 2 * other;
}

static size_t sought_columns(const System *system, size_t columns[COLUMNS_MOST]) {
    size_t count = 0;
    for (size_t i = 0; i < column_count(system); i++)
        if (i >= UNKNOWN_COUNT || system_seeks(system, (Unknown)i)) columns[count++] = i;
    return count;
}

bool system_camera(const System *system, const Guess *guess, Camera *camera) {
    *camera = (Camera){
        .focal_mm = guess->at[UNKNOWN_LENS],
        .distance_mm = guess->at[UNKNOWN_DISTANCE],
        .height_mm = guess->at[UNKNOWN_HEIGHT],
        .tilt_rad = guess->at[UNKNOWN_TILT],
        .across_mm = guess->at[UNKNOWN_ACROSS],
        .crop_up_mm = guess->at[UNKNOWN_CROP_UP],
    };
    camera->object_mm = camera_depth_mm(camera, system->problem->focus);
    return camera_focus(camera, system->problem->focus);
}

/* --- Rows: values and derivatives ----------------------------------------------------------------------- */

/* A value with its derivatives by all unknowns. */
typedef struct Jet {
    double value, by[COLUMNS_MOST];
} Jet;

typedef struct View {
    const System *system;
    const Picture *picture;
    Camera camera;
    double sine, cosine;
    Jet image; /* v */
} View;

/* Depth and height over the axis of a point of the set; `column` is where its own place is sought, or 0. */
static void view_point(const View *view, Point3 point, size_t column, Jet *depth, Jet *over) {
    double back = point.back_mm + view->camera.distance_mm, down = view->camera.height_mm - point.up_mm;
    double s = view->sine, c = view->cosine;
    *depth = (Jet){.value = back * c + down * s};
    *over = (Jet){.value = back * s - down * c};
    depth->by[UNKNOWN_DISTANCE] = c;
    depth->by[UNKNOWN_HEIGHT] = s;
    depth->by[UNKNOWN_TILT] = -over->value;
    over->by[UNKNOWN_DISTANCE] = s;
    over->by[UNKNOWN_HEIGHT] = -c;
    over->by[UNKNOWN_TILT] = depth->value;
    if (!column) return;
    depth->by[column + 1] = c;
    over->by[column + 1] = s;
}

static bool view_new(const System *system, const Guess *guess, View *view) {
    *view = (View){.system = system, .picture = &system->problem->picture};
    if (!system_camera(system, guess, &view->camera)) return false;
    view->sine = sin(view->camera.tilt_rad);
    view->cosine = cos(view->camera.tilt_rad);
    Jet depth, over;
    view_point(view, system->problem->focus, 0, &depth, &over);
    double f = view->camera.focal_mm, v = view->camera.image_mm;
    double magnified = f / (depth.value - f);
    view->image.value = v;
    for (size_t i = 0; i < UNKNOWN_COUNT; i++)
        view->image.by[i] = -magnified * magnified * depth.by[i];
    view->image.by[UNKNOWN_LENS] = (v / f) * (v / f);
    return true;
}

/* k v a / w + constant. */
static Jet on_drawing(const View *view, const Jet *a, const Jet *depth, double constant) {
    double k = view->picture->drawn_per_sensor, v = view->image.value, w = depth->value;
    Jet jet = {.value = k * v * a->value / w + constant};
    for (size_t i = 0; i < column_count(view->system); i++)
        jet.by[i] = k * (view->image.by[i] * a->value + v * a->by[i] - v * a->value / w * depth->by[i]) / w;
    return jet;
}

static bool project_jets(const View *view, Point3 point, size_t column, Jet *x, Jet *y) {
    Jet depth, over, right = {.value = point.across_mm - view->camera.across_mm};
    view_point(view, point, column, &depth, &over);
    if (!(depth.value > 1e-6)) return false;
    right.by[UNKNOWN_ACROSS] = -1;
    if (column) right.by[column] = 1;
    double k = view->picture->drawn_per_sensor;
    *x = on_drawing(view, &right, &depth,
                    view->picture->drawing_wide_mm / 2 - k * view->picture->crop_across_mm);
    *y = on_drawing(view, &over, &depth, view->picture->drawing_tall_mm / 2 - k * view->camera.crop_up_mm);
    y->by[UNKNOWN_CROP_UP] = -k;
    return true;
}

/* Foot and drawn height of something that stands at `foot`. */
static bool stand_jets(const View *view, Point3 foot, double tall_mm, size_t column, Jet *x, Jet *y,
                       Jet *tall) {
    Jet head_x, head_y;
    Point3 head = foot;
    head.up_mm += tall_mm;
    if (!project_jets(view, foot, column, x, y) || !project_jets(view, head, column, &head_x, &head_y))
        return false;
    *tall = (Jet){.value = head_y.value - y->value};
    for (size_t i = 0; i < column_count(view->system); i++)
        tall->by[i] = head_y.by[i] - y->by[i];
    return true;
}

static Jet horizon_jet(const View *view) {
    double k = view->picture->drawn_per_sensor, tangent = view->sine / view->cosine, v = view->image.value;
    Jet jet = {.value = camera_horizon_mm(&view->camera, view->picture)};
    for (size_t i = 0; i < UNKNOWN_COUNT; i++)
        jet.by[i] = k * view->image.by[i] * tangent;
    jet.by[UNKNOWN_TILT] += k * v * (1 + tangent * tangent);
    jet.by[UNKNOWN_CROP_UP] = -k;
    return jet;
}

static Jet frame_jet(const View *view) {
    Jet depth, over, jet = {0};
    view_point(view, (Point3){.up_mm = view->system->problem->mark_up_mm}, 0, &depth, &over);
    double v = view->image.value;
    jet.value = view->picture->taken_wide_mm * depth.value / v;
    for (size_t i = 0; i < UNKNOWN_COUNT; i++)
        jet.by[i] = view->picture->taken_wide_mm * (depth.by[i] - depth.value / v * view->image.by[i]) / v;
    return jet;
}

static Point3 mark_foot(const CameraProblem *problem) {
    return (Point3){.up_mm = problem->mark_up_mm};
}

static Point3 other_foot(const System *system, const Guess *guess, size_t other) {
    const double *place = &guess->at[other_column(other)];
    return (Point3){
        .across_mm = place[0], .back_mm = place[1], .up_mm = system->problem->others[other].up_mm};
}

typedef struct Rows {
    Row *items;
    size_t count;
} Rows;

static void add_row(Rows *rows, const System *system, Statement statement, bool is_x, const Jet *jet,
                    double stated, double unit) {
    assert(rows->count < ROWS_MOST);
    Row *row = &rows->items[rows->count++];
    *row = (Row){.statement = statement, .is_x = is_x, .miss = (jet->value - stated) / unit};
    for (size_t i = 0; i < column_count(system); i++)
        row->by[i] = jet->by[i] / unit;
}

static bool add_mark_rows(Rows *rows, const View *view) {
    const System *system = view->system;
    const CameraProblem *problem = system->problem;
    if (!system->use[STATE_FOOT] && !system->use[STATE_TALL]) return true;
    Jet x, y, tall;
    if (!stand_jets(view, mark_foot(problem), problem->mark_tall_mm, 0, &x, &y, &tall)) return false;
    if (system->use[STATE_FOOT]) {
        add_row(rows, system, STATE_FOOT, true, &x, problem->foot_x_mm, 1);
        add_row(rows, system, STATE_FOOT, false, &y, problem->foot_y_mm, 1);
    }
    if (system->use[STATE_TALL])
        add_row(rows, system, STATE_TALL, false, &tall, system->value[STATE_TALL], 1);
    return true;
}

static bool add_other_rows(Rows *rows, const View *view, const Guess *guess) {
    for (size_t i = 0; i < view->system->others; i++) {
        const OtherPuppet *other = &view->system->problem->others[i];
        Jet x, y, tall;
        if (!stand_jets(view, other_foot(view->system, guess, i), other->tall_mm, other_column(i), &x, &y,
                        &tall))
            return false;
        add_row(rows, view->system, STATEMENT_COUNT, true, &x, other->foot_x_mm, 1);
        add_row(rows, view->system, STATEMENT_COUNT, false, &y, other->foot_y_mm, 1);
        add_row(rows, view->system, STATEMENT_COUNT, false, &tall, other->drawn_tall_mm, 1);
    }
    return true;
}

bool system_rows(const System *system, const Guess *guess, Row items[ROWS_MOST], size_t *count) {
    View view;
    Rows rows = {.items = items};
    if (!view_new(system, guess, &view) || !add_mark_rows(&rows, &view)) return false;
    if (system->use[STATE_HORIZON]) {
        Jet horizon = horizon_jet(&view);
        add_row(&rows, system, STATE_HORIZON, false, &horizon, system->value[STATE_HORIZON], 1);
    }
    if (system->use[STATE_FRAME]) {
        Jet frame = frame_jet(&view);
        double stated = system->value[STATE_FRAME];
        add_row(&rows, system, STATE_FRAME, false, &frame, stated, 0.01 * stated);
    }
    if (!add_other_rows(&rows, &view, guess)) return false;
    *count = rows.count;
    for (size_t i = 0; i < rows.count; i++)
        if (!isfinite(items[i].miss)) return false;
    return true;
}

bool statement_of_camera(const CameraProblem *problem, const Camera *camera, Statement statement,
                         double *value, double *x_mm) {
    Point3 foot = mark_foot(problem), head = {.up_mm = problem->mark_up_mm + problem->mark_tall_mm};
    double x, y, head_x, head_y;
    switch (statement) {
    case STATE_LENS:
        *value = camera->focal_mm;
        return true;
    case STATE_DISTANCE:
        *value = camera->distance_mm;
        return true;
    case STATE_HEIGHT:
        *value = camera->height_mm;
        return true;
    case STATE_TILT:
        *value = camera->tilt_rad;
        return true;
    case STATE_ACROSS:
        *value = camera->across_mm;
        return true;
    case STATE_HORIZON:
        *value = camera_horizon_mm(camera, &problem->picture);
        return true;
    case STATE_FRAME:
        *value = camera_frame_mm(camera, &problem->picture, 0, problem->mark_up_mm);
        return true;
    case STATE_FOOT:
        if (!camera_project(camera, &problem->picture, foot, &x, &y, NULL)) return false;
        *value = y;
        if (x_mm) *x_mm = x;
        return true;
    case STATE_TALL:
        if (!camera_project(camera, &problem->picture, foot, &x, &y, NULL) ||
            !camera_project(camera, &problem->picture, head, &head_x, &head_y, NULL))
            return false;
        *value = head_y - y;
        return true;
    case STATEMENT_COUNT:
        break;
    }
    assert(false);
    return false;
}

/* --- The first guess ------------------------------------------------------------------------------------ */

/* What is known while a guess is put together. Heights on the sensor count from the axis if `crop` is right.
 */
typedef struct Proportions {
    const System *system;
    const CameraProblem *problem;
    double k, middle_mm;
    double scale; /* drawn mm per real mm at the mark */
    double focal, distance, height, tilt, crop;
} Proportions;

static bool uses(const Proportions *p, Statement statement) {
    return p->system->use[statement];
}

static bool tilt_known(const Proportions *p) {
    return p->system->crop_free || uses(p, STATE_TILT);
}

static double image_of(const Proportions *p) {
    return p->distance > 1.05 * p->focal ? p->focal * p->distance / (p->distance - p->focal) : 2 * p->focal;
}

static double middle_lens(const CameraProblem *problem) {
    if (problem->lens_allowed) return sqrt(problem->lens_low_mm * problem->lens_high_mm);
    return 1.5 * hypot(problem->picture.sensor_wide_mm, problem->picture.sensor_tall_mm);
}

static double eyes_height(const CameraProblem *problem) {
    return problem->mark_up_mm + problem->mark_eyes_mm;
}

/* From the drawn height, else the frame, else by how much lower than the lens the foot is drawn. */
static double guess_scale(const Proportions *p) {
    const double *value = p->system->value;
    const Picture *picture = &p->problem->picture;
    if (uses(p, STATE_TALL)) return value[STATE_TALL] / p->problem->mark_tall_mm;
    if (uses(p, STATE_FRAME)) return p->k * picture->taken_wide_mm / value[STATE_FRAME];
    double down = value[STATE_HEIGHT] - p->problem->mark_up_mm;
    double drawn = value[STATE_HORIZON] - p->problem->foot_y_mm;
    if (uses(p, STATE_HEIGHT) && uses(p, STATE_HORIZON) && uses(p, STATE_FOOT) && drawn / down > 0)
        return drawn / down;
    return 0;
}

static double between(double low, double value, double high) {
    return fmin(fmax(value, low), high);
}

/* The lens of a camera whose tilt and horizon line are known: k v tan t is the horizon's height over the
 * axis. */
static double lens_from_tilt(const Proportions *p) {
    double tangent = tan(p->system->value[STATE_TILT]), line;
    double down = p->system->value[STATE_HEIGHT] - p->problem->mark_up_mm;
    if (uses(p, STATE_HORIZON)) {
        line = p->system->value[STATE_HORIZON];
    } else if (uses(p, STATE_HEIGHT) && uses(p, STATE_FOOT) && p->scale > 0) {
        line = p->problem->foot_y_mm + p->scale * down;
    } else if (uses(p, STATE_HEIGHT) && uses(p, STATE_FOOT) && uses(p, STATE_DISTANCE)) {
        line = p->problem->foot_y_mm;
        tangent = tan(p->system->value[STATE_TILT] - atan(down / p->system->value[STATE_DISTANCE]));
    } else {
        return 0;
    }
    double image = ((line - p->middle_mm) / p->k + p->crop) / tangent;
    return isfinite(image) ? image / (1 + p->scale / p->k) : 0;
}

/* A tilt that contradicts the horizon gives any number: what is no lens is not taken for one. */
static double guess_lens(const Proportions *p) {
    static const double SHORTEST_MM = 4, LONGEST_MM = 2000;
    if (uses(p, STATE_LENS)) return p->system->value[STATE_LENS];
    double distance = p->system->value[STATE_DISTANCE], focal = 0;
    if (uses(p, STATE_DISTANCE) && p->scale > 0) {
        double image = p->scale * distance / p->k;
        return image * distance / (image + distance);
    }
    if (uses(p, STATE_TILT) && !p->system->crop_free) focal = lens_from_tilt(p);
    return focal >= SHORTEST_MM && focal <= LONGEST_MM ? focal : middle_lens(p->problem);
}

static double guess_distance(const Proportions *p) {
    if (uses(p, STATE_DISTANCE)) return p->system->value[STATE_DISTANCE];
    double scale = p->scale;
    double down = p->system->value[STATE_HEIGHT] - p->problem->mark_up_mm;
    if (scale <= 0 && uses(p, STATE_HEIGHT) && uses(p, STATE_FOOT) && tilt_known(p)) {
        double line = p->middle_mm + p->k * (p->focal * tan(p->tilt) - p->crop);
        if (!p->system->crop_free) scale = (line - p->problem->foot_y_mm) / down;
    }
    if (scale <= 0) scale = 0.6 * p->problem->picture.drawing_tall_mm / p->problem->mark_tall_mm;
    return p->focal * p->k / scale + p->focal;
}

static double guess_height(const Proportions *p) {
    const System *system = p->system;
    if (uses(p, STATE_HEIGHT)) return system->value[STATE_HEIGHT];
    double v = image_of(p), line = system->value[STATE_HORIZON];
    bool line_known = uses(p, STATE_HORIZON);
    if (!line_known && uses(p, STATE_TILT) && !system->crop_free) {
        line = p->middle_mm + p->k * (v * tan(p->tilt) - p->crop);
        line_known = true;
    }
    if (line_known && uses(p, STATE_FOOT))
        return p->problem->mark_up_mm + (line - p->problem->foot_y_mm) * p->distance / (p->k * v);
    double height = eyes_height(p->problem);
    return p->problem->height_allowed ? between(p->problem->height_low_mm, height, p->problem->height_high_mm)
                                      : height;
}

static double guess_tilt(const Proportions *p) {
    if (tilt_known(p)) return p->tilt;
    double v = image_of(p), down = p->height - p->problem->mark_up_mm;
    if (uses(p, STATE_HORIZON))
        return atan(((p->system->value[STATE_HORIZON] - p->middle_mm) / p->k + p->crop) / v);
    if (uses(p, STATE_FOOT))
        return atan(((p->problem->foot_y_mm - p->middle_mm) / p->k + p->crop) / v) + atan(down / p->distance);
    return 0;
}

static double guess_crop(const Proportions *p) {
    if (!system_seeks(p->system, UNKNOWN_CROP_UP)) return p->crop;
    double v = image_of(p), down = p->height - p->problem->mark_up_mm;
    if (uses(p, STATE_HORIZON))
        return v * tan(p->tilt) - (p->system->value[STATE_HORIZON] - p->middle_mm) / p->k;
    if (uses(p, STATE_FOOT))
        return v * tan(p->tilt - atan(down / p->distance)) - (p->problem->foot_y_mm - p->middle_mm) / p->k;
    return 0;
}

/* Where the ray through each other puppet's foot is as deep as its drawn height wants it. */
static void guess_others(const System *system, Guess *guess) {
    Camera camera;
    const Picture *picture = &system->problem->picture;
    bool sees = system_camera(system, guess, &camera);
    for (size_t i = 0; i < system->others; i++) {
        const OtherPuppet *other = &system->problem->others[i];
        double *place = &guess->at[other_column(i)];
        place[0] = place[1] = 0;
        if (!sees) continue;
        Point3 ray = camera_ray(&camera, picture, other->foot_x_mm, other->foot_y_mm);
        double depth = picture->drawn_per_sensor * camera.image_mm * other->tall_mm / other->drawn_tall_mm;
        place[0] = camera.across_mm + depth * ray.across_mm;
        place[1] = depth * ray.back_mm - camera.distance_mm;
    }
}

/* Foot x, by the ray at the foot's depth. */
static double guess_across(const Proportions *p) {
    const Picture *picture = &p->problem->picture;
    if (uses(p, STATE_ACROSS)) return p->system->value[STATE_ACROSS];
    if (!uses(p, STATE_FOOT)) return 0;
    double right = (p->problem->foot_x_mm - picture->drawing_wide_mm / 2) / p->k + picture->crop_across_mm;
    double depth = p->distance * cos(p->tilt) + (p->height - p->problem->mark_up_mm) * sin(p->tilt);
    return -right * depth / image_of(p);
}

static Guess guess_from(Proportions *p) {
    Guess guess = {{0}};
    guess.at[UNKNOWN_LENS] = p->focal;
    guess.at[UNKNOWN_DISTANCE] = p->distance;
    guess.at[UNKNOWN_HEIGHT] = p->height;
    guess.at[UNKNOWN_TILT] = p->tilt;
    guess.at[UNKNOWN_CROP_UP] = p->crop;
    guess.at[UNKNOWN_ACROSS] = guess_across(p);
    guess_others(p->system, &guess);
    return guess;
}

/* Least squares for the horizon line and the lens's height over the ground from two or more puppets, each
 * drawn lower the nearer it is: y = line - scale (height - up). False: all are as near. */
static bool line_from_others(const Proportions *p, double *line, double *height) {
    double n = 1, s = p->scale, ss = s * s;
    double y0 = p->problem->foot_y_mm - p->scale * p->problem->mark_up_mm, y = y0, sy = s * y0;
    for (size_t i = 0; i < p->system->others; i++) {
        const OtherPuppet *other = &p->problem->others[i];
        double scale = other->drawn_tall_mm / other->tall_mm;
        double low = other->foot_y_mm - scale * other->up_mm;
        n++, s += scale, ss += scale * scale, y += low, sy += scale * low;
    }
    double spread = n * ss - s * s;
    if (!(spread > 1e-9 * n * ss)) return false;
    *height = (s * y - n * sy) / spread;
    *line = (y + *height * s) / n;
    return true;
}

static Proportions proportions_of(const System *system) {
    const CameraProblem *problem = system->problem;
    Proportions p = {.system = system,
                     .problem = problem,
                     .k = problem->picture.drawn_per_sensor,
                     .middle_mm = problem->picture.drawing_tall_mm / 2,
                     .crop = system->crop_up_mm,
                     .tilt = system->use[STATE_TILT] ? system->value[STATE_TILT] : 0};
    p.scale = guess_scale(&p);
    p.focal = guess_lens(&p);
    p.distance = guess_distance(&p);
    p.height = guess_height(&p);
    p.tilt = guess_tilt(&p);
    p.crop = guess_crop(&p);
    return p;
}

Guess system_guess(const System *system) {
    Proportions p = proportions_of(system);
    return guess_from(&p);
}

/* --- Counting (rule 15) --------------------------------------------------------------------------------- */

/* Tolerances of what is stated, by the tape, the level and the ruler; limits within which an unknown is
 * looked for. */
static const double SHARE_TOLERANCE = 0.01, PLACE_TOLERANCE_MM = 5, DRAWN_TOLERANCE_MM = 1;
static const double ACROSS_LIMIT = 0.1, DISTANCE_LIMIT = 0.2, HEIGHT_LIMIT = 0.1, LENS_LIMIT = 0.2;

typedef struct Matrix {
    double a[SVD_ROWS_MOST][SVD_COLUMNS_MOST];
    size_t rows, columns;
    double limit[COLUMNS_MOST];
} Matrix;

static void add_scaled(Matrix *matrix, const double by[COLUMNS_MOST], double tolerance) {
    assert(matrix->rows < SVD_ROWS_MOST);
    double *row = matrix->a[matrix->rows++];
    for (size_t i = 0; i < matrix->columns; i++)
        row[i] = by[i] * matrix->limit[i] / tolerance;
}

static void set_limits(Matrix *matrix, const System *system, const Guess *guess, double image_mm) {
    double distance = fabs(guess->at[UNKNOWN_DISTANCE]);
    matrix->limit[UNKNOWN_LENS] = LENS_LIMIT * guess->at[UNKNOWN_LENS];
    matrix->limit[UNKNOWN_DISTANCE] = DISTANCE_LIMIT * distance;
    matrix->limit[UNKNOWN_HEIGHT] = HEIGHT_LIMIT * distance;
    matrix->limit[UNKNOWN_ACROSS] = ACROSS_LIMIT * distance;
    matrix->limit[UNKNOWN_TILT] = system->crop_free ? 0 : RADIANS(3);
    matrix->limit[UNKNOWN_CROP_UP] = system->crop_free ? image_mm * tan(RADIANS(3)) : 0;
    for (size_t i = 0; i < system->others; i++) {
        Point3 foot = other_foot(system, guess, i);
        double off = hypot(foot.back_mm + distance, guess->at[UNKNOWN_HEIGHT] - foot.up_mm);
        matrix->limit[other_column(i)] = ACROSS_LIMIT * off;
        matrix->limit[other_column(i) + 1] = DISTANCE_LIMIT * off;
    }
}

static void add_exact(Matrix *matrix, const System *system, const Guess *guess) {
    static const double RAD_TOLERANCE = RADIANS(0.25);
    for (size_t i = 0; i < UNKNOWN_COUNT; i++) {
        double by[COLUMNS_MOST] = {0}, tolerance = PLACE_TOLERANCE_MM;
        if (i == UNKNOWN_CROP_UP ? !system->crop_held : system_seeks(system, (Unknown)i)) continue;
        if (i == UNKNOWN_LENS || i == UNKNOWN_DISTANCE) tolerance = SHARE_TOLERANCE * fabs(guess->at[i]);
        if (i == UNKNOWN_TILT) tolerance = RAD_TOLERANCE;
        if (i == UNKNOWN_CROP_UP) tolerance = DRAWN_TOLERANCE_MM / system->problem->picture.drawn_per_sensor;
        by[i] = 1;
        add_scaled(matrix, by, tolerance);
    }
}

/* The scale at depth D + back as f / (D - f) would have it: without what tilt and height do to it, which is
 * too weak to be used (rule 15). As a logarithm. */
static void add_scale(Matrix *matrix, const Guess *guess, size_t column) {
    double f = guess->at[UNKNOWN_LENS], distance = fmax(guess->at[UNKNOWN_DISTANCE], 1.05 * f);
    double by[COLUMNS_MOST] = {0};
    by[UNKNOWN_LENS] = 1 / f + 1 / (distance - f);
    by[UNKNOWN_DISTANCE] = -1 / (distance - f);
    if (column) {
        double depth = fmax(distance + guess->at[column + 1], 1.05 * f);
        by[UNKNOWN_DISTANCE] += 1 / distance - 1 / depth;
        by[column + 1] = -1 / depth;
    }
    add_scaled(matrix, by, SHARE_TOLERANCE);
}

static void add_seen(Matrix *matrix, const System *system, const View *view, const Guess *guess) {
    Jet x, y;
    if (system->use[STATE_FOOT] && project_jets(view, mark_foot(system->problem), 0, &x, &y)) {
        add_scaled(matrix, x.by, DRAWN_TOLERANCE_MM);
        add_scaled(matrix, y.by, DRAWN_TOLERANCE_MM);
    }
    if (system->use[STATE_HORIZON]) {
        Jet horizon = horizon_jet(view);
        add_scaled(matrix, horizon.by, DRAWN_TOLERANCE_MM);
    }
    for (size_t i = 0; i < system->others; i++)
        if (project_jets(view, other_foot(system, guess, i), other_column(i), &x, &y)) {
            add_scaled(matrix, x.by, DRAWN_TOLERANCE_MM);
            add_scaled(matrix, y.by, DRAWN_TOLERANCE_MM);
        }
}

size_t system_count(const System *system, const Guess *guess) {
    View view;
    Matrix matrix = {.columns = column_count(system)};
    bool sees = view_new(system, guess, &view);
    set_limits(&matrix, system, guess, sees ? view.camera.image_mm : 2 * guess->at[UNKNOWN_LENS]);
    add_exact(&matrix, system, guess);
    if (system->use[STATE_TALL]) add_scale(&matrix, guess, 0);
    if (system->use[STATE_FRAME]) add_scale(&matrix, guess, 0);
    for (size_t i = 0; i < system->others; i++)
        add_scale(&matrix, guess, other_column(i));
    if (sees) add_seen(&matrix, system, &view, guess);
    Svd svd;
    svd_new(&svd, matrix.rows, matrix.columns, (const double(*)[SVD_COLUMNS_MOST])matrix.a);
    size_t count = svd_count(&svd, 1), places = 2 * system->others;
    return count > places ? count - places : 0;
}

/* --- Least squares -------------------------------------------------------------------------------------- */

typedef struct Search {
    const System *system;
    Guess base;
    size_t columns[COLUMNS_MOST], count;
} Search;

/* Lens and distance are sought as logarithms: they cannot become negative, and far and near weigh alike. */
static bool is_logarithm(size_t column) {
    return column == UNKNOWN_LENS || column == UNKNOWN_DISTANCE;
}

static Guess guess_at(const Search *search, const double *z) {
    Guess guess = search->base;
    for (size_t i = 0; i < search->count; i++) {
        size_t column = search->columns[i];
        guess.at[column] = is_logarithm(column) ? exp(z[i]) : z[i];
    }
    return guess;
}

/* For cminpack. What is no camera is far worse than any, so that the step is taken back. */
static int evaluate(void *context, int m, int n, const double *z, double *misses, double *jacobian,
                    int stride, int flag) {
    static const double NO_CAMERA = 1e8;
    const Search *search = context;
    Guess guess = guess_at(search, z);
    Row rows[ROWS_MOST];
    size_t count;
    (void)n;
    bool sees = system_rows(search->system, &guess, rows, &count);
    if (flag == 1)
        for (int i = 0; i < m; i++)
            misses[i] = sees ? rows[i].miss : NO_CAMERA;
    if (flag != 2) return 0;
    for (size_t j = 0; j < search->count; j++) {
        size_t column = search->columns[j];
        double factor = is_logarithm(column) ? guess.at[column] : 1;
        for (int i = 0; i < m; i++)
            jacobian[(size_t)i + j * (size_t)stride] = sees ? factor * rows[i].by[column] : 0;
    }
    return 0;
}

static void least_squares(Search *search, size_t rows, double *z) {
    enum { TRIALS_MOST = 400 };
    double misses[ROWS_MOST], jacobian[ROWS_MOST * COLUMNS_MOST], diagonal[COLUMNS_MOST], qtf[COLUMNS_MOST];
    double work[3][COLUMNS_MOST], row_work[ROWS_MOST];
    int trials, jacobians, order[COLUMNS_MOST], m = (int)rows, n = (int)search->count;
    lmder(evaluate, search, m, n, z, misses, jacobian, m, 1e-16, 1e-15, 0, TRIALS_MOST, diagonal, 1, 10, 0,
          &trials, &jacobians, order, qtf, work[0], work[1], work[2], row_work);
}

/* From one start; false when that is no camera, or too little is stated. */
static bool search_from(const System *system, const Guess *start, Root *root) {
    Search search = {.system = system, .base = *start};
    Row rows[ROWS_MOST];
    size_t count;
    search.count = sought_columns(system, search.columns);
    if (!system_rows(system, start, rows, &count) || count < search.count) return false;
    double z[COLUMNS_MOST];
    for (size_t i = 0; i < search.count; i++) {
        double value = start->at[search.columns[i]];
        z[i] = is_logarithm(search.columns[i]) ? log(value) : value;
    }
    if (search.count > 0) least_squares(&search, count, z);
    *root = (Root){.guess = guess_at(&search, z)};
    if (!system_rows(system, &root->guess, rows, &count)) return false;
    for (size_t i = 0; i < count; i++) {
        root->cost += rows[i].miss * rows[i].miss;
        root->worst_mm = fmax(root->worst_mm, fabs(rows[i].miss));
    }
    return true;
}

static bool is_same(const Guess *a, const Guess *b) {
    double distance = fmax(fabs(a->at[UNKNOWN_DISTANCE]), fabs(b->at[UNKNOWN_DISTANCE]));
    return fabs(a->at[UNKNOWN_TILT] - b->at[UNKNOWN_TILT]) < 1e-4 &&
           fabs(a->at[UNKNOWN_DISTANCE] - b->at[UNKNOWN_DISTANCE]) < 1e-4 * distance &&
           fabs(a->at[UNKNOWN_HEIGHT] - b->at[UNKNOWN_HEIGHT]) < 1e-4 * distance;
}

static void try_start(const System *system, const Guess *start, Roots *roots) {
    Root root;
    if (roots->count == ROOTS_MOST || !search_from(system, start, &root)) return;
    for (size_t i = 0; i < roots->count; i++)
        if (is_same(&roots->items[i].guess, &root.guess)) {
            if (root.cost < roots->items[i].cost) roots->items[i] = root;
            return;
        }
    roots->items[roots->count++] = root;
}

/* The same line of sight to the foot from a steeper tilt: nearer, or higher, or round the mark. */
static bool steeper(const Proportions *flat, double tilt, Proportions *steep) {
    const CameraProblem *problem = flat->problem;
    bool far_free = system_seeks(flat->system, UNKNOWN_DISTANCE),
         high_free = system_seeks(flat->system, UNKNOWN_HEIGHT);
    *steep = *flat;
    steep->tilt = tilt;
    double foot = ((problem->foot_y_mm - flat->middle_mm) / flat->k + flat->crop) / image_of(flat);
    double below = tilt - (uses(flat, STATE_FOOT) ? atan(foot) : 0);
    double down = flat->height - problem->mark_up_mm, slant = hypot(flat->distance, down);
    if (below <= 0.02 || below > 1.5 || (!far_free && !high_free)) return false;
    if (far_free) steep->distance = high_free ? slant * cos(below) : down / tan(below);
    if (high_free)
        steep->height = problem->mark_up_mm + (far_free ? slant * sin(below) : flat->distance * tan(below));
    return steep->distance > 0;
}

static void try_steeper(const System *system, const Proportions *flat, Roots *roots) {
    static const double degrees[] = {25, 45, 65};
    if (!system_seeks(system, UNKNOWN_TILT)) return;
    for (size_t i = 0; i < sizeof degrees / sizeof *degrees; i++) {
        Proportions steep;
        if (!steeper(flat, RADIANS(degrees[i]), &steep)) continue;
        Guess start = guess_from(&steep);
        try_start(system, &start, roots);
    }
}

static void try_others_line(const System *system, const Proportions *flat, Roots *roots) {
    Proportions p = *flat;
    double line, height;
    if (!system->others || !system->use[STATE_FOOT] || !(p.scale > 0) ||
        !line_from_others(&p, &line, &height))
        return;
    if (system_seeks(system, UNKNOWN_HEIGHT)) p.height = height;
    if (system_seeks(system, UNKNOWN_TILT))
        p.tilt = atan(((line - p.middle_mm) / p.k + p.crop) / image_of(&p));
    if (system_seeks(system, UNKNOWN_CROP_UP))
        p.crop = image_of(&p) * tan(p.tilt) - (line - p.middle_mm) / p.k;
    Guess start = guess_from(&p);
    try_start(system, &start, roots);
}

/* Where proportions lead astray: other lenses, other heights. */
static void try_elsewhere(const System *system, const Proportions *flat, Roots *roots) {
    static const double factors[] = {0.4, 2.5};
    for (size_t i = 0; i < sizeof factors / sizeof *factors; i++) {
        Proportions p = *flat;
        if (system_seeks(system, UNKNOWN_LENS)) {
            p.focal *= factors[i];
            if (system_seeks(system, UNKNOWN_DISTANCE)) p.distance *= factors[i];
        }
        if (system_seeks(system, UNKNOWN_HEIGHT))
            p.height = p.problem->mark_up_mm + factors[i] * (p.height - p.problem->mark_up_mm);
        p.tilt = guess_tilt(&p);
        p.crop = guess_crop(&p);
        Guess start = guess_from(&p);
        try_start(system, &start, roots);
    }
}

static bool any_agrees(const System *system, const Roots *roots) {
    for (size_t i = 0; i < roots->count; i++)
        if (roots->items[i].worst_mm <= system->problem->agree_mm) return true;
    return false;
}

void system_solve(const System *system, Roots *roots) {
    Proportions flat = proportions_of(system);
    Guess start = guess_from(&flat);
    roots->count = 0;
    try_others_line(system, &flat, roots);
    try_start(system, &start, roots);
    try_steeper(system, &flat, roots);
    if (!any_agrees(system, roots)) try_elsewhere(system, &flat, roots);
}

void system_sensitivities(const System *system, const Guess *guess,
                          double per_mm[UNKNOWN_COUNT][STATEMENT_COUNT]) {
    Row rows[ROWS_MOST];
    size_t count, columns[COLUMNS_MOST], sought = sought_columns(system, columns);
    double a[SVD_ROWS_MOST][SVD_COLUMNS_MOST], scale[COLUMNS_MOST], response[SVD_COLUMNS_MOST];
    memset(per_mm, 0, sizeof(double) * UNKNOWN_COUNT * STATEMENT_COUNT);
    if (!system_rows(system, guess, rows, &count)) return;
    for (size_t j = 0; j < sought; j++) {
        double square = 0;
        for (size_t i = 0; i < count; i++)
            square += rows[i].by[columns[j]] * rows[i].by[columns[j]];
        scale[j] = square > 0 ? 1 / sqrt(square) : 1;
        for (size_t i = 0; i < count; i++)
            a[i][j] = rows[i].by[columns[j]] * scale[j];
    }
    Svd svd;
    svd_new(&svd, count, sought, (const double(*)[SVD_COLUMNS_MOST])a);
    for (size_t i = 0; i < count; i++) {
        if (rows[i].statement == STATEMENT_COUNT) continue;
        svd_response(&svd, i, response);
        for (size_t j = 0; j < sought; j++) {
            /* a foot moved sideways moves the lens across, one moved up does all else */
            if (columns[j] >= UNKNOWN_COUNT) continue;
            if (rows[i].statement == STATE_FOOT && rows[i].is_x != (columns[j] == UNKNOWN_ACROSS)) continue;
            per_mm[columns[j]][rows[i].statement] = response[j] * scale[j];
        }
    }
}
