/* Singular values and least squares against matrices worked by hand. */
#include "near.h"
#include "optics/svd.h"

#include <criterion/criterion.h>
#include <math.h>

static void two_values(const Svd *svd, double *least, double *most) {
    double a = svd_value(svd, 0), b = svd_value(svd, 1);
    *least = fmin(a, b);
    *most = fmax(a, b);
}

/* A^T A of (3 0; 4 5) is (25 20; 20 25), with eigenvalues 45 and 5. */
Test(svd, two_by_two) {
    double a[2][SVD_COLUMNS_MOST] = {{3, 0}, {4, 5}}, least, most;
    Svd svd;
    svd_new(&svd, 2, 2, (const double(*)[SVD_COLUMNS_MOST])a);
    two_values(&svd, &least, &most);
    NEAR(most, sqrt(45), 1e-14);
    NEAR(least, sqrt(5), 1e-14);
    cr_assert_eq(svd_count(&svd, 2), 2);
    cr_assert_eq(svd_count(&svd, 3), 1);
}

/* A A^T of (3 2 2; 2 3 -2) is (17 8; 8 17), with eigenvalues 25 and 9: values 5, 3 and 0. */
Test(svd, more_columns_than_rows) {
    double a[2][SVD_COLUMNS_MOST] = {{3, 2, 2}, {2, 3, -2}};
    Svd svd;
    svd_new(&svd, 2, 3, (const double(*)[SVD_COLUMNS_MOST])a);
    cr_assert_eq(svd_count(&svd, 5 + 1e-9), 0);
    cr_assert_eq(svd_count(&svd, 5 - 1e-9), 1);
    cr_assert_eq(svd_count(&svd, 3 - 1e-9), 2);
    cr_assert_eq(svd_count(&svd, 1e-9), 2);
}

Test(svd, nothing_at_all) {
    double a[3][SVD_COLUMNS_MOST] = {{0}};
    Svd svd;
    svd_new(&svd, 3, 2, (const double(*)[SVD_COLUMNS_MOST])a);
    cr_assert_eq(svd_count(&svd, 1e-300), 0);
}

/* A line through (0, y0), (1, y1), (2, y2): slope (y2 - y0) / 2, start (5 y0 + 2 y1 - y2) / 6. */
Test(svd, response_is_least_squares) {
    static const double wanted[3][2] = {{5 / 6.0, -0.5}, {2 / 6.0, 0}, {-1 / 6.0, 0.5}};
    double a[3][SVD_COLUMNS_MOST] = {{1, 0}, {1, 1}, {1, 2}};
    Svd svd;
    svd_new(&svd, 3, 2, (const double(*)[SVD_COLUMNS_MOST])a);
    for (size_t row = 0; row < 3; row++) {
        double unknowns[SVD_COLUMNS_MOST];
        svd_response(&svd, row, unknowns);
        NEAR(unknowns[0], wanted[row][0], 1e-14);
        NEAR(unknowns[1], wanted[row][1], 1e-14);
    }
}
