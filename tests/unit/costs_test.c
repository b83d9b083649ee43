/* What allowances cost, where it can be worked out by hand.
 *
 * The set-up: a page and a sensor of 2 to 1, so that the frame is 40 x 20 mm; the drawing is 400 mm wide, 10
 * mm for one on the sensor. A puppet 200 mm tall is drawn 80 mm tall, with its eyes and the lens 150 mm up,
 * and its foot 60 mm under the middle of the drawing: so every camera is level. Then the magnification at the
 * mark is m = 80 / (10 x 200) = 1/25 whatever the lens, so D = f (1 + 1/m) = 26 f (docs/geometry.md, rule 7),
 * the frame is 40 / m = 1000 mm wide at the mark, and 1000 (1 + 2 spare) (1 + b / D) at the depth b (rule
 * 24). Its lower edge meets the ground D (1 - 150 m / (20 (1/2 + spare))) in front of the mark, 0.4 D without
 * a spare (rule 25). */
#include "shop/book_costs.h"
#include "shop/plan_to_costs.h"
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
TestSuite(costs, .init = set_up, .fini = tear_down);

#define BOOK                                                                                                 \
    "groundrow: 1\n"                                                                                         \
    "lengths: millimetres\n"                                                                                 \
    "page: {wide: 400 mm, tall: 200 mm}\n"                                                                   \
    "cast: {otter: {tall: 200 mm, eyes: 150 mm, wide: 60 mm, deep: 40 mm}}\n"                                \
    "cameras: {hired: {sensor: 40 x 20 mm}}\n"                                                               \
    "cut: 0.1 mm\n"                                                                                          \
    "stock:\n"                                                                                               \
    "  ply: {sheet: 1400 x 3000 mm, thick: 18 mm, weighs: 10 kg/m2, price: 50}\n"                            \
    "  card: {sheet: 500 x 1600 mm, thick: 5 mm}\n"                                                          \
    "  rest: {thick: 5 mm, have: [500 x 1600 mm]}\n"
#define SCENE                                                                                                \
    "scene: x\n"                                                                                             \
    "drawing: {wide: 400 mm}\n"                                                                              \
    "mark: {puppet: otter, drawn: {foot: [200 mm, 40 mm], tall: 80 mm}}\n"                                   \
    "camera: {lens: 85 mm, height: 150 mm}\n"

/* Half a cut at each end, and what the solver leaves. */
static const double NEAR_MM = 0.3;

static double wide_mm(double focal_mm, double spare, double back_mm) {
    return 1000 * (1 + 2 * spare) * (1 + back_mm / (26 * focal_mm));
}

static double front_mm(double focal_mm, double spare) {
    return -26 * focal_mm * (1 - 6 / (20 * (0.5 + spare)));
}

static Plan *planned(const char *scene) {
    Spec spec = spec_of(arena, BOOK, scene);
    cr_assert(spec.plan != NULL, "%s", spec_words(arena, &spec));
    spec.plan->parts = plan_to_parts(arena, spec.plan, &spec.diagnostics);
    cr_assert(spec.plan->parts->cutting != NULL, "%s", spec_words(arena, &spec));
    const size_t said = spec.diagnostics.items.count;
    spec.plan->costs = plan_to_costs(arena, spec.plan);
    cr_assert_eq(spec.diagnostics.items.count, said);
    return spec.plan;
}

static Plan *planned_with(const char *more) {
    return planned(arena_format(arena, "%s%s", SCENE, more));
}

static const Cost *find_cost(const Plan *plan, Allowance kind, int shot) {
    for (size_t i = 0; i < plan->costs->items.count; i++) {
        const Cost *cost = &plan->costs->items.items[i];
        if (cost->allowance.kind == kind && cost->allowance.shot == shot) return cost;
    }
    return NULL;
}

static const Cost *cost_of(const Plan *plan, Allowance kind, int shot) {
    const Cost *cost = find_cost(plan, kind, shot);
    cr_assert(cost != NULL);
    return cost;
}

