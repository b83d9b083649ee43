/* The z-buffer against areas in closed form. */
#include "base/number.h"
#include "see/rasteriser.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

/* A level camera 1000 mm from the mark, 100 mm up, that sees upright planes square on: shares of the frame
 * are shares of area. */
typedef struct View {
    Arena *arena;
    Camera camera;
    Picture picture;
    double mm_wide, mm_tall; /* of the frame, at the mark */
} View;

static View view_new(double tilt_deg) {
    const PictureWishes wishes = {.page_wide_mm = 300,
                                  .page_tall_mm = 200,
                                  .pages = 1,
                                  .sensor_wide_mm = 36,
                                  .sensor_tall_mm = 24,
                                  .crop_uses = 1};
    View view = {.arena = arena_new(), .picture = picture_new(&wishes)};
    view.camera =
        (Camera){.distance_mm = 1000, .height_mm = 100, .focal_mm = 50, .tilt_rad = RADIANS(tilt_deg)};
    camera_focus(&view.camera, (Point3){0, 0, 100});
    view.mm_wide = 36 * 1000 / view.camera.image_mm;
    view.mm_tall = 24 * 1000 / view.camera.image_mm;
    return view;
}

static Raster *raster_of(const View *view, int wide_px) {
    return raster_new(view->arena, &view->camera, &view->picture, raster_frame(&view->picture, 0), wide_px,
                      wide_px * 2 / 3);
}

static void upright(Raster *raster, double left, double right, double low, double high, double back,
                    int identity) {
    const Point3 a = {left, back, low}, b = {right, back, low}, c = {right, back, high},
                 d = {left, back, high};
    raster_triangle(raster, a, b, c, identity);
    raster_triangle(raster, a, c, d, identity);
}

static double share(const Raster *raster, int identity) {
    const size_t count = (size_t)raster->wide_px * (size_t)raster->tall_px;
    size_t seen = 0;
    for (size_t i = 0; i < count; i++)
        seen += raster->identity[i] == identity;
    return (double)seen / (double)count;
}

Test(rasteriser, a_panel_hides_a_third_of_another) {
    View view = view_new(0);
    Raster *raster = raster_of(&view, 1200);
    const double w = 300, h = 200;
    upright(raster, -w / 2, w / 2, 0, h, 0, 1);
    const double nearer = 0.8; /* 200 mm in front: everything there is drawn 1/0.8 as large */
    upright(raster, -w / 2 * nearer, (-w / 2 + w / 3) * nearer, 100 - 100 * nearer, 100 + 100 * nearer, -200,
            2);
    const double whole = w * h / (view.mm_wide * view.mm_tall);
    cr_assert_float_eq(share(raster, 1), whole * 2 / 3, 0.002);
    cr_assert_float_eq(share(raster, 2), whole / 3, 0.002);
    arena_free(view.arena);
}

Test(rasteriser, a_disc) {
    View view = view_new(0);
    Raster *raster = raster_of(&view, 1200);
    const double radius = 150;
    enum { CORNERS = 720 };
    for (int i = 0; i < CORNERS; i++) {
        const double a = 2 * PI * i / CORNERS, b = 2 * PI * (i + 1) / CORNERS;
        raster_triangle(raster, (Point3){0, 0, 100}, (Point3){radius * cos(a), 0, 100 + radius * sin(a)},
                        (Point3){radius * cos(b), 0, 100 + radius * sin(b)}, 5);
    }
    cr_assert_float_eq(share(raster, 5), PI * radius * radius / (view.mm_wide * view.mm_tall), 0.002);
    arena_free(view.arena);
}

