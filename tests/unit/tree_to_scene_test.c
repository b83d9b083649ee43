/* Binding: names into indices, texts into formulas, and what is refused, to the character. */
#include "spec.h"
#include "tree_to_scene.h"
#include "vocabulary.h"

#include <criterion/criterion.h>
#include <math.h>

static Arena *arena;

static void setup(void) {
    arena = arena_new();
}

static void teardown(void) {
    arena_free(arena);
}

TestSuite(bind, .init = setup, .fini = teardown);

#define BOOK                                                                                                 \
    "book: A book\n"                                                                                         \
    "page: {wide: 11 in, tall: 8 in, bleed: 1/8 in}\n"                                                       \
    "cast:\n"                                                                                                \
    "  otter: {tall: 11 in, eyes: 9 in, poses: {seated: {tall: 6 in}, bowed: {eyes: 7 in}}}\n"               \
    "  heron: {tall: 13 in, wide: 5 in}\n"                                                                   \
    "cameras: {hired: {sensor: 36 x 24 mm, pixels: 8000 x 5333}}\n"                                          \
    "lenses: {portrait: {focal: 85 mm, nearest: 32 in}}\n"                                                   \
    "stock: {ply: {sheet: 48 x 96 in, thick: 3/4 in}}\n"                                                     \
    "pieces:\n"                                                                                              \
    "  crate: {wide: 5 in, tall: 4 in, deep: 3 in, stock: ply}\n"                                            \
    "  post: {shape: post, thick: 1 in, tall: 2 * crate.tall}\n"                                             \
    "flats:\n"                                                                                               \
    "  wall: {wide: 20 in, tall: 12 in, openings: {window: {wide: 3 in, tall: 4 in, at: {up: 5 in}}}}\n"
#define SCENE                                                                                                \
    "scene: A scene\n"                                                                                       \
    "drawing: {wide: 420 mm}\n"                                                                              \
    "mark: {puppet: otter, drawn: {foot: [190 mm, 62 mm], tall: 96 mm}}\n"                                   \
    "camera: {lens: portrait, height: 10 in}\n"                                                              \
    "ground: {rear: 54 in}\n"

static Scene *bound(const char *book, const char *scene) {
    Spec *spec = ARENA_NEW(arena, Spec);
    *spec = spec_bound(arena, book, scene);
    cr_assert_eq(spec->diagnostics.errors, 0, "%s", spec_words(arena, spec));
    return spec->scene;
}

static const Thing *thing(const Scene *scene, const char *name, int shot) {
    for (size_t i = 0; i < scene->thing_count; i++) {
        if (strcmp(scene->things[i].name, name) == 0 && scene->things[i].shot == shot)
            return &scene->things[i];
    }
    cr_assert_fail("no %s", name);
    return NULL;
}

static const Slot *slot(const Scene *scene, const char *name, Field field) {
    return &scene->slots[thing(scene, name, -1)->slot[field]];
}

/* The slot that a formula of one reference reads. */
static int read_by(const Scene *scene, int index) {
    const Slot *it = &scene->slots[index];
    cr_assert(it->stated && !it->faulty && it->formula.count == 1);
    cr_assert_eq(it->formula.steps[0].op, FORMULA_SLOT);
    return it->formula.steps[0].slot;
}

static double constant(const Scene *scene, int index) {
    double value = NAN;
    cr_assert(scene->slots[index].stated);
    cr_assert(formula_constant(&scene->slots[index].formula, &value));
    return value;
}

/* All faults of a book and a scene, as they are shown. */
static void expect_said(const char *book, const char *scene, const char *wanted) {
    Spec spec = spec_bound(arena, book, scene);
    cr_expect_str_eq(spec_words(arena, &spec), wanted);
}

/* Faults of a scene whose first lines are sound; their lines count from 6. */
static void expect_of_scene(const char *more, const char *wanted) {
    expect_said(BOOK, arena_format(arena, "%s%s", SCENE, more), wanted);
}

/* --- what is bound ------------------------------------------------------------------------------------- */

Test(bind, the_sample_scene) {
    const Scene *scene = bound(FERRY_BOOK, FOG_SCENE);
    static const char *const names[] = {"ground", "base", "otter",    "heron",
                                        "ferry",  "post", "far bank", "backdrop"};
    static const ThingRole roles[] = {ROLE_GROUND, ROLE_BASE,  ROLE_PUPPET, ROLE_PUPPET,
                                      ROLE_PIECE,  ROLE_PIECE, ROLE_FLAT,   ROLE_BACKDROP};
    cr_assert_eq(scene->thing_count, 8);
    for (size_t i = 0; i < 8; i++) {
        cr_assert_str_eq(scene->things[i].name, names[i]);
        cr_assert_eq(scene->things[i].role, roles[i]);
        cr_assert_eq(scene->things[i].shot, -1);
        cr_assert_eq(scene->things[i].lead, i == 2);
    }
    cr_assert_str_eq(scene->title, "Fog on the river");
    cr_assert_str_eq(scene->book_title, "The Lantern Ferry");
    cr_assert_eq(scene->shot_count, 1);
    const Shot *shot = &scene->shots[0];
    cr_assert_eq(shot->first_page, 8);
    cr_assert_eq(shot->last_page, 9);
    cr_assert_eq(shot->lead, 2);
    cr_assert_eq(shot->lens_kind, 0);
    cr_assert_eq(shot->lens, scene->lenses[0].focal);
    cr_assert_eq(shot->body, 0);
    cr_assert(shot->lens_range && shot->allow_lens_count == 2);
    cr_assert_float_eq(constant(scene, shot->allow_lens[1]), 105, 1e-12);
    cr_assert_float_eq(constant(scene, shot->allow_height_low), 9 * 25.4, 1e-12);
    cr_assert_float_eq(constant(scene, shot->spare), 0.06, 1e-12);
    cr_assert_float_eq(constant(scene, shot->stop), 8, 1e-12);
    cr_assert_eq(scene->things[0].stock, 1); /* foam, by every scene */
    cr_assert(!scene->slots[shot->distance].stated);
    cr_assert_eq(scene->wanted_count, 1);
    cr_assert_str_eq(scene->wanted[0].path, "drawings/08-fog.png");
    cr_assert(scene->wanted[0].optional);
}

Test(bind, puppets_have_sizes_of_the_cast) {
    const Scene *scene =
        bound(BOOK, SCENE "puppets:\n  heron: {at: {across: 9 in, back: 9 in}}\n"
                          "  second heron: {puppet: heron, at: {across: 9 in, back: 9 in}}\n");
    const Thing *heron = thing(scene, "heron", -1), *second = thing(scene, "second heron", -1);
    cr_assert_eq(heron->slot[FIELD_TALL], scene->cast[1].tall);
    cr_assert_eq(second->slot[FIELD_TALL], scene->cast[1].tall);
    cr_assert_neq(second->slot[FIELD_BACK], heron->slot[FIELD_BACK]);
    cr_assert_eq(heron->cast, 1);
    cr_assert(!scene->slots[heron->slot[FIELD_EYES]].stated);
}

/* A pose has what it states; what it does not state it has standing, but for the eyes of another height. */
Test(bind, poses) {
    const Scene *scene =
        bound(BOOK, SCENE "puppets:\n  a: {puppet: otter, pose: seated, at: {across: 9 in, back: 9 in}}\n"
                          "  b: {puppet: otter, pose: bowed, at: {across: 9 in, back: 9 in}}\n"
                          "pieces:\n  p: {wide: a.eyes, tall: a.tall, deep: otter.tall, at: {across: b.eyes, "
                          "back: 1.5 otter}}\n");
    const Thing *seated = thing(scene, "a", -1), *bowed = thing(scene, "b", -1), *p = thing(scene, "p", -1);
    const CastMember *otter = &scene->cast[0];
    cr_assert_float_eq(constant(scene, seated->slot[FIELD_TALL]), 6 * 25.4, 1e-12);
    cr_assert(!scene->slots[seated->slot[FIELD_EYES]].stated);
    cr_assert_eq(bowed->slot[FIELD_TALL], otter->tall);
    cr_assert_float_eq(constant(scene, bowed->slot[FIELD_EYES]), 7 * 25.4, 1e-12);
    cr_assert_eq(read_by(scene, p->slot[FIELD_WIDE]), seated->slot[FIELD_EYES]);
    cr_assert_eq(read_by(scene, p->slot[FIELD_TALL]), seated->slot[FIELD_TALL]);
    cr_assert_eq(read_by(scene, p->slot[FIELD_DEEP]), otter->tall); /* placed standing, at the mark */
    cr_assert_eq(read_by(scene, p->slot[FIELD_ACROSS]), bowed->slot[FIELD_EYES]);
}

