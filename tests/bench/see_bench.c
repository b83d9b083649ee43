/* How long seeing takes: the frames of a book's planned cameras, drawn 1200 pixels wide, and what a run does
 * to know what is seen. Every time is the least of its rounds, since other work on the machine only adds.
 * Prints, and judges nothing. */
#include "base/files.h"
#include "model/plan_to_set.h"
#include "plan/scene_to_plan.h"
#include "see/scenery.h"
#include "see/set_to_seen.h"
#include "text_check.h"
#include "text_to_tree.h"
#include "tree_to_scene.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { WIDE_PX = 1200, FEW_PX = 12 }; /* with few pixels, what is left is the triangles' own */

static double now_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static const Tree *read_tree(Arena *arena, const char *folder, const char *name, uint32_t file,
                             Diagnostics *diagnostics) {
    const char *path = path_join(arena, folder, name), *bytes;
    size_t count;
    if (file_read(arena, path, FILE_BYTES_MOST, &bytes, &count).status != FILE_OK) return NULL;
    bytes = text_without_mark(bytes, &count);
    Source *source = ARENA_NEW(arena, Source);
    *source = source_new(arena, path, bytes, count);
    return text_to_tree(arena, source, file, file == 0 ? "book" : "scene", diagnostics);
}

static Plan *read_plan(Arena *arena, const char *folder, const char *name) {
    Diagnostics diagnostics = diagnostics_new(arena);
    const Tree *book = read_tree(arena, folder, "book.yaml", 0, &diagnostics),
               *tree = read_tree(arena, folder, name, 1, &diagnostics);
    if (!book || !tree) return NULL;
    Scene *scene = tree_to_scene(arena, name, book, tree, &diagnostics);
    if (!scene || diagnostics.errors > 0) return NULL;
    return scene_to_plan(scene, ARENA_ARRAY(arena, FoundFile, scene->wanted_count), &diagnostics);
}

/* What was measured of one frame, or of a book's frames together. */
typedef struct Times {
    double place_ms, draw_ms, few_ms, seen_ms;
    double pixels, triangles, cameras;
} Times;

static double draw_once(const Scenery *scenery, int shot, int wide_px) {
    const PlanShot *planned = &scenery->plan->shots[shot];
    const Picture *picture = &planned->picture;
    const int tall_px = (int)lround(wide_px * picture->frame_tall_mm / picture->frame_wide_mm);
    Arena *own = arena_new();
    const double start = now_ms();
    Raster *raster =
        raster_new(own, &planned->cameras[0].camera, picture, raster_frame(picture, 0), wide_px, tall_px);
    scenery_draw(scenery, raster, shot);
    const double spent = now_ms() - start;
    arena_free(own);
    return spent;
}

static Times measure(const Plan *plan, int rounds) {
    Arena *arena = arena_new();
    const Model *set = plan_to_set(arena, plan);
    Times least = {.place_ms = INFINITY, .draw_ms = INFINITY, .few_ms = INFINITY, .seen_ms = INFINITY};
    for (int round = 0; round < rounds; round++) {
        Arena *own = arena_new();
        double start = now_ms();
        const Scenery *scenery = scenery_new(own, plan, set);
        least.place_ms = fmin(least.place_ms, now_ms() - start);
        double draw_ms = 0, few_ms = 0;
        for (size_t s = 0; s < plan->shot_count; s++) {
            draw_ms += draw_once(scenery, (int)s, WIDE_PX);
            few_ms += draw_once(scenery, (int)s, FEW_PX);
        }
        least.draw_ms = fmin(least.draw_ms, draw_ms);
        least.few_ms = fmin(least.few_ms, few_ms);
        least.triangles = (double)scenery->facet_count * (double)plan->shot_count;
        start = now_ms();
        set_to_seen(own, plan, set, SEEN_WIDE_PX);
        least.seen_ms = fmin(least.seen_ms, now_ms() - start);
        arena_free(own);
    }
    for (size_t s = 0; s < plan->shot_count; s++) {
        const Picture *picture = &plan->shots[s].picture;
        least.pixels += WIDE_PX * floor(0.5 + WIDE_PX * picture->frame_tall_mm / picture->frame_wide_mm);
        least.cameras += (double)plan->shots[s].camera_count;
    }
    arena_free(arena);
    return least;
}

static void print_times(const char *name, const Times *t) {
    printf("%-28s %7.2f ms a frame  %6.2f ms a million pixels  %6.2f ms a million triangles  %6.2f ms seen, "
           "%2.0f "
           "cameras\n",
           name, t->draw_ms, 1e6 * (t->draw_ms - t->few_ms) / t->pixels, 1e6 * t->few_ms / t->triangles,
           t->seen_ms, t->cameras);
}

int main(int count, char **arguments) {
    if (count < 2) {
        fputs("usage: see_bench BOOK_FOLDER [ROUNDS]\n", stderr);
        return 2;
    }
    const int rounds = count > 2 ? atoi(arguments[2]) : 20;
    Arena *arena = arena_new();
    const char *const *names = NULL;
    size_t name_count = 0;
    if (folder_list(arena, arguments[1], &names, &name_count).status != FILE_OK) return 3;
    Times all = {0};
    double frames = 0;
    for (size_t i = 0; i < name_count; i++) {
        if (!text_ends(names[i], ".yaml") || text_equal(names[i], "book.yaml")) continue;
        Plan *plan = read_plan(arena, arguments[1], names[i]);
        if (!plan) continue;
        const Times t = measure(plan, rounds);
        print_times(names[i], &t);
        all.place_ms += t.place_ms;
        all.draw_ms += t.draw_ms;
        all.few_ms += t.few_ms;
        all.seen_ms += t.seen_ms;
        all.pixels += t.pixels;
        all.triangles += t.triangles;
        all.cameras += t.cameras;
        frames += (double)plan->shot_count;
    }
    print_times("all of them", &all);
    printf(
        "%.0f frames of %d pixels' width, %.2f ms each; placed once for all cameras in %.2f ms a scene; %.1f "
        "thousand triangles a frame\n",
        frames, WIDE_PX, all.draw_ms / frames, all.place_ms / frames, all.triangles / frames / 1e3);
    arena_free(arena);
    return 0;
}
