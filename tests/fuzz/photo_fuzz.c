/* Any bytes as a scene of a sound book whose every image is there: text to what photographs say. No crash, no
 * finding of a sanitizer; where a camera was found, all that is told of it is a number. */
#include "../unit/spec.h"
#include "photo/plan_to_lined_up.h"
#include "report/facts_to_json.h"
#include "report/plan_to_facts.h"
#include "report/points_to_text.h"

#include <jansson.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void finite_or_abort(double value) {
    if (!isfinite(value)) abort();
}

static void check_lined_up(const LinedUp *lined) {
    for (size_t i = 0; lined && i < lined->count; i++) {
        const LinedPhoto *photo = &lined->photos[i];
        finite_or_abort(photo->found->camera.lens.back_mm);
        finite_or_abort(photo->moves.nearer.by);
        finite_or_abort(photo->crop_left_px);
        for (size_t t = 0; t < photo->thing_count; t++) {
            finite_or_abort(photo->things[t].now.back_mm);
            finite_or_abort(photo->things[t].wanted.back_mm);
            finite_or_abort(photo->things[t].off_mm);
        }
    }
}

static void check_json(Arena *arena, const Facts *facts) {
    Buffer text = buffer_new(arena);
    facts_to_json(&text, facts);
    json_t *read = json_loads(buffer_text(&text), JSON_REJECT_DUPLICATES, NULL);
    if (!read) abort();
    json_decref(read);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    Arena *arena = arena_new();
    Spec spec = spec_of_bytes(arena, FERRY_BOOK, (const char *)data, size);
    if (spec.plan) {
        FoundFile *found = ARENA_ARRAY(arena, FoundFile, spec.scene->wanted_count);
        for (size_t i = 0; i < spec.scene->wanted_count; i++)
            found[i] = (FoundFile){.found = true, .width_px = 3000, .height_px = 2000};
        spec.plan->found = found;
        spec.plan->lined_up = plan_to_lined_up(arena, spec.plan, &spec.diagnostics);
        check_lined_up(spec.plan->lined_up);
        if (spec.diagnostics.errors == 0) check_json(arena, plan_to_facts(arena, spec.plan));
        Buffer points = buffer_new(arena);
        points_to_text(&points, spec.plan, NULL);
    }
    arena_free(arena);
    return 0;
}
