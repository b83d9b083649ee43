/* What is wrong with a spec, and what about a plan is not as drawn: collected as data by every stage, put into
 * words for a terminal or into JSON at the rim. The shape of a message is pinned by tests:
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
    const char *help;   /* NULL: none */
    size_t repeats;     /* the same unknown name again in this file ... */
    Span first_repeat;  /* ... first here */
    const char *unsaid_key; /* faults with the same key in one file are said once and counted; or NULL */
} Diagnostic;

/* One list a scene (and one for the book); everything in it belongs to `arena`. */
typedef struct Diagnostics {
    Arena *arena;
    LIST(Diagnostic *) items;
    size_t errors, warnings;
} Diagnostics;

Diagnostics diagnostics_new(Arena *arena);

/* Adds a fault or a warning. A second one at the same place is dropped (one message a span, the first): what is
 * returned then is a dummy that may be given notes and help, and is never shown. Never NULL. */
Diagnostic *diagnostics_error(Diagnostics *list, Span span, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
Diagnostic *diagnostics_warning(Diagnostics *list, const char *word, Span span, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* An error that is said once a file for each `key` (an unknown name or unit); later ones are counted on the
 * first: "and N times more, first at L:C". */
Diagnostic *diagnostics_error_once(Diagnostics *list, const char *key, Span span, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void diagnostic_note(Diagnostics *list, Diagnostic *diagnostic, Span span, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void diagnostic_help(Diagnostics *list, Diagnostic *diagnostic, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Source order: file, line, column; errors and warnings mixed; stable. */
void diagnostics_sort(Diagnostics *list);

typedef struct DiagnosticStyle {
    bool color;
    size_t most_a_file; /* 20; 0: no limit */
    size_t most_a_run;  /* 60; 0: no limit */
} DiagnosticStyle;

/* Puts sorted diagnostics into words, one blank line never between them; adds "and N more" lines at the limits. */
void diagnostics_to_text(Buffer *out, const Diagnostics *list, const Sources *sources, DiagnosticStyle style);
/* A JSON array, one object a diagnostic, all of them:
 * {"severity","word"?,"file","line","column","length","message","notes":[...],"help"?}. */
void diagnostics_to_json(Buffer *out, const Diagnostics *list, const Sources *sources);

#endif
