/* One namespace a scene: names of the book and of the set, and what quantities read of them. */
#include "base/text.h"
#include "bind.h"
#include "phrase.h"

#include <string.h>

/* Sections that references read: their word is no name of a thing. */
static const char *const read_sections[] = {"book", "page",   "camera",   "mark",     "drawing", "allow",
                                            "text", "ground", "base",     "backdrop", "table",   "room",
                                            "crop", "lamps",  "circuits", "floor",    "tripod"};
enum { READ_SECTIONS = sizeof read_sections / sizeof *read_sections };

static bool is_read_section(const char *name) {
    for (size_t i = 0; i < READ_SECTIONS; i++) {
        if (text_equal(read_sections[i], name)) return true;
    }
    return false;
}

/* --- looking up ---------------------------------------------------------------------------------------- */

/* 0: stands in another shot, out of sight. */
static int rank_of(const Named *named, int shot) {
    if (named->of_book) return named->faulty ? 1 : 2;
    return named->shot == shot ? 5 : named->shot == SCOPE_SET ? 4 : named->shot == 0 && shot < 0 ? 3 : 0;
}

const Named *bind_named(const Binder *b, int shot, const char *name) {
    const Named *found = NULL;
    int best = 0;
    for (int i = bind_key_find(b, INDEX_NAMES, name); i >= 0; i = b->names.items[i].next) {
        const Named *named = &b->names.items[i];
        const int rank = rank_of(named, shot);
        if (rank > best) found = named;
        if (rank > best) best = rank;
    }
    return found;
}

bool bind_is_poison(const Binder *b, int shot, const char *name) {
    const Named *named = bind_named(b, shot, name);
    return named ? named->faulty : b->unsure;
}

/* --- what quantities ask ------------------------------------------------------------------------------- */

static int cast_of(const Binder *b, int shot, const char *name) {
    const Named *named = bind_named(b, shot, name);
    return named ? named->cast : -1;
}

static NameKind find_name(void *context, const char *name) {
    NamesScope *scope = context;
    const Binder *b = scope->binder;
    const Named *named = bind_named(b, scope->shot, name);
    if (!named && is_read_section(name)) return NAME_SECTION;
    if (!named && b->unsure) {
        scope->poisoned = true;
        return NAME_PUPPET;
    }
    if (!named) return NAME_UNKNOWN;
    scope->poisoned |= named->faulty;
    return named->cast >= 0 ? NAME_PUPPET : NAME_THING;
}

/* Any slot does where the quantity is poison: it is never evaluated. */
static bool poison(NamesScope *scope, int *slot, QuantityKind *kind, bool *on_drawing) {
    scope->poisoned = true;
    *slot = 0;
    *kind = scope->wants->kind;
    *on_drawing = scope->wants->place == PLACE_ON_DRAWING;
    return true;
}

/* Whose leading thing could not be found: that has been said. */
static bool has_no_lead(const Binder *b, int shot) {
    const size_t index = shot < 0 ? 0 : (size_t)shot;
    return index >= b->shots.count || b->shots.items[index].lead < 0;
}

static bool path_begins(const Binder *b, int shot, const char *path) {
    const size_t length = strlen(path);
    for (size_t i = 0; i < b->key_capacity; i++) {
        const PathKey *key = &b->keys[i];
        if (key->path && key->scope >= SCOPE_BOOK && (key->scope <= 0 || key->scope == shot) &&
            strncmp(key->path, path, length) == 0 && key->path[length] == '.')
            return true;
    }
    return false;
}