/* A name is the puppet on the set where there is one; as a unit it is always the cast member, standing. */
Test(bind, a_posed_puppet_is_read_as_posed) {
    const Scene *scene = bound(
        BOOK, "scene: x\ndrawing: {wide: 420 mm}\nmark: {puppet: otter, pose: seated}\n"
              "pieces:\n  p: {wide: otter.tall, tall: 2 otter, deep: 2 otter.tall, at: {across: mark.tall, "
              "back: 9 in}}\n");
    const Thing *otter = thing(scene, "otter", -1), *p = thing(scene, "p", -1);
    cr_assert_eq(read_by(scene, p->slot[FIELD_WIDE]), otter->slot[FIELD_TALL]);
    cr_assert_neq(otter->slot[FIELD_TALL], scene->cast[0].tall);
    cr_assert_eq(read_by(scene, p->slot[FIELD_ACROSS]), otter->slot[FIELD_TALL]);
    cr_assert_eq(slot(scene, "p", FIELD_TALL)->formula.steps[1].slot, scene->cast[0].tall);
    cr_assert_eq(slot(scene, "p", FIELD_DEEP)->formula.steps[1].slot, otter->slot[FIELD_TALL]);
}

Test(bind, order_of_lines_does_not_matter) {
    const Scene *scene =
        bound(BOOK, "pieces:\n  a: {wide: b.tall, tall: 2 in, deep: c.tall, at: {across: 9 in, back: 9 in}}\n"
                    "  b: {like: a, tall: 5 in, at: {across: 9 in, back: 9 in}}\n"
                    "flats: {c: {at: {back: 40 in}, wide: cover, tall: 7 in}}\n" SCENE);
    cr_assert_eq(read_by(scene, thing(scene, "a", -1)->slot[FIELD_WIDE]),
                 thing(scene, "b", -1)->slot[FIELD_TALL]);
    cr_assert_eq(read_by(scene, thing(scene, "a", -1)->slot[FIELD_DEEP]),
                 thing(scene, "c", -1)->slot[FIELD_TALL]);
}

Test(bind, what_is_like_another_has_its_words_but_its_place) {
    const Scene *scene = bound(
        BOOK, SCENE "pieces:\n"
                    "  a: {shape: steps, wide: 5 in, tall: 4 in, deep: 3 in, steps: 4, turn: 5 deg left,\n"
                    "      at: {across: 9 in, back: 9 in}, row: {count: 2, every: 6 in}}\n"
                    "  b: {like: a, tall: 6 in, at: {back: 20 in}}\n"
                    "  c: {like: b}\n"
                    "  d: {like: crate}\n"
                    "flats: {w: {like: wall, wide: cover, openings: {window: {tall: 6 in}}}}\n");
    const Thing *a = thing(scene, "a", -1), *b = thing(scene, "b", -1), *c = thing(scene, "c", -1);
    cr_assert_eq(b->shape, SHAPE_STEPS);
    cr_assert_float_eq(constant(scene, b->slot[FIELD_TALL]), 6 * 25.4, 1e-12);
    cr_assert_float_eq(constant(scene, c->slot[FIELD_TALL]), 6 * 25.4, 1e-12);
    cr_assert_float_eq(constant(scene, c->slot[FIELD_STEPS]), 4, 1e-12);
    cr_assert(c->row);
    cr_assert(!scene->slots[b->slot[FIELD_TURN]].stated);
    cr_assert(!scene->slots[b->slot[FIELD_ACROSS]].stated);
    cr_assert(!scene->slots[c->slot[FIELD_BACK]].stated);
    cr_assert_eq(&scene->things[c->like], b);
    cr_assert_eq(&scene->things[b->like], a);
    cr_assert_eq(thing(scene, "d", -1)->stock, 0);
    const Thing *window = thing(scene, "window", -1);
    cr_assert_float_eq(constant(scene, window->slot[FIELD_WIDE]), 3 * 25.4, 1e-12);
    cr_assert_float_eq(constant(scene, window->slot[FIELD_TALL]), 6 * 25.4, 1e-12);
}

Test(bind, things_of_the_book) {
    const Scene *scene =
        bound(BOOK, SCENE "pieces:\n  post: {at: {across: 9 in, back: 9 in}, turn: 5 deg left}\n"
                          "flats:\n  wall: {at: {back: 30 in}}\n"
                          "  far: {at: {back: 31 in}, wide: crate.wide, tall: wall.window.at.up}\n");
    const Thing *post = thing(scene, "post", -1), *wall = thing(scene, "wall", -1);
    cr_assert_eq(post->shape, SHAPE_POST);
    cr_assert_eq(scene->slots[post->slot[FIELD_TALL]].formula.text[0], '2');
    cr_assert_eq(scene->things[scene->thing_count - 1].parent, -1);
    cr_assert_eq(thing(scene, "window", -1)->parent, (int)(wall - scene->things));
    cr_assert_eq(read_by(scene, thing(scene, "far", -1)->slot[FIELD_TALL]),
                 thing(scene, "window", -1)->slot[FIELD_UP]);
    /* the crate is not on the set, and can be read all the same */
    const int crate_wide = read_by(scene, thing(scene, "far", -1)->slot[FIELD_WIDE]);
    cr_assert_float_eq(constant(scene, crate_wide), 5 * 25.4, 1e-12);
    cr_assert_eq(scene->slots[crate_wide].thing, -1);
}

Test(bind, every_scene_lies_under_the_scene) {
    const Scene *scene = bound(BOOK "every scene:\n"
                                    "  camera: {lens: 50 mm, stop: f/8, height: mark.eyes}\n"
                                    "  mark: {puppet: otter, pose: seated}\n"
                                    "  pieces: {lamp: {shape: cone, wide: 2 in, tall: 3 in}}\n",
                               "scene: x\ndrawing: {wide: 420 mm}\ncamera: {stop: f/11}\n"
                               "pieces: {lamp: {at: {across: 3 in, back: 9 in}, tall: 4 in}}\n");
    const Shot *shot = &scene->shots[0];
    cr_assert_float_eq(constant(scene, shot->lens), 50, 1e-12);
    cr_assert_float_eq(constant(scene, shot->stop), 11, 1e-12);
    cr_assert_str_eq(scene->things[shot->lead].pose, "seated");
    cr_assert_eq(read_by(scene, shot->height), scene->things[shot->lead].slot[FIELD_EYES]);
    cr_assert_eq(thing(scene, "lamp", -1)->shape, SHAPE_CONE);
    cr_assert_float_eq(constant(scene, thing(scene, "lamp", -1)->slot[FIELD_TALL]), 4 * 25.4, 1e-12);
}

/* What is said of one leading thing does not hold for another. */
Test(bind, another_lead_takes_nothing_over) {
    const Scene *scene = bound(BOOK "every scene:\n  mark: {puppet: otter, pose: seated, turn: 9 deg left}\n",
                               "scene: x\nmark: {puppet: heron}\n");
    const Thing *lead = &scene->things[scene->shots[0].lead];
    cr_assert_str_eq(lead->name, "heron");
    cr_assert_null(lead->pose);
    cr_assert(!scene->slots[lead->slot[FIELD_TURN]].stated);
}

/* --- shots --------------------------------------------------------------------------------------------- */

