#include "text_to_tree.h"

#include "comma_traps.h"
#include "phrase.h"
#include "text_prescan.h"
#include "yaml_trouble.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

enum { NODES_MOST = 200000, SKIPPED_LEVELS_MOST = 64, FEW_ENTRIES = 8 };

typedef struct Composer {
    Arena *arena;
    Reading reading; /* its diagnostics: `found` */
    Diagnostics found;
    Reading last_word; /* its diagnostics: where what ends the reading goes, instead of all that was found */
    const char *what;
    yaml_parser_t parser;
    yaml_event_t event;
    bool has_event;
    bool stopped; /* and a diagnostic of `last_word` says why */
    bool refused; /* an anchor, alias, tag or merge key: said once a file */
    size_t nodes;
    size_t cursor_index, cursor_byte; /* one place, in code points and in bytes */
    const char *path[TREE_LEVELS_MOST + 1];
    size_t path_count;
} Composer;

/* A scalar as written. */
typedef struct Scalar {
    const char *text;
    Span span;
    size_t first, end; /* bytes of the source */
    uint32_t end_line;
    yaml_scalar_style_t style;
    bool plain;
    bool refused; /* an anchor or a tag stands before it */
} Scalar;

/* ---- Events and places */

static void stop(Composer *c) {
    c->stopped = true;
}

static Span mark_span(const Composer *c, yaml_mark_t start, yaml_mark_t end) {
    return (Span){.file = c->reading.file,
                  .line = (uint32_t)start.line + 1,
                  .column = (uint32_t)start.column + 1,
                  .length = end.line == start.line ? (uint32_t)(end.column - start.column) : 0};
}

static Span point(const Composer *c, yaml_mark_t mark) {
    Span span = mark_span(c, mark, mark);
    span.length = 1;
    return span;
}

static bool is_middle(char byte) {
    return ((unsigned char)byte & 0xC0) == 0x80;
}

/* Marks count code points. They come nearly in order, so the cursor moves little. */
static size_t mark_byte(Composer *c, yaml_mark_t mark) {
    const char *bytes = c->reading.source->bytes;
    const size_t count = c->reading.source->count;
    for (; c->cursor_index < mark.index && c->cursor_byte < count; c->cursor_index++) {
        do
            c->cursor_byte++;
        while (c->cursor_byte < count && is_middle(bytes[c->cursor_byte]));
    }
    for (; c->cursor_index > mark.index && c->cursor_byte > 0; c->cursor_index--) {
        do
            c->cursor_byte--;
        while (c->cursor_byte > 0 && is_middle(bytes[c->cursor_byte]));
    }
    return c->cursor_byte;
}

static void report_parser(Composer *c) {
    const yaml_parser_t *parser = &c->parser;
    if (parser->error == YAML_MEMORY_ERROR) { /* the same policy as base/arena.h */
        fputs("groundrow: out of memory\n", stderr);
        exit(3);
    }
    const YamlTrouble trouble = {.problem = parser->problem,
                                 .context = parser->context,
                                 .line = parser->problem_mark.line,
                                 .column = parser->problem_mark.column,
                                 .context_line = parser->context_mark.line,
                                 .context_column = parser->context_mark.column};
    yaml_trouble_report(&c->last_word, &trouble);
}

static bool is_node(yaml_event_type_t type) {
    return type == YAML_SCALAR_EVENT || type == YAML_ALIAS_EVENT || type == YAML_MAPPING_START_EVENT ||
           type == YAML_SEQUENCE_START_EVENT;
}

/* The next event; false when nothing more can be read. */
static bool next(Composer *c) {
    if (c->has_event) yaml_event_delete(&c->event);
    c->has_event = yaml_parser_parse(&c->parser, &c->event) != 0;
    if (!c->has_event) {
        report_parser(c);
        stop(c);
        return false;
    }
    c->nodes += is_node(c->event.type);
    if (c->nodes > NODES_MOST) {
        diagnostics_error(c->last_word.diagnostics, point(c, c->event.start_mark),
                          "more than 200,000 words and values in one file");
        stop(c);
    }
    return !c->stopped;
}

