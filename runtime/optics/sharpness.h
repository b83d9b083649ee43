/* What is sharp: depth of field, blur on paper, effective aperture, diffraction, and the stop and focus that
 * hold several depths. docs/geometry.md, rules 37 to 40. Distances along the axis, millimetres, from the
 * lens; pupil magnification 1. */
#ifndef GROUNDROW_SHARPNESS_H
#define GROUNDROW_SHARPNESS_H

#include <stdbool.h>

/* The largest circle on the sensor that still reads as sharp: c = limit x (reading / 250 mm) / E. The usual
 * limit is 0.2 mm on paper at 250 mm: 5 line pairs a millimetre (Ray, Applied Photographic Optics, as quoted
 * on circles of confusion). */
double sharp_circle_mm(double limit_on_paper_mm, double reading_mm, double paper_per_sensor);

/* Near and far limit for a lens at f/N focused at u: near = u/(1 + q), far = u/(1 - q), q = N c (u - f)/f^2;
 * far is INFINITY when q >= 1. Exact thin lens. */
void sharp_limits(double focal_mm, double stop, double circle_mm, double object_mm, double *near_mm,
                  double *far_mm);

/* Diameter on paper of the blur of a point at depth w: E (f/N) m |w - u|/w. */
double sharp_blur_mm(double paper_per_sensor, double focal_mm, double stop, double object_mm,
                     double depth_mm);

/* Effective aperture N (1 + m) and exposure factor (1 + m)^2. */
double sharp_effective_stop(double stop, double magnification);
double sharp_exposure_factor(double magnification);
/* Airy disc's diameter on the sensor: 2.44 x 0.55 um x effective stop. */
double sharp_airy_mm(double effective_stop);

/* Focus that makes near and far equally blurred: 2 near far / (near + far) (NAVEDTRA 14209), and the least N
 * that holds both. `stop` is INFINITY where near <= focal length. */
void sharp_focus_for(double focal_mm, double circle_mm, double near_mm, double far_mm, double *object_mm,
                     double *stop);

/* The fewest focus settings for exposures that are stacked, so that everything from near to far is sharp in
 * one of them at f/N. Writes the first `most` of them, nearest first; returns how many are needed (0: near <=
 * focal length). */
int sharp_steps(double focal_mm, double stop, double circle_mm, double near_mm, double far_mm,
                double *object_mm, int most);

/* The full stops f/1, 1.4 ... f/64 as lenses are marked: the largest opening whose number is at least N.
 * Numbers are taken as they are engraved, as every other formula takes them (f/11 is 8 sqrt 2, a trifle
 * smaller). INFINITY past f/64. */
double sharp_marked_stop(double stop);

#endif
