/* What a thing's own marks tell of it: where it stands, how it is turned, how tall it is; and where the
 * drawing wants it. docs/geometry.md, rules 70 and 73. */
#include "base/text.h"
#include "photo/photo_stages.h"
#include "plan/plan_warnings.h"

#include <math.h>
#include <string.h>

typedef struct ThingMarks {
    size_t feet[RESECT_MARKS_MOST], foot_count;
    size_t tops[RESECT_MARKS_MOST], top_count;
} ThingMarks;

static ThingMarks marks_of(const PhotoWork *work, int thing) {
    const LinedPhoto *photo = work->photo;
    const PlanThing *built = &work->plan->things[thing];
    ThingMarks marks = {0};
    for (size_t i = 0; i < photo->mark_count; i++) {
        const LinedMark *mark = &photo->marks[i];
        if (mark->mark->thing != thing) continue;
        if (fabs(mark->at.up_mm - built->foot_mm) < 1e-6)
            marks.feet[marks.foot_count++] = i;
        else
            marks.tops[marks.top_count++] = i;
    }
    return marks;
}

static PixelMark pixel_of(const LinedMark *mark) {
    return (PixelMark){.x_px = mark->x_px, .y_px = mark->y_px};
}

/* --- where it stands ----------------------------------------------------------------------------------- */

/* Its place is the mean of what its points say, each by its own way from the plan; they share the camera's
 * uncertainty, so the mean is taken for no surer than one of them. */
static bool place_by(const PhotoWork *work, const ResectResult *camera, const size_t *marks, size_t count,
                     LinedThing *lined) {
    const PlanThing *built = &work->plan->things[lined->thing];
    double across = 0, back = 0;
    size_t placed = 0;
    for (size_t i = 0; i < count; i++) {
        const LinedMark *mark = &work->photo->marks[marks[i]];
        const PixelMark pixel = pixel_of(mark);
        SetPlace place;
        if (!resected_on_level(camera, &work->photo->image, &pixel, mark->at.up_mm, &place)) continue;
        across += place.at.across_mm - mark->at.across_mm;
        back += place.at.back_mm - mark->at.back_mm;
        if (placed == 0 || place.first.sigma > lined->across.sigma) lined->across = place.first;
        if (placed == 0 || place.second.sigma > lined->back.sigma) lined->back = place.second;
        placed++;
    }
    if (placed == 0) return false;
    lined->placed = true;
    lined->now = built->at;
    lined->now.across_mm += across / (double)placed;
    lined->now.back_mm += back / (double)placed;
    return true;
}

/* The upper points of a thing seen nearly level say little of how far back it is. */
static const double TOP_SIGMA_MOST_MM = 50;

static void place_thing(const PhotoWork *work, const ResectResult *camera, const ThingMarks *marks,
                        LinedThing *lined) {
    if (place_by(work, camera, marks->feet, marks->foot_count, lined)) return;
    if (!place_by(work, camera, marks->tops, marks->top_count, lined)) return;
    lined->by_top = true;
    lined->placed = lined->back.sigma <= TOP_SIGMA_MOST_MM && lined->across.sigma <= TOP_SIGMA_MOST_MM;
}

/* --- how it is turned ---------------------------------------------------------------------------------- */

static double heading(Point3 a, Point3 b) {
    return atan2(b.back_mm - a.back_mm, b.across_mm - a.across_mm);
}

/* Two feet that lie apart tell the turn: less than a hand's breadth is no base line. */
static const double BASE_LINE_LEAST_MM = 40;

