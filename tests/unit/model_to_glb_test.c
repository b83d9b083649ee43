/* The file as bytes: binary glTF 2.0 (Khronos, glTF 2.0 specification, chapter 4: GLB), and what stands in
 * it. What other programs make of it is checked in tests/external/gltf. */
#include "model/model_to_glb.h"
#include "model/notes_to_model.h"
#include "model/plan_to_set.h"
#include "model_sample.h"
#include "optics/sharpness.h"
#include "plan/shape.h"
#include "plan/sharp_together.h"
#include "report/plan_to_facts.h"

#include <criterion/criterion.h>
#include <jansson.h>
#include <string.h>

static Arena *arena;
static void start(void) {
    arena = arena_new();
}
static void finish(void) {
    arena_free(arena);
}
TestSuite(glb, .init = start, .fini = finish);

static uint32_t word_at(const Buffer *file, size_t offset) {
    const unsigned char *b = (const unsigned char *)file->bytes + offset;
    return (uint32_t)b[0] | (uint32_t)b[1] << 8 | (uint32_t)b[2] << 16 | (uint32_t)b[3] << 24;
}

static Buffer written(const Model *model) {
    Buffer file = buffer_new(arena);
    cr_assert(model_to_glb(arena, model, &file));
    return file;
}

static json_t *json_of(const Buffer *file) {
    json_t *root = json_loadb(file->bytes + 20, word_at(file, 12), 0, NULL);
    cr_assert_not_null(root);
    return root;
}

static const unsigned char *binary_of(const Buffer *file) {
    return (const unsigned char *)file->bytes + 20 + word_at(file, 12) + 8;
}

static Model *set_of(Sample *s) {
    return plan_to_set(arena, &s->plan);
}

static Model *with_notes(Sample *s) {
    Model *model = set_of(s);
    notes_to_model(arena, model, &s->plan, plan_to_facts(arena, &s->plan));
    return model;
}

Test(glb, header_and_chunks_count_right) {
    const Buffer file = written(set_of(sample_new(arena)));
    cr_assert_eq(memcmp(file.bytes, "glTF", 4), 0);
    cr_assert_eq(word_at(&file, 4), 2);
    cr_assert_eq(word_at(&file, 8), file.count);
    const uint32_t text = word_at(&file, 12);
    cr_assert_eq(memcmp(file.bytes + 16, "JSON", 4), 0);
    cr_assert_eq(text % 4, 0);
    const uint32_t binary = word_at(&file, 20 + text);
    cr_assert_eq(binary % 4, 0);
    cr_assert_eq(memcmp(file.bytes + 24 + text, "BIN\0", 4), 0);
    cr_assert_eq(28 + text + binary, file.count);
}

Test(glb, the_same_model_gives_the_same_bytes) {
    const Buffer one = written(with_notes(sample_new(arena))), two = written(with_notes(sample_new(arena)));
    cr_assert_eq(one.count, two.count);
    cr_assert_eq(memcmp(one.bytes, two.bytes, one.count), 0);
}

/* A model can be written after another in the same buffer's arena, and adds to what is there. */
Test(glb, it_is_added_to_the_buffer) {
    Buffer file = buffer_new(arena);
    buffer_add(&file, "ab");
    cr_assert(model_to_glb(arena, set_of(sample_new(arena)), &file));
    cr_assert_eq(memcmp(file.bytes, "abglTF", 6), 0);
}

Test(glb, what_is_no_text_or_number_is_refused_and_nothing_written) {
    Model *model = set_of(sample_new(arena));
    Buffer file = buffer_new(arena);
    model_extra_text(model, 0, "name", "\xFF\xFE");
    cr_assert_not(model_to_glb(arena, model, &file));
    cr_assert_eq(file.count, 0);
    model = set_of(sample_new(arena));
    model->cameras.items[0].tall_rad = NAN;
    cr_assert_not(model_to_glb(arena, model, &file));
    cr_assert_eq(file.count, 0);
}

