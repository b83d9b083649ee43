/* What carries the set, and the room that it takes (docs/geometry.md, rules 94 to 98). */
#include "base/text.h"
#include "plan/room.h"
#include "plan/table_seams.h"
#include "plan/tables.h"
#include "plan/weights.h"
#include "report/facts_of_plan.h"

#include <math.h>

/* Less is not worth a line. */
#define SAG_TOLD_MM 0.1

static const FactWay WAY_OVER = {" of the base beyond the tables", " of the tables beyond the base", "flush"};
static const FactWay WAY_SPARE = {" to spare", " too much", "just"};

/* --- tables */

static void write_how_many(Writer *writer, FactBlock *block, const Tables *tables) {
    Fact *fact = fact_new(writer->facts, block, "tables", NULL);
    fact_part(writer->facts, fact,
              (FactPart){.name = "count",
                         .kind = FACT_NUMBER,
                         .number = tables->count,
                         .after = tables->count == 1 ? ", " : ", each "});
    fact_part(writer->facts, fact,
              (FactPart){.name = "across",
                         .kind = FACT_PLACE,
                         .number = tables->across_mm,
                         .after = " across x ",
                         .joined = true});
    fact_part(
        writer->facts, fact,
        (FactPart){
            .name = "back", .kind = FACT_PLACE, .number = tables->back_mm, .after = " from front to rear"});
    if (tables->count > 1 && tables->apart_mm > 0)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "apart",
                             .kind = FACT_PLACE,
                             .number = tables->apart_mm,
                             .before = ", ",
                             .after = " apart"});
    else if (tables->count > 1)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "apart", .kind = FACT_TEXT, .text = "pushed together", .before = ", "});
}

static void write_row(Writer *writer, FactBlock *block, const Tables *tables, int index) {
    const TableRow *row = &tables->rows[index];
    const PlanTable *first = &tables->items[row->first];
    const char *number = arena_format(writer->arena, "row %d", index + 1);
    Fact *fact =
        write_place(writer, block, number, arena_format(writer->arena, "%s, left front corner", number),
                    (Point3){first->left_mm, first->front_mm, 0});
    fact_part(writer->facts, fact,
              (FactPart){.name = "count",
                         .kind = FACT_NUMBER,
                         .number = row->count,
                         .before = "; ",
                         .after = row->count == 1 ? " table; " : " tables; "});
    if (fabs(row->over_left_mm - row->over_right_mm) > 2)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "over_left",
                             .kind = FACT_PLACE,
                             .number = row->over_left_mm,
                             .before = "at its left end ",
                             .way = &WAY_OVER});
    fact_part(writer->facts, fact,
              (FactPart){.name = "over",
                         .kind = FACT_PLACE,
                         .number = row->over_right_mm,
                         .before = fabs(row->over_left_mm - row->over_right_mm) > 2 ? ", at its right end "
                                                                                    : "at its ends ",
                         .way = &WAY_OVER});
}

/* So that screws from below miss legs and edges. */
static void write_moved(Writer *writer, FactBlock *block, const Tables *tables) {
    static const FactWay sideways = {" to the right", " to the left", "not sideways"};
    static const FactWay back = {" back", " forward", "not back or forward"};
    if (tables->moved_right_mm == 0 && tables->moved_back_mm == 0) return;
    Fact *fact = fact_new(writer->facts, block, "moved", "moved for the holes");
    fact_part(
        writer->facts, fact,
        (FactPart){.name = "right", .kind = FACT_PLACE, .number = tables->moved_right_mm, .way = &sideways});
    fact_part(writer->facts, fact,
              (FactPart){.name = "back",
                         .kind = FACT_PLACE,
                         .number = tables->moved_back_mm,
                         .before = ", ",
                         .way = &back});
}

