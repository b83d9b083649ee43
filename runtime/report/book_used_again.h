/* Which parts of struck sets serve later ones: blocks of book.txt. */
#ifndef GROUNDROW_BOOK_USED_AGAIN_H
#define GROUNDROW_BOOK_USED_AGAIN_H

#include "report/facts.h"
#include "shop/book_cutting.h"

/* A block `used again STOCK`, a fact for each part of a struck set and each set that it serves, in the order
 * in which it serves: as what, or what is cut from it. None where nothing serves again. */
void book_used_again(Facts *facts, const BookStock *stock);

#endif
