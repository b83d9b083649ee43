#include "text_to_tree.h"

#include "comma_traps.h"
#include "composer.h"
#include "phrase.h"
#include "text_check.h"
#include "text_prescan.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FEW_ENTRIES = 8 };

/* ---- Tables and lists */

static Tree *compose(Composer *c, const Word *word, bool flow, size_t level);

/* A value inside { } or [ ] that a comma may have cut. */
typedef struct LastText {
    const char *text; /* NULL: the last value is no plain text */
    CommaPlace place;
} LastText;

typedef struct Table {
    LIST(TreeEntry) entries;
    uint32_t *slots; /* entry numbers from 1 by hash, once there are more than a few */
    size_t slot_count;
    bool flow;
    LastText last;
    CommaSplit split;
    bool comma_said; /* about the last value */
    bool unreadable; /* something stands in it that is no word */
} Table;

static size_t word_hash(const char *word) {
    uint64_t hash = 14695981039346656037u;
    for (; *word; word++)
        hash = (hash ^ (unsigned char)*word) * 1099511628211u;
    return (size_t)(hash ^ hash >> 32);
}

static uint32_t *table_slot(const Table *table, const char *word) {
    size_t at = word_hash(word) & (table->slot_count - 1);
    while (table->slots[at] != 0 && !text_equal(table->entries.items[table->slots[at] - 1].word, word))
        at = (at + 1) & (table->slot_count - 1);
    return &table->slots[at];
}

static const TreeEntry *table_find(const Table *table, const char *word) {
    if (table->slots) {
        const uint32_t number = *table_slot(table, word);
        return number > 0 ? &table->entries.items[number - 1] : NULL;
    }
    for (size_t i = 0; i < table->entries.count; i++) {
        if (text_equal(table->entries.items[i].word, word)) return &table->entries.items[i];
    }
    return NULL;
}

static void table_add(Composer *c, Table *table, const Word *word, Tree *value) {
    LIST_PUSH(c->arena, table->entries,
              (TreeEntry){.word = word->text, .word_span = word->span, .value = value});
    const size_t count = table->entries.count;
    if (count <= FEW_ENTRIES) return;
    if (2 * count > table->slot_count) {
        table->slot_count = table->slot_count ? 2 * table->slot_count : 64;
        table->slots = ARENA_ARRAY(c->arena, uint32_t, table->slot_count);
        for (uint32_t i = 0; i < count; i++)
            *table_slot(table, table->entries.items[i].word) = i + 1;
    } else {
        *table_slot(table, word->text) = (uint32_t)count;
    }
}

/* The comma behind a value that ends at `end`, and whether something stands right behind it. */
static void find_comma(const Composer *c, LastText *last, const Scalar *scalar) {
    const char *bytes = c->reading.source->bytes;
    const size_t count = c->reading.source->count;
    const size_t comma = skip_blanks(bytes, scalar->end, count);
    const bool here = comma < count && bytes[comma] == ',';
    last->place.comma = span_part(scalar->span, scalar->span.length + (here ? comma - scalar->end : 0), 1);
    last->place.tight = here && comma + 1 < count && !strchr(" \t\r\n", bytes[comma + 1]);
}

static LastText last_text(Composer *c, const Tree *value, const Scalar *scalar, const Word *word, bool list) {
    if (value->kind != TREE_TEXT || !scalar->plain) return (LastText){.text = NULL};
    LastText last = {.text = scalar->text, .place = {.list = list, .word = word ? word->text : NULL}};
    find_comma(c, &last, scalar);
    return last;
}

/* Whether a colon follows the word that ends at `end`: inside { } a word may stand alone. */
static bool has_colon(const Composer *c, size_t end) {
    const char *bytes = c->reading.source->bytes;
    const size_t count = c->reading.source->count;
    for (;;) {
        while (end < count && strchr(" \t\r\n", bytes[end]))
            end++;
        if (end >= count || bytes[end] != '#') return end < count && bytes[end] == ':';
        while (end < count && bytes[end] != '\n')
            end++;
    }
}

