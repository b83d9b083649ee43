#include "report/summaries_to_page.h"

#include "report/html.h"
#include "report/page_parts.h"
#include "report/summaries_to_book.h"

#include <string.h>

/* ---- A picture */

/* What of the ending comes behind the shot's id, or NULL where the picture is another shot's. */
static const char *ending_in_shot(const Summary *summary, const SummaryShot *shot, const char *ending) {
    if (summary->shot_count == 1) return ending;
    const size_t length = strlen(shot->id);
    const bool ours =
        ending[0] == '.' && strncmp(ending + 1, shot->id, length) == 0 && ending[1 + length] == '.';
    return ours ? ending + 1 + length : NULL;
}

static bool is_planned(const Summary *summary, const SummaryShot *shot, const PagePicture *picture) {
    const char *ending = ending_in_shot(summary, shot, picture->ending);
    return ending && text_equal(ending, ".png");
}

static void add_image(Buffer *out, const Summary *summary, const PagePicture *picture, const char *alt) {
    buffer_add(out, "<img src=\"");
    page_file_address(out, summary->scene, picture->ending);
    buffer_format(out, "\" width=\"%zu\" height=\"%zu\" alt=\"", (size_t)picture->wide_px,
                  (size_t)picture->tall_px);
    html_text(out, alt);
    buffer_add(out, "\">");
}

static void add_figure(Buffer *out, const Summary *summary, const PagePicture *picture, bool planned) {
    buffer_format(out, "<figure%s>\n<a href=\"", planned ? " class=\"planned\"" : "");
    page_file_address(out, summary->scene, picture->ending);
    buffer_add(out, "\">");
    add_image(out, summary, picture,
              picture->alt[0] ? picture->alt : "A picture that says nothing of itself");
    buffer_add(out, "</a>\n<figcaption>");
    html_text(out, picture->title);
    buffer_add(out, " <span class=\"file\">");
    html_text(out, summary->scene);
    html_text(out, picture->ending);
    buffer_add(out, "</span></figcaption>\n</figure>\n");
}

static const PagePicture *planned_of(const PageScene *scene, const SummaryShot *shot) {
    for (size_t i = 0; i < scene->picture_count; i++)
        if (is_planned(scene->summary, shot, &scene->pictures[i])) return &scene->pictures[i];
    return NULL;
}

/* The pictures of a shot but for its planned frame: those that are known in this order, then any others. */
static void add_more_figures(Buffer *out, const PageScene *scene, const SummaryShot *shot) {
    static const char *const known[] = {".png", ".squared.png", ".cameras.png"};
    enum { KNOWN = sizeof known / sizeof *known };
    size_t shown = 0;
    for (size_t rank = 1; rank <= KNOWN; rank++) {
        for (size_t i = 0; i < scene->picture_count; i++) {
            const char *ending = ending_in_shot(scene->summary, shot, scene->pictures[i].ending);
            size_t own = 0;
            while (ending && own < KNOWN && !text_equal(ending, known[own]))
                own++;
            if (!ending || own != rank) continue;
            if (shown++ == 0) buffer_add(out, "<div class=\"figures\">\n");
            add_figure(out, scene->summary, &scene->pictures[i], false);
        }
    }
    if (shown > 0) buffer_add(out, "</div>\n");
}

/* Of a scene with shots: pictures that are of none of them, such as photographs, by their own names. */
static void add_other_figures(Buffer *out, const PageScene *scene) {
    size_t shown = 0;
    for (size_t i = 0; i < scene->picture_count; i++) {
        bool of_shot = false;
        for (size_t s = 0; s < scene->summary->shot_count; s++)
            of_shot |=
                ending_in_shot(scene->summary, &scene->summary->shots[s], scene->pictures[i].ending) != NULL;
        if (of_shot) continue;
        if (shown++ == 0) buffer_add(out, "<div class=\"figures\">\n");
        add_figure(out, scene->summary, &scene->pictures[i], false);
    }
    if (shown > 0) buffer_add(out, "</div>\n");
}

/* ---- A scene */

static void add_lines(Buffer *out, const SummaryLines *lines, const SummaryLines *more) {
    if (lines->count + more->count == 0) return;
    buffer_add(out, "<dl>\n");
    for (size_t i = 0; i < lines->count + more->count; i++) {
        const SummaryLine *line = i < lines->count ? &lines->items[i] : &more->items[i - lines->count];
        buffer_add(out, "<div><dt>");
        html_text(out, line->label);
        buffer_add(out, "</dt><dd>");
        html_numbers(out, line->text);
        buffer_add(out, "</dd></div>\n");
    }
    buffer_add(out, "</dl>\n");
}

static void add_note(Buffer *out, const SummaryNote *note) {
    if (note->warning)
        buffer_format(out, "<li class=\"%s\"><strong>Warning</strong> ",
                      note->accepted ? "accepted" : "warning");
    else
        buffer_add(out, "<li>");
    buffer_add(out, "<span class=\"label\">");
    html_text(out, note->label);
    buffer_add(out, "</span> ");
    html_prose(out, note->text);
    buffer_add(out, "</li>\n");
}

