/* The planned frame through the lens: what is built, where it is trimmed, what is kept free, and where things
 * are drawn. */
#include "model/space.h"
#include "picture/labels.h"
#include "picture/pictures.h"

#include <math.h>

/* Told apart by their lines too, not by colours alone. */
static const LineStyle TRIM_LINE = {.color = 0x111418, .wide_px = 2, .halo = 0xFFFFFF, .halo_px = 1};
static const LineStyle SAFE_LINE = {
    .color = 0x0A55A0, .wide_px = 2, .dash = DASH_SHORT, .halo = 0xFFFFFF, .halo_px = 1};
static const LineStyle GUTTER_LINE = {
    .color = 0x6B2C91, .wide_px = 2, .dash = DASH_DOT, .halo = 0xFFFFFF, .halo_px = 1};
static const LineStyle TEXT_LINE = {
    .color = 0x0B6B57, .wide_px = 2, .dash = DASH_LONG, .halo = 0xFFFFFF, .halo_px = 1};
static const LineStyle HORIZON_LINE = {
    .color = 0xB34700, .wide_px = 2, .dash = DASH_LONG_DOT, .halo = 0xFFFFFF, .halo_px = 1};
static const LineStyle MARK_LINE = {.color = 0x111418, .wide_px = 2, .halo = 0xFFFFFF, .halo_px = 1.5};
static const LineStyle HATCH_LINE = {.color = 0xC2185B, .wide_px = 3.5};
static const uint32_t GUTTER_COLOR = 0xCDB4DB, TEXT_AREA_COLOR = 0xFFFFFF, VEIL_COLOR = 0xFFFFFF;
static const double MARK_ARM_PX = 9;

typedef struct Frame {
    const PictureTask *task;
    const PlanShot *shot;
    Canvas *canvas;
    Window window;
    SetView *view;
    Labels labels;
} Frame;

static CanvasBox box_of(const Frame *frame, PageArea area) {
    return (CanvasBox){window_x_px(&frame->window, area.left_mm), window_y_px(&frame->window, area.high_mm),
                       window_x_px(&frame->window, area.right_mm), window_y_px(&frame->window, area.low_mm)};
}

static double middle_of(CanvasBox box) {
    return (box.top_px + box.bottom_px) / 2;
}

/* ---- Areas of the page */

/* What is cut off is paler. */
static void draw_veil(const Frame *frame) {
    const CanvasBox all = frame->window.px, in = box_of(frame, frame->shot->areas.picture);
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
    const CanvasBox box = box_of(frame, areas->gutter);
    canvas_fill_box(frame->canvas, box, GUTTER_COLOR, 0.3);
    canvas_line(frame->canvas, box.left_px, box.top_px, box.left_px, box.bottom_px, &GUTTER_LINE);
    canvas_line(frame->canvas, box.right_px, box.top_px, box.right_px, box.bottom_px, &GUTTER_LINE);
}

