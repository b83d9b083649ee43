/* A photograph with the drawing laid over it: through the camera that was found and the planned one, by the
 * upright plane across the set at the mark, the leading thing held; with what to move, and the crop that
 * equals the planned frame. docs/geometry.md, rules 73 and 74. */
#include "base/pixels.h"
#include "picture/labels.h"
#include "picture/pictures.h"
#include "plan/lined_up.h"
#include "plan/seen.h"

#include <math.h>

static const uint32_t MOVE_COLOR = 0xC2185B, RIGHT_COLOR = 0x1F6B2E;
static const LineStyle MOVE_LINE = {.color = 0xC2185B, .wide_px = 4, .halo = 0xFFFFFF, .halo_px = 2};
static const LineStyle CROP_LINE = {
    .color = 0x0A4FA0, .wide_px = 2.5, .dash = DASH_LONG, .halo = 0xFFFFFF, .halo_px = 1.5};
static const LineStyle FRAME_LINE = {
    .color = 0xB34700, .wide_px = 2, .dash = DASH_DOT, .halo = 0xFFFFFF, .halo_px = 1.5};
static const LineStyle MARK_LINE = {.color = 0x111418, .wide_px = 1.5, .halo = 0xFFFFFF, .halo_px = 1.5};
enum { MARK_ARM_PX = 8, MOST_LINES = 9 };

typedef struct Overlay {
    const PictureTask *task;
    const PlanShot *shot;
    const LinedPhoto *photo;
    Canvas *canvas;
    CanvasBox box; /* of the photograph on the canvas */
    double scale;  /* px of the canvas for one of the photograph */
    PhotoAxes axes;
    double held_x_px, held_y_px; /* what is added so that the leading thing is held, px of the photograph */
    Labels labels;
} Overlay;

/* ---- Photograph and drawing */

static CanvasPoint on_canvas(const Overlay *overlay, double x_px, double y_px) {
    return (CanvasPoint){overlay->box.left_px + overlay->scale * x_px,
                         overlay->box.top_px + overlay->scale * y_px};
}

/* A place on the drawing, in the photograph: by the plane at the mark. */
static bool photo_of_drawing(const Overlay *overlay, double x_mm, double y_mm, double *x_px, double *y_px) {
    Point3 at;
    if (!camera_on_upright(&overlay->shot->cameras[0].camera, &overlay->shot->picture, x_mm, y_mm,
                           overlay->shot->mark.back_mm, &at) ||
        !photo_project(&overlay->photo->found->camera, &overlay->photo->image, at, x_px, y_px, NULL))
        return false;
    *x_px += overlay->held_x_px;
    *y_px += overlay->held_y_px;
    return true;
}

/* The other way, without the radial term: it moves a point by less than a pixel of the picture. */
static bool drawing_of_photo(const Overlay *overlay, double x_px, double y_px, double *x_mm, double *y_mm) {
    const PhotoCamera *camera = &overlay->photo->found->camera;
    const Photograph *image = &overlay->photo->image;
    const PhotoAxes *axes = &overlay->axes;
    const double per_px = image->sensor_wide_mm / image->wide_px / camera->image_mm;
    const double a = (x_px - overlay->held_x_px - image->wide_px / 2) * per_px;
    const double b = (y_px - overlay->held_y_px - image->tall_px / 2) * per_px;
    const double back = axes->forward.back_mm + a * axes->right.back_mm + b * axes->down.back_mm;
    const double far = (overlay->shot->mark.back_mm - camera->lens.back_mm) / back;
    if (!(far > 0)) return false;
    const Point3 at = {
        camera->lens.across_mm +
            far * (axes->forward.across_mm + a * axes->right.across_mm + b * axes->down.across_mm),
        overlay->shot->mark.back_mm,
        camera->lens.up_mm + far * (axes->forward.up_mm + a * axes->right.up_mm + b * axes->down.up_mm)};
    return camera_project(&overlay->shot->cameras[0].camera, &overlay->shot->picture, at, x_mm, y_mm, NULL);
}

