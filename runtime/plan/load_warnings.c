/* Warnings of what carries the set and of what it must fit into. They wait until the set is cut into parts.
 */
#include "base/text.h"
#include "plan/plan_warnings.h"
#include "plan/relief.h"
#include "plan/room.h"
#include "plan/table_seams.h"
#include "plan/tables.h"
#include "plan/weights.h"

#include <math.h>

typedef struct Loader {
    Plan *plan;
    Arena *arena;
    Diagnostics *diagnostics;
} Loader;

static double stated(const Loader *l, int slot) {
    return l->plan->scene->slots[slot].stated && l->plan->known[slot] ? l->plan->values[slot] : NAN;
}

static const char *length(const Loader *l, double mm) {
    return l->plan->scene->lengths == STYLE_FEET_INCHES
               ? length_feet_inches(l->arena, mm, 8)
               : arena_format(l->arena, "%s mm", number_fixed(l->arena, mm, 0));
}

static const char *weight(const Loader *l, double kg) {
    const bool pounds = l->plan->scene->lengths == STYLE_FEET_INCHES;
    return arena_format(l->arena, "%s %s", number_fixed(l->arena, pounds ? kg / KG_PER_LB : kg, 0),
                        pounds ? "lb" : "kg");
}

/* The base's own place where the scene says one, else the scene's title. */
static const Thing *carried(const Loader *l) {
    return l->plan->things[l->plan->base >= 0 ? l->plan->base : l->plan->ground].thing;
}

/* In the gap, at its edge, or both in one. */
static void check_sag(const Loader *l, const Tables *tables) {
    const BoardStiffness *board = &tables->board;
    const bool gap = tables->sag_mm > BASE_SAG_MM, over = tables->sag_over_mm > BASE_SAG_MM;
    const char *at_gap =
        !gap ? ""
             : arena_format(l->arena, "%s mm over the %s between two tables",
                            number_fixed(l->arena, tables->sag_mm, 1), length(l, tables->apart_mm));
    const char *at_edge =
        !over ? ""
              : arena_format(l->arena, "%s mm where it hangs over them by %s",
                             number_fixed(l->arena, tables->sag_over_mm, 1), length(l, tables->over_most_mm));
    const char *layers =
        board->layers > 1 ? arena_format(l->arena, ", in %d layers without glue", board->layers) : "";
    if (!gap && !over) return;
    plan_add_warning(
        l->plan, l->diagnostics, "base-sags", carried(l)->name, plan_span_of_set(l->plan),
        gap ? "stand the tables nearer together, put a beam under the gap, or take a thicker base"
            : "a batten under it from the tables to its edge, or a thicker base",
        arena_format(l->arena, "the base sags %s%s%s, taken as %s%s%s", at_gap, gap && over ? " and " : "",
                     at_edge, board->name, layers,
                     board->guessed ? " (its stock names no kind that is known)" : ""));
}

static void check_tables(const Loader *l) {
    Tables tables;
    if (!plan_tables(l->arena, l->plan, &tables)) return;
    const PlanTable *worst = &tables.items[tables.heaviest];
    if (tables.holds_kg > 0 && worst->load_kg > tables.holds_kg)
        plan_add_warning(l->plan, l->diagnostics, "table-overloaded", "table", plan_span_of_set(l->plan),
                         "a lighter base, or stronger tables; a weight in the middle of a top counts more "
                         "than one over its "
                         "legs",
                         arena_format(l->arena, "table %d of row %d carries %s of the set; it holds %s",
                                      worst->column + 1, worst->row + 1, weight(l, worst->load_kg),
                                      weight(l, tables.holds_kg)));
    check_sag(l, &tables);
}

/* --- the room */

static const char *farthest_camera(const Loader *l, const RoomNeeds *needs) {
    const PlanCamera *camera = &l->plan->shots[needs->shot].cameras[needs->camera];
    return needs->camera == 0 ? "the planned camera"
                              : arena_format(l->arena, "an allowed camera (%s)", camera->name);
}