/* 0 where it is not among the costs. */
static double size_of(const Plan *plan, const Cost *cost, const char *thing, CostedSize size) {
    for (size_t i = 0; i < cost->sizes.count; i++)
        if (cost->sizes.items[i].size == size && cost->sizes.items[i].thing == plan_find(plan, thing))
            return cost->sizes.items[i].mm;
    return 0;
}

Test(costs, nothing_allowed_costs_nothing) {
    const Plan *plan = planned_with("ground: {rear: 1300 mm}\nallow: {lens: 85 mm, height: 150 mm}\n");
    cr_expect_eq(plan->costs->items.count, 0);
    for (int kind = 0; kind <= ALLOW_COUNT; kind++)
        cr_expect_not(plan->costs->without[kind].used);
}

Test(costs, a_shorter_lens_widens_the_rear) {
    const Plan *plan = planned_with("ground: {rear: 1300 mm}\nallow: {lens: 60 to 105 mm}\n");
    const Cost *cost = cost_of(plan, ALLOW_SHORTER, 0);
    cr_expect_eq(cost->allowance.allowed, 60);
    cr_expect_float_eq(cost->allowance.planned, 85, 1e-6);
    cr_expect_float_eq(size_of(plan, cost, "ground", SIZE_WIDE_AT_REAR),
                       wide_mm(60, 0, 1300) - wide_mm(85, 0, 1300), NEAR_MM);
    cr_expect_eq(size_of(plan, cost, "ground", SIZE_DEEP), 0);
    cr_expect_eq(plan->costs->items.count, 3); /* shorter, longer, all */
}

/* What ends the ground is the frame's lower edge; its sides run straight from the front to the rear corners.
 */
Test(costs, a_longer_lens_deepens_the_front) {
    const Plan *plan = planned_with("ground: {rear: 1300 mm}\nallow: {lens: 60 to 105 mm}\n");
    const Cost *cost = cost_of(plan, ALLOW_LONGER, 0);
    const double near = front_mm(85, 0), far = front_mm(105, 0), rear = wide_mm(60, 0, 1300);
    cr_expect_float_eq(near, -884, 1e-9);
    cr_expect_float_eq(size_of(plan, cost, "ground", SIZE_DEEP), near - far, NEAR_MM);
    const double front = wide_mm(105, 0, far);
    const double there = front + (rear - front) * (near - far) / (1300 - far);
    cr_expect_float_eq(size_of(plan, cost, "ground", SIZE_WIDE_AT_FRONT), there - wide_mm(85, 0, near),
                       NEAR_MM);
    cr_expect_eq(size_of(plan, cost, "ground", SIZE_WIDE_AT_REAR), 0);
}

Test(costs, spare_and_margin) {
    const Plan *plan = planned_with("ground: {rear: 1300 mm, margin: 70 mm}\nallow: {spare: 5 %}\n");
    const Cost *spare = cost_of(plan, ALLOW_SPARE, 0), *margin = cost_of(plan, ALLOW_MARGIN, -1);
    const double all = size_of(plan, cost_of(plan, ALLOW_COUNT, -1), "ground", SIZE_WIDE_AT_REAR);
    const double wider = wide_mm(85, 0.05, 1300) - wide_mm(85, 0, 1300);
    cr_expect_float_eq(size_of(plan, spare, "ground", SIZE_WIDE_AT_REAR), wider, NEAR_MM);
    cr_expect_float_eq(size_of(plan, spare, "ground", SIZE_DEEP), front_mm(85, 0) - front_mm(85, 0.05),
                       NEAR_MM);
    cr_expect_float_eq(size_of(plan, margin, "ground", SIZE_WIDE_AT_REAR), 140, NEAR_MM);
    cr_expect_float_eq(size_of(plan, margin, "ground", SIZE_DEEP), 70, NEAR_MM);
    cr_expect_float_eq(all, 140 + wider, NEAR_MM);
}

