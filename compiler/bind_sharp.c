/* What a shot wants sharp together: things, or points of them. */
#include "base/text.h"
#include "bind.h"
#include "phrase.h"

#include <string.h>

static const char *const part_words[] = {
    [SHARP_FRONT] = "front", [SHARP_REAR] = "rear", [SHARP_EYES] = "eyes"};

enum { PART_COUNT = sizeof part_words / sizeof *part_words };

/* A part of a text that is one line's: `ferry` of `ferry.front`. */
static Tree part_of(Binder *b, const Tree *item, size_t from, size_t count) {
    Tree part = *item;
    part.text = arena_copy(b->arena, item->text + from, count);
    if (!item->quoted)
        part.span =
            span_part(item->span, utf8_length(item->text, from), utf8_length(item->text + from, count));
    return part;
}

/* Which part the word behind the dot is; false: none, and that has been said. */
static bool find_part(Binder *b, const Tree *word, SharpPart *part) {
    for (int i = SHARP_FRONT; i < PART_COUNT; i++) {
        *part = (SharpPart)i;
        if (text_equal(part_words[i], word->text)) return true;
    }
    Diagnostics *list = bind_list(b, word->span);
    Diagnostic *d = diagnostics_error(list, word->span, "%s takes a thing, or its `front`, `rear` or `eyes`",
                                      bind_where(b, "sharp"));
    const char *near = text_nearest(word->text, part_words + SHARP_FRONT, PART_COUNT - SHARP_FRONT);
    if (near) diagnostic_help(list, d, "did you mean `%s`?", near);
    return false;
}

static int named_thing(Binder *b, const Shot *shot, const Tree *name) {
    if (text_equal(name->text, "mark")) return shot->lead;
    return bind_thing_named(b, b->current_shot, name, bind_where(b, "sharp"));
}

static bool can_be_sharp(Binder *b, const Shot *shot, const SharpWish *wish) {
    const Thing *thing = &b->things.items[wish->thing];
    Diagnostics *list = bind_list(b, wish->span);
    if (thing->role == ROLE_GROUND || thing->role == ROLE_BASE) {
        Diagnostic *d = diagnostics_error(list, wish->span, "the %s is never sharp as a whole, in %s",
                                          thing->name, bind_where(b, "sharp"));
        diagnostic_help(list, d, "name what stands on it");
        return false;
    }
    if (wish->part == SHARP_EYES && thing->role != ROLE_PUPPET && wish->thing != shot->lead) {
        Diagnostic *d = diagnostics_error(list, wish->span, "`%s` has no eyes, in %s", thing->name,
                                          bind_where(b, "sharp"));
        diagnostic_help(list, d, "write `%s`, `%s.front` or `%s.rear`", thing->name, thing->name,
                        thing->name);
        return false;
    }
    for (size_t i = 0; i < shot->sharp_count; i++) {
        if (shot->sharp[i].thing != wish->thing || shot->sharp[i].part != wish->part) continue;
        /* `mark` beside the leading one's name: in another shot they may be two */
        if (!text_equal(shot->sharp[i].text, wish->text)) return false;
        Diagnostic *d = diagnostics_error(list, wish->span, "`%s` is named twice, in %s",
                                          phrase_short(b->arena, wish->text), bind_where(b, "sharp"));
        diagnostic_note(list, d, shot->sharp[i].span, "the first time");
        return false;
    }
    return true;
}

static void bind_wish(Binder *b, const Tree *item, Shot *shot) {
    if (item->kind == TREE_FAULTY) return;
    if (item->kind != TREE_TEXT) {
        diagnostics_error(bind_list(b, item->span), span_part(item->span, 0, 1),
                          "each of %s is a thing's name", bind_where(b, "sharp"));
        return;
    }
    SharpWish wish = {.part = SHARP_WHOLE, .text = item->text, .span = item->span};
    const char *dot = strrchr(item->text, '.');
    const size_t before = dot ? (size_t)(dot - item->text) : strlen(item->text);
    const Tree name = part_of(b, item, 0, before);
    if (dot) {
        const Tree word = part_of(b, item, before + 1, strlen(dot + 1));
        if (!find_part(b, &word, &wish.part)) return;
    }
    wish.thing = named_thing(b, shot, &name);
    if (wish.thing >= 0 && can_be_sharp(b, shot, &wish)) shot->sharp[shot->sharp_count++] = wish;
}

void bind_sharp(Binder *b, const Tree *words, Shot *shot) {
    const Tree *list = tree_find(words, "sharp");
    if (!list || list->kind != TREE_LIST) return;
    shot->sharp = ARENA_ARRAY(b->arena, SharpWish, list->count);
    for (size_t i = 0; i < list->count; i++)
        bind_wish(b, list->items[i], shot);
}
