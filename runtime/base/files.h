/* The rim's work with files. Nothing here exits or prints: what the machine refuses comes back as a status
 * with the system's own words. Paths are the system's bytes, relative ones to the working folder, which must
 * not change while a file is being written. */
#ifndef GROUNDROW_FILES_H
#define GROUNDROW_FILES_H

#include "base/arena.h"

#include <stdbool.h>

typedef enum FileStatus {
    FILE_OK,
    FILE_MISSING,    /* there is nothing under this path */
    FILE_WRONG_KIND, /* a folder, pipe or device where a file is wanted, a file where a folder is wanted */
    FILE_TOO_LARGE,  /* over the limit that the caller gave */
    FILE_OUTSIDE,    /* leads out of the folder that it must stay in */
    FILE_TROUBLE     /* the machine's fault: no permission, a full disk, a failing one */
} FileStatus;

typedef struct FileResult {
    FileStatus status;
    char reason[96]; /* why, for a message: "Permission denied"; "" with FILE_OK */
} FileResult;

/* Reads a whole regular file of at most `most` bytes; a NUL stands behind the last byte. Never waits for a
 * pipe.
 * `*bytes` is NULL and `*count` 0 unless FILE_OK. */
FileResult file_read(Arena *arena, const char *path, size_t most, const char **bytes, size_t *count);

/* Names of everything in a folder but `.` and `..`, in natural order (text_natural_compare). None unless
 * FILE_OK. */
FileResult folder_list(Arena *arena, const char *path, const char *const **names, size_t *count);

/* Makes a folder and what is missing above it; one that is there already is fine. */
FileResult folder_make(Arena *arena, const char *path);

/* Gives `path` these bytes. A file that holds them already is left untouched (`*changed` false). Otherwise
 * they go to a new file beside it, `.groundrow-*.tmp`, which then takes the name in one step: a reader sees
 * the old bytes or the new ones, and on any failure the old file stays and the new one is removed. A link is
 * followed for comparing and replaced by writing. `changed` may be NULL. */
FileResult file_write_if_changed(const char *path, const void *bytes, size_t count, bool *changed);

/* The same for several files, all or none: every one is written beside its place before the first takes its
 * name. `changed` tells which were; where it fails, `*failed` is the index of the file that could not be
 * written. */
typedef struct FileToWrite {
    const char *path;
    const void *bytes;
    size_t count;
    bool changed;
    struct TempName *beside; /* while it is written; of files.c alone */
} FileToWrite;
FileResult files_write_if_changed(FileToWrite *files, size_t count, size_t *failed);

/* Writes to an open descriptor, such as standard output, all of it. */
FileResult descriptor_write(int descriptor, const void *bytes, size_t count);

/* Removes one file (no folder). One that is missing is FILE_MISSING. */
FileResult file_remove(const char *path);

bool file_exists(const char *path);   /* a regular file, or a link to one */
bool folder_exists(const char *path); /* a folder, or a link to one */

/* `folder/name`, without a second `/`; an empty folder is the working folder, `name` alone. */
const char *path_join(Arena *arena, const char *folder, const char *name);

/* The way to a file that a spec names, which must be relative and stay in `folder`, links followed. `*path`
 * is `folder/relative` as messages and depfiles show it, NULL unless FILE_OK. FILE_MISSING when there is
 * nothing. */
FileResult path_inside(Arena *arena, const char *folder, const char *relative, const char **path);

/* Once at the start of the program: on SIGINT, SIGTERM and SIGHUP the temporary files that are being written
 * go away and the process dies by the signal (an ignored signal stays ignored); a file-size limit becomes an
 * error of writing instead of a death. Works with any number of threads. */
void files_guard_signals(void);

#endif
