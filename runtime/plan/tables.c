#include "plan/tables.h"

#include "plan/fixing.h"
#include "plan/shape.h"
#include "plan/weights.h"

#include <math.h>
#include <stdlib.h>

/* --- areas */

typedef struct Outline {
    PartPoint points[FOOTPRINT_MOST + 8];
    size_t count;
} Outline;

/* What lies where sign * (x or y) >= sign * limit. */
static Outline cut_off(const Outline *from, bool by_y, double limit, int sign) {
    Outline kept = {.count = 0};
    for (size_t i = 0; i < from->count; i++) {
        const PartPoint a = from->points[i], b = from->points[(i + 1) % from->count];
        const double da = sign * ((by_y ? a.y_mm : a.x_mm) - limit),
                     db = sign * ((by_y ? b.y_mm : b.x_mm) - limit);
        if (da >= 0) kept.points[kept.count++] = a;
        if ((da >= 0) == (db >= 0)) continue;
        const double t = da / (da - db);
        kept.points[kept.count++] =
            (PartPoint){a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)};
    }
    return kept;
}

static double area_of(const Outline *outline) {
    double twice = 0;
    for (size_t i = 0; i < outline->count; i++) {
        const PartPoint a = outline->points[i], b = outline->points[(i + 1) % outline->count];
        twice += a.x_mm * b.y_mm - b.x_mm * a.y_mm;
    }
    return fabs(twice) / 2;
}

double area_within_mm2(const PartPoint *points, size_t count, double left_mm, double right_mm,
                       double front_mm, double rear_mm) {
    Outline outline = {.count = count};
    for (size_t i = 0; i < count; i++)
        outline.points[i] = points[i];
    if (isfinite(left_mm)) outline = cut_off(&outline, false, left_mm, 1);
    if (isfinite(right_mm)) outline = cut_off(&outline, false, right_mm, -1);
    if (isfinite(front_mm)) outline = cut_off(&outline, true, front_mm, 1);
    if (isfinite(rear_mm)) outline = cut_off(&outline, true, rear_mm, -1);
    return area_of(&outline);
}

/* --- how they stand */

static const Trapezoid *carried(const Plan *plan) {
    return plan->base >= 0 ? &plan->base_outline : &plan->ground_outline;
}

static void edges_at(const Trapezoid *t, double back_mm, double *left_mm, double *right_mm) {
    const double deep = t->rear_mm - t->front_mm;
    const double share = deep > 0 ? fmin(fmax((back_mm - t->front_mm) / deep, 0), 1) : 0;
    *left_mm = t->front_left_mm + share * (t->rear_left_mm - t->front_left_mm);
    *right_mm = t->front_right_mm + share * (t->rear_right_mm - t->front_right_mm);
}

/* The fewest that carry a length with an overhang at both ends. */
static double how_many(double length_mm, double one_mm, double apart_mm) {
    const double to_carry = length_mm - 2 * TABLE_OVERHANG_MM;
    return fmax(ceil((to_carry + apart_mm) / (one_mm + apart_mm) - 1e-9), 1);
}

static double span_of(double count, double one_mm, double apart_mm) {
    return count * one_mm + (count - 1) * apart_mm;
}

/* Between which depths a row carries: up to half the way to its neighbours, the outer ones all the rest. */
static void row_reach(const Tables *tables, double first_mm, int row, double *front_mm, double *rear_mm) {
    const double step = tables->back_mm + tables->apart_mm, at = first_mm + row * step;
    *front_mm = row == 0 ? -INFINITY : at - tables->apart_mm / 2;
    *rear_mm = row + 1 == tables->row_count ? INFINITY : at + tables->back_mm + tables->apart_mm / 2;
}

