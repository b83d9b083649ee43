/* Questions about one scene: `why`, the chain of statements and rules behind a number; `words --points`, the
 * points that can be marked in a photograph of it. */
#ifndef GROUNDROW_WHY_H
#define GROUNDROW_WHY_H

#include "run.h"

/* The answer goes to standard output; a scene with faults has none, and they are said instead. */
ExitCode run_why(Arena *arena, const Options *options);
ExitCode run_points(Arena *arena, const Options *options);

#endif
