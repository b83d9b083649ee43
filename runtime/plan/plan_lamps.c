/* Lamps and circuits worked out, and what is to be said of them (docs/geometry.md, rules 90 to 93). */
#include "base/text.h"
#include "plan/lamps.h"
#include "plan/resolve.h"
#include "plan/shape.h"

#include <math.h>

static const Span NOWHERE = {0};

static double stated_or_nothing(Resolver *r, int slot) {
    double value = 0;
    if (slot_stated(r, slot)) resolve_slot(r, slot, NOWHERE, &value);
    return value;
}

static bool is_over(const Trapezoid *t, Point3 at) {
    if (at.back_mm < t->front_mm || at.back_mm > t->rear_mm) return false;
    const double deep = t->rear_mm - t->front_mm, share = deep > 0 ? (at.back_mm - t->front_mm) / deep : 0;
    return at.across_mm >= t->front_left_mm + share * (t->rear_left_mm - t->front_left_mm) &&
           at.across_mm <= t->front_right_mm + share * (t->rear_right_mm - t->front_right_mm);
}

static void make_lamp(Resolver *r, const Lamp *lamp, PlanLamp *planned) {
    const Plan *plan = r->plan;
    planned->lamp = lamp;
    planned->at = (Point3){stated_or_nothing(r, lamp->across), stated_or_nothing(r, lamp->back),
                           stated_or_nothing(r, lamp->up)};
    planned->watts = stated_or_nothing(r, lamp->watts);
    planned->colour_k = stated_or_nothing(r, lamp->colour);
    planned->clear_mm = stated_or_nothing(r, lamp->clear);
    planned->on_stand = !is_over(plan->base >= 0 ? &plan->base_outline : &plan->ground_outline, planned->at);
    if (lamp->circuit < 0) return;
    PlanCircuit *circuit = &r->plan->circuits[lamp->circuit];
    planned->amps = lamp_amps(planned->watts, circuit->volts);
    circuit->load_amps += planned->amps;
    circuit->lamp_count++;
}

/* Rule 90. Where no table's height is stated the floor is not known. */
static void check_over_floor(Resolver *r, const PlanLamp *lamp) {
    const Plan *plan = r->plan;
    const double floor_mm = -(plan->ground_thick_mm + plan->base_thick_mm + plan->table_tall_mm);
    if (!(plan->table_tall_mm > 0) || lamp->at.up_mm > floor_mm) return;
    Diagnostic *d =
        diagnostics_error(r->diagnostics, slot_span(r, lamp->lamp->up),
                          "lamp `%s` is %s under the flat ground, and the floor is %s under it",
                          lamp->lamp->name, said_length(r, -lamp->at.up_mm), said_length(r, -floor_mm));
    diagnostic_help(r->diagnostics, d,
                    "`up` counts from the flat ground; `up: floor.top + %s` counts from the floor",
                    r->scene->lengths == STYLE_FEET_INCHES ? "6 ft" : "1800 mm");
}

void make_lamps(Resolver *r) {
    const Scene *scene = r->scene;
    r->plan->circuits = ARENA_ARRAY(r->arena, PlanCircuit, scene->circuit_count);
    r->plan->lamps = ARENA_ARRAY(r->arena, PlanLamp, scene->lamp_count);
    for (size_t i = 0; i < scene->circuit_count; i++) {
        const Circuit *circuit = &scene->circuits[i];
        r->plan->circuits[i] = (PlanCircuit){.circuit = circuit,
                                             .amps = stated_or_nothing(r, circuit->amps),
                                             .volts = stated_or_nothing(r, circuit->volts)};
    }
    for (size_t i = 0; i < scene->lamp_count; i++) {
        make_lamp(r, &scene->lamps[i], &r->plan->lamps[i]);
        check_over_floor(r, &r->plan->lamps[i]);
    }
}

/* --- checks */

