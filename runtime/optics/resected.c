#include "optics/resected.h"

#include "base/number.h"
#include "optics/resect_spread.h"
#include "optics/vector3.h"

#include <math.h>

/* --- A pixel and what moves it -------------------------------------------------------------------------- */

/* Where a point is in the photograph, with derivatives by the point's place and by the camera's unknowns. */
typedef struct Seen {
    double px[2], by_point[2][3], by_unknown[2][RESECT_UNKNOWN_COUNT];
} Seen;

static void array_of(Point3 point, double a[3]) {
    a[0] = point.across_mm, a[1] = point.back_mm, a[2] = point.up_mm;
}

static Turn axes_of(const PhotoCamera *camera) {
    PhotoAxes axes = photo_axes(camera);
    Turn turn;
    array_of(axes.right, turn.row[0]);
    array_of(axes.down, turn.row[1]);
    array_of(axes.forward, turn.row[2]);
    return turn;
}

/* d seen / d angle for a turn about an axis of the set: seen from the camera everything turns the other way.
 */
static void turned_about(const Turn *axes, const double about[3], const double way[3], double change[3]) {
    double across[3];
    cross3(way, about, across);
    turn3(axes, across, change);
}

static void by_pose(const PhotoCamera *camera, const Turn *axes, const double way[3],
                    const double slope[2][3], Seen *it) {
    const double turn_axis[3] = {0, 0, -1};
    const double tilt_axis[3] = {-cos(camera->turn_rad), sin(camera->turn_rad), 0};
    double change[3][3];
    turned_about(axes, turn_axis, way, change[0]);
    turned_about(axes, tilt_axis, way, change[1]);
    turned_about(axes, axes->row[2], way, change[2]);
    for (int i = 0; i < 2; i++) {
        turn_back3(axes, slope[i], it->by_point[i]);
        for (int j = 0; j < 3; j++) {
            it->by_unknown[i][RESECT_ACROSS + j] = -it->by_point[i][j];
            it->by_unknown[i][RESECT_TURN + j] = dot3(slope[i], change[j]);
        }
    }
}

/* The image distance moves with the focal length, and with the place as far as that moves the plane in focus
 * (what a turn does to it is left out: under a thousandth). */
static void by_image(const PhotoCamera *camera, const Turn *axes, const double per_image[2], Seen *it) {
    double times = camera->image_mm / camera->focal_mm, magnified = times - 1;
    for (int i = 0; i < 2; i++) {
        it->by_unknown[i][RESECT_FOCAL] = per_image[i] * times * times;
        for (int j = 0; j < 3; j++)
            it->by_unknown[i][RESECT_ACROSS + j] += per_image[i] * magnified * magnified * axes->row[2][j];
    }
}

static bool see(const PhotoCamera *camera, const Photograph *photo, const double point[3], Seen *it) {
    Turn axes = axes_of(camera);
    double lens[3], way[3], seen[3];
    array_of(camera->lens, lens);
    less3(point, lens, way);
    turn3(&axes, way, seen);
    if (!(seen[2] > 1e-6)) return false;
    double s = photo->wide_px / photo->sensor_wide_mm, v = camera->image_mm, k = camera->radial;
    double x = seen[0] / seen[2], y = seen[1] / seen[2], square = x * x + y * y, grown = 1 + k * square;
    it->px[0] = photo->wide_px / 2 + s * v * grown * x;
    it->px[1] = photo->tall_px / 2 + s * v * grown * y;
    double xx = s * v * (grown + 2 * k * x * x), xy = s * v * 2 * k * x * y,
           yy = s * v * (grown + 2 * k * y * y);
    const double slope[2][3] = {{xx / seen[2], xy / seen[2], -(xx * x + xy * y) / seen[2]},
                                {xy / seen[2], yy / seen[2], -(xy * x + yy * y) / seen[2]}};
    by_pose(camera, &axes, way, slope, it);
    const double per_image[2] = {s * grown * x, s * grown * y};
    by_image(camera, &axes, per_image, it);
    it->by_unknown[0][RESECT_RADIAL] = s * v * square * x;
    it->by_unknown[1][RESECT_RADIAL] = s * v * square * y;
    return true;
}

