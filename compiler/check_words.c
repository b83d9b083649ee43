#include "check_words.h"

#include "phrase.h"

#include <string.h>

enum { PATH_MOST = 12 };

typedef struct Walk {
    Arena *arena;
    Diagnostics *diagnostics;
    const char *path[PATH_MOST];
    size_t depth;
    SectionId outer;   /* the section around this one's table; SECTION_COUNT: none, or names between them */
    const Tree *under; /* the table that this one is laid over, or NULL */
} Walk;

static const char *here(const Walk *walk) {
    return phrase_of_path(walk->arena, walk->path, walk->depth);
}

/* `ferry: {shape: box}`, as it would stand in one line. */
static void print_inline(Buffer *out, const Tree *tree) {
    switch (tree->kind) {
    case TREE_TEXT:
        buffer_add(out, tree->text);
        return;
    case TREE_LIST:
        buffer_add(out, "[");
        for (size_t i = 0; i < tree->count; i++) {
            buffer_add(out, i > 0 ? ", " : "");
            print_inline(out, tree->items[i]);
        }
        buffer_add(out, "]");
        return;
    case TREE_FAULTY:
        buffer_add(out, "...");
        return;
    case TREE_TABLE:
        break;
    }
    buffer_add(out, "{");
    for (size_t i = 0; i < tree->count; i++) {
        buffer_format(out, "%s%s: ", i > 0 ? ", " : "", tree->entries[i].word);
        print_inline(out, tree->entries[i].value);
    }
    buffer_add(out, "}");
}

/* A word that stands one table too far out, or too far in. */
static bool help_misplaced(const Walk *walk, SectionId section, const TreeEntry *entry, Diagnostic *d) {
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        const WordRow *row = &vocabulary_words[i];
        if (row->section != section || row->holds != HOLDS_TABLE ||
            !vocabulary_find((SectionId)row->detail, entry->word))
            continue;
        Buffer value = buffer_new(walk->arena);
        print_inline(&value, entry->value);
        diagnostic_help(walk->diagnostics, d, "write `%s: {%s: %s}`", row->word, entry->word,
                        phrase_short(walk->arena, buffer_text(&value)));
        return true;
    }
    if ((section == SECTION_PUPPET || section == SECTION_MARK) &&
        vocabulary_find(SECTION_CAST, entry->word)) {
        diagnostic_help(walk->diagnostics, d, "the book says it of the puppet, under `cast`");
        return true;
    }
    if (walk->depth == 0 || walk->outer == SECTION_COUNT || !vocabulary_find(walk->outer, entry->word))
        return false;
    diagnostic_help(walk->diagnostics, d, "it stands beside `%s`, not in it", walk->path[walk->depth - 1]);
    return true;
}

static void unknown_word(const Walk *walk, SectionId section, const TreeEntry *entry) {
    const char *words[SECTION_WORDS_MOST];
    const size_t count = vocabulary_list(section, words, SECTION_WORDS_MOST);
    const char *near = text_nearest(entry->word, words, count);
    const char *where = walk->depth > 0 ? here(walk) : section == SECTION_BOOK ? "the book" : "the scene";
    Diagnostic *d = diagnostics_error(walk->diagnostics, entry->word_span, "unknown word `%s` in %s",
                                      phrase_short(walk->arena, entry->word), where);
    if (help_misplaced(walk, section, entry, d)) return;
    if (near) {
        diagnostic_help(walk->diagnostics, d, "did you mean `%s`?", near);
        return;
    }
    Buffer list = buffer_new(walk->arena);
    for (size_t i = 0; i < count; i++)
        buffer_format(&list, "%s%s", i > 0 ? ", " : "", words[i]);
    diagnostic_help(walk->diagnostics, d, "%s has: %s", vocabulary_sections[section].one, buffer_text(&list));
}