static void stop_at_level(Composer *c) {
    Diagnostic *fault = diagnostics_error(c->last_word.diagnostics, point(c, c->event.start_mark),
                                          "more than %d levels, in %s", TREE_LEVELS_MOST,
                                          phrase_of_path(c->arena, c->path, c->path_count));
    diagnostic_help(c->last_word.diagnostics, fault, "a table in a table is a level; no scene needs so many");
    stop(c);
}

/* Reads past the node whose first event is current. */
static bool skip_node(Composer *c) {
    for (size_t depth = 0;;) {
        const yaml_event_type_t type = c->event.type;
        if (type == YAML_MAPPING_START_EVENT || type == YAML_SEQUENCE_START_EVENT) depth++;
        if (type == YAML_MAPPING_END_EVENT || type == YAML_SEQUENCE_END_EVENT) depth--;
        if (depth == 0) return true;
        if (depth > SKIPPED_LEVELS_MOST) {
            stop_at_level(c);
            return false;
        }
        if (!next(c)) return false;
    }
}

static Tree *faulty(Composer *c, Span span) {
    Tree *tree = ARENA_NEW(c->arena, Tree);
    *tree = (Tree){.kind = TREE_FAULTY, .span = span};
    return tree;
}

static const char *path_phrase(const Composer *c) {
    return phrase_of_path(c->arena, c->path, c->path_count);
}

static Diagnostic *say(Composer *c, Span span, const char *message) {
    return diagnostics_error(c->reading.diagnostics, span, "%s", message);
}

static void help(Composer *c, Diagnostic *fault, const char *text) {
    diagnostic_help(c->reading.diagnostics, fault, "%s", text);
}

/* ---- What is not part of the language */

static void refuse(Composer *c, Span span, const char *sign, const char *features, const char *advice) {
    if (c->refused) return;
    Diagnostic *fault =
        diagnostics_error(c->reading.diagnostics, span, "`%s`: %s are not part of the language",
                          phrase_short(c->arena, sign), features);
    help(c, fault, advice);
    c->refused = true;
}

/* How a thing is made like another: by name where anchors are used on things. */
static const char *like_advice(Composer *c, const char *name) {
    const bool thing = c->path_count == 2 && phrase_is_named_section(c->path[0]);
    return thing
               ? arena_format(c->arena, "a thing made like another is written `%s 2: {like: %s, at: {...}}`",
                              phrase_short(c->arena, name), phrase_short(c->arena, name))
               : "a value is taken from elsewhere by its name, such as `pier.tall`";
}

/* Anchor and tag of the current event; whether it has any. */
static bool refuse_properties(Composer *c) {
    const yaml_event_t *event = &c->event;
    const yaml_char_t *anchor = NULL, *tag = NULL;
    if (event->type == YAML_SCALAR_EVENT) {
        anchor = event->data.scalar.anchor;
        tag = event->data.scalar.tag;
    } else if (event->type == YAML_MAPPING_START_EVENT) {
        anchor = event->data.mapping_start.anchor;
        tag = event->data.mapping_start.tag;
    } else if (event->type == YAML_SEQUENCE_START_EVENT) {
        anchor = event->data.sequence_start.anchor;
        tag = event->data.sequence_start.tag;
    }
    if (!anchor && !tag) return false;
    const char *source = c->reading.source->bytes;
    const size_t first = mark_byte(c, event->start_mark);
    const bool is_anchor = source[first] == '&' && anchor;
    const size_t bytes =
        is_anchor ? strlen((const char *)anchor) + 1 : strcspn(source + first, " \t\r\n,{}[]");
    const char *sign = arena_copy(c->arena, source + first, bytes);
    Span span = mark_span(c, event->start_mark, event->start_mark);
    span.length = (uint32_t)utf8_length(sign, strlen(sign));
    if (is_anchor)
        refuse(c, span, sign, "anchors",
               like_advice(c, c->path_count > 0 ? c->path[c->path_count - 1] : sign + 1));
    else
        refuse(c, span, sign, "tags", "leave it out");
    return true;
}

static void refuse_alias(Composer *c) {
    const char *name = (const char *)c->event.data.alias.anchor;
    refuse(c, mark_span(c, c->event.start_mark, c->event.end_mark), arena_format(c->arena, "*%s", name),
           "aliases", like_advice(c, name));
}

