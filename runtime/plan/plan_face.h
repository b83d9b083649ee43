/* Where a puppet's face shows on the page, and what is wrong with that place (docs/geometry.md, rule 47). */
#ifndef GROUNDROW_PLAN_FACE_H
#define GROUNDROW_PLAN_FACE_H

#include "plan/plan.h"

typedef struct PlanFace {
    PageArea area;   /* on the drawing */
    bool in_picture; /* some of it is; nothing below holds otherwise */
    bool in_gutter;  /* some of it is in the strip along the fold */
    bool off_safe;   /* some of it is off the safe areas, or off the picture where there are none, and not in
                        the gutter */
    int text;        /* the first text area that some of it is under, or -1 */
} PlanFace;

/* The face of a puppet that is `tall_mm` and has its eyes at `eyes_mm`, in the upright plane across the set
 * through its axis: the box round its eyes, as tall as twice what is above them and as wide, on the drawing.
 * False (nothing set) at or behind the lens. */
bool plan_face_area(const PlanThing *puppet, const Camera *camera, const Picture *picture, PageArea *area);
/* The same through a shot's planned camera, against what lies on its page. Whether something on the set
 * stands in front of the face is not asked. */
bool plan_face(const PlanThing *puppet, const PlanShot *shot, PlanFace *face);

/* A move on the drawing to one side. */
typedef struct PageMove {
    double by_mm; /* right or up positive */
    bool up;      /* along y */
} PageMove;
/* The least ones that bring `inner` clear of `other`, to each of the four sides, the least first. */
void page_moves_clear(PageArea inner, PageArea other, PageMove moves[4]);
PageArea page_area_moved(PageArea area, PageMove move);
/* How far `inner` reaches out of `outer`, at the side where it does so most: 0 or more, and the move that
 * brings that side in. */
PageMove page_move_within(PageArea inner, PageArea outer);

#endif
