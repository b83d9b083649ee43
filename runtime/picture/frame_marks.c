#include "picture/frame.h"

static bool is_drawn(const Frame *frame, const Thing *thing) {
    static const Field drawn[] = {FIELD_DRAWN_X, FIELD_DRAWN_Y, FIELD_DRAWN_TALL, FIELD_DRAWN_WIDE};
    for (size_t i = 0; i < sizeof drawn / sizeof *drawn; i++) {
        if (frame->task->plan->scene->slots[thing->slot[drawn[i]]].stated) return true;
    }
    return false;
}

/* Whatever can be found on the drawing: puppets, and what the spec places by it. */
static bool is_marked(const Frame *frame, const Thing *thing) {
    if (!frame_has(frame, thing)) return false;
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
        if (!point->seen || !frame_shows(frame, point->x_mm, point->y_mm)) continue;
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

void frame_marks(Frame *frame) {
    const Plan *plan = frame->task->plan;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        if (is_marked(frame, plan->things[i].thing)) each_point(frame, (int32_t)i, draw_mark);
    }
}
