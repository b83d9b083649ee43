/* A book's folder: book.yaml and the scenes beside it, in natural order of their names. */
#ifndef GROUNDROW_BOOK_H
#define GROUNDROW_BOOK_H

#include "base/diagnostic.h"
#include "tree.h"

enum { SCENES_MOST = 10000 };

typedef struct BookScene {
    const char *name; /* the file's name without `.yaml`: `08-fog` */
    uint32_t file;    /* in the book's sources: 1 and on, in the book's order */
    size_t turn;      /* in the order in which sets are built, from 0 */
} BookScene;

typedef struct Book {
    Arena *arena;
    const char *folder; /* as it was named, for messages */
    const Tree *tree;   /* of book.yaml; NULL when it cannot be read, and then a fault says why */
    bool faulty;        /* it has faults of its own: nothing is written, its scenes are read all the same */
    BookScene *scenes;
    size_t scene_count;
    Sources sources;         /* book.yaml, then a scene each, those not yet read without a text */
    Diagnostics diagnostics; /* about the folder and book.yaml */
    const char *trouble;     /* what the machine refused, or NULL */
} Book;

/* Lists the folder and reads book.yaml; no scene is read. */
Book *book_new(Arena *arena, const char *folder);

/* Reads one scene's text into book->sources, from `arena`; scenes may be read side by side. False: what
 * cannot be read is in `*trouble`, and what is too large a file in `diagnostics`. */
bool book_read_scene(const Book *book, const BookScene *scene, Arena *arena, Diagnostics *diagnostics,
                     const char **trouble);

/* The scene of this name, or NULL. */
const BookScene *book_find(const Book *book, const char *name);
/* The name of a scene nearest to `name`, for help, or NULL. */
const char *book_near_name(const Book *book, const char *name);

#endif
