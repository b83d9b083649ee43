/* Checks the words of a tree against the vocabulary: unknown words, with the nearest known one, and tables,
 * lists and texts where something else is wanted, or nothing stands in them. Values are not read here. Each
 * fault once; what is inside a faulty place is not looked at. `under`: the table that this one is laid over
 * (a scene over `every scene`), or NULL; an empty list says something only where it takes another's place. */
#ifndef GROUNDROW_CHECK_WORDS_H
#define GROUNDROW_CHECK_WORDS_H

#include "base/diagnostic.h"
#include "tree.h"
#include "vocabulary.h"

void check_words(Arena *arena, SectionId section, const Tree *table, const Tree *under,
                 Diagnostics *diagnostics);

#endif
