/* Lengths of timber that are cut: bars, lying, from the left end. Only how long they are is to scale. */
#include "picture/sheet_cut.h"

#include <math.h>

enum { BAR_PX = 16, UNDER_PX = 10 };

static CanvasBox span(const CutDrawing *drawing, const CutSheet *it, double from_mm, double long_mm) {
    const double left = it->box.left_px + from_mm * drawing->px_per_mm;
    return (CanvasBox){left, it->box.top_px, left + long_mm * drawing->px_per_mm, it->box.bottom_px};
}

static void name_span(CutDrawing *drawing, CanvasBox box, const CutWords *words, size_t count, int item) {
    const CanvasPoint corners[] = {{box.left_px, box.bottom_px},
                                   {box.right_px, box.bottom_px},
                                   {box.right_px, box.top_px},
                                   {box.left_px, box.top_px}};
    CanvasBoxes taken = {0};
    for (size_t i = 0; i < count; i++) {
        if (!sheet_cut_words(drawing->sheets, &words[i], corners, 4, &taken)) continue;
        if (item >= 0 && i > 0) drawing->in_key[item] = true;
        return;
    }
    if (item >= 0) drawing->in_key[item] = true;
}

static void draw_offcuts(CutDrawing *drawing, const CutSheet *it) {
    const Nest *nest = drawing->cut->nest;
    for (int i = 0; i < nest->offcut_count; i++) {
        const NestOffcut *offcut = &nest->offcuts[i];
        if (offcut->sheet != it->sheet) continue;
        const CanvasBox box = span(drawing, it, offcut->y_mm, offcut->tall_mm);
        const char *size = sheet_cut_length(drawing, offcut->tall_mm);
        const CutWords words[] = {{{arena_format(drawing->sheets->arena, "kept %s", size)}, 1, false},
                                  {{"kept"}, 1, false}};
        canvas_fill_box(drawing->sheets->canvas, box, 0xFFFFFF, 1);
        canvas_hatch(drawing->sheets->canvas, box, 6, &SHEET_CUT_HATCH);
        canvas_rectangle(drawing->sheets->canvas, box, &SHEET_CUT_OFFCUT);
        name_span(drawing, box, words, 2, -1);
    }
}

static void draw_parts(CutDrawing *drawing, const CutSheet *it) {
    for (int i = 0; i < it->placement_count; i++) {
        const NestPlacement *placed = &drawing->cut->nest->placements[it->placements[i]];
        const CutItem *item = &drawing->cut->items[placed->item];
        const CanvasBox box = span(drawing, it, placed->y_mm, item->item.tall_mm);
        Arena *arena = drawing->sheets->arena;
        const CutWords words[] = {{{arena_format(arena, "%s, %s", sheet_cut_name(drawing->sheets, item),
                                                 sheet_cut_size(drawing, item))},
                                   1,
                                   false},
                                  {{arena_format(arena, "%d", placed->item + 1)}, 1, false}};
        canvas_fill_box(drawing->sheets->canvas, box, 0xFFFFFF, 1);
        canvas_rectangle(drawing->sheets->canvas, box, &SHEET_CUT_PART);
        name_span(drawing, box, words, 2, placed->item);
    }
}

static void draw_length(CutDrawing *drawing, CutSheet *it, double under_px) {
    Sheets *sheets = drawing->sheets;
    const double left = sheets->area.left_px + 1, top = sheets->y_px + SHEET_LINE_PX + 2;
    const double tall = drawing->cut->nest->sheets[it->sheet].size.tall_mm;
    it->box = (CanvasBox){left, top, left + tall * drawing->px_per_mm, top + BAR_PX};
    canvas_text(sheets->canvas, left, top - 4, &SHEET_BOLD, it->caption);
    canvas_fill_box(sheets->canvas, it->box, SHEET_CUT_WASTE, 1);
    draw_offcuts(drawing, it);
    draw_parts(drawing, it);
    canvas_rectangle(sheets->canvas, it->box, &SHEET_CUT_SHEET);
    sheet_cut_edge(drawing, it, false);
    sheets->y_px = it->box.bottom_px + under_px;
}

static double under(CutDrawing *drawing, const CutSheet *it) {
    double wide = 0;
    for (size_t i = 0; i < it->across.count; i++)
        wide =
            fmax(wide, canvas_text_wide_px(drawing->sheets->canvas, &SHEET_TEXT, it->across.items[i]) + 13);
    return wide + UNDER_PX;
}

void sheet_cut_lengths(CutDrawing *drawing, double below_px) {
    Sheets *sheets = drawing->sheets;
    const CanvasBox page = sheet_area(sheets);
    double longest = 0;
    for (size_t i = 0; i < drawing->count; i++)
        longest = fmax(longest, drawing->cut->nest->sheets[drawing->items[i].sheet].size.tall_mm);
    drawing->scale =
        sheet_usual_scale(sheets->lengths, longest * POINTS_PER_MM / (page.right_px - page.left_px - 2));
    drawing->px_per_mm = POINTS_PER_MM / drawing->scale;
    for (size_t i = 0; i < drawing->count; i++) {
        CutSheet *it = &drawing->items[i];
        it->across_mm = sheet_cut_places(drawing, it->sheet, true, &it->across);
        const double tall = SHEET_LINE_PX + BAR_PX + 2 + under(drawing, it);
        const bool first = i == 0, last = i + 1 == drawing->count;
        const int page_before = sheets->page;
        sheet_need(sheets, tall + (first ? SHEET_CUT_HEAD_PX : 0) + (last ? below_px : 0));
        if (first || sheets->page != page_before) sheet_cut_heading(drawing, !first);
        draw_length(drawing, it, under(drawing, it));
    }
}
