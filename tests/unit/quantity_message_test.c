/* Faults of quantities as a maker sees them, to the character; and what a name may be. */
#include "../grammar/sample_names.h"
#include "quantity.h"

#include <criterion/criterion.h>

/* One file with one value in it after another. */
typedef struct Page {
    Arena *arena;
    Source source;
    Diagnostics diagnostics;
} Page;

static Page page_new(const char *text) {
    Arena *arena = arena_new();
    return (Page){arena, source_new(arena, "specs/08-fog.yaml", text, strlen(text)), diagnostics_new(arena)};
}

/* Parses `value` where it stands in line `line`; the first place after `word`. */
static bool page_parse(Page *page, uint32_t line, const char *word, const char *value,
                       const QuantitySlot *slot, const char *where) {
    size_t count;
    const char *bytes = source_line(&page->source, line, &count);
    const char *at = strstr(strstr(bytes, word), value);
    cr_assert(at && at < bytes + count);
    const bool quoted = at[-1] == '"';
    const size_t first = (size_t)(at - page->source.bytes) - quoted;
    const Span span = source_span(&page->source, 0, first, strlen(value) + 2u * quoted);
    Quantity quantity;
    return quantity_parse(page->arena, value, span, quoted, slot, where, &sample_names, &page->diagnostics,
                          &quantity);
}

static const char *page_text(Page *page) {
    Buffer out = buffer_new(page->arena);
    const Sources sources = {&page->source, 1};
    diagnostics_to_text(&out, &page->diagnostics, &sources, (DiagnosticStyle){0});
    return buffer_text(&out);
}

static void expect_message(const char *line, const char *word, const char *value, const char *slot,
                           const char *where, const char *wanted) {
    Page page = page_new(line);
    cr_expect(!page_parse(&page, 1, word, value, sample_slot(slot), where), "%s", value);
    cr_expect_str_eq(page_text(&page), wanted);
    arena_free(page.arena);
}

Test(quantity_message, unit_misspelt) {
    expect_message("  height: 9 inn\n", "height: ", "9 inn", "camera", "`height` of the camera",
                   "specs/08-fog.yaml:1:13: error: unknown unit `inn` in `height` of the camera\n"
                   "    1 |   height: 9 inn\n"
                   "      |             ^~~\n"
                   "  help: did you mean `in`?\n");
    expect_message("  post: {tall: 1.5 otter, thick: 3/4 im}\n", "thick", "3/4 im", "length",
                   "`thick` of piece `post`",
                   "specs/08-fog.yaml:1:38: error: unknown unit `im` in `thick` of piece `post`\n"
                   "    1 |   post: {tall: 1.5 otter, thick: 3/4 im}\n"
                   "      |                                      ^~\n"
                   "  help: did you mean `in`?\n");
}

Test(quantity_message, no_unit) {
    expect_message("  post: {shape: post, tall: 9, thick: 3/4 in}\n", "tall", "9", "length",
                   "`tall` of piece `post`",
                   "specs/08-fog.yaml:1:29: error: `tall` of piece `post` is a length without a unit\n"
                   "    1 |   post: {shape: post, tall: 9, thick: 3/4 in}\n"
                   "      |                             ^\n"
                   "  help: write `9 in` or `9 mm`\n");
    expect_message("  otter: {tall: 11, wide: 5 in}\n", "tall", "11", "length", "`tall` of puppet `otter`",
                   "specs/08-fog.yaml:1:17: error: `tall` of puppet `otter` is a length without a unit\n"
                   "    1 |   otter: {tall: 11, wide: 5 in}\n"
                   "      |                 ^~\n"
                   "  help: write `11 in` or `11 mm`\n");
}

Test(quantity_message, unknown_name_is_said_once_and_counted) {
    Page page = page_new("  a: {tall: far bnak.tall}\n"
                         "  b: {tall: far bnak.tall - 2 in}\n"
                         "  c: {tall: 2 * far bnak.tall}\n");
    const QuantitySlot *slot = sample_slot("length");
    cr_expect(!page_parse(&page, 1, "tall", "far bnak.tall", slot, "`tall` of piece `a`"));
    cr_expect(!page_parse(&page, 2, "tall", "far bnak.tall - 2 in", slot, "`tall` of piece `b`"));
    cr_expect(!page_parse(&page, 3, "tall", "2 * far bnak.tall", slot, "`tall` of piece `c`"));
    cr_expect_str_eq(page_text(&page),
                     "specs/08-fog.yaml:1:13: error: unknown name `far bnak` in `tall` of piece `a`\n"
                     "    1 |   a: {tall: far bnak.tall}\n"
                     "      |             ^~~~~~~~\n"
                     "  note: and 2 times more, first at 2:13\n"
                     "  help: did you mean `far bank`?\n");
    arena_free(page.arena);
}

