/* A thing in layers: of its one stock, or of several that differ in thickness (docs/geometry.md, rules 80 and
 * 87). */
#include "shop/cutter.h"

#include <math.h>

static const double HAIR_MM = 1e-3;

/* Said once for a thing; it is then cut no further. */
static void too_many_layers(Cutter *cutter) {
    const Stock *stock = &cutter->plan->scene->stocks[cutter->stock];
    const bool several = cutter->it->layer_count > 0;
    if (cutter->faulty) return;
    Diagnostic *d = diagnostics_error(
        cutter->diagnostics, cutter->it->stock_span, "`%s` would take more than %d layers of %s",
        cutter->planned->thing->name, LAYERS_MOST,
        several ? "its stocks" : arena_format(cutter->arena, "`%s`", stock->name));
    if (!several) diagnostic_note(cutter->diagnostics, d, stock->span, "the stock");
    diagnostic_help(cutter->diagnostics, d, "a thicker stock");
    cutter->faulty = true;
}

/* --- several stocks ------------------------------------------------------------------------------------ */

static const Stock *stock_of(const Cutter *cutter, size_t i) {
    return &cutter->plan->scene->stocks[cutter->it->layers[i].stock];
}

static double thick_of(const Cutter *cutter, size_t i) {
    const int slot = stock_of(cutter, i)->thick;
    const Plan *plan = cutter->plan;
    return plan->known[slot] && plan->scene->slots[slot].stated ? plan->values[slot] : NAN;
}

/* The ground's are said for the ground, not again for each of its mounds. */
static Diagnostic *fault_of(Cutter *cutter, size_t i, const char *message) {
    if (cutter->planned->thing != cutter->it) return NULL;
    Diagnostic *d = diagnostics_error(cutter->diagnostics, cutter->it->layers[i].span, "%s", message);
    diagnostic_note(cutter->diagnostics, d, stock_of(cutter, i)->span, "the stock");
    return d;
}

static bool makes_layers(Cutter *cutter, size_t i) {
    const char *name = stock_of(cutter, i)->name;
    const bool bars = cutter->plan->scene->slots[stock_of(cutter, i)->bar_long].stated;
    if (!bars && !isnan(thick_of(cutter, i))) return true;
    Diagnostic *d =
        fault_of(cutter, i,
                 arena_format(cutter->arena,
                              bars ? "stock `%s` is sold in lengths: it makes no layers"
                                   : "stock `%s` has no thickness: which layers to cut from it is not known",
                              name));
    if (d)
        diagnostic_help(cutter->diagnostics, d,
                        bars ? "name a stock that has a `sheet`" : "write `thick: 2 in` into it");
    return false;
}

/* Of two that are as thick as each other, neither is the better. */
static bool differs(Cutter *cutter, size_t i) {
    for (size_t k = 0; k < i; k++) {
        if (!(fabs(thick_of(cutter, k) - thick_of(cutter, i)) < HAIR_MM)) continue;
        Diagnostic *d =
            fault_of(cutter, i,
                     arena_format(cutter->arena, "`%s` and `%s` are both %s thick", stock_of(cutter, k)->name,
                                  stock_of(cutter, i)->name, cutter_said(cutter, thick_of(cutter, i))));
        if (d) diagnostic_help(cutter->diagnostics, d, "leave one of the two out");
        return false;
    }
    return true;
}

static bool is_layered(Cutter *cutter) {
    if (cutter->it->shape != SHAPE_CUTOUT) return true;
    Diagnostic *d = diagnostics_error(cutter->diagnostics, cutter->it->layers[1].span,
                                      "`%s` is a cutout, which is not built of several stocks in layers",
                                      cutter->it->name);
    diagnostic_help(cutter->diagnostics, d, "name one stock");
    return false;
}

bool cutter_take_layers(Cutter *cutter) {
    bool whole = is_layered(cutter);
    for (size_t i = 0; i < cutter->it->layer_count; i++) {
        const Layer layer = {.stock = cutter->it->layers[i].stock};
        whole &= cutter_take_layer(cutter, &layer) && makes_layers(cutter, i) && differs(cutter, i);
    }
    return whole;
}

static Layers mixed_layers(Cutter *cutter, double thick_mm, LayerCost cost) {
    double thick[LAYER_STOCKS_MOST];
    int chosen[LAYERS_MOST];
    const int kinds = (int)cutter->it->layer_count;
    for (int i = 0; i < kinds; i++)
        thick[i] = thick_of(cutter, (size_t)i);
    const int count = layers_choose(cutter->arena, thick, kinds, thick_mm, cost, chosen);
    if (count == 0) too_many_layers(cutter);
    Layer *layers = ARENA_ARRAY(cutter->arena, Layer, count);
    double low = 0;
    for (int i = 0; i < count; i++) {
        const double sheet = thick[chosen[i]], left = thick_mm - low;
        layers[i] = (Layer){.stock = cutter->it->layers[chosen[i]].stock,
                            .low_mm = low,
                            .sheet_mm = sheet,
                            .left_mm = left < sheet - HAIR_MM ? left : sheet};
        low += sheet;
    }
    return (Layers){layers, count};
}

/* --- one ----------------------------------------------------------------------------------------------- */

static Layers even_layers(Cutter *cutter, double thick_mm) {
    const double sheet = cutter_sheet_mm(cutter, thick_mm);
    const int count = (int)fmax(1, fmin(ceil((thick_mm - HAIR_MM) / sheet), LAYERS_MOST + 1));
    if (count > LAYERS_MOST) {
        too_many_layers(cutter);
        return (Layers){0};
    }
    Layer *layers = ARENA_ARRAY(cutter->arena, Layer, count);
    for (int i = 0; i < count; i++)
        layers[i] = (Layer){.stock = cutter->stock, .low_mm = i * sheet, .sheet_mm = sheet, .left_mm = sheet};
    const double left = thick_mm - (count - 1) * sheet;
    layers[count - 1].left_mm = fabs(left - sheet) <= HAIR_MM ? sheet : fmin(left, sheet);
    return (Layers){layers, count};
}

Layers cutter_layers(Cutter *cutter, double thick_mm, LayerCost cost) {
    return cutter->it->layer_count > 0 ? mixed_layers(cutter, thick_mm, cost) : even_layers(cutter, thick_mm);
}

const char *cutter_layer_label(const Cutter *cutter, const char *name, int layer, int layers) {
    return layers == 1 ? name : arena_format(cutter->arena, "%s layer %d of %d", name, layer + 1, layers);
}
