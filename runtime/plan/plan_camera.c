/* The picture, the planned camera and the allowed cameras of a shot. The solving itself is
 * optics/camera_solve.h; here statements are gathered and outcomes are put into words. docs/geometry.md,
 * rules 1 to 5 and 14 to 22. */
#include "base/text.h"
#include "optics/camera_again.h"
#include "plan/resolve.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const Span NOWHERE = {0};

/* --- picture
 * ------------------------------------------------------------------------------------------------ */

static bool find_body(Resolver *r, const Shot *shot, int *body) {
    *body = shot->body;
    if (*body >= 0) return true;
    if (!span_is_none(shot->body_span)) return false; /* named, but there is none such: said already */
    if (r->scene->body_count == 1) {
        *body = 0;
        return true;
    }
    Diagnostic *d =
        diagnostics_error(r->diagnostics, shot->camera_span, "it is not said which body the camera has");
    if (r->scene->body_count > 1)
        diagnostic_help(r->diagnostics, d, "write `camera: {body: %s}`", r->scene->bodies[0].name);
    else
        diagnostic_help(r->diagnostics, d,
                        "the book has no `cameras`: `cameras: {hired: {sensor: 36 x 24 mm}}`");
    return false;
}

static bool check_image(Resolver *r, int index, const Picture *picture) {
    const Shot *shot = &r->scene->shots[index];
    if (shot->image < 0 || !r->plan->found || !r->plan->found[shot->image].found) return true;
    const FoundFile *image = &r->plan->found[shot->image];
    const double proportion = (double)image->width_px / image->height_px;
    const double wanted = picture->trim_wide_mm / picture->trim_tall_mm;
    if (fabs(proportion / wanted - 1) <= 0.01) return true;
    const WantedFile *file = &r->scene->wanted[shot->image];
    const bool part = slot_stated(r, shot->picture_wide) || slot_stated(r, shot->picture_tall);
    const Span span = span_is_none(file->span)
                          ? (span_is_none(shot->drawing_span) ? r->scene->span : shot->drawing_span)
                          : file->span;
    Diagnostic *d = diagnostics_error(
        r->diagnostics, span,
        "`%s` is %d x %d px, but the %s is %s x %s: a picture %d px wide would be %d px tall", file->path,
        (int)image->width_px, (int)image->height_px, part ? "picture on its page" : "trim",
        said_length(r, picture->trim_wide_mm), said_length(r, picture->trim_tall_mm), (int)image->width_px,
        (int)number_round(image->width_px / wanted, 1));
    diagnostic_help(r->diagnostics, d,
                    part ? "crop the drawing's image to the picture, or see `picture` of `page`"
                         : "crop the drawing's image to the trim, or see `pages` and `page`");
    return false;
}

static bool check_crop(Resolver *r, const Shot *shot, const Picture *picture) {
    if (fabs(picture->crop_across_mm) > picture_crop_across_most_mm(picture) + 1e-9) {
        diagnostics_error(r->diagnostics, slot_span(r, shot->crop_across),
                          "the crop leaves the sensor: it may move %s mm across",
                          number_fixed(r->arena, picture_crop_across_most_mm(picture), 2));
        return false;
    }
    if (fabs(picture->crop_up_mm) > picture_crop_up_most_mm(picture) + 1e-9) {
        diagnostics_error(r->diagnostics, slot_span(r, shot->crop_up),
                          "the crop leaves the sensor: it may move %s mm up or down",
                          number_fixed(r->arena, picture_crop_up_most_mm(picture), 2));
        return false;
    }
    return true;
}

bool make_picture(Resolver *r, int index) {
    const Shot *shot = &r->scene->shots[index];
    PlanShot *planned = &r->plan->shots[index];
    PictureWishes w = {.upright = shot->upright};
    int body;
    double drawing = 0;
    resolve_because(r, "rules 1 to 5", "page, drawing and sensor");
    if (!find_body(r, shot, &body)) return false;
    planned->body = body;
    const SlotInto wanted[] = {{shot->page_wide, &w.page_wide_mm},
                               {shot->page_tall, &w.page_tall_mm},
                               {shot->bleed, &w.bleed_mm},
                               {r->scene->bodies[body].sensor_wide, &w.sensor_wide_mm},
                               {r->scene->bodies[body].sensor_tall, &w.sensor_tall_mm},
                               {shot->crop_uses, &w.crop_uses},
                               {shot->crop_across, &w.crop_across_mm}};
    const bool known = resolve_all(r, wanted, sizeof wanted / sizeof *wanted);
    if (!known || (!shot->crop_up_free && !resolve_slot(r, shot->crop_up, NOWHERE, &w.crop_up_mm)))
        return false;
    if (slot_stated(r, shot->drawing_wide) && !resolve_slot(r, shot->drawing_wide, NOWHERE, &drawing))
        return false;
    if (!(w.page_wide_mm > 0 && w.page_tall_mm > 0 && w.bleed_mm >= 0 && w.sensor_wide_mm > 0 &&
          w.sensor_tall_mm > 0))
        return false;
    if (!(w.crop_uses > 0 && w.crop_uses <= 1)) {
        diagnostics_error(r->diagnostics, slot_span(r, shot->crop_uses),
                          "`uses` of the crop is more than 0 and at most 100 %%");
        return false;
    }
    if (!make_page(r, index, &w)) return false;
    w.drawing_wide_mm = shot->drawing_in_px ? 0 : drawing; /* px are measured at print size */
    planned->picture = picture_new(&w);
    planned->drawn_px_per_mm = shot->drawing_in_px ? drawing / planned->picture.drawing_wide_mm : 0;
    return check_crop(r, shot, &planned->picture) && check_image(r, index, &planned->picture);
}

