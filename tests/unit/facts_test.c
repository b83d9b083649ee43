/* Facts and how they print. Expectations are worked out by hand: 1 in is 25.4 mm exactly (published; BS 350
 * and NIST SP 811, the values of reference tables); the trade's way with feet and inches is common practice,
 * no source. */
#include "base/text.h"
#include "report/facts.h"
#include "report/facts_to_json.h"
#include "report/facts_to_text.h"

#include <criterion/criterion.h>
#include <jansson.h>
#include <math.h>

static const FactWay SIDE = {" right of it", " left of it", "in line"};

static const char *printed(LengthStyle lengths, FactPart part) {
    static char kept[256];
    Arena *arena = arena_new();
    Facts *facts = facts_new(arena, lengths, "s", "t", "b");
    FactBlock *block = facts_block(facts, "thing", "", "");
    const char *text = fact_text(arena, facts, fact_part(facts, fact_new(facts, block, "k", NULL), part));
    snprintf(kept, sizeof kept, "%s", text);
    arena_free(arena);
    return kept;
}

#define PRINTS(lengths, wanted, ...) cr_expect_str_eq(printed(lengths, (FactPart){__VA_ARGS__}), wanted)
#define INCHES(wanted, ...) PRINTS(STYLE_FEET_INCHES, wanted, __VA_ARGS__)
#define METRIC(wanted, ...) PRINTS(STYLE_MILLIMETRES, wanted, __VA_ARGS__)

Test(facts, places_to_an_eighth_or_a_millimetre) {
    INCHES("4 1/4 in (108 mm)", .kind = FACT_PLACE, .number = 4.25 * 25.4);
    METRIC("108 mm (4 1/4 in)", .kind = FACT_PLACE, .number = 4.25 * 25.4);
    INCHES("10'-3 1/8\" (3127 mm)", .kind = FACT_PLACE, .number = 3126.915);
}

Test(facts, sizes_as_cut) {
    INCHES("1'-1\" (330.2 mm)", .kind = FACT_SIZE, .number = 13 * 25.4);
    INCHES("45/64 in (18 mm)", .kind = FACT_SIZE, .number = 18); /* the nearest of its finest: 0.7087 in */
    INCHES("23/32 in (18.3 mm)", .kind = FACT_SIZE, .number = 23.0 / 32 * 25.4);
    METRIC("18 mm (11/16 in)", .kind = FACT_SIZE, .number = 18); /* in brackets no finer than 1/16 */
    METRIC("18.3 mm (23/32 in)", .kind = FACT_SIZE, .number = 23.0 / 32 * 25.4); /* unless it is exact */
}

Test(facts, directions_have_words_and_no_sign) {
    INCHES("4 1/4 in (108 mm) right of it", .kind = FACT_PLACE, .number = 108, .way = &SIDE);
    INCHES("4 1/4 in (108 mm) left of it", .kind = FACT_PLACE, .number = -108, .way = &SIDE);
    INCHES("in line", .kind = FACT_PLACE, .number = -1.5, .way = &SIDE); /* under 1/16 in */
    METRIC("2 mm (1/8 in) left of it", .kind = FACT_PLACE, .number = -1.6, .way = &SIDE);
    METRIC("in line", .kind = FACT_PLACE, .number = 0.4, .way = &SIDE);
}

Test(facts, the_other_kinds) {
    INCHES("12.5", .kind = FACT_ROUGH, .number = 12.5);
    INCHES("1.0", .kind = FACT_ROUGH, .number = 0.96);
    INCHES("67 lb (30 kg)", .kind = FACT_WEIGHT, .number = 67.2 * 0.45359237); /* pound: NIST SP 811 */
    METRIC("30 kg (67 lb)", .kind = FACT_WEIGHT, .number = 67.2 * 0.45359237);
    INCHES("4.8 lb (2.2 kg)", .kind = FACT_WEIGHT, .number = 4.8 * 0.45359237);
    INCHES("95.8 mm", .kind = FACT_DRAWN, .number = 95.8123);
    INCHES("214 px", .kind = FACT_DRAWN, .number = 107.2, .px_per_mm = 2);
    INCHES("85 mm", .kind = FACT_SENSOR, .number = 85);
    INCHES("13.86 mm", .kind = FACT_SENSOR, .number = 13.858);
    INCHES("2.0 deg", .kind = FACT_ANGLE, .number = 2.026 / 180 * PI);
    INCHES("338 %", .kind = FACT_SHARE, .number = 3.378);
    INCHES("42.3 %", .kind = FACT_SHARE, .number = 0.4226);
    INCHES("5/64 in (2.1 mm)", .kind = FACT_FINE, .number = 2.06);
    INCHES("1 5/16 in (33 mm)", .kind = FACT_FINE, .number = 33);
    INCHES("1/16 in (1.9 mm)", .kind = FACT_WITHIN, .number = 1.9);
    INCHES("1/16 in (0.3 mm)", .kind = FACT_WITHIN, .number = 0.3);
    INCHES("1/2 in (12 mm)", .kind = FACT_WITHIN, .number = 12.3);
    METRIC("0.3 mm (1/16 in)", .kind = FACT_WITHIN, .number = 0.3);
    INCHES("7", .kind = FACT_NUMBER, .number = 7);
}

