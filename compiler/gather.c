#include "gather.h"

#include <stdlib.h>
#include <string.h>

/* Something about the book, and which scene says it. */
typedef struct OfBook {
    Diagnostic *diagnostic;
    size_t scene, index; /* its place in the scene's list */
} OfBook;

typedef LIST(OfBook) AllOfBook;

static bool same_text(const char *a, const char *b) {
    return a == b || (a && b && text_equal(a, b));
}

/* In every word: what one scene adds of itself makes it another. */
static bool same_said(const Diagnostic *a, const Diagnostic *b) {
    if (a->severity != b->severity || !span_equal(a->span, b->span) || !same_text(a->word, b->word) ||
        !same_text(a->path, b->path) || !same_text(a->message, b->message) || !same_text(a->help, b->help) ||
        a->notes.count != b->notes.count)
        return false;
    for (size_t i = 0; i < a->notes.count; i++) {
        if (!span_equal(a->notes.items[i].span, b->notes.items[i].span) ||
            !text_equal(a->notes.items[i].text, b->notes.items[i].text))
            return false;
    }
    return true;
}

/* By place, then as the scenes come; no two are equal. */
static int compare(const void *a, const void *b) {
    const OfBook *one = a, *other = b;
    const int by_place = span_compare(one->diagnostic->span, other->diagnostic->span);
    if (by_place != 0) return by_place;
    if (one->scene != other->scene) return one->scene < other->scene ? -1 : 1;
    return one->index < other->index ? -1 : 1;
}

static AllOfBook all_of_book(Arena *arena, const SceneSaid *scenes, size_t count) {
    AllOfBook all = {0};
    for (size_t s = 0; s < count; s++) {
        for (size_t i = 0; i < scenes[s].said->items.count; i++) {
            Diagnostic *it = scenes[s].said->items.items[i];
            if (it->span.file == 0) LIST_PUSH(arena, all, (OfBook){it, s, i});
        }
    }
    if (all.count > 1) qsort(all.items, all.count, sizeof *all.items, compare);
    return all;
}

/* `in scene `a``, `in scenes `a` and `b``; of many how many. */
static const char *scenes_text(Arena *arena, const SceneSaid *scenes, const size_t *in, size_t count) {
    enum { NAMED_MOST = 4 };
    Buffer out = buffer_new(arena);
    if (count > NAMED_MOST)
        return arena_format(arena, "in %zu scenes, the first is `%s`", count, scenes[in[0]].name);
    buffer_add(&out, count == 1 ? "in scene " : "in scenes ");
    for (size_t i = 0; i < count; i++)
        buffer_format(&out, "%s`%s`", i == 0 ? "" : i + 1 < count ? ", " : " and ", scenes[in[i]].name);
    return buffer_text(&out);
}

/* One thing, and the scenes that say it. */
typedef struct Told {
    Diagnostic *diagnostic;
    LIST(size_t) scenes;
} Told;

typedef LIST(Told) AllTold;

static Told *told_before(AllTold *told, const Diagnostic *it) {
    for (size_t i = told->count; i > 0; i--) {
        Told *before = &told->items[i - 1];
        if (!span_equal(before->diagnostic->span, it->span)) return NULL;
        if (same_said(before->diagnostic, it)) return before;
    }
    return NULL;
}

static AllTold told_once(Arena *arena, const AllOfBook *all) {
    AllTold told = {0};
    for (size_t i = 0; i < all->count; i++) {
        const OfBook *it = &all->items[i];
        Told *one = told_before(&told, it->diagnostic);
        if (!one) {
            LIST_PUSH(arena, told, (Told){.diagnostic = it->diagnostic});
            one = &told.items[told.count - 1];
        }
        LIST_PUSH(arena, one->scenes, it->scene);
    }
    return told;
}

/* What every scene says of the book hangs on none of them. */
static void add_about_book(Diagnostics *into, const SceneSaid *scenes, size_t count) {
    const AllOfBook all = all_of_book(into->arena, scenes, count);
    const AllTold told = told_once(into->arena, &all);
    Diagnostics once = {.arena = into->arena};
    for (size_t i = 0; i < told.count; i++) {
        Diagnostic *it = told.items[i].diagnostic;
        LIST_PUSH(into->arena, once.items, it);
        if (count > 1 && told.items[i].scenes.count == count) continue;
        diagnostic_note(
            into, it, (Span){0}, "%s",
            scenes_text(into->arena, scenes, told.items[i].scenes.items, told.items[i].scenes.count));
    }
    diagnostics_append(into, &once);
    diagnostics_sort(into);
}

void gather_said(Diagnostics *into, const SceneSaid *scenes, size_t count) {
    add_about_book(into, scenes, count);
    for (size_t s = 0; s < count; s++) {
        Diagnostics own = {.arena = into->arena};
        for (size_t i = 0; i < scenes[s].said->items.count; i++) {
            Diagnostic *it = scenes[s].said->items.items[i];
            if (it->span.file != 0) LIST_PUSH(into->arena, own.items, it);
        }
        diagnostics_append(into, &own);
    }
}
