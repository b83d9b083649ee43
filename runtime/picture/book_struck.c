/* Parts of struck sets that are cut smaller: where on them what is wanted lies, drawn and told. */
#include "picture/book_pages.h"
#include "picture/sheet_cut.h"

#include <math.h>

enum { SCALE_LEAST = 8, BETWEEN_PX = 16, UNDER_PX = 12, TALL_MOST_PX = 220, ACROSS = 3 };
static const double SAME_MM2 = 1;

/* A struck part, and what of it is used: a part, or a rectangle that is cut as a sheet. */
typedef struct Struck {
    const CutItem *panel;
    const char *used, *from;  /* `base 1 of 2`, `sheet 2`; `base 1 of 5 of 08-fog` */
    const NestPoint *outline; /* on the panel */
    int count;
} Struck;
typedef LIST(Struck) StruckParts;

typedef struct StruckDrawing {
    Sheets *sheets;
    const CutStock *stock;
    const char *scene;
    StruckParts parts;
    int scale;
} StruckDrawing;

static const char *length(const Sheets *sheets, double mm) {
    return length_one(sheets->arena, sheets->lengths, mm, 64, 1);
}

/* ---- What there is to draw */

static void add_cut_down(StruckDrawing *drawing, const UsedAgain *again) {
    Arena *arena = drawing->sheets->arena;
    const CutItem *wanted = again->wanted;
    const NestPlacement place = {
        .x_mm = again->at.x_mm, .y_mm = again->at.y_mm, .quarter_turns = again->quarter_turns};
    NestPoint *corners = ARENA_ARRAY(arena, NestPoint, wanted->outline_count);
    cut_outline(wanted, &place, corners);
    LIST_PUSH(arena, drawing->parts,
              (Struck){.panel = again->struck,
                       .used = again->part,
                       .from = arena_format(arena, "%s of %s", again->from_part, again->from_scene),
                       .outline = corners,
                       .count = wanted->outline_count});
}

/* What is a rectangle all over is drawn among the sheets, and needs no more. */
static bool is_whole(const CutItem *panel, NestSheet size) {
    return panel->shape == PART_LENGTH ||
           (panel->shape == PART_RECTANGLE && panel->opening_count == 0 &&
            fabs(panel->item.wide_mm * panel->item.tall_mm - size.wide_mm * size.tall_mm) < SAME_MM2);
}

static void add_rectangle(StruckDrawing *drawing, const Found *found, NestSheet size, int sheet) {
    Arena *arena = drawing->sheets->arena;
    NestPoint *corners = ARENA_ARRAY(arena, NestPoint, 4);
    const double left = found->at.x_mm, low = found->at.y_mm;
    corners[0] = (NestPoint){left, low};
    corners[1] = (NestPoint){left + size.wide_mm, low};
    corners[2] = (NestPoint){left + size.wide_mm, low + size.tall_mm};
    corners[3] = (NestPoint){left, low + size.tall_mm};
    LIST_PUSH(arena, drawing->parts,
              (Struck){.panel = found->struck,
                       .used = arena_format(arena, "sheet %d", sheet + 1),
                       .from = arena_format(arena, "%s of %s", found->part, found->scene),
                       .outline = corners,
                       .count = 4});
}

static void take_parts(StruckDrawing *drawing, const SceneCut *cut) {
    const Nest *nest = cut->cut.nest;
    for (int i = 0; i < nest->sheet_count; i++) {
        const NestUsed *used = &nest->sheets[i];
        if (used->have < 0) continue;
        const Found *found = &cut->found[used->have];
        if (found->kind == FOUND_STRUCK && !is_whole(found->struck, used->size))
            add_rectangle(drawing, found, used->size, i);
    }
    for (int i = 0; i < cut->again_count; i++)
        if (cut->again[i].cut_down) add_cut_down(drawing, &cut->again[i]);
}

/* ---- Drawn */

static int scale_of(const StruckDrawing *drawing) {
    const CanvasBox area = drawing->sheets->area;
    double wide = 0, tall = 0;
    for (size_t i = 0; i < drawing->parts.count; i++) {
        wide = fmax(wide, drawing->parts.items[i].panel->item.wide_mm);
        tall = fmax(tall, drawing->parts.items[i].panel->item.tall_mm);
    }
    const double room = (area.right_px - area.left_px - (ACROSS - 1) * BETWEEN_PX) / ACROSS;
    const double least = fmax(wide * POINTS_PER_MM / room, tall * POINTS_PER_MM / TALL_MOST_PX);
    return sheet_usual_scale(drawing->sheets->lengths, fmax(least, SCALE_LEAST));
}

static CanvasPoint *points_of(const StruckDrawing *drawing, const NestPoint *corners, int count,
                              CanvasPoint origin) {
    const double px_per_mm = POINTS_PER_MM / drawing->scale;
    CanvasPoint *points = ARENA_ARRAY(drawing->sheets->arena, CanvasPoint, count);
    for (int i = 0; i < count; i++)
        points[i] = (CanvasPoint){origin.x_px + corners[i].x_mm * px_per_mm,
                                  origin.y_px - corners[i].y_mm * px_per_mm};
    return points;
}