Test(quantity_message, thing_without_a_word) {
    expect_message(
        "  post: {tall: ferry}\n", "tall", "ferry", "length", "`tall` of piece `post`",
        "specs/08-fog.yaml:1:16: error: `ferry` is a thing, not a length, in `tall` of piece `post`\n"
        "    1 |   post: {tall: ferry}\n"
        "      |                ^~~~~\n"
        "  help: say which: `ferry.tall`, `ferry.wide`, `ferry.deep`\n");
}

Test(quantity_message, word_of_a_thing_misspelt) {
    expect_message("  post: {tall: pier.tal}\n", "tall", "pier.tal", "length", "`tall` of piece `post`",
                   "specs/08-fog.yaml:1:21: error: `pier` has no `tal`, in `tall` of piece `post`\n"
                   "    1 |   post: {tall: pier.tal}\n"
                   "      |                     ^~~\n"
                   "  help: did you mean `tall`?\n");
}

Test(quantity_message, minus_without_blanks) {
    expect_message(
        "  post: {at: {across: ferry.left-2 in, back: 10 in}}\n", "across", "ferry.left-2 in", "length",
        "`across` of piece `post`",
        "specs/08-fog.yaml:1:33: error: `-` needs a blank on both sides, in `across` of piece `post`\n"
        "    1 |   post: {at: {across: ferry.left-2 in, back: 10 in}}\n"
        "      |                                 ^\n"
        "  help: write `ferry.left - 2 in`; without blanks a `-` belongs to a name\n");
}

Test(quantity_message, feet_minus_inches) {
    expect_message(
        "  tall: 3' - 6\"\n", "tall", "3' - 6\"", "length", "`tall` of the backdrop",
        "specs/08-fog.yaml:1:12: error: feet and inches, or feet minus inches? in `tall` of the backdrop\n"
        "    1 |   tall: 3' - 6\"\n"
        "      |            ^\n"
        "  help: write `3'-6\"` without blanks, or `3 ft - 6 in`\n");
}

Test(quantity_message, range_downwards) {
    expect_message("  lens: 100 to 50 mm\n", "lens", "100 to 50 mm", "range of length",
                   "`lens` of what is allowed",
                   "specs/08-fog.yaml:1:9: error: the range runs downwards, in `lens` of what is allowed\n"
                   "    1 |   lens: 100 to 50 mm\n"
                   "      |         ^~~~~~~~~~~~\n"
                   "  help: write `50 to 100 mm`\n");
    expect_message("  lens: 4 in to 50 mm\n", "lens", "4 in to 50 mm", "range of length",
                   "`lens` of what is allowed",
                   "specs/08-fog.yaml:1:9: error: the range runs downwards, in `lens` of what is allowed\n"
                   "    1 |   lens: 4 in to 50 mm\n"
                   "      |         ^~~~~~~~~~~~~\n"
                   "  help: write `50 mm to 4 in`\n");
    expect_message("  tilt: 5 to -5 deg\n", "tilt", "5 to -5 deg", "range of angle",
                   "`tilt` of what is allowed",
                   "specs/08-fog.yaml:1:9: error: the range runs downwards, in `tilt` of what is allowed\n"
                   "    1 |   tilt: 5 to -5 deg\n"
                   "      |         ^~~~~~~~~~~\n"
                   "  help: write `-5 to 5 deg`\n");
}

Test(quantity_message, range_with_a_dash) {
    expect_message("  lens: 50-100 mm\n", "lens", "50-100 mm", "range of length", "`lens` of what is allowed",
                   "specs/08-fog.yaml:1:11: error: `-` between two numbers, in `lens` of what is allowed\n"
                   "    1 |   lens: 50-100 mm\n"
                   "      |           ^\n"
                   "  help: a range is written `50 to 100 mm`\n");
}

