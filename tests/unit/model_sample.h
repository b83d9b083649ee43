/* A plan by hand for the tests of models: a river bank with everything that a set can have, seen by the 85 mm
 * camera of the fog scene (docs/language.md) and by a nearer one. */
#ifndef GROUNDROW_MODEL_SAMPLE_H
#define GROUNDROW_MODEL_SAMPLE_H

#include "optics/lens.h"
#include "plan_sample.h"
#include "spread.h"

#include <math.h>

enum {
    OTTER,
    HERON,
    VOLE,
    FERRY,
    POSTS,
    BUOY,
    RAMP,
    STEPS,
    REED,
    HOUSE,
    WINDOW,
    DOOR,
    FAR_BANK,
    BACKDROP,
    GROUND,
    HILL,
    RIVER,
    BASE,
    SAMPLE_THINGS
};

typedef struct Sample {
    Arena *arena;
    Scene scene;
    Plan plan;
    Thing things[SAMPLE_THINGS];
    PlanThing planned[SAMPLE_THINGS];
    SampleSlots slots;
    Shot shot;
    PlanShot planned_shot;
    PlanCamera cameras[2];
    WantedFile wanted;
    FoundFile found;
} Sample;

static void sample_thing(Sample *s, int index, ThingRole role, ThingShape shape, const char *name,
                         PlanThing plan) {
    Thing *thing = &s->things[index];
    *thing = sample_thing_new(&s->slots, role, shape, name);
    thing->cast = role == ROLE_PUPPET ? index : -1;
    thing->lead = index == OTTER;
    s->planned[index] = sample_placed(thing, plan);
}

static void sample_opening(Sample *s, int index, const char *name, double wide, double tall, double across,
                           double sill) {
    sample_thing(s, index, ROLE_OPENING, SHAPE_NONE, name, (PlanThing){.wide_mm = wide, .tall_mm = tall});
    s->things[index].parent = HOUSE;
    sample_know(&s->slots, s->things[index].slot[FIELD_ACROSS], across);
    sample_know(&s->slots, s->things[index].slot[FIELD_UP], sill);
}

static Camera sample_camera(double focal, double across, double distance, double height, double tilt) {
    Camera camera = {.across_mm = across,
                     .distance_mm = distance,
                     .height_mm = height,
                     .tilt_rad = tilt,
                     .focal_mm = focal};
    camera_focus(&camera, (Point3){0, 0, 247.65});
    return camera;
}

static void sample_cameras(Sample *s) {
    s->shot = (Shot){.first_page = 8,
                     .last_page = 9,
                     .lead = OTTER,
                     .body = -1,
                     .lens_kind = -1,
                     .focus = -1,
                     .image = -1,
                     .drawing_wide = sample_slot(&s->slots, 420, false),
                     .print = sample_slot(&s->slots, NAN, false)};
    s->cameras[0] = (PlanCamera){.name = "planned",
                                 .id = "planned",
                                 .camera = sample_camera(85, 91.2, 3126.9, 254, RADIANS(2.026)),
                                 .lens_kind = -1};
    s->cameras[1] = (PlanCamera){.name = "60 mm, 9 in up",
                                 .id = "60-mm-9-in-up",
                                 .camera = sample_camera(60, 91.4, 2210, 228.6, RADIANS(2.3)),
                                 .lens_kind = -1};
    s->planned_shot = (PlanShot){.shot = &s->shot,
                                 .body = -1,
                                 .name = "",
                                 .picture = spread_picture(),
                                 .lead = OTTER,
                                 .focus = {0, 0, 247.65},
                                 .stop = 8,
                                 .spare = 0.06,
                                 .cameras = s->cameras,
                                 .camera_count = 2};
    s->planned_shot.solution.status = CAMERA_SOLVED;
    s->planned_shot.solution.camera = s->cameras[0].camera;
    s->planned_shot.problem.agree_mm = 1;
}

