/* A page of the shop sheets: its title block, its cautions, and where what is on it goes. */
#include "picture/sheet.h"

#include <math.h>
#include <string.h>

const TextStyle SHEET_TEXT = {.size_px = SHEET_TEXT_PX, .color = SHEET_INK};
const TextStyle SHEET_BOLD = {.size_px = SHEET_TEXT_PX, .color = SHEET_INK, .face = FACE_BOLD};
const TextStyle SHEET_HEAD = {.size_px = 11, .color = SHEET_INK, .face = FACE_BOLD};
static const TextStyle FAINT = {.size_px = SHEET_TEXT_PX, .color = SHEET_FAINT};
static const TextStyle TITLE = {.size_px = 13, .color = SHEET_INK, .face = FACE_BOLD};
static const LineStyle FRAME = {.color = SHEET_INK, .wide_px = 0.8};

/* Printers leave a rim of a quarter of an inch bare. */
enum { MARGIN_PX = 28, BLOCK_PX = 42, CELL_PAD_PX = 5 };

static const char CAUTION[] =
    "With care: blades, saws and drills away from hands; two people to lift a base or a full sheet; hot "
    "lamps 3 ft "
    "(0.9 m) or more from foam, paper and cloth, never alone; sandbags on stands. Local codes and licensed "
    "trades come first. More in docs/safety.md.";

/* ISO 216; ANSI/ASME Y14.1, sizes A and B. */
SheetPaper sheet_paper(ShopPaper paper) {
    switch (paper) {
    case SHOP_A4:
        return (SheetPaper){210, 297};
    case SHOP_A3:
        return (SheetPaper){297, 420};
    case SHOP_TABLOID:
        return (SheetPaper){11 * MM_PER_INCH, 17 * MM_PER_INCH};
    case SHOP_LETTER:
        break;
    }
    return (SheetPaper){8.5 * MM_PER_INCH, 11 * MM_PER_INCH};
}

static void draw_once(Sheets *sheets, SheetDraw *draw, const void *context) {
    sheets->page = 0;
    sheets->y_px = INFINITY; /* the first thing begins the first page */
    sheets->area = sheet_area(sheets);
    draw(sheets, context);
}

void sheets_to_pdf(Sheets *sheets, ShopPaper paper, SheetDraw *draw, const void *context, Buffer *pdf) {
    const SheetPaper size = sheet_paper(paper);
    sheets->canvas = canvas_new_sheets(sheets->arena, size.wide_mm, size.tall_mm, sheets->title.title);
    sheets->pages = 0;
    canvas_mute(sheets->canvas, true);
    draw_once(sheets, draw, context);
    canvas_mute(sheets->canvas, false);
    sheets->pages = sheets->page;
    draw_once(sheets, draw, context);
    canvas_to_pdf(sheets->canvas, pdf);
    canvas_free(sheets->canvas);
}

typedef struct BlockCell {
    const char *label, *text;
    double share; /* of the block's width */
} BlockCell;

static void draw_cell(Canvas *canvas, CanvasBox box, const BlockCell *cell, bool first) {
    const TextStyle *style = first ? &TITLE : &SHEET_BOLD;
    const double room = box.right_px - box.left_px - 2 * CELL_PAD_PX, x = box.left_px + CELL_PAD_PX;
    canvas_rectangle(canvas, box, &FRAME);
    canvas_text(canvas, x, box.top_px + 12, &FAINT, canvas_text_fitted(canvas, &FAINT, cell->label, room));
    canvas_text(canvas, x, box.top_px + (first ? 31 : 28), style,
                canvas_text_fitted(canvas, style, cell->text, room));
}

static void draw_block(Sheets *sheets, CanvasBox block) {
    const SheetTitle *title = &sheets->title;
    const char *sheet = arena_format(sheets->arena, "%d of %d", sheets->page, sheets->pages);
    const double pages = title->pages[0] ? 0.13 : 0;
    const BlockCell cells[] = {{title->book, title->title, 0.47 - pages},
                               {"pages", title->pages, pages},
                               {"scale", sheets->scale[0] ? sheets->scale : "where stated", 0.22},
                               {"numbers as in", title->numbers, 0.21},
                               {"sheet", sheet, 0.1}};
    const double wide = block.right_px - block.left_px;
    double left = block.left_px;
    for (size_t i = 0; i < sizeof cells / sizeof *cells; i++) {
        if (cells[i].share == 0) continue;
        const CanvasBox box = {left, block.top_px, left + cells[i].share * wide, block.bottom_px};
        draw_cell(sheets->canvas, box, &cells[i], i == 0);
        left = box.right_px;
    }
}

