/* One sheet that is cut, to scale: its lower left corner is the nest's. */
#include "picture/sheet_cut.h"

#include <math.h>

/* The test of the sheets tells lines by their widths (tests/external/sheets_check.py). */
const LineStyle SHEET_CUT_SHEET = {.color = SHEET_INK, .wide_px = 1.3};
const LineStyle SHEET_CUT_PART = {.color = SHEET_INK, .wide_px = 0.9};
static const LineStyle OPENING_LINE = {.color = SHEET_INK, .wide_px = 0.45};
const LineStyle SHEET_CUT_OFFCUT = {.color = SHEET_FAINT, .wide_px = 0.55, .dash = DASH_SHORT};
const LineStyle SHEET_CUT_HATCH = {.color = 0x8A9098, .wide_px = SHEET_THIN_PX};
static const LineStyle CUT_LINE = {.color = SHEET_INK, .wide_px = 0.4, .dash = DASH_LONG};
static const LineStyle TICK = {.color = SHEET_INK, .wide_px = 0.7};
static const LineStyle OUT = {.color = SHEET_FAINT, .wide_px = SHEET_THIN_PX};
enum { BALLOON_PX = 6 };

typedef struct Painter {
    CutDrawing *drawing;
    const CutSheet *sheet;
    Canvas *canvas;
    CanvasBoxes taken;
} Painter;

static CanvasPoint on(const Painter *painter, NestPoint at) {
    const double scale = painter->drawing->px_per_mm;
    return (CanvasPoint){painter->sheet->box.left_px + at.x_mm * scale,
                         painter->sheet->box.bottom_px - at.y_mm * scale};
}

static CanvasBox box_on(const Painter *painter, NestPoint low, NestPoint high) {
    const CanvasPoint a = on(painter, low), b = on(painter, high);
    return (CanvasBox){a.x_px, b.y_px, b.x_px, a.y_px};
}

static size_t box_corners(CanvasBox box, CanvasPoint corners[4]) {
    corners[0] = (CanvasPoint){box.left_px, box.bottom_px};
    corners[1] = (CanvasPoint){box.right_px, box.bottom_px};
    corners[2] = (CanvasPoint){box.right_px, box.top_px};
    corners[3] = (CanvasPoint){box.left_px, box.top_px};
    return 4;
}

/* ---- What is kept */

static void draw_offcuts(Painter *painter) {
    const Nest *nest = painter->drawing->cut->nest;
    for (int i = 0; i < nest->offcut_count; i++) {
        const NestOffcut *it = &nest->offcuts[i];
        if (it->sheet != painter->sheet->sheet) continue;
        const CanvasBox box = box_on(painter, (NestPoint){it->x_mm, it->y_mm},
                                     (NestPoint){it->x_mm + it->wide_mm, it->y_mm + it->tall_mm});
        canvas_fill_box(painter->canvas, box, 0xFFFFFF, 1);
        canvas_hatch(painter->canvas, box, 6, &SHEET_CUT_HATCH);
        canvas_rectangle(painter->canvas, box, &SHEET_CUT_OFFCUT);
    }
}

static void name_offcuts(Painter *painter) {
    CutDrawing *drawing = painter->drawing;
    const Nest *nest = drawing->cut->nest;
    for (int i = 0; i < nest->offcut_count; i++) {
        const NestOffcut *it = &nest->offcuts[i];
        if (it->sheet != painter->sheet->sheet) continue;
        CanvasPoint corners[4];
        const size_t count = box_corners(box_on(painter, (NestPoint){it->x_mm, it->y_mm},
                                                (NestPoint){it->x_mm + it->wide_mm, it->y_mm + it->tall_mm}),
                                         corners);
        const char *size =
            arena_format(drawing->sheets->arena, "%s x %s", sheet_cut_length(drawing, it->wide_mm),
                         sheet_cut_length(drawing, it->tall_mm));
        const CutWords words[] = {{{"offcut, kept", size}, 2, false},
                                  {{arena_format(drawing->sheets->arena, "kept %s", size)}, 1, false},
                                  {{arena_format(drawing->sheets->arena, "kept %s", size)}, 1, true},
                                  {{"kept"}, 1, false},
                                  {{"kept"}, 1, true}};
        for (size_t k = 0; k < sizeof words / sizeof *words; k++)
            if (sheet_cut_words(drawing->sheets, &words[k], corners, count, &painter->taken)) break;
    }
}

