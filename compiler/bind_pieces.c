/* Pieces and flats: what they are like, what the book has of them, openings and rows. */
#include "base/text.h"
#include "bind.h"
#include "phrase.h"

#include <string.h>

enum { LIKE_MOST = 16 };

/* Pieces or flats of a scene, or of the book. */
typedef struct Family {
    const char *section, *what;
    SectionId words;
    ThingRole role;
    const Tree *table, *book; /* NULL: none */
    int index, book_index;    /* of their names */
} Family;

static Family family_of(Binder *b, bool flats, const Tree *table) {
    Family family = {.section = flats ? "flats" : "pieces",
                     .what = flats ? "flat" : "piece",
                     .words = flats ? SECTION_FLAT : SECTION_PIECE,
                     .role = flats ? ROLE_FLAT : ROLE_PIECE,
                     .table = table,
                     .index = flats ? INDEX_FLATS : INDEX_PIECES,
                     .book_index = flats ? INDEX_BOOK_FLATS : INDEX_BOOK_PIECES};
    family.book = bind_table(b->book, family.section);
    return family;
}

static void index_names(Binder *b, int index, const Tree *table) {
    for (size_t i = 0; table && i < table->count; i++)
        bind_key(b, index, table->entries[i].word, (int)i);
}

static const TreeEntry *entry_named(const Binder *b, int index, const Tree *table, const char *name) {
    const int i = table ? bind_key_find(b, index, name) : -1;
    return i >= 0 ? &table->entries[i] : NULL;
}

/* --- what a thing is like ------------------------------------------------------------------------------ */

/* Words that say where one stands, not how it is built; `like` goes no further than to its own pattern. */
static const char *const place_words[] = {"at", "up", "atop", "turn", "drawn", "like"};
enum { PLACE_WORDS = sizeof place_words / sizeof *place_words, LIKE_WORD = PLACE_WORDS - 1 };

static bool is_place_word(const char *word, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (text_equal(place_words[i], word)) return true;
    }
    return false;
}

static const Tree *without_place(Binder *b, const Tree *table) {
    Tree *rest = ARENA_NEW(b->arena, Tree);
    *rest = *table;
    rest->entries = ARENA_ARRAY(b->arena, TreeEntry, table->count);
    rest->count = 0;
    for (size_t i = 0; i < table->count; i++) {
        if (!is_place_word(table->entries[i].word, PLACE_WORDS))
            rest->entries[rest->count++] = table->entries[i];
    }
    return rest;
}

typedef struct Chain {
    const TreeEntry *entries[LIKE_MOST + 1]; /* each like the next */
    size_t count;
    bool in_book;
    bool faulty;
} Chain;

static Span like_span(const TreeEntry *entry) {
    return bind_text(entry->value, "like")->span;
}

/* Said whole at the member that stands first in the file. */
static void is_like_itself(Binder *b, Chain *chain, const TreeEntry *back) {
    chain->faulty = true;
    if (back != chain->entries[0]) return;
    const Span span = like_span(back);
    Buffer path = buffer_new(b->arena);
    for (size_t i = 0; i < chain->count; i++) {
        if (span_compare(like_span(chain->entries[i]), span) < 0) return;
        buffer_format(&path, "%s -> ", chain->entries[i]->word);
    }
    diagnostics_error(bind_list(b, span), span, "`%s` is made like itself: %s%s", back->word,
                      buffer_text(&path), back->word);
}

static void no_such_pattern(Binder *b, const Family *family, const Tree *like, const char *where) {
    const bool flats = family->role == ROLE_FLAT;
    const char *others = flats ? "pieces" : "flats";
    if (tree_find(bind_table(b->words, others), like->text) ||
        tree_find(bind_table(b->book, others), like->text)) {
        diagnostics_error(bind_list(b, like->span), like->span, "`%s` is a %s, not a %s, in %s", like->text,
                          flats ? "piece" : "flat", family->what, where);
        return;
    }
    if (bind_is_poison(b, SCOPE_SET, like->text)) return;
    const size_t most = (family->table ? family->table->count : 0) + (family->book ? family->book->count : 0);
    const char **names = ARENA_ARRAY(b->arena, const char *, most);
    size_t count = 0;
    for (size_t i = 0; family->table && i < family->table->count; i++)
        names[count++] = family->table->entries[i].word;
    for (size_t i = 0; family->book && i < family->book->count; i++)
        names[count++] = family->book->entries[i].word;
    bind_unknown_name(b, like, where, names, count);
}

