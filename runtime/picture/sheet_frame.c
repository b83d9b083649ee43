/* The frame through the lens, with the drawing over it, and the names of what is seen. */
#include "base/pixels.h"
#include "picture/pictures.h"
#include "picture/sheet.h"

#include <math.h>

/* Over 7 in of paper, some 170 pixels an inch: as fine as its lines are. */
enum { FRAME_WIDE_PX = 1200, FRAME_TALL_MOST_PX = 1200 };

static Window frame_window(const Picture *picture, double left, double top, double wide_most,
                           double tall_most) {
    const RasterWindow mm = raster_frame(picture, 0);
    const double aspect = (mm.high_mm - mm.low_mm) / (mm.right_mm - mm.left_mm);
    const double wide = fmin(wide_most, tall_most / aspect);
    return (Window){mm, {left, top, left + wide, top + wide * aspect}};
}

static void lay_drawing(Canvas *canvas, const Plan *plan, const PlanShot *shot, Window window) {
    const Pixels *pixels = shot->shot->image >= 0 ? plan->found[shot->shot->image].pixels : NULL;
    if (!pixels) return;
    const Picture *picture = &shot->picture;
    const CanvasBox box = {window_x_px(&window, 0), window_y_px(&window, picture->drawing_tall_mm),
                           window_x_px(&window, picture->drawing_wide_mm), window_y_px(&window, 0)};
    canvas_image(canvas, pixels->argb, pixels->wide_px, pixels->tall_px, box, BLEND_MULTIPLY, 0.5);
}

SheetFrame sheet_paint_frame(Arena *arena, const Scenery *scenery, size_t shot) {
    const Plan *plan = scenery->plan;
    const PlanShot *it = &plan->shots[shot];
    Window window = frame_window(&it->picture, 0, 0, FRAME_WIDE_PX, FRAME_TALL_MOST_PX);
    window.px.right_px = fmax(floor(window.px.right_px), 1);
    window.px.bottom_px = fmax(floor(window.px.bottom_px), 1);
    const int wide = (int)window.px.right_px, tall = (int)window.px.bottom_px;
    Arena *own = arena_new();
    Canvas *canvas = canvas_new(own, wide, tall, PAPER_COLOR);
    SetView *view = set_view_paint(own, canvas, scenery, (int)shot, &it->cameras[0].camera, window);
    lay_drawing(canvas, plan, it, window);
    const size_t count = (size_t)wide * (size_t)tall;
    uint32_t *pixels = ARENA_ARRAY(arena, uint32_t, count);
    ThingSeen *seen = ARENA_ARRAY(arena, ThingSeen, plan->scene->thing_count);
    const uint32_t *painted = canvas_pixels(canvas);
    for (size_t i = 0; i < count; i++)
        pixels[i] = painted[i];
    canvas_pixels_done(canvas);
    for (size_t i = 0; i < plan->scene->thing_count; i++)
        seen[i] = view->things[i];
    canvas_free(canvas);
    arena_free(own);
    return (SheetFrame){.pixels = pixels, .wide_px = wide, .tall_px = tall, .seen = seen};
}

/* ---- On paper */

static void draw_areas(Canvas *canvas, const PageAreas *areas, const Window *window) {
    const LineStyle trim = {.color = SHEET_INK, .wide_px = 0.8};
    const PageArea *it = &areas->picture;
    if (areas->bleeds)
        canvas_rectangle(canvas,
                         (CanvasBox){window_x_px(window, it->left_mm), window_y_px(window, it->high_mm),
                                     window_x_px(window, it->right_mm), window_y_px(window, it->low_mm)},
                         &trim);
    canvas_rectangle(canvas, window->px, &(LineStyle){.color = SHEET_FAINT, .wide_px = 0.5});
}

static void name_things(Sheets *sheets, size_t shot, const Window *window) {
    const SheetFrame *frame = &sheets->frames[shot];
    const double scale = (window->px.right_px - window->px.left_px) / frame->wide_px;
    Labels labels = labels_new(sheets->arena, sheets->canvas, canvas_box_grown(window->px, -2));
    labels.lead_px = 0.6;
    TextStyle style = SHEET_BOLD;
    style.plate = 0.8;
    style.plate_color = 0xFFFFFF;
    for (size_t i = 0; i < sheets->plan->scene->thing_count; i++) { /* puppets stay to be seen */
        const CanvasBox *box = &frame->seen[i].box;
        if (frame->seen[i].px == 0 || sheets->things[i].thing->role != ROLE_PUPPET) continue;
        labels_avoid(&labels, (CanvasBox){window->px.left_px + box->left_px * scale,
                                          window->px.top_px + box->top_px * scale,
                                          window->px.left_px + box->right_px * scale,
                                          window->px.top_px + box->bottom_px * scale});
    }
    for (size_t i = 0; i < sheets->plan->scene->thing_count; i++) {
        const ThingSeen *seen = &frame->seen[i];
        if (seen->px == 0 || !sheet_stands(&sheets->things[i])) continue;
        const char *name =
            arena_format(sheets->arena, "%d %s", sheet_number(sheets, i), sheets->things[i].thing->name);
        Label label =
            label_at(canvas_text_fitted(sheets->canvas, &style, name, 130), &style,
                     window->px.left_px + seen->x_px * scale, window->px.top_px + seen->y_px * scale, 2, 90);
        if (seen->box.right_px - seen->box.left_px < frame->wide_px / 3.0) /* beside what is small */
            label.around = (CanvasBox){window->px.left_px + seen->box.left_px * scale,
                                       window->px.top_px + seen->box.top_px * scale,
                                       window->px.left_px + seen->box.right_px * scale,
                                       window->px.top_px + seen->box.bottom_px * scale};
        labels_place(&labels, &label);
    }
}

void sheet_frame(Sheets *sheets, size_t shot) {
    const PlanShot *it = &sheets->plan->shots[shot];
    const SheetFrame *frame = &sheets->frames[shot];
    if (shot == 0) sheet_next(sheets, "");
    const double room = sheets->area.right_px - sheets->area.left_px,
                 most = (sheets->area.bottom_px - sheets->area.top_px) * 0.42;
    Window window = frame_window(&it->picture, sheets->area.left_px, 0, room, most);
    sheet_need(sheets, window.px.bottom_px + 34);
    sheet_heading(
        sheets, arena_format(sheets->arena, "Through the lens%s%s", it->name[0] ? ", shot " : "", it->name));
    window.px.bottom_px += sheets->y_px;
    window.px.top_px = sheets->y_px;
    canvas_image(sheets->canvas, frame->pixels, frame->wide_px, frame->tall_px, window.px, BLEND_OVER, 1);
    draw_areas(sheets->canvas, &it->areas, &window);
    name_things(sheets, shot, &window);
    sheets->y_px = window.px.bottom_px + 16;
}
