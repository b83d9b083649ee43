/* A scene worked out: every size, place and camera as a number. Millimetres and radians in the frame of the
 * set (origin at the first shot's mark on the flat ground; across to the right of the picture, back away from
 * the camera, up). What is worked out is rounded as docs/geometry.md, rule 36, says, so that model, report
 * and references show one size; every number is finite and snapped to 2^-20 mm. Belongs to the scene's arena,
 * and points into the Scene. */
#ifndef GROUNDROW_PLAN_H
#define GROUNDROW_PLAN_H

#include "base/diagnostic.h"
#include "optics/camera.h"
#include "optics/camera_solve.h"
#include "optics/other_body.h"
#include "plan/page_areas.h"
#include "plan/scene.h"

typedef struct PlanThing {
    const Thing *thing;
    Point3 at;       /* middle of the footprint (panels: middle of the front face's foot); up: of its foot */
    double turn_rad; /* left positive */
    double wide_mm, tall_mm,
        deep_mm;    /* as built; posts: wide = deep = thick; panels: deep = thick; 0: has none */
    double eyes_mm; /* above its foot; 0: none */
    int row_count;  /* 1 without a row */
    double row_every_mm;
    int steps;
    double left_mm, right_mm, front_mm, rear_mm, top_mm, foot_mm; /* extremes, the whole row included */
    bool hung;                                                    /* `up` or a drawn foot above the ground */
} PlanThing;

/* One allowed camera. The first of a shot is the planned one. */
typedef struct PlanCamera {
    const char *name; /* `planned`, `60 mm, 9 in up`: for reports */
    const char *id;   /* `[A-Za-z0-9_-]` only, unique in the scene: for glTF */
    Camera camera;    /* in the frame of the set: distance_mm counts from the first shot's mark */
    int lens_kind;    /* by name, or -1 */
} PlanCamera;

/* Another body with a lens where the planned camera stands. */
typedef struct PlanAlso {
    const Also *also;
    const char *name;                /* `test, 40 mm lens`, `test, portrait lens` */
    OtherBody other;                 /* its camera in the frame of the set */
    double pixels_wide, pixels_tall; /* as it is held; 0: not stated */
} PlanAlso;

typedef struct PlanShot {
    const Shot *shot;
    const char *name; /* "" where the scene is its own only shot */
    const char *id;   /* the name for files: `[a-z0-9_-]` only, unlike any other shot's; "" likewise */
    int body;         /* index; the book's only one where the spec names none */
    Point3 mark;      /* ground or top under the leading thing */
    Picture picture;
    PageAreas areas;        /* trim, bleed, safe areas, gutter, text: what is drawn over pictures */
    double drawn_px_per_mm; /* 0: the drawing is in mm; else what px are in mm of Picture's drawing */
    int lead;               /* index into things */
    Point3 focus;
    double spare;
    double stop;             /* N; 0: none stated */
    CameraProblem problem;   /* in the mark's own frame */
    CameraSolution solution; /* in the mark's own frame */
    PlanCamera *cameras;
    size_t camera_count;
    PlanAlso *also; /* as many as the shot states */
    size_t also_count;
} PlanShot;

/* A trapezoid on the level: front and rear edges across the set. */
typedef struct Trapezoid {
    double front_mm, rear_mm;
    double front_left_mm, front_right_mm, rear_left_mm, rear_right_mm;
} Trapezoid;

typedef struct PlanLamp {
    const Lamp *lamp;
    Point3 at;
    double watts;
    double colour_k, clear_mm; /* 0: not stated */
    double amps;               /* what it draws; 0 where no circuit is stated */
    bool on_stand;             /* beside the base; else it hangs over it */
} PlanLamp;

typedef struct PlanCircuit {
    const Circuit *circuit;
    double amps, volts; /* its rating */
    double load_amps;   /* of this scene's lamps */
    int lamp_count;     /* that it feeds */
} PlanCircuit;

/* Which camera asks for a covering size, and what the plan alone would need. */
typedef enum Edge {
    EDGE_FRONT,
    EDGE_FRONT_LEFT,
    EDGE_FRONT_RIGHT,
    EDGE_REAR_LEFT,
    EDGE_REAR_RIGHT,
    EDGE_COUNT
} Edge;

typedef struct PlanAsk {
    int shot, camera;  /* -1: stated by the spec, or asked for by a thing (`thing`) */
    int thing;         /* -1: none */
    double value_mm;   /* as planned */
    double planned_mm; /* what the planned cameras alone would need */
} PlanAsk;

