/* The drawing, standing beside the set in the plane of the mark, as large as it is there: what is drawn on
 * the mark is as tall on it as what stands there, at the same height. */
#include "base/text.h"
#include "model/notes.h"
#include "optics/space.h"

#include <math.h>

static const double BACK_OFF_MM =
    4; /* a separate back: a textured face has none of its own in every viewer */

static Mesh *picture_mesh(Arena *arena, double wide_mm, double tall_mm) {
    Mesh *mesh = mesh_new(arena);
    mesh->textured = true;
    mesh_add_quad(mesh, point(0, 0, 0), point(wide_mm, 0, 0), point(wide_mm, 0, tall_mm),
                  point(0, 0, tall_mm));
    for (size_t i = 0; i < mesh->vertices.count; i++) {
        MeshVertex *v = &mesh->vertices.items[i];
        v->uv[0] = v->at[0] > 0 ? 1 : 0;
        v->uv[1] = v->at[1] > 0 ? 0 : 1;
    }
    return mesh;
}

static int picture_material(Notes *notes, const FoundFile *found, const char *name) {
    Model *model = notes->model;
    LIST_PUSH(notes->arena, model->images,
              (ModelImage){.name = name, .mime = found->mime, .bytes = found->bytes, .count = found->count});
    LIST_PUSH(
        notes->arena, model->materials,
        (ModelMaterial){.name = name, .color = {1, 1, 1}, .rough = 1, .image = (int)model->images.count - 1});
    return (int)model->materials.count - 1;
}

/* Where the set ends to the left, at the depth of the mark. */
static double left_of_set(const Notes *notes, double back_mm) {
    const Plan *plan = notes->plan;
    const Trapezoid *o = plan->base >= 0 ? &plan->base_outline : &plan->ground_outline;
    const double share = fmin(fmax((back_mm - o->front_mm) / (o->rear_mm - o->front_mm), 0), 1);
    return o->front_left_mm + share * (o->rear_left_mm - o->front_left_mm);
}

static void add_back(Notes *notes, int node, const char *name, double wide_mm, double tall_mm) {
    Mesh *back = mesh_new(notes->arena);
    mesh_add_box(back, point(0, BACK_OFF_MM, 0), point(wide_mm, 2 * BACK_OFF_MM, tall_mm));
    model_mesh_node(notes->model, node, MODEL_NOTE, arena_format(notes->arena, "%s back", name), back,
                    model_material(notes->model, "drawing_back", 0x8A8D93, false));
}

/* The next place for something upright: its lower right corner. */
typedef struct Stand {
    double right_mm, up_mm, back_mm;
} Stand;

static void note_drawing(Notes *notes, const PlanShot *shot, Stand *stand) {
    const int wanted = shot->shot->image;
    const FoundFile *found = wanted >= 0 ? &notes->plan->found[wanted] : NULL;
    if (!found || !found->found || !found->bytes) return;
    const Camera *camera = &shot->cameras[0].camera;
    const Picture *picture = &shot->picture;
    double x, y;
    if (!camera_project(camera, picture, shot->mark, &x, &y, NULL)) return;
    const double scale = camera_scale(camera, picture, shot->mark);
    const double wide = picture->drawing_wide_mm * scale, tall = picture->drawing_tall_mm * scale;
    const double up = shot->mark.up_mm - y * scale;
    const char *name = shot->name[0] ? arena_format(notes->arena, "drawing %s", shot->name) : "drawing";
    const int node =
        model_mesh_node(notes->model, notes->group, MODEL_NOTE, name, picture_mesh(notes->arena, wide, tall),
                        picture_material(notes, found, name));
    model_place(notes->model, node, point(stand->right_mm - wide, shot->mark.back_mm, up));
    add_back(notes, node, name, wide, tall);
    stand->right_mm -= wide + notes->gap_mm;
    stand->up_mm = fmax(stand->up_mm, up + tall + notes->gap_mm);
}

/* ---- the board */

