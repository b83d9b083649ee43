/* The thin lens and the camera against published values. Each check names its source; those that have none
 * say so. */
#include "base/number.h"
#include "near.h"
#include "optics/camera.h"
#include "optics/lens.h"

#include <criterion/criterion.h>
#include <math.h>

static const double FULL_WIDE = 36, FULL_TALL = 24;

static double diagonal(double wide, double tall) {
    return hypot(wide, tall);
}

static double angle_deg(double side, double image) {
    return DEGREES(lens_angle_rad(side, image));
}

/* Angles of view at infinity of 24 x 36 mm, in degrees: table by T. Bryant, Leica Users Group, 1999-08-20
 * (leica-users.org, v10, msg04586; the program behind it in msg04617). */
Test(angle_of_view, table_of_24_by_36) {
    static const struct {
        double focal, wide, tall, diagonal;
    } rows[] = {
        {14, 104.250, 81.203, 114.182}, {20, 83.974, 61.928, 94.493},  {21, 81.203, 59.490, 91.702},
        {24, 73.740, 53.130, 84.062},   {28, 65.470, 46.397, 75.381},  {35, 54.432, 37.849, 63.440},
        {50, 39.598, 26.991, 46.793},   {55, 36.244, 24.616, 42.943},  {75, 26.991, 18.181, 32.180},
        {90, 22.620, 15.189, 27.032},   {135, 15.189, 10.159, 18.208}, {180, 11.421, 7.628, 13.706},
        {200, 10.286, 6.867, 12.347},   {300, 6.867, 4.581, 8.249},    {400, 5.153, 3.437, 6.191},
        {1000, 2.062, 1.375, 2.479},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        NEAR(angle_deg(FULL_WIDE, rows[i].focal), rows[i].wide, 0.0006);
        NEAR(angle_deg(FULL_TALL, rows[i].focal), rows[i].tall, 0.0006);
        NEAR(angle_deg(diagonal(FULL_WIDE, FULL_TALL), rows[i].focal), rows[i].diagonal, 0.0006);
    }
    /* Leica Users Group v07, msg03644: "a more precise value is 91.702105 for a 21mm lens", at infinity */
    NEAR(angle_deg(diagonal(FULL_WIDE, FULL_TALL), 21), 91.702105, 1e-6);
}

Test(angle_of_view, maker_s_and_textbook_figures) {
    double full = diagonal(FULL_WIDE, FULL_TALL);
    /* "the square root of this is 43.27mm": david-ruether-photography.com, lens angle of view and perspective
     */
    NEAR(full, 43.27, 0.005);
    /* Nikon 24-85 mm data sheet (as at techbuy.com.au): 84 deg to 28 deg 30', on DX 61 deg to 18 deg 50' */
    NEAR(angle_deg(full, 24), 84, 0.25);
    NEAR(angle_deg(full, 85), 28.5, 0.25);
    NEAR(angle_deg(diagonal(23.7, 15.6), 24), 61, 0.25);
    NEAR(angle_deg(diagonal(23.7, 15.6), 85), 18 + 50 / 60.0, 0.25);
    /* a lens as long as the diagonal sees about 53 degrees of it: primidi.com, normal lens */
    NEAR(angle_deg(full, full), 53, 0.2);
    /* lenstip.com, Field of View for DSLR Cameras: 114.6 arctan(21.622 / (S f)), in degrees, S the crop
     * factor */
    static const double crops[] = {1.3, 1.5, 1.6, 2};
    for (size_t i = 0; i < COUNT(crops); i++)
        NEAR(angle_deg(full / crops[i], 50), 114.6 * atan(21.622 / (crops[i] * 50)), 0.05);
}

/* D. Jacobson, lenses FAQ (rec.photo, 1995): 1/Si + 1/So = 1/f; (Si - f)(So - f) = f^2; M = Si/So = (Si -
 * f)/f = f/(So - f); angle of coverage 2 arctan(X / (2 f (M + 1))). */
