#include "base/number.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#define TIE_BAND 1e-6

double number_round(double value, double step) {
    assert(isfinite(value) && step > 0);
    const double steps = floor(fabs(value) / step + 0.5 + TIE_BAND);
    const double rounded = steps * step;
    return value < 0 && rounded != 0 ? -rounded : rounded;
}

double number_round_up(double value, double step) {
    assert(isfinite(value) && step > 0);
    const double rounded = ceil(value / step - TIE_BAND) * step;
    return rounded == 0 ? 0 : rounded;
}

double number_round_down(double value, double step) {
    const double rounded = -number_round_up(-value, step);
    return rounded == 0 ? 0 : rounded;
}

static long long power_of_ten(int decimals) {
    long long power = 1;
    while (decimals-- > 0)
        power *= 10;
    return power;
}

const char *number_fixed(Arena *arena, double value, int decimals) {
    assert(isfinite(value) && decimals >= 0 && decimals <= 9);
    const long long scale = power_of_ten(decimals);
    const double steps = floor(fabs(value) * (double)scale + 0.5 + TIE_BAND);
    if (steps >= 9e18) /* past whole numbers of 64 bits: no such length or count passes the checks */
        return value < 0 ? "-9000000000000000000" : "9000000000000000000";
    const long long whole = (long long)steps;
    const char *sign = value < 0 && whole != 0 ? "-" : "";
    if (decimals == 0) return arena_format(arena, "%s%lld", sign, whole);
    return arena_format(arena, "%s%lld.%0*lld", sign, whole / scale, decimals, whole % scale);
}

const char *number_short(Arena *arena, double value, int decimals) {
    const char *fixed = number_fixed(arena, value, decimals);
    if (decimals == 0) return fixed;
    size_t count = 0;
    while (fixed[count])
        count++;
    while (fixed[count - 1] == '0')
        count--;
    if (fixed[count - 1] == '.') count--;
    return arena_copy(arena, fixed, count);
}

const char *length_feet_inches(Arena *arena, double mm, int denominator) {
    assert(denominator >= 1 && denominator <= 64);
    const double steps = floor(fabs(mm) / MM_PER_INCH * denominator + 0.5 + TIE_BAND);
    const long long all = steps >= 9e15 ? 9000000000000000LL : (long long)steps;
    const long long inches = all / denominator;
    long long top = all % denominator, bottom = denominator;
    while (top > 0 && top % 2 == 0) {
        top /= 2;
        bottom /= 2;
    }
    const char *sign = mm < 0 && all != 0 ? "-" : "";
    const char *fraction = top > 0 ? arena_format(arena, "%lld/%lld", top, bottom) : "";
    if (inches < 12) {
        if (top > 0 && inches == 0) return arena_format(arena, "%s%s in", sign, fraction);
        return arena_format(arena, "%s%lld%s%s in", sign, inches, top > 0 ? " " : "", fraction);
    }
    return arena_format(arena, "%s%lld'-%lld%s%s\"", sign, inches / 12, inches % 12, top > 0 ? " " : "",
                        fraction);
}

const char *length_millimetres(Arena *arena, double mm, int decimals) {
    return arena_format(arena, "%s mm", number_fixed(arena, mm, decimals));
}

const char *length_one(Arena *arena, LengthStyle style, double mm, int denominator, int decimals) {
    return style == STYLE_FEET_INCHES ? length_feet_inches(arena, mm, denominator)
                                      : length_millimetres(arena, mm, decimals);
}

const char *length_both(Arena *arena, LengthStyle style, double mm, int denominator, int decimals) {
    const char *imperial = length_feet_inches(arena, mm, denominator);
    const char *metric = length_millimetres(arena, mm, decimals);
    return style == STYLE_FEET_INCHES ? arena_format(arena, "%s (%s)", imperial, metric)
                                      : arena_format(arena, "%s (%s)", metric, imperial);
}

const char *length_written(Arena *arena, LengthStyle style, double mm) {
    if (style != STYLE_FEET_INCHES) return arena_format(arena, "%s mm", number_short(arena, mm, 1));
    const double inches = number_round(mm / MM_PER_INCH, 1.0 / 16);
    if (fabs(inches) < 12) return length_feet_inches(arena, mm, 16);
    const double feet = floor(fabs(inches) / 12);
    const double rest_mm = (fabs(inches) - 12 * feet) * MM_PER_INCH;
    const char *sign = inches < 0 ? "-" : "";
    if (rest_mm < 1e-6) return arena_format(arena, "%s%d ft", sign, (int)feet);
    return arena_format(arena, "%s%d ft %s", sign, (int)feet, length_feet_inches(arena, rest_mm, 16));
}
