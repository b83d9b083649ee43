/* The picture that most tests of cameras draw: a spread of two 11 x 8 1/2 in pages with 1/8 in bleed, drawn
 * 420 mm wide, on all of 36 x 24 mm that fits. */
#ifndef GROUNDROW_TESTS_SPREAD_H
#define GROUNDROW_TESTS_SPREAD_H

#include "base/number.h"
#include "optics/camera.h"

static inline PictureWishes spread_wishes(void) {
    return (PictureWishes){.page_wide_mm = 11 * MM_PER_INCH,
                           .page_tall_mm = 8.5 * MM_PER_INCH,
                           .bleed_mm = MM_PER_INCH / 8,
                           .pages = 2,
                           .drawing_wide_mm = 420,
                           .sensor_wide_mm = 36,
                           .sensor_tall_mm = 24,
                           .crop_uses = 1};
}

static inline Picture spread_picture(void) {
    const PictureWishes wishes = spread_wishes();
    return picture_new(&wishes);
}

#endif
