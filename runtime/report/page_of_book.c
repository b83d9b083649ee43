/* What concerns all scenes, as tables: the facts of book.txt. */
#include "report/html.h"
#include "report/page_of_allowances.h"
#include "report/page_of_buying.h"
#include "report/page_parts.h"
#include "report/page_tables.h"
#include "report/summaries_to_book.h"

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

static void add_table(BookPart *part, const FactBlock *block, const char *id, const char *caption,
                      const Column *columns, size_t count) {
    table_begin(part, id, caption, "Scene");
    for (size_t c = 0; c < count; c++)
        table_column(part, columns[c].head);
    table_end_head(part);
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        row_begin(part, fact->label);
        if (book_is_of_all(fact)) row_whole_cell(part, fact, count);
        for (size_t c = 0; c < count && !book_is_of_all(fact); c++)
            row_cell(part, fact, columns[c].first, columns[c].count);
        row_end(part);
    }
    table_end(part);
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
    table_begin(part, "shared", "Photographed without moving the camera's height, tilt or lens", "Scene");
    table_column(part, "Camera");
    table_column(part, "As for");
    table_end_head(part);
    for (size_t i = 0; i < block->facts.count; i++) {
        row_begin(part, block->facts.items[i]->label);
        row_cell(part, block->facts.items[i], 0, CAMERA_PARTS);
        row_names_cell(part, block->facts.items[i], CAMERA_PARTS);
        row_end(part);
    }
    table_end(part);
}

static void add_needed(BookPart *part, const FactBlock *block) {
    buffer_add(part->out, "<h3>Bodies and lenses</h3>\n");
    table_begin(part, "needed", "What each scene is photographed with", "Needed");
    table_column(part, "For");
    table_end_head(part);
    for (size_t i = 0; i < block->facts.count; i++) {
        row_begin(part, block->facts.items[i]->label);
        row_names_cell(part, block->facts.items[i], 0);
        row_end(part);
    }
    table_end(part);
}

static void add_book_files(BookPart *part) {
    if (part->page->book_text)
        buffer_add(part->out, "<p>The same as text: <a href=\"book.txt\">book.txt</a></p>\n");
    if (part->page->book_sheets)
        buffer_add(part->out,
                   "<p>To print, with the sheets of every scene: <a href=\"book.pdf\">book.pdf</a></p>\n");
}

void page_of_book(Buffer *out, Arena *arena, const Page *page) {
    BookPart part = {out, arena, page, page->book};
    buffer_add(out, "\n<section class=\"book\" aria-labelledby=\"whole-book\">\n<h2 id=\"whole-book\">The "
                    "whole book</h2>\n");
    add_book_files(&part);
    for (size_t b = 0; b < part.facts->blocks.count; b++) {
        const FactBlock *block = part.facts->blocks.items[b];
        if (text_equal(block->kind, "scenes")) {
            buffer_add(out, "<h3>Cameras and sizes</h3>\n");
            add_table(&part, block, "cameras", "Of each scene's planned camera", COLUMNS(scene_columns));
            add_puppets(&part);
        }
        if (text_equal(block->kind, "shared")) add_shared(&part, block);
        if (text_equal(block->kind, "needed")) add_needed(&part, block);
        if (text_equal(block->kind, "to buy")) page_of_buying(&part, block);
        if (text_equal(block->kind, "stock by scene")) page_of_stock_by_scene(&part, block);
        if (text_equal(block->kind, "used again")) page_of_used_again(&part, block, b);
        if (text_equal(block->kind, "cost of allowances")) page_of_allowances(&part, block);
    }
    buffer_add(out, "</section>\n");
}