/* Within the outline, a little way to its middle. */
static void number_corners(const StruckDrawing *drawing, const CanvasPoint *points, int count) {
    CanvasPoint middle = {0, 0};
    TextStyle style = SHEET_TEXT;
    style.align = TEXT_CENTRED;
    style.middle = true;
    for (int i = 0; i < count; i++) {
        middle.x_px += points[i].x_px / count;
        middle.y_px += points[i].y_px / count;
    }
    for (int i = 0; i < count; i++) {
        const double x = middle.x_px - points[i].x_px, y = middle.y_px - points[i].y_px;
        const double in = fmin(9, hypot(x, y) / 2) / fmax(hypot(x, y), 1e-6);
        canvas_text(drawing->sheets->canvas, points[i].x_px + x * in, points[i].y_px + y * in, &style,
                    arena_format(drawing->sheets->arena, "%d", i + 1));
    }
}

static void draw_struck(const StruckDrawing *drawing, const Struck *struck, CanvasPoint origin) {
    Canvas *canvas = drawing->sheets->canvas;
    const CutItem *panel = struck->panel;
    const CanvasPoint *edge = points_of(drawing, panel->outline, panel->outline_count, origin);
    const CanvasPoint *used = points_of(drawing, struck->outline, struck->count, origin);
    canvas_fill_path(canvas, edge, (size_t)panel->outline_count, SHEET_CUT_WASTE, 1);
    canvas_fill_path(canvas, used, (size_t)struck->count, 0xFFFFFF, 1);
    canvas_path(canvas, edge, (size_t)panel->outline_count, true, &SHEET_CUT_OFFCUT);
    canvas_path(canvas, used, (size_t)struck->count, true, &SHEET_CUT_PART);
    number_corners(drawing, used, struck->count);
}

static SheetLines caption_of(const StruckDrawing *drawing, const Struck *struck, double wide_px) {
    return sheet_wrap(drawing->sheets, &SHEET_BOLD,
                      arena_format(drawing->sheets->arena, "%s, from %s", struck->used, struck->from),
                      wide_px);
}

static void draw_heading(const StruckDrawing *drawing) {
    Sheets *sheets = drawing->sheets;
    sheet_heading(sheets, arena_format(sheets->arena, "Struck %s for %s, drawn to %s", drawing->stock->name,
                                       drawing->scene, sheet_scale_text(sheets, drawing->scale)));
    sheets->y_px += UNDER_PX / 2;
}

/* So many side by side, from `first` on. */
static void draw_row(const StruckDrawing *drawing, size_t first, size_t count, bool heading) {
    Sheets *sheets = drawing->sheets;
    const double wide = (sheets->area.right_px - sheets->area.left_px - (ACROSS - 1) * BETWEEN_PX) / ACROSS;
    double over = 0, tall = 0;
    for (size_t i = first; i < first + count; i++) {
        const Struck *struck = &drawing->parts.items[i];
        over = fmax(over, (double)caption_of(drawing, struck, wide).count * SHEET_LINE_PX);
        tall = fmax(tall, struck->panel->item.tall_mm * POINTS_PER_MM / drawing->scale);
    }
    sheet_need(sheets, over + tall + 2 * UNDER_PX + (heading ? 2 * UNDER_PX : 0));
    if (heading) draw_heading(drawing);
    for (size_t i = first; i < first + count; i++) {
        const double left = sheets->area.left_px + (double)(i - first) * (wide + BETWEEN_PX);
        const SheetLines lines = caption_of(drawing, &drawing->parts.items[i], wide);
        for (size_t k = 0; k < lines.count; k++)
            canvas_text(sheets->canvas, left, sheets->y_px + (double)(k + 1) * SHEET_LINE_PX - 3, &SHEET_BOLD,
                        lines.items[k]);
        draw_struck(drawing, &drawing->parts.items[i], (CanvasPoint){left, sheets->y_px + over + tall + 4});
    }
    sheets->y_px += over + tall + UNDER_PX;
}

/* ---- Told */

static const char *corners_told(const Sheets *sheets, const Struck *struck) {
    Buffer told = buffer_new(sheets->arena);
    for (int i = 0; i < struck->count; i++)
        buffer_format(&told, "%s%d: %s, %s", i > 0 ? "; " : "", i + 1,
                      length(sheets, struck->outline[i].x_mm), length(sheets, struck->outline[i].y_mm));
    return buffer_text(&told);
}

static void tell_corners(const StruckDrawing *drawing) {
    Sheets *sheets = drawing->sheets;
    SheetTable table = {
        .title =
            arena_format(sheets->arena, "Corners on struck %s for %s", drawing->stock->name, drawing->scene),
        .note = "Of each corner how far right of the left and above the lower edge of the box round the "
                "struck part, which lies as it is drawn.",
        .columns = 3,
        .soft = 2,
        .heads = {"what", "from", "corners"}};
    for (size_t i = 0; i < drawing->parts.count; i++) {
        const Struck *struck = &drawing->parts.items[i];
        book_row(sheets, &table, (SheetRow){{struck->used, struck->from, corners_told(sheets, struck)}});
    }
    sheet_table(sheets, &table);
}

void book_struck(Sheets *sheets, const SceneCut *cut) {
    StruckDrawing drawing = {.sheets = sheets, .stock = &cut->cut.stock, .scene = cut->scene};
    take_parts(&drawing, cut);
    if (drawing.parts.count == 0) return;
    drawing.scale = scale_of(&drawing);
    for (size_t first = 0; first < drawing.parts.count; first += ACROSS) {
        const size_t left = drawing.parts.count - first;
        draw_row(&drawing, first, left < ACROSS ? left : ACROSS, first == 0);
    }
    tell_corners(&drawing);
}