static SheetLines caution_lines(Sheets *sheets) {
    return sheet_wrap(sheets, &FAINT, CAUTION, canvas_wide_px(sheets->canvas) - 2 * MARGIN_PX);
}

CanvasBox sheet_area(Sheets *sheets) {
    const double caution = (double)caution_lines(sheets).count * SHEET_LINE_PX;
    return (CanvasBox){MARGIN_PX, MARGIN_PX, canvas_wide_px(sheets->canvas) - MARGIN_PX,
                       canvas_tall_px(sheets->canvas) - MARGIN_PX - BLOCK_PX - 5 - caution - 4};
}

void sheet_next(Sheets *sheets, const char *scale) {
    if (sheets->page++ > 0) canvas_next_sheet(sheets->canvas);
    const CanvasBox area = sheet_area(sheets);
    sheets->scale = scale;
    sheets->area = area;
    sheets->y_px = area.top_px;
    const SheetLines caution = caution_lines(sheets);
    for (size_t i = 0; i < caution.count; i++)
        canvas_text(sheets->canvas, area.left_px, area.bottom_px + 4 + (double)(i + 1) * SHEET_LINE_PX - 2,
                    &FAINT, caution.items[i]);
    const double bottom = canvas_tall_px(sheets->canvas) - MARGIN_PX;
    draw_block(sheets, (CanvasBox){area.left_px, bottom - BLOCK_PX, area.right_px, bottom});
}

void sheet_need(Sheets *sheets, double tall_px) {
    if (sheets->y_px + tall_px > sheets->area.bottom_px) sheet_next(sheets, "");
}

static void draw_heading(Sheets *sheets, const char *text) {
    canvas_text(
        sheets->canvas, sheets->area.left_px, sheets->y_px + 10, &SHEET_HEAD,
        canvas_text_fitted(sheets->canvas, &SHEET_HEAD, text, sheets->area.right_px - sheets->area.left_px));
    sheets->y_px += 16;
}

void sheet_heading(Sheets *sheets, const char *text) {
    canvas_bookmark(sheets->canvas, text, sheets->y_px);
    draw_heading(sheets, text);
}

void sheet_heading_again(Sheets *sheets, const char *text) {
    draw_heading(sheets, arena_format(sheets->arena, "%s, continued", text));
}

/* ---- Lines of text */

/* Bytes of whole letters of a word that fit, at least one letter. */
static size_t fitting(Sheets *sheets, const TextStyle *style, const char *word, size_t count,
                      double wide_px) {
    size_t taken = 0;
    while (taken < count) {
        uint32_t code;
        size_t bytes = utf8_decode(word + taken, count - taken, &code);
        if (bytes == 0) bytes = 1;
        const char *more = arena_copy(sheets->arena, word, taken + bytes);
        if (taken > 0 && canvas_text_wide_px(sheets->canvas, style, more) > wide_px) break;
        taken += bytes;
    }
    return taken;
}

static bool fits(Sheets *sheets, const TextStyle *style, const char *text, double wide_px) {
    return canvas_text_wide_px(sheets->canvas, style, text) <= wide_px;
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/* Whether a number goes on behind this blank: `6 1/8"`, `9 in`, `(476.3 mm)`. */
static bool is_joined(const char *start, const char *blank) {
    static const char *const units[] = {"mm", "in", "deg", "%", "px", "lb", "kg", "W", "K", "A"};
    const char *next = blank + 1;
    if (blank == start) return false;
    const char before = blank[-1];
    if (next[0] == 'x' && next[1] == ' ') return true; /* `4 in x 3 in` */
    if (before == 'x' && blank - 1 > start && blank[-2] == ' ') return true;
    if (!is_digit(before) && before != '-') return next[0] == '(' && is_digit(next[1]) && before != ',';
    if (is_digit(next[0]) && next[strspn(next, "0123456789")] == '/') return true;
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        const size_t length = strlen(units[i]);
        const char end = strncmp(next, units[i], length) == 0 ? next[length] : 'x';
        if (!(end >= 'a' && end <= 'z')) return true;
    }
    return false;
}

/* Bytes up to where a line may break; without `whole` also between the two systems of a number. */
static size_t word_length(const char *text, bool whole) {
    size_t length = strcspn(text, " \n");
    while (text[length] == ' ' && is_joined(text, text + length) && (whole || text[length + 1] != '('))
        length += 1 + strcspn(text + length + 1, " \n");
    return length;
}