Test(conjugates, gaussian_and_newtonian_forms) {
    static const double focals[] = {24, 50, 85, 135};
    for (size_t i = 0; i < COUNT(focals); i++)
        for (double object = focals[i] * 1.05; object < 1e5; object *= 1.7) {
            double f = focals[i], image = lens_image_distance(f, object), m = lens_magnification(f, object);
            NEAR(1 / image + 1 / object, 1 / f, 1e-15);
            NEAR((image - f) * (object - f), f * f, 1e-9 * f * f);
            NEAR(m, image / object, 1e-12 * m);
            NEAR(m, (image - f) / f, 1e-9 * fmax(1, m));
            NEAR(lens_object_distance(f, image), object, 1e-9 * object * object / f);
            NEAR(lens_angle_rad(36, image), 2 * atan(36 / (2 * f * (m + 1))), 1e-12);
        }
}

Test(conjugates, worked_examples) {
    /* NAVEDTRA 14209, Photography (Basic), p. 1-27: f 50 mm at 1:1, object and image 100 mm */
    NEAR(lens_image_distance(50, 100), 100, 1e-12);
    NEAR(lens_magnification(50, 100), 1, 1e-12);
    /* the same, next page: f 10 in, a 16 x 20 print to 4 x 5: 50 in and 12.5 in */
    NEAR(lens_image_distance(10, 50), 12.5, 1e-12);
    NEAR(lens_magnification(10, 50), 1 / 4.0, 1e-12);
    /* the same: f 10 in, a man 72 in tall to 5 in: image 10.7 in, object 154 in */
    NEAR(lens_image_distance(10, 154), 10.7, 0.05);
    NEAR(72 * lens_magnification(10, 154), 5, 1e-12);
    /* US Army SS0511, p. 106: f 12 in, a 12 in tool to 6 in: image 18 in, object 36 in */
    NEAR(lens_image_distance(12, 36), 18, 1e-12);
    NEAR(12 * lens_magnification(12, 36), 6, 1e-12);
    /* Book of Photography, Calculation of Conjugate Foci: f 12 in, a yard imaged 3 in: 156 in and 13 in */
    NEAR(lens_image_distance(12, 156), 13, 1e-12);
    NEAR(36 * lens_magnification(12, 156), 3, 1e-12);
    /* a physics exercise (assignmentexpert 205114): f 25 mm, image 44 mm: object 57.894 mm, magnification
     * 0.760 */
    NEAR(lens_object_distance(25, 44), 57.894, 0.001);
    NEAR(lens_magnification(25, 57.894), 0.760, 0.0005);
    /* a physics exercise (coursehero, ch. 25): f 25 cm, object 150 cm: image 30.0 cm, magnification 1/5 */
    NEAR(lens_image_distance(25, 150), 30, 1e-12);
    NEAR(lens_magnification(25, 150), 0.2, 1e-12);
    /* Olympus list, 2016-05: f 50 mm with 10 mm of extension, "approx 303mm" with rounded reciprocals */
    NEAR(lens_object_distance(50, 60), 303, 3.1);
    /* Optronis camera manual, p. 53: distance = f (1 + object / sensor): f 15, 100 to 5.6 mm: 282 (cut off)
     */
    NEAR(lens_magnification(15, 282.857), 5.6 / 100, 1e-5);
    NEAR(lens_field_mm(5.6, 15, 282), 100, 0.4);
    /* ayton.id.au: at 1:2 the lens stands 1.5 focal lengths off the sensor */
    NEAR(lens_image_distance(50, 150) / 50, 1.5, 1e-12);
    NEAR(lens_magnification(50, 150), 0.5, 1e-12);
}

/* Equivalents. CIPA DCG-001 (as quoted at downbeachdeli.net): the focal length times 43.27 over the diagonal.
 */
