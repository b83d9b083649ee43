/* Things on the set: ground and base, puppets, pieces, flats with openings, the backdrop. */
#include "base/text.h"
#include "bind.h"
#include "phrase.h"

#include <string.h>

enum { THINGS_MOST = 10000 };

/* The word of each field, as references write it; NULL: cannot be referred to. */
static const char *const field_paths[FIELD_COUNT] = {[FIELD_WIDE] = "wide",
                                                     [FIELD_TALL] = "tall",
                                                     [FIELD_DEEP] = "deep",
                                                     [FIELD_THICK] = "thick",
                                                     [FIELD_EYES] = "eyes",
                                                     [FIELD_ACROSS] = "at.across",
                                                     [FIELD_BACK] = "at.back",
                                                     [FIELD_UP] = "up",
                                                     [FIELD_TURN] = "turn",
                                                     [FIELD_DRAWN_X] = "drawn.foot across",
                                                     [FIELD_DRAWN_Y] = "drawn.foot up",
                                                     [FIELD_DRAWN_TALL] = "drawn.tall",
                                                     [FIELD_DRAWN_WIDE] = "drawn.wide",
                                                     [FIELD_COUNT_OF] = "row.count",
                                                     [FIELD_EVERY] = "row.every",
                                                     [FIELD_STEPS] = "steps",
                                                     [FIELD_MARGIN] = "margin",
                                                     [FIELD_LIP] = "lip",
                                                     [FIELD_LEFT] = "left",
                                                     [FIELD_RIGHT] = "right",
                                                     [FIELD_FRONT] = "front",
                                                     [FIELD_REAR] = "rear",
                                                     [FIELD_TOP] = "top",
                                                     [FIELD_FOOT] = "foot"};

static QuantityKind kind_of_field(Field field) {
    return field == FIELD_TURN                               ? KIND_TURN
           : field == FIELD_COUNT_OF || field == FIELD_STEPS ? KIND_NUMBER
                                                             : KIND_LENGTH;
}

static int new_thing(Binder *b, Thing thing, const char *owner) {
    const int index = (int)b->things.count;
    if (index == THINGS_MOST)
        diagnostics_error(b->diagnostics, thing.span, "more than %d things in one scene", THINGS_MOST);
    for (int f = 0; f < FIELD_COUNT; f++) {
        const bool on_drawing = f >= FIELD_DRAWN_X && f <= FIELD_DRAWN_WIDE;
        const char *path = arena_format(b->arena, "%s.%s", owner, field_paths[f]);
        thing.slot[f] = bind_slot(b, thing.shot, path, kind_of_field((Field)f), on_drawing);
        b->slots.items[thing.slot[f]].thing = index;
        b->slots.items[thing.slot[f]].field = (Field)f;
    }
    LIST_PUSH(b->arena, b->things, thing);
    return index;
}

static Thing blank_thing(ThingRole role, ThingShape shape, const char *name, Span span) {
    return (Thing){.role = role,
                   .shape = shape,
                   .name = name,
                   .span = span,
                   .shot = -1,
                   .cast = -1,
                   .stock = -1,
                   .atop = -1,
                   .parent = -1,
                   .like = -1,
                   .image = -1};
}

/* States a field from an entry and puts its text aside. */
static void state_field(Binder *b, int thing, Field field, SectionId section, const TreeEntry *entry) {
    const WordRow *row = vocabulary_find(section, entry->word);
    const int slot = b->things.items[thing].slot[field];
    bind_state(b, slot, entry->value, entry->word_span);
    if (entry->value->kind != TREE_TEXT) {
        b->things.items[thing].faulty = true;
        return;
    }
    bind_enter(b, entry->word);
    bind_later(b, entry->value, row->slot, &slot, 1);
    bind_leave(b);
}

typedef struct FieldWord {
    const char *word;
    Field field;
} FieldWord;

static void state_fields(Binder *b, int thing, SectionId section, const Tree *table, const FieldWord *words,
                         size_t count) {
    for (size_t i = 0; table && i < count; i++) {
        const TreeEntry *entry = tree_entry(table, words[i].word);
        if (entry && vocabulary_find(section, entry->word))
            state_field(b, thing, words[i].field, section, entry);
    }
}