static void not_a_table(const Walk *walk, const char *word, const Tree *value, const char *wanted) {
    if (value->kind == TREE_LIST) {
        Diagnostic *d = diagnostics_error(walk->diagnostics, span_part(value->span, 0, 1),
                                          "`%s` is a list; a table of %s is wanted", word, wanted);
        const Tree *first = value->count > 0 ? value->items[0] : NULL;
        if (first && first->kind == TREE_TABLE && first->count > 0) {
            Buffer example = buffer_new(walk->arena);
            buffer_format(&example, "%s: ", first->entries[0].word);
            print_inline(&example, first->entries[0].value);
            diagnostic_help(walk->diagnostics, d, "leave the dashes out: `%s`",
                            phrase_short(walk->arena, buffer_text(&example)));
        }
        return;
    }
    diagnostics_error(walk->diagnostics, value->span, "`%s` is `%s`; a table of %s is wanted", word,
                      phrase_short(walk->arena, value->text), wanted);
}

/* ---- What is empty: `lamps: {}`, `sharp: []` */

static const Tree *table_under(const Tree *under, const char *word) {
    const Tree *found = under ? tree_find(under, word) : NULL;
    return found && found->kind == TREE_TABLE ? found : NULL;
}

/* A list that is laid over another takes that away; a table adds to what it is laid over, and so nothing.
 * Some tables say something by being there, or are asked for what they lack where they are bound. */
static bool is_empty(const Walk *walk, const WordRow *row, const Tree *value) {
    const bool list = value->kind == TREE_LIST;
    if (value->kind == TREE_TEXT || value->count > 0) return false;
    switch (row->holds) {
    case HOLDS_LENSES:
    case HOLDS_THINGS:
    case HOLDS_SIZES:
    case HOLDS_SCENES:
    case HOLDS_ACCEPTS:
    case HOLDS_LAYERS:
        return list && !(walk->under && tree_find(walk->under, row->word));
    case HOLDS_TABLE:
        return !list && row->detail != SECTION_BASE && row->detail != SECTION_BACKDROP;
    case HOLDS_NAMES:
    case HOLDS_BODIES:
    case HOLDS_MARKS:
        return !list;
    default:
        return false;
    }
}

static void say_empty(const Walk *walk, const char *word, Span span, bool list) {
    Diagnostic *d =
        diagnostics_error(walk->diagnostics, span, "`%s` is empty", phrase_short(walk->arena, word));
    diagnostic_help(walk->diagnostics, d,
                    list ? "write what is meant into the brackets, or leave it out"
                         : "write what is meant into it, or leave it out");
}

/* ---- Values */

static void check_table(Walk *walk, SectionId section, const Tree *table);

static void check_named(Walk *walk, const WordRow *row, const TreeEntry *entry) {
    const Tree *value = entry->value;
    if (value->kind == TREE_TABLE && value->count == 0 && row->detail == SECTION_BUILT)
        say_empty(walk, entry->word, entry->word_span, false);
    else if (value->kind == TREE_TABLE)
        check_table(walk, (SectionId)row->detail, value);
    else if (value->kind != TREE_FAULTY)
        not_a_table(walk, entry->word, value, "words");
}

/* `table` is the one in which the names' word stands: shots are laid over it. */
static void check_names(Walk *walk, const WordRow *row, const Tree *value, const Tree *table) {
    if (value->kind != TREE_TABLE) {
        not_a_table(walk, row->word, value, "names");
        return;
    }
    const SectionId outer = walk->outer;
    const Tree *under = walk->under, *names_under = table_under(under, row->word);
    const Tree *scene = row->detail == SECTION_SHOT ? tree_merge(walk->arena, under, table) : NULL;
    walk->outer = SECTION_COUNT;
    for (size_t i = 0; i < value->count; i++) {
        const TreeEntry *entry = &value->entries[i];
        walk->under = scene ? scene : table_under(names_under, entry->word);
        walk->path[walk->depth++] = entry->word;
        check_named(walk, row, entry);
        walk->depth--;
    }
    walk->outer = outer;
    walk->under = under;
}

