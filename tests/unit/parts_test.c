/* What a scene is cut from: docs/geometry.md, rules 80 to 84. */
#include "base/number.h"
#include "base/silhouette.h"
#include "plan/relief.h"
#include "plan/room.h"
#include "shop/cutting.h"
#include "shop/plan_to_parts.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}
static void tear_down(void) {
    arena_free(arena);
}
TestSuite(parts, .init = set_up, .fini = tear_down);

#define KG_A_POUND 0.45359237
/* Planned numbers are snapped to 2^-20 mm. */
#define HAIR 1e-5

/* A book whose stock is as told. */
static const char *book_with(const char *stock) {
    return arena_format(arena,
                        "groundrow: 1\n"
                        "lengths: feet-inches\n"
                        "page: {wide: 11 in, tall: 8 1/2 in, bleed: 1/8 in}\n"
                        "cast: {otter: {tall: 11 in, eyes: 9 3/4 in, wide: 5 in, deep: 4 in}}\n"
                        "cameras: {hired: {sensor: 36 x 24 mm}}\n"
                        "stock:\n%s",
                        stock);
}

/* A scene with more below its camera. */
static const char *scene_with(const char *more) {
    return arena_format(arena,
                        "scene: x\n"
                        "pages: 8-9\n"
                        "drawing: {wide: 420 mm}\n"
                        "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"
                        "camera: {lens: 85 mm, height: 10 in}\n"
                        "accept: [camera shoots-off]\n"
                        "%s",
                        more);
}

static Spec spec;

static const Parts *parts_of(const char *stock, const char *more) {
    spec = spec_of(arena, book_with(stock), scene_with(more));
    cr_assert(spec.plan != NULL, "%s", spec_words(arena, &spec));
    const Parts *parts = plan_to_parts(arena, spec.plan, &spec.diagnostics);
    cr_assert_eq(spec.diagnostics.errors, 0, "%s", spec_words(arena, &spec));
    return parts;
}

static int thing(const char *name) {
    const int index = plan_find(spec.plan, name);
    cr_assert_geq(index, 0, "%s", name);
    return index;
}

static const PartsOfThing *of_thing(const Parts *parts, const char *name) {
    for (size_t i = 0; i < parts->things.count; i++)
        if (parts->things.items[i].thing == thing(name)) return &parts->things.items[i];
    cr_assert(false, "%s has no parts", name);
    return NULL;
}

static const Part *part(const Parts *parts, const char *name) {
    for (size_t i = 0; i < parts->items.count; i++)
        if (text_equal(parts->items.items[i].name, name)) return &parts->items.items[i];
    cr_assert(false, "no part `%s`", name);
    return NULL;
}

static double area_of(const Parts *parts, const char *name) {
    const PartsOfThing *of = of_thing(parts, name);
    double area = 0;
    for (size_t i = of->first; i < of->first + of->count; i++)
        area += parts->items.items[i].copies * parts->items.items[i].area_mm2;
    return area;
}

static double material_of(const Parts *parts, const char *name) {
    const PartsOfThing *of = of_thing(parts, name);
    double volume = 0;
    for (size_t i = of->first; i < of->first + of->count; i++) {
        const Part *it = &parts->items.items[i];
        volume += it->copies * it->area_mm2 * it->finished_thick_mm;
    }
    return volume;
}

static double trapezoid_area(const Trapezoid *t) {
    return (t->front_right_mm - t->front_left_mm + t->rear_right_mm - t->rear_left_mm) / 2 *
           (t->rear_mm - t->front_mm);
}

