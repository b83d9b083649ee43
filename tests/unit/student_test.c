/* Student's distribution, against the tables. */
#include "near.h"
#include "optics/student.h"

#include <criterion/criterion.h>
#include <math.h>

/* NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, upper critical values of Student's t: columns
 * 0.95 and 0.975 (two-sided 0.90 and 0.95), from memory of the table. */
Test(student, table_of_critical_values) {
    static const struct {
        double freedoms, two_sided_90, two_sided_95;
    } ROWS[] = {{1, 6.314, 12.706}, {2, 2.920, 4.303},  {3, 2.353, 3.182},  {4, 2.132, 2.776},
                {5, 2.015, 2.571},  {6, 1.943, 2.447},  {10, 1.812, 2.228}, {20, 1.725, 2.086},
                {30, 1.697, 2.042}, {60, 1.671, 2.000}, {100, 1.660, 1.984}};
    for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
        NEAR(student_times(0.90, ROWS[i].freedoms), ROWS[i].two_sided_90, 6e-4);
        NEAR(student_times(0.95, ROWS[i].freedoms), ROWS[i].two_sided_95, 6e-4);
    }
    NEAR(student_times(0.95, INFINITY), 1.959963985, 1e-8);
}

/* Closed forms: for 1 freedom 2/pi atan t, for 2 t / sqrt(2 + t^2), for 4 with u = t / sqrt(4 + t^2) (3u -
 * u^3) / 2. */
Test(student, closed_forms) {
    for (double t = 0.1; t < 200; t *= 1.7) {
        NEAR(student_share(t, 1), 2 / 3.14159265358979323846 * atan(t), 1e-13);
        NEAR(student_share(t, 2), t / sqrt(2 + t * t), 1e-13);
        double u = t / sqrt(4 + t * t);
        NEAR(student_share(t, 4), (3 * u - u * u * u) / 2, 1e-13);
    }
}

Test(student, times_and_share_are_inverse_and_go_over_into_the_normal) {
    for (double freedoms = 0.7; freedoms < 1000; freedoms *= 1.37)
        for (double share = 0.05; share < 1; share += 0.1)
            NEAR(student_share(student_times(share, freedoms), freedoms), share,
                 freedoms > 300 ? 1e-5 : 1e-11);
    NEAR(student_times(SHARE_ONE_SIGMA, INFINITY), 1, 1e-12);
    NEAR(student_times(SHARE_TWO_SIGMA, INFINITY), 2, 1e-12);
    NEAR(student_times(SHARE_TWO_SIGMA, 299.999), student_times(SHARE_TWO_SIGMA, 300.001), 1e-6);
    NEAR(student_times(SHARE_TWO_SIGMA, 1e9), 2, 1e-6);
}
