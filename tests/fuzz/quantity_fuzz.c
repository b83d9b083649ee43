/* Any bytes as a quantity of any slot, and as a name: no crash, no finding of a sanitizer, a fault that lies
 * in the text, and formulas that can be evaluated. */
#include "../grammar/sample_names.h"

#include <stdint.h>
#include <stdlib.h>

static void check(bool holds) {
    if (!holds) abort();
}

static void check_quantity(Arena *arena, const QuantitySlot *slot, const char *text) {
    const SampleResult result = sample_read(arena, slot, text);
    const size_t count = utf8_length(text, strlen(text));
    if (!result.sound && result.message) {
        check(result.column >= 1 && result.length >= 1 && result.message[0] != '\0');
        /* bytes that are no UTF-8 count one each, so there can be more columns than code points */
        check(result.column + result.length <= strlen(text) + 2 && count <= strlen(text));
        return;
    }
    check(result.quantity.count >= 1 && result.quantity.count <= 3);
}

static void check_name(Arena *arena, const char *text) {
    size_t column = 0, length = 0;
    const char *message = NULL, *help = NULL;
    if (name_allowed(arena, text, &column, &length, &message, &help)) return;
    check(column >= 1 && length >= 1 && message);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size == 0) return 0;
    Arena *arena = arena_new();
    const size_t slots = sizeof sample_slots / sizeof *sample_slots;
    const char *text = arena_copy(arena, (const char *)data + 1, size - 1);
    check_quantity(arena, &sample_slots[data[0] % slots].slot, text);
    check_name(arena, text);
    arena_free(arena);
    return 0;
}
