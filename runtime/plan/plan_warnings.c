#include "plan/plan_warnings.h"

#include "base/text.h"

static bool is_accepted(const Scene *scene, const char *thing, const char *word) {
    for (size_t i = 0; i < scene->accept_count; i++) {
        if (text_equal(scene->accepts[i].thing, thing) && text_equal(scene->accepts[i].word, word))
            return true;
    }
    return false;
}

void plan_add_warning(Plan *plan, Diagnostics *diagnostics, const char *word, const char *thing, Span span,
                      const char *help, const char *message) {
    Arena *arena = plan->scene->arena;
    const size_t count = plan->warning_count;
    if (!plan->warnings || (count & (count - 1)) == 0) { /* grows at powers of two */
        PlanWarning *larger = ARENA_ARRAY(arena, PlanWarning, count ? 2 * count : 1);
        for (size_t i = 0; i < count; i++)
            larger[i] = plan->warnings[i];
        plan->warnings = larger;
    }
    const bool accepted = is_accepted(plan->scene, thing, word);
    plan->warnings[plan->warning_count++] = (PlanWarning){word, thing, message, help, accepted, span};
    if (accepted) return;
    Diagnostic *d = diagnostics_warning(diagnostics, word, span, "%s", message);
    if (help) diagnostic_help(diagnostics, d, "%s", help);
}

Span plan_span_of_set(const Plan *plan) {
    const Scene *scene = plan->scene;
    const int things[] = {plan->base, plan->ground};
    for (size_t i = 0; i < 2; i++) {
        const Span span = things[i] >= 0 ? scene->things[things[i]].span : (Span){0};
        if (!span_is_none(span) && span.file == scene->span.file) return span;
    }
    return scene->span;
}

const char *plan_stock_example(const Plan *plan, bool bars) {
    if (plan->scene->lengths == STYLE_FEET_INCHES) return bars ? "long: 8 ft" : "sheet: 48 x 96 in";
    return bars ? "long: 2400 mm" : "sheet: 1220 x 2440 mm";
}
