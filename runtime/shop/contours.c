#include "shop/contours.h"

#include "plan/cutout.h"

#include <math.h>
#include <stdlib.h>

/* Squares along the longer side; so many, and more where a mound is narrow beside all of them. */
enum { GRID = 160, GRID_MOST = 640, ACROSS_ONE = 16, COUNTED = 96, HALVINGS = 40 };
/* Less is no layer of anything. */
static const double SPECK_MM2 = 100;

typedef struct Box {
    double left_mm, right_mm, front_mm, rear_mm;
} Box;

static Box box_of(const MoundGroup *group) {
    Box box = {INFINITY, -INFINITY, INFINITY, -INFINITY};
    for (int i = 0; i < group->count; i++) {
        const PlanThing *it = group->mounds[i];
        box.left_mm = fmin(box.left_mm, it->at.across_mm - it->wide_mm / 2);
        box.right_mm = fmax(box.right_mm, it->at.across_mm + it->wide_mm / 2);
        box.front_mm = fmin(box.front_mm, it->at.back_mm - it->deep_mm / 2);
        box.rear_mm = fmax(box.rear_mm, it->at.back_mm + it->deep_mm / 2);
    }
    return box;
}

double group_height_mm(const MoundGroup *group, double across_mm, double back_mm) {
    double up = 0;
    for (int i = 0; i < group->count; i++)
        up += plan_relief_mm(group->mounds[i], across_mm, back_mm);
    return up;
}

/* From the best place of a grid, ever nearer around it. */
double group_top_mm(const MoundGroup *group) {
    const Box box = box_of(group);
    double x = 0, y = 0, top = -1;
    double step_x = (box.right_mm - box.left_mm) / GRID, step_y = (box.rear_mm - box.front_mm) / GRID;
    for (int i = 0; i <= GRID; i++) {
        for (int k = 0; k <= GRID; k++) {
            const double height = group_height_mm(group, box.left_mm + i * step_x, box.front_mm + k * step_y);
            if (height <= top) continue;
            top = height;
            x = box.left_mm + i * step_x;
            y = box.front_mm + k * step_y;
        }
    }
    for (int h = 0; h < HALVINGS; h++) {
        const double from_x = x, from_y = y;
        for (int side = 0; side < 9; side++) {
            const double at_x = from_x + (side % 3 - 1) * step_x, at_y = from_y + (side / 3 - 1) * step_y;
            const double height = group_height_mm(group, at_x, at_y);
            if (height <= top) continue;
            top = height;
            x = at_x;
            y = at_y;
        }
        step_x /= 1.5;
        step_y /= 1.5;
    }
    return top;
}

/* Over 0 inside. At the foot, where slopes run out flat, by how near the nearest mound's edge is. */
static double inside(const MoundGroup *group, double up_mm, double x, double y) {
    if (up_mm > 0) return group_height_mm(group, x, y) - up_mm;
    double nearest = INFINITY;
    for (int i = 0; i < group->count; i++) {
        const PlanThing *it = group->mounds[i];
        nearest = fmin(
            nearest, hypot(2 * (x - it->at.across_mm) / it->wide_mm, 2 * (y - it->at.back_mm) / it->deep_mm));
    }
    return 1 - nearest;
}

double group_area_mm2(const MoundGroup *group, double up_mm) {
    const Box box = box_of(group);
    const double wide = (box.right_mm - box.left_mm) / COUNTED, deep = (box.rear_mm - box.front_mm) / COUNTED;
    int count = 0;
    for (int i = 0; i < COUNTED; i++)
        for (int k = 0; k < COUNTED; k++)
            count +=
                inside(group, up_mm, box.left_mm + (i + 0.5) * wide, box.front_mm + (k + 0.5) * deep) > 0;
    return count * wide * deep;
}

/* --- marching squares, on a grid that reaches past all of them ----------------------------------------- */

typedef struct Grid {
    const MoundGroup *group;
    double up_mm;
    double left_mm, front_mm, step_mm;
    int wide, deep; /* squares */
    double *values; /* of corners */
    int *next;      /* of the edge where an outline enters a square: where it leaves it; -1 */
} Grid;

static PartPoint corner_at(const Grid *g, int i, int k) {
    return (PartPoint){g->left_mm + i * g->step_mm, g->front_mm + k * g->step_mm};
}

static double value_at(const Grid *g, int i, int k) {
    return g->values[k * (g->wide + 1) + i];
}

/* Edges by the corner at their left or front end: along the front first, then along the sides. */
static int edge_along(const Grid *g, int i, int k) {
    return k * (g->wide + 1) + i;
}

static int edge_back(const Grid *g, int i, int k) {
    return (g->wide + 1) * (g->deep + 1) + k * (g->wide + 1) + i;
}

/* A square's corners and edges, anticlockwise from its left front corner. */
static void join_square(Grid *g, int i, int k) {
    const int edges[4] = {edge_along(g, i, k), edge_back(g, i + 1, k), edge_along(g, i, k + 1),
                          edge_back(g, i, k)};
    const bool in[4] = {value_at(g, i, k) > 0, value_at(g, i + 1, k) > 0, value_at(g, i + 1, k + 1) > 0,
                        value_at(g, i, k + 1) > 0};
    const PartPoint first = corner_at(g, i, k);
    const bool two = in[0] == in[2] && in[1] == in[3] && in[0] != in[1];
    const bool joined =
        two && inside(g->group, g->up_mm, first.x_mm + g->step_mm / 2, first.y_mm + g->step_mm / 2) > 0;
    for (int e = 0; e < 4; e++) {
        if (!in[e] || in[(e + 1) % 4]) continue;
        /* the inside is on the left: on to where the square's edge comes in again, before this or, round a
         * corner that is outside, after it */
        for (int n = 1; n < 4; n++) {
            const int other = joined ? (e + n) % 4 : (e + 4 - n) % 4;
            if (in[other] || !in[(other + 1) % 4]) continue;
            g->next[edges[e]] = edges[other];
            break;
        }
    }
}

