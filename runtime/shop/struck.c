#include "shop/struck.h"

#include "base/number.h"

#include <math.h>

static const double HAIR_MM = 1e-6;
static const double SLACK_MM = 1e-3;
static const double EDGE_MM = 0.01; /* so near is on it */
enum { OPENINGS_MOST = 8 };         /* of a part that is cut smaller */

/* --- as it is ------------------------------------------------------------------------------------------- */

static double off_by(NestPoint a, NestPoint b) {
    return fmax(fabs(a.x_mm - b.x_mm), fabs(a.y_mm - b.y_mm));
}

static NestPoint turned(const CutItem *item, int quarter_turns, NestPoint point) {
    const NestPlacement placement = {.quarter_turns = quarter_turns};
    return nest_point(&item->item, &placement, point);
}

/* The least by which one outline is off the other, corner for corner, from whichever corner on; INFINITY
 * where it is over `most_mm`. */
static double outlines_off(const CutItem *a, int turns, const CutItem *b, double most_mm) {
    double least = INFINITY;
    const int count = a->outline_count;
    if (count != b->outline_count) return INFINITY;
    if (count == 0) return 0;
    for (int first = 0; first < count; first++) {
        double off = 0;
        for (int i = 0; i < count && off <= most_mm; i++)
            off = fmax(off, off_by(turned(a, turns, a->outline[(first + i) % count]), b->outline[i]));
        if (off <= most_mm) least = fmin(least, off);
    }
    return least;
}

static double opening_off(const CutItem *a, int turns, const CutOpening *opening, const CutOpening *wanted) {
    const NestPoint p = turned(a, turns, opening->low), q = turned(a, turns, opening->high);
    const NestPoint low = {fmin(p.x_mm, q.x_mm), fmin(p.y_mm, q.y_mm)};
    const NestPoint high = {fmax(p.x_mm, q.x_mm), fmax(p.y_mm, q.y_mm)};
    if (opening->round != wanted->round) return INFINITY;
    return fmax(off_by(low, wanted->low), off_by(high, wanted->high));
}

/* Each opening over one of the other's: openings of a part keep apart, so the nearest is the one. */
static double openings_off(const CutItem *a, int turns, const CutItem *b) {
    double most = 0;
    if (a->opening_count != b->opening_count) return INFINITY;
    for (int i = 0; i < a->opening_count; i++) {
        double of_a = INFINITY, of_b = INFINITY;
        for (int k = 0; k < b->opening_count; k++) {
            of_a = fmin(of_a, opening_off(a, turns, &a->openings[i], &b->openings[k]));
            of_b = fmin(of_b, opening_off(a, turns, &a->openings[k], &b->openings[i]));
        }
        most = fmax(most, fmax(of_a, of_b));
    }
    return most;
}

/* Whatever way it may be turned, sizes alone rule most out. */
static bool sizes_serve(const NestItem *a, const NestItem *b, double alike_mm) {
    const double most = alike_mm + HAIR_MM;
    if (fabs(a->wide_mm - b->wide_mm) <= most && fabs(a->tall_mm - b->tall_mm) <= most) return true;
    return a->may_turn && fabs(a->wide_mm - b->tall_mm) <= most && fabs(a->tall_mm - b->wide_mm) <= most;
}

bool struck_serves(const CutItem *struck, const CutItem *wanted, double alike_mm, double *off_mm) {
    const double most = alike_mm + HAIR_MM;
    double least = INFINITY;
    if (!struck->keeps_shape || !sizes_serve(&struck->item, &wanted->item, alike_mm)) return false;
    for (int turns = 0; turns < 4; turns++) {
        const bool quarter = turns % 2 == 1;
        if (quarter && !struck->item.may_turn) continue;
        const double wide = quarter ? struck->item.tall_mm : struck->item.wide_mm;
        const double tall = quarter ? struck->item.wide_mm : struck->item.tall_mm;
        double off = off_by((NestPoint){wide, tall}, (NestPoint){wanted->item.wide_mm, wanted->item.tall_mm});
        off = fmax(off, openings_off(struck, turns, wanted));
        if (off <= most) off = fmax(off, outlines_off(struck, turns, wanted, most));
        least = fmin(least, off);
    }
    *off_mm = least;
    return least <= most;
}

