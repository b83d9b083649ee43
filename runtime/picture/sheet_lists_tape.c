/* Tables of what is taped out: things, corners and edges, the frame, and where the base is drilled. */
#include "picture/sheet_lists.h"

#include <string.h>

static const char *cell(const Sheets *sheets, const Fact *fact, size_t first, size_t count) {
    return fact && first + count <= fact->parts.count
               ? fact_cell_text(sheets->arena, sheets->facts, fact, first, count)
               : "";
}

static bool is_place(const Fact *fact) {
    return fact->parts.count == 2 && fact->parts.items[0].name && fact->parts.items[1].name &&
           text_equal(fact->parts.items[0].name, "behind") && text_equal(fact->parts.items[1].name, "right");
}

/* What a block calls its thing; of a mark, who stands there. */
static const char *name_of_block(const Sheets *sheets, const FactBlock *block) {
    const Fact *here = sheet_fact(sheets, block, "here");
    if (!here) return sheet_numbered(sheets, block->name);
    const char *who = fact_text(sheets->arena, sheets->facts, here);
    const size_t shots = sheets->plan->shot_count;
    for (size_t i = 0; i < shots; i++) {
        if (shots > 1 && !text_equal(block->shot, sheets->plan->shots[i].name)) continue;
        const PlanThing *lead = &sheets->things[sheets->plan->shots[i].lead];
        who = arena_format(sheets->arena, "%d %s", sheet_number(sheets, (size_t)sheets->plan->shots[i].lead),
                           lead->thing->name);
        break;
    }
    return arena_format(sheets->arena, "%s: %s", block->name, who);
}

/* `middle of its front, its front 8.0 deg to the left`. */
static const char *which_place(const Sheets *sheets, const FactBlock *block, const Fact *fact) {
    Buffer words = buffer_new(sheets->arena);
    if (!text_equal(fact->label, "place")) buffer_add(&words, fact->label);
    if (!text_equal(fact->key, "place")) return buffer_text(&words);
    const Fact *turn = sheet_fact(sheets, block, "turn"), *foot = sheet_fact(sheets, block, "foot");
    if (turn)
        buffer_format(&words, "%s%s", words.count > 0 ? ", " : "",
                      fact_text(sheets->arena, sheets->facts, turn));
    if (foot)
        buffer_format(&words, "%sfoot %s", words.count > 0 ? ", " : "",
                      fact_text(sheets->arena, sheets->facts, foot));
    return buffer_text(&words);
}

static void add_places(Sheets *sheets, SheetTable *table, const FactBlock *block) {
    const Fact *tapes = sheet_fact(sheets, block, "two_tapes");
    const char *name = name_of_block(sheets, block);
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        if (!is_place(fact)) continue;
        const bool main = text_equal(fact->key, "place");
        sheet_row(
            sheets, table,
            (SheetRow){{name, which_place(sheets, block, fact),
                        sheet_without(sheets, cell(sheets, fact, 0, 1), " behind"), cell(sheets, fact, 1, 1),
                        main ? cell(sheets, tapes, 0, 1) : "", main ? cell(sheets, tapes, 1, 1) : ""}});
        name = "";
    }
}

static bool is_level(const FactBlock *block) {
    return text_equal(block->name, "base") || text_equal(block->name, "ground");
}

static void tape_out(Sheets *sheets) {
    SheetTable things = {.title = "Tape-out",
                         .columns = 6,
                         .soft = 1,
                         .heads = {"what", "which place", "behind the front edge", "right or left",
                                   "from the left front corner", "from the right front corner"}},
               levels = {.title = "Corners",
                         .columns = 4,
                         .soft = SHEET_COLUMNS_MOST,
                         .heads = {"what", "which corner", "behind the front edge", "right or left"}};
    things.note = arena_format(sheets->arena, "Counted from %s.", sheet_value(sheets, "tape-out", "from"));
    for (size_t i = 0; i < sheets->facts->blocks.count; i++) {
        const FactBlock *block = sheets->facts->blocks.items[i];
        if (!text_equal(block->kind, "tape-out") || !block->name[0]) continue;
        add_places(sheets, is_level(block) ? &levels : &things, block);
    }
    sheet_table(sheets, &things);
    sheet_table(sheets, &levels);
}