/* Accessors lie inside their views, views inside the buffer, indices inside the vertices; ranges are exact.
 */
Test(glb, every_accessor_holds_what_it_says) {
    const Buffer file = written(with_notes(sample_new(arena)));
    json_t *root = json_of(&file), *views = json_object_get(root, "bufferViews");
    const unsigned char *bytes = binary_of(&file);
    const size_t length = (size_t)json_integer_value(
        json_object_get(json_array_get(json_object_get(root, "buffers"), 0), "byteLength"));
    size_t i, ranges = 0;
    json_t *accessor;
    json_array_foreach(json_object_get(root, "accessors"), i, accessor) {
        const json_t *view =
            json_array_get(views, (size_t)json_integer_value(json_object_get(accessor, "bufferView")));
        const size_t from = (size_t)(json_integer_value(json_object_get(view, "byteOffset")) +
                                     json_integer_value(json_object_get(accessor, "byteOffset")));
        const size_t count = (size_t)json_integer_value(json_object_get(accessor, "count"));
        const size_t stride = (size_t)json_integer_value(json_object_get(view, "byteStride"));
        cr_assert_leq(from + (count - 1) * stride, length);
        json_t *low = json_object_get(accessor, "min"), *high = json_object_get(accessor, "max");
        if (!low) continue;
        ranges++;
        for (size_t k = 0; k < 3; k++) {
            float least = INFINITY, most = -INFINITY, value;
            for (size_t v = 0; v < count; v++) {
                memcpy(&value, bytes + from + v * stride + 4 * k, sizeof value);
                least = fminf(least, value);
                most = fmaxf(most, value);
            }
            cr_assert_eq((float)json_number_value(json_array_get(low, k)), least);
            cr_assert_eq((float)json_number_value(json_array_get(high, k)), most);
        }
    }
    cr_assert_gt(ranges, 20);
    json_decref(root);
}

Test(glb, large_meshes_get_large_indices) {
    Model *model = model_new(arena, "large");
    Mesh *mesh = mesh_new(arena);
    for (int i = 0; i < 3000; i++) /* 72,000 vertices */
        mesh_add_box(mesh, (Point3){i * 10.0, 0, 0}, (Point3){i * 10.0 + 5, 5, 5});
    model_mesh_node(model, -1, MODEL_SET, "boxes", mesh, model_material(model, "grey", 0x808080, false));
    const Buffer file = written(model);
    json_t *root = json_of(&file);
    const json_t *accessors = json_object_get(root, "accessors");
    cr_assert_eq(json_integer_value(json_object_get(json_array_get(accessors, 2), "componentType")), 5125);
    cr_assert_eq(json_integer_value(json_object_get(json_array_get(accessors, 0), "count")), 72000);
    json_decref(root);
}

/* ---- what stands in it */

static json_t *node_named(json_t *root, const char *name) {
    size_t i;
    json_t *node;
    json_array_foreach(json_object_get(root, "nodes"), i, node) {
        if (strcmp(json_string_value(json_object_get(node, "name")), name) == 0) return node;
    }
    return NULL;
}

static double extra(json_t *node, const char *key) {
    return json_number_value(json_object_get(json_object_get(node, "extras"), key));
}