Test(equivalent, by_diagonal) {
    double full = diagonal(FULL_WIDE, FULL_TALL);
    /* Camerapedia, 35mm equivalent: 25 mm on 30.2 x 16.7 mm is 31 mm */
    NEAR(lens_by_diagonal_mm(25, diagonal(30.2, 16.7), full), 31, 0.5);
    NEAR(diagonal(30.2, 16.7), 34.51, 0.005);
    /* Nikon D2X manual, p. 242: on 23.7 x 15.7 mm times 1.5: 24 36, 35 52.5, 50 75, 85 127.5, 135 202.5 */
    static const double pairs[][2] = {{24, 36}, {35, 52.5}, {50, 75}, {85, 127.5}, {135, 202.5}};
    for (size_t i = 0; i < COUNT(pairs); i++)
        NEAR(lens_by_diagonal_mm(pairs[i][0], diagonal(23.7, 15.7), full), pairs[i][1], 0.02 * pairs[i][1]);
    /* canon.at: 50 mm times 1.6 is 80 mm (22.3 x 14.9 mm) */
    NEAR(lens_by_diagonal_mm(50, diagonal(22.3, 14.9), full), 80, 1);
}

Test(equivalent, crop_factors) {
    static const struct {
        double wide, tall, crop, tolerance;
    } rows[] = {
        {36, 24, 1, 0},            /* Nikon D2X and D90 manuals */
        {22.3, 14.9, 1.6, 0.02},   /* shuttermuse.com, sensor sizes; canon.at */
        {23.7, 15.7, 1.5, 0.03},   /* Nikon D2X manual */
        {17.3, 13.0, 2, 0.005},    /* ayton.id.au: "diagonal of 21.63mm ... 2x" */
        {43.8, 32.9, 0.79, 0.002}, /* shuttermuse.com; htmt41.com */
    };
    for (size_t i = 0; i < COUNT(rows); i++)
        NEAR(lens_by_diagonal_mm(1, diagonal(rows[i].wide, rows[i].tall), diagonal(FULL_WIDE, FULL_TALL)),
             rows[i].crop, rows[i].tolerance);
    NEAR(diagonal(17.3, 13.0), 21.63, 0.015);
}

/* Common practice, no source: 45 mm on 22.3 x 14.9 mm frames like a lens between 50 and 100 mm on 36 x 24. */
Test(equivalent, forty_five_on_the_smaller_sensor) {
    double by_width = lens_same_frame_mm(45, INFINITY, FULL_WIDE / 22.3);
    double by_diagonal = lens_by_diagonal_mm(45, diagonal(22.3, 14.9), diagonal(FULL_WIDE, FULL_TALL));
    NEAR(by_width, 72.65, 0.005);
    NEAR(by_diagonal, 72.60, 0.005);
    cr_assert(by_width > 50 && by_width < 100 && by_diagonal > 50 && by_diagonal < 100);
}

/* Rule 36, by hand from the thin lens: equal field at the same place; close up it parts from the ratio at
 * infinity (a square page on sensors 14.9 and 24 mm tall). */
Test(equivalent, same_frame_close_up) {
    double ratio = 24 / 14.9, same = lens_same_frame_mm(100, 1400, ratio);
    NEAR(lens_field_mm(24, same, 1400), lens_field_mm(14.9, 100, 1400), 1e-9);
    NEAR(same, 154.3, 0.05);
    NEAR(lens_same_frame_mm(100, INFINITY, ratio), 161.1, 0.05);
}

/* Field = distance x frame / focal length, at distances where 1 + m is near 1. */
Test(field, worked_examples) {
    /* American Cinematographer, Oct 1928, p. 11: 2 in lens, frame 1 x 3/4 in, 40 ft: a set 20 ft wide, 15 ft
     * high */
    NEAR(lens_field_mm(25.4, 50.8, 40 * 304.8) / 304.8, 20, 0.1);
    NEAR(lens_field_mm(19.05, 50.8, 40 * 304.8) / 304.8, 15, 0.1);
    /* sensorcentral.com, tech07: 3.6 mm chip, 45 mm target at 200 mm: f 16 mm, by the far approximation,
     * which takes f/u for f/(u - f) */
    NEAR(lens_field_mm(3.6, 16, 200 + 16), 45, 0.01);
    /* vicoimaging.com: 4.8 mm chip, 64 mm target at 305 mm: f 23 mm, likewise */
    NEAR(lens_field_mm(4.8, 23, 305 + 23), 64, 0.4);
    /* P. R. Harmer, International Photographer, Mar 1934 (as summarised at illusion-almanac.com, 2024-01-10):
     * a set about 78 ft wide at 144 ft with a 1.6 in lens; the 0.868 in aperture is from memory */
    NEAR(lens_field_mm(0.868, 1.6, 144 * 12) / 12, 78, 0.2);
    /* the pinhole proportion, NAVEDTRA 14209, p. 1-30: object 12 ft at 16 ft on 9 in with a 12 in lens;
     * object 10 ft at 30 ft with 24 in on 8 in; 20 ft at 8 ft ... 10 in with a 4 in lens */
    NEAR(lens_field_mm(9, 12, 16 * 12 + 12) / 12, 12, 1e-9);
    NEAR(lens_field_mm(8, 24, 30 * 12 + 24) / 12, 10, 1e-9);
    NEAR(lens_field_mm(10, 4, 8 * 12 + 4) / 12, 20, 1e-9);
}

