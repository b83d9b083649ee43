/* What stands under and beside the set, on plan and side elevation: the tables that carry it, and the lamps
 * with their stands. */
#include "picture/sheet_view.h"
#include "plan/lamps.h"
#include "plan/room.h"
#include "plan/tables.h"

#include <math.h>

static const LineStyle TABLE_LINE = {.color = SHEET_INK, .wide_px = 0.55, .dash = DASH_LONG};
static const LineStyle LEG_LINE = {.color = SHEET_INK, .wide_px = 0.4};
static const LineStyle LEGS_LINE = {.color = SHEET_FAINT, .wide_px = SHEET_THIN_PX, .dash = DASH_SHORT};
static const LineStyle LAMP_LINE = {.color = SHEET_INK, .wide_px = 0.9};
static const LineStyle STAND_LINE = {.color = SHEET_INK, .wide_px = 0.6};
enum { LAMP_PX = 5, HANGS_PX = 12 };

static double under_mm(const Plan *plan) {
    return -plan->ground_thick_mm - plan->base_thick_mm;
}

const char *sheet_room_words(const Sheets *sheets) {
    Tables tables;
    const bool any = plan_tables(sheets->arena, sheets->plan, &tables),
               lamps = sheets->plan->scene->lamp_count > 0;
    return any && lamps ? "Tables, lamps and cameras"
           : any        ? "Tables and cameras"
           : lamps      ? "Lamps and cameras"
                        : "The cameras";
}

void sheet_take_room(SheetViews *views) {
    const Plan *plan = views->sheets->plan;
    Tables tables;
    if (plan_tables(views->sheets->arena, plan, &tables)) {
        for (int i = 0; i < tables.count; i++) {
            const PlanTable *it = &tables.items[i];
            sheet_take(&views->span, it->left_mm, it->front_mm, 0);
            sheet_take(&views->span, it->left_mm + tables.across_mm, it->front_mm + tables.back_mm, 0);
        }
    }
    for (size_t i = 0; i < plan->scene->lamp_count; i++) {
        const PlanLamp *lamp = &plan->lamps[i];
        const double reach = lamp->on_stand ? ROOM_LEGS_MM : LAMP_HEAD_MM / 2;
        sheet_take(&views->span, lamp->at.across_mm - reach, lamp->at.back_mm - reach, lamp->at.up_mm);
        sheet_take(&views->span, lamp->at.across_mm + reach, lamp->at.back_mm + reach, lamp->at.up_mm);
    }
}

/* ---- Tables */

static CanvasBox table_box(const SheetViews *views, const Tables *tables, const PlanTable *it) {
    const CanvasPoint low = sheet_on_plan(views, it->left_mm, it->front_mm),
                      high = sheet_on_plan(views, it->left_mm + tables->across_mm,
                                           it->front_mm + tables->back_mm);
    return (CanvasBox){low.x_px, high.y_px, high.x_px, low.y_px};
}

/* From the edges of its top to a leg, and how thick that is, on paper. */
static void draw_legs_plan(const SheetViews *views, const Tables *tables, CanvasBox top) {
    const double in = tables->leg_inset_mm * views->px_per_mm,
                 thick = tables->leg_thick_mm * views->px_per_mm;
    for (int i = 0; i < 4; i++) {
        const double left = i % 2 == 0 ? top.left_px + in : top.right_px - in - thick,
                     high = i < 2 ? top.top_px + in : top.bottom_px - in - thick;
        canvas_rectangle(views->sheets->canvas, (CanvasBox){left, high, left + thick, high + thick},
                         &LEG_LINE);
    }
}

void sheet_draw_tables_plan(SheetViews *views) {
    Tables tables;
    if (!plan_tables(views->sheets->arena, views->sheets->plan, &tables)) return;
    for (int i = 0; i < tables.count; i++) {
        const CanvasBox top = table_box(views, &tables, &tables.items[i]);
        canvas_rectangle(views->sheets->canvas, top, &TABLE_LINE);
        draw_legs_plan(views, &tables, top);
    }
}

static bool anywhere(const void *context, CanvasBox box) {
    (void)context;
    (void)box;
    return true;
}

