/* Sheets of a stock that are cut, side by side, to one scale that is stated over them. */
#include "picture/sheet_cut.h"

#include <math.h>
#include <stdlib.h>

enum {
    EDGE_PX = 13,  /* from a sheet's edge to the numbers beside it */
    CUTS_MOST = 60 /* numbers along an edge */
};

const char *sheet_cut_length(const CutDrawing *drawing, double mm) {
    return length_one(drawing->sheets->arena, drawing->sheets->lengths, mm, 64, 1);
}

const char *sheet_cut_name(const Sheets *sheets, const CutItem *item) {
    if (sheets->plan || item->of_book) return item->name;
    return arena_format(sheets->arena, "%s, %s", item->scene, item->name);
}

const char *sheet_cut_size(const CutDrawing *drawing, const CutItem *item) {
    const double wide = item->turned ? item->item.tall_mm : item->item.wide_mm,
                 tall = item->turned ? item->item.wide_mm : item->item.tall_mm;
    if (drawing->cut->stock.bars) return sheet_cut_length(drawing, item->item.tall_mm);
    return arena_format(drawing->sheets->arena, "%s x %s", sheet_cut_length(drawing, wide),
                        sheet_cut_length(drawing, tall));
}

/* ---- What is drawn */

static int *placements_on(Arena *arena, const Nest *nest, int sheet, int *count) {
    int *placements = ARENA_ARRAY(arena, int, nest->placement_count);
    *count = 0;
    for (int i = 0; i < nest->placement_count; i++)
        if (nest->placements[i].sheet == sheet) placements[(*count)++] = i;
    return placements;
}

/* The same parts in the same places: their cuts are the same then. */
static bool are_alike(const Nest *nest, const CutSheet *one, int sheet, const int *placements, int count) {
    const NestUsed *a = &nest->sheets[one->sheet], *b = &nest->sheets[sheet];
    if (count != one->placement_count || a->have >= 0 || b->have >= 0) return false;
    if (a->size.wide_mm != b->size.wide_mm || a->size.tall_mm != b->size.tall_mm) return false;
    for (int i = 0; i < count; i++) {
        const NestPlacement *p = &nest->placements[one->placements[i]], *q = &nest->placements[placements[i]];
        if (p->item != q->item || p->x_mm != q->x_mm || p->y_mm != q->y_mm ||
            p->quarter_turns != q->quarter_turns)
            return false;
    }
    return true;
}

static const char *caption(const CutDrawing *drawing, const CutSheet *sheet, const char *numbers, int alike) {
    Arena *arena = drawing->sheets->arena;
    const NestUsed *used = &drawing->cut->nest->sheets[sheet->sheet];
    const bool bars = drawing->cut->stock.bars;
    const char *size = bars ? sheet_cut_length(drawing, used->size.tall_mm)
                            : arena_format(arena, "%s x %s", sheet_cut_length(drawing, used->size.wide_mm),
                                           sheet_cut_length(drawing, used->size.tall_mm));
    return arena_format(arena, "%s%s %s, %s: %s%s", bars ? "length" : "sheet", alike > 1 ? "s" : "", numbers,
                        used->have < 0  ? "new"
                        : drawing->have ? drawing->have[used->have]
                                        : "on hand",
                        size, alike > 1 ? arena_format(arena, ", x %d alike", alike) : "");
}

const char *sheet_cut_numbers(Arena *arena, const bool *has, int count, int runs_most) {
    Buffer all = buffer_new(arena);
    for (int s = 0, runs = 0; s < count; s++) {
        if (!has[s]) continue;
        if (runs++ == runs_most) {
            buffer_add(&all, ", ...");
            break;
        }
        const int first = s;
        while (s + 1 < count && has[s + 1])
            s++;
        buffer_format(&all, "%s%d", all.count > 0 ? ", " : "", first + 1);
        if (s > first) buffer_format(&all, "%s%d", s > first + 1 ? "-" : ", ", s + 1);
    }
    return all.count > 0 ? buffer_text(&all) : "";
}

