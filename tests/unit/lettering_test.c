/* The alphabet and what it makes of a maker's names. */
#include "base/text.h"
#include "mesh_check.h"
#include "model/latin.h"
#include "model/lettering.h"
#include "optics/space.h"

#include <criterion/criterion.h>

static Arena *arena;
static void start(void) {
    arena = arena_new();
}
static void finish(void) {
    arena_free(arena);
}
TestSuite(lettering, .init = start, .fini = finish);

static const double HEIGHT_MM = 120;

/* From the origin to the right, upright, facing the camera. */
static Mesh *lettered(const char *text) {
    Mesh *mesh = mesh_new(arena);
    const Baseline line = {.at = {0}, .along = {1, 0, 0}, .up = {0, 0, 1}};
    lettering_add(mesh, text, &line, HEIGHT_MM);
    return mesh;
}

static bool same_mesh(const Mesh *a, const Mesh *b) {
    return a->vertices.count == b->vertices.count &&
           memcmp(a->vertices.items, b->vertices.items, a->vertices.count * sizeof(MeshVertex)) == 0;
}

/* Everything that facts and names print is a letter of its own and no box. */
Test(lettering, every_sign_of_a_label_is_lettered) {
    const char *signs = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789'\"/.,:;-_+=()!?%&#*";
    const Mesh *box = lettered("\x01");
    cr_assert_gt(box->indices.count, 0);
    for (const char *a = signs; *a; a++) {
        const Mesh *mesh = lettered((char[]){*a, 0});
        cr_assert_gt(mesh->indices.count, 0, "%c", *a);
        cr_assert_not(same_mesh(mesh, box), "%c is a box", *a);
        for (const char *b = signs; b < a; b++)
            cr_assert_not(same_mesh(mesh, lettered((char[]){*b, 0})), "%c looks like %c", *a, *b);
    }
}

Test(lettering, letters_stay_on_their_line_and_within_its_width) {
    const char *texts[] = {"Fog on the river", "8'-9 1/2\"", "gjpqy, (Q)", "WAVE 0123456789",
                           "\xC3\x89t\xC3\xA9 \xC3\x85ngstr\xC3\xB6m"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        float low[3], high[3];
        mesh_bounds(lettered(texts[i]), low, high);
        const double over = 0.09; /* half a stroke, in heights of a capital */
        cr_assert_geq((double)low[0] * 1000, -over * HEIGHT_MM, "%s begins at %g", texts[i], (double)low[0]);
        cr_assert_leq((double)high[0] * 1000, (lettering_width(texts[i]) + over) * HEIGHT_MM, "%s", texts[i]);
        cr_assert_geq((double)low[1] * 1000, -LETTERING_UNDER * HEIGHT_MM, "%s", texts[i]);
        cr_assert_leq((double)high[1] * 1000, (1 + LETTERING_OVER + 0.15) * HEIGHT_MM, "%s", texts[i]);
        cr_assert_float_eq((double)high[2], 0, 1e-9);
        cr_assert_float_eq((double)low[2], 0, 1e-9);
    }
}

Test(lettering, capitals_are_as_tall_as_asked) {
    float low[3], high[3];
    mesh_bounds(lettered("H"), low, high);
    /* from base line to capital height, and half a stroke past both: 0.85 of 12 units */
    cr_assert_float_eq((double)(high[1] - low[1]) * 1000, HEIGHT_MM * (1 + 2 * 0.85 / 12), 0.01);
    mesh_bounds(lettered("x"), low, high);
    cr_assert_lt((double)high[1] * 1000, 0.8 * HEIGHT_MM);
}

Test(lettering, ribbons_face_the_reader) {
    const Mesh *mesh = lettered("Every gentle 8 & 6");
    cr_assert_eq(mesh_bad_triangles(mesh, 1e-3), 0);
    for (size_t i = 0; i < mesh->vertices.count; i++) /* towards the camera: +Z */
        cr_assert_float_eq((double)mesh->vertices.items[i].normal[2], 1, 1e-6);
}

Test(lettering, a_line_grows_by_each_letter) {
    double before = 0;
    for (int count = 1; count < 12; count++) {
        const double width = lettering_width(arena_copy(arena, "boat house 1", (size_t)count));
        if ("boat house 1"[count - 1] == ' ') continue;
        cr_assert_gt(width, before);
        before = width;
    }
    cr_assert_eq(lettering_width(""), 0);
}

/* UTF-8: letters with marks are the letter and more; what the alphabet has not is a box, each. */
Test(lettering, marks_are_added_to_letters) {
    const struct {
        const char *marked, *plain;
    } pairs[] = {{"\xC3\xA9", "e"}, {"\xC3\x84", "A"}, {"\xC3\xB1", "n"}, {"\xC4\x8D", "c"},
                 {"\xC3\xA7", "c"}, {"\xC5\x82", "l"}, {"\xC3\xB8", "o"}, {"\xC5\xB1", "u"}};
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        const Mesh *marked = lettered(pairs[i].marked), *plain = lettered(pairs[i].plain);
        cr_assert_gt(marked->indices.count, plain->indices.count, "%s", pairs[i].plain);
        cr_assert_float_eq(lettering_width(pairs[i].marked), lettering_width(pairs[i].plain), 1e-9);
    }
    cr_assert(same_mesh(lettered("\xC3\x9F"), lettered("ss"))); /* sharp s */
    cr_assert(same_mesh(lettered("\xE7\x8B\x90"), lettered("\x01")), "a sign of another script is a box");
    cr_assert(same_mesh(lettered("\xFF"), lettered("\x01")), "so is what is no UTF-8");
}

Test(lettering, names_become_plain) {
    const struct {
        const char *name, *plain;
    } rows[] = {{"far bank", "far_bank"},
                {"otter", "otter"},
                {"second-heron 2", "second-heron_2"},
                {"F\xC3\xA4hre", "Fahre"},
                {"stra\xC3\x9F"
                 "e",
                 "strasse"},
                {"\xC5\x82\xC3\xB3"
                 "d\xC5\xBA",
                 "lodz"},
                {"\xE7\x8B\x90", "u72d0"},
                {"\xF0\x9F\xA6\xA6", "u01f9a6"},
                {"60 mm, 9 in up", "60_mmu002c_9_in_up"},
                {"", "_"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        cr_assert_str_eq(latin_plain_name(arena, rows[i].name), rows[i].plain);
}