Test(quantity_message, wrong_kind) {
    expect_message("camera: {lens: 85 mm, height: 8 deg}\n", "height", "8 deg", "camera",
                   "`height` of the camera",
                   "specs/08-fog.yaml:1:31: error: `height` of the camera is a length, not an angle\n"
                   "    1 | camera: {lens: 85 mm, height: 8 deg}\n"
                   "      |                               ^~~~~\n");
    expect_message("tall: 8 %\n", "tall", "8 %", "length", "`tall` of piece `post`",
                   "specs/08-fog.yaml:1:7: error: `tall` of piece `post` is a length, not a share (`8 %`)\n"
                   "    1 | tall: 8 %\n"
                   "      |       ^~~\n");
}

Test(quantity_message, stop_without_f) {
    expect_message("camera: {lens: 85 mm, stop: 11}\n", "stop", "11", "stop", "`stop` of the camera",
                   "specs/08-fog.yaml:1:29: error: `stop` of the camera is a stop without `f/`\n"
                   "    1 | camera: {lens: 85 mm, stop: 11}\n"
                   "      |                             ^~\n"
                   "  help: write `f/11`\n");
}

Test(quantity_message, no_depth_known) {
    expect_message(
        "  far bank: {back: 60 mm drawn}\n", "back", "60 mm drawn", "depth", "`back` of flat `far bank`",
        "specs/08-fog.yaml:1:20: error: a drawn length where no depth is known yet, in `back` of flat "
        "`far bank`\n"
        "    1 |   far bank: {back: 60 mm drawn}\n"
        "      |                    ^~~~~~~~~~~\n"
        "  help: give a real length, or `drawn: {foot: [x, y]}`\n");
}

Test(quantity_message, which_way) {
    expect_message("tilt: 4 deg\n", "tilt", "4 deg", "tilt", "`tilt` of the camera",
                   "specs/08-fog.yaml:1:7: error: which way? in `tilt` of the camera\n"
                   "    1 | tilt: 4 deg\n"
                   "      |       ^~~~~\n"
                   "  help: write `4 deg down` or `4 deg up`\n");
}

Test(quantity_message, columns_count_code_points_inside_quotes) {
    expect_message("tall: \"fähre.tall + 9 inn\"\n", "tall", "fähre.tall + 9 inn", "length",
                   "`tall` of piece `a`",
                   "specs/08-fog.yaml:1:23: error: unknown unit `inn` in `tall` of piece `a`\n"
                   "    1 | tall: \"fähre.tall + 9 inn\"\n"
                   "      |                       ^~~\n"
                   "  help: did you mean `in`?\n");
}

static void expect_help(const char *slot, const char *text, const char *wanted) {
    Arena *arena = arena_new();
    const SampleResult result = sample_read(arena, sample_slot(slot), text);
    cr_assert(!result.sound, "%s", text);
    cr_expect_str_eq(result.help ? result.help : "", wanted, "%s: `%s`, not `%s`", text,
                     result.help ? result.help : "", wanted);
    arena_free(arena);
}

Test(quantity_message, help_says_what_to_write) {
    expect_help("length", "14 1/2", "write `14 1/2 in` or `14 1/2 mm`");
    expect_help("length", "9 milimetres", "did you mean `mm`?");
    expect_help("length", "9 MM", "did you mean `mm`?");
    expect_help("length", "1.5 oter", "did you mean `otter`?");
    expect_help("length", "9 Otter", "did you mean `otter`?");
    expect_help("length", "9 smoots",
                "lengths are in `in`, `ft`, `yd`, `mm`, `cm` or `m`, or in a puppet's heights");
    expect_help("length", "tall of pier", "write `pier.tall`");
    expect_help("length", "half otter", "write `1/2 otter`");
    expect_help("length", "pier tall", "write `pier.tall`");
    expect_help("length", "about 14 in", "write the value alone: `14 in`");
    expect_help("length", "mm 85", "write the number first: `85 mm`");
    expect_help("length", "path to mill.tall", "`to` cannot be a word of a name");
    expect_help("length", "2 x otter.eyes", "a product is written `2 * otter.eyes`");
    expect_help("length", "60 drawn", "write `60 mm drawn`");
    expect_help("length", "3'-6", "write `6 in` or `6\"`");
    expect_help("length", "2 in plus 3 in", "write `+`, with a blank on both sides");
    expect_help("length", "wide / 4", "write the name of the thing and a dot before it: `ferry.wide`");
    expect_help("length", "14 in;", "leave it out");
    expect_help("length", "10 in - 2", "");
    expect_help("length", "-9", "give it a unit, as in `9 in` or `9 mm`");
    expect_help("share", "8", "write `8 %`");
    expect_help("weight", "250", "write `250 lb` or `250 kg`");
    expect_help("density", "0.9", "write `0.9 lb/ft3` or `0.9 kg/m3`");
    expect_help("on the drawing in px", "214", "write `214 px`");
    expect_help("range of length", "9 in-14 in", "a range is written `9 in to 14 in`");
    expect_help("tilt", "4 deg left", "a tilt is `up` or `down`");
    expect_help("camera", "cover", "give a real length");
}