#define EXPECT_NEAR(is, wanted, within)                                                                      \
    cr_expect(fabs((is) - (wanted)) <= (within), "%s is %.9g, not %.9g", #is, (double)(is), (double)(wanted))

/* --- weights -------------------------------------------------------------------------------------------- */

/* A whole sheet of 4 by 8 ft. Plyform Class I: Peurifoy and Oberlender, Formwork for Concrete Structures, p.
 * 218 (lb/ft2: 23/32 in 2.1, 3/4 in 2.2, 1/2 in 1.5, 1 in 3.0). Polystyrene, 2 in: the least densities of
 * ASTM C578 (lb/ft3: I 0.90, VIII 1.15, II 1.35, IX 1.80); their sheets are calculated: 5.333 ft3 of each. */
Test(parts, whole_sheets_weigh_what_is_published) {
    static const struct {
        const char *stock;
        double pounds;
    } rows[] = {{"thick: 23/32 in, weighs: 2.1 lb/ft2", 67.2}, {"thick: 3/4 in, weighs: 2.2 lb/ft2", 70.4},
                {"thick: 1/2 in, weighs: 1.5 lb/ft2", 48.0},   {"thick: 1 in, weighs: 3.0 lb/ft2", 96.0},
                {"thick: 2 in, density: 0.90 lb/ft3", 4.80},   {"thick: 2 in, density: 1.15 lb/ft3", 6.13},
                {"thick: 2 in, density: 1.35 lb/ft3", 7.20},   {"thick: 2 in, density: 1.80 lb/ft3", 9.60}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *stock = arena_format(arena, "  it: {sheet: 48 x 96 in, %s}\n", rows[i].stock);
        const Parts *parts =
            parts_of(stock, "ground: {rear: 54 in}\n"
                            "flats: {wall: {wide: 8 ft, tall: 4 ft, stock: it, at: {back: 40 in}}}\n");
        cr_assert_eq(parts->items.count, 1);
        EXPECT_NEAR(parts->weight_kg / KG_A_POUND, rows[i].pounds, 0.005);
        cr_expect(parts->weight_whole);
    }
}

/* Closed form: pi/4 d2 l rho. */
Test(parts, a_round_post_weighs_as_a_cylinder) {
    const Parts *parts =
        parts_of("  rod: {long: 2 m, thick: 20 mm, density: 500 kg/m3}\n",
                 "ground: {rear: 54 in}\npieces: {mast: {shape: post, tall: 3 m, thick: 20 mm, "
                 "stock: rod, row: {count: 2, every: 90 mm}, at: {across: 20 in, back: 9 in}}}\n");
    EXPECT_NEAR(parts->weight_kg, 2 * PI / 4 * 0.02 * 0.02 * 3 * 500, HAIR);
    EXPECT_NEAR(part(parts, "mast 2 of 2")->tall_mm, 1500, HAIR);
    cr_expect_eq(part(parts, "mast 2 of 2")->copies, 2);
}

Test(parts, a_post_is_as_thick_as_its_rod) {
    const Parts *parts =
        parts_of("  rod: {long: 2 m, thick: 20 mm, density: 500 kg/m3}\n",
                 "ground: {rear: 54 in}\npieces: {mast: {shape: post, tall: 1 m, stock: rod, "
                 "at: {across: 20 in, back: 9 in}}}\n");
    EXPECT_NEAR(spec.plan->things[thing("mast")].wide_mm, 20, HAIR);
    EXPECT_NEAR(spec.plan->things[thing("mast")].deep_mm, 20, HAIR);
    EXPECT_NEAR(part(parts, "mast")->finished_thick_mm, 20, HAIR);
}

/* The rod is bought and weighed as it is; a lathe makes the post. */
Test(parts, a_post_that_is_thinner_than_its_rod_is_turned_down) {
    const Parts *parts =
        parts_of("  rod: {long: 2 m, thick: 3/4 in, density: 500 kg/m3, again: whole}\n",
                 "ground: {rear: 54 in}\npieces:\n"
                 "  mast: {shape: post, tall: 1 m, thick: 1/2 in, stock: rod, at: {across: 20 in, "
                 "back: 9 in}}\n"
                 "  pole: {shape: post, tall: 1 m, thick: 3/4 in, stock: rod, at: {across: -20 "
                 "in, back: 9 in}}\n");
    EXPECT_NEAR(part(parts, "mast")->thick_mm, 19.05, HAIR);
    EXPECT_NEAR(part(parts, "mast")->finished_thick_mm, 12.7, HAIR);
    EXPECT_NEAR(part(parts, "mast")->weight_kg, PI / 4 * 0.01905 * 0.01905 * 500, HAIR);
    EXPECT_NEAR(part(parts, "pole")->finished_thick_mm, 19.05, HAIR);
    cr_assert_eq(parts->cutting->stocks[0].item_count, 2);
    cr_expect(!parts->cutting->stocks[0].items[0].keeps_shape, "it does for no other post");
    cr_expect(parts->cutting->stocks[0].items[1].keeps_shape);
}

Test(parts, what_has_no_weight_is_not_counted_as_nothing) {
    const Parts *parts =
        parts_of("  card: {sheet: 40 x 60 in, thick: 1/2 in}\n"
                 "  foam: {sheet: 48 x 96 in, thick: 2 in, density: 20 kg/m3}\n",
                 "ground: {rear: 54 in, stock: foam}\n"
                 "pieces: {crate: {wide: 5 in, tall: 4 in, deep: 4 in, stock: card, at: {across: "
                 "20 in, back: 9 in}}}\n");
    cr_expect_not(parts->weight_whole);
    cr_expect(isnan(of_thing(parts, "crate")->weight_kg));
    EXPECT_NEAR(parts->weight_kg, trapezoid_area(&spec.plan->ground_outline) * 50.8e-9 * 20, HAIR);
}

/* --- mounds ----------------------------------------------------------------------------------------------
 */

/* A raised cosine over an ellipse: the integral of tall/2 (1 + cos pi r) is wide deep tall pi/8 (1 - 4/pi2).
 */
Test(parts, layers_hold_a_mound_and_little_more) {
    static const double thicks[] = {50.8, 25.4, 12.7, 5, 1};
    for (size_t i = 0; i < sizeof thicks / sizeof *thicks; i++) {
        const char *stock = arena_format(arena, "  foam: {sheet: 3 x 3 m, thick: %s mm}\n",
                                         number_short(arena, thicks[i], 3));
        const Parts *parts = parts_of(
            stock, "ground: {rear: 54 in, stock: foam, mounds: {hill: {wide: 800 mm, deep: 300 mm, tall: 110 "
                   "mm, at: {across: 0, back: 40 in}}}}\n");
        const double volume = 800.0 * 300 * 110 * PI / 8 * (1 - 4 / (PI * PI));
        const double stacked = material_of(parts, "hill");
        cr_expect_gt(stacked, volume, "%g mm layers", thicks[i]);
        cr_expect_lt(stacked, volume + thicks[i] * PI / 4 * 800 * 300, "%g mm layers", thicks[i]);
        const double half_too_much =
            thicks[i] / 2 * PI / 4 * 800 * 300; /* the trapezium rule over the height */
        if (thicks[i] <= 5) EXPECT_NEAR(stacked - half_too_much, volume, 0.01 * volume);
    }
}

/* A line through an ellipse's middle halves it: of a hill whose middle lies on an edge of the ground,
 * straight or slanted, half of each layer is left, and nothing of that sticks out. */
Test(parts, mounds_are_cut_off_at_the_edge_of_the_ground) {
    const char *stock = "  foam: {sheet: 3 x 3 m, thick: 20 mm}\n";
    parts_of(stock, "ground: {rear: 54 in, stock: foam}\n");
    const Trapezoid t = spec.plan->ground_outline;
    const double middle = (t.front_mm + t.rear_mm) / 2;
    const double places[][2] = {{0, t.rear_mm},
                                {0, t.front_mm},
                                {(t.front_right_mm + t.rear_right_mm) / 2, middle},
                                {(t.front_left_mm + t.rear_left_mm) / 2, middle}};
    cr_assert_gt(t.rear_right_mm, t.front_right_mm + 100);
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        const Parts *parts = parts_of(
            stock,
            arena_format(arena,
                         "ground: {rear: 54 in, stock: foam, mounds: {hill: {wide: 400 mm, deep: 300 mm, "
                         "tall: 60 mm, at: {across: %.6f mm, back: %.6f mm}}}}\n",
                         places[i][0], places[i][1]));
        const PartsOfThing *of = of_thing(parts, "hill");
        cr_assert_eq(of->count, 3);
        for (size_t k = 0; k < 3; k++) {
            const Part *it = &parts->items.items[of->first + k];
            const double share = mound_contour(60, 20.0 * (double)k);
            /* an ellipse's 72 corners hold 0.13 % less than it */
            EXPECT_NEAR(it->area_mm2, PI / 8 * 400 * 300 * share * share, 0.002 * it->area_mm2);
            for (size_t c = 0; c < it->outline_count; c++) {
                const double back = it->at_y_mm + it->outline[c].y_mm,
                             across = it->at_x_mm + it->outline[c].x_mm;
                const double along = (back - t.front_mm) / (t.rear_mm - t.front_mm);
                cr_expect(along > -1e-6 && along < 1 + 1e-6);
                cr_expect_gt(across, t.front_left_mm + along * (t.rear_left_mm - t.front_left_mm) - 0.01);
                cr_expect_lt(across, t.front_right_mm + along * (t.rear_right_mm - t.front_right_mm) + 0.01);
            }
        }
    }
}

