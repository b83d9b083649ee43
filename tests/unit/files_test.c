#define _XOPEN_SOURCE 700
#include "base/files.h"
#include "base/text.h"

#include <criterion/criterion.h>
#include <fcntl.h>
#include <ftw.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static Arena *arena;
static char folder[64];

static int remove_one(const char *path, const struct stat *about, int kind, struct FTW *walk) {
    (void)about, (void)kind, (void)walk;
    return remove(path);
}

static void set_up(void) {
    arena = arena_new();
    strcpy(folder, "/tmp/files-test-XXXXXX");
    cr_assert_not_null(mkdtemp(folder));
}

static void tear_down(void) {
    chmod(folder, 0700);
    nftw(folder, remove_one, 16, FTW_DEPTH | FTW_PHYS);
    arena_free(arena);
}

TestSuite(files, .init = set_up, .fini = tear_down, .timeout = 60);

static const char *in(const char *name) {
    return path_join(arena, folder, name);
}

static void put(const char *name, const char *text) {
    bool changed;
    cr_assert_eq(file_write_if_changed(in(name), text, strlen(text), &changed).status, FILE_OK);
}

static FileStatus reading(const char *path, size_t most, const char **bytes, size_t *count) {
    const FileResult result = file_read(arena, path, most, bytes, count);
    cr_assert_eq(result.reason[0] == '\0', result.status == FILE_OK,
                 "a reason with every refusal, none without");
    return result.status;
}

/* How many names the folder holds. */
static size_t names_in(const char *path) {
    const char *const *names;
    size_t count;
    cr_assert_eq(folder_list(arena, path, &names, &count).status, FILE_OK);
    return count;
}

Test(files, what_is_written_is_read) {
    const char *bytes;
    size_t count;
    put("a", "hello");
    cr_assert_eq(reading(in("a"), 5, &bytes, &count), FILE_OK);
    cr_assert_eq(count, 5);
    cr_assert_str_eq(bytes, "hello");
    put("a", "");
    cr_assert_eq(reading(in("a"), 5, &bytes, &count), FILE_OK);
    cr_assert_eq(count, 0);
    cr_assert_str_eq(bytes, "");
    struct stat about;
    cr_assert_eq(stat(in("a"), &about), 0);
    const mode_t mask = umask(0);
    cr_assert_eq(about.st_mode & 0777, 0666 & ~mask, "as any new file, not as a private one");
}

Test(files, size_limit) {
    const char *bytes;
    size_t count;
    put("a", "hello!");
    cr_assert_eq(reading(in("a"), 6, &bytes, &count), FILE_OK);
    cr_assert_eq(reading(in("a"), 5, &bytes, &count), FILE_TOO_LARGE);
    cr_assert_null(bytes);
    /* a file that says it holds nothing, and does (as in /proc) */
    cr_assert_eq(reading("/proc/self/status", 1000000, &bytes, &count), FILE_OK);
    cr_assert_gt(count, 100);
    cr_assert_eq(reading("/proc/self/status", 10, &bytes, &count), FILE_TOO_LARGE);
}

Test(files, only_regular_files_are_read) {
    const char *bytes;
    size_t count;
    cr_assert_eq(mkfifo(in("pipe"), 0666), 0);
    cr_assert_eq(reading(in("pipe"), 9, &bytes, &count), FILE_WRONG_KIND, "and without waiting");
    cr_assert_eq(reading(folder, 9, &bytes, &count), FILE_WRONG_KIND);
    cr_assert_eq(reading("/dev/zero", 9, &bytes, &count), FILE_WRONG_KIND);
    cr_assert_eq(reading(in("none"), 9, &bytes, &count), FILE_MISSING);
    cr_assert_eq(symlink(in("loop"), in("loop")), 0);
    cr_assert_eq(reading(in("loop"), 9, &bytes, &count), FILE_TROUBLE);
    cr_assert(!file_exists(in("pipe")) && !file_exists(folder) && !file_exists(in("none")));
    cr_assert(folder_exists(folder) && !folder_exists(in("pipe")) && !folder_exists(in("none")));
}

