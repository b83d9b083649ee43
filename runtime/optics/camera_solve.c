#include "optics/camera_solve.h"

#include "base/number.h"
#include "optics/camera_system.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* --- Statements, and defaults one at a time (rule 16) --------------------------------------------------- */

/* What is known so far: stated and assumed. */
typedef struct Known {
    System system;
    bool assumed[UNKNOWN_COUNT];
    Guess guess;
    size_t count; /* of the five unknowns */
} Known;

static void recount(Known *known) {
    known->guess = system_guess(&known->system);
    known->count = system_count(&known->system, &known->guess);
}

static bool is_settled(const Known *known) {
    return known->count == CAMERA_UNKNOWNS;
}

/* How the crop is to be taken: as the picture has it, sought, or stopped at the sensor's edge. */
typedef enum CropMode { CROP_GIVEN, CROP_SOUGHT, CROP_STOPPED } CropMode;

static Known known_new(const CameraProblem *problem, CropMode crop, double crop_up_mm) {
    Known known = {
        .system = {.problem = problem, .crop_free = crop == CROP_SOUGHT, .crop_up_mm = crop_up_mm}};
    memcpy(known.system.use, problem->stated, sizeof known.system.use);
    memcpy(known.system.value, problem->value, sizeof known.system.value);
    known.assumed[UNKNOWN_TILT] = known.system.crop_free && !problem->stated[STATE_TILT];
    if (known.assumed[UNKNOWN_TILT]) known.system.value[STATE_TILT] = 0;
    recount(&known);
    return known;
}

/* Keeps `with` when it tells more than what is known. */
static bool keep_if_more(Known *known, Known *with) {
    recount(with);
    if (with->count <= known->count) return false;
    *known = *with;
    return true;
}

static void assume(Known *known, Unknown unknown, Statement statement, double value) {
    if (is_settled(known) || known->system.use[statement]) return;
    Known with = *known;
    with.system.use[statement] = true;
    with.system.value[statement] = value;
    with.assumed[unknown] = true;
    keep_if_more(known, &with);
}

static void assume_crop(Known *known) {
    if (is_settled(known)) return;
    Known with = *known;
    with.system.crop_held = true;
    with.system.crop_up_mm = 0;
    with.assumed[UNKNOWN_CROP_UP] = true;
    keep_if_more(known, &with);
}

/* The fewest that tell as much as all do. */
static void join_others(Known *known) {
    size_t most = known->system.problem->other_count;
    if (most > OTHERS_MOST) most = OTHERS_MOST;
    for (size_t count = 1; count <= most && !is_settled(known); count++) {
        Known with = *known;
        with.system.others = count;
        keep_if_more(known, &with);
    }
}

static int look_facts(const System *system) {
    bool line =
        system->use[STATE_HORIZON] || system->crop_held || (system->use[STATE_TILT] && !system->crop_free);
    return system->use[STATE_HEIGHT] + line + system->use[STATE_FOOT];
}

static int size_facts(const System *system) {
    return system->use[STATE_LENS] + system->use[STATE_DISTANCE] +
           (system->use[STATE_TALL] || system->use[STATE_FRAME]);
}

static double default_height(const CameraProblem *problem) {
    double height = problem->mark_up_mm + problem->mark_eyes_mm;
    if (!problem->height_allowed) return height;
    return fmin(fmax(height, problem->height_low_mm), problem->height_high_mm);
}

static double default_lens(const CameraProblem *problem) {
    double middle = sqrt(problem->lens_low_mm * problem->lens_high_mm), best = middle;
    for (size_t i = 0; i < problem->prime_count; i++)
        if (i == 0 || fabs(problem->primes_mm[i] - middle) < fabs(best - middle))
            best = problem->primes_mm[i];
    return best;
}

static void assume_defaults(Known *known) {
    const System *system = &known->system;
    const CameraProblem *problem = system->problem;
    if (!system->use[STATE_FOOT]) assume(known, UNKNOWN_ACROSS, STATE_ACROSS, 0);
    if (look_facts(system) < 2) assume(known, UNKNOWN_HEIGHT, STATE_HEIGHT, default_height(problem));
    if (look_facts(system) < 2) {
        if (system->crop_free)
            assume_crop(known);
        else if (!system->use[STATE_HORIZON] && !problem->crop_up_free)
            assume(known, UNKNOWN_TILT, STATE_TILT, 0);
    }
    if (size_facts(system) < 2 && problem->lens_allowed)
        assume(known, UNKNOWN_LENS, STATE_LENS, default_lens(problem));
}

