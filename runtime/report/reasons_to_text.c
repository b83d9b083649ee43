#include "report/reasons_to_text.h"

#include <string.h>

typedef struct Chain {
    Buffer *out;
    const Plan *plan;
    const Sources *sources;
    bool *shown;
} Chain;

static int find_path(const Plan *plan, const char *path) {
    for (size_t i = 0; i < plan->reason_count; i++)
        if (text_equal(plan->reasons[i].path, path)) return (int)i;
    return -1;
}

static int find_reason(Arena *arena, const Plan *plan, const char *path) {
    const int found = find_path(plan, path);
    return found >= 0 ? found : find_path(plan, arena_format(arena, "the %s", path));
}

static void add_indent(Buffer *out, int depth) {
    for (int i = 0; i < depth; i++)
        buffer_add(out, "  ");
}

/* `specs/08-fog.yaml:17:60: 40 mm drawn (docs/geometry.md, rule 31)` */
static void add_ground(const Chain *chain, const Reason *reason, int depth) {
    const bool stated = !span_is_none(reason->span);
    if (!stated && !reason->text[0] && !reason->rule) return;
    add_indent(chain->out, depth);
    if (stated)
        buffer_format(chain->out, "%s:%zu:%zu: ", chain->sources->items[reason->span.file].path,
                      (size_t)reason->span.line, (size_t)reason->span.column);
    buffer_add(chain->out, reason->text);
    if (reason->rule)
        buffer_format(chain->out, "%s(docs/geometry.md, %s)", reason->text[0] ? " " : "", reason->rule);
    buffer_add(chain->out, "\n");
}

static void add_reason(const Chain *chain, int index, int depth) {
    const Reason *reason = &chain->plan->reasons[index];
    const bool again = chain->shown[index];
    add_indent(chain->out, depth);
    buffer_format(chain->out, "%s%s%s%s%s\n", depth > 0 ? "from " : "", reason->path,
                  reason->value[0] ? " = " : "", reason->value,
                  again && reason->input_count > 0 ? " (as above)" : "");
    if (again) return;
    chain->shown[index] = true;
    add_ground(chain, reason, depth + 1);
    for (size_t i = 0; i < reason->input_count; i++)
        add_reason(chain, reason->inputs[i], depth + 1);
}

bool reasons_to_text(Buffer *out, const Plan *plan, const Sources *sources, const char *path) {
    const int index = find_reason(out->arena, plan, path);
    if (index < 0) return false;
    const Chain chain = {out, plan, sources, ARENA_ARRAY(out->arena, bool, plan->reason_count)};
    add_reason(&chain, index, 0);
    return true;
}

enum { OFFERED_MOST = 24 };

/* Up to the last dot, or all of it. */
static const char *owner_of(Arena *arena, const char *path) {
    const char *dot = strrchr(path, '.');
    return dot ? arena_copy(arena, path, (size_t)(dot - path)) : path;
}

static bool is_offered(const char *const *offered, size_t count, const char *text) {
    for (size_t i = 0; i < count; i++) {
        if (text_equal(offered[i], text)) return true;
    }
    return false;
}

/* Paths of one owner, or of all owners their names. */
static size_t offer(Arena *arena, const Plan *plan, const char *owner, const char *offered[OFFERED_MOST]) {
    size_t count = 0;
    for (size_t i = 0; i < plan->reason_count && count < OFFERED_MOST; i++) {
        const char *path = plan->reasons[i].path, *of = owner_of(arena, path);
        if (owner && (!text_equal(of, owner) || text_equal(path, owner))) continue;
        const char *text = owner ? path : of;
        if (text_starts(text, "the ")) continue; /* worked out as a whole, and no quantity of the spec */
        if (!is_offered(offered, count, text)) offered[count++] = text;
    }
    return count;
}

/* Of the same owner, where that has anything. */
const char *reasons_nearest(Arena *arena, const Plan *plan, const char *path) {
    const char **paths = ARENA_ARRAY(arena, const char *, plan->reason_count), *offered[OFFERED_MOST];
    for (size_t i = 0; i < plan->reason_count; i++)
        paths[i] = plan->reasons[i].path;
    const char *near = text_nearest(path, paths, plan->reason_count), *owner = owner_of(arena, path);
    const bool stranger = near && !text_equal(owner_of(arena, near), owner);
    return stranger && offer(arena, plan, owner, offered) > 0 ? NULL : near;
}

const char *reasons_offered(Arena *arena, const Plan *plan, const char *path) {
    const char *offered[OFFERED_MOST], *owner = owner_of(arena, path);
    size_t count = offer(arena, plan, owner, offered);
    const bool of_owner = count > 0;
    if (!of_owner) count = offer(arena, plan, NULL, offered);
    Buffer text = buffer_new(arena);
    if (of_owner)
        buffer_format(&text, "of `%s` there is: ", owner);
    else
        buffer_add(&text, "there is something of: ");
    for (size_t i = 0; i < count; i++)
        buffer_format(&text, "%s%s", i > 0 ? ", " : "", offered[i]);
    if (count == OFFERED_MOST) buffer_add(&text, " ...");
    return buffer_text(&text);
}