/* Half of a hollow whose middle lies on the ground's side is cut out of it. */
Test(parts, hollows_are_cut_off_at_the_edge_of_the_ground) {
    const char *stock = "  foam: {sheet: 3 x 3 m, thick: 20 mm}\n";
    const double whole =
        parts_of(stock, "ground: {rear: 54 in, stock: foam, thick: 40 mm}\n")->items.items[1].area_mm2;
    const Trapezoid t = spec.plan->ground_outline;
    const Parts *parts = parts_of(
        stock,
        arena_format(arena,
                     "ground: {rear: 54 in, stock: foam, thick: 40 mm, hollows: {pool: {wide: 400 mm, deep: "
                     "300 mm, tall: 40 mm, at: {across: %.6f mm, back: %.6f mm}}}}\n",
                     (t.front_right_mm + t.rear_right_mm) / 2, (t.front_mm + t.rear_mm) / 2));
    const double share = mound_contour(40, 20);
    const double half = PI / 8 * 400 * 300 * share * share;
    EXPECT_NEAR(whole - parts->items.items[1].area_mm2, half, 0.001 * half);
}

/* What lies beside the ground is not there: nothing is cut for it, and nothing out of the ground. */
Test(parts, mounds_and_hollows_off_the_ground) {
    const Parts *parts = parts_of("  foam: {sheet: 3 x 3 m, thick: 2 in}\n",
                                  "ground: {rear: 54 in, stock: foam, mounds: {hill: {wide: 400 mm, deep: "
                                  "300 mm, tall: 60 mm, at: {across: "
                                  "2 m, back: 0}}}, hollows: {pool: {wide: 400 mm, deep: 300 mm, tall: 2 in, "
                                  "at: {across: 0, back: -50 m}}}}\n");
    const RoomNeeds needs = plan_room_needs(arena, spec.plan);
    cr_expect_lt(needs.back_mm, 10e3);
    cr_expect_lt(spec.plan->build_deep_mm, 3e3);
    cr_expect_lt(spec.plan->build_wide_mm, 2e3);
    cr_expect_eq(parts->things.count, 1);
    cr_expect_eq(parts->items.count, 1);
    cr_expect_eq(parts->items.items[0].opening_count, 0);
    cr_expect_eq(plan_relief_place(spec.plan, &spec.plan->things[thing("hill")]), RELIEF_OFF_GROUND);
}

