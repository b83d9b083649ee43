#include "quantity_items.h"

#include "plan/formula.h"

#include <assert.h>

typedef struct Reader {
    Items *items;
    const Signs *signs;
    size_t at;
    size_t brackets; /* open ones */
    size_t bracket;  /* the innermost, or NO_MATCH */
    size_t depth;    /* of the stack when the items are worked through */
    size_t after_to;
} Reader;

static bool stop(Reader *reader, StopKind kind, size_t at, size_t before) {
    reader->items->stop = (Stop){
        .kind = kind, .at = at, .before = before, .bracket = reader->bracket, .after_to = reader->after_to};
    return false;
}

static Item item_new(ItemKind kind, size_t start, size_t end) {
    return (Item){.kind = kind, .start = start, .end = end, .suffix_at = NO_MATCH};
}

static void add(Reader *reader, Item item) {
    Items *items = reader->items;
    LIST_PUSH(items->arena, items->list, item);
    if (item.kind < ITEM_SIGN)
        reader->depth++;
    else if (item.kind > ITEM_GROUP)
        reader->depth--;
    reader->after_to = NO_MATCH;
}

static bool add_leaf(Reader *reader, Item item) {
    if (reader->depth == FORMULA_STACK_MOST - 1) return stop(reader, STOP_TOO_DEEP, item.start, NO_MATCH);
    reader->at = item.end;
    add(reader, item);
    return true;
}

/* Takes the token when it is there. */
static bool take(Reader *reader, size_t end) {
    if (end == NO_MATCH) return false;
    reader->at = end;
    return true;
}

static void skip_blanks(Reader *reader) {
    reader->at = match_blanks(reader->signs, reader->at);
}

static bool read_sum(Reader *reader);

/* dot field ( dot field )*, when a dot stands here. */
static bool read_fields(Reader *reader, Item *item) {
    Items *items = reader->items;
    item->first_field = items->fields.count;
    for (;;) {
        const size_t dot = reader->at;
        if (!take(reader, match_dot(reader->signs, dot))) break;
        const size_t at = reader->at;
        if (!take(reader, match_field(reader->signs, at)))
            return stop(reader, STOP_FIELD, dot, item->name_at);
        LIST_PUSH(items->arena, items->fields, (Extent){at, reader->at});
        item->fields++;
    }
    item->end = reader->at;
    return true;
}

static bool read_measure_rest(Reader *reader, Item item, Measure measure) {
    Items *items = reader->items;
    item.kind = ITEM_MEASURE;
    item.first_measure = items->measures.count;
    LIST_PUSH(items->arena, items->measures, measure);
    item.measures = 1;
    reader->at = measure.unit_end;
    while (take(reader, match_joint(reader->signs, reader->at))) {
        Measure next;
        const size_t at = reader->at;
        const size_t end = match_number(reader->signs, at, &next.number);
        if (end == NO_MATCH) return stop(reader, STOP_WANTED, at, NO_MATCH);
        next.unit_at = match_blanks(reader->signs, end);
        next.unit_end = match_unit(reader->signs, next.unit_at, &next.unit);
        if (next.unit_end == NO_MATCH) return stop(reader, STOP_JOINT, at, NO_MATCH);
        LIST_PUSH(items->arena, items->measures, next);
        item.measures++;
        reader->at = next.unit_end;
    }
    const size_t suffix = reader->at;
    item.drawn = take(reader, match_drawn(reader->signs, suffix));
    if (item.drawn || take(reader, match_way(reader->signs, suffix)))
        item.suffix_at = match_blanks(reader->signs, suffix);
    item.end = item.suffix_end = reader->at;
    return add_leaf(reader, item);
}

