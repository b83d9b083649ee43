#include "bind.h"

#include "base/text.h"
#include "phrase.h"

#include <string.h>

/* --- the way to where we are
 * --------------------------------------------------------------------------------- */

void bind_enter(Binder *b, const char *word) {
    if (b->depth < sizeof b->path / sizeof *b->path) b->path[b->depth] = word;
    b->depth++;
}

void bind_leave(Binder *b) {
    b->depth--;
}

const char *bind_where(const Binder *b, const char *word) {
    const char *path[9];
    size_t count = b->depth < 8 ? b->depth : 8;
    memcpy(path, b->path, count * sizeof *path);
    if (word) path[count++] = word;
    return phrase_of_path(b->arena, path, count);
}

/* --- keys
 * ---------------------------------------------------------------------------------------------------- */

static size_t hash_of(int shot, const char *path) {
    size_t hash = 14695981039346656037u ^ (size_t)(shot + 1);
    for (const char *c = path; *c; c++)
        hash = (hash ^ (unsigned char)*c) * 1099511628211u;
    return hash ^ hash >> 29;
}

static PathKey *key_place(PathKey *keys, size_t capacity, int shot, const char *path) {
    size_t i = hash_of(shot, path) & (capacity - 1);
    while (keys[i].path && (keys[i].shot != shot || strcmp(keys[i].path, path) != 0))
        i = (i + 1) & (capacity - 1);
    return &keys[i];
}

void bind_key(Binder *b, int shot, const char *path, int slot) {
    if (2 * (b->key_count + 1) > b->key_capacity) {
        const size_t capacity = b->key_capacity ? 2 * b->key_capacity : 1024;
        PathKey *keys = ARENA_ARRAY(b->arena, PathKey, capacity);
        for (size_t i = 0; i < b->key_capacity; i++) {
            if (b->keys[i].path) *key_place(keys, capacity, b->keys[i].shot, b->keys[i].path) = b->keys[i];
        }
        b->keys = keys;
        b->key_capacity = capacity;
    }
    PathKey *key = key_place(b->keys, b->key_capacity, shot, path);
    b->key_count += !key->path;
    *key = (PathKey){path, shot, slot};
}

int bind_find(const Binder *b, int shot, const char *path) {
    const int order[] = {shot, -1, 0};
    for (size_t i = 0; b->key_capacity && i < sizeof order / sizeof *order; i++) {
        const PathKey *key = key_place(b->keys, b->key_capacity, order[i], path);
        if (key->path) return key->slot;
    }
    return -1;
}

/* --- slots
 * ---------------------------------------------------------------------------------------------------- */

int bind_slot(Binder *b, int shot, const char *path, QuantityKind kind, bool on_drawing) {
    const int slot = (int)b->slots.count;
    LIST_PUSH(b->arena, b->slots,
              (Slot){.path = path, .kind = kind, .on_drawing = on_drawing, .thing = -1, .shot = shot});
    bind_key(b, shot, path, slot);
    return slot;
}

void bind_state(Binder *b, int slot, const Tree *value, Span word_span) {
    Slot *it = &b->slots.items[slot];
    it->stated = true;
    it->word_span = word_span;
    it->formula.text = value->kind == TREE_TEXT ? value->text : "";
    it->formula.span = value->span;
    it->faulty = true; /* until it has been read */
}

void bind_later(Binder *b, const Tree *value, QuantitySlot wants, const int *slots, int count) {
    if (value->kind != TREE_TEXT) return; /* reported; its slots stay faulty */
    Pending pending = {.value = value,
                       .wants = wants,
                       .count = count,
                       .where = bind_where(b, NULL),
                       .shot = b->current_shot};
    for (int i = 0; i < count; i++)
        pending.slots[i] = slots[i];
    pending.wants.drawing_in_pixels &= b->drawing_in_pixels;
    LIST_PUSH(b->arena, b->pending, pending);
}

int bind_word(Binder *b, SectionId section, const Tree *table, const char *word, const char *owner) {
    const WordRow *row = vocabulary_find(section, word);
    const char *path = arena_format(b->arena, "%s.%s", owner, word);
    const int slot = bind_slot(b, b->current_shot, path, row->slot.kind, row->slot.place == PLACE_ON_DRAWING);
    const TreeEntry *entry = table ? tree_entry(table, word) : NULL;
    if (!entry) return slot;
    bind_state(b, slot, entry->value, entry->word_span);
    if (entry->value->kind != TREE_TEXT) return slot; /* said by check_words; stays faulty */
    bind_enter(b, word);
    bind_later(b, entry->value, row->slot, &slot, 1);
    bind_leave(b);
    return slot;
}

