/* Cast, bodies, lenses, stock, table and room: what the book gives every scene. */
#include "base/text.h"
#include "bind.h"
#include "phrase.h"

typedef void BindOne(Binder *b, const TreeEntry *entry);

static void each_name(Binder *b, const Tree *book, const char *section, BindOne *bind) {
    const Tree *names = bind_table(book, section);
    bind_enter(b, section);
    for (size_t i = 0; names && i < names->count; i++) {
        const TreeEntry *entry = &names->entries[i];
        bind_enter(b, entry->word);
        if (entry->value->kind == TREE_TABLE)
            bind(b, entry);
        else
            bind_faulty_name(b, entry->word, entry->word_span);
        bind_leave(b);
    }
    bind_leave(b);
}

static bool new_name(Binder *b, const TreeEntry *entry, const char *what, int cast) {
    return bind_name(b, entry,
                     &(Named){.name = entry->word,
                              .what = what,
                              .of_book = true,
                              .span = entry->word_span,
                              .shot = SCOPE_SET,
                              .thing = -1,
                              .cast = cast});
}

static int word_of(Binder *b, SectionId section, const TreeEntry *entry, const char *word) {
    return bind_word_in(b, SCOPE_BOOK, section, entry->value, word, entry->word);
}

/* --- cast ---------------------------------------------------------------------------------------------- */

static void bind_poses(Binder *b, const TreeEntry *member, CastMember *cast) {
    static const char *const words[] = {"tall", "eyes", "wide", "deep"};
    const Tree *poses = bind_table(member->value, "poses");
    const char **names = ARENA_ARRAY(b->arena, const char *, poses ? poses->count : 0);
    bind_enter(b, "poses");
    for (size_t i = 0; poses && i < poses->count; i++) {
        const TreeEntry *pose = &poses->entries[i];
        const Tree *table = pose->value->kind == TREE_TABLE ? pose->value : NULL;
        const char *owner = arena_format(b->arena, "%s.poses.%s", member->word, pose->word);
        bind_enter(b, pose->word);
        for (size_t w = 0; w < sizeof words / sizeof *words; w++)
            bind_word_in(b, SCOPE_BOOK, SECTION_POSE, table, words[w], owner);
        bind_leave(b);
        names[cast->pose_count++] = pose->word;
    }
    bind_leave(b);
    cast->pose_names = names;
}

static void bind_member(Binder *b, const TreeEntry *entry) {
    if (!new_name(b, entry, "puppet", (int)b->cast.count)) return;
    CastMember cast = {.name = entry->word, .span = entry->word_span};
    cast.tall = word_of(b, SECTION_CAST, entry, "tall");
    cast.eyes = word_of(b, SECTION_CAST, entry, "eyes");
    cast.wide = word_of(b, SECTION_CAST, entry, "wide");
    cast.deep = word_of(b, SECTION_CAST, entry, "deep");
    cast.weighs = word_of(b, SECTION_CAST, entry, "weighs");
    cast.fixed = bind_fixed(b, entry->value, FIXED_BELOW);
    bind_poses(b, entry, &cast);
    LIST_PUSH(b->arena, b->cast, cast);
    bind_needs(b, SECTION_CAST, entry->value, entry->word_span);
}

/* --- cameras, lenses, stock ---------------------------------------------------------------------------- */

static void bind_body(Binder *b, const TreeEntry *entry) {
    if (!new_name(b, entry, "camera", -1)) return;
    Body body = {.name = entry->word, .span = entry->word_span};
    int slots[2];
    bind_pair(b, SECTION_BODY, entry->value, "sensor", entry->word, "sensor wide", "sensor tall", slots);
    body.sensor_wide = slots[0];
    body.sensor_tall = slots[1];
    bind_pair(b, SECTION_BODY, entry->value, "pixels", entry->word, "pixels wide", "pixels tall", slots);
    body.pixels_wide = slots[0];
    body.pixels_tall = slots[1];
    LIST_PUSH(b->arena, b->bodies, body);
    bind_needs(b, SECTION_BODY, entry->value, entry->word_span);
}

static void bind_lens(Binder *b, const TreeEntry *entry) {
    if (!new_name(b, entry, "lens", -1)) return;
    LensKind lens = {.name = entry->word, .span = entry->word_span};
    lens.focal = word_of(b, SECTION_LENS, entry, "focal");
    lens.nearest = word_of(b, SECTION_LENS, entry, "nearest");
    lens.smallest = word_of(b, SECTION_LENS, entry, "smallest");
    LIST_PUSH(b->arena, b->lenses, lens);
    bind_needs(b, SECTION_LENS, entry->value, entry->word_span);
}

