/* Puppets on the set: each its cast member's, or its pose's, sizes; those of one shot and those of all. */
#include "base/text.h"
#include "bind.h"
#include "phrase.h"

#include <string.h>

/* --- one puppet ---------------------------------------------------------------------------------------- */

/* Sizes are the cast member's, or the pose's where that states them; a pose that is of another height has
 * eyes of its own. */
static void share_sizes(Binder *b, int index) {
    static const Field fields[] = {FIELD_TALL, FIELD_EYES, FIELD_WIDE, FIELD_DEEP};
    static const char *const words[] = {"tall", "eyes", "wide", "deep"};
    Thing *thing = &b->things.items[index];
    const CastMember *cast = &b->cast.items[thing->cast];
    const int standing[] = {cast->tall, cast->eyes, cast->wide, cast->deep};
    bool other_height = false;
    for (int i = 0; i < 4; i++) {
        int slot = standing[i];
        if (thing->pose) {
            const int posed = bind_find(
                b, SCOPE_BOOK, arena_format(b->arena, "%s.poses.%s.%s", cast->name, thing->pose, words[i]));
            const bool stated = posed >= 0 && b->slots.items[posed].stated;
            other_height |= stated && i == 0;
            if (stated || (other_height && i == 1)) slot = posed;
        }
        thing->slot[fields[i]] = slot;
        bind_key(b, thing->shot, arena_format(b->arena, "%s.%s", thing->name, words[i]), slot);
    }
}

static const char *pose_of(Binder *b, int cast, const Tree *table) {
    const Tree *value = bind_text(table, "pose");
    if (!value) return NULL;
    const CastMember *member = &b->cast.items[cast];
    for (size_t i = 0; i < member->pose_count; i++) {
        if (text_equal(member->pose_names[i], value->text)) return value->text;
    }
    Diagnostics *list = bind_list(b, value->span);
    Diagnostic *d = diagnostics_error(list, value->span, "puppet `%s` of the book has no pose `%s`",
                                      member->name, phrase_short(b->arena, value->text));
    const char *near = text_nearest(value->text, member->pose_names, member->pose_count);
    if (near)
        diagnostic_help(list, d, "did you mean `%s`?", near);
    else if (member->pose_count == 0)
        diagnostic_help(list, d, "the book gives it one: `%s: {poses: {%s: {tall: ...}}}`", member->name,
                        phrase_short(b->arena, value->text));
    return NULL;
}

static int new_puppet(Binder *b, const char *name, Span span, int cast, const Tree *table) {
    Thing thing = bind_blank_thing(ROLE_PUPPET, SHAPE_FIGURE, name, span);
    thing.shot = b->current_shot;
    thing.cast = cast;
    thing.weighs = b->cast.items[cast].weighs;
    thing.fixed = b->cast.items[cast].fixed;
    thing.pose = pose_of(b, cast, table);
    const int index = bind_thing(b, thing, name);
    if (index >= 0) share_sizes(b, index);
    return index;
}

static void bind_words(Binder *b, int index, const Tree *table) {
    static const FieldWord words[] = {{"up", FIELD_UP}, {"turn", FIELD_TURN}};
    bind_fields(b, index, SECTION_PUPPET, table, words, sizeof words / sizeof *words);
    bind_place(b, index, table, SECTION_AT);
    bind_drawn(b, index, table);
    bind_atop(b, index, table);
    b->things.items[index].faulty |= !bind_all_words_known(SECTION_PUPPET, table);
}

/* --- names of puppets ---------------------------------------------------------------------------------- */

static void no_such_puppet(Binder *b, const char *name, Span span, bool as_value) {
    if (bind_is_poison(b, SCOPE_SET, name)) return;
    Diagnostics *list = bind_list(b, span);
    Diagnostic *d =
        diagnostics_error(list, span, "`%s` is no puppet of the book", phrase_short(b->arena, name));
    const char **cast = ARENA_ARRAY(b->arena, const char *, b->cast.count);
    for (size_t i = 0; i < b->cast.count; i++) {
        cast[i] = b->cast.items[i].name;
        if (as_value || !text_ends(name, arena_format(b->arena, " %s", cast[i]))) continue;
        diagnostic_help(list, d, "a second one is written `%s: {puppet: %s, ...}`", name, cast[i]);
        return;
    }
    const char *near = text_nearest(name, cast, b->cast.count);
    if (near) diagnostic_help(list, d, "did you mean `%s`?", near);
    if (as_value) bind_faulty_name(b, name, span);
}