/* --- names that quantities speak of
 * --------------------------------------------------------------------------- */

typedef struct Scope {
    const Binder *binder;
    int shot;
} Scope;

const Named *bind_named(const Binder *b, int shot, const char *name) {
    const Named *found = NULL;
    for (size_t i = 0; i < b->names.count; i++) {
        const Named *named = &b->names.items[i];
        if (!text_equal(named->name, name)) continue;
        if (named->shot == shot) return named;
        if (!found && (named->shot == -1 || named->shot == 0)) found = named;
    }
    return found;
}

static bool is_section_of_references(const char *name) {
    static const char *const words[] = {"book",   "page", "camera",   "mark",  "drawing", "allow",
                                        "ground", "base", "backdrop", "table", "room",    "crop"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (text_equal(words[i], name)) return true;
    }
    return false;
}

static bool is_thing_section(const char *name) {
    return text_equal(name, "ground") || text_equal(name, "base") || text_equal(name, "backdrop");
}

static NameKind find_name(void *context, const char *name) {
    const Scope *scope = context;
    const Binder *b = scope->binder;
    for (size_t c = 0; c < b->cast.count; c++) {
        if (text_equal(b->cast.items[c].name, name)) return NAME_PUPPET;
    }
    const Named *named = bind_named(b, scope->shot, name);
    if (named) return named->kind;
    return is_section_of_references(name) ? NAME_SECTION : NAME_UNKNOWN;
}

static bool path_begins(const Binder *b, int shot, const char *path) {
    const size_t length = strlen(path);
    for (size_t i = 0; i < b->key_capacity; i++) {
        const PathKey *key = &b->keys[i];
        if (key->path && (key->shot == shot || key->shot <= 0) && strncmp(key->path, path, length) == 0 &&
            key->path[length] == '.')
            return true;
    }
    return false;
}

static bool find_field(void *context, const char *name, const char *const *fields, size_t count, int *slot,
                       QuantityKind *kind, bool *on_drawing, size_t *field_at) {
    const Scope *scope = context;
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
    path = name;
    for (*field_at = 0; *field_at + 1 < count; ++*field_at) {
        path = arena_format(b->arena, "%s.%s", path, fields[*field_at]);
        if (!path_begins(b, scope->shot, path)) break;
    }
    return false;
}

static bool find_height(void *context, const char *name, int *slot) {
    const Scope *scope = context;
    for (size_t c = 0; c < scope->binder->cast.count; c++) {
        if (!text_equal(scope->binder->cast.items[c].name, name)) continue;
        *slot = scope->binder->cast.items[c].tall;
        return true;
    }
    return false;
}

static const char *find_near_name(void *context, const char *name) {
    const Scope *scope = context;
    const Binder *b = scope->binder;
    static const char *const sections[] = {"book", "page", "camera", "mark", "ground", "base", "backdrop"};
    const char **list = ARENA_ARRAY(b->arena, const char *, b->names.count + 8);
    size_t count = 0;
    for (size_t i = 0; i < b->names.count; i++)
        list[count++] = b->names.items[i].name;
    for (size_t i = 0; i < sizeof sections / sizeof *sections; i++)
        list[count++] = sections[i];
    return text_nearest(name, list, count);
}

static const char *find_near_field(void *context, const char *name, const char *field) {
    const Scope *scope = context;
    const Binder *b = scope->binder;
    const size_t length = strlen(name);
    LIST(const char *) list = {0};
    for (size_t i = 0; i < b->slots.count; i++) { /* slots, not keys: their order is the spec's */
        const char *path = b->slots.items[i].path;
        if (strncmp(path, name, length) == 0 && path[length] == '.')
            LIST_PUSH(b->arena, list, path + length + 1);
    }
    return text_nearest(field, list.items, list.count);
}

static size_t find_examples(void *context, const char *name, const char *fields[3]) {
    static const char *const shown[] = {"tall", "wide", "deep"};
    const Scope *scope = context;
    size_t count = 0;
    for (size_t i = 0; i < 3; i++) {
        const char *path = arena_format(scope->binder->arena, "%s.%s", name, shown[i]);
        if (bind_find(scope->binder, scope->shot, path) >= 0) fields[count++] = shown[i];
    }
    return count;
}