Test(facts, parts_share_a_bracket) {
    Arena *arena = arena_new();
    Facts *facts = facts_new(arena, STYLE_FEET_INCHES, "s", "t", "b");
    Fact *fact = fact_new(facts, facts_block(facts, "scene", "s", ""), "build", NULL);
    fact_part(
        facts, fact,
        (FactPart){
            .name = "wide", .kind = FACT_PLACE, .number = 24 * 25.4, .after = " wide x ", .joined = true});
    fact_part(facts, fact,
              (FactPart){.name = "deep", .kind = FACT_PLACE, .number = 6 * 25.4, .after = " deep"});
    cr_assert_str_eq(fact_text(arena, facts, fact), "2'-0\" wide x 6 in deep (610 x 152 mm)");
    cr_assert_str_eq(fact_short_text(arena, facts, fact), "2'-0\" wide x 6 in deep");
    arena_free(arena);
}

Test(facts, are_found_by_heading_and_key) {
    Arena *arena = arena_new();
    Facts *facts = facts_new(arena, STYLE_FEET_INCHES, "s", "t", "b");
    static const char *const names[] = {"wall", "barn", "mill", "ark"};
    for (int i = 0; i < 4; i++) {
        FactBlock *block = facts_block(facts, "flat", names[i], "");
        fact_part(facts, fact_new(facts, block, "wide", NULL),
                  (FactPart){.kind = FACT_SIZE, .number = 100 + i});
    }
    facts_close(facts);
    for (int i = 0; i < 4; i++)
        cr_expect_float_eq(
            fact_number(facts_find(facts, arena_format(arena, "flat %s", names[i]), "wide"), NULL), 100 + i,
            1e-12);
    cr_expect_null(facts_find(facts, "flat mil", "wide"));
    cr_expect_null(facts_find(facts, "flat mill", "tall"));
    cr_expect(isnan(fact_number(NULL, NULL)));
    arena_free(arena);
}

/* RFC 8259 by a reader that is not ours. */
Test(facts, json_is_read_by_another_reader) {
    Arena *arena = arena_new();
    static const char awkward[] = "Ch. 8: \"Fog\\mist\"\n\x01 \xc3\xa9\xf0\x9f\xa6\xa6";
    Facts *facts = facts_new(arena, STYLE_FEET_INCHES, "08-fog", awkward, "b");
    FactBlock *block = facts_block(facts, "flat", "far bank", "");
    fact_part(facts, fact_new(facts, block, "wide", NULL),
              (FactPart){.kind = FACT_SIZE, .number = 1234.56789});
    fact_part(facts, fact_new(facts, block, "tilt", NULL), (FactPart){.kind = FACT_ANGLE, .number = -PI / 6});
    fact_part(facts, fact_new(facts, block, "title", NULL), (FactPart){.kind = FACT_TEXT, .text = awkward});
    LIST_PUSH(arena, facts->points,
              (FactPoint){.shot = "",
                          .thing = "otter",
                          .point = "foot",
                          .set = {1, -2, 3},
                          .seen = true,
                          .x_mm = 4,
                          .y_mm = 5.0004});
    facts_close(facts);
    Buffer out = buffer_new(arena);
    facts_to_json(&out, facts);
    json_error_t error;
    json_t *read = json_loads(buffer_text(&out), JSON_REJECT_DUPLICATES, &error);
    cr_assert(read, "%s at %d", error.text, error.line);
    const char *title, *text;
    double wide, tilt, x, y, up;
    cr_assert_eq(json_unpack(read, "{s:s, s:[{s:{s:{s:F}, s:{s:F}, s:s}}], s:[{s:[F,F,F], s:[F,F]}]}",
                             "title", &title, "blocks", "facts", "wide", "mm", &wide, "tilt", "deg", &tilt,
                             "title", &text, "points", "set", &x, &x, &up, "drawing", &x, &y),
                 0);
    cr_expect_str_eq(title, awkward);
    cr_expect_str_eq(text, awkward);
    cr_expect_float_eq(wide, 1234.568, 1e-9);
    cr_expect_float_eq(tilt, -30, 1e-9);
    cr_expect_float_eq(up, 3, 1e-9);
    cr_expect_float_eq(y, 5, 1e-9);
    json_decref(read);
    arena_free(arena);
}
