/* Tables and room: the beam formula and plywood against published figures, areas and loads in closed form. */
#include "plan/room.h"
#include "plan/tables.h"
#include "shop/plan_to_parts.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

/* psi, psf: 1 psf is 47.88 Pa (published: Brassmein's tables); in4/ft in mm3 by 1 in4 = 416 231.4256 mm4. */
#define N_MM2_OF_PSI 0.00689475729
#define N_MM2_OF_PSF 47.88e-6
#define MM3_OF_IN4_FT (416231.4256 / 304.8)

/* Published, worked (Peurifoy and Oberlender, Formwork for Concrete Structures, p. 224): 3/4 in Plyform Class
 * I, 713 lb/sq ft over spans of 10.75 in, three and more of them, bends by w l^4 / (1743 E I) = 0.017 in with
 * E = 1,650,000 psi and I = 0.199 in4 a foot. In plain units 1743 stands for 1743 / 12 = 145.25 (per foot and
 * inches: 12 in a foot). */
Test(tables, plywood_bends_as_published) {
    const double bent = sag_mm(713 * N_MM2_OF_PSF, 10.75 * MM_PER_INCH, 1650000 * N_MM2_OF_PSI,
                               0.199 * MM3_OF_IN4_FT, 1743.0 / 12);
    cr_expect_float_eq(bent / MM_PER_INCH, 0.017, 0.0005);
    /* the span that bends by 1/16 in is 14.9 in, by l/360 is 13.1 in (same page) */
    const double sixteenth = sag_mm(713 * N_MM2_OF_PSF, 14.9 * MM_PER_INCH, 1650000 * N_MM2_OF_PSI,
                                    0.199 * MM3_OF_IN4_FT, 1743.0 / 12);
    cr_expect_float_eq(sixteenth / MM_PER_INCH, 1.0 / 16, 0.0015);
    const double part = sag_mm(713 * N_MM2_OF_PSF, 13.1 * MM_PER_INCH, 1650000 * N_MM2_OF_PSI,
                               0.199 * MM3_OF_IN4_FT, 1743.0 / 12);
    cr_expect_float_eq(13.1 * MM_PER_INCH / part, 360, 6);
}

/* Published: of a single span d = 5 w L^4 / (384 E I) (Douglas fir plywood deflection chart, 1945). */
Test(tables, single_span_as_published) {
    cr_expect_float_eq(sag_mm(0.001, 700, 11000, 300, SPAN_SINGLE),
                       5 * 0.001 * pow(700, 4) / (384.0 * 11000 * 300), 1e-12);
    cr_expect_float_eq(PLYWOOD_N_MM2, 1650000 * N_MM2_OF_PSI, 0.1);
}

/* Published (the same book, p. 218), across the face grain, in4 a foot; what lies between lies between. */
Test(tables, plywood_across_its_grain) {
    const double rows[][2] = {{15.0 / 32, 0.018}, {0.5, 0.024},       {19.0 / 32, 0.029},
                              {5.0 / 8, 0.038},   {23.0 / 32, 0.072}, {0.75, 0.092},
                              {7.0 / 8, 0.151},   {1, 0.270},         {1.125, 0.398}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const double inertia = plywood_inertia_mm3(rows[i][0] * MM_PER_INCH);
        cr_expect_float_eq(inertia, rows[i][1] * MM3_OF_IN4_FT, 1e-6 * inertia);
        cr_expect_lt(plywood_inertia_mm3(rows[i][0] * MM_PER_INCH - 0.1), inertia);
        cr_expect_gt(plywood_inertia_mm3(rows[i][0] * MM_PER_INCH + 0.1), inertia);
    }
    cr_expect_float_eq(plywood_inertia_mm3(2.25 * MM_PER_INCH), 8 * 0.398 * MM3_OF_IN4_FT, 1e-6);
}

/* Closed form: a triangle of base 4 and height 4 cut at half its height: 6 below, 2 above. */
Test(tables, area_between_lines) {
    const PartPoint triangle[] = {{0, 0}, {4, 0}, {2, 4}};
    cr_expect_float_eq(area_within_mm2(triangle, 3, -INFINITY, INFINITY, -INFINITY, 2), 6, 1e-12);
    cr_expect_float_eq(area_within_mm2(triangle, 3, -INFINITY, INFINITY, 2, INFINITY), 2, 1e-12);
    cr_expect_float_eq(area_within_mm2(triangle, 3, 2, INFINITY, -INFINITY, INFINITY), 4, 1e-12);
    cr_expect_float_eq(area_within_mm2(triangle, 3, 5, 6, -INFINITY, INFINITY), 0, 1e-12);
}

static Spec loaded(Arena *arena, const char *book, const char *scene) {
    Spec spec = spec_of(arena, book, scene);
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    spec.plan->parts = plan_to_parts(arena, spec.plan, &spec.diagnostics);
    cr_assert_eq(spec.diagnostics.errors, 0);
    return spec;
}