/* Level ground from 1 m to 3 m away, 100 mm below the lens: a trapezoid in the picture. */
Test(rasteriser, a_trapezoid_of_ground) {
    View view = view_new(0);
    Raster *raster = raster_of(&view, 1200);
    const double half = 100, near = 1000, far = 3000, v = view.camera.image_mm;
    const Point3 a = {-half, near - 1000, 0}, b = {half, near - 1000, 0}, c = {half, far - 1000, 0},
                 d = {-half, far - 1000, 0};
    raster_triangle(raster, a, b, c, 3);
    raster_triangle(raster, a, c, d, 3);
    const double on_sensor =
        (2 * half * v / near + 2 * half * v / far) / 2 * (100 * v / near - 100 * v / far);
    cr_assert_float_eq(share(raster, 3), on_sensor / (36 * 24), 0.002);
    arena_free(view.arena);
}

/* Ground that begins behind the lens: the near plane cuts it, and all below the horizon is ground. Looking
 * down 10 degrees the horizon is v tan 10 above the middle. */
Test(rasteriser, ground_from_behind_the_lens_to_the_horizon) {
    View view = view_new(10);
    Raster *raster = raster_of(&view, 900);
    const double far = 5e6;
    const Point3 a = {-far, -far, 0}, b = {far, -far, 0}, c = {far, far, 0}, d = {-far, far, 0};
    raster_triangle(raster, a, b, c, 3);
    raster_triangle(raster, a, c, d, 3);
    const double above = view.camera.image_mm * tan(RADIANS(10));
    cr_assert_float_eq(share(raster, 3), (12 + above) / 24, 0.002);
    arena_free(view.arena);
}

static void count_visit(void *context, size_t pixel, size_t count) {
    for (size_t i = pixel; i < pixel + count; i++)
        ((unsigned char *)context)[i]++;
}

/* A fan of random triangles that tile a polygon: every pixel inside is drawn exactly once, none outside. */
Test(rasteriser, shared_edges_are_drawn_once) {
    View view = view_new(3);
    Raster *raster = raster_of(&view, 300);
    const size_t count = (size_t)raster->wide_px * (size_t)raster->tall_px;
    unsigned state = 12345;
    for (int round = 0; round < 50; round++) {
        unsigned char *times = ARENA_ARRAY(view.arena, unsigned char, count);
        enum { CORNERS = 17 };
        Point3 ring[CORNERS];
        for (int i = 0; i < CORNERS; i++) {
            state = state * 1103515245u + 12345u;
            const double angle = 2 * PI * i / CORNERS, radius = 40 + (double)(state >> 16 & 1023) / 5;
            ring[i] = (Point3){radius * cos(angle), (double)(state >> 8 & 255), 100 + radius * sin(angle)};
        }
        const Point3 middle = {3.3, 77, 101};
        for (int i = 0; i < CORNERS; i++)
            raster_visit(raster, middle, ring[i], ring[(i + 1) % CORNERS], count_visit, times);
        size_t once = 0;
        for (size_t i = 0; i < count; i++) {
            cr_assert_leq(times[i], 1, "pixel %zu drawn %d times", i, times[i]);
            once += times[i];
        }
        cr_assert_gt(once, 1000);
        /* no hole: a pixel whose four neighbours are drawn is drawn */
        for (size_t i = (size_t)raster->wide_px; i + (size_t)raster->wide_px < count; i++) {
            if (times[i - 1] && times[i + 1] && times[i - (size_t)raster->wide_px] &&
                times[i + (size_t)raster->wide_px])
                cr_assert(times[i]);
        }
    }
    arena_free(view.arena);
}

Test(rasteriser, the_nearest_is_seen_whatever_the_order) {
    View view = view_new(0);
    Raster *first = raster_of(&view, 200), *second = raster_of(&view, 200);
    upright(first, -100, 100, 0, 200, 0, 1);
    upright(first, -50, 150, 50, 250, 300, 2);
    upright(second, -50, 150, 50, 250, 300, 2);
    upright(second, -100, 100, 0, 200, 0, 1);
    for (size_t i = 0; i < 200u * 133u; i++)
        cr_assert_eq(first->identity[i], second->identity[i]);
    arena_free(view.arena);
}

