/* Solids against closed forms. */
#include "mesh_check.h"
#include "model/figure_mesh.h"
#include "model/ground_mesh.h"
#include "model/panel_mesh.h"
#include "model_sample.h"
#include "optics/space.h"

#include <criterion/criterion.h>

#define ASSERT_SOLID(mesh)                                                                                   \
    do {                                                                                                     \
        cr_assert_gt((mesh)->indices.count, 0);                                                              \
        cr_assert_eq(mesh_open_edges(mesh), 0, "%zu edges are open", mesh_open_edges(mesh));                 \
        cr_assert_eq(mesh_bad_triangles(mesh, 1e-4), 0, "%zu triangles are bad",                             \
                     mesh_bad_triangles(mesh, 1e-4));                                                        \
    } while (0)

#define ASSERT_SHARE(value, wanted, share)                                                                   \
    cr_assert_float_eq(value, wanted, fabs((wanted) * (share)), "%g, not %g", (double)(value),               \
                       (double)(wanted))

static Arena *arena;
static void start(void) {
    arena = arena_new();
}
static void finish(void) {
    arena_free(arena);
}
TestSuite(mesh, .init = start, .fini = finish);

/* The check itself must be able to fail: a box without one face, a box turned inside out. */
Test(mesh, the_check_sees_holes_and_wrong_winding) {
    Mesh *box = mesh_new(arena);
    mesh_add_box(box, point(0, 0, 0), point(10, 20, 30));
    box->indices.count -= 6;
    cr_assert_eq(mesh_open_edges(box), 4);
    box->indices.count += 6;
    const uint32_t kept = box->indices.items[0];
    box->indices.items[0] = box->indices.items[1];
    box->indices.items[1] = kept;
    cr_assert_gt(mesh_open_edges(box), 0);
    cr_assert_eq(mesh_bad_triangles(box, 1e-4), 1);
}

Test(mesh, a_box_holds_its_edges_multiplied) {
    Mesh *mesh = mesh_new(arena);
    mesh_add_box(mesh, point(-100, -20, 0), point(100, 20, 30));
    ASSERT_SOLID(mesh);
    ASSERT_SHARE(mesh_volume_mm3(mesh), 200.0 * 40 * 30, 1e-5);
}

/* Axes: metres, X across, Y up, Z towards the camera. */
Test(mesh, a_place_of_the_set_becomes_a_place_of_gltf) {
    Mesh *mesh = mesh_new(arena);
    mesh_vertex(mesh, point(1000, 2000, 3000), point(0, 1, 0));
    const MeshVertex *v = &mesh->vertices.items[0];
    cr_assert_float_eq(v->at[0], 1, 1e-6);
    cr_assert_float_eq(v->at[1], 3, 1e-6);
    cr_assert_float_eq(v->at[2], -2, 1e-6);
    cr_assert_float_eq(v->normal[2], -1, 1e-6);
}

/* A regular n-gon of radius r: n/2 r^2 sin(2 pi/n). */
static double polygon_area(double radius, int sides) {
    return sides / 2.0 * radius * radius * sin(2 * PI / sides);
}

Test(mesh, posts_and_cones_hold_what_their_polygons_say) {
    Mesh *post = mesh_new(arena), *cone = mesh_new(arena);
    mesh_add_post(post, point(5, 6, 7), 80, 80, 300, 24);
    ASSERT_SOLID(post);
    ASSERT_SHARE(mesh_volume_mm3(post), polygon_area(40, 24) * 300, 1e-5);
    mesh_add_cone(cone, point(5, 6, 7), 80, 120, 300, 24);
    ASSERT_SOLID(cone);
    ASSERT_SHARE(mesh_volume_mm3(cone), polygon_area(1, 24) * 40 * 60 * 300 / 3, 1e-5);
}

Test(mesh, a_wedge_is_half_a_box) {
    Mesh *mesh = mesh_new(arena);
    const Point3 profile[] = {point(0, -120, 0), point(0, 120, 0), point(0, 120, 90)};
    mesh_add_prism(mesh, profile, 3, -80, 80);
    ASSERT_SOLID(mesh);
    ASSERT_SHARE(mesh_volume_mm3(mesh), 160.0 * 240 * 90 / 2, 1e-5);
}

