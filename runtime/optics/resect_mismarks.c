#include "optics/resect_mismarks.h"

#include <math.h>
#include <string.h>

/* A mark that belongs is blamed once in so many photographs. */
static const double BLAMED_WRONGLY = 0.005;
/* Another set of marks taken out is as good a guess when its odds are no worse than this. */
static const double ODDS_RIVAL = 0.01;
/* What asks for a closer look. */
static const double NOISE_LARGE = 2.5, CHANCE_SMALL = 0.02;
/* No mark is better than this, whatever is left over. */
static const double SIGMA_LEAST_PX = 0.02;

double fit_left_over(const FitModel *model, const MarkSet *marks) {
    return 2.0 * (double)marks->count + model->has_focal_prior + model->has_bend_prior -
           (double)fit_unknowns(model);
}

/* Sum of squares with what was known of the scatter before, and its freedoms. */
typedef struct Scatter {
    double sum, freedoms;
} Scatter;

static Scatter scatter_of(const FitModel *model, const MarkSet *marks, double score, double before) {
    double least = SIGMA_LEAST_PX / model->sigma_px, left = fit_left_over(model, marks);
    return (Scatter){score + before + left * least * least, left + before};
}

static double score_of(const FitModel *model, const Fit *fit) {
    return fit->good ? fit->cost / (model->noise * model->noise) + fit->penalty : INFINITY;
}

/* How likely it is that a sum falls from `with` to `without` by chance when one mark (two rows) is taken out:
 * the F distribution with two freedoms over the line, in closed form. */
static double chance_of(Scatter with, Scatter without) {
    if (!isfinite(with.sum)) return 0; /* no camera at all sees them */
    return pow(without.sum / with.sum, without.freedoms / 2);
}

static double before_of(const FitModel *model) {
    static const double MANY = 1e6;
    return fmin(model->problem->sigma_freedoms, MANY);
}

bool mismarks_likely(const FitModel *model, const MarkSet *marks, const Fit *fit) {
    double left = fit_left_over(model, marks), score = score_of(model, fit);
    if (!fit->good) return true;
    if (left < 1) return false;
    if (score > NOISE_LARGE * NOISE_LARGE * left) return true;
    FitNormal normal;
    if (left < 3 || !fit_normal(model, marks, &fit->camera, &normal)) return false;
    Scatter with = scatter_of(model, marks, score, before_of(model));
    for (size_t i = 0; i < marks->count; i++) {
        Scatter without = {fmax(with.sum - fit_pull(&normal, i), 0), with.freedoms - 2};
        if (chance_of(with, without) * (double)marks->count < CHANCE_SMALL) return true;
    }
    return false;
}

/* --- Sets with some marks taken out --------------------------------------------------------------------- */

typedef struct Subset {
    MarkSet marks;
    Fit fit;
    double score;
} Subset;

enum { SUBSETS_MOST = RESECT_MARKS_MOST + 16 };

typedef struct Subsets {
    Subset items[SUBSETS_MOST];
    size_t count;
} Subsets;

static bool same_marks(const MarkSet *a, const MarkSet *b) {
    return a->count == b->count && memcmp(a->index, b->index, a->count * sizeof *a->index) == 0;
}

static bool has_mark(const MarkSet *marks, size_t mark) {
    for (size_t i = 0; i < marks->count; i++)
        if (marks->index[i] == mark) return true;
    return false;
}

/* A set that is there already keeps its better fit. */
static void put_subset(const FitModel *model, const MarkSet *marks, const Fit *fit, Subsets *subsets) {
    double score = score_of(model, fit);
    for (size_t i = 0; i < subsets->count; i++) {
        Subset *it = &subsets->items[i];
        if (!same_marks(&it->marks, marks)) continue;
        if (score < it->score) *it = (Subset){*marks, *fit, score};
        return;
    }
    if (subsets->count < SUBSETS_MOST) subsets->items[subsets->count++] = (Subset){*marks, *fit, score};
}

static const Subset *best_subset(const Subsets *subsets) {
    const Subset *best = NULL;
    for (size_t i = 0; i < subsets->count; i++)
        if (!best || subsets->items[i].score < best->score) best = &subsets->items[i];
    return best;
}

static MarkSet without(const MarkSet *marks, size_t at) {
    MarkSet rest = {.count = marks->count - 1};
    for (size_t i = 0; i < rest.count; i++)
        rest.index[i] = marks->index[i < at ? i : i + 1];
    return rest;
}

/* The marks that a camera misses least. */
static MarkSet nearest_marks(const FitModel *model, const MarkSet *marks, const FitCamera *camera,
                             size_t keep) {
    double off[RESECT_MARKS_MOST], image;
    bool seen = fit_image_mm(model, camera, &image);
    for (size_t i = 0; i < marks->count; i++) {
        double x, y;
        off[i] = INFINITY;
        if (seen && fit_residual(model, camera, image, marks->index[i], &x, &y, NULL))
            off[i] = hypot(x, y) / fit_sigma_px(model, marks->index[i]);
    }
    MarkSet kept = {0};
    for (size_t i = 0; i < marks->count; i++) {
        size_t nearer = 0;
        for (size_t j = 0; j < marks->count; j++)
            nearer += off[j] < off[i] || (off[j] == off[i] && j < i);
        if (nearer < keep) kept.index[kept.count++] = marks->index[i];
    }
    return kept;
}

