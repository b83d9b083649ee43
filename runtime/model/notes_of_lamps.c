/* Lamps and their stands: equipment, beside the set and so among the notes. Head, a cone of barn doors
 * towards what it lights, column, three legs. */
#include "model/notes.h"
#include "optics/space.h"
#include "plan/lamps.h"

#include <math.h>

typedef struct Lit {
    Notes *notes;
    const PlanLamp *lamp;
    int group;
} Lit;

static const char *named(const Lit *lit, const char *what) {
    return arena_format(lit->notes->arena, "lamp %s %s", lit->lamp->lamp->name, what);
}

static void note_head(const Lit *lit) {
    Notes *notes = lit->notes;
    const Point3 at = lit->lamp->at, to = light_at_mark(notes->plan);
    const Point3 way = point_less(to, at);
    const double far_mm = point_length(way), radius = LAMP_HEAD_MM / 2;
    Mesh *head = mesh_new(notes->arena), *mouth = mesh_new(notes->arena);
    const Point3 forward = far_mm > 1 ? point_times(way, 1 / far_mm) : point(0, 1, 0);
    mesh_add_limb(head, point_times(forward, -0.6 * radius), point_times(forward, 0.5 * radius),
                  0.55 * radius, 0.7 * radius, 24);
    mesh_add_limb(mouth, point_times(forward, 0.5 * radius), point_times(forward, 0.9 * radius), 0.6 * radius,
                  radius, 24);
    const int node = model_mesh_node(notes->model, lit->group, MODEL_NOTE, named(lit, "head"), head,
                                     model_material(notes->model, "lamp_head", 0x3A3D46, false));
    model_place(notes->model, node, at);
    model_extra_number(notes->model, node, "watts", lit->lamp->watts);
    model_mesh_node(notes->model, node, MODEL_NOTE, named(lit, "mouth"), mouth,
                    model_material(notes->model, "lamp_mouth", 0xF4D58A, true));
}

static void note_stand(const Lit *lit) {
    Notes *notes = lit->notes;
    const Point3 foot = lamp_foot(notes->plan, lit->lamp);
    const double tall = lit->lamp->at.up_mm - foot.up_mm;
    if (tall < 2 * LAMP_HEAD_MM) return;
    Mesh *stand = mesh_new(notes->arena);
    const Point3 hub = point(0, 0, fmin(0.35 * tall, 500));
    mesh_add_tube(stand, point(0, 0, 0.5 * hub.up_mm), point(0, 0, tall - 0.5 * LAMP_HEAD_MM),
                  LAMP_STAND_MM / 2);
    for (int leg = 0; leg < 3; leg++) {
        const double angle = 2 * PI * leg / 3 + PI / 2;
        mesh_add_tube(stand, hub, point(0.8 * hub.up_mm * cos(angle), 0.8 * hub.up_mm * sin(angle), 8), 8);
    }
    const int node = model_mesh_node(notes->model, lit->group, MODEL_NOTE, named(lit, "stand"), stand,
                                     model_material(notes->model, "lamp_stand", 0x6B6F7A, false));
    model_place(notes->model, node, foot);
}

static void note_card(const Lit *lit) {
    Notes *notes = lit->notes;
    Arena *arena = notes->arena;
    const char *heading = arena_format(arena, "lamp %s", lit->lamp->lamp->name);
    const char *watts = notes_value(notes, heading, "watts", NULL),
               *up = notes_value(notes, heading, "up", NULL);
    if (!watts || !up) return;
    const Card card = {.ink = INK_SIZE,
                       .at = point_add(lit->lamp->at, point(0, 0, LAMP_HEAD_MM)),
                       .share_up = -1,
                       .letter_mm = 0.7 * notes->letter_mm,
                       .lines = {arena_format(arena, "lamp %s: %s W", lit->lamp->lamp->name, watts),
                                 arena_format(arena, "%s up", up)}};
    notes_card(notes, lit->group, named(lit, "card"), &card);
}

void notes_of_lamps(Notes *notes) {
    for (size_t i = 0; i < notes->plan->scene->lamp_count; i++) {
        Lit lit = {.notes = notes, .lamp = &notes->plan->lamps[i]};
        lit.group = model_node(notes->model, notes->group, MODEL_NOTE, named(&lit, "group"));
        note_head(&lit);
        note_stand(&lit);
        note_card(&lit);
    }
}