static PartPoint place_on(const Grid *g, int edge) {
    const int row = g->wide + 1, corners = row * (g->deep + 1);
    const bool back = edge >= corners;
    const int at = back ? edge - corners : edge, i = at % row, k = at / row;
    PartPoint a = corner_at(g, i, k), b = corner_at(g, back ? i : i + 1, back ? k + 1 : k);
    const bool a_in = value_at(g, i, k) > 0;
    for (int h = 0; h < HALVINGS; h++) {
        const PartPoint m = {(a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2};
        if ((inside(g->group, g->up_mm, m.x_mm, m.y_mm) > 0) == a_in)
            a = m;
        else
            b = m;
    }
    return a;
}

static double square_mm(const MoundGroup *group, double longest_mm) {
    double narrowest = longest_mm;
    for (int i = 0; i < group->count; i++)
        narrowest = fmin(narrowest, fmin(group->mounds[i]->wide_mm, group->mounds[i]->deep_mm));
    return fmax(fmin(longest_mm / GRID, narrowest / ACROSS_ONE), longest_mm / GRID_MOST);
}

static Grid grid_of(Arena *scratch, const MoundGroup *group, double up_mm) {
    const Box box = box_of(group);
    const double wide = box.right_mm - box.left_mm, deep = box.rear_mm - box.front_mm;
    Grid g = {.group = group, .up_mm = up_mm, .step_mm = square_mm(group, fmax(wide, deep))};
    g.wide = (int)ceil(wide / g.step_mm) + 2;
    g.deep = (int)ceil(deep / g.step_mm) + 2;
    g.left_mm = box.left_mm - g.step_mm;
    g.front_mm = box.front_mm - g.step_mm;
    const int corners = (g.wide + 1) * (g.deep + 1);
    g.values = ARENA_ARRAY(scratch, double, corners);
    g.next = ARENA_ARRAY(scratch, int, 2 * corners);
    for (int i = 0; i < 2 * corners; i++)
        g.next[i] = -1;
    for (int k = 0; k <= g.deep; k++) {
        for (int i = 0; i <= g.wide; i++) {
            const PartPoint at = corner_at(&g, i, k);
            g.values[edge_along(&g, i, k)] = inside(group, up_mm, at.x_mm, at.y_mm);
        }
    }
    for (int k = 0; k < g.deep; k++)
        for (int i = 0; i < g.wide; i++)
            join_square(&g, i, k);
    return g;
}

static Cell trace(Arena *scratch, Grid *g, int first) {
    LIST(PartPoint) places = {0};
    for (int edge = first; g->next[edge] >= 0;) {
        const int next = g->next[edge];
        LIST_PUSH(scratch, places, place_on(g, edge));
        g->next[edge] = -1;
        edge = next;
    }
    PartPoint *thin = ARENA_ARRAY(scratch, PartPoint, places.count + 1);
    if (places.count < 3) return (Cell){0};
    return (Cell){thin, outline_thin(scratch, places.items, places.count, CONTOUR_WITHIN_MM, thin)};
}

static bool holds(const Cell *cell, PartPoint p) {
    bool in = false;
    for (size_t i = 0; i < cell->count; i++) {
        const PartPoint a = cell->corners[i], b = cell->corners[(i + 1) % cell->count];
        if ((a.y_mm > p.y_mm) == (b.y_mm > p.y_mm)) continue;
        in ^= p.x_mm < a.x_mm + (p.y_mm - a.y_mm) / (b.y_mm - a.y_mm) * (b.x_mm - a.x_mm);
    }
    return in;
}

/* Outlines of pits run the other way; what rises in a pit is in what fills it. */
static void keep_outer(Arena *arena, const Cells *all, Cells *outlines) {
    for (size_t i = 0; i < all->count; i++) {
        const Cell *it = &all->items[i];
        bool inner = it->count < 3 || corners_area(it->corners, it->count) < SPECK_MM2;
        for (size_t k = 0; k < all->count && !inner; k++)
            inner = k != i && corners_area(all->items[k].corners, all->items[k].count) > 0 &&
                    holds(&all->items[k], it->corners[0]);
        if (inner) continue;
        PartPoint *corners = ARENA_ARRAY(arena, PartPoint, it->count);
        for (size_t k = 0; k < it->count; k++)
            corners[k] = it->corners[k];
        LIST_PUSH(arena, *outlines, (Cell){corners, it->count});
    }
}

void group_contours(Arena *arena, const MoundGroup *group, double up_mm, Cells *outlines) {
    Arena *scratch = arena_new();
    Grid g = grid_of(scratch, group, up_mm);
    Cells all = {0};
    for (int edge = 0; edge < 2 * (g.wide + 1) * (g.deep + 1); edge++)
        if (g.next[edge] >= 0) LIST_PUSH(scratch, all, trace(scratch, &g, edge));
    keep_outer(arena, &all, outlines);
    arena_free(scratch);
}