static void sample_things(Sample *s) {
    const double in = MM_PER_INCH;
    sample_thing(s, OTTER, ROLE_PUPPET, SHAPE_FIGURE, "otter",
                 (PlanThing){.wide_mm = 5 * in, .tall_mm = 11 * in, .deep_mm = 4 * in, .eyes_mm = 9.75 * in});
    sample_thing(s, HERON, ROLE_PUPPET, SHAPE_FIGURE, "heron",
                 (PlanThing){.at = {388.1, 426, 0},
                             .turn_rad = RADIANS(20),
                             .wide_mm = 5 * in,
                             .tall_mm = 13 * in,
                             .deep_mm = 7 * in,
                             .eyes_mm = 11.7 * in});
    sample_thing(s, VOLE, ROLE_PUPPET, SHAPE_FIGURE, "vole child",
                 (PlanThing){.at = {-310, -40, 0},
                             .turn_rad = RADIANS(-25),
                             .wide_mm = 4 * in,
                             .tall_mm = 5.5 * in,
                             .deep_mm = 5.5 * in,
                             .eyes_mm = 4.4 * in});
    s->things[VOLE].pose = "seated";
    sample_thing(
        s, FERRY, ROLE_PIECE, SHAPE_BOX, "ferry",
        (PlanThing){.at = {14 * in, -8 * in, 0}, .wide_mm = 20 * in, .tall_mm = 5 * in, .deep_mm = 9 * in});
    sample_thing(s, POSTS, ROLE_PIECE, SHAPE_POST, "mooring posts",
                 (PlanThing){.at = {-560, 180, 0},
                             .wide_mm = 19.05,
                             .deep_mm = 19.05,
                             .tall_mm = 260,
                             .row_count = 4,
                             .row_every_mm = 90});
    sample_thing(s, BUOY, ROLE_PIECE, SHAPE_CONE, "buoy",
                 (PlanThing){.at = {-120, -420, 0}, .wide_mm = 90, .deep_mm = 90, .tall_mm = 140});
    sample_thing(
        s, RAMP, ROLE_PIECE, SHAPE_WEDGE, "ramp",
        (PlanThing){
            .at = {620, 380, 0}, .turn_rad = RADIANS(35), .wide_mm = 160, .deep_mm = 240, .tall_mm = 90});
    sample_thing(
        s, STEPS, ROLE_PIECE, SHAPE_STEPS, "landing steps",
        (PlanThing){.at = {-640, 640, 0}, .wide_mm = 220, .deep_mm = 200, .tall_mm = 160, .steps = 4});
    sample_thing(s, REED, ROLE_PIECE, SHAPE_CUTOUT, "reed clump",
                 (PlanThing){.at = {-420, -260, 0}, .wide_mm = 180, .deep_mm = 6, .tall_mm = 150});
    sample_thing(
        s, HOUSE, ROLE_FLAT, SHAPE_PANEL, "boat house",
        (PlanThing){
            .at = {-330, 820, 0}, .turn_rad = RADIANS(-18), .wide_mm = 520, .tall_mm = 330, .deep_mm = 12.7});
    sample_opening(s, WINDOW, "window", 130, 110, 140, 140);
    sample_opening(s, DOOR, "door", 110, 220, -120, 0);
    sample_thing(s, FAR_BANK, ROLE_FLAT, SHAPE_PANEL, "far bank",
                 (PlanThing){.at = {3.594 * in, 46 * in, 0},
                             .wide_mm = 87.125 * in,
                             .tall_mm = 6.571 * in,
                             .deep_mm = 2 * in});
    sample_thing(
        s, BACKDROP, ROLE_BACKDROP, SHAPE_PANEL, "backdrop",
        (PlanThing){
            .at = {3.59 * in, 52 * in, 0}, .wide_mm = 91 * in, .tall_mm = 21.5 * in, .deep_mm = 12.7});
    sample_thing(s, GROUND, ROLE_GROUND, SHAPE_NONE, "ground", (PlanThing){.tall_mm = 50.8});
    sample_thing(s, HILL, ROLE_MOUND, SHAPE_NONE, "knoll",
                 (PlanThing){.at = {560, 760, 0}, .wide_mm = 520, .deep_mm = 420, .tall_mm = 110});
    sample_thing(s, RIVER, ROLE_HOLLOW, SHAPE_NONE, "river bed",
                 (PlanThing){.at = {60, -700, 0}, .wide_mm = 700, .deep_mm = 500, .tall_mm = 40});
    sample_thing(s, BASE, ROLE_BASE, SHAPE_NONE, "base", (PlanThing){.tall_mm = 18});
}

static void sample_levels(Sample *s) {
    const double in = MM_PER_INCH;
    Plan *plan = &s->plan;
    plan->ground_outline =
        (Trapezoid){-62.25 * in, 54 * in, -17.375 * in, 24.5 * in, -46.625 * in, 53.75 * in};
    plan->base_outline = (Trapezoid){-64.25 * in, 56 * in, -19 * in, 26.125 * in, -49.25 * in, 56.25 * in};
    plan->ground_thick_mm = 50.8;
    plan->base_thick_mm = 18.256;
    plan->table_tall_mm = 29 * in;
    for (int edge = 0; edge < EDGE_COUNT; edge++)
        plan->ground_asks[edge] = (PlanAsk){-1, -1, -1, 0, 0};
    plan->build_wide_mm = 105.5 * in;
    plan->build_deep_mm = 120.25 * in;
    plan->build_tall_mm = 21.5 * in + 50.8 + 18.256;
}

static Sample *sample_new(Arena *arena) {
    Sample *s = ARENA_NEW(arena, Sample);
    s->arena = arena;
    sample_things(s);
    sample_cameras(s);
    sample_levels(s);
    s->scene = (Scene){.arena = arena,
                       .name = "08-fog",
                       .title = "Fog on the river",
                       .book_title = "The Lantern Ferry",
                       .lengths = STYLE_FEET_INCHES,
                       .things = s->things,
                       .thing_count = SAMPLE_THINGS,
                       .shots = &s->shot,
                       .shot_count = 1};
    s->plan.scene = &s->scene;
    s->plan.things = s->planned;
    s->plan.shots = &s->planned_shot;
    s->plan.shot_count = 1;
    sample_into(&s->slots, &s->scene, &s->plan);
    s->plan.ground = GROUND;
    s->plan.base = BASE;
    return s;
}

#endif