static void draw_texts(const Frame *frame) {
    const PageAreas *areas = &frame->shot->areas;
    for (size_t i = 0; i < areas->text_count; i++) {
        const CanvasBox box = box_of(frame, areas->texts[i].area);
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
        canvas_rectangle(frame->canvas, box_of(frame, areas->safe[i]), &SAFE_LINE);
    if (areas->bleeds) canvas_rectangle(frame->canvas, box_of(frame, areas->picture), &TRIM_LINE);
}

/* Beside the frame, as printers have them. */
static void draw_crop_marks(const Frame *frame) {
    const CanvasBox all = frame->window.px, in = box_of(frame, frame->shot->areas.picture);
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

/* ---- Horizon */

static double horizon_px(const Frame *frame) {
    return window_y_px(&frame->window,
                       camera_horizon_mm(&frame->shot->cameras[0].camera, &frame->shot->picture));
}

static bool horizon_in_frame(const Frame *frame) {
    const double y = horizon_px(frame);
    return y >= frame->window.px.top_px && y <= frame->window.px.bottom_px;
}

static void draw_horizon(const Frame *frame) {
    const double y = horizon_px(frame);
    if (horizon_in_frame(frame))
        canvas_line(frame->canvas, frame->window.px.left_px, y, frame->window.px.right_px, y, &HORIZON_LINE);
}

static void name_horizon(Frame *frame) {
    if (!horizon_in_frame(frame)) return;
    TextStyle style = LABEL_TEXT;
    style.color = HORIZON_LINE.color;
    const double wide = canvas_text_wide_px(frame->canvas, &style, "horizon");
    const double y = horizon_px(frame);
    const double right = box_of(frame, frame->shot->areas.picture).right_px,
                 left = box_of(frame, frame->shot->areas.picture).left_px;
    const Label at_right = {.text = "horizon",
                            .style = style,
                            .x_px = right - wide / 2 - 14,
                            .y_px = y,
                            .off_px = 4,
                            .far_px = 12};
    Label at_left = at_right;
    at_left.x_px = left + wide / 2 + 14;
    if (!labels_place(&frame->labels, &at_right)) labels_place(&frame->labels, &at_left);
}

/* ---- Marks */

static bool is_in_frame(const Frame *frame, double x_mm, double y_mm) {
    const RasterWindow *mm = &frame->window.mm;
    return x_mm >= mm->left_mm && x_mm <= mm->right_mm && y_mm >= mm->low_mm && y_mm <= mm->high_mm;
}

static bool is_in_shot(const Frame *frame, const Thing *thing) {
    return thing->shot < 0 || (size_t)thing->shot == frame->task->shot;
}

static bool is_drawn(const Frame *frame, const Thing *thing) {
    static const Field drawn[] = {FIELD_DRAWN_X, FIELD_DRAWN_Y, FIELD_DRAWN_TALL, FIELD_DRAWN_WIDE};
    for (size_t i = 0; i < sizeof drawn / sizeof *drawn; i++) {
        if (frame->task->plan->scene->slots[thing->slot[drawn[i]]].stated) return true;
    }
    return false;
}

/* Whatever can be found on the drawing: puppets, and what the spec places by it. */
static bool is_marked(const Frame *frame, const Thing *thing) {
    if (!is_in_shot(frame, thing)) return false;
    if (thing->role == ROLE_PUPPET) return true;
    return (thing->role == ROLE_PIECE || thing->role == ROLE_FLAT || thing->role == ROLE_BACKDROP) &&
           is_drawn(frame, thing);
}

/* Calls `visit` with each point of the thing that the frame shows, in px. */
typedef void VisitPoint(Frame *frame, const FactPoint *point, double x_px, double y_px);

static void each_point(Frame *frame, const Thing *thing, VisitPoint *visit) {
    const Facts *facts = frame->task->facts;
    for (size_t i = 0; i < facts->points.count; i++) {
        const FactPoint *point = &facts->points.items[i];
        if (!text_equal(point->shot, frame->shot->name) || !text_equal(point->thing, thing->name)) continue;
        if (!point->seen || !is_in_frame(frame, point->x_mm, point->y_mm)) continue;
        if (text_starts(point->point, "rear")) continue; /* of boxes, the face that one measures is enough */
        visit(frame, point, window_x_px(&frame->window, point->x_mm),
              window_y_px(&frame->window, point->y_mm));
    }
}

static void draw_mark(Frame *frame, const FactPoint *point, double x_px, double y_px) {
    canvas_cross(frame->canvas, x_px, y_px, MARK_ARM_PX, text_equal(point->point, "eyes"), &MARK_LINE);
    labels_take(&frame->labels,
                (CanvasBox){x_px - MARK_ARM_PX, y_px - MARK_ARM_PX, x_px + MARK_ARM_PX, y_px + MARK_ARM_PX});
}

static void draw_marks(Frame *frame) {
    const Plan *plan = frame->task->plan;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const Thing *thing = plan->things[i].thing;
        if (is_marked(frame, thing)) each_point(frame, thing, draw_mark);
    }
}

/* ---- Names */

/* Where a puppet looks from stays free. */
static void keep_faces_free(Frame *frame) {
    const Plan *plan = frame->task->plan;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const ThingSeen *seen = &frame->view->things[i];
        if (plan->things[i].thing->role != ROLE_PUPPET || seen->px == 0) continue;
        labels_avoid(&frame->labels, seen->box);
        CanvasBox upper = seen->box;
        upper.bottom_px -= (upper.bottom_px - upper.top_px) * 0.6;
        labels_avoid(&frame->labels, upper);
    }
}

