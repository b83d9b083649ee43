/* The set as it stands: what was really built, and photographs of it with points that are marked in them. */
#include "base/text.h"
#include "bind.h"
#include "phrase.h"

#include <string.h>

/* --- things by their names as words -------------------------------------------------------------------- */

/* A thing's name that stands as a word, looked up as seen from `shot`, else in any shot. */
static int thing_of_word(Binder *b, const char *name, Span span, int shot, const char *where) {
    const Tree value = {.kind = TREE_TEXT, .text = name, .span = span};
    const Named *named = bind_named(b, shot, name);
    for (int s = 0; (!named || named->thing < 0) && s < (int)b->shots.count; s++) {
        const Named *other = bind_named(b, s, name);
        if (other && other->thing >= 0) return other->thing;
    }
    return bind_thing_named(b, shot, &value, where);
}

static bool stands_upright(ThingRole role) {
    return role == ROLE_PUPPET || role == ROLE_PIECE || role == ROLE_FLAT || role == ROLE_BACKDROP;
}

/* --- as built ------------------------------------------------------------------------------------------ */

static void only_one_side(Binder *b, const Tree *table) {
    const TreeEntry *right = tree_entry(table, "right"), *left = tree_entry(table, "left");
    if (!right || !left) return;
    const TreeEntry *second = span_compare(left->word_span, right->word_span) < 0 ? right : left;
    Diagnostics *list = bind_list(b, second->word_span);
    Diagnostic *d = diagnostics_error(list, second->word_span, "both `right` and `left` of the centre line");
    diagnostic_help(list, d, "leave one of the two out");
}

