#include "model/mesh.h"

#include "base/number.h"
#include "optics/space.h"

#include <assert.h>
#include <string.h>

Mesh *mesh_new(Arena *arena) {
    Mesh *mesh = ARENA_NEW(arena, Mesh);
    mesh->arena = arena;
    return mesh;
}

uint32_t mesh_vertex(Mesh *mesh, Point3 at_mm, Point3 normal) {
    LIST_PUSH(mesh->arena, mesh->vertices,
              (MeshVertex){.at = {(float)(at_mm.across_mm / 1000), (float)(at_mm.up_mm / 1000),
                                  (float)(0 - at_mm.back_mm / 1000)},
                           .normal = {(float)normal.across_mm, (float)normal.up_mm, (float)-normal.back_mm}});
    return (uint32_t)(mesh->vertices.count - 1);
}

void mesh_triangle(Mesh *mesh, uint32_t a, uint32_t b, uint32_t c) {
    LIST_PUSH(mesh->arena, mesh->indices, a);
    LIST_PUSH(mesh->arena, mesh->indices, b);
    LIST_PUSH(mesh->arena, mesh->indices, c);
}

/* ---- flat faces */

/* The sum over the fan's triangles, so that a corner on a straight line does no harm. */
static Point3 face_normal(const Point3 *corners, size_t count) {
    Point3 sum = {0};
    for (size_t i = 1; i + 1 < count; i++)
        sum = point_add(
            sum, point_cross(point_less(corners[i], corners[0]), point_less(corners[i + 1], corners[0])));
    return point_unit(sum);
}

void mesh_add_face(Mesh *mesh, const Point3 *corners, size_t count) {
    assert(count >= 3);
    const Point3 normal = face_normal(corners, count);
    const uint32_t first = mesh_vertex(mesh, corners[0], normal);
    for (size_t i = 1; i < count; i++)
        mesh_vertex(mesh, corners[i], normal);
    for (uint32_t i = 1; i + 1 < count; i++)
        mesh_triangle(mesh, first, first + i, first + i + 1);
}

void mesh_add_quad(Mesh *mesh, Point3 a, Point3 b, Point3 c, Point3 d) {
    mesh_add_face(mesh, (const Point3[]){a, b, c, d}, 4);
}

void mesh_add_block(Mesh *mesh, const Point3 lower[4], const Point3 upper[4]) {
    mesh_add_quad(mesh, upper[0], upper[1], upper[2], upper[3]);
    mesh_add_quad(mesh, lower[3], lower[2], lower[1], lower[0]);
    for (int i = 0; i < 4; i++) {
        const int next = (i + 1) % 4;
        mesh_add_quad(mesh, lower[i], lower[next], upper[next], upper[i]);
    }
}

void mesh_add_box(Mesh *mesh, Point3 low, Point3 high) {
    const double left = low.across_mm, right = high.across_mm, front = low.back_mm, rear = high.back_mm;
    const Point3 lower[4] = {point(left, front, low.up_mm), point(right, front, low.up_mm),
                             point(right, rear, low.up_mm), point(left, rear, low.up_mm)};
    const Point3 upper[4] = {point(left, front, high.up_mm), point(right, front, high.up_mm),
                             point(right, rear, high.up_mm), point(left, rear, high.up_mm)};
    mesh_add_block(mesh, lower, upper);
}

void mesh_add_prism(Mesh *mesh, const Point3 *profile, size_t count, double left_mm, double right_mm) {
    Point3 *left = ARENA_ARRAY(mesh->arena, Point3, count), *right = ARENA_ARRAY(mesh->arena, Point3, count);
    for (size_t i = 0; i < count; i++) {
        right[i] = point(right_mm, profile[i].back_mm, profile[i].up_mm);
        /* the left side is seen from the other hand: the same fan, backwards */
        left[i] = point(left_mm, profile[(count - i) % count].back_mm, profile[(count - i) % count].up_mm);
    }
    mesh_add_face(mesh, right, count);
    mesh_add_face(mesh, left, count);
    for (size_t i = 0; i < count; i++) {
        const Point3 a = right[i], b = right[(i + 1) % count];
        mesh_add_quad(mesh, b, a, point(left_mm, a.back_mm, a.up_mm), point(left_mm, b.back_mm, b.up_mm));
    }
}

/* ---- smooth skins */

static Point3 point_of(const float v[3]) {
    return point(v[0], -v[2], v[1]);
}