/* The horizon is in the middle of the frame, so a backdrop reaches a quarter of its width over the lens. */
Test(costs, what_covers_grows_with_a_shorter_lens) {
    const Plan *plan = planned_with("ground: {rear: 1400 mm}\nallow: {lens: 60 to 85 mm}\n"
                                    "backdrop: {at: {back: 1300 mm}}\n");
    const Cost *cost = cost_of(plan, ALLOW_SHORTER, 0);
    cr_expect_float_eq(size_of(plan, cost, "backdrop", SIZE_WIDE),
                       wide_mm(60, 0, 1300) - wide_mm(85, 0, 1300), NEAR_MM);
    cr_expect_float_eq(size_of(plan, cost, "backdrop", SIZE_TALL),
                       (wide_mm(60, 0, 1300) - wide_mm(85, 0, 1300)) / 4, NEAR_MM);
}

/* The lens is not stated: it is the middle of what is allowed, and stays when the allowance goes. */
Test(costs, the_planned_camera_stays) {
    const Plan *plan = planned("scene: x\n"
                               "drawing: {wide: 400 mm}\n"
                               "mark: {puppet: otter, drawn: {foot: [200 mm, 40 mm], tall: 80 mm}}\n"
                               "camera: {height: 150 mm}\n"
                               "ground: {rear: 1300 mm}\n"
                               "allow: {lens: 64 to 100 mm}\n");
    const Cost *cost = cost_of(plan, ALLOW_SHORTER, 0);
    cr_expect_float_eq(cost->allowance.planned, 80, 1e-6);
    cr_expect_float_eq(size_of(plan, cost, "ground", SIZE_WIDE_AT_REAR),
                       wide_mm(64, 0, 1300) - wide_mm(80, 0, 1300), NEAR_MM);
}

/* Of a list, each shorter one goes; the planned one need not be in it. */
Test(costs, of_a_list_what_is_shorter_goes) {
    const Plan *plan =
        planned_with("ground: {rear: 1300 mm}\nallow: {lens: [70 mm, 60 mm, 105 mm, 85 mm]}\n");
    cr_expect_float_eq(size_of(plan, cost_of(plan, ALLOW_SHORTER, 0), "ground", SIZE_WIDE_AT_REAR),
                       wide_mm(60, 0, 1300) - wide_mm(85, 0, 1300), NEAR_MM);
    const Plan *between = planned_with("ground: {rear: 1300 mm}\nallow: {lens: [60 mm, 105 mm]}\n");
    cr_expect_float_eq(size_of(between, cost_of(between, ALLOW_SHORTER, 0), "ground", SIZE_WIDE_AT_REAR),
                       wide_mm(60, 0, 1300) - wide_mm(85, 0, 1300), NEAR_MM);
}

/* A word of `allow` or `ground` that a size names keeps its number. */
Test(costs, what_is_stated_stays) {
    const Plan *plan = planned_with("ground: {rear: 1300 mm, margin: 70 mm}\n"
                                    "pieces: {block: {wide: 2 * ground.margin, tall: 50 mm, deep: 50 mm, at: "
                                    "{across: 200 mm, back: 200 mm}}}\n");
    const Allowances margin = 1u << ALLOW_MARGIN;
    Diagnostics said = diagnostics_new(arena);
    const Plan *without = plan_without(arena, plan, &margin, &said);
    cr_assert_not_null(without);
    cr_expect_eq(without->things[plan_find(without, "block")].wide_mm, 140);
    cr_expect_float_eq(without->ground_outline.rear_right_mm, plan->ground_outline.rear_right_mm - 70,
                       NEAR_MM);
}

/* Without the shorter lens the flat is narrower than its door: so nothing is said of that lens, and nothing
 * of the fault. */
Test(costs, what_cannot_be_planned_is_left_out) {
    const Plan *plan =
        planned_with("ground: {rear: 1300 mm}\nallow: {lens: 60 to 85 mm, spare: 1 %}\n"
                     "flats: {wall: {at: {back: 1200 mm}, wide: cover, tall: 400 mm, openings: "
                     "{gate: {wide: 1650 mm, tall: 200 mm}}}}\n");
    cr_expect_null(find_cost(plan, ALLOW_SHORTER, 0));
    cr_expect_null(find_cost(plan, ALLOW_COUNT, -1));
    cr_expect_not_null(find_cost(plan, ALLOW_SPARE, 0));
    cr_expect_not(plan->costs->without[ALLOW_SHORTER].used);
}

