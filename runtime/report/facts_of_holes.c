/* Where the base is drilled for what stands on it (docs/geometry.md, rules 103 and 104). */
#include "base/text.h"
#include "plan/holes.h"
#include "plan/lamps.h"
#include "report/facts_of_plan.h"

#include <math.h>

static void write_clearances(Writer *writer, FactBlock *block, const Holes *holes) {
    Fact *fact = fact_new(writer->facts, block, "clear", "to be kept clear");
    fact_part(writer->facts, fact,
              (FactPart){.name = "of_seams",
                         .kind = FACT_PLACE,
                         .number = HOLE_FROM_SEAM_MM,
                         .after = holes->has_tables ? " from seams, " : " from seams"});
    if (!holes->has_tables) return;
    fact_part(writer->facts, fact,
              (FactPart){.name = "of_legs",
                         .kind = FACT_PLACE,
                         .number = HOLE_FROM_LEG_MM,
                         .after = " from tables' legs, "});
    fact_part(writer->facts, fact,
              (FactPart){.name = "of_edges",
                         .kind = FACT_PLACE,
                         .number = HOLE_FROM_EDGE_MM,
                         .after = " from their edges"});
}

static void write_legs(Writer *writer, FactBlock *block, const Tables *tables) {
    Fact *fact = fact_new(writer->facts, block, "legs", "tables' legs");
    fact_part(
        writer->facts, fact,
        (FactPart){.name = "thick", .kind = FACT_PLACE, .number = tables->leg_thick_mm, .after = " thick, "});
    fact_part(writer->facts, fact,
              (FactPart){.name = "inset",
                         .kind = FACT_PLACE,
                         .number = tables->leg_inset_mm,
                         .after = " in from the edges of their tops"});
    write_text(writer, block, "tops", "tables' tops",
               tables->whole ? "whole: nothing is drilled through them"
                             : "open, or drilled together with the base");
}

static const char *under_words(const Writer *writer, const Holes *holes, TablePlace place) {
    static const char *const over[] = {
        [UNDER_TOP] = "over", [UNDER_LEG] = "over a leg of", [UNDER_EDGE] = "over the edge of"};
    if (place.table < 0) return "over no table";
    const PlanTable *table = &holes->tables.items[place.table];
    if (holes->tables.rows[table->row].count == 1)
        return arena_format(writer->arena, "%s row %d", over[place.under], table->row + 1);
    return arena_format(writer->arena, "%s row %d, table %d", over[place.under], table->row + 1,
                        table->column + 1);
}

static const char *thing_name(const Writer *writer, const PlanThing *it) {
    const int shot = it->thing->shot;
    return shot >= 0 ? name_in_shot(writer, it->thing->name, &writer->plan->shots[shot]) : it->thing->name;
}

static void write_hole(Writer *writer, FactBlock *block, const Holes *holes, const Hole *hole) {
    const char *name = thing_name(writer, &writer->plan->things[hole->point.thing]);
    const char *which = hole_name(writer->arena, writer->plan, hole);
    const char *label = arena_format(writer->arena, "%s%s%s", name, which[0] ? ", " : "", which);
    Fact *fact =
        write_place(writer, block, arena_format(writer->arena, "hole %s", label), label, hole->point.at);
    fact_part(
        writer->facts, fact,
        (FactPart){.name = "through",
                   .kind = FACT_PLACE,
                   .number = hole->through_mm,
                   .before = "; ",
                   .after = writer->plan->base >= 0 ? " through ground and base" : " through the ground"});
    if (!isnan(hole->seam_mm))
        fact_part(writer->facts, fact,
                  (FactPart){.name = "seam",
                             .kind = FACT_PLACE,
                             .number = hole->seam_mm,
                             .before = "; ",
                             .after = " from the nearest seam"});
    if (holes->has_tables)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "under",
                             .kind = FACT_TEXT,
                             .text = under_words(writer, holes, hole->place),
                             .before = "; "});
    if (!hole->point.below)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "from", .kind = FACT_TEXT, .text = "from above", .before = "; "});
}

