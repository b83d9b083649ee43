#include "composer.h"

#include "phrase.h"
#include "yaml_trouble.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NODES_MOST = 200000, SKIPPED_LEVELS_MOST = 64 };

/* ---- Events and places */

static void stop(Composer *c) {
    c->stopped = true;
}

Span composer_span(const Composer *c, yaml_mark_t start, yaml_mark_t end) {
    return (Span){.file = c->reading.file,
                  .line = (uint32_t)start.line + 1,
                  .column = (uint32_t)start.column + 1,
                  .length = end.line == start.line ? (uint32_t)(end.column - start.column) : 0};
}

Span composer_point(const Composer *c, yaml_mark_t mark) {
    Span span = composer_span(c, mark, mark);
    span.length = 1;
    return span;
}

static bool is_middle(char byte) {
    return ((unsigned char)byte & 0xC0) == 0x80;
}

/* Marks count code points. They come nearly in order, so the cursor moves little. */
size_t composer_byte(Composer *c, yaml_mark_t mark) {
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

bool composer_next(Composer *c) {
    if (c->has_event) yaml_event_delete(&c->event);
    c->has_event = yaml_parser_parse(&c->parser, &c->event) != 0;
    if (!c->has_event) {
        report_parser(c);
        stop(c);
        return false;
    }
    c->nodes += is_node(c->event.type);
    if (c->nodes > NODES_MOST) {
        diagnostics_error(c->last_word.diagnostics, composer_point(c, c->event.start_mark),
                          "more than 200,000 words and values in one file");
        stop(c);
    }
    return !c->stopped;
}

void composer_stop_at_level(Composer *c) {
    Diagnostic *fault = diagnostics_error(c->last_word.diagnostics, composer_point(c, c->event.start_mark),
                                          "more than %d levels, in %s", TREE_LEVELS_MOST,
                                          phrase_of_path(c->arena, c->path, c->path_count));
    diagnostic_help(c->last_word.diagnostics, fault, "a table in a table is a level; no scene needs so many");
    stop(c);
}

bool composer_skip(Composer *c) {
    for (size_t depth = 0;;) {
        const yaml_event_type_t type = c->event.type;
        if (type == YAML_MAPPING_START_EVENT || type == YAML_SEQUENCE_START_EVENT) depth++;
        if (type == YAML_MAPPING_END_EVENT || type == YAML_SEQUENCE_END_EVENT) depth--;
        if (depth == 0) return true;
        if (depth > SKIPPED_LEVELS_MOST) {
            composer_stop_at_level(c);
            return false;
        }
        if (!composer_next(c)) return false;
    }
}

Tree *composer_faulty(Composer *c, Span span) {
    Tree *tree = ARENA_NEW(c->arena, Tree);
    *tree = (Tree){.kind = TREE_FAULTY, .span = span};
    return tree;
}

const char *composer_phrase(const Composer *c) {
    return phrase_of_path(c->arena, c->path, c->path_count);
}

Diagnostic *composer_say(Composer *c, Span span, const char *message) {
    return diagnostics_error(c->reading.diagnostics, span, "%s", message);
}

void composer_help(Composer *c, Diagnostic *fault, const char *text) {
    diagnostic_help(c->reading.diagnostics, fault, "%s", text);
}

/* ---- What is not part of the language */

void composer_refuse(Composer *c, Span span, const char *sign, const char *features, const char *advice) {
    if (c->refused) return;
    Diagnostic *fault =
        diagnostics_error(c->reading.diagnostics, span, "`%s`: %s are not part of the language",
                          phrase_short(c->arena, sign), features);
    composer_help(c, fault, advice);
    c->refused = true;
}

const char *composer_like_advice(Composer *c, const char *name) {
    const bool thing = c->path_count == 2 && phrase_is_named_section(c->path[0]);
    return thing
               ? arena_format(c->arena, "a thing made like another is written `%s 2: {like: %s, at: {...}}`",
                              phrase_short(c->arena, name), phrase_short(c->arena, name))
               : "a value is taken from elsewhere by its name, such as `pier.tall`";
}

bool composer_refuse_properties(Composer *c) {
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
    const size_t first = composer_byte(c, event->start_mark);
    const bool is_anchor = source[first] == '&' && anchor;
    const size_t bytes =
        is_anchor ? strlen((const char *)anchor) + 1 : strcspn(source + first, " \t\r\n,{}[]");
    const char *sign = arena_copy(c->arena, source + first, bytes);
    Span span = composer_span(c, event->start_mark, event->start_mark);
    span.length = (uint32_t)utf8_length(sign, strlen(sign));
    if (is_anchor)
        composer_refuse(c, span, sign, "anchors",
                        composer_like_advice(c, c->path_count > 0 ? c->path[c->path_count - 1] : sign + 1));
    else
        composer_refuse(c, span, sign, "tags", "leave it out");
    return true;
}

void composer_refuse_alias(Composer *c) {
    const char *name = (const char *)c->event.data.alias.anchor;
    composer_refuse(c, composer_span(c, c->event.start_mark, c->event.end_mark),
                    arena_format(c->arena, "*%s", name), "aliases", composer_like_advice(c, name));
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

Scalar composer_scalar(Composer *c) {
    const yaml_event_t *event = &c->event;
    Scalar scalar = {
        .text = arena_copy(c->arena, (const char *)event->data.scalar.value, event->data.scalar.length),
        .span = composer_span(c, event->start_mark, event->end_mark),
        .first = composer_byte(c, event->start_mark),
        .end_line = (uint32_t)event->end_mark.line + 1,
        .style = event->data.scalar.style,
        .plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE,
    };
    scalar.end = composer_byte(c, event->end_mark);
    scalar.refused = composer_refuse_properties(c);
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
