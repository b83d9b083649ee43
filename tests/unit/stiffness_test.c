/* How far boards bend, against handbooks, and by hand. */
#include "plan/room.h"
#include "plan/stiffness.h"
#include "plan/tables.h"
#include "plan/weights.h"
#include "shop/plan_to_parts.h"
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>

#define N_MM2_OF_PSI 0.00689475729
#define MM3_OF_IN4_FT (416231.4256 / 304.8)

static const char *with(Arena *arena, const char *text, const char *old, const char *new) {
    const char *at = strstr(text, old);
    cr_assert(at, "%s", old);
    return arena_format(arena, "%.*s%s%s", (int)(at - text), text, new, at + strlen(old));
}

static Spec loaded(Arena *arena, const char *book, const char *scene) {
    Spec spec = spec_of(arena, book, scene);
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    spec.plan->parts = plan_to_parts(arena, spec.plan, &spec.diagnostics);
    cr_assert_eq(spec.diagnostics.errors, 0, "%s", spec_words(arena, &spec));
    return spec;
}

/* The base of the fog cut from a stock of these words, 3/4 in thick. */
static BoardStiffness board(Arena *arena, const char *name, const char *words) {
    const char *stock =
        arena_format(arena, "  %s: {sheet: 60 x 120 in, thick: 3/4 in, weighs: 2 lb/ft2%s}\n", name, words);
    const char *book = with(arena, FERRY_BOOK, "stock:\n", arena_format(arena, "stock:\n%s", stock));
    book = with(arena, book, "base: {stock: ply", arena_format(arena, "base: {stock: %s", name));
    const Spec spec = loaded(arena, book, FOG_SCENE);
    return base_stiffness(arena, spec.plan);
}

/* Published: Wood Handbook, FPL-GTR-190, table 12-1 and 12-3: MDF 3.59 GPa (0.52 million psi), particleboard
 * from 2.76 (0.40), hardboard from 3.10 (0.45), western white pine 10.07 (1.46); strandboard across from 1.92
 * (0.278). I of a mm of a rectangle is thick^3 / 12. */
Test(stiffness, boards_as_published) {
    Arena *arena = arena_new();
    const double inertia = pow(19.05, 3) / 12;
    const struct {
        const char *name, *words;
        double psi;
    } rows[] = {{"top", ", kind: MDF", 0.52e6},           {"mdf", "", 0.52e6},
                {"top", ", kind: particle board", 0.4e6}, {"chipboard", "", 0.4e6},
                {"top", ", kind: hardboard", 0.45e6},     {"pine", ", kind: boards", 1.46e6},
                {"top", ", kind: OSB", 0.278e6}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const BoardStiffness of = board(arena, rows[i].name, rows[i].words);
        cr_expect_float_eq(of.ei_n_mm, rows[i].psi * N_MM2_OF_PSI * inertia, 0.01 * of.ei_n_mm, "%s%s",
                           rows[i].name, rows[i].words);
        cr_expect_not(of.guessed);
    }
    arena_free(arena);
}

/* What is stated goes before the kind; what says nothing is taken for plywood, and foam between papers for
 * nothing. Plyform across its grain: 0.092 in4 a foot for 3/4 in (Peurifoy and Oberlender, p. 218). */
Test(stiffness, stated_guessed_and_not_known) {
    Arena *arena = arena_new();
    const double inertia = pow(19.05, 3) / 12, ply = 1650000 * N_MM2_OF_PSI * 0.092 * MM3_OF_IN4_FT;
    const BoardStiffness stated = board(arena, "mdf", ", modulus: 600000 psi"),
                         plain = board(arena, "top", ", kind: board"), known = board(arena, "plywood", ""),
                         paper = board(arena, "foam board", ", kind: board"),
                         core = board(arena, "top", ", kind: foam core"),
                         other = board(arena, "top", ", kind: foam board, modulus: 2.5 N/mm2");
    cr_expect_float_eq(stated.ei_n_mm, 600000 * N_MM2_OF_PSI * inertia, 1e-6 * stated.ei_n_mm);
    cr_expect_float_eq(plain.ei_n_mm, ply, 1e-6 * ply);
    cr_expect(plain.guessed);
    cr_expect_float_eq(known.ei_n_mm, ply, 1e-6 * ply);
    cr_expect_not(known.guessed);
    cr_expect(isnan(paper.ei_n_mm));
    cr_expect(isnan(core.ei_n_mm));
    cr_expect_float_eq(other.ei_n_mm, 2.5 * inertia, 1e-6);
    arena_free(arena);
}