/* So that the drawn foot of the leading thing lies on its foot (rule 74). */
static void hold_the_lead(Overlay *overlay) {
    const LinedScale *scale = &overlay->photo->scale;
    const Plan *plan = overlay->task->plan;
    const PlanThing *lead = &plan_planned(plan)[overlay->shot->lead];
    const PlanView view = plan_view(lead, &overlay->shot->cameras[0].camera, &overlay->shot->picture);
    double x, y;
    if (!(scale->px_per_mm > 0) || !view.seen ||
        !photo_of_drawing(overlay, view.foot_x_mm, view.foot_y_mm, &x, &y))
        return;
    overlay->held_x_px = scale->left_px + scale->px_per_mm * view.foot_x_mm - x;
    overlay->held_y_px = scale->low_px - scale->px_per_mm * view.foot_y_mm - y;
}

/* ---- The drawing over it */

/* The pixel of an image nearest to a place on the drawing. */
static uint32_t pixel_at(const Overlay *overlay, const Pixels *image, double x_mm, double y_mm) {
    const PageArea *trim = &overlay->shot->areas.picture;
    const double u = (x_mm - trim->left_mm) / (trim->right_mm - trim->left_mm);
    const double v = (trim->high_mm - y_mm) / (trim->high_mm - trim->low_mm);
    if (!(u >= 0 && u < 1 && v >= 0 && v < 1)) return 0xFFFFFFFF;
    const size_t x = (size_t)(u * image->wide_px), y = (size_t)(v * image->tall_px);
    return image->argb[y * (size_t)image->wide_px + x];
}

static uint32_t channel(uint32_t color, int shift) {
    return color >> shift & 0xFF;
}

/* What is dark on the drawing darkens the photograph. */
static uint32_t multiplied(uint32_t under, uint32_t over) {
    uint32_t color = 0xFF;
    for (int shift = 16; shift >= 0; shift -= 8)
        color = color << 8 | (channel(under, shift) * (channel(over, shift) + 26) / 281);
    return color;
}

static const Pixels *drawing_of(const Overlay *overlay) {
    const int index = overlay->shot->shot->image;
    return index >= 0 ? overlay->task->plan->found[index].pixels : NULL;
}

static void lay_drawing_over(const Overlay *overlay) {
    const Pixels *image = drawing_of(overlay);
    if (!image) return;
    uint32_t *pixels = canvas_pixels(overlay->canvas);
    const size_t stride = (size_t)canvas_wide_px(overlay->canvas);
    for (int y = (int)overlay->box.top_px; y < (int)overlay->box.bottom_px; y++) {
        for (int x = (int)overlay->box.left_px; x < (int)overlay->box.right_px; x++) {
            double x_mm, y_mm;
            uint32_t *pixel = &pixels[(size_t)y * stride + (size_t)x];
            if (drawing_of_photo(overlay, (x + 0.5 - overlay->box.left_px) / overlay->scale,
                                 (y + 0.5 - overlay->box.top_px) / overlay->scale, &x_mm, &y_mm))
                *pixel = multiplied(*pixel, pixel_at(overlay, image, x_mm, y_mm));
        }
    }
    canvas_pixels_done(overlay->canvas);
}

static void draw_photograph(const Overlay *overlay) {
    const Pixels *image = overlay->task->plan->found[overlay->photo->photo->image].pixels;
    if (image)
        canvas_image(overlay->canvas, image->argb, image->wide_px, image->tall_px, overlay->box, BLEND_OVER,
                     0.85);
    lay_drawing_over(overlay);
}

/* ---- Frames */

static void draw_planned_frame(const Overlay *overlay) {
    const PageArea *frame = &overlay->shot->areas.frame;
    const double xs[] = {frame->left_mm, frame->right_mm, frame->right_mm, frame->left_mm};
    const double ys[] = {frame->low_mm, frame->low_mm, frame->high_mm, frame->high_mm};
    CanvasPoint corners[4];
    for (int i = 0; i < 4; i++) {
        double x, y;
        if (!photo_of_drawing(overlay, xs[i], ys[i], &x, &y)) return;
        corners[i] = on_canvas(overlay, x, y);
    }
    canvas_path(overlay->canvas, corners, 4, true, &FRAME_LINE);
}

