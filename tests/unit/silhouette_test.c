/* Silhouettes and the cutouts made of them against closed forms: pi r^2, a b, b h / 2. */
#include "base/silhouette.h"
#include "images.h"
#include "mesh_check.h"
#include "model/cutout_mesh.h"
#include "picture/png_write.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

static Arena *arena;
static void start(void) {
    arena = arena_new();
}
static void finish(void) {
    arena_free(arena);
}
TestSuite(silhouette, .init = start, .fini = finish);

/* ---- Images of shapes, x and y in px from the upper left corner */

typedef bool (*Inside)(double x, double y);

static bool disc(double x, double y) {
    return hypot(x - 251.3, y - 249.1) < 200;
}
static bool square(double x, double y) {
    return x > 60.4 && x < 440.4 && y > 80.7 && y < 460.7;
}
static bool triangle(double x, double y) { /* 400 wide, 300 tall, its tip over the left third */
    return y < 420.2 && y > 120.2 && (x - 50.5) * 300 > (420.2 - y) * 130 &&
           (450.5 - x) * 300 > (420.2 - y) * 270;
}
static bool ring_and_dot(double x, double y) {
    const double r = hypot(x - 251.3, y - 249.1);
    return (r < 200 && r > 120) || hypot(x - 480, y - 20) < 15;
}
static bool nothing(double x, double y) {
    (void)x, (void)y;
    return false;
}

enum { SIDE = 500, FINE = 8 };

/* Each pixel the share of it that is inside, in `fine` x `fine` points; 1: hard edges. */
static Pixels *image(Inside inside, int fine, uint32_t paper, uint32_t ink) {
    Pixels *made = ARENA_NEW(arena, Pixels);
    *made = (Pixels){SIDE, SIDE, ARENA_ARRAY(arena, uint32_t, SIDE * SIDE)};
    for (int i = 0; i < SIDE * SIDE; i++) {
        int hits = 0;
        for (int k = 0; k < fine * fine; k++)
            hits += inside(i % SIDE + (k % fine + 0.5) / fine, i / SIDE + (k / fine + 0.5) / fine);
        uint32_t argb = 0xFF000000u;
        for (int shift = 0; shift <= 16; shift += 8) {
            const int from = paper >> shift & 255, to = ink >> shift & 255;
            argb |= (uint32_t)(from + (to - from) * hits / (fine * fine)) << shift;
        }
        made->argb[i] = argb;
    }
    return made;
}

static const Silhouette *found(const Pixels *pixels, const Pixels *opacity) {
    const Silhouette *made;
    cr_assert_eq(pixels_to_silhouette(arena, pixels, opacity, &made), SILHOUETTE_FOUND);
    return made;
}

static double area(CutoutOutline outline) {
    double twice = 0;
    for (size_t i = 0; i < outline.count; i++) {
        const PartPoint a = outline.points[i], b = outline.points[(i + 1) % outline.count];
        twice += a.x_mm * b.y_mm - b.x_mm * a.y_mm;
    }
    return twice / 2;
}

#define ASSERT_SHARE(value, wanted, share)                                                                   \
    cr_assert_float_eq(value, wanted, fabs((wanted) * (share)), "%g, not %g", (double)(value),               \
                       (double)(wanted))

/* Traced, stretched to `wide` x `tall`, and sawn out of a board 6 mm thick. */
static CutoutOutline sawn(const Silhouette *silhouette, double wide, double tall, double area_mm2) {
    const CutoutOutline outline = silhouette_to_outline(arena, silhouette, wide, tall);
    cr_assert_gt(outline.count, 2);
    ASSERT_SHARE(area(outline), area_mm2, 0.005);
    const Mesh *mesh = cutout_mesh(arena, outline, wide, -3, 3);
    cr_assert_eq(mesh_open_edges(mesh), 0);
    cr_assert_eq(mesh_bad_triangles(mesh, 1e-6), 0);
    ASSERT_SHARE(mesh_volume_mm3(mesh), 6 * area(outline), 1e-5);
    float low[3], high[3];
    mesh_bounds(mesh, low, high);
    const double box[6] = {-wide / 2, 0, -3, wide / 2, tall, 3};
    for (int k = 0; k < 3; k++) {
        cr_assert_float_eq((double)low[k] * 1000, box[k], 1e-3);
        cr_assert_float_eq((double)high[k] * 1000, box[k + 3], 1e-3);
    }
    return outline;
}

Test(silhouette, areas_of_what_is_opaque) {
    const Pixels *any = image(nothing, 1, 0xFFFFFF, 0);
    const Silhouette *round = found(any, image(disc, FINE, 0, 0xFFFFFF));
    ASSERT_SHARE(round->wide_px, 400, 0.001);
    sawn(round, 300, 300, PI * 150 * 150);
    sawn(round, 300, 120, PI * 150 * 60); /* an ellipse: pi a b */
    sawn(found(any, image(square, FINE, 0, 0xFFFFFF)), 250, 250, 250 * 250);
    sawn(found(any, image(triangle, FINE, 0, 0xFFFFFF)), 400, 300, 400 * 300 / 2.0);
    sawn(found(any, image(triangle, 1, 0, 0xFFFFFF)), 400, 300, 400 * 300 / 2.0);
}