/* A sphere cut into rings and sides holds less than 4/3 pi r^3, and nears it. */
Test(mesh, balls_and_limbs_near_their_formulas) {
    Mesh *ball = mesh_new(arena), *limb = mesh_new(arena);
    mesh_add_ball(ball, point(1, 2, 3), 30, 40, 50, 28);
    ASSERT_SOLID(ball);
    ASSERT_SHARE(mesh_volume_mm3(ball), 4.0 / 3 * PI * 30 * 40 * 50, 0.03);
    mesh_add_limb(limb, point(0, 0, 0), point(60, 80, 0), 10, 10, 16);
    ASSERT_SOLID(limb);
    ASSERT_SHARE(mesh_volume_mm3(limb), PI * 100 * 100 + 4.0 / 3 * PI * 1000, 0.06);
}

Test(mesh, tubes_and_arrowheads_are_solid_in_every_direction) {
    const Point3 ends[] = {point(100, 0, 0),  point(-100, 0, 0),  point(0, 100, 0),
                           point(0, -100, 0), point(0, 0, 100),   point(0, 0, -100),
                           point(60, 70, 80), point(-1, -2, -99), point(1e-7, 0, 100)};
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        Mesh *mesh = mesh_new(arena);
        mesh_add_tube(mesh, point(3, 3, 3), point_add(ends[i], point(3, 3, 3)), 2);
        ASSERT_SOLID(mesh);
        ASSERT_SHARE(mesh_volume_mm3(mesh), polygon_area(2, 6) * point_length(ends[i]), 1e-4);
        mesh_add_arrowhead(mesh, point_times(ends[i], 2), point_times(ends[i], 3), 5);
        ASSERT_SOLID(mesh);
    }
}

/* ---- panels */

Test(mesh, a_flat_loses_what_its_openings_cut_out) {
    const Opening openings[] = {{-200, -80, 0, 220}, {60, 190, 140, 250}};
    const Mesh *mesh = panel_mesh(arena, 520, 330, 0, 12.7, openings, 2);
    ASSERT_SOLID(mesh);
    ASSERT_SHARE(mesh_volume_mm3(mesh), (520.0 * 330 - 120 * 220 - 130 * 110) * 12.7, 1e-4);
}

Test(mesh, openings_may_overlap_reach_past_the_edges_and_share_edges) {
    const Opening overlapping[] = {{-100, 50, 50, 150}, {0, 120, 100, 200}};
    const Mesh *mesh = panel_mesh(arena, 400, 300, 0, 10, overlapping, 2);
    ASSERT_SOLID(mesh);
    ASSERT_SHARE(mesh_volume_mm3(mesh), (400.0 * 300 - 150 * 100 - 120 * 100 + 50 * 50) * 10, 1e-4);
    const Opening past[] = {{150, 400, -50, 100}, {-20, 20, 250, 999}};
    mesh = panel_mesh(arena, 400, 300, 0, 10, past, 2);
    ASSERT_SOLID(mesh);
    ASSERT_SHARE(mesh_volume_mm3(mesh), (400.0 * 300 - 50 * 100 - 40 * 50) * 10, 1e-4);
    const Opening side_by_side[] = {{-100, 0, 50, 150}, {0, 100, 50, 150}};
    mesh = panel_mesh(arena, 400, 300, 0, 10, side_by_side, 2);
    ASSERT_SOLID(mesh);
    ASSERT_SHARE(mesh_volume_mm3(mesh), (400.0 * 300 - 200 * 100) * 10, 1e-4);
}

Test(mesh, a_flat_that_is_all_opening_is_nothing) {
    const Opening all = {-500, 500, -10, 500};
    cr_assert_eq(panel_mesh(arena, 400, 300, 0, 10, &all, 1)->indices.count, 0);
}

/* ---- ground */

static double trapezoid_area(const Trapezoid *o) {
    return (o->front_right_mm - o->front_left_mm + o->rear_right_mm - o->rear_left_mm) / 2 *
           (o->rear_mm - o->front_mm);
}