Test(files, folders_in_natural_order) {
    const char *const written[] = {"10-fog.yaml", "2-ferry.yaml", "book.yaml", ".hidden", "1-dawn.yaml"};
    const char *const wanted[] = {".hidden", "1-dawn.yaml", "2-ferry.yaml", "10-fog.yaml", "book.yaml"};
    for (size_t i = 0; i < 5; i++)
        put(written[i], "x");
    const char *const *names;
    size_t count;
    cr_assert_eq(folder_list(arena, folder, &names, &count).status, FILE_OK);
    cr_assert_eq(count, 5);
    for (size_t i = 0; i < 5; i++)
        cr_expect_str_eq(names[i], wanted[i]);
    cr_assert_eq(folder_list(arena, in("none"), &names, &count).status, FILE_MISSING);
    cr_assert_eq(count, 0);
    cr_assert_eq(folder_list(arena, in("book.yaml"), &names, &count).status, FILE_WRONG_KIND);
}

Test(files, unchanged_files_are_left_alone) {
    bool changed = false;
    cr_assert_eq(file_write_if_changed(in("a"), "one", 3, &changed).status, FILE_OK);
    cr_assert(changed);
    struct stat before, after;
    cr_assert_eq(stat(in("a"), &before), 0);
    cr_assert_eq(file_write_if_changed(in("a"), "one", 3, &changed).status, FILE_OK);
    cr_assert(!changed);
    cr_assert_eq(stat(in("a"), &after), 0);
    cr_assert(before.st_ino == after.st_ino && before.st_mtim.tv_nsec == after.st_mtim.tv_nsec);
    cr_assert_eq(file_write_if_changed(in("a"), "two", 3, &changed).status, FILE_OK);
    cr_assert(changed);
    cr_assert_eq(file_write_if_changed(in("a"), "twofold", 7, NULL).status, FILE_OK);
    cr_assert_eq(names_in(folder), 1);
}

/* The last byte decides in a file that is larger than one part of reading. */
Test(files, large_files_are_compared_whole) {
    const size_t count = 300001;
    char *bytes = arena_alloc(arena, count);
    bool changed;
    file_write_if_changed(in("a"), bytes, count, &changed);
    file_write_if_changed(in("a"), bytes, count, &changed);
    cr_assert(!changed);
    bytes[count - 1] = 'x';
    file_write_if_changed(in("a"), bytes, count, &changed);
    cr_assert(changed);
}

Test(files, writing_refused) {
    bool changed = true;
    cr_assert_eq(file_write_if_changed(in("none/a"), "x", 1, &changed).status, FILE_TROUBLE);
    cr_assert(!changed);
    cr_assert_eq(file_write_if_changed(folder, "x", 1, NULL).status, FILE_WRONG_KIND);
    cr_assert_eq(mkfifo(in("pipe"), 0666), 0);
    cr_assert_eq(file_write_if_changed(in("pipe"), "x", 1, NULL).status, FILE_WRONG_KIND);
    char *long_name = arena_alloc(arena, 5000);
    memset(long_name, 'x', 4999);
    cr_assert_eq(file_write_if_changed(in(long_name), "x", 1, NULL).status, FILE_TROUBLE);
    cr_assert_eq(names_in(folder), 1, "nothing half-written stays");
    if (geteuid() != 0) { /* root may write anywhere */
        chmod(folder, 0500);
        const FileResult result = file_write_if_changed(in("a"), "x", 1, NULL);
        cr_assert_eq(result.status, FILE_TROUBLE);
        cr_assert_str_eq(result.reason, "Permission denied");
    }
}

Test(files, a_full_device_is_noticed) {
    const int full = open("/dev/full", O_WRONLY);
    cr_assert_geq(full, 0);
    const FileResult result = descriptor_write(full, "x", 1);
    cr_assert_eq(result.status, FILE_TROUBLE);
    cr_assert_str_eq(result.reason, "No space left on device");
    close(full);
}

/* A limit on the size of files fails in the middle of writing, as a full disk does. */
Test(files, a_full_disk_leaves_the_old_file) {
    put("a", "old");
    const pid_t child = fork();
    if (child == 0) {
        const struct rlimit limit = {100000, 100000};
        files_guard_signals();
        setrlimit(RLIMIT_FSIZE, &limit);
        char *bytes = calloc(1, 200000);
        const FileResult result = file_write_if_changed(in("a"), bytes, 200000, NULL);
        _exit(result.status == FILE_TROUBLE && result.reason[0] != '\0' ? 7 : 1);
    }
    int status;
    cr_assert_eq(waitpid(child, &status, 0), child);
    cr_assert(WIFEXITED(status));
    cr_assert_eq(WEXITSTATUS(status), 7);
    const char *bytes;
    size_t count;
    cr_assert_eq(reading(in("a"), 9, &bytes, &count), FILE_OK);
    cr_assert_str_eq(bytes, "old");
    cr_assert_eq(names_in(folder), 1);
}

