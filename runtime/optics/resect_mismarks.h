/* Which marks do not belong. docs/geometry.md, rule 68. Internal to optics/: others use resect.h. */
#ifndef GROUNDROW_RESECT_MISMARKS_H
#define GROUNDROW_RESECT_MISMARKS_H

#include "optics/resect_spread.h"

typedef struct Mismarks {
    size_t count, mark[RESECT_MISMARKED_MOST]; /* found out, in no order */
    bool unclear;                              /* more do not belong, and it is one of the suspects */
    size_t suspect_count, suspect[RESECT_MARKS_MOST];
    /* Any one of these, taken out alone, leaves about as little as the best: where the marks are at odds
     * though none can be blamed. */
    size_t maybe_count, maybe[RESECT_MARKS_MOST];
} Mismarks;

/* Whether a closer look is worth while: the scatter is far beyond what is stated, or one mark pulls hard. */
bool mismarks_likely(const FitModel *model, const MarkSet *marks, const Fit *fit);

/* `fit` is the best of all marks, `seeds` are cameras of few marks each, so that some are without the
 * mis-marked ones. */
void mismarks_find(const FitModel *model, const MarkSet *marks, const Fit *fit, const FitCamera *seeds,
                   size_t seed_count, size_t marks_needed, Mismarks *mismarks);

/* Residuals less unknowns, the priors counted as residuals. */
double fit_left_over(const FitModel *model, const MarkSet *marks);

#endif