/* --- cut down ------------------------------------------------------------------------------------------- */

enum { CORNERS_MOST = 16 };

/* Where a part can be put: a convex set of shifts. */
typedef struct Shifts {
    NestPoint corners[2 * CORNERS_MOST + 4];
    int count;
} Shifts;

/* Those on the inner side of a line: nx x + ny y <= at. */
static void keep_inside(Shifts *shifts, double nx, double ny, double at) {
    const Shifts all = *shifts;
    shifts->count = 0;
    for (int i = 0; i < all.count; i++) {
        const NestPoint a = all.corners[i], b = all.corners[(i + 1) % all.count];
        const double from = nx * a.x_mm + ny * a.y_mm - at, to = nx * b.x_mm + ny * b.y_mm - at;
        if (from <= 0) shifts->corners[shifts->count++] = a;
        if ((from < 0 && to > 0) || (from > 0 && to < 0)) {
            const double t = from / (from - to);
            shifts->corners[shifts->count++] =
                (NestPoint){a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)};
        }
    }
}

/* Edges of the struck part that need no cut: one of the wanted part's lies along each. */
static int edges_shared(const CutItem *struck, const CutItem *wanted, int turns, NestPoint at) {
    int shared = 0;
    for (int i = 0; i < struck->outline_count; i++) {
        const NestPoint a = struck->outline[i], b = struck->outline[(i + 1) % struck->outline_count];
        const double along = hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
        int on_it = 0;
        for (int k = 0; k < wanted->outline_count && along > SLACK_MM; k++) {
            const NestPoint corner = turned(wanted, turns, wanted->outline[k]);
            const double x = corner.x_mm + at.x_mm - a.x_mm, y = corner.y_mm + at.y_mm - a.y_mm;
            on_it += fabs((b.y_mm - a.y_mm) * x - (b.x_mm - a.x_mm) * y) < EDGE_MM * along;
        }
        shared += on_it >= 2;
    }
    return shared;
}

/* The one that needs the fewest cuts; of several the lowest, and there the leftmost. */
static NestPoint best_shift(const CutItem *struck, const CutItem *wanted, int turns, const Shifts *shifts) {
    NestPoint best = shifts->corners[0];
    int most = -1;
    for (int i = 0; i < shifts->count; i++) {
        const NestPoint it = shifts->corners[i];
        const int shared = edges_shared(struck, wanted, turns, it);
        const bool level = fabs(it.y_mm - best.y_mm) < EDGE_MM;
        const bool lower = level ? it.x_mm < best.x_mm - EDGE_MM : it.y_mm < best.y_mm;
        if (shared < most || (shared == most && !lower)) continue;
        most = shared;
        best = it;
    }
    return best;
}

/* Every corner of the wanted part on the inner side of every edge of the struck one, for one shift of it. */
static bool takes_turned(const CutItem *struck, const CutItem *wanted, int turns, NestPoint *at) {
    const bool quarter = turns % 2 == 1;
    const double wide = struck->item.wide_mm - (quarter ? wanted->item.tall_mm : wanted->item.wide_mm);
    const double tall = struck->item.tall_mm - (quarter ? wanted->item.wide_mm : wanted->item.tall_mm);
    if (wide < -SLACK_MM || tall < -SLACK_MM) return false;
    const double right = wide + SLACK_MM, top = tall + SLACK_MM;
    Shifts shifts = {{{-SLACK_MM, -SLACK_MM}, {right, -SLACK_MM}, {right, top}, {-SLACK_MM, top}}, 4};
    for (int i = 0; i < struck->outline_count && shifts.count > 0; i++) {
        const NestPoint a = struck->outline[i], b = struck->outline[(i + 1) % struck->outline_count];
        const double along = hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
        if (along < SLACK_MM) continue;
        const double nx = (b.y_mm - a.y_mm) / along, ny = (a.x_mm - b.x_mm) / along;
        double out = -INFINITY;
        for (int k = 0; k < wanted->outline_count; k++) {
            const NestPoint corner = turned(wanted, turns, wanted->outline[k]);
            out = fmax(out, nx * corner.x_mm + ny * corner.y_mm);
        }
        keep_inside(&shifts, nx, ny, nx * a.x_mm + ny * a.y_mm - out + SLACK_MM);
    }
    if (shifts.count == 0) return false;
    *at = best_shift(struck, wanted, turns, &shifts);
    *at = (NestPoint){number_round(fmax(at->x_mm, 0), SLACK_MM), number_round(fmax(at->y_mm, 0), SLACK_MM)};
    return true;
}