/* measure | share | puppets | multiple | number */
static bool read_counted(Reader *reader) {
    const Signs *signs = reader->signs;
    Measure measure;
    const size_t start = reader->at, end = match_number(signs, start, &measure.number);
    if (end == NO_MATCH) return stop(reader, STOP_WANTED, start, NO_MATCH);
    Item item = item_new(ITEM_NUMBER, start, end);
    item.number = measure.number;
    const size_t next = match_blanks(signs, end);
    measure.unit_at = next;
    measure.unit_end = match_unit(signs, next, &measure.unit);
    if (measure.unit_end != NO_MATCH) return read_measure_rest(reader, item, measure);
    if (sign_at(signs, next) == '%') {
        const size_t frame = match_blanks(signs, next + 1), frame_end = match_keyword(signs, frame, "frame");
        item.kind = ITEM_SHARE;
        item.suffix_at = frame_end == NO_MATCH ? NO_MATCH : frame;
        item.suffix_end = frame_end;
        item.end = frame_end == NO_MATCH ? next + 1 : frame_end;
        return add_leaf(reader, item);
    }
    item.name_at = next;
    item.name_end = match_name_not_unit(signs, next);
    if (item.name_end == NO_MATCH) return add_leaf(reader, item);
    reader->at = item.name_end;
    if (!read_fields(reader, &item)) return false;
    item.kind = item.fields > 0 ? ITEM_MULTIPLE : ITEM_PUPPETS;
    return add_leaf(reader, item);
}

static bool open_bracket(Reader *reader, size_t at) {
    if (reader->brackets == QUANTITY_BRACKETS_MOST) return stop(reader, STOP_TOO_DEEP, at, NO_MATCH);
    reader->brackets++;
    reader->bracket = at;
    reader->at = at + 1;
    skip_blanks(reader);
    return true;
}

/* What cannot stand where a bracket could be closed. */
static bool stop_inside(Reader *reader) {
    if (reader->at >= reader->signs->end) return stop(reader, STOP_UNCLOSED, reader->bracket, NO_MATCH);
    return stop(reader, STOP_FOLLOWS, reader->at, NO_MATCH);
}

static bool read_group(Reader *reader) {
    const size_t start = reader->at, outer = reader->bracket;
    if (!open_bracket(reader, start) || !read_sum(reader)) return false;
    skip_blanks(reader);
    if (sign_at(reader->signs, reader->at) != ')') return stop_inside(reader);
    reader->at++;
    reader->brackets--;
    reader->bracket = outer;
    add(reader, item_new(ITEM_GROUP, start, reader->at));
    return true;
}

static bool read_call(Reader *reader, ItemKind kind, size_t bracket) {
    const size_t start = reader->at, outer = reader->bracket;
    if (!open_bracket(reader, bracket) || !read_sum(reader)) return false;
    for (size_t count = 1;; count++) {
        skip_blanks(reader);
        const uint32_t sign = sign_at(reader->signs, reader->at);
        if (sign == ')' && count == 1) return stop(reader, STOP_CALL_OF_ONE, start, NO_MATCH);
        if (sign == ')') break;
        if (sign != ',' && sign != ';') return stop_inside(reader);
        reader->at++;
        skip_blanks(reader);
        if (!read_sum(reader)) return false;
        add(reader, item_new(kind, start, start + 3)); /* two at a time, so that the stack stays low */
    }
    reader->at++;
    reader->brackets--;
    reader->bracket = outer;
    add(reader, item_new(ITEM_GROUP, start, reader->at));
    return true;
}

/* reference | call | cover | stop: a name with a dot is a reference before all else. */
static bool read_worded(Reader *reader) {
    const Signs *signs = reader->signs;
    const size_t start = reader->at;
    Item item = item_new(ITEM_REFERENCE, start, start);
    item.name_at = start;
    item.name_end = match_name(signs, start);
    if (item.name_end != NO_MATCH && match_dot(signs, item.name_end) != NO_MATCH) {
        reader->at = item.name_end;
        return read_fields(reader, &item) && add_leaf(reader, item);
    }
    for (int max = 0; max < 2; max++) {
        const size_t end = match_keyword(signs, start, max ? "max" : "min");
        const size_t bracket = end == NO_MATCH ? end : match_blanks(signs, end);
        if (bracket != NO_MATCH && sign_at(signs, bracket) == '(')
            return read_call(reader, max ? ITEM_MAX : ITEM_MIN, bracket);
    }
    size_t end = match_keyword(signs, start, "cover");
    if (end != NO_MATCH) return add_leaf(reader, item_new(ITEM_COVER, start, end));
    end = match_stop(signs, start);
    if (end != NO_MATCH) return add_leaf(reader, item_new(ITEM_STOP, start, end));
    return stop(reader, STOP_WANTED, start, NO_MATCH);
}

