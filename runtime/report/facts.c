#include "report/facts.h"

#include "base/text.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

Facts *facts_new(Arena *arena, LengthStyle lengths, const char *scene, const char *title, const char *book) {
    Facts *facts = ARENA_NEW(arena, Facts);
    facts->arena = arena;
    facts->lengths = lengths;
    facts->scene = scene;
    facts->title = title;
    facts->book = book;
    return facts;
}

FactBlock *facts_block(Facts *facts, const char *kind, const char *name, const char *shot) {
    assert(!facts->by_heading);
    FactBlock *block = ARENA_NEW(facts->arena, FactBlock);
    block->kind = kind;
    block->name = name;
    block->shot = shot;
    block->heading = name[0] ? arena_format(facts->arena, "%s %s", kind, name) : kind;
    LIST_PUSH(facts->arena, facts->blocks, block);
    return block;
}

Fact *fact_new(Facts *facts, FactBlock *block, const char *key, const char *label) {
    Fact *fact = ARENA_NEW(facts->arena, Fact);
    fact->key = key;
    fact->label = label ? label : key;
    LIST_PUSH(facts->arena, block->facts, fact);
    return fact;
}

Fact *fact_part(Facts *facts, Fact *fact, FactPart part) {
    assert(part.kind == FACT_TEXT ? part.text != NULL : isfinite(part.number));
    LIST_PUSH(facts->arena, fact->parts, part);
    return fact;
}

static int compare_blocks(const void *a, const void *b) {
    const FactBlock *const *first = a, *const *second = b;
    return strcmp((*first)->heading, (*second)->heading);
}

void facts_close(Facts *facts) {
    const size_t count = facts->blocks.count;
    facts->by_heading = ARENA_ARRAY(facts->arena, FactBlock *, count);
    if (count > 0) memcpy(facts->by_heading, facts->blocks.items, count * sizeof *facts->by_heading);
    qsort(facts->by_heading, count, sizeof *facts->by_heading, compare_blocks);
}

static const FactBlock *find_block(const Facts *facts, const char *heading) {
    assert(facts->by_heading);
    const FactBlock wanted = {.heading = heading}, *key = &wanted;
    FactBlock **found =
        bsearch(&key, facts->by_heading, facts->blocks.count, sizeof *facts->by_heading, compare_blocks);
    return found ? *found : NULL;
}

const Fact *facts_find(const Facts *facts, const char *heading, const char *key) {
    const FactBlock *block = find_block(facts, heading);
    for (size_t i = 0; block && i < block->facts.count; i++)
        if (text_equal(block->facts.items[i]->key, key)) return block->facts.items[i];
    return NULL;
}

double fact_number(const Fact *fact, const char *part) {
    for (size_t i = 0; fact && i < fact->parts.count; i++) {
        const FactPart *item = &fact->parts.items[i];
        if (item->kind == FACT_TEXT) continue;
        if (!part || (item->name && text_equal(item->name, part))) return item->number;
    }
    return NAN;
}

/* ---- printing: a length is in one of two systems, anything else is the same in both */

static bool is_length(FactKind kind) {
    return kind == FACT_PLACE || kind == FACT_SIZE || kind == FACT_FINE || kind == FACT_WITHIN;
}

/* Under half an inch a sixteenth is too much of what a drawn millimetre comes to. */
static const double FINE_UNDER_MM = MM_PER_INCH / 2, FINE_TENTHS_UNDER_MM = 9.95;

static const char *weight_text(Arena *arena, double kg, bool pounds) {
    const double shown = pounds ? kg / KG_PER_LB : kg;
    if (shown > 0 && number_round(shown, 0.01) == 0)
        return arena_format(arena, "under 0.01 %s", pounds ? "lb" : "kg");
    return arena_format(arena, "%s %s",
                        number_short(arena, shown,
                                     fabs(shown) < 0.995  ? 2
                                     : fabs(shown) < 9.95 ? 1
                                                          : 0),
                        pounds ? "lb" : "kg");
}

/* Whether a length is a whole number of 1/64 in, up to what snapping leaves. */
static bool is_trade_inches(double mm) {
    const double steps = mm / MM_PER_INCH * 64;
    return fabs(steps - round(steps)) < 1e-4;
}

static const char *size_inches(Arena *arena, double mm, bool leading) {
    /* in brackets beside exact millimetres, finer than 1/16 in would only look exact */
    return length_feet_inches(arena, mm, leading || is_trade_inches(mm) ? 64 : 16);
}