/* Fit, keep those that are missed least, again: the sum falls with each step (Rousseeuw and Van Driessen
 * 1999). */
static void concentrate(const FitModel *model, const MarkSet *marks, const FitCamera *seed, size_t keep,
                        Subsets *subsets) {
    enum { STEPS_MOST = 5 };
    FitCamera camera = *seed;
    MarkSet last = {0};
    for (int i = 0; i < STEPS_MOST; i++) {
        MarkSet kept = nearest_marks(model, marks, &camera, keep);
        if (same_marks(&kept, &last)) return;
        Fit fit = fit_from(model, &kept, &camera);
        if (!fit.good) return;
        put_subset(model, &kept, &fit, subsets);
        camera = fit.camera;
        last = kept;
    }
}

static void fewer_marks(const FitModel *model, const MarkSet *marks, const Subset *more,
                        const FitCamera *seeds, size_t seed_count, Subsets *subsets) {
    subsets->count = 0;
    for (size_t i = 0; i < more->marks.count; i++) {
        MarkSet rest = without(&more->marks, i);
        Fit fit = fit_from(model, &rest, &more->fit.camera);
        put_subset(model, &rest, &fit, subsets);
    }
    for (size_t i = 0; i < seed_count; i++)
        concentrate(model, marks, &seeds[i], more->marks.count - 1, subsets);
}

/* --- Whose fault it is ---------------------------------------------------------------------------------- */

static size_t most_taken_out(const FitModel *model, const MarkSet *marks, size_t needed) {
    size_t most = marks->count < 8 ? 1 : marks->count / 4;
    if (most > RESECT_MISMARKED_MOST) most = RESECT_MISMARKED_MOST;
    while (most > 0) {
        MarkSet rest = {.count = marks->count - most};
        if (rest.count >= needed && fit_left_over(model, &rest) + before_of(model) >= 2) break;
        most--;
    }
    return most;
}

/* In how many of the sets that are about as good as the best each mark (by its place among all) is out;
 * returns the number of those sets. */
static size_t count_out(const FitModel *model, const MarkSet *marks, const Subsets *subsets,
                        size_t out[RESECT_MARKS_MOST]) {
    /* of the scatter a little is known whatever was stated */
    static const double BEFORE_LEAST = 3;
    double before = fmax(before_of(model), BEFORE_LEAST);
    const Subset *best = best_subset(subsets);
    Scatter lowest = scatter_of(model, &best->marks, best->score, before);
    size_t sets = 0;
    for (size_t j = 0; j < marks->count; j++)
        out[j] = 0;
    for (size_t i = 0; i < subsets->count; i++) {
        const Subset *it = &subsets->items[i];
        if (chance_of(scatter_of(model, &it->marks, it->score, before), lowest) < ODDS_RIVAL) continue;
        sets++;
        for (size_t j = 0; j < marks->count; j++)
            out[j] += !has_mark(&it->marks, marks->index[j]);
    }
    return sets;
}

/* Marks that are out in the best set and in every rival are found out; those out in some are suspects. */
static void blame(const FitModel *model, const MarkSet *marks, const Subsets *subsets, Mismarks *mismarks) {
    size_t out[RESECT_MARKS_MOST], sets = count_out(model, marks, subsets, out);
    mismarks->count = mismarks->suspect_count = 0;
    mismarks->unclear = sets > 1;
    for (size_t j = 0; j < marks->count; j++) {
        if (out[j] == sets)
            mismarks->mark[mismarks->count++] = marks->index[j];
        else if (out[j] > 0)
            mismarks->suspect[mismarks->suspect_count++] = marks->index[j];
    }
}

static void wonder(const FitModel *model, const MarkSet *marks, const Subsets *subsets, Mismarks *mismarks) {
    size_t out[RESECT_MARKS_MOST];
    (void)count_out(model, marks, subsets, out);
    for (size_t j = 0; j < marks->count; j++)
        if (out[j] > 0) mismarks->maybe[mismarks->maybe_count++] = marks->index[j];
}

void mismarks_find(const FitModel *model, const MarkSet *marks, const Fit *fit, const FitCamera *seeds,
                   size_t seed_count, size_t marks_needed, Mismarks *mismarks) {
    *mismarks = (Mismarks){0};
    size_t most = most_taken_out(model, marks, marks_needed);
    double before = before_of(model);
    Subset last = {*marks, *fit, score_of(model, fit)};
    /* Backwards from the most that may be out (Rosner 1983): one may hide another. */
    for (size_t k = 1; k <= most; k++) {
        Subsets subsets;
        fewer_marks(model, marks, &last, seeds, seed_count, &subsets);
        const Subset *best = best_subset(&subsets);
        if (!best || !isfinite(best->score)) break;
        double chance = chance_of(scatter_of(model, &last.marks, last.score, before),
                                  scatter_of(model, &best->marks, best->score, before));
        if (k == 1) wonder(model, marks, &subsets, mismarks);
        if (chance * (double)last.marks.count < BLAMED_WRONGLY) blame(model, marks, &subsets, mismarks);
        last = *best;
        /* what is left agrees, and nothing is hidden in it */
        if (last.score <= NOISE_LARGE * NOISE_LARGE * fit_left_over(model, &last.marks) &&
            chance * (double)last.marks.count > CHANCE_SMALL)
            break;
    }
}
