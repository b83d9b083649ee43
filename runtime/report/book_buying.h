/* What the book's parts are cut from: sheets and lengths to buy, what on hand serves, and what each scene
 * takes by itself. */
#ifndef GROUNDROW_BOOK_BUYING_H
#define GROUNDROW_BOOK_BUYING_H

#include "report/facts.h"
#include "report/summary.h"
#include "shop/book_cutting.h"

/* Blocks `to buy` (a fact a stock: all parts of the book on sheets together, or set after set where struck
 * ones serve again; what the book has built once cut once) and `stock by scene` (a fact a scene, its parts
 * named by their stocks). Nothing where no thing has a stock. */
void book_buying(Facts *facts, const BookCutting *book, const Summary *summaries, size_t count);
/* The name of the part that says what a scene takes of a stock, by its key, when it is cut by itself, where
 * sets are cut in turn. */
const char *buying_alone(Arena *arena, const char *stock);
/* Whether a fact of `to buy` is of all stocks together, not of one. */
bool buying_is_total(const Fact *fact);

#endif
