/* Plan and side elevation to one stated scale, with a bar to check it by: first of the set alone, as large as
 * the page takes it, then with its tables, lamps and cameras. */
#include "picture/sheet_view.h"
#include "plan/relief.h"

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
    const bool earth = it->thing->role == ROLE_MOUND || it->thing->role == ROLE_HOLLOW;
    if (earth && plan_relief_place(views->sheets->plan, it) == RELIEF_OFF_GROUND) return false;
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

void sheet_name_thing(SheetViews *views, size_t thing, CanvasBox box) {
    Sheets *sheets = views->sheets;
    const char *number = arena_format(sheets->arena, "%d", sheet_number(sheets, thing));
    const char *name = arena_format(sheets->arena, "%s %s", number, sheets->things[thing].thing->name);
    TextStyle style = SHEET_BOLD;
    style.halo = 0xFFFFFF;
    style.halo_px = 1.2;
    if (views->kind == VIEWS_ROOM) name = number;
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

CanvasBox sheet_view_heading(SheetViews *views, const char *text) {
    Sheets *sheets = views->sheets;
    const double left = views->plan.left_px - 4;
    return canvas_text(sheets->canvas, left, sheets->y_px + 10, &SHEET_HEAD,
                       canvas_text_fitted(sheets->canvas, &SHEET_HEAD, text, sheets->area.right_px - left));
}

/* ---- What is drawn, and how large */

void sheet_take(SheetSpan *span, double across_mm, double back_mm, double up_mm) {
    span->left_mm = fmin(span->left_mm, across_mm);
    span->right_mm = fmax(span->right_mm, across_mm);
    span->front_mm = fmin(span->front_mm, back_mm);
    span->rear_mm = fmax(span->rear_mm, back_mm);
    span->low_mm = fmin(span->low_mm, up_mm);
    span->high_mm = fmax(span->high_mm, up_mm);
}

static void take_outline(SheetSpan *span, const Trapezoid *outline) {
    sheet_take(span, outline->front_left_mm, outline->front_mm, 0);
    sheet_take(span, outline->front_right_mm, outline->front_mm, 0);
    sheet_take(span, outline->rear_left_mm, outline->rear_mm, 0);
    sheet_take(span, outline->rear_right_mm, outline->rear_mm, 0);
}

static void take_cameras(SheetViews *views) {
    for (size_t i = 0; i < views->shot->camera_count; i++) {
        const Camera *camera = &views->shot->cameras[i].camera;
        const Point3 sensor = camera_sensor_mark(camera);
        sheet_take(&views->span, camera->across_mm, -camera->distance_mm, camera->height_mm);
        sheet_take(&views->span, sensor.across_mm, sensor.back_mm, sensor.up_mm);
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
            sheet_take(span, thing->at.across_mm, thing->at.back_mm,
                       thing->thing->role == ROLE_MOUND ? thing->tall_mm : 0);
            continue;
        }
        sheet_take(span, thing->left_mm, thing->front_mm, thing->foot_mm);
        sheet_take(span, thing->right_mm, thing->rear_mm, thing->top_mm);
    }
    span->low_mm = fmin(span->low_mm, -(plan->ground_thick_mm + plan->base_thick_mm));
    if (views->kind == VIEWS_SET) return;
    span->low_mm -= plan->table_tall_mm;
    take_cameras(views);
    sheet_take_room(views);
}

static double fixed_tall(void) {
    return 2 * HEAD_PX + PLAN_TOP_PX + PLAN_FOOT_PX + SIDE_FOOT_PX + BAR_PX + 8;
}

static void choose_scale(SheetViews *views) {
    const SheetSpan *span = &views->span;
    const CanvasBox *area = &views->sheets->area;
    const double tall_mm = span->rear_mm - span->front_mm + span->high_mm - span->low_mm;
    const double room_wide = area->right_px - area->left_px - DIMENSIONS_LEFT_PX - 4,
                 room_tall = area->bottom_px - area->top_px - fixed_tall();
    const double least = fmax(fmax((span->right_mm - span->left_mm) / room_wide,
                                   (span->rear_mm - span->front_mm) / (room_wide - DIMENSIONS_RIGHT_PX)),
                              tall_mm / room_tall) *
                         POINTS_PER_MM * (1 - 1e-9);
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
    static const char *const words[2][3] = {
        [VIEWS_SET] = {"Print at 100 %, not to fit; check this bar with a rule.",
                       "Thin (blue): the frame. Upright cross (red): the mark. Slanted crosses: holes.",
                       "Dash and dot: centre line. Dots: seams. Dashes: ground; what hangs; hollows."},
        [VIEWS_ROOM] = {"Numbers of things: as on the sheet before, and in the tables.",
                        "Thin (blue): the frame; open circles: other allowed lenses.",
                        "Dashes: tables. Crossed circles: lamps, and how far stands reach."}};
    const double left =
        views->sheets->area.left_px + (views->sheets->area.right_px - views->sheets->area.left_px) * 0.42;
    for (size_t i = 0; i < 3; i++)
        canvas_text(views->sheets->canvas, left, top_px + 9 + (double)i * SHEET_LINE_PX, &SHEET_TEXT,
                    canvas_text_fitted(views->sheets->canvas, &SHEET_TEXT, words[views->kind][i],
                                       views->sheets->area.right_px - left));
}

static void draw_views(Sheets *sheets, size_t shot, SheetViewsKind kind) {
    SheetViews views = {
        .sheets = sheets, .kind = kind, .shot_index = shot, .shot = &sheets->plan->shots[shot]};
    measure(&views);
    sheets->area = sheet_area(sheets);
    choose_scale(&views);
    sheet_next(sheets, sheet_scale_text(sheets, views.scale));
    const char *name = views.shot->name;
    views.title =
        arena_format(sheets->arena, "%s%s%s", kind == VIEWS_SET ? "The set" : sheet_room_words(sheets),
                     name[0] ? ", shot " : "", name);
    canvas_bookmark(sheets->canvas, views.title, 0);
    place_views(&views);
    sheet_draw_plan(&views);
    sheet_draw_side(&views);
    const double bar = sheets->area.bottom_px - BAR_PX + 16;
    const LengthStyle own = sheets->lengths,
                      other = own == STYLE_FEET_INCHES ? STYLE_MILLIMETRES : STYLE_FEET_INCHES;
    const double left = sheets->area.left_px, room = (sheets->area.right_px - left) * 0.26;
    sheet_scale_bar(sheets, own, views.scale, left, bar, room);
    sheet_scale_bar(sheets, other, views.scale, left, bar + 20, room);
    draw_legend(&views, bar - 4);
}

void sheet_views(Sheets *sheets, size_t shot) {
    draw_views(sheets, shot, VIEWS_SET);
    draw_views(sheets, shot, VIEWS_ROOM);
}
