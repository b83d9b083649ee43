#include "model/plan_to_set.h"

#include "base/text.h"
#include "model/cutout_mesh.h"
#include "model/figure_mesh.h"
#include "model/ground_mesh.h"
#include "model/panel_mesh.h"
#include "optics/space.h"

#include <math.h>
#include <string.h>

/* ---- colours: warm is a puppet, green-brown the ground, dark the base, paper a flat, pale blue the backdrop
 */

static const uint32_t puppet_colors[] = {0xD9772B, 0xB5473A, 0xE2A83C, 0xC9674F, 0x9C5A34, 0xD98C6A};
static const uint32_t piece_colors[] = {0x6A86A3, 0x8E7398, 0x5B918C, 0xA58D74, 0x7C7F8C, 0x9A7F86};
static const uint32_t FACE_COLOR = 0xF3E3C4, EYES_COLOR = 0x2A211C, GROUND_COLOR = 0x848256,
                      BASE_COLOR = 0x573E2C, FLAT_COLOR = 0xEFE7D3, BACKDROP_COLOR = 0xC6D8E6;

enum { PUPPET_COLORS = sizeof puppet_colors / sizeof *puppet_colors };
enum { PIECE_COLORS = sizeof piece_colors / sizeof *piece_colors };

/* Paler, for puppets that stand there in a later shot only. */
static uint32_t paler(uint32_t color) {
    uint32_t mixed = 0;
    for (int shift = 16; shift >= 0; shift -= 8) {
        const uint32_t level = color >> shift & 255;
        mixed |= (level + (255 - level) * 9 / 20) << shift;
    }
    return mixed;
}

/* ---- what has been made already, for things that are alike */

typedef struct Made {
    ThingShape shape;
    double wide_mm, tall_mm, deep_mm, eyes_mm;
    int kind; /* of steps: their count; of figures: the pose; of cutouts: the image, or -1 */
    Mesh *mesh;
    Figure figure;
} Made;

typedef struct Builder {
    Arena *arena;
    const Plan *plan;
    Model *model;
    int set;
    LIST(Made) made;
} Builder;

/* By the pose's name, else by what its sizes look like. */
static FigurePose pose_of(const PlanThing *thing) {
    const char *pose = thing->thing->pose;
    if (pose && (strstr(pose, "sit") || strstr(pose, "seat") || strstr(pose, "sat"))) return FIGURE_SEATED;
    return thing->deep_mm > (pose ? 0.8 : 1.1) * thing->tall_mm ? FIGURE_LYING : FIGURE_STANDING;
}

/* A look at the latest ones: what is alike stands together in a spec. */
static const Made *find_made(const Builder *b, const Made *like) {
    enum { LOOK_BACK = 64 };
    const size_t count = b->made.count, oldest = count > LOOK_BACK ? count - LOOK_BACK : 0;
    for (size_t i = count; i > oldest; i--) {
        const Made *is = &b->made.items[i - 1];
        if (is->shape == like->shape && is->kind == like->kind && is->wide_mm == like->wide_mm &&
            is->tall_mm == like->tall_mm && is->deep_mm == like->deep_mm && is->eyes_mm == like->eyes_mm)
            return is;
    }
    return NULL;
}

/* ---- shapes, in the thing's own frame (plan/shape.h) */

enum { ROUND_SEGMENTS = 24 };

static Mesh *steps_mesh(Arena *arena, double wide, double tall, double deep, int count) {
    Mesh *mesh = mesh_new(arena);
    Point3 *profile = ARENA_ARRAY(arena, Point3, 2 * (size_t)count + 2);
    size_t n = 0;
    profile[n++] = point(0, deep / 2, 0); /* all of it is seen from the foot of the rear */
    profile[n++] = point(0, deep / 2, tall);
    for (int i = count - 1; i >= 0; i--) {
        const double back = deep * i / count - deep / 2;
        profile[n++] = point(0, back, tall * (i + 1) / count);
        profile[n++] = point(0, back, tall * i / count);
    }
    mesh_add_prism(mesh, profile, n, -wide / 2, wide / 2);
    return mesh;
}

