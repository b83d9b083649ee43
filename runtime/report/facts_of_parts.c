/* What a scene is cut from: its parts, how they lie on their sheets, and what they weigh (docs/geometry.md,
 * rules 80 to 89; docs/cutting.md). */
#include "base/text.h"
#include "plan/parts.h"
#include "report/facts_of_plan.h"
#include "shop/cutting.h"

#include <math.h>

static const double EDGE_MM = 1e-3;
/* More are not taken off a list: full-size patterns have them (`--patterns`). */
enum { CORNERS_READ_MOST = 24 };
static const FactWay WAY_OF_LEFT_EDGE = {" from its left edge", " left of it", "from its left edge on"};
static const FactWay WAY_OF_FOOT = {" above its foot", " below its foot", "from its foot up"};
/* Of what lies flat. */
static const FactWay WAY_OF_FRONT_EDGE = {" behind its front edge", " in front of its front edge",
                                          "from its front edge on"};

static void part_of(Writer *writer, Fact *fact, FactPart part) {
    fact_part(writer->facts, fact, part);
}

static void words_of(Writer *writer, Fact *fact, const char *name, const char *text) {
    part_of(writer, fact, (FactPart){.name = name, .kind = FACT_TEXT, .text = text});
}

/* `4'-0" x 8'-0" (1219.2 x 2438.4 mm)`. */
static void size_of(Writer *writer, Fact *fact, double wide_mm, double tall_mm, const char *before,
                    const char *shape) {
    part_of(writer, fact,
            (FactPart){.name = "wide",
                       .kind = FACT_SIZE,
                       .number = wide_mm,
                       .before = before,
                       .after = " x ",
                       .joined = true});
    part_of(writer, fact, (FactPart){.name = "tall", .kind = FACT_SIZE, .number = tall_mm});
    if (shape)
        part_of(writer, fact, (FactPart){.name = "shape", .kind = FACT_TEXT, .text = shape, .before = ", "});
}

/* --- parts ---------------------------------------------------------------------------------------------- */

static const char *shape_words(const Plan *plan, const Part *part) {
    switch (part->shape) {
    case PART_OUTLINE:
        return part->outline_count > 6    ? "a part of an ellipse"
               : part->outline_count == 3 ? "a triangle"
                                          : "with slanted sides";
    case PART_PROFILE:
        return plan->scene->things[part->thing].role == ROLE_MOUND      ? "a contour"
               : plan->scene->things[part->thing].shape == SHAPE_CUTOUT ? "sawn along its outline"
                                                                        : "stepped";
    case PART_CONTOUR:
        return "an ellipse";
    case PART_DISC:
        return "a disc";
    case PART_RECTANGLE:
    case PART_LENGTH:
        break;
    }
    return NULL;
}

/* Where the lower left corner of its box lies: on the base, or on its thing. Contours have their middle
 * there.
 */
static void place_of(Writer *writer, Fact *fact, const Part *part) {
    const bool round = part->shape == PART_CONTOUR;
    if (!part->placed) return;
    if (!part->level) {
        if (part->shape != PART_LENGTH)
            part_of(writer, fact,
                    (FactPart){.name = "from_left",
                               .kind = FACT_PLACE,
                               .number = part->at_x_mm,
                               .before = "; ",
                               .way = &WAY_OF_LEFT_EDGE});
        if (part->at_y_mm > 0 || part->shape == PART_LENGTH)
            part_of(writer, fact,
                    (FactPart){.name = "from_foot",
                               .kind = FACT_PLACE,
                               .number = part->at_y_mm,
                               .before = part->shape == PART_LENGTH ? "; " : ", ",
                               .way = &WAY_OF_FOOT});
        return;
    }
    part_of(writer, fact,
            (FactPart){.name = "behind",
                       .kind = FACT_PLACE,
                       .number = part->at_y_mm + (round ? part->tall_mm / 2 : 0) - writer->datum.front_mm,
                       .before = round ? "; its middle " : "; its left front corner ",
                       .way = &WAY_BEHIND_EDGE});
    part_of(writer, fact,
            (FactPart){.name = "right",
                       .kind = FACT_PLACE,
                       .number = part->at_x_mm + (round ? part->wide_mm / 2 : 0) - writer->datum.centre_mm,
                       .before = ", ",
                       .way = &WAY_SIDE});
}

static const char *grain_words(const Part *part) {
    if (part->grain == GRAIN_ALONG_X) return part->level ? "grain across the set" : "grain level";
    return part->level ? "grain from front to rear" : "grain upright";
}

