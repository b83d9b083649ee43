/* The command `new`: a small book with comments, to begin with. */
#ifndef GROUNDROW_NEW_BOOK_H
#define GROUNDROW_NEW_BOOK_H

#include "run.h"

/* Writes book.yaml and one scene into options->book, a folder that is new or empty; anything in it is a usage
 * fault. What it writes compiles without a warning. */
ExitCode new_book(Arena *arena, const Options *options);

#endif