static Mesh *board_mesh(Arena *arena, const Plan *plan, const PlanThing *thing) {
    const CutoutOutline outline = plan_cutout(arena, plan, thing);
    const double half = thing->deep_mm / 2;
    if (outline.count > 0) return cutout_mesh(arena, outline, thing->wide_mm, -half, half);
    return panel_mesh(arena, thing->wide_mm, thing->tall_mm, -half, half, NULL, 0);
}

static Mesh *piece_mesh(Arena *arena, const Plan *plan, const PlanThing *thing) {
    const double wide = thing->wide_mm, tall = thing->tall_mm, deep = thing->deep_mm;
    Mesh *mesh = mesh_new(arena);
    switch (thing->thing->shape) {
    case SHAPE_POST:
        mesh_add_post(mesh, point(0, 0, 0), wide, deep, tall, ROUND_SEGMENTS);
        return mesh;
    case SHAPE_CONE:
        mesh_add_cone(mesh, point(0, 0, 0), wide, deep, tall, ROUND_SEGMENTS);
        return mesh;
    case SHAPE_WEDGE:
        mesh_add_prism(
            mesh, (const Point3[]){point(0, -deep / 2, 0), point(0, deep / 2, 0), point(0, deep / 2, tall)},
            3, -wide / 2, wide / 2);
        return mesh;
    case SHAPE_STEPS:
        return steps_mesh(arena, wide, tall, deep, thing->steps > 0 ? thing->steps : 1);
    case SHAPE_CUTOUT:
        return board_mesh(arena, plan, thing);
    default:
        mesh_add_box(mesh, point(-wide / 2, -deep / 2, 0), point(wide / 2, deep / 2, tall));
        return mesh;
    }
}

/* A slot's value, or 0 where it has none. */
static double value_of(const Plan *plan, int slot) {
    return plan->known[slot] ? plan->values[slot] : 0;
}

static Mesh *flat_mesh(const Builder *b, int index) {
    const Plan *plan = b->plan;
    const PlanThing *flat = &plan->things[index];
    LIST(Opening) openings = {0};
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *it = &plan->things[i];
        if (it->thing->role != ROLE_OPENING || it->thing->parent != index) continue;
        const double across = value_of(plan, it->thing->slot[FIELD_ACROSS]);
        const double sill = value_of(plan, it->thing->slot[FIELD_UP]);
        LIST_PUSH(b->arena, openings,
                  (Opening){across - it->wide_mm / 2, across + it->wide_mm / 2, sill, sill + it->tall_mm});
    }
    return panel_mesh(b->arena, flat->wide_mm, flat->tall_mm, 0, flat->deep_mm, openings.items,
                      openings.count);
}

static const Made *make(Builder *b, const PlanThing *thing) {
    const ThingShape shape = thing->thing->shape;
    Made made = {.shape = shape,
                 .wide_mm = thing->wide_mm,
                 .tall_mm = thing->tall_mm,
                 .deep_mm = thing->deep_mm,
                 .eyes_mm = shape == SHAPE_FIGURE ? thing->eyes_mm : 0,
                 .kind = shape == SHAPE_FIGURE   ? (int)pose_of(thing)
                         : shape == SHAPE_STEPS  ? thing->steps
                         : shape == SHAPE_CUTOUT ? thing->thing->image
                                                 : 0};
    const Made *same = find_made(b, &made);
    if (same) return same;
    if (shape == SHAPE_FIGURE) {
        const FigureSize size = {made.wide_mm, made.tall_mm, made.deep_mm, made.eyes_mm,
                                 (FigurePose)made.kind};
        made.figure = figure_mesh(b->arena, &size);
    } else {
        made.mesh = piece_mesh(b->arena, b->plan, thing);
    }
    LIST_PUSH(b->arena, b->made, made);
    return &b->made.items[b->made.count - 1];
}

/* ---- what a node says of its thing */

