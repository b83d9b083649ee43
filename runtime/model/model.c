#include "model/model.h"

#include "base/text.h"
#include "model/latin.h"
#include "optics/space.h"

#include <assert.h>
#include <cglm/cglm.h>

Model *model_new(Arena *arena, const char *name) {
    Model *model = ARENA_NEW(arena, Model);
    model->arena = arena;
    model->name = name;
    return model;
}

/* ---- names */

static size_t hash_of(const char *name) { /* FNV-1a */
    uint64_t hash = 14695981039346656037u;
    for (; *name; name++)
        hash = (hash ^ (unsigned char)*name) * 1099511628211u;
    return (size_t)hash;
}

/* Where a name is, or would be. */
static const char **place_of_name(const char **names, size_t places, const char *name) {
    size_t at = hash_of(name) & (places - 1);
    while (names[at] && !text_equal(names[at], name))
        at = (at + 1) & (places - 1);
    return &names[at];
}

static void grow_names(Model *model) {
    const size_t places = model->name_places > 0 ? 4 * model->name_places : 256;
    const char **names = ARENA_ARRAY(model->arena, const char *, places);
    for (size_t i = 0; i < model->name_places; i++) {
        if (model->names[i]) *place_of_name(names, places, model->names[i]) = model->names[i];
    }
    model->names = names;
    model->name_places = places;
}

static const char *unique_name(Model *model, const char *name) {
    const char *plain = latin_plain_name(model->arena, name), *unique = plain;
    if (2 * (model->nodes.count + 1) > model->name_places) grow_names(model);
    for (int i = 2; *place_of_name(model->names, model->name_places, unique); i++)
        unique = arena_format(model->arena, "%s_%d", plain, i);
    *place_of_name(model->names, model->name_places, unique) = unique;
    return unique;
}

/* ---- nodes */

int model_node(Model *model, int parent, ModelRole role, const char *name) {
    assert(parent < (int)model->nodes.count);
    const char *unique = unique_name(model, name);
    LIST_PUSH(model->arena, model->nodes,
              (ModelNode){.name = unique,
                          .role = role,
                          .thing = parent >= 0 ? model->nodes.items[parent].thing : -1,
                          .parent = parent,
                          .camera = -1,
                          .turn = {0, 0, 0, 1}});
    const int node = (int)model->nodes.count - 1;
    if (role == MODEL_NOTE) model_extra_yes(model, node, "note");
    return node;
}

int model_mesh_node(Model *model, int parent, ModelRole role, const char *name, const Mesh *mesh,
                    int material) {
    const int node = model_node(model, parent, role, name);
    if (mesh->indices.count > 0) model->nodes.items[node].mesh = mesh;
    model->nodes.items[node].material = material;
    return node;
}

void model_place(Model *model, int node, Point3 at_mm) {
    float *place = model->nodes.items[node].place;
    place[0] = (float)(at_mm.across_mm / 1000);
    place[1] = (float)(at_mm.up_mm / 1000);
    place[2] = (float)(0 - at_mm.back_mm / 1000); /* no -0 */
}

void model_turn(Model *model, int node, double left_rad, double lean_rad) {
    versor turn, lean, both;
    glm_quatv(turn, (float)-left_rad, (vec3){0, 1, 0});
    glm_quatv(lean, (float)-lean_rad, (vec3){1, 0, 0});
    glm_quat_mul(turn, lean, both);
    glm_quat_normalize(both);
    for (int k = 0; k < 4; k++)
        model->nodes.items[node].turn[k] = both[k];
}

/* ---- materials */

static float linear(uint32_t level) { /* sRGB, IEC 61966-2-1 */
    const double share = level / 255.0;
    return (float)(share <= 0.04045 ? share / 12.92 : pow((share + 0.055) / 1.055, 2.4));
}

int model_material(Model *model, const char *name, uint32_t color, bool unlit) {
    const float linear_color[3] = {linear(color >> 16 & 255), linear(color >> 8 & 255), linear(color & 255)};
    for (size_t i = 0; i < model->materials.count; i++) {
        const ModelMaterial *is = &model->materials.items[i];
        if (is->unlit == unlit && is->image < 0 && text_equal(is->name, name)) return (int)i;
    }
    LIST_PUSH(model->arena, model->materials,
              (ModelMaterial){.name = name,
                              .color = {linear_color[0], linear_color[1], linear_color[2]},
                              .rough = 0.9f,
                              .unlit = unlit,
                              .image = -1});
    return (int)model->materials.count - 1;
}

/* ---- extras */

static void add_extra(Model *model, int node, ModelExtra extra) {
    ModelExtras *extras = node >= 0 ? &model->nodes.items[node].extras : &model->extras;
    LIST_PUSH(model->arena, *extras, extra);
}

