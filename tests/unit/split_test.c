/* Which seams are taken: docs/geometry.md, rules 81 and 86. */
#include "base/number.h"
#include "plan/room.h"
#include "plan/table_seams.h"
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
TestSuite(split, .init = set_up, .fini = tear_down);

static Spec spec;

/* A board of the book's one stock, as deep as told, with more in the book. */
static const Parts *base_of(const char *sheet, const char *of_book, int rear_mm, int lip_mm) {
    const char *book = arena_format(arena,
                                    "groundrow: 1\n"
                                    "lengths: millimetres\n"
                                    "page: {wide: 280 mm, tall: 216 mm}\n"
                                    "cast: {otter: {tall: 280 mm}}\n"
                                    "cameras: {hired: {sensor: 36 x 24 mm}}\n"
                                    "stock: {ply: {sheet: %s, thick: 18 mm, weighs: 10 kg/m2}}\n%s",
                                    sheet, of_book);
    const char *scene = arena_format(arena,
                                     "scene: x\npages: 8-9\ndrawing: {wide: 420 mm}\n"
                                     "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"
                                     "camera: {lens: 85 mm, height: 254 mm}\naccept: [camera shoots-off]\n"
                                     "ground: {rear: %d mm}\nbase: {lip: %d mm, stock: ply}\n",
                                     rear_mm, lip_mm);
    spec = spec_of(arena, book, scene);
    cr_assert(spec.plan != NULL, "%s", spec_words(arena, &spec));
    const Parts *parts = plan_to_parts(arena, spec.plan, &spec.diagnostics);
    cr_assert_eq(spec.diagnostics.errors, 0, "%s", spec_words(arena, &spec));
    return parts;
}

static unsigned random_below(unsigned *state, unsigned most) {
    *state = *state * 1664525u + 1013904223u;
    return (*state >> 8) % most;
}

/* --- where they end --------------------------------------------------------------------------------------
 */

static double between(double front, double rear, double share) {
    return front + share * (rear - front);
}

/* The base is wider at the rear, and so are its rows than the seams in front of them. */
Test(split, seams_end_at_the_edges) {
    int seams = 0;
    for (int sheet = 500; sheet <= 1200; sheet += 175) {
        const Parts *parts = base_of(arena_format(arena, "%d x 2400 mm", sheet), "", 1500, 40);
        const Trapezoid *t = &spec.plan->base_outline;
        cr_assert_gt(t->rear_right_mm - t->front_right_mm, 50);
        for (size_t i = 0; i < parts->seams.count; i++) {
            const PartSeam *seam = &parts->seams.items[i];
            const double share = (seam->at_mm - t->front_mm) / (t->rear_mm - t->front_mm);
            if (!seam->across) continue;
            cr_expect_float_eq(seam->from_mm, between(t->front_left_mm, t->rear_left_mm, share), 1e-6);
            cr_expect_float_eq(seam->to_mm, between(t->front_right_mm, t->rear_right_mm, share), 1e-6);
            seams++;
        }
    }
    cr_expect_geq(seams, 3);
}

/* --- layers ----------------------------------------------------------------------------------------------
 */

/* Ground of so many layers of foam on a base of two boards or more. */
static const Parts *layers_of(int wide, int tall, int layers, int rear_mm) {
    const char *book =
        arena_format(arena,
                     "groundrow: 1\nlengths: millimetres\npage: {wide: 280 mm, tall: 216 mm}\n"
                     "cast: {otter: {tall: 280 mm}}\ncameras: {hired: {sensor: 36 x 24 mm}}\n"
                     "stock: {ply: {sheet: 1220 x 2440 mm, thick: 18 mm}, foam: {sheet: %d x %d mm, "
                     "thick: 50 mm}}\n",
                     wide, tall);
    const char *scene =
        arena_format(arena,
                     "scene: x\npages: 8-9\ndrawing: {wide: 420 mm}\n"
                     "mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}\n"
                     "camera: {lens: 85 mm, height: 254 mm}\naccept: [camera shoots-off]\n"
                     "ground: {rear: %d mm, thick: %d mm, stock: foam}\nbase: {lip: 40 mm, stock: ply}\n",
                     rear_mm, 50 * layers);
    spec = spec_of(arena, book, scene);
    cr_assert(spec.plan != NULL, "%s", spec_words(arena, &spec));
    const Parts *parts = plan_to_parts(arena, spec.plan, &spec.diagnostics);
    cr_assert_eq(spec.diagnostics.errors, 0, "%s", spec_words(arena, &spec));
    return parts;
}

