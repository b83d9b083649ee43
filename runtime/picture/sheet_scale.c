/* Scales of drawings on sheets, and bars to check them by. */
#include "picture/sheet.h"

#include <math.h>

/* Scales that rules have: architects' and engineers' in inches to the foot, metric ones (ISO 5455 and,
 * between its steps, those of metric rules). */
static const int feet_scales[] = {1, 2, 4, 5, 8, 10, 12, 16, 20, 24, 32, 40, 48, 64, 96, 128, 192},
                 metric_scales[] = {1, 2, 4, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200};
enum { SCALES = sizeof feet_scales / sizeof *feet_scales };
_Static_assert(SCALES == sizeof metric_scales / sizeof *metric_scales, "as many of each");

int sheet_usual_scale(LengthStyle lengths, double least) {
    const int *scales = lengths == STYLE_FEET_INCHES ? feet_scales : metric_scales;
    for (size_t i = 0; i < SCALES; i++)
        if (scales[i] >= least) return scales[i];
    return (int)(100 * ceil(fmin(least, 1e7) / 100));
}

const char *sheet_scale_text(const Sheets *sheets, int scale) {
    const char *ratio = arena_format(sheets->arena, "1:%d", scale);
    const bool feet = sheets->lengths == STYLE_FEET_INCHES;
    if (!feet || scale < 2 || 12 * 16 % scale != 0) return ratio;
    return arena_format(sheets->arena, "%s, %s = 1 ft", ratio,
                        length_feet_inches(sheets->arena, 12 * MM_PER_INCH / scale, 16));
}

/* The longest of some lengths that takes no more than the room. */
static double bar_mm(LengthStyle lengths, int scale, double room_px) {
    const double unit = lengths == STYLE_FEET_INCHES ? 12 * MM_PER_INCH : 100;
    static const double steps[] = {0.25, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 10000};
    double mm = steps[0] * unit;
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (steps[i] * unit * POINTS_PER_MM / scale <= room_px) mm = steps[i] * unit;
    return mm;
}

void sheet_scale_bar(Sheets *sheets, LengthStyle lengths, int scale, double left_px, double top_px,
                     double room_px) {
    enum { PARTS = 4 };
    const double mm = bar_mm(lengths, scale, room_px), long_px = mm * POINTS_PER_MM / scale;
    const LineStyle line = {.color = SHEET_INK, .wide_px = 0.6};
    for (int i = 0; i < PARTS; i += 2)
        canvas_fill_box(sheets->canvas,
                        (CanvasBox){left_px + i * long_px / PARTS, top_px,
                                    left_px + (i + 1) * long_px / PARTS, top_px + 5},
                        SHEET_INK, 1);
    canvas_rectangle(sheets->canvas, (CanvasBox){left_px, top_px, left_px + long_px, top_px + 5}, &line);
    canvas_text(
        sheets->canvas, left_px + long_px + 5, top_px + 6, &SHEET_TEXT,
        arena_format(sheets->arena, "%s at 1:%d", length_one(sheets->arena, lengths, mm, 4, 0), scale));
}
