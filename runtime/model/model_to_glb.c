#include "model/model_to_glb.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

/* Numbers of glTF 2.0 (GL's own). */
enum {
    TYPE_SHORT = 5123,
    TYPE_INT = 5125,
    TYPE_FLOAT = 5126,
    TARGET_VERTICES = 34962,
    TARGET_INDICES = 34963
};
enum { FILTER_LINEAR = 9729, FILTER_LINEAR_MIPMAP = 9987, WRAP_CLAMP = 33071 };

/* Vertices lie interleaved, plain and textured ones apart; indices by their size. One buffer view each, then
 * one for each image. */
typedef enum View { VIEW_PLAIN, VIEW_TEXTURED, VIEW_SHORT, VIEW_INT, VIEW_COUNT } View;

typedef struct WrittenMesh {
    const Mesh *mesh;
    int at, normal, uv, indices; /* accessors; uv -1: none */
} WrittenMesh;

/* A glTF mesh: a mesh of ours in a material. */
typedef struct WrittenPair {
    const Mesh *mesh;
    int material;
} WrittenPair;

typedef struct Writer {
    Arena *arena;
    const Model *model;
    size_t view_bytes[VIEW_COUNT];
    LIST(WrittenMesh) meshes;
    LIST(WrittenPair) pairs;
    json_t *root;
    bool failed; /* jansson had no memory, or a text was no UTF-8 or a number not finite */
} Writer;

/* ---- JSON; every value goes through these two, so that none gets lost unseen */

static void put(Writer *writer, json_t *object, const char *key, json_t *value) {
    if (json_object_set_new(object, key, value) != 0) writer->failed = true;
}

static void append(Writer *writer, json_t *list, json_t *value) {
    if (json_array_append_new(list, value) != 0) writer->failed = true;
}

/* A list under a key, made when it is first asked for. */
static json_t *list_in(Writer *writer, json_t *object, const char *key) {
    if (!json_object_get(object, key)) put(writer, object, key, json_array());
    return json_object_get(object, key);
}

static json_t *list_of(Writer *writer, const char *key) {
    return list_in(writer, writer->root, key);
}

static json_t *whole(size_t number) {
    return json_integer((json_int_t)number);
}

static json_t *numbers(Writer *writer, const float *values, size_t count) {
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++)
        append(writer, list, json_real((double)values[i]));
    return list;
}

/* ---- geometry */

static bool is_short(const Mesh *mesh) {
    return mesh->vertices.count <= 65534; /* 65535 ends a strip in GL and may be no index */
}

static View vertex_view(const Mesh *mesh) {
    return mesh->textured ? VIEW_TEXTURED : VIEW_PLAIN;
}

static View index_view(const Mesh *mesh) {
    return is_short(mesh) ? VIEW_SHORT : VIEW_INT;
}

static size_t stride_of(View view) {
    static const size_t strides[VIEW_COUNT] = {6 * sizeof(float), 8 * sizeof(float), sizeof(uint16_t),
                                               sizeof(uint32_t)};
    return strides[view];
}

/* The accessor's `bufferView` is a View until it is known which ones there are. */
static int add_accessor(Writer *writer, View view, size_t offset, int type, size_t count, const char *shape) {
    json_t *list = list_of(writer, "accessors"), *accessor = json_object();
    put(writer, accessor, "bufferView", json_integer(view));
    if (offset > 0) put(writer, accessor, "byteOffset", whole(offset));
    put(writer, accessor, "componentType", json_integer(type));
    put(writer, accessor, "count", whole(count));
    put(writer, accessor, "type", json_string(shape));
    append(writer, list, accessor);
    return (int)json_array_size(list) - 1;
}

static void add_range(Writer *writer, int accessor, const Mesh *mesh) {
    float low[3], high[3];
    json_t *object = json_array_get(list_of(writer, "accessors"), (size_t)accessor);
    mesh_bounds(mesh, low, high);
    put(writer, object, "min", numbers(writer, low, 3));
    put(writer, object, "max", numbers(writer, high, 3));
}