/* --- sheets -----------------------------------------------------------------------------------------------
 */

/* A base from 100 mm in front of the mark to 1300 behind, as deep as a sheet is wide. Two of them head to
 * tail are front + rear + (rear - front) / 2 long: with the 85 mm lens alone 2860 of a sheet's 3000 mm, with
 * the 60 mm lens 3227. One fits whichever. */
#define BASE "ground: {front: -100 mm, rear: 1300 mm}\nallow: {lens: 60 to 85 mm}\n"

static double two_mm(double focal_mm) {
    const double front = wide_mm(85, 0, -100), rear = wide_mm(focal_mm, 0, 1300);
    return front + rear + (rear - front) / 2;
}

Test(costs, a_base_of_two_layers_takes_another_sheet) {
    cr_assert_leq(two_mm(85), 3000);
    cr_assert_gt(two_mm(60), 3000);
    const Plan *plan = planned_with(BASE "base: {stock: ply, thick: 36 mm}\n");
    const Cost *cost = cost_of(plan, ALLOW_SHORTER, 0);
    cr_assert_eq(cost->stocks.count, 1);
    cr_expect_str_eq(cost->stocks.items[0].stock.name, "ply");
    cr_expect_eq(cost->stocks.items[0].more, 1);
    cr_expect_eq(stock_costs_price(&cost->stocks), 50);
    const double more_m2 = 2 * (wide_mm(60, 0, 1300) - wide_mm(85, 0, 1300)) / 2 * 1400 * 1e-6;
    cr_expect_float_eq(cost->weight_kg, 10 * more_m2, 0.01);
    cr_expect(plan->costs->without[ALLOW_SHORTER].used);
    cr_expect_not_null(plan->costs->without[ALLOW_SHORTER].cutting);
}

/* A rectangle of more area than a sheet takes two; what nothing is left for is told where nothing can be
 * bought. */
Test(costs, a_flat_takes_another_sheet) {
    static const char flat[] =
        BASE "flats: {wall: {at: {back: 1290 mm}, wide: cover, tall: 500 mm, stock: %s}}\n";
    const Plan *plan = planned_with(arena_format(arena, flat, "card"));
    const Cost *card = cost_of(plan, ALLOW_SHORTER, 0);
    cr_assert_eq(card->stocks.count, 1);
    cr_expect_eq(card->stocks.items[0].more, 1);
    cr_expect_eq(card->stocks.items[0].more_lacking, 0);
    cr_expect_eq(stock_costs_price(&card->stocks), 0);
    const Cost *rest = cost_of(planned_with(arena_format(arena, flat, "rest")), ALLOW_SHORTER, 0);
    cr_assert_eq(rest->stocks.count, 1);
    cr_expect_eq(rest->stocks.items[0].more, 0);
    cr_expect_eq(rest->stocks.items[0].more_lacking, 1);
}

/* A search that happens to find worse for less costs nothing; less to cut because of the allowance saves. */
Test(costs, more_to_cut_is_never_fewer_sheets) {
    const CutStock ply = {.name = "ply", .thick_mm = 18};
    StockTallies with = {0}, without = {0};
    LIST_PUSH(arena, with, (StockTally){.stock = ply, .new_count = 3, .parts_mm2 = 200});
    LIST_PUSH(arena, without, (StockTally){.stock = ply, .new_count = 4, .parts_mm2 = 190});
    StockTallies smaller = {0};
    LIST_PUSH(arena, smaller, without.items[0]);
    tallies_no_worse(&smaller, &with);
    cr_expect_eq(tallies_to_costs(arena, &with, &smaller).count, 0);
    without.items[0].parts_mm2 = 210;
    tallies_no_worse(&without, &with);
    const StockCosts costs = tallies_to_costs(arena, &with, &without);
    cr_assert_eq(costs.count, 1);
    cr_expect_eq(costs.items[0].more, -1);
}

