/* Prints an image file's pixels for a comparison: `wide tall`, then three bytes a pixel. */
#include "base/files.h"
#include "base/pixels.h"

#include <stdio.h>
#include <stdlib.h>

int main(int count, char **arguments) {
    if (count != 3) return 2;
    Arena *arena = arena_new();
    const char *bytes;
    size_t size;
    const Pixels *pixels = NULL;
    if (file_read(arena, arguments[1], (size_t)1 << 30, &bytes, &size).status != FILE_OK) return 3;
    const unsigned char *file = (const unsigned char *)bytes;
    const ImageHead head = image_head(file, size);
    ImageFault fault = head.fault;
    if (!fault) fault = image_to_pixels(arena, file, size, &head, atoi(arguments[2]), &pixels);
    if (fault) {
        fprintf(stderr, "%s: fault %d\n", arguments[1], (int)fault);
        return 1;
    }
    printf("%d %d\n", pixels->wide_px, pixels->tall_px);
    for (size_t i = 0; i < (size_t)pixels->wide_px * (size_t)pixels->tall_px; i++) {
        for (int shift = 16; shift >= 0; shift -= 8)
            putchar((int)(pixels->argb[i] >> shift & 0xFF));
    }
    arena_free(arena);
    return 0;
}