/* Touching the edge from inside and from outside, as far as they are higher than 1/16 in (rule 89's contour).
 */
Test(parts, where_mounds_lie) {
    const double reach = 200 * mound_contour(60, MM_PER_INCH / 16), rear = 54 * MM_PER_INCH;
    const struct {
        double back;
        ReliefPlace place;
    } rows[] = {{rear - reach - 0.01, RELIEF_ON_GROUND},
                {rear - reach + 0.01, RELIEF_PARTLY_OFF},
                {rear + reach - 0.01, RELIEF_PARTLY_OFF},
                {rear + reach + 0.01, RELIEF_OFF_GROUND}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        parts_of(
            "  foam: {sheet: 3 x 3 m, thick: 2 in}\n",
            arena_format(
                arena,
                "ground: {rear: 54 in, stock: foam, mounds: {hill: {wide: 200 mm, deep: 400 mm, tall: 60 "
                "mm, at: {across: 0, back: %.4f mm}}}}\n",
                rows[i].back));
        cr_expect_eq(plan_relief_place(spec.plan, &spec.plan->things[thing("hill")]), rows[i].place, "%zu",
                     i);
    }
}

/* The same of two thicknesses: under no mound too little, over none more than its thickest layer's. */
Test(parts, layers_of_two_thicknesses_hold_a_mound) {
    for (int tall = 20; tall <= 200; tall += 9) {
        const char *more = arena_format(
            arena,
            "ground: {rear: 54 in, thick: 2 in, stock: [foam, thin foam], mounds: {hill: {wide: 800 mm, "
            "deep: 300 mm, tall: %d mm, at: {across: 0, back: 40 in}}}}\n",
            tall);
        const Parts *parts = parts_of("  foam: {sheet: 3 x 3 m, thick: 50 mm}\n"
                                      "  thin foam: {sheet: 2 x 2 m, thick: 12 mm}\n",
                                      more);
        const PartsOfThing *hill = of_thing(parts, "hill");
        const double volume = 800.0 * 300 * tall * PI / 8 * (1 - 4 / (PI * PI));
        double upper = 0, height = 0; /* as if each were cut to its upper side's contour */
        for (size_t i = hill->first; i < hill->first + hill->count; i++) {
            const Part *it = &parts->items.items[i];
            EXPECT_NEAR(it->at_up_mm, height, HAIR);
            height += it->thick_mm;
            const double share = mound_contour(tall, height);
            upper += PI / 4 * 800 * 300 * share * share * it->thick_mm;
            cr_expect_str_eq(spec.plan->scene->stocks[it->stock].name,
                             it->thick_mm > 20 ? "foam" : "thin foam");
        }
        cr_expect_geq(height, tall - HAIR);
        cr_expect_lt(height, tall + 12, "%d mm of %g", tall, height);
        cr_expect_gt(material_of(parts, "hill"), volume, "%d mm", tall);
        cr_expect_lt(upper, volume, "%d mm", tall);
        cr_expect_lt(material_of(parts, "hill"), volume + 50 * PI / 4 * 800 * 300, "%d mm", tall);
    }
}

/* Two that run into each other: volumes add up, whatever they share. */
Test(parts, layers_hold_mounds_that_share_a_place) {
    for (int apart = 0; apart <= 900; apart += 100) {
        const char *more = arena_format(arena,
                                        "ground: {rear: 54 in, thick: 2 in, stock: foam, mounds: {hill: "
                                        "{wide: 800 mm, deep: 300 mm, tall: "
                                        "110 mm, at: {across: -300 mm, back: 40 in}}, knoll: {wide: 500 mm, "
                                        "deep: 280 mm, tall: 70 mm, at: "
                                        "{across: %d mm, back: 40 in}}}}\n",
                                        apart - 300);
        const Parts *parts = parts_of("  foam: {sheet: 3 x 3 m, thick: 10 mm, density: 20 kg/m3}\n", more);
        const double a = 800.0 * 300 * 110, b = 500.0 * 280 * 70, share = PI / 8 * (1 - 4 / (PI * PI));
        double stacked = material_of(parts, "hill");
        const bool alone = apart >= 600; /* lower than 1/16 in where they meet */
        if (alone) stacked += material_of(parts, "knoll");
        /* half a layer's thickness too much over the foot, by the trapezium rule */
        const double foot = PI / 4 * (800 * 300 + 500 * 280);
        cr_expect_gt(stacked, (a + b) * share, "%d mm apart", apart);
        cr_expect_lt(stacked, (a + b) * share + 10 * foot, "%d mm apart", apart);
        cr_expect_eq(of_thing(parts, "knoll")->count > 0, alone, "%d mm apart", apart);
        const double weighs = of_thing(parts, "hill")->weight_kg + of_thing(parts, "knoll")->weight_kg;
        EXPECT_NEAR(weighs, stacked * 20e-9, 1e-6);
    }
}

