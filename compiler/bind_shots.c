/* A shot: pages, drawing, mark; and what the scene accepts. */
#include "base/text.h"
#include "bind.h"
#include "phrase.h"

#include <string.h>

static Span span_of(const Tree *words, const char *word, Span fallback) {
    const TreeEntry *entry = tree_entry(words, word);
    return entry ? entry->word_span : fallback;
}

/* --- pages --------------------------------------------------------------------------------------------- */

static bool read_page(const char **text, int *number) {
    const char *start = *text;
    *number = 0;
    while (**text >= '0' && **text <= '9' && *text - start < 5)
        *number = *number * 10 + (*(*text)++ - '0');
    return *text > start;
}

static void bind_pages(Binder *b, const Tree *words, Shot *shot) {
    const Tree *value = bind_text(words, "pages");
    if (!value) return;
    Diagnostics *list = bind_list(b, value->span);
    const char *text = value->text;
    int first, last;
    bool sound = read_page(&text, &first);
    last = first;
    if (sound && *text == '-' && text++) sound = read_page(&text, &last);
    shot->pages_span = value->span;
    if (!sound || *text || first < 1) {
        Diagnostic *d = diagnostics_error(list, value->span, "`pages` is one page, or two of a spread");
        diagnostic_help(list, d, "write `pages: 8` or `pages: 8-9`");
    } else if (last != first && last != first + 1) {
        Diagnostic *d = diagnostics_error(list, value->span, "the two pages do not follow one another");
        diagnostic_help(list, d, "write `pages: %d-%d`, or one page: `pages: %d`", first - first % 2,
                        first - first % 2 + 1, first);
    } else if (last != first && first % 2 != 0) {
        Diagnostic *d =
            diagnostics_error(list, value->span, "a spread begins with an even page, on the left");
        diagnostic_help(list, d, "write `pages: %d-%d` or `pages: %d-%d`", first > 1 ? first - 1 : 2,
                        first > 1 ? first : 3, last, last + 1);
    } else {
        shot->first_page = first;
        shot->last_page = last;
    }
}

/* A part of the pages, where the picture does not fill them. */
static void bind_picture(Binder *b, const Tree *page, Shot *shot) {
    const Tree *picture = bind_table(page, "picture");
    bind_enter(b, "picture");
    shot->picture_wide = bind_word(b, SECTION_PICTURE, picture, "wide", "page.picture");
    shot->picture_tall = bind_word(b, SECTION_PICTURE, picture, "tall", "page.picture");
    shot->picture_left = bind_word(b, SECTION_PICTURE, picture, "left", "page.picture");
    shot->picture_low = bind_word(b, SECTION_PICTURE, picture, "low", "page.picture");
    bind_leave(b);
}

static void bind_page(Binder *b, const Tree *words, Shot *shot) {
    const Tree *page = tree_merge(b->arena, bind_table(b->book, "page"), bind_table(words, "page"));
    bind_enter(b, "page");
    shot->page_wide = bind_word(b, SECTION_PAGE, page, "wide", "page");
    shot->page_tall = bind_word(b, SECTION_PAGE, page, "tall", "page");
    shot->bleed = bind_word(b, SECTION_PAGE, page, "bleed", "page");
    shot->safe = bind_word(b, SECTION_PAGE, page, "safe", "page");
    shot->gutter = bind_word(b, SECTION_PAGE, page, "gutter", "page");
    shot->print = bind_word(b, SECTION_PAGE, page, "print", "page");
    bind_picture(b, page, shot);
    bind_leave(b);
    const char *missing[2];
    size_t count = 0;
    if (!tree_find(page, "wide")) missing[count++] = "wide";
    if (!tree_find(page, "tall")) missing[count++] = "tall";
    if (count == 0 || b->book_alone || (page && !bind_all_words_known(SECTION_PAGE, page))) return;
    if ((!page && tree_find(words, "page")) || bind_may_be_misspelt(SECTION_BOOK, b->book, "page") ||
        bind_may_be_misspelt(SECTION_SCENE, words, "page") || !b->book)
        return;
    bind_enter(b, "page");
    bind_missing(b, shot->span, missing, count, "in the book: `page: {wide: 11 in, tall: 8 1/2 in}`");
    bind_leave(b);
}