double sheet_widest_word(Sheets *sheets, const TextStyle *style, const char *text) {
    double wide = 0;
    while (*text) {
        const size_t length = word_length(text, false);
        const double own =
            canvas_text_wide_px(sheets->canvas, style, arena_copy(sheets->arena, text, length));
        wide = own > wide ? own : wide;
        text += length + (text[length] != '\0');
    }
    return wide;
}

SheetLines sheet_wrap(Sheets *sheets, const TextStyle *style, const char *text, double wide_px) {
    SheetLines lines = {0};
    const char *line = "";
    while (*text) {
        size_t length = word_length(text, true);
        if (!fits(sheets, style, arena_copy(sheets->arena, text, length), wide_px))
            length = word_length(text, false);
        const char *word = arena_copy(sheets->arena, text, length);
        const char *longer = line[0] ? arena_format(sheets->arena, "%s %s", line, word) : word;
        if (line[0] && !fits(sheets, style, longer, wide_px)) {
            LIST_PUSH(sheets->arena, lines, line);
            longer = word;
        }
        while (!fits(sheets, style, longer, wide_px)) {
            const size_t part = fitting(sheets, style, longer, strlen(longer), wide_px);
            if (part >= strlen(longer)) break;
            LIST_PUSH(sheets->arena, lines, arena_copy(sheets->arena, longer, part));
            longer += part;
        }
        line = longer;
        text += length;
        while (*text == ' ' || *text == '\n')
            text++;
    }
    if (line[0] || lines.count == 0) LIST_PUSH(sheets->arena, lines, line);
    return lines;
}

/* ---- What of the facts */

const char *sheet_value(const Sheets *sheets, const char *heading, const char *key) {
    const Fact *fact = facts_find(sheets->facts, heading, key);
    return fact ? fact_plain_text(sheets->arena, sheets->facts, fact) : "";
}

const char *sheet_part(const Sheets *sheets, const char *heading, const char *key, size_t first,
                       size_t count) {
    const Fact *fact = facts_find(sheets->facts, heading, key);
    if (!fact || first + count > fact->parts.count) return "";
    return fact_cell_text(sheets->arena, sheets->facts, fact, first, count);
}

SheetTexts sheet_texts(const Sheets *sheets, const char *heading, const char *key, size_t part) {
    const Fact *fact = facts_find(sheets->facts, heading, key);
    SheetTexts texts = {.items = {sheet_part(sheets, heading, key, part, 1), "", ""}, .count = 1};
    if (!fact || part >= fact->parts.count || fact->parts.items[part].kind == FACT_TEXT) return texts;
    FactPart alone = fact->parts.items[part];
    alone.number = fabs(alone.number);
    alone.before = alone.after = NULL;
    alone.way = NULL;
    Fact one = *fact;
    one.parts.items = &alone;
    one.parts.count = one.parts.capacity = 1;
    texts.items[1] = fact_text(sheets->arena, sheets->facts, &one);
    texts.items[2] = fact_short_text(sheets->arena, sheets->facts, &one);
    texts.count = 3;
    return texts;
}

const char *sheet_in_shot(const Sheets *sheets, const char *name, size_t shot) {
    if (sheets->plan->shot_count < 2) return name;
    return arena_format(sheets->arena, "%s in %s", name, sheets->plan->shots[shot].name);
}

CanvasBox sheet_box_of(const CanvasPoint *points, size_t count) {
    CanvasBox box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
    for (size_t i = 0; i < count; i++) {
        box.left_px = fmin(box.left_px, points[i].x_px);
        box.right_px = fmax(box.right_px, points[i].x_px);
        box.top_px = fmin(box.top_px, points[i].y_px);
        box.bottom_px = fmax(box.bottom_px, points[i].y_px);
    }
    return box;
}

bool sheet_stands(const PlanThing *thing) {
    switch (thing->thing->role) {
    case ROLE_PUPPET:
    case ROLE_PIECE:
    case ROLE_FLAT:
    case ROLE_BACKDROP:
    case ROLE_MOUND:
    case ROLE_HOLLOW:
        return true;
    default:
        return false;
    }
}

int sheet_number(const Sheets *sheets, size_t thing) {
    if (!sheet_stands(&sheets->things[thing])) return 0;
    int number = 1;
    for (size_t i = 0; i < thing; i++)
        number += sheet_stands(&sheets->things[i]);
    return number;
}
