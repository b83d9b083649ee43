/* Where the camera stood. What does not stand where the plan has it would pull the camera towards itself, so
 * things are left out one after the other as long as that explains more than it costs (docs/geometry.md, rule
 * 73). */
#include "base/text.h"
#include "photo/photo_stages.h"
#include "plan/plan_warnings.h"

#include <math.h>

/* How well a maker hits a point in a viewer; common practice, no source. It counts like four residuals that
 * were seen before. */
static const double MARK_PX = 2, MARK_FREEDOMS = 4;
/* Real lenses are off by some per cent of what is engraved (docs/geometry.md, rule 64). */
static const double FOCAL_SHARE = 0.03, RADIAL_SHARE = 0.01;
/* Leaving a thing out must explain so much: three unknowns (across, back, turn) at the usual 99 %. */
static const double THING_COST = 11.3;
/* A single mark that is taken for mis-marked costs two. */
static const double MARK_COST = 9.2;

bool photo_is_fixed(const Plan *plan, int thing) {
    if (thing < 0) return true;
    const ThingRole role = plan->scene->things[thing].role;
    return role == ROLE_GROUND || role == ROLE_BASE;
}

static ResectProblem problem_of(const PhotoWork *work, ResectMark *marks) {
    const LinedPhoto *photo = work->photo;
    for (size_t i = 0; i < photo->mark_count; i++) {
        const LinedMark *mark = &photo->marks[i];
        marks[i] =
            (ResectMark){.at = mark->at, .x_px = mark->x_px, .y_px = mark->y_px, .held_out = mark->moved};
    }
    return (ResectProblem){.photo = photo->image,
                           .marks = marks,
                           .count = photo->mark_count,
                           .sigma_px = MARK_PX,
                           .sigma_freedoms = MARK_FREEDOMS,
                           .focal_mm = photo->focal_mm,
                           .focal_sigma = FOCAL_SHARE,
                           .has_focus = true,
                           .focus = work->shot->focus,
                           .radial_sigma = RADIAL_SHARE,
                           .has_start = true,
                           .start = photo->planned,
                           .above_ground = true};
}

/* How badly the marks fit that take part: squares in sigmas, and what was left out. */
static double cost_of(const ResectResult *result, size_t count) {
    if (result->status != RESECTED) return INFINITY;
    double cost = MARK_COST * (double)result->mismarked_count;
    for (size_t i = 0; i < count; i++) {
        const double off = result->residuals[i].off_px / MARK_PX;
        if (result->residuals[i].used) cost += off * off;
    }
    return cost;
}

static void hold_out(const LinedPhoto *photo, ResectMark *marks, int thing) {
    for (size_t i = 0; i < photo->mark_count; i++) {
        if (photo->marks[i].mark->thing == thing) marks[i].held_out = true;
    }
}

bool photo_solve_without(const PhotoWork *work, int thing, ResectResult *result) {
    ResectMark marks[RESECT_MARKS_MOST];
    const ResectProblem problem = problem_of(work, marks);
    hold_out(work->photo, marks, thing);
    resect(&problem, result);
    return result->status == RESECTED;
}

/* The leading thing is the mark, unless enough else tells where the set is. */
static bool is_held(const PhotoWork *work, int thing) {
    enum { ENOUGH = 3 };
    const LinedPhoto *photo = work->photo;
    int fixed = 0;
    if (thing != work->shot->lead) return photo_is_fixed(work->plan, thing);
    for (size_t i = 0; i < photo->mark_count; i++)
        fixed += photo_is_fixed(work->plan, photo->marks[i].mark->thing);
    return fixed < ENOUGH;
}

/* The thing without which the rest fits best, or -1. */
static int worst_thing(const PhotoWork *work, ResectResult *best, double *best_cost) {
    const LinedPhoto *photo = work->photo;
    int worst = -1;
    for (size_t i = 0; i < photo->mark_count; i++) {
        const int thing = photo->marks[i].mark->thing;
        bool tried = photo->marks[i].moved || is_held(work, thing);
        for (size_t j = 0; j < i; j++)
            tried |= photo->marks[j].mark->thing == thing;
        if (tried) continue;
        ResectResult without;
        if (!photo_solve_without(work, thing, &without)) continue;
        const double cost = cost_of(&without, photo->mark_count);
        if (!(cost < *best_cost)) continue;
        *best_cost = cost;
        *best = without;
        worst = thing;
    }
    return worst;
}

/* --- why not ------------------------------------------------------------------------------------------- */

static void say_undetermined(const PhotoWork *work, const ResectResult *result) {
    static const char *const names[RESECT_UNKNOWN_COUNT] = {[RESECT_ACROSS] =
                                                                "how far right or left it stood",
                                                            [RESECT_BACK] = "how far away it stood",
                                                            [RESECT_UP] = "how high it stood",
                                                            [RESECT_TURN] = "its turn",
                                                            [RESECT_TILT] = "its tilt",
                                                            [RESECT_ROLL] = "its roll",
                                                            [RESECT_FOCAL] = "its focal length",
                                                            [RESECT_RADIAL] = "its bending"};
    Buffer list = buffer_new(work->arena);
    for (int i = 0; i < RESECT_UNKNOWN_COUNT; i++) {
        if (result->undetermined[i]) buffer_format(&list, "%s%s", list.count > 0 ? ", " : "", names[i]);
    }
    Diagnostic *d = diagnostics_error(work->diagnostics, work->photo->photo->span,
                                      "the marks do not tell where the camera stood: %s", buffer_text(&list));
    diagnostic_help(work->diagnostics, d, "mark more points, farther apart, near and far, low and high");
}