static bool find_field(void *context, const char *name, const char *const *fields, size_t count, int *slot,
                       QuantityKind *kind, bool *on_drawing, size_t *field_at) {
    NamesScope *scope = context;
    const Binder *b = scope->binder;
    const char *path = name;
    for (size_t i = 0; i < count; i++)
        path = arena_format(b->arena, "%s.%s", path, fields[i]);
    *slot = bind_find(b, scope->shot, path);
    if (*slot >= 0) {
        *kind = b->slots.items[*slot].kind;
        *on_drawing = b->slots.items[*slot].on_drawing;
        return true;
    }
    const bool of_mark = text_equal(name, "mark") && has_no_lead(b, scope->shot);
    if (of_mark || (!is_read_section(name) && bind_is_poison(b, scope->shot, name)))
        return poison(scope, slot, kind, on_drawing);
    path = name;
    for (*field_at = 0; *field_at + 1 < count; ++*field_at) {
        path = arena_format(b->arena, "%s.%s", path, fields[*field_at]);
        if (!path_begins(b, scope->shot, path)) break;
    }
    return false;
}

static bool find_height(void *context, const char *name, int *slot) {
    NamesScope *scope = context;
    const int cast = cast_of(scope->binder, scope->shot, name);
    QuantityKind kind;
    bool on_drawing;
    if (cast < 0) return poison(scope, slot, &kind, &on_drawing);
    *slot = scope->binder->cast.items[cast].tall;
    return true;
}

static const char *find_near_name(void *context, const char *name) {
    const NamesScope *scope = context;
    const Binder *b = scope->binder;
    const char **list = ARENA_ARRAY(b->arena, const char *, b->names.count + READ_SECTIONS);
    size_t count = 0;
    for (size_t i = 0; i < b->names.count; i++)
        if (!text_equal(b->names.items[i].name, name)) list[count++] = b->names.items[i].name;
    for (size_t i = 0; i < READ_SECTIONS; i++)
        list[count++] = read_sections[i];
    return text_nearest(name, list, count);
}

static const char *find_near_field(void *context, const char *name, const char *field) {
    const NamesScope *scope = context;
    const Binder *b = scope->binder;
    const size_t length = strlen(name);
    LIST(const char *) list = {0};
    for (size_t i = 0; i < b->slots.count; i++) { /* slots, not keys: their order is the spec's */
        const char *path = b->slots.items[i].path;
        if (strncmp(path, name, length) != 0 || path[length] != '.' ||
            bind_find(b, scope->shot, path) != (int)i)
            continue;
        const char *words = path + length + 1, *dot = strchr(words, '.');
        LIST_PUSH(b->arena, list, words);
        if (dot) LIST_PUSH(b->arena, list, arena_copy(b->arena, words, (size_t)(dot - words)));
    }
    return text_nearest(field, list.items, list.count);
}

static size_t find_examples(void *context, const char *name, const char *fields[3]) {
    static const char *const shown[] = {"tall", "wide", "deep"};
    const NamesScope *scope = context;
    size_t count = 0;
    for (size_t i = 0; i < 3; i++) {
        const char *path = arena_format(scope->binder->arena, "%s.%s", name, shown[i]);
        if (bind_find(scope->binder, scope->shot, path) >= 0) fields[count++] = shown[i];
    }
    return count;
}

const QuantityNames bind_quantity_names = {NULL,           find_name,       find_field,   find_height,
                                           find_near_name, find_near_field, find_examples};

/* --- new names ----------------------------------------------------------------------------------------- */

void bind_add_name(Binder *b, const Named *named) {
    const int index = (int)b->names.count;
    LIST_PUSH(b->arena, b->names, *named);
    b->names.items[index].next = bind_key_find(b, INDEX_NAMES, named->name);
    bind_key(b, INDEX_NAMES, named->name, index);
}

void bind_faulty_name(Binder *b, const char *name, Span span) {
    bind_add_name(b, &(Named){.name = name,
                              .what = "thing",
                              .faulty = true,
                              .span = span,
                              .shot = b->current_shot,
                              .thing = -1,
                              .cast = -1});
}

/* `a piece`, `an opening`. */
static const char *one(Binder *b, const char *what) {
    return arena_format(b->arena, "%s %s", strchr("aeiou", what[0]) ? "an" : "a", what);
}

