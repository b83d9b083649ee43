/* Books from standard input, each cut scene after scene, to standard output, as words and numbers for
 * again_check.py. A book:
 *
 *     book AGAIN ALIKE KERF WHOLE_WIDE WHOLE_TALL HAVE_COUNT SCENE_COUNT
 *     WIDE TALL TRIM                                    (each on hand)
 *     scene ITEM_COUNT                                  (each)
 *     KEEPS_SHAPE OF_BOOK WIDE TALL MAY_TURN COPIES HAS_OUTLINE [8 numbers]   (each item)
 *
 * Parts are called by their numbers in their scene, scenes by theirs; what is of the book is one thing. */
#include "nest_lines.h"
#include "shop/book_cutting.h"

static CutItem part_of(Arena *arena, const char *scene, int index) {
    const bool keeps = number() != 0, of_book = number() != 0;
    CutItem cut = {.name = arena_format(arena, "%d", index),
                   .scene = scene,
                   .thing = "thing",
                   .of_book = of_book,
                   .keeps_shape = keeps,
                   .item = item()};
    const NestItem *it = &cut.item;
    NestPoint *corners = ARENA_ARRAY(arena, NestPoint, 4);
    const NestPoint box[4] = {{0, 0}, {it->wide_mm, 0}, {it->wide_mm, it->tall_mm}, {0, it->tall_mm}};
    for (int i = 0; i < 4; i++)
        corners[i] = it->has_outline ? it->outline[i] : box[i];
    cut.shape = it->has_outline ? PART_OUTLINE : PART_RECTANGLE;
    cut.outline = corners;
    cut.outline_count = 4;
    return cut;
}

static const Cutting *scene_of(Arena *arena, const CutStock *stock, int number) {
    Cutting *cutting = ARENA_NEW(arena, Cutting);
    if (scanf(" scene") == EOF) exit(1);
    const int count = whole_number();
    CutItem *items = ARENA_ARRAY(arena, CutItem, count);
    cutting->scene = arena_format(arena, "%d", number);
    for (int i = 0; i < count; i++)
        items[i] = part_of(arena, cutting->scene, i);
    cutting->stocks = ARENA_NEW(arena, StockCut);
    cutting->stock_count = 1;
    cutting->stocks[0] = (StockCut){.stock = *stock, .items = items, .item_count = count};
    return cutting;
}

static void print_cut(const SceneCut *cut) {
    printf("cut %s %d %d %d\n", cut->scene ? cut->scene : "-1", cut->cut.item_count,
           cut->cut.stock.have_count, cut->again_count);
    for (int i = 0; i < cut->cut.item_count; i++)
        printf("%s %s %d\n", cut->cut.items[i].scene, cut->cut.items[i].name, cut->cut.items[i].item.copies);
    for (int i = 0; i < cut->cut.stock.have_count; i++) {
        const Found *found = &cut->found[i];
        printf("%d %d %s %d %s %.9f %.9f %.9f %.9f\n", (int)found->kind, found->have,
               found->scene ? found->scene : "-1", found->sheet, found->part ? found->part : "-1",
               cut->cut.stock.have[i].wide_mm, cut->cut.stock.have[i].tall_mm, found->at.x_mm,
               found->at.y_mm);
    }
    for (int i = 0; i < cut->again_count; i++) {
        const UsedAgain *again = &cut->again[i];
        printf("%s %s %s %d %d %d %.9f %.9f\n", again->part, again->from_scene, again->from_part,
               again->copies, (int)again->cut_down, again->quarter_turns, again->at.x_mm, again->at.y_mm);
    }
    print_nest(cut->cut.nest);
}

static void print_book(const BookStock *book) {
    printf("book %d %d %d %d %d %d %d %d %d %.9g %.9g\n", (int)book->in_turn, book->cut_count,
           book->new_count, book->at_once_count, book->bound, book->on_hand_used, book->lacking,
           book->again_whole, book->again_cut, book->sheets_mm2, book->waste_mm2);
    for (int i = 0; i < book->cut_count; i++)
        print_cut(&book->cuts[i]);
}

int main(void) {
    while (scanf(" book") != EOF) {
        Arena *arena = arena_new();
        CutStock stock = {.name = "ply", .thick_mm = 18};
        stock.again = (UseAgain)whole_number();
        stock.alike_mm = number();
        stock.kerf_mm = number();
        stock.sheet.wide_mm = number();
        stock.sheet.tall_mm = number();
        stock.have_count = whole_number();
        const int scene_count = whole_number();
        NestSheet *have = ARENA_ARRAY(arena, NestSheet, stock.have_count);
        for (int i = 0; i < stock.have_count; i++)
            have[i] = sheet();
        stock.have = have;
        const Cutting **scenes = ARENA_ARRAY(arena, const Cutting *, scene_count);
        for (int i = 0; i < scene_count; i++)
            scenes[i] = scene_of(arena, &stock, i);
        print_book(&cuttings_to_book(arena, scenes, (size_t)scene_count)->stocks[0]);
        arena_free(arena);
    }
}
