/* The side elevation: the set from its right side, so that the camera is at the left. */
#include "picture/sheet_view.h"
#include "plan/shape.h"

#include <math.h>
#include <stdlib.h>

static const LineStyle EDGE = {.color = SHEET_INK, .wide_px = 0.7};
static const LineStyle LEVEL = {.color = SHEET_FAINT, .wide_px = SHEET_THIN_PX, .dash = DASH_LONG_DOT};
static const LineStyle FLOOR = {.color = SHEET_INK, .wide_px = 1.2};
static const LineStyle FRAME_LINE = {.color = SHEET_CAMERA, .wide_px = 0.7};
static const LineStyle MARK_LINE = {.color = SHEET_MARK, .wide_px = 0.7, .dash = DASH_SHORT};
enum { OUTLINE_MOST = 210, PROFILE = 100, ACROSS = 24 };

/* ---- Outlines */

typedef struct Outline {
    CanvasPoint points[OUTLINE_MOST];
    size_t count;
} Outline;

static void add(const SheetViews *views, Outline *to, double back_mm, double up_mm) {
    if (to->count < OUTLINE_MOST) to->points[to->count++] = sheet_on_side(views, back_mm, up_mm);
}

static void box_outline(const SheetViews *views, Outline *to, const PlanThing *thing) {
    add(views, to, thing->front_mm, thing->foot_mm);
    add(views, to, thing->rear_mm, thing->foot_mm);
    add(views, to, thing->rear_mm, thing->top_mm);
    add(views, to, thing->front_mm, thing->top_mm);
}

static void steps_outline(const SheetViews *views, Outline *to, const PlanThing *thing) {
    const int steps = thing->steps;
    add(views, to, thing->rear_mm, thing->foot_mm);
    add(views, to, thing->front_mm, thing->foot_mm);
    for (int i = 0; i < steps; i++) {
        const double front = thing->front_mm + (thing->rear_mm - thing->front_mm) * i / steps,
                     rear = thing->front_mm + (thing->rear_mm - thing->front_mm) * (i + 1) / steps,
                     up = thing->foot_mm + (thing->top_mm - thing->foot_mm) * (i + 1) / steps;
        add(views, to, front, up);
        add(views, to, rear, up);
    }
}

/* Turned wedges and steps as the box round them. */
static Outline outline_of(const SheetViews *views, const PlanThing *thing) {
    Outline to = {.count = 0};
    const bool turned = thing->turn_rad != 0;
    if (thing->thing->shape == SHAPE_CONE) {
        add(views, &to, thing->front_mm, thing->foot_mm);
        add(views, &to, thing->rear_mm, thing->foot_mm);
        add(views, &to, thing->at.back_mm, thing->top_mm);
    } else if (thing->thing->shape == SHAPE_WEDGE && !turned) {
        add(views, &to, thing->front_mm, thing->foot_mm);
        add(views, &to, thing->rear_mm, thing->foot_mm);
        add(views, &to, thing->rear_mm, thing->top_mm);
    } else if (thing->thing->shape == SHAPE_STEPS && !turned && thing->steps > 0) {
        steps_outline(views, &to, thing);
    } else {
        box_outline(views, &to, thing);
    }
    return to;
}

static void draw_outline(const SheetViews *views, const Outline *it, uint32_t fill, double strength,
                         const LineStyle *line) {
    canvas_fill_path(views->sheets->canvas, it->points, it->count, fill, strength);
    canvas_path(views->sheets->canvas, it->points, it->count, true, line);
}

/* ---- The ground and what carries it */

static double highest(const Plan *plan, double back_mm) {
    const Trapezoid *it = &plan->ground_outline;
    const double left = fmin(it->front_left_mm, it->rear_left_mm),
                 right = fmax(it->front_right_mm, it->rear_right_mm);
    double up = -INFINITY;
    for (int i = 0; i <= ACROSS; i++)
        up = fmax(up, plan_ground_mm(plan, left + (right - left) * i / ACROSS, back_mm));
    return up;
}

static void draw_ground(const SheetViews *views) {
    const Plan *plan = views->sheets->plan;
    const Trapezoid *it = &plan->ground_outline;
    Outline to = {.count = 0};
    add(views, &to, it->front_mm, -plan->ground_thick_mm);
    for (int i = 0; i <= PROFILE; i++) {
        const double back = it->front_mm + (it->rear_mm - it->front_mm) * i / PROFILE;
        add(views, &to, back, highest(plan, back));
    }
    add(views, &to, it->rear_mm, -plan->ground_thick_mm);
    draw_outline(views, &to, 0xDDE8CF, 1, &EDGE);
}

