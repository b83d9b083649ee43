/* The thin lens: conjugates, angles of view, equivalents, field widths. docs/geometry.md, rules 7, 11, 36
 * and 40. */
#ifndef GROUNDROW_LENS_H
#define GROUNDROW_LENS_H

/* Image distance v = f u / (u - f) for an object at u > f along the axis (mm, from the lens). */
double lens_image_distance(double focal_mm, double object_mm);
double lens_object_distance(double focal_mm, double image_mm);
double lens_magnification(double focal_mm, double object_mm);
/* 2 atan(side / 2v): full angle for a side of the frame and the image distance (at infinity: v = f). */
double lens_angle_rad(double side_mm, double image_mm);
/* Width of the field at `object_mm` for a frame `side_mm` wide. */
double lens_field_mm(double side_mm, double focal_mm, double object_mm);
/* Focal length on another body that frames the same at the same place: r f / (1 - (1 - r) f / u), r the ratio
 * of the frames' widths (rule 36). */
double lens_same_frame_mm(double focal_mm, double object_mm, double frame_ratio);
/* By diagonal, at infinity, full sensors. */
double lens_by_diagonal_mm(double focal_mm, double diagonal_mm, double other_diagonal_mm);

#endif