/* ---- Texts */

/* Where the text begins behind its anchor and tag. */
static size_t skip_properties(const char *source, size_t first, size_t end) {
    while (first < end && (source[first] == '&' || source[first] == '!')) {
        while (first < end && source[first] != ' ' && source[first] != '\t')
            first++;
        first = skip_blanks(source, first, end);
    }
    return first;
}

/* The scalar of the current event. */
static Scalar read_scalar(Composer *c) {
    const yaml_event_t *event = &c->event;
    Scalar scalar = {
        .text = arena_copy(c->arena, (const char *)event->data.scalar.value, event->data.scalar.length),
        .span = mark_span(c, event->start_mark, event->end_mark),
        .first = mark_byte(c, event->start_mark),
        .end_line = (uint32_t)event->end_mark.line + 1,
        .style = event->data.scalar.style,
        .plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE,
    };
    scalar.end = mark_byte(c, event->end_mark);
    scalar.refused = refuse_properties(c);
    if (scalar.refused) {
        const char *source = c->reading.source->bytes;
        const size_t first = skip_properties(source, scalar.first, scalar.end);
        const size_t signs = utf8_length(source + scalar.first, first - scalar.first);
        if (signs <= scalar.span.length)
            scalar.span = span_part(scalar.span, signs, scalar.span.length - signs);
        scalar.first = first;
    }
    return scalar;
}

/* The word that a value stands under; in a list or at the root there is none. */
typedef struct Word {
    const char *text;
    Span span;
} Word;

static bool is_blank_text(const char *text) {
    return text[strspn(text, " \t")] == '\0';
}

/* How a message names a value: `lens`, or where its list stands. */
static const char *value_name(Composer *c, const Word *word) {
    return word ? arena_format(c->arena, "`%s`", phrase_short(c->arena, word->text)) : path_phrase(c);
}

/* `word: value`, or the value alone. */
static const char *written(Composer *c, const Word *word, const char *value) {
    return word ? arena_format(c->arena, "%s: %s", phrase_short(c->arena, word->text), value) : value;
}

static bool is_title(const Composer *c) {
    return c->path_count == 1 && (text_equal(c->path[0], "scene") || text_equal(c->path[0], "book"));
}

/* `scene: #2`, whose value is a comment; NULL when it is something else. */
static Tree *say_empty_by_comment(Composer *c, const Word *word) {
    const SpecLine line = spec_line(c->reading.source, word->span.line);
    const size_t colon = spec_line_colon(&line, line.indent, line.count);
    if (line.comment == line.count || !comment_is_suspect(&line) || colon >= line.comment ||
        skip_blanks(line.bytes, colon + 1, line.count) < line.comment)
        return NULL;
    const size_t end = comment_word_end(&line);
    const Span span = spec_line_span(&c->reading, &line, line.comment, end);
    Diagnostic *fault = say(c, span,
                            arena_format(c->arena, "`%s` begins a comment, so `%s` is empty",
                                         spec_line_text(&c->reading, &line, line.comment, end),
                                         phrase_short(c->arena, word->text)));
    const char *value = spec_line_text(&c->reading, &line, line.comment, line.count);
    help(c, fault,
         arena_format(c->arena, "put it in quotes: `%s`", written(c, word, in_quotes(c->arena, value))));
    return faulty(c, span);
}

static Tree *say_empty(Composer *c, const Word *word, const Scalar *scalar, bool flow) {
    if (!word) {
        say(c, scalar->span, arena_format(c->arena, "an empty item in %s", path_phrase(c)));
        return faulty(c, scalar->span);
    }
    Tree *by_comment = scalar->plain && !flow ? say_empty_by_comment(c, word) : NULL;
    if (by_comment) return by_comment;
    Diagnostic *fault =
        say(c, word->span, arena_format(c->arena, "`%s` is empty", phrase_short(c->arena, word->text)));
    const bool table =
        phrase_is_table(word->text) || (c->path_count == 2 && phrase_is_named_section(c->path[0]));
    help(c, fault,
         table ? "indent its lines below it, or leave it out"
               : "write its value behind the colon, or leave it out");
    return faulty(c, word->span);
}

