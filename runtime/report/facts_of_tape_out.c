/* Where to tape: everything from the front edge and left or right of the centre line, and by two tapes from
 * the front corners (docs/geometry.md, rule 26). */
#include "base/text.h"
#include "plan/shape.h"
#include "report/facts_of_plan.h"

#include <math.h>

static const FactWay WAY_TURN = {" to the left", " to the right", "square to the picture"};

static double between(Point3 a, Point3 b) {
    return hypot(a.across_mm - b.across_mm, a.back_mm - b.back_mm);
}

typedef struct Corners {
    Point3 front_left, front_right, rear_left, rear_right;
} Corners;

static Corners corners_of(const Trapezoid *outline) {
    return (Corners){.front_left = {outline->front_left_mm, outline->front_mm, 0},
                     .front_right = {outline->front_right_mm, outline->front_mm, 0},
                     .rear_left = {outline->rear_left_mm, outline->rear_mm, 0},
                     .rear_right = {outline->rear_right_mm, outline->rear_mm, 0}};
}

static void write_edges(Writer *writer, FactBlock *block, const Corners *at) {
    write_number(writer, block, "front", "front edge", FACT_PLACE, between(at->front_left, at->front_right));
    write_number(writer, block, "rear", "rear edge", FACT_PLACE, between(at->rear_left, at->rear_right));
    write_number(writer, block, "left_side", "left side, front to rear corner", FACT_PLACE,
                 between(at->front_left, at->rear_left));
    write_number(writer, block, "right_side", "right side, front to rear corner", FACT_PLACE,
                 between(at->front_right, at->rear_right));
    write_number(writer, block, "left_diagonal", "diagonal, left front to right rear corner", FACT_PLACE,
                 between(at->front_left, at->rear_right));
    write_number(writer, block, "right_diagonal", "diagonal, right front to left rear corner", FACT_PLACE,
                 between(at->front_right, at->rear_left));
}

static void write_level(Writer *writer, const char *name, const Trapezoid *outline) {
    FactBlock *block = facts_block(writer->facts, "tape-out", name, "");
    const Corners at = corners_of(outline);
    write_place(writer, block, "front_left", "left front corner", at.front_left);
    write_place(writer, block, "front_right", "right front corner", at.front_right);
    write_place(writer, block, "rear_left", "left rear corner", at.rear_left);
    write_place(writer, block, "rear_right", "right rear corner", at.rear_right);
    write_edges(writer, block, &at);
}

/* The frame's edges at one depth, on the flat ground or on what the mark stands on; nothing where that depth
 * is not in front of the lens. */
static void write_frame_edges(Writer *writer, FactBlock *block, const PlanShot *shot, const char *where,
                              double back_mm, double up_mm) {
    const Camera *camera = &shot->cameras[0].camera;
    if (!(camera_depth_mm(camera, (Point3){.back_mm = back_mm, .up_mm = up_mm}) > 1)) return;
    for (int side = -1; side <= 1; side += 2) {
        const char *word = side < 0 ? "left" : "right";
        const double across = camera_edge_mm(camera, &shot->picture, side, 0, back_mm, up_mm);
        Fact *edge = write_way(writer, block, arena_format(writer->arena, "%s_%s", where, word),
                               arena_format(writer->arena, "%s edge at the %s", word, where), FACT_PLACE,
                               across - writer->datum.centre_mm, &WAY_CENTRE);
        write_held_at(writer, edge, ", ", up_mm);
    }
}

static void write_frame(Writer *writer, const PlanShot *shot) {
    const Plan *plan = writer->plan;
    FactBlock *block =
        facts_block(writer->facts, "tape-out", name_in_shot(writer, "frame", shot), shot->name);
    write_frame_edges(writer, block, shot, "front", plan->ground_outline.front_mm, 0);
    write_frame_edges(writer, block, shot, "mark", shot->mark.back_mm, shot->mark.up_mm);
    write_frame_edges(writer, block, shot, "rear", plan->ground_outline.rear_mm, 0);
}

static void write_tapes(Writer *writer, FactBlock *block, Point3 place) {
    const Corners at = corners_of(&writer->datum.outline);
    Fact *fact = fact_new(writer->facts, block, "two_tapes", "by two tapes");
    fact_part(writer->facts, fact,
              (FactPart){.name = "left",
                         .kind = FACT_PLACE,
                         .number = between(place, at.front_left),
                         .after = " from the left front corner, "});
    fact_part(writer->facts, fact,
              (FactPart){.name = "right",
                         .kind = FACT_PLACE,
                         .number = between(place, at.front_right),
                         .after = " from the right"});
}