void mesh_smooth(Mesh *mesh, size_t vertex, size_t index) {
    const size_t count = mesh->vertices.count - vertex;
    Point3 *sums = ARENA_ARRAY(mesh->arena, Point3, count);
    for (size_t i = index; i < mesh->indices.count; i += 3) {
        const uint32_t *corner = &mesh->indices.items[i];
        const Point3 a = point_of(mesh->vertices.items[corner[0]].at),
                     b = point_of(mesh->vertices.items[corner[1]].at),
                     c = point_of(mesh->vertices.items[corner[2]].at);
        const Point3 normal = point_cross(point_less(b, a), point_less(c, a));
        for (int k = 0; k < 3; k++)
            sums[corner[k] - vertex] = point_add(sums[corner[k] - vertex], normal);
    }
    for (size_t i = 0; i < count; i++) {
        const Point3 n = point_unit(sums[i]);
        const float normal[3] = {(float)n.across_mm, (float)n.up_mm, (float)-n.back_mm};
        memcpy(mesh->vertices.items[vertex + i].normal, normal, sizeof normal);
    }
}

static bool is_point(const Ring *ring) {
    return point_length(ring->u) == 0 && point_length(ring->v) == 0;
}

static Point3 ring_point(const Ring *ring, int i, int segments) {
    const double angle = 2 * PI * i / segments;
    return point_add(ring->centre,
                     point_add(point_times(ring->u, cos(angle)), point_times(ring->v, sin(angle))));
}

static uint32_t add_ring(Mesh *mesh, const Ring *ring, int segments) {
    const uint32_t first = (uint32_t)mesh->vertices.count;
    if (is_point(ring)) return mesh_vertex(mesh, ring->centre, (Point3){0});
    for (int i = 0; i < segments; i++)
        mesh_vertex(mesh, ring_point(ring, i, segments), (Point3){0});
    return first;
}

/* The band between two rings whose vertices begin at `a` and `b`; either may be a point. */
static void add_band(Mesh *mesh, uint32_t a, bool a_point, uint32_t b, bool b_point, uint32_t segments) {
    for (uint32_t i = 0; i < segments; i++) {
        const uint32_t next = (i + 1) % segments;
        if (!a_point) mesh_triangle(mesh, a + i, a + next, b_point ? b : b + next);
        if (!b_point) mesh_triangle(mesh, a_point ? a : a + i, b + next, b + i);
    }
}

/* A flat end; `way` 1 faces along u x v, -1 against it. */
static void add_end(Mesh *mesh, const Ring *ring, Point3 middle, int way, int segments) {
    const Point3 normal = point_times(point_unit(point_cross(ring->u, ring->v)), way);
    const uint32_t centre = mesh_vertex(mesh, middle, normal);
    for (int i = 0; i < segments; i++)
        mesh_vertex(mesh, ring_point(ring, i, segments), normal);
    for (uint32_t i = 0; i < (uint32_t)segments; i++) {
        const uint32_t here = centre + 1 + i, next = centre + 1 + (i + 1) % (uint32_t)segments;
        mesh_triangle(mesh, centre, way > 0 ? here : next, way > 0 ? next : here);
    }
}

void mesh_add_loft(Mesh *mesh, const Ring *rings, size_t count, int segments, Point3 foot) {
    const size_t vertex = mesh->vertices.count, index = mesh->indices.count;
    uint32_t below = add_ring(mesh, &rings[0], segments);
    for (size_t i = 1; i < count; i++) {
        const uint32_t here = add_ring(mesh, &rings[i], segments);
        add_band(mesh, below, is_point(&rings[i - 1]), here, is_point(&rings[i]), (uint32_t)segments);
        below = here;
    }
    mesh_smooth(mesh, vertex, index);
    if (!is_point(&rings[0])) add_end(mesh, &rings[0], foot, -1, segments);
    const Ring *last = &rings[count - 1];
    if (!is_point(last)) add_end(mesh, last, last->centre, 1, segments);
}

Ring ring_level(double across_mm, double back_mm, double up_mm, double half_wide_mm, double half_deep_mm) {
    return (Ring){point(across_mm, back_mm, up_mm), point(half_wide_mm, 0, 0), point(0, half_deep_mm, 0)};
}

enum { BALL_RINGS_MOST = 17 };

void mesh_add_ball(Mesh *mesh, Point3 centre, double half_wide_mm, double half_deep_mm, double half_tall_mm,
                   int segments) {
    Ring rings[BALL_RINGS_MOST];
    int bands = segments / 2;
    if (bands > BALL_RINGS_MOST - 1) bands = BALL_RINGS_MOST - 1;
    for (int i = 0; i <= bands; i++) {
        const double angle = PI * i / bands, out = i == 0 || i == bands ? 0 : sin(angle);
        rings[i] = ring_level(centre.across_mm, centre.back_mm, centre.up_mm - half_tall_mm * cos(angle),
                              half_wide_mm * out, half_deep_mm * out);
    }
    mesh_add_loft(mesh, rings, (size_t)bands + 1, segments, centre);
}

