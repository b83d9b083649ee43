/* What each allowed camera sees of the set: shares of its frame, by counting pixels (docs/geometry.md, rule
 * 42). Made by set_to_seen.h. */
#ifndef GROUNDROW_SEEN_H
#define GROUNDROW_SEEN_H

#include <stddef.h>

/* Sides of the frame: the triangles that its diagonals cut. */
typedef enum FrameSide { SIDE_LEFT, SIDE_RIGHT, SIDE_TOP, SIDE_BOTTOM, SIDE_COUNT } FrameSide;

typedef struct SeenThing {
    double share;           /* of the frame, seen */
    double alone;           /* of the frame, were nothing in front of it; of planned cameras only, else 0 */
    int hidden_by;          /* the thing that hides most of it, or -1 */
    double hidden_by_share; /* how much of `alone` that hides */
} SeenThing;

typedef struct SeenCamera {
    int shot, camera;  /* indices into the plan's shots and their cameras */
    SeenThing *things; /* as many as the plan has, same order; all 0 for what stands in other shots */
    double ground;     /* share of the frame, mounds and hollows with it */
    double bare;       /* share where the frame shoots off the set */
    double bare_at[SIDE_COUNT]; /* they add up to `bare` */
    double bare_spare;          /* likewise of the frame moved out by the spare, as a share of that frame */
    double bare_spare_at[SIDE_COUNT];
} SeenCamera;

typedef struct Seen {
    SeenCamera *cameras; /* all of the first shot, planned one first, then of the next */
    size_t count;
} Seen;

#endif