static void draw_crop(const Overlay *overlay) {
    const LinedPhoto *photo = overlay->photo;
    if (!(photo->scale.px_per_mm > 0)) return;
    const CanvasPoint low = on_canvas(overlay, photo->crop_left_px, photo->crop_top_px);
    const CanvasPoint high = on_canvas(overlay, photo->crop_right_px, photo->crop_bottom_px);
    canvas_rectangle(overlay->canvas, (CanvasBox){low.x_px, low.y_px, high.x_px, high.y_px}, &CROP_LINE);
}

/* ---- Marks and moves */

static void draw_marks(Overlay *overlay) {
    for (size_t i = 0; i < overlay->photo->mark_count; i++) {
        const LinedMark *mark = &overlay->photo->marks[i];
        const CanvasPoint at = on_canvas(overlay, mark->x_px, mark->y_px);
        const bool wrong = overlay->photo->found->residuals[i].mismarked;
        canvas_cross(overlay->canvas, at.x_px, at.y_px, MARK_ARM_PX, wrong, &MARK_LINE);
        labels_take(&overlay->labels, (CanvasBox){at.x_px - MARK_ARM_PX, at.y_px - MARK_ARM_PX,
                                                  at.x_px + MARK_ARM_PX, at.y_px + MARK_ARM_PX});
    }
}

static bool is_worth(const Overlay *overlay, double mm) {
    return fabs(mm) > overlay->task->plan->cut_mm / 2;
}

static const char *moved_words(const Overlay *overlay, const LinedThing *thing, const char *name) {
    const PictureTask *task = overlay->task;
    const char *heading = arena_format(task->arena, "moves %s", overlay->photo->photo->name);
    const char *key = arena_format(task->arena, "move %s", name);
    const char *back = picture_value(task, heading, key, "back");
    const char *right = picture_value(task, heading, key, "right");
    const char *turn = picture_value(task, heading, arena_format(task->arena, "turn %s", name), NULL);
    const char *tall = picture_value(task, heading, arena_format(task->arena, "tall %s", name), NULL);
    Buffer words = buffer_new(task->arena);
    buffer_format(&words, "%s:", name);
    const char *between = " ";
    const struct {
        bool said;
        const char *text;
    } parts[] = {{thing->moves && is_worth(overlay, thing->wanted.back_mm - thing->now.back_mm), back},
                 {thing->moves && is_worth(overlay, thing->wanted.across_mm - thing->now.across_mm), right},
                 {thing->turns, turn},
                 {thing->resizes, tall}};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        if (!parts[i].said || !parts[i].text) continue;
        buffer_format(&words, "%s%s", between, parts[i].text);
        between = ", ";
    }
    return buffer_text(&words);
}

static bool photo_of_set(const Overlay *overlay, Point3 at, CanvasPoint *point) {
    double x, y;
    if (!photo_project(&overlay->photo->found->camera, &overlay->photo->image, at, &x, &y, NULL))
        return false;
    *point = on_canvas(overlay, x, y);
    return true;
}

/* The uppermost of a thing's marks: words stand over it. */
static CanvasPoint top_mark(const Overlay *overlay, int thing) {
    CanvasPoint top = {0, INFINITY};
    for (size_t i = 0; i < overlay->photo->mark_count; i++) {
        const LinedMark *mark = &overlay->photo->marks[i];
        const CanvasPoint at = on_canvas(overlay, mark->x_px, mark->y_px);
        if (mark->mark->thing == thing && at.y_px < top.y_px) top = at;
    }
    return top;
}

