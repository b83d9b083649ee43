/* The plan: the set from above, the camera's side down, as the picture has right and left. */
#include "picture/sheet_view.h"
#include "plan/shape.h"

#include <math.h>

static const LineStyle BASE_LINE = {.color = SHEET_INK, .wide_px = 1.1};
static const LineStyle GROUND_LINE = {.color = 0x4C6B35, .wide_px = 0.7, .dash = DASH_LONG};
static const LineStyle CENTRE_LINE = {.color = SHEET_FAINT, .wide_px = 0.5, .dash = DASH_LONG_DOT};
static const LineStyle DATUM_LINE = {.color = SHEET_INK, .wide_px = 2};
static const LineStyle FRAME_LINE = {.color = SHEET_CAMERA, .wide_px = 0.7};
static const LineStyle FRAME_THIN = {.color = SHEET_CAMERA, .wide_px = SHEET_THIN_PX, .dash = DASH_SHORT};
static const LineStyle MARK_CROSS = {.color = SHEET_MARK, .wide_px = 1.2, .halo = 0xFFFFFF, .halo_px = 0.8};
static const TextStyle NOTE = {
    .size_px = SHEET_TEXT_PX, .color = SHEET_CAMERA, .plate = 0.8, .plate_color = 0xFFFFFF};

static void outline(const SheetViews *views, const Trapezoid *it, const LineStyle *line, uint32_t fill) {
    const CanvasPoint corners[] = {sheet_on_plan(views, it->front_left_mm, it->front_mm),
                                   sheet_on_plan(views, it->front_right_mm, it->front_mm),
                                   sheet_on_plan(views, it->rear_right_mm, it->rear_mm),
                                   sheet_on_plan(views, it->rear_left_mm, it->rear_mm)};
    canvas_fill_path(views->sheets->canvas, corners, 4, fill, 1);
    canvas_path(views->sheets->canvas, corners, 4, true, line);
}

/* ---- Things */

enum { ROUND = 60, CORNERS_MOST = ROUND + 4 };

/* What of a convex outline lies at the left of the line from `a` to `b`; its count of corners. */
static size_t cut_off(Point2 *corners, size_t count, Point2 a, Point2 b) {
    Point2 kept[CORNERS_MOST + 1];
    size_t keeps = 0;
    for (size_t i = 0; i < count && keeps + 1 < CORNERS_MOST; i++) {
        const Point2 p = corners[i], q = corners[(i + 1) % count];
        const double at_p = (b.across_mm - a.across_mm) * (p.back_mm - a.back_mm) -
                            (b.back_mm - a.back_mm) * (p.across_mm - a.across_mm),
                     at_q = (b.across_mm - a.across_mm) * (q.back_mm - a.back_mm) -
                            (b.back_mm - a.back_mm) * (q.across_mm - a.across_mm);
        if (at_p >= 0) kept[keeps++] = p;
        if ((at_p >= 0) == (at_q >= 0)) continue;
        const double t = at_p / (at_p - at_q);
        kept[keeps++] =
            (Point2){p.across_mm + t * (q.across_mm - p.across_mm), p.back_mm + t * (q.back_mm - p.back_mm)};
    }
    for (size_t i = 0; i < keeps; i++)
        corners[i] = kept[i];
    return keeps;
}

/* An ellipse (docs/geometry.md, rule 34), as far as there is ground. */
static size_t mound_outline(const Trapezoid *ground, const PlanThing *mound,
                            Point2 corners[CORNERS_MOST + 1]) {
    const Point2 edges[] = {{ground->front_left_mm, ground->front_mm},
                            {ground->front_right_mm, ground->front_mm},
                            {ground->rear_right_mm, ground->rear_mm},
                            {ground->rear_left_mm, ground->rear_mm}};
    size_t count = ROUND;
    for (int i = 0; i < ROUND; i++) {
        const double angle = 2 * PI * i / ROUND;
        corners[i] = (Point2){mound->at.across_mm + mound->wide_mm / 2 * cos(angle),
                              mound->at.back_mm + mound->deep_mm / 2 * sin(angle)};
    }
    for (size_t i = 0; i < 4; i++)
        count = cut_off(corners, count, edges[i], edges[(i + 1) % 4]);
    return count;
}

