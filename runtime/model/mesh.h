/* Triangles of one surface, and the solids of which everything in a model is made. What goes in is in
 * millimetres and in (across, back, up); what is kept is what glTF wants: single precision, metres, X =
 * across, Y = up, Z = -back. Solids are closed (every edge belongs to two triangles that run along it in
 * opposite senses), counter-clockwise seen from outside, and without degenerate triangles as long as their
 * sizes are more than nothing. Normals have length 1. A mesh belongs to its arena. */
#ifndef GROUNDROW_MESH_H
#define GROUNDROW_MESH_H

#include "base/arena.h"
#include "optics/camera.h"

#include <stdbool.h>
#include <stdint.h>

typedef struct MeshVertex {
    float at[3];     /* m */
    float normal[3]; /* length 1 */
    float uv[2];     /* of textured meshes: (0, 0) is the image's upper left corner */
} MeshVertex;

typedef struct Mesh {
    Arena *arena;
    LIST(MeshVertex) vertices;
    LIST(uint32_t) indices; /* three a triangle */
    bool textured;
} Mesh;

Mesh *mesh_new(Arena *arena);

/* One vertex; `normal` is a direction of length 1. Returns its index. */
uint32_t mesh_vertex(Mesh *mesh, Point3 at_mm, Point3 normal);
void mesh_triangle(Mesh *mesh, uint32_t a, uint32_t b, uint32_t c);
/* A flat face with vertices of its own, counter-clockwise, seen whole from its first corner. */
void mesh_add_face(Mesh *mesh, const Point3 *corners, size_t count);
void mesh_add_quad(Mesh *mesh, Point3 a, Point3 b, Point3 c, Point3 d);

/* A box along the axes, between two corners. */
void mesh_add_box(Mesh *mesh, Point3 low, Point3 high);
/* Six flat faces between a lower and an upper quadrilateral, both counter-clockwise seen from above. */
void mesh_add_block(Mesh *mesh, const Point3 lower[4], const Point3 upper[4]);
/* A profile in (back, up), seen whole from its first corner and counter-clockwise seen from the right, drawn
 * out from `left_mm` to `right_mm`. The profile's `across_mm` are not read. */
void mesh_add_prism(Mesh *mesh, const Point3 *profile, size_t count, double left_mm, double right_mm);

/* A ring of a loft: an ellipse about `centre` with the half axes `u` and `v`; where both are null it is a
 * point. */
typedef struct Ring {
    Point3 centre, u, v;
} Ring;
/* A smooth skin over rings, u x v pointing along the way from the first to the last. An end that is no point
 * is closed flat; the first end's fan begins at `foot`, which lies within the first ring and in its plane. */
void mesh_add_loft(Mesh *mesh, const Ring *rings, size_t count, int segments, Point3 foot);
/* A level ring. */
Ring ring_level(double across_mm, double back_mm, double up_mm, double half_wide_mm, double half_deep_mm);

void mesh_add_ball(Mesh *mesh, Point3 centre, double half_wide_mm, double half_deep_mm, double half_tall_mm,
                   int segments);
/* An upright post: an elliptic cylinder, or a cone that ends in a tip over the middle of its foot. */
void mesh_add_post(Mesh *mesh, Point3 foot, double wide_mm, double deep_mm, double tall_mm, int segments);
void mesh_add_cone(Mesh *mesh, Point3 foot, double wide_mm, double deep_mm, double tall_mm, int segments);
/* A limb with round ends; its ends reach a radius past the two points. */
void mesh_add_limb(Mesh *mesh, Point3 from, Point3 to, double from_radius_mm, double to_radius_mm,
                   int segments);
/* A thin six-sided bar with flat ends, for lines. */
void mesh_add_tube(Mesh *mesh, Point3 from, Point3 to, double radius_mm);
/* A six-sided point from `foot` to `tip`. */
void mesh_add_arrowhead(Mesh *mesh, Point3 foot, Point3 tip, double radius_mm);

/* Normals of the vertices from `vertex` on: of the triangles from `index` on that meet in each, by their
 * areas. */
void mesh_smooth(Mesh *mesh, size_t vertex, size_t index);

/* What the mesh spans, in metres; both null for an empty mesh. */
void mesh_bounds(const Mesh *mesh, float low[3], float high[3]);
/* Of a closed mesh: the divergence theorem over its triangles (positive when it is wound outwards). */
double mesh_volume_mm3(const Mesh *mesh);

#endif
