#include "base/silhouette.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { NEAR = 32, OPAQUE = 128, SIDE_LEAST_PX = 8, CORNERS_MOST = 20000 };

/* ---- What of the image is inside: a value each pixel, inside from `least` on */

typedef struct Field {
    int wide, tall;
    unsigned char *value;
    int least;
} Field;

static unsigned channel(uint32_t argb, int shift) {
    return argb >> shift & 0xFF;
}

static unsigned char apart(uint32_t a, uint32_t b) {
    int most = 0;
    for (int shift = 0; shift <= 16; shift += 8) {
        const int by = abs((int)channel(a, shift) - (int)channel(b, shift));
        if (by > most) most = by;
    }
    return (unsigned char)most;
}

static bool at_border(const Pixels *pixels, size_t i) {
    const size_t wide = (size_t)pixels->wide_px, x = i % wide, y = i / wide;
    return x == 0 || y == 0 || x == wide - 1 || y == (size_t)pixels->tall_px - 1;
}

/* The median of each channel over the border, and whether half of it is near. */
static bool find_background(const Pixels *pixels, uint32_t *background) {
    size_t counts[3][256] = {0}, border = 0, near = 0;
    const size_t all = (size_t)pixels->wide_px * (size_t)pixels->tall_px;
    for (size_t i = 0; i < all; i++) {
        if (!at_border(pixels, i)) continue;
        border++;
        for (int c = 0; c < 3; c++)
            counts[c][channel(pixels->argb[i], 8 * c)]++;
    }
    *background = 0xFF000000u;
    for (int c = 0; c < 3; c++) {
        uint32_t median = 0;
        for (size_t below = counts[c][0]; 2 * below < border; below += counts[c][median])
            median++;
        *background |= median << 8 * c;
    }
    for (size_t i = 0; i < all; i++)
        near += at_border(pixels, i) && apart(pixels->argb[i], *background) < NEAR;
    return 2 * near >= border;
}

static bool field_of(Arena *scratch, const Pixels *pixels, const Pixels *opacity, Field *field) {
    const size_t count = (size_t)pixels->wide_px * (size_t)pixels->tall_px;
    bool clear = false;
    *field = (Field){pixels->wide_px, pixels->tall_px, ARENA_ARRAY(scratch, unsigned char, count), OPAQUE};
    for (size_t i = 0; opacity && i < count; i++) {
        field->value[i] = (unsigned char)channel(opacity->argb[i], 0);
        clear |= field->value[i] < OPAQUE;
    }
    if (clear) return true;
    uint32_t background;
    if (!find_background(pixels, &background)) return false;
    field->least = NEAR;
    for (size_t i = 0; i < count; i++)
        field->value[i] = apart(pixels->argb[i], background);
    return true;
}

/* ---- Marching squares. Samples are the pixels' centres and one more all round, which are outside. A side
 * lies between a sample and the next one to the right (even) or below (odd). */

static const uint32_t NO_SIDE = UINT32_MAX;

typedef struct Tracer {
    const Field *field;
    int across; /* samples in a row */
    uint32_t *next;
} Tracer;

static int sample(const Tracer *t, int x, int y) {
    const Field *f = t->field;
    if (x < 1 || y < 1 || x > f->wide || y > f->tall) return 0;
    return f->value[(size_t)(y - 1) * (size_t)f->wide + (size_t)(x - 1)];
}

/* The way round a square, anticlockwise as one sees it: down its left, along its foot, up its right, back. */
static const struct {
    int x, y, side_x, side_y;
    uint32_t down;
} round_square[4] = {{0, 0, 0, 0, 1}, {0, 1, 0, 1, 0}, {1, 1, 1, 0, 1}, {1, 0, 0, 0, 0}};

static uint32_t side_of(const Tracer *t, int x, int y, int k) {
    const int column = x + round_square[k].side_x, row = y + round_square[k].side_y;
    return 2 * ((uint32_t)row * (uint32_t)t->across + (uint32_t)column) + round_square[k].down;
}

/* The edge enters the square where the way round leaves the inside, so that the inside lies on its left. */
static void trace_square(Tracer *t, int x, int y) {
    const int least = t->field->least;
    bool in[4];
    int sum = 0;
    for (int k = 0; k < 4; k++) {
        const int value = sample(t, x + round_square[k].x, y + round_square[k].y);
        in[k] = value >= least;
        sum += value;
    }
    const int step = sum >= 4 * least ? 1 : 3; /* on to the next crossing, or back to the last */
    for (int k = 0; k < 4; k++) {
        if (!in[k] || in[(k + 1) % 4]) continue;
        int to = (k + step) % 4;
        while (in[to] == in[(to + 1) % 4])
            to = (to + step) % 4;
        t->next[side_of(t, x, y, k)] = side_of(t, x, y, to);
    }
}

