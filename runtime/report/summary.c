#include "report/summary.h"

#include "base/text.h"

#include <stdlib.h>

static const char *kept(Arena *arena, const char *text) {
    return text ? arena_string(arena, text) : NULL;
}

static void summarise_puppet(Arena *arena, const Plan *plan, const PlanShot *shot, const PlanThing *thing,
                             SummaryShot *summary) {
    const PlanView view = plan_view(thing, &shot->cameras[0].camera, &shot->picture);
    const Thing *it = thing->thing;
    if (!view.seen || it->cast < 0) return;
    const char *cast = plan->scene->cast[it->cast].name;
    summary->puppets[summary->puppet_count++] = (SummaryPuppet){
        .cast = it->cast,
        .name = kept(arena, cast),
        .stand_in = text_equal(it->name, cast) ? NULL : kept(arena, it->name),
        .pose = kept(arena, it->pose),
        .tall_mm = thing->tall_mm,
        .enlargement = view.scale,
        .printed_mm = view.tall_mm * shot->picture.trim_wide_mm / shot->picture.drawing_wide_mm};
}

static void summarise_puppets(Arena *arena, const Plan *plan, size_t shot, SummaryShot *summary) {
    const size_t count = plan->scene->thing_count;
    size_t puppets = 0;
    for (size_t i = 0; i < count; i++)
        puppets += plan->scene->things[i].role == ROLE_PUPPET;
    summary->puppets = ARENA_ARRAY(arena, SummaryPuppet, puppets);
    for (size_t i = 0; i < count; i++) {
        const Thing *thing = &plan->scene->things[i];
        if (thing->role == ROLE_PUPPET && (thing->shot < 0 || (size_t)thing->shot == shot))
            summarise_puppet(arena, plan, &plan->shots[shot], &plan->things[i], summary);
    }
}

/* ---- lines of the report */

typedef struct Pick {
    const char *kind, *key;
} Pick;

/* What one wants to know of a shot at a glance. What a scene's own only shot is stands under the scene. */
static const Pick picks_of_shot[] = {
    {"shot", "lens"},      {"shot", "height"},      {"shot", "tilt"},           {"shot", "distance"},
    {"camera", "stick"},   {"shot", "enlargement"}, {"seen", "ground"},         {"seen", "shoots_off"},
    {"sharpness", "from"}, {"sharpness", "to"},     {"print", "pixels_an_inch"}};
static const Pick picks_of_scene[] = {{"scene", "build"}};
enum {
    PICKS_OF_SHOT = sizeof picks_of_shot / sizeof *picks_of_shot,
    PICKS_OF_SCENE = sizeof picks_of_scene / sizeof *picks_of_scene
};

static const Fact *find_fact(const Facts *facts, Pick pick, const char *shot) {
    const char *kind = text_equal(pick.kind, "shot") && !shot[0] ? "scene" : pick.kind;
    for (size_t b = 0; b < facts->blocks.count; b++) {
        const FactBlock *block = facts->blocks.items[b];
        if (!text_equal(block->kind, kind) || !text_equal(block->shot, shot)) continue;
        for (size_t i = 0; i < block->facts.count; i++)
            if (text_equal(block->facts.items[i]->key, pick.key)) return block->facts.items[i];
    }
    return NULL;
}

static SummaryLines pick_lines(Arena *arena, const Facts *facts, const Pick *picks, size_t count,
                               const char *shot) {
    SummaryLines lines = {0};
    for (size_t i = 0; i < count; i++) {
        const Fact *fact = find_fact(facts, picks[i], shot);
        if (fact)
            LIST_PUSH(arena, lines,
                      (SummaryLine){kept(arena, fact->label), fact_plain_text(arena, facts, fact)});
    }
    return lines;
}