/* Rule 6: yfov = 2 atan(ch/(2 v)), v and not f; aspectRatio = cw/ch. The planned camera is the first. */
Test(glb, cameras_see_the_frame) {
    Sample *s = sample_new(arena);
    const Buffer file = written(set_of(s));
    json_t *root = json_of(&file), *camera = json_array_get(json_object_get(root, "cameras"), 0);
    cr_assert_str_eq(json_string_value(json_object_get(camera, "name")), "planned");
    json_t *view = json_object_get(camera, "perspective");
    const Picture *picture = &s->planned_shot.picture;
    const double wanted = 2 * atan(picture->taken_tall_mm / 2 / s->cameras[0].camera.image_mm);
    cr_assert_float_eq(json_real_value(json_object_get(view, "yfov")), wanted, 1e-8);
    cr_assert_float_eq(json_real_value(json_object_get(view, "aspectRatio")), 565.15 / 222.25, 1e-7);
    json_t *node = node_named(root, "planned"), *place = json_object_get(node, "translation");
    cr_assert_float_eq(json_number_value(json_array_get(place, 0)), 0.0912, 1e-7);
    cr_assert_float_eq(json_number_value(json_array_get(place, 1)), 0.254, 1e-7);
    cr_assert_float_eq(json_number_value(json_array_get(place, 2)), 3.1269, 1e-7);
    /* looks down: turned about X by minus the tilt */
    json_t *turn = json_object_get(node, "rotation");
    cr_assert_float_eq(json_number_value(json_array_get(turn, 0)), -sin(RADIANS(2.026) / 2), 1e-7);
    cr_assert_float_eq(json_number_value(json_array_get(turn, 3)), cos(RADIANS(2.026) / 2), 1e-7);
    cr_assert_eq(extra(node, "frame_left"), -1);
    cr_assert_eq(extra(node, "frame_top"), 1);
    cr_assert_eq(json_array_size(json_object_get(root, "cameras")), 2);
    cr_assert_not_null(node_named(root, "60-mm-9-in-up"));
    json_decref(root);
}

/* Off the sensor's middle: the axis stays, the view is symmetric and just reaches the frame's farther edges.
 */
Test(glb, a_frame_off_the_axis_is_inside_a_wider_view) {
    Sample *s = sample_new(arena);
    s->planned_shot.picture.crop_across_mm = -1.5;
    s->cameras[0].camera.crop_up_mm = 4;
    const Buffer file = written(set_of(s));
    json_t *root = json_of(&file);
    json_t *view = json_object_get(json_array_get(json_object_get(root, "cameras"), 0), "perspective");
    const Picture *picture = &s->planned_shot.picture;
    const double tall = picture->taken_tall_mm + 8, wide = picture->taken_wide_mm + 3;
    cr_assert_float_eq(json_real_value(json_object_get(view, "yfov")),
                       2 * atan(tall / 2 / s->cameras[0].camera.image_mm), 1e-8);
    cr_assert_float_eq(json_real_value(json_object_get(view, "aspectRatio")), wide / tall, 1e-7);
    json_t *node = node_named(root, "planned");
    cr_assert_float_eq(extra(node, "frame_left"), -1, 1e-6);
    cr_assert_float_eq(extra(node, "frame_right"), (picture->taken_wide_mm - 3) / wide, 1e-6);
    cr_assert_float_eq(extra(node, "frame_top"), 1, 1e-6);
    cr_assert_float_eq(extra(node, "frame_foot"), (8 - picture->taken_tall_mm) / tall, 1e-6);
    json_decref(root);
}