static WrittenMesh write_mesh(Writer *writer, const Mesh *mesh) {
    const View vertices = vertex_view(mesh), indices = index_view(mesh);
    const size_t from = writer->view_bytes[vertices], count = mesh->vertices.count;
    WrittenMesh written = {.mesh = mesh, .uv = -1};
    written.at = add_accessor(writer, vertices, from, TYPE_FLOAT, count, "VEC3");
    add_range(writer, written.at, mesh);
    written.normal = add_accessor(writer, vertices, from + 3 * sizeof(float), TYPE_FLOAT, count, "VEC3");
    if (mesh->textured)
        written.uv = add_accessor(writer, vertices, from + 6 * sizeof(float), TYPE_FLOAT, count, "VEC2");
    written.indices =
        add_accessor(writer, indices, writer->view_bytes[indices],
                     indices == VIEW_INT ? TYPE_INT : TYPE_SHORT, mesh->indices.count, "SCALAR");
    writer->view_bytes[vertices] += count * stride_of(vertices);
    writer->view_bytes[indices] += mesh->indices.count * stride_of(indices);
    return written;
}

/* Things of the same size share a mesh, and their nodes follow one another closely: a short look back finds
 * it. */
enum { LOOK_BACK = 256 };

static WrittenMesh written_mesh(Writer *writer, const Mesh *mesh) {
    const size_t count = writer->meshes.count, oldest = count > LOOK_BACK ? count - LOOK_BACK : 0;
    for (size_t i = count; i > oldest; i--) {
        if (writer->meshes.items[i - 1].mesh == mesh) return writer->meshes.items[i - 1];
    }
    const WrittenMesh written = write_mesh(writer, mesh);
    LIST_PUSH(writer->arena, writer->meshes, written);
    return written;
}

static int written_pair(Writer *writer, const ModelNode *node) {
    const size_t count = writer->pairs.count, oldest = count > LOOK_BACK ? count - LOOK_BACK : 0;
    for (size_t i = count; i > oldest; i--) {
        const WrittenPair *pair = &writer->pairs.items[i - 1];
        if (pair->mesh == node->mesh && pair->material == node->material) return (int)i - 1;
    }
    const WrittenMesh mesh = written_mesh(writer, node->mesh);
    json_t *attributes = json_pack("{s:i, s:i}", "POSITION", mesh.at, "NORMAL", mesh.normal);
    if (mesh.uv >= 0) put(writer, attributes, "TEXCOORD_0", json_integer(mesh.uv));
    append(writer, list_of(writer, "meshes"),
           json_pack("{s:s, s:[{s:o, s:i, s:i}]}", "name", node->name, "primitives", "attributes", attributes,
                     "indices", mesh.indices, "material", node->material));
    LIST_PUSH(writer->arena, writer->pairs, (WrittenPair){node->mesh, node->material});
    return (int)count;
}

/* ---- nodes */

/* Whole numbers as such: `508` and not `508.0`. To a millionth. */
static json_t *plain_number(double number) {
    const double rounded = nearbyint(number * 1e6) / 1e6;
    if (fabs(rounded) < 1e15 && rounded == nearbyint(rounded)) return json_integer((json_int_t)rounded);
    return json_real(rounded);
}

static json_t *extras_of(Writer *writer, const ModelExtras *extras) {
    json_t *object = json_object();
    for (size_t i = 0; i < extras->count; i++) {
        const ModelExtra *extra = &extras->items[i];
        put(writer, object, extra->key,
            extra->kind == EXTRA_TEXT     ? json_string(extra->text)
            : extra->kind == EXTRA_NUMBER ? plain_number(extra->number)
                                          : json_true());
    }
    return object;
}

static json_t *node_object(Writer *writer, const ModelNode *node) {
    json_t *object = json_pack("{s:s}", "name", node->name);
    const float *p = node->place, *t = node->turn;
    if (p[0] != 0 || p[1] != 0 || p[2] != 0) put(writer, object, "translation", numbers(writer, p, 3));
    if (t[0] != 0 || t[1] != 0 || t[2] != 0) put(writer, object, "rotation", numbers(writer, t, 4));
    if (node->mesh) put(writer, object, "mesh", json_integer(written_pair(writer, node)));
    if (node->camera >= 0) put(writer, object, "camera", json_integer(node->camera));
    if (node->extras.count > 0) put(writer, object, "extras", extras_of(writer, &node->extras));
    return object;
}

static void write_nodes(Writer *writer) {
    const Model *model = writer->model;
    json_t *nodes = list_of(writer, "nodes"), *scene = json_pack("{s:s}", "name", model->name);
    for (size_t i = 0; i < model->nodes.count; i++) {
        const ModelNode *node = &model->nodes.items[i];
        append(writer, nodes, node_object(writer, node));
        if (node->parent >= 0)
            append(writer, list_in(writer, json_array_get(nodes, (size_t)node->parent), "children"),
                   whole(i));
        else
            append(writer, list_in(writer, scene, "nodes"), whole(i));
    }
    if (model->extras.count > 0) put(writer, scene, "extras", extras_of(writer, &model->extras));
    append(writer, list_of(writer, "scenes"), scene);
}

