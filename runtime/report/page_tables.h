/* The tables of what concerns all scenes: what the parts of the page that fill them share. One that is wider
 * than the window moves in a box of its own, which the keyboard reaches. */
#ifndef GROUNDROW_PAGE_TABLES_H
#define GROUNDROW_PAGE_TABLES_H

#include "report/facts.h"
#include "report/summaries_to_page.h"

typedef struct BookPart {
    Buffer *out;
    Arena *arena; /* for what is worked out meanwhile */
    const Page *page;
    const Facts *facts; /* of book.txt */
} BookPart;

/* A line's label, leading to the scene that it begins with. */
void page_link(BookPart *part, const char *label);

/* In this order: begin, a column for each head but the first, the end of the head; rows; the end. `id` is the
 * caption's. */
void table_begin(BookPart *part, const char *id, const char *caption, const char *first_head);
void table_column(BookPart *part, const char *head);
void table_end_head(BookPart *part);
void table_end(BookPart *part);

/* A row begins with its head, which leads to the scene that it names, or to none. */
void row_begin(BookPart *part, const char *label);
void row_begin_unlinked(BookPart *part, const char *label);
void row_end(BookPart *part);
void row_text(BookPart *part, const char *text);
/* So many of a fact's parts, from `first`. */
void row_cell(BookPart *part, const Fact *fact, size_t first, size_t count);
/* All that a fact says, across the columns. */
void row_whole_cell(BookPart *part, const Fact *fact, size_t columns);
/* The names that a fact ends with, each leading to its scene. */
void row_names_cell(BookPart *part, const Fact *fact, size_t first);

#endif