/* a C b with the camera's covariance. */
static double camera_covariance(const ResectResult *result, const double *a, const double *b) {
    double sum = 0;
    for (int i = 0; i < RESECT_UNKNOWN_COUNT; i++)
        for (int j = 0; j < RESECT_UNKNOWN_COUNT; j++)
            sum += a[i] * result->covariance[i][j] * b[j];
    return sum;
}

static double mark_variance(const ResectResult *result, const PixelMark *mark) {
    double sigma = mark->sigma_px > 0 ? mark->sigma_px : result->sigma_px;
    return sigma * sigma;
}

/* Only what the resection estimated has its freedoms (rule 66); a stated sigma is known. */
static ResectSpread joined_spread(const ResectResult *result, double estimated, double known) {
    double variance = estimated + known;
    if (!(variance > 0)) return (ResectSpread){0};
    double share = estimated / variance;
    double freedoms = share > 1e-3 ? result->freedoms / (share * share) : INFINITY;
    return spread_of(sqrt(variance), freedoms);
}

/* --- Planes --------------------------------------------------------------------------------------------- */

SetPlane plane_level(double up_mm) {
    return (SetPlane){.at = {0, 0, up_mm}, .first = {1, 0, 0}, .second = {0, 1, 0}};
}

SetPlane plane_upright(Point3 at, double turn_rad) {
    return (SetPlane){.at = at, .first = {cos(turn_rad), -sin(turn_rad), 0}, .second = {0, 0, 1}};
}

static bool ray_on_plane(const PhotoCamera *camera, const Photograph *photo, const PixelMark *mark,
                         const SetPlane *plane, double point[3]) {
    double first[3], second[3], normal[3], at[3], lens[3], ray[3], way[3];
    array_of(plane->first, first);
    array_of(plane->second, second);
    array_of(plane->at, at);
    array_of(camera->lens, lens);
    array_of(photo_ray(camera, photo, mark->x_px, mark->y_px), ray);
    cross3(first, second, normal);
    less3(at, lens, way);
    double depth = dot3(normal, way) / dot3(normal, ray);
    if (!(depth > 1e-6) || !isfinite(depth)) return false;
    for (int i = 0; i < 3; i++)
        point[i] = lens[i] + depth * ray[i];
    return true;
}

/* inverse of the 2x2 matrix of a pixel's derivatives by two directions; false when they are one. */
static bool inverse_by(const Seen *it, const double first[3], const double second[3], double inverse[2][2]) {
    double a = dot3(it->by_point[0], first), b = dot3(it->by_point[0], second);
    double c = dot3(it->by_point[1], first), d = dot3(it->by_point[1], second), det = a * d - b * c;
    if (!(fabs(det) > 1e-12 * (fabs(a * d) + fabs(b * c)))) return false;
    inverse[0][0] = d / det, inverse[0][1] = -b / det;
    inverse[1][0] = -c / det, inverse[1][1] = a / det;
    return true;
}

/* Fills the covariance: M^-1 (J C J^T + sigma^2) M^-T, and the spreads. */
static void place_spread(const ResectResult *result, const Seen *it, const PixelMark *mark,
                         double inverse[2][2], SetPlace *place) {
    double by[2][RESECT_UNKNOWN_COUNT], camera[2][2], marked[2][2];
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < RESECT_UNKNOWN_COUNT; j++)
            by[i][j] = inverse[i][0] * it->by_unknown[0][j] + inverse[i][1] * it->by_unknown[1][j];
    double variance = mark_variance(result, mark);
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++) {
            camera[i][j] = camera_covariance(result, by[i], by[j]);
            marked[i][j] = variance * (inverse[i][0] * inverse[j][0] + inverse[i][1] * inverse[j][1]);
            place->covariance[i][j] = camera[i][j] + marked[i][j];
        }
    ResectSpread *spreads[2] = {&place->first, &place->second};
    for (int i = 0; i < 2; i++)
        *spreads[i] = mark->sigma_px > 0 ? joined_spread(result, camera[i][i], marked[i][i])
                                         : joined_spread(result, camera[i][i] + marked[i][i], 0);
}

