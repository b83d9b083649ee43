/* Any bytes as an image: refused or decoded, never a crash, nothing printed, and memory bounded. */
#include "base/pixels.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t count);

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t count) {
    const ImageHead head = image_head(bytes, count);
    if (head.orientation < 1 || head.orientation > 8) abort();
    if (head.fault) return 0;
    if ((uint64_t)head.wide_px * head.tall_px > 1 << 20)
        return 0; /* sound as well, but slow under sanitizers */
    const int sizes[2] = {16, 2400};
    for (int i = 0; i < 2; i++) {
        Arena *arena = arena_new();
        const Pixels *pixels;
        const ImageFault fault = image_to_pixels(arena, bytes, count, &head, sizes[i], &pixels);
        if ((fault == IMAGE_SOUND) != (pixels != NULL)) abort();
        if (pixels && (pixels->wide_px < 1 || pixels->tall_px < 1 || pixels->wide_px > sizes[i] ||
                       pixels->tall_px > sizes[i]))
            abort();
        for (int p = 0; pixels && p < pixels->wide_px * pixels->tall_px; p++) {
            if (pixels->argb[p] >> 24 != 0xFF) abort();
        }
        arena_free(arena);
    }
    return 0;
}
