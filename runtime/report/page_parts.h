/* What the parts of the book's page share; only summaries_to_page.c puts them in order. */
#ifndef GROUNDROW_PAGE_PARTS_H
#define GROUNDROW_PAGE_PARTS_H

#include "report/summaries_to_page.h"

/* The style sheet, page.css. */
const char *page_style(void);
/* The book's title, or what stands for it. */
const char *page_title(const Page *page);
/* A name of the maker's, which may run from right to left. */
void page_name(Buffer *out, const char *name);
/* `08-fog.txt` as an address. */
void page_file_address(Buffer *out, const char *name, const char *ending);
/* Of a scene: an `id`, and with `#` before it an address. */
void page_scene_anchor(Buffer *out, const char *scene);

/* The section of what concerns all scenes: book.txt as tables. */
void page_of_book(Buffer *out, Arena *arena, const Page *page);

#endif