/* A picture of a whole sensor, drawn at sensor size: a drawn mm is a sensor mm. */
static Picture bare(double wide, double tall) {
    PictureWishes wishes = {.page_wide_mm = wide,
                            .page_tall_mm = tall,
                            .pages = 1,
                            .sensor_wide_mm = wide,
                            .sensor_tall_mm = tall,
                            .crop_uses = 1};
    return picture_new(&wishes);
}

static Camera far_camera(double distance, double height, double tilt_rad, double focal) {
    return (Camera){.distance_mm = distance,
                    .height_mm = height,
                    .tilt_rad = tilt_rad,
                    .focal_mm = focal,
                    .object_mm = INFINITY,
                    .image_mm = focal};
}

/* All points as high as the lens project to the horizon, higher ones above it: U. Washington CSE576 (2009),
 * projective geometry, slide 57; A Text-Book on Perspective, p. 7: the horizon is level with the eye. */
Test(perspective, horizon_is_as_high_as_the_lens) {
    Picture picture = bare(36, 24);
    static const double tilts_deg[] = {-12, 0, 9, 30};
    for (size_t i = 0; i < COUNT(tilts_deg); i++) {
        Camera camera = far_camera(2000, 320, RADIANS(tilts_deg[i]), 50);
        double horizon = camera_horizon_mm(&camera, &picture), x, y;
        for (double back = -1000; back < 1e6; back = back * 2 + 3000) {
            cr_assert(camera_project(&camera, &picture, (Point3){back / 7, back, 320}, &x, &y, NULL));
            NEAR(y, horizon, 1e-9);
            cr_assert(camera_project(&camera, &picture, (Point3){back / 7, back, 321}, &x, &y, NULL));
            cr_assert_gt(y, horizon);
            cr_assert(camera_project(&camera, &picture, (Point3){back / 7, back, 319}, &x, &y, NULL));
            cr_assert_lt(y, horizon);
        }
    }
}

/* R. Pastrana, Simplifying Perspective (Focal Press): eye level four feet: what ends at the horizon and
 * stands on the ground is four feet tall, near or far; with the ground to the horizon in four equal parts,
 * five parts are five feet. */
Test(perspective, eye_level_measures_what_stands_on_the_ground) {
    Picture picture = bare(36, 24);
    Camera camera = far_camera(3000, 4 * 304.8, 0, 35);
    double horizon = camera_horizon_mm(&camera, &picture);
    for (double back = -1000; back < 30000; back += 2500) {
        double x, base, top;
        cr_assert(camera_project(&camera, &picture, (Point3){0, back, 0}, &x, &base, NULL));
        cr_assert(camera_project(&camera, &picture, (Point3){0, back, 5 * 304.8}, &x, &top, NULL));
        NEAR(4 * (top - base) / (horizon - base), 5, 1e-9);
        cr_assert(camera_project(&camera, &picture, (Point3){0, back, 4 * 304.8}, &x, &top, NULL));
        NEAR((top - base) / (horizon - base), 1, 1e-9);
    }
}

/* jeesunkim.com, finding 3D points: camera height H, tilt phi, focal length f: the ground point of an image
 * point (x, y), y downwards, is (x H / Q, y H / Q, f H / Q) in the camera's axes, Q = f sin phi + y cos phi.
 */
