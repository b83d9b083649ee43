#include "report/page_of_buying.h"

#include "report/book_buying.h"
#include "report/html.h"

/* A column: those of a fact's parts that have these names, as far as it has them. */
enum { COLUMN_PARTS = 3 };
typedef struct Column {
    const char *head;
    const char *parts[COLUMN_PARTS];
    bool whole; /* with the words behind each part */
} Column;

static const Column columns[] = {{"New", {"count", "lacking"}, true},
                                 {"Size", {"wide", "tall", "long"}, false},
                                 {"Thick", {"thick"}, false},
                                 {"Each", {"price"}, false},
                                 {"Cost", {"cost", "unpriced", "short"}, false},
                                 {"Used of what is on hand", {"on_hand_used", "on_hand"}, false},
                                 {"All sets at once", {"at_once"}, false},
                                 {"Largest sets first", {"largest_first"}, false},
                                 {"At least", {"bound"}, false},
                                 {"Waste", {"waste"}, false}};
enum { COLUMNS = sizeof columns / sizeof *columns };

static const char *cell_text(const BookPart *part, const Fact *fact, const Column *column) {
    return fact_named_text(part->arena, part->facts, fact, column->parts, COLUMN_PARTS, column->whole);
}

static bool is_filled(const BookPart *part, const FactBlock *block, const Column *column) {
    for (size_t i = 0; i < block->facts.count; i++)
        if (cell_text(part, block->facts.items[i], column)[0]) return true;
    return false;
}

void page_of_buying(BookPart *part, const FactBlock *to_buy) {
    bool filled[COLUMNS];
    buffer_add(part->out, "<h3>To buy</h3>\n");
    table_begin(part, "to-buy",
                "For the whole book, what it has built once cut once; at least: by area or length alone",
                "Stock");
    for (size_t c = 0; c < COLUMNS; c++) {
        filled[c] = is_filled(part, to_buy, &columns[c]);
        if (filled[c]) table_column(part, columns[c].head);
    }
    table_end_head(part);
    for (size_t i = 0; i < to_buy->facts.count; i++) {
        const Fact *fact = to_buy->facts.items[i];
        row_begin_unlinked(part, fact->label);
        for (size_t c = 0; c < COLUMNS; c++)
            if (filled[c]) row_text(part, cell_text(part, fact, &columns[c]));
        row_end(part);
    }
    table_end(part);
}

/* The stocks are those of `to buy`, which has every one that a scene takes. */
static const FactBlock *buying_of(const Facts *facts) {
    for (size_t b = 0; b < facts->blocks.count; b++)
        if (text_equal(facts->blocks.items[b]->kind, "to buy")) return facts->blocks.items[b];
    return NULL;
}

static bool is_in_turn(const BookPart *part, const FactBlock *to_buy, const FactBlock *by_scene) {
    for (size_t s = 0; s < to_buy->facts.count; s++) {
        const Column alone = {.parts = {buying_alone(part->arena, to_buy->facts.items[s]->key)}};
        if (is_filled(part, by_scene, &alone)) return true;
    }
    return false;
}

void page_of_stock_by_scene(BookPart *part, const FactBlock *by_scene) {
    const FactBlock *to_buy = buying_of(part->facts);
    if (!to_buy) return;
    buffer_add(part->out, "<h3>Stock by scene</h3>\n");
    table_begin(part, "stock-by-scene",
                is_in_turn(part, to_buy, by_scene)
                    ? "New sheets and lengths; where struck sets serve again, in the scene's turn"
                    : "New sheets and lengths where a scene is cut alone, with all that is on hand",
                "Scene");
    for (size_t s = 0; s < to_buy->facts.count; s++)
        if (!buying_is_total(to_buy->facts.items[s])) table_column(part, to_buy->facts.items[s]->label);
    table_end_head(part);
    for (size_t i = 0; i < by_scene->facts.count; i++) {
        const Fact *fact = by_scene->facts.items[i];
        row_begin(part, fact->label);
        for (size_t s = 0; s < to_buy->facts.count; s++) {
            const Fact *stock = to_buy->facts.items[s];
            const Column of_stock = {.head = stock->label,
                                     .parts = {stock->key, buying_alone(part->arena, stock->key)},
                                     .whole = true};
            if (!buying_is_total(stock)) row_text(part, cell_text(part, fact, &of_stock));
        }
        row_end(part);
    }
    table_end(part);
}

void page_of_used_again(BookPart *part, const FactBlock *used, size_t number) {
    buffer_add(part->out, "<h3>Used again: ");
    html_text(part->out, used->name);
    buffer_add(part->out, "</h3>\n");
    table_begin(
        part, arena_format(part->arena, "used-again-%zu", number),
        "Parts of struck sets, in the order in which they serve later ones; struck bases have their old "
        "holes",
        "Part");
    table_column(part, "Becomes");
    table_end_head(part);
    for (size_t i = 0; i < used->facts.count; i++) {
        row_begin_unlinked(part, used->facts.items[i]->label);
        row_text(part, fact_text(part->arena, part->facts, used->facts.items[i]));
        row_end(part);
    }
    table_end(part);
}