/* The contour is where rule 34 has that height. */
Test(parts, a_contour_is_as_high_as_it_says) {
    for (int i = 0; i <= 10; i++) {
        const double up = 110 * i / 10.0, r = mound_contour(110, up);
        EXPECT_NEAR(110.0 / 2 * (1 + cos(PI * r)), up, HAIR);
    }
}

Test(parts, thick_ground_is_layered_from_the_bottom_and_cut_where_a_hollow_goes_through) {
    const Parts *parts =
        parts_of("  foam: {sheet: 3 x 4 m, thick: 2 in}\n",
                 "ground: {rear: 54 in, thick: 5 in, stock: foam, hollows: {pool: {wide: 20 in, deep: "
                 "10 in, tall: 4 in, at: {across: 10 in, back: 20 in}}}}\n");
    const Part *first = part(parts, "ground layer 1 of 3"), *second = part(parts, "ground layer 2 of 3"),
               *third = part(parts, "ground layer 3 of 3");
    EXPECT_NEAR(first->at_up_mm, -5 * 25.4, HAIR);
    EXPECT_NEAR(second->at_up_mm, -3 * 25.4, HAIR);
    EXPECT_NEAR(third->at_up_mm, -1 * 25.4, HAIR);
    EXPECT_NEAR(second->finished_thick_mm, 50.8, HAIR);
    EXPECT_NEAR(third->finished_thick_mm, 25.4, HAIR);
    EXPECT_NEAR(third->thick_mm, 50.8, HAIR);
    cr_expect_eq(first->opening_count, 0);
    cr_assert_eq(second->opening_count, 1);
    cr_assert_eq(third->opening_count, 1);
    /* 3 in under the ground, of 4: acos(1/2) = pi/3; 1 in: acos(-1/2) = 2 pi/3 */
    EXPECT_NEAR(second->openings[0].wide_mm, 20 * 25.4 / 3, HAIR);
    EXPECT_NEAR(third->openings[0].wide_mm, 20 * 25.4 * 2 / 3, HAIR);
    const double whole = trapezoid_area(&spec.plan->ground_outline);
    EXPECT_NEAR(third->area_mm2, whole - PI / 4 * (20 * 25.4 * 2 / 3) * (10 * 25.4 * 2 / 3), 0.1);
}

/* --- areas -----------------------------------------------------------------------------------------------
 */

Test(parts, openings_are_out_of_flats) {
    const Parts *parts =
        parts_of("  card: {sheet: 40 x 60 in, thick: 1/2 in}\n",
                 "ground: {rear: 54 in}\nflats: {house: {wide: 16 in, tall: 13 in, stock: card, at: "
                 "{back: 40 in}, openings: {door: {wide: 4 in, tall: 7 in, at: {across: -3 in}}, "
                 "window: {wide: 3 in, tall: 3 in, at: {across: 4 in, up: 6 in}}}}}\n");
    EXPECT_NEAR(area_of(parts, "house") / 645.16, 16 * 13 - 28 - 9, HAIR);
    cr_expect_eq(part(parts, "house")->opening_count, 2);
    EXPECT_NEAR(part(parts, "house")->openings[0].x_mm, 3 * 25.4, HAIR);
}

/* The material of a hollow piece is what lies between its outside and the room inside: parts neither overlap
 * nor leave gaps. */
Test(parts, panels_fill_the_shell_of_a_piece) {
    const Parts *parts =
        parts_of("  card: {sheet: 40 x 60 in, thick: 10 mm}\n",
                 "ground: {rear: 54 in}\npieces:\n"
                 "  crate: {wide: 200 mm, tall: 150 mm, deep: 120 mm, stock: card, at: {across: 20 in, "
                 "back: 9 in}}\n"
                 "  stair: {shape: steps, steps: 4, wide: 200 mm, tall: 240 mm, deep: 320 mm, stock: "
                 "card, at: {across: -20 in, back: 9 in}}\n"
                 "  one: {shape: steps, steps: 1, wide: 200 mm, tall: 240 mm, deep: 320 mm, stock: "
                 "card, at: {across: -20 in, back: 30 in}}\n");
    EXPECT_NEAR(material_of(parts, "crate"), 200.0 * 150 * 120 - 180.0 * 140 * 100, 1);
    const double profile = 320.0 * 240 * 5 / 8; /* of n steps: (n + 1) / 2n of the box */
    const double inside = part(parts, "stair sides")->area_mm2;
    EXPECT_NEAR(material_of(parts, "stair"), 200 * profile - 180 * inside, 1);
    EXPECT_NEAR(material_of(parts, "one"), 200.0 * 240 * 320 - 180.0 * 230 * 300, 1);
}

