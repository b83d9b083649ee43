/* The drawing squared up: the flat ground's grid laid on it through the planned camera, so that places are
 * read off it. */
#include "base/pixels.h"
#include "picture/squared.h"

#include <math.h>

/* ---- Legend */

static double middle_of(CanvasBox box) {
    return (box.top_px + box.bottom_px) / 2;
}

static void sample_grid(Canvas *canvas, CanvasBox box) {
    const LineStyle line = {.color = GRID_COLOR, .wide_px = 2};
    const double x = (box.left_px + box.right_px) / 2, y = middle_of(box);
    canvas_line(canvas, box.left_px, y, box.right_px, y, &line);
    canvas_line(canvas, x - 6, box.bottom_px, x + 6, box.top_px, &line);
}

static void sample_zero(Canvas *canvas, CanvasBox box) {
    canvas_line(canvas, box.left_px, middle_of(box), box.right_px, middle_of(box),
                &(LineStyle){.color = ZERO_COLOR, .wide_px = 3.5});
}

static void sample_edge(Canvas *canvas, CanvasBox box) {
    canvas_line(canvas, box.left_px, middle_of(box), box.right_px, middle_of(box), &SQUARED_EDGE_LINE);
}

static void sample_horizon(Canvas *canvas, CanvasBox box) {
    canvas_line(canvas, box.left_px, middle_of(box), box.right_px, middle_of(box), &SQUARED_HORIZON_LINE);
}

static void sample_height(Canvas *canvas, CanvasBox box) {
    const LineStyle line = {.color = HEIGHT_COLOR, .wide_px = 2};
    const double x = box.right_px - 16;
    canvas_line(canvas, x, box.top_px, x, box.bottom_px, &line);
    for (int i = 0; i < 3; i++) {
        const double y = box.top_px + 1 + i * (box.bottom_px - box.top_px - 2) / 2;
        canvas_line(canvas, x, y, x + 10, y, &line);
    }
}

static const char *step_shown(const Squared *s) {
    return length_one(s->task->arena, s->task->facts->lengths, s->step_mm, 4, 0);
}

static bool leaves_lines_out(const Squared *s) {
    if (!squared_has_ground(s)) return false;
    for (long row = s->first_row; row <= s->last_row; row++) {
        const double y = squared_row_px(s, (double)row * s->step_mm);
        if (squared_is_across(s, y) && !squared_row_is_drawn(s, row)) return true;
    }
    return s->high_mm < s->rear_mm || s->step_mm * squared_scale(s, s->rear_mm) < SQUARED_ACROSS_PX;
}

static double draw_legend(const Squared *s, double top_px) {
    Arena *arena = s->task->arena;
    LegendEntry entries[6];
    size_t count = 0;
    const bool mm = s->task->facts->lengths == STYLE_MILLIMETRES;
    const char *lead = s->shot->lead >= 0 ? s->task->plan->scene->things[s->shot->lead].name : "the mark";
    const char *fewer = leaves_lines_out(s) ? ", fewer farther back" : "";
    entries[count++] = (LegendEntry){.sample = sample_grid,
                                     .text = arena_format(arena, "every %s on the flat ground%s%s",
                                                          step_shown(s), fewer, mm ? "; numbers in mm" : "")};
    entries[count++] = (LegendEntry){.sample = sample_zero, .text = "through the mark"};
    if (s->edge_seen) entries[count++] = (LegendEntry){.sample = sample_edge, .text = "edge of the ground"};
    if (squared_is_across(s, squared_horizon_px(s)))
        entries[count++] = (LegendEntry){.sample = sample_horizon, .text = "horizon"};
    entries[count++] = (LegendEntry){
        .sample = sample_height,
        .text = arena_format(arena, "above the flat ground, of what stands abreast of %s", lead)};
    return picture_legend(s->canvas, entries, count, top_px);
}

/* ---- The whole */

