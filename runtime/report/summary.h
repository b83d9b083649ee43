/* What a book needs to know of a scene once the scene itself is gone: a deep copy, a few thousand bytes a
 * scene. */
#ifndef GROUNDROW_SUMMARY_H
#define GROUNDROW_SUMMARY_H

#include "plan/plan.h"
#include "report/facts.h"
#include "shop/book_cutting.h"
#include "shop/costs.h"

typedef struct SummaryPuppet {
    int cast;             /* index in the book's cast */
    const char *name;     /* the cast member's */
    const char *stand_in; /* as the scene calls it, where that is another name; else NULL */
    const char *pose;     /* or NULL */
    double tall_mm;       /* as it is built, in this pose */
    double enlargement;   /* of the drawing, where it stands */
    double printed_mm;    /* how tall it is on paper */
} SummaryPuppet;

/* A line of the report, as it stands there but for what hangs on the drawing. */
typedef struct SummaryLine {
    const char *label, *text;
} SummaryLine;
typedef LIST(SummaryLine) SummaryLines;

/* A line of the report's `attention`. */
typedef struct SummaryNote {
    const char *label, *text;
    bool warning,
        accepted; /* a warning, and whether the spec accepts it; else what was assumed and the like */
} SummaryNote;
typedef LIST(SummaryNote) SummaryNotes;

/* What the report says of the room, the tables, the circuits and the puppets' sizes: its blocks of these
 * kinds, with what is wanted of them. */
typedef struct SummaryFact {
    const char *key;
    const char *text, *short_text; /* short: in the book's own lengths alone */
} SummaryFact;
typedef struct SummaryBlock {
    const char *kind, *name, *shot;
    LIST(SummaryFact) facts;
} SummaryBlock;
typedef LIST(SummaryBlock) SummaryBlocks;

typedef struct SummaryShot {
    const char *name; /* `08-fog`, or `08-fog, wide` where the scene has several shots */
    const char *shot; /* its own name, and the one for files; "" where the scene is its own only shot */
    const char *id;
    const char *pages; /* `pages 8 and 9, a spread` */
    SummaryLines sizes;
    int body; /* index in the book, or -1 */
    const char *body_name;
    const char *lens_name; /* or NULL */
    double focal_mm, height_mm, distance_mm, tilt_rad;
    bool upright;
    double enlargement; /* of the drawing, at the mark */
    SummaryPuppet *puppets;
    size_t puppet_count;
} SummaryShot;

typedef struct Summary {
    const char *scene, *title;
    size_t turn; /* in the order in which sets are built; set by whoever knows the book */
    double build_wide_mm, build_deep_mm, build_tall_mm;
    SummaryLines sizes;
    SummaryNotes notes;
    SummaryBlocks blocks;
    SummaryShot *shots;
    size_t shot_count;
    const Cutting *cutting;              /* without its nests; NULL: nothing was cut */
    CutWithout without[ALLOW_COUNT + 1]; /* likewise, without each kind of what is allowed */
} Summary;

/* What a block says under a key, or NULL. */
const SummaryFact *summary_fact(const SummaryBlock *block, const char *key);

/* Everything in it belongs to `arena`; nothing points into plan or facts. */
Summary plan_to_summary(Arena *arena, const Plan *plan, const Facts *facts);

/* In the order in which their sets are built. */
const Summary **summaries_in_turn(Arena *arena, const Summary *summaries, size_t count);

/* What the book is cut from, its sets in the order in which they are built. */
const BookCutting *summaries_to_cutting(Arena *arena, const Summary *summaries, size_t count);

#endif
