/* Plan and side elevation: what the two share. */
#ifndef GROUNDROW_SHEET_VIEW_H
#define GROUNDROW_SHEET_VIEW_H

#include "picture/sheet.h"

/* What is drawn of the set, in its own frame. The floor is `low_mm` where it is known. */
typedef struct SheetSpan {
    double left_mm, right_mm, front_mm, rear_mm, low_mm, high_mm;
} SheetSpan;

/* What is drawn: the set alone, or all that stands in the room. */
typedef enum SheetViewsKind { VIEWS_SET, VIEWS_ROOM } SheetViewsKind;

/* Both views of a shot, laid out. */
typedef struct SheetViews {
    Sheets *sheets;
    SheetViewsKind kind;
    const char *title; /* `The set, shot wide` */
    size_t shot_index;
    const PlanShot *shot;
    SheetSpan span;
    int scale;        /* 1 to so much */
    double px_per_mm; /* points on paper for a millimetre of the set */
    CanvasBox plan;   /* the span from above: right is right, up is back */
    CanvasBox side;   /* from the right side: right is back, up is up */
    Labels labels;    /* of the view being drawn */
} SheetViews;

CanvasPoint sheet_on_plan(const SheetViews *views, double across_mm, double back_mm);
CanvasPoint sheet_on_side(const SheetViews *views, double back_mm, double up_mm);

/* Takes a place into the span. */
void sheet_take(SheetSpan *span, double across_mm, double back_mm, double up_mm);
/* Whether a thing is in the views' shot. */
bool sheet_in_view(const SheetViews *views, size_t thing);
/* How things are drawn, by what they are. */
uint32_t sheet_fill(const PlanThing *thing);
LineStyle sheet_outline(const PlanThing *thing);
/* Its name (and number) beside `box`; the number alone where there is no room. */
void sheet_name_thing(SheetViews *views, size_t thing, CanvasBox box);
/* `planned`, and what is known of others. */
void sheet_draw_camera(SheetViews *views, CanvasPoint lens, CanvasPoint sensor, bool planned);
/* The block that describes the planned camera: `camera`, or `camera wide`. */
const char *sheet_camera_heading(const SheetViews *views);

/* Over the view that begins at `sheets->y_px`, clear of the dimension lines at its left. Returns what it
 * takes. */
CanvasBox sheet_view_heading(SheetViews *views, const char *text);
/* How to set the camera, beside its place on the plan, where there is room; no label goes there. */
void sheet_camera_list(SheetViews *views);

/* Where the base's boards meet, and where it is drilled. */
void sheet_draw_seams(SheetViews *views);
void sheet_draw_holes(SheetViews *views);
/* What stands under and beside the set: the tables, and lamps with their stands. */
const char *sheet_room_words(const Sheets *sheets); /* `Tables and cameras` */
void sheet_take_room(SheetViews *views);
void sheet_draw_tables_plan(SheetViews *views);
void sheet_name_tables(SheetViews *views);
void sheet_draw_tables_side(SheetViews *views);
void sheet_draw_lamps_plan(SheetViews *views);
void sheet_draw_lamps_side(SheetViews *views);
void sheet_name_lamps(SheetViews *views, bool side);

/* Room beside them for dimension lines: at the left, and at the right of the side elevation. */
enum { DIMENSIONS_LEFT_PX = 38, DIMENSIONS_RIGHT_PX = 44 };
void sheet_draw_plan(SheetViews *views);
void sheet_draw_side(SheetViews *views);

#endif
