#include "report/page_of_allowances.h"

void page_of_allowances(BookPart *part, const FactBlock *costs) {
    buffer_add(part->out, "<h3>Cost of allowances</h3>\n");
    table_begin(part, "allowances",
                "What would not be needed if all scenes went without: each alone, and all", "Allowed");
    table_column(part, "To buy");
    table_column(part, "Scenes");
    table_end_head(part);
    for (size_t i = 0; i < costs->facts.count; i++) {
        const Fact *fact = costs->facts.items[i];
        const size_t last = fact->parts.count - 1; /* how many scenes */
        row_begin_unlinked(part, fact->label);
        row_cell(part, fact, 0, last);
        row_cell(part, fact, last, 1);
        row_end(part);
    }
    table_end(part);
}