/* Names of text areas are their own: nothing else is called by them. */
static void bind_text_areas(Binder *b, const Tree *words, Shot *shot) {
    const Tree *texts = bind_table(words, "text");
    TextArea *areas = ARENA_ARRAY(b->arena, TextArea, texts ? texts->count : 0);
    bind_enter(b, "text");
    for (size_t i = 0; texts && i < texts->count; i++) {
        const TreeEntry *entry = &texts->entries[i];
        if (entry->value->kind != TREE_TABLE) continue; /* said by check_words */
        const char *owner = arena_format(b->arena, "text.%s", entry->word);
        bind_enter(b, entry->word);
        areas[shot->text_count++] = (TextArea){
            .name = entry->word,
            .span = entry->word_span,
            .left = bind_word(b, SECTION_TEXT, entry->value, "left", owner),
            .low = bind_word(b, SECTION_TEXT, entry->value, "low", owner),
            .wide = bind_word(b, SECTION_TEXT, entry->value, "wide", owner),
            .tall = bind_word(b, SECTION_TEXT, entry->value, "tall", owner),
        };
        bind_needs(b, SECTION_TEXT, entry->value, entry->word_span);
        bind_leave(b);
    }
    bind_leave(b);
    shot->texts = areas;
}

/* --- drawing ------------------------------------------------------------------------------------------- */

/* Settles how everything on the drawing is read, so it is told from the text alone. */
static bool is_in_px(const Tree *wide) {
    const char *text = wide ? wide->text : "";
    const size_t count = strlen(text);
    const char before = count > 2 ? text[count - 3] : 'p';
    return text_ends(text, "px") && !((before >= 'a' && before <= 'z') || (before >= 'A' && before <= 'Z'));
}

static bool leaves_the_folder(const char *path) {
    return path[0] == '/' || text_equal(path, "..") || text_starts(path, "../") || strstr(path, "/../") ||
           text_ends(path, "/..");
}

static int want(Binder *b, const char *path, Span span, bool optional) {
    LIST_PUSH(b->arena, b->wanted, (WantedFile){.path = path, .span = span, .optional = optional});
    return (int)b->wanted.count - 1;
}

int bind_image(Binder *b, const Tree *table) {
    const Tree *value = bind_text(table, "image");
    if (!value) return -1;
    Diagnostics *list = bind_list(b, value->span);
    const char *shown = phrase_short(b->arena, value->text);
    if (strchr(value->text, '\\')) {
        Diagnostic *d = diagnostics_error(list, value->span, "a `\\` in the path `%s`", shown);
        char *path = arena_string(b->arena, value->text);
        for (char *c = path; *c; c++) {
            if (*c == '\\') *c = '/';
        }
        diagnostic_help(list, d, "write `%s`", phrase_short(b->arena, path));
        return -1;
    }
    if (leaves_the_folder(value->text)) {
        Diagnostic *d = diagnostics_error(list, value->span, "`%s` lies outside the book's folder", shown);
        diagnostic_help(list, d, "copy it into the book's folder");
        return -1;
    }
    return want(b, value->text, value->span, false);
}

/* `drawings/08-fog.png`; of several shots, `drawings/08-fog-wide.png`. */
static const char *usual_image(Binder *b, const Shot *shot) {
    if (!shot->name) return arena_format(b->arena, "drawings/%s.png", b->scene->name);
    char *path = arena_format(b->arena, "drawings/%s-%s.png", b->scene->name, shot->name);
    for (char *c = path; *c; c++) {
        if (*c == ' ') *c = '-';
    }
    return path;
}

static void bind_drawing(Binder *b, const Tree *words, Shot *shot) {
    const TreeEntry *entry = tree_entry(words, "drawing");
    const Tree *drawing = bind_table(words, "drawing");
    shot->drawing_stated = entry != NULL;
    shot->drawing_in_px = is_in_px(bind_text(drawing, "wide"));
    b->drawing_in_pixels = shot->drawing_in_px;
    b->no_drawing = !entry && !b->book_alone;
    if (entry) shot->drawing_span = entry->word_span;
    bind_enter(b, "drawing");
    shot->drawing_wide = bind_word(b, SECTION_DRAWING, drawing, "wide", "drawing");
    bind_leave(b);
    shot->image = bind_image(b, drawing);
    if (drawing && !tree_find(drawing, "image") && !b->book_alone)
        shot->image = want(b, usual_image(b, shot), (Span){0}, true);
}

