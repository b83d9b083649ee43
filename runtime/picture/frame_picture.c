/* The planned frame through the lens: what is built, where it is trimmed, what is kept free, and where things
 * are drawn. */
#include "base/pixels.h"
#include "picture/frame.h"

#include <math.h>

/* Told apart by their lines too, not by colours alone. */
const LineStyle TRIM_LINE = {.color = 0x111418, .wide_px = 2, .halo = 0xFFFFFF, .halo_px = 1};
const LineStyle SAFE_LINE = {
    .color = 0x0A55A0, .wide_px = 2, .dash = DASH_SHORT, .halo = 0xFFFFFF, .halo_px = 1};
const LineStyle GUTTER_LINE = {
    .color = 0x6B2C91, .wide_px = 2, .dash = DASH_DOT, .halo = 0xFFFFFF, .halo_px = 1};
const LineStyle TEXT_LINE = {
    .color = 0x0B6B57, .wide_px = 2, .dash = DASH_LONG, .halo = 0xFFFFFF, .halo_px = 1};
const LineStyle HORIZON_LINE = {
    .color = 0xB34700, .wide_px = 2, .dash = DASH_LONG_DOT, .halo = 0xFFFFFF, .halo_px = 1};
const LineStyle MARK_LINE = {.color = 0x111418, .wide_px = 2, .halo = 0xFFFFFF, .halo_px = 1.5};
const LineStyle HIDDEN_LINE = {.color = 0x6E757D, .wide_px = 2, .halo = 0xFFFFFF, .halo_px = 1};
static const uint32_t TEXT_AREA_COLOR = 0xFFFFFF, VEIL_COLOR = 0xFFFFFF;

CanvasBox frame_box(const Frame *frame, PageArea area) {
    return (CanvasBox){window_x_px(&frame->window, area.left_mm), window_y_px(&frame->window, area.high_mm),
                       window_x_px(&frame->window, area.right_mm), window_y_px(&frame->window, area.low_mm)};
}

double frame_horizon_px(const Frame *frame) {
    return window_y_px(&frame->window,
                       camera_horizon_mm(&frame->shot->cameras[0].camera, &frame->shot->picture));
}

bool frame_shows_horizon(const Frame *frame) {
    const double y = frame_horizon_px(frame);
    return y >= frame->window.px.top_px && y <= frame->window.px.bottom_px;
}

bool frame_shows(const Frame *frame, double x_mm, double y_mm) {
    const RasterWindow *mm = &frame->window.mm;
    return x_mm >= mm->left_mm && x_mm <= mm->right_mm && y_mm >= mm->low_mm && y_mm <= mm->high_mm;
}

bool frame_has(const Frame *frame, const Thing *thing) {
    return thing->shot < 0 || (size_t)thing->shot == frame->task->shot;
}

/* ---- The drawing */

/* As large as the trim, as it was measured; multiplied in, so that its lines show and its paper does not. */
static bool lay_drawing(const Frame *frame) {
    const int wanted = frame->shot->shot->image;
    const Pixels *pixels = wanted >= 0 ? frame->task->plan->found[wanted].pixels : NULL;
    if (!pixels) return false;
    const Picture *picture = &frame->shot->picture;
    const PageArea all = {0, picture->drawing_wide_mm, 0, picture->drawing_tall_mm};
    canvas_image(frame->canvas, pixels->argb, pixels->wide_px, pixels->tall_px, frame_box(frame, all),
                 BLEND_MULTIPLY, 0.5);
    return true;
}

/* ---- Areas of the page */

/* What is cut off is paler. */
static void draw_veil(const Frame *frame) {
    const CanvasBox all = frame->window.px, in = frame_box(frame, frame->shot->areas.picture);
    const CanvasBox sides[] = {{all.left_px, all.top_px, all.right_px, in.top_px},
                               {all.left_px, in.bottom_px, all.right_px, all.bottom_px},
                               {all.left_px, in.top_px, in.left_px, in.bottom_px},
                               {in.right_px, in.top_px, all.right_px, in.bottom_px}};
    for (size_t i = 0; i < sizeof sides / sizeof *sides; i++) {
        if (sides[i].right_px > sides[i].left_px && sides[i].bottom_px > sides[i].top_px)
            canvas_fill_box(frame->canvas, sides[i], VEIL_COLOR, 0.55);
    }
}

/* Upright lines alone: at its ends the strip goes on. */
static void draw_gutter(const Frame *frame) {
    const PageAreas *areas = &frame->shot->areas;
    if (!areas->has_gutter) return;
    const CanvasBox box = frame_box(frame, areas->gutter);
    canvas_fill_box(frame->canvas, box, GUTTER_COLOR, 0.3);
    canvas_line(frame->canvas, box.left_px, box.top_px, box.left_px, box.bottom_px, &GUTTER_LINE);
    canvas_line(frame->canvas, box.right_px, box.top_px, box.right_px, box.bottom_px, &GUTTER_LINE);
}

static void draw_texts(const Frame *frame) {
    const PageAreas *areas = &frame->shot->areas;
    for (size_t i = 0; i < areas->text_count; i++) {
        const CanvasBox box = frame_box(frame, areas->texts[i].area);
        canvas_fill_box(frame->canvas, box, TEXT_AREA_COLOR, 0.45);
        canvas_rectangle(frame->canvas, box, &TEXT_LINE);
    }
}

