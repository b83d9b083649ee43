/* Stage: facts into the dimension report: the format's number, then blocks with an unindented heading and one
 * indented fact a line, so that a diff shows which fact of which thing has moved. LF, UTF-8, nothing that
 * hangs on when or where it was made. */
#ifndef GROUNDROW_FACTS_TO_TEXT_H
#define GROUNDROW_FACTS_TO_TEXT_H

#include "base/text.h"
#include "report/facts.h"

void facts_to_text(Buffer *out, const Facts *facts);
/* The blocks alone, each with a blank line before it. */
void facts_to_lines(Buffer *out, const Facts *facts);

#endif