/* What is on hand: sizes of sheets, or lengths of timber. */
static void bind_on_hand(Binder *b, const TreeEntry *entry, Stock *stock, bool sheets) {
    const QuantitySlot wants = {.kind = KIND_LENGTH,
                                .form = sheets ? FORM_SIZE : FORM_ONE,
                                .place = PLACE_NO_DEPTH,
                                .instead = sheets
                                               ? "a sheet on hand is written `24 x 60 in`, an offcut too"
                                               : "of timber and rods each length on hand stands by itself: "
                                                 "`have: [30 in, 30 in, 18 in]`"};
    const TreeEntry *have = tree_entry(entry->value, "have");
    if (!have || have->value->kind != TREE_LIST) return; /* said by check_words */
    stock->have = ARENA_ARRAY(b->arena, StockOnHand, have->value->count);
    for (size_t i = 0; i < have->value->count; i++) {
        const Tree *value = have->value->items[i];
        int slots[2];
        for (size_t s = 0; s < 2; s++) {
            slots[s] =
                bind_hidden_slot(b, arena_format(b->arena, "%s.have", entry->word), KIND_LENGTH, false);
            if (s == 0 && !sheets) continue;
            bind_state(b, slots[s], value, have->word_span);
        }
        if (value->kind != TREE_TEXT)
            diagnostics_error(bind_list(b, value->span), span_part(value->span, 0, 1), "%s is a list of %s",
                              bind_where(b, "have"), sheets ? "sizes" : "lengths");
        bind_later(b, value, "have", wants, sheets ? slots : &slots[1], sheets ? 2 : 1);
        stock->have[stock->have_count++] =
            (StockOnHand){.wide = slots[0], .tall = slots[1], .span = value->span};
    }
}

static void in_sheets_and_lengths(Binder *b, const TreeEntry *entry, const TreeEntry *sheet,
                                  const TreeEntry *bar) {
    Diagnostics *list = bind_list(b, bar->word_span);
    Diagnostic *d = diagnostics_error(list, bar->word_span,
                                      "stock `%s` is sold in sheets or in lengths, not in both", entry->word);
    diagnostic_note(list, d, sheet->word_span, "the sheets");
    diagnostic_help(list, d, "leave one of the two out");
}

/* `24 x 60 in`, `24x60 in`, rather than `30 in`. */
static bool may_be_size(const char *text) {
    for (const char *sign = text; *sign; sign++) {
        const bool after = sign > text && (sign[-1] == ' ' || (sign[-1] >= '0' && sign[-1] <= '9'));
        if (text_starts(sign, "×") || (after && (*sign == 'x' || *sign == '*'))) return true;
    }
    return false;
}

/* Whether all that is on hand is one length each. */
static bool are_lengths(const Tree *have) {
    if (!have || have->kind != TREE_LIST || have->count == 0) return false;
    for (size_t i = 0; i < have->count; i++) {
        if (have->items[i]->kind != TREE_TEXT || may_be_size(have->items[i]->text)) return false;
    }
    return true;
}

static void on_hand_in_lengths(Binder *b, const TreeEntry *entry, const TreeEntry *have) {
    if (bind_may_be_misspelt(SECTION_STOCK, entry->value, "long")) return;
    Diagnostics *list = bind_list(b, have->word_span);
    Diagnostic *d = diagnostics_error(
        list, have->word_span, "stock `%s` has lengths on hand, but not how `long` it is sold", entry->word);
    diagnostic_help(list, d,
                    "timber and rods have `long: 96 in`; of sheets, what is on hand is written "
                    "`24 x 60 in`");
}

/* Sheets or lengths, and those on hand, which are the one or the other as the stock is: where that cannot be
 * told, they are not read. */
static void bind_form(Binder *b, const TreeEntry *entry, Stock *stock) {
    const TreeEntry *sheet = tree_entry(entry->value, "sheet"), *bar = tree_entry(entry->value, "long"),
                    *have = tree_entry(entry->value, "have");
    if (sheet && bar)
        in_sheets_and_lengths(b, entry, sheet, bar);
    else if (!sheet && !bar && have && are_lengths(have->value))
        on_hand_in_lengths(b, entry, have);
    else
        bind_on_hand(b, entry, stock, !bar);
}