/* Corners that are taped rather than the middle: both ends of a front face. */
static void write_front_corners(Writer *writer, FactBlock *block, const PlanThing *thing) {
    NamedPoint points[SHAPE_POINTS_MOST];
    const size_t count = shape_points(thing, points);
    for (size_t i = 0; i < count; i++) {
        const char *name = points[i].name;
        const bool left = text_equal(name, "foot left") || text_equal(name, "front left foot");
        const bool right = text_equal(name, "foot right") || text_equal(name, "front right foot");
        if (left) write_place(writer, block, "front_left", "left end of its front", points[i].at);
        if (right) write_place(writer, block, "front_right", "right end of its front", points[i].at);
    }
}

static void write_row(Writer *writer, FactBlock *block, const PlanThing *thing) {
    if (thing->row_count < 2) return;
    Point3 last = thing->at;
    last.across_mm += (thing->row_count - 1) * thing->row_every_mm;
    write_place(writer, block, "last", "last of the row", last);
}

static void write_turn_and_foot(Writer *writer, FactBlock *block, const PlanThing *thing) {
    if (thing->turn_rad != 0) {
        Fact *fact = fact_new(writer->facts, block, "turn", "turned");
        fact_part(
            writer->facts, fact,
            (FactPart){
                .kind = FACT_ANGLE, .number = thing->turn_rad, .before = "its front ", .way = &WAY_TURN});
    }
    const bool earth = thing->thing->role == ROLE_MOUND || thing->thing->role == ROLE_HOLLOW;
    if (thing->foot_mm != 0 && !earth)
        write_way(writer, block, "foot", "its foot", FACT_PLACE, thing->foot_mm, &WAY_UP);
}

static void write_mark(Writer *writer, const PlanShot *shot) {
    const PlanThing *lead = &writer->plan->things[shot->lead];
    FactBlock *block = facts_block(writer->facts, "tape-out", name_in_shot(writer, "mark", shot), shot->name);
    write_text(writer, block, "here", "here stands", lead->thing->name);
    write_place(writer, block, "place", NULL, shot->mark);
    write_tapes(writer, block, shot->mark);
    write_turn_and_foot(writer, block, lead);
}

static void write_thing(Writer *writer, const PlanThing *thing) {
    const Plan *plan = writer->plan;
    const int in = thing->thing->shot;
    const PlanShot *shot = in >= 0 ? &plan->shots[in] : NULL;
    const char *name = shot ? name_in_shot(writer, thing->thing->name, shot) : thing->thing->name;
    FactBlock *block = facts_block(writer->facts, "tape-out", name, shot ? shot->name : "");
    const bool panel = thing->thing->shape == SHAPE_PANEL;
    write_place(writer, block, "place",
                thing->row_count > 1 ? "first of the row"
                : panel              ? "middle of its front"
                                     : "middle",
                thing->at);
    write_tapes(writer, block, thing->at);
    write_front_corners(writer, block, thing);
    write_row(writer, block, thing);
    write_turn_and_foot(writer, block, thing);
}

void facts_of_tape_out(Writer *writer) {
    const Plan *plan = writer->plan;
    write_text(writer, facts_block(writer->facts, "tape-out", "", ""), "from", "counted from",
               arena_format(
                   writer->arena,
                   "the %s's front edge and its front corners, level%s; right and left from the centre line, "
                   "plumb under the lens's axis",
                   writer->datum.owner,
                   plan->base >= 0 ? ", so plumb its corners up to the ground's surface" : ""));
    if (plan->base >= 0) write_level(writer, "base", &plan->base_outline);
    write_level(writer, "ground", &plan->ground_outline);
    for (size_t i = 0; i < plan->shot_count; i++) {
        write_mark(writer, &plan->shots[i]);
        write_frame(writer, &plan->shots[i]);
    }
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *thing = &plan->things[i];
        const ThingRole role = thing->thing->role;
        const bool at_mark = thing->thing->lead && thing->thing->shape == SHAPE_FIGURE; /* said of the mark */
        if (!at_mark && (stands_on_set(thing) || role == ROLE_MOUND || role == ROLE_HOLLOW))
            write_thing(writer, thing);
    }
}
