/* Any bytes as a scene of a sound book: text to report. What has a plan has facts; they print without a sign
 * that no maker should see, and their JSON is read by another reader. */
#include "../unit/spec.h"
#include "model/plan_to_set.h"
#include "report/facts_to_json.h"
#include "report/facts_to_text.h"
#include "report/plan_to_facts.h"
#include "report/reasons_to_text.h"
#include "report/summaries_to_book.h"
#include "report/summaries_to_page.h"
#include "see/seen_to_warnings.h"
#include "see/set_to_seen.h"
#include "shop/plan_to_costs.h"
#include "shop/plan_to_parts.h"

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

/* Shares are shares, and what must grow does. */
static void check_seen(const Seen *seen, const Plan *plan) {
    for (size_t i = 0; i < seen->count; i++) {
        const SeenCamera *camera = &seen->cameras[i];
        const SeenSlack *slack = &camera->slack;
        double all = 0;
        for (size_t t = 0; t < plan->scene->thing_count; t++)
            all += camera->things[t].share;
        if (!(all <= 1 + 1e-9) || !(camera->bare >= 0 && camera->bare <= 1 + 1e-9)) abort();
        if (!(slack->wider >= 0 && slack->wider <= SLACK_MOST && slack->tighter <= 0.5)) abort();
        if (slack->tighter > 0 && slack->wider > 0) abort();
        for (int side = 0; side < SIDE_COUNT; side++)
            if (!(slack->move[side] >= 0 && slack->move[side] <= SLACK_MOST)) abort();
    }
    for (size_t i = 0; i < seen->closes.count; i++) {
        const SeenGrowth *growth = &seen->closes.items[i];
        if (growth->thing >= 0 && !(growth->by_mm > 0 && growth->by_mm < 1e6)) abort();
    }
}

/* Of the page: as many tags of a kind end as begin, whatever names and titles hold. */
static void check_book(Arena *arena, Summary summary) {
    Buffer text = buffer_new(arena), html = buffer_new(arena);
    const BookFacts book = summaries_to_book(arena, "A book", STYLE_FEET_INCHES, &summary, 1);
    book_to_text(&text, &book);
    const PageScene scene = {.summary = &summary, .report = true};
    summaries_to_page(&html, arena,
                      &(Page){.title = "A book", .book = book.facts, .scenes = &scene, .scene_count = 1});
    int open = 0, ended = 0, sections = 0;
    for (const char *c = buffer_text(&html); *c; c++) {
        open += *c == '<';
        ended += *c == '>';
        sections += text_starts(c, "<section") - text_starts(c, "</section");
    }
    if (open != ended || sections != 0 || !text_ends(buffer_text(&html), "</html>\n")) abort();
}

/* What has parts has costs of what it allows, and nothing is said of how they come about. */
static void cut(Arena *arena, Spec *spec) {
    Parts *parts = plan_to_parts(arena, spec->plan, &spec->diagnostics);
    if (!parts->cutting) return;
    const size_t said = spec->diagnostics.items.count;
    spec->plan->parts = parts;
    spec->plan->costs = plan_to_costs(arena, spec->plan);
    if (spec->diagnostics.items.count != said) abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    Arena *arena = arena_new();
    Spec spec = spec_of_bytes(arena, FERRY_BOOK, (const char *)data, size);
    if (spec.plan) {
        const Model *set = plan_to_set(arena, spec.plan);
        spec.plan->seen = set_to_seen(arena, spec.plan, set, 48);
        check_seen(spec.plan->seen, spec.plan);
        seen_to_warnings(spec.plan, &spec.diagnostics);
        cut(arena, &spec);
        const Facts *facts = plan_to_facts(arena, spec.plan);
        check_text(arena, facts);
        check_json(arena, facts);
        check_reasons(arena, &spec);
        check_book(arena, plan_to_summary(arena, spec.plan, facts));
    }
    arena_free(arena);
    return 0;
}
