#define _XOPEN_SOURCE 700 /* realpath */

#include "base/files.h"

#include "base/text.h"

#include <assert.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

static FileResult done(void) {
    return (FileResult){.status = FILE_OK};
}

static FileResult refused(FileStatus status, const char *reason) {
    FileResult result = {.status = status};
    snprintf(result.reason, sizeof result.reason, "%s", reason);
    return result;
}

/* What the system said, `errno` being still its word. */
static FileResult system_refused(int error) {
    FileResult result = {.status = error == ENOENT ? FILE_MISSING : FILE_TROUBLE};
    if (strerror_r(error, result.reason, sizeof result.reason) != 0)
        snprintf(result.reason, sizeof result.reason, "error %d", error);
    return result;
}

/* ---- Reading */

/* Opens without waiting for the other end of a pipe, and tells whether it is a regular file. */
static FileResult open_regular(const char *path, int *descriptor, struct stat *about) {
    *descriptor = open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    if (*descriptor < 0) return system_refused(errno);
    if (fstat(*descriptor, about) != 0) {
        const int error = errno;
        close(*descriptor);
        return system_refused(error);
    }
    if (!S_ISREG(about->st_mode)) {
        close(*descriptor);
        return refused(FILE_WRONG_KIND, "not a regular file");
    }
    return done();
}

/* Reads until `count` bytes or the end; bytes read, or -1. */
static ssize_t read_fully(int descriptor, char *bytes, size_t count) {
    size_t have = 0;
    while (have < count) {
        const ssize_t more = read(descriptor, bytes + have, count - have);
        if (more == 0) break;
        if (more < 0 && errno != EINTR) return -1;
        if (more > 0) have += (size_t)more;
    }
    return (ssize_t)have;
}

static FileResult too_large(size_t most) {
    FileResult result = {.status = FILE_TOO_LARGE};
    snprintf(result.reason, sizeof result.reason, "larger than %zu bytes", most);
    return result;
}

FileResult file_read(Arena *arena, const char *path, size_t most, const char **bytes, size_t *count) {
    *bytes = NULL;
    *count = 0;
    int descriptor;
    struct stat about;
    const FileResult opened = open_regular(path, &descriptor, &about);
    if (opened.status != FILE_OK) return opened;
    /* One byte more than its size: some files say 0 and hold more, and any may grow meanwhile. */
    size_t room = about.st_size > 0 && (uintmax_t)about.st_size < most ? (size_t)about.st_size + 1 : most + 1;
    if (about.st_size == 0 && room > 65536) room = 65536;
    if ((uintmax_t)about.st_size > most) {
        close(descriptor);
        return too_large(most);
    }
    char *read_bytes = arena_alloc(arena, room + 1);
    const ssize_t have = read_fully(descriptor, read_bytes, room);
    const int error = errno;
    close(descriptor);
    if (have < 0) return system_refused(error);
    if ((size_t)have > most) return too_large(most);
    if ((size_t)have == room) return refused(FILE_TROUBLE, "the file grew while it was read");
    read_bytes[have] = '\0';
    *bytes = read_bytes;
    *count = (size_t)have;
    return done();
}

static int compare_names(const void *a, const void *b) {
    return text_natural_compare(*(const char *const *)a, *(const char *const *)b);
}

FileResult folder_list(Arena *arena, const char *path, const char *const **names, size_t *count) {
    *names = NULL;
    *count = 0;
    DIR *folder = opendir(path);
    if (!folder) return errno == ENOTDIR ? refused(FILE_WRONG_KIND, "not a folder") : system_refused(errno);
    LIST(const char *) found = {0};
    for (;;) {
        errno = 0;
        const struct dirent *entry = readdir(folder);
        if (!entry) break;
        if (!text_equal(entry->d_name, ".") && !text_equal(entry->d_name, ".."))
            LIST_PUSH(arena, found, arena_string(arena, entry->d_name));
    }
    const int error = errno;
    closedir(folder);
    if (error != 0) return system_refused(error);
    if (found.count > 1) qsort(found.items, found.count, sizeof *found.items, compare_names);
    *names = found.items;
    *count = found.count;
    return done();
}

