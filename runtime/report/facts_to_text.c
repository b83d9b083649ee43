#include "report/facts_to_text.h"

static void add_block(Buffer *out, const Facts *facts, const FactBlock *block) {
    buffer_format(out, "\n%s\n", block->heading);
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        buffer_format(out, "  %s: %s\n", fact->label, fact_text(out->arena, facts, fact));
    }
}

void facts_to_lines(Buffer *out, const Facts *facts) {
    for (size_t i = 0; i < facts->blocks.count; i++)
        if (facts->blocks.items[i]->facts.count > 0) add_block(out, facts, facts->blocks.items[i]);
}

void facts_to_text(Buffer *out, const Facts *facts) {
    buffer_format(out, "groundrow report %d\n", REPORT_FORMAT);
    facts_to_lines(out, facts);
}