static const char *const kinds[ROLE_COUNT] = {
    [ROLE_PUPPET] = "puppet",     [ROLE_PIECE] = "piece",   [ROLE_FLAT] = "flat",
    [ROLE_BACKDROP] = "backdrop", [ROLE_GROUND] = "ground", [ROLE_BASE] = "base"};

/* In millimetres as a number, and as one would say it. */
static void add_length(Builder *b, int node, const char *word, double mm) {
    model_extra_number(b->model, node, arena_format(b->arena, "%s_mm", word), mm);
    model_extra_text(b->model, node, word, length_both(b->arena, b->plan->scene->lengths, mm, 64, 1));
}

static void add_size(Builder *b, int node, const char *word, double mm) {
    if (mm > 0) add_length(b, node, word, mm);
}

static void describe(Builder *b, int node, int index) {
    const PlanThing *thing = &b->plan->things[index];
    Model *model = b->model;
    const bool thin = thing->thing->shape == SHAPE_PANEL || thing->thing->shape == SHAPE_CUTOUT;
    model->nodes.items[node].thing = index;
    model_extra_text(model, node, "name", thing->thing->name);
    model_extra_text(model, node, "kind", kinds[thing->thing->role]);
    if (thing->thing->shot >= 0 && b->plan->shot_count > 1)
        model_extra_text(model, node, "shot", b->plan->shots[thing->thing->shot].name);
    add_size(b, node, "wide", thing->wide_mm);
    add_size(b, node, "tall", thing->tall_mm);
    add_size(b, node, thin ? "thick" : "deep", thing->deep_mm);
    add_size(b, node, "eyes", thing->thing->role == ROLE_PUPPET ? thing->eyes_mm : 0);
    add_length(b, node, "across", thing->at.across_mm);
    add_length(b, node, "back", thing->at.back_mm);
    add_length(b, node, "up", thing->at.up_mm);
    if (thing->turn_rad != 0) model_extra_number(model, node, "turn_left_deg", DEGREES(thing->turn_rad));
    if (thing->row_count > 1) {
        model_extra_number(model, node, "count", thing->row_count);
        add_length(b, node, "every", thing->row_every_mm);
    }
}

static void describe_level(Builder *b, int node, int index, const Trapezoid *outline, double thick_mm) {
    Model *model = b->model;
    model->nodes.items[node].thing = index;
    model_extra_text(model, node, "name", b->plan->things[index].thing->name);
    model_extra_text(model, node, "kind", kinds[b->plan->things[index].thing->role]);
    add_length(b, node, "front_wide", outline->front_right_mm - outline->front_left_mm);
    add_length(b, node, "rear_wide", outline->rear_right_mm - outline->rear_left_mm);
    add_length(b, node, "deep", outline->rear_mm - outline->front_mm);
    add_length(b, node, "thick", thick_mm);
}

/* ---- nodes */

/* Thinner than any stock: so that nothing is drawn without a thickness. */
static const double THINNEST_MM = 0.5;

static void add_levels(Builder *b) {
    const Plan *plan = b->plan;
    const double thick = fmax(plan->ground_thick_mm, THINNEST_MM);
    if (plan->base >= 0) {
        const double base_thick = fmax(plan->base_thick_mm, THINNEST_MM);
        const int node = model_mesh_node(b->model, b->set, MODEL_SET, "base",
                                         slab_mesh(b->arena, &plan->base_outline, -thick, base_thick),
                                         model_material(b->model, "base", BASE_COLOR, false));
        describe_level(b, node, plan->base, &plan->base_outline, base_thick);
    }
    const int node = model_mesh_node(b->model, b->set, MODEL_SET, "ground", ground_mesh(b->arena, plan),
                                     model_material(b->model, "ground", GROUND_COLOR, false));
    describe_level(b, node, plan->ground, &plan->ground_outline, thick);
}

