/* The planned frame through the lens: what is built, where it is trimmed, what is kept free, and where things
 * are drawn. */
#include "base/pixels.h"
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
static const LineStyle HIDDEN_LINE = {
    .color = 0x111418, .wide_px = 1.2, .halo = 0xFFFFFF, .halo_px = 0.8, .strength = 0.6};
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
    bool over_drawing; /* the drawing lies over the set */
    bool hides_points; /* of what is marked, something stands before some */
} Frame;

static CanvasBox box_of(const Frame *frame, PageArea area) {
    return (CanvasBox){window_x_px(&frame->window, area.left_mm), window_y_px(&frame->window, area.high_mm),
                       window_x_px(&frame->window, area.right_mm), window_y_px(&frame->window, area.low_mm)};
}

static double middle_of(CanvasBox box) {
    return (box.top_px + box.bottom_px) / 2;
}

/* ---- The drawing */

/* As large as the trim, as it was measured; multiplied in, so that its lines show and its paper does not. */
static bool lay_drawing(const Frame *frame) {
    const int wanted = frame->shot->shot->image;
    const Pixels *pixels = wanted >= 0 ? frame->task->plan->found[wanted].pixels : NULL;
    if (!pixels) return false;
    const Picture *picture = &frame->shot->picture;
    const PageArea all = {0, picture->drawing_wide_mm, 0, picture->drawing_tall_mm};
    canvas_image(frame->canvas, pixels->argb, pixels->wide_px, pixels->tall_px, box_of(frame, all),
                 BLEND_MULTIPLY, 0.5);
    return true;
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
    const Label at_right = label_at("horizon", &style, right - wide / 2 - 14, y, 4, 12),
                at_left = label_at("horizon", &style, left + wide / 2 + 14, y, 4, 12);
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
typedef void VisitPoint(Frame *frame, int32_t thing, const FactPoint *point, double x_px, double y_px);

static void each_point(Frame *frame, int32_t index, VisitPoint *visit) {
    const Facts *facts = frame->task->facts;
    const Thing *thing = frame->task->plan->things[index].thing;
    for (size_t i = 0; i < facts->points.count; i++) {
        const FactPoint *point = &facts->points.items[i];
        if (!text_equal(point->shot, frame->shot->name) || !text_equal(point->thing, thing->name)) continue;
        if (!point->seen || !is_in_frame(frame, point->x_mm, point->y_mm)) continue;
        if (text_starts(point->point, "rear")) continue; /* of boxes, the face that one measures is enough */
        visit(frame, index, point, window_x_px(&frame->window, point->x_mm),
              window_y_px(&frame->window, point->y_mm));
    }
}

/* Whether something of the set is nearer to the lens than the point, by more than its own skin is. */
static bool is_hidden(const Frame *frame, int32_t thing, const FactPoint *point, double x_px, double y_px) {
    size_t pixel;
    if (!set_view_pixel(frame->view, x_px, y_px, &pixel) || frame->view->nearest[pixel] == thing)
        return false;
    const double depth_mm = camera_depth_mm(&frame->shot->cameras[0].camera, point->set);
    return frame->view->nearness[pixel] * depth_mm > 1.02;
}

static void draw_mark(Frame *frame, int32_t thing, const FactPoint *point, double x_px, double y_px) {
    const bool hidden = is_hidden(frame, thing, point, x_px, y_px);
    frame->hides_points |= hidden;
    canvas_cross(frame->canvas, x_px, y_px, MARK_ARM_PX, text_equal(point->point, "eyes"),
                 hidden ? &HIDDEN_LINE : &MARK_LINE);
    labels_take(&frame->labels,
                (CanvasBox){x_px - MARK_ARM_PX, y_px - MARK_ARM_PX, x_px + MARK_ARM_PX, y_px + MARK_ARM_PX});
}

static void draw_marks(Frame *frame) {
    const Plan *plan = frame->task->plan;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        if (is_marked(frame, plan->things[i].thing)) each_point(frame, (int32_t)i, draw_mark);
    }
}

/* ---- Names */

/* Puppets stay to be seen, pieces where that is easy. */
static double worth_seeing(const void *context, double x_px, double y_px) {
    static const double worth[ROLE_COUNT] = {[ROLE_PUPPET] = 1, [ROLE_PIECE] = 0.3};
    const Frame *frame = context;
    const int32_t thing = set_view_thing(frame->view, x_px, y_px);
    return thing == RASTER_NOTHING ? 0 : worth[frame->task->plan->things[thing].thing->role];
}