/* Of those that alternate no more than a few: the caption says how many they are. */
static const char *numbers_of(Arena *arena, const size_t *looks, int count, size_t item) {
    enum { RUNS_MOST = 8 };
    bool *has = ARENA_ARRAY(arena, bool, count);
    for (int s = 0; s < count; s++)
        has[s] = looks[s] == item;
    return sheet_cut_numbers(arena, has, count, RUNS_MOST);
}

static void take_sheets(CutDrawing *drawing) {
    Arena *arena = drawing->sheets->arena;
    const Nest *nest = drawing->cut->nest;
    drawing->items = ARENA_ARRAY(arena, CutSheet, nest->sheet_count);
    size_t *looks = ARENA_ARRAY(arena, size_t, nest->sheet_count); /* like which item */
    int *alike = ARENA_ARRAY(arena, int, nest->sheet_count);
    for (int s = 0; s < nest->sheet_count; s++) {
        int count;
        const int *placements = placements_on(arena, nest, s, &count);
        size_t i = 0;
        while (i < drawing->count && !are_alike(nest, &drawing->items[i], s, placements, count))
            i++;
        looks[s] = i;
        if (i < drawing->count) {
            alike[i]++;
            continue;
        }
        drawing->items[drawing->count] =
            (CutSheet){.sheet = s, .placements = placements, .placement_count = count};
        alike[drawing->count++] = 1;
    }
    for (size_t i = 0; i < drawing->count; i++)
        drawing->items[i].caption =
            caption(drawing, &drawing->items[i], numbers_of(arena, looks, nest->sheet_count, i), alike[i]);
}

