/* Each shot's planned camera: a body at the sensor, what the frame takes in up to the mark, the plane in
 * focus, and where the lens stands. */
#include "model/notes.h"
#include "optics/sharpness.h"
#include "optics/space.h"
#include "plan/sharp_together.h"

#include <math.h>

typedef struct Aim {
    Notes *notes;
    const PlanShot *shot;
    const Camera *camera;
    Point3 lens, forward, right, up; /* `up` of the picture */
    double line_mm;                  /* radius of its lines */
    bool intrudes;                   /* into the picture of another shot */
    int group;
} Aim;

static Aim aim_of(Notes *notes, const PlanShot *shot) {
    const Camera *camera = &shot->cameras[0].camera;
    const double c = cos(camera->tilt_rad), s = sin(camera->tilt_rad);
    const bool intrudes = notes_in_anothers_picture(notes, shot);
    return (Aim){.notes = notes,
                 .shot = shot,
                 .camera = camera,
                 .intrudes = intrudes,
                 .line_mm = intrudes ? notes_fine_line_mm(notes, shot->mark) : notes->line_mm,
                 .lens = point(camera->across_mm, -camera->distance_mm, camera->height_mm),
                 .forward = point(0, c, -s),
                 .right = point(1, 0, 0),
                 .up = point(0, s, c)};
}

static const char *named(const Aim *aim, const char *what) {
    return arena_format(aim->notes->arena, "%s %s", aim->shot->cameras[0].id, what);
}

static const char *heading_of(const Aim *aim) {
    const char *name = aim->shot->name;
    return name[0] ? arena_format(aim->notes->arena, "camera %s", name) : "camera";
}

/* ---- the frame */

/* A corner's ray: forward component 1. Counter-clockwise from the lower left. */
static Point3 corner_ray(const Aim *aim, int corner) {
    const Picture *picture = &aim->shot->picture;
    const double x =
        picture->crop_across_mm + (corner == 1 || corner == 2 ? 0.5 : -0.5) * picture->taken_wide_mm;
    const double y = aim->camera->crop_up_mm + (corner >= 2 ? 0.5 : -0.5) * picture->taken_tall_mm;
    const Point3 ray = point_toward(aim->forward, aim->right, x / aim->camera->image_mm);
    return point_toward(ray, aim->up, y / aim->camera->image_mm);
}

/* Lines lie outside the frame by two of their radii, so that they are not in the picture. */
static Point3 outwards(const Aim *aim, int corner) {
    const double off = 2 * aim->line_mm;
    return point_add(point_times(aim->right, corner == 1 || corner == 2 ? off : -off),
                     point_times(aim->up, corner >= 2 ? off : -off));
}

/* Over the frame's upper edge, out of the picture. */
static void note_frame_width(const Aim *aim, Point3 top_left, Point3 top_right) {
    Notes *notes = aim->notes;
    const char *value = notes_value(notes, heading_of(aim), "stick", NULL);
    if (!value || aim->intrudes) return;
    const Point3 middle = point_times(point_add(top_left, top_right), 0.5);
    const Card card = {.ink = INK_CAMERA,
                       .at = point_add(middle, point(0, 0, 6 * aim->line_mm)),
                       .share_up = -1,
                       .letter_mm = 0.7 * notes->letter_mm,
                       .lines = {arena_format(notes->arena, "frame %s at the mark", value)}};
    notes_card(notes, aim->group, named(aim, "frame card"), &card);
}

/* Where the frame's edges pass the upright plane across the set at the mark. */
static void note_frame(const Aim *aim) {
    Notes *notes = aim->notes;
    Point3 corners[4];
    Mesh *edges = mesh_new(notes->arena);
    const double depth = aim->shot->mark.back_mm - aim->lens.back_mm;
    for (int i = 0; i < 4; i++) {
        const Point3 ray = corner_ray(aim, i);
        if (ray.back_mm < 0.2) return; /* too steep to reach that plane */
        const Point3 off = outwards(aim, i);
        corners[i] = point_add(point_toward(aim->lens, ray, depth / ray.back_mm), off);
        mesh_add_tube(edges, off, point_less(corners[i], aim->lens), 0.8 * aim->line_mm);
    }
    const int node = model_mesh_node(notes->model, aim->group, MODEL_NOTE, named(aim, "edges"), edges,
                                     notes_material(notes, INK_CAMERA));
    model_place(notes->model, node, aim->lens);
    notes_line(notes, aim->group, named(aim, "frame at the mark"), INK_CAMERA, corners, 4, true,
               aim->line_mm);
    note_frame_width(aim, corners[3], corners[2]);
}

