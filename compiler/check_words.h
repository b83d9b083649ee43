/* Checks the words of a tree against the vocabulary: unknown words, with the nearest known one, and tables,
 * lists and texts where something else is wanted. Values are not read here. Each fault once; what is inside a
 * faulty place is not looked at. */
#ifndef GROUNDROW_CHECK_WORDS_H
#define GROUNDROW_CHECK_WORDS_H

#include "base/diagnostic.h"
#include "tree.h"
#include "vocabulary.h"

void check_words(Arena *arena, SectionId section, const Tree *table, Diagnostics *diagnostics);

#endif
