/* What must not matter: the order of lines, the names of things, the units they are written in, and which
 * mark is the origin. */
#include "spec.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

/* A scene in blocks of entries. `$n` stands for a name, `#12#` for 12 inches. */
typedef struct Block {
    const char *head;
    const char *entries[8];
} Block;

static const Block BLOCKS[] = {
    {"drawing", {"wide: 420 mm"}},
    {"mark", {"puppet: otter", "drawn: {foot: [180 mm, 34 mm], tall: 92 mm}"}},
    {"camera", {"lens: portrait", "height: otter.eyes + #0.25#"}},
    {"allow", {"height: #9# to #11#", "lens: 60 to 105 mm"}},
    {"ground",
     {"rear: #54#", "margin: #4#",
      "mounds: {$6: {wide: #20#, deep: #16#, tall: #3#, at: {across: #-12#, back: #24#}}}"}},
    {"puppets", {"heron: {drawn: {foot: [296 mm, 44 mm], tall: 96 mm}, turn: 20 deg left}"}},
    {"pieces",
     {"$1: {shape: box, wide: #20#, tall: #5#, deep: #9#, at: {across: #14#, back: #-8#}}",
      "$2: {shape: post, tall: 1.5 otter, thick: #0.75#, at: {across: $1.left - #2#, back: #10#}}",
      "$3: {like: $2, tall: $2.tall / 2, at: {across: $2.left - #4#, back: #12#}}",
      "$4: {shape: box, wide: 60 mm drawn, tall: 12 % frame, deep: #3#, drawn: {foot: [90 mm, 70 mm]}}"}},
    {"flats", {"$5: {at: {back: #46#}, wide: cover, drawn: {tall: 40 mm}, stock: foam}"}},
    {"backdrop", {"at: {back: #52#}"}},
};
enum { BLOCK_COUNT = sizeof BLOCKS / sizeof *BLOCKS, NAMES = 7 };

static const char *const PLAIN[NAMES] = {"", "ferry", "post", "stump", "hut", "far bank", "rise"};
static const char *const OTHER[NAMES] = {"", "zz top deck", "a-pole", "m 2", "b", "aa", "q"};

static void add_entry(Buffer *out, const char *entry, const char *const *names, bool metric) {
    for (const char *c = entry; *c; c++) {
        if (*c == '$') {
            buffer_add(out, names[*++c - '0']);
        } else if (*c == '#') {
            char *end;
            const double inches = strtod(c + 1, &end);
            buffer_format(out, "%s %s", number_short(out->arena, metric ? inches * 25.4 : inches, 6),
                          metric ? "mm" : "in");
            c = end;
        } else {
            buffer_add_char(out, *c);
        }
    }
}

/* Orders as permutations: entry i of n goes to (i * step + shift) mod n, step prime to any count here. */
static const char *write_scene(Arena *arena, const char *const *names, bool metric, size_t step,
                               size_t shift) {
    Buffer out = buffer_new(arena);
    buffer_add(&out, "scene: Fog\npages: 8-9\n");
    for (size_t b = 0; b < BLOCK_COUNT; b++) {
        const Block *block = &BLOCKS[(b * step + shift) % BLOCK_COUNT];
        size_t count = 0;
        while (count < 8 && block->entries[count])
            count++;
        buffer_format(&out, "%s:\n", block->head);
        for (size_t e = 0; e < count; e++) {
            buffer_add(&out, "  ");
            add_entry(&out, block->entries[(e * step + shift) % count], names, metric);
            buffer_add_char(&out, '\n');
        }
    }
    return buffer_text(&out);
}

static Spec plan_text(Arena *arena, const char *text) {
    Spec spec = spec_of(arena, FERRY_BOOK, text);
    cr_assert(spec.plan, "%s", spec_words(arena, &spec));
    return spec;
}

static void same_number(double a, double b, double tolerance, const char *what) {
    cr_assert_float_eq(a, b, tolerance, "%s: %.9f and %.9f", what, a, b);
}

static void same_thing(const PlanThing *a, const PlanThing *b, double tolerance) {
    const double first[] = {a->at.across_mm, a->at.back_mm, a->at.up_mm, a->turn_rad, a->wide_mm,
                            a->tall_mm,      a->deep_mm,    a->left_mm,  a->right_mm, a->front_mm,
                            a->rear_mm,      a->top_mm,     a->foot_mm};
    const double second[] = {b->at.across_mm, b->at.back_mm, b->at.up_mm, b->turn_rad, b->wide_mm,
                             b->tall_mm,      b->deep_mm,    b->left_mm,  b->right_mm, b->front_mm,
                             b->rear_mm,      b->top_mm,     b->foot_mm};
    for (size_t i = 0; i < sizeof first / sizeof *first; i++)
        same_number(first[i], second[i], tolerance, a->thing->name);
}

static void same_plan(const Plan *a, const Plan *b, const char *const *a_names, const char *const *b_names,
                      double tolerance) {
    cr_assert_eq(a->scene->thing_count, b->scene->thing_count);
    for (size_t i = 0; i < a->scene->thing_count; i++) {
        const char *name = a->scene->things[i].name;
        for (int n = 1; n < NAMES; n++) {
            if (text_equal(name, a_names[n])) {
                name = b_names[n];
                break;
            }
        }
        const int other = plan_find(b, name);
        cr_assert_geq(other, 0, "no %s", name);
        same_thing(&a->things[i], &b->things[other], tolerance);
    }
    const PlanShot *s = &a->shots[0], *t = &b->shots[0];
    cr_assert_eq(s->camera_count, t->camera_count);
    for (size_t c = 0; c < s->camera_count; c++) {
        same_number(s->cameras[c].camera.distance_mm, t->cameras[c].camera.distance_mm, tolerance,
                    "distance");
        same_number(s->cameras[c].camera.tilt_rad, t->cameras[c].camera.tilt_rad, 1e-12, "tilt");
    }
    same_number(a->ground_outline.front_left_mm, b->ground_outline.front_left_mm, tolerance, "ground");
    same_number(a->base_outline.rear_right_mm, b->base_outline.rear_right_mm, tolerance, "base");
}