Test(bind, puppets_of_shots) {
    const Scene *scene = bound(
        BOOK,
        "scene: x\ncamera: {lens: 50 mm, stop: f/8}\n"
        "puppets:\n"
        "  heron: {at: {across: 9 in, back: 9 in}, turn: 5 deg left}\n"
        "  far heron: {puppet: heron, at: {across: 9 in, back: 19 in}}\n"
        "  third: {puppet: otter, at: {across: 1 in, back: 19 in}}\n"
        "pieces: {p: {wide: otter.eyes, tall: 3 in, deep: heron.at.back, at: {across: 3 in, back: 9 in}}}\n"
        "shots:\n"
        "  whole:\n"
        "    drawing: {wide: 420 mm}\n"
        "    mark: {puppet: otter, pose: seated}\n"
        "    camera: {height: otter.eyes}\n"
        "  near:\n"
        "    drawing: {wide: 200 mm}\n"
        "    mark: {puppet: heron, at: {across: 9 in, back: 9 in}}\n"
        "    camera: {lens: portrait, height: mark.eyes, focus: otter, across: mark.at.across}\n"
        "    puppets: {otter: {at: {across: 0, back: 0}}, third: {turn: 3 deg left}}\n");
    const Shot *whole = &scene->shots[0], *near = &scene->shots[1];
    cr_assert_eq(scene->shot_count, 2);
    cr_assert_str_eq(near->name, "near");
    /* the heron: in the first shot as the scene says, at the mark in the second, turned alike */
    const Thing *heron = thing(scene, "heron", 0), *lead = thing(scene, "heron", 1);
    cr_assert(!heron->lead && lead->lead);
    cr_assert_eq(&scene->things[near->lead], lead);
    cr_assert(scene->slots[lead->slot[FIELD_TURN]].stated);
    cr_assert(!scene->slots[lead->slot[FIELD_BACK]].stated);
    cr_assert_float_eq(constant(scene, near->mark_back), 9 * 25.4, 1e-12);
    /* the otter: seated at the mark of the first, standing in the second */
    cr_assert_str_eq(thing(scene, "otter", 0)->pose, "seated");
    cr_assert_null(thing(scene, "otter", 1)->pose);
    cr_assert_eq(read_by(scene, whole->height), thing(scene, "otter", 0)->slot[FIELD_EYES]);
    cr_assert_eq(near->focus, (int)(thing(scene, "otter", 1) - scene->things));
    cr_assert_eq(read_by(scene, near->height), scene->cast[1].eyes);
    cr_assert_eq(read_by(scene, near->across), near->mark_across);
    /* one that no shot changes is one thing; one that a shot changes is one in each */
    cr_assert_eq(thing(scene, "far heron", -1)->shot, -1);
    cr_assert(!scene->slots[thing(scene, "third", 0)->slot[FIELD_TURN]].stated);
    cr_assert(scene->slots[thing(scene, "third", 1)->slot[FIELD_TURN]].stated);
    cr_assert(scene->slots[thing(scene, "third", 1)->slot[FIELD_BACK]].stated);
    /* the set speaks of the first shot */
    cr_assert_eq(read_by(scene, thing(scene, "p", -1)->slot[FIELD_WIDE]),
                 thing(scene, "otter", 0)->slot[FIELD_EYES]);
    cr_assert_eq(read_by(scene, thing(scene, "p", -1)->slot[FIELD_DEEP]), heron->slot[FIELD_BACK]);
    /* what a shot does not say it has from the scene */
    cr_assert_float_eq(constant(scene, whole->lens), 50, 1e-12);
    cr_assert_eq(near->lens_kind, 0);
    cr_assert_float_eq(constant(scene, near->stop), 8, 1e-12);
    cr_assert_str_eq(scene->wanted[1].path, "drawings/08-fog-near.png");
}

Test(bind, a_piece_leads) {
    const Scene *scene = bound(BOOK, "scene: x\ndrawing: {wide: 420 mm}\n"
                                     "mark: {piece: light, turn: 5 deg left, drawn: {tall: 90 mm}}\n"
                                     "pieces: {light: {shape: post, thick: 2 in, tall: 9 in}}\n"
                                     "puppets: {otter: {at: {across: mark.right + 2 in, back: 0}}}\n");
    const Thing *light = thing(scene, "light", -1);
    cr_assert(light->lead);
    cr_assert_eq(scene->shots[0].lead, (int)(light - scene->things));
    cr_assert(scene->slots[light->slot[FIELD_DRAWN_TALL]].stated);
    cr_assert(scene->slots[light->slot[FIELD_TURN]].stated);
    cr_assert_eq(thing(scene, "otter", -1)->lead, false);
}

/* --- the drawing --------------------------------------------------------------------------------------- */

Test(bind, a_drawing_in_px_is_measured_in_px) {
    const Scene *scene = bound(
        BOOK,
        "scene: x\ndrawing: {wide: 4200 px}\n"
        "mark: {puppet: otter, drawn: {foot: [0, 620 px], tall: 2 * 480 px}}\n"
        "camera: {horizon: otter.drawn.tall + 2 px}\n"
        "pieces: {p: {wide: 300 px drawn, tall: 20 % frame, deep: 3 in, at: {across: 3 in, back: 3 in}}}\n");
    const Thing *otter = thing(scene, "otter", -1);
    cr_assert(scene->shots[0].drawing_in_px);
    cr_assert_eq(scene->slots[scene->shots[0].drawing_wide].kind, KIND_PIXELS);
    cr_assert_eq(scene->slots[otter->slot[FIELD_DRAWN_TALL]].kind, KIND_PIXELS);
    cr_assert_float_eq(constant(scene, otter->slot[FIELD_DRAWN_TALL]), 960, 1e-12);
    const Formula *wide = &slot(scene, "p", FIELD_WIDE)->formula;
    cr_assert_eq(wide->steps[0].op, FORMULA_DRAWN);
    cr_assert_float_eq(wide->steps[0].value, 300, 1e-12);
}

/* The same drawing on paper and scanned at 10 px a mm: nothing else may differ. */
Test(bind, px_and_mm_give_the_same_plan) {
    const char *rest = "scene: x\ncamera: {height: 10 in, lens: portrait}\nground: {rear: 54 in}\n";
    Spec mm = spec_of(arena, BOOK,
                      arena_format(arena,
                                   "%sdrawing: {wide: 420 mm}\n"
                                   "mark: {puppet: otter, drawn: {foot: [190 mm, 42 mm], tall: 96 mm}}\n"
                                   "puppets: {heron: {drawn: {foot: [296 mm, 60 mm]}}}\n"
                                   "pieces: {p: {wide: 30 mm drawn, tall: 20 mm drawn, deep: 3 in, at: "
                                   "{across: -14 in, back: 3 in}}}\n",
                                   rest));
    Spec px = spec_of(arena, BOOK,
                      arena_format(arena,
                                   "%sdrawing: {wide: 4200 px}\n"
                                   "mark: {puppet: otter, drawn: {foot: [1900 px, 420 px], tall: 960 px}}\n"
                                   "puppets: {heron: {drawn: {foot: [2960 px, 600 px]}}}\n"
                                   "pieces: {p: {wide: 300 px drawn, tall: 200 px drawn, deep: 3 in, at: "
                                   "{across: -14 in, back: 3 in}}}\n",
                                   rest));
    cr_assert(mm.plan, "%s", spec_words(arena, &mm));
    cr_assert(px.plan, "%s", spec_words(arena, &px));
    for (size_t i = 0; i < mm.scene->thing_count; i++) {
        const PlanThing *a = &mm.plan->things[i], *b = &px.plan->things[i];
        cr_assert_float_eq(a->wide_mm, b->wide_mm, 1e-5, "%s", a->thing->name);
        cr_assert_float_eq(a->tall_mm, b->tall_mm, 1e-5);
        cr_assert_float_eq(a->at.across_mm, b->at.across_mm, 1e-5);
        cr_assert_float_eq(a->at.back_mm, b->at.back_mm, 1e-5);
    }
    cr_assert_float_eq(mm.plan->shots[0].cameras[0].camera.distance_mm,
                       px.plan->shots[0].cameras[0].camera.distance_mm, 1e-5);
}

