/* What all things have in common; ground, base and backdrop. */
#include "base/text.h"
#include "bind.h"

#include <string.h>

enum { THINGS_MOST = 10000 };

Thing bind_blank_thing(ThingRole role, ThingShape shape, const char *name, Span span) {
    return (Thing){.role = role,
                   .shape = shape,
                   .name = name,
                   .span = span,
                   .shot = SCOPE_SET,
                   .cast = -1,
                   .stock = -1,
                   .weighs = -1,
                   .atop = -1,
                   .parent = -1,
                   .like = -1,
                   .image = -1};
}

/* Slots that no reference reads still have a path, for messages. */
static int field_slot(Binder *b, const Thing *thing, Field field, const char *owner) {
    const ReadableRow *row = vocabulary_readable_as(thing->role, field);
    if (row)
        return bind_slot(b, thing->shot, arena_format(b->arena, "%s.%s", owner, row->words), row->kind,
                         row->on_drawing);
    const bool foot = field == FIELD_DRAWN_X || field == FIELD_DRAWN_Y;
    QuantityKind kind = KIND_LENGTH;
    bool on_drawing = foot;
    for (size_t i = 0; i < vocabulary_readable_count; i++) {
        if (vocabulary_readable[i].field != field) continue;
        kind = vocabulary_readable[i].kind;
        on_drawing = vocabulary_readable[i].on_drawing;
    }
    return bind_hidden_slot(b, foot ? arena_format(b->arena, "%s.drawn.foot", owner) : owner, kind,
                            on_drawing);
}

int bind_thing(Binder *b, Thing thing, const char *owner) {
    const int index = (int)b->things.count;
    if (index == THINGS_MOST) {
        diagnostics_error_once(bind_list(b, thing.span), "too many things", thing.span,
                               "more than %d things in one scene", THINGS_MOST);
        b->unsure = true;
        return -1;
    }
    for (int f = 0; f < FIELD_COUNT; f++) {
        thing.slot[f] = field_slot(b, &thing, (Field)f, owner);
        b->slots.items[thing.slot[f]].thing = index;
        b->slots.items[thing.slot[f]].field = (Field)f;
    }
    LIST_PUSH(b->arena, b->things, thing);
    return index;
}

/* --- words of things ----------------------------------------------------------------------------------- */

static void bind_field(Binder *b, int thing, Field field, SectionId section, const TreeEntry *entry) {
    const int slot = b->things.items[thing].slot[field];
    bind_state(b, slot, entry->value, entry->word_span);
    if (entry->value->kind != TREE_TEXT) b->things.items[thing].faulty = true;
    bind_later(b, entry->value, entry->word, vocabulary_find(section, entry->word)->slot, &slot, 1);
}

void bind_fields(Binder *b, int thing, SectionId section, const Tree *table, const FieldWord *words,
                 size_t count) {
    for (size_t i = 0; i < count; i++) {
        const TreeEntry *entry = tree_entry(table, words[i].word);
        if (entry && vocabulary_find(section, entry->word))
            bind_field(b, thing, words[i].field, section, entry);
    }
}

void bind_place(Binder *b, int thing, const Tree *table, SectionId section) {
    static const FieldWord words[] = {{"across", FIELD_ACROSS}, {"back", FIELD_BACK}, {"up", FIELD_UP}};
    bind_enter(b, "at");
    bind_fields(b, thing, section, bind_table(table, "at"), words, sizeof words / sizeof *words);
    bind_leave(b);
}

static void bind_drawn_foot(Binder *b, int thing, const TreeEntry *foot) {
    const QuantitySlot wants = {.kind = KIND_LENGTH, .place = PLACE_ON_DRAWING, .drawing_in_pixels = true};
    if (foot->value->kind == TREE_TABLE || foot->value->kind == TREE_TEXT) return; /* said by check_words */
    for (size_t i = 0; i < 2; i++) {
        const int slot = b->things.items[thing].slot[i == 0 ? FIELD_DRAWN_X : FIELD_DRAWN_Y];
        const bool whole = foot->value->kind == TREE_LIST && foot->value->count == 2;
        bind_state(b, slot, whole ? foot->value->items[i] : foot->value, foot->word_span);
        if (whole) bind_later(b, foot->value->items[i], "foot", wants, &slot, 1);
    }
}

