/* What a scene is cut from: every thing that has a `stock` as parts, each a flat shape out of one sheet, or a
 * length of timber (docs/geometry.md, rules 80 to 89). Made by shop/plan_to_parts.h from what was planned;
 * belongs to the arena it was made in. */
#ifndef GROUNDROW_PARTS_H
#define GROUNDROW_PARTS_H

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct PartPoint {
    double x_mm, y_mm;
} PartPoint;

typedef enum PartShape {
    PART_RECTANGLE,
    PART_OUTLINE, /* straight edges, convex: a panel of a trapezoid */
    PART_PROFILE, /* straight edges, not convex: the side of steps, a traced cutout, hills together */
    PART_CONTOUR, /* an ellipse: a layer of a mound, cut before it is carved */
    PART_DISC,    /* as wide as tall */
    PART_LENGTH   /* of timber: `tall_mm` long, `wide_mm` thick */
} PartShape;

/* Cut out of a part: a door or window, or where a hollow goes right through a layer. */
typedef struct PartOpening {
    const char *name;
    bool round; /* an ellipse that fills its box; else a rectangle */
    /* The box, in the part's frame; where a seam cuts a round one, it reaches past the part. */
    double x_mm, y_mm, wide_mm, tall_mm;
} PartOpening;

/* Which way the stock's grain runs in a part. */
typedef enum PartGrain { GRAIN_NONE, GRAIN_ALONG_X, GRAIN_ALONG_Y } PartGrain;

/* A part lies in its own frame: its box from 0, 0 to wide, tall; x to the right as the camera sees the thing,
 * y up, or back where it lies on the level. */
typedef struct Part {
    const char *name; /* `base 1 of 2`, `ground layer 2 of 3`, `far bank panel 1 of 2`, `ferry front` */
    int thing;        /* index into the plan's things */
    int stock;        /* index into the scene's stocks */
    PartShape shape;
    double wide_mm, tall_mm;  /* as cut */
    double thick_mm;          /* of the sheet it is cut from */
    double finished_thick_mm; /* less where it is planed, turned down or carved all over; else the same */
    bool carved;              /* somewhere after it is cut: it does not keep its shape */
    /* Corners, anticlockwise; of contours and discs those of a polygon with its corners on them. */
    const PartPoint *outline;
    size_t outline_count;
    double area_mm2; /* of the shape itself, openings taken out */
    const PartOpening *openings;
    size_t opening_count;
    int copies; /* alike; rows count */
    PartGrain grain;
    bool level; /* lies flat: its place is then on the set, else on its thing */
    /* Of the box's corner at 0, 0. On the set: across and back, and its lower side's height. On its thing:
     * from the thing's left edge and above its foot, where that says anything (`placed`). */
    bool placed;
    double at_x_mm, at_y_mm, at_up_mm;
    double weight_kg; /* of one, as cut; NAN where its stock does not say */
} Part;

/* Where sheets of one layer meet: across the set (level, at a `back`) or square to its front edge. */
typedef struct PartSeam {
    int thing;
    bool across;           /* runs across, at back = at_mm; else runs back, at across = at_mm */
    double at_mm;          /* of ground and base: on the set; else from the thing's left edge, or its foot */
    double from_mm, to_mm; /* between which it runs, the other way */
    bool level;            /* of what lies level: between these heights on the set */
    double low_mm, top_mm;
    bool on_tables; /* of what lies on the tables: the base's lowest layer, else the ground's */
} PartSeam;

typedef struct PartsOfThing {
    int thing;
    size_t first, count; /* into items */
    double weight_kg;    /* as cut; NAN where a stock does not say */
} PartsOfThing;

/* Parts that nothing is left for, and nothing that can be bought is large enough. */
typedef struct PartsLacking {
    int thing, stock;
    int count; /* copies counted */
} PartsLacking;

typedef struct Parts {
    LIST(Part) items; /* thing by thing, in the plan's order; layers from the bottom */
    LIST(PartSeam) seams;
    LIST(PartsOfThing) things;     /* that have a stock */
    LIST(PartsLacking) lacking;    /* stock by stock, thing by thing, where the set is cut by itself */
    double weight_kg;              /* of all that is known */
    bool weight_whole;             /* no stock lacks its weight */
    const struct Cutting *cutting; /* on which sheets they lie (shop/cutting.h); NULL with faults */
} Parts;

#endif