/* --- every word reaches a slot ------------------------------------------------------------------------- */

static bool is_stated_at(const Scene *scene, Span word_span) {
    for (size_t i = 0; i < scene->slot_count; i++) {
        if (scene->slots[i].stated && !scene->slots[i].faulty &&
            span_equal(scene->slots[i].word_span, word_span))
            return true;
    }
    return false;
}

static size_t check_section(const Scene *scene, SectionId section, const Tree *table, bool *seen) {
    size_t words = 0;
    for (size_t i = 0; i < table->count; i++) {
        const TreeEntry *entry = &table->entries[i];
        const WordRow *row = vocabulary_find(section, entry->word);
        cr_assert(row, "%s", entry->word);
        seen[row - vocabulary_words] = true;
        if (row->holds == HOLDS_TABLE || (row->holds == HOLDS_FOCUS && entry->value->kind == TREE_TABLE))
            words += check_section(scene, (SectionId)row->detail, entry->value, seen);
        if (row->holds == HOLDS_NAMES) {
            for (size_t n = 0; n < entry->value->count; n++)
                words += check_section(scene, (SectionId)row->detail, entry->value->entries[n].value, seen);
        }
        for (size_t n = 0; row->holds == HOLDS_BODIES && n < entry->value->count; n++)
            cr_expect(is_stated_at(scene, entry->value->entries[n].word_span), "`%s` reaches no slot",
                      entry->value->entries[n].word);
        if (row->holds != HOLDS_QUANTITY && row->holds != HOLDS_POINT && row->holds != HOLDS_LENSES) continue;
        cr_expect(is_stated_at(scene, entry->word_span), "`%s` reaches no slot (line %d)", entry->word,
                  (int)entry->word_span.line);
        words++;
    }
    return words;
}

static const char *const every_word_book =
    "groundrow: 1\nbook: x\nlengths: millimetres\ncut: 1 mm\nagree: 2 mm\nsharpness: 0.2 mm\nreading: 250 "
    "mm\nshop sheets: A3\n"
    "page: {wide: 11 in, tall: 8 in, safe: 3 mm, gutter: 3 mm, print: 300 ppi}\n"
    "cast: {otter: {tall: 11 in, eyes: 9 in, wide: 4 in, deep: 4 in, weighs: 3 lb, fixed: above, poses: "
    "{low: {tall: 5 in, "
    "eyes: 4 in, "
    "wide: 4 in, deep: 6 in}}}}\n"
    "cameras: {hired: {sensor: 36 x 24 mm, pixels: 8000 x 5333}}\n"
    "lenses: {long: {focal: 85 mm, nearest: 1 m, smallest: f/32}}\n"
    "stock: {ply: {kind: board, sheet: 48 x 96 in, thick: 18 mm, weighs: 2 lb/ft2, density: 20 kg/m3, "
    "modulus: 9 GPa,\n"
    "  grain: along, kerf: 3 mm, have: [24 x 60 in], price: 62.5, again: cut}, rod: {long: 36 in, have: [20 "
    "in]}}\n"
    "table: {wide: 2 m, deep: 1 m, tall: 70 cm, holds: 100 kg, apart: 10 cm, top: whole,\n"
    "  legs: {inset: 5 cm, thick: 4 cm}}\n"
    "room: {wide: 4 m, long: 6 m, ceiling: 2.5 m, door: 80 x 200 cm}\n"
    "carry: 20 kg\ntripod: {lowest: 50 cm, highest: 160 cm}\nreach: 70 cm\n"
    "circuits: {wall: {amps: 16 A, volts: 230 V}}\n"
    "pieces: {crate: {wide: 5 in, tall: 4 in, deep: 3 in}}\n"
    "flats: {wall: {wide: 5 in, tall: 4 in}}\n"
    "build order: [08-fog]\n"
    "every scene: {camera: {body: hired}}\n";
static const char *const every_word_scene =
    "groundrow: 1\nscene: x\npages: 8-9\n"
    "page: {bleed: 4 mm, picture: {wide: 20 in, tall: 6 in, left: 1 in, low: 2 in}}\n"
    "text: {verse: {left: 1 in, low: 1/2 in, wide: 8 in, tall: 1 in}}\n"
    "drawing: {wide: 420 mm, image: drawings/x.png}\n"
    "mark: {puppet: otter, pose: low, turn: 3 deg left, up: 1 in, drawn: {foot: [190 mm, 62 mm], tall: 40 "
    "mm, wide: 30 mm}}\n"
    "camera: {body: hired, lens: long, distance: 3 m, height: 10 in, tilt: 3 deg down, across: 1 in, "
    "horizon: 120 mm,\n"
    "         frame: 40 in, stop: f/8, held: upright, focus: {back: 1 in}, crop: {uses: 95 %, across: 1 mm, "
    "up: 2 "
    "mm}}\n"
    "allow: {lens: [50 mm, long], height: 9 to 11 in, spare: 6 %}\n"
    "also: {hired: [40 mm, long]}\nsharp: [otter.eyes, ferry]\n"
    "ground: {front: -2 ft, rear: 54 in, margin: 4 in, thick: 2 in, stock: ply, split: on,\n"
    "         mounds: {hill: {wide: 3 in, deep: 4 in, tall: 1 in, at: {across: 3 in, back: 4 in}}},\n"
    "         hollows: {dip: {wide: 3 in, deep: 4 in, tall: 1 in, at: {across: 30 in, back: 4 in}}}}\n"
    "base: {lip: 2 in, thick: 18 mm, stock: ply, split: off}\n"
    "puppets: {second: {puppet: otter, pose: low, at: {across: 3 in, back: 3 in}, up: 2 in, turn: 3 deg "
    "right,\n"
    "          drawn: {foot: [1 mm, 2 mm], tall: 3 mm, wide: 4 mm}}, third: {puppet: otter, atop: ferry}}\n"
    "pieces: {ferry: {shape: steps, wide: 5 in, tall: 6 in, deep: 7 in, thick: 1 in, steps: 4, row: {count: "
    "3, every: 9 in},\n"
    "          at: {across: 3 in, back: 3 in}, up: 2 in, turn: 3 deg left, stock: ply, split: on, weighs: 2 "
    "lb, fixed: "
    "off, image: "
    "x.png,\n"
    "          drawn: {foot: [1 mm, 2 mm], tall: 3 mm, wide: 4 mm}}, other: {like: ferry, atop: ferry}}\n"
    "flats: {bank: {wide: cover, tall: 3 in, thick: 1 in, at: {across: 1 in, back: 40 in}, up: 1 in, turn: 2 "
    "deg left,\n"
    "         drawn: {tall: 3 mm}, stock: ply, split: on, weighs: 2 lb, fixed: below, openings: {hole: "
    "{wide: 1 in, tall: "
    "1 in, at: "
    "{across: 1 in, "
    "up: 1 in}}}},\n"
    "        bank 2: {like: bank, atop: ferry}}\n"
    "backdrop: {wide: cover, tall: cover, thick: 1 in, at: {across: 0, back: 50 in}, up: 0, drawn: {tall: "
    "100 mm}, stock: ply, split: on, weighs: 9 lb, fixed: below}\n"
    "built: {ferry: {from front: 30 in, right: 4 in, up: 1 in, wide: 5 in, tall: 6 in, deep: 7 in, turn: 3 "
    "deg "
    "right}, bank: {left: 3 in, thick: 1 in}}\n"
    "photos: {first: {image: x.png, body: hired, lens: 40 mm, keep: camera, marks: {otter.foot: [1 px, 2 "
    "px], "
    "mark: [3 px, 4 px]}}}\n"
    "lamps: {key: {watts: 1 kW, at: {across: -2 m}, up: floor.top + 2 m, colour: 3200 K, circuit: wall, "
    "clear: 1 m}}\n"
    "accept: [otter drawn-apart]\n";

