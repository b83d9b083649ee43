#include "report/facts_of_plan.h"

#include "base/text.h"

#include <math.h>

const FactWay WAY_CENTRE = {" right of the centre line", " left of the centre line", "on the centre line"};
const FactWay WAY_TILT = {" down", " up", "level"};
const FactWay WAY_BEHIND_EDGE = {" behind", " in front", "on the front edge"};
const FactWay WAY_BEFORE_EDGE = {" in front", " behind", "plumb over it"};
const FactWay WAY_SIDE = {" right", " left", "on the centre line"};
const FactWay WAY_UP = {" above the flat ground", " below the flat ground", "on the flat ground"};

Writer writer_new(Facts *facts, const Plan *plan) {
    return (Writer){.facts = facts, .arena = facts->arena, .plan = plan, .datum = plan_datum(plan)};
}

Fact *write_number(Writer *writer, FactBlock *block, const char *key, const char *label, FactKind kind,
                   double number) {
    return write_way(writer, block, key, label, kind, number, NULL);
}

Fact *write_way(Writer *writer, FactBlock *block, const char *key, const char *label, FactKind kind,
                double number, const FactWay *way) {
    Fact *fact = fact_new(writer->facts, block, key, label);
    return fact_part(writer->facts, fact, (FactPart){.kind = kind, .number = number, .way = way});
}

void write_held_at(Writer *writer, Fact *fact, const char *before, double up_mm) {
    if (up_mm == 0) return;
    fact_part(
        writer->facts, fact,
        (FactPart){.name = "up", .kind = FACT_PLACE, .number = up_mm, .before = before, .way = &WAY_UP});
}

Fact *write_text(Writer *writer, FactBlock *block, const char *key, const char *label, const char *text) {
    return fact_part(writer->facts, fact_new(writer->facts, block, key, label),
                     (FactPart){.kind = FACT_TEXT, .text = text});
}

Fact *write_place(Writer *writer, FactBlock *block, const char *key, const char *label, Point3 place) {
    const PlanDatum *datum = &writer->datum;
    Fact *fact = fact_new(writer->facts, block, key, label);
    fact_part(writer->facts, fact,
              (FactPart){.name = "behind",
                         .kind = FACT_PLACE,
                         .number = place.back_mm - datum->front_mm,
                         .way = &WAY_BEHIND_EDGE});
    return fact_part(writer->facts, fact,
                     (FactPart){.name = "right",
                                .kind = FACT_PLACE,
                                .number = place.across_mm - datum->centre_mm,
                                .before = ", ",
                                .way = &WAY_SIDE});
}

const char *front_edge_label(const Writer *writer) {
    return arena_format(writer->arena, "lens, from the %s's front edge", writer->datum.owner);
}

bool has_shots(const Plan *plan) {
    return plan->shot_count > 1;
}

const char *name_in_shot(const Writer *writer, const char *name, const PlanShot *shot) {
    if (!has_shots(writer->plan)) return name;
    if (!name[0]) return shot->name;
    return arena_format(writer->arena, "%s in %s", name, shot->name);
}

bool in_shot(const PlanThing *thing, size_t shot) {
    return thing->thing->shot < 0 || (size_t)thing->thing->shot == shot;
}

bool stands_on_set(const PlanThing *thing) {
    switch (thing->thing->role) {
    case ROLE_PUPPET:
    case ROLE_PIECE:
    case ROLE_FLAT:
    case ROLE_BACKDROP:
        return true;
    default:
        return false;
    }
}

const char *lead_name(const Plan *plan, const PlanShot *shot) {
    return plan->things[shot->lead].thing->name;
}

double slot_number(const Plan *plan, int slot) {
    return slot >= 0 && plan->known[slot] ? plan->values[slot] : NAN;
}

Fact *write_shift(Writer *writer, FactBlock *block, const char *key, const char *label, const PlanShot *shot,
                  const PlanView *was, const PlanView *is) {
    static const FactWay sideways = {" right", " left", "not sideways"};
    static const FactWay upwards = {" up", " down", "not up or down"};
    static const FactWay taller = {" taller", " shorter", "as tall"};
    FactPart across = drawn_part(shot, "across", is->foot_x_mm - was->foot_x_mm);
    FactPart up = drawn_part(shot, "up", is->foot_y_mm - was->foot_y_mm);
    FactPart tall = drawn_part(shot, "taller", is->tall_mm - was->tall_mm);
    across.way = &sideways;
    up.way = &upwards;
    tall.way = &taller;
    across.after = up.after = ", ";
    Fact *fact = fact_new(writer->facts, block, key, label);
    fact_part(writer->facts, fact, across);
    fact_part(writer->facts, fact, up);
    return fact_part(writer->facts, fact, tall);
}

FactPart drawn_part(const PlanShot *shot, const char *name, double mm) {
    return (FactPart){.name = name, .kind = FACT_DRAWN, .number = mm, .px_per_mm = shot->drawn_px_per_mm};
}