static const char *length_inches(Arena *arena, FactKind kind, double mm, bool leading) {
    switch (kind) {
    case FACT_SIZE:
        return size_inches(arena, mm, leading);
    case FACT_FINE:
        return length_feet_inches(arena, mm, mm < FINE_UNDER_MM ? 64 : 16);
    case FACT_WITHIN:
        return length_feet_inches(arena, fmax(mm, MM_PER_INCH / 16), 16); /* no tape shows less */
    default:
        return length_feet_inches(arena, mm, 8);
    }
}

static const char *length_mm(Arena *arena, FactKind kind, double mm) {
    if (kind == FACT_FINE || kind == FACT_WITHIN)
        return number_fixed(arena, mm, mm < FINE_TENTHS_UNDER_MM ? 1 : 0);
    return kind == FACT_PLACE ? number_fixed(arena, mm, 0) : number_short(arena, mm, 1);
}

static const char *share_text(Arena *arena, double share) {
    const double percent = share * 100;
    return arena_format(arena, "%s %%", number_short(arena, percent, fabs(percent) < 99.95 ? 1 : 0));
}

static const char *drawn_text(Arena *arena, const FactPart *part, double mm) {
    if (part->px_per_mm > 0)
        return arena_format(arena, "%s px", number_fixed(arena, mm * part->px_per_mm, 0));
    return arena_format(arena, "%s mm", number_fixed(arena, mm, 1));
}

/* The number without its direction, in the book's own lengths. */
static const char *value_text(Arena *arena, LengthStyle lengths, const FactPart *part, double number) {
    switch (part->kind) {
    case FACT_TEXT:
        return part->text;
    case FACT_PLACE:
    case FACT_SIZE:
    case FACT_FINE:
    case FACT_WITHIN:
        if (lengths == STYLE_FEET_INCHES) return length_inches(arena, part->kind, number, true);
        return arena_format(arena, "%s mm", length_mm(arena, part->kind, number));
    case FACT_DRAWN:
        return drawn_text(arena, part, number);
    case FACT_SENSOR:
        return arena_format(arena, "%s mm", number_short(arena, number, 2));
    case FACT_ANGLE:
        return arena_format(arena, "%s deg", number_fixed(arena, DEGREES(number), 1));
    case FACT_FINE_ANGLE:
        return arena_format(arena, "%s deg", number_fixed(arena, DEGREES(number), 2));
    case FACT_SHARE:
        return share_text(arena, number);
    case FACT_NUMBER:
        return number_short(arena, number, 3);
    case FACT_MONEY:
        return number_fixed(arena, number, 2);
    case FACT_ROUGH:
        return number_fixed(arena, number, 1);
    case FACT_WEIGHT:
        return arena_format(arena, "%s (%s)", weight_text(arena, number, lengths == STYLE_FEET_INCHES),
                            weight_text(arena, number, lengths != STYLE_FEET_INCHES));
    case FACT_YES:
        break;
    }
    return "";
}

/* Whether a number prints as nothing: then its direction would be noise. */
static bool is_nothing(LengthStyle lengths, const FactPart *part) {
    const bool inches = lengths == STYLE_FEET_INCHES;
    const double size = fabs(part->number);
    switch (part->kind) {
    case FACT_PLACE:
        return number_round(size, inches ? MM_PER_INCH / 8 : 1) == 0;
    case FACT_SIZE:
        return number_round(size, inches ? MM_PER_INCH / 64 : 0.1) == 0;
    case FACT_FINE:
    case FACT_WITHIN:
        return number_round(size, inches ? MM_PER_INCH / 64 : 0.1) == 0;
    case FACT_DRAWN:
        return part->px_per_mm > 0 ? number_round(size * part->px_per_mm, 1) == 0
                                   : number_round(size, 0.1) == 0;
    case FACT_SENSOR:
        return number_round(size, 0.01) == 0;
    case FACT_ANGLE:
        return number_round(DEGREES(size), 0.1) == 0;
    case FACT_FINE_ANGLE:
        return number_round(DEGREES(size), 0.01) == 0;
    case FACT_SHARE:
    case FACT_NUMBER:
        return number_round(size, 0.001) == 0;
    case FACT_MONEY:
        return number_round(size, 0.01) == 0;
    case FACT_ROUGH:
        return number_round(size, 0.1) == 0;
    case FACT_WEIGHT:
        return number_round(inches ? size / KG_PER_LB : size, 0.1) == 0;
    case FACT_YES:
        return part->number == 0;
    case FACT_TEXT:
        break;
    }
    return false;
}

typedef struct Printer {
    Arena *arena;
    LengthStyle lengths;
    bool both;
} Printer;