/* What of the base a row carries, at its widest. */
static void widest_of_row(const Trapezoid *t, double front_mm, double rear_mm, double *left_mm,
                          double *right_mm) {
    double other_left, other_right;
    edges_at(t, fmax(front_mm, t->front_mm), left_mm, right_mm);
    edges_at(t, fmin(rear_mm, t->rear_mm), &other_left, &other_right);
    *left_mm = fmin(*left_mm, other_left);
    *right_mm = fmax(*right_mm, other_right);
}

/* Stands the rows that were counted out so far from the middle. False where the base then hangs over too far.
 */
static bool stand(const Trapezoid *t, Tables *tables, double right_mm, double back_mm) {
    const double step = tables->back_mm + tables->apart_mm;
    const double deep = span_of(tables->row_count, tables->back_mm, tables->apart_mm);
    const double first = (t->front_mm + t->rear_mm - deep) / 2 + back_mm;
    bool holds = true;
    tables->over_front_mm = first - t->front_mm;
    tables->over_rear_mm = t->rear_mm - first - deep;
    tables->moved_right_mm = right_mm;
    tables->moved_back_mm = back_mm;
    for (int i = 0; i < tables->row_count; i++) {
        TableRow *row = &tables->rows[i];
        const double spans = span_of(row->count, tables->across_mm, tables->apart_mm);
        double front, rear, left, right;
        row_reach(tables, first, i, &front, &rear);
        widest_of_row(t, front, rear, &left, &right);
        const double from = (left + right - spans) / 2 + right_mm;
        row->over_left_mm = from - left;
        row->over_right_mm = right - from - spans;
        for (int k = 0; k < row->count; k++)
            tables->items[row->first + k] =
                (PlanTable){.row = i,
                            .column = k,
                            .left_mm = from + k * (tables->across_mm + tables->apart_mm),
                            .front_mm = first + i * step};
        holds &= fmax(row->over_left_mm, row->over_right_mm) <= TABLE_OVERHANG_MM + 1e-6;
    }
    return holds && fmax(tables->over_front_mm, tables->over_rear_mm) <= TABLE_OVERHANG_MM + 1e-6;
}

/* One way round, without weights; false where too many are needed. */
static bool lay_out(Arena *arena, const Trapezoid *t, const Tables *one, bool turned, Tables *tables) {
    *tables = *one;
    if (turned) {
        tables->across_mm = one->back_mm;
        tables->back_mm = one->across_mm;
    }
    const double rows = how_many(t->rear_mm - t->front_mm, tables->back_mm, tables->apart_mm);
    if (rows > TABLES_MOST) return false;
    tables->row_count = (int)rows;
    tables->rows = ARENA_ARRAY(arena, TableRow, tables->row_count);
    tables->items = ARENA_ARRAY(arena, PlanTable, TABLES_MOST);
    const double first = (t->front_mm + t->rear_mm - span_of(rows, tables->back_mm, tables->apart_mm)) / 2;
    for (int row = 0; row < tables->row_count; row++) {
        double front, rear, left, right;
        row_reach(tables, first, row, &front, &rear);
        widest_of_row(t, front, rear, &left, &right);
        const double count = how_many(right - left, tables->across_mm, tables->apart_mm);
        if (tables->count + count > TABLES_MOST) return false;
        tables->rows[row] = (TableRow){.first = tables->count, .count = (int)count};
        tables->count += (int)count;
    }
    stand(t, tables, 0, 0);
    return true;
}

/* --- clear of what is held from below */

enum { MOVES_MOST = 12, TESTS_MOST = 40000 };

static int blocked_count(const Tables *tables, const Fixings *fixings) {
    int count = 0;
    for (size_t i = 0; i < fixings->points.count; i++) {
        const FixedPoint *it = &fixings->points.items[i];
        count += it->below && tables_block(tables, tables_under(tables, it->at.across_mm, it->at.back_mm));
    }
    return count;
}

/* All together, by whole inches (25 mm), no farther than need be: where the fewest screws are in their way.
 */
