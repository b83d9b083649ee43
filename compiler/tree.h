/* A file of the language as written: tables, lists and texts with their spans. No meaning yet; every scalar
 * is text. Made by text_to_tree.h. */
#ifndef GROUNDROW_TREE_H
#define GROUNDROW_TREE_H

#include "base/span.h"
#include "base/text.h"

#include <stdbool.h>
#include <stddef.h>

/* TREE_FAULTY: something stood here whose fault has been reported at `span`. It is poison: whatever reads it
 * stays silent, and the word it stands under is not missing. */
typedef enum TreeKind { TREE_TEXT, TREE_TABLE, TREE_LIST, TREE_FAULTY } TreeKind;

typedef struct Tree Tree;

typedef struct TreeEntry {
    const char *word; /* runs of blanks are one blank: `far  bank` is `far bank` */
    Span word_span;
    Tree *value; /* never NULL */
} TreeEntry;

struct Tree {
    TreeKind kind;
    Span span; /* a text: exactly it, quotes included; a table or list: its first line's part, for pointing */
    bool quoted; /* TREE_TEXT: stood in quotes, so that span and text differ by one column at the start */
    const char *text;   /* TREE_TEXT, never empty, in one line: else it is faulty */
    TreeEntry *entries; /* TREE_TABLE, in the order of the file, no word twice */
    Tree **items;       /* TREE_LIST */
    size_t count;       /* entries or items */
};

/* The value of `word`, or NULL. */
const Tree *tree_find(const Tree *table, const char *word);
const TreeEntry *tree_entry(const Tree *table, const char *word);

/* `defaults` with everything in `own` laid over it, word by word, tables inside tables too; lists and texts
 * are replaced whole. Entries of `own` come first, in their order. Spans stay what they were. Either may be
 * NULL. */
Tree *tree_merge(Arena *arena, const Tree *defaults, const Tree *own);

/* A readable dump, for `--dump tree` and tests: one word or item a line with its place, tables and lists
 * indented by two below their word, `word 1:1: text 1:8`; a quoted text in its quotes, a faulty value as `?`.
 */
void tree_print(Buffer *out, const Tree *tree);

#endif
