/* Each thing: its size as cut, what it stands on, and how each shot draws it. */
#include "base/text.h"
#include "plan/shape.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_SIDE_OF_MARK = {" right of the mark", " left of the mark", "in line with the mark"};
static const FactWay WAY_BEHIND_MARK = {" behind it", " in front of it", "abreast of it"};
static const FactWay WAY_BEHIND = {" behind the mark", " in front of the mark", "on the mark"};
static const FactWay WAY_FROM_LEFT = {" from the drawing's left edge", " left of the drawing's left edge",
                                      "on the drawing's left edge"};
static const FactWay WAY_FROM_LOWER = {" up", " below its lower edge", "on its lower edge"};
static const FactWay WAY_OF_FLAT = {" right of the flat's middle", " left of the flat's middle",
                                    "in the flat's middle"};
static const FactWay WAY_SILL = {" above the flat's foot", " below the flat's foot",
                                 "down to the flat's foot"};

static const char *const role_words[ROLE_COUNT] = {
    [ROLE_PUPPET] = "puppet",     [ROLE_PIECE] = "piece",   [ROLE_FLAT] = "flat",
    [ROLE_BACKDROP] = "backdrop", [ROLE_GROUND] = "ground", [ROLE_BASE] = "base",
    [ROLE_MOUND] = "mound",       [ROLE_HOLLOW] = "hollow", [ROLE_OPENING] = "opening"};

static const char *name_of(const Writer *writer, const PlanThing *thing) {
    const Thing *it = thing->thing;
    switch (it->role) {
    case ROLE_BACKDROP:
    case ROLE_GROUND:
    case ROLE_BASE:
        return "";
    case ROLE_OPENING:
        return arena_format(writer->arena, "%s of %s", it->name,
                            writer->plan->scene->things[it->parent].name);
    default:
        return it->name;
    }
}

static void write_size(Writer *writer, FactBlock *block, const char *key, const char *label, double mm) {
    if (mm > 0) write_number(writer, block, key, label, FACT_SIZE, mm);
}

static void write_sizes(Writer *writer, FactBlock *block, const PlanThing *thing) {
    const ThingShape shape = thing->thing->shape;
    if (shape == SHAPE_POST) {
        write_size(writer, block, "thick", "across", thing->wide_mm);
        write_size(writer, block, "tall", NULL, thing->tall_mm);
        return;
    }
    const bool thin = shape == SHAPE_PANEL || shape == SHAPE_CUTOUT;
    write_size(writer, block, "wide", NULL, thing->wide_mm);
    write_size(writer, block, "tall", thing->thing->role == ROLE_HOLLOW ? "reaches down" : NULL,
               thing->tall_mm);
    write_size(writer, block, thin ? "thick" : "deep", NULL, thing->deep_mm);
    if (shape == SHAPE_STEPS) write_number(writer, block, "steps", NULL, FACT_NUMBER, thing->steps);
    if (shape == SHAPE_FIGURE)
        write_number(writer, block, "eyes", "eyes above its foot", FACT_PLACE, thing->eyes_mm);
}

static void write_row(Writer *writer, FactBlock *block, const PlanThing *thing) {
    if (thing->row_count < 2) return;
    Fact *fact = fact_new(writer->facts, block, "row", NULL);
    fact_part(writer->facts, fact,
              (FactPart){.name = "count", .kind = FACT_NUMBER, .number = thing->row_count});
    fact_part(writer->facts, fact,
              (FactPart){.name = "every",
                         .kind = FACT_SIZE,
                         .number = thing->row_every_mm,
                         .before = " of them, from middle to middle "});
}

/* `foam, thin foam`: layers of both. */
static void write_stock(Writer *writer, FactBlock *block, const Thing *thing) {
    const Stock *stocks = writer->plan->scene->stocks;
    if (thing->stock < 0) return;
    Buffer names = buffer_new(writer->arena);
    buffer_add(&names, stocks[thing->stock].name);
    for (size_t i = 1; i < thing->layer_count; i++)
        buffer_format(&names, ", %s", stocks[thing->layers[i].stock].name);
    write_text(writer, block, "stock", NULL, buffer_text(&names));
}

static void write_make(Writer *writer, FactBlock *block, const PlanThing *thing) {
    const Thing *it = thing->thing;
    if (it->role == ROLE_PIECE) {
        static const char *const words[SHAPE_COUNT] = {[SHAPE_BOX] = "box",
                                                       [SHAPE_POST] = "post",
                                                       [SHAPE_CONE] = "cone",
                                                       [SHAPE_WEDGE] = "wedge, full height at the rear",
                                                       [SHAPE_STEPS] = "steps, rising to the rear",
                                                       [SHAPE_CUTOUT] = "cutout"};
        if (words[it->shape]) write_text(writer, block, "shape", NULL, words[it->shape]);
    }
    if (it->pose) write_text(writer, block, "pose", NULL, it->pose);
    write_sizes(writer, block, thing);
    write_row(writer, block, thing);
    write_stock(writer, block, it);
}

