#include "model/figure_mesh.h"

#include "optics/space.h"

#include <math.h>

/* Multiples of 4, so that every ring has a vertex on each of its two axes and reaches as far as it should. */
enum { TRUNK_SEGMENTS = 28, HEAD_SEGMENTS = 24, SMALL_SEGMENTS = 12, EYE_SEGMENTS = 12 };

static double limit(double value, double least, double most) {
    return fmin(fmax(value, least), most);
}

/* Where everything is, worked out from the four sizes. */
typedef struct Build {
    double wide, tall, deep, eyes;
    Point3 head;                            /* its middle */
    double head_wide, head_deep, head_tall; /* half sizes */
    double shoulder;                        /* up; the trunk ends inside the head */
    FigurePose pose;
    Figure *to;
} Build;

static Build build_of(const FigureSize *size, Figure *to) {
    Build b = {
        .wide = size->wide_mm, .tall = size->tall_mm, .deep = size->deep_mm, .pose = size->pose, .to = to};
    b.eyes = limit(size->eyes_mm, 0.35 * b.tall, 0.97 * b.tall);
    /* the head reaches so far that the eyes lie in its upper half, within what heads look like */
    b.head_tall = limit(1.45 * (b.tall - b.eyes), 0.11 * b.tall, 0.26 * b.tall);
    b.head_tall = fmax(b.head_tall, 0.62 * (b.tall - b.eyes));
    b.head_wide = fmin(1.05 * b.head_tall, 0.46 * b.wide);
    b.head_deep = fmin(b.head_tall, 0.36 * b.deep);
    b.head = point(0, 0, b.tall - b.head_tall);
    b.shoulder = b.head.up_mm - 0.62 * b.head_tall;
    return b;
}

/* A ring of the trunk: half width, and where it begins and ends in depth, as shares of wide and deep. */
typedef struct TrunkRing {
    double up, half_wide, front, rear;
} TrunkRing;

static void add_trunk(const Build *b, const TrunkRing *shape, size_t count, double foot) {
    enum { MOST = 16 };
    Ring rings[MOST];
    for (size_t i = 0; i < count; i++) {
        const double front = shape[i].front * b->deep, rear = shape[i].rear * b->deep;
        rings[i] = ring_level(0, (front + rear) / 2, shape[i].up * b->shoulder, shape[i].half_wide * b->wide,
                              (rear - front) / 2);
    }
    mesh_add_loft(b->to->body, rings, count, TRUNK_SEGMENTS, point(0, foot, 0));
}

static void add_standing_trunk(const Build *b) {
    static const TrunkRing rings[] = {{0, 0.30, -0.26, 0.36},      {0.02, 0.325, -0.29, 0.40},
                                      {0.10, 0.355, -0.33, 0.46},  {0.24, 0.37, -0.355, 0.50},
                                      {0.40, 0.36, -0.35, 0.48},   {0.56, 0.33, -0.315, 0.42},
                                      {0.72, 0.285, -0.255, 0.33}, {0.86, 0.225, -0.19, 0.235},
                                      {0.97, 0.15, -0.125, 0.145}, {1.06, 0, 0, 0}};
    add_trunk(b, rings, sizeof rings / sizeof *rings, 0);
}

static void add_seated_trunk(const Build *b) {
    static const TrunkRing rings[] = {
        {0, 0.36, -0.10, 0.44},     {0.05, 0.40, -0.13, 0.48},  {0.18, 0.42, -0.15, 0.50},
        {0.36, 0.39, -0.15, 0.47},  {0.54, 0.335, -0.14, 0.38}, {0.70, 0.285, -0.13, 0.29},
        {0.84, 0.225, -0.12, 0.21}, {0.96, 0.15, -0.09, 0.12},  {1.06, 0, 0, 0}};
    add_trunk(b, rings, sizeof rings / sizeof *rings, 0);
}

/* From the shoulder down to a hand that reaches the puppet's side. */
static void add_arm(const Build *b, int side) {
    const double hand = fmin(0.09 * b->wide, 0.055 * b->tall);
    const bool seated = b->pose == FIGURE_SEATED;
    const double down = seated ? 0.40 : 0.44, ahead = seated ? -0.20 : -0.16;
    const Point3 shoulder = point(side * 0.235 * b->wide, 0.03 * b->deep, 0.83 * b->shoulder);
    const Point3 palm = point(side * (b->wide / 2 - hand), ahead * b->deep, down * b->shoulder);
    mesh_add_limb(b->to->body, shoulder, palm, 0.8 * hand, 0.72 * hand, SMALL_SEGMENTS);
    mesh_add_ball(b->to->body, palm, hand, hand, 1.1 * hand, SMALL_SEGMENTS);
}

/* Flat under its sole, round above; its toes reach the puppet's front. */
static void add_foot(const Build *b, int side) {
    const double half_deep = 0.17 * b->deep, half_wide = 0.135 * b->wide;
    const double tall = fmin(0.075 * b->tall, 0.6 * half_deep + 0.2 * half_wide);
    const double across = side * 0.175 * b->wide, back = half_deep - b->deep / 2;
    const Ring rings[] = {
        ring_level(across, back, 0, half_wide, half_deep),
        ring_level(across, back + 0.03 * half_deep, 0.45 * tall, 0.93 * half_wide, 0.93 * half_deep),
        ring_level(across, back + 0.15 * half_deep, 0.82 * tall, 0.66 * half_wide, 0.68 * half_deep),
        ring_level(across, back + 0.25 * half_deep, tall, 0, 0)};
    mesh_add_loft(b->to->body, rings, 4, SMALL_SEGMENTS, rings[0].centre);
}

