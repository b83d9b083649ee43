/* The quantities of the language: one scalar's text into a bound formula, by the grammar in
 * docs/quantities.ebnf (each accepted text has exactly one derivation). The text alone settles how it is
 * read; names decide only whether it is an error, and slots of which kind are wanted.
 *
 * Limits, each an error: 4096 signs, 32 brackets inside each other, 15 digits a number, 1 km a length.
 *
 * A pure function: names are asked for through `QuantityNames`. */
#ifndef GROUNDROW_QUANTITY_H
#define GROUNDROW_QUANTITY_H

#include "base/diagnostic.h"
#include "plan/formula.h"

typedef enum QuantityForm {
    FORM_ONE,   /* one value */
    FORM_RANGE, /* `60 to 105 mm`; a single value is a range from it to itself */
    FORM_SIZE,  /* `36 x 24 mm` */
    FORM_SIZE3, /* `2 x 3 x 4 in` */
    FORM_PIXELS /* `8000 x 5333`, whole plain numbers */
} QuantityForm;

typedef enum QuantityPlace {
    PLACE_DEPTH_KNOWN, /* real lengths; drawn, frame and cover too: the thing's depth is known by then */
    PLACE_NO_DEPTH,    /* real lengths only: the value fixes a depth or the camera ("where no depth is known
                          yet") */
    PLACE_ON_DRAWING   /* lengths on the drawing: plain ones are ruler lengths there; px where
                          `drawing_in_pixels` */
} QuantityPlace;

/* What a place in a spec wants: one row of the vocabulary. */
typedef struct QuantitySlot {
    QuantityForm form;
    QuantityKind kind;
    QuantityPlace place;
    bool no_cover;          /* `cover` has no meaning here (depth known all the same) */
    bool drawing_in_pixels; /* on the drawing: `214 px` is also a length; elsewhere: what is `drawn` is in px,
                               and its steps hold px */
    const char *example; /* for help where a unit is missing: a quantity (`85 mm`) whose unit is the usual one
                            here; NULL where the kind says enough */
    bool of_camera;      /* PLACE_NO_DEPTH: it settles the camera, so a drawn foot is no way out */
    const char *instead; /* help where its form is not the one wanted; NULL where the form says enough */
} QuantitySlot;

typedef enum NameKind { NAME_UNKNOWN, NAME_PUPPET, NAME_THING, NAME_SECTION } NameKind;

typedef struct QuantityNames {
    void *context;
    /* What a name is (puppet: a cast member, so a unit too; thing: anything on the set; section: camera,
     * ground, ..., which has words but is no thing to put somewhere). */
    NameKind (*find)(void *context, const char *name);
    /* The slot and kind of `name.field` or `name.field.field`; false when there is none (`field_at`: index of
     * the first field that is not known). `on_drawing` is set for slots that hold lengths on the drawing. */
    bool (*field)(void *context, const char *name, const char *const *fields, size_t count, int *slot,
                  QuantityKind *kind, bool *on_drawing, size_t *field_at);
    /* The slot that holds the standing height of a cast member. */
    bool (*height)(void *context, const char *name, int *slot);
    /* Nearest known name (for help), or NULL; and up to three words of a thing that are lengths, for "say
     * which". */
    const char *(*near_name)(void *context, const char *name);
    const char *(*near_field)(void *context, const char *name, const char *field);
    size_t (*example_fields)(void *context, const char *name, const char *fields[3]);
} QuantityNames;

typedef struct Quantity {
    /* FORM_ONE: 1 part; ranges: low and high; sizes: 2 or 3. Their kind is the slot's; only what is written
     * in px on a drawing that is in px is KIND_PIXELS. */
    Formula parts[3];
    size_t count;
} Quantity;

/* Parses `text`, which stands at `span` in one line of a source (`quoted`: the text begins one column further
 * in). `where` is the rest of the message: "`height` of the camera", "`tall` of piece `post`". On a fault it
 * reports one diagnostic at the smallest span and returns false; `quantity` is then undefined. */
bool quantity_parse(Arena *arena, const char *text, Span span, bool quoted, const QuantitySlot *slot,
                    const char *where, const QuantityNames *names, Diagnostics *diagnostics,
                    Quantity *quantity);

/* The fault alone, as tests of the grammar see it: column (from 1, code points in `text`) and the bare
 * message, such as "unknown unit `inn`". Returns true with no fault, and then the formulas. */
bool quantity_read(Arena *arena, const char *text, const QuantitySlot *slot, const QuantityNames *names,
                   Quantity *quantity, size_t *column, size_t *length, const char **message,
                   const char **help);

/* Whether `name` can be a name of the language: words with one blank between them, hyphens inside; no unit,
 * no reserved word, no `to` or `x` as a word; the words of sections are the caller's to refuse. On false
 * `message` says why ("it is a unit", "`to` cannot be a word of a name: it makes ranges"), `column` and
 * `length` where, `help` how else. */
bool name_allowed(Arena *arena, const char *name, size_t *column, size_t *length, const char **message,
                  const char **help);

#endif
