/* What each allowed camera sees of the set: shares of its frame, by counting pixels, how far the frame may be
 * moved before it shoots off, and what of the set must grow where it does (docs/geometry.md, rule 42). Made
 * by set_to_seen.h. */
#ifndef GROUNDROW_SEEN_H
#define GROUNDROW_SEEN_H

#include "base/arena.h"
#include "plan/scene.h"

#include <stdbool.h>
#include <stddef.h>

struct Plan;

/* Less of the frame than pixels can tell. */
#define SEEN_NOTHING 0.0005

/* Sides of the frame: the triangles that its diagonals cut. */
typedef enum FrameSide { SIDE_LEFT, SIDE_RIGHT, SIDE_TOP, SIDE_BOTTOM, SIDE_COUNT } FrameSide;

typedef struct SeenThing {
    double share;           /* of the frame, seen */
    double alone;           /* of the frame, were nothing in front of it; of planned cameras only, else 0 */
    int hidden_by;          /* the thing that hides most of it, or -1 */
    double hidden_by_share; /* how much of `alone` that hides */
    double hidden;          /* how much of `alone` is hidden, by whatever */
    double face_hidden;     /* of a puppet's face as far as it is in the frame; 0 where it is not */
    int face_hidden_by;     /* the thing that hides most of that, or -1 */
    double face_hidden_by_share; /* how much of the face that hides */
} SeenThing;

/* How far is looked beyond the frame: so much of its width to left and right, of its height up and down. */
#define SLACK_MOST 0.5

/* How much more the planned frame could take in before something shoots off. The camera stays where it is and
 * does not turn: the frame grows, or slides, on the drawing's plane. Right to 0.1 % of the frame. */
typedef struct SeenSlack {
    bool known;   /* of planned cameras only; else all is 0 */
    double wider; /* each edge may move out by this share of the frame's own width (left, right) or height
                     (top, bottom), as `spare` is meant: shot so, the picture is 1 / (1 + 2 wider) of what is
                     taken. 0 where it shoots off as it is */
    bool wider_at_least; /* nothing is bare as far as was looked: `wider` is SLACK_MOST */
    double tighter; /* where it shoots off: each edge must move in by this share until nothing is bare; 0.5
                       where the very middle is bare; else 0. Found by pixels, 160 to the width: up to 1 1/2
                       of them more than is needed */
    double move[SIDE_COUNT]; /* the frame, as large as it is, may slide to each side by this share of its
                                width (left, right) or height (top, bottom); 0 where it shoots off */
    bool move_at_least[SIDE_COUNT];
    double frame_wide_mm, frame_tall_mm; /* the frame at the mark: times a share, the lengths there. Width as
                                            camera_frame_mm (rule 11); height in the same scale, square to
                                            the axis */
} SeenSlack;

/* A panel that is bare at one of its sides alone, made longer at that side and moved along: its other edge
 * stays where it is, up to what is written in a spec. */
typedef struct SeenShift {
    double wide_mm;            /* 0: there is none. It grows at both sides, has openings, which count from its
                                  middle, or stands where the drawing has it */
    double across_mm, back_mm; /* of its middle */
    bool back_too;             /* it is turned, so that it moves back or forth as well */
} SeenShift;

/* One edge of one thing that must move out for the frame to be filled, and how the spec says so. A thing that
 * is centred grows on both sides where one is bare. */
typedef struct SeenGrowth {
    int thing;      /* whose edge: the backdrop, a flat, the ground; -1: a backdrop is missing */
    FrameSide side; /* of a backdrop or flat: its left, right, top or foot; of the ground: SIDE_TOP its rear,
                       SIDE_BOTTOM its front, SIDE_LEFT both of its sides, by the margin */
    double by_mm;   /* so far out on the set, rounded up to a whole cut; 0 for a missing backdrop */
    Field field;    /* the word that says it: FIELD_WIDE, FIELD_TALL, FIELD_UP (foot), of the ground
                       FIELD_MARGIN, FIELD_FRONT or FIELD_REAR; FIELD_BACK for a missing backdrop */
    double
        value_mm; /* its new value: `wide: value`, `ground: {rear: value}`, `backdrop: {at: {back: value}}` */
    SeenShift shift; /* with FIELD_WIDE: what serves instead */
} SeenGrowth;

typedef struct SeenGrowths {
    SeenGrowth *items; /* in order of thing, then side; each side of a thing once */
    size_t count;
} SeenGrowths;

typedef struct SeenCamera {
    int shot, camera;  /* indices into the plan's shots and their cameras */
    SeenThing *things; /* as many as the plan has, same order; all 0 for what stands in other shots */
    double ground;     /* share of the frame, mounds and hollows with it */
    double bare;       /* share where the frame shoots off the set */
    double bare_at[SIDE_COUNT]; /* they add up to `bare` */
    double bare_spare;          /* likewise of the frame moved out by the spare, as a share of that frame */
    double bare_spare_at[SIDE_COUNT];
    SeenGrowths closes;       /* what closes the frame; empty where nothing is bare */
    SeenGrowths closes_spare; /* and what closes it moved out by the spare: these too are closed by it */
    SeenSlack slack;
    const bool *lamps; /* as many as the plan has: it, or its stand, is in the frame and nothing hides it */
} SeenCamera;

/* What another body in the planned camera's place sees with its whole sensor. */
typedef struct SeenAlso {
    int shot, also;             /* indices into the plan's shots and their other bodies */
    double bare;                /* share of its whole frame that shoots off the set */
    double bare_at[SIDE_COUNT]; /* they add up to `bare` */
} SeenAlso;

/* What a photograph's camera sees of the set beyond the crop that equals the planned frame. */
typedef struct SeenPhoto {
    bool bare;                    /* something is bare in the crop itself */
    double beyond_px[SIDE_COUNT]; /* so much set before something is bare, or the photograph ends */
    bool to_edge[SIDE_COUNT];     /* the photograph ends there: with more of it, more set might be seen */
} SeenPhoto;

typedef struct Seen {
    SeenCamera *cameras; /* all of the first shot, planned one first, then of the next */
    size_t count;
    SeenGrowths closes; /* what closes every camera's frame, the spare included */
    SeenAlso *also;     /* all of the first shot, then of the next */
    size_t also_count;
    SeenPhoto *photos; /* as many as the scene's, same order */
} Seen;

/* What one camera sees; NULL where nobody has looked. */
const SeenCamera *seen_by(const struct Plan *plan, int shot, int camera);
/* Where a growth is: `left`, `right`, `top`, `foot`; of the ground `front`, `rear`, `sides`. */
const char *growth_edge(const struct Plan *plan, const SeenGrowth *growth);
/* How the spec says it, under the thing's own name: `wide: 7 ft 7 in`; `backdrop: {at: {back: 4 ft 6 in}}`.
 */
const char *growth_in_spec(Arena *arena, const struct Plan *plan, const SeenGrowth *growth);
/* `wide: 7 ft 5 in, at: {across: -1 in}`; NULL where there is no such shift. */
const char *growth_shift_in_spec(Arena *arena, const struct Plan *plan, const SeenGrowth *growth);
/* The edge that it keeps: `right` where the left one moves out. */
const char *growth_kept_edge(const SeenGrowth *growth);

#endif