static void draw_slab(const SheetViews *views, const Trapezoid *it, double top_mm, double thick_mm,
                      uint32_t fill) {
    Outline to = {.count = 0};
    add(views, &to, it->front_mm, top_mm - thick_mm);
    add(views, &to, it->rear_mm, top_mm - thick_mm);
    add(views, &to, it->rear_mm, top_mm);
    add(views, &to, it->front_mm, top_mm);
    draw_outline(views, &to, fill, 1, &EDGE);
}

static void take_words(SheetViews *views, double x, double y, const char *words) {
    Canvas *canvas = views->sheets->canvas;
    TextStyle style = SHEET_TEXT;
    style.halo = 0xFFFFFF;
    style.halo_px = 1.2;
    labels_take(&views->labels, canvas_text(canvas, x, y, &style, words));
}

static void draw_base(SheetViews *views) {
    const Plan *plan = views->sheets->plan;
    if (plan->base >= 0 && plan->base_thick_mm > 0)
        draw_slab(views, &plan->base_outline, -plan->ground_thick_mm, plan->base_thick_mm, 0xE8DCC4);
}

static void draw_floor(SheetViews *views) {
    const Plan *plan = views->sheets->plan;
    if (!(plan->table_tall_mm > 0)) return;
    const double floor = -plan->ground_thick_mm - plan->base_thick_mm - plan->table_tall_mm;
    const CanvasPoint foot = sheet_on_side(views, views->span.front_mm, floor);
    canvas_line(views->sheets->canvas, views->side.left_px - 6, foot.y_px, views->side.right_px + 6,
                foot.y_px, &FLOOR);
    take_words(views, views->side.left_px, foot.y_px + 10, "floor");
}

/* ---- Things and frame */

/* From the far side to the near one. */
static int by_right(const void *a, const void *b) {
    const PlanThing *const *first = a, *const *second = b;
    const double one = (*first)->right_mm, two = (*second)->right_mm;
    return one < two ? -1 : one > two ? 1 : *first < *second ? -1 : *first > *second;
}

static void draw_things(SheetViews *views) {
    const size_t count = views->sheets->plan->scene->thing_count;
    const PlanThing **order = ARENA_ARRAY(views->sheets->arena, const PlanThing *, count);
    size_t drawn = 0;
    for (size_t i = 0; i < count; i++) {
        const PlanThing *thing = &views->sheets->things[i];
        if (sheet_in_view(views, i) && thing->thing->shape != SHAPE_NONE) order[drawn++] = thing;
    }
    if (drawn > 0) qsort(order, drawn, sizeof *order, by_right);
    for (size_t i = 0; i < drawn; i++) {
        const Outline it = outline_of(views, order[i]);
        for (size_t k = 0; k < it.count; k++)
            labels_avoid_line(&views->labels, it.points[k], it.points[(k + 1) % it.count]);
        const LineStyle line = sheet_outline(order[i]);
        draw_outline(views, &it, sheet_fill(order[i]), 0.75, &line);
    }
}

static void name_things(SheetViews *views) {
    for (size_t i = 0; i < views->sheets->plan->scene->thing_count; i++) {
        const PlanThing *thing = &views->sheets->things[i];
        if (!sheet_in_view(views, i) || thing->thing->shape == SHAPE_NONE) continue;
        const CanvasPoint low = sheet_on_side(views, thing->front_mm, thing->foot_mm),
                          high = sheet_on_side(views, thing->rear_mm, thing->top_mm);
        sheet_name_thing(views, i, (CanvasBox){low.x_px, high.y_px, high.x_px, low.y_px});
    }
}