/* The cast member of an entry under `puppets`, or -1. */
static int cast_of_entry(Binder *b, const TreeEntry *entry) {
    const Tree *named = bind_text(entry->value, "puppet");
    const int cast = bind_cast_index(b, named ? named->text : entry->word);
    if (cast < 0 && (named || !tree_find(entry->value, "puppet")))
        no_such_puppet(b, named ? named->text : entry->word, named ? named->span : entry->word_span, named);
    return cast;
}

static void bind_puppet(Binder *b, const TreeEntry *entry) {
    if (entry->value->kind != TREE_TABLE) {
        bind_faulty_name(b, entry->word, entry->word_span);
        return;
    }
    const int cast = cast_of_entry(b, entry);
    const Named named = {.name = entry->word,
                         .what = "puppet",
                         .span = entry->word_span,
                         .shot = b->current_shot,
                         .thing = (int)b->things.count,
                         .cast = cast};
    if (cast < 0) {
        bind_faulty_name(b, entry->word, entry->word_span);
        return;
    }
    if (!bind_name(b, entry, &named)) return;
    const int index = new_puppet(b, entry->word, entry->word_span, cast, entry->value);
    if (index >= 0) bind_words(b, index, entry->value);
}

/* --- the leading puppet -------------------------------------------------------------------------------- */

/* What the scene says of a puppet for all shots holds at the mark too, but for where it is drawn and stands:
 * those of its words that the mark does not have, or NULL. */
static const Tree *words_of_scene(Binder *b, const Tree *mark, const char *name) {
    static const char *const shared[] = {"pose", "turn", "up", "atop"};
    const Tree *entry = b->current_shot >= 0 ? bind_table(b->puppets, name) : NULL;
    const bool height = tree_find(mark, "up") || tree_find(mark, "atop");
    if (!entry) return NULL;
    Tree *words = ARENA_NEW(b->arena, Tree);
    *words = *entry;
    words->entries = ARENA_ARRAY(b->arena, TreeEntry, entry->count);
    words->count = 0;
    for (size_t i = 0; i < sizeof shared / sizeof *shared; i++) {
        const TreeEntry *word = tree_entry(entry, shared[i]);
        if (word && !tree_find(mark, shared[i]) && !(i >= 2 && height))
            words->entries[words->count++] = *word;
    }
    return words;
}

/* They stand under `puppets`, and so do their faults. */
static void bind_words_of_scene(Binder *b, int index, const Tree *words) {
    const Binder here = *b;
    b->depth = 0;
    b->own_shot = (OwnTable){0};
    bind_enter(b, "puppets");
    bind_enter(b, b->things.items[index].name);
    bind_words(b, index, words);
    b->depth = here.depth;
    b->own_shot = here.own_shot;
    memcpy(b->path, here.path, sizeof b->path);
}

int bind_lead_puppet(Binder *b, const Tree *mark) {
    const Tree *value = bind_text(mark, "puppet");
    const TreeEntry *entry = tree_entry(b->puppets, value->text);
    int cast = bind_cast_index(b, value->text);
    if (cast < 0 && entry && entry->value->kind == TREE_TABLE) cast = cast_of_entry(b, entry);
    if (cast < 0) {
        if (!entry) no_such_puppet(b, value->text, value->span, true);
        return -1;
    }
    const Tree *below = words_of_scene(b, mark, value->text);
    const int index =
        new_puppet(b, value->text, value->span, cast, tree_find(mark, "pose") || !below ? mark : below);
    if (index < 0) return -1;
    b->things.items[index].lead = true;
    bind_add_name(b, &(Named){.name = value->text,
                              .what = "puppet",
                              .span = value->span,
                              .shot = b->current_shot,
                              .thing = index,
                              .cast = cast});
    bind_mark_words(b, index, mark, false);
    if (below) bind_words_of_scene(b, index, below);
    return index;
}