static const Tree *inner_table(const Tree *table, const char *word) {
    const Tree *inner = table ? tree_find(table, word) : NULL;
    return inner && inner->kind == TREE_TABLE ? inner : NULL;
}

static void state_place(Binder *b, int thing, const Tree *table, SectionId section) {
    static const FieldWord words[] = {{"across", FIELD_ACROSS}, {"back", FIELD_BACK}, {"up", FIELD_UP}};
    bind_enter(b, "at");
    state_fields(b, thing, section, inner_table(table, "at"), words, 3);
    bind_leave(b);
}

static void state_drawn(Binder *b, int thing, const Tree *table) {
    static const FieldWord words[] = {{"tall", FIELD_DRAWN_TALL}, {"wide", FIELD_DRAWN_WIDE}};
    const Tree *drawn = inner_table(table, "drawn");
    if (!drawn) return;
    bind_enter(b, "drawn");
    state_fields(b, thing, SECTION_DRAWN, drawn, words, 2);
    const TreeEntry *foot = tree_entry(drawn, "foot");
    if (foot && foot->value->kind == TREE_LIST && foot->value->count == 2) {
        const QuantitySlot wants = {
            .kind = KIND_LENGTH, .place = PLACE_ON_DRAWING, .drawing_in_pixels = true};
        bind_enter(b, "foot");
        for (int i = 0; i < 2; i++) {
            const int slot = b->things.items[thing].slot[i == 0 ? FIELD_DRAWN_X : FIELD_DRAWN_Y];
            bind_state(b, slot, foot->value->items[i], foot->word_span);
            if (foot->value->items[i]->kind == TREE_TEXT)
                bind_later(b, foot->value->items[i], wants, &slot, 1);
        }
        bind_leave(b);
    }
    bind_leave(b);
}

static void state_atop(Binder *b, int thing, const Tree *table) {
    const Tree *value = bind_text(table, "atop");
    if (!value) return;
    b->things.items[thing].atop_span = value->span;
    LIST_PUSH(b->arena, b->atops, (AtopName){thing, value, b->current_shot});
}

static void state_stock(Binder *b, int thing, const Tree *table) {
    Span span = {0};
    const int stock = bind_stock_name(b, table, &span);
    b->things.items[thing].stock = stock;
    b->things.items[thing].stock_span = span;
}

/* Whether every word of the table is one of the section's: if not, what seems to be missing may be misspelt
 * (rule 3). */
static bool all_words_known(SectionId section, const Tree *table) {
    for (size_t i = 0; i < table->count; i++) {
        if (!vocabulary_find(section, table->entries[i].word)) return false;
    }
    return true;
}

/* --- ground and base
 * ------------------------------------------------------------------------------------------ */

static void bind_mounds(Binder *b, const Tree *ground, const char *section, ThingRole role, int parent) {
    const Tree *mounds = inner_table(ground, section);
    static const FieldWord words[] = {{"wide", FIELD_WIDE}, {"deep", FIELD_DEEP}, {"tall", FIELD_TALL}};
    bind_enter(b, section);
    for (size_t i = 0; mounds && i < mounds->count; i++) {
        const TreeEntry *entry = &mounds->entries[i];
        const char *what = role == ROLE_MOUND ? "mound" : "hollow";
        if (entry->value->kind != TREE_TABLE ||
            !bind_name(b, entry, what, NAME_THING, -1, (int)b->things.count, -1))
            continue;
        Thing thing = blank_thing(role, SHAPE_NONE, entry->word, entry->word_span);
        thing.parent = parent;
        thing.faulty = !all_words_known(SECTION_MOUND, entry->value);
        const int index = new_thing(b, thing, entry->word);
        bind_enter(b, entry->word);
        state_fields(b, index, SECTION_MOUND, entry->value, words, 3);
        state_place(b, index, entry->value, SECTION_AT);
        bind_leave(b);
    }
    bind_leave(b);
}