static int compare_numbers(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

const double *sheet_cut_places(CutDrawing *drawing, int sheet, bool level, SheetLines *texts) {
    Arena *arena = drawing->sheets->arena;
    const Nest *nest = drawing->cut->nest;
    double *mm = ARENA_ARRAY(arena, double, nest->cut_count);
    size_t count = 0, apart = 0;
    for (int i = 0; i < nest->cut_count; i++) {
        const NestCut *cut = &nest->cuts[i];
        if (cut->sheet != sheet || cut->kind != (level ? NEST_CUT_LEVEL : NEST_CUT_UPRIGHT)) continue;
        mm[count++] = level ? cut->from.y_mm : cut->from.x_mm;
    }
    if (count > 0) qsort(mm, count, sizeof *mm, compare_numbers);
    for (size_t i = 0; i < count && apart < CUTS_MOST; i++) {
        if (apart > 0 && mm[i] - mm[apart - 1] < 0.05) continue;
        mm[apart++] = mm[i];
        LIST_PUSH(arena, *texts, sheet_cut_length(drawing, mm[i]));
    }
    return mm;
}

static double widest(CutDrawing *drawing, const SheetLines *texts) {
    double wide = 0;
    for (size_t i = 0; i < texts->count; i++)
        wide = fmax(wide, canvas_text_wide_px(drawing->sheets->canvas, &SHEET_TEXT, texts->items[i]));
    return texts->count > 0 ? wide + EDGE_PX : 4;
}

static void take_places(CutDrawing *drawing) {
    for (size_t i = 0; i < drawing->count; i++) {
        CutSheet *sheet = &drawing->items[i];
        sheet->up_mm = sheet_cut_places(drawing, sheet->sheet, true, &sheet->up);
        sheet->across_mm = sheet_cut_places(drawing, sheet->sheet, false, &sheet->across);
        sheet->left_px = widest(drawing, &sheet->up);
        sheet->under_px = widest(drawing, &sheet->across);
    }
}

/* ---- Heading and key */

static const char *stock_words(const CutDrawing *drawing) {
    const CutStock *stock = &drawing->cut->stock;
    return arena_format(drawing->sheets->arena, "%s%s%s, %s thick", stock->name, drawing->what ? " " : "",
                        drawing->what ? drawing->what : "", sheet_cut_length(drawing, stock->thick_mm));
}

void sheet_cut_heading(CutDrawing *drawing, bool again) {
    Sheets *sheets = drawing->sheets;
    const char *text = arena_format(sheets->arena, "Cutting %s, drawn to %s", stock_words(drawing),
                                    sheet_scale_text(sheets, drawing->scale));
    if (again)
        sheet_heading_again(sheets, text);
    else
        sheet_heading(sheets, text);
    sheet_scale_bar(sheets, sheets->lengths, drawing->scale, sheets->area.left_px, sheets->y_px + 2,
                    (sheets->area.right_px - sheets->area.left_px) / 3);
    sheets->y_px += SHEET_CUT_HEAD_PX - 16;
}

static void add_line(Sheets *sheets, SheetLines *lines, const char *text) {
    const SheetLines more =
        sheet_wrap(sheets, &SHEET_TEXT, text, sheets->area.right_px - sheets->area.left_px);
    for (size_t i = 0; i < more.count; i++)
        LIST_PUSH(sheets->arena, *lines, more.items[i]);
}

static const char *of_book_words(const CutDrawing *drawing) {
    Buffer names = buffer_new(drawing->sheets->arena);
    for (int i = 0; i < drawing->cut->item_count; i++) {
        const CutItem *item = &drawing->cut->items[i];
        bool said = !item->of_book;
        for (int k = 0; k < i && !said; k++)
            said = drawing->cut->items[k].of_book && text_equal(drawing->cut->items[k].thing, item->thing);
        if (!said) buffer_format(&names, "%s%s", names.count > 0 ? ", " : "", item->thing);
    }
    return buffer_text(&names);
}

static const char *lacking_words(const CutDrawing *drawing) {
    const Nest *nest = drawing->cut->nest;
    Buffer names = buffer_new(drawing->sheets->arena);
    for (int i = 0; i < drawing->cut->item_count; i++) {
        const CutItem *item = &drawing->cut->items[i];
        int copies = 0;
        for (int k = 0; k < nest->left_over_count; k++)
            copies += nest->left_over[k].item == i;
        for (int k = 0; k < nest->too_large_count; k++)
            copies += nest->too_large[k] == i ? item->item.copies : 0;
        if (copies == 0) continue;
        buffer_format(&names, "%s%s", names.count > 0 ? "; " : "", sheet_cut_name(drawing->sheets, item));
        if (copies > 1) buffer_format(&names, " (%d of them)", copies);
    }
    return buffer_text(&names);
}

/* Which parts of sheets [first, end) find no room for their names: these are drawn once for nothing. */
static void find_key_of(CutDrawing *drawing, size_t first, size_t end) {
    Sheets *sheets = drawing->sheets;
    const bool muted = canvas_is_muted(sheets->canvas);
    canvas_mute(sheets->canvas, true);
    for (int i = 0; i < drawing->cut->item_count; i++)
        drawing->in_key[i] = false;
    for (size_t i = first; i < end; i++)
        sheet_cut_sheet(drawing, &drawing->items[i]);
    canvas_mute(sheets->canvas, muted);
}

static void find_key(CutDrawing *drawing) {
    find_key_of(drawing, 0, drawing->count);
}

/* `3 jetty sides, 9 in x 2 1/2 in, 2 alike`. */
static const char *key_words(const CutDrawing *drawing) {
    Buffer key = buffer_new(drawing->sheets->arena);
    for (int i = 0; i < drawing->cut->item_count; i++) {
        const CutItem *item = &drawing->cut->items[i];
        if (!drawing->in_key[i]) continue;
        buffer_format(&key, "%s%d %s, %s", key.count > 0 ? "; " : "", i + 1,
                      sheet_cut_name(drawing->sheets, item), sheet_cut_size(drawing, item));
        if (item->item.copies > 1) buffer_format(&key, ", %d alike", item->item.copies);
    }
    return buffer_text(&key);
}

static SheetLines key_lines(const CutDrawing *drawing) {
    SheetLines lines = {0};
    const char *key = key_words(drawing);
    if (key[0]) add_line(drawing->sheets, &lines, arena_format(drawing->sheets->arena, "Parts: %s.", key));
    return lines;
}

static SheetLines notes(const CutDrawing *drawing) {
    Sheets *sheets = drawing->sheets;
    const CutStock *stock = &drawing->cut->stock;
    SheetLines lines = {0};
    const char *kerf = stock->kerf_mm > 0 ? arena_format(sheets->arena, "; the saw takes %s beyond it",
                                                         sheet_cut_length(drawing, stock->kerf_mm))
                                          : "";
    add_line(sheets, &lines,
             stock->bars ? arena_format(sheets->arena,
                                        "Numbers: from the left end to each cut%s. Hatched: kept. "
                                        "Grey: waste.",
                                        kerf)
                         : arena_format(
                               sheets->arena,
                               "Numbers at the edges: from the sheet's left and lower edge to each cut%s. In "
                               "circles: the order of cuts. Hatched: kept. Grey: waste.",
                               kerf));
    const char *book = of_book_words(drawing), *lacking = lacking_words(drawing);
    if (book[0]) add_line(sheets, &lines, arena_format(sheets->arena, "Built once for the book: %s.", book));
    if (lacking[0])
        add_line(sheets, &lines,
                 arena_format(sheets->arena, "Nothing is left to cut these from: %s.", lacking));
    return lines;
}

/* What a key takes hangs on the scale, which hangs on what the key takes. It is that of the last scale: a
 * number without its words says nothing. */
static void settle(CutDrawing *drawing, double words_px) {
    enum { TIMES = 3 };
    bool next = sheet_cut_choose_scale(drawing, words_px, SHEET_LINE_PX);
    int scale = 0;
    for (int i = 0; i < TIMES && scale != drawing->scale; i++) {
        scale = drawing->scale;
        find_key(drawing);
        const SheetLines key = key_lines(drawing);
        next = sheet_cut_choose_scale(drawing, words_px, (double)key.count * SHEET_LINE_PX);
    }
    if (scale != drawing->scale) find_key(drawing);
    if (next) sheet_next(drawing->sheets, "");
}

static void draw_lines(CutDrawing *drawing, const SheetLines *lines) {
    Sheets *sheets = drawing->sheets;
    for (size_t i = 0; i < lines->count; i++) {
        if (sheets->y_px + SHEET_LINE_PX > sheets->area.bottom_px) {
            sheet_next(sheets, "");
            sheet_cut_heading(drawing, true); /* sheets may follow on this page */
        }
        sheets->y_px += SHEET_LINE_PX;
        canvas_text(sheets->canvas, sheets->area.left_px, sheets->y_px - 2, &SHEET_TEXT, lines->items[i]);
    }
}

/* ---- */

static CanvasBox moved(CanvasBox box, double x, double y) {
    return (CanvasBox){box.left_px + x, box.top_px + y, box.right_px + x, box.bottom_px + y};
}

static size_t row_end(const CutDrawing *drawing, size_t first, double *tall_px) {
    size_t end = first;
    *tall_px = 0;
    for (; end < drawing->count && drawing->items[end].cell.top_px == drawing->items[first].cell.top_px;
         end++)
        *tall_px = fmax(*tall_px, drawing->items[end].cell.bottom_px - drawing->items[end].cell.top_px);
    return end;
}

/* The row of sheets from `first` on; one that finds no room goes on the next page. */
static size_t draw_row(CutDrawing *drawing, size_t first) {
    Sheets *sheets = drawing->sheets;
    double tall;
    const size_t end = row_end(drawing, first, &tall);
    if (sheets->y_px + tall > sheets->area.bottom_px) {
        sheet_next(sheets, "");
        sheet_cut_heading(drawing, true);
    }
    const double off = sheets->y_px - drawing->items[first].cell.top_px;
    for (size_t i = first; i < end; i++) {
        CutSheet it = drawing->items[i];
        it.cell = moved(it.cell, sheets->area.left_px, off);
        it.box = moved(it.box, sheets->area.left_px, off);
        sheet_cut_sheet(drawing, &it);
    }
    sheets->y_px += tall + SHEET_CUT_UNDER_PX;
    return end;
}

/* The end of the rows from `first` on that this page takes with their key, which is found then; one at least.
 */
static size_t rows_of_page(CutDrawing *drawing, size_t first) {
    const double room = drawing->sheets->area.bottom_px - drawing->sheets->y_px;
    double rows, tall;
    size_t end = row_end(drawing, first, &rows);
    while (end < drawing->count) {
        const size_t next = row_end(drawing, end, &tall);
        find_key_of(drawing, first, next);
        const double key = (double)key_lines(drawing).count * SHEET_LINE_PX + SHEET_CUT_UNDER_PX;
        if (key + rows + SHEET_CUT_UNDER_PX + tall > room) break;
        rows += SHEET_CUT_UNDER_PX + tall;
        end = next;
    }
    find_key_of(drawing, first, end);
    return end;
}

/* Pages are hung side by side: each has the key of its own numbers. */
static void draw_sheets_with_keys(CutDrawing *drawing) {
    Sheets *sheets = drawing->sheets;
    for (size_t i = 0; i < drawing->count;) {
        if (i > 0) {
            sheet_next(sheets, "");
            sheet_cut_heading(drawing, true);
        }
        const size_t end = rows_of_page(drawing, i);
        const SheetLines key = key_lines(drawing);
        draw_lines(drawing, &key);
        if (key.count > 0 || i == 0) sheets->y_px += SHEET_CUT_UNDER_PX;
        while (i < end)
            i = draw_row(drawing, i);
    }
}

static void draw_sheets(CutDrawing *drawing) {
    for (size_t i = 0; i < drawing->count;)
        i = draw_row(drawing, i);
}

void sheet_cut_pictures(Sheets *sheets, const StockCut *cut) {
    sheet_cut_pictures_for(sheets, cut, NULL, NULL);
}

/* Whether the rows go on to another page. */
static bool is_parted(const CutDrawing *drawing, double words_px) {
    double bottom = 0;
    for (size_t i = 0; i < drawing->count; i++)
        bottom = fmax(bottom, drawing->items[i].cell.bottom_px);
    return drawing->sheets->y_px + bottom + SHEET_CUT_UNDER_PX + words_px > drawing->sheets->area.bottom_px;
}

/* The words stand below, or, where there are several pages, on the first: nobody looks for them on the last.
 * A key of more than half a page comes before them all. */
static void draw_pictures(CutDrawing *drawing, const SheetLines *words) {
    Sheets *sheets = drawing->sheets;
    take_places(drawing);
    settle(drawing, (double)words->count * SHEET_LINE_PX);
    const SheetLines key = key_lines(drawing);
    const double words_px = (double)(words->count + key.count) * SHEET_LINE_PX;
    const CanvasBox page = sheet_area(sheets);
    sheet_cut_heading(drawing, false);
    const bool parted = is_parted(drawing, words_px),
               short_key = words_px <= (page.bottom_px - page.top_px) / 2;
    if (!parted) draw_sheets(drawing);
    draw_lines(drawing, words);
    if (parted && short_key) {
        draw_sheets_with_keys(drawing);
        return;
    }
    draw_lines(drawing, &key);
    if (!parted) return;
    sheets->y_px += SHEET_CUT_UNDER_PX;
    draw_sheets(drawing);
}

/* The last length stays with its words and its key, which is not known yet: no longer than all parts in it.
 */
static void draw_bars(CutDrawing *drawing, const SheetLines *words) {
    for (int i = 0; i < drawing->cut->item_count; i++)
        drawing->in_key[i] = true;
    const double lines = fmin((double)key_lines(drawing).count, 6) + (double)words->count;
    for (int i = 0; i < drawing->cut->item_count; i++)
        drawing->in_key[i] = false;
    sheet_cut_lengths(drawing, lines * SHEET_LINE_PX);
    const SheetLines key = key_lines(drawing);
    draw_lines(drawing, words);
    draw_lines(drawing, &key);
}

void sheet_cut_pictures_for(Sheets *sheets, const StockCut *cut, const char *what, const char *const *have) {
    CutDrawing drawing = {.sheets = sheets, .cut = cut, .what = what, .have = have};
    if (!cut->nest || cut->nest->sheet_count == 0) return;
    drawing.in_key = ARENA_ARRAY(sheets->arena, bool, cut->item_count);
    take_sheets(&drawing);
    const SheetLines words = notes(&drawing);
    if (cut->stock.bars)
        draw_bars(&drawing, &words);
    else
        draw_pictures(&drawing, &words);
    sheets->y_px += 14;
}
