/* What is to be bought, and what an allowance costs, in words that scenes and the book share. */
#ifndef GROUNDROW_COST_WORDS_H
#define GROUNDROW_COST_WORDS_H

#include "report/facts.h"
#include "shop/costs.h"

/* A stock's name; with its thickness where one that states none is cut `in_several`. As a key two
 * thicknesses that read alike are still two. */
const char *stock_label(const Facts *facts, const CutStock *stock, bool in_several);
const char *stock_key(const Facts *facts, const CutStock *stock, bool in_several);

/* What more is to be bought and paid, as the first parts of a fact: `1 more sheet of ply, 2 of foam, 126 more
 * to pay`. No part where it is nothing. */
void write_stock_costs(Facts *facts, Fact *fact, const StockCosts *costs);
/* A fact's whole text. */
void write_cost_text(Facts *facts, Fact *fact, const char *text);
/* The key of a kind of allowance: `shorter`; ALLOW_COUNT: `all`. */
const char *allowance_key(Allowance kind);

#endif