/* ---- Parts */

static void draw_opening(Painter *painter, const CutOpening *it) {
    const CanvasBox box = box_on(painter, it->low, it->high);
    CanvasPoint corners[72];
    size_t count = box_corners(box, corners);
    if (it->round) {
        count = sizeof corners / sizeof *corners;
        for (size_t i = 0; i < count; i++) {
            const double angle = 2 * PI * (double)i / (double)count;
            corners[i] = (CanvasPoint){
                (box.left_px + box.right_px) / 2 + cos(angle) * (box.right_px - box.left_px) / 2,
                (box.top_px + box.bottom_px) / 2 + sin(angle) * (box.bottom_px - box.top_px) / 2};
        }
    }
    canvas_fill_path(painter->canvas, corners, count, SHEET_CUT_WASTE, 1);
    canvas_path(painter->canvas, corners, count, true, &OPENING_LINE);
    if (it->round) return;
    canvas_line(painter->canvas, box.left_px, box.top_px, box.right_px, box.bottom_px, &OUT);
    canvas_line(painter->canvas, box.left_px, box.bottom_px, box.right_px, box.top_px, &OUT);
}

static CanvasPoint *outline_of(const Painter *painter, int placement, size_t *count) {
    Arena *arena = painter->drawing->sheets->arena;
    const NestPlacement *it = &painter->drawing->cut->nest->placements[placement];
    const CutItem *item = &painter->drawing->cut->items[it->item];
    NestPoint *corners = ARENA_ARRAY(arena, NestPoint, item->outline_count);
    CanvasPoint *points = ARENA_ARRAY(arena, CanvasPoint, item->outline_count);
    cut_outline(item, it, corners);
    for (int i = 0; i < item->outline_count; i++)
        points[i] = on(painter, corners[i]);
    *count = (size_t)item->outline_count;
    return points;
}

static void draw_part(Painter *painter, int placement) {
    const NestPlacement *it = &painter->drawing->cut->nest->placements[placement];
    const CutItem *item = &painter->drawing->cut->items[it->item];
    size_t count;
    const CanvasPoint *points = outline_of(painter, placement, &count);
    const NestPoint corners[2] = {
        nest_point(&item->item, it, (NestPoint){0, 0}),
        nest_point(&item->item, it, (NestPoint){item->item.wide_mm, item->item.tall_mm})};
    const NestPoint low = {fmin(corners[0].x_mm, corners[1].x_mm), fmin(corners[0].y_mm, corners[1].y_mm)},
                    high = {fmax(corners[0].x_mm, corners[1].x_mm), fmax(corners[0].y_mm, corners[1].y_mm)};
    canvas_fill_path(painter->canvas, points, count, 0xFFFFFF, 1);
    canvas_clip(painter->canvas, box_on(painter, low, high)); /* a seam may go through an opening */
    for (int i = 0; i < item->opening_count; i++) {
        const CutOpening opening = cut_opening(item, it, i);
        draw_opening(painter, &opening);
    }
    canvas_unclip(painter->canvas);
    canvas_path(painter->canvas, points, count, true, &SHEET_CUT_PART);
}

/* Of what is too small for its number. */
static void number_beside(Painter *painter, const char *number, CanvasPoint at) {
    Sheets *sheets = painter->drawing->sheets;
    Labels labels = labels_new(sheets->arena, painter->canvas, painter->sheet->box);
    labels.lead_px = 0.6;
    for (size_t i = 0; i < painter->taken.count; i++)
        labels_take(&labels, painter->taken.items[i]);
    TextStyle style = SHEET_BOLD;
    style.halo = 0xFFFFFF;
    style.halo_px = 1;
    const Label label = label_at(number, &style, at.x_px, at.y_px, 2, 60);
    if (labels_place(&labels, &label))
        LIST_PUSH(sheets->arena, painter->taken, labels.taken.items[labels.taken.count - 1]);
}