static void check_text(const Walk *walk, const WordRow *row, const Tree *value) {
    if (value->kind == TREE_TEXT) return;
    Diagnostic *d = diagnostics_error(
        walk->diagnostics, span_part(value->span, 0, 1), "`%s` of %s is a %s; one value is wanted", row->word,
        walk->depth > 1 ? phrase_of_path(walk->arena, walk->path, walk->depth - 1) : "the file",
        value->kind == TREE_LIST ? "list" : "table");
    if (value->kind == TREE_LIST && row->holds == HOLDS_NAME && row->detail == NAMES_STOCK)
        diagnostic_help(walk->diagnostics, d,
                        "only the ground, the base and pieces are built of several stocks in layers");
}

/* `[190 mm, 62 mm]`: two texts in brackets. */
static void check_pair(const Walk *walk, const Tree *value, const char *word, const char *wanted,
                       const char *example) {
    bool texts = value->kind == TREE_LIST && value->count == 2;
    for (size_t i = 0; texts && i < 2; i++)
        texts = value->items[i]->kind == TREE_TEXT || value->items[i]->kind == TREE_FAULTY;
    if (texts) return;
    Diagnostic *d = diagnostics_error(walk->diagnostics,
                                      value->kind == TREE_TEXT ? value->span : span_part(value->span, 0, 1),
                                      "%s is %s", here(walk), wanted);
    diagnostic_help(walk->diagnostics, d, "write `%s: %s`", phrase_short(walk->arena, word), example);
}

static void check_marks(Walk *walk, const WordRow *row, const Tree *value) {
    if (value->kind != TREE_TABLE) {
        not_a_table(walk, row->word, value, "points");
        return;
    }
    for (size_t i = 0; i < value->count; i++) {
        const TreeEntry *entry = &value->entries[i];
        walk->path[walk->depth++] = entry->word;
        if (entry->value->kind != TREE_FAULTY)
            check_pair(walk, entry->value, entry->word, "two numbers of pixels in brackets",
                       "[2210 px, 2804 px]");
        walk->depth--;
    }
}

static void check_inner_table(Walk *walk, const WordRow *row, const Tree *value) {
    const SectionId outer = walk->outer;
    const Tree *under = walk->under;
    walk->outer = row->section;
    walk->under = table_under(under, row->word);
    check_table(walk, (SectionId)row->detail, value);
    walk->outer = outer;
    walk->under = under;
}

/* `{test: 40 mm, hired: [50 mm, portrait]}`: whose cameras and lenses these are is said where they are bound.
 */
static void check_bodies(Walk *walk, const WordRow *row, const Tree *value) {
    if (value->kind != TREE_TABLE) {
        Diagnostic *d = diagnostics_error(
            walk->diagnostics, value->kind == TREE_TEXT ? value->span : span_part(value->span, 0, 1),
            "`%s` is a table of cameras, each with its lens", row->word);
        diagnostic_help(walk->diagnostics, d, "write `%s: {%s: 40 mm}`", row->word,
                        value->kind == TREE_TEXT ? phrase_short(walk->arena, value->text) : "test");
        return;
    }
    for (size_t i = 0; i < value->count; i++) {
        const TreeEntry *entry = &value->entries[i];
        const Tree *lenses = entry->value;
        if (lenses->kind == TREE_TEXT || lenses->kind == TREE_FAULTY ||
            (lenses->kind == TREE_LIST && lenses->count > 0))
            continue;
        Diagnostic *d = diagnostics_error(walk->diagnostics, entry->word_span,
                                          "`%s` in %s is a lens, or several in brackets",
                                          phrase_short(walk->arena, entry->word), here(walk));
        diagnostic_help(walk->diagnostics, d, "write `%s: {%s: 40 mm}`", row->word,
                        phrase_short(walk->arena, entry->word));
    }
}

static void check_things(Walk *walk, const WordRow *row, const Tree *value) {
    if (value->kind == TREE_LIST) return;
    const Span span = value->kind == TREE_TEXT ? value->span : span_part(value->span, 0, 1);
    Diagnostic *d = diagnostics_error(walk->diagnostics, span, "%s is a list in brackets", here(walk));
    if (value->kind == TREE_TEXT)
        diagnostic_help(walk->diagnostics, d, "write `%s: [%s]`", row->word,
                        phrase_short(walk->arena, value->text));
}

