/* What the files that make patterns share: one pattern, in the upright plane of what it is of, and the pages
 * that it is laid out on. Inside picture/ only. */
#ifndef GROUNDROW_PATTERN_H
#define GROUNDROW_PATTERN_H

#include "base/pixels.h"
#include "picture/canvas.h"
#include "plan/cutout.h"
#include "plan/plan.h"

/* Places on it: x to the right of the middle of its foot, y up from its foot, mm as built. */
typedef struct Pattern {
    const char *name;                          /* `heron`; `heron in near` where a shot has it alone */
    const PlanThing *thing;                    /* as planned */
    const PlanShot *shot;                      /* whose drawing it is from */
    const Pixels *image;                       /* the drawing; NULL: none */
    CutoutOutline outline;                     /* of cutouts */
    double left_mm, right_mm, low_mm, high_mm; /* all of it, rim and tab included */
    double tab_mm;                             /* under the foot; 0: none */
    double enlarged;                           /* of the drawing, at its foot */
    bool squared;                              /* made smaller, under a grid, on one page: the backdrop's */
    int columns, rows, first_page;
    int full_tiles; /* where it is squared: as many pages as it takes at full size */
} Pattern;

/* A place on a pattern, and a part of it. */
typedef struct PatternPoint {
    double x_mm, y_mm;
} PatternPoint;
typedef struct PatternArea {
    double left_mm, low_mm, right_mm, high_mm;
} PatternArea;

/* Paper, upright, and what of it a tile takes. */
typedef struct PatternPaper {
    double wide_mm, tall_mm;
    double tile_wide_mm, tile_tall_mm;
} PatternPaper;

#define PATTERN_RIM_MM 10.0
#define PATTERN_FOOT_MM 17.0
#define PATTERN_OVERLAP_MM 10.0

/* What the drawing shows of an area, laid on a box of paper; white off the drawing. */
void pattern_lay_drawing(Canvas *canvas, const Pattern *it, PatternArea area, CanvasBox paper);
/* The part of a board that is on the drawing: corners in their order, at most so many; none: 0. */
enum { PATTERN_DRAWN_CORNERS = 12 };
size_t pattern_drawn_part(const Pattern *it, PatternPoint corners[PATTERN_DRAWN_CORNERS]);
/* Whether a thing of the scene is an opening of this board, and where on it. */
bool pattern_opening(const Plan *plan, const Pattern *it, size_t index, PatternArea *area);

/* `A1`; rows go on with `AA` after `Z`. */
const char *pattern_tile_name(Arena *arena, int row, int column);
/* A tile's page: row 0 is the top, column 0 the left. */
void pattern_draw_tile(Canvas *canvas, Arena *arena, const Plan *plan, const PatternPaper *paper,
                       const Pattern *pattern, int row, int column);
/* The page of a board that is squared up: what the drawing shows of it, smaller, under a grid that is chalked
 * on the board. */
void pattern_draw_squared(Canvas *canvas, Arena *arena, const Plan *plan, const PatternPaper *paper,
                          const Pattern *pattern);
/* The first pages: how to print and join, the test square, and a map of every pattern's tiles. With no canvas
 * nothing is drawn. Returns how many pages they take; a canvas stands on the last one then. */
int pattern_draw_index(Canvas *canvas, Arena *arena, const Plan *plan, const PatternPaper *paper,
                       const Pattern *patterns, size_t count, int pages);

#endif
