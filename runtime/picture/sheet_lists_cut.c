/* Tables of what everything is cut from, and how. */
#include "picture/sheet_cut.h"
#include "picture/sheet_lists.h"

#include <math.h>
#include <string.h>

/* ---- Parts */

static bool is_part(const Sheets *sheets, const Fact *fact) {
    return sheet_parts(sheets, fact, (SheetParts){{"stock"}, false})[0] != '\0';
}

enum { CORNERS_MOST = 400 }; /* letters: more is left to the report */

/* `with slanted sides; corners cut off: left front 2 in x 3'-0"; cut out: door, ...`. What else is said of a
 * part comes behind it. */
static const char *shape_of(const Sheets *sheets, const FactBlock *block, size_t part) {
    Buffer all = buffer_new(sheets->arena);
    const char *name = block->facts.items[part]->label;
    const char *shape = sheet_parts(sheets, block->facts.items[part], (SheetParts){{"shape"}, false}),
               *thinned = sheet_parts(sheets, block->facts.items[part], (SheetParts){{"thinned"}, false}),
               *turned = sheet_parts(sheets, block->facts.items[part], (SheetParts){{"turned_down"}, false});
    buffer_add(&all, shape);
    if (thinned[0]) buffer_format(&all, "%sthinned to %s", all.count > 0 ? "; " : "", thinned);
    if (turned[0]) buffer_format(&all, "%sturned down to %s", all.count > 0 ? "; " : "", turned);
    for (size_t i = part + 1; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        const size_t length = strlen(name);
        if (is_part(sheets, fact) || !text_starts(fact->label, name) ||
            !text_starts(fact->label + length, ", "))
            break;
        const char *text = fact_text(sheets->arena, sheets->facts, fact);
        if (strlen(text) > CORNERS_MOST) text = "in the report";
        buffer_format(&all, "%s%s: %s", all.count > 0 ? "; " : "", fact->label + length + 2, text);
    }
    return buffer_text(&all);
}

/* `its left front corner 2 in behind, 2'-0" left`, of what lies on the set; of others from the left edge and
 * the foot of their thing. */
static const char *place_of(const Sheets *sheets, const Fact *fact) {
    static const char *const keys[][2] = {{"behind", "right"}, {"from_left", "from_foot"}};
    for (size_t k = 0; k < 2; k++) {
        const char *text = sheet_parts(sheets, fact, (SheetParts){{keys[k][0], keys[k][1]}, false});
        if (!text[0]) continue;
        const char *before = "";
        for (size_t i = 0; i < fact->parts.count; i++) {
            const FactPart *part = &fact->parts.items[i];
            if (part->name && text_equal(part->name, keys[k][0]) && part->before) before = part->before;
        }
        return arena_format(sheets->arena, "%s%s", text_starts(before, "; ") ? before + 2 : before, text);
    }
    return "";
}

/* Which sheets of its stock it comes from: `1-3, 5`. */
static const char *sheets_of(const Sheets *sheets, int part) {
    const Cutting *cutting = sheets->plan->parts->cutting;
    Buffer all = buffer_new(sheets->arena);
    for (int s = 0; s < cutting->stock_count; s++) {
        const StockCut *cut = &cutting->stocks[s];
        const int count = cut->nest->sheet_count;
        bool *has = ARENA_ARRAY(sheets->arena, bool, count);
        for (int i = 0; i < cut->nest->placement_count; i++)
            has[cut->nest->placements[i].sheet] |= cut->items[cut->nest->placements[i].item].part == part;
        const char *numbers = sheet_cut_numbers(sheets->arena, has, count, count);
        if (numbers[0]) buffer_format(&all, "%s%s", all.count > 0 ? ", " : "", numbers);
    }
    return all.count > 0 ? buffer_text(&all) : "none";
}

static const char *uncut(const Sheets *sheets) {
    const Fact *fact = facts_find(sheets->facts, "parts", "uncut");
    return fact ? sheet_sentence(sheets, fact) : NULL;
}

