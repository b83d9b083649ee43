/* Layers of several thicknesses: docs/geometry.md, rule 87, against all mixes and all orders. */
#include "shop/layers.h"

#include <criterion/criterion.h>
#include <math.h>

static Arena *arena;

static void set_up(void) {
    arena = arena_new();
}
static void tear_down(void) {
    arena_free(arena);
}
TestSuite(layers, .init = set_up, .fini = tear_down);

static unsigned random_below(unsigned *state, unsigned most) {
    *state = *state * 1664525u + 1013904223u;
    return (*state >> 8) % most;
}

/* A cone of height 1000 on a foot of 1. */
static double cone(const void *what, double low_mm, double thick_mm) {
    const double share = 1 - low_mm / *(const double *)what;
    return share * share * thick_mm;
}

static double sum_of(const double *thick, const int *layers, int count) {
    double sum = 0;
    for (int i = 0; i < count; i++)
        sum += thick[layers[i]];
    return sum;
}

static double cost_of(LayerCost cost, const double *thick, const int *layers, int count) {
    double low = 0, all = 0;
    for (int i = 0; i < count; i++) {
        all += cost.of(cost.what, low, thick[layers[i]]);
        low += thick[layers[i]];
    }
    return all;
}

/* Coins: the fewest layers that come to exactly so many mm, for each sum. */
enum { SUMS_MOST = 400, NEVER = 1000 };
static void fewest_for(const double *thick, int kinds, int fewest[SUMS_MOST]) {
    fewest[0] = 0;
    for (int sum = 1; sum < SUMS_MOST; sum++) {
        fewest[sum] = NEVER;
        for (int k = 0; k < kinds; k++)
            if (sum >= thick[k] && fewest[sum - (int)thick[k]] + 1 < fewest[sum])
                fewest[sum] = fewest[sum - (int)thick[k]] + 1;
    }
}

static double cheapest(LayerCost cost, const double *thick, int kinds, int left[THICKNESSES_MOST],
                       double low) {
    double best = INFINITY;
    bool any = false;
    for (int k = 0; k < kinds; k++) {
        if (left[k] == 0) continue;
        any = true;
        left[k]--;
        best = fmin(best,
                    cost.of(cost.what, low, thick[k]) + cheapest(cost, thick, kinds, left, low + thick[k]));
        left[k]++;
    }
    return any ? best : 0;
}

Test(layers, least_is_thinned_then_fewest_are_cut) {
    unsigned state = 5;
    for (int round = 0; round < 400; round++) {
        double thick[THICKNESSES_MOST];
        const int kinds = 2 + (int)random_below(&state, 3), tall = 1 + (int)random_below(&state, 200);
        int fewest[SUMS_MOST], layers[LAYERS_MOST];
        for (int k = 0; k < kinds; k++) /* never two alike */
            thick[k] = 4 * (3 + random_below(&state, 10)) + (unsigned)k;
        fewest_for(thick, kinds, fewest);
        int least = tall;
        while (fewest[least] == NEVER)
            least++;
        const int count = layers_choose(arena, thick, kinds, tall, (LayerCost){0}, layers);
        cr_expect_float_eq(sum_of(thick, layers, count), least, 1e-9, "%d mm", tall);
        cr_expect_eq(count, fewest[least], "%d mm: %d layers, not %d", tall, count, fewest[least]);
        for (int i = 1; i < count; i++)
            cr_expect_leq(thick[layers[i]], thick[layers[i - 1]]); /* the thickest lowest */
    }
}

Test(layers, they_lie_in_the_order_that_carves_least) {
    unsigned state = 9;
    for (int round = 0; round < 100; round++) {
        double thick[THICKNESSES_MOST];
        const int kinds = 2 + (int)random_below(&state, 2);
        const double tall = 40 + random_below(&state, 80);
        int layers[LAYERS_MOST], left[THICKNESSES_MOST] = {0};
        for (int k = 0; k < kinds; k++)
            thick[k] = 4 * (3 + random_below(&state, 8)) + (unsigned)k;
        const LayerCost cost = {cone, &tall};
        const int count = layers_choose(arena, thick, kinds, tall, cost, layers);
        for (int i = 0; i < count; i++)
            left[layers[i]]++;
        const double least = cheapest(cost, thick, kinds, left, 0);
        cr_expect_float_eq(cost_of(cost, thick, layers, count), least, 1e-6);
    }
}

Test(layers, by_hand) {
    const double thick[] = {12.7, 50.8};
    int layers[LAYERS_MOST];
    cr_expect_eq(layers_choose(arena, thick, 2, 114.3, (LayerCost){0}, layers), 3); /* 4 1/2 in: 2, 2, 1/2 */
    cr_expect_eq(layers[0], 1);
    cr_expect_eq(layers[2], 0);
    cr_expect_eq(layers_choose(arena, thick, 2, 50.8, (LayerCost){0}, layers), 1);
    cr_expect_eq(layers_choose(arena, thick, 2, 1, (LayerCost){0}, layers),
                 1); /* thinned from the thin one */
    cr_expect_eq(layers[0], 0);
    cr_expect_eq(layers_choose(arena, thick, 2, 50.8 * 300, (LayerCost){0}, layers), 0);
}
