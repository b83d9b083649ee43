/* Tables on the shop sheets. */
#include "picture/sheet.h"

#include <math.h>

static const LineStyle RULE = {.color = 0x8A9098, .wide_px = SHEET_THIN_PX};
static const LineStyle HEAD_RULE = {.color = SHEET_INK, .wide_px = 0.7};
enum { GAP_PX = 7, SOFT_LEAST_PX = 84 };
enum { TOGETHER = 4 };    /* rows that are not parted from their head */
enum { LINES_MOST = 24 }; /* of a cell: a row is never taller than a page */

/* A table laid out. */
typedef struct Layout {
    const SheetTable *table;
    double wide_px[SHEET_COLUMNS_MOST]; /* of each column's text */
} Layout;

/* Columns as wide as their texts; where that is too much, the soft one gives way first, then the
 * widest, but not under their longest word as long as there is a choice. */
static void fit_columns(double *wide_px, const double *least_px, size_t count, size_t soft, double room_px) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += wide_px[i];
    if (sum > room_px && soft < count) {
        const double less = fmin(sum - room_px, fmax(wide_px[soft] - fmax(least_px[soft], SOFT_LEAST_PX), 0));
        wide_px[soft] -= less;
        sum -= less;
    }
    while (sum > room_px) {
        size_t widest = count;
        for (size_t i = 0; i < count; i++) {
            if (wide_px[i] > least_px[i] && (widest == count || wide_px[i] > wide_px[widest])) widest = i;
        }
        if (widest == count) break;
        const double less = fmin(fmin(4, sum - room_px), wide_px[widest] - least_px[widest]);
        wide_px[widest] -= less;
        sum -= less;
    }
    for (size_t i = 0; i < count && sum > room_px; i++)
        wide_px[i] *= room_px / sum; /* words are broken */
}

static Layout lay_out(Sheets *sheets, const SheetTable *table) {
    Layout layout = {.table = table};
    double least[SHEET_COLUMNS_MOST];
    for (size_t c = 0; c < table->columns; c++) {
        layout.wide_px[c] = canvas_text_wide_px(sheets->canvas, &SHEET_BOLD, table->heads[c]);
        least[c] = sheet_widest_word(sheets, &SHEET_BOLD, table->heads[c]);
        for (size_t r = 0; r < table->rows.count; r++) {
            const TextStyle *style = c == 0 ? &SHEET_BOLD : &SHEET_TEXT;
            const char *text = table->rows.items[r].cells[c];
            layout.wide_px[c] = fmax(layout.wide_px[c], canvas_text_wide_px(sheets->canvas, style, text));
            least[c] = fmin(fmax(least[c], sheet_widest_word(sheets, style, text)), 160);
        }
        layout.wide_px[c] = ceil(layout.wide_px[c] + 0.5);
        least[c] = ceil(least[c] + 0.5);
    }
    fit_columns(layout.wide_px, least, table->columns, table->soft,
                sheets->area.right_px - sheets->area.left_px - (double)(table->columns - 1) * GAP_PX);
    return layout;
}

/* Draws a row, or measures it where `draws` is false; returns its height. */
static double row_lines(Sheets *sheets, const Layout *layout, const char *const *cells, bool head,
                        bool draws) {
    size_t most = 1;
    double x = sheets->area.left_px;
    for (size_t c = 0; c < layout->table->columns; c++) {
        const TextStyle *style = head || c == 0 ? &SHEET_BOLD : &SHEET_TEXT;
        SheetLines lines = sheet_wrap(sheets, style, cells[c], layout->wide_px[c]);
        if (lines.count > LINES_MOST) {
            lines.count = LINES_MOST;
            lines.items[LINES_MOST - 1] = "...";
        }
        for (size_t i = 0; draws && i < lines.count; i++)
            canvas_text(sheets->canvas, x, sheets->y_px + (double)(i + 1) * SHEET_LINE_PX - 1, style,
                        lines.items[i]);
        most = lines.count > most ? lines.count : most;
        x += layout->wide_px[c] + GAP_PX;
    }
    return (double)most * SHEET_LINE_PX + 3;
}

static void draw_row(Sheets *sheets, const Layout *layout, const char *const *cells, bool head) {
    sheets->y_px += row_lines(sheets, layout, cells, head, true);
    canvas_line(sheets->canvas, sheets->area.left_px, sheets->y_px, sheets->area.right_px, sheets->y_px,
                head ? &HEAD_RULE : &RULE);
    sheets->y_px += 1;
}

static SheetLines note_lines(Sheets *sheets, const SheetTable *table) {
    return table->note
               ? sheet_wrap(sheets, &SHEET_TEXT, table->note, sheets->area.right_px - sheets->area.left_px)
               : (SheetLines){0};
}

static void draw_head(Sheets *sheets, const Layout *layout, bool again) {
    const char *title = layout->table->title;
    if (again)
        sheet_heading_again(sheets, title);
    else
        sheet_heading(sheets, title);
    const SheetLines note = note_lines(sheets, layout->table);
    for (size_t i = 0; i < note.count && !again; i++) {
        sheets->y_px += SHEET_LINE_PX;
        canvas_text(sheets->canvas, sheets->area.left_px, sheets->y_px - 3, &SHEET_TEXT, note.items[i]);
    }
    draw_row(sheets, layout, layout->table->heads, true);
}

void sheet_table(Sheets *sheets, const SheetTable *table) {
    if (table->rows.count == 0) return;
    const Layout layout = lay_out(sheets, table);
    double tall = 18 + (double)note_lines(sheets, table).count * SHEET_LINE_PX +
                  row_lines(sheets, &layout, table->heads, true, false);
    for (size_t r = 0; r < table->rows.count && r < TOGETHER; r++)
        tall += row_lines(sheets, &layout, table->rows.items[r].cells, false, false) + 1;
    sheet_need(sheets, tall);
    draw_head(sheets, &layout, false);
    for (size_t r = 0; r < table->rows.count; r++) {
        const char *const *cells = table->rows.items[r].cells;
        if (sheets->y_px + row_lines(sheets, &layout, cells, false, false) + 2 > sheets->area.bottom_px) {
            sheet_next(sheets, "");
            draw_head(sheets, &layout, true);
        }
        draw_row(sheets, &layout, cells, false);
    }
    sheets->y_px += 12;
}
