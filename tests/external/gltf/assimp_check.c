/* Assimp reads every model back with the same nodes, meshes, triangles and bounds as its own JSON and bytes
 * say. What is compared with is read here with jansson and nothing of the program's.
 *
 * usage: assimp_check FILE.glb...
 *
 * Assimp 5.2.5 puts a node `ROOT` over several roots and makes a mesh of each primitive. */
#include <assimp/cimport.h>
#include <assimp/scene.h>
#include <jansson.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAMES_MOST = 4096 };

typedef struct Seen {
    const char *names[NAMES_MOST]; /* of nodes, as they come */
    size_t nodes, meshes, placed;  /* placed: meshes by the nodes that show them */
    size_t triangles;              /* placed */
    double low[3], high[3];
} Seen;

static void include(Seen *seen, const double at[3]) {
    for (int k = 0; k < 3; k++) {
        seen->low[k] = fmin(seen->low[k], at[k]);
        seen->high[k] = fmax(seen->high[k], at[k]);
    }
}

static Seen nothing(void) {
    return (Seen){.low = {INFINITY, INFINITY, INFINITY}, .high = {-INFINITY, -INFINITY, -INFINITY}};
}

/* ---- by Assimp */

typedef struct Matrix {
    double m[3][4];
} Matrix;

static Matrix times(const Matrix *a, const Matrix *b) {
    Matrix c;
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 4; j++) {
            c.m[i][j] = j == 3 ? a->m[i][3] : 0;
            for (int k = 0; k < 3; k++)
                c.m[i][j] += a->m[i][k] * b->m[k][j];
        }
    }
    return c;
}

static void moved(const Matrix *world, const double at[3], double to[3]) {
    for (int i = 0; i < 3; i++)
        to[i] = world->m[i][0] * at[0] + world->m[i][1] * at[1] + world->m[i][2] * at[2] + world->m[i][3];
}

static void walk_assimp(const struct aiScene *scene, const struct aiNode *node, const Matrix *parent,
                        Seen *seen) {
    const struct aiMatrix4x4 *t = &node->mTransformation;
    const Matrix own = {{{(double)t->a1, (double)t->a2, (double)t->a3, (double)t->a4},
                         {(double)t->b1, (double)t->b2, (double)t->b3, (double)t->b4},
                         {(double)t->c1, (double)t->c2, (double)t->c3, (double)t->c4}}};
    const Matrix world = times(parent, &own);
    if (seen->nodes < NAMES_MOST && strcmp(node->mName.data, "ROOT") != 0)
        seen->names[seen->nodes++] = node->mName.data;
    for (unsigned i = 0; i < node->mNumMeshes; i++) {
        const struct aiMesh *mesh = scene->mMeshes[node->mMeshes[i]];
        seen->placed++;
        seen->triangles += mesh->mNumFaces;
        for (unsigned f = 0; f < mesh->mNumFaces; f++) {
            if (mesh->mFaces[f].mNumIndices != 3) seen->triangles += 1000000; /* no triangle: show it */
        }
        for (unsigned v = 0; v < mesh->mNumVertices; v++) {
            const struct aiVector3D *p = &mesh->mVertices[v];
            double at[3];
            moved(&world, (const double[3]){(double)p->x, (double)p->y, (double)p->z}, at);
            include(seen, at);
        }
    }
    for (unsigned i = 0; i < node->mNumChildren; i++)
        walk_assimp(scene, node->mChildren[i], &world, seen);
}

/* ---- by the file itself */

typedef struct File {
    unsigned char *bytes;
    size_t count;
    json_t *root;
    const unsigned char *binary;
} File;

static uint32_t word_at(const unsigned char *b) {
    return (uint32_t)b[0] | (uint32_t)b[1] << 8 | (uint32_t)b[2] << 16 | (uint32_t)b[3] << 24;
}

static bool read_file(const char *path, File *file) {
    FILE *stream = fopen(path, "rb");
    if (!stream || fseek(stream, 0, SEEK_END) != 0) return false;
    file->count = (size_t)ftell(stream);
    rewind(stream);
    file->bytes = malloc(file->count + 1);
    const bool whole = file->bytes && fread(file->bytes, 1, file->count, stream) == file->count;
    fclose(stream);
    if (!whole || file->count < 28) return false;
    const uint32_t text = word_at(file->bytes + 12);
    file->root = json_loadb((const char *)file->bytes + 20, text, 0, NULL);
    file->binary = file->bytes + 20 + text + 8;
    return file->root != NULL;
}

static json_t *item(const json_t *root, const char *list, json_int_t index) {
    return json_array_get(json_object_get(root, list), (size_t)index);
}

static json_int_t whole_of(const json_t *object, const char *key) {
    return json_integer_value(json_object_get(object, key));
}

