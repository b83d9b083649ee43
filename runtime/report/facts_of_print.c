/* How the picture prints: its place on the pages, pixels an inch, and what lies on the drawing besides what
 * is drawn: bleed, safe areas, gutter, text, faces (docs/geometry.md, rules 41 and 45 to 47). */
#include "base/text.h"
#include "plan/plan_face.h"
#include "plan/seen.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_FROM_LEFT = {" from the left trim edge", " off the left trim edge",
                                      "at the left trim edge"};
static const FactWay WAY_FROM_LOW = {" up", " below the lower trim edge", "at the lower trim edge"};

static void write_pair(Writer *writer, Fact *fact, double wide_mm, double tall_mm) {
    fact_part(
        writer->facts, fact,
        (FactPart){.name = "wide", .kind = FACT_SIZE, .number = wide_mm, .after = " x ", .joined = true});
    fact_part(writer->facts, fact, (FactPart){.name = "tall", .kind = FACT_SIZE, .number = tall_mm});
}

static void write_size_on_paper(Writer *writer, FactBlock *block, const char *key, const char *label,
                                double wide_mm, double tall_mm) {
    write_pair(writer, fact_new(writer->facts, block, key, label), wide_mm, tall_mm);
}

static bool fills_the_pages(const PageAreas *areas) {
    return page_area_within(areas->pages, areas->picture);
}

static void write_pages(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const PageAreas *areas = &shot->areas;
    const Picture *picture = &shot->picture;
    const bool spread = areas->page_count == 2;
    write_size_on_paper(writer, block, "trim", spread ? "pages, trimmed" : "page, trimmed",
                        (double)areas->page_count * areas->page_wide_mm, areas->page_tall_mm);
    if (!fills_the_pages(areas)) {
        Fact *fact = fact_new(writer->facts, block, "picture",
                              spread ? "picture on the pages" : "picture on the page");
        write_pair(writer, fact, picture->trim_wide_mm, picture->trim_tall_mm);
        fact_part(writer->facts, fact,
                  (FactPart){.name = "left",
                             .kind = FACT_SIZE,
                             .number = areas->picture_left_mm,
                             .before = ", ",
                             .way = &WAY_FROM_LEFT});
        fact_part(writer->facts, fact,
                  (FactPart){.name = "low",
                             .kind = FACT_SIZE,
                             .number = areas->picture_low_mm,
                             .before = ", ",
                             .way = &WAY_FROM_LOW});
    }
    write_size_on_paper(writer, block, "frame_on_paper",
                        areas->bleeds ? "frame on paper, with bleed" : "frame on paper, without bleed",
                        picture->frame_wide_mm, picture->frame_tall_mm);
}

/* --- pixels
 * ------------------------------------------------------------------------------------------------- */

static const SeenSlack *slack_of(const Plan *plan, int shot) {
    for (size_t i = 0; plan->seen && i < plan->seen->count; i++) {
        const SeenCamera *seen = &plan->seen->cameras[i];
        if (seen->shot == shot && seen->camera == 0 && seen->slack.known) return &seen->slack;
    }
    return NULL;
}

/* Shot as wide as the set allows, and cropped to the planned frame. */
static void write_pixels_of_slack(Writer *writer, FactBlock *block, int shot, double ppi) {
    const SeenSlack *slack = slack_of(writer->plan, shot);
    if (!slack || !(slack->wider > 0)) return;
    Fact *fact = fact_new(writer->facts, block, "pixels_an_inch_at_widest",
                          "when taken as wide as the set allows and cropped");
    fact_part(writer->facts, fact,
              (FactPart){.name = "has",
                         .kind = FACT_NUMBER,
                         .number = number_round(ppi / (1 + 2 * slack->wider), 1),
                         .after = slack->wider_at_least ? ", or fewer: the set goes on" : NULL});
}

