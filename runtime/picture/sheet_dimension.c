/* Dimension lines as the trade draws them: thin lines out from what is measured, slanted ticks, the number
 * over the line. */
#include "picture/sheet.h"

#include <math.h>

static const LineStyle LINE = {.color = SHEET_INK, .wide_px = 0.5};
static const LineStyle OUT = {.color = SHEET_FAINT, .wide_px = SHEET_THIN_PX};
static const LineStyle TICK = {.color = SHEET_INK, .wide_px = 1};
static const double TICK_PX = 2.5, GAP_PX = 2, PAST_PX = 3, OVER_PX = 2.5;

static void tick(Canvas *canvas, double x, double y) {
    canvas_line(canvas, x - TICK_PX, y + TICK_PX, x + TICK_PX, y - TICK_PX, &TICK);
}

static TextStyle number_style(bool upright, TextAlign align) {
    TextStyle style = SHEET_TEXT;
    style.halo = 0xFFFFFF;
    style.halo_px = 1.5;
    style.upright = upright;
    style.align = align;
    return style;
}

/* From a measured place to a little past the line. */
static double past(double from, double at) {
    return at > from ? at + PAST_PX : at - PAST_PX;
}

static double off(double from, double at) {
    return at > from ? from + GAP_PX : from - GAP_PX;
}

void sheet_dimension_level(Canvas *canvas, CanvasPoint from, CanvasPoint to, double at_px, const char *text) {
    const double left = fmin(from.x_px, to.x_px), right = fmax(from.x_px, to.x_px);
    if (from.y_px != at_px)
        canvas_line(canvas, from.x_px, off(from.y_px, at_px), from.x_px, past(from.y_px, at_px), &OUT);
    if (to.y_px != at_px)
        canvas_line(canvas, to.x_px, off(to.y_px, at_px), to.x_px, past(to.y_px, at_px), &OUT);
    canvas_line(canvas, left, at_px, right, at_px, &LINE);
    tick(canvas, left, at_px);
    tick(canvas, right, at_px);
    const TextStyle middle = number_style(false, TEXT_CENTRED), beside = number_style(false, TEXT_FROM_LEFT);
    if (canvas_text_wide_px(canvas, &middle, text) <= right - left - 4)
        canvas_text(canvas, (left + right) / 2, at_px - OVER_PX, &middle, text);
    else
        canvas_text(canvas, right + 5, at_px + 3, &beside, text);
}

void sheet_dimension_upright(Canvas *canvas, CanvasPoint from, CanvasPoint to, double at_px,
                             SheetTexts text) {
    const double top = fmin(from.y_px, to.y_px), bottom = fmax(from.y_px, to.y_px);
    canvas_line(canvas, off(from.x_px, at_px), from.y_px, past(from.x_px, at_px), from.y_px, &OUT);
    canvas_line(canvas, off(to.x_px, at_px), to.y_px, past(to.x_px, at_px), to.y_px, &OUT);
    canvas_line(canvas, at_px, top, at_px, bottom, &LINE);
    tick(canvas, at_px, top);
    tick(canvas, at_px, bottom);
    const TextStyle along = number_style(true, TEXT_CENTRED);
    for (size_t i = 0; i < text.count; i++) {
        if (canvas_text_wide_px(canvas, &along, text.items[i]) > bottom - top - 4) continue;
        canvas_text(canvas, at_px - OVER_PX, (top + bottom) / 2, &along, text.items[i]);
        return;
    }
    const TextStyle beside = number_style(false, TEXT_FROM_LEFT);
    const char *last = text.items[text.count - 1];
    canvas_text(canvas, at_px + 4, (top + bottom) / 2 + 3, &beside, last);
}