static void draw_move(Overlay *overlay, const LinedThing *thing) {
    const char *name = overlay->task->plan->things[thing->thing].thing->name;
    const bool stays = !thing->moves && !thing->turns && !thing->resizes;
    const CanvasPoint top = top_mark(overlay, thing->thing);
    TextStyle style = LABEL_TEXT;
    CanvasPoint now, wanted;
    if (!thing->placed || !photo_of_set(overlay, thing->now, &now)) return;
    if (thing->moves && photo_of_set(overlay, thing->wanted, &wanted)) {
        canvas_arrow(overlay->canvas, now.x_px, now.y_px, wanted.x_px, wanted.y_px, 12, false, &MOVE_LINE);
        canvas_circle(overlay->canvas, now.x_px, now.y_px, 18, &MOVE_LINE); /* a move back is a short arrow */
        labels_take(&overlay->labels,
                    (CanvasBox){fmin(now.x_px, wanted.x_px) - 20, fmin(now.y_px, wanted.y_px) - 20,
                                fmax(now.x_px, wanted.x_px) + 20, fmax(now.y_px, wanted.y_px) + 20});
    }
    style.color = stays ? RIGHT_COLOR : MOVE_COLOR;
    style.face = stays ? FACE_PLAIN : FACE_BOLD;
    const Label label = label_at(stays ? arena_format(overlay->task->arena, "%s: right", name)
                                       : moved_words(overlay, thing, name),
                                 &style, top.x_px, top.y_px, MARK_ARM_PX + 4, 200);
    labels_place(&overlay->labels, &label);
}

static void draw_moves(Overlay *overlay) {
    const LinedPhoto *photo = overlay->photo;
    for (int stays = 0; stays < 2; stays++) { /* what moves has the first choice of room for its words */
        for (size_t i = 0; i < photo->thing_count; i++) {
            const LinedThing *thing = &photo->things[i];
            const bool moves = thing->moves || thing->turns || thing->resizes;
            if (moves != (stays == 1)) draw_move(overlay, thing);
        }
    }
}

/* ---- Words under it */

static void sample_move(Canvas *canvas, CanvasBox box) {
    const double y = (box.top_px + box.bottom_px) / 2;
    canvas_arrow(canvas, box.left_px, y, box.right_px, y, 14, false, &MOVE_LINE);
}

static void sample_crop(Canvas *canvas, CanvasBox box) {
    canvas_rectangle(canvas, canvas_box_grown(box, -1), &CROP_LINE);
}

static void sample_frame(Canvas *canvas, CanvasBox box) {
    canvas_rectangle(canvas, canvas_box_grown(box, -1), &FRAME_LINE);
}

static void sample_mark(Canvas *canvas, CanvasBox box) {
    canvas_cross(canvas, (box.left_px + box.right_px) / 2, (box.top_px + box.bottom_px) / 2, MARK_ARM_PX,
                 false, &MARK_LINE);
}

static void sample_wrong_mark(Canvas *canvas, CanvasBox box) {
    canvas_cross(canvas, (box.left_px + box.right_px) / 2, (box.top_px + box.bottom_px) / 2, MARK_ARM_PX,
                 true, &MARK_LINE);
}

/* `2 1/2 in farther away`, `tilt 0.4 deg up`: as many as fit in a line, and so on. */
static double write_camera(const Overlay *overlay, double top_px) {
    static const char *const keys[] = {"nearer", "right", "up", "turn", "tilt", "level"};
    static const char *const before[] = {"", "", "", "turn ", "tilt ", "level "};
    enum { KEYS = sizeof keys / sizeof *keys };
    const PictureTask *task = overlay->task;
    const char *heading = arena_format(task->arena, "moves %s", overlay->photo->photo->name);
    LegendEntry entries[KEYS + 1] = {{.text = "the camera stays"}};
    size_t count = 1;
    for (size_t i = 0; i < KEYS && !overlay->photo->photo->keeps_camera; i++) {
        const char *by = picture_value(task, heading, keys[i], "by");
        entries[0].text = "the camera stands right";
        if (by) entries[count++].text = arena_format(task->arena, "%s%s", before[i], by);
    }
    if (count > 1) entries[0].text = "move the camera:";
    return picture_legend(overlay->canvas, entries, count, top_px);
}

