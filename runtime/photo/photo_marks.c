#include "base/text.h"
#include "photo/photo_stages.h"
#include "plan/points.h"

#include <math.h>

/* A whole photograph has its body's proportions; cameras round by some pixels. */
static const double CUT_MOST = 0.01;

/* --- the photograph ------------------------------------------------------------------------------------ */

static void say_cut(const PhotoWork *work, double sensor_wide, double sensor_tall) {
    const LinedPhoto *photo = work->photo;
    Diagnostic *d = diagnostics_error(
        work->diagnostics, photo->photo->image_span,
        "the photograph is %d x %d px, but the sensor of `%s` is %s x %s mm: other proportions",
        (int)photo->image.wide_px, (int)photo->image.tall_px, work->plan->scene->bodies[photo->body].name,
        number_short(work->arena, sensor_wide, 2), number_short(work->arena, sensor_tall, 2));
    diagnostic_help(work->diagnostics, d,
                    "give the whole photograph, not cut, and the `body` it was taken with");
}

static bool read_image(const PhotoWork *work) {
    LinedPhoto *photo = work->photo;
    const Plan *plan = work->plan;
    if (photo->photo->image < 0 || !plan->found[photo->photo->image].found) return false; /* said already */
    const FoundFile *file = &plan->found[photo->photo->image];
    photo->body = photo->photo->body >= 0 ? photo->photo->body : work->shot->body;
    const Body *body = &plan->scene->bodies[photo->body];
    const double a = plan->values[body->sensor_wide], b = plan->values[body->sensor_tall];
    const bool upright = file->height_px > file->width_px;
    const double wide = upright ? fmin(a, b) : fmax(a, b), tall = upright ? fmax(a, b) : fmin(a, b);
    photo->image = (Photograph){file->width_px, file->height_px, wide};
    const double apart = (photo->image.wide_px / photo->image.tall_px) / (wide / tall);
    if (fabs(apart - 1) <= CUT_MOST) return true;
    say_cut(work, wide, tall);
    return false;
}

static void read_lens(const PhotoWork *work) {
    LinedPhoto *photo = work->photo;
    const int slot = photo->photo->lens;
    const double of_metadata = work->plan->found[photo->photo->image].focal_mm;
    photo->focal_from = FOCAL_SOUGHT;
    if (slot >= 0 && work->plan->known[slot]) {
        photo->focal_from = FOCAL_STATED;
        photo->focal_mm = work->plan->values[slot];
    } else if (of_metadata > 0) {
        photo->focal_from = FOCAL_OF_METADATA;
        photo->focal_mm = of_metadata;
    }
}

/* --- marks --------------------------------------------------------------------------------------------- */

static const char *points_of_thing(Arena *arena, const PlanPoint *points, size_t count, int thing,
                                   const char **names, size_t *name_count) {
    Buffer list = buffer_new(arena);
    *name_count = 0;
    for (size_t i = 0; i < count; i++) {
        if (!points[i].on_set || points[i].thing != thing) continue;
        buffer_format(&list, "%s`%s`", *name_count > 0 ? ", " : "", points[i].name);
        names[(*name_count)++] = points[i].name;
    }
    return buffer_text(&list);
}

static void say_no_point(const PhotoWork *work, const PhotoMark *mark, const PlanPoint *points,
                         size_t count) {
    const char **names = ARENA_ARRAY(work->arena, const char *, count);
    size_t name_count;
    const char *list = points_of_thing(work->arena, points, count, mark->thing, names, &name_count);
    const char *thing = work->plan->scene->things[mark->thing].name;
    Diagnostic *d =
        name_count == 0
            ? diagnostics_error(work->diagnostics, mark->span, "`%s` has no points in this shot", thing)
        : mark->point[0]
            ? diagnostics_error(work->diagnostics, mark->span, "`%s` has no point `%s`", thing, mark->point)
            : diagnostics_error(work->diagnostics, mark->span, "which point of `%s`?", thing);
    if (name_count == 0) return;
    const char *near = mark->point[0] ? text_nearest(mark->point, names, name_count) : NULL;
    if (near)
        diagnostic_help(work->diagnostics, d, "did you mean `%s.%s`?", thing, near);
    else
        diagnostic_help(work->diagnostics, d, "it has %s", list);
}

static const PlanPoint *find_point(const PhotoMark *mark, const PlanPoint *points, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (!points[i].on_set || points[i].thing != mark->thing) continue;
        if (mark->thing < 0 || text_equal(points[i].name, mark->point)) return &points[i];
    }
    return NULL;
}

static bool read_pixels(const PhotoWork *work, const PhotoMark *mark, LinedMark *lined) {
    const Plan *plan = work->plan;
    const Photograph *image = &work->photo->image;
    if (!plan->known[mark->x] || !plan->known[mark->y]) return false;
    lined->x_px = plan->values[mark->x];
    lined->y_px = plan->values[mark->y];
    const struct {
        double value, most;
        int slot;
        const char *side;
    } sides[] = {{lined->x_px, image->wide_px, mark->x, "wide"},
                 {lined->y_px, image->tall_px, mark->y, "tall"}};
    bool inside = true;
    for (size_t i = 0; i < 2; i++) {
        if (sides[i].value >= 0 && sides[i].value <= sides[i].most) continue;
        const Formula *formula = &plan->scene->slots[sides[i].slot].formula;
        diagnostics_error(work->diagnostics, formula->span,
                          "`%s` is marked outside the photograph, which is %d px %s", mark->name,
                          (int)sides[i].most, sides[i].side);
        inside = false;
    }
    return inside;
}

static bool read_marks(const PhotoWork *work) {
    LinedPhoto *photo = work->photo;
    size_t count;
    const PlanPoint *points = plan_points(work->arena, work->plan, (size_t)photo->photo->shot, &count);
    bool sound = true;
    photo->marks = ARENA_ARRAY(work->arena, LinedMark, photo->photo->mark_count);
    for (size_t i = 0; i < photo->photo->mark_count; i++) {
        const PhotoMark *mark = &photo->photo->marks[i];
        const PlanPoint *point = find_point(mark, points, count);
        LinedMark *lined = &photo->marks[photo->mark_count++];
        *lined = (LinedMark){.mark = mark};
        if (!point) say_no_point(work, mark, points, count);
        if (point) lined->at = point->at;
        sound &= point != NULL;
        sound &= read_pixels(work, mark, lined);
    }
    if (photo->mark_count <= RESECT_MARKS_MOST) return sound;
    diagnostics_error(work->diagnostics, photo->photo->span, "more than %d marks in one photograph",
                      RESECT_MARKS_MOST);
    return false;
}

bool photo_read(const PhotoWork *work) {
    if (!read_image(work)) return false;
    read_lens(work);
    return read_marks(work);
}
