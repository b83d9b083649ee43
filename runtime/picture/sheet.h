/* What sheets share. Only set_to_sheets.c puts those of a scene in order. Places on paper are points
 * (1/72 in) from the upper left corner, as a Canvas has them; they are called px there.
 *
 * Headings, tables and pictures of what is cut need no scene: arena, canvas, title and lengths are enough. */
#ifndef GROUNDROW_SHEET_H
#define GROUNDROW_SHEET_H

#include "picture/canvas.h"
#include "picture/labels.h"
#include "picture/set_view.h"
#include "plan/plan.h"
#include "report/facts.h"
#include "shop/cutting.h"

/* The frame of a shot, painted once. */
typedef struct SheetFrame {
    const uint32_t *pixels;
    int wide_px, tall_px;
    const ThingSeen *seen; /* of each thing of the plan, in its pixels */
} SheetFrame;

/* What the title block of each page says. */
typedef struct SheetTitle {
    const char *book; /* over the title, small */
    const char *title;
    const char *pages;   /* of the book, `2-3`; "" leaves the cell out */
    const char *numbers; /* the file that has the same numbers */
} SheetTitle;

typedef struct Sheets {
    Arena *arena;
    SheetTitle title;
    LengthStyle lengths;
    const Plan *plan; /* of what is not of one scene NULL, as are all that follow up to the canvas */
    const Facts *facts;
    const PlanThing *things; /* as planned: what is to be taped */
    PlanDatum datum;
    const SheetFrame *frames; /* one a shot */
    Canvas *canvas;
    CanvasBox area;    /* of a page, for what is on it */
    double y_px;       /* down to there it is taken */
    int page, pages;   /* the number of this one; of all, once that is known, else 0 */
    const char *scale; /* in this page's title block; "" without */
} Sheets;

/* Under 8 points nobody reads from the wall, and thinner lines than 0.3 points do not print. */
#define SHEET_TEXT_PX 8.0
#define SHEET_LINE_PX 11.0
#define SHEET_THIN_PX 0.35
enum { SHEET_INK = 0x14181C, SHEET_FAINT = 0x50575F, SHEET_CAMERA = 0x0A4FA0, SHEET_MARK = 0xA3124A };
extern const TextStyle SHEET_TEXT, SHEET_BOLD, SHEET_HEAD;

/* The book's paper, upright. */
typedef struct SheetPaper {
    double wide_mm, tall_mm;
} SheetPaper;
SheetPaper sheet_paper(ShopPaper paper);
/* Draws all sheets, and appends them as a PDF. `draw` is called twice: each page says how many there are. */
typedef void SheetDraw(Sheets *sheets, const void *context);
void sheets_to_pdf(Sheets *sheets, ShopPaper paper, SheetDraw *draw, const void *context, Buffer *pdf);

/* What a page leaves for what is on it. */
CanvasBox sheet_area(Sheets *sheets);
/* A new page with its title block and cautions. */
void sheet_next(Sheets *sheets, const char *scale);
/* Room for so much more, or a new page. */
void sheet_need(Sheets *sheets, double tall_px);
/* With a bookmark to it. */
void sheet_heading(Sheets *sheets, const char *text);
/* Of what goes on from the page before. */
void sheet_heading_again(Sheets *sheets, const char *text);

/* Text in lines of at most `wide_px`, broken at blanks (and within a word that is wider alone). */
typedef struct SheetLines {
    const char **items;
    size_t count, capacity;
} SheetLines;
SheetLines sheet_wrap(Sheets *sheets, const TextStyle *style, const char *text, double wide_px);

/* The widest piece that is not broken. */
double sheet_widest_word(Sheets *sheets, const TextStyle *style, const char *text);

