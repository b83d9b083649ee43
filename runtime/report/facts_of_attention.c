/* What to mind before anything is built: warnings, what was assumed, what does not quite agree, what would do
 * better. */
#include "base/text.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay ACCEPTED = {" (accepted)", "", " (not accepted)"};

/* One warning may come twice for one thing: a key stands once. */
static const char *key_of_warning(Writer *writer, size_t index) {
    const PlanWarning *all = writer->plan->warnings, *warning = &all[index];
    size_t before = 0;
    for (size_t i = 0; i < index; i++)
        before += text_equal(all[i].word, warning->word) && text_equal(all[i].thing, warning->thing);
    if (before == 0) return arena_format(writer->arena, "%s %s", warning->thing, warning->word);
    return arena_format(writer->arena, "%s %s %zu", warning->thing, warning->word, before + 1);
}

static void write_warnings(Writer *writer, FactBlock *block) {
    const Plan *plan = writer->plan;
    if (plan->warning_count == 0) write_text(writer, block, "warnings", NULL, "none");
    for (size_t i = 0; i < plan->warning_count; i++) {
        const PlanWarning *warning = &plan->warnings[i];
        Fact *fact = fact_new(writer->facts, block, key_of_warning(writer, i), NULL);
        fact_part(writer->facts, fact,
                  (FactPart){.name = "message", .kind = FACT_TEXT, .text = warning->message});
        fact_part(
            writer->facts, fact,
            (FactPart){.name = "accepted", .kind = FACT_YES, .number = warning->accepted, .way = &ACCEPTED});
    }
}

static void write_assumed_one(Writer *writer, FactBlock *block, const PlanShot *shot, Unknown unknown) {
    const char *lead = lead_name(writer->plan, shot);
    const char *key = NULL, *text = NULL;
    switch (unknown) {
    case UNKNOWN_LENS:
        key = "assumed lens";
        text = "in the middle of what is allowed; distance and every covering size hang on it";
        break;
    case UNKNOWN_HEIGHT:
        key = "assumed height";
        text =
            arena_format(writer->arena,
                         "the lens at the %s's eyes, or as near to them as is allowed; tilt, horizon and the "
                         "ground's front hang on it",
                         lead);
        break;
    case UNKNOWN_TILT:
        key = "assumed tilt";
        text = "level; the horizon and the ground's front hang on it";
        break;
    case UNKNOWN_ACROSS:
        key = "assumed across";
        text = arena_format(
            writer->arena,
            "the lens straight in front of the mark, the %s in the middle of the picture; left and right of "
            "everything hang on it",
            lead);
        break;
    case UNKNOWN_DISTANCE:
    case UNKNOWN_CROP_UP:
    case UNKNOWN_COUNT:
        return;
    }
    write_text(writer, block, name_in_shot(writer, key, shot), NULL, text);
}

static void write_assumed(Writer *writer, FactBlock *block, const PlanShot *shot) {
    for (int unknown = 0; unknown < UNKNOWN_COUNT; unknown++)
        if (shot->solution.assumed[unknown]) write_assumed_one(writer, block, shot, (Unknown)unknown);
    const Scene *scene = writer->plan->scene;
    const Thing *lead = &scene->things[shot->lead];
    if (!scene->slots[lead->slot[FIELD_EYES]].stated)
        write_text(writer, block, name_in_shot(writer, "assumed eyes", shot), NULL,
                   arena_format(writer->arena, "the %s's eyes at 0.9 of its height; the focus hangs on them",
                                lead->name));
    if (!scene->slots[shot->shot->drawing_wide].stated)
        write_text(writer, block, name_in_shot(writer, "assumed drawing", shot), NULL,
                   "drawn at the size of the printed page");
    if (shot->solution.others_used > 0)
        write_text(writer, block, name_in_shot(writer, "settled by others", shot), NULL,
                   "the camera is settled by the other puppets' drawn feet and heights too");
}

static const char *statement_words(const Writer *writer, const PlanShot *shot, Statement statement) {
    const char *lead = lead_name(writer->plan, shot);
    switch (statement) {
    case STATE_HORIZON:
        return "horizon";
    case STATE_FRAME:
        return "frame";
    case STATE_FOOT:
        return arena_format(writer->arena, "%s's foot", lead);
    case STATE_TALL:
        return arena_format(writer->arena, "%s's height", lead);
    default:
        return NULL;
    }
}

/* Statements read off paper yield; what is over half of what may be missed is said (rule 14). */
static void write_missed(Writer *writer, FactBlock *block, const PlanShot *shot) {
    for (int s = STATE_HORIZON; s < STATEMENT_COUNT; s++) {
        double off = fabs(shot->solution.residual_mm[s]);
        if (s == STATE_FOOT) off = hypot(off, shot->solution.residual_x_mm);
        if (!shot->problem.stated[s] || off <= shot->problem.agree_mm / 2) continue;
        const char *words = statement_words(writer, shot, (Statement)s);
        Fact *fact =
            fact_new(writer->facts, block,
                     name_in_shot(writer, arena_format(writer->arena, "missed %s", words), shot), NULL);
        FactPart part = drawn_part(shot, "off", off);
        part.after = " on the drawing from what is stated";
        if (s == STATE_FRAME)
            part = (FactPart){
                .name = "off", .kind = FACT_SHARE, .number = off / 100, .after = " from what is stated"};
        fact_part(writer->facts, fact, part);
    }
}

/* How wide the page's frame is on a sensor, at most (rule 4). */
static double fitted_mm(const Picture *picture, double sensor_wide_mm, double sensor_tall_mm) {
    return fmin(sensor_wide_mm, sensor_tall_mm * picture->frame_wide_mm / picture->frame_tall_mm);
}

/* A body that is turned makes more of its sensor: said from a tenth on (rule 4). */
static void write_turning(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const Picture *picture = &shot->picture;
    const double as_held = fitted_mm(picture, picture->sensor_wide_mm, picture->sensor_tall_mm);
    const double turned = fitted_mm(picture, picture->sensor_tall_mm, picture->sensor_wide_mm);
    if (turned <= as_held * 1.1) return;
    Fact *fact = fact_new(writer->facts, block, name_in_shot(writer, "body", shot), NULL);
    fact_part(
        writer->facts, fact,
        (FactPart){.kind = FACT_SHARE,
                   .number = turned / as_held - 1,
                   .before = shot->shot->upright
                                 ? "with its long side level, the picture would be larger on the sensor by "
                                 : "held upright, the picture would be larger on the sensor by "});
}

static void write_close(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const Camera *camera = &shot->cameras[0].camera;
    if (shot->solution.steep_twin)
        write_text(writer, block, name_in_shot(writer, "second camera", shot), NULL,
                   "a steeper one, from nearer, would draw the same; the flatter one is taken");
    if (camera->image_mm / camera->object_mm > 0.25)
        write_text(writer, block, name_in_shot(writer, "close focus", shot), NULL,
                   "nearer than most lenses focus: a macro lens or an extension tube is needed");
}

void facts_of_attention(Writer *writer) {
    const Plan *plan = writer->plan;
    FactBlock *block = facts_block(writer->facts, "attention", "", "");
    write_warnings(writer, block);
    for (size_t i = 0; i < plan->shot_count; i++) {
        write_assumed(writer, block, &plan->shots[i]);
        write_missed(writer, block, &plan->shots[i]);
        write_close(writer, block, &plan->shots[i]);
        write_turning(writer, block, &plan->shots[i]);
    }
}