void bind_level_things(Binder *b, const Tree *scene) {
    static const FieldWord ground_words[] = {
        {"front", FIELD_FRONT}, {"rear", FIELD_REAR}, {"margin", FIELD_MARGIN}, {"thick", FIELD_THICK}};
    static const FieldWord base_words[] = {{"lip", FIELD_LIP}, {"thick", FIELD_THICK}};
    const TreeEntry *ground = tree_entry(scene, "ground"), *base = tree_entry(scene, "base");
    const Tree *words = inner_table(scene, "ground");
    const int index = new_thing(
        b, blank_thing(ROLE_GROUND, SHAPE_NONE, "ground", ground ? ground->word_span : b->scene->span),
        "ground");
    bind_enter(b, "ground");
    state_fields(b, index, SECTION_GROUND, words, ground_words, 4);
    if (words) state_stock(b, index, words);
    bind_mounds(b, words, "mounds", ROLE_MOUND, index);
    bind_mounds(b, words, "hollows", ROLE_HOLLOW, index);
    bind_leave(b);
    if (!base || base->value->kind != TREE_TABLE) return;
    const int board = new_thing(b, blank_thing(ROLE_BASE, SHAPE_NONE, "base", base->word_span), "base");
    bind_enter(b, "base");
    state_fields(b, board, SECTION_BASE, base->value, base_words, 2);
    state_stock(b, board, base->value);
    bind_leave(b);
}

/* --- puppets
 * -------------------------------------------------------------------------------------------------- */