/* Tables: rows of cells of text; "" is an empty cell. */
enum { SHEET_COLUMNS_MOST = 8 };
typedef struct SheetRow {
    const char *cells[SHEET_COLUMNS_MOST];
} SheetRow;
typedef struct SheetTable {
    const char *title;
    const char *note; /* under the title; NULL: none */
    size_t soft;      /* the column that is rather broken into lines than others; SHEET_COLUMNS_MOST: none */
    size_t columns;
    const char *heads[SHEET_COLUMNS_MOST];
    LIST(SheetRow) rows;
} SheetTable;
/* Under what is there; its head again on every page that it goes on to. Columns in which nothing stands are
 * left out. Nothing without rows. */
void sheet_table(Sheets *sheets, const SheetTable *table);

/* The same number in fewer and fewer words: the first that fits is written. */
typedef struct SheetTexts {
    const char *items[3];
    size_t count;
} SheetTexts;
/* A part with its words, without them, and in the book's own lengths alone. */
SheetTexts sheet_texts(const Sheets *sheets, const char *heading, const char *key, size_t part);

/* Trade dimension lines: ticks at both ends, the number over the line. `from` are the points measured; the
 * line runs at `at_px` (x of an upright line, y of a level one), joined to them by thin lines. Texts that are
 * longer than the line stand beside it. */
void sheet_dimension_level(Canvas *canvas, CanvasPoint from, CanvasPoint to, double at_px, const char *text);
void sheet_dimension_upright(Canvas *canvas, CanvasPoint from, CanvasPoint to, double at_px, SheetTexts text);

/* The number by which a thing is found on the drawings and in the tables; 1 is the first shot's leading
 * thing. 0: it is not numbered. */
int sheet_number(const Sheets *sheets, size_t thing);
/* The least box round some points; of none, an inside-out one without end. */
CanvasBox sheet_box_of(const CanvasPoint *points, size_t count);
/* Whether a thing is drawn and listed. */
bool sheet_stands(const PlanThing *thing);
/* A fact of a block, all that it says; "" where there is none. */
const char *sheet_value(const Sheets *sheets, const char *heading, const char *key);
/* So many of its parts. */
const char *sheet_part(const Sheets *sheets, const char *heading, const char *key, size_t first,
                       size_t count);
/* `name`, or `name in shot` where there are several shots. */
const char *sheet_in_shot(const Sheets *sheets, const char *name, size_t shot);

/* ---- Scales */

/* 1 to so much: the least of those that rules have that is `least` or more. */
int sheet_usual_scale(LengthStyle lengths, double least);
/* `1:24, 1/2 in = 1 ft`. */
const char *sheet_scale_text(const Sheets *sheets, int scale);
/* A bar of at most `room_px` to check it by, its words behind it. */
void sheet_scale_bar(Sheets *sheets, LengthStyle lengths, int scale, double left_px, double top_px,
                     double room_px);

/* Every sheet of a stock that is cut, as a picture to scale, under what is there: parts with their names and
 * sizes, which way the grain runs, the cuts' places from the left and the lower edge and the order of the
 * first, what is kept. Lengths of timber are bars. Nothing where nothing is cut. */
void sheet_cut_pictures(Sheets *sheets, const StockCut *cut);
/* The same where not all that is there is on hand: `have` says of each of the stock's where it comes from,
 * `on hand`, `left of 03-down-the-river`; `what` goes behind the stock's name in the heading, `for 05-home`.
 * Either may be NULL. */
void sheet_cut_pictures_for(Sheets *sheets, const StockCut *cut, const char *what, const char *const *have);
/* And which cut comes after which, where each is measured from its piece's own edges, as a table; `what` as
 * above. */
void sheet_cut_order(Sheets *sheets, const StockCut *cut, const char *what);

/* What is on the pages. */
void sheet_views(Sheets *sheets, size_t shot);
void sheet_frame(Sheets *sheets, size_t shot);
void sheet_lists(Sheets *sheets);

SheetFrame sheet_paint_frame(Arena *arena, const Scenery *scenery, size_t shot);

#endif