/* The plane in focus as far as the frame sees it, square to the axis; ticks at the middles of its sides. */
static void note_focus(const Aim *aim) {
    Notes *notes = aim->notes;
    Point3 corners[4];
    const double depth = aim->camera->object_mm;
    for (int i = 0; i < 4; i++)
        corners[i] =
            point_add(point_toward(aim->lens, corner_ray(aim, i), depth), point_times(outwards(aim, i), 1.5));
    const int node =
        notes_line(notes, aim->group, named(aim, "focus"), INK_FOCUS, corners, 4, true, 0.7 * aim->line_mm);
    for (int i = 0; i < 4; i++) {
        const Point3 middle = point_times(point_add(corners[i], corners[(i + 1) % 4]), 0.5);
        const Point3 out = point_times(i % 2 == 0 ? aim->up : aim->right, i == 0 || i == 3 ? -1 : 1);
        const Point3 tick[] = {middle, point_toward(middle, out, 14 * aim->line_mm)};
        notes_line(notes, aim->group, named(aim, "focus tick"), INK_FOCUS, tick, 2, false,
                   1.2 * aim->line_mm);
    }
    model_extra_number(notes->model, node, "depth_mm", depth);
}

/* ---- the limits of sharpness */

/* On the flat ground, fine, since it lies in the picture. */
static void note_limit_on_ground(const Aim *aim, const char *name, Point3 left, Point3 right) {
    Notes *notes = aim->notes;
    const Trapezoid *ground = &notes->plan->ground_outline;
    if (left.back_mm < ground->front_mm || left.back_mm > ground->rear_mm) return;
    const double fine = 0.8 * notes_fine_line_mm(notes, left);
    const Point3 ends[] = {point_add(left, point(0, 0, fine)), point_add(right, point(0, 0, fine))};
    notes_line(notes, aim->group, arena_format(notes->arena, "%s on the ground", name), INK_FOCUS, ends, 2,
               false, fine);
}

/* The plane of a limit as far as the frame sees it above the flat ground: around the frame, out of the
 * picture. Writes the outline's upper right corner; false where all of it is under ground. */
static bool note_limit(const Aim *aim, const char *name, double depth_mm, Point3 *corner) {
    Notes *notes = aim->notes;
    Point3 inner[4], corners[4]; /* from the lower left, counter-clockwise */
    for (int i = 0; i < 4; i++)
        inner[i] = point_toward(aim->lens, corner_ray(aim, i), depth_mm);
    if (inner[3].up_mm <= 0) return false;
    const bool cut = inner[0].up_mm < 0;
    for (int i = 0; cut && i < 2; i++) {
        const Point3 side = point_less(inner[3 - i], inner[i]);
        inner[i] = point_toward(inner[i], side, -inner[i].up_mm / side.up_mm);
    }
    for (int i = 0; i < 4; i++) {
        const Point3 off = point_times(outwards(aim, i), 2);
        corners[i] = point_add(inner[i], cut && i < 2 ? point(off.across_mm, 0, 0) : off);
    }
    const Point3 around[] = {corners[1], corners[2], corners[3], corners[0]};
    const int node = notes_line(notes, aim->group, name, INK_FOCUS, around, 4, !cut, 0.5 * aim->line_mm);
    model_extra_number(notes->model, node, "depth_mm", depth_mm);
    if (cut) note_limit_on_ground(aim, name, inner[0], inner[1]);
    *corner = corners[2];
    return true;
}

/* A limit as the report says it: `4 in in front of the mark`. */
static const char *limit_text(const Aim *aim, const char *key) {
    const Notes *notes = aim->notes;
    const char *name = aim->shot->name;
    const char *heading = name[0] ? arena_format(notes->arena, "sharpness %s", name) : "sharpness";
    const Fact *fact = facts_find(notes->facts, heading, key);
    return fact ? fact_short_text(notes->arena, notes->facts, fact) : NULL;
}

