/* A plan by hand for the tests of the report: a fox at the mark, a crate, a flat with a window, ground and
 * base. Its numbers are chosen so that tapes and diagonals come out whole (3-4-5 and its kin) and the level
 * camera projects by similar triangles. */
#ifndef GROUNDROW_REPORT_SAMPLE_H
#define GROUNDROW_REPORT_SAMPLE_H

#include "optics/lens.h"
#include "plan_sample.h"

#include <math.h>

enum { FOX, CRATE, WALL, WINDOW, GROUND, BASE, SAMPLE_THINGS };

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
    Body bodies[2];
    LensKind lens;
    Stock stock;
    PlanWarning warning;
    PlanCover cover;
} Sample;

static void sample_thing(Sample *s, int index, ThingRole role, ThingShape shape, const char *name,
                         PlanThing plan) {
    Thing *thing = &s->things[index];
    *thing = sample_thing_new(&s->slots, role, shape, name);
    thing->lead = index == FOX;
    s->planned[index] = sample_placed(thing, plan);
}

/* A level camera with its lens 3000 mm in front of the mark, 250 mm up and 100 mm to the right of it; image
 * distance 90 mm, so that with k = 10 one drawn mm is depth / 900 real mm. */
static Camera sample_camera(void) {
    const double image = 90, focal = 1 / (1 / 3000.0 + 1 / image);
    return (Camera){.across_mm = 100,
                    .distance_mm = 3000,
                    .height_mm = 250,
                    .focal_mm = focal,
                    .object_mm = 3000,
                    .image_mm = image};
}

/* Drawn at print size, 360 x 240 mm, without bleed, on all of 36 x 24 mm. */
static Picture sample_picture(void) {
    const PictureWishes wishes = {.page_wide_mm = 360,
                                  .page_tall_mm = 240,
                                  .pages = 1,
                                  .sensor_wide_mm = 36,
                                  .sensor_tall_mm = 24,
                                  .crop_uses = 1};
    return picture_new(&wishes);
}

static void sample_book(Sample *s) {
    s->bodies[0] = (Body){.name = "hired",
                          .sensor_wide = sample_slot(&s->slots, 36, true),
                          .sensor_tall = sample_slot(&s->slots, 24, true),
                          .pixels_wide = sample_slot(&s->slots, 7200, true),
                          .pixels_tall = sample_slot(&s->slots, 4800, true)};
    s->bodies[1] = (Body){.name = "small",
                          .sensor_wide = sample_slot(&s->slots, 22.3, true),
                          .sensor_tall = sample_slot(&s->slots, 14.9, true),
                          .pixels_wide = sample_slot(&s->slots, NAN, false),
                          .pixels_tall = sample_slot(&s->slots, NAN, false)};
    s->lens = (LensKind){.name = "portrait",
                         .focal = sample_slot(&s->slots, 87, true),
                         .nearest = sample_slot(&s->slots, NAN, false)};
    s->stock = (Stock){.name = "foam"};
}

static void sample_shot(Sample *s) {
    const int none = sample_slot(&s->slots, NAN, false);
    s->shot = (Shot){.first_page = 8,
                     .last_page = 9,
                     .lead = FOX,
                     .body = 0,
                     .lens_kind = 0,
                     .focus = -1,
                     .image = -1,
                     .drawing_wide = sample_slot(&s->slots, 360, true),
                     .print = none};
    s->cameras[0] =
        (PlanCamera){.name = "planned", .id = "planned", .camera = sample_camera(), .lens_kind = 0};
    s->cameras[1] =
        (PlanCamera){.name = "60 mm lens, 9 in up", .id = "a", .camera = sample_camera(), .lens_kind = -1};
    s->cameras[1].camera.across_mm = 190;
    s->planned_shot = (PlanShot){.shot = &s->shot,
                                 .name = "",
                                 .picture = sample_picture(),
                                 .lead = FOX,
                                 .focus = {0, 0, 250},
                                 .stop = 8,
                                 .cameras = s->cameras,
                                 .camera_count = 2};
    const PageWishes pages = {.page_wide_mm = 180,
                              .page_tall_mm = 240,
                              .page_count = 2,
                              .fold = FOLD_IN_MIDDLE,
                              .safe_mm = 10,
                              .gutter_mm = 15};
    s->planned_shot.areas = page_areas_new(s->arena, &pages, &s->planned_shot.picture);
    s->planned_shot.solution.status = CAMERA_SOLVED;
    s->planned_shot.solution.camera = sample_camera();
    s->planned_shot.solution.per_mm[UNKNOWN_DISTANCE][STATE_TALL] = -33;
    s->planned_shot.problem.agree_mm = 1;
    s->planned_shot.problem.stated[STATE_LENS] = true;
    s->planned_shot.problem.stated[STATE_TALL] = true;
}