static void stand_clear(Arena *arena, const Plan *plan, const Trapezoid *t, Tables *tables) {
    const Fixings fixings = plan_fixings(arena, plan);
    const double step = plan->scene->lengths == STYLE_FEET_INCHES ? MM_PER_INCH : 25;
    int fewest = blocked_count(tables, &fixings), best_right = 0, best_back = 0;
    if (fixings.points.count * (size_t)tables->count > TESTS_MOST) return;
    for (int far = 1; far <= 2 * MOVES_MOST && fewest > 0; far++) {
        for (int right = -far; right <= far && fewest > 0; right++) {
            for (int side = -1; side <= 1 && fewest > 0; side += 2) {
                const int back = side * (far - abs(right));
                if (abs(right) > MOVES_MOST || abs(back) > MOVES_MOST || (back == 0 && side > 0) ||
                    !stand(t, tables, right * step, back * step))
                    continue;
                const int count = blocked_count(tables, &fixings);
                if (count >= fewest) continue;
                fewest = count;
                best_right = right;
                best_back = back;
            }
        }
    }
    stand(t, tables, best_right * step, best_back * step);
}

/* --- what they carry */

static size_t outline_of(const Plan *plan, const PlanThing *it, int item, PartPoint *points) {
    const bool ground = it->thing->role == ROLE_GROUND, base = it->thing->role == ROLE_BASE;
    Point2 corners[FOOTPRINT_MOST];
    if (ground || base) {
        const Trapezoid *t = ground ? &plan->ground_outline : &plan->base_outline;
        points[0] = (PartPoint){t->front_left_mm, t->front_mm};
        points[1] = (PartPoint){t->front_right_mm, t->front_mm};
        points[2] = (PartPoint){t->rear_right_mm, t->rear_mm};
        points[3] = (PartPoint){t->rear_left_mm, t->rear_mm};
        return 4;
    }
    if (it->thing->role == ROLE_MOUND) { /* as much of its box as lies within the ground's */
        const PlanThing *all = &plan->things[plan->ground];
        const double left = fmax(it->left_mm, all->left_mm), right = fmin(it->right_mm, all->right_mm);
        const double front = fmax(it->front_mm, all->front_mm), rear = fmin(it->rear_mm, all->rear_mm);
        points[0] = (PartPoint){left, front};
        points[1] = (PartPoint){right, front};
        points[2] = (PartPoint){right, rear};
        points[3] = (PartPoint){left, rear};
        return left < right && front < rear ? 4 : 0;
    }
    const size_t count = shape_footprint(it, item, corners);
    for (size_t i = 0; i < count; i++)
        points[i] = (PartPoint){corners[i].across_mm, corners[i].back_mm};
    return count;
}

/* A table's part of a convex outline: up to half the way to its neighbours, at the outer edges all the rest.
 */
static double area_on(const Tables *tables, const PlanTable *table, const PartPoint *points, size_t count) {
    const TableRow *row = &tables->rows[table->row];
    double front, rear;
    row_reach(tables, tables->items[0].front_mm, table->row, &front, &rear);
    const double half = tables->apart_mm / 2;
    const double left = table->column == 0 ? -INFINITY : table->left_mm - half;
    const double right =
        table->column + 1 == row->count ? INFINITY : table->left_mm + tables->across_mm + half;
    return area_within_mm2(points, count, left, right, front, rear);
}

static void add_load(Tables *tables, const PartPoint *points, size_t count, double weight_kg,
                     bool is_carried) {
    const double all = area_within_mm2(points, count, -INFINITY, INFINITY, -INFINITY, INFINITY);
    if (!(all > 0)) return;
    for (int i = 0; i < tables->count; i++) {
        const double area = area_on(tables, &tables->items[i], points, count);
        if (!isnan(weight_kg)) tables->items[i].load_kg += weight_kg * area / all;
        if (is_carried) tables->items[i].area_mm2 = area;
    }
}

