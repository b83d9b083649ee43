/* What a scene is, at a glance: pages, how large it gets, how large everything is against the drawing, and
 * the camera. */
#include "report/facts_of_plan.h"

#include <math.h>

static void write_pages(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const int first = shot->shot->first_page, last = shot->shot->last_page;
    if (first == 0) {
        write_text(writer, block, "pages", NULL, "one page, its number not stated");
        return;
    }
    Fact *fact = fact_new(writer->facts, block, "pages", last > first ? "pages" : "page");
    fact_part(writer->facts, fact, (FactPart){.name = "first", .kind = FACT_NUMBER, .number = first});
    if (last > first)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "last",
                             .kind = FACT_NUMBER,
                             .number = last,
                             .before = " and ",
                             .after = ", a spread"});
}

static void write_build(Writer *writer, FactBlock *block) {
    const Plan *plan = writer->plan;
    Fact *fact = fact_new(writer->facts, block, "build", "everything that is built");
    fact_part(writer->facts, fact,
              (FactPart){.name = "wide",
                         .kind = FACT_PLACE,
                         .number = plan->build_wide_mm,
                         .after = " wide x ",
                         .joined = true});
    fact_part(writer->facts, fact,
              (FactPart){.name = "deep",
                         .kind = FACT_PLACE,
                         .number = plan->build_deep_mm,
                         .after = " deep x ",
                         .joined = true});
    fact_part(
        writer->facts, fact,
        (FactPart){.name = "tall", .kind = FACT_PLACE, .number = plan->build_tall_mm, .after = " tall"});
}

Fact *write_lens(Writer *writer, FactBlock *block, const PlanCamera *camera) {
    Fact *fact = fact_new(writer->facts, block, "lens", NULL);
    const bool named = camera->lens_kind >= 0;
    fact_part(writer->facts, fact,
              (FactPart){.name = "focal", .kind = FACT_SENSOR, .number = camera->camera.focal_mm});
    if (named)
        fact_part(writer->facts, fact,
                  (FactPart){.name = "name",
                             .kind = FACT_TEXT,
                             .text = writer->plan->scene->lenses[camera->lens_kind].name,
                             .before = ", ",
                             .after = ""});
    return fact;
}

/* The statement whose millimetre on the drawing moves an unknown the furthest. */
static Statement steepest(const PlanShot *shot, Unknown unknown) {
    Statement best = STATEMENT_COUNT;
    double most = 0;
    for (int s = STATE_HORIZON; s < STATEMENT_COUNT; s++) {
        const double per_mm = fabs(shot->solution.per_mm[unknown][s]);
        if (s == STATE_FRAME || per_mm <= most * (1 + 1e-9)) continue;
        most = per_mm;
        best = (Statement)s;
    }
    return best;
}

static const char *drawn_words(const Writer *writer, const PlanShot *shot, Statement statement) {
    const char *lead = lead_name(writer->plan, shot);
    if (statement == STATE_HORIZON) return "in the drawn horizon";
    return arena_format(
        writer->arena, statement == STATE_TALL ? "in the %s's drawn height" : "in the %s's drawn foot", lead);
}

void write_sensitivity(Writer *writer, Fact *fact, const PlanShot *shot, Unknown unknown) {
    const Statement statement = steepest(shot, unknown);
    if (statement == STATEMENT_COUNT) return;
    const bool px = shot->drawn_px_per_mm > 0;
    const double per_mm = fabs(shot->solution.per_mm[unknown][statement]);
    const char *words = drawn_words(writer, shot, statement);
    fact_part(
        writer->facts, fact,
        (FactPart){.name = px ? "per_ten_drawn_px" : "per_drawn_mm",
                   .kind = unknown == UNKNOWN_TILT   ? FACT_FINE_ANGLE
                           : unknown == UNKNOWN_LENS ? FACT_SENSOR
                                                     : FACT_FINE,
                   .number = px ? per_mm * 10 / shot->drawn_px_per_mm : per_mm,
                   .before = "; ",
                   .after = arena_format(writer->arena, " for each %s %s", px ? "10 px" : "mm", words)});
}

static void write_shot(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const Camera *camera = &shot->solution.camera; /* counted from the shot's own mark */
    write_pages(writer, block, shot);
    write_number(writer, block, "enlargement", "enlargement of the drawing at the mark", FACT_SHARE,
                 camera_scale(camera, &shot->picture, (Point3){.up_mm = shot->mark.up_mm}));
    Fact *lens = write_lens(writer, block, &shot->cameras[0]);
    if (!shot->problem.stated[STATE_LENS]) write_sensitivity(writer, lens, shot, UNKNOWN_LENS);
    Fact *height = write_number(writer, block, "height", "height of the lens above the flat ground",
                                FACT_PLACE, camera->height_mm);
    write_sensitivity(writer, height, shot, UNKNOWN_HEIGHT);
    Fact *distance = write_number(writer, block, "distance", "distance, lens to mark, level", FACT_PLACE,
                                  camera->distance_mm);
    write_sensitivity(writer, distance, shot, UNKNOWN_DISTANCE);
    Fact *tilt = write_way(writer, block, "tilt", NULL, FACT_ANGLE, camera->tilt_rad, &WAY_TILT);
    write_sensitivity(writer, tilt, shot, UNKNOWN_TILT);
}

void facts_of_head(Writer *writer) {
    const Plan *plan = writer->plan;
    FactBlock *scene = facts_block(writer->facts, "scene", writer->facts->scene, "");
    write_text(writer, scene, "title", NULL, writer->facts->title);
    if (writer->facts->book && writer->facts->book[0])
        write_text(writer, scene, "book", NULL, writer->facts->book);
    write_build(writer, scene);
    if (!has_shots(plan)) {
        write_shot(writer, scene, &plan->shots[0]);
        return;
    }
    for (size_t i = 0; i < plan->shot_count; i++)
        write_shot(writer, facts_block(writer->facts, "shot", plan->shots[i].name, plan->shots[i].name),
                   &plan->shots[i]);
}
