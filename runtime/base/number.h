/* The one printer of numbers: no locale, no `-0`, ties told apart from rounding noise. Lengths are
 * millimetres.
 *
 * Whatever is rounded goes through number_round, whose tie band (1e-6 of the last place) is larger than any
 * noise that another compiler or other flags could bring: a half goes up (away from zero) everywhere. */
#ifndef GROUNDROW_NUMBER_H
#define GROUNDROW_NUMBER_H

#include "base/text.h"

#define MM_PER_INCH 25.4
#define KG_PER_LB 0.45359237 /* exact: international pound of 1959, NIST SP 811 appendix B.8 */
/* Of one pound-force on a square inch: the pound's weight at standard gravity (ISO 80000-3), both exact. */
#define GRAVITY_M_S2 9.80665
#define N_MM2_PER_PSI (KG_PER_LB * GRAVITY_M_S2 / (MM_PER_INCH * MM_PER_INCH))
#define PI 3.14159265358979323846
#define DEGREES(rad) ((rad) * (180.0 / PI))
#define RADIANS(deg) ((deg) * (PI / 180.0))

typedef enum LengthStyle { STYLE_FEET_INCHES, STYLE_MILLIMETRES } LengthStyle;

/* Nearest whole multiple of `step` (> 0), halves away from zero; never -0. */
double number_round(double value, double step);
/* Least multiple of `step` that is not under `value`, and greatest not over it; a value within 1e-6 of a step
 * of a multiple is that multiple. */
double number_round_up(double value, double step);
double number_round_down(double value, double step);

/* Fixed decimals (0 to 9): `-0.04` with 1 is `0.0`. The value must be finite. */
const char *number_fixed(Arena *arena, double value, int decimals);
/* As number_fixed without trailing zeros and point: `85`, `0.5`, `23.5`. */
const char *number_short(Arena *arena, double value, int decimals);

/* Trade inches to a denominator (1, 2, 4 ... 64), reduced: `6 1/2 in`, under a foot in inches alone, from a
 * foot on `3'-6 1/2"` with zero inches kept (`7'-0"`). Signs stay: `-6 in`. */
const char *length_feet_inches(Arena *arena, double mm, int denominator);
/* `355.6 mm`, with so many decimals. */
const char *length_millimetres(Arena *arena, double mm, int decimals);
/* Both, the one of `style` first: `3'-6 1/2" (1080 mm)`. */
const char *length_both(Arena *arena, LengthStyle style, double mm, int denominator, int decimals);
/* One alone, by `style`. */
const char *length_one(Arena *arena, LengthStyle style, double mm, int denominator, int decimals);
/* As it can be written into a spec: `3 ft 6 1/2 in` to 1/16 in, or `1079.5 mm`. */
const char *length_written(Arena *arena, LengthStyle style, double mm);

#endif
