/* Singular values of small dense matrices, by one-sided Jacobi rotations. */
#ifndef GROUNDROW_SVD_H
#define GROUNDROW_SVD_H

#include <stddef.h>

enum { SVD_ROWS_MOST = 28, SVD_COLUMNS_MOST = 16 };

/* A = U S V^T as W = A V with square columns: the lengths of W's columns are the singular values (in no
 * order). Any shape within the limits; where rows < columns, columns - rows of them are 0. */
typedef struct Svd {
    size_t rows, columns;
    double w[SVD_COLUMNS_MOST][SVD_ROWS_MOST];    /* columns of W */
    double v[SVD_COLUMNS_MOST][SVD_COLUMNS_MOST]; /* columns of V */
} Svd;

/* `a[row][column]`. */
void svd_new(Svd *svd, size_t rows, size_t columns, const double (*a)[SVD_COLUMNS_MOST]);
double svd_value(const Svd *svd, size_t index);
/* How many singular values are at least `least`. */
size_t svd_count(const Svd *svd, double least);
/* Column `row` of the pseudo-inverse: what the unknowns do when right side `row` grows by 1, least squares.
 * Singular values under 1e-12 of the greatest count as 0. */
void svd_response(const Svd *svd, size_t row, double *unknowns);

#endif