/* Parts of one item, under `node`, in the item's own frame. */
static void add_parts(Builder *b, int node, const char *name, const Made *made, int material) {
    const Figure *figure = &made->figure;
    const int face = model_material(b->model, "face", FACE_COLOR, false);
    const int eyes = model_material(b->model, "eyes", EYES_COLOR, false);
    model_mesh_node(b->model, node, MODEL_STAND_IN, arena_format(b->arena, "%s_body", name), figure->body,
                    material);
    model_mesh_node(b->model, node, MODEL_STAND_IN, arena_format(b->arena, "%s_face", name), figure->face,
                    face);
    model_mesh_node(b->model, node, MODEL_STAND_IN, arena_format(b->arena, "%s_eyes", name), figure->eyes,
                    eyes);
}

/* One thing that stands somewhere: `mesh`, or a figure's parts where that is NULL; the items of a row under
 * it. */
static int add_thing(Builder *b, int parent, int index, const char *name, Mesh *mesh, const Made *made,
                     int material) {
    const PlanThing *thing = &b->plan->things[index];
    const ModelRole role = thing->thing->role == ROLE_PUPPET ? MODEL_STAND_IN : MODEL_SET;
    const bool row = thing->row_count > 1;
    int node = row || !mesh ? model_node(b->model, parent, role, name)
                            : model_mesh_node(b->model, parent, role, name, mesh, material);
    const int whole = node;
    describe(b, whole, index);
    model_place(b->model, whole, thing->at);
    for (int item = 0; item < thing->row_count; item++) {
        if (row) {
            const char *item_name = arena_format(b->arena, "%s_%d", name, item + 1);
            node = mesh ? model_mesh_node(b->model, whole, role, item_name, mesh, material)
                        : model_node(b->model, whole, role, item_name);
            model_place(b->model, node, point(item * thing->row_every_mm, 0, 0));
        }
        model_turn(b->model, node, thing->turn_rad, 0);
        if (!mesh) add_parts(b, node, b->model->nodes.items[node].name, made, material);
    }
    return whole;
}

static void add_backdrop(Builder *b) {
    for (size_t i = 0; i < b->plan->scene->thing_count; i++) {
        if (b->plan->things[i].thing->role != ROLE_BACKDROP) continue;
        add_thing(b, b->set, (int)i, "backdrop", flat_mesh(b, (int)i), NULL,
                  model_material(b->model, "backdrop", BACKDROP_COLOR, false));
    }
}

static bool has_role(const Plan *plan, ThingRole role) {
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        if (plan->things[i].thing->role == role) return true;
    }
    return false;
}

static void add_flats(Builder *b) {
    if (!has_role(b->plan, ROLE_FLAT)) return;
    const int group = model_node(b->model, b->set, MODEL_GROUP, "flats");
    for (size_t i = 0; i < b->plan->scene->thing_count; i++) {
        const PlanThing *flat = &b->plan->things[i];
        if (flat->thing->role != ROLE_FLAT) continue;
        add_thing(b, group, (int)i, flat->thing->name, flat_mesh(b, (int)i), NULL,
                  model_material(b->model, "flat", FLAT_COLOR, false));
    }
}

static void add_pieces(Builder *b) {
    if (!has_role(b->plan, ROLE_PIECE)) return;
    const int group = model_node(b->model, b->set, MODEL_GROUP, "pieces");
    int order = 0;
    for (size_t i = 0; i < b->plan->scene->thing_count; i++) {
        const PlanThing *piece = &b->plan->things[i];
        if (piece->thing->role != ROLE_PIECE) continue;
        const int hue = order++ % PIECE_COLORS;
        add_thing(
            b, group, (int)i, piece->thing->name, make(b, piece)->mesh, NULL,
            model_material(b->model, arena_format(b->arena, "piece_%d", hue + 1), piece_colors[hue], false));
    }
}

/* ---- puppets */