static void include_positions(const File *file, const json_t *accessor, const Matrix *world, Seen *seen) {
    const json_t *view = item(file->root, "bufferViews", whole_of(accessor, "bufferView"));
    const unsigned char *from =
        file->binary + whole_of(view, "byteOffset") + whole_of(accessor, "byteOffset");
    const json_int_t stride = whole_of(view, "byteStride"), count = whole_of(accessor, "count");
    for (json_int_t v = 0; v < count; v++) {
        float raw[3];
        double at[3];
        memcpy(raw, from + v * stride, sizeof raw);
        moved(world, (const double[3]){(double)raw[0], (double)raw[1], (double)raw[2]}, at);
        include(seen, at);
    }
}

static Matrix matrix_of(const json_t *node) {
    double p[3] = {0}, q[4] = {0, 0, 0, 1};
    const json_t *place = json_object_get(node, "translation"), *turn = json_object_get(node, "rotation");
    for (size_t k = 0; place && k < 3; k++)
        p[k] = json_number_value(json_array_get(place, k));
    for (size_t k = 0; turn && k < 4; k++)
        q[k] = json_number_value(json_array_get(turn, k));
    const double x = q[0], y = q[1], z = q[2], w = q[3];
    return (Matrix){{{1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w), p[0]},
                     {2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w), p[1]},
                     {2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y), p[2]}}};
}

static void walk_file(const File *file, json_int_t index, const Matrix *parent, Seen *seen) {
    const json_t *node = item(file->root, "nodes", index), *child;
    const Matrix own = matrix_of(node), world = times(parent, &own);
    if (seen->nodes < NAMES_MOST)
        seen->names[seen->nodes++] = json_string_value(json_object_get(node, "name"));
    if (json_object_get(node, "mesh")) {
        const json_t *mesh = item(file->root, "meshes", whole_of(node, "mesh"));
        const json_t *primitive = json_array_get(json_object_get(mesh, "primitives"), 0);
        const json_t *indices = item(file->root, "accessors", whole_of(primitive, "indices"));
        seen->placed++;
        seen->triangles += (size_t)whole_of(indices, "count") / 3;
        include_positions(
            file,
            item(file->root, "accessors", whole_of(json_object_get(primitive, "attributes"), "POSITION")),
            &world, seen);
    }
    size_t i;
    json_array_foreach(json_object_get(node, "children"), i, child)
        walk_file(file, json_integer_value(child), &world, seen);
}

/* ---- the two */

static int by_name(const void *a, const void *b) {
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static bool same(const char *path, Seen *a, Seen *b) {
    bool same = a->nodes == b->nodes && a->meshes == b->meshes && a->placed == b->placed &&
                a->triangles == b->triangles;
    qsort(a->names, a->nodes, sizeof *a->names, by_name);
    qsort(b->names, b->nodes, sizeof *b->names, by_name);
    for (size_t i = 0; same && i < a->nodes; i++) {
        if (strcmp(a->names[i], b->names[i]) != 0) {
            fprintf(stderr, "%s: node %s, not %s\n", path, b->names[i], a->names[i]);
            same = false;
        }
    }
    for (int k = 0; k < 3; k++) /* metres; sums of single precision */
        same &= fabs(a->low[k] - b->low[k]) < 1e-5 && fabs(a->high[k] - b->high[k]) < 1e-5;
    if (!same)
        fprintf(stderr,
                "%s: nodes %zu, meshes %zu, placed %zu, triangles %zu; read back %zu, %zu, %zu, %zu; "
                "bounds differ by up to %g m\n",
                path, a->nodes, a->meshes, a->placed, a->triangles, b->nodes, b->meshes, b->placed,
                b->triangles, fmax(fabs(a->low[0] - b->low[0]), fabs(a->high[0] - b->high[0])));
    return same;
}

static bool check(const char *path, size_t *triangles) {
    static const Matrix identity = {{{1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}}};
    File file = {0};
    Seen own = nothing(), back = nothing();
    if (!read_file(path, &file)) {
        fprintf(stderr, "%s: cannot be read\n", path);
        return false;
    }
    size_t i;
    const json_t *root;
    json_array_foreach(json_object_get(item(file.root, "scenes", 0), "nodes"), i, root)
        walk_file(&file, json_integer_value(root), &identity, &own);
    own.meshes = json_array_size(json_object_get(file.root, "meshes"));
    const struct aiScene *scene = aiImportFile(path, 0);
    bool good = false;
    if (scene) {
        walk_assimp(scene, scene->mRootNode, &identity, &back);
        back.meshes = scene->mNumMeshes;
        good = same(path, &own, &back);
    } else {
        fprintf(stderr, "%s: %s\n", path, aiGetErrorString());
    }
    *triangles += back.triangles;
    aiReleaseImport(scene);
    json_decref(file.root);
    free(file.bytes);
    return good;
}

int main(int count, char **paths) {
    size_t bad = 0, triangles = 0;
    for (int i = 1; i < count; i++)
        bad += !check(paths[i], &triangles);
    printf("%d models, %zu triangles, %zu bad\n", count - 1, triangles, bad);
    return bad == 0 && count > 2 && triangles > 1000 ? 0 : 1;
}
