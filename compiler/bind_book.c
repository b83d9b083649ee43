/* Page, cast, bodies, lenses, stock, table and room: what the book gives every scene. */
#include "base/text.h"
#include "bind.h"

typedef void BindOne(Binder *b, const TreeEntry *entry);

static void each_name(Binder *b, const Tree *table, const char *section, BindOne *bind) {
    const Tree *names = table ? tree_find(table, section) : NULL;
    if (!names || names->kind != TREE_TABLE) return;
    bind_enter(b, section);
    for (size_t i = 0; i < names->count; i++) {
        if (names->entries[i].value->kind != TREE_TABLE) continue;
        bind_enter(b, names->entries[i].word);
        bind(b, &names->entries[i]);
        bind_leave(b);
    }
    bind_leave(b);
}

static void needs(Binder *b, const TreeEntry *entry, SectionId section, const char *what) {
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        const WordRow *row = &vocabulary_words[i];
        if (row->section != section || !row->needed || tree_find(entry->value, row->word)) continue;
        for (size_t e = 0; e < entry->value->count; e++) {
            if (!vocabulary_find(section, entry->value->entries[e].word))
                return; /* rule 3: a misspelt word hides it */
        }
        diagnostics_error(b->diagnostics, entry->word_span, "`%s` of %s `%s` is missing", row->word, what,
                          entry->word);
        return;
    }
}

static void bind_poses(Binder *b, const TreeEntry *member, CastMember *cast) {
    const Tree *poses = tree_find(member->value, "poses");
    if (!poses || poses->kind != TREE_TABLE) return;
    const char **names = ARENA_ARRAY(b->arena, const char *, poses->count + 1);
    bind_enter(b, "poses");
    for (size_t i = 0; i < poses->count; i++) {
        const TreeEntry *pose = &poses->entries[i];
        if (pose->value->kind != TREE_TABLE) continue;
        bind_enter(b, pose->word);
        const char *owner = arena_format(b->arena, "%s.poses.%s", member->word, pose->word);
        static const char *const words[] = {"tall", "eyes", "wide", "deep"};
        for (size_t w = 0; w < 4; w++)
            bind_word(b, SECTION_POSE, pose->value, words[w], owner);
        bind_leave(b);
        names[cast->pose_count++] = pose->word;
    }
    bind_leave(b);
    cast->pose_names = names;
}

static void bind_member(Binder *b, const TreeEntry *entry) {
    if (!bind_name(b, entry, "puppet", NAME_PUPPET, -1, -1, (int)b->cast.count)) return;
    b->names.items[b->names.count - 1].what = "puppet of the book";
    CastMember cast = {.name = entry->word, .span = entry->word_span};
    cast.tall = bind_word(b, SECTION_CAST, entry->value, "tall", entry->word);
    cast.eyes = bind_word(b, SECTION_CAST, entry->value, "eyes", entry->word);
    cast.wide = bind_word(b, SECTION_CAST, entry->value, "wide", entry->word);
    cast.deep = bind_word(b, SECTION_CAST, entry->value, "deep", entry->word);
    bind_poses(b, entry, &cast);
    LIST_PUSH(b->arena, b->cast, cast);
    needs(b, entry, SECTION_CAST, "puppet");
}

static void bind_pair(Binder *b, const TreeEntry *entry, SectionId section, const char *word,
                      const char *first, const char *second, int slots[2]) {
    const WordRow *row = vocabulary_find(section, word);
    const TreeEntry *pair = tree_entry(entry->value, word);
    slots[0] = bind_slot(b, -1, arena_format(b->arena, "%s.%s", entry->word, first), row->slot.kind, false);
    slots[1] = bind_slot(b, -1, arena_format(b->arena, "%s.%s", entry->word, second), row->slot.kind, false);
    if (!pair) return;
    for (int i = 0; i < 2; i++)
        bind_state(b, slots[i], pair->value, pair->word_span);
    if (pair->value->kind != TREE_TEXT) return;
    bind_enter(b, word);
    bind_later(b, pair->value, row->slot, slots, 2);
    bind_leave(b);
}

static void bind_body(Binder *b, const TreeEntry *entry) {
    if (!bind_name(b, entry, "camera", NAME_THING, -1, -1, -1)) return;
    Body body = {.name = entry->word, .span = entry->word_span};
    int slots[2];
    bind_pair(b, entry, SECTION_BODY, "sensor", "sensor wide", "sensor tall", slots);
    body.sensor_wide = slots[0];
    body.sensor_tall = slots[1];
    bind_pair(b, entry, SECTION_BODY, "pixels", "pixels wide", "pixels tall", slots);
    body.pixels_wide = slots[0];
    body.pixels_tall = slots[1];
    LIST_PUSH(b->arena, b->bodies, body);
    needs(b, entry, SECTION_BODY, "camera");
}

static void bind_lens(Binder *b, const TreeEntry *entry) {
    if (!bind_name(b, entry, "lens", NAME_THING, -1, -1, -1)) return;
    LensKind lens = {.name = entry->word, .span = entry->word_span};
    lens.focal = bind_word(b, SECTION_LENS, entry->value, "focal", entry->word);
    lens.nearest = bind_word(b, SECTION_LENS, entry->value, "nearest", entry->word);
    LIST_PUSH(b->arena, b->lenses, lens);
    needs(b, entry, SECTION_LENS, "lens");
}