/* --- the statements of a camera
 * ----------------------------------------------------------------------------- */

static int statement_slot(const Resolver *r, const Shot *shot, Statement statement) {
    switch (statement) {
    case STATE_LENS:
        return shot->lens;
    case STATE_DISTANCE:
        return shot->distance;
    case STATE_HEIGHT:
        return shot->height;
    case STATE_TILT:
        return shot->tilt;
    case STATE_ACROSS:
        return shot->across;
    case STATE_HORIZON:
        return shot->horizon;
    case STATE_FRAME:
        return shot->frame;
    case STATE_FOOT:
        return shot->lead < 0 ? -1 : r->scene->things[shot->lead].slot[FIELD_DRAWN_Y];
    case STATE_TALL:
        return shot->lead < 0 ? -1 : r->scene->things[shot->lead].slot[FIELD_DRAWN_TALL];
    case STATEMENT_COUNT:
        break;
    }
    return -1;
}

static double on_drawing_mm(const PlanShot *planned, double value) {
    return planned->drawn_px_per_mm > 0 ? value / planned->drawn_px_per_mm : value;
}

static bool gather_statements(Resolver *r, int index, CameraProblem *problem) {
    const Shot *shot = &r->scene->shots[index];
    const PlanShot *planned = &r->plan->shots[index];
    bool known = true;
    for (int s = 0; s < STATEMENT_COUNT; s++) {
        const int slot = statement_slot(r, shot, (Statement)s);
        if (!slot_stated(r, slot)) continue;
        problem->stated[s] = true;
        if (!resolve_slot(r, slot, NOWHERE, &problem->value[s])) known = false;
    }
    if (problem->stated[STATE_FOOT] && shot->lead >= 0)
        known =
            resolve_slot(r, r->scene->things[shot->lead].slot[FIELD_DRAWN_X], NOWHERE, &problem->foot_x_mm) &&
            known;
    if (!known) return false;
    problem->foot_x_mm = on_drawing_mm(planned, problem->foot_x_mm);
    problem->foot_y_mm = on_drawing_mm(planned, problem->value[STATE_FOOT]);
    problem->value[STATE_TALL] = on_drawing_mm(planned, problem->value[STATE_TALL]);
    if (shot->drawing_in_px && problem->stated[STATE_HORIZON])
        problem->value[STATE_HORIZON] = on_drawing_mm(planned, problem->value[STATE_HORIZON]);
    return true;
}

/* The camera is solved with its focus known: a place that is read off the drawing comes after it. */
static bool focus_is_placed(Resolver *r, const Shot *shot) {
    const Thing *thing = &r->scene->things[shot->focus];
    if (!slot_stated(r, thing->slot[FIELD_DRAWN_X]) ||
        (field_stated(r, shot->focus, FIELD_ACROSS) && field_stated(r, shot->focus, FIELD_BACK)))
        return true;
    Diagnostic *d =
        diagnostics_error(r->diagnostics, shot->focus_span,
                          "the camera cannot focus on `%s` before it is known where that stands: its place "
                          "is read off the drawing, which needs the camera",
                          thing->name);
    diagnostic_note(r->diagnostics, d, slot_span(r, thing->slot[FIELD_DRAWN_X]), "its drawn foot");
    diagnostic_help(r->diagnostics, d, "say where it stands, too: `at: {across: ..., back: ...}`");
    return false;
}