static void add_notes(Buffer *out, const SummaryNotes *notes) {
    buffer_add(out, "<h3>To mind</h3>\n");
    if (notes->count == 0) {
        buffer_add(out, "<p>No warnings, nothing assumed.</p>\n");
        return;
    }
    buffer_add(out, "<ul class=\"notes\">\n");
    for (size_t i = 0; i < notes->count; i++)
        add_note(out, &notes->items[i]);
    buffer_add(out, "</ul>\n");
}

static void add_file(Buffer *out, const char *name, const char *ending, const char *what) {
    buffer_add(out, "<li><a href=\"");
    page_file_address(out, name, ending);
    buffer_add(out, "\">");
    html_text(out, name);
    html_text(out, ending);
    buffer_format(out, "</a> %s</li>\n", what);
}

static void add_files(Buffer *out, const PageScene *scene) {
    const char *name = scene->summary->scene;
    if (!scene->report && !scene->data && !scene->model && !scene->notes_model && !scene->sheets &&
        !scene->patterns && !scene->backdrop)
        return;
    buffer_add(out, "<h3>Files</h3>\n<ul class=\"files\">\n");
    if (scene->report) add_file(out, name, ".txt", "the report: every size and place");
    if (scene->sheets) add_file(out, name, ".pdf", "sheets to print, for the workshop's wall");
    if (scene->patterns) add_file(out, name, ".patterns.pdf", "full-size patterns to print, on tiled pages");
    if (scene->backdrop) add_file(out, name, ".backdrop.pdf", "the backdrop full-size, on tiled pages");
    if (scene->data) add_file(out, name, ".json", "the report as data");
    if (scene->model) add_file(out, name, ".glb", "the set as a model");
    if (scene->notes_model) add_file(out, name, ".notes.glb", "the model with its dimensions");
    buffer_add(out, "</ul>\n");
}

static void add_pages(Buffer *out, const char *pages) {
    if (!pages[0]) return;
    buffer_add(out, "<p class=\"pages\">");
    html_text(out, pages);
    buffer_add(out, "</p>\n");
}

/* The planned frame and the sizes; the style sheet puts them side by side where there is room. */
static void add_look(Buffer *out, const PageScene *scene, const SummaryShot *shot, const SummaryLines *more) {
    const PagePicture *planned = planned_of(scene, shot);
    const bool tall = planned && 2 * (size_t)planned->wide_px < 3 * (size_t)planned->tall_px;
    add_pages(out, shot->pages);
    buffer_format(out, "<div class=\"look%s\">\n", !planned ? "" : tall ? " tall" : " wide");
    if (planned) add_figure(out, scene->summary, planned, true);
    add_lines(out, &shot->sizes, more);
    buffer_add(out, "</div>\n");
}

static void add_foot(Buffer *out, const PageScene *scene) {
    buffer_add(out, "<div class=\"foot\">\n<div>\n");
    add_notes(out, &scene->summary->notes);
    buffer_add(out, "</div>\n<div>\n");
    add_files(out, scene);
    buffer_add(out, "</div>\n</div>\n");
}

static void add_shots(Buffer *out, const PageScene *scene) {
    static const SummaryLines none = {0};
    const Summary *summary = scene->summary;
    add_lines(out, &summary->sizes, &none);
    add_foot(out, scene);
    for (size_t s = 0; s < summary->shot_count; s++) {
        buffer_add(out, "<div class=\"shot\">\n<h3>");
        page_name(out, summary->shots[s].shot);
        buffer_add(out, "</h3>\n");
        add_look(out, scene, &summary->shots[s], &none);
        add_more_figures(out, scene, &summary->shots[s]);
        buffer_add(out, "</div>\n");
    }
    add_other_figures(out, scene);
}

static void add_scene(Buffer *out, const PageScene *scene) {
    const Summary *summary = scene->summary;
    buffer_add(out, "\n<section class=\"scene\" aria-labelledby=\"");
    page_scene_anchor(out, summary->scene);
    buffer_add(out, "\">\n<h2 id=\"");
    page_scene_anchor(out, summary->scene);
    buffer_add(out, "\">");
    page_name(out, summary->title);
    buffer_add(out, " <span class=\"file\">");
    html_text(out, summary->scene);
    buffer_add(out, "</span></h2>\n");
    if (summary->shot_count == 1) {
        add_look(out, scene, &summary->shots[0], &summary->sizes);
        add_foot(out, scene);
        add_more_figures(out, scene, &summary->shots[0]);
    } else {
        add_shots(out, scene);
    }
    buffer_add(out, "</section>\n");
}

/* ---- Contents */

static const PagePicture *first_planned(const PageScene *scene) {
    const PagePicture *found = NULL;
    for (size_t s = 0; s < scene->summary->shot_count && !found; s++)
        found = planned_of(scene, &scene->summary->shots[s]);
    return found;
}