static void bind_stock(Binder *b, const TreeEntry *entry) {
    if (!bind_name(b, entry, "stock", NAME_THING, -1, -1, -1)) return;
    Stock stock = {.name = entry->word, .span = entry->word_span};
    const Tree *kind = bind_text(entry->value, "kind");
    int slots[2];
    stock.kind = kind ? kind->text : NULL;
    bind_pair(b, entry, SECTION_STOCK, "sheet", "sheet wide", "sheet tall", slots);
    stock.sheet_wide = slots[0];
    stock.sheet_tall = slots[1];
    stock.thick = bind_word(b, SECTION_STOCK, entry->value, "thick", entry->word);
    stock.area_weight = bind_word(b, SECTION_STOCK, entry->value, "weighs", entry->word);
    stock.density = bind_word(b, SECTION_STOCK, entry->value, "density", entry->word);
    LIST_PUSH(b->arena, b->stocks, stock);
}

static const Tree *table_of(const Tree *tree, const char *word) {
    const Tree *table = tree ? tree_find(tree, word) : NULL;
    return table && table->kind == TREE_TABLE ? table : NULL;
}

static void check_version(Binder *b, const Tree *table) {
    const Tree *value = bind_text(table, "groundrow");
    if (!value || text_equal(value->text, "1")) return;
    diagnostics_error(b->diagnostics, value->span, "this is groundrow language %s; this program reads %d",
                      value->text, LANGUAGE_NUMBER);
}

static void bind_table_and_room(Binder *b, const Tree *book) {
    Scene *scene = b->scene;
    const Tree *table = table_of(book, "table"), *room = table_of(book, "room");
    bind_enter(b, "table");
    scene->table_wide = bind_word(b, SECTION_TABLE, table, "wide", "table");
    scene->table_deep = bind_word(b, SECTION_TABLE, table, "deep", "table");
    scene->table_tall = bind_word(b, SECTION_TABLE, table, "tall", "table");
    scene->table_holds = bind_word(b, SECTION_TABLE, table, "holds", "table");
    bind_leave(b);
    bind_enter(b, "room");
    scene->room_wide = bind_word(b, SECTION_ROOM, room, "wide", "room");
    scene->room_long = bind_word(b, SECTION_ROOM, room, "long", "room");
    scene->room_ceiling = bind_word(b, SECTION_ROOM, room, "ceiling", "room");
    bind_leave(b);
}

void bind_book(Binder *b, const Tree *book) {
    Scene *scene = b->scene;
    const Tree *title = bind_text(book, "book");
    scene->book_title = title ? title->text : "";
    scene->lengths =
        bind_choice(b, book, "lengths", CHOICE_LENGTHS, 0) == 1 ? STYLE_MILLIMETRES : STYLE_FEET_INCHES;
    check_version(b, book);
    b->current_shot = -1;
    scene->cut = bind_word(b, SECTION_BOOK, book, "cut", "book");
    scene->agree = bind_word(b, SECTION_BOOK, book, "agree", "book");
    scene->sharpness = bind_word(b, SECTION_BOOK, book, "sharpness", "book");
    scene->reading = bind_word(b, SECTION_BOOK, book, "reading", "book");
    each_name(b, book, "cast", bind_member);
    each_name(b, book, "cameras", bind_body);
    each_name(b, book, "lenses", bind_lens);
    each_name(b, book, "stock", bind_stock);
    bind_table_and_room(b, book);
}

/* --- names of the book
 * -------------------------------------------------------------------------------------- */

static int not_in_book(Binder *b, const Tree *value, const char *what, const char *const *names,
                       size_t count) {
    Diagnostic *d =
        diagnostics_error(b->diagnostics, value->span, "the book has no %s `%s`", what, value->text);
    const char *near = text_nearest(value->text, names, count);
    if (near) {
        diagnostic_help(b->diagnostics, d, "did you mean `%s`?", near);
    } else if (count > 0) {
        Buffer list = buffer_new(b->arena);
        for (size_t i = 0; i < count && i < 12; i++)
            buffer_format(&list, "%s%s", i > 0 ? ", " : "", names[i]);
        diagnostic_help(b->diagnostics, d, "it has: %s", buffer_text(&list));
    }
    return -1;
}

int bind_stock_name(Binder *b, const Tree *table, Span *span) {
    const Tree *value = bind_text(table, "stock");
    if (!value) return -1;
    *span = value->span;
    const char **names = ARENA_ARRAY(b->arena, const char *, b->stocks.count + 1);
    for (size_t i = 0; i < b->stocks.count; i++) {
        names[i] = b->stocks.items[i].name;
        if (text_equal(names[i], value->text)) return (int)i;
    }
    return not_in_book(b, value, "stock", names, b->stocks.count);
}

int bind_body_name(Binder *b, const Tree *table, Span *span) {
    const Tree *value = bind_text(table, "body");
    if (!value) return -1;
    *span = value->span;
    const char **names = ARENA_ARRAY(b->arena, const char *, b->bodies.count + 1);
    for (size_t i = 0; i < b->bodies.count; i++) {
        names[i] = b->bodies.items[i].name;
        if (text_equal(names[i], value->text)) return (int)i;
    }
    return not_in_book(b, value, "camera", names, b->bodies.count);
}

int bind_cast_name(Binder *b, const char *name) {
    for (size_t i = 0; i < b->cast.count; i++) {
        if (text_equal(b->cast.items[i].name, name)) return (int)i;
    }
    return -1;
}