static bool gather_mark(Resolver *r, int index, CameraProblem *problem) {
    const Shot *shot = &r->scene->shots[index];
    PlanShot *planned = &r->plan->shots[index];
    if (shot->lead < 0) {
        Diagnostic *d =
            diagnostics_error(r->diagnostics, shot->mark_span, "it is not said which puppet leads");
        diagnostic_help(r->diagnostics, d, "write `mark: {puppet: %s, drawn: {foot: [x, y], tall: ...}}`",
                        r->scene->cast_count > 0 ? r->scene->cast[0].name : "otter");
        return false;
    }
    if (!resolve(r, NODE_PLACE, shot->lead, NOWHERE)) return false;
    planned->mark = r->plan->things[shot->lead].at;
    if (!resolve_field(r, shot->lead, FIELD_TALL, &problem->mark_tall_mm) ||
        !resolve_field(r, shot->lead, FIELD_EYES, &problem->mark_eyes_mm))
        return false;
    problem->mark_up_mm = planned->mark.up_mm;
    Point3 focus = planned->mark;
    double eyes = problem->mark_eyes_mm;
    if (shot->focus >= 0 && shot->focus != shot->lead) {
        const Thing *thing = &r->scene->things[shot->focus];
        if (!focus_is_placed(r, shot) || !resolve(r, NODE_PLACE, shot->focus, shot->focus_span)) return false;
        focus = r->plan->things[shot->focus].at;
        if (!resolve_field(r, shot->focus, thing->role == ROLE_PUPPET ? FIELD_EYES : FIELD_TALL, &eyes))
            return false;
        eyes = thing->role == ROLE_PUPPET ? eyes : eyes / 2;
    }
    if (slot_stated(r, shot->focus_back)) {
        double back;
        if (!resolve_slot(r, shot->focus_back, NOWHERE, &back)) return false;
        focus.back_mm += back;
    }
    focus.up_mm += eyes;
    planned->focus = focus;
    problem->focus = (Point3){focus.across_mm - planned->mark.across_mm,
                              focus.back_mm - planned->mark.back_mm, focus.up_mm};
    return true;
}

/* Rule 16: other puppets of known height with foot and head on the drawing. Only those whose footing does not
 * hang on the camera: on ground without mounds, or hung. */
static bool gather_others(Resolver *r, int index, CameraProblem *problem) {
    const Scene *scene = r->scene;
    bool mounds = false;
    for (size_t i = 0; i < scene->thing_count; i++)
        mounds |= scene->things[i].role == ROLE_MOUND || scene->things[i].role == ROLE_HOLLOW;
    OtherPuppet *others = ARENA_ARRAY(r->arena, OtherPuppet, scene->thing_count);
    for (size_t i = 0; i < scene->thing_count; i++) {
        const Thing *thing = &scene->things[i];
        OtherPuppet other = {0};
        const bool hung = field_stated(r, (int)i, FIELD_UP);
        if (thing->role != ROLE_PUPPET || thing->lead || thing->atop >= 0 || shot_of(r, (int)i) != index ||
            (mounds && !hung) || !field_stated(r, (int)i, FIELD_DRAWN_Y) ||
            !field_stated(r, (int)i, FIELD_DRAWN_TALL) || field_stated(r, (int)i, FIELD_BACK))
            continue;
        if (hung && !resolve_field(r, (int)i, FIELD_UP, &other.up_mm)) return false;
        const SlotInto wanted[] = {{thing->slot[FIELD_TALL], &other.tall_mm},
                                   {thing->slot[FIELD_DRAWN_X], &other.foot_x_mm},
                                   {thing->slot[FIELD_DRAWN_Y], &other.foot_y_mm},
                                   {thing->slot[FIELD_DRAWN_TALL], &other.drawn_tall_mm}};
        if (!resolve_all(r, wanted, sizeof wanted / sizeof *wanted)) return false;
        const PlanShot *planned = &r->plan->shots[index];
        other.foot_x_mm = on_drawing_mm(planned, other.foot_x_mm);
        other.foot_y_mm = on_drawing_mm(planned, other.foot_y_mm);
        other.drawn_tall_mm = on_drawing_mm(planned, other.drawn_tall_mm);
        others[problem->other_count++] = other;
    }
    problem->others = others;
    return true;
}

/* --- what is allowed
 * ---------------------------------------------------------------------------------------- */

static bool gather_allowed(Resolver *r, int index, CameraProblem *problem) {
    const Shot *shot = &r->scene->shots[index];
    for (size_t i = 0; i < shot->allow_lens_count; i++) {
        double focal;
        if (!resolve_slot(r, shot->allow_lens[i], NOWHERE, &focal)) return false;
        problem->lens_low_mm = i == 0 ? focal : fmin(problem->lens_low_mm, focal);
        problem->lens_high_mm = i == 0 ? focal : fmax(problem->lens_high_mm, focal);
        if (!shot->lens_range && problem->prime_count < ALLOWED_PRIMES_MOST)
            problem->primes_mm[problem->prime_count++] = focal;
        problem->lens_allowed = true;
    }
    if (shot->lens_range && shot->allow_lens_count == 2 &&
        r->plan->values[shot->allow_lens[0]] > r->plan->values[shot->allow_lens[1]]) {
        diagnostics_error(r->diagnostics, shot->allow_lens_span,
                          "the range runs downwards, in `lens` of what is allowed");
        return false;
    }
    if (!slot_stated(r, shot->allow_height_low)) return true;
    problem->height_allowed = true;
    const SlotInto wanted[] = {{shot->allow_height_low, &problem->height_low_mm},
                               {shot->allow_height_high, &problem->height_high_mm}};
    if (!resolve_all(r, wanted, 2)) return false;
    if (problem->height_low_mm > problem->height_high_mm) {
        diagnostics_error(r->diagnostics, shot->allow_height_span,
                          "the range runs downwards, in `height` of what is allowed");
        return false;
    }
    return true;
}

