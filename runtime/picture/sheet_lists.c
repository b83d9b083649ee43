/* The tables: where to tape, how to set the camera, what is cut how large, and what to mind. All of them are
 * facts, in the report's words. */
#include "picture/sheet.h"

#include <string.h>

static void add_row(Sheets *sheets, SheetTable *table, SheetRow row) {
    for (size_t i = 0; i < table->columns; i++)
        if (!row.cells[i]) row.cells[i] = "";
    LIST_PUSH(sheets->arena, table->rows, row);
}

/* `3 heron`; the block's name alone where no thing has it. */
static const char *numbered(const Sheets *sheets, const char *name) {
    const Plan *plan = sheets->plan;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *thing = &sheets->things[i];
        const int number = sheet_number(sheets, i), in = thing->thing->shot;
        if (number == 0) continue;
        const char *own = thing->thing->name;
        if (text_equal(in >= 0 ? sheet_in_shot(sheets, own, (size_t)in) : own, name))
            return arena_format(sheets->arena, "%d %s", number, name);
    }
    return name;
}

/* ---- Tape-out */

static const Fact *of(const Sheets *sheets, const FactBlock *block, const char *key) {
    return facts_find(sheets->facts, block->heading, key);
}

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
    const Fact *here = of(sheets, block, "here");
    if (!here) return numbered(sheets, block->name);
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

/* Without what the column's head says. */
static const char *without(const Sheets *sheets, const char *text, const char *ending) {
    if (!text_ends(text, ending)) return text;
    return arena_copy(sheets->arena, text, strlen(text) - strlen(ending));
}

/* `middle of its front, its front 8.0 deg to the left`. */
static const char *which_place(const Sheets *sheets, const FactBlock *block, const Fact *fact) {
    Buffer words = buffer_new(sheets->arena);
    if (!text_equal(fact->label, "place")) buffer_add(&words, fact->label);
    if (!text_equal(fact->key, "place")) return buffer_text(&words);
    const Fact *turn = of(sheets, block, "turn"), *foot = of(sheets, block, "foot");
    if (turn)
        buffer_format(&words, "%s%s", words.count > 0 ? ", " : "",
                      fact_text(sheets->arena, sheets->facts, turn));
    if (foot)
        buffer_format(&words, "%sfoot %s", words.count > 0 ? ", " : "",
                      fact_text(sheets->arena, sheets->facts, foot));
    return buffer_text(&words);
}

