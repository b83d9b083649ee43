/* Pictures of sheets that are cut: what their files share. */
#ifndef GROUNDROW_SHEET_CUT_H
#define GROUNDROW_SHEET_CUT_H

#include "picture/sheet.h"

/* How many lines a caption takes in a width: scales are tried over and over. */
typedef struct CutCaption {
    double wide_px;
    size_t lines;
} CutCaption;

/* A sheet that is cut, and what lies on it. Alike ones are drawn once. */
typedef struct CutSheet {
    int sheet;             /* into the nest's; of alike ones the first */
    const char *caption;   /* `sheets 2-4, new: 4'-0" x 8'-0", x 3 alike` */
    const int *placements; /* into the nest's */
    int placement_count;
    SheetLines across, up; /* numbers of the cuts' places from the left and the lower edge, rising */
    const double *across_mm, *up_mm;
    double left_px, under_px; /* what these numbers take */
    LIST(CutCaption) captions;
    CanvasBox cell; /* everything of it on the page */
    CanvasBox box;  /* the sheet alone */
} CutSheet;

/* A stock's pictures. */
typedef struct CutDrawing {
    Sheets *sheets;
    const StockCut *cut;
    const char *what;        /* behind the stock's name in the heading, or NULL */
    const char *const *have; /* of each of what there is: where it comes from; NULL: all is on hand */
    CutSheet *items;
    size_t count;
    int scale;
    double px_per_mm;
    bool *in_key; /* of each item: its name and size find no room somewhere, and its number stands there */
} CutDrawing;

/* `1-40, 52`: the numbers, from 1, of those that have it; behind so many runs `, ...`. "": none. */
const char *sheet_cut_numbers(Arena *arena, const bool *has, int count, int runs_most);
/* As the report says lengths that are cut. */
const char *sheet_cut_length(const CutDrawing *drawing, double mm);
/* `base 1 of 3`, with its scene where the sheets are not of one. */
const char *sheet_cut_name(const Sheets *sheets, const CutItem *item);
/* `6'-11 29/32" x 3'-3 1/8"`, as the report has it. */
const char *sheet_cut_size(const CutDrawing *drawing, const CutItem *item);

/* Words in an outline: all of them within, on none of `taken`. Returns the box that they take, added to
 * `taken`; false where they find no room: then nothing is drawn. */
typedef LIST(CanvasBox) CanvasBoxes;
typedef struct CutWords {
    const char *lines[4];
    size_t count;
    bool upright;
} CutWords;
bool sheet_cut_words(Sheets *sheets, const CutWords *words, const CanvasPoint *outline, size_t count,
                     CanvasBoxes *taken);

/* Lines and fills of these pictures. */
extern const LineStyle SHEET_CUT_SHEET, SHEET_CUT_PART, SHEET_CUT_OFFCUT, SHEET_CUT_HATCH;
enum { SHEET_CUT_WASTE = 0xDCDFE2 };

/* The sheet in its box, and its captions and numbers in its cell. */
void sheet_cut_sheet(CutDrawing *drawing, const CutSheet *sheet);
/* Numbers of cuts beside its left edge (`upright`), or below its lower one. */
void sheet_cut_edge(const CutDrawing *drawing, const CutSheet *sheet, bool upright);
/* Lengths of timber, one under the other with their heading, kept together with so much below them. */
void sheet_cut_lengths(CutDrawing *drawing, double below_px);
/* Sets the drawing's scale and lays its sheets out in rows from 0, 0: all on what is left of this page, if
 * they are not much smaller there; else on a page of their own, or on several where they would be too small
 * on one: true. The first page has the words too, and each a key of no more than `key_px`, unless they take
 * most of a page: those go before. */
bool sheet_cut_choose_scale(CutDrawing *drawing, double words_px, double key_px);
enum { SHEET_CUT_UNDER_PX = 12 }; /* one row under the other */
/* Over a stock's pictures. */
enum { SHEET_CUT_HEAD_PX = 34 };
void sheet_cut_heading(CutDrawing *drawing, bool again);
/* Where a sheet is cut level (`level`), else upright: rising places from its lower, or left, edge, and what
 * is written there. */
const double *sheet_cut_places(CutDrawing *drawing, int sheet, bool level, SheetLines *texts);

#endif
