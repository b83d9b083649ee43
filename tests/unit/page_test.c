/* The book's page from summaries; and text that means something to HTML. What a browser makes of it is tested
 * in tests/external/page. */
#include "report/html.h"
#include "report/summaries_to_book.h"
#include "report/summaries_to_page.h"

#include <criterion/criterion.h>
#include <string.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}

static void tear_down(void) {
    arena_free(arena);
}

TestSuite(page, .init = set_up, .fini = tear_down);

typedef void Writer(Buffer *, const char *);

static void becomes(Writer *writer, const char *text, const char *wanted) {
    Buffer out = buffer_new(arena);
    writer(&out, text);
    cr_expect_str_eq(buffer_text(&out), wanted);
}

Test(page, text_is_never_markup) {
    becomes(html_text, "a < b & c > \"d\" 'e'", "a &lt; b &amp; c &gt; &quot;d&quot; 'e'");
    becomes(html_text, "&amp;", "&amp;amp;");
    becomes(html_text, "N\xC3\xA4he \xF0\x9F\xA6\xA6", "N\xC3\xA4he \xF0\x9F\xA6\xA6");
    becomes(html_text,
            "a\xFF"
            "b\xC3",
            "a\xEF\xBF\xBD"
            "b\xEF\xBF\xBD");
    becomes(html_text,
            "a\x01"
            "b\x7F"
            "\xC2\x85"
            "\xEF\xBF\xBF",
            "a\xEF\xBF\xBD"
            "b\xEF\xBF\xBD"
            "\xEF\xBF\xBD"
            "\xEF\xBF\xBD");
    becomes(html_prose, "`otter` is <drawn> `a & b`",
            "<code>otter</code> is &lt;drawn&gt; <code>a &amp; b</code>");
    becomes(html_prose, "one ` alone <", "one ` alone &lt;");
}

/* RFC 3986, 2.1 and 2.3. */
Test(page, addresses_hold_unreserved_signs_alone) {
    becomes(html_address, "08-fog.txt", "08-fog.txt");
    becomes(html_address, "a b/c?d#e:f%g\"", "a%20b%2Fc%3Fd%23e%3Af%25g%22");
    becomes(html_address, "F\xC3\xA4hre~_", "F%C3%A4hre~_");
}

Test(page, numbers_are_not_torn) {
    becomes(html_numbers, "7'-2\" wide x 6'-6 1/8\" deep (2184 x 1984 mm)",
            "7'-2&quot; wide x 6'-6&nbsp;1/8&quot; deep (2184 x 1984&nbsp;mm)");
    becomes(html_numbers, "9 1/2 in in front", "9&nbsp;1/2&nbsp;in in front");
    becomes(html_numbers, "2.0 deg down; 304 %; 8 inside", "2.0&nbsp;deg down; 304&nbsp;%; 8 inside");
    becomes(html_numbers, "8 9 1/2", "8 9&nbsp;1/2");
}

/* ---- The whole page */

static SummaryShot shot_called(const char *name, const char *shot, const char *id) {
    return (SummaryShot){.name = name,
                         .shot = shot,
                         .id = id,
                         .pages = "pages 8 and 9, a spread",
                         .body = -1,
                         .focal_mm = 85,
                         .height_mm = 254,
                         .distance_mm = 3000,
                         .enlargement = 3};
}

static const char *page_of(const PageScene *scenes, size_t count) {
    Buffer out = buffer_new(arena);
    Summary *summaries = ARENA_ARRAY(arena, Summary, count);
    for (size_t i = 0; i < count; i++)
        summaries[i] = *scenes[i].summary;
    const char *title = "Ferry & <b>Fog</b>";
    const BookFacts book = summaries_to_book(arena, title, STYLE_FEET_INCHES, summaries, count);
    summaries_to_page(
        &out, arena,
        &(Page){
            .title = title, .book = book.facts, .scenes = scenes, .scene_count = count, .book_text = true});
    return buffer_text(&out);
}

static void has(const char *page, const char *text) {
    cr_expect(strstr(page, text), "the page lacks: %s", text);
}

static void has_not(const char *page, const char *text) {
    cr_expect_null(strstr(page, text), "the page has: %s", text);
}

Test(page, links_what_there_is) {
    SummaryShot shot = shot_called("8 n\xC3\xA4h", "", "");
    Summary summary = {.scene = "8 n\xC3\xA4h", .title = "<i>Near</i>", .shots = &shot, .shot_count = 1};
    LIST_PUSH(arena, summary.notes, (SummaryNote){"otter drawn-apart", "`otter` is apart", true, false});
    PagePicture pictures[] = {{".cameras.png", "The cameras", "two", 1200, 400},
                              {".png", "Through the lens", "\"one\"", 1200, 480}};
    PageScene scene = {
        .summary = &summary, .report = true, .notes_model = true, .pictures = pictures, .picture_count = 2};
    const char *page = page_of(&scene, 1);
    has(page, "<title>Ferry &amp; &lt;b&gt;Fog&lt;/b&gt;: the book at a glance</title>");
    has(page, "<a href=\"8%20n%C3%A4h.txt\">8 n\xC3\xA4h.txt</a>");
    has(page, "href=\"8%20n%C3%A4h.notes.glb\"");
    has_not(page, "patterns.pdf");
    scene.patterns = true;
    has(page_of(&scene, 1), "<a href=\"8%20n%C3%A4h.patterns.pdf\">8 n\xC3\xA4h.patterns.pdf</a>");
    has(page, "href=\"#scene-8%20n%C3%A4h\"");
    has(page, "<h2 id=\"scene-8%20n%C3%A4h\"><bdi>&lt;i&gt;Near&lt;/i&gt;</bdi>");
    has(page, "alt=\"&quot;one&quot;\"");
    has(page, "1 warning in <a");
    has(page, "<code>otter</code> is apart");
    has_not(page, ".json\"");
    has_not(page, "n%C3%A4h.glb\"");
    has_not(page, "<i>");
    cr_expect_lt(strstr(page, "alt=\"&quot;one"), strstr(page, "alt=\"two"),
                 "the planned frame stands first");
    scene.pictures = NULL;
    scene.picture_count = 0;
    has_not(page_of(&scene, 1), "<img");
}

Test(page, pictures_stand_with_their_shots) {
    SummaryShot shots[] = {shot_called("10-quay, wide", "wide", "wide"),
                           shot_called("10-quay, wide on", "wide on", "wide-on")};
    Summary summary = {.scene = "10-quay", .title = "Quay", .shots = shots, .shot_count = 2};
    PagePicture pictures[] = {{".first.png", "e", "a photograph", 9, 9},
                              {".wide-on.cameras.png", "d", "fourth", 9, 9},
                              {".wide-on.png", "c", "third", 9, 9},
                              {".wide.cameras.png", "b", "second", 9, 9},
                              {".wide.png", "a", "first", 9, 9}};
    const PageScene scene = {.summary = &summary, .pictures = pictures, .picture_count = 5};
    const char *page = page_of(&scene, 1);
    const char *in_order[] = {"<h3><bdi>wide</bdi></h3>",    "alt=\"first\"", "alt=\"second\"",
                              "<h3><bdi>wide on</bdi></h3>", "alt=\"third\"", "alt=\"fourth\"",
                              "alt=\"a photograph\""};
    for (size_t i = 0; i < sizeof in_order / sizeof *in_order; i++) {
        page = strstr(page, in_order[i]);
        cr_assert(page, "%s is not there, or not behind what it follows", in_order[i]);
    }
}
