/* What another body with another lens shows from where the planned camera stands, for testing a set before
 * the day (docs/geometry.md, rule 50). */
#include "plan/seen.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_OF_FRONT = {" behind the mark", " in front of the mark", "on the mark"};
static const double NOTHING = 0.0005; /* of the planned frame: less than can be printed */

static void write_lens_of(Writer *writer, FactBlock *block, const PlanAlso *also) {
    const PlanCamera camera = {.camera = also->other.camera, .lens_kind = also->also->lens_kind};
    write_lens(writer, block, &camera);
}

/* Its whole frame, where the tape-out has the planned one. */
static void write_on_set(Writer *writer, FactBlock *block, const PlanShot *shot, const OtherBody *other) {
    const double left = other_body_edge_mm(other, -1, shot->mark.back_mm, shot->mark.up_mm);
    const double right = other_body_edge_mm(other, 1, shot->mark.back_mm, shot->mark.up_mm);
    Fact *frame =
        write_number(writer, block, "frame", "its whole frame at the mark", FACT_PLACE, right - left);
    frame->parts.items[0].after = " wide";
    write_held_at(writer, frame, ", ", shot->mark.up_mm);
    write_way(writer, block, "left_at_mark", "left edge at the mark", FACT_PLACE,
              left - writer->datum.centre_mm, &WAY_CENTRE);
    write_way(writer, block, "right_at_mark", "right edge at the mark", FACT_PLACE,
              right - writer->datum.centre_mm, &WAY_CENTRE);
    double back;
    if (other_body_near_ground_mm(other, 0, &back))
        write_way(writer, block, "front", "lower edge on the ground", FACT_PLACE, back - shot->mark.back_mm,
                  &WAY_OF_FRONT);
    else
        write_text(writer, block, "front", "lower edge on the ground", "above it as far as one can see");
}

static FactPart edge_part(const PlanShot *shot, const char *name, double mm, const char *before,
                          const FactWay *way) {
    FactPart part = drawn_part(shot, name, mm);
    part.before = before;
    part.way = way;
    return part;
}

static void write_on_drawing(Writer *writer, FactBlock *block, const PlanShot *shot, const OtherBody *other) {
    static const FactWay left = {" right of the drawing's left edge", " left of the drawing's left edge",
                                 "the drawing's left edge"};
    static const FactWay right = {" right of it", " left of it", "that edge"};
    static const FactWay low = {" above its lower edge", " below its lower edge", "its lower edge"};
    static const FactWay high = {" above it", " below it", "that edge"};
    Fact *fact = fact_new(writer->facts, block, "on_drawing", "its whole frame on the drawing");
    fact_part(writer->facts, fact, edge_part(shot, "left", other->left_mm, "from ", &left));
    fact_part(writer->facts, fact, edge_part(shot, "right", other->right_mm, " to ", &right));
    fact_part(writer->facts, fact, edge_part(shot, "low", other->low_mm, ", from ", &low));
    fact_part(writer->facts, fact, edge_part(shot, "high", other->high_mm, " to ", &high));
}

static void write_on_sensor(Writer *writer, FactBlock *block, const OtherBody *other) {
    const Picture *p = &other->picture;
    const FactPart parts[] = {
        {.name = "wide", .kind = FACT_SENSOR, .number = p->taken_wide_mm, .after = " x "},
        {.name = "tall", .kind = FACT_SENSOR, .number = p->taken_tall_mm, .after = " of "},
        {.name = "sensor_wide", .kind = FACT_SENSOR, .number = p->sensor_wide_mm, .after = " x "},
        {.name = "sensor_tall", .kind = FACT_SENSOR, .number = p->sensor_tall_mm}};
    Fact *fact = fact_new(writer->facts, block, "planned_frame", "the planned frame on its sensor");
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        fact_part(writer->facts, fact, parts[i]);
}

static void add_count(Writer *writer, Fact *fact, const char *name, double number, const char *before,
                      const char *after) {
    fact_part(
        writer->facts, fact,
        (FactPart){.name = name, .kind = FACT_NUMBER, .number = number, .before = before, .after = after});
}

