/* The book's report from summaries, after the plans are gone; and the chain behind a number. */
#include "report/plan_to_facts.h"
#include "report/reasons_to_text.h"
#include "report/summaries_to_book.h"
#include "report_sample.h"

#include <criterion/criterion.h>
#include <string.h>

static SummaryShot shot_like(const SummaryShot *shot, const char *name, double height_mm, double tilt_deg) {
    SummaryShot other = *shot;
    other.name = name;
    other.height_mm = height_mm;
    other.tilt_rad = RADIANS(tilt_deg);
    return other;
}

/* The sample's plan as a summary of its own, with the fox cast. */
static Summary summary_of_sample(Arena *arena) {
    Arena *gone = arena_new();
    Sample *sample = sample_new(gone, STYLE_MILLIMETRES);
    CastMember cast = {.name = arena_string(gone, "fox")};
    sample->scene.cast = &cast;
    sample->scene.cast_count = 1;
    sample->things[FOX].cast = 0;
    sample->things[FOX].pose = arena_string(gone, "seated");
    const Summary summary = plan_to_summary(arena, &sample->plan, plan_to_facts(gone, &sample->plan));
    memset(sample, 0x5a, sizeof *sample); /* whatever still pointed there would show */
    arena_free(gone);
    return summary;
}

static const char *book_of(Arena *arena, const Summary *summaries, size_t count) {
    Buffer out = buffer_new(arena);
    const BookFacts book = summaries_to_book(arena, "A book", STYLE_MILLIMETRES, summaries, count);
    book_to_text(&out, &book);
    return buffer_text(&out);
}

Test(book_report, outlives_the_plan) {
    Arena *arena = arena_new();
    const Summary summary = summary_of_sample(arena);
    /* drawn 279.4 x 900 / 3000 mm at print size: 83.82 mm on paper, 30 % of the puppet */
    cr_assert_str_eq(
        book_of(arena, &summary, 1),
        "groundrow book 1\n"
        "\n"
        "book\n"
        "  title: A book\n"
        "\n"
        "scenes\n"
        "  08-fog: 87.38 mm lens, 250 mm (9 7/8 in) up, 3000 mm (9'-10 1/8\") away, level; 3850 mm wide x "
        "3000 mm deep x "
        "568 mm tall (12'-7 5/8\" x 9'-10 1/8\" x 1'-10 3/8\"); enlargement 333 %\n"
        "\n"
        "puppet fox\n"
        "  08-fog, seated: enlargement 333 %; printed 84 mm (3 1/4 in) tall, 30 % of the puppet\n"
        "\n"
        "shared camera set-ups\n"
        "  scenes: none\n"
        "\n"
        "needed\n"
        "  body hired: 08-fog\n"
        "  lens 87.38 mm, portrait: 08-fog\n");
    arena_free(arena);
}

static StockCut boards_of(double thick_mm, int copies) {
    static const CutItem board = {.name = "wall",
                                  .scene = "08-fog",
                                  .thing = "wall",
                                  .shape = PART_RECTANGLE,
                                  .item = {.wide_mm = 900, .tall_mm = 900}};
    static CutItem items[4];
    items[copies] = board;
    items[copies].item.copies = copies;
    return (StockCut){.stock = {.name = "foam", .thick_mm = thick_mm, .sheet = {1000, 1000}},
                      .items = &items[copies],
                      .item_count = 1,
                      .new_count = copies};
}

