#include "report/points_to_text.h"

#include "optics/photo_camera.h"
#include "plan/points.h"

#include <math.h>

/* A line is found again in a photograph where it is some pixels wide; common practice, no source. */
enum { PEN_PX = 5 };

typedef struct View {
    Buffer *out;
    const Plan *plan;
    size_t shot;
    const int *hidden_by; /* of the shot's points; NULL: not known */
    Photograph photo;     /* wide_px 0: its body has no pixels */
    PhotoCamera camera;
} View;

static const char *drawn(const View *view, double mm) {
    const double px = view->plan->shots[view->shot].drawn_px_per_mm;
    Arena *arena = view->out->arena;
    return px > 0 ? arena_format(arena, "%s px", number_fixed(arena, mm * px, 0))
                  : arena_format(arena, "%s mm", number_fixed(arena, mm, 1));
}

static const char *length(const View *view, double mm) {
    return length_both(view->out->arena, view->plan->scene->lengths, mm, 32, 1);
}

/* The thinnest pen that shows, at a depth along the axis. */
static double pen_mm(const View *view, double depth_mm) {
    const double px_mm = view->photo.sensor_wide_mm / view->photo.wide_px;
    return PEN_PX * px_mm * depth_mm / view->camera.image_mm;
}

/* Whether it can be in the photograph: nothing is known of one without pixels. */
static bool add_in_photo(const View *view, Point3 at) {
    Arena *arena = view->out->arena;
    double x, y, depth;
    if (!(view->photo.wide_px > 0)) return true;
    if (!photo_project(&view->camera, &view->photo, at, &x, &y, &depth)) return false;
    if (x < 0 || y < 0 || x > view->photo.wide_px || y > view->photo.tall_px) {
        buffer_add(view->out, "; off the photograph");
        return false;
    }
    buffer_format(view->out, "; in the photograph at [%s px, %s px]; a pen line of %s",
                  number_fixed(arena, x, 0), number_fixed(arena, y, 0), length(view, pen_mm(view, depth)));
    return true;
}

static void add_hidden(const View *view, const PlanPoint *point, int by) {
    if (by >= 0)
        buffer_format(view->out, "; hidden by %s",
                      by == point->thing ? "itself" : view->plan->scene->things[by].name);
}

/* Where the drawing has it: as planned, whatever was built. */
static void add_on_drawing(const View *view, Point3 at) {
    const PlanShot *shot = &view->plan->shots[view->shot];
    double x, y;
    if (!camera_project(&shot->cameras[0].camera, &shot->picture, at, &x, &y, NULL)) {
        buffer_add(view->out, "behind the planned camera");
        return;
    }
    if (x < 0 || y < 0 || x > shot->picture.drawing_wide_mm || y > shot->picture.drawing_tall_mm)
        buffer_add(view->out, "off the drawing");
    else
        buffer_format(view->out, "on the drawing %s right, %s up", drawn(view, x), drawn(view, y));
}

static void add_points(const View *view) {
    size_t count;
    Arena *arena = view->out->arena;
    Plan as_planned = *view->plan;
    as_planned.things = plan_planned(view->plan);
    const PlanPoint *points = plan_points(arena, view->plan, view->shot, &count);
    const PlanPoint *planned = plan_points(arena, &as_planned, view->shot, &count);
    for (size_t i = 0; i < count; i++) {
        if (!points[i].on_set) continue;
        buffer_format(view->out, "  %s: ", plan_point_path(arena, &points[i]));
        add_on_drawing(view, planned[i].at);
        if (add_in_photo(view, points[i].at) && view->hidden_by)
            add_hidden(view, &points[i], view->hidden_by[i]);
        buffer_add(view->out, "\n");
    }
    buffer_add(view->out, "\n");
}

static Photograph photograph_of(const Plan *plan, int body, bool upright) {
    const Body *it = &plan->scene->bodies[body];
    if (!plan->known[it->pixels_wide] || !plan->known[it->pixels_tall]) return (Photograph){0};
    const double px[2] = {plan->values[it->pixels_wide], plan->values[it->pixels_tall]};
    const double mm[2] = {plan->values[it->sensor_wide], plan->values[it->sensor_tall]};
    return (Photograph){px[upright], px[!upright], mm[upright]};
}

static void set_lens(View *view, const Photo *photo) {
    const int slot = photo->lens;
    if (slot < 0 || !view->plan->known[slot]) return;
    PhotoCamera other = view->camera;
    other.focal_mm = view->plan->values[slot];
    if (photo_focus(&other, view->plan->shots[view->shot].focus)) view->camera = other;
}

static View view_of_shot(Buffer *out, const Plan *plan, size_t index, int body) {
    const PlanShot *shot = &plan->shots[index];
    return (View){.out = out,
                  .plan = plan,
                  .shot = index,
                  .photo = photograph_of(plan, body >= 0 ? body : shot->body, shot->shot->upright),
                  .camera = photo_camera_of(&shot->cameras[0].camera)};
}

static void add_heading(const View *view, const char *what, const char *name, int body) {
    Arena *arena = view->out->arena;
    buffer_format(view->out, "points %s%s%s: body %s, %s mm lens", what, *name ? " " : "", name,
                  view->plan->scene->bodies[body].name, number_short(arena, view->camera.focal_mm, 2));
    if (view->photo.wide_px > 0)
        buffer_format(
            view->out,
            ", %s x %s px\n  counted from the drawing's lower left corner, and from the photograph's "
            "upper left one; such a pen line shows %d px wide\n",
            number_short(arena, view->photo.wide_px, 0), number_short(arena, view->photo.tall_px, 0), PEN_PX);
    else
        buffer_add(view->out,
                   "; its `pixels` are not stated\n  counted from the drawing's lower left corner\n");
}

void points_to_text(Buffer *out, const Plan *plan, const int *const *hidden_by) {
    for (size_t i = 0; i < plan->shot_count; i++) {
        View view = view_of_shot(out, plan, i, -1);
        view.hidden_by = hidden_by ? hidden_by[i] : NULL;
        add_heading(&view, "as planned", plan->shots[i].name, plan->shots[i].body);
        add_points(&view);
    }
    for (size_t i = 0; i < plan->scene->photo_count; i++) {
        const Photo *photo = &plan->scene->photos[i];
        View view = view_of_shot(out, plan, (size_t)photo->shot, photo->body);
        view.hidden_by = hidden_by ? hidden_by[photo->shot] : NULL;
        set_lens(&view, photo);
        add_heading(&view, "for photograph", photo->name,
                    photo->body >= 0 ? photo->body : plan->shots[photo->shot].body);
        add_points(&view);
    }
}
