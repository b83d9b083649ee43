/* What a comma does to a value inside { } and [ ]: YAML ends the value there, and says nothing. */
#ifndef GROUNDROW_COMMA_TRAPS_H
#define GROUNDROW_COMMA_TRAPS_H

#include "spec_line.h"

/* Where a value stands, for the message. */
typedef struct CommaPlace {
    bool list;         /* inside [ ] */
    const char *table; /* phrase of what it stands in: "`drawn` of the mark" */
    const char *value; /* phrase of the value: "`wide` of piece `pier`" */
    const char *word;  /* `wide`, or NULL in a list */
    Span comma;        /* the comma behind the value */
    bool tight;        /* no blank behind the comma */
} CommaPlace;

/* One value that was split, while its pieces are gathered. */
typedef struct CommaSplit {
    bool active;
    bool digits;      /* `1,200 mm`; else a bracket is open */
    CommaPlace place; /* of the first piece */
    LIST(const char *) pieces;
} CommaSplit;

/* Whether `piece`, which follows `value` behind a comma, belongs to it: a bracket of `value` is open, or
 * digits go on. */
bool comma_split_begin(Arena *arena, CommaSplit *split, const CommaPlace *place, const char *value,
                       const char *piece);
/* Whether `piece` still belongs to the value that was split; it is taken in then. */
bool comma_split_go_on(Arena *arena, CommaSplit *split, const char *piece);
/* Says it, and ends it. */
void comma_split_report(const Reading *reading, CommaSplit *split);

/* Says what is wrong with a word without a colon inside { }, behind `value` (NULL: it is the first, or stands
 * behind something else than a text). Returns the word that was meant, whose value is faulty, or NULL when it
 * belongs to the value before. */
const char *report_bare_word(const Reading *reading, const CommaPlace *place, const char *value,
                             const char *word, Span word_span);

#endif