static Tree *say_two_lines(Composer *c, const Word *word, const Scalar *scalar, bool flow) {
    const SpecLine below = spec_line(c->reading.source, scalar->span.line + 1);
    if (scalar->plain && !flow && !spec_line_is_empty(&below) && report_no_colon(&c->reading, &below, false))
        return faulty(c, scalar->span);
    const SpecLine line = spec_line(c->reading.source, scalar->span.line);
    const size_t first = utf8_offset(line.bytes, line.count, scalar->span.column - 1);
    const size_t end = scalar->plain ? line.end : line.count;
    const Span span = spec_line_span(&c->reading, &line, first, end);
    Diagnostic *fault =
        say(c, span,
            arena_format(c->arena,
                         word ? "the value of %s runs over two lines" : "an item in %s runs over two lines",
                         value_name(c, word)));
    if (flow && scalar->plain)
        help(c, fault,
             arena_format(c->arena, "write it on one line, or a comma after `%s`",
                          spec_line_text(&c->reading, &line, first, end)));
    else
        help(c, fault, "write it on one line");
    return faulty(c, span);
}

/* Signs of an escape in double quotes, the backslash included: `\0`, `\x07`, `\u2028`. */
static size_t escape_length(char behind) {
    return behind == 'x' ? 4 : behind == 'u' ? 6 : behind == 'U' ? 10 : 2;
}

static uint32_t hex_number(const char *digits, size_t count) {
    uint32_t number = 0;
    for (size_t i = 0; i < count; i++) {
        const int value = digits[i] <= '9' ? digits[i] - '0' : (digits[i] | 0x20) - 'a' + 10;
        number = number * 16 + (uint32_t)value;
    }
    return number;
}

/* What an escape stands for; a blank for those that are always fine. libyaml has checked the digits. */
static uint32_t escaped_sign(const char *escape) {
    static const char letters[] = "0abt\tnvfreNLP";
    static const uint32_t signs[] = {0, 7, 8, 9, 9, 10, 11, 12, 13, 27, 0x85, 0x2028, 0x2029};
    const size_t length = escape_length(escape[1]);
    if (length > 2) return hex_number(escape + 2, length - 2);
    const char *letter = escape[1] ? strchr(letters, escape[1]) : NULL;
    return letter ? signs[letter - letters] : ' ';
}

static bool is_unwanted(uint32_t sign) {
    return sign < 0x20 || (sign >= 0x7F && sign <= 0x9F) || sign == 0x2028 || sign == 0x2029 ||
           sign == 0xFEFF;
}

/* `"drawings\08-fog.png"`: the fault, or NULL. */
static Tree *check_escapes(Composer *c, const Scalar *scalar) {
    const char *raw = c->reading.source->bytes + scalar->first;
    const size_t count = scalar->end - scalar->first;
    for (size_t at = 1; at + 1 < count; at++) {
        if (raw[at] != '\\') continue;
        if (is_unwanted(escaped_sign(raw + at))) {
            const size_t length = escape_length(raw[at + 1]);
            const Span span = span_part(scalar->span, utf8_length(raw, at), length);
            const char *sign = arena_copy(c->arena, raw + at, length);
            Diagnostic *fault = say(
                c, span,
                arena_format(c->arena, "`%s` inside double quotes is a sign that no text may hold", sign));
            help(c, fault, escape_advice(c->arena, arena_copy(c->arena, raw + 1, count - 2)));
            return faulty(c, span);
        }
        at++;
    }
    return NULL;
}

static Tree *check_backslash(Composer *c, const Word *word, const Scalar *scalar) {
    const char *raw = c->reading.source->bytes + scalar->first;
    const size_t count = scalar->end - scalar->first;
    const char *found = memchr(raw, '\\', count);
    if (!found || is_title(c)) return NULL;
    const Span span = span_part(scalar->span, utf8_length(raw, (size_t)(found - raw)), 1);
    Diagnostic *fault = say(c, span, arena_format(c->arena, "a backslash in %s", path_phrase(c)));
    help(c, fault,
         arena_format(c->arena, "write paths with `/`: `%s`",
                      written(c, word, with_slashes(c->arena, scalar->text))));
    return faulty(c, span);
}