static void write_pixels(Writer *writer, FactBlock *block, int index) {
    const Plan *plan = writer->plan;
    const PlanShot *shot = &plan->shots[index];
    const double ppi = plan_pixels_an_inch(plan, shot, shot->body);
    if (isnan(ppi)) return;
    const double wanted = slot_number(plan, shot->shot->print);
    const bool asked = plan->scene->slots[shot->shot->print].stated;
    Fact *fact = fact_new(writer->facts, block, "pixels_an_inch", "pixels an inch in print");
    fact_part(writer->facts, fact,
              (FactPart){.name = "has", .kind = FACT_NUMBER, .number = number_round(ppi, 1)});
    if (!isnan(wanted))
        fact_part(writer->facts, fact,
                  (FactPart){.name = "wanted",
                             .kind = FACT_NUMBER,
                             .number = wanted,
                             .before = asked ? "; the book asks for " : "; usual is "});
    write_pixels_of_slack(writer, block, index, ppi);
    if (isnan(wanted)) return;
    const double larger = ppi / wanted;
    Fact *largest = fact_new(
        writer->facts, block, "largest",
        arena_format(writer->arena, "largest frame on paper at %s", number_short(writer->arena, wanted, 1)));
    fact_part(writer->facts, largest,
              (FactPart){.name = "wide",
                         .kind = FACT_PLACE,
                         .number = shot->picture.frame_wide_mm * larger,
                         .after = " x ",
                         .joined = true});
    fact_part(writer->facts, largest,
              (FactPart){.name = "tall", .kind = FACT_PLACE, .number = shot->picture.frame_tall_mm * larger});
    fact_part(writer->facts, largest,
              (FactPart){.name = "share",
                         .kind = FACT_SHARE,
                         .number = larger,
                         .before = "; ",
                         .after = " of what is planned"});
}

/* --- areas on the drawing
 * ----------------------------------------------------------------------------------- */

static void write_span(Writer *writer, Fact *fact, const PlanShot *shot, const char *names[2], double from_mm,
                       double to_mm, const char *before, const char *after) {
    FactPart from = drawn_part(shot, names[0], from_mm), to = drawn_part(shot, names[1], to_mm);
    from.before = before;
    from.after = " to ";
    to.after = after;
    fact_part(writer->facts, fact, from);
    fact_part(writer->facts, fact, to);
}

static void write_area(Writer *writer, FactBlock *block, const PlanShot *shot, const char *key,
                       const char *label, PageArea area) {
    Fact *fact = fact_new(writer->facts, block, key, label);
    write_span(writer, fact, shot, (const char *[2]){"left", "right"}, area.left_mm, area.right_mm, NULL,
               " across");
    write_span(writer, fact, shot, (const char *[2]){"low", "high"}, area.low_mm, area.high_mm, ", ", " up");
}

static void write_bleed(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const PageAreas *areas = &shot->areas;
    if (!areas->bleeds) return;
    const double across = -areas->frame.left_mm, up = -areas->frame.low_mm;
    const bool all_round = across > 0 && up > 0;
    FactPart part = drawn_part(shot, "beyond", across > 0 ? across : up);
    part.after = all_round    ? " beyond its edges, all round"
                 : across > 0 ? " beyond its left and right edges"
                              : " beyond its lower and upper edges";
    fact_part(writer->facts, fact_new(writer->facts, block, "bleed_drawn", "bleed on the drawing"), part);
}

static void write_margins(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const PageAreas *areas = &shot->areas;
    for (size_t i = 0; i < areas->safe_count; i++) {
        const bool left = areas->safe[i].right_mm <= (areas->pages.left_mm + areas->pages.right_mm) / 2;
        const bool parted = areas->page_count == 2 && (areas->has_gutter || areas->safe_count == 2);
        if (page_area_within(areas->picture, areas->safe[i])) {
            write_text(writer, block, "safe", "safe area on the drawing", "all of it");
            continue;
        }
        write_area(writer, block, shot,
                   !parted ? "safe"
                   : left  ? "safe_left"
                           : "safe_right",
                   !parted ? "safe area on the drawing"
                   : left  ? "safe area on the drawing, left page"
                           : "safe area on the drawing, right page",
                   areas->safe[i]);
    }
    if (!areas->has_gutter) return;
    Fact *fact = fact_new(writer->facts, block, "gutter", "gutter on the drawing");
    write_span(writer, fact, shot, (const char *[2]){"left", "right"}, areas->gutter.left_mm,
               areas->gutter.right_mm, NULL, " across");
}