/* Everything else that is taped. */
static void edges(Sheets *sheets) {
    SheetTable table = {.title = "Edges and diagonals, to check them by",
                        .columns = 7,
                        .soft = SHEET_COLUMNS_MOST,
                        .heads = {"what", "front edge", "rear edge", "left side", "right side",
                                  "left front to right rear", "right front to left rear"}};
    for (size_t i = 0; i < sheets->facts->blocks.count; i++) {
        const FactBlock *block = sheets->facts->blocks.items[i];
        const char *heading = block->heading;
        if (!text_equal(block->kind, "tape-out") || !is_level(block)) continue;
        sheet_row(sheets, &table,
                  (SheetRow){{block->name, sheet_value(sheets, heading, "front"),
                              sheet_value(sheets, heading, "rear"), sheet_value(sheets, heading, "left_side"),
                              sheet_value(sheets, heading, "right_side"),
                              sheet_value(sheets, heading, "left_diagonal"),
                              sheet_value(sheets, heading, "right_diagonal")}});
    }
    sheet_table(sheets, &table);
}

static void frames(Sheets *sheets) {
    static const char *const where[][3] = {{"at the front", "front_left", "front_right"},
                                           {"at the mark", "mark_left", "mark_right"},
                                           {"at the rear", "rear_left", "rear_right"}};
    SheetTable table = {.title = "The frame on the ground",
                        .columns = 4,
                        .soft = SHEET_COLUMNS_MOST,
                        .heads = {"what", "where", "left edge", "right edge"}};
    for (size_t s = 0; s < sheets->plan->shot_count; s++) {
        const char *name = sheet_in_shot(sheets, "frame", s);
        const char *heading = arena_format(sheets->arena, "tape-out %s", name);
        for (size_t i = 0; i < sizeof where / sizeof *where; i++) {
            if (!facts_find(sheets->facts, heading, where[i][1])) continue;
            sheet_row(sheets, &table,
                      (SheetRow){{name, where[i][0], sheet_value(sheets, heading, where[i][1]),
                                  sheet_value(sheets, heading, where[i][2])}});
            name = "";
        }
    }
    sheet_table(sheets, &table);
}

/* ---- Holes */

static bool is_hole(const Fact *fact) {
    return text_starts(fact->key, "hole ");
}

static bool is_of_no_hole(const Fact *fact) {
    return !is_hole(fact);
}

static void holes(Sheets *sheets) {
    size_t at = 0;
    const FactBlock *block = sheet_next_block(sheets, "holes", &at);
    if (!block) return;
    SheetTable table = {.title = "Holes in the base",
                        .note = sheet_sentences(sheets, block, is_of_no_hole),
                        .columns = 7,
                        .soft = 5,
                        .heads = {"for", "behind the front edge", "right or left", "goes through",
                                  "nearest seam", "under it", "driven"}};
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        if (!is_hole(fact)) continue;
        const char *behind = sheet_parts(sheets, fact, (SheetParts){{"behind"}, false}),
                   *from = sheet_parts(sheets, fact, (SheetParts){{"from"}, false});
        sheet_row(sheets, &table,
                  (SheetRow){{fact->label, sheet_without(sheets, behind, " behind"),
                              sheet_parts(sheets, fact, (SheetParts){{"right"}, false}),
                              sheet_parts(sheets, fact, (SheetParts){{"through"}, true}),
                              sheet_parts(sheets, fact, (SheetParts){{"seam"}, false}),
                              sheet_parts(sheets, fact, (SheetParts){{"under"}, false}),
                              from[0] ? from : "from below"}});
    }
    sheet_table(sheets, &table);
}

void sheet_tape_lists(Sheets *sheets) {
    tape_out(sheets);
    edges(sheets);
    frames(sheets);
    holes(sheets);
}