static size_t footprint(const SheetViews *views, const PlanThing *thing, int item,
                        CanvasPoint points[CORNERS_MOST]) {
    Point2 corners[CORNERS_MOST + 1];
    const size_t count = thing->thing->shape == SHAPE_NONE
                             ? mound_outline(&views->sheets->plan->ground_outline, thing, corners)
                             : shape_footprint(thing, item, corners);
    for (size_t i = 0; i < count; i++)
        points[i] = sheet_on_plan(views, corners[i].across_mm, corners[i].back_mm);
    return count;
}

static void draw_thing(SheetViews *views, size_t index) {
    const PlanThing *thing = &views->sheets->things[index];
    const LineStyle line = sheet_outline(thing);
    CanvasPoint points[CORNERS_MOST];
    for (int item = 0; item < thing->row_count; item++) {
        const size_t count = footprint(views, thing, item, points);
        if (count < 3) continue;
        canvas_fill_path(views->sheets->canvas, points, count, sheet_fill(thing), 0.8);
        canvas_path(views->sheets->canvas, points, count, true, &line);
    }
}

static void draw_things(SheetViews *views) {
    const size_t count = views->sheets->plan->scene->thing_count;
    for (int earth = 1; earth >= 0; earth--) { /* mounds under what stands on them */
        for (size_t i = 0; i < count; i++) {
            const bool is_earth = views->sheets->things[i].thing->shape == SHAPE_NONE;
            if (sheet_in_view(views, i) && is_earth == (earth == 1)) draw_thing(views, i);
        }
    }
}

/* Names keep off all footprints but their own, if they can. */
static void name_things(SheetViews *views) {
    const size_t count = views->sheets->plan->scene->thing_count;
    CanvasPoint points[CORNERS_MOST];
    for (int pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < count; i++) {
            const PlanThing *thing = &views->sheets->things[i];
            if (!sheet_in_view(views, i)) continue;
            const size_t corners = footprint(views, thing, 0, points);
            if (corners < 3) continue;
            CanvasBox box = sheet_box_of(points, corners);
            if (pass == 0) {
                labels_avoid(&views->labels, box);
                for (size_t k = 0; k < corners; k++)
                    labels_avoid_line(&views->labels, points[k], points[(k + 1) % corners]);
                continue;
            }
            if (thing->thing->shape == SHAPE_PANEL) { /* long: beside its middle is enough */
                const double x = (box.left_px + box.right_px) / 2 + 40;
                box.left_px = fmax(box.left_px, x - 30);
                box.right_px = fmin(box.right_px, x + 30);
            }
            sheet_name_thing(views, i, box);
        }
    }
}

/* ---- The camera and its frame */

static double frame_across(const SheetViews *views, const char *where, const char *side) {
    Arena *arena = views->sheets->arena;
    const char *heading =
        arena_format(arena, "tape-out %s", sheet_in_shot(views->sheets, "frame", views->shot_index));
    const Fact *fact = facts_find(views->sheets->facts, heading, arena_format(arena, "%s_%s", where, side));
    return fact ? views->sheets->datum.centre_mm + fact->parts.items[0].number : NAN;
}

static const char *frame_words(const SheetViews *views, const char *where, const char *side) {
    Arena *arena = views->sheets->arena;
    const char *heading =
        arena_format(arena, "tape-out %s", sheet_in_shot(views->sheets, "frame", views->shot_index));
    return sheet_texts(views->sheets, heading, arena_format(arena, "%s_%s", where, side), 0).items[1];
}

typedef struct FrameLine {
    const char *where;
    double back_mm;
} FrameLine;

static void frame_lines(const SheetViews *views, FrameLine lines[3]) {
    const Trapezoid *ground = &views->sheets->plan->ground_outline;
    lines[0] = (FrameLine){"front", ground->front_mm};
    lines[1] = (FrameLine){"mark", views->shot->mark.back_mm};
    lines[2] = (FrameLine){"rear", ground->rear_mm};
}

static void draw_frame_side(SheetViews *views, const char *side) {
    FrameLine lines[3];
    frame_lines(views, lines);
    const Camera *camera = &views->shot->cameras[0].camera;
    CanvasPoint last = sheet_on_plan(views, camera->across_mm, -camera->distance_mm);
    for (int i = 0; i < 3; i++) {
        const double across = frame_across(views, lines[i].where, side);
        if (isnan(across)) continue;
        const CanvasPoint at = sheet_on_plan(views, across, lines[i].back_mm);
        canvas_line(views->sheets->canvas, last.x_px, last.y_px, at.x_px, at.y_px,
                    i == 0 ? &FRAME_THIN : &FRAME_LINE);
        last = at;
    }
}