static const char *with(Arena *arena, const char *text, const char *old, const char *new) {
    const char *at = strstr(text, old);
    cr_assert(at);
    return arena_format(arena, "%.*s%s%s", (int)(at - text), text, new, at + strlen(old));
}

/* What the tables carry together is what the parts weigh (in another room, shop/), wherever they stand; every
 * place of the base is on one of them or within the overhang of one; areas add up to the base's. */
Test(tables, loads_add_up) {
    Arena *arena = arena_new();
    static const char *const tops[] = {"{wide: 72 in, deep: 30 in, tall: 29 in, holds: 250 lb}",
                                       "{wide: 60 in, deep: 30 in, tall: 29 in, holds: 250 lb}",
                                       "{wide: 20 in, deep: 20 in, tall: 29 in, apart: 6 in}",
                                       "{wide: 20 ft, deep: 20 ft, tall: 29 in}"};
    for (size_t i = 0; i < sizeof tops / sizeof *tops; i++) {
        const char *book = with(arena, FERRY_BOOK, tops[0], tops[i]);
        const Spec spec = loaded(arena, book, FOG_SCENE);
        Tables tables;
        cr_assert(plan_tables(arena, spec.plan, &tables));
        double loads = 0, areas = 0;
        for (int t = 0; t < tables.count; t++) {
            loads += tables.items[t].load_kg;
            areas += tables.items[t].area_mm2;
        }
        const Trapezoid *b = &spec.plan->base_outline;
        const double area = (b->front_right_mm - b->front_left_mm + b->rear_right_mm - b->rear_left_mm) / 2 *
                            (b->rear_mm - b->front_mm);
        cr_expect_float_eq(areas, area, 1e-6 * area);
        cr_expect_float_eq(loads, spec.plan->parts->weight_kg, 1e-9 * loads);
        cr_expect_leq(tables.over_front_mm, TABLE_OVERHANG_MM + 1e-6);
        cr_expect_leq(tables.over_rear_mm, TABLE_OVERHANG_MM + 1e-6);
        for (int row = 0; row < tables.row_count; row++)
            cr_expect_leq(fmax(tables.rows[row].over_left_mm, tables.rows[row].over_right_mm),
                          TABLE_OVERHANG_MM + 1e-6);
    }
    arena_free(arena);
}

/* By hand: a ground 8 in by 20 in of 2 in foam at 0.9 lb/ft3 on 23/32 in ply at 2.1 lb/ft2, no lip, on one
 * table: 160 sq in x 2 in at 0.9 lb/ft3 is 0.1667 lb, 160 sq in at 2.1 lb/ft2 2.3333 lb. The drawing is the
 * page; front, rear and margins make the ground wider, so the areas are read off the plan. */
Test(tables, one_table_by_hand) {
    Arena *arena = arena_new();
    const char *book = with(arena, with(arena, FERRY_BOOK, "72 in, deep: 30 in", "12 ft, deep: 12 ft"),
                            "lip: 2 in", "lip: 0 in");
    const Spec spec = loaded(
        arena, book,
        "scene: x\ndrawing: {wide: 279.4 mm}\nmark: {puppet: otter, drawn: {foot: [140 mm, 40 mm], "
        "tall: 100 mm}}\ncamera: {lens: 60 mm, height: 10 in}\nground: {front: -10 in, rear: 10 in}\n");
    Tables tables;
    cr_assert(plan_tables(arena, spec.plan, &tables));
    cr_assert_eq(tables.count, 1);
    const Trapezoid *g = &spec.plan->ground_outline;
    const double area_ft2 = (g->front_right_mm - g->front_left_mm + g->rear_right_mm - g->rear_left_mm) / 2 *
                            (g->rear_mm - g->front_mm) / (304.8 * 304.8);
    cr_expect_float_eq(tables.load_kg, area_ft2 * (0.9 * 2 / 12 + 2.1) * 0.45359237, 1e-6);
    arena_free(arena);
}

/* Two that would do lengthwise, three crosswise: the fewest are taken (closed form: 10 ft less 6 in at both
 * ends over 6 ft and over 2 ft 6 in). */
Test(tables, fewest_way_round) {
    Arena *arena = arena_new();
    const Spec spec = loaded(arena, FERRY_BOOK, FOG_SCENE);
    Tables tables;
    cr_assert(plan_tables(arena, spec.plan, &tables));
    cr_expect(tables.long_across);
    const Trapezoid *b = &spec.plan->base_outline;
    const double deep = b->rear_mm - b->front_mm;
    cr_expect_eq(tables.row_count, (int)ceil((deep - 12 * MM_PER_INCH) / (30 * MM_PER_INCH)));
    const double rear = b->rear_right_mm - b->rear_left_mm;
    cr_expect_eq(tables.rows[tables.row_count - 1].count,
                 (int)ceil((rear - 12 * MM_PER_INCH) / (72 * MM_PER_INCH)));
    arena_free(arena);
}