/* ---- cameras, materials, images */

static void write_cameras(Writer *writer) {
    for (size_t i = 0; i < writer->model->cameras.count; i++) {
        const ModelCamera *camera = &writer->model->cameras.items[i];
        append(writer, list_of(writer, "cameras"),
               json_pack("{s:s, s:s, s:{s:f, s:f, s:f, s:f}}", "name", camera->name, "type", "perspective",
                         "perspective", "yfov", camera->tall_rad, "aspectRatio", camera->aspect, "znear",
                         camera->near_m, "zfar", camera->far_m));
    }
}

static json_t *material_object(Writer *writer, const ModelMaterial *material) {
    json_t *object = json_pack("{s:s, s:{s:o, s:i, s:f}}", "name", material->name, "pbrMetallicRoughness",
                               "baseColorFactor", numbers(writer, material->color, 3), "metallicFactor", 0,
                               "roughnessFactor", nearbyint((double)material->rough * 1000) / 1000);
    json_t *surface = json_object_get(object, "pbrMetallicRoughness");
    append(writer, json_object_get(surface, "baseColorFactor"), json_integer(1));
    if (material->image >= 0) {
        put(writer, surface, "baseColorTexture", json_pack("{s:i}", "index", material->image));
        put(writer, object, "emissiveTexture", json_pack("{s:i}", "index", material->image));
        put(writer, object, "emissiveFactor", json_pack("[f,f,f]", 0.5, 0.5, 0.5));
    }
    if (material->unlit) put(writer, object, "extensions", json_pack("{s:{}}", "KHR_materials_unlit"));
    return object;
}

static void write_materials(Writer *writer) {
    bool unlit = false;
    for (size_t i = 0; i < writer->model->materials.count; i++) {
        append(writer, list_of(writer, "materials"),
               material_object(writer, &writer->model->materials.items[i]));
        unlit |= writer->model->materials.items[i].unlit;
    }
    if (unlit) put(writer, writer->root, "extensionsUsed", json_pack("[s]", "KHR_materials_unlit"));
}

static void write_images(Writer *writer, size_t first_view) {
    const Model *model = writer->model;
    if (model->images.count == 0) return;
    append(writer, list_of(writer, "samplers"),
           json_pack("{s:i, s:i, s:i, s:i}", "magFilter", FILTER_LINEAR, "minFilter", FILTER_LINEAR_MIPMAP,
                     "wrapS", WRAP_CLAMP, "wrapT", WRAP_CLAMP));
    for (size_t i = 0; i < model->images.count; i++) {
        const ModelImage *image = &model->images.items[i];
        append(writer, list_of(writer, "images"),
               json_pack("{s:s, s:s, s:o}", "name", image->name, "mimeType", image->mime, "bufferView",
                         whole(first_view + i)));
        append(writer, list_of(writer, "textures"),
               json_pack("{s:i, s:o}", "sampler", 0, "source", whole(i)));
    }
}

/* ---- the file */

static size_t padded(size_t bytes) {
    return (bytes + 3) / 4 * 4;
}

static void add_view(Writer *writer, size_t *end, size_t count, View view) {
    json_t *object = json_object();
    put(writer, object, "buffer", json_integer(0));
    if (*end > 0) put(writer, object, "byteOffset", whole(*end));
    put(writer, object, "byteLength", whole(count));
    if (view == VIEW_PLAIN || view == VIEW_TEXTURED)
        put(writer, object, "byteStride", whole(stride_of(view)));
    if (view < VIEW_COUNT)
        put(writer, object, "target",
            json_integer(view == VIEW_SHORT || view == VIEW_INT ? TARGET_INDICES : TARGET_VERTICES));
    append(writer, list_of(writer, "bufferViews"), object);
    *end += padded(count);
}

