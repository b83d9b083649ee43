#include "bind.h"

#include "base/text.h"
#include "phrase.h"

#include <assert.h>
#include <string.h>

Diagnostics *bind_list(Binder *b, Span span) {
    if (b->quiet) return &b->nowhere;
    return span.file == 0 ? b->of_book : b->diagnostics;
}

/* --- the way to where we are --------------------------------------------------------------------------- */

void bind_enter(Binder *b, const char *word) {
    assert(b->depth < PATH_MOST);
    b->path[b->depth++] = word;
}

void bind_leave(Binder *b) {
    assert(b->depth > 0);
    b->depth--;
}

/* Whether a word at the end of the path was written in this table. */
static bool is_in(const Binder *b, const OwnTable *own, const char *word) {
    const Tree *tree = own->table;
    for (size_t i = own->depth; tree && i < b->depth; i++)
        tree = tree_find(tree, b->path[i]);
    return tree && (!word || tree_find(tree, word));
}

bool bind_is_own(const Binder *b, const char *word) {
    return !b->own_thing.table || is_in(b, &b->own_thing, word);
}

const char *bind_where(const Binder *b, const char *word) {
    const char *path[PATH_MOST + 1];
    /* What a shot has from the scene stands there, not in the shot. */
    const size_t skipped = b->own_shot.table && !is_in(b, &b->own_shot, word) ? b->own_shot.depth : 0;
    size_t count = 0;
    for (size_t i = skipped; i < b->depth; i++)
        path[count++] = b->path[i];
    if (word) path[count++] = word;
    return phrase_of_path(b->arena, path, count);
}

/* --- keys ---------------------------------------------------------------------------------------------- */

static size_t hash_of(int scope, const char *path) {
    size_t hash = 14695981039346656037u ^ (size_t)(scope + 8);
    for (const char *c = path; *c; c++)
        hash = (hash ^ (unsigned char)*c) * 1099511628211u;
    return hash ^ hash >> 29;
}

static PathKey *key_place(PathKey *keys, size_t capacity, int scope, const char *path) {
    size_t i = hash_of(scope, path) & (capacity - 1);
    while (keys[i].path && (keys[i].scope != scope || strcmp(keys[i].path, path) != 0))
        i = (i + 1) & (capacity - 1);
    return &keys[i];
}

void bind_key(Binder *b, int scope, const char *path, int value) {
    if (2 * (b->key_count + 1) > b->key_capacity) {
        const size_t capacity = b->key_capacity ? 2 * b->key_capacity : 1024;
        PathKey *keys = ARENA_ARRAY(b->arena, PathKey, capacity);
        for (size_t i = 0; i < b->key_capacity; i++) {
            if (b->keys[i].path) *key_place(keys, capacity, b->keys[i].scope, b->keys[i].path) = b->keys[i];
        }
        b->keys = keys;
        b->key_capacity = capacity;
    }
    PathKey *key = key_place(b->keys, b->key_capacity, scope, path);
    b->key_count += !key->path;
    *key = (PathKey){path, scope, value};
}

int bind_key_find(const Binder *b, int scope, const char *path) {
    if (b->key_capacity == 0) return -1;
    const PathKey *key = key_place(b->keys, b->key_capacity, scope, path);
    return key->path ? key->value : -1;
}

int bind_find(const Binder *b, int shot, const char *path) {
    const int order[] = {shot, SCOPE_SET, 0, SCOPE_BOOK};
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        const int slot = bind_key_find(b, order[i], path);
        if (slot >= 0) return slot;
    }
    return -1;
}

/* --- slots --------------------------------------------------------------------------------------------- */

int bind_hidden_slot(Binder *b, const char *path, QuantityKind kind, bool on_drawing) {
    const int slot = (int)b->slots.count;
    const bool px = on_drawing && b->drawing_in_pixels && kind == KIND_LENGTH;
    LIST_PUSH(b->arena, b->slots,
              (Slot){.path = path,
                     .kind = px ? KIND_PIXELS : kind,
                     .on_drawing = on_drawing,
                     .thing = -1,
                     .shot = b->current_shot});
    return slot;
}

