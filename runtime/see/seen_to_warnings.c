#include "see/seen_to_warnings.h"

#include "base/text.h"
#include "plan/plan_warnings.h"

typedef struct Warner {
    Plan *plan;
    Arena *arena;
    Diagnostics *diagnostics;
} Warner;

static const char *percent(const Warner *w, double share) {
    return arena_format(w->arena, "%s %%", number_short(w->arena, 100 * share, 1));
}

/* `in near`, where a scene has several shots. */
static const char *in_shot_words(const Warner *w, int shot) {
    if (w->plan->shot_count < 2) return "";
    return arena_format(w->arena, " in shot `%s`", w->plan->shots[shot].name);
}

/* --- where the frame shoots off */

static const char *sides_words(const Warner *w, const double at[SIDE_COUNT]) {
    static const char *const words[SIDE_COUNT] = {"left", "right", "top", "bottom"};
    Buffer out = buffer_new(w->arena);
    for (int side = 0; side < SIDE_COUNT; side++) {
        if (at[side] < SEEN_NOTHING) continue;
        buffer_format(&out, "%s%s %s", out.count ? ", " : "", words[side], percent(w, at[side]));
    }
    return buffer_text(&out);
}

/* `the frame`, `the frame with its spare`; of an allowed camera, of which. */
static const char *frame_words(const Warner *w, const SeenCamera *seen, bool spare) {
    if (seen->camera == 0) return spare ? "the frame with its spare" : "the frame";
    return arena_format(w->arena, "the frame of an allowed camera (%s)%s",
                        w->plan->shots[seen->shot].cameras[seen->camera].name,
                        spare ? ", with its spare," : "");
}

static size_t count_open(const Warner *w, int shot) {
    size_t open = 0;
    for (size_t i = 0; i < w->plan->seen->count; i++) {
        const SeenCamera *seen = &w->plan->seen->cameras[i];
        open += seen->shot == shot && seen->bare_spare >= SEEN_NOTHING;
    }
    return open;
}

/* The planned camera where it shoots off, else the one that does so most. */
static const SeenCamera *camera_to_tell(const Warner *w, int shot) {
    const SeenCamera *told = NULL;
    for (size_t i = 0; i < w->plan->seen->count; i++) {
        const SeenCamera *seen = &w->plan->seen->cameras[i];
        if (seen->shot != shot || seen->bare_spare < SEEN_NOTHING) continue;
        if (!told || (told->camera != 0 && seen->bare_spare > told->bare_spare)) told = seen;
    }
    return told;
}

static const char *thing_words(const Warner *w, int thing) {
    const Thing *it = &w->plan->scene->things[thing];
    if (it->role == ROLE_BACKDROP || it->role == ROLE_GROUND || it->role == ROLE_PUPPET)
        return arena_format(w->arena, "the %s", it->name);
    return arena_format(w->arena, "`%s`", it->name);
}

static bool says_the_same(const SeenGrowth *a, const SeenGrowth *b) {
    return a->thing == b->thing && a->field == b->field;
}

/* ``wide: 7 ft 7 in` for the backdrop (2 in more at the left, 3 in at the right), ...`: words of the spec
 * that close several edges stand once. */
static const char *closing_words(const Warner *w) {
    const SeenGrowths *closes = &w->plan->seen->closes;
    if (closes->count == 0) return NULL;
    Buffer out = buffer_new(w->arena);
    buffer_add(&out, "it is closed by ");
    for (size_t i = 0; i < closes->count; i++) {
        const SeenGrowth *growth = &closes->items[i];
        const bool again = i > 0 && says_the_same(growth, growth - 1);
        const bool more = i + 1 < closes->count && says_the_same(growth, growth + 1);
        if (i > 0) buffer_add(&out, ", ");
        if (!again) buffer_format(&out, "`%s`", growth_in_spec(w->arena, w->plan, growth));
        if (growth->thing < 0) continue;
        if (!again) buffer_format(&out, " for %s (", thing_words(w, growth->thing));
        buffer_format(&out, "%s %sat the %s%s",
                      length_one(w->arena, w->plan->scene->lengths, growth->by_mm, 16, 0),
                      again ? "" : "more ", growth_edge(w->plan, growth), more ? "" : ")");
        const char *shift = growth_shift_in_spec(w->arena, w->plan, growth);
        if (shift) buffer_format(&out, ", or with its %s edge kept by `%s`", growth_kept_edge(growth), shift);
    }
    return buffer_text(&out);
}

/* Where the maker changes something: the word that says it now, else the thing; for what is missing, the
 * camera. */
