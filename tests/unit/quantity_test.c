/* The grammar's two lists, every line; and messages in their places (docs/quantities.ebnf). */
#include "../grammar/sample_names.h"
#include "quantity.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

typedef struct ListLine {
    char bytes[512];
    char *fields[4];
    size_t count;
    int number;
} ListLine;

static FILE *list_open(const char *name) {
    char path[1024];
    snprintf(path, sizeof path, "%s/grammar/%s", TESTS_DIR, name);
    FILE *file = fopen(path, "r");
    cr_assert(file, "%s", path);
    return file;
}

/* The next line that is no comment, split at tabs. */
static bool list_next(FILE *file, ListLine *line) {
    while (fgets(line->bytes, sizeof line->bytes, file)) {
        line->number++;
        line->bytes[strcspn(line->bytes, "\n")] = '\0';
        if (line->bytes[0] == '#' || line->bytes[0] == '\0') continue;
        line->count = 0;
        for (char *at = line->bytes; at && line->count < 4; line->count++) {
            line->fields[line->count] = at;
            at = strchr(at, '\t');
            if (at) *at++ = '\0';
        }
        return true;
    }
    return false;
}

/* One of `228.6..355.6`, `36x24`, `~`. */
static void check_value(const ListLine *line, const char **text, const Formula *formula, double value) {
    if (**text == '~') {
        cr_expect(formula->at_depth, "line %d: %s", line->number, line->fields[1]);
        (*text)++;
    } else {
        char *end;
        const double wanted = strtod(*text, &end);
        cr_expect(end != *text && !formula->at_depth);
        cr_expect(fabs(value - wanted) <= 1e-8 * fmax(1, fabs(wanted)), "line %d: %s is %.10g, not %.10g",
                  line->number, line->fields[1], value, wanted);
        *text = end;
    }
    *text += strspn(*text, ".x");
}

Test(quantity, every_accepted_text_has_its_value) {
    FILE *file = list_open("accepted.txt");
    ListLine line = {.number = 0};
    size_t lines = 0;
    while (list_next(file, &line)) {
        Arena *arena = arena_new();
        cr_assert_eq(line.count, 3, "line %d", line.number);
        const QuantitySlot *slot = sample_slot(line.fields[0]);
        cr_assert(slot, "%s", line.fields[0]);
        const SampleResult result = sample_read(arena, slot, line.fields[1]);
        cr_expect(result.sound, "line %d: `%s` refused at %zu: %s", line.number, line.fields[1],
                  result.column, result.message ? result.message : "");
        const char *text = line.fields[2];
        for (size_t i = 0; result.sound && i < result.quantity.count; i++)
            check_value(&line, &text, &result.quantity.parts[i], result.values[i]);
        cr_expect(!result.sound || *text == '\0', "line %d: more values wanted", line.number);
        lines++;
        arena_free(arena);
    }
    fclose(file);
    cr_assert(lines > 200);
}

Test(quantity, every_refused_text_has_its_column_and_message) {
    FILE *file = list_open("refused.txt");
    ListLine line = {.number = 0};
    size_t lines = 0;
    while (list_next(file, &line)) {
        Arena *arena = arena_new();
        cr_assert_eq(line.count, 4, "line %d", line.number);
        const QuantitySlot *slot = sample_slot(line.fields[0]);
        cr_assert(slot, "%s", line.fields[0]);
        const SampleResult result = sample_read(arena, slot, line.fields[1]);
        cr_expect(!result.sound, "line %d: `%s` accepted", line.number, line.fields[1]);
        if (!result.sound) {
            cr_expect_eq(result.column, (size_t)atoi(line.fields[2]),
                         "line %d: `%s`: column %zu, not %s (%s)", line.number, line.fields[1], result.column,
                         line.fields[2], result.message);
            cr_expect_str_eq(result.message, line.fields[3], "line %d: `%s`: %s, not %s", line.number,
                             line.fields[1], result.message, line.fields[3]);
            cr_expect(result.length > 0);
        }
        lines++;
        arena_free(arena);
    }
    fclose(file);
    cr_assert(lines > 130);
}