Test(mesh, a_slab_is_its_trapezoid_times_its_thickness) {
    const Trapezoid outline = {-1500, 1300, -400, 600, -1200, 1400};
    const Mesh *mesh = slab_mesh(arena, &outline, -50, 18);
    ASSERT_SOLID(mesh);
    ASSERT_SHARE(mesh_volume_mm3(mesh), trapezoid_area(&outline) * 18, 1e-5);
}

/* Rule 34: a mound of half axes a, b and height t holds t/2 pi a b (1 - 4/pi^2): the integral of
 * t/2 (1 + cos pi r) over the ellipse. */
static double mound_volume(const PlanThing *mound) {
    return mound->tall_mm / 2 * PI * mound->wide_mm / 2 * mound->deep_mm / 2 * (1 - 4 / (PI * PI));
}

static Mesh *ground_of(Sample *s) {
    return ground_mesh(arena, &s->plan);
}

Test(mesh, ground_with_a_mound_and_a_hollow_is_closed_and_holds_their_integrals) {
    Sample *s = sample_new(arena);
    const Mesh *mesh = ground_of(s);
    const double flat = trapezoid_area(&s->plan.ground_outline) * s->plan.ground_thick_mm;
    ASSERT_SOLID(mesh);
    const double lumps = mesh_volume_mm3(mesh) - flat;
    ASSERT_SHARE(lumps, mound_volume(&s->planned[HILL]) - mound_volume(&s->planned[RIVER]), 0.02);
    s->planned[RIVER].wide_mm = s->planned[RIVER].deep_mm = 1e-3;
    s->planned[RIVER].tall_mm = 1e-6;
    ASSERT_SHARE(mesh_volume_mm3(ground_of(s)) - flat, mound_volume(&s->planned[HILL]), 0.01);
}

Test(mesh, ground_is_divided_only_where_the_mounds_are) {
    Sample *s = sample_new(arena);
    cr_assert_lt(ground_of(s)->indices.count / 3, 12000);
    s->things[HILL].role = s->things[RIVER].role = ROLE_OPENING;
    const Mesh *flat = ground_of(s);
    ASSERT_SOLID(flat);
    cr_assert_eq(flat->indices.count / 3, 12);
}

/* Tops of vertices lie on the rule's surface; the outline's corners are vertices. */
Test(mesh, ground_follows_the_plan_and_keeps_its_corners) {
    Sample *s = sample_new(arena);
    s->planned[HILL].at.across_mm = s->plan.ground_outline.rear_right_mm - 100; /* over the edge */
    const Mesh *mesh = ground_of(s);
    ASSERT_SOLID(mesh);
    const Trapezoid *o = &s->plan.ground_outline;
    size_t tops = 0, corners = 0;
    for (size_t i = 0; i < mesh->vertices.count; i++) {
        const MeshVertex *v = &mesh->vertices.items[i];
        const double across = 1000.0 * (double)v->at[0], back = -1000.0 * (double)v->at[2],
                     up = 1000.0 * (double)v->at[1];
        if (up <= -s->plan.ground_thick_mm + 1e-3) continue;
        cr_assert_float_eq(up, plan_ground_mm(&s->plan, across, back), 0.01);
        tops++;
        corners += hypot(across - o->front_left_mm, back - o->front_mm) < 0.01 && v->normal[1] > 0.9f;
        corners += hypot(across - o->front_right_mm, back - o->front_mm) < 0.01 && v->normal[1] > 0.9f;
    }
    cr_assert_gt(tops, 500);
    cr_assert_eq(corners, 2);
}

Test(mesh, many_small_mounds_beside_and_upon_each_other_stay_closed) {
    Sample *s = sample_new(arena);
    for (int i = HERON; i < HOUSE; i++) {
        s->things[i].role = i % 3 ? ROLE_MOUND : ROLE_HOLLOW;
        s->planned[i].at = point(-700 + 170 * i, -500 + 120 * (i * 7 % 5), 0);
        s->planned[i].wide_mm = 60 + 90 * (i % 4);
        s->planned[i].deep_mm = 50 + 110 * (i % 3);
        s->planned[i].tall_mm = 20;
    }
    ASSERT_SOLID(ground_of(s));
}

