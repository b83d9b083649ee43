/* What is wrong with a spec, and what about a plan is not as drawn: collected as data by every stage, put
 * into words for a terminal or into JSON at the rim. The shape of a message is pinned by tests:
 *
 *     FILE:LINE:COLUMN: error: what is wrong, in what
 *         4 |   height: 9 inn
 *           |             ^~~
 *     FILE:LINE:COLUMN: note: the other place          (with its own source line)
 *       note: a fact that has no place
 *       help: what to write
 */
#ifndef GROUNDROW_DIAGNOSTIC_H
#define GROUNDROW_DIAGNOSTIC_H

#include "base/span.h"
#include "base/text.h"

typedef enum Severity { SEVERITY_ERROR, SEVERITY_WARNING } Severity;

typedef struct DiagnosticNote {
    Span span; /* line 0: a fact that has no place */
    const char *text;
} DiagnosticNote;

typedef struct Diagnostic {
    Severity severity;
    const char *word; /* a warning's stable word (`drawn-apart`), NULL otherwise */
    Span span;        /* line 0: about the whole file */
    const char *path; /* instead of the span's file, for what is no source (a folder, an output); or NULL */
    const char *message;
    LIST(DiagnosticNote) notes;
    const char *help;       /* NULL: none */
    size_t repeats;         /* the same unknown name again in this file ... */
    Span first_repeat;      /* ... first here */
    const char *unsaid_key; /* faults with the same key in one file are said once and counted; or NULL */
} Diagnostic;

/* One list a scene (and one for the book); everything in it belongs to `arena`. */
typedef struct Diagnostics {
    Arena *arena;
    LIST(Diagnostic *) items;
    size_t errors, warnings;
    struct DiagnosticIndex *index; /* places and keys already said; private to diagnostic.c */
} Diagnostics;

Diagnostics diagnostics_new(Arena *arena);

/* Adds a fault or a warning. A second one at the same place is dropped (one message a span, the first): what
 * is returned then is a dummy that may be given notes and help, and is never shown. Never NULL. A fault hides
 * later warnings at its place, never the other way round; warnings hide later ones of the same word. Where
 * there is no place (line 0), only the same message about the same file or path is dropped. */
Diagnostic *diagnostics_error(Diagnostics *list, Span span, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
Diagnostic *diagnostics_warning(Diagnostics *list, const char *word, Span span, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* An error that is said once a file for each `key` (an unknown name or unit); others are counted on it: "and
 * N times more, first at L:C". The one that stands first in the file is shown, whatever the order in which
 * they come. */
Diagnostic *diagnostics_error_once(Diagnostics *list, const char *key, Span span, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void diagnostic_note(Diagnostics *list, Diagnostic *diagnostic, Span span, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void diagnostic_help(Diagnostics *list, Diagnostic *diagnostic, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Deep copies of all of `from`, into the arena of `into`: for one list of a whole run. */
void diagnostics_append(Diagnostics *into, const Diagnostics *from);

/* Source order: file, line, column; errors and warnings mixed; stable. */
void diagnostics_sort(Diagnostics *list);

typedef struct DiagnosticStyle {
    bool color;
    size_t most_a_file; /* 20; 0: no limit */
    size_t most_a_run;  /* 60; 0: no limit */
} DiagnosticStyle;

/* Puts sorted diagnostics into words, no blank line between them. Past `most_a_file` follows `FILE: and N
 * more (see
 * --errors=json)` behind that file's; past `most_a_run` one last line without a file. Columns count code
 * points; what a terminal could take for a command (control signs, bytes that are no UTF-8) shows as `?`. A
 * line of over 160 columns is cut to a window round the span, with `...` where it goes on. */
void diagnostics_to_text(Buffer *out, const Diagnostics *list, const Sources *sources, DiagnosticStyle style);
/* A JSON array, one object a diagnostic, all of them:
 * {"severity","word"?,"file","line"?,"column"?,"length"?,"message","notes":[{"file"?,"line"?,...,"message"}],"help"?};
 * line, column and length are left out where there is no place. Repeats are a note. */
void diagnostics_to_json(Buffer *out, const Diagnostics *list, const Sources *sources);

#endif
