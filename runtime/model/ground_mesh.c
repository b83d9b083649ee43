#include "model/ground_mesh.h"

#include "optics/space.h"

#include <math.h>

static void corners_of(const Trapezoid *outline, double up_mm, Point3 corners[4]) {
    corners[0] = point(outline->front_left_mm, outline->front_mm, up_mm);
    corners[1] = point(outline->front_right_mm, outline->front_mm, up_mm);
    corners[2] = point(outline->rear_right_mm, outline->rear_mm, up_mm);
    corners[3] = point(outline->rear_left_mm, outline->rear_mm, up_mm);
}

Mesh *slab_mesh(Arena *arena, const Trapezoid *outline, double top_mm, double thick_mm) {
    Point3 lower[4], upper[4];
    Mesh *mesh = mesh_new(arena);
    corners_of(outline, top_mm - thick_mm, lower);
    corners_of(outline, top_mm, upper);
    mesh_add_block(mesh, lower, upper);
    return mesh;
}

/* The top is a square of cells, u along the front and rear edges and v from front to rear, each divided in
 * four as often as the mounds need. `split[level]` says which cells of that level are divided. */
enum { LEVELS_MOST = 8, LINES_MOST = (1 << LEVELS_MOST) + 1, CELLS_A_MOUND = 24 };

typedef struct Quarters {
    const Plan *plan;
    const Trapezoid *outline;
    Mesh *mesh;
    int levels;
    unsigned char *split[LEVELS_MOST];
    uint32_t *vertex; /* of each crossing of the finest lines: index + 1; 0: none yet */
} Quarters;

static bool is_mound(const PlanThing *thing) {
    return thing->thing->role == ROLE_MOUND || thing->thing->role == ROLE_HOLLOW;
}

static Point3 place_at(const Trapezoid *o, double u, double v) {
    const double left = o->front_left_mm + v * (o->rear_left_mm - o->front_left_mm);
    const double right = o->front_right_mm + v * (o->rear_right_mm - o->front_right_mm);
    return point(left + u * (right - left), o->front_mm + v * (o->rear_mm - o->front_mm), 0);
}

/* ---- which cells are divided */

/* Whether a cell may reach into a mound: by the box round the cell and the mound's ellipse as if round. */
static bool reaches(const Quarters *q, int level, int x, int y, const PlanThing *mound) {
    const double side = 1.0 / (1 << level);
    const Point3 a = place_at(q->outline, x * side, y * side),
                 b = place_at(q->outline, (x + 1) * side, y * side),
                 c = place_at(q->outline, x * side, (y + 1) * side),
                 d = place_at(q->outline, (x + 1) * side, (y + 1) * side);
    const double left = fmin(a.across_mm, c.across_mm), right = fmax(b.across_mm, d.across_mm);
    const double across = fmax(left, fmin(right, mound->at.across_mm)) - mound->at.across_mm;
    const double back = fmax(a.back_mm, fmin(c.back_mm, mound->at.back_mm)) - mound->at.back_mm;
    return hypot(2 * across / mound->wide_mm, 2 * back / mound->deep_mm) < 1;
}

/* Levels at which a cell is about a 24th of the mound (a 17th to a 34th: levels halve). */
static int levels_for(const Trapezoid *o, const PlanThing *mound) {
    const double wide = fmax(o->front_right_mm - o->front_left_mm, o->rear_right_mm - o->rear_left_mm);
    const double most =
        fmax(wide / mound->wide_mm, (o->rear_mm - o->front_mm) / mound->deep_mm) * CELLS_A_MOUND;
    int levels = 0;
    while (levels < LEVELS_MOST && (1 << levels) * sqrt(2) < most)
        levels++;
    return levels;
}

static void divide(Quarters *q, int level, int x, int y, const PlanThing *mound, int levels) {
    if (level >= levels || !reaches(q, level, x, y, mound)) return;
    q->split[level][(y << level) + x] = 1;
    for (int i = 0; i < 4; i++)
        divide(q, level + 1, 2 * x + i % 2, 2 * y + i / 2, mound, levels);
}

/* Neighbours differ by one level at most: where a cell is divided, the cells beside it exist. */
static void even_out(Quarters *q) {
    static const int beside[4][2] = {{-1, 0}, {1, 0}, {0, -1}, {0, 1}};
    for (int level = q->levels - 1; level > 0; level--) {
        const int side = 1 << level;
        for (int i = 0; i < side * side; i++) {
            if (!q->split[level][i]) continue;
            for (int n = 0; n < 4; n++) {
                const int x = i % side + beside[n][0], y = i / side + beside[n][1];
                if (x >= 0 && y >= 0 && x < side && y < side)
                    q->split[level - 1][((y / 2) << (level - 1)) + x / 2] = 1;
            }
        }
    }
}

static bool is_split(const Quarters *q, int level, int x, int y) {
    const int side = 1 << level;
    return level < q->levels && x >= 0 && y >= 0 && x < side && y < side && q->split[level][(y << level) + x];
}

/* ---- triangles of the top */

/* The vertex on the crossing of two of the finest lines. */
static uint32_t vertex_at(Quarters *q, int x, int y) {
    const int side = 1 << q->levels;
    uint32_t *index = &q->vertex[y * (side + 1) + x];
    if (*index == 0) {
        Point3 at = place_at(q->outline, (double)x / side, (double)y / side);
        at.up_mm = plan_ground_mm(q->plan, at.across_mm, at.back_mm);
        *index = mesh_vertex(q->mesh, at, (Point3){0}) + 1;
    }
    return *index - 1;
}