static void bind_one_built(Binder *b, const TreeEntry *entry) {
    const Tree *table = entry->value;
    const int thing = thing_of_word(b, entry->word, entry->word_span, SCOPE_SET, "`built`");
    if (thing >= 0 && !stands_upright(b->things.items[thing].role)) {
        Diagnostics *list = bind_list(b, entry->word_span);
        Diagnostic *d = diagnostics_error(list, entry->word_span, "`%s` is no thing that is put on the set",
                                          phrase_short(b->arena, entry->word));
        diagnostic_help(list, d, "puppets, pieces, flats and the backdrop can be told as built");
        return;
    }
    only_one_side(b, table);
    const char *owner = arena_format(b->arena, "built %s", entry->word);
    Built built = {.thing = thing, .span = entry->word_span};
    const struct {
        const char *word;
        int *slot;
    } words[] = {{"from front", &built.from_front},
                 {"right", &built.right},
                 {"left", &built.left},
                 {"up", &built.up},
                 {"wide", &built.wide},
                 {"tall", &built.tall},
                 {"deep", &built.deep},
                 {"thick", &built.thick},
                 {"turn", &built.turn}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        *words[i].slot = bind_word(b, SECTION_BUILT, table, words[i].word, owner);
    if (thing >= 0) LIST_PUSH(b->arena, b->built, built);
}

void bind_as_built(Binder *b, const Tree *scene) {
    const Tree *table = bind_table(scene, "built");
    bind_enter(b, "built");
    for (size_t i = 0; table && i < table->count; i++) {
        if (table->entries[i].value->kind != TREE_TABLE) continue; /* said already */
        bind_enter(b, table->entries[i].word);
        bind_one_built(b, &table->entries[i]);
        bind_leave(b);
    }
    bind_leave(b);
}

/* --- marks --------------------------------------------------------------------------------------------- */

static void bind_pixels(Binder *b, const Tree *value, const TreeEntry *entry, PhotoMark *mark) {
    static const QuantitySlot wants = {
        .kind = KIND_PIXELS, .place = PLACE_NO_DEPTH, .example = "2210 px", .of_camera = true};
    int *slots[] = {&mark->x, &mark->y};
    const bool whole = value->kind == TREE_LIST && value->count == 2;
    for (size_t i = 0; i < 2; i++) {
        const Tree *item = whole ? value->items[i] : value;
        *slots[i] = bind_hidden_slot(b, arena_format(b->arena, "marks.%s", entry->word), KIND_PIXELS, false);
        bind_state(b, *slots[i], item, entry->word_span);
        if (whole) bind_later(b, item, entry->word, wants, slots[i], 1);
    }
}

/* `far bank.top left`: the thing before the dot, the point behind it. Which points a thing has is known once
 * the scene is planned. */
static void bind_mark_of_photo(Binder *b, const TreeEntry *entry, int shot, PhotoMark *marks, size_t *count) {
    PhotoMark mark = {.name = entry->word, .point = "", .span = entry->word_span, .thing = -1};
    const char *dot = strchr(entry->word, '.');
    if (!text_equal(entry->word, "mark")) {
        const char *name = dot ? arena_copy(b->arena, entry->word, (size_t)(dot - entry->word)) : entry->word;
        const Span span =
            dot ? span_part(entry->word_span, 0, utf8_length(name, strlen(name))) : entry->word_span;
        mark.thing = thing_of_word(b, name, span, shot, bind_where(b, NULL));
        mark.point = dot ? dot + 1 : "";
        if (mark.thing < 0) return;
    }
    bind_pixels(b, entry->value, entry, &mark);
    marks[(*count)++] = mark;
}

static void bind_marks(Binder *b, const Tree *photo, Photo *bound) {
    const Tree *table = bind_table(photo, "marks");
    if (!table) return;
    bound->marks = ARENA_ARRAY(b->arena, PhotoMark, table->count);
    bind_enter(b, "marks");
    for (size_t i = 0; i < table->count; i++)
        bind_mark_of_photo(b, &table->entries[i], b->shots.count > 1 ? bound->shot : SCOPE_SET, bound->marks,
                           &bound->mark_count);
    bind_leave(b);
}

/* --- photographs --------------------------------------------------------------------------------------- */

static int shot_of_photo(Binder *b, const Tree *photo) {
    const Tree *value = bind_text(photo, "shot");
    if (!value) return 0;
    const char **names = ARENA_ARRAY(b->arena, const char *, b->shots.count);
    size_t count = 0;
    for (size_t i = 0; i < b->shots.count; i++) {
        if (!b->shots.items[i].name) continue;
        names[count++] = b->shots.items[i].name;
        if (text_equal(b->shots.items[i].name, value->text)) return (int)i;
    }
    if (count > 0) {
        bind_no_such(b, value, "the scene", "shot", names, count);
        return 0;
    }
    Diagnostics *list = bind_list(b, value->span);
    Diagnostic *d = diagnostics_error(list, value->span, "the scene has no `shots`");
    diagnostic_help(list, d, "leave `shot` out");
    return 0;
}

static void bind_photo(Binder *b, const TreeEntry *entry) {
    const Tree *photo = entry->value;
    const TreeEntry *lens = tree_entry(photo, "lens"), *image = tree_entry(photo, "image");
    Span body_span;
    Photo bound = {.name = entry->word,
                   .span = entry->word_span,
                   .shot = shot_of_photo(b, photo),
                   .image = bind_image(b, photo),
                   .image_span = image ? image->value->span : entry->word_span,
                   .body = bind_body_name(b, photo, &body_span),
                   .lens = -1,
                   .lens_kind = -1,
                   .lens_span = lens ? lens->value->span : entry->word_span,
                   .keeps_camera = bind_choice(b, photo, "keep", CHOICE_KEEP, -1) == 0};
    if (lens)
        bound.lens = bind_focal(b, lens->value, lens->word_span,
                                arena_format(b->arena, "photo %s.lens", entry->word), &bound.lens_kind);
    bind_marks(b, photo, &bound);
    bind_needs(b, SECTION_PHOTO, photo, entry->word_span);
    LIST_PUSH(b->arena, b->photos, bound);
}

void bind_photos(Binder *b, const Tree *scene) {
    const Tree *table = bind_table(scene, "photos");
    bind_enter(b, "photos");
    for (size_t i = 0; table && i < table->count; i++) {
        if (table->entries[i].value->kind != TREE_TABLE) continue; /* said already */
        bind_enter(b, table->entries[i].word);
        bind_photo(b, &table->entries[i]);
        bind_leave(b);
    }
    bind_leave(b);
}
