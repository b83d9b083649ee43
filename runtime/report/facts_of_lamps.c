/* What lights the set, what that draws, and what to mind (docs/geometry.md, rules 90 to 93). */
#include "base/text.h"
#include "plan/lamps.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_LIGHT = {" stops more", " stops less", "as much"};
static const FactWay WAY_FLOOR = {" above the floor", " below the floor", "on the floor"};

static Fact *write_unit(Writer *writer, FactBlock *block, const char *key, const char *label, FactKind kind,
                        double number, const char *unit) {
    return fact_part(writer->facts, fact_new(writer->facts, block, key, label),
                     (FactPart){.kind = kind, .number = number, .after = unit});
}

static Fact *write_stops(Writer *writer, FactBlock *block, const char *key, const char *label, double stops) {
    return write_way(writer, block, key, label, FACT_ROUGH, stops, &WAY_LIGHT);
}

/* --- one lamp */

static void write_stand(Writer *writer, FactBlock *block, const PlanLamp *lamp) {
    const Plan *plan = writer->plan;
    write_place(writer, block, "place", lamp->on_stand ? "its stand" : "hangs over the set", lamp->at);
    write_way(writer, block, "up", "its middle", FACT_PLACE, lamp->at.up_mm, &WAY_UP);
    if (!(plan->table_tall_mm > 0)) return;
    PlanLamp stood = *lamp;
    stood.on_stand = true;
    write_way(writer, block, "above_floor", "its middle, from the floor", FACT_PLACE,
              lamp->at.up_mm - lamp_foot(plan, &stood).up_mm, &WAY_FLOOR);
}

static void write_draws(Writer *writer, FactBlock *block, const PlanLamp *lamp) {
    Fact *fact = write_unit(writer, block, "watts", "draws", FACT_NUMBER, lamp->watts, " W");
    if (lamp->lamp->circuit < 0) return;
    fact_part(writer->facts, fact,
              (FactPart){.name = "amps",
                         .kind = FACT_ROUGH,
                         .number = lamp->amps,
                         .before = ", ",
                         .after = arena_format(writer->arena, " A of circuit %s",
                                               writer->plan->scene->circuits[lamp->lamp->circuit].name)});
}

static void write_light(Writer *writer, FactBlock *block, const PlanLamp *lamp) {
    const Plan *plan = writer->plan;
    const double mark_mm = lamp_distance_mm(lamp, light_at_mark(plan));
    const char *lead = lead_name(plan, &plan->shots[0]);
    Point3 backdrop;
    write_number(writer, block, "to_mark", arena_format(writer->arena, "straight to the %s", lead),
                 FACT_PLACE, mark_mm);
    if (light_at_backdrop(plan, &backdrop)) {
        const double mm = lamp_distance_mm(lamp, backdrop);
        write_number(writer, block, "to_backdrop", "straight to the backdrop's middle", FACT_PLACE, mm);
        write_stops(writer, block, "at_backdrop",
                    arena_format(writer->arena, "its light on the backdrop, beside that on the %s", lead),
                    -light_stops(mark_mm, mm));
    }
    const PlanLamp *first = &plan->lamps[0];
    if (lamp == first) return;
    write_stops(
        writer, block, "beside_first",
        arena_format(writer->arena, "its light on the %s, beside that of %s, were both of one kind", lead,
                     first->lamp->name),
        lamp_over_stops(lamp->watts, mark_mm, first->watts, lamp_distance_mm(first, light_at_mark(plan))));
}

static void write_foam(Writer *writer, FactBlock *block, const PlanLamp *lamp) {
    const NearFoam near = lamp_near_foam(writer->plan, lamp->at);
    if (near.thing < 0) return;
    Fact *fact = fact_new(writer->facts, block, "foam", "nearest foam");
    fact_part(writer->facts, fact,
              (FactPart){.name = "thing",
                         .kind = FACT_TEXT,
                         .text = writer->plan->things[near.thing].thing->name,
                         .after = ", "});
    fact_part(writer->facts, fact, (FactPart){.name = "away", .kind = FACT_PLACE, .number = near.mm});
    if (lamp->clear_mm > 0)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "clear",
                             .kind = FACT_PLACE,
                             .number = lamp->clear_mm,
                             .before = "; it must be ",
                             .after = " clear"});
}

static void write_lamp(Writer *writer, const PlanLamp *lamp) {
    FactBlock *block = facts_block(writer->facts, "lamp", lamp->lamp->name, "");
    write_stand(writer, block, lamp);
    write_draws(writer, block, lamp);
    if (lamp->colour_k > 0) write_unit(writer, block, "colour", NULL, FACT_NUMBER, lamp->colour_k, " K");
    write_light(writer, block, lamp);
    write_foam(writer, block, lamp);
}

/* --- circuits */

static void write_circuit(Writer *writer, const PlanCircuit *circuit) {
    FactBlock *block = facts_block(writer->facts, "circuit", circuit->circuit->name, "");
    Fact *rating = write_unit(writer, block, "rating", "rated for", FACT_NUMBER, circuit->amps, " A");
    fact_part(
        writer->facts, rating,
        (FactPart){
            .name = "volts", .kind = FACT_NUMBER, .number = circuit->volts, .before = " at ", .after = " V"});
    write_unit(writer, block, "for_hours", "for hours, the usual most", FACT_NUMBER,
               CIRCUIT_SHARE * circuit->amps, " A");
    Fact *load =
        write_unit(writer, block, "load", "this scene's lamps draw", FACT_ROUGH, circuit->load_amps, " A, ");
    fact_part(writer->facts, load,
              (FactPart){.name = "share",
                         .kind = FACT_SHARE,
                         .number = circuit->load_amps / circuit->amps,
                         .after = " of its rating"});
    write_unit(writer, block, "left", "left for hours", FACT_NUMBER,
               fmax(CIRCUIT_SHARE * circuit->amps - circuit->load_amps, 0) * circuit->volts, " W");
}

/* --- with care */

static void write_cautions(Writer *writer, FactBlock *block) {
    static const struct {
        const char *key, *text;
    } cautions[] = {
        {"heat", "lamps burn skin, and foam, paper and cloth near them; never leave them lit alone"},
        {"cables", "along the walls and taped down, drums unrolled, none warm to the hand"},
        {"stands", "the tallest leg under the lamp, a sandbag on it; what hangs has a second fastening"},
        {"circuits", "other loads count too, and are not known here; a licensed electrician and local codes "
                     "have the last word (docs/safety.md)"},
    };
    for (size_t i = 0; i < sizeof cautions / sizeof *cautions; i++)
        write_text(writer, block, cautions[i].key, NULL, cautions[i].text);
}

void facts_of_lamps(Writer *writer) {
    const Plan *plan = writer->plan;
    const Scene *scene = plan->scene;
    if (scene->lamp_count == 0) return;
    double watts = 0;
    for (size_t i = 0; i < scene->lamp_count; i++)
        watts += plan->lamps[i].watts;
    FactBlock *block = facts_block(writer->facts, "lamps", "", "");
    write_unit(writer, block, "watts", "all together", FACT_NUMBER, watts, " W");
    write_cautions(writer, block);
    for (size_t i = 0; i < scene->lamp_count; i++)
        write_lamp(writer, &plan->lamps[i]);
    for (size_t i = 0; i < scene->circuit_count; i++) {
        if (plan->circuits[i].lamp_count > 0) write_circuit(writer, &plan->circuits[i]);
    }
}