/* ` (330.2 mm)`, of the parts first .. last that share a bracket. */
static void add_bracket(Buffer *out, const Printer *printer, const FactPart *first, const FactPart *last) {
    const bool inches = printer->lengths == STYLE_MILLIMETRES;
    const char *between = "";
    buffer_add(out, " (");
    for (const FactPart *part = first; part <= last; part++) {
        if (!is_length(part->kind)) continue;
        const double mm = part->way ? fabs(part->number) : part->number;
        buffer_add(out, between);
        buffer_add(out, inches ? length_inches(printer->arena, part->kind, mm, false)
                               : length_mm(printer->arena, part->kind, mm));
        between = " x ";
    }
    buffer_add(out, inches ? ")" : " mm)");
}

static void add_way(Buffer *out, const FactPart *part) {
    buffer_add(out, part->number > 0 ? part->way->positive : part->way->negative);
}

static void add_part(Buffer *out, const Printer *printer, const FactPart *first, const FactPart *part) {
    if (part->before) buffer_add(out, part->before);
    if (part->kind == FACT_YES || (part->way && is_nothing(printer->lengths, part))) {
        buffer_add(out, part->number > 0 && part->kind == FACT_YES ? part->way->positive : part->way->zero);
        if (part->after) buffer_add(out, part->after);
        return;
    }
    const bool bracket = printer->both && is_length(part->kind) && !part->joined;
    const bool shared = first != part;
    buffer_add(out, value_text(printer->arena, printer->lengths, part,
                               part->way ? fabs(part->number) : part->number));
    if (bracket && !shared) add_bracket(out, printer, first, part);
    if (part->way) add_way(out, part);
    if (part->after) buffer_add(out, part->after);
    if (bracket && shared) add_bracket(out, printer, first, part);
}

static const char *print_fact(Arena *arena, const Facts *facts, const Fact *fact, bool both) {
    const Printer printer = {arena, facts->lengths, both};
    Buffer out = buffer_new(arena);
    const FactPart *first = fact->parts.items;
    for (size_t i = 0; i < fact->parts.count; i++) {
        const FactPart *part = &fact->parts.items[i];
        add_part(&out, &printer, first, part);
        if (!part->joined) first = part + 1;
    }
    return buffer_text(&out);
}

const char *fact_text(Arena *arena, const Facts *facts, const Fact *fact) {
    return print_fact(arena, facts, fact, true);
}

const char *fact_short_text(Arena *arena, const Facts *facts, const Fact *fact) {
    return print_fact(arena, facts, fact, false);
}

const char *facts_label(Arena *arena, const Facts *facts, const char *heading, const char *key,
                        const char *part, bool with_way) {
    const Fact *fact = facts_find(facts, heading, key);
    for (size_t i = 0; fact && i < fact->parts.count; i++) {
        FactPart alone = fact->parts.items[i];
        if (part && !(alone.name && text_equal(alone.name, part))) continue;
        alone.before = alone.after = NULL;
        alone.joined = false;
        if (!with_way) alone.way = NULL;
        Fact one = {.key = fact->key, .label = fact->label};
        LIST_PUSH(arena, one.parts, alone);
        return fact_short_text(arena, facts, &one);
    }
    return NULL;
}

const char *fact_cell_text(Arena *arena, const Facts *facts, const Fact *fact, size_t first, size_t count) {
    assert(count > 0 && first + count <= fact->parts.count);
    Fact cell = {.key = fact->key, .label = fact->label};
    for (size_t i = first; i < first + count; i++)
        LIST_PUSH(arena, cell.parts, fact->parts.items[i]);
    cell.parts.items[0].before = NULL;
    if (count == 1) cell.parts.items[0].after = NULL;
    return fact_text(arena, facts, &cell);
}

static const FactPart *part_named(const Fact *fact, const char *name) {
    for (size_t i = 0; i < fact->parts.count; i++)
        if (fact->parts.items[i].name && text_equal(fact->parts.items[i].name, name))
            return &fact->parts.items[i];
    return NULL;
}

const char *fact_named_text(Arena *arena, const Facts *facts, const Fact *fact, const char *const *names,
                            size_t count, bool whole) {
    Fact cell = {.key = fact->key, .label = fact->label};
    for (size_t i = 0; i < count && names[i]; i++) {
        const FactPart *found = part_named(fact, names[i]);
        if (found) LIST_PUSH(arena, cell.parts, *found);
    }
    if (cell.parts.count == 0) return "";
    cell.parts.items[0].before = NULL;
    if (!whole) cell.parts.items[cell.parts.count - 1].after = NULL;
    return fact_text(arena, facts, &cell);
}

const char *fact_plain_text(Arena *arena, const Facts *facts, const Fact *fact) {
    Fact plain = {.key = fact->key, .label = fact->label};
    for (size_t i = 0; i < fact->parts.count; i++) {
        const FactPart *part = &fact->parts.items[i];
        if (!part->name || !text_starts(part->name, "per_")) LIST_PUSH(arena, plain.parts, *part);
    }
    return fact_text(arena, facts, &plain);
}
