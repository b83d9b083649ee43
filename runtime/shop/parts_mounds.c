/* Mounds in layers: each by itself, or those that share a place together (docs/geometry.md, rules 82 and 89).
 */
#include "plan/relief.h"
#include "shop/contours.h"
#include "shop/cutter.h"

#include <math.h>

/* --- contours that are no ellipses --------------------------------------------------------------------- */

static void cut_tops(Cutter *cutter, const char *label, const Layer *layer, const Cells *tops) {
    for (size_t i = 0; i < tops->count && !cutter->faulty; i++) {
        const Cell *top = &tops->items[i];
        const Surface surface = {.label = tops->count == 1 ? label
                                                           : arena_format(cutter->arena, "%s, top %zu of %zu",
                                                                          label, i + 1, tops->count),
                                 .panel = ",",
                                 .shape = PART_PROFILE,
                                 .corners = top->corners,
                                 .corner_count = top->count,
                                 .area_mm2 = corners_area(top->corners, top->count),
                                 .carved = true,
                                 .finished_thick_mm = cutter_sheet_mm(cutter, layer->sheet_mm),
                                 .up_mm = layer->low_mm,
                                 .level = true,
                                 .copies = 1};
        cut_surface(cutter, &surface);
    }
}

/* Over the ground's edge a layer is cut off. */
static void cut_on_ground(Cutter *cutter, const char *label, const Layer *layer, const Cells *tops) {
    const Trapezoid *ground = &cutter->plan->ground_outline;
    Cells kept = {0};
    for (size_t i = 0; i < tops->count; i++) {
        const Cells on = outline_is_on_ground(ground, &tops->items[i])
                             ? (Cells){.items = &tops->items[i], .count = 1}
                             : outline_on_ground(cutter->arena, ground, tops->items[i]);
        for (size_t k = 0; k < on.count; k++)
            LIST_PUSH(cutter->arena, kept, on.items[k]);
    }
    cut_tops(cutter, label, layer, &kept);
}

/* --- one ----------------------------------------------------------------------------------------------- */

/* In shares of the mound's foot. */
static double mound_cost(const void *what, double low_mm, double thick_mm) {
    const PlanThing *mound = what;
    const double share = mound_contour(mound->tall_mm, low_mm);
    return share * share * thick_mm;
}

static void cut_ellipse(Cutter *cutter, const char *label, const Layer *layer) {
    const PlanThing *mound = cutter->planned;
    const double share = mound_contour(mound->tall_mm, layer->low_mm);
    const double wide = mound->wide_mm * share, deep = mound->deep_mm * share;
    const Surface surface = {.label = label,
                             .panel = ",",
                             .shape = PART_CONTOUR,
                             .corners = ellipse_corners(cutter->arena, mound->at.across_mm - wide / 2,
                                                        mound->at.back_mm - deep / 2, wide, deep),
                             .corner_count = ELLIPSE_CORNERS,
                             .area_mm2 = PI / 4 * wide * deep,
                             .carved = true,
                             .finished_thick_mm = cutter_sheet_mm(
                                 cutter, mound->tall_mm), /* what is carved off is no layer's thickness */
                             .up_mm = layer->low_mm,
                             .level = true,
                             .copies = 1};
    Cell ellipse = {surface.corners, surface.corner_count};
    if (outline_is_on_ground(&cutter->plan->ground_outline, &ellipse))
        cut_surface(cutter, &surface);
    else
        cut_on_ground(cutter, label, layer, &(Cells){.items = &ellipse, .count = 1});
}

static void cut_alone(Cutter *cutter) {
    const PlanThing *mound = cutter->planned;
    if (plan_relief_place(cutter->plan, mound) == RELIEF_OFF_GROUND) return; /* told as such */
    const Layers layers = cutter_layers(cutter, mound->tall_mm, (LayerCost){mound_cost, mound});
    for (int i = 0; i < layers.count && !cutter->faulty; i++) {
        cutter_take_layer(cutter, &layers.items[i]);
        cut_ellipse(cutter, cutter_layer_label(cutter, mound->thing->name, i, layers.count),
                    &layers.items[i]);
    }
}

/* --- several ------------------------------------------------------------------------------------------- */

/* All mounds that share a place with this one, or with one that does, in the plan's order. */
static MoundGroup group_of(Cutter *cutter, int first) {
    Arena *scratch = arena_new();
    const size_t count = cutter->plan->scene->thing_count;
    size_t *found = ARENA_ARRAY(scratch, size_t, count), all = 0;
    bool *in = ARENA_ARRAY(scratch, bool, count);
    in[first] = true;
    found[all++] = (size_t)first;
    for (size_t k = 0; k < all; k++) {
        for (size_t i = 0; i < count; i++) {
            if (in[i] || cutter->things[i].thing->role != ROLE_MOUND ||
                !plan_reliefs_meet(&cutter->things[i], &cutter->things[found[k]]))
                continue;
            in[i] = true;
            found[all++] = i;
        }
    }
    const PlanThing **mounds = ARENA_ARRAY(cutter->arena, const PlanThing *, all);
    MoundGroup group = {.mounds = mounds};
    for (size_t i = 0; i < count; i++) {
        if (!in[i]) continue;
        mounds[group.count++] = &cutter->things[i];
        cutter->mounds_cut[i] = true;
    }
    arena_free(scratch);
    return group;
}

static const char *group_name(Arena *arena, const MoundGroup *group) {
    Buffer name = buffer_new(arena);
    for (int i = 0; i < group->count; i++)
        buffer_format(&name, "%s%s",
                      i == 0                 ? ""
                      : i + 1 < group->count ? ", "
                                             : " and ",
                      group->mounds[i]->thing->name);
    return buffer_text(&name);
}

static double group_cost(const void *what, double low_mm, double thick_mm) {
    return group_area_mm2(what, low_mm) * thick_mm;
}

static void cut_group(Cutter *cutter, const MoundGroup *group) {
    const char *name = group_name(cutter->arena, group);
    const Layers layers = cutter_layers(cutter, group_top_mm(group), (LayerCost){group_cost, group});
    for (int i = 0; i < layers.count && !cutter->faulty; i++) {
        const Layer *layer = &layers.items[i];
        Cells tops = {0};
        cutter_take_layer(cutter, layer);
        group_contours(cutter->arena, group, layer->low_mm, &tops);
        cut_on_ground(cutter, cutter_layer_label(cutter, name, i, layers.count), layer, &tops);
    }
}

void cut_mound(Cutter *cutter) {
    if (cutter->mounds_cut[cutter->thing]) return; /* with an earlier one */
    const MoundGroup group = group_of(cutter, cutter->thing);
    cutter->with = group.mounds;
    cutter->with_count = group.count;
    if (group.count == 1)
        cut_alone(cutter);
    else
        cut_group(cutter, &group);
}
