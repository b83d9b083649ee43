/* What each kind of allowance costs the whole book, as a table of its page. */
#ifndef GROUNDROW_PAGE_OF_ALLOWANCES_H
#define GROUNDROW_PAGE_OF_ALLOWANCES_H

#include "report/page_tables.h"

/* The block `cost of allowances`. */
void page_of_allowances(BookPart *part, const FactBlock *costs);

#endif