static void check_floor(const Loader *l, const RoomNeeds *needs) {
    const Scene *scene = l->plan->scene;
    const double wide = stated(l, scene->room_wide), deep = stated(l, scene->room_long);
    if (!(wide > 0) || !(deep > 0)) return;
    const bool one_way = needs->across_mm <= wide && needs->back_mm <= deep;
    const bool other_way = needs->across_mm <= deep && needs->back_mm <= wide;
    if (one_way || other_way) return;
    plan_add_warning(
        l->plan, l->diagnostics, "room-small", "room", scene->shots[needs->shot].camera_span,
        "a shorter lens stands nearer; or photograph through a door",
        arena_format(l->arena,
                     "the set takes %s across and %s from front to rear, with %s and somebody behind "
                     "it; the room is %s by %s",
                     length(l, needs->across_mm), length(l, needs->back_mm), farthest_camera(l, needs),
                     length(l, wide), length(l, deep)));
}

static const char *topmost(const Loader *l, const RoomNeeds *needs) {
    if (needs->top_lamp >= 0)
        return arena_format(l->arena, "lamp `%s`", l->plan->scene->lamps[needs->top_lamp].name);
    const Thing *it = l->plan->things[needs->top_thing].thing;
    if (it->role == ROLE_BACKDROP || it->role == ROLE_PUPPET || it->role == ROLE_GROUND)
        return arena_format(l->arena, "the %s", it->name);
    return arena_format(l->arena, "`%s`", it->name);
}

static void check_ceiling(const Loader *l, const RoomNeeds *needs) {
    const Scene *scene = l->plan->scene;
    const double ceiling = stated(l, scene->room_ceiling);
    if (!(ceiling > 0) || !(needs->tall_mm > ceiling)) return;
    const Span span = needs->top_lamp >= 0    ? scene->lamps[needs->top_lamp].span
                      : needs->top_thing >= 0 ? scene->things[needs->top_thing].span
                                              : scene->span;
    plan_add_warning(l->plan, l->diagnostics, "room-small", "room", span_is_none(span) ? scene->span : span,
                     "lower what reaches so high, or stand the set on lower tables",
                     arena_format(l->arena, "%s reaches %s above the floor; the ceiling is at %s",
                                  topmost(l, needs), length(l, needs->tall_mm), length(l, ceiling)));
}

/* The planned cameras; what an allowed one needs more, the report's heights say. */
static void check_tripod(const Loader *l) {
    const Plan *plan = l->plan;
    const double lowest = stated(l, plan->scene->tripod_lowest),
                 highest = stated(l, plan->scene->tripod_highest);
    if (!(plan->table_tall_mm > 0)) return;
    const double floor =
        plan->table_tall_mm + plan->ground_thick_mm + (plan->base >= 0 ? plan->base_thick_mm : 0);
    for (size_t s = 0; s < plan->shot_count; s++) {
        const double lens = floor + plan->shots[s].cameras[0].camera.height_mm;
        if (!(lens < lowest) && !(lens > highest)) continue;
        plan_add_warning(l->plan, l->diagnostics, "tripod-short", "tripod", plan->scene->shots[s].camera_span,
                         lens < lowest ? "stand the set on something, or the camera on a board or a clamp"
                                       : "stand the tripod on something firm, or the set lower",
                         arena_format(l->arena,
                                      "the lens is %s above the floor; the tripod holds it no %s than %s",
                                      length(l, lens), lens < lowest ? "lower" : "higher",
                                      length(l, lens < lowest ? lowest : highest)));
    }
}

static bool hangs(const Loader *l, const Thing *thing) {
    return l->plan->scene->slots[thing->slot[FIELD_UP]].stated;
}