Test(costs, stocks_of_one_side_alone) {
    StockTallies with = {0}, without = {0};
    LIST_PUSH(
        arena, with,
        (StockTally){.stock = {.name = "paper", .index = 1, .thick_mm = 2}, .new_count = 2, .parts_mm2 = 1});
    LIST_PUSH(arena, without,
              (StockTally){.stock = {.name = "ply", .index = 0}, .new_count = 1, .parts_mm2 = 1});
    LIST_PUSH(
        arena, without,
        (StockTally){.stock = {.name = "paper", .index = 1, .thick_mm = 1}, .new_count = 2, .parts_mm2 = 1});
    const StockCosts costs = tallies_to_costs(arena, &with, &without);
    cr_assert_eq(costs.count, 3);
    cr_expect_eq(costs.items[0].more, -1);
    cr_expect_eq(costs.items[1].more, -2);
    cr_expect_eq(costs.items[2].more, 2);
}

/* --- a book ------------------------------------------------------------------------------------------------
 */

static SceneCuttings cuttings_of(const Plan *plan) {
    return (SceneCuttings){plan->parts->cutting, plan->costs->without};
}

/* Each scene alone takes one sheet whichever; both together one without the shorter lens, and two with it. */
Test(costs, a_book_shares_its_sheets) {
    const Plan *first = planned_with(BASE "base: {stock: ply}\n"),
               *second = planned_with(BASE "base: {stock: ply}\n");
    cr_expect_eq(cost_of(first, ALLOW_SHORTER, 0)->stocks.count, 0);
    const SceneCuttings scenes[] = {cuttings_of(first), cuttings_of(second)};
    const Cutting *cuttings[] = {first->parts->cutting, second->parts->cutting};
    const BookCosts costs = cuttings_to_costs(arena, cuttings_to_book(arena, cuttings, 2), scenes, 2);
    cr_assert_eq(costs.count, 1); /* one kind: no line for all of them */
    cr_expect_eq(costs.items[0].kind, ALLOW_SHORTER);
    cr_expect_eq(costs.items[0].scenes, 2);
    cr_assert_eq(costs.items[0].stocks.count, 1);
    cr_expect_eq(costs.items[0].stocks.items[0].more, 1);
}

/* --- shots -------------------------------------------------------------------------------------------------
 */

#define SHOTS                                                                                                \
    "scene: x\n"                                                                                             \
    "ground: {rear: 1300 mm}\n"                                                                              \
    "shots:\n"                                                                                               \
    "  whole:\n"                                                                                             \
    "    drawing: {wide: 400 mm}\n"                                                                          \
    "    mark: {puppet: otter, drawn: {foot: [200 mm, 40 mm], tall: 80 mm}}\n"                               \
    "    camera: {lens: 85 mm, height: 150 mm}\n"                                                            \
    "    allow: {lens: 60 to 85 mm}\n"                                                                       \
    "  again:\n"                                                                                             \
    "    drawing: {wide: 400 mm}\n"                                                                          \
    "    mark: {puppet: otter, at: {across: 0, back: 0}, drawn: {foot: [200 mm, 40 mm], tall: 80 mm}}\n"     \
    "    camera: {lens: 85 mm, height: 150 mm}\n"                                                            \
    "    allow: {lens: %s}\n"

/* One shot's shorter lens costs what the other does not ask for, too. For the book, the kind goes in all
 * shots. */
Test(costs, shot_by_shot) {
    const Plan *plan = planned(arena_format(arena, SHOTS, "70 to 85 mm"));
    cr_expect_float_eq(size_of(plan, cost_of(plan, ALLOW_SHORTER, 0), "ground", SIZE_WIDE_AT_REAR),
                       wide_mm(60, 0, 1300) - wide_mm(70, 0, 1300), NEAR_MM);
    cr_expect_eq(cost_of(plan, ALLOW_SHORTER, 1)->sizes.count, 0);
    cr_expect_float_eq(size_of(plan, cost_of(plan, ALLOW_COUNT, -1), "ground", SIZE_WIDE_AT_REAR),
                       wide_mm(60, 0, 1300) - wide_mm(85, 0, 1300), NEAR_MM);
    const Plan *alike = planned(arena_format(arena, SHOTS, "60 to 85 mm"));
    cr_expect_eq(cost_of(alike, ALLOW_SHORTER, 0)->sizes.count, 0);
    cr_expect_eq(cost_of(alike, ALLOW_SHORTER, 1)->sizes.count, 0);
}

