#include "see/scenery.h"

#include "model/plan_to_set.h"
#include "optics/space.h"

#include <math.h>

static bool is_looked_at(const ModelNode *node) {
    return node->mesh && node->thing >= 0 && (node->role == MODEL_SET || node->role == MODEL_STAND_IN);
}

void scenery_measure(SceneryPart *part) {
    part->low = part->high = part->mesh.points[0];
    for (size_t i = 1; i < part->mesh.point_count; i++) {
        const Point3 *p = &part->mesh.points[i];
        part->low = point(fmin(part->low.across_mm, p->across_mm), fmin(part->low.back_mm, p->back_mm),
                          fmin(part->low.up_mm, p->up_mm));
        part->high = point(fmax(part->high.across_mm, p->across_mm), fmax(part->high.back_mm, p->back_mm),
                           fmax(part->high.up_mm, p->up_mm));
    }
}

static SceneryPart part_of(Arena *arena, const Model *set, int node, size_t first_facet) {
    const ModelNode *it = &set->nodes.items[node];
    const size_t count = it->mesh->vertices.count;
    Point3 *points = ARENA_ARRAY(arena, Point3, count), *normals = ARENA_ARRAY(arena, Point3, count);
    model_placed(set, node, points, normals);
    SceneryPart part = {.node = node, .thing = it->thing, .normals = normals};
    part.mesh = (RasterMesh){.points = points,
                             .point_count = count,
                             .indices = it->mesh->indices.items,
                             .index_count = it->mesh->indices.count,
                             .first_facet = first_facet};
    scenery_measure(&part);
    return part;
}

/* The ground's surface looks up, however steep its mounds; its edges and its underside do not. */
static void mark_edges(bool *is_edge, const SceneryPart *part) {
    for (size_t i = 0; i + 2 < part->mesh.index_count; i += 3) {
        const Point3 *points = part->mesh.points;
        const uint32_t *corner = &part->mesh.indices[i];
        const Point3 normal = point_cross(point_less(points[corner[1]], points[corner[0]]),
                                          point_less(points[corner[2]], points[corner[0]]));
        is_edge[part->mesh.first_facet + i / 3] = normal.up_mm <= 1e-3 * point_length(normal);
    }
}

static const bool *edges_of_ground(Arena *arena, const Scenery *scenery) {
    bool *is_edge = NULL;
    for (size_t i = 0; i < scenery->part_count; i++) {
        const SceneryPart *part = &scenery->parts[i];
        if (part->thing != scenery->plan->ground) continue;
        is_edge = ARENA_ARRAY(arena, bool, part->mesh.first_facet + part->mesh.index_count / 3);
        mark_edges(is_edge, part);
    }
    return is_edge;
}

Scenery *scenery_new(Arena *arena, const Plan *plan, const Model *set) {
    Scenery *scenery = ARENA_NEW(arena, Scenery);
    *scenery = (Scenery){.plan = plan, .set = set};
    scenery->parts = ARENA_ARRAY(arena, SceneryPart, set->nodes.count);
    for (size_t i = 0; i < set->nodes.count; i++) {
        const ModelNode *node = &set->nodes.items[i];
        if (!is_looked_at(node) || node->mesh->vertices.count == 0) continue;
        scenery->parts[scenery->part_count++] = part_of(arena, set, (int)i, scenery->facet_count);
        scenery->facet_count += node->mesh->indices.count / 3;
    }
    scenery->is_edge = edges_of_ground(arena, scenery);
    return scenery;
}

/* The puppet that stands in this shot where one of another shot stands too: they share a node. */
static int same_in_shot(const Plan *plan, int thing, int shot) {
    const PlanThing *shown = &plan->things[thing];
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *other = &plan->things[i];
        if (other->thing->shot == shot && set_same_stand(shown, other)) return (int)i;
    }
    return -1;
}

int scenery_seen_as(const Scenery *scenery, int thing, int shot) {
    const Thing *it = &scenery->plan->scene->things[thing];
    if (it->shot < 0 || it->shot == shot) return thing;
    return it->role == ROLE_PUPPET ? same_in_shot(scenery->plan, thing, shot) : -1;
}