/* The side's hypotenuse lies a thickness under the slope: distance of two parallel lines. */
Test(parts, a_wedge_has_room_for_its_slope) {
    const Parts *parts =
        parts_of("  card: {sheet: 40 x 60 in, thick: 10 mm}\n",
                 "ground: {rear: 54 in}\npieces: {ramp: {shape: wedge, wide: 200 mm, tall: 150 mm, "
                 "deep: 300 mm, stock: card, at: {across: 20 in, back: 9 in}}}\n");
    const Part *side = part(parts, "ramp sides");
    const double hypotenuse = hypot(300, 150);
    /* its upper corner stands at the back's front face, 10 mm before the rear */
    EXPECT_NEAR((290.0 * 150 - 300 * side->tall_mm) / hypotenuse, 10, HAIR);
    EXPECT_NEAR(part(parts, "ramp slope")->tall_mm, hypotenuse, HAIR);
}

Test(parts, thick_stock_makes_stacks) {
    const Parts *parts =
        parts_of("  foam: {sheet: 48 x 96 in, thick: 2 in}\n",
                 "ground: {rear: 54 in}\npieces:\n"
                 "  raft: {wide: 8 in, tall: 1 in, deep: 4 in, stock: foam, at: {across: 20 in, back: "
                 "9 in}}\n"
                 "  bell: {shape: cone, wide: 6 in, tall: 4 in, stock: foam, at: {across: 30 in, back: "
                 "9 in}}\n"
                 "  drum: {shape: post, thick: 6 in, tall: 5 in, stock: foam, at: {across: -20 in, "
                 "back: 9 in}}\n");
    EXPECT_NEAR(part(parts, "raft")->finished_thick_mm, 25.4, HAIR);
    EXPECT_NEAR(part(parts, "raft")->thick_mm, 50.8, HAIR);
    EXPECT_NEAR(part(parts, "bell layer 1 of 2")->wide_mm, 6 * 25.4, HAIR);
    EXPECT_NEAR(part(parts, "bell layer 2 of 2")->wide_mm, 3 * 25.4, HAIR);
    cr_expect_eq(part(parts, "drum layer 3 of 3")->shape, PART_DISC);
    EXPECT_NEAR(part(parts, "drum layer 3 of 3")->finished_thick_mm, 25.4, HAIR);
}

static const double SHEETS_IN[] = {0.1, 0.2, 0.3, 0.6, 0.7, 0.9, 1, 1.1, 1.3, 2};
static const int STEPS[] = {3, 4, 5, 6, 7, 9};
enum { SHEETS = sizeof SHEETS_IN / sizeof *SHEETS_IN, STAIRS = sizeof STEPS / sizeof *STEPS };

/* Steps that rise by a sheet each: a ruler gives the i-th layer of n steps (n + 1 - i) / n of the depth. */
Test(parts, each_layer_of_steps_is_a_step_shorter) {
    Buffer stock = buffer_new(arena), pieces = buffer_new(arena);
    for (int s = 0; s < SHEETS; s++)
        buffer_format(&stock, "  t%d: {kind: foam, sheet: 48 x 96 in, thick: %g in}\n", s, SHEETS_IN[s]);
    for (int s = 0; s < SHEETS; s++)
        for (int k = 0; k < STAIRS; k++)
            buffer_format(&pieces,
                          "  s%d with %d: {shape: steps, wide: 3 in, deep: 3 in, tall: %g in, steps: %d, "
                          "stock: t%d, at: {across: %d in, back: %d in}}\n",
                          s, STEPS[k], SHEETS_IN[s] * STEPS[k], STEPS[k], s, 4 * s - 20, 20 + 8 * k);
    const Parts *parts = parts_of(
        buffer_text(&stock), arena_format(arena, "ground: {rear: 80 in}\npieces:\n%s", buffer_text(&pieces)));
    for (int s = 0; s < SHEETS; s++)
        for (int k = 0; k < STAIRS; k++)
            for (int i = 1; i <= STEPS[k]; i++)
                EXPECT_NEAR(
                    part(parts, arena_format(arena, "s%d with %d layer %d of %d", s, STEPS[k], i, STEPS[k]))
                        ->tall_mm,
                    76.2 * (STEPS[k] + 1 - i) / STEPS[k], HAIR);
}

/* A ruler: four sheets across and two in height leave two sheets of room, also where that is only nearly so
 * in binary. */