static void sample_levels(Sample *s) {
    /* base: 3000 deep; left side over 1250 (3250 long), right side over 1600 (3400 long) */
    s->plan.base_outline = (Trapezoid){-1500, 1500, -400, 600, -1650, 2200};
    s->plan.ground_outline = (Trapezoid){-1450, 1450, -350, 550, -1550, 2100};
    s->plan.ground_thick_mm = 50;
    s->plan.base_thick_mm = 18;
    s->plan.table_tall_mm = 732;
    for (int edge = 0; edge < EDGE_COUNT; edge++)
        s->plan.ground_asks[edge] = (PlanAsk){-1, -1, -1, 0, 0};
    s->plan.ground_asks[EDGE_FRONT] = (PlanAsk){0, 1, -1, -1450, -1300};
    s->cover = (PlanCover){WALL, FIELD_WIDE, {0, 0, -1, 1778, 1651}};
    s->plan.covers = &s->cover;
    s->plan.cover_count = 1;
}

static Sample *sample_new(Arena *arena, LengthStyle lengths) {
    Sample *s = ARENA_NEW(arena, Sample);
    s->arena = arena;
    sample_thing(s, FOX, ROLE_PUPPET, SHAPE_FIGURE, "fox",
                 (PlanThing){.wide_mm = 127, .tall_mm = 279.4, .deep_mm = 101.6, .eyes_mm = 250});
    sample_thing(s, CRATE, ROLE_PIECE, SHAPE_BOX, "crate",
                 (PlanThing){.at = {400, -1100, 0}, .wide_mm = 100, .tall_mm = 200, .deep_mm = 100});
    sample_thing(s, WALL, ROLE_FLAT, SHAPE_PANEL, "wall",
                 (PlanThing){.at = {100, 1000, 0}, .wide_mm = 1778, .tall_mm = 500, .deep_mm = 12.7});
    sample_thing(s, WINDOW, ROLE_OPENING, SHAPE_NONE, "window",
                 (PlanThing){.wide_mm = 203.2, .tall_mm = 254});
    sample_thing(s, GROUND, ROLE_GROUND, SHAPE_NONE, "ground", (PlanThing){.at = {0}});
    sample_thing(s, BASE, ROLE_BASE, SHAPE_NONE, "base", (PlanThing){.at = {0}});
    s->things[WINDOW].parent = WALL;
    sample_know(&s->slots, s->things[WINDOW].slot[FIELD_ACROSS], -100);
    sample_know(&s->slots, s->things[WINDOW].slot[FIELD_UP], 76.2);
    s->things[WALL].stock = 0;
    sample_book(s);
    sample_shot(s);
    sample_levels(s);
    s->warning = (PlanWarning){
        .word = "drawn-apart", .thing = "crate", .message = "`crate` is drawn 1 mm apart", .accepted = true};
    s->scene = (Scene){.arena = arena,
                       .name = "08-fog",
                       .title = "Fog on the river",
                       .book_title = "A book",
                       .lengths = lengths,
                       .bodies = s->bodies,
                       .body_count = 2,
                       .lenses = &s->lens,
                       .lens_count = 1,
                       .stocks = &s->stock,
                       .stock_count = 1,
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
    s->plan.warnings = &s->warning;
    s->plan.warning_count = 1;
    s->plan.build_wide_mm = 3850;
    s->plan.build_deep_mm = 3000;
    s->plan.build_tall_mm = 568;
    return s;
}

#endif