/* Whether all of a part's box lies in front of the lens and beyond one side of the window. */
static bool is_beyond(const SceneryPart *part, const Raster *raster) {
    const RasterWindow *w = &raster->window;
    bool left = true, right = true, low = true, high = true;
    for (int corner = 0; corner < 8; corner++) {
        const Point3 at = {corner & 1 ? part->high.across_mm : part->low.across_mm,
                           corner & 2 ? part->high.back_mm : part->low.back_mm,
                           corner & 4 ? part->high.up_mm : part->low.up_mm};
        double x, y;
        if (!camera_project(&raster->camera, &raster->picture, at, &x, &y, NULL)) return false;
        left &= x < w->left_mm;
        right &= x > w->right_mm;
        low &= y < w->low_mm;
        high &= y > w->high_mm;
    }
    return left || right || low || high;
}

/* Mounds and hollows are the ground's own surface; nothing else is drawn under another's name. */
void scenery_draw(const Scenery *scenery, Raster *raster, int shot) {
    raster->solids_only = true; /* as mesh.h promises */
    for (size_t i = 0; i < scenery->part_count; i++) {
        const SceneryPart *part = &scenery->parts[i];
        const int thing = scenery_seen_as(scenery, part->thing, shot);
        if (thing >= 0 && !is_beyond(part, raster)) raster_mesh(raster, &part->mesh, thing);
    }
}

static const SceneryPart *part_with(const Scenery *scenery, size_t facet) {
    size_t low = 0, high = scenery->part_count; /* parts[low] begins at or before the facet */
    while (high - low > 1) {
        const size_t middle = low + (high - low) / 2;
        if (scenery->parts[middle].mesh.first_facet <= facet)
            low = middle;
        else
            high = middle;
    }
    return &scenery->parts[low];
}

/* The shares of the corners at the point where the ray from `lens` meets the triangle's plane; beside the
 * triangle (a pixel's centre on its edge) they are brought into it. */
static void shares_of(const Point3 corners[3], Point3 lens, Point3 ray, double share[3]) {
    const Point3 ab = point_less(corners[1], corners[0]), ac = point_less(corners[2], corners[0]);
    const Point3 to = point_less(lens, corners[0]), p = point_cross(ray, ac), q = point_cross(to, ab);
    const double edge_on =
        point_dot(ab, p); /* not 0 of what covers a pixel's centre; rounding may tell otherwise */
    share[1] = edge_on != 0 ? fmin(fmax(point_dot(to, p) / edge_on, 0), 1) : 0;
    share[2] = edge_on != 0 ? fmin(fmax(point_dot(ray, q) / edge_on, 0), 1 - share[1]) : 0;
    share[0] = 1 - share[1] - share[2];
}

bool scenery_hit(const Scenery *scenery, const Raster *raster, size_t pixel, SceneryHit *hit) {
    if (!raster->facet || raster->facet[pixel] == RASTER_NOTHING) return false;
    const size_t facet = (size_t)raster->facet[pixel];
    const SceneryPart *part = part_with(scenery, facet);
    const uint32_t *corner = &part->mesh.indices[3 * (facet - part->mesh.first_facet)];
    const Point3 corners[3] = {part->mesh.points[corner[0]], part->mesh.points[corner[1]],
                               part->mesh.points[corner[2]]};
    const Camera *camera = &raster->camera;
    double x, y, share[3];
    raster_pixel_mm(raster, pixel, &x, &y);
    shares_of(corners, point(camera->across_mm, -camera->distance_mm, camera->height_mm),
              camera_ray(camera, &raster->picture, x, y), share);
    *hit = (SceneryHit){.node = part->node};
    for (int k = 0; k < 3; k++) {
        hit->at = point_add(hit->at, point_times(corners[k], share[k]));
        hit->normal = point_add(hit->normal, point_times(part->normals[corner[k]], share[k]));
    }
    const double length = point_length(hit->normal);
    if (length > 0) hit->normal = point_times(hit->normal, 1 / length);
    return true;
}