/* A stock that states no thickness is bought in those of what is cut from it. */
Test(book_report, thicknesses_of_a_stock_are_told_apart) {
    Arena *arena = arena_new();
    StockCut cuts[] = {boards_of(10, 1), boards_of(20, 3)};
    Cutting cutting = {.scene = "08-fog", .stocks = cuts, .stock_count = 2};
    Summary summary = summary_of_sample(arena);
    summary.cutting = &cutting;
    const char *two = book_of(arena, &summary, 1);
    cr_expect(strstr(two, "  foam 10.0 mm thick: 1 sheet of ") != NULL, "%s", two);
    cr_expect(strstr(two, "  foam 20.0 mm thick: 3 sheets of ") != NULL, "%s", two);
    cr_expect(strstr(two, "  08-fog: foam 10.0 mm thick 1; foam 20.0 mm thick 3\n") != NULL, "%s", two);
    cutting.stock_count = 1;
    const char *one = book_of(arena, &summary, 1);
    cr_expect(strstr(one, "  08-fog: foam 1\n") != NULL, "%s", one);
    arena_free(arena);
}

static bool has_line(const SummaryLines *lines, const char *label) {
    for (size_t i = 0; i < lines->count; i++)
        if (strcmp(lines->items[i].label, label) == 0) return true;
    return false;
}

/* Facts are picked by their keys: one that is called otherwise would be missing without a word. */
Test(book_report, main_sizes_are_found) {
    Arena *arena = arena_new();
    const Summary summary = summary_of_sample(arena);
    static const char *const of_shot[] = {"lens",       "tilt",     "enlargement of the drawing at the mark",
                                          "sharp from", "sharp to", "pixels an inch in print"};
    for (size_t i = 0; i < sizeof of_shot / sizeof *of_shot; i++)
        cr_expect(has_line(&summary.shots[0].sizes, of_shot[i]), "no line `%s`", of_shot[i]);
    cr_expect(has_line(&summary.sizes, "everything that is built"));
    arena_free(arena);
}

/* The same fox in four pictures, once standing: from its least to its greatest height, and in scale. */
Test(book_report, how_much_a_puppet_jumps) {
    Arena *arena = arena_new();
    Summary all[4];
    SummaryShot shots[4];
    SummaryPuppet puppets[4];
    static const double printed[] = {60, 84, 90, 75}, tall[] = {200, 280, 450, 250};
    static const char *const names[] = {"08-fog", "09-a", "10-b", "11-c"};
    all[0] = summary_of_sample(arena);
    const SummaryShot shot = all[0].shots[0];
    for (int i = 0; i < 4; i++) {
        puppets[i] = shot.puppets[0];
        puppets[i].printed_mm = printed[i];
        puppets[i].tall_mm = tall[i];
        shots[i] = shot_like(&shot, names[i], 250, 0);
        shots[i].puppets = &puppets[i];
        all[i] = all[0];
        all[i].shots = &shots[i];
    }
    const char *book = book_of(arena, all, 4);
    cr_expect(strstr(book, "  smallest in print: 60 mm (2 3/8 in) tall, in 08-fog\n"
                           "  largest in print: 90 mm (3 1/2 in) tall, in 10-b; 1.5 times as tall\n"),
              "%s", book); /* 30 % of the puppet at most, 20 % at least: 1.5 times as well */
    puppets[2].tall_mm = 300;
    book = book_of(arena, all, 3);
    cr_expect(strstr(book, "in 10-b; 1.5 times as tall, in scale alike\n"), "%s", book);
    puppets[2].tall_mm = 225; /* 40 % of it */
    book = book_of(arena, all, 3);
    cr_expect(strstr(book, "in 10-b; 1.5 times as tall, in scale 1.33 times\n"), "%s", book);
    arena_free(arena);
}

/* Rule 45: drawn on a picture that is a part of its page, it prints by that picture's own scale. 279.4 mm at
 * 0.3 on a drawing 360 mm wide are 83.82 mm; with the picture 180 mm wide on paper, half of that. */