static void bind_stock(Binder *b, const TreeEntry *entry) {
    if (!new_name(b, entry, "stock", -1)) return;
    Stock stock = {.name = entry->word, .span = entry->word_span};
    const Tree *kind = bind_text(entry->value, "kind");
    int slots[2];
    stock.kind = kind ? kind->text : NULL;
    bind_pair(b, SECTION_STOCK, entry->value, "sheet", entry->word, "sheet wide", "sheet tall", slots);
    stock.sheet_wide = slots[0];
    stock.sheet_tall = slots[1];
    stock.thick = word_of(b, SECTION_STOCK, entry, "thick");
    stock.area_weight = word_of(b, SECTION_STOCK, entry, "weighs");
    stock.density = word_of(b, SECTION_STOCK, entry, "density");
    stock.modulus = word_of(b, SECTION_STOCK, entry, "modulus");
    stock.bar_long = word_of(b, SECTION_STOCK, entry, "long");
    stock.kerf = word_of(b, SECTION_STOCK, entry, "kerf");
    stock.price = word_of(b, SECTION_STOCK, entry, "price");
    stock.grain = bind_choice(b, entry->value, "grain", CHOICE_GRAIN, 0) == 1;
    const int again = bind_choice(b, entry->value, "again", CHOICE_AGAIN, AGAIN_NEVER);
    stock.again = again > 0 ? (UseAgain)again : AGAIN_NEVER;
    bind_form(b, entry, &stock);
    LIST_PUSH(b->arena, b->stocks, stock);
}

/* --- the book as a whole ------------------------------------------------------------------------------- */

void bind_version(Binder *b, const Tree *table) {
    const Tree *value = bind_text(table, "groundrow");
    if (!value || text_equal(value->text, arena_format(b->arena, "%d", LANGUAGE_NUMBER))) return;
    size_t digits = 0;
    while (value->text[digits] >= '0' && value->text[digits] <= '9')
        digits++;
    Diagnostics *list = bind_list(b, value->span);
    if (value->text[digits] == '\0' && value->text[0] != '0') {
        Diagnostic *d = diagnostics_error(
            list, value->span, "this is written in number %s of the language; this groundrow knows up to %d",
            phrase_short(b->arena, value->text), LANGUAGE_NUMBER);
        diagnostic_help(list, d, "a newer groundrow reads it");
        return;
    }
    Diagnostic *d = diagnostics_error(list, value->span, "`groundrow` is the number of the language");
    diagnostic_help(list, d, "write `groundrow: %d`, or leave it out", LANGUAGE_NUMBER);
}

static void bind_table_and_room(Binder *b, const Tree *book) {
    Scene *scene = b->scene;
    const Tree *table = bind_table(book, "table"), *room = bind_table(book, "room");
    bind_enter(b, "table");
    scene->table_wide = bind_word(b, SECTION_TABLE, table, "wide", "table");
    scene->table_deep = bind_word(b, SECTION_TABLE, table, "deep", "table");
    scene->table_tall = bind_word(b, SECTION_TABLE, table, "tall", "table");
    scene->table_holds = bind_word(b, SECTION_TABLE, table, "holds", "table");
    scene->table_apart = bind_word(b, SECTION_TABLE, table, "apart", "table");
    scene->table_whole = bind_choice(b, table, "top", CHOICE_TOP, 0) == 1;
    const Tree *legs = bind_table(table, "legs");
    bind_enter(b, "legs");
    scene->legs_inset = bind_word(b, SECTION_LEGS, legs, "inset", "table.legs");
    scene->legs_thick = bind_word(b, SECTION_LEGS, legs, "thick", "table.legs");
    bind_leave(b);
    bind_leave(b);
    bind_enter(b, "room");
    scene->room_wide = bind_word(b, SECTION_ROOM, room, "wide", "room");
    scene->room_long = bind_word(b, SECTION_ROOM, room, "long", "room");
    scene->room_ceiling = bind_word(b, SECTION_ROOM, room, "ceiling", "room");
    int door[2];
    bind_pair(b, SECTION_ROOM, room, "door", "room", "door wide", "door tall", door);
    scene->door_wide = door[0];
    scene->door_tall = door[1];
    bind_leave(b);
    const Tree *tripod = bind_table(book, "tripod");
    bind_enter(b, "tripod");
    scene->tripod_lowest = bind_word(b, SECTION_TRIPOD, tripod, "lowest", "tripod");
    scene->tripod_highest = bind_word(b, SECTION_TRIPOD, tripod, "highest", "tripod");
    bind_leave(b);
    scene->carry = bind_word(b, SECTION_BOOK, book, "carry", "book");
    scene->reach = bind_word(b, SECTION_BOOK, book, "reach", "book");
}