Test(bind, every_word_reaches_a_slot) {
    Spec spec = spec_bound(arena, every_word_book, every_word_scene);
    cr_assert_eq(spec.diagnostics.errors, 0, "%s", spec_words(arena, &spec));
    cr_expect_eq(spec.scene->shop_paper, SHOP_A3);
    cr_expect_eq(spec.scene->stocks[0].again, AGAIN_CUT);
    cr_expect_eq(spec.scene->stocks[1].again, AGAIN_NEVER);
    bool *seen = ARENA_ARRAY(arena, bool, vocabulary_word_count);
    size_t words = check_section(spec.scene, SECTION_SCENE, spec.trees[1], seen);
    seen[vocabulary_find(SECTION_BOOK, "pieces") - vocabulary_words] = true;
    words += check_section(spec.scene, SECTION_BOOK, spec.trees[0], seen);
    cr_assert_geq(words, 100);
    static const SectionId elsewhere[] = {SECTION_SHOT};
    for (size_t i = 0; i < vocabulary_word_count; i++) {
        const WordRow *row = &vocabulary_words[i];
        const bool other =
            row->section == elsewhere[0] || text_equal(row->word, "shots") || text_equal(row->word, "shot") ||
            (row->section == SECTION_MARK && (text_equal(row->word, "piece") ||
                                              text_equal(row->word, "atop") || text_equal(row->word, "at")));
        cr_expect(seen[i] || other, "`%s` of %s is not tried", row->word,
                  vocabulary_sections[row->section].one);
    }
}

/* --- what is refused ----------------------------------------------------------------------------------- */

Test(bind, words_in_the_wrong_place) {
    expect_of_scene("flats: {f: {back: 40 in, wide: cover, tall: 3 in}}\n",
                    "specs/08-fog.yaml:6:13: error: unknown word `back` in flat `f`\n"
                    "    6 | flats: {f: {back: 40 in, wide: cover, tall: 3 in}}\n"
                    "      |             ^~~~\n"
                    "  help: write `at: {back: 40 in}`\n");
    expect_of_scene(
        "pieces: {q: {wide: 4 in, tall: 3 in, deep: 2 in, at: {across: 3 in, up: 3 in}}}\n",
        "specs/08-fog.yaml:6:69: error: unknown word `up` in `at` of piece `q`\n"
        "    6 | pieces: {q: {wide: 4 in, tall: 3 in, deep: 2 in, at: {across: 3 in, up: 3 in}}}\n"
        "      |                                                                     ^~\n"
        "  help: it stands beside `at`, not in it\n");
    expect_of_scene("lens: 85 mm\n", "specs/08-fog.yaml:6:1: error: unknown word `lens` in the scene\n"
                                     "    6 | lens: 85 mm\n"
                                     "      | ^~~~\n"
                                     "  help: write `camera: {lens: 85 mm}`\n");
    expect_of_scene("puppets: {heron: {row: {count: 2, every: 3 in}}}\n",
                    "specs/08-fog.yaml:6:19: error: unknown word `row` in puppet `heron`\n"
                    "    6 | puppets: {heron: {row: {count: 2, every: 3 in}}}\n"
                    "      |                   ^~~\n"
                    "  help: a puppet has: puppet, pose, at, up, atop, turn, drawn\n");
}

Test(bind, values_of_the_wrong_kind) {
    expect_of_scene("backdrop: 52 in\n",
                    "specs/08-fog.yaml:6:11: error: `backdrop` is `52 in`; a table of words is wanted\n"
                    "    6 | backdrop: 52 in\n"
                    "      |           ^~~~~\n");
    expect_of_scene("pieces: {a: [1 in]}\n",
                    "specs/08-fog.yaml:6:13: error: `a` is a list; a table of words is wanted\n"
                    "    6 | pieces: {a: [1 in]}\n"
                    "      |             ^\n");
    expect_of_scene(
        "puppets: {heron: {drawn: {foot: 3 mm}}}\n",
        "specs/08-fog.yaml:6:33: error: `foot` in `drawn` of puppet `heron` is two lengths in brackets\n"
        "    6 | puppets: {heron: {drawn: {foot: 3 mm}}}\n"
        "      |                                 ^~~~\n"
        "  help: write `foot: [190 mm, 62 mm]`\n");
}

Test(bind, names_are_one_namespace) {
    expect_of_scene("pieces:\n  ply: {wide: 1 in, tall: 1 in, deep: 1 in}\n",
                    "specs/08-fog.yaml:7:3: error: a piece called `ply`, which is a stock of the book\n"
                    "    7 |   ply: {wide: 1 in, tall: 1 in, deep: 1 in}\n"
                    "      |   ^~~\n"
                    "specs/book.yaml:8:9: note: the stock\n"
                    "    8 | stock: {ply: {sheet: 48 x 96 in, thick: 3/4 in}}\n"
                    "      |         ^~~\n"
                    "  help: give it another name, such as `ply 2`\n");
    expect_of_scene("flats:\n  crate: {at: {back: 9 in}}\n",
                    "specs/08-fog.yaml:7:3: error: a flat called `crate`, which is a piece of the book\n"
                    "    7 |   crate: {at: {back: 9 in}}\n"
                    "      |   ^~~~~\n"
                    "specs/book.yaml:10:3: note: the piece\n"
                    "   10 |   crate: {wide: 5 in, tall: 4 in, deep: 3 in, stock: ply}\n"
                    "      |   ^~~~~\n"
                    "  help: a piece is put on the set under `pieces`\n");
    /* said at the second in the file, whichever is bound first */
    expect_of_scene(
        "flats: {a: {wide: 1 in, tall: 1 in}}\npieces: {a: {wide: 1 in, tall: 1 in, deep: 1 in}}\n",
        "specs/08-fog.yaml:7:10: error: a second thing called `a`\n"
        "    7 | pieces: {a: {wide: 1 in, tall: 1 in, deep: 1 in}}\n"
        "      |          ^\n"
        "specs/08-fog.yaml:6:9: note: the first is a flat\n"
        "    6 | flats: {a: {wide: 1 in, tall: 1 in}}\n"
        "      |         ^\n"
        "  help: give one of them another name, such as `a 2`\n");
    expect_of_scene(
        "pieces:\n  camera: {wide: 1 in, tall: 1 in, deep: 1 in}\n",
        "specs/08-fog.yaml:7:3: error: a piece cannot be called `camera`: it is a word of the language\n"
        "    7 |   camera: {wide: 1 in, tall: 1 in, deep: 1 in}\n"
        "      |   ^~~~~~\n");
}

/* Only one message: what hangs on a fault is silent (rules 2, 7 and 8 of the messages). */
Test(bind, poison_is_silent) {
    expect_of_scene("puppets:\n  hron: {at: {across: 3 in, back: 3 in}}\n"
                    "pieces: {p: {wide: hron.wide, tall: 1.5 hron, deep: hron.at.back, atop: hron}}\n",
                    "specs/08-fog.yaml:7:3: error: `hron` is no puppet of the book\n"
                    "    7 |   hron: {at: {across: 3 in, back: 3 in}}\n"
                    "      |   ^~~~\n"
                    "  help: did you mean `heron`?\n");
    expect_of_scene("pieces: [p]\nflats: {f: {wide: p.wide, tall: 2 q, atop: r, like: s}}\n",
                    "specs/08-fog.yaml:6:9: error: `pieces` is a list; a table of names is wanted\n"
                    "    6 | pieces: [p]\n"
                    "      |         ^\n");
    expect_said(BOOK "csat: {vole: {tall: 5 in}}\n",
                SCENE "pieces: {p: {wide: 1 vole, tall: vole.eyes, deep: 1 in}}\n",
                "specs/book.yaml:14:1: error: unknown word `csat` in the book\n"
                "   14 | csat: {vole: {tall: 5 in}}\n"
                "      | ^~~~\n"
                "  help: did you mean `cast`?\n");
    expect_said(BOOK,
                "scene: x\ndrawing: {wide: 420 mm}\nmark: {puppet: oter}\n"
                "camera: {height: mark.eyes + 1 in}\npuppets: {a: {puppet: oter}}\n",
                "specs/08-fog.yaml:3:16: error: `oter` is no puppet of the book\n"
                "    3 | mark: {puppet: oter}\n"
                "      |                ^~~~\n"
                "  help: did you mean `otter`?\n");
}

