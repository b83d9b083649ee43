/* Text into HTML and into addresses. Bytes that are no UTF-8, and signs that HTML has no way to say, become
 * U+FFFD. */
#ifndef GROUNDROW_HTML_H
#define GROUNDROW_HTML_H

#include "base/text.h"

/* Fit for an element's content and for an attribute in double quotes. */
void html_text(Buffer *out, const char *text);
/* The same, and what belongs to one number stays in one line: `9 1/2 in`. */
void html_numbers(Buffer *out, const char *text);
/* As html_text, for content alone, what stands in backticks as code. */
void html_prose(Buffer *out, const char *text);
/* The name of a file or an anchor as a part of an address (RFC 3986, 2.3: all but unreserved signs by %). */
void html_address(Buffer *out, const char *name);

#endif