static void write_part(Writer *writer, FactBlock *block, const Part *part) {
    const Stock *stock = &writer->plan->scene->stocks[part->stock];
    Fact *fact = fact_new(writer->facts, block, part->name, NULL);
    if (part->copies > 1)
        part_of(
            writer, fact,
            (FactPart){.name = "copies", .kind = FACT_NUMBER, .number = part->copies, .after = " alike, "});
    if (part->shape == PART_LENGTH)
        part_of(writer, fact,
                (FactPart){.name = "long", .kind = FACT_SIZE, .number = part->tall_mm, .after = NULL});
    else
        size_of(writer, fact, part->wide_mm, part->tall_mm, NULL, shape_words(writer->plan, part));
    part_of(writer, fact,
            (FactPart){.name = "stock", .kind = FACT_TEXT, .text = stock->name, .before = "; "});
    if (part->grain != GRAIN_NONE)
        part_of(writer, fact,
                (FactPart){.name = "grain", .kind = FACT_TEXT, .text = grain_words(part), .before = ", "});
    if (fabs(part->finished_thick_mm - part->thick_mm) > 0.05)
        part_of(writer, fact,
                (FactPart){.name = part->shape == PART_LENGTH ? "turned_down" : "thinned",
                           .kind = FACT_SIZE,
                           .number = part->finished_thick_mm,
                           .before = part->shape == PART_LENGTH ? ", turned down to " : ", thinned to "});
    place_of(writer, fact, part);
    if (!isnan(part->weight_kg))
        part_of(writer, fact,
                (FactPart){.name = "weight",
                           .kind = FACT_WEIGHT,
                           .number = part->weight_kg,
                           .before = "; ",
                           .after = part->copies > 1 ? " each" : NULL});
}

/* How far the outline leaves a corner of its box, along the front or rear and along the side: the corner that
 * is cut off. Nothing of a corner that it fills. */
static PartPoint cut_off(const Part *part, bool right, bool rear) {
    const PartPoint corner = {right ? part->wide_mm : 0, rear ? part->tall_mm : 0};
    PartPoint off = {part->wide_mm, part->tall_mm};
    for (size_t i = 0; i < part->outline_count; i++) {
        const double x = fabs(part->outline[i].x_mm - corner.x_mm),
                     y = fabs(part->outline[i].y_mm - corner.y_mm);
        if (y < EDGE_MM) off.x_mm = fmin(off.x_mm, x);
        if (x < EDGE_MM) off.y_mm = fmin(off.y_mm, y);
    }
    return off;
}

/* Panels with slanted sides are boxes with their corners cut off. */
static void write_cut_off(Writer *writer, FactBlock *block, const Part *part) {
    static const struct {
        const char *words, *along, *up;
    } corners[] = {{"left front ", "left_front_along", "left_front_up"},
                   {"right front ", "right_front_along", "right_front_up"},
                   {"left rear ", "left_rear_along", "left_rear_up"},
                   {"right rear ", "right_rear_along", "right_rear_up"}};
    Fact *fact = NULL;
    for (int i = 0; i < 4; i++) {
        const PartPoint off = cut_off(part, i % 2 == 1, i >= 2);
        if (off.x_mm < EDGE_MM || off.y_mm < EDGE_MM) continue;
        const bool first = !fact;
        if (first)
            fact = fact_new(writer->facts, block, arena_format(writer->arena, "corners %s", part->name),
                            arena_format(writer->arena, "%s, corners cut off", part->name));
        part_of(writer, fact,
                (FactPart){.name = corners[i].along,
                           .kind = FACT_FINE,
                           .number = off.x_mm,
                           .before = arena_format(writer->arena, "%s%s", first ? "" : "; ", corners[i].words),
                           .after = " x ",
                           .joined = true});
        part_of(writer, fact, (FactPart){.name = corners[i].up, .kind = FACT_FINE, .number = off.y_mm});
    }
}

/* All corners from the lower left of the box, where there is more to a shape than that. */
static void write_corners(Writer *writer, FactBlock *block, const Part *part) {
    if (part->shape == PART_OUTLINE && part->outline_count <= 6) write_cut_off(writer, block, part);
    if (part->shape != PART_PROFILE) return;
    Buffer text = buffer_new(writer->arena);
    if (part->outline_count > CORNERS_READ_MOST &&
        writer->plan->scene->things[part->thing].shape == SHAPE_CUTOUT) {
        write_text(writer, block, arena_format(writer->arena, "corners %s", part->name),
                   arena_format(writer->arena, "%s, corners", part->name),
                   arena_format(writer->arena, "%zu, as the pattern of %s has them", part->outline_count,
                                writer->plan->scene->things[part->thing].name));
        return;
    }
    for (size_t i = 0; i < part->outline_count; i++) {
        const PartPoint corner = part->outline[i];
        buffer_format(&text, "%s%s, %s", i > 0 ? "; " : "",
                      length_both(writer->arena, writer->facts->lengths, fmax(corner.x_mm, 0), 64, 1),
                      length_both(writer->arena, writer->facts->lengths, fmax(corner.y_mm, 0), 64, 1));
    }
    write_text(writer, block, arena_format(writer->arena, "corners %s", part->name),
               arena_format(writer->arena, "%s, corners, right and up", part->name), buffer_text(&text));
}

