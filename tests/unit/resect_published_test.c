/* Cameras that others have published, found again from their points. */
#include "optics/resect_starts.h"
#include "resect_sample.h"

#include <criterion/criterion.h>

/* A published camera matrix has its own principal point and two focal lengths; a photograph's camera has its
 * principal point in the middle and square pixels. So the image is taken as twice the principal point wide
 * and tall, and y is stretched by fx / fy. */
typedef struct Matrix {
    double fx, fy, cx, cy;
} Matrix;

static const double SENSOR_MM = 36;

static Photograph photo_of(const Matrix *k) {
    return (Photograph){2 * k->cx, 2 * k->cy, SENSOR_MM};
}

static double focal_of(const Matrix *k) {
    return k->fx * SENSOR_MM / (2 * k->cx);
}

static ResectMark mark_at(const Matrix *k, Point3 at, double u, double v) {
    return (ResectMark){.at = at, .x_px = u, .y_px = k->cy + (v - k->cy) * k->fx / k->fy};
}

static ResectProblem problem_of(const Matrix *k, const ResectMark *marks, size_t count) {
    return (ResectProblem){
        .photo = photo_of(k), .marks = marks, .count = count, .focal_mm = focal_of(k), .sigma_px = 0.5};
}

/* Rows of R are right, down, forward; t = -R lens. */
static void check_pose(const PhotoCamera *camera, const double r[3][3], const double t[3],
                       double turn_tolerance, double place_tolerance) {
    PhotoAxes axes = photo_axes(camera);
    const Point3 rows[3] = {axes.right, axes.down, axes.forward};
    for (int i = 0; i < 3; i++) {
        NEAR(rows[i].across_mm, r[i][0], turn_tolerance);
        NEAR(rows[i].back_mm, r[i][1], turn_tolerance);
        NEAR(rows[i].up_mm, r[i][2], turn_tolerance);
        NEAR(-(rows[i].across_mm * camera->lens.across_mm + rows[i].back_mm * camera->lens.back_mm +
               rows[i].up_mm * camera->lens.up_mm),
             t[i], place_tolerance);
    }
}

/* OpenCV, modules/calib3d/test/test_solvepnp_ransac.cpp, TEST(Calib3d_SolvePnP, input_type), commit 00512e6:
 * camera matrix, cube of +-0.1 m, rvec (0.1, -0.25, 0.467), tvec (-0.21, 0.12, 0.746); every method must come
 * within 1e-3. Pixels and rotation matrix follow from these. */
static const Matrix OPENCV = {547.94130238156129, 548.17724002728005, 298.35545700043139, 230.62194051986233};
static const double OPENCV_R[3][3] = {{0.863070099, -0.456909065, -0.215276823},
                                      {0.432508625, 0.888690561, -0.152201761},
                                      {0.260856844, 0.038251706, 0.964619362}};
static const double OPENCV_T[3] = {-210, 120, 746};

Test(resect_published, opencv_cube) {
    static const double PIXELS[8][5] = {
        {100, 100, 100, 178.44303, 379.48381},   {-100, 100, 100, 55.49964, 331.13965},
        {-100, -100, 100, 114.83614, 212.17729}, {100, -100, 100, 235.28728, 268.12653},
        {100, 100, -100, 179.11687, 446.31108},  {-100, 100, -100, 18.41737, 388.65642},
        {-100, -100, -100, 95.77073, 233.36470}, {100, -100, -100, 252.29305, 303.73577}};
    ResectMark marks[8];
    for (int i = 0; i < 8; i++)
        marks[i] =
            mark_at(&OPENCV, (Point3){PIXELS[i][0], PIXELS[i][1], PIXELS[i][2]}, PIXELS[i][3], PIXELS[i][4]);
    ResectProblem problem = problem_of(&OPENCV, marks, 8);
    ResectResult result;
    resect(&problem, &result);
    cr_assert_eq(result.status, RESECTED);
    cr_assert_not(result.ambiguous);
    check_pose(&result.camera, OPENCV_R, OPENCV_T, 1e-6, 1e-3);
    cr_assert_lt(result.rms_px, 2e-5);
    NEAR(result.camera.lens.across_mm, -65.2555, 1e-3);
    /* the focal length too */
    problem.focal_mm = 0;
    resect(&problem, &result);
    cr_assert_eq(result.status, RESECTED);
    check_pose(&result.camera, OPENCV_R, OPENCV_T, 1e-5, 1e-1);
    NEAR(result.camera.image_mm / focal_of(&OPENCV), 1, 1e-5);
}