/* A leg along the ground and a foot upright at its end. */
static void add_stretched_leg(const Build *b, int side) {
    const double half_tall = fmin(0.17 * b->tall, 0.16 * b->wide),
                 half_deep = fmin(0.06 * b->deep, half_tall);
    const double radius = 0.72 * half_tall, across = side * 0.25 * b->wide;
    const Point3 sole = point(across * 1.12, half_deep - b->deep / 2, half_tall);
    const Point3 ankle = point(sole.across_mm, fmax(half_deep, radius) - b->deep / 2, radius);
    mesh_add_limb(b->to->body, point(across, 0.08 * b->deep, radius), ankle, radius, 0.8 * radius,
                  SMALL_SEGMENTS);
    mesh_add_ball(b->to->body, sole, 0.85 * half_tall, half_deep, half_tall, SMALL_SEGMENTS);
}

/* How far in front of its middle the head's surface is, beside and above the middle. */
static double face_at(const Build *b, double aside, double above) {
    const double x = aside / b->head_wide, z = above / b->head_tall;
    return b->head_deep * sqrt(fmax(0.03, 1 - x * x - z * z));
}

static void add_face(const Build *b) {
    const double down = fmin(0.34 * b->head_tall, b->eyes - b->head.up_mm + 0.62 * b->head_tall);
    const double muzzle_up = b->head.up_mm - fmax(down, 0.2 * b->head_tall) + 0.04 * b->head_tall;
    const double front = fmax(-(b->head_deep + 0.62 * b->head_deep), -b->deep / 2);
    const double half_deep = 0.62 * (-front - 0.28 * b->head_deep);
    const Point3 muzzle = point(0, front + half_deep, muzzle_up);
    mesh_add_ball(b->to->face, muzzle, 0.50 * b->head_wide, half_deep, 0.40 * b->head_tall, SMALL_SEGMENTS);
    const double nose = fmin(0.15 * b->head_wide, 0.15 * b->head_tall);
    mesh_add_ball(b->to->eyes,
                  point(0, fmax(front + 0.55 * nose, nose - b->deep / 2), muzzle_up + 0.22 * b->head_tall),
                  1.2 * nose, nose, 0.85 * nose, EYE_SEGMENTS);
    const double r = fmin(0.155 * b->head_wide, 0.155 * b->head_tall), aside = 0.44 * b->head_wide;
    const double out = face_at(b, aside, b->eyes - b->head.up_mm);
    for (int side = -1; side <= 1; side += 2)
        mesh_add_ball(b->to->eyes, point(side * aside, 0.45 * r - out, b->eyes), r, r, r, EYE_SEGMENTS);
}

/* A pale belly, a little in front of the trunk: the front is told from the back at a distance. */
static void add_belly(const Build *b) {
    const bool seated = b->pose == FIGURE_SEATED;
    const double up = (seated ? 0.36 : 0.34) * b->shoulder, half_tall = (seated ? 0.30 : 0.27) * b->shoulder;
    const double front = (seated ? -0.165 : -0.375) * b->deep;
    mesh_add_ball(b->to->face, point(0, front + 0.16 * b->deep, up), 0.25 * b->wide, 0.16 * b->deep,
                  half_tall, HEAD_SEGMENTS);
}

/* A trunk as long as the puppet is deep, arms as wide as it is wide, two feet behind. */
static void add_lying_body(const Build *b) {
    const double half_wide = fmin(0.3 * b->wide, 0.42 * b->tall), half_tall = 0.3 * b->tall;
    const double hand = fmin(0.05 * b->wide, 0.10 * b->tall), foot = fmin(0.09 * b->deep, 0.13 * b->tall);
    mesh_add_ball(b->to->body, point(0, 0, half_tall), half_wide, b->deep / 2, half_tall, TRUNK_SEGMENTS);
    for (int side = -1; side <= 1; side += 2) {
        const Point3 shoulder = point(side * 0.6 * half_wide, -0.12 * b->deep, 1.25 * half_tall);
        const Point3 palm = point(side * (b->wide / 2 - hand), -0.02 * b->deep, 1.25 * half_tall);
        mesh_add_limb(b->to->body, shoulder, palm, 1.5 * hand, 0.8 * hand, SMALL_SEGMENTS);
        mesh_add_ball(b->to->body, palm, hand, 1.6 * hand, hand, SMALL_SEGMENTS);
        mesh_add_ball(b->to->body, point(side * 0.45 * half_wide, b->deep / 2 - foot, 0.8 * half_tall),
                      0.8 * foot, foot, 0.8 * foot, SMALL_SEGMENTS);
    }
    mesh_add_ball(b->to->face, point(0, -0.2 * b->deep, 0.95 * half_tall), 0.72 * half_wide, 0.27 * b->deep,
                  0.72 * half_tall, HEAD_SEGMENTS);
}

static void add_upright_body(const Build *b) {
    if (b->pose == FIGURE_SEATED)
        add_seated_trunk(b);
    else
        add_standing_trunk(b);
    for (int side = -1; side <= 1; side += 2) {
        add_arm(b, side);
        if (b->pose == FIGURE_SEATED)
            add_stretched_leg(b, side);
        else
            add_foot(b, side);
    }
    add_belly(b);
}

Figure figure_mesh(Arena *arena, const FigureSize *size) {
    Figure figure = {mesh_new(arena), mesh_new(arena), mesh_new(arena)};
    const Build b = build_of(size, &figure);
    if (b.pose == FIGURE_LYING)
        add_lying_body(&b);
    else
        add_upright_body(&b);
    mesh_add_ball(figure.body, b.head, b.head_wide, b.head_deep, b.head_tall, HEAD_SEGMENTS);
    add_face(&b);
    return figure;
}