/* The crop to make of a test picture so that it shows what the book will. */
static void write_crop(Writer *writer, FactBlock *block, const PlanAlso *also) {
    const OtherBody *other = &also->other;
    if (!(also->pixels_wide > 0 && also->pixels_tall > 0)) return;
    const PixelFrame exact = other_body_pixels(other, also->pixels_wide, also->pixels_tall);
    const PixelFrame px = pixel_frame_outwards(exact, also->pixels_wide, also->pixels_tall);
    if (!(px.wide_px > 0 && px.tall_px > 0)) return; /* nothing of the planned frame is on its sensor */
    Fact *crop = fact_new(writer->facts, block, "crop",
                          other->holds ? "crop that equals the planned frame"
                                       : "crop that shows what it has of the planned frame");
    add_count(writer, crop, "left", px.left_px, NULL, " px from its left edge, ");
    add_count(writer, crop, "top", px.top_px, NULL, " px from its upper edge, ");
    add_count(writer, crop, "wide", px.wide_px, NULL, " x ");
    add_count(writer, crop, "tall", px.tall_px, NULL, " px of ");
    add_count(writer, crop, "of_wide", also->pixels_wide, NULL, " x ");
    add_count(writer, crop, "of_tall", also->pixels_tall, NULL, ", outwards to whole px");
    static const FactWay left = {" right of its left edge", " left of its left edge", "at its left edge"};
    static const FactWay top = {" below its upper edge", " above its upper edge", "at its upper edge"};
    Fact *unrounded = fact_new(writer->facts, block, "crop_exact", "the planned frame in its px");
    fact_part(writer->facts, unrounded,
              (FactPart){.name = "left", .kind = FACT_ROUGH, .number = exact.left_px, .way = &left});
    fact_part(
        writer->facts, unrounded,
        (FactPart){.name = "top", .kind = FACT_ROUGH, .number = exact.top_px, .before = ", ", .way = &top});
    fact_part(
        writer->facts, unrounded,
        (FactPart){
            .name = "wide", .kind = FACT_ROUGH, .number = exact.wide_px, .before = ", ", .after = " x "});
    fact_part(writer->facts, unrounded,
              (FactPart){.name = "tall", .kind = FACT_ROUGH, .number = exact.tall_px});
    const Picture *p = &other->picture;
    const double inch = fmin(exact.wide_px / (p->frame_wide_mm / MM_PER_INCH),
                             exact.tall_px / (p->frame_tall_mm / MM_PER_INCH));
    add_count(writer, fact_new(writer->facts, block, "pixels_an_inch", "pixels an inch in print, so cropped"),
              NULL, number_round(inch, 1), NULL, NULL);
}

static void write_missed(Writer *writer, FactBlock *block, const OtherBody *other) {
    const struct {
        const char *name;
        double share;
        const char *words;
    } sides[] = {{"left", other->missed_left, " of its width at the left"},
                 {"right", other->missed_right, " of its width at the right"},
                 {"top", other->missed_top, " of its height at the top"},
                 {"bottom", other->missed_bottom, " of its height at the bottom"}};
    if (other->missed < NOTHING) {
        write_text(writer, block, "misses", "misses of the planned frame", "nothing");
        return;
    }
    Fact *fact = fact_new(writer->facts, block, "misses", "misses of the planned frame");
    fact_part(writer->facts, fact, (FactPart){.name = "all", .kind = FACT_SHARE, .number = other->missed});
    const char *joint = ": ";
    for (size_t i = 0; i < sizeof sides / sizeof *sides; i++) {
        if (sides[i].share < NOTHING) continue;
        fact_part(writer->facts, fact,
                  (FactPart){.name = sides[i].name,
                             .kind = FACT_SHARE,
                             .number = sides[i].share,
                             .before = joint,
                             .after = sides[i].words});
        joint = ", ";
    }
}

/* Of the book's lenses, the longest that still holds the planned frame; -1: none. */
static int longest_of_book(const Plan *plan, double longest_mm) {
    int best = -1;
    double best_mm = 0;
    for (size_t i = 0; i < plan->scene->lens_count; i++) {
        const double focal = slot_number(plan, plan->scene->lenses[i].focal);
        if (isnan(focal) || focal > longest_mm || focal <= best_mm) continue;
        best_mm = focal;
        best = (int)i;
    }
    return best;
}

static void write_longest(Writer *writer, FactBlock *block, const OtherBody *other) {
    const Plan *plan = writer->plan;
    const int named = longest_of_book(plan, other->longest_mm);
    Fact *fact = fact_new(writer->facts, block, "longest", "longest lens that holds the planned frame");
    fact_part(writer->facts, fact, (FactPart){.kind = FACT_SENSOR, .number = other->longest_mm});
    if (named < 0) return;
    fact_part(writer->facts, fact,
              (FactPart){.name = "of_the_book",
                         .kind = FACT_TEXT,
                         .text = plan->scene->lenses[named].name,
                         .before = "; of the book's, "});
}

static void write_bare(Writer *writer, FactBlock *block, int shot, int index) {
    const Seen *seen = writer->plan->seen;
    for (size_t i = 0; seen && i < seen->also_count; i++) {
        const SeenAlso *it = &seen->also[i];
        if (it->shot == shot && it->also == index)
            write_bare_shares(writer, block, "shoots_off", "shoots off the set, with its whole frame",
                              it->bare, it->bare_at);
    }
}

static void write_also(Writer *writer, int shot_index, int index) {
    const PlanShot *shot = &writer->plan->shots[shot_index];
    const PlanAlso *also = &shot->also[index];
    FactBlock *block = facts_block(writer->facts, "also", name_in_shot(writer, also->name, shot), shot->name);
    write_text(writer, block, "body", NULL, writer->plan->scene->bodies[also->also->body].name);
    write_lens_of(writer, block, also);
    write_text(writer, block, "stands", "its lens",
               "where the planned camera has its own, aimed and focused alike");
    write_on_set(writer, block, shot, &also->other);
    write_on_drawing(writer, block, shot, &also->other);
    write_on_sensor(writer, block, &also->other);
    write_missed(writer, block, &also->other);
    write_longest(writer, block, &also->other);
    write_crop(writer, block, also);
    write_bare(writer, block, shot_index, index);
}

void facts_of_also(Writer *writer) {
    for (size_t s = 0; s < writer->plan->shot_count; s++) {
        for (size_t i = 0; i < writer->plan->shots[s].also_count; i++)
            write_also(writer, (int)s, (int)i);
    }
}