bool file_exists(const char *path) {
    struct stat about;
    return stat(path, &about) == 0 && S_ISREG(about.st_mode);
}

bool folder_exists(const char *path) {
    struct stat about;
    return stat(path, &about) == 0 && S_ISDIR(about.st_mode);
}

/* ---- Temporary files that a signal must remove. The only state of the program that is not passed along: a
 * signal's handler can be given nothing. */

enum { TEMP_FREE = 0, TEMP_TAKEN, TEMP_CREATING, TEMP_LIVE };

typedef struct TempName {
    atomic_int state;
    struct TempName *next; /* never changes once the name is in the chain, and no name ever leaves it */
    char path[PATH_MAX];
} TempName;

static _Atomic(TempName *) temps;
static atomic_bool dying;
static atomic_uint temp_number;

/* Waits, two seconds at most, until no other thread is about to create its file: from then on none does,
 * because `dying` is set. This thread itself creates none: it holds signals back meanwhile. */
static void wait_while_creating(const TempName *temp) {
    const struct timespec millisecond = {.tv_nsec = 1000000};
    for (int i = 0; i < 2000 && atomic_load(&temp->state) == TEMP_CREATING; i++)
        nanosleep(&millisecond, NULL);
}

static void remove_temps_and_die(int number) {
    atomic_store(&dying, true);
    for (TempName *temp = atomic_load(&temps); temp; temp = temp->next) {
        wait_while_creating(temp);
        if (atomic_load(&temp->state) == TEMP_LIVE) unlink(temp->path);
    }
    /* The old action is back and the signal not held (SA_RESETHAND, SA_NODEFER): this ends the process. */
    raise(number);
}

static const int deadly[] = {SIGINT, SIGTERM, SIGHUP};
enum { DEADLY_COUNT = sizeof deadly / sizeof *deadly };

void files_guard_signals(void) {
    for (size_t i = 0; i < DEADLY_COUNT; i++) {
        struct sigaction old;
        if (sigaction(deadly[i], NULL, &old) == 0 && old.sa_handler == SIG_IGN) continue;
        struct sigaction action = {.sa_handler = remove_temps_and_die, .sa_flags = SA_NODEFER};
        action.sa_flags |= (int)SA_RESETHAND;
        sigemptyset(&action.sa_mask);
        sigaction(deadly[i], &action, NULL);
    }
    signal(SIGXFSZ, SIG_IGN);
}

/* A place for one more name: a free one, or a new one at the head of the chain; NULL without memory. */
static TempName *temp_take(void) {
    for (TempName *temp = atomic_load(&temps); temp; temp = temp->next) {
        int state = TEMP_FREE;
        if (atomic_compare_exchange_strong(&temp->state, &state, TEMP_TAKEN)) return temp;
    }
    TempName *temp = malloc(sizeof *temp);
    if (!temp) return NULL;
    atomic_init(&temp->state, TEMP_TAKEN);
    temp->next = atomic_load(&temps);
    while (!atomic_compare_exchange_weak(&temps, &temp->next, temp))
        continue;
    return temp;
}

static void temp_free(TempName *temp) {
    atomic_store(&temp->state, TEMP_FREE);
}

/* Names a new file beside `path`; false when the name would be too long. */
static bool temp_name(TempName *temp, const char *path) {
    const char *slash = strrchr(path, '/');
    const int folder = slash ? (int)(slash - path) + 1 : 0;
    const unsigned number = atomic_fetch_add(&temp_number, 1);
    const int length = snprintf(temp->path, sizeof temp->path, "%.*s.groundrow-%lx-%x.tmp", folder, path,
                                (unsigned long)getpid(), number);
    return length > 0 && (size_t)length < sizeof temp->path;
}

