/* The first page: plan and side elevation to one stated scale, and a bar to check it with. */
#include "picture/sheet_view.h"

#include <math.h>

enum {
    HEAD_PX = 16,      /* over each view */
    PLAN_TOP_PX = 20,  /* dimension lines over the plan */
    PLAN_FOOT_PX = 20, /* room for the names of lenses */
    SIDE_FOOT_PX = 12,
    BAR_PX = 54 /* scale bar and legend */
};

CanvasPoint sheet_on_plan(const SheetViews *views, double across_mm, double back_mm) {
    return (CanvasPoint){views->plan.left_px + (across_mm - views->span.left_mm) * views->px_per_mm,
                         views->plan.bottom_px - (back_mm - views->span.front_mm) * views->px_per_mm};
}

CanvasPoint sheet_on_side(const SheetViews *views, double back_mm, double up_mm) {
    return (CanvasPoint){views->side.left_px + (back_mm - views->span.front_mm) * views->px_per_mm,
                         views->side.bottom_px - (up_mm - views->span.low_mm) * views->px_per_mm};
}

bool sheet_in_view(const SheetViews *views, size_t thing) {
    const PlanThing *it = &views->sheets->things[thing];
    return sheet_stands(it) && (it->thing->shot < 0 || (size_t)it->thing->shot == views->shot_index);
}

uint32_t sheet_fill(const PlanThing *thing) {
    switch (thing->thing->role) {
    case ROLE_PUPPET:
        return 0xF2B48A;
    case ROLE_FLAT:
        return 0xA9C0D4;
    case ROLE_BACKDROP:
        return 0x8FA7BC;
    case ROLE_MOUND:
    case ROLE_HOLLOW:
        return 0xC9D8B6;
    default:
        return 0xDCCBB0;
    }
}

LineStyle sheet_outline(const PlanThing *thing) {
    const bool apart = thing->hung || thing->thing->role == ROLE_HOLLOW;
    return (LineStyle){.color = SHEET_INK, .wide_px = 0.7, .dash = apart ? DASH_SHORT : DASH_NONE};
}

const char *sheet_camera_heading(const SheetViews *views) {
    return views->shot->name[0] ? arena_format(views->sheets->arena, "camera %s", views->shot->name)
                                : "camera";
}

