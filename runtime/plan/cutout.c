#include "plan/cutout.h"

#include <math.h>

static const double TOLERANCE_MM = 0.25, TOLERANCE_PX = 0.8;
enum { CORNERS_MOST = 1500, TRIES = 6 };

/* ---- Douglas and Peucker (1973), round a closed polygon */

typedef struct Thinner {
    const PartPoint *points;
    size_t count;
    bool *kept;
} Thinner;

static double from_segment(PartPoint p, PartPoint a, PartPoint b) {
    const double x = b.x_mm - a.x_mm, y = b.y_mm - a.y_mm, long2 = x * x + y * y;
    double share = long2 > 0 ? ((p.x_mm - a.x_mm) * x + (p.y_mm - a.y_mm) * y) / long2 : 0;
    share = fmax(0, fmin(1, share));
    return hypot(p.x_mm - a.x_mm - share * x, p.y_mm - a.y_mm - share * y);
}

static size_t farthest_from(const Thinner *t, size_t from) {
    size_t best = from;
    double most = 0;
    for (size_t i = 0; i < t->count; i++) {
        const double d =
            hypot(t->points[i].x_mm - t->points[from].x_mm, t->points[i].y_mm - t->points[from].y_mm);
        if (d <= most) continue;
        most = d;
        best = i;
    }
    return best;
}

/* Between two corners that stay, `first` to `last` counted on past the end. */
static void thin_between(Arena *scratch, Thinner *t, size_t first, size_t last, double tolerance_mm) {
    typedef struct Span2 {
        size_t first, last;
    } Span2;
    LIST(Span2) todo = {0};
    LIST_PUSH(scratch, todo, ((Span2){first, last}));
    while (todo.count > 0) {
        const Span2 span = todo.items[--todo.count];
        size_t split = 0;
        double most = tolerance_mm;
        for (size_t i = span.first + 1; i < span.last; i++) {
            const double d = from_segment(t->points[i % t->count], t->points[span.first % t->count],
                                          t->points[span.last % t->count]);
            if (d <= most) continue;
            most = d;
            split = i;
        }
        if (split == 0) continue;
        t->kept[split % t->count] = true;
        LIST_PUSH(scratch, todo, ((Span2){span.first, split}));
        LIST_PUSH(scratch, todo, ((Span2){split, span.last}));
    }
}

size_t outline_thin(Arena *scratch, const PartPoint *points, size_t count, double tolerance_mm,
                    PartPoint *out) {
    Thinner t = {points, count, ARENA_ARRAY(scratch, bool, count)};
    const size_t a = farthest_from(&t, 0), b = farthest_from(&t, a); /* two corners for certain */
    const size_t low = a < b ? a : b, high = a < b ? b : a;
    t.kept[a] = t.kept[b] = true;
    thin_between(scratch, &t, low, high, tolerance_mm);
    thin_between(scratch, &t, high, low + count, tolerance_mm);
    size_t n = 0;
    for (size_t i = 0; i < count; i++) {
        if (t.kept[i]) out[n++] = points[i];
    }
    return n;
}

/* ---- Does it cross itself? */

static double side_of(PartPoint a, PartPoint b, PartPoint p) {
    return (b.x_mm - a.x_mm) * (p.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (p.x_mm - a.x_mm);
}

static bool in_box(PartPoint a, PartPoint b, PartPoint p) {
    return p.x_mm >= fmin(a.x_mm, b.x_mm) && p.x_mm <= fmax(a.x_mm, b.x_mm) &&
           p.y_mm >= fmin(a.y_mm, b.y_mm) && p.y_mm <= fmax(a.y_mm, b.y_mm);
}

/* Touching is crossing. */
static bool cross(PartPoint a, PartPoint b, PartPoint c, PartPoint d) {
    const double c_side = side_of(a, b, c), d_side = side_of(a, b, d);
    const double a_side = side_of(c, d, a), b_side = side_of(c, d, b);
    if (((c_side > 0) != (d_side > 0)) && ((a_side > 0) != (b_side > 0)) && c_side != 0 && d_side != 0 &&
        a_side != 0 && b_side != 0)
        return true;
    return (c_side == 0 && in_box(a, b, c)) || (d_side == 0 && in_box(a, b, d)) ||
           (a_side == 0 && in_box(c, d, a)) || (b_side == 0 && in_box(c, d, b));
}

static bool is_simple(const PartPoint *p, size_t count) {
    for (size_t i = 0; i < count; i++) {
        for (size_t j = i + 2; j < count; j++) {
            if (i == 0 && j == count - 1) continue; /* neighbours */
            if (cross(p[i], p[i + 1], p[j], p[(j + 1) % count])) return false;
        }
    }
    return true;
}

/* ---- */

/* Thinning cuts off up to the tolerance where the outline is widest. */
static void stretch_to(PartPoint *p, size_t count, double wide_mm, double tall_mm) {
    double left = HUGE_VAL, low = HUGE_VAL, right = -HUGE_VAL, high = -HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        left = fmin(left, p[i].x_mm);
        right = fmax(right, p[i].x_mm);
        low = fmin(low, p[i].y_mm);
        high = fmax(high, p[i].y_mm);
    }
    for (size_t i = 0; i < count; i++) {
        p[i].x_mm = (p[i].x_mm - left) / (right - left) * wide_mm;
        p[i].y_mm = (p[i].y_mm - low) / (high - low) * tall_mm;
    }
}

CutoutOutline silhouette_to_outline(Arena *arena, const Silhouette *silhouette, double wide_mm,
                                    double tall_mm) {
    const double x_scale = wide_mm / silhouette->wide_px, y_scale = tall_mm / silhouette->tall_px;
    Arena *scratch = arena_new();
    const size_t all = silhouette->count;
    PartPoint *points = ARENA_ARRAY(scratch, PartPoint, all), *thin = ARENA_ARRAY(scratch, PartPoint, all);
    for (size_t i = 0; i < all; i++)
        points[i] = (PartPoint){silhouette->points[i].x_px * x_scale, silhouette->points[i].y_px * y_scale};
    CutoutOutline outline = {0};
    double tolerance = fmax(TOLERANCE_MM, TOLERANCE_PX * fmax(x_scale, y_scale));
    for (int i = 0; i < TRIES && outline.count == 0; i++, tolerance /= 2) {
        const size_t count = outline_thin(scratch, points, all, tolerance, thin);
        if (count > CORNERS_MOST) break;
        if (count < 3 || !is_simple(thin, count)) continue;
        PartPoint *kept = ARENA_ARRAY(arena, PartPoint, count);
        for (size_t k = 0; k < count; k++)
            kept[k] = thin[k];
        stretch_to(kept, count, wide_mm, tall_mm);
        outline = (CutoutOutline){kept, count};
    }
    arena_free(scratch);
    return outline;
}

CutoutOutline plan_cutout(Arena *arena, const Plan *plan, const PlanThing *thing) {
    const int image = thing->thing->image;
    if (thing->thing->shape != SHAPE_CUTOUT || image < 0 || !plan->found) return (CutoutOutline){0};
    const Silhouette *silhouette = plan->found[image].silhouette;
    if (!silhouette || thing->wide_mm <= 0 || thing->tall_mm <= 0) return (CutoutOutline){0};
    return silhouette_to_outline(arena, silhouette, thing->wide_mm, thing->tall_mm);
}
