/* How long nesting takes: a book of 40 scenes with 600 parts over 6 stocks, each stock of the book at once
 * and scene by scene; then as sets that are struck and used again. Prints, and judges nothing. */
#include "shop/book_cutting.h"

#include <stdint.h>
#include <stdio.h>
#include <time.h>

enum { SCENES = 40, STOCKS = 6, PARTS_A_SCENE = 15, PARTS = SCENES * PARTS_A_SCENE };

static double now_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static double between(uint64_t *state, double least, double most) {
    *state = *state * 6364136223846793005U + 1442695040888963407U;
    return least + (most - least) * (double)(*state >> 40) / 16777216.0;
}

/* A wall, a strip of ground, a cut-out: one in four a trapezoid. */
static NestItem part(uint64_t *state) {
    NestItem item = {.wide_mm = between(state, 100, 1200),
                     .tall_mm = between(state, 80, 800),
                     .may_turn = between(state, 0, 1) < 0.6,
                     .copies = 1};
    const double slope_mm = between(state, 0.05, 0.4) * item.wide_mm;
    if (between(state, 0, 1) > 0.25) return item;
    item.has_outline = true;
    item.outline[1].x_mm = item.wide_mm;
    item.outline[2] = (NestPoint){item.wide_mm - slope_mm, item.tall_mm};
    item.outline[3].y_mm = item.tall_mm;
    return item;
}

typedef struct Total {
    double ms, slowest_ms;
    int calls, sheets, bound, parts, cuts;
} Total;

static void nest_once(Total *total, const NestItem *items, int count, const NestSheet *have, int have_count) {
    if (count == 0) return;
    Arena *arena = arena_new();
    const NestTask task = {.items = items,
                           .item_count = count,
                           .have = have,
                           .have_count = have_count,
                           .whole = {2440, 1220, 0},
                           .kerf_mm = 3.2,
                           .keep_mm = 150};
    const double start = now_ms();
    const Nest *nest = nest_parts(arena, &task);
    const double ms = now_ms() - start;
    total->ms += ms;
    total->slowest_ms = ms > total->slowest_ms ? ms : total->slowest_ms;
    total->calls++;
    total->sheets += nest->new_count;
    total->bound += nest->area_bound;
    total->parts += nest->placement_count;
    total->cuts += nest->cut_count;
    arena_free(arena);
}

static void print(const char *what, const Total *total) {
    printf("%s: %.0f ms in %d calls, the slowest %.0f ms; %d parts, %d new sheets (area bound %d), %d cuts\n",
           what, total->ms, total->calls, total->slowest_ms, total->parts, total->sheets, total->bound,
           total->cuts);
}

/* --- sets that are struck ------------------------------------------------------------------------------- */

static CutItem cut_item(Arena *arena, const char *scene, const NestItem *item) {
    const NestPoint box[4] = {{0, 0}, {item->wide_mm, 0}, {item->wide_mm, item->tall_mm}, {0, item->tall_mm}};
    NestPoint *corners = ARENA_ARRAY(arena, NestPoint, 4);
    for (int i = 0; i < 4; i++)
        corners[i] = item->has_outline ? item->outline[i] : box[i];
    return (CutItem){.name = "part",
                     .scene = scene,
                     .thing = "thing",
                     .shape = item->has_outline ? PART_OUTLINE : PART_RECTANGLE,
                     .keeps_shape = true,
                     .item = *item,
                     .outline = corners,
                     .outline_count = 4};
}

static const Cutting *cutting_of(Arena *arena, int scene, NestItem items[STOCKS][PARTS],
                                 int first[STOCKS][SCENES + 1], UseAgain again, const NestSheet *have) {
    Cutting *cutting = ARENA_NEW(arena, Cutting);
    cutting->scene = arena_format(arena, "%d", scene);
    cutting->stocks = ARENA_ARRAY(arena, StockCut, STOCKS);
    for (int s = 0; s < STOCKS; s++) {
        const int count = first[s][scene + 1] - first[s][scene];
        if (count == 0) continue;
        CutItem *cut = ARENA_ARRAY(arena, CutItem, count);
        for (int i = 0; i < count; i++)
            cut[i] = cut_item(arena, cutting->scene, &items[s][first[s][scene] + i]);
        cutting->stocks[cutting->stock_count++] = (StockCut){.stock = {.name = "stock",
                                                                       .index = s,
                                                                       .again = again,
                                                                       .alike_mm = 3.175,
                                                                       .thick_mm = 18,
                                                                       .kerf_mm = 3.2,
                                                                       .sheet = {2440, 1220, 0},
                                                                       .have = have,
                                                                       .have_count = 3},
                                                             .items = cut,
                                                             .item_count = count};
    }
    return cutting;
}

static void strike(NestItem items[STOCKS][PARTS], int first[STOCKS][SCENES + 1], UseAgain again,
                   const NestSheet *have, const char *what) {
    Arena *arena = arena_new();
    const Cutting *scenes[SCENES];
    for (int scene = 0; scene < SCENES; scene++)
        scenes[scene] = cutting_of(arena, scene, items, first, again, have);
    const double start = now_ms();
    const BookCutting *book = cuttings_to_book(arena, scenes, SCENES);
    const double ms = now_ms() - start;
    int sheets = 0, at_once = 0, whole = 0, cut = 0;
    for (int s = 0; s < book->stock_count; s++) {
        sheets += book->stocks[s].new_count;
        at_once += book->stocks[s].at_once_count;
        whole += book->stocks[s].again_whole;
        cut += book->stocks[s].again_cut;
    }
    printf("%s: %.0f ms; %d new sheets, %d at once; %d parts as they are, %d struck ones cut\n", what, ms,
           sheets, at_once, whole, cut);
    arena_free(arena);
}

int main(void) {
    static NestItem items[STOCKS][PARTS];
    static int first[STOCKS][SCENES + 1];
    int counts[STOCKS] = {0};
    uint64_t state = 1;
    for (int scene = 0; scene < SCENES; scene++) {
        for (int s = 0; s < STOCKS; s++)
            first[s][scene] = counts[s];
        for (int i = 0; i < PARTS_A_SCENE; i++) {
            const int stock = (int)between(&state, 0, STOCKS);
            items[stock][counts[stock]++] = part(&state);
        }
    }
    const NestSheet have[] = {{1220, 600, 0}, {900, 700, 0}, {1500, 400, 0}};
    Total book = {0}, scenes = {0};
    for (int s = 0; s < STOCKS; s++) {
        first[s][SCENES] = counts[s];
        nest_once(&book, items[s], counts[s], have, 3);
        for (int scene = 0; scene < SCENES; scene++)
            nest_once(&scenes, items[s] + first[s][scene], first[s][scene + 1] - first[s][scene], have, 0);
    }
    print("the book, stock by stock", &book);
    print("scene by scene", &scenes);
    strike(items, first, AGAIN_NEVER, have, "the book, nothing again");
    strike(items, first, AGAIN_WHOLE, have, "the book, whole parts again");
    strike(items, first, AGAIN_CUT, have, "the book, struck parts cut again");
}