static void draw_frame(SheetViews *views) {
    canvas_clip(views->sheets->canvas, canvas_box_grown(views->plan, 4));
    draw_frame_side(views, "left");
    draw_frame_side(views, "right");
    FrameLine lines[3];
    frame_lines(views, lines);
    for (int i = 0; i < 3; i++) {
        const double left = frame_across(views, lines[i].where, "left"),
                     right = frame_across(views, lines[i].where, "right");
        if (isnan(left) || isnan(right)) continue;
        const CanvasPoint a = sheet_on_plan(views, left, lines[i].back_mm),
                          b = sheet_on_plan(views, right, lines[i].back_mm);
        canvas_line(views->sheets->canvas, a.x_px, a.y_px, b.x_px, b.y_px, &FRAME_THIN);
    }
    canvas_unclip(views->sheets->canvas);
}

/* How far the frame reaches from the centre line, at its right edge, and at its left where that differs. */
static void name_frame(SheetViews *views) {
    FrameLine lines[3];
    frame_lines(views, lines);
    for (int i = 0; i < 3; i++) {
        const char *words[] = {frame_words(views, lines[i].where, "right"),
                               frame_words(views, lines[i].where, "left")};
        const bool both = text_equal(words[0], words[1]);
        for (int left = 0; left < (both ? 1 : 2); left++) {
            const double across = frame_across(views, lines[i].where, left ? "left" : "right");
            if (isnan(across)) continue;
            const CanvasPoint at = sheet_on_plan(views, across, lines[i].back_mm);
            const Label label = label_at(arena_format(views->sheets->arena, "frame %s %s", words[left],
                                                      both   ? "each side"
                                                      : left ? "left"
                                                             : "right"),
                                         &NOTE, at.x_px, at.y_px, 3, 60);
            labels_place(&views->labels, &label);
        }
    }
}

static void avoid_outline(SheetViews *views, const Trapezoid *it) {
    const CanvasPoint corners[] = {sheet_on_plan(views, it->front_left_mm, it->front_mm),
                                   sheet_on_plan(views, it->front_right_mm, it->front_mm),
                                   sheet_on_plan(views, it->rear_right_mm, it->rear_mm),
                                   sheet_on_plan(views, it->rear_left_mm, it->rear_mm)};
    for (size_t i = 0; i < 4; i++)
        labels_avoid_line(&views->labels, corners[i], corners[(i + 1) % 4]);
}

static void avoid_lines(SheetViews *views) {
    const Plan *plan = views->sheets->plan;
    if (plan->base >= 0) avoid_outline(views, &plan->base_outline);
    avoid_outline(views, &plan->ground_outline);
    FrameLine lines[3];
    frame_lines(views, lines);
    for (int i = 0; i < 3; i++) {
        const double left = frame_across(views, lines[i].where, "left"),
                     right = frame_across(views, lines[i].where, "right");
        if (!isnan(left) && !isnan(right))
            labels_avoid_line(&views->labels, sheet_on_plan(views, left, lines[i].back_mm),
                              sheet_on_plan(views, right, lines[i].back_mm));
    }
    for (int side = 0; side < 2; side++) {
        const char *word = side ? "right" : "left";
        const double front = frame_across(views, "front", word), rear = frame_across(views, "rear", word);
        if (!isnan(front) && !isnan(rear))
            labels_avoid_line(&views->labels, sheet_on_plan(views, front, lines[0].back_mm),
                              sheet_on_plan(views, rear, lines[2].back_mm));
    }
    labels_avoid_line(&views->labels,
                      sheet_on_plan(views, views->sheets->datum.centre_mm, views->span.front_mm),
                      sheet_on_plan(views, views->sheets->datum.centre_mm, views->span.rear_mm));
}

static void draw_cameras(SheetViews *views) {
    for (size_t i = views->shot->camera_count; i-- > 0;) {
        const Camera *camera = &views->shot->cameras[i].camera;
        const Point3 sensor = camera_sensor_mark(camera);
        sheet_draw_camera(views, sheet_on_plan(views, camera->across_mm, -camera->distance_mm),
                          sheet_on_plan(views, sensor.across_mm, sensor.back_mm), i == 0);
    }
}

