#include "picture/pdf_join.h"

#include <qpdf/qpdf-c.h>
#include <stdlib.h>

/* ISO 32000-1: what cairo's files have needs it. */
static const char VERSION[] = "1.5";

typedef struct Source {
    qpdf_data pdf;
    int pages, first; /* of the whole: its first page, from 0 */
} Source;

/* A bookmark. Those of a piece follow it. */
typedef struct Entry {
    const char *title;
    int page;
    const char *view; /* of the page, behind it in a destination (ISO 32000-1, 12.3.2.2) */
    bool inner;
} Entry;

typedef struct Join {
    Arena *arena;
    qpdf_data whole;
    const PdfPiece *pieces;
    Source *sources;
    size_t count;
    int pages;
    LIST(Entry) entries;
} Join;

/* It says nothing by itself, and guesses at nothing. Errors stay until they are asked for. */
static qpdf_data open_pdf(const char *bytes, size_t count) {
    qpdf_data pdf = qpdf_init();
    qpdf_silence_errors(pdf);
    qpdf_set_suppress_warnings(pdf, QPDF_TRUE);
    qpdf_set_attempt_recovery(pdf, QPDF_FALSE);
    if (bytes)
        qpdf_read_memory(pdf, "sheets", bytes, count, NULL);
    else
        qpdf_empty_pdf(pdf);
    return pdf;
}

/* An error that nobody has asked for would be said on standard error. */
static void close_pdf(qpdf_data pdf) {
    if (qpdf_has_error(pdf)) qpdf_get_error(pdf);
    qpdf_cleanup(&pdf);
}

static bool is_sound(Join *join, qpdf_data pdf, const char **trouble) {
    if (!qpdf_has_error(pdf)) return true;
    *trouble = arena_format(join->arena, "cannot join the sheets: %s",
                            qpdf_get_error_message_detail(pdf, qpdf_get_error(pdf)));
    return false;
}

int pdf_page_count(const char *bytes, size_t count) {
    qpdf_data pdf = open_pdf(bytes, count);
    const int pages = qpdf_has_error(pdf) ? 0 : qpdf_get_num_pages(pdf);
    close_pdf(pdf);
    return pages > 0 ? pages : 0;
}

/* ---- Pages */

static bool add_pages(Join *join, size_t piece, const char **trouble) {
    Source *source = &join->sources[piece];
    source->pdf = open_pdf(join->pieces[piece].bytes, join->pieces[piece].count);
    if (!is_sound(join, source->pdf, trouble)) return false;
    source->first = join->pages;
    source->pages = qpdf_get_num_pages(source->pdf);
    for (int i = 0; i < source->pages; i++) {
        const qpdf_oh page = qpdf_get_page_n(source->pdf, (size_t)i);
        qpdf_add_page(join->whole, source->pdf, page, QPDF_FALSE);
    }
    join->pages += source->pages;
    return is_sound(join, source->pdf, trouble) && is_sound(join, join->whole, trouble);
}

/* ---- Stamps */

static qpdf_oh new_stream(qpdf_data pdf, const unsigned char *bytes, size_t count) {
    const qpdf_oh stream = qpdf_oh_new_stream(pdf);
    qpdf_oh_replace_stream_data(pdf, stream, bytes, count, qpdf_oh_new_null(pdf), qpdf_oh_new_null(pdf));
    return stream;
}

static qpdf_oh text_stream(qpdf_data pdf, const char *text) {
    return new_stream(pdf, (const unsigned char *)text, strlen(text));
}

/* A page as a form (ISO 32000-1, 8.10), which can be drawn on another. */
static qpdf_oh page_to_form(qpdf_data whole, qpdf_data from, qpdf_oh page) {
    unsigned char *bytes = NULL;
    size_t count = 0;
    qpdf_oh_get_page_content_data(from, page, &bytes, &count);
    const qpdf_oh form = new_stream(whole, bytes, count), about = qpdf_oh_get_dict(whole, form);
    free(bytes);
    const qpdf_oh used = qpdf_oh_get_key(from, page, "/Resources");
    const qpdf_oh resources = qpdf_oh_is_indirect(from, used) ? used : qpdf_make_indirect_object(from, used);
    const char *box = qpdf_oh_unparse_resolved(from, qpdf_oh_get_key(from, page, "/MediaBox"));
    qpdf_oh_replace_key(whole, about, "/BBox", qpdf_oh_parse(whole, box));
    qpdf_oh_replace_key(whole, about, "/Type", qpdf_oh_new_name(whole, "/XObject"));
    qpdf_oh_replace_key(whole, about, "/Subtype", qpdf_oh_new_name(whole, "/Form"));
    qpdf_oh_replace_key(whole, about, "/Resources", qpdf_oh_copy_foreign_object(whole, from, resources));
    return form;
}