/* --- mark ---------------------------------------------------------------------------------------------- */

void bind_mark_words(Binder *b, int thing, const Tree *mark, bool piece) {
    static const FieldWord words[] = {{"up", FIELD_UP}, {"turn", FIELD_TURN}};
    bind_fields(b, thing, SECTION_MARK, mark, words, sizeof words / sizeof *words);
    bind_drawn(b, thing, mark);
    bind_atop(b, thing, mark);
    if (!piece) return;
    const TreeEntry *pose = tree_entry(mark, "pose");
    if (pose) diagnostics_error(bind_list(b, pose->word_span), pose->word_span, "only a puppet has a `pose`");
}

/* `mark.eyes` is the leading thing's. */
static void name_the_lead(Binder *b, const Shot *shot) {
    if (shot->lead < 0) return;
    const Thing *lead = &b->things.items[shot->lead];
    for (int field = 0; field < FIELD_COUNT; field++) {
        const ReadableRow *row = vocabulary_readable_as(lead->role, (Field)field);
        const char *path = row ? arena_format(b->arena, "mark.%s", row->words) : NULL;
        if (row && bind_key_find(b, b->current_shot, path) < 0)
            bind_key(b, b->current_shot, path, lead->slot[field]);
    }
}

static void needs_a_lead(Binder *b, const Tree *words, Span span) {
    const Tree *mark = bind_table(words, "mark");
    if (mark && mark->count == 0) return; /* said by check_words */
    if (b->book_alone || b->unsure || (mark && !bind_all_words_known(SECTION_MARK, mark))) return;
    if (bind_may_be_misspelt(SECTION_SCENE, words, "mark")) return;
    Diagnostics *list = bind_list(b, span);
    Diagnostic *d = diagnostics_error(list, span, "it is not said which puppet leads");
    diagnostic_help(list, d, "write `mark: {puppet: %s, drawn: {foot: [x, y], tall: ...}}`",
                    b->cast.count > 0 ? b->cast.items[0].name : "otter");
}

static void bind_mark(Binder *b, const Tree *words, Shot *shot, bool first) {
    const TreeEntry *entry = tree_entry(words, "mark");
    const Tree *mark = bind_table(words, "mark"), *at = bind_table(mark, "at");
    shot->mark_span = span_of(words, "mark", shot->span);
    shot->lead = -1;
    bind_enter(b, "mark");
    if (at && first) {
        const Span span = span_of(mark, "at", shot->span);
        Diagnostics *list = bind_list(b, span);
        Diagnostic *d = diagnostics_error(
            list, span, "this mark has no `at`: it is the place that everything is measured from");
        diagnostic_help(list, d, "only the marks of later shots have one");
    }
    bind_enter(b, "at");
    shot->mark_across = bind_word(b, SECTION_AT, at, "across", "mark.at");
    shot->mark_back = bind_word(b, SECTION_AT, at, "back", "mark.at");
    bind_leave(b);
    if (bind_text(mark, "puppet"))
        shot->lead = bind_lead_puppet(b, mark);
    else if (!entry || (mark && !tree_find(mark, "puppet") && !tree_find(mark, "piece")))
        needs_a_lead(b, words, shot->mark_span);
    bind_leave(b);
    name_the_lead(b, shot);
}

/* --- the shot as a whole ------------------------------------------------------------------------------- */

void bind_shot(Binder *b, const Tree *words, const TreeEntry *name, int index, bool only) {
    Shot shot = {.name = name ? name->word : NULL, .span = name ? name->word_span : b->scene->span};
    b->current_shot = only ? SCOPE_SET : index;
    bind_pages(b, words, &shot);
    bind_page(b, words, &shot);
    bind_text_areas(b, words, &shot);
    bind_drawing(b, words, &shot);
    bind_mark(b, words, &shot, index == 0);
    bind_camera(b, words, &shot);
    bind_allow(b, words, &shot);
    bind_also(b, words, &shot);
    LIST_PUSH(b->arena, b->shots, shot);
}

/* --- what names things --------------------------------------------------------------------------------- */

