#include "model/notes.h"

#include "base/text.h"
#include "model/lettering.h"
#include "optics/space.h"

#include <math.h>

/* ---- materials: unlit, so that they look the same from all sides */

static const struct {
    const char *name;
    uint32_t color;
} inks[] = {[INK_SIZE] = {"ink_size", 0xA6214B},   [INK_CAMERA] = {"ink_camera", 0x3A3FB8},
            [INK_FOCUS] = {"ink_focus", 0x0B8F8A}, [INK_BARE] = {"ink_bare", 0xD95F02},
            [INK_PHOTO] = {"ink_photo", 0x2E7D32}, [INK_CHALK] = {"chalk", 0xF7F7F2}};

int notes_material(Notes *notes, Ink ink) {
    return model_material(notes->model, inks[ink].name, inks[ink].color, true);
}

/* ---- sizes among the things */

static double frame_tall_mm(const Notes *notes, Point3 at) {
    const PlanShot *shot = &notes->plan->shots[0];
    const Camera *camera = &shot->cameras[0].camera;
    const double depth = fmax(camera_depth_mm(camera, at), camera->object_mm / 12);
    return shot->picture.taken_tall_mm * depth / camera->image_mm;
}

double notes_fine_line_mm(const Notes *notes, Point3 at) {
    return fmin(notes->line_mm, 0.0017 * frame_tall_mm(notes, at));
}

double notes_fine_letter_mm(const Notes *notes, Point3 at) {
    return fmin(notes->letter_mm, 0.024 * frame_tall_mm(notes, at));
}

/* Cards beside a camera reach into pictures that the camera itself is just out of: this much of the picture
 * more, to both sides, counts as in it. */
static const double BESIDE_PICTURE = 0.6;

static bool near_picture(const PlanShot *shot, Point3 at) {
    const double wide = shot->picture.drawing_wide_mm, tall = shot->picture.drawing_tall_mm;
    double x, y;
    if (!camera_project(&shot->cameras[0].camera, &shot->picture, at, &x, &y, NULL)) return false;
    return fabs(x / wide - 0.5) < 0.5 + BESIDE_PICTURE && fabs(y / tall - 0.5) < 0.5 + BESIDE_PICTURE;
}

bool notes_in_anothers_picture(const Notes *notes, const PlanShot *shot) {
    const Camera *camera = &shot->cameras[0].camera;
    const Point3 lens = point(camera->across_mm, -camera->distance_mm, camera->height_mm);
    for (size_t s = 0; s < notes->plan->shot_count; s++) {
        const PlanShot *other = &notes->plan->shots[s];
        if (other != shot && near_picture(other, lens)) return true;
    }
    return false;
}

/* ---- facts */

const char *notes_value(const Notes *notes, const char *heading, const char *key, const char *part) {
    return facts_label(notes->arena, notes->facts, heading, key, part, false);
}

/* ---- lines */

int notes_line(Notes *notes, int parent, const char *name, Ink ink, const Point3 *points, size_t count,
               bool closed, double radius_mm) {
    Mesh *mesh = mesh_new(notes->arena);
    const size_t last = closed ? count : count - 1;
    for (size_t i = 0; i < last; i++) {
        const Point3 from = point_less(points[i], points[0]),
                     to = point_less(points[(i + 1) % count], points[0]);
        if (point_length(point_less(to, from)) > 1e-3) mesh_add_tube(mesh, from, to, radius_mm);
    }
    const int node =
        model_mesh_node(notes->model, parent, MODEL_NOTE, name, mesh, notes_material(notes, ink));
    model_place(notes->model, node, points[0]);
    return node;
}

/* Shorter dimensions than this, in radii of their line, have no room for arrowheads. */
static const double ARROW_LENGTH = 9, ARROW_RADIUS = 2.6, SHORTEST = 24;

static void add_measure(Mesh *mesh, Point3 from, Point3 to, double radius_mm) {
    const Point3 way = point_less(to, from), along = point_unit(way);
    if (point_length(way) < SHORTEST * radius_mm) {
        mesh_add_tube(mesh, from, to, radius_mm);
        return;
    }
    const Point3 first = point_toward(from, along, ARROW_LENGTH * radius_mm),
                 last = point_toward(to, along, -ARROW_LENGTH * radius_mm);
    mesh_add_tube(mesh, first, last, radius_mm);
    mesh_add_arrowhead(mesh, first, from, ARROW_RADIUS * radius_mm);
    mesh_add_arrowhead(mesh, last, to, ARROW_RADIUS * radius_mm);
}

/* From what is measured to a little past the dimension's line. */
static void add_lead(Mesh *mesh, Point3 foot, Point3 end, double radius_mm) {
    const Point3 way = point_less(end, foot);
    if (point_length(way) < 4 * radius_mm) return;
    mesh_add_tube(mesh, foot, point_toward(end, point_unit(way), 4 * radius_mm), 0.6 * radius_mm);
}

