/* Any bytes as a scene of a sound book: text to report. What has a plan has facts; they print without a sign
 * that no maker should see, and their JSON is read by another reader. */
#include "../unit/spec.h"
#include "report/facts_to_json.h"
#include "report/facts_to_text.h"
#include "report/plan_to_facts.h"
#include "report/reasons_to_text.h"
#include "report/summaries_to_book.h"
#include "report/summaries_to_page.h"

#include <jansson.h>
#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_text(Arena *arena, const Facts *facts) {
    Buffer text = buffer_new(arena);
    facts_to_text(&text, facts);
    if (!text_starts(buffer_text(&text), "groundrow report ") || !text_ends(buffer_text(&text), "\n"))
        abort();
}

static void check_json(Arena *arena, const Facts *facts) {
    Buffer text = buffer_new(arena);
    facts_to_json(&text, facts);
    json_error_t error;
    json_t *read = json_loads(buffer_text(&text), JSON_REJECT_DUPLICATES, &error);
    if (!read) abort();
    if (json_array_size(json_object_get(read, "points")) != facts->points.count) abort();
    json_decref(read);
}

static void check_reasons(Arena *arena, const Spec *spec) {
    const Sources sources = {(Source *)spec->files, 2};
    for (size_t i = 0; i < spec->plan->reason_count; i += 7) {
        Buffer text = buffer_new(arena);
        if (!reasons_to_text(&text, spec->plan, &sources, spec->plan->reasons[i].path)) abort();
    }
}

/* Of the page: as many tags of a kind end as begin, whatever names and titles hold. */
static void check_book(Arena *arena, Summary summary) {
    Buffer text = buffer_new(arena), html = buffer_new(arena);
    summaries_to_book(&text, arena, "A book", STYLE_FEET_INCHES, &summary, 1);
    const PageScene scene = {.summary = &summary, .report = true};
    summaries_to_page(&html, arena, &(Page){.title = "A book", .scenes = &scene, .scene_count = 1});
    int open = 0, ended = 0, sections = 0;
    for (const char *c = buffer_text(&html); *c; c++) {
        open += *c == '<';
        ended += *c == '>';
        sections += text_starts(c, "<section") - text_starts(c, "</section");
    }
    if (open != ended || sections != 0 || !text_ends(buffer_text(&html), "</html>\n")) abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    Arena *arena = arena_new();
    Spec spec = spec_of_bytes(arena, FERRY_BOOK, (const char *)data, size);
    if (spec.plan) {
        const Facts *facts = plan_to_facts(arena, spec.plan);
        check_text(arena, facts);
        check_json(arena, facts);
        check_reasons(arena, &spec);
        check_book(arena, plan_to_summary(arena, spec.plan, facts));
    }
    arena_free(arena);
    return 0;
}
