#include "report/book_used_again.h"

#include "base/text.h"

static const char *times(Arena *arena, int copies) {
    return copies == 1 ? "" : arena_format(arena, " (%d of them)", copies);
}

static void write_fact(Facts *facts, FactBlock *block, const char *from_part, const char *from_scene,
                       const char *becomes) {
    Fact *fact = fact_new(facts, block, arena_format(facts->arena, "%s of %s", from_part, from_scene), NULL);
    fact_part(facts, fact, (FactPart){.name = "becomes", .kind = FACT_TEXT, .text = becomes});
}

/* `base 2 of 3 of 08-fog, as it is`; one that is cut down loses its outline alone. */
static void write_served(Facts *facts, FactBlock *block, const SceneCut *cut) {
    for (int i = 0; i < cut->again_count; i++) {
        const UsedAgain *again = &cut->again[i];
        write_fact(facts, block, again->from_part, again->from_scene,
                   arena_format(facts->arena, "%s%s of %s, %s", again->part,
                                times(facts->arena, again->copies), cut->scene,
                                again->cut_down ? "cut from it" : "as it is"));
    }
}

/* `base 2 of 3 and base 3 of 3 of 08-fog, cut from it`: what lies on one sheet. */
static const char *parts_on(Facts *facts, const SceneCut *cut, int sheet) {
    const Nest *nest = cut->cut.nest;
    Buffer parts = buffer_new(facts->arena);
    for (int i = 0; i < nest->placement_count;) {
        const int item = nest->placements[i].item;
        int copies = 0;
        for (; i < nest->placement_count && nest->placements[i].item == item; i++)
            copies += nest->placements[i].sheet == sheet;
        if (copies == 0) continue;
        buffer_format(&parts, "%s%s%s", parts.count > 0 ? ", " : "", cut->cut.items[item].name,
                      times(facts->arena, copies));
    }
    return arena_format(facts->arena, "%s of %s, cut from it", buffer_text(&parts), cut->scene);
}

static void write_cut(Facts *facts, FactBlock *block, const SceneCut *cut) {
    for (int s = 0; s < cut->cut.nest->sheet_count; s++) {
        const int have = cut->cut.nest->sheets[s].have;
        if (have < 0 || cut->found[have].kind != FOUND_STRUCK) continue;
        write_fact(facts, block, cut->found[have].part, cut->found[have].scene, parts_on(facts, cut, s));
    }
}

void book_used_again(Facts *facts, const BookStock *stock) {
    if (stock->again_whole + stock->again_cut == 0) return;
    FactBlock *block = facts_block(facts, "used again", stock->stock.name, "");
    for (int i = 0; i < stock->cut_count; i++) {
        write_served(facts, block, &stock->cuts[i]);
        write_cut(facts, block, &stock->cuts[i]);
    }
}