Test(silhouette, straight_edges_have_few_corners) {
    const Pixels *any = image(nothing, 1, 0xFFFFFF, 0);
    const Silhouette *four = found(any, image(square, FINE, 0, 0xFFFFFF));
    cr_assert_leq(silhouette_to_outline(arena, four, 250, 250).count, 8, "corners are cut by a pixel");
    const Silhouette *three = found(any, image(triangle, 1, 0, 0xFFFFFF));
    const size_t stairs = silhouette_to_outline(arena, three, 400, 300).count;
    cr_assert_leq(stairs, 12, "%zu: no stairs", stairs);
}

/* Dark on light paper and light on dark, without alpha and with one that says nothing. */
Test(silhouette, areas_before_a_plain_background) {
    const Pixels *whole = image(nothing, 1, 0xFFFFFF, 0);
    sawn(found(image(disc, 1, 0xF4F0E6, 0x206030), NULL), 300, 300, PI * 150 * 150);
    sawn(found(image(disc, 1, 0x102030, 0xE0C080), whole), 300, 300, PI * 150 * 150);
    sawn(found(image(triangle, 1, 0xFFFFFF, 0x808080), NULL), 400, 300, 400 * 300 / 2.0);
}

Test(silhouette, the_largest_shape_alone_and_no_holes) {
    const Pixels *any = image(nothing, 1, 0xFFFFFF, 0);
    sawn(found(any, image(ring_and_dot, FINE, 0, 0xFFFFFF)), 300, 300, PI * 150 * 150);
}

static bool comb(double x, double y) {
    return y > 40 && y < 460 && x > 30 && x < 470 && (y > 430 || fmod(x, 20) < 9 + 5 * sin(y / 30));
}

Test(silhouette, a_comb_is_a_closed_solid_and_the_same_again) {
    const Pixels *any = image(nothing, 1, 0xFFFFFF, 0), *opacity = image(comb, FINE, 0, 0xFFFFFF);
    const CutoutOutline one = silhouette_to_outline(arena, found(any, opacity), 440, 420);
    const CutoutOutline two = silhouette_to_outline(arena, found(any, opacity), 440, 420);
    cr_assert_eq(one.count, two.count);
    cr_assert_eq(memcmp(one.points, two.points, one.count * sizeof *one.points), 0);
    sawn(found(any, opacity), 440, 420, area(one));
}

Test(silhouette, what_has_none) {
    const Silhouette *made;
    const Pixels *white = image(nothing, 1, 0xFFFFFF, 0), *clear = image(nothing, 1, 0, 0);
    cr_assert_eq(pixels_to_silhouette(arena, white, NULL, &made), SILHOUETTE_EMPTY);
    cr_assert_null(made);
    cr_assert_eq(pixels_to_silhouette(arena, white, clear, &made), SILHOUETTE_EMPTY);
    Pixels *noise = image(nothing, 1, 0, 0);
    uint32_t seed = 1;
    for (int i = 0; i < SIDE * SIDE; i++)
        noise->argb[i] = 0xFF000000u | (seed = seed * 1664525u + 1013904223u) >> 8;
    cr_assert_eq(pixels_to_silhouette(arena, noise, NULL, &made), SILHOUETTE_NO_GROUND);
}

/* ---- Through the gate */

static FoundFile ask(const Pixels *pixels, int decoded_most_px, Diagnostics *said) {
    char folder[] = "/tmp/silhouette-test-XXXXXX", path[64];
    cr_assert_not_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/reeds.png", folder);
    Buffer png = buffer_new(arena);
    png_write(&png, pixels->argb, SIDE, SIDE, SIDE, 100);
    FILE *file = fopen(path, "wb");
    fwrite(png.bytes, 1, png.count, file);
    fclose(file);
    WantedFile wanted = {.path = "reeds.png", .span = {.line = 2, .column = 9}, .outlined = true};
    const Scene scene = {.wanted = &wanted, .wanted_count = 1};
    const char *trouble = NULL;
    *said = diagnostics_new(arena);
    const FoundFile *all = images_find(arena, folder, &scene, decoded_most_px, said, &trouble);
    unlink(path);
    rmdir(folder);
    return all[0];
}

/* The outline is the same whatever else is made of the image. */
Test(silhouette, through_the_gate) {
    Diagnostics said;
    const Pixels *pixels = image(disc, FINE, 0xFFFFFF, 0x206030);
    const FoundFile small = ask(pixels, 0, &said), large = ask(pixels, PIXELS_MOST_PX, &said);
    cr_assert(small.found && large.found && small.silhouette && large.silhouette);
    cr_assert_eq(said.errors, 0);
    cr_assert_eq(small.silhouette->count, large.silhouette->count);
    cr_assert_eq(memcmp(small.silhouette->points, large.silhouette->points,
                        small.silhouette->count * sizeof *small.silhouette->points),
                 0);
}

Test(silhouette, an_empty_one_is_a_fault_with_help) {
    Diagnostics said;
    cr_assert_null(ask(image(nothing, 1, 0xFFFFFF, 0), 0, &said).silhouette);
    cr_assert_eq(said.errors, 1);
    cr_assert_str_eq(said.items.items[0]->message,
                     "there is no shape in `reeds.png`: it is of one colour, or "
                     "wholly clear");
    cr_assert_str_eq(said.items.items[0]->help,
                     "a cutout's outline is the largest shape of its image: save it as a PNG with a clear "
                     "background, or in front of one plain colour");
}
