/* Pieces of simple shapes (docs/geometry.md, rule 83): hollow, of panels that butt, where their stock is thin
 * beside them; else a stack of layers. */
#include "base/number.h"
#include "shop/cutter.h"

#include <math.h>

/* Sizes that are equal on paper differ by less. */
static const double HAIR_MM = 1e-3;

static void cut_shape(Cutter *cutter, const char *what, PartShape shape, const PartPoint *corners,
                      size_t count, double area_mm2, double thick_mm, int copies) {
    const char *name = cutter->planned->thing->name;
    const Surface surface = {.label = what[0] ? arena_format(cutter->arena, "%s %s", name, what) : name,
                             .panel = ",",
                             .shape = shape,
                             .corners = corners,
                             .corner_count = count,
                             .area_mm2 = area_mm2,
                             .finished_thick_mm = thick_mm,
                             .copies = copies * cutter->planned->row_count};
    if (!cutter->faulty) cut_surface(cutter, &surface);
}

static void cut_rectangle(Cutter *cutter, const char *what, double wide_mm, double tall_mm, double thick_mm,
                          int copies) {
    cut_shape(cutter, what, PART_RECTANGLE, rectangle_corners(cutter->arena, 0, 0, wide_mm, tall_mm), 4,
              wide_mm * tall_mm, thick_mm, copies);
}

/* --- solid: a stack of layers -------------------------------------------------------------------------- */

/* How much of its footprint a solid of this shape has at a height, in shares of its width and depth. */
static Size2 section(const PlanThing *piece, double up_mm) {
    const double share = 1 - up_mm / piece->tall_mm;
    switch (piece->thing->shape) {
    case SHAPE_CONE:
        return (Size2){share, share};
    case SHAPE_WEDGE:
        return (Size2){1, share};
    case SHAPE_STEPS: {
        const double rise = piece->tall_mm / piece->steps;
        return (Size2){1, 1 - floor((up_mm + HAIR_MM) / rise) / piece->steps};
    }
    default:
        return (Size2){1, 1};
    }
}

/* As much as is cut for a layer, in shares of the footprint. */
static double section_cost(const void *piece, double low_mm, double thick_mm) {
    const Size2 share = section(piece, low_mm);
    return share.wide_mm * share.tall_mm * thick_mm;
}

/* Each layer is as large as the piece is at that layer's lower side, and carved down from there. */
static void cut_stack(Cutter *cutter) {
    const PlanThing *piece = cutter->planned;
    const bool round = piece->thing->shape == SHAPE_POST || piece->thing->shape == SHAPE_CONE;
    const bool upright = piece->thing->shape == SHAPE_POST || piece->thing->shape == SHAPE_BOX;
    const size_t first = cutter->parts->items.count;
    const Layers layers = cutter_layers(cutter, piece->tall_mm, (LayerCost){section_cost, piece});
    for (int i = 0; i < layers.count && !cutter->faulty; i++) {
        const Layer *layer = &layers.items[i];
        const Size2 share = section(piece, layer->low_mm);
        const double wide = piece->wide_mm * share.wide_mm, deep = piece->deep_mm * share.tall_mm;
        const char *what =
            layers.count > 1 ? arena_format(cutter->arena, "layer %d of %d", i + 1, layers.count) : "";
        cutter_take_layer(cutter, layer);
        if (round)
            cut_shape(cutter, what, wide == deep ? PART_DISC : PART_CONTOUR,
                      ellipse_corners(cutter->arena, 0, 0, wide, deep), ELLIPSE_CORNERS, PI / 4 * wide * deep,
                      layer->left_mm, 1);
        else
            cut_rectangle(cutter, what, wide, deep, layer->left_mm, 1);
    }
    for (size_t i = first; i < cutter->parts->items.count; i++)
        cutter->parts->items.items[i].carved = !upright;
}

/* --- hollow: panels that butt -------------------------------------------------------------------------- */