void bind_book(Binder *b, const Tree *book) {
    Scene *scene = b->scene;
    const Tree *title = bind_text(book, "book");
    scene->book_title = title ? title->text : "";
    const int lengths = bind_choice(b, book, "lengths", CHOICE_LENGTHS, 0);
    scene->lengths = lengths == 1 ? STYLE_MILLIMETRES : STYLE_FEET_INCHES;
    const int usual = scene->lengths == STYLE_MILLIMETRES ? SHOP_A4 : SHOP_LETTER;
    const int paper = bind_choice(b, book, "shop sheets", CHOICE_PAPER, usual);
    scene->shop_paper = paper < 0 ? (ShopPaper)usual : (ShopPaper)paper;
    bind_version(b, book);
    scene->cut = bind_word(b, SECTION_BOOK, book, "cut", "book");
    scene->agree = bind_word(b, SECTION_BOOK, book, "agree", "book");
    scene->sharpness = bind_word(b, SECTION_BOOK, book, "sharpness", "book");
    scene->reading = bind_word(b, SECTION_BOOK, book, "reading", "book");
    each_name(b, book, "cast", bind_member);
    each_name(b, book, "cameras", bind_body);
    each_name(b, book, "lenses", bind_lens);
    each_name(b, book, "stock", bind_stock);
    bind_table_and_room(b, book);
    bind_circuits(b, book);
}

/* --- names of the book as values ----------------------------------------------------------------------- */

int bind_no_such(Binder *b, const Tree *value, const char *whose, const char *what, const char *const *names,
                 size_t count) {
    if (bind_is_poison(b, SCOPE_SET, value->text)) return -1;
    Diagnostics *list = bind_list(b, value->span);
    Diagnostic *d =
        diagnostics_error_once(list, arena_format(b->arena, "%s %s", what, value->text), value->span,
                               "%s has no %s `%s`", whose, what, phrase_short(b->arena, value->text));
    const char *near = text_nearest(value->text, names, count);
    if (near) {
        diagnostic_help(list, d, "did you mean `%s`?", near);
    } else if (count > 0) {
        Buffer all = buffer_new(b->arena);
        for (size_t i = 0; i < count && i < 12; i++)
            buffer_format(&all, "%s%s", i > 0 ? ", " : "", names[i]);
        diagnostic_help(list, d, "it has: %s", buffer_text(&all));
    }
    return -1;
}

int bind_stock_named(Binder *b, const Tree *value) {
    const char **names = ARENA_ARRAY(b->arena, const char *, b->stocks.count);
    for (size_t i = 0; i < b->stocks.count; i++) {
        names[i] = b->stocks.items[i].name;
        if (text_equal(names[i], value->text)) return (int)i;
    }
    return bind_no_such(b, value, "the book", "stock", names, b->stocks.count);
}

int bind_body_name(Binder *b, const Tree *table, Span *span) {
    const Tree *value = bind_text(table, "body");
    if (!value) return -1;
    *span = value->span;
    return bind_body_named(b, value);
}

int bind_body_named(Binder *b, const Tree *value) {
    const char **names = ARENA_ARRAY(b->arena, const char *, b->bodies.count);
    for (size_t i = 0; i < b->bodies.count; i++) {
        names[i] = b->bodies.items[i].name;
        if (text_equal(names[i], value->text)) return (int)i;
    }
    return bind_no_such(b, value, "the book", "camera", names, b->bodies.count);
}

int bind_lens_index(const Binder *b, const char *name) {
    for (size_t i = 0; i < b->lenses.count; i++) {
        if (text_equal(b->lenses.items[i].name, name)) return (int)i;
    }
    return -1;
}

int bind_cast_index(const Binder *b, const char *name) {
    const Named *named = bind_named(b, SCOPE_BOOK, name);
    for (int i = named ? bind_key_find(b, INDEX_NAMES, name) : -1; i >= 0; i = b->names.items[i].next) {
        if (b->names.items[i].of_book && b->names.items[i].cast >= 0) return b->names.items[i].cast;
    }
    return -1;
}
