/* Letters with marks, taken apart: what a maker's names need to be lettered and to be written in plain ASCII.
 */
#ifndef GROUNDROW_LATIN_H
#define GROUNDROW_LATIN_H

#include "base/arena.h"

#include <stdint.h>

typedef enum LatinMark {
    MARK_NONE,
    MARK_GRAVE,
    MARK_ACUTE,
    MARK_CIRCUMFLEX,
    MARK_TILDE,
    MARK_DIAERESIS,
    MARK_RING,
    MARK_CARON,
    MARK_MACRON,
    MARK_BREVE,
    MARK_DOT,
    MARK_DOUBLE_ACUTE,
    MARK_CEDILLA,
    MARK_OGONEK,
    MARK_STROKE,
    MARK_COUNT
} LatinMark;

/* The ASCII letters under a code point of Latin (`e` under e acute, `ss` under sharp s), and its mark; an
 * ASCII sign is itself. "" when there is none. */
const char *latin_base(uint32_t code_point, LatinMark *mark, char base[3]);

/* A name in `[A-Za-z0-9_-]` alone: blanks become `_`, Latin letters lose their marks, any other sign is `u`
 * and its code point in hex. "" becomes `_`. */
const char *latin_plain_name(Arena *arena, const char *name);

#endif
