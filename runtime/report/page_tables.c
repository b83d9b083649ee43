#include "report/page_tables.h"

#include "report/html.h"
#include "report/page_parts.h"

#include <string.h>

/* The scene that a line of book.txt is about: `10-the-quay, whole` begins with its name. */
static const char *scene_of_label(const Page *page, const char *label) {
    const char *best = NULL;
    for (size_t i = 0; i < page->scene_count; i++) {
        const char *name = page->scenes[i].summary->scene;
        const size_t length = strlen(name);
        const bool ours = text_starts(label, name) && (label[length] == '\0' || label[length] == ',');
        if (ours && (!best || length > strlen(best))) best = name;
    }
    return best;
}

void page_link(BookPart *part, const char *label) {
    const char *scene = scene_of_label(part->page, label);
    if (scene) {
        buffer_add(part->out, "<a href=\"#");
        page_scene_anchor(part->out, scene);
        buffer_add(part->out, "\">");
    }
    page_name(part->out, label);
    if (scene) buffer_add(part->out, "</a>");
}

void table_begin(BookPart *part, const char *id, const char *caption, const char *first_head) {
    buffer_format(part->out,
                  "<div class=\"table\" role=\"region\" tabindex=\"0\" "
                  "aria-labelledby=\"%s\">\n<table>\n<caption id=\"%s\">",
                  id, id);
    page_name(part->out, caption);
    buffer_format(part->out, "</caption>\n<thead><tr><th scope=\"col\">%s</th>", first_head);
}

void table_end_head(BookPart *part) {
    buffer_add(part->out, "</tr></thead>\n<tbody>\n");
}

void table_end(BookPart *part) {
    buffer_add(part->out, "</tbody>\n</table>\n</div>\n");
}

void table_column(BookPart *part, const char *head) {
    buffer_add(part->out, "<th scope=\"col\">");
    html_text(part->out, head);
    buffer_add(part->out, "</th>");
}

void row_begin(BookPart *part, const char *label) {
    buffer_add(part->out, "<tr><th scope=\"row\">");
    page_link(part, label);
    buffer_add(part->out, "</th>");
}

void row_begin_unlinked(BookPart *part, const char *label) {
    buffer_add(part->out, "<tr><th scope=\"row\">");
    page_name(part->out, label);
    buffer_add(part->out, "</th>");
}

void row_text(BookPart *part, const char *text) {
    buffer_add(part->out, "<td>");
    html_numbers(part->out, text);
    buffer_add(part->out, "</td>");
}

void row_cell(BookPart *part, const Fact *fact, size_t first, size_t count) {
    row_text(part, fact_cell_text(part->arena, part->facts, fact, first, count));
}

void row_whole_cell(BookPart *part, const Fact *fact, size_t columns) {
    buffer_format(part->out, "<td colspan=\"%zu\">", columns);
    html_numbers(part->out, fact_text(part->arena, part->facts, fact));
    buffer_add(part->out, "</td>");
}

void row_names_cell(BookPart *part, const Fact *fact, size_t first) {
    buffer_add(part->out, "<td>");
    for (size_t i = first; i < fact->parts.count; i++) {
        if (i > first) buffer_add(part->out, "; ");
        page_link(part, fact->parts.items[i].text);
    }
    buffer_add(part->out, "</td>");
}

void row_end(BookPart *part) {
    buffer_add(part->out, "</tr>\n");
}
