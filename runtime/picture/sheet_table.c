/* Tables on the shop sheets. */
#include "picture/sheet.h"

#include <math.h>

static const LineStyle RULE = {.color = 0x8A9098, .wide_px = SHEET_THIN_PX};
static const LineStyle HEAD_RULE = {.color = SHEET_INK, .wide_px = 0.7};
enum { GAP_PX = 7, STEPS = 60, WORD_MOST_PX = 160 };
enum { TOGETHER = 3 };                 /* rows that are not parted from their head */
enum { ALONE_LEAST = 2 };              /* rows that go on to another page */
static const double WHOLE_SHARE = 0.2; /* of a page: a table no taller is not parted */
enum { LINES_MOST = 24 };              /* of a cell: a row is never taller than a page */

/* A table laid out. */
typedef struct Layout {
    const SheetTable *table;
    double wide_px[SHEET_COLUMNS_MOST]; /* of each column's text */
} Layout;

/* How wide everything is that is not broken: cells (the head's first, row by row), and their widest words. */
typedef struct Widths {
    size_t rows, columns, soft;
    double (*cells_px)[SHEET_COLUMNS_MOST];
    double least_px[SHEET_COLUMNS_MOST];
} Widths;

static Widths measure(Sheets *sheets, const SheetTable *table) {
    Widths widths = {.rows = table->rows.count + 1, .columns = table->columns, .soft = table->soft};
    widths.cells_px = arena_alloc(sheets->arena, widths.rows * sizeof *widths.cells_px);
    for (size_t r = 0; r < widths.rows; r++) {
        const char *const *cells = r == 0 ? table->heads : table->rows.items[r - 1].cells;
        for (size_t c = 0; c < table->columns; c++) {
            const TextStyle *style = r == 0 || c == 0 ? &SHEET_BOLD : &SHEET_TEXT;
            const double most = r == 0 ? INFINITY : WORD_MOST_PX;
            const double word = fmin(sheet_widest_word(sheets, style, cells[c]), most);
            widths.cells_px[r][c] = canvas_text_wide_px(sheets->canvas, style, cells[c]) + 0.5;
            widths.least_px[c] = r == 0 ? word : fmax(widths.least_px[c], ceil(word + 0.5));
        }
    }
    return widths;
}

/* Lines of all rows together, about: words do not fill lines. */
static double lines_of(const Widths *widths, const double *wide_px) {
    double sum = 0;
    for (size_t r = 0; r < widths->rows; r++) {
        double most = 1;
        for (size_t c = 0; c < widths->columns; c++)
            if (widths->cells_px[r][c] > wide_px[c])
                most = fmax(most, ceil(widths->cells_px[r][c] * 1.15 / wide_px[c]));
        sum += most;
    }
    return sum;
}

/* The column that costs the fewest lines where it gives way; of such the soft one, then the widest. None
 * under its longest word. */
static size_t giving_way(const Widths *widths, double *wide_px, double step_px) {
    size_t best = widths->columns;
    double fewest = INFINITY;
    for (size_t c = 0; c < widths->columns; c++) {
        if (wide_px[c] - step_px < widths->least_px[c]) continue;
        wide_px[c] -= step_px;
        const double lines = lines_of(widths, wide_px);
        wide_px[c] += step_px;
        const bool wider = best < widths->columns && best != widths->soft && wide_px[c] > wide_px[best];
        if (lines < fewest || (lines == fewest && (c == widths->soft || wider))) {
            best = c;
            fewest = lines;
        }
    }
    return best;
}

/* As wide as their texts; where that is too much, in steps as few lines as possible more. */
static void fit_columns(const Widths *widths, double *wide_px, double room_px) {
    double sum = 0;
    for (size_t c = 0; c < widths->columns; c++)
        sum += wide_px[c];
    for (double step = fmax((sum - room_px) / STEPS, 1); sum > room_px && step >= 1;) {
        const size_t column = giving_way(widths, wide_px, fmin(step, fmax(sum - room_px, 1)));
        if (column == widths->columns) {
            step /= 2;
            continue;
        }
        const double less = fmin(step, fmax(sum - room_px, 1));
        wide_px[column] -= less;
        sum -= less;
    }
    for (size_t c = 0; c < widths->columns && sum > room_px; c++)
        wide_px[c] *= room_px / sum; /* words are broken */
}

