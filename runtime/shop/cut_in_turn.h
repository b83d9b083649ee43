/* One stock scene after scene: each set is cut from what is on hand, from what earlier ones left and from
 * their struck parts (docs/geometry.md, rules 107 to 109). Inside shop/ only. */
#ifndef GROUNDROW_CUT_IN_TURN_H
#define GROUNDROW_CUT_IN_TURN_H

#include "shop/book_cutting.h"

/* `all`: every scene's items of the stock, scene after scene, as cuttings_to_one has them. The number at once
 * is left to the caller. */
BookStock cut_in_turn(Arena *arena, const StockCut *all);

/* Less is better: parts without a sheet, then new sheets. */
bool book_stock_better(const BookStock *a, const BookStock *b);

#endif