static void cut_list(Sheets *sheets) {
    size_t at = 0;
    const FactBlock *block = sheet_next_block(sheets, "parts", &at);
    if (!block) return;
    SheetTable table = {.title = "Cut list",
                        .note = uncut(sheets),
                        .columns = 7,
                        .soft = 2,
                        .heads = {"part", "size as cut", "shape", "stock", "where", "weighs", "sheet"}};
    int part = 0;
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        if (!is_part(sheets, fact)) continue;
        const char *copies = sheet_parts(sheets, fact, (SheetParts){{"copies"}, true}),
                   *size = sheet_parts(sheets, fact, (SheetParts){{"long", "wide", "tall"}, false});
        sheet_row(
            sheets, &table,
            (SheetRow){
                {fact->label, arena_format(sheets->arena, "%s%s", copies, size), shape_of(sheets, block, i),
                 sheet_parts(sheets, fact, (SheetParts){{"stock", "grain"}, false}), place_of(sheets, fact),
                 sheet_parts(sheets, fact, (SheetParts){{"weight"}, true}), sheets_of(sheets, part++)}});
    }
    sheet_table(sheets, &table);
}

/* ---- What is taken and bought */

static void stock_list(Sheets *sheets) {
    SheetTable table = {.title = "Stock that this scene takes, cut alone",
                        .note = "What is on hand is taken where that saves a new one. What all scenes take "
                                "together: book.txt.",
                        .columns = 8,
                        .soft = 2,
                        .heads = {"stock", "thick", "new", "used of what is on hand", "waste",
                                  "largest offcut left", "each cut of the saw takes",
                                  "nothing is left to cut these from"}};
    size_t at = 0;
    for (const FactBlock *block; (block = sheet_next_block(sheets, "cut", &at));) {
        const char *heading = block->heading;
        sheet_row(
            sheets, &table,
            (SheetRow){{block->name, sheet_value(sheets, heading, "thick"),
                        sheet_value(sheets, heading, "new"), sheet_value(sheets, heading, "on_hand"),
                        sheet_value(sheets, heading, "waste"), sheet_value(sheets, heading, "offcut"),
                        sheet_value(sheets, heading, "kerf"), sheet_value(sheets, heading, "lacking")}});
    }
    sheet_table(sheets, &table);
}

/* ---- In which order a stock is cut */

typedef struct Order {
    Sheets *sheets;
    const StockCut *cut;
    const int *numbers; /* of each of the nest's cuts, from 1 on each sheet; trims: 0 */
} Order;

static NestPoint low_of(const NestPiece *piece) {
    NestPoint low = {INFINITY, INFINITY};
    for (int i = 0; i < piece->corner_count; i++) {
        low.x_mm = fmin(low.x_mm, piece->corners[i].x_mm);
        low.y_mm = fmin(low.y_mm, piece->corners[i].y_mm);
    }
    return low;
}

static const char *length(const Order *order, double mm) {
    return length_one(order->sheets->arena, order->sheets->lengths, fabs(mm) < 1e-6 ? 0 : mm, 64, 1);
}

/* Which cut goes on with a piece; 0: none. */
static int next_cut(const Order *order, int piece) {
    for (int i = 0; i < order->cut->nest->cut_count; i++)
        if (order->cut->nest->cuts[i].piece == piece) return order->numbers[i];
    return 0;
}

static const char *piece_words(const Order *order, int piece) {
    const Nest *nest = order->cut->nest;
    if (piece < 0) return "nothing";
    const NestPiece *it = &nest->pieces[piece];
    switch (it->kind) {
    case NEST_PIECE_PART:
        return sheet_cut_name(order->sheets, &order->cut->items[nest->placements[it->placement].item]);
    case NEST_PIECE_OFFCUT:
        return "offcut, kept";
    case NEST_PIECE_SCRAP:
        return "waste";
    case NEST_PIECE_CUT:
        break;
    }
    return arena_format(order->sheets->arena, "cut %d", next_cut(order, piece));
}

/* From the left and the lower edge of the piece on the saw. */
static const char *where_words(const Order *order, const NestCut *cut) {
    const NestPoint low = low_of(&order->cut->nest->pieces[cut->piece]);
    Arena *arena = order->sheets->arena;
    switch (cut->kind) {
    case NEST_CUT_UPRIGHT:
        return arena_format(arena, "%s from its left edge", length(order, cut->from.x_mm - low.x_mm));
    case NEST_CUT_LEVEL:
        return arena_format(arena, "%s from its lower edge", length(order, cut->from.y_mm - low.y_mm));
    case NEST_CUT_SLANTED:
        break;
    }
    return arena_format(arena, "from %s right, %s up to %s right, %s up",
                        length(order, cut->from.x_mm - low.x_mm), length(order, cut->from.y_mm - low.y_mm),
                        length(order, cut->to.x_mm - low.x_mm), length(order, cut->to.y_mm - low.y_mm));
}

