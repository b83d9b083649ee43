/* Stage: the bytes of a file into a tree, by libyaml's events and an own composer.
 *
 * Refuses, with a message at the place, what the language leaves out of YAML or what YAML reads silently in
 * another way than a maker meant (docs/language.md, "Traps of YAML"): tabs, merge conflicts, forbidden signs,
 * anchors, aliases, merge keys, tags, second documents, duplicate words, empty values, values over two lines,
 * and what libyaml itself cannot read (yaml_trouble.h puts that into a maker's words). Limits are errors: 1
 * MiB a file, 8 levels. A file that is no YAML gets one message, the first. */
#ifndef GROUNDROW_TEXT_TO_TREE_H
#define GROUNDROW_TEXT_TO_TREE_H

#include "base/diagnostic.h"
#include "tree.h"

enum { FILE_BYTES_MOST = 1024 * 1024, TREE_LEVELS_MOST = 8 };

/* Strips a byte order mark; the rest is what the source, its spans and text_to_tree speak of. */
const char *text_without_mark(const char *bytes, size_t *count);

/* The tree, or NULL when the file cannot be read at all (a diagnostic says why). Where single values are
 * faulty (an empty one, one that a comma cut) they are reported and stand in the tree as TREE_FAULTY; of a
 * word that stands twice the first holds. `what` is "scene" or "book", for the messages about the whole file.
 */
Tree *text_to_tree(Arena *arena, const Source *source, uint32_t file, const char *what,
                   Diagnostics *diagnostics);

#endif
