/* Text that grows in an arena, and the few things the language needs to know about UTF-8. */
#ifndef GROUNDROW_TEXT_H
#define GROUNDROW_TEXT_H

#include "base/arena.h"

#include <stdbool.h>
#include <stdint.h>

/* `bytes` always ends in NUL and belongs to the arena; NULL until something is added. */
typedef struct Buffer {
    Arena *arena;
    char *bytes;
    size_t count, capacity;
} Buffer;

Buffer buffer_new(Arena *arena);
void buffer_add(Buffer *buffer, const char *text);
void buffer_add_bytes(Buffer *buffer, const void *bytes, size_t count); /* any bytes, NUL too */
void buffer_add_char(Buffer *buffer, char character);
void buffer_format(Buffer *buffer, const char *format, ...) __attribute__((format(printf, 2, 3)));
const char *buffer_text(const Buffer *buffer); /* "" when nothing was added */

bool text_equal(const char *a, const char *b);
bool text_starts(const char *text, const char *start);
bool text_ends(const char *text, const char *end);

/* Code points in `count` bytes of valid UTF-8. */
size_t utf8_length(const char *bytes, size_t count);
/* Byte offset of code point number `index`, or `count` when there are fewer. */
size_t utf8_offset(const char *bytes, size_t count, size_t index);
/* Decodes one code point; returns its bytes (1 to 4), or 0 when what stands there is no UTF-8
 * (overlong forms, surrogates and values past U+10FFFF included). */
size_t utf8_decode(const char *bytes, size_t count, uint32_t *code_point);

/* Natural order of names: runs of digits compare as numbers (`2-ferry` before `10-fog`), ties by bytes. */
int text_natural_compare(const char *a, const char *b);

/* The nearest of `count` words to `word`: a Damerau distance (neighbouring letters swapped count one) of at
 * most a third of the longer word and at least 1, or a prefix of three or more letters that only one word has.
 * NULL when there is none, or when two are as near. */
const char *text_nearest(const char *word, const char *const *words, size_t count);

/* A name for files: in small letters, `-` for what is neither letter, digit nor `_` of ASCII. */
const char *text_for_files(Arena *arena, const char *name);

#endif