/* --- outcomes in words
 * -------------------------------------------------------------------------------------- */

static const char *statement_word(Statement statement) {
    static const char *const words[STATEMENT_COUNT] = {"`lens`",
                                                       "`distance`",
                                                       "`height`",
                                                       "`tilt`",
                                                       "`across`",
                                                       "`horizon`",
                                                       "`frame` (how wide the frame is at the mark)",
                                                       "`foot` in `drawn` of the mark",
                                                       "`tall` in `drawn` of the mark"};
    return words[statement];
}

static void report_too_little(Resolver *r, const Shot *shot, const CameraSolution *solution) {
    static const Unknown order[] = {UNKNOWN_DISTANCE, UNKNOWN_HEIGHT, UNKNOWN_TILT, UNKNOWN_ACROSS,
                                    UNKNOWN_LENS};
    static const char *const names[UNKNOWN_COUNT] = {"its lens", "its distance",     "its height",
                                                     "its tilt", "its place across", "its crop"};
    const char *open[UNKNOWN_COUNT];
    int count = 0;
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        if (solution->open[order[i]]) open[count++] = names[order[i]];
    }
    Buffer list = buffer_new(r->arena);
    for (int i = 0; i < count; i++)
        buffer_format(&list, "%s%s", i == 0 ? "" : i == count - 1 ? " and " : ", ", open[i]);
    Diagnostic *d =
        diagnostics_error(r->diagnostics, shot->camera_span, "the camera is not settled: %s %s still open",
                          count > 0 ? buffer_text(&list) : "something", count > 1 ? "are" : "is");
    Buffer help = buffer_new(r->arena);
    int choices = 0;
    for (int s = 0; s < STATEMENT_COUNT; s++) {
        if (solution->completes[s])
            buffer_format(&help, "%s%s", choices++ > 0 ? ", " : "", statement_word((Statement)s));
    }
    if (choices > 0) {
        diagnostic_help(r->diagnostics, d, "state %s%s", choices > 1 ? "one of: " : "", buffer_text(&help));
        return;
    }
    int uses[STATEMENT_COUNT] = {0}, best = 0;
    for (size_t i = 0; i < solution->pair_count; i++) {
        uses[solution->pairs[i].first]++;
        uses[solution->pairs[i].second]++;
    }
    for (int s = 1; s < STATEMENT_COUNT; s++)
        best = uses[s] > uses[best] ? s : best;
    for (size_t i = 0; i < solution->pair_count; i++) {
        const Statement a = solution->pairs[i].first, b = solution->pairs[i].second;
        if ((int)a == best || (int)b == best)
            buffer_format(&help, "%s%s", choices++ > 0 ? ", " : "", statement_word((int)a == best ? b : a));
    }
    if (choices > 0)
        diagnostic_help(r->diagnostics, d, "state %s and %s%s", statement_word((Statement)best),
                        choices > 1 ? "one of: " : "", buffer_text(&help));
    else
        diagnostic_help(r->diagnostics, d,
                        "state `lens`, `height`, and `foot` and `tall` in `drawn` of the mark");
}

static const char *lens_text(const Resolver *r, double focal_mm) {
    return arena_format(r->arena, "%s mm", number_short(r->arena, focal_mm, 1));
}

static const char *statement_value(const Resolver *r, int shot, Statement statement, double value, double x) {
    switch (statement) {
    case STATE_LENS:
        return arena_format(r->arena, "%s mm", number_fixed(r->arena, value, 0));
    case STATE_TILT:
        return arena_format(r->arena, "%s deg %s", number_short(r->arena, DEGREES(fabs(value)), 1),
                            value < 0 ? "up" : "down");
    case STATE_HORIZON:
    case STATE_TALL:
        return said_drawn(r, shot, value, fabs(value - round(value)) < 0.05 ? 0 : 1);
    case STATE_FOOT:
        return arena_format(r->arena, "[%s, %s]", said_drawn(r, shot, x, 1), said_drawn(r, shot, value, 1));
    default:
        return written_length(r, value);
    }
}

static const char *cure_word(Statement statement) {
    static const char *const words[STATEMENT_COUNT] = {"lens",    "distance", "height", "tilt", "across",
                                                       "horizon", "frame",    "foot",   "tall"};
    return words[statement];
}