/* Views lie one behind the other, each from a multiple of 4. Returns the length of all of them. */
static size_t write_views(Writer *writer) {
    size_t end = 0, used = 0;
    int index[VIEW_COUNT] = {0};
    for (int view = 0; view < VIEW_COUNT; view++) {
        if (writer->view_bytes[view] == 0) continue;
        index[view] = (int)used++;
        add_view(writer, &end, writer->view_bytes[view], (View)view);
    }
    for (size_t i = 0; i < writer->model->images.count; i++)
        add_view(writer, &end, writer->model->images.items[i].count, VIEW_COUNT);
    write_images(writer, used);
    json_t *accessors = json_object_get(writer->root, "accessors");
    for (size_t i = 0; i < json_array_size(accessors); i++) {
        json_t *view = json_object_get(json_array_get(accessors, i), "bufferView");
        json_integer_set(view, index[json_integer_value(view)]);
    }
    if (end > 0) append(writer, list_of(writer, "buffers"), json_pack("{s:o}", "byteLength", whole(end)));
    return end;
}

static void add_padding(Buffer *out, size_t count, char with) {
    for (; count % 4 != 0; count++)
        buffer_add_char(out, with);
}

static void add_vertices(Buffer *out, const Mesh *mesh) {
    const size_t stride = stride_of(vertex_view(mesh));
    for (size_t i = 0; i < mesh->vertices.count; i++) /* (u, v) is the vertex's last part */
        buffer_add_bytes(out, &mesh->vertices.items[i], stride);
}

static void add_indices(Writer *writer, Buffer *out, const Mesh *mesh) {
    const size_t count = mesh->indices.count;
    if (!is_short(mesh)) {
        buffer_add_bytes(out, mesh->indices.items, count * sizeof(uint32_t));
        return;
    }
    uint16_t *small = ARENA_ARRAY(writer->arena, uint16_t, count);
    for (size_t i = 0; i < count; i++)
        small[i] = (uint16_t)mesh->indices.items[i];
    buffer_add_bytes(out, small, count * sizeof *small);
}

static void add_views(Writer *writer, Buffer *out) {
    for (int view = 0; view < VIEW_COUNT; view++) {
        for (size_t i = 0; i < writer->meshes.count; i++) {
            const Mesh *mesh = writer->meshes.items[i].mesh;
            if (vertex_view(mesh) == (View)view) add_vertices(out, mesh);
            if (index_view(mesh) == (View)view) add_indices(writer, out, mesh);
        }
        add_padding(out, writer->view_bytes[view], 0);
    }
    for (size_t i = 0; i < writer->model->images.count; i++) {
        const ModelImage *image = &writer->model->images.items[i];
        buffer_add_bytes(out, image->bytes, image->count);
        add_padding(out, image->count, 0);
    }
}

static void add_word(Buffer *out, size_t value) {
    for (int shift = 0; shift < 32; shift += 8)
        buffer_add_char(out, (char)(value >> shift & 255));
}

static void add_chunk_head(Buffer *out, size_t count, const char *kind) {
    add_word(out, count);
    buffer_add_bytes(out, kind, 4);
}

static int add_text(const char *bytes, size_t count, void *buffer) {
    buffer_add_bytes(buffer, bytes, count);
    return 0;
}

static bool put_together(Writer *writer, size_t binary, Buffer *glb) {
    Buffer text = buffer_new(writer->arena);
    const size_t flags = JSON_COMPACT | JSON_REAL_PRECISION(9);
    if (writer->failed || json_dump_callback(writer->root, add_text, &text, flags) != 0) return false;
    add_padding(&text, text.count, ' ');
    const size_t total = 12 + 8 + text.count + (binary > 0 ? 8 + binary : 0);
    if (total > UINT32_MAX) return false;
    if (!glb->bytes) { /* as large as the file, at once */
        glb->bytes = arena_alloc(glb->arena, total + 1);
        glb->capacity = total + 1;
    }
    buffer_add_bytes(glb, "glTF", 4);
    add_word(glb, 2);
    add_word(glb, total);
    add_chunk_head(glb, text.count, "JSON");
    buffer_add_bytes(glb, text.bytes, text.count);
    if (binary == 0) return true;
    add_chunk_head(glb, binary, "BIN\0");
    add_views(writer, glb);
    return true;
}

bool model_to_glb(Arena *arena, const Model *model, Buffer *glb) {
    Writer writer = {.arena = arena, .model = model};
    writer.root =
        json_pack("{s:{s:s, s:s}, s:i}", "asset", "version", "2.0", "generator", "groundrow", "scene", 0);
    if (!writer.root) return false;
    write_nodes(&writer);
    write_cameras(&writer);
    write_materials(&writer);
    const size_t binary = write_views(&writer);
    const bool done = put_together(&writer, binary, glb);
    json_decref(writer.root);
    return done;
}
