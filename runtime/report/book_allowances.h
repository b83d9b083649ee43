/* What each kind of allowance costs the whole book. */
#ifndef GROUNDROW_BOOK_ALLOWANCES_H
#define GROUNDROW_BOOK_ALLOWANCES_H

#include "report/facts.h"
#include "report/summary.h"

/* Block `cost of allowances`, a fact a kind. Nothing where no scene has any, or nothing is cut.
 * `book` is what they are all cut from. */
void book_allowances(Facts *facts, const BookCutting *book, const Summary *summaries, size_t count);

#endif
