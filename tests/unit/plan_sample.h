/* What plans made by hand for tests share: slots, and things with them. */
#ifndef GROUNDROW_TESTS_PLAN_SAMPLE_H
#define GROUNDROW_TESTS_PLAN_SAMPLE_H

#include "plan/plan.h"

#include <assert.h>
#include <math.h>

enum { SAMPLE_SLOTS = 1024 };

typedef struct SampleSlots {
    Slot slots[SAMPLE_SLOTS];
    double values[SAMPLE_SLOTS];
    bool known[SAMPLE_SLOTS];
    int count;
} SampleSlots;

/* NAN: not known. */
static inline int sample_slot(SampleSlots *to, double value, bool stated) {
    assert(to->count < SAMPLE_SLOTS);
    const int slot = to->count++;
    to->slots[slot] = (Slot){.path = "", .stated = stated, .thing = -1, .shot = -1};
    to->values[slot] = value;
    to->known[slot] = !isnan(value);
    return slot;
}

static inline void sample_know(SampleSlots *to, int slot, double value) {
    to->values[slot] = value;
    to->known[slot] = true;
}

/* Nothing of it is known. */
static inline Thing sample_thing_new(SampleSlots *to, ThingRole role, ThingShape shape, const char *name) {
    Thing thing = {.role = role,
                   .shape = shape,
                   .name = name,
                   .shot = -1,
                   .cast = -1,
                   .stock = -1,
                   .atop = -1,
                   .parent = -1,
                   .like = -1,
                   .image = -1};
    for (int field = 0; field < FIELD_COUNT; field++)
        thing.slot[field] = sample_slot(to, NAN, false);
    return thing;
}

/* Its edges from its place and sizes, as if it were not turned. */
static inline PlanThing sample_placed(const Thing *thing, PlanThing plan) {
    plan.thing = thing;
    if (plan.row_count == 0) plan.row_count = 1;
    plan.left_mm = plan.at.across_mm - plan.wide_mm / 2;
    plan.right_mm = plan.at.across_mm + plan.wide_mm / 2 + (plan.row_count - 1) * plan.row_every_mm;
    plan.front_mm = plan.at.back_mm - plan.deep_mm / 2;
    plan.rear_mm = plan.at.back_mm + plan.deep_mm / 2;
    plan.foot_mm = plan.at.up_mm;
    plan.top_mm = plan.foot_mm + plan.tall_mm;
    return plan;
}

static inline void sample_into(SampleSlots *from, Scene *scene, Plan *plan) {
    scene->slots = from->slots;
    scene->slot_count = (size_t)from->count;
    plan->values = from->values;
    plan->known = from->known;
}

#endif