void sheet_name_thing(SheetViews *views, size_t thing, CanvasBox box) {
    Sheets *sheets = views->sheets;
    const char *number = arena_format(sheets->arena, "%d", sheet_number(sheets, thing));
    const char *name = arena_format(sheets->arena, "%s %s", number, sheets->things[thing].thing->name);
    TextStyle style = SHEET_BOLD;
    style.halo = 0xFFFFFF;
    style.halo_px = 1.2;
    Label label = {.style = style,
                   .around = box,
                   .x_px = (box.left_px + box.right_px) / 2,
                   .y_px = (box.top_px + box.bottom_px) / 2,
                   .off_px = 2,
                   .far_px = 70};
    label.text = canvas_text_fitted(sheets->canvas, &style, name, 130);
    if (labels_place(&views->labels, &label)) return;
    label.text = number;
    if (labels_place(&views->labels, &label)) return;
    style.align = TEXT_CENTRED;
    style.middle = true;
    canvas_text(sheets->canvas, label.x_px, label.y_px, &style, number);
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

void sheet_view_heading(SheetViews *views, const char *text) {
    Sheets *sheets = views->sheets;
    const double left = views->plan.left_px - 4;
    canvas_text(sheets->canvas, left, sheets->y_px + 10, &SHEET_HEAD,
                canvas_text_fitted(sheets->canvas, &SHEET_HEAD, text, sheets->area.right_px - left));
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
    const double right = sheets->area.right_px, left = fmax(centre.x_px + 90, right - 230),
                 bottom = views->side.top_px - 26;
    double y = edge.y_px + 34;
    if (right - left < 190 || bottom - y < 5 * SHEET_LINE_PX) return;
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

/* ---- What is drawn, and how large */

static void take(SheetSpan *span, double across_mm, double back_mm, double up_mm) {
    span->left_mm = fmin(span->left_mm, across_mm);
    span->right_mm = fmax(span->right_mm, across_mm);
    span->front_mm = fmin(span->front_mm, back_mm);
    span->rear_mm = fmax(span->rear_mm, back_mm);
    span->low_mm = fmin(span->low_mm, up_mm);
    span->high_mm = fmax(span->high_mm, up_mm);
}

static void take_outline(SheetSpan *span, const Trapezoid *outline) {
    take(span, outline->front_left_mm, outline->front_mm, 0);
    take(span, outline->front_right_mm, outline->front_mm, 0);
    take(span, outline->rear_left_mm, outline->rear_mm, 0);
    take(span, outline->rear_right_mm, outline->rear_mm, 0);
}

static void take_cameras(SheetViews *views) {
    for (size_t i = 0; i < views->shot->camera_count; i++) {
        const Camera *camera = &views->shot->cameras[i].camera;
        const Point3 sensor = camera_sensor_mark(camera);
        take(&views->span, camera->across_mm, -camera->distance_mm, camera->height_mm);
        take(&views->span, sensor.across_mm, sensor.back_mm, sensor.up_mm);
    }
}

static void measure(SheetViews *views) {
    const Plan *plan = views->sheets->plan;
    views->span = (SheetSpan){INFINITY, -INFINITY, INFINITY, -INFINITY, INFINITY, -INFINITY};
    SheetSpan *span = &views->span;
    take_outline(span, &plan->ground_outline);
    if (plan->base >= 0) take_outline(span, &plan->base_outline);
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *thing = &views->sheets->things[i];
        if (!sheet_in_view(views, i)) continue;
        if (thing->thing->shape == SHAPE_NONE) { /* a mound lies on the ground */
            take(span, thing->at.across_mm, thing->at.back_mm,
                 thing->thing->role == ROLE_MOUND ? thing->tall_mm : 0);
            continue;
        }
        take(span, thing->left_mm, thing->front_mm, thing->foot_mm);
        take(span, thing->right_mm, thing->rear_mm, thing->top_mm);
    }
    take_cameras(views);
    span->low_mm = fmin(span->low_mm, -(plan->ground_thick_mm + plan->base_thick_mm + plan->table_tall_mm));
}

static double fixed_tall(void) {
    return 2 * HEAD_PX + PLAN_TOP_PX + PLAN_FOOT_PX + SIDE_FOOT_PX + BAR_PX + 8;
}

static void choose_scale(SheetViews *views) {
    const SheetSpan *span = &views->span;
    const CanvasBox *area = &views->sheets->area;
    const double tall_mm = span->rear_mm - span->front_mm + span->high_mm - span->low_mm;
    const double wide_mm = fmax(span->right_mm - span->left_mm, span->rear_mm - span->front_mm);
    const double room_wide = area->right_px - area->left_px - DIMENSIONS_LEFT_PX - DIMENSIONS_RIGHT_PX,
                 room_tall = area->bottom_px - area->top_px - fixed_tall();
    const double least =
        fmax(wide_mm * POINTS_PER_MM / room_wide, tall_mm * POINTS_PER_MM / room_tall) * (1 - 1e-9);
    views->scale = sheet_usual_scale(views->sheets->lengths, least);
    views->px_per_mm = POINTS_PER_MM / views->scale;
}

static void place_views(SheetViews *views) {
    const SheetSpan *span = &views->span;
    const CanvasBox *area = &views->sheets->area;
    const double wide = (span->right_mm - span->left_mm) * views->px_per_mm,
                 deep = (span->rear_mm - span->front_mm) * views->px_per_mm,
                 tall = (span->high_mm - span->low_mm) * views->px_per_mm;
    const double left = area->left_px + DIMENSIONS_LEFT_PX, top = area->top_px + HEAD_PX + PLAN_TOP_PX;
    views->plan = (CanvasBox){left, top, left + wide, top + deep};
    const double side_bottom = area->bottom_px - BAR_PX - SIDE_FOOT_PX;
    views->side = (CanvasBox){left, side_bottom - tall, left + deep, side_bottom};
}

/* ---- Scale bar and legend */

static void draw_legend(SheetViews *views, double top_px) {
    static const char *const words[] = {
        "Print at 100 %, not to fit; check this bar with a rule.",
        "Blue: lens and frame as planned; circles: other allowed lenses.",
        "Red cross: the mark. Dash and dot: centre line. Dashes: hung, hollow."};
    const double left =
        views->sheets->area.left_px + (views->sheets->area.right_px - views->sheets->area.left_px) * 0.47;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        canvas_text(views->sheets->canvas, left, top_px + 9 + (double)i * SHEET_LINE_PX, &SHEET_TEXT,
                    canvas_text_fitted(views->sheets->canvas, &SHEET_TEXT, words[i],
                                       views->sheets->area.right_px - left));
}

void sheet_views(Sheets *sheets, size_t shot) {
    SheetViews views = {.sheets = sheets, .shot_index = shot, .shot = &sheets->plan->shots[shot]};
    measure(&views);
    sheets->area = sheet_area(sheets);
    choose_scale(&views);
    sheet_next(sheets, sheet_scale_text(sheets, views.scale));
    const char *name = views.shot->name;
    canvas_bookmark(
        sheets->canvas,
        arena_format(sheets->arena, "Plan and side elevation%s%s", name[0] ? ", shot " : "", name), 0);
    place_views(&views);
    sheet_draw_plan(&views);
    sheet_draw_side(&views);
    const double bar = sheets->area.bottom_px - BAR_PX + 16;
    const LengthStyle own = sheets->lengths,
                      other = own == STYLE_FEET_INCHES ? STYLE_MILLIMETRES : STYLE_FEET_INCHES;
    const double left = sheets->area.left_px, room = (sheets->area.right_px - left) / 3;
    sheet_scale_bar(sheets, own, views.scale, left, bar, room);
    sheet_scale_bar(sheets, other, views.scale, left, bar + 20, room);
    draw_legend(&views, bar - 4);
}