static size_t warnings_of(const Plan *plan, const char *word) {
    size_t count = 0;
    for (size_t i = 0; i < plan->warning_count; i++)
        count += strcmp(plan->warnings[i].word, word) == 0;
    return count;
}

/* A room just as large as the set takes holds it, a millimetre less does not; either way round. */
Test(tables, room_to_the_millimetre) {
    Arena *arena = arena_new();
    const Spec first = loaded(arena, FERRY_BOOK, FOG_SCENE);
    const RoomNeeds needs = plan_room_needs(arena, first.plan);
    for (int less = 0; less < 2; less++) {
        for (int turned = 0; turned < 2; turned++) {
            const double across = ceil(needs.across_mm), back = ceil(needs.back_mm) - less;
            const char *book = arena_format(arena, "%sroom: {wide: %d mm, long: %d mm, ceiling: %d mm}\n",
                                            FERRY_BOOK, (int)(turned ? back : across),
                                            (int)(turned ? across : back), (int)ceil(needs.tall_mm) - less);
            Spec spec = loaded(arena, book, FOG_SCENE);
            load_to_warnings(spec.plan, &spec.diagnostics);
            cr_expect_eq(warnings_of(spec.plan, "room-small"), less ? 2 : 0);
        }
    }
    arena_free(arena);
}

/* The camera's place by hand: its sensor, and 3 ft behind it (common practice, no source). */
Test(tables, room_behind_the_farthest_camera) {
    Arena *arena = arena_new();
    const Spec spec = loaded(arena, FERRY_BOOK, FOG_SCENE);
    const RoomNeeds needs = plan_room_needs(arena, spec.plan);
    double farthest = 0;
    for (size_t c = 0; c < spec.plan->shots[0].camera_count; c++) {
        const Camera *camera = &spec.plan->shots[0].cameras[c].camera;
        farthest = fmax(farthest, camera->distance_mm + camera->image_mm * cos(camera->tilt_rad));
    }
    cr_expect_float_eq(needs.front_mm, -farthest - 36 * MM_PER_INCH, 1e-9);
    cr_expect_float_eq(spec.plan->shots[0].cameras[needs.camera].camera.focal_mm, 105, 1e-9);
    arena_free(arena);
}

/* The otter stands at the origin, so its distances from the sides of the base are those of the origin from
 * three lines; everything is out of the reach of 1 mm, and ordered from the rear. */
Test(tables, reach_and_order) {
    Arena *arena = arena_new();
    const Spec spec = loaded(arena, FERRY_BOOK, FOG_SCENE);
    const OutOfReach none = plan_out_of_reach(arena, spec.plan, 1e6),
                     all = plan_out_of_reach(arena, spec.plan, 1);
    cr_expect_eq(none.count, 0);
    cr_expect_eq(all.count, 5); /* otter, heron, ferry, post, far bank */
    for (size_t i = 1; i < all.count; i++)
        cr_expect_geq(spec.plan->things[all.things[i - 1]].at.back_mm,
                      spec.plan->things[all.things[i]].at.back_mm);
    const PlanThing *otter = &spec.plan->things[plan_find(spec.plan, "otter")];
    const Trapezoid *b = &spec.plan->base_outline;
    const double front = -b->front_mm; /* the otter stands at the origin */
    /* square to the right side, by its normal */
    const double x = b->rear_right_mm - b->front_right_mm, y = b->rear_mm - b->front_mm;
    const double right = (b->front_right_mm * y - b->front_mm * x) / hypot(x, y);
    const double left = -(b->front_left_mm * y - b->front_mm * (b->rear_left_mm - b->front_left_mm)) /
                        hypot(b->rear_left_mm - b->front_left_mm, y);
    cr_expect_float_eq(plan_reach_mm(spec.plan, otter), fmin(front, fmin(left, right)), 1e-6);
    arena_free(arena);
}

/* A sheet of 4 x 8 ft goes through a door of 32 x 80 in (common practice, no source); a box of 33 in on every
 * side does not, one of 32 in does, and one of 32 x 80 in and any length. */
Test(tables, through_the_door) {
    cr_expect(passes_door(48, 96, 0.75, 32, 80));
    cr_expect_not(passes_door(81, 96, 0.75, 32, 80));
    cr_expect(passes_door(32, 32, 32, 32, 80));
    cr_expect_not(passes_door(33, 33, 33, 32, 80));
    cr_expect(passes_door(80, 200, 32, 32, 80));
    cr_expect_not(passes_door(80, 200, 33, 32, 80));
}