static void write_cut_out(Writer *writer, FactBlock *block, const Part *part) {
    for (size_t i = 0; i < part->opening_count; i++) {
        const PartOpening *opening = &part->openings[i];
        Fact *fact = fact_new(writer->facts, block,
                              arena_format(writer->arena, "cut-out %s of %s", opening->name, part->name),
                              arena_format(writer->arena, "%s, cut out", part->name));
        words_of(writer, fact, "name", opening->name);
        size_of(writer, fact, opening->wide_mm, opening->tall_mm, ", ", opening->round ? "an ellipse" : NULL);
        part_of(writer, fact,
                (FactPart){.name = "from_left",
                           .kind = FACT_SIZE,
                           .number = opening->x_mm,
                           .before = opening->round ? "; its box " : "; ",
                           .way = &WAY_OF_LEFT_EDGE});
        part_of(writer, fact,
                (FactPart){.name = part->level ? "from_front" : "from_foot",
                           .kind = FACT_SIZE,
                           .number = opening->y_mm,
                           .before = ", ",
                           .way = part->level ? &WAY_OF_FRONT_EDGE : &WAY_OF_FOOT});
    }
}

static bool has_parts(const Parts *parts, int thing) {
    for (size_t i = 0; i < parts->things.count; i++)
        if (parts->things.items[i].thing == thing) return true;
    return false;
}

/* What is built, and of which it is not said from what. */
static void write_uncut(Writer *writer, FactBlock *block, const Parts *parts) {
    const Scene *scene = writer->plan->scene;
    Buffer names = buffer_new(writer->arena);
    bool any = false;
    for (size_t i = 0; i < scene->thing_count; i++) {
        const ThingRole role = scene->things[i].role;
        const bool built = role == ROLE_PIECE || role == ROLE_FLAT || role == ROLE_BACKDROP ||
                           role == ROLE_GROUND || role == ROLE_BASE;
        if (!built || has_parts(parts, (int)i)) continue;
        buffer_format(&names, "%s%s", any ? ", " : "", scene->things[i].name);
        any = true;
    }
    if (any) write_text(writer, block, "uncut", "without a stock, so not in this list", buffer_text(&names));
}

static void write_parts(Writer *writer, const Parts *parts) {
    FactBlock *block = facts_block(writer->facts, "parts", "", "");
    for (size_t i = 0; i < parts->items.count; i++) {
        const Part *part = &parts->items.items[i];
        write_part(writer, block, part);
        write_corners(writer, block, part);
        write_cut_out(writer, block, part);
    }
    write_seams_in_line(writer, block);
    write_uncut(writer, block, parts);
}

/* --- how they lie on their sheets ------------------------------------------------------------------------
 */

static void sheet_words(Writer *writer, Fact *fact, const CutStock *stock, NestSheet sheet,
                        const char *before) {
    if (stock->bars)
        part_of(writer, fact,
                (FactPart){.name = "long", .kind = FACT_SIZE, .number = sheet.tall_mm, .before = before});
    else
        size_of(writer, fact, sheet.wide_mm, sheet.tall_mm, before, NULL);
}

/* New ones are taken though some on hand are not: as the parts are, these would not spare any. */
static const char *rest_saves_nothing(const StockCut *cut) {
    const Nest *nest = cut->nest;
    if (nest->new_count == 0 || nest->sheet_count - nest->new_count == cut->stock.have_count) return NULL;
    return cut->stock.bars ? "; more of it would save no new length" : "; more of it would save no new sheet";
}

static void write_counts(Writer *writer, FactBlock *block, const StockCut *cut) {
    const Nest *nest = cut->nest;
    if (cut->stock.sheet.wide_mm > 0) {
        Fact *fact = fact_new(writer->facts, block, "new", cut->stock.bars ? "new lengths" : "new sheets");
        part_of(writer, fact, (FactPart){.name = "count", .kind = FACT_NUMBER, .number = nest->new_count});
        sheet_words(writer, fact, &cut->stock, cut->stock.sheet, " of ");
        part_of(writer, fact,
                (FactPart){.name = "bound",
                           .kind = FACT_NUMBER,
                           .number = nest->area_bound,
                           .before = cut->stock.bars ? "; by their lengths alone " : "; by area alone ",
                           .after = " at least"});
    }
    if (cut->stock.have_count > 0) {
        Fact *fact = fact_new(writer->facts, block, "on_hand", "of what is on hand, used");
        part_of(writer, fact,
                (FactPart){.name = "used",
                           .kind = FACT_NUMBER,
                           .number = nest->sheet_count - nest->new_count,
                           .after = " of "});
        part_of(writer, fact,
                (FactPart){.name = "have",
                           .kind = FACT_NUMBER,
                           .number = cut->stock.have_count,
                           .after = rest_saves_nothing(cut)});
    }
}