static SummaryNotes pick_notes(Arena *arena, const Facts *facts) {
    SummaryNotes notes = {0};
    const FactBlock *block = NULL;
    for (size_t b = 0; b < facts->blocks.count && !block; b++)
        if (text_equal(facts->blocks.items[b]->kind, "attention")) block = facts->blocks.items[b];
    for (size_t i = 0; block && i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        if (text_equal(fact->key, "warnings")) continue; /* says that there are none */
        const char *first = fact->parts.items[0].name;
        LIST_PUSH(arena, notes,
                  (SummaryNote){.label = kept(arena, fact->label),
                                .text = fact_text(arena, facts, fact),
                                .warning = first && text_equal(first, "message"),
                                .accepted = fact_number(fact, "accepted") > 0});
    }
    return notes;
}

/* ---- blocks of the report */

typedef struct BlockPick {
    const char *kind, *key;
    size_t parts; /* so many of its parts; 0: all */
} BlockPick;
static const BlockPick picks_of_blocks[] = {
    {"puppet", "pose", 0},    {"puppet", "wide", 0},         {"puppet", "tall", 0},
    {"puppet", "deep", 0},    {"puppet", "eyes", 0},         {"tables", "tables", 3},
    {"tables", "weight", 1},  {"room", "across", 0},         {"room", "back", 0},
    {"room", "turned", 0},    {"room", "tall", 0},           {"room", "door", 0},
    {"room", "heaviest", 2},  {"room", "heaviest_whole", 2}, {"lamps", "watts", 0},
    {"circuit", "rating", 0}, {"circuit", "for_hours", 0},   {"circuit", "load", 0},
    {"circuit", "left", 0}};

static const BlockPick *pick_of(const char *kind, const char *key) {
    for (size_t i = 0; i < sizeof picks_of_blocks / sizeof *picks_of_blocks; i++)
        if (text_equal(picks_of_blocks[i].kind, kind) && text_equal(picks_of_blocks[i].key, key))
            return &picks_of_blocks[i];
    return NULL;
}

static SummaryFact picked(Arena *arena, const Facts *facts, const Fact *fact, const BlockPick *pick) {
    Fact some = *fact;
    if (pick->parts > 0 && pick->parts < some.parts.count) some.parts.count = pick->parts;
    return (SummaryFact){.key = pick->key,
                         .text = fact_plain_text(arena, facts, &some),
                         .short_text = fact_short_text(arena, facts, &some)};
}

static SummaryBlocks pick_blocks(Arena *arena, const Facts *facts) {
    SummaryBlocks blocks = {0};
    for (size_t b = 0; b < facts->blocks.count; b++) {
        const FactBlock *block = facts->blocks.items[b];
        SummaryBlock some = {.kind = kept(arena, block->kind),
                             .name = kept(arena, block->name),
                             .shot = kept(arena, block->shot)};
        for (size_t i = 0; i < block->facts.count; i++) {
            const Fact *fact = block->facts.items[i];
            const BlockPick *pick = pick_of(block->kind, fact->key);
            if (pick) LIST_PUSH(arena, some.facts, picked(arena, facts, fact, pick));
        }
        if (some.facts.count > 0) LIST_PUSH(arena, blocks, some);
    }
    return blocks;
}

const SummaryFact *summary_fact(const SummaryBlock *block, const char *key) {
    for (size_t i = 0; i < block->facts.count; i++)
        if (text_equal(block->facts.items[i].key, key)) return &block->facts.items[i];
    return NULL;
}

/* ---- */

/* `pages 8 and 9, a spread`, `page 4`. */
static const char *pages_text(Arena *arena, const Facts *facts, const char *shot) {
    const Fact *pages = find_fact(facts, (Pick){"shot", "pages"}, shot);
    if (!pages) return "";
    const char *text = fact_text(arena, facts, pages);
    return pages->parts.items[0].kind == FACT_TEXT ? text : arena_format(arena, "%s %s", pages->label, text);
}

