/* Pixels as a PNG (ISO/IEC 15948): 8 bits of red, green, blue. */
#ifndef GROUNDROW_PNG_WRITE_H
#define GROUNDROW_PNG_WRITE_H

#include "base/text.h"

#include <stdint.h>

/* Rows of 0x??RRGGBB from the top, `stride` pixels apart. Appends to `png`; the file says `Software:
 * groundrow` and that it is `wide_mm` wide on paper (pHYs). */
void png_write(Buffer *png, const uint32_t *pixels, size_t stride, unsigned wide_px, unsigned tall_px,
               double wide_mm);

#endif
