/* Whether the camera that was found is to be trusted; why there is none, and which of the marks do not
 * belong. Mistakes that marks in a viewer invite (the lens, the corner that pixels count from, left and
 * right) are tried, so that they can be named (docs/geometry.md, rules 65 to 69 and 73). */
#include "base/text.h"
#include "optics/space.h"
#include "photo/photo_stages.h"
#include "plan/plan_warnings.h"

#include <math.h>
#include <string.h>

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

static void say_no_camera(const PhotoWork *work) {
    Diagnostic *d = diagnostics_error(work->diagnostics, work->photo->photo->span,
                                      "no camera in front of the set sees the points where they are marked");
    diagnostic_help(work->diagnostics, d,
                    "look whether names are mistaken; pixels count from the photograph's upper left corner");
}

static const char *how_few(Arena *arena, int count) {
    return count == 0   ? "no point is marked:"
           : count == 1 ? "only one point is marked:"
                        : arena_format(arena, "only %d different points are marked:", count);
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
        d = diagnostics_error(list, span, "%s too few to tell where the camera stood",
                              how_few(work->arena, (int)result->count_used));
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
        say_no_camera(work);
        return;
    }
}

/* --- slips --------------------------------------------------------------------------------------------- */

/* Another reading of the same marks must fit by so much better before it is believed: a chance of 1 in
 * 20,000 with two freedoms. */
static const double SLIP_GAIN = 20;
/* Real lenses are off by some per cent of what is engraved; by more they are other lenses. */
static const double LENS_APART = 0.1;

typedef struct Slip {
    bool swaps, from_right, from_below; /* how the marks would have to be read, in this order */
    const char *message, *help;
} Slip;

static const Slip SLIPS[] = {
    {.from_right = true,
     .message = "the marks fit a mirrored photograph only",
     .help = "left and right are as the camera sees them, not as the puppet does; and do not mirror the "
             "photograph"},
    {.from_below = true,
     .message = "the marks fit only if their second numbers count from the photograph's lower edge",
     .help = "count pixels down from its upper edge, as viewers do"},
    {.from_right = true,
     .from_below = true,
     .message = "the marks fit the photograph only if it stands on its head",
     .help = "turn the photograph, and mark the points in it as it is then"},
    {.swaps = true,
     .message = "the marks fit only if their two numbers change places",
     .help = "first right from the photograph's left edge, then down from its upper edge"}};

/* The work with a copy of its photograph, so that readings can be tried. */
static PhotoWork with_copy(const PhotoWork *work, LinedPhoto *copy) {
    PhotoWork other = *work;
    *copy = *work->photo;
    copy->marks = ARENA_ARRAY(work->arena, LinedMark, copy->mark_count);
    memcpy(copy->marks, work->photo->marks, copy->mark_count * sizeof *copy->marks);
    for (size_t i = 0; i < copy->mark_count; i++)
        copy->marks[i].moved = false;
    other.photo = copy;
    return other;
}

static void reread(LinedPhoto *photo, const Slip *slip) {
    for (size_t i = 0; i < photo->mark_count; i++) {
        LinedMark *mark = &photo->marks[i];
        const double x = slip->swaps ? mark->y_px : mark->x_px, y = slip->swaps ? mark->x_px : mark->y_px;
        mark->x_px = slip->from_right ? photo->image.wide_px - x : x;
        mark->y_px = slip->from_below ? photo->image.tall_px - y : y;
    }
}

/* Towards the set, and its right way up. */
static bool looks_at_set(const LinedPhoto *photo, const ResectResult *result) {
    const PhotoAxes axes = photo_axes(&result->camera), planned = photo_axes(&photo->planned);
    return point_dot(axes.forward, planned.forward) > 0 && point_dot(axes.down, planned.down) > 0.5;
}

/* Enough of them take part for a camera to be believed against what is written. */
static bool most_agree(const LinedPhoto *photo, const ResectResult *result) {
    return 4 * result->count_used >= 3 * photo->mark_count;
}

