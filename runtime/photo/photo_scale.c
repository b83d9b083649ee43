/* From the drawing into the photograph, the leading thing held: its foot where it is, its height as large as
 * it is (docs/geometry.md, rule 74). */
#include "base/text.h"
#include "photo/photo_stages.h"

#include <math.h>

enum { NAMES = 3 }; /* that a foot or an uppermost point under the axis may have, by the thing's shape */

/* Where the photograph has a point of the leading thing: as marked, else as the camera sees the plan's. */
static bool pixel_of(const PhotoWork *work, const char *const names[NAMES], Point3 planned, double *x_px,
                     double *y_px) {
    const LinedPhoto *photo = work->photo;
    for (size_t i = 0; i < photo->mark_count; i++) {
        const LinedMark *mark = &photo->marks[i];
        if (mark->mark->thing != work->shot->lead || photo->found->residuals[i].mismarked) continue;
        for (size_t n = 0; n < NAMES && names[n]; n++) {
            if (!text_equal(mark->mark->point, names[n])) continue;
            *x_px = mark->x_px;
            *y_px = mark->y_px;
            return true;
        }
    }
    return photo_project(&photo->found->camera, &photo->image, planned, x_px, y_px, NULL);
}

void photo_from_drawing(const LinedScale *scale, double x_mm, double y_mm, double *x_px, double *y_px) {
    *x_px = scale->left_px + scale->px_per_mm * x_mm;
    *y_px = scale->low_px - scale->px_per_mm * y_mm;
}

static void set_crop(const PhotoWork *work) {
    LinedPhoto *photo = work->photo;
    const PageArea *frame = &work->shot->areas.frame;
    photo_from_drawing(&photo->scale, frame->left_mm, frame->low_mm, &photo->crop_left_px,
                       &photo->crop_bottom_px);
    photo_from_drawing(&photo->scale, frame->right_mm, frame->high_mm, &photo->crop_right_px,
                       &photo->crop_top_px);
}

void photo_scale(const PhotoWork *work) {
    static const char *const feet[NAMES] = {"foot"}, *const heads[NAMES] = {"head", "top", "tip"};
    LinedPhoto *photo = work->photo;
    const Plan *plan = work->plan;
    const PlanThing *lead = &plan_planned(plan)[work->shot->lead];
    const PlanView view = plan_view(lead, &work->shot->cameras[0].camera, &work->shot->picture);
    const Point3 foot = plan_drawn_foot(lead);
    const Point3 head = {foot.across_mm, foot.back_mm, foot.up_mm + lead->tall_mm};
    double foot_x, foot_y, head_x, head_y;
    if (!view.seen || !(view.tall_mm > 0) || !pixel_of(work, feet, foot, &foot_x, &foot_y) ||
        !pixel_of(work, heads, head, &head_x, &head_y))
        return;
    const double scale = hypot(head_x - foot_x, head_y - foot_y) / view.tall_mm;
    photo->scale = (LinedScale){.left_px = foot_x - scale * view.foot_x_mm,
                                .low_px = foot_y + scale * view.foot_y_mm,
                                .px_per_mm = scale};
    set_crop(work);
}
