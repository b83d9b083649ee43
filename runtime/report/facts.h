/* Facts: the one source of everything that is said about a scene. Text report, JSON, pages and the labels in
 * the notes model print these and nothing else, so they cannot say different things.
 *
 * A block is headed `kind name` (`camera wide`, `puppet heron`), a fact in it has a key that never changes
 * and one or more parts. Lengths are millimetres and angles radians, unrounded; rounding belongs to whoever
 * prints. */
#ifndef GROUNDROW_FACTS_H
#define GROUNDROW_FACTS_H

#include "base/number.h"
#include "optics/camera.h"

/* The number of the report's format, in its first line; it grows when a line changes its meaning. */
enum { REPORT_FORMAT = 1 };

typedef enum FactKind {
    FACT_TEXT,
    FACT_PLACE, /* mm, where something stands: to 1/8 in or 1 mm */
    FACT_SIZE,  /* mm, how large something is cut: to 1/64 in or 0.1 mm, as much of it as is needed */
    FACT_FINE, /* mm, what a millimetre on the drawing comes to: to 1/16 in or 1 mm, finer when it is small */
    FACT_WITHIN, /* mm, how far off something may be: to 1/16 in and never less; or to 1 mm, 0.1 when it is
                    small */
    FACT_DRAWN,  /* mm on the drawing, to 0.1 mm; px where the drawing is in px */
    FACT_SENSOR, /* mm, on the sensor or of a lens: to 0.01 mm, never in inches */
    FACT_ANGLE,  /* rad: to 0.1 degree */
    FACT_FINE_ANGLE, /* rad, what a millimetre on the drawing comes to: to 0.01 degree */
    FACT_SHARE,      /* a fraction: in percent, to 0.1 under a hundred */
    FACT_NUMBER,     /* a plain number, as much of three decimals as is needed */
    FACT_MONEY,      /* in whichever money the book has: always to 0.01 */
    FACT_ROUGH,      /* a plain number of what no one measures finer: always to 0.1 */
    FACT_WEIGHT,     /* kg: in lb and in kg, to 0.1 under ten, to 0.01 under one; under that it says so */
    FACT_YES         /* 1 or 0; its words are the way's */
} FactKind;

/* Words for a number's direction; with them it is printed without a sign. What rounds to nothing prints
 * `zero` alone (of FACT_YES: `positive` or `zero`). */
typedef struct FactWay {
    const char *positive, *negative, *zero;
} FactWay;

typedef struct FactPart {
    const char *name; /* its word in the JSON; NULL: the unit says enough */
    FactKind kind;
    double number;
    const char *text;           /* of FACT_TEXT */
    const char *before, *after; /* words round it in the text; NULL: none */
    const FactWay *way;         /* or NULL */
    bool joined;                /* shares the bracket with the other units with the part after it */
    double px_per_mm;           /* of FACT_DRAWN: 0 where the drawing is in mm */
} FactPart;

typedef struct Fact {
    const char
        *key; /* `distance`, `shift heron`: never changes; one word, or a word and a name of the maker's */
    const char *label; /* as the text has it */
    LIST(FactPart) parts;
} Fact;

typedef struct FactBlock {
    const char *heading; /* `kind name`, or the kind alone */
    const char *kind, *name;
    const char *shot; /* the shot that it is about; "" for the whole scene, or where that is its only shot */
    LIST(Fact *) facts;
} FactBlock;

/* A point of the set that one can find and touch, and where a shot draws it. */
typedef struct FactPoint {
    const char *shot, *thing, *point;
    Point3 set;
    bool seen; /* in front of the lens; x and y hold then (mm on the drawing) */
    double x_mm, y_mm;
} FactPoint;

/* A camera as data, for lining up: enough to project with (docs/geometry.md, rule 6). */
typedef struct FactCamera {
    const char *shot, *name, *id;
    bool planned;
    Camera camera; /* in the set's frame */
    Picture picture;
} FactCamera;

/* What a camera sees, as data: shares of its frame (docs/geometry.md, rule 42). */
typedef struct FactShare {
    const char *thing;
    double share, alone; /* alone: were nothing in front of it; NAN where that was not looked at */
} FactShare;

typedef struct FactSeen {
    const char *shot, *id;    /* of the camera */
    double ground, bare;      /* of the frame */
    double spare, bare_spare; /* the spare, and of the frame moved out by it */
    LIST(FactShare) things;   /* that stand in the shot */
} FactSeen;

typedef struct Facts {
    Arena *arena;
    LengthStyle lengths;
    const char *scene, *title, *book;
    LIST(FactBlock *) blocks;
    LIST(FactPoint) points;
    LIST(FactCamera) cameras;
    LIST(FactSeen) seen;    /* empty where nobody has looked */
    FactBlock **by_heading; /* sorted, once facts_close has run */
} Facts;

Facts *facts_new(Arena *arena, LengthStyle lengths, const char *scene, const char *title, const char *book);
/* `name` may be "". */
FactBlock *facts_block(Facts *facts, const char *kind, const char *name, const char *shot);
/* `label` NULL: the key. */
Fact *fact_new(Facts *facts, FactBlock *block, const char *key, const char *label);
/* Adds a part and returns the fact, for chaining. */
Fact *fact_part(Facts *facts, Fact *fact, FactPart part);
/* Makes the headings findable; nothing is added afterwards. */
void facts_close(Facts *facts);

/* The fact under a heading, or NULL: facts_find(facts, "flat far bank", "wide"). Once closed. */
const Fact *facts_find(const Facts *facts, const char *heading, const char *key);
/* The number of a part by name (NULL: of the first); NAN when there is none. */
double fact_number(const Fact *fact, const char *part);

/* Everything behind the label: `1'-1" (330.2 mm)`. */
const char *fact_text(Arena *arena, const Facts *facts, const Fact *fact);
/* The same in the book's own lengths alone, for labels: `1'-1"`. */
const char *fact_short_text(Arena *arena, const Facts *facts, const Fact *fact);
/* Of the fact under a heading, one part (NULL: its first) in the book's own lengths, without the words before
 * and behind it: for labels. `with_way`: with its direction, else a plain number. NULL where there is no such
 * fact or part. */
const char *facts_label(Arena *arena, const Facts *facts, const char *heading, const char *key,
                        const char *part, bool with_way);
/* So many of its parts as a cell of a table: without the words before the first, nor, where it is one part,
 * those after it. */
const char *fact_cell_text(Arena *arena, const Facts *facts, const Fact *fact, size_t first, size_t count);
/* Of its parts those that have these names, as far as it has them, without the words before the first and,
 * but where `whole`, those after the last; "" where it has none. */
const char *fact_named_text(Arena *arena, const Facts *facts, const Fact *fact, const char *const *names,
                            size_t count, bool whole);
/* As fact_text, but without the parts that say how it hangs on the drawing (`per_...`). */
const char *fact_plain_text(Arena *arena, const Facts *facts, const Fact *fact);

#endif