static const char *planned_name(const SheetViews *views) {
    const char *heading = views->shot->name[0]
                              ? arena_format(views->sheets->arena, "shot %s", views->shot->name)
                              : arena_format(views->sheets->arena, "scene %s", views->sheets->facts->scene);
    return arena_format(views->sheets->arena, "lens %s", sheet_part(views->sheets, heading, "lens", 0, 1));
}

static void name_cameras(SheetViews *views) {
    for (size_t i = 0; i < views->shot->camera_count; i++) {
        const PlanCamera *it = &views->shot->cameras[i];
        const CanvasPoint at = sheet_on_plan(views, it->camera.across_mm, -it->camera.distance_mm);
        TextStyle style = NOTE;
        if (i == 0) style.face = FACE_BOLD;
        const Label label =
            label_at(i == 0 ? planned_name(views) : it->name, &style, at.x_px, at.y_px, i == 0 ? 10 : 4, 80);
        labels_place(&views->labels, &label);
    }
}

/* ---- Dimensions */

static const Trapezoid *board(const SheetViews *views) {
    const Plan *plan = views->sheets->plan;
    return plan->base >= 0 ? &plan->base_outline : &plan->ground_outline;
}

/* Beside the plan, one column after the other; no label goes there. */
static void dimension_depth(SheetViews *views, CanvasPoint from, CanvasPoint to, int column,
                            SheetTexts text) {
    const double at = views->plan.left_px - 13 - 14 * column;
    sheet_dimension_upright(views->sheets->canvas, from, to, at, text);
    labels_take(&views->labels,
                (CanvasBox){at - 12, fmin(from.y_px, to.y_px) - 4, at + 4, fmax(from.y_px, to.y_px) + 4});
    labels_avoid_line(&views->labels, (CanvasPoint){at, to.y_px}, to);
}

static void dimension_depths(SheetViews *views) {
    const Sheets *sheets = views->sheets;
    const PlanDatum *datum = &sheets->datum;
    const Camera *camera = &views->shot->cameras[0].camera;
    const char *mark_heading =
        arena_format(sheets->arena, "tape-out %s", sheet_in_shot(sheets, "mark", views->shot_index));
    const char *board_heading = arena_format(sheets->arena, "tape-out %s", datum->owner);
    const CanvasPoint edge = sheet_on_plan(views, datum->outline.front_left_mm, datum->front_mm),
                      mark = sheet_on_plan(views, views->shot->mark.across_mm, views->shot->mark.back_mm),
                      lens = sheet_on_plan(views, camera->across_mm, -camera->distance_mm),
                      rear = sheet_on_plan(views, board(views)->rear_left_mm, board(views)->rear_mm);
    const SheetTexts to_mark = sheet_texts(sheets, mark_heading, "place", 0);
    if (views->kind == VIEWS_ROOM) {
        dimension_depth(views, edge, lens, 0, sheet_texts(sheets, sheet_camera_heading(views), "front", 0));
        dimension_depth(views, edge, mark, 1, to_mark);
        return;
    }
    dimension_depth(views, edge, mark, 0, to_mark);
    dimension_depth(views, edge, rear, 1, sheet_texts(sheets, board_heading, "rear_left", 0));
}

static void dimension_widths(SheetViews *views) {
    const Sheets *sheets = views->sheets;
    const Trapezoid *it = board(views);
    const char *heading = arena_format(sheets->arena, "tape-out %s", sheets->datum.owner);
    const CanvasPoint rear_left = sheet_on_plan(views, it->rear_left_mm, it->rear_mm),
                      rear_right = sheet_on_plan(views, it->rear_right_mm, it->rear_mm),
                      front_left = sheet_on_plan(views, it->front_left_mm, it->front_mm),
                      front_right = sheet_on_plan(views, it->front_right_mm, it->front_mm);
    sheet_dimension_level(sheets->canvas, rear_left, rear_right, views->plan.top_px - 7,
                          sheet_value(sheets, heading, "rear"));
    sheet_dimension_level(sheets->canvas, front_left, front_right, front_left.y_px + 14,
                          sheet_value(sheets, heading, "front"));
    labels_take(&views->labels, (CanvasBox){rear_left.x_px, views->plan.top_px - 20, rear_right.x_px,
                                            views->plan.top_px - 4});
    labels_take(&views->labels,
                (CanvasBox){front_left.x_px, front_left.y_px - 2, front_right.x_px, front_left.y_px + 17});
}

