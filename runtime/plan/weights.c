#include "plan/weights.h"

#include <math.h>

double plan_stated_weight_kg(const Plan *plan, int thing) {
    const PlanThing *it = &plan->things[thing];
    const int slot = it->thing->weighs;
    if (slot < 0 || !plan->scene->slots[slot].stated || !plan->known[slot]) return NAN;
    return plan->values[slot] * (it->row_count > 1 ? it->row_count : 1);
}

double plan_cut_weight_kg(const Plan *plan, int thing) {
    for (size_t i = 0; plan->parts && i < plan->parts->things.count; i++) {
        if (plan->parts->things.items[i].thing == thing) return plan->parts->things.items[i].weight_kg;
    }
    return NAN;
}

double plan_weight_kg(const Plan *plan, int thing) {
    const double stated = plan_stated_weight_kg(plan, thing);
    return isnan(stated) ? plan_cut_weight_kg(plan, thing) : stated;
}

const Part *plan_heaviest_part(const Plan *plan, int thing) {
    const Part *heaviest = NULL;
    for (size_t i = 0; plan->parts && i < plan->parts->items.count; i++) {
        const Part *part = &plan->parts->items.items[i];
        if (part->thing == thing && part->weight_kg > (heaviest ? heaviest->weight_kg : 0)) heaviest = part;
    }
    return heaviest;
}

double plan_carried_kg(const Plan *plan, int thing) {
    const PlanThing *it = &plan->things[thing];
    const bool whole = it->thing->role == ROLE_PUPPET || it->thing->role == ROLE_PIECE;
    const double kg = whole ? plan_weight_kg(plan, thing) : plan_stated_weight_kg(plan, thing);
    return kg / (it->row_count > 1 ? it->row_count : 1);
}

int plan_heaviest_shot(const Plan *plan) {
    int heaviest = 0;
    double most = 0;
    for (size_t s = 0; s < plan->shot_count; s++) {
        double sum = 0;
        for (size_t i = 0; i < plan->scene->thing_count; i++) {
            const double kg =
                plan->scene->things[i].shot == (int)s ? plan_stated_weight_kg(plan, (int)i) : NAN;
            if (!isnan(kg)) sum += kg;
        }
        if (sum <= most + 1e-9) continue;
        most = sum;
        heaviest = (int)s;
    }
    return heaviest;
}

bool plan_has_weight(const Plan *plan, int thing) {
    const ThingRole role = plan->scene->things[thing].role;
    return role != ROLE_MOUND && role != ROLE_HOLLOW && role != ROLE_OPENING;
}