Test(quantity_message, example_gives_the_usual_unit) {
    const QuantitySlot slot = {FORM_ONE, KIND_LENGTH, PLACE_NO_DEPTH, .example = "85 mm"};
    Arena *arena = arena_new();
    const SampleResult result = sample_read(arena, &slot, "105");
    cr_expect_str_eq(result.help, "write `105 mm`");
    arena_free(arena);
}

static void expect_read(const QuantitySlot *slot, const char *text, size_t column, const char *message) {
    Arena *arena = arena_new();
    const SampleResult result = sample_read(arena, slot, text);
    cr_assert(!result.sound, "%s", text);
    cr_expect_str_eq(result.message, message);
    cr_expect_eq(result.column, column, "%s: %zu", text, result.column);
    arena_free(arena);
}

Test(quantity_message, limits) {
    const QuantitySlot *slot = sample_slot("length");
    char text[8192];
    for (int brackets = 32; brackets <= 33; brackets++) {
        text[0] = '\0';
        for (int i = 0; i < brackets; i++)
            strcat(text, "(");
        strcat(text, "2 in");
        for (int i = 0; i < brackets; i++)
            strcat(text, ")");
        Arena *arena = arena_new();
        cr_expect_eq(sample_read(arena, slot, text).sound, brackets == 32);
        arena_free(arena);
    }
    expect_read(slot, text, 33, "brackets inside brackets, deeper than 32");
    strcpy(text, "1 in");
    while (strlen(text) < 5000)
        strcat(text, " + 1 in");
    expect_read(slot, text, 1, "a quantity of more than 4096 signs");
    text[4 + 7 * 500] = '\0';
    Arena *arena = arena_new();
    const SampleResult many = sample_read(arena, slot, text);
    cr_assert(many.sound);
    cr_expect_float_eq(many.values[0], 501 * 25.4, 1e-6);
    arena_free(arena);
    expect_read(slot, "600 m + 600 m", 1, "a length of more than 1 km");
    expect_read(slot, "999999999999999 * 999999999999999 * 2 in", 1, "a length of more than 1 km");
}

Test(quantity_message, many_levels_do_not_outgrow_the_stack) {
    char text[4096] = "";
    for (int i = 0; i < 31; i++)
        strcat(text, "1 in + 2 * (");
    strcat(text, "1 in");
    for (int i = 0; i < 31; i++)
        strcat(text, ")");
    Arena *arena = arena_new();
    const SampleResult deep = sample_read(arena, sample_slot("length"), text);
    cr_expect(!deep.sound); /* 2^31 in and more */
    cr_expect_str_eq(deep.message, "a length of more than 1 km");
    text[0] = '\0';
    for (int i = 0; i < 32; i++)
        strcat(text, "1 in + 2 * (");
    strcat(text, "1 in + 3 * 2 in");
    for (int i = 0; i < 32; i++)
        strcat(text, ")");
    const SampleResult deeper = sample_read(arena, sample_slot("length"), text);
    cr_expect(!deeper.sound);
    cr_expect(text_starts(deeper.message, "brackets inside brackets"));
    arena_free(arena);
}