static void turn_thing(const PhotoWork *work, const ResectResult *camera, const ThingMarks *marks,
                       LinedThing *lined) {
    const LinedPhoto *photo = work->photo;
    SetPlace places[2];
    double longest = BASE_LINE_LEAST_MM;
    size_t ends[2] = {0, 0};
    for (size_t i = 0; i < marks->foot_count; i++) {
        for (size_t j = i + 1; j < marks->foot_count; j++) {
            const Point3 a = photo->marks[marks->feet[i]].at, b = photo->marks[marks->feet[j]].at;
            const double apart = hypot(a.across_mm - b.across_mm, a.back_mm - b.back_mm);
            if (!(apart > longest)) continue;
            longest = apart;
            ends[0] = marks->feet[i];
            ends[1] = marks->feet[j];
        }
    }
    if (ends[0] == ends[1]) return;
    for (size_t i = 0; i < 2; i++) {
        const PixelMark pixel = pixel_of(&photo->marks[ends[i]]);
        if (!resected_on_level(camera, &photo->image, &pixel, photo->marks[ends[i]].at.up_mm, &places[i]))
            return;
    }
    const double planned = heading(photo->marks[ends[0]].at, photo->marks[ends[1]].at);
    const double apart =
        hypot(places[1].at.across_mm - places[0].at.across_mm, places[1].at.back_mm - places[0].at.back_mm);
    if (!(apart > 1)) return;
    lined->turn_known = true; /* a turn to the left is clockwise from above: headings fall */
    lined->turn_now_rad = work->plan->things[lined->thing].turn_rad +
                          remainder(planned - heading(places[0].at, places[1].at), 2 * PI);
    const ResectSpread *wider =
        places[0].second.sigma > places[1].second.sigma ? &places[0].second : &places[1].second;
    const double share = sqrt(2) / apart;
    lined->turn = (ResectSpread){.sigma = wider->sigma * share,
                                 .freedoms = wider->freedoms,
                                 .likely = wider->likely * share,
                                 .sure = wider->sure * share};
}

/* --- how tall it is ------------------------------------------------------------------------------------ */

static bool is_over(Point3 foot, Point3 top) {
    return hypot(foot.across_mm - top.across_mm, foot.back_mm - top.back_mm) < 1e-6;
}

static void measure_thing(const PhotoWork *work, const ResectResult *camera, const ThingMarks *marks,
                          LinedThing *lined) {
    const LinedPhoto *photo = work->photo;
    const PlanThing *built = &work->plan->things[lined->thing];
    for (size_t i = 0; i < marks->foot_count; i++) {
        for (size_t j = 0; j < marks->top_count; j++) {
            const LinedMark *foot = &photo->marks[marks->feet[i]], *top = &photo->marks[marks->tops[j]];
            if (!is_over(foot->at, top->at) || fabs(top->at.up_mm - built->top_mm) > 1e-6) continue;
            const PixelMark a = pixel_of(foot), b = pixel_of(top);
            if (!resected_tall(camera, &photo->image, &a, &b, foot->at.up_mm, &lined->tall_now_mm,
                               &lined->tall))
                continue;
            lined->tall_known = true;
            return;
        }
    }
}

/* --- where the drawing wants it ------------------------------------------------------------------------ */

/* With a camera that stays: where its drawn foot, laid into the photograph, meets the level it stands on, and
 * how tall it must be there to be as tall as drawn. */
static void want_as_drawn(const PhotoWork *work, const ResectResult *camera, LinedThing *lined) {
    const LinedPhoto *photo = work->photo;
    const PlanThing *planned = &plan_planned(work->plan)[lined->thing];
    const PlanView view = plan_view(planned, &work->shot->cameras[0].camera, &work->shot->picture);
    if (!view.seen || !(photo->scale.px_per_mm > 0)) return;
    PixelMark foot = {0}, head;
    photo_from_drawing(&photo->scale, view.foot_x_mm, view.foot_y_mm, &foot.x_px, &foot.y_px);
    head = foot;
    head.y_px -= photo->scale.px_per_mm * view.tall_mm;
    SetPlace place;
    ResectSpread spread;
    double tall;
    if (!resected_on_level(camera, &photo->image, &foot, planned->foot_mm, &place)) return;
    const Point3 drawn_foot = plan_drawn_foot(planned);
    lined->wanted.across_mm += place.at.across_mm - drawn_foot.across_mm;
    lined->wanted.back_mm += place.at.back_mm - drawn_foot.back_mm;
    if (resected_tall(camera, &photo->image, &foot, &head, planned->foot_mm, &tall, &spread))
        lined->tall_wanted_mm = tall;
}

static void want_thing(const PhotoWork *work, const ResectResult *camera, LinedThing *lined) {
    const PlanThing *planned = &plan_planned(work->plan)[lined->thing];
    lined->wanted = planned->at;
    lined->turn_wanted_rad = planned->turn_rad;
    lined->tall_wanted_mm = planned->tall_mm;
    if (work->photo->photo->keeps_camera) want_as_drawn(work, camera, lined);
}

/* --- how far off --------------------------------------------------------------------------------------- */

/* Where a thing that stands at `now` has its drawn foot. */
static Point3 drawn_foot_at(const PhotoWork *work, const LinedThing *lined) {
    PlanThing moved = work->plan->things[lined->thing];
    moved.at = lined->now;
    return plan_drawn_foot(&moved);
}