void bind_drawn(Binder *b, int thing, const Tree *table) {
    static const FieldWord words[] = {{"tall", FIELD_DRAWN_TALL}, {"wide", FIELD_DRAWN_WIDE}};
    const Tree *drawn = bind_table(table, "drawn");
    const TreeEntry *foot = tree_entry(drawn, "foot");
    bind_enter(b, "drawn");
    bind_fields(b, thing, SECTION_DRAWN, drawn, words, sizeof words / sizeof *words);
    if (foot) bind_drawn_foot(b, thing, foot);
    bind_leave(b);
}

/* `up` and `atop` both say how high a thing stands. */
static void not_both(Binder *b, const Tree *table, const char *name) {
    const TreeEntry *up = tree_entry(table, "up"), *atop = tree_entry(table, "atop");
    if (!up || !atop) return;
    const bool swapped = span_compare(atop->word_span, up->word_span) < 0;
    const TreeEntry *first = swapped ? atop : up, *second = swapped ? up : atop;
    Diagnostics *list = bind_list(b, second->word_span);
    Diagnostic *d = diagnostics_error(list, second->word_span, "`%s` and `%s` both say how high `%s` stands",
                                      first->word, second->word, name);
    diagnostic_note(list, d, first->word_span, "the other");
    diagnostic_help(list, d, "leave one of the two out");
}

void bind_atop(Binder *b, int thing, const Tree *table) {
    const Tree *value = bind_text(table, "atop");
    if (!value) return;
    not_both(b, table, b->things.items[thing].name);
    b->things.items[thing].atop_span = value->span;
    LIST_PUSH(b->arena, b->atops, (AtopName){thing, value, bind_where(b, "atop"), b->current_shot, b->quiet});
}

static void bind_split(Binder *b, int thing, const Tree *table) {
    const Tree *value = bind_text(table, "split");
    const bool quiet = b->quiet;
    b->quiet |= !bind_is_own(b, "split");
    if (value && bind_choice(b, table, "split", CHOICE_SPLIT, 0) == 1) {
        b->things.items[thing].whole = true;
        b->things.items[thing].whole_span = value->span;
    }
    b->quiet = quiet;
}

Fixing bind_fixed(Binder *b, const Tree *table, Fixing absent) {
    const bool quiet = b->quiet;
    b->quiet |= !bind_is_own(b, "fixed");
    const int choice = bind_choice(b, table, "fixed", CHOICE_FIXED, (int)absent);
    b->quiet = quiet;
    return choice < 0 ? absent : (Fixing)choice;
}

static bool is_named_twice(Binder *b, const ThingLayer *layers, size_t count, const Tree *item, int stock) {
    for (size_t i = 0; i < count; i++) {
        if (layers[i].stock != stock) continue;
        Diagnostics *list = bind_list(b, item->span);
        Diagnostic *d = diagnostics_error(list, item->span, "stock `%s` is named twice, in %s", item->text,
                                          bind_where(b, "stock"));
        diagnostic_note(list, d, layers[i].span, "the first time");
        return true;
    }
    return false;
}

/* A list of one is that one. With a fault there is no stock, and nothing is cut. */
static void bind_layers(Binder *b, Thing *thing, const Tree *list) {
    ThingLayer *layers = ARENA_ARRAY(b->arena, ThingLayer, list->count);
    size_t count = 0;
    for (size_t i = 0; i < list->count; i++) {
        const Tree *item = list->items[i];
        const int stock = item->kind == TREE_TEXT ? bind_stock_named(b, item) : -1;
        if (stock < 0 || is_named_twice(b, layers, count, item, stock)) continue;
        layers[count++] = (ThingLayer){stock, item->span};
    }
    if (count < list->count || count == 0 || count > LAYER_STOCKS_MOST) return;
    thing->stock = layers[0].stock;
    thing->stock_span = layers[0].span;
    if (count == 1) return;
    thing->layers = layers;
    thing->layer_count = count;
}