bool resected_on_plane(const ResectResult *result, const Photograph *photo, const PixelMark *mark,
                       const SetPlane *plane, SetPlace *place) {
    double point[3], first[3], second[3], at[3], way[3], inverse[2][2];
    Seen it;
    array_of(plane->first, first);
    array_of(plane->second, second);
    array_of(plane->at, at);
    if (!ray_on_plane(&result->camera, photo, mark, plane, point)) return false;
    if (!see(&result->camera, photo, point, &it) || !inverse_by(&it, first, second, inverse)) return false;
    less3(point, at, way);
    *place = (SetPlace){
        .at = {point[0], point[1], point[2]}, .first_mm = dot3(way, first), .second_mm = dot3(way, second)};
    place_spread(result, &it, mark, inverse, place);
    return true;
}

bool resected_on_level(const ResectResult *result, const Photograph *photo, const PixelMark *mark,
                       double up_mm, SetPlace *place) {
    SetPlane plane = plane_level(up_mm);
    return resected_on_plane(result, photo, mark, &plane, place);
}

bool resected_on_upright(const ResectResult *result, const Photograph *photo, const PixelMark *mark,
                         double back_mm, SetPlace *place) {
    SetPlane plane = plane_upright((Point3){0, back_mm, 0}, 0);
    return resected_on_plane(result, photo, mark, &plane, place);
}

/* --- How tall ------------------------------------------------------------------------------------------- */

static const double RIGHT[3] = {1, 0, 0}, BACK[3] = {0, 1, 0}, UP[3] = {0, 0, 1};

/* Which way an upright runs in the photograph; false where it is seen end on. */
static bool upright_way(const Seen *it, double way[2]) {
    double length = hypot(it->by_point[0][2], it->by_point[1][2]);
    if (!(length > 1e-9)) return false;
    way[0] = it->by_point[0][2] / length;
    way[1] = it->by_point[1][2] / length;
    return true;
}

/* The height over the foot at which the upright comes beside the head's mark, by Newton's method; `top` is
 * seen there. */
static bool height_beside(const PhotoCamera *camera, const Photograph *photo, const double foot[3],
                          const double way[2], const PixelMark *head, double *tall_mm, Seen *top) {
    enum { STEPS_MOST = 50 };
    double at[3] = {foot[0], foot[1], foot[2]};
    for (int i = 0; i < STEPS_MOST; i++) {
        if (!see(camera, photo, at, top)) return false;
        double short_px = way[0] * (head->x_px - top->px[0]) + way[1] * (head->y_px - top->px[1]);
        double slope = way[0] * top->by_point[0][2] + way[1] * top->by_point[1][2];
        if (!(fabs(slope) > 1e-9)) return false;
        double step = short_px / slope;
        at[2] += step;
        if (!isfinite(at[2])) return false;
        if (fabs(step) < 1e-9 * (1 + fabs(at[2]))) {
            *tall_mm = at[2] - foot[2];
            return true;
        }
    }
    return false;
}