/* The leading piece stands at the mark, and what is drawn of it is said there. */
static bool has_place_of_its_own(Binder *b, const Thing *lead) {
    static const Field placed[] = {FIELD_ACROSS, FIELD_BACK, FIELD_DRAWN_X, FIELD_DRAWN_TALL,
                                   FIELD_DRAWN_WIDE};
    for (size_t i = 0; i < sizeof placed / sizeof *placed; i++) {
        const Slot *slot = &b->slots.items[lead->slot[placed[i]]];
        if (!slot->stated) continue;
        Diagnostics *list = bind_list(b, slot->word_span);
        Diagnostic *d =
            diagnostics_error(list, slot->word_span, "`%s` leads, so it stands at the mark", lead->name);
        diagnostic_help(list, d, "leave its place out here; what is drawn of it stands under `mark`");
        return true;
    }
    return false;
}

/* Turn, height: said under the piece or at the mark. */
static bool is_said_twice(Binder *b, const Thing *lead, const Tree *mark) {
    static const char *const words[] = {"turn", "up", "atop"};
    const Span said[] = {b->slots.items[lead->slot[FIELD_TURN]].word_span,
                         b->slots.items[lead->slot[FIELD_UP]].word_span, lead->atop_span};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        const TreeEntry *entry = tree_entry(mark, words[i]);
        if (!entry || span_is_none(said[i])) continue;
        Diagnostics *list = bind_list(b, entry->word_span);
        Diagnostic *d =
            diagnostics_error(list, entry->word_span, "`%s` of `%s` is said twice", words[i], lead->name);
        diagnostic_note(list, d, said[i], "the first time");
        return true;
    }
    return false;
}

static bool says_more_than_where(const Tree *mark) {
    return tree_find(mark, "drawn") || tree_find(mark, "turn") || tree_find(mark, "up") ||
           tree_find(mark, "atop");
}

/* A piece is one thing in all shots: it is drawn once, and stands one way. */
static void leads_already(Binder *b, const Tree *value) {
    Diagnostics *list = bind_list(b, value->span);
    Diagnostic *d = diagnostics_error(
        list, value->span, "`%s` leads in another shot, where it is said how it stands and is drawn",
        value->text);
    diagnostic_help(list, d,
                    "here write `mark: {piece: %s}`, and state the camera: `lens`, `distance`, `height`",
                    value->text);
}

static void bind_lead_piece(Binder *b, const Tree *mark, const Tree *value, Shot *shot) {
    bind_enter(b, "mark");
    const char *where = bind_where(b, "piece");
    const int thing = bind_thing_named(b, b->current_shot, value, where);
    Thing *lead = thing >= 0 ? &b->things.items[thing] : NULL;
    if (lead && lead->role != ROLE_PIECE)
        diagnostics_error(bind_list(b, value->span), value->span, "`%s` is no piece, in %s", value->text,
                          where);
    else if (lead && lead->lead && says_more_than_where(mark))
        leads_already(b, value);
    else if (lead && (lead->lead || (!has_place_of_its_own(b, lead) && !is_said_twice(b, lead, mark)))) {
        if (!lead->lead) bind_mark_words(b, thing, mark, true);
        b->things.items[thing].lead = true;
        shot->lead = thing;
        name_the_lead(b, shot);
    }
    bind_leave(b);
}

void bind_shot_names(Binder *b, const Tree *words, int index) {
    Shot *shot = &b->shots.items[index];
    const Tree *mark = bind_table(words, "mark"), *camera = bind_table(words, "camera");
    const Tree *piece = bind_text(mark, "piece"), *focus = bind_text(camera, "focus");
    if (piece && tree_find(mark, "puppet"))
        diagnostics_error(bind_list(b, piece->span), piece->span, "either a puppet leads, or a piece");
    else if (piece)
        bind_lead_piece(b, mark, piece, shot);
    if (focus) {
        bind_enter(b, "camera");
        shot->focus = bind_thing_named(b, b->current_shot, focus, bind_where(b, "focus"));
        bind_leave(b);
    }
    bind_sharp(b, words, shot);
}

/* --- accepted warnings --------------------------------------------------------------------------------- */

