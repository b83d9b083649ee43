/* A number that is as wanted within a tolerance, for tests; says both where it is not. */
#ifndef GROUNDROW_TESTS_NEAR_H
#define GROUNDROW_TESTS_NEAR_H

#include <criterion/criterion.h>
#include <math.h>

#define NEAR(value, wanted, tolerance)                                                                       \
    cr_assert(fabs((value) - (wanted)) <= (tolerance), "%s is %.12g, not %.12g", #value, (double)(value),    \
              (double)(wanted))
#define COUNT(list) (sizeof(list) / sizeof *(list))

#endif
