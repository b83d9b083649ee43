#include "picture/frame.h"

#include <math.h>

static void name_horizon(Frame *frame) {
    if (!frame_shows_horizon(frame)) return;
    TextStyle style = LABEL_TEXT;
    style.color = HORIZON_LINE.color;
    const double wide = canvas_text_wide_px(frame->canvas, &style, "horizon");
    const double y = frame_horizon_px(frame);
    const double right = frame_box(frame, frame->shot->areas.picture).right_px,
                 left = frame_box(frame, frame->shot->areas.picture).left_px;
    const Label at_right = label_at("horizon", &style, right - wide / 2 - 14, y, 4, 12),
                at_left = label_at("horizon", &style, left + wide / 2 + 14, y, 4, 12);
    if (!labels_place(&frame->labels, &at_right)) labels_place(&frame->labels, &at_left);
}

/* Puppets stay to be seen, pieces where that is easy. */
static double worth_seeing(const void *context, double x_px, double y_px) {
    static const double worth[ROLE_COUNT] = {[ROLE_PUPPET] = 1, [ROLE_PIECE] = 0.3};
    const Frame *frame = context;
    const int32_t thing = set_view_thing(frame->view, x_px, y_px);
    return thing == RASTER_NOTHING ? 0 : worth[frame->task->plan->things[thing].thing->role];
}

static void keep_free(Frame *frame) {
    const double y = frame_horizon_px(frame);
    if (frame_shows_horizon(frame))
        labels_avoid(&frame->labels,
                     (CanvasBox){frame->window.px.left_px, y - 6, frame->window.px.right_px, y + 6});
    if (frame->shot->areas.has_gutter)
        labels_avoid(&frame->labels, frame_box(frame, frame->shot->areas.gutter));
    for (size_t i = 0; i < frame->shot->areas.text_count; i++)
        labels_avoid(&frame->labels, frame_box(frame, frame->shot->areas.texts[i].area));
    frame->labels.worth = worth_seeing;
    frame->labels.context = frame;
}

/* As long a name as leaves room for others. */
static const char *shown_name(const Frame *frame, const TextStyle *style, const char *name) {
    enum { NAME_MOST_PX = 240 };
    return canvas_text_fitted(frame->canvas, style, name, NAME_MOST_PX);
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
            !frame_shows(frame, point->x_mm, point->y_mm))
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
            set_view_thing(on->view, at, (box.top_px + box.bottom_px) / 2) != on->thing)
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
    const char *name = shown_name(frame, &LABEL_TEXT, frame->task->plan->things[index].thing->name);
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
        if (plan->things[i].thing->role == ROLE_PUPPET && frame_has(frame, plan->things[i].thing))
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
        const CanvasBox box = frame_box(frame, areas->texts[i].area);
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
    style.color = STRIPE_COLOR;
    style.face = FACE_BOLD;
    style.plate = 0.95;
    const Label label =
        label_at("shoots off: nothing is built here", &style, (bare.left_px + bare.right_px) / 2,
                 (bare.top_px + bare.bottom_px) / 2, 8, 300);
    if (!labels_place_on(&frame->labels, &label, bare, lies_anywhere, NULL))
        labels_place(&frame->labels, &label);
}

void frame_names(Frame *frame) {
    keep_free(frame);
    name_texts(frame);
    name_bare(frame);
    name_horizon(frame);
    name_things(frame);
}