static const char *contradiction_text(Resolver *r, int index, const CameraSolution *solution, double agrees,
                                      double agrees_x) {
    const PlanShot *planned = &r->plan->shots[index];
    const CameraProblem *p = &planned->problem;
    const char *lead = thing_phrase(r, planned->lead);
    Buffer text = buffer_new(r->arena);
    if (p->stated[STATE_DISTANCE]) buffer_format(&text, "at %s ", said_length(r, p->value[STATE_DISTANCE]));
    if (p->stated[STATE_LENS]) buffer_format(&text, "with the %s lens ", lens_text(r, p->value[STATE_LENS]));
    const char *apart = said_drawn(r, index, solution->apart_mm, 1);
    switch (solution->shown) {
    case STATE_TALL:
        buffer_format(&text, "%s would be drawn %s tall, not %s: off by %s", lead,
                      said_drawn(r, index, agrees, 1),
                      statement_value(r, index, STATE_TALL, p->value[STATE_TALL], 0), apart);
        break;
    case STATE_FOOT:
        buffer_format(&text, "the foot of %s would be drawn at %s, not %s: off by %s", lead,
                      statement_value(r, index, STATE_FOOT, agrees, agrees_x),
                      statement_value(r, index, STATE_FOOT, p->foot_y_mm, p->foot_x_mm), apart);
        break;
    case STATE_HORIZON:
        buffer_format(&text, "the horizon would be drawn at %s, not %s: off by %s",
                      said_drawn(r, index, agrees, 1),
                      statement_value(r, index, STATE_HORIZON, p->value[STATE_HORIZON], 0), apart);
        break;
    case STATE_FRAME:
        buffer_format(&text, "the frame would be %s wide at the mark, not %s: off by %s on the drawing",
                      said_length(r, agrees), said_length(r, p->value[STATE_FRAME]), apart);
        break;
    default:
        buffer_format(&text, "%s and the rest of what is stated do not agree: off by %s on the drawing",
                      statement_word(solution->shown), apart);
        break;
    }
    return buffer_text(&text);
}

static int count_word(int count, const char **word) {
    static const char *const words[] = {"none", "one", "two",   "three", "four",
                                        "five", "six", "seven", "eight", "nine"};
    *word = words[count < 10 ? count : 9];
    return count;
}

static void report_contradiction(Resolver *r, int index, const CameraSolution *solution) {
    const Shot *shot = &r->scene->shots[index];
    int order[STATEMENT_COUNT], count = 0;
    const double agrees = solution->shown_agrees, agrees_x = solution->shown_agrees_x;
    for (size_t i = 0; i < solution->cure_count; i++)
        order[count++] = (int)i;
    if (count == 0) {
        Diagnostic *d = diagnostics_error(r->diagnostics, shot->camera_span,
                                          "no camera agrees with what is stated: off by %s on the drawing",
                                          said_drawn(r, index, solution->apart_mm, 1));
        diagnostic_help(r->diagnostics, d,
                        "no single one of them is to blame: leave two out, such as `distance` and `tilt`; "
                        "the report then says what they come to");
        return;
    }
    /* the last one written is pointed at, the others are notes in the order of the file */
    for (int i = 1; i < count; i++) {
        for (int j = i; j > 0; j--) {
            const Span a = slot_span(r, statement_slot(r, shot, solution->cures[order[j - 1]].statement));
            const Span b = slot_span(r, statement_slot(r, shot, solution->cures[order[j]].statement));
            if (span_compare(a, b) <= 0) break;
            const int swapped = order[j];
            order[j] = order[j - 1];
            order[j - 1] = swapped;
        }
    }
    const int primary = order[count - 1];
    static const char *const names[STATEMENT_COUNT] = {"the lens",  "the distance",     "the height",
                                                       "the tilt",  "the place across", "the horizon",
                                                       "the frame", "the drawn foot",   "the drawn height"};
    Diagnostic *d = diagnostics_error(
        r->diagnostics, slot_span(r, statement_slot(r, shot, solution->cures[primary].statement)), "%s",
        contradiction_text(r, index, solution, agrees, agrees_x));
    for (int i = 0; i + 1 < count; i++) {
        const Statement s = solution->cures[order[i]].statement;
        diagnostic_note(r->diagnostics, d, slot_span(r, statement_slot(r, shot, s)), "%s", names[s]);
    }
    Buffer cures = buffer_new(r->arena);
    for (int i = 0; i < count; i++) { /* the one pointed at first, then in the order of the language */
        const int at = i == 0 ? primary : i <= primary ? i - 1 : i;
        const CameraCure *cure = &solution->cures[at];
        buffer_format(&cures, "%s`%s: %s`",
                      i == 0           ? ""
                      : i == count - 1 ? " or "
                                       : ", ",
                      cure_word(cure->statement),
                      statement_value(r, index, cure->statement, cure->agrees, cure->agrees_x));
    }
    const char *word;
    count_word(count, &word);
    diagnostic_help(r->diagnostics, d,
                    count > 1 ? "leave one of the %s out, or write %s" : "%.0sleave it out, or write %s",
                    word, buffer_text(&cures));
}