Test(bind, unknown_names_are_said_once) {
    expect_of_scene("pieces:\n  a: {wide: 1 in, tall: fery.tall, deep: 1 in, atop: fery}\n  ferry: {wide: "
                    "fery.wide, tall: "
                    "1 in, deep: 1 in}\n",
                    "specs/08-fog.yaml:7:25: error: unknown name `fery` in `tall` of piece `a`\n"
                    "    7 |   a: {wide: 1 in, tall: fery.tall, deep: 1 in, atop: fery}\n"
                    "      |                         ^~~~\n"
                    "  note: and 2 times more, first at 7:54\n"
                    "  help: did you mean `ferry`?\n");
}

Test(bind, words_that_a_thing_does_not_have) {
    expect_of_scene("pieces: {p: {wide: ground.eyes, tall: heron.margin, deep: wall.windw.wide}}\nflats: "
                    "{wall: {at: {back: 9 in}}}\n",
                    "specs/08-fog.yaml:6:27: error: `ground` has no `eyes`, in `wide` of piece `p`\n"
                    "    6 | pieces: {p: {wide: ground.eyes, tall: heron.margin, deep: wall.windw.wide}}\n"
                    "      |                           ^~~~\n"
                    "specs/08-fog.yaml:6:45: error: `heron` has no `margin`, in `tall` of piece `p`\n"
                    "    6 | pieces: {p: {wide: ground.eyes, tall: heron.margin, deep: wall.windw.wide}}\n"
                    "      |                                             ^~~~~~\n"
                    "specs/08-fog.yaml:6:64: error: `wall` has no `windw`, in `deep` of piece `p`\n"
                    "    6 | pieces: {p: {wide: ground.eyes, tall: heron.margin, deep: wall.windw.wide}}\n"
                    "      |                                                                ^~~~~\n"
                    "  help: did you mean `window`?\n");
}

Test(bind, what_a_shape_needs) {
    expect_of_scene(
        "pieces: {a: {wide: 1 in}, b: {shape: post}, c: {shape: cone, drawn: {wide: 1 mm, tall: "
        "2 mm}}, d: {dep: 1 in}}\n"
        "flats: {f: {tall: 1 in}}\n",
        "specs/08-fog.yaml:6:10: error: `tall` and `deep` of piece `a` are missing\n"
        "    6 | pieces: {a: {wide: 1 in}, b: {shape: post}, c: {shape: cone, drawn: {wide: 1 "
        "mm, tall: 2 mm}}, d: {dep: 1 in}}\n"
        "      |          ^\n"
        "specs/08-fog.yaml:6:27: error: `tall` and `thick` of piece `b` are missing\n"
        "    6 | pieces: {a: {wide: 1 in}, b: {shape: post}, c: {shape: cone, drawn: {wide: 1 "
        "mm, tall: 2 mm}}, d: {dep: 1 in}}\n"
        "      |                           ^\n"
        "  help: a post is as thick as its stock where that is sold `long` and says its own `thick`\n"
        "specs/08-fog.yaml:6:100: error: unknown word `dep` in piece `d`\n"
        "    6 | pieces: {a: {wide: 1 in}, b: {shape: post}, c: {shape: cone, drawn: {wide: 1 "
        "mm, tall: 2 mm}}, d: {dep: 1 in}}\n"
        "      |                                                                                 "
        "                   ^~~\n"
        "  help: did you mean `deep`?\n"
        "specs/08-fog.yaml:7:9: error: `wide` of flat `f` is missing\n"
        "    7 | flats: {f: {tall: 1 in}}\n"
        "      |         ^\n"
        "  help: write `wide: cover`, a length, or `drawn: {wide: ...}`\n");
}

Test(bind, circles_of_likeness) {
    expect_of_scene("pieces:\n  b: {like: c}\n  c: {like: b}\n  d: {like: b}\n  e: {like: e}\n  f: {like: "
                    "wall}\n  g1: {like: crte}\n",
                    "specs/08-fog.yaml:7:13: error: `b` is made like itself: b -> c -> b\n"
                    "    7 |   b: {like: c}\n"
                    "      |             ^\n"
                    "specs/08-fog.yaml:10:13: error: `e` is made like itself: e -> e\n"
                    "   10 |   e: {like: e}\n"
                    "      |             ^\n"
                    "specs/08-fog.yaml:11:13: error: `wall` is a flat, not a piece, in `like` of piece `f`\n"
                    "   11 |   f: {like: wall}\n"
                    "      |             ^~~~\n"
                    "specs/08-fog.yaml:12:14: error: unknown name `crte` in `like` of piece `g1`\n"
                    "   12 |   g1: {like: crte}\n"
                    "      |              ^~~~\n"
                    "  help: did you mean `crate`?\n");
}

/* A copied word is at fault where it stands, not where it was copied to. */
Test(bind, copied_words_are_said_where_they_stand) {
    expect_of_scene(
        "pieces:\n  a: {like: b}\n  b: {wide: 1 inn, tall: 1 in, deep: 1 in, stock: pyl, shape: bx}\n",
        "specs/08-fog.yaml:8:15: error: unknown unit `inn` in `wide` of piece `b`\n"
        "    8 |   b: {wide: 1 inn, tall: 1 in, deep: 1 in, stock: pyl, shape: bx}\n"
        "      |               ^~~\n"
        "  help: did you mean `in`?\n"
        "specs/08-fog.yaml:8:51: error: the book has no stock `pyl`\n"
        "    8 |   b: {wide: 1 inn, tall: 1 in, deep: 1 in, stock: pyl, shape: bx}\n"
        "      |                                                   ^~~\n"
        "  help: did you mean `ply`?\n"
        "specs/08-fog.yaml:8:63: error: `shape` of piece `b` is `box`, `post`, `cone`, `wedge`, `steps` or "
        "`cutout`\n"
        "    8 |   b: {wide: 1 inn, tall: 1 in, deep: 1 in, stock: pyl, shape: bx}\n"
        "      |                                                               ^~\n"
        "  help: did you mean `box`?\n");
}

Test(bind, things_of_the_book_say_only_their_place) {
    expect_of_scene("pieces:\n  crate: {at: {across: 1 in, back: 1 in}, wide: 4 in}\n",
                    "specs/08-fog.yaml:7:43: error: piece `crate` is built as the book says: its `wide` is "
                    "not said here\n"
                    "    7 |   crate: {at: {across: 1 in, back: 1 in}, wide: 4 in}\n"
                    "      |                                           ^~~~\n"
                    "specs/book.yaml:10:3: note: where it is built\n"
                    "   10 |   crate: {wide: 5 in, tall: 4 in, deep: 3 in, stock: ply}\n"
                    "      |   ^~~~~\n"
                    "  help: for one that differs, write `crate 2: {like: crate, wide: ...}`\n");
}