void mesh_add_post(Mesh *mesh, Point3 foot, double wide_mm, double deep_mm, double tall_mm, int segments) {
    const Ring rings[2] = {
        ring_level(foot.across_mm, foot.back_mm, foot.up_mm, wide_mm / 2, deep_mm / 2),
        ring_level(foot.across_mm, foot.back_mm, foot.up_mm + tall_mm, wide_mm / 2, deep_mm / 2)};
    mesh_add_loft(mesh, rings, 2, segments, foot);
}

/* A tip of its own for each side, so that the side shades as a cone and not as a dome. */
void mesh_add_cone(Mesh *mesh, Point3 foot, double wide_mm, double deep_mm, double tall_mm, int segments) {
    const Ring ring = ring_level(foot.across_mm, foot.back_mm, foot.up_mm, wide_mm / 2, deep_mm / 2);
    const Point3 tip = point(foot.across_mm, foot.back_mm, foot.up_mm + tall_mm);
    const uint32_t first = (uint32_t)mesh->vertices.count;
    for (int i = 0; i < 2 * segments; i++) { /* even: on the ring; odd: the tip over the side's middle */
        const double angle = PI * i / segments;
        const Point3 normal =
            point_unit(point(2 * cos(angle) / wide_mm, 2 * sin(angle) / deep_mm, 1 / tall_mm));
        mesh_vertex(mesh, i % 2 == 0 ? ring_point(&ring, i / 2, segments) : tip, normal);
    }
    const uint32_t all = 2 * (uint32_t)segments;
    for (uint32_t i = 0; i < all; i += 2)
        mesh_triangle(mesh, first + i, first + (i + 2) % all, first + i + 1);
    add_end(mesh, &ring, foot, -1, segments);
}

void mesh_add_limb(Mesh *mesh, Point3 from, Point3 to, double from_radius_mm, double to_radius_mm,
                   int segments) {
    enum { ROUND = 3 }; /* rings of each round end, its point included */
    Ring rings[2 * ROUND + 2];
    Point3 u, v;
    const Point3 along = point_unit(point_less(to, from));
    size_t count = 0;
    point_sides(along, &u, &v);
    for (int end = 0; end < 2; end++) {
        const double radius = end == 0 ? from_radius_mm : to_radius_mm;
        for (int i = 0; i <= ROUND; i++) {
            const double angle = PI / 2 * (end == 0 ? ROUND - i : i) / ROUND;
            const double out = fabs(angle - PI / 2) < 1e-9 ? 0 : radius * cos(angle);
            const double ahead = (end == 0 ? -1 : 1) * radius * sin(angle);
            rings[count++] = (Ring){point_toward(end == 0 ? from : to, along, ahead), point_times(u, out),
                                    point_times(v, out)};
        }
    }
    mesh_add_loft(mesh, rings, count, segments, from);
}

void mesh_add_tube(Mesh *mesh, Point3 from, Point3 to, double radius_mm) {
    Point3 u, v;
    point_sides(point_less(to, from), &u, &v);
    u = point_times(u, radius_mm);
    v = point_times(v, radius_mm);
    const Ring rings[2] = {{from, u, v}, {to, u, v}};
    mesh_add_loft(mesh, rings, 2, 6, from);
}

void mesh_add_arrowhead(Mesh *mesh, Point3 foot, Point3 tip, double radius_mm) {
    Point3 u, v;
    point_sides(point_less(tip, foot), &u, &v);
    const Ring rings[2] = {{foot, point_times(u, radius_mm), point_times(v, radius_mm)}, {.centre = tip}};
    mesh_add_loft(mesh, rings, 2, 6, foot);
}

/* ---- measures */

void mesh_bounds(const Mesh *mesh, float low[3], float high[3]) {
    for (int k = 0; k < 3; k++)
        low[k] = high[k] = mesh->vertices.count > 0 ? mesh->vertices.items[0].at[k] : 0;
    for (size_t i = 1; i < mesh->vertices.count; i++) {
        for (int k = 0; k < 3; k++) {
            const float value = mesh->vertices.items[i].at[k];
            if (value < low[k]) low[k] = value;
            if (value > high[k]) high[k] = value;
        }
    }
}

double mesh_volume_mm3(const Mesh *mesh) {
    double six = 0;
    for (size_t i = 0; i < mesh->indices.count; i += 3) {
        const uint32_t *corner = &mesh->indices.items[i];
        const Point3 a = point_of(mesh->vertices.items[corner[0]].at),
                     b = point_of(mesh->vertices.items[corner[1]].at),
                     c = point_of(mesh->vertices.items[corner[2]].at);
        six += point_dot(a, point_cross(b, c));
    }
    return six / 6 * 1e9;
}
