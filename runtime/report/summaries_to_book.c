#include "report/summaries_to_book.h"

#include "report/book_allowances.h"
#include "report/book_buying.h"
#include "report/book_used_again.h"
#include "report/facts.h"
#include "report/facts_to_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const FactWay WAY_TILT = {" down", " up", "level"};

/* Near enough to leave the stand as it is: what a tape, a level and an engraved focal length tell apart
 * (common practice). */
static const double SAME_LENS = 0.005, SAME_HEIGHT_MM = 6, SAME_TILT_DEG = 0.25;

/* All shots of the book in one row. */
typedef struct Shots {
    const SummaryShot **items;
    size_t count;
} Shots;

static Shots shots_of(Arena *arena, const Summary *summaries, size_t count) {
    Shots shots = {0};
    for (size_t i = 0; i < count; i++)
        shots.count += summaries[i].shot_count;
    shots.items = ARENA_ARRAY(arena, const SummaryShot *, shots.count);
    size_t at = 0;
    for (size_t i = 0; i < count; i++)
        for (size_t s = 0; s < summaries[i].shot_count; s++)
            shots.items[at++] = &summaries[i].shots[s];
    return shots;
}

static void part(Facts *facts, Fact *fact, FactKind kind, double number, const char *before,
                 const char *after) {
    fact_part(facts, fact,
              (FactPart){.name = "part", .kind = kind, .number = number, .before = before, .after = after});
}

static void text_part(Facts *facts, Fact *fact, const char *before, const char *text) {
    fact_part(facts, fact, (FactPart){.name = "part", .kind = FACT_TEXT, .text = text, .before = before});
}

static void camera_parts(Facts *facts, Fact *fact, const SummaryShot *shot) {
    part(facts, fact, FACT_SENSOR, shot->focal_mm, NULL, " lens");
    part(facts, fact, FACT_PLACE, shot->height_mm, ", ", " up");
    fact_part(
        facts, fact,
        (FactPart){
            .name = "tilt", .kind = FACT_ANGLE, .number = shot->tilt_rad, .before = ", ", .way = &WAY_TILT});
}

/* ---- a line a scene */

static void write_shot_line(Facts *facts, FactBlock *block, const Summary *summary, const SummaryShot *shot) {
    Fact *fact = fact_new(facts, block, shot->name, NULL);
    part(facts, fact, FACT_SENSOR, shot->focal_mm, NULL, " lens");
    part(facts, fact, FACT_PLACE, shot->height_mm, ", ", " up");
    part(facts, fact, FACT_PLACE, shot->distance_mm, ", ", " away");
    fact_part(
        facts, fact,
        (FactPart){
            .name = "tilt", .kind = FACT_ANGLE, .number = shot->tilt_rad, .before = ", ", .way = &WAY_TILT});
    fact_part(facts, fact,
              (FactPart){.name = "wide",
                         .kind = FACT_PLACE,
                         .number = summary->build_wide_mm,
                         .before = "; ",
                         .after = " wide x ",
                         .joined = true});
    fact_part(facts, fact,
              (FactPart){.name = "deep",
                         .kind = FACT_PLACE,
                         .number = summary->build_deep_mm,
                         .after = " deep x ",
                         .joined = true});
    part(facts, fact, FACT_PLACE, summary->build_tall_mm, NULL, " tall");
    part(facts, fact, FACT_SHARE, shot->enlargement, "; enlargement ", NULL);
}

static void write_scenes(Facts *facts, const Summary *summaries, size_t count) {
    FactBlock *block = facts_block(facts, "scenes", "", "");
    for (size_t i = 0; i < count; i++)
        for (size_t s = 0; s < summaries[i].shot_count; s++)
            write_shot_line(facts, block, &summaries[i], &summaries[i].shots[s]);
}

/* ---- a puppet's scale from scene to scene */

static void write_puppet_line(Facts *facts, FactBlock *block, const SummaryShot *shot,
                              const SummaryPuppet *puppet) {
    Arena *arena = facts->arena;
    const char *who = puppet->stand_in ? arena_format(arena, ", %s", puppet->stand_in) : "";
    const char *pose = puppet->pose ? arena_format(arena, ", %s", puppet->pose) : "";
    Fact *fact = fact_new(facts, block, arena_format(arena, "%s%s%s", shot->name, who, pose), NULL);
    part(facts, fact, FACT_SHARE, puppet->enlargement, "enlargement ", NULL);
    part(facts, fact, FACT_PLACE, puppet->printed_mm, "; printed ", " tall");
    part(facts, fact, FACT_SHARE, puppet->printed_mm / puppet->tall_mm, ", ", " of the puppet");
}