static void check_reach(const Loader *l) {
    const double reach = stated(l, l->plan->scene->reach);
    if (!(reach > 0)) return;
    const OutOfReach out = plan_out_of_reach(l->arena, l->plan, reach);
    if (out.count == 0) return;
    Buffer names = buffer_new(l->arena);
    for (size_t i = 0; i < out.count; i++)
        buffer_format(&names, "%s%s", i == 0 ? "" : ", ", l->plan->things[out.things[i]].thing->name);
    const Thing *first = l->plan->things[out.things[0]].thing;
    bool one_hangs = false;
    for (size_t i = 0; i < out.count; i++)
        one_hangs = one_hangs || hangs(l, l->plan->things[out.things[i]].thing);
    const char *farthest = length(l, out.farthest_mm);
    plan_add_warning(
        l->plan, l->diagnostics, "out-of-reach", carried(l)->name,
        span_is_none(first->span) ? l->plan->scene->span : first->span,
        out.count == 1 ? "place it before what stands in front of it"
                       : arena_format(l->arena, "place them in this order, before what stands in front: %s",
                                      buffer_text(&names)),
        out.count == 1
            ? arena_format(l->arena, "`%s` %s %s from a free edge of the base; an arm reaches %s",
                           first->name, one_hangs ? "hangs" : "stands", farthest, length(l, reach))
            : arena_format(l->arena,
                           "%zu things %s farther from a free edge of the base than the %s that an "
                           "arm reaches, up to %s",
                           out.count, one_hangs ? "stand or hang" : "stand", length(l, reach), farthest));
}

/* --- into the room */

static Span span_of_thing(const Loader *l, int thing) {
    const Span span = l->plan->things[thing].thing->span;
    return span_is_none(span) ? l->plan->scene->span : span;
}

static const char *sizes(const Loader *l, double wide_mm, double tall_mm) {
    return arena_format(l->arena, "%s x %s", length(l, wide_mm), length(l, tall_mm));
}

static void warn_of_door(const Loader *l, int thing, const char *name, const char *size, const char *help) {
    const Scene *scene = l->plan->scene;
    plan_add_warning(l->plan, l->diagnostics, "door-small", l->plan->things[thing].thing->name,
                     span_of_thing(l, thing), help,
                     arena_format(l->arena, "%s, %s, does not go through the door of %s", name, size,
                                  sizes(l, stated(l, scene->door_wide), stated(l, scene->door_tall))));
}

/* What is cut, and the pieces, which are put together where they were cut. */
static void check_door(const Loader *l) {
    const Plan *plan = l->plan;
    const double wide = stated(l, plan->scene->door_wide), tall = stated(l, plan->scene->door_tall);
    if (!(wide > 0) || !(tall > 0)) return;
    for (size_t i = 0; plan->parts && i < plan->parts->items.count; i++) {
        const Part *part = &plan->parts->items.items[i];
        if (!passes_door(part->wide_mm, part->tall_mm, part->thick_mm, wide, tall))
            warn_of_door(l, part->thing, part->name, sizes(l, part->wide_mm, part->tall_mm),
                         "cut it smaller, or in the room");
    }
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *it = &plan->things[i];
        if (it->thing->role != ROLE_PIECE || passes_door(it->wide_mm, it->tall_mm, it->deep_mm, wide, tall))
            continue;
        warn_of_door(
            l, (int)i, it->thing->name,
            arena_format(l->arena, "%s x %s", sizes(l, it->wide_mm, it->tall_mm), length(l, it->deep_mm)),
            "put it together in the room");
    }
}

/* A puppet may stand in several shots. */
static bool stood_before(const Loader *l, size_t thing) {
    const Thing *it = &l->plan->scene->things[thing];
    for (size_t i = 0; it->role == ROLE_PUPPET && i < thing; i++) {
        const Thing *other = &l->plan->scene->things[i];
        if (other->role == ROLE_PUPPET && text_equal(other->name, it->name)) return true;
    }
    return false;
}