bool struck_contains(const CutItem *struck, const CutItem *wanted, int *quarter_turns, NestPoint *at) {
    const bool convex = struck->shape == PART_RECTANGLE || struck->shape == PART_OUTLINE;
    if (!struck->keeps_shape || !convex || struck->opening_count > 0 ||
        struck->outline_count > CORNERS_MOST || wanted->outline_count == 0)
        return false;
    for (int turns = 0; turns < 4; turns++) {
        *quarter_turns = turns;
        if ((turns % 2 == 0 || wanted->item.may_turn) && takes_turned(struck, wanted, turns, at)) return true;
    }
    return false;
}

/* --- as material ---------------------------------------------------------------------------------------- */

typedef struct Width {
    double left_mm, right_mm;
} Width;

/* From where to where a convex outline reaches at this height. */
static Width reach_at(const CutItem *item, double y_mm) {
    Width reach = {INFINITY, -INFINITY};
    for (int i = 0; i < item->outline_count; i++) {
        const NestPoint a = item->outline[i], b = item->outline[(i + 1) % item->outline_count];
        if (y_mm < fmin(a.y_mm, b.y_mm) || y_mm > fmax(a.y_mm, b.y_mm)) continue;
        const double t = a.y_mm == b.y_mm ? 0 : (y_mm - a.y_mm) / (b.y_mm - a.y_mm);
        const double x = a.x_mm + t * (b.x_mm - a.x_mm), other = a.y_mm == b.y_mm ? b.x_mm : x;
        reach.left_mm = fmin(reach.left_mm, fmin(x, other));
        reach.right_mm = fmax(reach.right_mm, fmax(x, other));
    }
    return reach;
}

static double wide_between(const CutItem *item, double low_mm, double high_mm) {
    const Width low = reach_at(item, low_mm), high = reach_at(item, high_mm);
    return fmin(low.right_mm, high.right_mm) - fmax(low.left_mm, high.left_mm);
}

typedef double AreaAt(const CutItem *item, double low_mm, double at_mm);

static double area_up_to(const CutItem *item, double low_mm, double high_mm) {
    return (high_mm - low_mm) * wide_between(item, low_mm, high_mm);
}

/* Where it is greatest: the height of the rectangle times its width is a product of concave functions of its
 * lower and its upper side, so it has one summit, and golden sections close in on it. */
static double summit(AreaAt *area, const CutItem *item, double low_mm, double from_mm, double to_mm) {
    static const double golden = 0.6180339887498949;
    double a = from_mm, b = to_mm;
    double x = b - golden * (b - a), y = a + golden * (b - a);
    double of_x = area(item, low_mm, x), of_y = area(item, low_mm, y);
    for (int step = 0; step < 40; step++) {
        if (of_x < of_y) {
            a = x;
            x = y;
            of_x = of_y;
            y = a + golden * (b - a);
            of_y = area(item, low_mm, y);
        } else {
            b = y;
            y = x;
            of_y = of_x;
            x = b - golden * (b - a);
            of_x = area(item, low_mm, x);
        }
    }
    const double at = (a + b) / 2, of_at = area(item, low_mm, at);
    if (area(item, low_mm, from_mm) >= of_at - HAIR_MM) return from_mm;
    return area(item, low_mm, to_mm) >= of_at - HAIR_MM ? to_mm : at;
}

static double best_above(const CutItem *item, double unused_mm, double low_mm) {
    (void)unused_mm;
    const double high = summit(area_up_to, item, low_mm, low_mm, item->item.tall_mm);
    return area_up_to(item, low_mm, high);
}