static void report_impossible(Resolver *r, int index, const CameraSolution *solution) {
    const Shot *shot = &r->scene->shots[index];
    const PlanShot *planned = &r->plan->shots[index];
    const char *lead = r->scene->things[planned->lead].name;
    const double value = solution->impossible_value;
    const CameraProblem *p = &planned->problem;
    Span span = shot->camera_span;
    if (p->stated[STATE_DISTANCE])
        span = slot_span(r, shot->distance);
    else if (p->stated[STATE_HORIZON])
        span = slot_span(r, shot->horizon);
    switch (solution->impossible) {
    case IMPOSSIBLE_TOO_NEAR: {
        const double focal = p->stated[STATE_LENS] ? p->value[STATE_LENS] : value;
        diagnostics_error(
            r->diagnostics, span,
            "a %s lens cannot be focused on anything nearer than %s; the %s's eyes are %s mm away",
            lens_text(r, focal), lens_text(r, focal), lead, number_fixed(r->arena, value, 1));
        return;
    }
    case IMPOSSIBLE_UNDER_GROUND: {
        Diagnostic *d = diagnostics_error(
            r->diagnostics, p->stated[STATE_HEIGHT] ? slot_span(r, shot->height) : span,
            "the lens would be %s",
            -value < 0.05 ? "on the ground"
                          : arena_format(r->arena, "%s under the ground", said_length(r, -value)));
        if (!p->stated[STATE_HEIGHT])
            diagnostic_help(
                r->diagnostics, d,
                "the horizon is drawn as high above the feet as the lens stands above the ground");
        return;
    }
    case IMPOSSIBLE_BEHIND_MARK:
        diagnostics_error(r->diagnostics, span, "the lens would stand %s behind the mark",
                          said_length(r, fabs(value)));
        return;
    case IMPOSSIBLE_STEEP:
        diagnostics_error(r->diagnostics, span, "the camera would look %s degrees %s; 75 is the most",
                          number_fixed(r->arena, DEGREES(fabs(value)), 0), value < 0 ? "up" : "down");
        return;
    case IMPOSSIBLE_NONE:
    case IMPOSSIBLE_NO_ROOT:
        break;
    }
    diagnostics_error(r->diagnostics, span, "no camera draws it as stated");
}

/* Rule 15: a camera that a name of a lens or a range already ties to what is allowed. */
static bool planned_is_allowed(Resolver *r, int index, const Camera *camera) {
    const Shot *shot = &r->scene->shots[index];
    const CameraProblem *p = &r->plan->shots[index].problem;
    bool allowed = true;
    if (p->lens_allowed &&
        (camera->focal_mm < p->lens_low_mm * (1 - 1e-6) || camera->focal_mm > p->lens_high_mm * (1 + 1e-6))) {
        Diagnostic *d = diagnostics_error(r->diagnostics, shot->allow_lens_span,
                                          "the planned lens, %s, is outside what is allowed",
                                          lens_text(r, camera->focal_mm));
        if (slot_stated(r, shot->lens))
            diagnostic_note(r->diagnostics, d, slot_span(r, shot->lens), "the planned lens");
        allowed = false;
    }
    if (p->height_allowed &&
        (camera->height_mm < p->height_low_mm - 1e-3 || camera->height_mm > p->height_high_mm + 1e-3)) {
        Diagnostic *d = diagnostics_error(r->diagnostics, shot->allow_height_span,
                                          "the planned height, %s, is outside what is allowed",
                                          said_length(r, camera->height_mm));
        if (slot_stated(r, shot->height))
            diagnostic_note(r->diagnostics, d, slot_span(r, shot->height), "the planned height");
        allowed = false;
    }
    return allowed;
}

static Camera in_set(const PlanShot *planned, Camera camera) {
    camera.across_mm += planned->mark.across_mm;
    camera.distance_mm -= planned->mark.back_mm;
    return camera;
}

/* A lens that is stated, and nearer than the focus it can have, is said before anything is solved. */
static bool lens_can_focus(Resolver *r, int index) {
    PlanShot *planned = &r->plan->shots[index];
    const CameraProblem *p = &planned->problem;
    if (!p->stated[STATE_LENS] || !p->stated[STATE_DISTANCE] ||
        p->value[STATE_DISTANCE] > p->value[STATE_LENS])
        return true;
    const CameraSolution near = {.impossible = IMPOSSIBLE_TOO_NEAR,
                                 .impossible_value = p->value[STATE_DISTANCE]};
    report_impossible(r, index, &near);
    return false;
}