static void warn_of_weight(const Loader *l, int thing, const char *name, double kg, double most_kg,
                           const char *help) {
    plan_add_warning(l->plan, l->diagnostics, "too-heavy", l->plan->things[thing].thing->name,
                     span_of_thing(l, thing), help,
                     arena_format(l->arena, "%s weighs %s; one person carries %s", name, weight(l, kg),
                                  weight(l, most_kg)));
}

/* So many as it takes; what would take more hands than find room at it is rather a slip of the pen. */
static const char *how_carried(const Loader *l, double kg, double most_kg) {
    static const char *const hands[] = {"two carry it, with one of them to count",
                                        "three carry it, with one of them to count",
                                        "four carry it, with one of them to count"};
    const double persons = ceil(kg / most_kg - 1e-9);
    return persons <= 4 ? hands[(int)fmax(persons, 2) - 2]
                        : arena_format(l->arena,
                                       "%s is no load for hands: look at the number; what does weigh "
                                       "that is for lifting gear and those who know it",
                                       weight(l, kg));
}

/* Once a thing, by its heaviest part; what is carried as it stands (puppets, pieces, and whatever states its
 * weight), by the whole of one. */
static void check_carry(const Loader *l) {
    const double most = stated(l, l->plan->scene->carry);
    if (!(most > 0)) return;
    for (size_t i = 0; i < l->plan->scene->thing_count; i++) {
        const Part *heaviest = plan_heaviest_part(l->plan, (int)i);
        const double whole = plan_carried_kg(l->plan, (int)i);
        if (heaviest && heaviest->weight_kg > most)
            warn_of_weight(
                l, (int)i, heaviest->name, heaviest->weight_kg, most,
                arena_format(l->arena, "%s; or cut it smaller", how_carried(l, heaviest->weight_kg, most)));
        else if (whole > most && !stood_before(l, i))
            warn_of_weight(l, (int)i,
                           arena_format(l->arena, "`%s`%s", l->plan->scene->things[i].name,
                                        heaviest ? ", put together," : ""),
                           whole, most,
                           arena_format(l->arena, "%s%s", heaviest ? "put it together on the set; or " : "",
                                        how_carried(l, whole, most)));
    }
}

/* Where a scene is cut by itself, with all that is on hand. */
static void check_lacking(const Loader *l) {
    const Parts *parts = l->plan->parts;
    for (size_t i = 0; parts && i < parts->lacking.count; i++) {
        const PartsLacking *it = &parts->lacking.items[i];
        const Stock *stock = &l->plan->scene->stocks[it->stock];
        const Slot *slots = l->plan->scene->slots;
        const bool sold = slots[stock->sheet_wide].stated || slots[stock->bar_long].stated;
        const char *name = l->plan->things[it->thing].thing->name;
        plan_add_warning(
            l->plan, l->diagnostics, "nothing-to-cut", name, span_of_thing(l, it->thing),
            sold ? "add to what it has on hand, which alone is large enough; or cut these parts smaller"
                 : arena_format(l->arena,
                                "write into the stock how it is sold, `%s` or `%s`; or add to its `have`",
                                plan_stock_example(l->plan, false), plan_stock_example(l->plan, true)),
            arena_format(l->arena, "nothing is left of stock `%s` to cut %d part%s of `%s` from", stock->name,
                         it->count, it->count == 1 ? "" : "s", name));
    }
}

void load_to_warnings(Plan *plan, Diagnostics *diagnostics) {
    const Loader l = {plan, plan->scene->arena, diagnostics};
    const RoomNeeds needs = plan_room_needs(plan->scene->arena, plan);
    check_lacking(&l);
    check_tables(&l);
    seams_to_warnings(plan, diagnostics);
    relief_to_warnings(plan, diagnostics);
    slopes_to_warnings(plan, diagnostics);
    check_floor(&l, &needs);
    check_ceiling(&l, &needs);
    check_tripod(&l);
    check_reach(&l);
    check_door(&l);
    check_carry(&l);
    holes_to_warnings(plan, diagnostics);
}
