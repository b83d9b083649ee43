/* Works out single quantities of a scene on demand, in whatever order they hang on one another: every slot,
 * and the few things that are more than one number (a picture, a camera, where a thing stands, the outline of
 * the ground). Each is worked out once; circles are named whole, once; what hangs on a fault is poison and
 * silent. How each number came about is kept for `groundrow why`.
 *
 * Inside plan/ only: scene_to_plan.h is the stage. */
#ifndef GROUNDROW_RESOLVE_H
#define GROUNDROW_RESOLVE_H

#include "base/diagnostic.h"
#include "plan/allowances.h"
#include "plan/plan.h"

typedef enum NodeKind {
    NODE_SLOT,    /* index: slot */
    NODE_PICTURE, /* index: shot */
    NODE_CAMERA,  /* the planned one of a shot */
    NODE_CAMERAS, /* all allowed of a shot */
    NODE_FOOT,    /* index: thing; where its drawn foot is measured */
    NODE_PLACE,   /* index: thing; at and turn */
    NODE_GROUND,  /* index 0 */
    NODE_BASE,
    NODE_MOUNDS, /* all mounds and hollows */
    NODE_KINDS
} NodeKind;

typedef enum NodeState { NODE_UNSEEN, NODE_ACTIVE, NODE_KNOWN, NODE_POISON } NodeState;

typedef struct Node {
    NodeState state;
    const char *text; /* reason: as stated or a rule in words */
    const char *rule;
    LIST(int) inputs; /* node numbers, each once, in the order in which they were needed */
} Node;

typedef struct NodeVisit {
    int node;
    Span reference; /* in its own text, where the next node on the stack is asked for */
} NodeVisit;

enum { CHAIN_MOST = 1000 };

typedef struct Resolver {
    Arena *arena;
    const Scene *scene;
    Plan *plan;
    Diagnostics *diagnostics;
    int base_of[NODE_KINDS]; /* number of each kind's first node */
    int node_count;
    Node *nodes;
    NodeVisit stack[CHAIN_MOST];
    int depth;
    int *owner; /* of each slot: the thing that has it, puppets for their cast's and pose's; -1 */
    Field *owner_field;
    Point3 *feet;               /* NODE_FOOT's results */
    const Allowances *given_up; /* of each shot; NULL: none */
} Resolver;

Resolver *resolver_new(const Scene *scene, const FoundFile *found, Diagnostics *diagnostics);

/* Works the node out if it is not yet. `reference` is where it is asked for, in the text of the quantity that
 * is being worked out (none where a rule asks). False: it is not known, and that has been reported. */
bool resolve(Resolver *r, NodeKind kind, int index, Span reference);
/* A slot's value. */
bool resolve_slot(Resolver *r, int slot, Span reference, double *value);
/* The value of a word of a thing. */
bool resolve_field(Resolver *r, int thing, Field field, double *value);
/* Several slots at once: each is asked for even when one before it is not known, so that every fault is
 * found. */
typedef struct SlotInto {
    int slot;
    double *value;
} SlotInto;
bool resolve_all(Resolver *r, const SlotInto *wanted, size_t count);
/* Says how the node that is being worked out comes about. */
void resolve_because(Resolver *r, const char *rule, const char *text);

/* `tall` of piece `slab`, `height` of the camera. */
const char *slot_phrase(const Resolver *r, int slot);
/* the otter (puppets), `ferry` (others), the ground. */
const char *thing_phrase(const Resolver *r, int thing);
/* A length in a message, by the book's style; and one that can be written into a spec. */
const char *said_length(const Resolver *r, double mm);
const char *written_length(const Resolver *r, double mm);
/* A length on the drawing: `119.0 mm`; px where the shot's drawing is in px. */
const char *said_drawn(const Resolver *r, int shot, double mm, int decimals);

bool slot_stated(const Resolver *r, int slot);
bool field_stated(const Resolver *r, int thing, Field field);
/* The shot whose drawing speaks of a thing: its own, or the first. */
int shot_of(const Resolver *r, int thing);
/* Where to point for a slot: its formula, else its word. */
Span slot_span(const Resolver *r, int slot);

/* The makers of single nodes, each in its own file; true when known. */
bool make_picture(Resolver *r, int shot); /* plan_camera.c */
/* Of a picture's wishes, what its page says: pages, how much of them it takes, and where it bleeds; the
 * page's size is there already (plan_page.c). */
bool make_page(Resolver *r, int shot, PictureWishes *wishes);
bool page_default(Resolver *r, int shot, int slot, bool *handled, double *value);
void make_page_areas(Resolver *r, int shot);
bool make_camera(Resolver *r, int shot);
bool make_cameras(Resolver *r, int shot);
bool make_foot(Resolver *r, int thing); /* plan_place.c */
bool make_place(Resolver *r, int thing);
/* Other bodies in the planned camera's place; says which cannot be focused (plan_camera.c). */
void make_also(Resolver *r, int shot);
bool make_mounds(Resolver *r);
bool make_ground(Resolver *r); /* plan_ground.c */
bool make_base(Resolver *r);
/* What all allowed cameras see of the upright plane where an unturned panel stands: a width (with the panel's
 * middle, where `across` is left out) or a height (rules 27 and 28). */
bool make_cover(Resolver *r, int thing, Field field, Span reference, double *value);
/* How low a backdrop behind the ground's rear edge must reach, so that no allowed camera sees under it (rule
 * 28): 0 or less. The cameras are known. */
double foot_under_backdrop_mm(const Resolver *r, double back_mm, double rear_mm);
/* The foot of a panel's front face, without asking what it covers: `centred` where `across` is left out, and
 * then `foot` stands plumb under the lens's axis (plan_place.c). */
bool panel_foot(Resolver *r, int thing, Point3 *foot, bool *centred);
/* A length drawn where a thing stands into a real one (rules 31 and 32). */
bool make_drawn(Resolver *r, int thing, Field field, double drawn_mm, Span reference, double *real);
bool make_default(Resolver *r, int slot, double *value); /* plan_defaults.c */

/* What the book says of its tools: whether a number alone can be true of a sensor, a saw or a table (false:
 * said at its place), and what does not go together, once all that is stated is known (plan_tools.c). */
bool tool_makes_sense(Resolver *r, int slot, double value);
void check_tools(Resolver *r);

/* The scene's lamps and what they draw of the book's circuits; the base is known (plan_lamps.c). */
void make_lamps(Resolver *r);
void check_lamps(Resolver *r);

/* Puts what was built in the place of what was planned; the plan is whole, and its things are kept in
 * `as_planned` (plan_built.c). */
void plan_as_built(Resolver *r);

/* Whether a shot is planned without something that it allows (rule 100); the ground's margin is the first
 * shot's. */
bool gives_up(const Resolver *r, int shot, Allowance allowance); /* allowances.c */

/* How each number came about, into the plan (plan_reasons.c). */
void keep_reasons(Resolver *r);

/* Checks of a plan that is whole: warnings (plan_checks.c). */
void check_plan(Resolver *r);
/* Of what was built where nothing was planned: what stands into another thing, off the ground, or out of
 * sight. */
void check_built(Resolver *r);
void check_pages(Resolver *r); /* page_checks.c */
/* A warning, or the fact alone where the spec accepts it. */
void plan_warn(Resolver *r, const char *word, const char *thing, Span span, const char *help,
               const char *message);

#endif
