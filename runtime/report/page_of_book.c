/* What concerns all scenes, as tables: the facts of book.txt. */
#include "report/html.h"
#include "report/page_parts.h"
#include "report/summaries_to_book.h"

#include <string.h>

typedef struct BookPart {
    Buffer *out;
    Arena *arena;
    const Page *page;
    const Facts *facts;
} BookPart;

/* A column: so many of a fact's parts, from `first`. */
typedef struct Column {
    const char *head;
    size_t first, count;
} Column;

static const Column scene_columns[] = {
    {"Lens", 0, 1},       {"Height", 1, 1}, {"Distance", 2, 1}, {"Tilt", 3, 1}, {"All that is built", 4, 3},
    {"Enlargement", 7, 1}};
static const Column puppet_columns[] = {
    {"Enlargement", 0, 1}, {"Tall in print", 1, 1}, {"Of the puppet", 2, 1}};
#define COLUMNS(columns) columns, sizeof columns / sizeof *columns

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

static void add_link(BookPart *part, const char *label) {
    const char *scene = scene_of_label(part->page, label);
    if (scene) {
        buffer_add(part->out, "<a href=\"#");
        page_scene_anchor(part->out, scene);
        buffer_add(part->out, "\">");
    }
    page_name(part->out, label);
    if (scene) buffer_add(part->out, "</a>");
}

/* ---- Tables. One that is wider than the window moves in a box of its own, which the keyboard reaches. */

static void begin_table(BookPart *part, const char *id, const char *caption, const char *first_head) {
    buffer_format(part->out,
                  "<div class=\"table\" role=\"region\" tabindex=\"0\" "
                  "aria-labelledby=\"%s\">\n<table>\n<caption id=\"%s\">",
                  id, id);
    page_name(part->out, caption);
    buffer_format(part->out, "</caption>\n<thead><tr><th scope=\"col\">%s</th>", first_head);
}

static void end_head(BookPart *part) {
    buffer_add(part->out, "</tr></thead>\n<tbody>\n");
}

static void end_table(BookPart *part) {
    buffer_add(part->out, "</tbody>\n</table>\n</div>\n");
}

static void add_column_head(BookPart *part, const char *head) {
    buffer_format(part->out, "<th scope=\"col\">%s</th>", head);
}

static void begin_row(BookPart *part, const char *label) {
    buffer_add(part->out, "<tr><th scope=\"row\">");
    add_link(part, label);
    buffer_add(part->out, "</th>");
}

static void add_cell(BookPart *part, const Fact *fact, size_t first, size_t count) {
    buffer_add(part->out, "<td>");
    html_numbers(part->out, fact_cell_text(part->arena, part->facts, fact, first, count));
    buffer_add(part->out, "</td>");
}

/* All that a fact says, across the columns. */
static void add_whole_cell(BookPart *part, const Fact *fact, size_t columns) {
    buffer_format(part->out, "<td colspan=\"%zu\">", columns);
    html_numbers(part->out, fact_text(part->arena, part->facts, fact));
    buffer_add(part->out, "</td>");
}

/* The names that a fact ends with, each leading to its scene. */
static void add_names_cell(BookPart *part, const Fact *fact, size_t first) {
    buffer_add(part->out, "<td>");
    for (size_t i = first; i < fact->parts.count; i++) {
        if (i > first) buffer_add(part->out, "; ");
        add_link(part, fact->parts.items[i].text);
    }
    buffer_add(part->out, "</td>");
}

static void end_row(BookPart *part) {
    buffer_add(part->out, "</tr>\n");
}

static void add_table(BookPart *part, const FactBlock *block, const char *id, const char *caption,
                      const Column *columns, size_t count) {
    begin_table(part, id, caption, "Scene");
    for (size_t c = 0; c < count; c++)
        add_column_head(part, columns[c].head);
    end_head(part);
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        begin_row(part, fact->label);
        if (book_is_of_all(fact)) add_whole_cell(part, fact, count);
        for (size_t c = 0; c < count && !book_is_of_all(fact); c++)
            add_cell(part, fact, columns[c].first, columns[c].count);
        end_row(part);
    }
    end_table(part);
}

/* ---- The blocks of book.txt */

static void add_puppets(BookPart *part) {
    size_t count = 0;
    for (size_t b = 0; b < part->facts->blocks.count; b++) {
        const FactBlock *block = part->facts->blocks.items[b];
        if (!text_equal(block->kind, "puppet")) continue;
        if (count++ == 0) buffer_add(part->out, "<h3>Puppets on paper</h3>\n<div class=\"tables\">\n");
        add_table(part, block, arena_format(part->arena, "puppet-%zu", count), block->name,
                  COLUMNS(puppet_columns));
    }
    if (count > 0) buffer_add(part->out, "</div>\n");
}

/* As many parts as say what the camera is; names follow. */
enum { CAMERA_PARTS = 3 };

static void add_shared(BookPart *part, const FactBlock *block) {
    buffer_add(part->out, "<h3>Shared camera set-ups</h3>\n");
    if (block->facts.items[0]->parts.count <= CAMERA_PARTS) {
        buffer_add(part->out, "<p>None: between any two scenes the camera is moved.</p>\n");
        return;
    }
    begin_table(part, "shared", "Photographed without moving the camera's height, tilt or lens", "Scene");
    add_column_head(part, "Camera");
    add_column_head(part, "As for");
    end_head(part);
    for (size_t i = 0; i < block->facts.count; i++) {
        begin_row(part, block->facts.items[i]->label);
        add_cell(part, block->facts.items[i], 0, CAMERA_PARTS);
        add_names_cell(part, block->facts.items[i], CAMERA_PARTS);
        end_row(part);
    }
    end_table(part);
}

static void add_needed(BookPart *part, const FactBlock *block) {
    buffer_add(part->out, "<h3>Bodies and lenses</h3>\n");
    begin_table(part, "needed", "What each scene is photographed with", "Needed");
    add_column_head(part, "For");
    end_head(part);
    for (size_t i = 0; i < block->facts.count; i++) {
        begin_row(part, block->facts.items[i]->label);
        add_names_cell(part, block->facts.items[i], 0);
        end_row(part);
    }
    end_table(part);
}

static void add_book_file(BookPart *part) {
    if (part->page->book_text)
        buffer_add(part->out, "<p>The same as text: <a href=\"book.txt\">book.txt</a></p>\n");
}

void page_of_book(Buffer *out, Arena *arena, const Page *page) {
    Summary *summaries = ARENA_ARRAY(arena, Summary, page->scene_count);
    for (size_t i = 0; i < page->scene_count; i++)
        summaries[i] = *page->scenes[i].summary;
    BookPart part = {out, arena, page,
                     book_facts(arena, page->title, page->lengths, summaries, page->scene_count)};
    buffer_add(out, "\n<section class=\"book\" aria-labelledby=\"whole-book\">\n<h2 id=\"whole-book\">The "
                    "whole book</h2>\n");
    add_book_file(&part);
    for (size_t b = 0; b < part.facts->blocks.count; b++) {
        const FactBlock *block = part.facts->blocks.items[b];
        if (text_equal(block->kind, "scenes")) {
            buffer_add(out, "<h3>Cameras and sizes</h3>\n");
            add_table(&part, block, "cameras", "Of each scene's planned camera", COLUMNS(scene_columns));
            add_puppets(&part);
        }
        if (text_equal(block->kind, "shared")) add_shared(&part, block);
        if (text_equal(block->kind, "needed")) add_needed(&part, block);
    }
    buffer_add(out, "</section>\n");
}