/* Puppets stand there one shot at a time: those of the shot in which they weigh most. */
static void load_tables(const Plan *plan, Tables *tables) {
    const int board = plan->base >= 0 ? plan->base : plan->ground;
    tables->shot = plan_heaviest_shot(plan);
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *it = &plan->things[i];
        const int items = it->row_count > 1 ? it->row_count : 1;
        PartPoint points[FOOTPRINT_MOST];
        if (it->thing->shot >= 0 && it->thing->shot != tables->shot) continue;
        for (int item = 0; item < items; item++) {
            const size_t count = outline_of(plan, it, item, points);
            if (count > 0)
                add_load(tables, points, count, plan_weight_kg(plan, (int)i) / items, (int)i == board);
        }
    }
    for (int i = 0; i < tables->count; i++) {
        tables->load_kg += tables->items[i].load_kg;
        if (tables->items[i].load_kg > tables->items[tables->heaviest].load_kg) tables->heaviest = i;
    }
}

/* Loaded as its heaviest table is: in the gap between two, and where it hangs over them farthest. */
static void sag_of_base(Arena *arena, const Plan *plan, Tables *tables) {
    const PlanTable *table = &tables->items[tables->heaviest];
    tables->sag_mm = tables->sag_over_mm = NAN;
    if (plan->base < 0 || !(table->area_mm2 > 0)) return;
    const double load = table->load_kg * GRAVITY_M_S2 / table->area_mm2;
    tables->board = base_stiffness(arena, plan);
    if (tables->count > 1 && tables->apart_mm > 0)
        tables->sag_mm = sag_mm(load, tables->apart_mm, tables->board.ei_n_mm, 1, SPAN_SINGLE);
    if (tables->over_most_mm > 0)
        tables->sag_over_mm = sag_mm(load, tables->over_most_mm, tables->board.ei_n_mm, 1, SPAN_OVERHANG);
}

static double stated(const Plan *plan, int slot) {
    return plan->known[slot] ? plan->values[slot] : 0;
}

static double most_over(const Tables *tables) {
    double most = fmax(tables->over_front_mm, tables->over_rear_mm);
    for (int i = 0; i < tables->row_count; i++)
        most = fmax(most, fmax(tables->rows[i].over_left_mm, tables->rows[i].over_right_mm));
    return most;
}

static double stated_or(const Plan *plan, int slot, double otherwise) {
    return plan->scene->slots[slot].stated && plan->known[slot] ? plan->values[slot] : otherwise;
}

bool plan_tables(Arena *arena, const Plan *plan, Tables *tables) {
    const Scene *scene = plan->scene;
    const double wide = stated(plan, scene->table_wide), deep = stated(plan, scene->table_deep);
    const Tables one = {.across_mm = fmax(wide, deep),
                        .back_mm = fmin(wide, deep),
                        .apart_mm = stated(plan, scene->table_apart),
                        .leg_inset_mm = stated_or(plan, scene->legs_inset, LEG_INSET_MM),
                        .leg_thick_mm = stated_or(plan, scene->legs_thick, LEG_THICK_MM),
                        .whole = scene->table_whole,
                        .holds_kg = stated(plan, scene->table_holds)};
    if (!(wide > 0) || !(deep > 0)) return false;
    Tables across, along;
    const bool can_across = lay_out(arena, carried(plan), &one, false, &across);
    const bool can_along = lay_out(arena, carried(plan), &one, true, &along);
    if (!can_across && !can_along) return false;
    bool take_across = can_across;
    if (can_across && can_along)
        take_across = across.count != along.count ? across.count < along.count
                                                  : most_over(&across) <= most_over(&along);
    *tables = take_across ? across : along;
    tables->long_across = take_across;
    stand_clear(arena, plan, carried(plan), tables);
    load_tables(plan, tables);
    tables->over_most_mm = most_over(tables);
    sag_of_base(arena, plan, tables);
    return true;
}
