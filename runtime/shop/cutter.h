/* What the parts of plan_to_parts share: one thing at a time, and the stock it is cut from. Inside shop/
 * only. */
#ifndef GROUNDROW_CUTTER_H
#define GROUNDROW_CUTTER_H

#include "plan/fixing.h"
#include "plan/tables.h"
#include "shop/layers.h"
#include "shop/plan_to_parts.h"

typedef struct Size2 {
    double wide_mm, tall_mm;
} Size2;

/* A layer with its seams: those that are alike are laid out once. */
typedef struct LaidOut LaidOut;

typedef struct Cutter {
    Arena *arena;
    const Plan *plan;
    const PlanThing *things; /* as planned */
    Diagnostics *diagnostics;
    Parts *parts;
    const Tables *tables; /* NULL: none are stated */
    Fixings fixings;      /* where the base is drilled */
    bool *mounds_cut;     /* of each thing: a mound that is cut, or cut as one with an earlier one */
    LIST(LaidOut) laid_out;
    /* of the thing that is being cut */
    int thing;
    const PlanThing *planned;
    const Thing *it; /* whose stock it is: the ground's, for a mound */
    int stock;
    double sheet_thick_mm; /* 0: as thick as what is cut from it */
    const Size2 *sizes;    /* whole sheets first, then what is on hand */
    size_t size_count;
    bool bars;
    bool faulty;                  /* said */
    const PlanThing *const *with; /* mounds that are cut as one with this one, itself the first */
    int with_count;
} Cutter;

/* What is cut out of sheets, in one part or several, and what is cut out of it: convex unless it is a
 * PART_PROFILE. */
typedef struct Surface {
    const char *label; /* `far bank`, `ferry front`, `ground layer 2 of 3` */
    const char *panel; /* between that and `1 of 2`: ` panel`, `,` or "" */
    PartShape shape;
    const PartPoint *corners; /* in the set's frame, or the thing's; anticlockwise */
    size_t corner_count;
    double area_mm2; /* exact */
    double finished_thick_mm;
    double up_mm;                /* of its lower side, where it lies level on the set */
    const PartOpening *openings; /* in the same frame */
    size_t opening_count;
    bool carved;                 /* all over, after it is cut */
    const PartOpening *carvings; /* else where, in the same frame */
    size_t carving_count;
    bool level, placed;
    bool on_tables; /* it lies on the cutter's tables */
    int copies;
} Surface;

/* The surface as one part, or as several with seams between them; what fits on no sheet is a fault. */
void cut_surface(Cutter *cutter, const Surface *surface);
/* Whether a box fits on some sheet of the stock. */
bool cutter_fits(const Cutter *cutter, double wide_mm, double tall_mm);
bool cutter_has_grain(const Cutter *cutter);
/* Adds a part of the current thing: its weight and grain are worked out, its outline is kept. */
void cutter_add(Cutter *cutter, Part part);

/* A layer of the current thing. */
typedef struct Layer {
    int stock;
    double low_mm;   /* of its lower side, above the lowest's */
    double sheet_mm; /* as sold */
    double left_mm;  /* as much of it as the thing is thick there: less at the top */
} Layer;
typedef struct Layers {
    const Layer *items;
    int count;
} Layers;

/* The layers that make `thick_mm`, from the bottom, one at least; none after a fault. Of several stocks by
 * rule 87; `cost` may be all 0. */
Layers cutter_layers(Cutter *cutter, double thick_mm, LayerCost cost);
/* `ground layer 2 of 3`; of only one, the name. */
const char *cutter_layer_label(const Cutter *cutter, const char *name, int layer, int layers);
/* From here on parts are cut from that layer's stock; false where it has no size, which is said. */
bool cutter_take_layer(Cutter *cutter, const Layer *layer);
/* Whether the current thing can be built of its several stocks; if not, that is said. */
bool cutter_take_layers(Cutter *cutter);
/* Thickness of a sheet, for something that thick. */
double cutter_sheet_mm(const Cutter *cutter, double thick_mm);

/* Weight of a square metre of its sheets, kg; NAN: not stated. */
double cutter_area_weight(const Cutter *cutter, double thick_mm);

/* Corners of a rectangle, or of an ellipse that fills it. */
PartPoint *rectangle_corners(Arena *arena, double x_mm, double y_mm, double wide_mm, double tall_mm);
enum { ELLIPSE_CORNERS = 72 };
PartPoint *ellipse_corners(Arena *arena, double x_mm, double y_mm, double wide_mm, double tall_mm);
double corners_area(const PartPoint *corners, size_t count);
/* What of a convex outline lies in a box; returns the count of corners (into `out`, which has room for
 * `count` + 4). */
size_t corners_in_box(const PartPoint *corners, size_t count, double x0, double y0, double x1, double y1,
                      PartPoint *out);

/* The parts of each kind of thing. */
void cut_level(Cutter *cutter, const Trapezoid *outline, double thick_mm, double top_mm, bool ground);
void cut_mound(Cutter *cutter);
void cut_panel(Cutter *cutter);
void cut_piece(Cutter *cutter);
/* The fault that a stock of lengths makes no such thing. */
void only_posts(Cutter *cutter);

/* `far bank` and the like, as a fault names it; and a length in it. */
const char *cutter_said(const Cutter *cutter, double mm);

#endif