Test(resect_published, opencv_tag) {
    /* the same camera, a square of 50 mm in one plane: four marks, and the other camera that sees it so */
    static const double PIXELS[4][4] = {{-25, 25, 118.52944, 327.90664},
                                        {25, 25, 153.02420, 341.95576},
                                        {25, -25, 169.31023, 309.82939},
                                        {-25, -25, 135.01376, 295.17651}};
    ResectMark marks[4];
    for (int i = 0; i < 4; i++)
        marks[i] = mark_at(&OPENCV, (Point3){PIXELS[i][0], PIXELS[i][1], 0}, PIXELS[i][2], PIXELS[i][3]);
    ResectProblem problem = problem_of(&OPENCV, marks, 4);
    problem.sigma_px = 0.01;
    problem.sigma_freedoms = INFINITY; /* they are that good */
    ResectResult result;
    resect(&problem, &result);
    cr_assert_eq(result.status, RESECTED);
    cr_assert_not(result.ambiguous);
    check_pose(&result.camera, OPENCV_R, OPENCV_T, 1e-4, 1e-1);
    problem.sigma_px = 2; /* as good as a pen: two cameras */
    resect(&problem, &result);
    cr_assert(result.ambiguous);
    cr_assert_gt(result.other_rms_px, result.rms_px);
}

/* The same file's second camera (iterativeInitialGuess, tolerance 1e-6): five points, two of them out of the
 * plane of the others. Pixels follow from rvec (0.3, -0.2, 0.75), tvec (0.15, -0.2, 1.5). */
Test(resect_published, opencv_five_points) {
    static const Matrix K = {605.4, 601.2, 317.35, 242.63};
    static const double PIXELS[5][5] = {{-100, -100, 0, 379.01238, 104.74554},
                                        {100, -100, 0, 434.12936, 160.78343},
                                        {100, 100, 0, 376.83717, 216.61723},
                                        {-100, 100, 50, 319.46732, 159.97794},
                                        {0, 0, -50, 381.33586, 166.85921}};
    /* Rodrigues' formula by hand, to six digits */
    static const double T[3] = {150, -200, 1500};
    ResectMark marks[5];
    for (int i = 0; i < 5; i++)
        marks[i] =
            mark_at(&K, (Point3){PIXELS[i][0], PIXELS[i][1], PIXELS[i][2]}, PIXELS[i][3], PIXELS[i][4]);
    ResectProblem problem = problem_of(&K, marks, 5);
    ResectResult result;
    resect(&problem, &result);
    cr_assert_eq(result.status, RESECTED);
    cr_assert_lt(result.rms_px, 2e-5);
    double angle = sqrt(0.3 * 0.3 + 0.2 * 0.2 + 0.75 * 0.75), x = 0.3 / angle, y = -0.2 / angle,
           z = 0.75 / angle;
    double s = sin(angle), c = cos(angle), d = 1 - c;
    const double r[3][3] = {{c + d * x * x, d * x * y - s * z, d * x * z + s * y},
                            {d * x * y + s * z, c + d * y * y, d * y * z - s * x},
                            {d * x * z - s * y, d * y * z + s * x, c + d * z * z}};
    check_pose(&result.camera, r, T, 2e-6, 2e-2);
}

/* OpenCV, modules/calib3d/test/test_homography_decomp.cpp, commit 2532681 (tolerance 1e-3): a homography
 * between two views of a plane n X = 1, and the motion behind it. What the first view sees at p stands at
 * X = K^-1 p / (n K^-1 p), and the second sees it at H p. */
