/* Stage: the shop sheets of a whole book as one PDF: the book's own pages (what is where, what to buy and to
 * hire, the sheets that are cut, puppets, tables, room and circuits), then every scene's sheets as they are,
 * each with its number in the whole. Numbers on the book's own pages are book.txt's and the scenes' reports'.
 */
#ifndef GROUNDROW_SUMMARIES_TO_SHEETS_H
#define GROUNDROW_SUMMARIES_TO_SHEETS_H

#include "base/text.h"
#include "plan/scene.h"
#include "report/summaries_to_book.h"

typedef struct BookSheets {
    const char *title; /* NULL: it has none */
    LengthStyle lengths;
    ShopPaper paper;
    const BookFacts *facts;   /* what concerns all scenes */
    const Summary *summaries; /* in the order of the book */
    const Buffer *scenes;     /* the sheets of each (set_to_sheets) */
    size_t count;             /* at least 1 */
} BookSheets;

/* Appends the file to `pdf`; the same bytes for the same book anywhere. False: nothing is appended, and
 * `*trouble` (in `arena`) says what the machine refused. */
bool summaries_to_sheets(Arena *arena, Buffer *pdf, const BookSheets *book, const char **trouble);

#endif
