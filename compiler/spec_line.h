/* One line of a spec, taken apart roughly. What libyaml could not read, or read in another way than a maker
 * meant, has no structure to rely on; its lines still show what was meant. */
#ifndef GROUNDROW_SPEC_LINE_H
#define GROUNDROW_SPEC_LINE_H

#include "base/diagnostic.h"

/* What is being read, and where its faults go. */
typedef struct Reading {
    Arena *arena;
    const Source *source;
    uint32_t file;
    Diagnostics *diagnostics;
} Reading;

/* Places are bytes of the line, from 0. */
typedef struct SpecLine {
    uint32_t number;   /* from 1 */
    const char *bytes; /* of the source: no NUL at the end of the line */
    size_t count;      /* without the line's ending */
    size_t indent;     /* first byte that is no blank */
    size_t end;        /* end of what is written: before trailing blanks and the comment */
    size_t comment;    /* the `#` of the comment, or `count` */
} SpecLine;

SpecLine spec_line(const Source *source, uint32_t number);
bool spec_line_is_empty(const SpecLine *line); /* nothing but blanks and a comment */
/* The nearest line above that is not empty; false when there is none. */
bool spec_line_before(const Source *source, uint32_t number, SpecLine *line);

/* The first `:` followed by a blank or the end of what is written, in first .. end and outside quotes; else
 * `end`. */
size_t spec_line_colon(const SpecLine *line, size_t first, size_t end);
/* The first `:` of a name at the start of `first .. end` that is followed by something else than a blank;
 * else `end`. */
size_t spec_line_tight_colon(const char *bytes, size_t first, size_t end);
size_t skip_blanks(const char *bytes, size_t first, size_t end);      /* first byte that is no blank */
size_t skip_blanks_back(const char *bytes, size_t first, size_t end); /* end of the last that is none */

/* Text of `first .. end`, cut by phrase_short. */
const char *spec_line_text(const Reading *reading, const SpecLine *line, size_t first, size_t end);
/* All of it, for what a maker is to write. */
const char *spec_line_whole(const Reading *reading, const SpecLine *line, size_t first, size_t end);
Span spec_line_span(const Reading *reading, const SpecLine *line, size_t first, size_t end);

/* Text in quotes, such that YAML reads it back: double ones, or single ones where double ones would need
 * escapes. */
const char *in_quotes(Arena *arena, const char *text);
/* The text with `/` for every backslash, cut by phrase_short. */
const char *with_slashes(Arena *arena, const char *text);
/* What to do about a backslash inside double quotes whose text, as written, is `raw`. */
const char *escape_advice(Arena *arena, const char *raw);
/* Whether text starts as a number does: `14`, `.5`, `-6`, a vulgar fraction; or as a stop does: `f/8`. */
bool starts_as_number(const char *text);
/* Whether text is nothing but letters, digits, blanks and hyphens, with a letter first. */
bool looks_like_name(const char *text, size_t count);
/* `tall 5 in`: where the number begins that should stand behind a colon, or `count`. */
size_t find_missing_colon(const char *text, size_t count);

/* Says why a line has no word with a colon: `lens:85 mm`, `tall = 5 in`, `lamp #2: {...}`, a colon of another
 * script. When none of these is seen and not `sure` that a colon is wanted, says nothing and returns false.
 */
bool report_no_colon(const Reading *reading, const SpecLine *line, bool sure);
/* `lens:85 mm` or `ferry:{tall: 5 in}`: `colon` is its tight colon, `end` where the value ends. */
void report_tight_colon(const Reading *reading, Span word_span, const char *text, size_t colon);
/* `#2` in `scene: #2` or `lamp #2: {}`: the end of the comment's first word. */
size_t comment_word_end(const SpecLine *line);
/* Whether the comment looks like part of a value: a letter or digit stands right behind its `#`. */
bool comment_is_suspect(const SpecLine *line);

#endif