void bind_weighs(Binder *b, int thing, SectionId section, const Tree *table) {
    const char *path = arena_format(b->arena, "%s.weighs", b->things.items[thing].name);
    const TreeEntry *entry = tree_entry(table, "weighs");
    const int slot = bind_hidden_slot(b, path, KIND_MASS, false);
    b->things.items[thing].weighs = slot;
    if (!entry) return;
    bind_state(b, slot, entry->value, entry->word_span);
    bind_later(b, entry->value, "weighs", vocabulary_find(section, "weighs")->slot, &slot, 1);
}

void bind_thing_stock(Binder *b, int thing, const Tree *table) {
    const Tree *value = table ? tree_find(table, "stock") : NULL;
    Thing *it = &b->things.items[thing];
    const bool quiet = b->quiet;
    b->quiet |= !bind_is_own(b, "stock");
    if (value && value->kind == TREE_TEXT) {
        it->stock = bind_stock_named(b, value);
        it->stock_span = value->span;
    } else if (value && value->kind == TREE_LIST && it->role != ROLE_FLAT && it->role != ROLE_BACKDROP) {
        bind_layers(b, it, value);
    }
    b->quiet = quiet;
    bind_split(b, thing, table);
}

/* --- ground, base, backdrop ---------------------------------------------------------------------------- */

static void bind_mound(Binder *b, const TreeEntry *entry, ThingRole role, int ground) {
    static const FieldWord words[] = {{"wide", FIELD_WIDE}, {"deep", FIELD_DEEP}, {"tall", FIELD_TALL}};
    const Named named = {.name = entry->word,
                         .what = role == ROLE_MOUND ? "mound" : "hollow",
                         .span = entry->word_span,
                         .shot = SCOPE_SET,
                         .thing = (int)b->things.count,
                         .cast = -1};
    if (entry->value->kind != TREE_TABLE) {
        bind_faulty_name(b, entry->word, entry->word_span);
        return;
    }
    if (!bind_name(b, entry, &named)) return;
    Thing thing = bind_blank_thing(role, SHAPE_NONE, entry->word, entry->word_span);
    thing.parent = ground;
    thing.faulty = !bind_all_words_known(SECTION_MOUND, entry->value);
    const int index = bind_thing(b, thing, entry->word);
    if (index < 0) return;
    bind_fields(b, index, SECTION_MOUND, entry->value, words, sizeof words / sizeof *words);
    bind_place(b, index, entry->value, SECTION_AT);
    bind_needs(b, SECTION_MOUND, entry->value, entry->word_span);
}

static void bind_mounds(Binder *b, const Tree *ground, const char *section, ThingRole role, int index) {
    const Tree *mounds = bind_table(ground, section);
    bind_enter(b, section);
    for (size_t i = 0; mounds && i < mounds->count; i++) {
        bind_enter(b, mounds->entries[i].word);
        bind_mound(b, &mounds->entries[i], role, index);
        bind_leave(b);
    }
    bind_leave(b);
}

static void bind_ground(Binder *b, const TreeEntry *entry) {
    static const FieldWord words[] = {
        {"front", FIELD_FRONT}, {"rear", FIELD_REAR}, {"margin", FIELD_MARGIN}, {"thick", FIELD_THICK}};
    const Tree *table = entry && entry->value->kind == TREE_TABLE ? entry->value : NULL;
    const Span span = entry ? entry->word_span : b->scene->span;
    const int index = bind_thing(b, bind_blank_thing(ROLE_GROUND, SHAPE_NONE, "ground", span), "ground");
    bind_enter(b, "ground");
    bind_fields(b, index, SECTION_GROUND, table, words, sizeof words / sizeof *words);
    bind_thing_stock(b, index, table);
    bind_mounds(b, table, "mounds", ROLE_MOUND, index);
    bind_mounds(b, table, "hollows", ROLE_HOLLOW, index);
    bind_leave(b);
}