static char large[2][1 << 22];

/* Writes one file over and over; the name ends in a letter for each thread. */
static void *write_for_ever(void *name) {
    for (size_t i = 0;; i = 1 - i)
        file_write_if_changed(name, large[i], sizeof large[i], NULL);
    return NULL;
}

static void check_death_by(int number) {
    const pid_t child = fork();
    if (child == 0) {
        signal(number, SIG_DFL);
        files_guard_signals();
        memset(large[1], 'x', sizeof large[1]);
        pthread_t thread;
        for (char letter = 'a'; letter < 'd'; letter++)
            pthread_create(&thread, NULL, write_for_ever, (void *)in((char[]){letter, '\0'}));
        for (;;)
            pause();
    }
    /* wait until writing has begun for sure, then hit somewhere in the middle of it */
    for (int i = 0; i < 2000 && !file_exists(in("c")); i++)
        nanosleep(&(struct timespec){.tv_nsec = 1000000}, NULL);
    nanosleep(&(struct timespec){.tv_nsec = 3000000}, NULL);
    cr_assert_eq(kill(child, number), 0);
    int status;
    cr_assert_eq(waitpid(child, &status, 0), child);
    cr_assert(WIFSIGNALED(status));
    cr_assert_eq(WTERMSIG(status), number);
    const char *const *names;
    size_t count;
    cr_assert_eq(folder_list(arena, folder, &names, &count).status, FILE_OK);
    for (size_t i = 0; i < count; i++)
        cr_expect(!text_starts(names[i], ".groundrow-"), "%s stayed", names[i]);
}

Test(files, signals_leave_no_temporary_file) {
    for (int i = 0; i < 4; i++) {
        check_death_by(SIGTERM);
        check_death_by(SIGINT);
        check_death_by(SIGHUP);
    }
}

Test(files, ignored_signals_stay_ignored) {
    const pid_t child = fork();
    if (child == 0) {
        signal(SIGHUP, SIG_IGN);
        files_guard_signals();
        raise(SIGHUP);
        _exit(5);
    }
    int status;
    cr_assert_eq(waitpid(child, &status, 0), child);
    cr_assert(WIFEXITED(status));
    cr_assert_eq(WEXITSTATUS(status), 5);
}

static void *write_many(void *name) {
    for (int i = 0; i < 50; i++) {
        const char *text = i % 2 ? "odd" : "even";
        if (file_write_if_changed(name, text, strlen(text), NULL).status != FILE_OK) return name;
    }
    return NULL;
}

Test(files, threads_write_side_by_side) {
    pthread_t threads[32];
    for (int i = 0; i < 32; i++)
        cr_assert_eq(
            pthread_create(&threads[i], NULL, write_many, (void *)in(arena_format(arena, "f%d", i / 2))), 0);
    for (int i = 0; i < 32; i++) {
        void *failed;
        pthread_join(threads[i], &failed);
        cr_assert_null(failed);
    }
    cr_assert_eq(names_in(folder), 16);
}

Test(files, folders_are_made_with_their_parents) {
    cr_assert_eq(folder_make(arena, in("a/b//c/")).status, FILE_OK);
    cr_assert(folder_exists(in("a/b/c")));
    cr_assert_eq(folder_make(arena, in("a/b")).status, FILE_OK, "one that is there is fine");
    put("file", "x");
    cr_assert_eq(folder_make(arena, in("file")).status, FILE_WRONG_KIND);
    cr_assert_eq(folder_make(arena, in("file/b")).status, FILE_WRONG_KIND);
    cr_assert_eq(folder_make(arena, "").status, FILE_MISSING);
    cr_assert_eq(folder_make(arena, "/").status, FILE_OK);
}

Test(files, removing) {
    put("a", "x");
    cr_assert_eq(file_remove(in("a")).status, FILE_OK);
    cr_assert_eq(file_remove(in("a")).status, FILE_MISSING);
    cr_assert_eq(file_remove(folder).status, FILE_TROUBLE);
}

Test(files, joining) {
    cr_assert_str_eq(path_join(arena, "specs", "a"), "specs/a");
    cr_assert_str_eq(path_join(arena, "specs/", "a"), "specs/a");
    cr_assert_str_eq(path_join(arena, "", "a"), "a");
}

