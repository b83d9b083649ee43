/* The book's own pages: what is where, and what is needed besides what is cut. All of it is in book.txt or in
 * the scenes' reports. */
#include "picture/book_pages.h"
#include "report/summaries_to_book.h"

#include <stdlib.h>
#include <string.h>

void book_row(Sheets *sheets, SheetTable *table, SheetRow row) {
    for (size_t i = 0; i < table->columns; i++)
        if (!row.cells[i]) row.cells[i] = "";
    LIST_PUSH(sheets->arena, table->rows, row);
}

const FactBlock *book_block(const BookPages *pages, const char *kind) {
    for (size_t b = 0; b < pages->facts->blocks.count; b++)
        if (text_equal(pages->facts->blocks.items[b]->kind, kind)) return pages->facts->blocks.items[b];
    return NULL;
}

static const char *cell(const Sheets *sheets, const BookPages *pages, const Fact *fact, size_t first,
                        size_t count) {
    return first + count <= fact->parts.count
               ? fact_cell_text(sheets->arena, pages->facts, fact, first, count)
               : "";
}

/* So many parts as a fact of their own, without the words before them. */
static Fact some_parts(const Sheets *sheets, const Fact *fact, size_t first, size_t count) {
    Fact some = {.key = fact->key, .label = fact->label};
    for (size_t i = first; i < first + count && i < fact->parts.count; i++)
        LIST_PUSH(sheets->arena, some.parts, fact->parts.items[i]);
    if (some.parts.count > 0) some.parts.items[0].before = NULL;
    return some;
}

/* In the book's own lengths alone. */
static const char *short_cell(const Sheets *sheets, const BookPages *pages, const Fact *fact, size_t first,
                              size_t count) {
    Fact some = some_parts(sheets, fact, first, count);
    if (some.parts.count == 0) return "";
    if (count == 1) some.parts.items[0].after = NULL;
    return fact_short_text(sheets->arena, pages->facts, &some);
}

/* All from that part on, with the words behind it. */
static const char *rest(const Sheets *sheets, const BookPages *pages, const Fact *fact, size_t first) {
    const Fact some = some_parts(sheets, fact, first, fact->parts.count);
    return some.parts.count > 0 ? fact_text(sheets->arena, pages->facts, &some) : "";
}

const char *book_title_of(const Summary *summary) {
    return summary->title && !text_equal(summary->title, summary->scene) ? summary->title : "";
}

/* ---- Contents */

static int first_page(const BookPages *pages, size_t scene) {
    int page = pages->own_count + 1;
    for (size_t s = 0; s < scene; s++)
        page += pages->sheet_counts[s];
    return page;
}

/* `13-21`. */
static const char *pages_of_scene(const Sheets *sheets, const BookPages *pages, size_t scene) {
    const int first = first_page(pages, scene), count = pages->sheet_counts[scene];
    return count > 1 ? arena_format(sheets->arena, "%d-%d", first, first + count - 1)
                     : arena_format(sheets->arena, "%d", first);
}

/* `7'-2" x 6'-6 1/8" x 1'-9 1/2"`. */
static const char *built(const Sheets *sheets, const BookPages *pages, const Fact *fact) {
    Fact size = some_parts(sheets, fact, 4, 3);
    for (size_t i = 0; i < size.parts.count; i++) {
        size.parts.items[i].before = NULL;
        size.parts.items[i].after = i + 1 < size.parts.count ? " x " : NULL;
    }
    return fact_short_text(sheets->arena, pages->facts, &size);
}

/* Each shot has a row. */
static void add_shot(Sheets *sheets, const BookPages *pages, SheetTable *table, const Fact *fact,
                     size_t scene, size_t shot) {
    const Summary *summary = &pages->book->summaries[scene];
    const char *title = book_title_of(summary), *of_book = summary->shots[shot].pages;
    const char *about = title[0] && of_book[0] ? arena_format(sheets->arena, "%s; %s", title, of_book)
                        : title[0]             ? title
                                               : of_book;
    book_row(sheets, table,
             (SheetRow){{fact->label, shot == 0 ? about : of_book,
                         shot == 0 ? pages_of_scene(sheets, pages, scene) : "",
                         short_cell(sheets, pages, fact, 0, 1), short_cell(sheets, pages, fact, 1, 1),
                         short_cell(sheets, pages, fact, 2, 1), short_cell(sheets, pages, fact, 3, 1),
                         shot == 0 ? built(sheets, pages, fact) : ""}});
}

