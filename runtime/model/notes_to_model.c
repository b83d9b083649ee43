#include "model/notes_to_model.h"

#include "model/notes.h"
#include "optics/space.h"

#include <math.h>

static Extent build_extent(const Plan *plan) {
    Extent e = {INFINITY, -INFINITY, INFINITY, -INFINITY, INFINITY, -INFINITY};
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *t = &plan->things[i];
        if (t->thing->role == ROLE_PUPPET || t->thing->role == ROLE_OPENING) continue;
        e.left_mm = fmin(e.left_mm, t->left_mm);
        e.right_mm = fmax(e.right_mm, t->right_mm);
        e.front_mm = fmin(e.front_mm, t->front_mm);
        e.rear_mm = fmax(e.rear_mm, t->rear_mm);
        e.foot_mm = fmin(e.foot_mm, t->foot_mm);
        e.top_mm = fmax(e.top_mm, t->top_mm);
    }
    return e;
}

void notes_to_model(Arena *arena, Model *model, const Plan *plan, const Facts *facts) {
    Notes notes = {.arena = arena, .model = model, .plan = plan, .facts = facts, .build = build_extent(plan)};
    Point3 low, high;
    if (!model_bounds(model, &low, &high)) return;
    const double span_mm = point_length(point_less(high, low));
    notes.line_mm = span_mm / 1000;
    notes.gap_mm = span_mm / 55;
    notes.letter_mm = span_mm / 60;
    notes.group = model_node(model, -1, MODEL_NOTE, "notes");
    notes_of_cameras(&notes);
    notes_of_growth(&notes);
    notes_of_photos(&notes);
    notes_of_lamps(&notes);
    notes_of_sizes(&notes);
    notes_of_drawings(&notes);
}