static Span place_to_tell(const Warner *w, int shot) {
    const SeenGrowths *closes = &w->plan->seen->closes;
    const Scene *scene = w->plan->scene;
    for (size_t i = 0; i < closes->count; i++) {
        if (closes->items[i].thing < 0) continue;
        const Thing *thing = &scene->things[closes->items[i].thing];
        const Slot *slot = &scene->slots[thing->slot[closes->items[i].field]];
        return slot->stated && !span_is_none(slot->formula.span) ? slot->formula.span : thing->span;
    }
    return scene->shots[shot].camera_span;
}

static void warn_of_open_frame(const Warner *w, int shot) {
    const SeenCamera *seen = camera_to_tell(w, shot);
    if (!seen) return;
    const bool spare = seen->bare < SEEN_NOTHING;
    const double *at = spare ? seen->bare_spare_at : seen->bare_at;
    const size_t others = count_open(w, shot) - 1;
    const char *also = others == 0   ? ""
                       : others == 1 ? "; through one more camera too"
                                     : arena_format(w->arena, "; through %zu more cameras too", others);
    Span span = place_to_tell(w, shot);
    if (span_is_none(span)) span = w->plan->scene->shots[shot].span;
    plan_add_warning(w->plan, w->diagnostics, "shoots-off", "camera", span, closing_words(w),
                     arena_format(w->arena, "%s of %s shoots off the set%s: %s%s",
                                  percent(w, spare ? seen->bare_spare : seen->bare),
                                  frame_words(w, seen, spare), in_shot_words(w, shot), sides_words(w, at),
                                  also));
}

/* --- what something stands before */

static void warn_of_hidden(const Warner *w, int shot, int thing, const SeenThing *seen) {
    static const double MOST = 0.5, MUCH_OF_FACE = 1.0 / 3, ALL = 0.995;
    const Thing *it = &w->plan->scene->things[thing];
    const bool face = seen->face_hidden > MUCH_OF_FACE;
    const double share = face ? seen->face_hidden : seen->hidden;
    const double by_share = face ? seen->face_hidden_by_share : seen->hidden_by_share;
    const int by = face ? seen->face_hidden_by : seen->hidden_by;
    if ((!face && seen->hidden <= MOST) || by < 0 || it->faulty || seen->alone < SEEN_NOTHING) return;
    plan_add_warning(w->plan, w->diagnostics, "hidden-puppet", it->name, it->span,
                     "stand one of the two elsewhere, or let the camera look over what is in front",
                     arena_format(w->arena, "%s of the %s%s is hidden from the camera%s%s by %s",
                                  share > ALL ? "all" : percent(w, share), it->name, face ? "'s face" : "",
                                  in_shot_words(w, shot), by_share > ALL * share ? "" : ", most of that",
                                  thing_words(w, by)));
}

/* --- lamps that are seen */

static void warn_of_lamp(const Warner *w, size_t index) {
    const Plan *plan = w->plan;
    const SeenCamera *told = NULL;
    size_t cameras = 0;
    for (size_t i = 0; i < plan->seen->count; i++) {
        const SeenCamera *seen = &plan->seen->cameras[i];
        if (!seen->lamps || !seen->lamps[index]) continue;
        if (!told) told = seen;
        cameras++;
    }
    if (!told) return;
    const Lamp *lamp = &plan->scene->lamps[index];
    const PlanShot *shot = &plan->shots[told->shot];
    const char *others = cameras == 1 ? ""
                         : cameras == 2
                             ? ", and in that of one more camera"
                             : arena_format(w->arena, ", and in those of %zu more cameras", cameras - 1);
    plan_add_warning(
        w->plan, w->diagnostics, "lamp-in-frame", lamp->name, lamp->span,
        "move it out of the frame, or hide it behind something",
        arena_format(w->arena, "lamp `%s`, or its stand, is in the frame of the %s camera%s%s", lamp->name,
                     told->camera == 0
                         ? "planned"
                         : arena_format(w->arena, "allowed (%s)", shot->cameras[told->camera].name),
                     in_shot_words(w, told->shot), others));
}

void seen_to_warnings(Plan *plan, Diagnostics *diagnostics) {
    const Warner w = {plan, plan->scene->arena, diagnostics};
    for (size_t s = 0; s < plan->shot_count; s++) {
        const SeenCamera *planned = seen_by(plan, (int)s, 0);
        warn_of_open_frame(&w, (int)s);
        for (size_t t = 0; planned && t < plan->scene->thing_count; t++) {
            if (plan->scene->things[t].role == ROLE_PUPPET)
                warn_of_hidden(&w, (int)s, (int)t, &planned->things[t]);
        }
    }
    for (size_t i = 0; i < plan->scene->lamp_count; i++)
        warn_of_lamp(&w, i);
}
