/* The camera on plan and side elevation, and how to set it. */
#include "picture/sheet_view.h"

#include <math.h>

const char *sheet_camera_heading(const SheetViews *views) {
    return views->shot->name[0] ? arena_format(views->sheets->arena, "camera %s", views->shot->name)
                                : "camera";
}

/* Body and lens as signs, always of one size on paper: where they are is to scale, not how large. */
void sheet_draw_camera(SheetViews *views, CanvasPoint lens, CanvasPoint sensor, bool planned) {
    Canvas *canvas = views->sheets->canvas;
    const LineStyle line = {.color = SHEET_CAMERA, .wide_px = planned ? 1 : 0.5},
                    strong = {.color = SHEET_CAMERA, .wide_px = 1.4};
    if (!planned) {
        canvas_circle(canvas, lens.x_px, lens.y_px, 2, &line);
        return;
    }
    const double dx = sensor.x_px - lens.x_px, dy = sensor.y_px - lens.y_px, length = hypot(dx, dy);
    const double ux = length > 0 ? dx / length : 0, uy = length > 0 ? dy / length : 1;
    const double wide = 7, lens_wide = 3.5, out = fmax(length, 5), body = out + 5;
    const CanvasPoint barrel[] = {
        {lens.x_px - uy * lens_wide, lens.y_px + ux * lens_wide},
        {lens.x_px + uy * lens_wide, lens.y_px - ux * lens_wide},
        {lens.x_px + ux * out + uy * lens_wide, lens.y_px + uy * out - ux * lens_wide},
        {lens.x_px + ux * out - uy * lens_wide, lens.y_px + uy * out + ux * lens_wide}};
    const CanvasPoint box[] = {{lens.x_px + ux * out - uy * wide, lens.y_px + uy * out + ux * wide},
                               {lens.x_px + ux * out + uy * wide, lens.y_px + uy * out - ux * wide},
                               {lens.x_px + ux * body + uy * wide, lens.y_px + uy * body - ux * wide},
                               {lens.x_px + ux * body - uy * wide, lens.y_px + uy * body + ux * wide}};
    canvas_fill_path(canvas, barrel, 4, 0xFFFFFF, 1);
    canvas_path(canvas, barrel, 4, true, &line);
    canvas_fill_path(canvas, box, 4, SHEET_CAMERA, 0.25);
    canvas_path(canvas, box, 4, true, &line);
    canvas_cross(canvas, lens.x_px, lens.y_px, 4, false, &strong);
}

/* The lines of the report that one needs at the camera. */
static const struct {
    const char *key, *label;
} camera_lines[] = {{"body", NULL},
                    {"held", NULL},
                    {"lens", NULL},
                    {"stop", NULL},
                    {"height", "lens, flat ground"},
                    {"above_floor", "lens, floor"},
                    {"tilt", NULL},
                    {"sensor_to_mark", "sensor to mark, level"},
                    {"distance", "lens to mark, level"},
                    {"front", "lens, front edge"},
                    {"side", "lens, centre line"},
                    {"horizon", NULL},
                    {"to_focus", "lens to focus, straight"},
                    {"stick", "frame at the mark"}};

static const char *camera_value(const SheetViews *views, const char *key) {
    const Sheets *sheets = views->sheets;
    const char *heading = sheet_camera_heading(views);
    const bool lens = text_equal(key, "lens");
    const Fact *fact = facts_find(sheets->facts, heading, key);
    if (!fact) return "";
    const bool one = !lens && !text_equal(key, "horizon") && !text_equal(key, "stop");
    return one ? sheet_part(sheets, heading, key, 0, 1) : sheet_value(sheets, heading, key);
}

void sheet_camera_list(SheetViews *views) {
    Sheets *sheets = views->sheets;
    const PlanDatum *datum = &sheets->datum;
    const CanvasPoint edge = sheet_on_plan(views, datum->outline.front_right_mm, datum->front_mm),
                      centre = sheet_on_plan(views, datum->centre_mm, datum->front_mm);
    const double right = sheets->area.right_px, left = fmax(centre.x_px + 84, right - 250),
                 bottom = views->side.top_px - 26;
    double y = edge.y_px + 34;
    if (right - left < 200 || bottom - y < 5 * SHEET_LINE_PX) return;
    labels_take(&views->labels, (CanvasBox){left - 4, y - 14, right, bottom});
    canvas_text(sheets->canvas, left, y, &SHEET_HEAD, "The camera as planned");
    for (size_t i = 0; i < sizeof camera_lines / sizeof *camera_lines; i++) {
        const char *value = camera_value(views, camera_lines[i].key);
        if (!value[0]) continue;
        y += SHEET_LINE_PX + 1;
        if (y > bottom) return; /* the table has all of them */
        canvas_text(sheets->canvas, left, y, &SHEET_BOLD,
                    camera_lines[i].label ? camera_lines[i].label : camera_lines[i].key);
        canvas_text(sheets->canvas, left + 110, y, &SHEET_TEXT,
                    canvas_text_fitted(sheets->canvas, &SHEET_TEXT, value, right - left - 110));
    }
}
