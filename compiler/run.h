/* One run over a book: its scenes compiled side by side, what came of them written and said in the book's
 * order. */
#ifndef GROUNDROW_RUN_H
#define GROUNDROW_RUN_H

#include "options.h"

/* What the program exits with. */
typedef enum ExitCode { EXIT_DONE = 0, EXIT_FAULTS = 1, EXIT_USAGE = 2, EXIT_MACHINE = 3 } ExitCode;

/* The commands `compile` and `check`. Messages go to standard error, what was written (and `--dump`,
 * `--errors=json`) to standard output. Bytes and messages are the same for any number of jobs. */
ExitCode run_book(Arena *arena, const Options *options);

#endif
