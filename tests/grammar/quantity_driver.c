/* For checks in other languages: reads lines `slot <tab> text` and answers each with
 *     derived|underived <tab> sound|refused <tab> value or column <tab> message
 * Values are hexadecimal floats, exact; `~` hangs on a depth. */
#include "quantity_items.h"
#include "sample_names.h"

#include <stdio.h>
#include <stdlib.h>

static const char *whether_derived(Arena *arena, const char *text) {
    const Signs signs = signs_new(arena, text);
    return items_read(arena, &signs).stop.kind == STOP_NONE ? "derived" : "underived";
}

static void print_values(const SampleResult *result) {
    for (size_t i = 0; i < result->quantity.count; i++) {
        if (i > 0) fputs(" ", stdout);
        if (result->quantity.parts[i].at_depth)
            fputs("~", stdout);
        else
            printf("%a", result->values[i]);
    }
    fputs("\t\n", stdout);
}

static bool answer(char *line) {
    char *text = strchr(line, '\t');
    if (!text) return false;
    *text++ = '\0';
    const QuantitySlot *slot = sample_slot(line);
    if (!slot) return false;
    Arena *arena = arena_new();
    const SampleResult result = sample_read(arena, slot, text);
    printf("%s\t%s\t", whether_derived(arena, text), result.sound ? "sound" : "refused");
    if (result.sound)
        print_values(&result);
    else
        printf("%zu\t%s\n", result.column, result.message);
    arena_free(arena);
    return true;
}

int main(void) {
    char *line = NULL;
    size_t capacity = 0;
    ssize_t count;
    bool sound = true;
    while (sound && (count = getline(&line, &capacity, stdin)) > 0) {
        if (line[count - 1] == '\n') line[count - 1] = '\0';
        sound = answer(line);
        if (!sound) fprintf(stderr, "quantity_driver: no slot: %s\n", line);
    }
    free(line);
    return sound ? 0 : 1;
}