static Known settle(const CameraProblem *problem, CropMode crop, double crop_up_mm, bool join) {
    Known known = known_new(problem, crop, crop_up_mm);
    if (join) join_others(&known);
    assume_defaults(&known);
    return known;
}

/* --- Which camera (rules 19 and 20) --------------------------------------------------------------------- */

static const double STEEPEST_RAD = RADIANS(75), TWIN_STEEPEST_RAD = RADIANS(60), LOWEST_MM = 1;

static CameraImpossible impossible_at(double distance_mm, double height_mm, double tilt_rad, double *value) {
    if (!(distance_mm > 0)) return *value = distance_mm, IMPOSSIBLE_BEHIND_MARK;
    if (!(height_mm > LOWEST_MM)) return *value = height_mm, IMPOSSIBLE_UNDER_GROUND;
    if (!(fabs(tilt_rad) <= STEEPEST_RAD)) return *value = tilt_rad, IMPOSSIBLE_STEEP;
    return *value = 0, IMPOSSIBLE_NONE;
}

static CameraImpossible impossible_guess(const Guess *guess, double *value) {
    return impossible_at(guess->at[UNKNOWN_DISTANCE], guess->at[UNKNOWN_HEIGHT], guess->at[UNKNOWN_TILT],
                         value);
}

/* What is impossible by itself, before anything is solved. */
static CameraImpossible impossible_stated(const CameraProblem *problem, double *value) {
    return impossible_at(problem->stated[STATE_DISTANCE] ? problem->value[STATE_DISTANCE] : 1,
                         problem->stated[STATE_HEIGHT] ? problem->value[STATE_HEIGHT] : 2 * LOWEST_MM,
                         problem->stated[STATE_TILT] ? problem->value[STATE_TILT] : 0, value);
}

static bool is_possible(const Root *root) {
    double value;
    return impossible_guess(&root->guess, &value) == IMPOSSIBLE_NONE;
}

/* Agreeing before apart, possible before impossible, then the better fit; of two that fit alike the flatter.
 */
static bool is_better(const CameraProblem *problem, const Root *a, const Root *b) {
    static const double ALIKE_MM2 = 1e-6;
    bool a_agrees = a->worst_mm <= problem->agree_mm, b_agrees = b->worst_mm <= problem->agree_mm;
    if (a_agrees != b_agrees) return a_agrees;
    if (is_possible(a) != is_possible(b)) return is_possible(a);
    if (fabs(a->cost - b->cost) > ALIKE_MM2) return a->cost < b->cost;
    return fabs(a->guess.at[UNKNOWN_TILT]) < fabs(b->guess.at[UNKNOWN_TILT]);
}

static const Root *best_root(const CameraProblem *problem, const Roots *roots) {
    const Root *best = NULL;
    for (size_t i = 0; i < roots->count; i++)
        if (!best || is_better(problem, &roots->items[i], best)) best = &roots->items[i];
    return best;
}

static bool has_twin(const CameraProblem *problem, const Roots *roots, const Root *best) {
    for (size_t i = 0; i < roots->count; i++) {
        const Root *other = &roots->items[i];
        double tilt = fabs(other->guess.at[UNKNOWN_TILT]);
        if (other != best && other->worst_mm <= problem->agree_mm && is_possible(other) &&
            tilt < TWIN_STEEPEST_RAD)
            return true;
    }
    return false;
}

/* --- Contradiction (rule 18) ---------------------------------------------------------------------------- */

/* Solves what is left without one statement; false when it is too little, at odds, or no camera. */
static bool solve_without(const Known *known, Statement left_out, Camera *camera) {
    const CameraProblem *problem = known->system.problem;
    Known rest = *known;
    rest.system.use[left_out] = false;
    recount(&rest);
    if (!is_settled(&rest)) return false;
    Roots roots;
    system_solve(&rest.system, &roots);
    const Root *root = best_root(problem, &roots);
    return root && root->worst_mm <= problem->agree_mm && is_possible(root) &&
           system_camera(&rest.system, &root->guess, camera);
}