/* --- all of them --------------------------------------------------------------------------------------- */

static const Named *named_in(const Binder *b, int shot, const char *name) {
    const Named *named = bind_named(b, shot, name);
    return named && !named->of_book && named->shot == shot ? named : NULL;
}

/* Said at the mark and under `puppets`: which of the two places holds? */
static bool leads(Binder *b, const TreeEntry *entry) {
    const Named *lead = named_in(b, b->current_shot, entry->word);
    if (!lead || lead->thing < 0 || !b->things.items[lead->thing].lead) return false;
    Diagnostics *list = bind_list(b, entry->word_span);
    Diagnostic *d = diagnostics_error(list, entry->word_span,
                                      "`%s` stands at the mark, so it is not said here too", entry->word);
    diagnostic_note(list, d, lead->span, "at the mark");
    diagnostic_help(list, d, "what belongs to the leading puppet stands under `mark`");
    return true;
}

static void bind_puppets_of_shot(Binder *b, const Tree *own, int index, const char *name) {
    b->current_shot = index;
    b->drawing_in_pixels = b->shots.items[index].drawing_in_px;
    b->no_drawing = !b->shots.items[index].drawing_stated && !b->book_alone;
    b->own_shot = (OwnTable){own, 2};
    bind_enter(b, "shots");
    bind_enter(b, name);
    bind_enter(b, "puppets");
}

static void leave_shot(Binder *b) {
    bind_leave(b);
    bind_leave(b);
    bind_leave(b);
    b->own_shot = (OwnTable){0};
    b->current_shot = SCOPE_SET;
}

/* Puppets of one of several shots: its own, over what the scene says of them; and the scene's that some shot
 * changes or has at its mark. */
static void bind_in_shot(Binder *b, const Tree *own, int index, const bool *is_shared) {
    const Tree *puppets = bind_table(own, "puppets");
    bind_puppets_of_shot(b, own, index, b->shots.items[index].name);
    for (size_t i = 0; b->puppets && i < b->puppets->count; i++) {
        TreeEntry entry = b->puppets->entries[i];
        const TreeEntry *here = tree_entry(puppets, entry.word);
        if (is_shared[i] || (!here && named_in(b, index, entry.word))) continue;
        if (here)
            entry = (TreeEntry){entry.word, here->word_span, tree_merge(b->arena, entry.value, here->value)};
        bind_enter(b, entry.word);
        if (!here || !leads(b, &entry)) bind_puppet(b, &entry);
        bind_leave(b);
    }
    for (size_t i = 0; puppets && i < puppets->count; i++) {
        const TreeEntry *entry = &puppets->entries[i];
        if (tree_entry(b->puppets, entry->word)) continue;
        bind_enter(b, entry->word);
        if (!leads(b, entry)) bind_puppet(b, entry);
        bind_leave(b);
    }
    leave_shot(b);
}

static bool in_every_shot(const Binder *b, const char *name, const Tree *const *shots, size_t count) {
    for (size_t s = 0; s < count; s++) {
        if (tree_find(bind_table(shots[s], "puppets"), name) || named_in(b, (int)s, name)) return false;
    }
    return true;
}

void bind_puppets(Binder *b, const Tree *const *shots, size_t count) {
    bool *is_shared = ARENA_ARRAY(b->arena, bool, b->puppets ? b->puppets->count : 0);
    bind_enter(b, "puppets");
    for (size_t i = 0; b->puppets && i < b->puppets->count; i++) {
        const TreeEntry *entry = &b->puppets->entries[i];
        is_shared[i] = count == 0 || in_every_shot(b, entry->word, shots, count);
        bind_enter(b, entry->word);
        if (is_shared[i] && (count > 0 || !leads(b, entry))) bind_puppet(b, entry);
        bind_leave(b);
    }
    bind_leave(b);
    for (size_t s = 0; s < count; s++)
        bind_in_shot(b, shots[s], (int)s, is_shared);
}