static const Tree *whole_of(Binder *b, const Family *family, const TreeEntry *entry, Chain *chain);

/* An entry's own words over those of what it is like. */
static const Tree *over_pattern(Binder *b, const Family *family, const TreeEntry *entry, Chain *chain) {
    const Tree *like = bind_text(entry->value, "like");
    if (!like) return entry->value;
    chain->entries[chain->count++] = entry;
    const TreeEntry *next = chain->in_book ? NULL : entry_named(b, family->index, family->table, like->text);
    if (!next) {
        chain->in_book = true;
        next = entry_named(b, family->book_index, family->book, like->text);
    }
    for (size_t i = 0; next && i < chain->count; i++) {
        if (chain->entries[i] != next) continue;
        is_like_itself(b, chain, next);
        return entry->value;
    }
    if (chain->count > LIKE_MOST) {
        diagnostics_error(bind_list(b, like->span), like->span,
                          "more than %d things like one another in a row", LIKE_MOST);
        chain->faulty = true;
        return entry->value;
    }
    if (!next || next->value->kind != TREE_TABLE) {
        chain->faulty = true;
        if (!next && chain->count == 1) no_such_pattern(b, family, like, bind_where(b, "like"));
        return entry->value;
    }
    return tree_merge(b->arena, without_place(b, whole_of(b, family, next, chain)), entry->value);
}

/* What a thing is made of in all: its own words over those of what it is like, or over the book's of its
 * name. */
static const Tree *whole_of(Binder *b, const Family *family, const TreeEntry *entry, Chain *chain) {
    const TreeEntry *in_book =
        chain->in_book ? NULL : entry_named(b, family->book_index, family->book, entry->word);
    if (!in_book || in_book->value->kind != TREE_TABLE) return over_pattern(b, family, entry, chain);
    chain->in_book = true;
    const Tree *pattern = over_pattern(b, family, in_book, chain);
    return tree_merge(b->arena, without_place(b, pattern), entry->value);
}

/* A thing of the book says only its place in a scene. */
static void only_place_words(Binder *b, const Family *family, const TreeEntry *entry) {
    const TreeEntry *in_book = entry_named(b, family->book_index, family->book, entry->word);
    for (size_t i = 0; in_book && i < entry->value->count; i++) {
        const TreeEntry *word = &entry->value->entries[i];
        if (is_place_word(word->word, LIKE_WORD) || !vocabulary_find(family->words, word->word)) continue;
        Diagnostics *list = bind_list(b, word->word_span);
        Diagnostic *d = diagnostics_error(list, word->word_span,
                                          "%s `%s` is built as the book says: its `%s` is not said here",
                                          family->what, entry->word, word->word);
        diagnostic_note(list, d, in_book->word_span, "where it is built");
        diagnostic_help(list, d, "for one that differs, write `%s 2: {like: %s, %s: ...}`", entry->word,
                        entry->word, word->word);
        return;
    }
}

/* --- parts --------------------------------------------------------------------------------------------- */

/* An opening is read behind its flat's name, where the flat's own words are read too. */
static bool is_word_of_flats(const char *name) {
    for (size_t i = 0; i < vocabulary_readable_count; i++) {
        const char *words = vocabulary_readable[i].words;
        const size_t count = strcspn(words, ".");
        if (vocabulary_readable[i].roles >> ROLE_FLAT & 1u && strlen(name) == count &&
            strncmp(name, words, count) == 0)
            return true;
    }
    return false;
}

