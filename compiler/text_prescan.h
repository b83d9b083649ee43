/* The first look at a file, before libyaml: what it reads differently from every editor, or reports at a
 * place that is of no use. */
#ifndef GROUNDROW_TEXT_PRESCAN_H
#define GROUNDROW_TEXT_PRESCAN_H

#include "spec_line.h"

/* False after saying the first of: a byte that is no UTF-8, a sign that no text may hold, a line break of
 * another kind, a tab or an odd blank before a word or after its colon, a merge conflict, a directive.
 * Otherwise `*readable` is the text for libyaml, `count` bytes as in the source: tabs on lines without a word
 * are blanks in it. */
bool text_prescan(const Reading *reading, const char **readable);

#endif