/* A name, or names in brackets. */
static void check_layers(const Walk *walk, const WordRow *row, const Tree *value) {
    if (value->kind != TREE_LIST) {
        check_text(walk, row, value);
        return;
    }
    for (size_t i = 0; i < value->count; i++) {
        const Tree *item = value->items[i];
        if (item->kind == TREE_TEXT || item->kind == TREE_FAULTY) continue;
        diagnostics_error(walk->diagnostics, span_part(item->span, 0, 1), "each of %s is a name", here(walk));
    }
    if (value->count > LAYER_STOCKS_MOST)
        diagnostics_error(walk->diagnostics, value->items[LAYER_STOCKS_MOST]->span,
                          "more than %d stocks in %s", LAYER_STOCKS_MOST, here(walk));
}

static void check_value(Walk *walk, const WordRow *row, const TreeEntry *entry, const Tree *table) {
    const Tree *value = entry->value;
    if (value->kind == TREE_FAULTY) return; /* said already */
    if (is_empty(walk, row, value)) {
        say_empty(walk, entry->word, entry->word_span, value->kind == TREE_LIST);
        return;
    }
    switch (row->holds) {
    case HOLDS_TABLE:
        if (value->kind == TREE_TABLE)
            check_inner_table(walk, row, value);
        else
            not_a_table(walk, row->word, value, "words");
        return;
    case HOLDS_NAMES:
        check_names(walk, row, value, table);
        return;
    case HOLDS_POINT:
        check_pair(walk, value, row->word, "two lengths in brackets", "[190 mm, 62 mm]");
        return;
    case HOLDS_MARKS:
        check_marks(walk, row, value);
        return;
    case HOLDS_ACCEPTS:
        if (value->kind != TREE_LIST) {
            Diagnostic *d =
                diagnostics_error(walk->diagnostics, value->span, "`%s` is a list in brackets", row->word);
            diagnostic_help(walk->diagnostics, d, "write `accept: [heron drawn-apart]`");
        }
        return;
    case HOLDS_FOCUS:
        if (value->kind == TREE_TABLE)
            check_inner_table(walk, row, value);
        else
            check_text(walk, row, value);
        return;
    case HOLDS_BODIES:
        check_bodies(walk, row, value);
        return;
    case HOLDS_THINGS:
    case HOLDS_SIZES:
    case HOLDS_SCENES:
        check_things(walk, row, value);
        return;
    case HOLDS_LAYERS:
        check_layers(walk, row, value);
        return;
    case HOLDS_LENSES:
        if (value->kind == TREE_TABLE)
            diagnostics_error(walk->diagnostics, span_part(value->span, 0, 1),
                              "%s is a range or a list in brackets", here(walk));
        return;
    default:
        check_text(walk, row, value);
        return;
    }
}

static void check_table(Walk *walk, SectionId section, const Tree *table) {
    if (walk->depth >= PATH_MOST) return; /* text_to_tree allows no such depth */
    for (size_t i = 0; i < table->count; i++) {
        const TreeEntry *entry = &table->entries[i];
        const WordRow *row = vocabulary_find(section, entry->word);
        if (!row) {
            unknown_word(walk, section, entry);
            continue;
        }
        walk->path[walk->depth++] = entry->word;
        check_value(walk, row, entry, table);
        walk->depth--;
    }
}

void check_words(Arena *arena, SectionId section, const Tree *table, const Tree *under,
                 Diagnostics *diagnostics) {
    Walk walk = {.arena = arena, .diagnostics = diagnostics, .outer = SECTION_COUNT, .under = under};
    if (table->kind != TREE_TABLE) {
        diagnostics_error(diagnostics, table->span, "%s is a table of words",
                          section == SECTION_BOOK ? "the book" : "a scene");
        return;
    }
    check_table(&walk, section, table);
}
