#include "see/point_sight.h"

#include "model/plan_to_set.h"
#include "optics/space.h"

#include <math.h>

static const double PEN_MM = 3, ON_IT_MM = 4;

/* From the lens to shortly before a point. */
typedef struct Line {
    Point3 from, way; /* `way` as long as the line */
} Line;

/* Whether any of a box is on the line. */
static bool crosses_box(const Line *line, Point3 low, Point3 high) {
    const double from[3] = {line->from.across_mm, line->from.back_mm, line->from.up_mm},
                 way[3] = {line->way.across_mm, line->way.back_mm, line->way.up_mm},
                 least[3] = {low.across_mm, low.back_mm, low.up_mm},
                 most[3] = {high.across_mm, high.back_mm, high.up_mm};
    double start = 0, end = 1;
    for (int i = 0; i < 3; i++) {
        if (way[i] == 0) {
            if (from[i] < least[i] || from[i] > most[i]) return false;
            continue;
        }
        const double a = (least[i] - from[i]) / way[i], b = (most[i] - from[i]) / way[i];
        start = fmax(start, fmin(a, b));
        end = fmin(end, fmax(a, b));
    }
    return start <= end;
}

/* Moller and Trumbore (1997): how far along the line it meets a triangle; false: not at all. */
static bool meets(const Line *line, Point3 a, Point3 b, Point3 c, double *when) {
    const Point3 ab = point_less(b, a), ac = point_less(c, a), p = point_cross(line->way, ac);
    const double edge_on = point_dot(ab, p);
    if (edge_on == 0) return false;
    const Point3 to = point_less(line->from, a), q = point_cross(to, ab);
    const double u = point_dot(to, p) / edge_on, v = point_dot(line->way, q) / edge_on;
    *when = point_dot(ac, q) / edge_on;
    return u >= 0 && v >= 0 && u + v <= 1 && *when > 0 && *when < 1;
}

/* The first of a part on the line, before `*first`. */
static bool is_first(const Line *line, const RasterMesh *mesh, double *first) {
    bool any = false;
    for (size_t i = 0; i + 2 < mesh->index_count; i += 3) {
        double when;
        if (!meets(line, mesh->points[mesh->indices[i]], mesh->points[mesh->indices[i + 1]],
                   mesh->points[mesh->indices[i + 2]], &when) ||
            when >= *first)
            continue;
        *first = when;
        any = true;
    }
    return any;
}

/* What is first on the line in a shot, but for one thing; -1: nothing. */
static int first_on(const Scenery *scenery, const Line *line, int shot, int but) {
    double first = 1;
    int thing = -1;
    for (size_t i = 0; i < scenery->part_count; i++) {
        const SceneryPart *part = &scenery->parts[i];
        const int seen = scenery_seen_as(scenery, part->thing, shot);
        if (seen < 0 || seen == but || !crosses_box(line, part->low, part->high)) continue;
        if (is_first(line, &part->mesh, &first)) thing = seen;
    }
    return thing;
}

static Line line_to(Point3 lens, Point3 at) {
    const Point3 way = point_less(at, lens);
    const double length = point_length(way);
    return (Line){lens, point_times(way, fmax(1 - ON_IT_MM / fmax(length, 1e-9), 0))};
}

/* The thing whose own points are not hidden by it, or -1. */
static int on_axis_of(const Plan *plan, size_t shot, const PlanPoint *point) {
    if (point->thing < 0) return plan->shots[shot].shot->lead; /* the mark is where it stands */
    switch (plan->scene->things[point->thing].shape) {
    case SHAPE_FIGURE:
    case SHAPE_POST:
    case SHAPE_CONE:
        return point->thing;
    default:
        return -1;
    }
}

static int hidden_by(const Scenery *scenery, size_t shot, Point3 lens, const PlanPoint *it) {
    const int but = on_axis_of(scenery->plan, shot, it);
    Line line = line_to(lens, it->at);
    const int thing = first_on(scenery, &line, (int)shot, but);
    if (thing < 0 || point_length(line.way) == 0) return -1;
    Point3 sides[2];
    point_sides(point_unit(line.way), &sides[0], &sides[1]);
    for (int i = 0; i < 4; i++) {
        line = line_to(lens, point_toward(it->at, sides[i / 2], i % 2 == 0 ? PEN_MM : -PEN_MM));
        if (first_on(scenery, &line, (int)shot, but) < 0) return -1;
    }
    return thing;
}

int *points_hidden_by(Arena *arena, const Scenery *scenery, size_t shot, const PlanPoint *points,
                      size_t count) {
    const Camera *camera = &scenery->plan->shots[shot].cameras[0].camera;
    const Point3 lens = {camera->across_mm, -camera->distance_mm, camera->height_mm};
    int *by = ARENA_ARRAY(arena, int, count);
    for (size_t i = 0; i < count; i++)
        by[i] = points[i].on_set ? hidden_by(scenery, shot, lens, &points[i]) : -1;
    return by;
}

const int *const *points_hidden(Arena *arena, const Plan *plan) {
    const Scenery *scenery = scenery_new(arena, plan, plan_to_set(arena, plan));
    const int **by = ARENA_ARRAY(arena, const int *, plan->shot_count);
    for (size_t s = 0; s < plan->shot_count; s++) {
        size_t count;
        const PlanPoint *points = plan_points(arena, plan, s, &count);
        by[s] = points_hidden_by(arena, scenery, s, points, count);
    }
    return by;
}