/* Phrases are made only now that one is wanted. `path` holds the table. */
static void phrase_place(Composer *c, CommaPlace *place) {
    place->table = composer_phrase(c);
    place->value = place->table;
    if (place->word && c->path_count < sizeof c->path / sizeof *c->path) {
        c->path[c->path_count] = place->word;
        place->value = phrase_of_path(c->arena, c->path, c->path_count + 1);
    }
}

/* The last value was cut by a comma: it is poison. */
static void poison_last(Composer *c, Table *table) {
    if (table->entries.count > 0) {
        TreeEntry *entry = &table->entries.items[table->entries.count - 1];
        entry->value = composer_faulty(c, entry->value->span);
    }
    table->comma_said = true;
}

static void add_bare_word(Composer *c, Table *table, const Word *word, const char *raw) {
    if (table->split.active && comma_split_go_on(c->arena, &table->split, raw)) return;
    comma_split_report(&c->reading, &table->split);
    LastText *last = &table->last;
    phrase_place(c, &last->place);
    if (table->comma_said && !looks_like_name(raw, strlen(raw))) return;
    if (last->text && !table->comma_said &&
        comma_split_begin(c->arena, &table->split, &last->place, last->text, raw)) {
        poison_last(c, table);
        return;
    }
    const char *meant = report_bare_word(&c->reading, &last->place, last->text, raw, word->span);
    if (!meant && last->text)
        poison_last(c, table);
    else if (meant && !table_find(table, meant))
        table_add(c, table, &(Word){meant, word->span}, composer_faulty(c, word->span));
    table->comma_said = table->comma_said || !meant;
    last->text = NULL;
}

/* Runs of blanks are one, so that `far  bank` is `far bank`. */
static const char *tidy_word(Composer *c, const char *text) {
    char *word = arena_string(c->arena, text + strspn(text, " \t"));
    size_t count = 0;
    for (const char *at = word; *at; at++) {
        const bool blank = *at == ' ' || *at == '\t';
        if (!blank || (count > 0 && word[count - 1] != ' ')) word[count++] = blank ? ' ' : *at;
    }
    count -= count > 0 && word[count - 1] == ' ';
    word[count] = '\0';
    return word;
}

/* `? scene: Fog`; says so and returns true when a `?` stands before the current event. */
static bool check_question(Composer *c) {
    const char *bytes = c->reading.source->bytes;
    const size_t first = composer_byte(c, c->event.start_mark), end = skip_blanks_back(bytes, 0, first);
    if (end == first || end == 0 || bytes[end - 1] != '?') return false;
    Span span = composer_point(c, c->event.start_mark);
    const uint32_t back = (uint32_t)(first - end) + 1;
    span.column -= back < span.column ? back : 0;
    Diagnostic *fault = composer_say(c, span, "`?` before a word is not part of the language");
    composer_help(c, fault, "leave it out");
    return true;
}

/* A table or list where a word is wanted, such as `{{title}}`. */
static void say_no_word(Composer *c) {
    Diagnostic *fault =
        composer_say(c, composer_point(c, c->event.start_mark),
                     c->event.type == YAML_MAPPING_START_EVENT ? "a table stands where a word is wanted"
                                                               : "a list stands where a word is wanted");
    composer_help(c, fault, "a text with brackets stands in quotes");
}

/* Reads the word whose event is current. False: it is none, and a message says so. */
static bool read_word(Composer *c, Table *table, Scalar *scalar, Word *word) {
    const yaml_event_type_t type = c->event.type;
    const bool question = check_question(c);
    if (type == YAML_ALIAS_EVENT) {
        composer_refuse_alias(c);
        return false;
    }
    if (type != YAML_SCALAR_EVENT) {
        table->unreadable = true;
        if (!question) say_no_word(c);
        return false;
    }
    *scalar = composer_scalar(c);
    *word = (Word){tidy_word(c, scalar->text), scalar->span};
    if (scalar->plain && text_equal(scalar->text, "<<")) {
        composer_refuse(c, scalar->span, "<<", "merge keys",
                        composer_like_advice(c, c->path_count > 0 ? c->path[c->path_count - 1] : "pier"));
        return false;
    }
    if (word->text[0] == '\0') {
        if (!scalar->refused) composer_say(c, scalar->span, "a colon without a word before it");
        return false;
    }
    if (scalar->style == YAML_DOUBLE_QUOTED_SCALAR_STYLE && text_check_escapes(c, scalar)) return false;
    return true;
}