bool make_camera(Resolver *r, int index) {
    PlanShot *planned = &r->plan->shots[index];
    const Shot *shot = &r->scene->shots[index];
    CameraProblem *problem = &planned->problem;
    resolve_because(r, "rules 14 to 20", "solved from what is stated");
    if (!resolve(r, NODE_PICTURE, index, NOWHERE) || !gather_mark(r, index, problem) ||
        !resolve_slot(r, r->scene->agree, NOWHERE, &problem->agree_mm))
        return false;
    problem->picture = planned->picture;
    problem->crop_up_free = shot->crop_up_free;
    const bool stated = gather_statements(r, index, problem), allowed = gather_allowed(r, index, problem);
    if (!stated || !allowed || !gather_others(r, index, problem) || !lens_can_focus(r, index)) return false;
    camera_solve(problem, &planned->solution);
    const CameraSolution *solution = &planned->solution;
    switch (solution->status) {
    case CAMERA_TOO_LITTLE:
        report_too_little(r, shot, solution);
        return false;
    case CAMERA_CONTRADICTION:
        report_contradiction(r, index, solution);
        return false;
    case CAMERA_IMPOSSIBLE:
        report_impossible(r, index, solution);
        return false;
    case CAMERA_SOLVED:
        break;
    }
    if (!planned_is_allowed(r, index, &solution->camera)) return false;
    planned->cameras = ARENA_ARRAY(r->arena, PlanCamera, 1);
    planned->camera_count = 1;
    planned->cameras[0] = (PlanCamera){
        .name = "planned", .camera = in_set(planned, solution->camera), .lens_kind = shot->lens_kind};
    planned->cameras[0].id = *planned->name ? arena_format(r->arena, "planned_%d", index + 1) : "planned";
    return true;
}

/* --- allowed cameras
 * ---------------------------------------------------------------------------------------- */