static void write_standing(Writer *writer, FactBlock *block, const PlanThing *thing) {
    const Thing *it = thing->thing;
    const char *on = thing->hung     ? "nothing: it hangs"
                     : it->atop >= 0 ? writer->plan->scene->things[it->atop].name
                                     : "ground";
    write_text(writer, block, "stands_on", "stands on", on);
    Fact *place = fact_new(writer->facts, block, "place", NULL);
    const Point3 mark = writer->plan->shots[0].mark; /* the origin, where specs count from */
    fact_part(writer->facts, place,
              (FactPart){.name = "across",
                         .kind = FACT_PLACE,
                         .number = thing->at.across_mm - mark.across_mm,
                         .after = ", ",
                         .way = &WAY_SIDE_OF_MARK});
    fact_part(writer->facts, place,
              (FactPart){.name = "back",
                         .kind = FACT_PLACE,
                         .number = thing->at.back_mm - mark.back_mm,
                         .way = &WAY_BEHIND_MARK});
    write_way(writer, block, "foot", NULL, FACT_PLACE, thing->foot_mm, &WAY_UP);
    write_way(writer, block, "top", NULL, FACT_PLACE, thing->top_mm, &WAY_UP);
}

static void write_worth(Writer *writer, FactBlock *block, const PlanShot *shot, double scale) {
    const double px = shot->drawn_px_per_mm;
    Fact *fact = fact_new(writer->facts, block, "enlargement", "enlargement of the drawing there");
    fact_part(writer->facts, fact, (FactPart){.kind = FACT_SHARE, .number = scale});
    fact_part(writer->facts, fact,
              (FactPart){.name = px > 0 ? "ten_drawn_px" : "drawn_mm",
                         .kind = FACT_FINE,
                         .number = px > 0 ? scale * 10 / px : scale,
                         .before = px > 0 ? "; 10 px on the drawing are " : "; 1 mm on the drawing is "});
}

