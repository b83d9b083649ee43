#include "picture/image_blend.h"

#include <math.h>
#include <string.h>

/* The source's pixels under one pixel of the target, along one axis, and how much of the first and the last.
 */
typedef struct Reach {
    size_t first, count;
    float first_share, last_share, whole;
} Reach;

static Reach reach_of(double low, double high, int source, double pixel) {
    const double scale = source / (high - low);
    double from = (pixel - low) * scale, to = (pixel + 1 - low) * scale;
    from = from < 0 ? 0 : from;
    to = to > source ? source : to;
    if (to <= from) return (Reach){0};
    Reach reach = {.first = (size_t)from};
    reach.count = (size_t)ceil(to) - reach.first;
    reach.first_share = (float)((double)(reach.first + 1) - from);
    reach.last_share = (float)(to - (double)(reach.first + reach.count - 1));
    if (reach.count == 1) reach.first_share = (float)(to - from);
    reach.whole = (float)(to - from);
    return reach;
}

static float share_of(const Reach *reach, size_t i) {
    return i == 0 ? reach->first_share : i + 1 == reach->count ? reach->last_share : 1;
}

/* Rows under one row of the target, summed by how much of each lies there: red, green, blue of every column.
 */
static void sum_rows(const uint32_t *image, size_t wide_px, const Reach *down, float *sums) {
    memset(sums, 0, 3 * wide_px * sizeof *sums);
    for (size_t j = 0; j < down->count; j++) {
        const uint32_t *row = image + (down->first + j) * wide_px;
        const float share = share_of(down, j);
        for (size_t i = 0; i < wide_px; i++) {
            sums[i] += share * (float)(int)(row[i] >> 16 & 255);
            sums[wide_px + i] += share * (float)(int)(row[i] >> 8 & 255);
            sums[2 * wide_px + i] += share * (float)(int)(row[i] & 255);
        }
    }
}

/* The mean under one pixel of the target, of sums over rows; `whole` is what they and the columns come to
 * together. */
static void mean_of(const float *sums, size_t wide_px, const Reach *across, float whole, float mean[3]) {
    const float *from = sums + across->first;
    const size_t last = across->count - 1;
    for (int c = 0; c < 3; c++, from += wide_px) {
        float sum = across->first_share * from[0];
        for (size_t i = 1; i < last; i++)
            sum += from[i];
        if (last > 0) sum += across->last_share * from[last];
        mean[c] = sum / whole;
    }
}

static uint32_t blended(uint32_t under, const float mean[3], ImageBlend blend, float strength) {
    uint32_t mixed = 0xFF;
    for (int c = 0; c < 3; c++) {
        const float below = (float)(int)(under >> (16 - 8 * c) & 255),
                    own = blend == BLEND_MULTIPLY ? below * mean[c] / 255 : mean[c];
        mixed = mixed << 8 | (uint32_t)(below + (own - below) * strength + 0.5F);
    }
    return mixed;
}

static double covered_of(double low, double high, double pixel) {
    const double from = low > pixel ? low : pixel, to = high < pixel + 1 ? high : pixel + 1;
    return to > from ? to - from : 0;
}

static int within(double at, int most) {
    return at < 0 ? 0 : at > most ? most : (int)at;
}

void image_blend(Arena *arena, uint32_t *target, int wide_px, int tall_px, const ImagePixels *image,
                 CanvasBox box, ImageBlend blend, double strength) {
    const int left = within(floor(box.left_px), wide_px), right = within(ceil(box.right_px), wide_px);
    const int top = within(floor(box.top_px), tall_px), bottom = within(ceil(box.bottom_px), tall_px);
    if (right <= left || bottom <= top) return;
    const size_t source_wide = (size_t)image->wide_px;
    float *sums = ARENA_ARRAY(arena, float, 3 * source_wide);
    Reach *columns = ARENA_ARRAY(arena, Reach, right - left);
    for (int x = left; x < right; x++)
        columns[x - left] = reach_of(box.left_px, box.right_px, image->wide_px, x);
    for (int y = top; y < bottom; y++) {
        const Reach down = reach_of(box.top_px, box.bottom_px, image->tall_px, y);
        if (down.count == 0) continue;
        const double covered = strength * covered_of(box.top_px, box.bottom_px, y);
        uint32_t *row = target + (size_t)y * (size_t)wide_px;
        sum_rows(image->pixels, source_wide, &down, sums);
        for (int x = left; x < right; x++) {
            float mean[3];
            if (columns[x - left].count == 0) continue;
            mean_of(sums, source_wide, &columns[x - left], down.whole * columns[x - left].whole, mean);
            row[x] =
                blended(row[x], mean, blend, (float)(covered * covered_of(box.left_px, box.right_px, x)));
        }
    }
}
