/* The words of the language told to others, from vocabulary.def: a reference page for people, a JSON Schema
 * for editors. */
#ifndef GROUNDROW_WORDS_H
#define GROUNDROW_WORDS_H

#include "base/text.h"

/* The reference page, in Markdown: every section with its words, what references read, units, warnings. */
void words_to_reference(Buffer *out);

/* A JSON Schema (draft 2020-12) for books and scenes alike: a file with a word that only a book has is a
 * book. `#/$defs/book` and `#/$defs/scene` are the two. What a quantity's text means is not in it; and other
 * tools read YAML typed, so numbers and booleans stand where this program reads text. */
void words_to_schema(Buffer *out);

#endif