Test(book_report, prints_by_the_picture_s_own_scale) {
    Arena *arena = arena_new();
    Sample *sample = sample_new(arena, STYLE_MILLIMETRES);
    CastMember cast = {.name = "fox"};
    sample->scene.cast = &cast;
    sample->scene.cast_count = 1;
    sample->things[FOX].cast = 0;
    const PictureWishes wishes = {.page_wide_mm = 360,
                                  .page_tall_mm = 240,
                                  .pages = 1,
                                  .part_wide_mm = 180,
                                  .part_tall_mm = 120,
                                  .drawing_wide_mm = 360,
                                  .sensor_wide_mm = 36,
                                  .sensor_tall_mm = 24,
                                  .crop_uses = 1};
    sample->planned_shot.picture = picture_new(&wishes);
    const Summary summary = plan_to_summary(arena, &sample->plan, plan_to_facts(arena, &sample->plan));
    cr_assert_float_eq(summary.shots[0].puppets[0].printed_mm, 83.82 / 2, 1e-9);
    arena_free(arena);
}

Test(book_report, shares_what_a_tape_cannot_tell_apart) {
    Arena *arena = arena_new();
    Summary all[4];
    SummaryShot shots[4];
    all[0] = summary_of_sample(arena);
    shots[0] = all[0].shots[0];
    shots[1] = shot_like(&shots[0], "09-a", 255, 0.2); /* 5 mm and 0.2 degrees off: the same set-up */
    shots[2] = shot_like(&shots[0], "10-b", 260, 0);   /* 5 mm off 09-a but 10 mm off the first: not */
    shots[3] = shot_like(&shots[0], "11-c", 250, 0.3); /* 0.3 degrees off: not */
    for (int i = 0; i < 4; i++) {
        all[i] = all[0];
        all[i].shots = &shots[i];
    }
    const char *book = book_of(arena, all, 4);
    cr_expect(strstr(book, "shared camera set-ups\n  08-fog: 87.38 mm lens, 250 mm (9 7/8 in) up, level; as "
                           "for 09-a\n\nneeded"),
              "%s", book);
    cr_expect(strstr(book, "  lens 87.38 mm, portrait: 08-fog; 09-a; 10-b; 11-c\n"), "%s", book);
    arena_free(arena);
}

Test(why, shows_a_chain_once) {
    Arena *arena = arena_new();
    static const char text[] = "a: 1\nb: 2\n";
    Source source = source_new(arena, "specs/08-fog.yaml", text, sizeof text - 1);
    const Sources sources = {&source, 1};
    int of_tall[] = {1, 2}, of_camera[] = {2};
    Reason reasons[] = {
        {.path = "far bank.tall",
         .text = "40 mm drawn",
         .value = "6 5/8 in",
         .rule = "rule 31",
         .span = {0, 2, 4, 1},
         .inputs = of_tall,
         .input_count = 2},
        {.path = "the camera",
         .text = "solved from what is stated",
         .value = "85 mm lens",
         .rule = "rules 14 to 20",
         .inputs = of_camera,
         .input_count = 1},
        {.path = "camera.lens", .text = "85 mm", .value = "85 mm", .span = {0, 1, 4, 1}},
    };
    const Plan plan = {.reasons = reasons, .reason_count = 3};
    Buffer out = buffer_new(arena);
    cr_assert(reasons_to_text(&out, &plan, &sources, "far bank.tall"));
    cr_expect_str_eq(buffer_text(&out), "far bank.tall = 6 5/8 in\n"
                                        "  specs/08-fog.yaml:2:4: 40 mm drawn (docs/geometry.md, rule 31)\n"
                                        "  from the camera = 85 mm lens\n"
                                        "    solved from what is stated (docs/geometry.md, rules 14 to 20)\n"
                                        "    from camera.lens = 85 mm\n"
                                        "      specs/08-fog.yaml:1:4: 85 mm\n"
                                        "  from camera.lens = 85 mm\n");
    Buffer none = buffer_new(arena);
    cr_expect(reasons_to_text(&none, &plan, &sources, "camera"));
    cr_expect_not(reasons_to_text(&none, &plan, &sources, "far bnak.tall"));
    cr_expect_str_eq(reasons_nearest(arena, &plan, "far bnak.tall"), "far bank.tall");
    arena_free(arena);
}
