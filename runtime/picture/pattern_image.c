/* What the drawing shows of a pattern's plane. */
#include "picture/pattern.h"
#include "plan/shape.h"

#include <math.h>

static const uint32_t WHITE = 0xFFFFFFFF;

/* As fine as paper wants it, and no finer than twice the drawing. */
static const double PAPER_PX_PER_MM = 3, PAPER_PX_PER_MM_LEAST = 1.2, TIMES_THE_DRAWING = 2;

/* A puppet is drawn as it is turned, in the upright plane across the set; boards lie in their front face. */
static Point3 in_set(const Pattern *it, double x_mm, double y_mm) {
    const PlanThing *thing = it->thing;
    if (thing->thing->role == ROLE_PUPPET)
        return (Point3){thing->at.across_mm + x_mm, thing->at.back_mm, thing->at.up_mm + y_mm};
    const double front = thing->thing->shape == SHAPE_PANEL ? 0 : -thing->deep_mm / 2;
    return shape_point(thing, 0, x_mm, front, y_mm);
}

static uint32_t blend(uint32_t a, uint32_t b, double share) {
    uint32_t made = 0xFF000000u;
    for (int shift = 0; shift <= 16; shift += 8) {
        const double from = a >> shift & 255, to = b >> shift & 255;
        made |= (uint32_t)(from + (to - from) * share + 0.5) << shift;
    }
    return made;
}

static uint32_t pixel(const Pixels *image, double x, double y) {
    if (x < 0 || y < 0 || x >= image->wide_px || y >= image->tall_px) return WHITE;
    return image->argb[(size_t)y * (size_t)image->wide_px + (size_t)x];
}

/* Between the four nearest pixels' centres. */
static uint32_t sample(const Pixels *image, double x_px, double y_px) {
    const double x = floor(x_px - 0.5), y = floor(y_px - 0.5);
    const double right = x_px - 0.5 - x, down = y_px - 0.5 - y;
    return blend(blend(pixel(image, x, y), pixel(image, x + 1, y), right),
                 blend(pixel(image, x, y + 1), pixel(image, x + 1, y + 1), right), down);
}

static uint32_t drawn_at(const Pattern *it, double x_mm, double y_mm) {
    const Picture *picture = &it->shot->picture;
    double x, y;
    if (!camera_project(&it->shot->cameras[0].camera, picture, in_set(it, x_mm, y_mm), &x, &y, NULL))
        return WHITE;
    return sample(it->image, x / picture->drawing_wide_mm * it->image->wide_px,
                  (1 - y / picture->drawing_tall_mm) * it->image->tall_px);
}

static int pixels_for(double size_mm, double px_per_mm) {
    return (int)fmin(fmax(ceil(size_mm * px_per_mm), 1), 4096);
}

void pattern_lay_drawing(Canvas *canvas, const Pattern *it, PatternArea area, CanvasBox paper) {
    const double wide_mm = area.right_mm - area.left_mm, tall_mm = area.high_mm - area.low_mm;
    const double of_drawing =
        it->image->wide_px / it->shot->picture.drawing_wide_mm / it->enlarged; /* px a mm, as built */
    const double paper_mm = (paper.right_px - paper.left_px) / POINTS_PER_MM;  /* on paper for `wide_mm` */
    const double on_paper =
        fmin(fmax(TIMES_THE_DRAWING * of_drawing * wide_mm / paper_mm, PAPER_PX_PER_MM_LEAST),
             paper_mm < wide_mm ? 2 * PAPER_PX_PER_MM : PAPER_PX_PER_MM);
    const double fine = on_paper * paper_mm / wide_mm;
    const int wide = pixels_for(wide_mm, fine), tall = pixels_for(tall_mm, fine);
    Arena *own = arena_new();
    uint32_t *made = ARENA_ARRAY(own, uint32_t, (size_t)wide * (size_t)tall);
    for (int y = 0; y < tall; y++) {
        for (int x = 0; x < wide; x++)
            made[(size_t)y * (size_t)wide + (size_t)x] = drawn_at(
                it, area.left_mm + (x + 0.5) / wide * wide_mm, area.high_mm - (y + 0.5) / tall * tall_mm);
    }
    canvas_image(canvas, made, wide, tall, paper, BLEND_OVER, 0.8);
    arena_free(own);
}

/* ---- What of the plane is on the drawing */

/* How far inside the drawing's edge 0 left, 1 right, 2 lower, 3 upper, times the depth, so that it is linear
 * along a line of the plane; less than nothing is outside. */
static double inside_edge(const Pattern *it, PatternPoint at, int edge) {
    const Picture *picture = &it->shot->picture;
    double x, y, depth_mm;
    if (!camera_project(&it->shot->cameras[0].camera, picture, in_set(it, at.x_mm, at.y_mm), &x, &y,
                        &depth_mm))
        return -1;
    const double inside[4] = {x, picture->drawing_wide_mm - x, y, picture->drawing_tall_mm - y};
    return inside[edge] * depth_mm;
}

/* Sutherland and Hodgman (1974): what lies inside one edge. */
static size_t cut_by_edge(const Pattern *it, const PatternPoint *from, size_t count, int edge,
                          PatternPoint *to) {
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        const PatternPoint a = from[i], b = from[(i + 1) % count];
        const double at_a = inside_edge(it, a, edge), at_b = inside_edge(it, b, edge);
        if (at_a >= 0) to[kept++] = a;
        if ((at_a >= 0) == (at_b >= 0)) continue;
        const double share = at_a / (at_a - at_b);
        to[kept++] = (PatternPoint){a.x_mm + share * (b.x_mm - a.x_mm), a.y_mm + share * (b.y_mm - a.y_mm)};
    }
    return kept;
}

size_t pattern_drawn_part(const Pattern *it, PatternPoint corners[PATTERN_DRAWN_CORNERS]) {
    const double half = it->thing->wide_mm / 2, tall = it->thing->tall_mm;
    const PatternPoint board[4] = {{-half, 0}, {half, 0}, {half, tall}, {-half, tall}};
    PatternPoint others[PATTERN_DRAWN_CORNERS];
    size_t count = 4;
    for (int i = 0; i < 4; i++)
        corners[i] = board[i];
    for (int edge = 0; edge < 4; edge++) {
        PatternPoint *from = edge % 2 == 0 ? corners : others, *to = edge % 2 == 0 ? others : corners;
        count = cut_by_edge(it, from, count, edge, to);
    }
    return count; /* four edges: they are in `corners` again */
}

/* ---- Openings */

bool pattern_opening(const Plan *plan, const Pattern *it, size_t index, PatternArea *area) {
    const Thing *opening = &plan->scene->things[index];
    if (opening->role != ROLE_OPENING || &plan->scene->things[opening->parent] != it->thing->thing)
        return false;
    const PlanThing *planned = &plan->things[index];
    const int across = opening->slot[FIELD_ACROSS], sill = opening->slot[FIELD_UP];
    const double x = plan->known[across] ? plan->values[across] : 0,
                 y = plan->known[sill] ? plan->values[sill] : 0;
    *area = (PatternArea){x - planned->wide_mm / 2, y, x + planned->wide_mm / 2, y + planned->tall_mm};
    return true;
}
