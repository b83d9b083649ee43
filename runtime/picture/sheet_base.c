/* The base on the plan: where its boards meet, and where it is drilled. */
#include "picture/sheet_view.h"

#include <math.h>

static const LineStyle SEAM_LINE = {.color = SHEET_FAINT, .wide_px = 0.6, .dash = DASH_DOT};
static const LineStyle HOLE_CROSS = {.color = SHEET_INK, .wide_px = 0.8, .halo = 0xFFFFFF, .halo_px = 0.7};

/* What of a seam lies in the base: from front to rear its sides are straight. */
static void within_sides(const Trapezoid *base, const PartSeam *seam, double *from_mm, double *to_mm) {
    const double deep = base->rear_mm - base->front_mm;
    const double left_lean = (base->rear_left_mm - base->front_left_mm) / deep,
                 right_lean = (base->rear_right_mm - base->front_right_mm) / deep;
    *from_mm = seam->from_mm;
    *to_mm = seam->to_mm;
    if (seam->across) {
        const double back = seam->at_mm - base->front_mm;
        *from_mm = fmax(*from_mm, base->front_left_mm + left_lean * back);
        *to_mm = fmin(*to_mm, base->front_right_mm + right_lean * back);
        return;
    }
    const double from_left = seam->at_mm - base->front_left_mm,
                 from_right = seam->at_mm - base->front_right_mm;
    if (from_left < 0 && left_lean < 0) *from_mm = fmax(*from_mm, base->front_mm + from_left / left_lean);
    if (from_left > 0 && left_lean > 0) *to_mm = fmin(*to_mm, base->front_mm + from_left / left_lean);
    if (from_right > 0 && right_lean > 0) *from_mm = fmax(*from_mm, base->front_mm + from_right / right_lean);
    if (from_right < 0 && right_lean < 0) *to_mm = fmin(*to_mm, base->front_mm + from_right / right_lean);
}

void sheet_draw_seams(SheetViews *views) {
    const Plan *plan = views->sheets->plan;
    for (size_t i = 0; plan->parts && plan->base >= 0 && i < plan->parts->seams.count; i++) {
        const PartSeam *it = &plan->parts->seams.items[i];
        double from_mm, to_mm;
        if (it->thing != plan->base) continue;
        within_sides(&plan->base_outline, it, &from_mm, &to_mm);
        if (!(from_mm < to_mm)) continue;
        const CanvasPoint from = it->across ? sheet_on_plan(views, from_mm, it->at_mm)
                                            : sheet_on_plan(views, it->at_mm, from_mm),
                          to = it->across ? sheet_on_plan(views, to_mm, it->at_mm)
                                          : sheet_on_plan(views, it->at_mm, to_mm);
        canvas_line(views->sheets->canvas, from.x_px, from.y_px, to.x_px, to.y_px, &SEAM_LINE);
    }
}

void sheet_draw_holes(SheetViews *views) {
    const Sheets *sheets = views->sheets;
    const PlanDatum *datum = &sheets->datum;
    for (size_t b = 0; b < sheets->facts->blocks.count; b++) {
        const FactBlock *block = sheets->facts->blocks.items[b];
        if (!text_equal(block->kind, "holes")) continue;
        for (size_t i = 0; i < block->facts.count; i++) {
            const Fact *fact = block->facts.items[i];
            if (!text_starts(fact->key, "hole ")) continue;
            const CanvasPoint at = sheet_on_plan(views, datum->centre_mm + fact_number(fact, "right"),
                                                 datum->front_mm + fact_number(fact, "behind"));
            canvas_cross(sheets->canvas, at.x_px, at.y_px, 4, true, &HOLE_CROSS);
        }
    }
}