static void draw_areas(const Frame *frame) {
    const PageAreas *areas = &frame->shot->areas;
    draw_veil(frame);
    draw_gutter(frame);
    draw_texts(frame);
    for (size_t i = 0; i < areas->safe_count; i++)
        canvas_rectangle(frame->canvas, frame_box(frame, areas->safe[i]), &SAFE_LINE);
    if (areas->bleeds) canvas_rectangle(frame->canvas, frame_box(frame, areas->picture), &TRIM_LINE);
}

/* Beside the frame, as printers have them. */
static void draw_crop_marks(const Frame *frame) {
    const CanvasBox all = frame->window.px, in = frame_box(frame, frame->shot->areas.picture);
    const LineStyle line = {.color = 0x111418, .wide_px = 1.5};
    const double gap = 4, arm = 16;
    const double xs[2] = {in.left_px, in.right_px}, ys[2] = {in.top_px, in.bottom_px};
    for (int i = 0; i < 2 && frame->shot->areas.bleeds; i++) {
        canvas_line(frame->canvas, xs[i], all.top_px - gap - arm, xs[i], all.top_px - gap, &line);
        canvas_line(frame->canvas, xs[i], all.bottom_px + gap, xs[i], all.bottom_px + gap + arm, &line);
        canvas_line(frame->canvas, all.left_px - gap - arm, ys[i], all.left_px - gap, ys[i], &line);
        canvas_line(frame->canvas, all.right_px + gap, ys[i], all.right_px + gap + arm, ys[i], &line);
    }
}

static void draw_horizon(const Frame *frame) {
    const double y = frame_horizon_px(frame);
    if (frame_shows_horizon(frame))
        canvas_line(frame->canvas, frame->window.px.left_px, y, frame->window.px.right_px, y, &HORIZON_LINE);
}

/* ---- The whole */

static const char *head_line(const PictureTask *task) {
    const char *heading = picture_heading(task);
    const char *focal = picture_value(task, heading, "lens", "focal"),
               *lens = picture_value(task, heading, "lens", "name"),
               *height = picture_value(task, heading, "height", NULL),
               *distance = picture_value(task, heading, "distance", NULL),
               *tilt = picture_value(task, heading, "tilt", NULL),
               *enlarged = picture_value(task, heading, "enlargement", NULL);
    Buffer line = buffer_new(task->arena);
    if (focal) buffer_format(&line, "lens %s", focal);
    if (lens) buffer_format(&line, " (%s)", lens);
    if (height) buffer_format(&line, ", %s up", height);
    if (distance) buffer_format(&line, ", %s from the mark", distance);
    if (tilt) buffer_format(&line, text_equal(tilt, "level") ? ", %s" : ", tilted %s", tilt);
    if (enlarged) buffer_format(&line, "; drawing enlarged %s at the mark", enlarged);
    return buffer_text(&line);
}

static const char *alt_of(const Frame *frame) {
    const PictureTask *task = frame->task;
    Buffer alt = buffer_new(task->arena);
    buffer_format(&alt, "The planned frame of %s through the lens, shaded",
                  task->facts->title ? task->facts->title : task->plan->scene->name);
    if (frame->shot->name[0]) buffer_format(&alt, ", shot %s", frame->shot->name);
    const char *before = ": ";
    for (size_t i = 0; i < task->plan->scene->thing_count; i++) {
        const Thing *thing = task->plan->things[i].thing;
        if (frame->view->things[i].px == 0 || thing->role == ROLE_GROUND) continue;
        buffer_format(&alt, "%s%s", before, thing->name);
        before = ", ";
    }
    buffer_add(&alt, frame->view->bare_px > 0 ? ". In places it shoots off the set."
                                              : ". It shoots off the set nowhere.");
    return buffer_text(&alt);
}

static void draw_frame(Frame *frame) {
    frame->over_drawing = lay_drawing(frame);
    canvas_clip(frame->canvas, frame->window.px);
    draw_areas(frame);
    draw_horizon(frame);
    frame_marks(frame);
    canvas_unclip(frame->canvas);
    frame_names(frame);
    canvas_rectangle(frame->canvas, canvas_box_grown(frame->window.px, 0.5),
                     &(LineStyle){.color = 0x8A9098, .wide_px = 1});
    draw_crop_marks(frame);
}

bool frame_picture(const PictureTask *task, PictureFile *file) {
    Frame frame = {.task = task, .shot = &task->plan->shots[task->shot]};
    frame.window = picture_window(frame.shot, PICTURE_HEAD_PX);
    Arena *own = arena_new();
    enum { LEGEND_ROOM_PX = 10 * PICTURE_LINE_PX + 40 };
    const double foot = frame.window.px.bottom_px + 26;
    frame.canvas =
        canvas_new(own, PICTURE_WIDE_PX, (int)frame.window.px.bottom_px + LEGEND_ROOM_PX, PAPER_COLOR);
    frame.labels = labels_new(own, frame.canvas, canvas_box_grown(frame.window.px, -3));
    frame.view = set_view_paint(own, frame.canvas, task->scenery, (int)task->shot,
                                &frame.shot->cameras[0].camera, frame.window);
    picture_head(task, frame.canvas, head_line(task));
    draw_frame(&frame);
    const double legend = frame_legend(&frame, foot);
    canvas_cut(frame.canvas, (int)(foot + legend) + 14);
    *file = picture_file(task, frame.canvas, ".png", "Through the lens", alt_of(&frame));
    arena_free(own);
    return true;
}