/* Where the last lamp is put on the circuit: that is the one too many. */
static Span last_on(const Resolver *r, const PlanCircuit *circuit) {
    Span span = circuit->circuit->span;
    for (size_t i = 0; i < r->scene->lamp_count; i++) {
        const Lamp *lamp = &r->scene->lamps[i];
        if (lamp->circuit >= 0 && &r->plan->circuits[lamp->circuit] == circuit) span = lamp->circuit_span;
    }
    return span;
}

static const char *lamps_text(const Resolver *r, const PlanCircuit *circuit) {
    Buffer out = buffer_new(r->arena);
    int told = 0;
    for (size_t i = 0; i < r->scene->lamp_count; i++) {
        const Lamp *lamp = &r->scene->lamps[i];
        if (lamp->circuit < 0 || &r->plan->circuits[lamp->circuit] != circuit) continue;
        buffer_format(&out, "%s%s",
                      told == 0                         ? ""
                      : told + 1 == circuit->lamp_count ? " and "
                                                        : ", ",
                      lamp->name);
        told++;
    }
    return buffer_text(&out);
}

static const char circuit_help[] =
    "put a lamp on another circuit, or use lamps that draw less; ask a licensed electrician what the circuit "
    "may carry";

static void check_circuit(Resolver *r, const PlanCircuit *circuit) {
    const double most = CIRCUIT_SHARE * circuit->amps;
    const double slack = 1e-9 * circuit->amps; /* 80 % to the watt is not more */
    if (!(circuit->load_amps > most + slack)) return;
    const char *name = circuit->circuit->name, *rating = number_short(r->arena, circuit->amps, 1);
    const char *draws = arena_format(r->arena, "%s draw%s %s A of circuit `%s`", lamps_text(r, circuit),
                                     circuit->lamp_count == 1 ? "s" : "",
                                     number_fixed(r->arena, circuit->load_amps, 1), name);
    if (circuit->load_amps > circuit->amps + slack)
        plan_warn(r, "circuit-over", name, last_on(r, circuit), circuit_help,
                  arena_format(r->arena, "%s, which is rated for %s A", draws, rating));
    else
        plan_warn(r, "circuit-full", name, last_on(r, circuit), circuit_help,
                  arena_format(r->arena, "%s: for hours the usual most is 80 %% of its %s A, %s A", draws,
                               rating, number_short(r->arena, most, 1)));
}

static void check_colours(Resolver *r) {
    const PlanLamp *first = NULL;
    for (size_t i = 0; i < r->scene->lamp_count; i++) {
        const PlanLamp *lamp = &r->plan->lamps[i];
        if (!(lamp->colour_k > 0)) continue;
        if (!first) first = lamp;
        if (lamp->colour_k == first->colour_k) continue;
        plan_warn(r, "mixed-colour", lamp->lamp->name, slot_span(r, lamp->lamp->colour),
                  "the camera can be set for one of them only: put a filter on the other, or accept it where "
                  "it is meant",
                  arena_format(r->arena, "lamp `%s` is %s K, but `%s` is %s K", lamp->lamp->name,
                               number_short(r->arena, lamp->colour_k, 0), first->lamp->name,
                               number_short(r->arena, first->colour_k, 0)));
    }
}

static void check_near(Resolver *r, const PlanLamp *lamp) {
    const NearFoam near = lamp_near_foam(r->plan, lamp->at);
    if (!(lamp->clear_mm > 0) || near.thing < 0 || near.mm >= lamp->clear_mm - 1e-6) return;
    plan_warn(r, "lamp-near", lamp->lamp->name, slot_span(r, lamp->lamp->clear),
              "move it away or up, or use a cool lamp: foam softens near heat, and burns",
              arena_format(r->arena, "lamp `%s` is %s from %s, which is foam; it must be %s clear",
                           lamp->lamp->name, said_length(r, near.mm), thing_phrase(r, near.thing),
                           said_length(r, lamp->clear_mm)));
}

void check_lamps(Resolver *r) {
    for (size_t i = 0; i < r->scene->circuit_count; i++)
        check_circuit(r, &r->plan->circuits[i]);
    check_colours(r);
    for (size_t i = 0; i < r->scene->lamp_count; i++)
        check_near(r, &r->plan->lamps[i]);
}
