/* The output folder: what a scene leaves there, and what earlier runs left for scenes that are gone. */
#ifndef GROUNDROW_OUTPUTS_H
#define GROUNDROW_OUTPUTS_H

#include "base/diagnostic.h"
#include "book.h"

typedef struct OutputFile {
    const char *ending; /* `.notes.glb` */
    const void *bytes;
    size_t count;
} OutputFile;

/* Where a book's outputs go unless said otherwise: `output` beside its folder. */
const char *outputs_default_folder(Arena *arena, const char *book_folder);

/* Gives each file `folder/name` + ending its bytes, all of them or none: what is unchanged is left alone, the
 * others are first written beside their places and then take their names. `*said` is `output/08-fog.glb,
 * .txt`, the changed ones, or NULL when none is. False: `*trouble` says what the machine refused. */
bool outputs_write(Arena *arena, const char *folder, const char *name, const OutputFile *files, size_t count,
                   const char **said, const char **trouble);

/* What earlier runs left in the folder for scenes that the book no longer has. Only files that show they are
 * the program's own: a report by its first line, models and data by what they say of their maker. */
typedef struct StaleScene {
    const char *name;
    const char *endings[4];
    size_t count;
} StaleScene;
/* Nothing in a folder that is not there. */
const StaleScene *outputs_find_stale(Arena *arena, const char *folder, const Book *book, size_t *count);
/* `output/09-old.glb`, or `output/09-old.* (4 files)`. */
const char *stale_shown(Arena *arena, const char *folder, const StaleScene *stale);
/* Deletes them. */
bool outputs_prune(Arena *arena, const char *folder, const StaleScene *stale, const char **trouble);

#endif
