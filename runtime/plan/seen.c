#include "plan/seen.h"

#include "base/number.h"
#include "plan/plan.h"

const SeenCamera *seen_by(const Plan *plan, int shot, int camera) {
    for (size_t i = 0; plan->seen && i < plan->seen->count; i++) {
        if (plan->seen->cameras[i].shot == shot && plan->seen->cameras[i].camera == camera)
            return &plan->seen->cameras[i];
    }
    return NULL;
}

const char *growth_edge(const Plan *plan, const SeenGrowth *growth) {
    static const char *const panels[SIDE_COUNT] = {"left", "right", "top", "foot"};
    static const char *const ground[SIDE_COUNT] = {"sides", "sides", "rear", "front"};
    return growth->thing == plan->ground ? ground[growth->side] : panels[growth->side];
}

const char *growth_in_spec(Arena *arena, const Plan *plan, const SeenGrowth *growth) {
    const char *value = length_written(arena, plan->scene->lengths, growth->value_mm);
    static const char *const words[FIELD_COUNT] = {
        [FIELD_WIDE] = "wide",     [FIELD_TALL] = "tall",   [FIELD_UP] = "up",
        [FIELD_MARGIN] = "margin", [FIELD_FRONT] = "front", [FIELD_REAR] = "rear"};
    if (growth->thing < 0) return arena_format(arena, "backdrop: {at: {back: %s}}", value);
    return arena_format(arena, "%s: %s", words[growth->field], value);
}

const char *growth_shift_in_spec(Arena *arena, const Plan *plan, const SeenGrowth *growth) {
    const LengthStyle style = plan->scene->lengths;
    const SeenShift *shift = &growth->shift;
    if (!(shift->wide_mm > 0)) return NULL;
    const char *wide = length_written(arena, style, shift->wide_mm),
               *across = length_written(arena, style, shift->across_mm);
    if (!shift->back_too) return arena_format(arena, "wide: %s, at: {across: %s}", wide, across);
    return arena_format(arena, "wide: %s, at: {across: %s, back: %s}", wide, across,
                        length_written(arena, style, shift->back_mm));
}

const char *growth_kept_edge(const SeenGrowth *growth) {
    return growth->side == SIDE_LEFT ? "right" : "left";
}