static void say_refused(const PhotoWork *work, const ResectResult *result) {
    Diagnostics *list = work->diagnostics;
    const Span span = work->photo->photo->span;
    const bool unknown = work->photo->focal_from == FOCAL_SOUGHT;
    Diagnostic *d = NULL;
    switch (result->status) {
    case RESECTED:
        return;
    case RESECT_TOO_FEW:
        d = diagnostics_error(list, span, "%d marks are too few to tell where the camera stood",
                              (int)result->count_used);
        diagnostic_help(list, d,
                        unknown ? "mark at least %d points, or give the `lens`" : "mark at least %d points",
                        (int)result->count_needed);
        return;
    case RESECT_ON_ONE_LINE:
        d = diagnostics_error(list, span, "all points that are marked lie on one line of the set");
        diagnostic_help(list, d, "mark a point that is not on it, such as a corner of the base");
        return;
    case RESECT_FLAT_ON:
        d = diagnostics_error(list, span,
                              "all points lie in one plane that is seen square-on: near with a short lens "
                              "looks like far with a long one");
        diagnostic_help(list, d, "give the `lens`, or mark a point that is not in that plane");
        return;
    case RESECT_UNDETERMINED:
        say_undetermined(work, result);
        return;
    case RESECT_MIRRORED:
        d = diagnostics_error(list, span, "the marks fit a mirrored photograph only");
        diagnostic_help(list, d, "left and right are as the camera sees them, not as the puppet does");
        return;
    case RESECT_NO_CAMERA:
        d = diagnostics_error(list, span,
                              "no camera in front of the set sees the points where they are marked");
        diagnostic_help(
            list, d, "look whether names are mistaken; pixels count from the photograph's upper left corner");
        return;
    }
}

/* --- what does not belong ------------------------------------------------------------------------------- */

/* Whether nothing else tells of the thing. */
static bool is_only_mark(const LinedPhoto *photo, size_t index) {
    for (size_t i = 0; i < photo->mark_count; i++) {
        if (i != index && photo->marks[i].mark->thing == photo->marks[index].mark->thing) return false;
    }
    return true;
}

static void warn(const PhotoWork *work, const LinedMark *mark, const char *help, const char *message) {
    const int thing = mark->mark->thing;
    const char *name = thing >= 0 ? work->plan->scene->things[thing].name : "mark";
    plan_add_warning(work->plan, work->diagnostics, "mis-marked", name, mark->mark->span, help, message);
}

static void say_mismarked(const PhotoWork *work, size_t index) {
    const LinedMark *mark = &work->photo->marks[index];
    const int thing = mark->mark->thing;
    const bool may_be_moved =
        thing >= 0 && !photo_is_fixed(work->plan, thing) && is_only_mark(work->photo, index);
    const double off_px = work->photo->found->residuals[index].off_px;
    const char *help =
        may_be_moved
            ? arena_format(work->arena,
                           "look at it again; if it is right, `%s` stands elsewhere: mark more of it",
                           work->plan->scene->things[thing].name)
            : "it was left out: look at it again";
    const char *message =
        isfinite(off_px)
            ? arena_format(work->arena, "in photograph `%s`, `%s` is marked %s px from where it must be",
                           work->photo->photo->name, mark->mark->name, number_short(work->arena, off_px, 0))
            : arena_format(work->arena, "in photograph `%s`, `%s` would be behind the camera",
                           work->photo->photo->name, mark->mark->name);
    warn(work, mark, help, message);
}

static void say_unclear(const PhotoWork *work) {
    const ResectResult *found = work->photo->found;
    for (size_t i = 0; i < work->photo->mark_count; i++) {
        const LinedMark *mark = &work->photo->marks[i];
        if (!found->residuals[i].suspect) continue;
        warn(work, mark, arena_format(work->arena, "mark two points more; it may be `%s`", mark->mark->name),
             arena_format(
                 work->arena,
                 "the marks in photograph `%s` do not agree, and there are too few to tell which is wrong",
                 work->photo->photo->name));
        return;
    }
}

static void say_what_does_not_belong(const PhotoWork *work) {
    const ResectResult *found = work->photo->found;
    for (size_t i = 0; i < found->mismarked_count; i++)
        say_mismarked(work, found->mismarked[i]);
    if (found->mismark_unclear) say_unclear(work);
}

static bool hits_of(const ResectResult *result, size_t count) {
    return cost_of(result, count) <= MARK_COST; /* nothing to explain */
}

bool photo_solve(const PhotoWork *work) {
    LinedPhoto *photo = work->photo;
    ResectMark marks[RESECT_MARKS_MOST];
    ResectResult *found = ARENA_NEW(work->arena, ResectResult);
    const ResectProblem problem = problem_of(work, marks);
    resect(&problem, found);
    for (size_t rounds = 0; rounds < photo->mark_count && !hits_of(found, photo->mark_count); rounds++) {
        ResectResult without;
        const double now = cost_of(found, photo->mark_count);
        double best = isfinite(now) ? now - THING_COST : INFINITY;
        const int thing = worst_thing(work, &without, &best);
        if (thing < 0) break;
        for (size_t i = 0; i < photo->mark_count; i++)
            photo->marks[i].moved |= photo->marks[i].mark->thing == thing;
        *found = without;
    }
    photo->found = found;
    if (found->status != RESECTED) {
        say_refused(work, found);
        return false;
    }
    say_what_does_not_belong(work);
    return true;
}
