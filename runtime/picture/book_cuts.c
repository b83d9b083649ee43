/* The book's own pages: what to buy, what each scene takes, and the sheets that are cut. */
#include "picture/book_pages.h"
#include "report/book_buying.h"

enum { NAMES_MOST = 3 };
typedef struct Names {
    const char *items[NAMES_MOST];
} Names;

static const char *named(const Sheets *sheets, const BookPages *pages, const Fact *fact, Names names,
                         bool whole) {
    return fact_named_text(sheets->arena, pages->facts, fact, names.items, NAMES_MOST, whole);
}

static void add_to_buy(Sheets *sheets, const BookPages *pages, const FactBlock *block) {
    SheetTable table = {
        .title = "What to buy",
        .note = "As book.txt has it: for all scenes, what the book has built once cut once. Prices are "
                "those that the book states.",
        .columns = 8,
        .soft = SHEET_COLUMNS_MOST,
        .heads = {"stock", "new", "size", "thick", "each", "cost", "on hand, used", "waste"}};
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        book_row(sheets, &table,
                 (SheetRow){{fact->label,
                             named(sheets, pages, fact, (Names){{"count", "at_once", "lacking"}}, true),
                             named(sheets, pages, fact, (Names){{"wide", "tall", "long"}}, false),
                             named(sheets, pages, fact, (Names){{"thick"}}, false),
                             named(sheets, pages, fact, (Names){{"price"}}, false),
                             named(sheets, pages, fact, (Names){{"cost", "unpriced", "short"}}, false),
                             named(sheets, pages, fact, (Names){{"on_hand_used", "on_hand"}}, false),
                             named(sheets, pages, fact, (Names){{"waste"}}, false)}});
    }
    sheet_table(sheets, &table);
}

/* `4'-0" x 3'-8" (1219.2 x 1117.6 mm)`. */
static const char *size_of(const Sheets *sheets, const BookPages *pages, const CutStock *stock, int have) {
    const NestSheet *sheet = &stock->have[have];
    Fact size = {0};
    if (!stock->bars)
        LIST_PUSH(sheets->arena, size.parts,
                  (FactPart){.kind = FACT_SIZE, .number = sheet->wide_mm, .after = " x ", .joined = true});
    LIST_PUSH(sheets->arena, size.parts, (FactPart){.kind = FACT_SIZE, .number = sheet->tall_mm});
    return fact_text(sheets->arena, pages->facts, &size);
}

static void add_on_hand(Sheets *sheets, const BookPages *pages) {
    SheetTable table = {.title = "What is on hand, as the book states it",
                        .columns = 2,
                        .soft = SHEET_COLUMNS_MOST,
                        .heads = {"stock", "pieces"}};
    for (int i = 0; i < pages->cutting->stock_count; i++) {
        const CutStock *stock = &pages->cutting->stocks[i].stock;
        Buffer all = buffer_new(sheets->arena);
        for (int h = 0; h < stock->have_count; h++)
            buffer_format(&all, "%s%s", h > 0 ? "; " : "", size_of(sheets, pages, stock, h));
        if (stock->have_count > 0) book_row(sheets, &table, (SheetRow){{stock->name, buffer_text(&all)}});
    }
    sheet_table(sheets, &table);
}

static bool is_in_turn(const BookPages *pages) {
    for (int i = 0; i < pages->cutting->stock_count; i++)
        if (pages->cutting->stocks[i].in_turn) return true;
    return false;
}

/* So many stocks from `first` on, which are no totals. */
static void add_takes(Sheets *sheets, const BookPages *pages, const FactBlock *to_buy, size_t first) {
    const FactBlock *by_scene = book_block(pages, "stock by scene");
    SheetTable table = {.title = "What each scene takes, new",
                        .note = is_in_turn(pages)
                                    ? "Where struck sets serve again, in the scene's turn; else cut alone, "
                                      "with all that is on hand."
                                    : "Cut alone, with all that is on hand.",
                        .columns = 1,
                        .soft = SHEET_COLUMNS_MOST,
                        .heads = {"scene"}};
    const Fact *stocks[SHEET_COLUMNS_MOST] = {0};
    for (size_t s = first; s < to_buy->facts.count && table.columns < SHEET_COLUMNS_MOST; s++) {
        if (buying_is_total(to_buy->facts.items[s])) continue;
        stocks[table.columns] = to_buy->facts.items[s];
        table.heads[table.columns++] = to_buy->facts.items[s]->label;
    }
    for (size_t i = 0; by_scene && i < by_scene->facts.count && table.columns > 1; i++) {
        const Fact *fact = by_scene->facts.items[i];
        SheetRow row = {{fact->label}};
        for (size_t c = 1; c < table.columns; c++)
            row.cells[c] =
                named(sheets, pages, fact,
                      (Names){{stocks[c]->key, buying_alone(sheets->arena, stocks[c]->key)}}, true);
        book_row(sheets, &table, row);
    }
    sheet_table(sheets, &table);
}