static void say_twice(Composer *c, const Word *word, const TreeEntry *first) {
    const char *text = phrase_short(c->arena, word->text);
    const char *where = c->path_count > 0 ? arena_format(c->arena, " in %s", composer_phrase(c)) : "";
    Diagnostic *fault = composer_say(c, word->span, arena_format(c->arena, "a second `%s`%s", text, where));
    diagnostic_note(c->reading.diagnostics, fault, first->word_span, "the first");
    const bool things = c->path_count > 0 && phrase_is_named_section(c->path[c->path_count - 1]);
    composer_help(c, fault,
                  things ? arena_format(c->arena, "give one of them another name, such as `%s 2`", text)
                         : "leave one of them out");
}

/* `ferry:{tall: 5 in}` on a line, where YAML takes `ferry:{tall` for the word. */
static bool check_tight_word(Composer *c, Table *table, const Scalar *scalar, const Word *word) {
    const size_t count = strlen(scalar->text), colon = spec_line_tight_colon(scalar->text, 0, count);
    if (!scalar->plain || colon == count) return false;
    const char *text = scalar->text;
    if (text[colon + 1] == '{' ||
        text[colon + 1] == '[') { /* in a block: the value goes on behind the word */
        const SpecLine line = spec_line(c->reading.source, word->span.line);
        const size_t first = utf8_offset(line.bytes, line.count, word->span.column - 1);
        text = spec_line_whole(&c->reading, &line, first, line.end);
    }
    report_tight_colon(&c->reading, word->span, text, colon);
    const char *meant = tidy_word(c, arena_copy(c->arena, scalar->text, colon));
    if (!table_find(table, meant))
        table_add(c, table, &(Word){meant, word->span}, composer_faulty(c, word->span));
    return true;
}

/* Whether the current event is the nothing that stands for a value that was not written. */
static bool is_nothing(const yaml_event_t *event) {
    return event->type == YAML_SCALAR_EVENT && event->data.scalar.length == 0 &&
           event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE && !event->data.scalar.anchor &&
           !event->data.scalar.tag;
}

static bool compose_entry(Composer *c, Table *table, size_t level) {
    Scalar scalar = {0};
    Word word;
    const bool good = read_word(c, table, &scalar, &word);
    if (!good && !composer_skip(c)) return false;
    if (!composer_next(c)) return false;
    if (!good) return composer_skip(c);
    if (table->flow && scalar.plain && is_nothing(&c->event) && !has_colon(c, scalar.end)) {
        add_bare_word(c, table, &word, scalar.text);
        return true;
    }
    comma_split_report(&c->reading, &table->split);
    table->comma_said = false;
    table->last = (LastText){.text = NULL};
    const TreeEntry *first = table_find(table, word.text);
    if (first) say_twice(c, &word, first);
    if (first || check_tight_word(c, table, &scalar, &word)) return composer_skip(c);
    const bool is_text = c->event.type == YAML_SCALAR_EVENT;
    c->path[c->path_count++] = word.text;
    const Scalar written_value = is_text ? composer_scalar(c) : (Scalar){0};
    Tree *value =
        is_text ? text_check(c, &word, &written_value, table->flow) : compose(c, &word, table->flow, level);
    c->path_count--;
    if (c->stopped) return false;
    table_add(c, table, &word, value);
    if (table->flow && is_text) table->last = last_text(c, value, &written_value, &word, false);
    return true;
}

/* The part of a { } or [ ] on its first line. */
static Span bracket_span(Composer *c, yaml_mark_t start, yaml_mark_t end) {
    Span span = composer_span(c, start, end);
    if (span.length == 0) {
        size_t count;
        const char *line = source_line(c->reading.source, span.line, &count);
        const size_t signs = utf8_length(line, count);
        span.length = signs >= span.column ? (uint32_t)signs - span.column + 1 : 1;
    }
    return span;
}

