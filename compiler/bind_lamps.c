/* Lamps of a scene, and the circuits of the book that feed them. Their names are their own: a flat may be
 * called `wall` beside a circuit of that name. References read them as `lamps.key.up`. */
#include "base/text.h"
#include "bind.h"

static void bind_circuit(Binder *b, const TreeEntry *entry) {
    const char *owner = arena_format(b->arena, "circuits.%s", entry->word);
    LIST_PUSH(
        b->arena, b->circuits,
        ((Circuit){.name = entry->word,
                   .span = entry->word_span,
                   .amps = bind_word_in(b, SCOPE_BOOK, SECTION_CIRCUIT, entry->value, "amps", owner),
                   .volts = bind_word_in(b, SCOPE_BOOK, SECTION_CIRCUIT, entry->value, "volts", owner)}));
    bind_needs(b, SECTION_CIRCUIT, entry->value, entry->word_span);
}

/* A circuit that could not be read is there all the same, so that lamps on it are not said to be on none. */
static void bind_unread_circuit(Binder *b, const TreeEntry *entry) {
    const int slot = bind_hidden_slot(b, "circuits", KIND_CURRENT, false);
    LIST_PUSH(b->arena, b->circuits,
              ((Circuit){.name = entry->word, .span = entry->word_span, .amps = slot, .volts = slot}));
}

void bind_circuits(Binder *b, const Tree *book) {
    const Tree *table = bind_table(book, "circuits");
    bind_enter(b, "circuits");
    for (size_t i = 0; table && i < table->count; i++) {
        bind_enter(b, table->entries[i].word);
        if (table->entries[i].value->kind == TREE_TABLE)
            bind_circuit(b, &table->entries[i]);
        else
            bind_unread_circuit(b, &table->entries[i]);
        bind_leave(b);
    }
    bind_leave(b);
}

static int circuit_of(Binder *b, const Tree *table, Span *span) {
    const Tree *value = bind_text(table, "circuit");
    if (!value) return -1;
    *span = value->span;
    const char **names = ARENA_ARRAY(b->arena, const char *, b->circuits.count);
    for (size_t i = 0; i < b->circuits.count; i++) {
        names[i] = b->circuits.items[i].name;
        if (text_equal(names[i], value->text)) return (int)i;
    }
    return bind_no_such(b, value, "the book", "circuit", names, b->circuits.count);
}

static void bind_lamp(Binder *b, const TreeEntry *entry) {
    const Tree *table = entry->value, *at = bind_table(table, "at");
    const char *owner = arena_format(b->arena, "lamps.%s", entry->word);
    Lamp lamp = {.name = entry->word, .span = entry->word_span};
    lamp.watts = bind_word(b, SECTION_LAMP, table, "watts", owner);
    bind_enter(b, "at");
    lamp.across = bind_word(b, SECTION_AT, at, "across", arena_format(b->arena, "%s.at", owner));
    lamp.back = bind_word(b, SECTION_AT, at, "back", arena_format(b->arena, "%s.at", owner));
    bind_leave(b);
    lamp.up = bind_word(b, SECTION_LAMP, table, "up", owner);
    lamp.colour = bind_word(b, SECTION_LAMP, table, "colour", owner);
    lamp.clear = bind_word(b, SECTION_LAMP, table, "clear", owner);
    lamp.circuit = circuit_of(b, table, &lamp.circuit_span);
    LIST_PUSH(b->arena, b->lamps, lamp);
    bind_needs(b, SECTION_LAMP, table, entry->word_span);
}

void bind_lamps(Binder *b, const Tree *scene) {
    const Tree *table = bind_table(scene, "lamps");
    b->scene->floor_top = bind_slot(b, SCOPE_SET, "floor.top", KIND_LENGTH, false);
    bind_enter(b, "lamps");
    for (size_t i = 0; table && i < table->count; i++) {
        bind_enter(b, table->entries[i].word);
        if (table->entries[i].value->kind == TREE_TABLE) bind_lamp(b, &table->entries[i]);
        bind_leave(b);
    }
    bind_leave(b);
}