/* Of two layers the one, from the bottom, the base as 0. */
static bool is_in_layer(const PartSeam *seam, int layers, int layer) {
    const double top = layer == 0 ? -50.0 * layers : 50.0 * (layer - layers);
    return fabs(seam->top_mm - top) < 1;
}

static int along_under(const Parts *parts, int layers) {
    int along = 0;
    for (int layer = 1; layer <= layers; layer++) {
        for (size_t i = 0; i < parts->seams.count; i++) {
            for (size_t k = 0; k < parts->seams.count; k++) {
                const PartSeam *a = &parts->seams.items[i], *b = &parts->seams.items[k];
                along += is_in_layer(a, layers, layer) && is_in_layer(b, layers, layer - 1) &&
                         a->across == b->across && fabs(a->at_mm - b->at_mm) < 152.3 &&
                         fmax(a->from_mm, b->from_mm) < fmin(a->to_mm, b->to_mm);
            }
        }
    }
    return along;
}

/* As bricks are laid (common practice, no source): of these sheets there is a way that takes no more. */
Test(split, no_joint_lies_over_another) {
    static const int sheets[][2] = {{610, 2440}, {1000, 2000}, {1220, 2440}};
    for (int s = 0; s < 3; s++)
        for (int rear = 1050; rear <= 1800; rear += 150) {
            const Parts *parts = layers_of(sheets[s][0], sheets[s][1], 3, rear);
            cr_expect_eq(along_under(parts, 3), 0, "sheets of %d x %d, rear %d: %d joints in line",
                         sheets[s][0], sheets[s][1], rear, along_under(parts, 3));
        }
}

/* Layers are laid out once and again: of many, those two apart have the same seams. */
Test(split, layers_are_laid_like_bricks) {
    enum { LAYERS = 40 };
    const Parts *parts = layers_of(600, 1250, LAYERS, 1200);
    int seams[2] = {0};
    for (size_t i = 0; i < parts->seams.count; i++) {
        const PartSeam *a = &parts->seams.items[i];
        for (int layer = LAYERS / 2; layer + 2 <= LAYERS; layer++) {
            if (!is_in_layer(a, LAYERS, layer)) continue;
            bool again = false;
            for (size_t k = i; k < parts->seams.count && !again; k++) {
                const PartSeam *b = &parts->seams.items[k];
                again = is_in_layer(b, LAYERS, layer + 2) && a->across == b->across && a->at_mm == b->at_mm &&
                        a->from_mm == b->from_mm && a->to_mm == b->to_mm;
            }
            cr_expect(again, "layer %d", layer);
            seams[layer % 2]++;
        }
    }
    cr_expect_gt(seams[0], 20);
    cr_expect_gt(seams[1], 20);
}

/* --- tables ----------------------------------------------------------------------------------------------
 */

/* By hand: two rows of 500 mm, 100 mm apart; two tables of 1000 mm in the nearer row, one in the other. */
static Tables two_rows(double apart_mm) {
    Tables tables = {.across_mm = 1000, .back_mm = 500, .apart_mm = apart_mm, .count = 3, .row_count = 2};
    tables.items = ARENA_ARRAY(arena, PlanTable, 3);
    tables.rows = ARENA_ARRAY(arena, TableRow, 2);
    tables.items[0] = (PlanTable){.left_mm = -1000 - apart_mm / 2};
    tables.items[1] = (PlanTable){.column = 1, .left_mm = apart_mm / 2};
    tables.items[2] = (PlanTable){.row = 1, .left_mm = -500, .front_mm = 500 + apart_mm};
    tables.rows[0] = (TableRow){.first = 0, .count = 2};
    tables.rows[1] = (TableRow){.first = 2, .count = 1};
    return tables;
}