Test(resect_published, homography_between_views_of_a_plane) {
    static const double H[3][3] = {{2.649157564634028, 4.583875997496426, 70.694447785121326},
                                   {-1.072756858861583, 3.533262150437228, 1513.656999614321649},
                                   {0.001303887589576, 0.003042206876298, 1}};
    static const double R[3][3] = {{0.43307983549125, 0.545749113549648, -0.717356090899523},
                                   {-0.85630229674426, 0.497582023798831, -0.138414255706431},
                                   {0.281404038139784, 0.67421809131173, 0.682818960388909}};
    static const double T[3] = {1826.751712278038, 1264.718492450820, 195.080809998819};
    static const double N[3] = {0.244875830334816, 0.480857890778889, 0.841909446789566};
    static const double FIRST[6][2] = {{40, 60}, {600, 40}, {560, 440}, {80, 400}, {320, 240}, {200, 300}};
    static const Matrix K = {640, 640, 320, 240};
    ResectMark marks[6];
    for (int i = 0; i < 6; i++) {
        double u = FIRST[i][0], v = FIRST[i][1], seen[3];
        double ray[3] = {(u - K.cx) / K.fx, (v - K.cy) / K.fy, 1};
        double far = 1000 / (N[0] * ray[0] + N[1] * ray[1] + N[2]);
        for (int j = 0; j < 3; j++)
            seen[j] = H[j][0] * u + H[j][1] * v + H[j][2];
        marks[i] =
            mark_at(&K, (Point3){far * ray[0], far * ray[1], far}, seen[0] / seen[2], seen[1] / seen[2]);
    }
    ResectProblem problem = problem_of(&K, marks, 6);
    ResectResult result;
    resect(&problem, &result);
    cr_assert_eq(result.status, RESECTED);
    check_pose(&result.camera, R, T, 1e-6, 1e-3);
    cr_assert(result.flat);
    problem.focal_mm = 0; /* the plane is seen at a slant: it tells the focal length too */
    resect(&problem, &result);
    cr_assert_eq(result.status, RESECTED);
    check_pose(&result.camera, R, T, 1e-5, 1e-2);
    NEAR(result.camera.image_mm, focal_of(&K), 1e-4);
}

/* Z. Zhang's calibration data (Microsoft Research), as carried by imagingbook-calibrate, commit efc6143: a
 * printed pattern in five views, 640 x 480. Inches. */
static const Matrix ZHANG = {832.5, 832.53, 303.959, 206.585};
static const double ZHANG_K1 = -0.228601, ZHANG_K2 = 0.190353;
typedef struct View {
    double r[3][3], t[3];
    size_t count;
    double points[6][6]; /* x, y, observed u, v, u, v of a camera without distortion */
} View;
static const View VIEWS[] = {
    {{{0.992759, -0.026319, 0.117201}, {0.0139247, 0.994339, 0.105341}, {-0.11931, -0.102947, 0.987505}},
     {-3.84019, 3.65164, 12.791},
     6,
     {{0, -0.5, 63.4392, 405.5768, 55.9260, 411.0776},
      {6.72222, 0, 494.7495, 458.4749, 500.7677, 466.6597},
      {4.05556, -3.16667, 321.5337, 243.6601, 321.7175, 243.4477},
      {3.16667, -3.55556, 264.6968, 216.6334, 264.6876, 217.0283},
      {0, -6.72222, 83.9112, 24.4496, 77.7272, 19.3372},
      {6.22222, -6.22222, 465.3894, 48.3074, 467.9855, 45.9264}}},
    {{{0.997397, -0.00482564, 0.0719419}, {0.0175608, 0.983971, -0.17746}, {-0.0699324, 0.178262, 0.981495}},
     {-3.71693, 3.76928, 13.1974},
     4,
     {{0, -0.5, 74.9517, 409.0927, 68.1029, 414.7319},
      {6.72222, 0, 493.7814, 453.2836, 499.4547, 460.8665},
      {0, -6.72222, 56.3190, 15.1455, 48.2794, 9.1778},
      {6.22222, -6.22222, 480.6336, 49.1228, 483.8864, 46.2716}}},
    {{{0.915213, -0.0356648, 0.401389}, {-0.00807547, 0.994252, 0.106756}, {-0.402889, -0.100946, 0.909665}},
     {-2.94409, 3.77653, 14.2456},
     4,
     {{0, -0.5, 137.2283, 394.3634, 133.6018, 397.5607},
      {6.72222, 0, 527.4730, 465.5991, 535.5181, 475.1819},
      {0, -6.72222, 155.5435, 47.1773, 153.0656, 44.4182},
      {6.22222, -6.22222, 500.0698, 43.9859, 504.0171, 40.9674}}},
    {{{0.986617, -0.0175461, -0.16211}, {0.0337573, 0.994634, 0.0977953}, {0.159524, -0.101959, 0.981915}},
     {-3.40697, 3.6362, 12.4551},
     4,
     {{0, -0.5, 84.0444, 410.1276, 77.8004, 415.5405},
      {6.72222, 0, 496.9655, 437.4925, 502.5064, 444.3360},
      {0, -6.72222, 101.0097, 18.1034, 95.5395, 13.3522},
      {6.22222, -6.22222, 469.3570, 69.9992, 471.8871, 68.0920}}},
    {{{0.967585, -0.196899, -0.158144}, {0.191542, 0.980281, -0.0485827}, {0.164592, 0.0167167, 0.98622}},
     {-4.07238, 3.21033, 14.3441},
     4,
     {{0, -0.5, 78.6915, 361.2747, 73.2251, 364.5566},
      {6.72222, 0, 432.0848, 443.2785, 435.0555, 448.9490},
      {0, -6.72222, 146.8157, 12.9123, 143.1175, 8.9001},
      {6.22222, -6.22222, 475.1447, 115.0555, 477.0057, 114.0078}}},
};
enum { VIEW_COUNT = sizeof VIEWS / sizeof *VIEWS };