typedef struct Anchor {
    double x_px, y_px;
    bool any;
} Anchor;

static Anchor head_of(const Frame *frame, const Thing *thing) {
    const Facts *facts = frame->task->facts;
    for (size_t i = 0; i < facts->points.count; i++) {
        const FactPoint *point = &facts->points.items[i];
        if (!text_equal(point->shot, frame->shot->name) || !text_equal(point->thing, thing->name)) continue;
        if (!text_equal(point->point, "head") || !point->seen ||
            !is_in_frame(frame, point->x_mm, point->y_mm))
            continue;
        return (Anchor){window_x_px(&frame->window, point->x_mm), window_y_px(&frame->window, point->y_mm),
                        true};
    }
    return (Anchor){0, 0, false};
}

static void name_puppet(Frame *frame, size_t index) {
    const Thing *thing = frame->task->plan->things[index].thing;
    const ThingSeen *seen = &frame->view->things[index];
    const Anchor head = head_of(frame, thing);
    if (!head.any && seen->px == 0) return;
    Label label = {.text = seen->px > 0 ? thing->name
                                        : arena_format(frame->task->arena, "%s, hidden", thing->name),
                   .style = LABEL_TEXT,
                   .x_px = head.any ? head.x_px : seen->x_px,
                   .y_px = head.any ? head.y_px : seen->y_px,
                   .off_px = head.any ? MARK_ARM_PX + 3 : 4,
                   .far_px = 160};
    label.style.face = FACE_BOLD;
    labels_place(&frame->labels, &label);
}

/* Whose pixel it is. */
static int32_t thing_at(const SetView *view, double x_px, double y_px) {
    const int x = (int)(x_px - view->window.px.left_px), y = (int)(y_px - view->window.px.top_px);
    if (x < 0 || y < 0 || x >= view->wide_px || y >= view->tall_px) return RASTER_NOTHING;
    return view->nearest[(size_t)y * (size_t)view->wide_px + (size_t)x];
}

typedef struct Ground {
    const SetView *view;
    int32_t thing;
} Ground;

/* A word on the thing alone, by its rim and its middle line. */
static bool lies_on(const void *context, CanvasBox box) {
    const Ground *on = context;
    const double step = 5;
    for (double x = box.left_px; x < box.right_px + step; x += step) {
        const double at = fmin(x, box.right_px);
        if (thing_at(on->view, at, box.top_px) != on->thing ||
            thing_at(on->view, at, box.bottom_px) != on->thing ||
            thing_at(on->view, at, middle_of(box)) != on->thing)
            return false;
    }
    return true;
}

/* The pixel of a thing that is nearest to the middle of what is seen of it. */
static Anchor own_pixel(const SetView *view, int32_t thing) {
    const ThingSeen *seen = &view->things[thing];
    Anchor best = {0, 0, false};
    double least = INFINITY;
    for (double y = seen->box.top_px + 0.5; y < seen->box.bottom_px; y++) {
        for (double x = seen->box.left_px + 0.5; x < seen->box.right_px; x++) {
            if (thing_at(view, x, y) != thing) continue;
            const double apart = hypot(x - seen->x_px, y - seen->y_px);
            if (apart >= least) continue;
            least = apart;
            best = (Anchor){x, y, true};
        }
    }
    return best;
}

