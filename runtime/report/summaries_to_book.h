/* Stage: the summaries of a book's scenes into book.txt: a line a scene, each puppet's scale from scene to
 * scene, scenes that can be photographed without moving the camera's height, tilt or lens, and what bodies
 * and lenses the book needs. */
#ifndef GROUNDROW_SUMMARIES_TO_BOOK_H
#define GROUNDROW_SUMMARIES_TO_BOOK_H

#include "base/number.h"
#include "base/text.h"
#include "report/facts.h"
#include "report/summary.h"

enum { BOOK_FORMAT = 1 };

/* What book.txt says: blocks `book`, `scenes` (a fact a shot), `puppet NAME` (a fact a shot), `shared`,
 * `needed`, `to buy` (a fact a stock) and `stock by scene`. Behind a puppet's shots come its smallest and its
 * largest printing, where it has several. */
Facts *book_facts(Arena *arena, const char *book_title, LengthStyle lengths, const Summary *summaries,
                  size_t count);
/* Whether a fact of a puppet is about all its shots together, not about one. */
bool book_is_of_all(const Fact *fact);

/* In the order of the book. `arena` is for what is worked out meanwhile. */
void summaries_to_book(Buffer *out, Arena *arena, const char *book_title, LengthStyle lengths,
                       const Summary *summaries, size_t count);

#endif