Test(quantity_message, lengths_on_the_drawing_are_no_real_lengths) {
    const QuantitySlot *real = sample_slot("length"), *px = sample_slot("on the drawing in px");
    expect_read(real, "heron.drawn.tall", 1, "a length on the drawing, where a real length is wanted");
    expect_read(real, "heron.drawn.tall + 2 in", 18, "a length on the drawing plus a real length");
    expect_read(sample_slot("on the drawing"), "214 px", 1,
                "pixels (`214 px`) where a length on the drawing is wanted");
    expect_read(px, "40 % frame", 1, "a share of the frame on the drawing");
    expect_read(px, "cover", 1, "`cover` on the drawing");
    Arena *arena = arena_new();
    const SampleResult in_px = sample_read(arena, px, "214 px"), in_mm = sample_read(arena, px, "96 mm");
    cr_assert(in_px.sound && in_mm.sound);
    cr_expect_eq(in_px.quantity.parts[0].kind, KIND_PIXELS);
    cr_expect_float_eq(in_px.values[0], 214, 0);
    cr_expect_eq(in_mm.quantity.parts[0].kind, KIND_LENGTH);
    const SampleResult ratio = sample_read(arena, real, "heron.drawn.tall / heron.drawn.tall * 2 in");
    cr_expect(ratio.sound);
    cr_expect_float_eq(ratio.values[0], 50.8, 1e-9);
    arena_free(arena);
}

Test(quantity_message, cover_where_it_has_no_meaning) {
    const QuantitySlot slot = {FORM_ONE, KIND_LENGTH, PLACE_DEPTH_KNOWN, .no_cover = true};
    expect_read(&slot, "2 in + cover", 8, "`cover` has no meaning here");
}

static void expect_name(const char *name, size_t column, size_t length, const char *message,
                        const char *help) {
    Arena *arena = arena_new();
    size_t at, count;
    const char *said, *helped;
    cr_assert(!name_allowed(arena, name, &at, &count, &said, &helped), "%s", name);
    cr_expect_str_eq(said, message);
    cr_expect_eq(at, column, "%s: %zu", name, at);
    cr_expect_eq(count, length, "%s: %zu", name, count);
    cr_expect_str_eq(helped ? helped : "", help);
    arena_free(arena);
}

Test(name_allowed, refuses_what_quantities_use) {
    expect_name("in", 1, 2, "it is a unit", "puppets are units themselves: `1.5 otter`");
    expect_name("kW", 1, 2, "it is a unit", "puppets are units themselves: `1.5 otter`");
    expect_name("path to mill", 6, 2, "`to` cannot be a word of a name: it makes ranges",
                "join it: `path-to-mill`");
    expect_name("post x", 6, 1, "`x` cannot be a word of a name: it makes sizes", "join it: `post-x`");
    expect_name("x", 1, 1, "`x` cannot be a word of a name: it makes sizes", "");
    expect_name("frame", 1, 5, "it is a word of the language", "");
    expect_name("yes", 1, 3, "it is a word of the language", "");
    expect_name("2nd heron", 1, 3, "a name begins with a letter", "");
    expect_name("pier.2", 5, 1, "`.` cannot stand here in a name",
                "a dot leads to a word of a thing: `ferry.tall`");
    expect_name("far-", 4, 1, "`-` cannot stand here in a name", "a hyphen joins two words: `far-bank`");
    expect_name("bread & butter", 7, 1, "`&` cannot stand here in a name",
                "a name is made of letters, figures, blanks and hyphens");
    expect_name("far  bank", 4, 2, "more than one blank between two words of a name", "write `far bank`");
    expect_name("far bank ", 9, 1, "a blank at the edge of a name", "");
    expect_name("pier 3b4", 6, 3, "figures and letters mixed in a word that begins with a figure", "");
    expect_name("", 1, 1, "an empty name", "");
}

Test(name_allowed, takes_every_sample_name) {
    Arena *arena = arena_new();
    size_t at, count;
    const char *said = "", *help;
    for (size_t i = 0; i < SAMPLE_WORDS; i++)
        cr_expect(name_allowed(arena, sample_words[i].name, &at, &count, &said, &help), "%s: %s",
                  sample_words[i].name, said);
    cr_expect(name_allowed(arena, "otter’s boat", &at, &count, &said, &help));
    arena_free(arena);
}