/* The rays through the middle of the frame's upper and lower edge. */
static void draw_frame(SheetViews *views) {
    const PlanShot *shot = views->shot;
    const Camera *camera = &shot->cameras[0].camera;
    const RasterWindow window = raster_frame(&shot->picture, 0);
    const double middle = (window.left_mm + window.right_mm) / 2, edges[] = {window.low_mm, window.high_mm};
    const double ends[] = {views->span.rear_mm, views->span.rear_mm};
    const CanvasPoint lens = sheet_on_side(views, -camera->distance_mm, camera->height_mm);
    canvas_clip(views->sheets->canvas, canvas_box_grown(views->side, 4));
    for (int i = 0; i < 2; i++) {
        Point3 hit;
        if (!camera_on_upright(camera, &shot->picture, middle, edges[i], ends[i], &hit)) continue;
        Point3 ground;
        if (i == 0 && camera_on_level(camera, &shot->picture, middle, edges[i], 0, &ground) &&
            ground.back_mm < hit.back_mm)
            hit = ground;
        const CanvasPoint to = sheet_on_side(views, hit.back_mm, hit.up_mm);
        canvas_line(views->sheets->canvas, lens.x_px, lens.y_px, to.x_px, to.y_px, &FRAME_LINE);
        labels_avoid_line(&views->labels, lens, to);
    }
    canvas_unclip(views->sheets->canvas);
}

static void draw_cameras(SheetViews *views) {
    for (size_t i = views->shot->camera_count; i-- > 0;) {
        const Camera *camera = &views->shot->cameras[i].camera;
        const Point3 sensor = camera_sensor_mark(camera);
        sheet_draw_camera(views, sheet_on_side(views, -camera->distance_mm, camera->height_mm),
                          sheet_on_side(views, sensor.back_mm, sensor.up_mm), i == 0);
    }
}

/* ---- Heights */

static size_t tallest(const SheetViews *views) {
    size_t best = SIZE_MAX;
    for (size_t i = 0; i < views->sheets->plan->scene->thing_count; i++) {
        const PlanThing *thing = &views->sheets->things[i];
        if (!sheet_in_view(views, i) || thing->thing->shape == SHAPE_NONE) continue;
        if (best == SIZE_MAX || thing->top_mm > views->sheets->things[best].top_mm) best = i;
    }
    return best;
}

static SheetTexts top_texts(const SheetViews *views, size_t thing) {
    const Facts *facts = views->sheets->facts;
    const Thing *it = views->sheets->things[thing].thing;
    for (size_t i = 0; i < facts->blocks.count; i++) {
        const FactBlock *block = facts->blocks.items[i];
        if (text_equal(block->kind, "tape-out") || text_equal(block->kind, "built")) continue;
        const bool named = text_equal(block->name, it->name) || text_equal(block->heading, it->name) ||
                           text_equal(block->name, sheet_in_shot(views->sheets, it->name, views->shot_index));
        if (named && facts_find(facts, block->heading, "top"))
            return sheet_texts(views->sheets, block->heading, "top", 0);
    }
    return (SheetTexts){.items = {""}, .count = 1};
}

/* Plumb under the lens, the number beside the line. */
static void dimension_lens(SheetViews *views, CanvasPoint lens, CanvasPoint flat, const char *heading) {
    const Sheets *sheets = views->sheets;
    const SheetTexts text = sheet_texts(sheets, heading, "height", 0);
    sheet_dimension_upright(sheets->canvas, (CanvasPoint){lens.x_px - 2, flat.y_px}, lens, lens.x_px,
                            (SheetTexts){.items = {""}, .count = 1});
    TextStyle style = SHEET_TEXT;
    style.halo = 0xFFFFFF;
    style.halo_px = 1.5;
    labels_take(&views->labels, canvas_text(sheets->canvas, lens.x_px + 5, fmax(lens.y_px, flat.y_px) - 3,
                                            &style, text.items[0]));
}

/* Two lines beside the dimension line of what is tallest. */
static void dimension_top(SheetViews *views, size_t thing) {
    const Sheets *sheets = views->sheets;
    const PlanThing *it = &sheets->things[thing];
    const double at = views->side.right_px + 20;
    const CanvasPoint flat = sheet_on_side(views, views->span.rear_mm, 0),
                      top = sheet_on_side(views, it->rear_mm, it->top_mm);
    const SheetTexts text = top_texts(views, thing);
    if (!text.items[0][0]) return;
    sheet_dimension_upright(sheets->canvas, flat, top, at, (SheetTexts){.items = {""}, .count = 1});
    labels_avoid_line(&views->labels, (CanvasPoint){at, flat.y_px}, (CanvasPoint){at, top.y_px});
    labels_avoid_line(&views->labels, top, (CanvasPoint){at, top.y_px});
    const double room = sheets->area.right_px - at - 6, y = (flat.y_px + top.y_px) / 2 + 3;
    for (size_t i = 0; i < text.count; i++) {
        if (canvas_text_wide_px(sheets->canvas, &SHEET_TEXT, text.items[i]) > room) continue;
        labels_take(&views->labels, canvas_text(sheets->canvas, at + 5, y, &SHEET_TEXT, text.items[i]));
        return;
    }
    TextStyle over = SHEET_TEXT;
    over.align = TEXT_TO_RIGHT;
    labels_take(&views->labels, canvas_text(sheets->canvas, sheets->area.right_px, top.y_px - 6, &over,
                                            text.items[text.count > 1]));
}

