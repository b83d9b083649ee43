#include "model/panel_mesh.h"

#include "optics/space.h"

#include <math.h>

/* Cuts nearer to each other than this are one: no slivers. */
static const double SAME_CUT_MM = 1e-3;

/* The board is divided by every edge of every opening, right through, so that neighbours always share whole
 * edges. */
typedef struct Grid {
    double *across, *up;
    size_t columns, rows; /* of cells */
    bool *solid;          /* row by row */
    double front_mm, rear_mm;
    Mesh *mesh;
} Grid;

static void insert_cut(double *cuts, size_t *count, double at, double least, double most) {
    if (at < least + SAME_CUT_MM || at > most - SAME_CUT_MM) return;
    size_t i = *count;
    while (i > 0 && cuts[i - 1] > at)
        i--;
    if (i > 0 && at - cuts[i - 1] < SAME_CUT_MM) return;
    if (i < *count && cuts[i] - at < SAME_CUT_MM) return;
    for (size_t j = *count; j > i; j--)
        cuts[j] = cuts[j - 1];
    cuts[i] = at;
    ++*count;
}

static bool is_cut_out(const Opening *openings, size_t count, double across, double up) {
    for (size_t i = 0; i < count; i++) {
        if (across > openings[i].left_mm && across < openings[i].right_mm && up > openings[i].foot_mm &&
            up < openings[i].top_mm)
            return true;
    }
    return false;
}

static bool is_solid(const Grid *grid, size_t column,
                     size_t row) { /* past an edge: unsigned wraps, too large */
    return column < grid->columns && row < grid->rows && grid->solid[row * grid->columns + column];
}

static void add_cell(Grid *grid, size_t c, size_t r) {
    const double left = grid->across[c], right = grid->across[c + 1], foot = grid->up[r],
                 top = grid->up[r + 1];
    const double front = grid->front_mm, rear = grid->rear_mm;
    const Point3 f[4] = {point(left, front, foot), point(right, front, foot), point(right, front, top),
                         point(left, front, top)};
    const Point3 b[4] = {point(left, rear, foot), point(right, rear, foot), point(right, rear, top),
                         point(left, rear, top)};
    mesh_add_quad(grid->mesh, f[0], f[1], f[2], f[3]);
    mesh_add_quad(grid->mesh, b[3], b[2], b[1], b[0]);
    const bool open[4] = {!is_solid(grid, c, r - 1), !is_solid(grid, c + 1, r), !is_solid(grid, c, r + 1),
                          !is_solid(grid, c - 1, r)};
    for (int i = 0; i < 4; i++) {
        const int next = (i + 1) % 4;
        if (open[i]) mesh_add_quad(grid->mesh, f[next], f[i], b[i], b[next]);
    }
}

static double *cuts_between(Arena *arena, double least, double most, size_t opening_count, size_t *count) {
    double *cuts = ARENA_ARRAY(arena, double, 2 * opening_count + 2);
    cuts[0] = least;
    cuts[1] = most;
    *count = 2;
    return cuts;
}

Mesh *panel_mesh(Arena *arena, double wide_mm, double tall_mm, double front_mm, double rear_mm,
                 const Opening *openings, size_t opening_count) {
    Grid grid = {.front_mm = front_mm, .rear_mm = rear_mm, .mesh = mesh_new(arena)};
    size_t lines = 0, levels = 0;
    grid.across = cuts_between(arena, -wide_mm / 2, wide_mm / 2, opening_count, &lines);
    grid.up = cuts_between(arena, 0, tall_mm, opening_count, &levels);
    for (size_t i = 0; i < opening_count; i++) {
        insert_cut(grid.across, &lines, openings[i].left_mm, -wide_mm / 2, wide_mm / 2);
        insert_cut(grid.across, &lines, openings[i].right_mm, -wide_mm / 2, wide_mm / 2);
        insert_cut(grid.up, &levels, openings[i].foot_mm, 0, tall_mm);
        insert_cut(grid.up, &levels, openings[i].top_mm, 0, tall_mm);
    }
    grid.columns = lines - 1;
    grid.rows = levels - 1;
    grid.solid = ARENA_ARRAY(arena, bool, grid.columns *grid.rows);
    for (size_t r = 0; r < grid.rows; r++) {
        for (size_t c = 0; c < grid.columns; c++)
            grid.solid[r * grid.columns + c] =
                !is_cut_out(openings, opening_count, (grid.across[c] + grid.across[c + 1]) / 2,
                            (grid.up[r] + grid.up[r + 1]) / 2);
    }
    for (size_t r = 0; r < grid.rows; r++) {
        for (size_t c = 0; c < grid.columns; c++) {
            if (is_solid(&grid, c, r)) add_cell(&grid, c, r);
        }
    }
    return grid.mesh;
}
