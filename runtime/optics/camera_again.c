#include "optics/camera_again.h"

#include <assert.h>
#include <math.h>
#include <stddef.h>

/* With lens and height given, the angle between foot and head fixes the distance: seen from (-D, H), the
 * upright from zf to zh subtends arg((D, H - zf)) - arg((D, H - zh)), and on the sensor arg((v, Yh)) -
 * arg((v, Yf)). Equal cotangents give, with L = zh - zf and p = (H - zf)(H - zh),
 *
 *     D^2 - L C D + p = 0,   C = (v^2 + Yf Yh) / (v (Yh - Yf)),
 *
 * whose greater root is the farther, flatter camera (rule 19). The direction of the foot then gives the tilt,
 * and across enters nothing else. What is left of the three equations is one, v = f u / (u - f), for Newton's
 * method. */

enum { STEPS_MOST = 24 };
static const double HEIGHT_LEAST_MM = 1;
static const double TILT_MOST_SINE = 0.96592582628906829; /* of 75 degrees */

bool held_puppet(const Camera *planned, const Picture *picture, double up_mm, double tall_mm, Point3 focus,
                 HeldPuppet *held) {
    double x, y, head_x, head_y;
    Point3 foot = {.up_mm = up_mm}, head = {.up_mm = up_mm + tall_mm};
    if (!camera_project(planned, picture, foot, &x, &y, NULL)) return false;
    if (!camera_project(planned, picture, head, &head_x, &head_y, NULL)) return false;
    if (!(head_y > y)) return false; /* from straight above it has no height to hold */
    *held = (HeldPuppet){.up_mm = up_mm,
                         .tall_mm = tall_mm,
                         .foot_x_mm = x,
                         .foot_y_mm = y,
                         .drawn_tall_mm = head_y - y,
                         .focus = focus};
    return true;
}

/* Foot and head on the sensor, from the axis, and in the set, from the lens. */
typedef struct Sight {
    double foot_mm, head_mm;
    double down_mm, rise_mm; /* H - zf, L */
    double focus_back_mm, focus_down_mm;
    double focal_mm;
} Sight;

/* The camera for an assumed image distance, and by how much the lens disagrees with it. */
typedef struct Trial {
    double distance_mm, sine, cosine, object_mm;
    double miss_mm, slope;
} Trial;

static bool try_image(const Sight *sight, double v, Trial *trial) {
    double yf = sight->foot_mm, yh = sight->head_mm, f = sight->focal_mm, down = sight->down_mm;
    double reach = sight->rise_mm * (v * v + yf * yh) / (v * (yh - yf));
    double root = reach * reach - 4 * down * (down - sight->rise_mm);
    if (!(root > 0)) return false;
    root = sqrt(root);
    double distance = (reach + root) / 2;
    if (!(distance > 0)) return false;

    double slant = distance * distance + down * down, spread = v * v + yf * yf;
    double scale = 1 / sqrt(slant * spread);
    double cosine = (v * distance - yf * down) * scale, sine = (yf * distance + v * down) * scale;
    double back = sight->focus_back_mm + distance;
    double object = back * cosine + sight->focus_down_mm * sine;
    if (!(object > f)) return false;

    double over = back * sine - sight->focus_down_mm * cosine;
    double per_reach = sight->rise_mm * (1 - yf * yh / (v * v)) / (yh - yf);
    double per_distance = distance * per_reach / root;
    double per_tilt = -yf / spread - down / slant * per_distance;
    double magnified = f / (object - f);
    *trial = (Trial){
        .distance_mm = distance,
        .sine = sine,
        .cosine = cosine,
        .object_mm = object,
        .miss_mm = v - f - f * magnified,
        .slope = 1 + magnified * magnified * (cosine * per_distance - over * per_tilt),
    };
    return true;
}

/* From well above the head the puppet is foreshortened, and an image distance that is too short would need it
 * taller than it shows from anywhere: the least that will do, where the two roots are one. */
static double image_least(const Sight *sight) {
    double product = sight->down_mm * (sight->down_mm - sight->rise_mm);
    if (product <= 0) return 0;
    double half = sqrt(product) / sight->rise_mm * (sight->head_mm - sight->foot_mm);
    double root = half * half - sight->foot_mm * sight->head_mm;
    return root > 0 ? half + sqrt(root) : 0;
}

/* Newton's method on the image distance; near the place where the two cameras of rule 19 meet, a step may
 * lead to where there is none, and is halved. */
static bool find_image(const Sight *sight, double start_mm, double *image_mm, Trial *trial) {
    double v = start_mm, step = 0;
    bool tried = false;
    for (int i = 0; i < STEPS_MOST; i++) {
        if (!try_image(sight, v, trial)) {
            if (!tried) return false;
            step /= 2;
            v += step;
            continue;
        }
        tried = true;
        if (!(trial->slope > 0)) return false;
        step = trial->miss_mm / trial->slope;
        *image_mm = v;
        if (fabs(step) <= 4e-16 * v) return true;
        v -= step;
        /* quadratic: what is left after this step is under its square */
        if (fabs(step) < 1e-9 * v) {
            *image_mm = v;
            return try_image(sight, v, trial);
        }
    }
    return false;
}

bool camera_again(const HeldPuppet *held, const Picture *picture, double focal_mm, double height_mm,
                  double crop_up_mm, Camera *camera) {
    assert(held->tall_mm > 0);
    double k = picture->drawn_per_sensor;
    if (!(held->drawn_tall_mm > 0) || !(focal_mm > 0) || !(height_mm > HEIGHT_LEAST_MM)) return false;
    Sight sight = {
        .foot_mm = (held->foot_y_mm - picture->drawing_tall_mm / 2) / k + crop_up_mm,
        .down_mm = height_mm - held->up_mm,
        .rise_mm = held->tall_mm,
        .focus_back_mm = held->focus.back_mm,
        .focus_down_mm = height_mm - held->focus.up_mm,
        .focal_mm = focal_mm,
    };
    sight.head_mm = sight.foot_mm + held->drawn_tall_mm / k;
    Trial trial;
    double v, start = focal_mm * (1 + held->drawn_tall_mm / k / held->tall_mm);
    start = fmax(start, image_least(&sight) * (1 + 1e-6));
    if (!find_image(&sight, start, &v, &trial)) return false;
    if (fabs(trial.sine) > TILT_MOST_SINE || trial.cosine <= 0) return false;

    double right = (held->foot_x_mm - picture->drawing_wide_mm / 2) / k + picture->crop_across_mm;
    double foot_depth = trial.distance_mm * trial.cosine + sight.down_mm * trial.sine;
    *camera = (Camera){
        .across_mm = -right * foot_depth / v,
        .distance_mm = trial.distance_mm,
        .height_mm = height_mm,
        .tilt_rad = atan2(trial.sine, trial.cosine),
        .focal_mm = focal_mm,
        .object_mm = trial.object_mm,
        .image_mm = v,
        .crop_up_mm = crop_up_mm,
    };
    return true;
}