void bind_level_things(Binder *b, const Tree *scene) {
    static const FieldWord words[] = {{"lip", FIELD_LIP}, {"thick", FIELD_THICK}};
    const TreeEntry *base = tree_entry(scene, "base");
    bind_ground(b, tree_entry(scene, "ground"));
    if (!base && !b->book_alone) return;
    const Tree *table = bind_table(scene, "base");
    const Span span = base ? base->word_span : b->scene->span;
    const int index = bind_thing(b, bind_blank_thing(ROLE_BASE, SHAPE_NONE, "base", span), "base");
    if (index < 0) return;
    bind_enter(b, "base");
    bind_fields(b, index, SECTION_BASE, table, words, sizeof words / sizeof *words);
    bind_thing_stock(b, index, table);
    bind_leave(b);
}

void bind_backdrop(Binder *b, const Tree *scene) {
    static const FieldWord words[] = {
        {"wide", FIELD_WIDE}, {"tall", FIELD_TALL}, {"thick", FIELD_THICK}, {"up", FIELD_UP}};
    const TreeEntry *entry = tree_entry(scene, "backdrop");
    if (!entry && !b->book_alone) return;
    const Tree *table = bind_table(scene, "backdrop");
    const Span span = entry ? entry->word_span : b->scene->span;
    Thing thing = bind_blank_thing(ROLE_BACKDROP, SHAPE_PANEL, "backdrop", span);
    thing.faulty = !table || !bind_all_words_known(SECTION_BACKDROP, table);
    const int index = bind_thing(b, thing, "backdrop");
    if (index < 0) return;
    bind_enter(b, "backdrop");
    bind_fields(b, index, SECTION_BACKDROP, table, words, sizeof words / sizeof *words);
    bind_place(b, index, table, SECTION_AT);
    bind_drawn(b, index, table);
    bind_weighs(b, index, SECTION_BACKDROP, table);
    b->things.items[index].fixed = bind_fixed(b, table, FIXED_OFF);
    bind_thing_stock(b, index, table);
    bind_leave(b);
}

/* --- what stands on what ------------------------------------------------------------------------------- */

/* Why nothing can be put on a thing of this role; NULL: it can. */
static const char *no_place_for_things(ThingRole role, const char **help) {
    *help = "leave `atop` out: where a thing stands decides what is under it";
    switch (role) {
    case ROLE_GROUND:
    case ROLE_BASE:
    case ROLE_MOUND:
    case ROLE_HOLLOW:
        return "things stand on the ground unless they say otherwise, mounds and hollows included";
    case ROLE_BACKDROP:
    case ROLE_OPENING:
        *help = NULL;
        return "nothing can stand on it";
    case ROLE_PUPPET:
    case ROLE_PIECE:
    case ROLE_FLAT:
    case ROLE_COUNT:
        break;
    }
    return NULL;
}

static void find_atop(Binder *b, const AtopName *it) {
    Thing *thing = &b->things.items[it->thing];
    const int under = bind_thing_named(b, it->shot, it->value, it->where);
    thing->atop = under;
    thing->faulty |= under < 0;
    if (under < 0) return;
    const char *help = NULL;
    const char *why = under == it->thing ? "it cannot stand on itself"
                                         : no_place_for_things(b->things.items[under].role, &help);
    if (!why) return;
    Diagnostics *list = bind_list(b, it->value->span);
    Diagnostic *d =
        diagnostics_error(list, it->value->span, "`%s` in %s: %s", it->value->text, it->where, why);
    if (help) diagnostic_help(list, d, "%s", help);
    thing->atop = -1;
    thing->faulty = true;
}

void bind_atops(Binder *b) {
    for (size_t i = 0; i < b->atops.count; i++) {
        b->quiet = b->atops.items[i].quiet;
        find_atop(b, &b->atops.items[i]);
    }
    b->quiet = false;
}