/* Beside the outline's upper corner, out of the picture; of a later shot, under those of the shots before. */
static void note_limits_card(const Aim *aim, Point3 corner) {
    Notes *notes = aim->notes;
    Arena *arena = notes->arena;
    const char *from = limit_text(aim, "from"), *to = limit_text(aim, "to");
    if (!from || !to || aim->intrudes) return;
    const char *name = aim->shot->name[0] ? arena_format(arena, "%s: ", aim->shot->name) : "";
    Card card = {
        .ink = INK_FOCUS,
        .at = point_add(corner, point(8 * aim->line_mm, 0, 0)),
        .share_across = -1,
        .share_up = 1,
        .letter_mm = 0.5 * notes->letter_mm,
        .from_left = true,
        .lines = {arena_format(arena, "%ssharp at f/%s", name, number_short(arena, aim->shot->stop, 2)),
                  arena_format(arena, "from %s", from), arena_format(arena, "to %s", to)}};
    double wide_mm, tall_mm;
    notes_card_size(&card, &wide_mm, &tall_mm);
    card.at.up_mm -= 1.1 * tall_mm * (double)(aim->shot - notes->plan->shots);
    notes_card(notes, aim->group, named(aim, "sharp card"), &card);
}

/* A limit behind all that is built is said on the card alone: there is nothing that it could be read off. */
static void note_limits(const Aim *aim) {
    Notes *notes = aim->notes;
    const PlanShot *shot = aim->shot;
    if (!(shot->stop > 0)) return;
    const SharpLimit limit = plan_sharp_limit(notes->plan, (int)(shot - notes->plan->shots));
    double near_mm, far_mm;
    sharp_limits(aim->camera->focal_mm, shot->stop, limit.circle_mm, aim->camera->object_mm, &near_mm,
                 &far_mm);
    Point3 corner;
    bool drawn = note_limit(aim, named(aim, "sharp from"), near_mm, &corner);
    if (far_mm < notes->build.rear_mm - aim->lens.back_mm + notes->gap_mm)
        drawn |= note_limit(aim, named(aim, "sharp to"), far_mm, &corner);
    if (drawn) note_limits_card(aim, corner);
}

/* ---- the body, behind the lens and so never in its own picture */

/* In the camera's own frame, the lens at the origin, looking along +back. */
typedef struct Marker {
    double size; /* 1: as large as one, more where the set is large */
    double front_mm, rear_mm, half_wide_mm, half_tall_mm;
    bool upright;
} Marker;

static Marker body_of(const Aim *aim) {
    Marker body = {.size = fmin(fmax(aim->line_mm / 3.5, 1), 2.2), .upright = aim->shot->shot->upright};
    body.front_mm = fmin(-aim->camera->image_mm + 20 * body.size, -8);
    body.rear_mm = fmin(-aim->camera->image_mm, body.front_mm) - 28 * body.size;
    body.half_wide_mm = 70 * body.size;
    body.half_tall_mm = 44 * body.size;
    return body;
}

/* Held upright, it is turned about its axis. */
static Point3 held(const Marker *body, double across_mm, double back_mm, double up_mm) {
    return body->upright ? point(-up_mm, back_mm, across_mm) : point(across_mm, back_mm, up_mm);
}

static void add_box(Mesh *mesh, const Marker *body, Point3 a, Point3 b) {
    const Point3 p = held(body, a.across_mm, a.back_mm, a.up_mm),
                 q = held(body, b.across_mm, b.back_mm, b.up_mm);
    mesh_add_box(mesh, point(fmin(p.across_mm, q.across_mm), p.back_mm, fmin(p.up_mm, q.up_mm)),
                 point(fmax(p.across_mm, q.across_mm), q.back_mm, fmax(p.up_mm, q.up_mm)));
}

/* A drum about the axis. */
static void add_drum(Mesh *mesh, double from_mm, double to_mm, double radius_mm) {
    if (to_mm - from_mm < 1) return;
    const Point3 u = point(0, 0, radius_mm), v = point(radius_mm, 0, 0);
    const Ring rings[] = {{point(0, from_mm, 0), u, v}, {point(0, to_mm, 0), u, v}};
    mesh_add_loft(mesh, rings, 2, 24, rings[0].centre);
}