/* Sizes are the cast member's, or the pose's where that states them. */
static void share_sizes(Binder *b, int index, const char *pose) {
    static const Field fields[] = {FIELD_TALL, FIELD_EYES, FIELD_WIDE, FIELD_DEEP};
    static const char *const words[] = {"tall", "eyes", "wide", "deep"};
    Thing *thing = &b->things.items[index];
    const CastMember *cast = &b->cast.items[thing->cast];
    const int standing[] = {cast->tall, cast->eyes, cast->wide, cast->deep};
    bool pose_is_taller = false;
    for (int i = 0; i < 4; i++) {
        int slot = standing[i];
        if (pose) {
            const int posed =
                bind_find(b, -1, arena_format(b->arena, "%s.poses.%s.%s", cast->name, pose, words[i]));
            const bool stated = posed >= 0 && b->slots.items[posed].stated;
            if (i == 0) pose_is_taller = stated;
            if (stated || (i == 1 && pose_is_taller)) slot = posed; /* its own height has its own eyes */
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
    Diagnostic *d = diagnostics_error(b->diagnostics, value->span, "puppet `%s` of the book has no pose `%s`",
                                      member->name, value->text);
    const char *near = text_nearest(value->text, member->pose_names, member->pose_count);
    if (near) diagnostic_help(b->diagnostics, d, "did you mean `%s`?", near);
    return NULL;
}

static int new_puppet(Binder *b, const char *name, Span span, int cast, const Tree *table) {
    static const FieldWord words[] = {{"up", FIELD_UP}, {"turn", FIELD_TURN}};
    Thing thing = blank_thing(ROLE_PUPPET, SHAPE_FIGURE, name, span);
    thing.shot = b->current_shot;
    thing.cast = cast;
    thing.pose = pose_of(b, cast, table);
    const int index = new_thing(b, thing, name);
    share_sizes(b, index, thing.pose);
    state_fields(b, index, SECTION_PUPPET, table, words, 2);
    state_place(b, index, table, SECTION_AT);
    state_drawn(b, index, table);
    state_atop(b, index, table);
    return index;
}

static void no_such_puppet(Binder *b, const TreeEntry *entry, const Tree *named) {
    const char *name = named ? named->text : entry->word;
    Diagnostic *d = diagnostics_error(b->diagnostics, named ? named->span : entry->word_span,
                                      "`%s` is no puppet of the book", name);
    const char **list = ARENA_ARRAY(b->arena, const char *, b->cast.count + 1);
    for (size_t i = 0; i < b->cast.count; i++) {
        list[i] = b->cast.items[i].name;
        if (!named && text_ends(name, arena_format(b->arena, " %s", list[i]))) {
            diagnostic_help(b->diagnostics, d, "a second one is written `%s: {puppet: %s, ...}`", name,
                            list[i]);
            return;
        }
    }
    const char *near = text_nearest(name, list, b->cast.count);
    if (near) diagnostic_help(b->diagnostics, d, "did you mean `%s`?", near);
}

static void bind_puppet(Binder *b, const TreeEntry *entry) {
    const Tree *named = bind_text(entry->value, "puppet");
    const int cast = bind_cast_name(b, named ? named->text : entry->word);
    if (cast < 0) {
        no_such_puppet(b, entry, named);
        return;
    }
    if (!bind_name(b, entry, "puppet", NAME_THING, b->current_shot, (int)b->things.count, cast)) return;
    new_puppet(b, entry->word, entry->word_span, cast, entry->value);
}

int bind_lead_puppet(Binder *b, const Tree *mark, int shot) {
    const Tree *value = bind_text(mark, "puppet");
    const int cast = value ? bind_cast_name(b, value->text) : -1;
    if (cast < 0) {
        if (value) no_such_puppet(b, NULL, value);
        return -1;
    }
    (void)shot;
    LIST_PUSH(
        b->arena, b->names,
        (Named){value->text, "puppet", NAME_THING, value->span, b->current_shot, (int)b->things.count, cast});
    Thing thing = blank_thing(ROLE_PUPPET, SHAPE_FIGURE, value->text, value->span);
    thing.shot = b->current_shot;
    thing.cast = cast;
    thing.pose = pose_of(b, cast, mark);
    thing.lead = true;
    const int index = new_thing(b, thing, value->text);
    share_sizes(b, index, thing.pose);
    return index;
}

void bind_mark_words(Binder *b, int thing, const Tree *mark) {
    static const FieldWord words[] = {{"turn", FIELD_TURN}};
    state_fields(b, thing, SECTION_MARK, mark, words, 1);
    state_drawn(b, thing, mark);
    state_atop(b, thing, mark);
}

/* --- pieces and flats
 * ----------------------------------------------------------------------------------------- */

static const Tree *without(Binder *b, const Tree *table, const char *const *words, size_t count) {
    Tree *rest = ARENA_NEW(b->arena, Tree);
    *rest = *table;
    rest->entries = ARENA_ARRAY(b->arena, TreeEntry, table->count + 1);
    rest->count = 0;
    for (size_t i = 0; i < table->count; i++) {
        bool left_out = false;
        for (size_t w = 0; w < count; w++)
            left_out |= text_equal(table->entries[i].word, words[w]);
        if (!left_out) rest->entries[rest->count++] = table->entries[i];
    }
    return rest;
}

static const char *const place_words[] = {"at", "up", "atop", "turn", "drawn", "like"};

typedef struct Patterns {
    const Tree *scene, *book; /* tables of names of this section, or NULL */
} Patterns;

static const Tree *pattern_named(const Patterns *patterns, const char *name) {
    const Tree *found = patterns->scene ? tree_find(patterns->scene, name) : NULL;
    if (!found) found = patterns->book ? tree_find(patterns->book, name) : NULL;
    return found && found->kind == TREE_TABLE ? found : NULL;
}

/* What a thing is made of in all: its own words over those of the pattern it is like, and of the book's entry
 * of its name. */
static const Tree *whole_of(Binder *b, const Patterns *patterns, const TreeEntry *entry, int level) {
    const Tree *own = entry->value;
    const Tree *in_book = patterns->book ? tree_find(patterns->book, entry->word) : NULL;
    if (in_book && in_book != own && in_book->kind == TREE_TABLE) {
        const TreeEntry book_entry = {entry->word, entry->word_span, (Tree *)in_book};
        const Tree *pattern = whole_of(b, &(Patterns){NULL, patterns->book}, &book_entry, level + 1);
        own = tree_merge(b->arena, without(b, pattern, place_words, 6), own);
    }
    const Tree *like = bind_text(own, "like");
    if (!like) return own;
    const Tree *pattern = pattern_named(patterns, like->text);
    if (!pattern || level > 16 || text_equal(like->text, entry->word)) {
        Diagnostic *d = diagnostics_error(
            b->diagnostics, like->span, pattern ? "`%s` is made like itself" : "there is no `%s` to be like",
            pattern ? entry->word : like->text);
        if (!pattern) {
            const char *words[64];
            size_t count = 0;
            for (size_t i = 0; patterns->scene && i < patterns->scene->count && count < 64; i++)
                words[count++] = patterns->scene->entries[i].word;
            const char *near = text_nearest(like->text, words, count);
            if (near) diagnostic_help(b->diagnostics, d, "did you mean `%s`?", near);
        }
        return own;
    }
    const TreeEntry next = {like->text, like->span, (Tree *)pattern};
    return tree_merge(b->arena, without(b, whole_of(b, patterns, &next, level + 1), place_words, 6), own);
}

/* A thing of the book says only its place in a scene. */
static void only_place_words(Binder *b, const Patterns *patterns, const TreeEntry *entry) {
    if (!patterns->book || !tree_find(patterns->book, entry->word)) return;
    for (size_t i = 0; i < entry->value->count; i++) {
        const TreeEntry *word = &entry->value->entries[i];
        bool place = false;
        for (size_t w = 0; w < 5; w++)
            place |= text_equal(word->word, place_words[w]);
        if (place) continue;
        Diagnostic *d = diagnostics_error(b->diagnostics, word->word_span,
                                          "`%s` is built by the book: its `%s` is not said here", entry->word,
                                          word->word);
        diagnostic_help(b->diagnostics, d, "for one that differs, write another: `%s 2: {like: %s, %s: ...}`",
                        entry->word, entry->word, word->word);
    }
}

static void bind_openings(Binder *b, const Tree *table, int flat, const char *flat_name) {
    static const FieldWord words[] = {{"wide", FIELD_WIDE}, {"tall", FIELD_TALL}};
    const Tree *openings = inner_table(table, "openings");
    bind_enter(b, "openings");
    for (size_t i = 0; openings && i < openings->count; i++) {
        const TreeEntry *entry = &openings->entries[i];
        if (entry->value->kind != TREE_TABLE) continue;
        Thing thing = blank_thing(ROLE_OPENING, SHAPE_NONE, entry->word, entry->word_span);
        thing.parent = flat;
        thing.faulty = !all_words_known(SECTION_OPENING, entry->value);
        const int index = new_thing(b, thing, arena_format(b->arena, "%s.%s", flat_name, entry->word));
        bind_enter(b, entry->word);
        state_fields(b, index, SECTION_OPENING, entry->value, words, 2);
        state_place(b, index, entry->value, SECTION_SILL);
        bind_leave(b);
    }
    bind_leave(b);
}

static void bind_row(Binder *b, int index, const Tree *table) {
    static const FieldWord words[] = {{"count", FIELD_COUNT_OF}, {"every", FIELD_EVERY}};
    const TreeEntry *row = tree_entry(table, "row");
    if (!row || row->value->kind != TREE_TABLE) return;
    bind_enter(b, "row");
    state_fields(b, index, SECTION_ROW, row->value, words, 2);
    bind_leave(b);
    b->things.items[index].row = true;
    for (size_t i = 0; i < 2 && all_words_known(SECTION_ROW, row->value); i++) {
        if (tree_find(row->value, words[i].word)) continue;
        diagnostics_error(b->diagnostics, row->word_span, "`%s` of the row of `%s` is missing", words[i].word,
                          b->things.items[index].name);
        return;
    }
}

static ThingShape shape_of(Binder *b, const Tree *table) {
    static const ThingShape shapes[] = {SHAPE_BOX,   SHAPE_POST,  SHAPE_CONE,
                                        SHAPE_WEDGE, SHAPE_STEPS, SHAPE_CUTOUT};
    const int choice = bind_choice(b, table, "shape", CHOICE_SHAPE, 0);
    return shapes[choice < 0 ? 0 : choice];
}

static void bind_built(Binder *b, const TreeEntry *entry, bool flat, const Patterns *patterns) {
    static const FieldWord words[] = {{"wide", FIELD_WIDE},   {"tall", FIELD_TALL},   {"deep", FIELD_DEEP},
                                      {"thick", FIELD_THICK}, {"steps", FIELD_STEPS}, {"up", FIELD_UP},
                                      {"turn", FIELD_TURN}};
    const SectionId section = flat ? SECTION_FLAT : SECTION_PIECE;
    if (entry->value->kind != TREE_TABLE ||
        !bind_name(b, entry, flat ? "flat" : "piece", NAME_THING, -1, (int)b->things.count, -1))
        return;
    only_place_words(b, patterns, entry);
    bind_enter(b, entry->word);
    const Tree *table = whole_of(b, patterns, entry, 0);
    Thing thing = blank_thing(flat ? ROLE_FLAT : ROLE_PIECE, SHAPE_PANEL, entry->word, entry->word_span);
    thing.faulty = !all_words_known(section, table);
    if (!flat) thing.shape = shape_of(b, table);
    const Tree *image = flat ? NULL : bind_text(table, "image");
    if (image) thing.image = bind_wanted(b, image, false, NULL);
    const int index = new_thing(b, thing, entry->word);
    state_fields(b, index, section, table, words, sizeof words / sizeof *words);
    state_place(b, index, table, SECTION_AT);
    state_drawn(b, index, table);
    state_atop(b, index, table);
    state_stock(b, index, table);
    if (flat)
        bind_openings(b, table, index, entry->word);
    else
        bind_row(b, index, table);
    bind_leave(b);
}

static void bind_backdrop(Binder *b, const TreeEntry *entry) {
    static const FieldWord words[] = {
        {"wide", FIELD_WIDE}, {"tall", FIELD_TALL}, {"thick", FIELD_THICK}, {"up", FIELD_UP}};
    if (entry->value->kind != TREE_TABLE) return;
    Thing thing = blank_thing(ROLE_BACKDROP, SHAPE_PANEL, "backdrop", entry->word_span);
    thing.faulty = !all_words_known(SECTION_BACKDROP, entry->value);
    const int index = new_thing(b, thing, "backdrop");
    bind_enter(b, "backdrop");
    state_fields(b, index, SECTION_BACKDROP, entry->value, words, 4);
    state_place(b, index, entry->value, SECTION_AT);
    state_drawn(b, index, entry->value);
    state_stock(b, index, entry->value);
    bind_leave(b);
}

void bind_set_entry(Binder *b, const TreeEntry *entry) {
    if (text_equal(entry->word, "backdrop")) {
        bind_backdrop(b, entry);
        return;
    }
    const bool pieces = text_equal(entry->word, "pieces"), flats = text_equal(entry->word, "flats");
    if ((!pieces && !flats && !text_equal(entry->word, "puppets")) || entry->value->kind != TREE_TABLE)
        return;
    const Patterns patterns = {entry->value, inner_table(b->book, entry->word)};
    bind_enter(b, entry->word);
    for (size_t i = 0; i < entry->value->count; i++) {
        const TreeEntry *one = &entry->value->entries[i];
        if (one->value->kind != TREE_TABLE) continue;
        if (pieces || flats) {
            bind_built(b, one, flats, &patterns);
        } else {
            bind_enter(b, one->word);
            bind_puppet(b, one);
            bind_leave(b);
        }
    }
    bind_leave(b);
}

/* --- names of things
 * ------------------------------------------------------------------------------------------- */

void bind_atops(Binder *b) {
    for (size_t i = 0; i < b->atops.count; i++) {
        const AtopName *it = &b->atops.items[i];
        const Named *named = bind_named(b, it->shot, it->value->text);
        Thing *thing = &b->things.items[it->thing];
        if (named && named->thing >= 0 && named->thing != it->thing) {
            thing->atop = named->thing;
            continue;
        }
        Diagnostic *d =
            named && named->thing == it->thing
                ? diagnostics_error(b->diagnostics, it->value->span, "`%s` stands atop itself", thing->name)
                : diagnostics_error(b->diagnostics, it->value->span,
                                    "there is no `%s` on the set to stand on", it->value->text);
        const char **list = ARENA_ARRAY(b->arena, const char *, b->names.count + 1);
        size_t count = 0;
        for (size_t n = 0; n < b->names.count; n++) {
            if (b->names.items[n].thing >= 0) list[count++] = b->names.items[n].name;
        }
        const char *near = text_nearest(it->value->text, list, count);
        if (near) diagnostic_help(b->diagnostics, d, "did you mean `%s`?", near);
        thing->faulty = true;
    }
}

int bind_wanted(Binder *b, const Tree *value, bool optional, const char *path) {
    WantedFile file = {.path = path ? path : value->text, .optional = optional};
    if (value) file.span = value->span;
    LIST_PUSH(b->arena, b->wanted, file);
    return (int)b->wanted.count - 1;
}