static const char *done_already(const Order *order, const NestCut *cut) {
    const Nest *nest = order->cut->nest;
    for (int i = 0; i < nest->cut_count; i++) {
        const NestCut *earlier = &nest->cuts[i];
        if (earlier == cut) break;
        if (earlier->first == cut->piece || earlier->second == cut->piece)
            return arena_format(order->sheets->arena, "of cut %d", order->numbers[i]);
    }
    return "the sheet";
}

static const char *kind_words(const NestCut *cut) {
    return cut->kind == NEST_CUT_UPRIGHT ? "upright" : cut->kind == NEST_CUT_LEVEL ? "level" : "slanted";
}

static int *number_cuts(Arena *arena, const Nest *nest) {
    int *numbers = ARENA_ARRAY(arena, int, nest->cut_count);
    int sheet = -1, number = 0;
    for (int i = 0; i < nest->cut_count; i++) {
        if (nest->cuts[i].sheet != sheet) number = 0;
        sheet = nest->cuts[i].sheet;
        numbers[i] = nest->cuts[i].trims ? 0 : ++number;
    }
    return numbers;
}

/* Which side of a slanted line the saw takes, for no fence tells. Lines run upwards: what ends at one is
 * left. */
static const char *order_note(Sheets *sheets, const StockCut *cut) {
    static const char *const plain =
        "Each cut goes from edge to edge of its piece; what it comes to is measured "
        "from that piece's own left or lower edge.";
    bool slanted = false;
    for (int i = 0; i < cut->nest->cut_count; i++)
        slanted = slanted || cut->nest->cuts[i].kind == NEST_CUT_SLANTED;
    const double kerf = cut->stock.kerf_mm;
    if (!slanted || !(kerf > 0)) return plain;
    return arena_format(
        sheets->arena,
        "%s A slanted line is the right edge of what is left of it: keep the saw right of it, where "
        "it takes %s. A part's corners cut off, in the cut list, are the part's own sizes: of one right "
        "of the line they begin beyond what the saw takes.",
        plain, length_one(sheets->arena, sheets->lengths, kerf, 64, 1));
}

void sheet_cut_order(Sheets *sheets, const StockCut *cut, const char *what) {
    if (!cut->nest || cut->stock.bars) return;
    const Order order = {sheets, cut, number_cuts(sheets->arena, cut->nest)};
    SheetTable table = {
        .title = arena_format(sheets->arena, "Order of cuts, %s%s%s", cut->stock.name, what ? " " : "",
                              what ? what : ""),
        .note = order_note(sheets, cut),
        .columns = 7,
        .soft = 4,
        .heads = {"sheet", "cut", "piece", "runs", "where", "left of it, or below", "right of it, or above"}};
    int sheet = -1;
    for (int i = 0; i < cut->nest->cut_count; i++) {
        const NestCut *it = &cut->nest->cuts[i];
        if (it->trims) continue;
        sheet_row(sheets, &table,
                  (SheetRow){{it->sheet != sheet ? arena_format(sheets->arena, "%d", it->sheet + 1) : "",
                              arena_format(sheets->arena, "%d", order.numbers[i]), done_already(&order, it),
                              kind_words(it), where_words(&order, it), piece_words(&order, it->first),
                              piece_words(&order, it->second)}});
        sheet = it->sheet;
    }
    sheet_table(sheets, &table);
}

/* ---- */

void sheet_cut_lists(Sheets *sheets) {
    const Parts *parts = sheets->plan->parts;
    if (!parts || !parts->cutting) return;
    cut_list(sheets);
    stock_list(sheets);
    for (int i = 0; i < parts->cutting->stock_count; i++) {
        sheet_cut_pictures(sheets, &parts->cutting->stocks[i]);
        sheet_cut_order(sheets, &parts->cutting->stocks[i], NULL);
    }
}