static const FoundFile *image_of(const PictureTask *task, const PlanShot *shot) {
    const int wanted = shot->shot->image;
    const FoundFile *found = wanted >= 0 && task->plan->found ? &task->plan->found[wanted] : NULL;
    return found && found->pixels ? found : NULL;
}

/* Six inches or 150 mm; thirds of that where the picture is of little. */
static double step_of(const PictureTask *task, const PlanShot *shot) {
    const bool feet = task->facts->lengths == STYLE_FEET_INCHES;
    const double wide = camera_frame_mm(&shot->cameras[0].camera, &shot->picture, shot->mark.back_mm, 0);
    const double step = feet ? 6 * MM_PER_INCH : 150;
    return wide < 3 * step ? step / 3 : step;
}

static Window drawing_window(const PlanShot *shot) {
    const RasterWindow mm = {0, shot->picture.drawing_wide_mm, 0, shot->picture.drawing_tall_mm};
    const double aspect = mm.high_mm / mm.right_mm;
    double wide = PICTURE_WIDE_PX - 2 * SQUARED_MARGIN_PX;
    if (wide * aspect > PICTURE_TALLEST_PX) wide = fmax(floor(PICTURE_TALLEST_PX / aspect), 1);
    const double left = floor((PICTURE_WIDE_PX - wide) / 2), tall = fmax(floor(wide * aspect + 0.5), 1);
    return (Window){mm, {left, PICTURE_HEAD_PX, left + wide, PICTURE_HEAD_PX + tall}};
}

static void draw_under(Squared *s, Arena *own) {
    if (s->image) {
        const Pixels *pixels = s->image->pixels;
        canvas_image(s->canvas, pixels->argb, pixels->wide_px, pixels->tall_px, s->window.px, BLEND_OVER, 1);
        return;
    }
    set_view_paint(own, s->canvas, s->task->scenery, (int)s->task->shot, s->camera, s->window);
    canvas_fill_box(s->canvas, s->window.px, 0xFFFFFF, 0.6);
}

static const char *alt_of(const Squared *s) {
    return arena_format(
        s->task->arena,
        "%s, over it the flat ground's grid in perspective, a line every %s across and back from the mark, "
        "numbered, with the horizon, the edge of the ground, and at the right a scale of heights",
        s->image ? "The drawing" : "The planned frame, pale", step_shown(s));
}

bool squared_picture(const PictureTask *task, PictureFile *file) {
    Squared s = {.task = task, .shot = &task->plan->shots[task->shot]};
    s.camera = &s.shot->cameras[0].camera;
    s.image = image_of(task, s.shot);
    s.window = drawing_window(s.shot);
    s.step_mm = step_of(task, s.shot);
    s.last_row = -1;
    squared_find_ground(&s);
    Arena *own = arena_new();
    enum { LEGEND_ROOM_PX = 3 * PICTURE_LINE_PX + SQUARED_FOOT_PX + 40 };
    s.canvas = canvas_new(own, PICTURE_WIDE_PX, (int)s.window.px.bottom_px + LEGEND_ROOM_PX, PAPER_COLOR);
    s.labels = labels_new(own, s.canvas, s.window.px);
    if (squared_has_ground(&s)) squared_choose_rows(&s, own);
    draw_under(&s, own);
    picture_head(task, s.canvas,
                 arena_format(task->arena,
                              "%s, squared up every %s on the flat ground as the planned camera sees it",
                              s.image ? "the drawing" : "the planned frame", step_shown(&s)));
    squared_draw(&s);
    squared_number(&s);
    const double foot = s.window.px.bottom_px + SQUARED_FOOT_PX + 8;
    canvas_cut(s.canvas, (int)(foot + draw_legend(&s, foot)) + 14);
    *file = picture_file(task, s.canvas, ".squared.png",
                         s.image ? "The drawing, squared up" : "The frame, squared up", alt_of(&s));
    arena_free(own);
    return true;
}