static void add_line(Card *board, int *count, const char *text) {
    for (int i = 0; i < *count; i++) {
        if (text_equal(board->lines[i], text)) return; /* the same puppet in another shot */
    }
    if (*count < CARD_LINES) board->lines[(*count)++] = text;
}

static const char *heading_of(const Notes *notes, const PlanThing *thing) {
    static const char *const kinds[ROLE_COUNT] = {
        [ROLE_PUPPET] = "puppet", [ROLE_FLAT] = "flat", [ROLE_PIECE] = "piece"};
    const Thing *it = thing->thing;
    if (it->role == ROLE_BACKDROP) return "backdrop";
    if (it->shot >= 0 && notes->plan->shot_count > 1)
        return arena_format(notes->arena, "%s %s in %s", kinds[it->role], it->name,
                            notes->plan->shots[it->shot].name);
    return arena_format(notes->arena, "%s %s", kinds[it->role], it->name);
}

static void list_things(const Notes *notes, Card *board, int *count, ThingRole role) {
    for (size_t i = 0; i < notes->plan->scene->thing_count; i++) {
        const PlanThing *thing = &notes->plan->things[i];
        if (thing->thing->role != role) continue;
        const char *heading = heading_of(notes, thing), *name = thing->thing->name;
        const char *wide = notes_value(notes, heading, "wide", NULL),
                   *tall = notes_value(notes, heading, "tall", NULL);
        if (!tall || (role != ROLE_PUPPET && !wide)) continue;
        add_line(board, count,
                 role == ROLE_PUPPET ? arena_format(notes->arena, "%s %s", name, tall)
                                     : arena_format(notes->arena, "%s %s x %s", name, wide, tall));
    }
}

/* Cameras that have no room for a card of their own. */
static void list_cameras(const Notes *notes, Card *board, int *count) {
    for (size_t s = 0; s < notes->plan->shot_count; s++) {
        const PlanShot *shot = &notes->plan->shots[s];
        if (!notes_in_anothers_picture(notes, shot)) continue;
        const char *heading = arena_format(notes->arena, "camera %s", shot->name);
        const char *lens = notes_value(notes, heading, "lens", "focal"),
                   *height = notes_value(notes, heading, "height", NULL),
                   *distance = notes_value(notes, heading, "distance", NULL);
        if (lens && height && distance)
            add_line(board, count,
                     arena_format(notes->arena, "%s: lens %s, %s up, %s to the mark", shot->name, lens,
                                  height, distance));
    }
}

/* What one reads from afar: puppets, flats and the backdrop by name and size, over the drawing or in its
 * place. */
static void note_board(Notes *notes, const Stand *stand) {
    Card board = {.ink = INK_SIZE,
                  .at = point(stand->right_mm, stand->back_mm, stand->up_mm),
                  .share_across = 1,
                  .share_up = -1,
                  .letter_mm = 0.85 * notes->letter_mm,
                  .from_left = true};
    int count = 0;
    if (notes->facts->title) add_line(&board, &count, notes->facts->title);
    list_cameras(notes, &board, &count);
    list_things(notes, &board, &count, ROLE_PUPPET);
    list_things(notes, &board, &count, ROLE_FLAT);
    list_things(notes, &board, &count, ROLE_BACKDROP);
    if (count > 0) notes_card(notes, notes->group, "board", &board);
}

void notes_of_drawings(Notes *notes) {
    const double back = notes->plan->shots[0].mark.back_mm;
    double left = left_of_set(notes, back);
    for (size_t s = 1; s < notes->plan->shot_count; s++)
        left = fmin(left, left_of_set(notes, notes->plan->shots[s].mark.back_mm));
    Stand stand = {left - 2 * notes->gap_mm, notes->build.foot_mm, back}, next = stand;
    for (size_t s = 0; s < notes->plan->shot_count; s++)
        note_drawing(notes, &notes->plan->shots[s], &next);
    stand.up_mm = next.up_mm;
    note_board(notes, &stand);
}