static bool is_sound(Binder *b, const TreeEntry *entry, const char *what) {
    size_t column, length;
    const char *message, *help;
    Diagnostics *list = bind_list(b, entry->word_span);
    if (vocabulary_is_section_word(entry->word)) {
        diagnostics_error(list, entry->word_span, "%s cannot be called `%s`: it is a word of the language",
                          one(b, what), entry->word);
        return false;
    }
    if (name_allowed(b->arena, entry->word, &column, &length, &message, &help)) return true;
    const Span span = span_part(entry->word_span, column - 1, length);
    const bool whole = text_starts(message, "it is");
    Diagnostic *d = whole ? diagnostics_error(list, span, "%s cannot be called `%s`: %s", one(b, what),
                                              phrase_short(b->arena, entry->word), message)
                          : diagnostics_error(list, span, "%s", message);
    const bool about_units = text_starts(message, "it is a unit");
    if (help && (!about_units || text_equal(what, "puppet"))) diagnostic_help(list, d, "%s", help);
    return false;
}

static const char *another_name(const Binder *b, const char *name) {
    for (int n = 2;; n++) {
        const char *other = arena_format(b->arena, "%s %d", name, n);
        if (bind_key_find(b, INDEX_NAMES, other) < 0) return other;
    }
}

/* Where the book's things of a kind are put on the set; NULL: nowhere. */
static const char *section_for(const char *what) {
    return text_equal(what, "puppet")  ? "puppets"
           : text_equal(what, "piece") ? "pieces"
           : text_equal(what, "flat")  ? "flats"
                                       : NULL;
}

static void is_of_the_book(Binder *b, const Named *named, const Named *first) {
    Diagnostics *list = bind_list(b, named->span);
    Diagnostic *d = diagnostics_error(list, named->span, "%s called `%s`, which is %s of the book",
                                      one(b, named->what), named->name, one(b, first->what));
    const char *section = section_for(first->what);
    diagnostic_note(list, d, first->span, "the %s", first->what);
    if (section && !text_equal(first->what, named->what))
        diagnostic_help(list, d, "%s is put on the set under `%s`", one(b, first->what), section);
    else
        diagnostic_help(list, d, "give it another name, such as `%s`", another_name(b, named->name));
}

static void is_taken(Binder *b, const Named *named, const Named *first) {
    if (first->of_book && !named->of_book) {
        is_of_the_book(b, named, first);
        return;
    }
    const bool swapped = span_compare(named->span, first->span) < 0; /* said at the second in the file */
    const Named *earlier = swapped ? named : first, *later = swapped ? first : named;
    Diagnostics *list = bind_list(b, later->span);
    Diagnostic *d = diagnostics_error(list, later->span, "a second thing called `%s`", named->name);
    diagnostic_note(list, d, earlier->span, "the first is %s", one(b, earlier->what));
    diagnostic_help(list, d, "give one of them another name, such as `%s`", another_name(b, named->name));
}

/* A puppet of the book is on the set under its own name; so are the book's pieces and flats. */
static bool is_the_same(const Named *named, const Named *first) {
    if (!first->of_book || named->of_book || !text_equal(first->what, named->what)) return false;
    return first->cast == named->cast;
}

bool bind_name(Binder *b, const TreeEntry *entry, const Named *named) {
    if (!is_sound(b, entry, named->what)) {
        bind_faulty_name(b, named->name, named->span);
        return false;
    }
    const Named *taken = NULL; /* the book's before the set's */
    for (int i = bind_key_find(b, INDEX_NAMES, named->name); i >= 0; i = b->names.items[i].next) {
        const Named *first = &b->names.items[i];
        const bool apart = first->shot >= 0 && named->shot >= 0 && first->shot != named->shot;
        if (!apart && !is_the_same(named, first) && (!taken || first->of_book)) taken = first;
    }
    if (taken) {
        if (!taken->faulty) is_taken(b, named, taken);
        return false;
    }
    bind_add_name(b, named);
    return true;
}

/* --- names as values ----------------------------------------------------------------------------------- */

