/* Tables of how cameras are set, and what it costs to allow others. */
#include "picture/sheet_lists.h"

static const FactBlock *camera_block(const Sheets *sheets, size_t shot) {
    const char *name = sheets->plan->shots[shot].name;
    const char *heading = name[0] ? arena_format(sheets->arena, "camera %s", name) : "camera";
    for (size_t i = 0; i < sheets->facts->blocks.count; i++)
        if (text_equal(sheets->facts->blocks.items[i]->heading, heading))
            return sheets->facts->blocks.items[i];
    return NULL;
}

static void add_camera(Sheets *sheets, SheetTable *table, const FactBlock *block, size_t column) {
    for (size_t f = 0; block && f < block->facts.count; f++) {
        const Fact *fact = block->facts.items[f];
        const char *text = fact_plain_text(sheets->arena, sheets->facts, fact);
        size_t row = 0;
        while (row < table->rows.count && !text_equal(table->rows.items[row].cells[0], fact->label))
            row++;
        if (row == table->rows.count) sheet_row(sheets, table, (SheetRow){{fact->label}});
        table->rows.items[row].cells[column] = text;
    }
}

/* Shots side by side. */
enum { SHOTS_BESIDE = 3 };

static void planned_cameras(Sheets *sheets) {
    const size_t shots = sheets->plan->shot_count;
    for (size_t first = 0; first < shots; first += SHOTS_BESIDE) {
        SheetTable table = {
            .title = "The camera", .columns = 1, .soft = SHEET_COLUMNS_MOST, .heads = {"set"}};
        const size_t count = shots - first < SHOTS_BESIDE ? shots - first : SHOTS_BESIDE;
        table.columns = 1 + count;
        for (size_t s = 0; s < count; s++) {
            const char *name = sheets->plan->shots[first + s].name;
            table.heads[1 + s] = name[0] ? arena_format(sheets->arena, "to, in shot %s", name) : "to";
            add_camera(sheets, &table, camera_block(sheets, first + s), 1 + s);
        }
        sheet_table(sheets, &table);
    }
}

static void allowed_cameras(Sheets *sheets) {
    SheetTable table = {.title = "Other allowed cameras",
                        .columns = 6,
                        .heads = {"lens", "above the flat ground", "to the mark, level",
                                  "from the front edge", "tilt", "frame at the mark"}};
    for (size_t i = 0; i < sheets->facts->blocks.count; i++) {
        const FactBlock *block = sheets->facts->blocks.items[i];
        if (!text_equal(block->kind, "allowed")) continue;
        const char *lens = fact_text(sheets->arena, sheets->facts, sheet_fact(sheets, block, "lens"));
        if (block->shot[0]) lens = arena_format(sheets->arena, "%s: %s", block->shot, lens);
        sheet_row(sheets, &table,
                  (SheetRow){{lens, sheet_value(sheets, block->heading, "height"),
                              sheet_value(sheets, block->heading, "distance"),
                              sheet_value(sheets, block->heading, "front"),
                              sheet_value(sheets, block->heading, "tilt"),
                              sheet_value(sheets, block->heading, "frame")}});
    }
    sheet_table(sheets, &table);
}

static void costs(Sheets *sheets) {
    size_t at = 0;
    const FactBlock *block = sheet_next_block(sheets, "cost of allowances", &at);
    if (block) sheet_block_table(sheets, block, "What the allowances cost", "allowed");
}

void sheet_camera_lists(Sheets *sheets) {
    planned_cameras(sheets);
    allowed_cameras(sheets);
    costs(sheets);
}
