#include "optics/lens.h"

#include <assert.h>
#include <math.h>

double lens_image_distance(double focal_mm, double object_mm) {
    assert(object_mm > focal_mm);
    return focal_mm * object_mm / (object_mm - focal_mm);
}

double lens_object_distance(double focal_mm, double image_mm) {
    assert(image_mm > focal_mm);
    return focal_mm * image_mm / (image_mm - focal_mm);
}

double lens_magnification(double focal_mm, double object_mm) {
    assert(object_mm > focal_mm);
    return focal_mm / (object_mm - focal_mm);
}

double lens_angle_rad(double side_mm, double image_mm) {
    return 2 * atan(side_mm / (2 * image_mm));
}

double lens_field_mm(double side_mm, double focal_mm, double object_mm) {
    return side_mm / lens_magnification(focal_mm, object_mm);
}

double lens_same_frame_mm(double focal_mm, double object_mm, double frame_ratio) {
    double r = frame_ratio;
    return r * focal_mm / (1 - (1 - r) * focal_mm / object_mm);
}

double lens_by_diagonal_mm(double focal_mm, double diagonal_mm, double other_diagonal_mm) {
    return focal_mm * other_diagonal_mm / diagonal_mm;
}