static void write_drawn_stated(Writer *writer, FactBlock *block, const PlanShot *shot,
                               const PlanThing *thing) {
    const Plan *plan = writer->plan;
    static const struct {
        Field field;
        const char *key, *label;
    } rows[] = {{FIELD_DRAWN_TALL, "stated_tall", "height stated on the drawing"},
                {FIELD_DRAWN_WIDE, "stated_wide", "width stated on the drawing"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const int slot = thing->thing->slot[rows[i].field];
        const double value = slot_number(plan, slot);
        if (!plan->scene->slots[slot].stated || isnan(value)) continue;
        const double mm = shot->drawn_px_per_mm > 0 ? value / shot->drawn_px_per_mm : value;
        fact_part(writer->facts, fact_new(writer->facts, block, rows[i].key, rows[i].label),
                  drawn_part(shot, NULL, mm));
    }
}

/* A turned thing shows as wide as its corners lie apart; the rule for drawn widths (31) knows no turn. A
 * figure's outline is anyone's guess and stays as it is. */
static double shown_wide_mm(const PlanShot *shot, const PlanThing *thing, const PlanView *view) {
    NamedPoint points[SHAPE_POINTS_MOST];
    const size_t count = shape_points(thing, points);
    double left = INFINITY, right = -INFINITY, x, y;
    if (thing->turn_rad == 0 || count < 4) return view->wide_mm;
    for (size_t i = 0; i < count; i++) {
        if (!camera_project(&shot->cameras[0].camera, &shot->picture, points[i].at, &x, &y, NULL))
            return view->wide_mm;
        left = fmin(left, x);
        right = fmax(right, x);
    }
    return right - left;
}

static void write_on_drawing(Writer *writer, FactBlock *block, const PlanShot *shot, const PlanThing *thing,
                             const PlanView *view) {
    Fact *foot = fact_new(writer->facts, block, "drawn_foot", "foot on the drawing");
    FactPart x = drawn_part(shot, "x", view->foot_x_mm), y = drawn_part(shot, "y", view->foot_y_mm);
    x.way = &WAY_FROM_LEFT;
    x.after = ", ";
    y.way = &WAY_FROM_LOWER;
    fact_part(writer->facts, foot, x);
    fact_part(writer->facts, foot, y);
    Fact *size = fact_new(writer->facts, block, "drawn_size", "size on the drawing");
    FactPart tall = drawn_part(shot, "tall", view->tall_mm),
             wide = drawn_part(shot, "wide", shown_wide_mm(shot, thing, view));
    tall.after = " tall, ";
    wide.after = " wide";
    fact_part(writer->facts, size, tall);
    fact_part(writer->facts, size, wide);
}

static void write_view(Writer *writer, FactBlock *block, const PlanShot *shot, const PlanThing *thing) {
    const PlanView view = plan_view(thing, &shot->cameras[0].camera, &shot->picture);
    if (!view.seen) {
        write_text(writer, block, "seen", NULL, "no, not in front of the lens");
        return;
    }
    write_worth(writer, block, shot, view.scale);
    write_on_drawing(writer, block, shot, thing, &view);
    write_drawn_stated(writer, block, shot, thing);
    write_number(writer, block, "depth", "depth, from the lens along its axis", FACT_PLACE, view.depth_mm);
    write_number(writer, block, "from_lens", "straight tape from the lens", FACT_PLACE, view.from_lens_mm);
}

static void write_views(Writer *writer, FactBlock *block, const PlanThing *thing) {
    const Plan *plan = writer->plan;
    const char *kind = role_words[thing->thing->role], *name = name_of(writer, thing);
    for (size_t i = 0; i < plan->shot_count; i++) {
        const PlanShot *shot = &plan->shots[i];
        if (!in_shot(thing, i)) continue;
        const bool own = has_shots(plan) && thing->thing->shot < 0;
        write_view(writer,
                   own ? facts_block(writer->facts, kind, name_in_shot(writer, name, shot), shot->name)
                       : block,
                   shot, thing);
    }
}

static void write_standing_thing(Writer *writer, const PlanThing *thing) {
    const Plan *plan = writer->plan;
    const int in = thing->thing->shot;
    const char *shot = in >= 0 ? plan->shots[in].name : "";
    const char *name = name_of(writer, thing);
    if (in >= 0) name = name_in_shot(writer, name, &plan->shots[in]);
    FactBlock *block = facts_block(writer->facts, role_words[thing->thing->role], name, shot);
    write_make(writer, block, thing);
    write_standing(writer, block, thing);
    write_views(writer, block, thing);
}

static void write_opening(Writer *writer, const PlanThing *opening) {
    const Plan *plan = writer->plan;
    FactBlock *block = facts_block(writer->facts, "opening", name_of(writer, opening), "");
    write_sizes(writer, block, opening);
    const PlanThing *flat = &plan->things[opening->thing->parent];
    const double across = slot_number(plan, opening->thing->slot[FIELD_ACROSS]);
    const double sill = slot_number(plan, opening->thing->slot[FIELD_UP]);
    if (isnan(across) || isnan(sill)) return;
    write_way(writer, block, "across", "its middle", FACT_SIZE, across, &WAY_OF_FLAT);
    write_number(writer, block, "from_left", "from the flat's left edge to its left edge", FACT_SIZE,
                 flat->wide_mm / 2 + across - opening->wide_mm / 2);
    write_way(writer, block, "sill", NULL, FACT_SIZE, sill, &WAY_SILL);
}

static void write_openings(Writer *writer, const PlanThing *flat) {
    const Plan *plan = writer->plan;
    const ptrdiff_t index = flat - plan->things;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const Thing *thing = &plan->scene->things[i];
        if (thing->role == ROLE_OPENING && thing->parent == index) write_opening(writer, &plan->things[i]);
    }
}

static void write_level(Writer *writer, const PlanThing *thing, const Trapezoid *outline, double thick_mm) {
    FactBlock *block = facts_block(writer->facts, role_words[thing->thing->role], "", "");
    write_stock(writer, block, thing->thing);
    write_size(writer, block, "thick", NULL, thick_mm);
    write_number(writer, block, "deep", "front to rear", FACT_PLACE, outline->rear_mm - outline->front_mm);
    const double left = fmin(outline->front_left_mm, outline->rear_left_mm);
    const double right = fmax(outline->front_right_mm, outline->rear_right_mm);
    write_number(writer, block, "wide", "widest", FACT_PLACE, right - left);
    write_way(writer, block, "front", "front edge", FACT_PLACE, outline->front_mm, &WAY_BEHIND);
    write_way(writer, block, "rear", "rear edge", FACT_PLACE, outline->rear_mm, &WAY_BEHIND);
}

static void write_mound(Writer *writer, const PlanThing *thing) {
    FactBlock *block = facts_block(writer->facts, role_words[thing->thing->role], name_of(writer, thing), "");
    write_sizes(writer, block, thing);
}

void facts_of_things(Writer *writer) {
    const Plan *plan = writer->plan;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *thing = &plan->things[i];
        const ThingRole role = thing->thing->role;
        if (stands_on_set(thing)) write_standing_thing(writer, thing);
        if (role == ROLE_FLAT || role == ROLE_BACKDROP) write_openings(writer, thing);
    }
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *thing = &plan->things[i];
        const ThingRole role = thing->thing->role;
        if (role == ROLE_GROUND) write_level(writer, thing, &plan->ground_outline, plan->ground_thick_mm);
        if (role == ROLE_BASE) write_level(writer, thing, &plan->base_outline, plan->base_thick_mm);
        if (role == ROLE_MOUND || role == ROLE_HOLLOW) write_mound(writer, thing);
    }
}