static bool is_size(Statement statement) {
    return statement == STATE_LENS || statement == STATE_DISTANCE || statement == STATE_HEIGHT ||
           statement == STATE_FRAME || statement == STATE_TALL;
}

static void add_cure(const Known *known, Statement statement, CameraSolution *solution) {
    static const double SIZE_LEAST = 0.01;
    Camera camera;
    CameraCure cure = {.statement = statement};
    if (!solve_without(known, statement, &camera)) return;
    if (!statement_of_camera(known->system.problem, &camera, statement, &cure.agrees, &cure.agrees_x)) return;
    if (is_size(statement) && cure.agrees <= SIZE_LEAST * known->system.value[statement]) return;
    solution->cures[solution->cure_count++] = cure;
}

/* In mm on the drawing; a frame as its width is drawn. */
static double apart_mm(const CameraProblem *problem, Statement statement, double value, double x_mm) {
    const Picture *picture = &problem->picture;
    if (statement == STATE_FOOT) return hypot(value - problem->foot_y_mm, x_mm - problem->foot_x_mm);
    double apart = fabs(value - problem->value[statement]);
    if (statement != STATE_FRAME) return apart;
    return apart / problem->value[STATE_FRAME] * picture->drawn_per_sensor * picture->taken_wide_mm;
}

static bool show(const CameraProblem *problem, Statement statement, double value, double x_mm,
                 CameraSolution *solution) {
    solution->shown = statement;
    solution->shown_agrees = value;
    solution->shown_agrees_x = x_mm;
    solution->apart_mm = apart_mm(problem, statement, value, x_mm);
    return true;
}

static bool show_cure(const CameraProblem *problem, CameraSolution *solution) {
    static const Statement order[] = {STATE_TALL, STATE_FOOT, STATE_HORIZON, STATE_FRAME};
    for (size_t i = 0; i < sizeof order / sizeof *order; i++)
        for (size_t j = 0; j < solution->cure_count; j++) {
            const CameraCure *cure = &solution->cures[j];
            if (cure->statement == order[i])
                return show(problem, cure->statement, cure->agrees, cure->agrees_x, solution);
        }
    return false;
}

/* Where nothing drawn is a cure: the drawn statement that the nearest camera misses by most. */
static void show_worst(const Known *known, const Root *root, CameraSolution *solution) {
    const CameraProblem *problem = known->system.problem;
    Camera camera;
    if (!system_camera(&known->system, &root->guess, &camera)) return;
    double most = -1;
    for (Statement s = STATE_HORIZON; s < STATEMENT_COUNT; s++) {
        double value, x = 0;
        if (!problem->stated[s] || !statement_of_camera(problem, &camera, s, &value, &x)) continue;
        double apart = apart_mm(problem, s, value, x);
        if (apart <= most) continue;
        most = apart;
        show(problem, s, value, x, solution);
    }
}

static void contradict(const Known *known, const Root *root, CameraSolution *solution) {
    const CameraProblem *problem = known->system.problem;
    solution->status = CAMERA_CONTRADICTION;
    for (Statement s = 0; s < STATEMENT_COUNT; s++)
        if (problem->stated[s]) add_cure(known, s, solution);
    if (!show_cure(problem, solution)) show_worst(known, root, solution);
}

/* --- Too little (rule 17) ------------------------------------------------------------------------------- */

static bool tells_more(const Known *known, Statement statement, Known *with) {
    *with = *known;
    with->system.use[statement] = true;
    with->system.value[statement] = known->guess.at[statement]; /* the first five are the unknowns */
    with->count = system_count(&with->system, &known->guess);
    return with->count > known->count;
}

/* Tilt and height hang on the lens on a drawing: they are open only where they would be with the lens known.
 */
