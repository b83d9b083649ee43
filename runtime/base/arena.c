#include "base/arena.h"

#include <assert.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Blocks double from the first: a scene of which little is kept keeps little. */
enum { FIRST_BLOCK_BYTES = 4 * 1024, BLOCK_BYTES = 64 * 1024 };

typedef struct Block {
    struct Block *next;
    size_t used, size;
    _Alignas(max_align_t) unsigned char bytes[];
} Block;

struct Arena {
    Block *blocks;
};

static _Noreturn void out_of_memory(void) {
    fputs("groundrow: out of memory\n", stderr);
    exit(3);
}

static Block *block_new(size_t size, Block *next) {
    if (size > SIZE_MAX - sizeof(Block))
        out_of_memory();
    Block *block = calloc(1, sizeof(Block) + size);
    if (!block)
        out_of_memory();
    block->next = next;
    block->size = size;
    return block;
}

Arena *arena_new(void) {
    Arena *arena = calloc(1, sizeof(Arena));
    if (!arena)
        out_of_memory();
    return arena;
}

void arena_free(Arena *arena) {
    if (!arena)
        return;
    for (Block *block = arena->blocks, *next; block; block = next) {
        next = block->next;
        free(block);
    }
    free(arena);
}

void *arena_alloc(Arena *arena, size_t bytes) {
    const size_t align = _Alignof(max_align_t);
    if (bytes > SIZE_MAX - align)
        out_of_memory();
    const size_t size = bytes == 0 ? align : (bytes + align - 1) / align * align;
#ifdef ARENA_MALLOC_EACH
    arena->blocks = block_new(size, arena->blocks);
    return arena->blocks->bytes;
#else
    Block *top = arena->blocks;
    if (!top || top->size - top->used < size) {
        if (top && size > BLOCK_BYTES / 4) { /* a large piece gets its own block behind the current one */
            top->next = block_new(size, top->next);
            top->next->used = size;
            return top->next->bytes;
        }
        size_t room = !top ? FIRST_BLOCK_BYTES : top->size < BLOCK_BYTES / 2 ? 2 * top->size : BLOCK_BYTES;
        if (room < size) room = size;
        top = arena->blocks = block_new(room, top);
    }
    void *piece = top->bytes + top->used;
    top->used += size;
    return piece;
#endif
}

char *arena_copy(Arena *arena, const char *bytes, size_t count) {
    char *copy = arena_alloc(arena, count + 1);
    if (count > 0)
        memcpy(copy, bytes, count);
    copy[count] = '\0';
    return copy;
}

char *arena_string(Arena *arena, const char *text) {
    return arena_copy(arena, text, strlen(text));
}

char *arena_vformat(Arena *arena, const char *format, va_list arguments) {
    va_list again;
    va_copy(again, arguments);
    const int count = vsnprintf(NULL, 0, format, arguments);
    assert(count >= 0);
    char *text = arena_alloc(arena, (size_t)count + 1);
    vsnprintf(text, (size_t)count + 1, format, again);
    va_end(again);
    return text;
}

char *arena_format(Arena *arena, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    char *text = arena_vformat(arena, format, arguments);
    va_end(arguments);
    return text;
}

void *arena_grow(Arena *arena, void *items, size_t item_bytes, size_t count, size_t *capacity) {
    const size_t wanted = *capacity == 0 ? 8 : *capacity * 2;
    if (wanted > SIZE_MAX / item_bytes)
        out_of_memory();
    void *larger = arena_alloc(arena, wanted * item_bytes);
    if (count > 0)
        memcpy(larger, items, count * item_bytes);
    *capacity = wanted;
    return larger;
}