Test(bind, the_book_is_checked_whole) {
    expect_said(
        BOOK "  gate: {wide: 5 in, tall: 40 mm drawn, at: {back: 3 in}, openings: {wide: {wide: 1 in, tall: "
             "1 inn}}}\n"
             "every scene:\n  pieces: {lamp: {shape: cone, wide: nix.wide, tall: backdrop.at.back}}\n"
             "  camera: {height: mark.eyes, body: hird}\n",
        SCENE,
        "specs/book.yaml:14:28: error: a drawn length where no depth is known yet, in `tall` of flat `gate`\n"
        "   14 |   gate: {wide: 5 in, tall: 40 mm drawn, at: {back: 3 in}, openings: {wide: {wide: 1 in, "
        "tall: 1 inn}}}\n"
        "      |                            ^~~~~~~~~~~\n"
        "  help: give a real length\n"
        "specs/book.yaml:14:41: error: `at` of flat `gate` is said by the scenes that have it on the set\n"
        "   14 |   gate: {wide: 5 in, tall: 40 mm drawn, at: {back: 3 in}, openings: {wide: {wide: 1 in, "
        "tall: 1 inn}}}\n"
        "      |                                         ^~\n"
        "  help: in a scene: `flats: {gate: {at: ...}}`\n"
        "specs/book.yaml:14:70: error: an opening cannot be called `wide`: `gate.wide` is a word of its "
        "flat\n"
        "   14 |   gate: {wide: 5 in, tall: 40 mm drawn, at: {back: 3 in}, openings: {wide: {wide: 1 in, "
        "tall: 1 inn}}}\n"
        "      |                                                                      ^~~~\n"
        "specs/book.yaml:16:38: error: unknown name `nix` in `wide` of piece `lamp`\n"
        "   16 |   pieces: {lamp: {shape: cone, wide: nix.wide, tall: backdrop.at.back}}\n"
        "      |                                      ^~~\n"
        "specs/book.yaml:16:63: error: `backdrop` has no `at`, in `tall` of piece `lamp`\n"
        "   16 |   pieces: {lamp: {shape: cone, wide: nix.wide, tall: backdrop.at.back}}\n"
        "      |                                                               ^~\n"
        "specs/book.yaml:17:37: error: the book has no camera `hird`\n"
        "   17 |   camera: {height: mark.eyes, body: hird}\n"
        "      |                                     ^~~~\n"
        "  help: did you mean `hired`?\n");
}

/* A fault at a place in the book that only one scene brings out is said with that scene. */
Test(bind, faults_in_the_book_that_a_scene_brings_out) {
    const char *book = BOOK "every scene:\n  pieces: {lamp: {shape: cone, wide: 1 in, tall: "
                            "backdrop.at.back, at: {across: 9 in, back: 9 in}}}\n";
    expect_said(book, SCENE "backdrop: {at: {back: 50 in}}\n", "");
    expect_said(book, SCENE,
                "specs/book.yaml:15:59: error: `backdrop` has no `at`, in `tall` of piece `lamp`\n"
                "   15 |   pieces: {lamp: {shape: cone, wide: 1 in, tall: backdrop.at.back, at: {across: 9 "
                "in, back: 9 in}}}\n"
                "      |                                                           ^~\n");
}

Test(bind, what_things_stand_on) {
    expect_said(
        BOOK,
        "mark: {puppet: otter}\n"
        "ground: {mounds: {hill: {wide: 9 in, deep: 9 in, tall: 1 in, at: {across: 1 in, back: 1 in}}}}\n"
        "pieces:\n  p: {like: crate, atop: hill}\n  q: {like: crate, atop: q}\n"
        "  r: {like: crate, atop: heron}\n  s: {like: crate, atop: p, up: 2 in}\n  t: {like: crate, atop: "
        "ply}\n",
        "specs/08-fog.yaml:4:26: error: `hill` in `atop` of piece `p`: things stand on the ground unless "
        "they "
        "say otherwise, mounds and hollows included\n"
        "    4 |   p: {like: crate, atop: hill}\n"
        "      |                          ^~~~\n"
        "  help: leave `atop` out: where a thing stands decides what is under it\n"
        "specs/08-fog.yaml:5:26: error: `q` in `atop` of piece `q`: it cannot stand on itself\n"
        "    5 |   q: {like: crate, atop: q}\n"
        "      |                          ^\n"
        "specs/08-fog.yaml:6:26: error: `heron` is not on the set, in `atop` of piece `r`\n"
        "    6 |   r: {like: crate, atop: heron}\n"
        "      |                          ^~~~~\n"
        "  help: put it there under `puppets`\n"
        "specs/08-fog.yaml:7:29: error: `atop` and `up` both say how high `s` stands\n"
        "    7 |   s: {like: crate, atop: p, up: 2 in}\n"
        "      |                             ^~\n"
        "specs/08-fog.yaml:7:20: note: the other\n"
        "    7 |   s: {like: crate, atop: p, up: 2 in}\n"
        "      |                    ^~~~\n"
        "  help: leave one of the two out\n"
        "specs/08-fog.yaml:8:26: error: `ply` is a stock, no thing on the set, in `atop` of piece `t`\n"
        "    8 |   t: {like: crate, atop: ply}\n"
        "      |                          ^~~\n");
}

Test(bind, the_mark) {
    expect_said(BOOK, "scene: x\ndrawing: {wide: 420 mm}\n",
                "specs/08-fog.yaml:1:1: error: it is not said which puppet leads\n"
                "    1 | scene: x\n"
                "      | ^~~~~\n"
                "  help: write `mark: {puppet: otter, drawn: {foot: [x, y], tall: ...}}`\n");
    expect_said(BOOK, "scene: x\nmrak: {puppet: otter}\n",
                "specs/08-fog.yaml:2:1: error: unknown word `mrak` in the scene\n"
                "    2 | mrak: {puppet: otter}\n"
                "      | ^~~~\n"
                "  help: did you mean `mark`?\n");
    expect_said(BOOK, "scene: x\nmark: {puppet: otter, at: {across: 3 in}}\n",
                "specs/08-fog.yaml:2:23: error: this mark has no `at`: it is the place that everything is "
                "measured from\n"
                "    2 | mark: {puppet: otter, at: {across: 3 in}}\n"
                "      |                       ^~\n"
                "  help: only the marks of later shots have one\n");
    expect_of_scene("puppets: {otter: {at: {across: 3 in, back: 3 in}}}\n",
                    "specs/08-fog.yaml:6:11: error: `otter` stands at the mark, so it is not said here too\n"
                    "    6 | puppets: {otter: {at: {across: 3 in, back: 3 in}}}\n"
                    "      |           ^~~~~\n"
                    "specs/08-fog.yaml:3:16: note: at the mark\n"
                    "    3 | mark: {puppet: otter, drawn: {foot: [190 mm, 62 mm], tall: 96 mm}}\n"
                    "      |                ^~~~~\n"
                    "  help: what belongs to the leading puppet stands under `mark`\n");
    expect_said(BOOK,
                "scene: x\nmark: {piece: p, turn: 2 deg left, pose: seated}\n"
                "pieces:\n  p: {like: crate, turn: 3 deg left}\n",
                "specs/08-fog.yaml:2:18: error: `turn` of `p` is said twice\n"
                "    2 | mark: {piece: p, turn: 2 deg left, pose: seated}\n"
                "      |                  ^~~~\n"
                "specs/08-fog.yaml:4:20: note: the first time\n"
                "    4 |   p: {like: crate, turn: 3 deg left}\n"
                "      |                    ^~~~\n");
    expect_said(BOOK,
                "scene: x\nmark: {piece: p}\npieces:\n  p: {like: crate, at: {across: 1 in, back: 3 in}}\n",
                "specs/08-fog.yaml:4:25: error: `p` leads, so it stands at the mark\n"
                "    4 |   p: {like: crate, at: {across: 1 in, back: 3 in}}\n"
                "      |                         ^~~~~~\n"
                "  help: leave its place out here; what is drawn of it stands under `mark`\n");
    expect_said(BOOK, "scene: x\nmark: {piece: wall}\nflats: {wall: {at: {back: 3 in}}}\n",
                "specs/08-fog.yaml:2:15: error: `wall` is no piece, in `piece` of the mark\n"
                "    2 | mark: {piece: wall}\n"
                "      |               ^~~~\n");
}