/* What is in the picture, and no more. */
static double write_legend(const Overlay *overlay) {
    const LinedPhoto *photo = overlay->photo;
    LegendEntry entries[5] = {{sample_mark, "as marked", 0}};
    size_t count = 1;
    bool moves = false;
    for (size_t i = 0; i < photo->thing_count; i++)
        moves |= photo->things[i].placed && photo->things[i].moves;
    if (photo->found->mismarked_count > 0)
        entries[count++] = (LegendEntry){sample_wrong_mark, "marked wrong, it seems", 0};
    if (moves) entries[count++] = (LegendEntry){sample_move, "move it so", 0};
    if (photo->scale.px_per_mm > 0)
        entries[count++] = (LegendEntry){sample_crop, "the crop that equals the planned frame", 0};
    entries[count++] = (LegendEntry){sample_frame, "the planned frame, at the mark", 0};
    const double top = overlay->box.bottom_px + 14;
    const double tall = picture_legend(overlay->canvas, entries, count, top);
    return tall + write_camera(overlay, top + tall);
}

static const char *head_line(const Overlay *overlay) {
    const PictureTask *task = overlay->task;
    const char *heading = arena_format(task->arena, "photo %s", overlay->photo->photo->name);
    return arena_format(task->arena, "photograph %s, with %s and a lens of %s%s", overlay->photo->photo->name,
                        task->plan->scene->bodies[overlay->photo->body].name,
                        picture_value(task, heading, "lens", NULL),
                        drawing_of(overlay) ? "; the drawing is laid over it" : "");
}

static const char *alt_of(const Overlay *overlay) {
    const PictureTask *task = overlay->task;
    const char *heading = arena_format(task->arena, "moves %s", overlay->photo->photo->name);
    return arena_format(task->arena, "Photograph %s%s; to be moved: %s", overlay->photo->photo->name,
                        drawing_of(overlay) ? " with the drawing laid over it" : "",
                        picture_value(task, heading, "order", NULL));
}

/* ---- The picture */

bool photo_picture(const PictureTask *task, size_t index, PictureFile *file) {
    const LinedPhoto *photo = &task->plan->lined_up->photos[index];
    if ((size_t)photo->photo->shot != task->shot) return false;
    const double wide = PICTURE_WIDE_PX - 2 * PICTURE_SIDE_PX;
    Overlay overlay = {.task = task, .shot = &task->plan->shots[task->shot], .photo = photo};
    overlay.scale = fmin(wide / photo->image.wide_px, PICTURE_TALLEST_PX / photo->image.tall_px);
    const double left = floor((PICTURE_WIDE_PX - overlay.scale * photo->image.wide_px) / 2);
    overlay.box = (CanvasBox){left, PICTURE_HEAD_PX, left + floor(overlay.scale * photo->image.wide_px),
                              PICTURE_HEAD_PX + floor(overlay.scale * photo->image.tall_px)};
    overlay.axes = photo_axes(&photo->found->camera);
    Arena *own = arena_new();
    overlay.canvas = canvas_new(own, PICTURE_WIDE_PX,
                                (int)overlay.box.bottom_px + MOST_LINES * PICTURE_LINE_PX, PAPER_COLOR);
    overlay.labels = labels_new(own, overlay.canvas, overlay.box);
    hold_the_lead(&overlay);
    draw_photograph(&overlay);
    canvas_clip(overlay.canvas, overlay.box);
    draw_planned_frame(&overlay);
    draw_crop(&overlay);
    draw_marks(&overlay);
    draw_moves(&overlay);
    canvas_unclip(overlay.canvas);
    picture_head(task, overlay.canvas, head_line(&overlay));
    canvas_cut(overlay.canvas, (int)(overlay.box.bottom_px + 14 + write_legend(&overlay) + 10));
    *file = picture_file(task, overlay.canvas, ".png",
                         arena_format(task->arena, "Photograph %s, lined up", photo->photo->name),
                         alt_of(&overlay));
    arena_free(own);
    return true;
}