/* A whole cell: a fan round its middle, with the middles of those sides beyond which the cells are smaller;
 * two triangles where there is none. */
static void add_cell(Quarters *q, int level, int x, int y) {
    static const int around[4][4] = {{0, 0, 0, -1}, {1, 0, 1, 0}, {1, 1, 0, 1}, {0, 1, -1, 0}};
    static const int middles[4][2] = {{1, 0}, {2, 1}, {1, 2}, {0, 1}};
    const int step = 1 << (q->levels - level);
    uint32_t ring[8];
    size_t count = 0;
    for (int i = 0; i < 4; i++) {
        ring[count++] = vertex_at(q, (x + around[i][0]) * step, (y + around[i][1]) * step);
        if (is_split(q, level, x + around[i][2], y + around[i][3]))
            ring[count++] =
                vertex_at(q, x * step + middles[i][0] * step / 2, y * step + middles[i][1] * step / 2);
    }
    if (count == 4) {
        mesh_triangle(q->mesh, ring[0], ring[1], ring[2]);
        mesh_triangle(q->mesh, ring[0], ring[2], ring[3]);
        return;
    }
    const uint32_t middle = vertex_at(q, x * step + step / 2, y * step + step / 2);
    for (size_t i = 0; i < count; i++)
        mesh_triangle(q->mesh, middle, ring[i], ring[(i + 1) % count]);
}

static void add_cells(Quarters *q, int level, int x, int y) {
    if (!is_split(q, level, x, y)) {
        add_cell(q, level, x, y);
        return;
    }
    for (int i = 0; i < 4; i++)
        add_cells(q, level + 1, 2 * x + i % 2, 2 * y + i / 2);
}

/* ---- sides and underside */

/* Which of the top's vertices lie along one side, in the order counter-clockwise from above. */
static size_t along_side(const Quarters *q, int side, Point3 *at) {
    const int last = 1 << q->levels;
    size_t count = 0;
    for (int i = 0; i <= last; i++) {
        const int x = side == 0 ? i : side == 1 ? last : side == 2 ? last - i : 0;
        const int y = side == 0 ? 0 : side == 1 ? i : side == 2 ? last : last - i;
        const uint32_t index = q->vertex[y * (last + 1) + x];
        if (index == 0) continue;
        const float *v = q->mesh->vertices.items[index - 1].at;
        at[count++] = point(v[0] * 1000.0, v[2] * -1000.0, v[1] * 1000.0);
    }
    return count;
}

static void add_side(Quarters *q, const Point3 *top, size_t count, double foot_mm) {
    for (size_t i = 0; i + 1 < count; i++) {
        const Point3 a = top[i], b = top[i + 1];
        mesh_add_quad(q->mesh, point(a.across_mm, a.back_mm, foot_mm), point(b.across_mm, b.back_mm, foot_mm),
                      b, a);
    }
}

static void add_sides_and_underside(Quarters *q, double foot_mm) {
    Arena *arena = q->mesh->arena;
    Point3 *rim = ARENA_ARRAY(arena, Point3, 4 * LINES_MOST), *side = ARENA_ARRAY(arena, Point3, LINES_MOST);
    size_t rim_count = 0;
    for (int s = 0; s < 4; s++) {
        const size_t count = along_side(q, s, side);
        add_side(q, side, count, foot_mm);
        for (size_t i = 0; i + 1 < count; i++)
            rim[rim_count++] = side[i];
    }
    /* a fan from the middle, the other way round, seen from below */
    const Point3 down = point(0, 0, -1);
    Point3 middle = place_at(q->outline, 0.5, 0.5);
    middle.up_mm = foot_mm;
    const uint32_t centre = mesh_vertex(q->mesh, middle, down);
    for (size_t i = 0; i < rim_count; i++)
        mesh_vertex(q->mesh, point(rim[i].across_mm, rim[i].back_mm, foot_mm), down);
    for (uint32_t i = 0; i < rim_count; i++)
        mesh_triangle(q->mesh, centre, centre + 1 + (i + 1) % (uint32_t)rim_count, centre + 1 + i);
}

Mesh *ground_mesh(Arena *arena, const Plan *plan) {
    Quarters q = {.plan = plan, .outline = &plan->ground_outline, .mesh = mesh_new(arena)};
    const double thick_mm = plan->ground_thick_mm;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        if (!is_mound(&plan->things[i])) continue;
        const int levels = levels_for(q.outline, &plan->things[i]);
        if (levels > q.levels) q.levels = levels;
    }
    if (q.levels == 0) return slab_mesh(arena, q.outline, 0, thick_mm);
    for (int level = 0; level < q.levels; level++)
        q.split[level] = arena_alloc(arena, (size_t)1 << (2 * level));
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        if (is_mound(&plan->things[i]))
            divide(&q, 0, 0, 0, &plan->things[i], levels_for(q.outline, &plan->things[i]));
    }
    even_out(&q);
    const size_t lines = ((size_t)1 << q.levels) + 1;
    q.vertex = ARENA_ARRAY(arena, uint32_t, lines * lines);
    add_cells(&q, 0, 0, 0);
    mesh_smooth(q.mesh, 0, 0);
    add_sides_and_underside(&q, -thick_mm);
    return q.mesh;
}
