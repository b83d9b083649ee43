/* What every solid must be: closed, wound outwards, without degenerate triangles, with normals that fit. */
#ifndef GROUNDROW_MESH_CHECK_H
#define GROUNDROW_MESH_CHECK_H

#include "model/mesh.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct CheckEdge {
    float from[3], to[3];
} CheckEdge;

static int compare_edges(const void *a, const void *b) {
    const float *x = a, *y = b;
    for (int i = 0; i < 6; i++)
        if (x[i] != y[i]) return x[i] < y[i] ? -1 : 1;
    return 0;
}

static const float *mesh_at(const Mesh *mesh, size_t corner) {
    return mesh->vertices.items[mesh->indices.items[corner]].at;
}

/* Directed edges that have not exactly one opposite twin, or occur twice; vertices count as one where their
 * places are the same to the bit. */
static inline size_t mesh_open_edges(const Mesh *mesh) {
    const size_t count = mesh->indices.count;
    CheckEdge *edges = calloc(count + 1, sizeof *edges);
    for (size_t i = 0; i < count; i++) {
        memcpy(edges[i].from, mesh_at(mesh, i), sizeof edges[i].from);
        memcpy(edges[i].to, mesh_at(mesh, i % 3 == 2 ? i - 2 : i + 1), sizeof edges[i].to);
        for (int k = 0; k < 3; k++) { /* -0 is 0 */
            edges[i].from[k] += 0.0f;
            edges[i].to[k] += 0.0f;
        }
    }
    qsort(edges, count, sizeof *edges, compare_edges);
    size_t open = 0;
    for (size_t i = 0; i < count; i++) {
        CheckEdge twin;
        memcpy(twin.from, edges[i].to, sizeof twin.from);
        memcpy(twin.to, edges[i].from, sizeof twin.to);
        const bool again = i > 0 && compare_edges(&edges[i], &edges[i - 1]) == 0;
        if (again || !bsearch(&twin, edges, count, sizeof *edges, compare_edges)) open++;
    }
    free(edges);
    return open;
}

/* Triangles whose area is under `least_mm2`, or whose vertices' normals are not of length 1 or look the other
 * way. */
static inline size_t mesh_bad_triangles(const Mesh *mesh, double least_mm2) {
    size_t bad = 0;
    for (size_t i = 0; i < mesh->indices.count; i += 3) {
        const float *a = mesh_at(mesh, i), *b = mesh_at(mesh, i + 1), *c = mesh_at(mesh, i + 2);
        double u[3], v[3], n[3];
        for (int k = 0; k < 3; k++) {
            u[k] = (double)b[k] - (double)a[k];
            v[k] = (double)c[k] - (double)a[k];
        }
        for (int k = 0; k < 3; k++)
            n[k] = u[(k + 1) % 3] * v[(k + 2) % 3] - u[(k + 2) % 3] * v[(k + 1) % 3];
        const double area = sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]) / 2;
        bool fits = area * 1e6 >= least_mm2;
        for (size_t k = 0; k < 3; k++) {
            const float *m = mesh->vertices.items[mesh->indices.items[i + k]].normal;
            const double mx = (double)m[0], my = (double)m[1], mz = (double)m[2];
            fits &= fabs(mx * mx + my * my + mz * mz - 1) < 1e-5;
            fits &= mx * n[0] + my * n[1] + mz * n[2] > 0;
        }
        bad += !fits;
    }
    return bad;
}

#endif