/* The top covers front, back and sides, and front and back cover the sides; there is no bottom. */
static void cut_box(Cutter *cutter, double s) {
    const PlanThing *box = cutter->planned;
    cut_rectangle(cutter, "top", box->wide_mm, box->deep_mm, s, 1);
    cut_rectangle(cutter, "front", box->wide_mm, box->tall_mm - s, s, 1);
    cut_rectangle(cutter, "back", box->wide_mm, box->tall_mm - s, s, 1);
    cut_rectangle(cutter, "sides", box->deep_mm - 2 * s, box->tall_mm - s, s, 2);
}

/* The slope covers all; the back stands under it, its upper edge bevelled; sides between them. */
static void cut_wedge(Cutter *cutter, double s) {
    const PlanThing *wedge = cutter->planned;
    const double slope = hypot(wedge->deep_mm, wedge->tall_mm);
    const double upright = s * slope / wedge->deep_mm; /* the slope's thickness, measured upright */
    const double foot = upright * wedge->deep_mm / wedge->tall_mm;
    const double deep = wedge->deep_mm - s - foot;
    const double tall = deep * wedge->tall_mm / wedge->deep_mm;
    PartPoint *side = ARENA_ARRAY(cutter->arena, PartPoint, 3);
    side[1] = (PartPoint){deep, 0};
    side[2] = (PartPoint){deep, tall};
    cut_rectangle(cutter, "slope", wedge->wide_mm, slope, s, 1);
    cut_rectangle(cutter, "back", wedge->wide_mm, wedge->tall_mm - upright, s, 1);
    cut_shape(cutter, "sides", PART_OUTLINE, side, 3, deep * tall / 2, s, 2);
}

/* Treads cover the risers under them and reach back under the next; sides between risers and back. */
static void cut_steps(Cutter *cutter, double s) {
    const PlanThing *steps = cutter->planned;
    const int n = steps->steps;
    const double rise = steps->tall_mm / n, tread = steps->deep_mm / n;
    PartPoint *side = ARENA_ARRAY(cutter->arena, PartPoint, 2 * n + 2);
    size_t count = 0;
    side[count++] = (PartPoint){0, 0};
    side[count++] = (PartPoint){steps->deep_mm - 2 * s, 0};
    for (int i = n; i >= 1; i--) { /* anticlockwise: up the back, then down the steps */
        const double right = i == n ? steps->deep_mm - 2 * s : i * tread;
        side[count++] = (PartPoint){right, i * rise - s};
        side[count++] = (PartPoint){(i - 1) * tread, i * rise - s};
    }
    count--; /* the last one but at the foot */
    side[count++] = (PartPoint){0, rise - s};
    if (n > 1) cut_rectangle(cutter, "treads", steps->wide_mm, tread + s, s, n - 1);
    cut_rectangle(cutter, n > 1 ? "top tread" : "tread", steps->wide_mm, tread, s, 1);
    cut_rectangle(cutter, "risers", steps->wide_mm, rise - s, s, n);
    cut_rectangle(cutter, "back", steps->wide_mm, steps->tall_mm - s, s, 1);
    cut_shape(cutter, "sides", n > 1 ? PART_PROFILE : PART_RECTANGLE, side, count, corners_area(side, count),
              s, 2);
}

/* --- posts out of lengths ------------------------------------------------------------------------------ */

void only_posts(Cutter *cutter) {
    const Stock *stock = &cutter->plan->scene->stocks[cutter->stock];
    Diagnostic *d =
        diagnostics_error(cutter->diagnostics, cutter->it->stock_span,
                          "stock `%s` is sold in lengths: only posts are cut from it, and `%s` is none",
                          stock->name, cutter->it->name);
    diagnostic_note(cutter->diagnostics, d, stock->span, "the stock");
    diagnostic_help(cutter->diagnostics, d, "name a stock that has a `sheet`");
    cutter->faulty = true;
}