static void dimension_heights(SheetViews *views) {
    const Sheets *sheets = views->sheets;
    const Plan *plan = sheets->plan;
    const Camera *camera = &views->shot->cameras[0].camera;
    const double floor = -plan->ground_thick_mm - plan->base_thick_mm - plan->table_tall_mm;
    const CanvasPoint lens = sheet_on_side(views, -camera->distance_mm, camera->height_mm),
                      flat = sheet_on_side(views, views->span.front_mm, 0),
                      below = sheet_on_side(views, views->span.front_mm, floor);
    const double left = views->side.left_px;
    const char *heading = views->shot->name[0]
                              ? arena_format(sheets->arena, "shot %s", views->shot->name)
                              : arena_format(sheets->arena, "scene %s", sheets->facts->scene);
    dimension_lens(views, lens, flat, heading);
    const SheetTexts above = sheet_texts(sheets, sheet_camera_heading(views), "above_floor", 0);
    const char *shortest = above.items[above.count - 1]; /* where it finds no room the list has it */
    if (shortest[0] &&
        canvas_text_wide_px(sheets->canvas, &SHEET_TEXT, shortest) <= fabs(below.y_px - lens.y_px) - 4)
        sheet_dimension_upright(sheets->canvas, below, lens, left - 20, above);
}

static void draw_levels(SheetViews *views) {
    const CanvasPoint flat = sheet_on_side(views, views->span.front_mm, 0),
                      mark = sheet_on_side(views, views->shot->mark.back_mm, views->shot->mark.up_mm),
                      high = sheet_on_side(views, views->shot->mark.back_mm, views->span.high_mm);
    canvas_line(views->sheets->canvas, views->side.left_px - 6, flat.y_px, views->side.right_px + 16,
                flat.y_px, &LEVEL);
    canvas_line(views->sheets->canvas, mark.x_px, mark.y_px + 4, mark.x_px, high.y_px, &MARK_LINE);
    if (views->kind == VIEWS_ROOM) {
        take_words(views, views->side.left_px, flat.y_px + 10, "flat ground");
        return;
    }
    TextStyle style = SHEET_TEXT;
    style.align = TEXT_TO_RIGHT;
    canvas_text(views->sheets->canvas, views->side.left_px - 9, flat.y_px - 2, &style, "flat");
    canvas_text(views->sheets->canvas, views->side.left_px - 9, flat.y_px + 7, &style, "ground");
}

void sheet_draw_side(SheetViews *views) {
    Sheets *sheets = views->sheets;
    const bool room = views->kind == VIEWS_ROOM;
    sheets->y_px = views->side.top_px - 22;
    const CanvasBox heading = sheet_view_heading(views, "Side elevation, from the right");
    CanvasBox within = canvas_box_grown(views->side, 14);
    within.left_px = views->side.left_px - 2;
    within.right_px += 60;
    views->labels = labels_new(sheets->arena, sheets->canvas, within);
    views->labels.lead_px = 0.6;
    labels_take(&views->labels, heading);
    if (room) sheet_draw_tables_side(views);
    if (room) draw_floor(views);
    draw_base(views);
    draw_ground(views);
    draw_things(views);
    draw_frame(views);
    draw_levels(views);
    if (room) draw_cameras(views);
    if (room) sheet_draw_lamps_side(views);
    const double levels_mm[] = {0, -sheets->plan->ground_thick_mm,
                                -sheets->plan->ground_thick_mm - sheets->plan->base_thick_mm};
    for (size_t i = 0; i < 3; i++)
        labels_avoid_line(&views->labels, sheet_on_side(views, views->span.front_mm, levels_mm[i]),
                          sheet_on_side(views, views->span.rear_mm, levels_mm[i]));
    const size_t thing = tallest(views);
    if (room) dimension_heights(views);
    if (!room && thing != SIZE_MAX) dimension_top(views, thing);
    name_things(views);
    if (room) sheet_name_lamps(views, true);
}