static Tree *check_line_end(Composer *c, const Scalar *scalar) {
    const size_t count = strlen(scalar->text);
    const char last = scalar->text[count - 1];
    if ((last != ';' && last != ',') || is_title(c)) return NULL;
    const Span span = span_part(scalar->span, scalar->span.length - 1, 1);
    Diagnostic *fault = say(c, span, arena_format(c->arena, "a `%c` at the end of %s", last, path_phrase(c)));
    help(c, fault, arena_format(c->arena, "nothing stands at the end of a line: leave the `%c` out", last));
    return faulty(c, span);
}

/* `scene: Ferry #2` */
static void warn_of_comment(Composer *c, const Word *word, const Scalar *scalar) {
    const Source *source = c->reading.source;
    const size_t sign = skip_blanks(source->bytes, scalar->end, source->count);
    if (sign == scalar->end || sign >= source->count || source->bytes[sign] != '#') return;
    const SpecLine line = spec_line(source, scalar->span.line);
    if (!comment_is_suspect(&line)) return;
    const size_t end = comment_word_end(&line);
    Diagnostic *warning = diagnostics_warning(
        c->reading.diagnostics, "comment", spec_line_span(&c->reading, &line, line.comment, end),
        "`%s` begins a comment: the value is `%s`", spec_line_text(&c->reading, &line, line.comment, end),
        phrase_short(c->arena, scalar->text));
    const size_t comment_end = skip_blanks_back(line.bytes, line.comment, line.count);
    const char *whole = arena_format(c->arena, "%s %s", scalar->text,
                                     spec_line_whole(&c->reading, &line, line.comment, comment_end));
    help(c, warning,
         arena_format(c->arena, "put it in quotes: `%s`",
                      written(c, word, in_quotes(c->arena, phrase_short(c->arena, whole)))));
}

/* What is wrong with a text that libyaml read without a word, or NULL. */
static Tree *check_text(Composer *c, const Word *word, const Scalar *scalar, bool flow) {
    if (scalar->style == YAML_LITERAL_SCALAR_STYLE || scalar->style == YAML_FOLDED_SCALAR_STYLE) {
        const char sign = scalar->style == YAML_LITERAL_SCALAR_STYLE ? '|' : '>';
        const Span span = span_part(scalar->span, 0, 1);
        Diagnostic *fault = say(c, span, arena_format(c->arena, "a value cannot start with `%c`", sign));
        help(c, fault, "leave it out; a value stands on one line");
        return faulty(c, span);
    }
    if (scalar->end_line > scalar->span.line) return say_two_lines(c, word, scalar, flow);
    if (is_blank_text(scalar->text) && (scalar->plain || !memchr(c->reading.source->bytes + scalar->first,
                                                                 '\\', scalar->end - scalar->first)))
        return scalar->refused ? faulty(c, scalar->span) : say_empty(c, word, scalar, flow);
    if (scalar->style == YAML_DOUBLE_QUOTED_SCALAR_STYLE) return check_escapes(c, scalar);
    Tree *fault = NULL;
    if (scalar->plain && !flow && word && scalar->span.line > word->span.line) {
        const SpecLine line = spec_line(c->reading.source, scalar->span.line);
        fault = report_no_colon(&c->reading, &line, false) ? faulty(c, scalar->span) : NULL;
    }
    if (!fault) fault = check_backslash(c, word, scalar);
    return !fault && scalar->plain && !flow ? check_line_end(c, scalar) : fault;
}