static SummaryShot summarise_shot(Arena *arena, const Plan *plan, const Facts *facts, size_t index) {
    const PlanShot *shot = &plan->shots[index];
    const Camera *camera = &shot->solution.camera;
    const int body = shot->body, lens = shot->cameras[0].lens_kind;
    const char *scene = plan->scene->name;
    SummaryShot summary = {
        .name = plan->shot_count > 1 ? arena_format(arena, "%s, %s", scene, shot->name) : kept(arena, scene),
        .shot = kept(arena, shot->name),
        .id = kept(arena, shot->id),
        .pages = pages_text(arena, facts, shot->name),
        .sizes = pick_lines(arena, facts, picks_of_shot, PICKS_OF_SHOT, shot->name),
        .body = body,
        .body_name = body >= 0 ? kept(arena, plan->scene->bodies[body].name) : NULL,
        .lens_name = lens >= 0 ? kept(arena, plan->scene->lenses[lens].name) : NULL,
        .focal_mm = camera->focal_mm,
        .height_mm = camera->height_mm,
        .distance_mm = camera->distance_mm,
        .tilt_rad = camera->tilt_rad,
        .upright = shot->shot->upright,
        .enlargement = camera_scale(camera, &shot->picture, (Point3){.up_mm = shot->mark.up_mm})};
    summarise_puppets(arena, plan, index, &summary);
    return summary;
}

static void keep_without(Arena *arena, const Costs *costs, Summary *summary) {
    for (int kind = 0; kind <= ALLOW_COUNT; kind++) {
        const Cutting *cutting = costs->without[kind].cutting;
        summary->without[kind] =
            (CutWithout){costs->without[kind].used, cutting ? cutting_copy(arena, cutting) : NULL};
    }
}

Summary plan_to_summary(Arena *arena, const Plan *plan, const Facts *facts) {
    Summary summary = {.scene = kept(arena, plan->scene->name),
                       .title = kept(arena, plan->scene->title),
                       .build_wide_mm = plan->build_wide_mm,
                       .build_deep_mm = plan->build_deep_mm,
                       .build_tall_mm = plan->build_tall_mm,
                       .sizes = pick_lines(arena, facts, picks_of_scene, PICKS_OF_SCENE, ""),
                       .notes = pick_notes(arena, facts),
                       .blocks = pick_blocks(arena, facts),
                       .shots = ARENA_ARRAY(arena, SummaryShot, plan->shot_count),
                       .shot_count = plan->shot_count};
    if (plan->parts && plan->parts->cutting) summary.cutting = cutting_copy(arena, plan->parts->cutting);
    if (summary.cutting && plan->costs) keep_without(arena, plan->costs, &summary);
    for (size_t i = 0; i < plan->shot_count; i++)
        summary.shots[i] = summarise_shot(arena, plan, facts, i);
    return summary;
}

/* ---- the book's */

static int compare_turns(const void *a, const void *b) {
    const Summary *one = *(const Summary *const *)a, *other = *(const Summary *const *)b;
    if (one->turn != other->turn) return one->turn < other->turn ? -1 : 1;
    return (one > other) - (one < other); /* as they stand, where no one has said */
}

const Summary **summaries_in_turn(Arena *arena, const Summary *summaries, size_t count) {
    const Summary **turns = ARENA_ARRAY(arena, const Summary *, count);
    for (size_t s = 0; s < count; s++)
        turns[s] = &summaries[s];
    if (count > 0) qsort(turns, count, sizeof *turns, compare_turns);
    return turns;
}

const BookCutting *summaries_to_cutting(Arena *arena, const Summary *summaries, size_t count) {
    const Summary **turns = summaries_in_turn(arena, summaries, count);
    const Cutting **scenes = ARENA_ARRAY(arena, const Cutting *, count);
    size_t cut = 0;
    for (size_t s = 0; s < count; s++)
        if (turns[s]->cutting) scenes[cut++] = turns[s]->cutting;
    return cuttings_to_book(arena, scenes, cut);
}