static void find_open(const Known *known, bool open[UNKNOWN_COUNT]) {
    Known with_lens, with;
    open[UNKNOWN_LENS] = tells_more(known, STATE_LENS, &with_lens);
    open[UNKNOWN_DISTANCE] = tells_more(known, STATE_DISTANCE, &with);
    if (!open[UNKNOWN_LENS]) with_lens = *known;
    open[UNKNOWN_HEIGHT] = tells_more(&with_lens, STATE_HEIGHT, &with);
    open[UNKNOWN_ACROSS] = tells_more(&with_lens, STATE_ACROSS, &with);
    if (!known->system.crop_free) open[UNKNOWN_TILT] = tells_more(&with_lens, STATE_TILT, &with);
}

/* Rule 15 by facts alone, without the lens from a tilt: too weak to be asked for. */
static bool facts_settle(const Known *known) {
    const System *system = &known->system;
    int size = size_facts(system), look = look_facts(system);
    if (size >= 2 && (look >= 2 || known->system.others > 0)) return true;
    return look == 3 &&
           (system->use[STATE_LENS] || (system->use[STATE_DISTANCE] && system->use[STATE_HORIZON]));
}

/* A value for a statement that is not there, as the guessed camera has it: only to count with. */
static void state_as_guessed(CameraProblem *problem, const Known *known, Statement statement) {
    Camera camera;
    system_camera(&known->system, &known->guess, &camera);
    if (!(camera.image_mm > 0)) camera.image_mm = camera.focal_mm;
    double value = 0, x = 0;
    statement_of_camera(problem, &camera, statement, &value, &x);
    problem->stated[statement] = true;
    problem->value[statement] = value;
    if (statement != STATE_FOOT) return;
    problem->foot_x_mm = x;
    problem->foot_y_mm = value;
}

static bool would_settle(const Known *known, CropMode crop, const Statement *more, size_t count) {
    CameraProblem problem = *known->system.problem;
    for (size_t i = 0; i < count; i++)
        state_as_guessed(&problem, known, more[i]);
    Known with = settle(&problem, crop, known->system.crop_up_mm, true);
    return is_settled(&with) && facts_settle(&with);
}

static void find_pairs(const Known *known, CropMode crop, CameraSolution *solution) {
    const bool *stated = known->system.problem->stated;
    for (Statement first = 0; first < STATEMENT_COUNT; first++)
        for (Statement second = first + 1; second < STATEMENT_COUNT; second++) {
            Statement pair[] = {first, second};
            if (stated[first] || stated[second] || !would_settle(known, crop, pair, 2)) continue;
            solution->pairs[solution->pair_count].first = first;
            solution->pairs[solution->pair_count++].second = second;
        }
}

static void ask_for_more(const Known *known, CropMode crop, CameraSolution *solution) {
    const bool *stated = known->system.problem->stated;
    bool any = false;
    solution->status = CAMERA_TOO_LITTLE;
    find_open(known, solution->open);
    for (Statement s = 0; s < STATEMENT_COUNT; s++) {
        solution->completes[s] = !stated[s] && would_settle(known, crop, &s, 1);
        any |= solution->completes[s];
    }
    if (!any) find_pairs(known, crop, solution);
}

/* --- The outcome ---------------------------------------------------------------------------------------- */

static void say_impossible(CameraImpossible impossible, double value, CameraSolution *solution) {
    solution->status = CAMERA_IMPOSSIBLE;
    solution->impossible = impossible;
    solution->impossible_value = value;
}

/* No start was a camera at all: mostly one that cannot focus so near. */
static void say_no_start(const Known *known, CameraSolution *solution) {
    Camera camera;
    double value;
    CameraImpossible impossible = impossible_guess(&known->guess, &value);
    if (impossible != IMPOSSIBLE_NONE)
        say_impossible(impossible, value, solution);
    else if (!system_camera(&known->system, &known->guess, &camera))
        say_impossible(IMPOSSIBLE_TOO_NEAR, camera.object_mm, solution);
    else
        say_impossible(IMPOSSIBLE_NO_ROOT, 0, solution);
}

static bool is_redundant(const Known *known, const Root *root) {
    Row rows[ROWS_MOST];
    size_t count, sought = 2 * known->system.others;
    for (Unknown u = 0; u < UNKNOWN_COUNT; u++)
        sought += system_seeks(&known->system, u);
    return system_rows(&known->system, &root->guess, rows, &count) && count > sought;
}