static Tree *text_of(Composer *c, const Word *word, const Scalar *scalar, bool flow) {
    Tree *fault = check_text(c, word, scalar, flow);
    if (fault) return fault;
    if (scalar->plain) warn_of_comment(c, word, scalar);
    Tree *tree = ARENA_NEW(c->arena, Tree);
    *tree = (Tree){.kind = TREE_TEXT, .span = scalar->span, .quoted = !scalar->plain, .text = scalar->text};
    return tree;
}

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
    place->table = path_phrase(c);
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
        entry->value = faulty(c, entry->value->span);
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
        table_add(c, table, &(Word){meant, word->span}, faulty(c, word->span));
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
    const size_t first = mark_byte(c, c->event.start_mark), end = skip_blanks_back(bytes, 0, first);
    if (end == first || end == 0 || bytes[end - 1] != '?') return false;
    Span span = point(c, c->event.start_mark);
    const uint32_t back = (uint32_t)(first - end) + 1;
    span.column -= back < span.column ? back : 0;
    Diagnostic *fault = say(c, span, "`?` before a word is not part of the language");
    help(c, fault, "leave it out");
    return true;
}

/* A table or list where a word is wanted, such as `{{title}}`. */
static void say_no_word(Composer *c) {
    Diagnostic *fault =
        say(c, point(c, c->event.start_mark),
            c->event.type == YAML_MAPPING_START_EVENT ? "a table stands where a word is wanted"
                                                      : "a list stands where a word is wanted");
    help(c, fault, "a text with brackets stands in quotes");
}

/* Reads the word whose event is current. False: it is none, and a message says so. */
static bool read_word(Composer *c, Table *table, Scalar *scalar, Word *word) {
    const yaml_event_type_t type = c->event.type;
    const bool question = check_question(c);
    if (type == YAML_ALIAS_EVENT) {
        refuse_alias(c);
        return false;
    }
    if (type != YAML_SCALAR_EVENT) {
        table->unreadable = true;
        if (!question) say_no_word(c);
        return false;
    }
    *scalar = read_scalar(c);
    *word = (Word){tidy_word(c, scalar->text), scalar->span};
    if (scalar->plain && text_equal(scalar->text, "<<")) {
        refuse(c, scalar->span, "<<", "merge keys",
               like_advice(c, c->path_count > 0 ? c->path[c->path_count - 1] : "pier"));
        return false;
    }
    if (word->text[0] == '\0') {
        if (!scalar->refused) say(c, scalar->span, "a colon without a word before it");
        return false;
    }
    if (scalar->style == YAML_DOUBLE_QUOTED_SCALAR_STYLE && check_escapes(c, scalar)) return false;
    return true;
}

static void say_twice(Composer *c, const Word *word, const TreeEntry *first) {
    const char *text = phrase_short(c->arena, word->text);
    const char *where = c->path_count > 0 ? arena_format(c->arena, " in %s", path_phrase(c)) : "";
    Diagnostic *fault = say(c, word->span, arena_format(c->arena, "a second `%s`%s", text, where));
    diagnostic_note(c->reading.diagnostics, fault, first->word_span, "the first");
    const bool things = c->path_count > 0 && phrase_is_named_section(c->path[c->path_count - 1]);
    help(c, fault,
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
    if (!table_find(table, meant)) table_add(c, table, &(Word){meant, word->span}, faulty(c, word->span));
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
    if (!good && !skip_node(c)) return false;
    if (!next(c)) return false;
    if (!good) return skip_node(c);
    if (table->flow && scalar.plain && is_nothing(&c->event) && !has_colon(c, scalar.end)) {
        add_bare_word(c, table, &word, scalar.text);
        return true;
    }
    comma_split_report(&c->reading, &table->split);
    table->comma_said = false;
    table->last = (LastText){.text = NULL};
    const TreeEntry *first = table_find(table, word.text);
    if (first) say_twice(c, &word, first);
    if (first || check_tight_word(c, table, &scalar, &word)) return skip_node(c);
    const bool is_text = c->event.type == YAML_SCALAR_EVENT;
    c->path[c->path_count++] = word.text;
    const Scalar written_value = is_text ? read_scalar(c) : (Scalar){0};
    Tree *value =
        is_text ? text_of(c, &word, &written_value, table->flow) : compose(c, &word, table->flow, level);
    c->path_count--;
    if (c->stopped) return false;
    table_add(c, table, &word, value);
    if (table->flow && is_text) table->last = last_text(c, value, &written_value, &word, false);
    return true;
}

/* The part of a { } or [ ] on its first line. */
static Span bracket_span(Composer *c, yaml_mark_t start, yaml_mark_t end) {
    Span span = mark_span(c, start, end);
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
        if (!next(c)) return NULL;
        if (c->event.type == YAML_MAPPING_END_EVENT) break;
        if (!compose_entry(c, &table, level)) return NULL;
    }
    comma_split_report(&c->reading, &table.split);
    Tree *tree = ARENA_NEW(c->arena, Tree);
    *tree = (Tree){.kind = TREE_TABLE,
                   .span = table.flow ? bracket_span(c, start, c->event.end_mark) : point(c, start),
                   .entries = table.entries.items,
                   .count = table.entries.count};
    if (!table.flow && tree->count > 0) tree->span = tree->entries[0].word_span;
    return table.flow && table.unreadable ? faulty(c, tree->span) : tree;
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
    *before = faulty(c, (*before)->span);
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
    const Scalar scalar = read_scalar(c);
    if (list->flow && scalar.plain && is_cut_off(c, list, &scalar)) {
        list->last = (LastText){.text = NULL};
        return true;
    }
    Tree *item = text_of(c, NULL, &scalar, list->flow);
    LIST_PUSH(c->arena, list->items, item);
    list->last = list->flow ? last_text(c, item, &scalar, NULL, true) : (LastText){.text = NULL};
    return true;
}