bool resected_tall(const ResectResult *result, const Photograph *photo, const PixelMark *foot,
                   const PixelMark *head, double up_mm, double *tall_mm, ResectSpread *spread) {
    SetPlane level = plane_level(up_mm);
    double point[3], way[2], inverse[2][2], tall;
    Seen low, top;
    if (!ray_on_plane(&result->camera, photo, foot, &level, point)) return false;
    if (!see(&result->camera, photo, point, &low) || !inverse_by(&low, RIGHT, BACK, inverse)) return false;
    if (!upright_way(&low, way)) return false;
    if (!height_beside(&result->camera, photo, point, way, head, &tall, &top)) return false;
    /* Along the upright: head = top(foot, tall, camera), the foot itself by its own mark. */
    double by_foot[2], by_camera[RESECT_UNKNOWN_COUNT];
    double per_tall = way[0] * dot3(top.by_point[0], UP) + way[1] * dot3(top.by_point[1], UP);
    for (int i = 0; i < 2; i++) {
        double across = way[0] * top.by_point[0][0] + way[1] * top.by_point[1][0];
        double back = way[0] * top.by_point[0][1] + way[1] * top.by_point[1][1];
        by_foot[i] = across * inverse[0][i] + back * inverse[1][i];
    }
    for (int j = 0; j < RESECT_UNKNOWN_COUNT; j++)
        by_camera[j] = (way[0] * top.by_unknown[0][j] + way[1] * top.by_unknown[1][j] -
                        by_foot[0] * low.by_unknown[0][j] - by_foot[1] * low.by_unknown[1][j]) /
                       per_tall;
    double of_camera = camera_covariance(result, by_camera, by_camera);
    double of_foot = mark_variance(result, foot) * (by_foot[0] * by_foot[0] + by_foot[1] * by_foot[1]) /
                     (per_tall * per_tall);
    double of_head = mark_variance(result, head) / (per_tall * per_tall);
    double known = (foot->sigma_px > 0 ? of_foot : 0) + (head->sigma_px > 0 ? of_head : 0);
    *tall_mm = tall;
    *spread = joined_spread(result, of_camera + of_foot + of_head - known, known);
    return true;
}

/* --- Moves ---------------------------------------------------------------------------------------------- */

static double whole_turn(double rad) {
    return rad - 2 * PI * floor(rad / (2 * PI) + 0.5);
}

static CameraMove move_of(double by, ResectSpread spread) {
    return (CameraMove){.by = by, .spread = spread, .needed = fabs(by) > spread.sure};
}

/* Spread of a mixture of two of the result's unknowns. */
static ResectSpread mixed(const ResectResult *result, ResectUnknown a, double of_a, ResectUnknown b,
                          double of_b) {
    double by[RESECT_UNKNOWN_COUNT] = {0};
    by[a] = of_a;
    by[b] = of_b;
    double variance = camera_covariance(result, by, by);
    if (!(variance > 0)) return (ResectSpread){0};
    /* whichever has more of it; else the fewer freedoms of both */
    double freedoms = fabs(of_a) < 1e-12   ? result->spread[b].freedoms
                      : fabs(of_b) < 1e-12 ? result->spread[a].freedoms
                                           : fmin(result->spread[a].freedoms, result->spread[b].freedoms);
    return spread_of(sqrt(variance), freedoms);
}

void resected_moves(const ResectResult *result, const PhotoCamera *planned, CameraMoves *moves) {
    const PhotoCamera *stood = &result->camera;
    double sine = sin(planned->turn_rad), cosine = cos(planned->turn_rad);
    double across = planned->lens.across_mm - stood->lens.across_mm;
    double back = planned->lens.back_mm - stood->lens.back_mm;
    *moves = (CameraMoves){
        .nearer =
            move_of(sine * across + cosine * back, mixed(result, RESECT_ACROSS, sine, RESECT_BACK, cosine)),
        .right =
            move_of(cosine * across - sine * back, mixed(result, RESECT_ACROSS, cosine, RESECT_BACK, -sine)),
        .up = move_of(planned->lens.up_mm - stood->lens.up_mm, result->spread[RESECT_UP]),
        .turn_right = move_of(whole_turn(planned->turn_rad - stood->turn_rad), result->spread[RESECT_TURN]),
        .tilt_down = move_of(planned->tilt_rad - stood->tilt_rad, result->spread[RESECT_TILT]),
        .roll_clockwise =
            move_of(whole_turn(planned->roll_rad - stood->roll_rad), result->spread[RESECT_ROLL]),
        .lens = move_of(planned->focal_mm - stood->focal_mm, result->spread[RESECT_FOCAL]),
    };
}