static void bind_opening(Binder *b, const TreeEntry *entry, int flat) {
    static const FieldWord words[] = {{"wide", FIELD_WIDE}, {"tall", FIELD_TALL}};
    const char *flat_name = b->things.items[flat].name;
    if (entry->value->kind != TREE_TABLE) return;
    if (is_word_of_flats(entry->word)) {
        diagnostics_error(bind_list(b, entry->word_span), entry->word_span,
                          "an opening cannot be called `%s`: `%s.%s` is a word of its flat", entry->word,
                          flat_name, entry->word);
        return;
    }
    Thing thing = bind_blank_thing(ROLE_OPENING, SHAPE_NONE, entry->word, entry->word_span);
    thing.parent = flat;
    thing.faulty = !bind_all_words_known(SECTION_OPENING, entry->value);
    const int index = bind_thing(b, thing, arena_format(b->arena, "%s.%s", flat_name, entry->word));
    if (index < 0) return;
    bind_fields(b, index, SECTION_OPENING, entry->value, words, sizeof words / sizeof *words);
    bind_place(b, index, entry->value, SECTION_SILL);
    bind_needs(b, SECTION_OPENING, entry->value, entry->word_span);
}

static void bind_openings(Binder *b, const Tree *table, int flat) {
    const Tree *openings = bind_table(table, "openings");
    bind_enter(b, "openings");
    for (size_t i = 0; openings && i < openings->count; i++) {
        const bool quiet = b->quiet;
        b->quiet |= !bind_is_own(b, openings->entries[i].word);
        bind_enter(b, openings->entries[i].word);
        bind_opening(b, &openings->entries[i], flat);
        bind_leave(b);
        b->quiet = quiet;
    }
    bind_leave(b);
}

static void bind_row(Binder *b, int index, const Tree *table) {
    static const FieldWord words[] = {{"count", FIELD_COUNT_OF}, {"every", FIELD_EVERY}};
    const TreeEntry *row = tree_entry(table, "row");
    if (!row || row->value->kind != TREE_TABLE) return;
    b->things.items[index].row = true;
    bind_enter(b, "row");
    bind_fields(b, index, SECTION_ROW, row->value, words, sizeof words / sizeof *words);
    bind_needs(b, SECTION_ROW, row->value, row->word_span);
    bind_leave(b);
}

/* A rod tells how thick a post of it is; a stock that is not known might. */
static bool stock_tells_thick(Binder *b, const Thing *thing, const Tree *table) {
    if (!tree_find(table, "stock")) return false;
    if (thing->stock < 0) return true;
    const Stock *stock = &b->stocks.items[thing->stock];
    return b->slots.items[stock->bar_long].stated && b->slots.items[stock->thick].stated;
}

/* The sizes without which a shape cannot be built; what is drawn of it may stand for two of them. */
static void needs_of_shape(Binder *b, const Thing *thing, const Tree *table) {
    const Tree *drawn = bind_table(table, "drawn");
    const bool wide = tree_find(table, "wide") || tree_find(drawn, "wide");
    const bool tall = tree_find(table, "tall") || tree_find(drawn, "tall");
    const bool deep = tree_find(table, "deep"), thick = tree_find(table, "thick");
    const bool solid =
        thing->shape == SHAPE_BOX || thing->shape == SHAPE_WEDGE || thing->shape == SHAPE_STEPS;
    const char *missing[3];
    size_t count = 0;
    if (thing->faulty) return; /* a misspelt word may be the one */
    if (!wide && thing->shape != SHAPE_POST) missing[count++] = "wide";
    if (!tall) missing[count++] = "tall";
    if (!deep && solid) missing[count++] = "deep";
    if (!thick && !wide && thing->shape == SHAPE_POST && !stock_tells_thick(b, thing, table))
        missing[count++] = "thick";
    if (count == 0) return;
    const char *help =
        thing->shape == SHAPE_POST && text_equal(missing[count - 1], "thick")
            ? "a post is as thick as its stock where that is sold `long` and says its own `thick`"
        : thing->role != ROLE_FLAT ? NULL
        : count == 1 ? arena_format(b->arena, "write `%s: cover`, a length, or `drawn: {%s: ...}`",
                                    missing[0], missing[0])
                     : "write `cover`, a length, or what the drawing shows: `drawn: {wide: ..., "
                       "tall: ...}`";
    bind_missing(b, thing->span, missing, count, help);
}