void book_contents(Sheets *sheets, const BookPages *pages) {
    const FactBlock *block = book_block(pages, "scenes");
    SheetTable table = {.title = "Contents",
                        .columns = 8,
                        .soft = 7,
                        .heads = {"scene", "what", "pages here", "lens", "up", "away", "tilt", "built"}};
    table.note = arena_format(
        sheets->arena,
        "First what concerns the whole book, %s, then the sheets of every scene; the page of this "
        "file stands under each title block. Up: the lens above the flat ground; away: from the mark, level; "
        "built: wide x deep x tall, all that is built.",
        pages->own_count > 1 ? arena_format(sheets->arena, "pages 1 to %d", pages->own_count) : "page 1");
    size_t at = 0;
    for (size_t s = 0; s < pages->book->count; s++)
        for (size_t i = 0; i < pages->book->summaries[s].shot_count; i++)
            add_shot(sheets, pages, &table, block->facts.items[at++], s, i);
    sheet_table(sheets, &table);
}

void book_to_mind(Sheets *sheets, const BookPages *pages) {
    SheetTable table = {.title = "To mind: warnings that no scene accepts",
                        .columns = 3,
                        .soft = 2,
                        .heads = {"scene", "about", "what"}};
    for (size_t s = 0; s < pages->book->count; s++) {
        const Summary *summary = &pages->book->summaries[s];
        const char *name = summary->scene;
        for (size_t i = 0; i < summary->notes.count; i++) {
            const SummaryNote *note = &summary->notes.items[i];
            if (!note->warning || note->accepted) continue;
            book_row(sheets, &table, (SheetRow){{name, note->label, note->text}});
            name = "";
        }
    }
    sheet_table(sheets, &table);
}

/* ---- Cameras */

typedef struct ShotLine {
    const SummaryShot *shot;
    const Fact *fact; /* of `scenes` */
    size_t order;
} ShotLine;

/* Bodies in the book's order, what has no name last; then by the lens, then by its height: what is moved
 * least. */
static int compare_lines(const void *a, const void *b) {
    const ShotLine *one = a, *other = b;
    if (one->shot->body != other->shot->body) {
        if (one->shot->body < 0 || other->shot->body < 0) return one->shot->body < 0 ? 1 : -1;
        return one->shot->body < other->shot->body ? -1 : 1;
    }
    if (one->shot->focal_mm != other->shot->focal_mm)
        return one->shot->focal_mm < other->shot->focal_mm ? -1 : 1;
    if (one->shot->height_mm != other->shot->height_mm)
        return one->shot->height_mm < other->shot->height_mm ? -1 : 1;
    return one->order < other->order ? -1 : 1;
}

static const char *lens_of(const Sheets *sheets, const BookPages *pages, const ShotLine *line) {
    const char *focal = cell(sheets, pages, line->fact, 0, 1), *name = line->shot->lens_name;
    return name ? arena_format(sheets->arena, "%s, %s", focal, name) : focal;
}

static void add_cameras(Sheets *sheets, const BookPages *pages, const ShotLine *lines, size_t count) {
    SheetTable table = {
        .title = "Bodies and lenses, by what is changed least",
        .note = "For days of hire: by the body, then by the lens, then by how high it stands.",
        .columns = 6,
        .soft = SHEET_COLUMNS_MOST,
        .heads = {"body", "lens", "scene", "lens above the flat ground", "lens to the mark", "tilt"}};
    const char *body_above = NULL, *lens_above = NULL;
    for (size_t i = 0; i < count; i++) {
        const SummaryShot *shot = lines[i].shot;
        const char *body = shot->body_name ? shot->body_name : "not named",
                   *lens = lens_of(sheets, pages, &lines[i]);
        const bool same_body = body_above && text_equal(body, body_above);
        const bool same_lens = same_body && text_equal(lens, lens_above);
        book_row(
            sheets, &table,
            (SheetRow){{same_body ? "" : body, same_lens ? "" : lens, shot->name,
                        cell(sheets, pages, lines[i].fact, 1, 1), cell(sheets, pages, lines[i].fact, 2, 1),
                        cell(sheets, pages, lines[i].fact, 3, 1)}});
        body_above = body;
        lens_above = lens;
    }
    sheet_table(sheets, &table);
}

/* As many parts as say what the camera is; names follow. */
enum { CAMERA_PARTS = 3 };

