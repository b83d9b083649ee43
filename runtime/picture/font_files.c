/* DejaVu fonts 2.37, as Debian's fonts-dejavu-core installs them, put into the program whole. They are free
 * to embed and to hand on (Bitstream Vera's licence; DejaVu's own changes are in the public domain): see
 * docs/pictures.md. */
#include "picture/font.h"

#include <assert.h>

#define EMBED(name, path)                                                                                    \
    __asm__(".section .rodata\n"                                                                             \
            ".balign 16\n"                                                                                   \
            ".globl " #name "_start\n" #name "_start:\n"                                                     \
            ".incbin \"" path "\"\n"                                                                         \
            ".globl " #name "_end\n" #name "_end:\n"                                                         \
            ".byte 0\n"                                                                                      \
            ".previous\n");                                                                                  \
    extern const unsigned char name##_start[], name##_end[]

EMBED(groundrow_plain_font, FONT_FOLDER "/DejaVuSans.ttf");
EMBED(groundrow_bold_font, FONT_FOLDER "/DejaVuSans-Bold.ttf");

const unsigned char *font_file(FontFace face, size_t *count) {
    assert(face == FACE_PLAIN || face == FACE_BOLD);
    if (face == FACE_PLAIN) {
        *count = (size_t)(groundrow_plain_font_end - groundrow_plain_font_start);
        return groundrow_plain_font_start;
    }
    *count = (size_t)(groundrow_bold_font_end - groundrow_bold_font_start);
    return groundrow_bold_font_start;
}