static Tree *compose_table(Composer *c, size_t level) {
    const yaml_mark_t start = c->event.start_mark;
    Table table = {.flow = c->event.data.mapping_start.style == YAML_FLOW_MAPPING_STYLE};
    for (;;) {
        if (!composer_next(c)) return NULL;
        if (c->event.type == YAML_MAPPING_END_EVENT) break;
        if (!compose_entry(c, &table, level)) return NULL;
    }
    comma_split_report(&c->reading, &table.split);
    Tree *tree = ARENA_NEW(c->arena, Tree);
    *tree = (Tree){.kind = TREE_TABLE,
                   .span = table.flow ? bracket_span(c, start, c->event.end_mark) : composer_point(c, start),
                   .entries = table.entries.items,
                   .count = table.entries.count};
    if (!table.flow && tree->count > 0) tree->span = tree->entries[0].word_span;
    return table.flow && table.unreadable ? composer_faulty(c, tree->span) : tree;
}

typedef struct ListItems {
    LIST(Tree *) items;
    bool flow;
    LastText last;
    CommaSplit split;
} ListItems;

/* Takes an item into the value before it when a comma has cut that one. */
static bool is_cut_off(Composer *c, ListItems *list, const Scalar *scalar) {
    if (list->split.active && comma_split_go_on(c->arena, &list->split, scalar->text)) return true;
    comma_split_report(&c->reading, &list->split);
    if (!list->last.text) return false;
    phrase_place(c, &list->last.place);
    if (!comma_split_begin(c->arena, &list->split, &list->last.place, list->last.text, scalar->text))
        return false;
    Tree **before = &list->items.items[list->items.count - 1];
    *before = composer_faulty(c, (*before)->span);
    return true;
}

static bool compose_item(Composer *c, ListItems *list, size_t level) {
    if (c->event.type != YAML_SCALAR_EVENT) {
        comma_split_report(&c->reading, &list->split);
        list->last = (LastText){.text = NULL};
        Tree *item = compose(c, NULL, list->flow, level);
        if (item) LIST_PUSH(c->arena, list->items, item);
        return item != NULL;
    }
    const Scalar scalar = composer_scalar(c);
    if (list->flow && scalar.plain && is_cut_off(c, list, &scalar)) {
        list->last = (LastText){.text = NULL};
        return true;
    }
    Tree *item = text_check(c, NULL, &scalar, list->flow);
    LIST_PUSH(c->arena, list->items, item);
    list->last = list->flow ? last_text(c, item, &scalar, NULL, true) : (LastText){.text = NULL};
    return true;
}

static Tree *compose_list(Composer *c, size_t level) {
    const yaml_mark_t start = c->event.start_mark;
    ListItems list = {.flow = c->event.data.sequence_start.style == YAML_FLOW_SEQUENCE_STYLE};
    for (;;) {
        if (!composer_next(c)) return NULL;
        if (c->event.type == YAML_SEQUENCE_END_EVENT) break;
        if (!compose_item(c, &list, level)) return NULL;
    }
    comma_split_report(&c->reading, &list.split);
    Tree *tree = ARENA_NEW(c->arena, Tree);
    *tree = (Tree){.kind = TREE_LIST,
                   .span = list.flow ? bracket_span(c, start, c->event.end_mark) : composer_point(c, start),
                   .items = list.items.items,
                   .count = list.items.count};
    return tree;
}

/* The node whose first event is current, at `level` levels below the file; NULL when reading has stopped. */
static Tree *compose(Composer *c, const Word *word, bool flow, size_t level) {
    if (c->event.type == YAML_SCALAR_EVENT) {
        const Scalar scalar = composer_scalar(c);
        return text_check(c, word, &scalar, flow);
    }
    if (c->event.type == YAML_ALIAS_EVENT) {
        composer_refuse_alias(c);
        return composer_faulty(c, composer_span(c, c->event.start_mark, c->event.end_mark));
    }
    composer_refuse_properties(c);
    if (level >= TREE_LEVELS_MOST) {
        composer_stop_at_level(c);
        return NULL;
    }
    return c->event.type == YAML_MAPPING_START_EVENT ? compose_table(c, level + 1)
                                                     : compose_list(c, level + 1);
}

