/* What each camera sees of the set before it is built: what hides what, where the frame shoots off, how much
 * ground is in it (docs/geometry.md, rule 42). */
#include "plan/seen.h"
#include "report/facts_of_plan.h"

void write_bare_shares(Writer *writer, FactBlock *block, const char *key, const char *label, double bare,
                       const double at[]) {
    static const char *const words[SIDE_COUNT] = {"left", "right", "top", "bottom"};
    if (bare < SEEN_NOTHING) {
        write_text(writer, block, key, label, "nowhere");
        return;
    }
    Fact *fact = fact_new(writer->facts, block, key, label);
    fact_part(writer->facts, fact,
              (FactPart){.name = "all", .kind = FACT_SHARE, .number = bare, .after = " of the frame"});
    const char *joint = ": ";
    for (int side = 0; side < SIDE_COUNT; side++) {
        if (at[side] < SEEN_NOTHING) continue;
        fact_part(writer->facts, fact,
                  (FactPart){.name = words[side],
                             .kind = FACT_SHARE,
                             .number = at[side],
                             .before = arena_format(writer->arena, "%s%s ", joint, words[side])});
        joint = ", ";
    }
}

/* What closes it: an edge, how much farther out, and how the spec says so (rule 42). */
static void write_growth(Writer *writer, FactBlock *block, bool spare, const SeenGrowth *growth) {
    const Plan *plan = writer->plan;
    Arena *arena = writer->arena;
    const char *with = spare ? " with the spare" : "", *key = spare ? "close_spare" : "close";
    const FactPart in_spec = {.name = "in_spec",
                              .kind = FACT_TEXT,
                              .text = growth_in_spec(arena, plan, growth),
                              .before = growth->thing < 0 ? "a backdrop is missing; in the spec, "
                                                          : " farther out; in the spec, "};
    if (growth->thing < 0) {
        fact_part(writer->facts,
                  fact_new(writer->facts, block, key, arena_format(arena, "to close it%s", with)), in_spec);
        return;
    }
    const char *edge = growth_edge(plan, growth), *name = plan->scene->things[growth->thing].name;
    Fact *fact = fact_new(writer->facts, block, arena_format(arena, "%s_%s %s", key, edge, name),
                          arena_format(arena, "to close it%s, %s of %s", with, edge, name));
    fact_part(writer->facts, fact, (FactPart){.name = "by", .kind = FACT_SIZE, .number = growth->by_mm});
    fact_part(writer->facts, fact, in_spec);
    const char *shift = growth_shift_in_spec(arena, plan, growth);
    if (shift)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "or_in_spec",
                             .kind = FACT_TEXT,
                             .text = shift,
                             .before = arena_format(arena, "; or with its %s edge kept, ",
                                                    growth_kept_edge(growth))});
}

static void write_growths(Writer *writer, FactBlock *block, bool spare, const SeenGrowths *growths) {
    for (size_t i = 0; i < growths->count; i++)
        write_growth(writer, block, spare, &growths->items[i]);
}

void write_frame_seen(Writer *writer, FactBlock *block, int shot, int camera) {
    const SeenCamera *seen = seen_by(writer->plan, shot, camera);
    if (!seen) return;
    write_number(writer, block, "ground", "ground in the frame", FACT_SHARE, seen->ground);
    write_bare_shares(writer, block, "shoots_off", "shoots off the set", seen->bare, seen->bare_at);
    const bool spare = writer->plan->shots[shot].spare > 0;
    if (seen->bare >= SEEN_NOTHING && (camera == 0 || !spare))
        write_growths(writer, block, false, &seen->closes);
    if (!spare) return;
    write_bare_shares(writer, block, "shoots_off_spare", "shoots off the set, with the spare",
                      seen->bare_spare, seen->bare_spare_at);
    if (seen->bare_spare >= SEEN_NOTHING) write_growths(writer, block, true, &seen->closes_spare);
}

/* --- slack (rule 42) */

/* Shares are rounded down: what is said is there. */
static void write_slide(Writer *writer, FactBlock *block, FrameSide side, const SeenSlack *slack) {
    static const struct {
        const char *key, *label;
    } words[SIDE_COUNT] = {{"slack_left", "the frame may move left by"},
                           {"slack_right", "the frame may move right by"},
                           {"slack_up", "the frame may move up by"},
                           {"slack_down", "the frame may move down by"}};
    const bool sideways = side == SIDE_LEFT || side == SIDE_RIGHT;
    const double share = number_round_down(slack->move[side], 0.001);
    Fact *fact = fact_new(writer->facts, block, words[side].key, words[side].label);
    if (share <= 0) {
        fact_part(writer->facts, fact, (FactPart){.name = "share", .kind = FACT_SHARE});
        return;
    }
    fact_part(writer->facts, fact,
              (FactPart){.name = "share",
                         .kind = FACT_SHARE,
                         .number = share,
                         .before = slack->move_at_least[side] ? "at least " : NULL,
                         .after = sideways ? " of its width, " : " of its height, "});
    fact_part(writer->facts, fact,
              (FactPart){.name = "at_mark",
                         .kind = FACT_PLACE,
                         .number = share * (sideways ? slack->frame_wide_mm : slack->frame_tall_mm),
                         .after = " at the mark"});
}