int bind_slot(Binder *b, int scope, const char *path, QuantityKind kind, bool on_drawing) {
    const int slot = bind_hidden_slot(b, path, kind, on_drawing);
    bind_key(b, scope, path, slot);
    return slot;
}

void bind_state(Binder *b, int slot, const Tree *value, Span word_span) {
    Slot *it = &b->slots.items[slot];
    it->stated = true;
    it->faulty = true;
    it->word_span = word_span;
    it->formula.text = value->kind == TREE_TEXT ? value->text : "";
    it->formula.span = value->span;
}

void bind_later(Binder *b, const Tree *value, const char *word, QuantitySlot wants, const int *slots,
                int count) {
    if (value->kind != TREE_TEXT) return; /* said already; the slot stays faulty */
    const bool drawn = wants.place == PLACE_ON_DRAWING;
    Pending pending = {.value = value,
                       .wants = wants,
                       .count = count,
                       .where = bind_where(b, word),
                       .shot = b->current_shot,
                       .quiet = b->quiet || !bind_is_own(b, word),
                       .no_drawing = drawn && b->no_drawing};
    for (int i = 0; i < count; i++)
        pending.slots[i] = slots[i];
    if (b->no_depth && wants.place == PLACE_DEPTH_KNOWN) {
        pending.wants.place = PLACE_NO_DEPTH;
        pending.wants.of_camera = true; /* a drawn foot is no way out either */
    }
    pending.wants.drawing_in_pixels = wants.drawing_in_pixels && b->drawing_in_pixels;
    if (drawn && pending.wants.drawing_in_pixels && wants.kind == KIND_LENGTH)
        pending.wants.kind = KIND_PIXELS;
    LIST_PUSH(b->arena, b->pending, pending);
}

int bind_word_in(Binder *b, int scope, SectionId section, const Tree *table, const char *word,
                 const char *owner) {
    const WordRow *row = vocabulary_find(section, word);
    const char *path = arena_format(b->arena, "%s.%s", owner, word);
    const int slot = bind_slot(b, scope, path, row->slot.kind, row->slot.place == PLACE_ON_DRAWING);
    const TreeEntry *entry = tree_entry(table, word);
    if (!entry) return slot;
    bind_state(b, slot, entry->value, entry->word_span);
    bind_later(b, entry->value, word, row->slot, &slot, 1);
    return slot;
}

int bind_word(Binder *b, SectionId section, const Tree *table, const char *word, const char *owner) {
    return bind_word_in(b, b->current_shot, section, table, word, owner);
}

void bind_pair(Binder *b, SectionId section, const Tree *table, const char *word, const char *owner,
               const char *first, const char *second, int slots[2]) {
    const WordRow *row = vocabulary_find(section, word);
    const TreeEntry *entry = tree_entry(table, word);
    for (int i = 0; i < 2; i++) {
        const char *path = arena_format(b->arena, "%s.%s", owner, i == 0 ? first : second);
        slots[i] = bind_hidden_slot(b, path, row->slot.kind, false);
        if (entry) bind_state(b, slots[i], entry->value, entry->word_span);
    }
    if (entry) bind_later(b, entry->value, word, row->slot, slots, 2);
}

/* --- reading ------------------------------------------------------------------------------------------- */

static bool parse_into(const Pending *pending, NamesScope *scope, Diagnostics *list, Quantity *quantity) {
    QuantityNames names = bind_quantity_names;
    names.context = scope;
    scope->poisoned = false;
    return quantity_parse(scope->binder->arena, pending->value->text, pending->value->span,
                          pending->value->quoted, &pending->wants, pending->where, &names, list, quantity);
}

/* Faults of a text that speaks of something faulty may come from that, so it is first read aside. */
static bool read_quantity(Binder *b, const Pending *pending, Quantity *quantity) {
    NamesScope scope = {b, pending->shot, &pending->wants, false};
    const bool sound = parse_into(pending, &scope, &b->nowhere, quantity);
    if (scope.poisoned) return false;
    if (!sound && !pending->quiet) parse_into(pending, &scope, bind_list(b, pending->value->span), quantity);
    return sound;
}

