/* The groups of blocks of a plan's facts, and what they share. Only plan_to_facts.c puts them in order. */
#ifndef GROUNDROW_FACTS_OF_PLAN_H
#define GROUNDROW_FACTS_OF_PLAN_H

#include "plan/plan.h"
#include "report/facts.h"

typedef struct Writer {
    Facts *facts;
    Arena *arena;
    const Plan *plan;
    PlanDatum datum; /* where its tapes begin */
} Writer;

extern const FactWay WAY_CENTRE; /* right and left of the centre line */
extern const FactWay WAY_TILT;
extern const FactWay WAY_SIDE;                         /* right and left, where the line said from what */
extern const FactWay WAY_BEHIND_EDGE, WAY_BEFORE_EDGE; /* of the front edge: a thing, a lens */
extern const FactWay WAY_UP;                           /* above and below the flat ground */

Writer writer_new(Facts *facts, const Plan *plan);

/* One fact of one part. */
Fact *write_number(Writer *writer, FactBlock *block, const char *key, const char *label, FactKind kind,
                   double number);
Fact *write_way(Writer *writer, FactBlock *block, const char *key, const char *label, FactKind kind,
                double number, const FactWay *way);
Fact *write_text(Writer *writer, FactBlock *block, const char *key, const char *label, const char *text);
/* A place on plan: so far behind the front edge, so far right or left of the centre line. */
Fact *write_place(Writer *writer, FactBlock *block, const char *key, const char *label, Point3 place);

/* Behind a fact, the height at which it holds: `, held 6 in above the flat ground`; nothing on the flat
 * ground itself. */
void write_held_at(Writer *writer, Fact *fact, const char *before, double up_mm);

/* `heron`, or `heron in close` where there are several shots. */
const char *name_in_shot(const Writer *writer, const char *name, const PlanShot *shot);
/* `lens, from the base's front edge`. */
const char *front_edge_label(const Writer *writer);
bool has_shots(const Plan *plan);
/* Whether a thing stands in a shot. */
bool in_shot(const PlanThing *thing, size_t shot);
/* What is put on the set and seen: no ground, base, mound or opening. */
bool stands_on_set(const PlanThing *thing);
const char *lead_name(const Plan *plan, const PlanShot *shot);
/* A slot's value, or NAN where it has none. */
double slot_number(const Plan *plan, int slot);
/* A part in the drawing's own unit. */
FactPart drawn_part(const PlanShot *shot, const char *name, double mm);

/* What stands on the set and has no weight: puppets, and what has no stock, or one that does not say; or
 * NULL. */
const char *not_weighed(const Writer *writer);
/* Of a shot's own puppets together; NAN: of none it is known. */
double weight_of_puppets(const Writer *writer, int shot);

/* The groups. */
void facts_of_head(Writer *writer);
void facts_of_attention(Writer *writer);
void facts_of_tape_out(Writer *writer);
void facts_of_cameras(Writer *writer);
void facts_of_things(Writer *writer);
void facts_of_built(Writer *writer); /* what was built beside what was planned */
void facts_of_photos(Writer *writer);
void facts_of_seen(Writer *writer);
void facts_of_shares(Writer *writer);
void facts_of_allowed(Writer *writer);
void facts_of_covering(Writer *writer);
void facts_of_costs(Writer *writer); /* of allowances */
void facts_of_also(Writer *writer);
void facts_of_sharpness(Writer *writer);
void facts_of_print(Writer *writer);
void facts_of_sensors(Writer *writer);
void facts_of_load(Writer *writer);   /* tables and room */
void facts_of_holes(Writer *writer);  /* where the base is drilled */
void facts_of_lamps(Writer *writer);  /* and circuits */
void facts_of_parts(Writer *writer);  /* parts, how they lie on their sheets, and what they weigh */
void facts_of_weight(Writer *writer); /* what everything weighs */
void facts_of_points(Writer *writer); /* and the cameras as data */

/* Joints that lie along others under them; nothing where none do. */
void write_seams_in_line(Writer *writer, FactBlock *block);

/* How far an unknown moves for a millimetre on the drawing: ` (33 mm for each mm in the otter's drawn
 * height)`, behind the fact's last part; nothing where it does not move. */
void write_sensitivity(Writer *writer, Fact *fact, const PlanShot *shot, Unknown unknown);
/* How something is drawn from how it was, both seen: its foot, its height. */
Fact *write_shift(Writer *writer, FactBlock *block, const char *key, const char *label, const PlanShot *shot,
                  const PlanView *was, const PlanView *is);
/* What a camera has in its frame: ground, and where it shoots off the set. Nothing where nobody has looked.
 */
void write_frame_seen(Writer *writer, FactBlock *block, int shot, int camera);
/* What a shot names under `sharp`: which stop and focus hold it, or which exposures to stack. Nothing where
 * it names nothing. */
void write_sharp_together(Writer *writer, FactBlock *block, int shot);
/* How much of a frame is bare, and how much of it at which side (FrameSide of plan/seen.h). */
void write_bare_shares(Writer *writer, FactBlock *block, const char *key, const char *label, double bare,
                       const double at[]);
/* The lens, by its focal length and its name where it has one. */
Fact *write_lens(Writer *writer, FactBlock *block, const PlanCamera *camera);

#endif