/* A window of half a thousandth of a millimetre at the drawing's edge, a hundred million of whose pixels
 * would go to the axis: what is seen through it is right all the same. */
Test(rasteriser, a_window_far_from_the_axis) {
    View view = view_new(0);
    const RasterWindow frame = raster_frame(&view.picture, 0);
    const RasterWindow window = {frame.right_mm - 5e-4, frame.right_mm, frame.high_mm - 5e-4, frame.high_mm};
    Raster *raster = raster_new(view.arena, &view.camera, &view.picture, window, 100, 100);
    upright(raster, -9000, 9000, -9000, 9000, 300, 1);
    Point3 spot;
    const double middle_x = (window.left_mm + window.right_mm) / 2,
                 middle_y = (window.low_mm + window.high_mm) / 2;
    cr_assert(camera_on_upright(&view.camera, &view.picture, middle_x, middle_y, 0, &spot));
    upright(raster, spot.across_mm, 9000, spot.up_mm, 9000, 0, 2); /* a corner in the middle of the window */
    cr_assert_float_eq(share(raster, 1), 0.75, 0.011);
    cr_assert_float_eq(share(raster, 2), 0.25, 0.011);
    arena_free(view.arena);
}

/* A pixel's place on the drawing is where a point that shows there is drawn. */
Test(rasteriser, pixels_and_the_drawing_agree) {
    View view = view_new(7);
    Raster *raster = raster_of(&view, 600);
    double x, y, px_x, px_y;
    const Point3 spot = {80, 120, 60};
    camera_project(&view.camera, &view.picture, spot, &x, &y, NULL);
    raster_triangle(raster, (Point3){79, 120, 59}, (Point3){81, 120, 59}, (Point3){80, 120, 61.5}, 9);
    bool found = false;
    for (size_t i = 0; i < (size_t)raster->wide_px * (size_t)raster->tall_px; i++) {
        if (raster->identity[i] != 9) continue;
        raster_pixel_mm(raster, i, &px_x, &px_y);
        cr_assert_float_eq(px_x, x, 1.5);
        cr_assert_float_eq(px_y, y, 1.5);
        found = true;
    }
    cr_assert(found);
    arena_free(view.arena);
}

/* Level edges, at any height between two rows: an upright grid is wrong by up to half a row, one askew by
 * little of that. */
Test(rasteriser, a_level_edge_on_a_grid_askew) {
    View view = view_new(0);
    double worst[2] = {0, 0};
    for (int askew = 0; askew < 2; askew++) {
        for (int step = 0; step < 20; step++) {
            Raster *raster = raster_of(&view, 160);
            if (askew) raster_turn(raster, 1 / 32.618);
            const double above = step * 0.5, reach = 2 * view.mm_wide;
            upright(raster, -reach, reach, -reach, 100 + above, 0, 1);
            double counted = 0, seen = 0;
            const RasterWindow *w = &raster->window;
            for (size_t i = 0; i < (size_t)raster->wide_px * (size_t)raster->tall_px; i++) {
                double x, y;
                raster_pixel_mm(raster, i, &x, &y);
                /* what lies in the grid whichever way it is turned */
                if (fabs(x - (w->left_mm + w->right_mm) / 2) > 0.45 * (w->right_mm - w->left_mm) ||
                    fabs(y - (w->low_mm + w->high_mm) / 2) > 0.45 * (w->high_mm - w->low_mm))
                    continue;
                counted++;
                seen += raster->identity[i] == 1;
            }
            const double is = 0.5 + above / view.mm_tall / 0.9;
            worst[askew] = fmax(worst[askew], fabs(seen / counted - is));
        }
    }
    cr_assert_gt(worst[0], 0.003);
    cr_assert_lt(worst[1], 0.001, "%f, upright %f", worst[1], worst[0]);
    arena_free(view.arena);
}
