/* Tables of what is built, how large. */
#include "picture/sheet_lists.h"

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

static bool is_of_all_weights(const Fact *fact) {
    return text_equal(fact->key, "all") || text_starts(fact->key, "unknown ");
}

static const char *weights_note(Sheets *sheets) {
    size_t at = 0;
    const FactBlock *block = sheet_next_block(sheets, "weight", &at);
    const char *words = block ? sheet_sentences(sheets, block, is_of_all_weights) : NULL;
    return words ? arena_format(sheets->arena, "Weights: %s", words) : NULL;
}

static void sizes(Sheets *sheets) {
    SheetTable table = {.title = "Sizes",
                        .note = weights_note(sheets),
                        .columns = 8,
                        .soft = 6,
                        .heads = {"what", "wide", "tall", "deep", "thick or across",
                                  "top above the flat ground", "made as", "weighs"}};
    for (size_t i = 0; i < sheets->facts->blocks.count; i++) {
        const FactBlock *block = sheets->facts->blocks.items[i];
        const char *heading = block->heading;
        if (!is_made(block->kind) ||
            (!sheet_fact(sheets, block, "tall") && !sheet_fact(sheets, block, "thick")))
            continue;
        const char *name =
            block->name[0] ? sheet_numbered(sheets, block->name) : sheet_numbered(sheets, block->kind);
        sheet_row(
            sheets, &table,
            (SheetRow){{name, sheet_value(sheets, heading, "wide"), sheet_value(sheets, heading, "tall"),
                        sheet_value(sheets, heading, "deep"), sheet_value(sheets, heading, "thick"),
                        sheet_without(sheets, sheet_value(sheets, heading, "top"), " above the flat ground"),
                        make_of(sheets, block),
                        sheet_value(sheets, "weight", block->name[0] ? block->name : block->kind)}});
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
        sheet_row(
            sheets, &table,
            (SheetRow){{block->name, sheet_value(sheets, heading, "wide"),
                        sheet_value(sheets, heading, "tall"), sheet_value(sheets, heading, "across"),
                        sheet_value(sheets, heading, "from_left"), sheet_value(sheets, heading, "sill")}});
    }
    sheet_table(sheets, &table);
}

void sheet_make_lists(Sheets *sheets) {
    sizes(sheets);
    openings(sheets);
}