Test(glb, nodes_are_plain_unique_and_say_what_they_are) {
    Sample *s = sample_new(arena);
    s->things[BUOY].name = "boat-house"; /* as plain as another one's */
    s->things[REED].name = "planned";    /* a camera's name */
    s->things[RAMP].name = "Fl\xC3\xB6\xC3\x9F"
                           "er steg";
    const Buffer file = written(with_notes(s));
    json_t *root = json_of(&file), *nodes = json_object_get(root, "nodes"), *node;
    size_t i;
    json_array_foreach(nodes, i, node) {
        const char *name = json_string_value(json_object_get(node, "name"));
        cr_assert_eq(name[strspn(name, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-")],
                     0, "%s", name);
        cr_assert_eq(node_named(root, name), node, "%s occurs twice", name);
        cr_assert_null(json_object_get(node, "scale"));
        const char *key;
        json_t *value;
        json_object_foreach(json_object_get(node, "extras"), key, value) cr_assert(
            json_is_number(value) || json_is_string(value) || json_is_true(value), "%s.%s", name, key);
    }
    json_t *otter = node_named(root, "otter");
    cr_assert_eq(extra(otter, "wide_mm"), 127);
    cr_assert_str_eq(json_string_value(json_object_get(json_object_get(otter, "extras"), "tall")),
                     "11 in (279.4 mm)");
    cr_assert_not_null(node_named(root, "Flosser_steg"));
    cr_assert_not_null(json_object_get(node_named(root, "planned"), "camera"));
    cr_assert_not_null(json_object_get(node_named(root, "planned_2"), "mesh"));
    json_decref(root);
}

Test(glb, the_set_alone_has_no_note_and_no_picture) {
    Sample *s = sample_new(arena);
    Model *model = set_of(s);
    const Buffer set = written(model);
    json_t *root = json_of(&set), *node;
    size_t i, said = 0;
    cr_assert_null(node_named(root, "notes"));
    cr_assert_null(json_object_get(root, "images"));
    cr_assert_null(json_object_get(root, "extensionsUsed"));
    cr_assert_null(json_object_get(root, "extensionsRequired"));
    json_array_foreach(json_object_get(root, "nodes"), i, node) {
        said += json_object_get(json_object_get(node, "extras"), "note") != NULL;
    }
    cr_assert_eq(said, 0);
    json_decref(root);
    notes_to_model(arena, model, &s->plan, plan_to_facts(arena, &s->plan));
    const Buffer notes = written(model);
    root = json_of(&notes);
    cr_assert_not_null(node_named(root, "notes"));
    cr_assert_not_null(node_named(root, "planned_focus"));
    json_array_foreach(json_object_get(root, "nodes"), i, node) {
        said += json_object_get(json_object_get(node, "extras"), "note") != NULL;
    }
    cr_assert_gt(said, 40);
    json_decref(root);
}

/* Things that are alike share their mesh: a row of four posts is one. */
Test(glb, alike_things_share_a_mesh) {
    const Buffer file = written(set_of(sample_new(arena)));
    json_t *root = json_of(&file);
    const json_int_t first = json_integer_value(json_object_get(node_named(root, "mooring_posts_1"), "mesh"));
    const json_int_t last = json_integer_value(json_object_get(node_named(root, "mooring_posts_4"), "mesh"));
    cr_assert_eq(first, last);
    cr_assert_eq(json_array_size(json_object_get(node_named(root, "mooring_posts"), "children")), 4);
    json_decref(root);
}

/* An image of the rim's goes in as it is, on a quad the right way up. */
Test(glb, the_drawing_is_embedded_byte_for_byte) {
    static const unsigned char image[] = {0x89, 'P', 'N', 'G', 1, 2, 3, 4, 5, 6, 7};
    Sample *s = sample_new(arena);
    s->found = (FoundFile){.found = true,
                           .width_px = 420,
                           .height_px = 162,
                           .bytes = image,
                           .count = sizeof image,
                           .mime = "image/png"};
    s->plan.found = &s->found;
    s->shot.image = 0;
    s->scene.wanted = &s->wanted;
    s->scene.wanted_count = 1;
    const Buffer file = written(with_notes(s));
    json_t *root = json_of(&file), *picture = json_array_get(json_object_get(root, "images"), 0);
    cr_assert_str_eq(json_string_value(json_object_get(picture, "mimeType")), "image/png");
    const json_t *view = json_array_get(json_object_get(root, "bufferViews"),
                                        (size_t)json_integer_value(json_object_get(picture, "bufferView")));
    cr_assert_eq(json_integer_value(json_object_get(view, "byteLength")), (json_int_t)sizeof image);
    cr_assert_eq(memcmp(binary_of(&file) + json_integer_value(json_object_get(view, "byteOffset")), image,
                        sizeof image),
                 0);
    const json_t *node = node_named(root, "drawing");
    cr_assert_not_null(node);
    json_decref(root);
}

/* ---- notes: not in the picture that they are about */

typedef struct Seen {
    size_t vertices, inside;
} Seen;

/* How many of a node's vertices (its place alone counts, notes' lines are not turned) a shot's frame shows.
 */
static Seen seen_of(const Sample *s, const ModelNode *node) {
    Seen seen = {0};
    const Picture *picture = &s->planned_shot.picture;
    const double bleed = (picture->frame_wide_mm - picture->trim_wide_mm) / 2 * 420 / picture->trim_wide_mm;
    for (size_t i = 0; i < node->mesh->vertices.count; i++) {
        const float *v = node->mesh->vertices.items[i].at;
        const Point3 at = {1000.0 * (double)(v[0] + node->place[0]),
                           -1000.0 * (double)(v[2] + node->place[2]),
                           1000.0 * (double)(v[1] + node->place[1])};
        double x, y;
        seen.vertices++;
        if (!camera_project(&s->cameras[0].camera, picture, at, &x, &y, NULL)) continue;
        seen.inside += x > -bleed && x < 420 + bleed && y > -bleed && y < picture->drawing_tall_mm + bleed;
    }
    return seen;
}

static const ModelNode *node_called(const Model *model, const char *name) {
    for (size_t i = 0; i < model->nodes.count; i++) {
        if (strcmp(model->nodes.items[i].name, name) == 0) return &model->nodes.items[i];
    }
    return NULL;
}

/* The limits' outlines lie in planes square to the axis where a point is blurred just as much as reads as
 * sharp (two ways of the thin lens: sharpness_published_test.c), and reach down to the ground, not under it.
 */
Test(glb, outlines_of_the_limits_of_sharpness) {
    static const char *const names[] = {"planned_sharp_from", "planned_sharp_to"};
    Sample *s = sample_new(arena);
    const Model *model = with_notes(s);
    const Camera *camera = &s->cameras[0].camera;
    const double limit_mm = plan_sharp_limit(&s->plan, 0).paper_mm;
    for (int n = 0; n < 2; n++) {
        const ModelNode *node = node_called(model, names[n]);
        cr_assert_not_null(node, "%s", names[n]);
        Point3 *points = ARENA_ARRAY(arena, Point3, node->mesh->vertices.count);
        model_placed(model, (int)(node - model->nodes.items), points, NULL);
        double least = INFINITY, most = -INFINITY, lowest = INFINITY;
        for (size_t i = 0; i < node->mesh->vertices.count; i++) {
            const double depth = camera_depth_mm(camera, points[i]);
            least = fmin(least, depth);
            most = fmax(most, depth);
            lowest = fmin(lowest, points[i].up_mm);
        }
        cr_assert_lt(most - least, 0.01 * least, "it is no plane but for its line's thickness");
        const double blur = sharp_blur_mm(s->planned_shot.picture.paper_per_sensor, camera->focal_mm,
                                          s->planned_shot.stop, camera->object_mm, (least + most) / 2);
        cr_assert_float_eq(blur, limit_mm, 0.02 * limit_mm, "%s: %f", names[n], blur);
        cr_assert_eq(n == 0, most < camera->object_mm);
        cr_assert_gt(lowest, -5);
    }
    const ModelNode *card = node_called(model, "planned_sharp_card");
    cr_assert_not_null(card);
}

Test(glb, lines_of_the_frame_are_outside_the_frame) {
    static const char *const outside[] = {
        "planned_edges",      "planned_frame_at_the_mark", "planned_focus",    "planned_height_line",
        "planned_sharp_from", "planned_sharp_to",          "build_width_line", "ground_front_line",
        "build_depth_line",   "build_height_line"};
    Sample *s = sample_new(arena);
    const Model *model = with_notes(s);
    for (size_t n = 0; n < sizeof outside / sizeof *outside; n++) {
        const ModelNode *node = NULL;
        for (size_t i = 0; i < model->nodes.count; i++) {
            if (strcmp(model->nodes.items[i].name, outside[n]) == 0) node = &model->nodes.items[i];
        }
        cr_assert_not_null(node, "%s", outside[n]);
        const Seen seen = seen_of(s, node);
        cr_assert_gt(seen.vertices, 20, "%s", outside[n]);
        cr_assert_eq(seen.inside, 0, "%zu of %zu of %s", seen.inside, seen.vertices, outside[n]);
    }
}