static ThingShape shape_of(Binder *b, const Tree *table) {
    static const ThingShape shapes[] = {SHAPE_BOX,   SHAPE_POST,  SHAPE_CONE,
                                        SHAPE_WEDGE, SHAPE_STEPS, SHAPE_CUTOUT};
    const bool quiet = b->quiet;
    b->quiet |= !bind_is_own(b, "shape");
    const int choice = bind_choice(b, table, "shape", CHOICE_SHAPE, 0);
    b->quiet = quiet;
    return choice < 0 ? SHAPE_COUNT : shapes[choice];
}

/* --- one piece or flat --------------------------------------------------------------------------------- */

static int image_of(Binder *b, const Tree *table) {
    const bool quiet = b->quiet;
    b->quiet |= !bind_is_own(b, "image");
    const int image = bind_image(b, table);
    b->quiet = quiet;
    return image;
}

static void bind_words(Binder *b, const Family *family, int index, const Tree *table) {
    static const FieldWord words[] = {{"wide", FIELD_WIDE},   {"tall", FIELD_TALL},   {"deep", FIELD_DEEP},
                                      {"thick", FIELD_THICK}, {"steps", FIELD_STEPS}, {"up", FIELD_UP},
                                      {"turn", FIELD_TURN}};
    bind_fields(b, index, family->words, table, words, sizeof words / sizeof *words);
    bind_place(b, index, table, SECTION_AT);
    bind_drawn(b, index, table);
    bind_atop(b, index, table);
    bind_thing_stock(b, index, table);
    b->things.items[index].fixed = bind_fixed(b, table, FIXED_BELOW);
    bind_weighs(b, index, family->words, table);
    if (family->role == ROLE_FLAT)
        bind_openings(b, table, index);
    else
        bind_row(b, index, table);
}

static int new_built(Binder *b, const Family *family, const TreeEntry *entry, const Tree *table,
                     const Chain *chain) {
    const bool flat = family->role == ROLE_FLAT;
    Thing thing = bind_blank_thing(family->role, SHAPE_PANEL, entry->word, entry->word_span);
    if (!flat) thing.shape = shape_of(b, table);
    thing.faulty = chain->faulty || thing.shape == SHAPE_COUNT || !bind_all_words_known(family->words, table);
    if (thing.shape == SHAPE_COUNT) thing.shape = SHAPE_BOX;
    thing.image = flat ? -1 : image_of(b, table);
    if (thing.image >= 0) b->wanted.items[thing.image].outlined = thing.shape == SHAPE_CUTOUT;
    return bind_thing(b, thing, entry->word);
}

static void bind_built(Binder *b, const Family *family, const TreeEntry *entry) {
    Named named = {.name = entry->word,
                   .what = family->what,
                   .span = entry->word_span,
                   .shot = SCOPE_SET,
                   .thing = (int)b->things.count,
                   .cast = -1};
    if (entry->value->kind != TREE_TABLE) {
        bind_faulty_name(b, entry->word, entry->word_span);
        return;
    }
    if (!bind_name(b, entry, &named)) return;
    Chain chain = {0};
    only_place_words(b, family, entry);
    const Tree *table = whole_of(b, family, entry, &chain);
    b->own_thing = (OwnTable){entry->value, b->depth};
    const int index = new_built(b, family, entry, table, &chain);
    if (index >= 0) {
        b->things.items[index].of_book =
            entry_named(b, family->book_index, family->book, entry->word) != NULL;
        bind_words(b, family, index, table);
    }
    b->own_thing = (OwnTable){0};
    if (index >= 0) needs_of_shape(b, &b->things.items[index], table);
}

/* The things that others on the set are like; several may be cut from one pattern. */
static void find_patterns(Binder *b, const Family *family) {
    for (size_t i = 0; family->table && i < family->table->count; i++) {
        const TreeEntry *entry = &family->table->entries[i];
        const Tree *like = bind_text(entry->value, "like");
        const Named *named = like ? bind_named(b, SCOPE_SET, entry->word) : NULL;
        const Named *pattern = like ? bind_named(b, SCOPE_SET, like->text) : NULL;
        if (named && named->thing >= 0 && pattern) b->things.items[named->thing].like = pattern->thing;
    }
}