static void write_waste(Writer *writer, FactBlock *block, const StockCut *cut) {
    const Nest *nest = cut->nest;
    if (nest->sheet_count == 0) return;
    write_number(writer, block, "waste", "waste, of what is cut", FACT_SHARE,
                 nest->waste_mm2 / nest->sheets_mm2);
    if (nest->offcut_count == 0) return;
    Fact *fact = fact_new(writer->facts, block, "offcut", "largest offcut left");
    sheet_words(writer, fact, &cut->stock,
                (NestSheet){.wide_mm = nest->offcuts[0].wide_mm, .tall_mm = nest->offcuts[0].tall_mm}, NULL);
}

static const char *copies_text(Arena *arena, const CutItem *item, int copies) {
    return copies > 1 ? arena_format(arena, "%s (%d of them)", item->name, copies) : item->name;
}

/* What lies on one sheet, part by part. */
static void write_sheet(Writer *writer, FactBlock *block, const StockCut *cut, int sheet) {
    const Nest *nest = cut->nest;
    const NestUsed *used = &nest->sheets[sheet];
    const bool have = used->have >= 0;
    Fact *fact = fact_new(writer->facts, block, arena_format(writer->arena, "sheet %d", sheet + 1),
                          arena_format(writer->arena, "%s %d, %s", cut->stock.bars ? "length" : "sheet",
                                       sheet + 1, have ? "on hand" : "new"));
    Buffer names = buffer_new(writer->arena);
    bool first = true;
    if (have) sheet_words(writer, fact, &cut->stock, used->size, NULL);
    for (int i = 0; i < cut->item_count; i++) {
        int copies = 0;
        for (int p = 0; p < nest->placement_count; p++)
            copies += nest->placements[p].sheet == sheet && nest->placements[p].item == i;
        if (copies == 0) continue;
        buffer_format(&names, "%s%s", first ? "" : "; ", copies_text(writer->arena, &cut->items[i], copies));
        first = false;
    }
    part_of(
        writer, fact,
        (FactPart){
            .name = "parts", .kind = FACT_TEXT, .text = buffer_text(&names), .before = have ? ": " : NULL});
}

static void write_left_over(Writer *writer, FactBlock *block, const StockCut *cut) {
    Buffer names = buffer_new(writer->arena);
    bool any = false;
    for (int i = 0; i < cut->item_count; i++) {
        const int copies = stock_cut_lacking_of(cut, i);
        if (copies == 0) continue;
        buffer_format(&names, "%s%s", any ? "; " : "", copies_text(writer->arena, &cut->items[i], copies));
        any = true;
    }
    if (any) write_text(writer, block, "lacking", "nothing is left to cut these from", buffer_text(&names));
}

/* A stock without a thickness has a block for each. */
static const char *stock_heading(Writer *writer, const StockCut *cut) {
    const Plan *plan = writer->plan;
    if (plan->scene->slots[plan->scene->stocks[cut->stock.index].thick].stated) return cut->stock.name;
    return arena_format(writer->arena, "%s, %s", cut->stock.name,
                        length_one(writer->arena, writer->facts->lengths, cut->stock.thick_mm, 64, 1));
}

static void write_cut(Writer *writer, const StockCut *cut) {
    FactBlock *block = facts_block(writer->facts, "cut", stock_heading(writer, cut), "");
    write_number(writer, block, "thick", NULL, FACT_SIZE, cut->stock.thick_mm);
    if (cut->stock.kerf_mm > 0)
        write_number(writer, block, "kerf", "each cut of the saw takes", FACT_SIZE, cut->stock.kerf_mm);
    if (cut->stock.grain)
        write_text(writer, block, "grain", NULL, "along the sheet, and in each part as `parts` says");
    write_counts(writer, block, cut);
    write_waste(writer, block, cut);
    for (int i = 0; i < cut->nest->sheet_count; i++)
        write_sheet(writer, block, cut, i);
    write_left_over(writer, block, cut);
}

void facts_of_parts(Writer *writer) {
    const Parts *parts = writer->plan->parts;
    if (!parts || !parts->cutting) return;
    write_parts(writer, parts);
    for (int i = 0; i < parts->cutting->stock_count; i++)
        write_cut(writer, &parts->cutting->stocks[i]);
}