static void write_table_load(Writer *writer, FactBlock *block, const Tables *tables, int index) {
    const PlanTable *table = &tables->items[index];
    const bool alone = tables->rows[table->row].count == 1;
    const char *key = arena_format(writer->arena, "carries %d.%d", table->row + 1, table->column + 1);
    const char *label = alone ? arena_format(writer->arena, "row %d carries", table->row + 1)
                              : arena_format(writer->arena, "row %d, table %d from the left carries",
                                             table->row + 1, table->column + 1);
    Fact *fact = write_number(writer, block, key, label, FACT_WEIGHT, table->load_kg);
    if (tables->holds_kg > 0)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "share",
                             .kind = FACT_SHARE,
                             .number = table->load_kg / tables->holds_kg,
                             .before = ", ",
                             .after = " of what it holds"});
}

/* All that weighs on them, and what is not known to. */
static void write_weighed(Writer *writer, FactBlock *block, const Tables *tables) {
    Fact *fact = write_number(writer, block, "weight", "weighs", FACT_WEIGHT, tables->load_kg);
    const char *others = not_weighed(writer);
    if (has_shots(writer->plan) && isfinite(weight_of_puppets(writer, tables->shot)))
        fact_part(writer->facts, fact,
                  (FactPart){.name = "shot",
                             .kind = FACT_TEXT,
                             .text = writer->plan->shots[tables->shot].name,
                             .before = ", with the puppets of "});
    if (others) write_text(writer, block, "not_weighed", "not weighed", others);
}

/* Where there is a base. */
static void write_sag(Writer *writer, FactBlock *block, const char *key, const char *label,
                      const Tables *tables, bool asked, double mm) {
    const BoardStiffness *board = &tables->board;
    if (writer->plan->base < 0 || !asked) return;
    if (isnan(mm)) {
        write_text(writer, block, key, label, "not known: its stock states no `modulus`");
        return;
    }
    Fact *sag = fact_new(writer->facts, block, key, label);
    const char *layers =
        board->layers > 1 ? arena_format(writer->arena, ", in %d layers without glue", board->layers) : "";
    fact_part(writer->facts, sag, (FactPart){.kind = FACT_SENSOR, .number = mm, .after = ", taken as "});
    fact_part(
        writer->facts, sag,
        (FactPart){.name = "as",
                   .kind = FACT_TEXT,
                   .text = arena_format(writer->arena, "%s%s%s", board->name, layers,
                                        board->guessed ? ", as its stock names no kind that is known" : "")});
}

/* Of what lies on them; those that no top bears are warned of. */
static void write_seams(Writer *writer, FactBlock *block, const Tables *tables) {
    const Parts *parts = writer->plan->parts;
    int all = 0, borne = 0;
    for (size_t i = 0; parts && i < parts->seams.count; i++) {
        const PartSeam *seam = &parts->seams.items[i];
        all += seam->on_tables;
        borne += seam->on_tables && !seam_no_bed(writer->arena, tables, seam);
    }
    if (all == 0) return;
    Fact *fact =
        fact_new(writer->facts, block, "seams",
                 writer->plan->base >= 0 ? "seams of the base on tops" : "seams of the ground on tops");
    fact_part(writer->facts, fact,
              (FactPart){.name = "borne", .kind = FACT_NUMBER, .number = borne, .after = " of "});
    fact_part(writer->facts, fact, (FactPart){.name = "all", .kind = FACT_NUMBER, .number = all});
}

static void write_tables(Writer *writer) {
    Tables tables;
    if (!plan_tables(writer->arena, writer->plan, &tables)) return;
    FactBlock *block = facts_block(writer->facts, "tables", "", "");
    write_how_many(writer, block, &tables);
    for (int i = 0; i < tables.row_count; i++)
        write_row(writer, block, &tables, i);
    write_way(writer, block, "front", "at the front", FACT_PLACE, tables.over_front_mm, &WAY_OVER);
    write_way(writer, block, "rear", "at the rear", FACT_PLACE, tables.over_rear_mm, &WAY_OVER);
    write_moved(writer, block, &tables);
    write_seams(writer, block, &tables);
    write_weighed(writer, block, &tables);
    for (int i = 0; i < tables.count; i++)
        write_table_load(writer, block, &tables, i);
    write_sag(writer, block, "sag", "the base sags between two tables", &tables,
              tables.count > 1 && tables.apart_mm > 0, tables.sag_mm);
    write_sag(writer, block, "sag_over", "the base sags where it hangs over farthest", &tables,
              tables.sag_over_mm > SAG_TOLD_MM, tables.sag_over_mm);
}

