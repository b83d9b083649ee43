#include "optics/sharpness.h"

#include "optics/lens.h"

#include <math.h>
#include <stddef.h>

double sharp_circle_mm(double limit_on_paper_mm, double reading_mm, double paper_per_sensor) {
    return limit_on_paper_mm * (reading_mm / 250) / paper_per_sensor;
}

void sharp_limits(double focal_mm, double stop, double circle_mm, double object_mm, double *near_mm,
                  double *far_mm) {
    const double q = stop * circle_mm * (object_mm - focal_mm) / (focal_mm * focal_mm);
    *near_mm = object_mm / (1 + q);
    *far_mm = q >= 1 ? INFINITY : object_mm / (1 - q);
}

double sharp_blur_mm(double paper_per_sensor, double focal_mm, double stop, double object_mm,
                     double depth_mm) {
    const double m = lens_magnification(focal_mm, object_mm);
    return paper_per_sensor * (focal_mm / stop) * m * fabs(depth_mm - object_mm) / depth_mm;
}

double sharp_effective_stop(double stop, double magnification) {
    return stop * (1 + magnification);
}

double sharp_exposure_factor(double magnification) {
    return (1 + magnification) * (1 + magnification);
}

double sharp_airy_mm(double effective_stop) {
    const double green_mm = 0.55e-3;
    return 2.44 * green_mm * effective_stop;
}

void sharp_focus_for(double focal_mm, double circle_mm, double near_mm, double far_mm, double *object_mm,
                     double *stop) {
    *object_mm = isinf(far_mm) ? 2 * near_mm : 2 * near_mm * far_mm / (near_mm + far_mm);
    if (!(near_mm > focal_mm)) {
        *stop = INFINITY;
        return;
    }
    /* near = u/(1 + q): q = u/near - 1, and N follows from q */
    const double q = *object_mm / near_mm - 1;
    *stop = q * focal_mm * focal_mm / (circle_mm * (*object_mm - focal_mm));
}

/* The focus whose near limit is `near_mm`: u = near (1 + q), q = k (u - f), k = N c / f^2. */
static double focus_with_near_limit(double focal_mm, double stop, double circle_mm, double near_mm) {
    const double k = stop * circle_mm / (focal_mm * focal_mm);
    const double below = 1 - near_mm * k;
    return below <= 0 ? INFINITY : near_mm * (1 - k * focal_mm) / below;
}

int sharp_steps(double focal_mm, double stop, double circle_mm, double near_mm, double far_mm,
                double *object_mm, int most) {
    enum { STEPS_MOST = 1000 };
    int count = 0;
    double limit = near_mm;
    if (!(near_mm > focal_mm)) return 0;
    while (count < STEPS_MOST) {
        const double u = focus_with_near_limit(focal_mm, stop, circle_mm, limit);
        double unused, far;
        if (isinf(u)) {
            if (count < most) object_mm[count] = far_mm;
            return count + 1;
        }
        if (count < most) object_mm[count] = u;
        count++;
        sharp_limits(focal_mm, stop, circle_mm, u, &unused, &far);
        if (far >= far_mm * (1 - 1e-12)) return count;
        limit = far;
    }
    return count;
}

double sharp_marked_stop(double stop) {
    static const double marked[] = {1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22, 32, 45, 64};
    static const size_t count = sizeof marked / sizeof *marked;
    for (size_t i = 0; i < count; i++) {
        if (stop <= marked[i] * (1 + 1e-9)) return marked[i];
    }
    return INFINITY;
}