static const char SMALLEST[] = "smallest in print", LARGEST[] = "largest in print";

bool book_is_of_all(const Fact *fact) {
    return fact->key == SMALLEST || fact->key == LARGEST; /* a scene may be called so, in another place */
}

/* One printing of a puppet. */
typedef struct Printed {
    const SummaryShot *shot;
    const SummaryPuppet *puppet;
} Printed;

static void printed_part(Facts *facts, Fact *fact, const Printed *printed, const char *before) {
    part(facts, fact, FACT_PLACE, printed->puppet->printed_mm, before, " tall");
    text_part(facts, fact, ", in ", printed->shot->name);
}

/* How much its size jumps from picture to picture: as it is printed, and of itself, since a puppet that sits
 * is lower than one that stands. */
static void write_extremes(Facts *facts, FactBlock *block, const Shots *shots, int cast) {
    Printed least = {0}, most = {0};
    double least_share = INFINITY, most_share = 0;
    for (size_t i = 0; i < shots->count; i++) {
        for (size_t p = 0; p < shots->items[i]->puppet_count; p++) {
            const SummaryPuppet *puppet = &shots->items[i]->puppets[p];
            const Printed printed = {shots->items[i], puppet};
            if (puppet->cast != cast) continue;
            if (!least.puppet || puppet->printed_mm < least.puppet->printed_mm) least = printed;
            if (!most.puppet || puppet->printed_mm > most.puppet->printed_mm) most = printed;
            least_share = fmin(least_share, puppet->printed_mm / puppet->tall_mm);
            most_share = fmax(most_share, puppet->printed_mm / puppet->tall_mm);
        }
    }
    if (!least.puppet || least.puppet == most.puppet) return;
    Fact *smallest = fact_new(facts, block, SMALLEST, NULL);
    printed_part(facts, smallest, &least, NULL);
    Fact *largest = fact_new(facts, block, LARGEST, NULL);
    printed_part(facts, largest, &most, NULL);
    const double times = number_round(most.puppet->printed_mm / least.puppet->printed_mm, 0.01);
    const double scale = number_round(most_share / least_share, 0.01);
    part(facts, largest, FACT_NUMBER, times, "; ", " times as tall");
    if (scale == 1)
        text_part(facts, largest, NULL, ", in scale alike");
    else if (times != scale)
        part(facts, largest, FACT_NUMBER, scale, ", in scale ", " times");
}

static const char *cast_name(const Shots *shots, int cast) {
    for (size_t i = 0; i < shots->count; i++)
        for (size_t p = 0; p < shots->items[i]->puppet_count; p++)
            if (shots->items[i]->puppets[p].cast == cast) return shots->items[i]->puppets[p].name;
    return NULL;
}

static int most_cast(const Shots *shots) {
    int most = -1;
    for (size_t i = 0; i < shots->count; i++)
        for (size_t p = 0; p < shots->items[i]->puppet_count; p++)
            if (shots->items[i]->puppets[p].cast > most) most = shots->items[i]->puppets[p].cast;
    return most;
}

static void write_puppets(Facts *facts, const Shots *shots) {
    const int most = most_cast(shots);
    for (int cast = 0; cast <= most; cast++) {
        const char *name = cast_name(shots, cast);
        if (!name) continue;
        FactBlock *block = facts_block(facts, "puppet", name, "");
        for (size_t i = 0; i < shots->count; i++)
            for (size_t p = 0; p < shots->items[i]->puppet_count; p++)
                if (shots->items[i]->puppets[p].cast == cast)
                    write_puppet_line(facts, block, shots->items[i], &shots->items[i]->puppets[p]);
        write_extremes(facts, block, shots, cast);
    }
}

/* ---- scenes that share a set-up */

static bool same_set_up(const SummaryShot *a, const SummaryShot *b) {
    return a->body == b->body && a->upright == b->upright &&
           fabs(a->focal_mm - b->focal_mm) <= SAME_LENS * a->focal_mm &&
           fabs(a->height_mm - b->height_mm) <= SAME_HEIGHT_MM &&
           fabs(DEGREES(a->tilt_rad - b->tilt_rad)) <= SAME_TILT_DEG;
}