static void read_pending(Binder *b, const Pending *pending) {
    Scope scope = {b, pending->shot};
    const QuantityNames names = {&scope,         find_name,       find_field,   find_height,
                                 find_near_name, find_near_field, find_examples};
    Quantity quantity;
    if (!quantity_parse(b->arena, pending->value->text, pending->value->span, pending->value->quoted,
                        &pending->wants, pending->where, &names, b->diagnostics, &quantity))
        return;
    for (int i = 0; i < pending->count; i++) {
        Slot *slot = &b->slots.items[pending->slots[i]];
        const int part = i < (int)quantity.count ? i : (int)quantity.count - 1;
        slot->formula = quantity.parts[part];
        if (slot->formula.kind == KIND_PIXELS) slot->kind = KIND_PIXELS;
        slot->faulty = false;
    }
}

void bind_pending(Binder *b) {
    for (size_t i = 0; i < b->pending.count; i++)
        read_pending(b, &b->pending.items[i]);
}

/* --- new names
 * ------------------------------------------------------------------------------------------------ */

static bool name_is_sound(Binder *b, const TreeEntry *entry, const char *what) {
    size_t column, length;
    const char *message, *help;
    if (vocabulary_is_section_word(entry->word) && !is_thing_section(entry->word)) {
        diagnostics_error(b->diagnostics, entry->word_span,
                          "a %s cannot be called `%s`: it is a word of the language", what, entry->word);
        return false;
    }
    if (name_allowed(b->arena, entry->word, &column, &length, &message, &help)) return true;
    const Span span = span_part(entry->word_span, column - 1, length);
    Diagnostic *d;
    if (text_starts(message, "it is"))
        d = diagnostics_error(b->diagnostics, span, "a %s cannot be called `%s`: %s", what, entry->word,
                              message);
    else
        d = diagnostics_error(b->diagnostics, span, "%s", message);
    const bool about_units = text_starts(message, "it is a unit");
    if (help && !(about_units && !text_equal(what, "puppet"))) diagnostic_help(b->diagnostics, d, "%s", help);
    return false;
}

static const char *another_name(const Binder *b, const char *name) {
    for (int n = 2;; n++) {
        const char *other = arena_format(b->arena, "%s %d", name, n);
        if (!bind_named(b, -1, other)) return other;
    }
}

static void name_is_taken(Binder *b, const TreeEntry *entry, const char *what, const Named *first) {
    if (text_equal(first->what, "puppet of the book")) {
        Diagnostic *d =
            diagnostics_error(b->diagnostics, entry->word_span,
                              "a %s called `%s`, which is a puppet of the book", what, entry->word);
        diagnostic_note(b->diagnostics, d, first->span, "the puppet");
        diagnostic_help(b->diagnostics, d, "a puppet is put on the set under `puppets`");
        return;
    }
    Diagnostic *d =
        diagnostics_error(b->diagnostics, entry->word_span, "a second thing called `%s`", entry->word);
    diagnostic_note(b->diagnostics, d, first->span, "the first is a %s", first->what);
    diagnostic_help(b->diagnostics, d, "give one of them another name, such as `%s`",
                    another_name(b, entry->word));
}

bool bind_name(Binder *b, const TreeEntry *entry, const char *what, NameKind kind, int shot, int thing,
               int cast) {
    if (!name_is_sound(b, entry, what)) return false;
    for (size_t i = 0; i < b->names.count; i++) {
        const Named *first = &b->names.items[i];
        if (!text_equal(first->name, entry->word) || (first->shot >= 0 && shot >= 0 && first->shot != shot))
            continue;
        const bool puppet_of_cast =
            text_equal(what, "puppet") && text_equal(first->what, "puppet of the book");
        if (puppet_of_cast) continue;
        name_is_taken(b, entry, what, first);
        return false;
    }
    LIST_PUSH(b->arena, b->names, (Named){entry->word, what, kind, entry->word_span, shot, thing, cast});
    return true;
}

const Tree *bind_text(const Tree *table, const char *word) {
    const Tree *value = table ? tree_find(table, word) : NULL;
    return value && value->kind == TREE_TEXT ? value : NULL;
}

int bind_choice(Binder *b, const Tree *table, const char *word, ChoiceId choice, int fallback) {
    const Tree *value = bind_text(table, word);
    if (!value) return fallback;
    const char *const *choices = vocabulary_choices(choice);
    size_t count = 0;
    for (; choices[count]; count++) {
        if (text_equal(choices[count], value->text)) return (int)count;
    }
    Buffer list = buffer_new(b->arena);
    for (size_t i = 0; i < count; i++)
        buffer_format(&list, "%s`%s`", i == 0 ? "" : i + 1 == count ? " or " : ", ", choices[i]);
    Diagnostic *d =
        diagnostics_error(b->diagnostics, value->span, "%s is %s", bind_where(b, word), buffer_text(&list));
    const char *near = text_nearest(value->text, choices, count);
    if (near) diagnostic_help(b->diagnostics, d, "did you mean `%s`?", near);
    return -1;
}
