/* How long the pictures of a book take on one core, scene by scene. Prints milliseconds and sizes; never a
 * test. Usage: picture_bench BOOK_FOLDER [ROUNDS [FOLDER]], which writes them into FOLDER. */
#include "base/files.h"
#include "book.h"
#include "compile.h"
#include "model/plan_to_set.h"
#include "picture/set_to_pictures.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static double now_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static void write_all(Arena *arena, const char *folder, const char *name, const Pictures *pictures) {
    if (folder_make(arena, folder).status != FILE_OK) return;
    for (size_t i = 0; i < pictures->count; i++) {
        const PictureFile *file = &pictures->files[i];
        const char *path = path_join(arena, folder, arena_format(arena, "%s%s", name, file->ending));
        if (file_write_if_changed(path, file->bytes, file->count, NULL).status != FILE_OK)
            fprintf(stderr, "cannot write %s\n", path);
    }
}

int main(int count, char **arguments) {
    if (count < 2) {
        fputs("usage: picture_bench BOOK_FOLDER [ROUNDS [FOLDER]]\n", stderr);
        return 2;
    }
    const int rounds = count > 2 ? atoi(arguments[2]) : 5;
    Arena *keeps = arena_new();
    const Book *book = book_new(keeps, arguments[1]);
    double all = 0;
    size_t pictures = 0;
    for (size_t i = 0; i < book->scene_count; i++) {
        Arena *arena = arena_new();
        Diagnostics diagnostics = diagnostics_new(arena);
        const Compiled made =
            scene_compile(book, &book->scenes[i], GOAL_FACTS, OUTPUT_PICTURES, arena, keeps, &diagnostics);
        if (made.facts) {
            const Model *set = plan_to_set(arena, made.plan);
            double best = 1e9;
            Pictures last = {0};
            for (int round = 0; round < rounds; round++) {
                Arena *own = arena_new();
                const double start = now_ms();
                last = set_to_pictures(own, made.plan, set, made.facts);
                const double spent = now_ms() - start;
                best = spent < best ? spent : best;
                if (round + 1 == rounds) {
                    for (size_t p = 0; p < last.count; p++)
                        printf("%-24s %-16s %4u x %4u px %8zu bytes\n", book->scenes[i].name,
                               last.files[p].ending, last.files[p].wide_px, last.files[p].tall_px,
                               last.files[p].count);
                    if (count > 3) write_all(own, arguments[3], book->scenes[i].name, &last);
                }
                arena_free(own);
            }
            printf("%-24s %zu pictures %.1f ms\n", book->scenes[i].name, last.count, best);
            all += best;
            pictures += last.count;
        }
        arena_free(arena);
    }
    printf("%zu pictures, %.1f ms a book on one core, %.1f ms each\n", pictures, all, all / (double)pictures);
    arena_free(keeps);
    return 0;
}