static Tree *compose_list(Composer *c, size_t level) {
    const yaml_mark_t start = c->event.start_mark;
    ListItems list = {.flow = c->event.data.sequence_start.style == YAML_FLOW_SEQUENCE_STYLE};
    for (;;) {
        if (!next(c)) return NULL;
        if (c->event.type == YAML_SEQUENCE_END_EVENT) break;
        if (!compose_item(c, &list, level)) return NULL;
    }
    comma_split_report(&c->reading, &list.split);
    Tree *tree = ARENA_NEW(c->arena, Tree);
    *tree = (Tree){.kind = TREE_LIST,
                   .span = list.flow ? bracket_span(c, start, c->event.end_mark) : point(c, start),
                   .items = list.items.items,
                   .count = list.items.count};
    return tree;
}

/* The node whose first event is current, at `level` levels below the file; NULL when reading has stopped. */
static Tree *compose(Composer *c, const Word *word, bool flow, size_t level) {
    if (c->event.type == YAML_SCALAR_EVENT) {
        const Scalar scalar = read_scalar(c);
        return text_of(c, word, &scalar, flow);
    }
    if (c->event.type == YAML_ALIAS_EVENT) {
        refuse_alias(c);
        return faulty(c, mark_span(c, c->event.start_mark, c->event.end_mark));
    }
    refuse_properties(c);
    if (level >= TREE_LEVELS_MOST) {
        stop_at_level(c);
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
    refuse_properties(c);
    if (c->event.type == YAML_SEQUENCE_START_EVENT) {
        Diagnostic *fault =
            say(c, point(c, c->event.start_mark), "the file is a list; a table of words is wanted");
        help(c, fault, "leave the dashes out: `scene: Fog`");
    } else if (c->event.type == YAML_ALIAS_EVENT) {
        refuse_alias(c);
    } else if (!c->refused) {
        const SpecLine line = spec_line(c->reading.source, (uint32_t)c->event.start_mark.line + 1);
        report_no_colon(&c->reading, &line, true);
    }
    return NULL;
}

/* A line `---` behind the first document. */
static bool check_one_document(Composer *c) {
    if (!next(c) || !next(c)) /* the end of the document, and what follows */
        return false;
    if (c->event.type != YAML_DOCUMENT_START_EVENT) return true;
    Span span = mark_span(c, c->event.start_mark, c->event.start_mark);
    span.length = 3;
    Diagnostic *fault = say(c, span, arena_format(c->arena, "a second `---`: one file is one %s", c->what));
    help(c, fault, "give each its own file, or leave the line out");
    return false;
}

/* The table of a file, or NULL. */
static Tree *compose_file(Composer *c) {
    if (!next(c) || !next(c)) /* the stream, and the document in it */
        return NULL;
    if (c->event.type != YAML_DOCUMENT_START_EVENT) {
        say_empty_file(c);
        return NULL;
    }
    if (!next(c)) return NULL;
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