Test(bind, faults_of_shots_are_said_where_they_stand) {
    expect_said(
        BOOK,
        "scene: x\ndrawing: {wide: 420 mm}\ncamera: {lens: 85 mn}\n"
        "puppets: {heron: {turn: 3 deg lft}}\n"
        "shots:\n  a: {mark: {puppet: otter}, camera: {height: 9 inn}}\n  b: {mark: {puppet: heron}, "
        "pieces: {}}\n",
        "specs/08-fog.yaml:3:19: error: unknown unit `mn` in `lens` of the camera\n"
        "    3 | camera: {lens: 85 mn}\n"
        "      |                   ^~\n"
        "  help: lengths are in `in`, `ft`, `yd`, `mm`, `cm` or `m`, or in a puppet's heights\n"
        "specs/08-fog.yaml:4:31: error: `lft` follows a finished quantity, in `turn` of puppet `heron`\n"
        "    4 | puppets: {heron: {turn: 3 deg lft}}\n"
        "      |                               ^~~\n"
        "specs/08-fog.yaml:6:49: error: unknown unit `inn` in `height` of the camera of shot `a`\n"
        "    6 |   a: {mark: {puppet: otter}, camera: {height: 9 inn}}\n"
        "      |                                                 ^~~\n"
        "  help: did you mean `in`?\n"
        "specs/08-fog.yaml:7:30: error: unknown word `pieces` in shot `b`\n"
        "    7 |   b: {mark: {puppet: heron}, pieces: {}}\n"
        "      |                              ^~~~~~\n"
        "  help: a shot has: pages, page, text, drawing, mark, camera, allow, also, sharp, puppets\n");
}

Test(bind, pages) {
    static const struct {
        const char *text, *said, *help;
    } tries[] = {
        {"eight", "`pages` is one page, or two of a spread", "write `pages: 8` or `pages: 8-9`"},
        {"0", "`pages` is one page, or two of a spread", "write `pages: 8` or `pages: 8-9`"},
        {"8-9-10", "`pages` is one page, or two of a spread", "write `pages: 8` or `pages: 8-9`"},
        {"123456", "`pages` is one page, or two of a spread", "write `pages: 8` or `pages: 8-9`"},
        {"8-10", "the two pages do not follow one another", "write `pages: 8-9`, or one page: `pages: 8`"},
        {"9-8", "the two pages do not follow one another", "write `pages: 8-9`, or one page: `pages: 9`"},
        {"9-10", "a spread begins with an even page, on the left", "write `pages: 8-9` or `pages: 10-11`"},
        {"1-2", "a spread begins with an even page, on the left", "write `pages: 2-3` or `pages: 2-3`"},
    };
    for (size_t i = 0; i < sizeof tries / sizeof *tries; i++) {
        Spec spec = spec_bound(arena, BOOK, arena_format(arena, "%spages: %s\n", SCENE, tries[i].text));
        cr_assert_eq(spec.diagnostics.errors, 1, "%s", tries[i].text);
        cr_expect_str_eq(spec.diagnostics.items.items[0]->message, tries[i].said);
        cr_expect_str_eq(spec.diagnostics.items.items[0]->help, tries[i].help);
    }
    const Scene *scene = bound(BOOK, SCENE "pages: 8\n");
    cr_assert_eq(scene->shots[0].first_page, 8);
    cr_assert_eq(scene->shots[0].last_page, 8);
}

Test(bind, numbers_of_the_language) {
    static const char *const sound[] = {"1"};
    static const char *const newer[] = {"2", "10", "3000000000"};
    static const char *const none[] = {"one", "0", "1.0", "-1", "01"};
    for (size_t i = 0; i < sizeof sound / sizeof *sound; i++)
        expect_of_scene(arena_format(arena, "groundrow: %s\n", sound[i]), "");
    for (size_t i = 0; i < sizeof newer / sizeof *newer; i++) {
        Spec spec = spec_bound(arena, BOOK, arena_format(arena, "%sgroundrow: %s\n", SCENE, newer[i]));
        cr_assert_eq(spec.diagnostics.errors, 1);
        cr_expect(strstr(spec.diagnostics.items.items[0]->message, "this groundrow knows up to 1"));
    }
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        Spec spec = spec_bound(arena, BOOK, arena_format(arena, "%sgroundrow: %s\n", SCENE, none[i]));
        cr_assert_eq(spec.diagnostics.errors, 1);
        cr_expect_str_eq(spec.diagnostics.items.items[0]->message,
                         "`groundrow` is the number of the language");
    }
}

Test(bind, pictures) {
    static const char *const outside[] = {"../x.png", "/x.png", "a/../../x.png", "a/..", ".."};
    for (size_t i = 0; i < sizeof outside / sizeof *outside; i++) {
        Spec spec = spec_bound(
            arena, BOOK, arena_format(arena, "%spieces: {p: {like: crate, image: %s}}\n", SCENE, outside[i]));
        cr_assert_eq(spec.diagnostics.errors, 1);
        cr_expect(text_ends(spec.diagnostics.items.items[0]->message, "lies outside the book's folder"));
    }
    const Scene *scene = bound(BOOK, SCENE "pieces: {p: {like: crate, image: a..b/..c.png}}\n");
    cr_assert_str_eq(scene->wanted[1].path, "a..b/..c.png");
    cr_assert(!scene->wanted[1].optional);
}

Test(bind, accepted_warnings) {
    const Scene *scene =
        bound(BOOK, SCENE
              "accept: [otter drawn-apart, \"backdrop under-backdrop\"]\nbackdrop: {at: {back: 3 in}}\n");
    cr_assert_eq(scene->accept_count, 2);
    cr_assert_str_eq(scene->accepts[1].thing, "backdrop");
    cr_assert_str_eq(scene->accepts[1].word, "under-backdrop");
    expect_of_scene(
        "accept: [otter drawn-appart, oter drawn-apart, drawn-apart]\n",
        "specs/08-fog.yaml:6:16: error: there is no warning `drawn-appart`\n"
        "    6 | accept: [otter drawn-appart, oter drawn-apart, drawn-apart]\n"
        "      |                ^~~~~~~~~~~~\n"
        "  help: did you mean `drawn-apart`?\n"
        "specs/08-fog.yaml:6:30: error: unknown name `oter` in `accept`\n"
        "    6 | accept: [otter drawn-appart, oter drawn-apart, drawn-apart]\n"
        "      |                              ^~~~\n"
        "  help: did you mean `otter`?\n"
        "specs/08-fog.yaml:6:48: error: an accepted warning is a thing's name and the warning's word\n"
        "    6 | accept: [otter drawn-appart, oter drawn-apart, drawn-apart]\n"
        "      |                                                ^~~~~~~~~~~\n"
        "  help: write `accept: [heron drawn-apart]`\n");
}

Test(bind, a_drawing_that_is_not_there) {
    expect_said(BOOK, "scene: x\nmark: {puppet: otter, drawn: {tall: 3 mm}}\ncamera: {horizon: 9 mm}\n",
                "specs/08-fog.yaml:2:37: error: a length on the drawing, but the scene has no `drawing`\n"
                "    2 | mark: {puppet: otter, drawn: {tall: 3 mm}}\n"
                "      |                                     ^~~~\n"
                "  note: and once more, at 3:19\n"
                "  help: add `drawing: {wide: 420 mm}`: the width of the drawing from trim to trim\n");
}

Test(bind, px_where_mm_stand) {
    expect_said(
        BOOK,
        "scene: x\ndrawing: {wide: 4200 px}\nmark: {puppet: otter, drawn: {tall: 96 mm}}\n"
        "pieces: {p: {like: crate, wide: 60 mm drawn}}\n",
        "specs/08-fog.yaml:3:37: error: a length where pixels are wanted: the drawing is in px, in "
        "`tall` in `drawn` of the mark\n"
        "    3 | mark: {puppet: otter, drawn: {tall: 96 mm}}\n"
        "      |                                     ^~~~~\n"
        "  note: and once more, at 4:33\n"
        "  help: measure it in the image: `214 px`; if the drawing was measured with a ruler, so is its "
        "`wide`: `drawing: {wide: 420 mm}`\n");
}

Test(bind, no_more_than_ten_thousand_things) {
    Buffer text = buffer_new(arena);
    buffer_add(&text, SCENE "pieces:\n");
    for (int i = 0; i < 10000; i++)
        buffer_format(&text, "  p %d: {like: crate, at: {across: 1 in, back: 1 in}}\n", i);
    Spec spec = spec_bound(arena, BOOK, buffer_text(&text));
    cr_assert_eq(spec.diagnostics.errors, 1); /* ground and otter are two of the ten thousand */
    cr_assert_str_eq(spec.diagnostics.items.items[0]->message, "more than 10000 things in one scene");
    cr_assert_eq(spec.scene->thing_count, 10000);
}
