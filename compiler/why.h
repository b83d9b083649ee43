/* The command `why`: the chain of statements and rules behind a number of a scene. */
#ifndef GROUNDROW_WHY_H
#define GROUNDROW_WHY_H

#include "run.h"

/* The chain goes to standard output; a scene with faults has none, and they are said instead. */
ExitCode run_why(Arena *arena, const Options *options);

#endif
