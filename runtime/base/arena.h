/* One region of memory for one compilation: everything is handed out from it, nothing is given back
 * singly, and all of it goes at once. A scene has its own arena, so scenes can be compiled side by side.
 *
 * Out of memory is the machine's fault and has one policy: a line on standard error and exit code 3. No
 * caller checks for NULL. Built with -DARENA_MALLOC_EACH, every piece is a malloc of its own, so that a
 * sanitizer or valgrind sees each one's bounds. */
#ifndef GROUNDROW_ARENA_H
#define GROUNDROW_ARENA_H

#include <stdarg.h>
#include <stddef.h>

typedef struct Arena Arena;

Arena *arena_new(void);
void arena_free(Arena *arena); /* NULL is allowed */

/* Zeroed memory, aligned for any type; a size of 0 gives a valid pointer. */
void *arena_alloc(Arena *arena, size_t bytes);

/* A copy with a NUL behind it. */
char *arena_copy(Arena *arena, const char *bytes, size_t count);
char *arena_string(Arena *arena, const char *text);

/* Text by a printf format. Only %s, %d, %zu, %c and %.*s: numbers with a point go through number.h, which
 * no locale can change. */
char *arena_format(Arena *arena, const char *format, ...) __attribute__((format(printf, 2, 3)));
char *arena_vformat(Arena *arena, const char *format, va_list arguments);

#define ARENA_NEW(arena, Type) ((Type *)arena_alloc((arena), sizeof(Type)))
#define ARENA_ARRAY(arena, Type, count) ((Type *)arena_alloc((arena), sizeof(Type) * (size_t)(count)))

/* A growing list in an arena: `LIST(Thing) things = {0}; LIST_PUSH(arena, things, thing);`. Pointers into
 * `items` hold until the next push. */
#define LIST(Type)                                                                                           \
    struct {                                                                                                 \
        Type *items;                                                                                         \
        size_t count, capacity;                                                                              \
    }
void *arena_grow(Arena *arena, void *items, size_t item_bytes, size_t count, size_t *capacity);
#define LIST_PUSH(arena, list, ...)                                                                          \
    ((list).count == (list).capacity                                                                         \
         ? (void)((list).items = arena_grow((arena), (list).items, sizeof *(list).items, (list).count,       \
                                            &(list).capacity))                                               \
         : (void)0,                                                                                          \
     (void)((list).items[(list).count++] = __VA_ARGS__))

#endif