Test(ground, back_projection_of_a_tilted_camera) {
    Picture picture = bare(36, 24);
    static const double tilts_deg[] = {0, 6, 20, 50};
    for (size_t i = 0; i < COUNT(tilts_deg); i++)
        for (double x = -18; x <= 18; x += 4.5)
            for (double down = 1; down <= 12; down += 2.2) {
                double phi = RADIANS(tilts_deg[i]), f = 50, height = 700;
                Camera camera = far_camera(0, height, phi, f);
                Point3 met;
                cr_assert(camera_on_level(&camera, &picture, 18 + x, 12 - down, 0, &met));
                double q = f * sin(phi) + down * cos(phi);
                NEAR(met.across_mm, x * height / q, 1e-7);
                /* from camera axes to the set: back = Z cos phi - Y sin phi */
                NEAR(met.back_mm, (f * cos(phi) - down * sin(phi)) * height / q, 1e-7);
                /* the same by angles: H / tan(phi + atan(y / f)) */
                NEAR(met.back_mm, height / tan(phi + atan(down / f)), 1e-7);
            }
}

/* American Cinematographer, Oct 1928, p. 11: with the lens at 5 ft the floor first appears where the lower
 * edge cuts it; worked out for a level camera, 2 in lens, 3/4 in frame: 5 / (0.375 / 2) = 26.67 ft. */
Test(ground, floor_first_appears) {
    Picture picture = bare(25.4, 19.05);
    Camera camera = far_camera(0, 5 * 304.8, 0, 50.8);
    double back;
    cr_assert(camera_near_ground_mm(&camera, &picture, 0, 0, &back));
    NEAR(back / 304.8, 26.67, 0.005);
}

Test(size, falls_with_distance) {
    Picture picture = bare(36, 24);
    double x, near_foot, near_top, far_foot, far_top;
    /* McKay, Three-Dimensional Photography, p. 234: twice as far away the image is just half */
    Camera camera = far_camera(1500, 200, 0, 85);
    cr_assert(camera_project(&camera, &picture, (Point3){0, 0, 0}, &x, &near_foot, NULL));
    cr_assert(camera_project(&camera, &picture, (Point3){0, 0, 280}, &x, &near_top, NULL));
    cr_assert(camera_project(&camera, &picture, (Point3){0, 1500, 0}, &x, &far_foot, NULL));
    cr_assert(camera_project(&camera, &picture, (Point3){0, 1500, 280}, &x, &far_top, NULL));
    NEAR((far_top - far_foot) / (near_top - near_foot), 0.5, 1e-12);
    /* Transactions SMPE 18, May 1924, p. 122: at one ninth of the others' distance a giant of nine times the
     * stature */
    cr_assert(camera_project(&camera, &picture, (Point3){0, -1500 + 3000 / 9.0, 0}, &x, &near_foot, NULL));
    cr_assert(camera_project(&camera, &picture, (Point3){0, -1500 + 3000 / 9.0, 280}, &x, &near_top, NULL));
    NEAR((near_top - near_foot) / (far_top - far_foot), 9, 1e-9);
    /* Harmer 1934 (illusion-almanac.com): a set at 144 ft, its miniature at 12 ft: a twelfth of the size fits
     */
    NEAR(lens_field_mm(36, 85, 12 * 304.8 + 85) / lens_field_mm(36, 85, 144 * 304.8 + 85), 1 / 12.0, 1e-9);
    /* physicsforums 810824: 38 m at 1600 m: 1.36 degrees, and 1.9 cm at 80 cm */
    NEAR(DEGREES(lens_angle_rad(2 * 38, 1600) / 2), 1.36, 0.005);
    Camera eye = far_camera(0, 0, 0, 50);
    cr_assert(camera_project(&eye, &picture, (Point3){0, 1600e3, 38e3}, &x, &far_top, NULL));
    cr_assert(camera_project(&eye, &picture, (Point3){0, 800, 19}, &x, &near_top, NULL));
    NEAR(near_top, far_top, 1e-9);
}