static void name_part(Painter *painter, int placement) {
    CutDrawing *drawing = painter->drawing;
    const NestPlacement *it = &drawing->cut->nest->placements[placement];
    const CutItem *item = &drawing->cut->items[it->item];
    size_t count;
    const CanvasPoint *points = outline_of(painter, placement, &count);
    for (int i = 0; i < item->opening_count; i++) {
        const CutOpening opening = cut_opening(item, it, i);
        LIST_PUSH(drawing->sheets->arena, painter->taken, box_on(painter, opening.low, opening.high));
    }
    const char *name = sheet_cut_name(drawing->sheets, item), *size = sheet_cut_size(drawing, item),
               *number = arena_format(drawing->sheets->arena, "%d", it->item + 1);
    const CutWords words[] = {
        {{name, size}, 2, false}, {{arena_format(drawing->sheets->arena, "%s, %s", name, size)}, 1, false},
        {{name, size}, 2, true},  {{arena_format(drawing->sheets->arena, "%s, %s", name, size)}, 1, true},
        {{number}, 1, false},     {{number}, 1, true}};
    const size_t kinds = sizeof words / sizeof *words;
    size_t k = 0;
    while (k < kinds && !sheet_cut_words(drawing->sheets, &words[k], points, count, &painter->taken))
        k++;
    if (k >= 4) drawing->in_key[it->item] = true;
    if (k < kinds) return;
    number_beside(painter, number,
                  on(painter, nest_point(&item->item, it,
                                         (NestPoint){item->item.wide_mm / 2, item->item.tall_mm / 2})));
}

/* ---- Cuts */

static void draw_cuts(Painter *painter) {
    const Nest *nest = painter->drawing->cut->nest;
    for (int i = 0; i < nest->cut_count; i++) {
        const NestCut *cut = &nest->cuts[i];
        if (cut->sheet != painter->sheet->sheet) continue;
        const CanvasPoint from = on(painter, cut->from), to = on(painter, cut->to);
        canvas_line(painter->canvas, from.x_px, from.y_px, to.x_px, to.y_px, &CUT_LINE);
    }
}

/* Balloons with their order on the first cuts, as long as there is room. */
static void number_cuts(Painter *painter) {
    const Nest *nest = painter->drawing->cut->nest;
    static const double shares[] = {0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6, 0.06, 0.94};
    TextStyle style = SHEET_TEXT;
    style.align = TEXT_CENTRED;
    style.middle = true;
    int number = 0;
    for (int i = 0; i < nest->cut_count && number < 99; i++) {
        const NestCut *cut = &nest->cuts[i];
        if (cut->sheet != painter->sheet->sheet || cut->trims) continue;
        number++;
        const CanvasPoint from = on(painter, cut->from), to = on(painter, cut->to);
        for (size_t k = 0; k < sizeof shares / sizeof *shares; k++) {
            const double x = from.x_px + (to.x_px - from.x_px) * shares[k],
                         y = from.y_px + (to.y_px - from.y_px) * shares[k];
            const CanvasBox box =
                canvas_box_grown((CanvasBox){x, y, x, y}, BALLOON_PX + (number > 9 ? 1.0 : 0.0));
            bool free = true;
            for (size_t t = 0; t < painter->taken.count && free; t++)
                free = !canvas_boxes_meet(painter->taken.items[t], box);
            if (!free) continue;
            const double radius = (box.right_px - box.left_px) / 2;
            canvas_fill_circle(painter->canvas, x, y, radius, 0xFFFFFF, 1);
            canvas_circle(painter->canvas, x, y, radius, &OPENING_LINE);
            canvas_text(painter->canvas, x, y, &style,
                        arena_format(painter->drawing->sheets->arena, "%d", number));
            LIST_PUSH(painter->drawing->sheets->arena, painter->taken, box);
            break;
        }
    }
}

/* ---- Numbers at the edges */

enum { APART_PX = 10 };

/* Places of numbers along an edge: each as near to its own as it can be, none nearer than a line to the one
 * before; those that find no room are left out. */
static size_t spread(const double *wanted_px, size_t count, double from_px, double to_px, double *at_px) {
    const size_t most = (size_t)fmax((to_px - from_px) / APART_PX + 1, 1);
    if (count > most) count = most;
    for (size_t i = 0; i < count; i++)
        at_px[i] = fmax(wanted_px[i], i > 0 ? at_px[i - 1] + APART_PX : from_px);
    double limit = to_px;
    for (size_t i = count; i-- > 0; limit = at_px[i] - APART_PX)
        at_px[i] = fmin(at_px[i], limit);
    return count;
}