/* Marker, grip, the hump over the lens, a dial. */
static Mesh *body_mesh(Arena *arena, const Marker *b) {
    Mesh *mesh = mesh_new(arena);
    const double k = b->size, wide = b->half_wide_mm, tall = b->half_tall_mm;
    add_box(mesh, b, point(-wide, b->rear_mm, -tall), point(wide, b->front_mm, tall));
    add_box(mesh, b, point(wide - 24 * k, b->front_mm - 2 * k, -tall),
            point(wide, fmin(b->front_mm + 12 * k, -2), tall - 10 * k));
    add_box(mesh, b, point(-25 * k, b->rear_mm + 3 * k, tall),
            point(25 * k, b->front_mm - 1 * k, tall + 22 * k));
    add_box(mesh, b, point(42 * k, b->rear_mm + 14 * k, tall),
            point(58 * k, b->rear_mm + 30 * k, tall + 7 * k));
    return mesh;
}

static void note_body(const Aim *aim) {
    Notes *notes = aim->notes;
    Model *model = notes->model;
    const Marker b = body_of(aim);
    const double k = b.size, barrel = -2 - b.front_mm;
    Mesh *dark = body_mesh(notes->arena, &b), *lens = mesh_new(notes->arena), *band = mesh_new(notes->arena);
    add_drum(lens, b.front_mm, b.front_mm + barrel, 34 * k);
    add_drum(band, b.front_mm + 0.62 * barrel, b.front_mm + 0.8 * barrel, 36 * k);
    add_box(band, &b, point(-34 * k, b.rear_mm - 2 * k, -24 * k),
            point(34 * k, b.rear_mm, 24 * k)); /* its screen */
    const int node = model_mesh_node(model, aim->group, MODEL_NOTE, named(aim, "body"), dark,
                                     model_material(model, "camera_body", 0x4B4F5C, false));
    model_place(model, node, aim->lens);
    model_turn(model, node, 0, aim->camera->tilt_rad);
    model_mesh_node(model, node, MODEL_NOTE, named(aim, "barrel"), lens,
                    model_material(model, "camera_barrel", 0x24262C, false));
    model_mesh_node(model, node, MODEL_NOTE, named(aim, "band"), band,
                    model_material(model, "camera_band", 0x6F78D8, false));
}

/* ---- where it stands */

static double front_edge(const Plan *plan) {
    return plan->base >= 0 ? plan->base_outline.front_mm : plan->ground_outline.front_mm;
}

/* To the left of the camera: the plumb line under the lens, and at its head the card that says where it
 * stands. */
static void note_stand(const Aim *aim) {
    Notes *notes = aim->notes;
    Arena *arena = notes->arena;
    const char *heading = heading_of(aim), *lens = notes_value(notes, heading, "lens", "focal");
    const char *height = notes_value(notes, heading, "height", NULL),
               *distance = notes_value(notes, heading, "distance", NULL);
    if (!lens || !height || !distance) return;
    const Point3 top = point_add(aim->lens, point(-2.5 * notes->gap_mm, 0, 0));
    const Dimension line = {.name = named(aim, "height"),
                            .ink = INK_CAMERA,
                            .line_mm = aim->line_mm,
                            .from = point(top.across_mm, top.back_mm, 0),
                            .to = top,
                            .from_foot = point(aim->lens.across_mm, aim->lens.back_mm, 0),
                            .to_foot = point_add(aim->lens, point(-0.5 * notes->gap_mm, 0, 0))};
    const char *name = aim->shot->name[0] ? arena_format(arena, "%s: ", aim->shot->name) : "";
    const Card card = {.ink = INK_CAMERA,
                       .at = point_add(top, point(-0.4 * notes->gap_mm, 0, 0)),
                       .share_across = 1,
                       .share_up = 0.2,
                       .lean_rad = RADIANS(15),
                       .letter_mm = 0.85 * notes->letter_mm,
                       .lines = {arena_format(arena, "%slens %s", name, lens),
                                 arena_format(arena, "%s up", height),
                                 arena_format(arena, "%s to the mark", distance)}};
    notes_card(notes, notes_dimension(notes, aim->group, &line), named(aim, "card"), &card);
}

static bool on_centre_line(const Aim *aim) {
    return fabs(aim->lens.across_mm - aim->notes->plan->shots[0].cameras[0].camera.across_mm) < 1;
}

/* Along the centre line: coarse as far as it is out of the picture, then fine; on the set the centre line
 * leads on. Its end is at the mark. */
