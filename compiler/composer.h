/* What the parts of text_to_tree share: the events of a file, one at a time, with their places, and the words
 * on the way to where reading is. */
#ifndef GROUNDROW_COMPOSER_H
#define GROUNDROW_COMPOSER_H

#include "spec_line.h"
#include "text_to_tree.h"

#include <yaml.h>

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

/* The word that a value stands under; in a list or at the root there is none. */
typedef struct Word {
    const char *text;
    Span span;
} Word;

/* The next event, in `event`; false when nothing more can be read. */
bool composer_next(Composer *c);
/* Reads past the node whose first event is current; false when reading has stopped. */
bool composer_skip(Composer *c);
/* Says that there are too many levels, and stops. */
void composer_stop_at_level(Composer *c);

/* From mark to mark on one line; to a mark on another line the length is 0. */
Span composer_span(const Composer *c, yaml_mark_t start, yaml_mark_t end);
Span composer_point(const Composer *c, yaml_mark_t mark); /* one sign */
size_t composer_byte(Composer *c, yaml_mark_t mark);      /* of the source */

/* The scalar of the current event; an anchor or tag before it is refused. */
Scalar composer_scalar(Composer *c);

/* Says once a file that something is not part of the language: `sign` is what is written, `features` what it
 * is. */
void composer_refuse(Composer *c, Span span, const char *sign, const char *features, const char *advice);
/* How a thing is made like another: by name, where anchors are used on things. */
const char *composer_like_advice(Composer *c, const char *name);
/* Refuses anchor and tag of the current event; whether it has any. */
bool composer_refuse_properties(Composer *c);
void composer_refuse_alias(Composer *c); /* the current event is one */

Tree *composer_faulty(Composer *c, Span span);
const char *composer_phrase(const Composer *c); /* of the path */
Diagnostic *composer_say(Composer *c, Span span, const char *message);
void composer_help(Composer *c, Diagnostic *fault, const char *text);

#endif