static qpdf_oh dictionary_in(qpdf_data pdf, qpdf_oh of, const char *key) {
    if (!qpdf_oh_has_key(pdf, of, key)) qpdf_oh_replace_key(pdf, of, key, qpdf_oh_new_dictionary(pdf));
    return qpdf_oh_get_key(pdf, of, key);
}

/* What the page draws comes between `before` and `after`, so that the stamp begins as on a blank page. */
static void stamp_page(qpdf_data whole, qpdf_oh page, qpdf_oh form, qpdf_oh before, qpdf_oh after) {
    const qpdf_oh drawn = qpdf_oh_get_key(whole, page, "/Contents"), all = qpdf_oh_new_array(whole);
    qpdf_oh_append_item(whole, all, before);
    qpdf_oh_append_item(whole, all, drawn);
    qpdf_oh_append_item(whole, all, after);
    qpdf_oh_replace_key(whole, page, "/Contents", all);
    const qpdf_oh resources = dictionary_in(whole, page, "/Resources");
    qpdf_oh_replace_key(whole, dictionary_in(whole, resources, "/XObject"), "/stamp", form);
}

static bool stamp_pages(Join *join, qpdf_data stamps, const char **trouble) {
    if (!is_sound(join, stamps, trouble)) return false;
    const qpdf_oh before = text_stream(join->whole, "q\n"),
                  after = text_stream(join->whole, "\nQ\nq /stamp Do Q\n");
    if (qpdf_get_num_pages(stamps) != join->pages) {
        *trouble = "cannot join the sheets: not a stamp for every page";
        return false;
    }
    for (int i = 0; i < join->pages; i++) {
        const qpdf_oh stamp = qpdf_get_page_n(stamps, (size_t)i);
        const qpdf_oh form = page_to_form(join->whole, stamps, stamp);
        stamp_page(join->whole, qpdf_get_page_n(join->whole, (size_t)i), form, before, after);
    }
    return is_sound(join, stamps, trouble) && is_sound(join, join->whole, trouble);
}

/* ---- Bookmarks */

/* Where a bookmark leads that a canvas has written: `[page /XYZ 0 700 0]`. */
static void add_own_entry(Join *join, const Source *source, qpdf_oh mark, bool inner) {
    const qpdf_oh to = qpdf_oh_get_key(source->pdf, mark, "/Dest");
    const int count = qpdf_oh_is_array(source->pdf, to) ? qpdf_oh_get_array_n_items(source->pdf, to) : 0;
    if (count < 2) return;
    Buffer view = buffer_new(join->arena);
    for (int i = 1; i < count; i++)
        buffer_format(&view, " %s", qpdf_oh_unparse(source->pdf, qpdf_oh_get_array_item(source->pdf, to, i)));
    const int page = qpdf_find_page_by_oh(source->pdf, qpdf_oh_get_array_item(source->pdf, to, 0));
    const char *title = qpdf_oh_get_utf8_value(source->pdf, qpdf_oh_get_key(source->pdf, mark, "/Title"));
    LIST_PUSH(join->arena, join->entries,
              (Entry){arena_string(join->arena, title), source->first + page, buffer_text(&view), inner});
}

static bool add_entries(Join *join, size_t piece, const char **trouble) {
    const Source *source = &join->sources[piece];
    const char *title = join->pieces[piece].title;
    if (title) LIST_PUSH(join->arena, join->entries, (Entry){title, source->first, " /Fit", false});
    const qpdf_oh all = qpdf_oh_get_key(source->pdf, qpdf_get_root(source->pdf), "/Outlines");
    if (!qpdf_oh_is_dictionary(source->pdf, all)) return is_sound(join, source->pdf, trouble);
    qpdf_oh mark = qpdf_oh_get_key(source->pdf, all, "/First");
    for (; qpdf_oh_is_dictionary(source->pdf, mark) && !qpdf_has_error(source->pdf);
         mark = qpdf_oh_get_key(source->pdf, mark, "/Next"))
        add_own_entry(join, source, mark, title != NULL);
    return is_sound(join, source->pdf, trouble);
}

static qpdf_oh new_entry(Join *join, const Entry *entry, qpdf_oh parent) {
    qpdf_data whole = join->whole;
    const qpdf_oh mark = qpdf_make_indirect_object(whole, qpdf_oh_new_dictionary(whole));
    const qpdf_oh to = qpdf_oh_parse(whole, arena_format(join->arena, "[%s ]", entry->view));
    qpdf_oh_insert_item(whole, to, 0, qpdf_get_page_n(whole, (size_t)entry->page));
    qpdf_oh_replace_key(whole, mark, "/Title", qpdf_oh_new_unicode_string(whole, entry->title));
    qpdf_oh_replace_key(whole, mark, "/Dest", to);
    qpdf_oh_replace_key(whole, mark, "/Parent", parent);
    return mark;
}

/* The entries from `first` on that are of the same depth as it, those below them left out, as children of
 * `parent`; returns how many. `open`: what a viewer shows at first. */