static Point3 in_inches(double x, double y) {
    return (Point3){x * MM_PER_INCH, y * MM_PER_INCH, 0};
}

static void check_zhang(const PhotoCamera *camera, const View *view, double turn_tolerance, double inches) {
    const double t[3] = {view->t[0] * MM_PER_INCH, view->t[1] * MM_PER_INCH, view->t[2] * MM_PER_INCH};
    check_pose(camera, view->r, t, turn_tolerance, inches * MM_PER_INCH);
}

Test(resect_published, zhang_without_distortion) {
    for (int i = 0; i < VIEW_COUNT; i++) {
        const View *view = &VIEWS[i];
        ResectMark marks[6];
        for (size_t j = 0; j < view->count; j++)
            marks[j] = mark_at(&ZHANG, in_inches(view->points[j][0], view->points[j][1]), view->points[j][4],
                               view->points[j][5]);
        ResectProblem problem = problem_of(&ZHANG, marks, view->count);
        ResectResult result;
        resect(&problem, &result);
        cr_assert_eq(result.status, RESECTED);
        /* a skew of 0.2 in 832 is in the published matrix and not in ours */
        check_zhang(&result.camera, view, 1e-3, 0.01);
        cr_assert_lt(result.rms_px, 0.1);
    }
}

/* The observed marks, with the published distortion taken out: real ones, 0.2 to 0.5 px off. */
Test(resect_published, zhang_as_observed) {
    for (int i = 0; i < VIEW_COUNT; i++) {
        const View *view = &VIEWS[i];
        ResectMark marks[6];
        for (size_t j = 0; j < view->count; j++) {
            double x = (view->points[j][2] - ZHANG.cx) / ZHANG.fx,
                   y = (view->points[j][3] - ZHANG.cy) / ZHANG.fy;
            double a = x, b = y;
            for (int k = 0; k < 30; k++) {
                double square = a * a + b * b, grown = 1 + ZHANG_K1 * square + ZHANG_K2 * square * square;
                a = x / grown, b = y / grown;
            }
            marks[j] = mark_at(&ZHANG, in_inches(view->points[j][0], view->points[j][1]),
                               ZHANG.cx + a * ZHANG.fx, ZHANG.cy + b * ZHANG.fy);
        }
        ResectProblem problem = problem_of(&ZHANG, marks, view->count);
        ResectResult result;
        resect(&problem, &result);
        cr_assert_eq(result.status, RESECTED);
        cr_assert_lt(result.rms_px, 0.8, "view %d: %g px", i + 1, result.rms_px);
        check_zhang(&result.camera, view, 0.012, 0.12);
    }
}