/* `table 2.1`, and what it carries under it where there is room. */
void sheet_name_tables(SheetViews *views) {
    Sheets *sheets = views->sheets;
    Tables tables;
    if (!plan_tables(sheets->arena, sheets->plan, &tables)) return;
    TextStyle style = SHEET_TEXT;
    style.halo = 0xFFFFFF;
    style.halo_px = 1.2;
    for (int i = 0; i < tables.count; i++) {
        const PlanTable *it = &tables.items[i];
        const char *number = arena_format(sheets->arena, "%d.%d", it->row + 1, it->column + 1);
        const char *load =
            sheet_part(sheets, "tables", arena_format(sheets->arena, "carries %s", number), 0, 1);
        const CanvasBox box = canvas_box_grown(table_box(views, &tables, it), -2);
        Label label = {.style = style,
                       .text = arena_format(sheets->arena, "table %s: %s", number, load),
                       .x_px = (box.left_px + box.right_px) / 2,
                       .y_px = (box.top_px + box.bottom_px) / 2};
        if (load[0] && labels_place_on(&views->labels, &label, box, anywhere, NULL)) continue;
        label.text = arena_format(sheets->arena, "table %s", number);
        if (labels_place_on(&views->labels, &label, box, anywhere, NULL)) continue;
        label.text = number;
        labels_place_on(&views->labels, &label, box, anywhere, NULL);
    }
}

/* A row each, with its legs. */
void sheet_draw_tables_side(SheetViews *views) {
    Sheets *sheets = views->sheets;
    const Plan *plan = sheets->plan;
    Tables tables;
    if (!(plan->table_tall_mm > 0) || !plan_tables(sheets->arena, plan, &tables)) return;
    const double top = under_mm(plan);
    for (int i = 0; i < tables.row_count; i++) {
        const PlanTable *it = &tables.items[tables.rows[i].first];
        const CanvasPoint low = sheet_on_side(views, it->front_mm, top - plan->table_tall_mm),
                          high = sheet_on_side(views, it->front_mm + tables.back_mm, top);
        const CanvasBox box = {low.x_px, high.y_px, high.x_px, low.y_px};
        const double in = tables.leg_inset_mm * views->px_per_mm,
                     thick = tables.leg_thick_mm * views->px_per_mm;
        canvas_line(sheets->canvas, box.left_px, box.top_px, box.right_px, box.top_px, &TABLE_LINE);
        for (int leg = 0; leg < 2; leg++) {
            const double left = leg == 0 ? box.left_px + in : box.right_px - in - thick;
            canvas_rectangle(sheets->canvas, (CanvasBox){left, box.top_px, left + thick, box.bottom_px},
                             &LEG_LINE);
        }
        TextStyle style = SHEET_TEXT;
        style.align = TEXT_CENTRED;
        const double wide = high.x_px - low.x_px - 2 * (in + thick), y = (low.y_px + high.y_px) / 2 + 3;
        const char *words[] = {
            arena_format(sheets->arena, "tables, row %d, %s tall", i + 1,
                         length_one(sheets->arena, sheets->lengths, plan->table_tall_mm, 64, 1)),
            arena_format(sheets->arena, "tables, row %d", i + 1),
            arena_format(sheets->arena, "row %d", i + 1)};
        for (size_t k = 0; k < 3; k++) {
            if (canvas_text_wide_px(sheets->canvas, &style, words[k]) > wide - 6) continue;
            labels_take(&views->labels,
                        canvas_text(sheets->canvas, (low.x_px + high.x_px) / 2, y, &style, words[k]));
            break;
        }
    }
}

/* ---- Lamps */

/* The trade's sign for a lamp. */
static void draw_lamp(SheetViews *views, CanvasPoint at) {
    Canvas *canvas = views->sheets->canvas;
    canvas_fill_circle(canvas, at.x_px, at.y_px, LAMP_PX, 0xFFFFFF, 1);
    canvas_circle(canvas, at.x_px, at.y_px, LAMP_PX, &LAMP_LINE);
    canvas_cross(canvas, at.x_px, at.y_px, LAMP_PX * 0.94, true, &LAMP_LINE);
    labels_take(&views->labels,
                canvas_box_grown((CanvasBox){at.x_px, at.y_px, at.x_px, at.y_px}, LAMP_PX + 1));
}

