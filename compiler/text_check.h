/* What is wrong with a text that YAML read without a word: empty, over two lines, with a comment in it, with
 * signs that no value has. */
#ifndef GROUNDROW_TEXT_CHECK_H
#define GROUNDROW_TEXT_CHECK_H

#include "composer.h"

/* The text as a tree, or after a message a faulty one. `word` is what it stands under, NULL in a list;
 * `flow`: inside { } or [ ]. */
Tree *text_check(Composer *c, const Word *word, const Scalar *scalar, bool flow);
/* Escapes in double quotes alone: the faulty tree, or NULL. */
Tree *text_check_escapes(Composer *c, const Scalar *scalar);

#endif