static NestSheet rectangle_in_convex(const CutItem *item, NestPoint *at) {
    const double tall = item->item.tall_mm;
    const double low = summit(best_above, item, 0, 0, tall);
    const double high = summit(area_up_to, item, low, low, tall);
    at->x_mm = number_round_up(fmax(reach_at(item, low).left_mm, reach_at(item, high).left_mm), SLACK_MM);
    at->y_mm = number_round_up(low, SLACK_MM);
    return (NestSheet){.wide_mm = number_round_down(wide_between(item, low, high), 1e-3),
                       .tall_mm = number_round_down(high - low, 1e-3)};
}

static bool is_clear(const CutItem *item, NestPoint low, NestPoint high) {
    for (int i = 0; i < item->opening_count; i++) {
        const CutOpening *it = &item->openings[i];
        if (it->low.x_mm < high.x_mm - HAIR_MM && it->high.x_mm > low.x_mm + HAIR_MM &&
            it->low.y_mm < high.y_mm - HAIR_MM && it->high.y_mm > low.y_mm + HAIR_MM)
            return false;
    }
    return true;
}

/* Beside openings of a rectangle: from an edge of it or of an opening to another. */
static NestSheet rectangle_beside(const CutItem *item, NestPoint *at) {
    NestPoint from[OPENINGS_MOST + 1] = {{0, 0}}, to[OPENINGS_MOST + 1];
    const int count = item->opening_count + 1;
    NestSheet best = {0};
    to[0] = (NestPoint){item->item.wide_mm, item->item.tall_mm};
    for (int i = 1; i < count; i++) {
        from[i] = item->openings[i - 1].high;
        to[i] = item->openings[i - 1].low;
    }
    for (int i = 0; i < count * count * count * count; i++) {
        const NestPoint low = {from[i % count].x_mm, from[i / count % count].y_mm};
        const NestPoint high = {to[i / count / count % count].x_mm, to[i / count / count / count].y_mm};
        const double wide = high.x_mm - low.x_mm, tall = high.y_mm - low.y_mm;
        if (wide <= 0 || tall <= 0 || wide * tall <= best.wide_mm * best.tall_mm + HAIR_MM) continue;
        if (!is_clear(item, low, high)) continue;
        best = (NestSheet){.wide_mm = wide, .tall_mm = tall};
        *at = low;
    }
    return best;
}

NestSheet struck_to_sheet(const CutItem *struck, NestPoint *at) {
    NestSheet sheet = {0};
    *at = (NestPoint){0, 0};
    if (!struck->keeps_shape) return sheet;
    if (struck->shape == PART_LENGTH)
        sheet = (NestSheet){.wide_mm = struck->item.wide_mm, .tall_mm = struck->item.tall_mm};
    else if (struck->shape == PART_RECTANGLE && struck->opening_count <= OPENINGS_MOST)
        sheet = rectangle_beside(struck, at);
    else if (struck->shape == PART_OUTLINE && struck->opening_count == 0)
        sheet = rectangle_in_convex(struck, at);
    if (fmin(sheet.wide_mm, sheet.tall_mm) < OFFCUT_KEPT_MM - HAIR_MM) return (NestSheet){0};
    return sheet;
}

static double opening_area(const CutOpening *it) {
    const double box = (it->high.x_mm - it->low.x_mm) * (it->high.y_mm - it->low.y_mm);
    return it->round ? PI / 4 * box : box;
}

double cut_item_area(const CutItem *item) {
    if (item->outline_count == 0) return item->item.wide_mm * item->item.tall_mm;
    double twice = 0, openings = 0;
    for (int i = 0; i < item->outline_count; i++) {
        const NestPoint a = item->outline[i], b = item->outline[(i + 1) % item->outline_count];
        twice += a.x_mm * b.y_mm - b.x_mm * a.y_mm;
    }
    for (int i = 0; i < item->opening_count; i++)
        openings += opening_area(&item->openings[i]);
    return twice / 2 - openings;
}
