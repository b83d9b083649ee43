/* Stage: the summaries of a book's scenes into what concerns them all, worked out once for whatever tells it
 * (book.txt, the page, the book's own sheets): a line a scene, each puppet's scale from scene to
 * scene, scenes that can be photographed without moving the camera's height, tilt or lens, and what bodies
 * and lenses the book needs. */
#ifndef GROUNDROW_SUMMARIES_TO_BOOK_H
#define GROUNDROW_SUMMARIES_TO_BOOK_H

#include "base/number.h"
#include "base/text.h"
#include "report/facts.h"
#include "report/summary.h"

enum { BOOK_FORMAT = 1 };

typedef struct BookFacts {
    /* What book.txt says: blocks `book`, `scenes` (a fact a shot), `puppet NAME` (a fact a shot), `shared`,
     * `needed`, `to buy` (a fact a stock), `stock by scene`, `cost of allowances` (a fact a kind) and
     * `used again`. Behind a puppet's shots come its smallest and its largest printing, where it has
     * several. */
    const Facts *facts;
    const BookCutting *cutting; /* what all scenes are cut from: the facts were written from it */
} BookFacts;

/* In the order of the book; everything in the arena, and into the summaries. */
BookFacts summaries_to_book(Arena *arena, const char *book_title, LengthStyle lengths,
                            const Summary *summaries, size_t count);
/* book.txt. */
void book_to_text(Buffer *out, const BookFacts *book);
/* Whether a fact of a puppet is about all its shots together, not about one. */
bool book_is_of_all(const Fact *fact);

#endif