static void add_content(Buffer *out, const PageScene *scene) {
    const Summary *summary = scene->summary;
    const PagePicture *picture = first_planned(scene);
    buffer_add(out, "<li><a href=\"#");
    page_scene_anchor(out, summary->scene);
    buffer_add(out, "\">");
    if (picture)
        add_image(out, summary, picture, ""); /* its words are under it, and what it shows where it leads */
    buffer_add(out, "<span class=\"title\">");
    page_name(out, summary->title);
    buffer_add(out, "</span></a>\n<span class=\"pages\">");
    for (size_t s = 0; s < summary->shot_count; s++) {
        buffer_add(out, s > 0 ? "; " : "");
        html_text(out, summary->shots[s].pages);
    }
    buffer_add(out, "</span></li>\n");
}

static void add_contents(Buffer *out, const Page *page) {
    buffer_add(
        out, "<nav aria-labelledby=\"contents\">\n<h2 id=\"contents\">Contents</h2>\n<ol class=\"sheet\">\n");
    for (size_t i = 0; i < page->scene_count; i++)
        add_content(out, &page->scenes[i]);
    buffer_add(
        out,
        "</ol>\n<p><a href=\"#whole-book\">The whole book</a>: cameras and sizes, puppets on paper, shared "
        "set-ups, what is needed, what to buy</p>\n</nav>\n");
}

/* ---- Head */

static size_t count_warnings(const Summary *summary, bool accepted) {
    size_t count = 0;
    for (size_t i = 0; i < summary->notes.count; i++)
        count += summary->notes.items[i].warning && summary->notes.items[i].accepted == accepted;
    return count;
}

/* `2 warnings in Home, Fog; `, with links; whether there are any. */
static bool add_warnings(Buffer *out, const Page *page, bool accepted) {
    size_t total = 0, scenes = 0;
    for (size_t i = 0; i < page->scene_count; i++)
        total += count_warnings(page->scenes[i].summary, accepted);
    if (total == 0) return false;
    buffer_format(out, "%zu %swarning%s in ", total, accepted ? "accepted " : "", total == 1 ? "" : "s");
    for (size_t i = 0; i < page->scene_count; i++) {
        const Summary *summary = page->scenes[i].summary;
        if (count_warnings(summary, accepted) == 0) continue;
        buffer_add(out, scenes++ > 0 ? ", <a href=\"#" : "<a href=\"#");
        page_scene_anchor(out, summary->scene);
        buffer_add(out, "\">");
        page_name(out, summary->title);
        buffer_add(out, "</a>");
    }
    return true;
}

static void add_header(Buffer *out, const Page *page) {
    size_t shots = 0;
    for (size_t i = 0; i < page->scene_count; i++)
        shots += page->scenes[i].summary->shot_count;
    buffer_add(out, "<header>\n<p class=\"kicker\">The book at a glance</p>\n<h1>");
    page_name(out, page_title(page));
    buffer_format(out, "</h1>\n<p>%zu scene%s, %zu photograph%s; ", page->scene_count,
                  page->scene_count == 1 ? "" : "s", shots, shots == 1 ? "" : "s");
    if (!add_warnings(out, page, false)) buffer_add(out, "no open warning");
    buffer_add(out, "; ");
    if (!add_warnings(out, page, true)) buffer_add(out, "none accepted");
    buffer_add(out, ".</p>\n</header>\n");
}

static void add_head(Buffer *out, const Page *page) {
    buffer_add(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                    "<meta name=\"color-scheme\" content=\"light dark\">\n"
                    "<meta name=\"generator\" content=\"groundrow\">\n<title>");
    html_text(out, page_title(page));
    buffer_add(out, ": the book at a glance</title>\n<style>\n");
    buffer_add(out, page_style());
    buffer_add(out, "</style>\n</head>\n<body>\n<a class=\"skip\" href=\"#scenes\">To the scenes</a>\n");
}

static void add_care(Buffer *out) {
    buffer_add(out, "\n<footer>\n<p><strong>With care.</strong> The numbers are for building; the work is "
                    "yours. Keep hot lamps away "
                    "from foam, paper and cloth, and never leave them alone. Sandbag stands. Cut away from "
                    "yourself, open the "
                    "window for fumes. Where local codes or a licensed electrician or rigger say otherwise, "
                    "they are right.</p>\n"
                    "</footer>\n");
}

void summaries_to_page(Buffer *out, Arena *arena, const Page *page) {
    add_head(out, page);
    add_header(out, page);
    add_contents(out, page);
    buffer_add(out, "<main id=\"scenes\" tabindex=\"-1\">\n");
    for (size_t i = 0; i < page->scene_count; i++)
        add_scene(out, &page->scenes[i]);
    page_of_book(out, arena, page);
    buffer_add(out, "</main>\n");
    add_care(out);
    buffer_add(out, "</body>\n</html>\n");
}