static void keep_free(Frame *frame) {
    const double y = horizon_px(frame);
    if (horizon_in_frame(frame))
        labels_avoid(&frame->labels,
                     (CanvasBox){frame->window.px.left_px, y - 6, frame->window.px.right_px, y + 6});
    if (frame->shot->areas.has_gutter) labels_avoid(&frame->labels, box_of(frame, frame->shot->areas.gutter));
    for (size_t i = 0; i < frame->shot->areas.text_count; i++)
        labels_avoid(&frame->labels, box_of(frame, frame->shot->areas.texts[i].area));
    frame->labels.worth = worth_seeing;
    frame->labels.context = frame;
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
    TextStyle style = LABEL_TEXT;
    style.face = FACE_BOLD;
    const char *name =
        seen->px > 0 ? thing->name : arena_format(frame->task->arena, "%s, hidden", thing->name);
    const Label label = label_at(name, &style, head.any ? head.x_px : seen->x_px,
                                 head.any ? head.y_px : seen->y_px, head.any ? MARK_ARM_PX + 3 : 4, 160);
    labels_place(&frame->labels, &label);
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
        if (set_view_thing(on->view, at, box.top_px) != on->thing ||
            set_view_thing(on->view, at, box.bottom_px) != on->thing ||
            set_view_thing(on->view, at, middle_of(box)) != on->thing)
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
            if (set_view_thing(view, x, y) != thing) continue;
            const double apart = hypot(x - seen->x_px, y - seen->y_px);
            if (apart >= least) continue;
            least = apart;
            best = (Anchor){x, y, true};
        }
    }
    return best;
}

/* On what is seen of it where there is room, else beside that; what is all round (the ground) only on itself.
 */
static void name_other(Frame *frame, int32_t index, bool beside) {
    const ThingSeen *seen = &frame->view->things[index];
    enum { SEEN_LEAST_PX = 60, SMALL_PX = 240 };
    if (seen->px < SEEN_LEAST_PX) return;
    const char *name = frame->task->plan->things[index].thing->name;
    Label label = label_at(name, &LABEL_TEXT, seen->x_px, seen->y_px, 5, 140);
    const Ground on = {frame->view, index};
    if (labels_place_on(&frame->labels, &label, seen->box, lies_on, &on) || !beside) return;
    const Anchor anchor = own_pixel(frame->view, index);
    const Label at = label_at(name, &LABEL_TEXT, anchor.x_px, anchor.y_px, 8, 140);
    label = at;
    if (seen->box.right_px - seen->box.left_px < SMALL_PX) label.around = seen->box;
    if (!labels_place(&frame->labels, &label)) labels_place(&frame->labels, &at);
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
            if (plan->things[i].thing->role == roles[r])
                name_other(frame, (int32_t)i, roles[r] == ROLE_PIECE || roles[r] == ROLE_FLAT);
        }
    }
}

static bool lies_anywhere(const void *context, CanvasBox box) {
    (void)context;
    (void)box;
    return true;
}

static void name_texts(Frame *frame) {
    const PageAreas *areas = &frame->shot->areas;
    for (size_t i = 0; i < areas->text_count; i++) {
        const CanvasBox box = box_of(frame, areas->texts[i].area);
        TextStyle style = LABEL_TEXT;
        style.color = TEXT_LINE.color;
        const double room = box.right_px - box.left_px - 12;
        const char *name = arena_format(frame->task->arena, "text: %s", areas->texts[i].name);
        if (canvas_text_wide_px(frame->canvas, &style, name) > room) name = areas->texts[i].name;
        const Label label = label_at(canvas_text_fitted(frame->canvas, &style, name, room), &style,
                                     (box.left_px + box.right_px) / 2, box.top_px + 16, 4, 200);
        labels_place_on(&frame->labels, &label, canvas_box_grown(box, -2), lies_anywhere, NULL);
    }
}

static void name_bare(Frame *frame) {
    if (frame->view->bare_px == 0) return;
    const CanvasBox bare = frame->view->bare;
    TextStyle style = LABEL_TEXT;
    style.color = HATCH_LINE.color;
    style.face = FACE_BOLD;
    style.plate = 0.95;
    const Label label =
        label_at("shoots off: nothing is built here", &style, (bare.left_px + bare.right_px) / 2,
                 (bare.top_px + bare.bottom_px) / 2, 8, 300);
    if (!labels_place_on(&frame->labels, &label, bare, lies_anywhere, NULL))
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

static void sample_hidden(Canvas *canvas, CanvasBox box) {
    canvas_cross(canvas, (box.left_px + box.right_px) / 2, middle_of(box), MARK_ARM_PX, false, &HIDDEN_LINE);
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
    entries[count++] = (LegendEntry){.sample = sample_foot, .text = "foot, top, corner"};
    entries[count++] = (LegendEntry){.sample = sample_eyes, .text = "eyes"};
    if (frame->hides_points)
        entries[count++] = (LegendEntry){.sample = sample_hidden, .text = "a point that is hidden"};
    if (frame->view->bare_px > 0)
        entries[count++] = (LegendEntry){.sample = sample_bare, .text = "shoots off"};
    if (frame->over_drawing)
        entries[count++] = (LegendEntry){.text = "the drawing lies over it at half strength"};
    if (!horizon_in_frame(frame))
        entries[count++] = (LegendEntry){.text = horizon_px(frame) < frame->window.px.top_px
                                                     ? "the horizon is above the picture"
                                                     : "the horizon is below the picture"};
    entries[count++] = picture_scale(frame->task, &frame->window);
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
    if (tilt) buffer_format(&line, ", %s", tilt);
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
    draw_marks(frame);
    canvas_unclip(frame->canvas);
    keep_free(frame);
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
