/* How long a whole book takes on one core, and where the time goes: reading, decoding drawings, solving,
 * cutting, trying what is allowed, building, seeing, writing (to memory), picturing, the whole book. Prints
 * milliseconds and shares; never a test. Usage: book_bench BOOK_FOLDER [ROUNDS].
 */
#include "base/files.h"
#include "images.h"
#include "model/model_to_glb.h"
#include "model/notes_to_model.h"
#include "model/plan_to_set.h"
#include "picture/set_to_pictures.h"
#include "plan/scene_to_plan.h"
#include "report/facts_to_json.h"
#include "report/facts_to_text.h"
#include "report/plan_to_facts.h"
#include "report/summaries_to_book.h"
#include "see/set_to_seen.h"
#include "shop/plan_to_costs.h"
#include "shop/plan_to_parts.h"
#include "text_to_tree.h"
#include "tree_to_scene.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

typedef enum Share {
    READING,
    DECODING,
    SOLVING,
    CUTTING,
    ALLOWING,
    BUILDING,
    SEEING,
    WRITING,
    PICTURING,
    BOOK,
    SHARES
} Share;

typedef struct File {
    const char *name;
    Source source;
} File;

static double now_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static void lap(double spent[SHARES], Share share, double *since) {
    const double now = now_ms();
    spent[share] += now - *since;
    *since = now;
}

static bool read_spec(Arena *arena, const char *folder, const char *name, File *file) {
    const char *path = path_join(arena, folder, name), *bytes;
    size_t count;
    if (file_read(arena, path, FILE_BYTES_MOST, &bytes, &count).status != FILE_OK) return false;
    bytes = text_without_mark(bytes, &count);
    *file = (File){arena_copy(arena, name, strlen(name) - strlen(".yaml")),
                   source_new(arena, path, bytes, count)};
    return true;
}

/* The summary, where there is a plan, is kept for the book. */
static bool run_scene(const char *folder, const File *book, const File *file, double spent[SHARES],
                      size_t *bytes, Arena *keeps, Summary *summary) {
    Arena *arena = arena_new();
    Diagnostics diagnostics = diagnostics_new(arena);
    double since = now_ms();
    const Tree *book_tree = text_to_tree(arena, &book->source, 0, "book", &diagnostics);
    const Tree *tree = text_to_tree(arena, &file->source, 1, "scene", &diagnostics);
    Scene *scene = book_tree && tree ? tree_to_scene(arena, file->name, book_tree, tree, &diagnostics) : NULL;
    lap(spent, READING, &since);
    Plan *plan = NULL;
    const char *trouble = NULL;
    const FoundFile *found =
        scene ? images_find(arena, folder, scene, PIXELS_MOST_PX, &diagnostics, &trouble) : NULL;
    lap(spent, DECODING, &since);
    if (found && diagnostics.errors == 0) plan = scene_to_plan(scene, found, &diagnostics);
    lap(spent, SOLVING, &since);
    if (plan) plan->parts = plan_to_parts(arena, plan, &diagnostics);
    lap(spent, CUTTING, &since);
    if (plan) {
        plan->parts = plan_to_parts(arena, plan, &diagnostics);
        lap(spent, CUTTING, &since);
        plan->costs = plan_to_costs(arena, plan);
        lap(spent, ALLOWING, &since);
        Model *set = plan_to_set(arena, plan), *notes = plan_to_set(arena, plan);
        lap(spent, BUILDING, &since);
        plan->seen = set_to_seen(arena, plan, set, SEEN_WIDE_PX);
        lap(spent, SEEING, &since);
        Facts *facts = plan_to_facts(arena, plan);
        notes_to_model(arena, notes, plan, facts);
        lap(spent, BUILDING, &since);
        Buffer out[4];
        for (int i = 0; i < 4; i++)
            out[i] = buffer_new(arena);
        model_to_glb(arena, set, &out[0]);
        model_to_glb(arena, notes, &out[1]);
        facts_to_text(&out[2], facts);
        facts_to_json(&out[3], facts);
        for (int i = 0; i < 4; i++)
            *bytes += out[i].count;
        lap(spent, WRITING, &since);
        const Pictures pictures = set_to_pictures(arena, plan, set, facts);
        for (size_t i = 0; i < pictures.count; i++)
            *bytes += pictures.files[i].count;
        lap(spent, PICTURING, &since);
        *summary = plan_to_summary(keeps, plan, facts);
        lap(spent, BOOK, &since);
    }
    arena_free(arena);
    return plan != NULL;
}

int main(int count, char **arguments) {
    if (count < 2) {
        fputs("usage: book_bench BOOK_FOLDER [ROUNDS]\n", stderr);
        return 2;
    }
    const int rounds = count > 2 ? atoi(arguments[2]) : 20;
    Arena *arena = arena_new();
    File book = {0};
    if (!read_spec(arena, arguments[1], "book.yaml", &book)) return 3;
    const char *const *names = NULL;
    size_t name_count = 0;
    if (folder_list(arena, arguments[1], &names, &name_count).status != FILE_OK) return 3;
    LIST(File) files = {0};
    for (size_t i = 0; i < name_count; i++) {
        File file;
        if (!text_ends(names[i], ".yaml") || text_equal(names[i], "book.yaml")) continue;
        if (read_spec(arena, arguments[1], names[i], &file)) LIST_PUSH(arena, files, file);
    }
    double spent[SHARES] = {0};
    size_t bytes = 0, planned = 0;
    for (int round = 0; round < rounds; round++) {
        Arena *keeps = arena_new();
        Summary *summaries = ARENA_ARRAY(keeps, Summary, files.count);
        size_t sound = 0;
        for (size_t i = 0; i < files.count; i++)
            sound += run_scene(arguments[1], &book, &files.items[i], spent, &bytes, keeps, &summaries[sound]);
        double since = now_ms();
        summaries_to_book(keeps, "", STYLE_FEET_INCHES, summaries, sound);
        lap(spent, BOOK, &since);
        planned += sound;
        arena_free(keeps);
    }
    static const char *const names_of[SHARES] = {"reading",  "decoding", "solving", "cutting",   "allowing",
                                                 "building", "seeing",   "writing", "picturing", "book"};
    double all = 0;
    for (int s = 0; s < SHARES; s++)
        all += spent[s];
    printf("%zu scenes, %zu of them planned, %.2f ms a book on one core, %.0f KiB of output\n", files.count,
           planned / (size_t)rounds, all / rounds, (double)bytes / rounds / 1024);
    for (int s = 0; s < SHARES; s++)
        printf("  %-9s %8.3f ms  %5.1f %%\n", names_of[s], spent[s] / rounds, 100 * spent[s] / all);
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    printf("peak memory %.1f MiB\n", (double)usage.ru_maxrss / 1024);
    arena_free(arena);
    return 0;
}