/* On what is seen of it where there is room, else beside that. */
static void name_other(Frame *frame, size_t index) {
    const ThingSeen *seen = &frame->view->things[index];
    enum { SEEN_LEAST_PX = 60 };
    if (seen->px < SEEN_LEAST_PX) return;
    Label label = {.text = frame->task->plan->things[index].thing->name,
                   .style = LABEL_TEXT,
                   .x_px = seen->x_px,
                   .y_px = seen->y_px,
                   .off_px = 8,
                   .far_px = 140};
    const Ground on = {frame->view, (int32_t)index};
    if (labels_place_on(&frame->labels, &label, seen->box, lies_on, &on)) return;
    const Anchor anchor = own_pixel(frame->view, (int32_t)index);
    label.x_px = anchor.x_px;
    label.y_px = anchor.y_px;
    labels_place(&frame->labels, &label);
}

static void name_things(Frame *frame) {
    const Plan *plan = frame->task->plan;
    const size_t count = plan->scene->thing_count;
    for (size_t i = 0; i < count; i++) {
        if (plan->things[i].thing->role == ROLE_PUPPET && is_in_shot(frame, plan->things[i].thing))
            name_puppet(frame, i);
    }
    static const ThingRole roles[] = {ROLE_PIECE, ROLE_FLAT, ROLE_BACKDROP, ROLE_GROUND};
    for (size_t r = 0; r < sizeof roles / sizeof *roles; r++) {
        for (size_t i = 0; i < count; i++) {
            if (plan->things[i].thing->role == roles[r]) name_other(frame, i);
        }
    }
}

static void name_texts(Frame *frame) {
    const PageAreas *areas = &frame->shot->areas;
    for (size_t i = 0; i < areas->text_count; i++) {
        const CanvasBox box = box_of(frame, areas->texts[i].area);
        TextStyle style = LABEL_TEXT;
        style.color = TEXT_LINE.color;
        const char *name = arena_format(frame->task->arena, "text: %s", areas->texts[i].name);
        const Label label = {.text =
                                 canvas_text_fitted(frame->canvas, &style, name, box.right_px - box.left_px),
                             .style = style,
                             .x_px = (box.left_px + box.right_px) / 2,
                             .y_px = (box.top_px + box.bottom_px) / 2,
                             .off_px = 4,
                             .far_px = 200,
                             .inside = true};
        labels_place(&frame->labels, &label);
    }
}

static void name_bare(Frame *frame) {
    if (frame->view->bare_px == 0) return;
    const CanvasBox bare = frame->view->bare;
    TextStyle style = LABEL_TEXT;
    style.color = HATCH_LINE.color;
    style.face = FACE_BOLD;
    style.plate = 0.95;
    const Label label = {.text = "shoots off: nothing is built here",
                         .style = style,
                         .x_px = (bare.left_px + bare.right_px) / 2,
                         .y_px = (bare.top_px + bare.bottom_px) / 2,
                         .off_px = 8,
                         .far_px = 300,
                         .inside = true};
    labels_place(&frame->labels, &label);
}

/* ---- Legend */

static void sample_line(Canvas *canvas, CanvasBox box, const LineStyle *style) {
    canvas_line(canvas, box.left_px, middle_of(box), box.right_px, middle_of(box), style);
}

static void sample_trim(Canvas *canvas, CanvasBox box) {
    sample_line(canvas, box, &TRIM_LINE);
}

static void sample_safe(Canvas *canvas, CanvasBox box) {
    sample_line(canvas, box, &SAFE_LINE);
}

static void sample_gutter(Canvas *canvas, CanvasBox box) {
    canvas_fill_box(canvas, box, GUTTER_COLOR, 0.6);
    canvas_line(canvas, box.left_px, box.top_px, box.left_px, box.bottom_px, &GUTTER_LINE);
    canvas_line(canvas, box.right_px, box.top_px, box.right_px, box.bottom_px, &GUTTER_LINE);
}

static void sample_text(Canvas *canvas, CanvasBox box) {
    canvas_rectangle(canvas, canvas_box_grown(box, -1), &TEXT_LINE);
}

static void sample_horizon(Canvas *canvas, CanvasBox box) {
    sample_line(canvas, box, &HORIZON_LINE);
}

