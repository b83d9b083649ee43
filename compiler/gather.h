/* What all scenes say, put together for the maker. What they say of places in the book is the book's: it
 * stands there in the book's order, each thing once, however many scenes it shows in. */
#ifndef GROUNDROW_GATHER_H
#define GROUNDROW_GATHER_H

#include "base/diagnostic.h"

typedef struct SceneSaid {
    const char *name;
    Diagnostics *said; /* sorted */
} SceneSaid;

/* Adds deep copies to `into`, which holds what the book itself says: first all about the book (file 0),
 * sorted, then scene after scene. What only some scenes say of the book names them. */
void gather_said(Diagnostics *into, const SceneSaid *scenes, size_t count);

#endif