static bool bar_is_thick_enough(Cutter *cutter) {
    const double thick = cutter->sheet_thick_mm;
    if (thick == 0 || cutter->planned->wide_mm <= thick + 1e-6) return true;
    const Stock *stock = &cutter->plan->scene->stocks[cutter->stock];
    Diagnostic *d = diagnostics_error(cutter->diagnostics, cutter->it->stock_span,
                                      "`%s` is %s thick, but stock `%s` only %s", cutter->it->name,
                                      cutter_said(cutter, cutter->planned->wide_mm), stock->name,
                                      cutter_said(cutter, thick));
    diagnostic_note(cutter->diagnostics, d, stock->span, "the stock");
    diagnostic_help(cutter->diagnostics, d, "a thicker stock, or a thinner post");
    cutter->faulty = true;
    return false;
}

static void cut_post(Cutter *cutter) {
    const PlanThing *post = cutter->planned;
    const char *name = post->thing->name;
    double most = 0;
    if (!bar_is_thick_enough(cutter)) return;
    for (size_t i = 0; i < cutter->size_count; i++)
        most = fmax(most, cutter->sizes[i].tall_mm);
    const int lengths = (int)fmax(1, fmin(ceil(post->tall_mm / most - 1e-9), 1000));
    if (lengths > 1 && cutter->it->whole) {
        Diagnostic *d = diagnostics_error(
            cutter->diagnostics, cutter->it->whole_span,
            "`%s` is %s long, which is more than any length of `%s`, and is not to be split", name,
            cutter_said(cutter, post->tall_mm), cutter->plan->scene->stocks[cutter->stock].name);
        diagnostic_help(cutter->diagnostics, d, "leave `split: off` out, and it is cut in several parts");
        cutter->faulty = true;
        return;
    }
    for (int i = 0; i < lengths; i++) {
        const double thick = cutter->sheet_thick_mm > 0 ? cutter->sheet_thick_mm : post->wide_mm;
        const double tall = post->tall_mm / lengths;
        cutter_add(cutter, (Part){.name = lengths > 1 ? arena_format(cutter->arena, "%s %d of %d", name,
                                                                     i + 1, lengths)
                                                      : name,
                                  .shape = PART_LENGTH,
                                  .wide_mm = thick,
                                  .tall_mm = tall,
                                  .finished_thick_mm = post->wide_mm,
                                  .outline = rectangle_corners(cutter->arena, 0, 0, thick, tall),
                                  .outline_count = 4,
                                  .area_mm2 = thick * tall,
                                  .copies = post->row_count,
                                  .placed = lengths > 1,
                                  .at_y_mm = i * tall});
    }
}

/* --- a piece ------------------------------------------------------------------------------------------- */

/* Panels must leave room for one another inside. */
static bool is_hollow(const Cutter *cutter, double s) {
    const PlanThing *piece = cutter->planned;
    const double rise = piece->tall_mm / fmax(piece->steps, 1),
                 tread = piece->deep_mm / fmax(piece->steps, 1);
    const double two = 2 * s - HAIR_MM, four = 4 * s - HAIR_MM;
    switch (piece->thing->shape) {
    case SHAPE_BOX:
        return piece->wide_mm >= four && piece->deep_mm >= four && piece->tall_mm >= two;
    case SHAPE_WEDGE: /* the triangle under the slope is the smaller one */
        return piece->wide_mm >= four &&
               piece->deep_mm - s - s * hypot(piece->deep_mm, piece->tall_mm) / piece->tall_mm >= two;
    case SHAPE_STEPS:
        return piece->wide_mm >= four && rise >= two && tread >= two && piece->deep_mm >= four;
    default:
        return false;
    }
}

void cut_piece(Cutter *cutter) {
    const PlanThing *piece = cutter->planned;
    const ThingShape shape = piece->thing->shape;
    const double s = cutter->sheet_thick_mm;
    if (cutter->bars && shape != SHAPE_POST)
        only_posts(cutter);
    else if (cutter->bars)
        cut_post(cutter);
    else if (shape == SHAPE_CUTOUT)
        cut_panel(cutter);
    else if (cutter->it->layer_count > 0 || s == 0 || !is_hollow(cutter, s))
        cut_stack(cutter);
    else if (shape == SHAPE_BOX)
        cut_box(cutter, s);
    else if (shape == SHAPE_WEDGE)
        cut_wedge(cutter, s);
    else
        cut_steps(cutter, s);
}