void bind_unknown_name(Binder *b, const Tree *value, const char *where, const char *const *names,
                       size_t count) {
    Diagnostics *list = bind_list(b, value->span);
    Diagnostic *d =
        diagnostics_error_once(list, arena_format(b->arena, "name %s", value->text), value->span,
                               "unknown name `%s` in %s", phrase_short(b->arena, value->text), where);
    const char *near = text_nearest(value->text, names, count);
    if (near) diagnostic_help(list, d, "did you mean `%s`?", near);
}

static int only_one(const Binder *b, const char *name) {
    for (size_t i = 0; i < b->things.count; i++) {
        const ThingRole role = b->things.items[i].role;
        if ((role == ROLE_GROUND || role == ROLE_BASE || role == ROLE_BACKDROP) &&
            text_equal(b->things.items[i].name, name))
            return (int)i;
    }
    return -1;
}

static void is_not_on_the_set(Binder *b, const Tree *value, const Named *named, const char *where) {
    Diagnostics *list = bind_list(b, value->span);
    const char *section = section_for(named->what);
    Diagnostic *d =
        section ? diagnostics_error(list, value->span, "`%s` is not on the set, in %s", value->text, where)
                : diagnostics_error(list, value->span, "`%s` is %s, no thing on the set, in %s", value->text,
                                    one(b, named->what), where);
    if (section) diagnostic_help(list, d, "put it there under `%s`", section);
}

/* What has this name in another shot; NULL: nothing. */
static const Named *in_another_shot(const Binder *b, const char *name) {
    for (int i = bind_key_find(b, INDEX_NAMES, name); i >= 0; i = b->names.items[i].next) {
        if (b->names.items[i].thing >= 0 && b->names.items[i].shot >= 0) return &b->names.items[i];
    }
    return NULL;
}

int bind_thing_named(Binder *b, int shot, const Tree *value, const char *where) {
    const Named *named = bind_named(b, shot, value->text);
    if (named && named->thing >= 0) return named->thing;
    if (bind_is_poison(b, shot, value->text)) return -1;
    const Named *elsewhere = in_another_shot(b, value->text);
    if (elsewhere) {
        Diagnostics *list = bind_list(b, value->span);
        Diagnostic *d =
            diagnostics_error(list, value->span, "`%s` is not in this shot, in %s", value->text, where);
        diagnostic_note(list, d, elsewhere->span, "it stands in another one");
        return -1;
    }
    if (named) {
        is_not_on_the_set(b, value, named, where);
        return -1;
    }
    const int thing = only_one(b, value->text);
    if (thing >= 0) return thing;
    const char **list = ARENA_ARRAY(b->arena, const char *, b->names.count);
    size_t count = 0;
    for (size_t n = 0; n < b->names.count; n++) {
        if (b->names.items[n].thing >= 0) list[count++] = b->names.items[n].name;
    }
    bind_unknown_name(b, value, where, list, count);
    return -1;
}

/* --- sections that cannot be read ---------------------------------------------------------------------- */

void bind_look_for_unsure(Binder *b, SectionId section, const Tree *table) {
    const char *words[SECTION_WORDS_MOST];
    const size_t count = vocabulary_list(section, words, SECTION_WORDS_MOST);
    for (size_t i = 0; table && table->kind == TREE_TABLE && i < table->count; i++) {
        const TreeEntry *entry = &table->entries[i];
        const WordRow *row = vocabulary_find(section, entry->word);
        if (row && entry->value->kind == TREE_TABLE) {
            if (row->holds == HOLDS_TABLE) bind_look_for_unsure(b, (SectionId)row->detail, entry->value);
            continue;
        }
        const char *near = row ? NULL : text_nearest(entry->word, words, count);
        if (near) row = vocabulary_find(section, near);
        b->unsure |=
            row && (row->holds == HOLDS_NAMES || (row->holds == HOLDS_TABLE && row->detail == SECTION_SCENE));
    }
}