/* The published camera and its k1, on a grid of the pattern's size: the radial term is found with the pose,
 * and with the focal length, though all is in one plane. */
Test(resect_published, zhang_with_its_radial_term) {
    for (int i = 0; i < VIEW_COUNT; i++) {
        const View *view = &VIEWS[i];
        ResectMark marks[25];
        for (int j = 0; j < 25; j++) {
            double x = j % 5 * 6.72222 / 4, y = -(j / 5) * 6.72222 / 4, q[3];
            for (int k = 0; k < 3; k++)
                q[k] = view->r[k][0] * x + view->r[k][1] * y + view->t[k];
            double a = q[0] / q[2], b = q[1] / q[2], grown = 1 + ZHANG_K1 * (a * a + b * b);
            marks[j] = mark_at(&ZHANG, in_inches(x, y), ZHANG.cx + ZHANG.fx * grown * a,
                               ZHANG.cy + ZHANG.fy * grown * b);
        }
        ResectProblem problem = problem_of(&ZHANG, marks, 25);
        problem.radial_sigma = INFINITY;
        ResectResult result;
        for (int unknown = 0; unknown < 2; unknown++) {
            problem.focal_mm = unknown ? 0 : focal_of(&ZHANG);
            resect(&problem, &result);
            cr_assert_eq(result.status, RESECTED, "view %d", i + 1);
            cr_assert(result.radial_sought);
            /* the published rotations are rounded to six digits and not quite square */
            NEAR(result.camera.radial, ZHANG_K1, 2e-4);
            NEAR(result.camera.image_mm / focal_of(&ZHANG), 1, 2e-4);
            check_zhang(&result.camera, view, 2e-4, 2e-3);
        }
    }
}

/* Grunert's problem: one of at most four cameras is the one that saw the three points, for any three. */
Test(resect_published, three_points_have_their_camera_among_four) {
    uint64_t state = 9;
    size_t most = 0;
    for (int i = 0; i < 2000; i++) {
        PhotoCamera camera = {.lens = {uniform(&state, -500, 500), -2000, uniform(&state, 100, 900)},
                              .turn_rad = uniform(&state, -0.2, 0.2),
                              .tilt_rad = uniform(&state, 0, 0.5),
                              .roll_rad = uniform(&state, -3, 3),
                              .focal_mm = 50,
                              .image_mm = 50};
        PhotoAxes axes = photo_axes(&camera);
        Turn points, rays, found[4];
        double lens[4][3], nearest = INFINITY;
        for (int j = 0; j < 3; j++) {
            double *at = points.row[j], *ray = rays.row[j];
            for (int k = 0; k < 3; k++)
                at[k] = uniform(&state, -400, 400);
            const double way[3] = {at[0] - camera.lens.across_mm, at[1] - camera.lens.back_mm,
                                   at[2] - camera.lens.up_mm};
            const Point3 rows[3] = {axes.right, axes.down, axes.forward};
            for (int k = 0; k < 3; k++)
                ray[k] = (rows[k].across_mm * way[0] + rows[k].back_mm * way[1] + rows[k].up_mm * way[2]) /
                         length3(way);
        }
        size_t count = three_point_cameras(&points, &rays, lens, found);
        cr_assert_leq(count, 4);
        most = count > most ? count : most;
        for (size_t j = 0; j < count; j++)
            nearest = fmin(nearest,
                           hypot(hypot(lens[j][0] - camera.lens.across_mm, lens[j][1] - camera.lens.back_mm),
                                 lens[j][2] - camera.lens.up_mm));
        /* near a double root half of the digits go */
        cr_assert_lt(nearest, 0.5, "%d: %g mm off", i, nearest);
    }
    cr_assert_eq(most, 4);
}

/* scikit-image, test_geometric.py, commit 0413dcf: SRC and DST, eight pairs of points
 * that a homography takes from one plane to another, though not exactly. */