static void dimension_mark(SheetViews *views) {
    const Sheets *sheets = views->sheets;
    const char *heading =
        arena_format(sheets->arena, "tape-out %s", sheet_in_shot(sheets, "mark", views->shot_index));
    const Point3 mark = views->shot->mark;
    const CanvasPoint at = sheet_on_plan(views, mark.across_mm, mark.back_mm),
                      centre = sheet_on_plan(views, sheets->datum.centre_mm, mark.back_mm);
    const double left = fmin(at.x_px, centre.x_px), right = fmax(at.x_px, centre.x_px), y = at.y_px + 16;
    if (right - left > 1 && views->kind == VIEWS_SET) {
        const char *text = sheet_part(sheets, heading, "place", 1, 1);
        sheet_dimension_level(sheets->canvas, at, centre, y, text);
        const double wide = canvas_text_wide_px(sheets->canvas, &SHEET_TEXT, text);
        const bool within = wide <= right - left - 4;
        labels_take(&views->labels,
                    (CanvasBox){left - 3, y - 11, within ? right + 3 : right + 6 + wide, y + 5});
    }
    canvas_cross(sheets->canvas, at.x_px, at.y_px, 6, false, &MARK_CROSS);
    labels_take(&views->labels, canvas_box_grown((CanvasBox){at.x_px, at.y_px, at.x_px, at.y_px}, 5));
}

static void draw_lines(SheetViews *views) {
    Canvas *canvas = views->sheets->canvas;
    const PlanDatum *datum = &views->sheets->datum;
    const CanvasPoint front = sheet_on_plan(views, datum->centre_mm, views->span.front_mm),
                      rear = sheet_on_plan(views, datum->centre_mm, views->span.rear_mm),
                      left = sheet_on_plan(views, datum->outline.front_left_mm, datum->front_mm),
                      right = sheet_on_plan(views, datum->outline.front_right_mm, datum->front_mm);
    canvas_line(canvas, front.x_px, front.y_px + 6, rear.x_px, rear.y_px - 4, &CENTRE_LINE);
    canvas_line(canvas, left.x_px, left.y_px, right.x_px, right.y_px, &DATUM_LINE);
    if (views->kind == VIEWS_ROOM) return; /* the sheet before has the words */
    const TextStyle *style = &SHEET_TEXT;
    const char *words = "front edge: tapes begin here";
    const double wide = canvas_text_wide_px(canvas, style, words), x = right.x_px + 8;
    canvas_text(canvas, x, right.y_px + 3, style, words);
    labels_take(&views->labels, (CanvasBox){x, right.y_px - 8, x + wide, right.y_px + 5});
}

void sheet_draw_plan(SheetViews *views) {
    Sheets *sheets = views->sheets;
    const Plan *plan = sheets->plan;
    const bool room = views->kind == VIEWS_ROOM;
    sheet_view_heading(views, arena_format(sheets->arena, "%s: plan, from above", views->title));
    CanvasBox within = canvas_box_grown(views->plan, 10);
    within.left_px = room ? sheets->area.left_px : views->plan.left_px - 2;
    within.right_px = sheets->area.right_px;
    views->labels = labels_new(sheets->arena, sheets->canvas, within);
    views->labels.lead_px = 0.6;
    if (room) sheet_camera_list(views);
    if (plan->base >= 0) outline(views, &plan->base_outline, &BASE_LINE, 0xF6F1E7);
    outline(views, &plan->ground_outline, &GROUND_LINE, 0xEEF3E6);
    if (room) sheet_draw_tables_plan(views);
    if (!room) sheet_draw_seams(views);
    draw_things(views);
    draw_frame(views);
    draw_lines(views);
    if (room) draw_cameras(views);
    if (room) sheet_draw_lamps_plan(views);
    dimension_depths(views);
    if (!room) dimension_widths(views);
    dimension_mark(views);
    if (!room) sheet_draw_holes(views);
    avoid_lines(views);
    name_things(views);
    if (room) {
        name_cameras(views);
        sheet_name_lamps(views, false);
        sheet_name_tables(views);
    } else {
        name_frame(views);
    }
}
