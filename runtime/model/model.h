/* A scene graph: what a set and its notes look like, for writers. Every node knows the thing it shows and its
 * role. Frame and units are glTF's: metres, X = across, Y = up, Z = -back; a node's place and turn are
 * against its parent. Names are `[A-Za-z0-9_-]` and unique in the model. Everything belongs to the model's
 * arena. */
#ifndef GROUNDROW_MODEL_H
#define GROUNDROW_MODEL_H

#include "model/mesh.h"

typedef enum ModelRole {
    MODEL_GROUP,
    MODEL_SET,      /* what is built */
    MODEL_STAND_IN, /* for a puppet */
    MODEL_CAMERA,
    MODEL_NOTE /* notes: lines, cards, the drawing */
} ModelRole;

typedef struct ModelImage {
    const char *name;
    const char *mime; /* `image/png`, `image/jpeg` */
    const unsigned char *bytes;
    size_t count;
} ModelImage;

typedef struct ModelMaterial {
    const char *name;
    float color[3]; /* linear light */
    float rough;
    bool unlit;
    int image; /* index, as base colour and, at half strength, as light of its own; -1: none */
} ModelMaterial;

/* A pinhole without shift; it looks along its own -Z. */
typedef struct ModelCamera {
    const char *name;
    double tall_rad; /* full angle */
    double aspect;
    double near_m, far_m;
} ModelCamera;

typedef enum ExtraKind { EXTRA_NUMBER, EXTRA_TEXT, EXTRA_YES } ExtraKind;

/* What a node says of itself, for whoever selects it in a viewer. Flat: no lists, no objects. */
typedef struct ModelExtra {
    const char *key;
    ExtraKind kind;
    double number;
    const char *text;
} ModelExtra;

typedef LIST(ModelExtra) ModelExtras;

typedef struct ModelNode {
    const char *name;
    ModelRole role;
    int thing;        /* index into the plan's things, or -1 */
    int parent;       /* index, before this node; -1: a root */
    const Mesh *mesh; /* or NULL */
    int material;     /* of the mesh */
    int camera;       /* index, or -1 */
    float place[3];   /* m */
    float turn[4];    /* unit quaternion, x y z w */
    ModelExtras extras;
} ModelNode;

typedef struct Model {
    Arena *arena;
    const char *name;
    LIST(ModelNode) nodes;
    LIST(ModelMaterial) materials;
    LIST(ModelCamera) cameras;
    LIST(ModelImage) images;
    const char **names; /* of nodes: open addressing, for uniqueness */
    size_t name_places;
    ModelExtras extras; /* of the whole */
} Model;

Model *model_new(Arena *arena, const char *name);

/* A node without mesh or camera, at its parent's place. Its name is made plain, and unique by a number behind
 * it. A note says so in its extras. Returns its index. */
int model_node(Model *model, int parent, ModelRole role, const char *name);
int model_mesh_node(Model *model, int parent, ModelRole role, const char *name, const Mesh *mesh,
                    int material);
/* A solid colour, written `0xD9772B` as on a screen (sRGB). The same one again is the same material. */
int model_material(Model *model, const char *name, uint32_t color, bool unlit);

void model_place(Model *model, int node, Point3 at_mm);
/* Turns a node: first leaned by `lean_rad` (its top goes away from its front, +Z), then turned to the left
 * (clockwise seen from above). A camera that looks down by an angle leans by it. */
void model_turn(Model *model, int node, double left_rad, double lean_rad);

void model_extra_number(Model *model, int node, const char *key, double number);
void model_extra_text(Model *model, int node, const char *key, const char *text);
void model_extra_yes(Model *model, int node, const char *key);

/* What everything spans, in millimetres of the set (cameras are points). False for an empty model. */
bool model_bounds(const Model *model, Point3 *low, Point3 *high);
size_t model_triangles(const Model *model);
/* A node's mesh where it stands, vertex by vertex: in millimetres of the set, normals of length 1 in its
 * frame (across, back, up). Both as many as the mesh has vertices; `normals` may be NULL. */
void model_placed(const Model *model, int node, Point3 *points, Point3 *normals);

#endif
