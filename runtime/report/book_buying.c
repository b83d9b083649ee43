#include "report/book_buying.h"

#include "base/text.h"
#include "report/cost_words.h"

static void part_of(Facts *facts, Fact *fact, FactPart part) {
    fact_part(facts, fact, part);
}

static void number_of(Facts *facts, Fact *fact, const char *name, double number, const char *before,
                      const char *after) {
    part_of(
        facts, fact,
        (FactPart){.name = name, .kind = FACT_NUMBER, .number = number, .before = before, .after = after});
}

static void money_of(Facts *facts, Fact *fact, const char *name, double money, const char *before,
                     const char *after) {
    part_of(facts, fact,
            (FactPart){.name = name, .kind = FACT_MONEY, .number = money, .before = before, .after = after});
}

static void sheet_of(Facts *facts, Fact *fact, const CutStock *stock) {
    if (stock->bars) {
        part_of(facts, fact, (FactPart){.name = "long", .kind = FACT_SIZE, .number = stock->sheet.tall_mm});
        return;
    }
    part_of(facts, fact,
            (FactPart){.name = "wide",
                       .kind = FACT_SIZE,
                       .number = stock->sheet.wide_mm,
                       .after = " x ",
                       .joined = true});
    part_of(facts, fact, (FactPart){.name = "tall", .kind = FACT_SIZE, .number = stock->sheet.tall_mm});
}

static bool is_in_several(const BookCutting *book, const CutStock *stock) {
    int thicknesses = 0;
    for (int i = 0; i < book->stock_count; i++)
        thicknesses += book->stocks[i].stock.index == stock->index;
    return thicknesses > 1;
}

static void write_stock(Facts *facts, FactBlock *block, const BookCutting *book, const BookStock *of_book,
                        const LargestFirst *largest_first) {
    const CutStock *stock = &of_book->stock;
    const bool in_several = is_in_several(book, stock);
    Fact *fact =
        fact_new(facts, block, stock_key(facts, stock, in_several), stock_label(facts, stock, in_several));
    number_of(facts, fact, "count", of_book->new_count, NULL,
              stock->bars               ? of_book->new_count == 1 ? " length" : " lengths"
              : of_book->new_count == 1 ? " sheet"
                                        : " sheets");
    if (stock->sheet.wide_mm > 0) {
        part_of(facts, fact, (FactPart){.name = "of", .kind = FACT_TEXT, .text = " of "});
        sheet_of(facts, fact, stock);
    }
    part_of(facts, fact,
            (FactPart){.name = "thick",
                       .kind = FACT_SIZE,
                       .number = stock->thick_mm,
                       .before = ", ",
                       .after = " thick"});
    if (stock->price > 0) {
        money_of(facts, fact, "price", stock->price, ", ", " each");
        money_of(facts, fact, "cost", stock->price * of_book->new_count, ", ", " in all");
    }
    if (of_book->at_once_count > of_book->new_count)
        number_of(facts, fact, "at_once", of_book->at_once_count, "; ",
                  " if every set were to stand at once");
    if (largest_first->new_count < of_book->new_count)
        number_of(facts, fact, "largest_first", largest_first->new_count, "; ",
                  " with its largest sets built first");
    if (!of_book->in_turn) /* where sets serve one another, it tells next to nothing */
        number_of(facts, fact, "bound", of_book->bound,
                  stock->bars ? "; by their lengths alone " : "; by area alone ", " at least");
    if (stock->have_count > 0) {
        number_of(facts, fact, "on_hand_used", of_book->on_hand_used, "; used of what is on hand ", NULL);
        const bool more_saves_nothing = of_book->new_count > 0 && of_book->on_hand_used < stock->have_count;
        number_of(facts, fact, "on_hand", stock->have_count, " of ",
                  more_saves_nothing ? ", more of it would save no new one" : NULL);
    }
    if (of_book->sheets_mm2 > 0)
        part_of(facts, fact,
                (FactPart){.name = "waste",
                           .kind = FACT_SHARE,
                           .number = of_book->waste_mm2 / of_book->sheets_mm2,
                           .before = "; waste "});
    if (of_book->lacking > 0)
        number_of(facts, fact, "lacking", of_book->lacking, "; nothing is left for ",
                  of_book->lacking == 1 ? " part" : " parts");
}

static const char TOTAL[] = "all";

bool buying_is_total(const Fact *fact) {
    return fact->key == TOTAL; /* a stock may be called so, in another place */
}

/* What no money buys, or none is told to: the sum is too little by that. */
static void write_short(Facts *facts, Fact *fact, const BookCutting *book) {
    Buffer text = buffer_new(facts->arena);
    bool any = false;
    for (int i = 0; i < book->stock_count; i++) {
        const BookStock *it = &book->stocks[i];
        if (it->lacking == 0) continue;
        buffer_format(&text, "%s%d part%s of %s", any ? ", " : "", it->lacking, it->lacking == 1 ? "" : "s",
                      it->stock.name);
        any = true;
    }
    if (any)
        part_of(facts, fact,
                (FactPart){.name = "short",
                           .kind = FACT_TEXT,
                           .text = buffer_text(&text),
                           .before = "; not in it, as nothing is left to cut them from: "});
}