bool set_same_stand(const PlanThing *a, const PlanThing *b) {
    const double apart = point_length(point_less(a->at, b->at));
    return text_equal(a->thing->name, b->thing->name) && apart < 0.5 &&
           fabs(a->turn_rad - b->turn_rad) < 1e-6 && a->tall_mm == b->tall_mm && a->wide_mm == b->wide_mm &&
           a->deep_mm == b->deep_mm && a->row_count == b->row_count && pose_of(a) == pose_of(b);
}

/* The node of the same puppet that stands there already, for an earlier shot; -1: none. */
static int stands_already(const Builder *b, int index) {
    const PlanThing *puppet = &b->plan->things[index];
    if (puppet->thing->shot < 0 || b->plan->shot_count < 2) return -1;
    for (size_t i = 0; i < b->model->nodes.count; i++) {
        const ModelNode *node = &b->model->nodes.items[i];
        if (node->thing < 0 || node->mesh || node->thing == index) continue;
        if (node->role == MODEL_STAND_IN && set_same_stand(&b->plan->things[node->thing], puppet))
            return (int)i;
    }
    return -1;
}

static void add_puppet(Builder *b, int group, int index) {
    const PlanThing *puppet = &b->plan->things[index];
    const int shot = puppet->thing->shot;
    const int already = stands_already(b, index);
    if (already >= 0) {
        model_extra_yes(b->model, already, arena_format(b->arena, "also_in_%s", b->plan->shots[shot].name));
        return;
    }
    const bool in_shot = shot >= 0 && b->plan->shot_count > 1;
    const int hue = (puppet->thing->cast >= 0 ? puppet->thing->cast : index) % PUPPET_COLORS;
    const char *name = puppet->thing->name;
    const int material = shot > 0
                             ? model_material(b->model, arena_format(b->arena, "puppet_%d_later", hue + 1),
                                              paler(puppet_colors[hue]), false)
                             : model_material(b->model, arena_format(b->arena, "puppet_%d", hue + 1),
                                              puppet_colors[hue], false);
    if (in_shot) name = arena_format(b->arena, "%s in %s", name, b->plan->shots[shot].name);
    add_thing(b, group, index, name, NULL, make(b, puppet), material);
}

static void add_puppets_of(Builder *b, int group, int shot) {
    for (size_t i = 0; i < b->plan->scene->thing_count; i++) {
        const Thing *thing = b->plan->things[i].thing;
        if (thing->role == ROLE_PUPPET && thing->shot == shot) add_puppet(b, group, (int)i);
    }
}

static void add_puppets(Builder *b) {
    if (!has_role(b->plan, ROLE_PUPPET)) return;
    const int group = model_node(b->model, b->set, MODEL_GROUP, "puppets");
    add_puppets_of(b, group, -1);
    for (size_t s = 0; s < b->plan->shot_count; s++) {
        const int in = b->plan->shot_count > 1
                           ? model_node(b->model, group, MODEL_GROUP,
                                        arena_format(b->arena, "puppets in %s", b->plan->shots[s].name))
                           : group;
        add_puppets_of(b, in, (int)s);
    }
}

/* ---- cameras */

static void describe_camera(Builder *b, int node, const PlanShot *shot, const PlanCamera *planned,
                            double half_wide_mm, double half_tall_mm) {
    Model *model = b->model;
    const Camera *camera = &planned->camera;
    const Picture *picture = &shot->picture;
    model_extra_text(model, node, "kind", "camera");
    model_extra_text(model, node, "camera", planned->name);
    if (shot->name[0]) model_extra_text(model, node, "shot", shot->name);
    if (planned == shot->cameras) model_extra_yes(model, node, "planned");
    model_extra_number(model, node, "focal_mm", camera->focal_mm);
    add_length(b, node, "across",
               camera->across_mm - shot->mark.across_mm); /* from the shot's own mark, as the report says */
    add_length(b, node, "distance", camera->distance_mm + shot->mark.back_mm);
    add_length(b, node, "height", camera->height_mm);
    model_extra_number(model, node, "tilt_down_deg", DEGREES(camera->tilt_rad));
    model_extra_number(model, node, "focus_mm", camera->object_mm);
    model_extra_number(model, node, "image_distance_mm", camera->image_mm);
    model_extra_number(model, node, "frame_on_sensor_wide_mm", picture->taken_wide_mm);
    model_extra_number(model, node, "frame_on_sensor_tall_mm", picture->taken_tall_mm);
    model_extra_number(model, node, "crop_across_mm", picture->crop_across_mm);
    model_extra_number(model, node, "crop_up_mm", camera->crop_up_mm);
    const double half_w = picture->taken_wide_mm / 2, half_t = picture->taken_tall_mm / 2;
    model_extra_number(model, node, "frame_left", (picture->crop_across_mm - half_w) / half_wide_mm);
    model_extra_number(model, node, "frame_right", (picture->crop_across_mm + half_w) / half_wide_mm);
    model_extra_number(model, node, "frame_foot", (camera->crop_up_mm - half_t) / half_tall_mm);
    model_extra_number(model, node, "frame_top", (camera->crop_up_mm + half_t) / half_tall_mm);
}