static FileStatus inside(const char *relative) {
    const char *path;
    const FileResult result = path_inside(arena, in("book"), relative, &path);
    cr_assert_eq(path != NULL, result.status == FILE_OK);
    return result.status;
}

Test(files, paths_stay_in_the_folder) {
    folder_make(arena, in("book/drawings"));
    folder_make(arena, in("book2"));
    put("book/drawings/a.png", "x");
    put("book2/a.png", "x");
    cr_assert_eq(inside("drawings/a.png"), FILE_OK);
    cr_assert_eq(inside("./drawings//a.png"), FILE_OK);
    cr_assert_eq(inside("drawings/../drawings/a.png"), FILE_OK);
    cr_assert_eq(inside("drawings/none.png"), FILE_MISSING);
    cr_assert_eq(inside("drawings/a.png/b"), FILE_MISSING);
    cr_assert_eq(inside("../book/drawings/a.png"), FILE_OUTSIDE, "even where it comes back");
    cr_assert_eq(inside("drawings/../../book2/a.png"), FILE_OUTSIDE);
    cr_assert_eq(inside("../book2/a.png"), FILE_OUTSIDE);
    cr_assert_eq(inside(".."), FILE_OUTSIDE);
    cr_assert_eq(inside(""), FILE_OUTSIDE);
    cr_assert_eq(inside("/etc/passwd"), FILE_OUTSIDE);
    cr_assert_eq(inside(in("book/drawings/a.png")), FILE_OUTSIDE, "a spec moves with its folder");
    cr_assert_eq(symlink("../../book2/a.png", in("book/drawings/link.png")), 0);
    cr_assert_eq(symlink("a.png", in("book/drawings/inner.png")), 0);
    cr_assert_eq(symlink("../../book2", in("book/drawings/out")), 0);
    cr_assert_eq(inside("drawings/link.png"), FILE_OUTSIDE);
    cr_assert_eq(inside("drawings/out/a.png"), FILE_OUTSIDE);
    cr_assert_eq(inside("drawings/inner.png"), FILE_OK);
    cr_assert_eq(inside("drawings/out/../book/drawings/a.png"), FILE_OK,
                 "links in the middle count by where they end");
}

Test(files, several_are_written_all_or_none) {
    file_write_if_changed(in("a"), "old", 3, NULL);
    cr_assert_eq(mkdir(in("b"), 0777), 0); /* no file can take this name */
    FileToWrite files[] = {{.path = arena_string(arena, in("a")), .bytes = "new", .count = 3},
                           {.path = arena_string(arena, in("b")), .bytes = "new", .count = 3}};
    size_t failed = 9;
    cr_assert_eq(files_write_if_changed(files, 2, &failed).status, FILE_WRONG_KIND);
    cr_assert_eq(failed, 1);
    const char *bytes;
    size_t count;
    cr_assert_eq(file_read(arena, in("a"), 100, &bytes, &count).status, FILE_OK);
    cr_assert_str_eq(bytes, "old");
    const char *const *names;
    folder_list(arena, folder, &names, &count);
    cr_assert_eq(count, 2, "nothing is left beside them");
    cr_assert_eq(rmdir(in("b")), 0);
    cr_assert_eq(files_write_if_changed(files, 2, &failed).status, FILE_OK);
    cr_assert(files[0].changed && files[1].changed);
    file_read(arena, in("b"), 100, &bytes, &count);
    cr_assert_str_eq(bytes, "new");
    cr_assert_eq(files_write_if_changed(files, 2, &failed).status, FILE_OK);
    cr_assert(!files[0].changed && !files[1].changed);
}

Test(files, any_number_is_written_at_once) {
    enum { COUNT = 300 };
    FileToWrite files[COUNT];
    for (int i = 0; i < COUNT; i++)
        files[i] = (FileToWrite){.path = in(arena_format(arena, "%d.txt", i)), .bytes = "new", .count = 3};
    cr_assert_eq(mkdir(files[COUNT - 1].path, 0700), 0);
    size_t failed;
    cr_assert_eq(files_write_if_changed(files, COUNT, &failed).status, FILE_WRONG_KIND);
    cr_assert_eq(failed, COUNT - 1);
    cr_assert_eq(names_in(folder), 1, "none is written when one cannot be");
    cr_assert_eq(rmdir(files[COUNT - 1].path), 0);
    cr_assert_eq(files_write_if_changed(files, COUNT, &failed).status, FILE_OK);
    cr_assert_eq(names_in(folder), COUNT);
}
