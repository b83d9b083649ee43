/* Any bytes as a book, with a sound scene: no crash, no finding of a sanitizer; where neither the book nor
 * the scene has a fault, there is a plan. */
#include "../unit/spec.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    Arena *arena = arena_new();
    Spec spec = spec_bound(arena, arena_copy(arena, (const char *)data, size), FOG_SCENE);
    if (spec.scene && spec.diagnostics.errors == 0) {
        const FoundFile *found = ARENA_ARRAY(arena, FoundFile, spec.scene->wanted_count);
        if (!scene_to_plan(spec.scene, found, &spec.diagnostics) && spec.diagnostics.errors == 0) abort();
    }
    spec_words(arena, &spec);
    arena_free(arena);
    return 0;
}