static void sample_foot(Canvas *canvas, CanvasBox box) {
    canvas_cross(canvas, (box.left_px + box.right_px) / 2, middle_of(box), MARK_ARM_PX, false, &MARK_LINE);
}

static void sample_eyes(Canvas *canvas, CanvasBox box) {
    canvas_cross(canvas, (box.left_px + box.right_px) / 2, middle_of(box), MARK_ARM_PX, true, &MARK_LINE);
}

static void sample_bare(Canvas *canvas, CanvasBox box) {
    canvas_fill_box(canvas, box, 0xFBE3E8, 1);
    canvas_hatch(canvas, box, 16 / sqrt(2), &HATCH_LINE);
}

enum { LEGEND_MOST = 12 };

static size_t legend_of(const Frame *frame, LegendEntry entries[LEGEND_MOST]) {
    const PageAreas *areas = &frame->shot->areas;
    size_t count = 0;
    if (areas->bleeds)
        entries[count++] = (LegendEntry){.sample = sample_trim, .text = "trim; paler: cut off"};
    if (areas->safe_count > 0) entries[count++] = (LegendEntry){.sample = sample_safe, .text = "safe area"};
    if (areas->has_gutter) entries[count++] = (LegendEntry){.sample = sample_gutter, .text = "gutter"};
    if (areas->text_count > 0) entries[count++] = (LegendEntry){.sample = sample_text, .text = "text"};
    if (horizon_in_frame(frame))
        entries[count++] = (LegendEntry){.sample = sample_horizon, .text = "horizon"};
    entries[count++] = picture_scale(frame->task, &frame->window);
    entries[count++] = (LegendEntry){.sample = sample_foot, .text = "foot, top, corner"};
    entries[count++] = (LegendEntry){.sample = sample_eyes, .text = "eyes"};
    if (frame->view->bare_px > 0)
        entries[count++] = (LegendEntry){.sample = sample_bare, .text = "shoots off"};
    if (!horizon_in_frame(frame))
        entries[count++] = (LegendEntry){.text = horizon_px(frame) < frame->window.px.top_px
                                                     ? "the horizon is above the picture"
                                                     : "the horizon is below the picture"};
    return count;
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
    if (tilt) buffer_format(&line, ", tilt %s", tilt);
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
    canvas_clip(frame->canvas, frame->window.px);
    draw_areas(frame);
    draw_horizon(frame);
    draw_marks(frame);
    canvas_unclip(frame->canvas);
    keep_faces_free(frame);
    name_texts(frame);
    name_bare(frame);
    name_horizon(frame);
    name_things(frame);
    canvas_rectangle(frame->canvas, canvas_box_grown(frame->window.px, 0.5),
                     &(LineStyle){.color = 0x8A9098, .wide_px = 1});
    draw_crop_marks(frame);
}

bool frame_picture(const PictureTask *task, PictureFile *file) {
    Frame frame = {.task = task, .shot = &task->plan->shots[task->shot]};
    frame.window = picture_window(frame.shot, PICTURE_HEAD_PX);
    Arena *own = arena_new();
    enum { LEGEND_ROOM_PX = 3 * PICTURE_LINE_PX + 40 };
    const double foot = frame.window.px.bottom_px + 26;
    frame.canvas =
        canvas_new(own, PICTURE_WIDE_PX, (int)frame.window.px.bottom_px + LEGEND_ROOM_PX, PAPER_COLOR);
    frame.labels = labels_new(own, frame.canvas, canvas_box_grown(frame.window.px, -3));
    frame.view = set_view_paint(own, frame.canvas, task->scenery, (int)task->shot,
                                &frame.shot->cameras[0].camera, frame.window);
    picture_head(task, frame.canvas, head_line(task));
    draw_frame(&frame);
    LegendEntry entries[LEGEND_MOST];
    const size_t count = legend_of(&frame, entries);
    const double legend = picture_legend(frame.canvas, entries, count, foot);
    canvas_cut(frame.canvas, (int)(foot + legend) + 14);
    *file = picture_file(task, frame.canvas, ".png", "Through the lens", alt_of(&frame));
    arena_free(own);
    return true;
}