Test(parts, what_has_just_room_inside_is_hollow) {
    Buffer stock = buffer_new(arena), pieces = buffer_new(arena);
    for (int s = 0; s < SHEETS; s++) {
        buffer_format(&stock, "  t%d: {sheet: 48 x 96 in, thick: %g in}\n", s, SHEETS_IN[s]);
        buffer_format(
            &pieces,
            "  b%d: {wide: %g in, deep: %g in, tall: %g in, stock: t%d, at: {across: %d in, back: 9 "
            "in}}\n",
            s, 4 * SHEETS_IN[s], 4 * SHEETS_IN[s], 2 * SHEETS_IN[s], s, 10 * s - 50);
    }
    const Parts *parts = parts_of(
        buffer_text(&stock), arena_format(arena, "ground: {rear: 80 in}\npieces:\n%s", buffer_text(&pieces)));
    for (int s = 0; s < SHEETS; s++)
        EXPECT_NEAR(part(parts, arena_format(arena, "b%d sides", s))->wide_mm, 2 * 25.4 * SHEETS_IN[s], HAIR);
}

/* As deep as two layers: the second from above it only just reaches. */
Test(parts, a_hollow_that_ends_between_two_layers_cuts_no_pinhole) {
    const Parts *parts =
        parts_of("  foam: {sheet: 3 x 4 m, thick: 0.7 in}\n",
                 "ground: {rear: 54 in, thick: 2.1 in, stock: foam, hollows: {pool: {wide: 20 "
                 "in, deep: 10 in, tall: 1.4 in, at: {across: 10 in, back: 20 in}}}}\n");
    cr_expect_eq(part(parts, "ground layer 1 of 3")->opening_count, 0);
    cr_expect(!part(parts, "ground layer 1 of 3")->carved);
    cr_expect_eq(part(parts, "ground layer 2 of 3")->opening_count, 0);
    cr_expect(part(parts, "ground layer 2 of 3")->carved);
    cr_expect_eq(part(parts, "ground layer 3 of 3")->opening_count, 1);
}

/* --- seams -----------------------------------------------------------------------------------------------
 */

static unsigned random_below(unsigned *state, unsigned most) {
    *state = *state * 1664525u + 1013904223u;
    return (*state >> 8) % most;
}