static void bind_family(Binder *b, const Tree *scene, bool flats) {
    const Family family = family_of(b, flats, bind_table(scene, flats ? "flats" : "pieces"));
    index_names(b, family.index, family.table);
    bind_enter(b, family.section);
    for (size_t i = 0; family.table && i < family.table->count; i++) {
        bind_enter(b, family.table->entries[i].word);
        bind_built(b, &family, &family.table->entries[i]);
        bind_leave(b);
    }
    bind_leave(b);
    find_patterns(b, &family);
}

void bind_pieces(Binder *b, const Tree *scene) {
    bind_family(b, scene, false);
    bind_family(b, scene, true);
}

/* --- the book's ---------------------------------------------------------------------------------------- */

/* Where it stands is said by the scenes that have it. */
static void no_place_in_book(Binder *b, const Family *family, const TreeEntry *entry) {
    for (size_t i = 0; i < entry->value->count; i++) {
        const TreeEntry *word = &entry->value->entries[i];
        if (!is_place_word(word->word, LIKE_WORD)) continue;
        Diagnostics *list = bind_list(b, word->word_span);
        Diagnostic *d = diagnostics_error(list, word->word_span,
                                          "`%s` of %s `%s` is said by the scenes that have it on the set",
                                          word->word, family->what, entry->word);
        diagnostic_help(list, d, "in a scene: `%s: {%s: {%s: ...}}`", family->section, entry->word,
                        word->word);
        return;
    }
}

static void bind_sizes(Binder *b, SectionId section, const Tree *table, const char *owner) {
    static const char *const words[] = {"wide", "tall", "deep", "thick", "steps"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (vocabulary_find(section, words[i])) bind_word_in(b, SCOPE_BOOK, section, table, words[i], owner);
    }
}

/* What references read of it where it is not on the set. */
static void bind_readable(Binder *b, const Family *family, const TreeEntry *entry) {
    Chain chain = {.in_book = true};
    const Tree *table = over_pattern(b, family, entry, &chain);
    const Tree *openings = bind_table(table, "openings");
    bind_sizes(b, family->words, table, entry->word);
    for (size_t i = 0; openings && i < openings->count; i++)
        bind_sizes(b, SECTION_OPENING, openings->entries[i].value,
                   arena_format(b->arena, "%s.%s", entry->word, openings->entries[i].word));
}

/* The book alone is checked as if it had everything on a set, though no drawing measures it. */
static void bind_as_if_on_set(Binder *b, const Family *family, const TreeEntry *entry) {
    Chain chain = {.in_book = true};
    no_place_in_book(b, family, entry);
    const Tree *table = over_pattern(b, family, entry, &chain);
    b->no_depth = true;
    b->own_thing = (OwnTable){entry->value, b->depth};
    const int index = new_built(b, family, entry, table, &chain);
    if (index >= 0) bind_words(b, family, index, table);
    b->own_thing = (OwnTable){0};
    b->no_depth = false;
    if (index >= 0) needs_of_shape(b, &b->things.items[index], table);
}

static void bind_book_entry(Binder *b, const Family *family, const TreeEntry *entry) {
    const Named named = {.name = entry->word,
                         .what = family->what,
                         .of_book = true,
                         .span = entry->word_span,
                         .shot = SCOPE_SET,
                         .thing = -1,
                         .cast = -1};
    if (entry->value->kind != TREE_TABLE) {
        bind_faulty_name(b, entry->word, entry->word_span);
        return;
    }
    if (!bind_name(b, entry, &named)) return;
    if (b->book_alone) {
        bind_as_if_on_set(b, family, entry);
        return;
    }
    b->quiet = true; /* the check of the book alone says its faults */
    bind_readable(b, family, entry);
    b->quiet = false;
}

static void bind_book_family(Binder *b, bool flats) {
    const Family family = family_of(b, flats, NULL);
    index_names(b, family.book_index, family.book);
    bind_enter(b, family.section);
    for (size_t i = 0; family.book && i < family.book->count; i++) {
        bind_enter(b, family.book->entries[i].word);
        bind_book_entry(b, &family, &family.book->entries[i]);
        bind_leave(b);
    }
    bind_leave(b);
}

void bind_book_pieces(Binder *b) {
    bind_book_family(b, false);
    bind_book_family(b, true);
}