/* --- room */

static Fact *write_against(Writer *writer, Fact *fact, double spare_mm) {
    return fact_part(
        writer->facts, fact,
        (FactPart){
            .name = "spare", .kind = FACT_PLACE, .number = spare_mm, .before = "; ", .way = &WAY_SPARE});
}

static double stated(const Writer *writer, int slot) {
    return writer->plan->scene->slots[slot].stated ? slot_number(writer->plan, slot) : NAN;
}

static void write_floor(Writer *writer, FactBlock *block, const RoomNeeds *needs) {
    const Scene *scene = writer->plan->scene;
    double wide = stated(writer, scene->room_wide), deep = stated(writer, scene->room_long);
    Fact *across = write_number(writer, block, "across", "takes, across", FACT_PLACE, needs->across_mm);
    Fact *back = write_number(writer, block, "back", "takes, from front to rear", FACT_PLACE, needs->back_mm);
    if (!(wide > 0) || !(deep > 0)) return;
    const bool one_way = needs->across_mm <= wide && needs->back_mm <= deep;
    if (!one_way && needs->across_mm <= deep && needs->back_mm <= wide) {
        const double other = wide;
        wide = deep;
        deep = other;
        write_text(writer, block, "turned", "the camera looks", "across the room, not along it");
    }
    write_against(writer, across, wide - needs->across_mm);
    write_against(writer, back, deep - needs->back_mm);
}

static void write_farthest(Writer *writer, FactBlock *block, const RoomNeeds *needs) {
    const PlanShot *shot = &writer->plan->shots[needs->shot];
    const PlanCamera *camera = &shot->cameras[needs->camera];
    Fact *fact = fact_new(writer->facts, block, "farthest", "farthest camera");
    fact_part(
        writer->facts, fact,
        (FactPart){.name = "name", .kind = FACT_TEXT, .text = name_in_shot(writer, camera->name, shot)});
    fact_part(writer->facts, fact,
              (FactPart){.name = "from_edge",
                         .kind = FACT_PLACE,
                         .number = writer->datum.front_mm + camera->camera.distance_mm,
                         .before = ", its lens ",
                         .way = &WAY_BEFORE_EDGE});
    fact_part(writer->facts, fact,
              (FactPart){.name = "person",
                         .kind = FACT_PLACE,
                         .number = ROOM_PERSON_MM,
                         .before = "; behind it ",
                         .after = " for a person"});
}

static const char *top_name(const Writer *writer, const RoomNeeds *needs) {
    if (needs->top_lamp >= 0)
        return arena_format(writer->arena, "lamp %s", writer->plan->scene->lamps[needs->top_lamp].name);
    return writer->plan->things[needs->top_thing].thing->name;
}

static void write_ceiling(Writer *writer, FactBlock *block, const RoomNeeds *needs) {
    const double ceiling = stated(writer, writer->plan->scene->room_ceiling);
    if (isnan(needs->tall_mm)) return;
    Fact *fact = fact_new(writer->facts, block, "tall", "highest above the floor");
    fact_part(writer->facts, fact,
              (FactPart){.name = "thing", .kind = FACT_TEXT, .text = top_name(writer, needs), .after = ", "});
    fact_part(writer->facts, fact, (FactPart){.name = "up", .kind = FACT_PLACE, .number = needs->tall_mm});
    if (ceiling > 0) write_against(writer, fact, ceiling - needs->tall_mm);
}