static int hang(Join *join, qpdf_oh parent, size_t first, bool open) {
    qpdf_data whole = join->whole;
    const bool inner = join->entries.items[first].inner;
    qpdf_oh last = 0;
    int count = 0;
    for (size_t i = first; i < join->entries.count; i++) {
        const Entry *entry = &join->entries.items[i];
        if (entry->inner && !inner) continue;
        if (!entry->inner && inner) break;
        const qpdf_oh mark = new_entry(join, entry, parent);
        if (last) {
            qpdf_oh_replace_key(whole, last, "/Next", mark);
            qpdf_oh_replace_key(whole, mark, "/Prev", last);
        } else
            qpdf_oh_replace_key(whole, parent, "/First", mark);
        last = mark;
        count++;
        if (!inner && i + 1 < join->entries.count && join->entries.items[i + 1].inner)
            hang(join, mark, i + 1, false);
    }
    qpdf_oh_replace_key(whole, parent, "/Last", last);
    qpdf_oh_replace_key(whole, parent, "/Count", qpdf_oh_new_integer(whole, open ? count : -count));
    return count;
}

static void write_bookmarks(Join *join) {
    qpdf_data whole = join->whole;
    if (join->entries.count == 0) return;
    const qpdf_oh all = qpdf_make_indirect_object(whole, qpdf_oh_new_dictionary(whole));
    qpdf_oh_replace_key(whole, all, "/Type", qpdf_oh_new_name(whole, "/Outlines"));
    hang(join, all, 0, true);
    qpdf_oh_replace_key(whole, qpdf_get_root(whole), "/Outlines", all);
    qpdf_oh_replace_key(whole, qpdf_get_root(whole), "/PageMode", qpdf_oh_new_name(whole, "/UseOutlines"));
}

/* ---- Labels, and what it says of itself */

static void write_labels(Join *join) {
    qpdf_data whole = join->whole;
    const qpdf_oh numbers = qpdf_oh_new_array(whole), labels = qpdf_oh_new_dictionary(whole);
    for (size_t i = 0; i < join->count; i++) {
        const qpdf_oh label = qpdf_oh_new_dictionary(whole);
        qpdf_oh_replace_key(whole, label, "/S", qpdf_oh_new_name(whole, "/D"));
        qpdf_oh_replace_key(whole, label, "/P", qpdf_oh_new_unicode_string(whole, join->pieces[i].label));
        qpdf_oh_append_item(whole, numbers, qpdf_oh_new_integer(whole, join->sources[i].first));
        qpdf_oh_append_item(whole, numbers, label);
    }
    qpdf_oh_replace_key(whole, labels, "/Nums", numbers);
    qpdf_oh_replace_key(whole, qpdf_get_root(whole), "/PageLabels", labels);
}

static void write_about(Join *join, const char *title) {
    qpdf_data whole = join->whole;
    const qpdf_oh about = qpdf_make_indirect_object(whole, qpdf_oh_new_dictionary(whole));
    qpdf_oh_replace_key(whole, about, "/Title", qpdf_oh_new_unicode_string(whole, title));
    qpdf_oh_replace_key(whole, about, "/Creator", qpdf_oh_new_string(whole, "groundrow"));
    qpdf_oh_replace_key(whole, qpdf_get_trailer(whole), "/Info", about);
}

static bool write_whole(Join *join, Buffer *out, const char **trouble) {
    qpdf_data whole = join->whole;
    qpdf_init_write_memory(whole);
    qpdf_set_minimum_pdf_version(whole, VERSION);
    qpdf_set_deterministic_ID(whole, QPDF_TRUE);
    qpdf_set_object_stream_mode(whole, qpdf_o_disable);
    qpdf_write(whole);
    if (!is_sound(join, whole, trouble)) return false;
    buffer_add_bytes(out, qpdf_get_buffer(whole), qpdf_get_buffer_length(whole));
    return true;
}

bool pdf_join(Arena *arena, Buffer *out, const char *title, const PdfPiece *pieces, size_t piece_count,
              const Buffer *stamps, const char **trouble) {
    Join join = {.arena = arena, .pieces = pieces, .count = piece_count, .whole = open_pdf(NULL, 0)};
    qpdf_data over = open_pdf(stamps->bytes, stamps->count);
    join.sources = ARENA_ARRAY(arena, Source, piece_count);
    bool sound = true;
    for (size_t i = 0; i < piece_count && sound; i++)
        sound = add_pages(&join, i, trouble) && add_entries(&join, i, trouble);
    sound = sound && stamp_pages(&join, over, trouble);
    if (sound) {
        write_bookmarks(&join);
        write_labels(&join);
        write_about(&join, title);
        sound = write_whole(&join, out, trouble);
    }
    /* Pages are copied as they are written: what they come from goes last. */
    close_pdf(join.whole);
    close_pdf(over);
    for (size_t i = 0; i < piece_count; i++)
        if (join.sources[i].pdf) close_pdf(join.sources[i].pdf);
    return sound;
}
