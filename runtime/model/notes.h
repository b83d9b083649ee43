/* What the parts of the notes share, and the two things of which most of them are made: lines and cards. Only
 * notes_to_model.c puts the parts in order. */
#ifndef GROUNDROW_NOTES_H
#define GROUNDROW_NOTES_H

#include "model/model.h"
#include "plan/plan.h"
#include "report/facts.h"

/* Lines, and the rims and letters of cards, by what they speak of. */
typedef enum Ink {
    INK_SIZE,   /* how large something is built */
    INK_CAMERA, /* where the camera stands and what it sees */
    INK_FOCUS,
    INK_BARE,  /* where the set is missing in a frame */
    INK_PHOTO, /* where the camera of a photograph stood */
    INK_CHALK  /* on the ground */
} Ink;

/* What all that is built spans. */
typedef struct Extent {
    double left_mm, right_mm, front_mm, rear_mm, foot_mm, top_mm;
} Extent;

typedef struct Notes {
    Arena *arena;
    Model *model;
    const Plan *plan;
    const Facts *facts;
    int group;
    Extent build;
    double line_mm;   /* radius of a line beside the set: a thousandth of what a viewer frames */
    double gap_mm;    /* between what is built and what is noted about it */
    double letter_mm; /* capitals beside the set */
} Notes;

int notes_material(Notes *notes, Ink ink);

/* Among the things on the set, where lines and cards are in the picture: radius and capitals so large that
 * the first shot's camera shows them fine and readable at that place. */
double notes_fine_line_mm(const Notes *notes, Point3 at);
double notes_fine_letter_mm(const Notes *notes, Point3 at);

/* Whether a shot's camera stands in the picture of another one: then it is noted with as little as possible.
 */
bool notes_in_anothers_picture(const Notes *notes, const PlanShot *shot);

/* As facts_label, without directions. */
const char *notes_value(const Notes *notes, const char *heading, const char *key, const char *part);

/* A line through `count` points, as one node named `name`; `closed` joins the last to the first. */
int notes_line(Notes *notes, int parent, const char *name, Ink ink, const Point3 *points, size_t count,
               bool closed, double radius_mm);

/* From one place to another, an arrowhead at both ends. `from_foot` and `to_foot` are where what is measured
 * ends: thin lines lead from there. Returns a group for what else belongs to it. */
typedef struct Dimension {
    const char *name;
    Ink ink;
    Point3 from, to, from_foot, to_foot;
    double line_mm; /* radius */
} Dimension;
int notes_dimension(Notes *notes, int parent, const Dimension *dimension);

enum { CARD_LINES = 14 };

/* A lettered card, readable from both sides. */
typedef struct Card {
    Ink ink;
    Point3 at;                     /* where the point of the card stands that */
    double share_across, share_up; /* these say: -1, -1 its lower left corner, 0, 0 its middle */
    double left_rad, lean_rad;     /* as model_turn */
    double letter_mm;
    bool from_left;                    /* lines begin below each other; else they are centred */
    const char *lines[CARD_LINES + 1]; /* from the top; NULL ends them */
} Card;
void notes_card(Notes *notes, int parent, const char *name, const Card *card);
/* Its size, rim included. */
void notes_card_size(const Card *card, double *wide_mm, double *tall_mm);

/* The parts. */
void notes_of_sizes(Notes *notes);   /* build, ground, flats, leading ones, the centre line */
void notes_of_cameras(Notes *notes); /* each shot's planned camera, its frame, its focus */
void notes_of_growth(Notes *notes);  /* where the frames shoot off: what is missing of the set */
void notes_of_lamps(Notes *notes);   /* each with its stand */
void notes_of_photos(Notes *notes);  /* cameras of photographs, as they stood */
/* and the board, which lists the sizes of what stands in the picture */
void notes_of_drawings(Notes *notes);

#endif