static void set_off(const PhotoWork *work, LinedThing *lined) {
    const LinedPhoto *photo = work->photo;
    const Camera *camera = &work->shot->cameras[0].camera;
    const PlanView drawn = plan_view(&plan_planned(work->plan)[lined->thing], camera, &work->shot->picture);
    const Point3 foot = drawn_foot_at(work, lined);
    double x, y, drawn_x_px, drawn_y_px;
    if (!drawn.seen) return;
    if (camera_project(camera, &work->shot->picture, foot, &x, &y, NULL))
        lined->off_after_mm = hypot(x - drawn.foot_x_mm, y - drawn.foot_y_mm);
    if (!(photo->scale.px_per_mm > 0) ||
        !photo_project(&photo->found->camera, &photo->image, foot, &x, &y, NULL))
        return;
    photo_from_drawing(&photo->scale, drawn.foot_x_mm, drawn.foot_y_mm, &drawn_x_px, &drawn_y_px);
    lined->off_mm = hypot(x - drawn_x_px, y - drawn_y_px) / photo->scale.px_per_mm;
}

static void judge(const PhotoWork *work, LinedThing *lined) {
    const double cut = work->plan->cut_mm;
    const double across = fabs(lined->wanted.across_mm - lined->now.across_mm);
    const double back = fabs(lined->wanted.back_mm - lined->now.back_mm);
    lined->moves = lined->placed &&
                   ((across > lined->across.sure && across > cut) || (back > lined->back.sure && back > cut));
    lined->turns = lined->turn_known &&
                   fabs(lined->turn_wanted_rad - lined->turn_now_rad) > fmax(lined->turn.sure, RADIANS(0.5));
    const double tall = fabs(lined->tall_wanted_mm - lined->tall_now_mm);
    lined->resizes = lined->tall_known && tall > lined->tall.sure && tall > cut;
}

/* --- all of them --------------------------------------------------------------------------------------- */

static bool is_new(const LinedPhoto *photo, size_t mark) {
    for (size_t i = 0; i < mark; i++) {
        if (photo->marks[i].mark->thing == photo->marks[mark].mark->thing) return false;
    }
    return true;
}

static LinedThing line_up_thing(const PhotoWork *work, int thing) {
    LinedThing lined = {.thing = thing};
    ResectResult *without = ARENA_NEW(work->arena, ResectResult);
    lined.by_others = photo_solve_without(work, thing, without);
    const ResectResult *camera = lined.by_others ? without : work->photo->found;
    const ThingMarks marks = marks_of(work, thing);
    place_thing(work, camera, &marks, &lined);
    turn_thing(work, camera, &marks, &lined);
    measure_thing(work, camera, &marks, &lined);
    want_thing(work, camera, &lined);
    if (lined.placed) set_off(work, &lined);
    judge(work, &lined);
    return lined;
}

/* A thing that seems to stand with its back to the camera: rather its marks' names are. */
static void say_turned_about(const PhotoWork *work, const LinedThing *lined) {
    const double turned = remainder(lined->turn_wanted_rad - lined->turn_now_rad, 2 * PI);
    if (!lined->turn_known || fabs(turned) < RADIANS(150)) return;
    const char *name = work->plan->scene->things[lined->thing].name;
    size_t first = 0;
    while (work->photo->marks[first].mark->thing != lined->thing)
        first++;
    plan_add_warning(
        work->plan, work->diagnostics, "mis-marked", name, work->photo->marks[first].mark->span,
        "of what faces the camera they are as the camera sees them; `groundrow words --points` says "
        "where to expect each point",
        arena_format(work->arena, "in photograph `%s`, left and right of `%s` seem to be exchanged",
                     work->photo->photo->name, name));
}

void photo_place_things(const PhotoWork *work) {
    LinedPhoto *photo = work->photo;
    photo->things = ARENA_ARRAY(work->arena, LinedThing, photo->mark_count);
    for (size_t i = 0; i < photo->mark_count; i++) {
        const int thing = photo->marks[i].mark->thing;
        if (photo_is_fixed(work->plan, thing) || !is_new(photo, i)) continue;
        photo->things[photo->thing_count++] = line_up_thing(work, thing);
        say_turned_about(work, &photo->things[photo->thing_count - 1]);
    }
}
