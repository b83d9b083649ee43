/* Resections as text, for checks against others: reads problems, a line a fact and `solve` at the end of
 * each, and writes a line of results each. With an argument, solves each so often and writes microseconds
 * instead.
 *
 *     photo WIDE TALL SENSOR_WIDE   focal MM SIGMA   radial SIGMA   sigma PX FREEDOMS
 *     mark ACROSS BACK UP X Y       solve
 *
 * Result: status, marks used, lens, right, down, forward, image distance, k1, rms, ambiguous, sigmas of all
 * unknowns, sigma_px, freedoms. */
#include "optics/resect.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double now_us(void) {
    struct timespec time;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
    return 1e6 * (double)time.tv_sec + 1e-3 * (double)time.tv_nsec;
}

static void print_point(Point3 point) {
    printf(" %.17g %.17g %.17g", point.across_mm, point.back_mm, point.up_mm);
}

static void print_result(const ResectResult *result) {
    const PhotoCamera *camera = &result->camera;
    PhotoAxes axes = photo_axes(camera);
    printf("%d %zu", (int)result->status, result->count_used);
    print_point(camera->lens);
    print_point(axes.right);
    print_point(axes.down);
    print_point(axes.forward);
    printf(" %.17g %.17g %.17g %d", camera->image_mm, camera->radial, result->rms_px, (int)result->ambiguous);
    for (int i = 0; i < RESECT_UNKNOWN_COUNT; i++)
        printf(" %.17g", result->spread[i].sigma);
    printf(" %.17g %.17g\n", result->sigma_px, result->freedoms);
}

static void solve(const ResectProblem *problem, int times) {
    ResectResult result;
    double start = now_us();
    for (int i = 0; i < times; i++)
        resect(problem, &result);
    if (times > 1)
        printf("%.4f\n", (now_us() - start) / times);
    else
        print_result(&result);
}

static bool read_fact(const char *word, ResectProblem *problem, ResectMark *marks) {
    ResectMark *mark = &marks[problem->count];
    if (!strcmp(word, "photo"))
        return scanf("%lf %lf %lf", &problem->photo.wide_px, &problem->photo.tall_px,
                     &problem->photo.sensor_wide_mm) == 3;
    if (!strcmp(word, "focal")) return scanf("%lf %lf", &problem->focal_mm, &problem->focal_sigma) == 2;
    if (!strcmp(word, "radial")) return scanf("%lf", &problem->radial_sigma) == 1;
    if (!strcmp(word, "sigma")) return scanf("%lf %lf", &problem->sigma_px, &problem->sigma_freedoms) == 2;
    if (strcmp(word, "mark") || problem->count == RESECT_MARKS_MOST) return false;
    problem->count++;
    return scanf("%lf %lf %lf %lf %lf", &mark->at.across_mm, &mark->at.back_mm, &mark->at.up_mm, &mark->x_px,
                 &mark->y_px) == 5;
}

int main(int count, char **arguments) {
    int times = count > 1 ? atoi(arguments[1]) : 1;
    static ResectMark marks[RESECT_MARKS_MOST];
    ResectProblem problem = {.marks = marks};
    char word[16];
    while (scanf("%15s", word) == 1) {
        if (!strcmp(word, "solve")) {
            solve(&problem, times);
            memset(marks, 0, sizeof marks);
            problem = (ResectProblem){.marks = marks};
        } else if (!read_fact(word, &problem, marks)) {
            fprintf(stderr, "resect_driver: %s?\n", word);
            return 1;
        }
    }
    return 0;
}
