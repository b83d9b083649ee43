/* Any bytes as a scene of a sound book: text to pictures. What has a plan has pictures, soon, of sizes that
 * can be shown, whatever its cameras and its ground are like. */
#include "../unit/spec.h"
#include "base/image_head.h"
#include "model/plan_to_set.h"
#include "picture/set_to_pictures.h"
#include "report/plan_to_facts.h"
#include "see/set_to_seen.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    Arena *arena = arena_new();
    const Spec spec = spec_of_bytes(arena, FERRY_BOOK, (const char *)data, size);
    if (spec.plan && spec.plan->shot_count < 4) {
        const Model *set = plan_to_set(arena, spec.plan);
        spec.plan->seen = set_to_seen(arena, spec.plan, set, 32);
        const Facts *facts = plan_to_facts(arena, spec.plan);
        const Pictures pictures = set_to_pictures(arena, spec.plan, set, facts);
        if (pictures.count < 2 * spec.plan->shot_count) abort();
        for (size_t i = 0; i < pictures.count; i++) {
            const PictureFile *file = &pictures.files[i];
            const ImageHead head = image_head(file->bytes, file->count);
            if (head.fault || head.wide_px != file->wide_px || head.tall_px != file->tall_px) abort();
            if (!file->alt[0] || !file->title[0]) abort();
        }
    }
    arena_free(arena);
    return 0;
}