static void write_cost(Facts *facts, FactBlock *block, const BookCutting *book) {
    double cost = 0;
    Buffer unpriced = buffer_new(facts->arena);
    bool any = false;
    for (int i = 0; i < book->stock_count; i++) {
        const BookStock *of_book = &book->stocks[i];
        cost += of_book->stock.price * of_book->new_count;
        if (of_book->stock.price > 0 || of_book->new_count == 0) continue;
        buffer_format(&unpriced, "%s%s", any ? ", " : "", of_book->stock.name);
        any = true;
    }
    if (cost == 0) return;
    Fact *fact = fact_new(facts, block, TOTAL, "all that has a price");
    money_of(facts, fact, "cost", cost, NULL, NULL);
    if (any)
        part_of(facts, fact,
                (FactPart){.name = "unpriced",
                           .kind = FACT_TEXT,
                           .text = buffer_text(&unpriced),
                           .before = "; without a price: "});
    write_short(facts, fact, book);
}

/* No stock is called so: names have no dot. */
const char *buying_alone(Arena *arena, const char *stock) {
    return arena_format(arena, "%s.alone", stock);
}

static const BookStock *book_stock(const BookCutting *book, const CutStock *stock) {
    for (int i = 0; i < book->stock_count; i++)
        if (cut_stocks_same(&book->stocks[i].stock, stock)) return &book->stocks[i];
    return NULL;
}

/* New ones in its turn; -1: nothing is cut in turn. */
static int new_in_turn(const BookStock *of_book, const char *scene) {
    if (!of_book || !of_book->in_turn) return -1;
    for (int i = 0; i < of_book->cut_count; i++)
        if (text_equal(of_book->cuts[i].scene, scene)) return of_book->cuts[i].cut.new_count;
    return 0; /* all of it is the book's, and cut before */
}

/* What each scene takes: when it is cut alone, with all that is on hand; where struck sets serve again, in
 * its turn, and alone where that is another number. */
static void write_scenes(Facts *facts, const BookCutting *book, const Summary *summaries, size_t count) {
    FactBlock *block = facts_block(facts, "stock by scene", "", "");
    for (size_t s = 0; s < count; s++) {
        const Cutting *cutting = summaries[s].cutting;
        if (!cutting || cutting->stock_count == 0) continue;
        Fact *fact = fact_new(facts, block, summaries[s].scene, NULL);
        for (int i = 0; i < cutting->stock_count; i++) {
            const StockCut *cut = &cutting->stocks[i];
            const int in_turn = new_in_turn(book_stock(book, &cut->stock), summaries[s].scene);
            const bool in_several = is_in_several(book, &cut->stock);
            const char *key = stock_key(facts, &cut->stock, in_several);
            const char *before = arena_format(facts->arena, "%s%s ", i > 0 ? "; " : "",
                                              stock_label(facts, &cut->stock, in_several));
            number_of(facts, fact, key, in_turn < 0 ? cut->new_count : in_turn, before, NULL);
            if (in_turn >= 0 && in_turn != cut->new_count)
                number_of(facts, fact, buying_alone(facts->arena, key), cut->new_count, " (by itself ", ")");
        }
    }
}

/* As the book would say it, where that saves something. */
static void write_largest_first(Facts *facts, const BookStock *of_book, const LargestFirst *largest_first) {
    if (largest_first->new_count >= of_book->new_count) return;
    Buffer order = buffer_new(facts->arena);
    for (int i = 0; i < largest_first->scene_count; i++)
        buffer_format(&order, "%s%s", i > 0 ? ", " : "[", largest_first->scenes[i]);
    buffer_add(&order, "]");
    FactBlock *block = facts_block(facts, "largest sets first", of_book->stock.name, "");
    Fact *fact = fact_new(facts, block, "build order", NULL);
    part_of(facts, fact, (FactPart){.name = "scenes", .kind = FACT_TEXT, .text = buffer_text(&order)});
}

void book_buying(Facts *facts, const BookCutting *book, const Summary *summaries, size_t count) {
    if (book->stock_count == 0) return;
    FactBlock *block = facts_block(facts, "to buy", "", "");
    LargestFirst *others = ARENA_ARRAY(facts->arena, LargestFirst, book->stock_count);
    for (int i = 0; i < book->stock_count; i++) {
        others[i] = book_largest_first(facts->arena, book, &book->stocks[i]);
        write_stock(facts, block, book, &book->stocks[i], &others[i]);
    }
    write_cost(facts, block, book);
    write_scenes(facts, book, summaries, count);
    for (int i = 0; i < book->stock_count; i++)
        write_largest_first(facts, &book->stocks[i], &others[i]);
}