/* --- at random ---------------------------------------------------------------------------------------------
 */

static uint32_t chance;
static int drawn(int low, int high) { /* both included */
    chance = chance * 1664525u + 1013904223u;
    return low + (int)((chance >> 8) % (uint32_t)(high - low + 1));
}

static const char *random_scene(void) {
    const int lens = drawn(35, 100), height = drawn(80, 400);
    const int shortest = lens - drawn(0, 12), longest = lens + drawn(0, 25), lowest = height - drawn(0, 30),
              highest = height + drawn(0, 60), margin = drawn(0, 1) * drawn(0, 80), foot = drawn(10, 60),
              tall = drawn(50, 110), x = drawn(80, 320), spare = drawn(0, 8), rear = drawn(700, 1600);
    return arena_format(arena,
                        "scene: x\n"
                        "drawing: {wide: 400 mm}\n"
                        "mark: {puppet: otter, drawn: {foot: [%d mm, %d mm], tall: %d mm}}\n"
                        "camera: {lens: %d mm, height: %d mm}\n"
                        "allow: {lens: %d to %d mm, height: %d to %d mm, spare: %d %%}\n"
                        "ground: {rear: %d mm, margin: %d mm}\n"
                        "flats: {wall: {at: {back: %d mm}, wide: cover, tall: 300 mm}}\n"
                        "backdrop: {at: {back: %d mm}}\n",
                        x, foot, tall, lens, height, shortest, longest, lowest, highest, spare, rear, margin,
                        rear - 200, rear - 20);
}

static double wide_of(const Trapezoid *t, double back_mm) {
    const double front = t->front_right_mm - t->front_left_mm, rear = t->rear_right_mm - t->rear_left_mm;
    return front + (rear - front) * (back_mm - t->front_mm) / (t->rear_mm - t->front_mm);
}

/* Rule 21 leaves a camera inside the ranges 0.1 % of the width and 0.2 % at the top. */
static void expect_no_larger(const Plan *less, const Plan *more) {
    const Trapezoid *a = &less->ground_outline, *b = &more->ground_outline;
    cr_expect_geq(a->front_mm, b->front_mm - 0.002 * (b->rear_mm - b->front_mm) - 0.4);
    const double front = fmax(a->front_mm, b->front_mm);
    cr_expect_leq(wide_of(a, front), 1.002 * wide_of(b, front) + 0.4);
    cr_expect_leq(wide_of(a, a->rear_mm), 1.002 * wide_of(b, a->rear_mm) + 0.4);
    for (size_t i = 0; i < more->scene->thing_count; i++) {
        cr_expect_leq(less->things[i].wide_mm, 1.002 * more->things[i].wide_mm + 0.4);
        cr_expect_leq(less->things[i].tall_mm, 1.002 * more->things[i].tall_mm + 0.4);
    }
}

/* Whatever is given up, nothing that covers gets larger; and giving up more leaves it no larger still. */
Test(costs, what_covers_is_monotone) {
    int tried = 0;
    for (chance = 7; tried < 150;) {
        Spec spec = spec_of(arena, BOOK, random_scene());
        if (!spec.plan) continue;
        tried++;
        const Allowances some = (Allowances)drawn(1, (1 << ALLOW_COUNT) - 1),
                         more = some | (Allowances)drawn(1, (1 << ALLOW_COUNT) - 1);
        Diagnostics said = diagnostics_new(arena);
        const Plan *one = plan_without(arena, spec.plan, &some, &said),
                   *other = plan_without(arena, spec.plan, &more, &said);
        cr_assert(one && other, "%s", spec_words(arena, &spec));
        cr_expect_float_eq(one->shots[0].solution.camera.distance_mm,
                           spec.plan->shots[0].solution.camera.distance_mm, 0);
        expect_no_larger(one, spec.plan);
        expect_no_larger(other, one);
    }
}