int notes_dimension(Notes *notes, int parent, const Dimension *dimension) {
    Model *model = notes->model;
    const int group = model_node(model, parent, MODEL_NOTE, dimension->name);
    Mesh *mesh = mesh_new(notes->arena);
    const Point3 from = {0}, to = point_less(dimension->to, dimension->from);
    add_measure(mesh, from, to, dimension->line_mm);
    add_lead(mesh, point_less(dimension->from_foot, dimension->from), from, dimension->line_mm);
    add_lead(mesh, point_less(dimension->to_foot, dimension->from), to, dimension->line_mm);
    const int line =
        model_mesh_node(model, group, MODEL_NOTE, arena_format(notes->arena, "%s line", dimension->name),
                        mesh, notes_material(notes, dimension->ink));
    model_place(model, line, dimension->from);
    return group;
}

/* ---- cards; shares of the height of a capital */

static const double CARD_PAD = 0.55, CARD_RIM = 0.13, CARD_HALF_THICK = 0.05, LETTERS_OFF = 0.03,
                    LINE_STEP = 1.85;

static int line_count(const Card *card) {
    int count = 0;
    while (card->lines[count])
        count++;
    return count;
}

void notes_card_size(const Card *card, double *wide_mm, double *tall_mm) {
    double wide = 0;
    for (int i = 0; i < line_count(card); i++)
        wide = fmax(wide, lettering_width(card->lines[i]));
    *wide_mm = (wide + 2 * (CARD_PAD + CARD_RIM)) * card->letter_mm;
    *tall_mm = (1 + (line_count(card) - 1) * LINE_STEP + 2 * (CARD_PAD + CARD_RIM) + 0.12) * card->letter_mm;
}

/* `middle`: of the card, in its own frame; `side` 1 is the front, -1 the back. */
static void add_letters(Mesh *mesh, const Card *card, Point3 middle, double wide_mm, double tall_mm,
                        int side) {
    const double letter = card->letter_mm, off = (CARD_HALF_THICK + LETTERS_OFF) * letter;
    for (int i = 0; i < line_count(card); i++) {
        const double half = card->from_left ? wide_mm / 2 - (CARD_RIM + CARD_PAD) * letter
                                            : lettering_width(card->lines[i]) * letter / 2;
        const double up = middle.up_mm + tall_mm / 2 - (CARD_RIM + CARD_PAD + 1 + i * LINE_STEP) * letter;
        const Baseline line = {.at = point(middle.across_mm - side * half, -side * off, up),
                               .along = {side, 0, 0},
                               .up = {0, 0, 1}};
        lettering_add(mesh, card->lines[i], &line, letter);
    }
}

static Mesh *board_mesh(Arena *arena, Point3 middle, double wide_mm, double tall_mm, double half_thick_mm) {
    Mesh *mesh = mesh_new(arena);
    mesh_add_box(mesh, point(middle.across_mm - wide_mm / 2, -half_thick_mm, middle.up_mm - tall_mm / 2),
                 point(middle.across_mm + wide_mm / 2, half_thick_mm, middle.up_mm + tall_mm / 2));
    return mesh;
}

static const char *text_of(Arena *arena, const Card *card) {
    Buffer text = buffer_new(arena);
    for (int i = 0; i < line_count(card); i++) {
        if (i > 0) buffer_add(&text, "; ");
        buffer_add(&text, card->lines[i]);
    }
    return buffer_text(&text);
}

void notes_card(Notes *notes, int parent, const char *name, const Card *card) {
    Model *model = notes->model;
    Arena *arena = notes->arena;
    const double letter = card->letter_mm, rim = 2 * CARD_RIM * letter;
    double wide, tall;
    notes_card_size(card, &wide, &tall);
    const Point3 middle = point(-card->share_across * wide / 2, 0, -card->share_up * tall / 2);
    const int node = model_node(model, parent, MODEL_NOTE, name);
    model_place(model, node, card->at);
    model_turn(model, node, card->left_rad, card->lean_rad);
    model_extra_text(model, node, "text", text_of(arena, card));
    const int ink = notes_material(notes, card->ink), paper = model_material(model, "card", 0xFFFBEF, true);
    Mesh *letters = mesh_new(arena);
    add_letters(letters, card, middle, wide, tall, 1);
    add_letters(letters, card, middle, wide, tall, -1);
    model_mesh_node(model, node, MODEL_NOTE, arena_format(arena, "%s board", name),
                    board_mesh(arena, middle, wide - rim, tall - rim, CARD_HALF_THICK * letter), paper);
    model_mesh_node(model, node, MODEL_NOTE, arena_format(arena, "%s rim", name),
                    board_mesh(arena, middle, wide, tall, 0.6 * CARD_HALF_THICK * letter), ink);
    model_mesh_node(model, node, MODEL_NOTE, arena_format(arena, "%s letters", name), letters, ink);
}
