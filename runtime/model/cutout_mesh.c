#include "model/cutout_mesh.h"

#include "optics/space.h"

#include <math.h>

/* An ear flatter than this is clipped only when there is no other. */
static const double FLAT_MM = 0.02;

typedef struct Ears {
    const PartPoint *points;
    size_t *left; /* corners that are not clipped yet, anticlockwise */
    size_t count;
} Ears;

static double turn(PartPoint a, PartPoint b, PartPoint c) {
    return (b.x_mm - a.x_mm) * (c.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (c.x_mm - a.x_mm);
}

static PartPoint corner(const Ears *ears, size_t i) {
    return ears->points[ears->left[i % ears->count]];
}

static bool is_ear(const Ears *ears, size_t i, double flat_mm) {
    const size_t n = ears->count;
    const PartPoint a = corner(ears, i + n - 1), b = corner(ears, i), c = corner(ears, i + 1);
    const double twice = turn(a, b, c);
    const double longest =
        fmax(hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm),
             fmax(hypot(c.x_mm - b.x_mm, c.y_mm - b.y_mm), hypot(a.x_mm - c.x_mm, a.y_mm - c.y_mm)));
    if (twice <= flat_mm * longest) return false;
    for (size_t k = i + 2; k < i + n - 1; k++) { /* all but its three */
        const PartPoint p = corner(ears, k);
        if (turn(a, b, p) >= 0 && turn(b, c, p) >= 0 && turn(c, a, p) >= 0) return false;
    }
    return true;
}

/* The next ear from `from` on, so that ears are clipped all round and not in one fan. A polygon that does not
 * cross itself has two; where rounding hides them all that is left is flat, and any corner does. */
static size_t find_ear(const Ears *ears, size_t from) {
    const double flats[] = {FLAT_MM, 0};
    for (int try = 0; try < 2; try++) {
        for (size_t k = 0; k < ears->count; k++) {
            if (is_ear(ears, from + k, flats[try])) return (from + k) % ears->count;
        }
    }
    return from % ears->count;
}

static Point3 on(PartPoint p, double wide_mm, double back_mm) {
    return point(p.x_mm - wide_mm / 2, back_mm, p.y_mm);
}

static void add_faces(Mesh *mesh, const PartPoint t[3], double wide, double front, double rear) {
    mesh_add_face(mesh, (const Point3[]){on(t[0], wide, front), on(t[1], wide, front), on(t[2], wide, front)},
                  3);
    mesh_add_face(mesh, (const Point3[]){on(t[2], wide, rear), on(t[1], wide, rear), on(t[0], wide, rear)},
                  3);
}

Mesh *cutout_mesh(Arena *arena, CutoutOutline outline, double wide_mm, double front_mm, double rear_mm) {
    Mesh *mesh = mesh_new(arena);
    Ears ears = {outline.points, ARENA_ARRAY(arena, size_t, outline.count), outline.count};
    for (size_t i = 0; i < outline.count; i++) {
        const PartPoint a = outline.points[i], b = outline.points[(i + 1) % outline.count];
        mesh_add_quad(mesh, on(b, wide_mm, front_mm), on(a, wide_mm, front_mm), on(a, wide_mm, rear_mm),
                      on(b, wide_mm, rear_mm));
        ears.left[i] = i;
    }
    size_t at = 0;
    while (ears.count > 3) {
        at = find_ear(&ears, at + 1);
        const PartPoint t[3] = {corner(&ears, at + ears.count - 1), corner(&ears, at), corner(&ears, at + 1)};
        add_faces(mesh, t, wide_mm, front_mm, rear_mm);
        for (size_t k = at; k + 1 < ears.count; k++)
            ears.left[k] = ears.left[k + 1];
        ears.count--;
    }
    add_faces(mesh, (const PartPoint[]){corner(&ears, 0), corner(&ears, 1), corner(&ears, 2)}, wide_mm,
              front_mm, rear_mm);
    return mesh;
}
