/* One scalar's text by the grammar of docs/quantities.ebnf into a flat list of items, operators after what
 * they work on. No names are asked and no kinds compared: the text alone settles how it is read. One token
 * ahead always decides, so nothing is tried twice. */
#ifndef GROUNDROW_QUANTITY_ITEMS_H
#define GROUNDROW_QUANTITY_ITEMS_H

#include "quantity_signs.h"

enum { QUANTITY_SIGNS_MOST = 4096, QUANTITY_BRACKETS_MOST = 32 };

typedef enum ItemKind {
    ITEM_NUMBER,
    ITEM_MEASURE,   /* measures `first_measure`.., then `drawn` or a way */
    ITEM_SHARE,     /* `number`, and `frame` perhaps */
    ITEM_PUPPETS,   /* `number`, name */
    ITEM_MULTIPLE,  /* `number`, name, fields */
    ITEM_REFERENCE, /* name, fields */
    ITEM_STOP,
    ITEM_COVER,
    ITEM_SIGN,  /* works on one: the sign before a factor */
    ITEM_GROUP, /* works on one: brackets were round it */
    ITEM_ADD,   /* the rest work on two */
    ITEM_SUBTRACT,
    ITEM_MULTIPLY,
    ITEM_DIVIDE,
    ITEM_MIN,
    ITEM_MAX
} ItemKind;

typedef struct Measure {
    Number number;
    const Unit *unit;
    size_t unit_at, unit_end;
} Measure;

/* All positions are code points of the text. */
typedef struct Item {
    ItemKind kind;
    size_t start,
        end; /* an operator's are those of its sign; a call's of `min`; a group's with its brackets */
    Number number;
    size_t first_measure, measures;
    size_t suffix_at, suffix_end; /* of `drawn`, the way, or `frame`; NO_MATCH when there is none */
    bool drawn;                   /* the suffix is `drawn` */
    size_t name_at, name_end;
    size_t first_field, fields;
} Item;

typedef struct Extent {
    size_t at, end;
} Extent;

typedef enum ValueForm { VALUE_ONE, VALUE_RANGE, VALUE_SIZE } ValueForm;

/* One of the sums of a value: its items and its text. */
typedef struct ValuePart {
    size_t first, count;
    Extent text;
} ValuePart;

/* Where reading stopped, when it did. */
typedef enum StopKind {
    STOP_NONE,
    STOP_WANTED,   /* a value is wanted at `at`; `before` is a sign that was read just before, or NO_MATCH */
    STOP_FOLLOWS,  /* `at` cannot follow the finished quantity before it; `bracket` is the one open, or
                      NO_MATCH */
    STOP_FIELD,    /* the word after the dot at `at`; `before` is the name's start */
    STOP_JOINT,    /* the number at `at` after feet or the like has no unit */
    STOP_UNCLOSED, /* the bracket at `at` */
    STOP_CALL_OF_ONE, /* the call at `at` */
    STOP_TOO_DEEP     /* the bracket or value at `at` */
} StopKind;

typedef struct Stop {
    StopKind kind;
    size_t at, before, bracket;
    size_t after_to; /* the `to` or `x` that the value is wanted after, or NO_MATCH */
} Stop;

typedef struct Items {
    Arena *arena;
    const Signs *signs;
    LIST(Item) list;
    LIST(Measure) measures;
    LIST(Extent) fields;
    ValueForm form;
    ValuePart parts[3];
    size_t part_count; /* finished ones; the one in work is not counted */
    Stop stop;
} Items;

/* Reads `signs`, at most QUANTITY_SIGNS_MOST of them. With a stop, the items before it are there and sound.
 */
Items items_read(Arena *arena, const Signs *signs);

#endif