static void add_used_again(Sheets *sheets, const BookPages *pages) {
    for (size_t b = 0; b < pages->facts->blocks.count; b++) {
        const FactBlock *block = pages->facts->blocks.items[b];
        if (!text_equal(block->kind, "used again")) continue;
        SheetTable table = {
            .title = arena_format(sheets->arena, "Used again: %s", block->name),
            .note = "Parts of struck sets, in the order in which they serve later ones: keep them. A struck "
                    "base has the holes of its set: the next one's are drilled anew, beside them.",
            .columns = 2,
            .soft = SHEET_COLUMNS_MOST,
            .heads = {"part", "becomes"}};
        for (size_t i = 0; i < block->facts.count; i++) {
            const Fact *fact = block->facts.items[i];
            book_row(sheets, &table, (SheetRow){{fact->label, fact_text(sheets->arena, pages->facts, fact)}});
        }
        sheet_table(sheets, &table);
    }
}

static void add_allowances(Sheets *sheets, const BookPages *pages) {
    const FactBlock *block = book_block(pages, "cost of allowances");
    SheetTable table = {.title = "What the allowances cost",
                        .note = "More than without each, as book.txt has it.",
                        .columns = 2,
                        .soft = SHEET_COLUMNS_MOST,
                        .heads = {"allowed", "more"}};
    for (size_t i = 0; block && i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        book_row(sheets, &table, (SheetRow){{fact->label, fact_text(sheets->arena, pages->facts, fact)}});
    }
    sheet_table(sheets, &table);
}

void book_to_buy(Sheets *sheets, const BookPages *pages) {
    const FactBlock *to_buy = book_block(pages, "to buy");
    if (!to_buy) return;
    add_to_buy(sheets, pages, to_buy);
    add_on_hand(sheets, pages);
    for (size_t first = 0; first < to_buy->facts.count; first += SHEET_COLUMNS_MOST - 1)
        add_takes(sheets, pages, to_buy, first);
    add_used_again(sheets, pages);
    add_allowances(sheets, pages);
}

/* ---- Sheets that are cut */

/* Where each of what there is to cut comes from, or NULL where all of it is on hand. */
static const char *const *sources(const Sheets *sheets, const SceneCut *cut) {
    const char **all = ARENA_ARRAY(sheets->arena, const char *, cut->cut.stock.have_count);
    bool any = false;
    for (int i = 0; i < cut->cut.stock.have_count; i++) {
        const Found *found = &cut->found[i];
        all[i] = found->kind == FOUND_ON_HAND ? "on hand"
                 : found->kind == FOUND_OFFCUT
                     ? arena_format(sheets->arena, "left of %s", found->scene)
                     : arena_format(sheets->arena, "%s of %s", found->part, found->scene);
        any |= found->kind != FOUND_ON_HAND;
    }
    return any ? all : NULL;
}

void book_cut(Sheets *sheets, const BookPages *pages) {
    for (int i = 0; i < pages->cutting->stock_count; i++) {
        const BookStock *stock = &pages->cutting->stocks[i];
        for (int c = 0; c < stock->cut_count; c++) {
            const SceneCut *cut = &stock->cuts[c];
            const char *what = cut->scene ? arena_format(sheets->arena, "for %s", cut->scene) : NULL;
            if (cut->cut.item_count > 0)
                sheet_cut_pictures_for(sheets, &cut->cut, what, sources(sheets, cut));
            book_struck(sheets, cut);
            sheet_cut_order(sheets, &cut->cut, what);
        }
    }
}
