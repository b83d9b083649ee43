/* The tables in their order, and what all of them need. */
#include "picture/sheet_lists.h"

#include <string.h>

void sheet_row(Sheets *sheets, SheetTable *table, SheetRow row) {
    for (size_t i = 0; i < table->columns; i++)
        if (!row.cells[i]) row.cells[i] = "";
    LIST_PUSH(sheets->arena, table->rows, row);
}

const char *sheet_numbered(const Sheets *sheets, const char *name) {
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

const FactBlock *sheet_next_block(const Sheets *sheets, const char *kind, size_t *at) {
    while (*at < sheets->facts->blocks.count) {
        const FactBlock *block = sheets->facts->blocks.items[(*at)++];
        if (text_equal(block->kind, kind)) return block;
    }
    return NULL;
}

const Fact *sheet_fact(const Sheets *sheets, const FactBlock *block, const char *key) {
    return facts_find(sheets->facts, block->heading, key);
}

const char *sheet_parts(const Sheets *sheets, const Fact *fact, SheetParts parts) {
    if (!fact) return "";
    return fact_named_text(sheets->arena, sheets->facts, fact, parts.names, 3, parts.whole);
}

const char *sheet_without(const Sheets *sheets, const char *text, const char *ending) {
    if (!text_ends(text, ending)) return text;
    return arena_copy(sheets->arena, text, strlen(text) - strlen(ending));
}

/* Begins with a capital, as a sentence does. */
static const char *capital(const Sheets *sheets, const char *text) {
    char *copy = arena_string(sheets->arena, text);
    if (copy[0] >= 'a' && copy[0] <= 'z') copy[0] = (char)(copy[0] - 'a' + 'A');
    return copy;
}

const char *sheet_sentence(const Sheets *sheets, const Fact *fact) {
    return arena_format(sheets->arena, "%s: %s.", capital(sheets, fact->label),
                        fact_plain_text(sheets->arena, sheets->facts, fact));
}

const char *sheet_sentences(const Sheets *sheets, const FactBlock *block, SheetTakes *takes) {
    Buffer all = buffer_new(sheets->arena);
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        if (takes(fact)) buffer_format(&all, "%s%s", all.count > 0 ? " " : "", sheet_sentence(sheets, fact));
    }
    return all.count > 0 ? buffer_text(&all) : NULL;
}

void sheet_block_table(Sheets *sheets, const FactBlock *block, const char *title, const char *first) {
    SheetTable table = {
        .title = title, .columns = 2, .soft = SHEET_COLUMNS_MOST, .heads = {first, "as in the report"}};
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        sheet_row(sheets, &table, (SheetRow){{fact->label, fact_text(sheets->arena, sheets->facts, fact)}});
    }
    sheet_table(sheets, &table);
}

static void attention(Sheets *sheets) {
    SheetTable table = {
        .title = "To mind", .columns = 2, .soft = SHEET_COLUMNS_MOST, .heads = {"about", "what"}};
    for (size_t i = 0; i < sheets->facts->blocks.count; i++) {
        const FactBlock *block = sheets->facts->blocks.items[i];
        if (!text_equal(block->kind, "attention")) continue;
        for (size_t f = 0; f < block->facts.count; f++) {
            const Fact *fact = block->facts.items[f];
            sheet_row(sheets, &table,
                      (SheetRow){{fact->label, fact_text(sheets->arena, sheets->facts, fact)}});
        }
    }
    sheet_table(sheets, &table);
}

/* What to do in the order in which it is done; the camera comes last. */
void sheet_lists(Sheets *sheets) {
    attention(sheets);
    sheet_tape_lists(sheets);
    sheet_make_lists(sheets);
    sheet_cut_lists(sheets);
    sheet_room_lists(sheets);
    sheet_camera_lists(sheets);
}