/* ---- Files */

static void say_empty_file(Composer *c) {
    Diagnostic *fault =
        diagnostics_error(c->reading.diagnostics, (Span){c->reading.file, 1, 1, 0}, "an empty %s", c->what);
    diagnostic_help(c->reading.diagnostics, fault,
                    "the smallest %s is in docs/language.md; `groundrow new` writes one", c->what);
}

/* The file's one value is no table. */
static Tree *say_no_table(Composer *c) {
    composer_refuse_properties(c);
    if (c->event.type == YAML_SEQUENCE_START_EVENT) {
        Diagnostic *fault = composer_say(c, composer_point(c, c->event.start_mark),
                                         "the file is a list; a table of words is wanted");
        composer_help(c, fault, "leave the dashes out: `scene: Fog`");
    } else if (c->event.type == YAML_ALIAS_EVENT) {
        composer_refuse_alias(c);
    } else if (!c->refused) {
        const SpecLine line = spec_line(c->reading.source, (uint32_t)c->event.start_mark.line + 1);
        report_no_colon(&c->reading, &line, true);
    }
    return NULL;
}

/* A line `---` behind the first document. */
static bool check_one_document(Composer *c) {
    if (!composer_next(c) || !composer_next(c)) /* the end of the document, and what follows */
        return false;
    if (c->event.type != YAML_DOCUMENT_START_EVENT) return true;
    Span span = composer_span(c, c->event.start_mark, c->event.start_mark);
    span.length = 3;
    Diagnostic *fault =
        composer_say(c, span, arena_format(c->arena, "a second `---`: one file is one %s", c->what));
    composer_help(c, fault, "give each its own file, or leave the line out");
    return false;
}

/* The table of a file, or NULL. */
static Tree *compose_file(Composer *c) {
    if (!composer_next(c) || !composer_next(c)) /* the stream, and the document in it */
        return NULL;
    if (c->event.type != YAML_DOCUMENT_START_EVENT) {
        say_empty_file(c);
        return NULL;
    }
    if (!composer_next(c)) return NULL;
    if (is_nothing(&c->event)) {
        if (check_one_document(c)) say_empty_file(c);
        return NULL;
    }
    if (c->event.type != YAML_MAPPING_START_EVENT) return say_no_table(c);
    Tree *tree = compose(c, NULL, false, 0);
    if (!c->stopped) check_one_document(c);
    return tree;
}

const char *text_without_mark(const char *bytes, size_t *count) {
    if (*count < 3 || memcmp(bytes, "\xEF\xBB\xBF", 3) != 0) return bytes;
    *count -= 3;
    return bytes + 3;
}

Tree *text_to_tree(Arena *arena, const Source *source, uint32_t file, const char *what,
                   Diagnostics *diagnostics) {
    const Reading reading = {arena, source, file, diagnostics};
    if (source->count > FILE_BYTES_MOST) {
        diagnostics_error(diagnostics, (Span){.file = file}, "larger than 1 MiB, the most that a %s may be",
                          what);
        return NULL;
    }
    const char *readable;
    if (!text_prescan(&reading, &readable)) return NULL;
    Composer c = {.arena = arena, .reading = reading, .last_word = reading, .what = what};
    c.found = diagnostics_new(arena);
    c.reading.diagnostics = &c.found;
    if (!yaml_parser_initialize(&c.parser)) {
        fputs("groundrow: out of memory\n", stderr);
        exit(3);
    }
    yaml_parser_set_encoding(&c.parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&c.parser, (const unsigned char *)readable, source->count);
    Tree *tree = compose_file(&c);
    if (c.has_event) yaml_event_delete(&c.event);
    yaml_parser_delete(&c.parser);
    if (c.stopped) return NULL;
    diagnostics_append(diagnostics, &c.found);
    return tree;
}