static Layout lay_out(Sheets *sheets, const SheetTable *table) {
    Layout layout = {.table = table};
    const Widths widths = measure(sheets, table);
    for (size_t r = 0; r < widths.rows; r++)
        for (size_t c = 0; c < widths.columns; c++)
            layout.wide_px[c] = fmax(layout.wide_px[c], ceil(widths.cells_px[r][c]));
    fit_columns(&widths, layout.wide_px,
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

/* The columns in which something stands, and the first. */
static SheetTable filled(Sheets *sheets, const SheetTable *table) {
    SheetTable some = {.title = table->title, .note = table->note, .soft = SHEET_COLUMNS_MOST};
    for (size_t r = 0; r < table->rows.count; r++)
        LIST_PUSH(sheets->arena, some.rows, (SheetRow){{NULL}});
    for (size_t c = 0; c < table->columns; c++) {
        bool any = c == 0;
        for (size_t r = 0; r < table->rows.count && !any; r++)
            any = table->rows.items[r].cells[c][0] != '\0';
        if (!any) continue;
        if (c == table->soft) some.soft = some.columns;
        some.heads[some.columns] = table->heads[c];
        for (size_t r = 0; r < table->rows.count; r++)
            some.rows.items[r].cells[some.columns] = table->rows.items[r].cells[c];
        some.columns++;
    }
    return some;
}

/* A row that goes on with the one above says again what it is of where it begins a page. */
static SheetRow said_again(const SheetTable *table, size_t row) {
    SheetRow it = table->rows.items[row];
    for (size_t r = row; r > 0 && !it.cells[0][0]; r--)
        it.cells[0] = table->rows.items[r - 1].cells[0];
    return it;
}

static double *row_heights(Sheets *sheets, const Layout *layout) {
    const size_t count = layout->table->rows.count;
    double *tall = ARENA_ARRAY(sheets->arena, double, count);
    for (size_t r = 0; r < count; r++)
        tall[r] = row_lines(sheets, layout, layout->table->rows.items[r].cells, false, false) + 1;
    return tall;
}

/* Down to where a page must have room before a row is drawn on it: for that row, and for the last ones
 * together. */
static double together_px(const double *tall, size_t row, size_t count) {
    double sum = 0;
    for (size_t r = row; r < count && (r == row || count - row <= ALONE_LEAST); r++)
        sum += tall[r];
    return sum;
}

void sheet_table(Sheets *sheets, const SheetTable *given) {
    if (given->rows.count == 0) return;
    const SheetTable table = filled(sheets, given);
    const Layout layout = lay_out(sheets, &table);
    const size_t count = table.rows.count;
    const double *tall = row_heights(sheets, &layout);
    const double head = 18 + (double)note_lines(sheets, &table).count * SHEET_LINE_PX +
                        row_lines(sheets, &layout, table.heads, true, false);
    double first = head, all = head;
    for (size_t r = 0; r < count; r++) {
        all += tall[r];
        first += r < TOGETHER || count - r < ALONE_LEAST ? tall[r] : 0;
    }
    const double page = sheets->area.bottom_px - sheets->area.top_px;
    sheet_need(sheets, all <= WHOLE_SHARE * page ? all : first);
    draw_head(sheets, &layout, false);
    for (size_t r = 0; r < count; r++) {
        SheetRow row = table.rows.items[r];
        if (sheets->y_px + together_px(tall, r, count) + 1 > sheets->area.bottom_px) {
            sheet_next(sheets, "");
            draw_head(sheets, &layout, true);
            row = said_again(&table, r);
        }
        draw_row(sheets, &layout, row.cells, false);
    }
    sheets->y_px += 12;
}
