/* Sheets of a stock that are cut, in rows, and the scale at which they are drawn. */
#include "picture/sheet_cut.h"

#include <limits.h>
#include <math.h>

enum {
    GRAIN_PX = 14,   /* at a sheet's right */
    BETWEEN_PX = 14, /* pictures side by side */
    SCALE_LEAST = 8, /* larger than that nothing needs to be */
    MANY_PAGES = 3   /* more are drawn smaller, to be fewer */
};

static size_t caption_lines(Sheets *sheets, CutSheet *sheet, double wide_px) {
    for (size_t i = 0; i < sheet->captions.count; i++)
        if (sheet->captions.items[i].wide_px == wide_px) return sheet->captions.items[i].lines;
    const SheetLines lines = sheet_wrap(sheets, &SHEET_BOLD, sheet->caption, wide_px);
    LIST_PUSH(sheets->arena, sheet->captions, (CutCaption){wide_px, lines.count});
    return lines.count;
}

/* Rows of pictures to a scale, from 0, 0; as tall as they are together, or infinite where one is too wide.
 * `row_px`: the tallest row. */
static double lay_out(CutDrawing *drawing, int scale, double *row_px) {
    Sheets *sheets = drawing->sheets;
    const double px_per_mm = POINTS_PER_MM / scale, room = sheets->area.right_px - sheets->area.left_px;
    double x = 0, y = 0, tall = 0;
    *row_px = 0;
    drawing->scale = scale;
    drawing->px_per_mm = px_per_mm;
    for (size_t i = 0; i < drawing->count; i++) {
        CutSheet *it = &drawing->items[i];
        const NestSheet *size = &drawing->cut->nest->sheets[it->sheet].size;
        const double left = it->left_px, under = it->under_px;
        const double sheet_wide = size->wide_mm * px_per_mm, sheet_tall = size->tall_mm * px_per_mm;
        const double beside = drawing->cut->stock.grain ? GRAIN_PX : 2;
        const double wide = fmax(left + sheet_wide + beside, left + 70);
        if (wide > room) return INFINITY;
        const size_t lines = caption_lines(sheets, it, wide - left);
        const double over = (double)lines * SHEET_LINE_PX + 4, all = over + sheet_tall + under;
        if (x > 0 && x + wide > room) {
            y += tall + SHEET_CUT_UNDER_PX;
            x = tall = 0;
        }
        it->cell = (CanvasBox){x, y, x + wide, y + all};
        it->box = (CanvasBox){x + left, y + over, x + left + sheet_wide, y + over + sheet_tall};
        x += wide + BETWEEN_PX;
        tall = fmax(tall, all);
        *row_px = fmax(*row_px, all);
    }
    return y + tall;
}

/* The largest usual scale at which everything is no taller than `room_px` (or, with `row`, each row). */
static int largest_scale(CutDrawing *drawing, double room_px, bool row) {
    const LengthStyle lengths = drawing->sheets->lengths;
    double row_px;
    int scale = sheet_usual_scale(lengths, SCALE_LEAST);
    while (scale < 1000000) {
        const double all = lay_out(drawing, scale, &row_px);
        if (all < INFINITY && (row ? row_px : all) <= room_px) break;
        scale = sheet_usual_scale(lengths, scale + 1);
    }
    return scale;
}

/* Room for rows: on the first page, which has all words, and on those after it, which have a key of theirs.
 */
typedef struct CutRoom {
    double first_px, next_px;
} CutRoom;

/* How many pages the rows take; a row that fits on no page takes more than any. */
static int pages_at(CutDrawing *drawing, int scale, CutRoom room) {
    double row_px, top = 0;
    int pages = 1;
    if (lay_out(drawing, scale, &row_px) == INFINITY) return INT_MAX;
    for (size_t i = 0; i < drawing->count; i++) {
        const CanvasBox *cell = &drawing->items[i].cell;
        if (cell->bottom_px - top <= (pages == 1 ? room.first_px : room.next_px)) continue;
        if (cell->top_px == top) return INT_MAX;
        top = cell->top_px;
        pages++;
    }
    return pages;
}

/* Of the usual scales from `row` on the one that takes the fewest pages, the largest of these: but not much
 * smaller than a row would be drawn, unless there are many. */
static int scale_of_pages(CutDrawing *drawing, int row, CutRoom room) {
    int best = row, fewest = pages_at(drawing, row, room);
    const LengthStyle lengths = drawing->sheets->lengths;
    const int most = sheet_usual_scale(lengths, row * (fewest > MANY_PAGES ? 2.0 : 1.5));
    for (int scale = sheet_usual_scale(lengths, row + 1); scale <= most;
         scale = sheet_usual_scale(lengths, scale + 1)) {
        const int pages = pages_at(drawing, scale, room);
        if (pages >= fewest) continue;
        best = scale;
        fewest = pages;
    }
    return best;
}

/* The largest scale, not much smaller than `wanted`, at which the rows begin on what is left of this page and
 * take no more pages than on new ones; 0: none. */
static int scale_here(CutDrawing *drawing, int wanted, CutRoom here, CutRoom new) {
    const LengthStyle lengths = drawing->sheets->lengths;
    const int pages = pages_at(drawing, wanted, new);
    for (int scale = wanted; scale <= wanted * 1.5; scale = sheet_usual_scale(lengths, scale + 1))
        if (pages_at(drawing, scale, here) <= pages) return scale;
    return 0;
}

bool sheet_cut_choose_scale(CutDrawing *drawing, double words_px, double key_px) {
    Sheets *sheets = drawing->sheets;
    const CanvasBox page = sheet_area(sheets);
    const double tall = page.bottom_px - page.top_px;
    const bool before = words_px + key_px > tall / 2;
    const double words = before ? 0 : words_px + key_px, once = before ? 0 : words_px;
    const double more = SHEET_CUT_HEAD_PX + SHEET_CUT_UNDER_PX + words, whole = tall - more,
                 left = page.bottom_px - sheets->y_px - more;
    const CutRoom new = {whole, whole + once}, here = {left, whole + once};
    const int wanted = scale_of_pages(drawing, largest_scale(drawing, whole, true), new),
              begun = left > 60 ? scale_here(drawing, wanted, here, new) : 0;
    double row_px;
    lay_out(drawing, begun > 0 ? begun : wanted, &row_px);
    return begun == 0;
}