static void write_texts(Writer *writer, FactBlock *block, const PlanShot *shot) {
    const PageAreas *areas = &shot->areas;
    for (size_t i = 0; i < areas->text_count; i++)
        write_area(writer, block, shot, arena_format(writer->arena, "text %s", areas->texts[i].name),
                   arena_format(writer->arena, "text area %s, on the drawing", areas->texts[i].name),
                   areas->texts[i].area);
    for (size_t i = 0; i < areas->beside_count; i++)
        write_text(writer, block, arena_format(writer->arena, "text %s", areas->beside[i]),
                   arena_format(writer->arena, "text area %s, on the drawing", areas->beside[i]),
                   "off the picture");
}

/* --- faces
 * -------------------------------------------------------------------------------------------------- */

static const char *face_words(Writer *writer, const PlanShot *shot, const PlanFace *face) {
    const PageAreas *areas = &shot->areas;
    const char *text = face->text < 0
                           ? NULL
                           : arena_format(writer->arena, "under text area %s", areas->texts[face->text].name);
    const char *place = face->in_gutter   ? "in the gutter"
                        : !face->off_safe ? (areas->safe_count > 0 ? "in the safe area" : NULL)
                        : page_area_within(face->area, areas->picture) ? "not wholly in the safe area"
                                                                       : "cut by the picture's edge";
    if (place && text) return arena_format(writer->arena, "; %s, %s", place, text);
    return place || text ? arena_format(writer->arena, "; %s", place ? place : text) : NULL;
}

/* ` on page 8`, where it is numbered. */
static const char *page_words(Writer *writer, const PlanShot *shot, double middle_mm) {
    const int first = shot->shot->first_page;
    if (first == 0) return "";
    const bool right = shot->areas.page_count == 2 && middle_mm > shot->areas.page_wide_mm;
    return arena_format(writer->arena, ", on page %d", first + right);
}

static void write_face(Writer *writer, FactBlock *block, const PlanShot *shot, const PlanThing *puppet) {
    PlanFace face;
    const char *name = puppet->thing->name;
    const char *key = arena_format(writer->arena, "face %s", name);
    const char *label = arena_format(writer->arena, "face of %s on paper", name);
    if (!plan_face(puppet, shot, &face) || !face.in_picture) {
        write_text(writer, block, key, label, "not in the picture");
        return;
    }
    const PageArea paper = page_area_on_paper(&shot->areas, face.area);
    const double middle_mm = (paper.left_mm + paper.right_mm) / 2;
    Fact *fact = fact_new(writer->facts, block, key, label);
    fact_part(writer->facts, fact,
              (FactPart){.name = "middle_from_left",
                         .kind = FACT_PLACE,
                         .number = middle_mm,
                         .before = "its middle ",
                         .way = &WAY_FROM_LEFT});
    fact_part(writer->facts, fact,
              (FactPart){.name = "middle_up",
                         .kind = FACT_PLACE,
                         .number = (paper.low_mm + paper.high_mm) / 2,
                         .before = ", ",
                         .after = page_words(writer, shot, middle_mm),
                         .way = &WAY_FROM_LOW});
    fact_part(writer->facts, fact,
              (FactPart){.name = "tall",
                         .kind = FACT_PLACE,
                         .number = paper.high_mm - paper.low_mm,
                         .before = "; ",
                         .after = " tall"});
    const char *words = face_words(writer, shot, &face);
    if (words) fact_part(writer->facts, fact, (FactPart){.name = "lies", .kind = FACT_TEXT, .text = words});
}

static void write_faces(Writer *writer, FactBlock *block, size_t index) {
    const Plan *plan = writer->plan;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *thing = &plan->things[i];
        if (thing->thing->role == ROLE_PUPPET && in_shot(thing, index))
            write_face(writer, block, &plan->shots[index], thing);
    }
}

void facts_of_print(Writer *writer) {
    for (size_t i = 0; i < writer->plan->shot_count; i++) {
        const PlanShot *shot = &writer->plan->shots[i];
        FactBlock *block = facts_block(writer->facts, "print", shot->name, shot->name);
        write_pages(writer, block, shot);
        write_pixels(writer, block, (int)i);
        write_bleed(writer, block, shot);
        write_margins(writer, block, shot);
        write_texts(writer, block, shot);
        write_faces(writer, block, i);
    }
}