/* Rule 6, with the frame's half sizes widened by the crop, since the view is symmetric about the axis. */
static void add_camera(Builder *b, int group, const PlanShot *shot, const PlanCamera *planned) {
    const Camera *camera = &planned->camera;
    const double half_wide = shot->picture.taken_wide_mm / 2 + fabs(shot->picture.crop_across_mm);
    const double half_tall = shot->picture.taken_tall_mm / 2 + fabs(camera->crop_up_mm);
    const int node = model_node(b->model, group, MODEL_CAMERA, planned->id);
    const ModelCamera made = {.name = b->model->nodes.items[node].name,
                              .tall_rad = 2 * atan(half_tall / camera->image_mm),
                              .aspect = half_wide / half_tall,
                              .near_m = camera->object_mm / 50 / 1000};
    LIST_PUSH(b->arena, b->model->cameras, made);
    b->model->nodes.items[node].camera = (int)b->model->cameras.count - 1;
    model_place(b->model, node, point(camera->across_mm, -camera->distance_mm, camera->height_mm));
    model_turn(b->model, node, 0, camera->tilt_rad);
    describe_camera(b, node, shot, planned, half_wide, half_tall);
}

/* They come first: their names stay as the report has them. */
static void add_cameras(Builder *b) {
    const int group = model_node(b->model, b->set, MODEL_GROUP, "cameras");
    for (size_t s = 0; s < b->plan->shot_count; s++) {
        const PlanShot *shot = &b->plan->shots[s];
        for (size_t c = 0; c < shot->camera_count; c++)
            add_camera(b, group, shot, &shot->cameras[c]);
    }
}

/* Twice as far as anything is from anything: notes stand about the set, too. */
static void set_far_planes(Model *model) {
    Point3 low, high;
    if (!model_bounds(model, &low, &high)) return;
    const double far_m = number_round_up(2 * point_length(point_less(high, low)) / 1000, 0.5);
    for (size_t i = 0; i < model->cameras.count; i++)
        model->cameras.items[i].far_m = fmax(far_m, 2 * model->cameras.items[i].near_m);
}

Model *plan_to_set(Arena *arena, const Plan *plan) {
    Builder b = {.arena = arena, .plan = plan, .model = model_new(arena, plan->scene->name)};
    model_extra_text(b.model, -1, "title", plan->scene->title ? plan->scene->title : "");
    model_extra_text(b.model, -1, "units",
                     "metres; X across, Y up, Z towards the camera; the mark is the origin");
    b.set = model_node(b.model, -1, MODEL_GROUP, "set");
    add_length(&b, b.set, "build_wide", plan->build_wide_mm);
    add_length(&b, b.set, "build_deep", plan->build_deep_mm);
    add_length(&b, b.set, "build_tall", plan->build_tall_mm);
    add_cameras(&b);
    add_levels(&b);
    add_backdrop(&b);
    add_flats(&b);
    add_pieces(&b);
    add_puppets(&b);
    set_far_planes(b.model);
    return b.model;
}