/* Whether a point of the set lies in a part, its edge aside. */
static bool holds(const Part *it, double x, double y) {
    bool inside = true;
    for (size_t i = 0; i < it->outline_count; i++) {
        const PartPoint a = it->outline[i], b = it->outline[(i + 1) % it->outline_count];
        const double left =
            (b.x_mm - a.x_mm) * (y - it->at_y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (x - it->at_x_mm - a.x_mm);
        inside &= left > 1e-6;
    }
    return inside;
}

static void check_covered(const Parts *parts, const char *name, const Trapezoid *t, unsigned *state) {
    const PartsOfThing *of = of_thing(parts, name);
    EXPECT_NEAR(area_of(parts, name), trapezoid_area(t), 1e-6 * trapezoid_area(t));
    int hits = 0, held = 0;
    for (int i = 0; i < 200; i++) {
        const double v = random_below(state, 10000) / 10000.0, u = random_below(state, 10000) / 10000.0;
        const double left = t->front_left_mm + v * (t->rear_left_mm - t->front_left_mm);
        const double right = t->front_right_mm + v * (t->rear_right_mm - t->front_right_mm);
        const double x = left + u * (right - left), y = t->front_mm + v * (t->rear_mm - t->front_mm);
        int in = 0;
        for (size_t k = of->first; k < of->first + of->count; k++)
            in += holds(&parts->items.items[k], x, y);
        cr_assert_leq(in, 1, "%s: a point in two parts", name);
        held += in;
        hits++;
    }
    cr_expect_geq(held, hits - 12, "%s: %d of %d points in parts", name, held,
                  hits); /* else on seams and edges */
}

static void check_fits(const Parts *parts, double wide_mm, double tall_mm, bool grain) {
    for (size_t i = 0; i < parts->items.count; i++) {
        const Part *it = &parts->items.items[i];
        const double longer = fmax(it->wide_mm, it->tall_mm), shorter = fmin(it->wide_mm, it->tall_mm);
        cr_expect(longer <= fmax(wide_mm, tall_mm) + 1e-6 && shorter <= fmin(wide_mm, tall_mm) + 1e-6,
                  "%s: %g by %g on %g by %g", it->name, it->wide_mm, it->tall_mm, wide_mm, tall_mm);
        const double along = it->grain == GRAIN_ALONG_X ? it->wide_mm : it->tall_mm;
        const double beside = it->grain == GRAIN_ALONG_X ? it->tall_mm : it->wide_mm;
        cr_expect(!grain || (along <= tall_mm + 1e-6 && beside <= wide_mm + 1e-6), "%s against the grain",
                  it->name);
        cr_expect_eq(it->grain == GRAIN_NONE, !grain);
    }
}

static void check_seams(const Parts *parts, double wide_mm, double tall_mm) {
    if (fmin(wide_mm, tall_mm) < 3 * SEAM_FROM_MARK_MM) return; /* sheets so small leave no way round */
    for (size_t i = 0; i < parts->seams.count; i++) {
        const PartSeam *seam = &parts->seams.items[i];
        if (!seam->across && (seam->from_mm > 0 || seam->to_mm < 0)) continue; /* not in the mark's row */
        cr_expect_geq(fabs(seam->at_mm), SEAM_FROM_MARK_MM - 1e-6, "a seam %g mm from the mark", seam->at_mm);
    }
}

Test(parts, seams_leave_nothing_out_and_nothing_twice) {
    unsigned state = 7;
    size_t split = 0;
    for (int round = 0; round < 30; round++) {
        const int wide = 200 + (int)random_below(&state, 1300), tall = wide + (int)random_below(&state, 1500);
        const bool grain = random_below(&state, 2) == 1;
        const char *stock = arena_format(arena, "  it: {sheet: %d x %d mm, thick: 1 in, grain: %s}\n", wide,
                                         tall, grain ? "along" : "none");
        const char *more =
            arena_format(arena,
                         "ground: {rear: %d mm, margin: %d mm, thick: 1 1/2 in, stock: it}\nbase: {lip: 40 "
                         "mm, thick: 1 in, stock: it}\n",
                         500 + (int)random_below(&state, 2500), (int)random_below(&state, 500));
        const Parts *parts = parts_of(stock, more);
        const Trapezoid *ground = &spec.plan->ground_outline;
        check_covered(parts, "base", &spec.plan->base_outline, &state);
        EXPECT_NEAR(area_of(parts, "ground"), 2 * trapezoid_area(ground), 1e-6 * trapezoid_area(ground));
        check_fits(parts, wide, tall, grain);
        check_seams(parts, wide, tall);
        split += parts->seams.count > 0;
    }
    cr_expect_geq(split, 25);
}

Test(parts, a_seam_keeps_from_openings) {
    const Parts *parts =
        parts_of("  card: {sheet: 20 x 30 in, thick: 1/2 in}\n",
                 "ground: {rear: 54 in}\nflats: {house: {wide: 50 in, tall: 18 in, stock: card, at: "
                 "{back: 40 in}, openings: {door: {wide: 6 in, tall: 9 in, at: {across: 0 in}}}}}\n");
    cr_assert_eq(parts->seams.count, 1);
    const double from_middle = fabs(parts->seams.items[0].at_mm - 25 * 25.4);
    cr_expect_geq(from_middle, 4 * 25.4 - 1e-9);
    cr_expect_eq(part(parts, "house panel 1 of 2")->opening_count +
                     part(parts, "house panel 2 of 2")->opening_count,
                 1);
}

/* An arch: 1000 mm square without the middle of its foot. Its legs are cut along their outline, and nothing
 * of what is between them. */
Test(parts, a_large_cutout_is_cut_along_its_outline) {
    static const SilhouettePoint arch[] = {{0, 0},  {30, 0},  {30, 60},   {70, 60},
                                           {70, 0}, {100, 0}, {100, 100}, {0, 100}};
    const Silhouette silhouette = {.points = arch, .count = 8, .wide_px = 100, .tall_px = 100};
    spec = spec_of(arena, book_with("  card: {sheet: 600 x 700 mm, thick: 1/2 in}\n"),
                   scene_with("ground: {rear: 54 in}\npieces: {arch: {shape: cutout, image: arch.png, wide: "
                              "1000 mm, tall: 1000 mm, stock: card, at: {across: 0, back: 30 in}}}\n"));
    cr_assert(spec.plan != NULL, "%s", spec_words(arena, &spec));
    FoundFile *found = ARENA_ARRAY(arena, FoundFile, spec.scene->wanted_count);
    found[spec.plan->things[thing("arch")].thing->image].silhouette = &silhouette;
    spec.plan->found = found;
    const Parts *parts = plan_to_parts(arena, spec.plan, &spec.diagnostics);
    cr_assert_eq(spec.diagnostics.errors, 0, "%s", spec_words(arena, &spec));
    EXPECT_NEAR(area_of(parts, "arch"), 1000.0 * 1000 - 400 * 600, 1e-6);
    check_fits(parts, 600, 700, false);
    for (size_t i = 0; i < parts->items.count; i++) {
        const Part *it = &parts->items.items[i];
        /* no part has a corner in the opening's inside */
        for (size_t k = 0; k < it->outline_count; k++) {
            const double x = it->at_x_mm + it->outline[k].x_mm, y = it->at_y_mm + it->outline[k].y_mm;
            cr_expect(!(x > 301 && x < 699 && y < 599), "%s: %g, %g", it->name, x, y);
        }
    }
}

Test(parts, puppets_and_what_has_no_stock_have_no_parts) {
    const Parts *parts =
        parts_of("  card: {sheet: 40 x 60 in}\n",
                 "ground: {rear: 54 in}\npieces: {crate: {wide: 5 in, tall: 4 in, deep: 4 in, at: "
                 "{across: 20 in, back: 9 in}}}\n");
    cr_expect_eq(parts->items.count, 0);
    cr_expect_eq(parts->things.count, 0);
}
