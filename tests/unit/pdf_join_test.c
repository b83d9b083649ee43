/* Several PDFs as one. What poppler makes of a whole book is tested in tests/external/book_check.py. */
#include "picture/canvas.h"
#include "picture/pdf_join.h"

#include <criterion/criterion.h>
#include <string.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}

static void tear_down(void) {
    arena_free(arena);
}

TestSuite(pdf_join, .init = set_up, .fini = tear_down);

static Buffer sheets(int count, const char *word, bool marks) {
    Canvas *canvas = canvas_new_sheets(arena, 210, 297, word);
    for (int i = 0; i < count; i++) {
        if (i > 0) canvas_next_sheet(canvas);
        if (marks) canvas_bookmark(canvas, arena_format(arena, "%s %d", word, i + 1), 100);
        canvas_text(canvas, 72, 72, &(TextStyle){.size_px = 11}, word);
    }
    Buffer pdf = buffer_new(arena);
    canvas_to_pdf(canvas, &pdf);
    canvas_free(canvas);
    return pdf;
}

static PdfPiece piece(const Buffer *pdf, const char *title, const char *label) {
    return (PdfPiece){.bytes = pdf->bytes, .count = pdf->count, .title = title, .label = label};
}

static size_t times(const Buffer *pdf, const char *word) {
    size_t found = 0, length = strlen(word);
    for (size_t i = 0; i + length <= pdf->count; i++)
        found += memcmp(pdf->bytes + i, word, length) == 0;
    return found;
}

static Buffer join_two(const char **trouble) {
    const Buffer one = sheets(2, "contents", true), two = sheets(3, "fog", true),
                 over = sheets(5, "page", false);
    const PdfPiece pieces[] = {piece(&one, NULL, "book "), piece(&two, "08-fog: F\xC3\xB6g", "08-fog ")};
    Buffer out = buffer_new(arena);
    cr_expect(pdf_join(arena, &out, "The Lantern Ferry", pieces, 2, &over, trouble), "%s", *trouble);
    return out;
}

/* ISO 32000-1, 7.7.3.3, 8.10 and 12.4.2. */
Test(pdf_join, has_every_page_once_with_its_stamp) {
    const char *trouble = "";
    const Buffer all = join_two(&trouble);
    cr_expect_eq(memcmp(all.bytes, "%PDF-1.5", 8), 0);
    cr_expect_eq(pdf_page_count(all.bytes, all.count), 5);
    cr_expect_eq(times(&all, "/Type /Page "), 5);
    cr_expect_eq(times(&all, "/MediaBox [ 0 0 595.275591 841.889764 ]"), 5);
    cr_expect_eq(times(&all, "/Subtype /Form"), 5);
    cr_expect_eq(times(&all, "/PageLabels"), 1);
    cr_expect_eq(times(&all, "/S /D"), 2);
    cr_expect_eq(times(&all, "Date"), 0);
    cr_expect_eq(times(&all, "/Creator (groundrow)"), 1);
}

/* 12.3.3: of a piece with a title under it, closed; of one without, beside it. */
Test(pdf_join, keeps_bookmarks) {
    const char *trouble = "";
    const Buffer all = join_two(&trouble);
    cr_expect_eq(times(&all, "/Dest ["), 2 + 1 + 3);
    cr_expect_eq(times(&all, "/Title (contents 1)"), 1);
    cr_expect_eq(times(&all, "/Title (fog 3)"), 1);
    cr_expect_eq(times(&all, "/Count 3 "), 1, "entries at the top");
    cr_expect_eq(times(&all, "/Count -3 "), 1, "entries below one");
}

Test(pdf_join, the_same_bytes_every_time) {
    const char *trouble = "";
    const Buffer one = join_two(&trouble), two = join_two(&trouble);
    cr_assert_eq(one.count, two.count);
    cr_expect_eq(memcmp(one.bytes, two.bytes, one.count), 0);
}

Test(pdf_join, says_what_it_cannot_read) {
    const Buffer one = sheets(1, "fog", true), over = sheets(2, "page", false);
    const PdfPiece broken[] = {piece(&one, "fog", "fog "),
                               {.bytes = "%PDF-1.5 and no more", .count = 20, .label = ""}};
    Buffer out = buffer_new(arena);
    const char *trouble = NULL;
    cr_expect_not(pdf_join(arena, &out, "", broken, 2, &over, &trouble));
    cr_expect_eq(out.count, 0);
    cr_expect(trouble && strstr(trouble, "cannot join the sheets: "), "%s", trouble);
    cr_expect_eq(pdf_page_count(broken[1].bytes, broken[1].count), 0);
    for (size_t count = 0; count < one.count; count += 97) { /* cut short anywhere */
        const PdfPiece cut[] = {{.bytes = one.bytes, .count = count, .title = "cut", .label = "cut "}};
        cr_expect_not(pdf_join(arena, &out, "", cut, 1, &over, &trouble));
        cr_expect_eq(pdf_page_count(one.bytes, count), 0);
    }
    cr_expect_eq(out.count, 0);
}

Test(pdf_join, wants_a_stamp_for_every_page) {
    const Buffer one = sheets(2, "fog", true), over = sheets(1, "page", false);
    const PdfPiece all[] = {piece(&one, "fog", "fog ")};
    Buffer out = buffer_new(arena);
    const char *trouble = NULL;
    cr_expect_not(pdf_join(arena, &out, "", all, 1, &over, &trouble));
    cr_expect(trouble && strstr(trouble, "stamp"));
    cr_expect_eq(out.count, 0);
}