/* Each shot joins the first that it agrees with, so that no chain of small steps makes one of many. */
static void write_shared(Facts *facts, const Shots *shots) {
    FactBlock *block = facts_block(facts, "shared", "camera set-ups", "");
    bool *taken = ARENA_ARRAY(facts->arena, bool, shots->count);
    for (size_t i = 0; i < shots->count; i++) {
        Fact *fact = NULL;
        for (size_t j = i + 1; j < shots->count && !taken[i]; j++) {
            if (taken[j] || !same_set_up(shots->items[i], shots->items[j])) continue;
            if (!fact) {
                fact = fact_new(facts, block, shots->items[i]->name, NULL);
                camera_parts(facts, fact, shots->items[i]);
            }
            text_part(facts, fact, fact->parts.count == 3 ? "; as for " : "; ", shots->items[j]->name);
            taken[j] = true;
        }
    }
    if (block->facts.count == 0) text_part(facts, fact_new(facts, block, "scenes", NULL), NULL, "none");
}

/* ---- what is needed */

static int compare_bodies(const void *a, const void *b) {
    const SummaryShot *const *first = a, *const *second = b;
    return ((*first)->body > (*second)->body) - ((*first)->body < (*second)->body);
}

static int compare_lenses(const void *a, const void *b) {
    const SummaryShot *const *first = a, *const *second = b;
    const double step = 0.01; /* as it is printed */
    const double one = number_round((*first)->focal_mm, step),
                 other = number_round((*second)->focal_mm, step);
    if (one < other) return -1;
    if (one > other) return 1;
    const char *name = (*first)->lens_name, *other_name = (*second)->lens_name;
    return strcmp(name ? name : "", other_name ? other_name : "");
}

static const char *body_label(Arena *arena, const SummaryShot *shot) {
    return arena_format(arena, "body %s", shot->body_name ? shot->body_name : "not named");
}

static const char *lens_label(Arena *arena, const SummaryShot *shot) {
    const char *focal = number_short(arena, shot->focal_mm, 2);
    return shot->lens_name ? arena_format(arena, "lens %s mm, %s", focal, shot->lens_name)
                           : arena_format(arena, "lens %s mm", focal);
}

typedef int Compare(const void *, const void *);
typedef const char *Label(Arena *, const SummaryShot *);

/* One line for each different one, in the comparison's order, naming the shots in the book's. */
static void write_needs(Facts *facts, FactBlock *block, const Shots *shots, Compare *compare, Label *label) {
    const SummaryShot **sorted = ARENA_ARRAY(facts->arena, const SummaryShot *, shots->count);
    if (shots->count > 0) memcpy(sorted, shots->items, shots->count * sizeof *sorted);
    qsort(sorted, shots->count, sizeof *sorted, compare);
    for (size_t i = 0; i < shots->count; i++) {
        if (i > 0 && compare(&sorted[i - 1], &sorted[i]) == 0) continue;
        Fact *fact = fact_new(facts, block, label(facts->arena, sorted[i]), NULL);
        for (size_t s = 0; s < shots->count; s++)
            if (compare(&sorted[i], &shots->items[s]) == 0)
                text_part(facts, fact, fact->parts.count > 0 ? "; " : NULL, shots->items[s]->name);
    }
}

BookFacts summaries_to_book(Arena *arena, const char *book_title, LengthStyle lengths,
                            const Summary *summaries, size_t count) {
    Facts *facts = facts_new(arena, lengths, "", "", book_title);
    const Shots shots = shots_of(arena, summaries, count);
    if (book_title && book_title[0])
        text_part(facts, fact_new(facts, facts_block(facts, "book", "", ""), "title", NULL), NULL,
                  book_title);
    write_scenes(facts, summaries, count);
    write_puppets(facts, &shots);
    write_shared(facts, &shots);
    FactBlock *needed = facts_block(facts, "needed", "", "");
    write_needs(facts, needed, &shots, compare_bodies, body_label);
    write_needs(facts, needed, &shots, compare_lenses, lens_label);
    const BookCutting *cutting = summaries_to_cutting(arena, summaries, count);
    book_buying(facts, cutting, summaries, count);
    book_allowances(facts, cutting, summaries, count);
    for (int i = 0; i < cutting->stock_count; i++)
        book_used_again(facts, &cutting->stocks[i]);
    return (BookFacts){facts, cutting};
}

void book_to_text(Buffer *out, const BookFacts *book) {
    buffer_format(out, "groundrow book %d\n", BOOK_FORMAT);
    facts_to_lines(out, book->facts);
}
