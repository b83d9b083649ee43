/* What the book's parts are cut from, as tables of the page: the facts of book.txt's `to buy`, `stock by
 * scene` and `used again`. */
#ifndef GROUNDROW_PAGE_OF_BUYING_H
#define GROUNDROW_PAGE_OF_BUYING_H

#include "report/page_tables.h"

void page_of_buying(BookPart *part, const FactBlock *to_buy);
void page_of_stock_by_scene(BookPart *part, const FactBlock *by_scene);
/* `number`: no other table of these has it. */
void page_of_used_again(BookPart *part, const FactBlock *used, size_t number);

#endif