static void say_apart(const Known *known, const Root *root, CameraSolution *solution) {
    double value;
    CameraImpossible impossible = impossible_guess(&root->guess, &value);
    if (is_redundant(known, root)) contradict(known, root, solution);
    if (solution->cure_count > 0) return;
    if (impossible != IMPOSSIBLE_NONE)
        say_impossible(impossible, value, solution);
    else if (solution->status != CAMERA_CONTRADICTION)
        say_impossible(IMPOSSIBLE_NO_ROOT, 0, solution);
}

static void fill_residuals(const Known *known, const Root *root, CameraSolution *solution) {
    Row rows[ROWS_MOST];
    size_t count;
    if (!system_rows(&known->system, &root->guess, rows, &count)) return;
    for (size_t i = 0; i < count; i++) {
        if (rows[i].statement == STATEMENT_COUNT) continue;
        if (rows[i].is_x)
            solution->residual_x_mm = rows[i].miss;
        else
            solution->residual_mm[rows[i].statement] = rows[i].miss;
    }
}

static void say_solved(const Known *known, const Roots *roots, const Root *root, CameraSolution *solution) {
    solution->status = CAMERA_SOLVED;
    bool focused = system_camera(&known->system, &root->guess, &solution->camera);
    assert(focused);
    (void)focused;
    solution->steep_twin = has_twin(known->system.problem, roots, root);
    fill_residuals(known, root, solution);
    system_sensitivities(&known->system, &root->guess, solution->per_mm);
}

/* A lens and a distance that are stated, but not for each other: said before anything is asked for. */
static bool is_too_near(const Known *known, double *object_mm) {
    Camera camera;
    if (!known->system.use[STATE_LENS] || !known->system.use[STATE_DISTANCE]) return false;
    if (system_camera(&known->system, &known->guess, &camera)) return false;
    *object_mm = camera.object_mm;
    return true;
}

static void solve_known(const Known *known, CropMode crop, CameraSolution *solution) {
    const CameraProblem *problem = known->system.problem;
    double value;
    *solution = (CameraSolution){.others_used = known->system.others};
    memcpy(solution->assumed, known->assumed, sizeof solution->assumed);
    if (is_too_near(known, &value)) {
        say_impossible(IMPOSSIBLE_TOO_NEAR, value, solution);
        return;
    }
    if (!is_settled(known)) {
        ask_for_more(known, crop, solution);
        return;
    }
    Roots roots;
    system_solve(&known->system, &roots);
    const Root *root = best_root(problem, &roots);
    if (!root)
        say_no_start(known, solution);
    else if (root->worst_mm > problem->agree_mm)
        say_apart(known, root, solution);
    else if (impossible_guess(&root->guess, &value) != IMPOSSIBLE_NONE)
        say_impossible(impossible_guess(&root->guess, &value), value, solution);
    else
        say_solved(known, &roots, root, solution);
}

/* Other puppets settle a camera if they can; where no camera fits them they are left to be checked. */
static void solve_with_crop(const CameraProblem *problem, CropMode crop, double crop_up_mm,
                            CameraSolution *solution) {
    Known known = settle(problem, crop, crop_up_mm, true);
    solve_known(&known, crop, solution);
    if (known.system.others == 0 || solution->status == CAMERA_SOLVED) return;
    known = settle(problem, crop, crop_up_mm, false);
    solve_known(&known, crop, solution);
}

void camera_solve(const CameraProblem *problem, CameraSolution *solution) {
    double value;
    *solution = (CameraSolution){0};
    CameraImpossible impossible = impossible_stated(problem, &value);
    if (impossible != IMPOSSIBLE_NONE) {
        say_impossible(impossible, value, solution);
        return;
    }
    if (!problem->crop_up_free) {
        solve_with_crop(problem, CROP_GIVEN, problem->picture.crop_up_mm, solution);
        return;
    }
    solve_with_crop(problem, CROP_SOUGHT, 0, solution);
    double most = picture_crop_up_most_mm(&problem->picture), crop = solution->camera.crop_up_mm;
    if (solution->status != CAMERA_SOLVED || fabs(crop) <= most) return;
    solve_with_crop(problem, CROP_STOPPED, copysign(most, crop), solution);
}