/* Published: compressive resistance at 1 % by the types of ASTM D6817, minimum
 * densities 11.2, 14.4, 18.4, 21.6, 28.8 and 38.4 kg/m3: 2.2, 3.6, 5.8, 7.3, 10.9 and 15.0 psi (geofoam data
 * sheets); elastic up to there. */
Test(stiffness, bead_foam_as_published) {
    const double rows[][2] = {{11.2, 2.2}, {14.4, 3.6}, {18.4, 5.8}, {21.6, 7.3}, {28.8, 10.9}, {38.4, 15.0}};
    for (size_t i = 0; i < 6; i++) {
        const double wanted = rows[i][1] * N_MM2_OF_PSI / 0.01;
        cr_expect_float_eq(bead_foam_n_mm2(rows[i][0]), wanted, 0.02 * wanted + 0.01);
        cr_expect_float_eq(bead_foam_n_mm2(rows[i][0] + 0.5), wanted, 0.02 * wanted + 0.01);
    }
    cr_expect_float_eq(bead_foam_n_mm2(0), 1.5, 1e-9);
}

/* Published: a cantilever under an even load bends by W L^3 / (8 E I), W the whole load (Machinery's
 * Handbook, beams, case 10). Worked by hand: a steel strip 1 mm wide and 2 mm thick, 100 mm long, under 0.01
 * N a mm: 1 N x 100^3 / (8 x 200000 x 2/3) = 0.9375 mm. The same strip on two supports bends 9.6 times less.
 */
Test(stiffness, cantilever_as_published) {
    cr_expect_float_eq(sag_mm(0.01, 100, 200000, plain_inertia_mm3(2), SPAN_OVERHANG), 0.9375, 1e-12);
    cr_expect_float_eq(sag_mm(0.01, 100, 200000, plain_inertia_mm3(2), SPAN_SINGLE), 0.9375 / 9.6, 1e-12);
}

/* Layers without glue bend each by itself: 2 in of 3/4 in MDF are 3/4, 3/4 and 1/2 in. */
Test(stiffness, layers_without_glue) {
    Arena *arena = arena_new();
    const char *book = with(arena, FERRY_BOOK, "stock:\n",
                            "stock:\n  mdf: {sheet: 60 x 120 in, thick: 3/4 in, weighs: 3 lb/ft2}\n");
    book = with(arena, book, "base: {stock: ply", "base: {stock: mdf, thick: 2 in");
    const Spec spec = loaded(arena, book, FOG_SCENE);
    const BoardStiffness of = base_stiffness(arena, spec.plan);
    cr_expect_eq(of.layers, 3);
    cr_expect_float_eq(of.ei_n_mm, 3590 * (2 * pow(19.05, 3) + pow(12.7, 3)) / 12, 1e-6 * of.ei_n_mm);
    arena_free(arena);
}

/* --- weights --- */

static double weight(const Plan *plan, const char *name) {
    return plan_weight_kg(plan, plan_find(plan, name));
}

/* Three posts of 2 lb are 6 lb, whatever they are cut from; puppets as the cast says; loads add up to all of
 * it. */
Test(stiffness, stated_weights) {
    Arena *arena = arena_new();
    const char *book =
        with(arena, FERRY_BOOK, "wide: 5 in, deep: 4 in}", "wide: 5 in, deep: 4 in, weighs: 3 lb}");
    const char *scene =
        arena_format(arena,
                     "%s  stump: {shape: post, tall: 4 in, thick: 3 in, stock: foam, weighs: 2 lb, row: "
                     "{count: 3, every: 4 in}, at: {across: -20 in, back: 5 in}}\n",
                     "scene: x\npages: 8-9\ndrawing: {wide: 420 mm}\nmark: {puppet: otter, drawn: {foot: "
                     "[180 mm, 34 mm], tall: 92 mm}}\n"
                     "camera: {lens: 85 mm, height: 10 in}\nground: {rear: 54 in}\npuppets: {heron: {at: "
                     "{across: 12 in, back: 12 in}}}\npieces:\n");
    const Spec spec = loaded(arena, book, scene);
    Tables tables;
    cr_assert(plan_tables(arena, spec.plan, &tables));
    cr_expect_float_eq(weight(spec.plan, "stump"), 6 * KG_PER_LB, 1e-9);
    cr_expect_float_eq(plan_carried_kg(spec.plan, plan_find(spec.plan, "stump")), 2 * KG_PER_LB, 1e-9);
    cr_expect_float_eq(weight(spec.plan, "otter"), 3 * KG_PER_LB, 1e-9);
    cr_expect(isnan(weight(spec.plan, "heron")));
    const double all = weight(spec.plan, "base") + weight(spec.plan, "ground") + 9 * KG_PER_LB;
    cr_expect_float_eq(tables.load_kg, all, 1e-9 * all);
    arena_free(arena);
}