static void add_shared(Sheets *sheets, const BookPages *pages) {
    const FactBlock *block = book_block(pages, "shared");
    SheetTable table = {.title = "Shared camera set-ups",
                        .note = "Photographed without moving the camera's height, tilt or lens.",
                        .columns = 3,
                        .soft = 2,
                        .heads = {"scene", "camera", "as for"}};
    for (size_t i = 0; i < block->facts.count; i++) {
        const Fact *fact = block->facts.items[i];
        if (fact->parts.count <= CAMERA_PARTS) continue; /* says that there are none */
        book_row(sheets, &table,
                 (SheetRow){{fact->label, cell(sheets, pages, fact, 0, CAMERA_PARTS),
                             cell(sheets, pages, fact, CAMERA_PARTS, fact->parts.count - CAMERA_PARTS)}});
    }
    sheet_table(sheets, &table);
}

void book_cameras(Sheets *sheets, const BookPages *pages) {
    const FactBlock *block = book_block(pages, "scenes");
    ShotLine *lines = ARENA_ARRAY(sheets->arena, ShotLine, block->facts.count);
    size_t count = 0;
    for (size_t s = 0; s < pages->book->count; s++)
        for (size_t i = 0; i < pages->book->summaries[s].shot_count; i++, count++)
            lines[count] = (ShotLine){&pages->book->summaries[s].shots[i], block->facts.items[count], count};
    if (count > 0) qsort(lines, count, sizeof *lines, compare_lines);
    add_cameras(sheets, pages, lines, count);
    add_shared(sheets, pages);
}

/* ---- Puppets */

static const char *all_of(const SummaryBlock *block, const char *key) {
    const SummaryFact *fact = summary_fact(block, key);
    return fact ? fact->text : "";
}

/* `heron`, where the block is of `heron in near`. */
static const char *puppet_name(const Sheets *sheets, const SummaryBlock *block) {
    const char *ending = arena_format(sheets->arena, " in %s", block->shot);
    if (!block->shot[0] || !text_ends(block->name, ending)) return block->name;
    return arena_copy(sheets->arena, block->name, strlen(block->name) - strlen(ending));
}

static bool same_puppet(const SheetRow *row, const SheetRow *other) {
    for (size_t i = 0; i < 6; i++)
        if (!text_equal(row->cells[i], other->cells[i])) return false;
    return true;
}

/* Whether a list of scenes ends with that one: `8-fog` does not with `fog`. */
static bool ends_with_scene(const Sheets *sheets, const char *list, const char *scene) {
    return text_equal(list, scene) || text_ends(list, arena_format(sheets->arena, "; %s", scene));
}

/* The scene is added to the row that says the same of it, if there is one. */
static void add_puppet(Sheets *sheets, SheetTable *table, const SummaryBlock *block, const char *scene) {
    const SheetRow row = {{puppet_name(sheets, block), all_of(block, "pose"), all_of(block, "wide"),
                           all_of(block, "tall"), all_of(block, "deep"), all_of(block, "eyes"), scene}};
    for (size_t i = 0; i < table->rows.count; i++) {
        SheetRow *other = &table->rows.items[i];
        if (!same_puppet(&row, other)) continue;
        if (!ends_with_scene(sheets, other->cells[6], scene))
            other->cells[6] = arena_format(sheets->arena, "%s; %s", other->cells[6], scene);
        return;
    }
    book_row(sheets, table, row);
}

static int compare_puppets(const void *a, const void *b) {
    const SheetRow *one = a, *other = b;
    int order = 0;
    for (size_t i = 0; i < 7 && order == 0; i++)
        order = strcmp(one->cells[i], other->cells[i]);
    return order;
}

static void add_sizes(Sheets *sheets, const BookPages *pages) {
    SheetTable table = {.title = "Puppets, as they are built",
                        .note = "As the scenes' reports have it.",
                        .columns = 7,
                        .soft = 6,
                        .heads = {"puppet", "pose", "wide", "tall", "deep", "eyes above its foot", "in"}};
    for (size_t s = 0; s < pages->book->count; s++) {
        const Summary *summary = &pages->book->summaries[s];
        for (size_t b = 0; b < summary->blocks.count; b++)
            if (text_equal(summary->blocks.items[b].kind, "puppet"))
                add_puppet(sheets, &table, &summary->blocks.items[b], summary->scene);
    }
    if (table.rows.count > 0)
        qsort(table.rows.items, table.rows.count, sizeof *table.rows.items, compare_puppets);
    sheet_table(sheets, &table);
}

