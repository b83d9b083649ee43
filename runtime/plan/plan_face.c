#include "plan/plan_face.h"

#include <math.h>

bool plan_face_area(const PlanThing *puppet, const Camera *camera, const Picture *picture, PageArea *area) {
    const double above_mm = puppet->tall_mm - puppet->eyes_mm;
    Point3 eyes = puppet->at, chin, crown;
    eyes.up_mm += puppet->eyes_mm;
    chin = crown = eyes;
    chin.up_mm -= above_mm;
    crown.up_mm += above_mm;
    double x, y, crown_x, crown_y, chin_x, chin_y;
    if (!camera_project(camera, picture, eyes, &x, &y, NULL) ||
        !camera_project(camera, picture, crown, &crown_x, &crown_y, NULL) ||
        !camera_project(camera, picture, chin, &chin_x, &chin_y, NULL))
        return false;
    const double half_mm = above_mm / camera_scale(camera, picture, eyes);
    *area = (PageArea){x - half_mm, x + half_mm, chin_y, crown_y};
    return true;
}

static bool is_safe(PageArea area, const PageAreas *areas) {
    if (areas->safe_count == 0) return page_area_within(area, areas->picture);
    for (size_t i = 0; i < areas->safe_count; i++) {
        if (page_area_within(area, areas->safe[i])) return true;
    }
    return false;
}

bool plan_face(const PlanThing *puppet, const PlanShot *shot, PlanFace *face) {
    const PageAreas *areas = &shot->areas;
    *face = (PlanFace){.text = -1};
    if (!plan_face_area(puppet, &shot->cameras[0].camera, &shot->picture, &face->area)) return false;
    face->in_picture = page_area_shared(face->area, areas->picture, NULL);
    if (!face->in_picture) return true;
    face->in_gutter = areas->has_gutter && page_area_shared(face->area, areas->gutter, NULL);
    face->off_safe = !face->in_gutter && !is_safe(face->area, areas);
    for (size_t i = 0; i < areas->text_count && face->text < 0; i++) {
        if (page_area_shared(face->area, areas->texts[i].area, NULL)) face->text = (int)i;
    }
    return true;
}

/* --- ways out
 * ----------------------------------------------------------------------------------------------- */

void page_moves_clear(PageArea inner, PageArea other, PageMove moves[4]) {
    const PageMove all[4] = {{other.left_mm - inner.right_mm, false},
                             {other.right_mm - inner.left_mm, false},
                             {other.low_mm - inner.high_mm, true},
                             {other.high_mm - inner.low_mm, true}};
    for (int i = 0; i < 4; i++) {
        int at = i;
        for (; at > 0 && fabs(all[i].by_mm) < fabs(moves[at - 1].by_mm); at--)
            moves[at] = moves[at - 1];
        moves[at] = all[i];
    }
}

PageArea page_area_moved(PageArea area, PageMove move) {
    const double across = move.up ? 0 : move.by_mm, up = move.up ? move.by_mm : 0;
    return (PageArea){area.left_mm + across, area.right_mm + across, area.low_mm + up, area.high_mm + up};
}

PageMove page_move_within(PageArea inner, PageArea outer) {
    const PageMove moves[] = {{outer.left_mm - inner.left_mm, false},
                              {outer.right_mm - inner.right_mm, false},
                              {outer.low_mm - inner.low_mm, true},
                              {outer.high_mm - inner.high_mm, true}};
    PageMove most = {0};
    for (int i = 0; i < 4; i++) {
        const bool out = i % 2 == 0 ? moves[i].by_mm > 0 : moves[i].by_mm < 0;
        if (out && fabs(moves[i].by_mm) > fabs(most.by_mm)) most = moves[i];
    }
    return most;
}
