#include "shop/layers.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>

/* Less than this is nothing. */
static const double HAIR_MM = 1e-3;
/* Ways to mix layers that are looked through for the best order. */
enum { STATES_MOST = 200000 };

/* Thicknesses from the thickest on, each with how many layers of it. */
typedef struct Mix {
    int kinds;
    double thick_mm[THICKNESSES_MOST];
    int which[THICKNESSES_MOST]; /* the caller's index */
    int counts[THICKNESSES_MOST];
} Mix;

static Mix by_thickness(const double *thick_mm, int count) {
    Mix mix = {.kinds = count};
    for (int i = 0; i < count; i++) {
        int at = i;
        for (; at > 0 && mix.thick_mm[at - 1] < thick_mm[i]; at--) {
            mix.thick_mm[at] = mix.thick_mm[at - 1];
            mix.which[at] = mix.which[at - 1];
        }
        mix.thick_mm[at] = thick_mm[i];
        mix.which[at] = i;
    }
    return mix;
}

/* --- how many of each ---------------------------------------------------------------------------------- */

typedef struct Best {
    double sum_mm;
    int count; /* 0: none yet */
    int counts[THICKNESSES_MOST];
} Best;

static int layers_for(double left_mm, double thick_mm) {
    return (int)fmin(ceil(fmax(left_mm - HAIR_MM, 0) / thick_mm), LAYERS_MOST + 1);
}

static void take_if_better(const Mix *mix, double sum_mm, int count, Best *best) {
    if (count == 0 || count > LAYERS_MOST) return;
    const bool less = sum_mm < best->sum_mm - HAIR_MM;
    if (best->count > 0 && !less && !(sum_mm < best->sum_mm + HAIR_MM && count < best->count)) return;
    best->sum_mm = sum_mm;
    best->count = count;
    for (int i = 0; i < mix->kinds; i++)
        best->counts[i] = mix->counts[i];
}

/* Of the thinnest, as many as are missing. */
static void try_counts(Mix *mix, int kind, double sum_mm, int count, double tall_mm, Best *best) {
    const double thick = mix->thick_mm[kind];
    const int most = layers_for(tall_mm - sum_mm, thick);
    if (kind + 1 == mix->kinds || kind + 1 == THICKNESSES_MOST) {
        mix->counts[kind] = most;
        take_if_better(mix, sum_mm + most * thick, count + most, best);
        return;
    }
    for (int n = most; n >= 0; n--) {
        mix->counts[kind] = n;
        try_counts(mix, kind + 1, sum_mm + n * thick, count + n, tall_mm, best);
    }
}

/* --- in which order ------------------------------------------------------------------------------------ */

/* A state says how many of each lie already; its number has a digit for each thickness. */
typedef struct Orders {
    const Mix *mix;
    int states, steps[THICKNESSES_MOST];
    LayerCost cost;
    double *to_go; /* the least cost from a state on */
    double scale;  /* of costs */
} Orders;

static double height_of(const Orders *o, int state) {
    double height = 0;
    for (int i = 0; i < o->mix->kinds; i++)
        height += state / o->steps[i] % (o->mix->counts[i] + 1) * o->mix->thick_mm[i];
    return height;
}

static bool has_left(const Orders *o, int state, int kind) {
    return state / o->steps[kind] % (o->mix->counts[kind] + 1) < o->mix->counts[kind];
}

/* With this layer next, and the best order after it. */
static double cost_with(const Orders *o, int state, int kind) {
    return o->cost.of(o->cost.what, height_of(o, state), o->mix->thick_mm[kind]) +
           o->to_go[state + o->steps[kind]];
}

static int states_of(const Mix *mix, Orders *o) {
    long states = 1;
    for (int i = 0; i < mix->kinds; i++) {
        o->steps[i] = (int)states;
        states *= mix->counts[i] + 1;
        if (states > STATES_MOST) return 0;
    }
    return (int)states;
}

/* From the last layer down. */
static void find_costs(Arena *arena, Orders *o) {
    o->to_go = ARENA_ARRAY(arena, double, o->states);
    for (int state = o->states - 2; state >= 0; state--) {
        o->to_go[state] = INFINITY;
        for (int i = 0; i < o->mix->kinds; i++)
            if (has_left(o, state, i)) o->to_go[state] = fmin(o->to_go[state], cost_with(o, state, i));
        o->scale = fmax(o->scale, fabs(o->to_go[state]));
    }
}

static int next_layer(const Orders *o, int state) {
    for (int i = 0; i < o->mix->kinds; i++)
        if (has_left(o, state, i) && cost_with(o, state, i) <= o->to_go[state] + 1e-9 * o->scale) return i;
    assert(false);
    return 0;
}

/* The thickest lowest. */
static int by_size(const Mix *mix, int *layers) {
    int count = 0;
    for (int i = 0; i < mix->kinds; i++)
        for (int n = 0; n < mix->counts[i]; n++)
            layers[count++] = mix->which[i];
    return count;
}

static int in_order(Arena *arena, const Mix *mix, LayerCost cost, int *layers) {
    Orders orders = {.mix = mix, .cost = cost};
    orders.states = states_of(mix, &orders);
    if (orders.states == 0 || !cost.of) return by_size(mix, layers);
    find_costs(arena, &orders);
    int count = 0;
    for (int state = 0; state < orders.states - 1;) {
        const int kind = next_layer(&orders, state);
        layers[count++] = mix->which[kind];
        state += orders.steps[kind];
    }
    return count;
}

int layers_choose(Arena *arena, const double *thick_mm, int thickness_count, double tall_mm, LayerCost cost,
                  int *layers) {
    assert(thickness_count > 0 && thickness_count <= THICKNESSES_MOST);
    Mix mix = by_thickness(thick_mm, thickness_count);
    Best best = {.sum_mm = INFINITY};
    try_counts(&mix, 0, 0, 0, tall_mm, &best);
    if (best.count == 0) return 0;
    for (int i = 0; i < mix.kinds; i++)
        mix.counts[i] = best.counts[i];
    return in_order(arena, &mix, cost, layers);
}
