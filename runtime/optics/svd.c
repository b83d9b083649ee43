#include "optics/svd.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

static double dot(const double *a, const double *b, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += a[i] * b[i];
    return sum;
}

static void rotate(double *a, double *b, size_t count, double cosine, double sine) {
    for (size_t i = 0; i < count; i++) {
        double first = a[i], second = b[i];
        a[i] = cosine * first - sine * second;
        b[i] = sine * first + cosine * second;
    }
}

/* Turns two columns square to each other; false when they were. */
static bool square_up(Svd *svd, size_t i, size_t j) {
    double *a = svd->w[i], *b = svd->w[j];
    double aa = dot(a, a, svd->rows), bb = dot(b, b, svd->rows), ab = dot(a, b, svd->rows);
    if (fabs(ab) <= 1e-15 * sqrt(aa * bb)) return false;
    double zeta = (bb - aa) / (2 * ab);
    double tangent = copysign(1, zeta) / (fabs(zeta) + hypot(1, zeta));
    double cosine = 1 / hypot(1, tangent), sine = cosine * tangent;
    rotate(a, b, svd->rows, cosine, sine);
    rotate(svd->v[i], svd->v[j], svd->columns, cosine, sine);
    return true;
}

void svd_new(Svd *svd, size_t rows, size_t columns, const double (*a)[SVD_COLUMNS_MOST]) {
    enum { SWEEPS_MOST = 60 };
    assert(rows <= SVD_ROWS_MOST && columns <= SVD_COLUMNS_MOST);
    memset(svd, 0, sizeof *svd);
    svd->rows = rows;
    svd->columns = columns;
    for (size_t column = 0; column < columns; column++) {
        svd->v[column][column] = 1;
        for (size_t row = 0; row < rows; row++)
            svd->w[column][row] = a[row][column];
    }
    bool turned = true;
    for (int sweep = 0; turned && sweep < SWEEPS_MOST; sweep++) {
        turned = false;
        for (size_t i = 0; i + 1 < columns; i++)
            for (size_t j = i + 1; j < columns; j++)
                turned |= square_up(svd, i, j);
    }
}

double svd_value(const Svd *svd, size_t index) {
    assert(index < svd->columns);
    return sqrt(dot(svd->w[index], svd->w[index], svd->rows));
}

size_t svd_count(const Svd *svd, double least) {
    size_t count = 0;
    for (size_t i = 0; i < svd->columns; i++)
        count += svd_value(svd, i) >= least;
    return count;
}

void svd_response(const Svd *svd, size_t row, double *unknowns) {
    double most = 0;
    for (size_t i = 0; i < svd->columns; i++)
        most = fmax(most, svd_value(svd, i));
    for (size_t i = 0; i < svd->columns; i++)
        unknowns[i] = 0;
    for (size_t j = 0; j < svd->columns; j++) {
        double value = svd_value(svd, j);
        if (value <= 1e-12 * most) continue;
        for (size_t i = 0; i < svd->columns; i++)
            unknowns[i] += svd->v[j][i] * svd->w[j][row] / (value * value);
    }
}