Test(invariance, the_order_of_lines) {
    Arena *arena = arena_new();
    const Spec plain = plan_text(arena, write_scene(arena, PLAIN, false, 1, 0));
    for (size_t shift = 0; shift < BLOCK_COUNT; shift++) {
        const Spec shuffled = plan_text(arena, write_scene(arena, PLAIN, false, 5, shift));
        same_plan(plain.plan, shuffled.plan, PLAIN, PLAIN, 0);
    }
    arena_free(arena);
}

Test(invariance, names) {
    Arena *arena = arena_new();
    const Spec plain = plan_text(arena, write_scene(arena, PLAIN, false, 1, 0));
    const Spec renamed = plan_text(arena, write_scene(arena, OTHER, false, 1, 0));
    same_plan(plain.plan, renamed.plan, PLAIN, OTHER, 0);
    arena_free(arena);
}

Test(invariance, inches_or_millimetres) {
    Arena *arena = arena_new();
    const Spec inches = plan_text(arena, write_scene(arena, PLAIN, false, 1, 0));
    const Spec metric = plan_text(arena, write_scene(arena, PLAIN, true, 1, 0));
    same_plan(inches.plan, metric.plan, PLAIN, PLAIN, 2e-6);
    arena_free(arena);
}

/* Two shots of one set: whichever is first, its mark is the origin, and everything else moves along. */
static const char *two_shots(Arena *arena, bool swapped) {
    const double across = 10, back = 20; /* of the far mark from the near one, inches */
    const double x = swapped ? -across : 0, y = swapped ? -back : 0;
    Buffer out = buffer_new(arena);
    buffer_add(&out, "scene: Two\ndrawing: {wide: 420 mm}\ncamera: {lens: 85 mm, height: 10 in}\nallow: "
                     "{lens: 85 mm}\nshots:\n");
    const char *near_shot = "    mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}%s}\n";
    const char *far_shot = "    mark: {puppet: heron, drawn: {foot: [250 mm, 40 mm], tall: 120 mm}%s}\n";
    const char *moved = arena_format(arena, ", at: {across: %s in, back: %s in}", swapped ? "-10" : "10",
                                     swapped ? "-20" : "20");
    for (int i = 0; i < 2; i++) {
        const bool near = (i == 0) != swapped;
        buffer_format(&out, "  %s:\n    pages: 8-9\n", near ? "near" : "far");
        const char *line = near ? near_shot : far_shot;
        const char *slot = strstr(line, "%s");
        buffer_add_bytes(&out, line, (size_t)(slot - line));
        buffer_add(&out, i == 0 ? "" : moved);
        buffer_add(&out, slot + 2);
    }
    buffer_format(&out,
                  "pieces:\n  hut: {shape: box, wide: 6 in, tall: 7 in, deep: 5 in, at: {across: %s in, "
                  "back: %s in}}\n",
                  number_short(arena, -8 + x, 3), number_short(arena, 30 + y, 3));
    buffer_format(&out, "ground: {rear: %s in, margin: 3 in}\n", number_short(arena, 60 + y, 3));
    buffer_format(&out, "backdrop: {at: {back: %s in}}\n", number_short(arena, 58 + y, 3));
    return buffer_text(&out);
}

Test(invariance, a_moved_origin) {
    Arena *arena = arena_new();
    const Spec plain = plan_text(arena, two_shots(arena, false));
    const Spec moved = plan_text(arena, two_shots(arena, true));
    const double dx = 10 * 25.4, dy = 20 * 25.4;
    for (size_t i = 0; i < plain.scene->thing_count; i++) {
        const PlanThing *a = &plain.plan->things[i];
        if (a->thing->role == ROLE_GROUND || a->thing->role == ROLE_BASE)
            continue; /* rounded outwards from another mark */
        PlanThing b = moved.plan->things[plan_find(moved.plan, a->thing->name)];
        double *const across[] = {&b.at.across_mm, &b.left_mm, &b.right_mm}, *const back[] = {&b.at.back_mm,
                                                                                              &b.front_mm,
                                                                                              &b.rear_mm};
        for (int k = 0; k < 3; k++) {
            *across[k] += dx;
            *back[k] += dy;
        }
        same_thing(a, &b, 1e-5);
    }
    for (int s = 0; s < 2; s++) {
        const Camera *a = &plain.plan->shots[s].cameras[0].camera,
                     *b = &moved.plan->shots[1 - s].cameras[0].camera;
        same_number(a->across_mm, b->across_mm + dx, 1e-5, "across");
        same_number(a->distance_mm, b->distance_mm - dy, 1e-5, "distance");
        same_number(a->tilt_rad, b->tilt_rad, 1e-9, "tilt");
        same_number(a->height_mm, b->height_mm, 1e-9, "height");
    }
    const double cut = 25.4 / 8;
    same_number(plain.plan->ground_outline.front_left_mm, moved.plan->ground_outline.front_left_mm + dx,
                cut + 1e-6, "ground");
    arena_free(arena);
}