/* ---- figures */

static void assert_figure(FigureSize size) {
    const Figure figure = figure_mesh(arena, &size);
    const Mesh *parts[] = {figure.body, figure.face, figure.eyes};
    float low[3] = {9, 9, 9}, high[3] = {-9, -9, -9}, l[3], h[3];
    for (int p = 0; p < 3; p++) {
        ASSERT_SOLID(parts[p]);
        mesh_bounds(parts[p], l, h);
        for (int k = 0; k < 3; k++) {
            low[k] = fminf(low[k], l[k]);
            high[k] = fmaxf(high[k], h[k]);
        }
    }
    const double wanted[3] = {size.wide_mm, size.tall_mm, size.deep_mm};
    const double from[3] = {-size.wide_mm / 2, 0, -size.deep_mm / 2};
    for (int k = 0; k < 3; k++) {
        cr_assert_float_eq(1000.0 * (double)low[k], from[k], 0.01, "axis %d begins at %g", k,
                           1000.0 * (double)low[k]);
        cr_assert_float_eq(1000.0 * (double)(high[k] - low[k]), wanted[k], 0.01, "axis %d spans %g", k,
                           1000.0 * (double)(high[k] - low[k]));
    }
    mesh_bounds(figure.eyes, l, h);
    cr_assert_gt(l[2], 0, "the eyes look towards the front");
}

static bool has_vertex(const Mesh *mesh, double x, double y, double z) {
    for (size_t i = 0; i < mesh->vertices.count; i++) {
        const float *at = mesh->vertices.items[i].at;
        if (hypot(hypot((double)at[0] - x, (double)at[1] - y), (double)at[2] - z) < 1e-5) return true;
    }
    return false;
}

Test(mesh, figures_are_exactly_as_wide_tall_and_deep_as_their_puppets) {
    assert_figure((FigureSize){127, 279.4, 101.6, 247.65, FIGURE_STANDING});
    assert_figure((FigureSize){127, 330, 178, 297, FIGURE_STANDING});
    assert_figure((FigureSize){101.6, 139.7, 139.7, 111.8, FIGURE_SEATED});
    assert_figure((FigureSize){60, 400, 60, 395, FIGURE_STANDING});
    assert_figure((FigureSize){300, 200, 250, 120, FIGURE_STANDING});
    assert_figure((FigureSize){120, 165, 178, 133, FIGURE_SEATED});
    assert_figure((FigureSize){200, 90, 300, 70, FIGURE_SEATED});
    assert_figure((FigureSize){12, 25, 10, 20, FIGURE_STANDING});
    assert_figure((FigureSize){482.6, 152.4, 254, 101.6, FIGURE_LYING});
    assert_figure((FigureSize){80, 90, 240, 75, FIGURE_LYING});
}

Test(mesh, a_figure_has_its_foot_its_head_and_its_eyes_where_the_plan_has_them) {
    const FigureSize size = {127, 279.4, 101.6, 247.65, FIGURE_STANDING};
    const Figure figure = figure_mesh(arena, &size);
    cr_assert(has_vertex(figure.body, 0, 0, 0));
    cr_assert(has_vertex(figure.body, 0, 0.2794, 0));
    const FigureSize seated = {101.6, 139.7, 139.7, 111.8, FIGURE_SEATED};
    cr_assert(has_vertex(figure_mesh(arena, &seated).body, 0, 0, 0));
    /* the two eyes are alike about eye height: the topmost vertex of the dark parts is as far over it as the
     * eye is thick, and an eye's pole */
    double highest = 0, lowest = 1;
    for (size_t i = 0; i < figure.eyes->vertices.count; i++) {
        const float *at = figure.eyes->vertices.items[i].at;
        if (fabs((double)at[0]) < 0.011) continue; /* the nose */
        highest = fmax(highest, (double)at[1]);
        lowest = fmin(lowest, (double)at[1]);
    }
    cr_assert_float_eq((highest + lowest) / 2, 0.24765, 1e-5);
}