/* Values are whole, and what parts them lies half way between two: no crossing is at a sample. */
static SilhouettePoint crossing(const Tracer *t, uint32_t side) {
    const int x = (int)(side / 2 % (uint32_t)t->across), y = (int)(side / 2 / (uint32_t)t->across);
    const bool down = side % 2 == 1;
    const double from = sample(t, x, y), to = sample(t, down ? x : x + 1, down ? y + 1 : y);
    const double share = (t->field->least - 0.5 - from) / (to - from);
    return (SilhouettePoint){x - 0.5 + (down ? 0 : share), -(y - 0.5 + (down ? share : 0))};
}

/* Area within the edge that begins at `side`, negative round a hole; `*count` of its corners. */
static double measure(const Tracer *t, uint32_t side, bool *visited, size_t *count) {
    double twice = 0;
    uint32_t at = side;
    *count = 0;
    do {
        const SilhouettePoint a = crossing(t, at), b = crossing(t, t->next[at]);
        twice += a.x_px * b.y_px - b.x_px * a.y_px;
        visited[at] = true;
        at = t->next[at];
        ++*count;
    } while (at != side);
    return twice / 2;
}

static const Silhouette *keep(Arena *arena, const Tracer *t, uint32_t side, size_t count) {
    SilhouettePoint *points = ARENA_ARRAY(arena, SilhouettePoint, count);
    double left = HUGE_VAL, low = HUGE_VAL, right = -HUGE_VAL, high = -HUGE_VAL;
    for (size_t i = 0; i < count; i++, side = t->next[side]) {
        points[i] = crossing(t, side);
        left = fmin(left, points[i].x_px);
        right = fmax(right, points[i].x_px);
        low = fmin(low, points[i].y_px);
        high = fmax(high, points[i].y_px);
    }
    for (size_t i = 0; i < count; i++) {
        points[i].x_px -= left;
        points[i].y_px -= low;
    }
    Silhouette *made = ARENA_NEW(arena, Silhouette);
    *made = (Silhouette){right - left, high - low, points, count};
    return made;
}

static SilhouetteFault trace(Arena *arena, Arena *scratch, const Field *field,
                             const Silhouette **silhouette) {
    Tracer t = {field, field->wide + 2, NULL};
    const size_t sides = 2 * (size_t)t.across * (size_t)(field->tall + 2);
    t.next = ARENA_ARRAY(scratch, uint32_t, sides);
    bool *visited = ARENA_ARRAY(scratch, bool, sides);
    memset(t.next, 0xFF, sides * sizeof *t.next);
    for (int y = 0; y <= field->tall; y++) {
        for (int x = 0; x <= field->wide; x++)
            trace_square(&t, x, y);
    }
    double most = 0;
    uint32_t start = NO_SIDE;
    size_t corners = 0;
    for (uint32_t side = 0; side < sides; side++) {
        size_t count;
        if (t.next[side] == NO_SIDE || visited[side]) continue;
        const double area = measure(&t, side, visited, &count);
        if (area <= most) continue;
        most = area;
        start = side;
        corners = count;
    }
    if (start == NO_SIDE) return SILHOUETTE_EMPTY;
    if (corners > CORNERS_MOST) return SILHOUETTE_RAGGED;
    const Silhouette *made = keep(arena, &t, start, corners);
    if (made->wide_px < SIDE_LEAST_PX || made->tall_px < SIDE_LEAST_PX) return SILHOUETTE_SMALL;
    *silhouette = made;
    return SILHOUETTE_FOUND;
}

SilhouetteFault pixels_to_silhouette(Arena *arena, const Pixels *pixels, const Pixels *opacity,
                                     const Silhouette **silhouette) {
    Arena *scratch = arena_new();
    Field field;
    *silhouette = NULL;
    const SilhouetteFault fault = field_of(scratch, pixels, opacity, &field)
                                      ? trace(arena, scratch, &field, silhouette)
                                      : SILHOUETTE_NO_GROUND;
    arena_free(scratch);
    return fault;
}
