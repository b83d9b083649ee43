/* Tables of what stands under and beside the set: tables, lamps and circuits, and the room that all of it
 * takes. */
#include "picture/sheet_lists.h"

#include <string.h>

/* ---- Tables */

static bool is_of_a_row(const Fact *fact) {
    return text_starts(fact->key, "row ") || text_starts(fact->key, "carries ");
}

static bool is_of_all(const Fact *fact) {
    return !is_of_a_row(fact);
}

static const char *plain(const Sheets *sheets, const Fact *fact) {
    return fact ? fact_plain_text(sheets->arena, sheets->facts, fact) : "";
}

/* Table by table what it carries; with the first of a row where that stands. */
static void add_table_row(Sheets *sheets, SheetTable *table, const FactBlock *block, const Fact *row) {
    const char *behind = sheet_parts(sheets, row, (SheetParts){{"behind"}, false});
    const char *start = arena_format(sheets->arena, "carries %s.", row->key + strlen("row "));
    SheetRow cells = {{"", sheet_without(sheets, behind, " behind"),
                       sheet_parts(sheets, row, (SheetParts){{"right"}, false}),
                       sheet_parts(sheets, row, (SheetParts){{"over", "over_left", "over_right"}, false})}};
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        if (!text_starts(fact->key, start)) continue;
        cells.cells[0] = arena_format(sheets->arena, "table %s", fact->key + strlen("carries "));
        cells.cells[4] = plain(sheets, fact);
        sheet_row(sheets, table, cells);
        cells = (SheetRow){{NULL}};
    }
}

static void tables(Sheets *sheets) {
    size_t at = 0;
    const FactBlock *block = sheet_next_block(sheets, "tables", &at);
    if (!block) return;
    SheetTable table = {.title = "Tables under the base",
                        .note = sheet_sentences(sheets, block, is_of_all),
                        .columns = 5,
                        .soft = 3,
                        .heads = {"row, from the left", "left front corner behind the front edge",
                                  "right or left", "at the row's ends", "carries"}};
    for (size_t i = 0; i < block->facts.count; i++)
        if (text_starts(block->facts.items[i]->key, "row "))
            add_table_row(sheets, &table, block, block->facts.items[i]);
    sheet_table(sheets, &table);
}

/* ---- Lamps */

static bool is_any(const Fact *fact) {
    (void)fact;
    return true;
}

static void lamps(Sheets *sheets) {
    size_t at = 0;
    const FactBlock *all = sheet_next_block(sheets, "lamps", &at);
    if (!all) return;
    SheetTable table = {.title = "Lamps",
                        .note = sheet_sentences(sheets, all, is_any),
                        .columns = 8,
                        .soft = 1,
                        .heads = {"lamp", "how", "behind the front edge", "right or left",
                                  "its middle above the flat ground", "above the floor", "draws",
                                  "nearest foam"}};
    at = 0;
    for (const FactBlock *block; (block = sheet_next_block(sheets, "lamp", &at));) {
        const char *heading = block->heading;
        const Fact *place = sheet_fact(sheets, block, "place");
        const char *behind = sheet_parts(sheets, place, (SheetParts){{"behind"}, false});
        sheet_row(sheets, &table,
                  (SheetRow){
                      {block->name, place ? place->label : "", sheet_without(sheets, behind, " behind"),
                       sheet_parts(sheets, place, (SheetParts){{"right"}, false}),
                       sheet_without(sheets, sheet_value(sheets, heading, "up"), " above the flat ground"),
                       sheet_without(sheets, sheet_value(sheets, heading, "above_floor"), " above the floor"),
                       sheet_value(sheets, heading, "watts"), sheet_value(sheets, heading, "foam")}});
    }
    sheet_table(sheets, &table);
}

/* What a fact is called in the first block that has it. */
static const char *label_of(const Sheets *sheets, const char *kind, const char *key) {
    size_t at = 0;
    for (const FactBlock *block; (block = sheet_next_block(sheets, kind, &at));) {
        const Fact *fact = sheet_fact(sheets, block, key);
        if (fact) return fact->label;
    }
    return "";
}

/* A row for each block of a kind, a column for each of some keys. */
static void keys_table(Sheets *sheets, const char *kind, const char *title, const char *const *keys,
                       size_t count) {
    SheetTable table = {.title = title, .columns = count + 1, .soft = SHEET_COLUMNS_MOST, .heads = {kind}};
    for (size_t k = 0; k < count; k++)
        table.heads[k + 1] = label_of(sheets, kind, keys[k]);
    size_t at = 0;
    for (const FactBlock *block; (block = sheet_next_block(sheets, kind, &at));) {
        SheetRow row = {{block->name}};
        for (size_t k = 0; k < count; k++)
            row.cells[k + 1] = sheet_value(sheets, block->heading, keys[k]);
        sheet_row(sheets, &table, row);
    }
    sheet_table(sheets, &table);
}

static void light(Sheets *sheets) {
    static const char *const of_lamps[] = {"colour", "to_mark", "to_backdrop", "at_backdrop", "beside_first"},
                             *const of_circuits[] = {"rating", "for_hours", "load", "left"};
    keys_table(sheets, "lamp", "Light", of_lamps, sizeof of_lamps / sizeof *of_lamps);
    keys_table(sheets, "circuit", "Circuits", of_circuits, sizeof of_circuits / sizeof *of_circuits);
}

/* ---- The room */

static void room(Sheets *sheets) {
    size_t at = 0;
    const FactBlock *block = sheet_next_block(sheets, "room", &at);
    if (block) sheet_block_table(sheets, block, "The room, and what is out of reach", "what");
}

void sheet_room_lists(Sheets *sheets) {
    tables(sheets);
    room(sheets);
    lamps(sheets);
    light(sheets);
}
