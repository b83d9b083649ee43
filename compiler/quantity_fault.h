/* The faults of quantities and their words: what stands where it cannot, and what a name is not. */
#ifndef GROUNDROW_QUANTITY_FAULT_H
#define GROUNDROW_QUANTITY_FAULT_H

#include "quantity.h"
#include "quantity_items.h"

/* How the message and the place join: `MESSAGE, in PLACE` or `PLACE is SAID`. An unknown name and a question
 * go without the comma. */
typedef struct QuantityFault {
    size_t at, end; /* code points of the text */
    const char *message;
    const char *plain; /* the message within a place when its words differ there, or NULL */
    const char *said;  /* what the place is (`a length, not an angle`), or NULL */
    const char *help;
    const char *key; /* unknown names and units: said once a file; or NULL */
} QuantityFault;

/* One scalar at work. */
typedef struct Reading {
    Arena *arena;
    const Signs *signs;
    const Items *items;
    const QuantitySlot *slot;
    const QuantityNames *names;
    QuantityFault fault; /* the first, once a function has returned false */
} Reading;

/* Sets the fault, with a printf format, and returns false. */
bool fault_set(Reading *reading, size_t at, size_t end, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void fault_help(Reading *reading, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* The bytes of [at, end), cut short where they would fill a screen. */
const char *fault_shown(const Reading *reading, size_t at, size_t end);

/* `a length`; and with an example, `a share (`8 %`)`, where the kinds alone might not be told apart. */
const char *kind_name(QuantityKind kind);
const char *kind_name_shown(QuantityKind kind);

NameKind name_find(const Reading *reading, size_t at, size_t end);
/* The name of a reference, or of `2 far bank.tall`, and the words after it. False: none such, and the fault
 * is set. */
bool fault_reference(Reading *reading, const Item *item, int *slot, QuantityKind *kind, bool *on_drawing);
/* The name in `1.5 otter`; false as above. */
bool fault_puppets(Reading *reading, const Item *item);
bool fault_number(Reading *reading, const Number *number);
/* Always false: puts the stop into words. */
bool fault_stop(Reading *reading);

#endif