static void add_places(Sheets *sheets, SheetTable *table, const FactBlock *block) {
    const Fact *tapes = of(sheets, block, "two_tapes");
    const char *name = name_of_block(sheets, block);
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        if (!is_place(fact)) continue;
        const bool main = text_equal(fact->key, "place");
        add_row(sheets, table,
                (SheetRow){{name, which_place(sheets, block, fact),
                            without(sheets, cell(sheets, fact, 0, 1), " behind"), cell(sheets, fact, 1, 1),
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
        add_row(sheets, &table,
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
            add_row(sheets, &table,
                    (SheetRow){{name, where[i][0], sheet_value(sheets, heading, where[i][1]),
                                sheet_value(sheets, heading, where[i][2])}});
            name = "";
        }
    }
    sheet_table(sheets, &table);
}

/* ---- Cameras */

static void planned_camera(Sheets *sheets, size_t shot) {
    const char *name = sheets->plan->shots[shot].name;
    SheetTable table = {.columns = 2, .soft = SHEET_COLUMNS_MOST, .heads = {"set", "to"}};
    const char *heading = name[0] ? arena_format(sheets->arena, "camera %s", name) : "camera";
    table.title = name[0] ? arena_format(sheets->arena, "The camera, shot %s", name) : "The camera";
    for (size_t i = 0; i < sheets->facts->blocks.count; i++) {
        const FactBlock *block = sheets->facts->blocks.items[i];
        if (!text_equal(block->heading, heading)) continue;
        for (size_t f = 0; f < block->facts.count; f++) {
            const Fact *fact = block->facts.items[f];
            add_row(sheets, &table,
                    (SheetRow){{fact->label, fact_plain_text(sheets->arena, sheets->facts, fact)}});
        }
        break;
    }
    sheet_table(sheets, &table);
}

static void allowed_cameras(Sheets *sheets) {
    SheetTable table = {.title = "Other allowed cameras",
                        .columns = 6,
                        .heads = {"lens", "above the flat ground", "to the mark, level",
                                  "from the front edge", "tilt", "frame at the mark"}};
    for (size_t i = 0; i < sheets->facts->blocks.count; i++) {
        const FactBlock *block = sheets->facts->blocks.items[i];
        if (!text_equal(block->kind, "allowed")) continue;
        const char *lens = fact_text(sheets->arena, sheets->facts, of(sheets, block, "lens"));
        if (block->shot[0]) lens = arena_format(sheets->arena, "%s: %s", block->shot, lens);
        add_row(sheets, &table,
                (SheetRow){{lens, sheet_value(sheets, block->heading, "height"),
                            sheet_value(sheets, block->heading, "distance"),
                            sheet_value(sheets, block->heading, "front"),
                            sheet_value(sheets, block->heading, "tilt"),
                            sheet_value(sheets, block->heading, "frame")}});
    }
    sheet_table(sheets, &table);
}

/* ---- Sizes */

static bool is_made(const char *kind) {
    static const char *const kinds[] = {"puppet", "piece", "flat",  "backdrop",
                                        "ground", "base",  "mound", "hollow"};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (text_equal(kinds[i], kind)) return true;
    return false;
}

/* `post, row of 3`: what there is of these. */
static const char *make_of(const Sheets *sheets, const FactBlock *block) {
    static const char *const keys[] = {"shape", "pose", "steps", "row", "stock"};
    Buffer all = buffer_new(sheets->arena);
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        const char *text = sheet_value(sheets, block->heading, keys[i]);
        const bool named = text_equal(keys[i], "steps") || text_equal(keys[i], "row");
        if (text[0])
            buffer_format(&all, "%s%s%s", all.count > 0 ? "; " : "",
                          named ? arena_format(sheets->arena, "%s ", keys[i]) : "", text);
    }
    return buffer_text(&all);
}

static void sizes(Sheets *sheets) {
    SheetTable table = {
        .title = "Sizes",
        .columns = 7,
        .soft = 6,
        .heads = {"what", "wide", "tall", "deep", "thick or across", "top above the flat ground", "made as"}};
    for (size_t i = 0; i < sheets->facts->blocks.count; i++) {
        const FactBlock *block = sheets->facts->blocks.items[i];
        const char *heading = block->heading;
        if (!is_made(block->kind) || (!of(sheets, block, "tall") && !of(sheets, block, "thick"))) continue;
        const char *name = block->name[0] ? numbered(sheets, block->name) : numbered(sheets, block->kind);
        add_row(sheets, &table,
                (SheetRow){{name, sheet_value(sheets, heading, "wide"), sheet_value(sheets, heading, "tall"),
                            sheet_value(sheets, heading, "deep"), sheet_value(sheets, heading, "thick"),
                            without(sheets, sheet_value(sheets, heading, "top"), " above the flat ground"),
                            make_of(sheets, block)}});
    }
    sheet_table(sheets, &table);
}

static void openings(Sheets *sheets) {
    SheetTable table = {
        .title = "Openings",
        .columns = 6,
        .heads = {"opening", "wide", "tall", "its middle", "from the flat's left edge", "sill"}};
    for (size_t i = 0; i < sheets->facts->blocks.count; i++) {
        const FactBlock *block = sheets->facts->blocks.items[i];
        const char *heading = block->heading;
        if (!text_equal(block->kind, "opening")) continue;
        add_row(
            sheets, &table,
            (SheetRow){{block->name, sheet_value(sheets, heading, "wide"),
                        sheet_value(sheets, heading, "tall"), sheet_value(sheets, heading, "across"),
                        sheet_value(sheets, heading, "from_left"), sheet_value(sheets, heading, "sill")}});
    }
    sheet_table(sheets, &table);
}

/* ---- What is cut, and what it weighs */

/* A block as it stands in the report. */
static void block_table(Sheets *sheets, const FactBlock *block, const char *title, const char *first) {
    SheetTable table = {
        .title = title, .columns = 2, .soft = SHEET_COLUMNS_MOST, .heads = {first, "as in the report"}};
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        add_row(sheets, &table, (SheetRow){{fact->label, fact_text(sheets->arena, sheets->facts, fact)}});
    }
    sheet_table(sheets, &table);
}

static void cut_pictures(Sheets *sheets) {
    const Parts *parts = sheets->plan->parts;
    for (int i = 0; parts && parts->cutting && i < parts->cutting->stock_count; i++)
        sheet_cut_pictures(sheets, &parts->cutting->stocks[i]);
}

static void cut_list(Sheets *sheets) {
    for (size_t i = 0; i < sheets->facts->blocks.count; i++) {
        const FactBlock *block = sheets->facts->blocks.items[i];
        if (text_equal(block->kind, "parts")) block_table(sheets, block, "Cut list", "part");
        if (text_equal(block->kind, "cut"))
            block_table(sheets, block, arena_format(sheets->arena, "Cut from %s", block->name), "what");
        if (text_equal(block->kind, "weight")) block_table(sheets, block, "Weights", "what");
    }
}

/* ---- What to mind */

static void attention(Sheets *sheets) {
    SheetTable table = {
        .title = "To mind", .columns = 2, .soft = SHEET_COLUMNS_MOST, .heads = {"about", "what"}};
    for (size_t i = 0; i < sheets->facts->blocks.count; i++) {
        const FactBlock *block = sheets->facts->blocks.items[i];
        if (!text_equal(block->kind, "attention")) continue;
        for (size_t f = 0; f < block->facts.count; f++) {
            const Fact *fact = block->facts.items[f];
            add_row(sheets, &table, (SheetRow){{fact->label, fact_text(sheets->arena, sheets->facts, fact)}});
        }
    }
    sheet_table(sheets, &table);
}

void sheet_lists(Sheets *sheets) {
    attention(sheets);
    tape_out(sheets);
    edges(sheets);
    frames(sheets);
    sizes(sheets);
    openings(sheets);
    cut_list(sheets);
    cut_pictures(sheets);
    for (size_t i = 0; i < sheets->plan->shot_count; i++)
        planned_camera(sheets, i);
    allowed_cameras(sheets);
}