/* Creates the file unless the process is dying, so that no moment is unguarded. The descriptor, or -1 with
 * errno. */
static int temp_open(TempName *temp) {
    sigset_t hold, old;
    sigemptyset(&hold);
    for (size_t i = 0; i < DEADLY_COUNT; i++)
        sigaddset(&hold, deadly[i]);
    pthread_sigmask(SIG_BLOCK, &hold, &old);
    atomic_store(&temp->state, TEMP_CREATING);
    int descriptor = -1, error = EINTR;
    if (!atomic_load(&dying)) {
        descriptor = open(temp->path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        error = errno;
    }
    atomic_store(&temp->state, descriptor >= 0 ? TEMP_LIVE : TEMP_TAKEN);
    pthread_sigmask(SIG_SETMASK, &old, NULL);
    errno = error;
    return descriptor;
}

static int temp_create(TempName *temp, const char *path) {
    enum { TRIES_MOST = 1000 }; /* an earlier process of this number may have left some behind */
    for (int tries = 0; tries < TRIES_MOST; tries++) {
        if (!temp_name(temp, path)) {
            errno = ENAMETOOLONG;
            return -1;
        }
        const int descriptor = temp_open(temp);
        if (descriptor >= 0 || errno != EEXIST) return descriptor;
    }
    return -1;
}

/* ---- Writing */

FileResult descriptor_write(int descriptor, const void *bytes, size_t count) {
    const char *next = bytes;
    while (count > 0) {
        const ssize_t written = write(descriptor, next, count);
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) return system_refused(errno);
        next += written;
        count -= (size_t)written;
    }
    return done();
}

/* Whether the file holds exactly these bytes. */
static bool holds(int descriptor, const struct stat *about, const char *bytes, size_t count) {
    if ((uintmax_t)about->st_size != count) return false;
    char part[65536];
    for (size_t at = 0; at < count;) {
        const size_t wanted = count - at < sizeof part ? count - at : sizeof part;
        if (read_fully(descriptor, part, wanted) != (ssize_t)wanted || memcmp(part, bytes + at, wanted) != 0)
            return false;
        at += wanted;
    }
    return true;
}

/* The bytes in a new file beside `path`; on failure none is left. */
static FileResult write_beside(TempName *temp, const char *path, const void *bytes, size_t count) {
    const int descriptor = temp_create(temp, path);
    if (descriptor < 0) return system_refused(errno);
    FileResult result = descriptor_write(descriptor, bytes, count);
    /* A disk may keep its bad news until the file is closed. */
    if (close(descriptor) != 0 && errno != EINTR && result.status == FILE_OK) result = system_refused(errno);
    if (result.status != FILE_OK) unlink(temp->path);
    return result;
}

/* Whether the file holds the bytes already; FILE_WRONG_KIND where none can take this name. */
static FileResult compare_file(const char *path, const void *bytes, size_t count, bool *same) {
    int descriptor;
    struct stat about;
    *same = false;
    const FileResult opened = open_regular(path, &descriptor, &about);
    if (opened.status == FILE_WRONG_KIND) return opened;
    if (opened.status == FILE_OK) {
        *same = holds(descriptor, &about, bytes, count);
        close(descriptor);
    }
    return done();
}

static FileResult prepare(FileToWrite *file) {
    bool same;
    FileResult result = compare_file(file->path, file->bytes, file->count, &same);
    if (result.status != FILE_OK || same) return result;
    TempName *taken = temp_take();
    if (!taken) return system_refused(ENOMEM);
    result = write_beside(taken, file->path, file->bytes, file->count);
    if (result.status == FILE_OK)
        file->beside = taken;
    else
        temp_free(taken);
    return result;
}

static void forget_beside(FileToWrite *file) {
    temp_free(file->beside);
    file->beside = NULL;
}