static void note_distance_before(const Aim *aim, double edge_mm) {
    Notes *notes = aim->notes;
    const double across = aim->lens.across_mm, fine = notes_fine_line_mm(notes, aim->shot->mark);
    const double up = 3.5 * fine, coarse = aim->line_mm, radius = 9 * coarse;
    double near_mm = edge_mm;
    if (camera_near_ground_mm(aim->camera, &aim->shot->picture, 0.02, up, &near_mm))
        near_mm = fmin(near_mm, edge_mm);
    const double turn_mm = fmax(near_mm, aim->lens.back_mm + 2 * radius);
    const Point3 from = point(across, aim->lens.back_mm, up), turn = point(across, turn_mm, up),
                 edge = point(across, fmax(edge_mm, turn_mm), up),
                 to = point(across, aim->shot->mark.back_mm, up);
    const Point3 first = point(across, from.back_mm + radius, up),
                 last = point(across, to.back_mm - 12 * fine, up);
    Mesh *mesh = mesh_new(notes->arena);
    mesh_add_arrowhead(mesh, point_less(first, from), (Point3){0}, 2.6 * coarse);
    mesh_add_tube(mesh, point_less(first, from), point_less(turn, from), coarse);
    if (edge.back_mm > turn.back_mm + 1)
        mesh_add_tube(mesh, point_less(turn, from), point_less(edge, from), notes_fine_line_mm(notes, turn));
    if (!on_centre_line(aim)) mesh_add_tube(mesh, point_less(edge, from), point_less(last, from), fine);
    mesh_add_arrowhead(mesh, point_less(last, from), point_less(to, from), 3.5 * fine);
    const int node = model_mesh_node(notes->model, aim->group, MODEL_NOTE, named(aim, "distance"), mesh,
                                     notes_material(notes, INK_CAMERA));
    model_place(notes->model, node, from);
}

/* Where the lens stands over the set itself, beside the set. */
static void note_distance_beside(const Aim *aim) {
    Notes *notes = aim->notes;
    const double across = notes->build.left_mm - notes->gap_mm, up = notes->build.foot_mm;
    const Dimension line = {.name = named(aim, "distance"),
                            .ink = INK_CAMERA,
                            .line_mm = aim->line_mm,
                            .from = {across, aim->lens.back_mm, up},
                            .to = {across, aim->shot->mark.back_mm, up},
                            .from_foot = {across, aim->lens.back_mm, up},
                            .to_foot = {across, aim->shot->mark.back_mm, up}};
    notes_dimension(notes, aim->group, &line);
}

static void note_distance(const Aim *aim) {
    const double edge = front_edge(aim->notes->plan);
    if (edge - aim->lens.back_mm < 2 * aim->notes->gap_mm)
        note_distance_beside(aim);
    else
        note_distance_before(aim, edge);
}

/* A cross on what the leading one stands on, as one tapes it. */
static void note_mark(const Aim *aim) {
    Notes *notes = aim->notes;
    const PlanThing *lead = &notes->plan->things[aim->shot->lead];
    const int under = lead->thing->atop;
    double arm = 0.7 * fmax(lead->wide_mm, lead->deep_mm);
    if (under >= 0)
        arm = fmin(arm, fmin(notes->plan->things[under].wide_mm, notes->plan->things[under].deep_mm) / 2);
    const double radius = 1.2 * notes_fine_line_mm(notes, aim->shot->mark);
    for (int i = 0; i < 2; i++) {
        const Point3 way = i == 0 ? point(arm, 0, 0) : point(0, arm, 0);
        const Point3 middle = point_add(aim->shot->mark, point(0, 0, 1.2 * radius));
        const Point3 ends[] = {point_less(middle, way), point_add(middle, way)};
        notes_line(notes, aim->group, named(aim, "mark"), INK_CHALK, ends, 2, false, radius);
    }
}

void notes_of_cameras(Notes *notes) {
    for (size_t s = 0; s < notes->plan->shot_count; s++) {
        Aim aim = aim_of(notes, &notes->plan->shots[s]);
        aim.group = model_node(notes->model, notes->group, MODEL_NOTE, named(&aim, "camera"));
        note_body(&aim);
        note_frame(&aim);
        note_focus(&aim);
        note_limits(&aim);
        note_mark(&aim);
        if (aim.intrudes) continue; /* the board says where it stands */
        note_stand(&aim);
        note_distance(&aim);
    }
}