static void add_prints(Sheets *sheets, const BookPages *pages) {
    SheetTable table = {
        .title = "Puppets on paper",
        .columns = 5,
        .soft = SHEET_COLUMNS_MOST,
        .heads = {"puppet", "scene", "enlargement of the drawing", "tall in print", "of the puppet"}};
    for (size_t b = 0; b < pages->facts->blocks.count; b++) {
        const FactBlock *block = pages->facts->blocks.items[b];
        if (!text_equal(block->kind, "puppet")) continue;
        for (size_t i = 0; i < block->facts.count; i++) {
            const Fact *fact = block->facts.items[i];
            const bool of_all = book_is_of_all(fact);
            const char *name = i == 0 ? block->name : "",
                       *printed = cell(sheets, pages, fact, of_all ? 0 : 1, 1);
            if (of_all)
                book_row(sheets, &table,
                         (SheetRow){{name, fact->label, cell(sheets, pages, fact, 1, 1), printed,
                                     rest(sheets, pages, fact, 2)}});
            else
                book_row(sheets, &table,
                         (SheetRow){{name, fact->label, cell(sheets, pages, fact, 0, 1), printed,
                                     cell(sheets, pages, fact, 2, 1)}});
        }
    }
    sheet_table(sheets, &table);
}

void book_puppets(Sheets *sheets, const BookPages *pages) {
    add_sizes(sheets, pages);
    add_prints(sheets, pages);
}

/* ---- Tables, room and circuits */

/* In the book's own lengths alone: the reports have both. */
static const char *of_scene(const Summary *summary, const char *kind, const char *key) {
    for (size_t b = 0; b < summary->blocks.count; b++) {
        if (!text_equal(summary->blocks.items[b].kind, kind)) continue;
        const SummaryFact *fact = summary_fact(&summary->blocks.items[b], key);
        return fact ? fact->short_text : "";
    }
    return "";
}

void book_room(Sheets *sheets, const BookPages *pages) {
    static const char *const said[][2] = {{"tables", "tables"}, {"tables", "weight"}, {"room", "across"},
                                          {"room", "back"},     {"room", "tall"},     {"room", "heaviest"},
                                          {"room", "door"}};
    SheetTable table = {.title = "Tables and room",
                        .note = "As the scenes' reports have it.",
                        .columns = 8,
                        .soft = SHEET_COLUMNS_MOST,
                        .heads = {"scene", "tables", "weighs", "room across", "front to rear",
                                  "highest above the floor", "heaviest to carry", "too large for the door"}};
    for (size_t s = 0; s < pages->book->count; s++) {
        const Summary *summary = &pages->book->summaries[s];
        SheetRow row = {{summary->scene}};
        bool any = false;
        for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
            row.cells[i + 1] = of_scene(summary, said[i][0], said[i][1]);
            any |= row.cells[i + 1][0] != '\0';
        }
        if (text_equal(row.cells[7], "none") || text_starts(row.cells[7], "none;")) row.cells[7] = "";
        const char *whole = of_scene(summary, "room", "heaviest_whole"); /* where no part is heavier */
        if (whole[0]) row.cells[6] = whole;
        if (any) LIST_PUSH(sheets->arena, table.rows, row);
    }
    sheet_table(sheets, &table);
}

void book_circuits(Sheets *sheets, const BookPages *pages) {
    SheetTable table = {.title = "Circuits",
                        .note = "As the scenes' reports have it. Other loads count too, and are not known "
                                "here; a licensed electrician and local codes "
                                "have the last word (docs/safety.md).",
                        .columns = 7,
                        .soft = SHEET_COLUMNS_MOST,
                        .heads = {"scene", "all lamps together", "circuit", "rated for",
                                  "for hours, the usual most", "this scene's lamps draw", "left for hours"}};
    for (size_t s = 0; s < pages->book->count; s++) {
        const Summary *summary = &pages->book->summaries[s];
        const char *name = summary->scene, *watts = of_scene(summary, "lamps", "watts");
        for (size_t b = 0; b < summary->blocks.count; b++) {
            const SummaryBlock *block = &summary->blocks.items[b];
            if (!text_equal(block->kind, "circuit")) continue;
            book_row(sheets, &table,
                     (SheetRow){{name, watts, block->name, all_of(block, "rating"),
                                 all_of(block, "for_hours"), all_of(block, "load"), all_of(block, "left")}});
            name = watts = "";
        }
        if (watts[0]) book_row(sheets, &table, (SheetRow){{name, watts}}); /* on no circuit */
    }
    sheet_table(sheets, &table);
}