static SeamBed bed_of(const Tables *tables, bool across, double at, double from, double to) {
    const PartSeam seam = {.across = across, .at_mm = at, .from_mm = from, .to_mm = to};
    const NoBed *bed = seam_no_bed(arena, tables, &seam);
    return bed ? bed->bed : SEAM_ON_TOP;
}

Test(split, beds_by_hand) {
    const Tables apart = two_rows(100), joined = two_rows(0);
    const double d = SEAM_ON_TABLE_MM;
    cr_expect_eq(bed_of(&apart, true, 250, -900, 900), SEAM_ON_TOP);
    cr_expect_eq(bed_of(&apart, true, 500 - d, -900, 900), SEAM_ON_TOP);
    cr_expect_eq(bed_of(&apart, true, 503 - d, -900, 900), SEAM_AT_GAP);
    cr_expect_eq(bed_of(&apart, true, 550, -900, 900), SEAM_AT_GAP);
    cr_expect_eq(bed_of(&apart, true, 600 + d, -900, 900), SEAM_ON_TOP);
    cr_expect_eq(bed_of(&apart, true, d - 3, -900, 900), SEAM_AT_EDGE);
    cr_expect_eq(bed_of(&apart, true, -20, -900, 900), SEAM_AT_EDGE);
    cr_expect_eq(bed_of(&apart, true, 1100, -900, 900), SEAM_AT_EDGE);
    cr_expect_eq(bed_of(&joined, true, 500, -900, 900), SEAM_AT_JOINT);
    cr_expect_eq(bed_of(&joined, true, 500 + d, -900, 900), SEAM_ON_TOP);
    /* square to the front: in the nearer row the middle is open, in the other it is not */
    cr_expect_eq(bed_of(&apart, false, 0, 0, 500), SEAM_AT_GAP);
    cr_expect_eq(bed_of(&apart, false, 0, 600, 1100), SEAM_ON_TOP);
    cr_expect_eq(bed_of(&apart, false, 0, 500, 1100), SEAM_ON_TOP);
    cr_expect_eq(bed_of(&apart, false, 0, 300, 1100), SEAM_AT_GAP);
    cr_expect_eq(bed_of(&joined, false, 0, 0, 500), SEAM_AT_JOINT);
    cr_expect_eq(bed_of(&apart, false, 500, 600, 1100), SEAM_AT_EDGE);
    cr_expect_eq(bed_of(&apart, false, 700, 0, 500), SEAM_ON_TOP);
}

static bool is_on_table(const Tables *tables, double x, double y) {
    for (int t = 0; t < tables->count; t++) {
        const PlanTable *it = &tables->items[t];
        if (x >= it->left_mm && x <= it->left_mm + tables->across_mm && y >= it->front_mm &&
            y <= it->front_mm + tables->back_mm)
            return true;
    }
    return false;
}

static bool is_in_row(const Tables *tables, double y) {
    for (int t = 0; t < tables->count; t++)
        if (y >= tables->items[t].front_mm && y <= tables->items[t].front_mm + tables->back_mm) return true;
    return false;
}

/* Whether both parts lie on tops beside a seam, point by point; but for its very ends, and, across the set,
 * for what lies between tables that it crosses or hangs over their ends. */
static bool is_borne(const Tables *tables, const PartSeam *seam) {
    const double from = seam->from_mm + SEAM_ON_TABLE_MM, to = seam->to_mm - SEAM_ON_TABLE_MM;
    for (int side = -1; side <= 1; side += 2) {
        const double at = seam->at_mm + side * (SEAM_ON_TABLE_MM - 1);
        int on = 0, rows = 0;
        for (int i = 0; i <= 200; i++) {
            const double along = from + (to - from) * i / 200;
            rows += !seam->across && is_in_row(tables, along);
            on += seam->across ? is_on_table(tables, along, at) : is_on_table(tables, at, along);
        }
        if (seam->across ? on == 0 : on < rows) return false;
    }
    return true;
}

static int new_sheets(const Parts *parts) {
    int count = 0;
    for (int i = 0; i < parts->cutting->stock_count; i++)
        count += parts->cutting->stocks[i].new_count;
    return count;
}

/* Tables never cost a part or a sheet; where seams have no bed it is told. Most of the time they have one,
 * and of as many without tables most have none by chance. */