static void write_reach(Writer *writer, FactBlock *block) {
    const double reach = stated(writer, writer->plan->scene->reach);
    if (!(reach > 0)) return;
    const OutOfReach out = plan_out_of_reach(writer->arena, writer->plan, reach);
    Buffer names = buffer_new(writer->arena);
    for (size_t i = 0; i < out.count; i++)
        buffer_format(&names, "%s%s", i > 0 ? ", " : "", writer->plan->things[out.things[i]].thing->name);
    write_text(writer, block, "out_of_reach", "out of an arm's reach, to be placed in this order",
               out.count > 0 ? buffer_text(&names) : "nothing");
}

/* --- into the room */

static void write_door(Writer *writer, FactBlock *block) {
    const Plan *plan = writer->plan;
    const double wide = stated(writer, plan->scene->door_wide), tall = stated(writer, plan->scene->door_tall);
    if (!(wide > 0) || !(tall > 0) || !plan->parts) return;
    Buffer names = buffer_new(writer->arena);
    for (size_t i = 0; i < plan->parts->items.count; i++) {
        const Part *part = &plan->parts->items.items[i];
        if (!passes_door(part->wide_mm, part->tall_mm, part->thick_mm, wide, tall))
            buffer_format(&names, "%s%s", names.count > 0 ? ", " : "", part->name);
    }
    write_text(writer, block, "door", "parts that do not go through the door",
               names.count > 0 ? buffer_text(&names) : "none; the room to turn behind it is not looked at");
}

static void write_heaviest(Writer *writer, FactBlock *block, const char *key, const char *label,
                           const char *name, double kg) {
    Fact *fact = fact_new(writer->facts, block, key, label);
    fact_part(writer->facts, fact,
              (FactPart){.name = "part", .kind = FACT_TEXT, .text = name, .after = ", "});
    fact_part(writer->facts, fact, (FactPart){.name = "weight", .kind = FACT_WEIGHT, .number = kg});
    fact_part(writer->facts, fact,
              (FactPart){.name = "carry",
                         .kind = FACT_WEIGHT,
                         .number = stated(writer, writer->plan->scene->carry),
                         .before = "; one person carries "});
}

static void write_carry(Writer *writer, FactBlock *block) {
    const Plan *plan = writer->plan;
    const Part *heaviest = NULL;
    double most_kg = 0;
    int whole = -1;
    if (isnan(stated(writer, plan->scene->carry))) return;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const Part *part = plan_heaviest_part(plan, (int)i);
        const double kg = plan_carried_kg(plan, (int)i);
        if (part && part->weight_kg > (heaviest ? heaviest->weight_kg : 0)) heaviest = part;
        if (!(kg > most_kg)) continue;
        most_kg = kg;
        whole = (int)i;
    }
    if (heaviest)
        write_heaviest(writer, block, "heaviest", "heaviest part", heaviest->name, heaviest->weight_kg);
    if (whole >= 0 && !(heaviest && heaviest->weight_kg >= most_kg * (1 - 1e-9)))
        write_heaviest(writer, block, "heaviest_whole", "heaviest that is carried whole",
                       plan->scene->things[whole].name, most_kg);
}

static void write_room(Writer *writer) {
    const Scene *scene = writer->plan->scene;
    const int slots[] = {scene->room_wide, scene->room_long, scene->room_ceiling,
                         scene->door_wide, scene->carry,     scene->reach};
    bool any = false;
    for (size_t i = 0; i < sizeof slots / sizeof *slots; i++)
        any |= scene->slots[slots[i]].stated;
    if (!any) return;
    const RoomNeeds needs = plan_room_needs(writer->arena, writer->plan);
    FactBlock *block = facts_block(writer->facts, "room", "", "");
    write_floor(writer, block, &needs);
    write_farthest(writer, block, &needs);
    write_ceiling(writer, block, &needs);
    write_door(writer, block);
    write_carry(writer, block);
    write_reach(writer, block);
}

void facts_of_load(Writer *writer) {
    write_tables(writer);
    write_room(writer);
}
