/* Where the camera stood. What does not stand where the plan has it would pull the camera towards itself, so
 * things are left out one after the other as long as that explains more than it costs (docs/geometry.md, rule
 * 73). */
#include "photo/photo_stages.h"

#include <math.h>

/* How well a maker hits a point in a viewer; common practice, no source. It counts like four residuals that
 * were seen before. */
static const double MARK_PX = 2, MARK_FREEDOMS = 4;
/* Real lenses are off by some per cent of what is engraved (docs/geometry.md, rule 64). */
static const double FOCAL_SHARE = 0.03, RADIAL_SHARE = 0.01;
/* Leaving a thing out must explain so much: three unknowns (across, back, turn) at the usual 99 %. Here and
 * below chi squared's upper critical values, as NIST/SEMATECH e-Handbook 1.3.6.7.4 has them (from memory). */
static const double THING_COST = 11.3;
/* A single mark that is taken for mis-marked costs two unknowns. */
static const double MARK_COST = 9.2;

/* More than that is no set with some things moved, but another set, or marks that mean nothing: the search
 * for what else to leave out takes longer than it is worth. */
enum { LEFT_OUT_MOST = 8 };

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

/* Of many things only those that miss by most are tried: one of them is the worst, if any is. Without a
 * camera nobody knows how far they miss, and each trial takes long. */
enum { TRIED_MOST = 8, TRIED_BLINDLY_MOST = 16 };

/* Things that may be left out, those that miss by most before the others. */
static size_t candidates(const PhotoWork *work, const ResectResult *found, int *things) {
    const LinedPhoto *photo = work->photo;
    double off[RESECT_MARKS_MOST];
    size_t count = 0;
    for (size_t i = 0; i < photo->mark_count; i++) {
        const int thing = photo->marks[i].mark->thing;
        double most = 0;
        bool known = photo->marks[i].moved || is_held(work, thing);
        for (size_t j = 0; j < photo->mark_count; j++) {
            if (photo->marks[j].mark->thing != thing) continue;
            known |= j < i;
            most = fmax(most, found->residuals[j].off_px);
        }
        if (known) continue;
        size_t at = count++;
        for (; at > 0 && off[at - 1] < most; at--) {
            off[at] = off[at - 1];
            things[at] = things[at - 1];
        }
        off[at] = most;
        things[at] = thing;
    }
    const size_t most = found->status == RESECTED ? TRIED_MOST : TRIED_BLINDLY_MOST;
    return count < most ? count : most;
}

/* The thing without which the rest fits best, or -1. */
static int worst_thing(const PhotoWork *work, const ResectResult *found, ResectResult *best,
                       double *best_cost) {
    int things[RESECT_MARKS_MOST], worst = -1;
    const size_t count = candidates(work, found, things);
    for (size_t i = 0; i < count; i++) {
        ResectResult without;
        if (!photo_solve_without(work, things[i], &without)) continue;
        const double cost = cost_of(&without, work->photo->mark_count);
        if (!(cost < *best_cost)) continue;
        *best_cost = cost;
        *best = without;
        worst = things[i];
    }
    return worst;
}

/* --- the camera ---------------------------------------------------------------------------------------- */

double photo_try(const PhotoWork *work, ResectResult *found) {
    ResectMark marks[RESECT_MARKS_MOST];
    const ResectProblem problem = problem_of(work, marks);
    resect(&problem, found);
    return cost_of(found, work->photo->mark_count);
}

static bool explains_all(const ResectResult *result, size_t count) {
    return cost_of(result, count) <= MARK_COST; /* nothing to explain */
}

static void set_moved(LinedPhoto *photo, int thing, bool moved) {
    for (size_t i = 0; i < photo->mark_count; i++) {
        if (photo->marks[i].mark->thing == thing) photo->marks[i].moved = moved;
    }
}

/* What was left out before the worst was may fit now: one such thing takes part again. */
static bool take_back(const PhotoWork *work, ResectResult *found) {
    LinedPhoto *photo = work->photo;
    ResectMark marks[RESECT_MARKS_MOST];
    for (size_t i = 0; i < photo->mark_count; i++) {
        const int thing = photo->marks[i].mark->thing;
        bool tried = !photo->marks[i].moved;
        for (size_t j = 0; j < i; j++)
            tried |= photo->marks[j].mark->thing == thing;
        if (tried) continue;
        ResectResult with;
        set_moved(photo, thing, false);
        const ResectProblem problem = problem_of(work, marks);
        resect(&problem, &with);
        if (cost_of(&with, photo->mark_count) < cost_of(found, photo->mark_count) + THING_COST) {
            *found = with;
            return true;
        }
        set_moved(photo, thing, true);
    }
    return false;
}

double photo_seek(const PhotoWork *work, ResectResult *found) {
    LinedPhoto *photo = work->photo;
    const size_t count = photo->mark_count;
    ResectMark marks[RESECT_MARKS_MOST];
    const ResectProblem problem = problem_of(work, marks);
    size_t left_out = 0;
    resect(&problem, found);
    while (left_out < LEFT_OUT_MOST && !explains_all(found, count)) {
        ResectResult without;
        const double now = cost_of(found, count);
        double best = isfinite(now) ? now - THING_COST : INFINITY;
        const int thing = worst_thing(work, found, &without, &best);
        if (thing < 0) break;
        set_moved(photo, thing, true);
        *found = without;
        left_out++;
    }
    while (left_out > 0 && take_back(work, found))
        left_out--;
    return cost_of(found, count) + THING_COST * (double)left_out;
}

bool photo_solve(const PhotoWork *work) {
    ResectResult *found = ARENA_NEW(work->arena, ResectResult);
    const double cost = photo_seek(work, found);
    work->photo->found = found;
    return photo_trust(work, found, cost);
}
