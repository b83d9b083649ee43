/* Ground, base and upright panels: layers of sheets (docs/geometry.md, rules 80 to 82). */
#include "base/number.h"
#include "plan/cutout.h"
#include "plan/relief.h"
#include "shop/cutter.h"

#include <math.h>

/* A hollow's bottom that lies in a layer's lower side reaches no farther than that. */
static const double HAIR_MM = 1e-3;

static PartOpening contour_box(const PlanThing *relief, double share) {
    const double wide = relief->wide_mm * share, deep = relief->deep_mm * share;
    return (PartOpening){.name = relief->thing->name,
                         .round = true,
                         .x_mm = relief->at.across_mm - wide / 2,
                         .y_mm = relief->at.back_mm - deep / 2,
                         .wide_mm = wide,
                         .tall_mm = deep};
}

/* One that lies off the ground is not there. */
static bool is_hollow(const Plan *plan, const PlanThing *thing) {
    return thing->thing->role == ROLE_HOLLOW && plan_relief_place(plan, thing) != RELIEF_OFF_GROUND;
}

/* How far hollows reach at `down_mm` under the flat ground: right through a layer whose lower side is there,
 * into one whose upper side is. */
static size_t holes_of(const Cutter *cutter, double down_mm, PartOpening *holes) {
    size_t count = 0;
    for (size_t i = 0; i < cutter->plan->scene->thing_count; i++) {
        const PlanThing *relief = &cutter->things[i];
        if (!is_hollow(cutter->plan, relief)) continue;
        if (down_mm < relief->tall_mm - HAIR_MM)
            holes[count++] = contour_box(relief, mound_contour(relief->tall_mm, down_mm));
    }
    return count;
}

typedef struct Depth {
    const Cutter *cutter;
    double thick_mm; /* of the ground */
} Depth;

/* What is cut out of a layer of the ground need not be carved. */
static double hollows_cost(const void *what, double low_mm, double thick_mm) {
    const Depth *depth = what;
    double through = 0;
    for (size_t i = 0; i < depth->cutter->plan->scene->thing_count; i++) {
        const PlanThing *relief = &depth->cutter->things[i];
        if (!is_hollow(depth->cutter->plan, relief)) continue;
        const double share = mound_contour(relief->tall_mm, depth->thick_mm - low_mm);
        through += PI / 4 * relief->wide_mm * relief->deep_mm * share * share;
    }
    return -through * thick_mm;
}

static bool lies_on_tables(const Cutter *cutter, bool ground) {
    return cutter->tables && (!ground || cutter->plan->base < 0);
}

void cut_level(Cutter *cutter, const Trapezoid *t, double thick_mm, double top_mm, bool ground) {
    const PartPoint corners[4] = {{t->front_left_mm, t->front_mm},
                                  {t->front_right_mm, t->front_mm},
                                  {t->rear_right_mm, t->rear_mm},
                                  {t->rear_left_mm, t->rear_mm}};
    const bool square = t->front_left_mm == t->rear_left_mm && t->front_right_mm == t->rear_right_mm;
    const Depth depth = {cutter, thick_mm};
    const Layers layers =
        cutter_layers(cutter, thick_mm, ground ? (LayerCost){hollows_cost, &depth} : (LayerCost){0});
    for (int i = 0; i < layers.count && !cutter->faulty; i++) {
        const Layer *layer = &layers.items[i];
        const double up = top_mm - thick_mm + layer->low_mm;
        cutter_take_layer(cutter, layer);
        PartOpening *holes = ARENA_ARRAY(cutter->arena, PartOpening, cutter->plan->scene->thing_count);
        PartOpening *carvings = ARENA_ARRAY(cutter->arena, PartOpening, cutter->plan->scene->thing_count);
        Surface surface = {.label = cutter_layer_label(cutter, cutter->planned->thing->name, i, layers.count),
                           .panel = layers.count > 1 ? "," : "",
                           .shape = square ? PART_RECTANGLE : PART_OUTLINE,
                           .corners = corners,
                           .corner_count = 4,
                           .area_mm2 = corners_area(corners, 4),
                           .finished_thick_mm = layer->left_mm,
                           .up_mm = up,
                           .openings = holes,
                           .opening_count = ground ? holes_of(cutter, -up, holes) : 0,
                           .carvings = carvings,
                           .carving_count = ground ? holes_of(cutter, -up - layer->left_mm, carvings) : 0,
                           .level = true,
                           .on_tables = i == 0 && lies_on_tables(cutter, ground),
                           .copies = 1};
        cut_surface(cutter, &surface);
    }
}

/* Openings of a flat, from its left edge and its foot. */
static size_t openings_in(const Cutter *cutter, PartOpening *openings) {
    const Plan *plan = cutter->plan;
    size_t count = 0;
    for (size_t i = 0; i < plan->scene->thing_count; i++) {
        const PlanThing *opening = &cutter->things[i];
        if (opening->thing->role != ROLE_OPENING || opening->thing->parent != cutter->thing) continue;
        openings[count++] =
            (PartOpening){.name = opening->thing->name,
                          .x_mm = cutter->planned->wide_mm / 2 + opening->at.across_mm - opening->wide_mm / 2,
                          .y_mm = opening->at.up_mm,
                          .wide_mm = opening->wide_mm,
                          .tall_mm = opening->tall_mm};
    }
    return count;
}

/* What of a panel is cut: a traced cutout's outline, else its rectangle. */
static void outline_panel(const Cutter *cutter, Surface *surface) {
    const PlanThing *panel = cutter->planned;
    const CutoutOutline outline = plan_cutout(cutter->arena, cutter->plan, panel);
    if (outline.count == 0) return;
    surface->shape = PART_PROFILE;
    surface->corners = outline.points;
    surface->corner_count = outline.count;
    surface->area_mm2 = corners_area(outline.points, outline.count);
}

void cut_panel(Cutter *cutter) {
    const PlanThing *panel = cutter->planned;
    PartOpening *openings = ARENA_ARRAY(cutter->arena, PartOpening, cutter->plan->scene->thing_count);
    const size_t opening_count = openings_in(cutter, openings);
    const Layers layers = cutter_layers(cutter, panel->deep_mm, (LayerCost){0});
    for (int i = 0; i < layers.count && !cutter->faulty; i++) {
        Surface surface = {.label = cutter_layer_label(cutter, panel->thing->name, i, layers.count),
                           .panel = layers.count > 1 ? ", panel" : " panel",
                           .shape = PART_RECTANGLE,
                           .corners = rectangle_corners(cutter->arena, 0, 0, panel->wide_mm, panel->tall_mm),
                           .corner_count = 4,
                           .area_mm2 = panel->wide_mm * panel->tall_mm,
                           .finished_thick_mm = layers.items[i].left_mm,
                           .openings = openings,
                           .opening_count = opening_count,
                           .copies = panel->row_count};
        outline_panel(cutter, &surface);
        cut_surface(cutter, &surface);
    }
}