static bool read_primary(Reader *reader) {
    const uint32_t sign = sign_at(reader->signs, reader->at);
    if (number_can_begin(reader->signs, reader->at)) return read_counted(reader);
    if (sign_is_letter(sign)) return read_worded(reader);
    if (sign == '(') return read_group(reader);
    return stop(reader, STOP_WANTED, reader->at, NO_MATCH);
}

static bool read_factor(Reader *reader) {
    const size_t sign = reader->at;
    if (!take(reader, match_sign(reader->signs, sign))) return read_primary(reader);
    const size_t start = reader->at;
    if (!read_primary(reader)) {
        Stop *stopped = &reader->items->stop;
        if (stopped->kind == STOP_WANTED && stopped->at == start) stopped->before = sign;
        return false;
    }
    add(reader, item_new(ITEM_SIGN, sign, sign + 1));
    return true;
}

/* The one sign in the token [at, end). */
static size_t sign_within(const Signs *signs, size_t at) {
    return match_blanks(signs, at);
}

static bool read_product(Reader *reader) {
    if (!read_factor(reader)) return false;
    for (;;) {
        const size_t at = reader->at, sign = sign_within(reader->signs, at);
        ItemKind kind = ITEM_MULTIPLY;
        if (!take(reader, match_star(reader->signs, at))) {
            if (!take(reader, match_slash(reader->signs, at))) return true;
            kind = ITEM_DIVIDE;
        }
        if (!read_factor(reader)) return false;
        add(reader, item_new(kind, sign, sign + 1));
    }
}

static bool read_sum(Reader *reader) {
    if (!read_product(reader)) return false;
    for (;;) {
        const size_t at = reader->at, sign = sign_within(reader->signs, at);
        ItemKind kind = ITEM_ADD;
        if (!take(reader, match_plus(reader->signs, at))) {
            if (!take(reader, match_minus(reader->signs, at))) return true;
            kind = ITEM_SUBTRACT;
        }
        if (!read_product(reader)) return false;
        add(reader, item_new(kind, sign, sign + 1));
    }
}

static bool read_part(Reader *reader) {
    Items *items = reader->items;
    const size_t first = items->list.count, start = reader->at;
    reader->depth = 0;
    if (!read_sum(reader)) return false;
    assert(reader->depth == 1);
    items->parts[items->part_count++] =
        (ValuePart){.first = first, .count = items->list.count - first, .text = {start, reader->at}};
    return true;
}

/* `to` or `x`, then another sum. */
static bool read_further(Reader *reader, size_t end) {
    const size_t word = match_blanks(reader->signs, reader->at);
    reader->at = end;
    reader->after_to = word;
    return read_part(reader);
}

static bool read_value(Reader *reader) {
    Items *items = reader->items;
    skip_blanks(reader);
    if (!read_part(reader)) return false;
    size_t next = match_to(reader->signs, reader->at);
    if (next != NO_MATCH) {
        items->form = VALUE_RANGE;
        if (!read_further(reader, next)) return false;
    }
    while (items->form != VALUE_RANGE && items->part_count < 3 &&
           (next = match_times(reader->signs, reader->at)) != NO_MATCH) {
        items->form = VALUE_SIZE;
        if (!read_further(reader, next)) return false;
    }
    skip_blanks(reader);
    return reader->at == reader->signs->count || stop(reader, STOP_FOLLOWS, reader->at, NO_MATCH);
}

Items items_read(Arena *arena, const Signs *signs) {
    Items items = {.arena = arena, .signs = signs};
    Reader reader = {.items = &items, .signs = signs, .bracket = NO_MATCH, .after_to = NO_MATCH};
    read_value(&reader);
    return items;
}
