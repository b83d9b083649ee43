/* Student's distribution: how far an estimate may be off when its scatter is itself estimated. Ordinary
 * statistics (W. S. Gosset, "The probable error of a mean", 1908). */
#ifndef GROUNDROW_STUDENT_H
#define GROUNDROW_STUDENT_H

/* The share of |t| <= `times` with so many freedoms (> 0, whole or not; INFINITY: the normal distribution).
 */
double student_share(double times, double freedoms);
/* The times for which student_share is `share` (0 to 1, neither included). */
double student_times(double share, double freedoms);

/* What lies within one and within two sigma of a normal deviate. */
#define SHARE_ONE_SIGMA 0.682689492137086
#define SHARE_TWO_SIGMA 0.954499736103642

#endif