/* The reading that fits best as it is, if it then fits better than `most`; NULL where there is none. */
static const Slip *slip_of(const PhotoWork *work, double most) {
    const Slip *best = NULL;
    double least = INFINITY;
    LinedPhoto copy;
    PhotoWork other;
    ResectResult *result = ARENA_NEW(work->arena, ResectResult);
    for (size_t i = 0; i < sizeof SLIPS / sizeof *SLIPS; i++) {
        other = with_copy(work, &copy);
        reread(&copy, &SLIPS[i]);
        const double cost = photo_try(&other, result);
        if (!(cost < least) || !looks_at_set(&copy, result)) continue;
        least = cost;
        best = &SLIPS[i];
    }
    if (!best) return NULL;
    other = with_copy(work, &copy);
    reread(&copy, best);
    const bool fits = photo_seek(&other, result) < most;
    return fits && looks_at_set(&copy, result) && most_agree(&copy, result) ? best : NULL;
}

/* The focal length that fits far better than what is said of it; 0 where there is none. */
static double other_lens(const PhotoWork *work, double cost) {
    LinedPhoto copy;
    const PhotoWork other = with_copy(work, &copy);
    ResectResult *result = ARENA_NEW(work->arena, ResectResult);
    if (!(work->photo->focal_mm > 0)) return 0;
    copy.focal_mm = 0;
    if (!isfinite(photo_try(&other, result))) return 0;
    const double other_cost = photo_seek(&other, result);
    const double focal_mm = result->camera.focal_mm;
    if (result->status != RESECTED || !looks_at_set(&copy, result) || !(other_cost < cost - SLIP_GAIN) ||
        !(fabs(log(focal_mm / work->photo->focal_mm)) > LENS_APART))
        return 0;
    return focal_mm;
}

static void say_other_lens(const PhotoWork *work, double focal_mm) {
    const LinedPhoto *photo = work->photo;
    const bool stated = photo->focal_from == FOCAL_STATED;
    Diagnostic *d = diagnostics_error(
        work->diagnostics, stated ? photo->photo->lens_span : photo->photo->span,
        "the marks do not fit a lens of %s mm%s; they would fit one of %s mm",
        number_short(work->arena, photo->focal_mm, 1), stated ? "" : ", as the photograph says of itself",
        number_short(work->arena, focal_mm, 1));
    diagnostic_help(work->diagnostics, d, "look at `lens` and `body`, and whether the photograph is whole");
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

/* Where few marks agree, what is left out may be what is right, unless the set itself is marked. */
static void say_few_agree(const PhotoWork *work) {
    const LinedPhoto *photo = work->photo;
    size_t fixed = 0;
    for (size_t i = 0; i < photo->mark_count; i++)
        fixed += photo_is_fixed(work->plan, photo->marks[i].mark->thing) && photo->found->residuals[i].used;
    if (2 * photo->found->count_used >= photo->mark_count || fixed >= resect_needs(false)) return;
    plan_add_warning(
        work->plan, work->diagnostics, "mis-marked", work->plan->scene->things[work->shot->lead].name,
        photo->photo->span,
        "look at the marks that were left out, and mark corners of ground or base: they stay where "
        "they are",
        arena_format(work->arena, "only %d of the %d marks in photograph `%s` agree on a camera",
                     (int)photo->found->count_used, (int)photo->mark_count, photo->photo->name));
}

/* --- all of it ----------------------------------------------------------------------------------------- */

static bool tells_nothing(const ResectResult *found) {
    return found->status == RESECT_TOO_FEW || found->status == RESECT_ON_ONE_LINE ||
           found->status == RESECT_FLAT_ON;
}

bool photo_trust(const PhotoWork *work, const ResectResult *found, double cost) {
    const LinedPhoto *photo = work->photo;
    const bool solved = found->status == RESECTED;
    const bool looks = solved && looks_at_set(photo, found);
    const bool all = solved && found->count_used == photo->mark_count;
    const double most = looks ? cost - SLIP_GAIN : INFINITY; /* what does not look at the set is no rival */
    const Slip *slip =
        !tells_nothing(found) && !(looks && most_agree(photo, found)) ? slip_of(work, most) : NULL;
    if (slip) {
        Diagnostic *d = diagnostics_error(work->diagnostics, photo->photo->span, "%s", slip->message);
        diagnostic_help(work->diagnostics, d, "%s", slip->help);
        return false;
    }
    const double lens_mm = !tells_nothing(found) && !(looks && all) ? other_lens(work, cost) : 0;
    if (lens_mm > 0) {
        say_other_lens(work, lens_mm);
        return false;
    }
    if (!solved) say_refused(work, found);
    if (solved && !looks) say_no_camera(work);
    if (!looks) return false;
    say_what_does_not_belong(work);
    say_few_agree(work);
    return true;
}
