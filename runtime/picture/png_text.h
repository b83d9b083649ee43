/* What a PNG says of itself, beside its pixels (ISO/IEC 15948, 11.3.3 and annex D): who made it, and in words
 * what it shows, so that whoever lists pictures later can tell those who do not see them. */
#ifndef GROUNDROW_PNG_TEXT_H
#define GROUNDROW_PNG_TEXT_H

#include "base/text.h"

/* Appends the PNG with `Title` and `Description` (UTF-8) added. */
void png_describe(Buffer *out, const void *bytes, size_t count, const char *title, const char *description);

typedef struct PngAbout {
    bool own; /* `Software` is groundrow */
    unsigned wide_px, tall_px;
    const char *title, *description; /* "" where it has none; in the arena; any bytes without NUL */
} PngAbout;

/* False: no PNG, or one that is not whole. */
bool png_about(Arena *arena, const void *bytes, size_t count, PngAbout *about);

#endif