static bool has_drawing(Binder *b, const Pending *pending) {
    if (!pending->no_drawing) return true;
    if (pending->quiet) return false;
    Diagnostics *list = bind_list(b, pending->value->span);
    Diagnostic *d = diagnostics_error_once(list, "no drawing", pending->value->span,
                                           "a length on the drawing, but the scene has no `drawing`");
    diagnostic_help(list, d, "add `drawing: {wide: 420 mm}`: the width of the drawing from trim to trim");
    return false;
}

void bind_pending(Binder *b) {
    b->quiet = false;
    for (size_t i = 0; i < b->pending.count; i++) {
        const Pending *pending = &b->pending.items[i];
        Quantity quantity;
        if (!read_quantity(b, pending, &quantity) || !has_drawing(b, pending)) continue;
        for (int s = 0; s < pending->count; s++) {
            Slot *slot = &b->slots.items[pending->slots[s]];
            const int part = s < (int)quantity.count ? s : (int)quantity.count - 1;
            slot->formula = quantity.parts[part];
            if (slot->formula.kind == KIND_PIXELS && slot->on_drawing) slot->kind = KIND_PIXELS;
            slot->faulty = false;
        }
    }
}

/* --- values that are no quantities --------------------------------------------------------------------- */

const Tree *bind_table(const Tree *table, const char *word) {
    const Tree *value = tree_find(table, word);
    return value && value->kind == TREE_TABLE ? value : NULL;
}

const Tree *bind_text(const Tree *table, const char *word) {
    const Tree *value = tree_find(table, word);
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
    Buffer all = buffer_new(b->arena);
    for (size_t i = 0; i < count; i++)
        buffer_format(&all, "%s`%s`", i == 0 ? "" : i + 1 == count ? " or " : ", ", choices[i]);
    Diagnostics *list = bind_list(b, value->span);
    Diagnostic *d = diagnostics_error(list, value->span, "%s is %s", bind_where(b, word), buffer_text(&all));
    const char *near = text_nearest(value->text, choices, count);
    if (near) diagnostic_help(list, d, "did you mean `%s`?", near);
    return -1;
}

bool bind_all_words_known(SectionId section, const Tree *table) {
    for (size_t i = 0; i < table->count; i++) {
        if (!vocabulary_find(section, table->entries[i].word)) return false;
    }
    return true;
}

bool bind_may_be_misspelt(SectionId section, const Tree *table, const char *word) {
    const char *words[SECTION_WORDS_MOST];
    const size_t count = vocabulary_list(section, words, SECTION_WORDS_MOST);
    for (size_t i = 0; table && table->kind == TREE_TABLE && i < table->count; i++) {
        const char *written = table->entries[i].word;
        const char *near = vocabulary_find(section, written) ? NULL : text_nearest(written, words, count);
        if (near && text_equal(near, word)) return true;
    }
    return false;
}

void bind_missing(Binder *b, Span span, const char *const *words, size_t count, const char *help) {
    Buffer list = buffer_new(b->arena);
    for (size_t i = 0; i < count; i++)
        buffer_format(&list, "%s`%s`", i == 0 ? "" : i + 1 == count ? " and " : ", ", words[i]);
    Diagnostics *diagnostics = bind_list(b, span);
    Diagnostic *d = diagnostics_error(diagnostics, span, "%s of %s %s missing", buffer_text(&list),
                                      bind_where(b, NULL), count == 1 ? "is" : "are");
    if (help) diagnostic_help(diagnostics, d, "%s", help);
}

void bind_needs(Binder *b, SectionId section, const Tree *table, Span name_span) {
    const char *missing[SECTION_WORDS_MOST];
    size_t count = 0;
    if (!bind_all_words_known(section, table)) return;
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        const WordRow *row = &vocabulary_words[i];
        if (row->section == section && row->needed && !tree_find(table, row->word))
            missing[count++] = row->word;
    }
    if (count > 0) bind_missing(b, name_span, missing, count, NULL);
}