void model_extra_number(Model *model, int node, const char *key, double number) {
    assert(isfinite(number));
    add_extra(model, node, (ModelExtra){.key = key, .kind = EXTRA_NUMBER, .number = number});
}

void model_extra_text(Model *model, int node, const char *key, const char *text) {
    add_extra(model, node, (ModelExtra){.key = key, .kind = EXTRA_TEXT, .text = text});
}

void model_extra_yes(Model *model, int node, const char *key) {
    add_extra(model, node, (ModelExtra){.key = key, .kind = EXTRA_YES});
}

/* ---- measures */

typedef struct Span3 {
    float low[3], high[3];
    bool any;
} Span3;

static void include(Span3 *span, const float at[3]) {
    for (int k = 0; k < 3; k++) {
        if (!span->any || at[k] < span->low[k]) span->low[k] = at[k];
        if (!span->any || at[k] > span->high[k]) span->high[k] = at[k];
    }
    span->any = true;
}

/* Where a node is in the whole model. */
typedef struct World {
    float turn[4], place[3];
} World;

static void rotate(const float turn[4], const float at[3], vec3 to) {
    versor q = {turn[0], turn[1], turn[2], turn[3]};
    vec3 v = {at[0], at[1], at[2]};
    glm_quat_rotatev(q, v, to);
}

static World world_of(const ModelNode *node, const World *parent) {
    World world;
    versor outer = {parent->turn[0], parent->turn[1], parent->turn[2], parent->turn[3]}, both;
    versor inner = {node->turn[0], node->turn[1], node->turn[2], node->turn[3]};
    vec3 moved;
    glm_quat_mul(outer, inner, both);
    rotate(parent->turn, node->place, moved);
    for (int k = 0; k < 4; k++)
        world.turn[k] = both[k];
    for (int k = 0; k < 3; k++)
        world.place[k] = parent->place[k] + moved[k];
    return world;
}

static World *worlds_of(const Model *model) {
    static const World nowhere = {.turn = {0, 0, 0, 1}};
    World *worlds = ARENA_ARRAY(model->arena, World, model->nodes.count + 1);
    for (size_t i = 0; i < model->nodes.count; i++) {
        const ModelNode *node = &model->nodes.items[i];
        worlds[i] = world_of(node, node->parent >= 0 ? &worlds[node->parent] : &nowhere);
    }
    return worlds;
}

/* The corners of a turned mesh's box may reach past it: what is asked for is where there is room. */
static void include_mesh(Span3 *span, const Mesh *mesh, const World *world) {
    float low[3], high[3];
    mesh_bounds(mesh, low, high);
    for (int i = 0; i < 8; i++) {
        const float corner[3] = {i & 1 ? high[0] : low[0], i & 2 ? high[1] : low[1],
                                 i & 4 ? high[2] : low[2]};
        vec3 at;
        rotate(world->turn, corner, at);
        for (int k = 0; k < 3; k++)
            at[k] += world->place[k];
        include(span, at);
    }
}

bool model_bounds(const Model *model, Point3 *low, Point3 *high) {
    Span3 span = {0};
    const World *worlds = worlds_of(model);
    for (size_t i = 0; i < model->nodes.count; i++) {
        const ModelNode *node = &model->nodes.items[i];
        if (node->mesh) include_mesh(&span, node->mesh, &worlds[i]);
        if (node->camera >= 0) include(&span, worlds[i].place);
    }
    *low = point(span.low[0] * 1000.0, -span.high[2] * 1000.0, span.low[1] * 1000.0);
    *high = point(span.high[0] * 1000.0, -span.low[2] * 1000.0, span.high[1] * 1000.0);
    return span.any;
}

static Point3 in_set(const float at[3], double unit) {
    return point(at[0] * unit, -at[2] * unit, at[1] * unit);
}

static World world_at(const Model *model, int node) {
    static const World nowhere = {.turn = {0, 0, 0, 1}};
    if (node < 0) return nowhere;
    const World parent = world_at(model, model->nodes.items[node].parent);
    return world_of(&model->nodes.items[node], &parent);
}

void model_placed(const Model *model, int node, Point3 *points, Point3 *normals) {
    const World world = world_at(model, node);
    const Mesh *mesh = model->nodes.items[node].mesh;
    for (size_t i = 0; mesh && i < mesh->vertices.count; i++) {
        vec3 at;
        rotate(world.turn, mesh->vertices.items[i].at, at);
        for (int k = 0; k < 3; k++)
            at[k] += world.place[k];
        points[i] = in_set(at, 1000.0);
        if (!normals) continue;
        rotate(world.turn, mesh->vertices.items[i].normal, at);
        normals[i] = in_set(at, 1);
    }
}

size_t model_triangles(const Model *model) {
    size_t count = 0;
    for (size_t i = 0; i < model->nodes.count; i++)
        count += model->nodes.items[i].mesh ? model->nodes.items[i].mesh->indices.count / 3 : 0;
    return count;
}