static bool is_known_warning(Binder *b, const Tree *item, const char *word) {
    const char **words = ARENA_ARRAY(b->arena, const char *, vocabulary_warning_count);
    for (size_t i = 0; i < vocabulary_warning_count; i++) {
        words[i] = vocabulary_warnings[i].word;
        if (text_equal(words[i], word)) return true;
    }
    const size_t before = utf8_length(item->text, (size_t)(word - item->text));
    const Span span =
        item->quoted ? item->span : span_part(item->span, before, utf8_length(word, strlen(word)));
    Diagnostics *list = bind_list(b, span);
    Diagnostic *d = diagnostics_error(list, span, "there is no warning `%s`", phrase_short(b->arena, word));
    const char *near = text_nearest(word, words, vocabulary_warning_count);
    if (near)
        diagnostic_help(list, d, "did you mean `%s`?", near);
    else
        diagnostic_help(list, d,
                        "the word stands in `attention` of the report, behind the thing's name; "
                        "`groundrow words` lists all of them");
    return false;
}

static bool is_on_the_set(const Binder *b, const char *name) {
    for (int i = bind_key_find(b, INDEX_NAMES, name); i >= 0; i = b->names.items[i].next) {
        if (b->names.items[i].thing >= 0 || b->names.items[i].faulty) return true;
    }
    return false;
}

/* Lamps and circuits have names of their own. */
static bool is_of_light(const Binder *b, const char *name) {
    for (size_t i = 0; i < b->lamps.count; i++) {
        if (text_equal(b->lamps.items[i].name, name)) return true;
    }
    for (size_t i = 0; i < b->circuits.count; i++) {
        if (text_equal(b->circuits.items[i].name, name)) return true;
    }
    return false;
}

/* A section of the scene or of the book that warnings may be about. */
static bool is_a_section(const char *name) {
    if (text_equal(name, "pages")) return true;
    const WordRow *of_scene = vocabulary_find(SECTION_SCENE, name),
                  *of_book = vocabulary_find(SECTION_BOOK, name);
    return (of_scene && of_scene->holds == HOLDS_TABLE) || (of_book && of_book->holds == HOLDS_TABLE);
}

/* Things of any shot, and the sections that warnings are about. What every scene accepts may be of another
 * scene. */
static bool is_known_thing(Binder *b, const Tree *item, const char *thing) {
    if (is_on_the_set(b, thing) || b->unsure || item->span.file == 0) return true;
    if (is_of_light(b, thing) || is_a_section(thing)) return true;
    const char **names = ARENA_ARRAY(b->arena, const char *, b->names.count);
    size_t count = 0;
    for (size_t i = 0; i < b->names.count; i++) {
        if (b->names.items[i].thing >= 0) names[count++] = b->names.items[i].name;
    }
    const Span span = item->quoted ? item->span : span_part(item->span, 0, utf8_length(thing, strlen(thing)));
    Diagnostics *list = bind_list(b, span);
    const bool off = bind_named(b, SCOPE_SET, thing) != NULL;
    Diagnostic *d = diagnostics_error(
        list, span, off ? "`%s` is not on the set, in `accept`" : "unknown name `%s` in `accept`",
        phrase_short(b->arena, thing));
    const char *near = off ? NULL : text_nearest(thing, names, count);
    if (near)
        diagnostic_help(list, d, "did you mean `%s`?", near);
    else
        diagnostic_help(list, d,
                        "the name is the first word of its line in `attention` of the report: a thing on the "
                        "set, a lamp, a circuit, or a section such as `camera`");
    return false;
}

static void bind_accept(Binder *b, const Tree *item) {
    if (item->kind == TREE_FAULTY) return;
    const char *blank = item->kind == TREE_TEXT ? strrchr(item->text, ' ') : NULL;
    if (!blank) {
        const Span span = item->kind == TREE_TEXT ? item->span : span_part(item->span, 0, 1);
        Diagnostics *list = bind_list(b, span);
        Diagnostic *d =
            diagnostics_error(list, span, "an accepted warning is a thing's name and the warning's word");
        diagnostic_help(list, d, "write `accept: [heron drawn-apart]`");
        return;
    }
    const char *thing = arena_copy(b->arena, item->text, (size_t)(blank - item->text));
    if (!is_known_warning(b, item, blank + 1) || !is_known_thing(b, item, thing)) return;
    LIST_PUSH(b->arena, b->accepts, (Accept){thing, blank + 1, item->span});
}

void bind_accepts(Binder *b, const Tree *list) {
    for (size_t i = 0; list && list->kind == TREE_LIST && i < list->count; i++)
        bind_accept(b, list->items[i]);
}