Test(split, seams_lie_on_tables_at_no_price) {
    unsigned state = 11;
    int seams = 0, off = 0, by_chance = 0;
    for (int round = 0; round < 40; round++) {
        const int rear = 600 + (int)random_below(&state, 1800), lip = (int)random_below(&state, 80);
        const int wide = 500 + (int)random_below(&state, 1000), deep = 400 + (int)random_below(&state, 400);
        const int apart = random_below(&state, 2) == 1 ? 0 : (int)random_below(&state, 400);
        const char *table = arena_format(arena, "table: {wide: %d mm, deep: %d mm, tall: 700 mm%s}\n", wide,
                                         deep, apart > 0 ? arena_format(arena, ", apart: %d mm", apart) : "");
        const Parts *without = base_of("1220 x 2440 mm", "", rear, lip);
        const Parts *with = base_of("1220 x 2440 mm", table, rear, lip);
        Tables tables;
        cr_assert(plan_tables(arena, spec.plan, &tables));
        cr_expect_eq(with->items.count, without->items.count);
        cr_expect_leq(new_sheets(with), new_sheets(without));
        for (size_t i = 0; i < with->seams.count; i++) {
            const PartSeam *seam = &with->seams.items[i];
            const bool no_bed = seam_no_bed(arena, &tables, seam) != NULL;
            cr_assert(seam->on_tables);
            cr_expect(no_bed || is_borne(&tables, seam), "a seam at %g mm", seam->at_mm);
            off += no_bed;
            seams++;
        }
        for (size_t i = 0; i < without->seams.count; i++)
            by_chance += seam_no_bed(arena, &tables, &without->seams.items[i]) != NULL;
    }
    cr_expect_geq(seams, 40);
    cr_expect_leq(off * 4, by_chance, "%d of %d seams off tables, %d by chance", off, seams, by_chance);
}

/* --- slivers ---------------------------------------------------------------------------------------------
 */

static double narrowest(const Parts *parts) {
    double least = INFINITY;
    for (size_t i = 0; i < parts->items.count; i++) {
        const Part *it = &parts->items.items[i];
        least = fmin(least, it->area_mm2 / fmax(it->wide_mm, it->tall_mm));
    }
    return least;
}

/* A base a little wider than a sheet is long: the seam goes where both parts are broad. */
Test(split, a_little_too_wide_makes_no_sliver) {
    int slivers = 0;
    for (int i = 0; i < 20; i++) {
        const Parts *parts = base_of("1220 x 2440 mm", "", 1300 + 20 * i, 30);
        const Trapezoid *t = &spec.plan->base_outline;
        const double over = fmax(t->rear_right_mm - t->rear_left_mm, t->rear_mm - t->front_mm) - 2440;
        if (over > 0 && over < 300) slivers += narrowest(parts) < 200;
    }
    cr_expect_eq(slivers, 0);
}

/* --- the door --------------------------------------------------------------------------------------------
 */

static int stay_out(const Parts *parts, double wide_mm, double tall_mm) {
    int count = 0;
    for (size_t i = 0; i < parts->items.count; i++) {
        const Part *it = &parts->items.items[i];
        count += !passes_door(it->wide_mm, it->tall_mm, it->thick_mm, wide_mm, tall_mm);
    }
    return count;
}

/* A hatch that no whole sheet goes through. */
Test(split, parts_go_through_the_door) {
    const Parts *any = base_of("1220 x 2440 mm", "", 1400, 40);
    const Parts *parts = base_of("1220 x 2440 mm", "room: {door: 700 x 900 mm}\n", 1400, 40);
    cr_expect_gt(stay_out(any, 700, 900), 0);
    cr_expect_eq(stay_out(parts, 700, 900), 0);
    /* a door that all go through changes nothing */
    const Parts *wide = base_of("1220 x 2440 mm", "room: {door: 820 x 2040 mm}\n", 1400, 40);
    cr_assert_eq(wide->items.count, any->items.count);
    for (size_t i = 0; i < any->items.count; i++)
        cr_expect_eq(wide->items.items[i].wide_mm, any->items.items[i].wide_mm);
}