void sheet_draw_lamps_plan(SheetViews *views) {
    const Plan *plan = views->sheets->plan;
    for (size_t i = 0; i < plan->scene->lamp_count; i++) {
        const PlanLamp *lamp = &plan->lamps[i];
        const CanvasPoint at = sheet_on_plan(views, lamp->at.across_mm, lamp->at.back_mm);
        if (lamp->on_stand)
            canvas_circle(views->sheets->canvas, at.x_px, at.y_px, ROOM_LEGS_MM * views->px_per_mm,
                          &LEGS_LINE);
        draw_lamp(views, at);
    }
}

void sheet_draw_lamps_side(SheetViews *views) {
    const Plan *plan = views->sheets->plan;
    for (size_t i = 0; i < plan->scene->lamp_count; i++) {
        const PlanLamp *lamp = &plan->lamps[i];
        const Point3 stands = lamp_foot(plan, lamp);
        const CanvasPoint at = sheet_on_side(views, lamp->at.back_mm, lamp->at.up_mm),
                          foot = sheet_on_side(views, stands.back_mm, stands.up_mm);
        const double legs = fmin(ROOM_LEGS_MM * views->px_per_mm, fabs(foot.y_px - at.y_px));
        if (lamp->on_stand && foot.y_px > at.y_px + LAMP_PX) {
            canvas_line(views->sheets->canvas, at.x_px, at.y_px, foot.x_px, foot.y_px, &STAND_LINE);
            canvas_line(views->sheets->canvas, foot.x_px, foot.y_px - legs / 2, foot.x_px - legs, foot.y_px,
                        &STAND_LINE);
            canvas_line(views->sheets->canvas, foot.x_px, foot.y_px - legs / 2, foot.x_px + legs, foot.y_px,
                        &STAND_LINE);
        } else {
            canvas_line(views->sheets->canvas, at.x_px, at.y_px, at.x_px, at.y_px - HANGS_PX, &STAND_LINE);
        }
        draw_lamp(views, at);
    }
}

/* `key: 500 W, wall`; on the side elevation how high it is; less where there is no room. */
static SheetTexts lamp_words(const SheetViews *views, const PlanLamp *lamp, bool side) {
    Sheets *sheets = views->sheets;
    Arena *arena = sheets->arena;
    const char *heading = arena_format(arena, "lamp %s", lamp->lamp->name),
               *name = canvas_text_fitted(sheets->canvas, &SHEET_BOLD, lamp->lamp->name, 130);
    if (!side) {
        const char *watts = arena_format(arena, "%s: %s W", name, sheet_part(sheets, heading, "watts", 0, 1));
        if (lamp->lamp->circuit < 0) return (SheetTexts){{watts, name, name}, 3};
        const char *circuit = sheets->plan->scene->circuits[lamp->lamp->circuit].name;
        return (SheetTexts){{arena_format(arena, "%s, %s", watts, circuit), watts, name}, 3};
    }
    const char *key = facts_find(sheets->facts, heading, "above_floor") ? "above_floor" : "up";
    return (SheetTexts){
        {arena_format(arena, "%s: %s", name, sheet_value(sheets, heading, key)),
         arena_format(arena, "%s: %s", name, facts_label(arena, sheets->facts, heading, key, NULL, true)),
         name},
        3};
}

void sheet_name_lamps(SheetViews *views, bool side) {
    TextStyle style = SHEET_BOLD;
    style.halo = 0xFFFFFF;
    style.halo_px = 1.2;
    for (size_t i = 0; i < views->sheets->plan->scene->lamp_count; i++) {
        const PlanLamp *lamp = &views->sheets->plan->lamps[i];
        const SheetTexts words = lamp_words(views, lamp, side);
        const CanvasPoint at = side ? sheet_on_side(views, lamp->at.back_mm, lamp->at.up_mm)
                                    : sheet_on_plan(views, lamp->at.across_mm, lamp->at.back_mm);
        for (size_t k = 0; k < words.count; k++) {
            const Label label = label_at(words.items[k], &style, at.x_px, at.y_px, LAMP_PX + 2, 90);
            if (labels_place(&views->labels, &label)) break;
        }
    }
}
