/* Several PDFs into one, by libqpdf: pages of one behind those of the other, with bookmarks and page labels
 * (ISO 32000-1, 12.3.3 and 12.4.2). For files that a canvas has written; what is drawn on their pages is
 * taken over byte for byte. */
#ifndef GROUNDROW_PDF_JOIN_H
#define GROUNDROW_PDF_JOIN_H

#include "base/arena.h"
#include "base/text.h"

#include <stdbool.h>

typedef struct PdfPiece {
    const char *bytes;
    size_t count;
    const char *title; /* of the bookmark to its first page, its own bookmarks under it; NULL: those alone */
    const char *label; /* its pages are called by this and 1, 2, ...: `08-fog ` */
} PdfPiece;

/* How many pages a PDF has; 0: it cannot be read. */
int pdf_page_count(const char *bytes, size_t count);

/* Appends the whole to `out`, the same bytes for the same pieces. `stamps` is a PDF of as many pages as all
 * pieces have together: each is drawn over its page. False: `out` is as it was, and `*trouble` (in `arena`)
 * says why: a piece cannot be read, or there is no memory. */
bool pdf_join(Arena *arena, Buffer *out, const char *title, const PdfPiece *pieces, size_t piece_count,
              const Buffer *stamps, const char **trouble);

#endif
