/* What a run says, on its two streams. */
#ifndef GROUNDROW_SAY_H
#define GROUNDROW_SAY_H

#include "base/diagnostic.h"
#include "options.h"

/* What a run has to say in the end. */
typedef struct Said {
    Diagnostics diagnostics; /* of the whole run, in order */
    const Sources *sources;
    Buffer results;               /* for standard output */
    LIST(const char *) trouble;   /* what the machine refused, a line each */
    bool writes;                  /* the command writes: say what was not written ... */
    bool book_faulty;             /* ... nothing at all */
    LIST(const char *) unwritten; /* ... or nothing for these scenes */
} Said;

/* False: standard output or standard error did not take it all. */
bool said_print(Arena *arena, const Said *said, const Options *options);

/* One line about the command line or the machine: `groundrow: ...`. */
void say_line(Arena *arena, const char *text);
/* Data to standard output. False (and a line): it did not take it all. */
bool say_output(Arena *arena, const Buffer *text);

/* Whether messages on standard error are in colour: `--color`, then NO_COLOR (no-color.org), then the
 * terminal. */
bool say_in_color(ColorWish wish);

#endif