static void write_slack(Writer *writer, FactBlock *block, const SeenSlack *slack) {
    if (!slack->known) return;
    if (slack->tighter > 0) {
        Fact *fact =
            fact_new(writer->facts, block, "tighter", "the frame is filled where each edge comes in by");
        fact_part(writer->facts, fact,
                  (FactPart){.name = "share",
                             .kind = FACT_SHARE,
                             .number = number_round_up(slack->tighter, 0.001),
                             .after = slack->tighter < 0.5 ? " of its own side"
                                                           : " of its own side: nothing is left"});
        return;
    }
    const double share = number_round_down(slack->wider, 0.001);
    Fact *fact = fact_new(writer->facts, block, "slack", "the frame may grow, each edge by");
    fact_part(writer->facts, fact,
              (FactPart){.name = "share",
                         .kind = FACT_SHARE,
                         .number = share,
                         .before = slack->wider_at_least ? "at least " : NULL,
                         .after = share > 0 ? " of its own side, " : NULL});
    if (share > 0) {
        fact_part(writer->facts, fact,
                  (FactPart){.name = "sideways_at_mark",
                             .kind = FACT_PLACE,
                             .number = share * slack->frame_wide_mm,
                             .after = " left and right and "});
        fact_part(writer->facts, fact,
                  (FactPart){.name = "up_at_mark",
                             .kind = FACT_PLACE,
                             .number = share * slack->frame_tall_mm,
                             .after = " up and down at the mark, before something shoots off"});
    }
    for (int side = 0; side < SIDE_COUNT; side++)
        write_slide(writer, block, (FrameSide)side, slack);
}

static void write_thing(Writer *writer, FactBlock *block, const PlanThing *thing, const SeenThing *seen) {
    const Plan *plan = writer->plan;
    const char *key = arena_format(writer->arena, "thing %s", thing->thing->name);
    if (seen->alone < SEEN_NOTHING && seen->share < SEEN_NOTHING) {
        write_text(writer, block, key, thing->thing->name, "not in the frame");
        return;
    }
    Fact *fact = fact_new(writer->facts, block, key, thing->thing->name);
    fact_part(
        writer->facts, fact,
        (FactPart){.name = "share", .kind = FACT_SHARE, .number = seen->share, .after = " of the frame"});
    if (seen->hidden_by < 0 || seen->hidden_by_share < 0.005) return;
    const char *front = plan->things[seen->hidden_by].thing->name;
    fact_part(writer->facts, fact,
              (FactPart){.name = "hidden",
                         .kind = FACT_SHARE,
                         .number = seen->hidden_by_share,
                         .before = "; ",
                         .after = arena_format(writer->arena, " of it behind ")});
    fact_part(writer->facts, fact, (FactPart){.name = "behind", .kind = FACT_TEXT, .text = front});
    if (seen->hidden >= seen->hidden_by_share + 0.005)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "hidden_in_all",
                             .kind = FACT_SHARE,
                             .number = seen->hidden,
                             .before = ", ",
                             .after = " hidden in all"});
    if (seen->face_hidden >= 0.005)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "face_hidden",
                             .kind = FACT_SHARE,
                             .number = seen->face_hidden,
                             .before = "; of its face ",
                             .after = " hidden"});
}

void facts_of_seen(Writer *writer) {
    const Plan *plan = writer->plan;
    for (size_t i = 0; i < plan->shot_count; i++) {
        const SeenCamera *seen = seen_by(plan, (int)i, 0);
        if (!seen) continue;
        const PlanShot *shot = &plan->shots[i];
        FactBlock *block = facts_block(writer->facts, "seen", shot->name, shot->name);
        write_frame_seen(writer, block, (int)i, 0);
        write_slack(writer, block, &seen->slack);
        for (size_t t = 0; t < plan->scene->thing_count; t++) {
            const PlanThing *thing = &plan->things[t];
            if (stands_on_set(thing) && in_shot(thing, i))
                write_thing(writer, block, thing, &seen->things[t]);
        }
    }
}
