/* The output folder: what a scene leaves there, and what earlier runs left for scenes that are gone. */
#ifndef GROUNDROW_OUTPUTS_H
#define GROUNDROW_OUTPUTS_H

#include "base/diagnostic.h"
#include "book.h"
#include "output_kinds.h"
#include "picture/plan_to_patterns.h"
#include "picture/set_to_pictures.h"
#include "report/summaries_to_page.h"

/* A file of a scene: its name is the scene's and the ending. */
typedef struct OutputFile {
    OutputKind kind;
    const char *ending; /* `.notes.glb` */
    Buffer bytes;
} OutputFile;

typedef LIST(OutputFile) OutputFiles;

/* Where the bytes of one more file go; holds until the next is added. */
Buffer *output_add(Arena *arena, OutputFiles *files, OutputKind kind, const char *ending);
/* Each picture, with what it shows in its words. */
void outputs_add(Arena *arena, OutputFiles *files, Pictures pictures);
/* Where there are any. */
void outputs_add_patterns(Arena *arena, OutputFiles *files, PatternFiles patterns);

/* The PDF of the shop sheets. */
void outputs_add_sheets(Arena *arena, OutputFiles *files, Buffer pdf);

/* Which patterns of a scene lie in the folder, made by an earlier run: they are kept up to date. */
OutputKinds outputs_patterns_there(const char *folder, const char *name);

/* Where a book's outputs go unless said otherwise: `output` beside its folder. */
const char *outputs_default_folder(Arena *arena, const char *book_folder);

/* Gives each file `folder/name` + ending its bytes, all of them or none: what is unchanged is left alone, the
 * others are first written beside their places and then take their names. `*said` is `output/08-fog.glb,
 * .txt`, the changed ones, or NULL when none is. False: `*trouble` says what the machine refused. */
bool outputs_write(Arena *arena, const char *folder, const char *name, const OutputFiles *files,
                   const char **said, const char **trouble);

/* What earlier runs left in the folder and no run makes any more. Only files that show they are the program's
 * own: a report by its first line, models, data, pictures and sheets by what they say of their maker. */
typedef struct StaleFiles {
    const char *name; /* of the scene */
    bool scene_gone;  /* else the scene is there, and makes other files now */
    LIST(const char *) endings;
} StaleFiles;

/* The pictures and patterns that this run made of a scene: others of it, of the kinds that it made, are
 * stale. */
typedef struct MadeFiles {
    const char *scene;
    OutputKinds kinds;
    LIST(const char *) endings;
} MadeFiles;

/* Nothing in a folder that is not there. Of a scene that is in the book and not in `made` nothing is. */
const StaleFiles *outputs_find_stale(Arena *arena, const char *folder, const Book *book,
                                     const MadeFiles *made, size_t made_count, size_t *count);
/* `output/09-old.glb`, or `output/09-old.* (4 files)`. */
const char *stale_shown(Arena *arena, const char *folder, const StaleFiles *stale);
/* Deletes them. */
bool outputs_prune(Arena *arena, const char *folder, const StaleFiles *stale, const char **trouble);

/* What lies in the folder, whoever made it. */
typedef struct OutputFolder {
    const char *path;
    const char **files; /* by their bytes */
    size_t count;
} OutputFolder;
OutputFolder outputs_list(Arena *arena, const char *folder);

/* What there is of a scene, for the book's page: all of it but its summary. Of pictures only the program's
 * own; `made` is NULL where this run made none. `data` says whether data of a report counts. */
PageScene outputs_of_scene(Arena *arena, const OutputFolder *folder, const char *name, const MadeFiles *made,
                           bool data);

#endif
