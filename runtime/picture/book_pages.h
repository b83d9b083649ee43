/* The book's own pages among its shop sheets: what the files that draw them share. */
#ifndef GROUNDROW_BOOK_PAGES_H
#define GROUNDROW_BOOK_PAGES_H

#include "picture/sheet.h"
#include "picture/summaries_to_sheets.h"
#include "shop/book_cutting.h"

typedef struct BookPages {
    const BookSheets *book;
    const Facts *facts;         /* book.txt's */
    const BookCutting *cutting; /* what the facts were written from */
    const int *sheet_counts;    /* of each scene */
    int own_count;              /* how many the book's own are, as far as is known */
} BookPages;

/* A row of a table; cells that are NULL are empty. */
void book_row(Sheets *sheets, SheetTable *table, SheetRow row);
/* What the scene is called besides its file's name; "": nothing. */
const char *book_title_of(const Summary *summary);
/* Of that kind, or NULL. */
const FactBlock *book_block(const BookPages *pages, const char *kind);

/* What is on the pages, in this order. */
void book_contents(Sheets *sheets, const BookPages *pages);
void book_to_mind(Sheets *sheets, const BookPages *pages);
void book_to_buy(Sheets *sheets, const BookPages *pages);
void book_cameras(Sheets *sheets, const BookPages *pages);
void book_puppets(Sheets *sheets, const BookPages *pages);
void book_room(Sheets *sheets, const BookPages *pages);
void book_circuits(Sheets *sheets, const BookPages *pages);
void book_cut(Sheets *sheets, const BookPages *pages);
/* Of one scene: struck parts that are cut smaller. Nothing where there are none. */
void book_struck(Sheets *sheets, const SceneCut *cut);

#endif
