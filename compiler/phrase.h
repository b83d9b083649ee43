/* How messages speak of a place in a spec: "`tall` of piece `post`". */
#ifndef GROUNDROW_PHRASE_H
#define GROUNDROW_PHRASE_H

#include "base/arena.h"

#include <stdbool.h>

/* The phrase of a path of words from the root of a file, for "unknown unit `inn` in ...":
 *
 *     pieces, pier, wide       `wide` of piece `pier`           (what `at` says needs no `at`)
 *     heron under puppets      puppet `heron`
 *     camera                   the camera
 *     camera, height           `height` of the camera
 *     mark, drawn, tall        `tall` in `drawn` of the mark
 *     allow, lens              `lens` of what is allowed
 *     shots, close, camera, lens     `lens` of the camera of shot `close`
 *     every scene, ground, rear      `rear` of the ground of every scene
 *     scene                    `scene`
 *     (nothing)                the file
 *
 * Words are cut as by phrase_short. */
const char *phrase_of_path(Arena *arena, const char *const *words, size_t count);

/* Whether `word`, at the top of a scene or a book, holds a table of things that the maker names (`pieces`).
 */
bool phrase_is_named_section(const char *word);
/* Whether `word` always holds a table: a section, or one of those inside a thing (`at`, `drawn`, `row`). */
bool phrase_is_table(const char *word);

/* A maker's text for quoting in a message: over 60 code points, the first 57 and `...`. `text` is UTF-8. */
const char *phrase_short(Arena *arena, const char *text);

#endif