static const double SRC[8][2] = {{-12.3705, -10.5075}, {-10.7865, 15.4305}, {8.6985, 10.8675},
                                 {11.4975, -9.5715},   {7.8435, 7.4835},    {-5.3325, 6.5025},
                                 {6.7905, -6.3765},    {-6.1695, -0.8235}},
                    DST[8][2] = {{0, 0},       {0, 5800},    {4900, 5800}, {4900, 0},
                                 {4479, 4580}, {1176, 3660}, {3754, 790},  {1024, 1931}};

/* The homography of the four corners, h33 = 1, about the middle of a photograph of 4900 x 5800 px: with
 * square pixels h1 and h2 less that middle would have to be at right angles and of one length, once their
 * third rows are times f (Z. Zhang 2000, equations 3 and 4). Each gives an f squared; the one is negative.
 * Worked out from the eight numbers. */
Test(resect_published, a_homography_of_no_square_pixels) {
    static const double H[3][2] = {
        {194.6690129, -11.88818399}, {-8.691007754, 221.6206977}, {-0.01269596674, -0.009605362429}};
    double a[3], b[3];
    for (int i = 0; i < 3; i++) {
        const double middle = i == 0 ? 2450 : i == 1 ? 2900 : 0;
        a[i] = H[i][0] - middle * H[2][0];
        b[i] = H[i][1] - middle * H[2][1];
    }
    const double by_angle = -(a[0] * b[0] + a[1] * b[1]) / (a[2] * b[2]);
    const double by_length =
        -(a[0] * a[0] + a[1] * a[1] - b[0] * b[0] - b[1] * b[1]) / (a[2] * a[2] - b[2] * b[2]);
    cr_assert_lt(by_angle, 0);
    cr_assert_gt(by_length, 0);
}

/* So no camera is found, with whatever lens; and from the other plane, of which no middle is published, at
 * best one that misses by over the 0.5 % of the width from which on it is not trusted (rule 69), and it says
 * so. */
Test(resect_published, points_that_no_camera_sees) {
    static const double FOCAL_MM[] = {0, 24, 35, 60, 120}, FROM_SRC_MM = 40, FROM_DST_PX = 100;
    for (size_t f = 0; f < sizeof FOCAL_MM / sizeof *FOCAL_MM; f++) {
        for (int turned = 0; turned < 2; turned++) { /* the second number counts up, or down */
            ResectMark to_dst[8], to_src[8];
            for (int i = 0; i < 8; i++) {
                const double v = turned ? 5800 - DST[i][1] : DST[i][1], back = SRC[i][1] * FROM_DST_PX + 1500;
                to_dst[i] = (ResectMark){.at = {SRC[i][0] * FROM_SRC_MM, 0, (SRC[i][1] + 20) * FROM_SRC_MM},
                                         .x_px = DST[i][0],
                                         .y_px = v};
                to_src[i] = (ResectMark){.at = {DST[i][0], 0, DST[i][1]},
                                         .x_px = SRC[i][0] * FROM_DST_PX + 1500,
                                         .y_px = turned ? 3000 - back : back};
            }
            ResectProblem problem = {.photo = {4900, 5800, 24},
                                     .marks = to_dst,
                                     .count = 8,
                                     .focal_mm = FOCAL_MM[f],
                                     .sigma_px = 2};
            ResectResult result;
            resect(&problem, &result);
            cr_expect_eq(result.status, RESECT_NO_CAMERA, "%g mm, %d: %d", FOCAL_MM[f], turned,
                         result.status);
            problem.photo = (Photograph){3000, 3000, 24};
            problem.marks = to_src;
            resect(&problem, &result);
            if (result.status == RESECT_NO_CAMERA) continue;
            cr_expect_eq(result.status, RESECTED);
            cr_expect_gt(result.rms_px, 0.005 * 3000, "%g mm: %g px", FOCAL_MM[f], result.rms_px);
            cr_expect(result.mismark_unclear || result.mismarked_count > 0, "%g mm: trusted", FOCAL_MM[f]);
        }
    }
}