typedef struct PlanCover {
    int thing;
    Field field; /* FIELD_WIDE or FIELD_TALL */
    PlanAsk ask;
} PlanCover;

typedef struct PlanWarning {
    const char *word;  /* `drawn-apart` */
    const char *thing; /* its name, or a section's word */
    const char *message;
    const char *help; /* or NULL */
    bool accepted;    /* by `accept` */
    Span span;
} PlanWarning;

/* How a number came about, for `groundrow why`: one node a quantity, inputs by index. */
typedef struct Reason {
    const char *path; /* `far bank.tall`, `the camera`, `the allowed cameras` */
    const char *text; /* as stated (`40 mm drawn`), or a rule in words (`eyes unstated: 0.9 of its height`) */
    const char *value; /* printed, with unit */
    const char *rule;  /* where it stands in docs/geometry.md (`rule 31`), or NULL */
    Span span;         /* none where it was not stated */
    int *inputs;
    size_t input_count;
} Reason;

typedef struct Plan {
    const Scene *scene;
    const FoundFile *found; /* as many as scene->wanted */
    PlanThing *things;      /* as many as scene->things, same order; as built where the spec says so */
    PlanThing *as_planned;  /* the same as planned; NULL where nothing is told as built */
    PlanShot *shots;
    size_t shot_count;
    double *values; /* of every slot; NAN where it is not known */
    bool *known;
    double agree_mm, cut_mm;
    int ground, base; /* indices of things; base is -1 where the spec has none */
    Trapezoid ground_outline, base_outline;
    double ground_thick_mm, base_thick_mm, table_tall_mm; /* 0: none stated */
    PlanAsk ground_asks[EDGE_COUNT];
    PlanCover *covers;
    size_t cover_count;
    PlanLamp *lamps;                /* as many as scene->lamps, same order */
    PlanCircuit *circuits;          /* as many as scene->circuits */
    const struct LinedUp *lined_up; /* what photographs say; NULL without any (photo/plan_to_lined_up.h) */
    const struct Parts *parts;      /* what it is cut from (parts.h); NULL until plan_to_parts.h has cut it */
    const struct Costs *costs; /* of what it allows (shop/costs.h); NULL until plan_to_costs.h has tried */
    const struct Seen *seen;   /* what its cameras see of the set; NULL until set_to_seen.h has looked */
    PlanWarning *warnings;
    size_t warning_count;
    Reason *reasons;
    size_t reason_count;
    double build_wide_mm, build_deep_mm,
        build_tall_mm; /* of all that is built (base, ground, flats, pieces, backdrop) */
} Plan;

/* Height of the ground (mounds and hollows) above the flat ground at a place (rule 34). */
double plan_ground_mm(const Plan *plan, double across_mm, double back_mm);
/* How high a mound is at a place, or how deep a hollow. */
double plan_relief_mm(const PlanThing *relief, double across_mm, double back_mm);
/* Where a tape begins: the base's front edge (the ground's where there is no base) and the centre line, plumb
 * under the lens's axis of the first shot's planned camera (docs/geometry.md, rule 26). */
typedef struct PlanDatum {
    double front_mm, centre_mm;
    Trapezoid outline;
    double top_mm;     /* up of what carries the outline's edge */
    const char *owner; /* `base` or `ground` */
} PlanDatum;
PlanDatum plan_datum(const Plan *plan);
/* Its things as planned, also where some are told as built; as many as the scene has. */
PlanThing *plan_planned(const Plan *plan);
/* Where a thing's drawn foot is measured: puppets, posts and cones on their axis, panels at the front face's
 * foot, others the middle of the front face's lower edge (rule 31). */
Point3 plan_drawn_foot(const PlanThing *thing);
/* Index of a thing by name, or -1. */
int plan_find(const Plan *plan, const char *name);

/* Pixels an inch that a body of the book gives a shot's picture in print, held as the shot's is (rule 41).
 * The shot's own with its crop, another's as large as fits. NAN where its pixels are not stated. */
double plan_pixels_an_inch(const Plan *plan, const PlanShot *shot, int body);

/* How a shot's camera sees a thing: everything in the upright plane across the set through its drawn foot. */
typedef struct PlanView {
    bool seen;                   /* in front of the lens, foot and head */
    double foot_x_mm, foot_y_mm; /* on the drawing */
    double tall_mm, wide_mm;     /* on the drawing */
    double depth_mm;             /* w(foot) */
    double from_lens_mm;         /* straight line, lens to foot */
    double scale;                /* real mm a drawn mm is worth there */
} PlanView;
PlanView plan_view(const PlanThing *thing, const Camera *camera, const Picture *picture);

#endif