FileResult files_write_if_changed(FileToWrite *files, size_t count, size_t *failed) {
    FileResult result = done();
    for (size_t i = 0; i < count; i++) {
        files[i].changed = false;
        files[i].beside = NULL;
    }
    for (size_t i = 0; i < count && result.status == FILE_OK; i++) {
        result = prepare(&files[i]);
        *failed = i;
    }
    for (size_t i = 0; i < count && result.status == FILE_OK; i++) {
        if (!files[i].beside) continue;
        if (rename(files[i].beside->path, files[i].path) != 0) {
            result = system_refused(errno);
            *failed = i;
            break;
        }
        forget_beside(&files[i]);
        files[i].changed = true;
    }
    for (size_t i = 0; i < count; i++) {
        if (!files[i].beside) continue;
        unlink(files[i].beside->path);
        forget_beside(&files[i]);
    }
    /* The file itself need not be there: what is missing is its folder. */
    if (result.status == FILE_MISSING) result.status = FILE_TROUBLE;
    return result;
}

FileResult file_write_if_changed(const char *path, const void *bytes, size_t count, bool *changed) {
    FileToWrite file = {.path = path, .bytes = bytes, .count = count};
    size_t failed;
    const FileResult result = files_write_if_changed(&file, 1, &failed);
    if (changed) *changed = file.changed;
    return result;
}

FileResult file_remove(const char *path) {
    return unlink(path) == 0 ? done() : system_refused(errno);
}

static FileResult make_one(const char *path) {
    if (mkdir(path, 0777) == 0) return done();
    const int error = errno;
    if (folder_exists(path)) return done();
    return error == EEXIST || error == ENOTDIR
               ? refused(FILE_WRONG_KIND, "a file stands where a folder is wanted")
               : system_refused(error);
}

FileResult folder_make(Arena *arena, const char *path) {
    char *part = arena_string(arena, path);
    for (size_t i = 1; part[i - 1] != '\0' && part[i] != '\0'; i++) {
        if (part[i] != '/' || part[i - 1] == '/') continue;
        part[i] = '\0';
        const FileResult result = make_one(part);
        if (result.status != FILE_OK) return result;
        part[i] = '/';
    }
    return make_one(path);
}

/* ---- Paths */

const char *path_join(Arena *arena, const char *folder, const char *name) {
    if (folder[0] == '\0') return arena_string(arena, name);
    return arena_format(arena, text_ends(folder, "/") ? "%s%s" : "%s/%s", folder, name);
}

/* Whether the parts of a relative path lead above where it starts, whatever is there. */
static bool leads_out(const char *relative) {
    if (relative[0] == '/' || relative[0] == '\0') return true;
    int depth = 0;
    for (const char *part = relative; *part && depth >= 0;) {
        const size_t length = strcspn(part, "/");
        if (length == 2 && part[0] == '.' && part[1] == '.')
            depth--;
        else if (length > 0 && !(length == 1 && part[0] == '.'))
            depth++;
        part += length;
        part += *part == '/';
    }
    return depth < 0;
}

/* The path without links and dots, or NULL with the system's reason in errno. */
static const char *real_path(Arena *arena, const char *path) {
    char *real = realpath(path, NULL);
    if (!real) return NULL;
    const char *copy = arena_string(arena, real);
    free(real);
    return copy;
}

FileResult path_inside(Arena *arena, const char *folder, const char *relative, const char **path) {
    *path = NULL;
    if (leads_out(relative)) return refused(FILE_OUTSIDE, "lies outside the folder");
    const char *joined = path_join(arena, folder, relative);
    const char *real_folder = real_path(arena, folder[0] ? folder : ".");
    if (!real_folder) return system_refused(errno);
    const char *real = real_path(arena, joined);
    if (!real)
        return errno == ENOTDIR ? refused(FILE_MISSING, "No such file or directory") : system_refused(errno);
    const size_t length = strcmp(real_folder, "/") == 0 ? 0 : strlen(real_folder);
    if (strncmp(real, real_folder, length) != 0 || real[length] != '/')
        return refused(FILE_OUTSIDE, "leads outside the folder by a link");
    *path = joined;
    return done();
}