void sheet_cut_edge(const CutDrawing *drawing, const CutSheet *sheet, bool upright) {
    Canvas *canvas = drawing->sheets->canvas;
    const SheetLines *texts = upright ? &sheet->up : &sheet->across;
    const double *mm = upright ? sheet->up_mm : sheet->across_mm, scale = drawing->px_per_mm;
    double *wanted = ARENA_ARRAY(drawing->sheets->arena, double, texts->count),
           *at = ARENA_ARRAY(drawing->sheets->arena, double, texts->count);
    for (size_t i = 0; i < texts->count; i++)
        wanted[i] = mm[i] * scale;
    const CanvasBox box = sheet->box;
    const size_t count = spread(wanted, texts->count, 0,
                                upright ? box.bottom_px - box.top_px : box.right_px - box.left_px, at);
    TextStyle style = SHEET_TEXT;
    style.align = TEXT_TO_RIGHT;
    style.middle = true;
    style.upright = !upright;
    for (size_t i = 0; i < count; i++) {
        const double w = wanted[i], a = at[i];
        const CanvasPoint edge = upright ? (CanvasPoint){box.left_px, box.bottom_px - w}
                                         : (CanvasPoint){box.left_px + w, box.bottom_px};
        const CanvasPoint out = upright ? (CanvasPoint){box.left_px - 4, box.bottom_px - w}
                                        : (CanvasPoint){box.left_px + w, box.bottom_px + 4};
        const CanvasPoint text = upright ? (CanvasPoint){box.left_px - 9, box.bottom_px - a}
                                         : (CanvasPoint){box.left_px + a, box.bottom_px + 9};
        canvas_line(canvas, edge.x_px, edge.y_px, out.x_px, out.y_px, &TICK);
        canvas_line(canvas, out.x_px, out.y_px, text.x_px, text.y_px, &OUT);
        canvas_text(canvas, text.x_px - (upright ? 2 : 0), text.y_px + (upright ? 0 : 2), &style,
                    texts->items[i]);
    }
}

static void draw_grain(Painter *painter) {
    if (!painter->drawing->cut->stock.grain) return;
    const CanvasBox box = painter->sheet->box;
    const double x = box.right_px + 7, middle = (box.top_px + box.bottom_px) / 2;
    const double reach = fmin(30, (box.bottom_px - box.top_px) / 2);
    canvas_arrow(painter->canvas, x, middle + reach, x, middle - reach, 5, true, &TICK);
    TextStyle style = SHEET_TEXT;
    style.upright = true;
    style.align = TEXT_CENTRED;
    style.halo = 0xFFFFFF;
    style.halo_px = 1.5;
    style.middle = true;
    canvas_text(painter->canvas, x, middle, &style, "grain");
}

static void draw_trim(Painter *painter) {
    const NestSheet *size = &painter->drawing->cut->nest->sheets[painter->sheet->sheet].size;
    if (!(size->trim_mm > 0)) return;
    canvas_rectangle(painter->canvas,
                     box_on(painter, (NestPoint){size->trim_mm, size->trim_mm},
                            (NestPoint){size->wide_mm - size->trim_mm, size->tall_mm - size->trim_mm}),
                     &CUT_LINE);
}

static void draw_caption(Painter *painter) {
    Sheets *sheets = painter->drawing->sheets;
    const CutSheet *sheet = painter->sheet;
    const SheetLines lines =
        sheet_wrap(sheets, &SHEET_BOLD, sheet->caption, sheet->cell.right_px - sheet->box.left_px);
    for (size_t i = 0; i < lines.count; i++)
        canvas_text(painter->canvas, sheet->box.left_px,
                    sheet->box.top_px - 4 - (double)(lines.count - 1 - i) * SHEET_LINE_PX, &SHEET_BOLD,
                    lines.items[i]);
}

void sheet_cut_sheet(CutDrawing *drawing, const CutSheet *sheet) {
    Painter painter = {.drawing = drawing, .sheet = sheet, .canvas = drawing->sheets->canvas};
    draw_caption(&painter);
    canvas_fill_box(painter.canvas, sheet->box, SHEET_CUT_WASTE, 1);
    draw_offcuts(&painter);
    for (int i = 0; i < sheet->placement_count; i++)
        draw_part(&painter, sheet->placements[i]);
    draw_cuts(&painter);
    draw_trim(&painter);
    canvas_rectangle(painter.canvas, sheet->box, &SHEET_CUT_SHEET);
    draw_grain(&painter);
    for (int i = 0; i < sheet->placement_count; i++)
        name_part(&painter, sheet->placements[i]);
    name_offcuts(&painter);
    number_cuts(&painter);
    sheet_cut_edge(drawing, sheet, true);
    sheet_cut_edge(drawing, sheet, false);
}
