/* Words within the outline of a part. */
#include "picture/sheet_cut.h"

#include <math.h>

static const double LINE_PX = 9.5, AIR_PX = 1.5;
enum { PLACES = 9 }; /* tried each way */

static bool point_inside(const CanvasPoint *outline, size_t count, double x, double y) {
    bool inside = false;
    for (size_t i = 0, j = count - 1; i < count; j = i++) {
        const CanvasPoint a = outline[i], b = outline[j];
        if ((a.y_px > y) != (b.y_px > y) && x < a.x_px + (y - a.y_px) / (b.y_px - a.y_px) * (b.x_px - a.x_px))
            inside = !inside;
    }
    return inside;
}

static bool box_inside(const CanvasPoint *outline, size_t count, CanvasBox box) {
    if (!point_inside(outline, count, (box.left_px + box.right_px) / 2, (box.top_px + box.bottom_px) / 2))
        return false;
    for (size_t i = 0; i < count; i++)
        if (canvas_line_meets(outline[i], outline[(i + 1) % count], box)) return false;
    return true;
}

static bool is_free(const CanvasBoxes *taken, CanvasBox box) {
    for (size_t i = 0; i < taken->count; i++)
        if (canvas_boxes_meet(taken->items[i], box)) return false;
    return true;
}

static CanvasPoint centroid(const CanvasPoint *outline, size_t count) {
    double twice = 0, x = 0, y = 0;
    for (size_t i = 0; i < count; i++) {
        const CanvasPoint a = outline[i], b = outline[(i + 1) % count];
        const double cross = a.x_px * b.y_px - b.x_px * a.y_px;
        twice += cross;
        x += (a.x_px + b.x_px) * cross;
        y += (a.y_px + b.y_px) * cross;
    }
    if (fabs(twice) < 1e-9) return outline[0];
    return (CanvasPoint){x / (3 * twice), y / (3 * twice)};
}

static CanvasBox around(CanvasPoint middle, double wide, double tall) {
    return (CanvasBox){middle.x_px - wide / 2, middle.y_px - tall / 2, middle.x_px + wide / 2,
                       middle.y_px + tall / 2};
}

/* The free place next to the outline's middle. */
static bool find_place(const CanvasPoint *outline, size_t count, const CanvasBoxes *taken, double wide,
                       double tall, CanvasPoint *place) {
    const CanvasBox all = sheet_box_of(outline, count);
    const double room_x = all.right_px - all.left_px - wide, room_y = all.bottom_px - all.top_px - tall;
    if (room_x < 0 || room_y < 0) return false;
    const CanvasPoint middle = centroid(outline, count);
    double nearest = INFINITY;
    for (int i = -1; i < PLACES * PLACES; i++) {
        const CanvasPoint at =
            i < 0 ? middle
                  : (CanvasPoint){all.left_px + wide / 2 + room_x * (i % PLACES) / (PLACES - 1),
                                  all.top_px + tall / 2 + room_y * (i / PLACES) / (PLACES - 1)};
        const double far = hypot(at.x_px - middle.x_px, at.y_px - middle.y_px);
        const CanvasBox box = around(at, wide, tall);
        if (far + 1e-6 >= nearest || !box_inside(outline, count, box) || !is_free(taken, box)) continue;
        nearest = far;
        *place = at;
        if (i < 0) return true;
    }
    return nearest < INFINITY;
}

bool sheet_cut_words(Sheets *sheets, const CutWords *words, const CanvasPoint *outline, size_t count,
                     CanvasBoxes *taken) {
    TextStyle style = SHEET_TEXT;
    style.align = TEXT_CENTRED;
    style.middle = true;
    style.upright = words->upright;
    double along = 0;
    for (size_t i = 0; i < words->count; i++) {
        style.face = i == 0 ? FACE_BOLD : FACE_PLAIN;
        along = fmax(along, canvas_text_wide_px(sheets->canvas, &style, words->lines[i]));
    }
    const double lines = (double)words->count * LINE_PX;
    const double wide = (words->upright ? lines : along) + 2 * AIR_PX,
                 tall = (words->upright ? along : lines) + 2 * AIR_PX;
    CanvasPoint at = {0, 0};
    if (!find_place(outline, count, taken, wide, tall, &at)) return false;
    for (size_t i = 0; i < words->count; i++) {
        const double off = ((double)i - (double)(words->count - 1) / 2) * LINE_PX;
        style.face = i == 0 ? FACE_BOLD : FACE_PLAIN;
        canvas_text(sheets->canvas, at.x_px + (words->upright ? off : 0),
                    at.y_px + (words->upright ? 0 : off), &style, words->lines[i]);
    }
    LIST_PUSH(sheets->arena, *taken, around(at, wide, tall));
    return true;
}