/* Why something has no hole. */
typedef enum NoHole { HAS_HOLE, HANGS, STANDS_ATOP, STANDS_ALONE, STANDS_BEHIND, STANDS_BESIDE } NoHole;

static bool has_hole(const Holes *holes, const Plan *plan, int thing) {
    const Thing *it = plan->things[thing].thing;
    for (size_t i = 0; i < holes->items.count; i++) {
        const Thing *other = plan->things[holes->items.items[i].point.thing].thing;
        if (other == it ||
            (it->role == ROLE_PUPPET && other->role == ROLE_PUPPET && text_equal(it->name, other->name)))
            return true; /* a puppet that stands alike in several shots has one */
    }
    return holes->too_many;
}

static NoHole why_no_hole(const Holes *holes, const Plan *plan, int thing) {
    const PlanThing *it = &plan->things[thing];
    const ThingRole role = it->thing->role;
    const bool backdrop = role == ROLE_BACKDROP;
    if (role != ROLE_PUPPET && role != ROLE_PIECE && role != ROLE_FLAT && !backdrop) return HAS_HOLE;
    if (it->hung) return HANGS;
    if (it->thing->atop >= 0) return STANDS_ATOP;
    if (it->thing->fixed == FIXED_OFF) return backdrop ? STANDS_BEHIND : STANDS_ALONE;
    return has_hole(holes, plan, thing) ? HAS_HOLE : STANDS_BESIDE;
}

static void write_others(Writer *writer, FactBlock *block, const Holes *holes, NoHole why, const char *key,
                         const char *label) {
    Buffer names = buffer_new(writer->arena);
    for (size_t i = 0; i < writer->plan->scene->thing_count; i++) {
        const PlanThing *it = &writer->plan->things[i];
        if (why_no_hole(holes, writer->plan, (int)i) == why)
            buffer_format(&names, "%s%s", names.count > 0 ? ", " : "", thing_name(writer, it));
    }
    if (names.count > 0) write_text(writer, block, key, label, buffer_text(&names));
}

/* Nothing says how it is held; but it does not stand without. */
static void write_backdrop(Writer *writer, FactBlock *block, const Holes *holes) {
    for (size_t i = 0; i < writer->plan->scene->thing_count; i++)
        if (why_no_hole(holes, writer->plan, (int)i) == STANDS_BEHIND)
            write_text(writer, block, "backdrop", "backdrop",
                       "not held to the base: hang it, or brace it from behind and weight the feet");
}

void facts_of_holes(Writer *writer) {
    const Plan *plan = writer->plan;
    const Holes holes = plan_holes(writer->arena, plan);
    if (plan->base < 0 && !holes.has_tables) return;
    FactBlock *block = facts_block(writer->facts, "holes", "", "");
    write_text(writer, block, "from", "counted from",
               arena_format(writer->arena, "the %s's front edge and the centre line, as in `tape-out`",
                            writer->datum.owner));
    write_clearances(writer, block, &holes);
    if (holes.has_tables) write_legs(writer, block, &holes.tables);
    const Thing *board = plan->things[plan->base >= 0 ? plan->base : plan->ground].thing;
    if (thing_is_foam(plan, board) && board->layer_count == 0)
        write_text(writer, block, "foam", "the board is foam",
                   "it holds no screw; tie down against a plate or a wide washer under it");
    for (size_t i = 0; i < holes.items.count; i++)
        write_hole(writer, block, &holes, &holes.items.items[i]);
    if (holes.too_many)
        write_text(writer, block, "more", "more than these",
                   arena_format(writer->arena, "only the first %d holes are told", FIXINGS_MOST));
    write_others(writer, block, &holes, STANDS_ATOP, "atop", "held to what they stand on");
    write_others(writer, block, &holes, HANGS, "hung", "hung");
    write_others(writer, block, &holes, STANDS_ALONE, "alone", "stand by themselves");
    write_others(writer, block, &holes, STANDS_BESIDE, "beside", "not over the base, so without a hole");
    write_backdrop(writer, block, &holes);
}