static const char *plain_id(Resolver *r, const char *text) {
    char *id = arena_string(r->arena, text);
    for (char *c = id; *c; c++) {
        const bool plain = (*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z') || (*c >= '0' && *c <= '9');
        *c = plain ? *c : '_';
    }
    return id;
}

typedef struct AllowedLens {
    double focal_mm;
    int kind;
} AllowedLens;

static size_t allowed_lenses(const Resolver *r, int index, AllowedLens lenses[ALLOWED_MOST]) {
    const Shot *shot = &r->scene->shots[index];
    const Camera *planned = &r->plan->shots[index].solution.camera;
    const bool no_shorter = gives_up(r, index, ALLOW_SHORTER), no_longer = gives_up(r, index, ALLOW_LONGER);
    size_t count = 0;
    for (size_t i = 0; i < shot->allow_lens_count; i++) {
        AllowedLens lens = {r->plan->values[shot->allow_lens[i]], shot->allow_lens_kind[i]};
        bool again = false;
        if ((no_shorter && lens.focal_mm < planned->focal_mm - ALLOWANCE_HAIR_MM) ||
            (no_longer && lens.focal_mm > planned->focal_mm + ALLOWANCE_HAIR_MM)) {
            if (!shot->lens_range) continue;
            lens = (AllowedLens){planned->focal_mm, shot->lens_kind}; /* the range ends there */
        }
        for (size_t j = 0; j < count; j++)
            again |= fabs(lenses[j].focal_mm - lens.focal_mm) < 1e-6;
        if (!again) lenses[count++] = lens;
    }
    if (count == 0) lenses[count++] = (AllowedLens){planned->focal_mm, shot->lens_kind};
    return count;
}

static bool add_allowed(Resolver *r, int index, const HeldPuppet *held, AllowedLens lens, double height_mm) {
    PlanShot *planned = &r->plan->shots[index];
    const Shot *shot = &r->scene->shots[index];
    const Camera *plan = &planned->solution.camera;
    if (fabs(lens.focal_mm - plan->focal_mm) < 1e-6 && fabs(height_mm - plan->height_mm) < 1e-6) return true;
    const char *name =
        arena_format(r->arena, "%s lens, %s up", lens_text(r, lens.focal_mm), said_length(r, height_mm));
    Camera camera;
    if (!camera_again(held, &planned->picture, lens.focal_mm, height_mm, plan->crop_up_mm, &camera)) {
        diagnostics_error(r->diagnostics,
                          span_is_none(shot->allow_lens_span) ? shot->allow_height_span
                                                              : shot->allow_lens_span,
                          "no camera with a %s keeps %s as drawn", name, thing_phrase(r, planned->lead));
        return false;
    }
    planned->cameras[planned->camera_count] = (PlanCamera){
        .name = name,
        .id = plain_id(r, *planned->name ? arena_format(r->arena, "%s_%d", name, index + 1) : name),
        .camera = in_set(planned, camera),
        .lens_kind = lens.kind};
    planned->camera_count++;
    return true;
}

bool make_cameras(Resolver *r, int index) {
    const Shot *shot = &r->scene->shots[index];
    PlanShot *planned = &r->plan->shots[index];
    resolve_because(r, "rules 21 and 22", "each pair of allowed lens and height, solved anew");
    if (!resolve(r, NODE_CAMERA, index, NOWHERE) || !resolve_slot(r, shot->spare, NOWHERE, &planned->spare))
        return false;
    if (!(planned->spare >= 0 && planned->spare <= 1)) {
        diagnostics_error(r->diagnostics, slot_span(r, shot->spare), "`spare` is from 0 to 100 %%");
        return false;
    }
    if (gives_up(r, index, ALLOW_SPARE)) planned->spare = 0;
    const CameraProblem *p = &planned->problem;
    AllowedLens lenses[ALLOWED_MOST];
    const size_t lens_count = allowed_lenses(r, index, lenses);
    double heights[2] = {planned->solution.camera.height_mm, 0};
    int height_count = 1;
    if (p->height_allowed) {
        const double planned_mm = heights[0];
        heights[0] = gives_up(r, index, ALLOW_LOWER) ? planned_mm : p->height_low_mm;
        heights[1] = gives_up(r, index, ALLOW_HIGHER) ? planned_mm : p->height_high_mm;
        height_count = heights[1] - heights[0] > 1e-6 ? 2 : 1;
    }
    HeldPuppet held;
    if (!held_puppet(&planned->solution.camera, &planned->picture, p->mark_up_mm, p->mark_tall_mm, p->focus,
                     &held)) {
        diagnostics_error(r->diagnostics, shot->camera_span, "the planned camera does not see %s",
                          thing_phrase(r, planned->lead));
        return false;
    }
    PlanCamera *all = ARENA_ARRAY(r->arena, PlanCamera, 1 + lens_count * 2);
    all[0] = planned->cameras[0];
    planned->cameras = all;
    for (size_t l = 0; l < lens_count; l++) {
        for (int h = 0; h < height_count; h++) {
            if (!add_allowed(r, index, &held, lenses[l], heights[h])) return false;
        }
    }
    return true;
}

/* --- other bodies in the camera's place
 * --------------------------------------------------------------------- */

/* As it is held: turned with the planned body. */
static void turned(bool upright, double *wide, double *tall) {
    if (!upright) return;
    const double kept = *wide;
    *wide = *tall;
    *tall = kept;
}

static void cannot_focus(Resolver *r, int index, const Also *also, double focal_mm) {
    const PlanShot *planned = &r->plan->shots[index];
    Diagnostic *d = diagnostics_error(
        r->diagnostics, also->lens_span,
        "a %s mm lens cannot be focused from where the planned camera stands: what is in focus is %s away",
        number_short(r->arena, focal_mm, 2), said_length(r, planned->cameras[0].camera.object_mm));
    const Body *body = &r->scene->bodies[also->body];
    double wide = r->plan->values[body->sensor_wide], tall = r->plan->values[body->sensor_tall];
    OtherBody other;
    turned(planned->shot->upright, &wide, &tall);
    if (other_body_new(&planned->cameras[0].camera, &planned->picture, wide, tall, 1, &other))
        diagnostic_help(r->diagnostics, d, "lenses up to %s mm show all of the planned frame on `%s`",
                        number_fixed(r->arena, other.longest_mm, 0), body->name);
}

void make_also(Resolver *r, int index) {
    const Shot *shot = &r->scene->shots[index];
    PlanShot *planned = &r->plan->shots[index];
    planned->also = ARENA_ARRAY(r->arena, PlanAlso, shot->also_count);
    for (size_t i = 0; i < shot->also_count; i++) {
        const Also *also = &shot->also[i];
        const Body *body = &r->scene->bodies[also->body];
        PlanAlso made = {.also = also};
        double focal, wide, tall;
        const SlotInto wanted[] = {
            {also->lens, &focal}, {body->sensor_wide, &wide}, {body->sensor_tall, &tall}};
        if (!resolve_all(r, wanted, sizeof wanted / sizeof *wanted)) continue;
        turned(shot->upright, &wide, &tall);
        if (!other_body_new(&planned->cameras[0].camera, &planned->picture, wide, tall, focal, &made.other)) {
            cannot_focus(r, index, also, focal);
            continue;
        }
        if (slot_stated(r, body->pixels_wide)) {
            const SlotInto pixels[] = {{body->pixels_wide, &made.pixels_wide},
                                       {body->pixels_tall, &made.pixels_tall}};
            if (!resolve_all(r, pixels, 2)) continue;
            turned(shot->upright, &made.pixels_wide, &made.pixels_tall);
        }
        const char *lens = also->lens_kind >= 0
                               ? r->scene->lenses[also->lens_kind].name
                               : arena_format(r->arena, "%s mm", number_short(r->arena, focal, 2));
        made.name = arena_format(r->arena, "%s, %s lens", body->name, lens);
        planned->also[planned->also_count++] = made;
    }
}
